"""Where water and flour go that make up for a change, and what is said where none can."""

from collections.abc import Callable
from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.engine.overall import hydration
from doughwright.errors import DocumentError
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.reworking.rework import Rework, reworked_text, solved_document
from doughwright.reworking.wishes import rework_asked

Solve = Callable[..., ResolvedFormula]

FOLDER = Path(__file__).parents[2] / "examples"
ORDINARY = kitchen_from(None)


def bread(name: str) -> ResolvedFormula:
    document = read_document((FOLDER / f"{name}.yaml").read_text("utf-8")).document
    assert isinstance(document, FormulaDocument)
    return solved_document(document)


def asked(formula: ResolvedFormula, wish: str) -> Rework:
    return rework_asked(formula, ORDINARY, wish)


def amounts(done: Rework, preparation: str) -> dict[str, str]:
    lines = done.document.preparations[preparation].ingredients
    return {name: line.amount.text for name, line in lines.items()}


def codes(done: Rework) -> set[str]:
    return {notice.code for notice in done.notices}


@pytest.mark.parametrize("wish", ["hydration 68 %", "oil for butter"])
def test_a_scald_stays_as_wet_as_it_is_and_the_dough_gets_the_water(wish: str) -> None:
    done = asked(bread("scalded-pan-loaf"), wish)
    assert amounts(done, "scald") == {"strong white flour": "8 %", "water": "24 %"}
    # 68 − 65.437 %, and the 17.94 % of water in 5 % of butter (USDA SR28, NDB 01145)
    expected = {"hydration 68 %": "2.563 %", "oil for butter": "0.897 %"}
    assert amounts(done, "dough")["water"] == expected[wish]


def test_what_another_starter_lacks_goes_into_the_leaven_it_is_in(solve: Solve) -> None:
    levain = solve("""
    preparations:
      levain:
        kind: preferment
        ingredients: {flour: 100 g, water: 100 g, starter: {amount: 20 g, hydration: 100 %}}
      dough: {kind: dough, from: [levain], ingredients: {flour: 400 g, water: 250 g}}
    """)
    # 10 g of flour and 10 of water: at 50 % 10 and 5, at 125 % 8 and 10
    stiff, wet = (amounts(asked(levain, f"starter {each} %"), "levain") for each in (50, 125))
    assert stiff == {"flour": "100 g", "water": "105 g", "starter": "15 g"}
    assert wet == {"flour": "102 g", "water": "100 g", "starter": "18 g"}
    assert asked(levain, "starter 100 %").edits == ()


def test_water_that_fresh_yeast_brings_is_said_where_none_is_poured() -> None:
    before = bread("leek-and-curd-pockets")
    done = asked(before, "fresh yeast")
    said = next(n for n in done.notices if n.code == "water-not-kept")
    gained = hydration(done.formula.solution) - hydration(before.solution)
    flour = before.solution.total_flour
    assert float(str(said.values["water"])) == pytest.approx(gained * flour, rel=1e-3)
    assert "water" not in done.conserves
    assert "water-not-kept" not in codes(asked(bread("potato-rolls"), "fresh yeast"))


@pytest.mark.parametrize(
    ("name", "wish"),
    [
        ("leek-and-curd-pockets", "salt 1.8 %"),
        ("rye-and-wheat-hearth-loaf", "hydration 69 %"),
        ("cardamom-knots", "whole eggs"),
        ("cardamom-knots", "whole large eggs up"),
    ],
)
def test_what_is_so_already_changes_nothing_and_drops_no_time(name: str, wish: str) -> None:
    text = (FOLDER / f"{name}.yaml").read_text("utf-8")
    done = asked(bread(name), wish)
    assert reworked_text(text, done) == text
    assert not done.notices


def test_warmth_is_said_of_what_carries_it_into_the_dough_only() -> None:
    # the poolish's water stood at 22 °C; the dough has water of its own, which keeps its way
    assert "warmth-of-preferment" not in codes(
        asked(bread("rye-and-wheat-hearth-loaf"), "straight")
    )
    assert "warmth-of-preferment" in codes(asked(bread("leek-and-curd-pockets"), "straight"))


@pytest.mark.parametrize("share", [33, 12.5, 7.77])
def test_flours_parted_add_up_to_the_last_figure(solve: Solve, share: float) -> None:
    before = solve("""
    yield: {flour: 1 kg}
    preparations:
      dough:
        kind: dough
        ingredients: {strong white flour: 77.7 %, wholemeal flour: 22.3 %, water: 65 %}
    """)
    done = asked(before, f"wholemeal flour for {share} % of strong white flour")
    assert "flour-percent-rounded" not in {n.code for n in done.formula.notices}
    for text in amounts(done, "dough").values():
        assert len(text.removesuffix(" %").partition(".")[2]) <= 3


@pytest.mark.parametrize(
    ("name", "wish", "decimals"),
    [
        ("cold-retarded-tin-loaf", "poolish 30 %", 4),  # a pinch of yeast has three figures
        ("seeded-flatbread", "biga 33.333 %", 4),
        ("potato-rolls", "12 pieces of 90 g", 2),
        ("leek-and-curd-pockets", "fat 12 %", 3),
    ],
)
def test_no_more_digits_are_written_than_can_be_weighed(
    name: str, wish: str, decimals: int
) -> None:
    done = asked(bread(name), wish)
    for preparation in done.document.preparations:
        for text in amounts(done, preparation).values():
            if text.endswith(("%", " g")):
                assert len(text.split("–")[0].split()[0].partition(".")[2]) <= decimals, text


# --- as far as water goes -------------------------------------------------------------------------

LITTLE_WATER = """
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 500 g, milk: 280 g, water: 10 g, oil: 60 g, salt: 8 g}
"""


def test_what_water_there_is_is_taken_and_the_rest_said(solve: Solve) -> None:
    # 60 g / 0.8111 are 73.97 g of butter with 13.27 g of water (17.94 %); 10 g are poured.
    # 280 g × 0.8813 + 10 g are 256.76 g of water: 51.35 %, and 3.27 g more are 52.01 %
    done = asked(solve(LITTLE_WATER), "unsalted butter for oil")
    assert "water" not in amounts(done, "dough")
    assert "water" not in done.conserves
    (said,) = (n for n in done.notices if n.code == "water-kept-in-part")
    expected = {"water": 0.01327, "taken": 0.01, "left": 0.00327, "was": 0.51353, "now": 0.52007}
    found = {key: float(str(said.values[key])) for key in expected}
    assert found == pytest.approx(expected, abs=1e-5)
    assert hydration(done.formula.solution) == pytest.approx(0.52007, abs=2e-5)


@pytest.mark.parametrize(
    ("name", "there", "back"),
    [
        ("leek-and-curd-pockets", "oil for butter", "butter for oil"),
        ("cardamom-knots", "salted butter", "unsalted butter"),
    ],
)
def test_there_and_back_is_as_it_was(name: str, there: str, back: str) -> None:
    before = bread(name)
    done = asked(asked(before, there).formula, back)
    assert "water" in done.conserves
    assert not codes(done)
    assert hydration(done.formula.solution) == pytest.approx(hydration(before.solution), abs=5e-5)


@pytest.mark.parametrize("name", ["cardamom-knots", "leek-and-curd-pockets"])
def test_one_dry_yeast_for_another_says_nothing_of_water(name: str) -> None:
    done = asked(bread(name), "active dry yeast")
    assert "water" in done.conserves
    assert not {"water-not-kept", "water-kept-in-part"} & codes(done)


def test_a_scald_is_not_drained() -> None:
    loaf = bread("scalded-pan-loaf")
    with pytest.raises(DocumentError) as caught:
        asked(loaf, "hydration 42 %")
    (problem,) = caught.value.problems
    assert "water in scald" in str(problem.values["rest"])
    done = asked(loaf, "fresh yeast")
    assert amounts(done, "scald")["water"] == "24 %"
    assert "water-not-kept" in codes(done)


def test_a_flour_that_wants_less_water_than_can_come_off_makes_a_softer_dough() -> None:
    # 15 % of wholemeal flour × 0.08 are 1.2 % of water, and all that is poured is in the scald
    before = bread("scalded-pan-loaf")
    done = asked(before, "strong white flour for wholemeal flour")
    (said,) = (n for n in done.notices if n.code == "flour-wants-less")
    flour = before.solution.total_flour
    assert float(str(said.values["left"])) == pytest.approx(0.012 * flour)
    assert amounts(done, "scald")["water"] == "24 %"


def test_a_poolish_that_gives_water_is_said_to_be_stiffer(solve: Solve) -> None:
    # 150 g of water on 500 g; 18 % are 90 g: the dough's 50 g go, and 10 g of the poolish's
    before = solve("""
    preparations:
      poolish: {kind: preferment, ingredients: {flour: 100 g, water: 100 g, instant yeast: 1 g}}
      dough: {kind: dough, from: [poolish], ingredients: {flour: 400 g, water: 50 g, salt: 10 g}}
    """)
    done = asked(before, "hydration 18 %")
    assert amounts(done, "poolish")["water"] == "90 g"
    assert "water" not in amounts(done, "dough")
    (said,) = (n for n in done.notices if n.code == "preparation-drier")
    assert said.values["name"] == "poolish"
    assert float(str(said.values["water"])) == pytest.approx(0.010)


@pytest.mark.parametrize("wish", ["scald 8 % with 0 times the water", "poolish 20 % hydration 0 %"])
def test_flour_is_not_wetted_with_no_water(wish: str) -> None:
    with pytest.raises(DocumentError) as caught:
        asked(bread("cold-retarded-tin-loaf"), wish)
    assert caught.value.problems[0].code == "not-above-zero"


def test_without_its_scald_no_water_boils_and_its_note_is_told() -> None:
    before = bread("scalded-pan-loaf")
    done = asked(before, "no scald")
    dough = done.document.preparations["dough"]
    assert dough.ingredients["water"].at is None
    assert dough.note is None
    assert "scald-water-as-any" in codes(done)
    (said,) = (n for n in done.notices if n.code == "note-gone")
    assert said.values["read"] == before.document.preparations["scald"].note
