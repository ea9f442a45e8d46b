"""What bread is made of: composition, how a baker counts it, household measures.

The rows stand in ``properties/ingredients.tsv`` and ``properties/measures.tsv``. Here
they are read once, found by the words a baker uses, and given out as SI floats.
"""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Literal, cast

from doughwright.engine.properties import FOLDER
from doughwright.sources import rows
from doughwright.units import Density, Kilogram, Ratio

PARTS = ("water", "protein", "fat", "carbohydrate", "fibre", "ash", "alcohol")
"""What a composition is split into; the parts add up to the whole."""

BESIDE = ("saturates", "sugars", "sodium")
"""Nutrients that stand beside a composition, where a blank of the table reads as zero."""

LABEL_PROTEIN_FACTOR: Ratio = 6.25
"""Nitrogen to protein on a label of the EU, whatever the food (Regulation 1169/2011, Annex I)."""

Spoils = Literal["no", "opened", "cold"]
"""``cold``: a hazard when it stands warm; ``opened``: kept cold for its own sake, no hazard."""

Compound = Literal["", "yes", "from 2 %"]
"""Whether a label lists what it is made of too; ``from 2 %`` of the finished weight only."""

RawHazard = Literal["", "egg", "meat", "flour"]
"""What makes tasting it raw unwise; empty when nothing does."""

EU_MEMBERS = frozenset(  # one string: 27 codes one to a line would hide the code below
    "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK".split()  # noqa: SIM905
)
"""Countries (ISO 3166-1) whose egg sizes and yeast packs follow the rows marked ``EU``."""

MEASURE_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "teaspoon": "tsp",
        "tablespoon": "tbsp",
        "packet": "sachet",
        "envelope": "sachet",
        "s": "small",
        "m": "medium",
        "l": "large",
        "xl": "extra large",
        "very large": "extra large",
    }
)
"""Other words for a measure of the table."""


@dataclass(frozen=True, slots=True)
class Composition:
    """Mass fractions of the parts of an ingredient; ``carbohydrate`` is without fibre."""

    water: Ratio
    protein: Ratio
    fat: Ratio
    carbohydrate: Ratio
    fibre: Ratio
    ash: Ratio
    alcohol: Ratio = 0.0


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One ingredient as the engine needs it; ratios are mass fractions of it.

    ``composition`` is None when it is unknown, ``density`` (bulk, as measured in a
    cup) likewise; ``yeast_equivalent`` is the mass of fresh yeast that one mass of
    it replaces, 0 for what is no yeast. ``fermentable_sugars`` leaves out lactose
    and the sugar inside whole pieces of fruit or chocolate. ``salt`` is what a baker
    counts as salt. An allergen that starts with ``check:`` depends on the maker.
    ``protein_factor`` is what nitrogen was multiplied by to give the protein of the
    composition; ``added_sugars`` the part of ``sugars`` a US label calls added;
    ``edible`` the share of the bought good that goes into the bowl. ``blanks`` are the
    nutrients beside the composition that nobody knows: they hold zero and are not. ``fdc``
    and ``ndb`` are USDA's numbers of the row, empty when it has none. ``allergens_stated`` is
    false where the baker's own entry says nothing of them: those held are of what it is like.
    """

    name: str
    kind: str
    flour: Ratio
    poured: bool
    composition: Composition | None
    saturates: Ratio
    sugars: Ratio
    fermentable_sugars: Ratio
    salt: Ratio
    sodium: Ratio
    density: Density | None
    butterfat: bool
    yeast_equivalent: Ratio
    perishable: bool
    kept: str
    allergens_eu: tuple[str, ...]
    allergens_us: tuple[str, ...]
    source: str
    locator: str
    aliases: tuple[str, ...] = ()
    note: str = ""
    protein_factor: Ratio = LABEL_PROTEIN_FACTOR
    added_sugars: Ratio = 0.0
    edible: Ratio = 1.0
    spoils: Spoils = "no"
    raw_hazard: RawHazard = ""
    fdc: str = ""
    ndb: str = ""
    blanks: tuple[str, ...] = ()
    compound: Compound = ""
    allergens_stated: bool = True


@cache
def ingredient_table() -> Mapping[str, Ingredient]:
    """All ingredients by their name, in the order of the table.

    >>> ingredient_table()["strong white flour"].composition.water  # USDA SR28, NDB 20129
    0.1336
    """
    table = rows(FOLDER / "ingredients.tsv")
    return MappingProxyType({row["name"]: _ingredient(row) for row in table})


@lru_cache(8192)
def ingredient_named(word: str) -> Ingredient | None:
    """Find the ingredient a baker means; None when the table has no such word.

    Letter case, accents, hyphens, commas, the order of words and simple plurals do
    not matter. Other usual words for an ingredient are its aliases.

    >>> ingredient_named("Butter, unsalted").name
    'unsalted butter'
    >>> ingredient_named("egg yolks").name
    'egg yolk'
    """
    # most words stand in the table as they are; only the others are worth taking apart
    name = _names_by_spelling().get(_plain(word)) or _names_by_key().get(_key(word))
    return None if name is None else ingredient_table()[name]


MOST_NEAR = 12
"""Spellings that are looked at, several of one ingredient among them."""


def nearest_names(word: str, count: int = 3) -> tuple[str, ...]:
    """Names or aliases spelt most like ``word``, best first, one per ingredient.

    >>> nearest_names("stong white flour", 1)
    ('strong white flour',)
    """
    return _near(_plain(word))[:count]


@lru_cache(1024)
def _near(word: str) -> tuple[str, ...]:
    """The nearest of all, kept: it takes milliseconds, and a page asks again and again."""
    spellings = _names_by_spelling()
    near = get_close_matches(word, spellings, n=MOST_NEAR)
    first = {spellings[spelling]: spelling for spelling in reversed(near)}
    return tuple(spelling for spelling in near if first[spellings[spelling]] == spelling)


def names_like(word: str) -> tuple[Ingredient, ...]:
    """All ingredients with ``word`` in their name, an alias or their kind, in table order.

    >>> [found.name for found in names_like("ricotta")]
    ['ricotta']
    """
    wanted = _plain(word)
    return tuple(i for i in ingredient_table().values() if _mentions(i, wanted))


def starter_of(hydration: Ratio, flour: Ingredient) -> Ingredient:
    """Return a starter of ``flour`` with ``hydration`` times as much water.

    The acids it has made and the sugars it has eaten are not counted: it weighs and
    contains what was put in.

    >>> half = starter_of(1.0, ingredient_table()["strong white flour"])  # 1:1, by definition
    >>> half.flour
    0.5
    """
    assert hydration >= 0, "a document with negative water is refused before it comes here"
    dry = 1 / (1 + hydration)
    return Ingredient(
        name="starter",
        kind="starter",
        flour=flour.flour * dry,
        poured=False,
        composition=_mixed(flour.composition, ingredient_table()["water"].composition, dry),
        saturates=flour.saturates * dry,
        sugars=flour.sugars * dry,
        fermentable_sugars=flour.fermentable_sugars * dry,
        salt=flour.salt * dry,
        sodium=flour.sodium * dry,
        density=None,
        butterfat=False,
        yeast_equivalent=0.0,
        perishable=True,
        kept="fridge",
        allergens_eu=flour.allergens_eu,
        allergens_us=flour.allergens_us,
        source=flour.source,
        locator=flour.locator,
        note=f"{flour.name} and water",
        protein_factor=flour.protein_factor,
        added_sugars=flour.added_sugars * dry,
        spoils="opened",
        raw_hazard=flour.raw_hazard,
        blanks=flour.blanks,
    )


def counted_mass(ingredient_name: str, measure: str, region: str = "") -> Kilogram | None:
    """Mass of one ``measure`` (``large``, ``sachet``, ``tsp`` …) of an ingredient.

    ``region`` is US, EU, UK or a country code; None when the table does not say.

    >>> counted_mass("egg", "large", "US")  # USDA SR28, NDB 01123
    0.05
    """
    known = measures_of(ingredient_name, region)
    return known.get(_measure(measure)) or known.get(size_said(measure, ingredient_name))


def size_said(measure: str, ingredient_name: str) -> str:
    """A measure without the ingredient's own name; empty where it says no more than that.

    >>> size_said("extra large eggs", "egg"), size_said("eggs", "egg"), size_said("XL", "egg")
    ('extra large', '', 'extra large')
    """
    words = measure.split()
    for i in range(len(words)):
        found = ingredient_named(" ".join(words[i:]))
        if found is not None and found is ingredient_named(ingredient_name):
            return _measure(" ".join(words[:i]))
    return _measure(measure)


def measures_of(ingredient_name: str, region: str = "") -> Mapping[str, Kilogram]:
    """Masses of all measures of an ingredient that are used in ``region``.

    A country's own row goes before the row of the EU, and that before the one for
    everywhere.

    >>> sorted(measures_of("fresh yeast", "DE").items())
    [('cube', 0.042), ('half cube', 0.021)]
    """
    found = ingredient_named(ingredient_name)
    measures: dict[str, Kilogram] = {}
    for where in reversed(_regions(region)):
        measures |= _measure_table().get((found.name if found else "", where), {})
    return MappingProxyType(measures)


def _ingredient(row: Mapping[str, str]) -> Ingredient:
    return Ingredient(
        name=row["name"],
        kind=row["kind"],
        flour=float(row["flour"]),
        poured=row["poured"] == "yes",
        composition=_composition(row),
        saturates=_share(row["saturates"]),
        sugars=_share(row["sugars"]),
        fermentable_sugars=_share(row["fermentable_sugars"]),
        salt=_share(row["salt"]),
        sodium=_share(row["sodium"]) / 1000,
        density=float(row["density"]) if row["density"] else None,
        butterfat=row["butterfat"] == "yes",
        yeast_equivalent=float(row["yeast_equivalent"] or 0),
        perishable=row["perishable"] == "yes",
        kept=row["kept"],
        allergens_eu=_listed(row["allergens_eu"]),
        allergens_us=_listed(row["allergens_us"]),
        source=row["source"],
        locator=row["locator"],
        aliases=_listed(row["aliases"]),
        note=row["note"],
        protein_factor=float(row["protein_factor"]),
        added_sugars=_share(row["added_sugars"]),
        edible=float(row["edible"]),
        spoils=cast("Spoils", row["spoils"]),  # the table's words are tested
        raw_hazard=cast("RawHazard", row["raw_hazard"]),
        fdc=row["fdc"],
        ndb=row["ndb"],
        blanks=tuple(part for part in BESIDE if row["water"] and not row[part]),
        compound=cast("Compound", row["compound"]),
    )


def _composition(row: Mapping[str, str]) -> Composition | None:
    if not row["water"]:
        return None
    return Composition(*(_share(row[part]) for part in PARTS))


def _mixed(flour: Composition | None, water: Composition | None, dry: Ratio) -> Composition | None:
    if flour is None or water is None:
        return None
    mixed = (dry * getattr(flour, part) + (1 - dry) * getattr(water, part) for part in PARTS)
    return Composition(*mixed)


def _share(per_hundred: str) -> Ratio:
    # divided, not multiplied by 0.01, so that 13.36 per 100 becomes the float 0.1336
    return float(per_hundred or 0) / 100


def _listed(cell: str) -> tuple[str, ...]:
    return tuple(cell.split("; ")) if cell else ()


def _mentions(ingredient: Ingredient, wanted: str) -> bool:
    words = (ingredient.name, ingredient.kind, *ingredient.aliases)
    return any(wanted in word.casefold() for word in words)


@cache
def _names_by_spelling() -> Mapping[str, str]:
    return {
        _plain(spelling): name
        for name, ingredient in ingredient_table().items()
        for spelling in (name, *ingredient.aliases)
    }


@cache
def _names_by_key() -> Mapping[tuple[str, ...], str]:
    return {_key(spelling): name for spelling, name in _names_by_spelling().items()}


def _plain(word: str) -> str:
    return " ".join(word.casefold().split())


def plain_words(text: str) -> tuple[str, ...]:
    """Words of a text in their order, without case, accents, marks and plural.

    >>> plain_words("Crème-fraîche buns")
    ('creme', 'fraiche', 'bun')
    """
    letters = unicodedata.normalize("NFKD", text.casefold())
    kept = (c for c in letters if not unicodedata.combining(c) and c not in "'’")
    spaced = "".join(c if c.isalnum() else " " for c in kept)
    return tuple(_singular(part) for part in spaced.split())


def _key(word: str) -> tuple[str, ...]:
    return tuple(sorted(plain_words(word)))


def _singular(word: str) -> str:
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith("oes"):
        return word[:-2]
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


@cache
def _measure_table() -> Mapping[tuple[str, str], dict[str, Kilogram]]:
    table: dict[tuple[str, str], dict[str, Kilogram]] = {}
    for row in rows(FOLDER / "measures.tsv"):
        place = table.setdefault((row["ingredient"], row["region"]), {})
        place[row["measure"]] = float(row["grams"]) / 1000
    return table


def _measure(word: str) -> str:
    singular = " ".join(_singular(part) for part in _plain(word.replace(".", "")).split())
    return MEASURE_WORDS.get(singular, singular)


def _regions(region: str) -> tuple[str, ...]:
    """From the nearest to the widest."""
    code = {"GB": "UK"}.get(region.upper(), region.upper())
    return tuple(dict.fromkeys((code, "EU", "") if code in EU_MEMBERS else (code, "")))
