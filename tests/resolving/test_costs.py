"""Prices of a formula in a kitchen: whose price counts, what has none, what the oven takes."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import Reading, read_document
from doughwright.engine.ingredients import counted_mass
from doughwright.errors import DocumentError, Notice
from doughwright.render.messages import remedy, words
from doughwright.resolving.bakes import BakeChange, BakeHere, bake_here, bake_setting
from doughwright.resolving.costs import (
    FormulaCost,
    bake_energy,
    formula_cost,
    hands_on_time,
    priced_formula,
)
from doughwright.resolving.formulas import ResolvedFormula, Wish, resolved_formula
from doughwright.resolving.kitchens import Kitchen, kitchen_from
from doughwright.resolving.rises import settled

Solve = Callable[..., ResolvedFormula]
Read = Callable[[str], Reading]

EXAMPLES = Path(__file__).parents[2] / "examples"
POCKETS = (EXAMPLES / "leek-and-curd-pockets.yaml").read_text("utf-8")
HARBOUR_LANE = (EXAMPLES / "harbour-lane.kitchen.yaml").read_text("utf-8")
KILOWATT_HOUR = 3.6e6


def kitchen(text: str = "") -> Kitchen:
    whole = (
        text
        if text.startswith(("#", "doughwright"))
        else f"doughwright: kitchen/1\nname: x\n{text}"
    )
    document = read_document(whole).document
    assert isinstance(document, KitchenDocument)
    return kitchen_from(document)


def dough(lines: str, own: str = "", place: str = "LV") -> str:
    entries = f"ingredients: {{{own}}}\n" if own else ""
    made = f"preparations: {{dough: {{kind: dough, ingredients: {{{lines}}}}}}}\n"
    return f"place: {place}\n{made}{entries}"


def costs(found: FormulaCost) -> dict[str, float | None]:
    return {line.name: line.cost for line in found.cost.lines}


def codes(notices: tuple[Notice, ...]) -> list[str]:
    return [n.code for n in notices]


def pockets(place: Kitchen, **wish: Any) -> tuple[ResolvedFormula, BakeHere, FormulaCost]:
    document = read_document(POCKETS).document
    assert isinstance(document, FormulaDocument)
    formula, own = resolved_formula(document, Wish(**wish)), resolved_formula(document)
    plan = settled(formula, own, place)
    setting = bake_setting(formula, own, place, plan)
    assert setting is not None
    here = bake_here(setting)
    return formula, here, formula_cost(formula, place, here, plan.steps)


# --- whose price ----------------------------------------------------------------------------------


def test_the_formula_s_own_price_goes_before_the_kitchen_s(solve: Solve) -> None:
    place = kitchen("prices: {flour: 1.00 EUR/kg, salt: 0.50 EUR/kg}")
    theirs = formula_cost(solve(dough("flour: 2 kg, salt: 40 g")), place)
    own = formula_cost(solve(dough("flour: 2 kg, salt: 40 g", "flour: {price: 3 EUR/kg}")), place)
    assert costs(theirs) == {"flour": pytest.approx(2.00), "salt": pytest.approx(0.02)}
    assert costs(own) == {"flour": pytest.approx(6.00), "salt": pytest.approx(0.02)}


@pytest.mark.parametrize("name", ["strong white flour", "Bread flour", "bread flour (sifted)"])
def test_all_words_for_an_ingredient_find_its_price(solve: Solve, name: str) -> None:
    by_name = kitchen("prices: {bread flour: 1.20 EUR/kg}")
    found = formula_cost(solve(dough(f"{name}: 500 g, water: 300 g")), by_name)
    assert costs(found) == {name: pytest.approx(0.60), "water": 0.0}


def test_what_is_only_like_another_has_a_price_of_its_own(solve: Solve) -> None:
    text = dough("my flour: 1 kg", "my flour: {like: strong white flour}")
    place = kitchen("prices: {strong white flour: 1.00 EUR/kg}")
    assert formula_cost(solve(text), place).cost.unknown == ("my flour",)
    place = kitchen("prices: {my flour: 2.20 EUR/kg}")
    assert costs(formula_cost(solve(text), place)) == {"my flour": pytest.approx(2.20)}


def test_eggs_by_number_cost_what_so_many_eggs_cost(solve: Solve) -> None:
    place = kitchen("prices: {egg: 3.20 EUR/10 large}")
    for country in ("LV", "US"):
        found = formula_cost(solve(dough("flour: 500 g, eggs: 4 large", place=country)), place)
        assert costs(found)["eggs"] == pytest.approx(1.28)  # 4 · 0.32, whatever they weigh
    by_weight = formula_cost(solve(dough("flour: 500 g, egg: 150 g")), place)
    large = counted_mass("egg", "large", "EU")
    assert large is not None
    assert costs(by_weight)["egg"] == pytest.approx(0.150 / large * 0.32)


def test_a_price_by_the_litre_needs_a_density(solve: Solve) -> None:
    place = kitchen("prices: {whole milk: 1.10 EUR/l, strong white flour: 1 EUR/kg}")
    found = formula_cost(solve(dough("flour: 500 g, whole milk: 250 ml")), place)
    assert costs(found)["whole milk"] == pytest.approx(0.275)  # a quarter of 1.10
    text = dough("flour: 500 g, curd paste: 50 g", "curd paste: {water: 60 %, price: 3 EUR/l}")
    priced = priced_formula(solve(text), place)
    assert codes(priced.notices) == ["price-needs-density", "price-unknown"]
    assert priced.notices[0].where == ("ingredients", "curd paste", "price")


def test_a_price_by_number_needs_a_known_measure(solve: Solve) -> None:
    found = priced_formula(
        solve(dough("flour: 500 g, egg: 1 large")), kitchen("prices: {egg: 3 EUR/basket}")
    )
    (notice, unknown) = [n for n in found.notices if n.code != "price-size-assumed"]
    assert (notice.code, notice.where) == ("price-needs-measure", ())
    assert "large" in words(notice)
    assert unknown.code == "price-unknown"


# --- a price that names no size -------------------------------------------------------------------


# edible: EU medium 51 g, US large 50 g (tests/engine/test_ingredients.py)
@pytest.mark.parametrize(
    ("price", "country", "size", "each"),
    [
        ("0.32 EUR/egg", "LV", "medium", 0.051),
        ("3.20 EUR/10 eggs", "LV", "medium", 0.051),
        ("3.20 EUR for 10 pieces", "LV", "medium", 0.051),
        ("0.32 EUR/each", "GB", "medium", 0.051),
        ("0.32 EUR/egg", "US", "large", 0.050),
    ],
)
def test_a_price_without_a_size_is_for_the_ordinary_one_there(
    solve: Solve, price: str, country: str, size: str, each: float
) -> None:
    formula = solve(dough("flour: 500 g, egg: 200 g", place=country))
    found = formula_cost(formula, kitchen(f"prices: {{egg: {price}, flour: 1 EUR/kg}}"))
    assert costs(found)["egg"] == pytest.approx(0.200 / each * 0.32)
    (notice,) = found.notices
    assert (notice.code, notice.weight, notice.where) == ("price-size-assumed", "care", ())
    assert (notice.values["size"], notice.values["mass"]) == (size, pytest.approx(each))
    assert price in words(notice)
    assert size in words(notice)
    example = str(notice.values["example"])
    assert example in remedy(notice)
    again = formula_cost(formula, kitchen(f"prices: {{egg: {example}, flour: 1 EUR/kg}}"))
    assert again.notices == ()  # what is said to be written ends it, at the same cost
    assert again.cost.total == pytest.approx(found.cost.total)


def test_the_size_a_formula_counts_in_is_the_one_that_is_bought(solve: Solve) -> None:
    place = kitchen("prices: {egg: 0.32 EUR/egg, flour: 1 EUR/kg}")
    found = formula_cost(solve(dough("flour: 500 g, eggs: 4 large")), place)
    assert costs(found)["eggs"] == pytest.approx(4 * 0.32)
    assert [n.values["size"] for n in found.notices] == ["large"]
    two = solve(dough("flour: 500 g, egg: 1 large, egg (second): 1 small"))
    assert [n.values["size"] for n in formula_cost(two, place).notices] == ["medium"]


def test_a_spoon_of_something_is_no_size_it_is_bought_in(solve: Solve) -> None:
    place = kitchen("prices: {butter: 1.20 USD/piece, flour: 1 USD/kg}")
    found = priced_formula(solve(dough("flour: 1 kg, butter: 2 tbsp", place="US")), place)
    assert codes(found.notices) == ["price-needs-measure", "price-unknown"]
    assert "stick" in words(found.notices[0])


def test_a_size_with_the_ingredient_s_name_is_said(solve: Solve) -> None:
    place = kitchen("prices: {egg: 3.20 EUR/10 large eggs, flour: 1 EUR/kg}")
    found = formula_cost(solve(dough("flour: 500 g, egg: 120 g")), place)
    assert found.notices == ()
    assert costs(found)["egg"] == pytest.approx(0.64)  # two of 60 g


def test_the_formula_s_own_price_without_a_size_is_said_at_its_line(solve: Solve) -> None:
    text = dough("flour: 500 g, egg: 102 g", "egg: {price: 0.32 EUR/egg}, flour: {price: 1 EUR/kg}")
    found = formula_cost(solve(text), kitchen())
    (notice,) = found.notices
    assert (notice.code, notice.where) == ("price-size-assumed", ("ingredients", "egg", "price"))
    assert costs(found)["egg"] == pytest.approx(0.64)  # two of 51 g


@pytest.mark.parametrize(
    ("name", "price"),
    [("garlic", "0.50 EUR/garlic"), ("lemon zest", "1 EUR/each"), ("farm paste", "2 EUR/piece")],
)
def test_where_no_size_is_known_it_is_said_what_to_write(
    solve: Solve, name: str, price: str
) -> None:
    text = dough(f"flour: 500 g, {name}: 10 g", "farm paste: {water: 50 %}")
    found = priced_formula(solve(text), kitchen(f"prices: {{{name}: {price}, flour: 1 EUR/kg}}"))
    assert codes(found.notices) == ["price-needs-measure", "price-unknown"]
    assert price in words(found.notices[0])
    assert "EUR/kg" in remedy(found.notices[0])
    assert [line.name for line in found.lines if line.price is None] == [name]


# --- whose country --------------------------------------------------------------------------------


# a large egg: 60 g in the EU and the UK, 50 g in the US (tests/engine/test_ingredients.py)
@pytest.mark.parametrize(
    ("rules", "place", "each"),
    [
        ("codes: EU\n", "US", 0.060),
        ("codes: US\n", "LV", 0.050),
        ("codes: UK\n", "US", 0.060),
        ("codes: US\n", "US", 0.050),
        ("", "US", 0.050),  # of this kitchen's country nothing is said
        ("", "LV", 0.060),
    ],
)
def test_a_kitchen_s_eggs_are_those_of_its_country(
    solve: Solve, rules: str, place: str, each: float
) -> None:
    here = kitchen(f"{rules}prices: {{egg: 3.20 EUR/10 large}}")
    found = formula_cost(solve(dough("flour: 500 g, egg: 300 g", place=place)), here)
    assert costs(found)["egg"] == pytest.approx(0.300 / each * 0.32)
    own = dough("flour: 500 g, egg: 300 g", "egg: {price: 3.20 EUR/10 large}", place=place)
    foreign = formula_cost(solve(own), here)  # paid where the formula is from
    assert costs(foreign)["egg"] == pytest.approx(0.32 * 0.3 / (0.05 if place == "US" else 0.06))


def test_a_kitchen_in_the_formula_s_country_buys_its_packs(solve: Solve) -> None:
    # a cube of yeast: 50 g in Sweden, 42 g elsewhere in the EU
    here = kitchen("codes: EU\nprices: {fresh yeast: 0.50 EUR/cube}")
    for place, cube in (("SE", 0.050), ("DE", 0.042)):
        found = formula_cost(solve(dough("flour: 1 kg, fresh yeast: 21 g", place=place)), here)
        assert costs(found)["fresh yeast"] == pytest.approx(0.021 / cube * 0.50)
    found = formula_cost(solve(dough("flour: 1 kg, fresh yeast: 21 g", place="US")), here)
    assert costs(found)["fresh yeast"] == pytest.approx(0.021 / 0.042 * 0.50)


def test_a_size_of_another_country_is_not_the_one_that_is_bought(solve: Solve) -> None:
    here = kitchen("codes: EU\nprices: {egg: 0.32 EUR/egg}")
    found = formula_cost(solve(dough("flour: 500 g, egg: 4 large", place="US")), here)
    assert [n.values.get("size") for n in found.notices][:1] == ["medium"]


# a gallon: 3.785 l in the US (NIST Handbook 44), 4.546 l in the UK; milk: 1.03 kg/l
@pytest.mark.parametrize(
    ("rules", "pack", "litres", "told"),
    [
        ("US", "gallon", 3.785411784, []),
        ("US", "quart", 0.946352946, []),
        ("US", "2 pints", 2 * 0.473176473, []),
        ("US", "half gallon", 1.892705892, []),
        ("UK", "gallon", 4.54609, []),
        ("UK", "4 pints", 2.273045, []),
        ("EU", "gallon", 3.785411784, ["price-gallon-assumed"]),
    ],
)
def test_gallons_quarts_and_pints_are_volumes(
    solve: Solve, rules: str, pack: str, litres: float, told: list[str]
) -> None:
    formula = solve(dough("flour: 500 g, whole milk: 1 l", place="LV"))
    here = kitchen(f"codes: {rules}\nprices: {{whole milk: 4 EUR/{pack}, flour: 1 EUR/kg}}")
    found = formula_cost(formula, here)
    assert costs(found)["whole milk"] == pytest.approx(4 / litres)
    assert codes(found.notices) == told
    assert all("3.79 l" in words(notice) for notice in found.notices)


@pytest.mark.parametrize("rules", ["US", "EU"])
def test_a_stick_of_butter_is_the_american_one(solve: Solve, rules: str) -> None:
    # USDA SR28, NDB 01145: 113 g
    here = kitchen(f"codes: {rules}\nprices: {{butter: 4.52 EUR/4 sticks, flour: 1 EUR/kg}}")
    found = formula_cost(solve(dough("flour: 500 g, butter: 226 g")), here)
    assert costs(found)["butter"] == pytest.approx(2.26)
    assert found.notices == ()


# --- what is thrown away --------------------------------------------------------------------------


@pytest.mark.parametrize("price_at", ["formula", "kitchen"])
@pytest.mark.parametrize("name", ["leek", "leeks", "leek (sliced)"])
def test_what_is_thrown_away_is_paid_wherever_the_price_stands(
    solve: Solve, price_at: str, name: str
) -> None:
    here = price_at == "formula"
    own = "leek: {edible: 67 %, price: 2.90 EUR/kg}" if here else "leek: {edible: 67 %}"
    place = kitchen(
        "prices: {flour: 1 EUR/kg}" if here else "prices: {flour: 1 EUR/kg, leek: 2.90 EUR/kg}"
    )
    found = formula_cost(solve(dough(f"flour: 500 g, {name}: 134 g", own)), place)
    assert costs(found)[name] == pytest.approx(0.58)  # 200 g are bought at 2.90 a kilogram
    (notice,) = found.notices
    assert (notice.code, notice.weight) == ("price-of-what-is-bought", "note")
    assert notice.where == (("ingredients", "leek", "price") if here else ())
    assert "67.0 %" in words(notice)
    assert "4.33 EUR" in words(notice)


def test_a_price_by_the_litre_is_for_what_is_bought_too(solve: Solve) -> None:
    place = kitchen("prices: {whole milk: 1.10 EUR/l, flour: 1 EUR/kg}")
    text = dough("flour: 500 g, whole milk: 250 ml", "whole milk: {edible: 50 %}")
    assert costs(formula_cost(solve(text), place))["whole milk"] == pytest.approx(0.55)


def test_a_piece_is_weighed_without_what_is_thrown_away_already(solve: Solve) -> None:
    place = kitchen("prices: {egg: 3.20 EUR/10 large, flour: 1 EUR/kg}")
    plain = formula_cost(solve(dough("flour: 500 g, egg: 4 large")), place)
    found = formula_cost(solve(dough("flour: 500 g, egg: 4 large", "egg: {edible: 88 %}")), place)
    assert costs(found) == pytest.approx(costs(plain))
    assert codes(found.notices) == ["edible-not-counted"]
    assert "egg" in words(found.notices[0])


def test_all_of_it_costs_what_it_cost(solve: Solve) -> None:
    place = kitchen("prices: {leek: 2.90 EUR/kg, flour: 1 EUR/kg}")
    whole = formula_cost(solve(dough("flour: 500 g, leek: 100 g", "leek: {edible: 100 %}")), place)
    assert (costs(whole)["leek"], whole.notices) == (pytest.approx(0.29), ())


# USDA's refuse, of leek from memory: what is left of a leek, of an egg without its shell
@pytest.mark.parametrize(
    ("name", "share"), [("leek", 0.44), ("egg", 0.88), ("whole milk", 1.0), ("ricotta", 1.0)]
)
def test_of_what_is_bought_by_weight_the_usual_share_is_eaten(
    solve: Solve, name: str, share: float
) -> None:
    place = kitchen(f"prices: {{flour: 1 EUR/kg, {name}: 2.90 EUR/kg}}")
    found = formula_cost(solve(dough(f"flour: 500 g, {name}: 100 g")), place)
    assert costs(found) == pytest.approx({"flour": 0.50, name: 0.29 / share})
    assert codes(found.notices) == (["price-of-usual-share"] if share < 1.0 else [])
    if found.notices:
        assert f"{100 * share:.1f} %" in words(found.notices[0])
        assert "edible: 100 %" in remedy(found.notices[0])


@pytest.mark.parametrize(
    ("name", "price", "cost"),
    [
        ("egg", "egg: 3.00 EUR/10 large", 0.50),  # 60 g each, weighed without the shell
        ("canned pumpkin", "pumpkin: 3 EUR/kg", 0.30),
        ("pumpkin", "pumpkin purée: 3 EUR/kg", 0.30),
        ("liquid egg", "liquid egg: 3 EUR/kg", 0.30),
    ],
)
def test_the_usual_share_is_not_for_what_is_bought_without_waste(
    solve: Solve, name: str, price: str, cost: float
) -> None:
    place = kitchen(f"prices: {{flour: 1 EUR/kg, {price}}}")
    text = dough(f"flour: 500 g, {name}: 100 g", "liquid egg: {like: egg}")
    found = formula_cost(solve(text), place)
    assert (costs(found)[name], found.notices) == (pytest.approx(cost), ())


def test_a_share_without_a_price_prices_nothing(solve: Solve) -> None:
    found = formula_cost(
        solve(dough("flour: 500 g, leek: 100 g", "leek: {edible: 67 %}")),
        kitchen("prices: {flour: 1 EUR/kg}"),
    )
    assert found.cost.unknown == ("leek",)
    assert codes(found.notices) == ["price-unknown"]


# --- starters, and what has no price --------------------------------------------------------------


def test_a_starter_costs_what_its_flour_and_water_do(solve: Solve) -> None:
    white = "prices: {bread flour: 1.20 EUR/kg}"
    lines = "flour: 500 g, levain: {amount: 200 g, hydration: 100 %}"
    found = formula_cost(solve(dough(lines)), kitchen(white))
    assert costs(found)["levain"] == pytest.approx(0.12)  # 100 g of flour
    rye = dough(lines.replace("levain", "rye levain"), "rye levain: {like: levain}")
    assert "rye levain" in formula_cost(solve(rye), kitchen(white)).cost.unknown
    found = formula_cost(solve(rye), kitchen("prices: {medium rye flour: 1.60 EUR/kg}"))
    assert costs(found)["rye levain"] == pytest.approx(0.16)


def test_a_starter_with_a_price_of_its_own_costs_that(solve: Solve) -> None:
    lines = "flour: 500 g, levain: {amount: 200 g, hydration: 100 %}"
    found = formula_cost(solve(dough(lines, "levain: {price: 5 EUR/kg}")), kitchen())
    assert costs(found)["levain"] == pytest.approx(1.00)
    found = formula_cost(solve(dough(lines)), kitchen("prices: {starter: 4 EUR/kg}"))
    assert costs(found)["levain"] == pytest.approx(0.80)


def test_what_has_no_price_is_named_with_its_share(solve: Solve) -> None:
    found = formula_cost(
        solve(dough("flour: 500 g, water: 300 g, salt: 10 g, sugar: 190 g")),
        kitchen("prices: {flour: 1 EUR/kg}"),
    )
    assert found.cost.unknown == ("salt", "sugar")
    (notice,) = found.notices
    assert notice.values["share"] == pytest.approx(0.20)  # 200 g of 1 kg
    assert "salt, sugar" in words(notice)


def test_nothing_priced_is_no_cost_and_the_kitchen_s_currency(solve: Solve) -> None:
    found = formula_cost(solve(dough("flour: 500 g")), kitchen("currency: GBP")).cost
    assert (found.total, found.currency, found.unknown_share) == (0.0, "GBP", 1.0)


def test_a_misspelt_price_is_told(solve: Solve) -> None:
    text = dough("flour: 500 g, ube paste: 10 g", "ube paste: {water: 60 %}")
    place = kitchen("prices: {stong white flour: 1 EUR/kg, ube paste: 9 EUR/kg, egg: 1 EUR/kg}")
    (notice,) = [n for n in priced_formula(solve(text), place).notices if n.code != "price-unknown"]
    assert notice.code == "price-of-unknown-ingredient"
    assert notice.values == {"read": "stong white flour", "like": "strong white flour"}


# --- refusals -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "code", "where"),
    [
        ("prices: {egg: 1 EUR/kg, eggs: 2 EUR/kg}", "priced-twice", ("prices", "eggs")),
        ("prices: {egg: 1 EUR/kg, salt: 2 GBP/kg}", "currencies-mixed", ("prices", "salt")),
        ("currency: EUR\nprices: {salt: 2 GBP/kg}", "currencies-mixed", ("prices", "salt")),
        ("prices: {egg: 1 EUR/kg}\nenergy: 0.3 USD/kWh", "currencies-mixed", ("energy",)),
        ("energy: 0.3 EUR/kWh\nlabour: $15/h", "currencies-mixed", ("labour",)),
    ],
)
def test_a_kitchen_whose_prices_do_not_go_together(
    said: str, code: str, where: tuple[str, ...]
) -> None:
    with pytest.raises(DocumentError) as caught:
        kitchen(said)
    assert [(p.code, p.where) for p in caught.value.problems] == [(code, where)]


def test_formula_and_kitchen_in_two_currencies_are_refused_at_the_formula_s_line(
    solve: Solve,
) -> None:
    text = dough("flour: 500 g, salt: 9 g", "flour: {price: 1 GBP/kg}")
    with pytest.raises(DocumentError) as caught:
        formula_cost(solve(text), kitchen("prices: {salt: 1 EUR/kg}"))
    (found,) = caught.value.problems
    assert (found.code, found.where) == ("currencies-mixed", ("ingredients", "flour", "price"))
    assert "GBP" in words(found)


def test_a_price_that_does_not_count_mixes_nothing(solve: Solve) -> None:
    text = dough("flour: 500 g", "flour: {price: 1 GBP/kg}")
    found = formula_cost(solve(text), kitchen("prices: {flour: 1 EUR/kg, salt: 1 EUR/kg}"))
    assert (found.cost.currency, found.cost.total) == ("GBP", pytest.approx(0.50))


# --- the example ----------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def harbour_lane() -> Kitchen:
    return kitchen(HARBOUR_LANE)


def test_every_line_of_the_pockets_has_its_price(harbour_lane: Kitchen) -> None:
    formula, here, found = pockets(harbour_lane)
    assert found.cost.unknown == ()
    assert codes(found.notices) == ["price-of-what-is-bought"]  # the example's leek
    assert found.cost.labour is None
    leek = next(line for line in found.cost.lines if line.name == "leek")
    assert leek.cost == pytest.approx(leek.mass * 2.90 / 0.67)
    ricotta = [line for line in found.cost.lines if line.name == "ricotta"]
    filling = formula.solution.named("filling")
    assert ricotta[0].cost == pytest.approx(filling.masses[1] * 6.40)  # the formula's own price
    assert found.cost.energy is not None
    assert found.energy is not None
    assert found.cost.energy == pytest.approx(found.energy / KILOWATT_HOUR * 0.30)
    assert found.cost.total == pytest.approx(found.cost.ingredients + found.cost.energy)
    assert here.seen is not None


def test_twice_the_pockets_cost_twice_in_ingredients(harbour_lane: Kitchen) -> None:
    one, two = (pockets(harbour_lane, pieces=n)[2] for n in (8, 16))
    assert two.cost.ingredients == pytest.approx(2.0 * one.cost.ingredients)


def test_twice_the_pockets_on_two_trays_take_less_than_twice_the_energy(
    harbour_lane: Kitchen,
) -> None:
    one, two = (pockets(harbour_lane, pieces=n)[2].energy for n in (8, 16))
    assert one is not None
    assert two is not None
    assert one < two < 2.0 * one


def test_energy_is_the_heat_of_bread_and_oven_and_not_the_plate_s(harbour_lane: Kitchen) -> None:
    _, here, found = pockets(harbour_lane)
    assert here.seen is not None
    assert found.energy is not None
    bread = here.seen.heat * here.pieces
    plate = 2400.0 * (here.seen.time + 900.0)  # its power from switching on to the end
    assert bread < found.energy < plate


def test_cold_ovens_spare_the_preheating(harbour_lane: Kitchen) -> None:
    _, here, _ = pockets(harbour_lane)
    cold = bake_here(here.setting, BakeChange(cold=True))
    warm_energy, cold_energy = bake_energy(here), bake_energy(cold)
    assert warm_energy is not None
    assert cold_energy is not None
    assert cold_energy.preheating == 0.0
    assert cold_energy.total < warm_energy.total


def test_loads_one_after_another_lose_heat_as_often(harbour_lane: Kitchen) -> None:
    _, here, _ = pockets(harbour_lane)
    assert here.seen is not None
    again = replace(here, course=replace(here.course, load=replace(here.course.load, loads=2)))
    one, two = bake_energy(here), bake_energy(again)
    assert one is not None
    assert two is not None
    lost = 4.5 * (here.course.oven.first - here.kitchen.room) * here.seen.time  # W/K · K · s
    assert two.total - one.total == pytest.approx(lost)


def test_a_weak_oven_heats_all_the_time(harbour_lane: Kitchen) -> None:
    _, here, _ = pockets(harbour_lane)
    assert here.seen is not None
    weak = replace(
        here, kitchen=replace(here.kitchen, oven=replace(here.kitchen.oven, power=600.0))
    )
    found = bake_energy(weak)
    assert found is not None
    assert found.total == pytest.approx(600.0 * (900.0 + here.seen.time))  # heats in 15 min


def test_of_a_gas_oven_the_flue_is_not_counted_and_that_is_said(harbour_lane: Kitchen) -> None:
    _, here, _ = pockets(harbour_lane)
    gas = replace(here, course=replace(here.course, oven=replace(here.course.oven, kind="gas")))
    found = bake_energy(gas)
    assert found is not None
    assert codes(found.notices) == ["energy-without-flue"]


def test_a_bake_that_is_never_done_has_no_energy(harbour_lane: Kitchen) -> None:
    _, here, _ = pockets(harbour_lane)
    assert bake_energy(replace(here, seen=None)) is None


def test_hands_are_paid_and_waiting_is_not(harbour_lane: Kitchen) -> None:
    document = read_document(POCKETS).document
    assert isinstance(document, FormulaDocument)
    formula = resolved_formula(document)
    steps = settled(formula, formula, harbour_lane).steps
    place = kitchen(HARBOUR_LANE + "labour: 15 EUR/h\n")
    found = formula_cost(formula, place, steps=steps).cost
    assert found.energy is None
    assert found.labour == pytest.approx(hands_on_time(steps) / 3600 * 15)
    idle = [t for t in steps if not t.hands_on]
    assert formula_cost(formula, place, steps=idle).cost.labour is None
