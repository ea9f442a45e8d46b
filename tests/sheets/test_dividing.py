"""Dividing: what goes with each piece beside the dough."""

from collections.abc import Callable

import pytest

from doughwright.engine.weighing import Scale
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.sheets.dividing import division_sheet

Solve = Callable[..., ResolvedFormula]

FILLED = """
yield: {pieces: 10, piece: 80 g}
preparations:
  cream:
    kind: filling
    ingredients: {whole milk: 150 g, sugar: 50 g}
  filling:
    kind: filling
    from: {cream: SHARE}
    ingredients: {ricotta: 300 g}
  dough:
    kind: dough
    ingredients: {flour: 100 %, water: 60 %, salt: 2 %}
"""


@pytest.mark.parametrize(
    ("share", "each"),
    [
        # of 200 g of cream half goes into the filling: 400 g of that and 100 g of cream are left
        ("50 %", {"cream": 10.0, "filling": 40.0}),
        ("100 %", {"filling": 50.0}),
    ],
)
def test_what_another_filling_takes_is_not_counted_twice(
    solve: Solve, share: str, each: dict[str, float]
) -> None:
    division = division_sheet(solve(FILLED.replace("SHARE", share)).solution, Scale(0.001))
    assert division is not None
    found = {row.name: row.each.value * 1000 for row in division.beside if row.each.value}
    assert found == pytest.approx(each)
