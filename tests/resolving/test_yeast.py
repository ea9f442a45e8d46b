"""The yeast for a wished time: what it must agree with, and what must not change."""

from dataclasses import replace
from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.quantities import quantity
from doughwright.documents.reading import read_document
from doughwright.engine.overall import fresh_yeast_ratio
from doughwright.errors import DocumentError
from doughwright.resolving.formulas import ResolvedFormula, resolved_formula
from doughwright.resolving.kitchens import kitchen_from, tested_kitchen, with_changes
from doughwright.resolving.rises import settled
from doughwright.resolving.yeast import Question, dosed, with_place, with_yeast

EXAMPLES = Path(__file__).parents[2] / "examples"
HOUR = 3600.0
ORDINARY = kitchen_from(None)

CASES = [
    ("leek-and-curd-pockets", "ferment dough", 8 * HOUR, "18 °C"),
    ("leek-and-curd-pockets", "ferment sponge", 3 * HOUR, None),
    ("rye-and-wheat-hearth-loaf", "ferment poolish", 8 * HOUR, None),
    ("rye-and-wheat-hearth-loaf", "ferment dough 2", 1.5 * HOUR, None),
    ("potato-rolls", "proof dough", 2 * HOUR, "27 °C"),
    ("seeded-flatbread", "ferment dough", 5 * HOUR, None),
    ("oat-and-honey-rolls", "ferment dough", 4 * HOUR, None),
]


def bread(name: str, change: tuple[str, str] = ("", "")) -> ResolvedFormula:
    text = (EXAMPLES / f"{name}.yaml").read_text("utf-8")
    document = read_document(text.replace(*change) if change[0] else text).document
    assert isinstance(document, FormulaDocument)
    return resolved_formula(document)


@pytest.mark.parametrize(("name", "step", "within", "at"), CASES)
def test_the_proposed_yeast_planned_forward_meets_the_time(
    name: str, step: str, within: float, at: str | None
) -> None:
    formula = bread(name)
    place = quantity(at, "temperature") if at else None
    found = dosed(formula, formula, ORDINARY, Question(step, within, place))
    position = found.asked.position
    document = formula.document if place is None else with_place(formula.document, position, place)
    changed = with_yeast(replace(formula, document=document), found.factor)
    rises = settled(changed, formula, ORDINARY).rises
    rise = next(rise for rise in rises if rise.position == position)
    assert rise.time is not None
    assert rise.time.best == pytest.approx(within, rel=0.01)


def test_where_it_was_tested_the_noted_time_asks_for_the_yeast_as_written() -> None:
    """Anchored where it was tested, the plan is the baker's own time (62.5 min, 60–65 noted)."""
    formula = bread("leek-and-curd-pockets")
    there = tested_kitchen(ORDINARY, formula.document.tested_in)
    found = dosed(formula, formula, there, Question("ferment dough", 62.5 * 60))
    assert found.factor == pytest.approx(1.0, abs=0.01)


def test_a_shorter_time_or_a_colder_place_takes_more_yeast() -> None:
    formula = bread("potato-rolls")

    def factor(within: float, room: float) -> float:
        kitchen = with_changes(ORDINARY, room=room + 273.15)
        return dosed(formula, formula, kitchen, Question("ferment dough", within)).factor

    usual = factor(3 * HOUR, 22)
    assert factor(2 * HOUR, 22) > usual
    assert factor(3 * HOUR, 18) > usual


def test_a_size_that_only_its_time_implies_is_the_goal() -> None:
    """Without its ``until`` the rise is waited for as far as it went in the noted time."""
    formula = bread("potato-rolls", ("    until: double\n", ""))
    there = tested_kitchen(ORDINARY, formula.document.tested_in)
    noted = 87.5 * 60  # the middle of 80–95 min
    found = dosed(formula, formula, there, Question("ferment dough", noted))
    assert found.factor == pytest.approx(1.0, abs=0.01)


def test_only_the_yeast_changes_its_weight() -> None:
    before = bread("rye-and-wheat-hearth-loaf")
    after = with_yeast(before, 0.5)
    for p, q in zip(before.solution.preparations, after.solution.preparations, strict=True):
        for line, old, new in zip(p.preparation.lines, p.masses, q.masses, strict=True):
            share = 0.5 if line.ingredient.name == "instant yeast" else 1.0
            assert new == pytest.approx(share * old, rel=1e-12)
    assert after.solution.pieces == before.solution.pieces
    poolish = after.solution.named("poolish")
    assert after.solution.named("dough").taken["poolish"] == pytest.approx(0.9 * poolish.mass)
    halved = fresh_yeast_ratio(after.solution) / fresh_yeast_ratio(before.solution)
    assert halved == pytest.approx(0.5)


def test_a_dough_divided_without_a_rest_keeps_its_pieces_with_less_yeast() -> None:
    """Pieces share what the dough loses: none is refused for a gram."""
    before = bread("leek-and-curd-pockets")
    after = with_yeast(before, 0.1).solution
    assert after.piece is not None
    assert after.pieces is not None
    whole = after.pieces * after.piece / (1 - after.spare) + after.remainder
    assert whole == pytest.approx(after.dough)


def test_of_steps_alike_the_one_with_a_goal_is_meant() -> None:
    formula = bread("rye-and-wheat-hearth-loaf")
    found = dosed(formula, formula, ORDINARY, Question("Ferment  dough", 1.5 * HOUR))
    assert found.asked.label == "ferment dough 2"


def test_steps_alike_that_both_have_a_goal_are_asked_back() -> None:
    formula = bread("rye-and-wheat-hearth-loaf", ("until: 50 min", "until: 1.4x"))
    with pytest.raises(DocumentError) as refused:
        dosed(formula, formula, ORDINARY, Question("ferment dough", 1.5 * HOUR))
    problem = refused.value.problems[0]
    assert problem.code == "which-step"
    assert problem.values["allowed"] == "ferment dough 1, ferment dough 2"


@pytest.mark.parametrize("name", ["leek-and-curd-pockets", "potato-rolls", "cardamom-knots"])
@pytest.mark.parametrize("asked", [60.0, 200 * HOUR])
def test_the_times_a_refusal_names_can_be_had(name: str, asked: float) -> None:
    """As they are said, in whole minutes: even of a dough that with little yeast never rises."""
    formula = bread(name)
    with pytest.raises(DocumentError) as refused:
        dosed(formula, formula, ORDINARY, Question("ferment dough", asked))
    (problem,) = refused.value.problems
    assert problem.code == "yeast-cannot-give-time"
    shortest, longest = (float(str(problem.values[end])) for end in ("shortest", "longest"))
    assert longest < 48 * HOUR
    for time in (shortest, longest):
        found = dosed(formula, formula, ORDINARY, Question("ferment dough", time))
        planned = found.then.rises[found.asked.index].time
        assert planned is not None
        assert planned.best == pytest.approx(time, rel=0.01)


def test_the_shortest_time_takes_about_all_the_yeast_there_may_be() -> None:
    formula = bread("leek-and-curd-pockets")
    with pytest.raises(DocumentError) as refused:
        dosed(formula, formula, ORDINARY, Question("ferment dough", 60.0))
    values = refused.value.problems[0].values
    shortest, longest = (float(str(values[end])) for end in ("shortest", "longest"))
    quick = dosed(formula, formula, ORDINARY, Question("ferment dough", shortest * 1.03))
    slow = dosed(formula, formula, ORDINARY, Question("ferment dough", longest * 0.97))
    assert fresh_yeast_ratio(quick.formula.solution) == pytest.approx(0.06, rel=0.1)
    # so little yeast multiplies for hours: a fifth more of it saves the last 3 % of the time
    assert fresh_yeast_ratio(slow.formula.solution) == pytest.approx(0.0005, rel=0.25)
