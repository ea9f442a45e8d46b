"""Water made up for: what a change brings comes off what is poured, what it takes is poured."""

from dataclasses import dataclass, replace

from doughwright.documents.editing import Edit, Insert, Remove, SetValue
from doughwright.engine.overall import PLAIN_WATER, free_water, hydration
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.reworking.amounts import amount_of, times
from doughwright.reworking.rework import (
    Weighed,
    dough_lines,
    is_nothing,
    place_after,
    refusal,
    rewritten_amount,
    set_amount,
)
from doughwright.units import Kilogram, Ratio

SLACK: Ratio = 5e-5
"""Water on the flour that amounts leave when they are rounded: 0.05 g on 1 kg, half of what
a rework is held to."""


@dataclass(frozen=True, slots=True)
class Poured:
    """Edits that pour more or less, by how much less the dough then weighs, and what to say.

    ``left`` is the water that could not be made up for: the dough is wetter (below zero: drier).
    """

    edits: list[Edit]
    less: Kilogram
    said: tuple[Notice, ...] = ()
    left: Kilogram = 0.0


def free_waters(formula: ResolvedFormula, first: str = "") -> list[Weighed]:
    """Plain water that may change, of the preparation ``first`` and the dough first."""
    waters = [line for line in _free_lines(formula, first) if _is_water(line)]
    return sorted(waters, key=lambda line: line.preparation != first)


def with_less_water(formula: ResolvedFormula, less: Kilogram, first: str = "") -> Poured:
    """Return the edits by which so much less water (below zero: more) ends in the dough.

    It comes off plain water, that of the preparation ``first`` and the dough's own first; a
    scald or a soaker keeps its own. More is poured into those two only: a poolish stays as wet
    as it is.

    Raises
    ------
    DocumentError
        If there is not so much water to take out.
    """
    return _less(formula, less, free_waters(formula, first), first)


def with_water_made_up(formula: ResolvedFormula, more: Kilogram, *, pour: bool = True) -> Poured:
    """Make up for water that comes along (below zero: goes), as far as can be, and say the rest.

    Without ``pour`` none is poured into a dough that has none.
    """
    made = as_far_as_water_goes(formula, more, pour=pour)
    if not made.left:
        return made
    was = hydration(formula.solution)
    values = {
        "water": abs(more),
        "went": "come along" if more > 0 else "go",
        "taken": abs(more - made.left),
        "left": abs(made.left),
        "was": was,
        "now": was + made.left / formula.solution.total_flour,
    }
    code = "water-kept-in-part" if made.edits else "water-not-kept"
    return replace(made, said=(Notice.of(code, "preparations", **values), *made.said))


def as_far_as_water_goes(formula: ResolvedFormula, less: Kilogram, *, pour: bool = True) -> Poured:
    """Take so much water out as there is, or pour it; what cannot be is left."""
    flour, waters = formula.solution.total_flour, free_waters(formula)
    there = sum(line.water * used(formula, line) for line in waters)
    if less > 0:
        left = max(0.0, less - there)
    else:
        left = 0.0 if pour or _poured_into(formula, waters) else less
    made = _less(formula, less - left, waters)
    return replace(made, left=0.0 if abs(left) <= SLACK * flour else left)


def with_less_poured(formula: ResolvedFormula, less: Kilogram) -> Poured:
    """Take so much water out of all that is poured: plain water first, then milk and the like."""
    liquids = [line for line in _free_lines(formula) if _is_liquid(line)]
    liquids.sort(key=lambda line: not _is_water(line))
    return _less(formula, less, liquids)


def _less(
    formula: ResolvedFormula, less: Kilogram, liquids: list[Weighed], first: str = ""
) -> Poured:
    if is_nothing(abs(less), formula.solution.total_flour):
        return Poured([], 0.0)
    if less > 0:
        return _taken(formula, less, liquids, first)
    return _poured(formula, -less, _poured_into(formula, liquids, first))


def _free_lines(formula: ResolvedFormula, first: str = "") -> list[Weighed]:
    """Lines that may make up for water: a scald cooks and seeds soak in what they were given."""
    made = {p.name: p.preparation.kind for p in formula.solution.preparations}
    lines = dough_lines(formula)
    return [x for x in lines if x.preparation == first or made[x.preparation] != "soaker"]


def _poured_into(
    formula: ResolvedFormula, liquids: list[Weighed], first: str = ""
) -> list[Weighed]:
    here = {first, formula.solution.final}
    lines = [line for line in liquids if line.preparation in here]
    return [line for line in lines if line.water * used(formula, line) > 0]


def _is_water(line: Weighed) -> bool:
    return free_water(line.ingredient) >= PLAIN_WATER and line.ingredient.kind == "liquid"


def _is_liquid(line: Weighed) -> bool:
    return line.ingredient.poured and line.water > 0 and line.ingredient.kind != "starter"


def _taken(
    formula: ResolvedFormula, less: Kilogram, liquids: list[Weighed], first: str = ""
) -> Poured:
    flour = formula.solution.total_flour
    there = sum(line.water * used(formula, line) for line in liquids)
    if less - there > SLACK * flour:
        values = {"name": "water", "wanted": less, "there": there}
        raise refusal("too-little-to-take", "preparations", **values)
    edits: list[Edit] = []
    said: list[Notice] = []
    lighter = 0.0
    for line in liquids:
        ends = line.water * used(formula, line)
        off = min(ends, less)
        if is_nothing(off, flour):
            continue
        off = ends if ends - off <= SLACK * flour else off
        less, lighter = less - off, lighter + off * line.mass / line.water
        edits.append(changed_line(line, line.mass * (1 - off / ends), flour))
        if line.preparation not in {first, formula.solution.final}:
            values = {"name": line.preparation, "water": off}
            said.append(Notice.of("preparation-drier", *line.path, **values))
    return Poured(edits, lighter, tuple(said))


def changed_line(line: Weighed, mass: Kilogram, flour: Kilogram) -> Edit:
    """Return the edit that gives a line another weight; with none it goes."""
    if is_nothing(mass, flour):
        return Remove(line.path)
    return set_amount(line, rewritten_amount(line, mass, flour))


def _poured(formula: ResolvedFormula, more: Kilogram, into: list[Weighed]) -> Poured:
    if not into:
        return Poured([new_line(formula, formula.solution.final, "water", more)], -more)
    line = into[0]
    heavier = more * line.mass / line.water
    mass = line.mass + heavier / used(formula, line)
    return Poured([changed_line(line, mass, formula.solution.total_flour)], -heavier)


def new_line(
    formula: ResolvedFormula, preparation: str, name: str, mass: Kilogram, after: str = ""
) -> Edit:
    """Return the edit that puts in an ingredient, its amount written as its neighbours' are."""
    ingredients = formula.document.preparations[preparation].ingredients
    like = next(
        (x.amount for x in ingredients.values() if x.amount.dimension in {"percent", "mass"}),
        None,
    )
    flour = formula.solution.total_flour
    amount = amount_of(mass, flour, like) if like is not None else f"{1000 * mass:.1f} g"
    at = place_after(formula, preparation, after)
    return Insert(("preparations", preparation, "ingredients"), at, name, amount)


def used(formula: ResolvedFormula, line: Weighed) -> float:
    """Share of a line's preparation that ends in the dough."""
    return formula.solution.named(line.preparation).used


def yield_follows(
    formula: ResolvedFormula, gained: Kilogram, *, counted: bool = False
) -> list[Edit]:
    """Let the yield follow what a dough of lines in weight gains, so that its flour stays.

    With ``counted`` a line becomes one in weight, whatever the others are.
    """
    makes = formula.document.makes
    fixed = any(line.fixed for p in formula.preparations if p.in_dough for line in p.lines)
    if makes is None or not (fixed or counted):
        return []
    share = 1 + gained / formula.solution.dough
    found = (("piece", makes.piece), ("dough", makes.dough))
    return [SetValue(("yield", key), times(was, share)) for key, was in found if was is not None]
