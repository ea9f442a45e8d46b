"""A gathered recipe as its page shows it: lines with what is asked of each, and what remains."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from doughwright.engine.ingredients import ingredient_table
from doughwright.errors import DocumentError
from doughwright.gathering.drafted import Draft, DraftLine, DraftPreparation, line_of
from doughwright.gathering.drafts import draft
from doughwright.gathering.gathered import Doubt, Gathered, Origin
from doughwright.gathering.pages.saved import any_gathered
from doughwright.gathering.telling import weight_beside
from doughwright.gathering.writing import formula_text, line_weight
from doughwright.web.gather_form import ANSWER, REFUSED, WRITTEN, Moved, Source, moved

WORDS_OF = ("divided", "drained")
"""What questions are about that no choice and no amount answers, but words do."""

SAYS: Mapping[str, str] = MappingProxyType(
    {
        "amount": "Write a weight above zero, such as 20 g, or a measure, such as 2 tbsp.",
        "ingredient": "Write a name of the list that opens in the field, or choose above.",
        "shares": "Write each share and its place, such as 1 for the glaze, or all.",
        "": "Write it as the question says.",
    }
)
"""What may be written, by what a question takes."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A doubt with its mark on the page, and what was typed where it takes words."""

    mark: str
    doubt: Doubt
    typed: str

    @property
    def state(self) -> str:
        """Whether a bread needs its answer, is the better for it, or has it."""
        if not self.doubt.is_open:
            return "Settled"
        return "To be settled" if self.doubt.blocks else "Worth settling"

    @property
    def choices(self) -> tuple[tuple[str, str, str], ...]:
        """Each candidate: its key, its words, and what it would weigh where they do not say it."""
        return tuple((one.key, one.words, weight_beside(one)) for one in self.doubt.choices)

    @property
    def name(self) -> str:
        """The name of its field."""
        return f"{ANSWER}{self.doubt.key}"

    @property
    def written(self) -> str:
        """The name of the field for words instead of its choices."""
        return f"{WRITTEN}{self.doubt.key}"

    @property
    def refused(self) -> str:
        """The name of the field that keeps what was typed and settled nothing."""
        return f"{REFUSED}{self.doubt.key}"

    @property
    def is_refused(self) -> bool:
        """Whether something was typed that is no answer."""
        return bool(self.typed) and self.doubt.is_open

    @property
    def may_be_written(self) -> str:
        """What may be written instead of what was refused."""
        return SAYS[self.doubt.takes]

    @property
    def is_answerable(self) -> bool:
        """Whether it can be answered at all; else only another text helps."""
        about = self.doubt.key.rpartition(":")[2]
        return bool(self.doubt.choices or self.doubt.takes or about in WORDS_OF)

    @property
    def said(self) -> str:
        """Its answer in words."""
        words = {one.key: one.words for one in self.doubt.choices}
        return words.get(self.doubt.answer, self.doubt.answer)


@dataclass(frozen=True, slots=True)
class Row:
    """A line of a preparation, and what is asked about it."""

    line: DraftLine
    asked: tuple[Asked, ...]

    @property
    def weight(self) -> str:
        """Its weight with the digits its formula has; empty while nobody knows."""
        return line_weight(self.line) if self.line.mass else ""


@dataclass(frozen=True, slots=True)
class Block:
    """A preparation with its rows."""

    part: DraftPreparation
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """A draft as a page shows it; ``whole`` is asked of the recipe and not of one line.

    ``stray`` are answers that nothing asks for now: they are kept, another answer may.
    """

    draft: Draft
    blocks: tuple[Block, ...]
    whole: tuple[Asked, ...]
    stray: tuple[tuple[str, str], ...]
    text: str

    @property
    def asked(self) -> tuple[Asked, ...]:
        """All that is asked, in the order of the page."""
        return (*self.whole, *(one for b in self.blocks for row in b.rows for one in row.asked))

    @property
    def is_answerable(self) -> bool:
        """Whether anything on the page can be answered."""
        return any(one.is_answerable for one in self.asked)

    @property
    def first(self) -> Mapping[str, str]:
        """The marks of the first question that blocks or was refused, and of the first other."""
        still = [one for one in self.asked if one.doubt.is_open]
        found = {one.doubt.blocks or one.is_refused: one.mark for one in reversed(still)}
        return {"next": found.get(True, ""), "other": found.get(False, "")}

    @property
    def ingredients(self) -> tuple[str, ...]:
        """The names a question about an ingredient takes; empty where there is none."""
        asks = any(doubt.takes == "ingredient" for doubt in self.draft.doubts)
        return tuple(ingredient_table()) if asks else ()

    @property
    def open_count(self) -> int:
        """How many doubts nobody has settled."""
        return len(self.draft.open_doubts)

    @property
    def blocking_count(self) -> int:
        """How many of them there is no formula without."""
        return sum(doubt.blocks for doubt in self.draft.open_doubts)

    @property
    def beside(self) -> tuple[tuple[str, tuple[Origin, ...]], ...]:
        """What else was read, by what it is."""
        read = self.draft.gathered
        kinds = (
            ("makes", tuple(made.origin for made in read.made)),
            ("oven", tuple(oven.origin for oven in read.ovens)),
            ("times", tuple(time.origin for time in read.times)),
            ("method", read.method),
            ("beside", read.other),
        )
        return tuple((word, tuple(dict.fromkeys(lines))) for word, lines in kinds if lines)


@lru_cache(4)
def _gathered(text: str, name: str) -> Gathered:
    return any_gathered(text, name)


def went_along(source: Source, former: str) -> Moved:
    """A source's answers after its text was changed, at the lines they are about."""
    if former in ("", source.text):
        return Moved(source.answers)
    try:
        before, after = (_gathered(text, source.name) for text in (former, source.text))
    except DocumentError:  # the one is refused when it is shown, of the other nothing is known
        return Moved(source.answers, is_changed=True)
    return moved(source.answers, before, after)


def shown(source: Source) -> Shown:
    """Work a recipe out as far as it is settled.

    Raises
    ------
    DocumentError
        Where there is nothing in it, or far more than a recipe.
    """
    answers = dict(source.answers)
    made = draft(_gathered(source.text, source.name), source.settings, answers)
    asked = tuple(
        Asked(f"q{number}", doubt, answers.get(doubt.key, ""))
        for number, doubt in enumerate(made.doubts)
    )
    blocks = tuple(_blocks(made, asked))
    beside = {one.mark for block in blocks for row in block.rows for one in row.asked}
    whole = tuple(one for one in asked if one.mark not in beside)
    keys = {doubt.key for doubt in made.doubts}
    stray = tuple((key, answer) for key, answer in source.answers if key not in keys)
    return Shown(made, blocks, whole, stray, formula_text(made))


def _blocks(made: Draft, asked: tuple[Asked, ...]) -> Iterator[Block]:
    by_line: dict[str, list[Asked]] = {}
    for one in asked:
        by_line.setdefault(line_of(one.doubt), []).append(one)
    for part in made.preparations:
        rows = (Row(line, tuple(by_line.get(line.key, ()))) for line in part.lines)
        yield Block(part, tuple(rows))
