"""A gathered recipe as its page shows it: lines with what is asked of each, and what remains."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from doughwright.engine.ingredients import ingredient_table
from doughwright.errors import DocumentError, Notice
from doughwright.gathering.drafted import Draft, DraftLine, DraftPreparation, line_of
from doughwright.gathering.drafts import draft
from doughwright.gathering.gathered import Doubt, Gathered, Origin, Settings
from doughwright.gathering.pages.saved import any_gathered
from doughwright.gathering.telling import weight_beside
from doughwright.gathering.writing import formula_text, line_weight

ANSWER, WRITTEN = "a:", "w:"
"""What the names of an answer's fields begin with, chosen and written; its doubt's key follows."""

PASTED = "pasted text"
LONGEST_SOURCE = 120

SYSTEMS: Mapping[str, str] = {
    "": "not said",
    "us": "US",
    "metric": "metric",
    "imperial": "British, imperial",
    "nordic": "Nordic",
    "japanese": "Japanese",
    "australian": "Australian",
}
EGGS = ("", "small", "medium", "large", "extra large", "jumbo")


@dataclass(frozen=True, slots=True)
class Source:
    """What a form says of a recipe: its text, where that is from, and what was said of it."""

    text: str = ""
    name: str = PASTED
    country: str = ""
    system: str = ""
    egg: str = ""
    answers: tuple[tuple[str, str], ...] = ()

    @property
    def settings(self) -> Settings:
        """What its measures are read by."""
        return Settings(self.country.upper(), self.system, self.egg)


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
    def is_refused(self) -> bool:
        """Whether something was typed that is no answer."""
        return bool(self.typed) and self.doubt.is_open


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


def source_in(fields: Mapping[str, str]) -> Source:
    """What a form says.

    >>> source_in({"text": "500 g flour", "a:system": "us", "a:country": ""}).answers
    (('system', 'us'),)

    Raises
    ------
    DocumentError
        A setting is none that is known; ``where`` is its field.
    """
    said = {n: fields.get(n, "").strip() for n in ("source", "country", "system", "egg")}
    for name, known in (("system", tuple(SYSTEMS)), ("egg", EGGS)):
        if said[name] not in known:
            raise _unknown(name, said[name], ", ".join(filter(None, known)))
    if not re.fullmatch("(?:[A-Za-z]{2})?", said["country"]):
        raise _unknown("country", said["country"], "two letters: LV, GB, US")
    text = re.sub("\r\n?", "\n", fields.get("text", ""))
    name = said["source"][:LONGEST_SOURCE] or PASTED
    return Source(text, name, said["country"], said["system"], said["egg"], answers_in(fields))


def answers_in(fields: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """The answers of a form; an empty one is none, and one that is written goes first.

    >>> answers_in({"a:4:milk:amount": "not weighed", "w:4:milk:amount": "120 g"})
    (('4:milk:amount', '120 g'),)
    """
    found = {
        name.removeprefix(prefix): said.strip()
        for prefix in (ANSWER, WRITTEN)
        for name, said in fields.items()
        if name.startswith(prefix) and said.strip()
    }
    return tuple(found.items())


def _unknown(name: str, read: str, allowed: str) -> DocumentError:
    return DocumentError(
        [Notice.of("unknown-word", name, read=read[:40], allowed=allowed, like="")]
    )


@lru_cache(4)
def _gathered(text: str, name: str) -> Gathered:
    return any_gathered(text, name)


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
