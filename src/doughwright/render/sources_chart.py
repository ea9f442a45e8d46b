"""The picture of several sources: one strip a figure, on it every source by its number.

All marks are drawn in ``currentColor``, as in :mod:`doughwright.render.chart`: a wedge points at
the middle, a source that stands apart is in a square.
"""

import json
from collections.abc import Iterator, Sequence

from doughwright.render.chart import CONFIG, INK, VEGA_LITE, WIDTH, Spec, drawn
from doughwright.render.sources_words import middle_words, spread_words, value_words
from doughwright.sheets.cells import Cell
from doughwright.sheets.sources import SourceRow, SourcesSheet

TITLE = "Where each source stands in each figure"

ROOM = 17
"""How far apart two numbers must stand not to be stacked."""
DOT = 210
"""Area of the ring around a number."""
FOOT = 0.7
"""Room under the sources for the wedge, in numbers one over the other."""
MARGIN = 0.06
"""Part of a strip that is left free at either end."""
FLUSH = 24
"""Labels so near to an end of the strip do not reach beyond it."""
DIGITS = 9


def sources_picture(sheet: SourcesSheet, name: str = "sources") -> str:
    """The sheet's figures and times as one SVG element; ``name`` begins every id in it."""
    return drawn(sources_spec(sheet), TITLE, sources_description(sheet), name)


def pictured(sheet: SourcesSheet) -> tuple[SourceRow, ...]:
    """The rows that have a strip: figures, times and oven in which sources differ."""
    rows = (row for table in sheet.tables if table.about != "ingredients" for row in table.rows)
    return tuple(row for row in rows if spread_words(row))


def sources_description(sheet: SourcesSheet) -> str:
    """What the picture shows, for those who do not see it."""
    return " ".join(_described(row, sheet.names) for row in pictured(sheet)) or "All say the same."


def _described(row: SourceRow, names: Sequence[str]) -> str:
    said = f"{row.name}: middle {middle_words(row)}, spread {spread_words(row)}"
    off = [f"{names[i]} apart at {value_words(row.cells[i])}" for i in row.apart]
    return "; ".join([said, *off]) + "."


def sources_spec(sheet: SourcesSheet) -> Spec:
    """One strip under the other, each on a scale of its own."""
    return {
        "$schema": VEGA_LITE,
        "spacing": 10,
        "vconcat": [_strip(row) for row in pictured(sheet)],
        "config": CONFIG,
    }


def _strip(row: SourceRow) -> Spec:
    """A figure's axis, the middle on it and the sources over it."""
    assert row.middle.value is not None
    low, high = _domain(row)
    dots = list(_dots(row, low, high))
    levels = 1 + max(dot["level"] for dot in dots)
    across = {
        "field": "at",
        "type": "quantitative",
        "scale": {"domain": [low, high], "nice": False, "zero": False},
        "axis": _axis(row),
    }
    up = {
        "field": "level",
        "type": "quantitative",
        "scale": {"domain": [-FOOT - 0.5, levels - 0.5], "nice": False, "zero": False},
        "axis": None,
    }
    ring = {"type": "point", "filled": False, "size": DOT, "strokeWidth": 1.2}
    place = {"x": across, "y": up}
    return {
        "title": {"text": f"{row.name}: {middle_words(row)}", "frame": "group"},
        "width": WIDTH,
        "height": ROOM * (levels + FOOT),
        "layer": [
            _middle_mark(round(row.middle.value, DIGITS), place),
            _marks(dots, ring | {"shape": "circle"}, place, apart=False),
            _marks(dots, ring | {"shape": "square", "strokeWidth": 2.4}, place, apart=True),
            {
                "data": {"values": dots},
                "mark": {"type": "text", "fontSize": 10, "baseline": "middle"},
                "encoding": {**place, "text": {"field": "number"}},
            },
        ],
    }


def _middle_mark(at: float, place: Spec) -> Spec:
    """A wedge under the sources, its point at the middle."""
    mark = {"type": "point", "shape": "triangle-up", "filled": True, "size": 70}
    values = [{"at": at, "level": -FOOT / 2 - 0.5}]
    return {"data": {"values": values}, "mark": mark | {"fill": INK}, "encoding": place}


def _marks(dots: Sequence[Spec], mark: Spec, place: Spec, *, apart: bool) -> Spec:
    chosen = [dot for dot in dots if dot["apart"] == apart]
    return {"data": {"values": chosen}, "mark": mark, "encoding": place}


def _domain(row: SourceRow) -> tuple[float, float]:
    """The strip's ends, a little beyond the lowest and highest source."""
    low, high = row.middle.low, row.middle.high
    assert low is not None
    assert high is not None
    spare = MARGIN * (high - low)
    return round(low - spare, DIGITS), round(high + spare, DIGITS)


def _axis(row: SourceRow) -> Spec:
    """The lowest and the highest, in the words of the table."""
    ends = [value for value in (row.middle.low, row.middle.high) if value is not None]
    ticks = {round(v, DIGITS): value_words(Cell(v, row.middle.unit)) for v in ends}
    first = json.dumps(ticks[min(ticks)], ensure_ascii=False)
    last = json.dumps(ticks[max(ticks)], ensure_ascii=False)
    expression = f"datum.index < 0.5 ? {first} : {last}"
    return {
        "values": sorted(ticks),
        "labelExpr": expression,
        "title": None,
        "grid": False,
        "labelFlush": FLUSH,
    }


def _dots(row: SourceRow, low: float, high: float) -> Iterator[Spec]:
    """Each source at its place, over those it would cover."""
    known = [(cell.value, i) for i, cell in enumerate(row.cells) if cell.value is not None]
    taken: list[float] = []
    for value, index in sorted(known):
        at = (value - low) / (high - low) * WIDTH
        free = (level for level, last in enumerate(taken) if at - last >= ROOM)
        level = next(free, len(taken))
        taken[level : level + 1] = [at]
        yield {
            "at": round(value, DIGITS),
            "level": level,
            "number": str(index + 1),
            "apart": index in row.apart,
        }
