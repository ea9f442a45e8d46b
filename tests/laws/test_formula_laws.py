"""Laws of the algebra: what may not change, whatever the formula."""

from dataclasses import replace
from itertools import pairwise
from random import Random

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from doughwright.engine.dividing import divided, scaled
from doughwright.engine.exchange import largest_preferment, starter_swap, with_preferment
from doughwright.engine.formula import Batch, Line, Preparation, SolvedFormula, Use, solved
from doughwright.engine.ingredients import ingredient_table, starter_of
from doughwright.engine.overall import (
    dough_yield,
    fat_ratio,
    fresh_yeast_ratio,
    hydration,
    hydration_liquids_only,
    overall_lines,
    prefermented_flour_ratio,
    salt_ratio,
    sugar_ratio,
)

TABLE = ingredient_table()
FLOURS = ("strong white flour", "wholemeal flour", "medium rye flour")
OTHERS = (
    "water",
    "whole milk",
    "egg",
    "salt",
    "sugar",
    "unsalted butter",
    "raisins",
    "fresh yeast",
)
RATIOS = (
    hydration,
    hydration_liquids_only,
    salt_ratio,
    sugar_ratio,
    fat_ratio,
    fresh_yeast_ratio,
    prefermented_flour_ratio,
    dough_yield,
)

grams = st.floats(0.001, 5.0)
factors = st.floats(0.01, 100.0)


def line(name: str, fixed: float = 0.0, ratio: float = 0.0) -> Line:
    return Line(name, TABLE[name], fixed, ratio)


@st.composite
def weighed_formulas(draw: st.DrawFn) -> tuple[Preparation, ...]:
    """A chain of one to four preparations in weight, each taking some of the one before."""
    size = draw(st.integers(1, 4))
    preparations = []
    for i in range(size):
        flours = draw(st.lists(st.sampled_from(FLOURS), min_size=1, unique=True))
        others = draw(st.lists(st.sampled_from(OTHERS), unique=True))
        lines = tuple(line(name, draw(grams)) for name in (*flours, *others))
        share = draw(st.floats(0.05, 1.0))
        uses = (Use(f"p{i - 1}", share),) if i else ()
        kind = "dough" if i == size - 1 else draw(st.sampled_from(("preferment", "soaker")))
        preparations.append(Preparation(f"p{i}", kind, lines, uses))
    return tuple(preparations)


@st.composite
def percent_formulas(draw: st.DrawFn) -> tuple[Preparation, ...]:
    """Total flour cut in pieces over up to four preparations, all of each taken."""
    cuts = sorted(draw(st.lists(st.floats(0.02, 0.98), max_size=3, unique=True)))
    shares = [b - a for a, b in pairwise((0.0, *cuts, 1.0))]
    assume(min(shares) > 1e-3)
    preparations = []
    for i, share in enumerate(shares):
        flour = line(draw(st.sampled_from(FLOURS)), ratio=share)
        others = draw(st.lists(st.sampled_from(OTHERS), unique=True))
        lines = (flour, *(line(name, ratio=draw(st.floats(0.001, 1.0))) for name in others))
        last = i == len(shares) - 1
        uses = tuple(Use(f"p{j}") for j in range(i)) if last else ()
        preparations.append(Preparation(f"p{i}", "dough" if last else "preferment", lines, uses))
    return tuple(preparations)


def heavier(p: Preparation, factor: float) -> Preparation:
    return replace(p, lines=tuple(replace(ln, fixed=ln.fixed * factor) for ln in p.lines))


def masses(formula: SolvedFormula) -> dict[tuple[str, str], float]:
    found = {(p.name, ""): p.mass for p in formula.preparations}
    for p in formula.preparations:
        lines = zip(p.preparation.lines, p.masses, strict=True)
        found |= {(p.name, ln.name): mass for ln, mass in lines}
    return found


def ratios(formula: SolvedFormula) -> list[float]:
    return [ratio(formula) for ratio in RATIOS]


def overall(formula: SolvedFormula) -> dict[str, float]:
    return {ln.name: ln.mass for ln in overall_lines(formula)}


# --- scaling --------------------------------------------------------------------------------------


@given(weighed_formulas(), factors)
def test_all_masses_times_a_factor(preparations: tuple[Preparation, ...], factor: float) -> None:
    one = solved(preparations, Batch())
    other = solved([heavier(p, factor) for p in preparations], Batch())
    assert ratios(other) == pytest.approx(ratios(one), rel=1e-9)
    assert masses(other) == pytest.approx(
        {key: mass * factor for key, mass in masses(one).items()}, rel=1e-9
    )
    assert masses(scaled(one, factor)) == pytest.approx(masses(other), rel=1e-9)


@given(percent_formulas(), grams, factors)
def test_a_batch_times_a_factor(
    preparations: tuple[Preparation, ...], flour: float, factor: float
) -> None:
    one = solved(preparations, Batch(flour=flour))
    other = solved(preparations, Batch(flour=flour * factor))
    assert ratios(other) == pytest.approx(ratios(one), rel=1e-9)
    assert masses(other) == pytest.approx(masses(scaled(one, factor)), rel=1e-9)


# --- the same formula written otherwise -----------------------------------------------------------


@given(percent_formulas(), grams)
def test_solved_percentages_are_those_written(
    preparations: tuple[Preparation, ...], flour: float
) -> None:
    found = solved(preparations, Batch(flour=flour))
    written: dict[str, float] = {}
    for p in preparations:
        for ln in p.lines:
            written[ln.name] = written.get(ln.name, 0.0) + ln.ratio
    assert {ln.name: ln.flour_ratio for ln in overall_lines(found)} == pytest.approx(written)
    assert found.total_flour == pytest.approx(flour)
    assert found.dough == pytest.approx(flour * sum(written.values()))


@given(percent_formulas(), grams)
def test_percentages_and_the_weights_they_make_are_one_formula(
    preparations: tuple[Preparation, ...], flour: float
) -> None:
    found = solved(preparations, Batch(flour=flour))
    weighed = [
        replace(
            p.preparation,
            lines=tuple(
                replace(ln, fixed=mass, ratio=0.0)
                for ln, mass in zip(p.preparation.lines, p.masses, strict=True)
            ),
        )
        for p in found.preparations
    ]
    again = solved(weighed, Batch())
    assert masses(again) == pytest.approx(masses(found))
    assert ratios(again) == pytest.approx(ratios(found))


@given(percent_formulas(), grams, st.floats(0.0, 0.3))
def test_a_dough_by_its_flour_or_by_its_weight(
    preparations: tuple[Preparation, ...], flour: float, spare: float
) -> None:
    by_flour = solved(preparations, Batch(flour=flour))
    by_dough = solved(preparations, Batch(dough=by_flour.dough))
    pieces = Batch(pieces=7, piece=by_flour.dough * (1 - spare) / 7, spare=spare)
    by_pieces = divided(solved(preparations, pieces), pieces)
    assert masses(by_dough) == pytest.approx(masses(by_flour))
    assert masses(by_pieces) == pytest.approx(masses(by_flour))
    assert by_pieces.remainder == pytest.approx(0.0, abs=1e-9)


@given(weighed_formulas(), st.randoms(use_true_random=False))
def test_the_order_of_lines_and_preparations_changes_nothing(
    preparations: tuple[Preparation, ...], chance: Random
) -> None:
    def shuffled(p: Preparation) -> Preparation:
        return replace(p, lines=tuple(chance.sample(p.lines, len(p.lines))))

    one = solved(preparations, Batch())
    mixed = chance.sample(preparations, len(preparations))
    other = solved([shuffled(p) for p in mixed], Batch())
    assert masses(other) == pytest.approx(masses(one))
    assert ratios(other) == pytest.approx(ratios(one))
    assert overall(other) == pytest.approx(overall(one))


@given(weighed_formulas())
def test_a_share_and_the_weight_it_is_are_one_use(preparations: tuple[Preparation, ...]) -> None:
    one = solved(preparations, Batch())
    by_weight = [
        replace(p.preparation, uses=tuple(Use(name, mass=mass) for name, mass in p.taken.items()))
        for p in one.preparations
    ]
    other = solved(by_weight, Batch())
    assert masses(other) == pytest.approx(masses(one))
    assert ratios(other) == pytest.approx(ratios(one))


# --- what is conserved ----------------------------------------------------------------------------


@given(weighed_formulas())
def test_nothing_is_lost_on_the_way_to_the_dough(preparations: tuple[Preparation, ...]) -> None:
    found = solved(preparations, Batch())
    assert sum(overall(found).values()) == pytest.approx(found.dough)
    flours = sum(mass for name, mass in overall(found).items() if name in FLOURS)
    assert flours == pytest.approx(found.total_flour)


@given(
    st.floats(0.3, 1.2), st.floats(0.001, 0.03), st.floats(0.0, 0.999), st.floats(0.4, 1.5), grams
)
def test_a_preferment_leaves_the_overall_formula_as_it_was(
    water: float, yeast: float, part: float, wetness: float, flour: float
) -> None:
    straight = {"flour": 1.0, "water": water, "salt": 0.02, "yeast": yeast}
    share = part * largest_preferment(straight, wetness, 0.002)
    split = with_preferment(straight, share, wetness, 0.002)
    names = {"flour": FLOURS[0], "water": "water", "salt": "salt", "yeast": "fresh yeast"}

    def lines(of: dict[str, float]) -> tuple[Line, ...]:
        return tuple(line(names[name], ratio=ratio) for name, ratio in of.items())

    one = solved([Preparation("dough", "dough", lines(straight))], Batch(flour=flour))
    poolish = Preparation("poolish", "preferment", lines(dict(split.preferment)))
    dough = Preparation("dough", "dough", lines(dict(split.final)), (Use("poolish"),))
    other = solved([poolish, dough], Batch(flour=flour))
    assert overall(other) == pytest.approx(overall(one), abs=1e-12)
    assert other.dough == pytest.approx(one.dough)
    assert hydration(other) == pytest.approx(hydration(one))
    assert prefermented_flour_ratio(other) == pytest.approx(share)
    assert all(mass >= -1e-12 for mass in masses(other).values())


@given(grams, st.floats(0.3, 1.5), st.floats(0.3, 1.5))
def test_a_starter_and_its_swap_make_the_same_dough(mass: float, old: float, new: float) -> None:
    swap = starter_swap(mass, old, new)
    flour = TABLE[FLOURS[0]]

    def dough(
        starter: float, wetness: float, more_flour: float, more_water: float
    ) -> SolvedFormula:
        lines = (
            line(FLOURS[0], 1.0 + more_flour),
            line("water", 0.6 + more_water),
            Line("starter", starter_of(wetness, flour), starter),
        )
        return solved([Preparation("dough", "dough", lines)], Batch())

    one = dough(mass, old, 0.0, 0.0)
    other = dough(swap.starter, new, swap.flour, swap.water)
    assert other.total_flour == pytest.approx(one.total_flour)
    assert other.dough == pytest.approx(one.dough)
    assert hydration(other) == pytest.approx(hydration(one))


# --- dividing -------------------------------------------------------------------------------------


@given(percent_formulas(), st.integers(1, 40), st.floats(0.02, 2.0), st.floats(0.0, 0.3), factors)
def test_pieces_spare_and_remainder_are_all_of_the_dough(
    preparations: tuple[Preparation, ...], pieces: int, piece: float, spare: float, factor: float
) -> None:
    batch = Batch(pieces=pieces, piece=piece, spare=spare)
    for found in (
        divided(solved(preparations, batch), batch),
        scaled(divided(solved(preparations, batch), batch), factor),
    ):
        assert found.pieces is not None
        assert found.piece is not None
        cut = found.pieces * found.piece + found.remainder
        assert cut == pytest.approx(found.dough * (1 - found.spare))
        assert -1e-9 <= found.remainder < found.piece * (1 + 1e-9)


@given(
    st.integers(1, 60), st.floats(0.001, 0.1), st.lists(st.floats(0.1, 10), min_size=1, max_size=5)
)
def test_a_filling_weighs_so_much_for_each_piece(
    pieces: int, each: float, parts: list[float]
) -> None:
    lines = tuple(Line(f"{i}", TABLE["sugar"], parts=p) for i, p in enumerate(parts))
    dough = Preparation("dough", "dough", (line(FLOURS[0], 1.0),))
    batch = Batch(pieces=pieces)
    found = divided(solved([dough, Preparation("f", "filling", lines, (), each)], batch), batch)
    filling = found.named("f")
    assert filling.mass == pytest.approx(pieces * each)
    assert [m / filling.mass for m in filling.masses] == pytest.approx(
        [p / sum(parts) for p in parts]
    )
