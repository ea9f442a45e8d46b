"""Dividing: pieces and what is left, fillings per piece, tins, areas, another batch size."""

import math
from dataclasses import dataclass, replace

from doughwright.engine.formula import (
    PERCENT_SLACK,
    Batch,
    SolvedFormula,
    SolvedPreparation,
    refused,
)
from doughwright.errors import ImpossibleInput, Notice
from doughwright.units import CubicMetre, Kilogram, Metre, Ratio, SquareMetre

_EXACT = 1e-9
_WEIGHABLE: Ratio = 1e-6
_ROUNDED: Ratio = 1e-4
"""A tenth of a gram in a kilogram of dough is a rounding of its lines, no want of dough."""


@dataclass(frozen=True, slots=True)
class Division:
    """Pieces of one weight cut from a dough, and what is left of it."""

    pieces: int
    piece: Kilogram
    remainder: Kilogram


def division(dough: Kilogram, piece: Kilogram, spare: Ratio = 0.0, at_a_time: int = 1) -> Division:
    """Cut a dough into pieces, a whole number of loaves of ``at_a_time`` pieces each.

    >>> division(2.393, 0.080, spare=0.02).pieces  # hotel recipe of hot cross buns, 2393 g
    29
    """
    usable = dough * (1 - spare)
    pieces = int(usable / (piece * at_a_time) * (1 + _EXACT)) * at_a_time
    return Division(pieces, piece, usable - pieces * piece)


def even_division(dough: Kilogram, piece: Kilogram, at_a_time: int = 1) -> Division:
    """Cut all of a dough into loaves of pieces as near the wanted weight as can be.

    >>> round(even_division(1.031, 0.115, at_a_time=3).piece * 1000, 1)  # challah, 1031 g
    114.6
    """
    loaves = max(1, round(dough / (piece * at_a_time)))
    return Division(loaves * at_a_time, dough / (loaves * at_a_time), 0.0)


def dough_for(pieces: int, piece: Kilogram, spare: Ratio = 0.0) -> Kilogram:
    """Dough to mix for pieces of a scaled weight: divided by the kept share, not added.

    >>> round(dough_for(17, 0.5, 0.15 / 8.5) * 1000)  # 17 loaves, the last 150 g short
    8653
    """
    return pieces * piece / (1 - spare)


def scaled_weight(baked: Kilogram, baking_loss: Ratio) -> Kilogram:
    """Dough to scale for a piece of a wanted baked weight.

    >>> round(scaled_weight(0.3, 47 / 314) * 1000)  # 314 g that bakes to 267 g
    353
    """
    return baked / (1 - baking_loss)


def frustum_volume(
    top: SquareMetre, middle: SquareMetre, base: SquareMetre, height: Metre
) -> CubicMetre:
    """Volume of a tin with sloping walls, from three level cuts (Simpson's rule).

    >>> round(frustum_volume(0.01, 0.01, 0.01, 0.1), 6)  # a box
    0.001
    """
    return height / 6 * (top + 4 * middle + base)


def area_factor(old: Metre, new: Metre) -> Ratio:
    """How much more dough a round of another width takes at the same thickness.

    >>> round(11 * area_factor(12, 14), 2)  # a 12 inch pizza of 11 oz made 14 inch
    14.97
    """
    return (new / old) ** 2


def round_width(old: Metre, factor: Ratio) -> Metre:
    """Width of a round that takes ``factor`` times the dough at the same thickness.

    >>> round(round_width(16, 0.5), 1)  # half a 16 inch pizza's dough
    11.3
    """
    return old * math.sqrt(factor)


def divided(formula: SolvedFormula, batch: Batch) -> SolvedFormula:
    """Divide the dough as the batch says, and weigh out what goes beside it.

    >>> from doughwright.engine.formula import Line, Preparation, solved
    >>> from doughwright.engine.ingredients import ingredient_table
    >>> line = Line("dough", ingredient_table()["strong white flour"], fixed=2.393)
    >>> batch = Batch(piece=0.080, spare=0.02)  # hotel recipe of hot cross buns, 2393 g
    >>> buns = divided(solved([Preparation("dough", "dough", (line,))], batch), batch)
    >>> buns.pieces, round(buns.remainder * 1000)
    (29, 25)

    Raises
    ------
    ImpossibleInput
        If the pieces asked for need more dough than the lines' own weights make.
    """
    _check_given(formula, batch)
    usable = formula.dough * (1 - batch.spare)
    pieces, piece = batch.pieces, batch.piece
    if pieces is not None and piece is None:
        piece = usable / pieces
    elif piece is not None and pieces is None:
        pieces = int(usable / piece * (1 + _EXACT))
        if pieces == 0:
            raise ImpossibleInput(
                [Notice.of("piece-too-large", "yield", "piece", piece=piece, dough=usable)]
            )
    left = usable - pieces * piece if pieces and piece else 0.0
    pieced = replace(formula, pieces=pieces, piece=piece, spare=batch.spare, remainder=left)
    if left < -_WEIGHABLE * formula.dough:
        pieced = _short_of_spare(pieced)
    return replace(pieced, preparations=tuple(_beside(p, pieced) for p in pieced.preparations))


def _short_of_spare(formula: SolvedFormula) -> SolvedFormula:
    """Give the pieces what was to be spared, and say so; refuse when that is not enough.

    A rounding of the lines is not worth saying.
    """
    assert formula.pieces is not None
    assert formula.piece is not None
    wanted = formula.pieces * formula.piece
    if wanted > formula.dough * (1 + _ROUNDED):
        raise ImpossibleInput([_too_little(formula.dough, formula.pieces, formula.piece)])
    spare = max(0.0, 1 - wanted / formula.dough)
    if formula.spare - spare < _ROUNDED:
        return replace(formula, spare=spare, remainder=0.0)
    notice = Notice.of(
        "spare-short",
        "yield",
        left=spare,
        usual=formula.spare,
        lighter=formula.dough * (1 - formula.spare) / formula.pieces,
        more=wanted / (1 - formula.spare) - formula.dough,
    )
    return replace(formula, spare=spare, remainder=0.0, notices=(*formula.notices, notice))


def _too_little(dough: Kilogram, pieces: int, piece: Kilogram) -> Notice:
    return Notice.of(
        "pieces-need-more-dough",
        "yield",
        dough=dough,
        pieces=pieces,
        piece=piece,
        short=pieces * piece - dough,
        possible=int(dough / piece),
        lighter=dough / pieces,
    )


def _check_given(formula: SolvedFormula, batch: Batch) -> None:
    """Refuse a batch in flour or dough that the lines' own weights contradict."""
    for word, wanted, found in (
        ("flour", batch.flour, formula.total_flour),
        ("dough", batch.dough, formula.dough),
    ):
        if wanted is not None and abs(found / wanted - 1) > PERCENT_SLACK:
            notice = Notice.of("yield-contradicts", "yield", word, wanted=wanted, found=found)
            raise ImpossibleInput([notice])


def _beside(p: SolvedPreparation, formula: SolvedFormula) -> SolvedPreparation:
    """Scale a filling, glaze or topping to its mass per piece."""
    parts = sum(line.parts for line in p.preparation.lines)
    if p.preparation.in_dough:
        if parts:
            raise refused("parts-in-dough", p.name, "ingredients")
        if p.preparation.each is not None:
            raise refused("each-in-dough", p.name, "each")
        return p
    _check_taken(p, formula)
    each, written = p.preparation.each, sum(p.masses)
    weighed = any(line.fixed or line.ratio for line in p.preparation.lines)
    if each is None:
        if parts:
            raise refused("parts-without-each", p.name, "ingredients")
        return p
    if formula.pieces is None:
        raise refused("each-without-pieces", p.name, "each")
    total = each * formula.pieces - sum(p.taken.values())
    if total < 0:
        made = each * formula.pieces
        raise refused("each-too-small", p.name, "each", made=made, taken=made - total)
    if bool(parts) == weighed:
        raise refused("parts-and-weights", p.name, "ingredients")
    lines = zip(p.preparation.lines, p.masses, strict=True)
    share = ((line.parts / parts if parts else mass / written) for line, mass in lines)
    return replace(p, masses=tuple(total * s for s in share))


def _check_taken(p: SolvedPreparation, formula: SolvedFormula) -> None:
    """Refuse to take from a preparation in parts: its mass follows from the pieces."""
    for name in p.taken:
        if any(line.parts for line in formula.named(name).preparation.lines):
            raise refused("taken-in-parts", p.name, "from", name, taken=name)


def scaled(formula: SolvedFormula, factor: Ratio) -> SolvedFormula:
    """Multiply every mass of the dough and what goes beside it; pieces keep their weight.

    Pieces follow the dough: a whole number, the rest in ``remainder``.

    >>> from doughwright.engine.formula import Line, Preparation, solved
    >>> from doughwright.engine.ingredients import ingredient_table
    >>> line = Line("dough", ingredient_table()["strong white flour"], fixed=2.393)
    >>> batch = Batch(piece=0.080, spare=0.02)
    >>> buns = divided(solved([Preparation("dough", "dough", (line,))], batch), batch)
    >>> scaled(buns, 1.2284).pieces  # 36 buns wanted: factor 1.228 and a bit
    36
    """
    preparations = tuple(
        replace(
            p,
            masses=tuple(mass * factor for mass in p.masses),
            taken={name: mass * factor for name, mass in p.taken.items()},
        )
        for p in formula.preparations
    )
    larger = replace(formula, preparations=preparations, total_flour=formula.total_flour * factor)
    if formula.piece is None:
        return larger
    usable = larger.dough * (1 - formula.spare)
    pieces = max(1, int(usable / formula.piece * (1 + _EXACT)))
    piece = min(formula.piece, usable)
    pieced = replace(larger, pieces=pieces, piece=piece, remainder=usable - pieces * piece)
    return replace(pieced, preparations=tuple(_beside(p, pieced) for p in preparations))
