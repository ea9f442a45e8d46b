"""Formulas that the doctests of the algebra share."""

from typing import Any

import pytest

from doughwright.engine.formula import Batch, Line, Preparation, Use, solved
from doughwright.engine.ingredients import ingredient_table


@pytest.fixture(autouse=True)
def _shared_formulas(doctest_namespace: dict[str, Any]) -> None:
    """Give doctests ``brioche``: sponge brioche of Professional Baking, metric column."""
    table = ingredient_table()

    def lines(**grams: float) -> tuple[Line, ...]:
        named = {name.replace("_", " "): mass / 1000 for name, mass in grams.items()}
        return tuple(Line(name, table[name], fixed=mass) for name, mass in named.items())

    sponge = lines(whole_milk=60, fresh_yeast=15, strong_white_flour=60)
    dough = lines(egg=150, strong_white_flour=240, sugar=15, salt=6, unsalted_butter=210)
    doctest_namespace["brioche"] = solved(
        [
            Preparation("sponge", "preferment", sponge),
            Preparation("dough", "dough", dough, (Use("sponge"),)),
        ],
        Batch(),
    )
