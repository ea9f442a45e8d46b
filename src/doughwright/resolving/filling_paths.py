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
from doughwright.engine.fermentation import parameters
from doughwright.engine.formula import SolvedFormula
from doughwright.engine.properties import constants
from doughwright.engine.thermal import conductivity, density, specific_heat
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.oven_pieces import composition_of, filling_of
from doughwright.resolving.process import Slot, slots
from doughwright.resolving.settling import Settled
from doughwright.units import Kelvin, Second

EVERY: Second = 60.0
"""A point of a path at least so often."""

PUTS_ON = frozenset({"fill", "top", "glaze"})
"""Steps that put a filling, a topping or a glaze into or onto the pieces."""


def food_constant(name: str) -> float:
    """What is assumed of foods outside the dough (``properties/foods.tsv``).

    >>> food_constant("follows_dough")
    1200.0
    """
    return constants("foods")[name].value


@dataclass(frozen=True, slots=True)
class PathPart:
    """What happens to a food in one step; times in s from the plan's first step, K.

    ``air`` is what it stands in; None in the oven and on the stove.
    """

    position: int | None
    verb: str
    times: tuple[Second, ...]
    temperatures: tuple[Kelvin, ...]
    air: Kelvin | None = None


def filling_until_oven(
    formula: SolvedFormula, kitchen: Kitchen, settled: Settled, laid: Sequence[Slot], name: str
) -> tuple[PathPart, ...]:
    """A filling, topping or glaze from its making until the oven; nothing if it is not used.

    What is put on once the pieces are in the oven or out of it ends where it is put on.
    """
    made = next((s for s in laid if _makes(s.timed.step, name)), None)
    used = next((s for s in laid if _uses(s.timed.step, name)), None)
    if used is None:
        return ()
    parts = list(_in_bowl(formula, kitchen, name, made, used))
    now = parts[-1].temperatures[-1]
    parts.append(
        PathPart(
            used.timed.position,
            used.timed.step.verb,
            (used.start, used.end),
            (now, now),
            kitchen.room,
        )
    )
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
    return step.verb in PUTS_ON and step.of == name


def _in_bowl(
    formula: SolvedFormula, kitchen: Kitchen, name: str, made: Slot | None, used: Slot
) -> Iterator[PathPart]:
    """While it is made, at the room's temperature or on the stove; then where it is kept."""
    cooked = made is not None and made.timed.step.verb == "cook"
    begin = food_constant("off_the_stove") if cooked else kitchen.room
    start = made.start if made is not None else used.start
    end = made.end if made is not None else used.start
    if made is not None:
        verb = made.timed.step.verb
        around = None if cooked else kitchen.room
        yield PathPart(made.timed.position, verb, (start, end), (begin, begin), around)
    keep = str(made.timed.step.keep or "room") if made is not None else "room"
    air = kitchen.temperature_of(keep)
    constant = bowl_constant(formula, name, fan=keep in {"fridge", "freezer"})
    times = clock(end, used.start)
    temperatures = tuple(approached_temperature(begin, air, t - end, constant) for t in times)
    position = made.timed.position if made is not None else None
    yield PathPart(position, f"kept:{keep}", times, temperatures, air)


def bowl_constant(formula: SolvedFormula, name: str, *, fan: bool = False) -> Second:
    """Time in which a preparation in a covered bowl comes 63 % of the way to the air."""
    mix, mass = composition_of(formula, name), formula.named(name).mass
    warm = 293.15
    radius = sphere_radius(mass / density(mix, warm))
    surface = 4.0 * math.pi * radius**2 * food_constant("bowl_surface")
    inner = inner_resistance(radius, conductivity(mix, warm))
    p = parameters()
    film = p["surface_fan_fridge" if fan else "surface_still_air"]
    transfer = heat_transfer(surface, film, p["cover_resistance"], inner)
    return time_constant(mass, specific_heat(mix, warm), transfer)


def _within(slot: Slot, settled: Settled, kitchen: Kitchen, now: Kelvin) -> PathPart:
    """Filling in a piece: it follows the dough around it."""
    rise = next((r for r in settled.rises if r.position == slot.timed.position), None)
    times = clock(slot.start, slot.end)
    if rise is not None:
        around = [_between(t - slot.start, rise.times, rise.temperatures) for t in times]
    else:
        around = [place_of(slot.timed.step, kitchen)] * len(times)
    course, constant = [now], food_constant("follows_dough")
    for before, after, air in zip(times, times[1:], around[1:], strict=False):
        course.append(approached_temperature(course[-1], air, after - before, constant))
    step = slot.timed.step
    return PathPart(slot.timed.position, step.verb, times, tuple(course), place_of(step, kitchen))


def place_of(step: Step, kitchen: Kitchen) -> Kelvin:
    """The air a step happens in: where it says, else the room, or the fridge to retard."""
    if isinstance(step.at, Quantity):
        return step.at.best
    if step.at is None:
        return kitchen.fridge if step.verb == "retard" else kitchen.room
    return kitchen.temperature_of(step.at)


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
