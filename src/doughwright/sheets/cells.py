"""The cell every sheet is made of: a value, its unit, its band and where it is from."""

from dataclasses import dataclass
from typing import Literal

Kind = Literal[
    "exact",
    "stated",
    "kept",
    "assumed",
    "tested",
    "usual",
    "model",
    "anchored",
    "moved",
    "unknown",
]
"""Where a value is from: computed exactly from the formula, stated in a document, where a
thing is kept, assumed by us, what the baker saw where it was tested, usual practice, a
model alone, the baker's own value moved by a model (``anchored``) or by temperature alone
(``moved``), or not known."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A value in SI units; ``low`` and ``high`` are its band, ``model`` a model card's key."""

    value: float | None
    unit: str
    kind: Kind = "exact"
    low: float | None = None
    high: float | None = None
    model: str = ""

    @property
    def banded(self) -> bool:
        """Whether the cell has a band wider than nothing."""
        return self.low is not None and self.high is not None and self.high > self.low


def kilograms(value: float, kind: Kind = "exact") -> Cell:
    """A mass."""
    return Cell(value, "kg", kind)


def ratio(value: float, low: float | None = None, high: float | None = None) -> Cell:
    """A baker's percentage or another ratio."""
    return Cell(value, "1", "exact", low, high)


def kelvin(value: float, kind: Kind, model: str = "") -> Cell:
    """A temperature."""
    return Cell(value, "K", kind, model=model)
