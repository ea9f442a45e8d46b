"""A dough against the air around it: how its temperature follows room, fridge or proofer."""

import math
from dataclasses import dataclass

from doughwright.engine.fermentation import parameters
from doughwright.sources import ModelCard, Range
from doughwright.units import (
    Conductivity,
    CubicMetre,
    Kelvin,
    KelvinDifference,
    Kilogram,
    Pascal,
    Ratio,
    Second,
    SpecificHeat,
    SurfaceCoefficient,
    ThermalResistance,
    WattPerKelvin,
)

COOLING = ModelCard(
    key="cooling",
    name="Dough temperature over time",
    predicts="mean and core temperature of a dough in a room, a fridge or a proofer",
    sources=("choi-okos-1986", "pmq-think-tank", "fridge-probe-log"),
    inputs={
        "air_temperature": Range(272.15, 318.15, "K"),
        "piece_mass": Range(0.05, 100.0, "kg"),
    },
    expected_error="2 K in a fridge, 1 K in a room",
    known_from="eight published temperatures; one probe log; two of them missed by up to 2 K",
    assumptions=(
        "one mean temperature for the dough, a sphere's internal resistance added to the surface",
        "no evaporation and no condensation; no freezing",
    ),
)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a dough stands.

    ``cover`` is the thermal resistance of bowl, basket, tin or cloth between dough and air;
    ``give`` how far the true air may be from ``temperature`` (a standard deviation);
    ``regulated`` marks a fridge or proofer, whose error is not the room's; a small sample in a
    ``bath`` takes on its temperature within a minute.
    """

    temperature: Kelvin
    surface_coefficient: SurfaceCoefficient = 8.0
    cover: ThermalResistance = 0.05
    give: KelvinDifference = 1.0
    regulated: bool = False
    pressure: Pascal = 101325.0
    bath: bool = False


def sphere_radius(volume: CubicMetre) -> float:
    """Radius in m of a sphere of a volume.

    Examples
    --------
    >>> round(sphere_radius(4.18879e-6), 4)
    0.01
    """
    return math.exp(math.log(0.75 * volume / math.pi) / 3.0)


def inner_resistance(radius: float, conductivity: Conductivity) -> ThermalResistance:
    """Resistance of a sphere between its mean and its surface: r/(5k), linear driving force.

    Examples
    --------
    >>> round(inner_resistance(0.0579, 0.447), 4)
    0.0259
    """
    return radius / (5.0 * conductivity)


def heat_transfer(surface: float, film: SurfaceCoefficient, cover: float, inner: float) -> float:
    """Heat flow per kelvin between a dough's mean and the air, W/K.

    ``surface`` in m², ``cover`` and ``inner`` in m² K/W.

    Examples
    --------
    >>> round(heat_transfer(0.0513, 8.0, 0.0, 0.0266), 3)
    0.338
    """
    return surface / (1.0 / film + cover + inner)


def time_constant(mass: Kilogram, specific_heat: SpecificHeat, transfer: WattPerKelvin) -> Second:
    """Time for a dough's distance from the air to fall to 37 %.

    Examples
    --------
    A 1 kg ball in still air: 2.3 h (table of time constants, open, h = 8).

    >>> round(time_constant(1.0, 2820.0, 0.338) / 3600.0, 1)
    2.3
    """
    return mass * specific_heat / transfer


def approached_temperature(start: Kelvin, air: Kelvin, time: Second, constant: Second) -> Kelvin:
    """Temperature of a dough that makes no heat, some time after it met the air.

    Examples
    --------
    One time constant leaves 37 % of the distance: 25 °C in a 5 °C fridge.

    >>> round(approached_temperature(298.15, 278.15, 8280.0, 8280.0) - 273.15, 1)
    12.4
    """
    return air + (start - air) * math.exp(-time / constant)


def core_share(inner: ThermalResistance, film: SurfaceCoefficient, cover: float) -> Ratio:
    """How far the core lies beyond the mean, over the mean's distance from the air.

    Examples
    --------
    >>> round(core_share(0.0259, 8.0, 0.05), 3)
    0.193
    """
    return 1.5 * inner / (inner + 1.0 / film + cover)


def still_air(temperature: Kelvin, *, covered: bool = True) -> Place:
    """Return a room without draught, the dough in a covered bowl, basket or under a cloth.

    Examples
    --------
    >>> still_air(295.15).surface_coefficient
    8.0
    """
    p = parameters()
    return Place(temperature, p["surface_still_air"], p["cover_resistance"] if covered else 0.0)
