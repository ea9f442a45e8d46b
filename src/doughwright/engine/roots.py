"""A root between two places, without loading a library of thousands."""

from collections.abc import Callable

from doughwright.errors import Notice, SolverFailure


def root(
    function: Callable[[float], float], low: float, high: float, tolerance: float = 1e-10
) -> float:
    """Root of a function that changes its sign between two places: false position, Illinois.

    ``tolerance`` is how near nought the function must come, or how near each other the places.

    >>> round(root(lambda x: x * x - 2.0, 0.0, 2.0), 9)
    1.414213562

    Raises
    ------
    SolverFailure
        If it does not change its sign, or is not found: a defect of the caller.
    """
    at_low, at_high = function(low), function(high)
    if at_low * at_high > 0.0:
        raise SolverFailure([Notice.of("root-not-found")])
    for _ in range(200):
        if abs(high - low) <= 1e-15 * abs(low):
            return low
        middle = (high * at_low - low * at_high) / (at_low - at_high)
        here = function(middle)
        if abs(here) <= tolerance:
            return middle
        if here * at_low < 0.0:
            high, at_high = low, at_low
        else:
            at_high *= 0.5
        low, at_low = middle, here
    raise SolverFailure([Notice.of("root-not-found")])
