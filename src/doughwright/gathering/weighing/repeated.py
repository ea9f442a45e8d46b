"""The same amount said again: "1 cup (125 g)", "2 cups (200 ml)" of 200 ml each, and misprints."""

from collections.abc import Iterator
from dataclasses import replace

from doughwright.errors import Notice
from doughwright.gathering.gathered import Amount, Choice, Doubt, Massed
from doughwright.gathering.lines.unit_words import MEASURES, WEIGHTS
from doughwright.gathering.telling import as_key, listed, number, said
from doughwright.gathering.weighing.measures import LITRES, SYSTEMS, measure_constant, volume_of
from doughwright.gathering.weighing.unsettled import Reading
from doughwright.gathering.weighing.weights import MODIFIED, Mass, system_in
from doughwright.units import CubicMetre

OUNCES = {"oz": 28.349523125, "fl oz": 28.4130625}
"""An ounce in g, and a British fluid ounce in ml (Weights and Measures Act 1985, Schedule 1)."""

METRIC = {"g": 1.0, "kg": 1e3, "ml": 1.0, "cl": 10.0, "dl": 100.0}
"""What they are rounded to, in g or ml."""

STEP = 25.0
"""In g or ml, what British books round ounces to (common practice, no source)."""

MOST_BY_25 = 4.0
"""So many ounces are also printed with 25 g to each (common practice, no source)."""


def each_apart(readings: list[Reading]) -> list[Reading]:
    """The readings, with brackets that say what one holds.

    A cup holds what it holds: "2 cups (200 ml)" are 400 ml. Beside a weight both stay: "2 cups
    (125 g)" may be 125 g or 250 g.
    """
    first, *others = readings
    made = [first]
    for other in others:
        each = _each(first, other)
        if each is None:
            made.append(other)
        elif other.amount.unit in LITRES:
            made.append(each)
        else:
            made += [other, each]
    return made


def _each(first: Reading, other: Reading) -> Reading | None:
    """What brackets come to if they say what one is; None where they are as likely of all."""
    count, one = first.amount, other.amount
    counts = not count.more and count.low == count.high > 1 and count.package is None
    if not counts or count.unit not in {*MEASURES, "", "piece"} or one.package or one.more:
        return None
    if one.unit not in {*WEIGHTS, *LITRES}:
        return None
    words = f"{number(count.best)} × {said(one)}"
    times = Amount(count.low, count.best, count.high, "piece", words, package=one)
    each = replace(other, amount=times)
    return each if agree(first, each) and not agree(first, other) else None


def differing(
    amount: Amount, readings: list[Reading], found: list[Massed], taken: int
) -> Iterator[Doubt]:
    """The same amount said twice, and not the same."""
    if found[taken].mass is None:
        return
    off = [
        at
        for at, massed in enumerate(found)
        if massed.mass is not None and at != taken and not agree(readings[at], readings[taken])
    ]
    if off:
        order = (taken, *off)
        words = [said(readings[at].amount) for at in order]
        masses = [found[at].mass for at in order]
        choices = tuple(
            Choice(as_key(word), word, mass) for word, mass in zip(words, masses, strict=True)
        )
        values = {"read": said(amount), "candidates": listed(choices)}
        yield Doubt("same", Notice("gather-said-twice", (), values), choices)


def agree(one: Reading, other: Reading) -> bool:
    """Whether two readings may be the same, whatever is still open about them.

    Weights and volumes closely, a measure against a weight as it may be filled.
    """
    close = measure_constant("same_within")
    both = [_volumes(reading) for reading in (one, other)]
    if all(both):
        pairs = [(a, b) for a in both[0] for b in both[1]]
        near = any(a[0] <= b[1] * (1 + close) and b[0] <= a[1] * (1 + close) for a, b in pairs)
        return near or _rounded(one, other)
    loose = not all(_inside(reading).unit in WEIGHTS for reading in (one, other))
    spans = [[span.mass for span in reading.spans()] for reading in (one, other)]
    near = any(_meet(a, b, loose=loose) for a in spans[0] for b in spans[1])
    return near or _rounded(one, other)


def _rounded(one: Reading, other: Reading) -> bool:
    """Whether one is ounces and the other those as British books round them: to 25 g or ml.

    4 oz are printed as 100 g too, 25 g to each (common practice, no source).
    """
    for ounces, metric in ((one.amount, other.amount), (other.amount, one.amount)):
        size, each = OUNCES.get(ounces.unit), METRIC.get(metric.unit)
        if size is None or each is None or (ounces.unit == "oz") != (metric.unit in WEIGHTS):
            continue
        if any(a.more or a.package or a.modifiers or a.low != a.high for a in (ounces, metric)):
            continue
        said = metric.best * each
        whole = round(said / STEP) == said / STEP > 0
        each_25 = ounces.best <= MOST_BY_25 and said == STEP * ounces.best
        return whole and (each_25 or abs(said - ounces.best * size) <= STEP / 2)
    return False


def _meet(one: Mass, other: Mass, *, loose: bool) -> bool:
    close, filled = measure_constant("same_within"), measure_constant("same_measure_within")
    off = filled if loose else close
    low = min(one[0] * (1 - close), one[1] * (1 - off))
    high = max(one[2] * (1 + close), one[1] * (1 + off))
    return low <= other[2] and other[0] <= high


def _inside(reading: Reading) -> Amount:
    return reading.amount.package or reading.amount


def _volumes(reading: Reading) -> list[tuple[CubicMetre, CubicMetre]]:
    """Least and most of a volume, in each system it may be of; nothing where it is none."""
    amount, one = reading.amount, _inside(reading)
    count = (amount.low, amount.high) if amount.package else (1.0, 1.0)
    parts = (one, *one.more)
    changed = any(word in MODIFIED for part in parts for word in part.modifiers)
    if changed or not all(part.unit in {*MEASURES, *LITRES} for part in parts):
        return []
    known = reading.known.system
    made = []
    for system in (known,) if known else SYSTEMS:
        held = [_held(part, system) for part in parts]
        sizes = [size for size in held if size is not None]
        if len(sizes) == len(parts):
            ends = [[part.low * h, part.high * h] for part, h in zip(parts, sizes, strict=True)]
            low, high = (sum(end[at] for end in ends) for at in (0, 1))
            made.append((count[0] * low, count[1] * high))
    return made


def _held(part: Amount, system: str) -> CubicMetre | None:
    """What a measure holds: in the system it names, else in one that may be meant."""
    return volume_of(part.unit, system_in(part)) or volume_of(part.unit, system)
