"""``doughwright formula``: the percentage tables."""

from typing import Any

import click

from doughwright.cli.asking import (
    formula_in,
    json_option,
    reporting,
    wish_from,
    wish_options,
)
from doughwright.cli.showing import screen
from doughwright.errors import DoughwrightError
from doughwright.render.json_text import sheet_json
from doughwright.render.text import formula_text
from doughwright.resolving.formulas import resolved_formula, sized_wish
from doughwright.sheets.formula import formula_sheet


@click.command("formula")
@click.argument("formula", type=click.Path())
@wish_options
@json_option("tables")
@reporting
def command(formula: str, as_json: bool, **size: Any) -> None:  # noqa: FBT001 - a flag
    """Show the percentages of FORMULA, overall and by preparation.

    A formula that does not say how much to make is shown on 1 kg of flour.
    """
    wish = wish_from(**size)
    reading, document = formula_in(formula)
    wish = sized_wish(document, wish)
    try:
        sheet = formula_sheet(resolved_formula(document, wish))
    except DoughwrightError as error:
        raise reading.located(error) from None
    click.echo(sheet_json(sheet) if as_json else formula_text(sheet, **screen()), nl=as_json)
