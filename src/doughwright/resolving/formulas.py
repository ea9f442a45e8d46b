"""A formula document and a wish for its size, solved: every mass, every doubt."""

from contextlib import suppress
from dataclasses import dataclass, replace

from doughwright.documents.formula import FormulaDocument, Step, Yield
from doughwright.documents.quantities import Quantity
from doughwright.engine.dividing import divided, scaled
from doughwright.engine.formula import (
    DOUGH_KINDS,
    Batch,
    Preparation,
    SolvedFormula,
    solved,
)
from doughwright.engine.overall import (
    content_ratio,
    fat_ratio,
    hydration,
    hydration_liquids_only,
    sugar_ratio,
)
from doughwright.engine.plausibility import plausibility_notices
from doughwright.engine.ranges import corners
from doughwright.errors import DocumentError, DoughwrightError, Notice
from doughwright.resolving.kitchens import default
from doughwright.resolving.lines import Lookup
from doughwright.units import CubicMetre, Kilogram, Ratio

MOST_CORNERS = 10
"""Above this many ranged lines the extremes are not worked out (2 to the n solutions)."""


@dataclass(frozen=True, slots=True)
class Wish:
    """The size asked for on top of the document's own: one of these, or nothing."""

    pieces: int | None = None
    piece: Kilogram | None = None
    dough: Kilogram | None = None
    flour: Kilogram | None = None
    having: tuple[str, Quantity] | None = None

    @property
    def is_open(self) -> bool:
        """Whether nothing is wished."""
        return self == Wish()


@dataclass(frozen=True, slots=True)
class ResolvedFormula:
    """A document, its preparations as the engine takes them, and the solution."""

    document: FormulaDocument
    preparations: tuple[Preparation, ...]
    solution: SolvedFormula
    notices: tuple[Notice, ...]


def resolved_formula(document: FormulaDocument, wish: Wish = Wish()) -> ResolvedFormula:
    """Solve a formula document for the size it gives or the one wished for.

    Raises
    ------
    DocumentError
        With every problem found; their paths lead into the document.
    """
    lookup = Lookup(document)
    preparations = lookup.preparations(document)
    problems = [*lookup.problems, *_step_problems(document)]
    if problems:
        raise DocumentError(problems)
    solution = sized(document, preparations, wish, lookup)
    notices = (*lookup.notices, *solution.notices, *plausibility_notices(solution))
    refused = [n for n in notices if n.weight == "stop"]
    if refused:
        raise DocumentError(refused)
    return ResolvedFormula(document, preparations, solution, tuple(notices))


def sized(
    document: FormulaDocument,
    preparations: tuple[Preparation, ...],
    wish: Wish,
    lookup: Lookup,
) -> SolvedFormula:
    """Solve at the document's own size, then scale to the wish."""
    try:
        own = closed = batch_of(document, preparations)
        if own.pieces is None and own.piece is None:
            own = closed = replace(own, piece=wish.piece)
            wish = replace(wish, piece=None)  # divides the dough, does not scale it
        if document.makes is None or own.wanted_dough is None:
            closed = _closed_by_wish(own, wish, preparations, lookup)
        solution = divided(solved(preparations, closed), closed)
        return solution if wish.is_open or closed != own else wished(solution, wish, lookup)
    except DoughwrightError as error:
        raise DocumentError(error.problems) from None


def leaves_scale_open(document: FormulaDocument) -> bool:
    """Whether all amounts are percentages and no yield says how much to make."""
    makes = document.makes or Yield()
    says = makes.dough or makes.flour or makes.tin or (makes.piece and makes.pieces)
    weighed = any(
        line.amount.dimension in {"mass", "volume", "count"}
        for p in document.preparations.values()
        if p.kind in DOUGH_KINDS
        for line in p.ingredients.values()
    )
    return not says and not weighed


def _closed_by_wish(
    own: Batch, wish: Wish, preparations: tuple[Preparation, ...], lookup: Lookup
) -> Batch:
    """Let the wish set the scale where the document leaves it open (all percentages)."""
    weighed = any(
        line.fixed and line.ingredient.flour for p in preparations if p.in_dough for line in p.lines
    )
    if weighed or own.flour is not None:
        return own
    pieces = wish.pieces if wish.pieces is not None else own.pieces
    piece = wish.piece if wish.piece is not None else own.piece
    if wish.having is not None and own.wanted_dough is None:
        trial = replace(own, flour=1.0)
        one = divided(solved(preparations, trial), trial)
        return replace(own, flour=_factor_with(one, *wish.having, lookup))
    return replace(own, pieces=pieces, piece=piece, dough=wish.dough or own.dough, flour=wish.flour)


def batch_of(document: FormulaDocument, preparations: tuple[Preparation, ...]) -> Batch:
    """Return the batch the document's yield and divide step ask for."""
    makes = document.makes or Yield()
    pieces = makes.pieces or _divided_pieces(document.process)
    spare = makes.spare.best if makes.spare else default("spare")
    dough = makes.dough.best if makes.dough else None
    if makes.tin is not None:
        dough = (pieces or 1) * tin_dough(preparations, makes.tin.best) / (1 - spare)
        pieces = pieces or 1
    return Batch(
        pieces=pieces,
        piece=makes.piece.best if makes.piece else None,
        dough=dough,
        flour=makes.flour.best if makes.flour else None,
        spare=spare,
    )


def _divided_pieces(process: list[Step]) -> int | None:
    return next((step.pieces for step in process if step.pieces), None)


def tin_dough(preparations: tuple[Preparation, ...], volume: CubicMetre) -> Kilogram:
    """Dough that fills a tin, by the kind of dough: white, enriched or wholemeal, rye."""
    trial = solved(preparations, Batch(flour=1.0))
    rye = content_ratio(trial, lambda i: i.flour if "rye" in i.name else 0.0)
    whole = content_ratio(trial, lambda i: i.flour if "whole" in i.name else 0.0)
    rich = fat_ratio(trial) + sugar_ratio(trial)
    if rye > 0.5:
        return volume / default("tin_rye")
    return volume / default("tin_enriched" if whole > 0.5 or rich > 0.12 else "tin_wheat")


def wished(formula: SolvedFormula, wish: Wish, lookup: Lookup) -> SolvedFormula:
    """Scale a solved formula to the size wished for."""
    piece = wish.piece or formula.piece
    formula = replace(formula, piece=piece)
    if wish.having is not None:
        return scaled(formula, _factor_with(formula, *wish.having, lookup))
    if wish.flour is not None:
        return scaled(formula, wish.flour / formula.total_flour)
    if wish.dough is not None:
        return scaled(formula, wish.dough / formula.dough)
    pieces = wish.pieces or formula.pieces
    if pieces is None or piece is None:
        raise DocumentError([Notice.of("piece-unknown", "yield")])
    return scaled(formula, pieces * piece / (1 - formula.spare) / formula.dough)


def _factor_with(formula: SolvedFormula, name: str, amount: Quantity, lookup: Lookup) -> Ratio:
    """How much larger the batch is for an ingredient on hand."""
    ingredient = lookup.named((), name)
    if ingredient is None:
        raise DocumentError(lookup.problems)
    listed = sum(
        mass
        for p in formula.preparations
        for line, mass in zip(p.preparation.lines, p.masses, strict=True)
        if line.ingredient.name == ingredient.name
    )
    if not listed:
        raise DocumentError([Notice.of("not-in-formula", name=name)])
    per_unit = lookup.unit_mass((), name, ingredient, amount)
    if per_unit is None:
        raise DocumentError(lookup.problems)
    return amount.best * per_unit / listed


def hydration_range(formula: ResolvedFormula) -> tuple[Ratio, Ratio]:
    """Lowest and highest true hydration over the ranges the author wrote."""
    return _extremes(formula, hydration)


def liquids_range(formula: ResolvedFormula) -> tuple[Ratio, Ratio]:
    """Lowest and highest hydration by liquids only over the ranges the author wrote."""
    return _extremes(formula, hydration_liquids_only)


def _extremes(formula: ResolvedFormula, ratio: object) -> tuple[Ratio, Ratio]:
    ranged = sum(line.spread != (1.0, 1.0) for p in formula.preparations for line in p.lines)
    assert callable(ratio)
    if not ranged or ranged > MOST_CORNERS:
        value = ratio(formula.solution)
        return value, value
    batch = Batch(flour=formula.solution.total_flour)
    values = [ratio(formula.solution)]
    for corner in corners(formula.preparations):
        with suppress(DoughwrightError):  # flours in ranges add to 100 % at some corners only
            values.append(ratio(solved(corner, batch)))
    return min(values), max(values)


FREE_WORDS = frozenset({"glaze", "top", "preheat"})
"""Steps that may name something that is no preparation (``glaze: egg wash``)."""


def _step_problems(document: FormulaDocument) -> list[Notice]:
    names = document.preparations
    return [
        Notice.of(
            "unknown-preparation", "process", i, step.verb, read=step.of, allowed=", ".join(names)
        )
        for i, step in enumerate(document.process)
        if step.of not in names and step.verb not in FREE_WORDS
    ]
