"""The bench plan's page: what is asked is answered, what is wrong stands beside its field."""

import re
from datetime import UTC, datetime
from html import unescape
from typing import Any

import pytest
from django.test import Client
from icalendar import Calendar

from doughwright.store.demo import fill
from doughwright.store.library import drop, newest, save

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
POCKETS = "/breads/leek-and-curd-pockets"
SCRIPT = {"HX-Request": "true"}


@pytest.fixture
def library(paired: Client) -> Client:
    """A browser that is let in, before the Harbour Lane library."""
    fill(NOW)
    return paired


def text(answer: Any) -> str:
    return unescape(answer.content.decode()).replace("\N{NO-BREAK SPACE}", " ")


def wrong(page: str, name: str) -> str:
    """What stands beside a field."""
    found = re.search(rf'id="{name}-wrong" role="alert"[^>]*>(.*?)</span>', page, re.DOTALL)
    assert found is not None, f"no place for what is wrong with {name}"
    return re.sub(r"<[^>]*>", "", found[1]).strip()


def field(page: str, name: str) -> str:
    found = re.search(rf'<input id="{name}"[^>]*>', page)
    assert found is not None
    return found[0]


def test_the_whole_page_has_the_form_the_plan_and_its_pictures(library: Client) -> None:
    answer = library.get(f"{POCKETS}/plan")
    page = text(answer)
    assert answer.status_code == 200
    assert "Harbour Lane community kitchen: room 21 °C" in page
    assert 'placeholder="21 °C"' in field(page, "room")
    assert page.count("<svg") == 3
    for section in ("weigh", "divide", "when", "rises", "bake", "label", "cost", "safety"):
        assert f'<section id="{section}"' in page
    assert "style=" not in page
    assert "<script>" not in page


def test_ids_are_named_once(library: Client) -> None:
    ids = re.findall(r'\sid="([^"]*)"', text(library.get(f"{POCKETS}/plan?room=x&codes=y")))
    assert len(ids) == len(set(ids))
    ids = re.findall(r'\sid="([^"]*)"', text(library.get(f"{POCKETS}/plan")))
    assert len(ids) == len(set(ids))


def test_what_is_asked_is_planned_and_shown_again(library: Client) -> None:
    page = text(library.get(f"{POCKETS}/plan?room=28 °C&flour=26&pieces=12&kitchen=-"))
    assert "An ordinary kitchen: room 28 °C, flour 26 °C" in page
    assert "12 × " in re.sub(r"<[^>]*>", "", page)
    assert 'value="28 °C"' in field(page, "room")
    assert 'value="26 °C"' in field(page, "flour")  # the unit beside the field
    assert re.search(r'<option value="-" selected>', page)


def test_script_is_given_numbers_first_and_a_clean_address(library: Client) -> None:
    answer = library.get(
        f"{POCKETS}/plan", {"room": "24", "flour": "", "pieces": "8"}, headers=SCRIPT
    )
    page = text(answer)
    assert answer.headers["HX-Replace-Url"] == f"{POCKETS}/plan?room=24+%C2%B0C&pieces=8"
    assert "<html" not in page
    assert "<svg" not in page
    assert page.count('class="coming"') == 3
    address = re.search(r'data-pictures="([^"]*)"', page)
    assert address is not None
    drawn = text(library.get(address[1]))
    assert drawn.count("<svg") == 3
    assert set(re.findall(r'<div id="(picture-\w+)">', drawn)) == set(
        re.findall(r'<div id="(picture-\w+)" class="coming"', page)
    )


def test_the_numbers_without_pictures_are_those_of_the_whole_page(library: Client) -> None:
    whole = text(library.get(f"{POCKETS}/plan?room=25"))
    part = text(library.get(f"{POCKETS}/plan?room=25", headers=SCRIPT))
    for section in ("weigh", "when", "label"):
        taken = [
            page[page.index(f'<section id="{section}"') :].split("<h2")[1] for page in (whole, part)
        ]
        assert taken[0] == taken[1]


WRONG = {
    "room=hot": ("room", "“hot” is not understood here"),
    "room=-400 °C": ("room", "colder than anything can be"),
    "flour=20 kg": ("flour", "20 kg"),
    "pieces=0": ("pieces", "a whole number from 1"),
    "pieces=8.5": ("pieces", "a whole number from 1"),
    "pieces=99999999999999": ("pieces", "a whole number from 1"),
    "start=soon": ("start", "18:30"),
    "start=18:30&ready=20:00": ("ready", "together ask for two things"),
    "pieces=8&dough=2 kg": ("dough", "together ask for two things"),
    "dough=0 g": ("dough", "0 g"),
    "with=tea=2 l": ("with", "tea"),
    "with=egg=0 g": ("with", "egg=0 g"),
    "with=egg": ("with", "egg=3 large"),
    "codes=FR": ("codes", "EU, UK, US"),
    "kitchen=nowhere": ("kitchen", "There is no kitchen “nowhere”"),
    "kitchen=../../etc/passwd": ("kitchen", "There is no kitchen"),
    "altitude=90 km": ("altitude", "90 km"),
}


@pytest.mark.parametrize("query", WRONG)
def test_what_is_wrong_stands_beside_its_field(query: str, library: Client) -> None:
    name, said = WRONG[query]
    answer = library.get(f"{POCKETS}/plan?{query}")
    assert answer.status_code == 422
    page = text(answer)
    assert said in wrong(page, name)
    assert re.search(rf'id="{name}"[^>]*aria-invalid="true"', page)
    others = [n for n in ("kitchen", "room", "flour", "pieces", "start", "ready") if n != name]
    assert [wrong(page, other) for other in others] == [""] * 5 or name not in others


@pytest.mark.parametrize("query", WRONG)
def test_for_script_the_last_good_plan_stays(query: str, library: Client) -> None:
    name, said = WRONG[query]
    answer = library.get(f"{POCKETS}/plan?{query}", headers=SCRIPT)
    assert answer.headers["HX-Reswap"] == "none"
    assert "HX-Replace-Url" not in answer.headers
    page = text(answer)
    assert said in wrong(page, name)
    assert 'id="plan"' not in page


def test_a_time_that_is_not_understood_is_still_there(library: Client) -> None:
    page = text(library.get(f"{POCKETS}/plan?start=18:30&ready=tea time"))
    assert 'type="text" value="18:30"' in field(page, "start")
    assert 'type="text" value="tea time"' in field(page, "ready")


def test_several_things_wrong_are_all_said(library: Client) -> None:
    page = text(library.get(f"{POCKETS}/plan?room=hot&flour=cold&pieces=many"))
    assert wrong(page, "room")
    assert wrong(page, "flour")
    assert wrong(page, "pieces")


def test_what_is_typed_is_no_markup(library: Client) -> None:
    page = library.get(f"{POCKETS}/plan", {"room": '"><script>x</script>'}).content.decode()
    assert "<script>x" not in page
    assert "&lt;script&gt;" in page


def test_a_bread_that_cannot_be_followed_says_where(library: Client) -> None:
    stored = newest("formula", "potato-rolls")
    text_with_tea = stored.text.replace("active dry yeast:", "gunpowder tea:")
    assert text_with_tea != stored.text
    save(text_with_tea, key="potato-rolls", expected=stored.number, message="", now=NOW)
    answer = library.get("/breads/potato-rolls/plan")
    assert answer.status_code == 422
    page = text(answer)
    assert "No plan can be made of this" in page
    assert "gunpowder tea" in page


def test_there_is_no_plan_of_what_is_not_there(library: Client) -> None:
    for end in ("plan", "plan.pdf", "plan.ics", "plan.html", "plan/pictures", "kitchens"):
        assert library.get(f"/breads/no-such-bread/{end}").status_code == 404


def test_a_plan_for_a_start_names_the_times(library: Client) -> None:
    page = text(library.get(f"{POCKETS}/plan?start=2026-11-26 09:00"))
    assert "Start 09:00, ready about" in page
    assert 'value="2026-11-26T09:00"' in field(page, "start")


def test_a_plan_that_begins_in_the_past_says_so(library: Client) -> None:
    page = text(library.get(f"{POCKETS}/plan?ready=2026-01-01 09:00"))
    assert "which is past: ask for a later time" in page


def test_the_plan_is_a_tagged_pdf_a_page_and_a_calendar(library: Client) -> None:
    query = "?start=2026-11-26 09:00&pieces=6"
    pdf = library.get(f"{POCKETS}/plan.pdf{query}")
    assert pdf.content.startswith(b"%PDF-")
    assert pdf.headers["Content-Type"] == "application/pdf"
    assert 'filename="leek-and-curd-pockets-plan.pdf"' in pdf.headers["Content-Disposition"]
    html = library.get(f"{POCKETS}/plan.html{query}")
    assert html.headers["Content-Disposition"].startswith("attachment")
    assert b"<style>" in html.content
    assert "6 × " in re.sub(r"<[^>]*>", "", text(html))


def test_the_calendar_holds_the_instants_of_the_kitchens_clock(library: Client) -> None:
    answer = library.get(f"{POCKETS}/plan.ics?start=2026-11-26 09:00")
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert 'filename="leek-and-curd-pockets-plan.ics"' in answer.headers["Content-Disposition"]
    first = Calendar.from_ical(answer.content).walk("VEVENT")[0]
    nine = datetime(2026, 11, 26, 9, 0).astimezone(UTC)
    assert first["DTSTART"].dt == nine
    again = library.get(f"{POCKETS}/plan.ics?start=2026-11-26 09:00&room=25 °C")
    uids = [
        {e["UID"] for e in Calendar.from_ical(a.content).walk("VEVENT")} for a in (answer, again)
    ]
    assert uids[0] == uids[1]  # the same bake in another room moves its entries


def test_what_cannot_be_planned_is_no_file(library: Client) -> None:
    for end in ("plan.pdf", "plan.ics", "plan.html", "plan/pictures"):
        answer = library.get(f"{POCKETS}/{end}?room=hot")
        assert answer.status_code == 422
        assert "“hot” is not understood here" in text(answer)


def test_kitchens_stand_side_by_side(library: Client) -> None:
    page = text(library.get(f"{POCKETS}/kitchens"))
    assert "2 kitchens" in page
    assert "Harbour Lane community kitchen" in page
    assert "Home in the hills" in page
    cells = re.findall(r'<td role="cell" data-kitchen="([^"]*)">', page)
    assert set(cells) == {"Harbour Lane community kitchen", "Home in the hills"}


def test_one_kitchen_with_several_rooms(library: Client) -> None:
    page = text(library.get(f"{POCKETS}/kitchens?kitchen=harbour-lane&rooms=18,22 °C,27"))
    assert "3 kitchens" in page
    assert re.findall(r'scope="col" role="columnheader">(.*?)</th>', page) == [
        f'<span class="line">room {room} °C</span>' for room in (18, 22, 27)
    ]


@pytest.mark.parametrize(
    ("query", "name", "said"),
    [
        ("kitchen=nowhere", "kitchen", "There is no kitchen “nowhere”"),
        ("kitchen=-&rooms=18,warm", "rooms", "“warm” is not understood here"),
        ("kitchen=-&rooms=" + ",".join(map(str, range(10, 24))), "rooms", "14 kitchens"),
        ("kitchen=-&pieces=none", "pieces", "a whole number"),
    ],
)
def test_what_is_wrong_with_kitchens_stands_beside_its_field(
    query: str, name: str, said: str, library: Client
) -> None:
    answer = library.get(f"{POCKETS}/kitchens?{query}")
    assert answer.status_code == 422
    assert said in wrong(text(answer), name)
    assert "<table" not in text(answer)


def test_a_comparison_is_made_anew_when_a_kitchen_is_saved(library: Client) -> None:
    address = f"{POCKETS}/kitchens?kitchen=harbour-lane&rooms="
    before = text(library.get(address))
    kitchen = newest("kitchen", "harbour-lane")
    warmer = kitchen.text.replace("room: 21 °C", "room: 29 °C")
    save(warmer, key="harbour-lane", expected=kitchen.number, message="", now=NOW)
    after = text(library.get(address))
    assert before != after


def test_a_kitchen_put_away_still_answers_an_old_address(library: Client) -> None:
    kitchen = newest("kitchen", "home-in-the-hills")
    drop("kitchen", "home-in-the-hills", expected=kitchen.number, now=NOW)
    page = text(library.get(f"{POCKETS}/plan?kitchen=home-in-the-hills"))
    assert "Home in the hills: room" in page


def test_who_is_not_let_in_sees_no_plan(db: None, client: Client) -> None:
    del db
    for end in ("plan", "plan.pdf", "plan.ics", "kitchens"):
        assert client.get(f"{POCKETS}/{end}").status_code == 401


def test_as_many_pieces_as_can_be_asked_for_are_planned_with_a_caution(library: Client) -> None:
    answer = library.get(f"{POCKETS}/plan?pieces=999999")
    assert answer.status_code == 200
    page = text(answer)
    assert "staphylococci grow 1000000-fold" in page
    assert "more heat does not make up for it" in page


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("ready", "0001-01-01 00:00"),
        ("start", "9999-12-31 23:59"),
        ("ready", "1899-12-31 23:59"),
        ("start", "2201-01-01T00:00"),
    ],
)
def test_a_time_of_another_age_is_refused_beside_its_field(
    library: Client, name: str, said: str
) -> None:
    answer = library.get(f"{POCKETS}/plan", {name: said})
    assert answer.status_code == 422
    assert said in wrong(text(answer), name)
    assert "a year from 1900 to 2200" in wrong(text(answer), name)
    for end in (".pdf", ".ics", ".html"):
        assert library.get(f"{POCKETS}/plan{end}", {name: said}).status_code == 422


@pytest.mark.parametrize("asked", ["ready=1900-01-01 00:00", "start=2200-12-31 23:59"])
def test_the_first_and_last_time_that_can_be_asked_for(library: Client, asked: str) -> None:
    assert library.get(f"{POCKETS}/plan?{asked}").status_code == 200
    assert library.get(f"{POCKETS}/plan.ics?{asked}").status_code == 200


def test_what_a_page_says_of_a_size_is_not_about_a_command_alone(library: Client) -> None:
    lines = "strong white flour: 100 %, water: 65 %, instant yeast: 1 %"
    dough = f"preparations: {{dough: {{kind: dough, ingredients: {{{lines}}}}}}}\n"
    words = f"doughwright: formula/1\nname: Open\n{dough}process: [{{mix: dough}}]\n"
    save(words, key="open", expected=0, message="", now=NOW)
    size = "ask for a size: pieces and the weight of one, dough or flour"
    assert size in text(library.get("/breads/open/plan"))
    save(words.replace("100 %", "1 kg"), key="open", expected=1, message="", now=NOW)
    assert "ask for the weight of one too" in text(library.get("/breads/open/plan?pieces=8"))
