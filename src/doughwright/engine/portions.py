"""What goes into the bowl: portions of one temperature each, and the heat they hold.

Besides their sensible heat portions carry heats that show up only when they meet:
wetting of dry flour (given off), dissolving of salt and sugar, melting of ice and of
butterfat (taken up).
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import exp, fsum

from doughwright.engine.ingredients import Composition
from doughwright.engine.properties import constants
from doughwright.engine.thermal import ice_enthalpy, specific_heat
from doughwright.errors import ImpossibleInput, Notice
from doughwright.units import (
    ICE_POINT,
    Joule,
    JoulePerKelvin,
    JoulePerKilogram,
    Kelvin,
    Kilogram,
    Ratio,
    SpecificHeat,
)

ORDINARY_TEMPERATURE: Kelvin = 293.15
"""Where specific heats are taken: over 0–40 °C they move by 2 %, a dough by 0.2 K."""


@dataclass(frozen=True, slots=True)
class Portion:
    """What goes into the bowl at one temperature.

    ``dry_flour`` is the flour in it that is not yet wetted, ``salt`` and ``sugar``
    what is not yet dissolved, ``butterfat`` the fat that may melt. ``frozen`` means
    that its water is ice; flour or butter from the freezer is not frozen in this sense.
    ``specific_heat`` overrules ``composition``; one of them is needed, but for dry flour.
    """

    name: str
    mass: Kilogram
    temperature: Kelvin
    composition: Composition | None = None
    specific_heat: SpecificHeat | None = None
    dry_flour: Kilogram = 0.0
    flour_moisture: Ratio = 0.135
    salt: Kilogram = 0.0
    sugar: Kilogram = 0.0
    butterfat: Kilogram = 0.0
    frozen: bool = False

    def __post_init__(self) -> None:
        """Refuse what cannot be: less than nothing, or ice above the ice point."""
        if self.mass < 0.0:
            raise ImpossibleInput([Notice.of("negative-mass", self.name, mass=self.mass)])
        if self.frozen and self.temperature > ICE_POINT:
            problem = Notice.of("warm-ice", self.name, temperature=self.temperature)
            raise ImpossibleInput([problem])


@cache
def mixing_constant(name: str) -> float:
    """Value of a row of ``properties/mixing.tsv``.

    >>> mixing_constant("flour_specific_heat")
    1800.0
    """
    return constants("mixing")[name].value


def portion_specific_heat(portion: Portion) -> SpecificHeat:
    """Specific heat at 20 °C; dry flour counts with 1800 J/(kg K), not its parts'.

    >>> portion_specific_heat(Portion("flour", 0.5, 293.15, dry_flour=0.5))
    1800.0
    """
    if portion.specific_heat is not None:
        return portion.specific_heat
    flour = portion.dry_flour / portion.mass if portion.mass else 0.0
    if flour >= 1.0:
        return mixing_constant("flour_specific_heat")
    if portion.composition is None:
        raise ImpossibleInput([Notice.of("no-specific-heat", portion.name, name=portion.name)])
    rest = specific_heat(portion.composition, ORDINARY_TEMPERATURE)
    return flour * mixing_constant("flour_specific_heat") + (1.0 - flour) * rest


def wetting_heat(moisture: Ratio) -> JoulePerKilogram:
    """Heat given off by flour when water wets it, per mass of flour.

    >>> round(wetting_heat(0.115), -2)  # trade dictionary: 6.5 Btu/lb = 15100 J/kg
    14900.0
    """
    return mixing_constant("wetting_heat_of_dry_flour") * exp(
        -mixing_constant("wetting_heat_decay") * moisture
    )


def solid_fat(temperature: Kelvin) -> Ratio:
    """Share of butterfat that is solid: straight lines between the table's points.

    >>> solid_fat(290.65)  # between 0.34 at 15 °C and 0.26 at 18 °C
    0.2733
    """
    points, shares = solid_fat_curve()
    right = bisect_left(points, temperature)
    if right == 0:
        return shares[0]
    if right == len(points):
        return shares[-1]
    along = (temperature - points[right - 1]) / (points[right] - points[right - 1])
    return shares[right - 1] + along * (shares[right] - shares[right - 1])


@cache
def solid_fat_curve() -> tuple[tuple[Kelvin, ...], tuple[Ratio, ...]]:
    """Points of the solid-fat curve: temperatures rising, and the solid share at each.

    >>> solid_fat_curve()[1][0]  # 60 % solid at 0 °C
    0.6
    """
    found = [
        (float(name.removeprefix("solid_fat_")) + ICE_POINT, row.value)
        for name, row in constants("mixing").items()
        if name.startswith("solid_fat_")
    ]
    return tuple(at for at, _ in found), tuple(share for _, share in found)


def with_ice(
    portions: Sequence[Portion], water: str, mass: Kilogram, ice_temperature: Kelvin = ICE_POINT
) -> tuple[Portion, ...]:
    """The portions with so much of the named water as ice.

    >>> tap = Portion("water", 1.0, 293.15, specific_heat=4186.0)
    >>> [(p.name, p.mass) for p in with_ice([tap], "water", 0.1)]
    [('water', 0.9), ('ice', 0.1)]
    """
    tap = portion_named(portions, water)
    if not mass:
        return tuple(portions)
    ice = replace(tap, name="ice", mass=mass, temperature=ice_temperature, frozen=True)
    less = replace(tap, mass=tap.mass - mass)
    return (*(less if p is tap else p for p in portions), ice)


def portion_named(portions: Sequence[Portion], name: str) -> Portion:
    """First portion of that name with any weight.

    >>> portion_named([Portion("milk", 0.2, 277.15, specific_heat=3890.0)], "milk").mass
    0.2

    Raises
    ------
    ImpossibleInput
        If there is none.
    """
    found = next((p for p in portions if p.name == name and p.mass > 0.0), None)
    if found is None:
        raise ImpossibleInput([Notice.of("nothing-adjustable", names=name)])
    return found


def heat_capacity(portion: Portion) -> JoulePerKelvin:
    """Heat that warms a portion by 1 K.

    >>> heat_capacity(Portion("flour", 0.5, 293.15, dry_flour=0.5))
    900.0
    """
    return portion.mass * portion_specific_heat(portion)


def stored_heat(portion: Portion) -> Joule:
    """Heat of a portion relative to itself, unfrozen, at 0 °C.

    >>> stored_heat(Portion("ice", 1.0, 273.15, specific_heat=4180.0, frozen=True))
    -334000.0
    """
    above = portion.temperature - ICE_POINT
    if not portion.frozen:
        return heat_capacity(portion) * above
    icy = 1.0 if portion.composition is None else portion.composition.water
    melted = icy * ice_enthalpy(portion.temperature, mixing_constant("ice_melting_heat"))
    dry = replace(portion.composition, water=0.0) if portion.composition else None
    rest = specific_heat(dry, ORDINARY_TEMPERATURE) * above if dry else 0.0
    return portion.mass * (melted + rest)


def fats_in(portions: Iterable[Portion]) -> tuple[tuple[Kilogram, Kelvin], ...]:
    """Mass and temperature of the butterfat in each portion that has any.

    >>> fats_in([Portion("butter", 0.1, 278.15, specific_heat=2350.0, butterfat=0.082)])
    ((0.082, 278.15),)
    """
    return tuple((p.butterfat, p.temperature) for p in portions if p.butterfat)


def melting_heat(fats: Iterable[tuple[Kilogram, Kelvin]], final: Kelvin) -> Joule:
    """Heat taken up by fats that melt on the way to a final temperature.

    Fat that cools down counts for nothing: it sets only long after mixing.

    >>> melting_heat([(0.082, 278.15)], 298.15)  # 100 g butter, 5 → 25 °C: 3 kJ
    2952.0
    """
    left = solid_fat(final)
    molten = fsum(mass * max(0.0, solid_fat(start) - left) for mass, start in fats)
    return mixing_constant("butterfat_melting_heat") * molten
