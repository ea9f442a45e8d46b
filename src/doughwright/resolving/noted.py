"""What the baker noted: times as observations, and how far they fit together."""

import math
from collections.abc import Sequence

from doughwright.documents.quantities import Quantity
from doughwright.engine.anchoring import Anchor, Observation
from doughwright.engine.batch import For
from doughwright.engine.kitchens import Band
from doughwright.engine.rise import staged_rise
from doughwright.errors import Notice
from doughwright.resolving.process import TimedStep
from doughwright.resolving.stages import Staged

CONTRADICTION = 2.0
"""Scores beyond this mean that a time noted does not fit the others (as in anchoring)."""


def observations(found: Staged) -> tuple[Observation, ...]:
    """What the baker saw: how long each stage took, but for those run by the clock."""
    return tuple(
        Observation(i, "time", timed.step.took.best, _range_sd(timed.step.took))
        for i, (stage, timed) in enumerate(zip(found.stages, found.steps, strict=True))
        if timed.step.took is not None and not isinstance(stage.goal, For)
    )


def _range_sd(took: Quantity) -> float | None:
    """Standard deviation of the logarithm of a time noted as a range of eight tenths."""
    wide = math.log(took.high / took.low) / 2.56 if took.ranged and took.low > 0 else 0.0
    return wide if wide > USUAL_SD else None


USUAL_SD = 0.2
"""What a single noted time is worth, as a standard deviation of its logarithm (anchoring)."""


def implied_observations(found: Staged) -> tuple[Observation, ...]:
    """Times of the stages whose goal is only implied by them."""
    return tuple(
        Observation(i, "time", timed.step.took.best)
        for i, timed in enumerate(found.steps)
        if i in found.implied and timed.step.took is not None
    )


def as_noted(
    time: Band | None,
    timed: TimedStep,
    found: Anchor,
    index: int,
    seen: Sequence[Observation],
) -> Band | None:
    """No narrower than the range noted, and wider where the times noted contradict each other."""
    took = timed.step.took
    if time is None or took is None:
        return time
    ratio = time.best / took.best
    scores = [s for o, s in zip(seen, found.scores, strict=True) if o.stage == index]
    off = max((abs(s) for s in scores), default=0.0)
    doubt = math.exp(USUAL_SD * off) if off > CONTRADICTION else 1.0
    low = min(time.low, took.low * ratio, time.best / doubt)
    high = None if time.high is None else max(time.high, took.high * ratio, time.best * doubt)
    return Band(low, time.best, high)


def contradictions(
    found: Anchor | None, tested: Staged | None, seen: Sequence[Observation]
) -> tuple[Notice, ...]:
    """Times noted that do not fit together, each at its step with what would fit."""
    if found is None or tested is None:
        return ()
    off = [o for o, s in zip(seen, found.scores, strict=True) if abs(s) > CONTRADICTION]
    if not off:
        return ()
    run = staged_rise(tested.stages, found.multipliers, samples=2)
    return tuple(
        Notice.of(
            "took-contradicts",
            "process",
            tested.steps[o.stage].position,
            noted=o.value,
            fitting=run.stages[o.stage].end,
        )
        for o in off
    )
