"""Columns that say what all parts of a table come to, held against the sum of the parts."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from doughwright.errors import Notice
from doughwright.gathering.asking import Asked, key_of
from doughwright.gathering.doubts.printed import (
    Column,
    Entry,
    Finding,
    answer_of,
    finest,
    flour_of,
    plain_key,
    said,
    scaled,
    slack,
)
from doughwright.gathering.gathered import Choice, Doubt, Gathered, Item, Origin

OTHER_BATCH = 0.01
"""A total this far from its parts, row for row, is of another batch (assumption)."""

MOST_TRIED = 100
"""Rows by which a factor is looked for: no recipe has more."""

MOST_ODD = 0.5
"""Beyond this share of its rows a column is no total of these parts (assumption)."""


@dataclass(frozen=True, slots=True)
class _Row:
    """A line in the parts, and what a column says it comes to in all."""

    entry: Entry
    parts: tuple[Entry, ...]

    @property
    def sum(self) -> float:
        """What the parts add up to."""
        return sum(part.value for part in self.parts)

    def fits(self, factor: float) -> bool:
        """Whether the column is so many times the parts, as far as the digits say."""
        step = self.entry.step + factor * sum(part.step for part in self.parts)
        return abs(self.entry.value - factor * self.sum) <= step * (1 + 1e-9)


@dataclass(frozen=True, slots=True)
class Whole:
    """A column of totals or their percentages: how many of it one of the parts' measure is."""

    column: Column
    rows: tuple[_Row, ...]
    factor: float
    is_alike: bool
    """Whether the parts are in the same measure."""

    @property
    def odd(self) -> tuple[_Row, ...]:
        """The rows it does not fit."""
        return tuple(row for row in self.rows if not row.fits(self.factor))

    @property
    def is_borne_out(self) -> bool:
        """Whether the column's own printed sum is right once its odd rows say what the parts do."""
        total, entries = self.column.total, self.column.entries
        if total is None or not self.odd:
            return False
        off = sum(row.entry.value - self.factor * row.sum for row in self.odd)
        left = sum(entry.value for entry in entries) - off - total.value
        return abs(left) <= slack([*finest(entries, total), total])

    @property
    def is_apart(self) -> bool:
        """Whether it says another formula."""
        return len(self.odd) > MOST_ODD * len(self.rows)

    @property
    def is_other_batch(self) -> bool:
        """Whether it says the same formula in another size."""
        return self.is_alike and not self.is_apart and abs(self.factor - 1) > OTHER_BATCH


def wholes(columns: Sequence[Column], whole: Sequence[Column]) -> list[Whole]:
    """The columns of totals, each with its rows in the parts."""
    leads = [column for column in columns if column.leads]
    return [one for column in whole if (one := _whole(column, leads))]


def wholes_doubted(
    gathered: Gathered,
    columns: Sequence[Column],
    found: Sequence[Whole],
    answers: Mapping[str, str],
) -> Iterator[Finding]:
    """Totals, and percentages of them, that the parts of their table do not bear out."""
    sound = _sound(columns)
    for at in dict.fromkeys(one.column.at for one in found):
        here = [one for one in found if one.column.at == at]
        plain = [one for one in here if not one.is_apart and not one.is_other_batch]
        yield from _rows_doubted(gathered, plain, sound, answers)
        for one in here:
            if one not in plain:
                yield _column_doubted(one, answers)


def _sound(columns: Sequence[Column]) -> frozenset[int]:
    """Lines (by their identity) of parts whose own printed sum is right."""
    return frozenset(
        id(entry.item)
        for column in columns
        if column.leads and column.total
        if abs(sum(entry.value for entry in column.entries) - column.total.value)
        <= slack([*finest(column.entries, column.total), column.total])
        for entry in column.entries
    )


def _whole(column: Column, leads: Sequence[Column]) -> Whole | None:
    """A column with the rows that its parts have; None where that is none."""
    by_line: dict[Origin, list[Entry]] = {}
    for one in (entry for c in leads for entry in c.own):
        by_line.setdefault(one.item.origin, []).append(one)
    found = ((entry, by_line.get(entry.item.origin)) for entry in column.entries)
    rows = [_Row(entry, tuple(parts)) for entry, parts in found if parts]
    if not rows:
        return None
    is_share = next(c.is_share for c in leads if any(e is rows[0].parts[0] for e in c.entries))
    alike = is_share == column.is_share
    factors = [1.0] if alike else []
    flour = flour_of(part for row in rows for part in row.parts)
    if column.is_share and not is_share and flour > 0:
        factors.append(100 / flour)
    factors += [row.entry.value / row.sum for row in rows[:MOST_TRIED] if row.sum > 0]
    factor = min(factors, key=lambda f: sum(not row.fits(f) for row in rows))
    return Whole(column, tuple(rows), factor, alike)


# --- Single rows ----------------------------------------------------------------------------------


def _rows_doubted(
    gathered: Gathered,
    found: Sequence[Whole],
    sound: frozenset[int],
    answers: Mapping[str, str],
) -> Iterator[Finding]:
    """Each line that one of the columns disagrees with, once.

    It waits for an answer where more speaks against the parts than for them: columns that fit,
    sums that are right if the parts are, and the parts' own sums.
    """
    lines: dict[Origin, list[tuple[Whole, _Row]]] = {}
    for one in found:
        for row in one.rows:
            lines.setdefault(row.entry.item.origin, []).append((one, row))
    for words in lines.values():
        odd = [(one, row) for one, row in words if not row.fits(one.factor)]
        if odd:
            witnesses = len(words) - len(odd) + sum(one.is_borne_out for one, _ in odd)
            witnesses += all(id(part.item) in sound for part in odd[0][1].parts)
            yield _row_doubted(gathered, odd, answers, blocks=len(odd) > witnesses)


def _row_doubted(
    gathered: Gathered,
    odd: Sequence[tuple[Whole, _Row]],
    answers: Mapping[str, str],
    *,
    blocks: bool,
) -> Finding:
    """The question, with what each part would be if the total were right.

    A column that others and the parts outvote is told; nothing waits for the answer.
    """
    one, row = odd[0]
    made = dict(_corrected(gathered, odd)) if blocks else {}
    stand = row.sum
    measured = not one.column.is_share or not one.is_alike
    parts = Choice("parts", _in_parts(one, row), (stand, stand, stand) if measured else None)
    choices = (parts, *(choice for choice, _, _ in made.values()))
    key = f"{key_of(row.entry.item)}:in all"
    answer = answer_of(key, (choice.key for choice in choices), answers)
    changes = () if answer not in made else (made[answer][1:],)
    doubt = Doubt(key, _notice(one, row), choices, answer, blocks)
    return Finding(Asked(doubt), changes, tuple(part.item for part in row.parts))


def _notice(one: Whole, row: _Row) -> Notice:
    name, read = row.entry.item.name, row.entry.words
    if one.is_alike:
        return Notice.of("gather-total-differs", name=name, read=read, found=_sum(one, row))
    return Notice.of("gather-row-differs", name=name, read=_sum(one, row), other=read)


def _in_parts(one: Whole, row: _Row) -> str:
    return f"{_sum(one, row)} in the parts"


def _sum(one: Whole, row: _Row) -> str:
    return _measured(row.sum, one)


def _measured(value: float, one: Whole) -> str:
    """A number in the parts' measure."""
    is_share = one.column.is_share == one.is_alike
    return said(value, Column("", 0, is_share, False, (), None))


def _corrected(
    gathered: Gathered, odd: Sequence[tuple[Whole, _Row]]
) -> Iterator[tuple[str, tuple[Choice, Item, Item]]]:
    """By the key of an answer: the choice, a line as it is, and as that answer has it."""
    told: set[tuple[int, str]] = set()
    for one, row in odd:
        means = row.entry.value / one.factor
        for part in row.parts:
            value = part.value + means - row.sum
            place = id(part.item), f"{value:.3g}"
            if value <= 0 or place in told:
                continue
            told.add(place)
            words = f"{row.entry.words} as in {one.column.key}"
            key = "total" if one.is_alike else plain_key(one.column.key)
            if len(row.parts) > 1:
                title = _title(gathered, part)
                words = f"{_measured(value, one)} in {title}: {words}"
                key = f"{key} by {plain_key(title)}"
            mass = None if one.column.is_share and one.is_alike else (value, value, value)
            yield key, (Choice(key, words, mass), part.item, scaled(part.item, value / part.value))


def _title(gathered: Gathered, part: Entry) -> str:
    sections = (s for s in gathered.sections if any(item is part.item for item in s.items))
    return next((section.title for section in sections), "")


# --- Whole columns --------------------------------------------------------------------------------


def _column_doubted(one: Whole, answers: Mapping[str, str]) -> Finding:
    """A column of another batch, or of nothing that these parts are."""
    key = f"column:{one.column.key}"
    stand = sum(row.sum for row in one.rows)
    words = f"the parts: {_measured(stand, one)}"
    choices = [Choice("parts", words)]
    if one.is_other_batch:
        choices.append(Choice("total", f"{one.column.key}: {_measured(one.factor * stand, one)}"))
    answer = answer_of(key, (choice.key for choice in choices), answers)
    items = [part.item for row in one.rows for part in row.parts]
    changes = [(item, scaled(item, one.factor)) for item in items] if answer == "total" else []
    code = "gather-two-batches" if one.is_other_batch else "gather-columns-differ"
    notice = Notice.of(code, first="the parts", other=one.column.key)
    doubt = Doubt(key, notice, tuple(choices), answer, blocks=not one.is_other_batch)
    return Finding(Asked(doubt), tuple(changes))
