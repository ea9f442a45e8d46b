"""How well the check points are foretold by a fit that has not seen them.

Eight parameters of ``engine/properties/fermentation.tsv`` were fitted to the published check
points. Here they are fitted again, to all points and then to all but one group, and each group
is asked of the fit that did without it. Half a minute on one core; nothing is written.

    python bench/leave_a_group_out.py             # weak priors: three times the table's doubt
    python bench/leave_a_group_out.py --prior 100 # as good as none

The priors are centred on the table's values, which have seen every group, and what was set by
hand stays: the figures of the groups left out are still on the kind side.
"""

import argparse
import importlib.util
import time
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
from scipy.optimize import least_squares

from doughwright.engine import properties
from doughwright.engine.fermentation import parameters

TESTS = Path(__file__).parents[1] / "tests/reference/test_fermentation_check_points.py"
PUBLISHED = dict(properties.constants("fermentation"))
READ = properties.constants

FITTED = {  # with the bounds of the fit, in the table's units
    "peak_gas_rate": (3.0, 9.0),
    "gas_minimum": (-5.0, 6.0),
    "maltose_share": (0.2, 1.0),
    "maltose_release": (0.05, 1.0),
    "growth_peak_rate": (0.2, 0.5),
    "growth_nutrient": (0.002, 0.012),
    "growth_half_saturation": (0.0005, 0.01),
    "growth_lag": (1.0, 4.0),
}
GROUPS = {
    "growth": (1, 2, 3, 4, 5),
    "gas volume": (6,),
    "temperature": (7, 8, 9),
    "dose": (10, 11, 12, 13, 14, 15),
    "straight doughs": (16, 17, 18, 19),
    "pan proof": (20, 21, 22),
    "poolish": (24, 25, 26),
    "sponge and enriched dough": (27, 28, 36, 37, 38, 39),
}
NEVER_FITTED = 22
NEVER_READY = 10.0  # residual over tolerance of a dough that does not get there
STEP = 0.05  # of the difference quotients, in units of the table's uncertainty

DOUBT = np.array([PUBLISHED[name].uncertainty for name in FITTED], dtype=float)
CENTRE = np.array([PUBLISHED[name].value for name in FITTED])
LOW, HIGH = ((np.array(b) - CENTRE) / DOUBT for b in zip(*FITTED.values(), strict=True))


def check_points() -> ModuleType:
    """Return the test module that knows how each published dough was made."""
    spec = importlib.util.spec_from_file_location("check_points", TESTS)
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


POINTS = check_points()


def take(theta: Any) -> None:
    """Let the engine work with other parameters, given in doubts away from the table's."""
    values = CENTRE + DOUBT * np.asarray(theta)
    changed = dict(PUBLISHED)
    for name, value in zip(FITTED, values, strict=True):
        changed[name] = replace(changed[name], value=float(value))
    properties.constants = lambda table: changed if table == "fermentation" else READ(table)
    parameters.cache_clear()
    for each in vars(POINTS).values():
        if hasattr(each, "cache_clear") and each is not parameters:
            each.cache_clear()


def residual(number: int) -> float:
    try:
        return float(POINTS.residual(number))
    except AssertionError:
        return NEVER_READY


def residuals(theta: Any, numbers: Sequence[int]) -> Any:
    take(theta)
    return np.array([residual(number) for number in numbers])


def fit(numbers: Sequence[int], width: float, most: int) -> Any:
    """Most probable parameters for some of the points, in doubts away from the table's."""
    used = [n for n in numbers if n != NEVER_FITTED]

    def wrong(theta: Any) -> Any:
        return np.append(residuals(theta, used), theta / width)

    def slopes(theta: Any) -> Any:
        here = wrong(theta)
        columns = []
        for i in range(len(theta)):
            step = STEP if theta[i] + STEP <= HIGH[i] else -STEP
            there = np.array(theta)
            there[i] += step
            columns.append((wrong(there) - here) / step)
        return np.column_stack(columns)

    start = np.minimum(np.zeros(len(CENTRE)), HIGH - 1e-3)
    bounds = (LOW, HIGH)
    found = least_squares(wrong, start, slopes, bounds, max_nfev=most, xtol=1e-3, ftol=1e-6)
    return found.x


def rms(values: Any) -> float:
    return float(np.sqrt(np.mean(np.square(values))))


def told(what: str, values: Any, began: float, theta: Any = None) -> None:
    inside = int((np.abs(values) <= 1.0).sum())
    line = f"{what:40s} rms {rms(values):5.2f}  inside {inside:2d} of {len(values):2d}"
    line += "  " + " ".join(f"{value:+.2f}" for value in values) if len(values) < 8 else ""
    print(f"{line}  [{time.perf_counter() - began:.0f} s]", flush=True)
    if theta is not None:
        values = CENTRE + DOUBT * theta
        shown = (f"{name} {value:.4g}" for name, value in zip(FITTED, values, strict=True))
        print("    " + ", ".join(shown), flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--prior", type=float, default=3.0, help="width of the priors in doubts")
    parser.add_argument("--most", type=int, default=60, help="most steps of one fit")
    asked = parser.parse_args()
    began = time.perf_counter()
    every = list(POINTS.CASES)
    run = partial(fit, width=asked.prior, most=asked.most)
    table = np.zeros(len(CENTRE))
    told("all points, the table's parameters", residuals(table, every), began)
    for name, group in GROUPS.items():
        told(f"  {name}", residuals(table, group), began)
    theta = run(every)
    told("all points, fitted again", residuals(theta, every), began, theta)
    for name, group in GROUPS.items():
        told(f"  {name}", residuals(theta, group), began)
    left_out = {}
    for name, group in GROUPS.items():
        theta = run([n for n in every if n not in group])
        left_out[name] = residuals(theta, group)
        told(f"left out: {name}", left_out[name], began, theta)
    told("all groups, each left out", np.concatenate(list(left_out.values())), began)


if __name__ == "__main__":
    main()
