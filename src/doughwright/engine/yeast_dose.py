"""How much yeast brings a stage to its goal in a wished time."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from doughwright.engine.batch import Mix, Multipliers, Stage, whole_doughs
from doughwright.engine.fermentation import FERMENTATION
from doughwright.engine.rise import staged_rise
from doughwright.errors import ImpossibleInput, Notice
from doughwright.units import Kilogram, Ratio, Second

HALVINGS = 26
"""Of the logarithm of the allowed range: to a few parts in ten million."""


@dataclass(frozen=True, slots=True)
class YeastDose:
    """``factor`` on every yeast of the formula, the yeast then in the stage, and its time."""

    factor: Ratio
    yeast: Kilogram
    time: Second


def yeast_for_time(
    stages: Sequence[Stage], number: int, wanted: Second, centre: Multipliers | None = None
) -> YeastDose:
    """Yeast (fresh equivalent) with which stage ``number`` is ready after ``wanted`` seconds.

    All yeast in the formula is scaled together, within the range the model has been checked in.

    Raises
    ------
    ImpossibleInput
        No amount within that range gives the time; the message says what it does give.

    Examples
    --------
    A dough that is to double in 3.43 h at 25 °C needs 1 % (table of times to double).

    >>> from doughwright.engine.batch import Mix, Relative, kept_at
    >>> from doughwright.engine.dough import Dough
    >>> dough = Mix(Dough(flour=1.0, water=0.63, yeast=0.02, salt=0.02), 298.15)
    >>> stage = Stage("ferment", Relative(2.0), kept_at(298.15), dough)
    >>> round(yeast_for_time([stage], 0, 3.43 * 3600.0).yeast, 3)
    0.01
    """
    dough = whole_doughs(stages)[number]
    allowed = FERMENTATION.inputs["fresh_yeast"]
    present = dough.yeast / dough.flour
    low, high = allowed.low / present, allowed.high / present

    def time(factor: Ratio) -> Second:
        return _ready_time(with_yeast(stages[: number + 1], factor), centre)

    longest, shortest = time(low), time(high)
    if not shortest <= wanted <= longest:
        limit = stages[number].limit
        raise ImpossibleInput([_out_of_reach(wanted, shortest, min(longest, limit), number)])
    for _ in range(HALVINGS):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if time(middle) > wanted else (low, middle)
    return YeastDose(high, high * dough.yeast, time(high))


def with_yeast(stages: Sequence[Stage], factor: Ratio) -> list[Stage]:
    """The same stages with so many times the yeast in everything that is mixed.

    Examples
    --------
    >>> from doughwright.engine.batch import Mix, Ripe, kept_at
    >>> from doughwright.engine.dough import Dough
    >>> sponge = Stage("ferment", Ripe(), kept_at(298.15), Mix(Dough(1.0, 0.6, 0.01), 298.15))
    >>> with_yeast([sponge], 1.5)[0].mix.dough.yeast
    0.015
    """
    return [stage if stage.mix is None else _scaled(stage, stage.mix, factor) for stage in stages]


def _scaled(stage: Stage, mix: Mix, factor: Ratio) -> Stage:
    dough = replace(mix.dough, yeast=mix.dough.yeast * factor)
    return replace(stage, mix=replace(mix, dough=dough))


def _ready_time(stages: Sequence[Stage], centre: Multipliers | None) -> Second:
    run = staged_rise(stages, centre, samples=2).stages[-1]
    return math.inf if run.ready is None else run.ready


def _out_of_reach(wanted: Second, shortest: Second, longest: Second, number: int) -> Notice:
    allowed = FERMENTATION.inputs["fresh_yeast"]
    return Notice.of(
        "yeast-cannot-give-time",
        number,
        least=allowed.low,
        most=allowed.high,
        wanted=wanted,
        shortest=shortest,
        longest=longest,
    )
