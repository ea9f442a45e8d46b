"""A formula's waiting steps as the stages of one dough, for the engine to follow."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from doughwright.documents.formula import FERMENTING, Step
from doughwright.documents.quantities import Quantity
from doughwright.engine.batch import For, Goal, Relative, Ripe, Stage, StageKind, standing_in
from doughwright.engine.batch import Mix as StagedMix
from doughwright.engine.cooling import Place
from doughwright.engine.dough import SUCROSE_MOLAR_MASS, Dough
from doughwright.engine.fermentation import Tolerance, YeastKind, parameters
from doughwright.engine.formula import SolvedFormula, SolvedPreparation
from doughwright.engine.ingredients import Ingredient
from doughwright.engine.oven import air_pressure
from doughwright.engine.overall import added_fat, free_water
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.mixes import Mix
from doughwright.resolving.process import TimedStep
from doughwright.units import Kelvin, Ratio

WAITING = FERMENTING | {"rest"}
"""Steps in which a dough stands and rises."""

MIXING_GIVE = 0.6
"""Standard deviation of a dough's temperature after mixing, K (model card: mixing)."""

FRICTION_SHARE: Ratio = 0.85
"""How much of a mixer's warming the dough keeps; bowl and table take the rest."""

DEFAULT_GOALS: Mapping[str, Goal] = {"ferment": Relative(2.0), "proof": Relative(1.8)}
"""Until what, when a formula says neither that nor how long it took (common practice)."""


@dataclass(frozen=True, slots=True)
class Staged:
    """A dough's stages with the process step each belongs to, and what was assumed.

    ``implied`` are stages whose goal is not named but follows from how long they took;
    ``assumed`` those whose goal is the usual one.
    """

    stages: tuple[Stage, ...]
    steps: tuple[TimedStep, ...]
    chain: tuple[str, ...]
    implied: frozenset[int]
    assumed: frozenset[int]


def chain(formula: SolvedFormula, steps: Sequence[TimedStep]) -> tuple[str, ...]:
    """The preparations a dough grows through, first to last: its leaven, then itself.

    Of several preparations with yeast that go into one, the one with the most leads;
    the others count as ingredients.
    """
    waiting = {t.step.of for t in steps if t.step.verb in WAITING}

    def grown(name: str) -> tuple[str, ...]:
        leavened = [
            (whole_dough(formula, other).yeast * mass / formula.named(other).mass, other)
            for other, mass in formula.named(name).taken.items()
            if mass and other in waiting and whole_dough(formula, other).yeast > 0
        ]
        return (*grown(max(leavened)[1]), name) if leavened else (name,)

    return grown(formula.final)


def left_out(formula: SolvedFormula, steps: Sequence[TimedStep]) -> tuple[str, ...]:
    """Leavens that stand and rise beside the one that is followed, and starters beside yeast."""
    followed = chain(formula, steps)
    waiting = {t.step.of for t in steps if t.step.verb in WAITING}
    beside = [
        p.name
        for p in formula.preparations
        if p.preparation.in_dough and p.name in waiting and p.name not in followed
    ]
    starters = [
        line.name
        for p in formula.preparations
        for line in p.preparation.lines
        if line.ingredient.kind == "starter"
    ]
    return (*beside, *starters)


def own_dough(p: SolvedPreparation) -> Dough:
    """What a preparation's own lines bring to a dough."""
    lines = zip(p.preparation.lines, p.masses, strict=True)
    return _sum([content(line.ingredient, mass) for line, mass in lines])


def whole_dough(formula: SolvedFormula, name: str) -> Dough:
    """What a preparation holds, with what it takes."""
    p = formula.named(name)
    taken = [
        whole_dough(formula, other) * (mass / formula.named(other).mass)
        for other, mass in p.taken.items()
        if mass
    ]
    return _sum([own_dough(p), *taken])


def _sum(parts: Sequence[Dough]) -> Dough:
    total = Dough(flour=0.0, water=0.0)
    for part in parts:
        total = total + part
    return total


def content(ingredient: Ingredient, mass: float) -> Dough:
    """An ingredient as fermentation sees it: flour, water, yeast, salt, sugars, fat, the rest."""
    flour = mass * ingredient.flour
    water = 0.0 if ingredient.yeast_equivalent else mass * free_water(ingredient)
    fat, salt = mass * added_fat(ingredient), mass * ingredient.salt
    sugar = 0.0 if ingredient.flour else mass * ingredient.fermentable_sugars
    dry = ingredient.kind == "sugar" and free_water(ingredient) == 0
    solids = mass - flour - water - fat - salt - sugar
    lactose = mass * max(0.0, ingredient.sugars - ingredient.fermentable_sugars)
    milky = ingredient.kind == "dairy" or ingredient.name.endswith("milk")
    if ingredient.yeast_equivalent:
        fresh = mass * ingredient.yeast_equivalent
        kind, bears = _kind(ingredient), _bears(ingredient)
        # the engine counts fresh yeast; what dry yeast weighs less comes off the rest
        less = mass - fresh
        return Dough(0.0, 0.0, yeast=fresh, solids=less, yeast_kind=kind, tolerance=bears)
    return Dough(
        flour=flour,
        water=water,
        salt=salt,
        sucrose=sugar if dry else 0.0,
        hexose=0.0 if dry else sugar,
        fat=fat,
        solids=max(0.0, solids),
        solutes=lactose / SUCROSE_MOLAR_MASS if milky else 0.0,
    )


def _kind(yeast: Ingredient) -> YeastKind:
    if "instant" in yeast.name:
        return "instant"
    return "active dry" if "dry" in yeast.name else "fresh"


def _bears(yeast: Ingredient) -> Tolerance:
    return "osmotolerant" if "osmotolerant" in yeast.name else "all-round"


def staged(
    formula: SolvedFormula, kitchen: Kitchen, steps: Sequence[TimedStep], mixed: Mapping[str, Mix]
) -> Staged | None:
    """Line up the stages of a dough; None when nothing with yeast stands and rises."""
    names = chain(formula, steps)
    if whole_dough(formula, names[-1]).yeast <= 0:
        return None
    found: list[tuple[Stage, TimedStep, str]] = []
    for before, name in zip((None, *names), names, strict=False):
        found += _of_preparation(formula, kitchen, steps, mixed, name, before if found else None)
    if not found or found[0][0].mix is None:
        return None
    kinds = [kind for _, _, kind in found]
    return Staged(
        stages=tuple(stage for stage, _, _ in found),
        steps=tuple(step for _, step, _ in found),
        chain=names,
        implied=frozenset(i for i, kind in enumerate(kinds) if kind == "implied"),
        assumed=frozenset(i for i, kind in enumerate(kinds) if kind == "assumed"),
    )


def _of_preparation(
    formula: SolvedFormula,
    kitchen: Kitchen,
    steps: Sequence[TimedStep],
    mixed: Mapping[str, Mix],
    name: str,
    before: str | None,
) -> list[tuple[Stage, TimedStep, str]]:
    """The stages of one preparation; the first carries what was mixed."""
    mix: StagedMix | None = staged_mix(formula, mixed[name], before)
    handled: list[str] = []
    found: list[tuple[Stage, TimedStep, str]] = []
    divided = False
    for timed in steps:
        step = timed.step
        if step.of != name and step.verb != "fill":
            continue
        divided = divided or step.verb == "divide"
        if step.verb not in WAITING:
            handled.append(step.verb)
            continue
        goal, kind = _goal(step)
        stage = Stage(
            kind=_stage_kind(step.verb, handled, first=mix is not None),
            goal=goal,
            places=standing_in(place_of(timed, kitchen)),
            mix=mix,
            pieces=(formula.pieces or 1) if divided else 1,
            gas_kept=None if mix is not None else gas_kept(handled),
            limit=_limit(goal),
        )
        found.append((stage, timed, kind))
        mix, handled = None, []
    return found


def _limit(goal: Goal) -> float:
    return max(24.0 * 3600.0, goal.time) if isinstance(goal, For) else 36.0 * 3600.0


def staged_mix(formula: SolvedFormula, mix: Mix, before: str | None) -> StagedMix:
    """What is mixed into the leaven that stands ready, and how warm it becomes."""
    p = formula.named(mix.name)
    others = [
        whole_dough(formula, other) * (mass / formula.named(other).mass)
        for other, mass in p.taken.items()
        if other != before and mass
    ]
    carried = p.taken[before] / formula.named(before).mass if before else 1.0
    return StagedMix(
        dough=_sum([own_dough(p), *others]),
        temperature=mix.temperature,
        preferment_temperature=_modelled_end(mix, before),
        carried=carried,
        by_friction=FRICTION_SHARE if p.preparation.kind == "dough" else 0.0,
        give=MIXING_GIVE,
    )


def _modelled_end(mix: Mix, before: str | None) -> Kelvin | None:
    """How warm the leaven ended by the model; None when it was measured: the mix has it then."""
    if before is None or mix.taken[before].kind == "stated":
        return None
    return mix.ended[before]


def _stage_kind(verb: str, handled: Sequence[str], *, first: bool) -> StageKind:
    if verb == "rest":
        return "rest"
    if verb == "proof" or "shape" in handled:
        return "proof"
    return "punch" if "punch" in handled and not first else "ferment"


def gas_kept(handled: Sequence[str]) -> Ratio:
    """Share of the bubbles that survives what was done since the last stage."""
    p = parameters()
    kept = {
        "punch": p["kept_punch"],
        "fold": p["kept_gentle_fold"],
        "divide": p["kept_divide"],
        "shape": p["kept_shape"],
        "fill": p["kept_shape"],
    }
    return min((kept[verb] for verb in handled if verb in kept), default=1.0)


def _goal(step: Step) -> tuple[Goal, str]:
    """Until what: as stated, as implied by how long it took, or as usual."""
    until = step.until
    if isinstance(until, Quantity):
        return (
            For(until.best) if until.dimension == "duration" else Relative(until.best)
        ), "stated"
    if until is not None:
        return (Ripe() if until == "ripe" else Relative(2.0)), "stated"
    if step.lasts is not None:
        return For(step.lasts.best), "stated"
    if step.took is not None:
        return For(step.took.best), "stated" if step.verb == "retard" else "implied"
    if step.verb in DEFAULT_GOALS:
        return DEFAULT_GOALS[step.verb], "assumed"
    return For(1200.0 if step.verb == "rest" else 12 * 3600.0), "assumed"


def place_of(timed: TimedStep, kitchen: Kitchen) -> Place:
    """Where a step's dough stands: a room, a fridge with its fan, a proofer."""
    p = parameters()
    step = timed.step
    temperature = timed.place if timed.place is not None else kitchen.room
    pressure = air_pressure(kitchen.altitude)
    covered = p["cover_resistance"] if step.cover is not False else 0.0
    if step.at == "fridge" or (step.verb == "retard" and step.at is None):
        return Place(temperature, p["surface_fan_fridge"], covered, 1.5, True, pressure)
    if step.at is not None and step.at != "room":
        return Place(temperature, p["surface_proofer"], 0.0, 1.5, True, pressure)
    return Place(temperature, p["surface_still_air"], covered, 1.0, False, pressure)
