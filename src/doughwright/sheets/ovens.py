"""An oven's dial as sheets show it, and what it is in the other kinds of oven."""

from dataclasses import dataclass

from doughwright.engine.oven import OvenKind, equivalent_setting, gas_marks
from doughwright.errors import ImpossibleInput, Notice
from doughwright.resolving.oven_courses import Dial
from doughwright.sheets.cells import Cell

OVEN_KINDS: tuple[OvenKind, ...] = ("fan", "conventional", "gas")


@dataclass(frozen=True, slots=True)
class OvenCell:
    """An oven's dial: a temperature with the oven's kind, or a gas mark."""

    temperature: Cell | None
    kind: str
    mark: str


@dataclass(frozen=True, slots=True)
class AlikeCell:
    """What bakes alike in one kind of oven: the dial with its band.

    Of a gas oven ``mark`` is the nearest, ``marks`` are all within the band, and
    ``temperature`` is what the nearest stands for. Where no mark is near, there is nothing.
    """

    temperature: Cell | None
    mark: str = ""
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OvenRow:
    """One kind of oven: its dial first and, where the oven is turned, what it is turned to."""

    kind: OvenKind
    written: bool
    first: AlikeCell
    then: AlikeCell | None
    notices: tuple[Notice, ...]


def oven_rows(first: Dial, then: Dial | None) -> tuple[OvenRow, ...]:
    """A setting in every kind of oven, the one it is written for as it stands."""
    return tuple(_row(kind, first, then) for kind in OVEN_KINDS)


def _row(kind: OvenKind, first: Dial, then: Dial | None) -> OvenRow:
    notices: list[Notice] = []
    return OvenRow(
        kind=kind,
        written=kind == first.kind,
        first=_alike(first, kind, notices),
        then=_alike(then, kind, notices) if then is not None else None,
        notices=tuple(n for i, n in enumerate(notices) if n not in notices[:i]),
    )


def _alike(dial: Dial, kind: OvenKind, notices: list[Notice]) -> AlikeCell:
    """The dial of another oven; what stands in the way is added to the notices."""
    if kind == dial.kind:
        return AlikeCell(Cell(dial.temperature, "K", "stated"), dial.mark)
    try:
        found = equivalent_setting(dial.temperature, dial.kind, kind, dial.rule)
    except ImpossibleInput as error:
        notices.extend(error.problems)
        return AlikeCell(None)
    notices.extend(found.notices)
    sought = found.sought or found.temperature
    low, high = sought - found.give, sought + found.give
    cell = Cell(found.temperature, "K", "model", low, high, "oven-settings")
    within = tuple(mark for mark, at in gas_marks().items() if low <= at <= high)
    return AlikeCell(cell, found.mark or "", within if kind == "gas" else ())
