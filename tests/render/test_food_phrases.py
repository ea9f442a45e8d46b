"""Sentences of food safety, on rows laid out by hand."""

from datetime import datetime

import pytest

from doughwright.engine.food_rules import Rule, rules
from doughwright.render.food_phrases import (
    cited,
    clock_said,
    food_findings,
    stand_findings,
    standing_course,
    standing_words,
)
from doughwright.sheets.cells import Cell
from doughwright.sheets.safety_rows import (
    ClockRow,
    CookRow,
    CoolingRow,
    FoodRow,
    GrowthRow,
    LethalityRow,
    StandingRow,
    StandRow,
)


def clock(
    rule: str, measured: float, allowed: float | None, *, usable: bool = True, at: float = 9000.0
) -> ClockRow:
    exceeded = None if allowed is None or not usable else measured > allowed
    limit = None if allowed is None else Cell(allowed, "s", "stated")
    return ClockRow(rules()[rule], Cell(measured, "s"), limit, exceeded, Cell(at, "s"), usable)


def cook(*, met: bool, met_early: bool) -> CookRow:
    return CookRow(
        rule=rules()["FC-egg-pool"],
        hottest=Cell(345.15, "K", "model", 339.15),
        wanted=Cell(341.15, "K"),
        held=Cell(30.0, "s"),
        time=Cell(17.0, "s"),
        met=met,
        met_early=met_early,
    )


def food(**parts: object) -> FoodRow:
    body: dict[str, object] = {
        "name": "filling",
        "kind": "filling",
        "within": "",
        "put_on": "before",
        "unseen": False,
        "holds": ("egg",),
        "standing": (),
        "clocks": (),
        "growth": (GrowthRow("Salmonella", Cell(0.2, "1"), "small"),),
        "cooking": (),
        "lethality": None,
        "cooling": (),
        "advice": (),
    }
    return FoodRow(**(body | parts))  # type: ignore[arg-type]  # a row laid out by name


def test_a_clock_over_its_time_is_bad_and_within_it_is_not() -> None:
    over, within = (clock_said(clock("US-home-2h", t, 7200.0)) for t in (8000.0, 7000.0))
    assert over.bad
    assert not within.bad
    assert over.text.startswith("2 h 13 min warm, over the 2 h of the household guide")
    assert within.text == "1 h 57 min warm, within the 2 h of the household guide."


def test_a_rule_without_a_number_is_quoted_and_one_from_memory_says_so() -> None:
    said = clock_said(clock("EU-cool", 3600.0, None))
    assert not said.bad
    assert "no number" in said.text
    assert "from memory" in said.text
    assert cited(rules()["FC-hot"]) == "the US Food Code on hot food"


@pytest.mark.parametrize("rule", rules().values(), ids=lambda rule: rule.id)
def test_a_rule_is_told_by_a_plain_name_and_never_by_its_short_one(rule: Rule) -> None:
    countries = {"EU": ("EU", "German"), "UK": ("UK", "Scottish"), "US": ("US",)}
    said = clock_said(clock(rule.id, 600.0, None)).text
    assert rule.id not in said
    assert any(c in rule.name for c in countries.get(rule.jurisdiction, ("household",)))


def test_a_rule_whose_condition_is_not_met_gives_no_comfort() -> None:
    said = clock_said(clock("FC-TPHC-6h", 600.0, 21600.0, usable=False))
    assert "its own condition is not met" in said.text
    assert "within" not in said.text.replace("within 6 h", "")


@pytest.mark.parametrize(
    ("met", "early", "bad", "word"),
    [
        (True, True, False, "meets 68 °C for 17 s"),
        (True, False, True, "not at its early end, 66 °C"),
        (False, False, True, "does not meet 68 °C for 17 s"),
    ],
)
def test_a_core_met_only_late_in_the_band_is_not_met(
    *, met: bool, early: bool, bad: bool, word: str
) -> None:
    said = next(
        s
        for s in food_findings(food(cooking=(cook(met=met, met_early=early),)))
        if "spot" in s.text
    )
    assert said.bad == bad
    assert word in said.text


def test_what_the_oven_kills_is_judged_at_its_early_end() -> None:
    def lethality(best: float, early: float) -> LethalityRow:
        return LethalityRow(
            Cell(best, "1", "model", early), Cell(5.0, "1"), Cell(90.0, "s", "model", 30.0)
        )

    (weak, *_) = food_findings(food(lethality=lethality(6.0, 3.0)))
    assert weak.bad
    assert "6.0 powers of ten (3.0 if it ends early)" in weak.text
    assert "2 min at 70 °C" in weak.text
    (strong, *_) = food_findings(food(lethality=lethality(400.0, 200.0)))
    assert not strong.bad
    assert "more than 12 powers of ten at" in strong.text


def test_cooling_names_its_stage_and_until_when_by_the_clock() -> None:
    two = (clock("FC-cool", 600.0, 7200.0), clock("FC-cool", 600.0, 21600.0, at=23400.0))
    nine = datetime(2026, 3, 1, 9)  # noqa: DTZ001 - the kitchen's own clock
    found = list(food_findings(food(cooling=(CoolingRow("stove", 0, two),)), nine))
    first, second = (s.text for s in found if s.text.startswith("After the stove"))
    assert "57 → 21 °C" in first
    assert "up at 11:30" in first
    assert "57 → 5 °C" in second
    assert "up at 15:30" in second


def test_growth_past_tenfold_is_bad() -> None:
    (said,) = food_findings(food(growth=(GrowthRow("Salmonella", Cell(1.2, "1"), "red"),)))
    assert said.bad
    assert "×15.8 (more than tenfold)" in said.text


def test_where_a_food_stands() -> None:
    row = StandingRow(0, "kept:fridge", 0.0, 3900.0, 294.15, 286.15)
    assert standing_words(row) == "kept in the fridge, 1 h 5 min"
    assert standing_course(row) == "21 → 13 °C"
    assert standing_course(StandingRow(0, "make", 0.0, 60.0, 294.15, 294.2)) == "21 °C"


def test_a_limit_that_allows_no_time_says_kept_or_how_long_not() -> None:
    def stand(measured: float) -> StandRow:
        return StandRow(
            "hot",
            Cell(368.15, "K"),
            Cell(331.15, "K"),
            Cell(3600.0, "s"),
            Cell(331.15, "K"),
            (clock("FC-hot", measured, 0.0),),
        )

    told, kept = stand_findings(stand(0.0))
    assert told.text == "1 h in air of 58 °C, from the oven: 95 °C → 58 °C."
    assert kept.text.startswith("hot food is held at 135 °F (57 °C) or above: kept")
    assert list(stand_findings(stand(1200.0)))[1].bad
