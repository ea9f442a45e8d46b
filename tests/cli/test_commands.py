"""The command line as a baker uses it: results on stdout, reasons on stderr, exit codes."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from doughwright.cli import doughwright

EXAMPLES = Path(__file__).parents[2] / "examples"
POCKETS = str(EXAMPLES / "leek-and-curd-pockets.yaml")
HARBOUR_LANE = str(EXAMPLES / "harbour-lane.kitchen.yaml")
BREADS = sorted(p for p in EXAMPLES.glob("*.yaml") if "." not in p.stem)

PLAIN = """\
doughwright: formula/1
name: Plain
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 65 %, salt: 2 %, instant yeast: 1 %}
"""


def run(*words: str, given: str | None = None) -> Result:
    return CliRunner().invoke(doughwright, list(words), input=given)


def test_eight_breads_are_shipped() -> None:
    assert len(BREADS) == 8


@pytest.mark.parametrize("bread", BREADS, ids=lambda p: p.stem)
def test_every_demo_bread_is_planned_within_80_columns(bread: Path) -> None:
    result = run("plan", str(bread), "--kitchen", HARBOUR_LANE, "--start", "09:00")
    assert result.exit_code == 0, result.output
    assert max(map(len, result.output.splitlines())) <= 80
    assert "What to weigh" in result.output


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.yaml")), ids=lambda p: p.stem)
def test_every_demo_document_passes_check(path: Path) -> None:
    assert run("check", str(path)).exit_code == 0


def test_a_shelf_that_cannot_be_is_refused_with_its_line(tmp_path: Path) -> None:
    shelf = tmp_path / "ours.yaml"
    shelf.write_text(
        "doughwright: shelf/1\nname: Ours\ningredients:\n  curd: {water: 80 %, fat: 40 %}\n"
    )
    result = run("check", str(shelf))
    assert result.exit_code == 1
    assert "ours.yaml:4" in result.stderr
    assert "120.0 %" in result.stderr


@pytest.mark.parametrize("kind", ["series", "shelf"])
def test_a_series_or_a_shelf_is_no_bread_and_no_kitchen(kind: str) -> None:
    other = str(EXAMPLES / f"harbour-lane.{kind}.yaml")
    for words in (("plan", other), ("plan", POCKETS, "--kitchen", other)):
        result = run(*words)
        assert result.exit_code == 1
        assert f"{kind}/1" in result.stderr


def test_json_alone_is_on_stdout_and_holds_the_same_weights() -> None:
    result = run("plan", POCKETS, "--json")
    plan = json.loads(result.stdout)
    dough = next(p for p in plan["preparations"] if p["name"] == "dough")
    shown = sum(line["weight"]["value"] for line in dough["lines"])
    assert shown == pytest.approx(dough["weight"]["value"])
    assert result.stderr == ""


def test_pieces_scale_dough_and_filling() -> None:
    eight = json.loads(run("plan", POCKETS, "--json").stdout)
    twelve = json.loads(run("plan", POCKETS, "--pieces", "12", "--json").stdout)
    assert twelve["dough"]["value"] == pytest.approx(1.5 * eight["dough"]["value"])
    filling = [p["weight"]["value"] for p in twelve["preparations"] if p["name"] == "filling"]
    assert filling == [pytest.approx(12 * 0.040, abs=0.0006)]


def test_an_ingredient_on_hand_sets_the_size() -> None:
    plan = json.loads(run("plan", POCKETS, "--with", "egg=3 large", "--json").stdout)
    eggs = [
        line["wanted"]["value"]
        for p in plan["preparations"]
        for line in p["lines"]
        if line["name"] == "egg"
    ]
    # EU large: 60 g without the shell (88 % of 68 g, mid-class); dough and egg wash share them
    assert sum(eggs) == pytest.approx(0.180, abs=0.004)


def test_a_warmer_room_asks_for_colder_water() -> None:
    def water(room: str) -> float:
        wish = ("plan", "-", "--flour", "1 kg", "--room", room, "--json")
        plan = json.loads(run(*wish, given=PLAIN).stdout)
        lines = plan["preparations"][0]["lines"]
        return next(x["temperature"]["value"] for x in lines if x["name"] == "water")

    assert water("27°C") < water("18°C")


def test_ready_time_works_backwards() -> None:
    plan = json.loads(run("plan", POCKETS, "--ready", "2026-03-01 18:00", "--json").stdout)[
        "timeline"
    ]
    assert plan["ready"] == "2026-03-01T18:00:00"
    assert plan["rows"][0]["clock_begins"] == plan["starts"]
    assert plan["start_to_be_sure"] < plan["starts"]


def test_html_page_is_written_where_it_says(tmp_path: Path) -> None:
    page = tmp_path / "plan.html"
    result = run("plan", POCKETS, "--html", str(page))
    assert result.exit_code == 0
    assert str(page) in result.output
    assert page.read_text(encoding="utf-8").lstrip().lower().startswith("<!doctype html>")


def test_an_open_scale_is_refused_by_plan_and_shown_on_1_kg_by_formula() -> None:
    refused = run("plan", "-", given=PLAIN)
    assert refused.exit_code == 1
    assert "nothing says how much to make" in refused.stderr
    assert refused.stdout == ""
    shown = run("formula", "-", given=PLAIN)
    assert shown.exit_code == 0
    assert "1000 g flour" in shown.output


def test_all_problems_at_once_each_with_line_and_caret() -> None:
    wrong = PLAIN.replace("65 %", "65").replace("kind: dough", "knd: dough")
    result = run("check", "-", given=wrong)
    assert result.exit_code == 1
    assert "standard input:6:" in result.stderr
    assert "standard input:5:5" in result.stderr
    assert "^^" in result.stderr
    assert "Did you mean “kind”?" in result.stderr


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("plan", "no-such-file.yaml"), 3),
        (("plan", HARBOUR_LANE), 1),
        (("plan", POCKETS, "--kitchen", POCKETS), 1),
        (("plan", POCKETS, "--room", "27"), 2),
        (("plan", POCKETS, "--start", "9 o'clock"), 2),
        (("plan", POCKETS, "--start", "9999-12-31 23:59"), 2),
        (("plan", POCKETS, "--ready", "0001-01-01 00:00"), 2),
        (("plan", POCKETS, "--start", "09:00", "--ready", "18:00"), 2),
        (("plan", POCKETS, "--pieces", "9", "--dough", "2 kg"), 2),
        (("plan", POCKETS, "--with", "egg"), 2),
        (("plan", POCKETS, "--with", "saffron=1 g"), 1),
        (("plan", POCKETS, "--html", "no/such/folder/x.html"), 3),
        (("ingredients", "xyzzy"), 1),
        (("bake",), 2),
    ],
)
def test_wrong_input_ends_with_its_code_and_a_reason(words: tuple[str, ...], code: int) -> None:
    result = run(*words)
    assert result.exit_code == code, result.output
    assert result.stderr.strip()
    assert "Traceback" not in result.output


def test_as_many_pieces_as_can_be_asked_for_are_planned_with_a_caution() -> None:
    result = run("plan", POCKETS, "--kitchen", HARBOUR_LANE, "--pieces", "999999")
    assert result.exit_code == 0
    assert "staphylococci grow 1000000-fold" in " ".join(result.stdout.split())
    more = run("plan", POCKETS, "--kitchen", HARBOUR_LANE, "--pieces", "1000000")
    assert more.exit_code == 2
    assert "1<=x<=999999" in more.stderr


def test_ingredients_are_found_by_a_word() -> None:
    rows = json.loads(run("ingredients", "rye", "--json").stdout)
    assert all("rye" in json.dumps(row).casefold() for row in rows)
    assert run("ingredients").exit_code == 0


def test_an_ingredient_s_other_facts_are_told_when_it_is_asked_for() -> None:
    asked = " ".join(run("ingredients", "egg").stdout.split())
    assert "egg: 88.0 % of what is bought is used; keep it cold; raw egg, not" in asked
    assert "jam: keep it cold once opened" in " ".join(run("ingredients", "jam").stdout.split())
    assert "keep it cold" not in run("ingredients").stdout
    rows = {row["name"]: row for row in json.loads(run("ingredients", "egg", "--json").stdout)}
    assert rows["egg"]["protein_factor"] == 6.25
    assert (rows["egg"]["fdc"], rows["egg"]["ndb"]) == ("171287", "01123")


@pytest.mark.parametrize(
    ("wrong", "code"),
    [
        ("  - ferment: dough\n    until: double\n    for: 3 h\n", "not by both"),
        ("  - bake: dough\n    oven: 1800 °C fan\n", "no oven for bread"),
        ("  - bake: dough\n    oven: 180 °C fan\n    core: 105 °C\n", "stays below boiling"),
    ],
)
def test_a_step_that_cannot_be_meant_is_refused_at_its_line(wrong: str, code: str) -> None:
    result = run("check", "-", given=f"{PLAIN}process:\n{wrong}")
    assert result.exit_code == 1
    assert code in " ".join(result.stderr.split())
    assert "standard input:" in result.stderr


def test_a_dough_without_yeast_that_is_to_rise_is_warned_of() -> None:
    flat = PLAIN.replace(", instant yeast: 1 %", "") + "process: [{ferment: dough, took: 2 h}]\n"
    result = run("plan", "-", "--flour", "1 kg", given=flat)
    assert result.exit_code == 0
    assert "No yeast and no starter" in result.output


def test_a_plan_that_begins_in_the_past_says_so() -> None:
    result = run("plan", POCKETS, "--ready", "2020-01-01 12:00")
    assert result.exit_code == 0
    assert "which is past" in result.stderr


def test_notices_in_json_are_in_words_and_all_keys_are_in_the_published_schema() -> None:
    plan = json.loads(run("plan", POCKETS, "--json").stdout)
    schema = json.loads(
        (EXAMPLES.parent / "docs/reference/bench-plan.schema.json").read_text(encoding="utf-8")
    )
    assert plan.keys() == schema["properties"].keys()
    said = [notice["says"] for notice in plan["notices"]]
    assert any("Sugar is" in words for words in said)
    assert plan["notices"][0].keys() == schema["$defs"]["Notice"]["properties"].keys()
