"""Totals that the lines above them do not add up to, and which one number would explain it."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.errors import Notice
from doughwright.gathering.asking import Asked, key_of
from doughwright.gathering.doubts.printed import (
    POWERS,
    Column,
    Entry,
    Finding,
    Total,
    answer_of,
    finest,
    plain_key,
    said,
    scaled,
    slack,
)
from doughwright.gathering.gathered import Choice, Doubt, Item
from doughwright.gathering.lines.unit_words import WEIGHTS

TOLD = 0.003
"""A total that is off by less is rounded, unless one slipped point explains it (I11: 0.3 %)."""

EXPLAINED = 0.2
"""A moved point that leaves more than this of the difference explains nothing (assumption)."""

EXACT = 0.5
"""Of its last digit, by which another reading of a number may leave a total off."""

AS_PRINTED = "lines"
"""The choice that the lines stand, and the total is the misprint."""


_NUMBER = re.compile(r"(\d+(?:[.,]\d+)?)\s*[^\d/½¼¾⅓⅔⅛-]*")


@dataclass(frozen=True, slots=True)
class Slip:
    """One number that is so many times what it should be the other way round."""

    entry: Entry
    factor: float
    number: str = ""
    """What it would be with one other digit, or two of its digits exchanged."""

    @property
    def key(self) -> str:
        """What an answer names it by."""
        meant = f"as {self.number}" if self.number else f"times {self.factor:g}"
        return f"{key_of(self.entry.item)} {meant}"


@dataclass(frozen=True, slots=True)
class _Sum:
    """A total with the entries it is of."""

    total: Total
    entries: tuple[Entry, ...]

    @property
    def off(self) -> float:
        """How much the lines have too much."""
        return sum(entry.value for entry in self.entries) - self.total.value

    @property
    def loose(self) -> float:
        """What rounding of each number by its own digits allows."""
        return slack([*self.entries, self.total])

    @property
    def strict(self) -> float:
        """What rounding allows if all lines are as exact as the most exact of them."""
        return slack([*finest(self.entries, self.total), self.total])

    def slips(self) -> list[Slip]:
        """The numbers that make the total fit with their point moved; the flour's hundred not."""
        if self.total.words.endswith("%") and abs(abs(self.off) - 100) <= self.strict:
            return []
        within = self.strict
        if abs(self.off) > self.loose:
            within = max(self.strict, min(self.loose, EXPLAINED * abs(self.off)))
        found = [Slip(entry, power) for entry in self.entries for power in POWERS]
        return sorted(
            (slip for slip in found if self._left(slip) <= within),
            key=self._left,
        )

    def misprints(self) -> list[Slip]:
        """The numbers that make the total fit exactly with a digit changed, or two exchanged."""
        if self.total.words.endswith("%") and abs(abs(self.off) - 100) <= self.strict:
            return []
        found = (slip for entry in self.entries for slip in _respelled(entry))
        return [slip for slip in found if self._left(slip) <= self._exact]

    def left_out(self) -> list[Entry]:
        """The lines that the total is right without."""
        return [entry for entry in self.entries if abs(entry.value - self.off) <= self._exact]

    @property
    def _exact(self) -> float:
        finest_step = min(figure.step for figure in (*self.entries, self.total))
        return EXACT * finest_step * (1 + 1e-6)

    def _left(self, slip: Slip) -> float:
        return abs(self.off + (slip.factor - 1) * slip.entry.value)


def _respelled(entry: Entry) -> Iterator[Slip]:
    """A number with one digit changed, or two neighbours exchanged; ranges and fractions none."""
    found = _NUMBER.fullmatch(entry.words)
    number = found[1] if found else "0"
    value = float(number.replace(",", "."))
    if not value:
        return
    for other in dict.fromkeys(_spellings(number)):
        read = float(other.replace(",", "."))
        if other != number and read:
            yield Slip(entry, read / value, other)


def _spellings(number: str) -> Iterator[str]:
    for at, sign in enumerate(number):
        if sign.isdigit():
            first = at == 0 and len(number) > 1 and number[1].isdigit()
            for digit in "123456789" if first else "0123456789":
                yield f"{number[:at]}{digit}{number[at + 1 :]}"
        if number[at : at + 2].isdigit() and len(number[at : at + 2]) == 2:
            yield f"{number[:at]}{number[at + 1]}{sign}{number[at + 2 :]}"


def sums_doubted(
    columns: Sequence[Column],
    borne_out: Mapping[tuple[int, str], float],
    firm: Mapping[tuple[int, str], float],
    false: frozenset[tuple[int, str]],
    answers: Mapping[str, str],
) -> Iterator[Finding]:
    """Each printed total that does not fit, with the candidates.

    ``borne_out`` are lines (by their identity) and columns where another column says the number
    should be so many times as large: if one of them explains the total as well, it is the one.
    ``firm`` are those that another column bears out, with how far they may be off by it, and
    ``false`` the sums it speaks against: of those no line is a candidate.
    """
    for column in columns:
        found = _misfit(column, columns)
        if found is not None:
            of_lines = (
                [] if (column.at, column.key) in false else _singled(column, found, borne_out, firm)
            )
            yield _finding(column, found, of_lines, answers)


def _misfit(column: Column, columns: Sequence[Column]) -> _Sum | None:
    """The sum a total comes nearest to, where it fits none."""
    if column.total is None:
        return None
    sums = [_Sum(column.total, entries) for entries in _scopes(column, columns)]
    weighed = [replace(one, entries=tuple(filter(_is_weighed, one.entries))) for one in sums]
    if any(_fits(one) for one in (*sums, *weighed)):
        return None
    nearest = min(sums, key=lambda one: (not one.slips(), abs(one.off)))
    return None if column.lacks and nearest.off < 0 else nearest


def _is_weighed(entry: Entry) -> bool:
    """Whether a line has its weight written; a total may leave out what is counted or spooned."""
    amount = entry.item.amount
    units = {one.unit for one in (amount, *amount.same)} if amount else {"g"}
    return not units.isdisjoint({*WEIGHTS, "%"})


def _fits(one: _Sum) -> bool:
    off = abs(one.off)
    if off <= one.strict or (off <= one.loose and not one.slips()):
        return True
    return off <= TOLD * one.total.value and not one.slips()


def _scopes(column: Column, columns: Sequence[Column]) -> Iterator[tuple[Entry, ...]]:
    """What a total may be of: its own part, or all parts down to it."""
    yield column.entries
    before = [c for c in columns if c.at <= column.at and _is_alike(c, column)]
    if len(before) > 1:
        yield tuple(entry for one in before for entry in one.own)


def _is_alike(one: Column, other: Column) -> bool:
    return one.is_share == other.is_share and one.leads == other.leads and one.key == other.key


def _singled(
    column: Column,
    found: _Sum,
    borne_out: Mapping[tuple[int, str], float],
    firm: Mapping[tuple[int, str], float],
) -> list[Slip]:
    """The lines that may be the misprint: those another column names, else all it does not deny."""
    slips = found.slips()
    singled = [s for s in slips if borne_out.get(_place(s, column)) == s.factor]
    return singled or [s for s in (*found.misprints(), *slips) if not _is_firm(s, column, firm)]


def _finding(
    column: Column, found: _Sum, singled: Sequence[Slip], answers: Mapping[str, str]
) -> Finding:
    key = f"{found.total.line}:{plain_key(column.key)}:total".replace("::", ":")
    choices = (*(_choice(slip, column) for slip in singled), _as_printed(found, column))
    answer = answer_of(key, (choice.key for choice in choices), answers)
    blocks = column.leads and any(not slip.number for slip in singled)
    doubt = Doubt(key, _notice(found, column), choices, answer, blocks)
    about = tuple(slip.entry.item for slip in singled if not slip.number)
    changes = tuple(_settled(slip, column, answer) for slip in singled)
    return Finding(Asked(doubt), changes, about)


def _is_firm(slip: Slip, column: Column, firm: Mapping[tuple[int, str], float]) -> bool:
    """Whether another column says that a number is right as it stands."""
    allowed = firm.get(_place(slip, column))
    return allowed is not None and abs(slip.factor - 1) * slip.entry.value > 2 * allowed


def _place(slip: Slip, column: Column) -> tuple[int, str]:
    return id(slip.entry.item), column.key


def _choice(slip: Slip, column: Column) -> Choice:
    item, value = slip.entry.item, slip.entry.value * slip.factor
    words = f"{item.name}: {said(value, column)} for {slip.entry.words}"
    return Choice(slip.key, words, None if column.is_share else (value, value, value))


def _as_printed(found: _Sum, column: Column) -> Choice:
    words = f"the lines stand, the total is {said(found.total.value + found.off, column)}"
    left_out = " or ".join(dict.fromkeys(entry.item.name for entry in found.left_out()))
    return Choice(AS_PRINTED, f"{words}; it may leave out {left_out}" if left_out else words)


def _settled(slip: Slip, column: Column, answer: str) -> tuple[Item, Item]:
    """A line after the answer; what its column says of a moved point is not asked once more."""
    item = slip.entry.item
    moved = column.leads and answer == slip.key
    made = scaled(item, slip.factor) if moved else item
    return item, replace(made, columns=()) if moved or not slip.number else made


def _notice(found: _Sum, column: Column) -> Notice:
    return Notice.of(
        "gather-total",
        printed=found.total.words,
        found=said(found.total.value + found.off, column),
    )
