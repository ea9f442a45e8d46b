"""What can go wrong, sorted by who can mend it, and what is only worth saying.

Errors stop, notices travel. Both carry a code from one list, ``messages.toml``; each
code is also an anchor in ``docs/reference/messages.md``. A notice holds SI values;
words and units are put on it by :mod:`doughwright.render`.
"""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Literal, Self

Path = tuple[str | int, ...]
"""Where in a document: keys and list positions from the top."""

Weight = Literal["note", "care", "stop"]
"""How much a message matters: worth knowing, take care, cannot go on."""


@dataclass(frozen=True, slots=True)
class CatalogueEntry:
    """One code: its weight, the template of its words and sample values for it."""

    code: str
    weight: Weight
    template: str
    remedy: str
    sample: Mapping[str, object]


@cache
def catalogue() -> Mapping[str, CatalogueEntry]:
    """All codes by name, read from ``messages.toml``."""
    content = tomllib.loads(files("doughwright").joinpath("messages.toml").read_text("utf-8"))
    return MappingProxyType({code: _entry(code, row) for code, row in content.items()})


def _entry(code: str, row: Mapping[str, object]) -> CatalogueEntry:
    return CatalogueEntry(
        code=code,
        weight=row["weight"],  # type: ignore[arg-type]  # a test reads every row
        template=str(row["says"]),
        remedy=str(row.get("remedy", "")),
        sample=row.get("sample", {}),  # type: ignore[arg-type]  # a table in the file
    )


@dataclass(frozen=True, slots=True)
class Place:
    """A spot in a text: file name, line and column counted from 1, and that line."""

    file: str
    line: int
    column: int
    width: int
    text: str


@dataclass(frozen=True, slots=True)
class Notice:
    """Something worth saying: a code, where in the document, and SI values."""

    code: str
    where: Path = ()
    values: Mapping[str, object] = field(default_factory=dict)
    place: Place | None = None

    def __post_init__(self) -> None:
        """Refuse a code that the catalogue does not know."""
        if self.code not in catalogue():
            raise KeyError(self.code)

    @classmethod
    def of(cls, code: str, *where: str | int, **values: object) -> Self:
        """Make a notice from a code, the path it is about and the values it names."""
        return cls(code, where, values)

    @property
    def weight(self) -> Weight:
        """How much it matters."""
        return catalogue()[self.code].weight

    def at(self, place: Place | None) -> Self:
        """Return the same notice with its place in a text."""
        return replace(self, place=place)


class DoughwrightError(Exception):
    """The root of our errors: one or more problems, all found in one reading."""

    def __init__(self, problems: Iterable[Notice]) -> None:
        """Keep the problems in the order they were found."""
        self.problems = tuple(problems)
        super().__init__(*self.problems)

    def __str__(self) -> str:
        """List codes, paths and values; render puts better words on them."""
        return "; ".join(
            f"{p.code} at {'/'.join(map(str, p.where)) or 'top'}: {dict(p.values)}"
            for p in self.problems
        )


class DocumentError(DoughwrightError):
    """The baker's document or request says something that cannot be followed."""


class ImpossibleInput(DoughwrightError):  # noqa: N818 - reads as what it is
    """The numbers given to the engine cannot exist or leave its validity."""


class SolverFailure(DoughwrightError):  # noqa: N818 - reads as what it is
    """Our own computation did not converge: a defect to report, not the baker's."""


class StoreError(DoughwrightError):
    """The library cannot do it: not there, changed meanwhile, full, locked, damaged."""
