"""What a rework tells: which noted times go, what becomes of other stages, what still holds."""

from collections.abc import Callable
from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.errors import DocumentError, Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.reworking.rework import Rework, reworked_text, solved_document
from doughwright.reworking.standing import still_true
from doughwright.reworking.wishes import rework_asked

Solve = Callable[..., ResolvedFormula]

FOLDER = Path(__file__).parents[2] / "examples"
ORDINARY = kitchen_from(None)

TWO_LEAVENED = """
preparations:
  levain:
    kind: preferment
    ingredients: {flour: 100 g, water: 100 g, starter: {amount: 20 g, hydration: 100 %}}
  poolish: {kind: preferment, ingredients: {flour: 200 g, water: 200 g, yeast: 0.4 g}}
  dough:
    kind: dough
    from: [levain, poolish]
    ingredients: {flour: 700 g, water: 350 g, salt: 20 g, yeast: 3 g}
process:
  - {ferment: levain, until: ripe, took: 6 h}
  - {ferment: poolish, until: ripe, took: 12 h}
  - {mix: dough}
  - {ferment: dough, until: double, took: 90 min}
"""


def text_of(name: str) -> str:
    return (FOLDER / f"{name}.yaml").read_text("utf-8")


def bread(name: str) -> ResolvedFormula:
    document = read_document(text_of(name)).document
    assert isinstance(document, FormulaDocument)
    return solved_document(document)


def asked(formula: ResolvedFormula, *wishes: str) -> list[Rework]:
    done: list[Rework] = []
    for wish in wishes:
        done.append(rework_asked(done[-1].formula if done else formula, ORDINARY, wish))
    return done


def noted(done: Rework) -> dict[str, str]:
    return {f"{s.verb} {s.of}": s.took.text for s in done.document.process if s.took}


def coded(notices: tuple[Notice, ...], code: str) -> list[Notice]:
    return [notice for notice in notices if notice.code == code]


@pytest.mark.parametrize("wish", ["salt 1.8 %", "hydration 75 %", "ferment dough 2 in 3 h"])
def test_the_time_of_a_poolish_stays_as_long_as_the_poolish_does(wish: str) -> None:
    (done,) = asked(bread("rye-and-wheat-hearth-loaf"), wish)
    its_own = noted(done).get("ferment poolish")
    assert its_own == (None if wish.startswith("ferment") else "12–13 h")  # that changes its yeast
    assert not noted(done).keys() & {"ferment dough", "proof dough"}


def test_another_yeast_of_the_poolish_leaves_the_levains_time(solve: Solve) -> None:
    (done,) = asked(solve(TWO_LEAVENED), "fresh yeast")
    assert noted(done) == {"ferment levain": "6 h"}


def test_another_starter_leaves_the_poolishs_time(solve: Solve) -> None:
    (done,) = asked(solve(TWO_LEAVENED), "starter 50 %")
    assert noted(done) == {"ferment poolish": "12 h"}


def test_straight_says_that_a_leaven_stays(solve: Solve) -> None:
    (done,) = asked(solve(TWO_LEAVENED), "straight")
    assert list(done.document.preparations) == ["levain", "dough"]
    (said,) = coded(done.notices, "leaven-stays")
    assert said.values["names"] == "levain"
    (other,) = asked(solve(TWO_LEAVENED), "poolish 20 %")
    assert not coded(other.notices, "leaven-stays")  # nobody asked for a straight dough


def test_what_the_yeast_for_one_stage_makes_of_the_others_is_said() -> None:
    (done,) = asked(bread("leek-and-curd-pockets"), "ferment sponge in 2 h")
    later = {str(n.values["step"]): n.values for n in coded(done.notices, "other-stage-too")}
    assert list(later) == ["ferment dough", "proof dough"]
    # all the dough's yeast is in the sponge, and about a quarter of it is left
    dough = later["ferment dough"]
    assert dough["was"] == pytest.approx(63.5 * 60, rel=0.1)  # 60–65 min were noted
    assert float(str(dough["best"])) > 2.5 * float(str(dough["was"]))
    (down,) = asked(bread("rye-and-wheat-hearth-loaf"), "ferment dough 2 in 2 h")
    steps = [n.values["step"] for n in coded(down.notices, "other-stage-too")]
    assert "ferment poolish" in steps


def test_warmth_that_went_on_into_another_sponge_is_not_told_of() -> None:
    pockets = bread("leek-and-curd-pockets")
    assert coded(still_true(asked(pockets, "straight")), "warmth-of-preferment")
    assert not coded(
        still_true(asked(pockets, "straight", "flying sponge")), "warmth-of-preferment"
    )


def test_flour_that_comes_into_a_line_from_the_fridge_is_said() -> None:
    (done,) = asked(bread("leek-and-curd-pockets"), "straight")
    (said,) = coded(done.notices, "warmth-joined")
    assert (said.values["line"], said.values["now"]) == ("strong white flour", "kept: fridge")
    (rye,) = asked(bread("rye-and-wheat-hearth-loaf"), "straight")
    assert not coded(rye.notices, "warmth-joined")  # its dough's lines say nothing of it


def test_what_a_comment_says_of_a_preferment_goes_with_it() -> None:
    (done,) = asked(bread("rye-and-wheat-hearth-loaf"), "straight")
    after = reworked_text(text_of("rye-and-wheat-hearth-loaf"), done)
    assert "A tenth stays back" not in after
    assert "# Two hearth loaves" in after


def test_a_line_that_only_moves_keeps_its_comment() -> None:
    (done,) = asked(bread("cardamom-knots"), "flying sponge")
    after = reworked_text(text_of("cardamom-knots"), done)
    line = "      instant yeast: 1.6 %       # a strain that likes sugar, if you can get it\n"
    assert after.index("  flying sponge:") < after.index(line) < after.index("  dough:\n")


def test_all_the_flour_in_a_biga_leaves_no_line_of_nothing() -> None:
    (done,) = asked(bread("cold-retarded-tin-loaf"), "biga 100 %")
    dough = done.document.preparations["dough"].ingredients
    assert not [name for name in dough if "flour" in name]


@pytest.mark.parametrize(
    ("wish", "code", "allowed"),
    [
        ("salt 1,8 %", "decimal-comma", "1.8 %"),
        ("hydration 70", "bare-number", "70 %"),
        ("ferment dough in 1,5 h", "decimal-comma", "1.5 h"),
        ("12 pieces of 0,09 kg", "decimal-comma", "0.09 kg"),
        ("hydration", "wish-not-understood", "biga 40 % hydration 55 %; hydration 68 %"),
    ],
)
def test_a_slip_is_answered_with_what_was_meant(wish: str, code: str, allowed: str) -> None:
    with pytest.raises(DocumentError) as caught:
        asked(bread("potato-rolls"), wish)
    (problem,) = caught.value.problems
    assert (problem.code, problem.values["allowed"]) == (code, allowed)


def test_a_step_goes_by_the_name_that_the_changes_give_it() -> None:
    (done,) = asked(bread("rye-and-wheat-hearth-loaf"), "ferment dough 2 in 2 h")
    (said,) = coded(done.notices, "ready-with-this-yeast")
    assert said.values["step"] == "ferment dough 2"
