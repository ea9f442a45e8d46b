"""Plans made in several threads at once, the first calls of a process among them."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
NAMES = ("leek-and-curd-pockets", "cardamom-knots", "rye-and-wheat-hearth-loaf", "potato-rolls")
PROGRAM = """
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

from doughwright.documents.reading import read_document
from doughwright.render.json_text import sheet_json
from doughwright.render.page import bench_plan_page
from doughwright.resolving.formulas import resolved_formula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.sheets.bench_plan import bench_plan

PATHS = [Path(name) for name in sys.argv[1:]]
AT_ONCE = Barrier(len(PATHS))


def made(path):
    formula = resolved_formula(read_document(path.read_text(encoding="utf-8")).document)
    plan = bench_plan(formula, kitchen_from(None), formula)
    return sheet_json(plan), bench_plan_page(plan)


def in_turn(number):
    AT_ONCE.wait()
    return [made(PATHS[number]), made(PATHS[number - 1])]


with ThreadPoolExecutor(len(PATHS)) as threads:
    found = list(threads.map(in_turn, range(len(PATHS))))
alone = [made(path) for path in PATHS]
for number, plans in enumerate(found):
    assert plans == [alone[number], alone[number - 1]], number
print("alike", sum(map(len, found)))
"""


def test_threads_that_begin_together_make_the_plans_one_makes_alone() -> None:
    """In a process of its own, so that nothing is linked, loaded or remembered before."""
    paths = [str(ROOT / "examples" / f"{name}.yaml") for name in NAMES]
    run = subprocess.run(
        [sys.executable, "-c", PROGRAM, *paths], capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    assert run.stdout.split() == ["alike", "8"]
