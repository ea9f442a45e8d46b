"""What holds for several lines and stages is said once, in text, page and PDF alike."""

from dataclasses import replace

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.engine.food_rules import Codes, rules
from doughwright.errors import Notice
from doughwright.render.page import bench_plan_page, preparation_block
from doughwright.render.plan_parts import written_plan
from doughwright.render.text import bench_plan_text
from doughwright.resolving.formulas import resolved_formula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.sheets.bench_plan import BenchPlan, bench_plan
from doughwright.sheets.said_once import said_once

SMALL_BUNS = """\
doughwright: formula/1
name: Small custard buns
yield: {pieces: 6, piece: 25 g}
preparations:
  sponge:
    kind: preferment
    ingredients: {strong white flour: 30 %, whole milk: 40 %, instant yeast: 2 %}
  dough:
    kind: dough
    from: [sponge]
    ingredients: {strong white flour: 70 %, egg: 12 %, salt: 1.8 %}
  custard:
    kind: filling
    each: 10 g
    ingredients: {whole milk: 5 parts, egg: 2 parts, salt: 0.02 parts}
process:
  - mix: sponge
  - ferment: sponge
    for: 2 h
  - mix: dough
  - ferment: dough
    for: 3 h
  - cook: custard
  - divide: dough
  - shape: dough
  - fill: custard
  - proof: dough
    for: 2 h
  - bake: dough
    oven: 180 °C fan
  - cool: dough
"""


@pytest.fixture(scope="module")
def plan() -> BenchPlan:
    document = read_document(SMALL_BUNS).document
    assert isinstance(document, FormulaDocument)
    return bench_plan(resolved_formula(document), kitchen_from(None))


def outside(position: int, name: str) -> Notice:
    values = {"model": "Fermentation", "input": name, "value": 0.2, "low": 0.0, "high": 0.05}
    return Notice("outside-model-range", ("process", position), values)


def test_the_first_stage_says_it_and_names_the_others() -> None:
    groups = [[Notice.of("food-toxin", "process", 4, times=12.0)], [outside(5, "sugar")]]
    groups += [[Notice.of("food-toxin", "process", 1, times=30.0), outside(3, "sugar")]]
    steps = {1: "mix sponge", 3: "ferment dough", 4: "mix dough", 5: "proof dough"}
    first, second, third = said_once(groups, steps)
    assert (first, second) == ((), ())
    assert [(n.where, n.values["also"]) for n in third] == [
        (("process", 1), (("mix dough",),)),
        (("process", 3), (("proof dough",),)),
    ]


def test_what_differs_by_more_than_its_place_is_said_each_time() -> None:
    found = [outside(1, "sugar"), outside(1, "salt"), Notice.of("two-wishes", "process", 1)]
    found.append(Notice.of("two-wishes", "process", 2))
    assert said_once([found], {1: "mix dough", 2: "ferment dough"}) == (tuple(found),)


def test_weights_too_small_for_the_scale_are_told_once_in_every_form(plan: BenchPlan) -> None:
    told = "Likewise: dough, salt; custard, salt."
    flat = str(written_plan(plan))
    for said in (bench_plan_text(plan), bench_plan_page(plan), flat):
        plain = " ".join(said.replace("\N{NO-BREAK SPACE}", " ").split())
        assert plain.count("is below what a scale reading") == 1
        assert told in plain


def test_each_line_too_small_for_the_scale_stays_marked(plan: BenchPlan) -> None:
    marked = {p.name: set(preparation_block(p, plan).careful) for p in plan.preparations}
    assert marked == {"sponge": {"instant yeast"}, "dough": {"salt"}, "custard": {"salt"}}


@pytest.mark.parametrize("codes", ["EU", "UK", "US"])
def test_no_reader_meets_the_short_name_of_a_rule(codes: Codes) -> None:
    document = read_document(SMALL_BUNS).document
    assert isinstance(document, FormulaDocument)
    kitchen = replace(kitchen_from(None), codes=codes)
    plan = bench_plan(resolved_formula(document), kitchen)
    assert plan.safety.foods
    for said in (bench_plan_text(plan), bench_plan_page(plan), str(written_plan(plan))):
        assert [rule for rule in rules() if rule in said] == []
