"""Breads of the library laid side by side, as a page asks for them."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from doughwright.errors import DoughwrightError, Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.reworking.middle import Named, middle_text
from doughwright.reworking.rework import solved_document
from doughwright.sheets.sources import Source, SourcesSheet, sources_sheet
from doughwright.store.errors import NotInLibrary
from doughwright.store.library import listed
from doughwright.web.breads import bread
from doughwright.web.finding import told_apart


@dataclass(frozen=True, slots=True)
class Chosen:
    """The breads that were asked for, those that can be compared, and what is wrong with others.

    ``wrong`` are the problems of each bread by its key, those of none under an empty one.
    """

    keys: tuple[str, ...]
    sources: tuple[tuple[str, Source], ...] = ()
    wrong: dict[str, tuple[Notice, ...]] = field(default_factory=dict)

    @property
    def names(self) -> tuple[str, ...]:
        """What the breads are called that can be compared."""
        return tuple(source.name for _, source in self.sources)


def chosen(keys: Sequence[str]) -> Chosen:
    """Breads by their keys, each solved; the same one twice counts once."""
    once = tuple(dict.fromkeys(keys))
    names = told_apart(listed("formula"))
    found: list[tuple[str, Source]] = []
    wrong: dict[str, tuple[Notice, ...]] = {}
    for key in once:
        try:
            found.append((key, Source(names.get(key, key), _solved(key))))
        except (NotInLibrary, DoughwrightError) as error:
            wrong[key] = error.problems
    return Chosen(once, tuple(found), wrong)


def _solved(key: str) -> ResolvedFormula:
    here = bread(key)
    try:
        return solved_document(here.document)
    except DoughwrightError as error:
        raise here.reading.located(error) from None


def side_by_side(asked: Chosen) -> SourcesSheet:
    """The breads that can be compared as one sheet.

    Raises
    ------
    DocumentError
        Where there are fewer than two, or more than a table has room for.
    """
    return sources_sheet([source for _, source in asked.sources])


def middle_of(asked: Chosen) -> str:
    """The text of a formula from the middle of the breads.

    Raises
    ------
    DocumentError
        Where there are fewer than two of them, or too many.
    """
    side_by_side(asked)
    return middle_text([Named(source.name, source.formula) for _, source in asked.sources])
