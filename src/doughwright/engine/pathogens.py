"""Growth and death of germs over a temperature course: advice beside the rules.

Growth is counted without the lag germs need to settle, death only where it was measured.
Neither says what is in a food; no figure here is a clearance.
"""

import math
from bisect import bisect_left
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from itertools import pairwise
from types import MappingProxyType
from typing import Literal

from doughwright.engine.fermentation import cardinal_factor
from doughwright.engine.food_history import (
    KEPT,
    KITCHEN,
    History,
    Piece,
    part_within,
    pieces,
    temperature_at,
)
from doughwright.engine.properties import constants
from doughwright.sources import ASSUMPTION, FITTED, ModelCard, notices_for
from doughwright.units import ICE_POINT, Kelvin, KelvinDifference, PerSecond, Ratio, Second

Organism = Literal["Salmonella", "S. aureus"]
RiseBand = Literal["small", "caution", "red"]

GROWTH = ModelCard(
    key="pathogen-growth",
    name="Growth of Salmonella and S. aureus",
    predicts="log10 rise of either over the temperature course of a filling",
    sources=("kosfa-38-1043", "bmri-2015-914987", "staphylococcus-pmc6912147", "rosso-1993"),
    inputs={"coldest": KITCHEN, "warmest": KITCHEN},
    expected_error="Salmonella 18–46 % above measured whole egg and −12 to +6 % of yolk at 15, 22 "
    "and 37 °C; S. aureus not compared",
    known_from="a table of growth in egg; measured in broth, chicken and egg, not in fillings of "
    "cheese and egg",
    assumptions=(
        "no lag is credited",
        "below pH 5 or water activity 0.95 growth is slower: the figures over-warn there",
        "no growth outside the lowest and highest temperature of each model",
        "toxin of S. aureus survives baking: a later bake does not undo its rise",
        "bands at 0.3 and 1 log are our own convention",
    ),
)

LETHALITY = ModelCard(
    key="pathogen-lethality",
    name="Death of Salmonella in the oven",
    predicts="log10 reduction by lines of log time over temperature; shares of what the UK asks",
    sources=("fsis-appendix-a", "garibaldi-1969", "fsa-cooking", "acmsf-heat", FITTED, ASSUMPTION),
    inputs={"coldest": KITCHEN, "warmest": KITCHEN},
    expected_error="4 % of FSIS's times or one unit of their last figure; none at the UK's pairs; "
    "for salted yolk a factor of ten",
    known_from="the table of FSIS, row by row; for salted yolk two laboratories differ that much",
    assumptions=(
        "measured in beef and in egg, not in fillings; a stand-in for egg with cheese",
        "above 70 °C FSIS's line is drawn on; Listeria is tougher than the line near 54 °C",
        "the UK's pairs are joined by straight lines; nothing counts below 60 °C, the first",
        "hotter than 80 °C, the last of the UK's pairs, counts no more than that",
        "says nothing of toxin, which heat leaves, nor of spores",
    ),
)


@dataclass(frozen=True, slots=True)
class HeatLine:
    """A straight line of log time over temperature.

    ``time`` at ``reference`` brings one unit (a log of reduction, or the whole of an
    equivalent); every ``step`` kelvin hotter takes a tenth of it. Only what is as warm as
    ``counted_from`` and colder than ``counted_to`` counts.
    """

    time: Second
    reference: Kelvin
    step: KelvinDifference
    counted_from: Kelvin = 0.0
    counted_to: Kelvin = math.inf


@cache
def values() -> Mapping[str, float]:
    """``properties/pathogens.tsv`` in SI units.

    >>> values()["staphylococcus_optimum"]
    313.75
    """
    table = constants("pathogens")
    return MappingProxyType({name: _si(row.value, row.unit) for name, row in table.items()})


def _si(value: float, unit: str) -> float:
    if unit == "degC":
        return value + ICE_POINT
    return value / 3600.0 if unit in {"1/h", "1/(h K**2)"} else value


# Growth


def salmonella_growth(temperature: Kelvin) -> PerSecond:
    """Growth rate of Salmonella, natural logarithm, in the form of Ratkowsky and Zwietering.

    Examples
    --------
    At 37 °C 2.06 an hour; the table the numbers stand in calls it log10, which cannot be.

    >>> round(salmonella_growth(310.15) * 3600.0, 2)
    2.06
    """
    p = values()
    low, high = p["salmonella_minimum"], p["salmonella_maximum"]
    if not low < temperature < high:
        return 0.0
    fall = 1.0 - math.exp(p["salmonella_fall"] * (temperature - high))
    return p["salmonella_rise"] * (temperature - low) ** 2 * fall


def staphylococcus_growth(temperature: Kelvin) -> PerSecond:
    """Growth rate of S. aureus, natural logarithm, by its three cardinal temperatures.

    >>> round(staphylococcus_growth(313.75) * 3600.0, 2)  # at its best, 40.6 °C
    1.97
    """
    p = values()
    return p["staphylococcus_rate"] * cardinal_factor(
        temperature,
        p["staphylococcus_minimum"],
        p["staphylococcus_optimum"],
        p["staphylococcus_maximum"],
    )


@lru_cache(maxsize=KEPT)
def log_rise(history: History, organism: Organism) -> Ratio:
    """How far germs grow over a course, log10, no lag credited.

    Examples
    --------
    Four hours at 22 °C: over a log, more than tenfold.

    >>> from doughwright.engine.food_history import steady
    >>> round(log_rise(steady(295.15, 14400.0), "Salmonella"), 2)
    1.15
    """
    notices_for(GROWTH, coldest=min(history.temperatures), warmest=max(history.temperatures))
    rate, low, high = _models()[organism]
    return math.fsum(_grown(p, rate, low, high) for p in pieces(history)) / math.log(10.0)


MOST_LOGS: Ratio = 6.0
"""A millionfold, where what is said ends: nothing was left to eat long before."""


def times_grown(rise: Ratio) -> Ratio:
    """How many times as many germs a log10 rise means, no more than can be said.

    >>> times_grown(1.0), times_grown(400.0)
    (10.0, 1000000.0)
    """
    return math.pow(10.0, min(rise, MOST_LOGS))


def _models() -> Mapping[Organism, tuple[Callable[[Kelvin], PerSecond], Kelvin, Kelvin]]:
    p = values()
    return {
        "Salmonella": (salmonella_growth, p["salmonella_minimum"], p["salmonella_maximum"]),
        "S. aureus": (
            staphylococcus_growth,
            p["staphylococcus_minimum"],
            p["staphylococcus_maximum"],
        ),
    }


GAUSS = tuple(
    (sign * 0.5 * x, 0.5 * w)
    for x, w in ((0.8611363115940526, 0.3478548451374538), (0.3399810435848563, 0.6521451548625461))
    for sign in (-1.0, 1.0)
)
"""Gauss and Legendre's four points on a unit interval around nought."""


def _grown(piece: Piece, rate: Callable[[Kelvin], PerSecond], low: Kelvin, high: Kelvin) -> float:
    """Growth over a straight part: mean rate over its temperatures, in strips of 2 K."""
    grows = part_within(piece, low, high)
    if grows is None:
        return 0.0
    slope = (piece.last - piece.first) / (piece.end - piece.start)
    first, last = (piece.first + slope * (t - piece.start) for t in grows)
    if first == last:
        steady = rate(first)
        return math.fsum(w * steady for _, w in GAUSS) * (grows[1] - grows[0])
    strips = max(1, math.ceil(abs(last - first) / 2.0))
    width = (last - first) / strips
    middles = (first + (i + 0.5) * width for i in range(strips))
    mean = math.fsum(w * rate(m + x * width) for m in middles for x, w in GAUSS) / strips
    return mean * (grows[1] - grows[0])


def rise_band(rise: Ratio) -> RiseBand:
    """Our own words for a log10 rise: below one doubling, below one log, above.

    >>> rise_band(0.2), rise_band(0.7), rise_band(1.1)
    ('small', 'caution', 'red')
    """
    if rise < values()["rise_small"]:
        return "small"
    return "caution" if rise <= values()["rise_large"] else "red"


# Death


def beef_line() -> HeatLine:
    """The line through FSIS's 6.5-log times: a log in 106 s at 60 °C, counted from 54.4 °C.

    >>> line = beef_line()
    >>> round(6.5 * heat_time(333.15, line.time, line.reference, line.step) / 60.0)  # table: 12
    12
    """
    p = values()
    return HeatLine(p["beef_time"], 60.0 + ICE_POINT, p["beef_step"], p["beef_counted_from"])


def yolk_line() -> HeatLine:
    """Yolk with 10 % salt: a log in 5.1 min at 60 °C; for mixes rich in salt or sugar.

    >>> yolk_line().time / 60.0
    5.1
    """
    p = values()
    return HeatLine(p["yolk_time"], 60.0 + ICE_POINT, p["yolk_step"])


@cache
def core_lines(*, strict: bool = False) -> tuple[HeatLine, ...]:
    """The UK's 2 min at 70 °C and its equivalents: a line from each published pair to the next.

    ``strict``: below 70 °C as long as a later committee asked. No pair is below 60 °C, so
    nothing counts there; none is above 80 °C, so hotter counts no more than that.

    >>> [round(line.step, 2) for line in core_lines()]  # 60, 65, 70, 75 °C, and 80 °C on
    [7.65, 7.15, 8.3, 7.15, inf]
    """
    p = values()
    below = "strict" if strict else "core"
    times = (*(p[f"{below}_{at}"] for at in (60, 65)), *(p[f"core_{at}"] for at in (70, 75, 80)))
    warmths = tuple(at + ICE_POINT for at in (60.0, 65.0, 70.0, 75.0, 80.0))
    pairs = tuple(zip(warmths, times, strict=True))
    between = (
        HeatLine(long, low, (high - low) / math.log10(long / short), low, high)
        for (low, long), (high, short) in pairwise(pairs)
    )
    return *between, HeatLine(times[-1], warmths[-1], math.inf, warmths[-1])


READING: KelvinDifference = 1e-9
"""A food this little below the start of a line is on it."""


def heat_time(
    temperature: Kelvin, time: Second, reference: Kelvin, step: KelvinDifference
) -> Second:
    """Time a line asks for at a temperature (a D value, for a line of reductions).

    >>> round(heat_time(333.15, 106.2, 333.15, 5.56), 1)  # FSIS's line at its reference
    106.2
    """
    longer: float = 10.0 ** ((reference - temperature) / step)
    return time * longer


def heat_units(history: History, *lines: HeatLine) -> Ratio:
    """What a course brings by lines: logs of reduction, or shares of an equivalent. Exact.

    Several lines are taken one after the other, each between its own temperatures.

    Examples
    --------
    Food Code 3-401.11, eggs: 68 °C (155 °F) for 17 s are 5 logs by FSIS's line.

    >>> from doughwright.engine.food_history import steady
    >>> round(heat_units(steady(341.483, 17.0), beef_line()), 2)
    5.04
    """
    notices_for(LETHALITY, coldest=min(history.temperatures), warmest=max(history.temperatures))
    return math.fsum(_units(p, line) for p in pieces(history) for line in lines)


def moment_of_one(history: History, *lines: HeatLine) -> Second:
    """When what a course brings by lines comes to one, to a tenth of a second.

    The end of the course where it never does.

    Examples
    --------
    At 70 °C a core is worth the UK's 2 minutes after two minutes.

    >>> from doughwright.engine.food_history import steady
    >>> round(moment_of_one(steady(343.15, 600.0), *core_lines()))
    120
    """
    parts = pieces(history)
    ends = [part.end for part in parts]
    units = [_units(part, line) for part in parts for line in lines]

    def brought(time: Second) -> Ratio:
        whole = bisect_left(ends, time)
        cut = replace(parts[whole], end=time, last=temperature_at(history, time))
        before = units[: whole * len(lines)]
        return math.fsum((*before, *(_units(cut, line) for line in lines)))

    low, high = history.times[0], history.end
    while high - low > 0.1:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if brought(middle) >= 1.0 else (middle, high)
    return high


def _units(piece: Piece, line: HeatLine) -> float:
    counted = part_within(piece, line.counted_from - READING, line.counted_to - READING)
    if counted is None:
        return 0.0
    slope = (piece.last - piece.first) / (piece.end - piece.start)
    first, last = (piece.first + slope * (t - piece.start) for t in counted)
    decades = math.log(10.0) * (last - first) / line.step
    mean = 1.0 if abs(decades) < 1e-9 else math.expm1(decades) / decades
    return (counted[1] - counted[0]) * mean / heat_time(first, line.time, line.reference, line.step)


def core_equivalent(history: History) -> Second:
    """The time at 70 °C a course is worth by the UK's published equivalents (F70).

    >>> from doughwright.engine.food_history import steady
    >>> round(core_equivalent(steady(338.15, 600.0)), 3)  # 65 °C for 10 min, a pair of the FSA
    120.0
    """
    return values()["core_70"] * heat_units(history, *core_lines())
