"""Heat properties of foods from their composition.

Choi & Okos (1986) gave each part of a food (water, protein, fat, carbohydrate, fibre,
ash) a parabola in temperature for its specific heat, density and conductivity; a food
is the mixture of its parts. Alcohol, which they left out, has a parabola of our own.
The coefficients stand in ``properties/food_components.tsv``.

Two traps. The specific heat of water is often printed with 4128.9 J/(kg K) in front,
which is 1.1 % too low at 25 °C; we use 4176.2. And flour by composition comes out at
2.0 kJ/(kg K) where calorimeters find about 1.8: mixing overrides it (see ``mixing.py``).

Water counts as liquid below the ice point too, as the bound water of flour is. What
is truly frozen is ice: :func:`ice_enthalpy`.
"""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from doughwright.engine.ingredients import PARTS, Composition
from doughwright.engine.properties import constants
from doughwright.sources import Constant, ModelCard, Range
from doughwright.units import (
    ICE_POINT,
    Conductivity,
    Density,
    JoulePerKilogram,
    Kelvin,
    SpecificHeat,
)

Polynomial = tuple[float, float, float]
"""Coefficients a, b, c of a + b·t + c·t², t in °C."""

COMPONENTS = ModelCard(
    key="food-components",
    name="Heat properties from composition",
    predicts="specific heat, density and conductivity of a food without gas bubbles",
    sources=("choi-okos-1986", "coolprop", "dough-calorimetry", "c-therm-flour"),
    inputs={"temperature": Range(233.15, 423.15, "K")},
    expected_error=("specific heat 5 % (dry flour 10 % too high), density 2 %, conductivity 15 %"),
    known_from=(
        "coefficients agree with CoolProp's to every printed digit but for water's specific "
        "heat; published doughs of 2.15–3.19 kJ/(kg K) bracket what comes out; "
        "a probe in flour and water read 0.48 W/(m K) against 0.44 here, hydration unknown"
    ),
    assumptions=(
        "the parts mix without changing one another",
        "conductivity: the parts lie side by side along the heat flow",
        "water is liquid below the ice point as well",
        "sugar, starch and salt are taken as carbohydrate and ash",
    ),
)


@cache
def component_polynomials(quantity: str) -> Mapping[str, Polynomial]:
    """Coefficients by part for ``specific_heat``, ``density`` or ``conductivity``.

    >>> component_polynomials("specific_heat")["water"]  # Choi & Okos 1986
    (4176.2, -0.090864, 0.0054731)
    """
    table = constants("food_components")
    return MappingProxyType({part: _polynomial(table, part, quantity) for part in (*PARTS, "ice")})


def _polynomial(table: Mapping[str, Constant], part: str, quantity: str) -> Polynomial:
    values = [table[f"{part}_{quantity}_{power}"].value for power in range(3)]
    return (values[0], values[1], values[2])


def component_property(quantity: str, part: str, temperature: Kelvin) -> float:
    """Property of one part, in the SI unit of the quantity.

    >>> component_property("specific_heat", "water", 298.15)  # true water: 4181
    4177.35
    """
    a, b, c = component_polynomials(quantity)[part]
    t = temperature - ICE_POINT
    return a + (b + c * t) * t


def specific_heat(composition: Composition, temperature: Kelvin) -> SpecificHeat:
    """Specific heat, the sum of the parts' by mass.

    >>> milk = Composition(0.8813, 0.0315, 0.0325, 0.0480, 0.0, 0.0069)  # 3.9 in textbooks
    >>> specific_heat(milk, 293.15)
    3894.
    """
    return sum(
        share * component_property("specific_heat", part, temperature)
        for part, share in _shares(composition)
    )


def specific_enthalpy(composition: Composition, temperature: Kelvin) -> JoulePerKilogram:
    """Heat content relative to 0 °C: the exact integral of :func:`specific_heat`.

    >>> water = Composition(1.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    >>> round(specific_enthalpy(water, 373.15), -3)  # steam tables: 419 kJ/kg
    419000.0
    """
    return sum(
        share * _integral("specific_heat", part, temperature)
        for part, share in _shares(composition)
    )


def ice_enthalpy(temperature: Kelvin, heat_of_fusion: JoulePerKilogram) -> JoulePerKilogram:
    """Heat content of ice relative to liquid water at 0 °C, for ice at or below 0 °C.

    >>> ice_enthalpy(273.15, 333.5e3)
    -333500.0
    """
    return _integral("specific_heat", "ice", temperature) - heat_of_fusion


def density(composition: Composition, temperature: Kelvin) -> Density:
    """Density without gas: the parts' volumes added up.

    >>> dough = Composition(0.459, 0.075, 0.009, 0.427, 0.017, 0.013)  # lean, 60 % water
    >>> round(density(dough, 293.15), -1)  # gas-free dough is about 1.2 kg/L
    1230.0
    """
    return 1.0 / sum(_volumes(composition, temperature).values())


def conductivity(composition: Composition, temperature: Kelvin) -> Conductivity:
    """Conductivity without gas, the parts side by side: an upper bound.

    >>> dough = Composition(0.459, 0.075, 0.009, 0.427, 0.017, 0.013)
    >>> conductivity(dough, 293.15)  # a probe in flour and water: 0.48 (C-Therm)
    0.44
    """
    volumes = _volumes(composition, temperature)
    along = sum(
        volume * component_property("conductivity", part, temperature)
        for part, volume in volumes.items()
    )
    return along / sum(volumes.values())


def _shares(composition: Composition) -> list[tuple[str, float]]:
    return [(part, share) for part in PARTS if (share := getattr(composition, part))]


def _volumes(composition: Composition, temperature: Kelvin) -> dict[str, float]:
    return {
        part: share / component_property("density", part, temperature)
        for part, share in _shares(composition)
    }


def _integral(quantity: str, part: str, temperature: Kelvin) -> float:
    a, b, c = component_polynomials(quantity)[part]
    t = temperature - ICE_POINT
    return (a + (b / 2 + c * t / 3) * t) * t
