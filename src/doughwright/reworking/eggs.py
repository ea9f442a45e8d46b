"""Eggs: which break when a formula is made larger or smaller, and made whole again."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from math import ceil, floor

from doughwright.documents.editing import Edit
from doughwright.engine.exchange import whole_eggs
from doughwright.engine.ingredients import counted_mass, measures_of, size_said
from doughwright.engine.overall import free_water
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.reworking.amounts import EXACT
from doughwright.reworking.rework import (
    Rework,
    Weighed,
    all_but,
    refusal,
    reworked,
    set_amount,
    unchanged,
    weighed_lines,
)
from doughwright.reworking.swaps import lines_where
from doughwright.reworking.water import used, with_less_poured, yield_follows
from doughwright.units import Kilogram, Ratio


def broken_eggs(formula: ResolvedFormula, factor: Ratio) -> Iterator[Notice]:
    """Eggs that were counted and are none any more: what a baker can do.

    What goes on each piece by weight is mixed in its own proportion, and counts no eggs.
    """
    for line in _egg_lines(formula):
        amount, count = line.line.amount, line.line.amount.best * factor
        weighed = formula.document.preparations[line.preparation].each is not None
        if weighed or amount.dimension != "count" or _is_whole(count):
            continue
        mass, each = line.mass * factor, line.mass / amount.best
        choice = whole_eggs(mass, each, free_water(line.ingredient))
        values = {
            "mass": mass,
            "name": line.name,
            "whole": choice.whole,
            "size": amount.measure,
            "beaten": choice.beaten,
        }
        if _may_be_whole(formula, line):
            values |= {"more": choice.rounded_up, "water": choice.less_water}
            yield Notice.of("eggs-not-whole", *line.path, **values)
        else:
            values["of"] = line.preparation
            yield Notice.of("eggs-not-whole-beside", *line.path, **values)


def _is_whole(count: float) -> bool:
    return abs(count - round(count)) < EXACT * count


def _egg_lines(formula: ResolvedFormula) -> Iterator[Weighed]:
    """Lines of eggs, yolks and whites, that are counted by their size somewhere."""
    for name in formula.document.preparations:
        for line in weighed_lines(formula, name):
            if line.ingredient.kind == "egg" and measures_of(line.ingredient.name, "US"):
                yield line


def _may_be_whole(formula: ResolvedFormula, line: Weighed) -> bool:
    """Whether it is egg of the dough, whose water the dough's can make up for."""
    return line.ingredient.name == "egg" and used(formula, line) > 0


def _left(formula: ResolvedFormula, eggs: Iterable[Weighed]) -> Iterator[Notice]:
    """The eggs that stay as they are, broken or weighed."""
    made = {line.path for line in eggs}
    left = [
        f"{line.name} of the {line.preparation} ({line.line.amount.text})"
        for line in _egg_lines(formula)
        if line.path not in made
        and not (line.line.amount.dimension == "count" and _is_whole(line.line.amount.best))
    ]
    if left:
        yield Notice.of("eggs-left", "preparations", names=", ".join(left))


def with_whole_eggs(formula: ResolvedFormula, size: str = "", way: str = "nearest") -> Rework:
    """Make eggs whole numbers of a size; the water they bring or leave is made up for.

    ``size`` is a measure of the table, such as large; without it that of the line, else
    medium, in the country the formula is from. ``way`` is nearest, up or down. It leaves yolks
    and whites, and what does not go into the dough, and says so.
    """
    eggs = lines_where(formula, "egg", lambda i: i.name == "egg")
    edits: list[Edit] = []
    said: list[Notice] = []
    water = gained = 0.0
    for line in eggs:
        mass, amount, notice = _whole(formula, line, size, way)
        if amount == line.line.amount.text:
            continue
        more = (mass - line.mass) * used(formula, line)
        water, gained = water + more * free_water(line.ingredient), gained + more
        edits.append(set_amount(line, amount))
        said.append(notice)
    said += _left(formula, eggs)
    if not edits:
        return replace(unchanged(formula), notices=tuple(said))
    poured = with_less_poured(formula, water)
    edits += [*poured.edits, *yield_follows(formula, gained - poured.less, counted=True)]
    return reworked(formula, edits, all_but("fat", "sugar", "salt"), said)


def _whole(
    formula: ResolvedFormula, line: Weighed, size: str, way: str
) -> tuple[Kilogram, str, Notice]:
    amount = line.line.amount
    counted = size_said(amount.measure, "egg") if amount.dimension == "count" else ""
    asked = size or counted or "medium"
    region = formula.document.place or "EU"
    each = counted_mass("egg", asked, region)
    if each is None:
        raise refusal("unknown-measure", *line.path, read=asked, name="egg", allowed="large")
    count = _count(line.mass / each, way)
    more = (count * each - line.mass) * free_water(line.ingredient)
    notice = Notice.of(
        "eggs-made-whole",
        *line.path,
        was=line.mass,
        name=line.name,
        count=count,
        size=asked,
        each=each,
        water=abs(more),
        went="less" if more >= 0 else "more",
    )
    return count * each, f"{count} {asked}", notice


def _count(eggs: float, way: str) -> int:
    exact = {"up": ceil(eggs - EXACT), "down": floor(eggs + EXACT)}.get(way, round(eggs))
    return max(1, exact)
