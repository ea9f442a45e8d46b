"""Rows of a file of values set apart by commas or semicolons, such as a spreadsheet writes."""

import csv
import re
from collections.abc import Sequence

from doughwright.gathering.gathered import Origin
from doughwright.gathering.lines.amounts import amount_of

LONGEST_HEAD = 40
"""Signs of a column's head; what is longer is a sentence (assumption)."""

LONGEST_ROW = 600
"""Signs of a row: what is longer is prose (assumption)."""

TRIED, MOST_ROWS = 12, 5000
"""Rows that tell whether there is a table, and how many are read of one."""

MARKS = (";", ",")
"""What sets values apart: a semicolon first, beside which a comma is a decimal sign."""

_NAMED = re.compile(
    r"\s*(?:.*\b(?:ingredients?|weight|grams?|amount|quantity|percent|menge|zutat)|.*%)",
    re.IGNORECASE,
)
"""Words of a head that make one row below it enough."""


def separated_run(lines: Sequence[Origin], at: int = 0) -> int:
    """How many lines from here on are a head and rows of separated values; 0 where they are none.

    >>> lines = [Origin("a file", i, t) for i, t in enumerate(("what;g", "salt;9,5", "milk;80"))]
    >>> separated_run(lines), separated_run(lines, 1)
    (3, 0)
    """
    if at < len(lines) and is_preamble(lines[at].text):
        run = separated_run(lines, at + 1)
        return run + 1 if run else 0
    mark = _mark(lines, at)
    return 1 + len(_rows(lines, at, mark)) if mark else 0


def is_preamble(text: str) -> bool:
    """Whether a line only says what sets the values apart, as spreadsheets write it."""
    return re.fullmatch(r"\ufeff?sep=.\s*", text) is not None


def separated_rows(lines: Sequence[Origin]) -> list[tuple[str, ...]] | None:
    """The values of lines that are a head and rows throughout; None where they are not."""
    if not lines or separated_run(lines) != len(lines):
        return None
    mark = _mark(lines, 1 if is_preamble(lines[0].text) else 0)
    return [values_of(line.text, mark) for line in lines]


def values_of(text: str, mark: str) -> tuple[str, ...]:
    """The values of a line, without the quotes around them.

    >>> values_of('"flour, bread",1000', ",")
    ('flour, bread', '1000')
    """
    if mark not in text or len(text) > LONGEST_ROW:
        return (text.strip(),)
    (values,) = list(csv.reader([text.strip("\ufeff")], delimiter=mark, skipinitialspace=True))
    return tuple(" ".join(value.split()) for value in values)


def _mark(lines: Sequence[Origin], at: int) -> str:
    """What sets the values apart where a head stands here with rows below it; else empty."""
    if at >= len(lines):
        return ""
    return next((mark for mark in MARKS if _heads(lines, at, mark)), "")


def _heads(lines: Sequence[Origin], at: int, mark: str) -> bool:
    """Whether a line has heads alone, and below it one column of names and one of amounts."""
    head = values_of(lines[at].text, mark)
    if len(head) < 2 or any(len(value) > LONGEST_HEAD or _is_number(value) for value in head):
        return False
    rows = _rows(lines, at, mark, at + 1 + TRIED)
    columns = [[row[i] for row in rows if row[i : i + 1]] for i in range(len(head))]
    filled = [list(filter(None, column)) for column in columns]
    enough = 1 if _NAMED.match(lines[at].text) else 2
    numbers = [len(column) >= enough and all(map(_is_number, column)) for column in filled]
    names = [any(not _is_number(value) for value in column) for column in filled]
    return any(numbers) and any(names)


def _rows(
    lines: Sequence[Origin], at: int, mark: str, end: int = MOST_ROWS
) -> list[tuple[str, ...]]:
    """The rows below a head, as many values in each; one may lack its last ones."""
    width, rows = len(values_of(lines[at].text, mark)), list[tuple[str, ...]]()
    for i in range(at + 1, min(end, len(lines))):
        row = values_of(lines[i].text, mark)
        if len(row) != width and not (1 < len(row) < width and any(map(_is_number, row))):
            break
        rows.append(row)
    return rows


def _is_number(value: str) -> bool:
    """Whether a value is an amount and nothing else."""
    return len(value) <= LONGEST_HEAD and amount_of(value) is not None
