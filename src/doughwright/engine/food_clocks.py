"""How long a food has been out: every clock that counts in a country, each by its own rule.

Time in a proofing piece counts like any other: no rule here lets a dough off. The household
guide is judged in every country, because some laws give no number.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from doughwright.engine.food_history import (
    History,
    Piece,
    Stretch,
    merged,
    out_of_control,
    part_within,
    pieces,
    stretches,
    temperature_at,
    total,
    used_up,
)
from doughwright.engine.food_rules import Codes, Finding, allowance, limit, rules
from doughwright.engine.properties import constants
from doughwright.units import Kelvin, Second

SAME: Second = 1e-6
"""Times nearer than this are one."""


def clock_findings(history: History, codes: Codes, *, sold: bool = False) -> tuple[Finding, ...]:
    """What the clocks of a country, and the household guide, say of a food up to the oven.

    ``sold``: the food is ready and stands for service or on display. Give the history before
    a bake and the history after it apart (:func:`doughwright.engine.food_history.raw`).

    Examples
    --------
    A cream bun out of the fridge at 9, in a shop of 24 °C until 10:30: by the household guide
    half an hour is left (question in a food forum on filled pastries: until 11:00).

    >>> from doughwright.engine.food_history import Step
    >>> bun = History((0.0, 5400.0), (278.15, 292.15), (Step("display", 0.0, 297.15),))
    >>> [(f.rule.id, f.left / 60.0) for f in clock_findings(bun, "EU") if f.allowed]
    [('US-home-2h', 30.0)]
    """
    return (household_finding(history), *_CLOCKS[codes](history, sold))


def household_finding(history: History, *, until_cold: bool = True) -> Finding:
    """The two-hour guide: one hour if the air was above 32.2 °C while the food was out.

    The guide says when food must be in the fridge; here it counts as out until it is cold
    there, unless ``until_cold`` is off. Where the air is not known, the food's own temperature
    stands for it. An oven is not air to
    stand in: above 60 °C it does not shorten the time, though the food in it still counts.

    >>> from doughwright.engine.food_history import steady
    >>> finding = household_finding(steady(305.65, 3600.0, "display"))  # 32.5 °C
    >>> finding.allowed / 3600.0, finding.exceeded
    (1.0, False)
    """
    rule = rules()["US-home-2h"]
    cold, hot = limit(rule.id, "low"), limit(rule.id, "high")
    out = out_of_control(history, cold, hot, until_cold=until_cold)
    heat = merged(
        _in_hot_air(p, cold, limit(rule.id, "air_or_middle"), hot) for p in pieces(history)
    )
    allowed = allowance(rule.id, "other_time" if heat else "time")
    reached = used_up(out, allowed, history.end)
    if heat and reached is not None:
        two_hours = used_up(out, allowance(rule.id), history.end)
        reached = max(reached, heat[0][0])
        reached = reached if two_hours is None else min(reached, two_hours)
    measured = total(out)
    return Finding(rule, measured, allowed, measured > allowed + SAME, reached)


def _in_hot_air(piece: Piece, cold: Kelvin, warm: Kelvin, hot: Kelvin) -> Stretch | None:
    if piece.air is None:
        return part_within(piece, warm, hot)
    return part_within(piece, -float("inf"), hot) if max(cold, warm) < piece.air < hot else None


# European Union


def _eu(history: History, sold: bool) -> Iterator[Finding]:  # noqa: FBT001
    del sold  # one sentence for both
    yield _without_number("EU-cold", total(_out_by_household(history)))


def _out_by_household(history: History) -> tuple[Stretch, ...]:
    """Time out, where the law names no temperature, by those of the household guide."""
    return out_of_control(history, limit("US-home-2h", "low"), limit("US-home-2h", "high"))


def _without_number(rule: str, measured: Second) -> Finding:
    return Finding(rules()[rule], measured, None, None, None)


# United Kingdom


def _uk(history: History, sold: bool) -> Iterator[Finding]:  # noqa: FBT001
    """The period is one for service or display; while food is made, all its times count."""
    above = stretches(history, limit("UK-chill", "low"), limit("UK-hot", "high"))
    yield _without_number("UK-chill", total(above))
    judged = _single_period if sold else _all_periods
    yield judged("UK-chill-4h", above, history)


def _single_period(rule: str, found: Sequence[Stretch], history: History) -> Finding:
    """Judge by the longest stretch; a second one is over the limit by itself."""
    allowed = allowance(rule)
    longest = max((end - start for start, end in found), default=0.0)
    twice = len(found) > 1
    moments = [used_up([s], allowed, history.end) for s in found]
    moments += [found[1][0]] if twice else []
    reached = min((m for m in moments if m is not None), default=None)
    exceeded = twice or longest >= allowed - SAME  # "less than four hours"
    return Finding(rules()[rule], longest, allowed, exceeded, reached)


def _all_periods(rule: str, found: Sequence[Stretch], history: History) -> Finding:
    """Judge by all stretches together."""
    measured, allowed = total(found), allowance(rule)
    reached = used_up(found, allowed, history.end)
    return Finding(rules()[rule], measured, allowed, measured >= allowed - SAME, reached)


# United States


def _us(history: History, sold: bool) -> Iterator[Finding]:  # noqa: FBT001
    removed = _removed(history)
    yield _time_as_control("FC-TPHC-4h", history, removed)
    yield _time_as_control("FC-TPHC-6h", history, removed)
    if not sold and removed != history.times[0] and _starts_out(history):
        yield _ambient(history)
    yield fda_cumulative(history)


def _control(rule: str, history: History) -> tuple[Stretch, ...]:
    return out_of_control(history, limit(rule, "low"), limit(rule, "high"))


def _starts_out(history: History) -> bool:
    out = _control("FC-ambient", history)
    return bool(out) and out[0][0] == history.times[0]


def _removed(history: History) -> Second | None:
    """When a food first leaves the cold or the heat; None if it was never in either."""
    out = _control("FC-TPHC-4h", history)
    if not out:
        return None
    first = temperature_at(history, out[0][0])
    reading = constants("pathogens")["cold_reading"].value
    begins_warm = limit("FC-TPHC-4h", "low") + reading < first < limit("FC-TPHC-4h", "high")
    if out[0][0] > history.times[0] or not begins_warm:
        return out[0][0]
    return out[1][0] if len(out) > 1 else None


def _time_as_control(rule: str, history: History, removed: Second | None) -> Finding:
    """Judge by the clock from the moment of removal: putting food back does not stop it.

    Food that was never cold or hot cannot be kept by time; six hours end where it turns warm.
    """
    out = _control(rule, history)
    allowed = allowance(rule)
    if removed is None:
        return Finding(rules()[rule], total(out), allowed, None, None, usable=not out)
    since = Finding(
        rules()[rule], history.end - removed, allowed, None, None, usable=False, counts="since"
    )
    if _too_warm_for(rule, history, removed):
        return since
    over = since.measured > allowed + SAME
    return replace(since, exceeded=over, reached=removed + allowed, usable=True)


def _too_warm_for(rule: str, history: History, removed: Second) -> bool:
    """Six hours are for food that left the cold, not the heat, and stayed at 21 °C or less."""
    if rules()[rule].air_or_middle is None:
        return False
    last = removed + allowance(rule)
    warm = stretches(history, limit(rule, "air_or_middle"))
    return any(start < last and end > removed for start, end in warm)


def _ambient(history: History) -> Finding:
    """Food mixed warm: how long until it was cold."""
    allowed = allowance("FC-ambient")
    start, cold_at = _control("FC-ambient", history)[0]
    measured = cold_at - start
    reached = used_up([(start, cold_at)], allowed, history.end)
    return Finding(rules()["FC-ambient"], measured, allowed, measured > allowed + SAME, reached)


def fda_cumulative(history: History, *, only_staphylococcus: bool = False) -> Finding:
    """FDA's table A-2, summed over the inside of a food; the clause that ends first.

    Once above 21.1 °C: 2 h above 10 °C (3 h if only S. aureus matters), or else 4 h above
    10 °C with no more than 2 h of them above 21.1 °C. Never above: 5 h (12 h) above 10 °C.
    The table was made for fish processors: a yardstick, no rule for bakers.

    >>> from doughwright.engine.food_history import steady
    >>> finding = fda_cumulative(steady(295.15, 10800.0))  # 3 h at 22 °C
    >>> finding.rule.id, finding.exceeded, finding.reached / 3600.0
    ('FDA-cum-hot', True, 2.0)
    """
    above, hot = _exposures(history)
    if not hot:
        allowed = allowance("FDA-cum-cool", "other_time" if only_staphylococcus else "time")
        return _summed("FDA-cum-cool", above, allowed, history)
    by_heat = _summed("FDA-cum-hot", hot, allowance("FDA-cum-hot"), history)
    by_sum = _summed("FDA-cum-warm", above, allowance("FDA-cum-warm"), history)
    binding = min((by_heat, by_sum), key=lambda f: (not f.exceeded, _moment(f), -f.measured))
    if only_staphylococcus:
        short = _summed("FDA-cum-hot", above, allowance("FDA-cum-hot", "other_time"), history)
        return max(short, binding, key=lambda f: (not f.exceeded, _moment(f)))
    return binding


def _exposures(history: History) -> tuple[tuple[Stretch, ...], tuple[Stretch, ...]]:
    low, middle, high = (limit("FDA-cum-hot", c) for c in ("low", "air_or_middle", "high"))
    return stretches(history, low, high), stretches(history, middle, high)


def _summed(rule: str, found: Sequence[Stretch], allowed: Second, history: History) -> Finding:
    measured = total(found)
    reached = used_up(found, allowed, history.end)
    return Finding(rules()[rule], measured, allowed, measured > allowed + SAME, reached)


def _moment(finding: Finding) -> Second:
    return float("inf") if finding.reached is None else finding.reached


_CLOCKS = {"EU": _eu, "UK": _uk, "US": _us}


# Cooling, hot holding, cold display


def cooling_findings(history: History, codes: Codes) -> tuple[Finding, ...]:
    """How fast a baked food with a filling cools: the country's rule, then the household guide.

    >>> from doughwright.engine.food_history import approaching
    >>> slow = approaching(363.15, 295.15, 7200.0, 28800.0, "cooling")  # on a rack at 22 °C
    >>> [(f.rule.id, f.exceeded) for f in cooling_findings(slow, "US")]
    [('FC-cool', True), ('FC-cool', True), ('US-home-2h', True)]
    """
    if codes == "US":
        return (*_two_stages(history), household_finding(history))
    out = total(_out_by_household(history))
    rule = "EU-cool" if codes == "EU" else "UK-chill"
    return _without_number(rule, out), household_finding(history)


def _two_stages(history: History) -> Iterator[Finding]:
    """57 to 21 °C in 2 h; to 5 °C in 6 h in all, counted from 57 °C."""
    cold, middle, hot = (limit("FC-cool", c) for c in ("low", "air_or_middle", "high"))
    out = out_of_control(history, cold, hot)
    warm = stretches(history, middle, hot)
    yield _summed("FC-cool", warm, allowance("FC-cool"), history)
    yield _summed("FC-cool", out, allowance("FC-cool", "other_time"), history)


def hot_holding_findings(history: History, codes: Codes) -> tuple[Finding, ...]:
    """Whether a food is held hot enough, by each authority's own figure; time below it.

    The EU gives none: Germany's advice of 60 °C stands beside it, marked as advice.

    >>> from doughwright.engine.food_history import steady
    >>> buns = steady(331.15, 3600.0, "held")  # 58 °C: above 57 °C, below 60 °C
    >>> [(f.rule.id, f.exceeded) for f in hot_holding_findings(buns, "US")]
    [('FC-hot', False), ('US-home-zone', True)]
    """
    return (*_HOT[codes](history), _held("US-home-zone", history))


def _held(rule: str, history: History) -> Finding:
    below = stretches(history, -float("inf"), limit(rule, "high"))
    reached = below[0][0] if below else None
    return Finding(rules()[rule], total(below), 0.0, bool(below), reached)


def _hot_uk(history: History) -> tuple[Finding, ...]:
    below = stretches(history, -float("inf"), limit("UK-hot", "high"))
    return (_single_period("UK-hot", below, history),)


def _hot_eu(history: History) -> tuple[Finding, ...]:
    return _without_number("EU-hot", 0.0), _held("DE-hot", history)


def _hot_us(history: History) -> tuple[Finding, ...]:
    return (_held("FC-hot", history),)


_HOT = {"EU": _hot_eu, "UK": _hot_uk, "US": _hot_us}


def cold_display_findings(history: History, codes: Codes) -> tuple[Finding, ...]:
    """Whether a food on cold display is cold enough, and how long it was not.

    >>> from doughwright.engine.food_history import steady
    >>> case = steady(280.15, 36000.0, "display")  # 7 °C all day
    >>> [(f.rule.id, f.exceeded) for f in cold_display_findings(case, "UK")][:2]
    [('UK-chill', None), ('UK-chill-4h', False)]
    >>> cold_display_findings(case, "US")[0].exceeded
    True
    """
    clocks = clock_findings(history, codes, sold=True)
    own = [f for f in clocks if f.rule.jurisdiction == codes]
    guide = [f for f in clocks if f.rule.jurisdiction == "household"]
    return (*(_us_cold(history) if codes == "US" else ()), *own, *guide)


def _us_cold(history: History) -> tuple[Finding, ...]:
    out = stretches(history, limit("FC-cold", "low"))
    reached = out[0][0] if out else None
    return (Finding(rules()["FC-cold"], total(out), 0.0, bool(out), reached),)
