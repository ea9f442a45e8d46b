"""Ingredients by what they do in a dough, so that formulas by several authors can be compared.

Milk in one and water in another are liquids in both; fresh and dry yeast are yeast. A starter
is its flour and its water. The example is ``brioche``, of Professional Baking.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from doughwright.engine.formula import SolvedFormula
from doughwright.engine.ingredients import Ingredient, ingredient_named
from doughwright.engine.overall import poured_liquid
from doughwright.units import Kilogram, Ratio

FLOUR, LIQUID, YEAST, SALT = "flour", "liquids", "yeast, as fresh", "salt"
EGG, FAT, SUGAR = "eggs", "fats", "sugars"
GROUPS = (FLOUR, LIQUID, EGG, FAT, SUGAR, SALT, YEAST)
"""The groups in the order they are shown; what is in none of them stands alone after them."""

KINDS: Mapping[str, str] = MappingProxyType({"egg": EGG, "fat": FAT, "sugar": SUGAR, "salt": SALT})
STARTER = "starter"
STARTER_FLOUR, STARTER_WATER = "flour in a starter", "water in a starter"


@dataclass(frozen=True, slots=True)
class Part:
    """An ingredient in a group: by its table name, as the group counts it, over total flour."""

    group: str
    name: str
    ratio: Ratio


def group_of(ingredient: Ingredient) -> str:
    """The group an ingredient belongs to; nothing where it stands alone.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> [group_of(ingredient_table()[name]) for name in ("honey", "whole milk", "raisins")]
    ['sugars', 'liquids', '']
    """
    if ingredient.flour:
        return FLOUR
    if ingredient.yeast_equivalent:
        return YEAST
    if ingredient.poured:
        return LIQUID
    return KINDS.get(ingredient.kind, "")


def counted(ingredient: Ingredient) -> Ratio:
    """How much of its group one mass of an ingredient is: dry yeast is more than itself.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> round(counted(ingredient_table()["instant yeast"]), 2)  # fresh yeast, 1 to 0.33
    3.03
    """
    return ingredient.flour or ingredient.yeast_equivalent or 1.0


def table_name(ingredient: Ingredient, like: Mapping[str, str]) -> str:
    """What the ingredient table calls an ingredient, by its name or by what it is said to be like.

    Of another kind than the table has, it keeps its own name: a starter of which nobody knows
    flour and water is none.

    >>> from dataclasses import replace
    >>> from doughwright.engine.ingredients import ingredient_table
    >>> own = replace(ingredient_table()["egg"], name="eggs of our hens")
    >>> table_name(own, {"eggs of our hens": "egg"}), table_name(replace(own, kind="other"), {})
    ('egg', 'eggs of our hens')
    >>> table_name(replace(own, name="starter", kind="other"), {})
    'starter, as weighed'
    """
    found = ingredient_named(like.get(ingredient.name, ingredient.name))
    if found is None or found.kind == ingredient.kind:
        return found.name if found is not None else ingredient.name
    return f"{ingredient.name}, as weighed" if found.kind == STARTER else ingredient.name


def parts(
    formula: SolvedFormula, like: Mapping[str, str] = MappingProxyType({})
) -> tuple[Part, ...]:
    """Every ingredient of the dough, in its group; ``like`` says what own ones are like.

    >>> [(p.group, p.name, round(p.ratio, 2)) for p in parts(brioche)][:2]
    [('liquids', 'whole milk', 0.2), ('yeast, as fresh', 'fresh yeast', 0.05)]
    """
    sums: dict[tuple[str, str], Kilogram] = {}
    for ingredient, mass in _in_dough(formula):
        for key, counts in _counts(ingredient, like):
            sums[key] = sums.get(key, 0.0) + mass * counts
    total = formula.total_flour
    return tuple(Part(*key, mass / total) for key, mass in sums.items() if mass > 0)


def _counts(
    ingredient: Ingredient, like: Mapping[str, str]
) -> Iterator[tuple[tuple[str, str], Ratio]]:
    """In which groups an ingredient is, under which name, and with how much of itself."""
    if ingredient.kind == STARTER:
        yield (FLOUR, STARTER_FLOUR), ingredient.flour
        yield (LIQUID, STARTER_WATER), poured_liquid(ingredient)
        return
    name = table_name(ingredient, like)
    yield (group_of(ingredient) or name, name), counted(ingredient)


def _in_dough(formula: SolvedFormula) -> Iterator[tuple[Ingredient, Kilogram]]:
    for p in formula.preparations:
        if p.preparation.in_dough:
            for line, mass in zip(p.preparation.lines, p.masses, strict=True):
                yield line.ingredient, mass * p.used
