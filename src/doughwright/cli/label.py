"""``doughwright label``: ingredients, allergens and nutrition of a bread as it is sold."""

from typing import Any

import click

from doughwright.cli.asking import (
    QuantityOption,
    announce_compiling,
    formula_in,
    kitchen_in,
    located,
    reporting,
    screen,
)
from doughwright.cli.plan import resolved
from doughwright.documents.quantities import Quantity
from doughwright.errors import DoughwrightError
from doughwright.resolving.formulas import Wish, leaves_scale_open
from doughwright.resolving.kitchens import as_codes, kitchen_from
from doughwright.resolving.planning import planned_formula
from doughwright.resolving.selling import loss_of, sold
from doughwright.sheets.label import LabelSheet, label_sheet


@click.command("label")
@click.argument("formula", type=click.Path())
@click.option(
    "--kitchen", type=click.Path(), help="A kitchen document: its oven, and its country's rules."
)
@click.option(
    "--codes",
    type=click.Choice(["EU", "UK", "US"], case_sensitive=False),
    help="Whose rules; those of the kitchen without it.",
)
@click.option("--loss", type=QuantityOption("percent"), help="Baking loss, such as 12%.")
@click.option(
    "--baked", type=QuantityOption("mass"), help="What a baked, cooled piece weighs, such as 95 g."
)
@click.option(
    "--may-contain",
    "may_contain",
    multiple=True,
    help="What could get in by chance, in your own words; several times.",
)
@click.option(
    "--quantity",
    "named",
    multiple=True,
    help="An ingredient whose quantity is to be given, beside those in the bread's name.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the label as JSON, nothing else.")
@reporting
def command(
    formula: str,
    as_json: bool,  # noqa: FBT001 - a flag
    **asked: Any,
) -> None:
    """Write the label of FORMULA: ingredient list, allergens, nutrition, quantities.

    The weight as sold follows from --baked or --loss, else from the bake as it is worked out.
    """
    sheet = answered(formula, **asked)
    if as_json:
        from doughwright.render.json_text import sheet_json  # noqa: PLC0415 - only when asked for

        click.echo(sheet_json(sheet))
        return
    from doughwright.render.label_text import label_text  # noqa: PLC0415 - rich, not for JSON

    click.echo(label_text(sheet, **screen()), nl=False)


def answered(
    path: str,
    *,
    kitchen: str | None,
    codes: str | None,
    loss: Quantity | None,
    baked: Quantity | None,
    may_contain: tuple[str, ...],
    named: tuple[str, ...],
) -> LabelSheet:
    """Read, solve, bake and label; problems come back with their place in the file."""
    if loss is not None and baked is not None:
        raise click.UsageError("--loss and --baked say the same twice; give one.")
    place = kitchen_from(kitchen_in(kitchen))
    reading, document = formula_in(path)
    wish = Wish(flour=1.0) if leaves_scale_open(document) else Wish()
    try:
        formula, own = resolved(document, wish)
        told = loss is not None or baked is not None
        announce_compiling()
        predicted = None if told else planned_formula(formula, own, place).baked
        stated = loss.best if loss is not None else None
        found = loss_of(formula, predicted, stated=stated, piece=baked.best if baked else None)
        return label_sheet(
            formula,
            sold(formula, found),
            as_codes(codes) if codes is not None else place.codes,
            may_contain=may_contain,
            named=named,
        )
    except DoughwrightError as error:
        raise located(error, reading) from None
