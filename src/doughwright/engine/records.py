"""The tables that go into and come out of the compiled run: names, order, number formats.

Import it inside functions only: it needs numpy (but no compiler).
"""

import numpy as np

STATES = (
    "temperature",
    "yeast",
    "activation",
    "growth_clock",
    "nutrient",
    "sugar",
    "maltose",
    "locked_maltose",
    "made",
    "kept",
)
T, X, A, L, N, S, M, P, E, C = range(len(STATES))

MEMBER = np.dtype(
    [
        (name, np.float64)
        for name in ("vigour", "transfer", "friction", "room", "regulated", "start", "yeast")
    ]
)
"""What differs between the members of an ensemble: three multipliers, four errors."""

START = tuple("added_" + name for name in STATES)
MIXING = (
    "mixed",
    "carried",
    "gas_kept",
    "mixed_temperature",
    "preferment_temperature",
    "by_preferment",
    "by_friction",
    "by_transfer",
    "by_start",
)
CONTROL = ("stage", "last", "duration", "limit", "goal", "mark", "window")
PLACE = ("air", "film", "cover", "give", "regulated", "pressure", "surface", "porosity", "bath")
DOUGH = (
    "flour",
    "water",
    "osmoles",
    "gas_free",
    "heat_capacity",
    "conductivity",
    "fat_factor",
    "rise_limit",
    "osmotic_half",
    "osmotic_exponent",
    "activation_time",
    "pieces",
)
CONSTANTS = (
    "peak_gas_rate",
    "gas_minimum",
    "gas_optimum",
    "gas_maximum",
    "simple_sugar_half_saturation",
    "maltose_share",
    "ethanol_limit",
    "activation_fastest",
    "activation_reference",
    "maltose_release",
    "maltose_release_q10",
    "hexose_yield",
    "growth_peak_rate",
    "growth_minimum",
    "growth_optimum",
    "growth_maximum",
    "growth_half_saturation",
    "growth_lag",
    "growth_lag_width",
    "growth_reference",
    "growth_pace",
    "growth_strain",
    "mixed_air",
    "air_left",
    "loss_onset",
    "permeation",
    "permeation_onset",
    "solubility",
    "solubility_slope",
    "solubility_in_dough",
    "fermentation_heat",
    "core_lag",
)
ROW = np.dtype(
    [(name, np.float64) for name in CONTROL + MIXING + START + PLACE + DOUGH + CONSTANTS]
)
"""One place of one stage: how it starts and ends, where it stands, what the dough is."""

OUTCOME = np.dtype(
    [
        (name, np.float64)
        for name in (
            "start_temperature",
            "start_volume",
            "end",
            "reason",
            "doubled",
            "peak",
            "peak_volume",
            "steps",
        )
    ]
)
"""What came of one stage of one member; times in s from the stage's start, -1 for never."""

FOR, RELATIVE, RISE, SHARE_OF_PEAK = 0.0, 1.0, 2.0, 3.0
READY, LIMIT, PEAK_BELOW, FAILED = 0.0, 1.0, 2.0, 3.0
SIZE = len(STATES)
SERIES = (*STATES, "time", "volume", "core")
TIME, VOLUME, CORE = SIZE, SIZE + 1, SIZE + 2

MOST_STEPS = 2000
WORK = np.dtype(
    [
        ("state", np.float64, SIZE),
        ("new", np.float64, SIZE),
        ("slopes", np.float64, (7, SIZE)),
        ("times", np.float64, MOST_STEPS + 1),
        ("states", np.float64, (MOST_STEPS + 1, SIZE)),
        ("dense", np.float64, (MOST_STEPS + 1, SIZE, 4)),
        ("segments", np.float64, MOST_STEPS + 1),
        ("volumes", np.float64, MOST_STEPS + 1),
        ("count", np.int64, 1),
    ]
)
"""Room for the steps of one stage, which the compiled run cannot ask for itself."""
