"""Where a number comes from: sources, constants with their uncertainty, model cards.

Every empirical model carries a :class:`ModelCard` beside it: what it predicts,
from which sources, for which inputs, how wrong it may be and how that is known.
:func:`notices_for` is the one function that compares inputs with a card.
"""

import csv
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Literal

from doughwright.errors import ImpossibleInput, Notice

FROM_MEMORY = "from memory"
COMMON_PRACTICE = "common practice, no source"
ASSUMPTION = "assumption"
FITTED = "fitted here"
UNSOURCED = frozenset({FROM_MEMORY, COMMON_PRACTICE, ASSUMPTION, FITTED})
"""What may stand in a ``source`` column when no publication was read."""


@dataclass(frozen=True, slots=True)
class Source:
    """A publication or data set; ``read`` says how much of it we have seen."""

    key: str
    title: str
    read: str


@dataclass(frozen=True, slots=True)
class Constant:
    """One row of a constants table."""

    name: str
    value: float
    uncertainty: float
    unit: str
    source: str
    locator: str
    note: str


@dataclass(frozen=True, slots=True)
class Range:
    """The inputs for which a model has been seen to work, bounds included.

    ``beyond`` says what happens outside: the result carries a notice, or the
    input is refused because the result would be meaningless.
    """

    low: float
    high: float
    unit: str
    beyond: Literal["notice", "refuse"] = "notice"

    def holds(self, value: float) -> bool:
        """Whether the value lies within the range."""
        return self.low <= value <= self.high


@dataclass(frozen=True, slots=True)
class ModelCard:
    """What an empirical model predicts and how far it may be trusted."""

    key: str
    name: str
    predicts: str
    sources: tuple[str, ...]
    inputs: Mapping[str, Range]
    expected_error: str
    known_from: str
    assumptions: tuple[str, ...] = field(default=())

    def __post_init__(self) -> None:
        """Freeze the mapping of inputs."""
        object.__setattr__(self, "inputs", MappingProxyType(dict(self.inputs)))


def notices_for(card: ModelCard, **inputs: float) -> tuple[Notice, ...]:
    """Compare inputs (in the units of the card) with the card's valid ranges.

    Returns one notice per input outside its range.

    Raises
    ------
    ImpossibleInput
        If an input lies outside a range the card marks as ``refuse``.
    """
    outside = {name: value for name, value in inputs.items() if not card.inputs[name].holds(value)}
    notices = tuple(_outside(card, name, value) for name, value in outside.items())
    refused = [n for n, name in zip(notices, outside, strict=True) if _refuses(card, name)]
    if refused:
        raise ImpossibleInput(tuple(refused))
    return notices


def _refuses(card: ModelCard, name: str) -> bool:
    return card.inputs[name].beyond == "refuse"


def _outside(card: ModelCard, name: str, value: float) -> Notice:
    allowed = card.inputs[name]
    return Notice.of(
        "no-such-value" if _refuses(card, name) else "outside-model-range",
        model=card.name,
        input=name.replace("_", " "),
        value=value,
        low=allowed.low,
        high=allowed.high,
        limit=allowed.high if value > allowed.high else allowed.low,
        unit=allowed.unit,
    )


def rows(path: Path) -> list[dict[str, str]]:
    """Read a tab-separated table with a header; lines starting with ``#`` are notes."""
    with path.open(encoding="utf-8", newline="") as file:
        lines = (line for line in file if not line.startswith("#"))
        return list(csv.DictReader(lines, delimiter="\t"))


@cache
def constants(path: Path) -> Mapping[str, Constant]:
    """Read a constants table (``name value uncertainty unit source locator note``)."""
    return MappingProxyType({row["name"]: _constant(row) for row in rows(path)})


def _constant(row: Mapping[str, str]) -> Constant:
    return Constant(
        name=row["name"],
        value=float(row["value"]),
        uncertainty=float(row["uncertainty"] or "nan"),
        unit=row["unit"],
        source=row["source"],
        locator=row["locator"],
        note=row["note"],
    )


@cache
def sources(path: Path) -> Mapping[str, Source]:
    """Read a ``sources.toml``: one table per source with ``title`` and ``read``."""
    with path.open("rb") as file:
        content = tomllib.load(file)
    return MappingProxyType({key: Source(key, **value) for key, value in content.items()})
