"""``doughwright compare``: several sources of one bread side by side."""

from collections import Counter
from collections.abc import Sequence
from pathlib import Path

import click

from doughwright.cli.asking import json_option, read_file, reporting, write_file
from doughwright.cli.gathering import gathered_formula
from doughwright.cli.showing import screen, show
from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import Reading, other_document
from doughwright.errors import DocumentError, DoughwrightError, Notice
from doughwright.reworking.middle import Named, middle_text
from doughwright.reworking.rework import solved_document
from doughwright.sheets.sources import Source, SourcesSheet, sources_sheet

MIDDLE = "middle"


@click.command("compare")
@click.argument("files", nargs=-1, required=True, type=click.Path())
@click.option(
    "--start-from",
    "start",
    metavar="middle|NAME",
    help="Print a formula instead: from the middle of all, or one of them by its name or number.",
)
@click.option(
    "--out", type=click.Path(), help="Write what is printed to this file; FILE.svg is the picture."
)
@json_option("table")
@reporting
def command(files: tuple[str, ...], start: str | None, out: str | None, *, as_json: bool) -> None:
    """Lay FILES side by side: formulas, or recipes as doughwright gather reads them.

    Everything is on all flour of each: ingredients, hydration, salt, sugar, fat, yeast as fresh,
    what is fermented before, times and oven; the middle, the spread and who stands apart.
    """
    if start is not None and as_json:
        raise click.UsageError("--start-from prints a formula, --json a table; give one.")
    readings = [_reading(file) for file in files]
    sources = _sources(readings)
    sheet = sources_sheet(sources)
    if start is not None:
        _put(_started(start, sources, readings), out)
    elif out is not None:
        _put(_written(sheet, out, as_json=as_json), out)
    else:
        show(sheet, _text, as_json=as_json)


def _reading(file: str) -> Reading:
    """A formula document, or the one a recipe is gathered into."""
    found = gathered_formula(file)
    return found if found is not None else read_file(file)


def _sources(readings: Sequence[Reading]) -> list[Source]:
    """Each formula solved, by its name; of one name, with a number after it."""
    found = [_source(reading) for reading in readings]
    times = Counter(source.name.casefold() for source in found)
    return [
        Source(f"{s.name} ({i})", s.formula) if times[s.name.casefold()] > 1 else s
        for i, s in enumerate(found, 1)
    ]


def _source(reading: Reading) -> Source:
    document = reading.document
    if not isinstance(document, FormulaDocument):
        raise reading.located(other_document(document, "formula/1"))
    try:
        return Source(document.name, solved_document(document))
    except DoughwrightError as error:
        raise reading.located(error) from None


def _started(start: str, sources: Sequence[Source], readings: Sequence[Reading]) -> str:
    """The text of a new formula: the middle of all, or that of one."""
    if start.casefold() == MIDDLE:
        return middle_text([Named(source.name, source.formula) for source in sources])
    for number, (source, reading) in enumerate(zip(sources, readings, strict=True), 1):
        if start.casefold() in {source.name.casefold(), str(number)}:
            return reading.text
    allowed = "; ".join(source.name for source in sources)
    raise DocumentError([Notice.of("source-unknown", read=start, allowed=allowed)])


def _written(sheet: SourcesSheet, out: str, *, as_json: bool) -> str:
    """What goes to a file: by its ending the picture, else what would be printed."""
    if Path(out).suffix.casefold() == ".svg":
        from doughwright.render.sources_chart import sources_picture  # noqa: PLC0415 - only then

        return sources_picture(sheet)
    if as_json:
        from doughwright.render.json_text import sheet_json  # noqa: PLC0415 - only when asked for

        return sheet_json(sheet) + "\n"
    return _text(sheet)


def _put(text: str, out: str | None) -> None:
    if out is None:
        click.echo(text, nl=False)
    else:
        write_file(out, text)


def _text(sheet: SourcesSheet) -> str:
    from doughwright.render.sources_text import sources_text  # noqa: PLC0415 - with rich, only then

    return sources_text(sheet, **screen())
