"""Series: breads put in, moved, taken out, each as far as it has come."""

from datetime import UTC, datetime

import pytest
from django.test import Client

from doughwright.documents.reading import read_document
from doughwright.documents.series import SeriesDocument
from doughwright.store.demo import fill
from doughwright.store.library import history, listed, newest, save

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
HERE = "/series/harbour-lane"


@pytest.fixture
def library(paired: Client) -> Client:
    """A browser that is let in, before the Harbour Lane library."""
    fill(NOW)
    return paired


def breads(key: str = "harbour-lane") -> list[tuple[str, str]]:
    document = read_document(newest("series", key).text).document
    assert isinstance(document, SeriesDocument)
    return [(entry.bread, entry.state) for entry in document.breads]


def done(client: Client, what: str, number: int, **fields: str) -> int:
    return client.post(HERE, {"expected": str(number), "do": what, **fields}).status_code


def test_breads_move_and_leave_and_come_back(library: Client) -> None:
    before = breads()
    assert done(library, "down:0", 1) == 303
    assert breads()[:2] == [before[1], before[0]]
    assert done(library, "up:1", 2) == 303
    assert breads() == before
    assert done(library, "out:7", 3) == 303
    assert breads() == before[:7]
    assert done(library, "in", 4, bread="potato-rolls", state="on trial") == 303
    assert breads() == [*before[:7], ("potato-rolls", "on trial")]
    assert "# Eight breads in eight weeks" in newest("series", "harbour-lane").text


def test_a_state_and_a_note_change_in_their_own_line(library: Client) -> None:
    before = breads()
    fields = {"breads.7.state": "published", "breads.7.note": "Last evening: with milk."}
    assert done(library, "save", 1, **fields) == 303
    assert breads()[7] == ("potato-rolls", "published")
    assert "Last evening: with milk." in library.get(HERE).content.decode()
    assert breads()[:7] == before[:7]


def test_what_was_typed_is_kept_when_a_bread_is_moved(library: Client) -> None:
    assert done(library, "up:7", 1, **{"breads.7.state": "on trial"}) == 303
    assert breads()[6] == ("potato-rolls", "on trial")


@pytest.mark.parametrize(
    "what", ["up:0", "down:7", "out:99", "out:-1", "up:x", "out:", "dance", "in"]
)
def test_a_button_that_cannot_be_changes_nothing(library: Client, what: str) -> None:
    assert done(library, what, 1) == 303
    assert len(history("series", "harbour-lane")) == 1


@pytest.mark.parametrize(
    "fields", [{"breads.0.state": "eaten"}, {"name": ""}, {"bread": "potato-rolls"}]
)
def test_what_a_series_cannot_say_is_refused(library: Client, fields: dict[str, str]) -> None:
    answer = library.post(HERE, {"expected": "1", "do": "in", **fields})
    assert answer.status_code == 422
    assert b"Not saved" in answer.content
    assert len(history("series", "harbour-lane")) == 1


def test_a_new_series_takes_its_first_bread(library: Client) -> None:
    answer = library.post("/series/new", {"name": "Winter list", "start": ""})
    assert answer["Location"] == "/series/winter-list"
    posted = {"expected": "1", "do": "in", "bread": "cardamom-knots", "state": "idea"}
    assert library.post("/series/winter-list", posted).status_code == 303
    assert breads("winter-list") == [("cardamom-knots", "idea")]
    posted = {"expected": "2", "do": "out:0"}
    assert library.post("/series/winter-list", posted).status_code == 303
    assert breads("winter-list") == []
    posted = {"expected": "3", "do": "in", "bread": "potato-rolls", "state": "idea"}
    assert library.post("/series/winter-list", posted).status_code == 303
    assert breads("winter-list") == [("potato-rolls", "idea")]


def test_a_bread_that_is_not_in_the_library_is_named(library: Client) -> None:
    text = "doughwright: series/1\nname: Lost\nbreads:\n  - bread: <script>gone</script>\n"
    save(text, key=None, expected=0, message="", now=NOW)
    page = library.get("/series/lost").content.decode()
    assert "is not in the list of breads" in page
    assert "<script>gone" not in page


def test_series_are_listed_with_how_far_their_breads_are(library: Client) -> None:
    page = library.get("/series").content.decode()
    assert "4 published" in page
    assert "3 on trial" in page
    assert "1 idea" in page


def test_a_conflict_of_two_orders_shows_both(library: Client) -> None:
    done(library, "down:0", 1)
    answer = library.post(HERE, {"expected": "1", "do": "out:7"})
    assert answer.status_code == 409
    assert b"potato-rolls" in answer.content
    assert len(breads()) == 8
    assert [one.number for one in listed("series")] == [2]


def test_the_text_of_a_series_can_be_changed(library: Client) -> None:
    text = newest("series", "harbour-lane").text.replace("state: idea", "state: published")
    answer = library.post(f"{HERE}?view=text", {"expected": "1", "text": text})
    assert answer.status_code == 303
    assert breads()[7] == ("potato-rolls", "published")
