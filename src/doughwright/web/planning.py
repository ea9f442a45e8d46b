"""What a plan's page is asked, tried: a plan, or what stands in the way beside its field."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from types import MappingProxyType
from urllib.parse import urlencode

from doughwright.errors import DocumentError, DoughwrightError, ImpossibleInput, Notice
from doughwright.resolving.kitchens import CHANGEABLE
from doughwright.sheets.bench_plan import BenchPlan
from doughwright.store.errors import NotInLibrary
from doughwright.web.asked import FIELDS, SIZES, Asked, asked
from doughwright.web.breads import Bread, kitchen_key, kitchen_text, plan
from doughwright.web.kitchen_clock import clock_change, instant, plan_begins

UNITS: Mapping[str, str] = MappingProxyType(
    {
        name: {"temperature": "°C", "length": "m", "mass": "g"}.get(dimension, "")
        for name, dimension in {**CHANGEABLE, **SIZES}.items()
    }
)
"""What a bare number in a field means: beside it stands the unit."""
BARE = re.compile(r"[-+−]?[0-9]+([.][0-9]+)?")


@dataclass(frozen=True, slots=True)
class Attempt:
    """What was asked and what came of it.

    ``wrong`` are problems beside a field, ``problems`` those of the bread or its kitchen.
    """

    words: Mapping[str, str]
    asked: Asked | None = None
    plan: BenchPlan | None = None
    wrong: Mapping[str, tuple[Notice, ...]] = field(default_factory=dict)
    problems: tuple[Notice, ...] = ()


def with_units(query: Mapping[str, str]) -> dict[str, str]:
    """What the fields say, a bare number with the unit that stands beside its field.

    >>> with_units({"room": "22", "pieces": "8", "piece": "90 g"})
    {'room': '22 °C', 'pieces': '8', 'piece': '90 g'}
    """
    said = {name: query[name].strip() for name in FIELDS if query.get(name, "").strip()}
    return {
        name: f"{word} {UNITS[name]}" if UNITS.get(name) and BARE.fullmatch(word) else word
        for name, word in said.items()
    }


def attempt(here: Bread, query: Mapping[str, str], now: datetime) -> Attempt:
    """Plan a bread as a query asks for it; ``now`` is the kitchen's own clock."""
    words = with_units(query)
    try:
        wanted = asked(words, now)
        kitchen_text(kitchen_key(wanted))
    except NotInLibrary as error:
        return Attempt(words, wrong={"kitchen": error.problems})
    except DocumentError as error:
        return Attempt(words, wrong=by_field(error.problems))
    try:
        return Attempt(words, wanted, plan(here, wanted))
    except (DocumentError, ImpossibleInput) as error:
        return _not_planned(words, wanted, error)


def by_field(problems: tuple[Notice, ...]) -> Mapping[str, tuple[Notice, ...]]:
    """The problems of each field; what no field is to blame for stands by the first."""
    found: dict[str, tuple[Notice, ...]] = {}
    for problem in problems:
        name = str(problem.where[0]) if problem.where else FIELDS[0]
        found[name] = (*found.get(name, ()), problem)
    return found


def _not_planned(words: Mapping[str, str], wanted: Asked, error: DoughwrightError) -> Attempt:
    """A problem that has no place in the bread's text is one of the size asked for."""
    size = next((name for name in SIZES if name in words), "")
    blamed = tuple(p for p in error.problems if size and not p.where)
    rest = tuple(p for p in error.problems if p not in blamed)
    return Attempt(words, wanted, wrong={size: blamed} if blamed else {}, problems=rest)


def address(here: Bread, words: Mapping[str, str], end: str = "plan") -> str:
    """The address of a plan, or of what is made of it, as it is asked for."""
    query = urlencode(words)
    return f"/breads/{here.stored.key}/{end}" + (f"?{query}" if query else "")


def clock_sentences(found: BenchPlan, wanted: Asked, now: datetime) -> tuple[str, ...]:
    """What is to be said about the clock: a start that is past, a night that clocks change in."""
    line = found.timeline
    if line.starts is None or line.ready_high is None:
        return ()
    said = []
    if wanted.ready is not None and line.starts < now:
        said.append(
            f"This plan begins at {line.starts:%Y-%m-%d %H:%M}, which is past: "
            "ask for a later time to be ready."
        )
    begins = plan_begins(line, wanted.ready, instant(now))
    change = clock_change(begins, begins + (line.ready_high - line.starts))
    if change:
        hours = f"{abs(change.total_seconds()) / 3600:g} h"
        way = "forward" if change.total_seconds() > 0 else "back"
        said.append(
            f"The clock is put {way} by {hours} while this runs. The times here do not follow it: "
            "go by how long each step takes. The bench and the calendar follow it."
        )
    return tuple(said)
