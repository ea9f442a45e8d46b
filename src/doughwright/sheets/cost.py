"""What a bread costs: by ingredient, by batch, by piece, by kilogram baked."""

from dataclasses import dataclass

from doughwright.engine.costing import per_baked_kilogram, per_piece
from doughwright.errors import Notice
from doughwright.resolving.costs import FormulaCost
from doughwright.resolving.selling import SoldProduct
from doughwright.sheets.cells import Cell
from doughwright.units import Money


@dataclass(frozen=True, slots=True)
class CostLine:
    """One ingredient of a preparation; ``cost`` is None where nobody knows its price."""

    preparation: str
    name: str
    mass: Cell
    cost: Money | None


@dataclass(frozen=True, slots=True)
class CostSheet:
    """Costs of a batch, unrounded, in one currency.

    ``energy`` and ``labour`` are None where they have no price; ``energy_used`` is in J.
    """

    name: str
    currency: str
    pieces: int
    baked: Cell
    lines: tuple[CostLine, ...]
    ingredients: Money
    energy: Money | None
    energy_used: Cell
    labour: Money | None
    total: Money
    each: Money
    baked_kilogram: Money
    unknown: tuple[str, ...]
    unknown_share: Cell
    notices: tuple[Notice, ...]


def cost_sheet(name: str, found: FormulaCost, sold: SoldProduct) -> CostSheet:
    """Lay out what a formula costs."""
    cost = found.cost
    return CostSheet(
        name=name,
        currency=cost.currency,
        pieces=sold.pieces,
        baked=Cell(sold.product.mass, "kg", "model", sold.lighter.mass, sold.heavier.mass),
        lines=tuple(
            CostLine(x.preparation, x.name, Cell(x.mass, "kg"), x.cost) for x in cost.lines
        ),
        ingredients=cost.ingredients,
        energy=cost.energy,
        energy_used=Cell(found.energy, "J", "model" if found.energy is not None else "unknown"),
        labour=cost.labour,
        total=cost.total,
        each=per_piece(cost.total, sold.pieces),
        baked_kilogram=per_baked_kilogram(cost.total, sold.product.mass),
        unknown=cost.unknown,
        unknown_share=Cell(cost.unknown_share, "1"),
        notices=found.notices,
    )
