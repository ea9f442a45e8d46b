"""Cells of a cut through a piece, put together to boxes of one colour and to outlines."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from doughwright.sheets.bake import CutCell, CutSheet
from doughwright.units import Kelvin, Metre

Place = tuple[Metre, Metre]
"""A point of the cut: from the middle, above the base."""
Path = tuple[Place, ...]
"""Points that are joined, one line or one box."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Middles of the columns and rows of the cells, and the edges between them."""

    columns: tuple[Metre, ...]
    rows: tuple[Metre, ...]
    across: tuple[Metre, ...]
    up: tuple[Metre, ...]
    halved: bool

    @classmethod
    def of(cls, cut: CutSheet) -> "Grid":
        """The grid of a cut; ``halved`` where the other half mirrors it, as a ring's does not."""
        columns = tuple(sorted({c.across for c in cut.cells}))
        rows = tuple(sorted({c.up for c in cut.cells}))
        halved = columns[0] < cut.side
        return cls(columns, rows, _edges(columns, from_zero=halved), _edges(rows), halved)

    def place(self, cell: CutCell) -> tuple[int, int]:
        """Column and row of a cell."""
        return self.columns.index(cell.across), self.rows.index(cell.up)


def _edges(middles: Sequence[Metre], *, from_zero: bool = True) -> tuple[Metre, ...]:
    """Where neighbours part: half-way between their middles."""
    between = [(a + b) / 2 for a, b in pairwise(middles)]
    half = (middles[1] - middles[0]) / 2 if len(middles) > 1 else middles[0]
    first = 0.0 if from_zero else middles[0] - half
    return (first, *between, middles[-1] + half)


def beside(place: tuple[int, int]) -> tuple[tuple[int, int], ...]:
    """Columns and rows of the four neighbours: left, right, under, over."""
    i, j = place
    return (i - 1, j), (i + 1, j), (i, j - 1), (i, j + 1)


def boxes(cut: CutSheet, grid: Grid, colour: Callable[[Kelvin], int]) -> Iterator[tuple[int, Path]]:
    """Cells side by side that have one colour, as one box; with the other half."""
    cells = {grid.place(c): colour(c.temperature) for c in cut.cells}
    for j in range(len(grid.rows)):
        row = [(i, cells[i, j]) for i in range(len(grid.columns)) if (i, j) in cells]
        for (shade, _), run in groupby(enumerate(row), lambda x: (x[1][1], x[1][0] - x[0])):
            columns = [i for _, (i, _) in run]
            left, right = grid.across[columns[0]], grid.across[columns[-1] + 1]
            for a, b in _mirrored(left, right, halved=grid.halved):
                low, high = grid.up[j], grid.up[j + 1]
                yield shade, ((a, low), (b, low), (b, high), (a, high))


def _mirrored(left: Metre, right: Metre, *, halved: bool) -> Iterator[tuple[Metre, Metre]]:
    """A stretch of the half that is known, and the same of the other; one from the middle."""
    if halved and left == 0:
        yield -right, right
        return
    yield left, right
    if halved:
        yield -right, -left


def outline(inside: Iterable[tuple[int, int]], grid: Grid) -> Iterator[Path]:
    """The line around some of the cells, piece by piece; with the other half."""
    cells = set(inside)
    for i, j in sorted(cells):
        low, high = grid.up[j], grid.up[j + 1]
        left, right = grid.across[i], grid.across[i + 1]
        sides = (
            ((left, low), (left, high)),
            ((right, low), (right, high)),
            ((left, low), (right, low)),
            ((left, high), (right, high)),
        )
        for neighbour, side in zip(beside((i, j)), sides, strict=True):
            if neighbour in cells or (grid.halved and neighbour[0] < 0):
                continue
            yield side
            if grid.halved:
                yield tuple((-x, z) for x, z in side)


def joined(pieces: Iterable[Path]) -> list[Path]:
    """Pieces of a line put together to lines as long as can be."""
    loose: dict[Place, list[Path]] = {}
    for piece in pieces:
        for end in (piece[0], piece[-1]):
            loose.setdefault(end, []).append(piece)
    lines: list[Path] = []
    while loose:
        at = next((p for p in sorted(loose) if len(loose[p]) == 1), min(loose))
        line = [at]
        while at in loose:
            piece = loose[at][0]
            to = piece[-1] if piece[0] == at else piece[0]
            for end in (at, to):
                loose[end].remove(piece)
                if not loose[end]:
                    del loose[end]
            line.append(to)
            at = to
        lines.append(tuple(line))
    return lines


def size(cut: CutSheet) -> Place:
    """Width and height of the whole piece; of a ring, of one side of it."""
    grid = Grid.of(cut)
    wide = grid.across[-1] * 2 if grid.halved else grid.across[-1] - grid.across[0]
    return wide, grid.up[-1]
