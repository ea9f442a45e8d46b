"""When a bake is done, in which oven, and how sure that is: criteria, anchor, bands.

Done means the last of: crumb set, core as warm as wanted, filling hot enough, colour. A time
by the model alone is wrong by a sixth; so a baker's own time in a stated oven fixes one number
of that oven (how fast it heats), and other sizes, ovens and altitudes are that time moved by
the model's ratio.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from types import MappingProxyType
from typing import Literal

from doughwright.engine.bake_fields import seen_at
from doughwright.engine.baking import LONGEST, BakeRun, bake_runs
from doughwright.engine.kitchens import Band
from doughwright.engine.oven import SEA_LEVEL
from doughwright.engine.oven_piece import Goals, Member, OvenCourse, OvenPiece
from doughwright.engine.oven_spread import spread_members
from doughwright.engine.pieces import baking_constant
from doughwright.engine.roots import root
from doughwright.engine.water import boiling_point
from doughwright.errors import Notice
from doughwright.sources import ASSUMPTION, ModelCard, Range
from doughwright.units import Array, Kelvin, KelvinDifference, Ratio, Second

Criterion = Literal["crumb", "core", "filling", "colour"]
CRITERIA: tuple[Criterion, ...] = ("crumb", "core", "filling", "colour")

LEAST_HEATING, MOST_HEATING = 0.6, 2.0
"""Beyond these no domestic oven explains a noted time (assumption)."""

KEPT = 64
"""Tested bakes kept: an own oven stays as it is. Nothing of it changes: threads may share it."""

SAME: Ratio = 0.005
"""Two bakes whose times differ by less, and in nothing that counts, are one."""

PALER: Ratio = 0.7
"""A piece may be this much paler than the baker's own and still be taken as gold (assumption)."""

DONENESS = ModelCard(
    key="doneness",
    name="Done, and the baker's own oven",
    predicts="time to done by four criteria, which of them binds, and a noted time moved",
    sources=(ASSUMPTION, "zanoni-schiraldi-1995", "zanoni-1995"),
    inputs={"heating": Range(0.6, 1.7, "1")},
    expected_error="a moved time within 5–7 % for another size, 5 % for another kind of oven, "
    "8 % for another altitude",
    known_from="assumption; ratios move by 1–2 % with the model's own constants, shape and "
    "crowding add more",
    assumptions=(
        "an oven's air and its heat transfer cannot be told apart by a time: one number is fitted",
        "the baker took the bread out when it was done, not earlier or later",
        "a noted time holds for a piece of the formula's own size",
    ),
)


@dataclass(frozen=True, slots=True)
class Bake:
    """A piece, an oven and what is waited for, with what the baker's log says of the oven."""

    piece: OvenPiece
    oven: OvenCourse
    goals: Goals
    member: Member = field(default_factory=Member)


@dataclass(frozen=True, slots=True)
class Doneness:
    """Times of the criteria in s from loading (None: never, or not asked), and the last.

    ``at`` is the time of the binding criterion; None when one is never reached.
    """

    times: Mapping[Criterion, Second | None]
    at: Second | None
    binding: Criterion | None


def core_goal(wanted: Kelvin, boiling: Kelvin) -> Kelvin:
    """Core temperature to wait for where water boils at ``boiling``: as far below it as wanted.

    >>> round(core_goal(365.15, 364.85) - 273.15, 1)  # 92 °C asked, at 2500 m water boils at 91.7
    83.7
    """
    return min(wanted, boiling - (373.15 - wanted))


def goals_at_altitude(bake: Bake, wanted: Kelvin) -> Goals:
    """Goals for a core that water here boils too early for: the same crumb, set as far.

    A core temperature stands for how far the crumb is set. So the crumb is to set as far as
    it does at sea level by the time the core there is as warm as wanted; the core itself then
    need only come as near to boiling (:func:`core_goal`).

    Examples
    --------
    Thinner air asks for more than the usual setting where the baker asks for a hotter core.

    >>> from doughwright.engine.oven_piece import plain_roll
    >>> high = OvenCourse("fan", 453.15, pressure=75e3)
    >>> goals = goals_at_altitude(Bake(plain_roll(), high, Goals(0.99)), 372.15)
    >>> goals.setting > Goals(0.99).set_integral
    True
    """
    low = replace(bake.oven, pressure=SEA_LEVEL)
    run = bake_runs(bake.piece, low, Goals(core=wanted), [bake.member], margin=1.02)
    at = first_reached(run, "coldest", wanted)
    core = core_goal(wanted, boiling_point(bake.oven.pressure))
    usual = bake.goals.set_integral
    if at is None or usual is None:
        return replace(bake.goals, core=core)
    return replace(bake.goals, core=core, setting=max(usual, seen_at(run, at).setting))


def done(run: BakeRun, goals: Goals, member: int = 0) -> Doneness:
    """When each goal was reached in a run of one member, and which was the last.

    Examples
    --------
    >>> from doughwright.engine.oven_piece import plain_roll
    >>> goals = Goals(core=369.15, colour=18.0)  # a small roll waits for its crust
    >>> run = bake_runs(plain_roll(), OvenCourse("conventional", 493.15), goals)
    >>> done(run, goals).binding
    'colour'
    """
    levels = {
        "crumb": ("set", goals.set_integral),
        "core": ("coldest", goals.core),
        "filling": ("filling", goals.filling if run.piece.filling is not None else None),
        "colour": ("colour", goals.colour),
    }
    times: dict[Criterion, Second | None] = {}
    for name in CRITERIA:
        column, level = levels[name]
        if level is not None:
            times[name] = first_reached(run, column, level, member)
    known = {name: t for name, t in times.items() if t is not None}
    complete = bool(times) and len(known) == len(times)
    if not complete:
        return Doneness(MappingProxyType(times), None, None)
    last = max(known, key=lambda name: known[name])
    return Doneness(MappingProxyType(times), known[last], last)


def first_reached(run: BakeRun, column: str, level: float, member: int = 0) -> Second | None:
    """First time a column of the series reaches a level, between the samples; None for never.

    Examples
    --------
    >>> from doughwright.engine.oven_piece import plain_roll
    >>> run = bake_runs(plain_roll(), OvenCourse("fan", 453.15), duration=60.0, section=False)
    >>> first_reached(run, "air", 450.0), first_reached(run, "coldest", 369.15)
    (0.0, None)
    """
    from doughwright.engine.bake_records import SERIES, TIME  # noqa: PLC0415

    rows = run.series[member, : int(run.outcomes["samples"][member])]
    values = rows[:, SERIES.index(column)]
    above = values >= level
    if not above.any():
        return None
    i = int(above.argmax())
    if i == 0:
        return 0.0
    share = (level - values[i - 1]) / (values[i] - values[i - 1])
    return float(rows[i - 1, TIME] + share * (rows[i, TIME] - rows[i - 1, TIME]))


@dataclass(frozen=True, slots=True)
class OvenAnchor:
    """How fast the baker's own oven heats, over the model's, and the bake it was found from.

    ``noted`` is the baker's own time (low, best, high), ``paler`` the colour below which
    another bake is told apart. ``heating`` is 1 where the time tells nothing of the oven;
    ``best`` is when the model has the tested bake done.
    """

    heating: Ratio
    noted: Band
    tested: Bake
    best: Second
    own_colour: float
    notices: tuple[Notice, ...] = ()


@lru_cache(maxsize=KEPT)
def anchored_oven(tested: Bake, noted: Band, *, core_seen: bool = False) -> OvenAnchor:
    """Find how fast an oven heats from one time noted in it (a multiplier on heat transfer).

    A time shorter than the model's is a stronger oven. A longer one is a weaker oven if the
    baker saw the core (``core_seen``) or nothing but the core was waited for; else it is
    taken for a bake left in for its crust and colour, which tells nothing of the oven.

    Examples
    --------
    The model's own time is that of an oven of its own.

    >>> from doughwright.engine.oven_piece import plain_roll
    >>> bake = Bake(plain_roll(), OvenCourse("fan", 453.15), Goals(core=369.15))
    >>> at = done(baked(bake), bake.goals).at
    >>> round(anchored_oven(bake, Band(at, at, at)).heating, 2)
    1.0
    """
    first = baked(tested, margin=1.0)
    inside = done(first, replace(tested.goals, colour=None)).at
    whole = done(first, tested.goals)
    early = inside is not None and inside < noted.best
    asked = core_seen or whole.binding != "colour"
    heating = _fitted_heating(tested, noted) if asked or not early else None
    if heating is not None:
        return _anchor(tested, noted, heating, ())
    if early and inside is not None:
        left = Notice.of("bake-left-in", noted=noted.best, modelled=inside)
        return _anchor(tested, noted, 1.0, (left,))
    return _anchor(tested, noted, 1.0, (Notice.of("bake-time-unexplained", noted=noted.best),))


def _fitted_heating(tested: Bake, noted: Band) -> Ratio | None:
    """Multiplier with which the inside is done at the noted time; None where there is none."""

    def late(logarithm: float) -> float:
        bake = _heated(tested, math.exp(logarithm))
        goals = replace(bake.goals, colour=None)
        at = done(baked(replace(bake, goals=goals), 1.0), goals).at
        return math.log((at or LONGEST) / noted.best)

    low, high = math.log(LEAST_HEATING), math.log(MOST_HEATING)
    if late(low) < 0.0 or late(high) > 0.0:
        return None
    return math.exp(root(late, low, high, 2e-3))


def _anchor(tested: Bake, noted: Band, heating: Ratio, notices: tuple[Notice, ...]) -> OvenAnchor:
    found = _heated(tested, heating)
    run = bake_runs(found.piece, found.oven, Goals(), [found.member], duration=1.01 * noted.best)
    own = seen_at(run, noted.best).colour
    found = replace(found, goals=replace(found.goals, colour=PALER * own))
    at = done(baked(found, margin=1.0), found.goals).at
    return OvenAnchor(heating, noted, found, at or noted.best, own, notices)


def _heated(bake: Bake, heating: Ratio) -> Bake:
    return replace(bake, member=replace(bake.member, heating=heating))


def baked(bake: Bake, margin: Ratio = 1.3) -> BakeRun:
    """Bake until all goals are reached and a margin longer.

    Examples
    --------
    >>> from doughwright.engine.oven_piece import plain_roll
    >>> bake = Bake(plain_roll(), OvenCourse("fan", 453.15), Goals(core=333.15))
    >>> run = baked(bake, 1.5)
    >>> end = run.series[0, int(run.outcomes["samples"][0]) - 1, 0]
    >>> round(float(end) / done(run, bake.goals).at, 1)
    1.5
    """
    return bake_runs(bake.piece, bake.oven, bake.goals, [bake.member], margin=margin)


@dataclass(frozen=True, slots=True)
class BakeTimes:
    """When a bake is done: by the best estimate, with its band, and whose time it is."""

    run: BakeRun
    doneness: Doneness
    time: Band | None
    kind: Literal["anchored", "model"]
    goals: Goals
    own_colour: float | None
    notices: tuple[Notice, ...] = ()


def bake_times(
    bake: Bake, anchor: OvenAnchor | None, air: KelvinDifference, give: KelvinDifference = 0.0
) -> BakeTimes:
    """When a bake is done in an oven; moved from the baker's own time where there is one.

    ``air`` is the standard deviation of what the oven reads wrong, for the band of a time
    that stands on the model alone; ``give`` that of a setting brought from another kind of
    oven, for a moved one.

    Examples
    --------
    A baker's own bake takes the baker's own time.

    >>> from doughwright.engine.oven_piece import plain_roll
    >>> bake = Bake(plain_roll(), OvenCourse("fan", 453.15), Goals(core=369.15))
    >>> noted = Band(420.0, 480.0, 540.0)
    >>> bake_times(bake, anchored_oven(bake, noted), air=10.0).time == noted
    True
    """
    if anchor is None:
        run = baked(bake)
        found = done(run, bake.goals)
        band = _model_band(bake, found, air) if found.at is not None else None
        return BakeTimes(run, found, band, "model", bake.goals, None)
    goals = replace(bake.goals, colour=anchor.tested.goals.colour)
    moved = replace(bake, goals=goals, member=anchor.tested.member)
    run = baked(moved, 1.3 * max(1.0, anchor.noted.best / anchor.best))
    found = done(run, goals)
    band = _moved_band(moved, found, anchor, give) if found.at is not None else None
    return BakeTimes(run, found, band, "anchored", goals, anchor.own_colour)


def _model_band(bake: Bake, found: Doneness, air: KelvinDifference) -> Band:
    """The middle eight tenths of many ovens, by the sphere, about the section's own time."""
    import numpy as np  # noqa: PLC0415

    assert found.at is not None
    times = member_times(bake, spread_members(bake.member, air=air))
    ratios = times[1:] / times[0]
    low, high = np.percentile(ratios, [10.0, 90.0])
    return Band(found.at * float(low), found.at, found.at * float(high))


def _moved_band(bake: Bake, found: Doneness, anchor: OvenAnchor, give: KelvinDifference) -> Band:
    """The noted time times the ratio, wider by what the ratio may be wrong by.

    ``give`` is how far another kind of oven's setting may be from baking alike (a gas mark).
    """
    import numpy as np  # noqa: PLC0415

    assert found.at is not None
    ratio, noted = found.at / anchor.best, anchor.noted
    margin = moved_margin(anchor.tested, bake)
    if margin == 0.0 and abs(ratio - 1.0) < SAME:
        return noted
    margin = margin or baking_constant("moved_floor")
    there = _times_there(anchor.tested)
    here = member_times(bake, spread_members(bake.member, air=give, noted=True))
    relative = (here / there) / (here[0] / there[0])
    low, high = np.percentile(relative[1:], [10.0, 90.0])
    best = noted.best * ratio
    assert noted.high is not None
    down = math.hypot(margin, 1.0 - float(low), 1.0 - noted.low / noted.best)
    up = math.hypot(margin, float(high) - 1.0, noted.high / noted.best - 1.0)
    return Band(best * (1.0 - down), best, best * (1.0 + up))


@lru_cache(maxsize=KEPT)
def _times_there(tested: Bake) -> Array:
    """Times of the tested bake in many doughs and trays, its oven known by its time."""
    times = member_times(tested, spread_members(tested.member, air=0.0, noted=True))
    times.flags.writeable = False
    return times


def moved_margin(there: Bake, here: Bake) -> Ratio:
    """What a moved time may be wrong by besides the model's constants (assumptions).

    Examples
    --------
    >>> from doughwright.engine.oven_piece import plain_roll
    >>> goals, oven = Goals(core=369.15), OvenCourse("fan", 453.15)
    >>> light, heavy = (Bake(plain_roll(mass), oven, goals) for mass in (0.06, 0.075))
    >>> moved_margin(light, light), moved_margin(light, heavy)
    (0.0, 0.05)
    """
    parts = []
    heavier = abs(math.log(here.piece.whole_mass / there.piece.whole_mass))
    if heavier > 0.005:
        parts.append(baking_constant("moved_much" if heavier > 0.33 else "moved_size"))
    if here.oven.kind != there.oven.kind:
        parts.append(baking_constant("moved_oven"))
    if here.oven.cold_lag != there.oven.cold_lag:
        parts.append(baking_constant("moved_cold"))
    if abs(here.oven.pressure / there.oven.pressure - 1.0) > 0.03:
        parts.append(baking_constant("moved_altitude"))
    others = (here.oven.first, here.oven.second, here.oven.drop, here.piece.temperature)
    if others != (there.oven.first, there.oven.second, there.oven.drop, there.piece.temperature):
        parts.append(baking_constant("moved_floor"))
    return math.hypot(*parts)


def member_times(bake: Bake, members: Array) -> Array:
    """Time to done of every member by the sphere, s; the longest bake where one is not reached.

    Examples
    --------
    >>> from doughwright.engine.oven_piece import plain_roll
    >>> bake = Bake(plain_roll(), OvenCourse("fan", 453.15), Goals(core=369.15))
    >>> times = member_times(bake, spread_members(Member(), air=10.0))
    >>> bool(times.min() < times[0] < times.max())
    True
    """
    import numpy as np  # noqa: PLC0415

    first = bake_runs(bake.piece, bake.oven, bake.goals, members[:1], margin=1.0, section=False)
    longest = min(4.0 * float(first.series[0, int(first.outcomes["samples"][0]) - 1, 0]), LONGEST)
    run = bake_runs(
        bake.piece, bake.oven, bake.goals, members, duration=longest, margin=1.02, section=False
    )
    found: Sequence[float] = [done(run, bake.goals, i).at or longest for i in range(len(members))]
    return np.array(found)
