"""A series of breads and a shelf of own ingredients: read, or refused with the place."""

import pytest

from doughwright.documents.reading import read_document
from doughwright.documents.series import STATES, SeriesDocument
from doughwright.documents.shelf import ShelfDocument
from doughwright.errors import DocumentError, Notice

SERIES = "doughwright: series/1\nname: Spring\nbreads:\n"
SHELF = "doughwright: shelf/1\nname: Ours\ningredients:\n"


def refused(text: str) -> Notice:
    with pytest.raises(DocumentError) as caught:
        read_document(text)
    (problem,) = caught.value.problems
    return problem


def test_a_bread_has_a_state_and_is_an_idea_without_one() -> None:
    lines = "".join(f"  - {{bread: b{i}, state: {state}}}\n" for i, state in enumerate(STATES))
    document = read_document(f"{SERIES}{lines}  - bread: new\n").document
    assert isinstance(document, SeriesDocument)
    assert [entry.state for entry in document.breads] == [*STATES, "idea"]


def test_a_series_may_be_empty() -> None:
    document = read_document("doughwright: series/1\nname: Spring\n").document
    assert isinstance(document, SeriesDocument)
    assert document.breads == []


def test_a_state_nobody_knows_is_refused_with_the_nearest() -> None:
    problem = refused(f"{SERIES}  - bread: rolls\n    state: in trial\n")
    assert (problem.code, problem.values["like"]) == ("unknown-word", "on trial")
    assert problem.place is not None
    assert problem.place.line == 5


def test_a_bread_stands_once_in_a_series() -> None:
    problem = refused(f"{SERIES}  - bread: rolls\n  - bread: knots\n  - bread: rolls\n")
    assert (problem.code, problem.where) == ("bread-twice", ("breads", 2))
    assert problem.place is not None
    assert problem.place.line == 6


def test_a_shelf_says_of_its_ingredients_what_a_bread_may_say() -> None:
    document = read_document(f"{SHELF}  curd: {{water: 72 %, price: 6 EUR/kg}}\n").document
    assert isinstance(document, ShelfDocument)
    assert str(document.ingredients["curd"].price) == "6 EUR/kg"
    problem = refused(f"{SHELF}  curd: {{wter: 72 %}}\n")
    assert (problem.code, problem.values["like"]) == ("unknown-key", "water")


def test_the_kinds_are_named_when_none_is_known() -> None:
    problem = refused("doughwright: shelf/2\n")
    assert problem.values["allowed"] == "formula/1, kitchen/1, series/1, shelf/1"
