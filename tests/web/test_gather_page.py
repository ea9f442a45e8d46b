"""The page that makes a bread of somebody's recipe: what is asked, settled, refused, kept."""

import re
from html import unescape
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.engine.ingredients import ingredient_table
from doughwright.reworking.rework import solved_document
from doughwright.store.library import history, listed, newest

PAGE = "/breads/gather"
RECIPE = """\
Evening milk rolls

Makes 12

500 g strong white flour
1 1/4 cups whole milk
9 g salt
7 g instant yeast
%% neither line nor heading ~~

Bake at 200°C fan for 20 minutes.
"""
US_CUP = 236.588e-6
"""m³: 8 US fluid ounces of 29.5735 ml, NIST Handbook 44 (2024), appendix C."""


def shown(answer: Any) -> str:
    """A page as it is read: no tags, plain blanks."""
    page = re.sub(r"<[^>]*>", " ", answer.content.decode())
    return " ".join(unescape(page).replace("\N{NO-BREAK SPACE}", " ").split())


def given_text(client: Client, text: str = RECIPE, **said: str) -> Any:
    """Press a button over a text, as a browser sends it."""
    return client.post(PAGE, {"do": "draft", "text": text.replace("\n", "\r\n"), **said})


def masses(key: str) -> dict[str, float]:
    """What each line of a bread's dough weighs, in g."""
    document = read_document(newest("formula", key).text).document
    assert isinstance(document, FormulaDocument)
    found = solved_document(document).solution.named("dough")
    pairs = zip(found.preparation.lines, found.masses, strict=True)
    return {line.name: 1000 * mass for line, mass in pairs}


def test_a_recipe_becomes_a_draft_with_what_is_asked(paired: Client) -> None:
    answer = given_text(paired)
    page = shown(answer)
    assert answer.status_code == 200
    assert "1 thing is to be settled before it is a bread" in page
    assert "“1 1/4 cups” of whole milk: whose measure is it?" in page
    assert "line 5: 500 g strong white flour" in page
    assert "Make it a bread" not in page
    assert not listed("formula")


def test_every_line_of_the_source_is_on_the_page(paired: Client) -> None:
    page = given_text(paired).content.decode()
    beside = shown_without_field(page)
    for line in filter(None, RECIPE.splitlines()):
        assert line in beside, line


def shown_without_field(page: str) -> str:
    """The page's words without the field that holds the text itself."""
    plain = re.sub(r"<textarea.*?</textarea>", " ", page, flags=re.DOTALL)
    return unescape(re.sub(r"<[^>]*>", " ", plain))


def test_settled_it_becomes_a_bread(paired: Client) -> None:
    settled = {"a:system": "us"}
    draft = given_text(paired, **settled)
    assert "Nothing stands in the way" in shown(draft)
    said = {"name": "Evening milk rolls", "message": "Gathered from pasted text", "do": "make"}
    answer = given_text(paired, **settled, **said)
    assert (answer.status_code, answer["Location"]) == (303, "/breads/evening-milk-rolls")
    found = masses("evening-milk-rolls")
    density = ingredient_table()["whole milk"].density
    assert density is not None
    milk = 1.25 * US_CUP * density * 1000
    assert found["whole milk"] == pytest.approx(milk, abs=1.0)
    assert found["strong white flour"] == pytest.approx(500)
    stored = newest("formula", "evening-milk-rolls")
    assert history("formula", stored.key)[0].message == "Gathered from pasted text"
    assert "# line 6: 1 1/4 cups whole milk" in stored.text
    assert "%% neither line nor heading ~~" in stored.text


def test_what_is_open_makes_no_bread(paired: Client) -> None:
    answer = given_text(paired, do="make", name="Too early")
    assert answer.status_code == 422
    assert "1 thing is to be settled" in shown(answer)
    assert not listed("formula")


def test_a_bread_without_a_name_is_refused_beside_its_field(paired: Client) -> None:
    answer = given_text(paired, **{"a:system": "us"}, do="make", name=" ")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert shown(answer).count("A bread needs a name. Write what it is to be called.") == 2
    assert re.search(r'<input id="name"[^>]* aria-describedby="name-wrong"', page)
    assert re.search(r'<span class="wrong[^"]*" id="name-wrong">A bread needs a name', page)
    assert '<li><a href="#name">A bread needs a name' in page
    assert "take the line out" not in page
    assert not listed("formula")


def test_a_setting_settles_as_an_answer_does(paired: Client) -> None:
    page = shown(given_text(paired, system="us"))
    assert "Nothing stands in the way" in page


def test_an_answer_can_be_taken_back(paired: Client) -> None:
    page = given_text(paired, **{"a:system": "us"}).content.decode()
    radios = re.findall(r'<input type="radio" name="a:system" value="([^"]*)"( checked)?', page)
    assert ("us", " checked") in radios
    assert ("", "") in radios, "it can be left open again"
    words = shown(given_text(paired, **{"a:system": "us"}))
    assert "Settled: US cup Asked was: “1 1/4 cups” of whole milk" in words
    assert "open it again" in words
    assert "not settled" not in words
    assert "Say whose cups" not in words


def test_the_page_shows_the_weight_that_the_bread_will_have(paired: Client) -> None:
    text = "500 g strong white flour\n300 g water\n1 oz unsalted butter\n"
    page = shown(given_text(paired, text))
    assert "28.35 g unsalted butter" in page
    assert "unsalted butter: 28.35 g # line 3" in page


def test_an_amount_that_is_missing_is_written(paired: Client) -> None:
    text = "500 g strong white flour\n325 g water\n9 g salt\nsome unsalted butter\n"
    key = "a:4:unsalted butter:amount"
    asked = given_text(paired, text)
    assert f'name="{key}"' in asked.content.decode()
    wrong = given_text(paired, text, **{key: "enough"})
    assert "“enough” does not settle it." in shown(wrong)
    assert "Nothing stands in the way" in shown(given_text(paired, text, **{key: "20 g"}))


def test_a_saved_page_is_read_by_its_recipe(paired: Client) -> None:
    page = """<!DOCTYPE html><title>Shop</title><script type="application/ld+json">
    {"@context": "https://schema.org", "@type": "Recipe", "name": "Plain loaf",
     "recipeIngredient": ["500 g strong white flour", "325 g water", "10 g salt"],
     "recipeInstructions": "Mix it."}</script><p>Subscribe!"""
    file = SimpleUploadedFile("loaf.html", page.encode())
    answer = paired.post(PAGE, {"do": "draft", "text": "", "file": file})
    assert answer.status_code == 200
    assert "Plain loaf" in shown(answer)
    assert 'name="source" value="loaf.html"' in answer.content.decode()
    assert "325 g water" in shown_without_field(answer.content.decode())


def test_a_file_and_a_text_at_once_are_not_guessed_about(paired: Client) -> None:
    file = SimpleUploadedFile("loaf.txt", b"500 g flour")
    answer = paired.post(PAGE, {"do": "draft", "text": RECIPE, "file": file})
    assert answer.status_code == 422
    assert "A text is pasted and a file (loaf.txt) is given" in shown(answer)
    assert "1 1/4 cups whole milk" in answer.content.decode()


def test_a_file_that_is_no_text_is_refused(paired: Client) -> None:
    file = SimpleUploadedFile("loaf.jpg", b"\xff\xd8\xff\xe0\x00\x10JFIF")
    answer = paired.post(PAGE, {"do": "draft", "text": "", "file": file})
    assert answer.status_code == 422
    assert "loaf.jpg is not UTF-8 text." in shown(answer)


def test_nothing_given_is_said(paired: Client) -> None:
    answer = given_text(paired, "")
    assert answer.status_code == 422
    assert "There is nothing to read in pasted text." in shown(answer)


def test_a_wrong_setting_loses_no_answer(paired: Client) -> None:
    answer = given_text(paired, country="Latvia", **{"a:system": "us"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "“Latvia” is not a known word here." in shown(answer)
    assert '<input type="hidden" name="a:system" value="us">' in page
    assert "1 1/4 cups whole milk" in page


def test_an_unknown_name_can_be_written_in(paired: Client) -> None:
    text = "500 g Fantastic W 300\n300 g water\n9 g salt\n5 g instant yeast\n"
    asked = given_text(paired, text).content.decode()
    assert '<option value="strong white flour">' in asked
    assert 'name="w:1:fantastic w 300:name"' in asked
    named = {"a:1:fantastic w 300:name": "by weight only"}
    chosen = given_text(paired, text, **named, **{"w:1:fantastic w 300:name": "plain flour"})
    assert "Nothing stands in the way" in shown(chosen)
    wrong = given_text(paired, text, **{"w:1:fantastic w 300:name": "moon dust"})
    assert "“moon dust” does not settle it." in shown(wrong)


def test_hostile_words_are_shown_as_words(paired: Client) -> None:
    bad = '"><img src=x onerror=alert(1)><script>alert(2)</script>'
    text = f"{bad}\n\n500 g {bad}\nsome {bad}\n325 g water\n"
    for answer in (given_text(paired, text), given_text(paired, f"<html><body>{text}")):
        page = answer.content.decode()
        assert "<img" not in page
        assert "<script>alert" not in page
    answer = given_text(paired, text, **{f"a:{bad}": bad, "source": bad, "name": bad})
    assert "<img" not in answer.content.decode()


def test_pages_nested_beyond_all_measure_are_answered(paired: Client) -> None:
    for text in ("<div>" * 20_000 + "500 g flour", "[" * 50_000, '{"a":' * 20_000):
        assert given_text(paired, text).status_code in {200, 422}


def test_a_bread_called_gather_does_not_hide_the_page(paired: Client) -> None:
    text = "500 g strong white flour\n325 g water\n9 g salt\n5 g instant yeast\n"
    answer = given_text(paired, text, do="make", name="Gather")
    assert answer["Location"] == "/breads/gather-bread"
    assert paired.get(PAGE).status_code == 200


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(text=st.text(max_size=200), key=st.text(max_size=20), answer=st.text(max_size=20))
def test_no_words_break_the_page(paired: Client, text: str, key: str, answer: str) -> None:
    for do in ("draft", "make"):
        said = {f"a:{key}": answer, "a:system": answer, "name": key}
        assert given_text(paired, text, do=do, **said).status_code in {200, 303, 422}
