"""``doughwright check``: all that is wrong or doubtful in documents."""

import click

from doughwright.cli.asking import CANNOT_FOLLOW, read_file
from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import Document
from doughwright.documents.shelf import ShelfDocument
from doughwright.errors import DoughwrightError, Notice
from doughwright.render.messages import report
from doughwright.render.text import notice_line
from doughwright.resolving.formulas import Wish, resolved_formula, sized_wish
from doughwright.resolving.kitchens import kitchen_from
from doughwright.resolving.shelf import check_shelf


@click.command("check")
@click.argument("files", nargs=-1, required=True, type=click.Path())
def command(files: tuple[str, ...]) -> None:
    """Read FILES, documents of any kind, and say all that is wrong or doubtful in them.

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
    try:
        return _doubts(reading.document)
    except DoughwrightError as error:
        raise reading.located(error) from None


def _doubts(document: Document) -> tuple[Notice, ...]:
    if isinstance(document, FormulaDocument):
        return resolved_formula(document, sized_wish(document, Wish())).notices
    if isinstance(document, KitchenDocument):
        kitchen_from(document)  # refuses a kitchen that cannot be
    elif isinstance(document, ShelfDocument):
        check_shelf(document)
    return ()
