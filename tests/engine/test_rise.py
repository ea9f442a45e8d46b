"""The staged run: balances, another integrator, order of convergence, laws, refusals."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numba import njit
from scipy.integrate import solve_ivp

from doughwright.engine import gas, stages
from doughwright.engine.batch import (
    For,
    Goal,
    Mix,
    Multipliers,
    Relative,
    Ripe,
    Stage,
    kept_at,
    plan_rows,
    standing_in,
)
from doughwright.engine.cooling import Place
from doughwright.engine.dough import Dough
from doughwright.engine.fermentation import parameters
from doughwright.engine.records import MEMBER, SIZE, STATES
from doughwright.engine.rise import StageRun, member_runs, staged_rise
from doughwright.errors import ImpossibleInput

HEXOSE = gas.HEXOSE
HOUR = 3600.0
LEAN = Dough(1.0, 0.63, 0.02, 0.02)
ROOM = standing_in(Place(294.15))
ONE = np.array([(1.0, 1.0, 0.0, 0.0, 0.0, 0.0, 1.0)], dtype=MEMBER)


# ways into the kernels from Python: inside, kernels only call each other
slope = njit(lambda y, row, member, air, dy: gas.slope(y, row, member, air, dy))
stride = njit(lambda y, h, k, row, member, air, new: stages.stride(y, h, k, row, member, air, new))
thermal = njit(lambda volume, row: gas.thermal(volume, row))
trapped_air = njit(lambda temperature, row: gas.trapped_air(temperature, row))

few = settings(max_examples=40, deadline=None)
temperatures = st.floats(281.15, 305.15)
doses = st.floats(0.004, 0.05)


def one(goal: Goal, dough: Dough = LEAN, places: Any = ROOM, start: float = 297.15) -> StageRun:
    return staged_rise([Stage("ferment", goal, places, Mix(dough, start))], samples=201).stages[0]


def sponge_and_dough() -> list[Stage]:
    sponge = Dough(0.3, 0.3, 0.01, yeast_kind="instant")
    rest = Dough(0.7, 0.33, salt=0.02, sucrose=0.03)
    return [
        Stage("ferment", For(3 * HOUR), ROOM, Mix(sponge, 300.15)),
        Stage("ferment", For(2 * HOUR), ROOM, Mix(rest, 297.15, 299.15)),
        Stage("rest", For(1200.0), ROOM, pieces=8),
        Stage("proof", For(HOUR), ROOM, pieces=8),
    ]


def test_sugars_eaten_are_the_gas_made_times_the_yield() -> None:
    eaten = HEXOSE / 2.0 / parameters()["hexose_yield"]
    for run in staged_rise(sponge_and_dough()).stages:
        s = run.series
        sugars = s["sugar"] + s["maltose"] + s["locked_maltose"] + eaten * s["made"]
        assert np.abs(sugars / sugars[0] - 1.0).max() < 1e-9


def test_mixing_adds_up_sugars_and_yeast() -> None:
    before, after = staged_rise(sponge_and_dough()).stages[:2]
    p = parameters()
    fresh = 0.7 * (p["flour_simple_sugar"] + p["flour_maltose"] + p["maltose_pool"])
    fresh += 0.03 * 2.0 * HEXOSE / 0.3422965
    sugars = [
        s["sugar"] + s["maltose"] + s["locked_maltose"] for s in (before.series, after.series)
    ]
    assert sugars[1][0] == pytest.approx(sugars[0][-1] + fresh, rel=1e-12)
    assert after.series["yeast"][0] == pytest.approx(before.series["yeast"][-1], rel=1e-12)


def test_gas_kept_is_never_more_than_gas_made() -> None:
    run = one(For(10 * HOUR))
    assert (run.series["kept"] <= run.series["made"] * (1.0 + 1e-5)).all()  # a kink in one step


def test_nutrient_becomes_yeast() -> None:
    series = one(For(6 * HOUR)).series
    total = series["yeast"] + series["nutrient"]
    assert np.abs(total / total[0] - 1.0).max() < 1e-9


def test_enthalpy_warms_the_dough_or_leaves_through_its_surface() -> None:
    stage = Stage("ferment", For(3 * HOUR), ROOM, Mix(LEAN, 300.15))
    series = staged_rise([stage], samples=401).stages[0].series
    row = plan_rows([stage])[0]
    lost = [
        thermal(v, row)[0] * (t - 294.15)
        for v, t in zip(series["volume"], series["temperature"], strict=True)
    ]
    steps = np.diff(series["time"])[0] / 3.0 * np.array([1, *([4, 2] * 199), 4, 1])
    made = parameters()["fermentation_heat"] * (series["made"][-1] - series["made"][0])
    stored = row["heat_capacity"] * (series["temperature"][-1] - series["temperature"][0])
    assert stored == pytest.approx(made - float(steps @ np.array(lost)), rel=1e-5)


@pytest.mark.parametrize("celsius", [4.0, 18.0, 27.0, 38.0])
def test_every_slope_closes_the_heat_account(celsius: float) -> None:
    """Heat stored is heat made less heat lost, in every slope; Runge-Kutta keeps such sums."""
    stage = Stage("ferment", For(3 * HOUR), ROOM, Mix(LEAN, celsius + 273.15))
    row = plan_rows([stage])[0]
    series = staged_rise([stage], samples=7).stages[0].series
    for moment in range(7):
        y = np.array([series[name][moment] for name in STATES])
        air, dy = trapped_air(series["temperature"][0], row), np.empty(SIZE)
        slope(y, row, ONE[0], air, dy)
        lost = thermal(series["volume"][moment], row)[0] * (y[0] - 294.15)
        made = row["fermentation_heat"] * dy[STATES.index("made")]
        assert row["heat_capacity"] * dy[0] == pytest.approx(made - lost, rel=1e-9, abs=1e-9)


def exact(stage: Stage, tolerance: float = 1e-11) -> tuple[np.ndarray, np.ndarray]:
    """End state by scipy's eighth-order integrator on the same right-hand side, and the start."""
    row = plan_rows([stage])[0]
    first = member_runs([stage], ONE)[1][0, 0, 0, :SIZE].copy()
    air, out = trapped_air(first[0], row), np.empty(SIZE)

    def rate(_: float, y: np.ndarray) -> np.ndarray:
        slope(y, row, ONE[0], air, out)
        return out.copy()

    time = stage.goal.time  # type: ignore[union-attr]
    scale = np.array([20.0, 1e-2, 1.0, 3600.0, 3e-3, 1e-2, 1e-2, 2e-2, 0.05, 0.05])
    found = solve_ivp(
        rate, (0, time), first, method="DOP853", rtol=tolerance, atol=tolerance * scale
    )
    return found.y[:, -1], first


@pytest.mark.parametrize("start", [283.15, 297.15, 310.15])
def test_agrees_with_another_integrator(start: float) -> None:
    stage = Stage(
        "ferment", For(4 * HOUR), standing_in(Place(start - 2.0)), Mix(LEAN, start), window=False
    )
    ours = member_runs([stage], ONE)[1][0, 0, -1, :SIZE]
    theirs, _ = exact(stage)
    assert ours[[0, 1, 3, 4, 7, 8, 9]] == pytest.approx(theirs[[0, 1, 3, 4, 7, 8, 9]], rel=1e-4)


def test_a_step_is_of_sixth_order_in_its_error() -> None:
    """Dormand and Prince's fifth-order formula: halving the step divides a step's error by 64."""
    stage = Stage("ferment", For(HOUR), ROOM, Mix(LEAN, 297.15))
    row = plan_rows([stage])[0]
    y = member_runs([stage], ONE)[1][0, 0, -1, :SIZE].copy()
    air = trapped_air(y[0], row)

    def stepped(h: float, count: int) -> np.ndarray:
        at, new, k = y.copy(), np.empty(SIZE), np.empty((7, SIZE))
        for _ in range(count):
            slope(at, row, ONE[0], air, k[0])
            stride(at, h, k, row, ONE[0], air, new)
            at = new.copy()
        return at

    best = stepped(1600.0 / 512, 512)
    wrong = [abs(stepped(1600.0 / n, n)[8] / best[8] - 1.0) for n in (1, 2, 4)]
    orders = np.log2(np.array(wrong[:-1]) / wrong[1:])
    assert (orders > 4.0).all(), orders


def test_tighter_tolerance_changes_times_by_less_than_a_ten_thousandth() -> None:
    stages = [Stage("ferment", Relative(2.0), ROOM, Mix(LEAN, 297.15))]
    times = [member_runs(stages, ONE, tolerance=t)[0]["end"][0, 0] for t in (1e-5, 1e-9)]
    assert times[0] == pytest.approx(times[1], rel=1e-4)


def test_places_in_turn_are_the_same_as_one_place_when_they_are_alike() -> None:
    place = Place(294.15)
    together = one(Relative(2.0), places=standing_in(place))
    split = one(Relative(2.0), places=((3000.0, place), (1000.0, place), (1.0, place)))
    assert split.ready == pytest.approx(together.ready, rel=1e-4)


def test_fridge_then_proofer() -> None:
    """A retarded loaf sleeps and wakes: most of the rise is after the fridge."""
    places = (
        (12 * HOUR, Place(277.15, 8.0, 0.05, regulated=True)),
        (0.0, Place(305.15, 10.0, 0.0)),
    )
    run = one(Relative(2.5), Dough(1.0, 0.63, 0.006, 0.02), places)
    assert run.ready is not None
    assert run.ready > 12 * HOUR
    cold = run.series["time"] < 12 * HOUR
    assert run.series["volume"][cold][-1] / run.series["volume"][0] < 1.3
    assert run.series["temperature"][cold][-1] < 279.0


def test_retard_of_a_kilogram() -> None:
    """1 kg covered, 25 to 4 °C: 19.4, 15.2, 9.9, 5.6 °C after 1, 2, 4, 8 h (0.6 % fresh)."""
    dough = Dough(1.0, 0.62, 0.006, 0.02) * (1.0 / 1.644)
    fridge = standing_in(Place(277.15, 8.0, 0.05))
    run = staged_rise([Stage("ferment", For(12 * HOUR), fridge, Mix(dough, 298.15))], samples=241)
    series = run.stages[0].series
    hours = np.array([1, 2, 4, 8]) * HOUR
    found = np.interp(hours, series["time"], series["temperature"]) - 273.15
    assert found == pytest.approx([19.4, 15.2, 9.9, 5.6], abs=0.5)
    assert run.stages[0].rise == pytest.approx(1.10, abs=0.05)


def test_never_reached_says_why_and_has_no_nan() -> None:
    tired = one(Relative(6.0))
    assert (tired.ready, tired.reason) == (None, "peak below goal")
    assert tired.end == tired.peak
    cold = one(Relative(3.0), Dough(1.0, 0.6, 0.001, 0.02), standing_in(Place(275.15)), 278.15)
    assert (cold.ready, cold.reason) == (None, "time limit")
    for run in (tired, cold):
        assert all(np.isfinite(values).all() for values in run.series.values())
    stage = Stage("ferment", Relative(6.0), ROOM, Mix(LEAN, 297.15))
    codes = {notice.code for notice in staged_rise([stage]).notices}
    assert "goal-not-reached" in codes


def test_window_opens_at_double_and_closes_at_the_peak() -> None:
    run = one(Ripe(), Dough(0.15, 0.22, 0.02, yeast_kind="instant"), start=306.15)
    assert run.doubled is not None
    assert run.peak is not None
    assert run.window == (min(run.doubled, run.end), run.peak)
    assert run.window[0] < run.peak


@pytest.mark.parametrize(
    ("stages", "code"),
    [
        ([], "nothing-to-ferment"),
        ([Stage("ferment", Ripe(), ROOM)], "nothing-to-ferment"),
        ([Stage("ferment", Ripe(), ROOM, Mix(Dough(1.0, 0.6), 297.15))], "no-yeast"),
        ([Stage("ferment", Relative(1.0), ROOM, Mix(LEAN, 297.15))], "impossible-goal"),
        ([Stage("ferment", For(0.0), ROOM, Mix(LEAN, 297.15))], "impossible-goal"),
    ],
)
def test_what_cannot_be_is_refused(stages: list[Stage], code: str) -> None:
    with pytest.raises(ImpossibleInput) as refused:
        staged_rise(stages)
    assert [problem.code for problem in refused.value.problems] == [code]


def test_what_the_models_have_not_seen_is_said() -> None:
    hot = staged_rise([Stage("ferment", For(HOUR), kept_at(320.15), Mix(LEAN, 297.15))])
    assert {n.values["input"] for n in hot.notices} >= {"dough temperature", "air temperature"}
    sweet = Dough(1.0, 0.5, 0.03, 0.015, sucrose=0.15)
    told = staged_rise([Stage("ferment", For(HOUR), ROOM, Mix(sweet, 297.15))]).notices
    assert {n.values["input"] for n in told} == {"sugar"}


def ready(run: StageRun) -> float:
    return np.inf if run.ready is None else run.ready


@few
@given(doses, st.floats(1.01, 1.5), temperatures)
def test_more_yeast_is_never_slower(dose: float, more: float, warm: float) -> None:
    little, much = (Dough(1.0, 0.63, y, 0.02) for y in (dose, dose * more))
    times = [ready(one(Relative(1.8), d, standing_in(Place(warm)))) for d in (little, much)]
    assert times[1] <= times[0]


@few
@given(doses, temperatures, st.floats(0.2, 4.0))
def test_a_warmer_room_below_the_optimum_is_never_slower(
    dose: float, cool: float, warmer: float
) -> None:
    dough = Dough(1.0, 0.63, dose, 0.02)
    times = [ready(one(Relative(1.8), dough, standing_in(Place(t)))) for t in (cool, cool + warmer)]
    assert times[1] <= times[0]


@few
@given(doses, st.floats(288.15, 303.15), st.floats(600.0, 3600.0), st.floats(60.0, 1200.0))
def test_longer_is_never_smaller_until_gas_is_lost(
    dose: float, warm: float, time: float, more: float
) -> None:
    dough = Dough(1.0, 0.63, dose, 0.02)
    bath = kept_at(warm)
    short, long = (one(For(t), dough, bath, warm) for t in (time, time + more))
    if long.rise < 2.4:  # below the onset of losses
        assert long.rise >= short.rise * (1.0 - 1e-6)


@few
@given(st.floats(0.05, 50.0), doses)
def test_a_bath_makes_size_irrelevant(size: float, dose: float) -> None:
    dough = Dough(1.0, 0.63, dose, 0.02)
    times = [ready(one(Relative(2.0), d, kept_at(299.15), 299.15)) for d in (dough, dough * size)]
    assert times[1] == pytest.approx(times[0], rel=1e-3)


@few
@given(doses, st.floats(0.5, 2.0))
def test_vigour_moves_times_against_itself(dose: float, vigour: float) -> None:
    stages = [Stage("ferment", Relative(1.8), ROOM, Mix(Dough(1.0, 0.63, dose, 0.02), 297.15))]
    book, other = (staged_rise(stages, Multipliers(vigour=v)).stages[0] for v in (1.0, vigour))
    assert (ready(other) <= ready(book)) == (vigour >= 1.0)
