"""How warm a filling is, from its bowl into the pieces and to the oven, on the plan's clock."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from doughwright.documents.formula import Step
from doughwright.documents.quantities import Quantity
from doughwright.engine.cooling import (
    approached_temperature,
    heat_transfer,
    inner_resistance,
    sphere_radius,
    time_constant,
)
from doughwright.engine.formula import SolvedFormula
from doughwright.engine.thermal import conductivity, density, specific_heat
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.oven_pieces import composition_of, filling_of
from doughwright.resolving.process import Slot, slots
from doughwright.resolving.settling import Settled
from doughwright.units import Kelvin, Ratio, Second

EVERY: Second = 60.0
"""A point of a path at least so often."""

OPEN_SURFACE = 8.0
FAN_SURFACE = 15.0
"""Still air and a fridge's fan, W/(m2 K) (as for doughs)."""

COVER = 0.05
"""A lid or film, m2 K/W (as for doughs)."""

SURFACE_OVER_SPHERE: Ratio = 1.2
"""A bowl's surface over that of a sphere (assumption)."""

BOILING: Kelvin = 368.15
"""What comes off the stove, about 95 °C (assumption)."""

IN_PIECE: Second = 1200.0
"""In which filling follows the dough around it (assumption: 2 cm of food)."""


@dataclass(frozen=True, slots=True)
class PathPart:
    """What happens to a food in one step; times in s from the plan's first step, K."""

    position: int | None
    verb: str
    times: tuple[Second, ...]
    temperatures: tuple[Kelvin, ...]


def filling_until_oven(
    formula: SolvedFormula, kitchen: Kitchen, settled: Settled, laid: Sequence[Slot], name: str
) -> tuple[PathPart, ...]:
    """A filling from its making until the pieces go into the oven; nothing if it is not used."""
    made = next((s for s in laid if _makes(s.timed.step, name)), None)
    used = next((s for s in laid if _uses(s.timed.step, name)), None)
    if used is None:
        return ()
    parts = list(_in_bowl(formula, kitchen, name, made, used))
    now = parts[-1].temperatures[-1]
    parts.append(PathPart(used.timed.position, "fill", (used.start, used.end), (now, now)))
    for slot in laid:
        verb, mine = slot.timed.step.verb, slot.timed.step.of == formula.final
        if mine and slot.start >= used.end - 1.0 and verb not in {"bake", "cool"}:
            part = _within(slot, settled, kitchen, now)
            parts.append(part)
            now = part.temperatures[-1]
    return tuple(parts)


def filling_at_oven(
    formula: ResolvedFormula, kitchen: Kitchen, settled: Settled, position: int
) -> Kelvin:
    """How warm the filling goes into the oven, by where it stood and how long, in K.

    ``position`` is the step that bakes; what has no filling is as warm as the room.
    """
    name = filling_of(formula, position)
    if name is None:
        return kitchen.room
    laid = slots(settled.steps)
    path = filling_until_oven(formula.solution, kitchen, settled, laid, name)
    return path[-1].temperatures[-1] if path else kitchen.room


def _makes(step: Step, name: str) -> bool:
    return step.verb in {"make", "cook", "mix"} and step.of == name


def _uses(step: Step, name: str) -> bool:
    return step.verb in {"fill", "top"} and step.of == name


def _in_bowl(
    formula: SolvedFormula, kitchen: Kitchen, name: str, made: Slot | None, used: Slot
) -> Iterator[PathPart]:
    """While it is made, at the room's temperature or on the stove; then where it is kept."""
    cooked = made is not None and made.timed.step.verb == "cook"
    begin = BOILING if cooked else kitchen.room
    start = made.start if made is not None else used.start
    end = made.end if made is not None else used.start
    if made is not None:
        verb = made.timed.step.verb
        yield PathPart(made.timed.position, verb, (start, end), (begin, begin))
    keep = str(made.timed.step.keep or "room") if made is not None else "room"
    air = kitchen.temperature_of(keep)
    constant = bowl_constant(formula, name, fan=keep in {"fridge", "freezer"})
    times = clock(end, used.start)
    temperatures = tuple(approached_temperature(begin, air, t - end, constant) for t in times)
    position = made.timed.position if made is not None else None
    yield PathPart(position, f"kept:{keep}", times, temperatures)


def bowl_constant(formula: SolvedFormula, name: str, *, fan: bool = False) -> Second:
    """Time in which a preparation in a covered bowl comes 63 % of the way to the air."""
    mix, mass = composition_of(formula, name), formula.named(name).mass
    warm = 293.15
    radius = sphere_radius(mass / density(mix, warm))
    surface = 4.0 * math.pi * radius**2 * SURFACE_OVER_SPHERE
    inner = inner_resistance(radius, conductivity(mix, warm))
    film = FAN_SURFACE if fan else OPEN_SURFACE
    return time_constant(mass, specific_heat(mix, warm), heat_transfer(surface, film, COVER, inner))


def _within(slot: Slot, settled: Settled, kitchen: Kitchen, now: Kelvin) -> PathPart:
    """Filling in a piece: it follows the dough around it."""
    rise = next((r for r in settled.rises if r.position == slot.timed.position), None)
    times = clock(slot.start, slot.end)
    if rise is not None:
        around = [_between(t - slot.start, rise.times, rise.temperatures) for t in times]
    else:
        around = [_place(slot.timed.step, kitchen)] * len(times)
    course = [now]
    for before, after, air in zip(times, times[1:], around[1:], strict=False):
        course.append(approached_temperature(course[-1], air, after - before, IN_PIECE))
    return PathPart(slot.timed.position, slot.timed.step.verb, times, tuple(course))


def _place(step: Step, kitchen: Kitchen) -> Kelvin:
    if isinstance(step.at, Quantity):
        return step.at.best
    return kitchen.temperature_of(step.at) if step.at is not None else kitchen.room


def _between(at: Second, times: Sequence[Second], values: Sequence[float]) -> float:
    """A value between points of a curve; its ends beyond them."""
    if at <= times[0]:
        return values[0]
    for (t0, v0), (t1, v1) in zip(
        zip(times, values, strict=True), zip(times[1:], values[1:], strict=True), strict=False
    ):
        if at <= t1:
            return v0 + (v1 - v0) * (at - t0) / (t1 - t0) if t1 > t0 else v1
    return values[-1]


def clock(start: Second, end: Second) -> tuple[Second, ...]:
    """Moments from start to end, a minute apart at most."""
    count = max(1, math.ceil((end - start) / EVERY))
    return tuple(start + (end - start) * i / count for i in range(count + 1))
