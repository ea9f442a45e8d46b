"""``doughwright rework``: a formula changed on purpose, and what changed."""

import click

from doughwright.cli.asking import (
    announce_compiling,
    formula_in,
    kitchen_option,
    reporting,
    room_option,
    write_file,
)
from doughwright.cli.opening import kitchen_asked
from doughwright.documents.differences import differences
from doughwright.documents.quantities import Quantity
from doughwright.documents.reading import Reading
from doughwright.errors import DoughwrightError
from doughwright.render.differences import difference_lines
from doughwright.render.messages import remedy, words
from doughwright.resolving.kitchens import Kitchen
from doughwright.reworking.rework import Rework, reworked_text
from doughwright.reworking.standing import still_true
from doughwright.reworking.wishes import EXAMPLES, rework_asked, start_for

TIMED = " in "
"""What a wish says that asks for a time."""


@click.command("rework", epilog=f"Wishes: {'; '.join(EXAMPLES)}.")
@click.argument("formula", type=click.Path())
@click.option(
    "--to",
    "wishes",
    multiple=True,
    required=True,
    metavar="'WORDS'",
    help="What is wanted, such as 'poolish 30 %', '12 pieces', 'hydration 68 %' or "
    "'oil for butter'. Several are done one after the other.",
)
@click.option("--out", type=click.Path(), help="Write the new formula to a file.")
@kitchen_option("Where a time is asked for: a kitchen document, else an ordinary kitchen.")
@room_option
@reporting
def command(
    formula: str,
    wishes: tuple[str, ...],
    out: str | None,
    kitchen: str | None,
    room: Quantity | None,
) -> None:
    """Change FORMULA on purpose: print it anew, and on standard error what changed.

    Comments and layout stay the author's. Preferments, scalds, sizes, swaps, targets and
    schedules: all wishes stand below.
    """
    reading, document = formula_in(formula)
    place = kitchen_asked(kitchen, room)
    if any(TIMED in wish for wish in wishes):
        announce_compiling()
    try:
        done = [start_for(document, wishes[0])]
    except DoughwrightError as error:
        raise reading.located(error) from None
    for wish in wishes:
        done.append(_asked(done[-1], wish, place, reading if len(done) == 1 else None))
    text = reading.text
    for each in done:
        text = reworked_text(text, each)
    if out is None:
        click.echo(text, nl=False)
    else:
        write_file(out, text)
    click.echo(_said(reading, wishes, done), err=True)


def _asked(after: Rework, wish: str, kitchen: Kitchen, reading: Reading | None) -> Rework:
    """Do one wish; a problem has its place in the author's text as long as that is the one."""
    try:
        return rework_asked(after.formula, kitchen, wish)
    except DoughwrightError as error:
        raise (reading.located(error) if reading is not None else error) from None


def _said(reading: Reading, wishes: tuple[str, ...], done: list[Rework]) -> str:
    """What changed, what stayed as it was, and what is worth saying of each wish."""
    changed = difference_lines(differences(reading.document, done[-1].document))
    kept = [word for word in done[0].conserves if all(word in each.conserves for each in done)]
    told = changed or ("nothing: it is so already",)
    lines = [f"To {', then '.join(wishes)}:", *(f"  {line}" for line in told)]
    if kept:
        lines.append(f"As it was, on the flour: {', '.join(kept)}.")
    lines += [f"{words(notice)} {remedy(notice)}".rstrip() for notice in still_true(done)]
    return "\n".join(lines)
