"""Which wait is of what: beside the fridge, instead of another, of the old dough, of what soaks.

The texts are our own, in the words of everyday recipes; what each says is worked out by hand.
"""

from collections.abc import Mapping

import pytest

from doughwright.gathering.drafted import Draft
from doughwright.gathering.drafts import draft
from doughwright.gathering.gathered import Origin
from doughwright.gathering.pages.sections import text_gathered
from doughwright.gathering.process.times import times_in
from doughwright.gathering.telling import time_words

LOAF = "A loaf\n\n500 g strong white flour\n300 g water\n10 g salt\n5 g instant yeast\n\nMethod\n"
BAGUETTES = """\
Baguettes

600 g bread flour
390 g water
180 g old dough
12 g salt
6 g instant yeast

For the old dough, the day before:
110 g bread flour
70 g water
2 g salt
1 g instant yeast

Method
"""
OAT_LOAF = """\
Oat loaf

Soaker
50 g oats
100 g boiling water

Dough
500 g bread flour
280 g milk
10 g salt
5 g instant yeast

Method
"""
ONE_DOUGH = (
    "Oat loaf\n\n90 g rolled oats\n350 g water\n500 g bread flour\n10 g salt\n"
    "5 g instant yeast\n\nMethod\n"
)


def drafted(method: str, head: str = LOAF, answers: Mapping[str, str] | None = None) -> Draft:
    return draft(text_gathered(head + method), answers=answers or {})


def waits(made: Draft) -> list[str]:
    """Each step but mixing and baking in one line: ``proof 45 min at 27 °C``."""
    told = []
    for step in made.steps:
        if step.verb not in ("mix", "bake"):
            what = step.verb if step.of == "dough" else f"{step.verb} {step.of}"
            length = time_words(*step.time) if step.time else ""
            told.append(" ".join(filter(None, (what, length, step.at and f"at {step.at}"))))
    return told


def asked(made: Draft) -> dict[str, list[str]]:
    """The questions about the times, with what may be answered."""
    return {
        doubt.key: [choice.words for choice in doubt.choices]
        for doubt in made.doubts
        if ":time" in doubt.key or ":wait" in doubt.key
    }


# --- In the room, and then in the fridge ----------------------------------------------------------

NIGHT = "retard 8–12 h at fridge"


@pytest.mark.parametrize(
    ("method", "told"),
    [
        ("Rise 1 hour and chill overnight.", ["ferment 60 min", NIGHT]),
        (
            "Rise at room temperature for 1 hour, shape, and refrigerate for 12 hours.",
            ["ferment 60 min at room", "shape", "retard 12 h at fridge"],
        ),
        ("Bulk 4 hours, fridge overnight.", ["ferment 4 h", NIGHT]),
        ("Rise 1 hour, cover and put in the fridge overnight.", ["ferment 60 min", NIGHT]),
        (
            "Chill overnight in the fridge and rise 1 hour at room temperature.",
            [NIGHT, "ferment 60 min at room"],
        ),
        (
            "Rise 1 hour at room temperature and overnight in the fridge.",
            ["ferment 60 min at room", NIGHT],
        ),
        # What says where a rise goes on, stays of it.
        ("Rise 12 hours, covered, in the fridge.", ["retard 12 h at fridge"]),
        ("Rise 12 hours, leave it in the fridge.", ["retard 12 h at fridge"]),
        ("Put in the fridge, leave for 12 hours.", ["retard 12 h at fridge"]),
        (
            "Rise 2 hours at 26C, another 1 hour.",
            ["ferment 2 h at 26 °C", "ferment 60 min at 26 °C"],
        ),
        # A warmth is of the work it stands beside.
        (
            "2 hours bulk at 26C, shape, proof 1 hour",
            ["ferment 2 h at 26 °C", "shape", "proof 60 min"],
        ),
        ("1st rise 2 hours. Shape. 2nd rise 1 hour.", ["ferment 2 h", "shape", "proof 60 min"]),
        ("1st rise 2 hours. 2nd rise 1 hour.", ["ferment 2 h", "ferment 60 min"]),
    ],
)
def test_a_fridge_later_in_a_sentence_is_of_the_later_wait(method: str, told: list[str]) -> None:
    made = drafted(method)
    assert waits(made) == told
    assert not asked(made)


# --- Instead of another ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    "words",
    [
        "let rise 30 minutes (or refrigerate overnight).",
        "proof for 30 minutes or place in the fridge overnight.",
        "rest 30 minutes or refrigerate overnight.",
        "proof 30 minutes. Or chill overnight.",
        "proof 30 minutes, or leave overnight in the fridge.",
    ],
)
def test_a_wait_instead_of_another_is_asked(words: str) -> None:
    method = f"Rise 1 hour. Shape, {words} Bake 25 min at 230C."
    made = drafted(method)
    assert waits(made) == ["ferment 60 min", "shape", "proof 30 min"]
    assert asked(made) == {"9:proof:time": ["proof 30 min", "retard 8–12 h fridge"]}
    cold = drafted(method, answers={"9:proof:time": "retard-8-12-h-fridge"})
    assert waits(cold) == ["ferment 60 min", "shape", NIGHT]


def test_the_room_instead_of_the_fridge_is_asked() -> None:
    made = drafted("Rise in the fridge for 12 hours or at room temperature for 2 hours. Shape.")
    assert waits(made) == ["retard 12 h at fridge", "shape"]
    assert asked(made) == {"9:retard:time": ["retard 12 h fridge", "ferment 2 h room"]}


def test_another_wait_behind_another_or_is_asked_no_more() -> None:
    made = drafted("Rise 1 hour or until doubled, shape and leave 30 minutes. Bake at 230C 25 min.")
    assert waits(made) == ["ferment 60 min", "shape", "proof 30 min"]
    assert not asked(made)


# --- The right dough ------------------------------------------------------------------------------

OLD = "old dough, the day before"


@pytest.mark.parametrize(
    ("method", "told"),
    [
        (
            "Mix the old dough, ferment 1 hour and chill overnight. Mix, bulk ferment 2 hours.",
            [f"ferment {OLD} 60 min", f"retard {OLD} 8–12 h at fridge", "ferment 2 h"],
        ),
        (
            "Make the old dough. Ferment 1 hour and chill overnight. Mix all, bulk 2 hours.",
            [f"ferment {OLD} 60 min", f"retard {OLD} 8–12 h at fridge", "ferment 2 h"],
        ),
        (
            (
                "Mix the old dough, leave for 4 hours. Mix the flour, water, salt, yeast and old "
                "dough, knead 10 minutes, rise 2 hours."
            ),
            [f"ferment {OLD} 4 h", "ferment 2 h"],
        ),
    ],
)
def test_a_part_is_known_by_its_name_without_the_day(method: str, told: list[str]) -> None:
    assert waits(drafted(method, BAGUETTES)) == told


@pytest.mark.parametrize(
    ("words", "soaked"),
    [
        ("Pour the water over the oats; leave for 3 hours.", "3 h"),
        ("Pour the water over the oats. Cover and leave for 3 hours.", "3 h"),
        ("Pour the water over the oats, stir and leave for 3 hours, then mix the dough.", "3 h"),
        ("Pour the boiling water over the oats and chill overnight.", "8–12 h"),
        ("Soak the oats in the water.\nLeave for 3 hours.", "3 h"),
        ("Cover the oats with boiling water; let stand 1 hour.", "60 min"),
    ],
)
def test_what_is_poured_over_the_soaker_is_no_rise(words: str, soaked: str) -> None:
    made = drafted(f"{words} Mix the dough. Rise 2 hours. Shape. Proof 1 hour.", OAT_LOAF)
    assert waits(made) == [f"soak soaker {soaked}", "ferment 2 h", "shape", "proof 60 min"]


def test_what_soaks_in_no_soaker_is_asked() -> None:
    method = (
        "Pour the boiling water over the oats; let stand 1 hour. Mix in the rest, knead 8 minutes. "
        "Rise 1 hour. Shape. Rise 45 minutes."
    )
    made = drafted(method, ONE_DOUGH)
    assert waits(made) == ["ferment 60 min", "shape", "proof 45 min"]
    assert asked(made) == {"10:wait": ["ferment dough", "no step of it"]}
    placed = drafted(method, ONE_DOUGH, {"10:wait": "dough"})
    assert waits(placed) == ["ferment 60 min", "ferment 60 min", "shape", "proof 45 min"]


@pytest.mark.parametrize(
    "words",
    [
        "Pour the water over the flour and mix; leave 2 hours.",
        "Soak the oats in the water. Add the flour and mix; leave 2 hours.",
        "Pour the oil over the dough; leave 2 hours.",
    ],
)
def test_a_dough_that_waits_stays_a_dough(words: str) -> None:
    made = drafted(f"{words} Shape. Proof 1 hour.", ONE_DOUGH)
    assert waits(made) == ["ferment 2 h", "shape", "proof 60 min"]


# --- From one hour of the day to another ----------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "hours"),
    [
        ("Refrigerate from 8pm to 8am.", 12),
        ("Refrigerate from 8 p.m. to 8 a.m. Shape.", 12),
        ("Refrigerate from 20:00 to 8:00.", 12),
        ("Refrigerate from 08:30 until 13:00.", 4.5),
        ("Refrigerate overnight (from 8pm to 8am).", 12),
        ("Refrigerate from 20:00 to 8:00 (12 hours).", 12),
        ("Refrigerate from 8 in the evening until 8 the next morning.", 12),
        ("Refrigerate from 10pm until noon.", 14),
        ("Refrigerate from 8am to 10am the next day.", 26),
        ("Refrigerate from Friday 8pm until Sunday at noon.", 40),
        ("Refrigerate from midnight to 7:30 am.", 7.5),
    ],
)
def test_a_wait_from_one_hour_of_the_day_to_another(words: str, hours: float) -> None:
    told = list(times_in(Origin("a card", 1, words)))
    assert [(time.verb, time.low, time.high, time.at) for time in told] == [
        ("retard", hours * 3600, hours * 3600, "fridge")
    ]


@pytest.mark.parametrize(
    ("words", "choices"),
    [
        ("from 8 to 10pm", ["retard 2 h fridge", "retard 14 h fridge"]),
        ("from 8 to 8", ["retard 12 h fridge", "retard 24 h fridge"]),
        ("from 9:00 to 5:00", ["retard 8 h fridge", "retard 20 h fridge"]),
    ],
)
def test_hours_of_either_half_of_the_day_are_asked(words: str, choices: list[str]) -> None:
    made = drafted(f"Refrigerate {words}. Shape, proof 1 hour.")
    assert asked(made) == {"9:retard:time": choices}


@pytest.mark.parametrize(
    ("words", "lengths"),
    [
        ("Refrigerate from 8 to 12 hours.", [(8, 12)]),
        ("Chill from 24 to 18 °C.", []),
        ("Chill the dough from 24 to 18.", []),
        ("Refrigerate from Friday 8pm to Friday 8am.", []),
        ("Refrigerate from 30:00 to 8:00.", []),
        ("Proof in rolls from 80 to 60 g.", []),
    ],
)
def test_other_numbers_are_no_hours_of_the_day(
    words: str, lengths: list[tuple[float, float]]
) -> None:
    told = times_in(Origin("a card", 1, words))
    assert [(time.low / 3600, time.high / 3600) for time in told] == lengths


def test_a_day_by_the_clock() -> None:
    made = drafted("Bulk from 9am to 1pm at 24C, shape, refrigerate from 2pm to 9am.")
    assert waits(made) == ["ferment 4 h at 24 °C", "shape", "retard 19 h at fridge"]
