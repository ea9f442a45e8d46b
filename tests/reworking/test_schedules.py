"""The yeast for another schedule: planned forward, it meets the time; the whole stays."""

from dataclasses import replace
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
from doughwright.resolving.yeast import Question, with_place
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


def planned(text: str, schedule: Schedule) -> float:
    """The asked step's time in the plan of a text with the rework written into it."""
    again = bread(reworked_text(text, schedule.rework))
    rises = settled(again, again, ORDINARY).rises
    time = next(rise for rise in rises if rise.position == schedule.found.asked.position).time
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
    """Planned from its text alone, as a baker does who comes back to it."""
    text = text_of(name)
    done = in_time(bread(text), ORDINARY, Question(step, within, at))
    assert planned(text, done) == pytest.approx(within, rel=WITHIN)
    ready = next(n for n in done.rework.notices if n.code.startswith("ready-"))
    best, low = (float(str(ready.values[key])) for key in ("best", "low"))
    assert best == pytest.approx(within, rel=WITHIN)
    assert low < best
    if at is not None:
        assert done.rework.document.process[done.found.asked.position].at == at


def test_what_the_noted_times_make_of_the_answer_is_said() -> None:
    """The hearth loaf's times, noted at 20 °C, are far quicker than the model's in the cold."""
    before = bread(text_of("rye-and-wheat-hearth-loaf"))
    done = in_time(before, ORDINARY, Question("ferment dough", 12 * HOUR, "fridge"))
    said = next(n for n in done.rework.notices if n.code == "otherwise-by-noted-times")
    noted = with_place(before.document, done.found.asked.position, "fridge")
    by_them = settled(replace(done.rework.formula, document=noted), before, ORDINARY)
    time = by_them.rises[done.found.asked.index].time
    assert time is not None
    assert time.best < 9 * HOUR
    assert said.values["best"] == pytest.approx(time.best, rel=WITHIN)


ONLY_TIMED = """
doughwright: formula/1
name: Loaf
yield: {pieces: 1}
preparations:
  dough:
    kind: dough
    aim: 25 °C
    ingredients: {strong white flour: 500 g, water: 330 g, salt: 10 g, fresh yeast: 10 g}
process:
  - mix: dough
  - ferment: dough
    until: double
    took: 75 min
  - shape: dough
  - proof: dough
    took: 50 min
tested in: {room: 23 °C}
"""


@pytest.mark.parametrize("step", ["ferment dough", "proof dough"])
def test_a_step_with_a_noted_time_alone_goes_on_to_the_size_it_had_then(step: str) -> None:
    done = in_time(bread(ONLY_TIMED), ORDINARY, Question(step, 3 * HOUR))
    assert planned(ONLY_TIMED, done) == pytest.approx(3 * HOUR, rel=WITHIN)
    ferment, proof = (done.rework.document.process[i] for i in (1, 3))
    assert (ferment.took, proof.took, proof.lasts) == (None, None, None)
    assert isinstance(proof.until, Quantity)
    there = settled(bread(ONLY_TIMED), bread(ONLY_TIMED), ORDINARY).there
    assert there is not None
    assert proof.until.best == pytest.approx(there.rises[1].sizes[-1], rel=0.01)


def test_a_preferments_step_changes_its_own_yeast_alone() -> None:
    text = text_of("rye-and-wheat-hearth-loaf")
    done = in_time(bread(text), ORDINARY, Question("ferment poolish", 8 * HOUR))
    was, now = bread(text).document.preparations, done.rework.document.preparations
    assert now["dough"].ingredients == was["dough"].ingredients
    yeast = now["poolish"].ingredients["instant yeast"].amount.best
    assert yeast > was["poolish"].ingredients["instant yeast"].amount.best


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
    assert planned(text_of("rye-and-wheat-hearth-loaf"), done) == pytest.approx(
        12 * HOUR, rel=WITHIN
    )
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


def test_a_stiff_biga_in_the_cool_is_refused_at_a_time_it_can_be_asked_for() -> None:
    """With less yeast it gets there no later but not at all: that is said, and never a defect."""
    before = bread(text_of("cold-retarded-tin-loaf"))
    with pytest.raises(DocumentError) as caught:
        rework_asked(before, ORDINARY, "biga 40 % in 20 h at 16 °C")
    (problem,) = caught.value.problems
    assert problem.code == "yeast-cannot-give-time"
    assert problem.where == ("preparations",)  # its steps are not in the author's text
    longest = float(str(problem.values["longest"])) / 60
    hours, minutes = divmod(round(longest), 60)
    assert rework_asked(before, ORDINARY, f"biga 40 % in {hours} h {minutes} min at 16 °C")


@pytest.mark.parametrize(
    "wish",
    [
        "poolish 30 % in 3 h at 90 °C",
        "poolish 30 % at 200 °C",
        "ferment dough in 2 h at 70 °C",
        "ferment dough in 12 h at 90 °C",
    ],
)
def test_a_place_that_kills_yeast_is_refused_whatever_the_time(wish: str) -> None:
    # near 49 °C its proteins fail (Caspeta and Nielsen 2015, properties/mixing.tsv)
    with pytest.raises(DocumentError) as caught:
        rework_asked(bread(text_of("seeded-flatbread")), ORDINARY, wish)
    (problem,) = caught.value.problems
    assert problem.code == "place-kills-yeast"
    assert problem.values["kills"] == pytest.approx(273.15 + 49)


@pytest.mark.parametrize(("at", "warned"), [("47 °C", 1), ("40 °C", 0)])
@pytest.mark.parametrize(
    "wish", ["ferment dough in 2 h at {}", "poolish 30 % at {}", "poolish 30 % in 3 h at {}"]
)
def test_a_place_warmer_than_the_model_was_checked_in_is_said(
    wish: str, at: str, warned: int
) -> None:
    # checked to 45 °C (model card of the fermentation)
    done = rework_asked(bread(text_of("seeded-flatbread")), ORDINARY, wish.format(at))
    said = [notice.code for notice in done.notices]
    assert said.count("place-warmer-than-checked") == warned
