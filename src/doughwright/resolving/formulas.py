"""A formula document and a wish for its size, solved: every mass, every doubt."""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import permutations

from doughwright.documents.formula import FormulaDocument, Step, Yield
from doughwright.documents.quantities import Quantity
from doughwright.engine.dividing import divided, scaled
from doughwright.engine.formula import (
    PERCENT_SLACK,
    Batch,
    Preparation,
    SolvedFormula,
    solved,
)
from doughwright.engine.ingredients import Ingredient
from doughwright.engine.overall import (
    content_ratio,
    fat_ratio,
    hydration,
    hydration_liquids_only,
    sugar_ratio,
)
from doughwright.engine.plausibility import plausibility_notices
from doughwright.engine.properties import constants
from doughwright.engine.ranges import corners
from doughwright.errors import DocumentError, DoughwrightError, Notice
from doughwright.resolving.kitchens import default
from doughwright.resolving.lines import Lookup
from doughwright.resolving.order import order_notices
from doughwright.resolving.steps import step_problems
from doughwright.sources import Constant
from doughwright.units import CubicMetre, Kilogram, Ratio

MOST_CORNERS = 10
"""Above this many ranged lines the extremes are not worked out (2 to the n solutions)."""

STARTER = "starter"
"""Starters are one ingredient to a baker with some on hand, whatever each is called."""

EXACT = 1e-9


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
    problems = [*lookup.problems, *step_problems(document)]
    if problems:
        raise DocumentError(problems)
    solution = sized(document, preparations, wish, lookup)
    notices = (
        *lookup.notices,
        *solution.notices,
        *plausibility_notices(solution),
        *order_notices(document),
    )
    refused = [*_empty_problems(solution), *(n for n in notices if n.weight == "stop")]
    if refused:
        raise DocumentError(refused)
    return ResolvedFormula(document, preparations, solution, tuple(notices))


def _empty_problems(solution: SolvedFormula) -> Iterator[Notice]:
    """Preparations of no weight: nothing can be a share of them."""
    for p in solution.preparations:
        if p.mass <= 0:
            yield Notice.of("weighs-nothing", "preparations", p.name)


def as_tested(formula: ResolvedFormula) -> ResolvedFormula:
    """Return a formula at its document's own size, in which its times were noted.

    Where the document gives none that can be made, the size at hand stands for it.
    """
    try:
        return resolved_formula(formula.document)
    except DocumentError:
        return formula


def sized(
    document: FormulaDocument,
    preparations: tuple[Preparation, ...],
    wish: Wish,
    lookup: Lookup,
) -> SolvedFormula:
    """Solve at the document's own size, then scale to the wish."""
    try:
        own = batch_of(document, preparations)
        _check_said_once(document, own, preparations)
        if _is_open(preparations, own):
            closed = _closed_by_wish(own, wish, preparations, lookup)
            return divided(solved(preparations, closed), closed)
        solution = solved(preparations, own)
        if not wish.is_open:
            solution = _at_yield(solution, own)
        own, solution, wish = _divided_by_wish(own, solution, wish, lookup)
        solution = divided(solution, own)
        return solution if wish.is_open else wished(solution, wish, lookup)
    except DoughwrightError as error:
        raise DocumentError(error.problems) from None


def leaves_scale_open(document: FormulaDocument) -> bool:
    """Whether no flour is given in weight and no yield says how much to make."""
    lookup = Lookup(document)
    preparations = lookup.preparations(document)
    try:
        return not lookup.problems and _is_open(preparations, batch_of(document, preparations))
    except DoughwrightError:  # what cannot be solved at any size
        return False


def sized_wish(document: FormulaDocument, wish: Wish = Wish()) -> Wish:
    """Return the wish; 1 kg of flour where neither it nor the document says how much to make."""
    return Wish(flour=1.0) if wish.is_open and leaves_scale_open(document) else wish


def _is_open(preparations: tuple[Preparation, ...], batch: Batch) -> bool:
    """Whether the engine finds that nothing sets the scale."""
    try:
        solved(preparations, batch)
    except DoughwrightError as error:
        if [problem.code for problem in error.problems] == ["scale-open"]:
            return True
        raise
    return False


def _closed_by_wish(
    own: Batch, wish: Wish, preparations: tuple[Preparation, ...], lookup: Lookup
) -> Batch:
    """Let the wish set the scale where the document leaves it open.

    A dough of a wished size is cut by the weight of a piece, if that is known, else by
    the number of pieces.
    """
    piece = wish.piece if wish.piece is not None else own.piece
    by_size = wish.dough is not None or wish.flour is not None or wish.having is not None
    pieces = None if by_size and piece is not None else own.pieces
    pieces = wish.pieces if wish.pieces is not None else pieces
    batch = replace(own, pieces=pieces, piece=piece, dough=wish.dough, flour=wish.flour)
    if wish.having is None:
        return batch
    return replace(batch, flour=_flour_with(batch, preparations, *wish.having, lookup))


def _divided_by_wish(
    own: Batch, solution: SolvedFormula, wish: Wish, lookup: Lookup
) -> tuple[Batch, SolvedFormula, Wish]:
    """Let the wish divide a dough the document does not; return what of it still scales."""
    if own.pieces is not None or own.piece is not None:
        return own, solution, wish
    if wish.dough is not None or wish.flour is not None:
        scaled_only = wished(solution, replace(wish, piece=None), lookup)
        return Batch(piece=wish.piece, pieces=wish.pieces, spare=own.spare), scaled_only, Wish()
    if wish.pieces is not None and wish.piece is not None:
        return replace(own, pieces=wish.pieces), solution, wish
    if wish.pieces is None:
        return replace(own, piece=wish.piece), solution, replace(wish, piece=None)
    if own.dough is None and own.flour is None:
        raise DocumentError([Notice.of("piece-unknown", "yield")])
    return replace(own, pieces=wish.pieces), solution, replace(wish, pieces=None)


def _at_yield(formula: SolvedFormula, own: Batch) -> SolvedFormula:
    """Scale lines in weight to the yield they contradict: a wish has the last word anyway."""
    factor = 1.0
    if own.flour is not None:
        factor = own.flour / formula.total_flour
    elif own.dough is not None:
        factor = own.dough / formula.dough
    elif own.wanted_dough is not None:  # more than the pieces need may stay
        factor = max(1.0, own.wanted_dough / formula.dough)
    return scaled(formula, factor) if abs(factor - 1) > PERCENT_SLACK else formula


def batch_of(document: FormulaDocument, preparations: tuple[Preparation, ...]) -> Batch:
    """Return the batch the document's yield and divide step ask for.

    A tin sets the dough only where no weight does.
    """
    makes = document.makes or Yield()
    pieces = makes.pieces or _divided_pieces(document.process)
    spare = makes.spare.best if makes.spare else default("spare")
    dough = makes.dough.best if makes.dough else None
    if makes.tin is not None:
        pieces = pieces or 1
        if makes.dough is None and makes.flour is None and makes.piece is None:
            dough = pieces * tin_dough(preparations, makes.tin.best) / (1 - spare)
    return Batch(
        pieces=pieces,
        piece=makes.piece.best if makes.piece else None,
        dough=dough,
        flour=makes.flour.best if makes.flour else None,
        spare=spare,
    )


def _check_said_once(
    document: FormulaDocument, own: Batch, preparations: tuple[Preparation, ...]
) -> None:
    """Refuse a yield that says how much to make in two ways that disagree."""
    said = list(_doughs_said(document.makes or Yield(), own, preparations))
    for (one, _, less), (other, more, _) in permutations(said, 2):
        if more > less * (1 + PERCENT_SLACK):
            values = {"one": one, "less": less, "other": other, "more": more}
            raise DocumentError([Notice.of("yield-says-twice", "yield", **values)])


def _doughs_said(
    makes: Yield, own: Batch, preparations: tuple[Preparation, ...]
) -> Iterator[tuple[str, Kilogram, Kilogram]]:
    """Each way the yield gives a size, with the least and most dough it may mean.

    Pieces may or may not count the spare; a tin is filled by rule of thumb.
    """
    if makes.flour is not None:
        trial = solved(preparations, Batch(flour=makes.flour.best))
        dough = trial.dough * makes.flour.best / trial.total_flour
        yield "flour", dough, dough
    if makes.dough is not None:
        yield "dough", makes.dough.best, makes.dough.best
    if own.pieces is not None and own.piece is not None:
        dough = own.pieces * own.piece
        yield "pieces and piece", dough, dough / (1 - own.spare)
    if makes.tin is not None and own.pieces is not None:
        fill = _tin_fill(preparations)
        volume, off = own.pieces * makes.tin.best, fill.uncertainty
        yield "tin", volume / (fill.value + off), volume / (fill.value - off) / (1 - own.spare)


def _divided_pieces(process: list[Step]) -> int | None:
    return next((step.pieces for step in process if step.pieces), None)


def tin_dough(preparations: tuple[Preparation, ...], volume: CubicMetre) -> Kilogram:
    """Dough that fills a tin, by the kind of dough: white, enriched or wholemeal, rye."""
    return volume / _tin_fill(preparations).value


def _tin_fill(preparations: tuple[Preparation, ...]) -> Constant:
    """Tin volume per mass of dough."""
    trial = solved(preparations, Batch(flour=1.0) if _is_open(preparations, Batch()) else Batch())
    rye = content_ratio(trial, lambda i: i.flour if "rye" in i.name else 0.0)
    whole = content_ratio(trial, lambda i: i.flour if "whole" in i.name else 0.0)
    rich = fat_ratio(trial) + sugar_ratio(trial)
    if rye > 0.5:
        return constants("kitchens")["tin_rye"]
    return constants("kitchens")["tin_enriched" if whole > 0.5 or rich > 0.12 else "tin_wheat"]


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
    ingredient = _named(name, lookup)
    listed = _mass_in(formula, ingredient)
    return _mass_on_hand(name, ingredient, amount, listed, lookup) / listed


def _flour_with(
    batch: Batch,
    preparations: tuple[Preparation, ...],
    name: str,
    amount: Quantity,
    lookup: Lookup,
) -> Kilogram:
    """Total flour with which a formula of open scale takes up an ingredient on hand.

    What it takes is ``fixed + ratio × flour``: both are read off two sizes.
    """
    ingredient = _named(name, lookup)
    flour = 1.0 + 2.0 * (batch.piece or 0.0)  # enough for a piece, whatever the spare
    trials = [replace(batch, flour=size) for size in (flour, 2 * flour)]
    less, more = (
        _mass_in(divided(solved(preparations, trial), trial), ingredient, trial) for trial in trials
    )
    ratio, fixed = (more - less) / flour, 2 * less - more
    hand = _mass_on_hand(name, ingredient, amount, less, lookup)
    if ratio <= less * EXACT or hand <= fixed:
        values = {"name": name, "having": hand, "fixed": fixed}
        raise DocumentError([Notice.of("having-sets-no-size", **values)])
    return (hand - fixed) / ratio


def _named(name: str, lookup: Lookup) -> Ingredient:
    ingredient = lookup.named((), name)
    if ingredient is None:
        raise DocumentError(lookup.problems)
    return ingredient


def _mass_on_hand(
    name: str, ingredient: Ingredient, amount: Quantity, listed: Kilogram, lookup: Lookup
) -> Kilogram:
    if not listed:
        raise DocumentError([Notice.of("not-in-formula", name=name)])
    per_unit = lookup.unit_mass((), name, ingredient, amount)
    if per_unit is None:
        raise DocumentError(lookup.problems)
    return amount.best * per_unit


def _mass_in(
    formula: SolvedFormula, ingredient: Ingredient, batch: Batch | None = None
) -> Kilogram:
    """Mass of an ingredient in a formula; with its batch, as if pieces need not be whole."""
    whole = 1.0
    if batch is not None and batch.pieces is None and formula.pieces and formula.piece:
        whole += formula.remainder / (formula.pieces * formula.piece)
    return sum(
        mass * (1.0 if p.preparation.each is None else whole)
        for p in formula.preparations
        for line, mass in zip(p.preparation.lines, p.masses, strict=True)
        if line.ingredient.name == ingredient.name
        or line.ingredient.kind == ingredient.kind == STARTER
    )


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
