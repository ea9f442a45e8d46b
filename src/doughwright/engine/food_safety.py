"""Egg, meat and cheese in bread: is the core cooked, must the bread be cold, what to do better.

Every finding names one rule and its country; advice names the rule it comes from. Local codes
and people who are licensed to judge go first.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal, cast

from doughwright.engine import properties
from doughwright.engine.food_clocks import clock_findings, household_finding
from doughwright.engine.food_history import History, raw, since, stretches, until
from doughwright.engine.food_rules import Codes, Finding, Rule, allowance, limit, rules
from doughwright.engine.pathogens import (
    HeatLine,
    beef_line,
    core_line,
    heat_units,
    log_rise,
    rise_band,
)
from doughwright.errors import Notice
from doughwright.sources import rows
from doughwright.units import Kelvin, Ratio, Second

Filling = Literal["egg", "meat", "cheese"]

AdviceCode = Literal[
    "food-make-later",
    "food-keep-cold",
    "food-fill-after-proof",
    "food-pasteurised-egg",
    "food-bake-to",
    "food-cool-within",
    "food-keep-baked-cold",
    "food-raw-egg",
    "food-toxin",
    "food-dough-cold",
    "food-dough-overnight",
]
"""Codes of advice; each is a message of the catalogue."""


# Cooking


@dataclass(frozen=True, slots=True)
class CookFinding:
    """What one rule says of a core: how hot it was, for how long, against what is asked.

    ``held`` is the time at ``wanted`` or hotter, or its equivalent where the rule has
    equivalents; a rule without a time asks for a moment. ``reached`` is when it was met.
    """

    rule: Rule
    hottest: Kelvin
    wanted: Kelvin
    held: Second
    time: Second
    met: bool
    reached: Second | None


def cook_findings(history: History, codes: Codes, kind: Filling) -> tuple[CookFinding, ...]:
    """What a country asks of the core of a filling, at its coldest point.

    EU law gives no number: the UK's advice stands in, marked as household advice.

    Examples
    --------
    A core that just touches 71 °C misses the 71.1 °C of egg dishes.

    >>> core = History((0.0, 630.0), (323.15, 344.15))  # 2 °C a minute, 50 to 71 °C
    >>> [(f.rule.id, f.met) for f in cook_findings(core, "US", "egg")]
    [('US-eggdish', False), ('FC-egg-pool', True)]
    """
    if codes == "EU":
        return (_by_line("home-cook", history, core_line()),)
    if codes == "UK":
        strict = _by_line("UK-cook-strict", history, core_line(strict=True))
        return _by_line("UK-cook", history, core_line()), strict
    if kind == "meat":
        return (_by_point("US-casserole", history),)
    return _by_point("US-eggdish", history), _by_point("FC-egg-pool", history)


def _by_point(rule: str, history: History) -> CookFinding:
    """A temperature, for as long as the rule says without a break."""
    wanted, time = limit(rule, "high"), rules()[rule].time or 0.0
    above = stretches(history, wanted - 1e-9)
    longest = max((end - start for start, end in above), default=0.0)
    hottest = max(history.temperatures)
    met = hottest >= wanted - 1e-9 and longest >= time - 1e-6
    moments = [s + time for s, end in above if end - s >= time - 1e-6]
    return CookFinding(
        rules()[rule], hottest, wanted, longest, time, met, moments[0] if moments else None
    )


def _by_line(rule: str, history: History, line: HeatLine) -> CookFinding:
    units = heat_units(history, line)
    wanted, time = limit(rule, "high"), allowance(rule)
    met = units >= 1.0 - 1e-9
    reached = _moment_of_one(history, line) if met else None
    return CookFinding(
        rules()[rule], max(history.temperatures), wanted, units * line.time, time, met, reached
    )


def _moment_of_one(history: History, line: HeatLine) -> Second:
    """When a line's units reach one, to a tenth of a second."""
    low, high = history.times[0], history.end
    while high - low > 0.1:
        middle = 0.5 * (low + high)
        low, high = (
            (low, middle) if heat_units(until(history, middle), line) >= 1.0 else (middle, high)
        )
    return high


def log_reduction(history: History) -> Ratio:
    """Logs of Salmonella by FSIS's line at the coldest point; 5 are wanted (our convention).

    >>> from doughwright.engine.food_history import steady
    >>> round(log_reduction(steady(336.15, 15.0)), 2)  # 63 °C for 15 s is no cure for a filling
    0.49
    """
    return heat_units(history, beef_line())


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
        named = {"rule": self.rule.id, "says": self.rule.says, "section": standing(self.rule)}
        return Notice.of(self.code, **named, **dict(self.values))


def standing(rule: Rule) -> str:
    """Where a rule stands, whether it is only a guide for households, and how it is known.

    >>> standing(rules()["FDA-cum-cool"])
    'Appendix 4, Table A-2, summary; from memory'
    >>> standing(rules()["US-home-2h"])
    'two-hour rule; household guide'
    """
    guide = "household guide" if rule.jurisdiction == "household" else ""
    return "; ".join(filter(None, (rule.section, guide, rule.tag if rule.from_memory else "")))


def filling_advice(history: History, codes: Codes, kind: Filling) -> tuple[Advice, ...]:
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
    before = raw(history)
    over = sorted((f for f in clock_findings(before, codes) if f.exceeded), key=_moment)
    advice = list(_against_time(before, over[0], kind)) if over else []
    if not over and _grows_much(before):
        advice.append(Advice("food-keep-cold", rules()["US-home-2h"]))
    advice += _toxin(before, over)
    return (*advice, *_about_the_bake(history, codes, kind), _cool_within())


def _toxin(before: History, over: Sequence[Finding]) -> list[Advice]:
    """A later bake does not undo what staphylococci did meanwhile."""
    rise = log_rise(before, "S. aureus")
    band = rise_band(rise)
    if band == "red" or (over and band == "caution"):
        rule = over[0].rule if over else rules()["US-home-2h"]
        return [Advice("food-toxin", rule, (("times", 10.0**rise),))]
    return []


def _moment(finding: Finding) -> Second:
    return float("inf") if finding.reached is None else finding.reached


def _grows_much(history: History) -> bool:
    return rise_band(log_rise(history, "Salmonella")) == "red"


def _against_time(before: History, finding: Finding, kind: Filling) -> Iterator[Advice]:
    assert finding.allowed is not None
    too_long = max(finding.measured - finding.allowed, 0.0)
    named = (("measured", finding.measured), ("allowed", finding.allowed))
    proofs = [s.start for s in before.steps if s.label == "proof"]
    starts = min(proofs, default=before.end)
    waited = starts - before.times[0]
    if waited > 0.0:
        yield Advice("food-make-later", finding.rule, (*named, ("later", too_long)))
        yield Advice("food-keep-cold", finding.rule)
    if proofs:
        yield Advice("food-fill-after-proof", finding.rule, named)
    if kind == "egg":
        yield Advice("food-pasteurised-egg", finding.rule)


def _about_the_bake(history: History, codes: Codes, kind: Filling) -> Iterator[Advice]:
    """The temperature to bake to, while nobody has seen the core reach it."""
    bakes = [s.start for s in history.steps if s.label == "bake" and s.start < history.end]
    found = cook_findings(since(history, bakes[0]) if bakes else history, codes, kind)
    first = next((f for f in found if not f.met), None)
    if kind != "cheese" and first:
        yield Advice("food-bake-to", first.rule, (("wanted", first.wanted), ("time", first.time)))


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
