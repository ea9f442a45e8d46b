"""Weights as a scale shows them: they add up, and no line is far from its true weight."""

import pytest

from doughwright.engine.weighing import (
    Scale,
    Weight,
    nearest_weight,
    smallest_honest_weight,
    stock_solution,
    weights,
)

GRAM = Scale(0.001)
FINE = Scale(0.001, 0.0001)


def grams(shown: tuple[Weight, ...]) -> list[float]:
    return [round(w.shown * 1000, 6) for w in shown]


@pytest.mark.parametrize(
    ("masses", "shown"),
    [
        # largest remainders: floors add to 1 less than the rounded sum, the .5 and .4 vie for it
        ((0.0013, 0.0024, 0.0035), [1, 2, 4]),
        ((0.0005, 0.0005), [1, 0]),
        ((0.0105, 0.0005), [11, 0]),  # of equal remainders the larger line takes it
        ((0.1, 0.2, 0.3), [100, 200, 300]),
        ((0.0,), [0]),
        ((), []),
    ],
)
def test_largest_remainders(masses: tuple[float, ...], shown: list[float]) -> None:
    assert grams(weights(masses, GRAM)) == shown


def test_small_lines_go_on_the_fine_scale() -> None:
    found = weights((0.5, 0.0199, 0.0003), FINE)
    assert [w.step for w in found] == [0.001, 0.0001, 0.0001]
    assert grams(found) == [500, 19.9, 0.3]


def test_twenty_grams_stay_on_the_coarse_scale() -> None:
    # half a gram is 2.5 % of 20 g
    assert [w.step for w in weights((0.0201, 0.0199), FINE)] == [0.001, 0.0001]


def test_what_the_fine_scale_takes_is_made_up_by_the_coarse() -> None:
    # 10 lines of 1.04 g show 1.0 each, 0.4 g too little; the flour shows that half a gram more
    found = weights((0.1002, *[0.00104] * 10), FINE)
    assert grams(found) == [101, *[1.0] * 10]
    assert sum(grams(found)) == pytest.approx(1000 * (0.1002 + 0.0104), abs=0.5)


def test_the_coarse_lines_give_way_downwards_too() -> None:
    # 12 lines of 1.3 g show 1.5 g each, 2.4 g too much: 215.6 g in all, shown as 216
    found = weights((0.1, 0.1, *[0.0013] * 12), Scale(0.001, 0.0005))
    assert grams(found) == [99, 99, *[1.5] * 12]


def test_all_lines_on_the_fine_scale() -> None:
    assert grams(weights((0.0012, 0.0034), FINE)) == [1.2, 3.4]


def test_error_and_coarseness() -> None:
    assert Weight(0.005, 0.001, 0.004624).error == pytest.approx(0.0813, abs=0.0001)
    assert Weight(0.0, 0.001, 0.0).error == 0.0
    assert not Weight(0.0, 0.001, 0.0).too_coarse
    assert not Weight(0.01, 0.001, 0.01).too_coarse
    assert Weight(0.01, 0.001, 0.0099).too_coarse


@pytest.mark.parametrize("error", [0.01, 0.05, 0.10])
def test_the_smallest_honest_weight_is_just_honest(error: float) -> None:
    least = smallest_honest_weight(0.001, error)
    assert 0.001 / 2 / least == pytest.approx(error)


@pytest.mark.parametrize(("mass", "step"), [(0.0003, 0.001), (0.0003, 0.0001), (0.004, 0.001)])
def test_a_solution_holds_what_was_wanted(mass: float, step: float) -> None:
    dissolved, water, used = stock_solution(mass, step)
    assert used * dissolved / (dissolved + water) == pytest.approx(mass)
    assert used <= dissolved + water
    assert min(dissolved, used) >= smallest_honest_weight(step) * (1 - 1e-9)


@pytest.mark.parametrize(("mass", "shown"), [(0.1834, 0.1834), (0.18344, 0.1834), (0.00004, 0.0)])
def test_the_nearest_weight_is_a_whole_number_of_steps(mass: float, shown: float) -> None:
    assert nearest_weight(mass, 0.0001) == pytest.approx(shown)


def test_what_comes_off_the_liquid_is_the_water_of_the_part_used() -> None:
    # 0.5 g on a 1 g scale: one part in twenty, of 10 g used 9.5 g are water
    dissolved, water, used = stock_solution(0.0005, 0.001)
    assert used * water / (dissolved + water) == pytest.approx(0.0095)
    assert used - 0.0005 == pytest.approx(0.0095)
