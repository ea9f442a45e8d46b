"""Two changes of one document: both are shown, none is lost, and the baker says what counts."""

from datetime import UTC, datetime
from html import unescape

import pytest
from django.test import Client

from doughwright.store.library import history, listed, newest, save

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
ROLLS = """\
doughwright: formula/1
name: Quay rolls
preparations:
  dough:
    kind: dough
    ingredients:
      strong white flour: 100 %  # from the mill
      water: 65 %
      salt: 1.8 %
"""
MINE = ROLLS.replace("water: 65 %", "water: 68 %")
THEIRS = ROLLS.replace("salt: 1.8 %", "salt: 2.0 %")
SAVE = "/save/formula/quay-rolls"


@pytest.fixture
def library(paired: Client) -> Client:
    """A library in which somebody saved while somebody else was typing."""
    save(ROLLS, key=None, expected=0, message="", now=NOW)
    save(THEIRS, key="quay-rolls", expected=1, message="More salt", now=NOW)
    return paired


def test_both_changes_stand_side_by_side(library: Client) -> None:
    answer = library.post(SAVE, {"expected": "1", "text": MINE, "message": "Wetter"})
    page = answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert answer.status_code == 409
    mine, theirs = page.split("What was changed meanwhile")
    assert "dough: water 65 → 68 %" in mine
    assert "dough: salt 1.8 → 2.0 %" in theirs
    assert "More salt" in theirs
    assert "water: 68 %" in theirs.split("<textarea")[1]
    assert MINE in unescape(answer.content.decode())  # to the blank, or saving would change it
    assert "salt: 2.0 %" in theirs.split("<pre")[1].split("</pre>")[0]
    assert newest("formula", "quay-rolls").text == THEIRS


def test_mine_on_top_keeps_theirs_in_the_history(library: Client) -> None:
    answer = library.post(SAVE, {"expected": "2", "text": MINE, "message": "Wetter"})
    assert (answer.status_code, answer["Location"]) == (303, "/breads/quay-rolls")
    assert [stored.text for stored in history("formula", "quay-rolls")] == [MINE, THEIRS, ROLLS]


def test_mine_beside_theirs_is_a_bread_of_its_own(library: Client) -> None:
    library.post(SAVE, {"expected": "2", "text": MINE, "as": "another"})
    assert newest("formula", "quay-rolls").text == THEIRS
    assert newest("formula", "quay-rolls-2").text == MINE


@pytest.mark.parametrize(("said", "key"), [({"as": "another"}, "quay-rolls-2"), ({}, "quay-rolls")])
def test_a_settled_text_keeps_the_line_ends_of_its_bread(
    library: Client, said: dict[str, str], key: str
) -> None:
    theirs, mine = (text.replace("\n", "\r\n") for text in (THEIRS, MINE))
    save(theirs, key="quay-rolls", expected=2, message="", now=NOW)
    library.post(SAVE, {"expected": "3", "text": mine, **said})
    assert newest("formula", key).text == mine


def test_a_settled_draft_is_named_where_it_leads_to_and_nowhere_else(library: Client) -> None:
    draft = "draft:quay-rolls:1:tab"
    page = library.post(SAVE, {"expected": "1", "text": MINE, "draft": draft}).content.decode()
    assert f'name="draft" value="{draft}"' in page
    named = "draft=draft%3Aquay-rolls%3A1%3Atab"
    assert f'href="/breads/quay-rolls?{named}"' in page  # who takes theirs
    answer = library.post(SAVE, {"expected": "2", "text": MINE, "draft": draft})
    assert answer["Location"] == f"/breads/quay-rolls?{named}&saved=3"


def test_a_third_writer_makes_another_conflict_not_a_loss(library: Client) -> None:
    third = THEIRS.replace("100 %", "100.0 %")
    save(third, key="quay-rolls", expected=2, message="", now=NOW)
    answer = library.post(SAVE, {"expected": "2", "text": MINE})
    assert answer.status_code == 409
    assert newest("formula", "quay-rolls").text == third


def test_a_text_that_was_broken_by_hand_comes_back_with_the_reason(library: Client) -> None:
    broken = MINE.replace("68 %", "much")
    answer = library.post(SAVE, {"expected": "2", "text": broken})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "much" in page.split("<textarea")[1]
    assert len(history("formula", "quay-rolls")) == 2


def test_script_is_led_to_the_whole_conflict_page(library: Client) -> None:
    asked = {"HX-Request": "true"}
    answer = library.post(SAVE, {"expected": "1", "text": MINE}, headers=asked)
    assert answer["HX-Retarget"] == "#main"
    answer = library.post(SAVE, {"expected": "2", "text": MINE}, headers=asked)
    assert answer["HX-Redirect"] == "/breads/quay-rolls"


@pytest.mark.parametrize("expected", ["", "-1", "1e9", "９", "99999999999999999999", "two"])
def test_an_odd_number_is_a_conflict_not_a_crash(library: Client, expected: str) -> None:
    assert library.post(SAVE, {"expected": expected, "text": MINE}).status_code == 409
    assert newest("formula", "quay-rolls").text == THEIRS


def test_a_kind_that_is_none_is_not_there(library: Client) -> None:
    assert library.post("/save/spell/quay-rolls", {"text": MINE}).status_code == 404
    assert library.post(
        "/save/kitchen/quay-rolls", {"expected": "1", "text": MINE}
    ).status_code in {404, 422}
    assert listed("kitchen") == ()


def test_hostile_words_are_shown_as_text(library: Client) -> None:
    hostile = (
        MINE.replace("Quay rolls", "<script>alert(1)</script>")
        + "# </textarea><script>1</script>\n"
    )
    posted = {"expected": "1", "text": hostile, "message": '"><script>2</script>'}
    answer = library.post(SAVE, posted)
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "<script>alert" not in page
    assert "<script>1" not in page
    assert "<script>2" not in page


def test_a_dropped_bread_is_back_once_it_is_saved(library: Client) -> None:
    library.post("/breads/quay-rolls/away", {"expected": "2"})
    assert newest("formula", "quay-rolls").dropped
    library.post(SAVE, {"expected": "2", "text": MINE})
    assert not newest("formula", "quay-rolls").dropped
