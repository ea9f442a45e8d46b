"""The card: a bread written up for others, from the same document its maker works by."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from doughwright.documents.formula import FormulaDocument
from doughwright.engine.household import Measured
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.oven_courses import Program, kind_said, program_of
from doughwright.sheets.bench_plan import BenchPlan, KitchenSheet, PreparationPlan, bench_plan
from doughwright.sheets.card_places import ROOMS, Elsewhere, elsewhere, published_kitchen
from doughwright.sheets.card_sizes import (
    MeasureSheet,
    SizeTable,
    line_measures,
    measure_sheet,
    measure_system,
    size_table,
)
from doughwright.sheets.card_steps import CardSection, card_sections
from doughwright.sheets.cells import Cell
from doughwright.sheets.dividing import DivisionSheet
from doughwright.sheets.label import LabelSheet
from doughwright.sheets.ovens import OvenRow, oven_rows
from doughwright.sheets.timeline import TimelineRow
from doughwright.units import Kelvin

BakedOn = Literal["tin", "hot stone", "hot metal", "tray"]

FOR_THE_AUTHOR = frozenset({"food-kind-unknown", "food-not-put-on", "food-not-made"})
"""Food findings that say what the formula lacks: its author mends them, a reader cannot."""

HARD_TO_WEIGH = "scale-too-coarse"
"""How the codes of notices begin that say how to weigh what an ordinary scale cannot."""


@dataclass(frozen=True, slots=True)
class CardPreparation:
    """One preparation: what to weigh, and each line in spoons and cups where asked for."""

    plan: PreparationPlan
    measures: tuple[Measured | None, ...]


@dataclass(frozen=True, slots=True)
class OvenSheet:
    """The oven of a card: each kind's dial, and on what the pieces stand.

    ``kind_said`` is whether the formula says for which kind of oven its setting is.
    """

    rows: tuple[OvenRow, ...]
    baked_on: BakedOn
    core: Cell
    kind_said: bool


@dataclass(frozen=True, slots=True)
class CardSheet:
    """A bread for others to bake.

    ``kitchen`` is where its times and temperatures hold, ``tested`` whether the formula says
    so. ``baked`` is what a piece weighs as sold. ``cautions`` are food findings a reader should
    know; ``for_author`` what is to be mended before the card is given away.
    """

    name: str
    note: str
    language: str
    tags: tuple[str, ...]
    kitchen: KitchenSheet
    tested: bool
    division: DivisionSheet | None
    dough: Cell
    baked: Cell | None
    total: Cell
    hands_on: Cell
    oven_time: Cell
    complete: bool
    preparations: tuple[CardPreparation, ...]
    measures: MeasureSheet | None
    sections: tuple[CardSection, ...]
    elsewhere: Elsewhere
    ovens: OvenSheet | None
    sizes: SizeTable
    label: LabelSheet | None
    cautions: tuple[Notice, ...]
    for_author: tuple[Notice, ...]
    models: tuple[str, ...]


def card(
    formula: ResolvedFormula,
    kitchen: Kitchen,
    own: ResolvedFormula | None = None,
    *,
    sizes: Sequence[int] | None = None,
    measures: bool = False,
    rooms: Sequence[Kelvin] = ROOMS,
) -> CardSheet:
    """Write a formula up for others.

    Its times and temperatures are those of the kitchen it was tested in; ``kitchen`` says
    whose rules, cups and chance allergens hold, and stands in for what the formula does not
    say. ``own`` is the formula at the document's own size, in which its times were noted.

    Raises
    ------
    DocumentError
        If the formula cannot be followed, or is not divided into the pieces asked for.
    """
    document, solution = formula.document, formula.solution
    place = published_kitchen(document, kitchen)
    plan = bench_plan(formula, place, own or formula)
    program = _program(document, plan)
    prepared = _prepared(formula, plan, place, measures=measures)
    found = [(solution.named(p.plan.name), p.measures) for p in prepared]
    reader, author = _notices(plan)
    return CardSheet(
        name=document.name,
        note=document.note or "",
        language=document.language or "en",
        tags=tuple(document.tags),
        kitchen=plan.kitchen,
        tested=document.tested_in is not None,
        division=plan.division,
        dough=plan.dough,
        baked=plan.label.piece if plan.label is not None else None,
        total=plan.timeline.total,
        hands_on=_sum(row for row in plan.timeline.rows if row.hands_on),
        oven_time=_sum(row for row in plan.timeline.rows if row.verb == "bake"),
        complete=plan.timeline.complete and bool(plan.timeline.rows),
        preparations=prepared,
        measures=measure_sheet(found, measure_system(place.codes)) if measures else None,
        sections=card_sections(formula, plan, program),
        elsewhere=elsewhere(formula, own or formula, place, plan, rooms),
        ovens=_ovens(document, plan, program) if program is not None else None,
        sizes=size_table(formula, plan.preparations, sizes),
        label=plan.label,
        cautions=reader,
        for_author=author,
        models=plan.models,
    )


def _prepared(
    formula: ResolvedFormula, plan: BenchPlan, place: Kitchen, *, measures: bool
) -> tuple[CardPreparation, ...]:
    system = measure_system(place.codes)
    return tuple(
        CardPreparation(
            p,
            line_measures(formula.solution.named(p.name), p.lines, system)
            if measures
            else (None,) * len(p.lines),
        )
        for p in plan.preparations
    )


def _sum(rows: Iterable[TimelineRow]) -> Cell:
    """The time of several steps, shortest and longest taken together."""
    lasts = [row.lasts for row in rows if row.lasts.value is not None]
    if not lasts:
        return Cell(None, "s", "unknown")
    ends = [(c.value, *((c.low, c.high) if c.banded else (c.value, c.value))) for c in lasts]
    best, low, high = (sum(x or 0.0 for x in column) for column in zip(*ends, strict=True))
    return Cell(best, "s", "usual", low, high)


def _program(document: FormulaDocument, plan: BenchPlan) -> Program | None:
    """The bake that the plan works out, else the first that names an oven's setting."""
    bakes = (i for i, s in enumerate(document.process) if s.verb == "bake" and s.oven is not None)
    position = plan.bake.position if plan.bake is not None else next(bakes, None)
    return program_of(document, position) if position is not None else None


def _ovens(document: FormulaDocument, plan: BenchPlan, program: Program) -> OvenSheet:
    bake = next(r for r in plan.timeline.rows if r.position == program.steps[-1])
    return OvenSheet(
        rows=oven_rows(program.first, program.second),
        baked_on=_baked_on(document, program),
        core=bake.core or Cell(None, "K", "unknown"),
        kind_said=kind_said(document, document.process[program.steps[0]].oven) is not None,
    )


def _baked_on(document: FormulaDocument, program: Program) -> BakedOn:
    before = document.process[: program.steps[0]]
    forms = [step.form for step in before if step.form is not None]
    if forms and forms[-1].tin is not None:
        return "tin"
    if program.hot_stone:
        return "hot stone"
    return "hot metal" if program.hot_metal else "tray"


def _notices(plan: BenchPlan) -> tuple[tuple[Notice, ...], tuple[Notice, ...]]:
    """What a reader should know, and what the author should look at first."""
    food = [n for n in plan.notices if n.code.startswith("food-")]
    reader = tuple(n for n in food if n.code not in FOR_THE_AUTHOR)
    own = (n for p in plan.preparations for n in p.notices)
    mend = [n for n in food if n not in reader]
    mend += [n for n in (*plan.notices, *own) if n not in food and _for_author(n)]
    return reader, tuple(mend)


def _for_author(notice: Notice) -> bool:
    """Graver than a note, and not said to the reader beside the weights."""
    return notice.weight != "note" and not notice.code.startswith(HARD_TO_WEIGH)
