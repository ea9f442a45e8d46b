"""Yeast, sugars and carbon dioxide: the rates of a fermenting dough.

Every function here is one factor of the rate of carbon dioxide

    rate = peak rate · yeast · activation · warmth · sugar · osmotic · ethanol · fat

and needs nothing but :mod:`math`, so that the compiled integrator
(:mod:`doughwright.engine.stages`) takes the very same functions.
"""

import math
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Annotated, Literal

from doughwright.engine import properties
from doughwright.sources import ModelCard, Range
from doughwright.units import ICE_POINT, Kelvin, Kilogram, Ratio, Second, Unit

YeastKind = Literal["fresh", "instant", "active dry"]
"""How the yeast is sold; it sets strength and the time it takes to wake."""

Tolerance = Literal["lean", "all-round", "osmotolerant"]
"""How much sugar the strain bears. What a shop sells as plain is taken as all-round."""

MolePerKilogram = Annotated[float, Unit("mol/kg")]

HOUR: Second = 3600.0

FERMENTATION = ModelCard(
    key="fermentation",
    name="Fermentation",
    predicts="carbon dioxide, sugars, yeast and ethanol in a dough against time",
    sources=("rosso-1993", "salvado-2011", "saunders-1972", "food-fermentation-text"),
    inputs={
        "dough_temperature": Range(277.15, 318.15, "K"),
        "fresh_yeast": Range(0.0005, 0.06, "kg/kg"),
        "salt": Range(0.0, 0.03, "kg/kg"),
        "sugar": Range(0.0, 0.05, "kg/kg"),
        "fat": Range(0.0, 0.20, "kg/kg"),
        "hydration": Range(0.50, 1.80, "kg/kg"),
        "leavened_by_sourdough": Range(0.0, 0.0, "1", beyond="refuse"),
    },
    expected_error="times within x0.70 to x1.43 in four doughs of five",
    known_from="ln(model/published) over 18 published times, in-sample; and measured series",
    assumptions=(
        "bran, rye and malt are not covered",
        "no acid, no osmotic shock of yeast in very sweet dough",
        "above 5 % sugar the strain decides: the band widens until the baker's times anchor it",
    ),
)


@cache
def parameters() -> Mapping[str, float]:
    """Values of ``properties/fermentation.tsv`` in SI units (s, kg, mol, K, J).

    Examples
    --------
    Fresh yeast at its best makes 5.3 mol of carbon dioxide per kg and hour.

    >>> parameters()["peak_gas_rate"] * HOUR
    5.3
    >>> parameters()["gas_optimum"]
    310.15
    """
    table = properties.constants("fermentation")
    return MappingProxyType({name: _si(row.value, row.unit) for name, row in table.items()})


def _si(value: float, unit: str) -> float:
    if unit == "degC":
        return value + ICE_POINT
    if unit == "h":
        return value * HOUR
    if unit.endswith("atm)"):
        return value * 1000.0 / 101325.0  # mol/(L atm) to mol/(m3 Pa)
    return value / HOUR if unit in {"1/h", "mol/(kg h)"} else value


def fresh_equivalent(yeast: Kilogram, kind: YeastKind) -> Kilogram:
    """Fresh yeast that raises as much as ``yeast`` of ``kind``.

    Examples
    --------
    7 g of instant yeast stand for 21 g of fresh yeast (fresh : instant = 1 : 0.33).

    >>> round(fresh_equivalent(0.007, "instant"), 4)
    0.0212
    """
    return yeast / parameters()["equivalent_" + kind.replace(" ", "_")]


def cardinal_factor(T: Kelvin, low: Kelvin, best: Kelvin, high: Kelvin) -> Ratio:
    """Rate at a temperature over the rate at the optimum, by three cardinal temperatures.

    Rosso et al. 1993; it is 0 below the lowest and above the highest.

    Examples
    --------
    A dough works 3.2 times as fast at 30 as at 15 °C (check point 7: 3.21).

    >>> gas = [cardinal_factor(273.15 + t, 272.55, 310.15, 319.15) for t in (15, 30)]
    >>> round(gas[1] / gas[0], 2)
    3.21
    """
    if not low < T < high:
        return 0.0
    slope = (best - low) * (T - best) - (best - high) * (best + low - 2.0 * T)
    return (T - high) * (T - low) ** 2 / ((best - low) * slope)


def osmotic_factor(osmolality: MolePerKilogram, half: MolePerKilogram, exponent: Ratio) -> Ratio:
    """What salt and sugar leave of the rate; a half at ``half``.

    Examples
    --------
    2 % salt and 1.7 % sugars in a dough of 75 % water take a fifth.

    >>> round(osmotic_factor(0.97, 2.15, 2.0), 2)
    0.83
    """
    if osmolality < 1e-12:  # pure water; a rounding error may even be below
        return 1.0
    return 1.0 / (1.0 + math.exp(exponent * math.log(osmolality / half)))


def saturation_factor(sugar: Ratio, half: Ratio) -> Ratio:
    """Share of the full rate at a sugar content (on flour); a half at ``half``.

    Examples
    --------
    >>> round(saturation_factor(0.0035, 0.0035), 2)
    0.5
    """
    return sugar / (half + sugar)


def solubility(T: Kelvin, at_25: float, slope: Kelvin) -> float:
    """Carbon dioxide that water takes up at equilibrium, in mol/(m³ Pa).

    Examples
    --------
    Water takes up twice as much at 4 as at 30 °C.

    >>> a, b = (solubility(t, 3.36e-4, 2400.0) for t in (277.15, 303.15))
    >>> round(a / b, 1)
    2.1
    """
    return at_25 * math.exp(slope * (1.0 / T - 1.0 / 298.15))


def vapour_pressure(T: Kelvin) -> float:
    """Water vapour pressure in Pa (Magnus formula, from memory; good to 0.3 % at 0–60 °C).

    Examples
    --------
    Steam tables give 3169 Pa at 25 °C.

    >>> abs(vapour_pressure(298.15) / 3169.0 - 1.0) < 0.003
    True
    """
    return 610.94 * math.exp(17.625 * (T - 273.15) / (T - 30.11))


def undissolved_gas(carbon_dioxide: float, air: float, dissolving: float) -> float:
    """Carbon dioxide in the bubbles, in mol, when water and bubbles are in equilibrium.

    ``dissolving`` is what the water would hold under pure carbon dioxide.

    Examples
    --------
    Half the bubble gas is carbon dioxide, so half of what could dissolve is dissolved.

    >>> round(undissolved_gas(0.03, 0.01, 0.04), 6)
    0.01
    """
    free = carbon_dioxide - air - dissolving
    return 0.5 * (free + math.sqrt(free * free + 4.0 * carbon_dioxide * air))


def lost_share(rise: Ratio, limit: Ratio, onset: Ratio) -> Ratio:
    """Share of fresh gas that leaks from a dough risen to ``rise`` times its gas-free volume.

    Nothing leaks below ``onset`` of the possible rise, all at the limit.

    Examples
    --------
    A strong dough (limit 4.6) keeps all its gas until it has risen to 2.44.

    >>> lost_share(2.44, 4.6, 0.4)
    0.0
    >>> round(lost_share(3.52, 4.6, 0.4), 2)
    0.25
    """
    start = 1.0 + onset * (limit - 1.0)
    if rise <= start:
        return 0.0
    if rise >= limit:
        return 1.0
    return ((rise - start) / (limit - start)) ** 2
