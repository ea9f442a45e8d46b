"""``doughwright card``: a bread written up for others."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from doughwright.cli.asking import (
    codes_option,
    json_option,
    kitchen_option,
    reporting,
    wish_from,
    wish_options,
    write_file,
)
from doughwright.cli.bake import PiecesOption
from doughwright.cli.opening import announce_codes, kitchen_asked, opened
from doughwright.cli.showing import show
from doughwright.engine.food_rules import Codes
from doughwright.render.messages import remedy, where, words
from doughwright.resolving.formulas import Wish
from doughwright.sheets.card import CardSheet, card

MOST_SIZES = 6


@click.command("card")
@click.argument("formula", type=click.Path())
@kitchen_option("A kitchen document: its country's rules, and what the formula does not say.")
@codes_option
@wish_options
@click.option("--sizes", type=PiecesOption(), help="Sizes to give weights for, such as 6,8,10.")
@click.option("--measures", is_flag=True, help="Give spoons and cups beside the grams.")
@click.option(
    "--width",
    type=click.IntRange(min=24),
    help="Longest line of the text; without it, a sentence is a line.",
)
@click.option("--html", type=click.Path(), help="Write the card as one HTML page to this file.")
@click.option("--pdf", type=click.Path(), help="Write the card as a tagged PDF to this file.")
@click.option("--json-ld", "as_recipe", is_flag=True, help="Print it as a schema.org Recipe.")
@json_option("card")
@reporting
def command(
    formula: str,
    as_json: bool,  # noqa: FBT001 - a flag
    as_recipe: bool,  # noqa: FBT001 - a flag
    width: int | None,
    html: str | None,
    pdf: str | None,
    **asked: Any,
) -> None:
    """Write FORMULA up for others: what to weigh, how it is done, in what kitchen it holds.

    Prints plain text, as for a description box. Times and temperatures are those of the
    kitchen the formula was tested in; what is to be mended before the card is given away goes
    to standard error.
    """
    if as_json and as_recipe:
        raise click.UsageError("--json and --json-ld print two things at once; give one.")
    sheet = answered(formula, **asked)
    show(sheet, _recipe if as_recipe else _text_of_width(width), as_json=as_json)
    quiet = as_json or as_recipe
    if not quiet:
        say_to_author(sheet)
    for what, file, made in (("a page", html, _page), ("a PDF", pdf, _pdf)):
        if file is None:
            continue
        write_file(file, made(sheet))
        if not quiet:
            click.echo(f"\nThe same card as {what}: {Path(file).resolve()}")


def answered(
    path: str,
    *,
    kitchen: str | None,
    codes: Codes | None,
    sizes: tuple[int, ...] | None,
    measures: bool,
    **asked: Any,
) -> CardSheet:
    """Read, solve and write up; problems come back with their place in the file."""
    if sizes is not None and len(sizes) > MOST_SIZES:
        raise click.UsageError(
            f"{len(sizes)} sizes are asked for; a card has room for {MOST_SIZES}. Give fewer."
        )
    wish: Wish = wish_from(**asked)
    place = kitchen_asked(kitchen, codes=codes)
    with opened(path, wish) as (formula, own):
        sheet = card(formula, place, own, sizes=sizes, measures=measures)
    announce_codes(place, codes)
    return sheet


def say_to_author(sheet: CardSheet) -> None:
    """Say on standard error what a reader could not mend."""
    if not sheet.for_author:
        return
    click.echo("\nBefore you give it away:", err=True)
    for notice in sheet.for_author:
        path = where(notice)
        said = f"{words(notice)} {remedy(notice)}".rstrip()
        click.echo(f"- {f'{path}: ' if path else ''}{said}", err=True)


def _text_of_width(width: int | None) -> Callable[[CardSheet], str]:
    def text(sheet: CardSheet) -> str:
        from doughwright.render.card_text import card_text  # noqa: PLC0415 - not for JSON

        return card_text(sheet, width=width)

    return text


def _recipe(sheet: CardSheet) -> str:
    from doughwright.render.json_ld import recipe_json  # noqa: PLC0415 - only when asked for

    return recipe_json(sheet)


def _page(sheet: CardSheet) -> str:
    from doughwright.render.card_page import card_page  # noqa: PLC0415 - only when asked for

    return card_page(sheet)


def _pdf(sheet: CardSheet) -> bytes:
    from doughwright.render.pdf import card_pdf  # noqa: PLC0415 - only when asked for

    return card_pdf(sheet)
