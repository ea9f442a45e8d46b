"""``doughwright gather``: a formula on stdout, questions on stderr, exit codes."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from doughwright.cli import doughwright
from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document

ROLLS = """\
Harbour rolls

Makes 12

500 g strong flour
325 g water
10 g salt
5 g instant yeast

Method
Knead for 10 minutes. Leave to rise for 60–90 min. Bake at 220°C for 15 minutes.
"""
ASKING = "Rolls\n\n3 cups strong flour\n1 cup water\n1 tsp salt\n5 g yeast\n"


def run(*words: str, given: str | bytes | None = None) -> Result:
    return CliRunner().invoke(doughwright, ["gather", *words], input=given)


def formula(text: str) -> FormulaDocument:
    document = read_document(text).document
    assert isinstance(document, FormulaDocument)
    return document


def test_a_recipe_becomes_a_formula(tmp_path: Path) -> None:
    file = tmp_path / "rolls.txt"
    file.write_text(ROLLS, "utf-8")
    result = run(str(file))
    assert (result.exit_code, result.stderr) == (0, "")
    made = formula(result.stdout)
    assert (made.name, made.makes and made.makes.pieces) == ("Harbour rolls", 12)
    assert str(made.preparations["dough"].ingredients["water"].amount) == "325 g"
    assert [(s.verb, str(s.lasts or s.took)) for s in made.process] == [
        ("mix", "10 min"),
        ("ferment", "60–90 min"),
        ("bake", "15 min"),
    ]
    assert "# line 6: 325 g water" in result.stdout


def test_standard_input_and_a_file_to_write(tmp_path: Path) -> None:
    out = tmp_path / "rolls.yaml"
    result = run("-", "--out", str(out), given=ROLLS)
    assert (result.exit_code, result.stdout) == (0, "")
    assert formula(out.read_text("utf-8")).name == "Harbour rolls"


def test_what_must_be_answered_is_asked_with_key_and_candidates() -> None:
    result = run("-", given=ASKING)
    assert result.exit_code == 1
    assert "Must be answered" in result.stderr
    assert "--answer 'system=us'" in result.stderr
    assert "--answer '6:yeast:kind=fresh yeast'" in result.stderr
    assert "# asked: system, one of: us | metric" in result.stdout


def test_what_is_asked_makes_a_draft_that_no_command_takes_for_a_formula(tmp_path: Path) -> None:
    file = tmp_path / "rolls.yaml"
    assert run("-", "--out", str(file), given=ASKING).exit_code == 1
    checked = CliRunner().invoke(doughwright, ["check", str(file)])
    assert checked.exit_code == 1
    assert "draft of a recipe that was gathered" in checked.output


def test_answers_settle_it() -> None:
    result = run("-", "--cups", "us", "--answer", "6:yeast:kind=fresh yeast", given=ASKING)
    assert result.exit_code == 0, result.stderr
    lines = formula(result.stdout).preparations["dough"].ingredients
    # a US cup of bread flour is 137 g, USDA SR28 20129
    assert str(lines["strong flour"].amount) == "411 g"
    assert "fresh yeast" in lines


def test_an_amount_may_be_the_answer() -> None:
    text = "500 g strong flour\n300 g water\nsalt to taste\n"
    asked, settled = run("-", given=text), run("-", "--answer", "3:salt:amount=10 g", given=text)
    assert (asked.exit_code, settled.exit_code) == (1, 0)
    assert "salt: 10 g" in settled.stdout


def test_the_size_of_eggs_is_a_setting() -> None:
    text = "500 g strong flour\n200 g water\n2 eggs\n"
    result = run("-", "--country", "se", "--eggs", "large", given=text)
    assert result.exit_code == 0, result.stderr
    # Regulation (EC) 589/2008: large is 63 to 73 g in shell, 60 g without
    assert "eggs: 120 g" in result.stdout
    assert formula(result.stdout).place == "SE"


@pytest.mark.parametrize("answer", ["3:salt:amount=plenty", "9:milk:amount=1 g"])
def test_an_answer_nobody_asked_for_is_refused(answer: str) -> None:
    text = "500 g strong flour\n300 g water\nsalt to taste\n"
    result = run("-", "--answer", answer, given=text)
    assert (result.exit_code, result.stdout) == (1, "")
    assert answer.partition("=")[0] in result.stderr


@pytest.mark.parametrize(
    "words",
    [
        ["--answer", "milk"],
        ["--country", "Sweden"],
        ["--country", "XX"],
        ["--cups", "thimbles"],
        [],
    ],
)
def test_a_command_that_is_not_understood(words: list[str]) -> None:
    assert run(*([*words, "-"] if words else []), given=ROLLS).exit_code == 2


def test_a_saved_page_is_read(tmp_path: Path) -> None:
    lines = ["500 g strong flour", "300 g water"]
    recipe = {"@type": "Recipe", "name": "Rolls", "recipeIngredient": lines}
    file = tmp_path / "rolls.html"
    script = f'<script type="application/ld+json">{json.dumps(recipe)}</script>'
    file.write_text(f"<!DOCTYPE html><html>{script}</html>", "utf-8")
    result = run(str(file))
    assert (result.exit_code, formula(result.stdout).name) == (0, "Rolls")


def test_several_recipes_are_several_formulas(tmp_path: Path) -> None:
    for name in ("one", "two"):
        (tmp_path / f"{name}.txt").write_text(ROLLS.replace("Harbour", name), "utf-8")
    out = tmp_path / "made"
    out.mkdir()
    result = run(str(tmp_path / "one.txt"), str(tmp_path / "two.txt"), "--out", str(out))
    assert result.exit_code == 0, result.stderr
    names = [formula((out / f"{n}.yaml").read_text("utf-8")).name for n in ("one", "two")]
    assert names == ["one rolls", "two rolls"]


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    odd = tmp_path / "odd.txt"
    odd.write_bytes(b"\xff\x00\xfe 500 g")
    for path in (tmp_path / "none.txt", odd, tmp_path):
        result = run(str(path))
        assert result.exit_code == 3
        assert "cannot be read" in result.stderr


def test_an_empty_file_says_so() -> None:
    result = run("-", given="\n\n")
    assert result.exit_code == 1
    assert "nothing to read" in result.stderr
