"""One formula in several kitchens, side by side: times, dough temperatures and levers."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from doughwright.documents.formula import PASSIVE
from doughwright.documents.names import numbered
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen
from doughwright.sheets.bench_plan import BenchPlan, KitchenSheet, PreparationPlan, bench_plan
from doughwright.sheets.cells import Cell
from doughwright.sheets.mixing import LeverRow

MOST_KITCHENS = 12
"""One table has room for so many."""

STANDING = PASSIVE - {"cool"}
"""Steps in which something stands and waits, or bakes, so that the kitchen tells on it."""


@dataclass(frozen=True, slots=True)
class Change:
    """What tells a kitchen from the others: a field and its value."""

    field: str
    value: Cell


@dataclass(frozen=True, slots=True)
class KitchenColumn:
    """One kitchen, and what of it was changed by asking."""

    kitchen: KitchenSheet
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class WaitRow:
    """One waiting step: how long it takes in each kitchen."""

    position: int
    label: str
    times: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class MixInKitchen:
    """How warm a mix comes out in one kitchen, and what was turned for it."""

    aim: Cell | None
    temperature: Cell
    levers: tuple[LeverRow, ...]


@dataclass(frozen=True, slots=True)
class MixRow:
    """One mix in each kitchen."""

    preparation: str
    mixes: tuple[MixInKitchen, ...]


@dataclass(frozen=True, slots=True)
class Ending:
    """When one kitchen's plan starts and is ready; ``complete`` if all times are known."""

    total: Cell
    starts: datetime | None
    ready: datetime | None
    ready_low: datetime | None
    ready_high: datetime | None
    start_to_be_sure: datetime | None
    complete: bool


@dataclass(frozen=True, slots=True)
class SharedNotice:
    """Something to take care of, and in which of the kitchens (counted from 0)."""

    notice: Notice
    kitchens: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class KitchenComparison:
    """One formula in several kitchens; every tuple within has one entry per kitchen."""

    name: str
    kitchens: tuple[KitchenColumn, ...]
    waits: tuple[WaitRow, ...]
    mixes: tuple[MixRow, ...]
    endings: tuple[Ending, ...]
    by_ready_time: bool
    notices: tuple[SharedNotice, ...]
    models: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Variant:
    """A kitchen to compare, with what was changed in it by asking."""

    kitchen: Kitchen
    changes: tuple[Change, ...] = ()


def kitchen_comparison(
    formula: ResolvedFormula,
    own: ResolvedFormula,
    variants: Sequence[Variant],
    *,
    start: datetime | None = None,
    ready: datetime | None = None,
) -> KitchenComparison:
    """Plan a formula in each kitchen and lay the plans side by side.

    ``own`` is the formula at the document's own size, in which its times were noted.
    """
    plans = [bench_plan(formula, v.kitchen, own, start=start, ready=ready) for v in variants]
    return KitchenComparison(
        name=formula.document.name,
        kitchens=tuple(
            KitchenColumn(plan.kitchen, variant.changes)
            for plan, variant in zip(plans, variants, strict=True)
        ),
        waits=_waits(plans),
        mixes=_mixes(plans),
        endings=tuple(map(_ending, plans)),
        by_ready_time=ready is not None,
        notices=_notices(plans),
        models=plans[0].models,
    )


def _waits(plans: Sequence[BenchPlan]) -> tuple[WaitRow, ...]:
    """The waiting steps in the document's order: a kitchen may shift them on the clock."""
    lasts = [{row.position: row.lasts for row in plan.timeline.rows} for plan in plans]
    rows = sorted(
        (row for row in plans[0].timeline.rows if row.verb in STANDING),
        key=lambda row: row.position,
    )
    labels = numbered([f"{row.verb} {row.of}" for row in rows])
    return tuple(
        WaitRow(row.position, label, tuple(times[row.position] for times in lasts))
        for row, label in zip(rows, labels, strict=True)
    )


def _mixes(plans: Sequence[BenchPlan]) -> tuple[MixRow, ...]:
    return tuple(
        MixRow(p.name, tuple(_mix(_named(plan, p.name)) for plan in plans))
        for p in plans[0].preparations
        if p.mix is not None and p.kind != "soaker"
    )


def _named(plan: BenchPlan, name: str) -> PreparationPlan:
    return next(p for p in plan.preparations if p.name == name)


def _mix(p: PreparationPlan) -> MixInKitchen:
    assert p.mix is not None
    return MixInKitchen(p.mix.aim, p.mix.temperature, p.mix.levers)


def _ending(plan: BenchPlan) -> Ending:
    line = plan.timeline
    return Ending(
        total=line.total,
        starts=line.starts,
        ready=line.ready,
        ready_low=line.ready_low,
        ready_high=line.ready_high,
        start_to_be_sure=line.start_to_be_sure,
        complete=line.complete,
    )


def _notices(plans: Sequence[BenchPlan]) -> tuple[SharedNotice, ...]:
    """What to take care of, once for all kitchens it is the same in.

    What is only worth knowing stands in each kitchen's own plan.
    """
    shared: list[tuple[Notice, list[int]]] = []
    for index, plan in enumerate(plans):
        for notice in _cares(plan):
            known = next((where for said, where in shared if said == notice), None)
            if known is None:
                shared.append((notice, [index]))
            else:
                known.append(index)
    return tuple(SharedNotice(notice, tuple(where)) for notice, where in shared)


def _cares(plan: BenchPlan) -> Iterable[Notice]:
    """A plan's notices, but for the scale's: those are the same in every room."""
    of_preparations = (n for p in plan.preparations for n in p.notices)
    return (
        n
        for n in (*plan.notices, *of_preparations)
        if n.weight != "note" and not n.code.startswith("scale-too-coarse")
    )
