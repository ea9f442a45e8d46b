"""A bread reworked as a page asks: what it was, what it becomes, and the text to be taken up."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from doughwright.documents.differences import differences
from doughwright.documents.formula import FERMENTING
from doughwright.documents.reading import read_document
from doughwright.errors import DoughwrightError, Notice
from doughwright.render.differences import difference_lines
from doughwright.resolving.formulas import ResolvedFormula, sized_wish
from doughwright.resolving.kitchens import Kitchen
from doughwright.reworking.rework import (
    ALL_OF_IT,
    AT_ODDS,
    Rework,
    dough_lines,
    refusal,
    reworked_text,
)
from doughwright.reworking.standing import still_true
from doughwright.reworking.wishes import KINDS, rework_asked, start_for
from doughwright.sheets.formula import FormulaRow, FormulaSheet, formula_sheet
from doughwright.web.breads import Bread, Named, kitchen_in, shelf_text
from doughwright.web.figures import first_kitchen
from doughwright.web.rework_offers import offered
from doughwright.web.rework_wishes import LONGEST_WISH

MOST_WISHES = 8
"""More than these one after the other are taken up in between."""


@dataclass(frozen=True, slots=True)
class Chances:
    """What of a formula its fields offer: its lines, its steps that rise, wishes as examples."""

    lines: tuple[str, ...]
    steps: tuple[str, ...]
    kinds: frozenset[str]
    examples: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reworked:
    """Wishes done one after the other; ``text`` is the author's with all of them in it."""

    wishes: tuple[str, ...]
    text: str
    before: FormulaSheet
    after: FormulaSheet
    changes: tuple[str, ...]
    kept: tuple[str, ...]
    notices: tuple[Notice, ...]


@dataclass(frozen=True, slots=True)
class Attempt:
    """What came of some wishes: those that were done, and the one that could not be.

    ``left`` were not tried for that. ``unsolved`` says why the bread itself cannot be reworked.
    """

    done: Reworked | None = None
    refused: str = ""
    problems: tuple[Notice, ...] = ()
    left: tuple[str, ...] = ()
    unsolved: tuple[Notice, ...] = ()
    chances: Chances = Chances((), (), frozenset(), ())
    on_a_kilogram: bool = False
    kitchen: str = ""

    @property
    def settled_by_size(self) -> bool:
        """Whether yield and lines are at odds, so that saying what is to be made settles it."""
        codes = {problem.code for problem in self.unsolved}
        return bool(codes) and codes <= AT_ODDS


def attempted(here: Bread, wishes: Sequence[str]) -> Attempt:
    """Do what is wished of a bread, in the kitchen that plans are made for."""
    plain = tuple(" ".join(wish.split()) for wish in wishes if wish.strip())
    kitchen = first_kitchen()
    name = (here.stored.text, shelf_text(), kitchen, plain)
    try:
        return _attempt(Named(name, (here, plain, kitchen_in(kitchen))))
    except DoughwrightError as error:
        return Attempt(unsolved=here.reading.located(error).problems)


@lru_cache(16)
def _attempt(work: Named[tuple[Bread, tuple[str, ...], Kitchen]]) -> Attempt:
    here, wishes, kitchen = work.of
    start = start_for(here.document, wishes[0] if wishes else "")
    done = [Stage(start, reworked_text(here.stored.text, start))]
    problems: tuple[Notice, ...] = ()
    for wish in wishes[:MOST_WISHES]:
        try:
            done.append(_after(done[-1], wish, kitchen))
        except DoughwrightError as error:
            first = len(done) == 1  # later ones are about a text that its author has not seen
            problems = here.reading.located(error).problems if first else error.problems
            break
    rest = wishes[len(done) - 1 :]
    return Attempt(
        done=_reworked(here, wishes, done) if len(done) > 1 else None,
        refused=rest[0] if problems else "",
        problems=problems,
        left=rest[1:] if problems else rest,
        chances=_chances(done[-1].rework.formula),
        on_a_kilogram=not sized_wish(here.document).is_open,
        kitchen=kitchen.name,
    )


@dataclass(frozen=True, slots=True)
class Stage:
    """A rework, and the author's text after it."""

    rework: Rework
    text: str


def _after(stage: Stage, wish: str, kitchen: Kitchen) -> Stage:
    if len(wish) > LONGEST_WISH:
        read = f"{wish[:47]}…"
        raise refusal("wish-not-understood", read=read, allowed="; ".join(KINDS), like="")
    rework = rework_asked(stage.rework.formula, kitchen, wish)
    return Stage(rework, reworked_text(stage.text, rework))


def _reworked(here: Bread, wishes: tuple[str, ...], done: Sequence[Stage]) -> Reworked:
    """What was done, and what changed by it between the texts as they are and would be saved."""
    after = read_document(done[-1].text, "the formula reworked").document
    reworks = [stage.rework for stage in done]
    return Reworked(
        wishes=wishes[: len(done) - 1],
        text=done[-1].text,
        before=formula_sheet(reworks[0].formula),
        after=formula_sheet(reworks[-1].formula),
        changes=difference_lines(differences(here.reading.document, after)),
        kept=tuple(word for word in ALL_OF_IT if all(word in each.conserves for each in reworks)),
        notices=still_true(reworks),
    )


def _chances(formula: ResolvedFormula) -> Chances:
    document = formula.document
    steps = [f"{s.verb} {s.of}" for s in document.process if s.verb in FERMENTING]
    lines = [line.name for line in dough_lines(formula)]
    return Chances(
        lines=tuple(dict.fromkeys(lines)),
        steps=tuple(dict.fromkeys(steps)),
        kinds=frozenset(p.kind for p in document.preparations.values()),
        examples=offered(formula),
    )


# --- side by side


@dataclass(frozen=True, slots=True)
class Pair:
    """One line before and after; None where it is not."""

    name: str
    before: FormulaRow | None
    after: FormulaRow | None


@dataclass(frozen=True, slots=True)
class Part:
    """A preparation before and after, or all of the dough; the styles it had and has."""

    name: str
    styles: tuple[str, str]
    pairs: tuple[Pair, ...]

    @property
    def apart(self) -> bool:
        """Whether none of it is in the dough: its shares are of its own weight."""
        rows = [row for pair in self.pairs for row in (pair.before, pair.after)]
        return all(row is None or row.overall is None for row in rows)


def side_by_side(done: Reworked) -> Iterator[Part]:
    """Every preparation with its lines before and after, and what the whole dough is made of.

    A preparation that is gone stands behind those that are.
    """
    was, now = ({t.name: t for t in sheet.preparations} for sheet in (done.before, done.after))
    for name in dict.fromkeys((*now, *was)):
        old, new = was.get(name), now.get(name)
        styles = (old.style if old else "", new.style if new else "")
        pairs = _pairs(old.rows if old else (), new.rows if new else ())
        yield Part(name, styles, pairs)
    yield Part("", ("", ""), _pairs(done.before.overall, done.after.overall))


def _pairs(before: Sequence[FormulaRow], after: Sequence[FormulaRow]) -> tuple[Pair, ...]:
    was, now = ({row.name: row for row in rows} for rows in (before, after))
    return tuple(Pair(n, was.get(n), now.get(n)) for n in dict.fromkeys((*now, *was)))
