"""Published worked examples of the classic rule, and what the heat balance makes of them.

The rule's answers are printed in the sources. The balance needs what they leave out:
hydrations are assumed (62, 62, 66, 56, 62 and 62 %), flour moisture 13.5 %, salt 2 %,
and a bowl and a room that each pull with 8 % (15 % in the last) of the dough. The
balance figures were made with another implementation of the same equations; they agree
with ours within 0.2 °F.
"""

from dataclasses import dataclass

import pytest

from doughwright.engine.classic_rule import classic_liquid_temperature, friction_factor
from doughwright.engine.kneading import Bench, MixingWay, usual_bench, usual_way
from doughwright.engine.mixing import MixedDough, as_portion, mixed_dough, portion_temperature_for
from doughwright.engine.portions import Portion
from doughwright.units import ICE_POINT

WATER_HEAT = 4180.0
FLOUR_HEAT = 1800.0
STILL = MixingWay("no motor")


def celsius(value: float) -> float:
    return ICE_POINT + value


def fahrenheit(value: float) -> float:
    return (value + 459.67) / 1.8


def in_celsius(value: float) -> float:
    return value - ICE_POINT


def in_fahrenheit(value: float) -> float:
    return value * 1.8 - 459.67


@dataclass(frozen=True)
class Example:
    """One printed example, °F; the last two are what the balance gives."""

    source: str
    flour: float
    room: float
    friction: float
    target: float
    water: float
    hydration: float
    plain: float
    balance: float


EXAMPLES = [
    Example("Treatise on Baking, warm room", 67, 85, 0, 78, 82, 0.62, 75.8, 80.5),
    Example("Treatise on Baking, cool flour", 62, 72, 0, 78, 100, 0.62, 84.4, 85.9),
    Example("baking-school class notes", 65, 65, 8, 75, 87, 0.66, 78.3, 79.6),
    Example("Pizza Today, June 2018", 65, 75, 35, 80, 65, 0.56, 65.0, 69.9),
    Example("friction how-to quoted in a forum", 60, 70, 16, 78, 88, 0.62, 76.5, 78.9),
]
each_example = pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e.source)


def flour_and_water(flour: float, water: float, hydration: float) -> list[Portion]:
    return [
        Portion("flour", 1.0, flour, specific_heat=FLOUR_HEAT),
        Portion("water", hydration, water, specific_heat=WATER_HEAT),
    ]


def with_all_heats(flour: float, water: float, hydration: float) -> list[Portion]:
    return [
        Portion("flour", 1.0, flour, dry_flour=1.0, flour_moisture=0.135),
        Portion("water", hydration, water, specific_heat=WATER_HEAT),
        Portion("salt", 0.02, flour, specific_heat=1130.0, salt=0.02),
    ]


def coupled(portions: list[Portion], room: float, pull: float) -> tuple[MixingWay, Bench]:
    """Give bowl and room so much of the dough's own heat capacity, each."""
    still = Bench(room, 0.0, room, 0.0)
    capacity = mixed_dough(portions, STILL, still).heat_capacity
    minutes_10 = 600.0
    transfer = pull * capacity * (1.0 + pull) / minutes_10
    way = MixingWay("no motor", duration=minutes_10)
    return way, Bench(room, pull * capacity, room, transfer)


def balance(example: Example) -> float:
    portions = with_all_heats(
        fahrenheit(example.flour), fahrenheit(example.water), example.hydration
    )
    way, bench = coupled(portions, fahrenheit(example.room), 0.08)
    return in_fahrenheit(mixed_dough(portions, way, bench).temperature)


@each_example
def test_the_rule_gives_the_printed_answer(example: Example) -> None:
    known = [fahrenheit(example.flour), fahrenheit(example.room)]
    water = classic_liquid_temperature(fahrenheit(example.target), known, example.friction / 1.8)
    assert in_fahrenheit(water) == pytest.approx(example.water, abs=1e-6)


@each_example
def test_flour_and_water_alone(example: Example) -> None:
    portions = flour_and_water(
        fahrenheit(example.flour), fahrenheit(example.water), example.hydration
    )
    room = Bench(fahrenheit(example.room), 0.0, fahrenheit(example.room), 0.0)
    found = in_fahrenheit(mixed_dough(portions, STILL, room).temperature)
    assert found == pytest.approx(example.plain, abs=0.06)


@each_example
def test_with_wetting_salt_bowl_and_room(example: Example) -> None:
    # bowl, room and salt are assumed; ours is lower by 0.03–0.17 °F in all five
    assert balance(example) == pytest.approx(example.balance, abs=0.2)


def test_the_two_treatise_doughs_are_not_equally_warm() -> None:
    # both are printed as 78 °F; the balance puts them 5.4 °F apart
    warm_room, cool_flour = EXAMPLES[:2]
    assert balance(cool_flour) - balance(warm_room) == pytest.approx(5.4, abs=0.1)


def test_the_pizza_example_leaves_its_motor_what_its_friction_factor_says() -> None:
    # 80 − 69.9 = 10.1 °F for the motor; 35/3 = 11.7
    pizza = EXAMPLES[3]
    left = pizza.target - balance(pizza)
    assert left == pytest.approx(10.1, abs=0.15)
    assert left == pytest.approx(pizza.friction / 3, abs=2.0)


def test_four_factors_with_a_starter() -> None:
    # All Foods Magazine: flour 24, room 19, starter 25.5 °C, 62 %, by hand, 26 °C: 35 °C.
    # Balance 30.4 without and 29.0 °C with the other heats (pull 15 %). The amount of
    # starter is not printed; at 3 % of the flour ours give 30.4 and 29.0, at 20 % 29.9 and
    # 28.5. The author measured 25.9 °C, but 7.5 h later in a room of 19 °C: no test.
    target, flour, room, starter = (celsius(t) for t in (26, 24, 19, 25.5))
    water = classic_liquid_temperature(target, [flour, room, starter], 0.0)
    assert in_celsius(water) == pytest.approx(35.5, abs=0.01)  # printed without the half
    levain = Portion("starter", 0.03, starter, specific_heat=(1800.0 + 4180.0) / 2)
    without = [*flour_and_water(flour, celsius(35), 0.62), levain]
    found = mixed_dough(without, STILL, Bench(room, 0.0, room, 0.0)).temperature
    assert in_celsius(found) == pytest.approx(30.4, abs=0.1)
    portions = [*with_all_heats(flour, celsius(35), 0.62), levain]
    way, bench = coupled(portions, room, 0.15)
    assert in_celsius(mixed_dough(portions, way, bench).temperature) == pytest.approx(
        29.0, abs=0.15
    )


@pytest.mark.parametrize(("flour", "room"), [(20.0, 20.0), (16.0, 24.0), (26.0, 28.0)])
def test_room_flour_and_water_add_up_to_54(flour: float, room: float) -> None:
    # French bakers' rule as a blog quotes it, °C; the mixer (spiral) and the dough's 24 °C
    # are assumed. It is the classic rule with 3·24 − 54 = 18 K of friction factor, that is
    # 6 K of warming, which is what the usual spiral gives a lean dough. ±1.5 °C of water
    lean = Portion("dough", 1.0, celsius(24), specific_heat=2820.0)
    spiral = mixed_dough([lean], usual_way("spiral"), Bench(celsius(24), 0.0, celsius(24), 0.0))
    factor = friction_factor(spiral.temperature - celsius(24), 3)
    water = classic_liquid_temperature(celsius(24), [celsius(flour), celsius(room)], factor)
    assert flour + room + in_celsius(water) == pytest.approx(54.0, abs=1.5)


# How the rule fails when temperatures differ: one mixer, tuned so that rule and balance
# agree at flour = room = 21 °C, 25 °C aimed at (friction factor 9 K, 62 %, bowl 0.2 of the
# dough's heat capacity).


def tuned_kitchen(room: float, hydration: float = 0.62) -> Bench:
    capacity = FLOUR_HEAT + hydration * WATER_HEAT
    return Bench(celsius(room), 0.2 * capacity, celsius(room), 0.0)


def tuned_warming() -> MixingWay:
    """Warm the dough as the rule believes when all is at 21 °C."""
    water = classic_liquid_temperature(celsius(25), [celsius(21)] * 2, 9.0)
    portions = flour_and_water(celsius(21), water, 0.62)
    unworked = mixed_dough(portions, STILL, tuned_kitchen(21.0))
    missing = celsius(25) - unworked.temperature
    capacity = unworked.heat_capacity + tuned_kitchen(21.0).bowl_heat_capacity
    return MixingWay("tuned", warming=missing * capacity / unworked.heat_capacity)


@pytest.mark.parametrize(
    ("flour", "room", "rule", "dough", "right"),
    [
        pytest.param(5, 21, 40.0, 27.4, 35.1, id="flour from the fridge"),
        pytest.param(-18, 21, 63.0, 30.8, 51.1, id="flour from the freezer"),
        pytest.param(30, 30, 6.0, 20.8, 14.5, id="hot kitchen"),
        pytest.param(21, 21, 24.0, 25.0, 24.0, id="tuned"),
    ],
)
def test_sensitivity_of_the_rule(
    flour: float, room: float, rule: float, dough: float, right: float
) -> None:
    # Another implementation of the same equations: ours within 0.1 °C, but for the water
    # in a hot kitchen, 14.7 against 14.5.
    water = classic_liquid_temperature(celsius(25), [celsius(flour), celsius(room)], 9.0)
    assert in_celsius(water) == pytest.approx(rule, abs=0.01)
    way, kitchen = tuned_warming(), tuned_kitchen(room)
    portions = flour_and_water(celsius(flour), water, 0.62)
    found = mixed_dough(portions, way, kitchen).temperature
    assert in_celsius(found) == pytest.approx(dough, abs=0.1)
    better = portion_temperature_for(celsius(25), portions, ["water"], way, kitchen)
    assert in_celsius(better) == pytest.approx(right, abs=0.25)


@pytest.mark.parametrize("hydration", [0.50, 0.85])
def test_near_equal_temperatures_hide_the_missing_weights(hydration: float) -> None:
    # printed as ±0.0 °C; ours −0.13 and +0.18, as a mixer's warming per dough is kept
    portions = flour_and_water(celsius(21), celsius(24), hydration)
    kitchen = tuned_kitchen(21.0, hydration)
    found = mixed_dough(portions, tuned_warming(), kitchen).temperature
    assert in_celsius(found) == pytest.approx(25.0, abs=0.25)


# The enriched sponge dough. Printed: milk at 38 °C with room and flour at 22 °C makes a
# sponge of 33.1 °C; cooled to 30.5 °C after 50 min it meets 350 g flour at 5 °C and the
# rest and makes 22.3 °C; 25 °C would need the flour at 17.7 °C; milk at 42 °C ends at 23.0.
# Given: 7 g instant yeast, 250 g milk, 150 g flour. Assumed here: a thick ceramic bowl,
# sponge stirred by hand for 3 min; rest = 1 egg (50 g) and 60 g sugar, 9 g salt at room
# temperature, 60 g butter (82 % fat) at 5 °C; kneaded in the bowl for 8 min.

ROOM = celsius(22)


def sponge(milk: float) -> MixedDough:
    portions = [
        Portion("milk", 0.25, celsius(milk), specific_heat=3890.0),
        Portion("flour", 0.15, ROOM, dry_flour=0.15),
        Portion("instant yeast", 0.007, ROOM, specific_heat=1850.0),
    ]
    return mixed_dough(portions, usual_way("hand", 180.0), usual_bench(ROOM, 0.407, "ceramic"))


def enriched(sponge_at: float, flour_at: float) -> tuple[list[Portion], MixingWay, Bench]:
    rest = [
        Portion("flour", 0.35, celsius(flour_at), dry_flour=0.35),
        Portion("egg", 0.05, ROOM, specific_heat=3650.0),
        Portion("butter", 0.06, celsius(5), specific_heat=2350.0, butterfat=0.82 * 0.06),
        Portion("sugar", 0.06, ROOM, specific_heat=1590.0, sugar=0.06),
        Portion("salt", 0.009, ROOM, specific_heat=1130.0, salt=0.009),
    ]
    portions = [as_portion("sponge", sponge(38.0), celsius(sponge_at)), *rest]
    mass = sum(p.mass for p in portions)
    return portions, usual_way("hand"), usual_bench(ROOM, mass, "ceramic")


def test_warm_milk_makes_a_warm_sponge() -> None:
    # ours 33.37: 0.27 warmer
    assert in_celsius(sponge(38.0).temperature) == pytest.approx(33.1, abs=0.3)


def test_cold_flour_makes_a_cold_dough_of_it() -> None:
    # ours 22.31
    found = mixed_dough(*enriched(30.5, 5.0)).temperature
    assert in_celsius(found) == pytest.approx(22.3, abs=0.3)


def test_the_flour_has_to_be_less_cold() -> None:
    # ours 17.71
    portions, way, bench = enriched(30.5, 5.0)
    found = portion_temperature_for(celsius(25), portions, ["flour"], way, bench)
    assert in_celsius(found) == pytest.approx(17.7, abs=0.3)


def test_hotter_milk_helps_little() -> None:
    # the sponge loses the same share of its lead on the room as from 33.1 to 30.5 °C
    kept = (30.5 - 22.0) / (33.1 - 22.0)
    lead = in_celsius(sponge(42.0).temperature) - in_celsius(sponge(38.0).temperature)
    portions, way, bench = enriched(30.5 + kept * lead, 5.0)
    found = mixed_dough(portions, way, bench).temperature  # ours 23.12
    assert in_celsius(found) == pytest.approx(23.0, abs=0.3)


def test_a_three_factor_rule_misused_on_flour_is_right_by_luck() -> None:
    # 3·25 − 22 (room) − 30.5 (sponge) − 2.7 (friction): 19.8 °C of flour, printed as 25.4
    found = mixed_dough(*enriched(30.5, 19.8)).temperature
    assert in_celsius(found) == pytest.approx(25.4, abs=0.3)
