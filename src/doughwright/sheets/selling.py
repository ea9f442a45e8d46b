"""What a plan says of the bread on sale: its label and its cost, where they can be said."""

from dataclasses import dataclass

from doughwright.errors import DoughwrightError, Notice
from doughwright.resolving.costs import formula_cost
from doughwright.resolving.planning import Planned
from doughwright.resolving.selling import SoldProduct, loss_of, sold
from doughwright.sheets.cost import CostSheet, cost_sheet
from doughwright.sheets.label import LabelSheet, label_sheet


@dataclass(frozen=True, slots=True)
class Selling:
    """Label and cost of a planned bread; None where it is not baked, or nothing has a price.

    ``problems`` are what stood in the way: a plan is of use without them.
    """

    label: LabelSheet | None = None
    cost: CostSheet | None = None
    problems: tuple[Notice, ...] = ()


def selling(here: Planned) -> Selling:
    """Label and cost of a planned bread in the kitchen's country and currency."""
    if not any(step.verb == "bake" for step in here.formula.document.process):
        return Selling()
    try:
        product = sold(here.formula, loss_of(here.formula, here.baked))
    except DoughwrightError as error:
        return Selling(problems=error.problems)
    place = here.kitchen
    label = label_sheet(here.formula, product, place.codes, may_contain=place.may_contain)
    try:
        return Selling(label, plan_cost(here, product))
    except DoughwrightError as error:
        return Selling(label, None, error.problems)


def plan_cost(here: Planned, product: SoldProduct) -> CostSheet | None:
    """What a planned bread costs; None where nothing in it has a price."""
    found = formula_cost(here.formula, here.kitchen, here.baked, here.settled.steps)
    priced = any(line.price for line in found.cost.lines)
    if not priced and found.cost.energy is None and found.cost.labour is None:
        return None
    return cost_sheet(here.formula.document.name, found, product)
