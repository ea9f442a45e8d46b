"""``doughwright check``: all that is wrong or doubtful in documents."""

import click

from doughwright.cli.asking import CANNOT_FOLLOW, located, read_file
from doughwright.documents.formula import FormulaDocument
from doughwright.errors import DoughwrightError, Notice
from doughwright.render.messages import report
from doughwright.render.text import notice_line
from doughwright.resolving.formulas import Wish, leaves_scale_open, resolved_formula


@click.command("check")
@click.argument("files", nargs=-1, required=True, type=click.Path())
def command(files: tuple[str, ...]) -> None:
    """Read FILES (formulas and kitchens) and say all that is wrong or doubtful in them.

    Ends with 1 if any of them cannot be followed.
    """
    failed = 0
    for file in files:
        try:
            notices = doubts(file)
        except DoughwrightError as error:
            failed += 1
            click.echo(report(error.problems), err=True)
            continue
        click.echo(f"{file}: {'in order' if not notices else 'can be followed'}")
        for notice in notices:
            click.echo(f"  {notice_line(notice)}")
    if failed:
        raise SystemExit(CANNOT_FOLLOW)


def doubts(file: str) -> tuple[Notice, ...]:
    """Read and resolve one document; return what is doubtful in it."""
    reading = read_file(file)
    if not isinstance(reading.document, FormulaDocument):
        return ()
    wish = Wish(flour=1.0) if leaves_scale_open(reading.document) else Wish()
    try:
        return resolved_formula(reading.document, wish).notices
    except DoughwrightError as error:
        raise located(error, reading) from None
