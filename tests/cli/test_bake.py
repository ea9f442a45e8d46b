"""How long it bakes, as a baker asks for it."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from doughwright.cli import doughwright

EXAMPLES = Path(__file__).parents[2] / "examples"
POCKETS = str(EXAMPLES / "leek-and-curd-pockets.yaml")
HARBOUR_LANE = str(EXAMPLES / "harbour-lane.kitchen.yaml")


def run(*words: str, given: str | None = None) -> Result:
    return CliRunner().invoke(doughwright, ["bake", *words], input=given)


def answer(*words: str) -> Any:
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_a_row_for_every_size_and_oven_after_the_formulas_own() -> None:
    ovens = ("--oven", "180 °C conventional", "--oven", "gas mark 4")
    rows = answer(POCKETS, "--kitchen", HARBOUR_LANE, "--pieces", "6,10", *ovens)["rows"]
    asked = [(row["pieces"], row["oven"]["kind"], row["oven"]["mark"]) for row in rows]
    assert asked == [
        (8, "fan", ""),
        (6, "conventional", ""),
        (10, "conventional", ""),
        (6, "gas", "4"),
        (10, "gas", "4"),
    ]
    assert all(row["lasts"]["low"] < row["lasts"]["value"] < row["lasts"]["high"] for row in rows)
    assert rows[2]["lasts"]["value"] < rows[1]["lasts"]["value"]


def test_the_formulas_own_size_is_not_shown_twice() -> None:
    rows = answer(POCKETS, "--pieces", "6,8,10")["rows"]
    assert [row["pieces"] for row in rows] == [8, 6, 10]


def test_altitudes_are_kitchens_of_their_own() -> None:
    rows = answer(POCKETS, "--altitude", "0m,2500m")["rows"]
    assert [round(row["altitude"]["value"]) for row in rows] == [0, 0, 2500]
    high = {notice["code"] for notice in rows[2]["notices"]}
    assert "core-moved" in high


def test_a_plan_tells_the_same_bake() -> None:
    plan = json.loads(
        CliRunner()
        .invoke(doughwright, ["plan", POCKETS, "--kitchen", HARBOUR_LANE, "--json"])
        .stdout
    )
    sheet = answer(POCKETS, "--kitchen", HARBOUR_LANE)
    assert plan["bake"]["rows"][0]["lasts"] == sheet["rows"][0]["lasts"]
    step = next(row for row in plan["timeline"]["rows"] if row["verb"] == "bake")
    assert step["lasts"] == {**sheet["rows"][0]["lasts"], "model": step["lasts"]["model"]}
    assert step["oven"] == sheet["rows"][0]["oven"]


def test_the_text_names_the_last_sign_the_probe_and_the_weights() -> None:
    text = run(POCKETS, "--kitchen", HARBOUR_LANE, "--baked", "130 g").output
    for words in (
        "last sign",
        "Put the probe under the filling",
        "scale",
        "Out comes",
        "8 × 105 g",
    ):
        assert words in text
    assert max(map(len, text.splitlines())) <= 80


def test_the_page_stands_by_itself(tmp_path: Path) -> None:
    target = tmp_path / "bake.html"
    assert run(POCKETS, "--pieces", "6,8", "--html", str(target)).exit_code == 0
    page = target.read_text("utf-8")
    assert page.startswith(("<!doctype html>", "<!DOCTYPE html>"))
    assert "<script" not in page
    assert "6 × 140" in page.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--oven", "0 °C fan"), "no oven for bread"),
        (("--oven", "180"), "kind of oven"),
        (("--oven", "gas mark 12"), "kind of oven"),
        (("--pieces", "0"), "whole numbers from 1"),
        (("--pieces", "6;8"), "whole numbers from 1"),
        (("--baked", "0 g"), "more than zero"),
        (("--altitude", "minus 5 m"), "not understood"),
        (
            ("--pieces", ",".join("123456789"), "--oven", "180 °C fan", "--oven", "170 °C fan"),
            "18 bakes",
        ),
    ],
)
def test_a_wish_that_makes_no_sense_is_answered_with_what_is_allowed(
    words: tuple[str, ...], said: str
) -> None:
    result = run(POCKETS, *words)
    assert result.exit_code == 2
    assert said in result.output


def test_a_formula_that_bakes_nothing_says_so() -> None:
    text = Path(POCKETS).read_text("utf-8").replace("    oven: 165 °C fan\n", "")
    result = run("-", given=text)
    assert result.exit_code == 2
    assert "bakes nothing" in result.output


def test_a_height_nobody_bakes_at_is_refused() -> None:
    result = run(POCKETS, "--altitude", "20000 m")
    assert result.exit_code == 1
    assert "altitude" in result.stderr
