"""Comments of where a number was read: untrue beside another one, they say what it was."""

import pytest

from doughwright.documents.editing import Carry, Edit, Insert, Remove, SetValue, edited

GATHERED = """\
doughwright: formula/1
# makes: 12 buns, or 10 large ones
yield: {pieces: 12}
preparations:
  dough:  # line 3: For the dough:
    ingredients:
      flour: 360 g  # line 5: 3 cups flour
      water: 250 g  # line 6: 250 g water; as written
      # my own: hold some back
      salt: 9 g  # mine, and line 7: of the book
      starter: {amount: 20 g, hydration: 100 %}  # line 8: starter
process:
  - ferment: dough  # line 9: Leave for an hour.
    for: 60 min
  - bake: dough
"""

INGREDIENTS = ("preparations", "dough", "ingredients")


def line_of(text: str, words: str) -> str:
    return next(line.strip() for line in text.splitlines() if words in line)


@pytest.mark.parametrize(
    ("edit", "words", "line"),
    [
        (
            SetValue((*INGREDIENTS, "water"), "230 g"),
            "line 6",
            "water: 230 g  # was 250 g: line 6: 250 g water; as written",
        ),
        (
            SetValue((*INGREDIENTS, "water", "amount"), "230 g"),
            "line 6",
            "water: 230 g  # was 250 g: line 6: 250 g water; as written",
        ),
        (
            SetValue((*INGREDIENTS, "starter", "hydration"), "50 %"),
            "line 8",
            "starter: {amount: 20 g, hydration: 50 %}  # was hydration 100 %: line 8: starter",
        ),
        (
            SetValue(("process", 0, "for"), "90 min"),
            "line 9",
            "- ferment: dough  # was for 60 min: line 9: Leave for an hour.",
        ),
        (
            SetValue(("process", 0, "for"), ""),
            "line 9",
            "- ferment: dough  # was for 60 min: line 9: Leave for an hour.",
        ),
        (
            SetValue(("yield", "pieces"), "24"),
            "makes",
            "# was pieces 12: makes: 12 buns, or 10 large ones",
        ),
    ],
)
def test_beside_another_number_it_says_what_the_number_was(
    edit: Edit, words: str, line: str
) -> None:
    after = edited(GATHERED, [edit])
    assert line_of(after, words) == line
    told = sum(" was " in each for each in after.splitlines())
    assert told == 1  # the comments of other lines are as they were


@pytest.mark.parametrize(
    "edit",
    [
        SetValue((*INGREDIENTS, "salt"), "8 g"),  # the author's own words
        SetValue((*INGREDIENTS, "water", "at"), "20 °C"),  # nothing that was read is another
        SetValue(("process", 0, "at"), "fridge"),
        SetValue(("preparations", "dough", "kind"), "dough"),
        Insert(INGREDIENTS, 0, "malt", "5 g"),
        Remove((*INGREDIENTS, "flour")),
    ],
)
def test_other_comments_and_other_lines_stay(edit: Edit) -> None:
    assert " was " not in edited(GATHERED, [edit])


def test_a_line_that_is_gone_takes_its_comment_with_it() -> None:
    assert "3 cups" not in edited(GATHERED, [Remove((*INGREDIENTS, "flour"))])


def test_changed_again_it_still_says_what_was_read_and_set_back_it_is_as_it_was() -> None:
    once = edited(GATHERED, [SetValue((*INGREDIENTS, "water"), "230 g")])
    twice = edited(once, [SetValue((*INGREDIENTS, "water"), "240 g")])
    assert line_of(twice, "line 6").endswith("# was 250 g: line 6: 250 g water; as written")
    assert edited(twice, [SetValue((*INGREDIENTS, "water"), "250 g")]) == GATHERED


def test_set_and_set_back_in_one_go_it_says_nothing() -> None:
    there_and_back = [SetValue((*INGREDIENTS, "water"), each) for each in ("1 g", "250 g")]
    assert edited(GATHERED, there_and_back) == GATHERED


ASKED = """\
doughwright: formula/1
preparations:
  sponge:
    ingredients:
      flour: 100 g  # line 4: 100 g flour
  dough:
    from: [sponge]
    ingredients:
      # warmed
      milk: 250 g  # line 3: 1 cup milk
      # asked: 3:milk:kind, one of: whole milk | skimmed milk
      flour: 400 g  # line 5: 400 g flour
      butter: 50 g
      # asked: 8:butter:kind, one of: salted butter | unsalted butter
      yeast: 7 g  # line 9: 7 g yeast
"""


def test_what_is_asked_below_a_line_stays_with_it_when_the_next_one_goes() -> None:
    after = edited(ASKED, [Remove((*INGREDIENTS, "yeast"))])
    assert after == ASKED.replace("      yeast: 7 g  # line 9: 7 g yeast\n", "")
    without = edited(ASKED, [Remove((*INGREDIENTS, "butter"))])
    assert "8:butter" not in without  # and goes when that one goes
    assert "yeast: 7 g  # line 9" in without


def test_a_line_that_moves_takes_its_comments_and_what_is_asked_of_it_along() -> None:
    sponge = ("preparations", "sponge", "ingredients")
    moved = [
        Insert(sponge, 1, "milk", "250 g"),
        Carry((*INGREDIENTS, "milk"), (*sponge, "milk")),
    ]
    lines = """\
      # warmed
      milk: 250 g  # line 3: 1 cup milk
      # asked: 3:milk:kind, one of: whole milk | skimmed milk
"""
    flour = "      flour: 100 g  # line 4: 100 g flour\n"
    assert edited(ASKED, moved) == ASKED.replace(lines, "").replace(flour, flour + lines)


def test_in_the_place_of_another_ingredient_it_says_which_was_read() -> None:
    swap = [
        Insert(INGREDIENTS, 3, "fresh yeast", "21 g"),
        Carry((*INGREDIENTS, "yeast"), (*INGREDIENTS, "fresh yeast")),
    ]
    after = edited(ASKED, swap)
    assert line_of(after, "line 9") == "fresh yeast: 21 g  # was yeast 7 g: line 9: 7 g yeast"
    assert "\n      yeast:" not in after


def test_two_lines_that_become_one_keep_both_comments() -> None:
    both = [
        SetValue((*INGREDIENTS, "flour"), "500 g"),
        Carry(("preparations", "sponge", "ingredients", "flour"), (*INGREDIENTS, "flour")),
    ]
    after = edited(ASKED, both)
    assert line_of(after, "line 4") == "# was 100 g: line 4: 100 g flour"
    assert line_of(after, "line 5") == "flour: 500 g  # was 400 g: line 5: 400 g flour"


def test_into_brackets_a_comment_goes_above_what_holds_them() -> None:
    text = ASKED.replace("      flour: 100 g  # line 4: 100 g flour\n", "").replace(
        "  sponge:\n    ingredients:\n", "  sponge:\n    ingredients: {flour: 100 g, yeast: 7 g}\n"
    )
    to = ("preparations", "sponge", "ingredients", "yeast")
    after = edited(text, [Carry((*INGREDIENTS, "yeast"), to)])
    assert "    # was 7 g: line 9: 7 g yeast\n    ingredients: {flour: 100 g, yeast: 7 g}" in after
