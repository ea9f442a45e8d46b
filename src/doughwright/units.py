"""The units that stand in the engine's signatures.

Inside the engine every number is a plain SI float. The unit is written in the
annotation, so that documentation, forms and tests can read it::

    def dough_temperature(room: Kelvin, warming: KelvinDifference) -> Kelvin: ...

A temperature and a temperature difference are different things: 5 K of warming
is 9 °F of warming, while 5 °C is 41 °F.
"""

from dataclasses import dataclass
from typing import Annotated, Any


@dataclass(frozen=True, slots=True)
class Unit:
    """The SI unit of an annotated float, in pint's spelling; ``"1"`` for a ratio."""

    symbol: str


Kilogram = Annotated[float, Unit("kg")]
Kelvin = Annotated[float, Unit("K")]
KelvinDifference = Annotated[float, Unit("delta_K")]
Second = Annotated[float, Unit("s")]
Metre = Annotated[float, Unit("m")]
SquareMetre = Annotated[float, Unit("m**2")]
CubicMetre = Annotated[float, Unit("m**3")]
Ratio = Annotated[float, Unit("1")]
Joule = Annotated[float, Unit("J")]
JoulePerKilogram = Annotated[float, Unit("J/kg")]
JoulePerKelvin = Annotated[float, Unit("J/K")]
SpecificHeat = Annotated[float, Unit("J/(kg K)")]
Watt = Annotated[float, Unit("W")]
WattPerKilogram = Annotated[float, Unit("W/kg")]
WattPerKelvin = Annotated[float, Unit("W/K")]
Conductivity = Annotated[float, Unit("W/(m K)")]
SurfaceCoefficient = Annotated[float, Unit("W/(m**2 K)")]
ThermalResistance = Annotated[float, Unit("m**2 K/W")]
Density = Annotated[float, Unit("kg/m**3")]
Pascal = Annotated[float, Unit("Pa")]
Mole = Annotated[float, Unit("mol")]
PerSecond = Annotated[float, Unit("1/s")]
Money = Annotated[float, Unit("1")]
MoneyPerKilogram = Annotated[float, Unit("1/kg")]
MoneyPerJoule = Annotated[float, Unit("1/J")]
MoneyPerSecond = Annotated[float, Unit("1/s")]
"""Money is a plain number of one currency: which one stands beside it, and two are never added."""

Array = Any
"""A numpy array; what its numbers are stands in the docstring beside it."""

ICE_POINT: Kelvin = 273.15
"""0 °C; the ITS-90 definition of the Celsius scale, exact."""
