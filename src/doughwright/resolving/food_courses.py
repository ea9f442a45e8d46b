"""How warm food is in the oven, on the rack, and on bread that comes from the oven."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from doughwright.documents.formula import Step
from doughwright.engine.bake_fields import seen_at
from doughwright.engine.cooling import approached_temperature
from doughwright.resolving.bakes import BakeHere
from doughwright.resolving.filling_paths import PathPart, clock, food_constant, place_of, puts_on
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.oven_courses import dial_of
from doughwright.resolving.planning import Planned
from doughwright.resolving.process import Slot
from doughwright.units import Kelvin, Second

STANDS = frozenset({"cool", "retard", "rest", "proof"})
"""Steps in which a bread stands somewhere."""


def last_minutes(here: Planned, name: str, start: Kelvin) -> Iterator[PathPart]:
    """What is put on between two bakes, in the air of the second, no hotter than water boils."""
    laid, used = here.laid, False
    for slot in laid:
        step = slot.timed.step
        used = used or puts_on(step, name)
        if not used or step.verb != "bake":
            continue
        air = _oven_air(here, step)
        constant, most = food_constant("egg_on_top"), food_constant("off_the_stove")
        times = clock(slot.start, slot.end)
        course = (approached_temperature(start, air, t - times[0], constant) for t in times)
        part = PathPart(slot.timed.position, "bake", times, tuple(min(most, x) for x in course))
        yield part
        if here.baked is not None:
            yield _on_the_rack(here.baked, laid, most)
        return


def _oven_air(here: Planned, step: Step) -> Kelvin:
    """The air of the oven in a step that bakes; that of the first bake where it says none."""
    setting = step.oven
    if setting is None:
        return here.baked.course.oven.first if here.baked is not None else here.kitchen.room
    return dial_of(setting).temperature


def early_end(here: Planned) -> Second | None:
    """When the bake may be over at the earliest: also by the baker's own time left aside."""
    baked = here.baked
    slot = _bake_slot(baked, here.laid) if baked is not None else None
    if baked is None or slot is None or baked.times.time is None:
        return None
    noted, least = baked.setting.program.noted, baked.times.time.low
    if noted is not None and baked.times.kind == "model":
        least = min(least, noted[0])
    return slot.start + least


def _bake_slot(baked: BakeHere, laid: Sequence[Slot]) -> Slot | None:
    return next((s for s in laid if s.timed.position == baked.setting.position), None)


def baking(baked: BakeHere, laid: Sequence[Slot], what: str) -> Iterator[PathPart]:
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
    start = min(max(course[-1], seen[-1].mean), food_constant("off_the_stove"))
    yield _on_the_rack(baked, laid, start)


def out_of_the_oven(laid: Sequence[Slot]) -> Second:
    """When the last bake ends."""
    return max((s.end for s in laid if s.timed.step.verb == "bake"), default=0.0)


def _on_the_rack(baked: BakeHere, laid: Sequence[Slot], start: Kelvin) -> PathPart:
    """A piece on the rack from the end of its last bake, for as long as it is followed."""
    out, room, constant = out_of_the_oven(laid), baked.kitchen.room, rack_constant(baked)
    after = clock(out, out + food_constant("followed_after"))
    cooled = tuple(approached_temperature(start, room, t - out, constant) for t in after)
    rack = next((s.timed.position for s in laid if s.timed.step.verb == "cool"), None)
    return PathPart(rack, "cool", after, cooled, room)


def on_warm_bread(here: Planned, name: str, now: Kelvin) -> Iterator[PathPart]:
    """What is put into or onto a baked piece: it nears the bread, which nears the air."""
    laid, kitchen, baked = here.laid, here.kitchen, here.baked
    used = next((s for s in laid if puts_on(s.timed.step, name)), None)
    if used is None or baked is None:
        return
    out, constant = out_of_the_oven(laid), rack_constant(baked)
    follows, hot = food_constant("follows_dough"), food_constant("off_the_stove")
    last = max(slot.end for slot in laid)
    times = clock(used.end, max(last, used.end + food_constant("followed_after")))
    bread = approached_temperature(hot, kitchen.room, used.end - out, constant)
    course, air = [now], kitchen.room
    for before, after in pairwise(times):
        air = _air_at(laid, before, kitchen)
        bread = approached_temperature(bread, air, after - before, constant)
        course.append(approached_temperature(course[-1], bread, after - before, follows))
    rack = next((s.timed.position for s in laid if s.timed.step.verb == "cool"), None)
    yield PathPart(rack or used.timed.position, "on bread", times, tuple(course), air)


def _air_at(laid: Sequence[Slot], time: Second, kitchen: Kitchen) -> Kelvin:
    """The air where the bread stands at a time; the room after the last step."""
    slot = next((s for s in laid if s.start <= time < s.end and s.timed.step.verb in STANDS), None)
    return place_of(slot.timed.step, kitchen) if slot is not None else kitchen.room


def between_bakes(here: Planned, position: int | None, start: Kelvin) -> Iterator[PathPart]:
    """A part-baked piece from its first oven until its last."""
    bakes = [slot for slot in here.laid if slot.timed.step.verb == "bake"]
    if here.baked is None or len(bakes) < 2:
        return
    times, air = clock(bakes[0].end, bakes[-1].start), here.kitchen.room
    bread, constant = start, rack_constant(here.baked)
    course = [bread]
    for before, after in pairwise(times):
        air = _air_at(here.laid, before, here.kitchen)
        bread = approached_temperature(bread, air, after - before, constant)
        course.append(bread)
    yield PathPart(position, "part-baked", times, tuple(course), air)


def rack_constant(baked: BakeHere) -> Second:
    """In which a baked piece comes 63 % of the way to the air around it."""
    return food_constant("rack") * math.cbrt(baked.piece.whole_mass / 0.1)
