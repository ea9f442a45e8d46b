"""What is now and what comes when, at a bench: counted from what was marked done.

A plan's times hold until a step ends earlier or later than planned: what follows is counted
from its real end. Everything is an instant, so it is the same after a phone's sleep, past
midnight and in the night that clocks change.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from doughwright.sheets.timeline import Timeline
from doughwright.units import Second

State = Literal["done", "passed", "now", "later"]
"""``passed`` is a step that nobody marked, though one after it is done."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A step as planned: its beginning, how long it lasts, and the step it runs in.

    ``ahead`` is how long before its host's end a step within one begins. Without a time
    nobody knows how long it lasts.
    """

    position: int
    begins: Second
    lasts: tuple[Second, Second, Second] | None
    inside: int | None = None
    ahead: Second = 0.0


@dataclass(frozen=True, slots=True)
class Moment:
    """When a step begins and is due: from ``earliest`` to ``latest``, ``due`` most likely.

    ``unsure`` says that a step before it has no known end: it is not before this.
    """

    position: int
    state: State
    begins: datetime
    due: datetime | None
    earliest: datetime | None
    latest: datetime | None
    done: datetime | None
    unsure: bool = False


def stretches(line: Timeline) -> tuple[Stretch, ...]:
    """The steps of a plan by their position, as a bench counts them."""
    ends = {row.position: row.ends for row in line.rows}
    return tuple(
        Stretch(
            position=row.position,
            begins=row.begins,
            lasts=_lasting(row.lasts.low, row.lasts.value, row.lasts.high),
            inside=row.inside if row.inside in ends else None,
            ahead=ends[row.inside] - row.begins if row.inside in ends else 0.0,
        )
        for row in sorted(line.rows, key=lambda row: (row.begins, row.position))
    )


def _lasting(
    low: Second | None, best: Second | None, high: Second | None
) -> tuple[Second, Second, Second] | None:
    if best is None:
        return None
    return (best if low is None else low, best, best if high is None else high)


def moments(
    planned: Sequence[Stretch], begun: datetime, done: Mapping[int, datetime], now: datetime
) -> tuple[Moment, ...]:
    """Every step's moment, in the order planned; ``begun`` is when the first was to begin."""
    in_line = tuple(_in_line([s for s in planned if s.inside is None], begun, done, now))
    known = {moment.position: moment for moment in in_line}
    current = next((i for i, m in enumerate(in_line) if m.state == "now"), len(in_line))
    open_hosts = {m.position for m in in_line[max(0, current - 1) : current + 1]}
    for stretch in planned:
        if stretch.inside is not None:
            host = known[stretch.inside]
            known[stretch.position] = _within(stretch, host, done, now, open_hosts)
    return tuple(known[stretch.position] for stretch in planned)


def _in_line(
    line: Sequence[Stretch], begun: datetime, done: Mapping[int, datetime], now: datetime
) -> Iterator[Moment]:
    """The steps that follow each other, each from the end of the one before."""
    last_done = max((i for i, s in enumerate(line) if s.position in done), default=-1)
    at, unsure = begun + timedelta(seconds=line[0].begins if line else 0.0), False
    for i, stretch in enumerate(line):
        state = _state(i, last_done, marked=stretch.position in done)
        moment = _moment(stretch, state, at, done.get(stretch.position))
        yield replace(moment, unsure=unsure)
        if moment.done is not None:
            at, unsure = moment.done, False
        else:
            unsure = unsure or moment.due is None
            at = moment.due or moment.begins
            at = max(at, now) if state == "now" else at  # it is not over before it is marked


def _state(index: int, last_done: int, *, marked: bool) -> State:
    if marked:
        return "done"
    return "passed" if index < last_done else "now" if index == last_done + 1 else "later"


def _moment(stretch: Stretch, state: State, begins: datetime, done: datetime | None) -> Moment:
    if done is not None:
        begins = min(begins, done)  # marked before it was to begin
    low, due, high = (
        (None, None, None)
        if stretch.lasts is None
        else (begins + timedelta(seconds=lasts) for lasts in stretch.lasts)
    )
    return Moment(stretch.position, state, begins, due, low, high, done)


def _within(
    stretch: Stretch,
    host: Moment,
    done: Mapping[int, datetime],
    now: datetime,
    open_hosts: set[int],
) -> Moment:
    """A step inside a waiting one: it stands as long before the host's end as planned."""
    ends = host.done or host.due or host.begins + timedelta(seconds=stretch.ahead)
    begins = ends - timedelta(seconds=stretch.ahead)
    if stretch.position in done:
        return _moment(stretch, "done", begins, done[stretch.position])
    if host.state in {"done", "passed"} and host.position not in open_hosts:
        return _moment(stretch, "passed", begins, None)
    state: State = "now" if begins <= now else "later"  # an oven may be lit before its host begins
    return replace(_moment(stretch, state, begins, None), unsure=host.unsure)


def ready(
    planned: Sequence[Stretch], found: Sequence[Moment], now: datetime
) -> tuple[datetime, datetime, datetime] | None:
    """When all is done: earliest, most likely, latest; None where a time is not known."""
    ahead = {s.position: s for s in planned if s.inside is None}
    left = [m for m in found if m.position in ahead and m.state in {"now", "later"}]
    if not left or any(ahead[m.position].lasts is None for m in left):
        return None
    bands = [ahead[m.position].lasts or (0.0, 0.0, 0.0) for m in left]
    rest = [timedelta(seconds=sum(band[i] for band in bands[1:])) for i in range(3)]
    first = [timedelta(seconds=bands[0][i]) for i in range(3)]
    low, best, high = (max(left[0].begins + f, now) + r for f, r in zip(first, rest, strict=True))
    return low, best, high
