"""Another size: pieces, tins, trays and rounds, a baked weight.

Percentages stay; lines in weight grow together; the yield says the new size.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import pi

from doughwright.documents.editing import Edit, SetValue
from doughwright.documents.formula import OUTLINES, Form, FormulaDocument, Step, Yield
from doughwright.documents.quantities import Quantity
from doughwright.engine.dividing import scaled_weight
from doughwright.errors import Notice
from doughwright.resolving.filling_paths import puts_on
from doughwright.resolving.formulas import ResolvedFormula, leaves_scale_open, tin_dough
from doughwright.reworking.amounts import EXACT, grams, times
from doughwright.reworking.eggs import broken_eggs
from doughwright.reworking.rework import (
    ALL_OF_IT,
    Rework,
    followed,
    refusal,
    reworked,
    times_dropped,
)
from doughwright.units import CubicMetre, Kilogram, Ratio, SquareMetre

ROUND_OUTLINES = ("round", "flat", "ring")
LONG_OUTLINES = ("oval", "baton")


@dataclass(frozen=True, slots=True)
class Size:
    """How many pieces, and how many times as heavy each is as now.

    ``piece`` is what one weighs, if that was said.
    """

    pieces: int | None = None
    heavier: Ratio = 1.0
    piece: Kilogram | None = None


def size_of(formula: ResolvedFormula, piece: Kilogram, pieces: int | None = None) -> Size:
    """Return the size with pieces of a weight, as many as now if it is not said."""
    now = formula.solution.piece if formula.solution.pieces else None
    return Size(pieces, piece / now if now else 1.0, piece)


def resized(formula: ResolvedFormula, size: Size, form: tuple[Edit, ...] = ()) -> Rework:
    """Make so many pieces, each so many times as heavy; what is on and in them grows with them.

    Raises
    ------
    DocumentError
        If the formula names no pieces to go by.
    """
    counted = formula.solution.piece is not None and formula.solution.pieces
    if not counted and size.pieces is not None and size.piece is None:
        raise refusal("size-of-no-piece", "yield")
    factor = _factor(formula, size)
    edits: list[Edit] = [*_line_edits(formula, factor), *_yield_edits(formula, size, factor)]
    edits += _beside_edits(formula.document, size.heavier)
    bakes = [i for i, step in enumerate(formula.document.process) if step.verb == "bake"]
    other = abs(size.heavier - 1) > EXACT or not counted
    dropped, said = times_dropped(formula.document, bakes if other else [])
    halves = broken_eggs(formula, factor)
    done = [*edits, *dropped, *(form or _form_follows(formula.document, size.heavier))]
    return reworked(formula, done, ALL_OF_IT, [*said, *halves], factor)


def _factor(formula: ResolvedFormula, size: Size) -> Ratio:
    """How many times as much dough: what the pieces need, or as much more as each is heavier."""
    solution = formula.solution
    piece = size.piece if solution.piece is None else solution.piece * size.heavier
    if size.pieces is None or piece is None:
        return size.heavier
    return size.pieces * piece / (1 - solution.spare) / solution.dough


def _beside_edits(document: FormulaDocument, heavier: Ratio) -> Iterator[Edit]:
    """What goes on or into each piece, as it is on a heavier one."""
    for name, p in document.preparations.items():
        if p.each is not None and abs(heavier - 1) > EXACT:
            yield SetValue(("preparations", name, "each"), times(p.each, heavier))


def _form_follows(document: FormulaDocument, heavier: Ratio) -> Iterator[Edit]:
    """The form that heavier pieces fill as they did, larger alike every way."""
    if abs(heavier - 1) <= EXACT:
        return
    for i, step in enumerate(document.process):
        for key in (*OUTLINES, "high") if step.form is not None else ():
            size = getattr(step.form, key)
            if size is not None:
                yield SetValue(("process", i, "form", key), _larger(size, heavier))


def _larger(size: Quantity | tuple[Quantity, ...], heavier: Ratio) -> str:
    """A volume so many times, or lengths of a body so many times as heavy."""
    if isinstance(size, Quantity):
        return times(size, heavier if size.dimension == "volume" else heavier ** (1 / 3))
    return " x ".join(_larger(side, heavier) for side in size)


def _line_edits(formula: ResolvedFormula, factor: Ratio) -> Iterator[Edit]:
    """Lines in weight; those with a weight per piece follow that."""
    document = formula.document
    for name, p in document.preparations.items():
        for line_name, line in p.ingredients.items() if p.each is None else ():
            if line.amount.dimension not in {"percent", "parts"}:
                path = ("preparations", name, "ingredients", line_name, "amount")
                yield SetValue(path, times(line.amount, factor))


def _yield_edits(formula: ResolvedFormula, size: Size, factor: Ratio) -> Iterator[Edit]:
    document = formula.document
    makes = document.makes or Yield()
    divided = next((i for i, step in enumerate(document.process) if step.pieces), None)
    if size.pieces is not None and (makes.pieces or divided is None):
        yield SetValue(("yield", "pieces"), str(size.pieces))
    elif size.pieces is not None:
        yield SetValue(("process", divided or 0, "pieces"), str(size.pieces))
    if makes.piece is not None:
        yield SetValue(("yield", "piece"), times(makes.piece, size.heavier))
    elif size.piece is not None and not (makes.dough or makes.flour or makes.tin):
        yield SetValue(("yield", "piece"), grams(size.piece))
    elif leaves_scale_open(document) and formula.solution.piece is not None:
        yield SetValue(("yield", "piece"), grams(formula.solution.piece * size.heavier))
    for key, amount in (("dough", makes.dough), ("flour", makes.flour)):
        if amount is not None:
            yield SetValue(("yield", key), times(amount, factor))
    if makes.tin is not None:
        yield SetValue(("yield", "tin"), times(makes.tin, size.heavier))


# --- what pieces are baked in


def _shaped(document: FormulaDocument) -> tuple[int, Step, Form] | None:
    """The step that gives the pieces their form, the last one."""
    found = [(i, s, s.form) for i, s in enumerate(document.process) if s.form is not None]
    return found[-1] if found else None


def to_tin(formula: ResolvedFormula, tin: Quantity, pieces: int | None = None) -> Rework:
    """Fill another tin as the old one was; one by rule of thumb where none is written."""
    shaped, makes = _shaped(formula.document), formula.document.makes or Yield()
    old = makes.tin.best if makes.tin is not None else shaped and _volume(shaped[2])
    edits = tuple(_formed(shaped[0], shaped[2], "tin", tin.text)) if shaped else ()
    edits += tuple(_without_height(shaped[0], shaped[2])) if shaped else ()
    if old is not None:
        done = resized(formula, Size(pieces, tin.best / old), edits)
        return _tin_as_written(done, tin) if makes.tin is not None else done
    dough = round(tin_dough(formula.preparations, tin.best), 3)
    done = resized(formula, size_of(formula, dough, pieces or 1), edits)
    flat = shaped is not None and shaped[2].tin is not None
    why = "The tin's depth (`high`) is not written" if flat else "No tin is written in the formula"
    said = Notice.of("tin-by-rule", "yield", why=why, dough=dough, volume=tin.best)
    return replace(done, notices=(*done.notices, said))


def _volume(form: Form) -> CubicMetre | None:
    """What a form's tin holds: as written, or by its length, width and depth."""
    if isinstance(form.tin, tuple):
        return tin_volume((*form.tin, form.high)) if form.high is not None else None
    return form.tin.best if form.tin is not None else None


def _tin_as_written(done: Rework, tin: Quantity) -> Rework:
    """The yield's tin in the words it was asked for."""
    named = reworked(done.formula, [SetValue(("yield", "tin"), tin.text)], ALL_OF_IT)
    return followed(done, named)


def to_area(
    formula: ResolvedFormula,
    outline: str,
    size: tuple[Quantity, ...],
    pieces: int | None = None,
) -> Rework:
    """Make pieces of another area as thick as before.

    ``outline`` is that of a form (round, flat, ring by their width; oval, baton, tin by length
    and width); the new form is written into the step that shapes. There are as many pieces as
    before; one tray or dish, where they were in none.
    """
    shaped = _shaped(formula.document)
    old = _area(shaped[2]) if shaped else None
    if shaped is not None and isinstance(shaped[2].tin, Quantity):
        what = f"how long and wide its tin is: a volume ({shaped[2].tin.text}) has no area"
        allowed = "`form: {tin: 30 x 12 cm, high: 10 cm}` at the shape step"
        where = ("process", shaped[0], "form", "tin")
        raise refusal("no-size-to-go-by", *where, what=what, allowed=allowed)
    if shaped is None or old is None:
        allowed = "`form: {round: 30 cm}` or `form: {tin: 30 x 20 cm}` at the shape step"
        raise refusal("no-size-to-go-by", "process", what="what a piece measures", allowed=allowed)
    words = " x ".join(each.text for each in size)
    edits = tuple(_formed(shaped[0], shaped[2], outline, words))
    if outline == "tin" and shaped[2].tin is None:
        edits += tuple(_without_height(shaped[0], shaped[2]))
    if outline == "tin" and shaped[2].tin is None and formula.solution.pieces:
        pieces = pieces or 1
    return resized(formula, Size(pieces, area_of(outline, size) / old), edits)


def _formed(position: int, form: Form, outline: str, words: str) -> Iterator[Edit]:
    """Write another outline into the form of a step."""
    path = ("process", position, "form")
    was = next((key for key in OUTLINES if getattr(form, key) is not None), outline)
    yield SetValue((*path, outline), words)
    if was != outline:
        yield SetValue((*path, was), "")


def _without_height(position: int, form: Form) -> Iterator[Edit]:
    """How high a piece or another tin was says nothing of how deep a tin is."""
    if form.high is not None:
        yield SetValue(("process", position, "form", "high"), "")


def _area(form: Form) -> SquareMetre | None:
    for key in (*ROUND_OUTLINES, *LONG_OUTLINES, "tin"):
        size = getattr(form, key)
        if isinstance(size, tuple):
            return area_of(key, size)
        if size is not None and key != "tin":
            return area_of(key, (size,))
    return None


def area_of(outline: str, size: tuple[Quantity, ...]) -> SquareMetre:
    """Area of a form seen from above: a circle, an ellipse, a rectangle.

    >>> from doughwright.documents.quantities import quantity
    >>> round(area_of("round", (quantity("20 cm", "length"),)), 4)
    0.0314
    """
    long, wide = size[0].best, size[-1].best
    return long * wide if outline in {"tin", "baton"} else pi / 4 * long * wide


def to_baked(formula: ResolvedFormula, baked: Kilogram, loss: Ratio) -> Rework:
    """Make pieces that weigh so much baked; what goes on and in them grows with them.

    What goes on after the bake loses nothing.
    """
    piece, pieces = formula.solution.piece, formula.solution.pieces
    if piece is None or not pieces:
        raise refusal("size-of-no-piece", "yield")
    late = [*_put_on_baked(formula.document)]
    beside = [p for p in formula.solution.preparations if not p.preparation.in_dough]
    after = sum(p.mass for p in beside if p.name in late) / pieces
    before = piece + sum(p.mass for p in beside if p.name not in late) / pieces
    heavier = baked / (before / scaled_weight(1.0, loss) + after)
    done = resized(formula, Size(heavier=heavier))
    each = f"each of {pieces} pieces" if pieces > 1 else "one piece"
    values = {"each": each, "baked": baked, "raw": before * heavier, "loss": loss}
    said = [Notice.of("baked-by-loss", "yield", **values)]
    if after:
        said.append(Notice.of("put-on-baked", "yield", mass=after * heavier, names=", ".join(late)))
    return replace(done, notices=(*done.notices, *said))


def _put_on_baked(document: FormulaDocument) -> Iterator[str]:
    """What goes on or into the pieces after their last bake: it loses nothing in the oven."""
    bakes = [i for i, step in enumerate(document.process) if step.verb == "bake"]
    for name in document.preparations:
        used = [i for i, step in enumerate(document.process) if puts_on(step, name)]
        if bakes and used and min(used) > bakes[-1]:
            yield name


def tin_volume(size: tuple[Quantity, ...]) -> CubicMetre:
    """Volume of a straight tin from its length, width and height.

    >>> from doughwright.documents.quantities import quantity
    >>> box = [quantity(f"{side} in", "length") for side in (13, 4, 4)]  # yumarama.com
    >>> round(tin_volume(tuple(box)) * 1e3, 2)
    3.41
    """
    long, wide, high = (each.best for each in size)
    return long * wide * high
