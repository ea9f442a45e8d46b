"""``doughwright import``: files into the library."""

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from doughwright.cli.asking import CANNOT_FOLLOW
from doughwright.cli.library import library_options, library_reporting, open_library_at
from doughwright.render.messages import report

if TYPE_CHECKING:
    from doughwright.store.folders import ImportReport


@click.command("import")
@click.argument("paths", nargs=-1, required=True, type=click.Path())
@click.option("--message", default="Imported.", help="What the history says of it.")
@library_options
@library_reporting
def command(paths: tuple[str, ...], message: str, data: str | None, database: str | None) -> None:
    """Read PATHS into the library: documents, folders of them, archives.

    A file's name is its document's key. Words that are known are left alone; other words under
    a known key become its next revision, and the former ones stay in its history. Ends with 1
    if any file was refused; the others are imported.
    """
    open_library_at(data, database, create=True)
    from doughwright.store.folders import import_from  # noqa: PLC0415 - once it is open

    say(import_from(map(Path, paths), datetime.now(UTC), message))


def say(told: "ImportReport") -> None:
    """Print what became of each file."""
    for done in told.imported:
        click.echo(f"{done.file}: {done.kind} {done.key}, revision {done.number}, {done.outcome}")
    for name in told.left_alone:
        click.echo(f"{name}: left alone, by its name it is no document")
    for refused in told.refused:
        named = all(problem.place or "file" in problem.values for problem in refused.problems)
        click.echo(f"{'' if named else f'{refused.file}: '}{report(refused.problems)}", err=True)
    if told.refused:
        raise SystemExit(CANNOT_FOLLOW)
