"""Written ranges (``60–70 g``): the formula at every combination of their ends."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product

from doughwright.engine.formula import Line, Preparation


def corners(preparations: Iterable[Preparation]) -> Iterator[tuple[Preparation, ...]]:
    """Yield the formula at every combination of the ends of its written ranges.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> flour = ingredient_table()["strong white flour"]
    >>> line = Line("flour", flour, fixed=1.7, spread=(1.6 / 1.7, 1.8 / 1.7))
    >>> ends = corners([Preparation("dough", "dough", (line,))])  # 1.6–1.8 kg, pizza association
    >>> [round(p[0].lines[0].fixed, 3) for p in ends]
    [1.6, 1.8]
    """
    listed = tuple(preparations)
    ranged = [
        (i, j)
        for i, p in enumerate(listed)
        for j, line in enumerate(p.lines)
        if line.spread != (1.0, 1.0)
    ]
    for ends in product((0, 1), repeat=len(ranged)):
        at = dict(zip(ranged, ends, strict=True))
        yield tuple(
            replace(p, lines=tuple(_at_end(line, at.get((i, j))) for j, line in enumerate(p.lines)))
            for i, p in enumerate(listed)
        )


def _at_end(line: Line, end: int | None) -> Line:
    if end is None:
        return line
    factor = line.spread[end]
    return replace(
        line,
        fixed=line.fixed * factor,
        ratio=line.ratio * factor,
        parts=line.parts * factor,
        spread=(1.0, 1.0),
    )
