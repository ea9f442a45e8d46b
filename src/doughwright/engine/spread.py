"""The middle of what several sources say, and which of them stands apart.

The middle is the median: one misprint, however gross, does not move it far. A source stands
apart where its modified Z-score, its distance from the middle in median distances, is beyond
3.5 (Iglewicz and Hoaglin 1993); of fewer than three sources none does.
"""

from collections.abc import Sequence
from statistics import median
from typing import Literal

from doughwright.engine.properties import constants
from doughwright.units import Ratio

FEWEST = 3
"""Of two that differ nobody can say which one is off."""

Quality = Literal["ratio", "time", "temperature"]
"""What is compared; temperatures have no share of themselves that would mean anything."""


def middle(values: Sequence[float]) -> float:
    """The median of what some sources say.

    >>> middle([0.018, 0.02, 0.2])  # three salts, one of them with its point slipped
    0.02
    """
    return float(median(values))


def apart(values: Sequence[float], quality: Quality = "ratio") -> tuple[int, ...]:
    """Which values stand apart from the rest, by their positions.

    >>> apart([0.018, 0.02, 0.2]), apart([0.018, 0.02]), apart([0.018, 0.02, 0.022])
    ((2,), (), ())
    """
    if len(values) < FEWEST:
        return ()
    middling = middle(values)
    distances = [abs(value - middling) for value in values]
    usual = max(middle(distances), _floor(middling, quality))
    factor, most = _constant("score_factor"), _constant("outlying_score")
    return tuple(i for i, off in enumerate(distances) if factor * off / usual > most)


def _floor(middling: float, quality: Quality) -> float:
    """The least median distance that is reckoned with."""
    share: Ratio = 0.0 if quality == "temperature" else _constant("floor_share")
    return max(_constant(f"floor_{quality}"), share * middling)


def _constant(name: str) -> float:
    return constants("spread")[name].value
