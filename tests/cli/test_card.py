"""``doughwright card``, as a baker asks for it."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from doughwright.cli import doughwright

EXAMPLES = Path(__file__).parents[2] / "examples"
POCKETS = str(EXAMPLES / "leek-and-curd-pockets.yaml")
ROLLS = str(EXAMPLES / "oat-and-honey-rolls.yaml")
HARBOUR_LANE = str(EXAMPLES / "harbour-lane.kitchen.yaml")

NO_SIZE = """
doughwright: formula/1
name: Plain dough
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 65 %, salt: 2 %, instant yeast: 1 %}
"""


def run(*words: str, given: str | None = None) -> Result:
    return CliRunner().invoke(doughwright, ["card", *words], input=given)


def answer(*words: str, given: str | None = None) -> Any:
    result = run(*words, "--json", given=given)
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_it_prints_plain_text() -> None:
    result = run(POCKETS, "--kitchen", HARBOUR_LANE)
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith("Leek and curd pockets\n\n8 × 105 g; baked, a piece weighs")
    assert "143 g strong white flour\n" in result.stdout
    assert "cups" not in result.stdout
    assert "\x1b" not in result.stdout


def test_whose_rules_are_taken_is_said_only_with_a_card(tmp_path: Path) -> None:
    wrong = run(str(tmp_path / "no-such-file.yaml"))
    assert wrong.exit_code != 0
    assert "rules are taken" not in wrong.output
    assert wrong.stderr.count("\n") == 1
    assert "EU rules are taken" in run(POCKETS).stderr


def test_measures_and_width_are_for_the_asking() -> None:
    result = run(POCKETS, "--kitchen", HARBOUR_LANE, "--measures", "--width", "48")
    assert "\n  = 1 cup\n" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 48


def test_sizes_asked_for_have_their_columns() -> None:
    sheet = answer(POCKETS, "--kitchen", HARBOUR_LANE, "--sizes", "4,12")
    assert [column["pieces"] for column in sheet["sizes"]["columns"]] == [4, 12]


def test_another_number_of_pieces_is_the_cards_own() -> None:
    sheet = answer(POCKETS, "--kitchen", HARBOUR_LANE, "--pieces", "16")
    assert sheet["division"]["pieces"] == 16
    assert [c["pieces"] for c in sheet["sizes"]["columns"] if c["own"]] == [16]
    sponge = sheet["preparations"][0]["plan"]["lines"][0]["weight"]["value"]
    assert sponge == pytest.approx(2 * 0.1433, abs=0.001)  # 30 % of 477.7 g


def test_the_recipe_for_machines_is_all_that_is_printed() -> None:
    result = run(POCKETS, "--kitchen", HARBOUR_LANE, "--json-ld")
    tree = json.loads(result.stdout)
    assert tree["@type"] == "Recipe"
    assert tree["recipeYield"] == ["8", "8 pieces"]


def test_the_author_is_told_apart_from_the_reader() -> None:
    result = run(ROLLS, "--kitchen", HARBOUR_LANE)
    assert "Before you give it away:" in result.stderr
    assert "oat topping" in result.stderr
    assert "Before you give it away" not in result.stdout


def test_page_and_pdf_are_written(tmp_path: Path) -> None:
    page, pdf = tmp_path / "card.html", tmp_path / "card.pdf"
    result = run(POCKETS, "--kitchen", HARBOUR_LANE, "--html", str(page), "--pdf", str(pdf))
    assert result.exit_code == 0, result.output
    assert "<h1>Leek and curd pockets</h1>" in page.read_text("utf-8")
    assert PdfReader(pdf).metadata.title == "Leek and curd pockets"  # type: ignore[union-attr]
    assert f"The same card as a page: {page}" in result.stdout
    assert f"The same card as a PDF: {pdf}" in result.stdout


def test_a_file_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    result = run(POCKETS, "--kitchen", HARBOUR_LANE, "--pdf", str(tmp_path / "none" / "a.pdf"))
    assert result.exit_code == 3
    assert "cannot be written" in result.stderr


def test_a_formula_without_a_size_is_counted_on_a_kilogram() -> None:
    result = run("-", given=NO_SIZE)
    assert result.exit_code == 0, result.output
    assert "1 kg of flour" in result.stderr
    assert "1680 g of dough." in result.stdout
    assert "½ × the batch" in result.stdout


def test_pieces_of_what_has_none_are_refused() -> None:
    result = run("-", "--sizes", "6,8", given=NO_SIZE)
    assert result.exit_code == 1
    assert "no weight per piece" in result.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--json", "--json-ld"], "two things at once"),
        (["--sizes", "1,2,3,4,5,6,7"], "room for 6"),
        (["--sizes", "six"], "whole numbers from 1"),
        (["--width", "5"], "width"),
    ],
)
def test_what_cannot_be_meant_is_refused(words: list[str], said: str) -> None:
    result = run(POCKETS, "--kitchen", HARBOUR_LANE, *words)
    assert result.exit_code == 2
    assert said in result.stderr


def test_a_plan_is_written_as_pdf_too(tmp_path: Path) -> None:
    pdf = tmp_path / "plan.pdf"
    words = ["plan", POCKETS, "--kitchen", HARBOUR_LANE, "--start", "09:00", "--pdf", str(pdf)]
    result = CliRunner().invoke(doughwright, words)
    assert result.exit_code == 0, result.output
    assert f"The same plan as a PDF: {pdf}" in result.stdout
    assert "09:00" in PdfReader(pdf).pages[0].extract_text()


def test_a_pdf_is_of_one_kitchen() -> None:
    words = ["plan", POCKETS, "--room", "18°C,27°C", "--pdf", "plan.pdf"]
    result = CliRunner().invoke(doughwright, words)
    assert result.exit_code == 2
    assert "leave --pdf out" in result.stderr
