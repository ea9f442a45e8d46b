"""What a text tells of the whole beside its lines, and what it leaves out of a part.

The texts are our own, in the words of everyday recipes; what each says is worked out by hand.
"""

from collections.abc import Mapping

import pytest

from doughwright.gathering.drafted import Draft
from doughwright.gathering.drafts import draft
from doughwright.gathering.pages.sections import text_gathered
from doughwright.gathering.writing import formula_text

DOUGH = "500 g strong white flour\n350 g water\n10 g salt\n5 g instant yeast\n"


def drafted(lines: str, answers: Mapping[str, str] | None = None) -> Draft:
    return draft(text_gathered(f"Harbour loaf\n\n{lines}"), answers=answers or {})


def grams(made: Draft) -> dict[str, dict[str, float | None]]:
    """The weight in g of each line of each part."""
    return {
        part.name: {
            line.table: round(1000 * line.mass[1], 2) if line.mass else None for line in part.lines
        }
        for part in made.preparations
    }


def keys(made: Draft) -> list[str]:
    return [doubt.key for doubt in made.doubts if doubt.is_open]


def test_a_count_with_a_weight_in_brackets_is_an_ingredient_and_no_yield() -> None:
    made = drafted(
        "3 cups (360 g) strong white flour\n2 cups (250 g) water\n2 tsp (7 g) salt\n"
        "1 sachet (7 g) instant yeast\n"
    )
    assert grams(made) == {
        "dough": {"strong white flour": 360, "water": 250, "salt": 7, "instant yeast": 7}
    }
    assert "yield:" not in formula_text(made)


@pytest.mark.parametrize(
    "line", ["Hydration: 70%", "Dough yield 174.8%", "TA 168", "Baker's percentage: 173 %"]
)
def test_a_figure_of_the_whole_is_no_ingredient(line: str) -> None:
    made = drafted(DOUGH + line)
    assert len(grams(made)["dough"]) == 4
    assert not keys(made)
    assert f"# beside: {line}" in formula_text(made)


def test_shares_told_again_behind_a_figure_are_not_counted_twice() -> None:
    made = drafted(f"{DOUGH}Hydration: 70%\nSalt: 2 %\n")
    assert grams(made)["dough"]["salt"] == 10
    assert "# beside: Salt: 2 %" in formula_text(made)


POOLISH = (
    "Poolish\n250 g strong white flour\n{water}0.25 g instant yeast\n\n"
    "Dough\npoolish\n250 g strong white flour\n80 g water\n10 g salt\n"
)


def test_flour_that_nothing_wets_is_asked() -> None:
    made = drafted(POOLISH.format(water=""))
    assert keys(made) == ["3:dry"]
    settled = drafted(POOLISH.format(water=""), {"3:dry": "as dry as that"})
    assert not keys(settled)
    assert not keys(drafted(POOLISH.format(water="250 g water\n")))


def test_an_egg_to_brush_with_is_not_stirred_into_an_icing() -> None:
    iced = "\nIcing\n100 g icing sugar\n20 g lemon juice\n"
    parts = grams(drafted(f"{DOUGH}50 g beaten egg, for brushing\n{iced}"))
    assert parts["icing"] == {"icing sugar": 100, "lemon juice": 20}
    assert parts["egg wash"] == {"egg": 50}
    parts = grams(drafted(f"{DOUGH}{iced}50 g beaten egg, for brushing\n"))
    assert parts["icing"] == {"icing sugar": 100, "lemon juice": 20}
    assert parts["egg wash"] == {"egg": 50}
    parts = grams(drafted(f"{DOUGH}\nEgg wash\n50 g beaten egg, for brushing\n15 g water\n"))
    assert parts["egg wash"] == {"egg": 50, "water": 15}


def test_an_answer_that_weighs_nothing_leaves_the_amount_open() -> None:
    made = drafted(f"{DOUGH}walnuts\n", {"7:walnuts:amount": "8"})
    assert keys(made) == ["7:walnuts:amount"]
    assert not keys(drafted(f"{DOUGH}walnuts\n", {"7:walnuts:amount": "80 g"}))
    assert not keys(drafted(f"{DOUGH}walnuts\n", {"7:walnuts:amount": "not weighed"}))


def test_the_least_slip_that_explains_too_much_water_is_the_candidate() -> None:
    made = drafted("500 g strong white flour\n3500 g water\n10 g salt\n5 g instant yeast\n")
    (doubt,) = (doubt for doubt in made.doubts if doubt.is_open)
    assert [choice.key for choice in doubt.choices] == ["times 0.1", "this"]


def test_an_amount_that_its_parts_do_not_come_to_is_asked() -> None:
    line = "450 g flour (400 g strong white, 100 g wholemeal)"
    rest = "300 g water\n10 g salt\n5 g instant yeast\n"
    made = drafted(f"{line}\n{rest}")
    assert keys(made) == ["3:parts"]
    assert keys(drafted(f"{line}\n{rest}", {"3:parts": "500"})) == ["3:parts"]
    parts = grams(drafted(f"{line}\n{rest}", {"3:parts": "parts"}))["dough"]
    assert (parts["strong white flour"], parts["wholemeal flour"]) == (400, 100)
    whole = grams(drafted(f"{line}\n{rest}", {"3:parts": "whole"}))["dough"]
    assert (whole["strong white flour"], whole["wholemeal flour"]) == (360, 90)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("300 g half whole milk, half water", {"whole milk": 150, "water": 150}),
        ("400 g liquid (half whole milk, half water)", {"whole milk": 200, "water": 200}),
        ("300 g ½ whole milk and ½ water", {"whole milk": 150, "water": 150}),
    ],
)
def test_halves_of_an_amount_are_two(line: str, expected: dict[str, float]) -> None:
    found = grams(drafted(f"500 g strong white flour\n{line}\n10 g salt\n5 g instant yeast"))
    assert {name: found["dough"].get(name) for name in expected} == expected
