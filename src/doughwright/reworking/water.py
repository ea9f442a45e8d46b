"""Water made up for: what a change brings comes off what is poured, what it takes is poured."""

from dataclasses import dataclass

from doughwright.documents.editing import Edit, Insert, Remove, SetValue
from doughwright.engine.overall import PLAIN_WATER, free_water
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
from doughwright.units import Kilogram


def water_poured(formula: ResolvedFormula) -> Kilogram:
    """Plain water that is poured and ends in the dough."""
    return sum(line.mass * used(formula, line) for line in dough_lines(formula) if _is_water(line))


@dataclass(frozen=True, slots=True)
class Poured:
    """Edits that pour more or less, and by how much less the dough then weighs."""

    edits: list[Edit]
    less: Kilogram


def with_less_water(formula: ResolvedFormula, less: Kilogram, first: str = "") -> list[Edit]:
    """Return the edits by which so much less water (below zero: more) ends in the dough.

    It comes off plain water, that of the preparation ``first`` and the dough's own first. More
    is poured there only: a scald or a poolish stays as wet as it is.

    Raises
    ------
    DocumentError
        If there is not so much water to take out.
    """
    waters = [line for line in dough_lines(formula) if _is_water(line)]
    waters.sort(key=lambda line: line.preparation != first)
    return _less(formula, less, waters, first).edits


def with_less_poured(formula: ResolvedFormula, less: Kilogram) -> Poured:
    """Take so much water out of all that is poured: plain water first, then milk and the like."""
    liquids = [line for line in dough_lines(formula) if _is_liquid(line)]
    liquids.sort(key=lambda line: not _is_water(line))
    return _less(formula, less, liquids)


def _less(
    formula: ResolvedFormula, less: Kilogram, liquids: list[Weighed], first: str = ""
) -> Poured:
    if is_nothing(abs(less), formula.solution.total_flour):
        return Poured([], 0.0)
    if less > 0:
        return _taken(formula, less, liquids)
    here = {first, formula.solution.final}
    return _poured(formula, -less, [line for line in liquids if line.preparation in here])


def _is_water(line: Weighed) -> bool:
    return free_water(line.ingredient) >= PLAIN_WATER and line.ingredient.kind == "liquid"


def _is_liquid(line: Weighed) -> bool:
    return line.ingredient.poured and line.water > 0 and line.ingredient.kind != "starter"


def _taken(formula: ResolvedFormula, less: Kilogram, liquids: list[Weighed]) -> Poured:
    flour = formula.solution.total_flour
    there = sum(line.water * used(formula, line) for line in liquids)
    if less > there and not is_nothing(less - there, flour):
        values = {"name": "water", "wanted": less, "there": there}
        raise refusal("too-little-to-take", "preparations", **values)
    edits: list[Edit] = []
    lighter = 0.0
    for line in liquids:
        ends = line.water * used(formula, line)
        off = min(ends, less)
        if off > 0:
            less, lighter = less - off, lighter + off * line.mass / line.water
            edits.append(changed_line(line, line.mass * (1 - off / ends), flour))
    return Poured(edits, lighter)


def changed_line(line: Weighed, mass: Kilogram, flour: Kilogram) -> Edit:
    """Return the edit that gives a line another weight; with none it goes."""
    if is_nothing(mass, flour):
        return Remove(line.path)
    return set_amount(line, rewritten_amount(line, mass, flour))


def _poured(formula: ResolvedFormula, more: Kilogram, liquids: list[Weighed]) -> Poured:
    flour = formula.solution.total_flour
    own = [line for line in liquids if line.water * used(formula, line) > 0]
    if not own:
        return Poured([new_line(formula, formula.solution.final, "water", more)], -more)
    line = own[0]
    heavier = more * line.mass / line.water
    edit = changed_line(line, line.mass + heavier / used(formula, line), flour)
    return Poured([edit], -heavier)


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
