"""Heat properties from composition, against CoolProp's food components."""

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from doughwright.engine.ingredients import PARTS, Composition
from doughwright.engine.properties import constants
from doughwright.engine.thermal import (
    COMPONENTS,
    component_property,
    conductivity,
    density,
    ice_enthalpy,
    specific_enthalpy,
    specific_heat,
)
from doughwright.sources import notices_for
from doughwright.units import ICE_POINT

COOLPROP_NAMES = {
    "water": "FoodWater",
    "protein": "FoodProtein",
    "fat": "FoodFat",
    "carbohydrate": "FoodCarbohydrate",
    "fibre": "FoodFiber",
    "ash": "FoodAsh",
}
COOLPROP_KEYS = {"specific_heat": "C", "density": "D", "conductivity": "L"}
TEMPERATURES = [ICE_POINT + t for t in (-10.0, 0.0, 5.0, 20.0, 40.0, 60.0, 80.0)]
CELSIUS_30 = ICE_POINT + 30.0

LEAN_DOUGH = Composition(0.459, 0.075, 0.009, 0.427, 0.017, 0.013)
MILK = Composition(0.8813, 0.0315, 0.0325, 0.048, 0.0, 0.0069)


def pure(part: str) -> Composition:
    return Composition(**{name: float(name == part) for name in PARTS})


def coolprop(quantity: str, fluid: str, temperature: float) -> float:
    return float(PropsSI(COOLPROP_KEYS[quantity], "T", temperature, "P", 101325.0, fluid))


PAIRS = [(part, quantity) for part in COOLPROP_NAMES for quantity in COOLPROP_KEYS]
PAIRS.remove(("water", "specific_heat"))  # differs on purpose: see the second test


@pytest.mark.parametrize("temperature", TEMPERATURES)
@pytest.mark.parametrize(("part", "quantity"), PAIRS)
def test_components_agree_with_coolprop(part: str, quantity: str, temperature: float) -> None:
    # Both print the coefficients of Choi & Okos (1986) with five digits.
    ours = component_property(quantity, part, temperature)
    theirs = coolprop(quantity, f"INCOMP::{COOLPROP_NAMES[part]}", temperature)
    assert ours == pytest.approx(theirs, rel=1e-5)


@pytest.mark.parametrize("temperature", TEMPERATURES)
def test_water_differs_from_coolprops_food_water_by_a_leading_coefficient(
    temperature: float,
) -> None:
    # 4176.2 here, 4128.9 in CoolProp and in some handbook tables: 47.3 J/(kg K) apart,
    # ours is nearer to water. The rest of the parabola is the same.
    ours = component_property("specific_heat", "water", temperature)
    theirs = coolprop("specific_heat", "INCOMP::FoodWater", temperature)
    assert ours - theirs == pytest.approx(4176.2 - 4128.9, abs=0.05)


@pytest.mark.parametrize("temperature", [ICE_POINT + t for t in (5.0, 20.0, 40.0, 60.0, 80.0)])
def test_water_is_water(temperature: float) -> None:
    # IAPWS-95 through CoolProp. Worst at 5 °C: specific heat −0.7 %, density −0.3 %,
    # conductivity +2.1 %; from 40 °C on all within 0.4 %.
    assert specific_heat(pure("water"), temperature) == pytest.approx(
        coolprop("specific_heat", "Water", temperature), rel=0.008
    )
    assert density(pure("water"), temperature) == pytest.approx(
        coolprop("density", "Water", temperature), rel=0.005
    )
    assert conductivity(pure("water"), temperature) == pytest.approx(
        coolprop("conductivity", "Water", temperature), rel=0.025
    )


@pytest.mark.parametrize("quantity", COOLPROP_KEYS)
@pytest.mark.parametrize("celsius", [-30.0, -18.0, -10.0, -5.0, -2.0])
def test_ice_agrees_with_coolprop(quantity: str, celsius: float) -> None:
    ours = component_property(quantity, "ice", ICE_POINT + celsius)
    assert ours == pytest.approx(
        coolprop(quantity, "INCOMP::FoodIce", ICE_POINT + celsius), rel=1e-5
    )


@pytest.mark.parametrize("quantity", COOLPROP_KEYS)
@pytest.mark.parametrize("celsius", [5.0, 30.0, 50.0])
def test_alcohol_agrees_with_coolprops_ethanol(quantity: str, celsius: float) -> None:
    # Fitted at 0, 20 and 60 °C, so these are points in between.
    ours = component_property(quantity, "alcohol", ICE_POINT + celsius)
    assert ours == pytest.approx(coolprop(quantity, "Ethanol", ICE_POINT + celsius), rel=0.002)


def test_lean_dough_lies_among_published_doughs() -> None:
    # Isoperibol calorimetry, doughs of various moisture and fat: 2.15–3.19 kJ/(kg K).
    assert 2150.0 < specific_heat(LEAN_DOUGH, CELSIUS_30) < 3190.0


def test_dough_conducts_like_wet_flour_in_a_probe() -> None:
    # C-Therm, saturated flour, hydration unknown: 0.483 W/(m K); ours is 7 % lower.
    assert conductivity(LEAN_DOUGH, CELSIUS_30) == pytest.approx(0.483, rel=0.15)


@given(st.floats(min_value=ICE_POINT - 10, max_value=ICE_POINT + 90))
def test_enthalpy_is_the_integral_of_specific_heat(temperature: float) -> None:
    step = 0.01
    rise = specific_enthalpy(MILK, temperature + step) - specific_enthalpy(MILK, temperature - step)
    assert rise / (2 * step) == pytest.approx(specific_heat(MILK, temperature), rel=1e-7)


def test_enthalpy_is_nought_at_the_ice_point() -> None:
    assert specific_enthalpy(MILK, ICE_POINT) == 0.0


def test_water_from_ice_point_to_boiling_takes_what_steam_tables_say() -> None:
    # IAPWS-95 through CoolProp: 419.1 kJ/kg; ours is 0.1 % low.
    start, end = (PropsSI("H", "T", t, "P", 101325.0, "Water") for t in (273.16, 373.1))
    assert specific_enthalpy(pure("water"), 373.1) == pytest.approx(end - start, rel=0.003)


def test_ice_from_the_freezer_holds_37_kilojoules_less_than_ice_at_its_melting_point() -> None:
    # 18 K of ice at about 2.0 kJ/(kg K)
    colder = ice_enthalpy(ICE_POINT, 334e3) - ice_enthalpy(ICE_POINT - 18.0, 334e3)
    assert colder == pytest.approx(18.0 * 2010.0, rel=0.01)


@given(st.floats(min_value=0.0, max_value=1.0))
def test_a_mixture_lies_between_its_parts(water: float) -> None:
    blend = Composition(water, 0.0, 1.0 - water, 0.0, 0.0, 0.0)
    ends = pure("fat"), pure("water")
    for quantity in (specific_heat, density, conductivity):
        low, high = sorted(quantity(end, CELSIUS_30) for end in ends)
        assert low * (1 - 1e-12) <= quantity(blend, CELSIUS_30) <= high * (1 + 1e-12)


def test_beyond_its_temperatures_the_card_says_so() -> None:
    (notice,) = notices_for(COMPONENTS, temperature=500.0)
    assert notice.code == "outside-model-range"


def test_every_coefficient_says_that_it_comes_from_memory_or_a_fit() -> None:
    assert {row.source for row in constants("food_components").values()} == {
        "from memory",
        "fitted here",
    }


def test_flour_by_composition_is_too_high_which_is_why_mixing_overrides_it() -> None:
    # A thermodynamics textbook uses 1.76 kJ/(kg K) for flour.
    flour = Composition(0.1336, 0.1198, 0.0166, 0.7013, 0.024, 0.0047)
    assert specific_heat(flour, ICE_POINT + 20.0) > 1.1 * 1760.0


def test_an_unknown_part_is_refused() -> None:
    with pytest.raises(KeyError):
        component_property("specific_heat", "gluten", CELSIUS_30)
