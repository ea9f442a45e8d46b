"""Which part of the bread a line belongs to: where it stands, what it says, what is answered."""

import re
from collections.abc import Mapping
from dataclasses import replace

from doughwright.documents.formula import PreparationKind
from doughwright.engine.ingredients import ingredient_named
from doughwright.errors import Notice
from doughwright.gathering.asking import Asked, Asking, key_of
from doughwright.gathering.doubts.printed import scaled
from doughwright.gathering.drafted import DraftLine
from doughwright.gathering.gathered import Amount, Choice, Doubt, Item, Section
from doughwright.gathering.lines.amounts import amount_of
from doughwright.gathering.lines.splitting import ALL, answered
from doughwright.gathering.pages.titles import DOUGH, FILLING, PREFERMENT, SOAKER, kind_of, title_of
from doughwright.gathering.taking import Part
from doughwright.gathering.telling import number
from doughwright.gathering.weighing.masses import mass_of

OWN_PARTS: Mapping[str, tuple[str, PreparationKind]] = {
    "glaze": ("glaze", "glaze"),
    "filling": ("filling", "filling"),
    "topping": ("topping", "topping"),
    "dusting": ("dusting", "topping"),
}
"""Where a line goes that says it is not for the dough it stands with."""

WASH = "egg wash"

RISING = frozenset({DOUGH, PREFERMENT, SOAKER})


def placed(item: Item, part: Part, asking: Asking) -> tuple[tuple[Item, ...], list[Asked]]:
    """A line of a part as far as it is settled where it goes, and what is asked of that."""
    if item.divided:
        return _divided(item, asking)
    if item.apart:
        return _taken_apart(item, item.apart, asking)
    if item.may_be and part.kind in RISING:
        return _either(item, item.may_be, asking)
    return (item,), []


def own_part(item: Item, part: Part, parts: list[Part]) -> Part:
    """The part an item belongs to: the one it stands with, unless it says another."""
    own = _part_told(item, part, parts)
    if item.use != "glaze" or own.kind != "glaze" or not _is_egg(item) or not _is_iced(own):
        return own
    wash = next((other for other in parts if other.name == WASH), None)
    return wash or _added(Part(WASH, "glaze", "", _NONE), parts)


def _part_told(item: Item, part: Part, parts: list[Part]) -> Part:
    title = title_of(item.place) if item.place else None
    if title is not None and not (part.kind == title.kind == DOUGH or part.name == title.name):
        same = [other for other in parts if other.name.casefold() == title.name.casefold()]
        same = same or [other for other in parts if other.kind == title.kind]
        return same[-1] if same else _added(Part(title.name, title.kind, title.style, _NONE), parts)
    if item.use not in OWN_PARTS or not _leaves(item, part):
        return part
    name, kind = OWN_PARTS[item.use]
    same = [o for o in parts if o.kind == kind and kind_of(o.name) in (kind, None)]
    same = [other for other in same if other.name != OWN_PARTS["dusting"][0]]
    if len(same) == 1 and item.use != "dusting":
        return same[0]
    own = next((other for other in parts if other.name == name), None)
    return own or _added(Part(name, kind, "", _NONE), parts)


_NONE = Section("", ())


def _is_iced(part: Part) -> bool:
    """Whether a glaze is an icing, which is not baked: no raw egg belongs into it."""
    rows = {row.name for item in part.section.items if (row := ingredient_named(item.name))}
    return "icing sugar" in rows or bool({"lemon juice", "orange juice"} & rows)


def _is_egg(item: Item) -> bool:
    row = ingredient_named(item.name)
    return row is not None and row.kind == "egg"


def _added(part: Part, parts: list[Part]) -> Part:
    parts.append(part)
    return part


def _leaves(item: Item, part: Part) -> bool:
    """Whether a use takes a line away; what is brushed on a sheet to be rolled up fills it."""
    if part.kind != FILLING:
        return part.kind in RISING
    row = ingredient_named(item.name)
    return item.use == "dusting" or (item.use == "glaze" and not (row and row.kind == "fat"))


def _divided(item: Item, asking: Asking) -> tuple[tuple[Item, ...], list[Asked]]:
    """A line that goes to several places, as the answer divides it."""
    key = f"{key_of(item)}:divided"
    given = asking.answers.get(key, "")
    made = answered(item, given) if given else None
    notice = Notice.of("gather-divided", name=item.name, read=item.divided, all=ALL)
    doubt = Doubt(key, notice, (), given if made else "", takes="shares")
    return made or (item,), [Asked(doubt)]


def _taken_apart(
    item: Item, apart: tuple[Amount, float], asking: Asking
) -> tuple[tuple[Item, ...], list[Asked]]:
    """A part of an amount that is not what its parts come to, as the answer has it."""
    whole, found = apart
    key = f"{item.origin.line}:parts"
    together = f"{number(found)} {whole.unit}"
    choices = (
        Choice("parts", f"the parts stand, together {together}"),
        Choice("whole", f"{whole.words} stands, each part times {whole.best / found:.4g}"),
    )
    given = asking.answers.get(key, "")
    answer = given if given in ("parts", "whole") else ""
    notice = Notice.of(
        "gather-parts", read=item.origin.text.strip(), whole=whole.words, found=together
    )
    made = scaled(item, whole.best / found) if answer == "whole" else item
    return (made,), [Asked(Doubt(key, notice, choices, answer))]


def _either(item: Item, use: str, asking: Asking) -> tuple[tuple[Item, ...], list[Asked]]:
    """A line whose use may reach the one before it or not."""
    key = f"{key_of(item)}:use"
    choices = (Choice("dough", "it goes into the dough"), Choice(use, f"it is for the {use}"))
    given = asking.answers.get(key, "")
    answer = given if given in ("dough", use) else ""
    notice = Notice.of("gather-use", name=item.name, read=item.origin.text.strip(), use=use)
    made = replace(item, use=item.may_be or "dough") if answer == use else item
    return (made,), [Asked(Doubt(key, notice, choices, answer))]


def with_share(item: Item, line: DraftLine) -> DraftLine:
    """The line with how much of its amount it is: ``70 g less 50 g``, ``60 g for the dough``."""
    words = item.amount.words if item.amount else ""
    is_share = re.search(r"\b(?:less|of|for|in|into|to)\b", words) and words not in item.origin.text
    return replace(line, how="; ".join(filter(None, (words, line.how)))) if is_share else line


def soaking(item: Item, line: DraftLine, asking: Asking) -> tuple[DraftLine | None, list[Asked]]:
    """What something is soaked in, as far as it goes into the dough: None where it does not."""
    if item.use == "drained":
        return _drained(item, line, asking)
    if item.use != "soak" or line.table != "water":
        return line, []
    key = f"{line.key}:soaking"
    choices = (Choice("taken up", "it goes into the dough"), Choice("poured off", "it is drained"))
    given = asking.answers.get(key, "")
    answer = given if given in {choice.key for choice in choices} else ""
    notice = Notice.of("gather-soaking", name=item.name, read=item.origin.text.strip())
    much = line.mass[1] if line.mass else line.share or 0.0
    asked = Asked(Doubt(key, notice, choices, answer), ((much, 0.0), (0.0, 0.0)))
    return (None if answer == "poured off" else line), [asked]


def _drained(item: Item, line: DraftLine, asking: Asking) -> tuple[DraftLine | None, list[Asked]]:
    """Drained water is none of the dough's, but for what was taken up: nobody can see how much."""
    key = f"{line.key}:drained"
    given = asking.answers.get(key, "")
    amount = amount_of(given)
    mass = mass_of(amount, None, asking.settled).mass if amount else None
    notice = Notice.of("gather-drained", name=item.name, read=item.origin.text.strip())
    asked = Asked(Doubt(key, notice, (), given if mass else "", blocks=False))
    if mass is None:
        return None, [asked]
    how = f"taken up: {given}"
    return replace(line, mass=mass, share=None, how=how, kept_words=given), [asked]
