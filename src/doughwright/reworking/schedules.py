"""Another schedule: the yeast with which a step is ready in a wished time, or a poolish's.

The fermentation model is turned round (:mod:`doughwright.resolving.yeast`); its band is said.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from doughwright.documents.editing import Edit, Insert, SetValue
from doughwright.documents.quantities import quantity
from doughwright.engine.batch import Relative
from doughwright.engine.overall import fresh_yeast_ratio
from doughwright.errors import DocumentError, DoughwrightError, Notice, SolverFailure
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.rises import settled
from doughwright.resolving.settling import Settled
from doughwright.resolving.yeast import (
    Asked,
    Dosed,
    Question,
    asked_step,
    dosed,
    place_notices,
    time_planned,
    with_yeast,
)
from doughwright.reworking.amounts import decimals, times
from doughwright.reworking.moving import parted
from doughwright.reworking.other_stages import other_stages
from doughwright.reworking.preferments import PrefermentAsked, preferment_made, with_preferment
from doughwright.reworking.rework import (
    ALL_OF_IT,
    Rework,
    Weighed,
    all_but,
    followed,
    line_named,
    refusal,
    reworked,
    rewritten_amount,
    rising_steps,
    set_amount,
    times_dropped,
    weighed_lines,
)
from doughwright.reworking.water import used, yield_follows
from doughwright.units import Ratio, Second

A_RISE: Ratio = 1.05
"""Below this size nobody sees a dough rise."""

WORTH_SAYING: Ratio = 0.1
"""How far another answer is off before a baker would do something else."""

A_LITTLE_MORE: tuple[Ratio, ...] = (1.0, 1.002, 1.005, 1.01, 1.02)
"""How much yeast is tried where the plan of what is written does not get there."""


@dataclass(frozen=True, slots=True)
class Schedule:
    """A rework to a schedule, and the answer of the model it was made with."""

    rework: Rework
    found: Dosed


def in_time(formula: ResolvedFormula, kitchen: Kitchen, question: Question) -> Schedule:
    """Give a formula the yeast with which a step is ready in a wished time, where it is asked to.

    All yeast becomes more or less together, or a preferment's own for its steps; the rest stays.
    Times noted with the old yeast go first: what is written is planned as it was asked for.

    Raises
    ------
    DocumentError
        No such step, or it runs by the clock, or no yeast gives the time.
    """
    asked = asked_step(formula, formula, kitchen, question)
    untimed = _untimed(formula, asked)
    ready = untimed.formula
    yeasts = _works_in(ready, ready.document.process[asked.position].of)
    own = frozenset(x.preparation for x in yeasts)
    settles = replace(question, step=asked.label, at=None, yeast_of=own)
    found = dosed(ready, ready, kitchen, settles)

    def written(factor: Ratio) -> Rework:
        flour = ready.solution.total_flour
        edits = [set_amount(x, rewritten_amount(x, x.mass * factor, flour)) for x in yeasts]
        gained = sum(x.mass * (factor - 1) * used(ready, x) for x in yeasts)
        edits += yield_follows(ready, gained)
        return reworked(ready, edits, all_but("yeast", "water", "fat"))

    dose, now = _that_gets_there(found, written, kitchen)
    was = settled(formula, formula, kitchen)
    notices = (
        _ready(found, dose.formula, now),
        *other_stages(found, was, now),
        *place_notices(question.at),
        *_by_noted_times(formula, kitchen, asked, found),
    )
    return Schedule(followed(untimed, replace(dose, notices=(*dose.notices, *notices))), found)


def _that_gets_there(
    found: Dosed, written: Callable[[Ratio], Rework], kitchen: Kitchen
) -> tuple[Rework, Settled]:
    """What is written with the yeast found, and its plan; a little more where it rises no more.

    At the longest time there is, the rounding of an amount decides whether it gets there at all.
    """
    for more in A_LITTLE_MORE:
        done = written(found.factor * more)
        plan = settled(done.formula, done.formula, kitchen)
        if time_planned(plan, found.asked.position) is not None:
            return done, plan
    raise SolverFailure([Notice.of("yeast-not-found", "process", found.asked.position)])


def _untimed(formula: ResolvedFormula, asked: Asked) -> Rework:
    """The formula without times noted with its old yeast; the step stands where it is asked to."""
    document, place = formula.document, asked.formula.document.process[asked.position].at
    of = document.process[asked.position].of
    others = {line.preparation for line in _works_in(formula, of)}
    steps = rising_steps(document, {of} | others)
    goals = zip(asked.found.steps, asked.found.stages, strict=True)
    grown = {t.position: s.goal for t, s in goals if isinstance(s.goal, Relative)}
    sizes = {position: goal.times for position, goal in grown.items() if goal.times > A_RISE}
    edits, said = times_dropped(document, steps, sizes)
    if place != document.process[asked.position].at:
        edits.append(SetValue(("process", asked.position, "at"), str(place)))
    return reworked(formula, edits, ALL_OF_IT, said)


def _works_in(formula: ResolvedFormula, name: str) -> list[Weighed]:
    """The yeast of a preparation and of all it takes."""
    taken = formula.solution.named(name).taken
    inside = [line for other in taken for line in _works_in(formula, other)]
    return [*_yeasts(formula, name), *inside]


def _by_noted_times(
    formula: ResolvedFormula, kitchen: Kitchen, asked: Asked, found: Dosed
) -> list[Notice]:
    """What the times noted with the old yeast make of the answer, if it is another time."""
    if asked.now.anchor is None:
        return []
    dough = with_yeast(asked.formula, found.factor, found.question.yeast_of)
    time = settled(dough, formula, kitchen).rises[asked.index].time
    if time is None or abs(time.best / found.question.within - 1) < WORTH_SAYING:
        return []
    values = {"step": asked.label, "best": time.best}
    return [Notice.of("otherwise-by-noted-times", "process", asked.position, **values)]


def _ready(found: Dosed, formula: ResolvedFormula, plan: Settled) -> Notice:
    """The time it takes with the yeast that is written, with the model's band."""
    time = time_planned(plan, found.asked.position)
    assert time is not None, "what is never ready is refused"
    name = formula.document.process[found.asked.position].of
    values = {"yeast": _fresh(formula, name), "step": found.asked.label, "best": time.best}
    where = ("process", found.asked.position)
    if time.high is None:
        return Notice.of("ready-if-ever", *where, **values, low=time.low)
    return Notice.of("ready-with-this-yeast", *where, **values, low=time.low, high=time.high)


def _fresh(formula: ResolvedFormula, name: str) -> Ratio:
    """Yeast as fresh on the flour it works in: the whole dough's, or a preferment's own."""
    solution = formula.solution
    if name == solution.final:
        return fresh_yeast_ratio(solution)
    p = solution.named(name)
    lines = zip(p.preparation.lines, p.masses, strict=True)
    return sum(m * line.ingredient.yeast_equivalent for line, m in lines) / p.own_flour


def with_preferment_in_time(
    formula: ResolvedFormula, kitchen: Kitchen, asked: PrefermentAsked, within: Second
) -> Schedule:
    """Put in a preferment with the yeast that makes it ripe in a wished time where it stands.

    The yeast it does not take stays in the dough: the whole stays as it is.
    """
    first = with_preferment(formula, asked)
    name = preferment_made(first)
    question = Question(f"ferment {name}", within, asked.at, frozenset({name}))
    try:
        found = dosed(first.formula, first.formula, kitchen, question)
    except DoughwrightError as error:  # about steps that the author has not seen
        raise DocumentError(
            [Notice(each.code, ("preparations",), each.values) for each in error.problems]
        ) from None

    def written(factor: Ratio) -> Rework:
        lines = _yeasts(first.formula, name)
        edits = [edit for line in lines for edit in _shifted(first, line, factor)]
        return reworked(first.formula, edits, ALL_OF_IT)

    second, plan = _that_gets_there(found, written, kitchen)
    second = replace(second, notices=(*second.notices, _ready(found, second.formula, plan)))
    return Schedule(followed(first, second), found)


def _yeasts(formula: ResolvedFormula, name: str) -> list[Weighed]:
    return [x for x in weighed_lines(formula, name) if x.ingredient.yeast_equivalent]


def _shifted(first: Rework, line: Weighed, factor: Ratio) -> list[Edit]:
    """Let a preferment's yeast be so many times as much; the dough gives or takes the rest."""
    formula = first.formula
    there = line_named(formula, formula.solution.final, line)
    wanted, amount = line.mass * factor, line.line.amount
    if there is None and factor < 1:
        return _given_back(formula, line, factor)
    more = wanted - line.mass
    if there is None or more > there.mass:
        held = line.mass + (there.mass if there is not None else 0.0)
        values = {"name": line.name, "wanted": wanted, "there": held}
        raise refusal("too-little-to-take", "preparations", **values)
    words = times(amount, factor)
    share = quantity(words, amount.dimension).best / amount.best - 1
    finest = max(decimals(text) for text in (words, amount.text, there.line.amount.text))
    left = times(there.line.amount, 1 - share * line.mass / there.mass, finest)
    return [set_amount(line, words), set_amount(there, left)]


def _given_back(formula: ResolvedFormula, line: Weighed, factor: Ratio) -> list[Edit]:
    left, back = parted(line.line.amount, factor)
    path = ("preparations", formula.solution.final, "ingredients")
    at = len(formula.document.preparations[formula.solution.final].ingredients)
    return [set_amount(line, left), Insert(path, at, line.name, back)]
