"""Several sources side by side, as text for a terminal."""

from collections.abc import Sequence

from rich.table import Table
from rich.text import Text

from doughwright.render.comparison import column_groups
from doughwright.render.kitchen_words import Row
from doughwright.render.sources_words import (
    RULES,
    TABLE_TITLES,
    apart_sentences,
    care_sentences,
    middle_words,
    numbered_names,
    spread_words,
    value_words,
)
from doughwright.render.text import WIDTH, console, text_of
from doughwright.sheets.sources import SourceRow, SourcesSheet, SourceTable

LABEL, GAP = 22, 2


def sources_text(sheet: SourcesSheet, *, width: int = WIDTH, colour: bool = False) -> str:
    """Sources as tables within the width, then who stands apart and by which rule."""
    out = console(width, colour=colour)
    out.print(Text(f"{len(sheet.names)} sources side by side", style="bold"))
    for name in numbered_names(sheet.names):
        out.print(f"  {name}")
    for table in sheet.tables:
        rows = list(_rows(table, len(sheet.names)))
        for first, last in column_groups(rows, width):
            out.print()
            out.print(Text(TABLE_TITLES[table.about], style="bold"))
            out.print(_table(rows, first, last))
    for sentences in (tuple(apart_sentences(sheet)), care_sentences(sheet)):
        if sentences:
            out.print()
        for sentence in sentences:
            out.print(f"! {sentence}")
    out.print()
    for rule in RULES:
        out.print(rule, style="dim")
    return text_of(out)


def _rows(table: SourceTable, count: int) -> Sequence[Row]:
    titles = ("middle", "spread", *(str(number) for number in range(1, count + 1)))
    return [("", titles), *(_row(row) for row in table.rows)]


def _row(row: SourceRow) -> Row:
    cells = (
        value_words(cell) + (" !" if index in row.apart else "")
        for index, cell in enumerate(row.cells)
    )
    return ("  " * row.part + row.name, (middle_words(row), spread_words(row), *cells))


def _table(rows: Sequence[Row], first: int, last: int) -> Table:
    table = Table(box=None, show_header=False, pad_edge=False, padding=(0, GAP, 0, 0))
    table.add_column(width=LABEL - GAP, overflow="fold")
    for _ in range(first, last):
        table.add_column(no_wrap=True, justify="right")
    for label, cells in rows:
        table.add_row(label, *cells[first:last], style="" if label else "dim")
    return table
