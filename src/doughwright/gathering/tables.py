"""Tables of weights and percentages: which column is what, which row is a heading or a sum.

A table is lines of cells: those of a page, or of a text whose columns stand apart by tabs,
pipes or runs of blanks.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from doughwright.engine.ingredients import ingredient_named
from doughwright.gathering.amounts import amount_of
from doughwright.gathering.gathered import Amount, Item, Origin, Section
from doughwright.gathering.lines import items_of
from doughwright.gathering.titles import bare_heading, title_of

_APART = re.compile(r"\t+|\s{2,}")
_RULE = re.compile(r"[\s|:+=\-–—_]*")
_NUMBER = re.compile(r"[~≈]?\s*(?:\.?\d|[¼½¾⅓⅔⅛⅜])")
_BARE = re.compile(r"[~≈]?\s*[\d\s.,/¼½¾⅓⅔⅛⅜–-]+")
_NOTHING = re.compile(r"[-–—*†.]*")
LONGEST_CELL = 25
"""Signs of an amount in its cell: what is longer is words (assumption)."""

LONGEST_ROW = 600
"""Signs of a row: what is longer is prose (assumption)."""

TOTAL = re.compile(
    r"(?:grand |sub)?totals?\b.*|sum\b.*|in all|altogether|.*\b(?:total|in all)", re.IGNORECASE
)
"""What stands at the name of a row that adds the others up."""

UNITS: Mapping[str, str] = MappingProxyType(
    {
        "%": r"%|per ?cent|\bpct\b",
        "kg": r"\bkgs?\b|\bkilo",
        "g": r"\bg\b|\bgr\b|\bgrams?\b|\bmetric\b",
        "oz": r"\boz\b|\bounces?\b|\bu\.?s\.?\b",
        "lb": r"\blbs?\b|\bpounds?\b",
        "ml": r"\bml\b",
    }
)
"""What the head of a column says of its unit, the first that fits."""

RANKS = ("g", "kg", "", "lb", "oz", "ml", "%")
"""Which column is taken for the weights where there are several."""


@dataclass(frozen=True, slots=True)
class Row:
    """The cells of one line of a table."""

    cells: tuple[str, ...]
    origin: Origin


@dataclass(frozen=True, slots=True)
class Column:
    """A column of amounts: where it stands, its head, and the unit the head names."""

    at: int
    head: str
    unit: str

    @property
    def key(self) -> str:
        """What it is called: its head, its unit, else its place."""
        return self.head or self.unit or f"column {self.at + 1}"


@dataclass(frozen=True, slots=True)
class Table:
    """A table that was understood: its names, its amounts, the rows below its head."""

    names: int
    amounts: tuple[Column, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class TableRead:
    """What a table holds: sections, rows that were not understood, and its head and rules."""

    sections: tuple[Section, ...]
    unread: tuple[Origin, ...] = ()
    other: tuple[Origin, ...] = ()


def cells_of(line: str) -> tuple[str, ...]:
    """The cells of a line: by pipes, tabs or runs of two blanks and more.

    >>> cells_of("bread flour    120   26.4"), cells_of("| water | 65 % |")
    (('bread flour', '120', '26.4'), ('water', '65 %'))
    """
    if "|" in line:
        plain = line.strip()
        framed = plain.removeprefix("|").removesuffix("|") if plain.startswith("|") else plain
        return tuple(cell.strip() for cell in framed.split("|"))
    apart = line.rstrip().split("\t") if "\t" in line else _APART.split(line.strip())
    return tuple(cell.strip() for cell in apart)


def is_rule(line: str) -> bool:
    """Whether a line only parts the head of a table from its rows."""
    return bool(line.strip()) and _RULE.fullmatch(line) is not None


def table_read(lines: Sequence[Origin]) -> TableRead | None:
    """What a run of lines holds as a table; None where it has no column of amounts."""
    rows = [Row(cells_of(line.text), line) for line in lines if not is_rule(line.text)]
    rules = tuple(line for line in lines if is_rule(line.text))
    table = table_of(rows)
    if table is None:
        return None
    head = tuple(row.origin for row in rows if row not in table.rows)
    stages = [column for column in table.amounts if title_of(column.head)]
    read = _by_stage(table, stages) if len(stages) > 1 else _by_row(table)
    return replace(read, other=(*head, *rules))


def table_of(rows: Sequence[Row]) -> Table | None:
    """Which columns hold names and amounts; None where a table has no such columns.

    >>> rows = [Row(cells_of(line), Origin("a card", 1, line)) for line in ("g | what", "5 | rye")]
    >>> table_of(rows).amounts
    (Column(at=0, head='g', unit='g'),)
    """
    if len(rows) < 2 or any(len(row.origin.text) > LONGEST_ROW for row in rows):
        return None
    headed = not any(map(_is_amount, rows[0].cells))
    body = rows[1:] if headed and len(rows[0].cells) > 1 else rows
    heads = rows[0].cells if body is not rows else ()
    width = max(len(row.cells) for row in body)
    amounts = [at for at in range(width) if _holds_amounts(body, at)]
    names = max(
        (at for at in range(width) if at not in amounts),
        key=lambda at: (_letters(body, at), -at),
        default=None,
    )
    if names is None or not amounts:
        return None
    columns = (_column(at, heads[at] if at < len(heads) else "") for at in amounts)
    return Table(names, tuple(columns), tuple(body))


def _column(at: int, head: str) -> Column:
    units = (unit for unit, words in UNITS.items() if re.search(words, head, re.IGNORECASE))
    return Column(at, " ".join(head.split()), next(units, ""))


def _cell(row: Row, at: int) -> str:
    return row.cells[at] if at < len(row.cells) else ""


def _is_amount(cell: str) -> bool:
    return len(cell) <= LONGEST_CELL and _NUMBER.match(cell) is not None


def _holds_amounts(rows: Sequence[Row], at: int) -> bool:
    """Whether a column's cells are amounts, but for the empty ones and a word here and there."""
    filled = [cell for row in rows if (cell := _cell(row, at)) and not _NOTHING.fullmatch(cell)]
    return bool(filled) and sum(map(_is_amount, filled)) > 0.6 * len(filled)


def _letters(rows: Sequence[Row], at: int) -> int:
    return sum(c.isalpha() for row in rows for c in _cell(row, at))


# --- Rows ---------------------------------------------------------------------------------------


def _by_row(table: Table) -> TableRead:
    """One section after another, each begun by a row that has nothing but a name."""
    sections, unread = [Section("", ())], []
    for row in table.rows:
        name = _cell(row, table.names)
        is_bare = not any(_cell(row, column.at) for column in table.amounts)
        if is_bare and _is_heading(name, sections):
            sections.append(Section(bare_heading(name), (), (), row.origin))
            continue
        last = sections[-1]
        if TOTAL.fullmatch(name):
            sections[-1] = replace(last, sums=(*last.sums, *_sums(table, row)))
        elif name:
            sections[-1] = replace(last, items=(*last.items, *row_items(table, row)))
        else:
            unread.append(row.origin)
    return TableRead(tuple(s for s in sections if s.items or s.origin or s.sums), tuple(unread))


def _is_heading(name: str, sections: Sequence[Section]) -> bool:
    """Whether a name without an amount heads what follows, and is no ingredient."""
    title = bare_heading(name).casefold()
    if any(title == bare_heading(section.title).casefold() for section in sections):
        return False
    return bool(name) and (title_of(name) is not None or ingredient_named(name) is None)


def _sums(table: Table, row: Row) -> Iterator[tuple[str, Amount, Origin]]:
    for column in table.amounts:
        amount = _amount(_cell(row, column.at), column)
        if amount is not None:
            yield column.key, amount, row.origin


def row_items(table: Table, row: Row) -> tuple[Item, ...]:
    """The ingredients of a row, with the amounts of all its columns where it has several."""
    name = _cell(row, table.names)
    ranked = sorted(table.amounts, key=_rank)
    beside = tuple(
        cell
        for at, cell in enumerate(row.cells)
        if cell and at != table.names and at not in {column.at for column in table.amounts}
    )
    first, *others = _named(name, _cell(row, ranked[0].at), ranked[0], row.origin)
    read = ((c.key, _amount(_cell(row, c.at), c)) for c in ranked) if len(ranked) > 1 else ()
    columns = tuple((key, amount) for key, amount in read if amount is not None)
    note = "; ".join(filter(None, (first.note, *beside)))
    return (replace(first, columns=columns, note=note), *others)


def _rank(column: Column) -> tuple[bool, int]:
    """The column of a part of the bread first, then weights, then percentages."""
    return title_of(column.head) is None, RANKS.index(column.unit)


def _named(name: str, cell: str, column: Column, origin: Origin) -> tuple[Item, ...]:
    """The items of a name and the amount in a cell of a column."""
    bare = _NOTHING.fullmatch(cell) is not None
    words = name if bare else f"{_with_unit(cell, column)} {name}"
    found = items_of(words, origin.source, origin.line)
    if not found:
        amount = None if bare else _amount(cell, column)
        return (Item(name, amount, origin, note=cell if amount is None else ""),)
    items = tuple(replace(item, origin=origin) for item in found)
    marked = replace(items[0], note="; ".join(filter(None, (items[0].note, cell))))
    return (marked, *items[1:]) if bare and cell else items


def _with_unit(cell: str, column: Column) -> str:
    return f"{cell} {column.unit}" if column.unit and _BARE.fullmatch(cell) else cell


def _amount(cell: str, column: Column) -> Amount | None:
    """The amount in a cell."""
    return amount_of(_with_unit(cell, column)) if _is_amount(cell) else None


def _by_stage(table: Table, stages: Sequence[Column]) -> TableRead:
    """One section for each column that is headed by a part of the bread.

    What the other columns say stands with the row's first line.
    """
    others = tuple(column for column in table.amounts if column not in stages)
    sections: list[Section] = []
    seen: set[Origin] = set()
    for stage in stages:
        rows = [row for row in table.rows if not _NOTHING.fullmatch(_cell(row, stage.at))]
        lines: list[Item] = []
        sums: list[tuple[str, Amount, Origin]] = []
        for row in rows:
            beside = () if row.origin in seen else others
            part = replace(table, amounts=(stage, *beside))
            seen.add(row.origin)
            if TOTAL.fullmatch(_cell(row, table.names)):
                sums += _sums(part, row)
            else:
                lines += row_items(part, row)
        sections.append(Section(bare_heading(stage.head), tuple(lines), tuple(sums)))
    unread = tuple(row.origin for row in table.rows if row.origin not in seen)
    return TableRead(tuple(sections), unread)
