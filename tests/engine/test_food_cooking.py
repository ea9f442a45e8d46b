"""What each country asks of a core, for egg, meat, both, and cheese."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.engine.food_cooking import Filling, cook_findings, log_reduction
from doughwright.engine.food_history import History, joined, steady
from doughwright.engine.food_rules import Codes

CODES: tuple[Codes, ...] = ("EU", "UK", "US")
BOTH: frozenset[Filling] = frozenset({"egg", "meat"})


def celsius(value: float) -> float:
    return 273.15 + value


def core(top: float, hold: float = 1.0) -> History:
    """A core that warms by 2 K a minute from 50 °C, and stays hot for so long."""
    rise = 30.0 * (top - 50.0)
    return History((0.0, rise, rise + hold), (celsius(50), celsius(top), celsius(top)))


def met(history: History, codes: Codes, kinds: Filling | frozenset[Filling]) -> dict[str, bool]:
    return {f.rule.id: f.met for f in cook_findings(history, codes, kinds)}


def test_the_us_asks_egg_dishes_for_a_point_and_pooled_egg_for_17_seconds() -> None:
    assert met(core(71.2), "US", "egg") == {"US-eggdish": True, "FC-egg-pool": True}
    assert met(core(71.0), "US", "egg") == {"US-eggdish": False, "FC-egg-pool": True}
    assert met(steady(celsius(68), 16.0), "US", "egg")["FC-egg-pool"] is False
    assert met(steady(celsius(68), 17.0), "US", "egg")["FC-egg-pool"] is True


def test_the_seconds_are_counted_without_a_break() -> None:
    twice = joined(steady(celsius(69), 10.0), steady(celsius(60), 60.0), steady(celsius(69), 10.0))
    assert met(twice, "US", "egg")["FC-egg-pool"] is False


def test_meat_in_a_dough_is_a_stuffing_in_the_us() -> None:
    # Food Code 3-401.11(A)(3), from memory: 165 °F (74 °C); household chart: 73.9 °C
    assert met(core(73.8), "US", "meat") == {"FC-meat-stuffed": False, "US-casserole": False}
    assert met(core(73.9), "US", "meat") == {"FC-meat-stuffed": False, "US-casserole": True}
    assert met(core(74.0), "US", "meat") == {"FC-meat-stuffed": True, "US-casserole": True}
    assert all(f.rule.from_memory for f in cook_findings(core(70), "US", "meat")[:1])


def test_egg_beside_meat_keeps_its_own_rules() -> None:
    found = met(core(72.0), "US", BOTH)
    assert found == met(core(72.0), "US", "meat") | met(core(72.0), "US", "egg")
    assert found["US-eggdish"]
    assert not found["FC-meat-stuffed"]


@pytest.mark.parametrize("codes", CODES)
def test_of_cheese_alone_no_core_is_asked(codes: Codes) -> None:
    assert cook_findings(core(60.0), codes, "cheese") == ()
    assert cook_findings(core(60.0), codes, frozenset()) == ()
    with_egg: frozenset[Filling] = frozenset({"cheese", "egg"})
    assert met(core(60.0), codes, with_egg) == met(core(60.0), codes, "egg")


def test_the_uk_counts_equivalents_and_is_stricter_below_70() -> None:
    assert met(steady(celsius(70), 120.0), "UK", "egg") == {"UK-cook": True, "UK-cook-strict": True}
    ten = met(steady(celsius(65), 600.0), "UK", "egg")  # FSA's pair; ACMSF asks for 14 min
    assert ten == {"UK-cook": True, "UK-cook-strict": False}
    (first, _) = cook_findings(steady(celsius(70), 180.0), "UK", "egg")
    assert first.reached == pytest.approx(120.0, abs=0.2)


# FSA and, below 70 °C, ACMSF: °C, s, and the rules whose own pair it is
PAIRS = [
    (60.0, 2700.0, {"UK-cook"}),
    (65.0, 600.0, {"UK-cook"}),
    (60.0, 5580.0, {"UK-cook-strict", "home-cook"}),
    (65.0, 840.0, {"UK-cook-strict", "home-cook"}),
    (70.0, 120.0, {"UK-cook", "UK-cook-strict", "home-cook"}),
    (75.0, 30.0, {"UK-cook", "UK-cook-strict", "home-cook"}),
    (80.0, 6.0, {"UK-cook", "UK-cook-strict", "home-cook"}),
]


@pytest.mark.parametrize(("at", "time", "own"), PAIRS)
def test_a_published_pair_is_met_and_nine_tenths_of_it_are_not(
    at: float, time: float, own: set[str]
) -> None:
    for share, enough in ((1.0, True), (1.01, True), (0.9, False)):
        held = steady(celsius(at), share * time)
        found = met(held, "UK", "egg") | met(held, "EU", "egg")
        assert {found[rule] for rule in own} == {enough}


@given(st.floats(55.0, 95.0), st.floats(1.0, 6000.0))
def test_what_meets_the_stricter_advice_meets_the_plain_one(at: float, time: float) -> None:
    found = met(steady(celsius(at), time), "UK", "egg")
    assert found["UK-cook"] or not found["UK-cook-strict"]


kinds = st.sampled_from(["egg", "meat", BOTH])


@given(st.floats(55.0, 95.0), st.floats(1.0, 6000.0), st.floats(0.0, 10.0), kinds)
def test_hotter_or_longer_is_never_worse(
    at: float, time: float, by: float, held: Filling | frozenset[Filling]
) -> None:
    for codes in CODES:
        before = met(steady(celsius(at), time), codes, held)
        hotter = met(steady(celsius(at + by), time), codes, held)
        longer = met(steady(celsius(at), time + 60.0 * by), codes, held)
        for rule, enough in before.items():
            assert not enough or (hotter[rule] and longer[rule]), rule


def test_the_eu_gives_no_number_so_the_household_advice_stands_in() -> None:
    (only,) = cook_findings(core(75.0, 30.0), "EU", "egg")
    assert only.rule.jurisdiction == "household"
    assert "advice" in only.rule.says
    assert only.met
    assert not cook_findings(core(68.0), "EU", "egg")[0].met


def test_immediate_service_is_never_the_measure_of_a_filling() -> None:
    # Food Code 3-401.11(A)(1)(a): 63 °C for 15 s is half a log
    assert log_reduction(steady(celsius(63), 15.0)) == pytest.approx(0.49, abs=0.01)
    for codes in CODES:
        assert not any(f.met for f in cook_findings(steady(celsius(63), 15.0), codes, "egg"))
