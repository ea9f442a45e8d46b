"""The plan as a calendar: read back by an iCalendar reader, and line by line (RFC 5545)."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.render.calendar import HANDS_AHEAD, plan_calendar
from doughwright.resolving.formulas import ResolvedFormula, Wish, resolved_formula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.sheets.bench_plan import BenchPlan, bench_plan

EXAMPLES = Path(__file__).parents[2] / "examples"
SIX = datetime(2026, 3, 1, 18, 0, tzinfo=UTC)
STAMP = datetime(2026, 2, 28, 9, 0, tzinfo=UTC)


@cache
def plan(name: str) -> BenchPlan:
    document = read_document((EXAMPLES / f"{name}.yaml").read_text("utf-8")).document
    assert isinstance(document, FormulaDocument)
    formula = resolved_formula(document, Wish())
    return bench_plan(formula, kitchen_from(None), formula)


def times(made: BenchPlan) -> dict[int, tuple[datetime, datetime]]:
    return {
        row.position: (SIX + timedelta(seconds=row.begins), SIX + timedelta(seconds=row.ends))
        for row in made.timeline.rows
    }


def written(made: BenchPlan, **more: Any) -> bytes:
    return plan_calendar(made, times(made), **{"uid": "test", "stamp": STAMP, **more})


def events(content: bytes) -> list[Any]:
    return list(Calendar.from_ical(content).walk("VEVENT"))


def alarms(event: Any) -> list[tuple[str, timedelta]]:
    """Each alarm of an event: counted from which of its ends, and how long after."""
    found = (alarm["TRIGGER"] for alarm in event.walk("VALARM"))
    return [(trigger.params["RELATED"], trigger.dt) for trigger in found]


@pytest.mark.parametrize("name", ["leek-and-curd-pockets", "rye-and-wheat-hearth-loaf"])
def test_each_step_is_one_entry_at_its_instant(name: str) -> None:
    made = plan(name)
    found = {event["UID"]: event for event in events(written(made))}
    assert len(found) == len(made.timeline.rows)
    for row in made.timeline.rows:
        event = found[f"test-{row.position}@doughwright"]
        assert event["DTSTART"].dt == (SIX + timedelta(seconds=row.begins)).replace(microsecond=0)
        assert event["DTSTART"].dt.tzinfo is not None
        assert b"TZID" not in event.to_ical()
        assert event["DTSTAMP"].dt == STAMP


def test_a_wait_rings_at_its_end_and_hands_are_called_beforehand() -> None:
    made = plan("leek-and-curd-pockets")
    found = {event["UID"]: event for event in events(written(made))}
    ringing = {
        row.position: alarms(found[f"test-{row.position}@doughwright"])
        for row in made.timeline.rows
    }
    verbs = {row.position: row.verb for row in made.timeline.rows}
    rise = next(p for p, verb in verbs.items() if verb == "ferment")
    divide = next(p for p, verb in verbs.items() if verb == "divide")
    shape = next(p for p, verb in verbs.items() if verb == "pre-shape")
    preheat = next(p for p, verb in verbs.items() if verb == "preheat")
    assert ringing[rise] == [("END", timedelta())]
    assert ringing[divide] == [("START", -HANDS_AHEAD)]
    assert ringing[shape] == []  # hands are in the dough already
    assert ("START", -HANDS_AHEAD) in ringing[preheat]


def test_the_range_and_the_cue_stand_in_the_entry() -> None:
    event = next(
        e for e in events(written(plan("leek-and-curd-pockets"))) if "sponge rise" in e["SUMMARY"]
    )
    assert (
        "min (tested time, moved here), until domed and full of small holes" in event["DESCRIPTION"]
    )
    assert (
        "Leek and curd pockets. An ordinary kitchen: room 21 °C (assumed)" in event["DESCRIPTION"]
    )
    assert "than the model was checked with" not in event["DESCRIPTION"]


def test_lines_are_folded_at_75_octets_and_end_as_they_must() -> None:
    content = written(plan("leek-and-curd-pockets"))
    lines = content.split(b"\r\n")
    assert lines[-1] == b""
    assert max(len(line) for line in lines) <= 75
    assert b"\n" not in content.replace(b"\r\n", b"")
    for line in lines:
        line.decode("utf-8")  # no letter is cut in two
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert {b"VERSION:2.0", b"CALSCALE:GREGORIAN"} <= set(lines)


def test_the_same_plan_has_the_same_entries_and_a_moved_one_is_newer() -> None:
    made = plan("leek-and-curd-pockets")
    assert written(made) == written(made)
    later = written(made, stamp=STAMP + timedelta(seconds=1))
    assert [e["UID"] for e in events(later)] == [e["UID"] for e in events(written(made))]
    first, second = ({e["SEQUENCE"] for e in events(each)} for each in (written(made), later))
    assert max(first) < min(second)


HOSTILE = """
    yield: {{pieces: 2, piece: 100 g}}
    preparations:
      dough: {{kind: dough, ingredients: {{strong white flour: 100 %, water: 60 %, salt: 2 %}}}}
    process:
      - mix: dough
        for: 0 min
        note: "{note}"
      - rest: dough
"""


@pytest.mark.parametrize(
    "note",
    [
        r"END:VEVENT\r\nEND:VCALENDAR\r\nBEGIN:VCALENDAR",
        r"a\rBEGIN:VALARM\u2028x\x85y",
        r"; , : \" \\ \\n ü 🥖" * 20,
    ],
)
def test_a_note_stays_a_note(note: str, solve: Callable[..., ResolvedFormula]) -> None:
    formula = solve(HOSTILE.format(note=note))
    made = bench_plan(formula, kitchen_from(None), formula)
    content = written(made)
    assert content.count(b"BEGIN:VCALENDAR\r\n") == 1
    first, *rest = events(content)
    assert len(rest) == len(made.timeline.rows) - 1
    said = made.timeline.rows[0].note
    kept = "".join(sign for sign in said if sign.isprintable() and not sign.isspace())
    found = "".join(str(first["DESCRIPTION"]).split())
    assert kept in found


def test_an_entry_that_takes_no_time_has_no_end(solve: Callable[..., ResolvedFormula]) -> None:
    formula = solve(HOSTILE.format(note="no time"))
    made = bench_plan(formula, kitchen_from(None), formula)
    assert made.timeline.rows[0].begins == made.timeline.rows[0].ends
    first, *_ = events(written(made))
    assert "DTEND" not in first


def test_what_has_no_time_any_more_is_left_out() -> None:
    made = plan("leek-and-curd-pockets")
    left = {p: t for p, t in times(made).items() if p > 8}
    content = plan_calendar(made, left, uid="test", stamp=STAMP)
    assert len(events(content)) == len(left)


def test_a_step_after_one_of_unknown_length_says_so(solve: Callable[..., ResolvedFormula]) -> None:
    formula = solve(
        """
        yield: {pieces: 2, piece: 100 g}
        preparations:
          dough: {kind: dough, ingredients: {strong white flour: 100 %, water: 60 %, salt: 2 %}}
        process:
          - mix: dough
          - ferment: dough
          - divide: dough
        """
    )
    made = bench_plan(formula, kitchen_from(None), formula)
    assert [row.unsure for row in made.timeline.rows] == ["", "", "not before"]
    *_, last = events(written(made))
    assert last["DESCRIPTION"].startswith("Not before this time")
