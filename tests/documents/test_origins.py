"""Comments of where a number was read: untrue beside another one, they say what it was."""

import pytest

from doughwright.documents.editing import Edit, Insert, Remove, SetValue, edited

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
