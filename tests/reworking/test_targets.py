"""Targets and swaps where several lines are of one kind, and the limits they state."""

from collections.abc import Callable
from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.engine.overall import fat_ratio, hydration, sugar_ratio
from doughwright.errors import DocumentError, Notice
from doughwright.render.messages import remedy, words
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.reworking.rework import Rework, solved_document
from doughwright.reworking.wishes import rework_asked

Solve = Callable[..., ResolvedFormula]

FOLDER = Path(__file__).parents[2] / "examples"
ORDINARY = kitchen_from(None)

TWO_OF_A_KIND = """
preparations:
  dough:
    kind: dough
    ingredients:
      strong white flour: 500 g
      water: 300 g
      sugar: 30 g
      brown sugar: 40 g
      unsalted butter: 50 g
      oil: 40 g
      salt: 8 g
      sea salt: 2 g
"""


def bread(name: str) -> ResolvedFormula:
    document = read_document((FOLDER / f"{name}.yaml").read_text("utf-8")).document
    assert isinstance(document, FormulaDocument)
    return solved_document(document)


def asked(formula: ResolvedFormula, wish: str) -> Rework:
    return rework_asked(formula, ORDINARY, wish)


def refused(formula: ResolvedFormula, wish: str) -> Notice:
    with pytest.raises(DocumentError) as caught:
        asked(formula, wish)
    return caught.value.problems[0]


def grams(done: Rework) -> dict[str, float]:
    dough = done.formula.solution.named(done.formula.solution.final)
    lines = zip(dough.preparation.lines, dough.masses, strict=True)
    return {line.name: 1000 * mass for line, mass in lines}


def codes(done: Rework) -> set[str]:
    return {notice.code for notice in done.notices}


# --- several lines of one kind --------------------------------------------------------------------


def test_two_salts_become_less_alike(solve: Solve) -> None:
    # 0.3 % of 500 g are 1.5 g of 10 g: 0.15 of 8 and of 2 g
    lines = grams(asked(solve(TWO_OF_A_KIND), "salt 0.3 %"))
    assert (lines["salt"], lines["sea salt"]) == (pytest.approx(1.2), pytest.approx(0.3))
    without = grams(asked(solve(TWO_OF_A_KIND), "salt 0 %"))
    assert not {"salt", "sea salt"} & without.keys()


def test_two_sugars_become_less_alike(solve: Solve) -> None:
    done = asked(solve(TWO_OF_A_KIND), "sugar 5 %")
    assert sugar_ratio(done.formula.solution) == pytest.approx(0.05, abs=2e-5)
    lines = grams(done)
    assert lines["sugar"] / 30 == pytest.approx(lines["brown sugar"] / 40, rel=1e-3)


def test_two_fats_become_less_alike_and_the_water_of_the_butter_is_poured(solve: Solve) -> None:
    # 81.11 % of 50 g and all of 40 g are 80.555 g of fat; 8 % of 500 g are 40 g: 0.49656 of each.
    # 25.172 g of butter less hold 17.94 % of water (USDA SR28, NDB 01145): 4.516 g
    lines = grams(asked(solve(TWO_OF_A_KIND), "fat 8 %"))
    assert lines["unsalted butter"] == pytest.approx(24.83, abs=0.01)
    assert lines["oil"] == pytest.approx(19.86, abs=0.01)
    assert lines["water"] == pytest.approx(304.52, abs=0.01)


def test_the_salt_of_butter_comes_off_all_the_salt(solve: Solve) -> None:
    mostly_sea = TWO_OF_A_KIND.replace("salt: 8 g", "salt: 0.5 g").replace("2 g", "9.5 g")
    done = asked(solve(mostly_sea), "salted butter")
    lines = grams(done)
    assert "salt" in done.conserves
    assert lines["salt"] < 0.5
    assert lines["salt"] / 0.5 == pytest.approx(lines["sea salt"] / 9.5, rel=0.01)


def test_a_limit_says_what_else_brings_it_in() -> None:
    # the old dough's own salt is 0.4 % of the flour
    problem = refused(bread("oat-and-honey-rolls"), "salt 0 %")
    assert problem.values["limit"] == pytest.approx(0.004)
    assert problem.values["rest"] == "salt in old dough"
    assert "salt in old dough" in words(problem)


# --- what a baker would stumble over --------------------------------------------------------------


@pytest.mark.parametrize(
    ("wish", "code"),
    [
        ("hydration 150 %", "hydration-unusual"),
        ("fat 300 %", "fat-high"),
        ("salt 4 %", "salt-high"),
        ("salt 0.3 %", "salt-low"),
    ],
)
def test_a_target_far_from_bread_is_doubted(solve: Solve, wish: str, code: str) -> None:
    assert code in codes(asked(solve(TWO_OF_A_KIND), wish))


def test_a_usual_target_is_not_doubted(solve: Solve) -> None:
    for wish in ("hydration 68 %", "fat 12 %", "salt 1.8 %"):
        assert not codes(asked(solve(TWO_OF_A_KIND), wish))


# --- shares ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("share", ["120 %", "0 %"])
def test_more_than_there_is_of_a_flour_or_none_of_it_is_no_swap(share: str) -> None:
    wish = f"wholemeal flour for {share} of strong white flour"
    assert refused(bread("cold-retarded-tin-loaf"), wish).code == "share-of-a-line"


def test_all_of_a_flour_takes_water_for_all_of_it() -> None:
    # 80 % × 0.08 are 6.4 % of water: 67 + 6.4
    wish = "wholemeal flour for 100 % of strong white flour"
    done = asked(bread("cold-retarded-tin-loaf"), wish)
    lines = done.document.preparations["dough"].ingredients
    assert (lines["wholemeal flour"].amount.text, lines["water"].amount.text) == ("100 %", "73.4 %")


# --- milk for milk --------------------------------------------------------------------------------


def test_another_milk_brings_as_much_water_and_says_what_fat_went() -> None:
    before = bread("potato-rolls")
    done = asked(before, "semi-skimmed milk for whole milk")
    # water 88.13 and 89.41 %, fat 3.25 and 1.7 % (the table's rows): 230 g × 0.8813 / 0.8941 are
    # 226.71 g; 7.475 − 3.854 g of fat
    assert grams(done)["semi-skimmed milk"] == pytest.approx(226.71, abs=0.01)
    assert hydration(done.formula.solution) == pytest.approx(hydration(before.solution), abs=1e-5)
    (said,) = (n for n in done.notices if n.code == "fat-of-the-milk")
    assert said.values["fat"] == pytest.approx(0.00362, abs=1e-5)
    advised = remedy(said).split("`")[1]
    again = asked(done.formula, advised).formula.solution
    assert fat_ratio(again) == pytest.approx(fat_ratio(before.solution), abs=1e-4)


@pytest.mark.parametrize(
    "wish", ["whole milk for water", "fresh yeast for salt", "skimmed milk powder for salt"]
)
def test_a_swap_that_is_not_known_is_said_to_be_none(wish: str) -> None:
    assert refused(bread("potato-rolls"), wish).code == "no-swap-of-these"
