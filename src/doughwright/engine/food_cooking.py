"""Egg and meat in bread: is the core cooked, by each country's rules.

Every finding names one rule and its country. Cheese is taken for pasteurised: no rule here
asks for a core of it.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Literal

from doughwright.engine.food_history import History, stretches
from doughwright.engine.food_rules import Codes, Rule, allowance, limit, rules
from doughwright.engine.pathogens import HeatLine, beef_line, core_lines, heat_units, moment_of_one
from doughwright.units import Kelvin, Ratio, Second

Filling = Literal["egg", "meat", "cheese"]


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


def kinds_of(kinds: Filling | Collection[Filling]) -> frozenset[Filling]:
    """What a filling holds, whether one kind or several were named.

    >>> kinds_of("egg") == kinds_of({"egg"})
    True
    """
    if kinds == "egg" or kinds == "meat" or kinds == "cheese":  # noqa: PLR1714 - narrows
        return frozenset({kinds})
    return frozenset(kinds)


def cook_findings(
    history: History, codes: Codes, kinds: Filling | Collection[Filling]
) -> tuple[CookFinding, ...]:
    """What a country asks of the core of a filling, at its coldest point.

    EU law gives no number: the UK's advice stands in, marked as household advice, below 70 °C
    by its stricter pairs. Meat in a dough is a stuffing; with egg in it both rules hold. Of
    cheese alone no core is asked.

    Examples
    --------
    A core that just touches 71 °C misses the 71.1 °C of egg dishes.

    >>> core = History((0.0, 630.0), (323.15, 344.15))  # 2 °C a minute, 50 to 71 °C
    >>> [(f.rule.id, f.met) for f in cook_findings(core, "US", "egg")]
    [('US-eggdish', False), ('FC-egg-pool', True)]
    >>> cook_findings(core, "UK", "cheese")
    ()
    """
    held = kinds_of(kinds)
    return tuple(_asked(history, codes, held)) if held & {"egg", "meat"} else ()


def _asked(history: History, codes: Codes, kinds: frozenset[Filling]) -> Iterator[CookFinding]:
    if codes == "EU":
        yield _by_lines("home-cook", history, core_lines(strict=True))
    if codes == "UK":
        yield _by_lines("UK-cook", history, core_lines())
        yield _by_lines("UK-cook-strict", history, core_lines(strict=True))
    if codes == "US" and "meat" in kinds:
        yield _by_point("FC-meat-stuffed", history)
        yield _by_point("US-casserole", history)
    if codes == "US" and "egg" in kinds:
        yield _by_point("US-eggdish", history)
        yield _by_point("FC-egg-pool", history)


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


def _by_lines(rule: str, history: History, lines: tuple[HeatLine, ...]) -> CookFinding:
    units = heat_units(history, *lines)
    wanted, time = limit(rule, "high"), allowance(rule)
    met = units >= 1.0 - 1e-9
    reached = moment_of_one(history, *lines) if met else None
    return CookFinding(
        rules()[rule], max(history.temperatures), wanted, units * time, time, met, reached
    )


def log_reduction(history: History) -> Ratio:
    """Logs of Salmonella by FSIS's line at the coldest point; 5 are wanted (our convention).

    >>> from doughwright.engine.food_history import steady
    >>> round(log_reduction(steady(336.15, 15.0)), 2)  # 63 °C for 15 s is no cure for a filling
    0.49
    """
    return heat_units(history, beef_line())
