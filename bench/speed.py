"""Speed of the parts a baker waits for, and ratios within one run.

Run by ``make bench``. Times are the best of several repeats: the machine's own noise only
ever adds. The budgets are printed beside the figures; nothing fails on them.
"""

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import read_document
from doughwright.engine.formula import solved
from doughwright.resolving.formulas import batch_of, resolved_formula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.resolving.mixes import mixes
from doughwright.resolving.process import timed_steps

EXAMPLES = Path(__file__).parents[1] / "examples"
FORMULA = EXAMPLES / "leek-and-curd-pockets.yaml"
KITCHEN = EXAMPLES / "harbour-lane.kitchen.yaml"


def best(run: Callable[[], object], repeats: int = 30) -> float:
    """Shortest time of several runs, s."""
    times = []
    for _ in range(repeats):
        began = time.perf_counter()
        run()
        times.append(time.perf_counter() - began)
    return min(times)


def command(*words: str) -> Callable[[], object]:
    """A run of the command line in a process of its own."""
    program = [sys.executable, "-m", "doughwright", *words]
    return lambda: subprocess.run(program, check=True, capture_output=True)


def main() -> None:
    text = FORMULA.read_text(encoding="utf-8")
    reading = read_document(text)
    formula = resolved_formula(reading.document)
    place = read_document(KITCHEN.read_text(encoding="utf-8")).document
    assert isinstance(place, KitchenDocument)
    kitchen = kitchen_from(place)
    steps = timed_steps(formula.document, kitchen, formula.solution.pieces)
    batch = batch_of(formula.document, formula.preparations)
    nothing = best(lambda: subprocess.run([sys.executable, "-c", ""], check=True), 7)
    rows = (
        ("read a formula document", best(lambda: read_document(text)), None),
        ("formula algebra", best(lambda: solved(formula.preparations, batch)), 1e-3),
        ("all mixes of a formula, solved", best(lambda: mixes(formula, kitchen, steps)), 2e-3),
        ("python, doing nothing", nothing, None),
        ("doughwright --help", best(command("--help"), 7), 0.15),
        (
            "doughwright plan",
            best(command("plan", str(FORMULA), "--kitchen", str(KITCHEN)), 7),
            1.0,
        ),
    )
    print(f"{'what':34}{'time':>12}{'budget':>12}{'x nothing':>12}")
    for what, took, budget in rows:
        allowed = f"{budget * 1e3:.1f} ms" if budget else ""
        print(f"{what:34}{took * 1e3:>9.2f} ms{allowed:>12}{took / nothing:>12.3f}")


if __name__ == "__main__":
    main()
