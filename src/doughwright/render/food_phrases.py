"""What a safety sheet says in sentences, for the terminal and the page."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from doughwright.engine.food_rules import Rule
from doughwright.engine.pathogens import times_grown
from doughwright.render.numbers import duration, temperature
from doughwright.render.timings import time_of
from doughwright.sheets.safety_rows import (
    ClockRow,
    CookRow,
    CoolingRow,
    FoodRow,
    LethalityRow,
    SafetySheet,
    StandingRow,
    StandRow,
)
from doughwright.units import Second

VERBS = {
    "make": "made",
    "cook": "cooked",
    "mix": "mixed",
    "ferment": "rises",
    "proof": "proof",
    "retard": "retarded",
    "rest": "rests",
    "fold": "folded",
    "punch": "knocked back",
    "divide": "divided",
    "pre-shape": "pre-shaped",
    "shape": "shaped",
    "kept:fridge": "kept in the fridge",
    "kept:room": "kept in the room",
    "kept:freezer": "kept in the freezer",
    "fill": "filled in",
    "top": "put on top",
    "glaze": "brushed on",
    "part-baked": "part-baked, until its last oven",
    "on bread": "on or in the baked bread",
    "soak": "soaks",
    "bake": "in the oven",
    "cool": "on the rack, if it is left there",
}

HOLDS = {
    "egg": "egg",
    "dairy": "milk",
    "cheese": "cheese",
    "meat": "meat",
    "vegetable": "vegetables",
}

SPOTS = {"glaze": "crust beneath it"}
"""Where a food is looked at in the oven, if not at its coldest spot."""

KEPT_BY = {
    "filling": "by what is in it; nothing was measured",
    "plain": "no filling or topping asks for it",
    "assessment": "until somebody licensed has assessed it",
    "table A": "table A of the US Food Code",
    "table B": "table B of the US Food Code",
}
"""What decides whether a bread is kept cold, in words."""

MOST_POWERS = 12.0
"""Beyond this many powers of ten a figure says nothing more."""

BANDS = {"small": "little", "caution": "take care", "red": "more than tenfold"}


ESTIMATES = (
    "Growth and death are estimates beside the clocks, never a clearance. "
    "What to do stands beside each step."
)
"""What stands under all findings of a plan."""


@dataclass(frozen=True, slots=True)
class Said:
    """One finding in a sentence; ``bad`` where a rule or figure is not met."""

    bad: bool
    text: str


def safety_basis(sheet: SafetySheet) -> str:
    """By whose rules a plan's foods are judged."""
    return (
        f"By {sheet.codes} rules, with the household guide beside them; "
        "your local food code goes first."
    )


def food_title(food: FoodRow) -> str:
    """A food with what in it spoils: ``Filling (cheese, vegetables)``."""
    name = f"{food.name}, in the {food.within}" if food.within else food.name
    return f"{name[:1].upper()}{name[1:]} ({', '.join(HOLDS[h] for h in food.holds)})"


def standing_words(row: StandingRow) -> str:
    """Where a food stands and how long: ``kept in the fridge, 1 h 5 min``."""
    lasts = f", {duration(row.ends - row.begins)}" if row.ends - row.begins >= 30.0 else ""
    return f"{VERBS.get(row.verb, row.verb)}{lasts}"


def standing_course(row: StandingRow) -> str:
    """How warm it is there, from its coming to its going."""
    start, end = temperature(row.start), temperature(row.end)
    return end if start == end else f"{start.removesuffix(' °C')} → {end}"


def food_findings(food: FoodRow, starts: datetime | None = None) -> Iterator[Said]:
    """What the rules and the models say of one food."""
    for clock in food.clocks:
        yield clock_said(clock)
    if food.unseen:
        text = "Its core in the oven is not worked out: measure it with a probe in the middle."
        yield Said(bad=True, text=text)
    for cook in food.cooking:
        yield _cook(cook, food.kind)
    if food.lethality is not None:
        yield _lethality(food.lethality, food.kind)
    grown = [
        f"{g.organism} ×{times_grown(g.rise.value or 0):.1f} ({BANDS[g.band]})" for g in food.growth
    ]
    red = any(g.band == "red" for g in food.growth) and _growth_matters(food)
    when = "until it is eaten or cold" if food.put_on == "after" else "before the oven"
    yield Said(red, f"Could grow {when}, by estimate: {', '.join(grown)}.")
    for cooling in food.cooling:
        yield from _cooling(cooling, starts)


def _growth_matters(food: FoodRow) -> bool:
    """Whether growth past tenfold is marked: in a dough only where its time is too long as well.

    A dough is baked through, and every milk sponge grows what it holds tenfold without lag.
    """
    return food.kind != "dough" or any(notice.weight != "note" for notice in food.advice)


def cited(rule: Rule) -> str:
    """A rule by its plain name, and whether it is told only from memory."""
    return f"{rule.name}{' (from memory)' if rule.from_memory else ''}"


def clock_said(row: ClockRow) -> Said:
    """What one clock says."""
    long = _held(row.measured.value or 0.0)
    measured = f"{long} warm" if row.counts == "warm" else f"{long} since it left the cold"
    if not row.usable:
        said = f"{row.rule.says}: its own condition is not met here ({cited(row.rule)})."
        return Said(bad=False, text=said)
    if row.allowed is not None and row.exceeded is None:
        return Said(bad=False, text=f"Its time has not begun to count by {cited(row.rule)}.")
    if row.allowed is None or row.allowed.value is None or row.exceeded is None:
        rule = cited(row.rule)
        says = row.rule.says.removesuffix("; no number")
        said = f"{measured}. {rule[:1].upper()}{rule[1:]} has no number to judge it by: {says}."
        return Said(bad=False, text=said)
    if not row.allowed.value:  # a limit that allows no time at all
        word = f"{long} outside it" if row.exceeded else "kept"
        return Said(row.exceeded, f"{row.rule.says}: {word} ({cited(row.rule)}).")
    over = "over" if row.exceeded else "within"
    allowed = duration(row.allowed.value)
    return Said(row.exceeded, f"{measured}, {over} the {allowed} of {cited(row.rule)}.")


def _held(time: Second) -> str:
    """A time a core is held: seconds below one minute."""
    return f"{time:.0f} s" if 0 < time < 60.0 else duration(time)


def _cook(row: CookRow, kind: str) -> Said:
    hottest = temperature(row.hottest.value or 0.0)
    wanted = temperature(row.wanted.value or 0.0, 1).replace(".0 °C", " °C")
    asked = f"{wanted} for {_held(row.time.value)}" if row.time.value else wanted
    rule = cited(row.rule)
    start = f"The {SPOTS.get(kind, 'coldest spot')} comes to {hottest}: "
    if row.met and row.met_early:
        said = f"meets {asked}, as {rule} asks, by the bake as it is worked out."
        return Said(bad=False, text=f"{start}{said}")
    if row.met:
        early = temperature(row.hottest.low or 0.0)
        said = f"meets {asked}, as {rule} asks, by the middle of the bake's band, "
        return Said(bad=True, text=f"{start}{said}not at its early end, {early}: measure it.")
    return Said(bad=True, text=f"{start}does not meet {asked}, as {rule} asks.")


def _lethality(row: LethalityRow, kind: str) -> Said:
    best, early = row.reduction.value or 0.0, row.reduction.low or 0.0
    wanted = row.wanted.value or 0.0
    powers = f"{_powers(best)} powers of ten"
    if _powers(best) != _powers(early):
        powers += f" ({_powers(early)} if it ends early)"
    seconds = row.worth.value or 0.0
    spot = SPOTS.get(kind, "coldest spot")
    worth = _held(seconds) if seconds < 3600.0 else "more than 1 h"
    return Said(
        early < wanted,
        f"By the bake as it is worked out, Salmonella falls by {powers} at the {spot}; "
        f"{wanted:.0f} are wanted (our convention). It is worth {worth} at 70 °C.",
    )


def _powers(value: float) -> str:
    return f"more than {MOST_POWERS:.0f}" if value > MOST_POWERS else f"{value:.1f}"


def _cooling(row: CoolingRow, starts: datetime | None) -> Iterator[Said]:
    for clock in row.clocks:
        said, until = clock_said(clock), ""
        if not said.bad and clock.at is not None and clock.at.value is not None:
            counted = " from the first step" if starts is None else ""
            until = f" Its time is up at {time_of(clock.at.value, starts)}{counted}."
        start = f"After the {row.after}, if it is left there{_stage(clock)}: "
        yield Said(said.bad, f"{start}{said.text}{until}")


def _stage(clock: ClockRow) -> str:
    """The stage of a cooling rule that has two."""
    rule, allowed = clock.rule, clock.allowed.value if clock.allowed is not None else None
    ends = {rule.time: rule.air_or_middle, rule.other_time: rule.low}
    end = ends.get(allowed)
    if rule.high is None or rule.air_or_middle is None or end is None or rule.id != "FC-cool":
        return ""
    return f", {temperature(rule.high).removesuffix(' °C')} → {temperature(end)}"


def stand_findings(row: StandRow) -> Iterator[Said]:
    """A bread on display or held hot, and what the rules say of it."""
    start, end = temperature(row.start.value or 0.0), temperature(row.end.value or 0.0)
    air, time = temperature(row.air.value or 0.0), duration(row.time.value or 0.0)
    whence = "from the oven" if row.held == "hot" else "from the fridge"
    yield Said(bad=False, text=f"{time} in air of {air}, {whence}: {start} → {end}.")
    yield from map(clock_said, row.clocks)


def to_act_on(sheet: SafetySheet) -> str:
    """How much of what follows asks for something to be done."""
    marked = sum(said.bad for food in sheet.foods for said in food_findings(food))
    marked += sum(n.weight != "note" for food in sheet.foods for n in food.advice)
    marked += bool(sheet.not_known) + bool(sheet.not_followed)
    if not marked:
        return "No line below asks you to act; read them, and your local food code, all the same."
    lines = "line" if marked == 1 else "lines"
    return f"{marked} {lines} marked ! below; what to do stands beside it."


def kept_sentence(sheet: SafetySheet) -> str:
    """Whether the baked bread is one to keep cold, and by what."""
    if sheet.not_known and not sheet.keep_cold:
        return "Whether it must be kept cold is not known, for what is said of its ingredients."
    said = "is one to keep cold" if sheet.keep_cold else "need not be kept cold"
    return f"It {said} ({KEPT_BY[sheet.control_by]})."
