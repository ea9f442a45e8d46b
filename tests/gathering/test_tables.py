"""Tables: which column is a weight, a percentage or another batch; sums, headings, misprints."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.gathering.drafted import Draft
from doughwright.gathering.drafts import draft
from doughwright.gathering.gathered import Doubt, Item, Origin
from doughwright.gathering.pages.sections import text_gathered
from doughwright.gathering.tables.reading import Row, cells_of, table_of, table_read
from doughwright.gathering.writing import formula_text
from doughwright.resolving.formulas import Wish, resolved_formula, sized_wish


def lines(text: str) -> list[Origin]:
    return [Origin("a table", i, line) for i, line in enumerate(text.splitlines(), 1)]


def rows(text: str) -> list[Row]:
    return [Row(cells_of(line.text), line) for line in lines(text)]


def taken(item: Item) -> tuple[str, float | None, str]:
    amount = item.amount
    return item.name, amount.best if amount else None, amount.unit if amount else ""


def drafted(text: str, **answers: str) -> Draft:
    return draft(text_gathered(text, "a table"), None, answers)


def grams(made: Draft) -> dict[str, float]:
    return {
        line.name: round(1000 * line.mass[1], 3)
        for part in made.preparations
        for line in part.lines
        if line.mass
    }


def column_doubts(made: Draft) -> list[Doubt]:
    codes = {"gather-columns-differ", "gather-two-batches", "gather-row-differs"}
    return [doubt for doubt in made.doubts if doubt.notice.code in codes]


@pytest.mark.parametrize(
    "text",
    [
        "Ingredient\tg\t%\nflour\t500\t100\nwater\t325\t65",
        "| Ingredient | g | % |\n|---|--:|--:|\n| flour | 500 | 100 |\n| water | 325 | 65 |",
        "Ingredient    Weight (g)    Baker's %\nflour    500    100\nwater    325    65",
        "g\tIngredient\t%\n500\tflour\t100 %\n325\twater\t65 %",
    ],
)
def test_columns_are_told_by_their_heads_however_they_stand_apart(text: str) -> None:
    read = table_read(lines(text))
    assert read is not None
    (section,) = read.sections
    assert list(map(taken, section.items)) == [("flour", 500.0, "g"), ("water", 325.0, "g")]
    assert [amount.unit for _, amount in section.items[1].columns] == ["g", "%"]


def test_cells_may_carry_their_own_units() -> None:
    read = table_read(lines("500 g\tstrong flour\n1 lb 2 oz\twater\n2 tsp\tsalt\n850 g\tin all"))
    assert read is not None
    (section,) = read.sections
    assert [taken(item)[::2] for item in section.items] == [
        ("strong flour", "g"),
        ("water", "lb"),
        ("salt", "tsp"),
    ]
    assert [(name, amount.best) for name, amount, _ in section.sums] == [("column 1", 850.0)]


def test_a_row_with_a_name_alone_begins_a_part_or_lacks_its_amount() -> None:
    text = "what | g\nSponge |\nflour | 200\nmilk |\nFinal dough |\nflour | 300"
    read = table_read(lines(text))
    assert read is not None
    assert [(s.title, list(map(taken, s.items))) for s in read.sections] == [
        ("Sponge", [("flour", 200.0, "g"), ("milk", None, "")]),
        ("Final dough", [("flour", 300.0, "g")]),
    ]


def test_columns_may_be_the_parts_of_a_bread() -> None:
    text = (
        "Ingredient | Sponge g | Dough g | Total g\nbread flour | 600 | 400 | 1000\n"
        "milk | 640 |  | 640\nsalt | - | 20 | 20\nTotal | 1240 | 420 | 1660"
    )
    read = table_read(lines(text.replace("Sponge g", "Sponge (g)").replace("Dough g", "Dough (g)")))
    assert read is not None
    assert [[taken(item)[:2] for item in section.items] for section in read.sections] == [
        [("bread flour", 600.0), ("milk", 640.0)],
        [("bread flour", 400.0), ("salt", 20.0)],
    ]


@pytest.mark.parametrize(
    "text", ["one line", "a\tb\nc\td", "Bake\tuntil brown\nCool\ton a rack", "||\n||", "\t\n\t"]
)
def test_what_has_no_column_of_amounts_is_no_table(text: str) -> None:
    assert table_of(rows(text)) is None


@given(st.lists(st.text(alphabet="ab|\t 12½%-*g", max_size=20), max_size=8))
def test_no_table_breaks_the_reader_or_loses_a_row(text: list[str]) -> None:
    origins = lines("\n".join(text))
    read = table_read(origins)
    if read is None:
        return
    kept = {item.origin for section in read.sections for item in section.items}
    kept |= {origin for section in read.sections for *_, origin in section.sums}
    kept |= {section.origin for section in read.sections if section.origin}
    kept |= {*read.unread, *read.other}
    assert {origin for origin in origins if origin.text.strip(" |\t")} <= kept


def test_a_sum_that_says_nothing_is_kept_as_it_stands() -> None:
    read = table_read(lines("what | g\nflour | 500\nwater | 300\nTotal | -"))
    assert read is not None
    assert [origin.text for origin in read.unread] == ["Total | -"]


# --- Cases --------------------------------------------------------------------------------------

RYE = """\
Total | g | %
bread flour | 120 | 31
medium rye flour | 295 | 64
rye meal | 20 | 5
plain flour | 20 | -
water | 425 | 65
salt | 9 | 2
"""


def test_a_percent_column_that_is_not_of_these_weights_is_asked_row_by_row() -> None:
    # I04, a home bread wiki's pumpkin-seed rye: by 455 g of flour the column should say
    # 26.4, 64.8, 4.4, 4.4, 93.4 and 2.0; water at 65 would make the dough 28 points drier
    made = drafted(f"Pumpkin-seed rye\n\n{RYE}")
    assert grams(made)["water"] == 425
    document = read_document(formula_text(drafted(f"Rye\n\n{RYE}", **settled(made)))).document
    assert isinstance(document, FormulaDocument)
    solution = resolved_formula(document, sized_wish(document, Wish())).solution
    shares = [100 * mass / solution.total_flour for mass in solution.named("dough").masses]
    assert shares == pytest.approx([26.4, 64.8, 4.4, 4.4, 93.4, 2.0], abs=0.1)


def test_the_rows_that_are_misprinted_are_named_with_both_amounts() -> None:
    doubts = column_doubts(drafted(f"Pumpkin-seed rye\n\n{RYE}"))
    assert [doubt.notice.values["name"] for doubt in doubts] == ["bread flour", "water"]
    water = doubts[1]
    assert water.blocks
    this, other = (1000 * choice.mass[1] for choice in water.choices if choice.mass)
    assert this == pytest.approx(425)
    assert other == pytest.approx(0.65 * 455, abs=2)  # the other rows are rounded to whole percents


def settled(made: Draft) -> dict[str, str]:
    return {doubt.key: "this" for doubt in column_doubts(made)}


ROLLS = """\
What | % | Grams
Sponge | |
bread flour | 70 | 36.60
compressed yeast | 2 | 1.05
yeast food | 0.5 | 0.26
water | 42 | 21.99
Dough | |
bread flour | 30 | 15.71
sugar | 7 | 3.66
whole egg powder | 3 | 1.57
nonfat dry milk | 3 | 1.57
salt | 2 | 1.05
calcium propionate | 0.125 | 0.07
emulsifier GMS 90 | 0.25 | 0.13
honey | 10 | 5.24
butter | 5 | 2.62
water | 18.0 | 8.45
"""


def test_added_water_that_one_column_counts_otherwise_is_asked() -> None:
    # I06, bakemag.com 10923 and 10546: 18.0 % less the 1.86 % of the honey is 16.14 %, and
    # 16.14/191.015 = 8.45 %: the row that differs is water, and the other 14 bear each other out
    doubts = column_doubts(drafted(f"Honey rolls\n\n{ROLLS}"))
    (water,) = doubts
    assert (water.notice.values["name"], water.blocks) == ("water", True)
    this, other = (choice.mass for choice in water.choices)
    assert this is not None
    assert other is not None
    assert this[1] == pytest.approx(0.00845)
    assert 100 * this[1] / (0.03660 + 0.01571) == pytest.approx(16.14, abs=0.02)
    assert 100 * other[1] / (0.03660 + 0.01571) == pytest.approx(18.0, abs=0.05)


def test_settling_a_row_takes_the_other_amount_for_it_alone() -> None:
    made = drafted(f"Honey rolls\n\n{ROLLS}")
    (water,) = column_doubts(made)
    before = [line.mass for part in made.preparations for line in part.lines]
    settled = drafted(f"Honey rolls\n\n{ROLLS}", **{water.key: "other"})
    after = [line.mass for part in settled.preparations for line in part.lines]
    assert before[:-1] == after[:-1]
    last = after[-1]
    assert last is not None
    assert 1000 * last[1] == pytest.approx(9.42, abs=0.02)  # 18 % of 52.31 g


BRIOCHE = """\
Ingredient | US (oz) | Metric (g)
Sponge | |
milk | 2 | 60
fresh yeast | .5 | 15
bread flour | 2 | 60
Dough | |
eggs | 5 | 150
bread flour | 8 | 240
sugar | .5 | 15
salt | .2 | 6
butter | 7 | 210
"""


def test_two_batches_in_one_table_are_never_mixed() -> None:
    # I07, Professional Baking: 25.2 oz are 714 g, the metric column is 756 g (printed 760)
    made = drafted(f"Brioche\n\n{BRIOCHE}")
    (doubt,) = column_doubts(made)
    assert (doubt.notice.code, doubt.blocks) == ("gather-two-batches", False)
    sums = {choice.key: choice.mass and round(1000 * choice.mass[1]) for choice in doubt.choices}
    assert sums == {"Metric (g)": 756, "US (oz)": 714}
    total = sum(line.mass[1] for part in made.preparations for line in part.lines if line.mass)
    assert total == pytest.approx(0.756)


def test_the_other_batch_is_taken_whole() -> None:
    made = drafted(f"Brioche\n\n{BRIOCHE}", **{"column:US (oz)": "US (oz)"})
    total = sum(line.mass[1] for part in made.preparations for line in part.lines if line.mass)
    assert total == pytest.approx(25.2 * 0.028349523125)
    assert made.stray == ()


POOLISH = """\
Poolish | kg | lb
white flour | 3.00 | 6.61
water | 3.00 | 6.61
fresh yeast | * | 0.01
Total | 6.00 | 13.23
"""


def test_a_star_for_too_little_to_print_is_no_zero() -> None:
    # I11, scanned bakery formulas: 0.01 lb is 4.5 g; 13.23 lb for 6.00 kg is rounding
    made = drafted(f"French bread\n\n{POOLISH}")
    assert column_doubts(made) == []
    (yeast,) = [doubt for doubt in made.doubts if doubt.notice.code == "gather-no-amount"]
    assert yeast.blocks
    choice, unweighed = yeast.choices
    assert unweighed.key == "not weighed"
    assert choice.mass is not None
    assert choice.mass[1] == pytest.approx(0.0045, abs=0.00005)
    settled = drafted(f"French bread\n\n{POOLISH}", **{yeast.key: choice.key})
    assert grams(settled)["fresh yeast"] == pytest.approx(4.536)


@pytest.mark.parametrize(
    "cells", ["0\t0 %", "0 g\t0 %", "1e9 g\t0 %", "500 g\t0 %", "0.001 g\t9999 %"]
)
def test_a_column_of_nothing_is_compared_with_nothing(cells: str) -> None:
    rows = "\n".join(f"{name}\t{cells}" for name in ("strong white flour", "water", "salt"))
    found = draft(text_gathered(f"Loaf\n\nIngredient\tWeight\tPercent\n{rows}"))
    assert {line.name for part in found.preparations for line in part.lines} >= {"salt"}


# --- Sizes, and measures beside weights ----------------------------------------------------------

SIZES = """\
Pan loaf

Ingredient | {one} | {two}
bread flour | 500 g | 1 kg
water | 325 g | 650 g
salt | 10 g | 20 g
instant yeast | 5 g | 10 g
"""


@pytest.mark.parametrize(
    ("one", "two"),
    [
        ("1 loaf", "2 loaves"),
        ("1x", "2x"),
        ("Small loaf", "Large loaf"),
        ("Makes 8", "Makes 16"),
        ("Single batch", "Double batch"),
    ],
)
def test_columns_of_two_sizes_are_asked_and_either_answer_is_one_batch(one: str, two: str) -> None:
    text = SIZES.format(one=one, two=two)
    (doubt,) = drafted(text).doubts
    assert (doubt.notice.code, doubt.blocks) == ("gather-two-batches", False)
    sums = {choice.key: choice.mass and round(1000 * choice.mass[1]) for choice in doubt.choices}
    assert sums == {one: 840, two: 1680}
    small, large = (drafted(text, **{doubt.key: key}) for key in (one, two))
    assert list(grams(small).values()) == [500, 325, 10, 5]
    assert list(grams(large).values()) == [1000, 650, 20, 10]
    assert small.stray == large.stray == ()


VOLUMES = """\
White bread

Ingredient | US volume | Grams | %
bread flour | {flour} | 520 | 100
water | 1 1/2 cups | 355 | 68.3
salt | 2 tsp | 12 | 2.3
instant yeast | 2 tsp | 6 | 1.2
"""


def test_grams_go_before_cups_and_the_cups_check_them() -> None:
    # four US cups of bread flour of 120 to 150 g each hold 520 g
    made = drafted(VOLUMES.format(flour="4 cups"))
    assert list(grams(made).values()) == [520, 355, 12, 6]
    assert made.doubts == ()


def test_cups_that_cannot_hold_the_grams_beside_them_are_told() -> None:
    # three US cups hold 360 to 450 g; whose cups they are the head of the column says
    text = VOLUMES.format(flour="3 cups")
    (doubt,) = drafted(text).doubts
    assert (doubt.notice.code, doubt.blocks) == ("gather-said-twice", True)
    weight, cups = doubt.choices
    assert grams(drafted(text, **{doubt.key: weight.key}))["bread flour"] == 520
    assert grams(drafted(text, **{doubt.key: cups.key}))["bread flour"] == pytest.approx(411, abs=2)


def test_a_column_of_measures_may_stand_first_and_say_no_unit() -> None:
    text = (
        "Rolls\n\nVolume    Weight    Ingredient\n4 cups    500 g     bread flour\n"
        "1½ cups   350 g     water\n2 tsp     11 g      salt\n"
    )
    assert list(grams(drafted(text)).values()) == [500, 350, 11]


def test_a_cell_that_is_missing_among_blanks_is_told_by_where_the_others_stand() -> None:
    text = (
        "Rolls\n\nIngredient     g      oz     %\nbread flour    500    17.6   100\n"
        "water          325    11.5   65\nsalt                  0.35   2\n"
        "instant yeast  5             1\n"
    )
    made = drafted(text)
    salt = made.gathered.sections[0].items[2]
    assert [(key, amount.best) for key, amount in salt.columns] == [("oz", 0.35), ("%", 2.0)]
    yeast = made.gathered.sections[0].items[3]
    assert [(key, amount.best) for key, amount in yeast.columns] == [("g", 5.0), ("%", 1.0)]
