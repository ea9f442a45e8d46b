"""The head of a table: one row of words, or two of which the upper one spans columns."""

import re
from collections.abc import Sequence

from doughwright.gathering.tables.parts import UNITS

LONGEST_CELL = 25
"""Signs of an amount in its cell: what is longer is words (assumption)."""

_NUMBER = re.compile(r"[~≈]?\s*(?:\.?\d|[¼½¾⅓⅔⅛⅜])")
_SIZE = re.compile(
    r"(?:for |makes )?\d+\s*(?:[x×]|loa(?:f|ves)|rolls?|buns?|batch(?:es)?|pieces?|breads?|pizzas?"
    r"|baguettes?|tins?|pans?|people|persons?|servings?|dozen)\b.*",
    re.IGNORECASE,
)
_UNIT = re.compile("|".join((*UNITS.values(), r"\bweight\b", r"\bamount\b")), re.IGNORECASE)

Cells = tuple[str, ...]


def headed(rows: Sequence[Cells]) -> tuple[Cells, int]:
    """The heads of a table's columns, and how many of its rows they take.

    >>> headed([("", "Biga", "", "Dough", ""), ("what", "g", "%", "g", "%"), ("salt", "", "", "9")])
    (('what', 'Biga g', 'Biga %', 'Dough g', 'Dough %'), 2)
    >>> headed([("what", "1 loaf", "2 loaves"), ("salt", "9", "18")])
    (('what', '1 loaf', '2 loaves'), 1)
    """
    if len(rows[0]) < 2 or not all(map(_is_word, rows[0])):
        return (), 0
    if len(rows) > 2 and _has_units(rows[1]):
        return _joined(rows[0], rows[1]), 2
    return rows[0], 1


def is_amount(cell: str) -> bool:
    """Whether a cell begins with a number and is no sentence."""
    return len(cell) <= LONGEST_CELL and _NUMBER.match(cell) is not None


def _is_word(cell: str) -> bool:
    """Whether a cell is no amount; how many loaves a column is for heads it."""
    return not is_amount(cell) or _SIZE.fullmatch(cell) is not None


def _has_units(row: Cells) -> bool:
    """Whether a row says nothing but the units of the columns below it."""
    filled = [cell for cell in row if cell]
    units = [cell for cell in filled if _UNIT.search(cell) and len(cell) <= LONGEST_CELL]
    return all(map(_is_word, row)) and len(units) > 1 and len(filled) <= len(units) + 1


def _joined(upper: Cells, lower: Cells) -> Cells:
    """Each head with what stands above it, be that spread over several columns."""
    first, *rest = _spread(upper, len(lower))
    above, heads = "", [lower[0] or first]
    for over, under in zip(rest, lower[1:], strict=True):
        above = over or above
        heads.append(f"{above} {under}".strip())
    return tuple(heads)


def _spread(upper: Cells, width: int) -> Cells:
    """The upper heads over so many columns, each over as many; none where that does not go."""
    if len(upper) >= width:
        return upper[:width]
    named = [cell for cell in upper[1:] if cell]
    each, left = divmod(width - 1, len(named)) if named else (0, 1)
    if left:
        return ("",) * width
    return (upper[0], *(cell for name in named for cell in (name, *[""] * (each - 1))))
