"""A draft of a formula: what somebody's recipe comes to in the trade's terms. Data only."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from doughwright.documents.formula import PreparationKind
from doughwright.gathering.gathered import Doubt, Gathered, Origin, Settings
from doughwright.units import Kilogram, Ratio, Second

Masses = tuple[Kilogram, Kilogram, Kilogram]
"""Low, best and high."""


@dataclass(frozen=True, slots=True)
class DraftLine:
    """One ingredient: its weight, or its share of the flour; neither where nobody knows.

    ``how`` is how the weight was worked out, ``kept_words`` the amount as it was written,
    ``ends`` a range its author wrote (kg, or a ratio beside a share). ``table`` is its name in
    the ingredient table, empty where it counts by weight only. ``key`` begins the keys of its
    doubts.
    """

    name: str
    mass: Masses | None
    share: Ratio | None
    how: str
    note: str
    origin: Origin
    key: str
    kept_words: str = ""
    ends: tuple[float, float] | None = None
    table: str = ""
    flour: bool = False
    hydration: Ratio | None = None
    is_culture: bool = False
    """It holds flour and water, and how much of each nobody has said."""


@dataclass(frozen=True, slots=True)
class DraftPreparation:
    """One part of the bread.

    ``takes`` are other parts that go into it, ``weighed`` how much of one where it is not all;
    ``left`` are lines that weigh nothing: flour for the bench, an egg to brush with.
    """

    name: str
    kind: PreparationKind
    style: str
    lines: tuple[DraftLine, ...]
    takes: tuple[str, ...] = ()
    weighed: tuple[tuple[str, Kilogram], ...] = ()
    left: tuple[Origin, ...] = ()
    named: tuple[Origin, ...] = ()
    """The lines that say what it takes."""
    origin: Origin | None = None


StepVerb = Literal[
    "mix",
    "soak",
    "cook",
    "ferment",
    "rest",
    "retard",
    "divide",
    "shape",
    "proof",
    "fill",
    "top",
    "glaze",
    "bake",
    "cool",
]


@dataclass(frozen=True, slots=True)
class DraftStep:
    """A step of the process, with the time and the oven that were found for it.

    ``words`` is the sentence it was read in, ``at`` where the dough waits, ``until`` what it has
    risen, ``then`` what the oven is turned to; ``how`` a time was worked out, ``beside`` what a
    formula does not hold.
    """

    verb: StepVerb
    of: str
    time: tuple[Second, Second] | None = None
    oven: str = ""
    origin: Origin | None = None
    words: str = ""
    at: str = ""
    until: str = ""
    then: str = ""
    how: str = ""
    beside: tuple[str, ...] = ()


def line_of(doubt: Doubt) -> str:
    """The key of the line a doubt is about: ``3:milk`` of ``3:milk:kind``; empty for a whole."""
    parts = doubt.key.split(":", 2)
    return ":".join(parts[:2]) if len(parts) > 2 else ""


@dataclass(frozen=True)
class Draft:
    """What was gathered, with the settings and answers so far, and what remains to be asked.

    ``stray`` are answers that no doubt asks for.
    """

    gathered: Gathered
    settings: Settings
    preparations: tuple[DraftPreparation, ...]
    doubts: tuple[Doubt, ...]
    answers: tuple[tuple[str, str], ...] = ()
    steps: tuple[DraftStep, ...] = ()
    stray: tuple[str, ...] = ()

    @cached_property
    def open_doubts(self) -> tuple[Doubt, ...]:
        """What nobody has answered yet."""
        return tuple(doubt for doubt in self.doubts if doubt.is_open)

    @cached_property
    def open_by_line(self) -> Mapping[str, tuple[Doubt, ...]]:
        """What is open about each line, by the line's key."""
        found: dict[str, tuple[Doubt, ...]] = {}
        for doubt in self.open_doubts:
            key = line_of(doubt)
            found[key] = (*found.get(key, ()), doubt)
        return found

    @cached_property
    def blocked_lines(self) -> frozenset[str]:
        """The keys of the lines that are not written before something is answered."""
        blocking = [doubt for doubt in self.open_doubts if doubt.blocks]
        return frozenset(key for doubt in blocking for key in (line_of(doubt), *doubt.lines))

    @property
    def is_blocked(self) -> bool:
        """Whether there is no formula before something is answered."""
        return any(doubt.blocks for doubt in self.open_doubts)
