"""The time line: what happens when, by whom, until what."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from types import MappingProxyType

from doughwright.documents.formula import Step
from doughwright.documents.quantities import Quantity
from doughwright.documents.scalars import OvenSetting
from doughwright.errors import Notice
from doughwright.resolving.mixes import Mix
from doughwright.resolving.process import Lasting, Slot, TimedStep
from doughwright.sheets.cells import Cell, Kind
from doughwright.sheets.dividing import DivisionSheet
from doughwright.sheets.ovens import OvenCell
from doughwright.units import Second

LASTING_KINDS: dict[str, Kind] = {
    "stated": "stated",
    "tested": "tested",
    "usual": "usual",
    "anchored": "anchored",
    "model": "model",
    "moved": "moved",
    "unknown": "unknown",
}


PUT_ON = frozenset({"fill", "glaze", "top"})
"""Steps in which something goes onto or into each piece."""

PARTED = frozenset({"divide", "shape"})
"""Steps after which a dough is no longer one lump but its pieces."""


@dataclass(frozen=True, slots=True)
class DialHere:
    """What a step's oven is set to in this kitchen, and the core that is waited for.

    ``off`` is how much hotter the oven is than its dial.
    """

    oven: OvenCell | None
    then: OvenCell | None
    written: OvenCell | None
    core: Cell | None
    off: Cell | None = None


@dataclass(frozen=True, slots=True)
class TimelineRow:
    """One step: when it begins and ends (best estimate), how long, until what.

    ``begins`` and ``ends`` are seconds from the first step; ``clock_begins`` and
    ``clock_ends`` are given when the plan has a start or a ready time. ``unsure`` says
    ``not before`` (or, planned backwards, ``not after``) where a time between is unknown.
    ``inside`` is the position of the waiting step it runs in. ``oven`` is the dial of this
    kitchen's oven, ``written`` the formula's setting where it differs, ``oven_off`` how much
    hotter this oven is than its dial. ``pieces`` is how many the
    dough has become by then, ``each`` what is put on or into each of them.
    """

    position: int
    verb: str
    of: str
    hands_on: bool
    begins: Second
    ends: Second
    clock_begins: datetime | None
    clock_ends: datetime | None
    lasts: Cell
    place: Cell | None
    by: str
    until: str
    temperature: Cell | None
    oven: OvenCell | None
    then: OvenCell | None
    written: OvenCell | None
    steam: bool
    core: Cell | None
    cue: str
    note: str
    inside: int | None
    unsure: str
    notices: tuple[Notice, ...] = ()
    pieces: int | None = None
    each: Cell | None = None
    oven_off: Cell | None = None


@dataclass(frozen=True, slots=True)
class Timeline:
    """All steps in order of their beginning; ``total`` is the band of the whole."""

    rows: tuple[TimelineRow, ...]
    total: Cell
    hands_on: Cell
    starts: datetime | None
    ready: datetime | None
    ready_low: datetime | None
    ready_high: datetime | None
    start_to_be_sure: datetime | None
    complete: bool

    @property
    def past_midnight(self) -> bool:
        """Whether the plan runs over more than one day."""
        if self.starts is None or self.ready_high is None:
            return False
        earliest = min(self.starts, self.start_to_be_sure or self.starts)
        return earliest.date() != self.ready_high.date()


def timeline(
    laid: Sequence[Slot],
    total: tuple[Second, Second, Second],
    mixed: Mapping[str, Mix],
    dials: Mapping[int, DialHere] = MappingProxyType({}),
    division: DivisionSheet | None = None,
    *,
    start: datetime | None = None,
    ready: datetime | None = None,
) -> Timeline:
    """Lay out the steps on a clock: from ``start`` on, or so as to end at ``ready``."""
    low, best, high = total
    first = ready - timedelta(seconds=best) if ready is not None else start
    in_order = sorted(laid, key=lambda slot: (slot.start, slot.timed.position))
    unknown = [s.timed.position for s in laid if not s.timed.lasts.known and s.timed.inside is None]
    doubt = _Doubt(unknown, backwards=ready is not None)
    rows = (_row(slot, first, mixed, doubt, dials.get(slot.timed.position)) for slot in in_order)
    return Timeline(
        rows=tuple(_in_pieces(rows, division) if division is not None else rows),
        total=Cell(best, "s", "model", low, high),
        hands_on=Cell(sum(s.timed.lasts.best for s in laid if s.timed.hands_on), "s", "usual"),
        starts=first,
        ready=_later(first, best),
        ready_low=_later(first, low),
        ready_high=_later(first, high),
        start_to_be_sure=ready - timedelta(seconds=high) if ready is not None else None,
        complete=not unknown,
    )


def _later(first: datetime | None, seconds: Second) -> datetime | None:
    return first + timedelta(seconds=seconds) if first is not None else None


def _row(
    slot: Slot,
    first: datetime | None,
    mixed: Mapping[str, Mix],
    unknown: "_Doubt",
    dial: DialHere | None,
) -> TimelineRow:
    step, timed = slot.timed.step, slot.timed
    dial = dial or DialHere(_oven(step.oven), _oven(step.then), None, _core(step))
    mix = mixed.get(step.of) if step.verb == "mix" else None
    return TimelineRow(
        position=timed.position,
        verb=step.verb,
        of=step.of,
        hands_on=timed.hands_on,
        begins=slot.start,
        ends=slot.end,
        clock_begins=_later(first, slot.start),
        clock_ends=_later(first, slot.end),
        lasts=lasting_cell(timed.lasts),
        place=_place(timed),
        by=step.by or "",
        until=_until(step.until),
        temperature=Cell(mix.temperature, "K", "model", model="mixing") if mix else None,
        oven=dial.oven,
        then=dial.then,
        written=dial.written,
        steam=bool(step.steam),
        core=dial.core,
        cue=step.cue or "",
        note=step.note or "",
        inside=timed.inside,
        unsure=_unsure(timed, unknown),
        oven_off=dial.off,
    )


def _in_pieces(rows: Iterable[TimelineRow], division: DivisionSheet) -> Iterator[TimelineRow]:
    """Rows with the pieces that the dough is in, and what each of them is given."""
    each = {beside.name: beside.each for beside in division.beside}
    parted: set[str] = set()
    for row in rows:
        in_pieces = row.of in parted or row.verb in PUT_ON
        given = each.get(row.of) if row.verb in PUT_ON else None
        yield replace(row, pieces=division.pieces, each=given) if in_pieces else row
        parted |= {row.of} if row.verb in PARTED else set()


def _core(step: Step) -> Cell | None:
    return Cell(step.core.best, "K", "stated") if step.core is not None else None


def _oven(setting: OvenSetting | None) -> OvenCell | None:
    if setting is None:
        return None
    read = setting.temperature
    cell = Cell(read.best, "K", "stated", read.low, read.high) if read is not None else None
    return OvenCell(cell, setting.kind or "", setting.mark)


def lasting_cell(lasts: Lasting) -> Cell:
    """A duration with its band."""
    if not lasts.known:
        return Cell(None, "s", "unknown")
    return Cell(lasts.best, "s", LASTING_KINDS[lasts.kind], lasts.low, lasts.high)


def _until(until: str | Quantity | None) -> str:
    """Until what, as a word: ripe, double, 1.9x; a bare duration is no cue."""
    if isinstance(until, Quantity):
        return f"{until.best:g}x" if until.dimension == "factor" else ""
    return until or ""


@dataclass(frozen=True, slots=True)
class _Doubt:
    """Where the steps of unknown length stand, and from which end the plan is counted."""

    unknown: Sequence[int]
    backwards: bool


def _unsure(timed: TimedStep, doubt: _Doubt) -> str:
    """Whether an unknown time lies between a step and the end the plan is counted from."""
    if doubt.backwards:
        return "not after" if any(timed.position <= p for p in doubt.unknown) else ""
    return "not before" if any(timed.position > p for p in doubt.unknown) else ""


def _place(timed: TimedStep) -> Cell | None:
    if timed.place is None or timed.hands_on or timed.step.verb in {"bake", "preheat"}:
        return None
    return Cell(timed.place, "K", "stated")
