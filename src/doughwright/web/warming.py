"""The first plan of a server: compiled models linked, templates read, before a baker waits."""

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.render.page import bench_plan_page
from doughwright.resolving.formulas import Wish, resolved_formula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.sheets.bench_plan import bench_plan

BUNS = """\
doughwright: formula/1
name: First plan
yield: {pieces: 6, piece: 80 g}
preparations:
  dough:
    kind: dough
    aim: 25 °C
    ingredients: {strong white flour: 100 %, water: 62 %, salt: 2 %, instant yeast: 1 %}
process:
  - mix: dough
  - ferment: dough
    until: double
  - divide: dough
  - shape: dough
  - proof: dough
    until: 1.8x
  - bake: dough
    oven: 200 °C fan
"""


def first_plan() -> int:
    """Make a plan and its page; return the page's length."""
    document = read_document(BUNS).document
    assert isinstance(document, FormulaDocument)
    formula = resolved_formula(document, Wish())
    return len(bench_plan_page(bench_plan(formula, kitchen_from(None), formula)))
