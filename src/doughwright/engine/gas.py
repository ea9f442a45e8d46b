# mypy: ignore-errors
# ruff: noqa: ANN001, ANN201 - the compiler infers every type in this module
"""The right-hand side of a fermenting dough, compiled. Import it inside functions only.

The state of a dough is ten numbers: temperature (K), active yeast (kg fresh), activation
(0-1), growth clock (s at 27 °C), nutrient (kg fresh yeast it can feed), simple sugars, free
maltose and maltose locked in starch (kg as hexose), carbon dioxide made (= ethanol made, mol)
and carbon dioxide kept (mol). Amounts are those of the whole batch, in however many pieces.
"""

import math

from doughwright.engine import cooling, fermentation
from doughwright.engine.compiling import njit
from doughwright.engine.records import A, C, E, L, M, N, P, S, T, X

GAS_CONSTANT = 8.314462618  # J/(mol K), exact by definition
HEXOSE = 0.1801559  # kg/mol
MALTOSE = 0.3422965  # kg/mol
ETHANOL = 0.0460684  # kg/mol
BATH_TIME = 60.0  # s in which a sample follows a water bath; no model, a laboratory's wish

cardinal_factor = njit(fermentation.cardinal_factor)
osmotic_factor = njit(fermentation.osmotic_factor)
saturation_factor = njit(fermentation.saturation_factor)
solubility = njit(fermentation.solubility)
vapour_pressure = njit(fermentation.vapour_pressure)
undissolved_gas = njit(fermentation.undissolved_gas)
lost_share = njit(fermentation.lost_share)
sphere_radius = njit(cooling.sphere_radius)
inner_resistance = njit(cooling.inner_resistance)
heat_transfer = njit(cooling.heat_transfer)
core_share = njit(cooling.core_share)


@njit
def trapped_air(temperature, row):
    """Air (mol, oxygen used up) that mixing or handling leaves in the dough."""
    volume = row["gas_free"] * row["mixed_air"] / (1.0 - row["mixed_air"])
    return row["air_left"] * volume * row["pressure"] / (GAS_CONSTANT * temperature)


@njit
def bubbles(y, row, air):
    """Carbon dioxide in the bubbles (mol) and the volume of the whole batch (m³)."""
    water = row["water"] / 1000.0
    henry = solubility(y[T], row["solubility"], row["solubility_slope"])
    dissolving = henry * row["solubility_in_dough"] * water * row["pressure"]
    gas = undissolved_gas(y[C], air, dissolving)
    pressure = row["pressure"] - vapour_pressure(y[T])
    return gas, row["gas_free"] + (gas + air) * GAS_CONSTANT * y[T] / pressure


@njit
def thermal(volume, row):
    """Heat transfer of the batch (W/K) and share of the core beyond the mean."""
    if row["bath"] > 0.0:
        return row["heat_capacity"] / BATH_TIME, 0.0
    piece = volume / row["pieces"]
    radius = sphere_radius(piece)
    inner = inner_resistance(radius, row["conductivity"] * row["porosity"])
    surface = 4.0 * math.pi * radius * radius * row["surface"] * row["pieces"]
    flow = heat_transfer(surface, row["film"], row["cover"], inner)
    return flow, core_share(inner, row["film"], row["cover"])


@njit
def surrounding(row, member):
    """Temperature of the air as this member of the ensemble has it."""
    error = member["regulated"] if row["regulated"] > 0.0 else member["room"]
    return row["air"] + row["give"] * error


@njit
def osmolality(y, row):
    """Osmoles per kg of water: salt and other solutes, hexose, maltose."""
    return (row["osmoles"] + y[S] / HEXOSE + y[M] / MALTOSE) / row["water"]


@njit
def slope(y, row, member, air, dy):
    """Write the time derivative of the ten states into ``dy``; amounts per second."""
    gas, volume = bubbles(y, row, air)
    rise = volume / row["gas_free"]
    flour = row["flour"]

    simple = saturation_factor(y[S] / flour, row["simple_sugar_half_saturation"])
    malty = saturation_factor(y[M] / flour, row["simple_sugar_half_saturation"])
    from_maltose = row["maltose_share"] * (1.0 - simple) * malty
    strain = osmotic_factor(osmolality(y, row), row["osmotic_half"], row["osmotic_exponent"])
    drunk = 1.0 - y[E] * ETHANOL / row["water"] / row["ethanol_limit"]
    held_back = strain * max(drunk, 0.0)

    warmth = cardinal_factor(y[T], row["gas_minimum"], row["gas_optimum"], row["gas_maximum"])
    able = member["vigour"] * row["peak_gas_rate"] * y[X] * y[A] * warmth
    able *= held_back * row["fat_factor"]
    rate = able * (simple + from_maltose)

    growing = cardinal_factor(
        y[T], row["growth_minimum"], row["growth_optimum"], row["growth_maximum"]
    )
    growth = row["growth_peak_rate"] * growing * y[X] * y[A] * held_back
    growth *= y[N] / flour / (row["growth_half_saturation"] + y[N] / flour)
    growth *= simple + from_maltose / row["maltose_share"]
    growth /= 1.0 + math.exp(-(y[L] - row["growth_lag"]) / row["growth_lag_width"])

    heat = row["maltose_release_q10"] ** ((y[T] - row["growth_reference"]) / 10.0)
    released = row["maltose_release"] * heat * y[P]
    eaten = HEXOSE / 2.0 / row["hexose_yield"]
    lost = lost_share(rise, row["rise_limit"], row["loss_onset"])
    seeping = row["permeation"] * gas * max(rise - row["permeation_onset"], 0.0)

    flow = member["transfer"] * thermal(volume, row)[0] * (surrounding(row, member) - y[T])

    dy[T] = (flow + row["fermentation_heat"] * rate) / row["heat_capacity"]
    dy[X] = growth
    dy[A] = (1.0 - y[A]) / row["activation_time"]
    dy[A] *= min(row["activation_fastest"], warmth / row["activation_reference"])
    dy[L] = growing / row["growth_pace"] * strain / row["growth_strain"]
    dy[N] = -growth
    dy[S] = -eaten * able * simple
    dy[M] = released - eaten * able * from_maltose
    dy[P] = -released
    dy[E] = rate
    dy[C] = rate * (1.0 - lost) - seeping
