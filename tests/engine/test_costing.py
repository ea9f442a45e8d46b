"""Costs: laws of sums and shares, the oven's energy against its balance, what is refused."""

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.engine.costing import (
    BatchCost,
    OvenHold,
    PricedLine,
    energy_cost,
    holding_energy,
    ingredient_cost,
    labour_cost,
    line_cost,
    mixed_price,
    one_currency,
    oven_energy,
    per_baked_kilogram,
    per_piece,
    preheating_energy,
    price_by_count,
    price_of_edible,
    stored_energy,
    unpriced_share,
)
from doughwright.engine.oven import Cavity, highest_temperature, oven_cavity, preheating_time
from doughwright.errors import ImpossibleInput
from doughwright.units import ICE_POINT

ROOM = ICE_POINT + 20.0
HOT = ICE_POINT + 200.0
USUAL = Cavity(10e3, 4.5, 2250.0)
KILOWATT_HOUR = 3.6e6

line = st.builds(
    PricedLine,
    st.just("dough"),
    st.sampled_from(("flour", "water", "salt")),
    st.floats(0.0, 50.0),
    st.one_of(st.none(), st.floats(0.0, 100.0)),
)
lines = st.lists(line, max_size=8)


def larger(found: list[PricedLine], times: float) -> list[PricedLine]:
    return [replace(each, mass=each.mass * times) for each in found]


@given(lines)
def test_twice_the_batch_costs_twice(found: list[PricedLine]) -> None:
    assert ingredient_cost(larger(found, 2.0)) == pytest.approx(2.0 * ingredient_cost(found))
    assert unpriced_share(larger(found, 2.0)) == pytest.approx(unpriced_share(found))


@given(lines)
def test_the_total_is_the_sum_of_unrounded_lines(found: list[PricedLine]) -> None:
    known = [each.cost for each in found if each.cost is not None]
    assert ingredient_cost(found) == pytest.approx(math.fsum(known))


@given(lines, st.floats(0.0, 10.0), st.floats(0.0, 10.0))
def test_parts_add_up_to_the_whole(found: list[PricedLine], energy: float, labour: float) -> None:
    cost = BatchCost(tuple(found), "EUR", energy, labour)
    assert cost.total == pytest.approx(cost.ingredients + energy + labour)
    assert BatchCost(tuple(found), "EUR").total == pytest.approx(cost.ingredients)


@given(lines)
def test_what_has_no_price_is_named_and_never_free(found: list[PricedLine]) -> None:
    cost = BatchCost(tuple(found), "EUR")
    assert set(cost.unknown) == {each.name for each in found if each.price is None}
    assert 0.0 <= cost.unknown_share <= 1.0
    assert all(each.cost is None for each in found if each.price is None)
    free = ingredient_cost([each for each in found if each.price is not None])
    assert cost.ingredients == pytest.approx(free)


def test_the_share_of_what_has_no_price_is_by_mass() -> None:
    found = (PricedLine("dough", "flour", 3.0, 1.0), PricedLine("dough", "curd", 1.0, None))
    assert BatchCost(found, "EUR").unknown_share == pytest.approx(0.25)
    assert BatchCost((), "EUR").unknown_share == 0.0


@given(st.floats(0.0, 1e4), st.integers(1, 500), st.floats(0.01, 100.0))
def test_pieces_and_kilograms_give_the_batch_again(cost: float, pieces: int, baked: float) -> None:
    assert per_piece(cost, pieces) * pieces == pytest.approx(cost)
    assert per_baked_kilogram(cost, baked) * baked == pytest.approx(cost)


@given(st.floats(0.01, 10.0), st.floats(0.005, 0.5), st.integers(1, 60))
def test_counted_things_cost_what_so_many_cost(each: float, edible: float, count: int) -> None:
    """The shell changes the price of a kilogram, never that of an egg."""
    assert line_cost(count * edible, price_by_count(each, edible)) == pytest.approx(count * each)


@given(st.floats(0.0, 100.0), st.floats(0.01, 1.0), st.floats(0.001, 10.0))
def test_what_is_thrown_away_is_paid(bought: float, edible: float, mass: float) -> None:
    """So much in the bowl costs what had to be bought for it."""
    assert line_cost(mass, price_of_edible(bought, edible)) == pytest.approx(
        line_cost(mass / edible, bought)
    )


def test_what_is_used_whole_costs_what_it_cost() -> None:
    assert price_of_edible(2.90, 1.0) == 2.90


def test_a_mixture_costs_what_its_parts_do() -> None:
    assert mixed_price([(1 / 3, 1.20), (2 / 3, 0.0)]) == pytest.approx(0.40)
    assert mixed_price([(0.5, None), (0.5, 0.0)]) is None
    assert mixed_price([(1.0, 2.0), (0.0, None)]) == pytest.approx(2.0)


def test_one_currency_is_kept_and_two_are_refused() -> None:
    assert one_currency([]) == ""
    assert one_currency(["GBP", "GBP"]) == "GBP"
    with pytest.raises(ImpossibleInput) as caught:
        one_currency(["EUR", "GBP", "EUR"])
    (found,) = caught.value.problems
    assert (found.code, found.values["read"]) == ("currencies-mixed", "EUR, GBP")


@pytest.mark.parametrize(
    ("ask", "code"),
    [
        (lambda: per_piece(1.0, 0), "cost-of-no-bread"),
        (lambda: per_baked_kilogram(1.0, 0.0), "cost-of-no-bread"),
        (lambda: price_by_count(0.30, 0.0), "price-of-nothing"),
        (lambda: price_of_edible(2.90, 0.0), "price-of-no-share"),
        (lambda: price_of_edible(2.90, 1.01), "price-of-no-share"),
        (lambda: price_of_edible(2.90, float("nan")), "price-of-no-share"),
        (lambda: oven_energy(USUAL, ROOM, [], 0.0), "bake-takes-no-time"),
        (lambda: oven_energy(USUAL, ROOM, [OvenHold(HOT, -1.0)], 0.0), "no-such-value"),
        (lambda: oven_energy(USUAL, ROOM, [OvenHold(HOT, 60.0)], -1.0), "no-such-value"),
    ],
)
def test_what_cannot_be_is_refused(ask: Callable[[], object], code: str) -> None:
    with pytest.raises(ImpossibleInput) as caught:
        ask()
    assert [p.code for p in caught.value.problems] == [code]


def test_an_oven_too_weak_for_its_setting_is_refused() -> None:
    hottest = highest_temperature(USUAL, ROOM)
    with pytest.raises(ImpossibleInput) as caught:
        oven_energy(USUAL, ROOM, [OvenHold(hottest + 1.0, 600.0)], 0.0)
    assert [p.code for p in caught.value.problems] == ["oven-too-weak"]


def test_an_unusual_setting_is_said() -> None:
    found = oven_energy(USUAL, ROOM, [OvenHold(ICE_POINT + 400.0, 600.0)], 0.0)
    assert [n.code for n in found.notices] == ["outside-model-range"]


settings = st.floats(ICE_POINT + 60.0, ICE_POINT + 300.0)
powers = st.floats(2000.0, 13e3)
times = st.floats(60.0, 3 * 3600.0)
breads = st.floats(0.0, 5e6)


@given(settings, powers)
def test_preheating_stores_heat_and_loses_some(setting: float, power: float) -> None:
    """The heater gives what is stored and what is lost: at most that of the end all along."""
    cavity = Cavity(10e3, 4.5, power)
    spent, stored = (f(cavity, ROOM, setting) for f in (preheating_energy, _stored))
    most_lost = holding_energy(cavity, ROOM, setting, preheating_time(cavity, ROOM, setting))
    assert stored < spent <= (stored + most_lost) * (1.0 + 1e-9)


def _stored(cavity: Cavity, room: float, setting: float) -> float:
    return stored_energy(cavity, room, setting)


@given(settings, powers, times, breads)
def test_no_oven_takes_more_than_its_power(
    setting: float, power: float, time: float, bread: float
) -> None:
    cavity = Cavity(10e3, 4.5, power)
    hot = oven_energy(cavity, ROOM, [OvenHold(setting, time)], bread)
    cold = oven_energy(cavity, ROOM, [OvenHold(setting, time)], bread, cold=True)
    on = preheating_time(cavity, ROOM, setting) + time
    assert hot.total <= power * on * (1.0 + 1e-9)
    assert cold.total <= power * time * (1.0 + 1e-9)
    assert cold.preheating == 0.0
    assert cold.total <= hot.total * (1.0 + 1e-9)


@given(settings, times, breads)
def test_power_only_changes_how_long_it_heats(setting: float, time: float, bread: float) -> None:
    """Twice the plate's watts is not twice the bill: less is lost while heating up."""
    weak, strong = (
        oven_energy(Cavity(10e3, 4.5, power), ROOM, [OvenHold(setting, time)], bread)
        for power in (6e3, 12e3)
    )
    if weak.baking < 6e3 * time * (1.0 - 1e-9):
        assert strong.baking == pytest.approx(weak.baking)
        assert strong.total <= weak.total


def test_the_balance_by_hand() -> None:
    # 40 min at 200 °C in a room of 20 °C: 4.5 W/K · 180 K · 2400 s = 1.944 MJ, and 0.5 MJ bread
    found = oven_energy(USUAL, ROOM, [OvenHold(HOT, 2400.0)], 0.5e6)
    assert found.baking == pytest.approx(2.444e6)
    # closed form of the warming: 2222 s · ln(500/320) = 991.8 s at 2250 W
    assert found.preheating == pytest.approx(2250.0 * 991.7, rel=1e-3)


def test_an_oven_set_lower_gives_back_what_it_holds() -> None:
    level = [OvenHold(HOT, 600.0), OvenHold(HOT, 600.0)]
    falling = [OvenHold(HOT, 600.0), OvenHold(HOT - 40.0, 600.0)]
    spared = oven_energy(USUAL, ROOM, level, 0.5e6).total
    spared -= oven_energy(USUAL, ROOM, falling, 0.5e6).total
    assert spared == pytest.approx(10e3 * 40.0 + 4.5 * 40.0 * 600.0)  # 0.4 MJ held, 0.108 MJ lost


def test_the_same_heat_in_two_holds_is_the_same() -> None:
    one = oven_energy(USUAL, ROOM, [OvenHold(HOT, 1200.0)], 0.5e6)
    two = oven_energy(USUAL, ROOM, [OvenHold(HOT, 600.0)] * 2, 0.5e6)
    assert two.total == pytest.approx(one.total)


def test_an_oven_that_heats_slowly_stores_more() -> None:
    quick, slow = (
        oven_energy(oven_cavity(t), ROOM, [OvenHold(HOT, 1800.0)], 0.0) for t in (600.0, 1800.0)
    )
    assert slow.preheating == pytest.approx(
        3.0 * quick.preheating
    )  # the same power, thrice as long
    assert slow.baking == pytest.approx(quick.baking)


@given(st.floats(0.0, 1e8), st.floats(0.0, 2.0))
def test_energy_is_paid_by_the_kilowatt_hour(energy: float, price: float) -> None:
    paid = energy_cost(energy, price / KILOWATT_HOUR)
    assert paid == pytest.approx(energy / KILOWATT_HOUR * price)
    assert energy_cost(2.0 * energy, price / KILOWATT_HOUR) == pytest.approx(2.0 * paid)


def test_hands_are_paid_by_the_hour() -> None:
    assert labour_cost(5400.0, 15.0 / 3600.0) == pytest.approx(22.5)  # an hour and a half
