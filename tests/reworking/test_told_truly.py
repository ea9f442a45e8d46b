"""What is told of a rework is true of the text that comes out: its times, eggs, tins, notes."""

from collections.abc import Callable
from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.engine.kitchens import Band
from doughwright.errors import DocumentError, Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.resolving.rises import settled
from doughwright.resolving.said_times import said_times
from doughwright.reworking.middle import Named, middle_document
from doughwright.reworking.rework import Rework, reworked_text, solved_document
from doughwright.reworking.wishes import rework_asked

Solve = Callable[..., ResolvedFormula]

FOLDER = Path(__file__).parents[2] / "examples"
ORDINARY = kitchen_from(None)
HOUR = 3600.0
WITHIN = 0.01
"""As near as the integrator and the search come together (tests/resolving/test_yeast.py)."""

FILLED = """
place: US
yield: {pieces: 9}
preparations:
  biga:
    kind: preferment
    style: biga
    ingredients: {strong white flour: 300 g, water: 165 g, fresh yeast: 0.9 g}
  dough:
    kind: dough
    from: [biga]
    ingredients:
      strong white flour: 300 g
      water: 90 ml
      buttermilk: 1 cup
      egg: 3 large
      egg yolk: 1 large
      olive oil: 1 tbsp
      salt: 2 tsp
      fresh yeast: 9 g
  filling:
    kind: filling
    ingredients: {ricotta: 300 g, egg: 1 large, sugar: 60 g}
process:
  - mix: biga
  - {ferment: biga, until: ripe, at: 18 °C, took: 14 h}
  - mix: dough
  - {ferment: dough, until: double}
  - divide: dough
  - shape: dough
  - {proof: dough, until: 1.7x}
  - fill: filling
  - bake: dough
tested in: {room: 21 °C}
"""

IN_A_TIN = """
yield: {{pieces: 4, piece: 400 g}}
preparations:
  dough: {{kind: dough, ingredients: {{strong white flour: 100 %, water: 65 %, yeast: 1 %}}}}
process: [{{mix: dough}}, {{shape: dough, form: {form}}}]
"""


def text_of(name: str) -> str:
    return (FOLDER / f"{name}.yaml").read_text("utf-8")


def bread(text: str) -> ResolvedFormula:
    document = read_document(text).document
    assert isinstance(document, FormulaDocument)
    return solved_document(document)


def asked(formula: ResolvedFormula, *wishes: str) -> Rework:
    for wish in wishes:
        done = rework_asked(formula, ORDINARY, wish)
        formula = done.formula
    return done


def coded(done: Rework, *codes: str) -> list[Notice]:
    return [notice for notice in done.notices if notice.code in codes]


def planned(formula: ResolvedFormula) -> dict[int, Band]:
    """Each rise's time by its step, as a plan of the formula has it."""
    rises = settled(formula, formula, ORDINARY).rises
    return {rise.position: rise.time for rise in rises if rise.time is not None}


@pytest.mark.parametrize(
    ("name", "wish", "position", "within"),
    [
        ("rye-and-wheat-hearth-loaf", "ferment poolish in 4 h", 1, 4 * HOUR),
        ("rye-and-wheat-hearth-loaf", "ferment dough 2 in 2 h", 5, 2 * HOUR),
        ("leek-and-curd-pockets", "ferment sponge in 2 h", 1, 2 * HOUR),
        ("leek-and-curd-pockets", "ferment dough in 10 h at 18 °C", 3, 10 * HOUR),
        ("seeded-flatbread", "ferment dough in 12 h at fridge", 1, 12 * HOUR),
        ("", "ferment biga in 8 h at 18 °C", 1, 8 * HOUR),
        ("", "proof dough in 2 h", 6, 2 * HOUR),
    ],
)
def test_times_told_are_those_of_a_plan_of_the_new_text(
    name: str, wish: str, position: int, within: float
) -> None:
    """The wished time, and that of every other stage, with what the old text's plan had."""
    text = text_of(name) if name else f"doughwright: formula/1\nname: Filled\n{FILLED}"
    done = asked(bread(text), wish)
    was, now = planned(bread(text)), planned(bread(reworked_text(text, done)))
    assert now[position].best == pytest.approx(within, rel=WITHIN)
    (ready,) = coded(done, "ready-with-this-yeast", "ready-if-ever")
    assert ready.values["best"] == pytest.approx(now[position].best)
    others = coded(done, "other-stage-too", "other-stage-if-ever")
    for notice in others:
        assert notice.values["was"] == pytest.approx(was[int(notice.where[1])].best)
        assert notice.values["best"] == pytest.approx(now[int(notice.where[1])].best)
    told = {notice.where[1] for notice in others} | {position}
    silent = now.keys() - told
    assert [now[i].best for i in silent] == pytest.approx([was[i].best for i in silent], rel=0.1)


def test_a_proof_that_comes_out_of_the_fridge_is_told_with_what_it_took_before() -> None:
    done = asked(bread(text_of("seeded-flatbread")), "ferment dough in 12 h at fridge")
    (proof,) = coded(done, "other-stage-too")
    assert proof.values["step"] == "proof dough"
    # the plans of the two texts: from 24 °C, and from 8 °C
    assert (proof.values["was"], proof.values["best"]) == pytest.approx(
        (28 * 60, 72 * 60), rel=0.02
    )


def test_a_poolish_with_more_yeast_does_not_make_the_dough_as_much_quicker() -> None:
    """0.3 g become 1.2 g in the poolish; the dough keeps its 4 g and about its times."""
    done = asked(bread(text_of("rye-and-wheat-hearth-loaf")), "ferment poolish in 4 h")
    assert not coded(done, "other-stage-too")


# --- eggs


def test_of_all_that_is_counted_only_eggs_are_told_of_as_eggs(solve: Solve) -> None:
    """12 of 9 pieces: 3 eggs are 4; the yolk and the filling's egg are 1 1/3, and not whole."""
    done = asked(solve(FILLED), "12 pieces")
    assert not coded(done, "eggs-not-whole")
    yolk, filling = coded(done, "eggs-not-whole-beside")
    assert (yolk.values["name"], yolk.values["of"]) == ("egg yolk", "dough")
    assert (filling.values["of"], filling.values["whole"]) == ("filling", 1)
    # a third of a large US egg of 50 g
    assert filling.values["beaten"] == pytest.approx(0.050 / 3, abs=1e-6)


def test_whole_eggs_says_which_it_leaves(solve: Solve) -> None:
    done = asked(solve(FILLED), "10 pieces", "whole eggs")
    (left,) = coded(done, "eggs-left")
    assert left.values["names"] == (
        "egg yolk of the dough (1.1111 large), egg of the filling (1.1111 large)"
    )
    assert not coded(asked(solve(FILLED), "whole eggs"), "eggs-left")


# --- tins


def test_a_tin_with_its_depth_is_filled_by_its_volume(solve: Solve) -> None:
    # 30·12·10 cm are 3.6 l with 400 g; 1.8 l take half of it
    done = asked(solve(IN_A_TIN.format(form="{tin: 30 x 12 cm, high: 10 cm}")), "tin 1.8 l")
    assert done.formula.solution.piece == pytest.approx(0.200)
    assert not coded(done, "tin-by-rule")


def test_a_tin_without_its_depth_goes_by_rule_of_thumb_and_that_is_why(solve: Solve) -> None:
    (flat,) = coded(
        asked(solve(IN_A_TIN.format(form="{tin: 30 x 12 cm}")), "tin 1.8 l"), "tin-by-rule"
    )
    assert flat.values["why"] == "The tin's depth (`high`) is not written"
    (none,) = coded(
        asked(solve(IN_A_TIN.format(form="{round: 20 cm}")), "tin 1.8 l"), "tin-by-rule"
    )
    assert none.values["why"] == "No tin is written in the formula"


def test_a_volume_has_no_area_to_fill_a_tray_by(solve: Solve) -> None:
    with pytest.raises(DocumentError) as caught:
        asked(solve(IN_A_TIN.format(form="{tin: 1.9 l}")), "tray 30 x 40 cm")
    (problem,) = caught.value.problems
    assert problem.where == ("process", 1, "form", "tin")
    assert "a volume (1.9 l) has no area" in str(problem.values["what"])


def test_a_baked_weight_is_said_to_be_that_of_each(solve: Solve) -> None:
    (said,) = coded(
        asked(solve(IN_A_TIN.format(form="{tin: 1.9 l}")), "300 g baked"), "baked-by-loss"
    )
    assert said.values["each"] == "each of 4 pieces"


# --- milk

POWDER = """
preparations:
  dough:
    kind: dough
    ingredients: {{flour: 1 kg, water: 375 g, skimmed milk powder: {powder} g, salt: 20 g}}
"""


def test_milk_becomes_powder_and_milk_again() -> None:
    """Butter that made up for the milk's fat goes back out, and its water with it."""
    before = bread(text_of("cardamom-knots"))
    after = asked(before, "milk powder", "liquid milk").formula

    def grams(formula: ResolvedFormula) -> dict[str, float]:
        p = formula.solution.named(formula.solution.final)
        return {x.name: 1000 * mass for x, mass in zip(p.preparation.lines, p.masses, strict=True)}

    assert grams(after) == pytest.approx(grams(before), abs=0.1)


def test_the_powder_that_can_become_milk_is_stated_and_can(solve: Solve) -> None:
    with pytest.raises(DocumentError) as caught:
        asked(solve(POWDER.format(powder=80)), "liquid milk")
    (problem,) = caught.value.problems
    assert problem.code == "milk-has-too-much-water"
    assert problem.where == ("preparations", "dough", "ingredients", "skimmed milk powder")
    limit = 1000 * float(str(problem.values["limit"]))
    # milk of 87.7 % water and 8.6 % solids without fat holds 375 g of water with 37 g of them
    assert limit == pytest.approx(38, abs=2)
    assert asked(solve(POWDER.format(powder=f"{limit:.1f}")), "liquid milk")
    with pytest.raises(DocumentError):
        asked(solve(POWDER.format(powder=f"{limit + 1:.1f}")), "liquid milk")


# --- notes and warmth


def test_notes_that_speak_of_what_is_gone_are_named() -> None:
    done = asked(bread(text_of("oat-and-honey-rolls")), "straight")
    said = [notice.values["read"] for notice in coded(done, "note-of-what-is-gone")]
    assert said == [
        "Seventh evening. Old dough left from a pale wheat dough does as well.",
        "Tear the old dough into walnuts first.",
    ]
    again = asked(bread(text_of("oat-and-honey-rolls")), "12 pieces")
    assert not coded(again, "note-of-what-is-gone")


def test_a_warm_liquid_does_not_warm_a_poolish_that_stands_for_hours() -> None:
    rolls = bread(text_of("potato-rolls"))
    done = asked(rolls, "poolish 5 %")
    poolish, dough = (done.document.preparations[name] for name in ("poolish", "dough"))
    water, rest = poolish.ingredients["water"], dough.ingredients["water"]
    assert (water.at, water.note) == (None, None)
    assert rest.at is not None
    assert (rest.at.text, rest.note) == ("40 °C", "wakes the yeast")
    (said,) = coded(done, "warmth-stays-out")
    assert said.values["names"] == "water at 40 °C"
    quick = asked(rolls, "sponge")  # mixed warm, used within hours
    assert not coded(quick, "warmth-stays-out")
    assert quick.document.preparations["sponge"].ingredients["water"].at is not None


# --- several sources


def test_what_a_preferment_stands_in_the_fridge_is_a_time_in_the_cold() -> None:
    times = said_times(bread(text_of("oat-and-honey-rolls")))
    assert times["preferment"].best == 1 * HOUR
    assert times["preferment, cold"].best == 14 * HOUR
    assert "in the cold" not in times  # the dough itself is not retarded


def test_one_source_that_ferments_before_is_in_the_middles_note() -> None:
    names = ("rye-and-wheat-hearth-loaf", "cold-retarded-tin-loaf", "seeded-flatbread")
    note = middle_document([Named(name, bread(text_of(name))) for name in names]).note
    assert note is not None
    assert "1 of 3 ferments part of it before, 27 % of the flour." in note
