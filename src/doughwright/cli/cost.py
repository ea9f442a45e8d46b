"""``doughwright cost``: what a bread costs, by batch, by piece, by kilogram baked."""

from typing import Any

import click

from doughwright.cli.asking import (
    json_option,
    kitchen_option,
    reporting,
    wish_from,
    wish_options,
)
from doughwright.cli.opening import kitchen_asked, opened
from doughwright.cli.showing import screen, show
from doughwright.resolving.costs import formula_cost
from doughwright.resolving.formulas import Wish
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.planning import planned_formula
from doughwright.resolving.selling import loss_of, sold
from doughwright.sheets.cost import CostSheet, cost_sheet


@click.command("cost")
@click.argument("formula", type=click.Path())
@kitchen_option("A kitchen document: prices, energy, labour, its oven.")
@wish_options
@json_option("costs")
@reporting
def command(
    formula: str,
    kitchen: str | None,
    as_json: bool,  # noqa: FBT001 - a flag
    **asked: Any,
) -> None:
    """Say what FORMULA costs: ingredients, energy of the bake, labour where it has a price.

    Prices stand in the formula's `ingredients:` and in the kitchen's `prices:`.
    """
    place = kitchen_asked(kitchen)
    show(answered(formula, place, wish_from(**asked)), _text, as_json=as_json)


def answered(path: str, kitchen: Kitchen, wish: Wish) -> CostSheet:
    """Read, solve, bake and count; problems come back with their place in the file."""
    with opened(path, wish) as (formula, own):
        here = planned_formula(formula, own, kitchen)
        product = sold(formula, loss_of(formula, here.baked))
        cost = formula_cost(formula, kitchen, here.baked, here.settled.steps)
        return cost_sheet(formula.document.name, cost, product)


def _text(sheet: CostSheet) -> str:
    from doughwright.render.cost_text import cost_text  # noqa: PLC0415 - rich, not for JSON

    return cost_text(sheet, **screen())
