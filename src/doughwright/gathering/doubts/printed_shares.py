"""Columns on another base: of the dough, of each part's own flour."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.errors import Notice
from doughwright.gathering.asking import Asked, key_of
from doughwright.gathering.doubts.printed import (
    Column,
    Entry,
    Finding,
    answer_of,
    flour_of,
    said,
    scaled,
    slack,
    times,
)
from doughwright.gathering.gathered import Choice, Doubt, Item

HUNDRED = 0.1
"""A batch that percentages of the dough look like, in kg."""

LEAST_LINES = 5
"""Fewer lines may be a batch of 100 g (assumption)."""

WHOLE = 0.01
"""Flour this near to 100 % in each part is of that part (assumption)."""

LEAST_AGREE, OUTNUMBER = 5, 4
"""So many rows, and so many for each odd one, must fit to the last digit (assumption)."""


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
