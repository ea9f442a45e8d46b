"""Ovens: what a dial means in another oven, how fast one heats up, how heat gets to the bread.

A setting belongs to a kind of oven: ``fan``, ``conventional`` or ``gas``. A fan setting is
already the lower one, so :func:`equivalent_setting` asks for the kind and leaves a setting of
the same kind alone. A gas mark stands for the temperature of a conventional oven.

``reads`` is by how much the air is hotter than the dial. Numbers: ``properties/oven.tsv``.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal

from doughwright.engine.properties import constants
from doughwright.errors import ImpossibleInput, Notice
from doughwright.sources import ModelCard, Range, notices_for
from doughwright.units import (
    JoulePerKelvin,
    Kelvin,
    KelvinDifference,
    Metre,
    Pascal,
    Ratio,
    Second,
    SurfaceCoefficient,
    Watt,
    WattPerKelvin,
)

OvenKind = Literal["fan", "conventional", "gas"]
FanRule = Literal["celsius", "fahrenheit"]
"""A fan oven is set 20 °C lower in recipes in °C, 25 °F (14 °C) lower in recipes in °F."""

SEA_LEVEL: Pascal = 101325.0
"""Standard air pressure, exact by definition."""
BOLTZMANN = 5.670374419e-8
"""Stefan–Boltzmann constant in W/(m² K⁴), exact in the SI of 2019."""

STANDARD_ATMOSPHERE = ModelCard(
    key="standard-atmosphere",
    name="Air pressure",
    predicts="mean air pressure at an altitude",
    sources=("icao-standard-atmosphere",),
    inputs={"altitude": Range(-500.0, 9000.0, "m", beyond="refuse")},
    expected_error="0.1 % of the standard to 5 km; weather moves it by 3 %, boiling by 0.8 K",
    known_from="an independent standard atmosphere agrees to 0.06 % up to 5 km, 0.2 % at 9 km",
)
OVEN_SETTINGS = ModelCard(
    key="oven-settings",
    name="One oven's setting in another",
    predicts="dial of a fan, conventional or gas oven that bakes as another's does",
    sources=("baumatic-bo788ss", "kenwood-kdbu-170", "belling-g755", "convection-oven-101"),
    inputs={"temperature": Range(373.15, 533.15, "K")},
    expected_error="5 K between fan and conventional, 15 K to or from a gas mark",
    known_from="two makers' tables differ by up to 10 K in a mark, a third's centres by 20 K",
    assumptions=("the bread, its time and its shelf stay the same",),
)
OVEN_HEATING = ModelCard(
    key="oven-heating",
    name="Heating up",
    predicts="time an oven takes to a setting, and what loading it costs",
    sources=("assumption",),
    inputs={
        "setting": Range(323.15, 623.15, "K"),
        "heats_in": Range(60.0, 86400.0, "s", beyond="refuse"),
        "trays": Range(0.0, 20.0, "1", beyond="refuse"),
    },
    expected_error="25 % of the time without the baker's own figure, 10 % with it, to 250 °C; "
    "the drop and its recovery 40 %",
    known_from="engineering estimates; no oven was measured",
    assumptions=(
        "air, walls and lining warm as one; full power until the setting is reached",
        "a stone or steel is not counted: it needs longer than the air",
    ),
)
OVEN_HEAT_TRANSFER = ModelCard(
    key="oven-heat-transfer",
    name="Heat to the bread's surface",
    predicts="convection and radiation to what stands in an oven",
    sources=("baik-1999", "assumption", "from memory"),
    inputs={
        "pressure": Range(30e3, 110e3, "Pa", beyond="refuse"),
        "warmer_air": Range(1.0, 700.0, "delta_K", beyond="refuse"),
    },
    expected_error="convection 30 %, walls 6 K",
    known_from="general correlations for a 10 cm body (6.4–6.6 without draught, 7–17 W/(m² K) "
    "at 0.5–2 m/s); the sums lie in the 20–48 W/(m² K) measured in a tunnel oven",
    assumptions=(
        "the bread sees walls on all sides; loaves side by side shade one another",
        "convection goes with the root of the pressure, as in laminar flow",
    ),
)


@cache
def oven_constant(name: str) -> float:
    """Value of a row of ``properties/oven.tsv``.

    >>> oven_constant("fan_step_celsius")
    20.0
    """
    return constants("oven")[name].value


def air_pressure(altitude: Metre) -> Pascal:
    """Air pressure of the ICAO standard atmosphere; refused above 9 km.

    >>> round(air_pressure(1000.0), -2)  # the standard's own table (from memory): 898.7 hPa
    89900.0
    """
    notices_for(STANDARD_ATMOSPHERE, altitude=altitude)
    return float(SEA_LEVEL * (1.0 - 2.25577e-5 * altitude) ** 5.2559)


def fan_step(rule: FanRule = "celsius") -> KelvinDifference:
    """By how much a fan oven is set lower than a conventional one.

    >>> round(fan_step("fahrenheit") * 1.8, 2)  # 25 °F, which is not 25 °C
    25.0
    """
    return oven_constant(f"fan_step_{rule}")


def conventional_from_fan(dial: Kelvin, rule: FanRule = "celsius") -> Kelvin:
    """Conventional setting that bakes as a fan setting does.

    >>> round(conventional_from_fan(453.15) - 273.15)  # oven tables: 180 °C fan is 200 °C
    200
    """
    return dial + fan_step(rule)


def fan_from_conventional(dial: Kelvin, rule: FanRule = "celsius") -> Kelvin:
    """Fan setting that bakes as a conventional setting does.

    >>> round(fan_from_conventional(503.15) - 273.15)  # oven tables: 230 °C is 210 °C fan
    210
    """
    return dial - fan_step(rule)


@cache
def gas_marks() -> Mapping[str, Kelvin]:
    """Conventional temperature of each mark of a gas oven, coolest first.

    >>> list(gas_marks())[:3]
    ['¼', '½', '1']
    """
    prefix = "gas_mark_"
    rows = (row for row in constants("oven").values() if row.name.startswith(prefix))
    return MappingProxyType({row.name.removeprefix(prefix): row.value for row in rows})


def temperature_of_gas_mark(mark: str) -> Kelvin:
    """Conventional temperature of a gas mark: ``¼`` or ``1/4``, ``½`` or ``1/2``, ``1`` to ``10``.

    >>> round(temperature_of_gas_mark("8") - 273.15)  # Baumatic BO788SS, p. 21
    230

    Raises
    ------
    ImpossibleInput
        For anything else.
    """
    written = {"1/4": "¼", "1/2": "½"}.get(mark, mark)
    if written not in gas_marks():
        allowed = ", ".join(gas_marks())
        raise ImpossibleInput([Notice.of("unknown-gas-mark", read=mark, allowed=allowed)])
    return gas_marks()[written]


def gas_mark_nearest(temperature: Kelvin) -> str:
    """Gas mark nearest to a conventional temperature; halfway, the cooler one.

    >>> gas_mark_nearest(503.15), gas_mark_nearest(473.15)  # Kenwood KDBU 170, p. 14
    ('8', '6')

    Raises
    ------
    ImpossibleInput
        If no mark lies within the 15 K by which one maker's ovens differ from another's.
    """
    marks = gas_marks()
    nearest = min(marks, key=lambda mark: round(abs(marks[mark] - temperature), 6))
    if abs(marks[nearest] - temperature) > _give("gas") + 1e-9:
        low, high = min(marks.values()), max(marks.values())
        about = Notice.of("no-gas-mark-near", wanted=temperature, low=low, high=high)
        raise ImpossibleInput([about])
    return nearest


@dataclass(frozen=True, slots=True)
class Setting:
    """Where a dial stands: the kind of oven, what its dial shows, and the mark of a gas oven.

    ``give`` is how far the setting that truly bakes alike may be from it (a standard deviation),
    ``sought`` what the dial would show if a gas oven had every mark.
    """

    kind: OvenKind
    temperature: Kelvin
    mark: str | None = None
    give: KelvinDifference = 0.0
    notices: tuple[Notice, ...] = ()
    sought: Kelvin | None = None


def equivalent_setting(
    temperature: Kelvin, kind: OvenKind, into: OvenKind, rule: FanRule = "celsius"
) -> Setting:
    """Setting of another kind of oven that bakes as this one's does.

    ``temperature`` is what the dial of an oven of ``kind`` shows (of a gas oven, what its
    mark stands for). The same kind of oven keeps it: nothing is converted twice.

    >>> equivalent_setting(453.15, "fan", "gas").mark  # oven tables: 180 °C fan is gas 6
    '6'
    >>> round(equivalent_setting(503.15, "conventional", "fan").temperature - 273.15)
    210
    """
    notices = notices_for(OVEN_SETTINGS, temperature=temperature)
    if kind == into != "gas":
        return Setting(into, temperature, notices=notices)
    dial = conventional_from_fan(temperature, rule) if kind == "fan" else temperature
    mark = gas_mark_nearest(dial) if into == "gas" else None
    if into == "fan":
        dial = fan_from_conventional(dial, rule)
    give = 0.0 if kind == into else math.hypot(_give(kind, rule), _give(into, rule))
    return Setting(into, gas_marks()[mark] if mark else dial, mark, give, notices, dial)


def _give(kind: OvenKind, rule: FanRule = "celsius") -> KelvinDifference:
    rows = {"fan": f"fan_step_{rule}", "gas": "gas_mark_4"}  # every mark gives alike
    return constants("oven")[rows[kind]].uncertainty if kind in rows else 0.0


def air_temperature(dial: Kelvin, reads: KelvinDifference) -> Kelvin:
    """Temperature of the air in an oven whose air is ``reads`` hotter than its dial.

    >>> round(air_temperature(453.15, 5.0) - 273.15)  # by definition
    185
    """
    return dial + reads


def dial_for(air: Kelvin, reads: KelvinDifference) -> Kelvin:
    """Dial that gives an air temperature in an oven whose air is ``reads`` hotter than its dial.

    >>> round(dial_for(453.15, -10.0) - 273.15)  # a cold oven is set higher
    190
    """
    return air - reads


@dataclass(frozen=True, slots=True)
class Cavity:
    """An oven as one warm mass: what it stores, what it loses, what its heater gives."""

    heat_capacity: JoulePerKelvin
    heat_loss: WattPerKelvin
    power: Watt


def oven_cavity(heats_in: Second | None = None, power: Watt | None = None) -> Cavity:
    """Oven that heats from 20 to 200 °C in a time, its capacity found from that time.

    Without ``heats_in`` or ``power`` a usual domestic oven's are taken.

    >>> round(oven_cavity(heats_in=900.0).heat_capacity, -2)  # within the usual 8–12 kJ/K
    9100.0
    """
    power = oven_constant("heating_power") if power is None else power
    usual = Cavity(oven_constant("heat_capacity"), oven_constant("heat_loss"), power)
    if heats_in is None:
        return usual
    notices_for(OVEN_HEATING, heats_in=heats_in)
    taken = preheating_time(
        usual, oven_constant("heating_room"), oven_constant("heating_reference")
    )
    return Cavity(usual.heat_capacity * heats_in / taken, usual.heat_loss, power)


def highest_temperature(cavity: Cavity, room: Kelvin) -> Kelvin:
    """Temperature at which an oven loses all that its heater gives.

    >>> highest_temperature(Cavity(10e3, 4.5, 2250.0), 293.15)  # 2250 W over 4.5 W/K
    793.15
    """
    return room + cavity.power / cavity.heat_loss


def preheating_time(cavity: Cavity, room: Kelvin, setting: Kelvin) -> Second:
    """Time from a cold oven to a setting, as :func:`changing_time` from the room.

    >>> usual = oven_cavity(heats_in=900.0)
    >>> [round(preheating_time(usual, 293.15, t + 273.15) / 60) for t in (180, 200, 250)]
    [13, 15, 21]
    """
    return changing_time(cavity, room, room, setting)


def changing_time(cavity: Cavity, room: Kelvin, start: Kelvin, setting: Kelvin) -> Second:
    """Time from one oven temperature to another: full power upwards, none downwards.

    The closed form of C·dT/dt = P − UA·(T − room), the door shut.

    >>> usual = oven_cavity(heats_in=900.0)
    >>> round(changing_time(usual, 293.15, 523.15, 493.15) / 60)  # 250 °C turned down to 220
    5

    Raises
    ------
    ImpossibleInput
        If the setting is hotter than the heater can hold, or not above the room.
    """
    highest = highest_temperature(cavity, room)
    if setting >= highest:
        raise ImpossibleInput([Notice.of("oven-too-weak", setting=setting, highest=highest)])
    if setting < start and setting <= room:
        about = Notice.of("never-reached", target=setting, start=start, surroundings=room)
        raise ImpossibleInput([about])
    aim = highest if setting >= start else room
    return cavity.heat_capacity / cavity.heat_loss * math.log((start - aim) / (setting - aim))


@dataclass(frozen=True, slots=True)
class DoorLoss:
    """How far loading cools an oven, and the time in which that falls to 37 %."""

    drop: KelvinDifference
    recovery: Second


def door_loss(trays: int) -> DoorLoss:
    """What opening the door and loading trays costs: more for each tray, towards a full oven.

    None at all is a short look inside; a count below nought is refused.

    >>> [round(door_loss(trays).drop) for trays in (0, 1, 2, 3)]  # estimates, not published
    [5, 25, 35, 40]
    """
    notices_for(OVEN_HEATING, trays=trays)
    lacking = oven_constant("door_approach") ** (trays - 1)
    found = []
    for name in ("door_drop", "door_recovery"):
        one, full = oven_constant(f"{name}_one"), oven_constant(f"{name}_full")
        found.append(full - (full - one) * lacking)
    return DoorLoss(*found)


def convection_coefficient(kind: OvenKind, pressure: Pascal = SEA_LEVEL) -> SurfaceCoefficient:
    """Heat transfer from the air to what stands in an oven, thinner air giving less.

    >>> convection_coefficient("fan"), round(convection_coefficient("conventional", 75e3), 1)
    (15.0, 5.6)
    """
    notices_for(OVEN_HEAT_TRANSFER, pressure=pressure)
    return oven_constant(f"convection_{kind}") * math.sqrt(pressure / SEA_LEVEL)


def wall_temperature(kind: OvenKind, air: Kelvin) -> Kelvin:
    """Temperature of the walls and elements that the bread sees.

    >>> round(wall_temperature("conventional", 453.15) - 273.15)  # an estimate, not published
    186
    """
    return air + oven_constant(f"wall_over_air_{kind}")


def radiation_coefficient(
    emissivity: Ratio, T_wall: Kelvin, T_surface: Kelvin
) -> SurfaceCoefficient:
    """Radiation between walls and a surface, over the kelvins between them.

    >>> radiation_coefficient(0.9, 473.15, 383.15)  # 16 of Baik et al.'s 20–48 W/(m² K)
    16.2
    """
    return emissivity * BOLTZMANN * (T_wall**2 + T_surface**2) * (T_wall + T_surface)


def combined_coefficient(
    h_c: SurfaceCoefficient, emissivity: Ratio, T_air: Kelvin, T_wall: Kelvin, T_surface: Kelvin
) -> SurfaceCoefficient:
    """Convection and radiation together, over the kelvins between air and surface.

    >>> combined_coefficient(6.5, 0.9, 473.15, 473.15, 383.15)  # Baik et al. 1999: 20–48
    22.7

    Raises
    ------
    ImpossibleInput
        If the air is less than 1 K warmer than the surface: there is nothing to divide by.
    """
    warmer_air = T_air - T_surface
    notices_for(OVEN_HEAT_TRANSFER, warmer_air=warmer_air)
    radiated = radiation_coefficient(emissivity, T_wall, T_surface) * (T_wall - T_surface)
    return h_c + radiated / warmer_air
