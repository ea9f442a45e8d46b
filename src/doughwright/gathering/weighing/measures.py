"""Cups, spoons and pints of the systems a recipe may be written in, and what they hold."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from doughwright.engine.ingredients import EU_MEMBERS, Ingredient, measures_of
from doughwright.engine.properties import FOLDER, constants
from doughwright.sources import rows
from doughwright.units import CubicMetre, Kilogram

SYSTEMS: Mapping[str, str] = MappingProxyType(
    {
        "us": "US",
        "metric": "metric",
        "imperial": "British",
        "nordic": "Nordic",
        "japanese": "Japanese",
        "australian": "Australian",
    }
)
"""Whose cups and spoons a recipe may mean, with their name."""

SYSTEM_OF: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("US", "PR"), "us"),
        **dict.fromkeys(("GB", "UK", "IE"), "imperial"),
        **dict.fromkeys(("SE", "NO", "DK", "FI", "IS"), "nordic"),
        **dict.fromkeys(("CA", "NZ", "ZA", "IN"), "metric"),
        **dict.fromkeys(EU_MEMBERS - {"SE", "DK", "FI", "IE"}, "metric"),
        "JP": "japanese",
        "AU": "australian",
    }
)
"""What the books of a country measure with (common practice)."""

ONE_CUP = frozenset({"US", "PR", "AU", "NZ", "ZA", "JP"})
"""Countries whose books know one cup; in others it is British, metric or American (from memory)."""

LITRES: Mapping[str, CubicMetre] = MappingProxyType({"ml": 1e-6, "cl": 1e-5, "dl": 1e-4, "l": 1e-3})
"""Parts of a litre, the same everywhere."""

EVERYWHERE = ("krm", "drop")
"""Small measures of one size."""

SPOONS = ("krm", "tsp", "dsp", "tbsp")
"""Measures on which half as much again can be heaped."""

REGION_OF: Mapping[str, str] = MappingProxyType({"us": "US", "australian": "AU"})
"""Whose rows of the table of measures hold the cups and spoons of a system."""


@dataclass(frozen=True, slots=True)
class ListedMeasure:
    """A measure of an ingredient as the table of measures has it for a region."""

    measure: str
    region: str
    mass: Kilogram
    spread: Kilogram


@cache
def measure_constant(name: str) -> float:
    """Value of a row of ``properties/measure_systems.tsv``.

    >>> measure_constant("imperial_pint")  # Weights and Measures Act 1985, Schedule 1, m3
    0.00056826125
    """
    return constants("measure_systems")[name].value


@cache
def volume_of(unit: str, system: str) -> CubicMetre | None:
    """What a measure holds in a system; None where the system has no such measure.

    >>> volume_of("tbsp", "australian")  # New South Wales, conversion chart of metric spoons
    2e-05
    >>> volume_of("cup", "nordic") is None  # decilitres are used
    True
    """
    if unit in LITRES:
        return LITRES[unit]
    name = unit if unit in EVERYWHERE else f"{system}_{unit.replace(' ', '_')}"
    row = constants("measure_systems").get(name)
    return None if row is None else row.value


def system_of(country: str, units: Iterable[str]) -> str:
    """Whose measures a country's books mean; empty where they have several, or not all of these.

    >>> system_of("GB", ["tbsp"]), system_of("GB", ["cup"]), system_of("US", ["cup"])
    ('imperial', '', 'us')
    """
    system, wanted = SYSTEM_OF.get(country, ""), tuple(units)
    is_open = "cup" in wanted and country not in ONE_CUP
    return "" if is_open or not all(volume_of(unit, system) for unit in wanted) else system


def system_of_cup(volume: CubicMetre) -> str:
    """Whose cup holds so much; empty where no system's does, or several do.

    >>> system_of_cup(0.00024), system_of_cup(0.0002), system_of_cup(0.00025)
    ('us', 'japanese', '')
    """
    close = measure_constant("asks_from")
    held = {system: volume_of("cup", system) for system in SYSTEMS}
    found = [s for s, size in held.items() if size and abs(size - volume) <= close * size]
    return found[0] if len(found) == 1 else ""


def systems_with(unit: str) -> tuple[str, ...]:
    """The systems that have a measure, one for each size of it.

    >>> systems_with("tbsp")
    ('us', 'metric', 'australian')
    """
    found = {system: volume_of(unit, system) for system in SYSTEMS}
    sizes: dict[float, str] = {}
    for system, volume in found.items():
        if volume is not None:
            sizes.setdefault(round(volume * 1e9), system)
    return tuple(sizes.values())


def measured_mass(ingredient: Ingredient, unit: str, system: str) -> Kilogram | None:
    """What one measure of an ingredient weighs; None where nobody knows.

    The table of measures goes first, then the bulk density, then another measure of the table.
    Nordic books fill their spoons and litres as they fill a decilitre.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> round(measured_mass(ingredient_table()["salt"], "tbsp", "australian"), 4)  # four of 6 g
    0.024
    """
    volume = volume_of(unit, system)
    if volume is None:
        return None
    listed = _listed_mass(ingredient.name, unit, system)
    if listed is not None:
        return listed
    if system == "nordic" and (decilitre := measures_of(ingredient.name).get("dl")):
        return decilitre * volume / LITRES["dl"]
    if ingredient.density is not None and unit not in {"tsp", "krm", "dsp"}:
        return ingredient.density * volume
    return _by_another(ingredient, volume) or _by_density(ingredient, volume)


def listed_measures(ingredient: str) -> tuple[ListedMeasure, ...]:
    """All rows of the table of measures for an ingredient, of every region."""
    return _listed().get(ingredient, ())


def _listed_mass(name: str, unit: str, system: str) -> Kilogram | None:
    """As the table has it: its cups are American, its tablespoons hold 15 ml, Australia's 20."""
    known = measures_of(name, REGION_OF.get(system, ""))
    if unit == "cup" and system != "us":
        return None
    if unit == "tbsp" and system == "australian":
        own = {
            row.mass for row in listed_measures(name) if (row.measure, row.region) == (unit, "AU")
        }
        return next(iter(own), None)
    return known.get(unit)


def _by_another(ingredient: Ingredient, volume: CubicMetre) -> Kilogram | None:
    """A measure by the weight of the teaspoon or the cup that is listed."""
    for unit, region, system in (("tsp", "", "metric"), ("cup", "US", "us")):
        mass = measures_of(ingredient.name, region).get(unit)
        held = volume_of(unit, system)
        if mass is not None and held is not None:
            return mass * volume / held
    return None


def _by_density(ingredient: Ingredient, volume: CubicMetre) -> Kilogram | None:
    return None if ingredient.density is None else ingredient.density * volume


@cache
def _listed() -> Mapping[str, tuple[ListedMeasure, ...]]:
    table: dict[str, list[ListedMeasure]] = {}
    for row in rows(FOLDER / "measures.tsv"):
        mass, spread = float(row["grams"]) / 1000, float(row["uncertainty"]) / 1000
        listed = ListedMeasure(row["measure"], row["region"], mass, spread)
        table.setdefault(row["ingredient"], []).append(listed)
    return MappingProxyType({name: tuple(found) for name, found in table.items()})
