"""Answers on the page of a gathered recipe: kept as the text changes, refused, chosen anew."""

import re
from html import unescape
from typing import Any

import pytest
from django.test import Client

from doughwright.store.library import listed
from doughwright.web.gather_form import COUNTRIES

PAGE = "/breads/gather"
RECIPE = """\
Milk rolls

500 g strong white flour
1 cup milk
some unsalted butter
9 g salt
7 g instant yeast

Bake at 200°C fan for 20 minutes.
"""
BUTTER, MILK = "5:unsalted butter:amount", "4:milk:kind"


def sent(client: Client, text: str = RECIPE, **said: str) -> Any:
    """Press a button over a text, as a browser sends it."""
    return client.post(PAGE, {"do": "draft", "text": text.replace("\n", "\r\n"), **said})


def body(answer: Any) -> str:
    """A page as it was sent."""
    found: str = answer.content.decode()
    return found


def words(answer: Any) -> str:
    """A page as it is read: no tags, plain blanks."""
    page = re.sub(r"<[^>]*>", " ", body(answer))
    return " ".join(unescape(page).replace("\N{NO-BREAK SPACE}", " ").split())


def checked(page: str, name: str) -> str:
    """Which choice of a question is taken."""
    found = re.findall(rf'name="{re.escape(name)}" value="([^"]*)" checked', page)
    assert len(found) == 1, (name, found)
    return unescape(found[0])


def chosen(page: str, name: str) -> str:
    """What a list of the form shows."""
    whole = re.search(rf'<select id="{name}".*?</select>', page, re.DOTALL)
    assert whole is not None
    found = re.search(r'value="([^"]*)" selected>([^<]*)', whole[0])
    assert found is not None
    return found[2]


def test_an_answer_goes_along_with_its_line(paired: Client) -> None:
    settled = {f"a:{BUTTER}": "30 g", "a:system": "us"}
    assert "Nothing stands in the way" in words(sent(paired, **settled))
    longer = f"From my aunt\nA title more\n{RECIPE}"
    page = sent(paired, longer, former=RECIPE, **settled)
    assert "The text was changed: 2 answers are kept." in words(page)
    assert "Nothing stands in the way" in words(page)
    assert checked(body(page), "a:7:unsalted butter:amount") == "30 g"
    assert f"a:{BUTTER}" not in body(page)


def test_an_answer_of_a_line_that_was_changed_is_asked_anew(paired: Client) -> None:
    settled = {f"a:{BUTTER}": "30 g", "a:system": "us"}
    other = RECIPE.replace("some unsalted butter", "some cold unsalted butter")
    page = words(sent(paired, other, former=RECIPE, **settled))
    told = "1 answer is kept, 1 is not, for its line says something else now."
    assert told in page
    assert "1 thing is to be settled" in page


def test_of_two_lines_with_the_same_words_each_keeps_its_answer(paired: Client) -> None:
    text = "500 g strong white flour\nsome butter\n300 g water\nFilling\nsome butter\n"
    keys = {f"a:{line}:butter:amount": f"{line}0 g" for line in (2, 5)}
    page = body(sent(paired, f"Rolls\n\n{text}", former=text, **keys))
    assert checked(page, "a:4:butter:amount") == "20 g"
    assert checked(page, "a:7:butter:amount") == "50 g"


def test_a_text_that_was_changed_is_shown_before_it_becomes_a_bread(paired: Client) -> None:
    plain = "500 g strong white flour\n325 g water\n9 g salt\n5 g instant yeast\n"
    page = sent(paired, f"{plain}20 g honey\n", former=plain, do="make", name="Unseen")
    assert page.status_code == 200
    assert not listed("formula")
    assert "20 g honey" in words(page)


def test_beginning_anew_keeps_the_text_and_no_answer(paired: Client) -> None:
    page = body(sent(paired, do="anew", **{"a:system": "us"}))
    assert "1 cup milk" in page
    assert "a:system" not in page
    assert "Make a draft" in page


def test_the_browser_may_keep_the_draft_for_its_way_back(paired: Client) -> None:
    assert sent(paired)["Cache-Control"] == "private"
    assert paired.get("/breads")["Cache-Control"] == "no-store"


def test_a_choice_made_after_words_were_refused_holds(paired: Client) -> None:
    text = "500 g strong white flour\n300 g water\n9 g salt\n5 g instant yeast\n90 g xyzzy\n"
    key = "5:xyzzy:name"
    wrong = body(sent(paired, text, **{f"w:{key}": "moon dust"}))
    assert f'<input type="hidden" name="r:{key}" value="moon dust">' in wrong
    again = {f"w:{key}": "moon dust", f"r:{key}": "moon dust"}
    settled = sent(paired, text, **again, **{f"a:{key}": "by weight only"})
    assert checked(body(settled), f"a:{key}") == "by weight only"
    assert "does not settle it" not in words(settled)
    still = sent(paired, text, **again, **{f"a:{key}": ""})
    assert "“moon dust” does not settle it." in words(still)


def test_a_refusal_says_what_may_stand_there(paired: Client) -> None:
    page = words(sent(paired, **{f"w:{BUTTER}": "-5 g"}))
    assert "“-5 g” does not settle it. Write a weight above zero, such as 20 g" in page


def test_the_first_open_question_can_be_gone_to(paired: Client) -> None:
    page = body(sent(paired))
    assert page.count('id="next"') == 1
    assert 'href="#next"' in page
    assert 'formaction="/breads/gather#next"' in page
    place = page.index('id="next"')
    assert page.index("blocks") >= page.rindex("<div", 0, place), "it is the first that blocks"
    done = body(sent(paired, system="us", **{f"a:{BUTTER}": "30 g"}))
    assert 'id="next"' not in done
    assert 'href="#make-title"' in done


def test_of_a_list_and_a_question_the_one_last_changed_holds(paired: Client) -> None:
    answered = body(sent(paired, **{"a:system": "us", "was:system": "", "system": ""}))
    assert checked(answered, "a:system") == "us"
    assert chosen(answered, "system") == "as answered above"
    listed_later = body(sent(paired, **{"a:system": "us", "was:system": "", "system": "metric"}))
    assert chosen(listed_later, "system") == "metric"
    assert 'value="us" checked' not in listed_later


def test_a_country_is_one_of_a_list(paired: Client) -> None:
    page = body(sent(paired, country="DE"))
    assert chosen(page, "country") == "Germany"
    refused = sent(paired, country="XX")
    assert refused.status_code == 422
    assert "“XX” is not a known word here." in words(refused)
    assert all(re.fullmatch("[A-Z]{2}", code) for code in COUNTRIES if code)


def test_what_is_settled_is_told_by_its_answer(paired: Client) -> None:
    page = words(sent(paired, system="us", **{f"a:{BUTTER}": "30 g"}))
    assert "Settled: 30 g Asked was:" in page


@pytest.mark.parametrize("text", ["Lorem ipsum dolor\nsit amet\n", "A letter to my aunt.\n"])
def test_where_nothing_can_be_answered_nothing_is_to_be_worked_out(
    paired: Client, text: str
) -> None:
    page = words(sent(paired, text))
    assert "this is no recipe of a bread" in page
    assert "Work it out with these answers" not in page
    assert "Mend the text" in page
