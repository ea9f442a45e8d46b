"""Water that boils: saturation pressure, boiling point, and how dough holds its water.

Pure water follows the saturation line of the IAPWS Industrial Formulation 1997 (region 4),
whose basic equation is a quadratic in both pressure⁰·²⁵ and a shifted temperature, so that
either is got from the other without a search. Its coefficients are written from memory; the
tests compare them with CoolProp and with the formulation's own check values.

Dough holds water by sorption: the drier it is, the less its water presses to leave and the
hotter it must be to boil. Oswin's equation says how much; its numbers stand in
``properties/water.tsv``. Moisture is kg of water per kg of dry dough throughout.
"""

import math
from functools import cache

from doughwright.engine.properties import constants
from doughwright.engine.roots import root
from doughwright.sources import ModelCard, Range, notices_for
from doughwright.units import ICE_POINT, JoulePerKilogram, Kelvin, Pascal, Ratio

CRITICAL_POINT: Kelvin = 647.096
"""Where liquid and vapour become one; IAPWS, exact by definition."""

SATURATION = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)
"""Coefficients n1 … n10 of IF97's region 4, for K and MPa."""

WATER_VAPOUR = ModelCard(
    key="water-vapour",
    name="Boiling water",
    predicts="saturation pressure and boiling point of pure water, heat of vaporization",
    sources=("iapws-if97", "coolprop", "from memory"),
    inputs={
        "temperature": Range(ICE_POINT, CRITICAL_POINT, "K", beyond="refuse"),
        "pressure": Range(611.2, 22.064e6, "Pa", beyond="refuse"),
    },
    expected_error="pressure 0.02 %, boiling point 0.01 K; heat of vaporization "
    "0.4 % high at 100 °C, 1.6 % at 150 °C, 5 % at 200 °C",
    known_from="CoolProp's IF97 to all digits and its IAPWS-95 to 0.02 %, 0–200 °C",
    assumptions=("the heat of vaporization is a straight line in temperature",),
)
SORPTION = ModelCard(
    key="dough-sorption",
    name="Water held by dough",
    predicts="water activity and boiling point of dough, crumb and crust from their moisture",
    sources=("lind-rask-1991", "from memory", "assumption"),
    inputs={
        "moisture": Range(0.005, 3.0, "1", beyond="refuse"),
        "temperature": Range(ICE_POINT, CRITICAL_POINT, "K", beyond="refuse"),
        "pressure": Range(20e3, 120e3, "Pa", beyond="refuse"),
        "sorption_scale": Range(0.05, 0.25, "1", beyond="refuse"),
    },
    expected_error="20 % of the moisture at a water activity; 0.1 K of boiling for wet dough, "
    "10 K for a crust of 4 %",
    known_from="the scale was set on two points only, a dough and a crust; no isotherm was read",
    assumptions=(
        "sugar and salt only change the scale; between lean and enriched there is no step",
        "the crust follows the same curve as the dough, drying only",
    ),
)


@cache
def water_constant(name: str) -> float:
    """Value of a row of ``properties/water.tsv``.

    >>> water_constant("sorption_exponent")
    0.38
    """
    return constants("water")[name].value


def saturation_pressure(temperature: Kelvin) -> Pascal:
    """Vapour pressure of pure water, from 0 °C to the critical point; refused outside.

    >>> saturation_pressure(300.0), saturation_pressure(500.0)  # IAPWS-IF97, table 35 (memory)
    (3536.58941, 2638897.76)

    Raises
    ------
    ImpossibleInput
        Where liquid and vapour cannot stand together.
    """
    notices_for(WATER_VAPOUR, temperature=temperature)
    return _saturation_pressure(temperature)


def _saturation_pressure(temperature: Kelvin) -> Pascal:
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = SATURATION
    shifted = temperature + n9 / (temperature - n10)
    a = (shifted + n1) * shifted + n2
    b = (n3 * shifted + n4) * shifted + n5
    c = (n6 * shifted + n7) * shifted + n8
    root = 2.0 * c / (math.sqrt(b * b - 4.0 * a * c) - b)
    return float(1e6 * root**4)


def boiling_point(pressure: Pascal) -> Kelvin:
    """Temperature at which pure water boils: :func:`saturation_pressure` the other way round.

    >>> boiling_point(0.1e6), boiling_point(1e6)  # IAPWS-IF97, table 36 (memory)
    (372.755919, 453.035632)

    Raises
    ------
    ImpossibleInput
        Below the pressure of freezing water or above the critical one.
    """
    notices_for(WATER_VAPOUR, pressure=pressure)
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = SATURATION
    root = math.sqrt(math.sqrt(pressure / 1e6))
    e = (root + n3) * root + n6
    f = (n1 * root + n4) * root + n7
    g = (n2 * root + n5) * root + n8
    d = 2.0 * g / (-f - math.sqrt(f * f - 4.0 * e * g))
    return 0.5 * (n10 + d - math.sqrt((n10 + d) ** 2 - 4.0 * (n9 + n10 * d)))


def vaporization_heat(temperature: Kelvin) -> JoulePerKilogram:
    """Heat that turns water into vapour at a temperature.

    >>> round(vaporization_heat(373.15), -3)  # steam tables: 2257 kJ/kg
    2265000.0
    """
    slope = water_constant("vaporization_slope")
    return water_constant("vaporization_heat") - slope * (temperature - ICE_POINT)


def sorption_scale(*, enriched: bool) -> Ratio:
    """Moisture (kg per kg dry) that a dough holds at a water activity of one half and 25 °C.

    >>> sorption_scale(enriched=False)  # no published example
    0.11
    """
    return water_constant("sorption_scale_enriched" if enriched else "sorption_scale_lean")


def water_activity(moisture: Ratio, temperature: Kelvin, sorption_scale: Ratio) -> Ratio:
    """How strongly a dough's water presses to leave, over pure water's at that temperature.

    ``moisture`` in kg per kg dry; ``sorption_scale`` as :func:`sorption_scale` gives it.
    Oswin's equation; what is drier than 0.5 % is refused.

    >>> round(water_activity(0.11, 298.15, 0.11), 6)  # half, by the meaning of the scale
    0.5
    >>> round(water_activity(0.68, 298.15, 0.11), 2)  # lean dough; doughs are near 0.99
    0.99
    """
    notices_for(SORPTION, moisture=moisture, temperature=temperature, sorption_scale=sorption_scale)
    return _water_activity(moisture, temperature, sorption_scale)


def _water_activity(moisture: Ratio, temperature: Kelvin, scale: Ratio) -> Ratio:
    warmer = temperature - water_constant("sorption_reference")
    scale_here = scale * math.exp(-water_constant("sorption_slope") * warmer)
    odds = float((moisture / scale_here) ** (1.0 / water_constant("sorption_exponent")))
    return odds / (1.0 + odds)


def boiling_point_of_dough(moisture: Ratio, pressure: Pascal, sorption_scale: Ratio) -> Kelvin:
    """Temperature at which a dough's water boils: its vapour pressure is that of the air.

    Wet dough boils as water does, a crust hotter. Refused outside the ranges of SORPTION.

    >>> round(boiling_point_of_dough(0.68, 101325.0, 0.11) - 273.15, 1)  # no published example
    100.0
    >>> round(boiling_point_of_dough(0.04, 101325.0, 0.11) - 273.15)  # crust, set near 140
    140
    """
    notices_for(SORPTION, moisture=moisture, pressure=pressure, sorption_scale=sorption_scale)

    def excess(inverse: float) -> float:
        temperature = 1.0 / inverse
        activity = _water_activity(moisture, temperature, sorption_scale)
        return math.log(activity * _saturation_pressure(temperature) / pressure)

    return 1.0 / root(excess, 1.0 / CRITICAL_POINT, 1.0 / boiling_point(pressure))
