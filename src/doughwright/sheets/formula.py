"""The formula sheet: what a bread is made of."""

from dataclasses import dataclass

from doughwright.engine.formula import SolvedFormula, SolvedPreparation
from doughwright.engine.overall import (
    dough_yield,
    fat_ratio,
    fresh_yeast_ratio,
    hydration,
    hydration_liquids_only,
    local_flour,
    overall_lines,
    prefermented_flour_ratio,
    salt_ratio,
    sugar_ratio,
)
from doughwright.errors import Notice
from doughwright.resolving.formulas import (
    ResolvedFormula,
    hydration_range,
    liquids_range,
)
from doughwright.sheets.cells import Cell, kilograms, ratio


@dataclass(frozen=True, slots=True)
class FormulaRow:
    """One line: its mass, its share of total flour and of its own preparation's base.

    ``local_base`` says what ``local`` is on: ``flour`` of the preparation, or its ``weight``.
    """

    name: str
    mass: Cell
    overall: Cell | None
    local: Cell
    local_base: str
    is_preparation: bool = False


@dataclass(frozen=True, slots=True)
class PreparationTable:
    """One preparation's lines and sum; ``used`` is the share that ends in the dough."""

    name: str
    kind: str
    style: str
    rows: tuple[FormulaRow, ...]
    mass: Cell
    used: Cell | None


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of the whole formula, by its name in the trade's terms."""

    name: str
    cell: Cell


@dataclass(frozen=True, slots=True)
class FormulaSheet:
    """The percentages of a formula, overall and by preparation."""

    name: str
    total_flour: Cell
    dough: Cell
    pieces: int | None
    piece: Cell | None
    overall: tuple[FormulaRow, ...]
    preparations: tuple[PreparationTable, ...]
    figures: tuple[Figure, ...]
    notices: tuple[Notice, ...]


def formula_sheet(formula: ResolvedFormula) -> FormulaSheet:
    """Lay out a solved formula as percentage tables."""
    solution = formula.solution
    return FormulaSheet(
        name=formula.document.name,
        total_flour=kilograms(solution.total_flour),
        dough=kilograms(solution.dough),
        pieces=solution.pieces,
        piece=kilograms(solution.piece) if solution.piece is not None else None,
        overall=tuple(
            FormulaRow(
                o.name,
                kilograms(o.mass),
                ratio(o.flour_ratio),
                _of_dough(o.mass, solution),
                "dough",
            )
            for o in overall_lines(solution)
        ),
        preparations=tuple(_table(p, formula) for p in solution.preparations),
        figures=figures(formula),
        notices=formula.notices,
    )


def _of_dough(mass: float, solution: SolvedFormula) -> Cell:
    return ratio(mass / solution.dough)


def _table(p: SolvedPreparation, formula: ResolvedFormula) -> PreparationTable:
    solution = formula.solution
    flour = local_flour(solution, p.name)
    base = flour or p.mass
    word = "flour" if flour and p.preparation.in_dough else "weight"
    base = base if word == "flour" else p.mass

    def row(name: str, mass: float, *, taken: bool = False) -> FormulaRow:
        overall = ratio(mass / solution.total_flour) if p.preparation.in_dough else None
        return FormulaRow(name, kilograms(mass), overall, ratio(mass / base), word, taken)

    rows = [row(line.name, mass) for line, mass in zip(p.preparation.lines, p.masses, strict=True)]
    rows += [row(name, mass, taken=True) for name, mass in p.taken.items()]
    style = formula.document.preparations[p.name].style
    return PreparationTable(
        name=p.name,
        kind=p.preparation.kind,
        style=style or "",
        rows=tuple(rows),
        mass=kilograms(p.mass),
        used=ratio(p.used) if p.preparation.in_dough and p.used < 1 - 1e-9 else None,
    )


def figures(formula: ResolvedFormula) -> tuple[Figure, ...]:
    """The figures of the whole formula, both hydrations always side by side."""
    solution = formula.solution
    return (
        Figure("hydration, all water", ratio(hydration(solution), *hydration_range(formula))),
        Figure(
            "hydration, liquids only",
            ratio(hydration_liquids_only(solution), *liquids_range(formula)),
        ),
        Figure("prefermented flour", ratio(prefermented_flour_ratio(solution))),
        Figure("salt", ratio(salt_ratio(solution))),
        Figure("sugar", ratio(sugar_ratio(solution))),
        Figure("fat", ratio(fat_ratio(solution))),
        Figure("yeast, as fresh", ratio(fresh_yeast_ratio(solution))),
        Figure("dough yield", ratio(dough_yield(solution))),
    )
