"""Pieces, what is left, fillings by the piece and other sizes. Masses in kg."""

from dataclasses import replace
from math import pi

import pytest

from doughwright.engine.dividing import (
    area_factor,
    divided,
    division,
    dough_for,
    even_division,
    frustum_volume,
    round_width,
    scaled,
    scaled_weight,
)
from doughwright.engine.formula import Batch, Line, Preparation, SolvedFormula, Use, solved
from doughwright.engine.ingredients import ingredient_table
from doughwright.errors import ImpossibleInput, Notice

TABLE = ingredient_table()
DOUGH = Preparation(
    "dough",
    "dough",
    (Line("flour", TABLE["strong white flour"], 0.6), Line("water", TABLE["water"], 0.4)),
)
"""One kilogram."""


def filling(
    each: float | None = None, uses: tuple[Use, ...] = (), weighed: float = 0.0, parts: float = 0.0
) -> Preparation:
    lines = (
        Line("sugar", TABLE["sugar"], weighed, parts=parts),
        Line("salt", TABLE["salt"], weighed / 4, parts=parts / 4),
    )
    return Preparation("filling", "filling", lines, uses, each)


def made(batch: Batch, *beside: Preparation) -> SolvedFormula:
    return divided(solved([DOUGH, *beside], batch), batch)


def problem(batch: Batch, *beside: Preparation) -> Notice:
    with pytest.raises(ImpossibleInput) as caught:
        made(batch, *beside)
    (found,) = caught.value.problems
    return found


# --- the arithmetic of cutting --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("dough", "piece", "spare", "at_a_time", "pieces", "left"),
    [
        (1.0, 0.1, 0.0, 1, 10, 0.0),
        (1.0, 0.1, 0.02, 1, 9, 0.08),
        (0.3, 0.1, 0.0, 1, 3, 0.0),  # 0.3/0.1 is 2.9999999999999996 in floats
        (1.0, 0.3, 0.0, 1, 3, 0.1),
        (1.0, 0.1, 0.0, 3, 9, 0.1),
        (0.2, 0.3, 0.0, 1, 0, 0.2),
        (1.0, 0.1, 0.0, 6, 6, 0.4),
    ],
)
def test_division(
    dough: float, piece: float, spare: float, at_a_time: int, pieces: int, left: float
) -> None:
    cut = division(dough, piece, spare, at_a_time)
    assert cut.pieces == pieces
    assert cut.remainder == pytest.approx(left, abs=1e-12)
    assert cut.pieces * cut.piece + cut.remainder == pytest.approx(dough * (1 - spare))


@pytest.mark.parametrize(
    ("dough", "piece", "at_a_time", "pieces"),
    [
        (1.0, 0.11, 1, 9),
        (1.0, 0.3, 1, 3),
        (1.0, 5.0, 1, 1),
        (1.031, 0.115, 3, 9),
        (1.0, 0.1, 6, 12),
    ],
)
def test_even_division_uses_all_of_it(
    dough: float, piece: float, at_a_time: int, pieces: int
) -> None:
    cut = even_division(dough, piece, at_a_time)
    assert (cut.pieces, cut.remainder) == (pieces, 0.0)
    assert cut.pieces * cut.piece == pytest.approx(dough)


def test_dough_for_pieces_is_divided_into_them_again() -> None:
    for spare in (0.0, 0.02, 0.5):
        assert division(dough_for(17, 0.05, spare), 0.05, spare).pieces == 17


def test_the_oven_s_loss_is_divided_not_added() -> None:
    assert scaled_weight(0.9, 0.1) == pytest.approx(1.0)
    assert scaled_weight(1.0, 0.0) == 1.0


def test_a_frustum_is_exact_for_a_pyramid_and_a_cone() -> None:
    # the solids of school: a third of base times height; Simpson's rule is exact for them
    assert frustum_volume(0.0, 0.25, 1.0, 3.0) == pytest.approx(1.0)
    assert frustum_volume(0.0, pi / 4, pi, 3.0) == pytest.approx(pi)
    # 26 x 12 cm above, 24 x 10 below, 10 high; the integral of (24 + 2t)(10 + 2t) over t from 0 to
    # 1 is 240 + 34 + 4/3 cm², times 10 cm
    assert frustum_volume(0.0312, 0.25 * 0.11, 0.0240, 0.10) == pytest.approx(0.0027533, abs=5e-7)


def test_area_and_width_undo_each_other() -> None:
    assert area_factor(0.3, 0.6) == pytest.approx(4.0)
    assert round_width(0.3, area_factor(0.3, 0.41)) == pytest.approx(0.41)


# --- a solved formula divided ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("batch", "pieces", "piece", "left"),
    [
        (Batch(), None, None, 0.0),
        (Batch(pieces=8), 8, 0.125, 0.0),
        (Batch(pieces=8, spare=0.02), 8, 0.1225, 0.0),
        (Batch(piece=0.3), 3, 0.3, 0.1),
        (Batch(piece=0.3, spare=0.02), 3, 0.3, 0.08),
        (Batch(pieces=3, piece=0.3), 3, 0.3, 0.1),
        (Batch(pieces=10, piece=0.1), 10, 0.1, 0.0),
    ],
)
def test_pieces_from_what_is_said(
    batch: Batch, pieces: int | None, piece: float | None, left: float
) -> None:
    found = made(batch)
    assert found.pieces == pieces
    assert found.piece == (piece if piece is None else pytest.approx(piece))
    assert found.remainder == pytest.approx(left, abs=1e-12)
    assert found.spare == batch.spare


def test_pieces_that_leave_too_little_to_spare() -> None:
    # 10 of 99.5 g leave 5 of the 20 g reckoned with
    found = made(Batch(pieces=10, piece=0.0995, spare=0.02))
    (notice,) = found.notices
    assert (notice.code, notice.weight, notice.where) == ("spare-short", "care", ("yield",))
    assert notice.values == pytest.approx(
        {"left": 0.005, "usual": 0.02, "lighter": 0.098, "more": 0.995 / 0.98 - 1}
    )
    assert (found.spare, found.remainder) == pytest.approx((0.005, 0.0))


def test_pieces_that_are_all_of_the_dough_spare_nothing() -> None:
    found = made(Batch(pieces=10, piece=0.1, spare=0.02))
    assert [n.code for n in found.notices] == ["spare-short"]
    assert found.spare == pytest.approx(0.0, abs=1e-9)


def test_pieces_heavier_than_the_dough() -> None:
    found = problem(Batch(pieces=10, piece=0.12, spare=0.02))
    assert (found.code, found.where) == ("pieces-need-more-dough", ("yield",))
    assert found.values == pytest.approx(
        {"dough": 1.0, "pieces": 10, "piece": 0.12, "short": 0.2, "possible": 8, "lighter": 0.1}
    )


def test_one_piece_heavier_than_the_dough() -> None:
    found = problem(Batch(piece=1.2, spare=0.02))
    assert (found.code, found.where) == ("piece-too-large", ("yield", "piece"))
    assert (found.values["piece"], found.values["dough"]) == pytest.approx((1.2, 0.98))


@pytest.mark.parametrize(
    ("batch", "word", "wanted", "found"),
    [(Batch(flour=0.7), "flour", 0.7, 0.6), (Batch(dough=1.2), "dough", 1.2, 1.0)],
)
def test_a_yield_the_weights_contradict(
    batch: Batch, word: str, wanted: float, found: float
) -> None:
    notice = problem(batch)
    assert (notice.code, notice.where) == ("yield-contradicts", ("yield", word))
    assert (notice.values["wanted"], notice.values["found"]) == pytest.approx((wanted, found))


def test_a_yield_rounded_in_print_is_no_contradiction() -> None:
    assert made(Batch(dough=1.004)).dough == pytest.approx(1.0)


# --- what goes beside the dough -------------------------------------------------------------------


@pytest.mark.parametrize("beside", [filling(0.030, parts=8.0), filling(0.030, weighed=0.4)])
def test_a_filling_by_the_piece(beside: Preparation) -> None:
    # 10 pieces of 30 g: 300 g, four to one
    found = made(Batch(pieces=10), beside).named("filling")
    assert found.masses == pytest.approx((0.24, 0.06))


def test_a_filling_as_written() -> None:
    assert made(Batch(pieces=10), filling(weighed=0.4)).named("filling").masses == (0.4, 0.1)
    assert made(Batch(), filling(weighed=0.4)).named("filling").masses == (0.4, 0.1)


def test_a_filling_takes_another_in_weight() -> None:
    syrup = Preparation("syrup", "glaze", (Line("sugar", TABLE["sugar"], 0.1),))
    found = made(Batch(pieces=10), syrup, filling(0.030, (Use("syrup"),), parts=8.0))
    assert found.named("filling").masses == pytest.approx((0.16, 0.04))
    assert found.named("filling").mass == pytest.approx(0.30)


@pytest.mark.parametrize(
    ("batch", "beside", "code", "where"),
    [
        (Batch(pieces=10), filling(parts=8.0), "parts-without-each", "ingredients"),
        (Batch(), filling(0.030, parts=8.0), "each-without-pieces", "each"),
        (
            Batch(pieces=10),
            filling(0.030, parts=8.0, weighed=0.1),
            "parts-and-weights",
            "ingredients",
        ),
        (Batch(pieces=10), filling(0.030), "parts-and-weights", "ingredients"),
    ],
)
def test_fillings_that_cannot_be_weighed_out(
    batch: Batch, beside: Preparation, code: str, where: str
) -> None:
    found = problem(batch, beside)
    assert (found.code, found.where) == (code, ("preparations", "filling", where))


def test_parts_in_a_dough() -> None:
    parts = Line("salt", TABLE["salt"], parts=1.0)
    dough = replace(DOUGH, lines=(*DOUGH.lines, parts))
    with pytest.raises(ImpossibleInput) as caught:
        divided(solved([dough], Batch()), Batch())
    (found,) = caught.value.problems
    assert (found.code, found.where) == ("parts-in-dough", ("preparations", "dough", "ingredients"))


@pytest.mark.parametrize("kind", ["dough", "preferment"])
def test_each_of_a_dough(kind: str) -> None:
    sponge = replace(DOUGH, name="sponge", kind=kind, each=0.08)
    dough = replace(DOUGH, uses=(Use("sponge"),))
    with pytest.raises(ImpossibleInput) as caught:
        divided(solved([sponge, dough], Batch()), Batch(pieces=8))
    (found,) = caught.value.problems
    assert (found.code, found.where) == ("each-in-dough", ("preparations", "sponge", "each"))


def test_more_of_another_goes_in_than_each_makes() -> None:
    syrup = Preparation("syrup", "glaze", (Line("sugar", TABLE["sugar"], 0.4),))
    found = problem(Batch(pieces=10), syrup, filling(0.030, (Use("syrup"),), parts=8.0))
    assert (found.code, found.where) == ("each-too-small", ("preparations", "filling", "each"))
    assert (found.values["made"], found.values["taken"]) == pytest.approx((0.3, 0.4))


def test_another_in_parts_has_no_weight_to_take() -> None:
    syrup = Preparation("syrup", "glaze", (Line("sugar", TABLE["sugar"], parts=1.0),), each=0.01)
    found = problem(Batch(pieces=10), syrup, filling(0.030, (Use("syrup"),), parts=8.0))
    assert (found.code, found.where) == (
        "taken-in-parts",
        ("preparations", "filling", "from", "syrup"),
    )


# --- another size ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("factor", "pieces", "left"), [(2.0, 6, 0.2), (4.0, 13, 0.1), (0.5, 1, 0.2)]
)
def test_pieces_follow_the_dough(factor: float, pieces: int, left: float) -> None:
    larger = scaled(made(Batch(piece=0.3)), factor)
    assert (larger.pieces, larger.piece) == (pieces, 0.3)
    assert larger.dough == pytest.approx(factor)
    assert larger.total_flour == pytest.approx(0.6 * factor)
    assert larger.remainder == pytest.approx(left)


def test_a_dough_smaller_than_its_piece_is_one_piece() -> None:
    smaller = scaled(made(Batch(piece=0.3)), 0.2)
    assert smaller.pieces == 1
    assert smaller.piece == pytest.approx(0.2)


def test_fillings_by_the_piece_follow_the_pieces_not_the_dough() -> None:
    larger = scaled(made(Batch(piece=0.3), filling(0.030, parts=8.0)), 1.5)  # 5 pieces, not 4.5
    assert larger.named("filling").mass == pytest.approx(5 * 0.030)


def test_fillings_as_written_follow_the_dough() -> None:
    larger = scaled(made(Batch(pieces=10), filling(weighed=0.4)), 1.5)
    assert larger.named("filling").masses == pytest.approx((0.6, 0.15))
    assert larger.pieces == 15
