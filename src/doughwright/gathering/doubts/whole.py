"""Doubts over a whole recipe, found by arithmetic: one number against all the others.

Evidence goes before likelihood: totals, then columns against each other, then what no bread is.
No number changes without an answer.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from doughwright.engine.ingredients import ingredient_named
from doughwright.gathering.asking import Asked, words_of
from doughwright.gathering.doubts.exchanged import exchanged_lines
from doughwright.gathering.doubts.printed import (
    Finding,
    mixed_columns,
    printed_columns,
    whole_columns,
)
from doughwright.gathering.doubts.printed_bases import (
    borne_out,
    columns_doubted,
    false_sums,
    firm,
    readings,
)
from doughwright.gathering.doubts.printed_own import own_shares_doubted
from doughwright.gathering.doubts.printed_shares import digits_doubted, of_dough_doubted
from doughwright.gathering.doubts.printed_sums import sums_doubted
from doughwright.gathering.doubts.printed_whole import wholes, wholes_doubted
from doughwright.gathering.doubts.unlikely import dough_of, unlikely_lines
from doughwright.gathering.doubts.yields import methods_doubted, pieces_doubted, yields_doubted
from doughwright.gathering.gathered import Amount, Gathered, Item, Settings
from doughwright.gathering.weighing.masses import mass_of
from doughwright.gathering.weighing.unit_asked import unit_told

DIGITS = frozenset({"point", "comma", "digits"})
"""Questions what a point, a comma or a blank before three digits is."""


def checked(
    gathered: Gathered, settings: Settings, answers: Mapping[str, str]
) -> tuple[Gathered, list[Asked]]:
    r"""What was gathered after the answers about its arithmetic, and what that leaves open.

    >>> from doughwright.gathering.pages.sections import text_gathered
    >>> read = text_gathered("500 g strong flour\n325 g water\n100 g salt")
    >>> [one.doubt.notice.code for one in checked(read, Settings(), {})[1]]  # FE08: ten times
    ['gather-salt-high']
    """
    united, unit = unit_told(gathered, answers)
    found = list(_findings(united, settings, answers))
    counted, many = pieces_doubted(united, answers)
    made, told = yields_doubted(replace(united, made=counted), settings, answers)
    changed = _changed(united, found)
    asked = (one.asked for one in found if one.asked)
    return replace(changed, made=made), [*unit, *asked, *many, *told]


def _findings(
    gathered: Gathered, settings: Settings, answers: Mapping[str, str]
) -> Iterator[Finding]:
    columns = printed_columns(gathered, settings, answers)
    whole = whole_columns(gathered, settings, answers)
    found = wholes(columns, whole)
    yield from wholes_doubted(gathered, columns, found, answers)
    borne = [one.column for one in found if one.is_borne_out]
    summed = [*columns, *(column for column in whole if column not in borne)]
    compared = readings(columns)
    right, false = firm(compared), false_sums(compared)
    sums = list(sums_doubted(summed, borne_out(compared), right, false, answers))
    yield from sums
    beside = list(columns_doubted(compared, _told(sums), answers))
    yield from beside
    yield from digits_doubted(columns, _told([*sums, *beside]), answers)
    yield from of_dough_doubted(columns, answers)
    yield from own_shares_doubted(gathered, columns, answers)
    measured = [*columns, *mixed_columns(gathered, settings, answers)]
    dough = dough_of(gathered, measured)
    told = _told([*sums, *beside]) | _unread(gathered, settings)
    places = list(exchanged_lines(dough, told, answers)) if dough else []
    yield from places
    yield from unlikely_lines(gathered, measured, told | _told(places), answers)
    yield from methods_doubted(gathered, settings, answers)


def _told(found: Iterable[Finding]) -> frozenset[int]:
    return frozenset(id(item) for one in found for item in one.about)


def _unread(gathered: Gathered, settings: Settings) -> frozenset[int]:
    """Lines whose digits may say two numbers: which of them it is comes before what is likely."""
    items = (item for section in gathered.sections for item in section.items)
    unread = (
        item
        for item in items
        if item.amount and item.amount.other and DIGITS & _asked_of(item, item.amount, settings)
    )
    return frozenset(map(id, unread))


def _asked_of(item: Item, amount: Amount, settings: Settings) -> frozenset[str]:
    massed = mass_of(amount, ingredient_named(item.name), settings, words_of(item))
    return frozenset(doubt.key for doubt in massed.doubts)


def _changed(gathered: Gathered, found: Iterable[Finding]) -> Gathered:
    """The same with every line as the answers have it; a later change keeps an earlier one's."""
    made: dict[int, Item] = {}
    for one in found:
        for item, after in one.changes:
            made[id(item)] = _both(item, made.get(id(item), item), after)
    sections = (
        replace(section, items=tuple(made.get(id(item), item) for item in section.items))
        for section in gathered.sections
    )
    return replace(gathered, sections=tuple(sections))


def _both(item: Item, before: Item, after: Item) -> Item:
    """Two changes of one line: what either of them changed."""
    amount = after.amount if after.amount != item.amount else before.amount
    columns = tuple(pair for pair in after.columns if pair in before.columns)
    alternatives = after.alternatives or before.alternatives
    if after.alternatives == item.alternatives:
        alternatives = before.alternatives
    name = after.name if after.name != item.name else before.name
    use = after.use if after.use != item.use else before.use
    return replace(
        item, name=name, amount=amount, columns=columns, alternatives=alternatives, use=use
    )
