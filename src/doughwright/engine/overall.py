"""What a solved formula amounts to: percentages, both hydrations, salt, sugar, fat, yeast.

Everything here is about the dough: each preparation counts as far as it ends in it.
Ratios are to total flour, the flour of preferments and soakers included. The examples
share ``brioche``, a sponge brioche of 300 g flour from Professional Baking, whose water
is all in milk, egg, butter and yeast.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from doughwright.engine.formula import SolvedFormula, SolvedPreparation
from doughwright.engine.ingredients import Ingredient
from doughwright.units import Kilogram, Ratio

DRY_KINDS = frozenset(
    {"flour", "starch", "flake", "seed", "nut", "spice", "salt", "leavening", "other"}
)
"""Kinds that keep what water they hold: it does not count in true hydration."""

MOIST: Ratio = 0.15
"""Below this share of water an ingredient counts as dry (flour, seeds, sugar, dry yeast)."""

PLAIN_WATER: Ratio = 0.995
"""Above this share of water an ingredient is water: a tap's minerals are not weighed out."""

JUICY: Ratio = 0.5
"""Fruit gives its water to a dough only when it is fresh or puréed; raisins keep theirs."""


@dataclass(frozen=True, slots=True)
class OverallLine:
    """One ingredient over the whole formula."""

    name: str
    mass: Kilogram
    flour_ratio: Ratio


def free_water(ingredient: Ingredient) -> Ratio:
    """Share of an ingredient's mass that is water the dough can use.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> table = ingredient_table()
    >>> free_water(table["whole milk"]), free_water(table["strong white flour"])
    (0.8813, 0.0)
    """
    if ingredient.kind == "starter":
        return 1 - ingredient.flour
    if ingredient.composition is None or ingredient.flour:
        return 0.0
    water = ingredient.composition.water
    if water >= PLAIN_WATER:
        return 1.0
    least = JUICY if ingredient.kind == "fruit" else MOIST
    return water if ingredient.kind not in DRY_KINDS and water >= least else 0.0


def poured_liquid(ingredient: Ingredient) -> Ratio:
    """Share of an ingredient that the liquids-only convention counts as liquid.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> poured_liquid(ingredient_table()["whole milk"])
    1.0
    """
    if ingredient.kind == "starter":
        return 1 - ingredient.flour
    return 1.0 if ingredient.poured else 0.0


def added_fat(ingredient: Ingredient) -> Ratio:
    """Fat an ingredient brings to the dough; the flour's own is not counted.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> added_fat(ingredient_table()["unsalted butter"])  # USDA SR28, NDB 01145
    0.8111
    """
    if ingredient.composition is None or ingredient.kind in {"flour", "starch", "starter"}:
        return 0.0
    return ingredient.composition.fat


def usable_sugars(ingredient: Ingredient) -> Ratio:
    """Sugars an ingredient brings that the yeast can use; the flour's own are not counted.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> usable_sugars(ingredient_table()["sugar"])  # sugar is dry to 0.2 %
    0.998
    """
    return 0.0 if ingredient.flour else ingredient.fermentable_sugars


def _in_dough(formula: SolvedFormula) -> Iterator[tuple[SolvedPreparation, str, Ingredient, float]]:
    for p in formula.preparations:
        if p.preparation.in_dough:
            for line, mass in zip(p.preparation.lines, p.masses, strict=True):
                yield p, line.name, line.ingredient, mass * p.used


def overall_lines(formula: SolvedFormula) -> tuple[OverallLine, ...]:
    """Each ingredient once, in the order it is first used.

    >>> [(line.name, round(line.flour_ratio, 2)) for line in overall_lines(brioche)][:3]
    [('whole milk', 0.2), ('fresh yeast', 0.05), ('strong white flour', 1.0)]
    """
    masses: dict[str, Kilogram] = {}
    for _, _, ingredient, mass in _in_dough(formula):
        masses[ingredient.name] = masses.get(ingredient.name, 0.0) + mass
    return tuple(OverallLine(n, m, m / formula.total_flour) for n, m in masses.items())


def content_ratio(formula: SolvedFormula, share: Callable[[Ingredient], Ratio]) -> Ratio:
    """Mass of something in the dough over total flour, given its share of each ingredient.

    >>> round(content_ratio(brioche, lambda i: 1.0 if i.kind == "egg" else 0.0), 3)
    0.5
    """
    total = sum(mass * share(ingredient) for _, _, ingredient, mass in _in_dough(formula))
    return total / formula.total_flour


def hydration(formula: SolvedFormula) -> Ratio:
    """True water over total flour: that of milk, egg, butter, honey, fresh yeast counts.

    >>> round(hydration(brioche), 3)  # 69.7 % with bakers' round constants, no water poured
    0.717
    """
    return content_ratio(formula, free_water)


def hydration_liquids_only(formula: SolvedFormula) -> Ratio:
    """Poured liquids over total flour, as if milk were water and egg were dry.

    >>> round(hydration_liquids_only(brioche), 3)
    0.2
    """
    return content_ratio(formula, poured_liquid)


def salt_ratio(formula: SolvedFormula) -> Ratio:
    """Salt over total flour, that of salted butter and cheese included.

    >>> round(salt_ratio(brioche), 3)
    0.02
    """
    return content_ratio(formula, lambda i: i.salt)


def sugar_ratio(formula: SolvedFormula) -> Ratio:
    """Sugars the yeast can use, over total flour; milk sugar is none of them.

    >>> round(sugar_ratio(brioche), 2)
    0.05
    """
    return content_ratio(formula, usable_sugars)


def fat_ratio(formula: SolvedFormula) -> Ratio:
    """Fat over total flour, the flour's own left out.

    >>> round(fat_ratio(brioche), 3)  # 63.1 % with bakers' round constants
    0.623
    """
    return content_ratio(formula, added_fat)


def fresh_yeast_ratio(formula: SolvedFormula) -> Ratio:
    """All yeast as fresh yeast, over total flour.

    >>> round(fresh_yeast_ratio(brioche), 3)
    0.05
    """
    return content_ratio(formula, lambda i: i.yeast_equivalent)


def prefermented_flour_ratio(formula: SolvedFormula) -> Ratio:
    """Flour that ferments before the dough is mixed, over total flour.

    >>> round(prefermented_flour_ratio(brioche), 3)
    0.2
    """
    fermented = sum(
        mass * ingredient.flour
        for p, _, ingredient, mass in _in_dough(formula)
        if p.preparation.kind == "preferment" or ingredient.kind == "starter"
    )
    return fermented / formula.total_flour


def dough_yield(formula: SolvedFormula) -> Ratio:
    """Dough over total flour (gross); a net dough yield is 1 + hydration.

    >>> round(dough_yield(brioche), 2)  # 756 g of dough on 300 g of flour
    2.52
    """
    return formula.dough / formula.total_flour


def local_flour(formula: SolvedFormula, name: str) -> Kilogram:
    """Flour in a preparation as made, that of the preparations it takes included.

    >>> round(local_flour(brioche, "sponge"), 3), round(local_flour(brioche, "dough"), 3)
    (0.06, 0.3)
    """
    p = formula.named(name)
    taken = (
        local_flour(formula, other) * mass / formula.named(other).mass
        for other, mass in p.taken.items()
        if mass
    )
    return p.own_flour + sum(taken)
