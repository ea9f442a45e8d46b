"""The process as timed steps: hands-on and passive, stated or assumed, in order.

Steps run in order. ``make``, ``cook`` and ``preheat`` take hands, not dough: they run
inside the passive step before them, as late as they can, or inside the one they name.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from doughwright.documents.formula import PASSIVE, FormulaDocument, Step
from doughwright.documents.quantities import Quantity
from doughwright.engine.properties import constants
from doughwright.errors import Notice
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.ways import mixing_time
from doughwright.units import Kelvin, Second

INSIDE = frozenset({"make", "cook", "preheat"})
"""Steps that run inside a passive one."""


@dataclass(frozen=True, slots=True)
class Lasting:
    """How long a step lasts: a range and where it is from.

    ``kind`` is ``stated`` (the formula says so for any kitchen), ``tested`` (what the
    baker saw where it was tested), ``usual`` (our own habit) or ``unknown``.
    """

    low: Second
    best: Second
    high: Second
    kind: str

    @property
    def known(self) -> bool:
        """Whether there is a time at all."""
        return self.kind != "unknown"


@dataclass(frozen=True, slots=True)
class TimedStep:
    """One step of the process with its duration, place and hands.

    ``position`` is its place in the document (one past the end for a preheat we added);
    ``inside`` is the position of the passive step it runs in, None for steps in line.
    """

    position: int
    step: Step
    lasts: Lasting
    hands_on: bool
    place: Kelvin | None
    inside: int | None = None


def timed_steps(
    document: FormulaDocument, kitchen: Kitchen, pieces: int | None
) -> tuple[TimedStep, ...]:
    """Time every step of a formula's process in a kitchen.

    A preheat is added before the first bake when the formula has none.
    """
    seen_as = "tested" if document.tested_in is not None else "stated"
    timed = [
        TimedStep(
            position=i,
            step=step,
            lasts=_mixing(step, document) or lasting(step, kitchen, pieces or 1, seen_as),
            hands_on=step.verb not in PASSIVE | {"preheat"},
            place=_place(step, kitchen),
        )
        for i, step in _with_preheat(document.process)
    ]
    return tuple(_placed(t, timed) for t in timed)


def _mixing(step: Step, document: FormulaDocument) -> Lasting | None:
    """A mix that says no time takes what the heat balance counts for it."""
    if step.verb != "mix" or step.lasts is not None or step.took is not None:
        return None
    known = document.preparations.get(step.of)
    lasts = mixing_time(step, known.kind if known is not None else "dough")
    return Lasting(lasts, lasts, lasts, "usual")


def _with_preheat(process: Sequence[Step]) -> list[tuple[int, Step]]:
    """Number the steps as in the document; add a preheat before the bake if there is none."""
    steps = list(enumerate(process))
    bake = next((i for i, step in steps if step.verb == "bake"), None)
    if bake is None or any(step.verb == "preheat" for _, step in steps):
        return steps
    setting = {"oven": process[bake].oven} if process[bake].oven else {}
    preheat = Step.model_validate({"preheat": "oven", **setting})
    return [*steps[:bake], (len(steps), preheat), *steps[bake:]]


def _placed(timed: TimedStep, all_steps: list[TimedStep]) -> TimedStep:
    if timed.step.verb not in INSIDE:
        return timed
    passive = [
        t
        for t in all_steps
        if t.step.verb in (PASSIVE if timed.step.during else PASSIVE - {"bake", "cool"})
        and (timed.step.during is None or t.step.verb == timed.step.during)
    ]
    before = [t for t in passive if all_steps.index(t) < all_steps.index(timed)]
    host = before[-1] if before else (passive[0] if timed.step.during and passive else None)
    return timed if host is None else replace(timed, inside=host.position)


def lasting(step: Step, kitchen: Kitchen, pieces: int, seen_as: str = "tested") -> Lasting:
    """How long a step lasts, from what the formula says, else from habit.

    ``seen_as`` is the kind of a ``took``: ``tested`` when the formula says where.
    """
    for quantity, kind in (
        (step.lasts, "stated"),
        (step.took, seen_as),
        (step.until if isinstance(step.until, Quantity) else None, "stated"),
    ):
        if quantity is not None and quantity.dimension == "duration":
            return Lasting(quantity.low, quantity.best, quantity.high, kind)
    if step.verb == "preheat":
        heats = kitchen.oven.heats_in
        return Lasting(heats, heats, heats, "usual")
    return _usual(step, pieces)


def _usual(step: Step, pieces: int) -> Lasting:
    table = constants("steps")
    fixed = table.get(step.verb.replace("-", "_"))
    if fixed is None:
        return Lasting(0.0, 0.0, 0.0, "unknown")
    each = table.get(f"{step.verb.replace('-', '_')}_each")
    best = fixed.value + (each.value * pieces if each else 0.0)
    give = fixed.uncertainty + (each.uncertainty * pieces if each else 0.0)
    return Lasting(best - give, best, best + give, "usual")


def _place(step: Step, kitchen: Kitchen) -> Kelvin | None:
    if step.at is None:
        return kitchen.fridge if step.verb == "retard" else kitchen.room
    if isinstance(step.at, Quantity):
        return step.at.best
    return kitchen.temperature_of(step.at)


@dataclass(frozen=True, slots=True)
class Slot:
    """When a step runs, in seconds from the start of the first; best estimates."""

    timed: TimedStep
    start: Second
    end: Second


def slots(steps: Sequence[TimedStep]) -> tuple[Slot, ...]:
    """Lay the steps end to end; those inside another end when it ends.

    Several steps inside one passive step run one after the other, as late as they can.
    """
    clock, in_line = 0.0, {}
    for timed in steps:
        if timed.inside is None:
            in_line[timed.position] = Slot(timed, clock, clock + timed.lasts.best)
            clock += timed.lasts.best
    latest = {position: slot.end for position, slot in in_line.items()}
    for timed in reversed(steps):
        if timed.inside is not None:
            end = latest[timed.inside]
            latest[timed.inside] = end - timed.lasts.best
            in_line[timed.position] = Slot(timed, end - timed.lasts.best, end)
    early = min(slot.start for slot in in_line.values()) if in_line else 0.0
    return tuple(_later(in_line[t.position], -early) for t in steps)


def _later(slot: Slot, by: Second) -> Slot:
    return Slot(slot.timed, slot.start + by, slot.end + by) if by else slot


def total_time(steps: Sequence[TimedStep]) -> tuple[Second, Second, Second]:
    """Shortest, best and longest time from the first step to the last.

    A preheat that takes longer than what comes before the bake begins the plan.
    """
    line = [t.lasts for t in steps if t.inside is None]
    laid = slots(steps)
    whole = max((slot.end for slot in laid), default=0.0)
    best = sum(x.best for x in line)
    ahead = whole - best
    return sum(x.low for x in line) + ahead, whole, sum(x.high for x in line) + ahead


def crowding_notices(laid: Sequence[Slot]) -> tuple[Notice, ...]:
    """Steps inside a passive one that would have to begin before it does."""
    starts = {slot.timed.position: slot.start for slot in laid if slot.timed.lasts.known}
    return tuple(
        Notice.of(
            "no-room-inside",
            "process",
            slot.timed.position,
            step=f"{slot.timed.step.verb} {slot.timed.step.of}",
            early=starts[slot.timed.inside] - slot.start,
        )
        for slot in laid
        if slot.timed.inside in starts and slot.start < starts[slot.timed.inside] - 1
    )
