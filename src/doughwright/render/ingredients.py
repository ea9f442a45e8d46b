"""What is known of an ingredient besides its parts, in words."""

from collections.abc import Sequence

from doughwright.render.numbers import percent
from doughwright.sheets.cells import Cell
from doughwright.sheets.ingredients import IngredientRow

KEEPING = {"no": "", "opened": "keep it cold once opened", "cold": "keep it cold"}
CHECK = "check:"
"""Begins an allergen that depends on the maker."""


def ingredient_facts(row: IngredientRow) -> str:
    """Waste, keeping, raw hazard, added sugars and allergens, as far as there are any."""
    facts = (
        _share(row.edible, "of what is bought is used", unless=1.0),
        KEEPING[row.spoils],
        f"raw {row.raw_hazard}, not to be tasted unbaked" if row.raw_hazard else "",
        _share(row.added_sugars, "added sugars", unless=0.0),
        *_allergens(row),
    )
    return "; ".join(filter(None, facts))


def _share(cell: Cell, what: str, *, unless: float) -> str:
    known = cell.value
    return "" if known is None or known == unless else f"{percent(known)} {what}"


def _allergens(row: IngredientRow) -> list[str]:
    eu, us = _named(row.allergens_eu), _named(row.allergens_us)
    if eu == us:
        return [f"allergens: {eu}"] if eu else []
    return [f"allergens ({place}): {words or 'none'}" for place, words in (("EU", eu), ("US", us))]


def _named(allergens: Sequence[str]) -> str:
    sure = [a.replace(":", ", ") for a in allergens if not a.startswith(CHECK)]
    unsure = [a.removeprefix(CHECK).replace(":", ", ") for a in allergens if a.startswith(CHECK)]
    label = [f"check the label for {' and '.join(unsure)}"] if unsure else []
    return " + ".join(sure + label)
