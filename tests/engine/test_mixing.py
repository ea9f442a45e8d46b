"""Laws of the heat balance at mixing, and what it refuses."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from doughwright.engine.classic_rule import (
    CLASSIC_RULE,
    classic_ice_mass,
    classic_liquid_temperature,
    friction_factor,
    friction_factor_from_mix,
    warming_from_friction_factor,
)
from doughwright.engine.ingredients import Composition
from doughwright.engine.kneading import Bench, MixingWay, usual_bench, usual_way
from doughwright.engine.mixing import (
    MixedDough,
    as_portion,
    ice_mass_for,
    mixed_dough,
    portion_temperature_for,
)
from doughwright.engine.portions import (
    Portion,
    portion_specific_heat,
    solid_fat,
    wetting_heat,
    with_ice,
)
from doughwright.errors import ImpossibleInput
from doughwright.sources import notices_for
from doughwright.units import ICE_POINT

WATER = Composition(1.0, 0.0, 0.0, 0.0, 0.0, 0.0)
BUTTER = Composition(0.16, 0.009, 0.811, 0.001, 0.0, 0.019)
EGG = Composition(0.7615, 0.1256, 0.0951, 0.0072, 0.0, 0.0106)
STILL = Bench(ICE_POINT + 20, 0.0, ICE_POINT + 20, 0.0)
NO_WORK = MixingWay("none")

kitchen_temperatures = st.floats(min_value=ICE_POINT - 15, max_value=ICE_POINT + 60)
masses = st.floats(min_value=0.01, max_value=2.0)


def celsius(value: float) -> float:
    return ICE_POINT + value


@st.composite
def doughs(draw: st.DrawFn) -> tuple[Portion, ...]:
    """Flour, water, butter, egg, sugar and salt, each at some temperature."""
    at = [draw(kitchen_temperatures) for _ in range(6)]
    flour, water, butter, egg = (draw(masses) for _ in range(4))
    return (
        Portion("flour", flour, at[0], dry_flour=flour, flour_moisture=0.13),
        Portion("water", water, at[1], WATER),
        Portion("butter", butter, at[2], BUTTER, butterfat=0.811 * butter),
        Portion("egg", egg, at[3], EGG),
        Portion("sugar", 0.1 * flour, at[4], specific_heat=1590.0, sugar=0.1 * flour),
        Portion("salt", 0.02 * flour, at[5], specific_heat=1130.0, salt=0.02 * flour),
    )


ways = st.builds(
    MixingWay,
    name=st.just("some way"),
    warming=st.none() | st.floats(min_value=0.0, max_value=14.0),
    specific_power=st.none() | st.floats(min_value=0.0, max_value=220.0),
    duration=st.floats(min_value=0.0, max_value=900.0),
)
benches = st.builds(
    Bench,
    room=st.floats(min_value=celsius(5), max_value=celsius(40)),
    bowl_heat_capacity=st.floats(min_value=0.0, max_value=2000.0),
    bowl_temperature=st.floats(min_value=celsius(-5), max_value=celsius(60)),
    transfer=st.floats(min_value=0.0, max_value=2.0),
)


def temperature(portions: tuple[Portion, ...], way: MixingWay, bench: Bench) -> float:
    return mixed_dough(portions, way, bench).temperature


def enriched(butter: float) -> tuple[Portion, ...]:
    return (
        Portion("flour", 0.5, celsius(20), dry_flour=0.5),
        Portion("milk", 0.3, celsius(30), specific_heat=3890.0),
        Portion("butter", 0.1, butter, BUTTER, butterfat=0.081),
    )


# Laws


@given(doughs(), ways, benches)
def test_the_heat_account_closes(dough: tuple[Portion, ...], way: MixingWay, bench: Bench) -> None:
    assert abs(mixed_dough(dough, way, bench).residual) < 1e-9


@given(doughs(), st.floats(min_value=0.0, max_value=0.5), ways, benches)
def test_the_heat_account_closes_with_ice(
    dough: tuple[Portion, ...], share: float, way: MixingWay, bench: Bench
) -> None:
    water = dough[1].mass
    iced = with_ice(dough, "water", share * water, celsius(-10))
    assert abs(mixed_dough(iced, way, bench).residual) < 1e-9


@given(doughs(), ways, benches, st.integers(0, 5), st.floats(min_value=0.01, max_value=40.0))
def test_a_warmer_portion_makes_a_warmer_dough(
    dough: tuple[Portion, ...], way: MixingWay, bench: Bench, which: int, warmer: float
) -> None:
    warm = list(dough)
    warm[which] = replace(dough[which], temperature=dough[which].temperature + warmer)
    assert temperature(tuple(warm), way, bench) > temperature(dough, way, bench)


@given(doughs(), ways, benches, st.sampled_from([("water",), ("flour",), ("butter",), ("egg",)]))
def test_a_solved_temperature_mixed_forward_gives_the_target(
    dough: tuple[Portion, ...], way: MixingWay, bench: Bench, names: tuple[str, ...]
) -> None:
    target = celsius(25)
    found = portion_temperature_for(target, dough, names, way, bench)
    assume(abs(found - target) < 1e4)  # beyond, rounding of the temperature itself shows
    mixed = tuple(replace(p, temperature=found) if p.name in names else p for p in dough)
    assert temperature(mixed, way, bench) == pytest.approx(target, abs=1e-6)


@given(doughs(), ways, benches)
def test_several_portions_are_solved_to_one_common_temperature(
    dough: tuple[Portion, ...], way: MixingWay, bench: Bench
) -> None:
    names = ("flour", "butter", "sugar")
    found = portion_temperature_for(celsius(24), dough, names, way, bench)
    mixed = tuple(replace(p, temperature=found) if p.name in names else p for p in dough)
    assert temperature(mixed, way, bench) == pytest.approx(celsius(24), abs=1e-6)


@given(doughs(), ways, benches, st.integers(0, 5), st.floats(min_value=0.05, max_value=0.95))
def test_splitting_a_portion_changes_nothing(
    dough: tuple[Portion, ...], way: MixingWay, bench: Bench, which: int, share: float
) -> None:
    whole = dough[which]
    parts = tuple(
        replace(
            whole,
            mass=part * whole.mass,
            dry_flour=part * whole.dry_flour,
            salt=part * whole.salt,
            sugar=part * whole.sugar,
            butterfat=part * whole.butterfat,
        )
        for part in (share, 1.0 - share)
    )
    split = (*dough[:which], *parts, *dough[which + 1 :])
    assert temperature(split, way, bench) == pytest.approx(temperature(dough, way, bench), abs=1e-8)


@given(doughs(), ways, benches)
def test_the_order_of_portions_does_not_matter(
    dough: tuple[Portion, ...], way: MixingWay, bench: Bench
) -> None:
    assert temperature(dough[::-1], way, bench) == pytest.approx(
        temperature(dough, way, bench), abs=1e-8
    )


@given(doughs(), ways, benches, st.floats(min_value=0.5, max_value=20.0))
def test_scaling_dough_bowl_and_surfaces_together_changes_nothing(
    dough: tuple[Portion, ...], way: MixingWay, bench: Bench, factor: float
) -> None:
    extensive = ("mass", "dry_flour", "salt", "sugar", "butterfat")
    larger = tuple(
        replace(p, **{name: factor * getattr(p, name) for name in extensive}) for p in dough
    )
    larger_bench = replace(
        bench,
        bowl_heat_capacity=factor * bench.bowl_heat_capacity,
        transfer=factor * bench.transfer,
    )
    assert temperature(larger, way, larger_bench) == pytest.approx(
        temperature(dough, way, bench), abs=1e-8
    )


@given(kitchen_temperatures, masses, masses)
def test_without_extra_heats_portions_alike_stay_as_they_are(
    alike: float, flour: float, water: float
) -> None:
    dough = (
        Portion("flour", flour, alike, specific_heat=1800.0),
        Portion("water", water, alike, WATER),
    )
    assert temperature(dough, NO_WORK, STILL) == pytest.approx(alike, abs=1e-9)


@given(st.lists(kitchen_temperatures, min_size=2, max_size=4))
def test_without_work_the_dough_lies_between_its_portions(portions: list[float]) -> None:
    dough = tuple(Portion(str(i), 0.3, at, EGG) for i, at in enumerate(portions))
    found = temperature(dough, NO_WORK, STILL)
    assert min(portions) - 1e-9 <= found <= max(portions) + 1e-9


@given(
    st.floats(min_value=60, max_value=95),
    st.lists(st.floats(min_value=30, max_value=110), min_size=1, max_size=4),
    st.floats(min_value=0, max_value=60),
)
def test_the_classic_rule_is_the_same_in_celsius_and_fahrenheit(
    target: float, known: list[float], factor: float
) -> None:
    in_fahrenheit = (len(known) + 1) * target - sum(known) - factor
    found = classic_liquid_temperature(
        kelvin_from_fahrenheit(target), [kelvin_from_fahrenheit(t) for t in known], factor / 1.8
    )
    assert found == pytest.approx(kelvin_from_fahrenheit(in_fahrenheit), abs=1e-9)


def kelvin_from_fahrenheit(value: float) -> float:
    return (value + 459.67) / 1.8


@given(st.floats(min_value=0, max_value=20), st.integers(2, 6))
def test_a_friction_factor_and_the_warming_are_each_others_inverse(
    warming: float, factors: int
) -> None:
    factor = friction_factor(warming, factors)
    assert warming_from_friction_factor(factor, factors) == pytest.approx(warming)


@given(st.lists(kitchen_temperatures, min_size=2, max_size=3), kitchen_temperatures)
def test_the_rule_turned_round_gives_the_water_back(known: list[float], liquid: float) -> None:
    factor = friction_factor_from_mix(celsius(25), known, liquid)
    assert classic_liquid_temperature(celsius(25), known, factor) == pytest.approx(liquid)


# Limits with known answers


def test_room_and_work_follow_their_differential_equation() -> None:
    dough = (
        Portion("flour", 0.5, celsius(12), dry_flour=0.5),
        Portion("water", 0.3, celsius(35), WATER),
    )
    bench = Bench(celsius(18), 300.0, celsius(15), 1.5)
    way = MixingWay("machine", specific_power=40.0, duration=600.0)
    found = mixed_dough(dough, way, bench)
    capacity = found.heat_capacity + bench.bowl_heat_capacity
    power = way.specific_power * found.mass

    def rate(at: float) -> float:
        return (power + bench.transfer * (bench.room - at)) / capacity

    at, step = found.temperature_before_work, way.duration / 600
    for _ in range(600):  # midpoint rule
        at += step * rate(at + step / 2 * rate(at))
    assert found.temperature == pytest.approx(at, abs=1e-6)


def test_a_short_exchange_with_the_room_is_smooth() -> None:
    # The account has a series for small a; it must not show at the seam.
    dough = (Portion("water", 1.0, celsius(30), WATER),)
    for transfer in (1e-9, 1e-3, 0.00695, 0.00697, 0.1):
        bench = Bench(celsius(20), 0.0, celsius(20), transfer)
        way = MixingWay("machine", specific_power=10.0, duration=60.0)
        assert abs(mixed_dough(dough, way, bench).residual) < 1e-12


def test_with_all_the_time_in_the_world_the_dough_takes_the_room() -> None:
    dough = (Portion("water", 1.0, celsius(5), WATER),)
    bench = Bench(celsius(21), 0.0, celsius(21), 5.0)
    way = MixingWay("left alone", duration=1e5)
    assert temperature(dough, way, bench) == pytest.approx(celsius(21), abs=1e-6)


def test_measured_warming_is_the_warming_of_a_dough_that_meets_no_bowl() -> None:
    dough = (Portion("flour", 1.0, celsius(20), specific_heat=1800.0),)
    found = mixed_dough(dough, MixingWay("hand", warming=1.3), STILL)
    assert found.temperature - found.temperature_before_work == pytest.approx(1.3)


def test_measured_warming_goes_before_power() -> None:
    dough = (Portion("water", 1.0, celsius(20), WATER),)
    way = MixingWay("machine", warming=2.0, specific_power=100.0, duration=600.0)
    assert temperature(dough, way, STILL) == pytest.approx(celsius(22))


def test_wetting_warms_a_dough_by_about_two_kelvins() -> None:
    # 10.6 J/g at 13.5 % moisture over 4.4 J/(K g flour), 62 % water: 2.4 K
    dry = (
        Portion("flour", 1.0, celsius(20), dry_flour=1.0, flour_moisture=0.135),
        Portion("water", 0.62, celsius(20), WATER),
    )
    assert temperature(dry, NO_WORK, STILL) - celsius(20) == pytest.approx(2.41, abs=0.02)


@pytest.mark.parametrize(
    ("moisture", "heat", "slack"),
    [(0.115, 15.1e3, 0.3e3), (0.135, 10.6e3, 0.1e3), (0.14, 9.7e3, 0.1e3)],
    ids=["trade dictionary, 6.5 Btu/lb", "13.5 %", "14 %"],
)
def test_heat_of_wetting_falls_with_moisture(moisture: float, heat: float, slack: float) -> None:
    assert wetting_heat(moisture) == pytest.approx(heat, abs=slack)


def test_cold_butter_cools_more_than_its_specific_heat_says() -> None:
    firm = mixed_dough(enriched(celsius(5)), NO_WORK, STILL)
    terms = dict(firm.terms)
    # from 0.52 solid at 5 °C to what is left at the dough's temperature
    molten = 0.081 * (solid_fat(celsius(5)) - solid_fat(firm.temperature))
    assert terms["butter"] == pytest.approx(-90e3 * molten)
    assert molten > 0.02


def test_molten_butter_gives_no_heat_of_setting() -> None:
    soft = mixed_dough(enriched(celsius(45)), NO_WORK, STILL)
    assert dict(soft.terms)["butter"] == 0.0


def test_butter_melts_further_in_a_warmer_dough() -> None:
    shares = [solid_fat(celsius(t)) for t in range(-10, 45)]
    assert all(a >= b for a, b in pairwise(shares))
    assert (shares[0], shares[-1]) == (0.60, 0.0)


def test_ice_takes_its_heat_of_fusion() -> None:
    # 0.2 kg ice at 0 °C in 0.8 kg water at 30 °C: 30·0.8 − 334/4.176·0.2 = 8.0 °C
    dough = (
        Portion("water", 0.8, celsius(30), WATER),
        Portion("ice", 0.2, celsius(0), WATER, frozen=True),
    )
    assert temperature(dough, NO_WORK, STILL) == pytest.approx(celsius(8.0), abs=0.02)


def test_frozen_milk_holds_back_the_ice_of_its_water_only() -> None:
    milk = Composition(0.88, 0.0, 0.0, 0.12, 0.0, 0.0)
    dough = (
        Portion("milk", 0.2, celsius(0), milk, frozen=True),
        Portion("water", 0.8, celsius(30), WATER),
    )
    taken = 0.2 * 0.88 * 334e3
    capacity = mixed_dough(dough, NO_WORK, STILL).heat_capacity
    heat = 0.8 * 4176.6 * 30.0 - taken
    assert temperature(dough, NO_WORK, STILL) == pytest.approx(celsius(heat / capacity), abs=0.01)


@given(
    st.floats(min_value=celsius(10), max_value=celsius(25)),
    st.floats(min_value=celsius(-20), max_value=celsius(0)),
)
def test_the_ice_that_is_found_brings_the_dough_to_the_target(tap: float, ice: float) -> None:
    dough = (
        Portion("flour", 1.0, celsius(28), dry_flour=1.0),
        Portion("water", 0.6, tap, WATER),
    )
    warm = temperature(dough, NO_WORK, STILL)
    found = ice_mass_for(warm - 3.0, dough, "water", NO_WORK, STILL, ice)
    assert found.feasible
    assert found.mass + found.water == pytest.approx(0.6)
    iced = with_ice(dough, "water", found.mass, ice)
    assert temperature(iced, NO_WORK, STILL) == pytest.approx(warm - 3.0, abs=1e-6)


def test_no_more_than_half_the_water_becomes_ice() -> None:
    dough = (
        Portion("flour", 1.0, celsius(35), dry_flour=1.0),
        Portion("water", 0.3, celsius(25), WATER),
    )
    found = ice_mass_for(celsius(5), dough, "water", NO_WORK, STILL)
    assert not found.feasible
    assert found.mass == pytest.approx(0.15)
    assert found.wanted > 0.15
    assert found.reached > celsius(5)


def test_ice_is_not_wanted_when_the_dough_is_cold_already() -> None:
    dough = (Portion("water", 0.6, celsius(15), WATER),)
    found = ice_mass_for(celsius(20), dough, "water", NO_WORK, STILL)
    assert (found.mass, found.wanted, found.feasible) == (0.0, 0.0, False)
    assert found.reached == pytest.approx(celsius(15))


def test_a_preferment_goes_in_as_one_portion_and_is_not_wetted_again() -> None:
    sponge = (
        Portion("flour", 0.2, celsius(22), dry_flour=0.2),
        Portion("water", 0.2, celsius(30), WATER),
    )
    mixed = mixed_dough(sponge, NO_WORK, STILL)
    portion = as_portion("sponge", mixed, mixed.temperature)
    assert portion.dry_flour == 0.0
    assert temperature((portion,), NO_WORK, STILL) == pytest.approx(mixed.temperature)


# Specific heats


def test_flour_counts_with_its_own_specific_heat_in_any_mixture() -> None:
    mix = Portion("flour and seeds", 1.0, celsius(20), EGG, dry_flour=0.5)
    assert portion_specific_heat(mix) == pytest.approx(
        (1800.0 + portion_specific_heat(replace(mix, dry_flour=0.0))) / 2
    )


@pytest.mark.parametrize(
    ("composition", "published"),
    [
        pytest.param(WATER, 4180.0, id="water"),
        pytest.param(Composition(0.8813, 0.0315, 0.0325, 0.048, 0, 0.0069), 3890.0, id="milk"),
        pytest.param(EGG, 3650.0, id="egg"),
        pytest.param(BUTTER, 2350.0, id="butter, without melting"),
        pytest.param(Composition(0, 0, 1, 0, 0, 0), 2010.0, id="oil"),
        pytest.param(Composition(0, 0, 0, 1, 0, 0), 1590.0, id="sugar"),
        pytest.param(Composition(0, 0, 0, 0, 0, 1), 1130.0, id="salt"),
    ],
)
def test_specific_heats_at_20_degrees(composition: Composition, published: float) -> None:
    # Another implementation of Choi & Okos at 20 °C, with its own compositions: within 1 %.
    portion = Portion("it", 1.0, celsius(20), composition)
    assert portion_specific_heat(portion) == pytest.approx(published, rel=0.01)


# Defaults


@pytest.mark.parametrize(
    ("way", "low", "high"),
    [
        ("hand", 0.5, 1.5),  # from memory
        ("stand mixer", 2.0, 5.0),  # magazine how-to, factor 20 °F: 3.7 K
        ("spiral", 4.0, 8.0),  # about 1 K a minute, from memory
        ("processor", 4.0, 5.2),  # magazine how-to, factor 25 °F: 4.6 K
        ("high-energy", 13.0, 15.0),  # 11 Wh/kg, about 14 K, from memory
    ],
)
def test_usual_ways_warm_a_lean_dough_as_bakers_say(way: str, low: float, high: float) -> None:
    dough = (Portion("dough", 1.0, celsius(24), specific_heat=2820.0),)
    found = mixed_dough(dough, usual_way(way), STILL)
    assert low < found.temperature - celsius(24) < high


def test_a_home_batch_gives_room_and_bowl_a_say_of_a_tenth_to_a_fifth() -> None:
    # 0.9 kg by hand on a table; bowl, table and room start 10 K colder (an assumption
    # of the defaults: the room weighs 0.15–0.2 of the dough, not a third)
    dough = (Portion("dough", 0.9, celsius(30), specific_heat=2820.0),)
    way = MixingWay("hand", duration=480.0)
    found = temperature(dough, way, usual_bench(celsius(20), 0.9, on_table=True))
    assert 0.10 < (celsius(30) - found) / 10.0 < 0.20


def test_larger_batches_feel_their_bowl_less() -> None:
    small, large = (usual_bench(celsius(20), batch) for batch in (1.0, 8.0))
    assert large.bowl_heat_capacity == pytest.approx(4.0 * small.bowl_heat_capacity)
    assert large.transfer == pytest.approx(4.0 * small.transfer)


def test_a_warmed_bowl_warms_the_dough() -> None:
    dough = (Portion("water", 1.0, celsius(20), WATER),)
    cold = usual_bench(celsius(20), 1.0, "ceramic")
    warm = usual_bench(celsius(20), 1.0, "ceramic", bowl_temperature=celsius(45))
    assert temperature(dough, NO_WORK, warm) > temperature(dough, NO_WORK, cold) + 1.0


# Refusals and notices


def code_of(problem: pytest.ExceptionInfo[ImpossibleInput]) -> str:
    return problem.value.problems[0].code


def test_less_than_nothing_cannot_be_mixed() -> None:
    with pytest.raises(ImpossibleInput) as problem:
        Portion("water", -0.1, celsius(20), WATER)
    assert code_of(problem) == "negative-mass"


def test_ice_is_not_warm() -> None:
    with pytest.raises(ImpossibleInput) as problem:
        Portion("ice", 0.1, celsius(1), WATER, frozen=True)
    assert code_of(problem) == "warm-ice"


def test_what_is_unknown_holds_unknown_heat() -> None:
    with pytest.raises(ImpossibleInput) as problem:
        mixed_dough((Portion("ube paste", 0.1, celsius(20)),), NO_WORK, STILL)
    assert code_of(problem) == "no-specific-heat"


@pytest.mark.parametrize("portions", [(), (Portion("water", 0.0, 290.0, WATER),)])
def test_nothing_gives_no_dough(portions: tuple[Portion, ...]) -> None:
    with pytest.raises(ImpossibleInput) as problem:
        mixed_dough(portions, NO_WORK, STILL)
    assert code_of(problem) == "nothing-to-mix"


@pytest.mark.parametrize("names", [(), ("milk",), ("ice",), ("nothing",)])
def test_only_what_is_there_and_not_frozen_can_be_set(names: tuple[str, ...]) -> None:
    portions = (
        Portion("water", 0.5, celsius(20), WATER),
        Portion("ice", 0.1, celsius(0), WATER, frozen=True),
        Portion("nothing", 0.0, celsius(20), WATER),
    )
    with pytest.raises(ImpossibleInput) as problem:
        portion_temperature_for(celsius(24), portions, names, NO_WORK, STILL)
    assert code_of(problem) == "nothing-adjustable"


def test_ice_needs_water_to_replace() -> None:
    with pytest.raises(ImpossibleInput) as problem:
        ice_mass_for(celsius(5), enriched(celsius(5)), "water", NO_WORK, STILL)
    assert code_of(problem) == "nothing-adjustable"


def test_a_portion_out_of_range_is_named_in_its_notice() -> None:
    frosty = Portion("flour", 1.0, celsius(-30), dry_flour=1.0, flour_moisture=0.03)
    water = Portion("water", 0.6, celsius(60), WATER)
    notices = mixed_dough((frosty, water), NO_WORK, STILL).notices
    assert {(n.where, n.values["input"]) for n in notices} == {
        (("flour",), "portion temperature"),
        (("flour",), "flour moisture"),
    }


def test_an_ordinary_dough_gives_no_notice() -> None:
    assert mixed_dough(enriched(celsius(18)), usual_way("hand"), STILL).notices == ()


def test_the_classic_rule_says_when_its_temperatures_are_too_far_apart() -> None:
    assert len(notices_for(CLASSIC_RULE, known_temperature=celsius(5), spread=16.0)) == 2


def test_the_ice_rule_is_the_balance_of_ice_and_water() -> None:
    tap = Portion("water", 10.0, celsius(21), WATER)
    by_balance = ice_mass_for(celsius(3), (tap,), "water", NO_WORK, STILL).mass
    assert classic_ice_mass(10.0, celsius(21), celsius(3)) == pytest.approx(by_balance, rel=0.005)


def test_mixed_dough_only_holds_data() -> None:
    found = mixed_dough(enriched(celsius(18)), NO_WORK, STILL)
    assert isinstance(found, MixedDough)
    assert [name for name, _ in found.terms] == [
        "wetting",
        "solution",
        "butter",
        "bowl",
        "room",
        "work",
    ]
    assert [name for name, _ in found.portion_heats] == ["flour", "milk", "butter"]
