"""Printing a sheet: as JSON or as text, loading only what the one asked for needs."""

import shutil
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from doughwright.render.json_text import Sheet

S = TypeVar("S", bound="Sheet")


def show(sheet: S, text: Callable[[S], str], *, as_json: bool) -> None:
    """Print a sheet as JSON or as the text made of it; ``text`` imports its own renderer."""
    if as_json:
        from doughwright.render.json_text import sheet_json  # noqa: PLC0415 - only when asked for

        click.echo(sheet_json(sheet))
    else:
        click.echo(text(sheet), nl=False)


def screen() -> dict[str, Any]:
    """Width and colour of the terminal a text goes to."""
    columns = shutil.get_terminal_size((80, 24)).columns
    return {"width": max(40, min(80, columns)), "colour": sys.stdout.isatty()}
