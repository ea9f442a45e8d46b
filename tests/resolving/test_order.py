"""Steps in an order nobody can work in are told of at the step, and nothing is refused."""

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.render.messages import words
from doughwright.resolving.formulas import resolved_formula
from doughwright.resolving.order import order_notices

BREAD = """\
doughwright: formula/1
name: Poolish loaf
yield: {{pieces: 1, piece: 500 g}}
preparations:
  poolish:
    kind: preferment
    ingredients: {{strong white flour: 30 %, water: 30 %, instant yeast: 0.05 %}}
  dough:
    kind: dough
    from: [poolish]
    ingredients: {{strong white flour: 70 %, water: 38 %, salt: 2 %, instant yeast: 0.6 %}}
process:
{process}
"""
GOOD = (
    "mix: poolish",
    "ferment: poolish",
    "mix: dough",
    "ferment: dough",
    "shape: dough",
    "proof: dough",
    "bake: dough",
)


def told(*process: str) -> list[tuple[str, object]]:
    """The notices of a process: what is said and at which step."""
    text = BREAD.format(process="\n".join(f"  - {step}" for step in process))
    document = read_document(text).document
    assert isinstance(document, FormulaDocument)
    found = list(order_notices(document))
    assert all(notice in resolved_formula(document).notices for notice in found)
    return [(notice.code, notice.where[-1]) for notice in found]


def test_a_process_in_order_is_not_spoken_of() -> None:
    assert told(*GOOD) == []


@pytest.mark.parametrize(
    ("process", "expected"),
    [
        ((*GOOD[2:], *GOOD[:2]), [("taken-too-early", 5)]),
        (
            ("mix: poolish", "mix: dough", "ferment: poolish", "bake: dough"),
            [("taken-too-early", 2)],
        ),
        (("bake: dough", *GOOD[:-1]), [("before-it-is-mixed", 0), ("after-the-oven", 3)]),
        ((*GOOD[:-2], "bake: dough", "proof: dough"), [("after-the-oven", 6)]),
        (GOOD[2:], [("stands-ready", "poolish")]),
        (GOOD[1:], [("never-mixed", 0)]),
        ((*GOOD[:2], *GOOD[3:]), [("never-mixed", 2)]),
    ],
)
def test_what_cannot_be_worked_in_that_order_is_told(
    process: tuple[str, ...], expected: list[tuple[str, object]]
) -> None:
    assert told(*process) == expected


def test_a_dough_mixed_again_after_it_rested_may_take_its_preferment_the_second_time() -> None:
    autolyse = ("mix: dough", "rest: dough", "mix: poolish", "ferment: poolish", *GOOD[2:])
    assert told(*autolyse) == []


def test_it_is_said_in_words_a_baker_uses() -> None:
    document = read_document(BREAD.format(process="  - bake: dough\n  - mix: dough")).document
    assert isinstance(document, FormulaDocument)
    first = next(iter(order_notices(document)))
    assert words(first) == "Here you bake the dough, and it is mixed only in step 2."
