"""Every mix of a formula in a kitchen: how warm each thing must be, and what comes out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.documents.formula import Preparation as PreparationInDocument
from doughwright.documents.formula import Step
from doughwright.engine.formula import SolvedPreparation
from doughwright.engine.kneading import Bench, MixingWay, usual_bench
from doughwright.engine.levers import Lever, levers, set_to
from doughwright.engine.mixing import MixedDough, as_portion, mixed_dough
from doughwright.engine.offers import Offer, PrefermentOffer
from doughwright.engine.portions import Portion
from doughwright.engine.yeast_limits import yeast_notices
from doughwright.errors import DocumentError, Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen, default
from doughwright.resolving.portions import Warmth, portion_of, warmth
from doughwright.resolving.process import Slot, TimedStep, slots
from doughwright.resolving.resting import cooled, temperature_after
from doughwright.resolving.steering import (
    is_felt,
    leavened,
    needed,
    own_offers,
    preferment_offer,
)
from doughwright.resolving.ways import mixing_way, way_notices
from doughwright.units import ICE_POINT, Kelvin, KelvinDifference

KNEADED_FROM = 240.0
"""Hand work longer than this, in s, is kneading on the table; shorter is stirring in a bowl."""


@dataclass(frozen=True, slots=True)
class Mix:
    """One preparation mixed in one kitchen.

    ``warmths`` are by line name as set by the levers; ``taken`` how warm each preparation
    goes in, ``ended`` how warm its own last rest left it; ``lying`` are the portions before
    any lever, ``unsteered`` the dough they would give. ``aim_kind`` is ``stated``,
    ``assumed`` or ``none``.
    """

    name: str
    aim: Kelvin | None
    aim_kind: str
    way: MixingWay
    bench: Bench
    warmths: Mapping[str, Warmth]
    taken: Mapping[str, Warmth]
    ended: Mapping[str, Kelvin]
    lying: tuple[Portion, ...]
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
class _Plan:
    """What all mixes of one plan share."""

    formula: ResolvedFormula
    kitchen: Kitchen
    steps: Sequence[TimedStep]
    laid: Mapping[int, Slot]
    warmer: Mapping[str, KelvinDifference]

    def of(self, name: str) -> list[TimedStep]:
        """The steps of one preparation, in order."""
        return [t for t in self.steps if t.step.of == name]

    def mixing(self, name: str) -> list[Step]:
        """The mix steps of one preparation."""
        return [t.step for t in self.of(name) if t.step.verb == "mix"]


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
    laid = {slot.timed.position: slot for slot in slots(steps)}
    plan = _Plan(formula, kitchen, steps, laid, warmer or {})
    done: dict[str, Mix] = {}
    for p in formula.solution.preparations:
        if p.preparation.in_dough:
            done[p.name] = _mix(plan, p, done)
            answered = _answered(plan, done[p.name], done)
            done |= answered
            done[p.name] = _with_ends(plan, done[p.name], answered)
    return done


def _with_ends(plan: _Plan, mix: Mix, answered: Mapping[str, Mix]) -> Mix:
    """Where its lever has changed a preferment, that preferment also ends otherwise."""
    document = plan.formula.document.preparations[mix.name]
    changed = {name: _ended(plan, name, document, other.mixed) for name, other in answered.items()}
    return replace(mix, ended={**mix.ended, **changed}) if changed else mix


def _answered(plan: _Plan, mix: Mix, done: Mapping[str, Mix]) -> dict[str, Mix]:
    """Mix a preferment again as the dough's lever asks: with its liquid that warm."""
    return {
        name: _remixed(plan, done[name], lever.temperature)
        for lever in mix.pulled
        if lever.kind == "preferment liquid"
        for name in lever.names
    }


def _remixed(plan: _Plan, mix: Mix, liquid: Kelvin) -> Mix:
    portions = set_to(mix.portions, _liquid_names(plan, mix), liquid)
    mixed = mixed_dough(portions, mix.way, mix.bench)
    changed = replace(mix, warmths=_as_set(mix.warmths, portions), mixed=mixed, portions=portions)
    return replace(changed, notices=_notices(plan, changed))


def _mix(plan: _Plan, p: SolvedPreparation, done: Mapping[str, Mix]) -> Mix:
    document = plan.formula.document.preparations[p.name]
    warmths = {
        line.name: warmth(line, document.ingredients[line.name], plan.kitchen)
        for line in p.preparation.lines
    }
    _refuse_unmixed(plan, p, done)
    ended = {name: _ended(plan, name, document, done[name].mixed) for name in p.taken}
    taken = {name: _taken(plan, p.name, name, document, done) for name in p.taken}
    way = mixing_way(plan.mixing(p.name), plan.kitchen, p.preparation.kind)
    bench = bench_of(way, plan.kitchen, p.mass)
    aim, aim_kind = _aim(document)
    lying = _lying(p, warmths, taken, done)
    unsteered = mixed_dough(lying, way, bench)
    start = Mix(
        name=p.name,
        aim=aim,
        aim_kind=aim_kind,
        way=way,
        bench=bench,
        warmths=warmths,
        taken=taken,
        ended=ended,
        lying=lying,
        unsteered=unsteered,
        mixed=unsteered,
        pulled=(),
        portions=lying,
        notices=(),
    )
    steered = start if aim is None else _steered(start, aim, _offers(plan, p, start, done))
    return replace(steered, notices=_notices(plan, steered))


def _refuse_unmixed(plan: _Plan, p: SolvedPreparation, done: Mapping[str, Mix]) -> None:
    """Refuse a dough that takes in a filling, topping or glaze."""
    kinds = {other.name: other.preparation.kind for other in plan.formula.solution.preparations}
    problems = [
        Notice.of(
            "takes-what-is-not-mixed",
            "preparations",
            p.name,
            "from",
            name,
            taker=p.name,
            name=name,
            kind=kinds[name],
        )
        for name in p.taken
        if name not in done
    ]
    if problems:
        raise DocumentError(problems)


def _lying(
    p: SolvedPreparation,
    warmths: Mapping[str, Warmth],
    taken: Mapping[str, Warmth],
    done: Mapping[str, Mix],
) -> tuple[Portion, ...]:
    """What goes into the bowl, each thing as warm as it lies."""
    own = (
        portion_of(line, mass, warmths[line.name].temperature)
        for line, mass in zip(p.preparation.lines, p.masses, strict=True)
    )
    others = (
        replace(as_portion(name, done[name].mixed, taken[name].temperature), mass=mass)
        for name, mass in p.taken.items()
    )
    return (*own, *others)


def _steered(mix: Mix, aim: Kelvin, offers: Sequence[Offer]) -> Mix:
    """Pull the levers that bring the dough to its aim, or as near as they go."""
    if abs(mix.unsteered.temperature - aim) <= MOVED_ENOUGH:
        return mix
    tried = levers(aim, mix.lying, offers, mix.way, mix.bench)
    pulled = needed(tried, aim, mix.unsteered.temperature)
    if not pulled:
        return mix
    portions = pulled[-1].portions
    return replace(
        mix,
        warmths=_as_set(mix.warmths, portions),
        taken=_as_set(mix.taken, portions),
        mixed=mixed_dough(portions, mix.way, mix.bench),
        pulled=pulled,
        portions=portions,
    )


MOVED_ENOUGH: KelvinDifference = 0.05
"""A dough this close to its aim is left alone."""


def _as_set(warmths: Mapping[str, Warmth], portions: Sequence[Portion]) -> dict[str, Warmth]:
    found = {portion.name: portion.temperature for portion in portions}
    return {
        name: w if found.get(name) == w.temperature else Warmth(found[name], "lever", w.place)
        for name, w in warmths.items()
    }


def _notices(plan: _Plan, mix: Mix) -> tuple[Notice, ...]:
    """What there is to say about a mix as it finally stands, each code once."""
    found = [*mix.mixed.notices, *way_notices(mix.way, plan.kitchen), *_missed_aim(mix)]
    if leavened(plan.formula.solution, mix.name):
        found += _for_yeast(plan, mix)
    if any(portion.frozen and portion.name != "ice" for portion in mix.portions):
        found.append(Notice.of("frozen-liquid", reached=mix.temperature))
    unique = {(n.code, n.where): n for n in found}
    return tuple(
        Notice(n.code, ("preparations", mix.name, *n.where), n.values) for n in unique.values()
    )


WORTH_SAYING: KelvinDifference = 0.75
"""A dough this close to its aim is at it, as thermometers go."""


def _missed_aim(mix: Mix) -> tuple[Notice, ...]:
    if mix.aim is None or abs(mix.temperature - mix.aim) <= WORTH_SAYING:
        return ()
    if not mix.pulled:
        return (Notice.of("no-lever", target=mix.aim, reached=mix.temperature),)
    last = mix.pulled[-1]
    values = {"what": ", ".join(last.names), "limit": last.limit}
    notice = Notice.of("target-out-of-reach", target=mix.aim, reached=mix.temperature, **values)
    return (notice,)


def _for_yeast(plan: _Plan, mix: Mix) -> tuple[Notice, ...]:
    """Judge the warmest liquid that yeast meets, and the mix itself."""
    p = plan.formula.solution.named(mix.name)
    poured = {line.name for line in p.preparation.lines if line.ingredient.poured}
    liquids = [x.temperature for x in mix.portions if x.name in poured and x.mass > 0]
    active = any(line.ingredient.name == "active dry yeast" for line in p.preparation.lines)
    return yeast_notices(
        liquid=max(liquids, default=None),
        mixed=mix.temperature,
        dry_yeast_in_liquid=active and bool(liquids),
    )


def _taken(
    plan: _Plan,
    taker: str,
    name: str,
    document: PreparationInDocument,
    done: Mapping[str, Mix],
) -> Warmth:
    """Temperature of a preparation when it goes in: measured, or after its rests and waits."""
    use = document.uses[name]
    if use.at is not None:
        return Warmth(use.at.best, "stated", "")
    return Warmth(_waited(plan, taker, name, done[name].mixed), "model", "")


def _ended(plan: _Plan, name: str, document: PreparationInDocument, mixed: MixedDough) -> Kelvin:
    """How warm a preparation is at the end of its own rests."""
    measured = document.uses[name].at
    if measured is not None:
        return measured.best
    mass = plan.formula.solution.named(name).mass
    rests = [t for t in plan.of(name) if not t.hands_on]
    after = temperature_after(mixed, mass, rests, plan.kitchen.room)
    return after + plan.warmer.get(name, 0.0)


def _waited(plan: _Plan, taker: str, name: str, mixed: MixedDough) -> Kelvin:
    """How warm a preparation is when it is taken: after its rests it waits where it stood."""
    mass = plan.formula.solution.named(name).mass
    rests = [t for t in plan.of(name) if not t.hands_on]
    after = temperature_after(mixed, mass, rests, plan.kitchen.room)
    after += plan.warmer.get(name, 0.0)
    gap = _gap(plan, taker, name)
    if gap <= 0:
        return after
    return cooled(after, mixed, mass, _waiting_place(plan, name), gap)


def _gap(plan: _Plan, taker: str, name: str) -> float:
    """Time between a preparation's last step and the mix that takes it, s."""
    mine = [plan.laid[t.position].end for t in plan.of(name)]
    mixing = [plan.laid[t.position].start for t in plan.of(taker) if t.step.verb == "mix"]
    return min(mixing) - max(mine) if mine and mixing else 0.0


def _waiting_place(plan: _Plan, name: str) -> Kelvin:
    """Where a preparation waits: where its last step left or keeps it."""
    last = plan.of(name)[-1]
    if last.step.keep is not None:
        return plan.kitchen.temperature_of(str(last.step.keep))
    stays = last.step.verb in {"retard", "ferment", "proof"} and last.place is not None
    return last.place if stays and last.place is not None else plan.kitchen.room


def bench_of(way: MixingWay, kitchen: Kitchen, mass: float) -> Bench:
    """What surrounds a mix: the bowl, and the table when it is kneaded by hand."""
    kneaded = way.name == "hand" and way.duration > KNEADED_FROM
    return usual_bench(kitchen.room, mass, kitchen.bowl, on_table=kneaded)


def _aim(document: PreparationInDocument) -> tuple[Kelvin | None, str]:
    if document.aim is not None:
        return document.aim.best, "stated"
    if document.kind == "dough":
        return default("aim"), "assumed"
    return None, "none"


def _offers(plan: _Plan, p: SolvedPreparation, mix: Mix, done: Mapping[str, Mix]) -> list[Offer]:
    """What may be turned, in order: liquid, ice in the water, flour, the preferment's liquid."""
    offers = own_offers(plan.formula.solution, p, mix.warmths, plan.kitchen)
    for name, warm in mix.taken.items():
        offer = _preferment_offer(plan, p, done[name]) if warm.kind == "model" else None
        if offer is not None and is_felt(offer, mix.lying, mix.way, mix.bench):
            offers.append(offer)
    return offers


def _preferment_offer(plan: _Plan, p: SolvedPreparation, mix: Mix) -> PrefermentOffer | None:
    """The liquid of a preferment without an aim of its own; a scald is made as it is made."""
    preparation = plan.formula.solution.named(mix.name).preparation
    liquids = _liquid_names(plan, mix)
    if preparation.kind != "preferment" or mix.aim is not None or not liquids:
        return None
    mass = p.taken[mix.name]

    def portion_at(liquid: Kelvin) -> Portion:
        portions = set_to(mix.portions, liquids, liquid)
        mixed = mixed_dough(portions, mix.way, mix.bench)
        waited = _waited(plan, p.name, mix.name, mixed)
        return replace(as_portion(mix.name, mixed, waited), mass=mass)

    return preferment_offer(plan.formula.solution, mix.name, liquids, plan.kitchen, portion_at)


def _liquid_names(plan: _Plan, mix: Mix) -> tuple[str, ...]:
    p = plan.formula.solution.named(mix.name)
    return tuple(
        line.name
        for line, mass in zip(p.preparation.lines, p.masses, strict=True)
        if mass > 0
        and line.ingredient.poured
        and mix.warmths[line.name].kind != "kept"
        and mix.warmths[line.name].temperature > ICE_POINT
    )
