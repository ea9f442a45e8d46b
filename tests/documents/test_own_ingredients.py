"""What a baker says of an ingredient of their own: read, refused, written back as it was."""

import pytest

from doughwright.documents.formula import FormulaDocument, OwnIngredient
from doughwright.documents.reading import document_from, read_document
from doughwright.documents.writing import body, written
from doughwright.errors import DocumentError, Notice
from doughwright.render.messages import report

FORMULA = """\
doughwright: formula/1
name: Leek buns
preparations:
  dough:
    kind: dough
    ingredients: {flour: 500 g, leek: 100 g, curd: 50 g}
ingredients:
  leek: {edible: 67 %, price: 2.90 EUR/kg}   # the green goes to the hens
  curd:
    fat: 9 %
    saturates:   5.5 %
"""


def entry(name: str, text: str = FORMULA) -> OwnIngredient:
    document = read_document(text).document
    assert isinstance(document, FormulaDocument)
    return document.ingredients[name]


def problems(text: str) -> tuple[Notice, ...]:
    with pytest.raises(DocumentError) as caught:
        read_document(text)
    return caught.value.problems


def test_saturates_and_what_is_edible_are_shares() -> None:
    leek, curd = entry("leek"), entry("curd")
    assert leek.edible is not None
    assert leek.edible.best == pytest.approx(0.67)
    assert curd.saturates is not None
    assert curd.saturates.best == pytest.approx(0.055)
    assert (leek.saturates, curd.edible) == (None, None)


def test_they_are_written_back_as_they_were() -> None:
    reading = read_document(FORMULA)
    assert written(reading.document, reading) == FORMULA
    assert document_from(body(reading.document)) == reading.document


@pytest.mark.parametrize(("said", "share"), [("100 %", 1.0), ("0.5 %", 0.005), ("60–70 %", 0.65)])
def test_a_share_that_may_be(said: str, share: float) -> None:
    found = entry("leek", FORMULA.replace("67 %", said)).edible
    assert found is not None
    assert found.best == pytest.approx(share)


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ("0 %", "not-above-zero"),
        ("0–50 %", "not-above-zero"),
        ("-5 %", "below-zero"),
        ("101 %", "more-than-whole"),
        ("90–110 %", "more-than-whole"),
        ("0.67", "bare-number"),
        ("67", "bare-number"),
        ("67 g", "not-a-quantity"),
        ("two thirds", "not-a-quantity"),
        ("66,7 %", "decimal-comma"),
        ("[67 %]", "not-a-scalar"),
    ],
)
def test_a_share_that_may_not_be_is_one_clear_error(said: str, code: str) -> None:
    quoted = said if said.startswith("[") else f'"{said}"'
    (found,) = problems(FORMULA.replace("edible: 67 %", f"edible: {quoted}"))
    assert (found.code, found.where) == (code, ("ingredients", "leek", "edible"))
    shown = report([found])
    assert "text:8:" in shown
    assert "72 %" in shown  # what may be written


@pytest.mark.parametrize(
    ("said", "code"), [("-1 %", "below-zero"), ("5.5", "bare-number"), ("some", "not-a-quantity")]
)
def test_saturates_that_may_not_be(said: str, code: str) -> None:
    (found,) = problems(FORMULA.replace("5.5 %", f'"{said}"'))
    assert (found.code, found.where) == (code, ("ingredients", "curd", "saturates"))


def test_a_misspelt_key_has_its_neighbour() -> None:
    (found,) = problems(FORMULA.replace("edible:", "edable:"))
    assert (found.code, found.values["like"]) == ("unknown-key", "edible")
