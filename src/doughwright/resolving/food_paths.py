"""How warm each perishable thing is, from the bowl to the cooling rack, on the plan's own clock.

A filling stands where it is kept, is put into pieces, follows them through the proof, bakes,
and cools with them. A dough of milk and egg follows its own rises. Nothing is assumed to be
cold that the plan does not keep cold.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Literal

from doughwright.engine.allergens import TO_CHECK
from doughwright.engine.formula import SolvedFormula
from doughwright.engine.ingredients import Ingredient, ingredient_table
from doughwright.engine.nutrition import OF_THE_BAKER
from doughwright.engine.overall import MOIST
from doughwright.resolving.filling_paths import (
    MAKES,
    PathPart,
    filling_until_oven,
    food_constant,
    made_parts,
    place_of,
    puts_on,
)
from doughwright.resolving.food_courses import (
    baking,
    between_bakes,
    early_end,
    last_minutes,
    on_warm_bread,
)
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.oven_pieces import composition_of, filling_of
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


def not_followed(formula: SolvedFormula, laid: Sequence[Slot]) -> tuple[str, ...]:
    """What spoils and is put into or onto the pieces in no step."""
    taken = {other for p in formula.preparations for other, mass in p.taken.items() if mass}
    return tuple(
        p.name
        for p in formula.preparations
        if p.preparation.kind in PUT_ON_KINDS
        and p.name not in taken
        and any(True for _ in _within(formula, p.name))
        and not any(puts_on(s.timed.step, p.name) for s in laid)
    )


def not_made(formula: SolvedFormula, laid: Sequence[Slot]) -> tuple[str, ...]:
    """Fillings and toppings in which something spoils, and that no step before makes."""
    found = []
    for p in formula.preparations:
        if p.preparation.kind == "glaze":
            continue  # a wash is beaten as it is used
        used = next((s for s in laid if puts_on(s.timed.step, p.name)), None)
        made = (s for s in laid if s.timed.step.of == p.name and s.timed.step.verb in MAKES)
        if used is not None and spoiling(formula, p.name):
            late = not any(s.start < used.start + 1.0 for s in made)
            found += [p.name] if late else []
    return tuple(found)


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
    chain = [*_chain(formula, top, name), top]
    before = [part for one, taker in pairwise(chain) for part in _until_taken(here, one, taker)]
    holds = spoiling(formula, name)
    if top == formula.final:
        made = _dough_path(here, top)
        within = top if name != top else ""
        parts = (*before, *made)
        return FoodPath(name, "dough", holds, parts, early=early_end(here), within=within)
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


def _until_taken(here: Planned, name: str, taker: str) -> tuple[PathPart, ...]:
    formula, laid = here.formula.solution, here.laid
    return tuple(made_parts(formula, here.kitchen, here.settled, laid, name, taker))


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
        parts.extend(baking(here.baked, here.laid, "dough"))
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
    apart = _bakes_apart(here)
    if put_on == "before" and here.baked is not None and not apart and _is_seen(here, top):
        parts.extend(baking(here.baked, here.laid, "surface" if kind == "glaze" else "filling"))
        early = early_end(here)
    elif put_on == "in" and _is_thin(here, top):
        parts.extend(last_minutes(here, top, now))
    elif put_on == "after":
        parts.extend(on_warm_bread(here, top, now))
    else:
        unseen = True
        if put_on == "before" and apart:
            parts.extend(between_bakes(here, parts[-1].position, food_constant("off_the_stove")))
    within = top if name != top else ""
    return FoodPath(name, kind, holds, tuple(parts), put_on, early, within, unseen)


def _bakes_apart(here: Planned) -> bool:
    """Whether two bakes have a pause between them that makes a part-baked bread."""
    if here.baked is None:
        return False
    bakes = [slot for slot in here.laid if slot.timed.step.verb == "bake"]
    pauses = (after.start - before.end for before, after in pairwise(bakes))
    return any(pause > food_constant("bakes_apart") for pause in pauses)


def _is_seen(here: Planned, name: str) -> bool:
    """Whether the bake follows it: the one filling it knows, a wash, a topping by itself."""
    assert here.baked is not None
    known = filling_of(here.formula, here.baked.setting.position)
    kind = here.formula.solution.named(name).preparation.kind
    return kind == "glaze" or known in {None, name}


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
    if not bakes:
        return "after"
    if used is None or used < bakes[0]:
        return "before"
    return "in" if used < bakes[-1] else "after"
