"""The yeast for another schedule: planned forward, it meets the time; the whole stays."""

from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.quantities import Quantity, quantity
from doughwright.documents.reading import read_document
from doughwright.engine.overall import fresh_yeast_ratio, overall_lines
from doughwright.errors import DocumentError
from doughwright.resolving.formulas import ResolvedFormula, resolved_formula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.resolving.rises import settled
from doughwright.resolving.yeast import Question
from doughwright.reworking.preferments import PrefermentAsked
from doughwright.reworking.rework import reworked_text
from doughwright.reworking.schedules import Schedule, in_time, with_preferment_in_time
from doughwright.reworking.wishes import rework_asked

EXAMPLES = Path(__file__).parents[2] / "examples"
HOUR = 3600.0
ORDINARY = kitchen_from(None)
WITHIN = 0.01
"""As near as the integrator and the search come together (tests/resolving/test_yeast.py)."""


def text_of(name: str) -> str:
    return (EXAMPLES / f"{name}.yaml").read_text("utf-8")


def bread(text: str) -> ResolvedFormula:
    document = read_document(text).document
    assert isinstance(document, FormulaDocument)
    return resolved_formula(document)


def degrees(text: str) -> Quantity:
    return quantity(text, "temperature")


def planned(schedule: Schedule, own: ResolvedFormula) -> float:
    """The asked step's time in the plan of the formula as it is written now."""
    position = schedule.found.asked.position
    rises = settled(schedule.rework.formula, own, ORDINARY).rises
    time = next(rise for rise in rises if rise.position == position).time
    assert time is not None
    return time.best


@pytest.mark.parametrize(
    ("name", "step", "within", "at"),
    [
        ("leek-and-curd-pockets", "ferment dough", 8 * HOUR, degrees("18 °C")),
        ("rye-and-wheat-hearth-loaf", "ferment poolish", 8 * HOUR, None),
        ("potato-rolls", "proof dough", 2 * HOUR, degrees("27 °C")),
        ("seeded-flatbread", "ferment dough", 5 * HOUR, degrees("20 °C")),
        ("seeded-flatbread", "ferment dough", 12 * HOUR, "fridge"),
        ("cardamom-knots", "ferment dough", 3 * HOUR, None),
    ],
)
def test_the_yeast_written_into_the_formula_meets_the_time(
    name: str, step: str, within: float, at: str | Quantity | None
) -> None:
    """Planned forward with the baker's own times beside it, as the answer was."""
    before = bread(text_of(name))
    done = in_time(before, ORDINARY, Question(step, within, at))
    assert planned(done, before) == pytest.approx(within, rel=WITHIN)
    ready = done.rework.notices[0]
    assert ready.code in {"ready-with-this-yeast", "ready-if-ever"}
    best, low = (float(str(ready.values[key])) for key in ("best", "low"))
    assert best == pytest.approx(within, rel=WITHIN)
    assert low < best


def test_without_noted_times_the_text_alone_meets_the_time() -> None:
    text = text_of("seeded-flatbread")
    done = in_time(bread(text), ORDINARY, Question("ferment dough", 5 * HOUR, degrees("20 °C")))
    again = bread(reworked_text(text, done.rework))
    assert planned(done, again) == pytest.approx(5 * HOUR, rel=WITHIN)
    assert again.document.process[done.found.asked.position].at == degrees("20 °C")


def test_only_the_yeast_changes() -> None:
    before = bread(text_of("potato-rolls"))
    question = Question("proof dough", 2 * HOUR, degrees("27 °C"))
    after = in_time(before, ORDINARY, question).rework.formula
    changed = {
        now.name
        for was, now in zip(
            overall_lines(before.solution), overall_lines(after.solution), strict=True
        )
        if now.mass != pytest.approx(was.mass, rel=1e-9)
    }
    assert changed == {"active dry yeast"}


def test_times_noted_with_the_old_yeast_go_and_that_is_said() -> None:
    done = in_time(
        bread(text_of("potato-rolls")), ORDINARY, Question("ferment dough", 3 * HOUR)
    ).rework
    dropped = next(n for n in done.notices if n.code == "times-dropped")
    assert dropped.values["read"] == "ferment dough 80–95 min, proof dough 55–65 min"
    took = [step.verb for step in done.document.process if step.took is not None]
    assert took == ["bake"]


def test_a_poolish_for_a_time_takes_its_yeast_from_the_dough() -> None:
    before = bread(text_of("rye-and-wheat-hearth-loaf"))
    asked = PrefermentAsked("poolish", share=0.3, at=degrees("20 °C"))
    done = with_preferment_in_time(before, ORDINARY, asked, 12 * HOUR)
    assert planned(done, done.rework.formula) == pytest.approx(12 * HOUR, rel=WITHIN)
    after = done.rework.formula.solution
    assert fresh_yeast_ratio(after) == pytest.approx(fresh_yeast_ratio(before.solution))
    assert {x.name: x.mass for x in overall_lines(after)} == pytest.approx(
        {x.name: x.mass for x in overall_lines(before.solution)}
    )


def test_a_shorter_poolish_takes_more_yeast() -> None:
    before = bread(text_of("seeded-flatbread"))

    def yeast(hours: int) -> float:
        wish = f"poolish 30 % in {hours} h at 20 °C"
        solution = rework_asked(before, ORDINARY, wish).formula.solution
        return solution.named("poolish").masses[-1] / solution.total_flour

    assert yeast(8) > yeast(12) > yeast(16)


def test_a_time_no_yeast_gives_is_refused_with_those_it_does() -> None:
    before = bread(text_of("seeded-flatbread"))
    with pytest.raises(DocumentError) as caught:
        rework_asked(before, ORDINARY, "ferment dough in 5 min")
    (problem,) = caught.value.problems
    assert problem.code == "yeast-cannot-give-time"
    assert float(str(problem.values["shortest"])) > 300
