"""What is told of an ingredient besides its parts: only what there is to tell."""

import pytest

from doughwright.render.ingredients import ingredient_facts
from doughwright.sheets.ingredients import IngredientRow, ingredient_rows


def row(name: str) -> IngredientRow:
    return next(found for found in ingredient_rows(name) if found.name == name)


@pytest.mark.parametrize(
    ("name", "facts"),
    [
        ("salt", ""),
        ("leek", "44.0 % of what is bought is used; keep it cold once opened"),
        ("sugar", "99.8 % added sugars"),
        ("unsalted butter", "keep it cold once opened; allergens: milk"),
        (
            "hard cheese",
            "keep it cold once opened; allergens (EU): milk + check the label for egg; allergens",
        ),
        (
            "medium rye flour",
            "raw flour, not to be tasted unbaked; allergens (EU): gluten, rye; allergens (US)",
        ),
        ("chocolate chips", "54.5 % added sugars; allergens (EU): check the label for milk and"),
    ],
)
def test_facts_of_an_ingredient(name: str, facts: str) -> None:
    told = ingredient_facts(row(name))
    assert told.startswith(facts)
    assert facts or not told
