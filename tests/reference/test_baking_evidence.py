"""Measured bakes beside the model; no constant was fitted to them.

What each source says of itself stands at the head of its file. Most leave out the oven or the
size of the piece; each test says what was put in its place, how far apart they are, and what
is missed. Margins were set with the figures in view: they notice a change, they prove nothing.
"""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from doughwright.engine.bake_fields import Seen, seen_at
from doughwright.engine.bake_rows import cell_rows
from doughwright.engine.baking import BakeRun, bake_runs
from doughwright.engine.doneness import done, first_reached
from doughwright.engine.oven_piece import BakingDough, Goals, OvenCourse, OvenPiece, mesh_scale
from doughwright.engine.pieces import Measures, ShapeKind, baking_constant, shape_of
from doughwright.sources import rows
from doughwright.units import ICE_POINT, Array

FOLDER = Path(__file__).with_name("evidence")
MINUTE, HOUR = 60.0, 3600.0
LEAN = BakingDough((0.62 + 0.13) / (0.87 + 0.03), enriched=False)
GOLD = baking_constant("colour_gold")


def table(name: str) -> list[dict[str, str]]:
    return rows(FOLDER / f"{name}.tsv")


def number(text: str) -> float:
    return float(text.lstrip("~<>= "))


def oven(celsius: float, falls_to: float | None = None, lag: float = 30.0) -> OvenCourse:
    if falls_to is None:
        return OvenCourse("conventional", ICE_POINT + celsius)
    after = ICE_POINT + falls_to
    return OvenCourse("conventional", ICE_POINT + celsius, after, 0.0, lag * MINUTE)


def piece(
    mass: float,
    dough: BakingDough = LEAN,
    kind: ShapeKind = "round",
    measures: Measures | None = None,
    support: str = "stone",
) -> OvenPiece:
    volume = mass / baking_constant("density_at_load")
    shape = shape_of(kind, measures or Measures(), volume)
    return OvenPiece(shape, mass, 299.15, dough, support=support)  # type: ignore[arg-type]


def baked(mass: OvenPiece, course: OvenCourse, core: float, colour: float = 0.0) -> Seen:
    """The piece when its core is warm and its crust coloured enough."""
    goals = Goals(core=ICE_POINT + core, colour=colour)
    run = bake_runs(mass, course, goals, margin=1.05)
    at = done(run, goals).at
    assert at is not None
    return seen_at(run, at)


def minutes(run: BakeRun, celsius: float) -> float:
    time = first_reached(run, "coldest", ICE_POINT + celsius)
    assert time is not None
    return time / MINUTE


# Balland's army loaves


@cache
def army_loaf() -> BakeRun:
    """1750 g, 28 cm wide (7 cm high): chosen among 23 to 30 cm with loss and core in view."""
    dough = BakingDough(0.476 / 0.524, enriched=False)
    loaf = piece(1.75, dough, measures=Measures(0.28))
    return bake_runs(loaf, oven(275.0, falls_to=225.0), duration=30 * MINUTE)


def waters(run: BakeRun) -> tuple[float, float, float]:
    """Water in % of the driest third of the loaf, of the other two, and of the whole."""
    dry, moisture = cell_rows(run.piece, run.mesh)["dry_mass"], run.fields[0, 1]
    by_dryness = np.argsort(moisture)
    mass = (dry * (1.0 + moisture))[by_dryness]
    water = (dry * moisture)[by_dryness]
    outer = mass.cumsum() <= mass.sum() / 3.0

    def share(part: Array) -> float:
        return 100.0 * float(water[part].sum() / mass[part].sum())

    return share(outer), share(~outer), 100.0 * float(water.sum() / mass.sum())


def test_water_of_an_army_loaf() -> None:
    """11.4 % lost in half an hour; crust (a third) 24.7, crumb 47.8, loaf 39.2 % water.

    The model: 11.3 % lost, 21.8, 50.5 and 40.9 %. It draws 2 to 3 points of water into the
    crumb, which Balland's crumb did not gain (a miss).
    """
    measured = {
        row["quantity"]: row["value"] for row in table("water_balance_of_army_loaves_balland")
    }
    seen = seen_at(army_loaf(), 30 * MINUTE)
    crust, crumb, whole = waters(army_loaf())
    assert 100 * seen.loss == pytest.approx(number(measured["baking loss"]), abs=2.0)
    assert crust == pytest.approx(number(measured["crust water after bake"]), abs=3.0)
    assert whole == pytest.approx(number(measured["whole loaf water after bake"]), abs=3.0)
    assert crumb - number(measured["crumb water after bake"]) == pytest.approx(2.7, abs=0.7)


def test_crust_of_an_army_loaf_is_as_thick_as_measured() -> None:
    """4-5 mm; the model's, compacted, 4.4 mm."""
    assert seen_at(army_loaf(), 30 * MINUTE).crust == pytest.approx(0.0045, abs=0.0012)


def test_heat_of_an_army_loaf_is_less_than_half_of_what_the_book_says() -> None:
    """About 300 kcal (1260 kJ) for a kilogram of bread; the model 460 kJ (a miss).

    Heating the dough by 75 K takes 240 kJ and evaporating 130 g of water 290 kJ: what the book
    counts beyond that went elsewhere.
    """
    measured = {
        row["quantity"]: row["value"] for row in table("water_balance_of_army_loaves_balland")
    }
    book = number(measured["heat needed (dough 20 C to bread)"]) * 4.187e3
    seen = seen_at(army_loaf(), 30 * MINUTE)
    assert seen.heat / seen.baked_mass / book == pytest.approx(0.37, abs=0.04)


# Losses


def test_loss_of_rye_loaves() -> None:
    """13.1 % of 1102 loaves of 1.4 kg; their oven is unknown.

    The model, 230 or 260 °C falling to 200 °C: 11.2 and 11.9 %.
    """
    measured = next(
        number(row["value"])
        for row in table("rye_loaf_baking_loss_rumford")
        if row["quantity"] == "baking loss" and row["unit"] != "lb"
    )
    rye = BakingDough((0.61 + 0.13) / (0.87 + 0.009), enriched=False, rye=True)
    for celsius in (230.0, 260.0):
        loss = baked(piece(1.4, rye), oven(celsius, falls_to=200.0, lag=15.0), 97.0).loss
        assert 100 * loss == pytest.approx(measured, abs=2.0)


@cache
def losses() -> dict[str, float]:
    """Loss in % of dough; ovens and recipes assumed."""
    rich = BakingDough((0.55 + 0.13) / (0.87 + 0.15), enriched=True)
    rye = BakingDough((0.75 + 0.13) / (0.87 + 0.02), enriched=False, rye=True)
    stick = piece(0.335, kind="baton", measures=Measures(0.055, 0.55))
    return {
        "bun": 100 * baked(piece(0.084, rich, support="tray"), oven(200.0), 92.0, GOLD).loss,
        "mini loaf": 100 * baked(piece(0.314), oven(220.0), 96.0, GOLD).loss,
        "baguette (up to)": 100 * baked(stick, oven(240.0), 98.0, GOLD).loss,
        "100 % rye loaf": 100 * baked(piece(1.12, rye), oven(220.0), 97.0).loss,
    }


def test_losses_of_single_pieces() -> None:
    """10.7, 15.0, up to 23.9 and 10.7 %: home and shop figures, ovens unknown. The model:
    7.4, 10.6, 17.5 and 13.0 %, so within 4.5 points, and the baguette below its greatest.
    """
    measured = {
        row["product"]: number(row["loss_pct"])
        for row in table("baking_loss_points")
        if row["product"] in losses()
    }
    assert losses()["baguette (up to)"] < measured.pop("baguette (up to)")
    for product, loss in measured.items():
        assert losses()[product] == pytest.approx(loss, abs=4.5), product


def test_losses_of_loaves_lie_in_the_trade_s_bands() -> None:
    """6-14 % for tin and hearth bread; a 750 g loaf on stone at 220 °C to 96 °C: 11.3 %."""
    bands = [row["loss_pct"] for row in table("baking_loss_points") if "-" in row["loss_pct"]]
    low = min(float(band.split("-")[0]) for band in bands)
    high = max(float(band.split("-")[1]) for band in bands)
    assert low < 100 * baked(piece(0.75), oven(220.0), 96.0).loss < high


def test_thin_shapes_lose_more_in_the_same_time() -> None:
    """A flat kilogram and a crown lost 1.7 and 1.8 times what a round kilogram did.

    The model: 2.0 and 2.1 times in the round loaf's own time. Drawn as soon as core and crust
    are done (12 min) they lose less than the round loaf. A trade table of bread sold hours
    later, its losses far above today's: only the order counts.
    """
    measured = {
        row["bread"]: float(row["loss_pct"]) for row in table("dough_needed_per_100_bread_by_shape")
    }
    course = oven(250.0, falls_to=220.0)
    round_one = baked(piece(1.0), course, 98.0, GOLD)
    thin = (
        piece(1.0, kind="flat", measures=Measures(0.28)),
        piece(1.0, kind="ring", measures=Measures(0.32)),
    )
    runs = [bake_runs(each, course, duration=round_one.time) for each in thin]
    flat, crown = (seen_at(run, round_one.time).loss / round_one.loss for run in runs)
    assert measured["1 kg"] < measured["flat 1 kg"] < measured["crown 1 kg"]
    assert 1.5 < flat < crown < 2.4


# Times


GUIDE = "practice guide to core 95-98 C (German baking-terms article, 2021)"


@cache
def guide(celsius: float = 220.0) -> tuple[Array, Array, Array]:
    """Mass in kg, minutes of the guide, ours to 96.5 °C for round loaves."""
    wheat = [
        row for row in table("bake_time_vs_mass_and_oven_temp") if row["note_and_source"] == GUIDE
    ]
    mass = np.array([float(row["dough_g"]) / 1000.0 for row in wheat])
    told = np.array([float(row["time_min"]) for row in wheat])
    ours = [baked(piece(m, support="tray"), oven(celsius), 96.5).time / MINUTE for m in mass]
    return mass, told, np.array(ours)


def power(mass: Array, time: Array) -> float:
    return float(np.polyfit(np.log(mass), np.log(time), 1)[0])


def test_time_by_mass_of_wheat_loaves() -> None:
    """40 to 65 min for 500 to 1750 g. Ours: 31 to 67 min, within a quarter.

    The guide's power of the mass is 0.39, ours 0.61, near the ½ to ⅔ of home advice for half a
    loaf: a miss in the exponent. The guide is a table in steps of five minutes, and its heavy
    loaves may be flatter or hotter; ours keep their proportions and their oven.
    """
    mass, told, ours = guide()
    assert power(mass, told) == pytest.approx(0.39, abs=0.01)
    assert np.abs(ours / told - 1.0).max() < 0.25
    assert power(mass, ours) == pytest.approx(0.60, abs=0.03)


def test_rye_loaves_of_the_guide_take_longer_than_wheat() -> None:
    """A fifth to a half longer; the model has a seventh (a miss from 1 kg on).

    It asks rye for 97.5 instead of 96 °C and lets it spring less. The rest may be custom, for
    crumb and crust, which no core temperature tells.
    """
    mid = {
        float(row["dough_g"]): np.mean([float(t) for t in row["time_min"].split("-")])
        for row in table("bake_time_vs_mass_and_oven_temp")
        if row["product"] == "rye loaf"
    }
    mass, told, _ = guide()
    longer = [float(mid[m * 1000.0]) / t for m, t in zip(mass, told, strict=True)]
    assert 1.15 < min(longer) < max(longer) < 1.55
    rye = BakingDough(LEAN.moisture, enriched=False, rye=True)
    for m in (0.5, 1.75):
        wheat_time = baked(piece(m, support="tray"), oven(220.0), 96.0).time
        rye_time = baked(piece(m, rye, support="tray"), oven(220.0), 97.5).time
        assert rye_time / wheat_time == pytest.approx(1.145, abs=0.02)


def test_cup_bread_by_oven_temperature() -> None:
    """30, 25, 20 min at 175, 200, 225 °C, the best by taste; size unknown: 100 g in a small cup.

    Ours: 20, 14, 12 min to 95 °C and gold, a ratio of 1.7 from 175 to 225 °C against 1.5, and
    1.3 for the core alone. The cup's metal and the loaf's size are not known.
    """
    seen = [row for row in table("bake_time_vs_mass_and_oven_temp") if row["oven_temp_C"].isdigit()]
    measured = [float(row["time_min"]) for row in seen]
    cup = piece(0.1, BakingDough(0.75, enriched=True), support="tray")
    ours = [baked(cup, oven(float(row["oven_temp_C"])), 95.0, GOLD).time for row in seen]
    assert measured[0] / measured[-1] == pytest.approx(1.5)
    assert ours[0] / ours[-1] == pytest.approx(1.7, abs=0.2)
    assert ours[0] > ours[1] > ours[2]


# The core's temperature


def milestone(case: str, time: str) -> str:
    at = None
    for row in table("core_temperature_milestones"):
        at = row["case"] if row["case"] != "same" else at
        if at is not None and at.startswith(case) and row["time_min"] == time:
            return row["core_C"]
    raise LookupError(case, time)


@cache
def hearth_loaf(mass: float = 0.75) -> BakeRun:
    return bake_runs(piece(mass), oven(220.0), Goals(core=ICE_POINT + 99.5), margin=1.0)


def test_core_of_a_rustic_loaf() -> None:
    """Above 93 °C at half of 60 min, 99 at three quarters, never above 100; mass and oven unknown.

    What does not depend on the mass: 93 °C at two thirds of the time to 99 °C or sooner. The
    model gives 0.74 (a miss by a tenth); it caps at 100 °C as measured.
    """
    assert milestone("rustic", "30") == "> 93"
    assert milestone("rustic", "45") == "99"
    run = hearth_loaf()
    assert minutes(run, 93.0) / minutes(run, 99.0) == pytest.approx(0.74, abs=0.03)
    samples = int(run.outcomes["samples"][0])
    assert float(run.series[0, :samples, 1].max()) < ICE_POINT + 100.2


def test_core_of_an_army_loaf_is_cooler_than_girards() -> None:
    """101 °C by a maximum thermometer after 30 min; ours 92 °C in the coldest spot (a miss).

    That loaf is taken to be 7 cm high at loading; the centre, where Girard's thermometer was,
    is not the coldest spot, and no crumb is above its boiling point, 100 °C.
    """
    assert milestone("army loaf", "~30").startswith("101")
    assert seen_at(army_loaf(), 30 * MINUTE).coldest - ICE_POINT == pytest.approx(92.4, abs=3.0)


def test_a_loaf_taken_out_early_goes_on_warming_by_less_than_told() -> None:
    """450 g, out at 79 °C: rises to 96 °C on the rack (a forum post). Ours: to 83 °C, a miss.

    At that moment the loaf's mean is 99 °C, but in the model its outside cools faster
    than its middle warms.
    """
    loaf = piece(0.45, support="tray")
    hot = bake_runs(loaf, oven(220.0), Goals(core=ICE_POINT + 79.0))
    out = minutes(hot, 79.0) * MINUTE
    course = OvenCourse("conventional", ICE_POINT + 220.0, 295.15, out, 20.0)
    rack = bake_runs(loaf, course, duration=out + 1200.0)
    warmest = float(rack.series[0, :, 1].max()) - ICE_POINT
    assert warmest == pytest.approx(83.0, abs=2.0)


def test_a_stale_loaf_in_the_oven_again() -> None:
    """3.69 kg, an hour in an unknown oven: 70 °C inside and 120 g lost.

    The model's oven for 70 °C is about 140 °C, and the loaf loses 110 g in it: a tenth less.
    325 kg/m³, 40 % water and 13 cm of height are assumed.
    """
    shape = shape_of("round", Measures(None, None, 0.13), 3.69 / 325.0)
    loaf = OvenPiece(
        shape, 3.69, 291.15, BakingDough(0.67, enriched=False), spring=1.0, support="stone",
        scale=mesh_scale(shape.section),
    )  # fmt: skip
    seen = [seen_at(bake_runs(loaf, oven(t), duration=HOUR), HOUR) for t in (130.0, 150.0, 170.0)]
    core = [each.coldest - ICE_POINT for each in seen]
    lost = [3690.0 * each.loss for each in seen]
    again = next(
        row
        for row in table("reheating_of_a_large_loaf_boussingault")
        if "oven" in row["time"] and row["crumb_centre_C"] == "70"
    )
    assert "120 g lost" in again["note"]
    assert core[0] < 70.0 < core[-1]
    assert float(np.interp(70.0, core, lost)) == pytest.approx(120.0, rel=0.2)


def test_crust_of_a_baguette_is_too_hot() -> None:
    """About 45 K between crust and core, and 140 °C below, in 27 min at 235 to 240 °C.

    Ours: 80 K when it is done and gold after 12 min, a miss by 35 K: a probe in a crust reads
    less than its outermost skin, but the model's crusts are too hot late in a bake (the loaf in
    a falling oven of the check points says the same). Steam and crowding are not stated.
    """
    stick = piece(0.335, kind="baton", measures=Measures(0.07, 0.55))
    gold = baked(stick, OvenCourse("conventional", 513.15, steam=True), 98.0, GOLD)
    measured = next(
        row["core_C"] for row in table("core_temperature_milestones") if "ENSIA" in row["source"]
    )
    assert measured.startswith("crust minus core ~45 K")
    assert gold.surface - gold.coldest == pytest.approx(80.0, abs=10.0)
