"""Other sizes where a formula says little of its own, and what goes beside the dough."""

from collections.abc import Callable

import pytest

from doughwright.documents.quantities import Quantity
from doughwright.errors import DocumentError
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


KNOTS = """
yield: {pieces: 20, piece: 70 g, spare: 0 %}
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 50 %, egg: 2 large, yeast: 1 %}
  filling: {kind: filling, each: 9 g, ingredients: {sugar: 1 parts}}
  syrup: {kind: glaze, each: 3 g, ingredients: {sugar: 5 parts, water: 4 parts}}
process:
  - mix: dough
  - fill: filling
  - shape: dough
    form: {round: 8 cm, high: 3.5 cm}
  - bake: dough
  - glaze: syrup
"""


def formed(done: Rework) -> tuple[float, float]:
    """The width and the height of a piece, in cm."""
    (form,) = [step.form for step in done.document.process if step.form is not None]
    assert form.round is not None
    assert form.high is not None
    return 100 * form.round.best, 100 * form.high.best


def test_the_form_of_heavier_pieces_grows_with_them(solve: Solve) -> None:
    # 140 g for 70 g: twice the body is 2^(1/3) = 1.2599 each way: 8 to 10.08, 3.5 to 4.41 cm
    assert formed(asked(solve(KNOTS), "20 pieces of 140 g")) == pytest.approx(
        (10.08, 4.41), abs=0.05
    )
    assert formed(asked(solve(KNOTS), "40 pieces")) == pytest.approx((8, 3.5))
    there = asked(solve(KNOTS), "20 pieces of 140 g").formula
    assert formed(asked(there, "20 pieces of 70 g")) == pytest.approx((8, 3.5), abs=0.05)


def test_a_long_loaf_grows_both_ways_and_a_tin_by_its_volume(solve: Solve) -> None:
    # 1/8 of the weight: half as long, wide and high; an eighth of the volume
    oval = KNOTS.replace("{round: 8 cm, high: 3.5 cm}", "{oval: 26 x 14 cm, high: 8 cm}")
    (form,) = [s.form for s in asked(solve(oval), "20 pieces of 8.75 g").document.process if s.form]
    assert form.oval is not None
    assert form.high is not None
    sides = [100 * side.best for side in (*form.oval, form.high)]
    assert sides == pytest.approx([13, 7, 4])
    tin = KNOTS.replace("{round: 8 cm, high: 3.5 cm}", "{tin: 1.6 l}")
    (form,) = [s.form for s in asked(solve(tin), "20 pieces of 8.75 g").document.process if s.form]
    assert isinstance(form.tin, Quantity)
    assert form.tin.text == "0.2 l"


def test_in_a_tin_the_height_of_a_roll_is_not_the_depth(solve: Solve) -> None:
    for wish in ("tin 1.9 l", "tray 38 x 32 cm"):
        (form,) = [s.form for s in asked(solve(KNOTS), wish).document.process if s.form]
        assert form.tin is not None
        assert form.high is None


def test_what_goes_on_after_the_oven_loses_nothing_there(solve: Solve) -> None:
    # 79 g go into the oven and 3 g on after it: (79·0.9 + 3)·f = 90 g, f = 90/74.1 = 1.21457
    done = asked(solve(KNOTS), "90 g baked, loss 10 %")
    each_of = {n: p.each.best for n, p in done.document.preparations.items() if p.each is not None}
    piece = done.formula.solution.piece
    assert piece == pytest.approx(0.08502, abs=1e-5)  # 70·f
    assert each_of == pytest.approx({"filling": 0.01093, "syrup": 0.00364}, abs=1e-5)
    assert piece is not None
    assert (piece + each_of["filling"]) * 0.9 + each_of["syrup"] == pytest.approx(0.090, abs=2e-5)
    said = {notice.code: notice.values for notice in done.notices}
    assert said["baked-by-loss"]["raw"] == pytest.approx(0.0959, abs=1e-4)  # 79·f
    assert said["put-on-baked"]["names"] == "syrup"


def egg(done: Rework) -> str:
    return done.document.preparations["dough"].ingredients["egg"].amount.text


def test_eggs_keep_the_size_their_author_gave_them(solve: Solve) -> None:
    fewer = asked(solve(KNOTS), "12 pieces")  # 2·12/20
    assert egg(fewer) == "1.2 large"
    (said,) = [notice for notice in fewer.notices if notice.code == "eggs-not-whole"]
    assert (said.values["whole"], said.values["more"]) == (1, 2)
    assert egg(asked(fewer.formula, "20 pieces")) == "2 large"
    up = asked(fewer.formula, "whole eggs up")
    assert (egg(asked(fewer.formula, "whole eggs")), egg(up)) == ("1 large", "2 large")
    (whole,) = [notice for notice in up.notices if notice.code == "eggs-made-whole"]
    assert whole.values["water"] == pytest.approx(said.values["water"])  # as it was said before


@pytest.mark.parametrize("wish", ["tin 0 x 5 x 5 in", "round 0 cm", "tray 30 x 0 cm", "tin 0 l"])
def test_a_size_of_nothing_is_refused_in_its_own_words(solve: Solve, wish: str) -> None:
    with pytest.raises(DocumentError) as caught:
        asked(solve(KNOTS), wish)
    (problem,) = caught.value.problems
    assert problem.code == "not-above-zero"
    assert str(problem.values["read"]) in wish


@pytest.mark.parametrize("wish", ["-3 pieces of 80 g", "1000000 pieces of 80 g", "0 pieces"])
def test_a_count_of_pieces_beyond_all_measure_says_what_may_stand_there(
    solve: Solve, wish: str
) -> None:
    with pytest.raises(DocumentError) as caught:
        asked(solve(FILLED), wish)
    found = caught.value.problems[0]
    assert found.code == "not-a-count"
    assert found.values["allowed"] == "a whole number from 1 to 999999, such as 8"
