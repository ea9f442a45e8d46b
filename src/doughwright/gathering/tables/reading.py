"""Tables of weights and percentages: which column is what, which row is a heading or a sum.

A table is lines of cells: those of a page, or of a text whose columns stand apart by tabs,
pipes or runs of blanks.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from doughwright.engine.ingredients import ingredient_named
from doughwright.gathering.gathered import Amount, Item, Origin, Section
from doughwright.gathering.lines.amounts import amount_of
from doughwright.gathering.lines.items import items_of
from doughwright.gathering.lines.unit_words import MEASURES, METRIC_VOLUMES, WEIGHTS, unit_at
from doughwright.gathering.lines.uses import TOTAL_WORDS
from doughwright.gathering.pages.titles import bare_heading, title_of
from doughwright.gathering.tables.alignment import aligned
from doughwright.gathering.tables.heads import headed, is_amount
from doughwright.gathering.tables.parts import (
    RANKS,
    Column,
    Parted,
    Stage,
    column_of,
    part_of,
    parted,
)
from doughwright.gathering.tables.separated import LONGEST_ROW, is_preamble, separated_rows

_APART = re.compile(r"\t+|\s{2,}")
_RULE = re.compile(r"[\s|:+=\-–—_]*")
_BARE = re.compile(r"[~≈]?\s*[\d\s.,/¼½¾⅓⅔⅛⅜–-]+")
_NOUGHT = re.compile(r"0+(?:[.,]0+)?\s*(?:g|kg|%)?")
_NOTHING = re.compile(r"[-–—*†.]*")

TOTAL = re.compile(rf"(?:{TOTAL_WORDS}).*|in all|altogether|.*\b(?:total|in all)", re.IGNORECASE)
"""What stands at the name of a row that adds the others up."""


@dataclass(frozen=True, slots=True)
class Row:
    """The cells of one line of a table."""

    cells: tuple[str, ...]
    origin: Origin


@dataclass(frozen=True, slots=True)
class Table:
    """A table that was understood: its names, its amounts, the rows below its head.

    ``parts`` is the column that names the part of each row, where there is one.
    """

    names: int
    amounts: tuple[Column, ...]
    rows: tuple[Row, ...]
    parts: int | None = None


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


def _cells(lines: Sequence[Origin]) -> list[tuple[str, ...]]:
    """The cells of each line; what blanks alone set apart is read by where it stands."""
    texts = [line.text for line in lines]
    if any("|" in text or "\t" in text for text in texts):
        return list(map(cells_of, texts))
    return aligned(texts)


def is_rule(line: str) -> bool:
    """Whether a line only parts the head of a table from its rows."""
    return bool(line.strip()) and _RULE.fullmatch(line) is not None


def table_read(lines: Sequence[Origin]) -> TableRead | None:
    """What a run of lines holds as a table; None where it has no column of amounts."""
    values = separated_rows(lines) or _cells(lines)
    rules = tuple(line for line in lines if is_rule(line.text) or is_preamble(line.text))
    rows = with_units([Row(*row) for row in zip(values, lines, strict=True) if row[1] not in rules])
    table = table_of(rows)
    if table is None:
        return None
    head = tuple(row.origin for row in rows[: len(rows) - len(table.rows)])
    among = parted(table.amounts, {c.at: _numbers(table, c) for c in table.amounts})
    read = _by_stage(table, among) if among.stages else _by_row(table)
    return replace(read, other=(*head, *rules))


def table_of(rows: Sequence[Row]) -> Table | None:
    """Which columns hold names and amounts; None where a table has no such columns.

    >>> rows = [Row(cells_of(line), Origin("a card", 1, line)) for line in ("g | what", "5 | rye")]
    >>> table_of(rows).amounts
    (Column(at=0, head='g', unit='g', system=''),)
    """
    if len(rows) < 2 or any(len(row.origin.text) > LONGEST_ROW for row in rows):
        return None
    heads, count = headed([row.cells for row in rows])
    body = tuple(rows[count:])
    width = max((len(row.cells) for row in body), default=0)
    amounts = [at for at in range(width) if _holds_amounts(body, at)]
    words = [at for at in range(width) if at not in amounts and _letters(body, at)]
    parts = next((at for at in words if len(words) > 1 and _names_parts(body, at)), None)
    names = max(
        (at for at in words if at != parts), key=lambda at: (_letters(body, at), -at), default=None
    )
    if names is None or not amounts:
        return None
    columns = (_column(body, at, heads[at] if at < len(heads) else "") for at in amounts)
    return Table(names, tuple(columns), body, parts)


def with_units(rows: Sequence[Row]) -> list[Row]:
    """The same rows; a column of units is read with the amounts ahead of it.

    >>> cells = ("qty", "unit", "what"), ("5", "g", "salt")
    >>> with_units([Row(row, Origin("a file", 1, "")) for row in cells])[1].cells
    ('5 g', '', 'salt')
    """
    for at in range(1, max((len(row.cells) for row in rows), default=0)):
        cells = [_cell(row, at) for row in rows[1:]]
        filled = [cell for cell in cells if cell]
        if filled and all(map(_is_unit, filled)) and _holds_amounts(rows[1:], at - 1):
            return [rows[0], *(_with_unit_beside(row, at) for row in rows[1:])]
    return list(rows)


def _is_unit(cell: str) -> bool:
    unit = unit_at(cell)
    return unit is not None and not cell[unit.end :].strip(" .")


def _with_unit_beside(row: Row, at: int) -> Row:
    cells = list(row.cells)
    if at < len(cells):
        cells[at - 1], cells[at] = f"{cells[at - 1]} {cells[at]}".strip(), ""
    return replace(row, cells=tuple(cells))


def _column(rows: Sequence[Row], at: int, head: str) -> Column:
    """A column by its head, else by the one unit that all its cells have."""
    column = column_of(at, head)
    found = {amount.unit for row in rows if (amount := amount_of(_cell(row, at)))}
    known = found & {*WEIGHTS, "%"} if len(found) == 1 and not column.unit else set()
    return replace(column, unit=known.pop() if known <= set(RANKS) and known else column.unit)


def _names_parts(rows: Sequence[Row], at: int) -> bool:
    """Whether a column says of every row which part of the bread it belongs to."""
    filled = [cell for row in rows if (cell := _cell(row, at)) and not _NOTHING.fullmatch(cell)]
    return all(title_of(c) and (ingredient_named(c) is None or c == filled[0]) for c in filled)


def _numbers(table: Table, column: Column) -> list[float | None]:
    """The numbers of a column, in the rows that are no sums."""
    rows = (row for row in table.rows if not TOTAL.fullmatch(_cell(row, table.names)))
    amounts = (_amount(_cell(row, column.at), column) for row in rows)
    return [amount.best if amount else None for amount in amounts]


def _cell(row: Row, at: int) -> str:
    return row.cells[at] if at < len(row.cells) else ""


def _holds_amounts(rows: Sequence[Row], at: int) -> bool:
    """Whether a column's cells are amounts, but for the empty ones and a word here and there."""
    filled = [cell for row in rows if (cell := _cell(row, at)) and not _NOTHING.fullmatch(cell)]
    return bool(filled) and sum(map(is_amount, filled)) > 0.6 * len(filled)


def _letters(rows: Sequence[Row], at: int) -> int:
    return sum(c.isalpha() for row in rows for c in _cell(row, at))


# --- Rows ---------------------------------------------------------------------------------------


def _by_row(table: Table) -> TableRead:
    """One section after another, each begun by a row that has nothing but a name."""
    sections, unread = [Section("", ())], []
    for row in table.rows:
        name, part = _cell(row, table.names), _part(table, row)
        is_bare = not any(_cell(row, column.at) for column in table.amounts)
        if part and part != sections[-1].title:
            sections.append(Section(part, ()))
        if is_bare and _is_heading(name, sections):
            sections.append(Section(bare_heading(name), (), (), row.origin))
            continue
        last = sections[-1]
        sums = tuple(_sums(table.amounts, row)) if TOTAL.fullmatch(name) else ()
        if sums:
            sections[-1] = replace(last, sums=(*last.sums, *sums))
        elif name and not TOTAL.fullmatch(name):
            items = row_items(table, row, table.amounts)
            sections[-1] = replace(last, items=(*last.items, *items))
        else:
            unread.append(row.origin)
    return TableRead(tuple(s for s in sections if s.items or s.origin or s.sums), tuple(unread))


def _part(table: Table, row: Row) -> str:
    return bare_heading(_cell(row, table.parts)) if table.parts is not None else ""


def _is_heading(name: str, sections: Sequence[Section]) -> bool:
    """Whether a name without an amount heads what follows, and is no ingredient."""
    title = bare_heading(name).casefold()
    if any(title == bare_heading(section.title).casefold() for section in sections):
        return False
    return bool(name) and (title_of(name) is not None or ingredient_named(name) is None)


def _sums(columns: Sequence[Column], row: Row) -> Iterator[tuple[str, Amount, Origin]]:
    for column in columns:
        amount = _amount(_cell(row, column.at), column)
        if amount is not None:
            yield column.key, amount, row.origin


def row_items(table: Table, row: Row, columns: Sequence[Column]) -> tuple[Item, ...]:
    """The ingredients of a row, with the amounts of these columns where there are several."""
    ranked = sorted(columns, key=_rank)
    apart = {table.names, table.parts, *(column.at for column in table.amounts)}
    beside = tuple(cell for at, cell in enumerate(row.cells) if cell and at not in apart)
    name = _cell(row, table.names)
    first, *others = _named(name, _cell(row, ranked[0].at), ranked[0], row.origin)
    first, checks = _checked(first, row, ranked[1:])
    read = [(c.key, _amount(_cell(row, c.at), c)) for c in ranked[1:] if c not in checks]
    read = [(ranked[0].key, first.amount), *read]
    pairs = tuple((key, amount) for key, amount in read if amount is not None)
    several = len(ranked) - len(checks) > 1
    note = "; ".join(filter(None, (first.note, *beside)))
    return (replace(first, columns=pairs if several else (), note=note), *others)


def _rank(column: Column) -> tuple[bool, int]:
    """The column of a part of the bread first, then weights, then percentages."""
    return part_of(column) is None, RANKS.index(column.unit)


def _checked(item: Item, row: Row, columns: Sequence[Column]) -> tuple[Item, list[Column]]:
    """A weight with the same said in cups or spoons, and the columns that say it so."""
    amount, checks = item.amount, []
    for column in columns:
        said = _amount(_cell(row, column.at), column)
        if amount and said and amount.unit in WEIGHTS and said.unit in (*MEASURES, *METRIC_VOLUMES):
            words = f"{amount.words} = {said.words}"
            whose = (column.system,) if column.system and said.unit in MEASURES else ()
            same = replace(said, modifiers=(*said.modifiers, *whose))
            amount = replace(amount, words=words, same=(*amount.same, same))
            checks.append(column)
    return replace(item, amount=amount), checks


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
    return amount_of(_with_unit(cell, column)) if is_amount(cell) else None


# --- Columns that are parts ----------------------------------------------------------------------


def _by_stage(table: Table, among: Parted) -> TableRead:
    """One section for each column that is a part of the bread; the last has what checks them.

    A row that no part takes goes to the last one, where its amount is asked.
    """
    taken = {row.origin for row in table.rows for s in among.stages if _fills(row, s.column)}
    sections = [_stage_section(table, stage) for stage in among.stages]
    whole = (
        _stage_section(table, Stage("", among.whole[0], among.whole[1:])) if among.whole else None
    )
    left = [
        row
        for row in table.rows
        if row.origin not in taken and any(_fills(row, column) for column in among.whole)
        if not TOTAL.fullmatch(_cell(row, table.names))
    ]
    asked = [i for row in left for i in _by_column(table, row, among.whole)]
    last = sections[-1]
    unsaid = (replace(item, amount=None) for item in asked)
    sections[-1] = replace(last, items=(*last.items, *unsaid), whole=whole)
    kept = taken | {row.origin for row in left} | _summed(sections, whole)
    unread = tuple(row.origin for row in table.rows if row.origin not in kept)
    return TableRead(tuple(sections), unread)


def _fills(row: Row, column: Column) -> bool:
    """Whether a row has something in a column: a nought is nothing."""
    cell = _cell(row, column.at)
    return not _NOTHING.fullmatch(cell) and not _NOUGHT.fullmatch(cell)


def _stage_section(table: Table, stage: Stage) -> Section:
    columns = (stage.column, *stage.beside)
    items: list[Item] = []
    sums: list[tuple[str, Amount, Origin]] = []
    for row in table.rows:
        if not any(_fills(row, column) for column in columns):
            continue
        if TOTAL.fullmatch(_cell(row, table.names)):
            sums += _sums(columns, row)
        elif not stage.title:
            items += _by_column(table, row, columns)
        elif _fills(row, stage.column):
            items += _less(row_items(table, row, columns), row, stage)
    if stage.less:
        sums.clear()
    return Section(stage.title, tuple(items), tuple(sums))


def _less(items: tuple[Item, ...], row: Row, stage: Stage) -> tuple[Item, ...]:
    """The items of a row without what the other part has of them, where this part is the rest."""
    taken = _amount(_cell(row, stage.less.at), stage.less) if stage.less else None
    first, *others = items
    if taken is None or first.amount is None:
        return items
    low, best, high = (
        end - taken.best for end in (first.amount.low, first.amount.best, first.amount.high)
    )
    if best <= 0:
        return ()
    words = f"{first.amount.words} less {taken.words}"
    return (
        replace(first, amount=replace(first.amount, low=low, best=best, high=high, words=words)),
        *others,
    )


def _by_column(table: Table, row: Row, columns: Sequence[Column]) -> tuple[Item, ...]:
    """The items of a row with what each column says, be there only one."""
    first, *others = row_items(table, row, columns)
    alone = ((columns[0].key, first.amount),) if first.amount else ()
    return (replace(first, columns=first.columns or alone), *others)


def _summed(sections: Sequence[Section], whole: Section | None) -> set[Origin]:
    every = (*sections, whole) if whole else tuple(sections)
    return {origin for section in every for *_, origin in section.sums}
