"""Opening what a command works on: a formula solved, a kitchen as it was asked for."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

import click

from doughwright.cli.asking import announce_compiling, formula_in, kitchen_in
from doughwright.documents.quantities import Quantity
from doughwright.engine.food_rules import Codes
from doughwright.errors import DoughwrightError
from doughwright.resolving.formulas import (
    ResolvedFormula,
    Wish,
    as_tested,
    resolved_formula,
    sized_wish,
)
from doughwright.resolving.kitchens import Kitchen, changed_kitchen, kitchen_from


@contextmanager
def opened(
    path: str, wish: Wish, *, needs_size: bool = False
) -> Iterator[tuple[ResolvedFormula, ResolvedFormula]]:
    """Read a formula and solve it at the size wished for, and at its own.

    Its own size is the one its times were noted in. With ``needs_size`` a formula that does not
    say how much to make is refused. Problems, also those of the work done on the formula, come
    back with their place in the file.
    """
    reading, document = formula_in(path)
    if not needs_size:
        asked, wish = wish, sized_wish(document, wish)
        if wish != asked:
            click.echo("It does not say how much to make: counted on 1 kg of flour.", err=True)
    try:
        formula = resolved_formula(document, wish)
        own = formula if wish.is_open else as_tested(formula)
        announce_compiling()
        yield formula, own
    except DoughwrightError as error:
        raise reading.located(error) from None


def kitchen_asked(
    path: str | None, room: Quantity | None = None, codes: Codes | None = None
) -> Kitchen:
    """Read a kitchen, if one is named, with its room and its country's rules as asked for."""
    kitchen = changed_kitchen(
        kitchen_from(kitchen_in(path)), {"room": room} if room is not None else {}
    )
    return replace(kitchen, codes=codes) if codes is not None else kitchen


def announce_codes(kitchen: Kitchen, codes: Codes | None) -> None:
    """Say whose rules are taken where nobody said."""
    if codes is None and "codes" in kitchen.assumed:
        said = f"{kitchen.codes} rules are taken: say --codes, or `codes:` in the kitchen."
        click.echo(said.replace("`", ""), err=True)
