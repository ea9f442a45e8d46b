# mypy: ignore-errors
# ruff: noqa: ANN001, ANN201, PLR0913, PLR0917 - the compiler infers types and has no objects
"""The compiled bake's walls: surfaces, skins that dry and brown, metal. Import it inside functions.

Temperatures in K. A surface takes the temperature at which what comes by convection and
radiation is what goes into the cell and into evaporation; its skin dries implicitly.
"""

import math

import numpy as np

from doughwright.engine import bake_records as r
from doughwright.engine.compiling import njit

WATER_HEAT = 4190.0  # J/(kg K)
VAPOUR_GAS = 461.5  # J/(kg K), gas constant of water vapour
BOLTZMANN = 5.670374419e-8  # W/(m2 K4), exact
LATENT_AT_0, LATENT_SLOPE = 2.501e6, 2361.0  # J/kg and J/(kg K), of water
LATENT_MOVED = 2.3e6  # J/kg, carried by vapour between cells
MOST_PRESSURE = 0.97  # of the air pressure, at the surface
AHEAD = 10.0  # K over which the slope of the vapour pressure is taken
MOST_SKIN = 0.5  # of a cell, however small
PER_ROW = 1.0 / r.ROW
SMALL = 1e-12


@njit
def by_temperature(table, temperature):
    """A property between the rows of its table."""
    x = (temperature - r.LOWEST) / r.ROW
    i = np.uint32(min(max(0.0, x), r.ROWS - 2.0))
    return table[i] + (x - i) * (table[i + 1] - table[i])


@njit
def boiling(table, moisture):
    """Boiling point of dough of some moisture, K, and its slope by moisture."""
    root = math.sqrt(max(moisture, SMALL))
    x = root / r.ROOT_STEP
    x = min(max(0.0, x), r.ROOT_ROWS - 1.001)
    i = np.uint32(x)
    slope = table[i + 1] - table[i]
    return table[i] + (x - i) * slope, slope / r.ROOT_STEP / (2.0 * root)


@njit
def activity(tables, moisture, temperature):
    """Water activity and its slope by moisture."""
    drying = by_temperature(tables["drying"], temperature) / r.REDUCED_STEP
    x = moisture * drying
    x = min(max(0.0, x), r.REDUCED_ROWS - 1.001)
    i = np.uint32(x)
    slope = tables["activity"][i + 1] - tables["activity"][i]
    return tables["activity"][i] + (x - i) * slope, slope * drying


@njit
def air_at(c, member, time):
    """Air temperature of the oven: set, changed, cooled by the open door."""
    setting = c["first_setting"]
    if time > c["change_at"]:
        fade = math.exp(-(time - c["change_at"]) / c["change_lag"])
        setting = c["second_setting"] + (setting - c["second_setting"]) * fade
    drop = c["door_drop"] * member["door"] * math.exp(-time / c["door_lag"])
    return setting + member["air"] - drop


@njit
def dry_skin(j, area, c, tables, w, moisture, humidity, transfer, interval, distance):
    """Let the skin of a free wall dry for an interval, implicitly.

    Returns the mass flux of vapour, kg/(m2 s), its slope by surface temperature, and the
    moisture of the skin.
    """
    surface, dry = w["surface"][j], w["skin_dry"][j]
    if dry <= 0.0:
        return 0.0, 0.0, moisture
    now = w["skin_water"][j] / dry
    aw, by_moisture = activity(tables, now, surface)
    saturated = by_temperature(tables["saturation"], surface)
    # the slope a little ahead: where steam condenses, the surface must not leap past the balance
    by_kelvin = (by_temperature(tables["saturation"], surface + AHEAD) - saturated) / AHEAD
    ceiling = MOST_PRESSURE * c["pressure"]
    partial = min(aw * saturated, ceiling)
    k = transfer * c["pressure"] / (VAPOUR_GAS * 0.5 * (surface + w["air"]))
    flux = k * math.log((c["pressure"] - humidity) / (c["pressure"] - partial))
    slope = 0.0 if partial == ceiling else k / (c["pressure"] - partial)
    per_area = dry / area
    feed = c["liquid_diffusion"] / (0.5 * c["skin"] + 0.5 * distance)
    x = slope * saturated * by_moisture
    pull = per_area + interval * (feed + x)
    change = interval * (feed * (moisture - now) - flux) / pull
    if change < -0.5 * now:
        change, x = -0.5 * now, 1e9
        pull = per_area + interval * (feed + x)
    w["skin_water"][j] = dry * (now + change)
    vapour = feed * (moisture - now - change) - per_area * change / interval
    by_surface = slope * aw * by_kelvin * (per_area + interval * feed) / pull
    return vapour, by_surface, now + change


@njit
def oven_air(c, member, w, time):
    """Put the oven's air and walls into the working rows; returns the vapour pressure."""
    w["air"] = air_at(c, member, time)
    w["radiant"] = w["air"] + c["wall_excess"] + member["walls"]
    humidity = c["vapour_pressure"] * member["humidity"]
    if c["steam_pressure"] > 0.0:
        humidity += c["steam_pressure"] * math.exp(-time / c["steam_lag"])
    return min(humidity, 0.9 * c["pressure"])


@njit
def expose(walls, c, member, tables, w, swell, time, interval):
    """Solve the surface of every wall; its heat is linear in the cell's temperature till next."""
    humidity = oven_air(c, member, w, time)
    air = w["air"]
    convection = c["convection"] * member["heating"]
    emitted = c["emissivity"] * BOLTZMANN * member["heating"]
    radiated = convection * air + emitted * w["radiant"] ** 4
    transfer = convection * c["mass_per_heat"]
    contact = c["contact"] * member["contact"]
    square = swell * swell
    colour, warm, area, whole = 0.0, 0.0, 0.0, 0.0
    for j in range(walls.shape[0]):
        wall, i = walls[j], w["wall_cell"][j]
        distance = wall["distance"] * swell
        inner = w["conductivity"][i] / distance
        size = wall["area"] * square
        whole += size
        if wall["kind"] == r.METAL:
            w["gain"][j] = size / (1.0 / contact + 1.0 / inner)
            w["conductance"][i] += w["gain"][j]
            continue
        vapour, by_surface, skin = dry_skin(
            j, size, c, tables, w, w["moisture"][i], humidity, transfer, interval, distance
        )
        surface, inside = w["surface"][j], w["temperature"][i]
        latent = LATENT_AT_0 - LATENT_SLOPE * (surface - 273.15)
        cube = surface * surface * surface
        given = radiated - convection * surface - emitted * cube * surface
        outer = convection + 4.0 * emitted * cube + latent * by_surface
        surface += (given - latent * vapour - inner * (surface - inside)) / (outer + inner)
        # till the next solution the surface follows the cell by this share
        follows = inner / (outer + inner)
        w["surface"][j] = surface
        w["gain"][j] = size * inner * (1.0 - follows)
        w["offset"][j] = size * inner * (surface - follows * inside)
        w["conductance"][i] += w["gain"][j]
        w["skin_drying"][j] = vapour * size
        w["latent"][j] = vapour * size * latent
        dry = 1.0 - skin / c["brown_dry"]
        if dry > 0.0:
            rate = by_temperature(tables["browning"], surface) * member["browning"] * dry
            w["colour"][j] += interval * rate * (c["brown_limit"] - w["colour"][j])
        colour += size * w["colour"][j]
        warm += size * surface
        area += size
    w["area"] = whole
    if area > 0.0:
        w["mean_colour"], w["mean_surface"] = colour / area, warm / area


@njit
def gather_skins(walls, w):
    """Water that stands in the skins of each cell."""
    skins, at, water = w["skins"], w["wall_cell"], w["skin_water"]
    for j in range(walls.shape[0]):
        skins[at[j]] = 0.0
    for j in range(walls.shape[0]):
        skins[at[j]] += water[j]


@njit
def through_walls(walls, c, member, w, out, step):
    """Heat and vapour through every wall in one step, and the metal's own temperature."""
    heat, water, temperature = w["heat_change"], w["water_change"], w["temperature"]
    gain, offset, drying, latent = w["gain"], w["offset"], w["skin_drying"], w["latent"]
    at, metal = w["wall_cell"], w["metal"]
    from_metal, size, from_air, dried, lost, evaporating = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    for j in range(walls.shape[0]):
        i = at[j]
        if walls[j]["kind"] == r.METAL:
            q = gain[j] * (metal - temperature[i])
            heat[i] += q
            from_metal += q
            size += walls[j]["area"]
            continue
        q = offset[j] - gain[j] * temperature[i]
        carried = drying[j] * WATER_HEAT * temperature[i]
        heat[i] += q - carried
        water[i] -= drying[j]
        from_air += q
        lost += carried
        dried += drying[j]
        evaporating += latent[j]
    taken = 0.0
    if size > 0.0:
        convection = c["convection"] * member["heating"] * c["metal_convection"]
        radiation = c["metal_radiation"] * BOLTZMANN * member["heating"]
        taken = convection * (w["air"] - metal) + radiation * (w["radiant"] ** 4 - metal**4)
        w["metal"] += step * (taken - from_metal / size) / c["metal_capacity"]
    out["dried"] += dried * step
    out["heat_out"] += lost * step
    out["heat_in"] += (from_air + from_metal) * step
    w["taken"] += (from_air + evaporating + taken * size) * step
