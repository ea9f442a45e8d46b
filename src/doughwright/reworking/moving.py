"""Parts of lines moved from one preparation to another: nothing of the whole comes or goes."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from doughwright.documents.editing import Carry, Edit, Insert, Remove, SetValue
from doughwright.documents.formula import FormulaDocument
from doughwright.documents.quantities import Quantity, quantity
from doughwright.engine.properties import constants
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.reworking.amounts import EXACT, amount_of, decimals, times
from doughwright.reworking.rework import (
    Weighed,
    is_nothing,
    line_named,
    place_after,
    set_amount,
    weighed_lines,
)
from doughwright.units import Kilogram, Ratio

Shares = Mapping[str, Ratio]
"""How much of each line, by its name, is meant."""

Tree = dict[str, Any]


def usual(name: str) -> float:
    """Value of a row of ``properties/preferments.tsv``.

    >>> usual("poolish_liquid")  # bakemag.com 10807: 3.3 kg of water on 3.3 kg of flour
    1.0
    """
    return constants("preferments")[name].value


def has_usual(name: str) -> bool:
    """Whether a style has a figure of its own."""
    return name in constants("preferments")


def taken_first(lines: Iterable[Weighed], wanted: Kilogram, flour: Kilogram) -> dict[str, Ratio]:
    """Share of each line that makes up a weight of them, the first lines first."""
    shares: dict[str, Ratio] = {}
    for line in lines:
        if line.mass > 0 and not is_nothing(wanted, flour):
            shares[line.name] = min(1.0, wanted / line.mass)
            wanted -= shares[line.name] * line.mass
    return shares


def parted(was: Quantity, share: Ratio) -> tuple[str, str]:
    """Return an amount in two that add up to it, to the last figure; nothing left is empty.

    >>> from doughwright.documents.quantities import quantity
    >>> parted(quantity("67 %", "percent"), 1 / 3)
    ('22.333 %', '44.667 %')
    """
    if share >= 1 - EXACT:
        return was.text, ""
    moved = times(was, share, decimals(was.text))
    kept = 1 - quantity(moved, was.dimension).best / was.best
    return moved, times(was, kept, max(decimals(was.text), decimals(moved)))


def moved_out(lines: Iterable[Weighed], shares: Shares, into: str) -> tuple[list[Edit], Tree]:
    """Take shares out of lines; return the edits, and the lines that stand elsewhere now.

    The edits come after those are put ``into`` their preparation: comments go along.
    """
    edits: list[Edit] = []
    moved: Tree = {}
    for line in lines:
        if line.name not in shares:
            continue
        went, left = parted(line.line.amount, shares[line.name])
        edits.append(set_amount(line, left) if left else _carried(line, into, line.name))
        moved[line.name] = said_of(line, went)
    return edits, moved


def _carried(line: Weighed, into: str, name: str) -> Edit:
    """Take a line out that stands in another preparation now; its comments stand there."""
    return Carry(line.path, ("preparations", into, "ingredients", name))


def said_of(line: Weighed, amount: str) -> Any:
    """Return what a document says of a line, with another amount."""
    said = line.line.model_dump(by_alias=True, exclude_unset=True)
    beside = {k: v for k, v in said.items() if k != "amount"} if isinstance(said, dict) else {}
    return {"amount": amount, **beside} if beside else amount


def moved_in(
    formula: ResolvedFormula, into: str, lines: Iterable[Weighed], used: Ratio
) -> Iterator[Edit]:
    """Put what ends in a preparation of the lines of another into its own lines."""
    position = place_after(formula, into)
    for line in lines:
        there, mass = line_named(formula, into, line), line.mass * used
        if there is not None and there.mass > 0:
            yield set_amount(there, joined(there, mass, line.line.amount.text))
        elif there is not None:
            flour = formula.solution.total_flour
            yield set_amount(there, amount_of(mass, flour, there.line.amount))
        else:
            amount = times(line.line.amount, used)
            path = ("preparations", into, "ingredients")
            yield Insert(path, position, line.name, said_of(line, amount))
            position += 1
        yield _carried(line, into, there.name if there is not None else line.name)


def joined(there: Weighed, mass: Kilogram, words: str) -> str:
    """Return the amount of a line that a weight written in words goes into, to the last figure."""
    finest = max(decimals(text) for text in (there.line.amount.text, words))
    return times(there.line.amount, 1 + mass / there.mass, finest)


# --- preparations and their steps


def first_step(document: FormulaDocument, name: str) -> int:
    """Where the first step stands that makes a preparation or something it takes."""
    makes = {name, *document.preparations[name].uses}
    found = (i for i, step in enumerate(document.process) if step.of in makes)
    return next(found, len(document.process))


def put_before(
    document: FormulaDocument, dough: str, name: str, tree: Tree, steps: Iterable[Tree]
) -> list[Edit]:
    """Put a preparation that a dough takes before it, and its steps before the dough's."""
    position = [*document.preparations].index(dough)
    taken = len(document.preparations[dough].uses)
    edits: list[Edit] = [
        Insert(("preparations", dough, "from"), taken, None, name),
        Insert(("preparations",), position, name, tree),
    ]
    at = first_step(document, dough)
    if document.process:
        edits += [Insert(("process",), at + i, None, step) for i, step in enumerate(steps)]
    return edits


def taken_away(formula: ResolvedFormula, name: str, into: str) -> list[Edit]:
    """Take a preparation out: its lines go where it went, its steps go."""
    document = formula.document
    lines, used = weighed_lines(formula, name), share_taken(formula, name, into)
    steps = [i for i, step in enumerate(document.process) if step.of == name]
    return [
        *moved_in(formula, into, lines, used),
        *(SetValue(("process", i), "") for i in reversed(steps)),
        _untaken(document, name, into),
        SetValue(("preparations", name), ""),
        *_note_kept(document, name, into),
    ]


def _untaken(document: FormulaDocument, name: str, into: str) -> Edit:
    only = len(document.preparations[into].uses) == 1
    path = ("preparations", into, "from")
    return Remove(path if only else (*path, name))  # with what a comment says of it


def _note_kept(document: FormulaDocument, name: str, into: str) -> list[Edit]:
    """A preparation's note is the baker's: it goes to the dough with its name before it."""
    note, there = document.preparations[name].note, document.preparations[into].note
    if note is None:
        return []
    said = f"{name}: {note}"
    return [SetValue(("preparations", into, "note"), f"{there} {said}" if there else said)]


def share_taken(formula: ResolvedFormula, name: str, into: str) -> Ratio:
    """Share of a preparation that goes into another."""
    taken, made = formula.solution.named(into).taken[name], formula.solution.named(name).mass
    return taken / made


def takers(document: FormulaDocument, name: str) -> list[str]:
    """Return the preparations that take another."""
    return [each for each, p in document.preparations.items() if name in p.uses]


def free_name(document: FormulaDocument, name: str) -> str:
    """Return a name that no preparation has: the style's, else with a number behind."""
    names = (name, *(f"{name} {i}" for i in range(2, len(document.preparations) + 3)))
    return next(each for each in names if each not in document.preparations)
