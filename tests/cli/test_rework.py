"""``doughwright rework``, as a baker types it."""

from pathlib import Path

from click.testing import CliRunner, Result

from doughwright.cli import doughwright

EXAMPLES = Path(__file__).parents[2] / "examples"
LOAF = EXAMPLES / "cold-retarded-tin-loaf.yaml"


def run(*words: str) -> Result:
    return CliRunner().invoke(doughwright, ["rework", *words])


def test_the_formula_goes_to_the_output_and_what_changed_beside_it() -> None:
    result = run(str(LOAF), "--to", "poolish 30 %")
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith("# Shaped in the evening")
    assert "  poolish:\n    kind: preferment\n    style: poolish\n" in result.stdout
    assert "dough: strong white flour 80 → 50 %" in result.stderr
    assert "each ingredient, flour, water, salt, fat, sugar, yeast" in result.stderr
    assert "ferment dough 65–70 min" in result.stderr


def test_several_are_done_one_after_the_other() -> None:
    once = run(str(LOAF), "--to", "poolish 30 %", "--to", "straight")
    assert once.exit_code == 0, once.output
    assert "poolish" not in once.stdout
    assert "strong white flour: 80 %" in once.stdout
    assert "To poolish 30 %, then straight:" in once.stderr


def test_written_to_a_file_it_can_be_planned(tmp_path: Path) -> None:
    out = tmp_path / "new.yaml"
    result = run(str(LOAF), "--to", "fresh yeast", "--out", str(out))
    assert result.exit_code == 0, result.output
    assert result.stdout == ""
    checked = CliRunner().invoke(doughwright, ["check", str(out)])
    assert checked.exit_code == 0, checked.output
    assert "fresh yeast" in out.read_text("utf-8")


def test_a_refusal_states_the_limit_and_prints_no_formula() -> None:
    result = run(str(LOAF), "--to", "poolish 90 %")
    assert result.exit_code == 1
    assert result.stdout == ""
    assert "The limit is 67.0 % of the flour." in result.stderr


def test_a_slip_of_the_pen_is_guessed_at() -> None:
    result = run(str(LOAF), "--to", "polish 30 %")
    assert result.exit_code == 1
    assert "Did you mean “poolish 30 %”?" in result.stderr
    assert "hydration 68 %" in result.stderr
