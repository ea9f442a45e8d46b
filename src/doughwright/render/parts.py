"""A sheet as parts to be read: what every medium of a written-up bread lays out in its own way.

Words, signs and digits are made before a thing comes in here; what lays them out adds none.
Each block names its ``kind``, so that a template can tell them apart.
"""

from dataclasses import dataclass
from typing import Literal

Tone = Literal["plain", "soft", "strong"]
RowKind = Literal["row", "group", "sum", "part"]
Weight = Literal["", "note", "care", "stop"]


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Sentences that belong together."""

    said: str
    tone: Tone = "plain"
    kind: Literal["paragraph"] = "paragraph"


@dataclass(frozen=True, slots=True)
class LedgerRow:
    """A quantity and what it is of, with what is said ``beside`` it.

    ``measure`` is the same quantity in other units, which never share a line with grams or
    degrees.
    """

    amount: str
    what: str
    beside: tuple[str, ...] = ()
    measure: str = ""
    total: bool = False


@dataclass(frozen=True, slots=True)
class Ledger:
    """Quantities, one under the other; the heads are for those who do not see the page."""

    caption: str
    rows: tuple[LedgerRow, ...]
    heads: tuple[str, str] = ("How much", "What")
    kind: Literal["ledger"] = "ledger"


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row: its first cell names it. Of a ``group`` only that is filled."""

    cells: tuple[str, ...]
    kind: RowKind = "row"


@dataclass(frozen=True, slots=True)
class Table:
    """Figures under heads; the first head is over the rows' names.

    Where it is empty, ``first`` is it for those who do not see the page. Read out as plain
    text it is told row by row, or ``by`` column where each column stands for itself.
    """

    caption: str
    heads: tuple[str, ...]
    rows: tuple[TableRow, ...]
    first: str = "What"
    by: Literal["row", "column"] = "row"
    kind: Literal["table"] = "table"


@dataclass(frozen=True, slots=True)
class Bullet:
    """One thing of a list; ``lead`` is how grave it is, in words."""

    said: str
    lead: str = ""
    weight: Weight = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One step by its number, or by when it begins.

    ``hands``: it takes hands; ``inside``: it runs in the one before; ``noticed`` is what to
    take care of in it.
    """

    mark: str
    said: tuple[str, ...]
    hands: bool = True
    inside: bool = False
    noticed: tuple[Bullet, ...] = ()


@dataclass(frozen=True, slots=True)
class Steps:
    """Steps in working order."""

    rows: tuple[Step, ...]
    heads: tuple[str, str] = ("Step", "What to do")
    kind: Literal["steps"] = "steps"


@dataclass(frozen=True, slots=True)
class Bullets:
    """Things that stand side by side."""

    items: tuple[Bullet, ...]
    kind: Literal["bullets"] = "bullets"


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing, its title, what it shows in words, and what stands under it."""

    svg: str
    title: str
    description: str
    caption: str


@dataclass(frozen=True, slots=True)
class PictureRow:
    """One drawing, or two that are read beside each other."""

    items: tuple[Picture, ...]
    kind: Literal["pictures"] = "pictures"


Block = Paragraph | Ledger | Table | Steps | Bullets | PictureRow


@dataclass(frozen=True, slots=True)
class Part:
    """A headed part; ``key`` is its anchor."""

    key: str
    title: str
    blocks: tuple[Block, ...]
    parts: tuple["Part", ...] = ()


@dataclass(frozen=True, slots=True)
class Written:
    """A whole sheet: what it is, whose name it bears, what stands under that, and its parts."""

    kind: str
    title: str
    language: str
    lead: tuple[Paragraph, ...]
    parts: tuple[Part, ...]
