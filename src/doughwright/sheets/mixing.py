"""One mix: the temperature aimed at, the lever that reaches it, the classic rule beside it."""

from dataclasses import dataclass, replace

from doughwright.engine.chilling import (
    Brick,
    butter_material,
    flour_bag,
    flour_chilling_time,
    flour_material,
    surface_coefficient,
    time_to_reach,
)
from doughwright.engine.classic_rule import classic_liquid_temperature, friction_factor
from doughwright.engine.formula import Line, SolvedPreparation
from doughwright.engine.ingredients import Composition
from doughwright.engine.kneading import usual_bench
from doughwright.engine.levers import Lever, set_to
from doughwright.engine.mixing import mixed_dough
from doughwright.engine.portions import Portion
from doughwright.errors import Notice
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.mixes import Mix
from doughwright.sheets.cells import Cell, Kind, kelvin
from doughwright.units import Joule, Kelvin, KelvinDifference, Ratio, Second


@dataclass(frozen=True, slots=True)
class LeverRow:
    """One lever as it is to be set and how far the dough gets with it."""

    kind: str
    names: tuple[str, ...]
    temperature: Cell
    reached: Cell
    feasible: bool
    limit: str


@dataclass(frozen=True, slots=True)
class ClassicRow:
    """What the classic n-factor rule would say, and the dough it would give by heat balance."""

    factors: int
    friction_factor: Cell
    liquid: Cell
    balance: Cell
    difference: Cell
    dough: Cell


@dataclass(frozen=True, slots=True)
class HeatTerm:
    """One share of the heat balance, positive where it warms the dough."""

    name: str
    heat: Joule


@dataclass(frozen=True, slots=True)
class MixSheet:
    """How one preparation is mixed: aim, levers, what comes out, the heat account."""

    aim: Cell | None
    way: str
    duration: Cell
    temperature: Cell
    unsteered: Cell
    delay: Cell | None
    levers: tuple[LeverRow, ...]
    classic: ClassicRow | None
    heat: tuple[HeatTerm, ...]
    advice: tuple[Notice, ...]


def mix_sheet(
    p: SolvedPreparation, kitchen: Kitchen, mix: Mix, delay: Second | None = None
) -> MixSheet:
    """Lay out one mix; ``delay`` is what leaving everything as it lies costs the next rise."""
    aim_kind: Kind = "stated" if mix.aim_kind == "stated" else "assumed"
    account = (*mix.mixed.portion_heats, *mix.mixed.terms)
    return MixSheet(
        aim=kelvin(mix.aim, aim_kind) if mix.aim is not None else None,
        way=mix.way.name,
        duration=Cell(mix.way.duration, "s", "stated"),
        temperature=_banded(mix.temperature),
        unsteered=_banded(mix.unsteered.temperature),
        delay=Cell(delay, "s", "model", model="rise") if delay is not None else None,
        levers=tuple(map(_lever_row, mix.pulled)),
        classic=_classic(p, kitchen, mix),
        heat=tuple(HeatTerm(name, heat) for name, heat in account),
        advice=(*_flour_advice(p, kitchen, mix), *_butter_advice(p, kitchen, mix)),
    )


MIXING_ERROR: KelvinDifference = 1.0
"""Expected error of the heat balance by hand and in a home mixer (its model card)."""


def _banded(temperature: Kelvin) -> Cell:
    low, high = temperature - MIXING_ERROR, temperature + MIXING_ERROR
    return Cell(temperature, "K", "model", low, high, "mixing")


def _lever_row(lever: Lever) -> LeverRow:
    return LeverRow(
        kind=lever.kind,
        names=lever.names,
        temperature=kelvin(lever.temperature, "model", "mixing"),
        reached=kelvin(lever.reached, "model", "mixing"),
        feasible=lever.feasible,
        limit=lever.limit or "",
    )


def _classic(p: SolvedPreparation, kitchen: Kitchen, mix: Mix) -> ClassicRow | None:
    """The n-factor rule for the free liquid, with the same real warming behind its factor."""
    liquid = next((lever for lever in mix.pulled if lever.kind == "liquid"), None)
    if liquid is None or mix.aim is None:
        return None
    known = [kitchen.room, _flour_temperature(p, kitchen, mix)]
    known += [warm.temperature for warm in mix.taken.values()]
    warming = _real_warming(mix)
    factors = len(known) + 1
    factor = friction_factor(warming, factors)
    answer = classic_liquid_temperature(mix.aim, known, factor)
    wanted = liquid.unbounded if liquid.unbounded is not None else liquid.temperature
    bench = usual_bench(kitchen.room, p.mass, kitchen.bowl)
    by_rule = mixed_dough(set_to(_unfrozen(mix), liquid.names, answer), mix.way, bench)
    return ClassicRow(
        factors=factors,
        friction_factor=Cell(factor, "delta_K", "model", model="classic-rule"),
        liquid=kelvin(answer, "model", "classic-rule"),
        balance=kelvin(wanted, "model", "mixing"),
        difference=Cell(answer - wanted, "delta_K", "model", model="classic-rule"),
        dough=kelvin(by_rule.temperature, "model", "mixing"),
    )


def _unfrozen(mix: Mix) -> tuple[Portion, ...]:
    """The mix as it would be without ice."""
    return tuple(replace(x, frozen=False) for x in mix.portions)


def _real_warming(mix: Mix) -> KelvinDifference:
    if mix.way.warming is not None:
        return mix.way.warming
    work = (mix.way.specific_power or 0.0) * mix.mixed.mass * mix.way.duration
    return work / mix.mixed.heat_capacity


def _flour_temperature(p: SolvedPreparation, kitchen: Kitchen, mix: Mix) -> Kelvin:
    """Mean temperature of the flour that goes into this mix."""
    rows = [
        (mass, mix.warmths[line.name].temperature)
        for line, mass in zip(p.preparation.lines, p.masses, strict=True)
        if line.ingredient.kind == "flour"
    ]
    total = sum(mass for mass, _ in rows)
    return sum(m * t for m, t in rows) / total if total else kitchen.flour


def _flour_advice(p: SolvedPreparation, kitchen: Kitchen, mix: Mix) -> list[Notice]:
    """How long flour must stand in the fridge, and how fast it warms on the bench."""
    floury = [
        (line, mass)
        for line, mass in zip(p.preparation.lines, p.masses, strict=True)
        if line.ingredient.kind == "flour" and _comes_cold(line, mix)
    ]
    if not floury or kitchen.fridge >= kitchen.flour - 1.5:
        return []
    mass = sum(mass for _, mass in floury)
    halfway = (kitchen.fridge + kitchen.flour) / 2
    warms = time_to_reach(
        halfway,
        flour_bag(mass),
        flour_material(),
        kitchen.fridge,
        kitchen.flour,
        surface_coefficient(),
        "mean",
    )
    return [
        Notice.of(
            "flour-chilling-time",
            "preparations",
            p.name,
            mass=mass,
            time=flour_chilling_time(mass, kitchen.flour, kitchen.fridge),
            fridge=kitchen.fridge,
            warms=warms,
            halfway=halfway,
        )
    ]


SMALL_SPLIT: Ratio = 0.1
"""A share of flour too small to be worth weighing apart: it moves a dough by half a degree."""


def _comes_cold(line: Line, mix: Mix) -> bool:
    warm = mix.warmths[line.name]
    shares = [x.cold_share for x in mix.pulled if line.name in x.names and x.cold_share]
    return (warm.kind == "kept" and warm.place == "fridge") or any(s > SMALL_SPLIT for s in shares)


BUTTER_PIECE = (0.10, 0.065, 0.035)
"""A cut of butter on the bench, m: half of a usual 500 g block (assumption)."""


def _butter_advice(p: SolvedPreparation, kitchen: Kitchen, mix: Mix) -> list[Notice]:
    """How long butter from the fridge takes to reach the temperature the formula states."""
    return [
        Notice.of(
            "butter-warming-time",
            "preparations",
            p.name,
            "ingredients",
            line.name,
            time=_butter_warming_time(line.ingredient.composition, warm.temperature, kitchen),
            target=warm.temperature,
        )
        for line in p.preparation.lines
        if line.ingredient.butterfat
        and line.ingredient.kind == "fat"
        and line.ingredient.composition is not None
        and (warm := mix.warmths[line.name]).kind == "stated"
        and kitchen.fridge + 1 < warm.temperature < kitchen.room - 0.2
    ]


def _butter_warming_time(composition: Composition, target: Kelvin, kitchen: Kitchen) -> Second:
    return time_to_reach(
        target,
        Brick(*BUTTER_PIECE),
        butter_material(composition, kitchen.fridge, target),
        kitchen.fridge,
        kitchen.room,
        surface_coefficient(),
        "mean",
    )
