"""A formula as it is sold: what of it comes out of the oven, and how that is known."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, cast

from doughwright.documents.formula import OwnIngredient
from doughwright.documents.names import plain_name
from doughwright.documents.scalars import nearest
from doughwright.engine.formula import Line
from doughwright.engine.ingredients import Ingredient, ingredient_named, plain_words
from doughwright.engine.nutrition import (
    Product,
    Weighed,
    as_sold,
    lines_to_the_oven,
    to_the_oven,
)
from doughwright.engine.pieces import baking_constant
from doughwright.errors import DocumentError, ImpossibleInput, Notice
from doughwright.resolving.bakes import BakeHere
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.units import Kilogram, Ratio

LossKind = Literal["stated", "weighed", "model", "usual"]
"""Where a baking loss is from: said, found on the scale, predicted, or common practice."""

EXACT = 1e-9


@dataclass(frozen=True, slots=True)
class Loss:
    """Water lost in the oven over all that went in."""

    low: Ratio
    best: Ratio
    high: Ratio
    kind: LossKind


@dataclass(frozen=True, slots=True)
class SoldProduct:
    """A product as sold, and at the ends of what its loss may be."""

    weighed: Weighed
    loss: Loss
    product: Product
    lighter: Product
    heavier: Product
    pieces: int

    @property
    def piece(self) -> Kilogram:
        """What one piece weighs baked."""
        return self.product.mass / self.pieces


def loss_of(
    formula: ResolvedFormula,
    baked: BakeHere | None,
    *,
    stated: Ratio | None = None,
    piece: Kilogram | None = None,
) -> Loss:
    """The baking loss: said, or from a weighed piece, or from the bake, or as usual.

    Raises
    ------
    DocumentError
        If the piece weighs nothing, or more than what went into the oven for one.
    """
    if stated is not None:
        return Loss(stated, stated, stated, "stated")
    raw = sum(mass for _, mass in to_the_oven(formula.solution))
    pieces = formula.solution.pieces or 1
    if piece is not None:
        found = _loss_weighed(piece, raw / pieces)
        return Loss(found, found, found, "weighed")
    give = baking_constant("loss_give")
    if baked is not None and baked.seen is not None:
        lost = baked.seen.loss * baked.piece.whole_mass * pieces / raw
        return Loss(max(0.0, lost - give), lost, lost + give, "model")
    usual = baking_constant("loss_usual")
    return Loss(usual - give, usual, usual + give, "usual")


def _loss_weighed(piece: Kilogram, raw: Kilogram) -> Ratio:
    """What a weighed piece lost of the raw mass of one."""
    if piece <= 0.0:
        raise DocumentError([Notice.of("baked-weighs-nothing", baked=piece, raw=raw)])
    if piece > raw * (1.0 + EXACT):
        raise DocumentError([Notice.of("baked-heavier-than-raw", baked=piece, raw=raw)])
    return max(0.0, 1.0 - piece / raw)


def sold(formula: ResolvedFormula, loss: Loss) -> SoldProduct:
    """A formula as it is sold.

    Raises
    ------
    DocumentError
        If more is lost than there is water, or less than nothing.
    """
    weighed = to_the_oven(formula.solution)
    pieces = formula.solution.pieces or 1
    try:
        product, lighter, heavier = (as_sold(weighed, x) for x in (loss.best, loss.high, loss.low))
    except ImpossibleInput as error:
        raw = sum(mass for _, mass in weighed) / pieces
        raise DocumentError(_as_weighed(p, raw, loss) for p in error.problems) from None
    return SoldProduct(weighed, loss, product, lighter, heavier, pieces)


def _as_weighed(problem: Notice, raw: Kilogram, loss: Loss) -> Notice:
    """A loss that cannot be, as the weight it was found by where it is one."""
    if loss.kind != "weighed" or problem.code != "loss-exceeds-water":
        return problem
    least = raw * (1.0 - cast("float", problem.values["most"]))
    values = {"baked": raw * (1.0 - loss.best), "raw": raw, "least": least}
    return Notice.of("baked-lighter-than-dry", **values)


PLAIN_KINDS = frozenset({"flour", "liquid", "salt", "yeast", "starter"})
"""Kinds that name a bread without making it special: no quantity is asked for."""

GROUPS = frozenset({"cheese", "egg", "fruit", "nut", "seed", "spice", "vegetable"})
"""Kinds whose name is a food's own: a cheese bun is named for whatever cheese is in it."""

CURD = "curd"
SOLD_AS_CURD = frozenset({"quark", "ricotta", "cottage cheese"})
"""What is called curd where the formula holds none by that name."""

Phrase = tuple[str, ...]
Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class _Named:
    """An ingredient that is baked, how much of it, and all the words for it."""

    ingredient: Ingredient
    mass: Kilogram
    names: frozenset[Phrase]
    row: str


def named_in_title(formula: ResolvedFormula, also: tuple[str, ...]) -> Mapping[str, Kilogram]:
    """Ingredients named in the bread's name, or asked for, with their mass.

    An ingredient goes by the baker's word for it, the table's words, and those of what it is
    like; of a name of several words the last counts alone (butter, of unsalted butter), unless
    it stands within another's (peanut butter).

    Raises
    ------
    DocumentError
        If one is asked for that the formula does not use.
    """
    found = _baked(formula)
    title = plain_words(formula.document.name)
    plain = {n.ingredient.name for n in found if n.ingredient.kind in PLAIN_KINDS}
    wanted = _named_within(title, found) - plain
    problems = []
    for word in also:
        asked = _asked_for(word, found)
        if not asked:
            like = nearest(word, (n.ingredient.name for n in found))
            problems.append(Notice.of("not-in-formula", name=word, like=like))
        wanted |= asked
    if problems:
        raise DocumentError(problems)
    masses: dict[str, Kilogram] = {}
    for n in found:
        if n.ingredient.name in wanted:
            masses[n.ingredient.name] = masses.get(n.ingredient.name, 0.0) + n.mass
    return masses


def _baked(formula: ResolvedFormula) -> tuple[_Named, ...]:
    own = {plain_name(name): entry for name, entry in formula.document.ingredients.items()}
    found = [_named(line, mass, own) for line, mass in lines_to_the_oven(formula.solution)]
    if any(n.row == CURD for n in found):
        return tuple(found)
    curd = {plain_words(CURD)}
    return tuple(replace(n, names=n.names | curd) if n.row in SOLD_AS_CURD else n for n in found)


def _named(line: Line, mass: Kilogram, own: Mapping[str, OwnIngredient]) -> _Named:
    word = plain_name(line.name)
    entry = own.get(word)
    row = ingredient_named((entry.like if entry else None) or line.ingredient.name)
    known = (row.name, *row.aliases) if row is not None else ()
    kind = line.ingredient.kind
    words = (word, line.ingredient.name, *known, *((kind,) if kind in GROUPS else ()))
    names = frozenset(filter(None, map(plain_words, words)))
    return _Named(line.ingredient, mass, names, row.name if row is not None else "")


def _named_within(text: Phrase, found: Sequence[_Named]) -> set[str]:
    """Names of the ingredients that a text names by words which are not part of another's."""
    spans = {id(n): set(_spans(n.names, text)) for n in found}
    every = {span for each in spans.values() for span in each}
    return {
        n.ingredient.name
        for n in found
        if any(not any(_inside(span, other) for other in every) for span in spans[id(n)])
    }


def _spans(names: frozenset[Phrase], text: Phrase) -> Iterator[Span]:
    """Where in a text a name stands, whole or by its last word."""
    for name in {*names, *(name[-1:] for name in names)}:
        for start in range(len(text) - len(name) + 1):
            if text[start : start + len(name)] == name:
                yield start, start + len(name)


def _inside(span: Span, other: Span) -> bool:
    return span != other and other[0] <= span[0] and span[1] <= other[1]


def _asked_for(word: str, found: Sequence[_Named]) -> set[str]:
    """Names of the ingredients called so, else of those whose name ends so."""
    words, row = plain_words(word), ingredient_named(word)
    names = {words, plain_words(row.name)} if row is not None else {words}
    called = {n.ingredient.name for n in found if names & n.names}
    ends = {n.ingredient.name for n in found if words in {name[-1:] for name in n.names}}
    return called or ends
