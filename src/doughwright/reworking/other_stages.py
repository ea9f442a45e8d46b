"""What the yeast for one stage does to the others: they go by the same yeast."""

from collections.abc import Iterable, Iterator

from doughwright.documents.names import numbered
from doughwright.engine.batch import For
from doughwright.engine.kitchens import Band
from doughwright.errors import Notice
from doughwright.resolving.yeast import Asked, Dosed
from doughwright.reworking.rework import rising_steps
from doughwright.units import Ratio

OTHERWISE: Ratio = 0.1
"""How far another stage's time is off before a baker would plan the day otherwise."""


def other_stages(asked: Asked, found: Dosed, names: Iterable[str]) -> Iterator[Notice]:
    """Say how long the other stages take with the new yeast of some preparations.

    What goes by the clock takes as long as it did, and is not as ready: that is for its cue.
    """
    staged = found.asked.found
    raised = {*rising_steps(found.formula.document, names)} - {found.asked.position}
    labels = numbered([f"{timed.step.verb} {timed.step.of}" for timed in staged.steps])
    before = {rise.position: rise.time for rise in asked.now.rises}
    after = {rise.position: rise.time for rise in found.then.rises}
    for timed, label, stage in zip(staged.steps, labels, staged.stages, strict=True):
        where = timed.position
        if where in raised and where in after and not isinstance(stage.goal, For):
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
