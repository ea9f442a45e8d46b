"""A card as plain text, for a description box: no markup, and no line torn where none must be."""

from collections.abc import Iterator
from textwrap import wrap

from doughwright.render.card_parts import written_card
from doughwright.render.parts import (
    Block,
    Bullets,
    Ledger,
    LedgerRow,
    Paragraph,
    Part,
    PictureRow,
    Steps,
    Table,
    Written,
)
from doughwright.render.templating import unbroken
from doughwright.sheets.card import CardSheet

NARROW = 24
"""No line is torn to fewer letters than this."""


def card_text(card: CardSheet, *, width: int | None = None) -> str:
    """The card as text, its lines no longer than ``width``; without one, a line a sentence.

    Where lines are torn, it is never between a number and its unit.
    """
    lines = list(_lines(written_card(card)))
    torn = [part for line in lines for part in _torn(line, width)]
    return "\n".join(line.rstrip() for line in torn) + "\n"


def _torn(line: str, width: int | None) -> list[str]:
    """One line as many of a width, what follows the first set under its words."""
    if width is None or len(line) <= width:
        return [line]
    indent = len(line) - len(line.lstrip())
    held = str(unbroken(line))
    found = wrap(
        held,
        max(width, NARROW),
        subsequent_indent=" " * (indent + 2),
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [each.replace("\N{NO-BREAK SPACE}", " ") for each in found]


def _lines(sheet: Written) -> Iterator[str]:
    yield sheet.title
    yield ""
    for paragraph in sheet.lead:
        yield paragraph.said
    for part in sheet.parts:
        yield from _part(part)


def _part(part: Part, *, below: bool = False) -> Iterator[str]:
    yield ""
    yield part.title if below else part.title.upper()
    for block in part.blocks:
        yield from _block(block)
    for inner in part.parts:
        yield from _part(inner, below=True)


def _block(block: Block) -> Iterator[str]:
    if isinstance(block, Paragraph):
        yield block.said
    elif isinstance(block, Ledger):
        for row in block.rows:
            yield from _ledger_lines(row)
    elif isinstance(block, Steps):
        for step in block.rows:
            yield f"{step.mark}. {' '.join(step.said)}"
    elif isinstance(block, Bullets):
        for bullet in block.items:
            yield f"- {bullet.lead + ': ' if bullet.lead else ''}{bullet.said}"
    elif isinstance(block, Table):
        yield from _table_lines(block)
    else:
        assert isinstance(block, PictureRow)
        yield from (picture.description for picture in block.items)


def _ledger_lines(row: LedgerRow) -> Iterator[str]:
    """A weight and what it is of; in other measures on a line by itself."""
    beside = f" ({'; '.join(row.beside)})" if row.beside else ""
    yield f"{row.amount} {row.what}{beside}"
    if row.measure:
        yield f"  = {row.measure}"


def _table_lines(table: Table) -> Iterator[str]:
    """Heads and figures with a slash between, or a column a line: no columns hold in a box."""
    if table.by == "column":
        yield f"{table.caption}:"
        yield from (_column_line(table, i) for i in range(1, len(table.heads)))
        return
    yield (
        f"{table.caption}: {' / '.join(table.heads[1:])}" if len(table.heads) > 2 else table.caption
    )
    for row in table.rows:
        figures = " / ".join(cell or "–" for cell in row.cells[1:])
        yield f"{row.cells[0]}:" if row.kind == "group" else f"{row.cells[0]}: {figures}"


def _column_line(table: Table, column: int) -> str:
    """What one column says, each figure behind its row's name."""
    named = (f"{row.cells[0][:1].lower()}{row.cells[0][1:]}" for row in table.rows)
    said = (f"{name} {row.cells[column]}" for name, row in zip(named, table.rows, strict=True))
    return f"At {table.heads[column]}: {'; '.join(said)}."
