"""A formula as it is sold: what of it comes out of the oven, and how that is known."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from doughwright.engine.ingredients import Ingredient, ingredient_table
from doughwright.engine.nutrition import Product, Weighed, as_sold, to_the_oven
from doughwright.engine.pieces import baking_constant
from doughwright.errors import DocumentError, ImpossibleInput, Notice
from doughwright.resolving.bakes import BakeHere
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.units import Kilogram, Ratio

LossKind = Literal["stated", "weighed", "model", "usual"]
"""Where a baking loss is from: said, found on the scale, predicted, or common practice."""


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
    """The baking loss: said, or from a weighed piece, or from the bake, or as usual."""
    if stated is not None:
        return Loss(stated, stated, stated, "stated")
    raw = sum(mass for _, mass in to_the_oven(formula.solution))
    pieces = formula.solution.pieces or 1
    if piece is not None:
        found = 1.0 - piece * pieces / raw
        return Loss(found, found, found, "weighed")
    give = baking_constant("loss_give")
    if baked is not None and baked.seen is not None:
        lost = baked.seen.loss * baked.piece.whole_mass * pieces / raw
        return Loss(max(0.0, lost - give), lost, lost + give, "model")
    usual = baking_constant("loss_usual")
    return Loss(usual - give, usual, usual + give, "usual")


def sold(formula: ResolvedFormula, loss: Loss) -> SoldProduct:
    """A formula as it is sold.

    Raises
    ------
    DocumentError
        If more is lost than there is water, or the piece weighed more than went in.
    """
    weighed = to_the_oven(formula.solution)
    if loss.best < 0.0:
        raise DocumentError([Notice.of("baked-heavier-than-raw", loss=-loss.best)])
    try:
        product, lighter, heavier = (
            as_sold(weighed, max(0.0, x)) for x in (loss.best, loss.high, loss.low)
        )
    except ImpossibleInput as error:
        raise DocumentError(error.problems) from None
    pieces = formula.solution.pieces or 1
    return SoldProduct(weighed, loss, product, lighter, heavier, pieces)


def named_in_title(formula: ResolvedFormula, also: tuple[str, ...]) -> Mapping[str, Kilogram]:
    """Ingredients whose name stands in the bread's, or that are asked for, with their mass."""
    title = set(formula.document.name.casefold().replace("-", " ").split())
    wanted = {word.casefold() for word in also}
    found: dict[str, Kilogram] = {}
    for ingredient, mass in to_the_oven(formula.solution):
        if _is_named(ingredient, title) or ingredient.name.casefold() in wanted:
            found[ingredient.name] = found.get(ingredient.name, 0.0) + mass
    return found


PLAIN_KINDS = frozenset({"flour", "liquid", "salt", "yeast", "starter"})
"""Kinds that name a bread without making it special: no quantity is asked for."""


def _is_named(ingredient: Ingredient, title: set[str]) -> bool:
    if ingredient.kind in PLAIN_KINDS:
        return False
    known = ingredient_table().get(ingredient.name)
    names = (ingredient.name, *(known.aliases if known is not None else ()))
    forms = {form for name in names for form in _forms(name.casefold())}
    return bool(forms & title)


def _forms(name: str) -> tuple[str, ...]:
    """A name and its simple plural; of several words only the whole."""
    return (name, f"{name}s", name.removesuffix("s")) if " " not in name else ()
