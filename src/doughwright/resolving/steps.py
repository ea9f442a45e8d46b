"""What cannot be meant in a process, whatever the kitchen."""

from doughwright.documents.formula import FormulaDocument
from doughwright.errors import Notice

FREE_WORDS = frozenset({"glaze", "top", "preheat"})
"""Steps that may name something that is no preparation (``glaze: egg wash``)."""


def step_problems(document: FormulaDocument) -> list[Notice]:
    """Steps about preparations that are not there, and bakes that cannot be meant."""
    names = document.preparations
    return _bake_problems(document) + [
        Notice.of(
            "unknown-preparation", "process", i, step.verb, read=step.of, allowed=", ".join(names)
        )
        for i, step in enumerate(document.process)
        if step.of not in names and step.verb not in FREE_WORDS
    ]


BOILING, COOLEST_OVEN, HOTTEST_OVEN = 373.15, 323.15, 773.15
"""What a core cannot pass, and between which dials an oven bakes bread (assumption), K."""


def _bake_problems(document: FormulaDocument) -> list[Notice]:
    """Bakes that cannot be meant: a core above boiling, an oven that is none."""
    found: list[Notice] = []
    for i, step in enumerate(document.process):
        if step.core is not None and step.core.best > BOILING:
            found.append(Notice.of("core-above-boiling", "process", i, "core", core=step.core.best))
        dial = step.oven.temperature if step.oven is not None else None
        if dial is not None and not COOLEST_OVEN <= dial.best <= HOTTEST_OVEN:
            found.append(Notice.of("oven-out-of-range", "process", i, "oven", oven=dial.best))
        noted = step.took if step.took is not None else step.lasts
        if step.verb == "bake" and noted is not None and noted.low <= 0:
            found.append(Notice.of("bake-takes-no-time", "process", i, read=noted.text))
    return found
