"""A bread of the library, read and planned; what was made once of a revision is kept a while.

A revision never changes, so what is made of it and of the same words asked can be kept under
their names. The few latest are kept: one page and its pictures, a handful of open sliders.
"""

from collections.abc import Hashable
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache
from typing import Generic, TypeVar

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import Reading, other_document, read_document
from doughwright.documents.shelf import ShelfDocument
from doughwright.errors import DoughwrightError
from doughwright.resolving.formulas import ResolvedFormula, as_tested, resolved_formula
from doughwright.resolving.kitchens import Kitchen, kitchen_from
from doughwright.resolving.shelf import with_shelf
from doughwright.sheets.bench_plan import BenchPlan, bench_plan
from doughwright.store.library import Stored, listed, newest, revision
from doughwright.web.asked import Asked

KEPT = 64
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Named(Generic[T]):
    """What something is made of, known by its words: two of the same words are the same."""

    name: Hashable
    of: T = field(compare=False)


@dataclass(frozen=True, slots=True)
class Bread:
    """A revision of a bread, read, with the shelf's values for what it leaves open."""

    stored: Stored
    reading: Reading
    document: FormulaDocument


def bread(key: str, number: int | None = None) -> Bread:
    """A bread of the library, its newest revision or an earlier one.

    Raises
    ------
    NotInLibrary
        If there is none of that name or number.
    DocumentError
        If the text is none that this version of the program can follow.
    """
    stored = newest("formula", key) if number is None else revision("formula", key, number)
    reading, document = _read(stored.text, shelf_text())
    return Bread(stored, reading, document)


@lru_cache(KEPT)
def _read(text: str, shelf: str) -> tuple[Reading, FormulaDocument]:
    reading = read_document(text, "the formula")
    if not isinstance(reading.document, FormulaDocument):
        raise reading.located(other_document(reading.document, "formula/1"))
    return reading, with_shelf(reading.document, shelf_in(shelf))


def shelf_text() -> str:
    """The text of the library's shelf, the first of several; nothing where there is none."""
    shelves = listed("shelf")
    return newest("shelf", shelves[0].key).text if shelves else ""


@lru_cache(8)
def shelf_in(text: str) -> ShelfDocument | None:
    """The shelf of a text; none where there is none."""
    document = read_document(text, "the shelf").document if text else None
    return document if isinstance(document, ShelfDocument) else None


ORDINARY = "-"
"""What an address says where no kitchen of the library is meant, but an ordinary one."""


def kitchen_key(asked: Asked) -> str:
    """The kitchen that is meant: the one asked for, else the library's first."""
    kitchens = listed("kitchen")
    return asked.words.get("kitchen", kitchens[0].key if kitchens else ORDINARY)


def kitchen_text(key: str) -> str:
    """The text of a kitchen of the library; nothing for an ordinary kitchen."""
    return newest("kitchen", key).text if key != ORDINARY else ""


@lru_cache(KEPT)
def kitchen_in(text: str) -> Kitchen:
    """A kitchen as its text describes it; an ordinary one where there is none."""
    document = read_document(text, "the kitchen").document if text else None
    return kitchen_from(document if isinstance(document, KitchenDocument) else None)


def plan(here: Bread, asked: Asked, kitchen: str | None = None) -> BenchPlan:
    """The bench plan of a bread as it is asked for; problems have their place in its text.

    ``kitchen`` is the text of the kitchen, where it is not the one in the library now.
    """
    size = tuple(sorted((k, v) for k, v in asked.words.items() if k not in {"start", "ready"}))
    kitchen = kitchen_text(kitchen_key(asked)) if kitchen is None else kitchen
    made_of = Named((here.stored.text, shelf_text(), kitchen, size), (here, asked, kitchen))
    try:
        return _plan(made_of, asked.start, asked.ready)
    except DoughwrightError as error:
        raise here.reading.located(error) from None


@lru_cache(KEPT)
def _plan(
    work: Named[tuple[Bread, Asked, str]], start: datetime | None, ready: datetime | None
) -> BenchPlan:
    here, asked, kitchen = work.of
    formula, own = sized(here.document, asked)
    place = asked.in_kitchen(kitchen_in(kitchen))
    return bench_plan(formula, place, own, start=start, ready=ready)


def sized(document: FormulaDocument, asked: Asked) -> tuple[ResolvedFormula, ResolvedFormula]:
    """The formula at the size asked for, and at its own, in which its times were noted."""
    formula = resolved_formula(document, asked.wish)
    return formula, formula if asked.wish.is_open else as_tested(formula)
