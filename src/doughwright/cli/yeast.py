"""``doughwright yeast``: how much yeast makes a step ready in a wished time."""

from typing import Any

import click

from doughwright.cli.asking import (
    QuantityOption,
    json_option,
    kitchen_option,
    reporting,
    room_option,
    wish_from,
    wish_options,
)
from doughwright.cli.opening import kitchen_asked, opened
from doughwright.cli.showing import screen, show
from doughwright.documents.quantities import Quantity
from doughwright.resolving.formulas import Wish
from doughwright.resolving.kitchens import Kitchen
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
@kitchen_option("A kitchen document; without it, an ordinary kitchen.")
@room_option
@wish_options
@json_option("answer")
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
    place = kitchen_asked(kitchen, room)
    show(answered(formula, place, wish_from(**asked), question), _text, as_json=as_json)


def _time(within: Quantity) -> float:
    if within.best <= 0:
        raise click.UsageError("--within must be more than zero.")
    return within.best


def answered(path: str, kitchen: Kitchen, wish: Wish, question: Question) -> YeastSheet:
    """Read, solve and answer; problems come back with their place in the file."""
    with opened(path, wish) as (formula, own):
        return yeast_sheet(dosed(formula, own, kitchen, question), kitchen)


def _text(sheet: YeastSheet) -> str:
    from doughwright.render.comparison import yeast_text  # noqa: PLC0415 - rich, not for JSON

    return yeast_text(sheet, **screen())
