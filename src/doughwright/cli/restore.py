"""``doughwright restore``: a backup becomes the library."""

from datetime import datetime
from pathlib import Path

import click

from doughwright.cli.library import library_options, library_reporting, open_library_at


@click.command("restore")
@click.argument("file", type=click.Path())
@click.option("--replace", is_flag=True, help="Also over a library that has something in it.")
@library_options
@library_reporting
def command(
    file: str,
    data: str | None,
    database: str | None,
    replace: bool,  # noqa: FBT001 - a flag
) -> None:
    """Put the backup FILE in the place of the library, all its revisions with it.

    A library that has something in it gives way only with --replace, and is first kept in a
    file beside it; so is a damaged one. Nothing is changed if FILE is no backup.
    """
    now = datetime.now().astimezone()
    try:
        open_library_at(data, database, create=True)
        count, kept = _restored(Path(file), now, replace=replace)
    except Exception as error:
        if not (replace and _is_damaged(error)):
            raise
        count, kept = _restored_anew(Path(file), now, data, database)
    click.echo(f"{count} documents restored from {file}.")
    if kept is not None:
        click.echo(f"What was there before is kept in {kept}")


def _restored(path: Path, now: datetime, *, replace: bool) -> tuple[int, Path | None]:
    from doughwright.store.backup import former_path, restore_from  # noqa: PLC0415 - once open

    former = former_path(now) if replace else None
    count = restore_from(path, former=former)
    return count, former if former is not None and former.exists() else None


def _restored_anew(
    path: Path, now: datetime, data: str | None, database: str | None
) -> tuple[int, Path | None]:
    """Set a damaged library aside, once the backup has been read, and restore into a new one."""
    from doughwright.store.backup import restore_from, set_aside  # noqa: PLC0415 - once open
    from doughwright.store.kept import kept_in  # noqa: PLC0415 - as above

    kept_in(path)
    aside = set_aside(now)
    open_library_at(data, database, create=True)
    return restore_from(path), aside


def _is_damaged(error: Exception) -> bool:
    from doughwright.store.errors import LibraryUnreadable  # noqa: PLC0415 - once open

    return isinstance(error, LibraryUnreadable)
