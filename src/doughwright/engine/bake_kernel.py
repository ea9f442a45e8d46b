# mypy: ignore-errors
# ruff: noqa: ANN001, ANN201, ANN202, PLR0913, PLR0917 - the compiler infers types and has no objects
"""The compiled bake: heat and water between cells, through walls, into the oven.

Import it inside functions only. Explicit finite volumes on a list of faces, so that one kernel
serves slab, cylinder, sphere and any section of a piece. Temperatures in K, the enthalpy of
water counted from 0 K (only differences matter, and what moves carries what it has).
"""

import math
from functools import cache

import numpy as np
from numba import carray

from doughwright.engine import bake_records as r
from doughwright.engine import bake_walls, compiling
from doughwright.engine.bake_walls import (
    LATENT_AT_0,
    LATENT_MOVED,
    LATENT_SLOPE,
    MOST_SKIN,
    PER_ROW,
    SMALL,
    WATER_HEAT,
    boiling,
    expose,
    gather_skins,
    through_walls,
)
from doughwright.engine.compiled import BAKE
from doughwright.engine.compiling import compiled_entry, digest, njit

NEARLY_DRY = 0.02  # kg/kg: below it a cell may dry in one interval
FIRST_PACE = 0.05  # of the usual pace
LEAST_PACE = 0.05  # s: a bake comes to its end whatever it is given
MOST_DRIED = 0.15  # of a cell's water between two updates of properties


@njit
def swelling(c, member, mean):
    """Length of the piece over its length at the start, by its mean temperature."""
    x = (mean - c["spring_from"]) / c["spring_over"]
    x = min(max(x, 0.0), 1.0)
    grown = 1.0 + (c["spring"] - 1.0) * member["spring"] * x * x * (3.0 - 2.0 * x)
    return grown ** (1.0 / 3.0)


@njit
def load(cells, faces, walls, c, w):
    """Fill the working rows with the piece as it goes into the oven."""
    for i in range(cells.shape[0]):
        cell = cells[i]
        w["dry_heat"][i], w["dough"][i] = cell["dry_heat"], 1.0 - cell["filling"]
        w["water"][i] = cell["water"]
        w["temperature"][i] = cell["temperature"]
        w["heat"][i] = (cell["dry_heat"] + cell["water"] * WATER_HEAT) * cell["temperature"]
        w["setting"][i] = w["skins"][i] = w["heat_change"][i] = w["water_change"][i] = 0.0
        w["inverse_dry"][i] = 1.0 / cell["dry_mass"]
        w["moisture"][i] = cell["water"] / cell["dry_mass"]
    for f in range(faces.shape[0]):
        a, b = faces[f]["a"], faces[f]["b"]
        w["face_a"][f], w["face_b"][f] = a, b
        w["face_shape"][f] = faces[f]["shape"]
        both = (1.0 - cells[a]["filling"]) * (1.0 - cells[b]["filling"])
        w["face_both"][f] = faces[f]["shape"] * c["liquid_diffusion"] * both
    for j in range(walls.shape[0]):
        wall, i = walls[j], walls[j]["cell"]
        w["wall_cell"][j] = i
        w["surface"][j] = cells[i]["temperature"]
        w["colour"][j] = w["latent"][j] = w["skin_drying"][j] = 0.0
        w["skin_dry"][j] = w["skin_water"][j] = 0.0
        if wall["kind"] == r.FREE and c["skin"] > 0.0:
            most = MOST_SKIN * cells[i]["dry_mass"]
            own = cells[i]["dry_mass"] / cells[i]["volume"]  # a filling has its own
            w["skin_dry"][j] = min(own * c["skin"] * wall["area"], most)
            w["skin_water"][j] = w["skin_dry"][j] * w["moisture"][i]
            w["skins"][i] += w["skin_water"][j]
            w["inverse_dry"][i] = 1.0 / (1.0 / w["inverse_dry"][i] - w["skin_dry"][j])


@njit
def conduct_cells(n, c, member, opening, setting, w, pace):
    """Conductivities of cells; and the crumb sets a little."""
    temperature, moisture, dough = w["temperature"], w["moisture"], w["dough"]
    conductivity, share, set_so_far = w["conductivity"], w["share"], w["setting"]
    conductance = w["conductance"]
    raw, crust = c["conductivity_raw"] * member["raw"], c["conductivity_crust"] * member["crust"]
    most, filling = c["conductivity_vapour"] * member["vapour"], c["filling_conductivity"]
    by_moisture = 1.0 / c["dry_below"]
    for i in range(n):
        x = (temperature[i] - r.LOWEST) * PER_ROW
        x = min(max(0.0, x), r.ROWS - 2.0)  # no number and no sense end at the edge
        at = np.uint32(x)
        x -= at
        wet = min(1.0, moisture[i] * by_moisture)
        moved = most * wet * (opening[at] + x * (opening[at + 1] - opening[at]))
        still = crust + (raw - crust) * wet
        k = dough[i] * (still + moved) + (1.0 - dough[i]) * filling
        conductivity[i] = k
        share[i] = dough[i] * moved / k
        set_so_far[i] += pace * (setting[at] + x * (setting[at + 1] - setting[at]))
        conductance[i] = 0.0


@njit
def conduct_faces(n, w, swell):
    """Conductances of faces, and by cell."""
    a, b, shape, both = w["face_a"], w["face_b"], w["face_shape"], w["face_both"]
    conductivity, share, conductance = w["conductivity"], w["share"], w["conductance"]
    heat, water, liquid = w["face_heat"], w["face_water"], w["face_liquid"]
    for f in range(n):
        i, j = a[f], b[f]
        ka, kb = conductivity[i], conductivity[j]
        g = swell * shape[f] * 2.0 * ka * kb / (ka + kb)
        heat[f] = g
        water[f] = min(share[i], share[j]) * (1.0 / LATENT_MOVED)
        liquid[f] = swell * both[f]
        conductance[i] += g
        conductance[j] += g


@njit
def longest_step(n, w):
    """The longest stable explicit step, s."""
    dry_heat, water, conductance = w["dry_heat"], w["water"], w["conductance"]
    least = 1e9
    for i in range(n):
        least = min(least, (dry_heat[i] + water[i] * WATER_HEAT) / (conductance[i] + SMALL))
    return least


@njit
def flow(n, w):
    """Heat and water through every face, added up by cell."""
    a, b, g = w["face_a"], w["face_b"], w["face_heat"]
    carried, liquid = w["face_water"], w["face_liquid"]
    temperature, moisture = w["temperature"], w["moisture"]
    heat, water = w["heat_change"], w["water_change"]
    for f in range(n):
        i, j = a[f], b[f]
        q = g[f] * (temperature[i] - temperature[j])
        m = carried[f] * q + liquid[f] * (moisture[i] - moisture[j])
        upwind = temperature[i] if m > 0.0 else temperature[j]
        q += m * WATER_HEAT * upwind
        heat[i] -= q
        heat[j] += q
        water[i] -= m
        water[j] += m


@njit
def advance(n, w, step):
    """Add up what came and went through faces and walls.

    Returns the fastest drying of a cell by what moves, as a share of its water, 1/s. In short
    loops: few arrays at once are what the compiler can see apart and take side by side.
    """
    dry_heat, heat, water = w["dry_heat"], w["heat"], w["water"]
    heat_change, water_change = w["heat_change"], w["water_change"]
    skins, inverse_dry = w["skins"], w["inverse_dry"]
    temperature, moisture = w["temperature"], w["moisture"]
    fastest = 0.0
    for i in range(n):
        lost, there = -water_change[i] * inverse_dry[i], max(moisture[i], NEARLY_DRY)
        if lost > fastest * there:
            fastest = lost / there
    for i in range(n):
        heat[i] += step * heat_change[i]
        heat_change[i] = 0.0
    for i in range(n):
        water[i] += step * water_change[i]
        water_change[i] = 0.0
    for i in range(n):
        temperature[i] = heat[i] / (dry_heat[i] + water[i] * WATER_HEAT)
    for i in range(n):
        moisture[i] = (water[i] - skins[i]) * inverse_dry[i]
    return fastest


@njit
def boil(capacity, dry, moisture, above, latent, slope):
    """Water that boils away from a cell above its boiling point, kg.

    One step of Newton's method: what it leaves is taken in the next step, and no heat is lost.
    """
    gone = above * capacity / (dry * latent - capacity * slope)
    return dry * min(gone, 0.9 * moisture)


@njit
def boil_cells(n, tables, w, out, lowest):
    """What is above its boiling point boils; the vapour leaves."""
    temperature, moisture, inverse_dry = w["temperature"], w["moisture"], w["inverse_dry"]
    dry_heat, heat, water, skins = w["dry_heat"], w["heat"], w["water"], w["skins"]
    table = tables["boiling"]
    for i in range(n):
        if temperature[i] <= lowest:
            continue
        point, slope = boiling(table, moisture[i])
        if temperature[i] <= point:
            continue
        capacity = dry_heat[i] + water[i] * WATER_HEAT
        latent = LATENT_AT_0 - LATENT_SLOPE * (point - 273.15)
        above, dry = temperature[i] - point, 1.0 / inverse_dry[i]
        gone = boil(capacity, dry, moisture[i], above, latent, slope)
        carried = gone * (latent + WATER_HEAT * point)
        heat[i] -= carried
        water[i] -= gone
        out["boiled"] += gone
        out["heat_out"] += carried
        temperature[i] = heat[i] / (capacity - gone * WATER_HEAT)
        moisture[i] = (water[i] - skins[i]) * inverse_dry[i]


@njit
def sample(cells, c, w, swell, time, row):
    """Write what is seen of the piece at a time."""
    coldest, where, least, filling = 1e9, 0, 1e300, 1e9
    energy, capacity, water, crust = 0.0, 0.0, 0.0, 0.0
    for i in range(cells.shape[0]):
        temperature = w["temperature"][i]
        if cells[i]["filling"] < 0.5:
            if temperature < coldest:
                coldest, where = temperature, i
            least = min(least, w["setting"][i])
        else:
            filling = min(filling, temperature)
        one = w["dry_heat"][i] + w["water"][i] * WATER_HEAT
        capacity += one
        energy += one * temperature
        water += w["water"][i]
        dry = 1.0 - w["moisture"][i] / c["crust_below"]
        if dry > 0.0:
            crust += cells[i]["volume"] * dry * (1.0 - cells[i]["filling"])
    row[r.TIME], row[r.COLDEST], row[r.SET], row[r.WHERE] = time, coldest, least, where
    row[r.FILLING] = filling if filling < 1e9 else coldest
    row[r.PROBE] = w["temperature"][int(c["probe"])]
    row[r.MEAN], row[r.WATER] = energy / capacity, water
    row[r.SURFACE], row[r.COLOUR] = w["mean_surface"], w["mean_colour"]
    row[r.CRUST] = c["crust_compaction"] * crust * swell**3 / w["area"]
    row[r.AIR], row[r.HEAT] = w["air"], w["taken"]


@njit
def total_heat(n, w):
    """Heat held by all cells, J, and their heat capacity, J/K."""
    heat, capacity = 0.0, 0.0
    for i in range(n):
        heat += w["heat"][i]
        capacity += w["dry_heat"][i] + w["water"][i] * WATER_HEAT
    return heat, capacity


@njit
def reached(row, c):
    """Whether all that the bake waits for is reached."""
    return (
        row[r.SET] >= c["stop_set"]
        and row[r.COLDEST] >= c["stop_core"]
        and row[r.FILLING] >= c["stop_filling"]
        and row[r.COLOUR] >= c["stop_colour"]
    )


@njit
def bake_one(cells, faces, walls, c, member, tables, out, series, w):
    """Bake one piece until nothing more is waited for, or its time is over."""
    n, faced = cells.shape[0], faces.shape[0]
    load(cells, faces, walls, c, w)
    begin, capacity = total_heat(n, w)
    lowest = tables["boiling"][r.ROOT_ROWS - 1] - 0.01
    w["metal"], w["taken"] = c["metal_temperature"], 0.0
    w["mean_colour"], w["mean_surface"] = 0.0, begin / capacity
    time, rows, steps, until, swell = 0.0, 0, 0, c["duration"], 1.0
    out["boiled"] = out["dried"] = out["heat_in"] = out["heat_out"] = 0.0
    out["least_step"] = c["pace"]
    since, pace = 0.0, FIRST_PACE * c["pace"]  # the surface leaps as the door shuts
    while True:
        held, capacity = total_heat(n, w)
        swell = max(swell, swelling(c, member, held / capacity))
        conduct_cells(n, c, member, tables["opening"], tables["setting"], w, since)
        conduct_faces(faced, w, swell)
        expose(walls, c, member, tables, w, swell, time, pace)
        gather_skins(walls, w)
        if time >= rows * c["every"] - 1e-6 and rows < series.shape[0]:
            sample(cells, c, w, swell, time, series[rows])
            if until == c["duration"] and reached(series[rows], c):
                until = min(until, time * c["stop_factor"])
            rows += 1
        if time >= until - 1e-6:
            break
        count = max(1, math.ceil(pace / (c["share_of_limit"] * longest_step(n, w))))
        step = pace / count
        out["least_step"] = min(out["least_step"], step)
        fastest = SMALL
        for _ in range(count):
            flow(faced, w)
            through_walls(walls, c, member, w, out, step)
            fastest = max(fastest, advance(n, w, step))
            boil_cells(n, tables, w, out, lowest)
        steps += count
        time += pace
        # where a cell dries fast, properties and skins are worked out more often
        since, pace = pace, min(c["pace"], 1.5 * pace, max(MOST_DRIED / fastest, LEAST_PACE))
        pace = min(pace, max(until - time, 1e-3))  # the end is met to the point
    out["held"] = total_heat(n, w)[0] - begin
    out["samples"], out["steps"] = rows, steps


@njit
def every_bake(cells, faces, walls, conditions, members, tables, outcomes, series, fields, w):
    """Bake a piece once for every member of an ensemble."""
    for m in range(members.shape[0]):
        bake_one(cells, faces, walls, conditions, members[m], tables, outcomes[m], series[m], w)
        for i in range(cells.shape[0]):
            fields[m, 0, i] = w["temperature"][i]
            fields[m, 1, i] = w["moisture"][i]
            fields[m, 2, i] = w["setting"][i]


def stamped(stamp):
    """The run, bound to the text of all it is made of (see the rise's)."""

    def run(
        cells, cell_count, faces, face_count, walls, wall_count, conditions, members, count,
        tables, outcomes, series, samples, fields, work,
    ):  # fmt: skip
        """Bake a piece for every member, given where the tables are and how long."""
        stamp  # noqa: B018 - part of what the compiler knows this function by
        every_bake(
            carray(cells, cell_count, r.CELL),
            carray(faces, face_count, r.FACE),
            carray(walls, wall_count, r.WALL),
            carray(conditions, 1, r.CONDITIONS)[0],
            carray(members, count, r.MEMBER),
            carray(tables, 1, r.TABLES)[0],
            carray(outcomes, count, r.OUTCOME),
            carray(series, (count, samples, len(r.SERIES)), np.float64),
            carray(fields, (count, len(r.FIELDS), cell_count), np.float64),
            carray(work, 1, r.WORK)[0],
        )

    return run


@cache
def compiled_run(*, kept):
    """Compile the run; with ``kept``, the compiler keeps what it made and finds it again."""
    return compiled_entry(stamped(digest(r, bake_walls, compiling)), BAKE.takes, kept=kept)
