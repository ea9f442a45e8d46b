"""What a refused or doubtful rework advises can be done as it is said."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.errors import DocumentError, Notice
from doughwright.render.messages import remedy, words
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.reworking.rework import solved_document
from doughwright.reworking.wishes import EXAMPLES, WISHES, rework_asked, start_for

Solve = Callable[..., ResolvedFormula]

FOLDER = Path(__file__).parents[2] / "examples"
BREADS = sorted(path for path in FOLDER.glob("*.yaml") if "." not in path.stem)
ORDINARY = kitchen_from(None)

ODD = (
    "poolish 99 %",
    "sponge 120 %",
    "scald 60 %",
    "no scald",
    "salt 0 %",
    "fat 0.5 %",
    "hydration 5 %",
    "hydration 30 %",
    "12 pieces of 90",
    "tin 1.9",
    "butter for water",
    "ferment dough in 1 min",
    "ferment dough in 400 h",
    "ferment doug in 3 h",
)
"""Wishes beyond what most breads can do, and slips of the pen."""


def document_of(path: Path) -> FormulaDocument:
    document = read_document(path.read_text("utf-8")).document
    assert isinstance(document, FormulaDocument)
    return document


def refusal_of(formula: ResolvedFormula, wish: str) -> Notice | None:
    try:
        rework_asked(formula, ORDINARY, wish)
    except DocumentError as error:
        return error.problems[0]
    return None


def wishes_in(advice: str) -> Iterator[str]:
    """What is set off in an advice, but for words of a document."""
    for said in re.findall(r"`([^`]+)`", advice):
        if not re.search(r"[:{]", said) and said not in {"took", "at", "piece", "for", "until"}:
            yield said


def fits_a_wish(said: str) -> bool:
    return any(re.fullmatch(pattern, said, re.IGNORECASE) for pattern in WISHES)


@pytest.mark.parametrize("path", BREADS, ids=lambda path: path.stem)
def test_advice_names_wishes_that_are_known_and_no_option_of_another_command(path: Path) -> None:
    formula = solved_document(document_of(path))
    told = 0
    for wish in (*EXAMPLES, *ODD):
        problem = refusal_of(formula, wish)
        if problem is None:
            continue
        advice = remedy(problem)
        told += bool(advice)
        assert "--" not in advice
        for said in wishes_in(advice):
            assert fits_a_wish(said), (problem.code, said)
            after = refusal_of(formula, said)
            assert after is None or after.code != problem.code, (wish, said)
    assert told >= 5


def limits(wish: str, problem: Notice) -> list[str]:
    """The wishes for the limits that a refusal states, in the figures it states."""
    said = words(problem)
    if problem.code in {"preferment-too-large", "scald-too-large"}:
        style = problem.values.get("style", "scald")
        found = re.search(r"The limit is ([\d.]+ %)", said)
        assert found is not None
        at_it = re.sub(r"[\d.]+ %", found[1], wish, count=1)
        at_it = at_it if at_it != wish else f"{style} {found[1]}"
        return [at_it, *wishes_in(remedy(problem))]
    if problem.code == "rework-target-out-of-reach":
        found = re.search(r"it is ([\d.]+ %)", said)
        assert found is not None
        return [f"{problem.values['what']} {found[1]}"]
    if problem.code == "yeast-cannot-give-time":
        found = re.search(r"that range gives (.+) to (.+)\.$", said)
        assert found is not None
        return [f"ferment dough in {found[1]}", f"ferment dough in {found[2]}"]
    return []


@pytest.mark.parametrize("path", BREADS, ids=lambda path: path.stem)
def test_a_limit_can_be_asked_for_as_it_is_stated(path: Path) -> None:
    formula = solved_document(document_of(path))
    stated = 0
    for wish in (*EXAMPLES, *ODD):
        problem = refusal_of(formula, wish)
        for said in limits(wish, problem) if problem is not None else ():
            assert refusal_of(formula, said) is None, (wish, said)
            stated += 1
    assert stated >= 2


@pytest.mark.parametrize("wish", ["poolish 30 %", "scald 8 %", "old dough 20 %"])
def test_with_milk_powder_first_the_wish_can_be_done(wish: str) -> None:
    formula = solved_document(document_of(FOLDER / "leek-and-curd-pockets.yaml"))
    problem = refusal_of(formula, wish)
    assert problem is not None
    assert "`milk powder`" in remedy(problem)
    swapped = rework_asked(formula, ORDINARY, "milk powder").formula
    straight = rework_asked(swapped, ORDINARY, "straight").formula  # the sponge held the milk
    assert refusal_of(straight, wish) is None


def test_where_no_piece_is_known_pieces_of_a_weight_are_advised_and_can_be_asked_for(
    solve: Solve,
) -> None:
    weighed = solve("""
    preparations:
      dough: {kind: dough, ingredients: {flour: 1 kg, water: 650 g, salt: 20 g, yeast: 10 g}}
    """)
    for wish in ("24 pieces", "800 g baked"):
        problem = refusal_of(weighed, wish)
        assert problem is not None
        (said,) = wishes_in(remedy(problem))
        first = rework_asked(weighed, ORDINARY, said).formula
        assert refusal_of(first, wish) is None


AT_ODDS = """
doughwright: formula/1
name: Rolls
yield: {yields}
preparations:
  dough:
    kind: dough
    ingredients: {{flour: 1 kg, water: 650 g, salt: 20 g, yeast: 10 g}}
"""


@pytest.mark.parametrize(
    "yields",
    [
        "{pieces: 24, piece: 75 g}",
        "{dough: 2 kg}",
        "{flour: 2 kg, pieces: 12}",
        "{piece: 3 kg}",
    ],
)
def test_a_yield_at_odds_with_its_lines_is_settled_by_the_size_that_is_asked_for(
    yields: str,
) -> None:
    document = read_document(AT_ODDS.format(yields=yields)).document
    assert isinstance(document, FormulaDocument)
    with pytest.raises(DocumentError) as caught:
        start_for(document, "hydration 68 %")
    (problem,) = caught.value.problems
    if problem.code == "pieces-need-more-dough":
        assert "24 pieces of 75 g" in [*wishes_in(remedy(problem))]
    start = start_for(document, "24 pieces of 75 g")
    done = rework_asked(start.formula, ORDINARY, "24 pieces of 75 g").formula.solution
    assert (done.pieces, done.piece) == (24, pytest.approx(0.075, abs=1e-5))
    assert done.dough == pytest.approx(24 * 0.075 / 0.98, rel=1e-4)
