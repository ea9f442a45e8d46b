"""A levain's times: the baker's own, moved by temperature alone.

No model of a levain's many strains stands behind this: it takes the answer of bakers' yeast
to temperature (its cardinal curve) for theirs, and says so.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from doughwright.engine.fermentation import cardinal_factor, parameters
from doughwright.resolving.mixes import Mix
from doughwright.resolving.process import Lasting, TimedStep
from doughwright.resolving.resting import temperature_after
from doughwright.units import Kelvin, Ratio

GIVE: Ratio = 1.4
"""A moved time of a levain may be this many times shorter or longer (assumption)."""


def moved_by_temperature(
    steps: Sequence[TimedStep],
    mixed: Mapping[str, Mix],
    tested: Sequence[TimedStep],
    tested_mixed: Mapping[str, Mix],
) -> tuple[TimedStep, ...]:
    """Move each time noted by the ratio of the rates at the two mean dough temperatures."""
    by_position = {t.position: t for t in tested}
    return tuple(
        _moved(t, mixed, by_position[t.position], tested_mixed) if _moves(t) else t for t in steps
    )


def _moves(timed: TimedStep) -> bool:
    return timed.step.verb in {"ferment", "proof", "retard"} and timed.lasts.kind == "tested"


def _moved(
    timed: TimedStep, mixed: Mapping[str, Mix], tested: TimedStep, tested_mixed: Mapping[str, Mix]
) -> TimedStep:
    here, there = _rate(timed, mixed), _rate(tested, tested_mixed)
    if not here or not there:
        return timed
    factor = there / here
    low, best, high = timed.lasts.low, timed.lasts.best, timed.lasts.high
    moved = Lasting(low * factor / GIVE, best * factor, high * factor * GIVE, "moved")
    return replace(timed, lasts=moved)


def _rate(timed: TimedStep, mixed: Mapping[str, Mix]) -> Ratio:
    """Rate of gassing at the middle of the step, against the optimum."""
    p = parameters()
    middle = _middle(timed, mixed)
    return cardinal_factor(middle, p["gas_minimum"], p["gas_optimum"], p["gas_maximum"])


def _middle(timed: TimedStep, mixed: Mapping[str, Mix]) -> Kelvin:
    mix = mixed.get(timed.step.of)
    room = timed.place or 294.15
    if mix is None:
        return room
    half = replace(timed.lasts, best=timed.lasts.best / 2)
    return temperature_after(mix.mixed, mix.mixed.mass, [replace(timed, lasts=half)], room)
