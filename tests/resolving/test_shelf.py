"""The baker's own ingredients, put into a bread that uses them and says nothing of them."""

from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.documents.shelf import ShelfDocument
from doughwright.errors import DocumentError
from doughwright.resolving.formulas import hydration_range, resolved_formula
from doughwright.resolving.shelf import check_shelf, with_shelf

EXAMPLES = Path(__file__).parents[2] / "examples"
BREAD = """\
doughwright: formula/1
name: Curd rolls
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 1 kg, water: 500 g, salt: 20 g, Our curd (second): 100 g}
"""


def shelf(lines: str) -> ShelfDocument:
    document = read_document(f"doughwright: shelf/1\nname: Ours\ningredients:\n{lines}").document
    assert isinstance(document, ShelfDocument)
    return document


def bread(more: str = "") -> FormulaDocument:
    document = read_document(BREAD + more).document
    assert isinstance(document, FormulaDocument)
    return document


OURS = "  our curd: {water: 70 %, fat: 10 %}\n  our oil: {fat: 92 %}\n"


def test_an_ingredient_nobody_knows_is_known_from_the_shelf() -> None:
    with pytest.raises(DocumentError, match="unknown-ingredient"):
        resolved_formula(bread())
    taken = with_shelf(bread(), shelf(OURS))
    assert list(taken.ingredients) == ["our curd"]  # the oil is not used
    low, high = hydration_range(resolved_formula(taken))
    assert low == high == pytest.approx(0.5 + 0.07)  # water, and 70 % of the curd, on 1 kg


def test_what_a_bread_says_itself_goes_first() -> None:
    own = bread("ingredients: {Our Curd: {water: 50 %}}\n")
    assert with_shelf(own, shelf(OURS)) is own


def test_without_a_shelf_or_without_need_of_it_nothing_changes() -> None:
    plain = bread()
    assert with_shelf(plain, None) is plain
    assert with_shelf(plain, shelf("  our oil: {fat: 92 %}\n")) is plain


@pytest.mark.parametrize(
    ("lines", "code", "where"),
    [
        ("  x: {water: 80 %, fat: 40 %}\n", "parts-exceed-whole", ("ingredients", "x")),
        ("  x: {like: nothing known}\n", "unknown-ingredient", ("ingredients", "x", "like")),
    ],
)
def test_an_ingredient_that_cannot_be_is_found_on_the_shelf(
    lines: str, code: str, where: tuple[str, ...]
) -> None:
    with pytest.raises(DocumentError) as caught:
        check_shelf(shelf(lines))
    assert [(p.code, p.where) for p in caught.value.problems] == [(code, where)]


def test_the_shelf_of_harbour_lane_is_in_order_and_of_use() -> None:
    document = read_document((EXAMPLES / "harbour-lane.shelf.yaml").read_text("utf-8")).document
    assert isinstance(document, ShelfDocument)
    check_shelf(document)
    rye = read_document((EXAMPLES / "rye-and-wheat-hearth-loaf.yaml").read_text("utf-8")).document
    assert isinstance(rye, FormulaDocument)
    assert "medium rye flour" in with_shelf(rye, document).ingredients
    assert resolved_formula(with_shelf(rye, document)).notices == resolved_formula(rye).notices


def test_the_series_of_harbour_lane_names_the_breads_there_are() -> None:
    series = read_document((EXAMPLES / "harbour-lane.series.yaml").read_text("utf-8")).document
    stems = {path.stem for path in EXAMPLES.glob("*.yaml") if "." not in path.stem}
    assert {entry.bread for entry in series.breads} == stems  # type: ignore[union-attr]  # a series
