"""A formula changed on purpose: what was edited, what stayed as it was, what is worth saying.

A rework is a list of edits, so that it can be done on the author's own text and every comment
stays. Amounts keep the unit their author wrote: percent stay percent, grams stay grams.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import floor, log10
from types import MappingProxyType

from doughwright.documents.editing import Edit, SetValue, edited
from doughwright.documents.formula import FERMENTING, FormulaDocument, Line, Yield
from doughwright.documents.reading import read_document
from doughwright.documents.writing import written
from doughwright.engine.formula import working_order
from doughwright.engine.ingredients import Ingredient
from doughwright.engine.overall import free_water
from doughwright.errors import DocumentError, Notice, Path
from doughwright.resolving.formulas import (
    ResolvedFormula,
    resolved_formula,
    sized_wish,
    tin_dough,
)
from doughwright.resolving.lines import Lookup
from doughwright.reworking.amounts import (
    DIGITS,
    EXACT,
    MOST_DECIMALS,
    amount_of,
    gap,
    number,
    size_of_unit,
    times,
    unit_of,
)
from doughwright.units import Kilogram, Ratio


@dataclass(frozen=True, slots=True)
class Rework:
    """A formula after a rework, solved; the edits that lead to it from the one before.

    ``conserves`` names what is as much, over the total flour, as it was before.
    """

    formula: ResolvedFormula
    edits: tuple[Edit, ...]
    conserves: tuple[str, ...]
    notices: tuple[Notice, ...] = ()

    @property
    def document(self) -> FormulaDocument:
        """The document after the rework."""
        return self.formula.document


@dataclass(frozen=True, slots=True)
class Weighed:
    """One line of a preparation with what it is and weighs as made."""

    preparation: str
    name: str
    line: Line
    ingredient: Ingredient
    mass: Kilogram

    @property
    def path(self) -> Path:
        """Where the line stands in the document."""
        return ("preparations", self.preparation, "ingredients", self.name)

    @property
    def water(self) -> Kilogram:
        """Water in it that the dough can use."""
        return self.mass * free_water(self.ingredient)


def solved_document(document: FormulaDocument) -> ResolvedFormula:
    """Return a document solved, on 1 kg of flour where it does not say how much to make."""
    return resolved_formula(document, sized_wish(document))


def reworked(
    formula: ResolvedFormula,
    edits: Sequence[Edit],
    conserves: Iterable[str],
    notices: Iterable[Notice] = (),
    grown: Ratio = 1.0,
) -> Rework:
    """Return a formula with edits done to it; what is taken by weight follows what is made.

    ``grown`` is how many times as much flour there is.

    Raises
    ------
    DocumentError
        If what comes out is no formula that can be made.
    """
    text = edited(written(formula.document), edits)
    follow = _uses_followed(formula, _formula_in(text), grown)
    after = _formula_in(edited(text, follow)) if follow else _formula_in(text)
    done = solved_document(after)
    said = (*notices, *_tin_filled(formula, done), *_notes_of_gone(formula, done))
    return Rework(done, (*edits, *follow), tuple(conserves), said)


def _tin_filled(before: ResolvedFormula, after: ResolvedFormula) -> Iterator[Notice]:
    """What fills a litre of the yield's tin by rule of thumb, if that is another dough now."""
    makes = after.document.makes or Yield()
    if makes.tin is None or makes.piece or makes.dough or makes.flour:
        return
    was, now = (tin_dough(each.preparations, makes.tin.best) for each in (before, after))
    if abs(now / was - 1) > EXACT:
        yield Notice.of("tin-filled-otherwise", "yield", "tin", was=was, now=now)


def _notes_of_gone(before: ResolvedFormula, after: ResolvedFormula) -> Iterator[Notice]:
    """The notes that still speak of a preparation that is no longer there."""
    document = after.document
    notes = [document.note, *(step.note for step in document.process)]
    for name in before.document.preparations:
        if name in document.preparations:
            continue
        spoken_of = re.compile(rf"\b{re.escape(name)}(?:e?s)?\b", re.IGNORECASE)
        for note in notes:
            if note is not None and spoken_of.search(note):
                yield Notice.of("note-of-what-is-gone", "process", name=name, read=note)


def _formula_in(text: str) -> FormulaDocument:
    read = read_document(text).document
    assert isinstance(read, FormulaDocument)
    return read


def _uses_followed(before: ResolvedFormula, after: FormulaDocument, grown: Ratio) -> list[Edit]:
    """Let what is taken by weight be the share it was of a preparation that weighs more or less."""
    flour, made = grown * before.solution.total_flour, dict[str, Kilogram]()
    edits: list[Edit] = []
    for p in working_order(Lookup(after).preparations(after)):
        made[p.name] = sum(line.fixed + line.ratio * flour for line in p.lines)
        for use in p.uses:
            name, was = use.preparation, before.document.preparations.get(p.name)
            taken = use.share * made[name] if use.mass is None else use.mass
            if use.mass is not None and was is not None and name in was.uses:
                taken = _share_before(before, p.name, name) * made[name]
                edits += _taken(after, (p.name, name), taken)
            made[p.name] += taken
    return edits


def _share_before(before: ResolvedFormula, taker: str, name: str) -> Ratio:
    return before.solution.named(taker).taken[name] / before.solution.named(name).mass


def _taken(after: FormulaDocument, use: tuple[str, str], mass: Kilogram) -> list[Edit]:
    """Write what is taken by weight: rounded down, or it would be more than is made."""
    share = after.preparations[use[0]].uses[use[1]].share
    if share is None or abs(mass / share.best - 1) < EXACT:
        return []
    value = mass / size_of_unit(share)
    fine = 10.0 ** min(MOST_DECIMALS, max(0, DIGITS - floor(log10(value))))
    text = number(floor(value * fine * (1 + EXACT)) / fine, MOST_DECIMALS)
    path = ("preparations", use[0], "from", use[1], "share")
    return [SetValue(path, f"{text}{gap(share)}{unit_of(share)}")]


def unchanged(formula: ResolvedFormula) -> Rework:
    """Return a formula as it is: the rework that others follow."""
    return Rework(formula, (), ALL_OF_IT)


AT_ODDS = frozenset(
    {"pieces-need-more-dough", "piece-too-large", "yield-contradicts", "yield-says-twice"}
)
"""What is wrong where a yield and the lines are at odds: a size asked for settles it."""


def by_its_lines(document: FormulaDocument) -> Rework:
    """Return a formula solved without what its yield says of weights and tins, taken out."""
    makes = document.makes or Yield()
    said = [key for key in ("piece", "dough", "flour", "tin") if getattr(makes, key) is not None]
    edits = tuple(SetValue(("yield", key), "") for key in said)
    after = _formula_in(edited(written(document), edits))
    return Rework(solved_document(after), edits, ALL_OF_IT)


def followed(first: Rework, second: Rework) -> Rework:
    """Return two reworks as one; it conserves what both of them do."""
    both = tuple(word for word in first.conserves if word in second.conserves)
    edits, notices = (*first.edits, *second.edits), (*first.notices, *second.notices)
    return replace(second, edits=edits, conserves=both, notices=notices)


def reworked_text(text: str, rework: Rework) -> str:
    """Return the author's text with a rework done in it: comments and layout stay."""
    return edited(text, rework.edits)


EACH = "each ingredient"
ALL_OF_IT = (EACH, "flour", "water", "salt", "fat", "sugar", "yeast")
"""What a rework that only moves things conserves."""


def all_but(*changed: str) -> tuple[str, ...]:
    """Return what a rework conserves that changes some of it.

    >>> all_but("salt")
    ('flour', 'water', 'fat', 'sugar', 'yeast')
    """
    return tuple(word for word in ALL_OF_IT if word != EACH and word not in changed)


# --- lines


def weighed_lines(formula: ResolvedFormula, preparation: str) -> tuple[Weighed, ...]:
    """Return the lines of a preparation, each with its weight as made."""
    found, written_lines = formula.solution.named(preparation), _lines(formula, preparation)
    pairs = zip(found.preparation.lines, found.masses, strict=True)
    return tuple(
        Weighed(preparation, line.name, written_lines[line.name], line.ingredient, mass)
        for line, mass in pairs
    )


def _lines(formula: ResolvedFormula, preparation: str) -> dict[str, Line]:
    return formula.document.preparations[preparation].ingredients


def dough_lines(formula: ResolvedFormula) -> tuple[Weighed, ...]:
    """Return the lines of all that ends in the dough; those of the dough itself first."""
    inside = [p.name for p in formula.solution.preparations if p.preparation.in_dough]
    final = formula.solution.final
    names = [final, *(name for name in inside if name != final)]
    return tuple(line for name in names for line in weighed_lines(formula, name))


def line_named(formula: ResolvedFormula, preparation: str, like: Weighed) -> Weighed | None:
    """Return the line of a preparation for the same ingredient, by its name if there is one."""
    lines = weighed_lines(formula, preparation)
    by_name = [line for line in lines if line.name == like.name]
    same = [line for line in lines if line.ingredient == like.ingredient]
    return next(iter([*by_name, *same]), None)


def set_amount(line: Weighed, amount: str) -> Edit:
    """Return the edit that writes another amount into a line."""
    return SetValue((*line.path, "amount"), amount)


def place_after(formula: ResolvedFormula, preparation: str, name: str = "") -> int:
    """Return the position behind a line, or behind all of them."""
    names = [*_lines(formula, preparation)]
    return names.index(name) + 1 if name in names else len(names)


def rewritten_amount(line: Weighed, mass: Kilogram, flour: Kilogram) -> str:
    """Return a line's amount for another weight: as it is written, but no broken eggs."""
    amount = line.line.amount
    if amount.dimension == "count" or not line.mass:
        return amount_of(mass, flour, amount)
    return times(amount, mass / line.mass)


def is_nothing(mass: Kilogram, flour: Kilogram) -> bool:
    """Whether a weight is no more than what is left of rounding."""
    return mass <= EXACT * flour


# --- times that no longer hold


def times_dropped(
    document: FormulaDocument,
    positions: Iterable[int],
    sizes: Mapping[int, Ratio] = MappingProxyType({}),
) -> tuple[list[Edit], list[Notice]]:
    """Take out the times noted at steps that are no longer what they were, and say so.

    A step that had only this time to go by goes on until the dough is as large as it was then,
    if ``sizes`` says how large, else until it is as large as usual; the cold goes by the clock.
    """
    edits: list[Edit] = []
    said: list[str] = []
    for position in positions:
        step = document.process[position]
        if step.took is None:
            continue
        said.append(f"{step.verb} {step.of} {step.took.text}")
        edits.append(SetValue(("process", position, "took"), ""))
        by_it = step.verb in FERMENTING and step.until is None and step.lasts is None
        if by_it and position in sizes:
            edits.append(SetValue(("process", position, "until"), f"{sizes[position]:.3g}x"))
        elif by_it and step.verb == "retard":
            edits.append(SetValue(("process", position, "for"), step.took.text))
    return edits, [Notice.of("times-dropped", "process", read=", ".join(said))] if said else []


def changed_by(edits: Iterable[Edit]) -> set[str]:
    """Return the preparations whose lines some edits change."""
    paths = [edit.path for edit in edits]
    return {str(path[1]) for path in paths if path[::2][:2] == ("preparations", "ingredients")}


def rising_steps(document: FormulaDocument, names: Iterable[str]) -> Iterator[int]:
    """Return the positions of the steps in which some preparations rise, or what takes them."""
    of = set(names)
    while more := {k for k, p in document.preparations.items() if of & {*p.uses}} - of:
        of |= more
    for i, step in enumerate(document.process):
        if step.of in of and step.verb in FERMENTING:
            yield i


def refusal(code: str, *where: str | int, **values: object) -> DocumentError:
    """Return the refusal of a rework, with the limit it names.

    >>> refusal("not-in-formula", name="honey").problems[0].code
    'not-in-formula'
    """
    return DocumentError([Notice.of(code, *where, **values)])
