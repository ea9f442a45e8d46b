"""What to weigh: ice, flour from two places, and what is too little for the scale."""

from collections.abc import Callable
from typing import Any

import pytest

from doughwright.engine.weighing import Scale
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.sheets.weighing import weight_notices

Mixing = Callable[..., Any]
Solve = Callable[..., ResolvedFormula]

GRAM = Scale(0.001)

LEAN = """
preparations:
  dough:
    kind: dough
    aim: AIM
    ingredients: {strong white flour: FLOUR, LIQUID: 650 g, salt: 20 g, instant yeast: 10 g}
"""


def lean(aim: str, flour: str = "1000 g", liquid: str = "water") -> str:
    return LEAN.replace("AIM", aim).replace("FLOUR", flour).replace("LIQUID", liquid)


def notice_of(solve: Solve, ingredients: str) -> Notice:
    formula = solve(
        f"preparations:\n  dough:\n    kind: dough\n    ingredients: {{{ingredients}}}\n"
    )
    (notice,) = weight_notices(formula.solution.named("dough"), GRAM)
    return notice


WARM_ROOM = ("room: 30 °C", "fridge: 5 °C", "freezer: -8 °C", "tap: {cold: 20 °C, hot: 50 °C}")


@pytest.mark.parametrize(
    ("formula", "cold"),
    [
        pytest.param(lean("19 °C", liquid="whole milk"), "fridge", id="kept on the bench"),
        pytest.param(
            lean("29 °C", "{amount: 1000 g, kept: freezer}"), "freezer", id="kept in the freezer"
        ),
    ],
)
def test_blended_flour_names_its_places(mixed: Mixing, formula: str, cold: str) -> None:
    line = mixed(formula, *WARM_ROOM).line("strong white flour")
    assert (line.cold_place, line.warm_place) == (cold, "bench")
    assert 0 < line.cold_part.value < line.weight.value


def test_ice_is_part_of_its_water(mixed: Mixing) -> None:
    # the water itself lies at the coldest the tap gives and stays as it lies
    line = mixed(lean("22 °C"), *WARM_ROOM).line("water")
    assert line.temperature.kind == "assumed"
    assert 0 < line.ice.value < line.weight.value


def test_a_line_of_one_place_names_none(mixed: Mixing) -> None:
    line = mixed(lean("25 °C")).line("salt")
    assert (line.cold_part, line.cold_place, line.warm_place) == (None, "", "")


def test_what_dissolves_may_be_weighed_in_a_solution(solve: Solve) -> None:
    # 0.5 g on a 1 g scale: 10 g in 190 g of water is one part in twenty, so 10 g of it hold
    # 0.5 g of yeast and 9.5 g of water that come off the liquid
    notice = notice_of(solve, "flour: 500 g, water: 300 g, instant yeast: 0.5 g")
    assert notice.code == "scale-too-coarse-dissolve"
    grams = {k: notice.values[k] * 1000 for k in ("dissolved", "water", "used", "off")}  # type: ignore[operator]  # masses
    assert grams == pytest.approx({"dissolved": 10, "water": 190, "used": 10, "off": 9.5})


@pytest.mark.parametrize(
    "ingredients",
    [
        pytest.param("flour: 500 g, egg: 300 g, salt: 0.5 g", id="nothing is poured"),
        pytest.param("flour: 500 g, water: 28 g, salt: 0.5 g", id="9.5 g are over a third of it"),
        pytest.param("flour: 500 g, water: 300 g, cardamom: 0.5 g", id="a spice sinks"),
        pytest.param("flour: 500 g, water: 300 g, salt: 0.05 g", id="2 kg of solution"),
    ],
)
def test_else_it_takes_a_finer_scale_or_a_larger_batch(solve: Solve, ingredients: str) -> None:
    notice = notice_of(solve, ingredients)
    assert notice.code == "scale-too-coarse"
    assert "dissolved" not in notice.values


def test_so_many_times_the_batch_can_be_weighed(solve: Solve) -> None:
    # within 5 % a 1 g scale weighs from 10 g: thirteen times 0.8 g are 10.4 g
    notice = notice_of(solve, "flour: 500 g, water: 300 g, cardamom: 0.8 g")
    assert notice.values["times"] == 13


def test_three_times_the_liquid_is_enough(solve: Solve) -> None:
    notice = notice_of(solve, "flour: 500 g, water: 29 g, salt: 0.5 g")
    assert notice.code == "scale-too-coarse-dissolve"
