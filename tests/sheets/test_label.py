"""The label sheet by country: what each asks for, in its own amounts."""

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.render.selling_phrases import (
    allergen_lines,
    ingredient_line,
    label_notes,
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


OWN = ROLLS.replace(
    "instant yeast: 1 %", "instant yeast: 1 %\n      ham: 5 %\n      chutney: 5 %"
).replace("process:", "ingredients:\n  chutney: {kind: fruit, water: 45 %, fat: 0 %}\nprocess:")


def own_label(codes: str, piece: int = 80) -> LabelSheet:
    document = read_document(OWN.replace("PIECE", str(piece))).document
    assert isinstance(document, FormulaDocument)
    made = resolved_formula(document)
    return label_sheet(made, sold(made, loss_of(made, None, stated=0.1)), codes)  # type: ignore[arg-type]


def test_what_nobody_knows_is_neither_a_figure_nor_green() -> None:
    # of the chutney neither sugars nor sodium were said, and it has no fat to be saturated
    sheet = own_label("UK")
    rows = {cells[0]: cells for _, cells in nutrition_rows(sheet)}
    assert rows["salt"][1].startswith("at least 1.")
    assert rows["of which sugars"][1] == "not known"  # of the flour's 0.3 % nothing is printed
    assert rows["of which sugars"][3] == rows["salt"][3] == "not known"
    assert not rows["of which saturates"][1].startswith("at least ")
    assert rows["fat"][3] == "amber"
    us = {cells[0]: cells for _, cells in nutrition_rows(own_label("US"))}
    assert us["Sodium"][1].startswith("at least ")
    assert us["Sodium"][2].startswith("at least ")
    assert [name for name in us if "Added Sugars" in name] == ["Includes Added Sugars"]  # unknown


def test_added_sugars_read_as_the_us_has_them() -> None:
    # 21 CFR 101.9(c)(6)(iii), from memory: Includes 2g Added Sugars
    text = ROLLS.replace("salt: 2 %", "salt: 2 %\n      sugar: 5 %").replace("PIECE", "80")
    document = read_document(text).document
    assert isinstance(document, FormulaDocument)
    made = resolved_formula(document)
    sheet = label_sheet(made, sold(made, loss_of(made, None, stated=0.1)), "US")
    # 5 parts in 186 of 80 g: 2.15 g of 50
    assert (True, ("Includes 2 g Added Sugars", "", "4%")) in list(nutrition_rows(sheet))


def test_what_is_made_of_several_things_is_told() -> None:
    told = " ".join(label_notes(own_label("EU")))
    assert "Made of several things: ham." in told
    assert "list them too: chutney." in told
    assert list(label_notes(label())) == []


def test_a_loaf_s_colours_go_by_a_hundred_grams_and_that_is_said() -> None:
    bun, loaf = label("UK"), label("UK", 800)  # 720 g baked
    assert [light.colour for light in bun.lights] == [light.colour for light in loaf.lights]
    assert list(label_notes(bun)) == []
    assert "cut" in " ".join(label_notes(loaf))
    assert list(label_notes(label("EU", 800))) == []


def test_allergens_that_nobody_stated_are_told() -> None:
    assert own_label("EU").unstated == ("chutney",)
    assert "Nobody stated the allergens of: chutney." in " ".join(allergen_lines(own_label("EU")))


def test_a_summary_names_weight_energy_and_allergens() -> None:
    said = " ".join(label_summary(label()))
    assert "10 × 72 g as sold" in said
    assert label().per_hundred[0].printed in said
    assert "Contains: wheat, milk, sesame." in said
