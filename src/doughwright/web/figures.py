"""What a bread looks like in numbers, worked out once a revision and kept beside it.

A list of breads must open at once, and a bread's time takes a few tenths of a second to plan. So
its figures are noted in the library's derived column, with what they rest on beside the bread's
own words: the shelf, the kitchen, this version of the program. Where that changed, they are
worked out anew.
"""

import hashlib
import logging
import unicodedata
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from doughwright import __version__
from doughwright.documents.formula import FormulaDocument
from doughwright.engine.formula import SolvedFormula
from doughwright.engine.overall import (
    dough_yield,
    fat_ratio,
    hydration,
    salt_ratio,
    sugar_ratio,
)
from doughwright.errors import DoughwrightError
from doughwright.render.messages import words
from doughwright.resolving.formulas import (
    hydration_range,
    resolved_formula,
    sized_wish,
)
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.planning import planned_formula
from doughwright.resolving.process import TimedStep, total_time
from doughwright.store.errors import LibraryFailure
from doughwright.store.library import Listed, listed, newest, note_figures, revision
from doughwright.web.breads import Bread, bread, kitchen_in, shelf_text

OUR_FAULT = "Our own computation failed at this bread; the terminal shows where."
SHAPE = "1"
"""Named anew when what is noted changes its shape."""


@dataclass(frozen=True, slots=True)
class Figures:
    """A bread in numbers, in SI; low, best and high where there is a band.

    ``shares`` are of the dough's weight. ``whole`` says whether every step's time is known.
    ``problem`` says in one line why there are no figures, ``unplanned`` why there is no time.
    ``looked_in`` is what a search looks in.
    """

    rests_on: str
    looked_in: str
    problem: str = ""
    pieces: int | None = None
    piece: float | None = None
    dough: float | None = None
    water: tuple[float, float, float] | None = None
    shares: Mapping[str, float] | None = None
    time: tuple[float, float, float] | None = None
    whole: bool = True
    unplanned: str = ""


def first_kitchen() -> str:
    """The text of the kitchen that times are planned in: the library's first, else none."""
    kitchens = listed("kitchen")
    return newest("kitchen", kitchens[0].key).text if kitchens else ""


def rests_on(kitchen: str) -> str:
    """What all figures rest on beside a bread's own words, as one short name."""
    said = f"{SHAPE}\0{__version__}\0{shelf_text()}\0{kitchen}"
    return hashlib.sha256(said.encode()).hexdigest()[:16]


def noted(item: Listed) -> Figures | None:
    """The figures noted for a bread's newest revision, on whatever they rest."""
    found = item.figures
    if not found or set(found) != set(Figures.__dataclass_fields__):
        return None
    return Figures(**{name: _frozen(value) for name, value in found.items()})


def _frozen(value: Any) -> Any:
    if isinstance(value, list):
        return tuple(value)
    return MappingProxyType(value) if isinstance(value, dict) else value


def note(item: Listed, kitchen: str, on: str) -> Figures:
    """Work out a bread's figures, and note them in the library if it can be written."""
    found = _worked_out(item, kitchen, on)
    shares_of = dict(found.shares) if found.shares else None
    plain = {name: getattr(found, name) for name in Figures.__dataclass_fields__}
    with suppress(LibraryFailure):  # a page can be shown, also where what it shows cannot be kept
        note_figures("formula", item.key, item.number, {**plain, "shares": shares_of})
    return found


def _worked_out(item: Listed, kitchen: str, on: str) -> Figures:
    try:
        return figures(bread(item.key, item.number), kitchen_in(kitchen), on)
    except DoughwrightError as error:
        problem = one_line(error)
    except Exception:  # a defect of ours at one bread must not shut out all the others
        logging.getLogger("django").exception("the figures of %s", item.key)
        problem = OUR_FAULT
    text = revision("formula", item.key, item.number).text
    return Figures(on, folded(text), problem=problem)


def figures(here: Bread, kitchen: Kitchen, on: str) -> Figures:
    """A bread's figures: of its formula, and of its time in a kitchen.

    One that says nothing of how much to make is worked out for a kilogram of flour.
    """
    looked_in, wish = search_words(here.document), sized_wish(here.document)
    try:
        formula = resolved_formula(here.document, wish)
    except DoughwrightError as error:
        return Figures(on, looked_in, problem=one_line(here.reading.located(error)))
    solution, (low, high) = formula.solution, hydration_range(formula)
    found = Figures(
        on,
        looked_in,
        pieces=solution.pieces,
        piece=solution.piece,
        dough=solution.dough if wish.is_open else None,
        water=(low, hydration(solution), high),
        shares=shares(solution),
    )
    try:
        return _with_time(found, planned_formula(formula, formula, kitchen).settled.steps)
    except DoughwrightError as error:
        return replace(found, unplanned=one_line(error))


def _with_time(found: Figures, steps: Sequence[TimedStep]) -> Figures:
    low, best, high = total_time(steps)
    whole = all(step.lasts.known for step in steps if step.inside is None)
    return replace(found, time=(low, best, high) if best > 0 else None, whole=whole)


def shares(solution: SolvedFormula) -> Mapping[str, float]:
    """What a dough's weight is made of: flour, water, fat, sugar, salt and the rest."""
    whole = dough_yield(solution)
    known = {
        "flour": 1 / whole,
        "water": hydration(solution) / whole,
        "fat": fat_ratio(solution) / whole,
        "sugar": sugar_ratio(solution) / whole,
        "salt": salt_ratio(solution) / whole,
    }
    return MappingProxyType({**known, "the rest": max(0.0, 1 - sum(known.values()))})


def search_words(document: FormulaDocument) -> str:
    """All a bread is found by: its name, tags, ingredients, preparations and notes."""
    said = [document.name, *document.tags, document.note or "", *document.ingredients]
    for name, preparation in document.preparations.items():
        said += [name, preparation.style or "", preparation.note or "", *preparation.ingredients]
        said += [line.note or "" for line in preparation.ingredients.values()]
    said += [note for step in document.process for note in (step.note, step.cue) if note]
    return folded("\n".join(said))


def folded(text: str) -> str:
    """Text as it is looked for: without capitals and accents.

    >>> folded("Crème BRÛLÉE")
    'creme brulee'
    """
    parts = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in parts if not unicodedata.combining(sign))


def one_line(error: DoughwrightError) -> str:
    """Why something cannot be followed, in one line."""
    first, *more = error.problems
    said = words(first)
    return f"{said} And {len(more)} more." if more else said
