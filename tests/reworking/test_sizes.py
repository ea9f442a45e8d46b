"""Other sizes where a formula says little of its own, and what goes beside the dough."""

from collections.abc import Callable

import pytest

from doughwright.documents.quantities import Quantity
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.reworking.rework import Rework
from doughwright.reworking.wishes import rework_asked

Solve = Callable[..., ResolvedFormula]

ORDINARY = kitchen_from(None)
WEIGHED = """
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 1 kg, water: 650 g, salt: 20 g, fresh yeast: 30 g}
process: [{mix: dough}, {bake: dough, took: 20 min}]
"""
FILLED = """
yield: {pieces: 20, piece: 70 g, spare: 0 %}
preparations:
  dough: {kind: dough, ingredients: {strong white flour: 100 %, water: 60 %, yeast: 1 %}}
  filling: {kind: filling, each: 10 g, ingredients: {sugar: 2 parts, unsalted butter: 1 parts}}
process: [{mix: dough}, {shape: dough, form: {round: 8 cm, high: 3 cm}}]
"""
BY_TIN = """
yield: {tin: 1.9 l, pieces: 2}
preparations:
  dough: {kind: dough, ingredients: {strong white flour: 100 %, water: 65 %, sugar: 4 %,
    unsalted butter: 5 %, yeast: 1 %}}
process: [{mix: dough}, {shape: dough, form: {tin: 1.9 l}}]
"""


def asked(formula: ResolvedFormula, wish: str) -> Rework:
    return rework_asked(formula, ORDINARY, wish)


def each(done: Rework) -> float:
    found = done.document.preparations["filling"].each
    assert found is not None
    return found.best


def test_pieces_of_a_weight_need_no_yield_before(solve: Solve) -> None:
    done = asked(solve(WEIGHED), "24 pieces of 75 g")
    solution, makes = done.formula.solution, done.document.makes
    assert (solution.pieces, solution.piece) == (24, pytest.approx(0.075))
    # 24·75 g and 2 % spare (the usual one) of a dough that holds 1000 g of flour in 1700 g
    assert solution.total_flour == pytest.approx(1.8 / 0.98 / 1.7, rel=1e-4)
    assert makes is not None
    assert makes.piece is not None
    assert (makes.pieces, makes.piece.text) == (24, "75 g")
    assert done.document.process[-1].took is None  # for pieces nobody baked before


def test_then_more_of_them_can_be_asked_for(solve: Solve) -> None:
    first = asked(solve(WEIGHED), "24 pieces of 75 g").formula
    assert asked(first, "36 pieces").formula.solution.piece == pytest.approx(0.075)


@pytest.mark.parametrize(
    ("wish", "pieces"),
    [
        ("tin 1.9 l", 1),
        ("3 tins 1.9 l", 3),
        ("tray 38 x 32 cm", 1),
        ("2 trays 38 x 32 cm", 2),
        ("2 dishes 38 x 32 cm", 2),
        ("round 14 cm", 20),
        ("10 rounds 14 cm", 10),
    ],
)
def test_knots_fill_one_tin_or_tray_and_rounds_stay_as_many(
    solve: Solve, wish: str, pieces: int
) -> None:
    assert asked(solve(FILLED), wish).formula.solution.pieces == pieces


def test_where_tins_were_filled_before_they_stay_as_many(solve: Solve) -> None:
    done = asked(solve(BY_TIN), "tin 1.4 l").formula.solution
    assert done.pieces == 2


def test_a_heavier_piece_takes_more_filling(solve: Solve) -> None:
    assert each(asked(solve(FILLED), "12 pieces of 105 g")) == pytest.approx(0.015)  # 10·105/70
    assert each(asked(solve(FILLED), "12 pieces")) == pytest.approx(0.010)


def test_what_is_baked_is_dough_and_filling_in_the_proportion_they_had(solve: Solve) -> None:
    # 90 g baked at 10 % lost are 100 g raw: 100·70/80 of dough, 100·10/80 of filling
    done = asked(solve(FILLED), "90 g baked, loss 10 %")
    assert done.formula.solution.piece == pytest.approx(0.0875, abs=1e-5)
    assert each(done) == pytest.approx(0.0125, abs=1e-5)


def test_the_tin_in_the_yield_and_the_one_at_the_step_stay_the_same(solve: Solve) -> None:
    done = asked(solve(BY_TIN), "12 pieces of 90 g")
    makes, form = done.document.makes, done.document.process[-1].form
    assert makes is not None
    assert makes.tin is not None
    assert form is not None
    assert isinstance(form.tin, Quantity)
    assert form.tin.best == pytest.approx(makes.tin.best)
    assert done.formula.solution.piece == pytest.approx(0.090, abs=1e-5)


def test_a_dough_that_becomes_rich_fills_the_tin_otherwise_and_that_is_said(solve: Solve) -> None:
    before = solve(BY_TIN)
    done = asked(before, "sugar 9 %")
    said = next(n for n in done.notices if n.code == "tin-filled-otherwise")
    assert said.values["was"] == pytest.approx(before.solution.piece)
    assert said.values["now"] == pytest.approx(done.formula.solution.piece)
    assert not asked(before, "sugar 5 %").notices


def test_a_size_asked_for_leaves_no_doubt_of_its_own_rounding(solve: Solve) -> None:
    for wish in ("24 pieces of 75 g", "7 pieces of 333 g", "tin 1.9 l", "2 tins 13 x 5 x 5 in"):
        done = asked(solve(WEIGHED), wish)
        assert "spare-short" not in {notice.code for notice in done.formula.notices}
