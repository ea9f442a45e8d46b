"""``doughwright cost``: what a bread costs, by batch, by piece, by kilogram baked."""

import click

from doughwright.cli.asking import (
    announce_compiling,
    formula_in,
    kitchen_in,
    located,
    reporting,
    screen,
    wish_from,
    wish_options,
)
from doughwright.cli.plan import resolved
from doughwright.errors import DoughwrightError
from doughwright.resolving.costs import formula_cost
from doughwright.resolving.formulas import Wish, leaves_scale_open
from doughwright.resolving.kitchens import Kitchen, kitchen_from
from doughwright.resolving.planning import planned_formula
from doughwright.resolving.selling import loss_of, sold
from doughwright.sheets.cost import CostSheet, cost_sheet


@click.command("cost")
@click.argument("formula", type=click.Path())
@click.option(
    "--kitchen", type=click.Path(), help="A kitchen document: prices, energy, labour, its oven."
)
@wish_options
@click.option("--json", "as_json", is_flag=True, help="Print the costs as JSON, nothing else.")
@reporting
def command(
    formula: str,
    kitchen: str | None,
    as_json: bool,  # noqa: FBT001 - a flag
    **asked: object,
) -> None:
    """Say what FORMULA costs: ingredients, energy of the bake, labour where it has a price.

    Prices stand in the formula's `ingredients:` and in the kitchen's `prices:`.
    """
    place = kitchen_from(kitchen_in(kitchen))
    sheet = answered(formula, place, wish_from(**asked))  # type: ignore[arg-type]  # its options
    if as_json:
        from doughwright.render.json_text import sheet_json  # noqa: PLC0415 - only when asked for

        click.echo(sheet_json(sheet))
        return
    from doughwright.render.cost_text import cost_text  # noqa: PLC0415 - rich, not for JSON

    click.echo(cost_text(sheet, **screen()), nl=False)


def answered(path: str, kitchen: Kitchen, wish: Wish) -> CostSheet:
    """Read, solve, bake and count; problems come back with their place in the file."""
    reading, document = formula_in(path)
    if wish.is_open and leaves_scale_open(document):
        wish = Wish(flour=1.0)
    try:
        formula, own = resolved(document, wish)
        announce_compiling()
        here = planned_formula(formula, own, kitchen)
        product = sold(formula, loss_of(formula, here.baked))
        cost = formula_cost(formula, kitchen, here.baked, here.settled.steps)
        return cost_sheet(document.name, cost, product)
    except DoughwrightError as error:
        raise located(error, reading) from None
