"""The list of ingredients of a label: order by what was weighed, water, named quantities."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from doughwright.engine.ingredients import Ingredient, ingredient_named
from doughwright.engine.label_rounding import printed
from doughwright.engine.nutrition import Weighed
from doughwright.engine.overall import PLAIN_WATER
from doughwright.engine.properties import constants
from doughwright.units import Kilogram, Ratio

WATER = "water"


@dataclass(frozen=True, slots=True)
class ListedIngredient:
    """An ingredient of the list: its mass in the mixing bowl, its share of the finished mass.

    ``may_come_last`` marks one of so small a share that its place is free.
    """

    name: str
    mass: Kilogram
    ratio: Ratio
    may_come_last: bool


@dataclass(frozen=True, slots=True)
class NamedQuantity:
    """How much of a named ingredient went in, over the finished mass, as printed."""

    name: str
    ratio: Ratio
    printed: str


def listed_ingredients(
    weighed: Weighed, finished: Kilogram, place: str = "EU"
) -> tuple[ListedIngredient, ...]:
    """Ingredients by descending mass at the mixing bowl, each once, whatever it went into.

    Art. 18 of Regulation (EU) No 1169/2011. In the EU and the UK added water is what the
    others leave of the finished mass, and is left out up to 5 % (Annex VII, from memory);
    the US lists water as weighed. A starter is listed as its flour and water.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> table = ingredient_table()
    >>> grams = {"strong white flour": 500, "water": 350, "salt": 10, "instant yeast": 5}
    >>> weighed = [(table[name], mass / 1000) for name, mass in grams.items()]
    >>> [(i.name, i.may_come_last) for i in listed_ingredients(weighed, 0.761)]
    [('strong white flour', False), ('water', False), ('salt', True), ('instant yeast', True)]
    """
    masses: dict[str, Kilogram] = {}
    for name, mass in _simple(weighed):
        masses[name] = masses.get(name, 0.0) + mass
    if WATER in masses and place.upper() != "US":
        others = sum(mass for name, mass in masses.items() if name != WATER)
        masses[WATER] = min(masses[WATER], max(0.0, finished - others))
        if masses[WATER] <= _share("water_left_out") * finished:
            del masses[WATER]
    return tuple(
        ListedIngredient(name, mass, mass / finished, mass < _share("may_come_last") * finished)
        for name, mass in sorted(masses.items(), key=lambda item: -item[1])
    )


def compounds(weighed: Weighed, finished: Kilogram, place: str = "EU") -> tuple[str, ...]:
    """Names of ingredients that are made of several things, which a label lists too.

    Annex VII E (2) of Regulation (EU) No 1169/2011, from memory: of jam, chocolate and the
    like, and of spice mixes, from 2 % of the finished weight, of others always. In the US all
    (21 CFR 101.4(b)(2), from memory).

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> table = ingredient_table()
    >>> grams = {"strong white flour": 500, "ham": 5, "dark chocolate": 5}
    >>> weighed = [(table[name], mass / 1000) for name, mass in grams.items()]
    >>> compounds(weighed, 0.5), compounds(weighed, 0.5, "US")
    (('ham',), ('ham', 'dark chocolate'))
    """
    masses: dict[str, Kilogram] = {}
    for ingredient, mass in weighed:
        masses[ingredient.name] = masses.get(ingredient.name, 0.0) + mass
    least = 0.0 if place.upper() == "US" else _share("compound_from") * finished
    names = (i.name for i, _ in weighed if _is_listed(i, masses[i.name] >= least))
    return tuple(dict.fromkeys(names))


def _is_listed(ingredient: Ingredient, much: bool) -> bool:  # noqa: FBT001 - a finding
    return ingredient.compound == "yes" or (ingredient.compound == "from 2 %" and much)


def named_quantities(
    ingoing: Mapping[str, Kilogram], finished: Kilogram
) -> tuple[NamedQuantity, ...]:
    """Quantities of named ingredients: what went in over what came out.

    Art. 22 and Annex VIII (4) (a) of Regulation (EU) No 1169/2011: where one or all
    together pass 100 % because water is lost, weights for 100 g are printed instead.

    >>> named_quantities({"cheese": 0.2}, 0.8)[0].printed  # leaflet of a county council
    '25 %'
    >>> named_quantities({"butter": 0.52, "nuts": 0.6}, 1.0)[0].printed
    '52 g per 100 g'
    """
    by_weight = sum(ingoing.values()) > finished
    return tuple(
        NamedQuantity(name, mass / finished, _quantity(mass / finished, by_weight=by_weight))
        for name, mass in ingoing.items()
    )


def _quantity(ratio: Ratio, *, by_weight: bool) -> str:
    if by_weight:
        return f"{printed('EU', 'quantity by weight', ratio / 10)} per 100 g"
    return printed("EU", "quantity", ratio)


def _share(name: str) -> Ratio:
    return constants("nutrition")[name].value


def _simple(weighed: Weighed) -> Iterator[tuple[str, Kilogram]]:
    """Take starters apart; call all plain water water."""
    for ingredient, mass in weighed:
        parts = ingredient.composition
        flour = _flour_of(ingredient)
        if flour is not None:
            dry = ingredient.flour / flour.flour
            yield flour.name, mass * dry
            yield WATER, mass * (1 - dry)
        elif parts is not None and parts.water >= PLAIN_WATER:
            yield WATER, mass
        else:
            yield ingredient.name, mass


def _flour_of(starter: Ingredient) -> Ingredient | None:
    """Flour that a starter was fed with, as its note says; None for what is no starter."""
    if starter.kind != "starter" or not starter.flour:
        return None
    return ingredient_named(starter.note.removesuffix(" and water"))
