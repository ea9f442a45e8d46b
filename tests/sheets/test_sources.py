"""Published formulas side by side, against what a pencil makes of them.

Quantities are those of ``tests/reference/published_formulas``, where each file names its page:
brioche Nanterre (tonton-frometon.org), sponge brioche (Professional Baking, metric column),
challah with a short sponge (bakewithtex.com), French bread with poolish (bakemag.com 10807).
"""

from collections.abc import Callable

import pytest

from doughwright.errors import DocumentError
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.reworking.middle import Named, middle_document, middle_text
from doughwright.sheets.sources import Source, SourceRow, SourcesSheet, sources_sheet

Solve = Callable[[str], ResolvedFormula]

HEAD = "doughwright: formula/1\nname: A bread\npreparations:\n"
NANTERRE = f"""{HEAD}
  dough:
    kind: dough
    ingredients:
      {{T45 flour: 500 g, sugar: 50 g, fresh yeast: 20 g, salt: 10 g, egg: 300 g, butter: 250 g}}
process:
  - mix: dough
  - ferment: dough
    for: 30 min
  - proof: dough
    took: 90–120 min
"""
TEXTBOOK = f"""{HEAD}
  sponge:
    kind: preferment
    ingredients: {{milk: 60 g, fresh yeast: 15 g, bread flour: 60 g}}
  dough:
    kind: dough
    from: [sponge]
    ingredients: {{egg: 150 g, bread flour: 240 g, sugar: 15 g, salt: 6 g, butter: 210 g}}
process:
  - mix: dough
  - ferment: dough
    for: 20 min
  - bake: dough
    oven: 190 °C
"""
CHALLAH = f"""{HEAD}
  sponge:
    kind: preferment
    ingredients: {{water: 65 g, sugar: 5 g, bread flour: 64 g, active dry yeast: 14 g}}
  dough:
    kind: dough
    from: [sponge]
    ingredients:
      milk: 75 g
      egg: 150 g
      egg yolk: 20 g
      canola oil: 51 g
      bread flour: 460 g
      whole wheat flour: 37 g
      sugar: 75 g
      kosher salt: 15 g
process:
  - ferment: sponge
    for: 25 min
  - mix: dough
  - proof: dough
    for: 90 min
  - bake: dough
    oven: 166 °C
    took: 40–45 min
"""
BAGUETTE = f"""{HEAD}
  poolish:
    kind: preferment
    ingredients: {{bread flour: 3300 g, water: 3300 g, fresh yeast: 7 g}}
  dough:
    kind: dough
    from: [poolish]
    ingredients: {{bread flour: 6700 g, water: 3400 g, salt: 200 g, fresh yeast: 103 g}}
process:
  - mix: dough
  - ferment: dough
    for: 120 min
  - proof: dough
    for: 60 min
  - bake: dough
    oven: 238 °C
"""
PUBLISHED = {
    "Nanterre": NANTERRE,
    "textbook": TEXTBOOK,
    "challah": CHALLAH,
    "baguette": BAGUETTE,
}


@pytest.fixture
def four(solve: Solve) -> list[Source]:
    return [Source(name, solve(text)) for name, text in PUBLISHED.items()]


def row(sheet: SourcesSheet, about: str, name: str) -> SourceRow:
    table = next(table for table in sheet.tables if table.about == about)
    return next(row for row in table.rows if row.name == name)


def shown(found: SourceRow) -> list[float | None]:
    """Ratios in percent."""
    return [None if cell.value is None else round(100 * cell.value, 2) for cell in found.cells]


def test_ingredients_stand_on_all_flour_in_their_groups(four: list[Source]) -> None:
    sheet = sources_sheet(four)
    # flour: 500, 60 + 240 = 300, 64 + 460 + 37 = 561, 3300 + 6700 = 10 000 g
    eggs = row(sheet, "ingredients", "eggs")
    assert shown(eggs) == [60.0, 50.0, 30.3, 0.0]  # 300/500, 150/300, (150 + 20)/561
    assert shown(row(sheet, "ingredients", "egg")) == [60.0, 50.0, 26.74, 0.0]  # 150/561
    assert shown(row(sheet, "ingredients", "liquids")) == [0, 20.0, 24.96, 67.0]  # 60/300, 140/561
    assert shown(row(sheet, "ingredients", "whole milk")) == [0, 20.0, 13.37, 0]  # 75/561
    assert shown(row(sheet, "ingredients", "water")) == [0, 0, 11.59, 67.0]  # 65/561
    assert shown(row(sheet, "ingredients", "fats")) == [50.0, 70.0, 9.09, 0]  # 51/561
    assert shown(row(sheet, "ingredients", "sugar")) == [10.0, 5.0, 14.26, 0]  # 80/561
    # two middle ones of 0, 30.30, 50, 60
    assert eggs.middle.value == pytest.approx((170 / 561 + 0.5) / 2)
    assert (eggs.middle.low, eggs.middle.high) == (0.0, pytest.approx(0.6))


def test_figures_are_those_of_the_pages(four: list[Source]) -> None:
    sheet = sources_sheet(four)
    # dry yeast 14/561 = 2.50 %, as fresh over 0.40: 6.24 %; (15)/300; 110/10 000
    yeast = row(sheet, "figures", "yeast, as fresh")
    assert shown(yeast) == [4.0, 5.0, 6.24, 1.1]
    assert yeast.middle.value == pytest.approx(0.045)
    before = row(sheet, "figures", "prefermented flour")
    assert shown(before) == [0.0, 20.0, 11.41, 33.0]  # 64/561
    assert before.middle.value == pytest.approx((0.2 + 64 / 561) / 2)
    # all water by round constants (the files' own sums): 55.8, 69.7, 45.1, 67.8 %
    water = row(sheet, "figures", "hydration, all water")
    assert [c.value for c in water.cells] == pytest.approx([0.558, 0.697, 0.451, 0.678], abs=0.022)


def test_the_saltiest_stands_apart_and_no_other(four: list[Source]) -> None:
    sheet = sources_sheet(four)
    salt = row(sheet, "figures", "salt")
    assert shown(salt) == [2.0, 2.0, 2.67, 2.0]  # 15/561
    # three agree: the least median distance counts, 5 % of 2 %; 0.6745 × 0.67/0.1 = 4.5 > 3.5
    assert salt.apart == (2,)
    assert salt.middle.value == pytest.approx(0.02)


def test_what_most_have_not_is_the_middle_of_those_that_have_it(four: list[Source]) -> None:
    sheet = sources_sheet(four)
    oil = row(sheet, "ingredients", "canola oil")  # one of four
    assert oil.counted == (2,)
    assert oil.middle.value == pytest.approx(51 / 561)
    butter = row(sheet, "ingredients", "unsalted butter")  # two of four
    assert butter.counted == (0, 1)
    assert butter.middle.value == pytest.approx(0.6)  # 50 and 70; 25 % is in nobody's dough


def test_kinds_of_yeast_have_a_middle_that_somebody_uses_and_none_stands_apart(
    solve: Solve,
) -> None:
    dough = (
        "preparations: {{dough: {{kind: dough, ingredients: {{flour: 1 kg, {0}, salt: 20 g}}}}}}"
    )
    said = [
        "water: 650 g, fresh yeast: 30 g",
        "water: 640 g, fresh yeast: 30 g",
        "water: 650 g, instant yeast: 10 g",
        "milk: 700 g, instant yeast: 10 g",
        "water: 660 g, instant yeast: 10 g",
        "water: 650 g, instant yeast: 10 g",
    ]
    sources = [Source(str(i), solve(dough.format(each))) for i, each in enumerate(said)]
    sheet = sources_sheet(sources[:4])
    # 2 of 4 each: 3 % of fresh yeast; 1 % of instant yeast is 1/0.33 = 3.03 % as fresh
    assert row(sheet, "ingredients", "fresh yeast").middle.value == pytest.approx(0.03)
    assert row(sheet, "ingredients", "instant yeast").middle.value == pytest.approx(
        0.0303, rel=1e-3
    )
    whole = sources_sheet(sources)
    parts = [r for table in whole.tables for r in table.rows if r.part]
    assert {r.name for r in parts} >= {"water", "whole milk", "fresh yeast", "instant yeast"}
    assert not any(r.apart for r in parts)  # the milk dough has no water, and is not off for it


def test_a_group_stands_apart_where_its_parts_do_not(solve: Solve) -> None:
    dough = "preparations: {{dough: {{kind: dough, ingredients: {{flour: 1 kg, water: {0}}}}}}}"
    milk = "preparations: {dough: {kind: dough, ingredients: {flour: 1 kg, milk: 1.2 kg}}}"
    waters = [dough.format(each) for each in ("640 g", "650 g", "660 g", "650 g")]
    sheet = sources_sheet([Source(t, solve(t)) for t in (*waters, milk)])
    assert row(sheet, "ingredients", "liquids").apart == (4,)  # 120 % where 65 % is the middle


def test_times_and_ovens_are_of_those_that_say_them(four: list[Source]) -> None:
    sheet = sources_sheet(four)
    bulk = row(sheet, "times", "bulk fermentation")
    assert [c.value for c in bulk.cells] == [1800.0, 1200.0, None, 7200.0]
    assert bulk.counted == (0, 1, 3)
    assert bulk.middle.value == 1800.0
    proof = row(sheet, "times", "final proof")
    assert [c.value for c in proof.cells] == [6300.0, None, 5400.0, 3600.0]
    assert (proof.cells[0].low, proof.cells[0].high) == (5400.0, 7200.0)
    oven = row(sheet, "times", "oven, without fan")
    assert oven.middle.value == pytest.approx(273.15 + 190)  # of 166, 190, 238
    assert {c.kind for c in oven.cells} == {"assumed", "unknown"}  # no page says fan or not


def test_a_fan_is_twenty_degrees_and_a_gas_mark_its_own(solve: Solve) -> None:
    ovens = ("190 °C fan", "210 °C conventional", "gas mark 6")  # mark 6 is 400 °F, 200 °C
    texts = [BAGUETTE.replace("238 °C", oven) for oven in ovens]
    sheet = sources_sheet([Source(str(i), solve(text)) for i, text in enumerate(texts)])
    cells = row(sheet, "times", "oven, without fan").cells
    assert [c.value for c in cells] == pytest.approx([483.15, 483.15, 473.15], abs=6)
    assert cells[0].value == cells[1].value


def test_a_proof_in_the_fridge_is_a_time_in_the_cold(solve: Solve) -> None:
    cold = BAGUETTE.replace("- proof: dough\n", "- proof: dough\n    at: 5 °C\n")
    fridge = BAGUETTE.replace("- proof: dough\n", "- proof: dough\n    at: fridge\n")
    sheet = sources_sheet([Source("a", solve(cold)), Source("b", solve(fridge))])
    assert [c.value for c in row(sheet, "times", "in the cold").cells] == [3600.0, 3600.0]
    table = next(table for table in sheet.tables if table.about == "times")
    assert "final proof" not in {row.name for row in table.rows}


@pytest.mark.parametrize("count", [1, 13])
def test_one_is_nothing_to_compare_and_a_table_has_an_end(solve: Solve, count: int) -> None:
    with pytest.raises(DocumentError) as refused:
        sources_sheet([Source(str(i), solve(BAGUETTE)) for i in range(count)])
    assert [problem.code for problem in refused.value.problems] == ["how-many-sources"]


def test_own_ingredients_count_as_what_they_are_like(solve: Solve) -> None:
    own = NANTERRE.replace("egg:", "hen's fruit:") + (
        "ingredients:\n  hen's fruit: {like: egg, water: 75 %}\n"
    )
    sheet = sources_sheet([Source("own", solve(own)), Source("plain", solve(NANTERRE))])
    assert shown(row(sheet, "ingredients", "egg")) == [60.0, 60.0]


def test_what_goes_beside_the_dough_is_said_not_to_be_in_it(solve: Solve) -> None:
    filled = NANTERRE.replace(
        "process:", "  cream:\n    kind: filling\n    ingredients: {milk: 200 g}\nprocess:"
    )
    sheet = sources_sheet([Source("filled", solve(filled)), Source("plain", solve(NANTERRE))])
    assert [(n.code, n.values["names"]) for n in sheet.notices] == [
        ("sources-beside-dough", "cream")
    ]


# A formula from the middle


def amounts(sources: list[Source]) -> dict[str, str]:
    document = middle_document([Named(s.name, s.formula) for s in sources])
    return {n: str(line.amount) for n, line in document.preparations["dough"].ingredients.items()}


def test_the_middle_of_three_rich_breads(four: list[Source]) -> None:
    found = amounts(four[:3])
    milk = float(found.pop("whole milk").removesuffix(" %"))
    assert found == {
        "strong white flour": "100 %",  # in two of three; T45 and wholemeal in one each
        "egg": "50 %",  # eggs 60, 50, 30.3; the yolk is in one
        "unsalted butter": "50 %",  # fats 50, 70, 9.1; oil is in one
        "sugar": "10 %",  # 10, 5, 14.3
        "salt": "2 %",  # 2, 2, 2.67
        "fresh yeast": "5 %",  # as fresh 4, 5, 6.24
    }
    # Nanterre's hydration is the middle: its 60 % egg and 4 % yeast are 50 and 5 here, so milk
    # brings 10 % × 0.762 − 1 % × 0.69 = 6.9 % water, at 88.1 % water
    assert milk == pytest.approx((10 * 0.7615 - 0.69) / 0.8813, abs=0.05)


def test_milk_here_and_water_there_are_one_liquid(solve: Solve) -> None:
    milk = BAGUETTE.replace("water: 3", "milk: 3")
    found = amounts([Source("milk", solve(milk)), Source("water", solve(BAGUETTE))])
    poured = [float(found[name].removesuffix(" %")) for name in ("water", "whole milk")]
    assert sum(poured) == pytest.approx(67, abs=0.2)  # not 134
    assert poured[0] == pytest.approx(poured[1], abs=0.001)


def test_it_says_from_which_and_what_it_leaves_out(four: list[Source]) -> None:
    text = middle_text([Named(s.name, s.formula) for s in four])
    assert "From baguette, challah, Nanterre and textbook." in text
    assert "Left out: active dry yeast, canola oil, egg yolk" in text
    assert (
        "3 of 4 ferment part of it before, in the middle 20 % of the flour." in text
    )  # 11, 20, 33


def test_times_of_half_of_them_make_steps(four: list[Source]) -> None:
    process = middle_document([Named(s.name, s.formula) for s in four]).process
    said = [(s.verb, str(s.took or ""), str(s.oven or "")) for s in process]
    assert said == [
        ("mix", "", ""),
        ("ferment", "30 min", ""),  # 20, 30, 120
        ("shape", "", ""),
        ("proof", "1 h 30 min", ""),  # 60, 90, 105
        ("bake", "", "190 °C conventional"),  # 166, 190, 238; one of four says how long
    ]


LEVAIN = f"""{HEAD}
  dough:
    kind: dough
    ingredients:
      bread flour: 450 g
      water: 300 g
      salt: 10 g
      starter: {{amount: 100 g, hydration: 100 %}}
"""


def test_a_starter_is_its_flour_and_its_water(solve: Solve) -> None:
    wet = LEVAIN.replace("100 g, hydration: 100 %", "150 g, hydration: 200 %")
    sources = [Source("stiff", solve(LEVAIN)), Source("wet", solve(wet))]
    sheet = sources_sheet(sources)
    assert shown(row(sheet, "ingredients", "flour")) == [100.0, 100.0]
    assert shown(row(sheet, "ingredients", "flour in a starter")) == [10.0, 10.0]  # 50/500
    assert shown(row(sheet, "ingredients", "liquids")) == [70.0, 80.0]  # 350/500, 400/500
    starter = middle_document([Named(s.name, s.formula) for s in sources]).preparations["dough"]
    line = starter.ingredients["starter"]
    assert (str(line.amount), str(line.hydration)) == ("25 %", "150 %")  # 10 + 15 of 10 and 20


def test_unknown_ingredients_come_with_their_entry(solve: Solve) -> None:
    own = BAGUETTE.replace("salt: 200 g", "salt: 200 g, moon dust: 100 g") + (
        "ingredients:\n  moon dust: {kind: other}\n"
    )
    document = middle_document([Named(n, solve(own)) for n in ("a", "b")])
    assert str(document.preparations["dough"].ingredients["moon dust"].amount) == "1 %"
    assert document.ingredients["moon dust"].kind == "other"


def test_starch_that_counts_as_flour_still_does(solve: Solve) -> None:
    starch = BAGUETTE.replace("bread flour: 6700 g", "bread flour: 5700 g").replace(
        "salt: 200 g", "salt: 200 g, potato starch: {amount: 1000 g, flour: yes}"
    )
    document = middle_document([Named(n, solve(starch)) for n in ("a", "b")])
    line = document.preparations["dough"].ingredients["potato starch"]
    assert (str(line.amount), line.flour) == ("10 %", True)
