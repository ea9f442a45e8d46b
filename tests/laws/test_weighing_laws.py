"""Laws of the scale: what is shown adds up, and no line is far from the truth."""

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.engine.weighing import (
    Scale,
    smallest_honest_weight,
    stock_solution,
    weights,
)

masses = st.lists(st.floats(0.0, 20.0), min_size=1, max_size=12)
coarse = st.sampled_from((0.0001, 0.001, 0.002, 0.005))


@given(masses, coarse)
def test_on_one_scale_all_adds_up_within_half_a_step(lines: list[float], reads: float) -> None:
    shown = weights(lines, Scale(reads))
    assert sum(w.shown for w in shown) == pytest.approx(sum(lines), abs=reads * 0.500001)
    for weight in shown:
        assert abs(weight.shown - weight.wanted) < reads * 1.000001
        assert weight.shown / reads == pytest.approx(round(weight.shown / reads), abs=1e-6)


@given(masses, coarse, st.sampled_from((0.01, 0.1, 0.5)))
def test_on_two_scales_too(lines: list[float], reads: float, finer: float) -> None:
    scale = Scale(reads, reads * finer)
    shown = weights(lines, scale)
    fine = [w for w in shown if w.step == scale.fine]
    drift = len(fine) * reads * finer / 2
    off = abs(sum(w.shown for w in shown) - sum(lines))
    # where a line stands on the coarse scale it takes up what the fine ones were rounded by
    assert off <= (reads * 0.500001 if len(fine) < len(shown) else drift + 1e-12)
    for weight in shown:
        if weight.step == scale.fine:
            assert abs(weight.shown - weight.wanted) <= reads * finer / 2 + 1e-12
            assert weight.wanted < reads * 20.000001
        else:
            assert abs(weight.shown - weight.wanted) < reads * 1.000001 + drift


@given(masses, coarse, st.randoms(use_true_random=False))
def test_the_sum_shown_does_not_hang_on_the_order(
    lines: list[float], reads: float, chance: Random
) -> None:
    mixed = chance.sample(lines, len(lines))
    one = sum(w.shown for w in weights(lines, Scale(reads)))
    assert sum(w.shown for w in weights(mixed, Scale(reads))) == pytest.approx(
        one, abs=reads * 1.000001
    )


@given(st.floats(1e-5, 0.0099), coarse)
def test_a_solution_can_be_weighed_and_holds_what_is_wanted(mass: float, step: float) -> None:
    dissolved, water, used = stock_solution(mass, step)
    least = smallest_honest_weight(step) * (1 - 1e-9)
    assert used * dissolved / (dissolved + water) == pytest.approx(mass)
    assert min(dissolved, used) >= least
