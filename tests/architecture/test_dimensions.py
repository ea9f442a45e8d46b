"""The unit in a signature is the unit of what the function does.

Every public engine function whose arguments can be made from their annotations is called
with pint quantities; what comes back must have the dimension its signature promises. A
sum of kelvins and joules, or a forgotten division by a mass, cannot pass.
"""

import dataclasses
import importlib
import inspect
import pkgutil
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from typing import Annotated, Any, get_args, get_origin, get_type_hints

import numpy as np
import pint
import pytest

from doughwright import engine
from doughwright.units import Unit

UNITS = pint.UnitRegistry()
UNITS.define("delta_K = kelvin")  # pint needs no second kelvin; our signatures do

MAGNITUDES = {"K": 300.0, "delta_K": 5.0, "s": 600.0, "1": 0.5}
"""Sample magnitudes where 2.0 would mean nothing."""

CASES: dict[str, dict[str, float]] = {
    "exchange.liquid_for_hydration": {"flour": 0.5, "water": 0.3, "target": 0.7},
    "exchange.starter_for_hydration": {"target": 0.7, "starter_hydration": 1.0, "water": 1.2},
    "levers.cold_share": {"mean": 290.0, "cold": 278.0, "warm": 295.0},
}
"""Magnitudes for functions that refuse the samples, in the units of the signature."""

PARABOLA = "parabolas in °C, whose coefficients carry units"
SEARCH = "searches on plain numbers"
FOOD_ENERGY = "a law's factors carry the units"
EMPIRICAL = {
    "oven.air_pressure": "a standard's numbers carry the units",
    "oven.combined_coefficient": "Stefan and Boltzmann's constant carries the units",
    "oven.radiation_coefficient": "Stefan and Boltzmann's constant carries the units",
    "oven.conventional_from_fan": "adds a table's number of kelvins",
    "oven.fan_from_conventional": "takes off a table's number of kelvins",
    "water.boiling_point": "the numbers of IAPWS-IF97 carry the units",
    "water.saturation_pressure": "the numbers of IAPWS-IF97 carry the units",
    "water.boiling_point_of_dough": SEARCH,
    "water.vaporization_heat": "a straight line in °C: its numbers carry the units",
    "water.water_activity": "an exponential fit: its numbers carry the units",
    "chilling.flour_chilling_time": SEARCH,
    "chilling.time_to_reach": SEARCH,
    "classic_rule.classic_ice_mass": "the rule adds a temperature and a number",
    "doneness.core_goal": "a table's 100 °C, as a plain number of kelvins",
    "exchange.largest_preferment": "names of what is in the dough matter",
    "nutrition.energy_eu": FOOD_ENERGY,
    "nutrition.energy_us": FOOD_ENERGY,
    "nutrition.kilocalorie_energy_eu": FOOD_ENERGY,
    "fermentation.osmotic_factor": "a power by exp and log, which the compiler takes",
    "pathogens.salmonella_growth": "a fit in kelvins: its numbers carry the units",
    "pathogens.staphylococcus_growth": "its cardinal temperatures are a table's plain numbers",
    "portions.solid_fat": "a curve through tabulated points",
    "portions.wetting_heat": "an exponential fit: its factor, a table's number, carries the unit",
    "thermal.conductivity": PARABOLA,
    "thermal.density": PARABOLA,
    "thermal.ice_enthalpy": PARABOLA,
    "thermal.specific_enthalpy": PARABOLA,
    "thermal.specific_heat": PARABOLA,
}
"""Functions that only plain numbers can pass through, with the reason."""


class CannotBuild(Exception):  # noqa: N818 - reads as what it is
    """An argument that no annotation describes."""


def public_functions() -> Iterator[tuple[str, Callable[..., Any]]]:
    for found in pkgutil.walk_packages(engine.__path__, "doughwright.engine."):
        module = importlib.import_module(found.name)
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == module.__name__ and not name.startswith("_"):
                yield f"{module.__name__.removeprefix('doughwright.engine.')}.{name}", function


def sample(annotation: Any, magnitude: float | None = None) -> Any:
    """Make a value with the unit of an annotation: a quantity, or a container of them."""
    if get_origin(annotation) is Annotated:
        unit = next((m for m in annotation.__metadata__ if isinstance(m, Unit)), None)
        if unit is None:
            raise CannotBuild(annotation)
        usual = MAGNITUDES.get(unit.symbol, 2.0)
        return UNITS.Quantity(usual if magnitude is None else magnitude, unit.symbol)
    if dataclasses.is_dataclass(annotation):
        hints = get_type_hints(annotation, include_extras=True)
        return annotation(**{field: sample(hint) for field, hint in hints.items()})
    if get_origin(annotation) in {list, tuple, Sequence, Collection}:
        return tuple(sample(get_args(annotation)[0]) for _ in range(2))
    if get_origin(annotation) in {dict, Mapping} and get_args(annotation)[0] is str:
        return {"flour": sample(get_args(annotation)[1])}
    raise CannotBuild(annotation)


def arguments(function: Callable[..., Any], **case: float) -> dict[str, Any]:
    hints = get_type_hints(function, localns={"np": np}, include_extras=True)
    parameters = inspect.signature(function).parameters.values()
    needed = [p.name for p in parameters if p.default is p.empty or is_unit(hints[p.name])]
    return {name: sample(hints[name], case.get(name)) for name in needed}


def is_unit(annotation: Any) -> bool:
    return get_origin(annotation) is Annotated


def promised(function: Callable[..., Any]) -> Any:
    return get_type_hints(function, localns={"np": np}, include_extras=True).get("return")


def can_be_called(function: Callable[..., Any]) -> bool:
    try:
        return is_unit(promised(function)) and bool(arguments(function))
    except CannotBuild:
        return False


CALLABLE = {name: f for name, f in public_functions() if can_be_called(f)}


@pytest.mark.parametrize("name", sorted(CALLABLE.keys() - EMPIRICAL.keys()))
def test_a_result_has_the_unit_its_signature_promises(name: str) -> None:
    function = CALLABLE[name]
    result = UNITS.Quantity(function(**arguments(function, **CASES.get(name, {}))))
    expected = sample(promised(function))
    assert result.is_compatible_with(expected.units), f"{result.units} for {expected.units}"


def test_the_list_of_empirical_functions_is_up_to_date() -> None:
    assert CALLABLE.keys() >= EMPIRICAL.keys() | CASES.keys()
