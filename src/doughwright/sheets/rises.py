"""The rises: how the dough grows and how warm it is, stage by stage, with the window to act."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from doughwright.resolving.process import Slot
from doughwright.resolving.settling import Rise, Settled
from doughwright.sheets.cells import Cell, Kind
from doughwright.units import Kelvin, Ratio, Second

POINTS_SHOWN = 7
"""Rows of the picture's data table per stage."""


@dataclass(frozen=True, slots=True)
class RisePoint:
    """One point of the picture: time since the first step, temperature, size."""

    time: Second
    temperature: Kelvin
    size: Ratio


@dataclass(frozen=True, slots=True)
class RiseRow:
    """One stage: how long, from when to when it may end, how warm and how large.

    ``usable_to`` is None while the dough would still rise after a day and a half. ``size``
    is over the volume at the stage's start, ``points`` are on the plan's own clock.
    """

    position: int
    verb: str
    of: str
    lasts: Cell
    usable_from: Cell
    usable_to: Cell | None
    start: Cell
    end: Cell
    size: Cell
    points: tuple[RisePoint, ...]
    assumed_goal: bool


@dataclass(frozen=True, slots=True)
class AnchorSheet:
    """What the baker's own times say about yeast and kitchen, against the book."""

    vigour: Cell
    transfer: Cell


@dataclass(frozen=True, slots=True)
class RiseSheet:
    """All rises of one dough in one kitchen."""

    rows: tuple[RiseRow, ...]
    anchor: AnchorSheet | None

    @property
    def anchored(self) -> bool:
        """Whether the baker's own times were there to be moved."""
        return self.anchor is not None


def rise_sheet(settled: Settled, laid: Sequence[Slot]) -> RiseSheet | None:
    """Lay out the rises on the plan's clock; None when no dough of this formula rises."""
    if not settled.rises:
        return None
    slots = {slot.timed.position: slot for slot in laid}
    return RiseSheet(
        rows=tuple(_row(rise, slots) for rise in settled.rises), anchor=_anchor(settled)
    )


def _row(rise: Rise, slots: Mapping[int, Slot]) -> RiseRow:
    slot = slots[rise.position]
    return RiseRow(
        position=rise.position,
        verb=slot.timed.step.verb,
        of=slot.timed.step.of,
        lasts=_time(rise),
        usable_from=Cell(rise.usable[0], "s", "model", model="rise"),
        usable_to=_peak(rise),
        start=Cell(rise.start, "K", "model", model="mixing"),
        end=Cell(rise.end.best, "K", "model", rise.end.low, rise.end.high, "cooling"),
        size=Cell(rise.size.best, "1", "model", rise.size.low, rise.size.high, "rise"),
        points=tuple(
            RisePoint(slot.start + t, temperature, size)
            for t, temperature, size in zip(rise.times, rise.temperatures, rise.sizes, strict=True)
        ),
        assumed_goal=rise.assumed_goal,
    )


def _time(rise: Rise) -> Cell:
    if rise.time is None:
        return Cell(None, "s", "unknown")
    kind: Kind = "anchored" if rise.kind == "anchored" else "model"
    kind = "stated" if rise.kind == "stated" else kind
    return Cell(rise.time.best, "s", kind, rise.time.low, rise.time.high, "rise")


def _peak(rise: Rise) -> Cell | None:
    return Cell(rise.usable[1], "s", "model", model="rise") if rise.usable[1] is not None else None


def _anchor(settled: Settled) -> AnchorSheet | None:
    if settled.anchor is None:
        return None
    found, (vigour, _, transfer) = settled.anchor.multipliers, settled.anchor.spread
    return AnchorSheet(
        vigour=_factor(found.vigour, vigour), transfer=_factor(found.transfer, transfer)
    )


def _factor(value: Ratio, spread: Ratio) -> Cell:
    """A multiplier with the middle two thirds of what it may be."""
    return Cell(value, "1", "anchored", value / (1 + spread), value * (1 + spread), "anchoring")


def thinned(points: Sequence[RisePoint], count: int = POINTS_SHOWN) -> tuple[RisePoint, ...]:
    """Evenly spaced points for a table, first and last included."""
    if len(points) <= count:
        return tuple(points)
    step = (len(points) - 1) / (count - 1)
    return tuple(points[round(i * step)] for i in range(count))
