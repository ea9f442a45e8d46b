"""An oven's setting that does not say its kind: the same oven on every sheet, in any kitchen."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from doughwright.render.card_phrases import assumed_sentences
from doughwright.render.messages import remedy, words
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen, kitchen_from
from doughwright.resolving.said_times import said_oven
from doughwright.sheets.bench_plan import bench_plan
from doughwright.sheets.card import card

LOAF = """\
doughwright: formula/1
name: Batons
yield: {pieces: 4, piece: 300 g}
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 68 %, salt: 2 %, instant yeast: 1 %}
process:
  - mix: dough
  - ferment: dough
    until: double
  - divide: dough
  - shape: dough
    form: {baton: 30 x 6 cm}
  - proof: dough
    until: 1.8x
  - bake: dough
    oven: 240 °C
    took: 22 min
"""
ORDINARY = kitchen_from(None)
ZERO = 273.15
"""K at 0 °C."""


@pytest.fixture
def kitchens() -> tuple[Kitchen, Kitchen]:
    bare, fan = (
        replace(ORDINARY, oven=replace(ORDINARY.oven, kind=kind))
        for kind in ("conventional", "fan")
    )
    return bare, fan


def test_it_is_one_without_a_fan_on_card_plan_and_beside_other_breads(
    solve: Callable[..., ResolvedFormula], kitchens: tuple[Kitchen, Kitchen]
) -> None:
    formula = solve(LOAF)
    beside = said_oven(formula.document)
    assert beside is not None
    assert beside.temperature == pytest.approx(ZERO + 240)
    for kitchen in kitchens:
        sheet = card(formula, kitchen)
        assert sheet.ovens is not None
        dials = {row.kind: row.first.temperature for row in sheet.ovens.rows}
        assert dials["conventional"] is not None
        assert dials["conventional"].value == pytest.approx(ZERO + 240)
        assert dials["fan"] is not None
        assert dials["fan"].value == pytest.approx(ZERO + 220)  # oven tables: 20 °C less
        assert "the oven one without a fan" in next(iter(assumed_sentences(sheet)))
        told = [n for n in sheet.for_author if n.code == "oven-kind-assumed"]
        assert "It is taken for one without a fan." in words(told[0])
        assert "`240 °C fan` or `240 °C conventional`" in remedy(told[0])


def test_a_fan_oven_is_set_lower_for_it(
    solve: Callable[..., ResolvedFormula], kitchens: tuple[Kitchen, Kitchen]
) -> None:
    bakes = [bench_plan(solve(LOAF), kitchen).bake for kitchen in kitchens]
    dials = [bake.rows[0].oven.temperature for bake in bakes if bake is not None]
    shown = [dial.value for dial in dials if dial is not None]
    assert shown == pytest.approx([ZERO + 240, ZERO + 220])


def test_the_kitchen_it_was_tested_in_says_the_kind_for_all_of_them(
    solve: Callable[..., ResolvedFormula], kitchens: tuple[Kitchen, Kitchen]
) -> None:
    formula = solve(f"{LOAF}tested in: {{oven: fan}}\n")
    beside = said_oven(formula.document)
    assert beside is not None
    assert beside.kind_said
    assert beside.temperature == pytest.approx(ZERO + 260)
    sheet = card(formula, kitchens[0])
    assert sheet.ovens is not None
    assert sheet.ovens.kind_said
    assert "without a fan" not in " ".join(assumed_sentences(sheet))
