"""What the commands about the library share: where it is, and what goes wrong with it."""

from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any, TypeVar

import click

from doughwright.cli.asking import CANNOT_READ, reporting
from doughwright.errors import StoreError
from doughwright.render.messages import report

F = TypeVar("F", bound=Callable[..., Any])


def library_options(command: F) -> F:
    """Add the options that say where the library is."""
    for option in (
        click.option("--database", metavar="URL", help="Its database's URL, if it is no file."),
        click.option("--data", type=click.Path(file_okay=False), help="Folder of the library."),
    ):
        command = option(command)
    return command


def open_library_at(data: str | None, database: str | None, *, create: bool = False) -> None:
    """Open the library asked for; without the demo, for this is about what a baker put in."""
    from doughwright.store.opening import open_library  # noqa: PLC0415 - Django, only when called

    open_library(Path(data) if data else None, database or "", demo=False, create=create)


def library_reporting(command: F) -> F:
    """Turn our errors into a report; a database or a file that will not ends with its own code."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> Any:
        try:
            return command(*args, **kwargs)
        except StoreError as error:
            if not _is_failure(error):
                raise
            click.echo(report(error.problems), err=True)
        except OSError as error:
            click.echo(f"{error.filename}: {error.strerror or error}.", err=True)
        raise SystemExit(CANNOT_READ)

    return reporting(run)  # type: ignore[return-value]  # same signature, by wraps


def _is_failure(error: StoreError) -> bool:
    from doughwright.store.errors import LibraryFailure  # noqa: PLC0415 - Django, loaded by now

    return isinstance(error, LibraryFailure)
