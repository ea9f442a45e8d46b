"""How warm a preparation is after it has stood in its places."""

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
from doughwright.units import Conductivity, Density, Kelvin, Kilogram

DOUGH_DENSITY: Density = 1230.0
DOUGH_CONDUCTIVITY: Conductivity = 0.44
UNTIMED = 3600.0


def temperature_after(
    mixed: MixedDough, mass: Kilogram, rests: Sequence[TimedStep], room: Kelvin
) -> Kelvin:
    """Mean temperature after the rests, each in its own place, in a covered bowl.

    The heat the yeast makes is not counted here.
    """
    temperature = mixed.temperature
    volume = mass / DOUGH_DENSITY
    radius = sphere_radius(volume)
    for rest in rests:
        place = still_air(rest.place or room)
        surface = 4 * 3.141592653589793 * radius**2 * 1.15
        transfer = heat_transfer(
            surface,
            place.surface_coefficient,
            place.cover,
            inner_resistance(radius, DOUGH_CONDUCTIVITY),
        )
        constant = time_constant(mass, mixed.heat_capacity / mixed.mass, transfer)
        lasts = rest.lasts.best if rest.lasts.known else UNTIMED
        temperature = approached_temperature(temperature, place.temperature, lasts, constant)
    return temperature
