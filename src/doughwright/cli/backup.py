"""``doughwright backup``: every revision of everything in one file."""

from datetime import datetime
from pathlib import Path

import click

from doughwright.cli.library import library_options, library_reporting, open_library_at


@click.command("backup")
@click.argument("file", required=False, type=click.Path())
@library_options
@library_reporting
def command(file: str | None, data: str | None, database: str | None) -> None:
    """Write every revision of everything in the library into FILE, also while it is in use.

    A name that ends in .zip makes an archive of texts, which restores into any library; any
    other name a copy of the database. Without FILE, or with a folder, the time is its name.
    """
    open_library_at(data, database)
    from doughwright.store.backup import backup_to, usual_suffix  # noqa: PLC0415 - once it is open

    now = datetime.now().astimezone()
    path = Path(file or ".")
    if path.is_dir():
        path /= f"doughwright-{now:%Y-%m-%d-%H%M%S}{usual_suffix()}"
    backup_to(path)
    click.echo(f"{path}: written.")
