"""Files of values set apart by commas or semicolons are tables; prose with commas is none."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.gathering.drafted import Draft
from doughwright.gathering.drafts import draft
from doughwright.gathering.gathered import Origin
from doughwright.gathering.pages.sections import text_gathered
from doughwright.gathering.tables.separated import separated_rows, separated_run

# All files here are ours, as spreadsheets write them.

PLAIN = """\
ingredient,weight_g,percent
bread flour,1000,100
water,682.5,68.25
salt,20,2
instant yeast,5.5,0.55
"""

QUOTED = """\
ingredient,weight_g,percent
"bread flour, sifted","1000",100
"water, lukewarm",682.5,68.25
"salt",20,2
"instant yeast",5.5,0.55
"""

SEMICOLONS = """\
"Zutat";"Menge (g)";"%"
"bread flour";1000;100
water;682,5;68,25
salt;20;2
instant yeast;5,5;0,55
"""

SPREADSHEET = "\ufeffsep=;\n" + SEMICOLONS

WEIGHT_FIRST = "g;what\n1000;bread flour\n682,5;water\n20;salt\n5,5;instant yeast\n"

UNIT_APART = "name,qty,unit\nbread flour,1,kg\nwater,682.5,g\nsalt,20,g\ninstant yeast,5.5,g\n"

WITH_WORDS = "Pan loaf\nMakes 2\n\n" + PLAIN + "Total,1708,170.8\n\nMethod\nMix, rest; bake.\n"


def drafted(text: str, **answers: str) -> Draft:
    return draft(text_gathered(text, "a file"), None, answers)


def grams(made: Draft) -> dict[str, float]:
    lines = [line for part in made.preparations for line in part.lines]
    return {line.name: round(1000 * line.mass[1], 3) for line in lines if line.mass}


@pytest.mark.parametrize(
    "text", [PLAIN, QUOTED, SEMICOLONS, SPREADSHEET, WEIGHT_FIRST, UNIT_APART, WITH_WORDS]
)
def test_a_file_of_values_is_a_table(text: str) -> None:
    made = drafted(text)
    assert list(grams(made).values()) == [1000, 682.5, 20, 5.5]
    assert made.doubts == ()
    assert made.gathered.unread == ()


def test_words_around_the_values_stay_what_they_are() -> None:
    read = text_gathered(WITH_WORDS)
    assert (read.title, [made.pieces for made in read.made]) == ("Pan loaf", [(2, 2)])
    assert [line.text for line in read.method] == ["Mix, rest; bake."]
    assert [amount.words for _, amount, _ in read.sections[0].sums] == ["1708 g", "170.8 %"]


def test_a_slip_in_a_file_is_told_as_in_any_table() -> None:
    (doubt,) = drafted(PLAIN.replace("instant yeast,5.5", "instant yeast,55")).doubts
    assert doubt.notice.code == "gather-point"


def test_headings_in_a_file_begin_parts() -> None:
    text = (
        "ingredient,g\nLevain,\nbread flour,100\nwater,100\nstarter (100% hydration),20\n"
        "Final dough,\nbread flour,900\nwater,600\nsalt,20\nlevain,220\n"
    )
    made = drafted(text)
    assert [part.name for part in made.preparations] == ["levain", "final dough"]
    assert made.doubts == ()


def test_numbers_without_a_unit_are_asked_about_once() -> None:
    text = "Ingredient,Amount\nbread flour,500\nwater,325\nraisins,80\nsalt,10\ninstant yeast,5\n"
    (doubt,) = drafted(text).doubts
    assert (doubt.notice.code, doubt.blocks) == ("gather-unit", True)
    assert grams(drafted(text, unit="g"))["raisins"] == 80
    assert grams(drafted(text, unit="kg"))["bread flour"] == 500_000
    shares = [line.share for part in drafted(text, unit="%").preparations for line in part.lines]
    assert shares[:2] == [5.0, 3.25]


@pytest.mark.parametrize(
    "text",
    [
        "Flour, water, salt\n500 g flour, sifted, cold\n2 eggs, beaten, cold",
        "Bread, cake\n2 eggs, beaten\n100 g butter, soft",
        "Mix, then knead; rest\nCool, then cut; eat",
        "one line, alone",
        "",
    ],
)
def test_prose_with_commas_is_no_table(text: str) -> None:
    assert (
        separated_run([Origin("a text", i, line) for i, line in enumerate(text.splitlines())]) == 0
    )


@given(st.lists(st.text(alphabet='ab,;"\t 12.%g', max_size=20), max_size=8))
def test_no_line_is_lost_or_breaks_the_reader(text: list[str]) -> None:
    lines = [Origin("a text", i, line) for i, line in enumerate(text)]
    run = separated_run(lines)
    rows = separated_rows(lines[:run])
    assert (rows is None) == (run == 0)
    assert rows is None or len(rows) == run
