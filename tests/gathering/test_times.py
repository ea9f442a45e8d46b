"""The times of somebody's recipe: in words or digits, each with its step and where that waits.

The sentences are our own, in the words of everyday recipes; what each says is worked out by hand.
"""

from collections.abc import Mapping

import pytest

from doughwright.gathering.drafted import Draft
from doughwright.gathering.drafts import draft
from doughwright.gathering.pages.sections import text_gathered
from doughwright.gathering.process.lengths import lastings, sentences_of
from doughwright.gathering.telling import time_words
from doughwright.gathering.writing import formula_text

LOAF = "A loaf\n\n500 g strong white flour\n300 g water\n10 g salt\n5 g instant yeast\n\nMethod\n"

Steps = list[str]


def drafted(method: str, answers: Mapping[str, str] | None = None, head: str = LOAF) -> Draft:
    return draft(text_gathered(head + method), answers=answers or {})


def steps(made: Draft) -> Steps:
    """Each step but mixing and baking in one line: ``proof 45 min at 27 °C``."""
    return [
        " ".join(
            filter(
                None,
                (
                    step.verb if step.of == "dough" else f"{step.verb} {step.of}",
                    time_words(*step.time) if step.time else "",
                    f"at {step.at}" if step.at else "",
                ),
            )
        )
        for step in made.steps
        if step.verb not in ("mix", "bake")
    ]


@pytest.mark.parametrize(
    ("words", "minutes"),
    [
        ("about an hour and a half", [(90, 90)]),
        ("one and a half hours", [(90, 90)]),
        ("an hour", [(60, 60)]),
        ("half an hour", [(30, 30)]),
        ("three quarters of an hour", [(45, 45)]),
        ("an hour or two", [(60, 120)]),
        ("a couple of hours", [(120, 120)]),
        ("twenty-five minutes", [(25, 25)]),
        ("thirty to forty minutes", [(30, 40)]),
        ("1 1/2 to 2 hours", [(90, 120)]),
        ("1-1½ hours", [(60, 90)]),
        ("45 minutes to 1 hour", [(45, 60)]),
        ("between 1 and 2 hours", [(60, 120)]),
        ("at least 8 and up to 24 hours", [(480, 1440)]),
        ("1 h 30 min", [(90, 90)]),
        ("1h30", [(90, 90)]),
        ("1 hour 15 minutes", [(75, 75)]),
        ("90min", [(90, 90)]),
        ("2 days", [(2880, 2880)]),
        ("overnight", [(480, 720)]),
        ("overnight (10-14 hours)", [(600, 840)]),
        ("for 12 hours or overnight", [(720, 720)]),
        ("until the next morning", [(480, 720)]),
        ("overnight in the fridge (12-16 hours)", [(720, 960)]),
        ("2 bis 3 Stunden", [(120, 180)]),
        ("eine halbe Stunde, 45 Minuten", [(30, 30), (45, 45)]),
        ("1 h 30, trois quarts d'heure", [(90, 90), (45, 45)]),
        ("2 ore e mezz'ora", [(120, 120), (30, 30)]),
        ("en timme, 1–2 timmar", [(60, 60), (60, 120)]),
        ("media hora, 20 minutos", [(30, 30), (20, 20)]),
        ("über Nacht, toute la nuit, tutta la notte", [(480, 720)] * 3),
        ("the overnight sponge, a heavy cloth, 2 large eggs", []),
    ],
)
def test_a_time_in_words_or_digits(words: str, minutes: list[tuple[float, float]]) -> None:
    assert [(one.low / 60, one.high / 60) for one in lastings(words)] == minutes


def test_an_abbreviation_ends_no_sentence() -> None:
    told = [words for _, words in sentences_of("Bake 10 min. at 220 °C. Cool approx. 1 hr. Eat.")]
    assert told == ["Bake 10 min. at 220 °C.", "Cool approx. 1 hr.", "Eat."]


@pytest.mark.parametrize(
    ("method", "told"),
    [
        (
            "Prove 1 hour, shape, prove again 45 minutes, bake 30 minutes at 200 C",
            ["ferment 60 min", "shape", "proof 45 min"],
        ),
        (
            (
                "Let the dough rise 1 hour. Punch down, let rise again for 45 minutes. Form into "
                "loaves, let rise 30 minutes."
            ),
            ["ferment 60 min", "ferment 45 min", "shape", "proof 30 min"],
        ),
        (
            (
                "Cover and leave in a warm place (75–80 °F) for 45 minutes to 1 hour, or until "
                "doubled. Shape. Second prove: 40 minutes at 27 °C."
            ),
            ["ferment 45–60 min at 75–80 °F", "shape", "proof 40 min at 27 °C"],
        ),
        (
            "Leave for 12–16 hours at room temperature. Shape, rest 30 minutes, bake 40 minutes.",
            ["ferment 12–16 h at room", "shape", "proof 30 min"],
        ),
        (
            "Mix and leave overnight in the fridge. Next day, shape and prove for 2 hours.",
            ["retard 8–12 h at fridge", "shape", "proof 2 h"],
        ),
        (
            (
                "Bulk ferment for 3 hours at 26 °C with folds every 30 minutes. Divide, pre-shape, "
                "rest 20 minutes. Shape. Retard in the fridge at 4 °C for 12-16 hours."
            ),
            [
                *("ferment 3 h at 26 °C", "divide", "rest 20 min", "shape"),
                "retard 12–16 h at 4 °C",
            ],
        ),
        (
            (
                "Shape into a ball, put in a bowl and leave to rise for an hour. Shape into "
                "rolls and prove for 30-40 minutes."
            ),
            ["ferment 60 min", "shape", "proof 30–40 min"],
        ),
        (
            "Prove in an oven with only the light on for 1 hour. Shape. Prove 30 minutes.",
            ["ferment 60 min", "shape", "proof 30 min"],
        ),
        (
            "Refrigerate for 24 to 48 hours. Bring to room temperature for 1 hour. Shape.",
            ["retard 24–48 h at fridge", "ferment 60 min at room", "shape"],
        ),
        (
            "Mix to a dough temperature of 24 °C with water at 30 °C. Let rise 1 hour.",
            ["ferment 60 min"],
        ),
        (
            "Alles kneten, 30 min Teigruhe, 60 min Gare. Formen, Stückgare 45 min.",
            ["rest 30 min", "ferment 60 min", "shape", "proof 45 min"],
        ),
        (
            "Pointage 1 h, puis au froid 12 h. Façonner, apprêt 2 h.",
            ["ferment 60 min", "retard 12 h at fridge", "shape", "proof 2 h"],
        ),
        (
            "12 Stunden kalt stellen. Rundwirken. 2 Stunden im Kühlschrank gehen lassen.",
            ["retard 12 h at fridge", "shape", "retard 2 h at fridge"],
        ),
        (
            "Let rise for 2 hours, folding after 1 hour. Rise for up to 3 hours if it is cold.",
            ["ferment 2 h", "ferment"],
        ),
    ],
)
def test_a_dough_waits_where_and_as_long_as_its_sentence_says(method: str, told: Steps) -> None:
    assert steps(drafted(method)) == told


@pytest.mark.parametrize(
    ("method", "told"),
    [
        (
            (
                "Let rise 1 hour. Bake 30 minutes. Cool in the tin for 10 minutes, then on a "
                "rack for 1 hour."
            ),
            ["ferment 60 min", "cool 70 min"],
        ),
        (
            "Let rise 1 hour. Bake 30 minutes. Leave to cool for an hour before slicing.",
            ["ferment 60 min", "cool 60 min"],
        ),
        (
            "Let rise 1 hour. Bake 30 minutes. Leave for 15 minutes in the tin.",
            ["ferment 60 min", "cool 15 min"],
        ),
        (
            (
                "Preheat the oven to 250 °C with a stone for an hour. Let rise 2 hours. Heat "
                "the oven 30 minutes before baking. Bake 30 minutes."
            ),
            ["ferment 2 h"],
        ),
        (
            (
                "Soak the raisins overnight. Leave the butter to soften for 1 hour. Sprinkle "
                "the yeast over the milk and leave for 10 minutes until frothy. Let the dough "
                "rise 1 hour."
            ),
            ["ferment 60 min"],
        ),
        (
            (
                "Take it out of the fridge 1 hour before baking. The dough can be kept in the "
                "fridge for up to 3 days. Let rise 1 hour."
            ),
            ["ferment 60 min"],
        ),
    ],
)
def test_cooling_preheating_and_soaking_are_no_rise(method: str, told: Steps) -> None:
    assert steps(drafted(method)) == told


def test_a_choice_of_two_waits_is_asked() -> None:
    method = "Prove for 1 hour, or overnight in the fridge. Shape, prove for 45 minutes."
    made = drafted(method)
    (doubt,) = made.doubts
    assert (doubt.key, doubt.blocks) == ("9:ferment:time", False)
    assert steps(made) == ["ferment 60 min", "shape", "proof 45 min"]
    cold = drafted(method, {doubt.key: doubt.choices[1].key})
    assert steps(cold) == ["retard 8–12 h at fridge", "shape", "proof 45 min"]
    assert cold.open_doubts == ()
    assert cold.stray == ()


def test_what_is_taken_for_a_night_says_so() -> None:
    text = formula_text(drafted("Leave the dough in the fridge overnight."))
    assert "“overnight” is taken as 8–12 h (common practice, no source)" in text
    assert "    at: fridge\n    for: 8–12 h\n" in text


POOLISH = (
    "Loaf\n\nPoolish\n200 g strong white flour\n200 g water\n0.5 g instant yeast\n\n"
    "Dough\n300 g strong white flour\n130 g water\n10 g salt\n\nMethod\n"
)


def test_a_preferment_named_in_one_line_waits_in_the_next() -> None:
    made = drafted(
        "1. Mix the poolish ingredients in a bowl.\n"
        "2. Cover and leave for 12–16 hours at room temperature.\n"
        "3. Add the poolish to the flour, water and salt and mix for 10 minutes.\n"
        "4. Leave to rise for 1 hour.\n",
        head=POOLISH,
    )
    assert steps(made) == ["ferment poolish 12–16 h at room", "ferment 60 min"]
    assert [(s.of, s.time) for s in made.steps if s.verb == "mix"] == [
        ("poolish", None),
        ("dough", (600.0, 600.0)),
    ]


def test_mixing_at_two_speeds_adds_up() -> None:
    made = drafted("Mix 3 minutes on low speed and 5 minutes on second speed. Let rise 1 hour.")
    assert [s.time for s in made.steps if s.verb == "mix"] == [(480.0, 480.0)]


def test_every_sentence_of_a_method_stays_in_the_text() -> None:
    method = "Leave it somewhere until it feels right, up to 2 hours. Steam it for 15 minutes."
    assert f"# method: {method}" in formula_text(drafted(method))
