"""The breads: found, begun, copied, put away and brought back, each shown in numbers."""

import re
from datetime import UTC, datetime

import pytest
from django.test import Client

from doughwright.store.demo import fill
from doughwright.store.library import history, listed, newest, save
from doughwright.web.figures import noted
from doughwright.web.finding import strip, strip_said

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)


@pytest.fixture
def library(paired: Client) -> Client:
    """A browser that is let in, before the Harbour Lane library."""
    fill(NOW)
    return paired


def bread(name: str, ingredients: str) -> str:
    dough = f"preparations:\n  dough: {{kind: dough, ingredients: {{{ingredients}}}}}\n"
    return f"doughwright: formula/1\nname: {name}\n{dough}"


def names(page: str) -> list[str]:
    return re.findall(r'<h2><a href="/breads/[^"]*">([^<]*)</a></h2>', page)


def shown(client: Client, address: str) -> str:
    """A page that is there, once all its figures are worked out."""
    for _ in range(20):
        answer = client.get(address)
        assert answer.status_code == 200
        page = answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")
        if "being worked out" not in page:
            return page
    pytest.fail("the figures are never done")


def test_each_bread_is_shown_in_numbers(library: Client) -> None:
    page = shown(library, "/breads")
    assert len(names(page)) == 8
    row = page[page.index("Potato rolls") :].split("</li>")[0]
    assert "65.3 % (64.5–66.1 %) hydration" in row
    assert "3 h 20 min–4 h 40 min in all" in row
    assert 'aria-label="Of the dough’s weight: flour 53 %' in row
    assert re.search(r"<b>16</b>.*69 g", page)


def test_breads_of_one_name_are_told_apart_by_their_keys(library: Client) -> None:
    twin = bread("potato rolls", "white flour: 100 %, water: 60 %")
    save(twin, key="potato-rolls-2", expected=0, message="", now=NOW)
    found = names(shown(library, "/breads"))
    assert [name for name in found if name.casefold().startswith("potato")] == [
        "Potato rolls (potato-rolls)",
        "potato rolls (potato-rolls-2)",
    ]
    assert "Cardamom knots" in found
    for address in ("/series/harbour-lane", "/breads/new"):
        page = library.get(address).content.decode()
        assert "potato rolls (potato-rolls-2)</option>" in page


def test_figures_are_worked_out_once_a_revision(
    library: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown(library, "/breads")

    def never(*_: object) -> None:
        pytest.fail("worked out again")

    monkeypatch.setattr("doughwright.web.figures.planned_formula", never)
    shown(library, "/breads")


def test_another_kitchen_in_front_plans_the_times_anew(library: Client) -> None:
    shown(library, "/breads")
    before = {item.key: noted(item) for item in listed("formula")}
    cold = "doughwright: kitchen/1\nname: A cold cellar\nroom: 15 °C\n"
    save(cold, key=None, expected=0, message="", now=NOW)
    shown(library, "/breads")
    after = {item.key: noted(item) for item in listed("formula")}
    was, now = before["potato-rolls"], after["potato-rolls"]
    assert was is not None
    assert now is not None
    assert was.time is not None
    assert now.time is not None
    assert now.time[1] > was.time[1]
    assert now.water == was.water


def test_a_bread_that_cannot_be_followed_says_why_and_shuts_out_no_other(library: Client) -> None:
    odd = bread("Odd one", "moonlight flour: 100 %, water: 60 %")
    save(odd, key=None, expected=0, message="", now=NOW)
    page = shown(library, "/breads")
    assert len(names(page)) == 9
    row = page[page.index("Odd one") :].split("</li>")[0]
    assert "Cannot be followed" in row
    assert "moonlight flour" in row
    assert names(shown(library, "/breads?q=moonlight")) == ["Odd one"]


def test_a_defect_of_ours_at_one_bread_shuts_out_no_other(
    library: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("doughwright.web.figures.shares", broken)
    page = shown(library, "/breads")
    assert len(names(page)) == 8
    assert "Our own computation failed at this bread" in page
    assert "ZeroDivisionError" not in page


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        ("q=poolish", ["Rye and wheat hearth loaf"]),
        ("q=CARDAMOM", ["Cardamom knots"]),
        ("q=overnight+tin", ["Cold-retarded tin loaf"]),
        ("q=nothing-is-called-so", []),
        ("tag=pan+loaf", ["Scalded pan loaf"]),
        ("tag=overnight&q=rye", ["Rye and wheat hearth loaf"]),
        ("series=nowhere", []),
    ],
)
def test_breads_are_found_by_words_tag_and_series(
    library: Client, asked: str, expected: list[str]
) -> None:
    assert names(shown(library, f"/breads?{asked}")) == expected


def test_a_search_looks_into_a_bread_before_its_figures_are_there(
    library: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("doughwright.web.finding.PATIENCE", -1.0)
    answer = library.get("/breads?q=poolish")
    assert names(answer.content.decode()) == ["Rye and wheat hearth loaf"]
    assert "The figures of 8 breads are still being worked out" in answer.content.decode()


def test_a_series_lists_its_breads_in_its_order_with_their_states(library: Client) -> None:
    page = shown(library, "/breads?series=harbour-lane")
    assert names(page)[:3] == ["Seeded flatbread", "Scalded pan loaf", "Leek and curd pockets"]
    assert page.count("<b>published</b>") == 4
    assert "Fourth evening." in page


def test_a_new_bread_begins_as_a_straight_dough_that_can_be_planned(library: Client) -> None:
    answer = library.post("/breads/new", {"name": "Quay: rolls #1", "start": ""})
    assert (answer.status_code, answer["Location"]) == (303, "/breads/quay-rolls-1")
    assert newest("formula", "quay-rolls-1").name == "Quay: rolls #1"
    row = shown(library, "/breads?q=quay")
    assert "in all" in row
    assert "Cannot be followed" not in row


def test_a_copy_has_its_own_name_and_keeps_the_comments(library: Client) -> None:
    form = library.get("/breads/scalded-pan-loaf/copy").content.decode()
    assert '<option value="scalded-pan-loaf" selected>' in form
    posted = {"name": "Scalded loaf with oats", "start": "scalded-pan-loaf"}
    answer = library.post("/breads/new", posted)
    assert answer["Location"] == "/breads/scalded-loaf-with-oats"
    before = newest("formula", "scalded-pan-loaf").text
    after = newest("formula", "scalded-loaf-with-oats").text
    changed = [
        pair
        for pair in zip(before.splitlines(), after.splitlines(), strict=True)
        if pair[0] != pair[1]
    ]
    assert changed == [("name: Scalded pan loaf", "name: Scalded loaf with oats")]


@pytest.mark.parametrize("name", ["", "   ", "x" * 121, "\x00\x01", "\u202e", "\u200b"])
@pytest.mark.parametrize("start", ["", "potato-rolls"])
def test_a_bread_without_a_fit_name_is_not_begun(library: Client, name: str, start: str) -> None:
    answer = library.post("/breads/new", {"name": name, "start": start})
    assert answer.status_code == 422
    assert "Not saved" in answer.content.decode()
    assert len(listed("formula")) == 8


def test_a_copy_of_what_is_not_there_is_refused(library: Client) -> None:
    assert library.get("/breads/no-such-bread/copy").status_code == 404
    answer = library.post("/breads/new", {"name": "X", "start": "no-such-bread"})
    assert answer.status_code == 404


def test_what_is_put_away_can_be_brought_back_with_all_its_revisions(library: Client) -> None:
    answer = library.post("/breads/potato-rolls/away", {"expected": "1"})
    assert answer.status_code == 303
    page = shown(library, answer["Location"])
    assert "Potato rolls is put away." in page
    assert "Potato rolls" not in names(page)
    assert names(shown(library, "/breads?away=yes")) == ["Potato rolls"]
    library.post("/breads/potato-rolls/back", {"expected": "1"})
    assert "Potato rolls" in names(shown(library, "/breads"))
    assert len(history("formula", "potato-rolls")) == 1


def test_what_changed_meanwhile_is_not_put_away_unseen(library: Client) -> None:
    stored = newest("formula", "potato-rolls")
    text = stored.text.replace("name: Potato rolls", "name: Potato buns")
    save(text, key="potato-rolls", expected=1, message="", now=NOW)
    answer = library.post("/breads/potato-rolls/away", {"expected": "1"})
    assert answer.status_code == 409
    assert "Potato buns" in names(shown(library, "/breads"))


HOSTILE = "<script>alert(1)</script>"


def test_a_hostile_name_is_shown_as_text(library: Client) -> None:
    library.post("/breads/new", {"name": HOSTILE, "start": ""})
    for address in ("/breads", f"/breads?q={HOSTILE}", f"/breads?tag={HOSTILE}", "/breads/new"):
        page = library.get(address).content.decode()
        assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in shown(library, "/breads")


@pytest.mark.parametrize(
    "key", ["../../etc/passwd", "..%2F..%2Fetc%2Fpasswd", "<script>", "%00", "a" * 3000, "new "]
)
def test_a_hostile_key_finds_nothing(library: Client, key: str) -> None:
    for address in (f"/breads/{key}/copy", f"/kitchens/{key}", f"/series/{key}"):
        answer = library.get(address)
        assert answer.status_code == 404
        assert b"<script>" not in answer.content
    assert library.post(f"/breads/{key}/away", {"expected": "1"}).status_code == 404


def test_a_dough_without_flour_has_no_figures_but_a_line(library: Client) -> None:
    save(bread("Only water", "water: 100 g"), key=None, expected=0, message="", now=NOW)
    page = shown(library, "/breads?q=only")
    assert "Cannot be followed" in page


def test_a_strip_has_no_stretch_thinner_than_its_outline() -> None:
    shares = {"flour": 0.55, "water": 0.446, "salt": 0.004}
    assert [stretch.of for stretch in strip(shares)] == ["flour", "water"]
    assert strip_said(shares) == "Of the dough’s weight: flour 55 %, water 45 %."
    assert strip({}) == ()
