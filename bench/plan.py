"""Speed of a plan and its page while a baker moves a slider, and where the time goes.

Run by ``make bench``. Every plan is of another room, flour or size than the one before, so what
is kept of one plan for the next counts only where it would for a baker. Times are medians; the
last column is the time over that of a plan in another room, within this run.
"""

import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import count
from pathlib import Path
from statistics import median
from typing import TypeVar

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.render.bake_chart import bake_picture
from doughwright.render.chart import rise_picture
from doughwright.render.cut_chart import cut_picture
from doughwright.render.page import bench_plan_page
from doughwright.resolving.formulas import ResolvedFormula, Wish, resolved_formula
from doughwright.resolving.kitchens import Kitchen, kitchen_from, with_changes
from doughwright.resolving.planning import Planned, planned_formula
from doughwright.sheets.bench_plan import BenchPlan, bench_plan
from doughwright.sheets.safety import safety_sheet

T = TypeVar("T")
EXAMPLES = Path(__file__).parents[1] / "examples"
FILLED, PLAIN = "leek-and-curd-pockets", "oat-and-honey-rolls"
BUDGET = 0.15
"""s a moved slider may take to its new numbers: longer is felt as waiting (common practice)."""


def formula_of(name: str) -> ResolvedFormula:
    document = read_document((EXAMPLES / f"{name}.yaml").read_text(encoding="utf-8")).document
    assert isinstance(document, FormulaDocument)
    return resolved_formula(document)


def took(given: Iterator[T], run: Callable[[T], object], repeats: int = 15) -> float:
    """Median time of a run, each with something else, s; the first is not counted."""
    run(next(given))
    times = []
    for _ in range(repeats):
        one = next(given)
        began = time.perf_counter()
        run(one)
        times.append(time.perf_counter() - began)
    return median(times)


STEPS = count()


def rooms(kitchen: Kitchen) -> Iterator[Kitchen]:
    """Rooms that nobody has asked for before."""
    return (with_changes(kitchen, room=291.15 + 0.037 * i) for i in STEPS)


def flours(kitchen: Kitchen) -> Iterator[Kitchen]:
    return (with_changes(kitchen, flour=286.15 + 0.037 * i) for i in STEPS)


def sizes(own: ResolvedFormula) -> Iterator[ResolvedFormula]:
    return (resolved_formula(own.document, Wish(pieces=6 + i)) for i in count())


def plans(own: ResolvedFormula, kitchen: Kitchen) -> Iterator[tuple[str, float]]:
    yield "room moved", took(rooms(kitchen), lambda place: bench_plan(own, place, own))
    yield "flour moved", took(flours(kitchen), lambda place: bench_plan(own, place, own))
    yield "pieces moved", took(sizes(own), lambda wished: bench_plan(wished, kitchen, own))
    prices = (replace(kitchen, currency=f"no {i}") for i in count())
    yield "nothing but its money moved", took(prices, lambda place: bench_plan(own, place, own))


def parts(own: ResolvedFormula, kitchen: Kitchen) -> Iterator[tuple[str, float]]:
    planned = took(rooms(kitchen), lambda place: planned_formula(own, own, place))
    yield "  rises and bake", planned
    settled: Iterator[Planned] = (planned_formula(own, own, place) for place in rooms(kitchen))
    yield "  food safety", took(settled, safety_sheet)
    sheets: Iterator[BenchPlan] = (bench_plan(own, place, own) for place in rooms(kitchen))
    yield "its page", took(sheets, bench_plan_page)
    yield "the same page again", took(iter([bench_plan(own, kitchen)] * 99), bench_plan_page)
    for name, drawn in (
        ("  picture of the rises", lambda plan: rise_picture(plan.rises, None)),
        ("  picture of the bake", lambda plan: bake_picture(plan.bake)),
        ("  picture of the cut", lambda plan: cut_picture(plan.bake)),
    ):
        yield name, took((bench_plan(own, place, own) for place in rooms(kitchen)), drawn)


def main() -> None:
    kitchen = kitchen_from(None)
    for name in (FILLED, PLAIN):
        own = formula_of(name)
        print(f"{name:34}{'time':>12}{'budget':>12}{'x plan':>10}")
        moved = [*plans(own, kitchen), *parts(own, kitchen)]
        for i, (what, lasted) in enumerate(moved):
            budget = f"{BUDGET * 1e3:.0f} ms" if i < 3 else ""
            print(f"{what:34}{lasted * 1e3:>9.1f} ms{budget:>12}{lasted / moved[0][1]:>10.2f}")


if __name__ == "__main__":
    main()
