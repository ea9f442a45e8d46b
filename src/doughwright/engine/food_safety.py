"""Fillings, toppings and dough: must the bread be kept cold, and what to do better.

Advice names the rule it comes from, and that rule's country. Local codes and people who are
licensed to judge go first.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Literal, cast

from doughwright.engine import properties
from doughwright.engine.food_clocks import clock_findings, cooling_findings, household_finding
from doughwright.engine.food_cooking import Filling, cook_findings, kinds_of
from doughwright.engine.food_history import (
    History,
    Step,
    out_of_control,
    raw,
    since,
    total,
    until,
)
from doughwright.engine.food_rules import Codes, Finding, Rule, allowance, limit, rules
from doughwright.engine.pathogens import log_rise, rise_band, times_grown
from doughwright.errors import Notice
from doughwright.sources import rows
from doughwright.units import Kelvin, Ratio, Second

AdviceCode = Literal[
    "food-make-later",
    "food-keep-cold",
    "food-fill-after-proof",
    "food-pasteurised-egg",
    "food-bake-to",
    "food-cool-faster",
    "food-cool-within",
    "food-keep-baked-cold",
    "food-raw-egg",
    "food-toxin",
    "food-dough-cold",
    "food-dough-overnight",
]
"""Codes of advice; each is a message of the catalogue."""


# Must the finished bread be kept cold?


@dataclass(frozen=True, slots=True)
class Control:
    """Whether a finished bread has to be kept by time and temperature, and by what.

    ``by``: a table of the Food Code frees it, or does not and asks for an assessment (until
    then it counts as needed); or nothing was measured and the filling decides.
    """

    needed: bool
    by: Literal["table A", "table B", "assessment", "filling", "plain"]


@cache
def _frees() -> Sequence[dict[str, str]]:
    return tuple(rows(properties.FOLDER / "food_control.tsv"))


def control_needed(
    *,
    egg_or_soft_cheese: bool,
    water_activity: Ratio | None = None,
    acidity: float | None = None,
    packaged_hot: bool = False,
) -> Control:
    """Whether time and temperature must be controlled (Food Code 1-201.10, tables A and B).

    ``acidity`` is a pH; ``packaged_hot``: heated, then packed so that nothing comes in
    (table A), else table B. A filling with egg or soft cheese is taken to need it unless
    both were measured and the table frees it.

    Examples
    --------
    Plain bread does not; a curd filling of pH 4.8 and water activity 0.97 is to be assessed.

    >>> control_needed(egg_or_soft_cheese=False)
    Control(needed=False, by='plain')
    >>> control_needed(egg_or_soft_cheese=True, water_activity=0.97, acidity=4.8)
    Control(needed=True, by='assessment')
    """
    if water_activity is None:
        return Control(egg_or_soft_cheese, "filling" if egg_or_soft_cheese else "plain")
    table = "A" if packaged_hot else "B"
    row = next(
        r
        for r in _frees()
        if r["table"] == table and _holds(water_activity, r["water_is"], r["water_activity"])
    )
    free = not row["acidity"] or (
        acidity is not None and _holds(acidity, row["acidity_is"], row["acidity"])
    )
    by = f"table {table}" if free else "assessment"
    return Control(not free, cast("Literal['table A', 'table B', 'assessment']", by))


def _holds(value: float, sign: str, bound: str) -> bool:
    return value < float(bound) or (sign == "<=" and value == float(bound))


# Advice


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do better, the rule it comes from, and the values its words need."""

    code: AdviceCode
    rule: Rule
    values: tuple[tuple[str, float | str], ...] = ()

    @property
    def notice(self) -> Notice:
        """The same as a message of the catalogue."""
        known = {"rule": self.rule.id, "says": self.rule.says, "section": standing(self.rule)}
        return Notice.of(self.code, **known, named=self.rule.name, **dict(self.values))


def standing(rule: Rule) -> str:
    """Where a rule stands, whether it is only a guide for households, and how it is known.

    >>> standing(rules()["FDA-cum-cool"])
    'Appendix 4, Table A-2, summary; from memory'
    >>> standing(rules()["US-home-2h"])
    'two-hour rule; household guide'
    """
    guide = "household guide" if rule.jurisdiction == "household" else ""
    return "; ".join(filter(None, (rule.section, guide, rule.tag if rule.from_memory else "")))


def filling_advice(
    history: History, codes: Codes, kinds: Filling | Collection[Filling]
) -> tuple[Advice, ...]:
    """What to do about a filling, from its making to the oven (and the core, if it is known).

    The clocks run on the part before the bake. The rule whose time ends first
    advises and is named; where a law has no number that is the household guide.

    Examples
    --------
    Egg and cheese mixed three hours before the oven, at 22 °C, in an EU kitchen.

    >>> from doughwright.engine.food_history import steady
    >>> [(a.code, a.rule.id) for a in filling_advice(steady(295.15, 10800.0), "EU", "egg")][:2]
    [('food-make-later', 'US-home-2h'), ('food-keep-cold', 'US-home-2h')]
    """
    before, held = raw(history), kinds_of(kinds)
    over = sorted((f for f in clock_findings(before, codes) if f.exceeded), key=_moment)
    advice = [] if over or not _grows_much(before) else _against_growth(before)
    if over:
        advice += _against_time(before, over[0])
        advice += [Advice("food-pasteurised-egg", over[0].rule)] if "egg" in held else []
    advice += _toxin(before, over)
    return (*advice, *_about_the_bake(history, codes, held), _cool_within())


def _toxin(before: History, over: Sequence[Finding]) -> list[Advice]:
    """Heat does not undo what staphylococci did meanwhile."""
    rise = log_rise(before, "S. aureus")
    band = rise_band(rise)
    if band == "red" or (over and band == "caution"):
        rule = over[0].rule if over else rules()["US-home-2h"]
        return [Advice("food-toxin", rule, (("times", times_grown(rise)),))]
    return []


def _moment(finding: Finding) -> Second:
    return float("inf") if finding.reached is None else finding.reached


def _grows_much(history: History) -> bool:
    return rise_band(log_rise(history, "Salmonella")) == "red"


MINUTE: Second = 60.0
"""A plan counts in minutes: less is neither gained nor lost."""


@dataclass(frozen=True, slots=True)
class _Out:
    """Where a filling is out, by a rule's own limits.

    ``standing`` and ``chilled`` are before it is filled in: warm, and in a place that is cold
    enough while it still is not. ``from_cold``: it comes out of a cold place when it is used.
    """

    standing: Second
    chilled: Second
    filling: Second
    proof: Second
    from_cold: bool


def _where_out(before: History, rule: Rule) -> _Out:
    low, high = rule.low or 0.0, rule.high or float("inf")
    used = min((s.start for s in before.steps if s.label in USED), default=before.end)
    spent: dict[str, Second] = {}
    from_cold = False
    for part, step in _places(before):
        label = step.label if step else "made"
        if part.times[0] >= used and label not in USED:
            continue
        if part.times[0] < used:
            from_cold = label == "chilled"
        if label == "chilled" and step and step.air is not None and step.air > low:
            continue
        out = total(out_of_control(part, low, high))
        spent[label] = spent.get(label, 0.0) + out
    at = {label: spent.get(label, 0.0) for label in ("made", "held", "chilled", "filled", "proof")}
    standing = at["made"] + at["held"]
    return _Out(standing, at["chilled"], at["filled"], at["proof"], from_cold)


USED = frozenset({"filled", "proof"})
"""From the first of these on a filling is in its piece."""


def _places(history: History) -> Iterator[tuple[History, Step | None]]:
    """A history cut where a step begins, each part with its step."""
    cuts = sorted({s.start for s in history.steps if history.times[0] < s.start < history.end})
    for start, end in pairwise((history.times[0], *cuts, history.end)):
        step = next((s for s in reversed(history.steps) if s.start <= start), None)
        yield until(since(history, start), end), step


def _against_time(before: History, finding: Finding) -> Iterator[Advice]:
    """Advise only on time that can be saved, in the place where it is spent."""
    assert finding.allowed is not None
    named = (("measured", finding.measured), ("allowed", finding.allowed))
    out = _where_out(before, finding.rule)
    later = min(finding.measured - finding.allowed, out.standing)
    if later >= MINUTE:
        yield Advice("food-make-later", finding.rule, (*named, ("later", later)))
    by_filling_alone = out.filling > finding.allowed
    if by_filling_alone or (out.standing >= MINUTE and not out.from_cold):
        yield Advice("food-keep-cold", finding.rule)
    if out.chilled > finding.allowed:
        yield _cool_faster(finding.rule, finding.rule.low, out.chilled, finding.allowed)
    if out.proof >= MINUTE:
        yield Advice("food-fill-after-proof", finding.rule, named)


def _against_growth(before: History) -> list[Advice]:
    """Too much grows, though no clock has run out: the air is warm."""
    guide = household_finding(before)
    out = _where_out(before, guide.rule)
    found = []
    if out.standing >= MINUTE and not out.from_cold:
        found.append(Advice("food-keep-cold", guide.rule))
    if out.proof >= MINUTE:
        named = (("measured", guide.measured), ("allowed", guide.allowed or 0.0))
        found.append(Advice("food-fill-after-proof", guide.rule, named))
    return found


def _about_the_bake(history: History, codes: Codes, kinds: frozenset[Filling]) -> Iterator[Advice]:
    """The highest temperature to bake to that nobody has seen the core reach in the oven."""
    bakes = [s.start for s in history.steps if s.label == "bake" and s.start < history.end]
    found = cook_findings(since(history, bakes[0]) if bakes else history, codes, kinds)
    missed = [f for f in found if not (bakes and f.met)]
    if missed:
        most = max(missed, key=lambda f: f.wanted)
        yield Advice("food-bake-to", most.rule, (("wanted", most.wanted), ("time", most.time)))


def cooling_advice(history: History, codes: Codes) -> tuple[Advice, ...]:
    """What to do about a food that cools too slowly: the country's rule first, then the guide.

    Examples
    --------
    A pot left on the bench at 22 °C misses 57 to 21 °C in 2 h.

    >>> from doughwright.engine.food_history import approaching
    >>> slow = approaching(363.15, 295.15, 7200.0, 28800.0, "cooling")
    >>> [(a.code, a.rule.id) for a in cooling_advice(slow, "US")]
    [('food-cool-faster', 'FC-cool')]
    """
    late = next((f for f in cooling_findings(history, codes) if f.exceeded), None)
    if late is None or late.allowed is None:
        return ()
    first_stage = late.rule.id == "FC-cool" and late.allowed == late.rule.time
    cold = late.rule.air_or_middle if first_stage else late.rule.low
    return (_cool_faster(late.rule, cold, late.measured, late.allowed),)


def _cool_faster(rule: Rule, cold: Kelvin | None, measured: Second, allowed: Second) -> Advice:
    assert cold is not None
    assert rule.high is not None
    between = (("hot", rule.high), ("cold", cold))
    return Advice(
        "food-cool-faster", rule, (*between, ("measured", measured), ("allowed", allowed))
    )


def _cool_within() -> Advice:
    """Into the fridge in two hours: in the US too, where kitchens have 6 h to be at 5 °C."""
    rule = rules()["US-home-2h"]
    return Advice(
        "food-cool-within", rule, (("time", allowance(rule.id)), ("cold", limit(rule.id, "low")))
    )


def egg_on_top_advice(history: History, codes: Codes) -> tuple[Advice, ...]:
    """What to say of an egg or yolk put on for the last minutes that is still raw.

    ``history`` is the egg's own course; below 71.1 °C (US figure for egg dishes, taken
    everywhere) it is called raw. A notice, not a refusal: many breads want it so.

    Examples
    --------
    A yolk from 15 to 58 °C in the last two minutes.

    >>> yolk = History((0.0, 120.0), (288.15, 331.15))
    >>> [a.code for a in egg_on_top_advice(yolk, "EU")]
    ['food-raw-egg', 'food-pasteurised-egg']
    """
    hottest, point = max(history.temperatures), limit("US-eggdish", "high")
    if hottest >= point:
        return ()
    rule = rules()["UK-Lion"] if codes == "UK" else rules()["US-eggdish"]
    named = (("hottest", hottest), ("wanted", point))
    return Advice("food-raw-egg", rule, named), Advice("food-pasteurised-egg", rule)


def baked_advice(control: Control, codes: Codes) -> tuple[Advice, ...]:
    """What a bread that needs control asks for once it is baked.

    >>> [a.code for a in baked_advice(control_needed(egg_or_soft_cheese=True), "UK")]
    ['food-cool-within', 'food-keep-baked-cold']
    """
    if not control.needed:
        return ()
    rule = rules()[{"EU": "EU-cold", "UK": "UK-chill", "US": "FC-cold"}[codes]]
    cold = rule.low if rule.low is not None else limit("US-home-2h", "low")
    keep = allowance("US-home-leftovers")
    return _cool_within(), Advice("food-keep-baked-cold", rule, (("cold", cold), ("time", keep)))


def dough_advice(history: History, *, milk_or_egg: bool) -> tuple[Advice, ...]:
    """A dough with milk or egg left warm: past the two-hour guide, and past four hours.

    A rise of an hour or two is nothing to warn of; a night at room temperature is. In the
    fridge a dough counts as cold from the moment it is there, as the guide words it.

    Examples
    --------
    >>> from doughwright.engine.food_history import steady
    >>> dough_advice(steady(299.15, 5400.0), milk_or_egg=True)
    ()
    >>> [a.code for a in dough_advice(steady(294.15, 43200.0), milk_or_egg=True)]
    ['food-dough-cold', 'food-dough-overnight']
    """
    finding = household_finding(raw(history), until_cold=False)
    if not (milk_or_egg and finding.exceeded and finding.allowed):
        return ()
    named = (("measured", finding.measured), ("allowed", finding.allowed))
    advice = Advice("food-dough-cold", finding.rule, named)
    night = rules()["FC-ambient"]
    if finding.measured <= allowance(night.id):
        return (advice,)
    return advice, Advice("food-dough-overnight", night, named)
