"""The bake model with its water left out: what is left is conduction with convection outside.

No steam, no drying, no radiation, no metal, no spring; properties do not change. So the compiled
bake can stand beside closed forms and other solvers (``heat_series``, ``heat_references``).
"""

from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from doughwright.engine import bake_records as r
from doughwright.engine import compiled
from doughwright.engine.bake_rows import property_tables
from doughwright.engine.meshes import Mesh

Array = NDArray[np.floating]

NO_WATER = 1e-6
"""kg per kg dry; the model divides by what is wet."""

LASTING = {
    "change_at": 1e9,
    "change_lag": 1.0,
    "door_lag": 1.0,
    "cold_lag": 1.0,
    "steam_lag": 1.0,
    "pressure": 101325.0,
    "vapour_pressure": 1000.0,
    "metal_capacity": 1.0,
    "metal_temperature": 300.0,
    "contact": 1.0,
    "dry_below": 1.0,
    "filling_conductivity": 1.0,
    "crust_below": 1.0,
    "brown_dry": 1.0,
    "spring": 1.0,
    "spring_from": 1000.0,
    "spring_over": 1.0,
    "share_of_limit": 0.95,
    "stop_set": 1e300,
}
"""Values that only must not divide by nought."""


@dataclass(frozen=True, slots=True)
class Bare:
    """A body of constant properties, in SI units."""

    conductivity: float = 0.5
    heat_capacity: float = 900.0 * 2700.0
    coefficient: float = 25.0
    start: float = 299.15
    air: float = 453.15


@cache
def _tables() -> Array:
    tables = property_tables(LASTING["pressure"], 0.11, 1.0).copy()
    tables["setting"] = tables["browning"] = 0.0
    return tables


def insulated_below(mesh: Mesh) -> Mesh:
    """The mesh without metal: no heat goes through the base, as in a plane of symmetry."""
    return replace(mesh, walls=mesh.walls[mesh.walls["kind"] == r.FREE])


def all_in_air(mesh: Mesh) -> Mesh:
    """The mesh with its base in the air too."""
    walls = mesh.walls.copy()
    walls["kind"] = r.FREE
    return replace(mesh, walls=walls)


@dataclass(frozen=True, slots=True)
class Warming:
    """Temperatures in K: of the cell asked for at ``times`` (s), and of all cells at the end."""

    times: Array
    followed: Array
    field: Array


@dataclass(frozen=True, slots=True)
class Rows:
    """The tables of one run, with room for what comes out."""

    mesh: Mesh
    cells: Array
    conditions: Array
    members: Array
    outcomes: Array
    series: Array
    fields: Array
    work: Array


def rows_of(
    mesh: Mesh,
    body: Bare,
    seconds: float,
    *,
    follow: int = 0,
    every: float = 60.0,
    pace: float = 4.0,
) -> Rows:
    """Tables of a run whose water, radiation, metal and spring are switched off."""
    cells = np.zeros(len(mesh.volumes), r.CELL)
    cells["volume"] = mesh.volumes
    cells["dry_mass"] = 900.0 * mesh.volumes
    cells["water"] = NO_WATER * cells["dry_mass"]
    cells["dry_heat"] = body.heat_capacity * mesh.volumes - 4190.0 * cells["water"]
    cells["temperature"] = body.start
    conditions = np.zeros(1, r.CONDITIONS)
    here = {
        "first_setting": body.air,
        "second_setting": body.air,
        "convection": body.coefficient,
        "conductivity_raw": body.conductivity,
        "conductivity_crust": body.conductivity,
        "duration": seconds,
        "every": every,
        "pace": pace,
        "probe": float(follow),
    }
    for name, value in (LASTING | here).items():
        conditions[name] = value
    one = dict.fromkeys(r.MEMBER.names or (), 1.0) | {"walls": 0.0, "air": 0.0}
    members = np.array([tuple(one.values())], r.MEMBER)
    series = np.zeros((1, round(seconds / every) + 2, len(r.SERIES)))
    fields = np.zeros((1, len(r.FIELDS), len(cells)))
    return Rows(
        *(mesh, cells, conditions, members),
        *(np.zeros(1, r.OUTCOME), series, fields, np.empty(1, r.WORK)),
    )


def bake(rows: Rows) -> None:
    """Run the compiled bake on the tables."""
    mesh, tables = rows.mesh, _tables()
    compiled.run(compiled.BAKE)(
        *(rows.cells.ctypes.data, len(rows.cells), mesh.faces.ctypes.data, len(mesh.faces)),
        *(mesh.walls.ctypes.data, len(mesh.walls), rows.conditions.ctypes.data),
        *(rows.members.ctypes.data, 1, tables.ctypes.data, rows.outcomes.ctypes.data),
        *(rows.series.ctypes.data, rows.series.shape[1], rows.fields.ctypes.data),
        rows.work.ctypes.data,
    )


def warmed(
    mesh: Mesh,
    body: Bare,
    seconds: float,
    *,
    follow: int = 0,
    every: float = 60.0,
    pace: float = 4.0,
) -> Warming:
    """Temperatures of a body of one temperature that is put into air of another."""
    rows = rows_of(mesh, body, seconds, follow=follow, every=every, pace=pace)
    bake(rows)
    seen = rows.series[0, : int(rows.outcomes["samples"][0])]
    return Warming(seen[:, r.TIME], seen[:, r.PROBE], rows.fields[0, 0])
