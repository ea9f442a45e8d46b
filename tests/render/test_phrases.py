"""The sentences of a plan: what a baker reads beside a weight and under a mix."""

from dataclasses import replace

import pytest

from doughwright.errors import Notice
from doughwright.render.messages import remedy
from doughwright.render.numbers import difference, fine_mass, mass, temperature
from doughwright.render.phrases import aside, how_warm, lever_sentence, weight
from doughwright.sheets.cells import Cell, Kind, kelvin
from doughwright.sheets.mixing import LeverRow
from doughwright.sheets.weighing import WeighLine
from doughwright.units import ICE_POINT

WATER = WeighLine(
    name="water",
    weight=Cell(0.650, "kg"),
    wanted=Cell(0.650, "kg"),
    step=Cell(0.001, "kg"),
    overall=None,
    temperature=None,
    place="tap",
)
FLOUR = replace(WATER, name="flour", place="freezer", temperature=kelvin(283.15, "model"))


def ice(kilograms: float) -> Cell:
    return Cell(kilograms, "kg", "model")


@pytest.mark.parametrize("kind", ["model", "assumed", "stated", "kept"])
def test_ice_is_said_however_its_water_is_warmed(kind: Kind) -> None:
    line = replace(WATER, temperature=kelvin(285.15, kind), ice=ice(0.183))
    assert how_warm(line) == "12 °C, 183 g of it as ice"


def test_without_ice_none_is_said() -> None:
    line = replace(WATER, temperature=kelvin(285.15, "assumed"), ice=ice(0.0))
    assert how_warm(line) == "12 °C, from the tap"


def lever(kind: str, grams: Cell | None) -> LeverRow:
    at = kelvin(285.15, "model")
    return LeverRow(kind, ("water",), at, at, feasible=True, limit="", mass=grams)


def test_the_lever_names_its_ice() -> None:
    assert lever_sentence(lever("ice", ice(0.183))) == "Take 183 g of the water as ice."
    assert lever_sentence(lever("liquid", None)) == "Pour the water at 12 °C."


@pytest.mark.parametrize(
    ("cold", "said"),
    [
        (0.200, "10 °C: 200 g from the freezer, 450 g from the proofer"),
        (0.020, "10 °C, from the proofer"),
        (0.640, "10 °C, from the freezer"),
    ],
)
def test_blended_flour_comes_from_the_places_it_stands_in(cold: float, said: str) -> None:
    line = replace(FLOUR, cold_part=ice(cold), cold_place="freezer", warm_place="proofer")
    assert how_warm(line) == said


def test_what_the_scale_shows_as_nothing_is_still_named() -> None:
    yeast = replace(WATER, weight=Cell(0.0, "kg"), wanted=Cell(0.0003, "kg"), note="dry")
    assert (weight(yeast), aside(yeast)) == ("0.3 g", "below the scale; dry")
    assert (weight(WATER), aside(WATER)) == ("650 g", "")


def test_nothing_at_all_stays_nothing() -> None:
    none = replace(WATER, weight=Cell(0.0, "kg"), wanted=Cell(0.0, "kg"))
    assert (weight(none), aside(none)) == ("0 g", "")


@pytest.mark.parametrize(
    ("kilograms", "said"),
    [
        (0.0996, "100 g"),
        (0.0995, "100 g"),  # halves go to the even digit
        (0.0994, "99 g"),
        (0.00996, "10 g"),
        (0.0095, "9.5 g"),
        (0.00034, "0.34 g"),
        (0.00000004, "0.00004 g"),
        (0.0, "0 g"),
    ],
)
def test_a_small_weight_has_the_digits_it_needs(kilograms: float, said: str) -> None:
    assert fine_mass(kilograms) == said


def test_no_zero_has_a_minus() -> None:
    assert temperature(ICE_POINT - 0.3) == "0 °C"
    assert temperature(ICE_POINT - 0.04, 1) == "0.0 °C"
    assert temperature(ICE_POINT - 0.6) == "−1 °C"
    assert difference(-0.04) == "+0.0 °C"
    assert mass(-0.0004) == "0 g"


def test_the_rest_of_a_solution_is_thrown_away() -> None:
    solution = {"dissolved": 0.01, "water": 0.19, "used": 0.01, "off": 0.0095}
    said = remedy(Notice.of("scale-too-coarse-dissolve", **solution))
    assert "dissolve 10 g in 190 g of water, use 10 g of that and throw the rest away" in said
    assert "9.5 g of it comes off the liquid" in said
