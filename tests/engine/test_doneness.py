"""When a bake is done: criteria, the baker's own time, bands around them."""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doughwright.engine.bake_fields import seen_at
from doughwright.engine.bake_records import MEMBER
from doughwright.engine.baking import LONGEST, bake_runs
from doughwright.engine.doneness import (
    Bake,
    OvenAnchor,
    anchored_oven,
    bake_times,
    baked,
    core_goal,
    done,
    first_reached,
    member_times,
    moved_margin,
)
from doughwright.engine.kitchens import Band
from doughwright.engine.oven import air_pressure
from doughwright.engine.oven_piece import (
    BakingFilling,
    Goals,
    Member,
    OvenCourse,
    plain_roll,
    resized,
)
from doughwright.engine.oven_spread import logarithmic_spreads, spread_members
from doughwright.engine.pieces import baking_constant
from doughwright.engine.water import boiling_point

FAN = OvenCourse("fan", 453.15, drop=25.0)
INSIDE = Goals(set_share=0.99, core=366.15)
BUN = Bake(plain_roll(0.1), FAN, INSIDE)


def at(bake: Bake) -> float:
    found = done(baked(bake, 1.02), bake.goals).at
    assert found is not None
    return found


def exactly(seconds: float) -> Band:
    return Band(seconds, seconds, seconds)


# --- criteria ---


def test_the_last_goal_binds() -> None:
    """A small bun waits for its crumb to set; wanted dark, for its crust."""
    for colour, binding in ((1.0, "crumb"), (45.0, "colour")):
        goals = replace(INSIDE, colour=colour)
        found = done(baked(replace(BUN, goals=goals)), goals)
        assert found.binding == binding
        assert found.at == max(t for t in found.times.values() if t is not None)


def test_a_goal_is_reached_between_two_samples() -> None:
    run = baked(BUN)
    when = first_reached(run, "coldest", 366.15)
    assert when is not None
    assert seen_at(run, when).coldest == pytest.approx(366.15, abs=1e-9)


def test_what_is_never_reached_is_not_done() -> None:
    """Wet crumb boils at 100 °C, so a core of 110 °C does not come in an hour."""
    goals = Goals(core=383.15, colour=5.0)
    run = bake_runs(BUN.piece, FAN, goals, duration=3600.0)
    found = done(run, goals)
    assert found.times["core"] is None
    assert found.times["colour"] is not None
    assert found.at is None
    assert found.binding is None


def test_without_goals_nothing_is_done() -> None:
    assert done(bake_runs(BUN.piece, FAN, duration=60.0), Goals()).at is None


def test_a_filling_is_asked_only_where_there_is_one() -> None:
    goals = Goals(core=360.15, filling=345.15)
    assert "filling" not in done(baked(replace(BUN, goals=goals)), goals).times
    filling = BakingFilling(0.02, 283.15, 1.3, 3190.0, 0.42, 1050.0, "well")
    filled = Bake(replace(BUN.piece, filling=filling), FAN, goals)
    assert done(baked(filled), goals).times["filling"] is not None


@given(below=st.floats(1.0, 20.0), altitude=st.floats(0.0, 4000.0))
def test_a_core_goal_keeps_its_distance_from_boiling(below: float, altitude: float) -> None:
    boiling = boiling_point(air_pressure(altitude))
    goal = core_goal(373.15 - below, boiling)
    assert goal <= 373.15 - below
    assert boiling - goal == pytest.approx(below, abs=0.05 if altitude < 10.0 else 1e-6)


# --- the baker's own time ---


@pytest.mark.parametrize("heating", [0.8, 1.3])
def test_an_oven_that_is_known_is_found(heating: float) -> None:
    """Baked in an oven of known strength, noted, and the strength found again within 1 %."""
    noted = at(replace(BUN, member=Member(heating=heating)))
    anchor = anchored_oven(BUN, exactly(noted), core_seen=True)
    assert anchor.heating == pytest.approx(heating, rel=0.01)
    assert anchor.notices == ()
    assert anchor.best == pytest.approx(noted, rel=3e-3)


@pytest.mark.parametrize("times", [0.8, 1.0, 1.4])
def test_the_tested_bake_takes_exactly_the_bakers_own_time(times: float) -> None:
    best = times * at(BUN)
    noted = Band(0.9 * best, best, 1.15 * best)
    found = bake_times(BUN, anchored_oven(BUN, noted, core_seen=True), air=10.0)
    assert found.kind == "anchored"
    assert found.time == noted


@pytest.mark.parametrize("core_seen", [True, False])
def test_another_size_takes_the_noted_time_moved_by_the_models_ratio(*, core_seen: bool) -> None:
    best = 1.2 * at(BUN)
    anchor = anchored_oven(BUN, Band(best - 60.0, best, best + 60.0), core_seen=core_seen)
    half = replace(BUN, piece=resized(BUN.piece, 0.5))
    found = bake_times(half, anchor, air=10.0)
    assert found.time is not None
    assert found.time.high is not None
    goals = anchor.tested.goals
    ratio = at(replace(half, member=anchor.tested.member, goals=goals)) / anchor.best
    assert found.time.best == pytest.approx(best * ratio, rel=1e-3)
    assert 0.5 < ratio < 0.9
    assert found.time.low < found.time.best < found.time.high


def test_a_moved_time_is_never_surer_than_the_noted_one() -> None:
    best = at(BUN)
    noted = Band(0.9 * best, best, 1.2 * best)
    half = replace(BUN, piece=resized(BUN.piece, 0.5))
    found = bake_times(half, anchored_oven(BUN, noted), air=10.0).time
    assert found is not None
    assert found.high is not None
    assert found.low / found.best < 0.9
    assert found.high / found.best > 1.2


def test_a_piece_of_the_same_mass_in_another_dough_is_not_the_tested_one() -> None:
    """It takes another time, with a range of its own."""
    noted = Band(at(BUN) - 30.0, at(BUN), at(BUN) + 30.0)
    filled = replace(BUN.piece, temperature=278.15)
    found = bake_times(replace(BUN, piece=filled), anchored_oven(BUN, noted), air=10.0)
    assert found.time is not None
    assert found.time.best > 1.02 * noted.best


@pytest.mark.parametrize(
    ("times", "core_seen", "code"),
    [
        (0.35, True, "bake-time-unexplained"),
        (0.35, False, "bake-time-unexplained"),
        (2.5, True, "bake-left-in"),
    ],
)
def test_a_time_no_oven_explains_is_said_and_moved_all_the_same(
    times: float, code: str, *, core_seen: bool
) -> None:
    best = times * at(BUN)
    noted = Band(0.95 * best, best, 1.05 * best)
    anchor = anchored_oven(BUN, noted, core_seen=core_seen)
    assert [n.code for n in anchor.notices] == [code]
    assert anchor.heating == 1.0
    assert bake_times(BUN, anchor, air=10.0).time == noted
    twice = bake_times(replace(BUN, piece=resized(BUN.piece, 2.0)), anchor, air=10.0)
    assert twice.time is not None
    assert twice.time.best > 1.02 * best


def test_bread_left_in_for_its_crust_tells_nothing_of_the_oven() -> None:
    """Done inside long before: unless the baker saw the core, the oven stays the model's."""
    goals = replace(INSIDE, colour=18.0)
    bake = replace(BUN, goals=goals)
    run = baked(bake)
    inside = done(run, INSIDE).at
    assert done(run, goals).binding == "colour"
    assert inside is not None
    anchor = anchored_oven(bake, exactly(1.25 * inside))
    assert anchor.heating == 1.0
    assert [n.code for n in anchor.notices] == ["bake-left-in"]
    seen = anchored_oven(bake, exactly(1.25 * inside), core_seen=True)
    assert seen.heating < 0.9
    assert seen.notices == ()


def test_an_oven_in_which_it_is_never_done_is_no_endless_search() -> None:
    """At 80 °C the core of a bun stays under 93 °C however the oven heats."""
    cool = replace(BUN, oven=replace(FAN, first=353.15, drop=0.0))
    anchor = anchored_oven(cool, exactly(1800.0))
    assert [n.code for n in anchor.notices] == ["bake-time-unexplained"]
    assert bake_times(cool, None, air=10.0).time is None


# --- bands ---


def test_the_first_member_is_the_centre_itself() -> None:
    centre = Member(heating=1.2, air=5.0)
    rows = spread_members(centre, air=10.0)
    assert {name: float(rows[name][0]) for name in MEMBER.names or ()} == {
        name: getattr(centre, name) for name in MEMBER.names or ()
    }


def test_members_are_as_far_apart_as_the_tables_say() -> None:
    """Standard deviations of the logarithm, and of the air's kelvins."""
    rows = spread_members(Member(), air=7.0)
    for name, size in logarithmic_spreads().items():
        assert np.log(rows[name][1:]).std() == pytest.approx(size, rel=0.02)
    assert rows["air"][1:].std() == pytest.approx(7.0, rel=0.02)
    assert abs(np.log(rows["heating"][1:]).mean()) < 1e-12


def test_a_heating_spread_is_that_of_the_measured_ovens() -> None:
    """Baik et al. 1999 found 20–48 W/(m² K) in one oven: a factor of 1.55 about the middle."""
    assert math.exp(logarithmic_spreads()["heating"]) == pytest.approx(1.35, abs=0.05)


def test_members_come_in_the_order_of_their_heat() -> None:
    rows = spread_members(Member(), air=0.0, members=5)
    for name in MEMBER.names or ():
        rows[name] = getattr(Member(), name)
    rows["heating"] = [1.0, 0.7, 0.8, 1.25, 1.5, 2.0]
    times = member_times(BUN, rows)
    assert times[1] > times[2] > times[0] > times[3] > times[4] > times[5]


def test_who_never_gets_there_counts_as_the_longest() -> None:
    rows = spread_members(Member(), air=0.0, members=2)
    rows["air"] = [0.0, 0.0, -90.0]
    times = member_times(BUN, rows)
    assert times[2] == times.max()
    assert times[2] >= 3.9 * times[0]
    assert times[2] <= LONGEST


def test_a_time_by_the_model_alone_has_the_spread_of_ovens() -> None:
    """The card says 17 % in four ovens of five; what an oven reads wrong widens it."""
    widths = []
    for air in (0.0, 10.0, 20.0):
        found = bake_times(BUN, None, air=air)
        assert found.kind == "model"
        assert found.time is not None
        assert found.time.high is not None
        assert found.time.best == found.doneness.at
        widths.append(math.log(found.time.high / found.time.low) / 2)
    assert widths == sorted(widths)
    assert 0.1 < widths[1] < 0.3


CHANGES: dict[str, tuple[Callable[[Bake], Bake], list[str]]] = {
    "nothing": (lambda b: b, []),
    "a little heavier": (lambda b: replace(b, piece=resized(b.piece, 1.2)), ["moved_size"]),
    "half": (lambda b: replace(b, piece=resized(b.piece, 0.5)), ["moved_much"]),
    "higher up": (
        lambda b: replace(b, oven=replace(b.oven, pressure=75e3)),
        ["moved_altitude"],
    ),
    "hotter": (lambda b: replace(b, oven=replace(b.oven, first=473.15)), ["moved_floor"]),
}


@pytest.mark.parametrize("change", CHANGES)
def test_each_change_adds_what_it_may_be_wrong_by(change: str) -> None:
    """5, 7, 8 and 3 % (assumptions of the table), together as the root of their squares."""
    make, names = CHANGES[change]
    assert moved_margin(BUN, make(BUN)) == pytest.approx(
        math.hypot(*(baking_constant(name) for name in names))
    )


def test_two_changes_are_more_than_one() -> None:
    both = replace(BUN, piece=resized(BUN.piece, 0.5), oven=replace(FAN, pressure=75e3))
    parts = (baking_constant("moved_much"), baking_constant("moved_altitude"))
    assert moved_margin(BUN, both) == pytest.approx(math.hypot(*parts))


@settings(max_examples=10, deadline=None)
@given(times=st.floats(0.5, 2.0), share=st.floats(0.75, 1.5))
def test_a_moved_time_grows_with_the_piece(times: float, share: float) -> None:
    anchor: OvenAnchor = anchored_oven(BUN, exactly(share * at(BUN)), core_seen=True)
    moved = bake_times(replace(BUN, piece=resized(BUN.piece, times)), anchor, air=5.0).time
    assert moved is not None
    assert (moved.best - anchor.noted.best) * (times - 1.0) >= 0.0
