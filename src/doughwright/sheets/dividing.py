"""Dividing: so many pieces of so much, what is left, and even cuts."""

from dataclasses import dataclass

from doughwright.engine.dividing import even_division
from doughwright.engine.formula import SolvedFormula, SolvedPreparation
from doughwright.engine.weighing import Scale
from doughwright.sheets.cells import Cell
from doughwright.units import Kilogram


@dataclass(frozen=True, slots=True)
class BesideRow:
    """What goes on or in each piece beside the dough."""

    name: str
    kind: str
    each: Cell


@dataclass(frozen=True, slots=True)
class DivisionSheet:
    """The dough cut into pieces; ``even`` is the piece that leaves nothing over."""

    dough: Cell
    spare: Cell
    pieces: int
    piece: Cell
    remainder: Cell
    even: Cell | None
    beside: tuple[BesideRow, ...]


def division_sheet(formula: SolvedFormula, scale: Scale) -> DivisionSheet | None:
    """Lay out how a dough is divided; None when the formula does not say."""
    if formula.pieces is None or formula.piece is None:
        return None
    usable = formula.dough * (1 - formula.spare)
    even = even_division(usable, usable / formula.pieces).piece
    left = formula.remainder if abs(formula.remainder) > scale.reads / 2 else 0.0
    return DivisionSheet(
        dough=Cell(formula.dough, "kg"),
        spare=Cell(formula.dough * formula.spare, "kg"),
        pieces=formula.pieces,
        piece=Cell(formula.piece, "kg"),
        remainder=Cell(left, "kg"),
        even=Cell(even, "kg") if left else None,
        beside=tuple(
            BesideRow(p.name, p.preparation.kind, Cell(left / formula.pieces, "kg"))
            for p in formula.preparations
            if not p.preparation.in_dough and (left := _not_taken(formula, p))
        ),
    )


def _not_taken(formula: SolvedFormula, p: SolvedPreparation) -> Kilogram:
    """What no other preparation takes of one: that goes to the pieces as it is."""
    taken = sum(other.taken.get(p.name, 0.0) for other in formula.preparations)
    left = p.mass - taken
    return left if left > p.mass * 1e-9 else 0.0
