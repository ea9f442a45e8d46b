"""Measured series beside the model. Only the sugar tolerance of a lean strain was fitted to one.

Each test says how far apart they are, misses included: home and school series scatter by a third
between two doughs of the same kind, and few of them state all that decides a rise.
"""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from doughwright.engine.batch import For, Mix, Relative, Stage, kept_at, standing_in
from doughwright.engine.cooling import Place
from doughwright.engine.dough import Dough, dough_mass
from doughwright.engine.fermentation import Tolerance, cardinal_factor, parameters
from doughwright.engine.rise import StageRun, staged_rise
from doughwright.sources import rows
from doughwright.units import ICE_POINT

FOLDER = Path(__file__).with_name("evidence")
MINUTE, HOUR = 60.0, 3600.0
MILLILITRES = 8.314462618 * 298.15 / 101325.0 * 1e6  # per mol at 25 °C


def table(name: str) -> list[dict[str, str]]:
    return rows(FOLDER / f"{name}.tsv")


@cache
def held(dough: Dough, celsius: float, time: float) -> StageRun:
    at = ICE_POINT + celsius
    stage = Stage("ferment", For(time), kept_at(at), Mix(dough, at))
    return staged_rise([stage], samples=97).stages[0]


def risen(run: StageRun, minutes: float) -> float:
    volume = run.series["volume"]
    return float(np.interp(minutes * MINUTE, run.series["time"], volume) / volume[0])


def test_heights_in_water_baths() -> None:
    """Gain in 2 h over that at 31 °C: 0, 0.32, 1.48, 1.20 at 0, 18, 43, 49 °C.

    The model holds the dough at the bath's temperature from the first minute and stops at 46 °C:
    0.00 and 0.35 agree, the two hot baths are missed (0.88 and 0.00).
    """
    dough = Dough(0.5, 0.3, 0.015, 0.0, sucrose=0.0125)
    measured = {
        float(row["bath_temp_C"]): float(row["relative_to_31C_recomputed"])
        for row in table("dough_height_vs_temperature_2h_sqa")
    }
    gain = {bath: held(dough, bath, 2 * HOUR).rise - 1.0 for bath in measured}
    found = {bath: gain[bath] / gain[31.0] for bath in measured}
    assert found[0.0] == pytest.approx(measured[0.0], abs=0.05)
    assert found[18.0] == pytest.approx(measured[18.0], abs=0.06)
    assert measured[43.0] - found[43.0] == pytest.approx(0.60, abs=0.1)
    assert measured[49.0] - found[49.0] == pytest.approx(1.20, abs=0.1)


def test_time_to_double_against_dose() -> None:
    """From 1 to 2.5 g of dry yeast without sugar: 95 and 44 min, an exponent of 0.84.

    Flour and temperature of the paste are unknown: 30 g and 28 °C here. The model gives an
    exponent of 0.6 at such doses (a third of the flour's mass), where waking sets the time.
    """
    found = []
    seen = [
        row for row in table("time_to_double_yeast_and_sugar_university") if row["assay"] in "24"
    ]
    for row in seen:
        yeast = float(row["dry_yeast_g"]) / 1000.0 / 0.40
        dough = Dough(0.015, 0.012, yeast, yeast_kind="active dry")
        stage = Stage("ferment", Relative(2.0), kept_at(301.15), Mix(dough, 301.15))
        found.append(staged_rise([stage]).stages[0].ready)
    exponent = float(np.log(found[0] / found[1]) / np.log(2.5))  # type: ignore[operator]
    measured = [float(row["time_to_double_min"]) for row in seen]
    assert np.log(measured[0] / measured[1]) / np.log(2.5) == pytest.approx(0.84, abs=0.01)
    assert exponent == pytest.approx(0.50, abs=0.1)


def test_paste_rises_by_dose_in_the_first_25_minutes() -> None:
    """2.5 g against 0.25 g of dry yeast: the model ranks them, whatever the unknown flour."""
    last = {
        row["condition"]: float(row["ratio_to_start"])
        for row in table("leavening_power_volume_vs_time_university")
        if row["time_min"] == "25"
    }
    found = {}
    for condition, dry in (("C1", 0.25), ("C4", 2.5)):
        dough = Dough(0.015, 0.012, dry / 1000.0 / 0.40, yeast_kind="active dry")
        found[condition] = risen(held(dough, 28.0, 25 * MINUTE), 25)
    assert found["C1"] == pytest.approx(last["C1"], rel=0.25)
    assert found["C4"] == pytest.approx(last["C4"], rel=0.35)


def test_a_cooling_dough_still_rises() -> None:
    """In the fridge from 100 to 120 and 150 cm³ after 20 and 40 min, warm at the start.

    The model gives 1.11 and 1.42 from 28 °C (the start is not stated), against 1.2 and 1.5. In the
    30 °C beaker it overshoots: measured 1.8 at most, model 3.5; a soft dough of 80 % water without
    salt in a beaker holds less than the table of wetness says (a miss).
    """
    dough = Dough(0.050, 0.040, 0.003)
    place = standing_in(Place(278.15, 8.0, 0.02))
    run = staged_rise([Stage("ferment", For(2400.0), place, Mix(dough, 301.15))]).stages[0]
    measured = [
        float(row["B_fridge_cm3"]) / 100.0
        for row in table("dough_volume_30C_room_fridge_portugal")
        if row["B_fridge_cm3"]
    ]
    assert [risen(run, 20), risen(run, 40)] == pytest.approx(measured[1:], rel=0.10)
    assert risen(held(dough, 30.0, 6000.0), 80) / 1.8 == pytest.approx(1.9, abs=0.2)


@cache
def gas(
    yeast: float, sucrose: float, tolerance: Tolerance = "all-round", celsius: float = 28.5
) -> float:
    dough = Dough(0.25, 0.15, 0.25 * yeast, 0.005, 0.25 * sucrose, tolerance=tolerance)
    return float(held(dough, celsius, 2 * HOUR).series["made"][-1]) * MILLILITRES


def measured_gas() -> dict[tuple[str, str], float]:
    return {
        (row["strain"].split()[0], row["condition"]): float(row["absolute_value"])
        for row in table("leavening_capacity_sugar_yeast_aem")
        if row["absolute_value"]
    }


def test_absolute_gas_is_a_quarter_low_for_one_strain_and_within_the_spread_of_four() -> None:
    """2 h, 250 g of flour assumed, 28.5 °C: model 880 and 1410 mL against 1200 and 1800."""
    seen = measured_gas()
    for yeast, condition in (
        (0.028, "plain_2.8pct_yeast_industrial"),
        (0.05, "plain_5pct_yeast_industrial"),
    ):
        strains = [value for (_, what), value in seen.items() if what == condition]
        assert min(strains) < gas(yeast, 0.0) < max(strains)
        assert gas(yeast, 0.0) / seen["V1", condition] == pytest.approx(0.76, abs=0.04)


def test_sweet_dough_needs_the_strain() -> None:
    """10 % sucrose, 5.6 % yeast over plain, 5 %: 0.32 for the lean parent of the four strains."""
    seen = measured_gas()
    lean = seen["V1", "sweet_5.6pct_yeast_10pct_sucrose_industrial"]
    plain = seen["V1", "plain_5pct_yeast_industrial"]
    ratio = {
        strain: gas(0.056, 0.10, strain) / gas(0.05, 0.0, strain)
        for strain in ("lean", "all-round", "osmotolerant")
    }
    assert ratio["lean"] == pytest.approx(lean / plain, abs=0.12)
    assert ratio["all-round"] > 2.5 * lean / plain, "listed miss of the all-round yeast"
    assert ratio["osmotolerant"] > ratio["all-round"]


def test_retention_of_a_moulded_loaf() -> None:
    """145 to 515 cm³ (3.55 times) at the end of proof: within what the model lets a dough hold."""
    measured = {
        row["stage"]: float(row["ratio_to_moulded"]) for row in table("pup_loaf_volume_stages")
    }
    dough = Dough(0.100, 0.060, 0.003, 0.0015, 0.06, fat=0.03)
    greatest = held(dough, 35.0, 3 * HOUR).greatest_rise
    assert greatest == pytest.approx(measured["end of proof"], rel=0.20)


def test_expansion_slows_after_an_hour() -> None:
    """1.81 after 60, 2.00 after 120 min, less at 150; recipe unknown.

    A common dough (1.5 % fresh, 28 °C) has 2.05 after 120 min but is slower before: 1.33; the
    measured lumps are already falling, which the model does not do within 2.5 h (a miss).
    """
    run = held(Dough(1.0, 0.6, 0.015, 0.02), 28.0, 150 * MINUTE)
    measured = [
        float(row["expansion_pct"]) for row in table("expansion_vs_time_liquid_nitrogen")[:3]
    ]
    assert risen(run, 120) == pytest.approx(measured[2] / 100.0, rel=0.10)
    assert risen(run, 60) / (measured[1] / 100.0) == pytest.approx(0.73, abs=0.05)
    assert risen(run, 150) > risen(run, 120)


def test_gas_held_by_a_ready_dough() -> None:
    """Ready pieces held 1.13-1.23 mL of carbon dioxide per g, young ones 0.57-0.67.

    The model holds 1.2 mL/g where it has doubled, and 0.6 where it has risen by a third.
    """
    dough = Dough(1.0, 0.62, 0.02, 0.02)
    run = held(dough, 26.0, 5 * HOUR)
    per_gram = run.series["kept"] * MILLILITRES / (dough_mass(dough) * 1000.0)
    rise = run.series["volume"] / run.series["volume"][0]
    held_gas = {
        row["stage"]: float(row["CO2_mL_per_g_dough"])
        for row in table("gas_held_by_dough_girard")
        if row["leavening"] == "yeast II"
    }
    assert np.interp(2.0, rise, per_gram) == pytest.approx(held_gas["ready"], rel=0.10)
    assert np.interp(1.35, rise, per_gram) == pytest.approx(
        held_gas["young (stopped early)"], rel=0.15
    )


def test_core_in_a_fridge() -> None:
    """24, 20, 15, 10, 5 °C after 0, 1, 2.75, 4, 7 h in baskets: rms 1.2 K."""
    dough = Dough(1.0, 0.68, 0.005, 0.02)
    dough = dough * (0.75 / dough_mass(dough))
    place = standing_in(Place(277.15, 8.0, 0.05))
    run = staged_rise([Stage("ferment", For(7 * HOUR), place, Mix(dough, 297.15))], samples=200)
    core = run.stages[0].series["core"] - ICE_POINT
    seen = table("dough_cooling_in_fridge")
    found = np.interp(
        [float(row["time_h"]) * HOUR for row in seen], run.stages[0].series["time"], core
    )
    wrong = found - [float(row["core_temp_C"]) for row in seen]
    assert np.sqrt(np.mean(wrong**2)) == pytest.approx(1.0, abs=0.3)
    assert np.abs(wrong).max() < 2.2


def test_sheet_pans_in_a_strong_cooler_need_air_the_model_can_be_told_of() -> None:
    """Milestones: balls of 624 and 370 g from 26 to 7.2 °C in 3 and 2 h in a cooler of 2-3 °C."""
    hours = {"22 oz": (0.624, 3.0), "12-14 oz": (0.370, 2.0)}
    seen = [row["case"] for row in table("dough_temperature_milestones")]
    for words, (mass, measured) in hours.items():
        assert any(words in case for case in seen)
        dough = Dough(1.0, 0.60, 0.005, 0.02)
        dough = dough * (mass / dough_mass(dough))
        place = standing_in(Place(275.65, 10.0, 0.0))
        run = staged_rise([Stage("ferment", For(6 * HOUR), place, Mix(dough, 299.15))], samples=200)
        cold = run.stages[0].series
        found = np.interp(-280.35, -cold["temperature"], cold["time"]) / HOUR
        assert found == pytest.approx(measured, rel=0.15)


def test_growth_rate_against_temperature() -> None:
    """Growth over that at 30 °C: 0.48, 1.10, 0.64, 0 at 20, 36, 40, 43 °C (aerobic, not a dough).

    The model: 0.61, 0.96, 0.72, 0.38; at 43 °C it still grows (a miss).
    """
    p = parameters()
    marks = p["growth_minimum"], p["growth_optimum"], p["growth_maximum"]
    at_30 = cardinal_factor(303.15, *marks)
    found = {
        float(row["temp_C"]): cardinal_factor(ICE_POINT + float(row["temp_C"]), *marks) / at_30
        - float(row["relative_to_30C"])
        for row in table("yeast_growth_rate_vs_temperature")
    }
    assert max(abs(found[t]) for t in (20.0, 36.0, 40.0)) < 0.16
    assert found[43.0] == pytest.approx(0.38, abs=0.03)


def test_growth_in_dough() -> None:
    """88 % and 29 % in 6 h at 0.5 and 2 %, 26 points from 2 to 4 h at 1.67 %."""
    for row in table("yeast_cell_increase_in_dough"):
        first, last = (float(hour) for hour in row["interval_h"].split("-"))
        dough = Dough(1.0, 0.62, float(row["yeast_pct_flour"]) / 100.0, 0.018, 0.02)
        run = held(dough, 27.0, 6 * HOUR)
        cells = np.interp([first * HOUR, last * HOUR], run.series["time"], run.series["yeast"])
        grown = 100.0 * float(cells[1] - cells[0]) / dough.yeast
        assert grown == pytest.approx(float(row["cell_increase_pct"]), abs=8.0)


def test_proof_box_range() -> None:
    """270 min at 13 °C and 36 at 57 °C: a factor of 7.5, of which the model gives 2.4 (a miss)."""
    seen = {
        row["proof_temp_C"]: row["time_to_constant_height_min"]
        for row in table("proof_time_vs_temperature_freilich")
    }
    times = []
    for box in (13.3, 57.2):
        dough = Dough(1.0, 0.60, 0.03, 0.02, 0.06, fat=0.03)
        dough = dough * (0.52 / dough_mass(dough))
        mixed = Mix(dough, 300.15)
        bulk = Stage("ferment", For(2 * HOUR), kept_at(300.15), mixed)
        air = standing_in(Place(ICE_POINT + box, 6.0, 0.0))
        proof = Stage("proof", Relative(2.0), air, gas_kept=0.30, surface=0.8625)
        times.append(staged_rise([bulk, proof]).stages[1].ready)
    measured = float(seen["13.3"]) / float(seen["57.2"])
    assert measured == pytest.approx(7.5, abs=0.01)
    assert times[0] / times[1] == pytest.approx(2.4, abs=0.4)  # type: ignore[operator]
