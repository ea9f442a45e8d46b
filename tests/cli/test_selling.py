"""Label, safety and cost as a baker asks for them."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from doughwright.cli import doughwright

EXAMPLES = Path(__file__).parents[2] / "examples"
POCKETS = str(EXAMPLES / "leek-and-curd-pockets.yaml")
HARBOUR_LANE = str(EXAMPLES / "harbour-lane.kitchen.yaml")

FILLED_EARLY = """
doughwright: formula/1
name: Cheese buns
yield: {pieces: 8, piece: 90 g}
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 58 %, salt: 1.8 %, instant yeast: 1 %}
  filling:
    kind: filling
    each: 35 g
    ingredients: {cream cheese: 3 parts, egg: 1 parts}
process:
  - make: filling
    for: 10 min
  - mix: dough
    for: 10 min
  - ferment: dough
    for: 100 min
  - divide: dough
  - shape: dough
    form: {round: 10 cm, high: 2.5 cm}
  - fill: filling
  - proof: dough
    for: 50 min
  - bake: dough
    oven: 180 °C fan
  - cool: dough
    for: 30 min
"""

KEPT_COLD = FILLED_EARLY.replace(
    "    for: 10 min\n  - mix", "    for: 10 min\n    keep: fridge\n  - mix"
)


def run(*words: str, given: str | None = None) -> Result:
    return CliRunner().invoke(doughwright, words, input=given)


def answer(*words: str, given: str | None = None) -> Any:
    result = run(*words, "--json", given=given)
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def judged(text: str, codes: str) -> Any:
    return answer("safety", "-", "--room", "22 °C", "--codes", codes, given=text)


def filling(sheet: Any) -> Any:
    return next(food for food in sheet["foods"] if food["kind"] == "filling")


def clock(food: Any, rule: str) -> Any:
    return next(row for row in food["clocks"] if row["rule"]["id"] == rule)


@pytest.mark.parametrize("codes", ["EU", "UK", "US"])
def test_a_filling_left_out_for_three_hours_is_caught_everywhere(codes: str) -> None:
    food = filling(judged(FILLED_EARLY, codes))
    household = clock(food, "US-home-2h")
    assert household["exceeded"]
    assert 2.5 * 3600 < household["measured"]["value"] < 3.5 * 3600
    assert household["at"]["value"] == pytest.approx(7200.0)
    advised = {notice["code"] for notice in food["advice"]}
    assert {"food-make-later", "food-keep-cold", "food-fill-after-proof"} <= advised
    assert "food-pasteurised-egg" in advised


def test_the_national_clock_stands_beside_the_household_guide() -> None:
    limits = {row["rule"]["id"] for row in filling(judged(FILLED_EARLY, "US"))["clocks"]}
    assert {"FC-TPHC-4h", "FC-ambient", "US-home-2h"} <= limits
    assert "UK-chill-4h" in {r["rule"]["id"] for r in filling(judged(FILLED_EARLY, "UK"))["clocks"]}


@pytest.mark.parametrize("codes", ["EU", "UK", "US"])
def test_a_filling_kept_in_the_fridge_is_judged_by_its_own_path(codes: str) -> None:
    warm, cold = (filling(judged(text, codes)) for text in (FILLED_EARLY, KEPT_COLD))
    kept = next(part for part in cold["standing"] if part["verb"] == "kept:fridge")
    assert 273.15 + 5 < kept["end"] < 273.15 + 15
    proof = next(part for part in cold["standing"] if part["verb"] == "proof")
    assert proof["start"] < 273.15 + 17 < proof["end"]  # it warms with the dough around it
    for one, other in zip(cold["growth"], warm["growth"], strict=True):
        assert one["rise"]["value"] < other["rise"]["value"]


def test_a_cold_filling_bakes_to_less_in_the_same_time() -> None:
    warm, cold = (filling(judged(text, "US")) for text in (FILLED_EARLY, KEPT_COLD))
    assert {row["rule"]["id"] for row in cold["cooking"]} == {"US-eggdish", "FC-egg-pool"}
    for one, other in zip(cold["cooking"], warm["cooking"], strict=True):
        assert one["hottest"]["value"] <= other["hottest"]["value"] + 1.0


def test_a_bread_without_anything_that_spoils_need_not_be_kept_cold() -> None:
    plain = FILLED_EARLY.replace("cream cheese: 3 parts, egg: 1 parts", "raisins: 1 part")
    sheet = judged(plain, "EU")
    assert sheet["foods"] == []
    assert not sheet["keep_cold"]
    assert sheet["baked"] == []


def test_nothing_is_ever_called_safe() -> None:
    for codes in ("EU", "UK", "US"):
        said = run("safety", "-", "--codes", codes, given=KEPT_COLD).output.casefold()
        assert "safe " not in said
        assert "check your local code" in said


def test_the_plan_tells_the_findings_beside_their_steps() -> None:
    plan = answer("plan", "-", "--room", "22 °C", given=FILLED_EARLY)
    found = {n["code"]: n["where"] for n in plan["notices"] if n["code"].startswith("food-")}
    assert found["food-make-later"] == ["process", 0]
    assert found["food-fill-after-proof"] == ["process", 5]
    assert found["food-keep-baked-cold"] == ["process", 8]


# Label


def test_a_weighed_piece_and_its_loss_say_the_same() -> None:
    raw = 8 * (0.105 + 0.040 + 0.004)
    by_loss = answer("label", POCKETS, "--loss", "10 %")
    by_weight = answer("label", POCKETS, "--baked", f"{raw / 8 * 0.9 * 1000:.4f} g")
    assert by_loss["piece"]["value"] == pytest.approx(by_weight["piece"]["value"], rel=1e-6)
    assert [row["printed"] for row in by_loss["per_hundred"]] == [
        row["printed"] for row in by_weight["per_hundred"]
    ]


def test_without_a_word_about_the_loss_the_bake_says_it() -> None:
    sheet = answer("label", POCKETS, "--kitchen", HARBOUR_LANE)
    assert sheet["loss"]["kind"] == "model"
    assert sheet["loss"]["low"] < sheet["loss"]["value"] < sheet["loss"]["high"]


def test_the_title_asks_for_its_ingredients_quantities() -> None:
    asked = answer("label", POCKETS, "--loss", "10 %", "--quantity", "ricotta")
    printed = {q["name"]: q["printed"] for q in asked["quantities"]}
    # 40 g × 5/9.1 of leek in 149 g × 0.9; 40 g × 4/9.1 of ricotta
    assert printed == {"leek": "16 %", "ricotta": "13 %"}


@pytest.mark.parametrize(
    ("codes", "first"), [("EU", "energy"), ("UK", "energy"), ("US", "calories")]
)
def test_each_country_has_its_own_table(codes: str, first: str) -> None:
    sheet = answer("label", POCKETS, "--loss", "10 %", "--codes", codes)
    rows = sheet["per_hundred"] or sheet["per_piece"]
    assert rows[0]["name"].casefold() == first
    assert bool(sheet["lights"]) == (codes == "UK")
    assert bool(sheet["per_hundred"]) == (codes != "US")


def test_what_may_get_in_is_said_in_the_bakers_words_and_never_free_from() -> None:
    said = run("label", POCKETS, "--loss", "10 %", "--may-contain", "sesame").output
    assert "Contains: wheat, egg, milk." in said
    assert "May contain (you said so): sesame." in said
    assert "free from" not in said.casefold()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--loss", "10 %", "--baked", "100 g"), "give one"),
        (("--baked", "200 g"), "more than what went in"),
        (("--loss", "90 %"), "water"),
        (("--codes", "FR"), "EU"),
    ],
)
def test_a_label_refuses_what_cannot_be(words: tuple[str, ...], told: str) -> None:
    result = run("label", POCKETS, *words)
    assert result.exit_code != 0
    assert told.casefold() in result.output.casefold()


@pytest.mark.parametrize("command", ["label", "safety"])
def test_a_country_is_read_in_any_case_and_refused_with_the_names_as_written(command: str) -> None:
    assert answer(command, POCKETS, "--codes", "uk")["codes"] == "UK"
    refused = run(command, POCKETS, "--codes", "FR")
    assert refused.exit_code == 2
    assert "'FR' is not one of 'EU', 'UK', 'US'." in refused.stderr


# Cost


def test_costs_add_up_unrounded() -> None:
    sheet = answer("cost", POCKETS, "--kitchen", HARBOUR_LANE)
    assert sum(line["cost"] for line in sheet["lines"]) == pytest.approx(sheet["ingredients"])
    assert sheet["total"] == pytest.approx(sheet["ingredients"] + sheet["energy"])
    assert sheet["each"] * 8 == pytest.approx(sheet["total"])
    assert sheet["baked_kilogram"] * sheet["baked"]["value"] == pytest.approx(sheet["total"])
    # 0.30 EUR/kWh of 3.6 MJ
    assert sheet["energy"] == pytest.approx(0.30 * sheet["energy_used"]["value"] / 3.6e6)


def test_what_has_no_price_is_named_and_the_sum_is_a_least() -> None:
    said = run("cost", POCKETS).output
    assert re.search(r"In all +at least", said)
    assert "strong white flour" in said
    assert "not known" in said


def test_a_loaf_of_known_prices_costs_what_the_scale_says() -> None:
    text = """
doughwright: formula/1
name: Two loaves
yield: {pieces: 2, piece: 800 g, spare: 0 %}
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 58 %, salt: 2 %}
ingredients:
  strong white flour: {price: 3.20 USD for 2 kg}
  salt: {price: 1 USD/kg}
"""
    sheet = answer("cost", "-", given=text)
    # 1.6 kg of dough is 1 kg of flour: 1.60; 20 g of salt: 0.02
    assert sheet["currency"] == "USD"
    assert sheet["ingredients"] == pytest.approx(1.62)
    assert sheet["energy"] is None


def test_asking_for_another_countrys_rules_does_not_change_what_it_costs() -> None:
    here, abroad = (
        answer("plan", POCKETS, "--kitchen", HARBOUR_LANE, *codes)["cost"]["total"]
        for codes in ((), ("--codes", "US"))
    )
    assert abroad == pytest.approx(here)
