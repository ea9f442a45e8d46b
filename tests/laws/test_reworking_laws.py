"""Laws of reworking: what a rework claims to conserve it does, and what it did can be undone.

A tenth of a gram on a kilogram of flour is the most that rounding an amount may cost.
"""

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import document_from, read_document
from doughwright.engine.overall import (
    fat_ratio,
    fresh_yeast_ratio,
    hydration,
    overall_lines,
    salt_ratio,
    sugar_ratio,
)
from doughwright.errors import DocumentError
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.reworking.rework import EACH, Rework, reworked_text, solved_document
from doughwright.reworking.wishes import EXAMPLES, rework_asked

FOLDER = Path(__file__).parents[2] / "examples"
BREADS = sorted(path for path in FOLDER.glob("*.yaml") if "." not in path.stem)
UNTIMED = [wish for wish in EXAMPLES if " in 12 h" not in wish]
ORDINARY = kitchen_from(None)
TENTH_OF_A_GRAM = 1e-4

PARTS = {
    "water": hydration,
    "salt": salt_ratio,
    "fat": fat_ratio,
    "sugar": sugar_ratio,
    "yeast": fresh_yeast_ratio,
}
FLOURS = ("strong white flour", "wholemeal flour", "medium rye flour")
OTHERS = ("whole milk", "egg", "sugar", "unsalted butter", "salted butter", "honey", "raisins")
YEASTS = ("fresh yeast", "active dry yeast", "instant yeast")
STYLES = st.sampled_from(("poolish", "biga", "sponge", "flying sponge", "old dough"))


@st.composite
def formulas(draw: st.DrawFn) -> FormulaDocument:
    """A dough of one to three flours, in percent or in grams, now and then with a sponge."""
    weighed = draw(st.booleans())
    cuts = sorted(draw(st.lists(st.integers(2, 98), max_size=2, unique=True)))
    shares = [b - a for a, b in pairwise((0, *cuts, 100))]
    flours = dict(zip(FLOURS, shares, strict=False))
    others = {name: draw(st.integers(1, 15)) for name in draw(st.sets(st.sampled_from(OTHERS)))}
    lines = {
        **flours,
        "water": draw(st.integers(30, 80)),
        "salt": draw(st.floats(1.5, 2.2)),
        **others,
    }
    lines[draw(st.sampled_from(YEASTS))] = draw(st.floats(0.3, 3.0))
    unit, size = ("g", 6.0) if weighed else ("%", 1.0)
    amounts = {name: f"{round(share * size, 2):g} {unit}" for name, share in lines.items()}
    tree = {
        "doughwright": "formula/1",
        "name": "A dough",
        "place": draw(st.sampled_from(("US", "LV"))),
        "yield": {"pieces": "6"} if weighed else {"pieces": "6", "piece": "90 g"},
        "preparations": {"dough": {"kind": "dough", "ingredients": amounts}},
        "process": [{"mix": "dough"}, {"ferment": "dough", "until": "double", "took": "70 min"}],
    }
    document = document_from(tree)
    assert isinstance(document, FormulaDocument)
    return document


def overall(formula: ResolvedFormula) -> dict[str, float]:
    return {line.name: line.flour_ratio for line in overall_lines(formula.solution)}


def weights(formula: ResolvedFormula) -> dict[str, float]:
    return {line.name: line.mass for line in overall_lines(formula.solution)}


def check_claims(before: ResolvedFormula, rework: Rework) -> None:
    after = rework.formula
    if EACH in rework.conserves:
        assert overall(after) == pytest.approx(overall(before), abs=TENTH_OF_A_GRAM)
    for part in rework.conserves:
        if part in PARTS:
            now, was = PARTS[part](after.solution), PARTS[part](before.solution)
            assert now == pytest.approx(was, abs=TENTH_OF_A_GRAM), part


def solved_or_not(document: FormulaDocument) -> ResolvedFormula:
    try:
        return solved_document(document)
    except DocumentError:  # a dough nobody would mean: nothing to rework
        assume(False)
        raise


def asked(formula: ResolvedFormula, wish: str) -> Rework:
    try:
        return rework_asked(formula, ORDINARY, wish)
    except DocumentError:  # refused, and the limit stated: nothing to check
        assume(False)
        raise


# --- what is conserved ----------------------------------------------------------------------------


@pytest.mark.parametrize("path", BREADS, ids=lambda path: path.stem)
def test_every_rework_of_an_example_keeps_what_it_claims(path: Path) -> None:
    text = path.read_text("utf-8")
    document = read_document(text).document
    assert isinstance(document, FormulaDocument)
    before, done = solved_document(document), 0
    for wish in UNTIMED:
        try:
            rework = rework_asked(before, ORDINARY, wish)
        except DocumentError:
            continue
        check_claims(before, rework)
        assert read_document(reworked_text(text, rework)).document == rework.document
        done += 1
    assert done >= 12  # of some thirty wishes, those that this bread can follow


@given(formulas(), st.sampled_from(UNTIMED))
def test_every_rework_keeps_what_it_claims(document: FormulaDocument, wish: str) -> None:
    before = solved_or_not(document)
    check_claims(before, asked(before, wish))


@given(formulas(), STYLES, st.floats(5, 60))
def test_a_preferment_leaves_the_dough_as_heavy_as_it_was(
    document: FormulaDocument, style: str, share: float
) -> None:
    before = solved_or_not(document)
    after = asked(before, f"{style} {share:.2f} %").formula
    assert after.solution.dough == pytest.approx(before.solution.dough, rel=1e-4)
    assert weights(after) == pytest.approx(weights(before), rel=1e-4, abs=1e-7)


# --- what can be undone ---------------------------------------------------------------------------


@given(formulas(), STYLES, st.floats(5, 60))
def test_a_preferment_put_in_and_taken_out_again_changes_no_weight(
    document: FormulaDocument, style: str, share: float
) -> None:
    before = solved_or_not(document)
    done = asked(asked(before, f"{style} {share:.2f} %").formula, "straight")
    was, now = before.document.preparations["dough"], done.document.preparations["dough"]
    assert {n: x.amount.best for n, x in now.ingredients.items()} == pytest.approx(
        {n: x.amount.best for n, x in was.ingredients.items()}, rel=1e-9
    )
    assert list(done.document.preparations) == ["dough"]
    assert [step.verb for step in done.document.process] == ["mix", "ferment"]


@given(formulas(), st.floats(1, 12))
def test_a_scald_and_back_changes_no_weight(document: FormulaDocument, share: float) -> None:
    before = solved_or_not(document)
    done = asked(asked(before, f"scald {share:.2f} %").formula, "no scald")
    assert weights(done.formula) == pytest.approx(weights(before), rel=1e-9)


@given(formulas(), st.integers(1, 200))
def test_to_another_number_of_pieces_and_back(document: FormulaDocument, pieces: int) -> None:
    before = solved_or_not(document)
    there = asked(before, f"{pieces} pieces")
    assert there.formula.solution.pieces == pieces
    assert there.formula.solution.piece == pytest.approx(before.solution.piece, rel=1e-4)
    back = asked(there.formula, "6 pieces")
    weighed = TENTH_OF_A_GRAM * before.solution.total_flour
    assert weights(back.formula) == pytest.approx(weights(before), rel=2e-4, abs=weighed)


@given(formulas(), st.sampled_from(("hydration", "salt", "sugar", "fat")), st.floats(0.5, 90))
def test_a_target_is_met(document: FormulaDocument, what: str, percent: float) -> None:
    before = solved_or_not(document)
    part = {"hydration": "water"}.get(what, what)
    wanted = percent if what == "hydration" else percent / (30 if what == "salt" else 5)
    after = asked(before, f"{what} {wanted:.3f} %").formula
    reached = PARTS[part](after.solution)
    assert reached == pytest.approx(round(wanted, 3) / 100, abs=TENTH_OF_A_GRAM)
