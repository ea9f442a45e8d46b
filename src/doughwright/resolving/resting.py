"""How warm a preparation is after it has stood in its places."""

import math
from collections.abc import Sequence

from doughwright.engine.cooling import (
    approached_temperature,
    heat_transfer,
    inner_resistance,
    sphere_radius,
    still_air,
    time_constant,
)
from doughwright.engine.mixing import MixedDough
from doughwright.resolving.process import TimedStep
from doughwright.units import Conductivity, Density, Kelvin, Kilogram, Ratio, Second

DOUGH_DENSITY: Density = 1230.0
DOUGH_CONDUCTIVITY: Conductivity = 0.44
"""Of a lean dough of 60 % water without bubbles (Choi and Okos parts, see engine.thermal)."""

DOUGH_SURFACE: Ratio = 1.15
"""Surface of a dough in a bowl over that of a sphere of its volume (assumption)."""

UNTIMED: Second = 3600.0
"""How long a rest is taken to last while nothing says so."""


def temperature_after(
    mixed: MixedDough, mass: Kilogram, rests: Sequence[TimedStep], room: Kelvin
) -> Kelvin:
    """Mean temperature after the rests, each in its own place, in a covered bowl.

    The heat the yeast makes is not counted here.
    """
    temperature = mixed.temperature
    for rest in rests:
        lasts = rest.lasts.best if rest.lasts.known else UNTIMED
        temperature = cooled(temperature, mixed, mass, rest.place or room, lasts)
    return temperature


def cooled(
    temperature: Kelvin, mixed: MixedDough, mass: Kilogram, air: Kelvin, lasts: Second
) -> Kelvin:
    """Mean temperature of a preparation after so long in still air, in a covered bowl."""
    place = still_air(air)
    radius = sphere_radius(mass / DOUGH_DENSITY)
    surface = 4.0 * math.pi * radius**2 * DOUGH_SURFACE
    inner = inner_resistance(radius, DOUGH_CONDUCTIVITY)
    transfer = heat_transfer(surface, place.surface_coefficient, place.cover, inner)
    constant = time_constant(mass, mixed.heat_capacity / mixed.mass, transfer)
    return approached_temperature(temperature, air, lasts, constant)
