"""Hours with minutes behind them in any language, and ovens that are told in other ways.

The sentences are our own, in the words of everyday recipes; what each says is worked out by hand.
The words of other languages are from memory.
"""

import pytest

from doughwright.gathering.drafted import Draft
from doughwright.gathering.drafts import draft
from doughwright.gathering.pages.sections import text_gathered
from doughwright.gathering.process.lengths import lastings, sentences_of
from doughwright.gathering.telling import time_words
from doughwright.gathering.writing import formula_text

LOAF = "A loaf\n\n500 g bread flour\n330 g water\n10 g salt\n5 g instant yeast\n\nMethod\n"

Bake = tuple[str, ...]


def drafted(method: str) -> Draft:
    return draft(text_gathered(LOAF + method), answers={})


def bakes(made: Draft) -> list[Bake]:
    """Each bake step: its setting, what that is turned to, and how long."""
    return [
        tuple(filter(None, (s.oven, s.then, time_words(*s.time) if s.time else "")))
        for s in made.steps
        if s.verb == "bake"
    ]


def rises(made: Draft) -> list[Bake]:
    """Each step between the mixing and the bake that has a time, with where it waits."""
    return [
        tuple(filter(None, (s.verb, time_words(*s.time), s.at)))
        for s in made.steps
        if s.time and s.verb not in ("mix", "bake")
    ]


@pytest.mark.parametrize(
    ("words", "minutes"),
    [
        ("1h30 puis", [(90, 90)]),
        ("Proof 1h15 then", [(75, 75)]),
        ("1h30m, 1h30–2h", [(90, 90), (90, 120)]),
        ("1 h 30 à 2 h", [(90, 120)]),
        ("2 h 30 de repos", [(150, 150)]),
        ("1 h 26 °C", [(60, 60)]),  # for an hour, at 26 °C
        ("1 h 12 pieces, 1 h 30 g of flour", [(60, 60), (60, 60)]),
        ("1 heure et demie", [(90, 90)]),
        ("une heure et quart, deux heures et demie", [(75, 75), (150, 150)]),
        ("1 heure et 30 minutes", [(90, 90)]),
        ("une heure et quinze minutes", [(75, 75)]),
        ("1 hora y media, 2 horas y media", [(90, 90), (150, 150)]),
        ("1 hora y 30 minutos", [(90, 90)]),
        ("1 ora e 30 minuti, un'ora e mezza", [(90, 90), (90, 90)]),
        ("due ore e mezza", [(150, 150)]),
        ("1 timme och 30 minuter", [(90, 90)]),
        ("en och en halv timme, 2 och en halv timme", [(90, 90), (150, 150)]),
        ("eine Stunde und 30 Minuten", [(90, 90)]),
        ("2 Stunden 30 Minuten, zweieinhalb Stunden", [(150, 150), (150, 150)]),
        ("en time og 15 minutter", [(75, 75)]),
        ("an hour and fifteen minutes", [(75, 75)]),
        ("1 hour and 10–15 minutes", [(70, 75)]),
        ("1 hour and 90 minutes", [(60, 60), (90, 90)]),  # no part of an hour
        ("hæve 1½ time, heve i 1 time", [(90, 90), (60, 60)]),
        ("bages i 1 time og 10 minutter", [(70, 70)]),
        ("let rise 1 time, bake time", []),
        ("fold the smørrebrød loaf 1 time", []),
    ],
)
def test_an_hour_keeps_what_stands_behind_it(
    words: str, minutes: list[tuple[float, float]]
) -> None:
    assert [(one.low / 60, one.high / 60) for one in lastings(words)] == minutes


def test_short_words_end_no_sentence_with_a_capital_either() -> None:
    told = [words for _, words in sentences_of("45 Min. bei 240 °C backen. 2 Std. gehen lassen.")]
    assert told == ["45 Min. bei 240 °C backen.", "2 Std. gehen lassen."]


@pytest.mark.parametrize(
    ("method", "told", "baked"),
    [
        (
            "Rise 1h30. Shape. Proof 1h15 then bake at 220 °C for 40 min.",
            [("ferment", "90 min"), ("proof", "75 min")],
            [("220 °C", "40 min")],
        ),
        (
            (
                "Laisser lever 1h30 à température ambiante. Façonner, laisser lever 1 heure et "
                "demie. Cuire 40 min à 230 °C."
            ),
            [("ferment", "90 min", "room"), ("proof", "90 min")],
            [("230 °C", "40 min")],
        ),
        (
            (
                "Lad dejen hæve 1½ time. Form brødet. Lad efterhæve 45 minutter. Bag ved 200 "
                "grader i 1 time og 10 minutter."
            ),
            [("ferment", "90 min"), ("proof", "45 min")],
            [("200 °C", "70 min")],
        ),
        (
            "La deigen heve i 1 time. Bakes i 1 time ved 200 grader.",
            [("ferment", "60 min")],
            [("200 °C", "60 min")],
        ),
        (
            "La deigen heve i 1 time. Stek i 1 time og 15 minutter ved 180 grader.",
            [("ferment", "60 min")],
            [("180 °C", "75 min")],
        ),
    ],
)
def test_a_step_lasts_as_long_as_its_hours_and_minutes(
    method: str, told: list[Bake], baked: list[Bake]
) -> None:
    made = drafted(method)
    assert (rises(made), bakes(made)) == (told, baked)


@pytest.mark.parametrize(
    ("method", "told"),
    [
        (
            "Bake 220C fan 10 mins, then 200C fan 25 mins.",
            [("220 °C fan", "10 min"), ("200 °C fan", "25 min")],
        ),
        ("Bei 220 °C Umluft 50 Minuten backen.", [("220 °C fan", "50 min")]),
        ("Bei Umluft 180 Grad 40 Minuten backen.", [("180 °C fan", "40 min")]),
        ("Bake in a fan oven at 200C for 30 minutes.", [("200 °C fan", "30 min")]),
        ("Bake at 375 F on convect for 30 minutes.", [("375 °F fan", "30 min")]),
        ("Bake at 375 F convection 30 minutes.", [("375 °F fan", "30 min")]),
        ("Bake at fan 165 °C for 30 minutes.", [("165 °C fan", "30 min")]),
        ("Bake at 180°C fan/gas 6 for 30 minutes.", [("180 °C fan", "30 min")]),
        # two names of one bake: the first is taken, and the fan is the second's
        ("Bake at 220C/200C fan for 30 minutes.", [("220 °C", "30 min")]),
        ("Bake 30 minutes at 185 °C (fan 165 °C).", [("185 °C", "30 min")]),
        ("Bake at 220C (200C in a fan oven) for 30 minutes.", [("220 °C", "30 min")]),
        (
            "Bei 200 °C Ober-/Unterhitze oder 180 °C Umluft 35 Minuten backen.",
            [("200 °C conventional", "35 min")],
        ),
        ("Bei 230 Grad Ober-/Unterhitze 40 Minuten backen.", [("230 °C conventional", "40 min")]),
        ("Bake without fan at 200C for 30 minutes.", [("200 °C conventional", "30 min")]),
        ("Bake at 200C with the fan off for 30 minutes.", [("200 °C", "30 min")]),
    ],
)
def test_a_fan_is_that_of_the_setting_it_stands_with(method: str, told: list[Bake]) -> None:
    assert bakes(drafted(method)) == told


@pytest.mark.parametrize(
    ("method", "told"),
    [
        (
            "Bake 40 minutes in total: 15 at 250C and 25 at 220C.",
            [("250 °C", "15 min"), ("220 °C", "25 min")],
        ),
        (
            "Bake 40 minutes: 15 at 250C and 25 at 220C.",
            [("250 °C", "15 min"), ("220 °C", "25 min")],
        ),
        (
            "Bake at 450 for 15 minutes and at 375 for 30 minutes.",
            [("450 °F", "15 min"), ("375 °F", "30 min")],
        ),
        (
            "Bake in oven 1 at 250C 12 minutes, move to oven 2 at 200C, 20 minutes.",
            [("250 °C", "12 min"), ("200 °C", "20 min")],
        ),
        (
            "Bake at gas 8 for 10 minutes, then gas 6 for 25.",
            [("gas mark 8", "10 min"), ("gas mark 6", "25 min")],
        ),
        (
            (
                "Bei 230 Grad anbacken, nach 15 Minuten auf 200 Grad herunterschalten und "
                "weitere 30 Minuten backen."
            ),
            [("230 °C", "15 min"), ("200 °C", "30 min")],
        ),
        ("Bake 45 minutes at 240C falling to 200C.", [("240 °C", "200 °C", "45 min")]),
        ("Backen: 45 Min. bei 240°C fallend auf 210°C.", [("240 °C", "210 °C", "45 min")]),
        # what follows has a time of its own, so the first is that of its setting
        (
            "Bake 15 minutes at 240C falling to 200C, then 20 minutes more.",
            [("240 °C", "15 min"), ("200 °C", "20 min")],
        ),
        (
            "Bake 15 minutes at 240C, then reduce to 200C.",
            [("240 °C", "15 min"), ("200 °C",)],
        ),
    ],
)
def test_each_setting_has_its_own_time_and_a_falling_oven_one(
    method: str, told: list[Bake]
) -> None:
    made = drafted(method)
    assert bakes(made) == told
    assert made.doubts == ()
    assert "oven: ," not in formula_text(made)


@pytest.mark.parametrize(
    ("method", "oven"),
    [
        # no oven of a kitchen is hotter than 316 °C (600 °F): likely °F
        ("Bake at 350°C for 30 minutes.", "350 °C / 350 °F"),
        ("Preheat the oven to 350°C. Bake for 30 minutes.", "350 °C / 350 °F"),
        ("Bake at 2300C for 30 minutes.", "2300 °C"),
        # another kind of oven is no oven that is turned
        ("Bake at 220 °C for 30 minutes and at 200 °C fan for 30 minutes.", "220 °C, 200 °C fan"),
        ("Bake for 40 minutes in total (15 at 250C, 25 at 220C).", "250 °C, 220 °C"),
    ],
)
def test_a_setting_nobody_can_mean_is_told_and_not_written(method: str, oven: str) -> None:
    made = drafted(method)
    (bake,) = bakes(made)
    assert bake in {("30 min",), ("40 min",)}
    assert f"    # oven: {oven}" in formula_text(made)


@pytest.mark.parametrize(
    ("method", "told"),
    [
        ("Bake the pizza at 450 °C for 2 minutes.", [("450 °C", "2 min")]),
        ("Bake at 350 °C/662 °F for 10 minutes.", [("350 °C", "10 min")]),
        ("Bake at 575 °F for 10 minutes.", [("575 °F", "10 min")]),
    ],
)
def test_a_very_hot_oven_is_believed_where_the_words_bear_it_out(
    method: str, told: list[Bake]
) -> None:
    assert bakes(drafted(method)) == told
