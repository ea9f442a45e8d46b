"""Numbers without a unit, where even the flour has none: asked once for all of them."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace

from doughwright.engine.ingredients import ingredient_named, measures_of
from doughwright.errors import Notice
from doughwright.gathering.asking import Asked
from doughwright.gathering.doubts.printed import answer_of
from doughwright.gathering.gathered import Amount, Choice, Doubt, Gathered, Item, Section

UNITS = ("g", "kg", "oz", "lb", "%")
LEAST = 3
"""Fewer numbers without a unit are asked one by one."""

KEY = "unit"

_NUMBER = re.compile(r"[\d\s.,/½¼¾⅓⅔⅛–-]+")
_PIECES = frozenset({"", "piece", "small", "medium", "large", "clove", "slice", "leaf"})
"""Measures by which an ingredient is counted."""


def unit_told(gathered: Gathered, answers: Mapping[str, str]) -> tuple[Gathered, list[Asked]]:
    """What was gathered with the unit that was answered, and the question."""
    items = [item for section in gathered.sections for item in section.items]
    bare = [item for item in items if _is_bare(item)]
    flours = [item for item in bare if _kind(item) == "flour"]
    others = [i for i in items if _kind(i) == "flour" and i.amount and i.amount.unit]
    if len(bare) < LEAST or not flours or others:
        return gathered, []
    choices = tuple(Choice(unit, unit) for unit in UNITS)
    answer = answer_of(KEY, UNITS, answers)
    numbers = ", ".join(f"{item.amount.words} {item.name}" for item in bare[:3] if item.amount)
    doubt = Doubt(KEY, Notice.of("gather-unit", read=numbers), choices, answer)
    if not answer:
        return gathered, [Asked(doubt)]
    sections = tuple(_in_unit(section, answer) for section in gathered.sections)
    return replace(gathered, sections=sections), [Asked(doubt)]


def without_waiting(doubts: Iterable[Doubt]) -> tuple[Doubt, ...]:
    """The doubts; what a bare number weighs is not asked while its unit is."""
    every = tuple(doubts)
    if not any(doubt.key == KEY and doubt.is_open for doubt in every):
        return every
    return tuple(doubt for doubt in every if not _is_of_bare(doubt))


def _is_of_bare(doubt: Doubt) -> bool:
    read = str(doubt.notice.values.get("read", ""))
    return doubt.notice.code == "gather-no-weight" and _NUMBER.fullmatch(read) is not None


def _is_bare(item: Item) -> bool:
    """Whether an amount is a number alone, of an ingredient that nobody counts by the piece."""
    amount, row = item.amount, ingredient_named(item.name)
    if amount is None or row is None or amount.unit or amount.package or amount.same:
        return False
    return row.kind != "egg" and _PIECES.isdisjoint(measures_of(row.name))


def _kind(item: Item) -> str:
    row = ingredient_named(item.name)
    return row.kind if row else ""


def _in_unit(section: Section, unit: str) -> Section:
    """A section with all its bare numbers in a unit, those of its table with them."""
    items = tuple(_with_unit(item, unit) for item in section.items)
    sums = tuple((key, _united(amount, unit), origin) for key, amount, origin in section.sums)
    whole = _in_unit(section.whole, unit) if section.whole else None
    return replace(section, items=items, sums=sums, whole=whole)


def _with_unit(item: Item, unit: str) -> Item:
    if item.amount is None or not _is_bare(item):
        return item
    columns = tuple((key, _united(amount, unit)) for key, amount in item.columns)
    return replace(item, amount=_united(item.amount, unit), columns=columns)


def _united(amount: Amount, unit: str) -> Amount:
    if amount.unit or amount.package:
        return amount
    return replace(amount, unit=unit, words=f"{amount.words} {unit}")
