"""Steps that stand in an order nobody can work in: what is used before it is made."""

from collections.abc import Iterator, Mapping

from doughwright.documents.formula import FERMENTING, FormulaDocument, Step
from doughwright.errors import Notice

PUT_TOGETHER = frozenset({"mix", "make", "cook", "soak"})
"""Steps in which a preparation comes to be."""

BEFORE_THE_OVEN = frozenset({"mix", "ferment", "divide", "pre-shape", "shape", "proof"})
"""What nobody does to a dough that is baked."""

Known = Mapping[str, list[tuple[int, Step]]]


def order_notices(document: FormulaDocument) -> Iterator[Notice]:
    """What is used, risen, shaped or baked before it is there; each once, at its step."""
    steps: dict[str, list[tuple[int, Step]]] = {}
    for i, step in enumerate(document.process):
        steps.setdefault(step.of, []).append((i, step))
    for name, preparation in document.preparations.items():
        mixes = [i for i, step in steps.get(name, ()) if step.verb == "mix"]
        if mixes:
            yield from _before_it_is_made(steps, name, mixes[0])
            for taken in preparation.uses:  # one that is mixed twice takes it the last time
                yield from _taken_too_early(steps, taken, name, mixes[-1])
                if document.preparations[taken].kind == "preferment" and taken not in steps:
                    yield Notice.of("stands-ready", "preparations", taken, name=taken)
        else:
            yield from _never_mixed(steps, name)
        yield from _after_the_oven(steps, name)


def _never_mixed(steps: Known, name: str) -> Iterator[Notice]:
    risen = next((i for i, step in steps.get(name, ()) if step.verb in FERMENTING), None)
    if risen is not None:
        yield Notice.of("never-mixed", "process", risen, name=name)


def _before_it_is_made(steps: Known, name: str, mixed: int) -> Iterator[Notice]:
    """A dough is mixed before anything else is done to it."""
    early = next(((i, step) for i, step in steps[name] if i < mixed), None)
    if early is not None and early[1].verb not in PUT_TOGETHER:
        at, step = early
        yield Notice.of(
            "before-it-is-mixed", "process", at, name=name, verb=step.verb, step=mixed + 1
        )


def _taken_too_early(steps: Known, taken: str, taker: str, mixed: int) -> Iterator[Notice]:
    """What a dough takes is put together, and has risen, before the dough is mixed."""
    made_by = PUT_TOGETHER | FERMENTING
    late = [(i, step) for i, step in steps.get(taken, ()) if step.verb in made_by and i > mixed]
    if late:
        at, step = late[0]
        yield Notice.of(
            "taken-too-early",
            "process",
            at,
            name=taken,
            verb=step.verb,
            taker=taker,
            step=mixed + 1,
        )


def _after_the_oven(steps: Known, name: str) -> Iterator[Notice]:
    """A dough is mixed, risen and shaped before its first bake."""
    baked = next((i for i, step in steps.get(name, ()) if step.verb == "bake"), None)
    late = [
        (i, step)
        for i, step in steps.get(name, ())
        if baked is not None and i > baked and step.verb in BEFORE_THE_OVEN
    ]
    if late and baked is not None:
        at, step = late[0]
        yield Notice.of("after-the-oven", "process", at, name=name, verb=step.verb, step=baked + 1)
