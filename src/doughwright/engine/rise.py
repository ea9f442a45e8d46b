"""A dough through its stages: how it rises, and when each stage is ready."""

from collections.abc import Sequence
from dataclasses import astuple, dataclass, replace
from typing import TYPE_CHECKING, Any, Literal

from doughwright.engine import compiled
from doughwright.engine.batch import (
    For,
    Multipliers,
    Relative,
    Stage,
    plan_rows,
    whole_doughs,
)
from doughwright.engine.cooling import COOLING
from doughwright.engine.dough import Dough, dough_mass
from doughwright.engine.fermentation import FERMENTATION
from doughwright.errors import ImpossibleInput, Notice, SolverFailure
from doughwright.sources import ModelCard, Range, notices_for
from doughwright.units import Kelvin, Ratio, Second

if TYPE_CHECKING:
    import numpy as np

Reason = Literal["ready", "time limit", "peak below goal"]
REASONS: tuple[Reason, ...] = ("ready", "time limit", "peak below goal")

TOLERANCE = 1e-5
"""Local error per step over the size of each state; moves a time by less than 0.01 %."""

RISE = ModelCard(
    key="rise",
    name="Rise and readiness",
    predicts="volume of a dough, when it is ready, and the window from doubled to peak",
    sources=("army-bakers-1916", "siffring-bruinsma-1993", "pup-loaf-retention"),
    inputs={
        "relative_volume": Range(1.05, 4.0, "1"),
        "piece_mass": Range(0.03, 150.0, "kg"),
        "water_to_flour": Range(0.45, 1.30, "kg/kg"),
    },
    expected_error="times within x0.70 to x1.43 in four doughs of five; volumes within a fifth",
    known_from="39 published figures, 34 within their tolerance, in-sample",
    assumptions=(
        "gas and dissolved carbon dioxide are in equilibrium",
        "what a dough can hold depends on its wetness alone, unless its strength is stated",
        "no collapse after the peak, no acid",
    ),
)


@dataclass(frozen=True, slots=True)
class StageRun:
    """What came of one stage; times in s from its start.

    ``ready`` is None when the goal was never reached: ``reason`` then says why, and the stage
    ends at its peak or its time limit. Volumes are over the volume at the stage's start.
    ``peak`` is None when the dough still rose at the time limit or no window was asked for.
    ``series`` holds, by name, arrays over the stage: ``time`` (s), ``temperature`` and ``core``
    (K), ``volume`` (m³) and the other states of :data:`doughwright.engine.records.STATES`.
    """

    kind: str
    start_temperature: Kelvin
    end_temperature: Kelvin
    end: Second
    ready: Second | None
    reason: Reason
    doubled: Second | None
    peak: Second | None
    rise: Ratio
    greatest_rise: Ratio
    series: "dict[str, np.ndarray[Any, Any]]"

    @property
    def window(self) -> tuple[Second, Second | None]:
        """From when to when the stage may be used: doubled, or ready if sooner, to peak."""
        marks = [t for t in (self.doubled, self.ready) if t is not None]
        return min(marks, default=self.end), self.peak


@dataclass(frozen=True, slots=True)
class Trajectory:
    """A dough through all its stages, and what there is to say about the prediction."""

    stages: tuple[StageRun, ...]
    notices: tuple[Notice, ...] = ()


def staged_rise(
    stages: Sequence[Stage], multipliers: Multipliers | None = None, samples: int = 49
) -> Trajectory:
    """Follow one dough through its stages.

    Parameters
    ----------
    stages
        In order; the first must mix something.
    multipliers
        What is known of the yeast and the kitchen; by default the book's.
    samples
        Points in time per stage in each ``series``, at least 2.

    Raises
    ------
    ImpossibleInput
        No yeast, a goal that cannot be, or an input the models refuse.
    SolverFailure
        The integration did not converge.

    Examples
    --------
    A dough with 2 % of fresh yeast doubles in 1.88 h at 25 °C (table of times to double).

    >>> from doughwright.engine.batch import Mix, kept_at
    >>> dough = Dough(flour=1.0, water=0.63, yeast=0.02, salt=0.02)
    >>> stage = Stage("ferment", Relative(2.0), kept_at(298.15), Mix(dough, 298.15))
    >>> round(staged_rise([stage]).stages[0].ready / 3600.0, 1)
    1.9
    """
    outcomes, series = member_runs(stages, [multipliers or Multipliers()], samples)
    runs = tuple(_stage_run(stage, outcomes[0, i], series[0, i]) for i, stage in enumerate(stages))
    return Trajectory(runs, range_notices(stages, runs) + _unreached(runs))


def member_runs(
    stages: Sequence[Stage],
    members: "Sequence[Multipliers] | np.ndarray[Any, Any]",
    samples: int = 2,
    tolerance: float = TOLERANCE,
) -> "tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]":
    """Run every member of an ensemble through the stages, in one compiled call.

    Parameters
    ----------
    members
        One :class:`Multipliers` each, or an array of dtype ``records.MEMBER``.

    Returns
    -------
    outcomes
        Members × stages of dtype ``records.OUTCOME``, times in s, -1 for never.
    series
        Members × stages × samples × ``records.SERIES``.

    Examples
    --------
    Yeast twice as strong doubles the dough sooner.

    >>> from doughwright.engine.batch import Mix, kept_at
    >>> dough = Dough(flour=1.0, water=0.63, yeast=0.02, salt=0.02)
    >>> stage = Stage("ferment", Relative(2.0), kept_at(298.15), Mix(dough, 298.15))
    >>> outcomes, series = member_runs([stage], [Multipliers(), Multipliers(vigour=2.0)])
    >>> series.shape
    (2, 1, 2, 13)
    >>> bool(outcomes["end"][1, 0] < outcomes["end"][0, 0])
    True
    """
    import numpy as np  # noqa: PLC0415 - the module must import fast

    from doughwright.engine.records import MEMBER, OUTCOME, SERIES  # noqa: PLC0415

    _refuse_impossible(stages)
    plan = plan_rows(stages)
    if not isinstance(members, np.ndarray):
        members = np.array([astuple(m) for m in members], dtype=MEMBER)
    outcomes = np.zeros((len(members), len(stages)), dtype=OUTCOME)
    series = np.empty((len(members), len(stages), samples, len(SERIES)))
    _fill(plan, members, tolerance, outcomes, series)
    if (outcomes["steps"] < 0).any():
        raise SolverFailure([Notice.of("rise-not-solved")])
    return outcomes, series


def _fill(
    plan: "np.ndarray[Any, Any]",
    members: "np.ndarray[Any, Any]",
    tolerance: float,
    outcomes: "np.ndarray[Any, Any]",
    series: "np.ndarray[Any, Any]",
) -> None:
    """Call the compiled run: ``outcomes`` and ``series`` are filled in place."""
    import numpy as np  # noqa: PLC0415

    from doughwright.engine.records import MEMBER, WORK  # noqa: PLC0415

    members = np.ascontiguousarray(members, MEMBER)
    work = np.zeros(1, WORK)
    compiled.run(compiled.RISE)(
        *(plan.ctypes.data, len(plan), members.ctypes.data, len(members), tolerance),
        *(outcomes.ctypes.data, outcomes.shape[1], series.ctypes.data, series.shape[2]),
        work.ctypes.data,
    )


def range_notices(stages: Sequence[Stage], runs: Sequence[StageRun]) -> tuple[Notice, ...]:
    """What the model cards say to the doughs, the places and the whole temperature courses.

    Each notice's path is the number of the first stage it is about, from 0.

    Examples
    --------
    >>> from doughwright.engine.batch import Mix, kept_at
    >>> sweet = Dough(flour=1.0, water=0.6, yeast=0.02, salt=0.02, sucrose=0.15)
    >>> stage = Stage("ferment", Relative(2.0), kept_at(298.15), Mix(sweet, 298.15))
    >>> [n.values["input"] for n in staged_rise([stage]).notices]
    ['sugar']
    """
    found: dict[tuple[str, ...], Notice] = {}
    for number, (stage, run, whole) in enumerate(
        zip(stages, runs, whole_doughs(stages), strict=True)
    ):
        for notice in _stage_notices(stage, run, whole):
            said = (notice.code, str(notice.values["input"]), str(notice.values["model"]))
            found.setdefault(said, replace(notice, where=(number,)))
    return tuple(found.values())


def _stage_notices(stage: Stage, run: StageRun, whole: Dough) -> list[Notice]:
    temperatures = run.series["temperature"]
    found: list[Notice] = []
    for temperature in {float(temperatures.min()), float(temperatures.max())}:
        found += notices_for(FERMENTATION, dough_temperature=temperature)
    found += notices_for(FERMENTATION, **_shares(whole))
    found += notices_for(RISE, **_handling(stage, whole))
    for _, place in stage.places:
        found += notices_for(COOLING, air_temperature=place.temperature)
    return found


def _shares(dough: Dough) -> dict[str, float]:
    return {
        "fresh_yeast": dough.yeast / dough.flour,
        "salt": dough.salt / dough.flour,
        "sugar": (dough.sucrose + dough.hexose) / dough.flour,
        "fat": dough.fat / dough.flour,
        "hydration": dough.water / dough.flour,
    }


def _handling(stage: Stage, dough: Dough) -> dict[str, float]:
    handling = {
        "piece_mass": dough_mass(dough) / stage.pieces,
        "water_to_flour": dough.water / dough.flour,
    }
    if isinstance(stage.goal, Relative):
        handling["relative_volume"] = stage.goal.times
    return handling


def _unreached(runs: Sequence[StageRun]) -> tuple[Notice, ...]:
    return tuple(
        Notice.of("goal-not-reached", number, rise=run.greatest_rise)
        for number, run in enumerate(runs)
        if run.ready is None
    )


def _refuse_impossible(stages: Sequence[Stage]) -> None:
    if not stages or stages[0].mix is None:
        raise ImpossibleInput([Notice.of("nothing-to-ferment")])
    problems = [
        Notice.of("no-yeast", number)
        for number, dough in enumerate(whole_doughs(stages))
        if dough.yeast <= 0.0
    ]
    problems += [
        Notice.of("impossible-goal", number)
        for number, stage in enumerate(stages)
        if not _possible(stage)
    ]
    if problems:
        raise ImpossibleInput(problems)


def _possible(stage: Stage) -> bool:
    if isinstance(stage.goal, For):
        return stage.goal.time > 0.0
    return not isinstance(stage.goal, Relative) or stage.goal.times > 1.0


def _stage_run(stage: Stage, outcome: Any, series: Any) -> StageRun:
    from doughwright.engine.records import SERIES  # noqa: PLC0415

    named = {name: series[:, i] for i, name in enumerate(SERIES)}
    reason = REASONS[int(outcome["reason"])]
    return StageRun(
        kind=stage.kind,
        start_temperature=float(outcome["start_temperature"]),
        end_temperature=float(named["temperature"][-1]),
        end=float(outcome["end"]),
        ready=float(outcome["end"]) if reason == "ready" else None,
        reason=reason,
        doubled=_moment(outcome["doubled"]),
        peak=_moment(outcome["peak"]),
        rise=float(named["volume"][-1] / outcome["start_volume"]),
        greatest_rise=float(outcome["peak_volume"] / outcome["start_volume"]),
        series=named,
    )


def _moment(time: float) -> Second | None:
    return float(time) if time >= 0.0 else None
