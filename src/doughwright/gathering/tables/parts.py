"""Columns of a table that are parts of the bread, each with its own percentages, and their total.

Bakers' formulas often have a column for each preparation, one that adds them up, and percentages
that belong to the total. What is no part is a check.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from doughwright.engine.ingredients import plain_words
from doughwright.gathering.pages.titles import DOUGH, PREFERMENT, SOAKER, Title, title_of

UNITS: Mapping[str, str] = MappingProxyType(
    {
        "%": r"%|per ?cent|\bpct\b",
        "kg": r"\bkgs?\b|\bkilo",
        "g": r"\bg\b|\bgr\b|\bgramm?e?s?\b|\bgramos\b|\bmetric\b",
        "oz": r"\boz\b|\bounces?\b|\bu\.?s\.?\b",
        "lb": r"\blbs?\b|\bpounds?\b",
        "ml": r"\bml\b",
    }
)
"""What the head of a column says of its unit, the first that fits."""

RANKS = ("g", "kg", "", "lb", "oz", "ml", "%")
"""Which column is taken for the weights where there are several."""

_VOLUMES = re.compile(
    r"\bvolumes?\b|\bcups?\b|\bspoons?\b|\bmeasures?\b|\bhousehold\b", re.IGNORECASE
)
_SYSTEMS: Mapping[str, str] = MappingProxyType(
    {
        "us": r"\bu\.?s\.?a?\b|\bamerican\b",
        "imperial": r"\bu\.?k\.?\b|\bbritish\b|\bimperial\b",
        "australian": r"\baustralian\b",
        "metric": r"\bmetric\b",
    }
)
_WHOLE = re.compile(
    r"\b(?:(?:grand |sub)?totals?|overall|altogether|in all|combined|sum|whole formula)\b",
    re.IGNORECASE,
)
_OF = re.compile(r"(?:%|per ?cent|pct|share)\s+(?:of|on)\b", re.IGNORECASE)
_BESIDE = re.compile(
    r"[(\[]?(?<!\w)(?:%|per ?cent|pct|kgs?|kilos?|gr?|grams?|metric|oz|ounces?|lbs?|pounds?|ml|"
    r"weights?|amounts?|quantity|qty|mass|baker'?s?|bakers')(?!\w)[)\]]?",
    re.IGNORECASE,
)
PRODUCTS = frozenset({"bread", "bun", "roll", "loaf", "batch", "piece", "pizza", "baguette"})
"""Last words of a head that say how much is made, unless a preferment stands beside it."""

SAME = 0.02
"""Two columns whose rows all agree within this are two sizes of one formula (assumption)."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of amounts: where it stands, its head, the unit and the measures the head names."""

    at: int
    head: str
    unit: str
    system: str = ""

    @property
    def key(self) -> str:
        """What it is called: its head, its unit, else its place."""
        return self.head or self.unit or f"column {self.at + 1}"


@dataclass(frozen=True, slots=True)
class Stage:
    """A part of the bread with its column, and the columns that say the same of it otherwise.

    ``less`` is the column of the other part, where this one is what is left of the total.
    """

    title: str
    column: Column
    beside: tuple[Column, ...] = ()
    less: Column | None = None


@dataclass(frozen=True, slots=True)
class Parted:
    """The columns of a table: its parts, and what is said of all of them together."""

    stages: tuple[Stage, ...]
    whole: tuple[Column, ...]


def column_of(at: int, head: str) -> Column:
    """A column by its head.

    >>> column_of(1, "weight_g").unit, column_of(2, "US volume")
    ('g', Column(at=2, head='US volume', unit='', system='us'))
    """
    words = " ".join(head.replace("_", " ").split())
    if _VOLUMES.search(words):
        return Column(at, words, "", _first(_SYSTEMS, words))
    return Column(at, words, _first(UNITS, words))


def _first(among: Mapping[str, str], words: str) -> str:
    """The first whose words stand there."""
    return next((one for one, said in among.items() if re.search(said, words, re.IGNORECASE)), "")


def part_of(column: Column) -> Title | None:
    """The part of the bread that a column is headed by; None for a total, a share, a size.

    >>> part_of(column_of(1, "Levain (g)")).name, part_of(column_of(2, "% of dough"))
    ('levain', None)
    """
    if _WHOLE.search(column.head) or _OF.search(column.head) or not column.head:
        return None
    return title_of(" ".join(_BESIDE.sub(" ", column.head).split()).strip(" ,:-–"))


def is_whole(column: Column) -> bool:
    """Whether a column is headed as what all parts come to."""
    return _WHOLE.search(column.head) is not None


def parted(columns: Sequence[Column], numbers: Mapping[int, Sequence[float | None]]) -> Parted:
    """The parts among the columns; none of them where a table has no two.

    ``numbers`` are those of each column, by its place: sizes of one formula are no parts.
    """
    titled: dict[str, list[Column]] = {}
    for column in columns:
        title = part_of(column)
        if title is not None:
            titled.setdefault(title.name, []).append(column)
    if len(titled) < 2:
        return _with_rest(titled, columns, numbers)
    if _are_sizes(titled, numbers):
        return Parted((), tuple(columns))
    stages = [_stage(name, same) for name, same in titled.items()]
    owned = dict(_owned(stages, columns))
    stages = [
        replace(s, beside=(*s.beside, owned[s.column.at])) if s.column.at in owned else s
        for s in stages
    ]
    taken = {column.at for s in stages for column in (s.column, *s.beside)}
    return Parted(tuple(stages), tuple(c for c in columns if c.at not in taken))


def _with_rest(
    titled: Mapping[str, Sequence[Column]],
    columns: Sequence[Column],
    numbers: Mapping[int, Sequence[float | None]],
) -> Parted:
    """A preferment or a soaker beside a total that holds it: the dough is what is left."""
    total = next((c for c in columns if is_whole(c) and c.unit != "%"), None)
    if not titled or total is None:
        return Parted((), tuple(columns))
    ((name, same),) = titled.items()
    first, title = _stage(name, same), part_of(same[0])
    pairs = zip(numbers[first.column.at], numbers[total.at], strict=True)
    holds = all(one is None or (two is not None and one <= two) for one, two in pairs)
    if title is None or title.kind not in (PREFERMENT, SOAKER) or not holds:
        return Parted((), tuple(columns))
    if first.column.unit != total.unit:
        return Parted((), tuple(columns))
    owned = dict(_owned([first, Stage(DOUGH, total)], columns))
    first = replace(first, beside=(*first.beside, *owned.values()))
    taken = {c.at for c in (first.column, *first.beside)}
    stages = (first, Stage("final dough", total, (), first.column))
    return Parted(stages, tuple(c for c in columns if c.at not in taken))


def _stage(name: str, columns: Sequence[Column]) -> Stage:
    first, *others = sorted(columns, key=lambda column: RANKS.index(column.unit))
    return Stage(name, first, tuple(others))


def _owned(stages: Sequence[Stage], columns: Sequence[Column]) -> Iterator[tuple[int, Column]]:
    """Percentages that stand behind the part they are of, by the place of that part's column.

    Those behind the last part are its own only where each of the others has its own too: else
    they belong to the total.
    """
    bare = {c.at: c for c in columns if c.unit == "%" and part_of(c) is None and not is_whole(c)}
    behind = {s.column.at: bare.get(s.column.at + 1) for s in stages}
    *others, last = [s.column.at for s in stages]
    each = all(behind[at] is not None for at in others)
    for stage in stages:
        found = behind[stage.column.at]
        if found is not None and stage.column.unit != "%" and (stage.column.at != last or each):
            yield stage.column.at, replace(found, head=f"{stage.title} %")


def _are_sizes(
    titled: Mapping[str, Sequence[Column]], numbers: Mapping[int, Sequence[float | None]]
) -> bool:
    """Whether columns are one formula in several sizes: loaves, or doughs of one ratio."""
    if any(getattr(part_of(c), "kind", "") != DOUGH for same in titled.values() for c in same):
        return False
    if all((plain_words(name) or ("",))[-1] in PRODUCTS for name in titled):
        return True
    first, *others = [numbers[same[0].at] for same in titled.values()]
    return all(_are_alike(first, other) for other in others)


def _are_alike(first: Sequence[float | None], other: Sequence[float | None]) -> bool:
    pairs = list(zip(first, other, strict=True))
    if any((one is None) != (two is None) for one, two in pairs):
        return False
    ratios = [two / one for one, two in pairs if one and two]
    return len(ratios) > 2 and max(ratios) <= (1 + SAME) * min(ratios)
