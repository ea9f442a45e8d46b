"""How much yeast brings a stage to its goal in a wished time."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from doughwright.engine.batch import Multipliers, Stage, whole_doughs
from doughwright.engine.fermentation import FERMENTATION
from doughwright.engine.rise import member_runs
from doughwright.errors import ImpossibleInput, Notice
from doughwright.units import Kilogram, Ratio, Second

if TYPE_CHECKING:
    import numpy as np

GRID = 25
ROUNDS = 3


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
    import numpy as np  # noqa: PLC0415 - the module must import fast

    dough = whole_doughs(stages)[number]
    allowed = FERMENTATION.inputs["fresh_yeast"]
    present = dough.yeast / dough.flour
    low, high = allowed.low / present, allowed.high / present
    for _ in range(ROUNDS):
        factors = np.geomspace(low, high, GRID)
        times = _times(stages, number, factors, centre or Multipliers())
        quick = np.flatnonzero(times <= wanted)
        if len(quick) == 0 or quick[0] == 0:
            raise ImpossibleInput([_out_of_reach(wanted, times, number)])
        low, high = factors[quick[0] - 1], factors[quick[0]]
    slow, fast = times[quick[0] - 1], times[quick[0]]
    share = (np.log(slow / wanted) / np.log(slow / fast)) if np.isfinite(slow) else 1.0
    factor = float(low * (high / low) ** share)
    return YeastDose(factor, factor * dough.yeast, wanted if np.isfinite(slow) else float(fast))


def _times(
    stages: Sequence[Stage], number: int, factors: "np.ndarray[Any, Any]", centre: Multipliers
) -> "np.ndarray[Any, Any]":
    import numpy as np  # noqa: PLC0415

    from doughwright.engine.records import MEMBER, READY  # noqa: PLC0415

    rows = np.zeros(len(factors), dtype=MEMBER)
    for name in MEMBER.names or ():
        rows[name] = getattr(centre, name)
    rows["yeast"] *= factors
    timed = [replace(stage, window=False) for stage in stages[: number + 1]]
    outcomes = member_runs(timed, rows)[0][:, number]
    return np.where(outcomes["reason"] == READY, outcomes["end"], np.inf)


def _out_of_reach(wanted: Second, times: "np.ndarray[Any, Any]", number: int) -> Notice:
    allowed = FERMENTATION.inputs["fresh_yeast"]
    return Notice.of(
        "yeast-cannot-give-time",
        number,
        least=allowed.low,
        most=allowed.high,
        wanted=wanted,
        shortest=float(times.min()),
        longest=float(times.max()),
    )
