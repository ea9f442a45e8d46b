"""The ingredient list: what the table knows."""

from dataclasses import dataclass

from doughwright.engine.ingredients import (
    Ingredient,
    RawHazard,
    Spoils,
    ingredient_table,
    names_like,
)
from doughwright.engine.overall import free_water
from doughwright.sheets.cells import Cell, ratio


@dataclass(frozen=True, slots=True)
class IngredientRow:
    """One ingredient as the algebra sees it."""

    name: str
    kind: str
    aliases: tuple[str, ...]
    flour: Cell
    water: Cell | None
    counted_water: Cell
    fat: Cell | None
    sugars: Cell
    added_sugars: Cell
    salt: Cell
    protein_factor: float
    edible: Cell
    spoils: Spoils
    raw_hazard: RawHazard
    allergens_eu: tuple[str, ...]
    allergens_us: tuple[str, ...]
    fdc: str
    ndb: str
    source: str


def ingredient_rows(word: str = "") -> tuple[IngredientRow, ...]:
    """All ingredients, or those a word is found in."""
    found = names_like(word) if word else tuple(ingredient_table().values())
    return tuple(map(_row, found))


def _row(ingredient: Ingredient) -> IngredientRow:
    known = ingredient.composition
    return IngredientRow(
        name=ingredient.name,
        kind=ingredient.kind,
        aliases=ingredient.aliases,
        flour=ratio(ingredient.flour),
        water=ratio(known.water) if known else None,
        counted_water=ratio(free_water(ingredient)),
        fat=ratio(known.fat) if known else None,
        sugars=ratio(ingredient.sugars),
        added_sugars=ratio(ingredient.added_sugars),
        salt=ratio(ingredient.salt),
        protein_factor=ingredient.protein_factor,
        edible=ratio(ingredient.edible),
        spoils=ingredient.spoils,
        raw_hazard=ingredient.raw_hazard,
        allergens_eu=ingredient.allergens_eu,
        allergens_us=ingredient.allergens_us,
        fdc=ingredient.fdc,
        ndb=ingredient.ndb,
        source=f"{ingredient.source} {ingredient.locator}".strip(),
    )
