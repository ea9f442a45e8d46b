"""A plan as a calendar with alarms (iCalendar, RFC 5545): what rings where no page is open.

Times are instants (UTC), so a calendar shows them by the clock of whoever opens it. A step is
one entry; it keeps its UID, so a calendar that took the plan in before moves the entry.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from types import MappingProxyType

from icalendar import Alarm, Calendar, Event

from doughwright.render.messages import remedy, words
from doughwright.render.page import StepBlock, matter_at_bench, step_blocks
from doughwright.render.phrases import kitchen_line
from doughwright.render.timings import instruction, lasting
from doughwright.sheets.bench_plan import BenchPlan

MEDIA_TYPE = "text/calendar; charset=utf-8"
HANDS_AHEAD = timedelta(minutes=5)
"""How long before hands are called for it rings."""

UNSURE = MappingProxyType(
    {
        "": "",
        "not before": "Not before this time: how long a step before it takes is not known.",
        "not after": "Not after this time: how long this step or a later one takes is not known.",
    }
)

COUNTED_FROM = datetime(2026, 1, 1, tzinfo=UTC)
"""A revision of an event is counted in seconds from here: it must only ever rise (RFC 5545,
3.8.7.4, from memory), and an undone mark moves times back."""

Times = Mapping[int, tuple[datetime, datetime]]
"""When each step begins and ends, as instants in UTC, by its position."""


def plan_calendar(plan: BenchPlan, times: Times, *, uid: str, stamp: datetime) -> bytes:
    """The steps that have a time, in the order of their beginning.

    ``uid`` names this making of the plan, ``stamp`` when the file is written: a calendar takes
    the later file for the newer one, whichever way the times have moved.
    """
    calendar = Calendar()
    calendar.add("prodid", "-//Doughwright//Bench plan//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", _plain(plan.name))
    blocks = {block.row.position: block for block in _all(step_blocks(plan))}
    laid = sorted((times[position][0], position) for position in blocks if position in times)
    called = hands_called([blocks[position].row.hands_on for _, position in laid])
    for (_, position), rings in zip(laid, called, strict=True):
        event = _event(blocks[position], times[position], plan, rings_before=rings)
        event.add("uid", f"{uid}-{position}@doughwright")
        event.add("dtstamp", stamp)
        event.add("sequence", round((stamp - COUNTED_FROM).total_seconds()))
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def hands_called(hands_on: Sequence[bool]) -> Iterator[bool]:
    """Whether hands are called for: each step that takes them after one that did not.

    >>> list(hands_called([True, False, True, True]))
    [True, False, True, False]
    """
    yield from (here and not before for before, here in pairwise((False, *hands_on)))


def _all(blocks: Sequence[StepBlock]) -> Iterator[StepBlock]:
    for block in blocks:
        yield block
        yield from block.inside


def _event(
    block: StepBlock, time: tuple[datetime, datetime], plan: BenchPlan, *, rings_before: bool
) -> Event:
    begins, ends = time
    event = Event()
    title = _plain(instruction(block.row).removesuffix("."))
    event.add("summary", title)
    event.add("dtstart", begins)
    if ends > begins:  # an entry that takes no time has no end (RFC 5545, 3.6.1)
        event.add("dtend", ends)
    event.add("description", _plain(_description(block, plan)))
    event.add("transp", "OPAQUE" if block.row.hands_on else "TRANSPARENT")
    if rings_before or block.row.verb == "preheat":
        event.add_component(_alarm(f"In 5 min: {title}", -HANDS_AHEAD))
    if not block.row.hands_on and ends > begins:
        event.add_component(_alarm(f"Look: {title}", timedelta(), related="END"))
    return event


def _description(block: StepBlock, plan: BenchPlan) -> str:
    """How long and until what, what to take care of, which bread and where."""
    how = [lasting(block.row)] if block.row.lasts.value != 0 else []
    how += [block.looks] if block.looks else []
    said = [UNSURE[block.row.unsure], f"{', '.join(how)}." if how else "", block.row.note]
    said += [f"{words(n)} {remedy(n)}".strip() for n in matter_at_bench(block.notices)]
    said.append(f"{plan.name}. {kitchen_line(plan.kitchen)}.")
    return "\n".join(filter(None, said))


def _alarm(says: str, trigger: timedelta, *, related: str = "START") -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", says)
    alarm.add("trigger", trigger, parameters={"RELATED": related})
    return alarm


NOT_IN_A_LINE = re.compile(r"[\x00-\x08\x0b-\x1f\x7f\x85\u2028\u2029]")
"""What no line of a calendar may hold; line feeds and tabs are written as they must be."""


def _plain(text: str) -> str:
    return NOT_IN_A_LINE.sub(" ", text.replace("\r\n", "\n"))
