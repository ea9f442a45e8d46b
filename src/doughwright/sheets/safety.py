"""What may spoil, how long it stood warm, whose clock that breaks, and what to do about it."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import takewhile

from doughwright.engine.food_clocks import (
    clock_findings,
    cold_display_findings,
    cooling_findings,
    hot_holding_findings,
)
from doughwright.engine.food_cooking import Filling, cook_findings, log_reduction
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
from doughwright.engine.food_rules import Codes, Finding
from doughwright.engine.food_safety import (
    Advice,
    Control,
    baked_advice,
    control_needed,
    cooling_advice,
    dough_advice,
    egg_on_top_advice,
    filling_advice,
)
from doughwright.engine.pathogens import (
    GROWTH,
    LETHALITY,
    Organism,
    core_equivalent,
    log_rise,
    rise_band,
    values,
)
from doughwright.resolving.filling_paths import PathPart, food_constant
from doughwright.resolving.food_courses import rack_constant
from doughwright.resolving.food_paths import (
    FoodPath,
    food_paths,
    not_followed,
    not_known_to_spoil,
    not_made,
)
from doughwright.resolving.planning import Planned
from doughwright.sheets.cells import Cell, Kind
from doughwright.sheets.safety_rows import (
    ClockRow,
    CookRow,
    CoolingRow,
    FoodRow,
    GrowthRow,
    LethalityRow,
    SafetySheet,
    Stand,
    StandingRow,
    StandRow,
)
from doughwright.units import Kelvin, Second

ORGANISMS: tuple[Organism, ...] = ("Salmonella", "S. aureus")
SOFT = frozenset({"egg", "cheese", "dairy", "meat", "vegetable"})
"""What in a filling makes the finished bread one to keep cold."""

MEETS_DOUGH = frozenset({"fill", "top", "glaze", "bake", "cool", "on bread", "part-baked"})
"""Where a preparation is no longer in its own bowl."""

ASSESSED = frozenset({"cheese", "meat"})
"""What in a dough makes the finished bread one to be assessed, and its clocks count."""

RAW: tuple[Filling, ...] = ("egg", "meat")
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


def safety_sheet(here: Planned, stand: Stand | None = None) -> SafetySheet:
    """Judge every food's way through a plan by the rules of the kitchen's country."""
    codes, paths = here.kitchen.codes, food_paths(here)
    formula = here.formula.solution
    missed = not_followed(formula, here.laid)
    left_out = [n for n in missed if formula.named(n).preparation.kind != "glaze"]
    control = _control(paths, left_out)
    return SafetySheet(
        name=here.formula.document.name,
        kitchen=here.kitchen.name,
        codes=codes,
        foods=tuple(_food(path, codes) for path in paths),
        baked_in_plan=any(s.timed.step.verb == "bake" for s in here.laid),
        not_known=not_known_to_spoil(formula),
        not_followed=missed,
        not_made=not_made(formula, here.laid),
        keep_cold=control.needed,
        control_by=control.by,
        baked=tuple(a.notice for a in baked_advice(control, codes)),
        stand=_stand(here, stand, codes) if stand is not None else None,
        models=SAFETY_MODELS if paths else (),
    )


def _control(paths: Sequence[FoodPath], missed: Sequence[str]) -> Control:
    """Whether the bread must be kept cold: for what is in it or on it, not a baked-on wash."""
    if missed or any(_stays_soft(path) for path in paths):
        return control_needed(egg_or_soft_cheese=True)
    if any(path.kind == "dough" and path.holds & ASSESSED for path in paths):
        return Control(needed=True, by="assessment")
    return control_needed(egg_or_soft_cheese=False)


def _stays_soft(path: FoodPath) -> bool:
    """Whether a food asks for a cold bread: filling and topping do, a baked-on wash does not."""
    baked_on = path.kind == "glaze" and path.put_on == "before"
    return path.kind != "dough" and not baked_on and bool(path.holds & SOFT)


def history_of(path: FoodPath) -> History:
    """A food's way as the rules read it, without its cooling."""
    return _history(part for part in path.parts if part.verb != "cool")


def _history(parts: Iterable[PathPart]) -> History:
    """Parts of a way, one after another."""
    times: list[Second] = []
    course: list[Kelvin] = []
    steps: list[Step] = []
    for part in parts:
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
        within=path.within,
        put_on=path.put_on,
        unseen=path.unseen,
        holds=tuple(sorted(path.holds)),
        standing=tuple(_standing(path)),
        clocks=_clocks(clock_findings(before, codes)) if _is_timed(path) else (),
        growth=tuple(_growth(before)),
        cooking=tuple(_cooking(path, history, codes)),
        lethality=_lethality(path, history),
        cooling=tuple(_cooling(path, codes)),
        advice=tuple(a.notice for a in _advice_once(path, history, codes)),
    )


def _advice_once(path: FoodPath, history: History, codes: Codes) -> tuple[Advice, ...]:
    """All advice on a food; of two that say the same the one by the country's own rule."""
    stove = [a for _, stood in _off_the_stove(path) for a in cooling_advice(stood, codes)]
    found = [*stove, *_advice(path, history, codes)]
    return tuple({a.code: a for a in reversed(found)}.values())[::-1]


def _is_timed(path: FoodPath) -> bool:
    """Whether the clocks hold: not for a dough whose milk or egg is baked through."""
    return path.kind != "dough" or bool(path.holds & ASSESSED)


def _advice(path: FoodPath, history: History, codes: Codes) -> tuple[Advice, ...]:
    if path.kind == "dough":
        toxin = (a for a in filling_advice(history, codes, "cheese") if a.code == "food-toxin")
        found = dough_advice(history, milk_or_egg=bool(path.holds & SOFT))
        too_long = _is_timed(path) or any(a.code == "food-dough-overnight" for a in found)
        return (*found, *(toxin if too_long else ()))
    early = history if path.early is None else until(history, path.early)
    advice = filling_advice(early, codes, _fillings(path))
    if path.put_on == "before" or path.unseen:
        return advice
    late = tuple(a for a in advice if a.code != "food-bake-to")
    return (*late, *(egg_on_top_advice(history, codes) if "egg" in path.holds else ()))


def _fillings(path: FoodPath) -> frozenset[Filling]:
    """What in a food has cook rules; cheese and the like have none."""
    raw_kinds: frozenset[Filling] = frozenset(k for k in RAW if k in path.holds)
    return raw_kinds or frozenset({"cheese"})


def _standing(path: FoodPath) -> Iterator[StandingRow]:
    for part in path.parts:
        times, course = part.times, part.temperatures
        yield StandingRow(part.position, part.verb, times[0], times[-1], course[0], course[-1])


def _clocks(found: Iterable[Finding]) -> tuple[ClockRow, ...]:
    return tuple(map(_clock, found))


def _clock(found: Finding) -> ClockRow:
    allowed = Cell(found.allowed, "s", "stated") if found.allowed is not None else None
    at = Cell(found.reached, "s", "model") if found.reached is not None else None
    measured = Cell(found.measured, "s", "model")
    return ClockRow(found.rule, measured, allowed, found.exceeded, at, found.usable, found.counts)


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
    if path.kind == "dough" or parts is None or not path.holds & set(RAW):
        return
    baked, early = (cook_findings(part, codes, _fillings(path)) for part in parts)
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
    if parts is None or not path.holds & set(RAW):
        return None
    (reduction, least), (worth, short) = (
        (measure(parts[0]), measure(parts[1])) for measure in (log_reduction, core_equivalent)
    )
    return LethalityRow(
        reduction=_at_least(reduction, least, "1", LETHALITY.key),
        wanted=Cell(values()["reduction_wanted"], "1", "assumed"),
        worth=_at_least(worth, short, "s", LETHALITY.key),
    )


def _off_the_stove(path: FoodPath) -> Iterator[tuple[int | None, History]]:
    """Each cooling after a stove: the step that cooks, and the food until it is put on."""
    for i, cooked in enumerate(path.parts):
        if cooked.verb != "cook":
            continue
        stood = list(takewhile(lambda part: part.verb not in MEETS_DOUGH, path.parts[i + 1 :]))
        if stood and stood[-1].times[-1] > stood[0].times[0]:
            yield cooked.position, _history(stood)


def _cooling(path: FoodPath, codes: Codes) -> Iterator[CoolingRow]:
    """After the stove until it is used; after the oven for as long as it is followed."""
    for position, stood in _off_the_stove(path):
        yield CoolingRow("stove", position, _clocks(cooling_findings(stood, codes)))
    rack = next((part for part in path.parts if part.verb == "cool"), None)
    if rack is not None and _stays_soft(path):
        rested = cooling_findings(_history([rack]), codes)
        yield CoolingRow("oven", rack.position, _clocks(rested))


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
