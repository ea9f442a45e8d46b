"""Published figures on the bake, none of them dropped, and what was assumed where they are silent.

Nothing was fitted to a bake time. Almost every source leaves out the size of the piece or its
support; so a figure inside its tolerance says that the model is not far off, and no more. What
is from memory is shown and gates nothing. What was changed after a first look at the figures
stands at the head of the table and on the science page.
"""

from collections.abc import Callable, Iterator
from dataclasses import astuple, replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from doughwright.engine import baking
from doughwright.engine.bake_fields import Seen, seen_at
from doughwright.engine.bake_records import MEMBER
from doughwright.engine.bake_rows import cell_rows, condition_row, middle_cell, piece_tables
from doughwright.engine.baking import BakeRun, bake_runs
from doughwright.engine.doneness import done, first_reached
from doughwright.engine.meshes import radial_mesh
from doughwright.engine.oven import air_pressure, door_loss
from doughwright.engine.oven_piece import (
    BakingDough,
    BakingFilling,
    Goals,
    Member,
    OvenCourse,
    OvenPiece,
    mesh_scale,
    resized,
)
from doughwright.engine.pieces import Measures, Section, Shape, baking_constant, shape_of
from doughwright.engine.pieces import tin_measures as told_by_volume
from doughwright.engine.water import boiling_point
from doughwright.sources import rows
from doughwright.units import ICE_POINT

TABLE = {
    int(row["number"]): row for row in rows(Path(__file__).with_name("baking_check_points.tsv"))
}
MINUTE, GRAM, FOOT = 60.0, 1e-3, 0.3048
FLOUR_WATER = 0.13  # strong white flour 13.4, plain 11.9 % in the table of ingredients
GOLD = baking_constant("colour_gold")
ONE_DOOR = door_loss(1)


def moisture(water: float, other: float) -> float:
    """Water per mass of what is not water, from bakers' shares of flour."""
    return (water + FLOUR_WATER) / (1.0 - FLOUR_WATER + other)


LEAN = BakingDough(moisture(0.62, 0.03), enriched=False)
PAN = BakingDough(moisture(0.60, 0.02 + 0.06 + 0.03 + 0.03), enriched=False)
BUN = BakingDough(moisture(0.60, 0.02 + 0.12 + 0.08 + 0.02), enriched=True)


def oven(celsius: float, kind: str = "conventional", *, door: bool = False) -> OvenCourse:
    course = OvenCourse(kind, ICE_POINT + celsius)  # type: ignore[arg-type]
    return replace(course, drop=ONE_DOOR.drop, recovery=ONE_DOOR.recovery) if door else course


def free(mass: float, dough: BakingDough = LEAN, start: float = 26.0) -> OvenPiece:
    """A round piece on a tray, as dense and upright as the tables say."""
    shape = shape_of("round", Measures(), mass / baking_constant("density_at_load"))
    return OvenPiece(shape, mass, ICE_POINT + start, dough)


def in_tin(mass: float, measures: Measures, dough: BakingDough, start: float) -> OvenPiece:
    volume = mass / baking_constant("density_in_tin")
    shape = shape_of("tin", replace(measures, height=None), volume)
    return OvenPiece(shape, mass, ICE_POINT + start, dough, support="tin")


def reached(run: BakeRun, celsius: float, column: str = "coldest") -> float:
    """Minutes until a temperature is reached."""
    time = first_reached(run, column, ICE_POINT + celsius)
    assert time is not None
    return time / MINUTE


def until(piece: OvenPiece, course: OvenCourse, **goals: float) -> float:
    """Minutes until all goals are reached."""
    wanted = Goals(**goals)
    at = done(bake_runs(piece, course, wanted, margin=1.02), wanted).at
    assert at is not None
    return at / MINUTE


def after(piece: OvenPiece, course: OvenCourse, minutes: float) -> Seen:
    return seen_at(bake_runs(piece, course, duration=minutes * MINUTE), minutes * MINUTE)


def cylinder(radius: float, course: OvenCourse, duration: float, **changed: float) -> BakeRun:
    """A long cylinder of 330 kg/m³ and 40.5 % water, without spring, from 25 °C."""
    mesh = radial_mesh(radius, 24, 1)
    shape = Shape("round", Section(radius, radius), mesh.volume, radius, radius, radius)
    wet = changed.pop("moisture", 0.68)
    mass, start = changed.pop("density", 330.0) * mesh.volume, changed.pop("start", 25.0)
    piece = OvenPiece(shape, mass, ICE_POINT + start, BakingDough(wet, enriched=False), spring=1.0)
    if "metal_capacity" in changed:
        mesh.walls["kind"] = 1
    cells = cell_rows(piece, mesh)
    conditions = condition_row(piece, course, Goals(), mesh, duration, 1.0)
    for name, value in changed.items():
        conditions[name] = value
    members = np.array([astuple(Member())], dtype=MEMBER)
    tables = piece_tables(piece, course)
    found = baking._run(mesh, cells, conditions, members, tables)
    return BakeRun(piece, mesh, *found, water=float(cells["water"].sum()), share=1.0)


def sandwich_loaf() -> float:
    """Four zones smoothed to one rise; metal in so strong an air stream is as warm as the air."""
    course = OvenCourse("fan", ICE_POINT + 115.0, ICE_POINT + 250.0, 0.0, 36 * MINUTE)
    metal = {"metal_convection": 100.0, "metal_radiation": 0.0, "metal_capacity": 27e3}
    dough = {"moisture": PAN.moisture, "density": 250.0, "start": 33.0}
    run = cylinder(0.0541, course, 28 * MINUTE, **metal, **dough)
    return seen_at(run, 27.4 * MINUTE).coldest - ICE_POINT


def french_tin_loaf() -> float:
    dry = 370 * (1 - FLOUR_WATER) + 6 + 6 + 6 + 4.5
    dough = BakingDough((200 + 370 * FLOUR_WATER) / dry, enriched=False)
    tin = told_by_volume(592 * GRAM / baking_constant("density_in_tin"))
    return after(in_tin(592 * GRAM, tin, dough, 28.0), oven(225, door=True), 35.0).coldest


@cache
def roll_at_230() -> Seen:
    run = cylinder(0.035, oven(230), 18 * MINUTE, moisture=LEAN.moisture)
    return seen_at(run, 17 * MINUTE)


RIM, DEPTH, HOLDS = (0.216, 0.114), 0.070, 1.42e-3  # 8½ × 4½ × 2¾ in, six US cups
PAN_TIN = Measures(0.100, 0.202)
"""The same tin with upright sides: plan area HOLDS / DEPTH, as much narrower as shorter.

A box as wide as the rim was tried first and gave 16 min.
"""


def test_the_upright_tin_holds_what_the_sloping_one_does() -> None:
    assert PAN_TIN.width * PAN_TIN.length * DEPTH == pytest.approx(HOLDS, rel=0.01)
    assert RIM[0] - PAN_TIN.length == pytest.approx(RIM[1] - PAN_TIN.width, abs=0.001)


def pan_loaf(mass: float = 0.5, measures: Measures = PAN_TIN, start: float = 33.0) -> OvenPiece:
    return in_tin(mass, measures, PAN, start)


@cache
def pan_bake() -> BakeRun:
    return bake_runs(pan_loaf(), oven(218, "fan", door=True), Goals(core=ICE_POINT + 96.0))


def roll(mass: float, dough: BakingDough, course: OvenCourse, core: float, colour: float) -> float:
    return until(free(mass, dough), course, core=ICE_POINT + core, colour=colour)


def filled_bun(times: float = 1.0, dough: float = 0.125, filling: float = 10.0) -> OvenPiece:
    shape = shape_of("round", Measures(0.11, None, 0.04), 0.0)
    cheese = BakingFilling(0.055, ICE_POINT + filling, 1.3, 3190.0, 0.42, 1050.0, "well")
    piece = OvenPiece(shape, dough, ICE_POINT + 28.0, BakingDough(0.61, enriched=True), cheese)
    return resized(piece, times)


@cache
def bun_bake(
    celsius: float = 160.0, kind: str = "fan", times: float = 1.0, altitude: float = 0.0
) -> BakeRun:
    course = replace(oven(celsius, kind, door=True), pressure=air_pressure(altitude))
    goals = Goals(set_share=0.999) if altitude else Goals(core=ICE_POINT + 90, filling=363.15)
    return bake_runs(filled_bun(times), course, goals)


def bun_set(run: BakeRun) -> float:
    goals = Goals(set_share=baking_constant("set_share"), filling=baking_constant("filling_hot"))
    at = done(run, goals).at
    assert at is not None
    return at / MINUTE


def fan_step() -> float:
    dials = np.arange(160.0, 205.0, 5.0)
    times = [reached(bun_bake(float(dial), "conventional"), 90.0) for dial in dials]
    wanted = reached(bun_bake(), 90.0)
    return float(np.interp(-wanted, -np.array(times), dials)) - 160.0


def loss_at_98() -> float:
    run = bake_runs(free(0.75), oven(220), Goals(core=ICE_POINT + 98))
    return 100 * seen_at(run, reached(run, 98.0) * MINUTE).loss


def boiling(feet: float) -> float:
    return boiling_point(air_pressure(feet * FOOT)) - ICE_POINT


def vapour_share() -> float:
    below = baking_constant("opening_slope") * baking_constant("opening_below_boiling")
    at_80 = 1.0 / (1.0 + np.exp(-(below - 20.0 * baking_constant("opening_slope"))))
    vapour = baking_constant("conductivity_vapour") * float(at_80)
    return 100 * vapour / (vapour + baking_constant("conductivity_raw"))


def core_gain() -> float:
    piece = free(0.75)
    run = bake_runs(piece, oven(225), duration=35 * MINUTE)
    now = run.fields[0, 1, middle_cell(piece, run.mesh)]
    return 100 * float(now / (1 + now) - LEAN.moisture / (1 + LEAN.moisture))


def falling_oven() -> float:
    course = OvenCourse("conventional", ICE_POINT + 260, ICE_POINT + 190, 0.0, 20 * MINUTE)
    return after(free(1.0), replace(course, steam=True), 50.0).surface - ICE_POINT


def heat_to_done() -> float:
    run = bake_runs(free(0.75), oven(220), Goals(core=ICE_POINT + 96))
    return seen_at(run, reached(run, 96.0) * MINUTE).heat / 0.75 / 1000.0


@cache
def lean_cylinder(celsius: float, kind: str) -> BakeRun:
    return cylinder(0.035, oven(celsius, kind), 41 * MINUTE)


CASES: dict[int, Callable[[], float]] = {
    1: sandwich_loaf,
    2: lambda: french_tin_loaf() - ICE_POINT,
    3: lambda: roll_at_230().coldest - ICE_POINT,
    4: lambda: roll_at_230().colour,
    5: lambda: reached(pan_bake(), 93.0),
    6: lambda: reached(pan_bake(), 58.0),
    7: lambda: reached(pan_bake(), 58.0) / reached(pan_bake(), 93.0),
    8: lambda: roll(0.06, LEAN, oven(220), 98.0, GOLD),
    9: lambda: roll(0.06, BUN, oven(175, "fan"), 95.0, 0.0),
    10: lambda: roll(0.06, BUN, oven(175, "fan"), 95.0, GOLD),
    11: lambda: roll(0.06, BUN, oven(230), 95.0, GOLD),
    12: lambda: 100 * after(free(0.06, BUN), oven(230), 10.0).loss,
    13: fan_step,
    14: loss_at_98,
    15: lambda: boiling(5000),
    16: lambda: boiling(7500),
    17: lambda: boiling(10_000),
    18: vapour_share,
    19: core_gain,
    20: falling_oven,
    21: lambda: reached(bun_bake(), 90.0),
    22: lambda: reached(bun_bake(), 90.0, "filling"),
    23: lambda: bun_set(bun_bake()),
    24: heat_to_done,
    25: lambda: reached(lean_cylinder(200, "conventional"), 98.0),
    26: lambda: 100 * seen_at(lean_cylinder(200, "conventional"), 30 * MINUTE).loss,
}


@cache
def ours(number: int) -> float:
    return float(CASES[number]())


def residual(number: int) -> float:
    row = TABLE[number]
    return (ours(number) - float(row["published"])) / float(row["tolerance"])


def test_every_row_has_its_case() -> None:
    assert set(CASES) == set(TABLE)


def test_what_is_from_memory_gates_nothing() -> None:
    assert all(row["gates"] == "no" for row in TABLE.values() if "memory" in row["read"])


@pytest.mark.parametrize("number", [n for n in TABLE if TABLE[n]["gates"] == "yes"])
def test_published_figure_or_listed_miss(number: int) -> None:
    expected_miss = TABLE[number]["miss"] == "yes"
    found = residual(number)
    assert (abs(found) > 1.0) == expected_miss, f"residual over tolerance {found:+.2f}"


@pytest.mark.parametrize("number", [n for n in TABLE if TABLE[n]["gates"] == "no"])
def test_what_gates_nothing_can_be_shown(number: int) -> None:
    assert np.isfinite(residual(number))


def test_pan_loaf_is_within_an_eighth_whatever_the_tin() -> None:
    """Bright or dark, dough dense or light: 93 °C within 12 % of 20.4 min.

    Only the tin that holds a fifth more than its volume says, so that the same dough lies
    flatter in it, falls out.
    """
    *others, (_, untapered) = tin_sensitivity()
    assert all(abs(minutes / 20.4 - 1.0) < 0.12 for _, minutes in others)
    assert untapered == pytest.approx(16.0, rel=0.05)


# An independent implementation of the same equations

CYLINDERS = {  # 7 cm of lean dough: minutes to 90, 95, 98 °C; loss after 20, 25, 30, 40 min in %
    ("conventional", 180): (14.1, 15.9, 18.1, 5.6, 7.8, 9.8, 13.3),
    ("conventional", 200): (12.8, 14.5, 16.7, 7.8, 10.2, 12.4, 16.2),
    ("conventional", 220): (11.9, 13.5, 15.7, 9.9, 12.5, 14.8, 18.7),
    ("fan", 180): (12.6, 14.4, 16.6, 6.9, 9.1, 11.0, 14.3),
    ("fan", 200): (11.7, 13.4, 15.6, 9.0, 11.4, 13.5, 17.0),
    ("fan", 220): (11.0, 12.7, 14.8, 10.9, 13.5, 15.7, 19.4),
}


@pytest.mark.parametrize(("kind", "celsius"), CYLINDERS)
def test_cylinder_agrees_with_an_independent_implementation(kind: str, celsius: float) -> None:
    expected = CYLINDERS[kind, celsius]
    run = lean_cylinder(celsius, kind)
    times = [reached(run, core) for core in (90.0, 95.0, 98.0)]
    loss = [100 * seen_at(run, t * MINUTE).loss for t in (20, 25, 30, 40)]
    assert times == pytest.approx(expected[:3], rel=0.03)
    assert loss == pytest.approx(expected[3:], abs=0.5)


BUNS = {  # filled buns, minutes until dough and filling are at 90 °C
    ("fan", 160, 1.0): (25.1, 29.9),
    ("conventional", 180, 1.0): (25.1, 30.1),
    ("conventional", 160, 1.0): (28.6, 34.6),
    ("fan", 160, 0.75): (21.3, 25.9),
    ("fan", 160, 0.6): (19.7, 23.4),
    ("fan", 160, 0.5): (17.6, 21.6),
    ("conventional", 180, 0.75): (21.2, 26.1),
    ("conventional", 180, 0.6): (19.7, 23.7),
}


@pytest.mark.parametrize(("kind", "celsius", "times"), BUNS)
def test_buns_agree_with_an_independent_implementation(
    kind: str, celsius: float, times: float
) -> None:
    """Its sections are cut by another rule: 3 % in most, 4 % in all."""
    run = bun_bake(celsius, kind, times)
    found = reached(run, 90.0), reached(run, 90.0, "filling")
    assert found == pytest.approx(BUNS[kind, celsius, times], rel=0.04)


# What a time is moved by, and what the tin decides


@cache
def ratios() -> tuple[tuple[str, float, float | None], ...]:
    """What changes, our ratio of times, and that of the independent implementation."""
    six = BUNS["fan", 160, 1.0][1]
    filling = {key: reached(bun_bake(key[1], key[0], key[2]), 90.0, "filling") for key in BUNS}
    base = filling["fan", 160, 1.0]
    crumb = first_reached(bun_bake(), "set", 4.60517)
    there = first_reached(bun_bake(altitude=2500.0), "set", 4.60517)
    hotter = first_reached(bun_bake(170.0, altitude=2500.0), "set", 4.60517)
    assert crumb
    assert there
    assert hotter
    names = {
        ("fan", 160, 0.75): "8 buns from the dough of 6",
        ("fan", 160, 0.6): "10 buns",
        ("fan", 160, 0.5): "12 buns",
        ("conventional", 180, 1.0): "180 °C conventional",
        ("conventional", 160, 1.0): "160 °C conventional",
    }
    found = [(words, filling[key] / base, BUNS[key][1] / six) for key, words in names.items()]
    loaf = [until(free(mass), oven(220), core=ICE_POINT + 96.0) for mass in (0.8, 0.4)]
    return (
        *found,
        ("at 2500 m, crumb set", there / crumb, 27.2 / 25.3),
        ("at 2500 m and 10 °C hotter, crumb set", hotter / crumb, 25.8 / 25.3),
        ("half a round loaf over the whole, 800 g", loaf[1] / loaf[0], None),
    )


def test_cells_of_a_plan_are_coarse_enough_to_move_the_loss_but_not_the_time() -> None:
    """Plans follow 450 cells at most: 2 % of a time; 1 to 2 points more loss than 2 mm cells."""
    fine = free(0.75)
    coarse = replace(fine, scale=mesh_scale(fine.shape.section))
    seen = []
    for piece in (fine, coarse):
        run = bake_runs(piece, oven(220), Goals(core=ICE_POINT + 96))
        time = reached(run, 96.0)
        seen.append((time, 100 * seen_at(run, time * MINUTE).loss))
    (time, loss), (other_time, other_loss) = seen
    assert other_time == pytest.approx(time, rel=0.025)
    assert other_loss == pytest.approx(loss, abs=1.5)


def test_ratios_are_those_of_an_independent_implementation() -> None:
    for what, ratio, reference in ratios():
        if reference is not None:
            assert ratio == pytest.approx(reference, abs=0.03), what


def test_time_goes_with_half_a_power_of_the_mass() -> None:
    """The independent implementation finds 0.43 (dough) to 0.48 (filling) by a sphere."""
    eight = ratios()[0][1]
    assert np.log(eight) / np.log(0.75) == pytest.approx(0.5, abs=0.05)


@cache
def tin_sensitivity() -> tuple[tuple[str, float], ...]:
    """Minutes to 93 °C in the pan loaf of rows 5 to 7, one thing changed at a time."""
    course, goal = oven(218, "fan", door=True), Goals(core=ICE_POINT + 93.0)

    def timed(piece: OvenPiece, course: OvenCourse = course, **metal: float) -> float:
        mesh = baking.section_of(piece)
        conditions = condition_row(piece, course, goal, mesh, 7200.0, 1.02)
        for name, value in metal.items():
            conditions[name] = value
        cells, members = cell_rows(piece, mesh), np.array([astuple(Member())], dtype=MEMBER)
        found = baking._run(mesh, cells, conditions, members, piece_tables(piece, course))
        return reached(BakeRun(piece, mesh, *found, water=1.0, share=1.0), 93.0)

    def dense(density: float) -> OvenPiece:
        loaf = pan_loaf()
        return replace(loaf, shape=shape_of("tin", PAN_TIN, 0.5 / density))

    return (
        ("as in rows 5 to 7", timed(pan_loaf())),
        ("bright tin, emissivity 0.3", timed(pan_loaf(), metal_radiation=0.3)),
        ("dark tin, emissivity 0.9", timed(pan_loaf(), metal_radiation=0.9)),
        ("contact 50 W/(m² K)", timed(pan_loaf(), contact=50.0)),
        ("contact 150 W/(m² K)", timed(pan_loaf(), contact=150.0)),
        ("tin half as heavy", timed(pan_loaf(), metal_capacity=1350.0)),
        ("tin twice as heavy", timed(pan_loaf(), metal_capacity=5400.0)),
        ("dough of 280 kg/m³", timed(dense(280.0))),
        ("dough of 400 kg/m³", timed(dense(400.0))),
        ("tin 1 cm narrower and shorter", timed(pan_loaf(measures=Measures(0.09, 0.192)))),
        ("dough at 26 °C", timed(pan_loaf(start=26.0))),
        ("no spring", timed(replace(pan_loaf(), spring=1.0))),
        ("door kept shut", timed(pan_loaf(), oven(218, "fan"))),
        ("no fan", timed(pan_loaf(), oven(218, door=True))),
        ("tin as wide as its rim all the way down", timed(pan_loaf(measures=Measures(*RIM[::-1])))),
    )


def _report() -> Iterator[str]:
    for number in CASES:
        row = TABLE[number]
        told = f"{ours(number):9.3f} published {row['published']:>6} {residual(number):+.2f}"
        yield f"{number:3d} {told} {row['gates']:>3} {row['miss']:>3} {row['check']}"
    for what, ratio, reference in ratios():
        yield f"{ratio:.3f} {reference or float('nan'):.3f} {what}"
    for what, minutes in tin_sensitivity():
        yield f"{minutes:.1f} {what}"


if __name__ == "__main__":
    print("\n".join(_report()))  # noqa: T201 - for people
