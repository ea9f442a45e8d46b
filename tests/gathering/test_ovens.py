"""The bake of somebody's recipe: which setting first, which then, and how long at each.

The sentences are our own, in the words of everyday recipes; what each says is worked out by hand.
"""

import re
from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.gathering.drafted import Draft
from doughwright.gathering.drafts import draft
from doughwright.gathering.gathered import Origin
from doughwright.gathering.pages.sections import text_gathered
from doughwright.gathering.process.ovens import oven_words, ovens_of
from doughwright.gathering.telling import time_words
from doughwright.gathering.writing import formula_text

LOAF = "A loaf\n\n500 g strong white flour\n300 g water\n10 g salt\n5 g instant yeast\n\nMethod\n"

Bake = tuple[str, ...]


def drafted(method: str, answers: Mapping[str, str] | None = None) -> Draft:
    return draft(text_gathered(LOAF + method), answers=answers or {})


def bakes(made: Draft) -> list[Bake]:
    """Each bake step: its setting, what that is turned to, and how long."""
    return [
        tuple(filter(None, (s.oven, s.then, time_words(*s.time) if s.time else "")))
        for s in made.steps
        if s.verb == "bake"
    ]


TURNED: list[tuple[str, list[Bake]]] = [
    (
        "Bake at 230 °C for 10 minutes, then lower to 200 °C and bake 25 minutes more.",
        [("230 °C", "10 min"), ("200 °C", "25 min")],
    ),
    (
        (
            "Preheat the oven to 475 °F. Knead. Bake 15 minutes at 475, reduce to 425 °F, bake a "
            "further 20–25 minutes."
        ),
        [("475 °F", "15 min"), ("425 °F", "20–25 min")],
    ),
    (
        "Bake at 250 C for 10 minutes, then 45 minutes at 200 C.",
        [("250 °C", "10 min"), ("200 °C", "45 min")],
    ),
    (
        "Bei 250 °C anbacken, nach 10 Minuten auf 200 °C reduzieren, insgesamt 55 Minuten backen.",
        [("250 °C", "10 min"), ("200 °C", "45 min")],
    ),
    (
        "Bei 250 Grad 15 Minuten, dann bei 200 Grad 40 Minuten backen.",
        [("250 °C", "15 min"), ("200 °C", "40 min")],
    ),
    (
        "Cuire à 250 °C pendant 15 minutes, puis 25 minutes à 210 °C.",
        [("250 °C", "15 min"), ("210 °C", "25 min")],
    ),
    (
        "Cuocere a 250 °C per 15 minuti, poi abbassare a 200 °C e cuocere altri 30 minuti.",
        [("250 °C", "15 min"), ("200 °C", "30 min")],
    ),
    (
        "Grädda i 250 grader i 10 minuter, sänk till 200 grader och grädda ytterligare 30 minuter.",
        [("250 °C", "10 min"), ("200 °C", "30 min")],
    ),
    (
        "Bag ved 250 °C i 10 minutter, skru ned til 200 °C og bag 30 minutter mere.",
        [("250 °C", "10 min"), ("200 °C", "30 min")],
    ),
    (
        "Hornear a 250 °C durante 15 minutos, bajar a 200 °C y hornear 30 minutos más.",
        [("250 °C", "15 min"), ("200 °C", "30 min")],
    ),
    (
        "Bake 10 minutes at 250 °C and then 20 at 200 °C.",
        [("250 °C", "10 min"), ("200 °C", "20 min")],
    ),
    (
        (
            "Heat oven to 220C/200C fan/gas 7. Bake for 15 mins, then turn down to 190C/170C "
            "fan/gas 5 for a further 20-25 mins."
        ),
        [("220 °C", "15 min"), ("190 °C", "20–25 min")],
    ),
    (
        (
            "Bake in the preheated oven (250°C/482°F/gas 9) for 10 minutes, then turn the heat "
            "down to 200°C/400°F/gas 6 and bake for another 20-30 minutes."
        ),
        [("250 °C", "10 min"), ("200 °C", "20–30 min")],
    ),
    (
        "Bake at gas mark 8 for 10 minutes, then reduce to gas mark 6 for 25 minutes.",
        [("gas mark 8", "10 min"), ("gas mark 6", "25 min")],
    ),
    (
        (
            "Bake at 450°F for 10 minutes; lower the oven to 375°F and continue baking for 30 "
            "to 35 minutes longer, until it is 200°F inside."
        ),
        [("450 °F", "10 min"), ("375 °F", "30–35 min")],
    ),
    (
        "Bake at 230 °C for 10 minutes. Turn the oven to 200 °C. Bake for 30 minutes.",
        [("230 °C", "10 min"), ("200 °C", "30 min")],
    ),
    (
        "Bake at 230 °C for 10 minutes, then reduce by 20 °C and bake for 25 minutes more.",
        [("230 °C", "10 min"), ("210 °C", "25 min")],
    ),
    (
        "Preheat to 250 °C. After 12 minutes lower to 210 °C and bake for another 25–30 minutes.",
        [("250 °C", "12 min"), ("210 °C", "25–30 min")],
    ),
    (
        "Bake covered at 250 °C for 20 min. Uncover and bake 20 minutes more at 220 °C.",
        [("250 °C", "20 min"), ("220 °C", "20 min")],
    ),
]
WHOLE: list[tuple[str, list[Bake]]] = [
    (
        "Start at 240 and turn down to 200 after 15 min; total 40 min.",
        [("240 °C", "15 min"), ("200 °C", "25 min")],
    ),
    (
        "Bake at 240 °C for 40 minutes, turning the oven down to 200 °C after 15 minutes.",
        [("240 °C", "15 min"), ("200 °C", "25 min")],
    ),
    (
        "Bake for 45 minutes in total: the first 10 minutes at 240 °C, the rest at 200 °C.",
        [("240 °C", "10 min"), ("200 °C", "35 min")],
    ),
    (
        (
            "Put the bread in at 240 °C. After 10 minutes turn down to 200 °C. Total baking "
            "time 45–50 minutes."
        ),
        [("240 °C", "10 min"), ("200 °C", "35–40 min")],
    ),
    (
        "Bake for 40 minutes, reducing the temperature from 230 to 200 °C halfway through.",
        [("230 °C", "20 min"), ("200 °C", "20 min")],
    ),
    (
        "Bake for 40 minutes, starting at 250 °C and falling to 200 °C.",
        [("250 °C", "200 °C", "40 min")],
    ),
    (
        "Oven temperature: 230 °C, falling to 200 °C. Baking time: 45 min.",
        [("230 °C", "200 °C", "45 min")],
    ),
]
ONE: list[tuple[str, list[Bake]]] = [
    ("Bake at 220 °C/200 °C fan/gas 7 for 30 minutes.", [("220 °C", "30 min")]),
    ("Bake at 400°F/200°C for 30 minutes.", [("400 °F", "30 min")]),
    ("Preheat to 475 °F. Bake at 425 °F for 30 min", [("425 °F", "30 min")]),
    (
        (
            "Preheat oven to 250 °C (230 °C fan, gas 9). Put in the loaf, turn down to 220 °C "
            "(200 °C fan, gas 7) and bake 35 min."
        ),
        [("220 °C", "35 min")],
    ),
    (
        "Bake 20 minutes covered and 15-20 minutes uncovered at 475°F.",
        [("475 °F", "35–40 min")],
    ),
    (
        (
            "Preheat the oven to 450 degrees. Bake covered for 30 minutes, uncover and bake 15 "
            "to 20 minutes more."
        ),
        [("450 °F", "45–50 min")],
    ),
    ("Bake in a preheated 425-degree oven for 25 minutes.", [("425 °F", "25 min")]),
    ("Bake at 375 degrees F. for 35 to 40 min. Remove from pans.", [("375 °F", "35–40 min")]),
    ("Bake in the middle of the oven at 225° for about 10 minutes.", [("225 °C", "10 min")]),
    (
        "Bake 1 hour at 200 °C, covering with foil after 30 minutes if it browns too fast.",
        [("200 °C", "60 min")],
    ),
    ("Bake at 200 °C for 25–30 minutes (rolls 15 minutes).", [("200 °C", "25–30 min")]),
    (
        "Toast the walnuts at 180 °C for 10 minutes. Bake the loaf at 230 °C for 40 minutes.",
        [("230 °C", "40 min")],
    ),
    (
        "Fry the onions. Reduce the heat and simmer for 5 minutes. Bake at 200 °C for 30 minutes.",
        [("200 °C", "30 min")],
    ),
    (
        (
            "Oven: 220 °C. Bake for 25 minutes. Turn off the oven and leave the bread inside "
            "for 10 minutes."
        ),
        [("220 °C", "25 min")],
    ),
]


@pytest.mark.parametrize(("method", "told"), TURNED)
def test_an_oven_that_is_turned_is_two_bakes_each_with_its_time(
    method: str, told: list[Bake]
) -> None:
    made = drafted(method)
    assert bakes(made) == told
    assert made.doubts == ()


@pytest.mark.parametrize(("method", "told"), WHOLE)
def test_a_time_of_the_whole_bake_is_no_time_of_a_stage(method: str, told: list[Bake]) -> None:
    made = drafted(method)
    assert bakes(made) == told
    assert made.doubts == ()


@pytest.mark.parametrize(("method", "told"), ONE)
def test_what_is_no_turn_is_one_bake(method: str, told: list[Bake]) -> None:
    assert bakes(drafted(method)) == told


def test_the_document_holds_both_bakes_and_tells_how_a_time_was_worked_out() -> None:
    text = formula_text(drafted(WHOLE[0][0]))
    document = read_document(text).document
    assert isinstance(document, FormulaDocument)
    told = [(str(s.oven), str(s.took)) for s in document.process if s.verb == "bake"]
    assert told == [("240 °C", "15 min"), ("200 °C", "25 min")]
    assert "; 40 min in all, less 15 min" in text


def test_an_oven_heated_hotter_than_it_bakes_is_told_beside_the_bake() -> None:
    text = formula_text(drafted("Preheat to 475 °F. Bake at 425 °F for 30 min"))
    assert "    # preheat: 475 °F" in text


OPEN = "Bake at 240 °C, turning down to 200 °C after 10 minutes. Bake for 40 minutes."
LAST = "Bake at 220 °C for 35 minutes, lowering the heat to 180 °C for the last 10 minutes."
TWICE = "Bake at 240 °C for 15 minutes, then at 200 °C for 30 minutes (40 minutes in total)."
UNTIMED = "Bake at 230 °C falling to 200 °C for 40 minutes."


@pytest.mark.parametrize(
    ("method", "answer", "told"),
    [
        (OPEN, "", [("240 °C", "10 min"), ("200 °C",)]),
        (OPEN, "in all", [("240 °C", "10 min"), ("200 °C", "30 min")]),
        (OPEN, "after the turn", [("240 °C", "10 min"), ("200 °C", "40 min")]),
        (LAST, "in all", [("220 °C", "25 min"), ("180 °C", "10 min")]),
        (LAST, "after the turn", [("220 °C", "35 min"), ("180 °C", "10 min")]),
        (TWICE, "", [("240 °C", "15 min"), ("200 °C",)]),
        (TWICE, "in all", [("240 °C", "15 min"), ("200 °C", "25 min")]),
        (TWICE, "after the turn", [("240 °C", "15 min"), ("200 °C", "30 min")]),
        (UNTIMED, "", [("230 °C", "200 °C")]),
        (UNTIMED, "in all", [("230 °C", "200 °C", "40 min")]),
    ],
)
def test_a_time_of_the_whole_or_of_what_follows_is_asked(
    method: str, answer: str, told: list[Bake]
) -> None:
    made = drafted(method, {"bake:time": answer} if answer else None)
    (doubt,) = made.doubts
    assert (doubt.key, doubt.answer, doubt.blocks) == ("bake:time", answer, False)
    assert [choice.key for choice in doubt.choices] == ["in all", "after the turn"]
    assert bakes(made) == told
    assert made.stray == ()


def test_a_time_too_short_for_the_whole_is_not_asked() -> None:
    made = drafted("Bake at 240 °C, turning down to 200 °C after 30 minutes. Bake for 20 minutes.")
    assert bakes(made) == [("240 °C", "30 min"), ("200 °C", "20 min")]
    assert made.doubts == ()


@pytest.mark.parametrize(
    ("method", "told", "beside"),
    [
        ("Bake at 220 °C/180 °C for 30 minutes.", [("30 min",)], "oven: 220 °C / 180 °C"),
        # gas 6 is 200 °C: 180 °C is that of a fan, or another mark's
        ("Bake at gas mark 6 (180C) for 20 min.", [("20 min",)], "oven: gas mark 6 / 180 °C"),
        (
            "Bake loaves at 220 °C for 35 minutes, rolls at 200 °C for 15 minutes.",
            [("35 min",)],
            "oven: 220 °C, 200 °C",
        ),
        (
            "Bake at 230 °C for 10 min, 210 °C for 10 min, then 190 °C for 15 min.",
            [("35 min",)],
            "oven: 230 °C, 210 °C, 190 °C",
        ),
        (
            "Bake at 240 °C for 15 minutes, then lower the heat and bake 20 minutes more.",
            [("35 min",)],
            "oven: it is turned",
        ),
    ],
)
def test_where_no_setting_is_sure_none_is_written_and_all_are_told(
    method: str, told: list[Bake], beside: str
) -> None:
    made = drafted(method)
    assert bakes(made) == told
    assert f"    # {beside}" in formula_text(made)


@pytest.mark.parametrize(
    ("method", "told"),
    [
        (
            "Bake in a fan oven preheated to 200C for 30 minutes.",
            [("200 °C fan", "30 min")],
        ),
        (
            "Den Ofen auf 230 Grad vorheizen und das Brot 50 Minuten backen.",
            [("230 °C", "50 min")],
        ),
        (
            "30 minutes before baking, heat the oven to 230 °C. Bake 40 minutes.",
            [("230 °C", "40 min")],
        ),
        (
            "Preheat the oven to 230 °C 30 minutes before baking. Bake 40 minutes.",
            [("230 °C", "40 min")],
        ),
    ],
)
def test_heating_the_oven_is_no_baking(method: str, told: list[Bake]) -> None:
    assert bakes(drafted(method)) == told


def test_a_gas_mark_that_there_is_not_is_no_setting() -> None:
    made = drafted("Bake at gas 14 for 30 minutes.")
    assert bakes(made) == [("30 min",)]
    assert "oven: gas" not in formula_text(made)


def test_an_oven_that_no_kitchen_has_is_told_and_not_set() -> None:
    made = drafted("Bake at 2300C for 30 minutes.")
    assert bakes(made) == [("30 min",)]
    assert "# oven: 2300 °C: no oven is set so" in formula_text(made)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("Preheat to 475 °F, bake at 475, then lower to 425.", ["475 °F", "475 °F", "425 °F"]),
        ("Preheat the oven to 200 degrees.", ["200 °C"]),
        ("Preheat the oven to 350 degrees.", ["350 °F"]),
        ("Preheat the oven to 300 degrees.", []),  # a cool oven in °F, a pizza oven in °C
        ("Bake from 230 to 200 °C.", ["230 °C", "200 °C"]),
        ("Scale to 450 and bake at 220C.", ["220 °C"]),
        ("Add milk to 250 in a bowl. Cook the syrup to 118 °C. Heat the oil to 180 °C.", []),
    ],
)
def test_a_number_without_a_unit_is_a_setting_only_where_it_can_be_no_other(
    line: str, told: list[str]
) -> None:
    assert [oven_words(oven) for oven in ovens_of([Origin("", 1, line)])] == told


WORDS = st.sampled_from(
    [
        *("Bake", "then", "at", "for", "240 °C", "200", "gas 6", "475 °F", "fan", "10 minutes"),
        *("25 min", "total", "after", "more", "the last", "turn down to", "reduce by 20 °C", "."),
        *("Preheat the oven to", ",", ";", "/", "(", ")", "halfway", "first", "lower the heat"),
        *("an hour", "overnight", "or", "and", "1 to", "shape", "prove", "in the fridge", "½"),
    ]
)


@given(st.lists(WORDS, min_size=1, max_size=16).map(" ".join))
def test_no_words_of_a_bake_break_the_draft_or_are_lost(method: str) -> None:
    text = formula_text(drafted(f"Knead the dough well. {method}"))
    assert isinstance(read_document(text).document, FormulaDocument)
    assert squeezed(method) in squeezed(text)


def squeezed(words: str) -> str:
    return re.sub(r"\s+", " ", words)
