"""How far a use reaches that a line says at its end: over the egg and its milk, or the milk alone.

What is beaten together is one wash. "2 eggs, plus 1 yolk for glazing" are two things. Where
neither is plain the line before it keeps both, and the baker is asked.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from doughwright.engine.ingredients import Ingredient
from doughwright.gathering.gathered import Amount, Item, Use
from doughwright.gathering.lines.names import described

MOST_THINNING = 60.0
"""Of a liquid in a wash, in g or ml, where more is likely the dough's own (assumption)."""

_SMALL: dict[str, float] = {
    **dict.fromkeys(("g", "ml"), MOST_THINNING),
    "cl": 6,
    "dl": 0.6,
    "oz": 2,
    "fl oz": 2,
    "cup": 0.25,
    "tbsp": 4,
    "dsp": 6,
    "tsp": 12,
    **dict.fromkeys(("pinch", "dash", "drop", "splash", "drizzle", "squeeze", "krm", "knob"), 99),
}
_THIN = frozenset({"liquid", "dairy", "salt", "sugar", "fat"})
"""Kinds that an egg is beaten with for a wash."""

_SPREAD = _THIN | {"egg", "seed", "nut", "spice", "fruit"}
"""Kinds that are brushed or strewn on a bread."""

Reaches = Literal["yes", "no", "open"]


@dataclass(frozen=True, slots=True)
class Said:
    """One ingredient of a line, how it is joined to the one before it, and the use beside it.

    ``is_apart`` where a comma or a bracket sets the use apart: "1 tbsp milk, for the glaze".
    """

    item: Item
    joint: str = ""
    is_extra: bool = False
    use: Use | None = None
    words: str = ""
    is_apart: bool = False
    soaks: bool = False


def with_reach(said: Sequence[Said]) -> list[Item]:
    """The items of a line, each with the use that reaches it; one that may is left open."""
    items = [one.item for one in said]
    for at in range(len(said) - 1, 0, -1):
        use, before = items[at].use, items[at - 1]
        if said[at].use is None and use == "dough":
            continue
        words = next((one.words for one in said[at:] if one.words), "")
        apart = next((one.is_apart for one in said[at:] if one.words), False)
        reaches = _reaches(before, replace(said[at], words=words, is_apart=apart, use=use))
        if said[at - 1].use is None and before.use == "dough" and reaches == "yes":
            items[at - 1] = replace(before, use=use)
        elif said[at - 1].use is None and before.use == "dough" and reaches == "open":
            items[at - 1] = replace(before, may_be=use)
    for at in range(1, len(said)):
        before, item = items[at - 1], items[at]
        if (
            said[at].use is None
            and item.use == "dough" != before.use
            and _follows(said[at], before)
        ):
            items[at] = replace(item, use=before.use, may_be=None)
    return items


def _follows(one: Said, before: Item) -> bool:
    """Whether a use said before it reaches on: "1 egg for glazing, beaten with 1 tbsp milk"."""
    if one.joint == "done":
        return True
    wash = before.use == "glaze" and _kind(before) == "egg" and _kind(one.item) in _THIN
    return wash and one.joint in {"with", "and", "+", "plus"} and _is_little(one.item)


def _reaches(before: Item, one: Said) -> Reaches:
    """Whether the use of an ingredient is that of the one before it too."""
    joint = one.joint
    if joint in {"done", "with", "soaked"}:
        return "yes"
    if one.is_extra or joint not in {"plus", "+", "and", ","} or _row(before) is _row(one.item):
        return "no"
    if one.use == "glaze":
        return _of_glaze(before, one)
    both = _is_little(before) and _is_little(one.item)
    if joint not in {"+", "and"} or _is_base(before):
        return "no"
    if one.use == "dusting":
        return "yes" if both and _kind(before) == _kind(one.item) else "no"
    return "yes" if both or (one.use == "filling" and one.is_apart) else "open"


def _of_glaze(before: Item, one: Said) -> Reaches:
    """An egg and a little to thin it is one wash; two eggs are a dough's and a wash's."""
    first, second = _kind(before), _kind(one.item)
    if _is_base(before):
        return "no"
    if first == second == "egg":
        both = one.joint == "plus" and one.is_apart and _is_little(before)
        return "open" if both or one.joint in {"+", "and"} else "no"
    little = _is_little(before) and _is_little(one.item)
    if first == "egg" and second in _THIN:
        is_wash = "wash" in one.words.lower() or (one.joint != "," or one.is_apart)
        return "yes" if little and is_wash else "open"
    if one.joint in {"+", "and"} and little and {first, second} <= _SPREAD:
        return "yes"
    return "no" if one.joint == "," and not one.is_apart else "open"


def _is_base(item: Item) -> bool:
    """Whether it is what a dough is made of: flour, yeast, more than a pinch of salt."""
    row = _row(item)
    if row is None:
        return False
    measured = item.amount.unit if item.amount else ""
    return (
        bool(row.flour)
        or row.kind in {"yeast", "starter"}
        or (row.kind == "salt" and measured not in {"pinch", "dash", "krm", ""})
    )


def _is_little(item: Item) -> bool:
    """Whether there is no more of it than a brush takes: one egg, two yolks, a few spoons."""
    amount: Amount | None = item.amount
    if amount is None:
        return True
    if amount.unit in {"", "piece"}:
        row = _row(item)
        return amount.high <= (1 if row is None or row.name == "egg" else 2)
    return amount.high <= _SMALL.get(amount.unit, 0)


def _row(item: Item) -> Ingredient | None:
    return described(item.name).ingredient


def _kind(item: Item) -> str:
    row = _row(item)
    return row.kind if row else ""
