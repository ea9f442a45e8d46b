"""Weights as a scale can show them, that still add up.

Small lines go on the fine scale where there is one. The lines on the coarse scale are
rounded together by largest remainders, so that what is shown adds up to what is shown
as the sum.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from doughwright.units import Kilogram, Ratio

FINE_BELOW: Ratio = 0.025
"""A line goes on the fine scale when half a coarse step is more than this share of it."""

TOO_COARSE: Ratio = 0.05
"""A rounding error above this share of a line is worth saying."""


@dataclass(frozen=True, slots=True)
class Scale:
    """The smallest steps of the kitchen's scale and of a fine scale, if there is one."""

    reads: Kilogram
    fine: Kilogram | None = None


@dataclass(frozen=True, slots=True)
class Weight:
    """A weight to show: what the scale says, in which steps, and how far off that is."""

    shown: Kilogram
    step: Kilogram
    wanted: Kilogram

    @property
    def error(self) -> Ratio:
        """Relative error of the weight shown."""
        return self.shown / self.wanted - 1 if self.wanted else 0.0

    @property
    def too_coarse(self) -> bool:
        """Whether the scale cannot weigh this honestly."""
        return self.wanted > 0 and self.step / 2 > TOO_COARSE * self.wanted


def smallest_honest_weight(step: Kilogram, error: Ratio = TOO_COARSE) -> Kilogram:
    """Smallest mass a scale shows within a relative error.

    >>> smallest_honest_weight(0.001)  # 10 g on a 1 g scale for 5 %
    0.01
    """
    return step / 2 / error


def weights(masses: Sequence[Kilogram], scale: Scale) -> tuple[Weight, ...]:
    """Round masses to what the scales show, so that the shown weights add up.

    The sum of the shown weights differs from the true sum by at most half a coarse step.

    >>> [round(w.shown * 1000) for w in weights((0.46243, 0.32370, 0.00925, 0.00462), Scale(0.001))]
    [462, 324, 9, 5]
    """
    fine = [scale.fine is not None and scale.reads / 2 > FINE_BELOW * m for m in masses]
    shown = [
        nearest_weight(m, scale.fine or scale.reads) if f else 0.0
        for m, f in zip(masses, fine, strict=True)
    ]
    coarse = [i for i, f in enumerate(fine) if not f]
    left = sum(masses) - sum(shown)
    shared = _apportioned([masses[i] for i in coarse], left, scale.reads)
    for i, count in zip(coarse, shared, strict=True):
        shown[i] = count * scale.reads
    steps = [scale.fine if f and scale.fine else scale.reads for f in fine]
    return tuple(Weight(*row) for row in zip(shown, steps, masses, strict=True))


def nearest_weight(mass: Kilogram, step: Kilogram) -> Kilogram:
    """The weight a scale with such steps shows for a mass.

    >>> nearest_weight(0.1834, 0.001)  # 183 g on a 1 g scale
    0.183
    """
    return round(mass / step) * step


def _apportioned(masses: Sequence[Kilogram], total: Kilogram, step: Kilogram) -> list[int]:
    """Share out a rounded total in whole steps by largest remainders.

    No line is moved by a whole step or more from its true weight, unless so many
    fine-scale lines were rounded the same way that they shifted the total by a step.
    """
    if not masses:
        return []
    floors = [floor(m / step + 1e-9) for m in masses]
    missing = round(total / step) - sum(floors)
    by_remainder = sorted(
        range(len(masses)), key=lambda i: (floors[i] - masses[i] / step, -masses[i])
    )
    way = 1 if missing > 0 else -1
    turns = by_remainder[::way]
    for turn in range(abs(missing)):
        floors[turns[turn % len(turns)]] += way
    return floors


def stock_solution(
    mass: Kilogram, step: Kilogram, error: Ratio = TOO_COARSE
) -> tuple[Kilogram, Kilogram, Kilogram]:
    """How to weigh what a scale cannot: dissolve more of it and use a part.

    Returns the mass to dissolve, the water to dissolve it in, and the solution to use.
    Both weighings are within ``error``. What the used part holds beyond the wanted mass
    is water, and comes off the formula's liquid; the unused rest is thrown away.

    >>> [round(x * 1000, 1) for x in stock_solution(0.0003, 0.0001)]  # 0.3 g on a 0.1 g scale
    [1.0, 9.0, 3.0]
    """
    dissolved = smallest_honest_weight(step, error)
    strength = max(10, ceil(dissolved / mass))
    return dissolved, dissolved * (strength - 1), mass * strength
