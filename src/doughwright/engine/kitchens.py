"""Many kitchens at once: what a spread of yeast, rooms and scales does to a plan.

A band is the middle eight tenths of a seeded ensemble around the best guess. What the model
itself may be wrong by comes on top: no printed time is narrower than the floor, and without
an anchor none is narrower than what published times taught (x0.70 to x1.43).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from statistics import NormalDist
from typing import TYPE_CHECKING, Any

from doughwright.engine.batch import For, Multipliers, Stage
from doughwright.engine.dough import hexose_added
from doughwright.engine.fermentation import FERMENTATION, Tolerance, parameters
from doughwright.engine.rise import Trajectory, member_runs, staged_rise
from doughwright.units import KelvinDifference, Ratio

if TYPE_CHECKING:
    import numpy as np

MEMBERS = 200
SEED = 20
TAIL = 10.0
"""Percent of the ensemble left out at either end."""


@dataclass(frozen=True, slots=True)
class Band:
    """Low, best and high of a quantity; ``high`` is None where too many never get there."""

    low: float
    best: float
    high: float | None


@dataclass(frozen=True, slots=True)
class Spread:
    """Standard deviations between kitchens and packets; ``room`` etc. scale the ``give``."""

    vigour: Ratio = 0.25
    transfer: Ratio = 0.35
    friction: KelvinDifference = 0.6
    room: Ratio = 1.0
    regulated: Ratio = 1.0
    start: Ratio = 1.0
    yeast: Ratio = 0.03


@dataclass(frozen=True, slots=True)
class StageBands:
    """One stage in many kitchens; times in s from the stage's start, temperatures in K.

    ``ready`` is None when the best guess never reaches the goal; ``reached`` is the share of
    the ensemble that does. ``window`` is (usable from, peak) of the best guess.
    """

    ready: Band | None
    reached: Ratio
    end_temperature: Band
    rise: Band
    doubled: Band | None
    peak: Band | None


@cache
def standard_scores(members: int, columns: int, seed: int) -> "np.ndarray[Any, Any]":
    """Normal scores, members × columns, each column a shuffled full set of quantiles.

    Examples
    --------
    >>> scores = standard_scores(200, 7, 20)
    >>> bool(abs(scores.mean(axis=0)).max() < 1e-12)
    True
    """
    import numpy as np  # noqa: PLC0415 - the module must import fast

    normal = NormalDist()
    column = np.array([normal.inv_cdf((i + 0.5) / members) for i in range(members)])
    column -= column.mean()
    generator = np.random.default_rng(seed)
    return np.column_stack([generator.permutation(column) for _ in range(columns)])


def ensemble(
    spread: Spread, centre: Multipliers, members: int = MEMBERS, seed: int = SEED
) -> "np.ndarray[Any, Any]":
    """Multipliers of many kitchens around a centre; the first row is the centre itself.

    Examples
    --------
    >>> rows = ensemble(Spread(), Multipliers(vigour=1.1))
    >>> len(rows), float(rows["vigour"][0])
    (201, 1.1)
    """
    import numpy as np  # noqa: PLC0415

    from doughwright.engine.records import MEMBER  # noqa: PLC0415

    score = standard_scores(members, 7, seed).T
    rows = np.zeros(members + 1, dtype=MEMBER)
    for name in MEMBER.names or ():
        rows[name] = getattr(centre, name)
    rows["vigour"][1:] *= np.exp(spread.vigour * score[0])
    rows["transfer"][1:] *= np.exp(spread.transfer * score[1])
    rows["yeast"][1:] *= np.exp(spread.yeast * score[2])
    for name, column in zip(("friction", "room", "regulated", "start"), score[3:], strict=True):
        rows[name][1:] += getattr(spread, name) * column
    return rows


def bands(
    stages: Sequence[Stage],
    spread: Spread | None = None,
    centre: Multipliers | None = None,
    *,
    anchored: bool = False,
) -> tuple[StageBands, ...]:
    """Bands of every stage of a plan.

    Examples
    --------
    Without a log, a time is printed as at least x0.70 to x1.43.

    >>> from doughwright.engine.batch import Mix, Relative, standing_in
    >>> from doughwright.engine.cooling import Place
    >>> from doughwright.engine.dough import Dough
    >>> dough = Mix(Dough(flour=1.0, water=0.63, yeast=0.02, salt=0.02), 297.15)
    >>> stage = Stage("ferment", Relative(2.0), standing_in(Place(294.15)), dough)
    >>> ready = bands([stage])[0].ready
    >>> ready.low / ready.best <= 0.70 and ready.high / ready.best >= 1.43
    True
    """
    rows = ensemble(spread or Spread(), centre or Multipliers())
    outcomes, series = member_runs(stages, rows)
    corners = () if anchored else _strain_corners(stages)
    margin = time_margin(anchored=anchored)
    return tuple(
        _stage_bands(stage, outcomes[:, i], series[:, i], [c[i] for c in corners], margin)
        for i, stage in enumerate(stages)
    )


def time_margin(*, anchored: bool) -> tuple[Ratio, Ratio]:
    """The narrowest band a printed time may have, over its best value.

    Examples
    --------
    >>> [round(m, 2) for m in time_margin(anchored=False)]
    [0.7, 1.43]
    >>> [round(m, 2) for m in time_margin(anchored=True)]
    [0.85, 1.15]
    """
    import math  # noqa: PLC0415

    p = parameters()
    if anchored:
        return 1.0 - p["time_floor"], 1.0 + p["time_floor"]
    tail = NormalDist().inv_cdf(1.0 - TAIL / 100.0) * p["time_spread"]
    return math.exp(-tail), math.exp(tail)


def _strain_corners(stages: Sequence[Stage]) -> list[list[float]]:
    """Times of the stages with a lean and an osmotolerant strain, where sugar makes it matter."""
    limit = FERMENTATION.inputs["sugar"].high
    sweet = any(s.mix and hexose_added(s.mix.dough) > limit * s.mix.dough.flour for s in stages)
    if not sweet:
        return []
    strains: tuple[Tolerance, ...] = ("lean", "osmotolerant")
    runs = (staged_rise([_with_strain(s, strain) for s in stages], samples=2) for strain in strains)
    return [_times(run) for run in runs]


def _with_strain(stage: Stage, strain: Tolerance) -> Stage:
    if stage.mix is None:
        return stage
    return replace(stage, mix=replace(stage.mix, dough=replace(stage.mix.dough, tolerance=strain)))


def _times(run: Trajectory) -> list[float]:
    return [float("inf") if stage.ready is None else stage.ready for stage in run.stages]


def _stage_bands(
    stage: Stage, outcome: Any, series: Any, corners: Sequence[float], margin: tuple[Ratio, Ratio]
) -> StageBands:
    import numpy as np  # noqa: PLC0415

    from doughwright.engine.records import READY, VOLUME, T  # noqa: PLC0415

    reached = outcome["reason"] == READY
    times = np.where(reached, outcome["end"], np.inf)
    fixed = isinstance(stage.goal, For)
    return StageBands(
        ready=time_band(times, (1.0, 1.0) if fixed else margin, () if fixed else corners),
        reached=float(reached[1:].mean()),
        end_temperature=value_band(series[:, -1, T]),
        rise=value_band(series[:, -1, VOLUME] / outcome["start_volume"]),
        doubled=time_band(_infinite(outcome["doubled"]), margin),
        peak=time_band(_infinite(outcome["peak"]), margin),
    )


def _infinite(times: Any) -> Any:
    import numpy as np  # noqa: PLC0415

    return np.where(times >= 0.0, times, np.inf)


def value_band(values: Any) -> Band:
    """Band of a quantity every member has; the first value is the best guess.

    Examples
    --------
    >>> import numpy as np
    >>> value_band(np.array([2.0, *np.linspace(1.0, 3.0, 101)]))
    Band(low=1.2, best=2.0, high=2.8)
    """
    import numpy as np  # noqa: PLC0415

    low, high = (float(x) for x in np.percentile(values[1:], (TAIL, 100.0 - TAIL)))
    best = float(values[0])
    return Band(min(low, best), best, max(high, best))


def time_band(
    times: Any, margin: tuple[Ratio, Ratio], corners: Sequence[float] = ()
) -> Band | None:
    """Band of a time that some members may never reach (infinite); the first is the best guess.

    Examples
    --------
    >>> import numpy as np
    >>> time_band(np.array([100.0, *np.linspace(95.0, 105.0, 101)]), (0.85, 1.15))
    Band(low=85.0, best=100.0, high=115.0)
    """
    import math  # noqa: PLC0415

    import numpy as np  # noqa: PLC0415

    best = float(times[0])
    if math.isinf(best):
        return None
    order = np.sort(times[1:])
    low = float(order[int(TAIL / 100.0 * len(order))])
    high = float(order[-1 - int(TAIL / 100.0 * len(order))])
    low = min(low, best * margin[0], *corners)
    high = max(high, best * margin[1], *corners)
    return Band(low, best, None if math.isinf(high) else high)
