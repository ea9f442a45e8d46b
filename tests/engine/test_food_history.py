"""A temperature course: exact crossings, where food counts as out, what is refused."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.engine.food_history import (
    History,
    Step,
    approaching,
    joined,
    out_of_control,
    raw,
    since,
    steady,
    stretches,
    temperature_at,
    time_above,
    time_below,
    until,
    used_up,
)
from doughwright.errors import ImpossibleInput

MINUTE = 60.0
temperatures = st.lists(st.floats(263.15, 373.15), min_size=2, max_size=8)


def celsius(value: float) -> float:
    return 273.15 + value


def course(values: list[float], pace: float = 600.0) -> History:
    return History(tuple(pace * i for i in range(len(values))), tuple(values))


def test_a_triangle_is_above_a_height_for_as_long_as_geometry_says() -> None:
    # 10 to 30 °C in 100 s and back: above 25 °C for a quarter of each side
    peak = History((0.0, 100.0, 200.0), (celsius(10), celsius(30), celsius(10)))
    assert time_above(peak, celsius(25)) == pytest.approx(50.0)
    assert stretches(peak, celsius(15), celsius(20)) == (
        (pytest.approx(25.0), pytest.approx(50.0)),
        (pytest.approx(150.0), pytest.approx(175.0)),
    )


@given(temperatures, st.floats(263.15, 373.15))
def test_above_and_below_make_up_the_whole(values: list[float], at: float) -> None:
    history = course(values)
    level = sum(600.0 for a, b in pairwise(values) if a == b == at)  # on the line: neither
    found = time_above(history, at) + time_below(history, at) + level
    assert found == pytest.approx(history.end, rel=1e-6)


@given(temperatures, st.floats(1.0, 599.0))
def test_a_course_cut_in_two_loses_nothing(values: list[float], at: float) -> None:
    history = course(values)
    parts = time_above(until(history, at), 300.0) + time_above(since(history, at), 300.0)
    assert parts == pytest.approx(time_above(history, 300.0), rel=1e-6, abs=1e-3)
    assert temperature_at(since(history, at), at) == temperature_at(history, at)


def test_a_cut_keeps_the_place_the_food_stands_in() -> None:
    history = joined(steady(celsius(5), 600.0, "chilled"), steady(celsius(22), 600.0, "filled"))
    assert since(history, 900.0).steps == (Step("filled", 900.0, celsius(22)),)
    assert until(history, 600.0).steps == (Step("chilled", 0.0, celsius(5)),)


def test_the_raw_part_ends_at_the_oven() -> None:
    oven = History((0.0, 600.0), (celsius(25), celsius(95)), (Step("bake", 0.0, celsius(200)),))
    history = joined(steady(celsius(25), 3600.0, "proof"), oven)
    assert raw(history).end == 3600.0
    assert raw(steady(celsius(25), 3600.0)).end == 3600.0


def test_food_is_out_from_the_moment_it_leaves_the_fridge_until_it_is_cold_again() -> None:
    # 4 °C for an hour, 24 °C for an hour, then 4 °C again: warming is slow, the air counts
    fridge = steady(celsius(4), 3600.0, "chilled")
    room = approaching(celsius(4), celsius(24), 3600.0, 3600.0, "filled")
    back = approaching(room.temperatures[-1], celsius(4), 3600.0, 6 * 3600.0, "chilled")
    ((start, end),) = out_of_control(joined(fridge, room, back), celsius(5), celsius(60))
    assert start == 3600.0
    cold_again = 3600.0 * math.log((room.temperatures[-1] - celsius(4)) / 1.5)
    assert end == pytest.approx(7200.0 + cold_again, abs=30.0)  # within 0.5 K of 5 °C


def test_without_knowing_the_air_only_the_limit_itself_counts() -> None:
    unknown = History((0.0, 3600.0), (celsius(5.2), celsius(5.2)))
    assert out_of_control(unknown, celsius(5), celsius(60)) == ((0.0, 3600.0),)
    known = History(unknown.times, unknown.temperatures, (Step("chilled", 0.0, celsius(5)),))
    assert out_of_control(known, celsius(5), celsius(60)) == ()


def test_a_time_may_be_used_up_after_the_end_only_while_it_runs() -> None:
    assert used_up([(0.0, 600.0)], 900.0, end=600.0) == 900.0
    assert used_up([(0.0, 600.0)], 900.0, end=1200.0) is None
    assert used_up([], 900.0, end=1200.0) is None


@pytest.mark.parametrize(
    ("times", "values"),
    [
        ((0.0,), (280.0,)),
        ((0.0, 0.0), (280.0, 280.0)),
        ((10.0, 0.0), (280.0, 280.0)),
        ((0.0, 10.0), (280.0,)),
        ((0.0, math.inf), (280.0, 280.0)),
        ((0.0, 10.0), (280.0, math.nan)),
    ],
)
def test_a_course_that_cannot_be_followed_is_refused(
    times: tuple[float, ...], values: tuple[float, ...]
) -> None:
    with pytest.raises(ImpossibleInput) as refused:
        History(times, values)
    assert [p.code for p in refused.value.problems] == ["food-history-broken"]


def test_degrees_celsius_taken_for_kelvins_are_refused() -> None:
    with pytest.raises(ImpossibleInput) as refused:
        History((0.0, 3600.0), (22.0, 22.0))
    assert {p.code for p in refused.value.problems} == {"no-such-value"}
