"""How warm each perishable thing is, from the bowl to the cooling rack, on the plan's own clock.

A filling stands where it is kept, is put into pieces, follows them through the proof, bakes,
and cools with them. A dough of milk and egg follows its own rises. Nothing is assumed to be
cold that the plan does not keep cold.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from doughwright.engine.bake_fields import seen_at
from doughwright.engine.cooling import approached_temperature
from doughwright.engine.formula import SolvedFormula, SolvedPreparation
from doughwright.resolving.bakes import BakeHere
from doughwright.resolving.filling_paths import PathPart, clock, filling_until_oven
from doughwright.resolving.planning import Planned
from doughwright.resolving.process import Slot
from doughwright.resolving.settling import Settled
from doughwright.units import Kelvin, Second

RACK: Second = 2400.0
"""In which a piece of 100 g cools on a rack (assumption); others by their cube root."""

AFTERWARDS: Second = 7200.0
"""How long a bread is followed after its last step."""

SPOILING = frozenset({"egg", "dairy", "cheese", "meat", "vegetable"})


@dataclass(frozen=True, slots=True)
class FoodPath:
    """One food's way; ``holds`` says what in it spoils."""

    name: str
    kind: str
    holds: frozenset[str]
    parts: tuple[PathPart, ...]


def spoiling(formula: SolvedFormula, name: str) -> frozenset[str]:
    """What in a preparation spoils, by kind, what it takes of others included."""
    p = formula.named(name)
    own = {
        _kind(line.ingredient.kind, line.ingredient.name)
        for line in p.preparation.lines
        if line.ingredient.perishable
    }
    taken = [spoiling(formula, other) for other, mass in p.taken.items() if mass]
    return frozenset(own.union(*taken)) & SPOILING


def _kind(kind: str, name: str) -> str:
    return "meat" if kind == "other" and name in {"ham", "bacon"} else kind


def food_paths(here: Planned) -> tuple[FoodPath, ...]:
    """The way of every filling and of the dough, as far as something in it spoils."""
    found = [
        _filling_path(here, p)
        for p in here.formula.solution.preparations
        if p.preparation.kind in {"filling", "topping"}
    ]
    found.append(_dough_path(here, here.formula.solution.final))
    return tuple(path for path in found if path is not None and path.holds and path.parts)


def _dough_path(here: Planned, name: str) -> FoodPath:
    """The dough from its mixing to the oven."""
    settled, baked = here.settled, here.baked
    slots = [s for s in here.laid if s.timed.step.of == name and s.timed.step.verb != "make"]
    before = [s for s in slots if s.timed.step.verb not in {"bake", "cool"}]
    mix = settled.mixed.get(name)
    now = mix.temperature if mix is not None else None
    parts = []
    for slot in before:
        part, now = _rising(slot, settled, now)
        parts.append(part)
    if baked is not None:
        parts.extend(_baking(baked, here.laid, "dough"))
    return FoodPath(name, "dough", spoiling(here.formula.solution, name), tuple(parts))


def _rising(slot: Slot, settled: Settled, now: Kelvin | None) -> tuple[PathPart, Kelvin | None]:
    """A dough through one step: along its rise, or as warm as it was."""
    rise = next((r for r in settled.rises if r.position == slot.timed.position), None)
    if rise is not None:
        times = tuple(slot.start + t for t in rise.times)
        return PathPart(slot.timed.position, slot.timed.step.verb, times, rise.temperatures), (
            rise.temperatures[-1]
        )
    warm = now if now is not None else 295.15
    part = PathPart(slot.timed.position, slot.timed.step.verb, (slot.start, slot.end), (warm, warm))
    return part, warm


def _filling_path(here: Planned, p: SolvedPreparation) -> FoodPath:
    """A filling from its bowl into the pieces, through proof and oven, to the rack."""
    solution = here.formula.solution
    parts = list(filling_until_oven(solution, here.kitchen, here.settled, here.laid, p.name))
    if parts and here.baked is not None:
        parts.extend(_baking(here.baked, here.laid, "filling"))
    return FoodPath(p.name, p.preparation.kind, spoiling(solution, p.name), tuple(parts))


def _baking(baked: BakeHere, laid: Sequence[Slot], what: str) -> Iterator[PathPart]:
    """The coldest spot in the oven, and on the rack afterwards."""
    position = baked.setting.position
    slot = next((s for s in laid if s.timed.position == position), None)
    if slot is None or baked.times.time is None:
        return
    length = baked.times.time.best
    moments = clock(0.0, length)
    seen = [seen_at(baked.times.run, t) for t in moments]
    course = tuple(s.filling if what == "filling" else s.coldest for s in seen)
    times = tuple(slot.start + t for t in moments)
    yield PathPart(position, "bake", times, course)
    constant = RACK * (baked.piece.whole_mass / 0.1) ** (1.0 / 3.0)
    after = clock(times[-1], times[-1] + AFTERWARDS)
    room = baked.kitchen.room
    start = max(course[-1], seen[-1].mean)
    cooled = tuple(approached_temperature(start, room, t - times[-1], constant) for t in after)
    rack = next((s.timed.position for s in laid if s.timed.step.verb == "cool"), None)
    yield PathPart(rack, "cool", after, cooled)
