"""What may spoil, how long it stood warm, whose clock that breaks, and what to do about it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from doughwright.engine.food_clocks import clock_findings
from doughwright.engine.food_history import History, Step, StepLabel, raw, since
from doughwright.engine.food_rules import Codes, Finding, Rule
from doughwright.engine.food_safety import (
    Advice,
    Control,
    CookFinding,
    Filling,
    baked_advice,
    control_needed,
    cook_findings,
    dough_advice,
    filling_advice,
)
from doughwright.engine.pathogens import Organism, RiseBand, log_rise, rise_band
from doughwright.errors import Notice
from doughwright.resolving.food_paths import FoodPath
from doughwright.sheets.cells import Cell
from doughwright.units import Kelvin, Second

ORGANISMS: tuple[Organism, ...] = ("Salmonella", "S. aureus")
SOFT = frozenset({"egg", "cheese", "dairy", "meat"})
"""What in a filling makes the finished bread one to keep cold."""

LABELS: dict[str, StepLabel] = {
    "make": "made",
    "cook": "made",
    "mix": "made",
    "fill": "filled",
    "proof": "proof",
    "ferment": "proof",
    "rest": "proof",
    "retard": "chilled",
    "bake": "bake",
    "cool": "cooling",
}


@dataclass(frozen=True, slots=True)
class ClockRow:
    """What one rule says of a food up to the oven; ``at`` is when its time is used up."""

    rule: Rule
    measured: Cell
    allowed: Cell | None
    exceeded: bool | None
    at: Cell | None


@dataclass(frozen=True, slots=True)
class CookRow:
    """What one rule says of the coldest spot in the oven."""

    rule: Rule
    hottest: Cell
    wanted: Cell
    met: bool


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
    holds: tuple[str, ...]
    standing: tuple[StandingRow, ...]
    clocks: tuple[ClockRow, ...]
    growth: tuple[GrowthRow, ...]
    cooking: tuple[CookRow, ...]
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
    models: tuple[str, ...] = ()


def safety_sheet(name: str, kitchen: str, codes: Codes, paths: Sequence[FoodPath]) -> SafetySheet:
    """Judge every food's way by one country's rules."""
    control = _control(paths)
    return SafetySheet(
        name=name,
        kitchen=kitchen,
        codes=codes,
        foods=tuple(_food(path, codes) for path in paths),
        keep_cold=control.needed,
        control_by=control.by,
        baked=tuple(a.notice for a in baked_advice(control, codes)),
    )


WHERE: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "food-fill-after-proof": ("fill", "top"),
        "food-toxin": ("fill", "top"),
        "food-bake-to": ("bake",),
        "food-cool-within": ("cool", "bake"),
        "food-keep-baked-cold": ("cool", "bake"),
        "food-dough-overnight": ("retard", "proof", "ferment", "rest"),
    }
)
"""Beside which step a finding stands; the others beside the step that makes the food."""

IN_SAFETY_ALONE = frozenset({"food-dough-cold"})
"""What a plan does not repeat: true of every enriched dough that takes its time."""


def food_notices(paths: Sequence[FoodPath], codes: Codes) -> tuple[Notice, ...]:
    """What a plan says of food safety, each beside its step."""
    found = [
        _beside(path, advice.notice)
        for path in paths
        for advice in _advice(path, history_of(path), codes)
    ]
    followed = [path for path in paths if path.kind != "dough"] or list(paths)
    baked = baked_advice(_control(paths), codes)
    found += [_beside(path, a.notice) for path in followed[:1] for a in baked]
    once = {(n.code, n.where): n for n in reversed(found) if n.code not in IN_SAFETY_ALONE}
    return tuple(reversed(once.values()))


def _beside(path: FoodPath, notice: Notice) -> Notice:
    """A finding with the step it belongs to."""
    known = [(p.verb, p.position) for p in path.parts if p.position is not None]
    wanted = WHERE.get(notice.code, ())
    fitting = [at for verb in wanted for v, at in known if v == verb] + [at for _, at in known]
    return Notice(notice.code, ("process", fitting[0]) if fitting else (), notice.values)


def _control(paths: Sequence[FoodPath]) -> Control:
    soft = any(path.kind != "dough" and path.holds & SOFT for path in paths)
    return control_needed(egg_or_soft_cheese=soft)


def history_of(path: FoodPath) -> History:
    """A food's way as the rules read it, without its cooling."""
    times: list[Second] = []
    course: list[Kelvin] = []
    steps: list[Step] = []
    for part in path.parts:
        if part.verb == "cool":
            continue
        steps.append(Step(_label(part.verb), part.times[0], _air(part.verb, part.temperatures)))
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


def _air(verb: str, course: Sequence[Kelvin]) -> Kelvin | None:
    """The air around it, where the course itself tells: it comes near it."""
    return None if verb == "bake" else course[-1]


def _food(path: FoodPath, codes: Codes) -> FoodRow:
    history = history_of(path)
    before = raw(history)
    return FoodRow(
        name=path.name,
        kind=path.kind,
        holds=tuple(sorted(path.holds)),
        standing=tuple(_standing(path)),
        clocks=tuple(map(_clock, clock_findings(before, codes))) if path.kind != "dough" else (),
        growth=tuple(_growth(before)),
        cooking=tuple(_cooking(path, history, codes)),
        advice=tuple(a.notice for a in _advice(path, history, codes)),
    )


def _advice(path: FoodPath, history: History, codes: Codes) -> tuple[Advice, ...]:
    if path.kind == "dough":
        return dough_advice(history, milk_or_egg=bool(path.holds & {"egg", "dairy"}))
    return filling_advice(history, codes, _filling(path))


def _filling(path: FoodPath) -> Filling:
    return "meat" if "meat" in path.holds else "egg" if "egg" in path.holds else "cheese"


def _standing(path: FoodPath) -> Iterator[StandingRow]:
    for part in path.parts:
        times, course = part.times, part.temperatures
        yield StandingRow(part.position, part.verb, times[0], times[-1], course[0], course[-1])


def _clock(found: Finding) -> ClockRow:
    allowed = Cell(found.allowed, "s", "stated") if found.allowed is not None else None
    at = Cell(found.reached, "s", "model") if found.reached is not None else None
    return ClockRow(found.rule, Cell(found.measured, "s", "model"), allowed, found.exceeded, at)


def _growth(before: History) -> Iterator[GrowthRow]:
    for organism in ORGANISMS:
        rise = log_rise(before, organism)
        yield GrowthRow(organism, Cell(rise, "1", "model"), rise_band(rise))


def _cooking(path: FoodPath, history: History, codes: Codes) -> Iterator[CookRow]:
    bakes = [step.start for step in history.steps if step.label == "bake"]
    if path.kind == "dough" or not bakes or not path.holds & SOFT:
        return
    for found in cook_findings(since(history, bakes[0]), codes, _filling(path)):
        yield _cook(found)


def _cook(found: CookFinding) -> CookRow:
    hottest, wanted = Cell(found.hottest, "K", "model"), Cell(found.wanted, "K", "stated")
    return CookRow(found.rule, hottest, wanted, found.met)
