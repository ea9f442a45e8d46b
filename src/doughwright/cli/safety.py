"""``doughwright safety``: what in a plan may spoil, whose clock it breaks, what to do."""

from dataclasses import replace

import click

from doughwright.cli.asking import (
    QuantityOption,
    announce_compiling,
    formula_in,
    kitchen_in,
    located,
    reporting,
    screen,
    wish_from,
    wish_options,
)
from doughwright.cli.plan import changed_kitchen, resolved
from doughwright.documents.quantities import Quantity
from doughwright.errors import DoughwrightError
from doughwright.resolving.food_paths import food_paths
from doughwright.resolving.formulas import Wish, leaves_scale_open
from doughwright.resolving.kitchens import Kitchen, as_codes, kitchen_from
from doughwright.resolving.planning import planned_formula
from doughwright.sheets.safety import SafetySheet, safety_sheet


@click.command("safety")
@click.argument("formula", type=click.Path())
@click.option(
    "--kitchen", type=click.Path(), help="A kitchen document: its rooms, its country's rules."
)
@click.option("--room", type=QuantityOption("temperature"), help="Room temperature, such as 27°C.")
@click.option(
    "--codes",
    type=click.Choice(["EU", "UK", "US"], case_sensitive=False),
    help="Whose rules; those of the kitchen without it.",
)
@wish_options
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON, nothing else.")
@reporting
def command(
    formula: str,
    kitchen: str | None,
    room: Quantity | None,
    codes: str | None,
    as_json: bool,  # noqa: FBT001 - a flag
    **asked: object,
) -> None:
    """Follow what may spoil in FORMULA through its plan, and judge it by named rules.

    Your local food code and your inspector go before what is printed.
    """
    place = changed_kitchen(
        kitchen_from(kitchen_in(kitchen)), {"room": room} if room is not None else {}
    )
    if codes is not None:
        place = replace(place, codes=as_codes(codes))
    sheet = answered(formula, place, wish_from(**asked))  # type: ignore[arg-type]  # its options
    if as_json:
        from doughwright.render.json_text import sheet_json  # noqa: PLC0415 - only when asked for

        click.echo(sheet_json(sheet))
        return
    from doughwright.render.safety_text import safety_text  # noqa: PLC0415 - rich, not for JSON

    click.echo(safety_text(sheet, **screen()), nl=False)


def answered(path: str, kitchen: Kitchen, wish: Wish) -> SafetySheet:
    """Read, solve, plan and judge; problems come back with their place in the file."""
    reading, document = formula_in(path)
    if wish.is_open and leaves_scale_open(document):
        wish = Wish(flour=1.0)
    try:
        formula, own = resolved(document, wish)
        announce_compiling()
        paths = food_paths(planned_formula(formula, own, kitchen))
        return safety_sheet(document.name, kitchen.name, kitchen.codes, paths)
    except DoughwrightError as error:
        raise located(error, reading) from None
