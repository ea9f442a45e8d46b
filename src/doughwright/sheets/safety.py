"""What may spoil, how long it stood warm, whose clock that breaks, and what to do about it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from doughwright.engine.food_clocks import (
    clock_findings,
    cold_display_findings,
    cooling_findings,
    hot_holding_findings,
)
from doughwright.engine.food_history import (
    COURSE,
    History,
    Step,
    StepLabel,
    approaching,
    raw,
    since,
    until,
)
from doughwright.engine.food_rules import Codes, Finding, Rule
from doughwright.engine.food_safety import (
    Advice,
    Control,
    Filling,
    baked_advice,
    control_needed,
    cook_findings,
    dough_advice,
    egg_on_top_advice,
    filling_advice,
    log_reduction,
)
from doughwright.engine.pathogens import (
    GROWTH,
    LETHALITY,
    Organism,
    RiseBand,
    core_equivalent,
    log_rise,
    rise_band,
    values,
)
from doughwright.errors import Notice
from doughwright.resolving.filling_paths import PUTS_ON, food_constant
from doughwright.resolving.food_paths import FoodPath, When, food_paths, rack_constant
from doughwright.resolving.planning import Planned
from doughwright.sheets.cells import Cell, Kind
from doughwright.units import Kelvin, Second

ORGANISMS: tuple[Organism, ...] = ("Salmonella", "S. aureus")
SOFT = frozenset({"egg", "cheese", "dairy", "meat"})
"""What in a filling makes the finished bread one to keep cold."""

RAW = frozenset({"egg", "meat"})
"""What is looked at for what the oven kills in it."""

SAFETY_MODELS = (COURSE.key, GROWTH.key, LETHALITY.key)

LABELS: dict[str, StepLabel] = {
    "make": "made",
    "cook": "made",
    "mix": "made",
    "fill": "filled",
    "top": "filled",
    "glaze": "filled",
    "proof": "proof",
    "ferment": "proof",
    "rest": "proof",
    "retard": "chilled",
    "bake": "bake",
    "cool": "cooling",
}


@dataclass(frozen=True, slots=True)
class ClockRow:
    """What one rule says of a food; ``at`` is when its time is used up.

    ``usable`` is False where the rule's own condition is not met.
    """

    rule: Rule
    measured: Cell
    allowed: Cell | None
    exceeded: bool | None
    at: Cell | None
    usable: bool


@dataclass(frozen=True, slots=True)
class CookRow:
    """What one rule says of the coldest spot in the oven; ``low`` is the earliest end's.

    ``held`` is the time at ``wanted`` or its equivalent, ``time`` what the rule asks for.
    ``met_early``: met even if the bake is over as early as its band allows.
    """

    rule: Rule
    hottest: Cell
    wanted: Cell
    held: Cell
    time: Cell
    met: bool
    met_early: bool


@dataclass(frozen=True, slots=True)
class LethalityRow:
    """What the oven does at the coldest spot, by the bake as it is worked out.

    ``reduction`` is of Salmonella, log10, by FSIS's line; ``worth`` the time at 70 °C it
    comes to by the UK's equivalents. Both end when the bake does.
    """

    reduction: Cell
    wanted: Cell
    worth: Cell


@dataclass(frozen=True, slots=True)
class CoolingRow:
    """How a food cools where the plan leaves it, after the stove or after the oven."""

    after: Literal["stove", "oven"]
    position: int | None
    clocks: tuple[ClockRow, ...]


@dataclass(frozen=True, slots=True)
class StandRow:
    """The baked bread on display or held hot: from how warm, in what air, how long."""

    held: Literal["hot", "cold"]
    start: Cell
    air: Cell
    time: Cell
    end: Cell
    clocks: tuple[ClockRow, ...]


@dataclass(frozen=True, slots=True)
class GrowthRow:
    """How much a germ could grow before the oven, in powers of ten; advice beside the clocks."""

    organism: Organism
    rise: Cell
    band: RiseBand


@dataclass(frozen=True, slots=True)
class StandingRow:
    """Where a food stood and how warm it was there; times from the plan's first step."""

    position: int | None
    verb: str
    begins: Second
    ends: Second
    start: Kelvin
    end: Kelvin


@dataclass(frozen=True, slots=True)
class FoodRow:
    """One food's way and what the rules say of it."""

    name: str
    kind: str
    put_on: When
    holds: tuple[str, ...]
    standing: tuple[StandingRow, ...]
    clocks: tuple[ClockRow, ...]
    growth: tuple[GrowthRow, ...]
    cooking: tuple[CookRow, ...]
    lethality: LethalityRow | None
    cooling: tuple[CoolingRow, ...]
    advice: tuple[Notice, ...]


@dataclass(frozen=True, slots=True)
class SafetySheet:
    """Food safety of a plan by one country's rules, and the household guide beside them."""

    name: str
    kitchen: str
    codes: Codes
    foods: tuple[FoodRow, ...]
    keep_cold: bool
    control_by: str
    baked: tuple[Notice, ...]
    stand: StandRow | None
    models: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stand:
    """How long a baked bread stands for sale or service, and in what air."""

    time: Second
    air: Kelvin


def safety_sheet(here: Planned, stand: Stand | None = None) -> SafetySheet:
    """Judge every food's way through a plan by the rules of the kitchen's country."""
    codes, paths = here.kitchen.codes, food_paths(here)
    control = _control(paths)
    return SafetySheet(
        name=here.formula.document.name,
        kitchen=here.kitchen.name,
        codes=codes,
        foods=tuple(_food(path, codes) for path in paths),
        keep_cold=control.needed,
        control_by=control.by,
        baked=tuple(a.notice for a in baked_advice(control, codes)),
        stand=_stand(here, stand, codes) if stand is not None else None,
        models=SAFETY_MODELS if paths else (),
    )


def _control(paths: Sequence[FoodPath]) -> Control:
    """Whether the bread must be kept cold: not for an egg wash that was baked on."""
    soft = any(_stays_soft(path) for path in paths)
    return control_needed(egg_or_soft_cheese=soft)


def _stays_soft(path: FoodPath) -> bool:
    """Whether a food asks for a cold bread: filling and topping do, a baked-on wash does not."""
    baked_on = path.kind == "glaze" and path.put_on == "before"
    return path.kind != "dough" and not baked_on and bool(path.holds & SOFT)


def history_of(path: FoodPath) -> History:
    """A food's way as the rules read it, without its cooling."""
    times: list[Second] = []
    course: list[Kelvin] = []
    steps: list[Step] = []
    for part in path.parts:
        if part.verb == "cool":
            continue
        steps.append(Step(_label(part.verb), part.times[0], part.air))
        for time, temperature in zip(part.times, part.temperatures, strict=True):
            if times and time <= times[-1]:
                time = times[-1] + 1e-3  # noqa: PLW2901 - where steps meet the food may leap
            times.append(time)
            course.append(temperature)
    return History(tuple(times), tuple(course), tuple(steps))


def _label(verb: str) -> StepLabel:
    if verb.startswith("kept:"):
        return "chilled" if verb.endswith(("fridge", "freezer")) else "held"
    return LABELS.get(verb, "held")


def _food(path: FoodPath, codes: Codes) -> FoodRow:
    history = history_of(path)
    before = raw(history)
    return FoodRow(
        name=path.name,
        kind=path.kind,
        put_on=path.put_on,
        holds=tuple(sorted(path.holds)),
        standing=tuple(_standing(path)),
        clocks=_clocks(clock_findings(before, codes)) if path.kind != "dough" else (),
        growth=tuple(_growth(before)),
        cooking=tuple(_cooking(path, history, codes)),
        lethality=_lethality(path, history),
        cooling=tuple(_cooling(path, codes)),
        advice=tuple(a.notice for a in _advice(path, history, codes)),
    )


def _advice(path: FoodPath, history: History, codes: Codes) -> tuple[Advice, ...]:
    if path.kind == "dough":
        return dough_advice(history, milk_or_egg=bool(path.holds & {"egg", "dairy"}))
    advice = filling_advice(history, codes, _filling(path))
    if path.put_on == "before":
        return advice
    late = tuple(a for a in advice if a.code != "food-bake-to")
    return (*late, *(egg_on_top_advice(history, codes) if "egg" in path.holds else ()))


def _filling(path: FoodPath) -> Filling:
    return "meat" if "meat" in path.holds else "egg" if "egg" in path.holds else "cheese"


def _standing(path: FoodPath) -> Iterator[StandingRow]:
    for part in path.parts:
        times, course = part.times, part.temperatures
        yield StandingRow(part.position, part.verb, times[0], times[-1], course[0], course[-1])


def _clocks(found: Iterable[Finding]) -> tuple[ClockRow, ...]:
    return tuple(map(_clock, found))


def _clock(found: Finding) -> ClockRow:
    allowed = Cell(found.allowed, "s", "stated") if found.allowed is not None else None
    at = Cell(found.reached, "s", "model") if found.reached is not None else None
    return ClockRow(
        found.rule, Cell(found.measured, "s", "model"), allowed, found.exceeded, at, found.usable
    )


def _growth(before: History) -> Iterator[GrowthRow]:
    for organism in ORGANISMS:
        rise = log_rise(before, organism)
        yield GrowthRow(organism, Cell(rise, "1", "model"), rise_band(rise))


def _in_oven(path: FoodPath, history: History) -> tuple[History, History] | None:
    """The part in the oven, by the best estimate and by the earliest end of the bake."""
    bake = next((part for part in path.parts if part.verb == "bake"), None)
    if bake is None:
        return None
    baked = since(history, bake.times[0])
    early = path.early if path.early is not None else baked.end
    return baked, until(baked, max(early, bake.times[0] + 1.0))


def _cooking(path: FoodPath, history: History, codes: Codes) -> Iterator[CookRow]:
    parts = _in_oven(path, history)
    if path.kind == "dough" or parts is None or not path.holds & SOFT:
        return
    baked, early = (cook_findings(part, codes, _filling(path)) for part in parts)
    for found, least in zip(baked, early, strict=True):
        yield CookRow(
            rule=found.rule,
            hottest=_at_least(found.hottest, least.hottest, "K"),
            wanted=Cell(found.wanted, "K", "stated"),
            held=_at_least(found.held, least.held, "s"),
            time=Cell(found.time, "s", "stated"),
            met=found.met,
            met_early=least.met,
        )


def _at_least(best: float, early: float, unit: str, model: str = "doneness") -> Cell:
    """A value at the end of the bake, low where the bake ends early; it may end late, too."""
    return Cell(best, unit, "model", min(early, best), None, model)


def _lethality(path: FoodPath, history: History) -> LethalityRow | None:
    parts = _in_oven(path, history)
    if parts is None or not path.holds & RAW:
        return None
    (reduction, least), (worth, short) = (
        (measure(parts[0]), measure(parts[1])) for measure in (log_reduction, core_equivalent)
    )
    return LethalityRow(
        reduction=_at_least(reduction, least, "1", LETHALITY.key),
        wanted=Cell(values()["reduction_wanted"], "1", "assumed"),
        worth=_at_least(worth, short, "s", LETHALITY.key),
    )


def _cooling(path: FoodPath, codes: Codes) -> Iterator[CoolingRow]:
    """After the stove until it is used; after the oven for as long as it is followed."""
    cooked = next((part for part in path.parts if part.verb == "cook"), None)
    if cooked is not None:
        used = next(p for p in path.parts if p.verb in PUTS_ON)
        if used.times[0] > cooked.times[-1]:
            part = until(since(history_of(path), cooked.times[-1]), used.times[0])
            yield CoolingRow("stove", cooked.position, _clocks(cooling_findings(part, codes)))
    rack = next((part for part in path.parts if part.verb == "cool"), None)
    if rack is not None and _stays_soft(path):
        step = Step("cooling", rack.times[0], rack.air)
        part = History(rack.times, rack.temperatures, (step,))
        yield CoolingRow("oven", rack.position, _clocks(cooling_findings(part, codes)))


def _fridge_kind(here: Planned) -> Kind:
    return "assumed" if "fridge" in here.kitchen.assumed else "stated"


def _stand(here: Planned, stand: Stand, codes: Codes) -> StandRow | None:
    """A bread from the fridge shown in air, or from the oven held hot in it."""
    hot = stand.air >= food_constant("held_hot_from")
    baked = here.baked
    if baked is None or baked.seen is None:
        return None
    start = min(baked.seen.mean, food_constant("off_the_stove")) if hot else here.kitchen.fridge
    course = approaching(start, stand.air, rack_constant(baked), stand.time, "display")
    found = hot_holding_findings(course, codes) if hot else cold_display_findings(course, codes)
    return StandRow(
        held="hot" if hot else "cold",
        start=Cell(start, "K", "model" if hot else _fridge_kind(here)),
        air=Cell(stand.air, "K", "stated"),
        time=Cell(stand.time, "s", "stated"),
        end=Cell(course.temperatures[-1], "K", "model"),
        clocks=_clocks(found),
    )
