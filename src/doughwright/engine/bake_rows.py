"""A piece and an oven as the tables the compiled bake reads."""

import math
from functools import lru_cache

from doughwright.engine import water
from doughwright.engine.meshes import Mesh
from doughwright.engine.oven import convection_coefficient, oven_constant
from doughwright.engine.oven_piece import (
    BakingDough,
    BakingFilling,
    Goals,
    OvenCourse,
    OvenPiece,
    usual_spring,
)
from doughwright.engine.pieces import baking_constant
from doughwright.units import Array, Kelvin, Pascal, Ratio, Second

EVERY: Second = 10.0
PACE: Second = 5.0
"""How often properties are worked out anew; half of it moves a time by 0.3 %."""

GAS_CONSTANT = 8.314462618  # J/(mol K), exact by definition
WATER_HEAT = 4190.0  # J/(kg K)


def cell_rows(piece: OvenPiece, mesh: Mesh) -> Array:
    """Masses, heat and water of every cell as the piece goes in.

    Examples
    --------
    >>> from doughwright.engine.baking import section_of
    >>> from doughwright.engine.oven_piece import plain_roll
    >>> cells = cell_rows(plain_roll(), section_of(plain_roll()))
    >>> round(float(cells["dry_mass"].sum() + cells["water"].sum()), 4)  # all its 60 g
    0.06
    """
    import numpy as np  # noqa: PLC0415

    from doughwright.engine.bake_records import CELL  # noqa: PLC0415

    cells = np.zeros(len(mesh.volumes), CELL)
    filled = _filled(piece, mesh)
    dough = mesh.volumes * (1.0 - filled)
    density = piece.mass / piece.dough_volume
    dry = density * dough / (1.0 + piece.dough.moisture)
    cells["volume"], cells["filling"] = mesh.volumes, filled
    cells["dry_mass"], cells["water"] = dry, dry * piece.dough.moisture
    cells["dry_heat"] = dry * piece.dough.dry_heat
    cells["temperature"] = piece.temperature
    if piece.filling is not None:
        _fill_in(cells, piece, piece.filling, mesh.volumes * filled)
    return cells


def _filled(piece: OvenPiece, mesh: Mesh) -> Array:
    """Filled share of every cell, so that all the filling is there."""
    import numpy as np  # noqa: PLC0415

    if piece.filling is None:
        return np.zeros_like(mesh.volumes)
    wanted = piece.filling.volume / piece.shape.volume * mesh.volume
    there = float((mesh.filling * mesh.volumes).sum())
    return np.asarray(np.minimum(mesh.filling * wanted / there, 1.0))


def _fill_in(
    cells: Array,
    piece: OvenPiece,
    filling: BakingFilling,
    volume: Array,
) -> None:
    """Add the filling to the cells it lies in, mixed where a cell has both."""
    import numpy as np  # noqa: PLC0415

    dry = filling.density * volume / (1.0 + filling.moisture)
    dry_heat = filling.specific_heat * (1.0 + filling.moisture) - filling.moisture * WATER_HEAT
    mine = cells["dry_heat"] + cells["water"] * WATER_HEAT
    its = dry * (dry_heat + filling.moisture * WATER_HEAT)
    heat = mine * piece.temperature + its * filling.temperature
    cells["temperature"] = np.where(mine + its > 0.0, heat / (mine + its), piece.temperature)
    cells["dry_mass"] += dry
    cells["water"] += dry * filling.moisture
    cells["dry_heat"] += dry * dry_heat


def condition_row(
    piece: OvenPiece, oven: OvenCourse, goals: Goals, mesh: Mesh, duration: Second, margin: Ratio
) -> Array:
    """Everything about oven, metal and dough that a bake needs, as one row.

    Examples
    --------
    >>> from doughwright.engine.baking import section_of
    >>> from doughwright.engine.oven_piece import plain_roll
    >>> oven, mesh = OvenCourse("fan", 453.15), section_of(plain_roll())
    >>> row = condition_row(plain_roll(), oven, Goals(core=369.15), mesh, 3600.0, 1.3)
    >>> float(row["first_setting"][0]), float(row["stop_core"][0])
    (453.15, 369.15)
    """
    import numpy as np  # noqa: PLC0415

    from doughwright.engine.bake_records import CONDITIONS  # noqa: PLC0415

    rows = (
        _oven_row(oven)
        | _metal_row(piece, oven)
        | _dough_row(piece)
        | _goal_row(goals, piece)
        | {
            "duration": duration,
            "every": EVERY,
            "pace": PACE,
            "share_of_limit": 0.95,
            "probe": float(middle_cell(piece, mesh)),
            "stop_factor": margin,
        }
    )
    return np.array([tuple(rows[name] for name in CONDITIONS.names or ())], CONDITIONS)


def _oven_row(oven: OvenCourse) -> dict[str, float]:
    return {
        "first_setting": oven.first,
        "second_setting": oven.first if oven.second is None else oven.second,
        "change_at": min(oven.change_at, 1e9),
        "change_lag": oven.change_lag,
        "door_drop": oven.drop,
        "door_lag": oven.recovery,
        "cold_drop": oven.first - oven.room if oven.cold_lag > 0.0 else 0.0,
        "cold_lag": oven.cold_lag or 1.0,
        "wall_excess": oven_constant(f"wall_over_air_{oven.kind}"),
        "convection": convection_coefficient(oven.kind, oven.pressure),
        "emissivity": oven_constant("emissivity"),
        "vapour_pressure": oven_constant(f"vapour_pressure_{oven.kind}"),
        "steam_pressure": baking_constant("steam_pressure") if oven.steam else 0.0,
        "steam_lag": baking_constant("steam_lag"),
        "pressure": oven.pressure,
        "mass_per_heat": 1.0 / (baking_constant("film_heat") * baking_constant("lewis_factor")),
    }


def _metal_row(piece: OvenPiece, oven: OvenCourse) -> dict[str, float]:
    """The tray, stone or tin that the dough lies on or in."""
    tin, stone = piece.support == "tin", piece.support == "stone"
    fins = 1.0 + 2.0 * baking_constant("tray_fin")
    exposure = fins * baking_constant("tray_exposure")
    hot = (stone or oven.preheated_metal) and not tin and oven.cold_lag == 0.0
    return {
        "contact": baking_constant("stone_contact" if stone else "contact"),
        "metal_capacity": baking_constant(f"{piece.support}_capacity"),
        "metal_convection": baking_constant("tin_convection") if tin else exposure,
        "metal_radiation": baking_constant("tin_emissivity") if tin else exposure,
        "metal_temperature": oven.first if hot else piece.temperature,
    }


OF_DOUGH = (
    "conductivity_raw",
    "conductivity_vapour",
    "conductivity_crust",
    "dry_below",
    "skin",
    "crust_below",
    "crust_compaction",
    "spring_from",
    "spring_over",
    "brown_limit",
    "brown_dry",
)
"""What a bake needs of every dough, by its name in properties/baking.tsv."""


def _dough_row(piece: OvenPiece) -> dict[str, float]:
    dry = piece.mass / piece.dough_volume / (1.0 + piece.dough.moisture)
    filling = piece.filling
    return {name: baking_constant(name) for name in OF_DOUGH} | {
        "filling_conductivity": filling.conductivity if filling is not None else 1.0,
        "liquid_diffusion": baking_constant("liquid_diffusivity") * dry,
        "spring": piece.spring if piece.spring is not None else usual_spring(piece),
    }


def middle_cell(piece: OvenPiece, mesh: Mesh) -> int:
    """The cell in the middle of a piece (of a ring's tube), at half its height.

    Examples
    --------
    >>> from doughwright.engine.baking import section_of
    >>> from doughwright.engine.oven_piece import plain_roll
    >>> mesh = section_of(plain_roll())
    >>> across, up = mesh.points[middle_cell(plain_roll(), mesh)]
    >>> bool(across < mesh.spacing and abs(up - plain_roll().shape.height / 2) < mesh.spacing)
    True
    """
    section = piece.shape.section
    across, up = mesh.points[:, 0] - section.middle, mesh.points[:, 1] - section.height / 2
    return int((across**2 + up**2).argmin())


def _goal_row(goals: Goals, piece: OvenPiece) -> dict[str, float]:
    none = 1e300 if goals == Goals() else -1.0  # nothing to wait for: bake to the end
    filling = goals.filling if piece.filling is not None else None
    return {
        "stop_set": goals.set_integral if goals.set_integral is not None else none,
        "stop_core": goals.core if goals.core is not None else none,
        "stop_filling": filling if filling is not None else none,
        "stop_colour": goals.colour if goals.colour is not None else none,
    }


def brown_multiplier(dough: BakingDough) -> Ratio:
    """How much faster than dried plain crumb a surface browns.

    >>> brown_multiplier(BakingDough(0.6, enriched=True))
    4.0
    """
    return baking_constant("browning_enriched" if dough.enriched else "browning_lean")


def piece_tables(piece: OvenPiece, oven: OvenCourse) -> Array:
    """Properties of a piece's dough at an oven's air pressure.

    Examples
    --------
    >>> from doughwright.engine.oven_piece import plain_roll
    >>> tables = piece_tables(plain_roll(), OvenCourse("fan", 453.15, pressure=79500.0))
    >>> round(float(tables["boiling"][0, -1]) - 273.15, 1)  # wet dough at 2000 m, as water there
    93.3
    """
    scale = water.sorption_scale(enriched=piece.dough.enriched)
    return property_tables(oven.pressure, scale, brown_multiplier(piece.dough))


@lru_cache(maxsize=32)
def property_tables(pressure: Pascal, sorption_scale: Ratio, browning: Ratio) -> Array:
    """Properties by temperature and moisture, looked up by the compiled bake.

    Examples
    --------
    >>> tables = property_tables(101325.0, 0.11, 1.0)
    >>> round(float(tables["boiling"][0, -1]) - 273.15, 1)  # wet dough, as water at sea level
    100.0
    """
    import numpy as np  # noqa: PLC0415

    from doughwright.engine import bake_records as r  # noqa: PLC0415

    tables = np.zeros(1, r.TABLES)
    one = tables[0]
    t = r.LOWEST + r.ROW * np.arange(r.ROWS)
    centre = water.boiling_point(pressure) - baking_constant("opening_below_boiling")
    one["saturation"] = [_vapour(float(x)) for x in t]
    one["opening"] = 1.0 / (1.0 + np.exp(-baking_constant("opening_slope") * (t - centre)))
    energy = baking_constant("setting_energy") / GAS_CONSTANT
    one["setting"] = baking_constant("setting_rate") * np.exp(-energy / t)
    energy = baking_constant("brown_energy") / GAS_CONSTANT
    one["browning"] = browning * baking_constant("brown_rate") * np.exp(-energy / t)
    slope, reference = (
        water.water_constant("sorption_slope"),
        water.water_constant("sorption_reference"),
    )
    one["drying"] = np.exp(slope * (t - reference)) / sorption_scale
    reduced = r.REDUCED_STEP * np.arange(1, r.REDUCED_ROWS)
    power = 1.0 / water.water_constant("sorption_exponent")
    one["activity"][1:] = 1.0 / (1.0 + reduced**-power)
    one["boiling"] = _boiling_points(pressure, sorption_scale)
    return tables


HOTTEST_WATER: Kelvin = 647.0


def _vapour(temperature: Kelvin) -> Pascal:
    """Vapour pressure; outside liquid water's range no cell holds water, the end's is kept."""
    inside = min(max(temperature, 273.16), HOTTEST_WATER)
    return water.saturation_pressure(inside)


def _boiling_points(pressure: Pascal, scale: Ratio) -> list[Kelvin]:
    from doughwright.engine.bake_records import ROOT_ROWS, ROOT_STEP  # noqa: PLC0415

    driest = max(1, math.ceil(math.sqrt(0.0052) / ROOT_STEP))
    points = [
        water.boiling_point_of_dough((ROOT_STEP * i) ** 2, pressure, scale)
        for i in range(driest, ROOT_ROWS)
    ]
    return [*[points[0]] * driest, *points]
