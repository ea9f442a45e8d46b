"""What may be turned to bring a mix to its aim, in this formula and this kitchen."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from doughwright.engine.formula import SolvedFormula, SolvedPreparation
from doughwright.engine.kneading import Bench, MixingWay
from doughwright.engine.levers import Lever
from doughwright.engine.mixing import mixed_dough
from doughwright.engine.offers import (
    FlourOffer,
    IceOffer,
    LiquidOffer,
    Offer,
    PrefermentOffer,
    Reach,
    flour_offer,
    liquid_offer,
)
from doughwright.engine.portions import Portion
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.portions import Warmth
from doughwright.units import Kelvin, KelvinDifference

CLOSE_ENOUGH: KelvinDifference = 0.3
"""No kitchen steers a dough closer than this; the next lever is then left alone."""

FELT: KelvinDifference = 1.0
"""A preferment's liquid that moves the dough by less over all its range is no lever."""

MOVED: KelvinDifference = 0.05
"""A lever that moves the dough by less has not been pulled."""


def reach_of(kitchen: Kitchen) -> Reach:
    """The temperatures a kitchen can give."""
    return Reach(kitchen.tap_cold, kitchen.flour, kitchen.fridge, kitchen.tap_hot, kitchen.freezer)


def leavened(formula: SolvedFormula, name: str) -> bool:
    """Whether living yeast is in a preparation: its own, a starter's, or that of what it takes."""
    p = formula.named(name)
    own = any(
        line.ingredient.yeast_equivalent or line.ingredient.kind == "starter"
        for line in p.preparation.lines
    )
    return own or any(leavened(formula, other) for other in p.taken)


def free_liquids(
    formula: SolvedFormula, p: SolvedPreparation, warmths: Mapping[str, Warmth], reach: Reach
) -> LiquidOffer | None:
    """The liquids that may be poured at any temperature their source and the yeast allow."""
    free = [
        line
        for line, mass in zip(p.preparation.lines, p.masses, strict=True)
        if mass > 0 and warmths[line.name].kind == "free"
    ]
    if not free:
        return None
    watery = any(line.ingredient.name == "water" for line in free)
    return liquid_offer(
        [line.name for line in free],
        reach,
        yeast=leavened(formula, p.name),
        chilled=not watery,
        heated=not watery,
    )


def own_offers(
    formula: SolvedFormula, p: SolvedPreparation, warmths: Mapping[str, Warmth], kitchen: Kitchen
) -> list[Offer]:
    """What may be turned within a preparation: liquid, ice in its water, flour."""
    reach = reach_of(kitchen)
    offers: list[Offer] = []
    liquid = free_liquids(formula, p, warmths, reach)
    if liquid is not None:
        offers.append(liquid)
        offers += [IceOffer(name) for name in liquid.names if _is_water(p, name)][:1]
    floury = tuple(
        line.name
        for line, mass in zip(p.preparation.lines, p.masses, strict=True)
        if mass > 0 and line.ingredient.kind == "flour" and warmths[line.name].kind != "stated"
    )
    if floury:
        frozen = any(warmths[name].place == "freezer" for name in floury)
        offers.append(_flour_offer(floury, reach, frozen=frozen))
    return offers


def _flour_offer(names: tuple[str, ...], reach: Reach, *, frozen: bool) -> FlourOffer:
    offer = flour_offer(names, reach, from_freezer=frozen)
    if offer.coldest.temperature <= offer.warmest.temperature:
        return offer
    return replace(offer, coldest=offer.warmest, warmest=offer.coldest)


def _is_water(p: SolvedPreparation, name: str) -> bool:
    return any(
        line.name == name and line.ingredient.name == "water" for line in p.preparation.lines
    )


def preferment_offer(
    formula: SolvedFormula,
    name: str,
    liquids: Sequence[str],
    kitchen: Kitchen,
    portion_at: Callable[[Kelvin], Portion],
) -> PrefermentOffer:
    """The liquid of a preferment that is still to be mixed, within the yeast's limits."""
    yeasted = leavened(formula, name)
    limits = liquid_offer(liquids, reach_of(kitchen), yeast=yeasted, chilled=True, heated=True)
    return PrefermentOffer(name, portion_at, limits.coldest, limits.warmest, yeast=yeasted)


def is_felt(offer: PrefermentOffer, lying: Sequence[Portion], way: MixingWay, bench: Bench) -> bool:
    """Whether a preferment's liquid still moves the dough by the time it goes in."""

    def dough_with(liquid: Kelvin) -> Kelvin:
        portion = offer.portion_at(liquid)
        portions = [portion if x.name == offer.name else x for x in lying]
        return mixed_dough(portions, way, bench).temperature

    gain = dough_with(offer.warmest.temperature) - dough_with(offer.coldest.temperature)
    return gain > FELT


def needed(pulled: Sequence[Lever], aim: Kelvin, unsteered: Kelvin) -> tuple[Lever, ...]:
    """The levers that move the dough, up to the first that brings it close enough."""
    kept: list[Lever] = []
    before = unsteered
    for lever in pulled:
        if abs(lever.reached - before) > MOVED:
            kept.append(lever)
            before = lever.reached
        if abs(before - aim) <= CLOSE_ENOUGH:
            return (*kept[:-1], *(replace(last, feasible=True, notices=()) for last in kept[-1:]))
    return tuple(kept)
