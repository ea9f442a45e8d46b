"""What a formula amounts to: a made-up dough whose sums can be done in the head."""

from dataclasses import replace

import pytest

from doughwright.engine.formula import Batch, Line, Preparation, SolvedFormula, Use, solved
from doughwright.engine.ingredients import Composition, Ingredient, ingredient_table, starter_of
from doughwright.engine.overall import (
    JUICY,
    MOIST,
    added_fat,
    content_ratio,
    dough_yield,
    fat_ratio,
    free_water,
    fresh_yeast_ratio,
    hydration,
    hydration_liquids_only,
    local_flour,
    overall_lines,
    poured_liquid,
    prefermented_flour_ratio,
    salt_ratio,
    sugar_ratio,
)

TABLE = ingredient_table()
FLOUR, WATER, SALT = TABLE["strong white flour"], TABLE["water"], TABLE["salt"]


def made_of(kind: str, water: float, fat: float = 0.0, **more: float) -> Ingredient:
    """An ingredient of round numbers."""
    parts = Composition(water, 0.0, fat, 1 - water - fat, 0.0, 0.0)
    return replace(TABLE["salt"], name=kind, kind=kind, composition=parts, salt=0.0, **more)  # type: ignore[arg-type]  # names are fields


def dough(*lines: Line) -> SolvedFormula:
    return solved([Preparation("dough", "dough", lines)], Batch())


MILK, CHEESE = made_of("dairy", 0.9, 0.05), made_of("cheese", 0.5, 0.3)
STARTER = starter_of(1.0, FLOUR)

LEVAIN = Preparation(
    "levain", "preferment", (Line("flour", FLOUR, 0.2), Line("water", WATER, 0.2)), (Use("seed"),)
)
SEED = Preparation("seed", "preferment", (Line("starter", STARTER, 0.1),))
SOAKER = Preparation(
    "soaker", "soaker", (Line("rye", TABLE["medium rye flour"], 0.05), Line("water", WATER, 0.1))
)
WHOLE = Preparation(
    "dough",
    "dough",
    (
        Line("flour", FLOUR, 0.7),
        Line("milk", MILK, 0.2),
        Line("salt", SALT, 0.02),
        Line("fresh yeast", TABLE["fresh yeast"], 0.01),
        Line("instant yeast", TABLE["instant yeast"], 0.003),
    ),
    (Use("levain", share=0.8), Use("soaker")),
)
BESIDE = Preparation("filling", "filling", (Line("flour", FLOUR, 3.0), Line("water", WATER, 3.0)))


@pytest.fixture(scope="module")
def bread() -> SolvedFormula:
    """Flour 0.7 + 0.05 + 0.8·(0.2 + 0.05) = 0.95 kg."""
    return solved([SEED, LEVAIN, SOAKER, WHOLE, BESIDE], Batch())


def test_total_flour_is_what_ends_in_the_dough(bread: SolvedFormula) -> None:
    assert bread.total_flour == pytest.approx(0.95)


def test_true_water_counts_milk_starter_and_yeast(bread: SolvedFormula) -> None:
    # 0.8·(0.2 + 0.05) + 0.1 + 0.9·0.2 + 0.69·0.01; fresh yeast USDA SR28 NDB 18374
    water = 0.2 + 0.1 + 0.18 + 0.0069
    assert hydration(bread) == pytest.approx(water / 0.95)


def test_liquids_only_counts_what_is_poured(bread: SolvedFormula) -> None:
    # 0.8·(0.2 + 0.05) + 0.1; this made-up milk is not marked as poured
    assert hydration_liquids_only(bread) == pytest.approx(0.3 / 0.95)


def test_each_ingredient_stands_once_in_the_order_of_its_use(bread: SolvedFormula) -> None:
    found = {line.name: line.mass for line in overall_lines(bread)}
    assert list(found)[:4] == ["starter", "strong white flour", "water", "medium rye flour"]
    assert found["strong white flour"] == pytest.approx(0.16 + 0.7)
    assert found["water"] == pytest.approx(0.16 + 0.1)
    assert found["starter"] == pytest.approx(0.08)
    assert sum(found.values()) == pytest.approx(bread.dough)
    assert all(line.flour_ratio == line.mass / bread.total_flour for line in overall_lines(bread))


def test_prefermented_flour_is_that_of_preferments_and_starters(bread: SolvedFormula) -> None:
    # 0.8·(0.2 + 0.05); a soaker does not ferment
    assert prefermented_flour_ratio(bread) == pytest.approx(0.2 / 0.95)


def test_salt_fat_and_yeast(bread: SolvedFormula) -> None:
    assert salt_ratio(bread) == pytest.approx(0.02 / 0.95)
    # fresh yeast's own fat is 1.9 %, dry yeast's 7.61 %
    assert fat_ratio(bread) == pytest.approx((0.01 + 0.00019 + 0.000228) / 0.95, rel=1e-3)
    assert fresh_yeast_ratio(bread) == pytest.approx((0.01 + 0.003 / 0.33) / 0.95, rel=1e-3)


def test_dough_yield_is_gross(bread: SolvedFormula) -> None:
    # 0.7 + 0.2 + 0.02 + 0.01 + 0.003 + 0.8·0.5 + 0.15
    assert dough_yield(bread) == pytest.approx(1.483 / 0.95)


def test_local_flour_counts_what_is_taken_in(bread: SolvedFormula) -> None:
    assert local_flour(bread, "seed") == pytest.approx(0.05)
    assert local_flour(bread, "levain") == pytest.approx(0.25)
    assert local_flour(bread, "soaker") == pytest.approx(0.05)
    assert local_flour(bread, "dough") == pytest.approx(0.95)
    assert local_flour(bread, "filling") == pytest.approx(3.0)


def test_an_empty_preparation_has_no_flour() -> None:
    nothing = Preparation("nothing", "soaker", (Line("water", WATER, 0.0),))
    plain = Preparation("dough", "dough", (Line("flour", FLOUR, 1.0),), (Use("nothing"),))
    assert local_flour(solved([nothing, plain], Batch()), "dough") == pytest.approx(1.0)


# --- which water counts ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ingredient", "share"),
    [
        (WATER, 1.0),  # a tap's minerals are not weighed out
        (MILK, 0.9),
        (CHEESE, 0.5),
        (made_of("liquid", 0.93), 0.93),
        (made_of("egg", 0.75), 0.75),
        (made_of("fat", MOIST), MOIST),
        (made_of("fat", MOIST - 0.01), 0.0),
        (made_of("sugar", 0.17), 0.17),
        (made_of("yeast", 0.05), 0.0),
        (made_of("vegetable", 0.78), 0.78),
        (made_of("fruit", JUICY), JUICY),
        (made_of("fruit", JUICY - 0.01), 0.0),  # raisins keep theirs
        (made_of("seed", 0.9), 0.0),
        (made_of("other", 0.4), 0.0),  # old bread
        (made_of("own", MOIST), MOIST),  # like nothing in the table
        (made_of("own", MOIST - 0.01), 0.0),
        (made_of("dairy", 0.9, flour=1.0), 0.0),  # counted as flour
        (FLOUR, 0.0),
        (STARTER, 0.5),
        (starter_of(0.5, FLOUR), 1 / 3),
        (TABLE["bread improver"], 0.0),  # nothing is known of it
    ],
)
def test_water_a_dough_can_use(ingredient: Ingredient, share: float) -> None:
    assert free_water(ingredient) == pytest.approx(share)


def test_poured_or_not() -> None:
    poured = {
        name for name in ("water", "whole milk", "egg", "honey") if poured_liquid(TABLE[name])
    }
    assert poured == {"water", "whole milk"}
    assert poured_liquid(starter_of(0.5, FLOUR)) == pytest.approx(1 / 3)


def test_flour_s_own_fat_and_sugar_do_not_count() -> None:
    assert added_fat(FLOUR) == added_fat(STARTER) == added_fat(TABLE["bread improver"]) == 0.0
    assert added_fat(CHEESE) == 0.3
    assert sugar_ratio(dough(Line("flour", FLOUR, 1.0))) == 0.0


def test_lactose_feeds_no_yeast() -> None:
    with_milk = dough(Line("flour", FLOUR, 1.0), Line("milk", TABLE["whole milk"], 0.7))
    assert sugar_ratio(with_milk) == 0.0
    with_honey = dough(Line("flour", FLOUR, 1.0), Line("honey", TABLE["honey"], 0.1))
    assert sugar_ratio(with_honey) == pytest.approx(0.0821, abs=0.0005)  # USDA: 82.1 % sugars


def test_salt_hides_in_butter_cheese_and_olives() -> None:
    lines = [Line(n, TABLE[n], 0.1) for n in ("salted butter", "feta", "black olives")]
    found = dough(Line("flour", FLOUR, 1.0), *lines)
    # USDA sodium × 2.5: 643, 1139, 735 mg per 100 g
    assert salt_ratio(found) == pytest.approx(0.1 * 2.5 * (0.00643 + 0.01139 + 0.00735), rel=0.001)


def test_content_of_anything() -> None:
    found = dough(Line("flour", FLOUR, 1.0), Line("rye", TABLE["medium rye flour"], 0.25))
    assert content_ratio(found, lambda i: float("rye" in i.name)) == pytest.approx(0.2)
