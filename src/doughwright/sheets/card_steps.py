"""The steps of a card: the time line told in the order in which a reader works."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from doughwright.documents.formula import Form, Step
from doughwright.documents.quantities import Quantity
from doughwright.engine.formula import SolvedFormula, SolvedPreparation
from doughwright.engine.portions import mixing_constant
from doughwright.engine.properties import constants
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.oven_courses import Program
from doughwright.resolving.steering import leavened
from doughwright.sheets.bench_plan import BenchPlan
from doughwright.sheets.cells import Cell
from doughwright.sheets.timeline import PUT_ON, TimelineRow

SectionKind = Literal["preparation", "shape", "bake"]

SHAPING = frozenset({"divide", "pre-shape", "shape"})
"""Steps with which the work on pieces begins."""

LATE = 60.0
"""A step that runs in another is begun early from so many seconds on."""


@dataclass(frozen=True, slots=True)
class FormCell:
    """The shape of a piece as it goes in: an outline and what is known of its measures."""

    outline: str
    length: Cell | None
    width: Cell | None
    high: Cell | None
    volume: Cell | None


@dataclass(frozen=True, slots=True)
class CardStep:
    """One step: its row of the time line, and what a reader needs beside it.

    ``pieces`` of a weight ``piece`` are divided. ``host`` is the waiting step that it runs in
    (verb and what of), ``early`` how long before that it must begin. ``top_up`` is what a cooked
    preparation weighs again when what boiled away is made good; it then cools below
    ``cooler_than`` in about ``cools_in`` before the yeast meets it. ``turned`` is when the oven is
    turned, where nobody wrote it.
    """

    row: TimelineRow
    pieces: int | None = None
    piece: Cell | None = None
    form: FormCell | None = None
    host: tuple[str, str] | None = None
    early: Cell | None = None
    top_up: Cell | None = None
    cooler_than: Cell | None = None
    cools_in: Cell | None = None
    turned: Cell | None = None


@dataclass(frozen=True, slots=True)
class CardSection:
    """Steps that belong together: of one preparation, shaping, or the bake."""

    kind: SectionKind
    of: str
    steps: tuple[CardStep, ...]


def card_sections(
    formula: ResolvedFormula, plan: BenchPlan, program: Program | None
) -> tuple[CardSection, ...]:
    """All steps in working order; what runs in a waiting step stands right behind it."""
    parts: list[tuple[SectionKind, str, list[CardStep]]] = []
    kind: SectionKind = "preparation"
    for row in _in_working_order(plan.timeline.rows):
        kind = _kind(kind, row, formula.solution.final)
        of = row.of if kind == "preparation" else ""
        joined = bool(parts) and parts[-1][0] == kind and (of == parts[-1][1] or _inside(row))
        if not joined:
            parts.append((kind, of, []))
        parts[-1][2].append(_step(row, formula, plan, program))
    return tuple(CardSection(kind, of, tuple(steps)) for kind, of, steps in parts)


def _inside(row: TimelineRow) -> bool:
    return row.inside is not None


def _in_working_order(rows: Sequence[TimelineRow]) -> list[TimelineRow]:
    """The rows as the document has them, each that runs in another right behind that."""
    known = {row.position for row in rows}
    line = [row for row in rows if row.inside is None or row.inside not in known]
    made = sorted(line, key=lambda row: row.begins)
    for row in sorted((r for r in rows if r not in line), key=lambda r: (r.begins, r.position)):
        host = next(i for i, r in enumerate(made) if r.position == row.inside)
        behind = sum(r.inside == row.inside for r in made)
        made.insert(host + 1 + behind, row)
    return made


def _kind(now: SectionKind, row: TimelineRow, final: str) -> SectionKind:
    """The section of a step, after that of the one before."""
    if now == "bake" or row.verb in {"bake", "preheat"}:
        return "bake"
    if now == "shape" or (row.verb in SHAPING and row.of == final) or row.verb in PUT_ON:
        return "shape"
    return "preparation"


def _step(
    row: TimelineRow, formula: ResolvedFormula, plan: BenchPlan, program: Program | None
) -> CardStep:
    host = next((r for r in plan.timeline.rows if r.position == row.inside), None)
    early = host.begins - row.begins if host is not None else 0.0
    division = plan.division if row.verb == "divide" else None
    steps = dict(enumerate(formula.document.process))
    written, cooler = steps.get(row.position), _cooler_than(row, formula)
    return CardStep(
        row=replace(row, written=None),  # the card's oven is the formula's
        pieces=division.pieces if division is not None else None,
        piece=division.piece if division is not None else None,
        form=form_cell(written.form) if written is not None and written.form else None,
        host=(host.verb, host.of) if host is not None else None,
        early=Cell(early, "s", "model") if early > LATE else None,
        top_up=_top_up(row, formula),
        cooler_than=cooler,
        cools_in=_cools_in() if cooler is not None else None,
        turned=_turned(row, written, program),
    )


def _made(name: str, formula: SolvedFormula) -> SolvedPreparation | None:
    return next((p for p in formula.preparations if p.name == name), None)


def _top_up(row: TimelineRow, formula: ResolvedFormula) -> Cell | None:
    """What a cooked preparation of a dough weighs when it is whole again."""
    p = _made(row.of, formula.solution) if row.verb == "cook" else None
    return Cell(p.mass, "kg") if p is not None and p.preparation.in_dough else None


def _cooler_than(row: TimelineRow, formula: ResolvedFormula) -> Cell | None:
    """How cool what was cooked must be, where no step cools it before yeast meets it."""
    if row.verb != "cook" or _made(row.of, formula.solution) is None:
        return None
    cooled = any(s.verb == "cool" and s.of == row.of for s in formula.document.process)
    solution = formula.solution
    meets = any(row.of in p.taken and leavened(solution, p.name) for p in solution.preparations)
    if cooled or not meets:
        return None
    return Cell(mixing_constant("yeast_liquid_aim"), "K", "usual")


def _cools_in() -> Cell:
    """How long a small pan off the stove takes to cool so far that yeast stands it."""
    habit = constants("household")["boiled_cools_in"]
    low, high = habit.value - habit.uncertainty, habit.value + habit.uncertainty
    return Cell(habit.value, "s", "usual", low, high)


def _turned(row: TimelineRow, written: Step | None, program: Program | None) -> Cell | None:
    """When the oven is turned, where the program only supposes it and no note says it."""
    if program is None or not program.assumed or row.position != program.steps[0]:
        return None
    noted = written is not None and bool(written.note)
    return None if noted else Cell(program.change_at, "s", "assumed")


def form_cell(form: Form) -> FormCell | None:
    """A form as written; None where it names no outline."""
    high = _metre(form.high)
    for outline in ("oval", "baton"):
        size = getattr(form, outline)
        if size is not None:
            return FormCell(outline, _metre(size[0]), _metre(size[1]), high, None)
    if isinstance(form.tin, tuple):
        return FormCell("tin", _metre(form.tin[0]), _metre(form.tin[1]), high, None)
    if form.tin is not None:
        return FormCell("tin", None, None, high, Cell(form.tin.best, "m**3", "stated"))
    for outline in ("round", "flat", "ring"):
        width = getattr(form, outline)
        if width is not None:
            return FormCell(outline, None, _metre(width), high, None)
    return None


def _metre(length: Quantity | None) -> Cell | None:
    if length is None:
        return None
    return Cell(length.best, "m", "stated", length.low, length.high)
