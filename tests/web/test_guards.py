"""Each guard of the web app is attacked here, as a stranger, a foreign page or a bad body would."""

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import get_resolver
from django.utils import timezone

from doughwright.web import pairing
from doughwright.web.guards import HEADERS, POLICY

pytestmark = pytest.mark.django_db

PAGES = ("/breads", "/series", "/kitchens", "/ingredients", "/devices", "/api")


@pytest.fixture
def stranger() -> Client:
    return Client()


def test_a_stranger_sees_the_pairing_page_and_nothing_else(stranger: Client) -> None:
    for address in (*PAGES, "/library.zip", "/breads/potato-rolls/plan"):
        answer = stranger.get(address)
        assert answer.status_code == 401, address
        assert b"Let this device in" in answer.content


def test_no_address_but_pairing_answers_a_stranger(stranger: Client) -> None:
    for pattern in get_resolver().url_patterns:
        address = "/" + re.sub(r"<[^>]*>", "1", str(pattern.pattern))
        if address in {"/style.css", "/pair", "/pair/1"}:
            continue
        for send in (stranger.get, stranger.post):
            assert send(address).status_code == 401, address


def test_a_code_pairs_once(stranger: Client) -> None:
    code = pairing.new_code(timezone.now())
    assert stranger.get(f"/pair/{code}").status_code == 200, "a look uses nothing up"
    assert stranger.post("/pair", {"code": code, "name": "bench phone"}).status_code == 302
    assert stranger.get("/devices").status_code == 200
    other = Client()
    assert other.post("/pair", {"code": code, "name": "other"}).status_code == 403
    assert other.get("/devices").status_code == 401


def test_a_link_whose_code_does_not_hold_says_so_at_once(stranger: Client) -> None:
    now = timezone.now()
    used, late = pairing.new_code(now), pairing.new_code(now - pairing.CODE_LASTS)
    good = pairing.new_code(now)
    assert pairing.token_for(used, "first", now)
    pages = [stranger.get(f"/pair/{code}") for code in (used, late, "23456789abc")]
    assert {page.status_code for page in pages} == {404}
    without = {re.sub(r'value="[^"]*"', "", page.content.decode()) for page in pages}
    assert len(without) == 1, "whether a code ever held is nobody's business"
    assert "This code does not hold" in without.pop()
    assert b"Press once" in stranger.get(f"/pair/{good}").content
    assert stranger.post("/pair", {"code": good}).status_code == 302


def test_guessing_by_looks_ends_every_open_code(stranger: Client) -> None:
    code = pairing.new_code(timezone.now())
    for _ in range(pairing.WRONG_CODES):
        stranger.get("/pair/23456789abc")
    assert stranger.get(f"/pair/{code}").status_code == 404


def test_the_devices_tell_which_is_this_one_and_when_each_was_here(paired: Client) -> None:
    made = paired.post("/devices/invite", {"for": "program", "name": "scale"})
    page = made.content.decode()
    rows = {row.split("<")[0]: row for row in page.split('<th scope="row">')[1:]}
    assert set(rows) == {"scale", "test browser "}
    assert "this device" in rows["test browser "]
    assert "this device" not in rows["scale"]
    here = timezone.now().astimezone()
    assert re.search(rf">{here.day} {here:%b %Y}, \d\d:\d\d</time>", rows["scale"])


def test_a_code_is_typed_with_spaces_dashes_and_capitals(stranger: Client) -> None:
    code = pairing.new_code(timezone.now())
    typed = f" {code[:4].upper()}-{code[4:8]} {code[8:]} "
    assert stranger.post("/pair", {"code": typed}).status_code == 302


def test_a_code_ends_after_ten_minutes() -> None:
    now = timezone.now()
    code = pairing.new_code(now)
    assert pairing.token_for(code, "late", now + pairing.CODE_LASTS) is None
    assert pairing.token_for(code, "in time", now + pairing.CODE_LASTS - timedelta(seconds=1))


def test_guessing_ends_every_open_code(stranger: Client) -> None:
    code = pairing.new_code(timezone.now())
    for _ in range(pairing.WRONG_CODES):
        assert stranger.post("/pair", {"code": "23456789abc"}).status_code == 403
    assert stranger.post("/pair", {"code": code}).status_code == 403


def test_a_device_put_out_is_out(paired: Client) -> None:
    (device,) = pairing.devices()
    assert paired.post(f"/devices/{device.number}/revoke").status_code == 302
    assert paired.get("/devices").status_code == 401


def test_neither_codes_nor_tokens_stand_in_the_database(stranger: Client) -> None:
    from django.db import connection  # noqa: PLC0415 - needs the database

    code = pairing.new_code(timezone.now())
    stranger.post("/pair", {"code": code})
    token = stranger.cookies[pairing.COOKIE].value
    again = pairing.new_code(timezone.now())
    with connection.cursor() as cursor:
        rows = []
        for table in ("web_device", "web_pairingcode"):
            cursor.execute(f"SELECT * FROM {table}")  # noqa: S608 - our own names
            rows += cursor.fetchall()
    kept = str(rows)
    assert rows
    assert token not in kept
    assert again not in kept


def test_the_cookie_is_out_of_reach_of_script(stranger: Client) -> None:
    stranger.post("/pair", {"code": pairing.new_code(timezone.now())})
    cookie = stranger.cookies[pairing.COOKIE]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"


@pytest.mark.parametrize("token", ["", "x", "Bearer", "' OR 1=1 --", "é" * 40])
def test_a_made_up_token_opens_nothing(stranger: Client, token: str) -> None:
    assert stranger.get("/devices", headers={"authorization": f"Bearer {token}"}).status_code == 401


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1.evil.example", "localhost@evil.example", ""]
)
def test_a_foreign_name_pointed_here_is_refused(paired: Client, host: str) -> None:
    answer = paired.get("/breads", headers={"host": host})
    assert answer.status_code == 400
    assert host.encode() not in answer.content or not host


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "https://evil.example"},
        {"origin": "null"},
        {"origin": "http://testserver.evil.example"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_another_page_changes_nothing(paired: Client, headers: dict[str, str]) -> None:
    before = pairing.devices()
    for address in ("/devices/invite", f"/devices/{before[0].number}/revoke"):
        assert paired.post(address, {"for": "program"}, headers=headers).status_code == 403
    said = {"text": "x", "expected": 0}
    put = paired.put(
        "/api/library/formula/x", said, content_type="application/json", headers=headers
    )
    assert put.status_code == 403
    assert pairing.devices() == before


def test_a_form_without_its_token_is_refused(paired: Client) -> None:
    strict = Client(enforce_csrf_checks=True)
    strict.cookies = paired.cookies
    answer = strict.post("/devices/invite", {"for": "program"})
    assert answer.status_code == 403
    assert b"Nothing was changed" in answer.content
    assert len(pairing.devices()) == 1


def test_every_answer_says_what_a_browser_may_do(paired: Client, stranger: Client) -> None:
    for answer in (
        stranger.get("/breads"),
        paired.get("/devices"),
        paired.get("/nothing-here"),
        paired.get("/style.css"),
        paired.get("/breads", headers={"host": "evil.example"}),
        paired.post("/devices/invite", headers={"origin": "https://evil.example"}),
    ):
        for name, value in HEADERS.items():
            assert answer.headers[name] == value, answer


def test_the_policy_allows_no_inline_script_or_style_and_nothing_from_elsewhere() -> None:
    assert "unsafe" not in POLICY
    assert "http" not in POLICY
    assert "*" not in POLICY
    assert POLICY.startswith("default-src 'none'")


def test_a_body_beyond_all_measure_is_refused(paired: Client) -> None:
    answer = paired.post("/devices/invite", {"name": "x" * (12 * 1024 * 1024)})
    assert answer.status_code == 413
    many = {f"f{i}": "1" for i in range(10_001)}
    assert paired.post("/devices/invite", many).status_code == 413


def test_a_failure_of_ours_shows_no_trace(paired: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken() -> None:
        raise RuntimeError("the secret of /etc/passwd")

    monkeypatch.setattr("doughwright.web.views.pairing.pairing.devices", broken)
    paired.raise_request_exception = False
    answer = paired.get("/devices")
    assert answer.status_code == 500
    assert b"went wrong on our side" in answer.content
    assert b"secret" not in answer.content
    assert b"Traceback" not in answer.content


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", "x" * 500, "", "\x00"])
def test_odd_device_names_are_only_names(stranger: Client, name: str) -> None:
    answer = stranger.post("/pair", {"code": pairing.new_code(timezone.now()), "name": name})
    assert answer.status_code == 302
    assert b"<script>alert" not in stranger.get("/devices").content


@pytest.mark.parametrize(
    "path", ["/static/../../etc/passwd", "/static/..%2f..%2fetc/passwd", "/static/%00", "/pair/%00"]
)
def test_no_file_but_ours_is_served(paired: Client, path: str) -> None:
    answer = paired.get(path)
    assert answer.status_code in {200, 404}
    assert b"root:" not in b"".join(answer) if answer.streaming else b"root:" not in answer.content
