"""Where a method puts fillings, toppings and glazes; texts of our own, worked out by hand."""

import pytest

from doughwright.gathering.drafts import draft
from doughwright.gathering.pages.sections import text_gathered
from doughwright.gathering.writing import formula_text

HEAD = (
    "Harbour buns\n\n500 g strong white flour\n300 g water\n10 g salt\n5 g instant yeast\n\n"
    "Filling\n80 g brown sugar\n6 g cinnamon\n\nGlaze\n1 egg, beaten\n\nIcing\n"
    "100 g icing sugar\n20 g lemon juice\n\nMethod\n"
)


def steps(method: str) -> list[str]:
    made = draft(text_gathered(HEAD + method))
    return [f"{step.verb} {step.of}" for step in made.steps]


@pytest.mark.parametrize(
    ("method", "told"),
    [
        (
            (
                "Mix the dough, let rise 1 hour. Make the filling. Roll out, scatter the filling "
                "over, roll up and cut into 12. Prove 45 minutes. Brush with the beaten egg. "
                "Bake at 200 °C for 20 minutes. Cool 30 minutes. Drizzle with the icing."
            ),
            [
                *("mix dough", "ferment dough", "fill filling", "divide dough", "shape dough"),
                *("proof dough", "glaze glaze", "bake dough", "cool dough", "glaze icing"),
            ],
        ),
        (
            (
                "Let rise 1 hour. Divide into 12, shape, place a spoon of the filling in each, "
                "close. Prove 45 minutes. Bake at 200 °C for 20 minutes. Spread the icing over "
                "the hot buns."
            ),
            [
                *("mix dough", "ferment dough", "divide dough", "shape dough", "fill filling"),
                *("proof dough", "bake dough", "glaze icing"),
            ],
        ),
        (
            "Mix the glaze and the filling. Let rise 1 hour. Shape, prove 45 minutes.",
            ["mix dough", "ferment dough", "shape dough", "proof dough"],
        ),
    ],
)
def test_what_is_put_on_has_its_step_where_the_method_has_it(method: str, told: list[str]) -> None:
    assert steps(method) == told


def test_what_no_sentence_puts_on_is_told() -> None:
    text = formula_text(draft(text_gathered(f"{HEAD}Let rise 1 hour. Bake 20 minutes at 200 °C.")))
    assert "# no step: filling: where it goes in or on is not said" in text
