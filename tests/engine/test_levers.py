"""Which handle is turned, how far it goes, and what is said about it."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.engine.ingredients import Composition
from doughwright.engine.kneading import Bench, MixingWay, usual_bench, usual_way
from doughwright.engine.levers import Lever, cold_share, levers, set_to
from doughwright.engine.mixing import as_portion, mixed_dough
from doughwright.engine.offers import (
    FlourOffer,
    IceOffer,
    Limit,
    LiquidOffer,
    PrefermentOffer,
    Reach,
    flour_offer,
    liquid_offer,
)
from doughwright.engine.portions import Portion
from doughwright.engine.yeast_limits import yeast_notices
from doughwright.units import ICE_POINT


def celsius(value: float) -> float:
    return ICE_POINT + value


WATER = Composition(1.0, 0.0, 0.0, 0.0, 0.0, 0.0)
ROOM = Bench(celsius(21), 0.0, celsius(21), 0.0)
HAND = MixingWay("hand", warming=1.0)
REACH = Reach(
    cold_tap=celsius(12),
    flour=celsius(20),
    fridge=celsius(5),
    hot_tap=celsius(50),
    freezer=celsius(-18),
)
TAP = liquid_offer(["water"], REACH, yeast=True)
FLOUR = flour_offer(["flour"], REACH)
ICE = IceOffer("water")


def lean(flour: float, water: float = 20.0) -> tuple[Portion, ...]:
    return (
        Portion("flour", 1.0, celsius(flour), dry_flour=1.0),
        Portion("water", 0.65, celsius(water), WATER),
        Portion("salt", 0.02, celsius(20), specific_heat=1130.0, salt=0.02),
    )


def codes(lever: Lever) -> list[str]:
    return [notice.code for notice in lever.notices]


def mixed(lever: Lever, way: MixingWay = HAND) -> float:
    return mixed_dough(lever.portions, way, ROOM).temperature


# The order of handles


def test_water_that_can_be_had_is_all_that_is_set() -> None:
    (water,) = levers(celsius(25), lean(20), [TAP, ICE, FLOUR], HAND, ROOM)
    assert (water.kind, water.names, water.feasible, water.limit) == (
        "liquid",
        ("water",),
        True,
        None,
    )
    assert water.temperature == water.unbounded
    assert mixed(water) == pytest.approx(celsius(25), abs=1e-6)
    assert water.notices == ()


def test_frozen_flour_asks_for_water_that_kills_yeast_and_then_for_warmer_flour() -> None:
    water, flour = levers(celsius(25), lean(-18), [TAP, FLOUR], HAND, ROOM)
    assert (water.limit, water.temperature) == ("yeast", pytest.approx(celsius(43)))
    assert water.unbounded > celsius(43)
    assert not water.feasible
    assert codes(water) == ["liquid-warm-for-yeast"]
    assert flour.feasible
    assert celsius(-18) < flour.temperature < celsius(20)
    assert 0.0 < flour.cold_share < 1.0  # most stays in the freezer
    assert mixed(flour) == pytest.approx(celsius(25), abs=1e-6)


def test_a_hot_kitchen_asks_for_ice_in_cold_water() -> None:
    water, ice = levers(celsius(22), lean(32, 28), [TAP, ICE, FLOUR], HAND, ROOM)
    assert (water.limit, water.temperature) == ("cold tap", celsius(12))
    assert ice.feasible
    assert 0.0 < ice.ice < 0.325
    assert ice.temperature == celsius(12)
    assert mixed(ice) == pytest.approx(celsius(22), abs=1e-6)
    assert sum(p.mass for p in ice.portions) == pytest.approx(1.67)


def test_water_below_freezing_is_not_water() -> None:
    water, ice = levers(celsius(15), lean(32), [TAP, ICE], HAND, ROOM)
    assert water.unbounded < ICE_POINT
    assert water.temperature == celsius(12)
    assert codes(water) == ["liquid-below-freezing"]
    assert ice.feasible


def test_when_more_ice_than_melts_is_wanted_cold_flour_takes_the_rest() -> None:
    way = MixingWay("high-energy", warming=14.0)
    found = levers(celsius(3), lean(32), [TAP, ICE, FLOUR], way, ROOM)
    assert [lever.kind for lever in found] == ["liquid", "ice", "flour"]
    assert found[1].limit == "the most ice that melts"
    assert found[1].ice == pytest.approx(0.325)
    assert mixed(found[2], way) == pytest.approx(celsius(3), abs=1e-6)
    assert found[2].feasible


def test_ice_is_no_help_when_the_dough_is_too_cold() -> None:
    before = lean(5)
    (ice,) = levers(celsius(25), before, [ICE], HAND, ROOM)
    assert (ice.ice, ice.feasible, ice.limit) == (0.0, False, "ice only cools")
    assert ice.portions == before


def test_no_handle_nothing_set() -> None:
    assert levers(celsius(25), lean(20), [], HAND, ROOM) == ()


def test_out_of_reach_gives_the_nearest_and_says_so() -> None:
    found = levers(celsius(38), lean(5), [TAP, FLOUR], HAND, ROOM)
    last = found[-1]
    assert [lever.feasible for lever in found] == [False, False]
    assert (last.limit, last.temperature) == ("bench", celsius(20))
    assert last.reached == pytest.approx(mixed(last))
    assert last.reached < celsius(38)
    assert codes(last)[0] == "target-out-of-reach"
    assert last.notices[0].values["reached"] == last.reached
    warmest = set_to(set_to(lean(5), ["water"], celsius(43)), ["flour"], celsius(20))
    assert last.reached == pytest.approx(mixed_dough(warmest, HAND, ROOM).temperature)


@given(
    st.floats(min_value=0.0, max_value=45.0),
    st.floats(min_value=-18.0, max_value=35.0),
    st.floats(min_value=1.0, max_value=50.0),
    st.permutations([TAP, ICE, FLOUR]),
)
def test_each_handle_within_its_limits_and_the_last_tells_the_truth(
    target: float, flour: float, water: float, offers: list[LiquidOffer | FlourOffer | IceOffer]
) -> None:
    found = levers(celsius(target), lean(flour, water), offers, HAND, ROOM)
    for lever in found:
        assert lever.feasible == (lever.limit is None)
        assert lever.reached == pytest.approx(mixed(lever), abs=1e-9)
        if lever.feasible:
            assert lever.reached == pytest.approx(celsius(target), abs=1e-6)
        if lever.kind == "liquid":
            assert celsius(12) <= lever.temperature <= celsius(43)
        if lever.kind == "flour":
            assert min(celsius(5), celsius(flour)) <= lever.temperature
            assert lever.temperature <= max(celsius(20), celsius(flour))
    assert all(not lever.feasible for lever in found[:-1])
    assert ("target-out-of-reach" in codes(found[-1])) == (not found[-1].feasible)


# Flour in two parts


def test_flour_is_taken_partly_from_the_fridge() -> None:
    (flour,) = levers(celsius(23), lean(20, 25), [FLOUR], HAND, ROOM)
    share = flour.cold_share
    parts = [
        replace(flour.portions[0], mass=part, dry_flour=part, temperature=celsius(at))
        for part, at in ((share, 5), (1 - share, 20))
    ]
    split = (*parts, *flour.portions[1:])
    assert 0.0 < share < 1.0
    assert mixed_dough(split, HAND, ROOM).temperature == pytest.approx(celsius(23), abs=1e-6)


@given(st.floats(min_value=0.0, max_value=1.0))
def test_the_cold_share_gives_the_mean_back(share: float) -> None:
    mean = share * celsius(5) + (1 - share) * celsius(22)
    assert cold_share(mean, celsius(5), celsius(22)) == pytest.approx(share, abs=1e-9)


def test_liquid_has_no_cold_share() -> None:
    (water,) = levers(celsius(25), lean(20), [TAP], HAND, ROOM)
    assert water.cold_share is None


# The liquid of a preferment


def sponge_at(
    milk: float, *, cooling: Callable[[float], float] = lambda warm: warm - 2.5
) -> Portion:
    dough = (
        Portion("milk", 0.25, milk, specific_heat=3890.0),
        Portion("flour", 0.15, celsius(22), dry_flour=0.15),
    )
    found = mixed_dough(dough, usual_way("hand", 180.0), usual_bench(celsius(22), 0.4))
    return as_portion("whatever", found, cooling(found.temperature))


def enriched(sponge: Portion) -> tuple[Portion, ...]:
    return (
        replace(sponge, name="sponge"),
        Portion("flour", 0.35, celsius(18), dry_flour=0.35),
        Portion("butter", 0.06, celsius(20), specific_heat=2350.0, butterfat=0.049),
    )


SPONGE = PrefermentOffer(
    "sponge", sponge_at, Limit("fridge", celsius(5)), Limit("yeast", celsius(43))
)


def test_the_milk_of_a_sponge_steers_the_dough_made_from_it() -> None:
    (milk,) = levers(celsius(25), enriched(sponge_at(celsius(30))), [SPONGE], HAND, ROOM)
    assert (milk.kind, milk.names, milk.feasible) == ("preferment liquid", ("sponge",), True)
    forward = enriched(sponge_at(milk.temperature))
    assert mixed_dough(forward, HAND, ROOM).temperature == pytest.approx(celsius(25), abs=2e-6)


def test_few_sponges_are_simulated() -> None:
    calls: list[float] = []

    def counted(milk: float) -> Portion:
        calls.append(milk)
        return sponge_at(milk, cooling=lambda warm: celsius(22) + 0.75 * (warm - celsius(22)))

    offer = replace(SPONGE, portion_at=counted)
    (milk,) = levers(celsius(25), enriched(sponge_at(celsius(30))), [offer], HAND, ROOM)
    assert milk.feasible
    assert len(calls) <= 8


@pytest.mark.parametrize(("target", "limit", "at"), [(10.0, "fridge", 5.0), (32.0, "yeast", 43.0)])
def test_a_sponge_too_warm_or_too_cold_stops_at_its_limit(
    target: float, limit: str, at: float
) -> None:
    (milk,) = levers(celsius(target), enriched(sponge_at(celsius(30))), [SPONGE], HAND, ROOM)
    assert (milk.limit, milk.temperature, milk.feasible) == (limit, celsius(at), False)
    assert milk.portions[0].name == "sponge"


# What a kitchen offers


@pytest.mark.parametrize(
    ("yeast", "chilled", "heated", "coldest", "warmest"),
    [
        (True, False, False, "cold tap", "yeast"),
        (False, False, False, "cold tap", "hot tap"),
        (True, True, True, "fridge", "yeast"),
        (False, True, True, "fridge", "boiling"),
    ],
)
def test_limits_of_a_liquid(
    *, yeast: bool, chilled: bool, heated: bool, coldest: str, warmest: str
) -> None:
    offer = liquid_offer(["milk"], REACH, yeast=yeast, chilled=chilled, heated=heated)
    assert (offer.coldest.name, offer.warmest.name) == (coldest, warmest)


def test_a_tepid_hot_tap_is_the_limit_before_the_yeast_is() -> None:
    reach = replace(REACH, hot_tap=celsius(38))
    assert liquid_offer(["water"], reach, yeast=True).warmest == Limit("hot tap", celsius(38))


def test_flour_comes_from_the_freezer_only_when_there_is_one() -> None:
    assert flour_offer(["flour"], REACH, from_freezer=True).coldest.name == "freezer"
    without = replace(REACH, freezer=None)
    assert flour_offer(["flour"], without, from_freezer=True).coldest.name == "fridge"


# Yeast


@pytest.mark.parametrize(
    ("liquid", "dough", "dry", "expected"),
    [
        pytest.param(35, 27, False, [], id="lukewarm"),
        pytest.param(40, 27, False, [], id="aim"),
        pytest.param(41, 27, False, ["liquid-warm-for-yeast"], id="past the aim"),
        # US Army TM 10-412: 110 °F (43.3 °C) kills or damages
        pytest.param(44, 27, False, ["liquid-kills-yeast"], id="110 °F"),
        # rehydration note: at 15 °C up to 60 % of dry yeast dies
        pytest.param(15, 22, True, ["dry-yeast-in-cold-liquid"], id="dry yeast in cold water"),
        pytest.param(15, 22, False, [], id="yeast in the flour, cold water"),
        pytest.param(30, 42, False, ["dough-warm-for-yeast"], id="warm dough"),
        # Caspeta & Nielsen 2015: proteome lethal near 49 °C
        pytest.param(30, 50, False, ["dough-kills-yeast"], id="hot dough"),
        pytest.param(None, 50, True, ["dough-kills-yeast"], id="no liquid"),
        pytest.param(
            90, 45, False, ["liquid-kills-yeast", "dough-warm-for-yeast"], id="scalded milk"
        ),
    ],
)
def test_what_temperatures_mean_for_yeast(
    *, liquid: float | None, dough: float, dry: bool, expected: list[str]
) -> None:
    at = None if liquid is None else celsius(liquid)
    found = yeast_notices(liquid=at, mixed=celsius(dough), dry_yeast_in_liquid=dry)
    assert [notice.code for notice in found] == expected


def test_a_yeast_notice_can_name_its_place() -> None:
    (notice,) = yeast_notices(liquid=celsius(44), mixed=celsius(30), where="sponge")
    assert notice.where == ("sponge",)


def test_liquid_without_yeast_is_not_judged_for_it() -> None:
    reach = replace(REACH, hot_tap=celsius(60))
    offer = liquid_offer(["water"], reach, yeast=False)
    (water,) = levers(celsius(33), lean(10), [offer], HAND, ROOM)
    assert water.temperature > celsius(43)
    assert water.notices == ()
