"""Several sources side by side, in words: their values, the middle, who stands apart and why."""

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType

from doughwright.engine.groups import LIQUID
from doughwright.engine.spread import FEWEST
from doughwright.render.messages import remedy, words
from doughwright.render.numbers import duration, duration_band, percent, temperature
from doughwright.sheets.cells import Cell
from doughwright.sheets.sources import SourceRow, SourcesSheet

TABLE_TITLES: Mapping[str, str] = MappingProxyType(
    {
        "figures": "Figures, on all flour",
        "ingredients": "Ingredients, on all flour",
        "times": "Times and oven, as they say",
    }
)
NOT_SAID = "not said"
APART = "apart"

MIDDLE_RULE = (
    "The middle is the median. A source without an ingredient counts as 0; where half or more have "
    "none, the middle is of those that have it."
)
APART_RULE = (
    "A source stands apart where its modified Z-score is over 3.5 (Iglewicz and Hoaglin 1993), "
    f"of {FEWEST} sources or more. But for the oven, what is within a quarter of the middle "
    "never does."
)
OVEN_RULE = (
    "Fan settings are shown as those of an oven without fan that bakes alike; a setting that "
    "does not say its kind is taken for one without fan."
)
RULES = (MIDDLE_RULE, APART_RULE, OVEN_RULE)


def value_words(cell: Cell) -> str:
    """What a source says; a time with its range.

    >>> value_words(Cell(0.65, "1")), value_words(Cell(0.0, "1")), value_words(Cell(None, "s"))
    ('65.0 %', '0', 'not said')
    """
    if cell.value is None:
        return NOT_SAID
    return duration_band(cell) if cell.unit == "s" else _shown(cell.value, cell.unit)


def _shown(value: float, unit: str) -> str:
    if unit == "s":
        return duration(value)
    if unit == "K":
        return temperature(value)
    return percent(value) if value > 0 else "0"


def middle_words(row: SourceRow) -> str:
    """The middle, and of how many it is where not all are in it."""
    said = _middle(row)
    return said if len(row.counted) == len(row.cells) else f"{said} (of {len(row.counted)})"


def _middle(row: SourceRow) -> str:
    assert row.middle.value is not None
    return _shown(row.middle.value, row.middle.unit)


def spread_words(row: SourceRow) -> str:
    """From the lowest to the highest of the sources; nothing where all say the same."""
    low, high = row.middle.low, row.middle.high
    assert low is not None
    assert high is not None
    first, last = _shown(low, row.middle.unit), _shown(high, row.middle.unit)
    unit = " ".join(last.split(" ")[1:])
    shared = first.removesuffix(f" {unit}") if row.middle.unit != "s" else first
    return "" if first == last else f"{shared}–{last}"


def apart_sentences(sheet: SourcesSheet) -> Iterator[str]:
    """Every source that stands apart in something, with what it says and what the middle is."""
    for index, name in enumerate(sheet.names):
        said = [
            f"{row.name} {value_words(row.cells[index])} (middle {_middle(row)})"
            for row in _rows(sheet)
            if index in row.apart
        ]
        if said:
            yield f"{name} stands {APART}: {', '.join(said)}."


def _rows(sheet: SourcesSheet) -> Iterator[SourceRow]:
    """All rows, each thing once: salt and what is poured are figures and ingredients."""
    seen = {LIQUID}
    for table in sheet.tables:
        for row in table.rows:
            if row.name not in seen:
                seen.add(row.name)
                yield row


def care_sentences(sheet: SourcesSheet) -> tuple[str, ...]:
    """What in single sources is worth a look, and what of them is not in the table."""
    cares = (
        f"{care.source}: {words(care.notice)} {remedy(care.notice)}".rstrip()
        for care in sheet.cares
    )
    return (*cares, *map(words, sheet.notices))


def numbered_names(names: Sequence[str]) -> tuple[str, ...]:
    """The sources with the numbers that stand for them in picture and columns.

    >>> numbered_names(["Brioche", "Challah"])
    ('1 Brioche', '2 Challah')
    """
    return tuple(f"{number} {name}" for number, name in enumerate(names, 1))
