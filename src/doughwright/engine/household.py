"""Spoons and cups: a weight as a kitchen without scales would measure it.

A measure holds what the table of measures says of the ingredient, else its bulk density times
the measure's volume. Amounts are rounded to the fractions that spoons and cups are sold in.
Grams stay the truth: a cup of flour weighs a tenth more or less as it is filled.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import product
from types import MappingProxyType
from typing import Literal

from doughwright.engine.ingredients import Ingredient, measures_of
from doughwright.engine.properties import constants
from doughwright.units import CubicMetre, Density, Kilogram, Ratio

System = Literal["US", "metric"]

MEASURES = ("cup", "tbsp", "tsp")
"""The measures of a kitchen, the largest first."""

LEAST_TSP: Ratio = 1 / 8
PARTS: Mapping[str, tuple[Ratio, ...]] = MappingProxyType(
    {
        "cup": (0.0, 1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4),
        "tbsp": (0.0, 1 / 2),
        "tsp": (0.0, 1 / 4, 1 / 2, 3 / 4),
    }
)
"""Parts of each measure that can be bought as a spoon or read off a cup."""

FEWEST: Mapping[str, Ratio] = MappingProxyType({"cup": 1 / 4, "tbsp": 1.0, "tsp": LEAST_TSP})
"""From how much on a measure is used: what is less goes by the next smaller one."""


MOST_BESIDE: Ratio = 3
"""Spoons beside a cup, or teaspoons beside a tablespoon: as many as one more part of it holds."""


@dataclass(frozen=True, slots=True)
class Measured:
    """How many of which measures, the largest first, and what that weighs."""

    parts: tuple[tuple[Ratio, str], ...]
    mass: Kilogram


def household_constant(name: str) -> float:
    """Value of a row of ``properties/household.tsv``.

    >>> household_constant("metric_cup")
    0.00025
    """
    return constants("household")[name].value


def measure_volume(measure: str, system: System) -> CubicMetre:
    """Volume of a cup, a tablespoon or a teaspoon.

    >>> round(measure_volume("cup", "US") * 1e6, 3)  # half a US pint, from memory
    236.588
    """
    return household_constant(f"{system.lower()}_{measure}")


def measure_masses(ingredient: Ingredient, system: System) -> Mapping[str, Kilogram]:
    """What a cup, a tablespoon and a teaspoon of an ingredient weigh; empty where unknown.

    >>> from doughwright.engine.ingredients import ingredient_named
    >>> flour = ingredient_named("strong white flour")
    >>> round(measure_masses(flour, "US")["cup"], 3)  # USDA SR28, NDB 20129
    0.137
    """
    return _measure_masses(ingredient.name, ingredient.density, system)


@cache
def _measure_masses(name: str, density: Density | None, system: System) -> Mapping[str, Kilogram]:
    listed = measures_of(name, "US" if system == "US" else "")
    held = {measure: listed[measure] for measure in MEASURES if measure in listed}
    if density is not None:
        bulk = {measure: density * measure_volume(measure, system) for measure in MEASURES}
        held = bulk | held
    return MappingProxyType(held)


def household_measure(ingredient: Ingredient, mass: Kilogram, system: System) -> Measured | None:
    """A weight in cups and spoons; None where nobody knows, or no spoon is near.

    >>> from doughwright.engine.ingredients import ingredient_named
    >>> household_measure(ingredient_named("salt"), 0.015, "metric").parts  # 6 g a teaspoon
    ((2.5, 'tsp'),)
    """
    return measured(measure_masses(ingredient, system), mass) if mass > 0 else None


def measured(held: Mapping[str, Kilogram], mass: Kilogram) -> Measured | None:
    """A weight in measures that hold so much each: one of them if it is near, else two.

    >>> measured({"cup": 0.24, "tbsp": 0.015, "tsp": 0.005}, 0.27).parts
    ((1.0, 'cup'), (2.0, 'tbsp'))
    """
    near, worth = household_constant("rounds_within"), household_constant("worth_within")
    tried: list[Measured] = []
    for candidates in (_alone(held, mass), _paired(held, mass)):
        tried = sorted([*tried, *candidates], key=lambda made: abs(made.mass - mass))
        if tried and abs(tried[0].mass / mass - 1) <= near:
            break
    return tried[0] if tried and abs(tried[0].mass / mass - 1) <= worth else None


def _alone(held: Mapping[str, Kilogram], mass: Kilogram) -> Iterator[Measured]:
    """The amounts of the largest measure that is used at all, just below and just above."""
    near = household_constant("rounds_within")
    for measure in MEASURES:
        if measure in held and mass >= FEWEST[measure] * held[measure] * (1 - near):
            yield from (_made(((count, measure),), held) for count in _counts(held, measure, mass))
            return


def _paired(held: Mapping[str, Kilogram], mass: Kilogram) -> Iterator[Measured]:
    """Amounts of a measure with the next smaller one beside: a broken spoon stands alone."""
    for large, small in (("cup", "tbsp"), ("tbsp", "tsp")):
        if not {large, small} <= held.keys() or mass < FEWEST[large] * held[large]:
            continue
        parts = PARTS[large] if large == "cup" else (0.0,)
        for count in _below(parts, mass / held[large]):
            left = mass - count * held[large]
            beside = [n for n in _counts(held, small, left) if n <= MOST_BESIDE]
            whole = [n for n in beside if large != "cup" or n == int(n)]
            yield from (_made(((count, large), (n, small)), held) for n in whole)
        return


def _made(parts: tuple[tuple[Ratio, str], ...], held: Mapping[str, Kilogram]) -> Measured:
    return Measured(parts, sum(count * held[measure] for count, measure in parts))


def _counts(held: Mapping[str, Kilogram], measure: str, mass: Kilogram) -> Iterator[Ratio]:
    """Amounts of one measure about a weight."""
    wanted = mass / held[measure]
    whole = int(wanted)
    steps = [n + part for n, part in product((whole, whole + 1), _parts(measure, wanted))]
    yield from (step for step in steps if step >= FEWEST[measure])


def _parts(measure: str, wanted: Ratio) -> Sequence[Ratio]:
    parts = PARTS[measure]
    return (*parts, LEAST_TSP) if measure == "tsp" and wanted < 1 else parts


def _below(parts: Sequence[Ratio], wanted: Ratio) -> Iterator[Ratio]:
    """Whole and broken amounts not above what is wanted, the largest first."""
    steps = sorted((int(wanted) + part for part in parts), reverse=True)
    yield from (step for step in steps if 0 < step <= wanted)


@dataclass(frozen=True, slots=True)
class SaltSpoons:
    """The same salt by spoons of fine, of dense coarse and of flaky coarse grains."""

    fine: Measured
    coarse: Measured
    flaky: Measured


def salt_spoons(fine: Measured) -> SaltSpoons | None:
    """Spoons of two coarse salts that weigh what so many of fine salt do; None if none is near.

    >>> spoons = salt_spoons(Measured(((2.5, "tsp"),), 0.015))
    >>> spoons.flaky.parts if spoons else None  # 15 g by 2.8 g a teaspoon is 5.4
    ((1.0, 'tbsp'), (2.25, 'tsp'))
    """
    coarse, flaky = (
        measured({"tbsp": 3 * tsp, "tsp": tsp}, fine.mass)
        for tsp in (household_constant(f"salt_tsp_{kind}") for kind in ("coarse", "flaky"))
    )
    return SaltSpoons(fine, coarse, flaky) if coarse is not None and flaky is not None else None
