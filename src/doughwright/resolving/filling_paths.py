"""How warm a filling is, from its bowl into the pieces and to the oven, on the plan's clock."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from doughwright.documents.formula import PASSIVE, Step
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
from doughwright.units import Kelvin, KelvinDifference, Second

EVERY: Second = 60.0
"""A point of a path at least so often."""

MAKES = frozenset({"make", "cook", "mix", "soak"})
"""Steps that begin a preparation, and take in those it is made of."""

COLD_PLACE: KelvinDifference = 8.0
"""Air this much colder than the room is that of a fridge, which a fan moves (assumption)."""

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
    used = next((s for s in laid if puts_on(s.timed.step, name)), None)
    if used is None:
        return ()
    parts = list(made_parts(formula, kitchen, settled, laid, name))
    now = parts[-1].temperatures[-1] if parts else kitchen.room
    during = used.start, used.end
    step = used.timed.step
    parts.append(PathPart(used.timed.position, step.verb, during, (now, now), kitchen.room))
    bakes = [s.start for s in laid if s.timed.step.verb == "bake"]
    if not bakes or used.start > bakes[0]:
        return tuple(parts)
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


def puts_on(step: Step, name: str) -> bool:
    """Whether a step puts a preparation into or onto the pieces."""
    return step.verb in PUTS_ON and step.of == name


def taken_at(
    formula: SolvedFormula, laid: Sequence[Slot], name: str, taker: str | None = None
) -> Slot | None:
    """The step in which a preparation goes into ``taker``, or into or onto the pieces.

    A taker that is made in no step of its own takes in what it is made of where it is used.
    """
    if taker is None:
        return next((s for s in laid if puts_on(s.timed.step, name)), None)
    made = (s for s in laid if s.timed.step.of == taker and s.timed.step.verb in MAKES)
    first = min(made, key=lambda slot: slot.start, default=None)
    if first is not None:
        return first
    next_one = next((p.name for p in formula.preparations if p.taken.get(taker)), None)
    return taken_at(formula, laid, taker, next_one)


def made_parts(
    formula: SolvedFormula,
    kitchen: Kitchen,
    settled: Settled,
    laid: Sequence[Slot],
    name: str,
    taker: str | None = None,
) -> Iterator[PathPart]:
    """A preparation from its making until ``taker`` takes it, or until it is put on."""
    used = taken_at(formula, laid, name, taker)
    own = [s for s in laid if s.timed.step.of == name and s.timed.step.verb not in PUTS_ON]
    own = [s for s in own if used is None or s.start < used.start - 1.0]
    end = used.start if used is not None else max((s.end for s in own), default=0.0)
    now, keep, here = _begins(formula, kitchen, settled, laid, name), "room", None
    for i, slot in enumerate(own):
        part = _made(formula, kitchen, settled, slot, now)
        yield part
        now, here = part.temperatures[-1], slot.timed.position
        keep = str(slot.timed.step.keep or keep)
        until = own[i + 1].start if i + 1 < len(own) else end
        if until > slot.end + 1.0 or i + 1 == len(own):
            kept = _kept(formula, kitchen, name, keep, (slot.end, max(until, slot.end)), now)
            yield replace(kept, position=here)
            now = kept.temperatures[-1]
    if not own and used is not None:
        yield _kept(formula, kitchen, name, keep, (end, end), now)


def _begins(
    formula: SolvedFormula, kitchen: Kitchen, settled: Settled, laid: Sequence[Slot], name: str
) -> Kelvin:
    """How warm a preparation is when it is made: as mixed, or its parts by their weight."""
    mix = settled.mixed.get(name)
    if mix is not None:
        return mix.temperature
    p = formula.named(name)
    warm, whole = sum(p.masses) * kitchen.room, sum(p.masses)
    for other, mass in p.taken.items():
        if not mass:
            continue
        parts = list(made_parts(formula, kitchen, settled, laid, other, name))
        warm += mass * (parts[-1].temperatures[-1] if parts else kitchen.room)
        whole += mass
    return warm / whole if whole else kitchen.room


def _made(
    formula: SolvedFormula, kitchen: Kitchen, settled: Settled, slot: Slot, now: Kelvin
) -> PathPart:
    """One step of a preparation of its own: on the stove, rising, or standing in its place."""
    step, position = slot.timed.step, slot.timed.position
    during: tuple[Second, ...] = (slot.start, slot.end)
    if step.verb == "cook":
        hot = food_constant("off_the_stove")
        return PathPart(position, step.verb, during, (hot, hot))
    rise = next((r for r in settled.rises if r.position == position), None)
    if rise is not None:
        times = tuple(slot.start + t for t in rise.times)
        return PathPart(position, step.verb, times, rise.temperatures, place_of(step, kitchen))
    if step.verb in PASSIVE:
        return replace(
            _kept(
                formula,
                kitchen,
                step.of,
                None,
                (slot.start, slot.end),
                now,
                place_of(step, kitchen),
            ),
            position=position,
            verb=step.verb,
        )
    return PathPart(position, step.verb, during, (now, now), kitchen.room)


def _kept(
    formula: SolvedFormula,
    kitchen: Kitchen,
    name: str,
    keep: str | None,
    during: tuple[Second, Second],
    now: Kelvin,
    air: Kelvin | None = None,
) -> PathPart:
    """A preparation in its covered bowl, nearing the air of where it is kept."""
    around = air if air is not None else kitchen.temperature_of(keep or "room")
    constant = bowl_constant(formula, name, fan=around < kitchen.room - COLD_PLACE)
    times = clock(*during)
    course = tuple(approached_temperature(now, around, t - times[0], constant) for t in times)
    return PathPart(None, f"kept:{keep}", times, course, around)


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
