"""A card: the bread of the bench plan, written up for a kitchen its baker never saw."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from doughwright.errors import DocumentError
from doughwright.render.card_phrases import (
    assumed_sentences,
    place_sentence,
    step_sentences,
    yield_line,
)
from doughwright.render.card_text import card_text
from doughwright.render.json_ld import recipe
from doughwright.render.numbers import mass
from doughwright.resolving.formulas import ResolvedFormula, Wish
from doughwright.resolving.kitchens import Kitchen, kitchen_from
from doughwright.resolving.oven_courses import Dial
from doughwright.sheets.card import CardSheet, card
from doughwright.sheets.card_sizes import usual_sizes
from doughwright.sheets.card_steps import CardStep
from doughwright.sheets.ovens import OvenRow, oven_rows
from doughwright.units import ICE_POINT

EXAMPLES = Path(__file__).parents[2] / "examples"
FORMULAS = sorted(
    p.stem for p in EXAMPLES.glob("*.yaml") if "doughwright: formula/1" in p.read_text("utf-8")
)
KITCHENS = ("harbour-lane", "home-in-the-hills")

ORDINARY = kitchen_from(None)

LOAF = """
yield: {pieces: 2, piece: 500 g}
preparations:
  dough:
    kind: dough
    aim: 25 °C
    ingredients: {strong white flour: 100 %, water: 66 %, salt: 2 %, instant yeast: 0.7 %}
process:
  - mix: dough
    by: hand
    for: 10 min
  - ferment: dough
    until: double
    took: 80–90 min
  - divide: dough
  - shape: dough
    form: {oval: 20 x 11 cm, high: 6 cm}
  - proof: dough
    until: 1.7x
    took: 60 min
  - bake: dough
    oven: 220 °C fan
    took: 30–34 min
tested in: {room: 22 °C, flour: 22 °C, oven: fan, altitude: 100 m}
"""

Cards = Callable[..., CardSheet]
Solve = Callable[..., ResolvedFormula]


def steps(sheet: CardSheet) -> list[CardStep]:
    return [step for section in sheet.sections for step in section.steps]


def step(sheet: CardSheet, verb: str) -> CardStep:
    return next(s for s in steps(sheet) if s.row.verb == verb)


def oven(sheet: CardSheet, kind: str) -> OvenRow:
    assert sheet.ovens is not None
    return next(row for row in sheet.ovens.rows if row.kind == kind)


@pytest.mark.parametrize("kitchen", KITCHENS)
@pytest.mark.parametrize("name", FORMULAS)
def test_every_example_can_be_written_up(card_of: Cards, name: str, kitchen: str) -> None:
    sheet = card_of(name, kitchen)
    assert sheet.label is not None
    assert sheet.ovens is not None
    assert sheet.elsewhere.waits
    assert sheet.division is not None
    assert sheet.total.low is not None
    assert sheet.total.high is not None
    assert sheet.hands_on.low < sheet.hands_on.value < sheet.hands_on.high  # type: ignore[operator]
    assert sheet.hands_on.high < sheet.total.low  # type: ignore[operator]


@pytest.mark.parametrize("name", FORMULAS)
def test_no_step_is_lost_and_none_comes_twice(card_of: Cards, name: str) -> None:
    sheet = card_of(name)
    text = (EXAMPLES / f"{name}.yaml").read_text("utf-8")
    written = text.split("process:")[1].count("\n  - ")
    positions = [s.row.position for s in steps(sheet)]
    preheats = [s for s in steps(sheet) if s.row.verb == "preheat"]
    assert len(set(positions)) == len(positions)
    assert len(positions) == written + (1 if "preheat:" not in text and preheats else 0)


def test_a_card_is_the_same_whoever_prints_it(card_of: Cards) -> None:
    here, hills = (card_of("leek-and-curd-pockets", kitchen) for kitchen in KITCHENS)
    assert here.kitchen.room.value == hills.kitchen.room.value == pytest.approx(ICE_POINT + 22)
    proofs = [step(sheet, "proof").row.lasts.value for sheet in (here, hills)]
    assert proofs[0] == pytest.approx(proofs[1], rel=0.001)
    assert oven(here, "fan").first.temperature == oven(hills, "fan").first.temperature
    assert here.kitchen.tap_cold.value != hills.kitchen.tap_cold.value  # not noted there


def test_the_times_are_those_the_baker_saw(card_of: Cards) -> None:
    proof = step(card_of("leek-and-curd-pockets"), "proof").row.lasts
    assert proof.low < 55 * 60 < proof.high  # type: ignore[operator]  # took: 55 min
    bake = step(card_of("leek-and-curd-pockets"), "bake").row.lasts
    assert (bake.low, bake.high) == pytest.approx((24 * 60, 27 * 60), rel=0.05)  # took: 24–27 min


def test_weights_are_to_a_gram_whatever_the_kitchen_weighs_with(card_of: Cards) -> None:
    sheet = card_of("leek-and-curd-pockets", "home-in-the-hills")  # its scale reads 2 g
    sponge = sheet.preparations[0].plan
    assert [round((line.weight.value or 0) * 1000, 1) for line in sponge.lines] == [143, 230, 6.2]


def test_a_step_that_runs_in_another_stands_behind_it(card_of: Cards) -> None:
    sheet = card_of("leek-and-curd-pockets")
    verbs = [(s.row.verb, s.host) for s in steps(sheet)]
    at = verbs.index(("make", ("rest", "dough")))
    assert verbs[at - 1][0] == "rest"
    heating = next(i for i, (verb, _) in enumerate(verbs) if verb == "preheat")
    assert verbs[heating][1] == ("proof", "dough")
    assert [s.kind for s in sheet.sections] == ["preparation", "preparation", "shape", "bake"]


def test_what_must_begin_before_its_host_says_how_much_earlier(card_of: Cards) -> None:
    heating = step(card_of("seeded-flatbread"), "preheat")
    assert heating.host == ("proof", "dough")
    assert heating.early is not None
    assert 60 < (heating.early.value or 0) < 30 * 60


def test_a_cooked_preparation_is_topped_up_to_its_weight(card_of: Cards) -> None:
    sheet = card_of("scalded-pan-loaf")
    cooked = step(sheet, "cook")
    scald = next(p.plan for p in sheet.preparations if p.plan.name == "scald")
    assert cooked.top_up is not None
    assert cooked.top_up.value == pytest.approx(scald.weight.value, abs=0.001)
    assert cooked.cooler_than is None  # a step cools it, and says to what


# Ovens


def test_the_oven_it_was_tested_in_is_as_written(card_of: Cards) -> None:
    sheet = card_of("leek-and-curd-pockets")
    fan, other, gas = (oven(sheet, kind) for kind in ("fan", "conventional", "gas"))
    assert fan.written
    assert fan.first.temperature is not None
    assert not fan.first.temperature.banded
    # oven tables: 165 °C fan is 185 °C conventional and between gas 4 (180) and 5 (190)
    assert other.first.temperature is not None
    assert other.first.temperature.value == pytest.approx(ICE_POINT + 185)
    assert other.first.temperature.high - other.first.temperature.low == pytest.approx(10)  # type: ignore[operator]
    assert gas.first.mark in {"4", "5"}
    assert {"4", "5"} <= set(gas.first.marks)


def test_a_gas_mark_stays_a_mark_and_becomes_degrees(card_of: Cards) -> None:
    sheet = card_of("potato-rolls")  # gas mark 6
    assert oven(sheet, "gas").written
    assert oven(sheet, "gas").first.mark == "6"
    conventional = oven(sheet, "conventional").first.temperature
    assert conventional is not None
    assert conventional.value == pytest.approx(ICE_POINT + 200, abs=5)  # oven tables: gas 6 is 200
    assert conventional.banded


def test_an_oven_turned_down_is_turned_down_in_every_kind(card_of: Cards) -> None:
    for kind in ("fan", "conventional", "gas"):
        row = oven(card_of("rye-and-wheat-hearth-loaf"), kind)
        assert row.then is not None
        assert row.first.temperature is not None
        assert row.then.temperature is not None
        assert row.then.temperature.value < row.first.temperature.value  # type: ignore[operator]


def test_a_dial_no_gas_oven_reaches_has_no_mark(solve: Solve) -> None:
    sheet = card(solve(LOAF.replace("220 °C fan", "280 °C fan")), ORDINARY)
    gas = oven(sheet, "gas")
    assert gas.first.temperature is None
    assert "no-gas-mark-near" in {n.code for n in gas.notices}


@pytest.mark.parametrize(
    ("name", "on"),
    [
        ("cold-retarded-tin-loaf", "tin"),
        ("seeded-flatbread", "hot metal"),
        ("cardamom-knots", "tray"),
    ],
)
def test_it_says_on_what_it_bakes(card_of: Cards, name: str, on: str) -> None:
    sheet = card_of(name)
    assert sheet.ovens is not None
    assert sheet.ovens.baked_on == on


# Other kitchens


def test_a_colder_room_is_slower_and_a_warmer_one_quicker(solve: Solve) -> None:
    sheet = card(solve(LOAF), ORDINARY)
    rooms = [round((p.room.value or 0) - ICE_POINT) for p in sheet.elsewhere.places]
    assert rooms == [18, 22, 27, 22]
    assert [p.tested for p in sheet.elsewhere.places] == [False, True, False, False]
    proof = next(w for w in sheet.elsewhere.waits if w.label == "proof dough")
    cold, own, warm, high = (cell.value for cell in proof.times)
    assert cold > own > warm  # type: ignore[operator]
    assert high < own  # type: ignore[operator]  # gas swells more in thinner air
    assert own == step(sheet, "proof").row.lasts.value
    assert all(cell.banded for cell in proof.times)


def test_the_water_is_warmer_in_a_colder_kitchen(solve: Solve) -> None:
    sheet = card(solve(LOAF), ORDINARY)
    (row,) = sheet.elsewhere.mixes
    liquids = [mix.levers[0].temperature.value for mix in row.mixes[:3]]
    assert all(mix.levers[0].kind == "liquid" for mix in row.mixes[:3])
    assert liquids == sorted(liquids, reverse=True)  # type: ignore[type-var]
    (way,) = sheet.elsewhere.ways
    assert way.way == "stand mixer"
    assert way.mix.levers[0].temperature.value < liquids[1]  # type: ignore[operator]


def test_the_room_it_was_tested_in_is_one_of_the_table(card_of: Cards) -> None:
    for name in FORMULAS:
        sheet = card_of(name)
        own = [p for p in sheet.elsewhere.places if p.tested]
        assert [p.room.value for p in own] == [sheet.kitchen.room.value], name


def test_without_a_tested_kitchen_no_time_is_moved(solve: Solve) -> None:
    untested = solve(LOAF.partition("tested in")[0])
    sheet = card(untested, ORDINARY)
    assert not sheet.tested
    assert sheet.kitchen.room.kind == "assumed"
    assert sheet.elsewhere.waits == ()  # stated for any kitchen: there is nothing to move


# Sizes


def test_every_size_weighs_in_proportion(card_of: Cards) -> None:
    for name in FORMULAS:
        table = card_of(name).sizes
        (own,) = (i for i, column in enumerate(table.columns) if column.own)
        for p in table.preparations:
            for i, column in enumerate(table.columns):
                exact = (p.sums[own].value or 0) * column.batches
                assert p.sums[i].value == pytest.approx(exact, abs=0.003, rel=0.01), (name, p.name)


def test_the_cards_own_size_is_what_it_says_to_weigh(card_of: Cards) -> None:
    for name in FORMULAS:
        sheet = card_of(name)
        (own,) = (i for i, column in enumerate(sheet.sizes.columns) if column.own)
        for p, sized in zip(sheet.preparations, sheet.sizes.preparations, strict=True):
            shown = [line.weight.value for line in p.plan.lines]
            assert [row.weights[own].value for row in sized.rows] == pytest.approx(shown)


def test_sizes_asked_for_are_those_shown(solve: Solve) -> None:
    sheet = card(solve(LOAF), ORDINARY, sizes=(1, 3, 5))
    assert [column.pieces for column in sheet.sizes.columns] == [1, 3, 5]
    flour = sheet.sizes.preparations[0].rows[0]
    # by hand: 500 g a piece and 2 % spare, 500/0.98/1.687 = 302.4 g of flour
    assert [cell.value for cell in flour.weights] == pytest.approx(
        [0.3024, 0.9073, 1.5121], abs=0.001
    )


def test_a_larger_batch_than_the_formulas_keeps_its_pieces_weight(solve: Solve) -> None:
    sheet = card(solve(LOAF, Wish(pieces=4, piece=0.4)), ORDINARY, solve(LOAF))
    assert sheet.division is not None
    assert (sheet.division.pieces, sheet.division.piece.value) == (4, pytest.approx(0.4))
    assert [column.pieces for column in sheet.sizes.columns] == [2, 4, 8]
    half, own, _ = sheet.sizes.preparations[0].sums
    assert half.value == pytest.approx((own.value or 0) / 2, abs=0.001)


def test_usual_sizes_hold_the_bread_itself() -> None:
    assert usual_sizes(7) == (6, 7, 8, 10)
    assert usual_sizes(2) == (1, 2, 4)
    assert usual_sizes(3) == (3, 6, 9)


NO_PIECES = """
yield: {flour: 1 kg}
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 66 %, salt: 2 %, instant yeast: 0.7 %}
"""


def test_a_dough_without_pieces_is_halved_and_doubled(solve: Solve) -> None:
    sheet = card(solve(NO_PIECES), ORDINARY)
    assert [c.batches for c in sheet.sizes.columns] == pytest.approx([0.5, 1.0, 2.0])
    assert sheet.sections == ()
    assert sheet.ovens is None
    assert sheet.label is None


def test_pieces_of_a_dough_without_pieces_are_refused(solve: Solve) -> None:
    with pytest.raises(DocumentError) as refused:
        card(solve(NO_PIECES), ORDINARY, sizes=(6, 8))
    assert [(p.code, p.where) for p in refused.value.problems] == [("piece-unknown", ("yield",))]


# Spoons and cups


def american(kitchen: Kitchen) -> Kitchen:
    return replace(kitchen, codes="US", buys_in="US")


def test_a_card_has_no_spoons_unless_asked(solve: Solve) -> None:
    sheet = card(solve(LOAF), ORDINARY)
    assert sheet.measures is None
    assert {m for p in sheet.preparations for m in p.measures} == {None}


def test_the_kitchens_country_says_whose_cups(solve: Solve) -> None:
    metric = card(solve(LOAF), ORDINARY, measures=True).measures
    us = card(solve(LOAF), american(ORDINARY), measures=True).measures
    assert metric is not None
    assert us is not None
    assert (metric.system, metric.cup.value) == ("metric", pytest.approx(250e-6))
    assert (us.system, us.cup.value) == ("US", pytest.approx(236.588e-6, rel=1e-5))


def test_eggs_are_counted_and_preparations_are_not_measured(card_of: Cards) -> None:
    sheet = card_of("leek-and-curd-pockets")
    dough = next(p for p in sheet.preparations if p.plan.name == "dough")
    by_name = dict(zip((line.name for line in dough.plan.lines), dough.measures, strict=True))
    assert by_name["sponge"] is None
    assert by_name["egg"] is None
    assert by_name["salt"] is not None


# What goes to whom


def test_food_findings_go_to_the_reader_and_gaps_to_the_author(card_of: Cards) -> None:
    pockets = card_of("leek-and-curd-pockets")
    assert {"food-cool-within", "food-keep-baked-cold"} <= {n.code for n in pockets.cautions}
    rolls = card_of("oat-and-honey-rolls")  # no step makes its soaked topping
    assert "food-not-made" in {n.code for n in rolls.for_author}
    assert "food-not-made" not in {n.code for n in rolls.cautions}


@pytest.mark.parametrize(
    ("fan", "within"), [(190, ("6", "7")), (185, ("5", "6", "7")), (200, ("7", "8"))]
)
def test_gas_marks_lie_about_what_is_wanted_not_about_the_nearest_of_them(
    fan: float, within: tuple[str, ...]
) -> None:
    """Marks by engine/properties/oven.tsv: 5 is 190, 6 is 200, 7 is 220, 8 is 230 °C."""
    rows = oven_rows(Dial("fan", ICE_POINT + fan), None)
    gas = next(row.first for row in rows if row.kind == "gas")
    assert gas.marks == within
    assert gas.mark in within


def test_a_bread_in_one_piece_has_its_ovens_and_no_pieces(solve: Solve) -> None:
    whole = """
yield: {flour: 500 g}
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 80 %, salt: 2 %, instant yeast: 0.7 %}
process:
  - mix: dough
  - ferment: dough
    until: double
    took: 90 min
  - bake: dough
    oven: gas mark 9
    then: gas mark 7
    took: 20–25 min
"""
    sheet = card(solve(whole), ORDINARY)
    assert oven(sheet, "fan").then is not None
    assert oven(sheet, "gas").first.mark == "9"
    assert "baked, it weighs" in yield_line(sheet)
    nutrition = recipe(sheet)["nutrition"]
    assert "piece" not in nutrition["servingSize"]  # type: ignore[index,operator]  # of a JSON tree


def test_what_nobody_noted_where_it_was_tested_is_said_to_be_taken(solve: Solve) -> None:
    noted = LOAF.replace("{room: 22 °C, flour: 22 °C, oven: fan, altitude: 100 m}", "{room: 22 °C}")
    warm = replace(ORDINARY, flour=ICE_POINT + 27, fridge=ICE_POINT + 7, assumed=frozenset())
    sheet = card(solve(noted), warm)
    assert place_sentence(sheet) == "Tested in a kitchen at 22 °C."
    taken = next(iter(assumed_sentences(sheet)))
    assert taken == "Not noted, so taken to be: flour 27 °C, fridge 7 °C, 0 m above the sea."
    whole = card(solve(LOAF), warm)
    said = place_sentence(whole)
    assert said == "Tested in a kitchen at 22 °C, the flour at 22 °C, 100 m above the sea."


def test_a_time_with_the_oven_turned_down_in_it_is_said_to_be_of_the_whole(solve: Solve) -> None:
    turned = LOAF.replace("oven: 220 °C fan", "oven: 220 °C fan\n    then: 200 °C fan")
    first = step_sentences(step(card(solve(turned), ORDINARY), "bake"))[0]
    assert first.endswith("then at 200 °C fan for 30–34 min in all.")


def test_a_table_of_sizes_never_shows_a_weight_far_from_what_is_meant(solve: Solve) -> None:
    pinch = LOAF.replace("instant yeast: 0.7 %", "instant yeast: 0.05 %")
    sheet = card(solve(pinch), ORDINARY, sizes=[1, 2])
    row = next(r for r in sheet.sizes.preparations[0].rows if r.name == "instant yeast")
    for cell, column in zip(row.weights, sheet.sizes.columns, strict=True):
        exact = (column.dough.value or 0.0) * 0.0005 / 1.6805
        assert cell.value == pytest.approx(exact, rel=0.1)
    assert mass(row.weights[0].value or 0.0, row.steps[0].value or 0.0) == "0.15 g"


def test_water_too_warm_for_yeast_in_another_kitchen_is_said_beside_its_table(
    card_of: Cards,
) -> None:
    sheet = card_of("leek-and-curd-pockets", "harbour-lane")
    assert [n.code for n in sheet.elsewhere.notices] == ["liquid-warm-for-yeast"]
    assert "Elsewhere: Liquid at 43 °C is warmer than the 40 °C" in card_text(sheet)
