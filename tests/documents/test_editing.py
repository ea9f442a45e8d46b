"""Edits of a text: what is asked for changes, what the author laid out elsewhere stays."""

import difflib
from pathlib import Path

import pytest

from doughwright.documents.editing import Edit, Insert, Move, Remove, Rename, SetValue, edited
from doughwright.documents.formula import FormulaDocument
from doughwright.documents.nodes import Atlas, plain_tree, root_node
from doughwright.documents.reading import read_document
from doughwright.errors import DocumentError

POCKETS = (Path(__file__).parents[2] / "examples/leek-and-curd-pockets.yaml").read_text("utf-8")
DOUGH = ("preparations", "dough")
LINES = (*DOUGH, "ingredients")

CARD = """\
# The card above the bench.
doughwright: formula/1
name: Rolls           # soft ones

preparations:
  dough:
    kind: dough
    ingredients:
      # flour first
      strong white flour: {amount: 100 %}
      water: 65–70 %  # hold some back
      "salt": '1.8 %'
      whole milk:
        amount: 10 %
        note: |
          warm it
          gently

  # The seeds are toasted the day before.
  seeds:
    kind: topping
    each: 3 g
    ingredients: {sesame seeds: 2 parts,
                  flax seeds: 1 parts} #	from the mill

process:
- mix: dough
  by: hand            # by hand!
# Only for the class.
- punch: dough
- bake: dough
  steam: Yes
# Nothing below.
"""


def changes(text: str, *edits: Edit) -> list[str]:
    """The lines taken out and put in."""
    compared = difflib.unified_diff(
        text.splitlines(), edited(text, edits).splitlines(), n=0, lineterm=""
    )
    return [line for line in compared if line[0] in "+-" and line[:3] not in {"+++", "---"}]


def refusal(text: str, *edits: Edit) -> str:
    with pytest.raises(DocumentError) as caught:
        edited(text, edits)
    (problem,) = caught.value.problems
    return problem.code


# --- setting a value ------------------------------------------------------------------------------


def test_one_amount_changes_one_line() -> None:
    assert changes(POCKETS, SetValue((*LINES, "salt"), "2.0 %")) == [
        "-      salt: 1.8 %",
        "+      salt: 2.0 %",
    ]


def test_the_comment_behind_stays_in_its_column() -> None:
    assert changes(CARD, SetValue((*LINES, "water"), "72 %"), SetValue(("name",), "Buns")) == [
        "-name: Rolls           # soft ones",
        "+name: Buns            # soft ones",
        "-      water: 65–70 %  # hold some back",
        "+      water: 72 %     # hold some back",
    ]


def test_a_key_without_a_value_in_brackets_takes_one() -> None:
    text = "doughwright: formula/1\nyield: {pieces, a:b}\n"
    edits = [SetValue(("yield", "pieces"), "8"), SetValue(("yield", "a:b"), "x")]
    assert edited(text, edits).endswith("yield: {pieces: 8, 'a:b': x}\n")


def test_quotes_stay() -> None:
    assert changes(CARD, SetValue((*LINES, "salt"), "2 %"))[1] == "+      \"salt\": '2 %'"


def test_one_value_in_brackets_changes_alone() -> None:
    path = ("preparations", "seeds", "ingredients", "flax seeds")
    assert changes(CARD, SetValue(path, "2 parts")) == [
        "-                  flax seeds: 1 parts} #\tfrom the mill",
        "+                  flax seeds: 2 parts} #\tfrom the mill",
    ]


def test_a_note_of_several_lines_stays_one() -> None:
    path = (*LINES, "whole milk", "note")
    assert changes(CARD, SetValue(path, "warm it\nslowly\n")) == [
        "-          gently",
        "+          slowly",
    ]
    assert changes(CARD, SetValue(path, "warm it")) == [
        "-        note: |",
        "-          warm it",
        "-          gently",
        "+        note: warm it",
    ]


def test_a_value_that_began_further_down_comes_up_to_its_key() -> None:
    text = "doughwright: formula/1\nname:   # ours\n  Rolls and\n  buns\nplace: LV\n"
    assert edited(text, [SetValue(("name",), "Rolls")]) == (
        "doughwright: formula/1\nname: Rolls   # ours\nplace: LV\n"
    )


def test_a_comment_stays_when_a_value_takes_more_lines_and_fewer() -> None:
    more = SetValue(("name",), "two\nlines")
    assert changes(CARD, more) == [
        "-name: Rolls           # soft ones",
        "+name: |-           # soft ones",
        "+  two",
        "+  lines",
    ]
    fewer = edited(edited(CARD, [more]), [SetValue(("name",), "Rolls")])
    assert "name: Rolls           # soft ones\n" in fewer


def test_words_that_keep_their_blank_lines_take_in_no_others() -> None:
    text = "doughwright: formula/1\nname: |+\n  x\n\n# c\nplace: LV\n\nlanguage: en\n"
    assert edited(text, [Move(("name",), 2)]) == (
        'doughwright: formula/1\n# c\nplace: LV\nname: "x\\n\\n"\n\nlanguage: en\n'
    )
    assert read_tree(edited(text, [Move(("name",), 1), Move(("place",), 1)]))["name"] == "x\n\n"


def test_a_line_opens_for_a_second_key_and_closes_again() -> None:
    kept = (*LINES, "salt", "kept")
    assert changes(POCKETS, SetValue(kept, "fridge")) == [
        "-      salt: 1.8 %",
        "+      salt: {amount: 1.8 %, kept: fridge}",
    ]
    assert edited(POCKETS, [SetValue(kept, "fridge"), SetValue(kept, "")]) == POCKETS
    assert edited(POCKETS, [SetValue(kept, "fridge"), Remove(kept)]) == POCKETS
    assert changes(POCKETS, SetValue((*LINES, "egg", "kept"), ""))[1] == "+      egg: 10 %"


def test_an_amount_being_typed_anew_leaves_its_line() -> None:
    amount = (*LINES, "salt", "amount")
    assert changes(POCKETS, SetValue(amount, ""))[1] == "+      salt: {}"
    assert changes(POCKETS, SetValue(amount, ""), SetValue(amount, "2 %"))[1] == "+      salt: 2 %"


def test_a_use_takes_a_share_and_gives_it_back() -> None:
    share = (*DOUGH, "from", "sponge", "share")
    assert changes(POCKETS, SetValue(share, "80 %")) == [
        "-    from: [sponge]",
        "+    from: {sponge: 80 %}",
    ]
    assert edited(POCKETS, [SetValue(share, "80 %"), SetValue(share, "")]) == POCKETS
    warm = SetValue((*DOUGH, "from", "sponge", "at"), "29 °C")
    opened = "+    from: {sponge: {share: 80 %, at: 29 °C}}"
    assert changes(POCKETS, SetValue(share, "80 %"), warm)[1] == opened


def test_a_single_name_may_stand_alone_in_from() -> None:
    text = POCKETS.replace("from: [sponge]", "from: sponge")
    found = changes(text, SetValue((*DOUGH, "from", "sponge", "share"), "80 %"))
    assert found == ["-    from: sponge", "+    from: {sponge: 80 %}"]
    second = changes(text, Insert((*DOUGH, "from"), 1, None, "filling"))
    assert second == ["-    from: sponge", "+    from: [sponge, filling]"]


def test_a_new_key_stands_where_it_usually_does() -> None:
    assert changes(POCKETS, SetValue(("yield", "dough"), "1 kg")) == [
        "-yield: {pieces: 8, piece: 105 g, spare: 2 %}",
        "+yield: {pieces: 8, piece: 105 g, dough: 1 kg, spare: 2 %}",
    ]
    lines = edited(CARD, [SetValue((*DOUGH, "aim"), "25 °C")]).splitlines()
    assert lines[lines.index("    kind: dough") + 1] == "    aim: 25 °C"


def test_what_is_missing_on_the_way_is_made() -> None:
    text = edited(CARD, [SetValue(("tested in", "tap", "cold"), "12 °C")])
    assert "tested in: {tap: {cold: 12 °C}}\n" in text
    assert edited(text, [SetValue(("tested in", "tap", "cold"), "")]) == CARD
    own = edited(CARD, [SetValue(("ingredients", "ricotta", "water"), "72 %")])
    assert "ingredients:\n  ricotta: {water: 72 %}\n" in own


def test_the_end_of_the_text_stays_without_its_line_break() -> None:
    text = "doughwright: formula/1\nname: x"
    assert edited(text, [SetValue(("name",), "y")]) == "doughwright: formula/1\nname: y"
    assert edited(text, [SetValue(("place",), "LV")]) == f"{text}\nplace: LV"
    lines = edited(text, [SetValue(("name",), "x\ny\n")])
    assert lines == "doughwright: formula/1\nname: |\n  x\n  y\n"


def test_windows_lines_stay_windows_lines() -> None:
    text = CARD.replace("\n", "\r\n")
    edits = [
        SetValue(("note",), "two\nlines"),
        Insert(("process",), 1, None, {"rest": "dough", "for": "5 min"}),
        Insert(LINES, 2, "honey", "3 %"),
    ]
    assert edited(text, edits) == edited(CARD, edits).replace("\n", "\r\n")


AWKWARD = [
    *("yes", "1.8", "{", "a: b", "# hash", "a # b", "ends:", "", " begins", "ends ", "-", "- x"),
    *("-10 °C", "ķimeņu maize", "two\nlines", "two\nlines\n", "\n", "a\tb", "'", '"', "it's", "?"),
    *("null", "~", "[a, b]", "a, b", "&x", "*x", "!x", "%x", "@x", "`x", "|", ">", "---", "...x"),
    *("a\x85b", "a\u2028b", "\ufeffx", "\U0001f35e", "a\r\nb", "  two\n lines", "x\n\n"),
    *("\\n", "a\n\nb", "a\n  b\n c", "1:30", "<<", "=", "\xa0"),
]


@pytest.mark.parametrize("words", AWKWARD)
@pytest.mark.parametrize("text", [CARD, CARD.replace("\n", "\r\n")])
def test_any_words_are_read_back_the_same(text: str, words: str) -> None:
    step = {"mix": "dough", "note": words}
    item = read_tree(edited(text, [Insert(("process",), 0, None, step)]))
    assert item["process"][0]["note"] == words
    listed = read_tree(edited(text, [Insert(("tags",), 0, None, words)]))
    assert listed["tags"] == [words]
    if words:
        for path in (("note",), (*LINES, "water", "note"), (*LINES, "salt"), ("tags", 0)):
            found: object = read_tree(edited(text, [SetValue(path, words)]))
            for key in path:
                found = found[key]  # type: ignore[index]  # the path is there
            assert found == words


@pytest.mark.parametrize("name", [w for w in AWKWARD if w.strip()])
def test_any_name_is_read_back_the_same(name: str) -> None:
    tree = read_tree(edited(CARD, [Insert(LINES, 0, name, "1 %"), Rename(DOUGH, name)]))
    assert list(tree["preparations"]) == [name, "seeds"]
    assert next(iter(tree["preparations"][name]["ingredients"])) == name
    assert tree["process"][0]["mix"] == name


def read_tree(text: str) -> dict:  # type: ignore[type-arg]  # as YAML gives it
    atlas = Atlas(text, "text")
    return plain_tree(root_node(text, atlas), (), atlas)


# --- taking out, putting in, moving ---------------------------------------------------------------


def test_a_preparation_taken_out_takes_its_own_comment_and_leaves_the_rest() -> None:
    assert changes(CARD, Remove(("preparations", "seeds"))) == [
        "-  # The seeds are toasted the day before.",
        "-  seeds:",
        "-    kind: topping",
        "-    each: 3 g",
        "-    ingredients: {sesame seeds: 2 parts,",
        "-                  flax seeds: 1 parts} #\tfrom the mill",
        "-",
    ]


def test_the_last_step_taken_out_leaves_the_comments_at_the_end() -> None:
    assert changes(CARD, Remove(("process", 2))) == ["-- bake: dough", "-  steam: Yes"]


def test_the_last_key_taken_out_leaves_a_mapping() -> None:
    text = edited("# c\nname: x\n", [Remove(("name",))])
    assert text == "# c\n{}\n"
    assert edited("name: x\n", [Remove(("name",)), SetValue(("note",), "y")]) == "note: y\n"


def test_a_list_emptied_stays_a_list() -> None:
    text = edited(CARD, [Remove(("process", 0))] * 3)
    assert text.endswith("process: []\n# Nothing below.\n")
    assert read_document(text).document.name == "Rolls"
    again = edited(text, [Insert(("process",), 0, None, {"mix": "dough"})])
    assert again.endswith("process:\n  - mix: dough\n# Nothing below.\n")


def test_the_verb_taken_out_leaves_the_step() -> None:
    assert changes(POCKETS, Remove(("process", 0, "mix"))) == [
        "-  - mix: sponge",
        "-    by: hand",
        "+  - by: hand",
    ]


def test_clearing_what_is_not_there_changes_nothing() -> None:
    assert edited(CARD, [SetValue((*DOUGH, "aim"), ""), SetValue(("x", "y", 3), "")]) == CARD


def test_a_step_put_in_stands_as_the_others_do() -> None:
    step = Insert(("process",), 1, None, {"rest": "dough", "for": "20 min"})
    assert changes(CARD, step) == ["+- rest: dough", "+  for: 20 min"]
    assert changes(POCKETS, step) == ["+  - rest: dough", "+    for: 20 min"]


def test_a_preparation_put_in_stands_on_lines() -> None:
    soaker = {
        "kind": "soaker",
        "ingredients": {"rolled oats": "10 %", "water": {"amount": "20 %", "at": "30 °C"}},
    }
    assert changes(POCKETS, Insert(("preparations",), 0, "soaker", soaker)) == [
        "+  soaker:",
        "+    kind: soaker",
        "+    ingredients:",
        "+      rolled oats: 10 %",
        "+      water: {amount: 20 %, at: 30 °C}",
    ]


def test_a_line_put_into_brackets_stands_as_its_neighbours() -> None:
    path = ("preparations", "seeds", "ingredients")
    assert changes(CARD, Insert(path, 2, "salt", "0.1 parts")) == [
        "-                  flax seeds: 1 parts} #\tfrom the mill",
        "+                  flax seeds: 1 parts,",
        "+                  salt: 0.1 parts} #\tfrom the mill",
    ]


def test_a_moved_step_takes_its_comment_along_and_comes_back() -> None:
    there = Move(("process", 1), 2)
    assert "  steam: Yes\n# Only for the class.\n- punch: dough\n" in edited(CARD, [there])
    assert edited(CARD, [there, Move(("process", 2), 1)]) == CARD


def test_a_moved_preparation_leaves_the_blank_lines() -> None:
    text = edited(CARD, [Move(("preparations", "seeds"), 0)])
    document = read_document(text).document
    assert isinstance(document, FormulaDocument)
    assert list(document.preparations) == ["seeds", "dough"]
    assert edited(text, [Move(("preparations", "seeds"), 1)]) == CARD


# --- renaming -------------------------------------------------------------------------------------


def test_a_preparation_is_renamed_wherever_it_is_named() -> None:
    assert changes(POCKETS, Rename(("preparations", "sponge"), "flying sponge")) == [
        "-  sponge:",
        "+  flying sponge:",
        "-    from: [sponge]",
        "+    from: [flying sponge]",
        "-  - mix: sponge",
        "+  - mix: flying sponge",
        "-  - ferment: sponge",
        "+  - ferment: flying sponge",
    ]


def test_what_is_said_of_an_ingredient_follows_its_only_line() -> None:
    path = ("preparations", "filling", "ingredients", "ricotta")
    assert changes(POCKETS, Rename(path, "curd"))[2:] == [
        "-  ricotta: {water: 72 %, fat: 12 %, protein: 9 %, price: 6.40 EUR/kg}",
        "+  curd: {water: 72 %, fat: 12 %, protein: 9 %, price: 6.40 EUR/kg}",
    ]
    shared = POCKETS.replace("      salt: 1.8 %\n", "      salt: 1.8 %\n      ricotta: 3 %\n")
    assert len(changes(shared, Rename(path, "curd"))) == 2


def test_a_name_that_is_taken_is_refused() -> None:
    assert refusal(POCKETS, Rename((*LINES, "salt"), "egg")) == "key-twice"
    assert refusal(POCKETS, Insert(LINES, 0, "egg", "1 %")) == "key-twice"
    assert refusal(POCKETS, Insert((*DOUGH, "from"), 0, None, "sponge")) == "key-twice"


# --- texts that are no documents, edits of nothing ------------------------------------------------


def test_a_text_with_errors_is_edited_all_the_same() -> None:
    text = "nmae: x\npreparations:\n  dough: {kind: 5, ingredients: [a]}\nyield: 8\n"
    edits = [SetValue(("yield", "pieces"), "8"), Rename(("nmae",), "name")]
    assert changes(text, *edits) == ["-nmae: x", "+name: x", "-yield: 8", "+yield: {pieces: 8}"]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("a: &x 1\n", "no-anchors"),
        ("a: !!int 1\n", "no-tags"),
        ("a: 1\na: 2\n", "key-twice"),
        ("- a\n", "not-a-document"),
        ("a: [\n", "not-yaml"),
    ],
)
def test_what_reading_refuses_as_text_is_not_edited(text: str, code: str) -> None:
    assert refusal(text, SetValue(("b",), "1")) == code


@pytest.mark.parametrize(
    "edit",
    [
        Remove((*LINES, "malt")),
        Rename((*LINES, "malt"), "x"),
        Move(("process", 40), 1),
        Move(("process", 1), 40),
        SetValue(("process", 40, "note"), "x"),
        SetValue(("process", "mix"), "x"),
        Insert(("process",), 0, "mix", "x"),
        Insert(("name",), 0, "mix", "x"),
        Remove(()),
        SetValue((), "x"),
    ],
)
def test_an_edit_of_what_is_not_there_is_refused(edit: Edit) -> None:
    assert refusal(POCKETS, edit) == "nothing-there"


def test_a_name_of_nothing_or_without_end_is_refused() -> None:
    assert refusal(POCKETS, Rename(DOUGH, " ")) == "no-text"
    assert refusal(POCKETS, Insert(LINES, 0, "x" * 201, "1 %")) == "name-too-long"


def test_keys_behind_question_marks_are_written_plainly_first() -> None:
    text = "# c\ndoughwright: formula/1\n? name\n: x  # d\n"
    assert edited(text, [SetValue(("name",), "y")]) == "# c\ndoughwright: formula/1\nname: y # d\n"
    assert edited(text, [SetValue(("name",), "x")]) == text


def test_what_is_written_plainly_keeps_its_line_ends() -> None:
    text = "# c\r\ndoughwright: formula/1\r\n? name\r\n: x  # d\r\n"
    plain = "# c\r\ndoughwright: formula/1\r\nname: y # d\r\n"
    assert edited(text, [SetValue(("name",), "y")]) == plain


def test_keys_no_baker_writes_are_left_to_the_text_view() -> None:
    text = f"doughwright: formula/1\n? {'x' * 200}\n: y\n"
    assert refusal(text, SetValue(("name",), "y")) == "odd-layout"


def test_a_whole_document_in_brackets_is_edited() -> None:
    text = "---\n{doughwright: formula/1, name: x}  # c\n"
    assert edited(text, [SetValue(("place",), "LV")]) == (
        "---\n{doughwright: formula/1, name: x, place: LV}  # c\n"
    )
