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
LEAP, CLOSE, MOST_TRIES = 12.0, 0.5, 12  # K, K and steps in search of a surface temperature
LEAST_SURFACE, MOST_SURFACE = 200.0, 1000.0  # K
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
    if c["cold_drop"] > 0.0:  # ovens differ in how long they heat, not in how cold a room is
        drop += c["cold_drop"] * math.exp(-time / (c["cold_lag"] * member["door"]))
    return setting + member["air"] - drop


@njit
def dry_skin(surface, now, per_area, c, tables, air, moisture, humidity, transfer, feed, interval):
    """What a skin of some moisture gives off in an interval at a surface temperature, implicitly.

    Returns the mass flux of vapour, kg/(m2 s), its slope by temperature, and the moisture that
    is left; ``per_area`` is the skin's dry mass and ``feed`` what comes to it from the cell,
    kg/(m2 s) for each kg/kg.
    """
    aw, by_moisture = activity(tables, now, surface)
    saturated = by_temperature(tables["saturation"], surface)
    by_kelvin = 2.0 * (by_temperature(tables["saturation"], surface + 0.5) - saturated)
    ceiling = MOST_PRESSURE * c["pressure"]
    partial = min(aw * saturated, ceiling)
    k = transfer * c["pressure"] / (VAPOUR_GAS * 0.5 * (surface + air))
    flux = k * math.log((c["pressure"] - humidity) / (c["pressure"] - partial))
    slope = 0.0 if partial == ceiling else k / (c["pressure"] - partial)
    x = slope * saturated * by_moisture
    pull = per_area + interval * (feed + x)
    change = interval * (feed * (moisture - now) - flux) / pull
    if change < -0.5 * now:
        change, x = -0.5 * now, 1e9
        pull = per_area + interval * (feed + x)
    vapour = feed * (moisture - now - change) - per_area * change / interval
    by_surface = slope * aw * by_kelvin * (per_area + interval * feed) / pull
    return vapour, by_surface, now + change


@njit
def solve_surface(j, size, c, tables, w, heating, humidity, interval, distance):
    """Temperature of a free surface at which nothing is left over, by Newton's method.

    As a rule one step from the last solution is enough; where steam condenses or a skin dries
    out it takes several, between bounds. Returns the temperature, the slope of the loss to the
    oven, W/(m2 K), the mass flux of vapour and the moisture of the skin.
    """
    i = w["wall_cell"][j]
    inside, moisture, air = w["temperature"][i], w["moisture"][i], w["air"]
    inner = w["conductivity"][i] / distance
    convection, emitted = c["convection"] * heating, c["emissivity"] * BOLTZMANN * heating
    radiated = convection * air + emitted * w["radiant"] ** 4
    transfer = convection * c["mass_per_heat"]
    feed = c["liquid_diffusion"] / (0.5 * c["skin"] + 0.5 * distance)
    dry, surface = w["skin_dry"][j], w["surface"][j]
    now = w["skin_water"][j] / dry if dry > 0.0 else moisture
    vapour, by_surface, skin, outer = 0.0, 0.0, now, convection
    coolest, hottest = LEAST_SURFACE, MOST_SURFACE
    for _ in range(MOST_TRIES):
        if dry > 0.0:
            vapour, by_surface, skin = dry_skin(
                *(surface, now, dry / size, c, tables, air, moisture),
                *(humidity, transfer, feed, interval),
            )
        latent = LATENT_AT_0 - LATENT_SLOPE * (surface - 273.15)
        cube = surface * surface * surface
        left = radiated - convection * surface - emitted * cube * surface
        left -= latent * vapour + inner * (surface - inside)
        outer = convection + 4.0 * emitted * cube + latent * by_surface
        if left > 0.0:
            coolest = surface
        else:
            hottest = surface
        change = min(max(left / (outer + inner), -LEAP), LEAP)
        if abs(change) < CLOSE:
            surface += change
            break
        if not coolest < surface + change < hottest:
            change = 0.5 * (coolest + hottest) - surface
        surface += change
    return surface, outer, vapour, skin


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
        surface, outer, vapour, skin = solve_surface(
            j, size, c, tables, w, member["heating"], humidity, interval, distance
        )
        # till the next solution the surface follows the cell by this share
        follows = inner / (outer + inner)
        w["surface"][j], w["skin_water"][j] = surface, skin * w["skin_dry"][j]
        w["gain"][j] = size * inner * (1.0 - follows)
        w["offset"][j] = size * inner * (surface - follows * w["temperature"][i])
        w["conductance"][i] += w["gain"][j]
        w["skin_drying"][j] = vapour * size
        w["latent"][j] = vapour * size * (LATENT_AT_0 - LATENT_SLOPE * (surface - 273.15))
        dry = 1.0 - skin / c["brown_dry"]
        if dry > 0.0:
            rate = by_temperature(tables["browning"], surface) * member["browning"] * dry
            left = c["brown_limit"] - w["colour"][j]
            w["colour"][j] += left * (1.0 - math.exp(-interval * rate))
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
