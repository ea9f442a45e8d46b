"""What is still true of a formula after several reworks, of all that was said on the way."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from types import MappingProxyType

from doughwright.engine.formula import SolvedFormula
from doughwright.engine.overall import fat_ratio, hydration
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.reworking.rework import Rework
from doughwright.units import Ratio

OF_ITS_TIME = frozenset(
    {
        "ready-with-this-yeast",
        "ready-if-ever",
        "otherwise-by-noted-times",
        "other-stage-too",
        "other-stage-if-ever",
        "other-stage-never",
        "preferment-takes-all-yeast",
    }
)
"""Said of how a dough rises: it holds as long as the dough is the same, more of it or less."""

OF_ITS_SIZE = frozenset(
    {
        "eggs-not-whole",
        "eggs-not-whole-beside",
        "eggs-left",
        "eggs-made-whole",
        "tin-filled-otherwise",
        "tin-by-rule",
        "baked-by-loss",
        "put-on-baked",
    }
)
"""Said of weights: it holds as long as they stay."""

OF_THE_WHOLE = frozenset(
    {
        "hydration-unusual",
        "salt-high",
        "salt-low",
        "sugar-slows",
        "sugar-slows-clearly",
        "sugar-needs-osmotolerant",
        "fat-high",
    }
)
"""Said of what the dough is made of: it holds if it is still to be said at the end."""

OF_ITS_SHARES: Mapping[str, Callable[[SolvedFormula], Ratio]] = MappingProxyType(
    {
        "water-not-kept": hydration,
        "water-kept-in-part": hydration,
        "fat-not-kept": fat_ratio,
        "fat-of-the-milk": fat_ratio,
    }
)
"""Said of what it holds more or less of ``now``: it holds as long as that is so."""

ALIKE: Ratio = 1e-3
NEAR: Ratio = 2e-3
"""A share that is as near is the same: dry yeast holds a little fat."""
BACK: Ratio = 1e-4
"""Nearer it is what it was, but for rounded amounts."""


def still_true(reworks: Sequence[Rework]) -> tuple[Notice, ...]:
    """Return what reworks said that holds for the formula at the end.

    They were done one after the other; the first is the formula as it was.
    """
    return tuple(_holding(reworks))


def _holding(reworks: Sequence[Rework]) -> Iterator[Notice]:
    end = reworks[-1].formula
    for each in reworks:
        now = each.formula
        weighs = _alike(_masses(now), _masses(end))
        rises = _alike(_shares(now), _shares(end)) and _steps(now) == _steps(end)
        for notice in each.notices:
            if notice.code in OF_ITS_TIME:
                holds = rises
            elif notice.code in OF_ITS_SIZE:
                holds = weighs
            elif notice.code == "warmth-of-preferment":
                holds = _still_warm(notice, reworks[-1].formula)
            elif notice.code == "note-of-what-is-gone":
                holds = notice.values["name"] not in end.document.preparations
            elif notice.code in OF_ITS_SHARES:
                holds = _is_so(notice, reworks[0].formula, end)
            else:
                holds = notice.code not in OF_THE_WHOLE or notice in end.notices
            if holds:
                yield notice


def _is_so(notice: Notice, start: ResolvedFormula, end: ResolvedFormula) -> bool:
    """Whether a dough holds what was said, and not again what it held at first."""
    share = OF_ITS_SHARES[notice.code]
    was, now = share(start.solution), share(end.solution)
    return abs(now - was) > BACK and abs(now - float(str(notice.values["now"]))) <= NEAR


def _still_warm(notice: Notice, end: ResolvedFormula) -> bool:
    """Whether lines stand where they came to, still as warm as the preferment wanted them."""
    p = end.document.preparations.get(str(notice.where[1]))
    lines = p.ingredients if p is not None else {}
    names = str(notice.values["names"]).split(", ")
    return any(name in lines and lines[name].at is not None for name in names)


def _masses(formula: ResolvedFormula) -> dict[tuple[str, str], float]:
    found = formula.solution.preparations
    return {
        (p.name, line.name): mass
        for p in found
        for line, mass in zip(p.preparation.lines, p.masses, strict=True)
    }


def _shares(formula: ResolvedFormula) -> dict[tuple[str, str], float]:
    flour = formula.solution.total_flour
    return {line: mass / flour for line, mass in _masses(formula).items()}


def _steps(formula: ResolvedFormula) -> list[tuple[str, ...]]:
    """What decides how long a step takes."""
    return [
        (s.verb, s.of, *(str(each) for each in (s.at, s.until, s.lasts)))
        for s in formula.document.process
    ]


def _alike(was: dict[tuple[str, str], float], now: dict[tuple[str, str], float]) -> bool:
    return was.keys() == now.keys() and all(
        abs(now[line] - mass) <= ALIKE * mass for line, mass in was.items()
    )
