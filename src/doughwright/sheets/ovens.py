"""An oven's dial as sheets show it."""

from dataclasses import dataclass

from doughwright.sheets.cells import Cell


@dataclass(frozen=True, slots=True)
class OvenCell:
    """An oven's dial: a temperature with the oven's kind, or a gas mark."""

    temperature: Cell | None
    kind: str
    mark: str
