"""The label sheet by country: what each asks for, in its own amounts."""

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.render.selling_phrases import (
    allergen_lines,
    ingredient_line,
    label_summary,
    nutrition_heads,
    nutrition_rows,
    serving_words,
)
from doughwright.resolving.formulas import ResolvedFormula, resolved_formula
from doughwright.resolving.selling import loss_of, sold
from doughwright.sheets.label import LabelSheet, label_sheet

ROLLS = """
doughwright: formula/1
name: Sesame rolls
yield: {pieces: 10, piece: PIECE g}
preparations:
  dough:
    kind: dough
    ingredients:
      strong white flour: 100 %
      water: 60 %
      unsalted butter: 8 %
      sesame seeds: 10 %
      salt: 2 %
      instant yeast: 1 %
process:
  - mix: dough
  - bake: dough
"""


def formula(piece: int = 80) -> ResolvedFormula:
    document = read_document(ROLLS.replace("PIECE", str(piece))).document
    assert isinstance(document, FormulaDocument)
    return resolved_formula(document)


def label(codes: str = "EU", piece: int = 80, **said: object) -> LabelSheet:
    made = formula(piece)
    product = sold(made, loss_of(made, None, stated=0.1))
    return label_sheet(made, product, codes, **said)  # type: ignore[arg-type]  # one of three


def test_a_piece_is_its_share_of_a_hundred_grams() -> None:
    sheet = label()
    assert sheet.piece.value == pytest.approx(0.072)
    for hundred, each in zip(sheet.per_hundred, sheet.per_piece, strict=True):
        assert each.value == pytest.approx((hundred.value or 0.0) * 0.72)


def test_only_the_uk_has_lights_and_only_the_us_a_serving() -> None:
    eu, uk, us = (label(codes) for codes in ("EU", "UK", "US"))
    assert [len(s.lights) for s in (eu, uk, us)] == [0, 4, 0]
    assert us.per_hundred == ()
    assert (us.serving.value, us.serving_pieces) == (pytest.approx(0.072), 1)
    assert nutrition_heads(us) == ("", "a piece, 72 g", "% DV")
    assert nutrition_heads(uk) == ("", "per 100 g", "a piece, 72 g", "front")
    assert all(len(cells) == len(nutrition_heads(uk)) for _, cells in nutrition_rows(uk))


@pytest.mark.parametrize(
    ("piece", "words"), [(20, "3 pieces, 54 g"), (80, "a piece, 72 g"), (400, "per 50 g")]
)
def test_small_pieces_are_counted_and_loaves_are_cut_in_the_us(piece: int, words: str) -> None:
    assert serving_words(label("US", piece)) == words


def test_what_the_name_promises_has_its_quantity_but_not_in_the_us() -> None:
    # 10 parts of sesame in 181 of dough, 10 % lost: 6.1 % of what is sold
    assert [(q.name, q.printed) for q in label().quantities] == [("sesame seeds", "6 %")]
    assert label("US").quantities == ()
    assert [q.name for q in label("US", named=("butter",)).quantities][:1] != []


def test_an_allergen_is_written_large_in_the_list_and_said_once() -> None:
    sheet = label(may_contain=("walnuts",))
    assert "strong white flour (WHEAT)" in ingredient_line(sheet)
    assert "SESAME seeds" in ingredient_line(sheet)
    assert list(allergen_lines(sheet)) == [
        "Contains: wheat, milk, sesame.",
        "May contain (you said so): walnuts.",
    ]


def test_a_summary_names_weight_energy_and_allergens() -> None:
    said = " ".join(label_summary(label()))
    assert "10 × 72 g as sold" in said
    assert label().per_hundred[0].printed in said
    assert "Contains: wheat, milk, sesame." in said
