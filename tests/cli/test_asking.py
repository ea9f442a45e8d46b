"""What the commands ask of the baker: clock times, amounts, kitchens."""

from datetime import datetime, timedelta
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from doughwright.cli import doughwright
from doughwright.cli.asking import ClockOption, kitchen_in, wish_from
from doughwright.documents.clock import STARTED_AGO, clock_time
from doughwright.errors import DocumentError

FRIDAY = datetime(2026, 3, 6, 18, 5, 30)  # noqa: DTZ001 - the kitchen's own clock

EGGY = """\
doughwright: formula/1
name: Eggy
place: LV
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 65 %, salt: 2 %, egg: 2 large}
"""


def run(*words: str, given: str | None = None) -> Result:
    return CliRunner().invoke(doughwright, list(words), input=given)


@pytest.mark.parametrize(
    ("text", "ready", "start"),
    [
        ("18:06", "06 18:06", "06 18:06"),
        ("23:00", "06 23:00", "06 23:00"),
        ("18:05", "07 18:05", "06 18:05"),  # half a minute past
        ("17:06", "07 17:06", "06 17:06"),
        ("17:05", "07 17:05", "07 17:05"),  # an hour and half a minute past
        ("07:00", "07 07:00", "07 07:00"),
        ("2026-03-01 09:00", "01 09:00", "01 09:00"),  # a day is a day
    ],
)
def test_a_time_without_a_day(text: str, ready: str, start: str) -> None:
    for ago, wanted in ((timedelta(), ready), (STARTED_AGO, start)):
        found = clock_time(text, FRIDAY, ago)
        assert found is not None
        assert f"{found:%d %H:%M}" == wanted


def test_now_is_not_in_the_future() -> None:
    exactly = FRIDAY.replace(second=0)
    assert clock_time("18:05", exactly, timedelta()) == exactly + timedelta(days=1)
    assert clock_time("17:05", exactly, STARTED_AGO) == exactly - timedelta(hours=1)
    assert clock_time("5 past 6", exactly, timedelta()) is None


def test_a_start_just_before_midnight() -> None:
    just_past = datetime(2026, 3, 7, 0, 10)  # noqa: DTZ001 - the kitchen's own clock
    assert clock_time("23:40", just_past, STARTED_AGO) == datetime(2026, 3, 6, 23, 40)  # noqa: DTZ001 - as above
    assert clock_time("23:40", just_past, timedelta()) == datetime(2026, 3, 7, 23, 40)  # noqa: DTZ001 - as above


def test_ready_is_always_to_come_and_a_start_may_be_just_past() -> None:
    now = datetime.now()  # noqa: DTZ005 - the kitchen's own clock
    past = now - timedelta(minutes=30)
    read = {
        name: ClockOption().convert(f"{past:%H:%M}", click.Option([f"--{name}"]), None)
        for name in ("ready", "start")
    }
    assert read["ready"] > now
    assert read["start"] == past.replace(second=0, microsecond=0)


@pytest.mark.parametrize("amount", ["0 g", "0 large", "0 ml"])
def test_nothing_on_hand_makes_nothing(amount: str) -> None:
    with pytest.raises(click.UsageError, match="more than zero"):
        wish_from(None, None, None, None, f"egg={amount}")


def test_a_formula_with_one_line_in_weight_is_shown_on_1_kg_of_flour() -> None:
    for command in ("check", "formula"):
        assert run(command, "-", given=EGGY).exit_code == 0
    assert "1000 g flour" in run("formula", "-", given=EGGY).output
    refused = run("plan", "-", given=EGGY)
    assert refused.exit_code == 1
    assert "No flour is given in weight" in refused.stderr
    assert "percentages" not in refused.stderr


def test_a_kitchen_that_cannot_be_is_refused_at_its_line(tmp_path: Path) -> None:
    file = tmp_path / "hot.yaml"
    file.write_text("doughwright: kitchen/1\nname: Hot\nroom: 70 °C\n", encoding="utf-8")
    with pytest.raises(DocumentError) as caught:
        kitchen_in(str(file))
    (found,) = caught.value.problems
    assert found.code == "not-in-a-kitchen"
    assert found.place is not None
    assert found.place.line == 3


def test_a_name_that_is_not_known_is_pointed_at_not_its_amount(tmp_path: Path) -> None:
    file = tmp_path / "buns.yaml"
    file.write_text(EGGY.replace("strong white flour", "strong wite flour"), "utf-8")
    refused = CliRunner().invoke(doughwright, ["plan", str(file)])
    assert refused.exit_code == 1
    shown, carets = refused.stderr.splitlines()[1:3]
    start = carets.index("^")
    assert shown[start : start + carets.count("^")] == "strong wite flour"
