"""A library that is locked or out of reach: it is said, reading goes on, nothing typed is lost.

Django's client raises what no page answers: a status here also says that nothing was thrown.
"""

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any

import pytest
from django.db import connections
from django.test import Client
from django.utils import timezone

from doughwright.store.library import history, newest, save
from doughwright.web import pairing
from doughwright.web.finding import found
from doughwright.web.models import Device

Held = Callable[[], AbstractContextManager[None]]
NO_BREAK = "\N{NO-BREAK SPACE}"
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
WETTER = ROLLS.replace("water: 65 %", "water: 68 %")
KITCHEN = "doughwright: kitchen/1\nname: Quay\nroom: 21 °C  # by the door\n"
WATER = "v:preparations/dough/ingredients/water/amount"


@pytest.fixture
def browser(library: Any) -> Client:
    """A browser that was let in two hours ago, before a bread and a kitchen without figures."""
    del library
    save(ROLLS, key=None, expected=0, message="", now=NOW)
    save(KITCHEN, key=None, expected=0, message="", now=NOW)
    client = Client()
    before = timezone.now() - timedelta(hours=2)
    client.cookies[pairing.COOKIE] = pairing.token_of_program("bench phone", before)
    return client


def words(answer: Any) -> str:
    return unescape(answer.content.decode())


def sent_again(page: str) -> tuple[str, dict[str, str]]:
    """Where the form of a refused page leads, and what it sends as a browser does."""
    form = page[page.index('<form method="post"') :].partition("</form>")[0]
    fields = re.findall(r'<input type="hidden" name="([^"]*)" value="([^"]*)">', form)
    to = re.search(r'action="([^"]*)"', form)
    assert to is not None
    return unescape(to[1]), {unescape(name): unescape(value) for name, value in fields}


@pytest.mark.usefixtures("impatient")
def test_reading_goes_on_while_somebody_writes(browser: Client, held: Held) -> None:
    with held():
        for address in ("/breads", "/breads/quay-rolls", "/kitchens", "/devices"):
            answer = browser.get(address)
            assert answer.status_code == 200, address
        assert "65.0 % hydration" in words(browser.get("/breads")).replace(NO_BREAK, " ")


@pytest.mark.usefixtures("browser", "impatient")
def test_figures_that_cannot_be_kept_are_waited_for_once(held: Held) -> None:
    for name in ("Rye", "Wheat"):
        save(ROLLS.replace("Quay rolls", name), key=None, expected=0, message="", now=NOW)
    with held():
        assert [row.waits for row in found().rows] == [False, True, True]
    assert [row.waits for row in found().rows] == [False, False, False]


def test_a_device_is_seen_once_an_hour(browser: Client) -> None:
    before = Device.objects.get().seen
    browser.get("/devices")
    seen = Device.objects.get().seen
    assert seen - before > timedelta(hours=1)
    browser.get("/devices")
    assert Device.objects.get().seen == seen


@pytest.mark.usefixtures("impatient")
def test_what_is_to_be_written_is_refused_in_words(browser: Client, held: Held) -> None:
    (device,) = pairing.devices()
    code = pairing.new_code(timezone.now())
    with held():
        for address, form in (
            ("/pair", {"code": code}),
            ("/devices/invite", {}),
            ("/devices/invite", {"for": "program", "name": "scale"}),
            (f"/devices/{device.number}/revoke", {}),
        ):
            answer = browser.post(address, form)
            assert answer.status_code == 503, address
            assert "The library is busy" in words(answer)
    assert pairing.devices() == (device,)
    assert pairing.token_for(code, "later", timezone.now()), "the code was not used up"


def test_a_library_out_of_reach_is_said_to_be(browser: Client) -> None:
    connections.settings["default"]["NAME"] = "/no/such/library"
    connections.close_all()
    for send, address in (
        (browser.get, "/breads"),
        (browser.get, "/devices"),
        (browser.get, "/api/library/formula"),
        (browser.post, "/devices/invite"),
        (Client().post, "/pair"),
    ):
        answer = send(address)
        assert answer.status_code == 503, address
        assert "cannot be opened" in words(answer)


@pytest.mark.usefixtures("impatient")
@pytest.mark.parametrize(
    ("address", "typed", "shown", "kind", "saved"),
    [
        (
            "/breads/quay-rolls",
            {"view": "text", "text": WETTER, "do": "save", "message": "Wetter"},
            WETTER,
            "formula",
            WETTER,
        ),
        (
            "/breads/quay-rolls",
            {"view": "form", "text": ROLLS, WATER: "68 %", "do": "save", "message": "Wetter"},
            WETTER,
            "formula",
            WETTER,
        ),
        (
            "/kitchens/quay?view=text",
            {"text": KITCHEN.replace("21", "19")},
            KITCHEN.replace("21", "19"),
            "kitchen",
            KITCHEN.replace("21", "19"),
        ),
        ("/kitchens/quay", {"room": "19 °C"}, "", "kitchen", KITCHEN.replace("21", "19")),
    ],
)
def test_what_was_typed_stands_on_the_page_and_is_saved_from_there(
    browser: Client,
    held: Held,
    address: str,
    typed: dict[str, str],
    shown: str,
    kind: Any,
    saved: str,
) -> None:
    form = {"expected": "1", **{name: said.replace("\n", "\r\n") for name, said in typed.items()}}
    with held():
        answer = browser.post(address, form)
    assert answer.status_code == 503
    page = words(answer).replace("\r\n", "\n")
    assert ("What you had typed</label>" in page) == bool(shown)
    assert f">\n{shown}</textarea>" in page or not shown
    to, fields = sent_again(answer.content.decode())
    assert to == address
    assert browser.post(to, fields).status_code == 303
    (key,) = {"formula": ["quay-rolls"], "kitchen": ["quay"]}[kind]
    assert newest(kind, key).text == saved
    assert history(kind, key)[0].message == typed.get("message", "")


def test_a_form_from_before_the_browser_s_start_is_saved_from_the_page_that_says_so(
    browser: Client,
) -> None:
    strict = Client(enforce_csrf_checks=True)
    strict.cookies = browser.cookies
    form = {"view": "text", "text": WETTER, "expected": "1", "do": "save"}
    answer = strict.post("/breads/quay-rolls", {**form, "csrfmiddlewaretoken": "x" * 64})
    assert answer.status_code == 403
    assert "before this browser was last started" in words(answer)
    assert newest("formula", "quay-rolls").text == ROLLS
    to, fields = sent_again(answer.content.decode())
    assert fields.pop("csrfmiddlewaretoken") != "x" * 64
    assert fields == form
    (token,) = re.findall('csrfmiddlewaretoken" value="([^"]+)"', answer.content.decode())
    assert strict.post(to, {**fields, "csrfmiddlewaretoken": token}).status_code == 303
    assert newest("formula", "quay-rolls").text == WETTER


NUL = (
    "/breads/%00",
    "/breads/%00/plan",
    "/breads/quay-rolls/plan?kitchen=%00",
    "/breads/quay-rolls/plan?with=%00%3D3",
    "/breads/quay-rolls/history/1?x=%00",
    "/kitchens/a%00b",
    "/series/%00",
    "/bench/%00",
    "/api/library/formula/%00",
    "/api/library/formula/%00?number=1",
)


@pytest.mark.parametrize("address", NUL)
def test_a_sign_no_database_takes_is_not_there(browser: Client, address: str) -> None:
    answer = browser.get(address)
    assert answer.status_code in ({200} if "?x=" in address else {404, 422}), words(answer)
    assert "cannot be opened" not in words(answer)


def test_nor_can_anything_be_made_with_it(browser: Client) -> None:
    for address, form in (
        ("/breads/%00", {"text": ROLLS, "do": "save", "view": "text"}),
        ("/breads/new", {"name": "Rye", "start": "\0"}),
        ("/breads/new", {"name": "\0", "start": ""}),
        ("/bench/%00/finish", {}),
        ("/bench/%00/steps/1", {}),
        ("/save/formula/%00", {"text": ROLLS, "expected": "1"}),
        ("/breads/quay-rolls", {"text": ROLLS + "note: \0\n", "view": "text", "do": "save"}),
    ):
        answer = browser.post(address, form)
        assert answer.status_code in {404, 422}, (address, words(answer))
    body = {"text": ROLLS, "expected": 0}
    answer = browser.put("/api/library/formula/%00", body, content_type="application/json")
    assert answer.status_code in {404, 422}
    assert [row.number for row in history("formula", "quay-rolls")] == [1]
