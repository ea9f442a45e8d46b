"""Spoons and cups: near the weight, in amounts that can be measured."""

from itertools import product

import pytest

from doughwright.engine.household import (
    PARTS,
    household_measure,
    measure_masses,
    measure_volume,
    measured,
    salt_spoons,
)
from doughwright.engine.ingredients import ingredient_table

TABLE = ingredient_table()
READABLE = {0.0, 1 / 8, 1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4}


def test_a_us_cup_is_half_a_us_pint() -> None:
    # US customary units by definition: 1 cup = 16 tbsp = 48 tsp = 8 fl oz of 29.5735295625 ml
    assert measure_volume("cup", "US") == pytest.approx(8 * 29.5735295625e-6)
    assert measure_volume("tbsp", "US") == pytest.approx(measure_volume("cup", "US") / 16)
    assert measure_volume("tsp", "US") == pytest.approx(measure_volume("cup", "US") / 48)


def test_a_metric_cup_holds_more_of_everything() -> None:
    for name in ("strong white flour", "water", "sugar"):
        metric = measure_masses(TABLE[name], "metric")["cup"]
        american = measure_masses(TABLE[name], "US")["cup"]
        assert metric / american == pytest.approx(250 / 236.588, rel=0.01), name


@pytest.mark.parametrize(
    ("name", "grams", "parts"),
    [
        ("salt", 15, ((2.5, "tsp"),)),
        ("salt", 6, ((1.0, "tsp"),)),
        ("instant yeast", 7, ((2.25, "tsp"),)),  # a packet of 7 g is sold as 2¼ teaspoons
        ("unsalted butter", 113, ((0.5, "cup"),)),  # a US stick is half a cup
        ("sugar", 200, ((1.0, "cup"),)),
        ("water", 237, ((1.0, "cup"),)),
    ],
)
def test_weights_that_kitchens_know_come_out_as_they_know_them(
    name: str, grams: float, parts: tuple[tuple[float, str], ...]
) -> None:
    found = household_measure(TABLE[name], grams / 1000, "US")
    assert found is not None
    assert found.parts == parts


@pytest.mark.parametrize("name", ["strong white flour", "whole milk", "sugar", "salt", "honey"])
@pytest.mark.parametrize("system", ["US", "metric"])
def test_every_amount_can_be_measured_and_is_near(name: str, system: str) -> None:
    for grams in range(2, 1500, 7):
        found = household_measure(TABLE[name], grams / 1000, system)  # type: ignore[arg-type]
        if found is None:
            continue
        assert found.mass == pytest.approx(grams / 1000, rel=0.12), grams
        assert len(found.parts) <= 2
        for count, measure in found.parts:
            assert min(abs(count % 1 - part) for part in READABLE) < 1e-9, (grams, found)
            assert measure in PARTS
            assert count > 0


def test_large_amounts_are_within_a_twentieth() -> None:
    for system, grams in product(("US", "metric"), range(150, 1500, 11)):
        found = household_measure(TABLE["strong white flour"], grams / 1000, system)  # type: ignore[arg-type]
        assert found is not None
        assert found.mass == pytest.approx(grams / 1000, rel=0.05)


def test_what_has_no_density_is_weighed() -> None:
    assert TABLE["fresh yeast"].density is None
    assert household_measure(TABLE["fresh yeast"], 0.02, "metric") is None


def test_a_pinch_is_weighed() -> None:
    assert household_measure(TABLE["instant yeast"], 0.0001, "metric") is None
    assert household_measure(TABLE["salt"], 0.0, "metric") is None
    assert measured({}, 0.1) is None


def test_three_salts_of_one_weight_fill_different_spoons() -> None:
    fine = household_measure(TABLE["salt"], 0.018, "metric")
    assert fine is not None
    assert fine.parts == ((1.0, "tbsp"),)  # USDA SR28, NDB 02047: 6 g a teaspoon
    spoons = salt_spoons(fine)
    assert spoons is not None
    tsp, salts = {"tbsp": 3.0, "tsp": 1.0}, (fine, spoons.coarse, spoons.flaky)
    counts = [sum(n * tsp[unit] for n, unit in salt.parts) for salt in salts]
    assert counts == sorted(counts)
    assert len(set(counts)) == 3
    assert spoons.flaky.mass == pytest.approx(fine.mass, rel=0.1)


def test_a_tablespoon_is_taken_from_where_it_is_within_what_is_said_of_measures() -> None:
    made = measured({"tbsp": 0.00609, "tsp": 0.00203}, 0.0058)  # cardamom, 5 % below a tablespoon
    assert made is not None
    assert made.parts == ((1.0, "tbsp"),)


SUGAR = {"cup": 0.2, "tbsp": 0.0125, "tsp": 0.0042}


def test_no_broken_tablespoon_has_teaspoons_beside_it() -> None:
    found = [measured(SUGAR, grams / 1000) for grams in range(13, 60)]
    beside = [made.parts for made in found if made is not None and len(made.parts) == 2]
    assert beside
    assert all(count == int(count) for ((count, unit), _) in beside if unit == "tbsp")


def test_thirty_three_grams_of_sugar_are_whole_spoons() -> None:
    found = measured(SUGAR, 0.033)
    assert found is not None
    assert found.parts == ((2.0, "tbsp"), (2.0, "tsp"))
