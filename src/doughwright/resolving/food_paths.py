"""How warm each perishable thing is, from the bowl to the cooling rack, on the plan's own clock.

A filling stands where it is kept, is put into pieces, follows them through the proof, bakes,
and cools with them. A dough of milk and egg follows its own rises. Nothing is assumed to be
cold that the plan does not keep cold.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from doughwright.documents.formula import Step
from doughwright.engine.bake_fields import seen_at
from doughwright.engine.cooling import approached_temperature
from doughwright.engine.formula import SolvedFormula, SolvedPreparation
from doughwright.resolving.bakes import BakeHere
from doughwright.resolving.filling_paths import (
    PUTS_ON,
    PathPart,
    clock,
    filling_until_oven,
    food_constant,
    place_of,
)
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.oven_courses import dial_of
from doughwright.resolving.planning import Planned
from doughwright.resolving.process import Slot
from doughwright.resolving.settling import Settled
from doughwright.units import Kelvin, Second

SPOILING = frozenset({"egg", "dairy", "cheese", "meat", "vegetable"})


When = Literal["before", "in", "after"]


@dataclass(frozen=True, slots=True)
class FoodPath:
    """One food's way; ``holds`` says what in it spoils.

    ``put_on`` says when it meets the dough: before the oven, in it, or after it. ``early`` is
    when the bake may be over at the earliest, by its band; None where nothing is baked.
    """

    name: str
    kind: str
    holds: frozenset[str]
    parts: tuple[PathPart, ...]
    put_on: When = "before"
    early: Second | None = None


def spoiling(formula: SolvedFormula, name: str) -> frozenset[str]:
    """What in a preparation spoils, by kind, what it takes of others included.

    Meat and fish stand in the table as ``other``: nothing else of that kind spoils.
    """
    p = formula.named(name)
    own = {
        "meat" if line.ingredient.kind == "other" else line.ingredient.kind
        for line in p.preparation.lines
        if line.ingredient.perishable
    }
    taken = [spoiling(formula, other) for other, mass in p.taken.items() if mass]
    return frozenset(own.union(*taken)) & SPOILING


def food_paths(here: Planned) -> tuple[FoodPath, ...]:
    """The way of every filling, topping and glaze and of the dough, if something in it spoils."""
    found = [
        _put_on_path(here, p)
        for p in here.formula.solution.preparations
        if p.preparation.kind in {"filling", "topping", "glaze"}
    ]
    found.append(_dough_path(here, here.formula.solution.final))
    return tuple(path for path in found if path.holds and path.parts)


def _dough_path(here: Planned, name: str) -> FoodPath:
    """The dough from its mixing to the oven."""
    settled, baked = here.settled, here.baked
    slots = [s for s in here.laid if s.timed.step.of == name and s.timed.step.verb != "make"]
    before = [s for s in slots if s.timed.step.verb not in {"bake", "cool"}]
    mix = settled.mixed.get(name)
    now = mix.temperature if mix is not None else here.kitchen.room
    parts = []
    for slot in before:
        part, now = _rising(slot, settled, here.kitchen, now)
        parts.append(part)
    if baked is not None:
        parts.extend(_baking(baked, here.laid, "dough"))
    holds = spoiling(here.formula.solution, name)
    return FoodPath(name, "dough", holds, tuple(parts), early=_early(here))


def _rising(slot: Slot, settled: Settled, kitchen: Kitchen, now: Kelvin) -> tuple[PathPart, Kelvin]:
    """A dough through one step: along its rise, or as warm as it was."""
    rise = next((r for r in settled.rises if r.position == slot.timed.position), None)
    times: tuple[Second, ...] = (slot.start, slot.end)
    course: tuple[Kelvin, ...] = (now, now)
    if rise is not None:
        times = tuple(slot.start + t for t in rise.times)
        course = rise.temperatures
    step = slot.timed.step
    part = PathPart(slot.timed.position, step.verb, times, course, place_of(step, kitchen))
    return part, course[-1]


def _put_on_path(here: Planned, p: SolvedPreparation) -> FoodPath:
    """What is put into or onto the pieces: from its bowl through the oven to the rack."""
    solution, kind = here.formula.solution, p.preparation.kind
    parts = list(filling_until_oven(solution, here.kitchen, here.settled, here.laid, p.name))
    put_on, early = _put_on(here, p.name), None
    if parts and put_on == "before" and here.baked is not None:
        parts.extend(_baking(here.baked, here.laid, "surface" if kind == "glaze" else "filling"))
        early = _early(here)
    elif parts and put_on == "in":
        parts.extend(_last_minutes(here, p.name, parts[-1].temperatures[-1]))
    return FoodPath(p.name, kind, spoiling(solution, p.name), tuple(parts), put_on, early)


def _put_on(here: Planned, name: str) -> When:
    """Whether a preparation meets the dough before the oven, between two bakes, or after it."""
    process = here.formula.document.process
    used = next((i for i, s in enumerate(process) if s.verb in PUTS_ON and s.of == name), None)
    bakes = [i for i, s in enumerate(process) if s.verb == "bake"]
    if used is None or not bakes or used < bakes[0]:
        return "before"
    return "in" if used < bakes[-1] else "after"


def _last_minutes(here: Planned, name: str, start: Kelvin) -> Iterator[PathPart]:
    """What is put on between two bakes, in the air of the second, no hotter than water boils."""
    laid, used = here.laid, False
    for slot in laid:
        step = slot.timed.step
        used = used or (step.verb in PUTS_ON and step.of == name)
        if not used or step.verb != "bake":
            continue
        air = _oven_air(here, step)
        constant, most = food_constant("egg_on_top"), food_constant("off_the_stove")
        times = clock(slot.start, slot.end)
        course = (approached_temperature(start, air, t - times[0], constant) for t in times)
        yield PathPart(slot.timed.position, "bake", times, tuple(min(most, x) for x in course))
        return


def _oven_air(here: Planned, step: Step) -> Kelvin:
    """The air of the oven in a step that bakes; that of the first bake where it says none."""
    setting = step.oven
    if setting is None:
        return here.baked.course.oven.first if here.baked is not None else here.kitchen.room
    return dial_of(setting, here.kitchen.oven.kind).temperature


def _early(here: Planned) -> Second | None:
    """When the bake may be over at the earliest."""
    baked = here.baked
    slot = _bake_slot(baked, here.laid) if baked is not None else None
    if baked is None or slot is None or baked.times.time is None:
        return None
    return slot.start + baked.times.time.low


def _bake_slot(baked: BakeHere, laid: Sequence[Slot]) -> Slot | None:
    return next((s for s in laid if s.timed.position == baked.setting.position), None)


def _baking(baked: BakeHere, laid: Sequence[Slot], what: str) -> Iterator[PathPart]:
    """The coldest spot of the dough or the filling in the oven, or the surface; then the rack."""
    slot = _bake_slot(baked, laid)
    if slot is None or baked.times.time is None:
        return
    length = baked.times.time.best
    moments = clock(0.0, length)
    seen = [seen_at(baked.times.run, t) for t in moments]
    course = tuple({"filling": s.filling, "surface": s.surface}.get(what, s.coldest) for s in seen)
    times = tuple(slot.start + t for t in moments)
    yield PathPart(slot.timed.position, "bake", times, course)
    constant = rack_constant(baked)
    after = clock(times[-1], times[-1] + food_constant("followed_after"))
    room = baked.kitchen.room
    start = min(max(course[-1], seen[-1].mean), food_constant("off_the_stove"))
    cooled = tuple(approached_temperature(start, room, t - times[-1], constant) for t in after)
    rack = next((s.timed.position for s in laid if s.timed.step.verb == "cool"), None)
    yield PathPart(rack, "cool", after, cooled, room)


def rack_constant(baked: BakeHere) -> Second:
    """In which a baked piece comes 63 % of the way to the air around it."""
    return food_constant("rack") * math.cbrt(baked.piece.whole_mass / 0.1)
