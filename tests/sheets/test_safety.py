"""The safety sheet: what the rules say of each food, and what of it the plan repeats."""

from dataclasses import replace
from typing import Any

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import read_document
from doughwright.errors import DocumentError
from doughwright.resolving.formulas import as_tested, resolved_formula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.resolving.planning import Planned, planned_formula
from doughwright.sheets.food_notices import food_notices
from doughwright.sheets.safety import safety_sheet
from doughwright.sheets.safety_rows import FoodRow, SafetySheet, Stand
from doughwright.units import ICE_POINT

BUNS = """
doughwright: formula/1
name: Buns to test
yield: {pieces: 8, piece: 80 g}
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 60 %, salt: 1.8 %, instant yeast: 1 %}
  filling:
    kind: filling
    each: 40 g
    ingredients: {quark: 3 parts, egg: 1 parts}
  wash:
    kind: glaze
    each: 3 g
    ingredients: {egg: 1 parts}
process:
  - mix: dough
    for: 10 min
  - ferment: dough
    for: 60 min
  - cook: filling
    for: 10 min
    keep: KEPT
    during: ferment
  - divide: dough
  - shape: dough
    form: {round: 9 cm, high: 3 cm}
  - fill: filling
  - proof: dough
    for: 40 min
  - glaze: wash
  - bake: dough
    oven: 190 °C fan
  - cool: dough
    for: 20 min
"""


def planned(text: str = BUNS, kept: str = "room", **kitchen: Any) -> Planned:
    document = read_document(text.replace("KEPT", kept)).document
    assert isinstance(document, FormulaDocument)
    body = {"doughwright": "kitchen/1", "name": "k", "room": "22 °C", "fridge": "5 °C", **kitchen}
    formula = resolved_formula(document)
    place = kitchen_from(KitchenDocument.model_validate(body))
    return planned_formula(formula, as_tested(formula), place)


HERE = planned()
BY_CODES: dict[str, SafetySheet] = {
    codes: safety_sheet(replace(HERE, kitchen=replace(HERE.kitchen, codes=codes)))  # type: ignore[arg-type]  # the three words
    for codes in ("EU", "UK", "US")
}


def food(sheet: SafetySheet, name: str) -> FoodRow:
    return next(row for row in sheet.foods if row.name == name)


@pytest.mark.parametrize("codes", ["EU", "UK", "US"])
def test_a_countrys_sheet_cites_no_other_countrys_law(codes: str) -> None:
    for row in BY_CODES[codes].foods:
        rules = [c.rule for c in row.clocks] + [c.rule for c in row.cooking]
        rules += [c.rule for after in row.cooling for c in after.clocks]
        assert {r.jurisdiction for r in rules} <= {codes, "household"}


def test_a_cooked_filling_cools_in_two_stages_in_the_us() -> None:
    early = BUNS.replace("    during: ferment\n", "").replace("for: 60 min", "for: 3 h")
    at = early.index("  - mix"), early.index("  - cook"), early.index("  - divide")
    early = early[: at[0]] + early[at[1] : at[2]] + early[at[0] : at[1]] + early[at[2] :]
    row = food(safety_sheet(planned(early, codes="US")), "filling")
    stove = next(c for c in row.cooling if c.after == "stove")
    two = [c for c in stove.clocks if c.rule.id == "FC-cool"]
    assert [c.allowed.value for c in two if c.allowed is not None] == [7200.0, 21600.0]
    assert all(c.at is not None and c.at.value is not None for c in two)
    first, second = (c.at.value for c in two if c.at is not None)
    assert second == pytest.approx(first + 14400.0)  # both count from 57 °C
    assert [c.rule.id for c in food(BY_CODES["EU"], "filling").cooling[0].clocks] == [
        "EU-cool",
        "US-home-2h",
    ]


def test_a_bread_left_on_the_rack_is_given_its_time() -> None:
    oven = next(c for c in food(BY_CODES["EU"], "filling").cooling if c.after == "oven")
    household = next(c for c in oven.clocks if c.rule.id == "US-home-2h")
    bake = next(s for s in food(BY_CODES["EU"], "filling").standing if s.verb == "bake")
    assert household.at is not None
    assert household.at.value is not None
    assert bake.ends + 7200.0 < household.at.value < bake.ends + 3 * 3600.0


def test_an_egg_wash_baked_on_is_no_reason_to_keep_a_bread_cold() -> None:
    filling = BUNS[BUNS.index("  filling:") : BUNS.index("  wash:")]
    plain = (
        BUNS.replace(filling, "")
        .replace("  - fill: filling\n", "")
        .replace("  - cook: filling\n    for: 10 min\n    keep: KEPT\n    during: ferment\n", "")
    )
    sheet = safety_sheet(planned(plain))
    assert [row.name for row in sheet.foods] == ["wash"]
    assert not sheet.keep_cold
    assert sheet.foods[0].cooling == ()
    late = plain.replace("  - glaze: wash\n", "").replace("  - cool", "  - glaze: wash\n  - cool")
    sheet = safety_sheet(planned(late))
    assert sheet.keep_cold
    assert "food-raw-egg" in {n.code for n in sheet.foods[0].advice}
    assert "food-bake-to" not in {n.code for n in sheet.foods[0].advice}


def test_lethality_and_core_are_no_better_at_the_early_end() -> None:
    row = food(BY_CODES["US"], "filling")
    assert row.lethality is not None
    for cell in (row.lethality.reduction, row.lethality.worth):
        assert cell.value is not None
        assert cell.low is not None
        assert 0 <= cell.low <= cell.value
    assert row.cooking
    for cook in row.cooking:
        assert cook.met or not cook.met_early
        assert (cook.hottest.low or 0.0) <= (cook.hottest.value or 0.0)


def test_a_hotter_oven_in_the_same_time_never_kills_less() -> None:
    timed = BUNS.replace("oven: 190 °C fan", "oven: 190 °C fan\n    took: 9 min")
    hot = timed.replace("190 °C fan\n", "220 °C fan\n")
    mild, fierce = (food(safety_sheet(planned(t)), "filling").lethality for t in (timed, hot))
    assert mild is not None
    assert fierce is not None
    assert (mild.reduction.value or 0.0) >= 0.0
    assert (fierce.worth.low or 0.0) >= 0.0


def test_a_warmer_room_never_grows_less() -> None:
    cool, warm = (
        food(safety_sheet(planned(BUNS.replace("cook:", "make:"), room=room)), "filling")
        for room in ("18 °C", "28 °C")
    )
    for one, other in zip(cool.growth, warm.growth, strict=True):
        assert (one.rise.value or 0.0) < (other.rise.value or 0.0)


def test_on_display_a_bread_from_the_fridge_nears_the_air() -> None:
    sheet = safety_sheet(HERE, Stand(3 * 3600.0, ICE_POINT + 24))
    assert sheet.stand is not None
    assert sheet.stand.held == "cold"
    assert sheet.stand.start.value == pytest.approx(ICE_POINT + 5)
    assert ICE_POINT + 20 < (sheet.stand.end.value or 0.0) < ICE_POINT + 24
    household = next(c for c in sheet.stand.clocks if c.rule.id == "US-home-2h")
    assert household.exceeded


def test_held_hot_enough_by_one_rule_is_not_by_another() -> None:
    here = replace(HERE, kitchen=replace(HERE.kitchen, codes="US"))
    sheet = safety_sheet(here, Stand(6 * 3600.0, ICE_POINT + 58))
    assert sheet.stand is not None
    assert sheet.stand.held == "hot"
    found = {c.rule.id: c.exceeded for c in sheet.stand.clocks}
    assert found == {"FC-hot": False, "US-home-zone": True}  # 57 and 60 °C


def test_a_plan_says_each_finding_once_beside_a_step_of_its_own() -> None:
    sheet = BY_CODES["EU"]
    notices = food_notices(sheet)
    assert len({(n.code, n.where) for n in notices}) == len(notices)
    steps = len(HERE.formula.document.process)
    assert all(n.where[0] == "process" and 0 <= int(n.where[1]) <= steps for n in notices)
    assert "food-dough-cold" not in {n.code for n in notices}


def test_a_plain_bread_names_no_food_and_no_model() -> None:
    plain = BUNS.split("  filling:", maxsplit=1)[0] + "process:\n  - mix: dough\n  - bake: dough\n"
    sheet = safety_sheet(planned(plain))
    assert sheet.foods == ()
    assert sheet.models == ()
    assert sheet.baked == ()


CREAM_PUFFS = """
doughwright: formula/1
name: Puffs to test
yield: {pieces: 6, piece: 60 g}
preparations:
  poolish:
    kind: preferment
    ingredients: {strong white flour: 20 %, whole milk: 20 %, instant yeast: 0.2 %}
  dough:
    kind: dough
    from: [poolish]
    ingredients: {strong white flour: 80 %, water: 40 %, salt: 1.8 %, LINE}
  custard:
    kind: filling
    ingredients: {whole milk: 160 g, egg: 40 g}
  filling:
    kind: filling
    each: 40 g
    from: [custard]
    ingredients: {raisins: 1 parts}
process:
  - cook: custard
    for: 10 min
    keep: room
  - mix: poolish
    for: 3 min
  - ferment: poolish
    for: 14 h
  - mix: dough
    for: 10 min
  - ferment: dough
    for: 60 min
  - make: filling
    for: 5 min
    during: ferment
  - divide: dough
  - shape: dough
    form: {round: 8 cm, high: 3 cm}
  - proof: dough
    for: 30 min
  - bake: dough
    oven: 190 °C fan
    took: 12 min
  - fill: filling
  - cool: dough
    for: 2 h
"""


def puffs(line: str = "sugar: 5 %", process: str = "") -> SafetySheet:
    return safety_sheet(planned(CREAM_PUFFS.replace("LINE", line) + process))


def test_what_goes_into_a_filling_is_followed_from_its_own_stove() -> None:
    custard = food(puffs(), "custard")
    assert custard.within == "filling"
    assert custard.standing[0].verb == "cook"
    assert custard.standing[0].begins == pytest.approx(0.0)
    household = next(c for c in custard.clocks if c.rule.id == "US-home-2h")
    assert household.exceeded
    assert (household.measured.value or 0.0) > 12 * 3600
    assert any(row.after == "stove" for row in custard.cooling)


def test_a_night_of_a_milk_poolish_is_not_lost_at_mixing() -> None:
    poolish = food(puffs(), "poolish")
    assert (poolish.kind, poolish.within) == ("dough", "dough")
    assert "food-dough-overnight" in {n.code for n in poolish.advice}
    salmonella = next(g for g in poolish.growth if g.organism == "Salmonella")
    assert (salmonella.rise.value or 0.0) > 2.0


def test_what_is_filled_in_after_the_oven_is_followed_on_the_warm_bread() -> None:
    custard = food(puffs(), "custard")
    assert custard.put_on == "after"
    stays = next(row for row in custard.standing if row.verb == "on bread")
    assert stays.ends - stays.begins >= 2 * 3600
    assert custard.lethality is None
    assert custard.cooking == ()


def test_meat_and_cheese_in_a_dough_have_clocks_and_are_to_be_assessed() -> None:
    plain, bacon = puffs(), puffs("bacon: 20 %")
    assert food(bacon, "dough").clocks
    assert not any(row.name == "dough" for row in plain.foods)
    only = BUNS.split("  filling:", maxsplit=1)[0] + "process:\n  - mix: dough\n  - bake: dough\n"
    only = only.replace("salt: 1.8 %", "salt: 1.8 %, bacon: 20 %")
    sheet = safety_sheet(planned(only))
    assert (sheet.keep_cold, sheet.control_by) == (True, "assessment")


def test_a_thick_filling_between_two_bakes_has_no_invented_core() -> None:
    twice = BUNS.replace("  - fill: filling\n", "").replace(
        "  - cool: dough",
        "  - fill: filling\n  - bake: dough\n    oven: 190 °C fan\n    for: 15 min\n"
        "  - cool: dough",
    )
    row = food(safety_sheet(planned(twice)), "filling")
    assert row.put_on == "in"
    assert row.unseen
    assert row.cooking == ()
    assert row.lethality is None
    assert "food-bake-to" in {n.code for n in row.advice}


@pytest.mark.parametrize(
    "line", ["spinach: 3 parts", "tuna: 3 parts, water: 1 parts", "ham: 3 parts"]
)
def test_vegetables_and_fish_in_a_filling_ask_for_a_cold_bread(line: str) -> None:
    text = BUNS.replace("quark: 3 parts, egg: 1 parts", line)
    assert safety_sheet(planned(text)).keep_cold


def test_of_the_bakers_own_moist_things_it_is_said_that_nobody_knows() -> None:
    text = BUNS.replace("quark: 3 parts, egg: 1 parts", "tofu cream: 3 parts").replace(
        "  - glaze: wash\n", ""
    )
    for entry, known in (("{water: 80 %}", False), ("{water: 80 %, kind: dairy}", True)):
        sheet = safety_sheet(planned(text + f"ingredients:\n  tofu cream: {entry}\n"))
        assert (sheet.not_known == ()) == known
        assert sheet.keep_cold == known


def test_a_filling_without_a_step_of_its_own_takes_in_where_it_is_filled() -> None:
    text = CREAM_PUFFS.replace("LINE", "sugar: 5 %").replace(
        "  - make: filling\n    for: 5 min\n    during: ferment\n", ""
    )
    custard = food(safety_sheet(planned(text)), "custard")
    kept = next(row for row in custard.standing if row.verb == "kept:room")
    assert kept.ends - kept.begins > 12 * 3600
    filled = next(row for row in custard.standing if row.verb == "fill")
    assert filled.start < ICE_POINT + 25  # not as it came off the stove


def test_what_two_preparations_take_stands_until_each_takes_it() -> None:
    text = CREAM_PUFFS.replace("LINE", "sugar: 5 %")
    text = text.replace("    from: [custard]\n", "    from: {custard: 50 %}\n").replace(
        "process:\n",
        "  icing:\n    kind: topping\n    each: 20 g\n    from: {custard: 50 %}\n"
        "    ingredients: {sugar: 1 parts}\nprocess:\n",
    )
    text = text.replace("  - mix: poolish", "  - make: icing\n    for: 5 min\n  - mix: poolish")
    sheet = safety_sheet(planned(text + "  - top: icing\n"))
    both = {row.within: row for row in sheet.foods if row.name == "custard"}
    assert set(both) == {"filling", "icing"}
    stays = next(s for s in both["filling"].standing if s.verb == "kept:room")
    assert stays.ends - stays.begins > 12 * 3600  # until its own filling, not the icing, is made


def test_what_no_step_puts_on_is_named_and_keeps_the_bread_cold() -> None:
    sheet = safety_sheet(planned(BUNS.replace("  - fill: filling\n", "")))
    assert sheet.not_followed == ("filling",)
    assert sheet.keep_cold
    assert "food-not-put-on" in {n.code for n in food_notices(sheet)}


def test_a_part_baked_bread_is_followed_until_its_last_oven() -> None:
    twice = BUNS.replace(
        "  - cool: dough\n    for: 20 min",
        "  - cool: dough\n    for: 8 h\n  - bake: dough\n    oven: 220 °C fan\n    for: 8 min",
    )
    row = food(safety_sheet(planned(twice)), "filling")
    waits = next(s for s in row.standing if s.verb == "part-baked")
    assert waits.ends - waits.begins == pytest.approx(8 * 3600)
    assert row.unseen
    assert next(c for c in row.clocks if c.rule.id == "US-home-2h").exceeded


def test_a_bread_that_is_never_baked_has_no_word_of_an_oven() -> None:
    raw_one = BUNS.split("  - bake: dough", maxsplit=1)[0].replace("cook:", "make:")
    sheet = safety_sheet(planned(raw_one))
    assert not sheet.baked_in_plan
    row = food(sheet, "filling")
    assert not row.unseen
    assert "food-raw-egg" in {n.code for n in row.advice}


def test_a_dough_that_takes_in_a_filling_is_refused_with_its_place() -> None:
    text = CREAM_PUFFS.replace("LINE", "sugar: 5 %").replace(
        "from: [poolish]", "from: [poolish, custard]"
    )
    with pytest.raises(DocumentError) as refused:
        planned(text.replace("    from: [custard]\n", ""))
    (problem,) = refused.value.problems
    assert problem.code == "takes-what-is-not-mixed"
    assert problem.where == ("preparations", "dough", "from", "custard")
