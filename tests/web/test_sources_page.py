"""Breads side by side in the library, and a new one from their middle."""

import re
from datetime import UTC, datetime
from html import unescape

import pytest
from django.test import Client

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.store.demo import fill
from doughwright.store.library import listed, newest, save

NOW = datetime(2026, 11, 28, 9, tzinfo=UTC)
THREE = ("cold-retarded-tin-loaf", "scalded-pan-loaf", "rye-and-wheat-hearth-loaf")
HERE = "/compare?" + "&".join(f"bread={key}" for key in THREE)


@pytest.fixture
def library(paired: Client) -> Client:
    """A browser that is let in, before the Harbour Lane library."""
    fill(NOW)
    return paired


def said(answer: object) -> str:
    """The words of a page, without its tags."""
    body = answer.content.decode()  # type: ignore[attr-defined]  # a response
    return " ".join(unescape(re.sub("<[^>]+>", " ", body)).replace("\xa0", " ").split())


def test_the_breads_lead_to_it_and_every_bread_can_be_chosen(library: Client) -> None:
    assert '<a class="act" href="/compare">Compare</a>' in library.get("/breads").content.decode()
    page = library.get("/compare")
    assert page.status_code == 200
    body = page.content.decode()
    keys = re.findall(r'name="bread" value="([^"]+)"', body)
    assert sorted(keys) == sorted(bread.key for bread in listed("formula"))
    assert "<table" not in body


def test_three_breads_with_their_middle_and_picture(library: Client) -> None:
    page = library.get(HERE)
    assert page.status_code == 200
    words = said(page)
    # wholemeal 20, 15, 0 %
    assert "wholemeal flour 15.0 % 0–20.0 % 20.0 % 15.0 % 0" in words
    assert "The middle is the median." in words
    body = page.content.decode()
    assert body.count("<svg") == 1
    assert body.count(" checked") == 3
    assert 'role="img"' in body


def test_one_bread_is_not_enough(library: Client) -> None:
    page = library.get("/compare?bread=scalded-pan-loaf")
    assert page.status_code == 422
    assert "Laid side by side are 2 to 12 sources; here: 1." in said(page)


def test_a_bread_that_is_not_there_is_said_and_the_others_stand(library: Client) -> None:
    page = library.get(f"{HERE}&bread=<b>nowhere")
    assert page.status_code == 422
    assert "<b>nowhere" not in page.content.decode()
    assert "wholemeal flour 15.0 %" in said(page)


def test_a_bread_that_cannot_be_followed_is_named_with_the_way_to_mend_it(library: Client) -> None:
    text = newest("formula", "scalded-pan-loaf").text.replace("salt: 2 %", "salt: 20 %")
    slipped = save(
        text.replace("name: Scalded pan loaf", "name: Slipped"),
        key=None,
        expected=0,
        message="",
        now=NOW,
    )
    page = library.get(f"{HERE}&bread={slipped.key}")
    assert page.status_code == 422
    assert f'<a href="/breads/{slipped.key}?view=text">Slipped</a>' in page.content.decode()
    assert "wholemeal flour 15.0 %" in said(page)


def test_a_bread_from_the_middle_is_saved_under_its_name(library: Client) -> None:
    made = library.post("/compare/start", {"bread": THREE, "name": "Our middle"})
    assert made.status_code == 303
    assert made.headers["Location"] == "/breads/our-middle"
    document = read_document(newest("formula", "our-middle").text).document
    assert isinstance(document, FormulaDocument)
    lines = document.preparations["dough"].ingredients
    assert str(lines["salt"].amount) == "2 %"
    assert str(document.note) == (
        "From Cold-retarded tin loaf, Rye and wheat hearth loaf and Scalded pan loaf. "
        "Left out: medium rye flour and whole milk. "
        "1 of 3 ferments part of it before, 27 % of the flour. "
        "1 of 3 has its final proof in the cold."
    )
    assert library.get("/breads/our-middle").status_code == 200


def test_without_a_name_nothing_is_saved_and_the_page_says_so(library: Client) -> None:
    count = len(listed("formula"))
    page = library.post("/compare/start", {"bread": THREE, "name": " "})
    assert page.status_code == 422
    assert len(listed("formula")) == count
    assert "wholemeal flour 15.0 %" in said(page)
    assert 'role="alert"' in page.content.decode()


def test_a_start_from_one_alone_is_refused(library: Client) -> None:
    page = library.post("/compare/start", {"bread": THREE[:1], "name": "Alone"})
    assert page.status_code == 422
    assert "2 to 12 sources; here: 1." in said(page)


def test_it_is_for_those_who_were_let_in(db: None) -> None:
    del db
    assert Client().get("/compare").status_code == 401
    assert Client().post("/compare/start", {}).status_code == 401


def test_none_chosen_is_said_and_a_first_visit_is_not(library: Client) -> None:
    assert library.get("/compare").status_code == 200
    page = library.get("/compare?lay=yes")
    assert page.status_code == 422
    assert "2 to 12" in said(page)
    assert 'role="alert"' in page.content.decode()


def test_the_sources_are_numbered_once_and_the_picture_stands_before_the_tables(
    library: Client,
) -> None:
    body = library.get(HERE).content.decode()
    assert body.index("<svg") < body.index("<table")
    listed_once = re.search(r'<section aria-labelledby="which-title".*?</section>', body, re.DOTALL)
    assert listed_once is not None
    links = re.findall(r'<a href="/breads/([^"]+)">', listed_once[0])
    assert links == list(THREE)
    rows = re.findall(r"<tr role=\"row\"[^>]*>.*?</tr>", body, re.DOTALL)
    in_cells = [row for row in rows if "<td" in row and "columnheader" not in row]
    assert in_cells
    assert not any("Scalded pan loaf" in row for row in in_cells), "no name beside a figure"


def test_no_two_landmarks_of_the_page_have_one_name(library: Client) -> None:
    body = library.get(HERE).content.decode()
    named = re.findall(r'<(?:section|div)[^>]*?aria-labelledby="([^"]+)"', body)
    assert len(named) == len(set(named))


def test_the_middle_of_the_page_and_of_the_new_bread_are_told_apart(library: Client) -> None:
    words = said(library.get(HERE))
    assert "a figure may stand higher than Middle above" in words
    assert "Its times are medians too: nobody took them yet." in words
