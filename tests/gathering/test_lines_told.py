"""Lines that say more than one amount, or name a thing in words of their own: none of it is lost.

The lines are our own, in the words of everyday recipes; what each comes to is worked out by hand.
"""

import pytest

from doughwright.gathering.drafted import Draft
from doughwright.gathering.drafts import draft
from doughwright.gathering.gathered import Item, Origin
from doughwright.gathering.lines.cultures import hydration_said
from doughwright.gathering.lines.line_items import items_in
from doughwright.gathering.pages.sections import text_gathered
from doughwright.gathering.writing import formula_text

DOUGH = "500 g bread flour\n330 g water\n10 g salt\n5 g instant yeast\n"


def items(line: str) -> tuple[Item, ...]:
    return items_in(Origin("pasted text", 1, line), line)


def read(line: str) -> list[tuple[str, float | None, str | None]]:
    """Name, number and unit of each ingredient of a line."""
    return [
        (item.name, item.amount.best if item.amount else None, item.amount and item.amount.unit)
        for item in items(line)
    ]


def drafted(lines: str, before: str = DOUGH) -> Draft:
    return draft(text_gathered(f"Mill bread\n\n{before}{lines}"))


def grams(made: Draft) -> dict[str, float | None]:
    """The weight in g of each line of all parts, by the baker's name for it."""
    return {
        line.name: round(1000 * line.mass[1], 1) if line.mass else None
        for part in made.preparations
        for line in part.lines
    }


def keys(made: Draft) -> set[str]:
    return {doubt.key for doubt in made.doubts if doubt.is_open}


# --- Several amounts ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "line", ["325 g water + 25 g", "325 g water plus 25 g", "325 g water (+ 25 g)"]
)
def test_what_is_added_behind_the_name_is_of_it_too(line: str) -> None:
    made = drafted(f"500 g bread flour\n{line}\n10 g salt\n5 g instant yeast\n", "")
    assert grams(made)["water"] == 350
    assert not made.doubts
    assert line in formula_text(made)  # where the 350 g are from


def test_what_is_added_in_another_kind_of_unit_is_no_sum() -> None:
    (item,) = items("325 g water + 2 tbsp")
    assert item.amount is not None
    assert item.amount.more == ()


@pytest.mark.parametrize("between", [", ", " and ", " + "])
def test_a_heading_on_a_line_is_that_of_all_of_the_line(between: str) -> None:
    made = items(f"For brushing: 1 egg yolk (18 g){between}1 tsp cream")
    assert [(item.name, item.use) for item in made] == [("egg yolk", "glaze"), ("cream", "glaze")]
    part = drafted(f"\nFilling: 120 g jam\nFor brushing: 1 egg yolk (18 g){between}1 tsp cream\n")
    parts = {one.kind: [line.name for line in one.lines] for one in part.preparations}
    assert parts["filling"] == ["jam"]
    assert parts["glaze"] == ["egg yolk", "cream"]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("500 g plain flour, of which 100 g rye", {"plain flour": 400, "rye flour": 100}),
        ("500 g plain flour (of which 100 g rye)", {"plain flour": 400, "rye flour": 100}),
        ("500 g plain flour (including 20% rye)", {"plain flour": 400, "rye flour": 100}),
        (
            "1 kg plain flour, of which 200 g rye and 100 g wholemeal",
            {"plain flour": 700, "rye flour": 200, "wholemeal flour": 100},
        ),
    ],
)
def test_what_is_some_of_an_amount_is_taken_off_it(line: str, expected: dict[str, float]) -> None:
    made = drafted(f"{line}\n330 g water\n10 g salt\n5 g instant yeast\n", "")
    found = grams(made)
    assert {name: found[name] for name in expected} == pytest.approx(expected)
    whole = items(line)[0].amount
    assert whole is not None
    assert " less " in whole.words


def test_more_than_all_of_an_amount_is_asked() -> None:
    (item,) = items("500 g plain flour, of which 600 g rye")
    assert item.apart is not None
    assert item.apart[1] == 600


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("250/100 g water/milk", [("water", 250, "g"), ("milk", 100, "g")]),
        ("10/5 g sugar/salt", [("sugar", 10, "g"), ("salt", 5, "g")]),
        ("250/100 g water", [("water", None, None)]),  # asked: neither number is taken
        ("1/2 cup water", [("water", 0.5, "cup")]),
        ("3/2 cups water", [("water", 1.5, "cup")]),
        ("1/20 tsp instant yeast", [("instant yeast", 0.05, "tsp")]),
    ],
)
def test_two_numbers_that_are_no_fraction_of_a_kitchen_are_two(
    line: str, expected: list[tuple[str, float | None, str | None]]
) -> None:
    assert read(line) == expected


def test_two_numbers_before_one_name_are_kept_and_asked() -> None:
    assert items("250/100 g water")[0].note == "250/100 g"
    made = drafted("250/100 g milk\n")
    assert "6:milk:amount" in {f"6:{key.partition(':')[2]}" for key in keys(made)}


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (
            "20 g each of sunflower, pumpkin and sesame seeds",
            ["sunflower seeds", "pumpkin seeds", "sesame seeds"],
        ),
        ("20 g each pumpkin and poppy seeds", ["pumpkin seeds", "poppy seeds"]),
        ("20 g each of walnuts and pumpkin seeds", ["walnuts", "pumpkin seeds"]),
        ("20 g each of butter and olive oil", ["butter", "olive oil"]),
        ("20 g each of cinnamon, cardamom, finely ground", ["cinnamon", "cardamom"]),
    ],
)
def test_a_noun_said_once_goes_with_each_name(line: str, expected: list[str]) -> None:
    assert read(line) == [(name, 20, "g") for name in expected]


@pytest.mark.parametrize(
    "line",
    [
        "100 g Rosinen (in 50 ml Rum eingelegt)",
        "100 g Rosinen, über Nacht in 50 ml Rum eingeweicht",
        "100 g raisins secs (trempés dans 50 ml de rum)",
        "100 g uvetta, ammollata in 50 ml di rum",
        "100 g raisins (soaked overnight in 50 ml rum)",
    ],
)
def test_what_something_is_soaked_in_is_kept(line: str) -> None:
    raisins, rum = items(line)
    assert (raisins.name, raisins.amount and raisins.amount.best) == ("raisins", 100)
    assert rum.name.casefold() == "rum"
    assert (rum.amount and rum.amount.best, rum.use) == (50, "soak")


# --- The same amount said again -------------------------------------------------------------------


@pytest.mark.parametrize(
    "line",
    [
        "500g/1lb 2oz bread flour",  # 510.3 g
        "25g/1oz caster sugar",  # 28.3 g, to 25 g
        "75g/3oz caster sugar",  # 85 g, to 75 g
        "100g/4oz caster sugar",  # 25 g for each ounce
        "225 g/8 oz caster sugar",  # 226.8 g
    ],
)
def test_ounces_rounded_as_british_books_do_are_no_misprint(line: str) -> None:
    assert not {key for key in keys(drafted(f"{line}\n")) if key.endswith(":same")}


@pytest.mark.parametrize(
    "line",
    [
        "250 g/8 oz caster sugar",  # 226.8 g
        "200g/8oz caster sugar",
        "30g/2oz caster sugar",  # 56.7 g
        "500g/1lb 8oz bread flour",  # 680.4 g
    ],
)
def test_ounces_that_are_not_the_grams_beside_them_are_asked(line: str) -> None:
    assert {key for key in keys(drafted(f"{line}\n")) if key.endswith(":same")}


# --- Words ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "table", "is_open"),
    [
        ("levure instantanée", "instant yeast", False),
        ("levure sèche instantanée", "instant yeast", False),
        ("levadura seca instantánea", "instant yeast", False),
        ("lievito di birra secco istantaneo", "instant yeast", False),
        ("easy-bake yeast", "instant yeast", False),
        ("fast-action yeast", "instant yeast", False),
        ("levadura fresca", "fresh yeast", False),
        ("levure sèche active", "active dry yeast", False),
        ("lievito secco", "active dry yeast", True),
        ("torrjäst", "active dry yeast", True),
        ("tørgær", "active dry yeast", True),
        ("tørrgjær", "active dry yeast", True),
        ("Trockenhefe", "active dry yeast", True),
    ],
)
def test_yeasts_of_other_languages_are_known(words: str, table: str, *, is_open: bool) -> None:
    made = drafted(f"500 g bread flour\n330 g water\n10 g salt\n5 g {words}\n", "")
    assert [line.table for line in made.preparations[0].lines][-1] == table
    assert any(key.endswith(":kind") for key in keys(made)) == is_open


def test_an_italian_packet_that_may_be_baking_powder_is_asked() -> None:
    made = drafted("500 g bread flour\n330 g water\n10 g salt\n5 g lievito istantaneo\n", "")
    (doubt,) = made.doubts
    names = [choice.key for choice in doubt.choices]
    assert names == ["instant yeast", "baking powder", "by weight only"]


@pytest.mark.parametrize(
    ("line", "hydration"),
    [
        ("15 g rye starter (100%)", 1.0),
        ("150 g levain (125 %)", 1.25),
        ("150 g Sauerteig (100 %)", 1.0),
        ("150 g starter (30%)", None),  # as likely its share of the flour
    ],
)
def test_a_percentage_in_a_cultures_brackets_is_its_water(
    line: str, hydration: float | None
) -> None:
    (item,) = items(line)
    assert hydration_said(item) == hydration


@pytest.mark.parametrize(
    "line", ["Masa madre: 150 g", "Sauerteig: 150 g", "levain: 150 g", "Sourdough starter: 150 g"]
)
def test_a_culture_with_its_amount_behind_a_colon_is_an_ingredient(line: str) -> None:
    made = drafted(f"{line}\n")
    (asked,) = (key for key in keys(made) if key.startswith("7:"))
    assert asked.endswith(":hydration")


def test_a_sour_that_is_a_part_of_the_bread_is_taken_from_it() -> None:
    made = draft(
        text_gathered(
            "Roggenbrot\n\nSauerteig\n100 g Roggenmehl\n100 g Wasser\n10 g Anstellgut\n\n"
            "Hauptteig\n210 g Sauerteig\n400 g Weizenmehl 550\n250 g Wasser\n10 g Salz\n"
        )
    )
    sour, dough = made.preparations
    assert tuple(dough.takes) == (sour.name,)
    assert [line.table for line in dough.lines] == ["plain flour", "water", "salt"]
