"""Every mix of a formula in a kitchen: how warm each thing must be, and what comes out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.documents.formula import Preparation as PreparationInDocument
from doughwright.documents.formula import Step
from doughwright.engine.formula import SolvedPreparation
from doughwright.engine.kneading import Bench, MixingWay, usual_bench, usual_way
from doughwright.engine.levers import Lever, levers, set_to
from doughwright.engine.mixing import MixedDough, as_portion, mixed_dough
from doughwright.engine.offers import (
    FlourOffer,
    IceOffer,
    Limit,
    LiquidOffer,
    Offer,
    PrefermentOffer,
    Reach,
    flour_offer,
    liquid_offer,
)
from doughwright.engine.portions import Portion
from doughwright.engine.yeast_limits import yeast_notices
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen, default
from doughwright.resolving.portions import Warmth, portion_of, warmth
from doughwright.resolving.process import TimedStep
from doughwright.resolving.resting import temperature_after
from doughwright.units import Kelvin, KelvinDifference, Second

BOILED_AT: Kelvin = 373.15


@dataclass(frozen=True, slots=True)
class Mix:
    """One preparation mixed in one kitchen.

    ``warmths`` are by line name as set by the levers; ``unsteered`` is the dough's
    temperature with everything as it lies; ``taken`` the temperature of each
    preparation that goes in. ``aim_kind`` is ``stated``, ``assumed`` or ``none``.
    """

    name: str
    aim: Kelvin | None
    aim_kind: str
    way: MixingWay
    warmths: Mapping[str, Warmth]
    taken: Mapping[str, Warmth]
    unsteered: MixedDough
    mixed: MixedDough
    pulled: tuple[Lever, ...]
    portions: tuple[Portion, ...]
    notices: tuple[Notice, ...]

    @property
    def temperature(self) -> Kelvin:
        """How warm the dough comes out."""
        return self.mixed.temperature


@dataclass(frozen=True, slots=True)
class _Kitchenful:
    """What all mixes of one plan share."""

    formula: ResolvedFormula
    kitchen: Kitchen
    steps: Sequence[TimedStep]
    warmer: Mapping[str, KelvinDifference]


def mixes(
    formula: ResolvedFormula,
    kitchen: Kitchen,
    steps: Sequence[TimedStep],
    warmer: Mapping[str, KelvinDifference] | None = None,
) -> dict[str, Mix]:
    """Mix every preferment, soaker and dough, each from those before it.

    ``warmer`` says by how much a preparation ends warmer than cooling alone would leave it:
    what its yeast has heated it, as the rise model finds.
    """
    shared = _Kitchenful(formula, kitchen, steps, warmer or {})
    done: dict[str, Mix] = {}
    for p in formula.solution.preparations:
        if p.preparation.in_dough:
            done[p.name] = _mix(shared, p, done)
            done |= _answered(shared, done[p.name], done)
    return done


def _answered(shared: _Kitchenful, mix: Mix, done: Mapping[str, Mix]) -> dict[str, Mix]:
    """Mix a preferment again as the dough's lever asks: with its liquid that warm."""
    return {
        name: _remixed(shared, name, done[name], lever.temperature)
        for lever in mix.pulled
        if lever.kind == "preferment liquid"
        for name in lever.names
    }


def _remixed(shared: _Kitchenful, name: str, mix: Mix, liquid: Kelvin) -> Mix:
    p = shared.formula.solution.named(name)
    liquids = _liquid_names(shared, name, mix)
    portions = set_to(mix.portions, liquids, liquid)
    mixed = mixed_dough(portions, mix.way, _bench(mix.way, shared.kitchen, p.mass))
    return replace(
        mix,
        warmths=_as_set(mix.warmths, portions),
        mixed=mixed,
        portions=portions,
        notices=_notices(p, portions, (), mixed, None),
    )


def _mix(shared: _Kitchenful, p: SolvedPreparation, done: Mapping[str, Mix]) -> Mix:
    document = shared.formula.document.preparations[p.name]
    warmths = {
        line.name: warmth(line, document.ingredients[line.name], shared.kitchen)
        for line in p.preparation.lines
    }
    taken = {name: _taken(shared, name, document, done) for name in p.taken}
    lying = (
        *(
            portion_of(line, mass, warmths[line.name].temperature)
            for line, mass in zip(p.preparation.lines, p.masses, strict=True)
        ),
        *(
            replace(as_portion(name, done[name].mixed, taken[name].temperature), mass=p.taken[name])
            for name in p.taken
        ),
    )
    way = mixing_way(_step(shared.steps, "mix", p.name), shared.kitchen, p.preparation.kind)
    bench = _bench(way, shared.kitchen, p.mass)
    aim, aim_kind = _aim(document)
    unsteered = mixed_dough(lying, way, bench)
    offered = () if aim is None else tuple(_offers(shared, p, warmths, taken, done))
    pulled = _needed(levers(aim, lying, offered, way, bench), aim) if aim is not None else ()
    portions = pulled[-1].portions if pulled else lying
    mixed = mixed_dough(portions, way, bench)
    return Mix(
        name=p.name,
        aim=aim,
        aim_kind=aim_kind,
        way=way,
        warmths=_as_set(warmths, portions),
        taken=_as_set(taken, portions),
        unsteered=unsteered,
        mixed=mixed,
        pulled=pulled,
        portions=portions,
        notices=_notices(p, portions, pulled, mixed, aim),
    )


CLOSE_ENOUGH: KelvinDifference = 0.3
"""No kitchen steers a dough closer than this; the next lever is then left alone."""


def _needed(pulled: Sequence[Lever], aim: Kelvin) -> tuple[Lever, ...]:
    """The levers up to the first that brings the dough close enough to the aim."""
    for count, lever in enumerate(pulled, start=1):
        if abs(lever.reached - aim) <= CLOSE_ENOUGH:
            return (*pulled[: count - 1], replace(lever, feasible=True, notices=()))
    return tuple(pulled)


def _as_set(warmths: Mapping[str, Warmth], portions: Sequence[Portion]) -> dict[str, Warmth]:
    found = {portion.name: portion.temperature for portion in portions if not portion.frozen}
    return {
        name: w if found.get(name) == w.temperature else Warmth(found[name], "lever", w.place)
        for name, w in warmths.items()
    }


def _notices(
    p: SolvedPreparation,
    portions: Sequence[Portion],
    pulled: Sequence[Lever],
    mixed: MixedDough,
    aim: Kelvin | None,
) -> tuple[Notice, ...]:
    where = ("preparations", p.name)
    found = [*mixed.notices, *(n for lever in pulled for n in lever.notices)]
    if aim is not None and not pulled and abs(mixed.temperature - aim) > 0.5:
        found.append(Notice.of("no-lever", target=aim, reached=mixed.temperature))
    if not any(isinstance(n, Notice) and "yeast" in n.code for n in found):
        found += _for_yeast(p, portions, mixed)
    unique = {(n.code, n.where): n for n in found}
    return tuple(Notice(n.code, (*where, *n.where), n.values) for n in unique.values())


def _for_yeast(
    p: SolvedPreparation, portions: Sequence[Portion], mixed: MixedDough
) -> tuple[Notice, ...]:
    """Judge the warmest liquid and the mix where the yeast is added."""
    if not any(line.ingredient.yeast_equivalent for line in p.preparation.lines):
        return ()
    poured = {line.name for line in p.preparation.lines if line.ingredient.poured}
    liquids = [portion.temperature for portion in portions if portion.name in poured]
    return yeast_notices(liquid=max(liquids, default=None), mixed=mixed.temperature)


def _taken(
    shared: _Kitchenful, name: str, document: PreparationInDocument, done: Mapping[str, Mix]
) -> Warmth:
    """Temperature of a preparation when it goes in: measured, or after its rests."""
    use = document.uses[name]
    if use.at is not None:
        return Warmth(use.at.best, "stated", "")
    return Warmth(_rested(shared, name, done[name].mixed), "model", "")


def _rested(shared: _Kitchenful, name: str, mixed: MixedDough) -> Kelvin:
    mass = shared.formula.solution.named(name).mass
    rests = [t for t in shared.steps if t.step.of == name and not t.hands_on]
    cooled = temperature_after(mixed, mass, rests, shared.kitchen.room)
    return cooled + shared.warmer.get(name, 0.0)


def _step(steps: Sequence[TimedStep], verb: str, of: str) -> Step | None:
    return next((t.step for t in steps if t.step.verb == verb and t.step.of == of), None)


def _duration(step: Step | None) -> Second | None:
    return step.lasts.best if step is not None and step.lasts is not None else None


def mixing_way(step: Step | None, kitchen: Kitchen, kind: str = "dough") -> MixingWay:
    """How a preparation is worked: what the step says, warmed as this kitchen's mixer does.

    A preferment or soaker that says nothing is stirred by hand for 3 minutes.
    """
    name = step.by.casefold() if step is not None and step.by else "hand"
    duration = _duration(step)
    if step is None or (kind != "dough" and duration is None):
        duration = 180.0 if kind != "dough" else duration
    usual = usual_way(name if name in MIXERS else "hand", duration)
    heat = kitchen.mixers.get(name)
    if heat is None:
        return replace(usual, name=name)
    return MixingWay(name, heat.warming, heat.power, usual.duration)


MIXERS = frozenset({"hand", "stand mixer", "spiral", "processor", "high-energy"})
"""Ways of mixing whose usual heat is known (``properties/mixing.tsv``)."""


def _bench(way: MixingWay, kitchen: Kitchen, mass: float) -> Bench:
    kneaded = way.name == "hand" and way.duration > 240.0
    return usual_bench(kitchen.room, mass, kitchen.bowl, on_table=kneaded)


def _aim(document: PreparationInDocument) -> tuple[Kelvin | None, str]:
    if document.aim is not None:
        return document.aim.best, "stated"
    if document.kind == "dough":
        return default("aim"), "assumed"
    return None, "none"


def _reach(kitchen: Kitchen) -> Reach:
    return Reach(kitchen.tap_cold, kitchen.flour, kitchen.fridge, kitchen.tap_hot, kitchen.freezer)


def _offers(
    shared: _Kitchenful,
    p: SolvedPreparation,
    warmths: Mapping[str, Warmth],
    taken: Mapping[str, Warmth],
    done: Mapping[str, Mix],
) -> list[Offer]:
    """What may be turned, in order: liquid, ice in the water, flour, the preferment's liquid."""
    reach = _reach(shared.kitchen)
    offers: list[Offer] = []
    liquid = _free_liquids(p, warmths, reach)
    if liquid is not None:
        offers.append(liquid)
        offers += [IceOffer(name) for name in liquid.names if _is_water(p, name)][:1]
    floury = tuple(
        line.name
        for line in p.preparation.lines
        if line.ingredient.kind == "flour" and warmths[line.name].kind != "stated"
    )
    if floury:
        offers.append(_flour_offer(floury, reach))
    offers += _preferment_offers(shared, taken, done)
    return offers


def _flour_offer(names: tuple[str, ...], reach: Reach) -> FlourOffer:
    offer = flour_offer(names, reach)
    if offer.coldest.temperature <= offer.warmest.temperature:
        return offer
    return replace(offer, coldest=offer.warmest, warmest=offer.coldest)


def _is_water(p: SolvedPreparation, name: str) -> bool:
    return any(
        line.name == name and line.ingredient.name == "water" for line in p.preparation.lines
    )


def _free_liquids(
    p: SolvedPreparation, warmths: Mapping[str, Warmth], reach: Reach
) -> LiquidOffer | None:
    free = [line for line in p.preparation.lines if warmths[line.name].kind == "free"]
    if not free:
        return None
    watery = any(line.ingredient.name == "water" for line in free)
    return liquid_offer(
        [line.name for line in free],
        reach,
        yeast=any(line.ingredient.yeast_equivalent for line in p.preparation.lines),
        chilled=not watery,
        heated=not watery,
    )


def _preferment_offers(
    shared: _Kitchenful, taken: Mapping[str, Warmth], done: Mapping[str, Mix]
) -> list[Offer]:
    """The liquid of a preferment that is still to be mixed and whose warmth was not measured."""
    offers: list[Offer] = []
    for name, warm in taken.items():
        mix = done[name]
        liquids = _liquid_names(shared, name, mix)
        if warm.kind == "model" and liquids:
            offers.append(_preferment_offer(shared, name, mix, liquids))
    return offers


def _liquid_names(shared: _Kitchenful, name: str, mix: Mix) -> tuple[str, ...]:
    p = shared.formula.solution.named(name)
    return tuple(
        line.name
        for line in p.preparation.lines
        if line.ingredient.poured and mix.warmths[line.name].kind != "kept"
    )


def _preferment_offer(
    shared: _Kitchenful, name: str, mix: Mix, liquids: tuple[str, ...]
) -> PrefermentOffer:
    p = shared.formula.solution.named(name)
    bench = _bench(mix.way, shared.kitchen, p.mass)
    reach = _reach(shared.kitchen)
    yeasted = any(line.ingredient.yeast_equivalent for line in p.preparation.lines)
    limits = liquid_offer(liquids, reach, yeast=yeasted, chilled=True, heated=True)

    def portion_at(liquid: Kelvin) -> Portion:
        portions = set_to(mix.portions, liquids, liquid)
        mixed = mixed_dough(portions, mix.way, bench)
        return as_portion(name, mixed, _rested(shared, name, mixed))

    warmest = Limit("boiling", BOILED_AT) if not yeasted else limits.warmest
    return PrefermentOffer(name, portion_at, limits.coldest, warmest, yeast=yeasted)
