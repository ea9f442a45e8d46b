"""What goes on the label by one country's rules: ingredients, allergens, nutrition, quantities."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from doughwright.engine.allergens import CONTAINS, AllergenLine, declaration
from doughwright.engine.food_rules import Codes
from doughwright.engine.ingredient_list import (
    NamedQuantity,
    compounds,
    listed_ingredients,
    named_quantities,
)
from doughwright.engine.labels import (
    LabelRow,
    Light,
    Serving,
    eu_label,
    is_portion,
    traffic_lights,
    us_label,
    us_serving,
)
from doughwright.engine.nutrition import OF_THE_BAKER, Missing
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.selling import SoldProduct, named_in_title
from doughwright.sheets.cells import Cell, Kind

LOSS_KINDS: Mapping[str, Kind] = MappingProxyType(
    {"stated": "stated", "weighed": "tested", "model": "model", "usual": "usual"}
)

COATS = frozenset({"glaze", "topping"})
"""Preparations that stand on the crust: sold with the piece, not counted by the bake."""


@dataclass(frozen=True, slots=True)
class ListedRow:
    """One entry of the ingredient list, with the allergens to emphasise in it."""

    name: str
    mass: Cell
    ratio: Cell
    emphasised: tuple[str, ...]
    quantity: str


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """A product's label by one country's rules.

    ``coated``: something is brushed on or put on top, which a bake does not weigh.
    ``per_piece`` is for the amount ``serving``: a piece, in the US a serving, which is
    ``serving_pieces`` whole pieces, or a weight where that is 0; ``lights_by_portion``: whether
    a piece is small enough to be a portion of its own. ``compounds`` are made of several things,
    which the label is to list; ``perhaps_compounds`` are the baker's own that may be.
    """

    name: str
    codes: Codes
    pieces: int
    piece: Cell
    coated: bool
    loss: Cell
    serving: Cell
    serving_pieces: int
    per_hundred: tuple[LabelRow, ...]
    per_piece: tuple[LabelRow, ...]
    lights: tuple[Light, ...]
    lights_by_portion: bool
    ingredients: tuple[ListedRow, ...]
    allergens: tuple[AllergenLine, ...]
    quantities: tuple[NamedQuantity, ...]
    unstated: tuple[str, ...]
    not_understood: tuple[tuple[str, str], ...]
    missing: tuple[Missing, ...]
    compounds: tuple[str, ...]
    perhaps_compounds: tuple[str, ...]
    notices: tuple[Notice, ...] = field(default=())
    models: tuple[str, ...] = ("as-sold",)


def label_sheet(
    formula: ResolvedFormula,
    sold: SoldProduct,
    codes: Codes,
    *,
    may_contain: tuple[str, ...] = (),
    named: tuple[str, ...] = (),
) -> LabelSheet:
    """Lay out a label.

    ``named`` are ingredients whose quantity is to be given beside those in the bread's name;
    the US asks for none.
    """
    nutrients, loss, unknown = sold.product.nutrients, sold.loss, sold.product.unknown
    said = declaration((i for i, _ in sold.weighed), codes, may_contain)
    american = codes == "US"
    wanted = named_in_title(formula, named) if named or not american else {}
    quantities = named_quantities(wanted, sold.product.mass)
    serving = us_serving(sold.piece) if american else Serving(sold.piece, 1)
    light, heavy = (x.mass / sold.pieces for x in (sold.lighter, sold.heavier))
    kind, made = LOSS_KINDS[loss.kind], compounds(sold.weighed, sold.product.mass, codes)
    return LabelSheet(
        name=formula.document.name,
        codes=codes,
        pieces=sold.pieces,
        coated=any(p.preparation.kind in COATS for p in formula.solution.preparations),
        piece=Cell(sold.piece, "kg", kind, light, heavy, "as-sold"),
        loss=Cell(loss.best, "1", kind, loss.low, loss.high),
        serving=Cell(serving.mass, "kg", kind),
        serving_pieces=serving.pieces,
        per_hundred=() if american else eu_label(nutrients, unknown=unknown),
        per_piece=(us_label if american else eu_label)(nutrients, serving.mass, unknown),
        lights=traffic_lights(nutrients, sold.piece, unknown) if codes == "UK" else (),
        lights_by_portion=is_portion(sold.piece),
        ingredients=_listed(sold, codes, said.lines, quantities),
        allergens=said.lines,
        quantities=quantities,
        unstated=said.unstated,
        not_understood=said.not_understood,
        missing=sold.product.missing,
        compounds=made,
        perhaps_compounds=tuple(dict.fromkeys(_perhaps_compounds(sold, made))),
        notices=sold.product.notices,
    )


def _perhaps_compounds(sold: SoldProduct, known: tuple[str, ...]) -> Iterator[str]:
    """Ingredients of the baker's own that are like nothing in the table."""
    for ingredient, _ in sold.weighed:
        if ingredient.source == OF_THE_BAKER and ingredient.name not in known:
            yield ingredient.name


def _listed(
    sold: SoldProduct,
    codes: Codes,
    allergens: tuple[AllergenLine, ...],
    quantities: tuple[NamedQuantity, ...],
) -> tuple[ListedRow, ...]:
    printed = {q.name: q.printed for q in quantities}
    return tuple(
        ListedRow(
            name=item.name,
            mass=Cell(item.mass, "kg"),
            ratio=Cell(item.ratio, "1"),
            emphasised=tuple(
                line.name
                for line in allergens
                if line.state == CONTAINS and item.name in line.brought_by
            ),
            quantity=printed.get(item.name, ""),
        )
        for item in listed_ingredients(sold.weighed, sold.product.mass, codes)
    )
