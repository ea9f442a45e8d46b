"""What is added to a formula stands where it is worked, and one preparation takes another."""

import pytest

from doughwright.web.formula_edits import Typed, typed_into
from doughwright.web.formula_fields import field_name
from doughwright.web.formula_form import form_of, tree_of
from doughwright.web.formula_presses import Press, focus_after, press_from, pressed
from doughwright.web.formula_state import Worked, state_of, worked

BUNS = """\
doughwright: formula/1
name: Buns
preparations:
  poolish:
    kind: preferment
    ingredients: {strong white flour: 150 g, water: 150 g, instant yeast: 0.2 g}
  # the dough, mixed in the morning
  dough:
    kind: dough
    from: [poolish]
    ingredients: {strong white flour: 350 g, water: 180 g, salt: 9 g}
  glaze:
    kind: glaze
    ingredients: {whole milk: 20 g}
process:
  - mix: dough
  - ferment: dough
    for: 1 h
  - bake: dough
"""
ALONE = BUNS.replace("    from: [poolish]\n", "")
NEW_LINE = "a:preparations/dough/ingredients"


def after(typed: dict[str, str], text: str = BUNS) -> Typed:
    """A text after something was typed into its form."""
    fields = (f for row in form_of(text).rows for f in row.fields if not f.elsewhere)
    return typed_into(text, {**{f.name: f.value for f in fields}, **typed})


def new_step(verb: str, of: str) -> dict[str, str]:
    """What is typed to add a step."""
    return {"a:process/verb": verb, "a:process/of": of}


def steps(text: str) -> list[tuple[str, str]]:
    """Each step's verb and thing."""
    return [next(iter(step.items())) for step in tree_of(text)["process"]]


def beside(typed: Typed, text: str = BUNS) -> Worked:
    """Numbers and messages beside the form of a text."""
    state = state_of(typed.text, "")
    return worked(form_of(text), typed, state, state.sheet)


# --- order


@pytest.mark.parametrize(
    ("kind", "order"),
    [
        ("", ["poolish", "new", "dough", "glaze"]),
        ("soaker", ["poolish", "new", "dough", "glaze"]),
        ("dough", ["poolish", "new", "dough", "glaze"]),
        ("filling", ["poolish", "dough", "glaze", "new"]),
    ],
)
def test_what_goes_into_the_dough_stands_before_it(kind: str, order: list[str]) -> None:
    typed = after({"a:preparations/name": "new", "a:preparations/kind": kind})
    assert [*tree_of(typed.text)["preparations"]] == order
    assert "# the dough, mixed in the morning\n  dough:" in typed.text


@pytest.mark.parametrize(
    ("verb", "of", "at"), [("mix", "poolish", 0), ("mix", "glaze", 3), ("cool", "dough", 3)]
)
def test_a_step_stands_before_the_mix_of_what_takes_it_or_last(verb: str, of: str, at: int) -> None:
    typed = after(new_step(verb, of))
    assert steps(typed.text)[at] == (verb, of)
    assert typed.added == {"sn": ("process", at)}


def test_a_step_of_what_is_renamed_or_taken_with_it_stands_right_too() -> None:
    named = after({**new_step("mix", "biga"), "n:preparations/poolish": "biga"})
    assert steps(named.text)[:2] == [("mix", "biga"), ("mix", "dough")]
    taken = after({**new_step("mix", "poolish"), f"{NEW_LINE}/name": "poolish"}, ALONE)
    assert steps(taken.text)[:2] == [("mix", "poolish"), ("mix", "dough")]


def test_the_steps_behind_a_new_one_keep_their_fields_messages_and_buttons() -> None:
    text = BUNS.replace("1 h", "an hour")
    typed = after({**new_step("mix", "poolish"), "v:process/@2/bake": " "}, text)
    said = beside(typed, text).said
    assert [s.field for s in said["s1"]] == ["v:process/@1/for"]
    assert [s.field for s in said["s2"]] == ["v:process/@2/bake"]
    assert typed.kept == {"v:process/@3/bake": " "}
    up = pressed(typed.text, Press("up", typed.path_now(("process", 2))))
    assert steps(up) == [
        ("mix", "poolish"),
        ("mix", "dough"),
        ("bake", "dough"),
        ("ferment", "dough"),
    ]


# --- taking


def test_a_preparation_among_the_ingredients_without_an_amount_is_taken_whole() -> None:
    typed = after({f"{NEW_LINE}/name": "Poolish "}, ALONE)
    assert typed.text == BUNS
    assert beside(typed, ALONE).lines["p1-n"].is_preparation
    again = after({f"{NEW_LINE}/name": "poolish"})
    assert again.text == BUNS
    assert [n.code for n in again.refused] == ["key-twice"]


def test_a_preparation_does_not_take_itself() -> None:
    typed = after({f"{NEW_LINE}/name": "dough"})
    assert "dough" in tree_of(typed.text)["preparations"]["dough"]["ingredients"]


@pytest.mark.parametrize("text", [ALONE, BUNS], ids=["not taken yet", "taken already"])
def test_a_line_that_goes_by_a_preparation_becomes_its_use(text: str) -> None:
    water = field_name("n", ("preparations", "dough", "ingredients", "water"))
    typed = after({water: "poolish"}, text)
    (said,) = beside(typed, text).said["p1-1"]
    assert said.notice.code == "preparation-as-ingredient"
    assert [offer.words for offer in said.offers] == ["Take all of the poolish"]
    press = press_from(said.offers[0].do)
    there = Press(press.action, typed.path_now(press.path), press.word)
    dough = tree_of(pressed(typed.text, there))["preparations"]["dough"]
    assert dough["from"] == ["poolish"]
    assert [*dough["ingredients"]] == ["strong white flour", "salt"]
    assert focus_after(typed.text, there) == Press(
        "at", ("preparations", "dough", "from", "poolish")
    )


def test_what_nothing_takes_is_offered_at_the_dough() -> None:
    (said,) = (s for s in beside(Typed(ALONE), ALONE).said["p1"] if s.offers)
    assert said.notice.code == "several-final-doughs"
    (offer,) = said.offers
    assert offer.words == "Let the dough take all of the poolish"
    assert tree_of(pressed(ALONE, press_from(offer.do))) == tree_of(BUNS)


# --- decimal commas


def test_a_decimal_comma_is_a_point_in_values_and_as_typed_in_words() -> None:
    salt = "v:preparations/dough/ingredients/salt/amount"
    typed = after({salt: "9,5 g", f"{NEW_LINE}/name": "honey", f"{NEW_LINE}/amount": "2,5 %"})
    assert "salt: 9.5 g, honey: 2.5 %" in typed.text
    assert "note: 1,5 kg" in after({"v:note": "1,5 kg"}).text
    unclear = after({salt: "1,250 g"})
    assert "salt: '1,250 g'" in unclear.text or 'salt: "1,250 g"' in unclear.text
    assert [s.notice.code for s in beside(unclear).said["p1-2"]] == ["decimal-comma"]
