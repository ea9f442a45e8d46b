"""Lines of a document: whose ingredient, how much of it, and what could not be found."""

from collections.abc import Callable

import pytest

from doughwright.documents.formula import OwnIngredient
from doughwright.engine.formula import Line
from doughwright.engine.ingredients import Ingredient, ingredient_table
from doughwright.engine.overall import hydration, hydration_liquids_only
from doughwright.errors import Notice
from doughwright.render.messages import remedy, words
from doughwright.resolving.food_paths import SPOILING, spoiling
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.lines import OWN_SPOILS, own_ingredient

Solve = Callable[..., ResolvedFormula]
Problems = Callable[..., tuple[Notice, ...]]

DOUGH = """
place: PLACE
preparations:
  dough:
    kind: dough
    ingredients:
      flour: 500 g
      LINE
"""


def dough(written: str, *own: str, place: str = "LV") -> str:
    """A dough of flour and one more line, with the baker's own ingredients."""
    text = DOUGH.replace("LINE", written).replace("PLACE", place)
    text = text if place else text.replace("place: \n", "")
    return text + "".join(["ingredients:\n", *(f"  {entry}\n" for entry in own)] if own else [])


def second_line(formula: ResolvedFormula) -> Line:
    return formula.preparations[0].lines[1]


def own(name: str, base: str | None = None, **entry: str) -> Ingredient:
    found = ingredient_table()[base] if base else None
    return own_ingredient(name, OwnIngredient.model_validate(entry), found)


# --- which ingredient -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("water", "water"),
        ("Water", "water"),
        ("water (second)", "water"),
        ("milk (for the glaze)", "whole milk"),
        ("butter, unsalted", "unsalted butter"),
        ("eggs", "egg"),
        ("potato", "potato"),
        ("potato (boiled)", "boiled potato"),  # not the raw one
        ("cassava starch (sour)", "sour cassava starch"),
        ("orange peel (candied)", "candied orange"),
        ("egg (yolk)", "egg yolk"),
    ],
)
def test_a_baker_s_word_and_our_ingredient(solve: Solve, name: str, found: str) -> None:
    line = second_line(solve(dough(f'"{name}": 100 g')))
    assert (line.name, line.ingredient.name) == (name, found)


def test_an_unknown_word_stands_at_its_line_with_words_like_it(problems: Problems) -> None:
    (found,) = problems(dough("buttter: 20 g"))
    assert found.code == "unknown-ingredient"
    assert found.where == ("preparations", "dough", "ingredients", "buttter")
    assert found.values["read"] == "buttter"
    assert "butter" in str(found.values["like"]).split(", ")


def test_every_unknown_word_at_once(problems: Problems) -> None:
    text = dough("qwx: 1 g\n      zyp: 2 g\n      egg: 1 huge\n      walnuts: 5 ml")
    assert [p.code for p in problems(text)] == [
        "unknown-ingredient",
        "unknown-ingredient",
        "unknown-measure",
        "no-density",
    ]


def test_a_starter_says_how_wet_it_is(solve: Solve, problems: Problems) -> None:
    (found,) = problems(dough("levain: 100 g"))
    assert (found.code, found.where[-1]) == ("starter-needs-hydration", "levain")
    stiff = second_line(solve(dough("levain: {amount: 90 g, hydration: 50 %}"))).ingredient
    assert stiff.flour == pytest.approx(2 / 3)
    assert stiff.composition is not None
    # flour's own water (13.36 %, USDA SR28) is in it too
    assert stiff.composition.water == pytest.approx(2 / 3 * 0.1336 + 1 / 3 * 0.999, abs=1e-4)


@pytest.mark.parametrize("said", ["yes", "no"])
def test_a_starter_is_flour_by_its_hydration_alone(problems: Problems, said: str) -> None:
    (found,) = problems(dough(f"levain: {{amount: 50 g, hydration: 100 %, flour: {said}}}"))
    assert (found.code, found.where[-2:]) == ("flour-of-starter", ("levain", "flour"))


@pytest.mark.parametrize(
    ("name", "own", "allergens"),
    [
        ("rye sour", (), ("gluten:rye",)),
        ("levain (rye)", (), ("gluten:rye",)),
        ("Olga", ("Olga: {like: rye culture}",), ("gluten:rye",)),
        ("my rye starter", ("my rye starter: {like: starter}",), ("gluten:rye",)),
        ("levain", (), ("gluten:wheat",)),
    ],
)
def test_a_rye_starter_is_of_rye(
    solve: Solve, name: str, own: tuple[str, ...], allergens: tuple[str, ...]
) -> None:
    found = second_line(solve(dough(f"{name}: {{amount: 90 g, hydration: 50 %}}", *own))).ingredient
    assert found.allergens_eu == allergens
    assert found.composition is not None
    # USDA SR28: fibre 11.8 % in medium rye flour (NDB 20064), 2.4 % in bread flour (NDB 20083)
    assert (found.composition.fibre > 0.05) is (allergens == ("gluten:rye",))


def test_only_a_starter_says_how_wet_it_is(problems: Problems) -> None:
    (found,) = problems(dough("honey: {amount: 5 %, hydration: 20 %}"))
    assert (found.code, found.where[-2:]) == ("hydration-of-no-starter", ("honey", "hydration"))


@pytest.mark.parametrize(
    ("line", "flour"),
    [
        ("rolled oats: 50 g", 0.0),
        ("rolled oats: {amount: 50 g, flour: yes}", 1.0),
        ("rye flour: 50 g", 1.0),
        ("rye flour: {amount: 50 g, flour: no}", 0.0),
    ],
)
def test_the_line_has_the_last_word_on_what_is_flour(solve: Solve, line: str, flour: float) -> None:
    assert second_line(solve(dough(line))).ingredient.flour == flour


# --- how much -------------------------------------------------------------------------------------


# counts: egg EU large 60 g, US large 50 g (tests/engine/test_ingredients.py); densities USDA
@pytest.mark.parametrize(
    ("line", "place", "kilogram"),
    [
        ("water: 300 g", "LV", 0.3),
        ("egg: 2 large", "LV", 0.120),
        ("egg: 2 large", "US", 0.100),
        ("egg: 2 large", "GB", 0.120),
        ("egg: ½ large", "US", 0.025),
        ("fresh yeast: 1 cube", "DE", 0.042),
        ("fresh yeast: 1 cube", "SE", 0.050),
        ("instant yeast: 1 sachet", "LV", 0.007),
        ("sugar: 1 cup", "US", 0.200),
        ("salt: 1½ tsp", "LV", 0.009),
    ],
)
def test_counts_go_by_country(solve: Solve, line: str, place: str, kilogram: float) -> None:
    assert second_line(solve(dough(line, place=place))).fixed == pytest.approx(kilogram)


def test_volumes_go_by_density(solve: Solve) -> None:
    # a litre of milk weighs 1.03 kg, a litre of oil 0.92 kg
    assert second_line(solve(dough("milk: 1 l"))).fixed == pytest.approx(1.03, abs=0.01)
    assert second_line(solve(dough("olive oil: 100 ml"))).fixed == pytest.approx(0.092, abs=0.002)


def test_percent_and_parts_wait_for_the_whole(solve: Solve) -> None:
    found = second_line(solve(dough("water: 60–70 %")))
    assert (found.fixed, found.parts) == (0.0, 0.0)
    assert found.ratio == pytest.approx(0.65)
    assert found.spread == pytest.approx((60 / 65, 70 / 65))


def test_a_cup_where_cups_are_not_used(problems: Problems) -> None:
    (found,) = problems(dough("sugar: 1 cup"))
    assert found.code == "unknown-measure"
    assert found.values["read"] == "1 cup"
    assert "tsp" in str(found.values["allowed"]).split(", ")


def test_a_measure_that_differs_by_country(solve: Solve) -> None:
    without = solve(dough("egg: 2 large", place=""))
    (notice,) = [n for n in without.notices if n.code == "measure-without-country"]
    assert (notice.values["read"], notice.values["mass"]) == ("2 large", 0.060)
    assert second_line(without).fixed == pytest.approx(0.120)
    for line, place in (("egg: 2 large", "LV"), ("salt: 1 tsp", "")):
        found = solve(dough(line, place=place))
        assert "measure-without-country" not in {n.code for n in found.notices}


# --- the baker's own ingredients ------------------------------------------------------------------


def test_own_values_go_before_the_table_s(solve: Solve) -> None:
    text = dough("ricotta: 100 g", "Ricotta: {water: 80 %, fat: 8 %}")
    found = second_line(solve(text)).ingredient.composition
    assert found is not None
    assert (found.water, found.fat) == (0.80, 0.08)


def test_an_own_ingredient_like_another(solve: Solve) -> None:
    text = dough("curd from the market: 100 g", "curd from the market: {like: curd, water: 70 %}")
    found = second_line(solve(text)).ingredient
    assert (found.name, found.kind, found.perishable) == ("curd from the market", "cheese", True)
    assert found.composition is not None
    assert found.composition.water == pytest.approx(0.70)


def test_like_what_is_not_known(problems: Problems) -> None:
    text = dough("Curd: 100 g\n      curd (second): 5 g", "Curd: {like: crud}")
    (found,) = problems(text)
    assert (found.code, found.where) == ("unknown-ingredient", ("ingredients", "Curd", "like"))
    assert "curd" in str(found.values["like"]).split(", ")


def test_more_parts_than_the_whole(problems: Problems) -> None:
    (found,) = problems(dough("curd: 1 g", "curd: {water: 72 %, fat: 20 %, protein: 16 %}"))
    assert (found.code, found.where) == ("parts-exceed-whole", ("ingredients", "curd"))
    assert found.values["sum"] == pytest.approx(1.08)


@pytest.mark.parametrize(
    ("entry", "part", "most"),
    [
        ("{water: 72 %, fat: 12 %, saturates: 15 %}", "saturates", 0.12),
        ("{like: skimmed milk powder, saturates: 9 %}", "saturates", 0.0077),  # USDA, NDB 01091
        ("{water: 72 %, saturates: 8 %}", "saturates", 0.0),  # fills up with carbohydrate
        ("{water: 60 %, carbohydrate: 20 %, sugars: 30 %}", "sugars", 0.20),
        ("{water: 60 %, fat: 20 %, sugars: 30 %}", "sugars", 0.20),
        ("{like: lard, sugars: 3 %}", "sugars", 0.0),
    ],
)
def test_a_part_of_a_part_is_no_larger(
    problems: Problems, entry: str, part: str, most: float
) -> None:
    (found,) = problems(dough("paste: 100 g\n      paste (second): 5 g", f"paste: {entry}"))
    assert (found.code, found.where) == ("part-exceeds-whole", ("ingredients", "paste", part))
    assert found.values["most"] == pytest.approx(most, abs=1e-4)
    assert part in words(found)
    whole = {"saturates": "fat", "sugars": "carbohydrate"}[part]
    assert f"`{whole}`" in remedy(found)


@pytest.mark.parametrize(
    "entry",
    [
        "{water: 72 %, fat: 12 %, saturates: 12 %}",
        "{water: 72 %, fat: 12 %, saturates: 12.4 %}",  # a packet's rounding
        "{like: whole milk, sugars: 5 %}",  # USDA: 4.80 % carbohydrate, 5.05 % sugars
        "{water: 60 %, sugars: 40 %}",
        "{saturates: 5 %}",  # nothing else is known: nothing to compare with
    ],
)
def test_all_of_a_part_may_be_the_other(solve: Solve, entry: str) -> None:
    solve(dough("paste: 100 g", f"paste: {entry}"))


def test_every_part_that_is_too_large_at_once(problems: Problems) -> None:
    text = dough("paste: 1 g", "paste: {water: 80 %, fat: 5 %, saturates: 6 %, sugars: 30 %}")
    assert [p.where[-1] for p in problems(text)] == ["saturates", "sugars"]


def test_a_label_s_rounding_is_no_more_than_the_whole(solve: Solve) -> None:
    text = dough("curd: 1 g", "curd: {water: 72.3 %, fat: 9 %, protein: 16 %, carbohydrate: 3 %}")
    found = second_line(solve(text)).ingredient.composition
    assert found is not None
    assert min(found.ash, found.fibre, found.alcohol) >= 0.0


def test_an_own_ingredient_of_which_nothing_is_known(solve: Solve) -> None:
    found = solve(dough("ube paste: 100 g", "ube paste: {price: 9 EUR/kg}"))
    (notice,) = [n for n in found.notices if n.code == "composition-unknown"]
    assert notice.where == ("preparations", "dough", "ingredients", "ube paste")
    assert second_line(found).ingredient.composition is None
    known = solve(dough("ube paste: 100 g", "ube paste: {water: 60 %}"))
    assert "composition-unknown" not in {n.code for n in known.notices}


def test_what_is_not_stated_keeps_its_proportions() -> None:
    table = ingredient_table()["ricotta"].composition
    found = own("ricotta", "ricotta", water="80 %").composition
    assert table is not None
    assert found is not None
    assert found.water == 0.80
    assert found.fat / found.protein == pytest.approx(table.fat / table.protein)
    parts = (found.water, found.protein, found.fat, found.carbohydrate, found.fibre, found.ash)
    assert sum(parts) + found.alcohol == pytest.approx(1.0)


def test_stated_saturates_are_taken_and_others_keep_their_proportion() -> None:
    table = ingredient_table()["cream cheese"]
    assert table.composition is not None
    assert own("mine", "cream cheese", saturates="14 %").saturates == 0.14
    assert own("mine", "cream cheese").saturates == table.saturates
    half = own("mine", "cream cheese", fat=f"{50 * table.composition.fat:.6f} %")
    assert half.saturates == pytest.approx(table.saturates / 2)
    assert own("mine", water="50 %", fat="20 %").saturates == 0.0  # and its blank says so
    assert own("mine", water="50 %", fat="20 %").blanks == ("saturates", "sugars", "sodium")


@pytest.mark.parametrize("name", ["honey", "malt syrup", "strong white flour", "whole milk"])
def test_a_corrected_carbohydrate_keeps_its_share_of_sugars(name: str) -> None:
    table = ingredient_table()[name]
    assert table.composition is not None
    found = own(name, name, carbohydrate=f"{80 * table.composition.carbohydrate:.6f} %")
    for part in ("sugars", "fermentable_sugars", "added_sugars"):
        assert getattr(found, part) == pytest.approx(0.8 * getattr(table, part))


def test_what_is_used_of_what_is_bought_is_the_baker_s_word() -> None:
    assert own("leek", "leek", edible="67 %").edible == pytest.approx(0.67)
    assert own("leek", "leek").edible == ingredient_table()["leek"].edible
    assert own("wild garlic", water="90 %").edible == 1.0


def test_an_ingredient_from_nothing_fills_up_with_carbohydrate() -> None:
    found = own("ube paste", water="60 %", fat="5 %")
    assert found.composition is not None
    assert found.composition.carbohydrate == pytest.approx(0.35)
    assert (found.kind, found.flour, found.kept) == ("own", 0.0, "room")


@pytest.mark.parametrize(
    ("entry", "true", "liquids"),
    [
        ("{water: 90 %}", 0.27, 0.0),
        ("{water: 90 %, kind: drink}", 0.27, 0.0),
        ("{water: 90 %, kind: Liquid}", 0.27, 0.30),
        ("{water: 90 %, kind: other}", 0.27, 0.0),  # says no more than no kind
        ("{water: 14 %}", 0.0, 0.0),  # dry
        ("{water: 20 %, kind: seed}", 0.0, 0.0),
        ("{water: 20 %, kind: flour}", 0.0, 0.0),
        ("{water: 90 %, like: cocoa}", 0.0, 0.0),  # what it is like has the say
    ],
)
def test_the_water_of_an_own_ingredient(
    solve: Solve, entry: str, true: float, liquids: float
) -> None:
    found = solve(dough("rice drink: 150 g", f"rice drink: {entry}")).solution
    assert hydration(found) == pytest.approx(true)
    assert hydration_liquids_only(found) == pytest.approx(liquids)


def test_every_other_field_of_an_own_ingredient() -> None:
    found = own(
        "oat flakes",
        "rolled oats",
        kind="Flour",
        flour="yes",
        salt="1 %",
        sugars="2 %",
        water="10 %",
    )
    assert (found.kind, found.flour, found.salt) == ("flour", 1.0, 0.01)
    assert (found.sugars, found.fermentable_sugars) == (0.02, 0.02)
    entry = OwnIngredient.model_validate({"allergens": ["milk", "lupin"]})
    told = own_ingredient("loaf mix", entry, ingredient_table()["plain flour"])
    assert told.allergens_eu == told.allergens_us == ("milk", "lupin")


def test_an_own_ingredient_is_like_the_other_in_what_spoils_and_is_wasted() -> None:
    for word in ("egg", "leek", "sugar", "curd", "strong white flour"):
        table = ingredient_table()[word]
        found = own("mine", word, salt="0 %")
        assert (found.spoils, found.raw_hazard) == (table.spoils, table.raw_hazard)
        assert (found.edible, found.protein_factor) == (table.edible, table.protein_factor)
        assert (found.added_sugars, found.fdc) == (table.added_sugars, table.fdc)


# Regulation (EU) 1169/2011 Annex I: a label's protein is nitrogen times 6.25, whatever the food
def test_a_stated_protein_is_a_label_s() -> None:
    assert own("my flour", "strong white flour", protein="13 %").protein_factor == 6.25


def test_stated_sugars_are_added_as_far_as_those_of_what_it_is_like() -> None:
    assert own("my milk", "whole milk", sugars="4.7 %").added_sugars == 0
    assert own("my honey", "honey", sugars="80 %").added_sugars == pytest.approx(0.80)
    table = ingredient_table()["sweetened condensed milk"]
    part = own("my condensed milk", table.name, sugars="50 %").added_sugars / 0.50
    assert part == pytest.approx(table.added_sugars / table.sugars)
    assert own("fruit syrup", kind="sugar", sugars="60 %").added_sugars == pytest.approx(0.60)
    assert own("ube paste", sugars="30 %").added_sugars == 0


@pytest.mark.parametrize(
    ("stated", "spoils", "hazard"),
    [
        ({"kind": "Cheese"}, "cold", ""),
        ({"kind": "cheeses"}, "cold", ""),
        ({"kind": "dairy"}, "cold", ""),
        ({"kind": " Vegetables "}, "cold", ""),
        ({"kind": "meat"}, "cold", "meat"),
        ({"kind": "egg"}, "cold", "egg"),
        ({"kind": "flour"}, "no", "flour"),
        ({"flour": "yes"}, "no", "flour"),
        ({"kind": "seed"}, "no", ""),
    ],
)
def test_an_ingredient_from_nothing_spoils_as_its_kind(
    stated: dict[str, str], spoils: str, hazard: str
) -> None:
    found = own("from the market", water="50 %", **stated)
    assert (found.spoils, found.raw_hazard) == (spoils, hazard)
    assert found.perishable == (spoils == "cold")
    assert found.kept == ("fridge" if found.perishable else "room")


def test_what_spoils_of_an_own_ingredient_is_what_is_followed() -> None:
    assert OWN_SPOILS.keys() == SPOILING


@pytest.mark.parametrize("kind", sorted(SPOILING))
def test_an_own_ingredient_that_spoils_is_followed(solve: Solve, kind: str) -> None:
    text = dough("farm paste: 50 g", f"farm paste: {{kind: {kind}, water: 60 %}}")
    assert spoiling(solve(text).solution, "dough") == {kind}
    unknown = dough("farm paste: 50 g", f"farm paste: {{kind: {kind}}}")
    assert spoiling(solve(unknown).solution, "dough") == {kind}


@pytest.mark.parametrize(
    ("entry", "spoils"),
    [
        ("{kind: dairy, water: 4 %}", False),  # a powder
        ("{kind: vegetable, water: 14 %}", False),  # dried
        ("{kind: cheese, fat: 30 %}", True),  # its water is not said
        ("{kind: nut, water: 5 %}", False),
        ("{kind: fruit, water: 80 %}", False),
        ("{kind: chutney, water: 60 %}", False),  # a word that tells nothing
        ("{water: 80 %}", False),
        ("{like: potato, kind: vegetable}", False),  # as the table has it
        ("{like: whole milk powder, kind: dairy}", False),
        ("{like: ricotta}", True),
        ("{like: ricotta, kind: other}", True),
        ("{like: cashews, kind: cheese}", True),  # no longer a nut
    ],
)
def test_what_spoils_and_what_does_not(solve: Solve, entry: str, spoils: bool) -> None:  # noqa: FBT001
    found = second_line(solve(dough("farm paste: 50 g", f"farm paste: {entry}"))).ingredient
    assert found.perishable == spoils


def test_what_is_kept_in_the_fridge_may_be_said_to_stand_elsewhere(solve: Solve) -> None:
    text = dough("farm curd: {amount: 50 g, kept: room}", "farm curd: {kind: cheese, water: 60 %}")
    assert solve(text).document.preparations["dough"].ingredients["farm curd"].kept == "room"


def test_a_preparation_among_the_ingredients_is_said_to_be_one(problems: Problems) -> None:
    poolish = "  poolish: {kind: preferment, ingredients: {water: 50 g}}\n"
    text = dough("Poolish: 50 g").replace("preparations:\n", f"preparations:\n{poolish}")
    (found,) = problems(text)
    assert found.where == ("preparations", "dough", "ingredients", "Poolish")
    assert (found.code, found.values["name"]) == ("preparation-as-ingredient", "poolish")


@pytest.mark.parametrize("line", ["egg: 2 large", "egg: 2 large eggs", "egg: 2 Large"])
def test_a_count_may_name_what_it_counts(solve: Solve, line: str) -> None:
    assert second_line(solve(dough(line))).fixed == pytest.approx(0.120)


def test_a_count_without_a_size_is_refused_in_a_line(problems: Problems) -> None:
    (found,) = problems(dough("egg: 2 eggs"))
    assert (found.code, found.values["read"]) == ("unknown-measure", "2 eggs")
    assert "medium" in str(found.values["allowed"])
