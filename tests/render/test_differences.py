"""What changed between two revisions, as a baker reads it."""

from pathlib import Path

import pytest

from doughwright.documents.differences import differences
from doughwright.documents.editing import Edit, Insert, Move, Remove, Rename, SetValue, edited
from doughwright.documents.reading import read_document
from doughwright.render.differences import difference_lines

EXAMPLES = Path(__file__).parents[2] / "examples"
DOUGH = ("preparations", "dough")
LINES = (*DOUGH, "ingredients")


def example(name: str) -> str:
    return (EXAMPLES / f"{name}.yaml").read_text("utf-8")


POCKETS = example("leek-and-curd-pockets")
KITCHEN = example("harbour-lane.kitchen")
SERIES = example("harbour-lane.series")
SHELF = example("harbour-lane.shelf")


def lines_between(before: str, after: str) -> list[str]:
    found = differences(read_document(before).document, read_document(after).document)
    return [*difference_lines(found)]


def told(text: str, *edits: Edit) -> list[str]:
    return lines_between(text, edited(text, edits))


@pytest.mark.parametrize("name", sorted(p.stem for p in EXAMPLES.glob("*.yaml")))
def test_the_same_document_differs_in_nothing(name: str) -> None:
    assert lines_between(example(name), example(name)) == []


FORMULA_CASES: list[tuple[list[Edit], list[str]]] = [
    ([SetValue((*LINES, "salt"), "2.0 %")], ["dough: salt 1.8 → 2.0 %"]),
    ([SetValue((*LINES, "salt"), "20 g")], ["dough: salt 1.8 % → 20 g"]),
    ([Insert(LINES, 3, "honey", "3 %")], ["dough: honey 3 % added"]),
    (
        [Insert(LINES, 3, "water", {"amount": "3 %", "at": "30 °C"})],
        ["dough: water 3 % (at 30 °C) added"],
    ),
    ([Remove((*LINES, "sugar"))], ["dough: sugar 7 % taken out"]),
    ([Rename((*LINES, "sugar"), "honey")], ["dough: sugar renamed to honey"]),
    (
        [Rename((*LINES, "sugar"), "honey"), SetValue((*LINES, "honey"), "8 %")],
        ["dough: honey 8 % added", "dough: sugar 7 % taken out"],
    ),
    (
        [
            Remove((*LINES, "salt")),
            Insert(("preparations", "sponge", "ingredients"), 3, "salt", "1.8 %"),
        ],
        ["salt moved from dough to sponge"],
    ),
    (
        [
            Remove((*LINES, "sugar")),
            Insert(("preparations", "sponge", "ingredients"), 3, "sugar", "5 %"),
        ],
        ["sugar moved from dough to sponge", "sponge: sugar 7 → 5 %"],
    ),
    ([Move((*LINES, "salt"), 0)], ["dough: salt now first"]),
    ([Move((*LINES, "salt"), 4)], ["dough: salt now after unsalted butter"]),
    ([SetValue((*LINES, "egg", "kept"), "room")], ["dough: egg kept fridge → room"]),
    ([SetValue((*DOUGH, "aim"), "26 °C")], ["dough: aim 25 → 26 °C"]),
    ([SetValue((*DOUGH, "aim"), "")], ["dough: aim 25 °C taken out"]),
    ([SetValue((*DOUGH, "from", "sponge", "share"), "80 %")], ["dough: sponge all → 80 %"]),
    ([Rename(("preparations", "sponge"), "starter")], ["preparations: sponge renamed to starter"]),
    (
        [Remove(("preparations", "filling"))],
        ["preparations: filling taken out (leek 5 parts, ricotta 4 parts, salt 0.1 parts)"],
    ),
    (
        [
            Insert(
                ("preparations",),
                4,
                "seeds",
                {"kind": "topping", "ingredients": {"sesame seeds": "5 parts"}},
            )
        ],
        ["preparations: seeds added (sesame seeds 5 parts)"],
    ),
    ([Move(("preparations", "filling"), 0)], ["preparations: filling now first"]),
    ([SetValue(("process", 9, "until"), "1.8x")], ["proof dough: until 1.7x → 1.8x"]),
    ([SetValue(("process", 8, "form", "round"), "12 cm")], ["shape dough: form round 11 → 12 cm"]),
    ([SetValue(("process", 12, "oven"), "170 °C fan")], ["bake dough: oven 165 → 170 °C fan"]),
    (
        [Insert(("process",), 4, None, {"fold": "dough", "for": "2 min"})],
        ["process: fold dough added (for 2 min)"],
    ),
    ([Remove(("process", 4))], ["process: divide dough taken out"]),
    ([Move(("process", 7), 5)], ["process: make filling now after divide dough"]),
    (
        [SetValue(("process", 2, "note"), "Butter first.")],
        ["mix dough: note “The butter goes in last, in three lots.” → “Butter first.”"],
    ),
    ([SetValue(("yield", "pieces"), "10")], ["yield: pieces 8 → 10"]),
    ([SetValue(("tested in", "room"), "24 °C")], ["tested in: room 22 → 24 °C"]),
    (
        [SetValue(("tags", 0), "soft")],
        ["tags: soft added", "tags: enriched taken out"],
    ),
    ([SetValue(("ingredients", "ricotta", "water"), "70 %")], ["ricotta: water 72 → 70 %"]),
    (
        [Remove(("ingredients", "leek"))],
        ["own ingredients: leek taken out (edible 67 %)"],
    ),
    ([SetValue(("name",), "Leek pockets")], ["name Leek and curd pockets → Leek pockets"]),
]


@pytest.mark.parametrize(("edits", "said"), FORMULA_CASES, ids=lambda value: str(value)[:60])
def test_a_change_of_a_bread_in_a_line(edits: list[Edit], said: list[str]) -> None:
    assert told(POCKETS, *edits) == said


def test_of_steps_that_do_the_same_it_says_which() -> None:
    hearth = example("rye-and-wheat-hearth-loaf")
    assert told(hearth, SetValue(("process", 5, "until"), "1.7x")) == [
        "ferment dough 2: until 1.6x → 1.7x"
    ]


def test_units_of_several_parts_are_said_in_full() -> None:
    text = POCKETS.replace("took: 50 min", "took: 1 h 30 min")
    assert told(text, SetValue(("process", 1, "took"), "2 h 30 min")) == [
        "ferment sponge: took 1 h 30 min → 2 h 30 min"
    ]


def test_a_kitchen_s_changes() -> None:
    assert told(
        KITCHEN,
        SetValue(("room",), "24 °C"),
        SetValue(("oven", "reads"), "+10 °C"),
        SetValue(("mixer", "hand"), "1.2 °C"),
        SetValue(("prices", "egg"), "3.40 EUR/10 large"),
        SetValue(("may contain", 1), "hazelnuts"),
    ) == [
        "room 21 → 24 °C",
        "may contain: hazelnuts added",
        "may contain: walnuts taken out",
        "oven: reads +5 → +10 °C",
        "mixer: hand 1.0 → 1.2 °C",
        "prices: egg 3.20 → 3.40 EUR/10 large",
    ]


def test_a_series_changes() -> None:
    assert told(
        edited(SERIES, [SetValue(("breads", 0, "note"), "")]),
        SetValue(("breads", 7, "state"), "on trial"),
        Remove(("breads", 0)),
        Insert(("breads",), 7, None, {"bread": "fig-loaf"}),
        Move(("breads", 1), 0),
    ) == [
        "potato-rolls: state idea → on trial",
        "breads: fig-loaf added (state idea)",
        "breads: seeded-flatbread taken out (state on trial)",
        "breads: leek-and-curd-pockets now first",
    ]


def test_a_shelf_changes() -> None:
    assert told(
        SHELF,
        SetValue(("ingredients", "honey", "price"), "10.20 EUR/kg"),
        SetValue(("ingredients", "figs", "water"), "25 %"),
        Remove(("ingredients", "cardamom")),
    ) == [
        "honey: price 9.80 → 10.20 EUR/kg",
        "shelf: figs added (water 25 %)",
        "shelf: cardamom taken out (price 2.90 EUR/25 g)",
    ]


def test_a_whole_other_bread_is_told_in_lines_one_can_read() -> None:
    said = lines_between(POCKETS, example("potato-rolls"))
    assert said[0] == "name Leek and curd pockets → Potato rolls"
    assert len(said) <= 37
    assert said[-1].startswith("and ")
    assert max(map(len, said)) < 200


def test_another_kind_of_document_is_said_so() -> None:
    assert lines_between(POCKETS, KITCHEN) == ["kind of document formula/1 → kitchen/1"]
