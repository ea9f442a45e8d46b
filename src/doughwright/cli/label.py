"""``doughwright label``: ingredients, allergens and nutrition of a bread as it is sold."""

from typing import Any

import click

from doughwright.cli.asking import (
    QuantityOption,
    codes_option,
    json_option,
    kitchen_option,
    reporting,
)
from doughwright.cli.opening import announce_codes, kitchen_asked, opened
from doughwright.cli.showing import screen, show
from doughwright.documents.quantities import Quantity
from doughwright.engine.food_rules import Codes
from doughwright.resolving.formulas import Wish
from doughwright.resolving.planning import planned_formula
from doughwright.resolving.selling import loss_of, sold
from doughwright.sheets.label import LabelSheet, label_sheet


@click.command("label")
@click.argument("formula", type=click.Path())
@kitchen_option("A kitchen document: its oven, and its country's rules.")
@codes_option
@click.option("--loss", type=QuantityOption("percent"), help="Baking loss, such as 12%.")
@click.option(
    "--baked", type=QuantityOption("mass"), help="What a baked, cooled piece weighs, such as 95 g."
)
@click.option(
    "--may-contain",
    "may_contain",
    multiple=True,
    help="What could get in by chance, in your own words, beside what the kitchen says; "
    "several times.",
)
@click.option(
    "--quantity",
    "named",
    multiple=True,
    help="An ingredient whose quantity is to be given, beside those in the bread's name.",
)
@json_option("label")
@reporting
def command(
    formula: str,
    as_json: bool,  # noqa: FBT001 - a flag
    **asked: Any,
) -> None:
    """Write the label of FORMULA: ingredient list, allergens, nutrition, quantities.

    The weight as sold follows from --baked or --loss, else from the bake as it is worked out.
    """
    show(answered(formula, **asked), _text, as_json=as_json)


def answered(
    path: str,
    *,
    kitchen: str | None,
    codes: Codes | None,
    loss: Quantity | None,
    baked: Quantity | None,
    may_contain: tuple[str, ...],
    named: tuple[str, ...],
) -> LabelSheet:
    """Read, solve, bake and label; problems come back with their place in the file."""
    if loss is not None and baked is not None:
        raise click.UsageError("--loss and --baked say the same twice; give one.")
    place = kitchen_asked(kitchen, codes=codes)
    announce_codes(place, codes)
    with opened(path, Wish()) as (formula, own):
        told = loss is not None or baked is not None
        predicted = None if told else planned_formula(formula, own, place).baked
        stated = loss.best if loss is not None else None
        found = loss_of(formula, predicted, stated=stated, piece=baked.best if baked else None)
        return label_sheet(
            formula,
            sold(formula, found),
            place.codes,
            may_contain=(*place.may_contain, *may_contain),
            named=named,
        )


def _text(sheet: LabelSheet) -> str:
    from doughwright.render.label_text import label_text  # noqa: PLC0415 - rich, not for JSON

    return label_text(sheet, **screen())
