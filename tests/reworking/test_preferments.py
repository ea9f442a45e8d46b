"""What a preferment, a scald or a swap does to the rest of a document."""

from collections.abc import Callable
from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.engine.overall import (
    fresh_yeast_ratio,
    hydration,
    prefermented_flour_ratio,
    salt_ratio,
)
from doughwright.errors import DocumentError
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.reworking.rework import Rework, reworked_text, solved_document
from doughwright.reworking.wishes import EXAMPLES, KINDS, rework_asked

Solve = Callable[..., ResolvedFormula]

FOLDER = Path(__file__).parents[2] / "examples"
ORDINARY = kitchen_from(None)


def text_of(name: str) -> str:
    return (FOLDER / f"{name}.yaml").read_text("utf-8")


def asked(name: str, *wishes: str) -> tuple[Rework, str]:
    """Return the last of several reworks, and the author's text with all of them done."""
    text = text_of(name)
    document = read_document(text).document
    assert isinstance(document, FormulaDocument)
    formula = solved_document(document)
    for wish in wishes:
        done = rework_asked(formula, ORDINARY, wish)
        formula, text = done.formula, reworked_text(text, done)
    return done, text


def comments(text: str) -> list[str]:
    return [line.partition("#")[2] for line in text.splitlines() if "#" in line]


def code(formula: ResolvedFormula, wish: str) -> str:
    with pytest.raises(DocumentError) as caught:
        rework_asked(formula, ORDINARY, wish)
    return caught.value.problems[0].code


@pytest.mark.parametrize(
    ("style", "steps"),
    [
        ("poolish 30 %", ["mix poolish", "ferment poolish until ripe at room"]),
        ("biga 40 %", ["mix biga", "ferment biga until ripe at room"]),
        ("old dough 20 %", ["mix old dough", "ferment old dough until 1 h at room"]),
    ],
)
def test_a_preferment_is_made_before_the_dough(style: str, steps: list[str]) -> None:
    done, text = asked("cold-retarded-tin-loaf", style)
    name = steps[0].removeprefix("mix ")
    said = [
        " ".join(
            filter(None, (s.verb, s.of, s.until and f"until {s.until}", s.at and f"at {s.at}"))
        )
        for s in done.document.process
    ]
    assert said[: len(steps)] == steps
    assert done.document.preparations[name].style == name
    assert list(done.document.preparations["dough"].uses) == [name]
    assert text.index(f"  {name}:") < text.index("  dough:")  # it stands before what takes it


def test_the_authors_comments_and_notes_stay() -> None:
    before = text_of("potato-rolls")
    _, after = asked("potato-rolls", "flying sponge", "hydration 66 %", "12 pieces")
    assert comments(after) == comments(before)
    assert after.count("note:") == before.count("note:")


def test_taking_a_sponge_out_takes_its_steps_out() -> None:
    done, text = asked("leek-and-curd-pockets", "straight")
    assert "sponge" not in {step.of for step in done.document.process}
    assert done.document.preparations["dough"].uses == {}
    assert "# The leek is weighed trimmed and sweated" in text
    dough = done.document.preparations["dough"].ingredients
    assert dough["strong white flour"].amount.text == "100 %"
    assert dough["whole milk"].amount.text == "48 %"
    assert prefermented_flour_ratio(done.formula.solution) == 0


def test_times_of_stages_that_changed_are_dropped_and_the_bakes_stay() -> None:
    done, _ = asked("leek-and-curd-pockets", "straight")
    dropped = next(n for n in done.notices if n.code == "times-dropped")
    assert dropped.values["read"] == "ferment dough 60–65 min, proof dough 55 min"
    assert [s.took.text for s in done.document.process if s.took] == ["24–27 min"]


def test_a_step_that_had_only_its_time_rises_to_its_usual_size(solve: Solve) -> None:
    before = solve("""
    yield: {flour: 1 kg}
    preparations: {dough: {kind: dough, ingredients: {flour: 100 %, water: 70 %, yeast: 1 %}}}
    process: [{mix: dough}, {ferment: dough, took: 80 min}]
    """)
    (step,) = [
        s for s in rework_asked(before, ORDINARY, "poolish").document.process if s.of == "dough"
    ][1:]
    assert (step.took, step.lasts, step.until) == (None, None, None)


def test_warm_milk_and_all_yeast_go_into_a_flying_sponge() -> None:
    done, _ = asked("potato-rolls", "flying sponge")
    sponge = done.document.preparations["flying sponge"].ingredients
    assert list(sponge) == ["strong white flour", "whole milk", "water", "active dry yeast"]
    milk, water = sponge["whole milk"].at, sponge["water"].at
    assert milk is not None
    assert water is not None
    assert milk.text == "35 °C"  # about 32–38 °C: common practice, no source
    assert water.text == "40 °C"  # the author's own
    # a range stays a range
    assert sponge["water"].amount.text == "60–70 g"


def test_old_dough_has_its_share_of_salt_and_yeast() -> None:
    done, _ = asked("cold-retarded-tin-loaf", "old dough 20 %")
    old = done.document.preparations["old dough"].ingredients
    assert {name: line.amount.text for name, line in old.items()} == {
        "strong white flour": "20 %",
        "water": "13 %",
        "salt": "0.4 %",
        "instant yeast": "0.18 %",
    }


def test_one_preferment_in_the_place_of_another() -> None:
    done, _ = asked("rye-and-wheat-hearth-loaf", "biga 30 %")
    assert list(done.document.preparations) == ["biga", "dough"]
    assert prefermented_flour_ratio(done.formula.solution) == pytest.approx(0.3)


def test_milk_has_no_place_in_a_poolish(solve: Solve) -> None:
    milk = solve("""
    yield: {flour: 1 kg}
    preparations: {dough: {kind: dough, ingredients: {flour: 100 %, milk: 70 %, yeast: 1 %}}}
    """)
    assert code(milk, "poolish 30 %") == "no-water-for-preferment"
    with_powder = rework_asked(milk, ORDINARY, "milk powder").formula
    done = rework_asked(with_powder, ORDINARY, "poolish 30 %")
    assert hydration(done.formula.solution) == pytest.approx(hydration(milk.solution), abs=1e-4)


def test_a_leaven_stays(solve: Solve) -> None:
    levain = solve("""
    preparations:
      levain:
        kind: preferment
        ingredients: {flour: 100 g, water: 100 g, starter: {amount: 20 g, hydration: 100 %}}
      dough: {kind: dough, from: [levain], ingredients: {flour: 400 g, water: 250 g}}
    """)
    assert code(levain, "straight") == "no-preferment"
    assert code(levain, "poolish 20 %") == "no-yeast-to-move"


def test_less_yeast_than_the_style_wants_is_said(solve: Solve) -> None:
    lean = solve("""
    preparations:
      dough: {kind: dough, ingredients: {flour: 1 kg, water: 700 g, fresh yeast: 0.3 g}}
    """)
    done = rework_asked(lean, ORDINARY, "poolish 30 %")
    said = next(n for n in done.notices if n.code == "preferment-takes-all-yeast")
    assert said.values["given"] == pytest.approx(0.001)
    assert said.values["wanted"] == pytest.approx(0.002)
    assert "fresh yeast" not in done.document.preparations["dough"].ingredients


def test_a_scald_keeps_flour_and_water_and_is_topped_up() -> None:
    done, _ = asked("cold-retarded-tin-loaf", "scald 8 %")
    scald = done.document.preparations["scald"]
    assert {name: line.amount.text for name, line in scald.ingredients.items()} == {
        "strong white flour": "8 %",
        "water": "24 %",
    }
    cook = done.document.process[0]
    assert (cook.verb, cook.of) == ("cook", "scald")
    assert cook.note is not None
    assert "top up" in cook.note
    assert hydration(done.formula.solution) == pytest.approx(
        hydration(asked("cold-retarded-tin-loaf", "12 pieces")[0].formula.solution)
    )


def test_scalded_flour_back_into_the_dough() -> None:
    done, _ = asked("scalded-pan-loaf", "no scald")
    dough = done.document.preparations["dough"].ingredients
    assert dough["strong white flour"].amount.text == "85 %"
    assert dough["water"].amount.text == "24 %"
    assert "scald" not in {step.of for step in done.document.process}


def test_what_is_taken_by_weight_follows_what_is_made(solve: Solve) -> None:
    before = solve("""
    preparations:
      sponge: {kind: preferment, ingredients: {flour: 100 g, water: 60 g, fresh yeast: 10 g}}
      dough: {kind: dough, from: {sponge: 170 g}, ingredients: {flour: 400 g, milk: 200 g}}
    """)
    done = rework_asked(before, ORDINARY, "hydration 45 %").document
    share = done.preparations["dough"].uses["sponge"].share
    water = done.preparations["sponge"].ingredients["water"].amount.best
    assert share is not None
    assert share.best == pytest.approx(0.110 + water, abs=1e-5)


def test_another_yeast_raises_as_much() -> None:
    done, _ = asked("cold-retarded-tin-loaf", "fresh yeast")
    before, _ = asked("cold-retarded-tin-loaf", "2 pieces")
    now, was = (fresh_yeast_ratio(each.formula.solution) for each in (done, before))
    assert now == pytest.approx(was, abs=1e-5)
    assert done.document.preparations["dough"].ingredients["fresh yeast"]


@pytest.mark.parametrize("wish", ["polish 30 %", "", "poolish", "12", "hydration", "make it nice"])
def test_words_that_are_no_rework_are_answered_with_those_that_are(solve: Solve, wish: str) -> None:
    bread = solve("preparations: {dough: {kind: dough, ingredients: {flour: 1 kg, water: 600 g}}}")
    with pytest.raises(DocumentError) as caught:
        rework_asked(bread, ORDINARY, wish)
    (problem,) = caught.value.problems
    if wish == "poolish":
        assert problem.code == "no-yeast-to-move"
    else:
        assert problem.code == "wish-not-understood"
        said = str(problem.values["allowed"])
        about = [each for each in EXAMPLES if wish and wish in each.split()]
        assert said == "; ".join(about or KINDS)


@pytest.mark.parametrize(
    ("wish", "expected"),
    [
        ("hydration 20 %", "rework-target-out-of-reach"),
        ("12 pieces", "size-of-no-piece"),
        ("800 g baked", "size-of-no-piece"),
        ("round 30 cm", "no-size-to-go-by"),
        ("milk powder", "nothing-to-change"),
        ("no scald", "no-scald"),
        ("oil for grease", "unknown-ingredient"),
        ("oil for egg", "no-swap-of-these"),
        ("wholemeal flour for water", "no-swap-of-these"),
        ("0 pieces", "not-a-count"),
        ("0 g baked", "not-above-zero"),
        ("tray 30 cm", "not-a-size"),
        ("tin 3 apples", "not-a-quantity"),
        ("scald 30 %", "scald-too-large"),
    ],
)
def test_refusals_say_why(solve: Solve, wish: str, expected: str) -> None:
    bread = solve("""
    preparations:
      dough: {kind: dough, ingredients: {flour: 1 kg, water: 600 g, egg: 300 g, yeast: 5 g}}
    """)
    assert code(bread, wish) == expected


def test_flour_that_drinks_more_gets_the_water_for_it(solve: Solve) -> None:
    # a fifth of 1 kg as wholemeal, 8 % thirstier (common practice, no source): 16 g of water
    bread = solve("""
    preparations:
      dough: {kind: dough, ingredients: {strong white flour: 1 kg, water: 650 g, yeast: 5 g}}
    """)
    wish = "wholemeal flour for 20 % of strong white flour"
    done = rework_asked(bread, ORDINARY, wish)
    assert {
        n: x.amount.text for n, x in done.document.preparations["dough"].ingredients.items()
    } == {
        "strong white flour": "0.8 kg",
        "wholemeal flour": "0.2 kg",
        "water": "666 g",
        "yeast": "5 g",
    }
    said = next(n for n in done.notices if n.code == "flour-drinks-otherwise")
    assert said.values["water"] == pytest.approx(0.016)
    assert "water" not in done.conserves


def test_salted_butter_takes_its_salt_out_of_the_salt(solve: Solve) -> None:
    # 100 g of unsalted butter of 81.11 % fat; ours salted holds as much fat in 100 g and 1.61 g of
    # salt (USDA SR28, NDB 01001 and 01145)
    bread = solve("""
    preparations:
      dough:
        kind: dough
        ingredients: {flour: 1 kg, water: 500 g, unsalted butter: 100 g, salt: 20 g}
    """)
    done = rework_asked(bread, ORDINARY, "salted butter")
    assert done.edits == rework_asked(bread, ORDINARY, "salted butter for butter").edits
    dough = done.document.preparations["dough"].ingredients
    assert dough["salted butter"].amount.best == pytest.approx(0.100, abs=1e-4)
    assert dough["salt"].amount.best == pytest.approx(0.0184, abs=2e-4)
    assert salt_ratio(done.formula.solution) == pytest.approx(0.020, abs=1e-5)


@pytest.mark.parametrize(
    ("short", "long"),
    [
        ("fresh yeast", "fresh yeast for instant yeast"),
        ("milk powder", "skimmed milk powder for whole milk"),
    ],
)
def test_a_swap_may_be_said_in_full(short: str, long: str) -> None:
    assert asked("scalded-pan-loaf", short)[1] == asked("scalded-pan-loaf", long)[1]


def test_another_butter_is_as_warm_as_the_one_before_and_powder_is_not() -> None:
    salted = asked("scalded-pan-loaf", "salted butter")[0].document.preparations["dough"]
    warm = salted.ingredients["salted butter"].at
    assert warm is not None
    assert warm.text == "20 °C"
    sponge = asked("leek-and-curd-pockets", "milk powder")[0].document.preparations["sponge"]
    assert sponge.ingredients["skimmed milk powder"].at is None
    water = sponge.ingredients["water"].at
    assert water is not None
    assert water.text == "36 °C"


def test_a_share_of_anything_but_a_flour_is_refused_and_never_taken_for_all() -> None:
    document = read_document(text_of("leek-and-curd-pockets")).document
    assert isinstance(document, FormulaDocument)
    formula = solved_document(document)
    assert code(formula, "olive oil for 50 % of unsalted butter") == "swap-in-part"
