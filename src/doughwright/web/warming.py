"""The first pages of a server: models linked, figures noted, before a baker waits."""

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.render.page import bench_plan_page
from doughwright.resolving.formulas import Wish, resolved_formula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.sheets.bench_plan import bench_plan
from doughwright.web.starts import STRAIGHT_DOUGH


def first_pages() -> None:
    """Make a plan, then the figures of the breads that have none yet, a few at a time."""
    from doughwright.web.finding import found  # noqa: PLC0415 - the compiler needs no library

    first_plan()
    waiting = found().waiting
    while waiting and (left := found().waiting) < waiting:
        waiting = left


def first_plan() -> int:
    """Make a plan and its page; return the page's length."""
    document = read_document(STRAIGHT_DOUGH).document
    assert isinstance(document, FormulaDocument)
    formula = resolved_formula(document, Wish())
    return len(bench_plan_page(bench_plan(formula, kitchen_from(None), formula)))


if __name__ == "__main__":  # compiles what was never compiled
    first_plan()
