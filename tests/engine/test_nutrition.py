"""Nutrients from raw weights to the baked product: two worked examples and their laws."""

from dataclasses import astuple, fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.documents.formula import OwnIngredient
from doughwright.engine.dividing import divided
from doughwright.engine.formula import Batch, Line, Preparation, Use, solved
from doughwright.engine.ingredients import Composition, Ingredient, ingredient_table
from doughwright.engine.nutrition import (
    JOULES_PER_KILOCALORIE,
    Missing,
    Nutrients,
    Weighed,
    as_sold,
    energy_eu,
    energy_us,
    kilocalorie_energy_eu,
    nutrients_of,
    to_the_oven,
)
from doughwright.errors import ImpossibleInput
from doughwright.resolving.lines import own_ingredient

TABLE = ingredient_table()
KNOWN = sorted(name for name, i in TABLE.items() if i.composition is not None)

CHEESE_BUNS = {
    "strong white flour": 500,
    "whole milk": 250,
    "egg": 50,
    "unsalted butter": 50,
    "sugar": 30,
    "salt": 10,
    "instant yeast": 7,
    "ricotta": 220,
    "hard cheese": 80,
    "egg yolk": 20,
}
"""Our own worked example from the USDA rows: a dough, a cheese filling and a yolk glaze."""
LEAN = {"strong white flour": 1000, "water": 680, "salt": 20, "instant yeast": 10}


def weighed(**grams: float) -> Weighed:
    return [(TABLE[name.replace("_", " ")], mass / 1000) for name, mass in grams.items()]


def made_of(name: str, **parts: float) -> Ingredient:
    """An ingredient of given mass fractions; the rest is ash."""
    of = {field.name: parts.get(field.name, 0.0) for field in fields(Composition)}
    of["ash"] = 1 - sum(of.values())
    return replace(TABLE["sugar"], name=name, kind="own", composition=Composition(**of), sugars=0.0)


def kilojoules(nutrients: Nutrients) -> float:
    """Of 100 g."""
    return energy_eu(nutrients) / 1e4


def kilocalories(nutrients: Nutrients) -> float:
    """Of 100 g."""
    return kilocalorie_energy_eu(nutrients) / JOULES_PER_KILOCALORIE / 10


def test_the_worked_example_of_filled_buns() -> None:
    # worked out by hand from the USDA rows: 1217 g raw, 11 % lost
    buns = as_sold(weighed(**CHEESE_BUNS), 0.11)
    n = buns.nutrients
    assert buns.mass == pytest.approx(1.08313, abs=5e-9)
    assert buns.missing == buns.notices == ()
    assert kilojoules(n) == pytest.approx(1231.89, abs=0.005)
    assert kilocalories(n) == pytest.approx(292.99, abs=0.005)
    in_hundred_grams = {
        n.fat: 10.153,
        n.saturates: 5.602,
        n.carbohydrate: 38.160,
        n.sugars: 4.166,
        n.fibre: 1.282,
        n.protein: 11.603,
    }
    for ours, worked_out in in_hundred_grams.items():
        assert 100 * ours == pytest.approx(worked_out, abs=0.0005)
    assert 100 * n.salt == pytest.approx(1.2153, abs=0.00005)
    assert 100 * n.water == pytest.approx(36.74, abs=0.005)


def test_protein_of_the_eu_takes_its_difference_off_carbohydrate() -> None:
    # the worked example rounds N × 6.25 of each row to 0.01 g first: 12.039 and 37.724
    amounts = weighed(**CHEESE_BUNS)
    rows = ((nutrients_of(i), mass) for i, mass in amounts)
    rounded = sum(round(100 * n.protein_n6_25, 2) * mass for n, mass in rows if n) / 1.08313
    n = as_sold(amounts, 0.11).nutrients
    assert rounded == pytest.approx(12.039, abs=0.0005)
    assert 100 * n.protein_n6_25 == pytest.approx(rounded, abs=0.005)
    assert 100 * n.carbohydrate_eu == pytest.approx(37.724, abs=0.005)
    assert n.protein_n6_25 + n.carbohydrate_eu == pytest.approx(n.protein + n.carbohydrate)


@pytest.mark.parametrize(
    ("loss", "kilojoule", "water"),
    [(0.08, 947.6, 43.01), (0.12, 990.7, 40.42), (0.15, 1025.6, 38.32)],
)
def test_the_worked_example_of_a_lean_bread(loss: float, kilojoule: float, water: float) -> None:
    # worked out by hand from the USDA rows
    n = as_sold(weighed(**LEAN), loss).nutrients
    assert kilojoules(n) == pytest.approx(kilojoule, abs=0.05)
    assert 100 * n.water == pytest.approx(water, abs=0.005)


def test_the_rest_of_the_lean_bread() -> None:
    bread = as_sold(weighed(**LEAN), 0.12)
    n = bread.nutrients
    assert bread.mass == pytest.approx(1.5048)
    assert kilocalories(n) == pytest.approx(233.6, abs=0.05)
    assert 100 * n.carbohydrate == pytest.approx(46.70, abs=0.005)
    assert 100 * n.protein == pytest.approx(8.23, abs=0.005)
    assert 100 * n.salt == pytest.approx(1.297, abs=0.0005)


# USDA's own energy uses Atwater's specific factors; 4, 4 and 9 differ by some percent only
@pytest.mark.parametrize(
    ("name", "kilocalorie"),
    [("strong white flour", 361), ("whole milk", 61), ("egg", 143), ("unsalted butter", 717)],
)
def test_us_energy_is_near_usda(name: str, kilocalorie: float) -> None:
    found = nutrients_of(TABLE[name])
    assert found is not None
    ours = energy_us(found) / JOULES_PER_KILOCALORIE / 10
    assert ours == pytest.approx(kilocalorie, rel=0.04)


def test_energy_factors_of_annex_xiv() -> None:
    # Regulation (EU) No 1169/2011, Annex XIV: kJ and kcal of a gram
    for part, kilojoule, kilocalorie in (
        ("carbohydrate", 17, 4),
        ("protein", 17, 4),
        ("fat", 37, 9),
        ("fibre", 8, 2),
        ("alcohol", 29, 7),
    ):
        found = nutrients_of(made_of("pure", **{part: 1.0}))
        assert found is not None
        assert kilojoules(found) == pytest.approx(100 * kilojoule)
        assert kilocalories(found) == pytest.approx(100 * kilocalorie)


def test_what_is_unknown_is_listed_with_its_share() -> None:
    product = as_sold(weighed(water=600, strong_white_flour=990, bread_improver=10), 0.1)
    assert product.missing == (Missing("bread improver", "composition", pytest.approx(10 / 1600)),)
    known = 1 - 10 / 1600 / 0.9  # of the baked mass
    assert sum(product_parts(product.nutrients)) == pytest.approx(known, abs=0.001)


def test_a_blank_cell_is_no_zero() -> None:
    # white spelt flour: our table has no sodium for it
    missing = as_sold(weighed(white_spelt_flour=1000, water=600), 0.1).missing
    assert missing == (Missing("white spelt flour", "sodium", pytest.approx(1 / 1.6)),)
    stated = replace(TABLE["white spelt flour"], salt=0.001)
    assert as_sold([(stated, 1.0), (TABLE["water"], 0.6)], 0.1).missing == ()


def test_a_trace_of_what_is_not_known_leaves_a_figure_a_figure() -> None:
    # assumption: below 0.5 % of the raw weight, of salt below 0.1 %
    def unknown(grams: float) -> frozenset[str]:
        flour = [(TABLE["strong white flour"], 1.0 - grams / 1000)]
        return as_sold([*flour, (TABLE["bread improver"], grams / 1000)], 0.0).unknown

    assert unknown(0.9) == frozenset()
    assert unknown(1.1) == {"sodium"}
    assert unknown(4.9) == {"sodium"}
    assert unknown(5.1) == {"composition", "saturates", "sugars", "sodium"}


def test_several_traces_add_up() -> None:
    spelt, malt = TABLE["white spelt flour"], TABLE["black rye malt"]
    parts = [(TABLE["strong white flour"], 0.9988), (spelt, 0.0006), (malt, 0.0006)]
    product = as_sold(parts, 0.0)
    assert {m.part for m in product.missing} == {"sodium"}
    assert product.unknown == {"sodium"}


def test_what_the_baker_did_not_say_of_an_own_ingredient_is_missing() -> None:
    said = OwnIngredient.model_validate({"water": "40 %", "fat": "10 %"})
    ours = own_ingredient("our paste", said, None)
    found = as_sold([(ours, 1.0)], 0.0).missing
    assert [missing.part for missing in found] == ["saturates", "sugars", "sodium"]
    known = replace(ours, saturates=0.05, sugars=0.2, salt=0.01)
    assert as_sold([(known, 1.0)], 0.0).missing == ()


@pytest.mark.parametrize("word", ["white spelt flour", "brown flour", "rye flakes", "vinegar"])
def test_a_blank_cell_is_no_zero_in_what_is_like_it(word: str) -> None:
    ours = own_ingredient("ours", OwnIngredient.model_validate({"like": word}), TABLE[word])
    assert as_sold([(ours, 1.0)], 0.0).missing == (Missing("ours", "sodium", 1.0),)


@pytest.mark.parametrize("salt", ["0 %", "0.01 %", "1 %"])
def test_a_stated_salt_ends_the_blank_also_where_it_is_none(salt: str) -> None:
    entry = OwnIngredient.model_validate({"salt": salt})
    ours = own_ingredient("white spelt flour", entry, TABLE["white spelt flour"])
    product = as_sold([(ours, 1.0)], 0.0)
    assert product.missing == ()
    assert entry.salt is not None
    assert product.nutrients.salt == pytest.approx(entry.salt.best)


def test_what_is_stated_beside_a_blank_leaves_it_blank() -> None:
    entry = OwnIngredient.model_validate({"protein": "14 %", "sugars": "1 %", "saturates": "0.2 %"})
    ours = own_ingredient("our spelt", entry, TABLE["white spelt flour"])
    assert [m.part for m in as_sold([(ours, 1.0)], 0.0).missing] == ["sodium"]


def test_a_stated_nought_is_known() -> None:
    said = {"water": "40 %", "fat": "10 %", "saturates": "0 %", "sugars": "0 %", "salt": "0 %"}
    ours = own_ingredient("our paste", OwnIngredient.model_validate(said), None)
    assert as_sold([(ours, 1.0)], 0.0).missing == ()


def test_saturates_of_a_fat_the_table_s_row_has_none_of_are_not_known() -> None:
    # water holds no fat, so its row's zero of saturates says nothing about a fat added to it
    broth = own_ingredient(
        "broth", OwnIngredient.model_validate({"like": "water", "fat": "3 %"}), TABLE["water"]
    )
    assert [m.part for m in as_sold([(broth, 1.0)], 0.0).missing] == ["saturates"]


def test_stated_saturates_reach_the_product() -> None:
    # 100 g of a paste with 9 g saturates in 1 kg that loses 10 %: 9 / 900 of the product
    said = OwnIngredient.model_validate({"water": "40 %", "fat": "30 %", "saturates": "9 %"})
    paste = own_ingredient("paste", said, None)
    product = as_sold([(paste, 0.1), (TABLE["water"], 0.9)], 0.1)
    assert product.nutrients.saturates == pytest.approx(0.009 / 0.9)


def test_less_fat_holds_less_saturates_where_none_are_stated() -> None:
    # as much of the fat as in the table: mascarpone's own share
    table = TABLE["mascarpone"]
    assert table.composition is not None
    light = own_ingredient("light", OwnIngredient.model_validate({"fat": "20 %"}), table)
    assert light.saturates / 0.20 == pytest.approx(table.saturates / table.composition.fat)


def product_parts(n: Nutrients) -> tuple[float, ...]:
    return n.water, n.protein, n.fat, n.carbohydrate, n.fibre, n.ash, n.alcohol


def test_no_more_can_be_lost_than_there_is_water() -> None:
    with pytest.raises(ImpossibleInput, match="loss-exceeds-water"):
        as_sold(weighed(**LEAN), 0.5)  # water is 40.42 % after 12 % are lost: 47.6 % before
    with pytest.raises(ImpossibleInput, match="loss-exceeds-water") as caught:
        as_sold(weighed(**LEAN), 2.0)
    (found,) = caught.value.problems
    assert found.values["loss"] == 2.0
    assert found.values["most"] == pytest.approx(0.12 + 0.88 * 0.4042, abs=1e-4)


def test_bread_gains_no_weight() -> None:
    with pytest.raises(ImpossibleInput, match="loss-below-zero"):
        as_sold(weighed(**LEAN), -0.01)


def test_losing_all_added_water_is_said() -> None:
    codes = [n.code for n in as_sold(weighed(**LEAN), 0.42).notices]
    assert codes == ["outside-model-range", "loss-beyond-added-water"]
    assert as_sold(weighed(**LEAN), 0.29).notices == ()


def test_an_unknown_ingredient_may_be_water() -> None:
    half = weighed(strong_white_flour=500, bread_improver=500)
    assert as_sold(half, 0.3).nutrients.water == 0


def test_alcohol_leaves_before_water() -> None:
    # 4.1 % of 500 g dark beer in 1500 g: 1.4 %; the loss is alcohol and water together
    amounts = weighed(strong_white_flour=1000, dark_beer=500)
    raw, baked = as_sold(amounts, 0.0), as_sold(amounts, 0.1)
    assert raw.nutrients.alcohol == pytest.approx(0.041 / 3)
    assert baked.nutrients.alcohol == 0
    lost = raw.nutrients.water * raw.mass - baked.nutrients.water * baked.mass
    assert lost + raw.nutrients.alcohol * raw.mass == pytest.approx(0.15)


def test_milk_has_no_more_sugars_than_carbohydrate() -> None:
    # USDA: 5.05 g sugars and 4.80 g carbohydrate, measured and by difference
    milk = as_sold([(TABLE["whole milk"], 1.0)], 0.0).nutrients
    assert milk.sugars == milk.carbohydrate == pytest.approx(0.048)


def test_saturates_are_fat() -> None:
    odd = replace(made_of("odd fat", fat=0.5), saturates=0.6)
    assert as_sold([(odd, 1.0)], 0.0).nutrients.saturates == 0.5


def test_stated_salt_counts_where_sodium_is_less() -> None:
    # the baker's own butter: 2 % salt on the packet, sodium still that of unsalted butter
    own = replace(TABLE["unsalted butter"], name="our butter", salt=0.02)
    found = nutrients_of(own)
    assert found is not None
    assert found.salt == pytest.approx(0.02)
    pure = nutrients_of(TABLE["salt"])  # USDA: 38.758 g sodium, with a little water
    assert pure is not None
    assert pure.salt == pytest.approx(0.96895)


def test_added_sugars_are_those_that_were_added() -> None:
    # 21 CFR 101.9(c)(6)(iii), from memory: sugar and syrups, not milk's nor flour's own
    n = as_sold(weighed(**CHEESE_BUNS), 0.11).nutrients
    assert n.added_sugars * 1083.13 == pytest.approx(30 * 0.998)


def test_only_what_is_baked_counts() -> None:
    # 1700 g of dough make 8 pieces of 200 g: 100 g stay behind; each gets 10 g of glaze
    dough = Preparation(
        "dough",
        "dough",
        (
            Line("flour", TABLE["strong white flour"], fixed=1.0),
            Line("water", TABLE["water"], fixed=0.7),
        ),
    )
    glaze = Preparation("glaze", "glaze", (Line("yolk", TABLE["egg yolk"], parts=1),), each=0.01)
    batch = Batch(pieces=8, piece=0.2)
    masses = dict(to_the_oven(divided(solved([dough, glaze], batch), batch)))
    assert masses[TABLE["strong white flour"]] == pytest.approx(1.6 / 1.7)
    assert masses[TABLE["egg yolk"]] == pytest.approx(0.08)
    assert sum(masses.values()) == pytest.approx(1.68)


def test_half_a_preferment_counts_half() -> None:
    water, flour = TABLE["water"], TABLE["strong white flour"]
    sponge = Preparation(
        "sponge", "preferment", (Line("flour", flour, fixed=0.4), Line("water", water, fixed=0.4))
    )
    lines = (Line("flour", flour, fixed=0.8), Line("water", water, fixed=0.3))
    dough = Preparation("dough", "dough", lines, (Use("sponge", share=0.5),))
    found = to_the_oven(solved([sponge, dough], Batch()))
    assert sum(mass for i, mass in found if i.name == "strong white flour") == pytest.approx(1.0)
    assert sum(mass for _, mass in found) == pytest.approx(1.5)


amounts_of_a_dough = st.lists(
    st.tuples(st.sampled_from(KNOWN).map(TABLE.__getitem__), st.floats(0.001, 5.0)),
    min_size=1,
    max_size=8,
).map(lambda found: [*found, (TABLE["water"], 3.0)])


@given(amounts_of_a_dough, st.floats(0.0, 0.25), st.floats(0.01, 100))
def test_the_size_of_a_batch_changes_nothing(dough: Weighed, loss: float, factor: float) -> None:
    loss *= raw_water(dough)
    larger = [(ingredient, factor * mass) for ingredient, mass in dough]
    one, many = as_sold(dough, loss), as_sold(larger, loss)
    assert astuple(many.nutrients) == pytest.approx(astuple(one.nutrients), rel=1e-9, abs=1e-12)
    assert many.mass == pytest.approx(factor * one.mass)


def raw_water(dough: Weighed) -> float:
    return as_sold(dough, 0.0).nutrients.water


@given(amounts_of_a_dough, st.floats(0.05, 0.4), st.floats(0.01, 0.3))
def test_the_more_is_lost_the_more_is_in_it(dough: Weighed, loss: float, more: float) -> None:
    water = raw_water(dough)
    little, much = as_sold(dough, loss * water), as_sold(dough, (loss + more) * water)
    if little.nutrients.alcohol == much.nutrients.alcohol:
        assert energy_eu(much.nutrients) >= energy_eu(little.nutrients)
        assert energy_us(much.nutrients) >= energy_us(little.nutrients)
    for part in ("fat", "protein", "carbohydrate", "fibre", "sodium"):
        assert getattr(much.nutrients, part) >= getattr(little.nutrients, part)


@given(amounts_of_a_dough, st.floats(0.0, 0.9))
def test_the_parts_of_a_product_are_the_whole(dough: Weighed, loss: float) -> None:
    # the table's rows add up to 1 within 1.5 points
    loss *= raw_water(dough)
    product = as_sold(dough, loss).nutrients
    assert sum(product_parts(product)) == pytest.approx(1.0, abs=0.015 / (1 - loss))
    assert product.sugars <= product.carbohydrate
    assert product.saturates <= product.fat
