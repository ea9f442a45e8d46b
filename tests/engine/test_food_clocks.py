"""Each clock by its own rule: hand-made courses, and the laws they all keep."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.engine.food_clocks import (
    clock_findings,
    cold_display_findings,
    cooling_findings,
    fda_cumulative,
    hot_holding_findings,
    household_finding,
)
from doughwright.engine.food_history import History, Step, approaching, joined, steady
from doughwright.engine.food_rules import Codes, Finding, rules

HOUR = 3600.0
CODES: tuple[Codes, ...] = ("EU", "UK", "US")


def celsius(value: float) -> float:
    return 273.15 + value


def by_rule(history: History, codes: Codes, *, sold: bool = False) -> dict[str, Finding]:
    return {f.rule.id: f for f in clock_findings(history, codes, sold=sold)}


FRIDGE = steady(celsius(5), 12 * HOUR, "chilled")
WARM = steady(celsius(22), 3 * HOUR)


def proofing(hours: float, air: float = 30.0) -> History:
    return approaching(celsius(5), celsius(air), HOUR, hours * HOUR, "proof")


# --- the data ---


def test_every_rule_names_its_section_and_how_it_is_known() -> None:
    for rule in rules().values():
        assert rule.section, rule.id
        assert rule.tag in {"read", "secondary", "from memory"}, rule.id
        assert (rule.source == "from memory") == rule.from_memory, rule.id
        assert rule.jurisdiction in {"EU", "UK", "US", "household"}, rule.id
        assert not re.search(r"\bsafe(ly|r|st)?\b", rule.says + rule.note, re.IGNORECASE), rule.id


@pytest.mark.parametrize(
    ("rule", "column", "value"),
    [
        ("US-home-zone", "low", 4.44),
        ("US-home-zone", "high", 60.0),
        ("US-home-2h", "air_or_middle", 32.22),
        ("US-eggdish", "high", 71.11),
        ("US-casserole", "high", 73.89),
        ("FC-cold", "low", 5.0),
        ("FC-hot", "high", 57.0),
        ("FC-TPHC-6h", "air_or_middle", 21.0),
        ("FC-cool", "air_or_middle", 21.0),
        ("FC-egg-pool", "high", 68.0),
        ("FC-meat-minced", "high", 68.0),
        ("FC-meat-stuffed", "high", 74.0),
        ("FC-shell", "low", 7.0),
        ("FDA-cum-hot", "air_or_middle", 21.1),
        ("FDA-cum-cool", "low", 10.0),
        ("UK-chill", "low", 8.0),
        ("UK-hot", "high", 63.0),
        ("UK-reheat-Sc", "high", 82.0),
        ("DE-hot", "high", 60.0),
    ],
)
def test_temperatures_as_the_rules_print_them(rule: str, column: str, value: float) -> None:
    assert getattr(rules()[rule], column) - 273.15 == pytest.approx(value, abs=0.011)


# --- a country's set ---


@pytest.mark.parametrize("codes", CODES)
def test_a_country_is_judged_by_its_own_rules_and_the_household_guide(codes: Codes) -> None:
    for found in (
        clock_findings(WARM, codes),
        cooling_findings(WARM, codes),
        hot_holding_findings(WARM, codes),
        cold_display_findings(WARM, codes),
    ):
        assert {f.rule.jurisdiction for f in found} == {codes, "household"}


def test_the_eu_gives_no_number_and_says_so() -> None:
    found = by_rule(WARM, "EU")
    assert found["EU-cold"].allowed is None
    assert found["EU-cold"].exceeded is None
    assert found["EU-cold"].left is None
    assert found["US-home-2h"].exceeded


# --- the household guide ---


def test_a_night_in_a_fridge_of_five_degrees_is_not_out() -> None:
    assert household_finding(FRIDGE).measured == 0.0
    assert household_finding(FRIDGE).reached is None


def test_one_hour_from_the_moment_the_air_is_hot() -> None:
    # 90 min at 22 °C, then a proofer of 34 °C: the hour was over when it went in
    history = joined(steady(celsius(22), 1.5 * HOUR), approaching(295.15, 307.15, HOUR, HOUR))
    found = household_finding(history)
    assert found.allowed == HOUR
    assert found.exceeded
    assert found.reached == pytest.approx(1.5 * HOUR, abs=1.0)


def test_an_oven_is_no_hot_room() -> None:
    oven = History((0.0, 600.0), (celsius(25), celsius(95)), (Step("bake", 0.0, celsius(200)),))
    assert household_finding(oven).allowed == 2 * HOUR


def test_a_place_nobody_named_is_as_warm_as_the_food() -> None:
    assert household_finding(steady(celsius(34), HOUR, known_air=False)).allowed == HOUR


# --- United States ---


def test_time_as_a_control_runs_on_when_food_goes_back() -> None:
    out = approaching(celsius(5), celsius(20), HOUR, HOUR, "display")
    back = approaching(out.temperatures[-1], celsius(4), HOUR, 4 * HOUR, "chilled")
    found = by_rule(joined(FRIDGE, out, back), "US", sold=True)["FC-TPHC-4h"]
    assert found.measured == 5 * HOUR
    assert found.exceeded
    assert found.reached == 16 * HOUR


def test_food_that_was_never_cold_cannot_be_kept_by_time() -> None:
    found = by_rule(WARM, "US")
    assert not found["FC-TPHC-4h"].usable
    assert found["FC-TPHC-4h"].exceeded is None
    assert found["FC-ambient"].allowed == 4 * HOUR
    assert not found["FC-ambient"].exceeded
    assert by_rule(steady(celsius(22), 5 * HOUR), "US")["FC-ambient"].exceeded


def test_food_mixed_warm_and_chilled_in_time_starts_its_clock_when_it_leaves_the_fridge() -> None:
    made = approaching(celsius(22), celsius(3), HOUR, 5 * HOUR, "chilled")
    found = by_rule(joined(made, approaching(made.temperatures[-1], 303.15, HOUR, HOUR)), "US")
    assert found["FC-ambient"].measured < 4 * HOUR
    assert not found["FC-ambient"].exceeded
    assert found["FC-TPHC-4h"].measured == pytest.approx(HOUR)
    assert found["FC-TPHC-4h"].reached == pytest.approx(9 * HOUR)


@pytest.mark.parametrize(("air", "usable"), [(20.0, True), (24.0, False)])
def test_six_hours_are_for_food_that_stays_at_21_degrees(air: float, *, usable: bool) -> None:
    history = approaching(celsius(5), celsius(air), 0.5 * HOUR, 5 * HOUR, "display")
    found = by_rule(history, "US", sold=True)
    assert found["FC-TPHC-6h"].usable is usable
    assert found["FC-TPHC-6h"].exceeded is (False if usable else None)
    assert found["FC-TPHC-4h"].exceeded


def test_the_two_clauses_of_table_a_2() -> None:
    # FDA fish guide, Appendix 4: ever above 21.1 °C → 2 h above it, 4 h above 10 °C
    mild = steady(celsius(15), 3 * HOUR)
    warm = joined(mild, steady(celsius(25), 0.5 * HOUR))
    assert fda_cumulative(warm).rule.id == "FDA-cum-warm"
    assert not fda_cumulative(warm).exceeded
    long = joined(mild, steady(celsius(25), 1.5 * HOUR))
    assert fda_cumulative(long).exceeded
    assert fda_cumulative(long).reached == pytest.approx(4 * HOUR, abs=1.0)
    hot = steady(celsius(25), 2.5 * HOUR)
    assert fda_cumulative(hot).rule.id == "FDA-cum-hot"
    assert fda_cumulative(hot).exceeded
    assert not fda_cumulative(hot, only_staphylococcus=True).exceeded  # 3 h
    assert fda_cumulative(steady(celsius(25), 3.5 * HOUR), only_staphylococcus=True).exceeded


def test_food_never_warm_has_five_hours_from_memory() -> None:
    found = fda_cumulative(steady(celsius(15), 6 * HOUR))
    assert (found.rule.id, found.allowed, found.exceeded) == ("FDA-cum-cool", 5 * HOUR, True)
    assert found.rule.from_memory
    assert not fda_cumulative(steady(celsius(15), 6 * HOUR), only_staphylococcus=True).exceeded


# --- United Kingdom ---


def test_four_hours_in_one_period_above_eight_degrees() -> None:
    # Sch. 4 para 5: a period of less than four hours
    assert by_rule(steady(celsius(20), 4 * HOUR), "UK")["UK-chill-4h"].exceeded
    assert not by_rule(steady(celsius(20), 4 * HOUR - 1.0), "UK")["UK-chill-4h"].exceeded
    assert not by_rule(steady(celsius(8), 9 * HOUR), "UK")["UK-chill-4h"].exceeded


def test_a_second_period_on_display_is_one_too_many() -> None:
    out, cold = steady(celsius(20), HOUR, "display"), steady(celsius(4), HOUR, "chilled")
    twice = joined(cold, out, cold, out)
    found = by_rule(twice, "UK", sold=True)["UK-chill-4h"]
    assert found.exceeded
    assert found.reached == pytest.approx(3 * HOUR, abs=1.0)
    assert not by_rule(twice, "UK")["UK-chill-4h"].exceeded  # while it is being made


def test_while_food_is_made_all_its_times_above_eight_degrees_add_up() -> None:
    out, cold = steady(celsius(20), 2.5 * HOUR), steady(celsius(4), HOUR, "chilled")
    found = by_rule(joined(cold, out, cold, out), "UK")["UK-chill-4h"]
    assert found.measured == pytest.approx(5 * HOUR, abs=2.0)
    assert found.exceeded
    assert found.reached == pytest.approx(6 * HOUR, abs=2.0)
    once = by_rule(joined(cold, out, cold, steady(celsius(20), HOUR)), "UK")["UK-chill-4h"]
    assert not once.exceeded


def test_a_finding_says_whether_it_counts_warm_time_or_the_clock() -> None:
    for codes in CODES:
        for sold in (False, True):
            for found in by_rule(joined(FRIDGE, proofing(1.5)), codes, sold=sold).values():
                since = found.rule.id.startswith("FC-TPHC")
                assert found.counts == ("since" if since else "warm"), found.rule.id
    never_cold = by_rule(WARM, "US")["FC-TPHC-4h"]
    assert never_cold.counts == "warm"


# --- cooling, hot holding, cold display ---


def test_two_stages_of_cooling() -> None:
    # Food Code 3-501.14(A): 57 to 21 °C in 2 h, to 5 °C in 6 h
    line = History(
        (0.0, 1.5 * HOUR, 5.5 * HOUR),
        (celsius(57), celsius(21), celsius(5)),
        (Step("cooling", 0.0, celsius(2)),),
    )
    first, second, _ = cooling_findings(line, "US")
    assert first.measured == pytest.approx(1.5 * HOUR)
    assert second.measured == pytest.approx(5.375 * HOUR)  # cold from 5.5 °C on, in cold air
    assert not first.exceeded
    assert not second.exceeded
    slow = History((0.0, 2.5 * HOUR, 5 * HOUR), (celsius(57), celsius(21), celsius(5)))
    assert [f.exceeded for f in cooling_findings(slow, "US")] == [True, False, True]


@pytest.mark.parametrize(
    ("codes", "at", "rule", "exceeded"),
    [
        ("US", 57.0, "FC-hot", False),
        ("US", 56.9, "FC-hot", True),
        ("UK", 63.0, "UK-hot", False),
        ("UK", 62.0, "UK-hot", True),
        ("EU", 60.0, "DE-hot", False),
        ("EU", 59.0, "DE-hot", True),
        ("EU", 59.0, "EU-hot", None),
    ],
)
def test_hot_holding_by_authority(
    codes: Codes, at: float, rule: str, *, exceeded: bool | None
) -> None:
    held = steady(celsius(at), 3 * HOUR, "held")
    found = {f.rule.id: f for f in hot_holding_findings(held, codes)}
    assert found[rule].exceeded is exceeded


def test_the_uk_lets_hot_food_cool_once_for_less_than_two_hours() -> None:
    cooling = History((0.0, HOUR, 2 * HOUR), (celsius(70), celsius(63), celsius(50)))
    assert hot_holding_findings(cooling, "UK")[0].exceeded is False
    assert hot_holding_findings(steady(celsius(50), 2 * HOUR, "held"), "UK")[0].exceeded


def test_a_display_of_seven_degrees_is_cold_in_the_uk_and_not_in_the_us() -> None:
    case = steady(celsius(7), 10 * HOUR, "display")
    assert not any(
        f.exceeded for f in cold_display_findings(case, "UK") if f.rule.id != "US-home-2h"
    )
    assert cold_display_findings(case, "US")[0].rule.id == "FC-cold"
    assert cold_display_findings(case, "US")[0].exceeded


# --- the filling of the demo, by its true path ---


def test_a_cold_filling_that_warms_only_in_the_proof() -> None:
    """12 h at 5 °C, then a proof of 90 min in 30 °C: no clock is broken, in any country."""
    history = joined(FRIDGE, proofing(1.5))
    for codes in CODES:
        found = by_rule(history, codes)
        assert not any(f.exceeded for f in found.values()), codes
        assert found["US-home-2h"].measured == pytest.approx(1.5 * HOUR)
    longer = by_rule(joined(FRIDGE, proofing(2.5)), "EU")
    assert longer["US-home-2h"].exceeded
    assert longer["US-home-2h"].reached == pytest.approx(14 * HOUR)


# --- laws ---

warmths = st.lists(st.floats(0.0, 50.0), min_size=2, max_size=6)


def course(values: list[float], *, air: float | None = None) -> History:
    times = tuple(2400.0 * i for i in range(len(values)))
    place = () if air is None else (Step("made", 0.0, celsius(air)),)
    return History(times, tuple(map(celsius, values)), place)


def counted(history: History) -> dict[str, Finding]:
    found = [household_finding(history), fda_cumulative(history), *clock_findings(history, "UK")]
    return {f.rule.id.partition("-cum")[0]: f for f in found}


@given(warmths, st.floats(0.0, 5.0))
def test_warmer_is_never_better(values: list[float], by: float) -> None:
    cooler, warmer = counted(course(values)), counted(course([v + by for v in values]))
    for name, finding in cooler.items():
        if finding.exceeded:
            assert warmer[name].exceeded, name


@given(warmths, st.floats(0.0, 50.0), st.sampled_from(CODES))
def test_longer_is_never_better(values: list[float], last: float, codes: Codes) -> None:
    # 50 °C stays below every upper end, so that nothing leaves a zone by heat
    shorter, longer = course(values, air=25.0), course([*values, last], air=25.0)
    after = {f.rule.id: f for f in clock_findings(longer, codes)}
    for finding in clock_findings(shorter, codes):
        if finding.exceeded and not finding.rule.id.startswith("FDA"):
            assert after[finding.rule.id].exceeded, finding.rule.id
    if fda_cumulative(shorter).exceeded:
        assert fda_cumulative(longer).exceeded


@given(warmths)
def test_a_limit_is_reached_when_it_is_exceeded(values: list[float]) -> None:
    history = course(values)
    for finding in counted(history).values():
        if finding.exceeded:
            assert finding.reached is not None
            assert finding.reached <= history.end + 1e-6
