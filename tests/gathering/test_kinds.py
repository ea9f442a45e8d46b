"""A word that may mean several things is asked once for all lines that say it."""

from doughwright.errors import Notice
from doughwright.gathering.drafted import Draft
from doughwright.gathering.drafts import draft
from doughwright.gathering.gathered import Doubt
from doughwright.gathering.pages.sections import text_gathered
from doughwright.gathering.writing import formula_text

PLAIT = (
    "Plait\n\nSponge\n200 g plain flour\n120 ml milk\n2 g yeast\n\n"
    "Dough\n300 g plain flour\n150 ml milk\n8 g salt\n4 g yeast\n\nFilling\n200 ml milk\n80 g sugar"
)


def drafted(text: str, **answers: str) -> Draft:
    return draft(text_gathered(text), None, answers)


def keys(made: Draft) -> list[str]:
    return [doubt.key for doubt in made.open_doubts]


def asked(made: Draft, key: str) -> Doubt:
    return next(doubt for doubt in made.doubts if doubt.key == key)


def tables(made: Draft) -> list[str]:
    return [line.table for part in made.preparations for line in part.lines]


def test_milk_in_three_lines_is_asked_once() -> None:
    made = drafted(PLAIT)
    assert keys(made) == ["kind of milk", "kind of yeast"]
    told = asked(made, "kind of milk").notice
    assert told == Notice.of("gather-which-all", name="milk", lines="5, 10, 15")
    assert formula_text(made).count("kind of milk") == 1


def test_one_answer_is_for_all_of_them() -> None:
    made = drafted(PLAIT, **{"kind of milk": "skimmed milk"})
    assert keys(made) == ["kind of yeast"]
    assert tables(made).count("skimmed milk") == 3
    assert made.stray == ()


def test_a_line_may_have_an_answer_of_its_own() -> None:
    made = drafted(PLAIT, **{"5:milk:kind": "whole milk", "kind of milk": "skimmed milk"})
    assert (tables(made).count("whole milk"), tables(made).count("skimmed milk")) == (1, 2)
    assert made.stray == ()
    left = drafted(PLAIT, **{"5:milk:kind": "whole milk"})
    assert asked(left, "kind of milk").notice.values["lines"] == "10, 15"
    every = {f"{line}:milk:kind": "whole milk" for line in (5, 10, 15)}
    assert keys(drafted(PLAIT, **every)) == ["kind of yeast"]


def test_what_blocks_one_line_blocks_all_that_ask_the_same() -> None:
    made = drafted(PLAIT)
    assert asked(made, "kind of yeast").blocks
    text = formula_text(made)
    assert "# yeast: line 6: 2 g yeast" in text
    assert "# yeast: line 12: 4 g yeast" in text
    settled = formula_text(drafted(PLAIT, **{"kind of yeast": "fresh yeast"}))
    assert "fresh yeast: 2 g  # line 6" in settled
    assert "fresh yeast: 4 g  # line 12" in settled


def test_flours_of_two_types_are_two_questions() -> None:
    made = drafted("300 g Weizenmehl Type 550\n200 g Weizenmehl Type 1050\n300 g Wasser\n10 g Salz")
    assert keys(made) == ["1:wheat flour:kind", "2:wheat flour:kind"]
    same = drafted("300 g Weizenmehl Type 550\n\nTeig\n200 g Weizenmehl Type 550\n300 g Wasser")
    assert "kind of wheat flour 550" in keys(same)


def test_one_line_alone_keeps_its_own_question() -> None:
    made = drafted("500 g plain flour\n300 ml milk\n10 g salt\n7 g instant yeast")
    assert keys(made) == ["2:milk:kind"]
