"""What a bench's page shows of a plan: what is now, until what, what to weigh, what comes next."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TypeVar

from doughwright.render.numbers import clock, duration
from doughwright.render.page import (
    PreparationBlock,
    StepBlock,
    matter_at_bench,
    preparation_block,
    step_blocks,
)
from doughwright.sheets.bench_plan import BenchPlan
from doughwright.web.bench_clock import Moment, moments, ready, stretches
from doughwright.web.benches import AtBench
from doughwright.web.kitchen_clock import wall_clock

Block = TypeVar("Block", StepBlock, PreparationBlock)

WEIGHED = frozenset({"mix", "make", "cook", "soak"})
"""Steps in which the preparation is put together: its weights stand open."""


@dataclass(frozen=True, slots=True)
class BenchStep:
    """A step at the bench: what to do, when, what to weigh for it.

    ``begins_at`` and ``due_at`` are when it begins and is likely to end, in milliseconds of the
    world's clock; ``band`` says from when to when it may end, ``left`` how long that is from now.
    """

    block: StepBlock
    moment: Moment
    at: str
    until: str
    band: str
    left: str
    begins_at: int
    due_at: int | None
    preparation: PreparationBlock | None
    is_weighed: bool
    is_inner: bool
    divides: bool


@dataclass(frozen=True, slots=True)
class BenchSheet:
    """A bench as it stands: at hand, meanwhile, next, and all steps in order."""

    at_hand: BenchStep | None
    meanwhile: tuple[BenchStep, ...]
    after: BenchStep | None
    steps: tuple[BenchStep, ...]
    begins_at: int | None
    begins: str
    ready: str
    now: int


def bench_sheet(plan: BenchPlan, here: AtBench, now: datetime) -> BenchSheet:
    """Lay out a bench at an instant."""
    planned = stretches(plan.timeline)
    found = moments(planned, here.begun, here.done, now)
    blocks = {b.row.position: _short(b) for b in _each(step_blocks(plan))}
    prepared = {p.name: _short(preparation_block(p, plan)) for p in plan.preparations}
    steps = tuple(_step(blocks[m.position], m, prepared, now) for m in found)
    line = [s for s in steps if not s.is_inner]
    at_hand = next((s for s in line if s.moment.state == "now"), None)
    is_ahead = at_hand is not None and here.begun > now and not here.done
    return BenchSheet(
        at_hand=at_hand,
        meanwhile=tuple(s for s in steps if _is_meanwhile(s, at_hand)),
        after=next((s for s in line if s.moment.state == "later"), None),
        steps=steps,
        begins_at=milliseconds(here.begun) if is_ahead else None,
        begins=_at(here.begun, now),
        ready=_ready(ready(planned, found, now), now),
        now=milliseconds(now),
    )


def _each(blocks: Iterable[StepBlock]) -> Iterable[StepBlock]:
    for block in blocks:
        yield block
        yield from block.inside


def _short(block: Block) -> Block:
    """A block with what matters at the bench."""
    return replace(block, notices=matter_at_bench(block.notices))


def _is_meanwhile(step: BenchStep, at_hand: BenchStep | None) -> bool:
    """A step within the one at hand, or one that should have been done by now."""
    if not step.is_inner or at_hand is None:
        return False
    inside = step.block.row.inside == at_hand.moment.position
    return step.moment.state == "now" or (inside and step.moment.state == "later")


def _step(
    block: StepBlock, moment: Moment, prepared: Mapping[str, PreparationBlock], now: datetime
) -> BenchStep:
    row = block.row
    return BenchStep(
        block=block,
        moment=moment,
        at=_about(moment, now),
        until=_at(moment.due, now) if moment.due is not None else "",
        band=_band(moment, now),
        left=left(moment.due, now),
        begins_at=milliseconds(moment.begins),
        due_at=milliseconds(moment.due) if moment.due is not None else None,
        preparation=prepared.get(row.of),
        is_weighed=row.verb in WEIGHED,
        is_inner=row.inside is not None,
        divides=row.verb in {"divide", "shape"},
    )


def _about(moment: Moment, now: datetime) -> str:
    """When a step began or is to begin, or was marked done; nothing where nobody marked it."""
    if moment.state == "passed":
        return ""
    at = _at(moment.done or moment.begins, now)
    return f"≥ {at}" if moment.unsure and moment.done is None else at


def _at(at: datetime, now: datetime) -> str:
    """A time by the kitchen's clock, with its day where it is not today's."""
    here, today = wall_clock(at), wall_clock(now)
    return clock(here, day=here.date() != today.date())


def since(begun: datetime, now: datetime) -> str:
    """Since when a bench is worked at, or from when on it will be.

    >>> nine = datetime(2026, 3, 1, 9)
    >>> since(nine, nine.replace(hour=11)), since(nine.replace(day=2), nine)
    ('since 09:00', 'from Mon 09:00')
    """
    return f"{'since' if begun <= now else 'from'} {_at(begun, now)}"


def _band(moment: Moment, now: datetime) -> str:
    """From when to when it may end, where that is not one minute."""
    if moment.earliest is None or moment.latest is None:
        return ""
    low, high = _at(moment.earliest, now), _at(moment.latest, now)
    return f"{low}–{high}" if low != high else ""


def left(due: datetime | None, now: datetime) -> str:
    """How long is left, or how long it is over; the page's script says it in the same words.

    >>> left(datetime(2026, 3, 1, 9, 0), datetime(2026, 3, 1, 8, 15, 20))
    '45 min left'
    """
    if due is None:
        return ""
    seconds = (due - now).total_seconds()
    if abs(seconds) < 60:
        return "now"
    said = duration(abs(seconds) // 60 * 60 if seconds < 0 else -(-seconds // 60) * 60)
    return f"{said} left" if seconds > 0 else f"{said} over"


def milliseconds(at: datetime) -> int:
    """An instant as a page's script counts it."""
    return round(at.timestamp() * 1000)


def _ready(found: tuple[datetime, datetime, datetime] | None, now: datetime) -> str:
    if found is None:
        return ""
    low, best, high = (_at(at, now) for at in found)
    return f"Ready about {best} ({low}–{high})." if low != high else f"Ready at {best}."
