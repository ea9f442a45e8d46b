"""The bench plan: what to weigh, how warm, when, until what."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from doughwright.documents.names import numbered
from doughwright.engine.formula import SolvedPreparation
from doughwright.errors import Notice
from doughwright.resolving.bakes import BakeHere
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.planning import Planned, planned_formula
from doughwright.resolving.process import crowding_notices, total_time
from doughwright.resolving.settling import Settled
from doughwright.sheets.bake import BAKE_MODELS, BakeSheet, bake_row, bake_sheet
from doughwright.sheets.cells import Cell
from doughwright.sheets.cost import CostSheet
from doughwright.sheets.dividing import DivisionSheet, division_sheet
from doughwright.sheets.food_notices import food_notices
from doughwright.sheets.formula import Figure, figures
from doughwright.sheets.label import LabelSheet
from doughwright.sheets.mixing import MixSheet, mix_sheet
from doughwright.sheets.rises import RiseSheet, rise_sheet
from doughwright.sheets.safety import safety_sheet
from doughwright.sheets.safety_rows import SafetySheet
from doughwright.sheets.said_once import said_once
from doughwright.sheets.selling import Selling, selling
from doughwright.sheets.timeline import DialHere, Timeline, timeline
from doughwright.sheets.weighing import WeighLine, weigh_lines, weight_notices


@dataclass(frozen=True, slots=True)
class PreparationPlan:
    """One preparation in working order: its weights, its temperature, what to note."""

    name: str
    kind: str
    style: str
    lines: tuple[WeighLine, ...]
    weight: Cell
    left_over: Cell | None
    mix: MixSheet | None
    note: str
    notices: tuple[Notice, ...]


@dataclass(frozen=True, slots=True)
class KitchenSheet:
    """The kitchen a plan is for; each temperature says whether it is stated or assumed."""

    name: str
    room: Cell
    flour: Cell
    fridge: Cell
    tap_cold: Cell
    tap_hot: Cell
    altitude: Cell
    scale: Cell
    fine_scale: Cell | None


@dataclass(frozen=True, slots=True)
class BenchPlan:
    """A formula in a kitchen, ready to work from."""

    name: str
    note: str
    kitchen: KitchenSheet
    total_flour: Cell
    dough: Cell
    figures: tuple[Figure, ...]
    preparations: tuple[PreparationPlan, ...]
    division: DivisionSheet | None
    timeline: Timeline
    rises: RiseSheet | None
    bake: BakeSheet | None
    safety: SafetySheet
    label: LabelSheet | None
    cost: CostSheet | None
    notices: tuple[Notice, ...]
    models: tuple[str, ...]


def bench_plan(
    formula: ResolvedFormula,
    kitchen: Kitchen,
    own: ResolvedFormula | None = None,
    *,
    start: datetime | None = None,
    ready: datetime | None = None,
) -> BenchPlan:
    """Plan a formula in a kitchen, forwards from a start or backwards from a ready time.

    ``own`` is the formula at the document's own size, in which its times were noted; by
    default the formula itself.
    """
    solution = formula.solution
    here = planned_formula(formula, own or formula, kitchen)
    found, baked, laid = here.settled, here.baked, here.laid
    safety, sale = safety_sheet(here), selling(here)
    division = division_sheet(solution, kitchen.scale)
    preparations, notices = _said_once(
        [_preparation(p, formula, kitchen, found) for p in _in_touch_order(formula)],
        (
            *formula.notices,
            *crowding_notices(laid),
            *found.notices,
            *(baked.setting.notices if baked is not None else ()),
            *(baked.notices if baked is not None else ()),
            *food_notices(safety),
            *sale.problems,
        ),
        _step_names(found),
    )
    return BenchPlan(
        name=formula.document.name,
        note=formula.document.note or "",
        kitchen=kitchen_sheet(kitchen),
        total_flour=Cell(solution.total_flour, "kg"),
        dough=Cell(solution.dough, "kg"),
        figures=figures(formula),
        preparations=preparations,
        division=division,
        timeline=timeline(
            laid,
            total_time(found.steps),
            found.mixed,
            _dials(found, baked),
            division,
            start=start,
            ready=ready,
        ),
        rises=rise_sheet(found, laid),
        bake=bake_sheet(baked) if baked is not None else None,
        safety=safety,
        label=sale.label,
        cost=sale.cost,
        notices=notices,
        models=_models(here, safety, sale),
    )


def _said_once(
    preparations: Sequence[PreparationPlan], notices: Iterable[Notice], steps: Mapping[int, str]
) -> tuple[tuple[PreparationPlan, ...], tuple[Notice, ...]]:
    """Preparations and the plan's own notices, what they say alike said where it comes first."""
    own = (p.notices for p in preparations)
    advice = (p.mix.advice if p.mix is not None else () for p in preparations)
    *groups, rest = said_once([*own, *advice, notices], steps)
    halves = zip(preparations, groups[: len(groups) // 2], groups[len(groups) // 2 :], strict=True)
    told = (
        replace(p, notices=own, mix=replace(p.mix, advice=advice) if p.mix is not None else None)
        for p, own, advice in halves
    )
    return tuple(told), rest


def _step_names(found: Settled) -> Mapping[int, str]:
    """Each step by its verb and what it is about."""
    names = numbered([f"{timed.step.verb} {timed.step.of}" for timed in found.steps])
    return {timed.position: name for timed, name in zip(found.steps, names, strict=True)}


def _models(here: Planned, safety: SafetySheet, sale: Selling) -> tuple[str, ...]:
    found, baked = here.settled, here.baked
    rising = ("fermentation", "rise") if found.rises else ()
    anchoring = ("anchoring",) if found.anchored else ()
    oven = BAKE_MODELS if baked is not None else ()
    sold = sale.label.models if sale.label is not None else ()
    first = ("mixing", "chilling", "classic-rule", "cooling")
    return (*first, *rising, *anchoring, *oven, *safety.models, *sold)


def _dials(found: Settled, baked: BakeHere | None) -> dict[int, DialHere]:
    """What this kitchen's oven is set to at the bake, and while it heats up for it."""
    if baked is None:
        return {}
    row, steps = bake_row(baked), baked.setting.program.steps
    core = _core(baked)
    reads = baked.kitchen.oven.reads
    off = Cell(reads, "delta_K", "stated") if reads else None
    dials = {steps[0]: DialHere(row.oven, row.then, row.written, core, off)}
    if len(steps) > 1:  # the second step is what the oven is set to then
        dials = {
            steps[0]: DialHere(row.oven, None, row.written, None, off),
            steps[1]: DialHere(row.then, None, None, core),
        }
    for timed in found.steps:
        if timed.step.verb == "preheat":
            dials[timed.position] = DialHere(row.oven, None, row.written, None)
    return dials


def _core(baked: BakeHere) -> Cell:
    """The core to wait for; where water boils cooler, what it reads when the crumb is set."""
    if baked.goals.setting is not None and baked.seen is not None:
        return Cell(baked.seen.coldest, "K", "model", model="doneness")
    return Cell(baked.goals.core, "K", "stated" if baked.core_stated else "usual")


def _in_touch_order(formula: ResolvedFormula) -> list[SolvedPreparation]:
    """Order preparations as the process first touches them; untouched ones come last."""
    touched = [step.of for step in formula.document.process]
    rank = {name: touched.index(name) for name in touched}
    listed = formula.solution.preparations
    return sorted(listed, key=lambda p: rank.get(p.name, len(touched)))


def kitchen_sheet(kitchen: Kitchen) -> KitchenSheet:
    """The kitchen as a plan shows it."""

    def said(name: str, unit: str = "K") -> Cell:
        kind = "assumed" if name in kitchen.assumed else "stated"
        return Cell(getattr(kitchen, name), unit, kind)  # type: ignore[arg-type]  # two of its words

    scale_kind = "assumed" if "scale_reads" in kitchen.assumed else "stated"
    fine = kitchen.scale.fine
    return KitchenSheet(
        name=kitchen.name,
        room=said("room"),
        flour=said("flour"),
        fridge=said("fridge"),
        tap_cold=said("tap_cold"),
        tap_hot=said("tap_hot"),
        altitude=said("altitude", "m"),
        scale=Cell(kitchen.scale.reads, "kg", scale_kind),  # type: ignore[arg-type]  # as above
        fine_scale=Cell(fine, "kg", "stated") if fine is not None else None,
    )


def _preparation(
    p: SolvedPreparation, formula: ResolvedFormula, kitchen: Kitchen, found: Settled
) -> PreparationPlan:
    document = formula.document.preparations[p.name]
    mix = found.mixed.get(p.name)
    delay = found.delay if p.name == formula.solution.final else None
    lines = weigh_lines(p, formula, kitchen.scale, mix)
    left = (1 - p.used) * p.mass if p.preparation.in_dough and p.used < 1 - 1e-9 else None
    return PreparationPlan(
        name=p.name,
        kind=p.preparation.kind,
        style=document.style or "",
        lines=lines,
        weight=Cell(sum(line.weight.value or 0.0 for line in lines), "kg"),
        left_over=Cell(left, "kg") if left is not None else None,
        mix=mix_sheet(p, kitchen, mix, delay) if mix is not None else None,
        note=document.note or "",
        notices=(*(mix.notices if mix else ()), *weight_notices(p, kitchen.scale)),
    )
