"""Of several wishes only that is said which holds for the formula at the end."""

from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.errors import Notice
from doughwright.resolving.kitchens import kitchen_from
from doughwright.reworking.standing import still_true
from doughwright.reworking.wishes import rework_asked, start_for

FOLDER = Path(__file__).parents[2] / "examples"
ORDINARY = kitchen_from(None)


def said(name: str, *wishes: str) -> list[Notice]:
    document = read_document((FOLDER / f"{name}.yaml").read_text("utf-8")).document
    assert isinstance(document, FormulaDocument)
    done = [start_for(document, wishes[0])]
    for wish in wishes:
        done.append(rework_asked(done[-1].formula, ORDINARY, wish))
    return [*still_true(done)]


def codes(*asked: str) -> list[str]:
    return [notice.code for notice in said(*asked)]


def test_the_time_of_a_step_is_said_with_the_yeast_that_is_written() -> None:
    steps = [
        notice.values["step"]
        for notice in said("potato-rolls", "ferment dough in 3 h", "proof dough in 2 h")
        if notice.code.startswith("ready-")
    ]
    assert steps == ["proof dough"]


def test_the_time_of_a_step_still_holds_for_more_of_the_same_dough() -> None:
    assert "ready-with-this-yeast" in codes("potato-rolls", "ferment dough in 3 h", "32 pieces")


def test_the_time_of_a_step_does_not_hold_for_a_wetter_dough() -> None:
    wishes = ("ferment dough in 3 h", "hydration 75 %")
    assert "ready-with-this-yeast" not in codes("potato-rolls", *wishes)


def test_eggs_of_a_size_in_between_are_not_told() -> None:
    # 2 eggs for 20 knots, 1.2 for 12: 60 % of them
    assert "eggs-not-whole" in codes("cardamom-knots", "12 pieces")
    assert "eggs-not-whole" not in codes("cardamom-knots", "12 pieces", "20 pieces")


def test_water_that_came_and_went_is_not_told() -> None:
    assert "water-not-kept" in codes("scalded-pan-loaf", "fresh yeast")
    assert "water-not-kept" not in codes("scalded-pan-loaf", "fresh yeast", "instant yeast")


@pytest.mark.parametrize(
    ("wishes", "doubts"), [(("salt 4 %",), 1), (("salt 4 %", "salt 1.8 %"), 0)]
)
def test_a_doubt_is_told_that_is_one_at_the_end(wishes: tuple[str, ...], doubts: int) -> None:
    assert codes("rye-and-wheat-hearth-loaf", *wishes).count("salt-high") == doubts
