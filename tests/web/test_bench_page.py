"""At the bench: begun from a plan, marked step by step, from one phone or from several."""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone
from icalendar import Calendar

from doughwright.store.demo import fill
from doughwright.store.library import drop, newest, save
from doughwright.web import benches
from doughwright.web.bench_page import left
from doughwright.web.events import announce, known_topics, state
from doughwright.web.models import Bench, Mark

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
POCKETS = "/breads/leek-and-curd-pockets"
SCRIPT = {"HX-Request": "true"}


@pytest.fixture
def library(paired: Client) -> Client:
    """A browser that is let in, before the Harbour Lane library."""
    fill(NOW)
    return paired


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Callable[[datetime], None]:
    """Set what the time is."""

    def put(now: datetime) -> None:
        monkeypatch.setattr(timezone, "now", lambda: now)

    return put


def text(answer: Any) -> str:
    return unescape(answer.content.decode()).replace("\N{NO-BREAK SPACE}", " ")


def begun(client: Client, **asked: str) -> str:
    """The address of a new bench."""
    answer = client.post(f"{POCKETS}/bench", {"expected": "1", **asked})
    assert answer.status_code == 303
    return str(answer.headers["Location"])


def at_hand(page: str) -> str:
    """What is to be done now."""
    found = re.search(r'<section class="at-hand".*?<p class="do">(.*?)</p>', page, re.DOTALL)
    assert found is not None
    return found[1]


def row(page: str, words: str) -> str:
    """The row of a step among all steps."""
    steps = page[page.index('<ol class="bench-steps">') :].split("<li")
    return next(step for step in steps if words in step)


def at(page: str, words: str) -> str:
    found = re.search(r'<span class="margin">(.*?)</span>(?=\s*<div)', row(page, words), re.DOTALL)
    assert found is not None
    return re.sub(r"<[^>]*>", "", found[1]).replace("done at ", "")


def test_a_bench_begins_now_with_the_first_step_and_its_weights(library: Client) -> None:
    page = text(library.get(begun(library)))
    assert at_hand(page) == "Mix the sponge by hand."
    assert "3 min left" in page
    assert "strong white flour" in page.split("All steps")[0]
    assert "Next, about" in page
    assert re.search(r"Ready about \d\d:\d\d \(", page) or "Ready about " in page


def test_marking_goes_on_to_the_next_step(library: Client) -> None:
    bench = begun(library)
    answer = library.post(f"{bench}/steps/0", {"done": "yes"})
    assert answer.status_code == 303
    assert answer.headers["Location"] == bench
    assert at_hand(text(library.get(bench))) == "Let the sponge rise at 21 °C."
    library.post(f"{bench}/steps/0", {"done": "no"})
    assert at_hand(text(library.get(bench))) == "Mix the sponge by hand."


def test_for_script_the_steps_alone_come_back(library: Client) -> None:
    bench = begun(library)
    page = text(library.post(f"{bench}/steps/0", {"done": "yes"}, headers=SCRIPT))
    assert page.lstrip().startswith('<div id="bench"')
    assert at_hand(page) == "Let the sponge rise at 21 °C."
    assert f'data-state="{benches.bench_state(bench.rsplit("/", 1)[1])}"' in page


def test_what_follows_moves_with_the_real_end(
    library: Client, clock: Callable[[datetime], None]
) -> None:
    clock(NOW)
    bench = begun(library)
    planned = text(library.get(bench))
    clock(NOW + timedelta(minutes=20))
    library.post(f"{bench}/steps/0", {"done": "yes"})
    moved = text(library.get(bench))
    minutes = [
        60 * int(at(page, "Divide the dough")[:2]) + int(at(page, "Divide the dough")[3:5])
        for page in (planned, moved)
    ]
    assert minutes[1] - minutes[0] == 17  # three minutes were planned, it took twenty


def test_a_plan_for_later_waits_and_may_be_begun_at_once(
    library: Client, clock: Callable[[datetime], None]
) -> None:
    clock(NOW)
    bench = begun(library, start="2026-11-26 20:00")
    page = text(library.get(bench))
    assert "begins at Thu 20:00" in page
    assert Bench.objects.get().begun == datetime(2026, 11, 26, 20).astimezone(UTC)
    library.post(f"{bench}/begin-now")
    assert Bench.objects.get().begun == NOW
    assert "3 min left" in text(library.get(bench))


def test_a_plan_that_is_long_over_begins_now(
    library: Client, clock: Callable[[datetime], None]
) -> None:
    clock(NOW)
    begun(library, start="2025-01-01 20:00")
    assert Bench.objects.get().begun == NOW


def test_what_has_begun_is_not_begun_again(
    library: Client, clock: Callable[[datetime], None]
) -> None:
    clock(NOW)
    bench = begun(library)
    clock(NOW + timedelta(hours=1))
    library.post(f"{bench}/begin-now")
    assert Bench.objects.get().begun == NOW


def test_a_tap_that_waited_for_the_network_counts_from_when_it_was_made(
    library: Client, clock: Callable[[datetime], None]
) -> None:
    clock(NOW)
    bench = begun(library)
    clock(NOW + timedelta(minutes=20))
    library.post(f"{bench}/steps/0", {"done": "yes", "ago": "900000"})
    assert Mark.objects.get().done == NOW + timedelta(minutes=5)


@pytest.mark.parametrize("ago", ["", "-1", "soon", "٣", "9" * 40])
def test_what_is_no_time_ago_is_now(
    library: Client, clock: Callable[[datetime], None], ago: str
) -> None:
    clock(NOW)
    library.post(f"{begun(library)}/steps/0", {"done": "yes", "ago": ago})
    assert Mark.objects.get().done == NOW


def test_a_step_that_was_passed_over_has_no_time(
    library: Client, clock: Callable[[datetime], None]
) -> None:
    clock(NOW)
    bench = begun(library)
    library.post(f"{bench}/steps/1", {"done": "yes"})
    page = text(library.get(bench))
    assert "not marked" in row(page, "Mix the sponge by hand.")
    assert at(page, "Mix the sponge by hand.") == ""
    assert at(page, "Let the sponge rise at 21 °C.")


def test_it_says_how_long_it_is_over(library: Client, clock: Callable[[datetime], None]) -> None:
    clock(NOW)
    bench = begun(library)
    clock(NOW + timedelta(minutes=30))
    assert "27 min over" in text(library.get(bench))


def test_how_long_is_left_in_words() -> None:
    cases = {0: "now", 59: "now", 60: "1 min left", 61: "2 min left", 5400: "1 h 30 min left"}
    cases |= {-60: "1 min over", -119: "1 min over", -7200: "2 h over"}
    found = {s: left(NOW + timedelta(seconds=s), NOW) for s in cases}
    assert found == cases
    assert left(None, NOW) == ""


def test_a_bench_keeps_its_revision_when_another_is_saved(library: Client) -> None:
    bench = begun(library)
    before = text(library.get(bench))
    stored = newest("formula", "leek-and-curd-pockets")
    changed = stored.text.replace("strong white flour: 30 %", "strong white flour: 31 %")
    changed = changed.replace("Leek and curd pockets", "Pockets of another kind")
    assert changed != stored.text
    save(changed, key=stored.key, expected=stored.number, message="", now=NOW)
    after = text(library.get(bench))
    assert "Pockets of another kind" not in after
    assert at_hand(after) == at_hand(before)


def test_a_bench_goes_on_when_its_bread_or_kitchen_is_put_away_or_changed(library: Client) -> None:
    bench = begun(library, kitchen="home-in-the-hills")
    kitchen = newest("kitchen", "home-in-the-hills")
    colder = re.sub(r"(?m)^room: .*$", "room: 12 °C", kitchen.text)
    save(colder, key=kitchen.key, expected=kitchen.number, message="", now=NOW)
    drop("kitchen", kitchen.key, expected=kitchen.number + 1, now=NOW)
    drop("formula", "leek-and-curd-pockets", expected=1, now=NOW)
    library.post(f"{bench}/steps/0")
    assert at_hand(text(library.get(bench))) == "Let the sponge rise at 28 °C."


def test_the_plan_the_page_showed_is_begun_though_a_newer_was_saved(library: Client) -> None:
    stored = newest("formula", "leek-and-curd-pockets")
    save(stored.text + "\n# later\n", key=stored.key, expected=1, message="", now=NOW)
    begun(library)
    assert Bench.objects.get().number == 1


def test_a_finished_bench_keeps_its_marks(library: Client) -> None:
    bench = begun(library)
    library.post(f"{bench}/steps/0")
    library.post(f"{bench}/finish")
    page = text(library.get(bench))
    assert "This bench was finished on" in page
    library.post(f"{bench}/steps/1")
    library.post(f"{bench}/steps/0", {"done": "no"})
    assert list(Mark.objects.values_list("position", flat=True)) == [0]
    library.post(f"{bench}/go-on")
    assert at_hand(text(library.get(bench))) == "Let the sponge rise at 21 °C."


def test_when_all_is_done_it_says_so(library: Client) -> None:
    bench = begun(library)
    library.post(f"{bench}/steps/13")  # the last one: those before are passed
    page = text(library.get(bench))
    assert "All steps are done" in page
    assert "not marked" in row(page, "Divide the dough")


def test_a_running_bench_is_offered_on_the_plan(library: Client) -> None:
    bench = begun(library)
    assert f'<a href="{bench}">go on there</a>' in text(library.get(f"{POCKETS}/plan"))
    library.post(f"{bench}/finish")
    assert "go on there" not in text(library.get(f"{POCKETS}/plan"))


@pytest.mark.parametrize(
    ("method", "end"),
    [
        ("get", ""),
        ("get", ".ics"),
        ("post", "/steps/0"),
        ("post", "/finish"),
        ("post", "/go-on"),
        ("post", "/begin-now"),
    ],
)
def test_there_is_no_bench_by_another_key(method: str, end: str, library: Client) -> None:
    begun(library)
    for key in ("0123456789abcdef", "%27%20OR%201%3D1", "..%2F..%2Fx"):
        assert getattr(library, method)(f"/bench/{key}{end}").status_code == 404


def test_running_benches_stand_over_the_list_of_breads(
    library: Client, clock: Callable[[datetime], None]
) -> None:
    clock(NOW)
    begun(library, start="2026-11-26 20:00")
    drop("formula", "leek-and-curd-pockets", expected=1, now=NOW)
    other = library.post("/breads/potato-rolls/bench", {"expected": "1"}).headers["Location"]
    clock(NOW + timedelta(hours=1))
    page = text(library.get("/breads"))
    said = re.findall(r'<p class="running">(.*?)</p>', page.split("<search>")[0])
    here = NOW.astimezone()
    assert [re.sub("<[^>]*>", "", one) for one in said] == [
        "At the bench: Leek and curd pockets, from Thu 20:00.",
        f"At the bench: Potato rolls, since {here:%H:%M}.",
    ]
    assert f'href="{other}"' in said[1]
    library.post(f"{other}/finish")
    assert "At the bench: Potato rolls" not in text(library.get("/breads"))


def test_there_is_no_mark_for_a_step_there_is_not(library: Client) -> None:
    bench = begun(library)
    assert library.post(f"{bench}/steps/15").status_code == 404
    assert library.post(f"{bench}/steps/99999999999999999999").status_code == 404
    assert library.post(f"{bench}/steps/-1").status_code == 404
    assert Mark.objects.count() == 0


def test_a_look_changes_nothing(library: Client) -> None:
    bench = begun(library)
    for end in ("/steps/0", "/finish", "/begin-now", "/go-on"):
        assert library.get(f"{bench}{end}").status_code == 405
    assert library.get(f"{POCKETS}/bench").status_code == 405
    assert (Mark.objects.count(), Bench.objects.filter(ended=None).count()) == (0, 1)


def test_a_foreign_page_marks_nothing(library: Client) -> None:
    bench = begun(library)
    answer = library.post(f"{bench}/steps/0", headers={"Origin": "https://elsewhere.example"})
    assert answer.status_code == 403
    strict = Client(enforce_csrf_checks=True)
    strict.cookies = library.cookies
    assert strict.post(f"{bench}/steps/0").status_code == 403
    assert Mark.objects.count() == 0


def test_what_cannot_be_planned_is_no_bench(library: Client) -> None:
    answer = library.post(f"{POCKETS}/bench", {"room": "hot"})
    assert answer.status_code == 422
    assert "“hot” is not understood here" in text(answer)
    assert library.post(f"{POCKETS}/bench", {"expected": "7"}).status_code == 404
    assert Bench.objects.count() == 0


def test_the_calendar_of_a_bench_holds_what_is_still_to_come(
    library: Client, clock: Callable[[datetime], None]
) -> None:
    clock(NOW)
    bench = begun(library)

    def taken() -> dict[str, Any]:
        content = library.get(f"{bench}.ics").content
        return {str(e["UID"]): e for e in Calendar.from_ical(content).walk("VEVENT")}

    first = taken()
    clock(NOW + timedelta(minutes=20))
    library.post(f"{bench}/steps/0")
    then = taken()
    assert len(then) == len(first) - 1
    assert set(then) < set(first)
    for uid, event in then.items():
        assert event["SEQUENCE"] > first[uid]["SEQUENCE"]
        assert event["DTSTART"].dt - first[uid]["DTSTART"].dt == timedelta(minutes=17)


def test_of_two_marks_the_first_counts(library: Client) -> None:
    key = begun(library).rsplit("/", 1)[1]
    benches.mark(key, 0, NOW)
    benches.mark(key, 0, NOW + timedelta(minutes=5))
    assert benches.at_bench(key).done == {0: NOW}


def test_the_state_is_another_one_after_every_change(library: Client) -> None:
    key = begun(library).rsplit("/", 1)[1]
    states = [benches.bench_state(key)]
    for change in (
        lambda: benches.mark(key, 0, NOW),
        lambda: benches.mark(key, 1, NOW),
        lambda: benches.unmark(key, 0),
        lambda: benches.mark(key, 2, NOW),
        lambda: benches.unmark(key, 1),
        lambda: benches.finish(key, NOW),
    ):
        change()
        states.append(benches.bench_state(key))
    assert len(set(states)) == len(states)
    benches.mark(key, 3, NOW)
    assert benches.bench_state(key) == states[-1]


def test_topics_are_of_breads_and_benches(library: Client) -> None:
    assert known_topics(["bread:x", "bread:x", "secret:y", "bench:z", ""]) == ("bread:x", "bench:z")
    assert len(known_topics([f"bread:{i}" for i in range(100)])) == 8
    assert state("bread:leek-and-curd-pockets") == "1"
    assert state("bread:' OR 1=1 --") == ""
    assert state("bench:nowhere") == ""
    assert library.get("/events").status_code == 404
    announce("bread:nobody-listens")


def test_who_is_not_let_in_sees_no_bench(library: Client) -> None:
    bench = begun(library)
    stranger = Client()
    assert stranger.get(bench).status_code == 401
    assert stranger.post(f"{bench}/steps/0").status_code == 401
    assert stranger.get("/events?topic=bread:leek-and-curd-pockets").status_code == 401
    assert Mark.objects.count() == 0


def test_a_bread_page_knows_its_topic(library: Client) -> None:
    page = text(library.get(f"{POCKETS}/plan"))
    assert 'data-topic="bread:leek-and-curd-pockets" data-state="1"' in page
