"""How long flour must stand in the fridge, or butter on the bench.

A bag of flour or a piece of butter is a brick with air around it. Its temperature is
the product of three slabs (Newman's rule), each the classical series for a slab with a
surface coefficient: with ζ·tan ζ = Bi and Fo = α·t/L² (L half the thickness) ::

    θ = Σ Cₙ·exp(−ζₙ²·Fo)·cos(ζₙ·x/L),   Cₙ = 4·sin ζₙ / (2·ζₙ + sin 2ζₙ)

θ is the difference to the surroundings over the difference at the start. The mean is
what counts for mixing; the centre is what a probe finds last.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import cos, exp, inf, pi, prod, sin
from typing import Literal

from doughwright.engine.ingredients import Composition
from doughwright.engine.portions import (
    ORDINARY_TEMPERATURE,
    mixing_constant,
    solid_fat,
)
from doughwright.engine.thermal import conductivity, specific_heat
from doughwright.errors import ImpossibleInput, Notice
from doughwright.sources import ModelCard, Range
from doughwright.units import (
    Conductivity,
    Density,
    Kelvin,
    KelvinDifference,
    Kilogram,
    Metre,
    Ratio,
    Second,
    SpecificHeat,
    SurfaceCoefficient,
)

CHILLING = ModelCard(
    key="chilling",
    name="Chilling and warming of flour and butter",
    predicts="time until a bag of flour or a piece of butter has taken a temperature",
    sources=("c-therm-flour", "incropera-transient-conduction"),
    inputs={
        "mass": Range(0.1, 5.0, "kg"),
        "temperature": Range(255.15, 308.15, "K"),
    },
    expected_error="±40 %: the bag's shape and the air round it are guesses",
    known_from=(
        "series checked against tabulated slab solutions and a finite-difference slab; "
        "bulk conductivity of flour measured by C-Therm; no timed bag of flour was found"
    ),
    assumptions=(
        "air moves freely round all six sides, the paper is no hindrance",
        "the fridge keeps its temperature",
        "flour takes up or loses no water",
        "melting of butter is spread evenly over the temperatures between start and target",
    ),
)

Spot = Literal["centre", "mean"]


@dataclass(frozen=True, slots=True)
class Brick:
    """Outer sizes of a brick; ``inf`` for a side without ends makes a slab or a bar.

    A side open on one face only counts twice its thickness.
    """

    length: Metre
    width: Metre
    height: Metre


@dataclass(frozen=True, slots=True)
class Material:
    """What conduction needs to know."""

    conductivity: Conductivity
    density: Density
    specific_heat: SpecificHeat


def flour_material() -> Material:
    """White flour as it lies in the bag.

    >>> flour_material().conductivity  # C-Therm, three tests: 0.107–0.113
    0.109
    """
    return Material(
        mixing_constant("flour_bulk_conductivity"),
        mixing_constant("flour_bulk_density"),
        mixing_constant("flour_specific_heat"),
    )


def butter_material(composition: Composition, start: Kelvin, target: Kelvin) -> Material:
    """Butter between two temperatures, its melting spread evenly over them.

    >>> butter = Composition(0.16, 0.009, 0.811, 0.001, 0.0, 0.019)
    >>> round(butter_material(butter, 278.15, 291.15).specific_heat, -2)  # 2.35 kJ + melting
    3800.0
    """
    molten = composition.fat * abs(solid_fat(start) - solid_fat(target))
    melting = molten * mixing_constant("butterfat_melting_heat")
    sensible = specific_heat(composition, ORDINARY_TEMPERATURE)
    return Material(
        conductivity(composition, ORDINARY_TEMPERATURE),
        mixing_constant("butter_density"),
        sensible + (melting / abs(target - start) if target != start else 0.0),
    )


def flour_bag(mass: Kilogram) -> Brick:
    """A paper bag of flour, a brick of usual proportions.

    >>> flour_bag(1.0).length  # 7.5 × 10.5 × 21 cm
    0.075
    """
    wide, high = mixing_constant("bag_width"), mixing_constant("bag_height")
    thin = (mass / mixing_constant("flour_bulk_density") / (wide * high)) ** (1 / 3)
    return Brick(thin, wide * thin, high * thin)


def surface_coefficient(*, fan: bool = False) -> SurfaceCoefficient:
    """Heat transfer at a surface in still air, or in a fridge with a fan.

    >>> surface_coefficient(fan=True)
    15.0
    """
    return mixing_constant("surface_fan" if fan else "surface_still")


def slab_remainder(fourier: Ratio, biot: Ratio, spot: Spot = "centre") -> Ratio:
    """What is left of the starting difference in a slab, at its centre or on average.

    >>> slab_remainder(1.0, 1.0)  # one-term tables: 1.1191·exp(−0.8603²)
    0.534
    """
    if fourier == 0.0 or biot == 0.0 or (spot == "centre" and fourier < _CENTRE_FEELS):
        return 1.0
    left = 0.0
    for order in range(_TERMS):
        root = _slab_root(biot, order)
        fading = exp(-root * root * fourier)
        left += 4.0 * sin(root) / (2.0 * root + sin(2.0 * root)) * fading * _shape(root, spot)
        if fading < 1e-16:
            break
    return left


def brick_remainder(
    brick: Brick,
    material: Material,
    coefficient: SurfaceCoefficient,
    time: Second,
    spot: Spot = "centre",
) -> Ratio:
    """What is left of the starting difference in a brick: the product of its slabs.

    >>> bag, flour = flour_bag(1.0), flour_material()
    >>> brick_remainder(bag, flour, 8.0, 0.0)
    1.0
    """
    diffusivity = material.conductivity / (material.density * material.specific_heat)
    halves = [side / 2 for side in (brick.length, brick.width, brick.height) if side != inf]
    return prod(
        slab_remainder(
            diffusivity * time / half**2, coefficient * half / material.conductivity, spot
        )
        for half in halves
    )


def time_to_reach(
    target: Kelvin,
    brick: Brick,
    material: Material,
    start: Kelvin,
    surroundings: Kelvin,
    coefficient: SurfaceCoefficient,
    spot: Spot = "centre",
) -> Second:
    """Time until the centre (or the mean) of a brick has a temperature.

    >>> slab = Brick(0.02, inf, inf)
    >>> metal = Material(400.0, 8000.0, 400.0)  # so well conducting that it is all at one
    >>> time_to_reach(290.0, slab, metal, 300.0, 280.0, 10.0)  # ρ·c·L/h·ln 2
    2218.

    Raises
    ------
    ImpossibleInput
        If the target does not lie between start and surroundings.
    """
    if target == start:
        return 0.0
    if not min(start, surroundings) < target < max(start, surroundings):
        problem = Notice.of("never-reached", target=target, start=start, surroundings=surroundings)
        raise ImpossibleInput([problem])
    wanted = (target - surroundings) / (start - surroundings)
    latest = 60.0
    while brick_remainder(brick, material, coefficient, latest, spot) > wanted:
        latest *= 2.0
    earliest = 0.0
    while latest - earliest > 1e-3 + 1e-9 * latest:
        middle = (earliest + latest) / 2
        if brick_remainder(brick, material, coefficient, middle, spot) > wanted:
            earliest = middle
        else:
            latest = middle
    return (earliest + latest) / 2


def flour_chilling_time(
    mass: Kilogram,
    start: Kelvin,
    fridge: Kelvin,
    within: KelvinDifference = 1.0,
    *,
    fan: bool = False,
) -> Second:
    """Time until a bag of flour is cold right through, to within so much of the fridge.

    >>> flour_chilling_time(1.0, 295.15, 278.15) / 3600  # put it in before lunch
    5.52
    """
    return time_to_reach(
        fridge + within,
        flour_bag(mass),
        flour_material(),
        start,
        fridge,
        surface_coefficient(fan=fan),
    )


_TERMS = 200
"""More than enough: at Fo = 1e-3 the sixty-first term is below 1e-15."""

_CENTRE_FEELS: Ratio = 1e-3
"""Before this Fourier number the centre has lost less than 1e-100 (two half-spaces)."""


def _shape(root: float, spot: Spot) -> float:
    return 1.0 if spot == "centre" else sin(root) / root


@lru_cache(maxsize=4096)
def _slab_root(biot: Ratio, order: int) -> float:
    """Root of ζ·tan ζ = Bi between order·π and (order + ½)·π, by bisection."""
    low, high = order * pi, (order + 0.5) * pi
    sign = 1.0 if order % 2 == 0 else -1.0
    while high - low > 4e-16 * high:
        root = (low + high) / 2
        if root in (low, high):
            break
        # ζ·sin ζ − Bi·cos ζ has the same root and no pole
        if sign * (root * sin(root) - biot * cos(root)) < 0.0:
            low = root
        else:
            high = root
    return (low + high) / 2
