"""What a bread was, and taking it up again."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client

from doughwright.store.library import history, newest, save

START = datetime(2026, 11, 25, 9, tzinfo=UTC)
BUNS = """\
doughwright: formula/1
name: Test buns
yield: {pieces: 6, piece: 80 g}
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 62 %, salt: 1.8 %, instant yeast: 1 %}
"""
PAGE = "/breads/test-buns/history"


@pytest.fixture
def browser(paired: Client) -> Client:
    """A browser before a bread that was saved three times."""
    texts = (BUNS, BUNS.replace("1.8 %", "2.0 %"), "# mine\n" + BUNS.replace("1.8 %", "2.0 %"))
    for number, text in enumerate(texts):
        key = "test-buns" if number else None
        message = ("", "More <b>salt</b>", "")[number]
        save(text, key=key, expected=number, message=message, now=START + timedelta(number))
    return paired


def shown(page: bytes) -> str:
    plain = re.sub(r"<[^>]*>", " ", page.decode()).replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(plain.split())


def test_revisions_are_listed_with_what_they_changed(browser: Client) -> None:
    page = shown(browser.get(PAGE).content)
    third, second, first = (page.index(f"Revision {n}") for n in (3, 2, 1))
    assert third < second < first
    assert "comments, layout or order" in page[third:second]
    assert "More &lt;b&gt;salt&lt;/b&gt;" in page[second:first]
    assert "dough: salt 1.8 → 2.0 %" in page[second:first]


def test_an_earlier_revision_shows_its_text_and_its_figures(browser: Client) -> None:
    answer = browser.get(f"{PAGE}/1").content
    page = shown(answer)
    assert "dough: salt 1.8 → 2.0 %" in page
    assert "salt 1.80 %" in page
    assert "salt: 1.8 %, instant yeast" in answer.decode()  # the text itself, blank for blank


def test_an_earlier_revision_is_taken_up_as_a_new_one(browser: Client) -> None:
    said = {"expected": "3", "message": "Revision 1 again"}
    answer = browser.post(f"{PAGE}/1", said)
    assert answer.status_code == 303
    latest = newest("formula", "test-buns")
    assert (latest.number, latest.text, latest.message) == (4, BUNS, "Revision 1 again")
    assert len(history("formula", "test-buns")) == 4


def test_an_earlier_revision_is_taken_up_with_its_own_line_ends(browser: Client) -> None:
    texts = [BUNS.replace("\n", "\r\n"), BUNS]
    for number, text in enumerate(texts, 3):
        save(text, key="test-buns", expected=number, message="", now=START + timedelta(number))
    browser.post(f"{PAGE}/4", {"expected": "5", "message": ""})
    assert newest("formula", "test-buns").text == texts[0]


def test_taking_up_over_what_was_not_seen_is_a_conflict(browser: Client) -> None:
    answer = browser.post(f"{PAGE}/1", {"expected": "2", "message": ""})
    assert answer.status_code == 409
    assert len(history("formula", "test-buns")) == 3


def test_the_newest_offers_no_going_back_to_itself(browser: Client) -> None:
    assert "Take this one up again" not in browser.get(f"{PAGE}/3").content.decode()


@pytest.mark.parametrize("end", ["/0", "/4", "/99999999999999999999", "/x"])
def test_a_revision_that_is_not_there(browser: Client, end: str) -> None:
    assert browser.get(PAGE + end).status_code == 404


def test_a_long_history_goes_on_on_another_page(browser: Client) -> None:
    for number in range(3, 60):
        text = BUNS.replace("62 %", f"{60 + number} %")
        save(text, key="test-buns", expected=number, message="", now=START)
    page = browser.get(PAGE).content.decode()
    assert page.count('class="row"') == 50
    (before,) = re.findall(r'href="\?before=(\d+)"', page)
    rest = browser.get(f"{PAGE}?before={before}").content.decode()
    assert page.count('class="row"') + rest.count('class="row"') == 60
    for odd in ("x", "9" * 4400, "²", "-1"):
        whole = browser.get(f"{PAGE}?before={odd}")
        assert whole.status_code == 200
        assert whole.content.decode() == page


@pytest.mark.parametrize("number", ["0", "9" * 20, "9" * 4400])
def test_a_revision_that_cannot_be_is_not_there(browser: Client, number: str) -> None:
    assert browser.get(f"{PAGE}/{number}").status_code == 404
    api = f"/api/library/formula/test-buns?number={number}"
    assert browser.get(api).status_code in {404, 422}
