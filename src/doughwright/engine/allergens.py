"""Allergens that EU, UK and US law want named, and which ingredients bring them.

Three states and no fourth: an ingredient contains it, its packet has to be read, or the
baker says that it may be there. What is not listed is not thereby absent. Of the baker's own
ingredients what they are like tells some, and the words of their name what to ask for; what
they hold besides is not known until it is stated.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, get_args

from doughwright.engine.ingredients import Ingredient, plain_words
from doughwright.engine.properties import FOLDER
from doughwright.sources import rows

State = Literal["contains", "check the packet", "may contain (you said so)"]
STRONGEST_FIRST: tuple[State, ...] = get_args(State)
CONTAINS, CHECK, MAY_CONTAIN = STRONGEST_FIRST

TO_CHECK = "check:"
"""Before an allergen in the table that depends on the maker."""

WHEAT = "wheat"


@dataclass(frozen=True, slots=True)
class Allergen:
    """An allergen of the law; ``us_name`` is empty where only the EU and the UK list it.

    ``kinds`` are named one by one instead of the group.
    """

    key: str
    eu_name: str
    us_name: str
    kinds: tuple[str, ...]
    words: tuple[str, ...]
    source: str
    locator: str


@dataclass(frozen=True, slots=True)
class AllergenLine:
    """One allergen to name: ``name`` is printed, ``group`` is the law's own heading."""

    name: str
    group: str
    state: State
    brought_by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Declaration:
    """Allergens in the order of the law.

    ``unstated`` are ingredients of the baker's own whose allergens nobody stated;
    ``not_understood`` are words for allergens that are on no list, with what carries them.
    """

    lines: tuple[AllergenLine, ...]
    unstated: tuple[str, ...] = ()
    not_understood: tuple[tuple[str, str], ...] = ()


@cache
def allergen_table() -> Mapping[str, Allergen]:
    """All allergens by key, in the order of Annex II of Regulation (EU) No 1169/2011.

    >>> len(allergen_table()), sum(bool(a.us_name) for a in allergen_table().values())
    (14, 9)
    """
    return MappingProxyType({row["key"]: _allergen(row) for row in rows(FOLDER / "allergens.tsv")})


def declaration(
    ingredients: Iterable[Ingredient], place: str = "EU", may_contain: Sequence[str] = ()
) -> Declaration:
    """Allergens of a product by the list of ``place`` (US, else that of the EU and the UK).

    ``may_contain`` are the baker's own words for what could get in by chance. The EU
    names each cereal with gluten, the US wheat only; both name each nut.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> table = ingredient_table()
    >>> miche = [table["strong white flour"], table["medium rye flour"], table["dark beer"]]
    >>> lines = declaration(miche, "EU").lines
    >>> [line.name for line in lines if line.state == "contains"]  # the beer's barley
    ['wheat', 'rye', 'barley']
    >>> [line.name for line in declaration(miche, "US").lines]
    ['wheat']
    """
    american = place.upper() == "US"
    found: dict[tuple[str, str], dict[State, list[str]]] = {}
    strange: dict[tuple[str, str], None] = {}
    used = tuple(dict.fromkeys(ingredients))
    for word, state, bringer in _said(used, may_contain, american=american):
        meant = _meant(word)
        if meant is None:
            strange[word, bringer] = None
        else:
            found.setdefault(meant, {}).setdefault(state, []).append(bringer)
    lines = _american(found) if american else _european(found)
    unstated = dict.fromkeys(i.name for i in used if not i.allergens_stated)
    return Declaration(tuple(lines), tuple(unstated), tuple(strange))


Found = Mapping[tuple[str, str], Mapping[State, list[str]]]
"""What was found, by allergen and kind: who brings it, by state."""


def _said(
    used: Sequence[Ingredient], may_contain: Sequence[str], *, american: bool
) -> Iterator[tuple[str, State, str]]:
    for ingredient in used:
        for entry in ingredient.allergens_us if american else ingredient.allergens_eu:
            state = CHECK if entry.startswith(TO_CHECK) else CONTAINS
            yield entry.removeprefix(TO_CHECK), state, ingredient.name
        if not ingredient.allergens_stated:
            for word in words_in(ingredient.name):
                yield word, CHECK, ingredient.name
    for word in may_contain:
        yield word, MAY_CONTAIN, ""


def words_in(name: str) -> Iterator[str]:
    """Words for allergens that stand in a name, the longest there are.

    >>> list(words_in("Soy lecithin")), list(words_in("pecan nut and nutmeg filling"))
    (['soy lecithin'], ['pecan nut'])
    """
    said, at = plain_words(name), 0
    longest = max(map(len, _plain_words()))
    while at < len(said):
        spans = (said[at : at + size] for size in range(longest, 0, -1))
        span = next((s for s in spans if s in _plain_words()), ())
        if span:
            yield _plain_words()[span]
        at += max(1, len(span))


def _european(found: Found) -> Iterator[AllergenLine]:
    for key, kind in sorted(found, key=_place_in_law):
        allergen = allergen_table()[key]
        specific = kind if kind in allergen.kinds or not kind else f"{kind} ({key})"
        yield _line(specific or key, allergen.eu_name, found[key, kind])


def _american(found: Found) -> Iterator[AllergenLine]:
    merged: dict[tuple[str, str], dict[State, list[str]]] = {}
    for (key, kind), bringers in found.items():
        for state, names in bringers.items():
            wheat = key == "gluten"
            if wheat and kind and WHEAT not in kind:
                continue  # rye, barley and oats are on no list of the US
            seen = CHECK if wheat and not kind and state == CONTAINS else state
            place = merged.setdefault((key, "" if wheat else kind), {})
            place.setdefault(seen, []).extend(names)
    for key, kind in sorted(merged, key=_place_in_law):
        allergen = allergen_table()[key]
        specific = kind if kind in allergen.kinds or not kind else f"{kind} ({allergen.us_name})"
        if allergen.us_name:
            yield _line(specific or allergen.us_name, allergen.us_name, merged[key, kind])


def _line(name: str, group: str, bringers: Mapping[State, list[str]]) -> AllergenLine:
    state = next(state for state in STRONGEST_FIRST if state in bringers)
    names = (n for s in STRONGEST_FIRST for n in bringers.get(s, ()) if s == state and n)
    return AllergenLine(name, group, state, tuple(dict.fromkeys(names)))


def _place_in_law(meant: tuple[str, str]) -> tuple[int, int, str]:
    key, kind = meant
    kinds = allergen_table()[key].kinds
    named = (*kinds, kind) if kind else ()  # the group first, kinds the law does not name last
    return list(allergen_table()).index(key), named.index(kind) if named else -1, kind


def _meant(word: str) -> tuple[str, str] | None:
    """Key and kind of a word of the table or the baker: ``gluten:rye``, ``Walnut``, ``soy``."""
    group, _, kind = word.casefold().strip().partition(":")
    known = _words().get(group.strip())
    if known is None or not kind:
        return known
    allergen = allergen_table()[known[0]]
    named = _words().get(kind.strip())
    if named is not None and named[0] == allergen.key and named[1]:
        return named
    return allergen.key, kind.strip()


@cache
def _words() -> Mapping[str, tuple[str, str]]:
    found: dict[str, tuple[str, str]] = {}
    for allergen in allergen_table().values():
        for kind in allergen.kinds:
            plain = kind.removesuffix(" (wheat)").casefold()
            nut = plain.removesuffix(" nuts").removesuffix("s")
            for word in (kind.casefold(), plain, nut, f"{nut}s", f"{nut} nut", f"{nut} nuts"):
                found[word] = (allergen.key, kind)
        for word in (allergen.key, allergen.eu_name, allergen.us_name, *allergen.words):
            found.setdefault(word.casefold(), (allergen.key, ""))
    found["oat"] = found["oats"]
    found.pop("", None)
    return MappingProxyType(found)


@cache
def _plain_words() -> Mapping[tuple[str, ...], str]:
    return MappingProxyType({plain_words(word): word for word in _words()})


def _allergen(row: Mapping[str, str]) -> Allergen:
    return Allergen(
        key=row["key"],
        eu_name=row["eu_name"],
        us_name=row["us_name"],
        kinds=tuple(row["kinds"].split("; ")) if row["kinds"] else (),
        words=tuple(row["words"].split("; ")) if row["words"] else (),
        source=row["source"],
        locator=row["locator"],
    )
