"""``doughwright bake``: how long another size, another oven, another altitude."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import Any

import click

from doughwright.cli.asking import (
    ListOption,
    QuantityOption,
    json_option,
    kitchen_option,
    reporting,
    room_option,
    write_file,
)
from doughwright.cli.opening import kitchen_asked, opened
from doughwright.cli.showing import screen, show
from doughwright.documents.quantities import Quantity
from doughwright.documents.scalars import read_oven
from doughwright.errors import Notice
from doughwright.render.messages import remedy, words
from doughwright.resolving.bakes import BakeChange, BakeSetting, bake_here, bake_setting
from doughwright.resolving.formulas import ResolvedFormula, Wish
from doughwright.resolving.kitchens import Kitchen, changed_kitchen
from doughwright.resolving.oven_courses import Dial, dial_of
from doughwright.resolving.rises import settled
from doughwright.resolving.steps import COOLEST_OVEN, HOTTEST_OVEN
from doughwright.sheets.bake import BakeSheet, bake_sheet, wanted_weight

MOST_BAKES = 12


class PiecesOption(click.ParamType[tuple[int, ...]]):
    """One or several numbers of pieces, separated by commas."""

    name = "n[,...]"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[int, ...]:
        """Read whole numbers from 1."""
        if isinstance(value, tuple):
            return value
        parts = [part.strip() for part in str(value).split(",")]
        if not all(part.isdecimal() and 0 < int(part) < 10**6 for part in parts):
            self.fail(f"“{value}”: write whole numbers from 1, such as 6,8,10", param, ctx)
        return tuple(int(part) for part in parts)


class OvenOption(click.ParamType[Dial]):
    """An oven's setting: ``180 °C conventional``, ``165°C fan``, ``gas mark 5``."""

    name = "setting"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Dial:
        """Read a setting with its kind of oven."""
        if isinstance(value, Dial):
            return value
        setting = read_oven(str(value))
        if setting is None or (setting.temperature is not None and setting.kind is None):
            allowed = "'165 °C fan', '190 °C conventional' or 'gas mark 5'"
            self.fail(f"“{value}”: write a setting with its kind of oven: {allowed}", param, ctx)
        dial = dial_of(setting, setting.kind or "gas")
        if not COOLEST_OVEN <= dial.temperature <= HOTTEST_OVEN:
            about = Notice.of("oven-out-of-range", oven=dial.temperature)
            self.fail(f"{words(about)} {remedy(about)}", param, ctx)
        return dial


@click.command("bake")
@click.argument("formula", type=click.Path())
@kitchen_option("A kitchen document; without it, an ordinary kitchen.")
@room_option
@click.option(
    "--pieces",
    type=PiecesOption(),
    help="Into how many pieces the same dough is divided, such as 6,8,10.",
)
@click.option(
    "--oven",
    type=OvenOption(),
    multiple=True,
    help="Another oven or setting, such as '180 °C conventional'; give it several times.",
)
@click.option(
    "--altitude", type=ListOption("length"), help="Altitude, such as 2500m; or 0m,1500m,2500m."
)
@click.option("--cold", is_flag=True, help="Put it into an oven that was not heated.")
@click.option(
    "--baked",
    type=QuantityOption("mass"),
    help="Baked weight wanted of a piece: says how much dough to scale for it.",
)
@json_option("answer")
@click.option("--html", type=click.Path(), help="Write the answer as one HTML page to this file.")
@reporting
def command(
    formula: str,
    kitchen: str | None,
    room: Quantity | None,
    as_json: bool,  # noqa: FBT001 - a flag
    html: str | None,
    **asked: Any,
) -> None:
    """Say how long FORMULA bakes in a kitchen, and in other sizes, ovens and altitudes.

    The first row is the formula as it is; each further row changes what was asked for.
    Times are your own moved by the model's ratio where the formula says how long it took,
    else the model's alone.
    """
    sheet = answered(formula, kitchen_asked(kitchen, room), **asked)
    show(sheet, _text, as_json=as_json)
    if html is not None:
        from doughwright.render.page import bake_page  # noqa: PLC0415 - only when asked for

        write_file(html, bake_page(sheet))
        if not as_json:
            click.echo(f"\nThe same as a page: {Path(html).resolve()}")


def answered(
    path: str,
    kitchen: Kitchen,
    *,
    pieces: tuple[int, ...] | None,
    oven: Sequence[Dial],
    altitude: Sequence[Quantity] | None,
    cold: bool,
    baked: Quantity | None,
) -> BakeSheet:
    """Read, solve and bake; problems come back with their place in the file."""
    if baked is not None and baked.best <= 0:
        raise click.UsageError("--baked must be more than zero.")
    count = max(1, len(pieces or ())) * max(1, len(oven)) * max(1, len(altitude or ()))
    if count > MOST_BAKES:
        raise click.UsageError(
            f"That would be {count} bakes; one table has room for {MOST_BAKES}. Give fewer values."
        )
    changes = [
        BakeChange(number, dial, cold)
        for dial, number in product(oven or (None,), pieces or (None,))
    ]
    with opened(path, Wish()) as (formula, own):
        here = _setting(formula, own, kitchen)
        places = [changed_kitchen(kitchen, {"altitude": height}) for height in altitude or ()]
        settings = [_setting(formula, own, place) for place in places] or [here]
        same = {BakeChange(), BakeChange(here.pieces)}
        others = [
            bake_here(setting, change)
            for setting, change in product(settings, changes)
            if setting.kitchen != here.kitchen or change not in same
        ]
        wanted = None
        if baked is not None:
            wanted = wanted_weight(settings[0], baked.best, replace(changes[0], pieces=None))
        return bake_sheet(bake_here(here), others, wanted)


def _setting(formula: ResolvedFormula, own: ResolvedFormula, kitchen: Kitchen) -> BakeSetting:
    found = bake_setting(formula, own, kitchen, settled(formula, own, kitchen))
    if found is None:
        about = Notice.of("nothing-to-bake")
        raise click.UsageError(f"{words(about)} {remedy(about)}")
    return found


def _text(sheet: BakeSheet) -> str:
    from doughwright.render.bake_text import bake_text  # noqa: PLC0415 - rich, not for JSON

    return bake_text(sheet, **screen())
