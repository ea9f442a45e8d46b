"""Speed of a bake: one piece, an ensemble, cutting into cells; and plain heat three ways.

Run by ``make bench``. Times are the best of several repeats: the machine's own noise only
ever adds. Budgets are printed beside the figures; nothing fails on them.
"""

import time
from collections.abc import Callable
from functools import partial

import numpy as np

from bare_heat import Bare, all_in_air, bake, rows_of
from doughwright.engine.baking import BakeRun, bake_runs
from doughwright.engine.meshes import Section, Well, section_mesh
from doughwright.engine.oven_piece import BakingDough, BakingFilling, Member, OvenCourse, OvenPiece
from doughwright.engine.oven_spread import spread_members
from doughwright.engine.pieces import Measures, shape_of
from heat_references import (
    TRAY_BAKE,
    Cylinder,
    Field,
    by_fipy,
    by_fipy_extrapolated,
    by_stiff_integrator,
    series_field,
)

LONG = 2700.0
FAN = OvenCourse("fan", 433.15, drop=25.0)
HALF_AN_HOUR = 1800.0
FLOOR = (5.0, 7.0)
"""ms for the bun if its cells lay in a grid and were worked out side by side: 90 operations and
three divisions a cell and step, all data in the second cache (an estimate)."""


def filled_bun() -> OvenPiece:
    """125 g of dough around 55 g of filling; 11 cm by 4 when baked."""
    sprung = 1.35 ** (1 / 3)
    shape = shape_of("round", Measures(0.11 / sprung, None, 0.04 / sprung), 0.0)
    filling = BakingFilling(0.055, 283.15, 1.3, 3190.0, 0.42, 1050.0, "well")
    return OvenPiece(shape, 0.125, 299.15, BakingDough(0.61, enriched=True), filling, spring=1.35)


def best_of(repeats: int, work: Callable[[], object]) -> float:
    """Shortest time of several runs, s."""
    taken = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def say(what: str, took: float, budget: float | None = None, more: str = "") -> None:
    allowed = f"budget {budget * 1e3:g} ms" if budget else ""
    print(f"{what:44}{took * 1e3:>9.2f} ms  {allowed:16}{more}")


def per_cell(run: BakeRun, took: float) -> str:
    cells, steps = len(run.mesh.volumes), run.outcomes["steps"].sum()
    each = took * 1e9 / cells / steps
    return f"{cells} cells, {steps:.0f} steps, {each:.0f} ns each"


def pieces() -> None:
    bun = filled_bun()
    section = partial(bake_runs, bun, FAN, duration=LONG)
    took = best_of(30, section)
    say("filled bun, cells of 2 mm, 45 min", took, 15e-3, per_cell(section(), took))
    above = [took * 1e3 / floor for floor in reversed(FLOOR)]
    print(
        f"  {above[0]:.1f}–{above[1]:.1f} times the floor of {FLOOR[0]:g}–{FLOOR[1]:g} ms:"
        " cells are told by lists, so faces gather and scatter one by one"
    )
    sphere = partial(section, section=False)
    took = best_of(100, sphere)
    say("the same by a sphere of ten shells", took, 0.6e-3, per_cell(sphere(), took))
    members = spread_members(Member(), air=10.0, members=999)
    took = best_of(3, partial(sphere, members=members))
    say("a thousand ovens by the sphere", took, 1.0)
    well = Well(0.026, 0.0145, 0.0362)
    cut = partial(section_mesh.__wrapped__, bun.shape.section, 0.002, well)
    say("cutting the section into cells", best_of(30, cut))


def worst(field: Field, size: float) -> float:
    """Largest error of any cell against the closed form, K."""
    exact = series_field(TRAY_BAKE, size, HALF_AN_HOUR).temperature
    return float(np.abs(field.temperature - exact).max())


def at_least_as_good(
    ways: dict[str, Callable[[Cylinder, float, float], Field]], size: float, error: float
) -> tuple[str, float, float]:
    """The quickest setting (they come quickest first) that errs no more; its time and error."""
    found = ("", 0.0, 0.0)
    for name, solve in ways.items():
        start = time.perf_counter()
        field = solve(TRAY_BAKE, size, HALF_AN_HOUR)
        found = (name, time.perf_counter() - start, worst(field, size))
        if found[2] <= error:
            break
    return found


def plain_heat(size: float) -> None:
    """Half an hour of conduction in 56 × 40 mm, every cell within the same error."""
    mesh = all_in_air(section_mesh(Section(TRAY_BAKE.radius, TRAY_BAKE.height, np.inf), size))
    rows = rows_of(mesh, Bare(), HALF_AN_HOUR, pace=60.0)  # properties do not change
    took = best_of(30, partial(bake, rows))
    radius, height = (np.unique(mesh.points[:, i]) for i in (0, 1))
    found = rows.fields[0, 0].reshape(len(radius), len(height))
    error = worst(Field(radius, height, found), size)
    each = took * 1e9 / len(mesh.volumes) / float(rows.outcomes["steps"][0])
    say(f"plain heat, {size * 1e3:g} mm", took, None, f"{error:.3f} K off, {each:.1f} ns each")
    integrators = {
        f"tolerance {t:g}": partial(by_stiff_integrator, tolerance=t)
        for t in (1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 1e-5, 1e-6)
    }
    steps: dict[str, Callable[[Cylinder, float, float], Field]] = {
        "steps of 60 s": partial(by_fipy, step=60.0),
        "60 and 30 s, extrapolated": partial(by_fipy_extrapolated, step=30.0),
        "40 and 20 s, extrapolated": partial(by_fipy_extrapolated, step=20.0),
        "10 and 5 s, extrapolated": partial(by_fipy_extrapolated, step=5.0),
    }
    for name, ways, wanted in (("scipy BDF", integrators, 50), ("FiPy", steps, 500)):
        setting, theirs, off = at_least_as_good(ways, size, error)
        theirs = min(theirs, best_of(3, partial(ways[setting], TRAY_BAKE, size, HALF_AN_HOUR)))
        ratio = f"{theirs / took:.0f} times as long, wanted {wanted}"
        say(f"  {name}, {setting}", theirs, None, f"{off:.3f} K off, {ratio}")


def main() -> None:
    pieces()
    by_fipy(TRAY_BAKE, 0.004, 10.0, 10.0)  # its import is not what is timed
    for size in (0.002, 0.001):
        plain_heat(size)
    print("  the bake's kernel carries its water, walls and boiling point along, here for nothing")


if __name__ == "__main__":
    main()
