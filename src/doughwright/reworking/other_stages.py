"""What the yeast and the place for one stage do to the others: they are planned anew."""

from collections.abc import Iterator

from doughwright.documents.names import numbered
from doughwright.engine.batch import For
from doughwright.engine.kitchens import Band
from doughwright.errors import Notice
from doughwright.resolving.settling import Settled
from doughwright.resolving.yeast import Dosed
from doughwright.units import Ratio

OTHERWISE: Ratio = 0.1
"""How far another stage's time is off before a baker would plan the day otherwise."""


def other_stages(found: Dosed, was: Settled, now: Settled) -> Iterator[Notice]:
    """Say how long the other stages take in the plan of what is written, and took in that before.

    ``was`` is the author's formula as planned, where it stood; ``now`` the new one. What goes
    by the clock takes as long as it did, and is not as ready: that is for its cue.
    """
    staged = found.asked.found
    labels = numbered([f"{timed.step.verb} {timed.step.of}" for timed in staged.steps])
    before = {rise.position: rise.time for rise in was.rises}
    after = {rise.position: rise.time for rise in now.rises}
    for timed, label, stage in zip(staged.steps, labels, staged.stages, strict=True):
        where = timed.position
        other = where != found.asked.position and where in after
        if other and not isinstance(stage.goal, For):
            yield from _otherwise(where, label, before.get(where), after[where])


def _otherwise(where: int, label: str, was: Band | None, time: Band | None) -> Iterator[Notice]:
    values = {"step": label, "was": was.best if was is not None else None}
    if was is None:
        return
    if time is None:
        yield Notice.of("other-stage-never", "process", where, **values)
    elif abs(time.best / was.best - 1) > OTHERWISE:
        values |= {"best": time.best, "low": time.low}
        if time.high is None:
            yield Notice.of("other-stage-if-ever", "process", where, **values)
        else:
            yield Notice.of("other-stage-too", "process", where, **values, high=time.high)
