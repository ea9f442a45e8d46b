"""What a dough is made of, as far as its fermentation and its temperature care."""

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Self

from doughwright.engine.fermentation import Tolerance, YeastKind, parameters
from doughwright.units import (
    Conductivity,
    CubicMetre,
    Kilogram,
    Mole,
    Ratio,
    Second,
    SpecificHeat,
)

SALT_MOLAR_MASS = 0.05844  # kg/mol
SALT_OSMOLES = 1.85  # per mole of salt at dough strength, from memory
SUCROSE_MOLAR_MASS = 0.3422965  # kg/mol
HEXOSE_MOLAR_MASS = 0.1801559  # kg/mol


@dataclass(frozen=True, slots=True)
class Dough:
    """Masses in a dough or a part of it, kg.

    ``yeast`` is fresh yeast or what stands for it (:func:`fresh_equivalent`);
    ``water`` is all water outside the flour, that in milk, egg and butter included;
    ``solids`` is dry matter that neither feeds nor fattens (milk, egg);
    ``solutes`` its osmoles in mol; ``strength`` scales how far the dough can rise.
    """

    flour: Kilogram
    water: Kilogram
    yeast: Kilogram = 0.0
    salt: Kilogram = 0.0
    sucrose: Kilogram = 0.0
    hexose: Kilogram = 0.0
    fat: Kilogram = 0.0
    solids: Kilogram = 0.0
    solutes: Mole = 0.0
    yeast_kind: YeastKind = "fresh"
    tolerance: Tolerance = "all-round"
    strength: Ratio = 1.0

    def __add__(self, other: Self) -> "Dough":
        """Mix two parts; kind, tolerance and strength stay those of the part with more yeast."""
        leading = self if self.yeast >= other.yeast else other
        sums = {name: getattr(self, name) + getattr(other, name) for name in AMOUNTS}
        return replace(leading, **sums)

    def __mul__(self, factor: Ratio) -> "Dough":
        """So much of the same dough."""
        return replace(self, **{name: getattr(self, name) * factor for name in AMOUNTS})


AMOUNTS = ("flour", "water", "yeast", "salt", "sucrose", "hexose", "fat", "solids", "solutes")


def _classes(dough: Dough) -> dict[str, Kilogram]:
    return {
        "flour": dough.flour,
        "water": dough.water + 0.7 * dough.yeast,
        "sugar": dough.sucrose + dough.hexose,
        "salt": dough.salt,
        "fat": dough.fat,
        "solids": dough.solids + 0.3 * dough.yeast,
    }


def dough_mass(dough: Dough) -> Kilogram:
    """All there is.

    Examples
    --------
    >>> round(dough_mass(Dough(flour=1.0, water=0.6, salt=0.02)), 3)
    1.62
    """
    return sum(_classes(dough).values())


def specific_heat(dough: Dough) -> SpecificHeat:
    """Mass-weighted specific heat near 20 °C (Choi and Okos 1986).

    Examples
    --------
    Lean dough of 60 % water: 2.82 kJ/(kg K) in the table of model values.

    >>> round(specific_heat(Dough(flour=1.0, water=0.6, salt=0.02)), -1)
    2800.0
    """
    p = parameters()
    parts = _classes(dough)
    return sum(m * p["heat_" + name] for name, m in parts.items()) / dough_mass(dough)


def gas_free_volume(dough: Dough) -> CubicMetre:
    """Volume without any bubble.

    Examples
    --------
    >>> round(gas_free_volume(Dough(flour=1.0, water=0.6, salt=0.02)) * 1000.0, 2)
    1.32
    """
    p = parameters()
    return sum(m / p["density_" + name] for name, m in _classes(dough).items())


def conductivity(dough: Dough) -> Conductivity:
    """Volume-weighted conductivity without bubbles, an upper bound.

    Examples
    --------
    Lean dough of 60 % water: 0.447 W/(m K) in the table of model values.

    >>> round(conductivity(Dough(flour=1.0, water=0.6, salt=0.02)), 2)
    0.44
    """
    p = parameters()
    flows = (
        m / p["density_" + name] * p["conductivity_" + name] for name, m in _classes(dough).items()
    )
    return sum(flows) / gas_free_volume(dough)


def osmoles(dough: Dough) -> Mole:
    """Osmoles that yeast does not eat: salt and the solutes of milk and egg.

    Examples
    --------
    2 % salt on 1 kg of flour.

    >>> round(osmoles(Dough(flour=1.0, water=0.6, salt=0.02)), 3)
    0.633
    """
    return SALT_OSMOLES * dough.salt / SALT_MOLAR_MASS + dough.solutes


def hexose_added(dough: Dough) -> Kilogram:
    """Hexose in the added sugars, sucrose split by the yeast's invertase.

    Examples
    --------
    >>> round(hexose_added(Dough(flour=1.0, water=0.6, sucrose=0.1)), 4)
    0.1053
    """
    return dough.hexose + dough.sucrose * 2.0 * HEXOSE_MOLAR_MASS / SUCROSE_MOLAR_MASS


def solvent(dough: Dough) -> Kilogram:
    """Water in which salt, sugars and gas dissolve: the flour's own counts too.

    Examples
    --------
    >>> round(solvent(Dough(flour=1.0, water=0.6)), 3)
    0.735
    """
    return dough.water + parameters()["flour_moisture"] * dough.flour


def rise_limit(dough: Dough) -> Ratio:
    """Greatest volume over gas-free volume: less the wetter the dough.

    Examples
    --------
    >>> rise_limit(Dough(flour=1.0, water=0.65))
    4.6
    >>> round(rise_limit(Dough(flour=1.0, water=1.0)), 2)
    2.76
    """
    p = parameters()
    return p["rise_limit"] * dough.strength * _limit_share(dough.water / dough.flour)


WETNESS = (0.70, 0.85, 1.00, 1.30, 1.80)


def _limit_share(wetness: Ratio) -> Ratio:
    p = parameters()
    shares = [p[f"rise_limit_at_{w:.2f}"] for w in WETNESS]
    if wetness <= WETNESS[0]:
        return shares[0]
    for (a, b), (low, high) in zip(pairwise(WETNESS), pairwise(shares), strict=True):
        if wetness <= b:
            return low + (high - low) * (wetness - a) / (b - a)
    return shares[-1]


def activation_time(kind: YeastKind) -> Second:
    """Time in which the yeast wakes to 63 % at 28 °C.

    Examples
    --------
    >>> round(activation_time("instant") / 3600.0, 2)
    0.32
    """
    return parameters()["activation_" + kind.replace(" ", "_")]
