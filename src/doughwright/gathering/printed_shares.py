"""Columns on another base: of the dough, of each part's own flour, of all parts together."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.errors import Notice
from doughwright.gathering.gathered import Choice, Doubt, Gathered, Item
from doughwright.gathering.printed import (
    Column,
    Entry,
    Finding,
    answer_of,
    flour_of,
    named_parts,
    said,
    scaled,
    slack,
    times,
    without,
)
from doughwright.gathering.questions import Asked, key_of

HUNDRED = 0.1
"""A batch that percentages of the dough look like, in kg."""

LEAST_LINES = 5
"""Fewer lines may be a batch of 100 g (assumption)."""

WHOLE = 0.01
"""Flour this near to 100 % in each part is of that part (assumption)."""

LEAST_AGREE, OUTNUMBER = 5, 4
"""So many rows, and so many for each odd one, must fit to the last digit (assumption)."""

_IN_ALL = re.compile(r"\b(?:total|overall|in all)\b", re.IGNORECASE)


# --- Percent of the dough -------------------------------------------------------------------------


def of_dough_doubted(columns: Sequence[Column], answers: Mapping[str, str]) -> Iterator[Finding]:
    """Weights that add up to a hundred grams: percent of the dough under the wrong head."""
    leads = [column for column in columns if column.leads]
    entries = [entry for column in leads for entry in column.own]
    if not leads or any(column.is_share or column.lacks for column in leads):
        return
    mass, flour = sum(entry.value for entry in entries), flour_of(entries)
    is_fine = sum(entry.step < 0.001 for entry in entries) * 2 >= len(entries) >= LEAST_LINES
    if not is_fine or not flour or abs(mass - HUNDRED) > slack(entries):
        return
    found = said(mass, leads[0])
    choices = (
        Choice("weights", f"a batch of {found}"),
        Choice("percent", "percent of the dough, counted on the flour"),
    )
    answer = answer_of("of dough", ("weights", "percent"), answers)
    doubt = Doubt("of dough", Notice.of("gather-of-dough", found=found), choices, answer)
    changes = tuple((e.item, _shared(e, flour)) for e in entries) if answer == "percent" else ()
    yield Finding(Asked(replace(doubt, blocks=False)), changes)


def _shared(entry: Entry, flour: float) -> Item:
    """A line with its share of the flour for its weight."""
    share, item = 100 * entry.value / flour, entry.item
    if item.amount is None:
        return item
    one = times(item.amount, share / item.amount.best)
    return replace(item, amount=replace(one, unit="%", more=(), same=(), package=None), columns=())


# --- To the last digit ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Pair:
    """A line of the baker's percentages, and what another column works out from it."""

    exact: Entry
    worked: Entry
    leads: bool
    within: float = 0.0

    def fits(self, factor: float) -> bool:
        """Whether the second is so many times the first, as both are rounded."""
        off = abs(self.worked.value - factor * self.exact.value)
        return off <= (self.worked.step + factor * self.within) / 2 * (1 + 1e-6)


def digits_doubted(
    columns: Sequence[Column], told: frozenset[int], answers: Mapping[str, str]
) -> Iterator[Finding]:
    """Numbers that are not what the baker's percentages beside them come to, by their digits."""
    for key, other in _against_percent(columns):
        factor, pairs = _worked_out(list(_pairs(columns, key, other)))
        odd = [pair for pair in pairs if not pair.fits(factor)]
        rows = len(pairs) - len(odd)
        for pair in odd:
            if id(pair.worked.item) not in told and _is_slight(pair, factor):
                yield _digit(pair, factor, rows, columns, answers)


def _against_percent(columns: Sequence[Column]) -> Iterator[tuple[str, str]]:
    """Keys of columns whose flour is a hundred, of percent or kg, with each key beside it."""
    for key in dict.fromkeys(column.key for column in columns):
        flour = sum(flour_of(c.own) for c in columns if c.key == key)
        if abs(flour - 100) < WHOLE:
            others = dict.fromkeys(column.key for column in columns if column.key != key)
            yield from ((key, other) for other in others)


def _pairs(columns: Sequence[Column], key: str, other: str) -> Iterator[_Pair]:
    exact = {id(e.item): e for c in columns if c.key == key for e in c.own}
    for column in columns:
        for entry in column.own if column.key == other else ():
            if id(entry.item) in exact and exact[id(entry.item)].value > 0:
                yield _Pair(exact[id(entry.item)], entry, column.leads)


def _worked_out(pairs: list[_Pair]) -> tuple[float, list[_Pair]]:
    """The factor most rows agree on, with the rows; none of them where there is no such factor.

    Percentages are as exact as the most exact of them; beside shares of the dough, wholly.
    """
    if not pairs:
        return 0.0, []
    step = min(pair.exact.step for pair in pairs)
    rounded = [replace(pair, within=step) for pair in pairs]
    factor = _by_most(rounded)
    agree = _agree(rounded, factor)
    if agree >= LEAST_AGREE and agree >= OUTNUMBER * (len(pairs) - agree):
        return factor, rounded
    factor = 100 / sum(pair.exact.value for pair in pairs)
    agree = _agree(pairs, factor)
    is_of_dough = abs(sum(pair.worked.value for pair in pairs) - 100) < 1
    return (factor, pairs) if is_of_dough and agree >= 2 * (len(pairs) - agree) else (0.0, [])


def _by_most(pairs: Sequence[_Pair]) -> float:
    """The middle of the factors that most rows agree on."""
    halves = [(p, (p.worked.step / 2, -p.worked.step / 2)) for p in pairs]
    ends = [(p.worked.value + half) / p.exact.value for p, both in halves for half in both]
    most = max(_agree(pairs, end) for end in ends)
    inside = [end for end in ends if _agree(pairs, end) == most]
    return (min(inside) + max(inside)) / 2


def _agree(pairs: Sequence[_Pair], factor: float) -> int:
    return sum(pair.fits(factor) for pair in pairs)


def _is_slight(pair: _Pair, factor: float) -> bool:
    """Whether the difference is of digits, which the comparison of columns does not tell."""
    off = abs(pair.worked.value - factor * pair.exact.value)
    return off <= pair.worked.step + factor * pair.exact.step


def _digit(
    pair: _Pair,
    factor: float,
    rows: int,
    columns: Sequence[Column],
    answers: Mapping[str, str],
) -> Finding:
    column = next(c for c in columns if pair.worked in c.entries)
    item, fits = pair.worked.item, factor * pair.exact.value
    words = said(round(fits / pair.worked.step) * pair.worked.step, column)
    key = f"{key_of(item)}:digit"
    choices = (Choice("this", pair.worked.words), Choice("other", words))
    answer = answer_of(key, ("this", "other"), answers)
    notice = Notice.of(
        "gather-digit",
        name=item.name,
        read=pair.worked.words,
        other=pair.exact.words,
        fits=words,
        rows=rows,
    )
    moved = pair.leads and answer == "other"
    changes = ((item, scaled(item, fits / pair.worked.value)),) if moved else ()
    return Finding(Asked(Doubt(key, notice, choices, answer, blocks=False)), changes)


# --- Of each part's own flour ---------------------------------------------------------------------


def own_shares_doubted(
    gathered: Gathered, columns: Sequence[Column], answers: Mapping[str, str]
) -> Iterator[Finding]:
    """Percentages alone, in each part of its own flour: what a part takes says how much it is."""
    leads = {column.at: column for column in columns if column.leads and column.is_share}
    floured = {at: flour_of(c.own) for at, c in leads.items() if flour_of(c.own) > 0}
    scales = _scales(gathered, leads)
    if len(floured) < 2 or not floured.keys() <= scales.keys():
        return
    if any(abs(flour - 100) > 100 * WHOLE for flour in floured.values()):
        return
    whole = sum(scales[at] * flour for at, flour in floured.items()) / 100
    taken = min(floured, key=lambda at: scales[at])
    share = scales[taken] * floured[taken] / 100 / whole
    choices = (
        Choice("own flour", "each part of its own flour, counted on all the flour"),
        Choice("this", "as they stand"),
    )
    answer = answer_of("own shares", ("own flour", "this"), answers)
    part = gathered.sections[taken].title
    notice = Notice.of("gather-own-shares", part=part, share=share)
    changes = tuple(
        (entry.item, scaled(entry.item, scales[at] / whole))
        for at, column in leads.items()
        for entry in column.own
        if at in scales
    )
    doubt = Doubt("own shares", notice, choices, answer)
    yield Finding(Asked(doubt), changes if answer == "own flour" else ())


def _scales(gathered: Gathered, leads: Mapping[int, Column]) -> dict[int, float]:
    """How much of each part goes with the last one's hundred, by the lines that take it."""
    takes = {
        part: (at, entry.value)
        for at, column in leads.items()
        for item, part in named_parts(gathered, at)
        for entry in column.parts
        if entry.item is item
    }
    scales = {at: 1.0 for at in leads if at not in takes}
    if len(scales) != 1:
        return {}
    for _ in takes:
        for part, (taker, value) in takes.items():
            made = sum(entry.value for entry in leads[part].entries) if part in leads else 0.0
            if taker in scales and made > 0:
                scales[part] = scales[taker] * value / made
    return scales


# --- A column of all parts together ---------------------------------------------------------------


def in_all_doubted(
    gathered: Gathered, columns: Sequence[Column], answers: Mapping[str, str]
) -> Iterator[Finding]:
    """What a column of totals says of each ingredient, against what the parts take of it."""
    keys = {key for s in gathered.sections for i in s.items for key, _ in i.columns}
    leads = [entry for column in columns if column.leads for entry in column.entries]
    for column in columns:
        if column.leads or not _IN_ALL.search(column.key) or len(keys) < 2:
            continue
        for entry in column.entries:
            same = [e for e in leads if _plain(e) == _plain(entry)]
            yield _in_all(column, entry, same, answers)


def _plain(entry: Entry) -> str:
    return entry.item.name.casefold()


def _in_all(
    column: Column, entry: Entry, same: Sequence[Entry], answers: Mapping[str, str]
) -> Finding:
    """The question, where they differ; what the column says is settled either way."""
    item, parts = entry.item, sum(one.value for one in same)
    kept = ((item, without(item, column.key)),)
    if abs(parts - entry.value) <= slack([entry, *same]) or column.is_share or not same:
        return Finding(None, kept)
    key = f"{key_of(item)}:in all"
    choices = [Choice("parts", f"{said(parts, column)} in the parts", (parts, parts, parts))]
    if len(same) == 1:
        value = entry.value
        choices.append(Choice("total", f"{entry.words} as in the total", (value, value, value)))
    answer = answer_of(key, (choice.key for choice in choices), answers)
    notice = Notice.of(
        "gather-total-differs", name=item.name, read=entry.words, found=said(parts, column)
    )
    made = scaled(item, entry.value / parts) if answer == "total" else item
    doubt = Doubt(key, notice, tuple(choices), answer, blocks=len(same) == 1)
    return Finding(Asked(doubt), ((item, without(made, column.key)),), (item,))
