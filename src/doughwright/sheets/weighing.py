"""What to weigh: the scale's readings, whole eggs, ice, and where a scale is too coarse."""

from dataclasses import dataclass
from math import ceil

from doughwright.documents.formula import Line as LineInDocument
from doughwright.engine.formula import Line, SolvedFormula, SolvedPreparation
from doughwright.engine.ingredients import counted_mass
from doughwright.engine.levers import Lever
from doughwright.engine.weighing import (
    Scale,
    Weight,
    nearest_weight,
    smallest_honest_weight,
    stock_solution,
    weights,
)
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.mixes import Mix
from doughwright.sheets.cells import Cell, Kind, kelvin
from doughwright.units import Kelvin, Kilogram

COUNTED = {"egg": "large"}
"""Ingredients that come in whole pieces, and the size meant when the formula names none."""


@dataclass(frozen=True, slots=True)
class WeighLine:
    """What to weigh: the scale's reading, and how warm it should be.

    ``count`` whole things (eggs of size ``count_word``) are in it, and ``rest`` is left
    to weigh; ``ice`` is the part of this weight to take as ice; ``cold_part`` the part to
    take from the ``cold_place``, the rest from the ``warm_place``, when only a blend is as
    warm as wanted.
    """

    name: str
    weight: Cell
    wanted: Cell
    step: Cell
    overall: Cell | None
    temperature: Cell | None
    place: str
    note: str = ""
    count: int | None = None
    count_word: str = ""
    rest: Cell | None = None
    ice: Cell | None = None
    cold_part: Cell | None = None
    cold_place: str = ""
    warm_place: str = ""
    is_preparation: bool = False


def weigh_lines(
    p: SolvedPreparation, formula: ResolvedFormula, scale: Scale, mix: Mix | None
) -> tuple[WeighLine, ...]:
    """All lines of a preparation with what it takes, rounded together.

    A preparation taken whole weighs what its own shown weights add up to.
    """
    solution = formula.solution
    whole = {
        name: shown_weight(solution.named(name), solution, scale)
        for name, mass in p.taken.items()
        if mass > solution.named(name).mass * (1 - 1e-9)
    }
    partly = [mass for name, mass in p.taken.items() if name not in whole]
    rounded = weights([*p.masses, *partly], scale)
    shown = iter(rounded[len(p.masses) :])
    flour = solution.total_flour if p.preparation.in_dough else None
    documents = formula.document.preparations[p.name].ingredients
    place = formula.document.place or "EU"
    own = tuple(
        _own(line, documents[line.name], weight, flour, mix, place)
        for line, weight in zip(p.preparation.lines, rounded, strict=False)
    )
    taken = tuple(
        _taken(
            name,
            Weight(whole[name], scale.reads, mass) if name in whole else next(shown),
            flour,
            mix,
        )
        for name, mass in p.taken.items()
    )
    return (*taken, *own)


def shown_weight(p: SolvedPreparation, formula: SolvedFormula, scale: Scale) -> Kilogram:
    """Sum of a preparation's weights as the scale shows them."""
    whole = [
        shown_weight(formula.named(name), formula, scale)
        for name, mass in p.taken.items()
        if mass > formula.named(name).mass * (1 - 1e-9)
    ]
    partly = [
        mass for name, mass in p.taken.items() if mass <= formula.named(name).mass * (1 - 1e-9)
    ]
    return sum(whole) + sum(w.shown for w in weights([*p.masses, *partly], scale))


def _overall(mass: Kilogram, flour: Kilogram | None) -> Cell | None:
    return Cell(mass / flour, "1") if flour is not None else None


def _taken(name: str, weight: Weight, flour: Kilogram | None, mix: Mix | None) -> WeighLine:
    warm = mix.taken[name] if mix is not None else None
    kind: Kind = "stated" if warm is not None and warm.kind == "stated" else "model"
    return WeighLine(
        name=name,
        weight=Cell(weight.shown, "kg"),
        wanted=Cell(weight.wanted, "kg"),
        step=Cell(weight.step, "kg"),
        overall=_overall(weight.wanted, flour),
        temperature=kelvin(warm.temperature, kind, "cooling") if warm is not None else None,
        place="",
        is_preparation=True,
    )


KINDS: dict[str, Kind] = {
    "stated": "stated",
    "kept": "kept",
    "assumed": "assumed",
    "free": "assumed",
    "lever": "model",
}


def _own(
    line: Line,
    document: LineInDocument,
    weight: Weight,
    flour: Kilogram | None,
    mix: Mix | None,
    place: str,
) -> WeighLine:
    count, word, rest = whole_things(line, document, weight.shown, place)
    warm = mix.warmths[line.name] if mix is not None else None
    cold_place, warm_place = _places(mix, line.name)
    return WeighLine(
        name=line.name,
        weight=Cell(weight.shown, "kg"),
        wanted=Cell(weight.wanted, "kg"),
        step=Cell(weight.step, "kg"),
        overall=_overall(weight.wanted, flour),
        temperature=_warmth_cell(warm.temperature, warm.kind) if warm is not None else None,
        place=warm.place if warm is not None else "",
        note=document.note or "",
        count=count,
        count_word=word,
        rest=rest,
        ice=_part(mix, line.name, "ice", weight),
        cold_part=_part(mix, line.name, "cold", weight),
        cold_place=cold_place,
        warm_place=warm_place,
    )


def _warmth_cell(temperature: Kelvin, kind: str) -> Cell:
    return kelvin(temperature, KINDS[kind], "mixing" if kind == "lever" else "")


def _part(mix: Mix | None, name: str, what: str, weight: Weight) -> Cell | None:
    """The part of a line to take as ice, or from the cold place, as the levers say."""
    for lever in _levers_on(mix, name):
        if what == "ice" and lever.ice:
            ice = nearest_weight(lever.ice, weight.step)
            return Cell(ice, "kg", "model", model="mixing")
        if what == "cold" and lever.cold_share is not None:
            cold = nearest_weight(lever.cold_share * weight.shown, weight.step)
            return Cell(cold, "kg", "model", model="mixing")
    return None


def _levers_on(mix: Mix | None, name: str) -> list[Lever]:
    return [lever for lever in mix.pulled if name in lever.names] if mix is not None else []


def _places(mix: Mix | None, name: str) -> tuple[str, str]:
    """The cold and the warm place that a line is blended from; empty when it is not."""
    blends = (x.places for x in _levers_on(mix, name) if x.cold_share is not None)
    return next(blends, ("", ""))


def whole_things(
    line: Line, document: LineInDocument, mass: Kilogram, place: str
) -> tuple[int | None, str, Cell | None]:
    """Whole eggs in a mass, their size, and what is left to weigh of one more, beaten."""
    word = document.amount.measure if document.amount.dimension == "count" else ""
    word = word or COUNTED.get(line.ingredient.name, "")
    each = counted_mass(line.ingredient.name, word, place) if word else None
    if each is None or line.ingredient.name not in COUNTED:
        return None, "", None
    count = int(mass / each + 1e-6)
    rest = mass - count * each
    return count, word, Cell(rest, "kg") if rest > 1e-6 else None


def weight_notices(p: SolvedPreparation, scale: Scale) -> tuple[Notice, ...]:
    """Lines that the scale at hand cannot weigh honestly, each with a way out."""
    rounded = weights(p.masses, scale)
    return tuple(
        _too_coarse(p, line, weight)
        for line, weight in zip(p.preparation.lines, rounded, strict=True)
        if weight.too_coarse
    )


DISSOLVES = frozenset({"salt", "sugar", "yeast"})
"""Kinds of ingredient that spread evenly through water when stirred into it."""

LIQUID_PER_SOLUTION = 3.0
"""A solution is for doughs with this many times the liquid that it brings (assumption)."""

LARGEST_SOLUTION: Kilogram = 1.0
"""Nobody stirs up more than this to use a few grams of it (assumption)."""


def _too_coarse(p: SolvedPreparation, line: Line, weight: Weight) -> Notice:
    """A line below what the scale weighs: dissolve it if it can be, else weigh it finer."""
    least = smallest_honest_weight(weight.step)
    code, way_out = _dissolved(p, line, weight)
    return Notice.of(
        code,
        "preparations",
        p.name,
        "ingredients",
        line.name,
        name=line.name,
        wanted=weight.wanted,
        step=weight.step,
        error=weight.step / 2 / weight.wanted,
        least=least,
        times=ceil(least / weight.wanted - 1e-9),
        **way_out,
    )


def _dissolved(p: SolvedPreparation, line: Line, weight: Weight) -> tuple[str, dict[str, Kilogram]]:
    """The solution to take a part of, where the thing and the dough's liquid allow one."""
    dissolved, water, used = stock_solution(weight.wanted, weight.step)
    off = used - weight.wanted
    allowed = (
        line.ingredient.kind in DISSOLVES
        and dissolved + water <= LARGEST_SOLUTION
        and _poured(p) >= LIQUID_PER_SOLUTION * off
    )
    if not allowed:
        return "scale-too-coarse", {}
    solution = {"dissolved": dissolved, "water": water, "used": used, "off": off}
    return "scale-too-coarse-dissolve", solution


def _poured(p: SolvedPreparation) -> Kilogram:
    """The water in a preparation's own lines; milk would be thinned by a solution in water."""
    lines = zip(p.preparation.lines, p.masses, strict=True)
    return sum(mass for line, mass in lines if line.ingredient.name == "water")
