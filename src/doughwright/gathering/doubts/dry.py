"""Flour without anything to wet it: a liquid that was not read, or that stands elsewhere."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from doughwright.engine.ingredients import ingredient_table
from doughwright.errors import Notice
from doughwright.gathering.asking import Asked
from doughwright.gathering.doubts.unlikely import softens
from doughwright.gathering.drafted import DraftLine, DraftPreparation
from doughwright.gathering.gathered import Choice, Doubt

LEAST_WATER = 0.2
"""Water on flour below which nothing can be kneaded (assumption)."""

DRY = "as dry as that"
"""The answer that nothing is missing."""


def dry_parts(
    parts: Sequence[DraftPreparation], asked: Iterable[Asked], answers: Mapping[str, str]
) -> Iterator[Asked]:
    """The question where a dough or a preferment has flour and next to no water.

    A part that takes another one, or of which something is still open, may get its water so.
    """
    open_keys = [one.doubt.key for one in asked if one.doubt.is_open and one.doubt.blocks]
    for part in parts:
        waits = any(key.startswith(f"{line.key}:") for line in part.lines for key in open_keys)
        if part.kind not in ("dough", "preferment") or part.takes or waits:
            continue
        flour, water = (
            sum(column) for column in zip((0.0, 0.0), *map(_of, part.lines), strict=True)
        )
        if flour > 0 and water < LEAST_WATER * flour:
            key = f"{part.origin.line if part.origin else part.lines[0].origin.line}:dry"
            given = answers.get(key, "")
            notice = Notice.of("gather-dry", name=part.name, water=water / flour)
            choices = (Choice(DRY, DRY),)
            yield Asked(Doubt(key, notice, choices, given if given == DRY else ""))


def _of(line: DraftLine) -> tuple[float, float]:
    """Flour and water of a line, in the unit its amount has: kg, or shares of the flour."""
    much = line.mass[1] if line.mass else line.share or 0.0
    if line.hydration is not None:
        return much / (1 + line.hydration), much * line.hydration / (1 + line.hydration)
    row = ingredient_table().get(line.table)
    if row is None:
        return (much if line.flour else 0.0), 0.0
    return much * row.flour, much * softens(row)
