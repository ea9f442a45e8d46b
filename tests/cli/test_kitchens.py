"""Several kitchens in one table: what may be asked, what is refused, how it fits the screen."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from doughwright.cli import doughwright

EXAMPLES = Path(__file__).parents[2] / "examples"
POCKETS = str(EXAMPLES / "leek-and-curd-pockets.yaml")
HEARTH = str(EXAMPLES / "rye-and-wheat-hearth-loaf.yaml")
TIN = str(EXAMPLES / "cold-retarded-tin-loaf.yaml")
HARBOUR_LANE = str(EXAMPLES / "harbour-lane.kitchen.yaml")
HILLS = str(EXAMPLES / "home-in-the-hills.kitchen.yaml")
ROOMS = ("--room", "18°C,22°C,27°C")


def run(*words: str) -> Result:
    return CliRunner().invoke(doughwright, list(words))


def sheet(*words: str) -> Any:
    result = run("plan", *words, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_each_room_has_the_times_of_its_own_plan() -> None:
    together = sheet(POCKETS, *ROOMS, "--start", "2026-03-01 09:00")
    for i, room in enumerate(("18°C", "22°C", "27°C")):
        alone = sheet(POCKETS, "--room", room, "--start", "2026-03-01 09:00")
        lasts = {row["position"]: row["lasts"] for row in alone["timeline"]["rows"]}
        assert [wait["times"][i] for wait in together["waits"]] == [
            lasts[wait["position"]] for wait in together["waits"]
        ]
        assert together["endings"][i]["ready"] == alone["timeline"]["ready"]
        dough = next(p for p in alone["preparations"] if p["name"] == "dough")
        mixed = next(m for m in together["mixes"] if m["preparation"] == "dough")
        assert mixed["mixes"][i]["levers"] == dough["mix"]["levers"]


def test_a_warmer_room_proofs_sooner() -> None:
    waits = sheet(POCKETS, *ROOMS)["waits"]
    proof = next(wait for wait in waits if wait["label"] == "proof dough")
    times = [cell["value"] for cell in proof["times"]]
    assert times == sorted(times, reverse=True)
    assert {cell["kind"] for cell in proof["times"]} == {"anchored"}


def test_the_table_says_times_kinds_temperatures_levers_and_when() -> None:
    result = run("plan", POCKETS, *ROOMS, "--start", "09:00")
    assert result.exit_code == 0, result.output
    for said in ("room 27 °C", "tested time, moved", "mix dough", "strong white flour", "ready"):
        assert said in result.output


def test_a_ready_time_gives_each_kitchen_its_start() -> None:
    wish = (HEARTH, "--kitchen", HARBOUR_LANE, "--kitchen", HILLS, "--ready", "2026-03-01 09:00")
    harbour, hills = sheet(*wish)["endings"]
    # the hills are 7 °C warmer, so their poolish may be set later
    assert harbour["starts"] < hills["starts"] < "2026-03-01T09:00:00"
    shown = run("plan", *wish).output
    assert "Harbour Lane" in shown
    assert "if slow)" in shown


def test_lists_are_crossed_and_wrapped_within_80_columns() -> None:
    result = run(
        "plan", HEARTH, *ROOMS, "--where", "fridge=4°C,8°C", "--where", "altitude=5 m,2 km"
    )
    assert result.exit_code == 2
    wish = ("plan", HEARTH, *ROOMS, "--where", "fridge=4°C,8°C", "--where", "altitude=5 m, 2000 m")
    result = run(*wish)
    assert result.exit_code == 0, result.output
    assert "12 kitchens" in result.output
    assert result.output.count("ferment poolish") >= 4
    assert max(map(len, result.output.splitlines())) <= 80


def test_one_value_of_a_field_changes_the_single_plan() -> None:
    kitchen = sheet(TIN, "--where", "flour=12°C", "--where", "fridge=8°C")["kitchen"]
    assert (kitchen["flour"]["value"], kitchen["flour"]["kind"]) == (285.15, "stated")
    assert kitchen["fridge"]["value"] == 281.15


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        ((*ROOMS, "--html", "plan.html"), "one kitchen"),
        ((*ROOMS, "--where", "fridge=4°C,5°C,6°C,7°C,8°C"), "15 kitchens"),
        (("--room", "18,22°C"), "“18”"),
        (("--room", "18°C,"), "“”"),
        (("--where", "frige=4°C"), "Did you mean “fridge”?"),
        (("--where", "fridge"), "FIELD=VALUES"),
        (("--where", "altitude=4°C"), "4 in, 12 m"),
        (("--where", "room=4°C", "--room", "20°C"), "given twice"),
    ],
)
def test_what_cannot_be_compared_is_refused_with_the_reason(
    words: tuple[str, ...], reason: str
) -> None:
    result = run("plan", POCKETS, *words)
    assert result.exit_code == 2, result.output
    assert reason in result.stderr
    assert result.stdout == ""
