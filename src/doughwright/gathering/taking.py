"""What one part of a bread takes from another: "all of the poolish", "379 g sponge"."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from types import MappingProxyType

from doughwright.documents.formula import PreparationKind
from doughwright.engine.ingredients import ingredient_named, plain_words
from doughwright.errors import Notice
from doughwright.gathering.drafted import DraftPreparation
from doughwright.gathering.gathered import Choice, Doubt, Item, Origin, Section, Settings
from doughwright.gathering.weighing.masses import mass_of
from doughwright.units import Kilogram

NO_ANSWERS: Mapping[str, str] = MappingProxyType({})

_words = lru_cache(4096)(plain_words)

BESIDE = frozenset(
    {
        *(
            "all",
            "of",
            "the",
            "above",
            "whole",
            "entire",
            "ripe",
            "risen",
            "from",
            "your",
            "active",
        ),
        *(
            "mature",
            "bubbly",
            "cooled",
            "chilled",
            "cold",
            "prepared",
            "remaining",
            "made",
            "recipe",
        ),
        *("le", "la", "les", "l", "il", "lo", "i", "el", "los", "las", "der", "die", "das", "den"),
        *("tout", "toute", "tutto", "tutta", "todo", "toda", "del", "della", "dello", "du", "de"),
        *("alle", "alles", "allt", "hela", "hele", "gesamte", "gesamter", "ganze", "ganzer"),
        *("dissolved", "day", "yesterday", "see", "previou", "a", "it", "full", "amount", "batch"),
    }
)
"""Words beside the name of a part, in the singular."""

WITHIN = 0.005
"""A weight this near to the whole of a part is all of it, with what was rounded away."""


@dataclass(slots=True)
class Part:
    """A preparation while its lines are read."""

    name: str
    kind: PreparationKind
    style: str
    section: Section
    items: list[Item] = field(default_factory=list)


def taken_in(
    part: Part, parts: Sequence[Part], settings: Settings
) -> tuple[dict[str, Kilogram | None], list[Item], list[Origin]]:
    """What a part takes of others (None: all of it), its ingredients, and the lines that say so."""
    taken: dict[str, Kilogram | None] = {}
    items, named = [], []
    for item in part.items:
        other = part_taken(item, part, parts)
        if other is None:
            items.append(item)
        else:
            taken[other.name] = _weighed(item, other, settings)
            named.append(item.origin)
    return taken, items, named


def part_taken(item: Item, part: Part, parts: Sequence[Part]) -> Part | None:
    """The other part that an item is; its note begins with what a text of another language says."""
    found = part_meant(item.name, part, parts)
    row, said = ingredient_named(item.name), item.note.partition(",")[0]
    if found is None and said and row is not None and row.kind == "starter":
        return part_meant(said, part, parts)
    return found


def part_meant(name: str, part: Part, parts: Sequence[Part]) -> Part | None:
    """The other part that an ingredient's name means; None where it is an ingredient."""
    words = tuple(word for word in _words(name) if word not in BESIDE)
    others = [other for other in parts if other is not part and other.kind != "glaze"]
    exact = [other for other in others if _words(other.name) == words]
    styled = [o for o in others if o.style and _words(o.style) == words]
    inside = [
        other
        for other in others
        if other.kind in ("preferment", "soaker")
        and words
        and set(words) <= set(_words(other.name))
    ]
    known = ingredient_named(name)
    if known is not None and known.kind != "starter" and not exact:
        return None
    found = exact or styled or inside
    return found[0] if len(found) == 1 else None


def _weighed(item: Item, other: Part, settings: Settings) -> Kilogram | None:
    """How much of a part is taken; None for all of it."""
    if item.amount is None or item.amount.unit == "%":
        return None
    mass = mass_of(item.amount, None, settings).mass
    whole = _whole(other, settings)
    if mass is None or whole is None or mass[1] >= whole * (1 - WITHIN) or mass[1] <= 0:
        return None
    return mass[1]


def _whole(part: Part, settings: Settings) -> Kilogram | None:
    """What a part weighs; None where a line of it has no weight."""
    masses = [
        mass_of(item.amount, ingredient_named(item.name), settings).mass if item.amount else None
        for item in part.items
    ]
    return sum(mass[1] for mass in masses if mass) if all(masses) else None


def with_final_dough(
    parts: Sequence[DraftPreparation], answer: str
) -> tuple[list[DraftPreparation], Doubt | None]:
    """The same with one dough that is baked, and the question which one where that is open.

    The other doughs go into it.
    """
    taken = {name for part in parts for name in part.takes}
    doughs = [part.name for part in parts if part.kind == "dough" and part.name not in taken]
    if len(doughs) == 1 or not parts:
        return list(parts), None
    names = doughs or [part.name for part in parts]
    keys = {f"{at}:{name}": name for at, name in enumerate(names, 1)}
    notice = Notice.of("gather-final-dough", names=", ".join(names))
    choices = tuple(Choice(key, name) for key, name in keys.items())
    doubt = Doubt("final dough", notice, choices, answer if answer in keys else "")
    if not doubt.answer:
        return list(parts), doubt
    final = keys[doubt.answer]
    others = tuple(name for name in doughs if name != final)
    return [_made_final(part, others) if part.name == final else part for part in parts], doubt


def _made_final(part: DraftPreparation, others: tuple[str, ...]) -> DraftPreparation:
    return replace(part, kind="dough", style="", takes=(*part.takes, *others))


def implied(preparations: Sequence[DraftPreparation]) -> tuple[DraftPreparation, ...]:
    """The same, where a dough takes what was made for it and no line names."""
    taken = {name for part in preparations for name in part.takes}
    made = list(preparations)
    for at, part in enumerate(preparations):
        if part.kind not in ("preferment", "soaker") or part.name in taken:
            continue
        taker = _taker(made, at)
        if taker is not None:
            made[taker] = replace(made[taker], takes=(*made[taker].takes, part.name))
    return tuple(made)


def _taker(parts: Sequence[DraftPreparation], at: int) -> int | None:
    """The next dough after a part, else the last one before it."""
    doughs = [i for i, part in enumerate(parts) if part.kind == "dough"]
    after = [i for i in doughs if i > at]
    return after[0] if after else doughs[-1] if doughs else None
