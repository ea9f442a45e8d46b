"""How much yeast, as a baker asks for it."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from doughwright.cli import doughwright

EXAMPLES = Path(__file__).parents[2] / "examples"
POCKETS = str(EXAMPLES / "leek-and-curd-pockets.yaml")
FLATBREAD = EXAMPLES / "seeded-flatbread.yaml"
TIN = str(EXAMPLES / "cold-retarded-tin-loaf.yaml")
HARBOUR_LANE = str(EXAMPLES / "harbour-lane.kitchen.yaml")

LEVAIN = """\
doughwright: formula/1
name: Levain
yield: {dough: 1 kg}
preparations:
  dough:
    kind: dough
    ingredients:
      strong white flour: 100 %
      water: 65 %
      salt: 2 %
process:
  - ferment: dough
    until: double
"""


def run(*words: str, given: str | None = None) -> Result:
    return CliRunner().invoke(doughwright, list(words), input=given)


def answer(*words: str) -> Any:
    result = run("yeast", *words, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_the_proposed_yeast_written_into_the_formula_takes_the_wished_time() -> None:
    """The flatbread has no times of its own, so a plan of the changed text is a true check."""
    asked = ("--step", "ferment dough", "--within", "5 h", "--at", "20°C")
    line = answer(str(FLATBREAD), *asked)["lines"][0]
    text = FLATBREAD.read_text("utf-8")
    changed = text.replace(
        "instant yeast: 0.9 %", f"instant yeast: {line['then']['overall']['value'] * 100:.6f} %"
    ).replace("until: double", "until: double\n    at: 20 °C")
    assert changed.count("at: 20 °C") == text.count("at: 20 °C") + 1
    plan = json.loads(run("plan", "-", "--json", given=changed).stdout)
    rise = next(row for row in plan["timeline"]["rows"] if row["verb"] == "ferment")
    assert rise["lasts"]["value"] == pytest.approx(5 * 3600, rel=0.01)


def test_the_answer_shows_weights_shares_bands_and_the_other_rises() -> None:
    asked = ("--step", "ferment dough", "--within", "8 h", "--at", "18°C")
    result = run("yeast", POCKETS, *asked, "--kitchen", HARBOUR_LANE)
    assert result.exit_code == 0, result.output
    for said in ("at 18 °C", "as written", "sponge", "instant yeast", "proof dough", "about 8 h"):
        assert said in result.output
    assert "`took`" in result.output
    assert max(map(len, result.output.splitlines())) <= 80
    sheet = answer(POCKETS, *asked)
    assert sheet["time"]["low"] < sheet["time"]["value"] < sheet["time"]["high"]
    assert [rise["label"] for rise in sheet["rises"] if rise["asked"]] == ["ferment dough"]


def test_a_fine_scale_weighs_what_a_coarse_one_cannot() -> None:
    asked = ("--step", "ferment dough", "--within", "3 h")
    coarse, fine = answer(POCKETS, *asked), answer(POCKETS, *asked, "--kitchen", HARBOUR_LANE)
    assert coarse["lines"][0]["then"]["step"]["value"] == pytest.approx(1e-3)
    assert fine["lines"][0]["then"]["step"]["value"] == pytest.approx(1e-4)

    def coarse_codes(sheet: Any) -> set[str]:
        return {n["code"] for n in sheet["notices"] if n["code"].startswith("scale-too-coarse")}

    assert coarse_codes(coarse)
    assert not coarse_codes(fine)


@pytest.mark.parametrize(
    ("words", "code", "reason"),
    [
        ((POCKETS, "--step", "ferment dough", "--within", "5 min"), 1, "that range gives"),
        ((POCKETS, "--step", "ferment dough", "--within", "90 h"), 1, "that range gives"),
        ((POCKETS, "--step", "rest dough", "--within", "1 h"), 1, "runs by the clock (20 min)"),
        ((TIN, "--step", "proof dough", "--within", "8 h"), 1, "ferment dough"),
        ((POCKETS, "--step", "ferment doug", "--within", "1 h"), 1, "“ferment dough”?"),
        ((POCKETS, "--step", "bake dough", "--within", "1 h"), 1, "ferment sponge"),
        ((POCKETS, "--step", "ferment dough", "--within", "8"), 2, "has no unit"),
        ((POCKETS, "--step", "ferment dough", "--within", "0 h"), 2, "more than zero"),
        ((POCKETS, "--step", "ferment dough", "--within", "1 h", "--at", "cellar"), 2, "cellar"),
        ((POCKETS, "--step", "ferment dough"), 2, "--within"),
        (("no-such-file.yaml", "--step", "ferment dough", "--within", "8 h"), 3, "cannot be read"),
    ],
)
def test_what_no_yeast_can_do_is_refused_with_the_reason(
    words: tuple[str, ...], code: int, reason: str
) -> None:
    result = run("yeast", *words)
    assert result.exit_code == code, result.output
    assert reason in result.stderr
    assert result.stdout == ""


def test_the_refusal_names_the_line_and_the_times_there_are() -> None:
    refused = run("yeast", POCKETS, "--step", "ferment dough", "--within", "5 min").stderr
    line = Path(POCKETS).read_text("utf-8").splitlines().index("  - ferment: dough") + 1
    assert f"{POCKETS}:{line}:" in refused
    # 0.05 to 6 % of fresh yeast is the range the fermentation's model card gives
    assert "between 0.050 % and 6.00 %" in refused


def test_a_dough_without_yeast_is_refused() -> None:
    refused = run("yeast", "-", "--step", "ferment dough", "--within", "8 h", given=LEVAIN)
    assert refused.exit_code == 1
    assert "no yeast in this dough" in refused.stderr
