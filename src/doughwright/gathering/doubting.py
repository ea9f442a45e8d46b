"""Doubts over a whole recipe, found by arithmetic: one number against all the others.

Evidence goes before likelihood: totals, then columns against each other, then what no bread is.
No number changes without an answer.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from doughwright.gathering.gathered import Gathered, Item, Settings
from doughwright.gathering.printed import Column, Finding, printed_columns
from doughwright.gathering.printed_bases import borne_out, columns_doubted, readings
from doughwright.gathering.printed_shares import (
    digits_doubted,
    in_all_doubted,
    of_dough_doubted,
    own_shares_doubted,
)
from doughwright.gathering.printed_sums import sums_doubted
from doughwright.gathering.questions import Asked
from doughwright.gathering.unlikely import unlikely_lines
from doughwright.gathering.yields import methods_doubted, yields_doubted


def checked(
    gathered: Gathered, settings: Settings, answers: Mapping[str, str]
) -> tuple[Gathered, list[Asked]]:
    r"""What was gathered after the answers about its arithmetic, and what that leaves open.

    >>> from doughwright.gathering.sections import text_gathered
    >>> read = text_gathered("500 g strong flour\n325 g water\n100 g salt")
    >>> [one.doubt.notice.code for one in checked(read, Settings(), {})[1]]  # FE08: ten times
    ['gather-salt-high']
    """
    found = list(_findings(gathered, settings, answers))
    made, told = yields_doubted(gathered, settings, answers)
    changed = _changed(gathered, found)
    return replace(changed, made=made), [*(one.asked for one in found if one.asked), *told]


def _findings(
    gathered: Gathered, settings: Settings, answers: Mapping[str, str]
) -> Iterator[Finding]:
    columns = printed_columns(gathered, settings)
    in_all = list(in_all_doubted(gathered, columns, answers))
    yield from in_all
    compared = readings(_apart_from(columns, in_all))
    sums = list(sums_doubted(columns, borne_out(compared), answers))
    yield from sums
    beside = list(columns_doubted(compared, _told(sums), answers))
    yield from beside
    yield from digits_doubted(columns, _told([*sums, *beside]), answers)
    yield from of_dough_doubted(columns, answers)
    yield from own_shares_doubted(gathered, columns, answers)
    yield from unlikely_lines(gathered, columns, _told([*sums, *beside]), answers)
    yield from methods_doubted(gathered, settings, answers)


def _apart_from(columns: Sequence[Column], in_all: Iterable[Finding]) -> list[Column]:
    """Columns that are no totals of all parts."""
    told = {id(item) for one in in_all for item, _ in one.changes}
    return [
        c for c in columns if c.leads or not all(id(e.item) in told for e in c.entries) or not told
    ]


def _told(found: Iterable[Finding]) -> frozenset[int]:
    return frozenset(id(item) for one in found for item in one.about)


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
    return replace(item, amount=amount, columns=columns, alternatives=alternatives)
