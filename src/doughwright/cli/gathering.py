"""A recipe that is no document, read for a command as the formula it is gathered into."""

import re
from pathlib import Path

import click

from doughwright.documents.reading import Reading, read_document
from doughwright.errors import DocumentError, Notice
from doughwright.gathering.drafts import draft
from doughwright.gathering.gathered import Settings
from doughwright.gathering.pages.saved import any_gathered, decoded
from doughwright.gathering.writing import formula_text

_DOCUMENT = re.compile(r"^\s*[\"']?doughwright[\"']?\s*:", re.MULTILINE)


def gathered_formula(file: str) -> Reading | None:
    """The formula a recipe's file is gathered into; None where it is none to gather.

    That is standard input, what cannot be read, and what says itself that it is a document.

    Raises
    ------
    DocumentError
        Where something must be answered before there is a formula.
    """
    text = _recipe(file)
    if text is None:
        return None
    name = Path(file).name
    drafted = draft(any_gathered(text, name), Settings(), {})
    if drafted.is_blocked:
        count = sum(doubt.blocks for doubt in drafted.open_doubts)
        raise DocumentError([Notice.of("source-not-settled", name=name, count=count)])
    if drafted.open_doubts:
        said = "It is taken as doughwright gather takes it; questions that are open:"
        click.echo(f"{name}: {said} {len(drafted.open_doubts)}.", err=True)
    return read_document(formula_text(drafted), name)


def _recipe(file: str) -> str | None:
    try:
        text = None if file == "-" else decoded(Path(file).read_bytes())
    except OSError:
        return None
    return None if text is None or _DOCUMENT.search(text) else text
