"""Written back, a document keeps what its author wrote: only what changed changes."""

import difflib
from pathlib import Path
from typing import Any

import pytest

from doughwright.documents.formula import FormulaDocument, Line, Step
from doughwright.documents.reading import Document, document_from, read_document
from doughwright.documents.writing import body, written

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
BREADS = [path for path in EXAMPLES if "." not in path.stem]

CARD = """\
# The card above the bench.
doughwright: formula/1
name: Rolls           # soft ones
place: lv
yield: {pieces: 08, piece: 1 lb 2 oz}

preparations:
  dough:
    kind: Dough
    from: []
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

process:
- mix: dough
  by: hand            # by hand!
- bake: dough
  steam: Yes
"""


def changed_lines(old: str, new: str) -> list[str]:
    compared = difflib.unified_diff(old.splitlines(), new.splitlines(), n=0, lineterm="")
    return [line for line in compared if line[0] in "+-" and line[:3] not in {"+++", "---"}]


def named(document: Document, name: str) -> Document:
    return document.model_copy(update={"name": name})


def card() -> FormulaDocument:
    document = read_document(CARD).document
    assert isinstance(document, FormulaDocument)
    return document


def with_lines(document: FormulaDocument, **lines: Any) -> FormulaDocument:
    """Change lines of the dough; None takes one out."""
    dough = document.preparations["dough"]
    merged = dough.ingredients | {n.replace("_", " "): line for n, line in lines.items()}
    kept = {name: line for name, line in merged.items() if line is not None}
    changed = dough.model_copy(update={"ingredients": kept})
    return document.model_copy(update={"preparations": {"dough": changed}})


def line(amount: str) -> Line:
    return Line.model_validate(amount)


def test_there_are_eight_breads_two_kitchens_a_series_and_a_shelf() -> None:
    assert (len(BREADS), len(EXAMPLES)) == (8, 12)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
class TestExamples:
    def test_unchanged_it_is_the_very_same_text(self, path: Path) -> None:
        reading = read_document(path.read_text("utf-8"))
        assert written(reading.document, reading) == reading.text

    def test_a_new_name_changes_one_line(self, path: Path) -> None:
        reading = read_document(path.read_text("utf-8"))
        renamed = written(named(reading.document, "Another name"), reading)
        assert changed_lines(reading.text, renamed) == [
            f"-name: {reading.document.name}",
            "+name: Another name",
        ]
        assert read_document(renamed).document == named(reading.document, "Another name")

    def test_the_body_is_the_whole_document(self, path: Path) -> None:
        document = read_document(path.read_text("utf-8")).document
        assert document_from(body(document)) == document

    def test_the_body_holds_text_alone(self, path: Path) -> None:
        def leaves(tree: Any) -> set[type]:
            if isinstance(tree, dict):
                return set().union(*map(leaves, tree.values()), set(map(type, tree)))
            if isinstance(tree, list):
                return set().union(*map(leaves, tree))
            return {type(tree)}

        assert leaves(body(read_document(path.read_text("utf-8")).document)) == {str}

    def test_written_without_its_text_it_says_the_same(self, path: Path) -> None:
        document = read_document(path.read_text("utf-8")).document
        text = written(document)
        assert read_document(text).document == document
        assert "!" not in text.replace(document.note or "", "")


def test_the_card_is_kept_as_it_is() -> None:
    reading = read_document(CARD)
    assert written(reading.document, reading) == CARD


def test_spellings_we_read_leniently_stay_when_something_else_changes() -> None:
    reading = read_document(CARD)
    renamed = written(named(reading.document, "Buns"), reading)
    assert changed_lines(CARD, renamed) == [
        "-name: Rolls           # soft ones",
        "+name: Buns            # soft ones",
    ]


def test_one_amount_changes_one_line_and_keeps_its_comment() -> None:
    reading = read_document(CARD)
    wetter = with_lines(card(), water=line("72 %"))
    assert changed_lines(CARD, written(wetter, reading)) == [
        "-      water: 65–70 %  # hold some back",
        "+      water: 72 %     # hold some back",
    ]


def test_a_line_taken_out_and_a_line_put_in() -> None:
    reading = read_document(CARD)
    other = with_lines(card(), salt=None, honey=line("3 %"))
    text = written(other, reading)
    assert read_document(text).document == other
    assert changed_lines(CARD, text) == ["-      \"salt\": '1.8 %'", "+      honey: 3 %"]


def test_a_step_put_at_the_end_and_one_taken_out() -> None:
    reading = read_document(CARD)
    cool = Step.model_validate({"cool": "dough", "for": "30 min"})
    longer = card().model_copy(update={"process": [*card().process, cool]})
    text = written(longer, reading)
    assert changed_lines(CARD, text) == ["+- cool: dough", "+  for: 30 min"]
    assert read_document(text).document == longer
    shorter = card().model_copy(update={"process": card().process[:1]})
    assert changed_lines(CARD, written(shorter, reading)) == ["-- bake: dough", "-  steam: Yes"]


def test_a_value_taken_out() -> None:
    reading = read_document(CARD)
    placeless = FormulaDocument.model_validate(
        {k: v for k, v in body(card()).items() if k != "place"}
    )
    assert changed_lines(CARD, written(placeless, reading)) == ["-place: lv"]


def test_windows_lines_stay_windows_lines() -> None:
    text = CARD.replace("\n", "\r\n")
    reading = read_document(text)
    renamed = written(named(reading.document, "Buns"), reading)
    assert renamed.count("\r\n") == renamed.count("\n") == text.count("\n")
    assert changed_lines(CARD, renamed) == changed_lines(
        CARD, written(named(card(), "Buns"), read_document(CARD))
    )


@pytest.mark.parametrize(("keys", "dash"), [(2, 0), (2, 2), (4, 0), (4, 4), (3, 1)])
def test_the_author_s_indentation_stays(keys: int, dash: int) -> None:
    text = (
        "doughwright: formula/1\nname: Rolls\n\npreparations:\n"
        f"{' ' * keys}dough:\n{' ' * 2 * keys}kind: dough\n"
        f"{' ' * 2 * keys}ingredients: {{flour: 500 g}}\n"
        f"process:\n{' ' * dash}- mix: dough\n{' ' * (dash + 2)}by: hand\n"
    )
    renamed = written(named(read_document(text).document, "Buns"), read_document(text))
    assert changed_lines(text, renamed) == ["-name: Rolls", "+name: Buns"]


def test_units_and_digits_are_the_author_s() -> None:
    again = body(card())
    assert again["yield"] == {"pieces": "8", "piece": "1 lb 2 oz"}
    assert again["preparations"]["dough"]["ingredients"]["water"] == "65–70 %"
    assert again["preparations"]["dough"]["ingredients"]["strong white flour"] == "100 %"


@pytest.mark.parametrize(
    "words",
    ["no", "1:30", "012", "- dash", "# hash", "a: b", "'", '"', "{", "null", "ķ", "& so on"],
)
def test_words_that_need_quotes_get_them(words: str) -> None:
    text = written(named(card(), words))
    assert read_document(text).document.name == words
    over = written(named(card(), words), read_document(CARD))
    assert read_document(over).document.name == words
