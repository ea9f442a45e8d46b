"""The tables that go into and come out of the compiled bake: names, order, number formats.

Import it inside functions only: it needs numpy (but no compiler).
"""

import numpy as np

CELL = np.dtype(
    [
        (name, np.float64)
        for name in (
            "volume",  # m3
            "dry_mass",  # kg
            "dry_heat",  # J/K, of what is not water
            "water",  # kg
            "temperature",  # K
            "filling",  # share of the cell's volume that is filling
        )
    ]
)
FACE = np.dtype([("a", np.int64), ("b", np.int64), ("shape", np.float64)])
"""Two cells that touch; ``shape`` is the area over the distance of their middles, m."""

WALL = np.dtype(
    [("cell", np.int64), ("kind", np.int64), ("area", np.float64), ("distance", np.float64)]
)
"""A cell's way out: free surface or metal, area in m2, distance of its middle from it in m."""

FREE, METAL = 0, 1

CONDITIONS = np.dtype(
    [
        (name, np.float64)
        for name in (
            # the oven
            "first_setting",  # K, of the air
            "second_setting",  # K
            "change_at",  # s
            "change_lag",  # s
            "door_drop",  # K below the setting at the start
            "door_lag",  # s
            "cold_drop",  # K below the setting at the start, of an oven not heated
            "cold_lag",  # s
            "wall_excess",  # K, walls above air
            "convection",  # W/(m2 K)
            "emissivity",
            "vapour_pressure",  # Pa
            "steam_pressure",  # Pa, at the start
            "steam_lag",  # s
            "pressure",  # Pa
            "mass_per_heat",  # m3 K/J: mass transfer over heat transfer coefficient
            # the metal under (and, in a tin, around) the dough
            "contact",  # W/(m2 K)
            "metal_capacity",  # J/(m2 K)
            "metal_convection",  # share of the convection coefficient
            "metal_radiation",  # share of black radiation
            "metal_temperature",  # K at the start
            # the dough
            "conductivity_raw",  # W/(m K)
            "conductivity_vapour",
            "conductivity_crust",
            "dry_below",  # kg/kg, water below which the conductivity falls
            "filling_conductivity",
            "liquid_diffusion",  # kg/(m s): diffusivity times dry density
            "skin",  # m
            "crust_below",  # kg/kg
            "crust_compaction",
            "spring",  # volume at the end over volume at the start
            "spring_from",  # K
            "spring_over",  # K
            "brown_limit",
            "brown_dry",  # kg/kg
            # the run
            "duration",  # s
            "every",  # s between samples
            "pace",  # s between updates of properties
            "share_of_limit",  # step over the greatest stable one
            "probe",  # index of the cell with the probe
            "stop_set",  # integral of setting at which a crumb is set
            "stop_core",  # K
            "stop_filling",  # K
            "stop_colour",
            "stop_factor",  # how much longer than to all of them
        )
    ]
)
MEMBER = np.dtype(
    [
        (name, np.float64)
        for name in (
            "heating",  # external heat transfer
            "raw",  # conductivity of raw dough
            "vapour",  # what evaporation and condensation add to it
            "crust",  # conductivity of crust
            "contact",
            "walls",  # K, walls above what is assumed
            "air",  # K, air above what is assumed
            "door",
            "spring",  # of what the spring adds
            "humidity",
            "browning",
        )
    ]
)
"""What differs between the members of an ensemble; multipliers but for ``walls`` and ``air``."""

SERIES = (
    "time",
    "coldest",  # K, dough
    "set",  # integral of setting of the least set dough cell
    "filling",  # K, coldest; that of the dough where there is none
    "probe",  # K
    "mean",  # K
    "surface",  # K, mean of the free surface
    "colour",  # mean over the free surface
    "water",  # kg, in all cells
    "crust",  # m
    "air",  # K
    "heat",  # J taken from the oven, that for drying the skin included
    "where",  # index of the coldest dough cell
)
TIME, COLDEST, SET, FILLING, PROBE, MEAN, SURFACE, COLOUR, WATER, CRUST, AIR, HEAT, WHERE = range(
    len(SERIES)
)

OUTCOME = np.dtype(
    [
        (name, np.float64)
        for name in (
            "samples",
            "steps",
            "heat_in",  # J conducted into the cells
            "heat_out",  # J that left with vapour
            "held",  # J in the cells at the end less that at the start
            "boiled",  # kg
            "dried",  # kg, from the skin
            "least_step",  # s
        )
    ]
)
FIELDS = ("temperature", "moisture", "set")
"""What is kept of every cell at the end."""

# Properties by temperature: linear between rows
LOWEST, HIGHEST, ROW = 240.0, 900.0, 0.5
BY_TEMPERATURE = ("saturation", "opening", "setting", "browning", "drying")
ROWS = int((HIGHEST - LOWEST) / ROW) + 1
# Water activity by the moisture over the sorption scale at the temperature
REDUCED_STEP, REDUCED_ROWS = 0.02, 1001
# Boiling point by the root of the moisture
ROOT_STEP, ROOT_ROWS = 0.004, 401

TABLES = np.dtype(
    [
        *((name, np.float64, ROWS) for name in BY_TEMPERATURE),
        ("activity", np.float64, REDUCED_ROWS),
        ("boiling", np.float64, ROOT_ROWS),
    ]
)
"""Properties looked up instead of worked out again in every cell."""

MOST_CELLS, MOST_FACES, MOST_WALLS = 6000, 12000, 1200
CELL_WORK = (
    "dry_heat",
    "heat",
    "water",
    "temperature",
    "moisture",
    "heat_change",
    "water_change",
    "skins",
    "inverse_dry",
    "conductivity",
    "share",
    "setting",
    "conductance",
    "dough",
)
FACE_WORK = ("face_shape", "face_both", "face_heat", "face_water", "face_liquid")
WALL_WORK = (
    "skin_water",
    "skin_dry",
    "skin_drying",
    "surface",
    "gain",
    "offset",
    "colour",
    "latent",
)
WORK = np.dtype(
    [
        *((name, np.float64, MOST_CELLS) for name in CELL_WORK),
        *((name, np.float64, MOST_FACES) for name in FACE_WORK),
        *((name, np.float64, MOST_WALLS) for name in WALL_WORK),
        ("metal", np.float64),  # K
        ("radiant", np.float64),  # K
        ("air", np.float64),  # K
        ("mean_colour", np.float64),
        ("mean_surface", np.float64),  # K
        ("area", np.float64),  # m2, of all walls
        ("taken", np.float64),  # J
        ("face_a", np.uint32, MOST_FACES),
        ("face_b", np.uint32, MOST_FACES),
        ("wall_cell", np.uint32, MOST_WALLS),
    ]
)
"""Room for one bake, which the compiled run cannot ask for itself."""
