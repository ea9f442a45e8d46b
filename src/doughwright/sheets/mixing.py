"""One mix: the temperature aimed at, the lever that reaches it, the classic rule beside it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import prod

from doughwright.engine.chilling import (
    CHILLING,
    Brick,
    butter_material,
    flour_bag,
    flour_chilling_time,
    flour_material,
    surface_coefficient,
    time_to_reach,
)
from doughwright.engine.classic_rule import (
    CLASSIC_RULE,
    classic_liquid_temperature,
    friction_factor,
)
from doughwright.engine.formula import SolvedPreparation
from doughwright.engine.ingredients import Composition
from doughwright.engine.kneading import MixingWay
from doughwright.engine.levers import Lever, set_to
from doughwright.engine.mixing import mixed_dough, portion_temperature_for
from doughwright.engine.portions import mixing_constant
from doughwright.engine.weighing import nearest_weight, weights
from doughwright.errors import Notice
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.mixes import Mix
from doughwright.sheets.cells import Cell, Kind, kelvin
from doughwright.sources import notices_for
from doughwright.units import (
    ICE_POINT,
    Joule,
    Kelvin,
    KelvinDifference,
    Kilogram,
    Ratio,
    Second,
)


@dataclass(frozen=True, slots=True)
class LeverRow:
    """One lever as it is to be set and how far the dough gets with it.

    ``mass`` is the ice to take, on the scale's steps; the other levers have none.
    """

    kind: str
    names: tuple[str, ...]
    temperature: Cell
    reached: Cell
    feasible: bool
    limit: str
    mass: Cell | None = None


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
    error = mixing_error(mix.way)
    classic = _classic(p, kitchen, mix)
    doubts = _classic_advice(p, kitchen, mix) if classic is not None else ()
    return MixSheet(
        aim=kelvin(mix.aim, aim_kind) if mix.aim is not None else None,
        way=mix.way.name,
        duration=Cell(mix.way.duration, "s", "stated"),
        temperature=_banded(mix.temperature, error),
        unsteered=_banded(mix.unsteered.temperature, error),
        delay=Cell(delay, "s", "model", model="rise") if delay is not None else None,
        levers=tuple(_lever_row(lever, p, kitchen) for lever in mix.pulled),
        classic=classic,
        heat=tuple(HeatTerm(name, heat) for name, heat in account),
        advice=(
            *doubts,
            *_flour_advice(p, kitchen, mix),
            *_butter_advice(p, kitchen, mix),
        ),
    )


ERROR_WHERE_WARMING_IS_KNOWN: KelvinDifference = 1.0
"""Expected error of the heat balance by hand, or with a mixer whose warming the kitchen
states (its model card)."""

ERROR_OF_ANY_OTHER_MIXER: KelvinDifference = 2.0
"""Expected error of the heat balance where the mixer's heat is a usual one (its model card)."""


def mixing_error(way: MixingWay) -> KelvinDifference:
    """How far off the heat balance may be for one way of mixing."""
    if way.name == "hand" or way.warming is not None:
        return ERROR_WHERE_WARMING_IS_KNOWN
    return ERROR_OF_ANY_OTHER_MIXER


def _banded(temperature: Kelvin, error: KelvinDifference) -> Cell:
    return Cell(temperature, "K", "model", temperature - error, temperature + error, "mixing")


def _lever_row(lever: Lever, p: SolvedPreparation, kitchen: Kitchen) -> LeverRow:
    return LeverRow(
        kind=lever.kind,
        names=lever.names,
        temperature=kelvin(lever.temperature, "model", "mixing"),
        reached=kelvin(lever.reached, "model", "mixing"),
        feasible=lever.feasible,
        limit=lever.limit or "",
        mass=_ice(lever, p, kitchen) if lever.ice else None,
    )


def _ice(lever: Lever, p: SolvedPreparation, kitchen: Kitchen) -> Cell:
    """The ice of a lever, in the steps in which its water is weighed."""
    lines = zip(p.preparation.lines, p.masses, strict=True)
    water = sum(mass for line, mass in lines if line.name in lever.names)
    (weight,) = weights((water,), kitchen.scale)
    ice = nearest_weight(lever.ice, weight.step)
    return Cell(ice, "kg", "model", model="mixing")


SAME_LIQUID: KelvinDifference = 0.6
"""The rule is compared only where the plan pours the liquid it is compared with."""


def _classic(p: SolvedPreparation, kitchen: Kitchen, mix: Mix) -> ClassicRow | None:
    """The n-factor rule for the free liquid, beside what the balance wants of it alone.

    Both know the same temperatures: everything as it lies, no other lever pulled.
    """
    liquids = _steered_liquids(mix)
    if not liquids or mix.aim is None:
        return None
    known = _known_temperatures(p, kitchen, mix)
    factor = friction_factor(_real_warming(mix), len(known) + 1)
    answer = classic_liquid_temperature(mix.aim, known, factor)
    wanted = portion_temperature_for(mix.aim, mix.lying, liquids, mix.way, mix.bench)
    if not (_speakable(answer) and _speakable(wanted)):
        return None
    set_at = next((x.temperature for x in mix.pulled if x.kind == "liquid"), wanted)
    if abs(set_at - wanted) > SAME_LIQUID:
        return None  # other levers share the work: two liquids side by side would mislead
    by_rule = mixed_dough(set_to(mix.lying, liquids, answer), mix.way, mix.bench)
    return ClassicRow(
        factors=len(known) + 1,
        friction_factor=Cell(factor, "delta_K", "model", model="classic-rule"),
        liquid=kelvin(answer, "model", "classic-rule"),
        balance=kelvin(wanted, "model", "mixing"),
        difference=Cell(answer - wanted, "delta_K", "model", model="classic-rule"),
        dough=kelvin(by_rule.temperature, "model", "mixing"),
    )


def _steered_liquids(mix: Mix) -> tuple[str, ...]:
    """The liquids a baker steers the dough with, though they may lie at their limit already."""
    pulled = next((lever.names for lever in mix.pulled if lever.kind == "liquid"), ())
    if pulled or not mix.pulled:
        return pulled
    free = {name for name, warm in mix.warmths.items() if warm.kind == "free"}
    return tuple(x.name for x in mix.lying if x.name in free and x.mass > 0)


COLDEST_ANSWER: Kelvin = ICE_POINT - 20.0
WARMEST_ANSWER: Kelvin = ICE_POINT + 100.0
"""Between these a liquid is still worth talking of: from ice out of the freezer to boiling."""


def _speakable(liquid: Kelvin) -> bool:
    return COLDEST_ANSWER <= liquid <= WARMEST_ANSWER


def _known_temperatures(p: SolvedPreparation, kitchen: Kitchen, mix: Mix) -> list[Kelvin]:
    """What the rule counts beside the liquid: room, flour and preparations, as they lie."""
    lying = {x.name: x for x in mix.lying}
    flour = [lying[x.name] for x in p.preparation.lines if x.ingredient.kind == "flour"]
    mass = sum(x.mass for x in flour)
    mean = [sum(x.mass * x.temperature for x in flour) / mass] if mass else []
    return [kitchen.room, *mean, *(lying[name].temperature for name in p.taken)]


def _classic_advice(p: SolvedPreparation, kitchen: Kitchen, mix: Mix) -> tuple[Notice, ...]:
    """The first of what the rule's card does not cover; one says enough."""
    known = _known_temperatures(p, kitchen, mix)
    covered = CLASSIC_RULE.inputs["known_temperature"]
    inputs = {
        "known_temperature": max(known, key=lambda t: abs(2 * t - covered.low - covered.high)),
        "spread": max(known) - min(known),
    }
    if p.taken:
        inputs["preferment_share"] = sum(p.taken.values()) / p.mass
    return _at(p, notices_for(CLASSIC_RULE, **inputs)[:1])


def _at(p: SolvedPreparation, notices: Iterable[Notice]) -> tuple[Notice, ...]:
    return tuple(replace(notice, where=("preparations", p.name)) for notice in notices)


def _real_warming(mix: Mix) -> KelvinDifference:
    if mix.way.warming is not None:
        return mix.way.warming
    work = (mix.way.specific_power or 0.0) * mix.unsteered.mass * mix.way.duration
    return work / mix.unsteered.heat_capacity


def _flour_advice(p: SolvedPreparation, kitchen: Kitchen, mix: Mix) -> list[Notice]:
    """How long flour must stand in the fridge, and how fast it warms on the bench."""
    mass = sum(
        _from_fridge(line.name, made, mix)
        for line, made in zip(p.preparation.lines, p.masses, strict=True)
        if line.ingredient.kind == "flour"
    )
    if not mass or kitchen.fridge >= kitchen.flour - 1.5:
        return []
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
    times = Notice.of(
        "flour-chilling-time",
        "preparations",
        p.name,
        mass=mass,
        time=flour_chilling_time(mass, kitchen.flour, kitchen.fridge),
        fridge=kitchen.fridge,
        warms=warms,
        halfway=halfway,
    )
    return [times, *_at(p, _beyond_chilling(mass, kitchen.fridge, kitchen.flour))]


def _beyond_chilling(mass: Kilogram, *temperatures: Kelvin) -> list[Notice]:
    """What the chilling card does not cover, each thing once."""
    found = {
        notice.values["input"]: notice
        for temperature in temperatures
        for notice in notices_for(CHILLING, mass=mass, temperature=temperature)
    }
    return list(found.values())


SMALL_SPLIT: Ratio = 0.1
"""A share of flour too small to be worth weighing apart: it moves a dough by half a degree."""


def _from_fridge(name: str, mass: Kilogram, mix: Mix) -> Kilogram:
    """How much of a line of flour comes out of the fridge."""
    lever = next((x for x in mix.pulled if x.kind == "flour" and name in x.names), None)
    if lever is None or lever.cold_share is None:
        warm = mix.warmths[name]
        return mass if warm.kind == "kept" and warm.place == "fridge" else 0.0
    if lever.places[0] != "fridge" or lever.cold_share <= SMALL_SPLIT:
        return 0.0
    return mass if lever.cold_share >= 1 - SMALL_SPLIT else lever.cold_share * mass


BUTTER_PIECE = (0.10, 0.065, 0.035)
"""A cut of butter on the bench, m: half of a usual 500 g block (assumption)."""


def _butter_advice(p: SolvedPreparation, kitchen: Kitchen, mix: Mix) -> list[Notice]:
    """How long butter from the fridge takes to reach the temperature the formula states."""
    times = [
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
    piece = prod(BUTTER_PIECE) * mixing_constant("butter_density")
    beyond = _beyond_chilling(piece, kitchen.fridge, kitchen.room) if times else ()
    return [*times, *_at(p, beyond)]


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
