"""Two lines of one list that stand in each other's place, found by what breads are.

It is only asked where the dough as it stands is none, and where the exchange alone makes it one.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations
from types import MappingProxyType

from doughwright.engine.ingredients import Ingredient
from doughwright.engine.plausibility import threshold
from doughwright.errors import Notice
from doughwright.gathering.asking import Asked, key_of
from doughwright.gathering.doubts.printed import POWERS, Entry, Finding, answer_of, said, scaled
from doughwright.gathering.doubts.unlikely import Dough, softens
from doughwright.gathering.gathered import Choice, Doubt, Item
from doughwright.gathering.weighing.weights import WEIGHT_OF

BATTER = 1.25
"""Water on flour beyond which not even a soft dough holds together (assumption)."""

LEAST_YEAST = 0.001
"""Fresh yeast on flour, of a dough left a day: less is not put in another line's place."""

MOST: Mapping[str, float] = MappingProxyType({"sugar": 0.35, "fat": 0.8, "egg": 1.0, "spice": 0.05})
"""Of the flour, by kind: more is no bread's (assumption, brioche and panettone being below)."""

MOST_LINES = 40
"""No list of one dough is longer; beyond it the pairs are too many to try."""

KINDS = frozenset({"flour", "liquid", "dairy", "salt", "yeast", "sugar", "fat"})
"""Kinds of which one may stand in another's place; of a kilogram of potatoes it is meant."""

Rows = tuple[tuple[Entry, Ingredient], ...]


def exchanged_lines(
    dough: Dough, told: frozenset[int], answers: Mapping[str, str]
) -> Iterator[Finding]:
    """The question whether two lines changed places; ``told`` are lines asked about already."""
    rows = tuple((entry, entry.row) for entry in dough.entries if entry.row)
    is_whole = not dough.lacks and len(rows) == len(dough.entries)
    if len(rows) > MOST_LINES or any(
        _may_be(rows, more, is_whole=is_whole) for more in (0.0, dough.unnamed)
    ):
        return
    twice = [pair for pair in combinations(rows, 2) if _is_again(rows, pair)]
    pairs = [pair for pair in combinations(rows, 2) if _is_one(rows, pair)]
    lines = {id(entry.item): entry for pair in (*pairs, *twice) for entry, _ in pair}
    if lines and not any(line in told for line in lines):
        yield _finding(dough, rows, pairs, twice, list(lines.values()), answers)


# --- What a bread is ------------------------------------------------------------------------------


def _may_be(rows: Rows, more: float, *, is_whole: bool) -> bool:
    """Whether lines may be meant as they stand, however odd; some may be missing to the whole.

    ``more`` is flour beside them, as far as it is known.
    """
    flour, salt, yeast, water = _shares(rows, more)
    if not flour or not (yeast or any(row.kind == "starter" for _, row in rows)):
        return True
    salted = salt <= threshold("salt_inedible")
    wet = not is_whole or threshold("hydration_low") <= water <= BATTER
    return salted and yeast <= threshold("yeast_high") and wet


def _is_bread(rows: Rows) -> bool:
    """Whether lines are a dough that nobody would stop at."""
    flour, salt, yeast, water = _shares(rows)
    if not flour or any(_kind_share(rows, kind) > most * flour for kind, most in MOST.items()):
        return False
    salted = not salt or threshold("salt_low") <= salt <= threshold("salt_high")
    raised = not yeast or LEAST_YEAST <= yeast <= threshold("yeast_high")
    return salted and raised and threshold("hydration_low") <= water <= 1.0


def _shares(rows: Rows, more: float = 0.0) -> tuple[float, float, float, float]:
    """The flour, and salt, fresh yeast and water on it."""
    flour = more + sum(entry.value * row.flour for entry, row in rows)
    salt = sum(entry.value for entry, row in rows if row.kind == "salt")
    yeast = sum(entry.value * entry.raises for entry, _ in rows)
    water = sum(entry.value * softens(row) for entry, row in rows)
    on = 1 / flour if flour else 0.0
    return flour, salt * on, yeast * on, water * on


def _kind_share(rows: Rows, kind: str) -> float:
    return sum(entry.value for entry, row in rows if row.kind == kind)


def _is_one(rows: Rows, pair: Sequence[tuple[Entry, Ingredient]]) -> bool:
    """Whether two lines make a bread of all once they are exchanged."""
    (one, first), (other, second) = pair
    plain = _is_plain(one.item) and _is_plain(other.item)
    if not plain or not {first.kind, second.kind} <= KINDS or _unit(one) != _unit(other):
        return False
    return _is_bread(_with(rows, {id(one): other.value, id(other): one.value}))


def _unit(entry: Entry) -> bool:
    """Whether it is written as a share, which no weight stands in the place of."""
    return entry.item.amount is not None and entry.item.amount.unit == "%"


def _is_again(rows: Rows, pair: Sequence[tuple[Entry, Ingredient]]) -> bool:
    """Whether two lines say the same of the same, and make a bread of all with one of them."""
    (one, first), (other, second) = pair
    same = first is second and one.item.name.casefold() == other.item.name.casefold()
    if not same or one.item.amount is None or one.item.amount != other.item.amount:
        return False
    return _is_bread(_with(rows, {id(other): 0.0}))


def _is_plain(item: Item) -> bool:
    """Whether an amount is one weight, or one share, and may stand in another line."""
    amount = item.amount
    if amount is None or amount.more or amount.package or item.alternatives:
        return False
    return amount.unit in WEIGHT_OF or amount.unit == "%"


def _with(rows: Rows, values: Mapping[int, float]) -> Rows:
    return tuple((replace(e, value=values.get(id(e), e.value)), row) for e, row in rows)


# --- The question ---------------------------------------------------------------------------------


def _finding(
    dough: Dough,
    rows: Rows,
    pairs: Sequence[Sequence[tuple[Entry, Ingredient]]],
    twice: Sequence[Sequence[tuple[Entry, Ingredient]]],
    lines: Sequence[Entry],
    answers: Mapping[str, str],
) -> Finding:
    """Each exchange, each moved point that would do as well, and the lines as they stand."""
    (first, _), (second, _) = (*pairs, *twice)[0]
    again = {f"{_name(b)} once": (a, b) for (a, _), (b, _) in twice}
    swaps = {f"{_name(a)} and {_name(b)}": (a, b) for (a, _), (b, _) in pairs}
    points = {
        f"{_name(e)} times {f:g}": (e, f) for e in lines for f in POWERS if _moves(rows, e, f)
    }
    choices = (
        *(
            Choice(key, f"{b.item.name} {b.words} is printed twice")
            for key, (_, b) in again.items()
        ),
        *(Choice(key, _swapped(a, b)) for key, (a, b) in swaps.items()),
        *(
            Choice(key, f"{_name(e)}: {said(f * e.value, dough.column)}")
            for key, (e, f) in points.items()
        ),
        Choice("this", f"{_beside(first, first)}, {_beside(second, second)}"),
    )
    key = f"{key_of(first.item)}:place"
    answer = answer_of(key, (choice.key for choice in choices), answers)
    notice = _notice(first, second, dough) if pairs else _told_twice(first)
    changes: tuple[tuple[Item, Item], ...]
    if answer in again:
        changes = ((again[answer][1].item, _left_out(again[answer][1].item)),)
    elif answer in swaps:
        changes = _traded(*swaps[answer])
    else:
        changes = tuple((e.item, scaled(e.item, f)) for k, (e, f) in points.items() if k == answer)
    about = tuple(entry.item for entry, _ in rows)
    return Finding(Asked(Doubt(key, notice, choices, answer)), changes, about)


def _notice(first: Entry, second: Entry, dough: Dough) -> Notice:
    return Notice.of(
        "gather-places",
        name=first.item.name,
        read=first.words,
        share=first.value / dough.flour,
        other=second.item.name,
        beside=second.words,
        part=second.value / dough.flour,
    )


def _told_twice(entry: Entry) -> Notice:
    return Notice.of("gather-twice", name=entry.item.name, read=entry.words)


def _moves(rows: Rows, entry: Entry, factor: float) -> bool:
    return _is_plain(entry.item) and _is_bread(_with(rows, {id(entry): factor * entry.value}))


def _name(entry: Entry) -> str:
    return " ".join(entry.item.name.casefold().replace("=", " ").split())


def _swapped(one: Entry, other: Entry) -> str:
    return f"{_beside(one, other)}, {_beside(other, one)}"


def _beside(one: Entry, other: Entry) -> str:
    return f"{one.item.name} {other.words}"


def _left_out(item: Item) -> Item:
    """A line that stays as a remark alone."""
    return replace(item, amount=None, columns=(), use="drained")


def _traded(one: Entry, other: Entry) -> tuple[tuple[Item, Item], ...]:
    first, second = one.item, other.item
    return (
        (first, replace(first, amount=second.amount, columns=second.columns)),
        (second, replace(second, amount=first.amount, columns=first.columns)),
    )
