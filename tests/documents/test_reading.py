"""What a baker may write, and where each thing that cannot be read stands.

In the texts below ``«`` and ``»`` mark the spot that the refusal must point at; they are
taken out before reading.
"""

from dataclasses import dataclass
from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.nodes import LARGEST_TEXT, nearest_place
from doughwright.documents.reading import document_from, read_document
from doughwright.documents.scalars import nearest
from doughwright.documents.upgrading import upgraded
from doughwright.errors import DocumentError, Notice, Place
from doughwright.render.messages import report

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))

FORMULA = """\
doughwright: formula/1
name: Leek and curd pockets
place: LV
yield: {pieces: 8, piece: 105 g, spare: 2 %}
preparations:
  sponge:
    kind: preferment
    ingredients: {strong white flour: 30 %, whole milk: {amount: 48 %, at: 36 °C}}
  dough:
    kind: dough
    from: [sponge]
    aim: 25 °C
    ingredients:
      strong white flour: {amount: 70 %, kept: fridge}
      egg: 10 %
      salt: 1.8 %
process:
  - mix: sponge
    by: hand
  - proof: dough
    until: 1.7x
    at: room
    took: 55 min
  - shape: dough
    form: {oval: 26 x 14 cm, high: 7 cm}
  - bake: dough
    oven: 165 °C fan
    steam: yes
"""

KITCHEN = """\
doughwright: kitchen/1
name: Harbour Lane
room: 21 °C
mixer: {hand: 1.0 °C, stand mixer: 20 W/kg}
oven: {kind: fan, trays: 2, tray: 38 x 32 cm, reads: +5 °C}
scale: {reads: 1 g, fine: 0.1 g}
codes: EU
"""


@dataclass(frozen=True)
class Spot:
    """A text and the place in it that is wrong."""

    text: str
    line: int
    column: int
    width: int


def spot(marked: str) -> Spot:
    before, _, rest = marked.partition("«")
    inside, _, after = rest.partition("»")
    column = len(before) - before.rfind("\n")
    return Spot(before + inside + after, before.count("\n") + 1, column, len(inside))


def problems(text: str) -> tuple[Notice, ...]:
    with pytest.raises(DocumentError) as caught:
        read_document(text)
    return caught.value.problems


def only_problem(marked: str) -> Notice:
    """Read a text that is wrong in one place, and check the place."""
    wrong = spot(marked)
    (problem,) = problems(wrong.text)
    line = wrong.text.splitlines()[wrong.line - 1]
    assert problem.place == Place("text", wrong.line, wrong.column, wrong.width, line)
    return problem


def changed(old: str, new: str, text: str = FORMULA) -> str:
    assert text.count(old) == 1, old
    return text.replace(old, new)


def test_the_texts_of_these_tests_are_right() -> None:
    assert isinstance(read_document(FORMULA).document, FormulaDocument)
    assert isinstance(read_document(KITCHEN).document, KitchenDocument)


@pytest.mark.parametrize(
    ("code", "old", "new"),
    [
        ("bare-number", "salt: 1.8 %", "salt: «1.8»"),
        ("bare-number", "piece: 105 g", "piece: «105»"),
        ("decimal-comma", "salt: 1.8 %", "salt: «'1,8 %'»"),
        ("decimal-comma", "took: 55 min", "took: «1,5 h»"),
        ("not-a-quantity", "salt: 1.8 %", "salt: «a pinch of it»"),
        ("not-a-quantity", "salt: 1.8 %", "«salt»:"),
        ("not-a-quantity", "aim: 25 °C", "aim: «warm»"),
        ("not-a-quantity", "oven: 165 °C fan", "oven: «hot»"),
        ("range-backwards", "took: 55 min", "took: «60–55 min»"),
        ("below-zero", "egg: 10 %", "egg: «-10 %»"),
        ("below-absolute-zero", "aim: 25 °C", "aim: «-300 °C»"),
        ("not-above-zero", "piece: 105 g", "piece: «0 g»"),
        ("not-below-whole", "spare: 2 %", "spare: «100 %»"),
        ("too-long-a-time", "steam: yes", "for: «100 d»"),
        ("not-a-scalar", "aim: 25 °C", "«aim»: [25 °C]"),
        ("not-a-count", "pieces: 8", "pieces: «eight»"),
        ("not-a-count", "pieces: 8", "pieces: «0»"),
        ("not-a-count", "pieces: 8", "pieces: «8.0»"),
        ("not-a-count", "pieces: 8", "pieces: «-8»"),
        ("not-a-count", "pieces: 8", "pieces: «1e3»"),
        ("not-yes-or-no", "steam: yes", "steam: «true»"),
        ("unknown-word", "kind: preferment", "kind: «preferrment»"),
        ("unknown-word", "kept: fridge", "kept: «cellar»"),
        ("no-text", "name: Leek and curd pockets", "«name»:"),
        ("no-text", "name: Leek and curd pockets", "name: «'  '»"),
        ("not-a-country", "place: LV", "place: «Latvia»"),
        ("not-a-place", "at: room", "at: «rooom»"),
        ("bare-number", "at: room", "at: «28»"),
        ("not-a-size", "oval: 26 x 14 cm", "oval: «26 cm»"),
        ("not-a-size", "oval: 26 x 14 cm", "oval: «26 x 14»"),
        ("not-a-size", "oval: 26 x 14 cm", "oval: «26 x 14 x 7 cm»"),
        ("unknown-key", "yield:", "«yeild»:"),
        ("unknown-key", "spare: 2 %", "«spair»: 2 %"),
        ("unknown-key", "kept: fridge", "«keep»: fridge"),
        ("unknown-key", "took: 55 min", "«oven»: 200 °C"),
        ("wrong-shape", "yield: {pieces: 8, piece: 105 g, spare: 2 %}", "yield: «8 pieces»"),
        ("wrong-shape", "from: [sponge]", "«from»: [[sponge]]"),
        ("no-verb", "- mix: sponge", "- «mixx»: sponge"),
        ("two-verbs", "by: hand", "«fold»: dough"),
        ("unknown-document", "doughwright: formula/1", "doughwright: «formula/9»"),
        ("unknown-document", "doughwright: formula/1", "«doughwright»: [formula/1]"),
        ("unknown-document", "doughwright: formula/1", "«doughwright»:"),
        ("no-anchors", "salt: 1.8 %", "salt: «&salty 1.8 %»"),
        ("no-anchors", "salt: 1.8 %", "«&salty salt»: 1.8 %"),
        ("no-tags", "salt: 1.8 %", "salt: «!secret 1.8 %»"),
        ("no-tags", "salt: 1.8 %", "salt: «!!python/object:os.system 1.8 %»"),
        ("no-tags", "pieces: 8", "pieces: «!!int 8»"),
        ("no-tags", "salt: 1.8 %", "«!!float salt»: 1.8 %"),
        ("key-twice", "salt: 1.8 %", "«egg»: 1.8 %"),
    ],
)
def test_what_is_refused_in_a_formula_and_where(code: str, old: str, new: str) -> None:
    assert only_problem(changed(old, new)).code == code


@pytest.mark.parametrize(
    ("code", "old", "new"),
    [
        ("bare-number", "room: 21 °C", "room: «21»"),
        ("not-above-zero", "reads: 1 g", "reads: «0 g»"),
        ("not-a-quantity", "hand: 1.0 °C", "hand: «1.0 kW»"),
        ("not-a-size", "tray: 38 x 32 cm", "tray: «38 cm»"),
        ("unknown-word", "kind: fan", "kind: «fann»"),
        ("unknown-word", "codes: EU", "codes: «EEC»"),
        ("unknown-key", "trays: 2", "«racks»: 2"),
        ("not-a-count", "trays: 2", "trays: «two»"),
        ("wrong-shape", "mixer: {hand: 1.0 °C, stand mixer: 20 W/kg}", "mixer: «by hand»"),
    ],
)
def test_what_is_refused_in_a_kitchen_and_where(code: str, old: str, new: str) -> None:
    assert only_problem(changed(old, new, KITCHEN)).code == code


@pytest.mark.parametrize(
    ("marked", "code"),
    [
        ("«»", "not-a-document"),
        ("«»- a list\n", "not-a-document"),
        ("«»only words\n", "not-a-document"),
        ("name: «[»", "not-yaml"),
        ("name: 'open«»", "not-yaml"),
        ("a:\n«»\tb: c\n", "not-yaml"),
        ("name: a: b«»", "not-yaml"),
        ("name: Bread\nnote: *«»yesterday\n", "not-yaml"),
        ("name: Bread«\x00»\n", "not-yaml"),
        ("name: Bread\nnote: «\x07» bell\n", "not-yaml"),
        ("? «[a list]»\n: b\n", "key-not-text"),
    ],
)
def test_what_is_no_document_at_all(marked: str, code: str) -> None:
    wrong = spot(marked)
    (problem,) = problems(wrong.text)
    assert problem.code == code
    assert problem.place is not None
    assert problem.place.line == wrong.line


def test_the_first_line_says_which_document_it_is() -> None:
    (problem,) = problems("name: Bread\n")
    assert problem.code == "unknown-document"
    assert problem.values["allowed"] == "formula/1, kitchen/1, series/1, shelf/1"


def test_every_missing_key_is_named() -> None:
    found = problems("doughwright: formula/1\n")
    assert [(p.code, p.values["read"]) for p in found] == [
        ("missing-key", "name"),
        ("missing-key", "preparations"),
    ]


def test_a_line_without_amount() -> None:
    problem = only_problem(changed("salt: 1.8 %", "«salt»: {note: to taste}"))
    assert (problem.code, problem.values["read"]) == ("missing-key", "amount")


def test_an_ingredient_twice_says_how_to_name_the_second() -> None:
    assert only_problem(changed("salt: 1.8 %", "«egg»: 1 %")).values["read"] == "egg"
    assert read_document(changed("salt: 1.8 %", "egg (second): 1 %"))


def test_a_second_document_in_the_text() -> None:
    (problem,) = problems(FORMULA + "---\n" + FORMULA)
    assert problem.code == "not-yaml"
    assert "single document" in str(problem.values["says"])


def test_too_deep() -> None:
    (problem,) = problems("a: " + "{a: " * 12 + "b" + "}" * 12)
    assert (problem.code, problem.values["allowed"]) == ("too-deep", 12)


@pytest.mark.parametrize("text", ["[" * 5000, "{a: " * 5000, "- " * 5000, "? " * 5000])
def test_deeper_than_the_parser_goes(text: str) -> None:
    (problem,) = problems(text)
    assert problem.code in {"too-deep", "not-yaml"}


def test_brackets_in_a_note_are_words() -> None:
    note = ":-[ " * 90
    assert read_document(changed("place: LV", f"note: '{note}'")).document.note == note


def test_a_text_too_long_is_not_even_parsed() -> None:
    (problem,) = problems("a: " + "b" * LARGEST_TEXT)
    assert problem.code == "text-too-long"
    assert problem.values == {"size": LARGEST_TEXT + 3, "allowed": LARGEST_TEXT}


@pytest.mark.parametrize("spelt", [r"\0", r"\x01", r"\x7f", r"\ud800", r"\e[31m"])
def test_a_sign_that_nothing_can_show_is_refused_where_it_stands(spelt: str) -> None:
    text = (
        f'doughwright: formula/1\nname: Rye\nnote: "a{spelt}b"\n"k{spelt}": x\npreparations: {{}}\n'
    )
    found = problems(text)
    assert [problem.code for problem in found] == ["odd-sign", "odd-sign"]
    assert [(p.place.line, p.place.column) for p in found if p.place] == [(3, 7), (4, 1)]
    assert found[0].where == ("note",)
    for problem in found:
        report([problem]).encode()


def test_a_parsed_body_may_not_hold_them_either() -> None:
    tree = {"doughwright": "formula/1", "name": "T\ud800", "tags": ["a", "b\0"], "\x01": {}}
    with pytest.raises(DocumentError) as caught:
        document_from(tree)
    found = [(p.code, p.where, p.values["read"]) for p in caught.value.problems]
    assert found == [
        ("odd-sign", ("name",), "U+D800"),
        ("odd-sign", ("tags", 1), "U+0000"),
        ("odd-sign", (), "U+0001"),
    ]


def test_a_body_nested_deeper_than_we_go_is_refused() -> None:
    tree: object = "x"
    for _ in range(5000):
        tree = [tree]
    with pytest.raises(DocumentError) as caught:
        document_from({"doughwright": "formula/1", "name": "x", "preparations": {}, "note": tree})
    assert [problem.code for problem in caught.value.problems] == ["too-deep"]


def test_tabs_and_new_lines_are_words() -> None:
    note = "one\ttwo\nthree"
    assert (
        read_document(changed("place: LV", f'note: "{note}"'.replace("\n", "\\n"))).document.note
        == note
    )


@pytest.mark.parametrize("name", [r"\u202e", r"\u200b \u200b", r"\u3164", r"\u0301"])
@pytest.mark.parametrize("kind", ["formula", "kitchen", "series", "shelf"])
def test_a_name_has_something_to_see(kind: str, name: str) -> None:
    rest = "preparations: {}\n" if kind == "formula" else ""
    text = f'doughwright: {kind}/1\nname: "{name}"\n{rest}'
    (problem,) = problems(text)
    assert (problem.code, problem.where) == ("nothing-to-see", ("name",))
    assert problem.place is not None
    assert problem.place.line == 2
    assert read_document(text.replace(name, f"{name}7")).document.name.endswith("7")


@pytest.mark.parametrize(
    ("what", "most", "where"),
    [
        ("preparations", 30, "preparations"),
        ("lines", 200, "preparations"),
        ("steps", 100, "process"),
        ("ingredients of its own", 200, "ingredients"),
    ],
)
def test_a_formula_ends_where_nobody_means_it_any_more(what: str, most: int, where: str) -> None:
    def text(count: int) -> str:
        lines = "".join(f"      water ({i}): 1 g\n" for i in range(count if what == "lines" else 1))
        more = count - 1 if what == "preparations" else 0
        others = "".join(f"  p{i}: {{kind: soaker}}\n" for i in range(more))
        steps = "  - mix: dough\n" * (count if what == "steps" else 1)
        own = "".join(f"  o{i}: {{like: salt}}\n" for i in range(count if what[0] == "i" else 1))
        dough = f"  dough:\n    kind: dough\n    ingredients:\n{lines}{others}"
        head = "doughwright: formula/1\nname: Full\npreparations:\n"
        return f"{head}{dough}process:\n{steps}ingredients:\n{own}"

    assert read_document(text(most)).document.name == "Full"
    over = text(most + 1)
    (problem,) = problems(over)
    assert (problem.code, problem.where) == ("too-many", (where,))
    assert (problem.values["count"], problem.values["allowed"]) == (most + 1, most)
    assert problem.values["what"] == what
    assert problem.place is not None
    assert problem.place.text == f"{where}:"


def test_aliases_cannot_be_piled_up() -> None:
    # a text of ten lines that would grow to a thousand million values
    piled = "a: &a [x, x, x, x, x, x, x, x, x, x]\n" + "".join(
        f"{new}: &{new} [{', '.join([f'*{old}'] * 10)}]\n"
        for old, new in zip("abcdefgh", "bcdefghi", strict=True)
    )
    assert {p.code for p in problems(piled)} == {"no-anchors"}


# --- all at once, and the nearest word ------------------------------------------------------------


def test_all_problems_are_told_at_once_each_at_its_line() -> None:
    text = FORMULA
    for old, new in (
        ("place: LV", "place: Latvia"),
        ("piece: 105 g", "piece: 105"),
        ("kind: preferment", "kind: prefermnt"),
        ("salt: 1.8 %", "salt: 1,8 %"),
        ("at: room", "at: rom"),
        ("steam: yes", "steem: yes"),
    ):
        text = changed(old, new, text)
    found = problems(text)
    assert [(p.code, p.place.line, p.place.column) for p in found if p.place] == [
        ("not-a-country", 3, 8),
        ("bare-number", 4, 27),
        ("unknown-word", 7, 11),
        ("decimal-comma", 16, 13),
        ("not-a-place", 22, 9),
        ("unknown-key", 28, 5),
    ]


def test_anchors_and_doubles_are_told_at_once_too() -> None:
    text = changed("salt: 1.8 %", "egg: 1 %", changed("place: LV", "place: &here LV"))
    assert [p.code for p in problems(text)] == ["no-anchors", "key-twice"]


@pytest.mark.parametrize(
    ("old", "new", "like"),
    [
        ("yield:", "yeild:", "yield"),
        ("process:", "proces:", "process"),
        ("kind: preferment", "kind: preferrment", "preferment"),
        ("- mix: sponge", "- mixx: sponge", "mix"),
        ("- proof: dough", "- prove: dough", "proof"),
        ("at: room", "at: rooom", "room"),
        ("until: 1.7x", "until: doubled", "double"),
        ("kept: fridge", "kept: frige", "fridge"),
        ("steam: yes", "steem: yes", "steam"),
        ("aim: 25 °C", "ame: 25 °C", "aim"),
    ],
)
def test_the_nearest_word_is_offered(old: str, new: str, like: str) -> None:
    (problem,) = problems(changed(old, new))
    assert problem.values["like"] == like


def test_no_word_is_offered_for_one_that_is_like_none() -> None:
    (problem,) = problems(changed("yield:", "qqq:"))
    assert problem.values["like"] == ""
    assert "yield" in str(problem.values["allowed"])


def test_letter_case_does_not_make_a_word_strange() -> None:
    assert nearest("FRIDGE", ["room", "fridge"]) == "fridge"
    assert nearest("", ["room"]) == ""


@pytest.mark.parametrize("word", ["makes", "tested_in", "uses", "lasts", "heats_in", "verb", "of"])
def test_the_names_of_our_own_fields_are_no_keys(word: str) -> None:
    places = {
        "uses": ("aim: 25 °C", "uses: [sponge]"),
        "lasts": ("took: 55 min", "lasts: 55 min"),
        "verb": ("- mix: sponge", "- verb: mix"),
        "of": ("by: hand", "of: dough"),
    }
    old, new = places.get(word, ("place: LV", f"{word}: x"))
    assert {p.code for p in problems(changed(old, new))} <= {"unknown-key", "no-verb"}


# --- YAML 1.2, read as text -----------------------------------------------------------------------


@pytest.mark.parametrize(
    "words",
    [
        "no",
        "yes",
        "on",
        "~",
        "null",
        "1:30",
        "012",
        "1e3",
        "0x1F",
        ".inf",
        ".nan",
        "2024-05-01",
        "1_000",
        "=",
        "<<",
        "NO",
        "“curd”",
        "ķimenes – jā",
        "面包",
        "🍞",
    ],
)
def test_words_that_other_readers_take_for_something_else(words: str) -> None:
    document = read_document(changed("Leek and curd pockets", words)).document
    assert document.name == words


def test_norway_is_a_country() -> None:
    document = read_document(changed("place: LV", "place: no")).document
    assert isinstance(document, FormulaDocument)
    assert document.place == "NO"


def test_minutes_are_no_base_sixty_number() -> None:
    # YAML 1.1 reads 1:30 as 90
    problem = only_problem(changed("took: 55 min", "took: «1:30»"))
    assert (problem.code, problem.values["read"]) == ("not-a-quantity", "1:30")


def test_leading_zeros_are_no_octal() -> None:
    document = read_document(changed("pieces: 8", "pieces: 012")).document
    assert isinstance(document, FormulaDocument)
    assert document.makes is not None
    assert document.makes.pieces == 12


def test_a_merge_key_is_a_key_like_any_other() -> None:
    problem = only_problem(changed("place: LV", "«<<»: {place: LV}"))
    assert (problem.code, problem.values["read"]) == ("unknown-key", "<<")


def test_quotes_blocks_and_windows_lines() -> None:
    plain = read_document(FORMULA).document
    quoted = changed("Leek and curd pockets", '"Leek and curd pockets"')
    assert read_document(quoted).document == plain
    assert read_document(FORMULA.replace("\n", "\r\n")).document == plain
    assert read_document("\ufeff" + FORMULA).document == plain
    assert read_document("%YAML 1.2\n---\n" + FORMULA).document == plain
    folded = changed("place: LV\n", "place: LV\nnote: >\n  Third evening\n  of the class.\n")
    assert read_document(folded).document.note == "Third evening of the class.\n"


def test_places_count_characters_not_bytes() -> None:
    marked = changed("place: LV", "note: “ķimenes” 🍞\nplace: «Latvija»")
    assert only_problem(marked).code == "not-a-country"
    inline = changed("{pieces: 8, piece: 105 g, spare: 2 %}", "{'piece': «‘105’», spare: 2 %}")
    assert only_problem(inline).code == "not-a-quantity"


def test_a_file_keeps_its_name() -> None:
    with pytest.raises(DocumentError) as caught:
        read_document("name: x\n", "rolls.yaml")
    (problem,) = caught.value.problems
    assert problem.place is not None
    assert problem.place.file == "rolls.yaml"


# --- shapes that may vary -------------------------------------------------------------------------


def test_a_plain_amount_stands_for_a_mapping() -> None:
    short = read_document(FORMULA).document
    long = read_document(changed("salt: 1.8 %", "salt: {amount: 1.8 %}")).document
    assert short == long


@pytest.mark.parametrize("uses", ["sponge", "[sponge]", "{sponge: {}}"])
def test_all_of_a_preparation_is_taken_in_three_spellings(uses: str) -> None:
    document = read_document(changed("[sponge]", uses)).document
    assert document == read_document(FORMULA).document


def test_keys_of_words_ignore_case_and_spaces() -> None:
    text = changed("kept: fridge", "kept:   Fridge ")
    assert read_document(text).document == read_document(FORMULA).document


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_the_examples_can_be_read(path: Path) -> None:
    reading = read_document(path.read_text("utf-8"), path.name)
    assert reading.document.name
    for place in reading.places.values():
        assert place.file == path.name
        assert reading.text.splitlines()[place.line - 1] == place.text


def test_the_place_of_what_is_not_written_is_that_of_what_holds_it() -> None:
    reading = read_document(FORMULA)
    salt = nearest_place(reading.places, ("preparations", "dough", "ingredients", "salt"))
    assert salt is not None
    assert (salt.line, salt.column) == (16, 13)
    note = nearest_place(reading.places, ("preparations", "dough", "ingredients", "salt", "note"))
    assert note == salt
    assert nearest_place({}, ("a", "b")) is None


# --- from a body that is no text ------------------------------------------------------------------


def test_a_body_is_read_as_the_text_is() -> None:
    body = {
        "doughwright": "kitchen/1",
        "name": "Harbour Lane",
        "room": "21 °C",
        "mixer": {"hand": "1.0 °C", "stand mixer": "20 W/kg"},
        "oven": {"kind": "fan", "trays": "2", "tray": "38 x 32 cm", "reads": "+5 °C"},
        "scale": {"reads": "1 g", "fine": "0.1 g"},
        "codes": "EU",
    }
    assert document_from(body) == read_document(KITCHEN).document


def test_a_body_with_a_number_is_refused_without_a_place() -> None:
    body = {"doughwright": "kitchen/1", "name": "Harbour Lane", "room": 21}
    with pytest.raises(DocumentError) as caught:
        document_from(body)
    (problem,) = caught.value.problems
    assert (problem.code, problem.where, problem.place) == ("not-a-scalar", ("room",), None)


@pytest.mark.parametrize("body", [None, [], "text", 5, {}, {"doughwright": ["formula/1"]}])
def test_a_body_that_is_no_document(body: object) -> None:
    with pytest.raises(DocumentError) as caught:
        document_from(body)
    assert [p.code for p in caught.value.problems] == ["unknown-document"]


def test_an_older_document_is_brought_up_step_by_step() -> None:
    upgrades = {
        "formula/0": lambda tree: {**tree, "doughwright": "formula/½", "name": tree["title"]},
        "formula/½": lambda tree: {**tree, "doughwright": "formula/1"},
    }
    old = {"doughwright": "formula/0", "title": "Bread"}
    assert upgraded(old, upgrades)["doughwright"] == "formula/1"
    assert upgraded(old, upgrades)["name"] == "Bread"
    assert old == {"doughwright": "formula/0", "title": "Bread"}
    assert upgraded([1], upgrades) == [1]
