"""Boiling water against CoolProp; dough that holds its water against what set the curve."""

from itertools import pairwise

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from doughwright.engine.oven import air_pressure
from doughwright.engine.water import (
    CRITICAL_POINT,
    SORPTION,
    boiling_point,
    boiling_point_of_dough,
    saturation_pressure,
    sorption_scale,
    vaporization_heat,
    water_activity,
)
from doughwright.errors import ImpossibleInput
from doughwright.units import ICE_POINT

LEAN = sorption_scale(enriched=False)
ENRICHED = sorption_scale(enriched=True)
SEA_LEVEL = 101325.0
FOOT = 0.3048
TEMPERATURES = [273.16, 280.0, 293.15, 313.15, 333.15, 353.15, 373.124, 393.15, 423.15, 453.15, 473]

moistures = st.floats(0.02, 2.0)
scales = st.floats(0.08, 0.18)
pressures = st.floats(40e3, 110e3)


def coolprop(wanted: str, given_: str, value: float, fluid: str, vapour: float = 0.0) -> float:
    return float(PropsSI(wanted, given_, value, "Q", vapour, fluid))


@pytest.mark.parametrize("temperature", TEMPERATURES)
def test_saturation_pressure_is_that_of_the_same_formulation(temperature: float) -> None:
    # CoolProp's IF97: the coefficients written from memory are right to the last digit.
    assert saturation_pressure(temperature) == pytest.approx(
        coolprop("P", "T", temperature, "IF97::Water"), rel=1e-12
    )


@pytest.mark.parametrize("temperature", TEMPERATURES)
def test_saturation_pressure_agrees_with_the_scientific_formulation(temperature: float) -> None:
    # IAPWS-95 through CoolProp: 0.005 % at most to 100 °C, 0.018 % at most to 200 °C.
    assert saturation_pressure(temperature) == pytest.approx(
        coolprop("P", "T", temperature, "Water"), rel=2e-4
    )


@pytest.mark.parametrize("pressure", [1e3, 30e3, 54e3, 75e3, 101325.0, 2e5, 5e5, 1.5e6])
def test_boiling_point_agrees_with_the_scientific_formulation(pressure: float) -> None:
    # IAPWS-95 through CoolProp: within 0.008 K, the worst at 15 bar.
    assert boiling_point(pressure) == pytest.approx(coolprop("T", "P", pressure, "Water"), abs=0.01)


@pytest.mark.parametrize(
    ("feet", "celsius"), [(0.0, 100.0), (5000.0, 95.0), (7500.0, 92.4), (10000.0, 90.0)]
)
def test_boiling_points_at_altitude(feet: float, celsius: float) -> None:
    # A table for cooking at altitude, printed in whole °F: 212, 203, 198, 194. Ours are 99.97,
    # 94.90, 92.36 and 89.81 °C.
    assert boiling_point(air_pressure(feet * FOOT)) - ICE_POINT == pytest.approx(celsius, abs=0.3)


@pytest.mark.parametrize(
    ("celsius", "within"), [(0.01, 1e-4), (50.0, 1e-3), (100.0, 4e-3), (150.0, 0.017), (200, 0.05)]
)
def test_heat_of_vaporization(celsius: float, within: float) -> None:
    # IAPWS-95 through CoolProp: exact at 0 °C, 0.4 % high at 100 °C, 4.6 % high at 200 °C.
    temperature = ICE_POINT + celsius
    liquid, vapour = (coolprop("H", "T", temperature, "Water", q) for q in (0.0, 1.0))
    assert vaporization_heat(temperature) == pytest.approx(vapour - liquid, rel=within)


@given(st.floats(ICE_POINT, CRITICAL_POINT - 0.1))
def test_boiling_point_and_saturation_pressure_are_each_others_inverse(temperature: float) -> None:
    # The formulation's two equations differ by rounding only; flattest near the critical point.
    assert boiling_point(saturation_pressure(temperature)) == pytest.approx(temperature, abs=1e-6)


@given(st.floats(ICE_POINT, CRITICAL_POINT - 1.0))
def test_hotter_water_presses_harder_and_needs_less_heat(temperature: float) -> None:
    assert saturation_pressure(temperature + 0.5) > saturation_pressure(temperature)
    assert vaporization_heat(temperature + 0.5) < vaporization_heat(temperature)


@given(st.floats(60e3, 101e3))
def test_water_boils_where_its_vapour_pressure_rises_as_clapeyron_says(pressure: float) -> None:
    # dp/dT = L p / (R T²) for a light vapour; real steam is 1.5 % denser, the line 0.4 % high.
    boiling = boiling_point(pressure)
    slope = (saturation_pressure(boiling + 0.05) - saturation_pressure(boiling - 0.05)) / 0.1
    expected = vaporization_heat(boiling) * pressure / (461.526 * boiling**2)
    assert slope == pytest.approx(expected, rel=0.02)


def test_the_scale_is_the_moisture_at_half_saturation() -> None:
    # By the form of Oswin's equation, at 25 °C.
    for scale in (LEAN, ENRICHED):
        assert water_activity(scale, ICE_POINT + 25.0, scale) == pytest.approx(0.5)


def test_the_scale_gives_back_the_two_points_it_was_set_on() -> None:
    # Dough has a water activity near 0.99; crust at 140 °C holds about 4 % of water.
    assert water_activity(0.68, ICE_POINT + 25.0, LEAN) == pytest.approx(0.99, abs=0.01)
    assert water_activity(0.61, ICE_POINT + 25.0, ENRICHED) == pytest.approx(0.98, abs=0.01)
    crust = boiling_point_of_dough(0.04, SEA_LEVEL, LEAN) - ICE_POINT
    assert crust == pytest.approx(140.0, abs=5.0)


def test_a_scale_wrong_by_a_fifth_moves_boiling_as_the_card_says() -> None:
    for moisture, kelvin in ((0.68, 0.1), (0.04, 10.5)):
        for factor in (0.8, 1.2):
            off = boiling_point_of_dough(moisture, SEA_LEVEL, factor * LEAN)
            right = boiling_point_of_dough(moisture, SEA_LEVEL, LEAN)
            assert abs(off - right) < kelvin


@given(moistures, pressures, scales)
def test_dough_boils_where_its_vapour_presses_like_the_air(
    moisture: float, pressure: float, scale: float
) -> None:
    boiling = boiling_point_of_dough(moisture, pressure, scale)
    pressing = water_activity(moisture, boiling, scale) * saturation_pressure(boiling)
    assert pressing == pytest.approx(pressure, rel=1e-8)
    assert boiling > boiling_point(pressure)


@given(moistures, pressures, scales)
def test_drier_dough_and_denser_air_boil_hotter(
    moisture: float, pressure: float, scale: float
) -> None:
    here = boiling_point_of_dough(moisture, pressure, scale)
    assert boiling_point_of_dough(0.95 * moisture, pressure, scale) > here
    assert boiling_point_of_dough(moisture, 1.02 * pressure, scale) > here
    assert boiling_point_of_dough(moisture, pressure, 1.05 * scale) > here


@given(moistures, scales, st.floats(ICE_POINT, 450.0))
def test_activity_lies_between_nought_and_one_and_rises_with_moisture_and_warmth(
    moisture: float, scale: float, temperature: float
) -> None:
    here = water_activity(moisture, temperature, scale)
    assert 0.0 < here < 1.0
    assert water_activity(1.05 * moisture, temperature, scale) > here
    assert water_activity(moisture, temperature + 5.0, scale) > here


def test_the_corners_of_the_card_have_a_boiling_point() -> None:
    ranges = [SORPTION.inputs[name] for name in ("moisture", "pressure", "sorption_scale")]
    for moisture in (ranges[0].low, ranges[0].high):
        for pressure in (ranges[1].low, ranges[1].high):
            found = [
                boiling_point_of_dough(moisture, pressure, scale)
                for scale in (ranges[2].low, 0.11, ranges[2].high)
            ]
            assert all(one < other <= CRITICAL_POINT for one, other in pairwise(found))


@pytest.mark.parametrize("temperature", [-20.0, 273.0, 647.2, 1000.0])
def test_no_pressure_where_liquid_and_vapour_cannot_stand_together(temperature: float) -> None:
    with pytest.raises(ImpossibleInput, match="no-such-value"):
        saturation_pressure(temperature)


@pytest.mark.parametrize("pressure", [-1.0, 0.0, 600.0, 22.1e6])
def test_no_boiling_point_without_boiling(pressure: float) -> None:
    with pytest.raises(ImpossibleInput, match="no-such-value"):
        boiling_point(pressure)


@pytest.mark.parametrize(
    ("moisture", "pressure", "scale"),
    [(0.0, 1e5, 0.11), (-0.1, 1e5, 0.11), (0.5, 0.0, 0.11), (0.5, 1e6, 0.11), (0.5, 1e5, 0.0)],
)
def test_dough_that_cannot_be_is_refused(moisture: float, pressure: float, scale: float) -> None:
    with pytest.raises(ImpossibleInput, match="no-such-value"):
        boiling_point_of_dough(moisture, pressure, scale)


def test_everything_wrong_is_said_at_once() -> None:
    with pytest.raises(ImpossibleInput) as caught:
        water_activity(0.0, 1000.0, 7.0)
    assert [problem.values["input"] for problem in caught.value.problems] == [
        "moisture",
        "temperature",
        "sorption scale",
    ]
