"""How much yeast makes a step ready in a wished time: the formula with its yeast changed.

All yeast of the formula is taken more or less of together, or that of some preparations; the
rest of the weights stay.
The answer is planned forward like any formula; what the plan then says is the answer's time.
"""

from dataclasses import dataclass, replace
from math import ceil, floor, isfinite, sqrt

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.names import numbered
from doughwright.documents.quantities import Quantity
from doughwright.documents.scalars import nearest
from doughwright.engine.batch import For, Goal, Multipliers, Relative
from doughwright.engine.fermentation import FERMENTATION
from doughwright.engine.formula import SolvedFormula, SolvedPreparation
from doughwright.engine.kitchens import Band
from doughwright.engine.overall import fresh_yeast_ratio
from doughwright.engine.plausibility import plausibility_notices
from doughwright.engine.portions import mixing_constant
from doughwright.engine.rise import staged_rise
from doughwright.engine.yeast_dose import yeast_for_time
from doughwright.errors import DocumentError, ImpossibleInput, Notice, SolverFailure
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen, tested_kitchen
from doughwright.resolving.rises import setting, settled
from doughwright.resolving.settling import Settled
from doughwright.resolving.stages import DEFAULT_GOALS, Staged
from doughwright.units import Ratio, Second

ROUNDS = 8
MEETS: Ratio = 0.002
"""How near the planned time must come to the wished one; asking again is cheap."""

AT_ONCE: Second = 1.0
EVER: Second = 1e9
"""Sooner than any dough is ready, and longer than any is followed."""

CANNOT_GIVE = "yeast-cannot-give-time"
HALVINGS = 12
"""Of the span in which a step ceases to get there at all: to less than a hundredth of it."""

MINUTE: Second = 60.0

INSIDE: Ratio = 1e-3
"""How far inside the shortest and longest time the search stays."""


@dataclass(frozen=True, slots=True)
class Question:
    """Which step (its verb and preparation) is to be ready within which time, standing where.

    ``at`` is a place of the kitchen or a temperature; None leaves the step where it stands.
    ``yeast_of`` names the preparations whose own yeast changes, all that the step's takes among
    them; None is all of the formula.
    """

    step: str
    within: Second
    at: str | Quantity | None = None
    yeast_of: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class Asked:
    """A step that was asked about, found among the stages of its dough.

    ``formula`` has the step standing where it was asked to; ``now`` is it settled with the
    yeast as written, ``found`` are its stages with their goals.
    """

    index: int
    label: str
    formula: ResolvedFormula
    now: Settled
    found: Staged

    @property
    def position(self) -> int:
        """The step's place in the document."""
        return self.found.steps[self.index].position

    @property
    def goal(self) -> Goal:
        """Until what the step lasts."""
        return self.found.stages[self.index].goal


@dataclass(frozen=True, slots=True)
class Dosed:
    """A formula with ``factor`` times the yeast asked about, planned forward in ``then``."""

    question: Question
    asked: Asked
    factor: Ratio
    formula: ResolvedFormula
    then: Settled


def dosed(
    formula: ResolvedFormula, own: ResolvedFormula, kitchen: Kitchen, question: Question
) -> Dosed:
    """Change a formula's yeast so that a step is ready in the wished time in a kitchen.

    ``own`` is the formula at the document's own size, in which its times were noted: they
    anchor the answer. The plan of the answer meets the wished time within :data:`MEETS`.

    Raises
    ------
    DocumentError
        No such step, or it runs by the clock, or no yeast gives the time.
    """
    asked = asked_step(formula, own, kitchen, question)
    ends = _reach(asked)
    aim = _within(ends, question.within / _moved(asked))
    last: Second = 0.0
    for _ in range(ROUNDS):
        found = _at(asked, own, kitchen, question, aim)
        time = _planned_time(found)
        if time is None:
            ends = ends[0], _longest_aim(asked, own, kitchen, question, (ends[0], aim))
            aim = ends[1]
            continue
        if abs(time / question.within - 1) < MEETS:
            return found
        aim, before = _within(ends, aim * question.within / time), aim
        if aim == before or time == last:  # at an end of what yeast can do
            raise _out_of_reach(asked, own, kitchen, question)
        last = time
    raise SolverFailure([Notice.of("yeast-not-found", "process", asked.position)])


def _at(
    asked: Asked, own: ResolvedFormula, kitchen: Kitchen, question: Question, aim: Second
) -> Dosed:
    """The formula with the yeast for a time of the model's, planned forward."""
    dose = yeast_for_time(asked.found.stages, asked.index, aim, _centre(asked.now))
    changed = with_yeast(asked.formula, dose.factor, question.yeast_of)
    return Dosed(question, asked, dose.factor, changed, settled(changed, own, kitchen))


def _longest_aim(
    asked: Asked,
    own: ResolvedFormula,
    kitchen: Kitchen,
    question: Question,
    between: tuple[Second, Second],
) -> Second:
    """The longest aim with which the planned step still gets there, below one with which not."""
    low, high = between
    for _ in range(HALVINGS):
        middle = sqrt(low * high)
        time = _planned_time(_at(asked, own, kitchen, question, middle))
        low, high = (low, middle) if time is None else (middle, high)
    return low


def _planned_time(found: Dosed) -> Second | None:
    time = time_planned(found.then, found.asked.position)
    return time.best if time is not None else None


def time_planned(plan: Settled, position: int) -> Band | None:
    """How long a step takes in a plan; None where it is never ready, or another leaven leads."""
    return next((rise.time for rise in plan.rises if rise.position == position), None)


def _within(ends: tuple[Second, Second], time: Second) -> Second:
    return min(max(time, ends[0]), ends[1])


def asked_step(
    formula: ResolvedFormula, own: ResolvedFormula, kitchen: Kitchen, question: Question
) -> Asked:
    """Find the step asked about, and let it stand where it is asked to."""
    formula = _untimed(formula)
    now, found = _followed(formula, own, kitchen)
    index, label = _found_step(found, question.step)
    position = found.steps[index].position
    if isinstance(found.stages[index].goal, For):
        raise DocumentError([_by_clock(found, index, label)])
    if question.at is not None:
        check_survives(question.at)
        document = with_place(formula.document, position, question.at)
        formula = replace(formula, document=document)
        now, found = _followed(formula, own, kitchen)
    return Asked(index, label, formula, now, found)


def _untimed(formula: ResolvedFormula) -> ResolvedFormula:
    """The formula without times noted nobody says where: no yeast would move them.

    What had only such a time rises to its usual size.
    """
    document = formula.document
    if document.tested_in is not None and document.tested_in.room is not None:
        return formula
    process = [
        step.model_copy(update={"took": None}) if step.verb in DEFAULT_GOALS else step
        for step in document.process
    ]
    return replace(formula, document=document.model_copy(update={"process": process}))


def check_survives(place: str | Quantity | None) -> None:
    """Refuse a place so warm that yeast dies in a dough that stands there.

    Raises
    ------
    DocumentError
        Above the temperature at which yeast dies; it is stated.
    """
    kills = mixing_constant("mixed_kills")
    if isinstance(place, Quantity) and place.best > kills:
        values = {"place": place.best, "kills": kills}
        raise DocumentError([Notice.of("place-kills-yeast", "process", **values)])


def place_notices(place: str | Quantity | None) -> tuple[Notice, ...]:
    """What is to be said of a place warmer than the model of the rise was checked in."""
    checked = FERMENTATION.inputs["dough_temperature"].high
    if not isinstance(place, Quantity) or place.best <= checked:
        return ()
    values = {"place": place.best, "checked": checked}
    return (Notice.of("place-warmer-than-checked", "process", **values),)


def _followed(
    formula: ResolvedFormula, own: ResolvedFormula, kitchen: Kitchen
) -> tuple[Settled, Staged]:
    """The formula settled, and its stages each with the goal it is planned to."""
    if fresh_yeast_ratio(formula.solution) <= 0:
        raise DocumentError([Notice.of("no-yeast", "preparations")])
    now = settled(formula, own, kitchen)
    found = setting(formula, kitchen, _centre(now)).staged
    if found is None:
        raise DocumentError([Notice.of("no-rising-step", "process")])
    if not found.implied or now.anchor is None:
        return now, found
    return now, _with_noted_sizes(found, now, own, kitchen)


def _with_noted_sizes(
    found: Staged, now: Settled, own: ResolvedFormula, kitchen: Kitchen
) -> Staged:
    """Where only a time was noted, wait for the size the dough had then, where it was tested."""
    there = settled(own, own, tested_kitchen(kitchen, own.document.tested_in))
    stages = list(found.stages)
    for i in found.implied:
        if now.rises[i].kind != "stated":
            stages[i] = replace(stages[i], goal=Relative(there.rises[i].sizes[-1]))
    return replace(found, stages=tuple(stages))


def _centre(planned: Settled) -> Multipliers | None:
    return planned.anchor.multipliers if planned.anchor is not None else None


def _found_step(found: Staged, read: str) -> tuple[int, str]:
    """The stage a baker names, and its label: of several alike the one that has a goal."""
    names = [f"{timed.step.verb} {timed.step.of}" for timed in found.steps]
    labels = numbered(names)
    plain = " ".join(read.casefold().split())
    exact = [i for i, label in enumerate(labels) if label.casefold() == plain]
    alike = [i for i, name in enumerate(names) if name.casefold() == plain]
    waiting = [i for i in alike if not isinstance(found.stages[i].goal, For)]
    chosen = next((c for c in (exact, waiting, alike) if c), [])
    if not chosen:
        like = nearest(plain, labels)
        raise DocumentError(
            [Notice.of("unknown-step", read=read, allowed=", ".join(labels), like=like)]
        )
    if len(chosen) > 1 and waiting:
        which = ", ".join(labels[i] for i in chosen)
        raise DocumentError([Notice.of("which-step", read=read, allowed=which)])
    return chosen[0], labels[chosen[0]]


def _by_clock(found: Staged, index: int, label: str) -> Notice:
    goal = found.stages[index].goal
    assert isinstance(goal, For)
    labels = numbered([f"{timed.step.verb} {timed.step.of}" for timed in found.steps])
    others = [
        name
        for name, stage in zip(labels, found.stages, strict=True)
        if not isinstance(stage.goal, For)
    ]
    return Notice.of(
        "step-by-clock",
        "process",
        found.steps[index].position,
        step=label,
        time=goal.time,
        allowed=", ".join(others) or "none",
    )


def with_place(document: FormulaDocument, position: int, place: str | Quantity) -> FormulaDocument:
    """The document with one step standing elsewhere."""
    process = list(document.process)
    process[position] = process[position].model_copy(update={"at": place})
    return document.model_copy(update={"process": process})


def with_yeast(
    formula: ResolvedFormula, factor: Ratio, names: frozenset[str] | None = None
) -> ResolvedFormula:
    """The formula with so many times its yeast, or that of the preparations named.

    Every other weight stays. Pieces share what the dough gains or loses.
    """
    before = formula.solution
    names = names if names is not None else frozenset(p.name for p in before.preparations)
    after = _dough_with_yeast(before, factor, names)
    share = after.dough / before.dough
    piece = before.piece * share if before.piece is not None else None
    after = replace(after, piece=piece, remainder=before.remainder * share)
    judged = plausibility_notices(before)
    others = (notice for notice in formula.notices if notice not in judged)
    return replace(formula, solution=after, notices=(*others, *plausibility_notices(after)))


def _dough_with_yeast(
    formula: SolvedFormula, factor: Ratio, names: frozenset[str]
) -> SolvedFormula:
    """Change each named preparation's yeast, first those that others take."""
    done: dict[str, SolvedPreparation] = {}
    for p in formula.preparations:
        lines = zip(p.preparation.lines, p.masses, strict=True)
        more = factor if p.name in names else 1.0
        done[p.name] = replace(
            p,
            masses=tuple(m * (more if x.ingredient.yeast_equivalent else 1.0) for x, m in lines),
            taken={
                name: mass * done[name].mass / formula.named(name).mass
                for name, mass in p.taken.items()
            },
        )
    return replace(formula, preparations=tuple(done.values()))


def _moved(asked: Asked) -> Ratio:
    """How much longer the planned time is than the model's: what the baker's own times ask."""
    planned = asked.now.rises[asked.index].time
    run = staged_rise(asked.found.stages, _centre(asked.now), samples=2)
    ready = run.stages[asked.index].ready
    return planned.best / ready if planned is not None and ready else 1.0


def _out_of_reach(
    asked: Asked, own: ResolvedFormula, kitchen: Kitchen, question: Question
) -> DocumentError:
    """Say what times the step can have, as the plan would give them, in whole minutes."""

    def planned(aim: Second) -> Second:
        return _planned_time(_at(asked, own, kitchen, question, aim)) or 0.0

    first, last = _reach(asked)
    shortest, longest = planned(first), planned(last)
    if not longest:
        longest = planned(_longest_aim(asked, own, kitchen, question, (first, last)))
    return DocumentError(
        [
            Notice.of(
                CANNOT_GIVE,
                "process",
                asked.position,
                wanted=question.within,
                shortest=MINUTE * ceil(shortest / MINUTE),
                longest=MINUTE * floor(longest / MINUTE),
                **_yeast_range(),
            )
        ]
    )


def _reach(asked: Asked) -> tuple[Second, Second]:
    """Shortest and longest time of the model's within the range of yeast it is checked in."""
    stages, centre = asked.found.stages, _centre(asked.now)
    try:
        yeast_for_time(stages, asked.index, AT_ONCE, centre)
    except ImpossibleInput as error:
        refused = error.problems[0]
        if refused.code != CANNOT_GIVE:
            raise
        shortest, longest = (float(str(refused.values[end])) for end in ("shortest", "longest"))
    if not isfinite(shortest):
        never = Notice.of(
            "yeast-never-enough", "process", asked.position, step=asked.label, **_yeast_range()
        )
        raise DocumentError([never])
    if not isfinite(longest):  # with the least it never gets there
        longest = yeast_for_time(stages, asked.index, EVER, centre).time
    return shortest * (1 + INSIDE), longest * (1 - INSIDE)


def _yeast_range() -> dict[str, Ratio]:
    allowed = FERMENTATION.inputs["fresh_yeast"]
    return {"least": allowed.low, "most": allowed.high}
