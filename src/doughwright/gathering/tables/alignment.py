"""Columns of a text set apart by blanks: a row that lacks a cell by where its others stand."""

import re
from collections.abc import Sequence
from itertools import combinations
from statistics import median
from typing import NamedTuple

MOST_CELLS = 8
"""Wider tables are read cell by cell."""

CLEARLY = 2
"""Signs by which a row must fit its columns better than it fits any others (assumption)."""

NEAR = 1
"""Signs by which the edge of a number may miss its column (assumption)."""

_CELL = re.compile(r"\S+(?:\s\S+)*")
_NUMBERED = re.compile(r"(?P<name>[^\W\d_].*?)\s(?P<number>\d[\d.,]*\s?%?)")

Span = tuple[float, float]


class Cell(NamedTuple):
    """The words of a cell and where they stand in their line."""

    words: str
    left: int
    right: int


def aligned(texts: Sequence[str]) -> list[tuple[str, ...]]:
    """The cells of lines that runs of blanks part; empty ones where nothing stands.

    >>> aligned(["what    poolish  dough", "flour       200    300", "salt                10"])[2]
    ('salt', '', '10')
    """
    found = [_split(text) for text in texts]
    width = max(map(len, found), default=0)
    full = [[(cell.left, cell.right) for cell in cells] for cells in found if len(cells) == width]
    if width > MOST_CELLS or len(full) < 2:
        return [tuple(cell.words for cell in cells) for cells in found]
    columns = [
        (median(left for left, _ in spans), median(right for _, right in spans))
        for spans in zip(*full, strict=True)
    ]
    return [_placed(_parted(cells, columns), columns) for cells in found]


def _split(text: str) -> list[Cell]:
    return [Cell(match[0], *match.span()) for match in _CELL.finditer(text)]


def _parted(cells: list[Cell], columns: Sequence[Span]) -> list[Cell]:
    """The cells of a row; a number that one blank parts from its name, under its column's own."""
    match = _NUMBERED.fullmatch(cells[0].words) if cells and len(cells) < len(columns) else None
    if match is None:
        return cells
    name, *rest = cells
    number = Cell(match["number"], name.left + match.start("number"), name.right)
    if min(_apart(number, column) for column in columns[1:]) > NEAR:
        return cells
    return [Cell(match["name"], name.left, name.left + match.end("name")), number, *rest]


def _placed(cells: Sequence[Cell], columns: Sequence[Span]) -> tuple[str, ...]:
    """The cells of one row, each in its column; one after another where that is not clear."""
    words = [cell.words for cell in cells]
    if not 1 < len(cells) < len(columns):
        return tuple(words)
    places = sorted(
        (sum(_apart(cell, columns[at]) for cell, at in zip(cells, into, strict=True)), into)
        for into in combinations(range(len(columns)), len(cells))
    )
    best, next_best = places[0][0], places[1][0]
    if next_best - best < (CLEARLY if best else NEAR):
        return tuple(words)
    at = dict(zip(places[0][1], words, strict=True))
    return tuple(at.get(i, "") for i in range(len(columns)))


def _apart(cell: Cell, column: Span) -> float:
    """How far a cell is from a column: words by where they begin, else by the nearer edge."""
    left = abs(cell.left - column[0])
    is_head = any(map(str.isalpha, cell.words)) and not any(map(str.isdigit, cell.words))
    return left if is_head else min(left, abs(cell.right - column[1]))
