"""Where a part of a recipe begins and what it takes, as everyday texts put it.

The texts are our own; what each says is worked out by hand.
"""

from collections.abc import Mapping

import pytest

from doughwright.gathering.drafted import Draft
from doughwright.gathering.drafts import draft
from doughwright.gathering.pages.sections import text_gathered
from doughwright.gathering.writing import formula_text

DOUGH = "500 g strong white flour\n330 g water\n10 g salt\n5 g instant yeast\n"


def drafted(lines: str, answers: Mapping[str, str] | None = None) -> Draft:
    return draft(text_gathered(f"Harbour bread\n\n{lines}"), answers=answers or {})


def grams(made: Draft) -> dict[str, dict[str, float]]:
    """The weight in g of each line of each part that has one."""
    return {
        part.name: {line.table: round(1000 * line.mass[1], 2) for line in part.lines if line.mass}
        for part in made.preparations
    }


def open_keys(made: Draft) -> list[str]:
    return [doubt.key for doubt in made.doubts if doubt.is_open]


@pytest.mark.parametrize(
    "total",
    [
        *("Summe: 845 g", "Gesamt: 845 g", "Teiggewicht: 845 g", "Totale: 845 g"),
        *("Total: 845 g", "Peso total: 845 g", "I alt 845 g"),
    ],
)
def test_a_total_in_any_language_is_a_check_and_no_ingredient(total: str) -> None:
    right = drafted(DOUGH + total)
    assert len(grams(right)["dough"]) == 4
    assert not open_keys(right)
    assert f"# sum: {total}" in formula_text(right)
    assert open_keys(drafted(DOUGH + total.replace("845", "945"))) == ["7:total"]


def test_the_last_row_of_a_table_adds_it_up() -> None:
    rows = (
        "| Zutat | Menge |\n|---|---|\n| Weizenmehl | 500 g |\n| Wasser | 330 g |\n| Salz | 10 g |"
    )
    made = drafted(f"{rows}\n| Hefe | 5 g |\n| Summe | 845 g |\n")
    assert len(grams(made)["dough"]) == 4


def test_a_list_behind_an_unknown_word_is_no_part_of_the_dough() -> None:
    made = drafted(f"{DOUGH}\nBrine: 60 g water, 30 g olive oil, 5 g salt\n")
    assert grams(made)["dough"]["water"] == 330
    assert grams(made)["brine"] == {"water": 60, "olive oil": 30, "salt": 5}
    assert open_keys(made) == ["8:brine:part"]
    spiced = drafted(f"{DOUGH}\nSpices: 2 g cinnamon, 1 g cardamom\n")
    assert not open_keys(spiced)
    assert grams(spiced)["dough"]["cinnamon"] == 2


@pytest.mark.parametrize(
    "line",
    [
        "Dough: the poolish, 350 g strong white flour, 180 g water, 7 g salt",
        "Dough: all of the poolish, 350 g strong white flour, 180 g water, and 7 g salt",
    ],
)
def test_a_part_in_one_line_takes_another_and_loses_nothing(line: str) -> None:
    made = drafted(f"Poolish: 150 g strong white flour, 150 g water, 0.1 g instant yeast\n{line}\n")
    assert grams(made)["dough"] == {"strong white flour": 350, "water": 180, "salt": 7}
    assert list(made.preparations[1].takes) == ["poolish"]
    assert not open_keys(made)


@pytest.mark.parametrize(
    ("heading", "dough", "taken"),
    [
        ("Poolish", "Pâte", "le poolish"),
        ("Poolish", "Pâte", "tout le poolish"),
        ("Biga", "Impasto", "tutta la biga"),
        ("Prefermento", "Masa", "todo el prefermento"),
        ("Brühstück", "Teig", "Brühstück"),
        ("Sauerteig (Hydration 100 %)", "Hauptteig", "Sauerteig"),
        ("Poolish", "Dough", "all the poolish"),
    ],
)
def test_a_part_that_is_named_alone_is_taken_whole(heading: str, dough: str, taken: str) -> None:
    first = "150 g strong white flour\n150 g water\n1 g fresh yeast\n"
    rest = "300 g strong white flour\n150 g water\n9 g salt\n"
    made = drafted(f"{heading}\n{first}\n{dough}\n{taken}\n{rest}")
    names = [part.name for part in made.preparations]
    assert len(names) == 2
    assert list(made.preparations[1].takes) == [names[0]]
    assert grams(made)[names[1]] == {"strong white flour": 300, "water": 150, "salt": 9}
    assert not open_keys(made)


def test_a_culture_and_how_much_of_it_is_no_heading() -> None:
    made = drafted(f"Masa madre: 150 g\n{DOUGH}")
    assert open_keys(made) == ["3:starter:hydration"]
    settled = drafted(f"Masa madre: 150 g\n{DOUGH}", {"3:starter:hydration": "100%"})
    assert grams(settled)["dough"]["starter"] == 150


def test_days_are_parts() -> None:
    made = drafted(
        f"Dag 1\n100 g rye flour\n100 g water\n1 g fresh yeast\n\nDag 2\n{DOUGH}".replace(
            "rye flour", "medium rye flour"
        )
    )
    assert list(grams(made)) == ["dag 1", "dag 2"]
    assert all(not key.endswith(":name") for key in open_keys(made))


def test_a_step_that_begins_with_a_number_is_a_step() -> None:
    made = drafted(f"{DOUGH}\n1st rise 2 hours.\nShape.\n2nd rise 1 hour.\nBake 40 min at 230C.\n")
    told = [(step.verb, step.time[1] / 60 if step.time else None) for step in made.steps]
    assert told == [
        *(("mix", None), ("ferment", 120), ("shape", None), ("proof", 60), ("bake", 40))
    ]


@pytest.mark.parametrize(
    ("line", "doubted"),
    [
        ("Shape 8 balls of 120 g.", ["8:yield"]),
        ("Façonner 8 boules de 105 g.", []),
        ("Teilen in 8 Stücke zu je 105 g.", []),
    ],
)
def test_pieces_that_are_shaped_are_the_yield(line: str, doubted: list[str]) -> None:
    made = drafted(f"{DOUGH}\nRise 2 hours. {line}\n")
    assert "yield: {pieces: 8}" in formula_text(made) or "8 of 105 g" in formula_text(made)
    assert open_keys(made) == doubted


def test_the_yield_may_stand_behind_the_weight_of_the_dough() -> None:
    shares = "Strong white flour 100%\nWater 56%\nSalt 2%\nInstant yeast 0.4%\n"
    made = drafted(f"{shares}\nDough weight 2.4 kg, for 20 bagels of 120 g.\n")
    assert "pieces: 20" in formula_text(made)
    assert "120 g" in formula_text(made).split("preparations")[0]


@pytest.mark.parametrize(
    ("heading", "dough", "line"),
    [("Masa madre", "Masa", "150 g masa madre"), ("Surdeg", "Deg", "150 g surdeg")],
)
def test_a_culture_that_was_made_under_its_heading_is_taken_and_not_added(
    heading: str, dough: str, line: str
) -> None:
    first = "100 g strong white flour\n100 g water\n10 g fresh yeast\n"
    made = drafted(f"{heading}\n{first}\n{dough}\n{line}\n{DOUGH}")
    assert not open_keys(made)
    assert "150 g}" in formula_text(made).partition("from:")[2].splitlines()[0]
    assert "starter" not in grams(made)[dough.lower()]


def test_a_line_below_a_table_tells_how_long_a_part_waits() -> None:
    table = (
        "| | Biga | Final dough |\n|---|---|---|\n| Strong white flour | 300 g | 600 g |\n"
        "| Water | 165 g | 525 g |\n| Salt | | 18 g |\n| Instant yeast | 1.5 g | 2 g |\n"
    )
    made = drafted(f"{table}\nBiga: 16 hours at 18 °C.\nMix 6 minutes. Bulk 2 hours at 24 °C.\n")
    told = [(s.verb, s.of, s.at, s.time[1] / 3600) for s in made.steps if s.time and s.at]
    assert told == [("ferment", "biga", "18 °C", 16), ("ferment", "final dough", "24 °C", 2)]


@pytest.mark.parametrize(
    ("heading", "pieces"),
    [("Zutaten für 1 Zopf:", 1), ("Zutaten für 2 Brote", 2), ("Ingredients for 12 rolls:", 12)],
)
def test_the_heading_of_a_list_says_how_much_it_makes(heading: str, pieces: int) -> None:
    made = drafted(f"{heading}\n{DOUGH}")
    assert list(grams(made)) == ["dough"]
    assert f"yield: {{pieces: {pieces}}}" in formula_text(made)


@pytest.mark.parametrize("title", ["A simple loaf", "The new rye", "Bread of a long day"])
def test_a_title_keeps_its_article(title: str) -> None:
    assert text_gathered(f"{title}\n\n{DOUGH}").title == title


def test_a_whole_cube_of_yeast_is_told_by_what_its_line_weighs() -> None:
    made = drafted("500 g Mehl\n250 g Milch\n10 g Salz\n1 Würfel frische Hefe\n")
    (doubt,) = (doubt for doubt in made.doubts if doubt.key.endswith(":likely"))
    # a German cube is 42 g: 8.4 % of 500 g
    assert doubt.notice.values["ratio"] == pytest.approx(0.084)
    assert not doubt.blocks
