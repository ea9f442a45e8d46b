"""Several sources of one bread side by side: the middle of them, the spread, who stands apart."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from doughwright.engine.formula import SolvedFormula
from doughwright.engine.groups import GROUPS, YEAST, Part, parts
from doughwright.engine.overall import (
    fat_ratio,
    fresh_yeast_ratio,
    hydration,
    hydration_liquids_only,
    prefermented_flour_ratio,
    salt_ratio,
    sugar_ratio,
)
from doughwright.engine.spread import Quality, apart, middle
from doughwright.errors import DocumentError, Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.likeness import likeness
from doughwright.resolving.said_times import (
    PREFERMENT,
    PREFERMENT_COLD,
    STAGES,
    said_oven,
    said_times,
)
from doughwright.sheets.cells import Cell

FEWEST, MOST = 2, 12
"""How many sources one table holds."""

FIGURES: tuple[tuple[str, Callable[[SolvedFormula], float]], ...] = (
    ("hydration, all water", hydration),
    ("hydration, liquids only", hydration_liquids_only),
    ("salt", salt_ratio),
    ("sugar", sugar_ratio),
    ("fat", fat_ratio),
    ("yeast, as fresh", fresh_yeast_ratio),
    ("prefermented flour", prefermented_flour_ratio),
)
"""The figures of a whole dough, as the formula sheet calls them."""

TIMES = (PREFERMENT, PREFERMENT_COLD, *STAGES.values())
OVEN = "oven, without fan"
QUALITIES: Mapping[str, Quality] = {"1": "ratio", "s": "time", "K": "temperature"}

About = Literal["figures", "ingredients", "times"]


@dataclass(frozen=True, slots=True)
class Source:
    """A formula by what its source is called."""

    name: str
    formula: ResolvedFormula


@dataclass(frozen=True, slots=True)
class SourceRow:
    """One thing that is compared: a cell for each source, the middle and who stands apart.

    ``middle`` has the lowest and highest of all sources as its band; ``counted`` are the sources
    it is the middle of. ``part`` is true for one ingredient of the group above it: of parts none
    stands apart, since who takes milk for water is not off.
    """

    name: str
    cells: tuple[Cell, ...]
    middle: Cell
    counted: tuple[int, ...]
    apart: tuple[int, ...]
    part: bool = False


@dataclass(frozen=True, slots=True)
class SourceTable:
    """The rows of one subject."""

    about: About
    rows: tuple[SourceRow, ...]


@dataclass(frozen=True, slots=True)
class SourceCare:
    """What is to be taken care of in one source."""

    source: str
    notice: Notice


@dataclass(frozen=True, slots=True)
class SourcesSheet:
    """Several sources side by side on one base, their total flour."""

    names: tuple[str, ...]
    tables: tuple[SourceTable, ...]
    cares: tuple[SourceCare, ...]
    notices: tuple[Notice, ...]


def sources_sheet(sources: Sequence[Source]) -> SourcesSheet:
    """Lay sources side by side; in which order changes nothing but the columns.

    Raises
    ------
    DocumentError
        Where there are fewer than two, or more than a table has room for.
    """
    if not FEWEST <= len(sources) <= MOST:
        values = {"count": len(sources), "fewest": FEWEST, "most": MOST}
        raise DocumentError([Notice.of("how-many-sources", **values)])
    tables = (
        SourceTable("figures", tuple(_figures(sources))),
        SourceTable("ingredients", tuple(_ingredients(sources))),
        SourceTable("times", tuple(_times(sources))),
    )
    names = tuple(source.name for source in sources)
    filled = tuple(table for table in tables if table.rows)
    return SourcesSheet(names, filled, tuple(_cares(sources)), tuple(_notices(sources)))


def _figures(sources: Sequence[Source]) -> Iterator[SourceRow]:
    for name, figure in FIGURES:
        yield _share_row(name, [figure(source.formula.solution) for source in sources])


# Ingredients


def _ingredients(sources: Sequence[Source]) -> Iterator[SourceRow]:
    """Each group, the largest ingredient first, and under it what it is made of."""
    found = [parts(s.formula.solution, likeness(s.formula)) for s in sources]
    alone = {part.group for each in found for part in each if part.group not in GROUPS}
    for group in (*GROUPS, *_by_size(_shares(found, alone, lambda part: part.group))):
        names = {part.name for each in found for part in each if part.group == group}
        if not names:
            continue
        inside = _shares(found, names, lambda part: part.name, group)
        whole = [sum(ratios) for ratios in zip(*inside.values(), strict=True)]
        is_one = len(names) == 1 and group != YEAST
        yield _share_row(min(names) if is_one else group, whole)
        if not is_one:
            yield from (_share_row(name, inside[name], part=True) for name in _by_size(inside))


def _shares(
    found: Sequence[tuple[Part, ...]],
    names: set[str],
    key: Callable[[Part], str],
    group: str = "",
) -> dict[str, list[float]]:
    """How much of each name every source has; none is 0."""
    return {
        name: [
            sum(p.ratio for p in each if key(p) == name and group in {"", p.group})
            for each in found
        ]
        for name in names
    }


def _by_size(shares: Mapping[str, Sequence[float]]) -> list[str]:
    """Names by how much the source with most of it has: the same in any order of sources."""
    return sorted(shares, key=lambda name: (-round(max(shares[name]), 9), name))


def _share_row(name: str, ratios: Sequence[float], *, part: bool = False) -> SourceRow:
    """A row in which a source without it has 0.

    Where half or more have none, they are left out of the middle, which is of those that have it.
    """
    having = tuple(i for i, ratio in enumerate(ratios) if ratio > 0)
    half_have_none = 0 < 2 * len(having) <= len(ratios)
    counted = having if half_have_none else tuple(range(len(ratios)))
    return _row(name, tuple(Cell(ratio, "1") for ratio in ratios), counted, part=part)


# Times and the oven


def _times(sources: Sequence[Source]) -> Iterator[SourceRow]:
    said = [said_times(source.formula) for source in sources]
    for name in TIMES:
        times = [each.get(name) for each in said]
        yield from _known_row(
            name,
            tuple(
                Cell(t.best, "s", "stated", t.low, t.high) if t else Cell(None, "s", "unknown")
                for t in times
            ),
        )
    yield from _known_row(OVEN, tuple(map(_oven, sources)))


def _oven(source: Source) -> Cell:
    said = said_oven(source.formula.document)
    if said is None:
        return Cell(None, "K", "unknown")
    return Cell(said.temperature, "K", "stated" if said.kind_said else "assumed")


def _known_row(name: str, cells: tuple[Cell, ...]) -> Iterator[SourceRow]:
    """A row of what sources may leave open, unless all of them do."""
    known = tuple(i for i, cell in enumerate(cells) if cell.value is not None)
    if known:
        yield _row(name, cells, known)


def _row(
    name: str,
    cells: tuple[Cell, ...],
    counted: tuple[int, ...],
    *,
    part: bool = False,
) -> SourceRow:
    """The middle of the sources counted, the spread of all that say it, and who stands apart."""
    values = {i: cell.value for i, cell in enumerate(cells) if cell.value is not None}
    unit, taken = cells[0].unit, [values[i] for i in counted]
    low, high = min(values.values()), max(values.values())
    off = apart(taken, QUALITIES[unit]) if not part else ()
    middling = Cell(middle(taken), unit, "exact", low, high)
    return SourceRow(name, cells, middling, counted, tuple(counted[i] for i in off), part)


def _notices(sources: Sequence[Source]) -> Iterator[Notice]:
    """What of the sources is not in the table."""
    beside = sorted(
        {
            p.name
            for source in sources
            for p in source.formula.solution.preparations
            if not p.preparation.in_dough
        }
    )
    if beside:
        yield Notice.of("sources-beside-dough", names=", ".join(beside))


def _cares(sources: Sequence[Source]) -> Iterator[SourceCare]:
    """What is worth a second look in a source before it is compared: a slip moves the middle."""
    for source in sources:
        for notice in source.formula.notices:
            if notice.weight == "care":
                yield SourceCare(source.name, notice)
