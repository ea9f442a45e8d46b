"""What an amount weighs, and what has to be asked first: whose cups, how large an egg.

What is not said is never guessed. Where it matters, the mass spans all that may be meant, and a
doubt lists what each candidate would give.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product
from types import MappingProxyType
from typing import Any

from doughwright.engine.ingredients import Ingredient, measures_of
from doughwright.errors import Notice
from doughwright.gathering.gathered import Amount, Choice, Doubt, Massed, Settings
from doughwright.gathering.measures import SYSTEM_OF, SYSTEMS, measure_constant, volume_of
from doughwright.gathering.unit_words import MEASURES, WEIGHTS
from doughwright.gathering.weights import (
    EGGS,
    PACK_WORDS,
    SALT_KINDS,
    Known,
    Weighed,
    rows_for,
    size_in,
    weighed,
)
from doughwright.units import Kilogram

SHARES = frozenset({"%", "part"})
"""Units that weigh nothing by themselves."""

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

Changes = Mapping[str, Any]
"""What an answer adds to what is known, by its field."""


@dataclass(frozen=True, slots=True)
class _Question:
    """What is not settled, and what each answer settles: its key, its words, the changes."""

    about: str
    answers: tuple[tuple[str, str, Changes], ...]
    blocks: bool = True


@dataclass(frozen=True, slots=True)
class _Reading:
    """An amount of an ingredient, what is known about it and what has to be asked."""

    amount: Amount
    ingredient: Ingredient | None
    known: Known
    questions: tuple[_Question, ...]

    def under(self, *changes: Changes) -> Weighed | None:
        """What it weighs under some answers."""
        every = {field: value for change in changes for field, value in change.items()}
        return weighed(self.amount, self.ingredient, replace(self.known, **every))


def mass_of(
    amount: Amount, ingredient: Ingredient | None, settings: Settings, words: str = ""
) -> Massed:
    """What an amount of an ingredient weighs; ``words`` is what its line calls it.

    A weight in grams goes before all else that the line says of the same amount.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> from doughwright.gathering.amounts import amount_of
    >>> egg = ingredient_table()["egg"]
    >>> massed = mass_of(amount_of("2 large"), egg, Settings(country="SE"))
    >>> massed.mass[1]  # Regulation (EC) 589/2008: large is 63 to 73 g in shell
    0.12
    """
    if amount.unit in SHARES:
        return Massed(None, "a share")
    readings = [replace(amount, same=(), words="") if amount.same else amount, *amount.same]
    found = [_massed(reading, ingredient, settings, words) for reading in readings]
    taken = _taken(readings)
    massed = found[taken]
    doubts = [*massed.doubts, *_digits(amount, massed), *_backwards(amount)]
    doubts += _differing(amount, readings, found, taken)
    return replace(massed, doubts=tuple(doubts))


def _taken(readings: list[Amount]) -> int:
    """Which of several readings goes: grams, else ounces and pounds, else the first."""
    for units in (("g", "kg", "mg"), WEIGHTS):
        for at, reading in enumerate(readings):
            inside = reading.package or reading
            if inside.unit in units:
                return at
    return 0


# --- One reading, with what is not settled about it ---------------------------------------------


def _massed(
    amount: Amount, ingredient: Ingredient | None, settings: Settings, words: str
) -> Massed:
    country = settings.country.upper()
    system = settings.system or SYSTEM_OF.get(country, "")
    known = Known(country=country, system=system, egg=settings.egg)
    questions = tuple(_questions(amount, ingredient, known, words))
    reading = _Reading(amount, ingredient, known, questions)
    return _asked(reading) if questions else _settled(reading, reading.under({}))


def _settled(reading: _Reading, found: Weighed | None) -> Massed:
    if found is not None:
        return Massed(found.mass, found.how)
    name = reading.ingredient.name if reading.ingredient else "this ingredient"
    notice = Notice.of("gather-no-weight", read=said(reading.amount), name=name)
    return Massed(None, "", (Doubt("weight", notice),))


def _asked(reading: _Reading) -> Massed:
    """The whole span of what may be meant, and each question with what its answers give."""
    every = product(*(question.answers for question in reading.questions))
    found = (reading.under(*(changes for *_, changes in answers)) for answers in every)
    spans = [span for span in found if span is not None]
    if not spans:
        return _settled(reading, None)
    bests = [span.mass[1] for span in spans]
    best = (min(bests) + max(bests)) / 2
    if max(bests) - min(bests) <= measure_constant("asks_from") * abs(best):
        return Massed(spans[0].mass, spans[0].how)
    mass = (min(span.mass[0] for span in spans), best, max(span.mass[2] for span in spans))
    firm = not any(question.blocks for question in reading.questions)
    taken = spans[0] if firm else Weighed(mass, "not settled")
    return Massed(taken.mass, taken.how, tuple(_doubts(reading)))


def _doubts(reading: _Reading) -> Iterator[Doubt]:
    for question in reading.questions:
        others = [q.answers[0][2] for q in reading.questions if q is not question]
        masses = [reading.under(changes, *others) for *_, changes in question.answers]
        named = zip(question.answers, masses, strict=True)
        choices = tuple(
            Choice(key, words, found.mass) for (key, words, _), found in named if found is not None
        )
        if _spread(choices) > measure_constant("asks_from"):
            name = reading.ingredient.name if reading.ingredient else ""
            values = {"read": said(reading.amount), "name": name, "candidates": listed(choices)}
            notice = Notice(CODES[question.about], (), values)
            yield Doubt(question.about, notice, choices, blocks=question.blocks)


def _spread(choices: Iterable[Choice]) -> float:
    bests = [choice.mass[1] for choice in choices if choice.mass is not None]
    return (max(bests) - min(bests)) / max(bests) if bests and max(bests) > 0 else 0.0


# --- What may have to be asked -----------------------------------------------------------------


def _questions(
    amount: Amount, ingredient: Ingredient | None, known: Known, words: str
) -> Iterator[_Question]:
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


def _units(amount: Amount) -> tuple[str, ...]:
    inside = (amount.package.unit,) if amount.package else ()
    return (amount.unit, *(more.unit for more in amount.more), *inside)


def _system(amount: Amount, known: Known) -> Iterator[_Question]:
    units = [unit for unit in _units(amount) if unit in MEASURES]
    if not all(volume_of(unit, known.system) for unit in units):
        have = [s for s in SYSTEMS if all(volume_of(unit, s) for unit in units)]
        answers = ((s, f"{SYSTEMS[s]} {units[0]}", {"system": s}) for s in have)
        yield _Question("system", tuple(answers))


def _salt(amount: Amount, ingredient: Ingredient, words: str) -> Iterator[_Question]:
    """A spoon of salt weighs by its grains: a half or all of fine salt."""
    if ingredient.name != "salt" or amount.unit not in MEASURES:
        return
    plain = {*re.findall(r"\w+", words.casefold()), *amount.modifiers}
    kinds = next((kinds for word, kinds in GRAINS.items() if word in plain), ())
    if kinds and not ("sea" in plain and "fine" in plain):
        yield _Question("salt", tuple((k, f"{k} salt", {"salt": k}) for k in kinds))


def _ounces(amount: Amount, ingredient: Ingredient, known: Known) -> Iterator[_Question]:
    """Ounces of what is poured are fluid ounces in many an American kitchen."""
    if not ingredient.poured or amount.unit != "oz" or amount.more:
        return
    system = known.system if volume_of("fl oz", known.system) else "us"
    weight = ("weight", "ounces of weight", {"fluid": False})
    fluid = ("fluid", f"{SYSTEMS[system]} fl oz", {"fluid": True, "system": system})
    yield _Question("ounces", (weight, fluid), blocks=False)


def _egg(amount: Amount, known: Known) -> Iterator[_Question]:
    """Whose eggs and how large; in a country of which nothing is known both at once."""
    size, here = size_in(amount) or known.egg, measures_of("egg", known.country)
    sizes = (size,) if size else EGG_SIZES
    if known.country and not here:
        both = ((region, one) for region in REGIONS for one in sizes)
        answers = tuple((_key(f"{r} {s}"), f"{s}, {r}", {"country": r, "egg": s}) for r, s in both)
        yield _Question("size", answers)
        return
    if not here:
        yield _Question("country", tuple((r, f"{r} eggs", {"country": r}) for r in REGIONS))
    if not size or (here and size not in here):
        yield _Question("egg size", tuple((s, s, {"egg": s}) for s in EGG_SIZES))


def _size(ingredient: Ingredient, known: Known) -> Iterator[_Question]:
    """A small or a large onion; one size alone is taken for what is meant."""
    here = measures_of(ingredient.name, known.country)
    sizes = [size for size in ("medium", "small", "large") if size in here]
    if sizes:
        yield _Question("size", tuple((s, s, {"size": s}) for s in sizes))


def _pack(amount: Amount, ingredient: Ingredient, known: Known) -> Iterator[_Question]:
    """A cube of yeast is another in every country."""
    unit = PACK_WORDS.get(amount.unit, amount.unit)
    if unit in measures_of(ingredient.name, known.country):
        return
    regions = {row.mass: row.region for row in reversed(rows_for(ingredient, unit))}
    answers = tuple((r, f"{unit}, {r}", {"country": r}) for r in regions.values())
    if answers:
        yield _Question("pack", answers)


# --- What the writing itself leaves open --------------------------------------------------------


def _digits(amount: Amount, massed: Massed) -> Iterator[Doubt]:
    """A point or a comma before three digits: a thousand, or a decimal sign."""
    if amount.other is None or massed.mass is None or not amount.best:
        return
    low, best, high = (end * amount.other.best / amount.best for end in massed.mass)
    thousand = Choice("thousand", f"{amount.best:g} {amount.unit}", massed.mass)
    decimal = Choice("decimal", f"{amount.other.best:g} {amount.unit}", (low, best, high))
    values = {"read": said(amount), "first": thousand.words, "second": decimal.words}
    yield Doubt("digits", Notice("gather-digits", (), values), (thousand, decimal))


def _backwards(amount: Amount) -> Iterator[Doubt]:
    if "backwards" in amount.modifiers:
        notice = Notice.of("gather-backwards", read=said(amount))
        yield Doubt("backwards", notice, blocks=False)


def _differing(
    amount: Amount, readings: list[Amount], found: list[Massed], taken: int
) -> Iterator[Doubt]:
    """The same amount said twice, and not the same."""
    against = found[taken].mass
    if against is None:
        return
    off = [
        at
        for at, massed in enumerate(found)
        if massed.mass is not None and at != taken and not _agree(readings, found, at, taken)
    ]
    if off:
        order = (taken, *off)
        words = [said(readings[at]) for at in order]
        masses = [found[at].mass for at in order]
        choices = tuple(
            Choice(_key(word), word, mass) for word, mass in zip(words, masses, strict=True)
        )
        values = {"read": said(amount), "candidates": listed(choices)}
        yield Doubt("same", Notice("gather-said-twice", (), values), choices, blocks=False)


def _agree(readings: list[Amount], found: list[Massed], at: int, taken: int) -> bool:
    """Whether two readings are near enough: weights closely, measures as they are filled."""
    one, other = found[at].mass, found[taken].mass
    assert one is not None
    assert other is not None
    both = all((r.package or r).unit in WEIGHTS for r in (readings[at], readings[taken]))
    off = measure_constant("same_within" if both else "same_measure_within")
    return one[0] * (1 - off) <= other[2] and other[0] <= one[2] * (1 + off)


# --- Words --------------------------------------------------------------------------------------


def said(amount: Amount) -> str:
    """An amount as it is written, or its number and unit where only those were kept.

    >>> from doughwright.gathering.amounts import amount_of
    >>> said(amount_of("1 cup (125 g)").same[0])
    '125 g'
    """
    ends = f"{amount.low:g}" if amount.low == amount.high else f"{amount.low:g}–{amount.high:g}"
    pack = f" of {said(amount.package)}" if amount.package else ""
    more = "".join(f" + {said(other)}" for other in amount.more)
    return amount.words or f"{ends} {amount.unit}{pack}{more}".strip()


def _key(words: str) -> str:
    """A candidate's words as one word.

    >>> _key("large, EU")
    'large-EU'
    """
    return "-".join(re.findall(r"[\w.]+", words))


def listed(choices: Iterable[Choice]) -> str:
    """Candidates with what each would weigh, in one sentence."""
    by_mass: dict[str, list[str]] = {}
    for choice in choices:
        by_mass.setdefault(grams(choice.mass[1]) if choice.mass else "", []).append(choice.words)
    return "; ".join(
        ", ".join(words) if not mass or words == [mass] else f"{', '.join(words)} ({mass})"
        for mass, words in by_mass.items()
    )


def grams(mass: Kilogram) -> str:
    """A mass as candidates show it.

    >>> grams(0.0708738), grams(0.4536)
    ('70.9 g', '454 g')
    """
    return f"{mass * 1000:.0f} g" if mass >= 0.1 else f"{mass * 1000:.3g} g"
