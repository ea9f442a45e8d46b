"""One formula in other sizes, and its weights as spoons and cups."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from doughwright.engine.food_rules import Codes
from doughwright.engine.formula import SolvedPreparation
from doughwright.engine.household import (
    Measured,
    SaltSpoons,
    System,
    household_constant,
    household_measure,
    measure_volume,
    salt_spoons,
)
from doughwright.engine.ingredients import Ingredient
from doughwright.errors import DocumentError, Notice
from doughwright.resolving.formulas import ResolvedFormula, Wish, resolved_formula
from doughwright.sheets.bench_plan import PreparationPlan
from doughwright.sheets.card_places import CARD_SCALE
from doughwright.sheets.cells import Cell
from doughwright.sheets.weighing import WeighLine, shown_weight, weigh_lines
from doughwright.units import Kilogram

SMALL_SIZES = (6, 8, 10)
"""Sizes shown of a bread that is made in about so many pieces."""

BATCHES = (0.5, 1.0, 2.0)
"""Sizes of a bread that has no pieces, as multiples of the whole."""


LIES_FROM = 0.1
"""A table's weight is never further off than this share of it."""

FINER: Kilogram = 0.00001
"""So finely a weight is shown that no kitchen's scale reads: a reader dissolves it, or divides."""


@dataclass(frozen=True, slots=True)
class SizeColumn:
    """One size: so many pieces, or so many times the batch; ``own`` is the card's."""

    pieces: int | None
    batches: float
    dough: Cell
    own: bool


@dataclass(frozen=True, slots=True)
class SizeRow:
    """One line of a preparation, its weight in every size."""

    name: str
    weights: tuple[Cell, ...]
    steps: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class SizedPreparation:
    """One preparation's lines and its sum in every size."""

    name: str
    rows: tuple[SizeRow, ...]
    sums: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class SizeTable:
    """The weights of a formula in several sizes."""

    columns: tuple[SizeColumn, ...]
    preparations: tuple[SizedPreparation, ...]


def usual_sizes(pieces: int) -> tuple[int, ...]:
    """Sizes worth a column: six to ten of what is made so, else half and double.

    >>> usual_sizes(8), usual_sizes(20), usual_sizes(1)
    ((6, 8, 10), (10, 20, 40), (1, 2, 3))
    """
    if SMALL_SIZES[0] <= pieces <= SMALL_SIZES[-1]:
        return tuple(sorted({*SMALL_SIZES, pieces}))
    if pieces % 2 == 0:
        return pieces // 2, pieces, pieces * 2
    return pieces, pieces * 2, pieces * 3


def size_table(
    formula: ResolvedFormula, plans: Sequence[PreparationPlan], sizes: Sequence[int] | None
) -> SizeTable:
    """Weights in the sizes asked for, or in those that are usual for such a bread.

    Raises
    ------
    DocumentError
        If pieces are asked for of a bread that is not divided into any.
    """
    made = list(_sized(formula, sizes))
    columns = tuple(
        SizeColumn(
            pieces=solved.solution.pieces,
            batches=solved.solution.dough / formula.solution.dough,
            dough=Cell(solved.solution.dough, "kg"),
            own=solved is formula,
        )
        for solved in made
    )
    return SizeTable(columns, tuple(_preparation(plan.name, made) for plan in plans))


def _sized(formula: ResolvedFormula, sizes: Sequence[int] | None) -> Iterator[ResolvedFormula]:
    pieces, piece = formula.solution.pieces, formula.solution.piece
    if pieces is None or piece is None:
        if sizes:
            raise DocumentError([Notice.of("piece-unknown", "yield")])
        for batches in BATCHES:
            wish = Wish(flour=formula.solution.total_flour * batches)
            yield formula if batches == 1 else resolved_formula(formula.document, wish)
        return
    for count in sizes or usual_sizes(pieces):
        wish = Wish(pieces=count, piece=piece)
        yield formula if count == pieces else resolved_formula(formula.document, wish)


def _preparation(name: str, made: Sequence[ResolvedFormula]) -> SizedPreparation:
    solved = [(formula, formula.solution.named(name)) for formula in made]
    lines = [weigh_lines(p, formula, CARD_SCALE, None) for formula, p in solved]
    sums = (shown_weight(p, formula.solution, CARD_SCALE) for formula, p in solved)
    return SizedPreparation(
        name=name,
        rows=tuple(
            SizeRow(row[0].name, *zip(*map(_weight_and_step, row), strict=True))
            for row in zip(*lines, strict=True)
        ),
        sums=tuple(Cell(each, "kg") for each in sums),
    )


def _weight_and_step(line: WeighLine) -> tuple[Cell, Cell]:
    """What to weigh and how finely it is shown: finer than a scale where that would lie."""
    wanted, shown = line.wanted.value or 0.0, line.weight.value or 0.0
    if abs(shown - wanted) <= LIES_FROM * wanted:
        return line.weight, line.step
    return line.wanted, Cell(FINER, "kg")


# Spoons and cups


@dataclass(frozen=True, slots=True)
class MeasureSheet:
    """Whose cups and spoons a card counts in, and how far they may be trusted.

    ``flour_cup`` is what a cup of flour weighs by how it is filled (None where none is counted
    in cups); ``salt`` the same salt by the spoon of three salts (None where none is so counted).
    """

    system: System
    cup: Cell
    tbsp: Cell
    tsp: Cell
    flour_cup: Cell | None
    salt: SaltSpoons | None


def measure_system(codes: Codes) -> System:
    """The cups and spoons of the country whose rules a kitchen goes by."""
    return "US" if codes == "US" else "metric"


def line_measures(
    p: SolvedPreparation, lines: Iterable[WeighLine], system: System
) -> tuple[Measured | None, ...]:
    """Each line in spoons and cups; None for preparations, eggs and what has no density."""
    known = {line.name: line.ingredient for line in p.preparation.lines}
    return tuple(_measure(line, known.get(line.name), system) for line in lines)


def _measure(line: WeighLine, ingredient: Ingredient | None, system: System) -> Measured | None:
    if line.is_preparation or ingredient is None or line.count is not None:
        return None
    return household_measure(ingredient, line.wanted.value or 0.0, system)


def measure_sheet(
    preparations: Sequence[tuple[SolvedPreparation, tuple[Measured | None, ...]]], system: System
) -> MeasureSheet:
    """What is to be said of the measures of all preparations."""
    counted = [
        (line.ingredient, measure)
        for p, measures in preparations
        for line, measure in zip(p.preparation.lines, measures[len(p.taken) :], strict=True)
        if measure is not None
    ]
    floury = any(
        i.kind == "flour" and any(unit == "cup" for _, unit in measure.parts)
        for i, measure in counted
    )
    salts = [measure for i, measure in counted if i.name == "salt"]
    return MeasureSheet(
        system=system,
        cup=Cell(measure_volume("cup", system), "m**3"),
        tbsp=Cell(measure_volume("tbsp", system), "m**3"),
        tsp=Cell(measure_volume("tsp", system), "m**3"),
        flour_cup=_flour_cup() if floury else None,
        salt=salt_spoons(max(salts, key=lambda measure: measure.mass)) if salts else None,
    )


def _flour_cup() -> Cell:
    low, high = (household_constant(f"flour_cup_{end}") for end in ("light", "heavy"))
    return Cell((low + high) / 2, "kg", "usual", low, high)
