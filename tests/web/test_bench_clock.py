"""What is now and what comes when, counted from what was marked done."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from doughwright.sheets.cells import Cell
from doughwright.sheets.timeline import Timeline
from doughwright.web.bench_clock import Moment, Stretch, moments, ready
from doughwright.web.kitchen_clock import clock_change, instant, plan_begins, wall_clock

BERLIN = ZoneInfo("Europe/Berlin")
SIX = datetime(2026, 3, 1, 6, 0, tzinfo=UTC)
MIX, RISE, HEAT, BAKE = 0, 1, 3, 2
LINE = (
    Stretch(MIX, 0, (480, 600, 720)),
    Stretch(RISE, 600, (3000, 3600, 4200)),
    Stretch(HEAT, 3300, (900, 900, 900), inside=RISE, ahead=900),
    Stretch(BAKE, 4200, (1500, 1800, 2100)),
)
"""Mix 10 min, rise an hour with the oven heated in its last 15 min, bake half an hour."""


def after(minutes: float) -> datetime:
    return SIX + timedelta(minutes=minutes)


def at(minutes: float, **done: float) -> dict[int, Moment]:
    """The bench so long after six, with steps marked done by name."""
    names = {"mix": MIX, "rise": RISE, "heat": HEAT, "bake": BAKE}
    marks = {names[name]: after(when) for name, when in done.items()}
    return {m.position: m for m in moments(LINE, SIX, marks, after(minutes))}


def test_as_planned_each_step_follows_the_one_before() -> None:
    bench = at(0)
    assert [bench[p].begins for p in (MIX, RISE, HEAT, BAKE)] == [
        after(0),
        after(10),
        after(55),
        after(70),
    ]
    assert [bench[p].state for p in (MIX, RISE, HEAT, BAKE)] == ["now", "later", "later", "later"]
    assert bench[MIX].due == after(10)
    assert (bench[MIX].earliest, bench[MIX].latest) == (after(8), after(12))


@pytest.mark.parametrize("ended", [4, 10, 25])
def test_what_follows_is_counted_from_the_real_end(ended: float) -> None:
    bench = at(ended, mix=ended)
    assert bench[RISE].state == "now"
    assert bench[RISE].begins == after(ended)
    assert bench[RISE].due == after(ended + 60)
    assert bench[HEAT].begins == after(ended + 45)
    assert bench[BAKE].begins == after(ended + 60)


def test_a_step_that_is_over_stays_due_and_the_next_ones_wait_for_its_mark() -> None:
    bench = at(30)
    assert bench[MIX].due == after(10)
    assert bench[RISE].begins == after(30)
    assert bench[BAKE].begins == after(90)


def test_taking_a_mark_back_brings_the_plan_back() -> None:
    assert at(12, mix=3) != at(12)
    assert at(5, mix=3)[RISE].state == "now"
    assert at(5)[RISE].state == "later"


def test_a_step_inside_a_waiting_one_ends_with_it() -> None:
    assert at(20, mix=10)[HEAT].state == "later"
    assert at(56, mix=10)[HEAT].state == "now"
    assert at(56, mix=10, heat=56)[HEAT].state == "done"


def test_an_oven_that_takes_longer_than_the_step_it_is_lit_in_is_lit_before_that() -> None:
    line = (
        Stretch(MIX, 0, (600, 600, 600)),
        Stretch(RISE, 600, (1500, 1800, 2100)),
        Stretch(HEAT, 0, (2400, 2400, 2400), inside=RISE, ahead=2400),
        Stretch(BAKE, 2400, (1500, 1800, 2100)),
    )
    found = {m.position: m for m in moments(line, SIX, {}, after(1))}
    assert (found[RISE].state, found[HEAT].state) == ("later", "now")
    assert found[HEAT].due == after(40) == found[BAKE].begins


def test_a_step_inside_one_that_ended_early_is_still_to_be_done() -> None:
    bench = at(40, mix=10, rise=40)
    assert bench[BAKE].state == "now"
    assert bench[HEAT].state == "now"
    assert bench[HEAT].begins == after(25)
    assert at(80, mix=10, rise=40, bake=80)[HEAT].state == "passed"


def test_a_step_nobody_marked_is_passed_once_a_later_one_is_done() -> None:
    bench = at(75, rise=70)
    assert bench[MIX].state == "passed"
    assert bench[MIX].done is None
    assert bench[BAKE].state == "now"
    assert bench[BAKE].begins == after(70)


def test_a_step_marked_before_it_was_to_begin_began_no_later_than_it_ended() -> None:
    assert at(5, rise=5)[RISE].begins == after(5)


def test_a_time_nobody_knows_makes_what_follows_unsure_until_it_is_marked() -> None:
    line = (Stretch(0, 0, (60, 60, 60)), Stretch(1, 60, None), Stretch(2, 60, (60, 60, 60)))
    bench = {m.position: m for m in moments(line, SIX, {0: after(1)}, after(5))}
    assert bench[1].due is None
    assert not bench[1].unsure
    assert bench[2].unsure
    assert bench[2].begins == after(5)
    assert ready(line, tuple(bench.values()), after(5)) is None
    known = {m.position: m for m in moments(line, SIX, {0: after(1), 1: after(9)}, after(9))}
    assert known[2].begins == after(9)
    assert not known[2].unsure


def test_ready_is_the_sum_of_what_is_left() -> None:
    found = tuple(at(10, mix=10).values())
    assert ready(LINE, found, after(10)) == (after(85), after(100), after(115))
    late = tuple(at(90, mix=10).values())
    assert ready(LINE, late, after(90)) == (after(115), after(120), after(125))
    assert ready(LINE, tuple(at(99, bake=99).values()), after(99)) is None


def test_nothing_to_do_is_no_trouble() -> None:
    assert moments((), SIX, {}, SIX) == ()
    assert ready((), (), SIX) is None


def test_a_wait_is_as_long_in_the_night_that_clocks_change() -> None:
    """28 to 29 March 2026: at 02:00 the clock in Berlin is put to 03:00 (EU summer time)."""
    begun = instant(datetime(2026, 3, 28, 22, 0), BERLIN)  # noqa: DTZ001 - the kitchen's clock
    line = (Stretch(0, 0, (28800, 28800, 28800)),)
    (moment,) = moments(line, begun, {}, begun)
    assert moment.due is not None
    assert moment.due - begun == timedelta(hours=8)
    assert f"{wall_clock(moment.due, BERLIN):%d %H:%M}" == "29 07:00"
    assert clock_change(begun, moment.due, BERLIN) == timedelta(hours=1)


def test_an_hour_that_is_missing_or_comes_twice_still_is_an_instant() -> None:
    missing = instant(datetime(2026, 3, 29, 2, 30), BERLIN)  # noqa: DTZ001 - as above
    assert f"{wall_clock(missing, BERLIN):%H:%M}" == "03:30"
    twice = instant(datetime(2026, 10, 25, 2, 30), BERLIN)  # noqa: DTZ001 - as above
    assert twice == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)


def line_of(total: float, starts: datetime | None) -> Timeline:
    cell = Cell(total, "s", "model", total, total)
    return Timeline((), cell, cell, starts, None, None, None, None, complete=True)


def test_a_plan_made_backwards_begins_so_long_before_the_instant_it_is_to_be_ready() -> None:
    """Eight hours before 07:00 in the night that has no 02:30 it is 22:00, not 23:00."""
    seven = datetime(2026, 3, 29, 7, 0)  # noqa: DTZ001 - the kitchen's clock
    line = line_of(8 * 3600, seven - timedelta(hours=8))
    begins = plan_begins(line, seven, SIX, BERLIN)
    assert f"{wall_clock(begins, BERLIN):%d %H:%M}" == "28 22:00"


def test_a_plan_without_a_time_begins_at_the_coming_minute() -> None:
    line = line_of(60, None)
    assert plan_begins(line, None, SIX, BERLIN) == SIX
    assert plan_begins(line, None, SIX + timedelta(seconds=1), BERLIN) == after(1)
