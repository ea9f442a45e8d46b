"""``doughwright compare``, as a baker types it."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from doughwright.cli import doughwright

EXAMPLES = Path(__file__).parents[2] / "examples"
LOAF = str(EXAMPLES / "cold-retarded-tin-loaf.yaml")
PAN = str(EXAMPLES / "scalded-pan-loaf.yaml")
HEARTH = str(EXAMPLES / "rye-and-wheat-hearth-loaf.yaml")

RECIPE = """\
Milk loaf

500 g bread flour
300 g milk
40 g butter
10 g salt
7 g instant yeast

Bake at 200°C for 35 minutes.
"""


def run(*words: str) -> Result:
    return CliRunner().invoke(doughwright, ["compare", *words])


def lines(result: Result) -> list[str]:
    """What was printed, a single blank between words."""
    assert result.exit_code == 0, result.output
    return [" ".join(line.split()) for line in result.stdout.splitlines()]


def test_formulas_stand_side_by_side_with_their_middle() -> None:
    found = lines(run(LOAF, PAN, HEARTH))
    # the documents say 20, 15 and no wholemeal, and 2 % salt in all three
    wholemeal = "wholemeal flour 15.0 % 0–20.0 % 20.0 % 15.0 % 0"
    assert wholemeal in found
    assert "salt 2.00 % 2.00 % 2.00 % 2.00 %" in found
    assert "1 Cold-retarded tin loaf" in found


def test_a_recipe_is_gathered_first(tmp_path: Path) -> None:
    recipe = tmp_path / "milk-loaf.txt"
    recipe.write_text(RECIPE, "utf-8")
    result = run(LOAF, PAN, str(recipe))
    found = lines(result)
    assert "3 Milk loaf" in found
    butter = "unsalted butter 5.00 % 3.00–8.00 % 3.00 % 5.00 % 8.00 %"  # 40/500
    assert butter in found
    assert "milk-loaf.txt: It is taken as doughwright gather takes it" in result.stderr


def test_a_recipe_with_open_questions_is_sent_to_gather(tmp_path: Path) -> None:
    recipe = tmp_path / "cups.txt"
    recipe.write_text("Loaf\n\n3 cups bread flour\n1 cup water\nsome salt\n", "utf-8")
    result = run(LOAF, str(recipe))
    assert result.exit_code == 1
    assert "“cups.txt” is not a formula yet" in result.stderr
    assert "doughwright gather" in result.stderr


def test_a_start_from_the_middle_can_be_checked_and_planned(tmp_path: Path) -> None:
    out = tmp_path / "middle.yaml"
    result = run(LOAF, PAN, HEARTH, "--start-from", "middle", "--out", str(out))
    assert (result.exit_code, result.stdout) == (0, "")
    text = out.read_text("utf-8")
    assert "From Cold-retarded tin loaf, Rye and wheat hearth loaf and Scalded pan loaf." in text
    assert "salt: 2 %" in text
    checked = CliRunner().invoke(doughwright, ["check", str(out)])
    assert (checked.exit_code, checked.output) == (0, f"{out}: in order\n")


@pytest.mark.parametrize("word", ["Scalded pan loaf", "scalded PAN loaf", "2"])
def test_a_start_from_one_is_its_own_text(word: str) -> None:
    result = run(LOAF, PAN, "--start-from", word)
    assert result.stdout == Path(PAN).read_text("utf-8")


def test_a_start_from_nobody_names_all() -> None:
    result = run(LOAF, PAN, "--start-from", "Nana")
    assert result.exit_code == 1
    assert "No source here is called “Nana”." in result.stderr
    assert "middle, or one of: Cold-retarded tin loaf; Scalded pan loaf." in result.stderr


def test_two_of_one_name_are_told_apart() -> None:
    assert "2 Cold-retarded tin loaf (2)" in lines(run(LOAF, LOAF))


def test_the_table_as_json_and_the_picture_to_a_file(tmp_path: Path) -> None:
    tree = json.loads(run(LOAF, PAN, "--json").stdout)
    assert tree["names"] == ["Cold-retarded tin loaf", "Scalded pan loaf"]
    picture, table = tmp_path / "both.svg", tmp_path / "both.txt"
    assert run(LOAF, PAN, "--out", str(picture)).stdout == ""
    assert picture.read_text("utf-8").startswith("<svg")
    assert run(LOAF, PAN, "--out", str(table)).exit_code == 0
    assert table.read_text("utf-8").startswith("2 sources side by side\n")


def test_one_file_is_too_few_and_what_is_not_there_cannot_be_read(tmp_path: Path) -> None:
    alone = run(LOAF)
    assert alone.exit_code == 1
    assert "side by side are 2 to 12 sources; here: 1." in alone.stderr
    missing = run(LOAF, str(tmp_path / "nowhere.yaml"))
    assert missing.exit_code == 3
    kitchen = run(LOAF, str(EXAMPLES / "harbour-lane.kitchen.yaml"))
    assert kitchen.exit_code == 1
    assert "kitchen/1" in kitchen.stderr
    assert run(LOAF, PAN, "--json", "--start-from", "middle").exit_code == 2


def test_a_formula_that_cannot_be_followed_is_said_with_its_line(tmp_path: Path) -> None:
    slipped = tmp_path / "slipped.yaml"
    slipped.write_text(Path(LOAF).read_text("utf-8").replace("salt: 2 %", "salt: 20 %"), "utf-8")
    result = run(PAN, str(slipped))
    assert result.exit_code == 1
    assert f"{slipped}:" in result.stderr
    assert "salt: 20 %" in result.stderr
