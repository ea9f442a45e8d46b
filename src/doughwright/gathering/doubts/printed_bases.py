"""Two columns of one part against each other: what the second is of, slips and swapped lines."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from doughwright.errors import Notice
from doughwright.gathering.asking import Asked, key_of
from doughwright.gathering.doubts.printed import (
    POWERS,
    Column,
    Entry,
    Finding,
    answer_of,
    flour_of,
    plain_key,
    said,
    scaled,
    slack,
    without,
)
from doughwright.gathering.gathered import Choice, Doubt, Item
from doughwright.gathering.lines.cultures import flour_share
from doughwright.gathering.pages.titles import title_of

LEAST_ROWS = 3
"""Fewer rows than this, the printed total counted, single nobody out."""

COST_OF_SLIP, COST_OF_SWAP, COST_UNEXPLAINED = 2, 3, 6
"""How much rather one misprint is believed than another, in agreeing rows (assumption)."""

MOST_TRIED = 100
"""Rows by which a factor is looked for: no recipe has more."""

MOST_ODD = 20
"""Among more odd rows than this no two are looked for."""

MOST_UNEXPLAINED = 1 / 3
"""Beyond this share of rows a column is not worked out on a part's own flour (assumption)."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line in both columns; ``one`` leads."""

    one: Entry
    other: Entry

    def fits(self, factor: float) -> bool:
        """Whether the second is so many times the first, as far as their digits say."""
        off = abs(self.other.value - factor * self.one.value)
        return off <= (self.other.step + factor * self.one.step) * (1 + 1e-9)

    def power(self, factor: float) -> float | None:
        """What the first would have to be multiplied by to fit; None where no power of ten."""
        return next((p for p in POWERS if self.fits(p * factor)), None)


@dataclass(frozen=True, slots=True)
class Reading:
    """A second column taken as so many times the first, and what that leaves unexplained."""

    first: Column
    second: Column
    factor: float
    rows: tuple[Row, ...]
    slips: tuple[tuple[Row, float], ...]
    swapped: tuple[Row, ...]
    odd: tuple[Row, ...]

    @property
    def cost(self) -> int:
        """How little it is to be believed."""
        slipped = COST_OF_SLIP * len(self.slips) + (COST_OF_SWAP if self.swapped else 0)
        return slipped + COST_UNEXPLAINED * len(self.odd)

    @property
    def is_clear(self) -> bool:
        """Whether what fits outweighs what does not."""
        misfits = len(self.slips) + len(self.odd) + (1 if self.swapped else 0)
        return len(self.rows) >= LEAST_ROWS and 2 * misfits < len(self.rows)


def readings(columns: Sequence[Column]) -> tuple[Reading, ...]:
    """Each second column of each part, by the factor that leaves least unexplained."""
    found = []
    for second in columns:
        first = next((c for c in columns if c.leads and c.at == second.at), None)
        if second.leads or first is None:
            continue
        rows = _rows(first, second)
        if len(rows) > 1:
            factors = _factors(first, second, rows, columns)
            found.append(
                min((_reading(first, second, rows, f) for f in factors), key=lambda one: one.cost)
            )
    return tuple(found)


def _rows(first: Column, second: Column) -> tuple[Row, ...]:
    beside = {id(entry.item): entry for entry in second.entries}
    pairs = ((one, beside.get(id(one.item))) for one in first.entries)
    return tuple(Row(one, two) for one, two in pairs if two and one.value > 0 and two.value > 0)


def _factors(
    first: Column, second: Column, rows: Sequence[Row], columns: Sequence[Column]
) -> Iterator[float]:
    """On all the flour, on the part's own, by the totals, and by each row."""
    if second.is_share:
        whole = [c for c in columns if c.leads and c.counts and c.is_share == first.is_share]
        flour = sum(flour_of(c.own) for c in whole)
        yield from (100 / base for base in (flour, flour_of(first.own)) if base > 0)
    if first.total and second.total and first.total.value > 0:
        yield second.total.value / first.total.value
    exact_first = sorted(rows, key=lambda row: row.one.step / row.one.value)
    yield from (row.other.value / row.one.value for row in exact_first[:MOST_TRIED])


def _reading(first: Column, second: Column, rows: tuple[Row, ...], factor: float) -> Reading:
    odd = [row for row in rows if not row.fits(factor)]
    swapped = _swapped(odd, factor)
    odd = [row for row in odd if row not in swapped]
    powers = [(row, row.power(factor)) for row in odd]
    slips = tuple((row, power) for row, power in powers if power is not None)
    left = tuple(row for row, power in powers if power is None)
    return Reading(first, second, factor, rows, slips, swapped, left)


def _swapped(odd: Sequence[Row], factor: float) -> tuple[Row, ...]:
    """Two rows that fit once they exchange their numbers, the only two of them."""
    if len(odd) > MOST_ODD:
        return ()
    pairs = [
        (one, two)
        for one, two in combinations(odd, 2)
        if replace(one, other=two.other).fits(factor) and replace(two, other=one.other).fits(factor)
    ]
    return pairs[0] if len(pairs) == 1 else ()


def borne_out(found: Sequence[Reading]) -> dict[tuple[int, str], float]:
    """By line and column, what its number is to be multiplied by to agree with the other one."""
    told: dict[tuple[int, str], float] = {}
    for one in found:
        for row, power in one.slips if one.is_clear else ():
            told[id(row.one.item), one.first.key] = power
            told[id(row.one.item), one.second.key] = round(1 / power, 9)
    return told


def firm(found: Sequence[Reading]) -> dict[tuple[int, str], float]:
    """By line and column, how far a number may be off that the other column bears out."""
    told: dict[tuple[int, str], float] = {}
    for one in found:
        for row in one.rows if one.is_clear else ():
            if row.fits(one.factor):
                off = row.other.step + one.factor * row.one.step
                told[id(row.one.item), one.first.key] = off / one.factor
                told[id(row.one.item), one.second.key] = off
    return told


def false_sums(found: Sequence[Reading]) -> frozenset[tuple[int, str]]:
    """Columns, by their part and key, whose printed sum the other column's sum speaks against.

    All rows agree, and the other column adds up.
    """
    told = set()
    for one in found:
        if one.is_clear and not (one.slips or one.swapped or one.odd):
            told |= set(_false_sum(one.first, one.second, one.factor))
            told |= set(_false_sum(one.second, one.first, 1 / one.factor))
    return frozenset(told)


def _false_sum(column: Column, other: Column, factor: float) -> Iterator[tuple[int, str]]:
    if column.total is None or other.total is None:
        return
    adds_up = abs(sum(e.value for e in other.entries) - other.total.value)
    off = abs(other.total.value - factor * column.total.value)
    rounded = (other.total.step + factor * column.total.step) / 2 * (1 + 1e-9)
    if adds_up <= slack([*other.entries, other.total]) and off > rounded:
        yield column.at, column.key


# --- What is asked --------------------------------------------------------------------------------


def columns_doubted(
    found: Sequence[Reading], told: frozenset[int], answers: Mapping[str, str]
) -> Iterator[Finding]:
    """Slips, swapped lines, and columns that are of their own part's flour.

    ``told`` are lines (by their identity) that were asked about already.
    """
    for one in found:
        is_own = _is_on_own_flour(one, found)
        if is_own and title_of(one.second.key) is None:  # else its head says whose it is
            yield _own_base(one, found, answers)
        if not one.is_clear:
            continue
        if one.swapped:
            yield _exchanged(one, answers)
        yield from (_slip(one, *slip, answers) for slip in one.slips if _id(slip[0]) not in told)
        if is_own:
            yield from (_differing(one, row, answers) for row in one.odd if _id(row) not in told)


def _id(row: Row) -> int:
    return id(row.one.item)


def _is_on_own_flour(one: Reading, found: Sequence[Reading]) -> bool:
    """Whether a column of percentages is of its part's flour where the bread has more."""
    own, whole = flour_of(one.first.own), _flour(one, found)
    if not one.second.is_share or one.first.is_share or not 0 < own < 0.999 * whole:
        return False
    by_own, by_whole = (_misfits(one, 100 / base) for base in (own, whole))
    return by_own < by_whole and by_own <= MOST_UNEXPLAINED * len(one.rows)


def _misfits(one: Reading, factor: float) -> int:
    return sum(not row.fits(factor) for row in one.rows)


def _flour(one: Reading, found: Sequence[Reading]) -> float:
    whole = [other.first for other in found if other.first.counts]
    firsts = {id(first): first for first in whole if not first.is_share}
    return sum(flour_of(first.own) for first in firsts.values()) or flour_of(one.first.own)


def _own_base(one: Reading, found: Sequence[Reading], answers: Mapping[str, str]) -> Finding:
    line = one.rows[0].one.item.origin.line
    own, whole = flour_of(one.first.own), _flour(one, found) + _brought(found, answers)
    notice = Notice.of("gather-own-base", column=one.second.key or "%", own=own, whole=whole)
    key = f"{line}:{plain_key(one.second.key)}:base"
    choice = Choice("own flour", f"each of them times {own / whole:.4g} is of all the flour")
    doubt = Doubt(key, notice, (choice,), answer_of(key, ("own flour",), answers), blocks=False)
    items = tuple(row.one.item for row in one.rows)
    return Finding(Asked(doubt), tuple((i, without(i, one.second.key)) for i in items))


def _brought(found: Sequence[Reading], answers: Mapping[str, str]) -> float:
    """The flour in cultures, as far as their water is known: percentages leave it out."""
    firsts = {id(one.first): one.first for one in found if one.first.counts}
    own = [entry for first in firsts.values() if not first.is_share for entry in first.own]
    shares = (flour_share(entry.item, key_of(entry.item), answers) for entry in own)
    return sum(entry.value * (share or 0.0) for entry, share in zip(own, shares, strict=True))


def _slip(one: Reading, row: Row, power: float, answers: Mapping[str, str]) -> Finding:
    item, value = row.one.item, row.one.value * power
    other = said(row.other.value / power, one.second)
    key = f"{key_of(item)}:{plain_key(one.second.key)} point"
    choices = (
        _weighing("moved", f"{said(value, one.first)} for {row.one.words}", one.first, value),
        _weighing(
            "this",
            f"{row.one.words} stands, and {row.other.words} is {other}",
            one.first,
            row.one.value,
        ),
    )
    answer = answer_of(key, ("moved", "this"), answers)
    doubt = Doubt(key, _notice("gather-point", one, row), choices, answer)
    made = scaled(item, power) if answer == "moved" else item
    return Finding(Asked(doubt), ((item, without(made, one.second.key)),), (item,))


def _differing(one: Reading, row: Row, answers: Mapping[str, str]) -> Finding:
    item, value = row.one.item, row.other.value / one.factor
    key = f"{key_of(item)}:{plain_key(one.second.key)}"
    choices = (
        _weighing("this", row.one.words, one.first, row.one.value),
        _weighing("other", f"{row.other.words} ({said(value, one.first)})", one.first, value),
    )
    answer = answer_of(key, ("this", "other"), answers)
    doubt = Doubt(key, _notice("gather-row-differs", one, row), choices, answer)
    made = scaled(item, value / row.one.value) if answer == "other" else item
    return Finding(Asked(doubt), ((item, without(made, one.second.key)),), (item,))


def _notice(code: str, one: Reading, row: Row) -> Notice:
    values = {"name": row.one.item.name, "read": row.one.words, "other": row.other.words}
    more = {"rows": len(one.rows)} if code == "gather-point" else {}
    return Notice.of(code, **values, **more)


def _weighing(key: str, words: str, column: Column, value: float) -> Choice:
    return Choice(key, words, None if column.is_share else (value, value, value))


def _exchanged(one: Reading, answers: Mapping[str, str]) -> Finding:
    """Two lines that stand in each other's place in one of the columns."""
    first, second = one.swapped
    key = f"{key_of(first.one.item)}:{plain_key(one.second.key)} swapped"
    names = {"name": first.one.item.name, "other": second.one.item.name}
    choices = (
        Choice("swapped", _pair(first, second.one.words, second, first.one.words)),
        Choice("this", _pair(first, first.one.words, second, second.one.words)),
    )
    answer = answer_of(key, ("swapped", "this"), answers)
    notice = Notice.of("gather-swapped", **names, read=first.one.words, beside=second.one.words)
    made = _traded(first, second) if answer == "swapped" else (first.one.item, second.one.item)
    kept = tuple(without(item, one.second.key) for item in made)
    items = (first.one.item, second.one.item)
    return Finding(
        Asked(Doubt(key, notice, choices, answer)), tuple(zip(items, kept, strict=True)), items
    )


def _pair(first: Row, read: str, second: Row, beside: str) -> str:
    return f"{first.one.item.name} {read}, {second.one.item.name} {beside}"


def _traded(first: Row, second: Row) -> tuple[Item, Item]:
    one, two = first.one.item, second.one.item
    return replace(one, amount=two.amount), replace(two, amount=one.amount)
