# mypy: ignore-errors
# ruff: noqa: ANN001, ANN201, ANN202, PLR0913, PLR0917 - the compiler infers types and has no objects
"""The compiled run of a dough through its stages. Import it inside functions only.

Dormand & Prince's 5(4) pair with error control and its fourth-order interpolant, so that the
moment a dough is ready is found between the steps. One call runs every member of an ensemble.
"""

import math
from functools import cache

import numpy as np
from numba import carray

from doughwright.engine import compiled, compiling, cooling, fermentation, gas, records
from doughwright.engine.compiling import compiled_entry, digest, njit
from doughwright.engine.gas import bubbles, slope, surrounding, thermal, trapped_air
from doughwright.engine.records import (
    CORE,
    FOR,
    LIMIT,
    MEMBER,
    MOST_STEPS,
    OUTCOME,
    PEAK_BELOW,
    READY,
    RELATIVE,
    RISE,
    ROW,
    SERIES,
    SHARE_OF_PEAK,
    SIZE,
    TIME,
    VOLUME,
    WORK,
    A,
    C,
    L,
    T,
    X,
)

FIRST_STEP, LEAST_STEP = 30.0, 1e-4
SCALES = np.array([20.0, 0.0, 1.0, 3600.0, 6e-3, 2e-2, 2e-2, 5e-2, 0.1, 0.1])
"""What counts as large of each state (amounts: per kg of flour), for the error control."""

STEPS = np.array(
    [
        [0, 0, 0, 0, 0, 0],
        [1 / 5, 0, 0, 0, 0, 0],
        [3 / 40, 9 / 40, 0, 0, 0, 0],
        [44 / 45, -56 / 15, 32 / 9, 0, 0, 0],
        [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729, 0, 0],
        [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656, 0],
        [35 / 384, 0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84],
    ]
)
ERRORS = np.array([-71 / 57600, 0, 71 / 16695, -71 / 1920, 17253 / 339200, -22 / 525, 1 / 40])
DENSE = np.array(
    [
        [1, -8048581381 / 2820520608, 8663915743 / 2820520608, -12715105075 / 11282082432],
        [0, 0, 0, 0],
        [0, 131558114200 / 32700410799, -68118460800 / 10900136933, 87487479700 / 32700410799],
        [0, -1754552775 / 470086768, 14199869525 / 1410260304, -10690763975 / 1880347072],
        [0, 127303824393 / 49829197408, -318862633887 / 49829197408, 701980252875 / 199316789632],
        [0, -282668133 / 205662961, 2019193451 / 616988883, -1453857185 / 822651844],
        [0, 40617522 / 29380423, -110615467 / 29380423, 69997945 / 29380423],
    ]
)
"""Coefficients of Dormand & Prince 1980 and Shampine 1986."""


@njit
def copy(source, target):
    """Copy a state; a plain loop, which can neither fail nor ask for memory."""
    for i in range(SIZE):
        target[i] = source[i]


@njit
def begin(y, row, member, held, first):
    """Mix, fold, punch or divide: turn the state ``y`` into that of the stage's start."""
    y[C] -= held * (1.0 - row["gas_kept"])
    if row["mixed"] == 0.0:
        return
    warmer = 0.0 if first else row["by_preferment"] * (y[T] - row["preferment_temperature"])
    warmer += row["by_friction"] * member["friction"] + row["by_start"] * member["start"]
    warmer += row["by_transfer"] * math.log(member["transfer"])
    carried = row["carried"] * y[X]
    added = row["added_yeast"] * member["yeast"]
    y[A] = (carried * y[A] + added * row["added_activation"]) / (carried + added)
    y[L] = row["added_growth_clock"] if first else y[L]
    y[X] = carried + added
    y[4] = row["carried"] * y[4] + row["added_nutrient"]
    y[5] = row["carried"] * y[5] + row["added_sugar"]
    y[6] = row["carried"] * y[6] + row["added_maltose"]
    y[7] = row["carried"] * y[7] + row["added_locked_maltose"]
    y[8] = row["carried"] * y[8] + row["added_made"]
    y[9] = row["carried"] * y[9] + row["added_kept"]
    y[T] = row["mixed_temperature"] + warmer


@njit
def stride(y, h, k, row, member, air, new):
    """One step of size ``h`` from ``y``; ``k[0]`` holds the slope there. Returns the error."""
    for stage in range(1, 7):
        for i in range(SIZE):
            total = 0.0
            for j in range(stage):
                total += STEPS[stage, j] * k[j, i]
            new[i] = y[i] + h * total
        slope(new, row, member, air, k[stage])
    worst = 0.0
    for i in range(SIZE):
        wrong = 0.0
        for j in range(7):
            wrong += ERRORS[j] * k[j, i]
        size = SCALES[i] * (1.0 if i < 4 else row["flour"]) + abs(y[i])
        worst = max(worst, abs(h * wrong) / size)
    return worst


@njit
def state_at(track, time, y):
    """Write the state at ``time`` into ``y``; returns the number of the step it lies in."""
    times, states, dense, _, count = track
    if count[0] == 0:
        copy(states[0], y)
        return 0
    low, high = 0, count[0] - 1
    while low < high:
        middle = (low + high + 1) // 2
        if times[middle] <= time:
            low = middle
        else:
            high = middle - 1
    h = times[low + 1] - times[low]
    x = (time - times[low]) / h
    for i in range(SIZE):
        q = dense[low, i]
        y[i] = states[low, i] + h * x * (q[0] + x * (q[1] + x * (q[2] + x * q[3])))
    return low


@njit
def crossing(track, plan, air, mark, low, high, y):
    """First time between ``low`` and ``high`` at which the volume passes ``mark``."""
    for _ in range(36):
        middle = 0.5 * (low + high)
        step = state_at(track, middle, y)
        if bubbles(y, plan[int(track[3][step])], air)[1] < mark:
            low = middle
        else:
            high = middle
    return high


@njit
def summit(track, plan, air, low, high, y):
    """Time between ``low`` and ``high`` at which the volume is greatest."""
    for _ in range(30):
        third = (high - low) / 3.0
        step = state_at(track, low + third, y)
        left = bubbles(y, plan[int(track[3][step])], air)[1]
        step = state_at(track, high - third, y)
        if left < bubbles(y, plan[int(track[3][step])], air)[1]:
            low += third
        else:
            high -= third
    return 0.5 * (low + high)


@njit
def first_passage(track, plan, air, volumes, mark, y):
    """First time at which the volume reaches ``mark``, or -1."""
    if volumes[0] >= mark:
        return 0.0
    for n in range(track[4][0]):
        if volumes[n + 1] >= mark:
            return crossing(track, plan, air, mark, track[0][n], track[0][n + 1], y)
    return -1.0


@njit
def keep(track, volumes, time, segment, k, new, volume):
    """Add a step to the track: its interpolant, and time, state and volume at its end."""
    times, states, dense, segments, count = track
    n = count[0]
    for i in range(SIZE):
        for power in range(4):
            total = 0.0
            for j in range(7):
                total += k[j, i] * DENSE[j, power]
            dense[n, i, power] = total
    segments[n] = segment
    times[n + 1], volumes[n + 1] = time, volume
    copy(new, states[n + 1])
    count[0] = n + 1


@njit
def settled(row, volumes, n, greatest, time):
    """Whether nothing more is to be learnt: past the peak, or ready and no peak wanted."""
    if row["window"] == 0.0 and row["goal"] == RELATIVE and volumes[n] >= row["mark"] * volumes[0]:
        return True
    if row["window"] == 0.0 and row["goal"] == RISE and volumes[n] >= row["mark"] * row["gas_free"]:
        return True
    if row["last"] == 0.0 or greatest < 1.2 * volumes[0]:
        return False
    if row["goal"] == FOR and time < row["mark"]:
        return False
    return greatest - volumes[n] > 0.01 * (greatest - volumes[0])


@njit
def rise_through(plan, first, member, air, y, track, volumes, k, new, tolerance):
    """Integrate one stage until it is settled; fills ``track`` and ``volumes``.

    Returns the number of slopes taken, or -1 when the step became too small or what came out
    is no number.
    """
    row, i, count = plan[first], first, track[4]
    count[0] = 0
    track[0][0], track[3][0] = 0.0, first
    copy(y, track[1][0])
    volumes[0] = bubbles(y, row, air)[1]
    only_time = row["goal"] == FOR and row["window"] == 0.0
    horizon = row["mark"] if only_time else max(row["limit"], row["mark"] * (row["goal"] == FOR))
    time, taken, h, greatest = 0.0, 0, FIRST_STEP, volumes[0]
    until = min(row["duration"], horizon)
    slope(y, row, member, air, k[0])
    while time < horizon and not settled(row, volumes, count[0], greatest, time):
        if until - time < 1.01 * h:
            h = until - time
        wrong = stride(track[1][count[0]], h, k, row, member, air, new) / tolerance
        taken += 6
        change = min(5.0, max(0.2, 0.9 * max(wrong, 1e-10) ** -0.2))
        if wrong <= 1.0:
            time = time + h if h < until - time else until
            volume = bubbles(new, row, air)[1]
            if not volume > 0.0:  # nothing divides by zero aloud here, so look for no number
                return -1
            keep(track, volumes, time, i, k, new, volume)
            greatest = max(greatest, volume)
            copy(k[6], k[0])
        elif h < LEAST_STEP:
            return -1
        if time >= until and row["last"] == 0.0:
            i += 1
            row = plan[i]
            until = min(until + row["duration"], horizon)
            slope(new, row, member, air, k[0])
        h *= change
        if count[0] == MOST_STEPS:
            return -1
    return taken


@njit
def settle(plan, row, air, track, volumes, out, y):
    """Find when the stage was ready, doubled and at its peak."""
    times, count = track[0], track[4][0]
    best = 0
    for n in range(count + 1):
        if volumes[n] > volumes[best]:
            best = n
    out["peak"], out["peak_volume"] = -1.0, volumes[best]
    if 0 < best < count:
        out["peak"] = summit(track, plan, air, times[best - 1], times[best + 1], y)
        step = state_at(track, out["peak"], y)
        out["peak_volume"] = bubbles(y, plan[int(track[3][step])], air)[1]
    out["doubled"] = first_passage(track, plan, air, volumes, 2.0 * volumes[0], y)
    ready = row["mark"]
    if row["goal"] == RELATIVE:
        ready = first_passage(track, plan, air, volumes, row["mark"] * volumes[0], y)
    elif row["goal"] == RISE:
        ready = first_passage(track, plan, air, volumes, row["mark"] * row["gas_free"], y)
    elif row["goal"] == SHARE_OF_PEAK:
        mark = volumes[0] + row["mark"] * (out["peak_volume"] - volumes[0])
        ready = first_passage(track, plan, air, volumes, mark, y) if out["peak"] > 0.0 else -1.0
    out["reason"] = READY
    if ready < 0.0:
        out["reason"] = PEAK_BELOW if out["peak"] > 0.0 else LIMIT
        ready = out["peak"] if out["peak"] > 0.0 else times[count]
    out["end"] = ready


@njit
def core_offset(y, row, member, volume, since, before):
    """How far the core lies beyond the mean, ``since`` s after the air changed."""
    share = thermal(volume, row)[1]
    faded = math.exp(-since / row["core_lag"])
    return share * (y[T] - surrounding(row, member)) * (1.0 - faded) + before * faded


@njit
def sample(plan, air, member, track, end, series, y):
    """Fill the rows of ``series`` with states at equal steps of time from start to end."""
    times, segments = track[0], track[3]
    here, start, before = int(segments[0]), 0.0, 0.0
    reached = 0
    for j in range(series.shape[0]):
        time = end * j / max(series.shape[0] - 1, 1)
        step = state_at(track, time, y)
        while reached < step:
            reached += 1
            if int(segments[reached]) != here:
                state_at(track, times[reached], y)
                volume = bubbles(y, plan[here], air)[1]
                since = times[reached] - start
                before = core_offset(y, plan[here], member, volume, since, before)
                here, start = int(segments[reached]), times[reached]
        state_at(track, time, y)
        volume = bubbles(y, plan[here], air)[1]
        copy(y, series[j])
        series[j, TIME] = time
        series[j, VOLUME] = volume
        series[j, CORE] = y[T] + core_offset(y, plan[here], member, volume, time - start, before)


@njit
def every_member(plan, members, tolerance, outcomes, series, room):
    """Run every member through every stage; fills ``outcomes`` and ``series``."""
    y, k, new, volumes = room["state"], room["slopes"], room["new"], room["volumes"]
    track = (room["times"], room["states"], room["dense"], room["segments"], room["count"])
    for m in range(members.shape[0]):
        member = members[m]
        for i in range(SIZE):
            y[i] = 0.0
        held = 0.0
        first = 0
        while first < plan.shape[0]:
            row = plan[first]
            s = int(row["stage"])
            out = outcomes[m, s]
            begin(y, row, member, held, first == 0)
            air = trapped_air(y[T], row)
            out["start_temperature"] = y[T]
            out["start_volume"] = bubbles(y, row, air)[1]
            out["steps"] = rise_through(
                plan, first, member, air, y, track, volumes, k, new, tolerance
            )
            settle(plan, row, air, track, volumes, out, y)
            sample(plan, air, member, track, out["end"], series[m, s], y)
            held = bubbles(y, plan[first], air)[0]
            while first < plan.shape[0] and int(plan[first]["stage"]) == s:
                first += 1


def stamped(stamp):
    """The run, bound to the text of all it is made of.

    The compiler's own cache looks at this file alone: without the stamp it would go on with
    code for yesterday's tables when only another module changed.
    """

    def run(plan, rows, members, count, tolerance, outcomes, stages, series, samples, room):
        """Run every member through every stage, given where the tables are and how long.

        Addresses and lengths only, so that the machine code can be called without the compiler;
        the tables are those of :mod:`doughwright.engine.records`.
        """
        stamp  # noqa: B018 - part of what the compiler knows this function by
        every_member(
            carray(plan, rows, ROW),
            carray(members, count, MEMBER),
            tolerance,
            carray(outcomes, (count, stages), OUTCOME),
            carray(series, (count, stages, samples, len(SERIES)), np.float64),
            carray(room, 1, WORK)[0],
        )

    return run


@cache
def compiled_run(*, kept):
    """Compile the run; with ``kept``, the compiler keeps what it made and finds it again."""
    stamp = digest(fermentation, cooling, gas, records, compiling)
    return compiled_entry(stamped(stamp), compiled.RISE.takes, kept=kept)
