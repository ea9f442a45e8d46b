"""Another schedule: the yeast with which a step is ready in a wished time, or a poolish's.

The fermentation model is turned round (:mod:`doughwright.resolving.yeast`); its band is said.
"""

from dataclasses import dataclass

from doughwright.documents.editing import Edit, Insert, SetValue
from doughwright.documents.quantities import quantity
from doughwright.engine.overall import fresh_yeast_ratio
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.yeast import Dosed, Question, dosed
from doughwright.reworking.moving import parted
from doughwright.reworking.preferments import PrefermentAsked, preferment_made, with_preferment
from doughwright.reworking.rework import (
    ALL_OF_IT,
    Rework,
    Weighed,
    all_but,
    decimals,
    dough_lines,
    followed,
    line_named,
    refusal,
    reworked,
    rewritten_amount,
    rising_steps,
    set_amount,
    times,
    times_dropped,
    weighed_lines,
)
from doughwright.reworking.water import yield_follows
from doughwright.units import Ratio, Second


@dataclass(frozen=True, slots=True)
class Schedule:
    """A rework to a schedule, and the answer of the model it was made with."""

    rework: Rework
    found: Dosed


def in_time(formula: ResolvedFormula, kitchen: Kitchen, question: Question) -> Schedule:
    """Give a formula the yeast with which a step is ready in a wished time, where it is asked to.

    All yeast becomes more or less together; the rest stays. Times noted with the old yeast go.

    Raises
    ------
    DocumentError
        No such step, or it runs by the clock, or no yeast gives the time.
    """
    found = dosed(formula, formula, kitchen, question)
    yeasts = [line for line in dough_lines(formula) if line.ingredient.yeast_equivalent]
    flour = formula.solution.total_flour
    edits: list[Edit] = [
        set_amount(line, rewritten_amount(line, line.mass * found.factor, flour)) for line in yeasts
    ]
    gained = found.formula.solution.dough - formula.solution.dough
    edits += yield_follows(formula, gained)
    edits += _standing(found)
    steps = rising_steps(formula.document, formula.document.preparations)
    dropped, said = times_dropped(formula.document, steps)
    notices = (_ready(found), *said)
    done = reworked(formula, [*edits, *dropped], all_but("yeast", "water", "fat"), notices)
    return Schedule(done, found)


def _standing(found: Dosed) -> list[Edit]:
    place = found.question.at
    if place is None:
        return []
    return [SetValue(("process", found.asked.position, "at"), str(place))]


def _ready(found: Dosed) -> Notice:
    """The time it takes with this yeast, with the model's band."""
    time = found.then.rises[found.asked.index].time
    assert time is not None, "what is never ready is refused"
    values = {"yeast": _fresh(found), "step": found.asked.label, "best": time.best}
    where = ("process", found.asked.position)
    if time.high is None:
        return Notice.of("ready-if-ever", *where, **values, low=time.low)
    return Notice.of("ready-with-this-yeast", *where, **values, low=time.low, high=time.high)


def _fresh(found: Dosed) -> Ratio:
    """Yeast as fresh on the flour it works in: the whole dough's, or a preferment's own."""
    solution = found.formula.solution
    name = found.formula.document.process[found.asked.position].of
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
    question = Question(f"ferment {name}", within, asked.at)
    found = dosed(first.formula, first.formula, kitchen, question)
    edits = [edit for line in _yeasts(first.formula, name) for edit in _shifted(first, line, found)]
    second = reworked(first.formula, edits, ALL_OF_IT, [_ready(found)])
    return Schedule(followed(first, second), found)


def _yeasts(formula: ResolvedFormula, name: str) -> list[Weighed]:
    return [x for x in weighed_lines(formula, name) if x.ingredient.yeast_equivalent]


def _shifted(first: Rework, line: Weighed, found: Dosed) -> list[Edit]:
    """Let a preferment's yeast be so many times as much; the dough gives or takes the rest."""
    formula = first.formula
    there = line_named(formula, formula.solution.final, line)
    wanted, amount = line.mass * found.factor, line.line.amount
    if there is None and found.factor < 1:
        return _given_back(formula, line, found)
    more = wanted - line.mass
    if there is None or more > there.mass:
        held = line.mass + (there.mass if there is not None else 0.0)
        values = {"name": line.name, "wanted": wanted, "there": held}
        raise refusal("too-little-to-take", "preparations", **values)
    words = times(amount, found.factor, decimals(there.line.amount.text))
    share = quantity(words, amount.dimension).best / amount.best - 1
    left = times(there.line.amount, 1 - share * line.mass / there.mass, decimals(words))
    return [set_amount(line, words), set_amount(there, left)]


def _given_back(formula: ResolvedFormula, line: Weighed, found: Dosed) -> list[Edit]:
    left, back = parted(line.line.amount, found.factor)
    path = ("preparations", formula.solution.final, "ingredients")
    at = len(formula.document.preparations[formula.solution.final].ingredients)
    return [set_amount(line, left), Insert(path, at, line.name, back)]
