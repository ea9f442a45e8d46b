"""Kitchens: every field in a form, the same words as text, nothing lost on the way."""

import re
from datetime import UTC, datetime
from html import unescape

import pytest
from django.test import Client

from doughwright.documents.kitchen import KitchenDocument, OvenDocument, ScaleDocument
from doughwright.store.demo import fill
from doughwright.store.library import history, newest, save
from doughwright.web.fields import Pairs, edits, plain_of
from doughwright.web.kitchen_form import GROUPS

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
HERE = "/kitchens/harbour-lane"


@pytest.fixture
def library(paired: Client) -> Client:
    """A browser that is let in, before the Harbour Lane library."""
    fill(NOW)
    return paired


def text() -> str:
    return newest("kitchen", "harbour-lane").text


def lines_changed(before: str, after: str) -> list[tuple[str, str]]:
    pairs = zip(before.splitlines(), after.splitlines(), strict=True)
    return [(was, now) for was, now in pairs if was != now]


def test_the_form_asks_for_every_key_a_kitchen_can_have() -> None:
    keys = {field.alias or name for name, field in KitchenDocument.model_fields.items()}
    asked = {field.path for group in GROUPS for field in group.fields}
    assert {path[0] for path in asked} == keys - {"doughwright"}
    oven = {field.alias or name for name, field in OvenDocument.model_fields.items()}
    assert {path[1] for path in asked if path[0] == "oven"} == oven
    assert {path[1] for path in asked if path[0] == "scale"} == set(ScaleDocument.model_fields)


def test_each_field_says_its_unit_or_what_is_allowed() -> None:
    free = {"name", "note", "oven.trays"}
    for field in (field for group in GROUPS for field in group.fields):
        assert field.aside or getattr(field, "choices", ()) or field.name in free, field.name


def test_a_form_sent_as_it_was_changes_nothing(library: Client) -> None:
    page = library.get(HERE)
    posted = _posted_back(page.content.decode())
    assert posted["room"] == "21 °C"
    assert posted["prices.0.key"] == "strong white flour"
    answer = library.post(HERE, posted)
    assert answer.status_code == 303
    assert len(history("kitchen", "harbour-lane")) == 1


def _posted_back(page: str) -> dict[str, str]:
    """What a browser sends of the page's form when nothing was typed."""
    form = page[page.index('class="plain questions"') :]
    form = form[: form.index("</form>")]
    found = {
        m[1]: unescape(m[2])
        for m in re.finditer(r'<input[^>]* name="([^"]*)" value="([^"]*)"', form)
    }
    for name, options in re.findall(
        r'<select[^>]* name="([^"]*)".*?>(.*?)</select>', form, re.DOTALL
    ):
        chosen = re.search(r'<option(?: value="([^"]*)")? selected>([^<]*)', options)
        found[name] = unescape(chosen[1] or chosen[2]) if chosen else ""
    for name, words in re.findall(
        r'<textarea[^>]* name="([^"]*)".*?>\n(.*?)</textarea>', form, re.DOTALL
    ):
        found[name] = unescape(words)
    return found


def test_a_change_in_the_form_changes_its_line_and_keeps_the_comments(library: Client) -> None:
    before = text()
    posted = {"expected": "1", "room": "24", "tap.cold": "59 °F", "message": "Summer"}
    assert library.post(HERE, posted).status_code == 303
    assert lines_changed(before, text()) == [
        ("room: 21 °C", "room: 24 °C"),
        ("tap: {cold: 12 °C, hot: 50 °C}", "tap: {cold: 59 °F, hot: 50 °C}"),
    ]
    assert newest("kitchen", "harbour-lane").message == "Summer"


def test_rows_are_renamed_added_and_taken_out(library: Client) -> None:
    posted = {
        "expected": "1",
        "prices.0.was": "strong white flour",
        "prices.0.key": "bread flour, T65",
        "prices.0.value": "1.20 EUR/kg",
        "prices.1.was": "whole milk",
        "prices.1.key": "",
        "prices.1.value": "1.15 EUR/l",
        "prices.2.was": "",
        "prices.2.key": "honey",
        "prices.2.value": "9.80 EUR/kg",
        "mixer.0.was": "hand",
        "mixer.0.key": "hand",
        "mixer.0.value": "1.5",
    }
    assert library.post(HERE, posted).status_code == 303
    known = plain_of(text())
    assert known["prices"]["bread flour, T65"] == "1.20 EUR/kg"
    assert known["prices"]["honey"] == "9.80 EUR/kg"
    assert "whole milk" not in known["prices"]
    assert known["mixer"]["hand"] == "1.5 °C"
    assert "# Invented, but as shelves have them." in text()


def test_a_list_of_words_grows_shrinks_and_ends(library: Client) -> None:
    for number, said in enumerate(("sesame, walnuts, poppy seed", "walnuts, poppy seed", ""), 1):
        library.post(HERE, {"expected": str(number), "may contain": said})
        wanted = [word for word in said.split(", ") if word]
        assert plain_of(text()).get("may contain", []) == wanted
    library.post(HERE, {"expected": "4", "may contain": "sesame"})
    assert plain_of(text())["may contain"] == ["sesame"]


@pytest.mark.parametrize(
    ("posted", "beside", "said"),
    [
        ({"room": "warm"}, "room-wrong", "warm"),
        ({"room": "70 K"}, "room-wrong", "−203 °C"),
        ({"room": "300 °C"}, "room-wrong", "room"),
        ({"oven.tray": "big"}, "oven-tray-wrong", "38 x 32 cm"),
        ({"scale.fine": "5 g"}, "scale-fine-wrong", "5"),
        ({"codes": "MARS"}, "codes-wrong", "eu, uk, us"),
        ({"prices.0.key": "honey", "prices.0.value": ""}, "prices.0-wrong", "alone in its row"),
        ({"prices.0.key": "", "prices.0.value": "3 EUR/kg"}, "prices.0-wrong", "alone in its row"),
        ({"prices.0.key": "honey", "prices.0.value": "cheap"}, "prices.0-wrong", "cheap"),
        ({"prices.0.key": "salt", "prices.0.value": "1 EUR/kg"}, "prices.0-wrong", "twice"),
        ({"mixer.0.key": "hand", "mixer.0.was": "hand", "mixer.0.value": "900 W/kg"},
         "mixer.0-wrong", "900 W/kg"),
    ],
)  # fmt: skip
def test_what_is_wrong_stands_beside_its_field_and_nothing_is_saved(
    library: Client, posted: dict[str, str], beside: str, said: str
) -> None:
    answer = library.post(HERE, {"expected": "1", "fridge": "6 °C", **posted})
    page = answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert answer.status_code == 422
    assert f'id="{beside}"' in page
    assert said in page.split(f'id="{beside}"')[1].split("</span>")[0]
    assert 'value="6 °C"' in page  # what else was typed is still there
    assert len(history("kitchen", "harbour-lane")) == 1


def test_all_that_is_wrong_is_said_at_once(library: Client) -> None:
    posted = {"room": "warm", "fridge": "70 K", "prices.0.key": "honey", "prices.0.value": ""}
    page = library.post(HERE, {"expected": "1", **posted}).content.decode()
    assert 'id="room-wrong"' in page
    assert 'id="prices.0-wrong"' in page
    assert "2 things stand in the way" in page


def test_the_text_view_shows_each_problem_with_its_line(library: Client) -> None:
    broken = text().replace("room: 21 °C", "room: warm")
    answer = library.post(f"{HERE}?view=text", {"expected": "1", "text": broken})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Line 5, column 7." in page
    assert "room: warm" in page.split("<textarea")[1]
    assert len(history("kitchen", "harbour-lane")) == 1


def test_line_ends_of_a_browser_change_nothing(library: Client) -> None:
    as_sent = text().replace("\n", "\r\n")
    library.post(f"{HERE}?view=text", {"expected": "1", "text": as_sent})
    assert len(history("kitchen", "harbour-lane")) == 1


def test_another_kind_of_document_is_not_saved_as_a_kitchen(library: Client) -> None:
    bread = newest("formula", "potato-rolls").text
    answer = library.post(f"{HERE}?view=text", {"expected": "1", "text": bread})
    assert answer.status_code == 422
    assert b"kitchen/1" in answer.content
    assert len(history("formula", "potato-rolls")) == 1


def test_a_kitchen_whose_words_are_none_of_ours_is_shown_as_text(library: Client) -> None:
    from doughwright.store.models import Revision  # noqa: PLC0415 - a row from elsewhere

    Revision.objects.filter(document__key="harbour-lane", document__kind="kitchen").update(
        text="doughwright: kitchen/1\nname: [unclosed\n"
    )
    page = library.get(HERE).content.decode()
    assert "name: [unclosed" in page
    assert "Line " in page
    assert library.get("/kitchens").status_code == 200


def test_kitchens_are_listed_begun_copied_and_put_away(library: Client) -> None:
    page = library.get("/kitchens").content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert "28 °C" in page
    answer = library.post("/kitchens/new", {"name": "Barn", "start": "home-in-the-hills"})
    assert answer["Location"] == "/kitchens/barn"
    assert plain_of(newest("kitchen", "barn").text)["room"] == "28 °C"
    library.post("/kitchens/barn/away", {"expected": "1"})
    assert "/kitchens/barn" in library.get("/kitchens?away=yes").content.decode()


def test_words_in_place_of_a_mapping_are_not_lost_by_the_form() -> None:
    odd = plain_of("doughwright: kitchen/1\nname: Odd\noven: hot\n")
    form = {
        field.name: "" for group in GROUPS for field in group.fields if not isinstance(field, Pairs)
    }
    assert edits(GROUPS, odd, {**form, "name": "Odd"}) == ((), ())


def test_a_second_baker_sees_both_changes_and_loses_none(library: Client) -> None:
    theirs = text().replace("room: 21 °C", "room: 24 °C")
    save(theirs, key="harbour-lane", expected=1, message="Heat wave", now=NOW)
    answer = library.post(HERE, {"expected": "1", "room": "19 °C", "message": "Winter"})
    page = answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert answer.status_code == 409
    assert "room 21 → 19 °C" in page
    assert "room 21 → 24 °C" in page
    assert "Heat wave" in page
    assert 'value="Winter"' in page
    assert "room: 19 °C" in page.split("<textarea")[1]
    assert newest("kitchen", "harbour-lane").number == 2
