"""What was read in somebody's recipe, each thing with its place. Objects only hold data.

Nothing here is in the trade's terms yet: an amount is what stands there, a name is the words
that stand there. What they come to in kilograms is worked out in
:mod:`doughwright.gathering.weighing.masses` for a country and its measures.
"""

from dataclasses import dataclass, field
from typing import Literal

from doughwright.errors import Notice

Use = Literal["dough", "filling", "glaze", "topping", "soak", "drained", "dusting"]
"""What an ingredient is for, as its line or its heading says; ``drained`` is soaked in only."""


@dataclass(frozen=True, slots=True)
class Origin:
    """Where something was read: the source, the line (from 1) and all it says."""

    source: str
    line: int
    text: str


@dataclass(frozen=True, slots=True)
class Amount:
    """How much, as it is written: a number or a range of a unit.

    ``unit`` is one of the canonical words of :mod:`doughwright.gathering.lines.amounts`, empty
    for a plain count. ``package`` is what one of them holds ("1 x 125 g ball"), ``more`` what is
    added ("1 lb 2 oz", "1 cup plus 2 tbsp"), ``same`` the same amount said again in another unit
    ("1 cup (125 g)"), ``other`` what its digits may say as well ("1.250 g"); ``modifiers`` are
    words such as heaped, scant, large. ``words`` is the stretch of the line it was read from.
    """

    low: float
    best: float
    high: float
    unit: str
    words: str
    modifiers: tuple[str, ...] = ()
    more: tuple["Amount", ...] = ()
    same: tuple["Amount", ...] = ()
    package: "Amount | None" = None
    other: "Amount | None" = None


@dataclass(frozen=True, slots=True)
class Item:
    """One ingredient of one line; ``alternatives`` are what may be taken in its place.

    ``name`` is what it is called without the words beside it, which stand in ``note``.
    ``amount`` is None where none is written. ``columns`` are further amounts of a table's row,
    by the head of their column. ``place`` is another part of the bread that its line names,
    ``may_be`` what it may be for where the line leaves that open; ``divided``
    are words that have it go to several places without how much to each. ``apart`` is the amount
    that its line takes apart and what the parts come to, where these are not the same.
    """

    name: str
    amount: Amount | None
    origin: Origin
    note: str = ""
    use: Use = "dough"
    alternatives: tuple["Item", ...] = ()
    columns: tuple[tuple[str, Amount], ...] = ()
    place: str = ""
    may_be: Use | None = None
    divided: str = ""
    apart: tuple[Amount, float] | None = None


@dataclass(frozen=True, slots=True)
class Section:
    """Ingredients under one heading; empty where there is none.

    ``sums`` are totals that are written below it: what they are of, and the amount. ``whole`` is
    what its table says of all parts together, line by line: a check, never an ingredient.
    """

    title: str
    items: tuple[Item, ...]
    sums: tuple[tuple[str, Amount, Origin], ...] = ()
    origin: Origin | None = None
    whole: "Section | None" = None


@dataclass(frozen=True, slots=True)
class Made:
    """What the whole makes, as it is written: pieces, what one weighs, or all of the dough."""

    origin: Origin
    pieces: tuple[int, int] | None = None
    piece: Amount | None = None
    words: str = ""
    dough: Amount | None = None


@dataclass(frozen=True, slots=True)
class OvenRead:
    """An oven's setting: a temperature in K or a gas mark, its kind where that is said."""

    origin: Origin
    temperature: float | None
    kind: str = ""
    mark: str = ""
    unit: str = "°C"
    high: float | None = None
    """The upper end where a range is written."""
    start: int = 0
    end: int = 0
    """Where in its line it stands."""


@dataclass(frozen=True, slots=True)
class TimeRead:
    """A time in s with the word of the step it belongs to (mix, ferment, proof, bake …).

    ``sentence`` is what it stands in, ``before`` what the line says ahead of that, ``start`` and
    ``end`` its place in the line. ``role`` is what it is beside other times (then, or, further,
    total, first, last, most), ``at`` where the dough waits, ``until`` the size it rises to, ``how``
    what no number there says. Where only that size is told, there is no time: both ends are 0.
    """

    origin: Origin
    verb: str
    low: float
    high: float
    sentence: str = ""
    before: str = ""
    start: int = 0
    end: int = 0
    role: str = ""
    at: str = ""
    how: str = ""
    until: str = ""


@dataclass(frozen=True, slots=True)
class Gathered:
    """All that was read in one source. Every line of it is in one of these, or in ``unread``."""

    source: str
    title: str
    sections: tuple[Section, ...]
    made: tuple[Made, ...] = ()
    ovens: tuple[OvenRead, ...] = ()
    times: tuple[TimeRead, ...] = ()
    method: tuple[Origin, ...] = ()
    unread: tuple[Origin, ...] = ()
    other: tuple[Origin, ...] = field(default=())
    """Lines that were understood and hold nothing to count: titles, notes, blank words."""


# --- What a recipe is read by, and what remains to be asked ---------------------------------------


@dataclass(frozen=True, slots=True)
class Settings:
    """What its measures are read by: empty where nobody has said.

    ``country`` is ISO 3166-1 (eggs, sachets, cubes), ``system`` whose cups and spoons (us,
    metric, imperial, nordic, japanese, australian), ``egg`` the size where none is written.
    ``point`` and ``comma`` are what that sign means before three digits: thousand or decimal.
    ``whose`` is what ``system`` was read from, where nobody has said it.
    """

    country: str = ""
    system: str = ""
    egg: str = ""
    point: str = ""
    comma: str = ""
    whose: str = ""


@dataclass(frozen=True, slots=True)
class Choice:
    """One candidate of a doubt: the key an answer names, its words, and what it would weigh."""

    key: str
    words: str
    mass: tuple[float, float, float] | None = None


@dataclass(frozen=True, slots=True)
class Doubt:
    """A question to the baker, with its evidence and its candidates.

    ``key`` stays the same as long as the source does ("3:milk:amount"); ``answer`` is the key
    of the choice that was taken, empty while it is open. One that ``blocks`` leaves no formula
    without an answer. ``takes`` is what may be written instead of its choices. ``shared`` is the
    key of the question for all lines that say the same, ``lines`` are those it is asked for.
    """

    key: str
    notice: Notice
    choices: tuple[Choice, ...] = ()
    answer: str = ""
    blocks: bool = True
    takes: Literal["", "amount", "ingredient", "shares"] = ""
    shared: str = ""
    lines: tuple[str, ...] = ()

    @property
    def is_open(self) -> bool:
        """Whether nobody has answered it yet."""
        return not self.answer


@dataclass(frozen=True, slots=True)
class Massed:
    """What an amount weighs in kg, and how that was found.

    ``mass`` is low, best and high; None where nobody can say. ``ends`` are those of an amount
    that is written as a range, with each measure filled as usual. The keys of its doubts
    say only what is asked ("system", "size"): line and name go before them where they are known.
    """

    mass: tuple[float, float, float] | None
    how: str
    doubts: tuple[Doubt, ...] = ()
    ends: tuple[float, float] | None = None
