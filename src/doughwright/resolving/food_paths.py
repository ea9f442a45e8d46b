"""How warm each perishable thing is, from the bowl to the cooling rack, on the plan's own clock.

A filling stands where it is kept, is put into pieces, follows them through the proof, bakes,
and cools with them. A dough of milk and egg follows its own rises. Nothing is assumed to be
cold that the plan does not keep cold.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Literal

from doughwright.documents.formula import Step
from doughwright.engine.allergens import TO_CHECK
from doughwright.engine.bake_fields import seen_at
from doughwright.engine.cooling import approached_temperature
from doughwright.engine.formula import SolvedFormula
from doughwright.engine.ingredients import Ingredient, ingredient_table
from doughwright.engine.nutrition import OF_THE_BAKER
from doughwright.engine.overall import MOIST
from doughwright.resolving.bakes import BakeHere
from doughwright.resolving.filling_paths import (
    PathPart,
    clock,
    filling_until_oven,
    food_constant,
    made_parts,
    place_of,
    puts_on,
)
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.oven_courses import dial_of
from doughwright.resolving.oven_pieces import composition_of
from doughwright.resolving.planning import Planned
from doughwright.resolving.process import Slot
from doughwright.resolving.settling import Settled
from doughwright.units import Kelvin, Second

PUT_ON_KINDS = frozenset({"filling", "topping", "glaze"})

SPOILING = frozenset({"egg", "dairy", "cheese", "meat", "vegetable"})


FISH = frozenset({"fish", "crustaceans", "molluscs"})
"""Allergens of what spoils however it was packed."""

MEATY = frozenset({"meat", "fish", "seafood", "shellfish", "poultry"})
"""Kinds a baker may give what the rules call meat or fish."""

When = Literal["before", "in", "after"]


@dataclass(frozen=True, slots=True)
class FoodPath:
    """One food's way; ``holds`` says what in it spoils.

    ``within`` is what it goes into before that meets the dough, if anything; ``kind`` is that
    of what meets it. ``put_on`` says when: before the oven, in it, or after it. ``early`` is
    when the bake may be over at the earliest, by its band; None where nothing is baked.
    ``unseen``: it is in the oven, and nothing is known of its core there.
    """

    name: str
    kind: str
    holds: frozenset[str]
    parts: tuple[PathPart, ...]
    put_on: When = "before"
    early: Second | None = None
    within: str = ""
    unseen: bool = False


def spoiling(formula: SolvedFormula, name: str) -> frozenset[str]:
    """What spoils in a preparation itself, by kind, without what it takes of others.

    Meat and fish stand in the table as ``other``: nothing else of that kind spoils. Powders
    of milk and egg, and what comes out of a tin of fish, spoil once they are wet, in all but
    a dough.
    """
    p = formula.named(name)
    wet = p.preparation.kind in PUT_ON_KINDS and composition_of(formula, name).water > MOIST
    return SPOILING & {_kind(line.ingredient, wet=wet) for line in p.preparation.lines}


@cache
def _kinds_that_keep() -> frozenset[str]:
    """The kinds of the ingredient table that do not spoil by what they are."""
    return frozenset(i.kind for i in ingredient_table().values()) - SPOILING - {"other"}


def _kind(ingredient: Ingredient, *, wet: bool) -> str:
    """What of a kind that spoils an ingredient is; empty for what keeps."""
    fishy = bool(FISH & {entry.removeprefix(TO_CHECK) for entry in ingredient.allergens_eu})
    if ingredient.kind in MEATY or (wet and fishy):
        return "meat"
    if ingredient.perishable:
        return "meat" if ingredient.kind == "other" else ingredient.kind
    return ingredient.kind if wet and ingredient.kind in {"egg", "dairy"} else ""


def not_known_to_spoil(formula: SolvedFormula) -> tuple[str, ...]:
    """The baker's own moist ingredients of which nobody said whether they spoil."""
    lines = (line for p in formula.preparations for line in p.preparation.lines)
    return tuple(
        dict.fromkeys(
            line.name
            for line in lines
            if line.ingredient.source == OF_THE_BAKER
            and not line.ingredient.perishable
            and line.ingredient.kind not in _kinds_that_keep() | MEATY
            and (line.ingredient.composition is None or line.ingredient.composition.water > MOIST)
        )
    )


def food_paths(here: Planned) -> tuple[FoodPath, ...]:
    """The way of everything that spoils, into or onto the pieces or into the dough."""
    formula = here.formula.solution
    tops = [p.name for p in formula.preparations if p.preparation.kind in PUT_ON_KINDS]
    tops = [name for name in tops if any(puts_on(s.timed.step, name) for s in here.laid)]
    found = [
        _path(here, top, name) for top in (*tops, formula.final) for name in _within(formula, top)
    ]
    return tuple(path for path in found if path.parts)


def _within(formula: SolvedFormula, top: str) -> Iterator[str]:
    """A preparation and all it is made of, those in which something spoils."""
    if spoiling(formula, top):
        yield top
    for other, mass in formula.named(top).taken.items():
        if mass:
            yield from _within(formula, other)


def _path(here: Planned, top: str, name: str) -> FoodPath:
    """The way of one preparation, through those it goes into, to the rack."""
    formula = here.formula.solution
    before = [part for step in _chain(formula, top, name) for part in _until_taken(here, step)]
    holds = spoiling(formula, name)
    if top == formula.final:
        made = _dough_path(here, top)
        within = top if name != top else ""
        parts = (*before, *made)
        return FoodPath(name, "dough", holds, parts, early=_early(here), within=within)
    return _put_on_path(here, top, name, before)


def _chain(formula: SolvedFormula, top: str, name: str) -> list[str]:
    """The preparations a food goes through before the last one, the first of them first."""
    if name == top:
        return []
    for other, mass in formula.named(top).taken.items():
        if mass and (other == name or name in _made_of(formula, other)):
            return [*_chain(formula, other, name), other]
    return []


def _made_of(formula: SolvedFormula, name: str) -> set[str]:
    """All a preparation takes, and what that takes."""
    taken = {other for other, mass in formula.named(name).taken.items() if mass}
    return taken.union(*(_made_of(formula, other) for other in taken))


def _until_taken(here: Planned, name: str) -> tuple[PathPart, ...]:
    laid = here.laid
    return tuple(made_parts(here.formula.solution, here.kitchen, here.settled, laid, name))


def _dough_path(here: Planned, name: str) -> tuple[PathPart, ...]:
    """The dough from its mixing to the oven and the rack."""
    slots = [s for s in here.laid if s.timed.step.of == name and s.timed.step.verb != "make"]
    before = [s for s in slots if s.timed.step.verb not in {"bake", "cool"}]
    mix = here.settled.mixed.get(name)
    now = mix.temperature if mix is not None else here.kitchen.room
    parts = []
    for slot in before:
        part, now = _rising(slot, here.settled, here.kitchen, now)
        parts.append(part)
    if here.baked is not None:
        parts.extend(_baking(here.baked, here.laid, "dough"))
    return tuple(parts)


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


def _put_on_path(here: Planned, top: str, name: str, before: Sequence[PathPart]) -> FoodPath:
    """What is put into or onto the pieces: from its bowl through the oven to the rack."""
    solution = here.formula.solution
    p, holds = solution.named(top), spoiling(solution, name)
    kind, put_on = p.preparation.kind, _put_on(here, top)
    parts = [*before, *filling_until_oven(solution, here.kitchen, here.settled, here.laid, top)]
    early, unseen, now = None, False, parts[-1].temperatures[-1]
    if put_on == "before" and here.baked is not None:
        parts.extend(_baking(here.baked, here.laid, "surface" if kind == "glaze" else "filling"))
        early = _early(here)
    elif put_on == "in" and _is_thin(here, top):
        parts.extend(_last_minutes(here, top, now))
    elif put_on == "after" and here.baked is not None:
        parts.extend(_on_warm_bread(here.baked, here.laid, top, now))
    else:
        unseen = put_on != "after"
    within = top if name != top else ""
    return FoodPath(name, kind, holds, tuple(parts), put_on, early, within, unseen)


def _is_thin(here: Planned, name: str) -> bool:
    """Whether it is as little as an egg: the course of the last minutes holds for no more."""
    pieces = here.formula.solution.pieces or 1
    mass = here.formula.solution.named(name).mass / pieces
    kind = here.formula.solution.named(name).preparation.kind
    return kind in {"topping", "glaze"} and mass <= food_constant("egg_on_top_most")


def _put_on(here: Planned, name: str) -> When:
    """Whether a preparation meets the dough before the oven, between two bakes, or after it."""
    process = here.formula.document.process
    used = next((i for i, s in enumerate(process) if puts_on(s, name)), None)
    bakes = [i for i, s in enumerate(process) if s.verb == "bake"]
    if used is None or not bakes or used < bakes[0]:
        return "before"
    return "in" if used < bakes[-1] else "after"


def _last_minutes(here: Planned, name: str, start: Kelvin) -> Iterator[PathPart]:
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
    start = min(max(course[-1], seen[-1].mean), food_constant("off_the_stove"))
    yield _on_the_rack(baked, laid, start)


def _out_of_the_oven(laid: Sequence[Slot]) -> Second:
    """When the last bake ends."""
    return max((s.end for s in laid if s.timed.step.verb == "bake"), default=0.0)


def _on_the_rack(baked: BakeHere, laid: Sequence[Slot], start: Kelvin) -> PathPart:
    """A piece on the rack from the end of its last bake, for as long as it is followed."""
    out, room, constant = _out_of_the_oven(laid), baked.kitchen.room, rack_constant(baked)
    after = clock(out, out + food_constant("followed_after"))
    cooled = tuple(approached_temperature(start, room, t - out, constant) for t in after)
    rack = next((s.timed.position for s in laid if s.timed.step.verb == "cool"), None)
    return PathPart(rack, "cool", after, cooled, room)


def _on_warm_bread(
    baked: BakeHere, laid: Sequence[Slot], name: str, now: Kelvin
) -> Iterator[PathPart]:
    """What is put into or onto a baked piece: it nears the bread, which nears the room."""
    used = next(s for s in laid if puts_on(s.timed.step, name))
    last = max(slot.end for slot in laid)
    out, room, constant = _out_of_the_oven(laid), baked.kitchen.room, rack_constant(baked)
    times = clock(used.end, max(last, used.end + food_constant("followed_after")))
    course = [now]
    for before, after in pairwise(times):
        bread = approached_temperature(food_constant("off_the_stove"), room, before - out, constant)
        follows = food_constant("follows_dough")
        course.append(approached_temperature(course[-1], bread, after - before, follows))
    rack = next((s.timed.position for s in laid if s.timed.step.verb == "cool"), None)
    yield PathPart(rack or used.timed.position, "on bread", times, tuple(course), room)


def rack_constant(baked: BakeHere) -> Second:
    """In which a baked piece comes 63 % of the way to the air around it."""
    return food_constant("rack") * math.cbrt(baked.piece.whole_mass / 0.1)
