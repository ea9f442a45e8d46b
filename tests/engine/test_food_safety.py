"""Cores, finished bread and advice."""

import re
from typing import get_args

import pytest

from doughwright.engine.food_history import History, Step, approaching, joined, steady
from doughwright.engine.food_rules import Codes
from doughwright.engine.food_safety import (
    AdviceCode,
    Control,
    Filling,
    baked_advice,
    control_needed,
    cook_findings,
    dough_advice,
    egg_on_top_advice,
    filling_advice,
    log_reduction,
)
from doughwright.errors import catalogue
from doughwright.render.messages import remedy, words

HOUR = 3600.0
CODES: tuple[Codes, ...] = ("EU", "UK", "US")


def celsius(value: float) -> float:
    return 273.15 + value


def core(top: float, hold: float = 1.0) -> History:
    """A core that warms by 2 K a minute from 50 °C, and stays hot for so long."""
    rise = 30.0 * (top - 50.0)
    return History((0.0, rise, rise + hold), (celsius(50), celsius(top), celsius(top)))


def met(history: History, codes: Codes, kind: Filling) -> dict[str, bool]:
    return {f.rule.id: f.met for f in cook_findings(history, codes, kind)}


# --- cooking ---


def test_the_us_asks_egg_dishes_for_a_point_and_pooled_egg_for_17_seconds() -> None:
    assert met(core(71.2), "US", "egg") == {"US-eggdish": True, "FC-egg-pool": True}
    assert met(core(71.0), "US", "egg") == {"US-eggdish": False, "FC-egg-pool": True}
    assert met(steady(celsius(68), 16.0), "US", "egg")["FC-egg-pool"] is False
    assert met(steady(celsius(68), 17.0), "US", "egg")["FC-egg-pool"] is True


def test_the_seconds_are_counted_without_a_break() -> None:
    twice = joined(steady(celsius(69), 10.0), steady(celsius(60), 60.0), steady(celsius(69), 10.0))
    assert met(twice, "US", "egg")["FC-egg-pool"] is False


def test_with_meat_the_us_asks_for_more() -> None:
    assert met(core(73.8), "US", "meat") == {"US-casserole": False}
    assert met(core(73.9), "US", "meat") == {"US-casserole": True}


def test_the_uk_counts_equivalents_and_is_stricter_below_70() -> None:
    assert met(steady(celsius(70), 120.0), "UK", "egg") == {"UK-cook": True, "UK-cook-strict": True}
    ten = met(steady(celsius(65), 600.0), "UK", "egg")  # FSA's pair; ACMSF asks for 14 min
    assert ten == {"UK-cook": True, "UK-cook-strict": False}
    (first, _) = cook_findings(steady(celsius(70), 180.0), "UK", "egg")
    assert first.reached == pytest.approx(120.0, abs=0.2)


def test_the_eu_gives_no_number_so_the_household_advice_stands_in() -> None:
    (only,) = cook_findings(core(75.0), "EU", "egg")
    assert only.rule.jurisdiction == "household"
    assert "advice" in only.rule.says
    assert only.met
    assert not cook_findings(core(68.0), "EU", "egg")[0].met


def test_immediate_service_is_never_the_measure_of_a_filling() -> None:
    # Food Code 3-401.11(A)(1)(a): 63 °C for 15 s is half a log
    assert log_reduction(steady(celsius(63), 15.0)) == pytest.approx(0.49, abs=0.01)
    for codes in CODES:
        assert not any(f.met for f in cook_findings(steady(celsius(63), 15.0), codes, "egg"))


# --- finished bread ---

# Food Code 1-201.10, table B, one point in each cell: water activity, pH, freed
TABLE_B = [
    (0.87, 6.5, True),
    (0.88, 5.0, True),
    (0.90, 5.1, False),
    (0.91, 4.6, True),
    (0.92, 4.7, False),
    (0.95, 4.1, True),
    (0.95, 4.2, False),
    (0.99, 6.0, False),
]
TABLE_A = [(0.92, 7.0, True), (0.95, 5.6, True), (0.95, 5.7, False), (0.97, 4.6, True)]


@pytest.mark.parametrize(("activity", "acidity", "freed"), TABLE_B)
def test_table_b(activity: float, acidity: float, *, freed: bool) -> None:
    found = control_needed(egg_or_soft_cheese=True, water_activity=activity, acidity=acidity)
    assert found == Control(not freed, "table B" if freed else "assessment")


@pytest.mark.parametrize(("activity", "acidity", "freed"), [*TABLE_A, (0.97, 4.7, False)])
def test_table_a(activity: float, acidity: float, *, freed: bool) -> None:
    found = control_needed(
        egg_or_soft_cheese=True, water_activity=activity, acidity=acidity, packaged_hot=True
    )
    assert found == Control(not freed, "table A" if freed else "assessment")


def test_nothing_measured_the_filling_decides() -> None:
    assert control_needed(egg_or_soft_cheese=True) == Control(needed=True, by="filling")
    assert control_needed(egg_or_soft_cheese=False) == Control(needed=False, by="plain")
    assert control_needed(egg_or_soft_cheese=True, acidity=3.9).needed  # pH alone frees nothing
    assert control_needed(egg_or_soft_cheese=True, water_activity=0.95).needed


@pytest.mark.parametrize("codes", CODES)
def test_a_bread_that_needs_it_is_kept_cold(codes: Codes) -> None:
    needed = baked_advice(control_needed(egg_or_soft_cheese=True), codes)
    assert [a.code for a in needed] == ["food-cool-within", "food-keep-baked-cold"]
    assert baked_advice(control_needed(egg_or_soft_cheese=False), codes) == ()


# --- advice ---


@pytest.mark.parametrize("codes", CODES)
def test_a_filling_made_first_and_used_after_three_hours_is_caught_everywhere(codes: Codes) -> None:
    history = joined(
        steady(celsius(22), 3 * HOUR), approaching(celsius(22), celsius(28), HOUR, HOUR)
    )
    advice = filling_advice(history, codes, "egg")
    assert [a.code for a in advice] == [
        "food-make-later",
        "food-keep-cold",
        "food-fill-after-proof",
        "food-pasteurised-egg",
        "food-toxin",
        "food-bake-to",
        "food-cool-within",
    ]
    assert advice[0].rule.id == "US-home-2h"
    assert dict(advice[0].values)["later"] == pytest.approx(2 * HOUR, abs=1.0)
    bake_to = {"EU": "home-cook", "UK": "UK-cook", "US": "US-eggdish"}
    assert advice[5].rule.id == bake_to[codes]


@pytest.mark.parametrize("codes", CODES)
def test_the_same_filling_from_the_fridge_is_not(codes: Codes) -> None:
    history = joined(
        steady(celsius(5), 3 * HOUR, "chilled"),
        approaching(celsius(5), celsius(28), HOUR, HOUR, "proof"),
    )
    codes_said = [a.code for a in filling_advice(history, codes, "egg")]
    assert codes_said == ["food-bake-to", "food-cool-within"]


def test_a_core_that_was_measured_hot_needs_no_goal() -> None:
    oven = History((0.0, 1200.0), (celsius(25), celsius(92)), (Step("bake", 0.0, celsius(200)),))
    history = joined(approaching(celsius(5), celsius(25), HOUR, HOUR, "proof"), oven)
    for codes in CODES:
        assert [a.code for a in filling_advice(history, codes, "egg")] == ["food-cool-within"]


def test_an_hour_in_a_hot_proofer_is_advised_on_before_any_clock_is_broken() -> None:
    # 32 °C for 115 min: inside the guide's two hours, 1.3 log of Salmonella by the model
    warm = steady(celsius(32), 115 * 60.0, "proof")
    assert "food-keep-cold" in [a.code for a in filling_advice(warm, "UK", "cheese")]


def test_a_bake_does_not_undo_toxin() -> None:
    """PMC6912147's cardinal temperatures by hand: 1.29 log of S. aureus in 4 h at 25 °C."""
    said = {a.code: a for a in filling_advice(steady(celsius(25), 4 * HOUR), "UK", "cheese")}
    assert dict(said["food-toxin"].values)["times"] == pytest.approx(10**1.29, rel=0.01)


def test_an_egg_that_is_set_is_not_called_raw() -> None:
    assert egg_on_top_advice(core(72.0), "US") == ()


def test_milk_and_egg_make_the_difference_for_a_dough() -> None:
    night = steady(celsius(21), 12 * HOUR)
    assert dough_advice(night, milk_or_egg=False) == ()
    assert [a.code for a in dough_advice(night, milk_or_egg=True)] == [
        "food-dough-cold",
        "food-dough-overnight",
    ]
    three = dough_advice(steady(celsius(24), 3 * HOUR), milk_or_egg=True)
    assert [a.code for a in three] == ["food-dough-cold"]
    cold = approaching(celsius(24), celsius(4), 2 * HOUR, 12 * HOUR, "chilled")
    assert "food-dough-overnight" not in [a.code for a in dough_advice(cold, milk_or_egg=True)]


def test_all_advice_can_be_said_and_never_says_the_word() -> None:
    unsafe = re.compile(r"\bsafe(ly|r|st)?\b", re.IGNORECASE)
    texts = [e.template + e.remedy for c, e in catalogue().items() if c.startswith("food-")]
    assert len(texts) == len(get_args(AdviceCode)) + 1
    history = joined(
        steady(celsius(22), 3 * HOUR), approaching(celsius(22), celsius(28), HOUR, HOUR)
    )
    said = [
        a.notice
        for codes in CODES
        for a in (
            *filling_advice(history, codes, "egg"),
            *egg_on_top_advice(core(60.0), codes),
            *baked_advice(control_needed(egg_or_soft_cheese=True), codes),
            *dough_advice(steady(celsius(21), 12 * HOUR), milk_or_egg=True),
        )
    ]
    assert {n.code for n in said} == set(get_args(AdviceCode))
    texts += [words(n) + remedy(n) for n in said]
    assert [t for t in texts if unsafe.search(t) or "[" in t] == []
