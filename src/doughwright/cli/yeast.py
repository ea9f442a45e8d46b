"""``doughwright yeast``: how much yeast makes a step ready in a wished time."""

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
    wish_from,
    wish_options,
)
from doughwright.cli.plan import changed_kitchen, resolved
from doughwright.documents.quantities import Quantity
from doughwright.errors import DoughwrightError
from doughwright.resolving.formulas import Wish, leaves_scale_open
from doughwright.resolving.kitchens import Kitchen, kitchen_from
from doughwright.resolving.yeast import Question, dosed
from doughwright.sheets.yeast import YeastSheet, yeast_sheet

PLACES = ("room", "fridge", "proofer")


class PlaceOption(click.ParamType[str | Quantity]):
    """Where a dough stands: a temperature or a place of the kitchen."""

    name = "temperature or place"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> str | Quantity:
        """Read a place's name, else a temperature."""
        if isinstance(value, Quantity):
            return value
        word = str(value).strip().casefold()
        return word if word in PLACES else QuantityOption("temperature").convert(value, param, ctx)


@click.command("yeast")
@click.argument("formula", type=click.Path())
@click.option(
    "--step",
    required=True,
    metavar="'VERB PREPARATION'",
    help="The step that is to be ready, such as 'ferment dough'; 'ferment dough 2' is the second.",
)
@click.option(
    "--within",
    required=True,
    type=QuantityOption("duration"),
    help="How long it is to take, such as '8 h'.",
)
@click.option(
    "--at",
    type=PlaceOption(),
    metavar="TEMPERATURE",
    help="Where it is to stand: a temperature such as 18°C, or room, fridge or proofer.",
)
@click.option(
    "--kitchen", type=click.Path(), help="A kitchen document; without it, an ordinary kitchen."
)
@click.option("--room", type=QuantityOption("temperature"), help="Room temperature, such as 27°C.")
@wish_options
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON, nothing else.")
@reporting
def command(
    formula: str,
    kitchen: str | None,
    room: Quantity | None,
    as_json: bool,  # noqa: FBT001 - a flag
    **asked: Any,
) -> None:
    """Say how much yeast makes a step of FORMULA ready in a wished time.

    The step keeps its goal; all yeast of the formula becomes more or less together, and the
    other rises are shown with that yeast. A formula that does not say how much to make is
    counted on 1 kg of flour.
    """
    question = Question(asked.pop("step"), _time(asked.pop("within")), asked.pop("at"))
    place = changed_kitchen(
        kitchen_from(kitchen_in(kitchen)), {"room": room} if room is not None else {}
    )
    show(answered(formula, place, wish_from(**asked), question), as_json=as_json)


def _time(within: Quantity) -> float:
    if within.best <= 0:
        raise click.UsageError("--within must be more than zero.")
    return within.best


def answered(path: str, kitchen: Kitchen, wish: Wish, question: Question) -> YeastSheet:
    """Read, solve and answer; problems come back with their place in the file."""
    reading, document = formula_in(path)
    if wish.is_open and leaves_scale_open(document):
        wish = Wish(flour=1.0)
    try:
        formula, own = resolved(document, wish)
        announce_compiling()
        return yeast_sheet(dosed(formula, own, kitchen, question), kitchen)
    except DoughwrightError as error:
        raise located(error, reading) from None


def show(sheet: YeastSheet, *, as_json: bool) -> None:
    """Print the answer as text or JSON."""
    if as_json:
        from doughwright.render.json_text import sheet_json  # noqa: PLC0415 - only when asked for

        click.echo(sheet_json(sheet))
        return
    from doughwright.render.comparison import yeast_text  # noqa: PLC0415 - rich, not for JSON

    click.echo(yeast_text(sheet, **screen()), nl=False)
