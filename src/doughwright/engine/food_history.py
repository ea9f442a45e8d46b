"""The temperature course of a food, straight between its points, and where it stood.

Times are measured exactly: a straight line crosses a temperature at one moment.
"""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from operator import lt
from typing import Literal

from doughwright.engine.properties import constants
from doughwright.errors import ImpossibleInput, Notice
from doughwright.sources import ASSUMPTION, ModelCard, Range, notices_for
from doughwright.units import Kelvin, Second

StepLabel = Literal["made", "chilled", "filled", "proof", "bake", "cooling", "display", "held"]

KITCHEN = Range(200.0, 700.0, "K", "refuse")
"""No food in a kitchen is outside; catches °C taken for K."""

COURSE = ModelCard(
    key="food-course",
    name="Temperature course of a food",
    predicts="time spent above, below and between temperatures, exactly",
    sources=(ASSUMPTION,),
    inputs={"coldest": KITCHEN, "warmest": KITCHEN},
    expected_error="none of its own: as good as the course that is given",
    known_from="closed form on straight lines",
    assumptions=("straight lines between points", "one place of the food, the caller's choice"),
)

Stretch = tuple[Second, Second]
"""From when to when."""

KEPT = 64
"""How many histories are kept in pieces: many rules judge one history, so each is cut once. A
plan has about a dozen; a history does not change, so threads may share what is kept."""


@dataclass(frozen=True, slots=True)
class Step:
    """What is done from a moment on; ``air`` is where the food stands, None if not known."""

    label: StepLabel
    start: Second
    air: Kelvin | None = None


@dataclass(frozen=True, slots=True)
class History:
    """Temperatures of a food (its warmest part, or its coldest for cooking) at times.

    Refused: fewer than two points, times that do not grow, temperatures no kitchen has.
    """

    times: tuple[Second, ...]
    temperatures: tuple[Kelvin, ...]
    steps: tuple[Step, ...] = ()

    def __post_init__(self) -> None:
        """Refuse what cannot be followed."""
        finite = all(map(math.isfinite, (*self.times, *self.temperatures)))
        grows = len(self.times) > 1 and all(map(lt, self.times, self.times[1:]))
        if len(self.times) != len(self.temperatures) or not (finite and grows):
            raise ImpossibleInput([Notice.of("food-history-broken", points=len(self.times))])
        notices_for(COURSE, coldest=min(self.temperatures), warmest=max(self.temperatures))

    @property
    def end(self) -> Second:
        """The last moment known."""
        return self.times[-1]


@dataclass(frozen=True, slots=True)
class Piece:
    """A straight part of a history, in one place."""

    start: Second
    end: Second
    first: Kelvin
    last: Kelvin
    air: Kelvin | None
    label: StepLabel | None


def steady(
    temperature: Kelvin, time: Second, label: StepLabel = "made", *, known_air: bool = True
) -> History:
    """A food that stays at one temperature, in air as warm as itself.

    >>> steady(295.15, 7200.0).end
    7200.0
    """
    air = temperature if known_air else None
    return History((0.0, time), (temperature, temperature), (Step(label, 0.0, air),))


def approaching(
    start: Kelvin, air: Kelvin, constant: Second, time: Second, label: StepLabel = "proof"
) -> History:
    """A food that meets other air and comes near it by Newton's law, a point a minute.

    >>> course = approaching(278.15, 299.15, 3600.0, 10800.0)
    >>> round(time_above(course, 281.15) / 60.0)  # 21 K · exp(−t/τ) = 18 K at 9 min of 180
    171
    """
    count = max(1, math.ceil(time / 60.0))
    times = tuple(time * i / count for i in range(count + 1))
    course = tuple(air + (start - air) * math.exp(-t / constant) for t in times)
    return History(times, course, (Step(label, 0.0, air),))


def joined(first: History, *others: History) -> History:
    """Histories one after another; where temperatures differ, the change takes a second.

    >>> joined(steady(295.15, 60.0), steady(305.15, 60.0, "proof")).end
    120.0
    """
    times, temperatures, steps = first.times, first.temperatures, first.steps
    for other in others:
        offset = times[-1] - other.times[0]
        later = [t + offset for t in other.times]
        same = other.temperatures[0] == temperatures[-1]
        later[0] = min(later[0] + 1.0, 0.5 * (later[0] + later[1]))
        times += tuple(later[1:] if same else later)
        temperatures += other.temperatures[1 if same else 0 :]
        steps += tuple(replace(s, start=s.start + offset) for s in other.steps)
    return History(times, temperatures, steps)


@lru_cache(maxsize=KEPT)
def pieces(history: History) -> tuple[Piece, ...]:
    """The straight parts of a history, cut where a step begins.

    >>> [p.label for p in pieces(joined(steady(278.15, 60.0, "chilled"), steady(278.15, 60.0)))]
    ['chilled', 'made']
    """
    return tuple(_cut(history))


def _cut(history: History) -> Iterator[Piece]:
    inside = {s.start for s in history.steps if history.times[0] < s.start < history.end}
    cuts = sorted({*history.times, *inside})
    course = [temperature_at(history, time) for time in cuts]
    step = _standing(history, cuts[0])
    for (start, end), (first, last) in zip(pairwise(cuts), pairwise(course), strict=True):
        step = _standing(history, start) if start in inside else step
        air, label = (step.air, step.label) if step else (None, None)
        yield Piece(start, end, first, last, air, label)


def _standing(history: History, time: Second) -> Step | None:
    """The step a food is in at a moment."""
    return next((s for s in reversed(history.steps) if s.start <= time), None)


def temperature_at(history: History, time: Second) -> Kelvin:
    """Temperature at a moment; before and after the history that of its ends.

    >>> temperature_at(History((0.0, 100.0), (280.0, 290.0)), 25.0)
    282.5
    """
    times, course = history.times, history.temperatures
    i = bisect_left(times, time)
    if i in {0, len(times)}:
        return course[0 if i == 0 else -1]
    if times[i] == time:
        return course[i]
    part = (time - times[i - 1]) / (times[i] - times[i - 1])
    return course[i - 1] + part * (course[i] - course[i - 1])


def until(history: History, time: Second) -> History:
    """The part before a moment.

    >>> until(steady(295.15, 7200.0), 3600.0).end
    3600.0
    """
    kept = bisect_left(history.times, time)
    last = min(time, history.end)
    times = (*history.times[:kept], last)
    course = (*history.temperatures[:kept], temperature_at(history, last))
    return History(times, course, tuple(s for s in history.steps if s.start < last))


def since(history: History, time: Second) -> History:
    """The part from a moment on; times go on counting from the start.

    >>> since(steady(295.15, 7200.0), 3600.0).times
    (3600.0, 7200.0)
    """
    later = bisect_right(history.times, time)
    times = (time, *history.times[later:])
    course = (temperature_at(history, time), *history.temperatures[later:])
    standing = [s for s in history.steps if s.start <= time][-1:]
    steps = [replace(s, start=time) for s in standing]
    return History(times, course, (*steps, *(s for s in history.steps if s.start > time)))


def raw(history: History) -> History:
    """The part before the first bake; all of it if there is none.

    >>> raw(joined(steady(295.15, 60.0), steady(450.0, 60.0, "bake"))).end
    60.0
    """
    bakes = [s.start for s in history.steps if s.label == "bake"]
    return until(history, bakes[0]) if bakes else history


def part_within(piece: Piece, low: Kelvin, high: Kelvin) -> Stretch | None:
    """When a straight part lies strictly between two temperatures; None if it never does.

    >>> part_within(Piece(0.0, 100.0, 280.0, 290.0, None, None), 285.0, 400.0)
    (50.0, 100.0)
    """
    first, last = piece.first, piece.last
    if max(first, last) <= low or min(first, last) >= high:
        return None
    if first == last:
        return (piece.start, piece.end) if low < first < high else None
    a, b = (low - first) / (last - first), (high - first) / (last - first)
    if a > b:
        a, b = b, a
    start = piece.start + max(a, 0.0) * (piece.end - piece.start)
    end = piece.end if b >= 1.0 else piece.start + b * (piece.end - piece.start)
    return (start, end) if end > start else None


def stretches(history: History, low: Kelvin, high: Kelvin = math.inf) -> tuple[Stretch, ...]:
    """When a food lies strictly between two temperatures.

    >>> stretches(History((0.0, 100.0, 200.0), (280.0, 290.0, 280.0)), 285.0)
    ((50.0, 150.0),)
    """
    return merged(part_within(p, low, high) for p in pieces(history))


def merged(found: Iterable[Stretch | None]) -> tuple[Stretch, ...]:
    """Stretches in order, those that touch made one.

    >>> merged([(0.0, 1.0), None, (1.0, 2.0), (3.0, 4.0)])
    ((0.0, 2.0), (3.0, 4.0))
    """
    done: list[Stretch] = []
    for stretch in found:
        if stretch is None:
            continue
        if done and stretch[0] - done[-1][1] <= 1e-6:
            done[-1] = (done[-1][0], stretch[1])
        else:
            done.append(stretch)
    return tuple(done)


def total(found: Sequence[Stretch]) -> Second:
    """Time all stretches take.

    >>> total([(0.0, 10.0), (20.0, 25.0)])
    15.0
    """
    return sum((end - start for start, end in found), 0.0)


def time_above(history: History, temperature: Kelvin) -> Second:
    """Time a food spends above a temperature.

    >>> time_above(History((0.0, 100.0), (280.0, 290.0)), 285.0)
    50.0
    """
    return total(stretches(history, temperature))


def time_below(history: History, temperature: Kelvin) -> Second:
    """Time a food spends below a temperature.

    >>> time_below(History((0.0, 100.0), (280.0, 290.0)), 282.0)
    20.0
    """
    return total(stretches(history, -math.inf, temperature))


def out_of_control(
    history: History, cold: Kelvin, hot: Kelvin, *, until_cold: bool = True
) -> tuple[Stretch, ...]:
    """When a food is neither kept cold nor kept hot.

    It is out as soon as it stands in air warmer than ``cold``, and until it is cold again. In
    air that is cold enough, half a kelvin (``cold_reading``) above the limit counts as cold:
    a food never quite reaches the air of its fridge. A food above ``hot`` is in. Without
    ``until_cold`` it is in as soon as it stands in cold air, however warm it still is.

    >>> fridge = Step("chilled", 0.0, 278.15)
    >>> course = History((0.0, 3600.0), (278.25, 278.25), (fridge,))
    >>> out_of_control(course, 278.15, 333.15)
    ()
    """
    reading = constants("pathogens")["cold_reading"].value

    def lowest(air: Kelvin | None) -> Kelvin:
        if air is None:
            return cold
        if air > cold:
            return -math.inf
        return cold + reading if until_cold else math.inf

    return merged(part_within(p, lowest(p.air), hot) for p in pieces(history))


def used_up(found: Sequence[Stretch], allowed: Second, end: Second) -> Second | None:
    """The moment stretches add up to a time.

    Beyond ``end``, where a last stretch is still open, it is taken to go on; None if the
    stretches are over before.

    >>> used_up([(0.0, 10.0), (20.0, 30.0)], 15.0, end=30.0)
    25.0
    >>> used_up([(0.0, 10.0)], 15.0, end=10.0), used_up([(0.0, 10.0)], 15.0, end=30.0)
    (15.0, None)
    """
    spent = 0.0
    for start, stop in found:
        if spent + stop - start >= allowed:
            return start + allowed - spent
        spent += stop - start
    still = bool(found) and found[-1][1] >= end - 1e-6
    return end + allowed - spent if still else None
