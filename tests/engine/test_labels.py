"""What labels print: rounding by the size of a value, tables, colours, order, quantities."""

import re
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest
import round_nutrition
from hypothesis import given
from hypothesis import strategies as st

from doughwright.engine.ingredient_list import compounds, listed_ingredients, named_quantities
from doughwright.engine.ingredients import ingredient_table, starter_of
from doughwright.engine.label_rounding import SI, printed, rounding_rules
from doughwright.engine.labels import (
    HUNDRED_GRAMS,
    NOT_KNOWN,
    eu_label,
    traffic_lights,
    us_label,
)
from doughwright.engine.nutrition import NOTHING, Nutrients, Weighed, as_sold

TABLE = ingredient_table()
GRAM, MILLIGRAM, KILOCALORIE = 1e-3, 1e-6, 4184.0

# guide to the NLEA, attachment 7, as another hand has put it; only where it was found right
BY_ANOTHER_HAND: dict[str, tuple[Callable[[float], str], float]] = {
    "calories": (round_nutrition.calories, KILOCALORIE),
    "fat": (round_nutrition.total_fat, GRAM),
    "saturates": (round_nutrition.sat_fat, GRAM),
    "trans fat": (round_nutrition.trans_fat, GRAM),
    "cholesterol": (round_nutrition.cholesterol, MILLIGRAM),
    "sodium": (round_nutrition.sodium, MILLIGRAM),
    "carbohydrate": (round_nutrition.total_carb, GRAM),
    "fibre": (round_nutrition.dietary_fiber, GRAM),
    "sugars": (round_nutrition.total_sugars, GRAM),
    "added sugars": (round_nutrition.added_sugars, GRAM),
    "protein": (round_nutrition.protein, GRAM),
}


def weighed(**grams: float) -> Weighed:
    return [(TABLE[name.replace("_", " ")], mass / 1000) for name, mass in grams.items()]


def buns() -> Nutrients:
    """Our own worked example from the USDA rows: cheese buns, 1217 g raw, 11 % lost."""
    dough = weighed(
        strong_white_flour=500,
        whole_milk=250,
        egg=50,
        unsalted_butter=50,
        sugar=30,
        salt=10,
        instant_yeast=7,
        ricotta=220,
        hard_cheese=80,
        egg_yolk=20,
    )
    return as_sold(dough, 0.11).nutrients


@pytest.mark.parametrize("nutrient", BY_ANOTHER_HAND)
def test_us_rounding_agrees_with_another_hand(nutrient: str) -> None:
    theirs, unit = BY_ANOTHER_HAND[nutrient]
    grid = [*(step / 4 for step in range(2400)), 0.49, 0.99, 1.49, 4.74, 4.99, 50.1, 139.9, 140.1]
    differ = {
        value: (printed("US", nutrient, value * unit), theirs(value))
        for value in grid
        if printed("US", nutrient, value * unit).replace(" ", "") != theirs(value).replace(" ", "")
    }
    assert differ == {}


# Commission guidance of December 2012, section 6, as quoted by a consultancy's page
@pytest.mark.parametrize(
    ("nutrient", "grams", "text"),
    [
        ("fat", 0, "0 g"),
        ("fat", 0.5, "<0.5 g"),
        ("fat", 0.51, "0.5 g"),
        ("fat", 2.45, "2.5 g"),
        ("fat", 2.0, "2.0 g"),
        ("fat", 9.94, "9.9 g"),
        ("fat", 9.96, "10 g"),
        ("protein", 10.5, "11 g"),
        ("carbohydrate", 37.72, "38 g"),
        ("saturates", 0.1, "<0.1 g"),
        ("saturates", 0.14, "0.1 g"),
        ("saturates", 12.5, "13 g"),
        ("salt", 0, "0 g"),
        ("salt", 0.0125, "<0.01 g"),
        ("salt", 0.0126, "0.01 g"),
        ("salt", 0.996, "1.0 g"),
        ("salt", 1.25, "1.3 g"),
        ("sodium", 0.005, "<0.005 g"),
        ("sodium", 0.5256, "0.53 g"),
    ],
)
def test_eu_rounding(nutrient: str, grams: float, text: str) -> None:
    assert printed("EU", nutrient, grams * GRAM) == text


@pytest.mark.parametrize(("value", "text"), [(0.49, "0%"), (12.5, "13%"), (100, "100%")])
def test_a_daily_value_is_a_whole_percentage(value: float, text: str) -> None:
    # 21 CFR 101.9(d)(7)(ii), from memory
    assert printed("US", "daily value", value / 100) == text


EVERY_RULE = sorted(rounding_rules())


def number(text: str) -> float | None:
    """The number of a printed text; None where it is a bound in words or signs."""
    found = re.match(r"[\d.]+", text)
    return float(found.group()) if found else None


@given(st.sampled_from(EVERY_RULE), st.integers(0, 200_000))
def test_a_printed_number_prints_as_itself(rule: tuple[str, str], thousandths: int) -> None:
    unit = SI[rounding_rules()[rule].unit]
    text = printed(*rule, thousandths / 1000 * unit)
    shown = number(text)
    if shown is not None:
        again = printed(*rule, shown * unit)
        # 0.51 g of fat prints 0.5 g, and just 0.5 g prints as less than that: no step between
        assert number(again) in {shown, None}
        assert again == text or "<" in again


@given(st.sampled_from(EVERY_RULE), st.integers(0, 200_000))
def test_no_number_is_off_by_more_than_half_a_step(rule: tuple[str, str], thousandths: int) -> None:
    found = rounding_rules()[rule]
    value = Decimal(thousandths) / 1000
    shown = number(printed(*rule, float(value) * SI[found.unit]))
    step = found.band(value).step
    if step is not None:
        assert shown is not None
        assert abs(Decimal(str(shown)) - value) <= step / 2


@given(st.sampled_from(EVERY_RULE), st.floats(0, 200), st.floats(0, 200))
def test_more_never_prints_as_less(rule: tuple[str, str], one: float, other: float) -> None:
    unit = SI[rounding_rules()[rule].unit]
    low, high = (number(printed(*rule, v * unit)) for v in sorted((one, other)))
    if low is not None and high is not None:
        assert low <= high


def test_the_table_of_the_eu() -> None:
    # order of Art. 30(1) and Annex XV; the worked example's printed values
    assert [(row.name, row.printed) for row in eu_label(buns())] == [
        ("energy", "1232 kJ"),
        ("energy", "293 kcal"),
        ("fat", "10 g"),
        ("of which saturates", "5.6 g"),
        ("carbohydrate", "38 g"),
        ("of which sugars", "4.2 g"),
        ("fibre", "1.3 g"),
        ("protein", "12 g"),
        ("salt", "1.2 g"),
    ]


def test_a_piece_is_rounded_by_itself() -> None:
    # 1083.13 g / 10 pieces; 12.153 mg of salt a gram: 1.3163 g, not 1.2 g × 1.083
    whole, piece = eu_label(buns()), eu_label(buns(), 0.108313)
    assert piece[-1].printed == "1.3 g"
    for row, other in zip(whole, piece, strict=True):
        assert other.value == pytest.approx((row.value or 0) * 0.108313 / HUNDRED_GRAMS)


def test_a_us_label_has_its_rows_in_order() -> None:
    # 21 CFR 101.9(c): what our tables do not hold is said, not printed as zero
    label = us_label(buns())
    assert [row.name for row in label] == [
        "Calories",
        "Total Fat",
        "Saturated Fat",
        "Trans Fat",
        "Cholesterol",
        "Sodium",
        "Total Carbohydrate",
        "Dietary Fiber",
        "Total Sugars",
        "Includes Added Sugars",
        "Protein",
        "Vitamin D",
        "Calcium",
        "Iron",
        "Potassium",
    ]
    unknown = [row.name for row in label if row.printed == NOT_KNOWN]
    assert unknown == ["Trans Fat", "Cholesterol", "Vitamin D", "Calcium", "Iron", "Potassium"]
    assert all(row.value is None for row in label if row.name in unknown)


def test_a_us_label_of_the_worked_example() -> None:
    # by hand for 50 g: fat 5.08 g of 78, saturates 2.80 of 20, sodium 243 mg of 2300,
    # carbohydrate 39.44 % / 2 = 19.72 of 275; calories 4(19.72 + 5.80) + 9 · 5.08 = 147.8
    label = {row.name: (row.printed, row.daily_printed) for row in us_label(buns())}
    assert label["Calories"] == ("150", "")
    assert label["Total Fat"] == ("5 g", "7%")
    assert label["Saturated Fat"] == ("3 g", "14%")
    assert label["Sodium"] == ("240 mg", "11%")
    assert label["Total Carbohydrate"] == ("20 g", "7%")
    assert label["Dietary Fiber"] == ("less than 1 g", "2%")
    assert label["Includes Added Sugars"] == ("1 g", "3%")
    assert label["Protein"] == ("6 g", "")


@given(st.floats(0.005, 0.3), st.floats(1.0, 3.0))
def test_a_larger_serving_has_no_smaller_share_of_the_day(serving: float, factor: float) -> None:
    small, large = us_label(buns(), serving), us_label(buns(), factor * serving)
    for one, other in zip(small, large, strict=True):
        if one.daily_printed:
            assert number(one.daily_printed) <= number(other.daily_printed)  # type: ignore[operator]


def colours(n: Nutrients, portion: float | None = None) -> list[str]:
    return [light.colour for light in traffic_lights(n, portion)]


def test_colours_of_the_worked_example() -> None:
    assert colours(buns()) == ["amber", "red", "green", "amber"]


def test_colours_follow_unrounded_values() -> None:
    # 1.5274 g of salt prints 1.5 g and is above 1.5: red (NHS page)
    salted = replace(NOTHING, sodium=0.015274 / 2.5)
    assert eu_label(salted)[-1].printed == "1.5 g"
    assert colours(salted)[-1] == "red"


@pytest.mark.parametrize(
    ("part", "place", "green", "red"),
    [
        ("fat", 0, 0.03, 0.175),
        ("saturates", 1, 0.015, 0.05),
        ("sugars", 2, 0.05, 0.225),
        ("sodium", 3, 0.003 / 2.5, 0.015 / 2.5),
    ],
)
def test_limits_belong_to_the_better_colour(
    part: str, place: int, green: float, red: float
) -> None:
    # NHS page: green up to and including, red above
    rest = {"carbohydrate": 1.0} if part == "sugars" else {}
    for value, colour in ((green, "green"), (green * 1.001, "amber"), (red, "amber")):
        assert colours(replace(NOTHING, **rest, **{part: value}))[place] == colour
    assert colours(replace(NOTHING, **rest, **{part: red * 1.001}))[place] == "red"


def test_a_large_portion_may_be_red_by_itself() -> None:
    # DHSC/FSA guide, from memory: more than 21 g of fat in a portion of more than 100 g
    fatty = replace(NOTHING, fat=0.15)
    assert colours(fatty, 0.1)[0] == "amber"
    assert colours(fatty, 0.14)[0] == "amber"
    assert colours(fatty, 0.141)[0] == "red"


def test_a_loaf_is_no_portion() -> None:
    # salt of 1.2153 g in 100 g, amber (worked example of the table above): in a loaf of 704 g
    # there are 8.6 g, which nobody eats at once; in a bun of 150 g 1.82 g, above 1.8
    n = buns()
    assert n.salt == pytest.approx(0.012153, abs=1e-5)
    assert (
        colours(n, 0.704) == colours(n, 0.251) == colours(n) == ["amber", "red", "green", "amber"]
    )
    assert colours(n, 0.150)[-1] == "red"
    assert colours(n, 0.108313) == ["amber", "red", "green", "amber"]


@pytest.mark.parametrize(
    ("unknown", "rows", "lights"),
    [
        ("sodium", {"salt"}, {"salt"}),
        ("saturates", {"of which saturates"}, set()),  # red already
        ("sugars", {"of which sugars"}, {"sugars"}),
    ],
)
def test_what_is_not_known_is_the_least_and_never_green(
    unknown: str, rows: set[str], lights: set[str]
) -> None:
    known = {row.name: row.printed for row in eu_label(buns())}
    for row in eu_label(buns(), unknown={unknown}):
        least = row.name in rows
        assert row.least is least
        if row.name != "energy":
            assert row.printed == (f"at least {known[row.name]}" if least else known[row.name])
    found = {light.name: light.colour for light in traffic_lights(buns(), unknown={unknown})}
    assert {name for name, colour in found.items() if colour == "not known"} == lights
    assert found["saturates"] == "red"


def test_of_an_unknown_composition_nothing_is_a_figure() -> None:
    unknown = {"composition", "saturates", "sugars", "sodium"}
    for row in (*eu_label(buns(), unknown=unknown), *us_label(buns(), unknown=unknown)):
        assert row.printed.startswith("at least ") or (row.printed, row.value) == (NOT_KNOWN, None)
        assert not row.daily_printed or row.daily_printed.startswith("at least ")
    assert colours_of_unknown(unknown) == ["not known", "red", "not known", "not known"]


def colours_of_unknown(unknown: set[str]) -> list[str]:
    return [light.colour for light in traffic_lights(buns(), None, unknown)]


def test_the_least_of_nothing_is_not_known() -> None:
    # "at least 0 g" and "at least <0.5 g" would say nothing
    for value in (0.0, 0.00005):
        little = replace(NOTHING, sodium=value / 2.5)
        assert eu_label(little, unknown={"sodium"})[-1].printed == NOT_KNOWN
    us = {row.name: row for row in us_label(buns(), unknown={"composition"})}
    assert us["Dietary Fiber"].printed == NOT_KNOWN  # prints "less than 1 g" where it is known
    assert us["Dietary Fiber"].daily_printed == ""


def test_a_us_row_of_what_is_missing_is_the_least() -> None:
    us = {row.name: row for row in us_label(buns(), unknown={"sodium", "sugars"})}
    assert (us["Sodium"].printed, us["Sodium"].daily_printed) == ("at least 240 mg", "at least 11%")
    assert us["Includes Added Sugars"].printed == "at least 1 g"
    assert us["Total Fat"].printed == "5 g"


# Annex VII E (2) of Regulation (EU) No 1169/2011, from memory
def test_what_is_made_of_several_things_is_found_by_its_share() -> None:
    bread = weighed(plain_flour=500, ham=5, dark_chocolate=9.9, salt=10)
    assert compounds(bread, 0.5) == ("ham",)
    assert compounds(bread, 0.495) == ("ham", "dark chocolate")  # 2 % of what is sold
    twice = [*bread, *weighed(dark_chocolate=1)]
    assert compounds(twice, 0.5) == ("ham", "dark chocolate")
    assert compounds(bread, 0.5, "US") == ("ham", "dark chocolate")
    assert compounds(weighed(strong_white_flour=500, water=300, salt=10), 0.7) == ()


def test_quantities_are_over_the_finished_weight() -> None:
    # worked example: 300 g of cheese in 1083.13 g; a council's leaflet: 200 g in 800 g
    cheese = named_quantities({"cheese": 0.3}, 1.08313)[0]
    assert cheese.ratio == pytest.approx(0.2770, abs=0.00005)
    assert cheese.printed == "28 %"
    assert named_quantities({"cheese": 0.2}, 0.8)[0].printed == "25 %"


def test_more_than_the_whole_is_printed_as_a_weight() -> None:
    # Annex VIII (4) (a): also when only all together pass 100 %
    assert named_quantities({"meat": 1.08}, 1.0)[0].printed == "108 g per 100 g"
    both = named_quantities({"butter": 0.52, "nuts": 0.6}, 1.0)
    assert [found.printed for found in both] == ["52 g per 100 g", "60 g per 100 g"]


def names(found: Weighed, finished: float, place: str = "EU") -> list[str]:
    return [listed.name for listed in listed_ingredients(found, finished, place)]


def test_water_is_counted_by_difference() -> None:
    # 860 g in, 600 g out: 240 g of water went in, -20 g are left beside 620 g of the others
    rusk = weighed(plain_flour=500, water=240, sugar=110, salt=10)
    assert names(rusk, 0.6) == ["plain flour", "sugar", "salt"]
    assert names(rusk, 0.6, "US") == ["plain flour", "water", "sugar", "salt"]
    assert names(rusk, 0.652) == ["plain flour", "sugar", "salt"]  # 32 g, 4.9 %
    assert names(rusk, 0.66) == ["plain flour", "sugar", "water", "salt"]  # 40 g, 6.1 %


def test_no_more_water_is_listed_than_was_weighed() -> None:
    dough = weighed(plain_flour=500, water=300)
    water = listed_ingredients(dough, 0.9)[1]
    assert water.mass == pytest.approx(0.3)


def test_a_starter_is_listed_as_what_it_was_fed_with() -> None:
    starter = starter_of(1.0, TABLE["medium rye flour"])
    dough = [*weighed(medium_rye_flour=500, water=300, salt=10), (starter, 0.2)]
    found = {i.name: i.mass for i in listed_ingredients(dough, 0.9, "US")}
    assert found == pytest.approx({"medium rye flour": 0.6, "water": 0.4, "salt": 0.01})


def test_small_amounts_may_come_last() -> None:
    found = listed_ingredients(weighed(plain_flour=500, water=350, salt=20, instant_yeast=5), 0.761)
    assert [i.name for i in found if i.may_come_last] == ["instant yeast"]
