"""What the baker's own tested times and temperatures say about yeast and kitchen.

Three multipliers can be told apart by a log: the yeast's vigour (from times), the friction rise
and the kitchen's heat transfer (from temperatures). They are found as the most probable values
under their priors (Gauss-Newton on the compiled run). A time in another kitchen is then the
baker's own time moved by the model's ratio between the two kitchens.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Literal

from doughwright.engine.batch import Multipliers, Stage
from doughwright.engine.fermentation import parameters
from doughwright.engine.kitchens import (
    MEMBERS,
    SEED,
    Band,
    Spread,
    ensemble,
    standard_scores,
    time_band,
    time_margin,
)
from doughwright.engine.rise import member_runs
from doughwright.errors import ImpossibleInput, Notice, SolverFailure
from doughwright.sources import ASSUMPTION, ModelCard, Range
from doughwright.units import KelvinDifference, Ratio

if TYPE_CHECKING:
    import numpy as np

Quantity = Literal["time", "start temperature", "end temperature"]

ANCHORING = ModelCard(
    key="anchoring",
    name="Anchoring in the baker's own times",
    predicts="yeast vigour, friction rise and heat transfer of a kitchen; times moved from it",
    sources=(ASSUMPTION,),
    inputs={
        "score": Range(-2.0, 2.0, "1"),
        "vigour": Range(0.5, 2.0, "1"),
        "transfer": Range(0.4, 2.5, "1"),
        "friction": Range(-1.5, 1.5, "delta_K"),
    },
    expected_error="a moved time within 15 % in four of five",
    known_from="assumption; only the floor of 15 % is printed until logs say otherwise",
    assumptions=(
        "the model's form is right and each observation independent",
        "bakes at one room temperature cannot tell vigour from the answer to temperature",
        "cardinal temperatures, sugar tolerance and the possible rise are not fitted",
    ),
)

LN_TIME_SD = {"ferment": 0.20, "punch": 0.20, "rest": 0.20, "proof": 0.22}
TEMPERATURE_SD: KelvinDifference = 0.7
CONTRADICTION = 2.0
ITERATIONS = 20
STEP = 1e-3
SLACK = 1e-6
ENOUGH = 1e-4
"""Steps of the fit smaller than this share of the prior end it."""

KEPT = 64
"""How many logs are kept fitted. What the baker saw stays as it is whatever kitchen is planned;
what is kept and what it is found by do not change, so threads may share it."""


@dataclass(frozen=True, slots=True)
class Observation:
    """What the baker saw: ``value`` in s or K; ``sd`` of ln time or of K, by default usual."""

    stage: int
    quantity: Quantity
    value: float
    sd: float | None = None


@dataclass(frozen=True, slots=True)
class Anchor:
    """Most probable multipliers and their covariance (ln vigour, friction in K, ln transfer).

    ``scores`` are the observations' residuals in standard deviations, in their order.
    """

    multipliers: Multipliers
    covariance: tuple[tuple[float, ...], ...]
    scores: tuple[float, ...]
    notices: tuple[Notice, ...] = ()

    @property
    def spread(self) -> tuple[Ratio, KelvinDifference, Ratio]:
        """Standard deviations of ln vigour, friction and ln transfer."""
        v, f, t = (math.sqrt(self.covariance[i][i]) for i in range(3))
        return v, f, t


def anchor(stages: Sequence[Stage], observations: Sequence[Observation]) -> Anchor:
    """Fit the three multipliers to what was seen in the stages' own kitchen.

    Raises
    ------
    ImpossibleInput
        An observed stage never reaches its goal in the model, whatever the multipliers.

    Examples
    --------
    A dough that took half again as long as the book says has slow yeast.

    >>> from doughwright.engine.batch import Mix, Relative, standing_in
    >>> from doughwright.engine.cooling import Place
    >>> from doughwright.engine.dough import Dough
    >>> dough = Mix(Dough(flour=1.0, water=0.63, yeast=0.02, salt=0.02), 297.15)
    >>> stage = Stage("ferment", Relative(2.0), standing_in(Place(294.15)), dough)
    >>> fitted = anchor([stage], [Observation(0, "time", 1.5 * 7900.0)])
    >>> 0.6 < fitted.multipliers.vigour < 0.9
    True
    """
    return _fitted(tuple(stages), tuple(observations))


@lru_cache(maxsize=KEPT)
def _fitted(stages: tuple[Stage, ...], observations: tuple[Observation, ...]) -> Anchor:
    import numpy as np  # noqa: PLC0415 - the module must import fast

    prior = np.diag(prior_sd() ** -2.0)
    seen, weight = _seen(stages, observations)
    theta = np.zeros(3)
    model, jacobian = _model(stages, observations, theta)
    for _ in range(ITERATIONS):
        normal = jacobian.T @ (weight[:, None] * jacobian) + prior
        step = np.linalg.solve(normal, jacobian.T @ (weight * (seen - model)) - prior @ theta)
        at = (theta, model, jacobian)
        theta, model, jacobian = _descent(stages, observations, seen, weight, at, step)
        if np.abs(step / prior_sd()).max() < ENOUGH:
            break
    else:
        raise SolverFailure([Notice.of("anchor-not-found")])
    normal = jacobian.T @ (weight[:, None] * jacobian) + prior
    covariance = np.linalg.inv(normal)
    scores = _scores(seen - model, weight, jacobian, covariance)
    return Anchor(
        _multipliers(theta),
        tuple(tuple(float(x) for x in row) for row in covariance),
        tuple(float(x) for x in scores),
        _contradictions(observations, scores),
    )


def prior_sd() -> "np.ndarray[Any, Any]":
    """Standard deviations of ln vigour, friction and ln transfer before any log.

    Examples
    --------
    >>> [float(x) for x in prior_sd()]
    [0.25, 0.6, 0.35]
    """
    import numpy as np  # noqa: PLC0415

    p = parameters()
    return np.array([p["prior_vigour"], p["prior_friction"], p["prior_transfer"]])


def _multipliers(theta: Any) -> Multipliers:
    return Multipliers(math.exp(theta[0]), math.exp(theta[2]), float(theta[1]))


def _seen(stages: Sequence[Stage], observations: Sequence[Observation]) -> Any:
    import numpy as np  # noqa: PLC0415

    seen = [math.log(o.value) if o.quantity == "time" else o.value for o in observations]
    usual = [
        LN_TIME_SD[stages[o.stage].kind] if o.quantity == "time" else TEMPERATURE_SD
        for o in observations
    ]
    sd = [o.sd or u for o, u in zip(observations, usual, strict=True)]
    return np.array(seen), np.array(sd, dtype=float) ** -2.0


def _model(stages: Sequence[Stage], observations: Sequence[Observation], theta: Any) -> Any:
    """Predictions and their derivatives by central differences, all in one compiled call."""
    import numpy as np  # noqa: PLC0415

    moves = np.vstack([np.zeros(3), *[s * STEP * np.eye(3)[i] for i in range(3) for s in (1, -1)]])
    members = [_multipliers(theta + move) for move in moves]
    outcomes, series = member_runs(_without_window(stages), members, tolerance=1e-8)
    predicted = [_predicted(o, outcomes, series) for o in observations]
    values = np.array(predicted, dtype=float).reshape(len(observations), len(members)).T
    if not np.isfinite(values[0]).all():
        raise ImpossibleInput([Notice.of("observed-never-reached")])
    slopes = (values[1::2] - values[2::2]) / (2.0 * STEP)
    return values[0], slopes.T


def _without_window(stages: Sequence[Stage]) -> list[Stage]:
    """The stages, followed only until they are ready: what comes after is not asked here."""
    return [replace(stage, window=False) for stage in stages]


def _predicted(observation: Observation, outcomes: Any, series: Any) -> Any:
    import numpy as np  # noqa: PLC0415

    from doughwright.engine.records import READY, T  # noqa: PLC0415

    outcome = outcomes[:, observation.stage]
    if observation.quantity == "start temperature":
        return outcome["start_temperature"]
    if observation.quantity == "end temperature":
        return series[:, observation.stage, -1, T]
    return np.where(outcome["reason"] == READY, np.log(outcome["end"]), np.inf)


def _descent(
    stages: Sequence[Stage],
    observations: Sequence[Observation],
    seen: Any,
    weight: Any,
    start: Any,
    step: Any,
) -> Any:
    """Go along the step as far as it makes things better; ``start`` is theta and its model."""
    import numpy as np  # noqa: PLC0415

    def badness(at: Any, model: Any) -> float:
        return float(np.sum(weight * (seen - model) ** 2) + np.sum((at / prior_sd()) ** 2))

    theta, model, _ = start
    before = badness(theta, model)
    for halving in range(8):
        at = theta + step / 2.0**halving
        try:
            there = _model(stages, observations, at)
        except ImpossibleInput:
            continue
        if badness(at, there[0]) <= before + SLACK:
            return at, *there
    return start


def _scores(residual: Any, weight: Any, jacobian: Any, covariance: Any) -> Any:
    """Residuals over their standard deviation, the fit's own freedom taken off."""
    import numpy as np  # noqa: PLC0415

    leverage = np.einsum("ij,jk,ik->i", jacobian, covariance, jacobian) * weight
    return residual * np.sqrt(weight / np.maximum(1.0 - leverage, 1e-6))


def _contradictions(observations: Sequence[Observation], scores: Any) -> tuple[Notice, ...]:
    return tuple(
        Notice.of("anchor-contradicts", stage=o.stage + 1, quantity=o.quantity, score=float(score))
        for o, score in zip(observations, scores, strict=True)
        if abs(score) > CONTRADICTION
    )


def moved_times(
    tested: Sequence[Stage],
    planned: Sequence[Stage],
    observations: Sequence[Observation],
    found: Anchor,
    spread: Spread | None = None,
) -> tuple[Band | None, ...]:
    """Times of the stages in another kitchen (or batch): the baker's own times the model's ratio.

    A stage nobody timed has the anchored model's own time, with the model's wide band.
    ``spread`` is what is not known of the planned kitchen; vigour, friction and transfer come
    from the anchor instead.

    Examples
    --------
    Planned where it was tested, a stage takes what it took.

    >>> from doughwright.engine.batch import Mix, Relative, standing_in
    >>> from doughwright.engine.cooling import Place
    >>> from doughwright.engine.dough import Dough
    >>> dough = Mix(Dough(flour=1.0, water=0.63, yeast=0.02, salt=0.02), 297.15)
    >>> stage = Stage("ferment", Relative(2.0), standing_in(Place(294.15)), dough)
    >>> seen = [Observation(0, "time", 9000.0)]
    >>> round(moved_times([stage], [stage], seen, anchor([stage], seen))[0].best)
    9000
    """
    import numpy as np  # noqa: PLC0415

    own = {o.stage: o.value for o in observations if o.quantity == "time"}
    rows = _posterior(found.multipliers, found.covariance, spread or Spread())
    there = _ready_times(planned, rows)
    here = _times_there(tuple(tested), found.multipliers, found.covariance)
    return tuple(
        time_band(_moved(there[:, i], here[:, i], own.get(i)), time_margin(anchored=i in own))
        if np.isfinite(here[0, i]) or i not in own
        else None
        for i in range(len(planned))
    )


def _moved(there: Any, here: Any, own: float | None) -> Any:
    """A baker's own time by the model's ratio; infinite where either never gets there."""
    import numpy as np  # noqa: PLC0415

    if own is None:
        return there
    both = np.isfinite(there) & np.isfinite(here)
    return np.where(both, own * np.where(both, there, 1.0) / np.where(both, here, 1.0), np.inf)


Covariance = tuple[tuple[float, ...], ...]


@lru_cache(maxsize=KEPT)
def _times_there(
    tested: tuple[Stage, ...], best: Multipliers, covariance: Covariance
) -> "np.ndarray[Any, Any]":
    """Times of the tested stages: nothing but yeast, friction and transfer is unknown there."""
    rows = _posterior(best, covariance, Spread(room=0.0, regulated=0.0, start=0.0, yeast=0.0))
    times: np.ndarray[Any, Any] = _ready_times(tested, rows)
    times.flags.writeable = False
    return times


def _posterior(best: Multipliers, covariance: Covariance, spread: Spread) -> "np.ndarray[Any, Any]":
    import numpy as np  # noqa: PLC0415

    rows = ensemble(spread, Multipliers())
    drawn = standard_scores(MEMBERS, 3, SEED + 1) @ np.linalg.cholesky(covariance).T
    rows["vigour"] = best.vigour * np.exp(np.append(0.0, drawn[:, 0]))
    rows["friction"] = best.friction + np.append(0.0, drawn[:, 1])
    rows["transfer"] = best.transfer * np.exp(np.append(0.0, drawn[:, 2]))
    return rows


def _ready_times(stages: Sequence[Stage], rows: "np.ndarray[Any, Any]") -> Any:
    import numpy as np  # noqa: PLC0415

    from doughwright.engine.records import READY  # noqa: PLC0415

    outcomes, _ = member_runs(_without_window(stages), rows)
    return np.where(outcomes["reason"] == READY, outcomes["end"], np.inf)
