"""The sheet of one mix: the classic rule beside the balance, ice, bands and chilling times."""

from collections.abc import Callable
from typing import Any

import pytest

from doughwright.engine.chilling import flour_chilling_time
from doughwright.engine.levers import set_to
from doughwright.engine.mixing import mixed_dough
from doughwright.errors import Notice
from doughwright.units import ICE_POINT, Kelvin

Mixing = Callable[..., Any]

LEAN = """
preparations:
  dough:
    kind: dough
    aim: AIM
    ingredients: {strong white flour: FLOUR, LIQUID: 650 g, salt: 20 g, instant yeast: 5 g}
"""
SPONGED = """
preparations:
  sponge:
    kind: preferment
    ingredients: {strong white flour: 300 g, water: 300 g, instant yeast: 1 g}
  dough:
    kind: dough
    aim: 26 °C
    from: {sponge: {share: 100 %, at: SPONGE}}
    ingredients: {strong white flour: 700 g, water: 350 g, salt: 20 g}
"""
WARM_ROOM = ("room: 30 °C", "fridge: 5 °C", "tap: {cold: 20 °C, hot: 50 °C}")
MILD_ROOM = ("room: 21 °C", "fridge: 5 °C", "tap: {cold: 12 °C, hot: 50 °C}")


def lean(aim: str = "25 °C", flour: str = "1000 g", liquid: str = "water") -> str:
    return LEAN.replace("AIM", aim).replace("FLOUR", flour).replace("LIQUID", liquid)


def celsius(value: float) -> Kelvin:
    return value + ICE_POINT


def of_code(notices: tuple[Notice, ...], code: str) -> list[Notice]:
    return [n for n in notices if n.code == code]


# --- the classic rule -----------------------------------------------------------------------------


OTHER_LEVERS = [
    pytest.param("water", 22, "1000 g", 30, ["ice"], id="ice"),
    pytest.param("whole milk", 19, "1000 g", 30, ["flour"], id="cold flour"),
]
"""Doughs for which the rule's liquid is not the only lever, and how warm their flour lies."""


@pytest.mark.parametrize(("liquid", "aim", "flour", "lies", "pulled"), OTHER_LEVERS)
def test_the_rule_is_judged_with_everything_as_it_lies(
    mixed: Mixing, liquid: str, aim: float, flour: str, lies: float, pulled: list[str]
) -> None:
    found = mixed(lean(f"{aim} °C", flour, liquid), *WARM_ROOM)
    row = found.sheet.classic
    assert [lever.kind for lever in found.mix.pulled] == pulled
    # three factors: 3 · aim − room − flour − factor
    assert row.factors == 3
    by_hand = 3 * aim - 30 - lies - row.friction_factor.value
    assert row.liquid.value == pytest.approx(celsius(by_hand))


def test_no_rule_is_shown_beside_a_liquid_at_its_limit(mixed: Mixing) -> None:
    # flour from the freezer: the water stands at what yeast bears, and flour takes up the rest
    found = mixed(lean("28 °C", "{amount: 1000 g, kept: freezer}", "water"), *WARM_ROOM)
    assert [lever.kind for lever in found.mix.pulled] == ["liquid", "flour"]
    assert found.sheet.classic is None


@pytest.mark.parametrize(("liquid", "aim", "flour", "lies", "pulled"), OTHER_LEVERS)
def test_the_dough_by_the_rule_is_kneaded_where_the_dough_is(
    mixed: Mixing, liquid: str, aim: float, flour: str, lies: float, pulled: list[str]
) -> None:
    # the liquid of either answer, put into the dough as it lies, in the bowl and on the table it
    # is mixed in: the balance's gives the aim, the rule's what the sheet says
    found = mixed(lean(f"{aim} °C", flour, liquid), *WARM_ROOM)
    row, mix = found.sheet.classic, found.mix
    assert pulled
    assert next(x for x in mix.lying if x.dry_flour).temperature == pytest.approx(celsius(lies))

    def dough(poured: Kelvin) -> Kelvin:
        return mixed_dough(set_to(mix.lying, [liquid], poured), mix.way, mix.bench).temperature

    assert dough(row.balance.value) == pytest.approx(celsius(aim), abs=1e-6)
    assert dough(row.liquid.value) == pytest.approx(row.dough.value)
    assert row.difference.value == pytest.approx(row.liquid.value - row.balance.value)


def test_a_rule_that_asks_for_warmer_water_gives_a_warmer_dough(mixed: Mixing) -> None:
    row = mixed(lean("26 °C"), *MILD_ROOM).sheet.classic
    assert (row.difference.value > 0) == (row.dough.value > celsius(26))


def test_a_preferment_counts_as_it_comes_in(mixed: Mixing) -> None:
    found = mixed(SPONGED.replace("SPONGE", "18 °C"), *MILD_ROOM)
    row = found.sheet.classic
    assert row.factors == 4
    by_hand = 4 * 26 - 21 - 21 - 18 - row.friction_factor.value
    assert row.liquid.value == pytest.approx(celsius(by_hand))


@pytest.mark.parametrize(
    ("flour", "aim"),
    [
        # the rule's 3 · 30 − 21 + 18 is short of 100 °C, but 650 g of water at 100 °C have 190 kJ
        # to give to a dough at 30 °C, and 2.5 kg of flour at −18 °C (1.8 kJ/K) want 216 kJ
        ("{amount: 2500 g, at: -18 °C}", "30 °C"),
        ("{amount: 1000 g, at: -18 °C}", "40 °C"),  # 3 · 40 − 21 + 18 is over 100 °C
        ("{amount: 1000 g, at: 60 °C}", "18 °C"),  # 3 · 18 − 21 − 60 is below −20 °C
    ],
)
def test_what_is_no_longer_a_liquid_is_not_compared(mixed: Mixing, flour: str, aim: str) -> None:
    found = mixed(lean(aim, flour), *MILD_ROOM)
    assert found.mix.pulled
    assert found.sheet.classic is None
    assert of_code(found.sheet.advice, "outside-model-range") == []


def test_beyond_its_temperatures_the_rule_says_so_once(mixed: Mixing) -> None:
    # a room at 30 °C is beyond the 15–27 °C of its card, and flour at 15 °C 15 K apart from it
    found = mixed(lean("24 °C"), *WARM_ROOM, "flour: 15 °C")
    (notice,) = of_code(found.sheet.advice, "outside-model-range")
    assert notice.values["input"] == "known temperature"
    assert notice.values["value"] == pytest.approx(celsius(30))
    assert notice.where == ("preparations", "dough")


def test_temperatures_far_apart_are_said_as_a_difference(mixed: Mixing) -> None:
    # both within 15–27 °C, but 10 K apart
    found = mixed(lean("24 °C"), "room: 26 °C", "flour: 16 °C")
    (notice,) = of_code(found.sheet.advice, "outside-model-range")
    assert notice.values["input"] == "spread"
    assert notice.values["value"] == pytest.approx(10.0)
    assert notice.values["unit"] == "delta_K"


def test_within_its_temperatures_the_rule_needs_no_notice(mixed: Mixing) -> None:
    assert of_code(mixed(lean(), *MILD_ROOM).sheet.advice, "outside-model-range") == []


# --- ice ------------------------------------------------------------------------------------------


def test_the_ice_of_a_lever_is_that_of_its_line(mixed: Mixing) -> None:
    found = mixed(lean("22 °C"), *WARM_ROOM, "scale: {reads: 5 g}")
    ice = next(row for row in found.sheet.levers if row.kind == "ice")
    assert ice.mass.value == found.line("water").ice.value
    assert ice.mass.value * 1000 % 5 == pytest.approx(0.0, abs=1e-9)
    assert ice.mass.value > 0


def test_no_other_lever_has_a_mass_of_ice(mixed: Mixing) -> None:
    found = mixed(lean("28 °C", "{amount: 1000 g, kept: freezer}"), *WARM_ROOM)
    assert [row.mass for row in found.sheet.levers] == [None, None]


# --- the band -------------------------------------------------------------------------------------

BY_MIXER = lean() + "process:\n  - {mix: dough, by: stand mixer, for: 8 min}\n"


@pytest.mark.parametrize(
    ("formula", "kitchen", "error"),
    [
        # the card of the heat balance: ±1 K by hand and where the warming is known, else ±2 K
        pytest.param(lean(), (), 1.0, id="by hand"),
        pytest.param(BY_MIXER, (), 2.0, id="a mixer's usual heat"),
        pytest.param(BY_MIXER, ("mixer: {stand mixer: 3 °C}",), 1.0, id="a known warming"),
    ],
)
def test_how_far_off_a_dough_may_be(
    mixed: Mixing, formula: str, kitchen: tuple[str, ...], error: float
) -> None:
    sheet = mixed(formula, *MILD_ROOM, *kitchen).sheet
    for cell in (sheet.temperature, sheet.unsteered):
        assert cell.high - cell.value == pytest.approx(error)
        assert cell.value - cell.low == pytest.approx(error)


# --- chilling times -------------------------------------------------------------------------------


def test_only_the_flour_that_goes_into_the_fridge_is_chilled(mixed: Mixing) -> None:
    found = mixed(lean("19 °C", liquid="whole milk"), *WARM_ROOM)
    (lever,) = (x for x in found.mix.pulled if x.kind == "flour")
    assert 0.1 < lever.cold_share < 0.9
    (notice,) = of_code(found.sheet.advice, "flour-chilling-time")
    assert notice.values["mass"] == pytest.approx(lever.cold_share * 1.0)
    alone = flour_chilling_time(lever.cold_share * 1.0, celsius(30), celsius(5))
    assert notice.values["time"] == pytest.approx(alone)


def test_flour_kept_in_the_fridge_is_chilled_whole(mixed: Mixing) -> None:
    found = mixed(lean("25 °C", "{amount: 1000 g, kept: fridge}"), *MILD_ROOM)
    (notice,) = of_code(found.sheet.advice, "flour-chilling-time")
    assert notice.values["mass"] == pytest.approx(1.0)


def test_flour_from_the_freezer_is_not_put_in_the_fridge(mixed: Mixing) -> None:
    found = mixed(lean("28 °C", "{amount: 1000 g, kept: freezer}"), *WARM_ROOM)
    assert [x.cold_share is not None for x in found.mix.pulled] == [False, True]
    assert of_code(found.sheet.advice, "flour-chilling-time") == []


def test_a_sack_in_the_fridge_is_beyond_the_card(mixed: Mixing) -> None:
    # the card of chilling covers bags of 0.1–5 kg
    found = mixed(lean("25 °C", "{amount: 100 kg, kept: fridge}"), *MILD_ROOM)
    (chilled,) = of_code(found.sheet.advice, "flour-chilling-time")
    beyond = of_code(found.sheet.advice, "outside-model-range")
    (notice,) = (n for n in beyond if n.values["input"] == "mass")
    assert notice.values["value"] == chilled.values["mass"]
    assert notice.values["value"] > 5.0 == notice.values["high"]
