"""The form of a formula and what is typed into it: laws, and one by one what it does."""

from collections.abc import Iterator
from pathlib import Path as File

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doughwright.documents import formula as models
from doughwright.documents.editing import SetValue, edited
from doughwright.documents.formula import STEP_KEYS
from doughwright.errors import DocumentError
from doughwright.web.formula_edits import Typed, typed_into
from doughwright.web.formula_fields import field_name, path_from, read_name, spelt
from doughwright.web.formula_form import form_of, tree_of
from doughwright.web.formula_presses import Press, button, press_from, pressed
from doughwright.web.formula_state import Worked, state_of, worked

EXAMPLES = File(__file__).parents[2] / "examples"
BREADS = {
    p.stem: p.read_text("utf-8") for p in sorted(EXAMPLES.glob("*.yaml")) if "." not in p.stem
}
POCKETS = BREADS["leek-and-curd-pockets"]
SALT = "v:preparations/dough/ingredients/salt/amount"
SALT_NAME = "n:preparations/dough/ingredients/salt"

bread = pytest.mark.parametrize("text", BREADS.values(), ids=BREADS)


def as_sent(text: str) -> dict[str, str]:
    """All fields of a text's form as a browser sends them, line breaks as it writes them."""
    fields = (field for row in form_of(text).rows for field in row.fields if not field.elsewhere)
    return {field.name: field.value.replace("\n", "\r\n") for field in fields}


def after(typed: dict[str, str], text: str = POCKETS) -> Typed:
    """A text after something was typed into its form."""
    sent = as_sent(text)
    assert typed.keys() <= sent.keys()
    return typed_into(text, {**sent, **typed})


def diff(now: str, was: str = POCKETS) -> list[str]:
    """The lines that differ."""
    old, new = was.splitlines(), now.splitlines()
    gone = [f"-{line.strip()}" for line in old if line not in new]
    return [*gone, *(f"+{line.strip()}" for line in new if line not in old)]


def words(tree: object) -> Iterator[str]:
    """All values of a tree."""
    if isinstance(tree, dict | list):
        for value in tree.values() if isinstance(tree, dict) else tree:
            yield from words(value)
    else:
        yield str(tree)


def beside(typed: Typed, text: str = POCKETS) -> Worked:
    """Numbers and messages beside the form of a text."""
    state = state_of(typed.text, "")
    return worked(form_of(text), typed, state, state.sheet)


# --- laws


def test_there_are_the_eight_breads() -> None:
    assert len(BREADS) == 8


@bread
def test_a_form_sent_back_untouched_gives_the_identical_text(text: str) -> None:
    assert typed_into(text, as_sent(text)) == Typed(text)


@bread
def test_every_field_is_named_once(text: str) -> None:
    rows = list(form_of(text).rows)
    names = [field.name for row in rows for field in row.fields]
    assert len(names) == len(set(names))
    assert len(rows) == len({row.mark for row in rows})


@bread
def test_every_word_of_a_bread_stands_in_a_field(text: str) -> None:
    shown = {f.value for row in form_of(text).rows for f in row.fields}
    listed = {part for value in shown for part in value.split(", ")}
    assert set(words(tree_of(text))) - shown - listed - set(form_of(text).names) == {"formula/1"}


@bread
def test_an_edit_in_a_field_is_the_edit_in_the_text(text: str) -> None:
    fields = [f for row in form_of(text).rows for f in row.fields if f.key.holds == "v" and f.value]
    assert len(fields) > 10
    for field in fields:
        typed = after({field.name: "7 parts"}, text)
        assert typed.text == edited(text, [SetValue(field.path, "7 parts")])


def test_every_key_a_formula_may_have_has_a_field() -> None:
    steps = "".join(f"  - {verb}: dough\n" for verb in STEP_KEYS)
    text = (
        "doughwright: formula/1\nname: All\npreparations:\n"
        "  poolish: {kind: preferment}\n"
        "  dough: {kind: dough, from: [poolish], ingredients: {water: 60 %}}\n"
        f"process:\n{steps}ingredients: {{ricotta: {{}}}}\n"
    )
    fields = {field.path for row in form_of(text).rows for field in row.fields}
    for i, (verb, keys) in enumerate(STEP_KEYS.items()):
        there = {path[2] for path in fields if path[:2] == ("process", i) and len(path) > 2}
        assert keys | {verb} == there, verb
    dough = ("preparations", "dough")
    for path, model in (
        (("yield",), models.Yield),
        (dough, models.Preparation),
        ((*dough, "ingredients", "water"), models.Line),
        ((*dough, "from", "poolish"), models.Use),
        (("process", list(STEP_KEYS).index("shape"), "form"), models.Form),
        (("tested in",), models.TestedIn),
        (("tested in", "tap"), models.Tap),
        (("ingredients", "ricotta"), models.OwnIngredient),
        ((), models.FormulaDocument),
    ):
        keys = {field.alias or name for name, field in model.model_fields.items()}
        there = {str(p[len(path)]) for p in fields if p[: len(path)] == path and len(p) > len(path)}
        assert keys - there <= {"doughwright"}, model


names = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=30
)


@given(st.lists(names | st.integers(0, 999), min_size=1, max_size=6))
def test_a_path_is_spelt_in_one_way_and_read_back(steps: list[str | int]) -> None:
    path = tuple(steps)
    assert path_from(spelt(path)) == path
    assert read_name(field_name("v", path)) == ("v", path)
    assert not set(spelt(path)) & set(' "<>&:')


@settings(deadline=None, max_examples=50)
@given(names, names)
def test_a_line_may_be_called_anything(name: str, amount: str) -> None:
    """Whatever is typed comes back as typed from the form of the new text, or is kept beside it."""
    typed = after({SALT_NAME: name, SALT: amount})
    path = typed.path_now(("preparations", "dough", "ingredients", "salt"))
    sent = as_sent(typed.text)
    shown = {**sent, **typed.kept}
    assert shown[field_name("n", path)] == name
    assert shown[field_name("v", (*path, "amount"))] == amount
    assert typed_into(typed.text, sent).text == typed.text


@pytest.mark.parametrize(
    "name", ["", "v", "v:", "x:a", "v:@x", "v:@-1", "v:@999999", "v:" + "a/" * 40]
)
def test_what_is_no_field_is_no_field(name: str) -> None:
    found = read_name(name)
    assert found is None or found == ("v", ("",))
    assert typed_into(POCKETS, {**as_sent(POCKETS), name: "1 %"}).text == POCKETS


# --- one by one


def test_a_changed_amount_changes_its_line_alone() -> None:
    assert diff(after({SALT: "2.0 %"}).text) == ["-salt: 1.8 %", "+salt: 2.0 %"]


def test_a_rare_key_opens_a_line_and_its_comment_stays() -> None:
    typed = after({"v:preparations/filling/ingredients/leek/kept": "fridge"})
    assert diff(typed.text) == [
        "-ingredients: {leek: 5 parts, ricotta: 4 parts, salt: 0.1 parts}",
        "+ingredients: {leek: {amount: 5 parts, kept: fridge}, ricotta: 4 parts, salt: 0.1 parts}",
    ]
    assert "# The leek is weighed trimmed" in typed.text


def test_what_is_wrong_stays_as_typed_beside_its_message() -> None:
    typed = after({SALT: "a pinch"})
    assert "salt: a pinch" in typed.text
    (said,) = beside(typed).said["p1-2"]
    assert (said.notice.code, said.field) == ("not-a-quantity", SALT)


def test_clearing_an_amount_keeps_its_line() -> None:
    typed = after({SALT: ""})
    assert "salt: {}" in typed.text
    (said,) = beside(typed).said["p1-2"]
    assert (said.notice.code, said.field) == ("missing-key", SALT)


def test_a_renamed_preparation_is_renamed_where_it_is_used() -> None:
    typed = after({"n:preparations/sponge": "levain"})
    assert "sponge" not in typed.text.replace("flying sponge", "").replace("quick sponge", "")
    assert "from: [levain]" in typed.text
    assert state_of(typed.text, "").good
    assert beside(typed).tables["p0"].name == "levain"
    assert beside(typed).lines["p0-1"].name == "whole milk"


def test_a_name_that_is_there_is_kept_beside_the_text() -> None:
    typed = after({SALT_NAME: "egg", "n:preparations/dough": "main"})
    assert "salt: 1.8 %" in typed.text
    assert typed.kept == {"n:preparations/main/ingredients/salt": "egg"}
    assert [n.code for n in typed.refused] == ["key-twice"]
    (said,) = beside(typed).said["p1-2"]
    assert said.field == SALT_NAME


def test_a_step_without_its_thing_is_kept_beside_the_text() -> None:
    typed = after({"v:process/@0/mix": " "})
    assert typed.text == POCKETS
    assert typed.kept == {"v:process/@0/mix": " "}


def test_another_verb_and_its_keys() -> None:
    typed = after({"n:process/@6/rest": "cook"})
    assert diff(typed.text) == ["-- rest: dough", "+- cook: dough"]
    there = {f.path[2] for f in form_of(typed.text).steps[6].fields if f.key.holds == "v"}
    assert there == STEP_KEYS["cook"] | {"cook"}


def test_an_empty_row_that_is_filled_becomes_a_line() -> None:
    new = "a:preparations/dough/ingredients"
    typed = after({f"{new}/name": "honey", f"{new}/amount": "2 %"})
    assert diff(typed.text) == ["+honey: 2 %"]
    assert beside(typed).lines["p1-n"].name == "honey"
    half = after({f"{new}/amount": "2 %"})
    assert half.text == POCKETS
    assert half.kept[f"{new}/amount"] == "2 %"
    assert [s.field for s in beside(half).said["p1-n"]] == [f"{new}/name"]


def test_new_preparations_steps_uses_and_own_ingredients() -> None:
    typed = after(
        {
            "a:preparations/name": "soaker",
            "a:preparations/kind": "soaker",
            "a:preparations/dough/from/name": "filling",
            "a:process/verb": "soak",
            "a:process/of": "soaker",
            "a:ingredients/name": "ube paste",
        }
    )
    tree = tree_of(typed.text)
    assert tree["preparations"]["soaker"] == {"kind": "soaker"}
    assert tree["preparations"]["dough"]["from"] == ["sponge", "filling"]
    assert tree["process"][-1] == {"soak": "soaker"}
    assert tree["ingredients"]["ube paste"] == {}


def test_a_share_of_a_preparation() -> None:
    typed = after({"v:preparations/dough/from/sponge/share": "80 %"})
    assert diff(typed.text) == ["-from: [sponge]", "+from: {sponge: 80 %}"]
    back = after({"v:preparations/dough/from/sponge/share": ""}, typed.text)
    assert back.text == POCKETS


@pytest.mark.parametrize(
    ("tags", "line"),
    [
        ("enriched, filled, spring", "tags: [enriched, filled, spring]"),
        ("filled", "tags: [filled]"),
        ("enriched,  new", "tags: [enriched, new]"),
    ],
)
def test_tags_are_words_with_commas_between(tags: str, line: str) -> None:
    assert diff(after({"l:tags": tags}).text) == ["-tags: [enriched, filled]", f"+{line}"]


def test_no_tags_are_no_line() -> None:
    assert diff(after({"l:tags": " , "}).text) == ["-tags: [enriched, filled]"]


def test_line_breaks_of_a_browser_are_no_change() -> None:
    text = POCKETS.replace("note: Third evening of the class.", "note: |\n  One.\n  Two.")
    assert typed_into(text, as_sent(text)).text == text
    assert "\r" not in after({"v:note": "One.\r\nThree."}, text).text


def test_what_should_not_be_there_can_be_seen_and_mended() -> None:
    text = POCKETS.replace("    aim: 25 °C", "    ame: 25 °C")
    assert as_sent(text)["v:preparations/dough/ame"] == "25 °C"
    state = state_of(text, "")
    (said,) = worked(form_of(text), Typed(text), state, None).said["p1"]
    assert (said.notice.code, said.field) == ("unknown-key", "v:preparations/dough/ame")
    assert diff(after({"v:preparations/dough/ame": ""}, text).text, text) == ["-ame: 25 °C"]


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("preparations:\n  sponge:", "preparations: some\nold:\n  sponge:"),
        ("process:\n  - mix: sponge", "process: bake it\nold:\n  - mix: sponge"),
        ("salt: 1.8 %", "salt: [1, 2]"),
        ("  - mix: sponge\n    by: hand\n    for: 3 min\n", "  - mix\n"),
        ("yield: {pieces: 8, piece: 105 g, spare: 2 %}", "yield: eight"),
        ("tags: [enriched, filled]", "tags: {a: b}"),
        ("    from: [sponge]", "    from: [{a: b}]"),
    ],
)
def test_what_the_form_cannot_show_stays_in_the_text(was: str, now: str) -> None:
    assert was in POCKETS
    text = POCKETS.replace(was, now)
    assert typed_into(text, as_sent(text)).text == text
    state = state_of(text, "")
    said = worked(form_of(text), Typed(text), state, None)
    assert said.said or said.elsewhere


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("a: &x [1]\nb: [*x, *x]\n", "no-anchors"),
        ("- a list", "not-a-document"),
        ("a: [", "not-yaml"),
        ("a: 1\na: 2\n", "key-twice"),
        ("x" * 300_000, "text-too-long"),
        ("a: " + "[" * 5000, "too-deep"),
    ],
)
def test_what_has_no_form_says_why(text: str, code: str) -> None:
    with pytest.raises(DocumentError) as caught:
        form_of(text)
    assert {problem.code for problem in caught.value.problems} == {code}
    assert [problem.code for problem in state_of(text, "").problems][:1] == [code]


# --- buttons


@given(names, names)
def test_a_button_says_what_it_does_in_one_word(name: str, word: str) -> None:
    path = ("preparations", name)
    assert press_from(button("use", path, word)) == Press("use", path, word)


@pytest.mark.parametrize(
    ("do", "gone", "came"),
    [
        ("remove:preparations/dough/ingredients/salt", ["salt: 1.8 %"], []),
        ("remove:process/@12", ["- bake: dough"], []),
        (
            "use:preparations/dough/ingredients/salt:sea%20salt",
            ["salt: 1.8 %"],
            ["sea salt: 1.8 %"],
        ),
        ("own:ingredients:ube%20paste", [], ["ube paste: {}"]),
        ("step-after:process/@4", [], []),
    ],
)
def test_what_buttons_do(do: str, gone: list[str], came: list[str]) -> None:
    changes = diff(pressed(POCKETS, press_from(do)))
    assert set(changes) >= {*(f"-{line}" for line in gone), *(f"+{line}" for line in came)}


def test_a_step_moves_and_one_comes_after_it() -> None:
    verbs = [next(iter(step)) for step in tree_of(POCKETS)["process"]]
    moved = tree_of(pressed(POCKETS, press_from("down:process/@4")))["process"]
    assert [next(iter(s)) for s in moved][4:6] == [verbs[5], verbs[4]]
    more = tree_of(pressed(POCKETS, press_from("step-after:process/@4")))["process"]
    assert more[5] == {"rest": "dough"}
    assert len(more) == len(verbs) + 1


@pytest.mark.parametrize(
    "do",
    ["", "look", "up:", "up:process/@0", "down:process/@13", "remove:", "remove:a/b", "drop:a"],
)
def test_a_button_that_means_nothing_changes_nothing(do: str) -> None:
    assert pressed(POCKETS, press_from(do)) == POCKETS


def test_an_unknown_ingredient_offers_the_nearest_and_ones_own() -> None:
    typed = after({"n:preparations/dough/ingredients/strong%20white%20flour": "stong white flour"})
    (said,) = beside(typed).said["p1-0"]
    assert said.notice.code == "unknown-ingredient"
    assert [offer.words for offer in said.offers] == [
        "Use “strong white flour”",
        "Use “soft white flour”",
        "Add “stong white flour” as your own",
    ]
    press = press_from(said.offers[0].do)
    there = Press(press.action, typed.path_now(press.path), press.word)
    assert pressed(typed.text, there) == POCKETS
