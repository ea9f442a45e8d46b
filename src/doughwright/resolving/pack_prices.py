"""What a pack's price is by the kilogram: sizes of eggs, American and imperial packs.

What is bought by number weighs what it does in the country it is bought in, and a gallon there
is that country's.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from doughwright.documents.prices import Price
from doughwright.engine.costing import price_by_count
from doughwright.engine.food_rules import Codes
from doughwright.engine.ingredients import (
    EU_MEMBERS,
    Ingredient,
    counted_mass,
    measures_of,
    plain_words,
    size_said,
)
from doughwright.errors import ImpossibleInput, Notice
from doughwright.units import CubicMetre, Kilogram, MoneyPerKilogram

SIZES = ("medium", "large", "small", "extra large", "jumbo")
"""Sizes of what is counted; the first that is known is meant where none is said."""

SIZES_OF_US_EGGS = ("large", *SIZES)
"""In the US a plain egg is a large one (common practice, no source)."""

NO_SIZE = frozenset({"", "piece", "each"})
"""What is left of a measure that says no more than that it counts."""

US_GALLON: CubicMetre = 3.785411784e-3
IMPERIAL_GALLON: CubicMetre = 4.54609e-3
"""Exact: 231 cubic inches (NIST Handbook 44); the UK's Weights and Measures Act 1985."""

OF_A_GALLON: Mapping[str, float] = MappingProxyType(
    {"gallon": 1.0, "half gallon": 0.5, "quart": 1 / 4, "pint": 1 / 8, "half pint": 1 / 16}
)

ONLY_AMERICAN = frozenset({"stick"})
"""Measures that mean the American one wherever the price was paid."""


def rules_of(place: str) -> Codes | None:
    """Whose rules hold in a country; None where they are none of ours.

    >>> rules_of("LV"), rules_of("GB"), rules_of("AU")
    ('EU', 'UK', None)
    """
    code = place.upper()
    if code == "EU" or code in EU_MEMBERS:
        return "EU"
    found: Mapping[str, Codes] = {"GB": "UK", "UK": "UK", "US": "US"}
    return found.get(code)


def with_size(price: Price, ingredient: Ingredient, region: str, used: Sequence[str] = ()) -> Price:
    """A price by number with the size that is meant, where it says none and one is known.

    That is the size ``used`` in the formula, else the ordinary one.

    >>> from doughwright.documents.prices import price
    >>> from doughwright.engine.ingredients import ingredient_table
    >>> egg = ingredient_table()["egg"]
    >>> with_size(price("0.32 EUR/egg", "count"), egg, "LV").measure
    'medium'
    """
    if price.dimension != "count" or size_said(price.measure, ingredient.name) not in NO_SIZE:
        return price
    plain_egg = region.upper() == "US" and ingredient.kind == "egg"
    known = measures_of(ingredient.name, region)
    meant = (*(size for size in used if size in SIZES), *(SIZES_OF_US_EGGS if plain_egg else SIZES))
    size = next((size for size in meant if size in known), price.measure)
    return price if size == price.measure else replace(price, measure=size)


def size_assumed(price: Price, sized: Price, ingredient: Ingredient, region: str) -> Notice:
    """What is said of a price that names no size."""
    measure = r"\s+".join(map(re.escape, price.measure.split()))
    example = re.sub(rf"{measure}\s*$", sized.measure, price.text, flags=re.IGNORECASE)
    mass = counted_mass(ingredient.name, sized.measure, region)
    values = {"size": sized.measure, "mass": mass, "example": example}
    return Notice.of("price-size-assumed", name=ingredient.name, read=price.text, **values)


def by_volume(price: Price, ingredient: Ingredient, region: str) -> Price:
    """A price of a gallon, quart or pint as one by volume, unless the table weighs such a pack.

    >>> from doughwright.documents.prices import price
    >>> from doughwright.engine.ingredients import ingredient_table
    >>> milk = ingredient_table()["whole milk"]
    >>> [round(by_volume(price("1 USD/gallon", "count"), milk, where).amount / 1000, 3)
    ...  for where in ("US", "GB")]  # a litre: 1 / 3.785, 1 / 4.546
    [0.264, 0.22]
    """
    if price.dimension != "count" or one_weighs(price, ingredient, region) is not None:
        return price
    share = OF_A_GALLON.get(_plain(price.measure))
    if share is None:
        return price
    gallon = IMPERIAL_GALLON if rules_of(region) == "UK" else US_GALLON
    return replace(price, dimension="volume", amount=price.amount / (share * gallon), measure="")


def gallon_assumed(price: Price, region: str) -> Notice | None:
    """What is said of a gallon in a country that has none; the American is taken there."""
    if rules_of(region) in {"US", "UK"}:
        return None
    measure = _plain(price.measure)
    litres = OF_A_GALLON[measure] * US_GALLON * 1e3
    return Notice.of("price-gallon-assumed", read=price.text, measure=measure, litres=litres)


def one_weighs(price: Price, ingredient: Ingredient, region: str) -> Kilogram | None:
    """Mass of one of what a price by number buys; None where the table does not say."""
    found = counted_mass(ingredient.name, price.measure, region)
    if found is None and ONLY_AMERICAN & {*plain_words(price.measure)}:
        return counted_mass(ingredient.name, price.measure, "US")
    return found


def price_per_kilogram(price: Price, ingredient: Ingredient, region: str) -> MoneyPerKilogram:
    """Price of a kilogram of an ingredient, of what is bought by number as it is eaten.

    >>> from doughwright.documents.prices import price
    >>> from doughwright.engine.ingredients import ingredient_table
    >>> eggs = price("3.20 EUR/10 large", "count")
    >>> round(price_per_kilogram(eggs, ingredient_table()["egg"], "US"), 2)  # 0.32 for 50 g
    6.4

    Raises
    ------
    ImpossibleInput
        If its density or the mass of one is not known.
    """
    if price.dimension == "mass":
        return price.amount
    said = {"name": ingredient.name, "read": price.text}
    if price.dimension == "volume":
        if ingredient.density is None:
            raise ImpossibleInput([Notice.of("price-needs-density", **said)])
        return price.amount / ingredient.density
    one = one_weighs(price, ingredient, region)
    if one is None:
        known = ", ".join(measures_of(ingredient.name, region)) or "none"
        raise ImpossibleInput([Notice.of("price-needs-measure", **said, allowed=known)])
    return price_by_count(price.amount, one)


def _plain(measure: str) -> str:
    return " ".join(plain_words(measure))
