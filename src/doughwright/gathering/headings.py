"""What a heading makes of the lines below it: a part of the bread, or nothing that is in it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from doughwright.documents.formula import PreparationKind
from doughwright.engine.ingredients import plain_words
from doughwright.errors import Notice
from doughwright.gathering.asking import Asked, Asking
from doughwright.gathering.gathered import Choice, Doubt, Gathered, Origin, Section
from doughwright.gathering.pages.titles import (
    DOUGH,
    PREFERMENT,
    SOAKER,
    Title,
    is_heading,
    title_of,
)

COUNTED = frozenset({DOUGH, PREFERMENT, SOAKER})
"""Parts whose flour is the whole that percentages are of."""

NOT_IN_IT = "not in the bread"
"""The answer for a bath, a lye, water to boil in: nothing of it is weighed into the bread."""

NO_HEADING = "no heading"
"""The answer for a line that heads nothing: what follows belongs to the part before it."""

KINDS: tuple[PreparationKind, ...] = (
    "dough",
    "preferment",
    "soaker",
    "filling",
    "topping",
    "glaze",
)


@dataclass(frozen=True, slots=True)
class Headed:
    """What was gathered as its headings are settled, and what was asked of those that are gone.

    ``outside`` are lines that are not in the bread.
    """

    gathered: Gathered
    asked: tuple[Asked, ...] = ()
    outside: tuple[Origin, ...] = ()


def title_settled(
    section: Section, sections: Sequence[Section], asking: Asking
) -> tuple[Title, list[Asked]]:
    """What a section is; asked where its heading does not say and its lines leave it open."""
    found = title_of(section.title)
    if found is not None:
        return found, []
    others = [title_of(s.title) for s in sections if s is not section]
    has_dough = any(other and other.kind == DOUGH for other in others)
    name = section.title.strip() or ("main part" if has_dough else "dough")
    if (not section.title or _rises(section)) and not has_dough:
        return Title(_plain(name), "dough"), []
    doubt = _asked_kind(section, _plain(name), asking)
    guess: PreparationKind = "dough" if _rises(section) else "filling"
    kind = next((kind for kind in KINDS if kind == doubt.answer), guess)
    return Title(_plain(name), kind), [Asked(doubt)]


def headed(gathered: Gathered, asking: Asking) -> Headed:
    """The sections without those that are no part of the bread, by the answers."""
    filled = [section for section in gathered.sections if section.items]
    kept: list[Section] = []
    asked: list[Asked] = []
    outside: list[Origin] = []
    for section in gathered.sections:
        told = title_settled(section, filled, asking)[1] if section.items else []
        answer = told[0].doubt.answer if told else ""
        if answer == NOT_IN_IT:
            outside += dict.fromkeys(item.origin for item in section.items)
        elif answer == NO_HEADING and kept:
            last = kept[-1]
            kept[-1] = replace(last, items=(*last.items, *section.items), sums=section.sums)
        else:
            kept.append(section)
            continue
        asked += told
    return Headed(replace(gathered, sections=tuple(kept)), tuple(asked), tuple(outside))


def inside(gathered: Gathered, asking: Asking) -> Gathered:
    """What counts for the dough as far as its headings are known: what is asked of may be a bath.

    The others stand empty in their places.
    """
    filled = [section for section in gathered.sections if section.items]
    sections = tuple(
        section if _counts(section, filled, asking) else replace(section, items=(), sums=())
        for section in gathered.sections
    )
    return replace(gathered, sections=sections)


def around(sound: Gathered, whole: Gathered) -> Gathered:
    """The checked sections, with those that were left out of the check in their places again."""
    pairs = zip(sound.sections, whole.sections, strict=True)
    sections = tuple(after if after.items else before for after, before in pairs)
    return replace(sound, sections=sections)


def _counts(section: Section, sections: Sequence[Section], asking: Asking) -> bool:
    if not section.items:
        return True
    title, told = title_settled(section, sections, asking)
    return not told or title.kind in COUNTED


def _rises(section: Section) -> bool:
    words = {word for item in section.items for word in plain_words(item.name)}
    return "flour" in words and bool(words & {"yeast", "water", "milk"})


def _asked_kind(section: Section, name: str, asking: Asking) -> Doubt:
    line = section.origin.line if section.origin else section.items[0].origin.line
    key = f"{line}:{name.replace('=', ' ').replace(':', ' ')}:part"
    choices = [Choice(kind, kind) for kind in KINDS]
    choices.append(Choice(NOT_IN_IT, "a bath, or what it is boiled in: nothing of it counts"))
    if section.origin and not is_heading(section.origin.text):
        choices.append(Choice(NO_HEADING, "what follows belongs to the part before it"))
    given = asking.answers.get(key, "")
    answer = given if given in {choice.key for choice in choices} else ""
    return Doubt(key, Notice.of("gather-which-part", name=name), tuple(choices), answer)


def _plain(name: str) -> str:
    return f"{name[:1].lower()}{name[1:]}"
