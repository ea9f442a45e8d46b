"""What an amount leaves open, with what each answer settles: whose cups, how large an egg."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product
from types import MappingProxyType
from typing import Any

from doughwright.engine.ingredients import Ingredient, measures_of
from doughwright.gathering.gathered import Amount, Settings
from doughwright.gathering.lines.elsewhere import country_of
from doughwright.gathering.lines.unit_words import MEASURES, WEIGHTS, system_before
from doughwright.gathering.telling import as_key
from doughwright.gathering.weighing.measures import SYSTEMS, system_of, volume_of
from doughwright.gathering.weighing.weights import (
    EGGS,
    PACK_WORDS,
    SALT_KINDS,
    SIZES,
    Known,
    Weighed,
    rows_for,
    size_in,
    system_in,
    weighed,
)

GRAINS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "kosher": ("coarse", "flaky"),
        "flaky": ("flaky",),
        "flakes": ("flaky",),
        "flake": ("flaky",),
        "coarse": ("coarse",),
        "sea": SALT_KINDS,
    }
)
"""Grains of salt that a word may mean."""

EGG_SIZES = ("medium", "large", "small", "extra large", "jumbo")
REGIONS = ("US", "EU")
"""Whose egg sizes may be meant; the British are those of the EU."""

_WHOSE_EGGS = {
    "US": re.compile(r"\b(?:US|U\.S\.|American)(?!\w)"),
    "EU": re.compile(r"\b(?:EU|European|UK|U\.K\.|British)(?!\w)"),
}

CODES = {
    "system": "gather-measure",
    "size": "gather-size",
    "egg size": "gather-size",
    "country": "gather-size",
    "salt": "gather-salt-kind",
    "ounces": "gather-ounces",
    "pack": "gather-pack",
}
"""The message of each question; the first three settings are those of the whole recipe."""

OPEN_WORDS = {
    "system": "whose measure",
    "size": "how large",
    "egg size": "how large",
    "country": "whose eggs",
    "salt": "which salt",
    "pack": "whose packet",
}
"""What is open, as the origin of a weight says it."""

Changes = Mapping[str, Any]
"""What an answer adds to what is known, by its field."""

Told = tuple[tuple[str, str], ...]
"""Answers to a line's own questions, by what each is about."""

_WORD = re.compile(r"(?<!\w)\w")
_SHELL = re.compile(
    r"\b(?:in|with|incl(?:uding|\.)?)\s+(?:the\s+|their\s+|its\s+)?shells?\b", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Question:
    """What is not settled, and what each answer settles: its key, its words, the changes."""

    about: str
    answers: tuple[tuple[str, str, Changes], ...]
    blocks: bool = True

    def settled_by(self, key: str) -> Changes | None:
        """What an answer settles; None where it is none of these."""
        return next((changes for own, _, changes in self.answers if own == key), None)


@dataclass(frozen=True, slots=True)
class Reading:
    """An amount of an ingredient, what is known about it and what has to be asked."""

    amount: Amount
    ingredient: Ingredient | None
    known: Known
    questions: tuple[Question, ...]

    def under(self, *changes: Changes) -> Weighed | None:
        """What it weighs under some answers."""
        every = {field: value for change in changes for field, value in change.items()}
        return weighed(self.amount, self.ingredient, replace(self.known, **every))

    def spans(self) -> list[Weighed]:
        """What it weighs under each set of answers."""
        every = product(*(question.answers for question in self.questions))
        found = (self.under(*(changes for *_, changes in answers)) for answers in every)
        return [span for span in found if span is not None]


def reading_of(
    amount: Amount, ingredient: Ingredient | None, settings: Settings, words: str, told: Told
) -> Reading:
    """An amount with what is known of it, by the settings and by what was answered."""
    is_egg = ingredient is not None and ingredient.name in EGGS
    country = (region_said(words) if is_egg else "") or settings.country.upper()
    country = country or country_of(words)
    known = Known(country=country, egg=settings.egg, **_whose(amount, settings, words))
    if is_egg and ingredient and _SHELL.search(words):
        known = replace(known, shelled=ingredient.edible)
    answers = ({"size": settings.egg} if is_egg else {}) | dict(told)
    left = []
    for question in _questions(amount, ingredient, known, words):
        settled = question.settled_by(answers.get(question.about, ""))
        if settled is None:
            left.append(question)
        else:
            known = replace(known, **settled)
    return Reading(amount, ingredient, known, tuple(left))


def _whose(amount: Amount, settings: Settings, words: str) -> dict[str, Any]:
    """Whose measures are meant, as the line says, the settings, or the books of the country."""
    units = [part.unit for part in _measured(amount)]
    said = system_said(words)
    if said and all(volume_of(unit, said) for unit in units):
        return {"system": said}
    if settings.system:
        return {"system": settings.system, "whose": settings.whose}
    country = settings.country.upper()
    system = system_of(country, units)
    return {"system": system, "whose": f"as in {country}"} if system else {}


def _measured(amount: Amount) -> list[Amount]:
    """What of an amount is cups or spoons."""
    inside = (amount.package,) if amount.package else (amount,)
    return [part for part in (*inside, *amount.more) if part.unit in MEASURES]


def system_said(words: str) -> str:
    """Whose cups some words say they are; empty where they do not.

    >>> system_said("water Japanese cup"), system_said("Japanese pears"), system_said("US cups")
    ('japanese', '', 'us')
    """
    found = (system_before(words, match.start())[1] for match in _WORD.finditer(words))
    return next(filter(None, found), "")


def region_said(words: str) -> str:
    """Whose eggs a line says they are; empty where it does not.

    >>> region_said("eggs US"), region_said("eggs, beaten with us")
    ('US', '')
    """
    return next((region for region, word in _WHOSE_EGGS.items() if word.search(words)), "")


# --- What may have to be asked --------------------------------------------------------------------


def _questions(
    amount: Amount, ingredient: Ingredient | None, known: Known, words: str
) -> Iterator[Question]:
    if ingredient is None:
        return
    yield from _system(amount, known)
    yield from _salt(amount, ingredient, words)
    yield from _ounces(amount, ingredient, known)
    if amount.package is not None:
        return
    if ingredient.name in EGGS and amount.unit in {"", "piece"}:
        yield from _egg(amount, known)
    elif amount.unit in {"", "piece"} and not size_in(amount):
        yield from _size(ingredient, known)
    elif amount.unit not in {*WEIGHTS, *MEASURES}:
        yield from _pack(amount, ingredient, known)


def _system(amount: Amount, known: Known) -> Iterator[Question]:
    parts = [p for p in _measured(amount) if volume_of(p.unit, system_in(p)) is None]
    units = [part.unit for part in parts]
    if not all(volume_of(unit, known.system) for unit in units):
        have = [s for s in SYSTEMS if all(volume_of(unit, s) for unit in units)]
        answers = ((s, f"{SYSTEMS[s]} {units[0]}", {"system": s}) for s in have)
        yield Question("system", tuple(answers))


def _salt(amount: Amount, ingredient: Ingredient, words: str) -> Iterator[Question]:
    """A spoon of salt weighs by its grains: a half or all of fine salt."""
    if ingredient.name != "salt" or amount.unit not in MEASURES:
        return
    plain = {*re.findall(r"\w+", words.casefold()), *amount.modifiers}
    kinds = next((kinds for word, kinds in GRAINS.items() if word in plain), ())
    if kinds and not ("sea" in plain and "fine" in plain):
        yield Question("salt", tuple((k, f"{k} salt", {"salt": k}) for k in kinds))


def _ounces(amount: Amount, ingredient: Ingredient, known: Known) -> Iterator[Question]:
    """Ounces of what is poured are fluid ounces in many an American kitchen."""
    if not ingredient.poured or amount.unit != "oz" or amount.more:
        return
    system = known.system if volume_of("fl oz", known.system) else "us"
    weight = ("weight", "ounces of weight", {"fluid": False})
    whose = known.whose if system == known.system else ""
    changes = {"fluid": True, "system": system, "whose": whose}
    fluid = ("fluid", f"{SYSTEMS[system]} fl oz", changes)
    yield Question("ounces", (weight, fluid), blocks=False)


def _egg(amount: Amount, known: Known) -> Iterator[Question]:
    """Whose eggs and how large; in a country of which nothing is known both at once."""
    size = size_in(amount) or (known.egg if known.egg in SIZES else "")
    here = measures_of("egg", known.country)
    sizes = (size,) if size else EGG_SIZES
    if known.country and not here:
        both = ((region, one) for region in REGIONS for one in sizes)
        answers = tuple(
            (as_key(f"{r} {s}"), f"{s}, {r}", {"country": r, "egg": s}) for r, s in both
        )
        yield Question("size", answers)
        return
    if not here:
        yield Question("country", tuple((r, f"{r} eggs", {"country": r}) for r in REGIONS))
    if not size or (here and size not in here):
        yield Question("egg size", tuple((s, s, {"egg": s}) for s in EGG_SIZES))


def _size(ingredient: Ingredient, known: Known) -> Iterator[Question]:
    """A small or a large onion; one size alone is taken for what is meant."""
    here = measures_of(ingredient.name, known.country)
    sizes = [size for size in ("medium", "small", "large") if size in here]
    if sizes:
        yield Question("size", tuple((s, s, {"size": s}) for s in sizes))


def _pack(amount: Amount, ingredient: Ingredient, known: Known) -> Iterator[Question]:
    """A cube of yeast is another in every country."""
    unit = PACK_WORDS.get(amount.unit, amount.unit)
    if unit in measures_of(ingredient.name, known.country):
        return
    regions = {row.mass: row.region for row in reversed(rows_for(ingredient, unit))}
    answers = tuple((r, f"{unit}, {r}", {"country": r}) for r in regions.values())
    if answers:
        yield Question("pack", answers)
