"""How much yeast: each yeast line as written and as proposed, and what that does to the times."""

from collections.abc import Sequence
from dataclasses import dataclass

from doughwright.documents.names import numbered
from doughwright.documents.quantities import Quantity
from doughwright.engine.batch import Goal, Relative
from doughwright.engine.overall import fresh_yeast_ratio
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.process import slots, total_time
from doughwright.resolving.settling import Settled
from doughwright.resolving.yeast import Dosed
from doughwright.sheets.cells import Cell
from doughwright.sheets.rises import RiseRow, rise_sheet
from doughwright.sheets.weighing import WeighLine, weigh_lines, weight_notices


@dataclass(frozen=True, slots=True)
class YeastLine:
    """One yeast of one preparation: its weight and its share of the total flour."""

    preparation: str
    name: str
    now: WeighLine
    then: WeighLine


@dataclass(frozen=True, slots=True)
class RiseChange:
    """One rise of the dough with the yeast as written and as proposed.

    ``label`` is the step by its verb and preparation, numbered where two are alike.
    """

    position: int
    label: str
    asked: bool
    now: Cell
    then: Cell


@dataclass(frozen=True, slots=True)
class YeastSheet:
    """The yeast with which a step is ready in the wished time.

    ``place`` is None when the step stands where the formula lets it stand; ``until`` is the
    step's goal (``ripe``, ``1.9x``). ``fresh_now`` and ``fresh_then`` are all yeast counted
    as fresh, on the total flour.
    """

    name: str
    kitchen: str
    room: Cell
    step: str
    until: str
    place: Cell | None
    wanted: Cell
    time: Cell
    factor: Cell
    lines: tuple[YeastLine, ...]
    fresh_now: Cell
    fresh_then: Cell
    rises: tuple[RiseChange, ...]
    total_now: Cell
    total_then: Cell
    notices: tuple[Notice, ...]
    models: tuple[str, ...]


def yeast_sheet(found: Dosed, kitchen: Kitchen) -> YeastSheet:
    """Lay out a proposed yeast beside the one as written."""
    asked = found.asked
    rises = _rises(found)
    return YeastSheet(
        name=found.formula.document.name,
        kitchen=kitchen.name,
        room=_room(kitchen),
        step=asked.label,
        until=_until(asked.goal),
        place=_place(found, kitchen),
        wanted=Cell(found.question.within, "s", "stated"),
        time=next(rise.then for rise in rises if rise.asked),
        factor=Cell(found.factor, "1", "model", model="rise"),
        lines=_lines(asked.formula, found.formula, kitchen),
        fresh_now=Cell(fresh_yeast_ratio(asked.formula.solution), "1"),
        fresh_then=Cell(fresh_yeast_ratio(found.formula.solution), "1"),
        rises=rises,
        total_now=_total(asked.now),
        total_then=_total(found.then),
        notices=_notices(found, kitchen),
        models=("fermentation", "rise", "cooling", *(("anchoring",) if asked.now.anchor else ())),
    )


def _room(kitchen: Kitchen) -> Cell:
    return Cell(kitchen.room, "K", "assumed" if "room" in kitchen.assumed else "stated")


def _until(goal: Goal) -> str:
    return f"{goal.times:.3g}x" if isinstance(goal, Relative) else "ripe"


def _place(found: Dosed, kitchen: Kitchen) -> Cell | None:
    at = found.question.at
    if at is None:
        return None
    if isinstance(at, Quantity):
        return Cell(at.best, "K", "stated")
    return Cell(kitchen.temperature_of(at), "K", "assumed" if at in kitchen.assumed else "stated")


def _lines(
    before: ResolvedFormula, after: ResolvedFormula, kitchen: Kitchen
) -> tuple[YeastLine, ...]:
    found = []
    for p, q in zip(before.solution.preparations, after.solution.preparations, strict=True):
        was = weigh_lines(p, before, kitchen.scale, None)
        becomes = weigh_lines(q, after, kitchen.scale, None)
        yeasts = _yeasts(before, p.name)
        found += [
            YeastLine(p.name, now.name, now, then)
            for now, then in zip(was, becomes, strict=True)
            if now.name in yeasts and not now.is_preparation
        ]
    return tuple(found)


def _yeasts(formula: ResolvedFormula, name: str) -> set[str]:
    """Names of a preparation's lines that are yeast."""
    lines = formula.solution.named(name).preparation.lines
    return {line.name for line in lines if line.ingredient.yeast_equivalent}


def _rises(found: Dosed) -> tuple[RiseChange, ...]:
    now, then = _rows(found.asked.now), _rows(found.then)
    labels = numbered([f"{row.verb} {row.of}" for row in now])
    return tuple(
        RiseChange(
            row.position, label, row.position == found.asked.position, row.lasts, after.lasts
        )
        for label, row, after in zip(labels, now, then, strict=True)
    )


def _rows(settled: Settled) -> Sequence[RiseRow]:
    sheet = rise_sheet(settled, slots(settled.steps))
    return sheet.rows if sheet is not None else ()


def _total(settled: Settled) -> Cell:
    low, best, high = total_time(settled.steps)
    return Cell(best, "s", "model", low, high)


def _notices(found: Dosed, kitchen: Kitchen) -> tuple[Notice, ...]:
    """What the changed formula and its plan say, and yeasts that the scale cannot weigh."""
    new = (n for n in found.formula.notices if n not in found.asked.formula.notices)
    coarse = (
        notice
        for p in found.formula.solution.preparations
        for notice in weight_notices(p, kitchen.scale)
        if notice.where[-1] in _yeasts(found.formula, p.name)
    )
    noted = (Notice.of("noted-with-other-yeast"),) if found.asked.now.anchored else ()
    return (*new, *coarse, *found.then.notices, *noted)
