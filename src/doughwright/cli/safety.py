"""``doughwright safety``: what in a plan may spoil, whose clock it breaks, what to do."""

from typing import Any

import click

from doughwright.cli.asking import (
    QuantityOption,
    codes_option,
    json_option,
    kitchen_option,
    reporting,
    room_option,
    wish_from,
    wish_options,
)
from doughwright.cli.opening import announce_codes, kitchen_asked, opened
from doughwright.cli.showing import screen, show
from doughwright.documents.quantities import Quantity
from doughwright.engine.food_rules import Codes
from doughwright.resolving.filling_paths import food_constant
from doughwright.resolving.formulas import Wish
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.planning import planned_formula
from doughwright.sheets.safety import safety_sheet
from doughwright.sheets.safety_rows import SafetySheet, Stand
from doughwright.units import ICE_POINT

LONGEST_STAND = 7 * 24 * 3600.0
COLDEST_AIR, HOTTEST_AIR = ICE_POINT - 30.0, ICE_POINT + 120.0
"""Beyond these nobody shows or holds a bread: a slip of unit."""


class StandOption(click.ParamType[Stand]):
    """How long a bread stands and how warm the air is: ``3 h at 24 °C``.

    Of ranges the worse end is taken: the longest time, the warmest air, the coolest of hot air.
    """

    name = "time at temperature"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> Stand:
        """Read both, or fail with what is allowed."""
        if isinstance(value, Stand):
            return value
        time, found, air = str(value).partition(" at ")
        if not found:
            self.fail(f"“{value}”: write a time and a temperature: '3 h at 24 °C'", param, ctx)
        lasts = QuantityOption("duration").convert(time.strip(), param, ctx).high
        read = QuantityOption("temperature").convert(air.strip(), param, ctx)
        warm = read.low if read.low >= food_constant("held_hot_from") else read.high
        if not 0 < lasts <= LONGEST_STAND or not COLDEST_AIR <= warm <= HOTTEST_AIR:
            allowed = "a time above zero, up to 7 days, and −30 to 120 °C"
            self.fail(f"“{value}” is outside what is followed: {allowed}", param, ctx)
        return Stand(lasts, warm)


@click.command("safety")
@click.argument("formula", type=click.Path())
@kitchen_option("A kitchen document: its rooms, its country's rules.")
@room_option
@codes_option
@click.option(
    "--stands",
    type=StandOption(),
    help="How long a baked bread stands for sale or service and in what air: "
    "'3 h at 24 °C' out of the fridge, '2 h at 60 °C' held hot.",
)
@wish_options
@json_option("answer")
@reporting
def command(
    formula: str,
    kitchen: str | None,
    room: Quantity | None,
    codes: Codes | None,
    stands: Stand | None,
    as_json: bool,  # noqa: FBT001 - a flag
    **asked: Any,
) -> None:
    """Follow what may spoil in FORMULA through its plan, and judge it by named rules.

    Your local food code and your inspector go before what is printed.
    """
    place = kitchen_asked(kitchen, room, codes)
    announce_codes(place, codes)
    show(answered(formula, place, wish_from(**asked), stands), _text, as_json=as_json)


def answered(path: str, kitchen: Kitchen, wish: Wish, stand: Stand | None = None) -> SafetySheet:
    """Read, solve, plan and judge; problems come back with their place in the file."""
    with opened(path, wish) as (formula, own):
        return safety_sheet(planned_formula(formula, own, kitchen), stand)


def _text(sheet: SafetySheet) -> str:
    from doughwright.render.safety_text import safety_text  # noqa: PLC0415 - rich, not for JSON

    return safety_text(sheet, **screen())
