"""The picture of the cut through a baked piece: how warm it is where, crust, filling, probe.

It is drawn in the colours of bread, pale for cool and dark for hot, each step as much darker
than the one before: so it reads alike by day, by night, on paper and without sight of colours.
Crust is dotted and filling outlined; what crosses the cut is drawn dark on a pale edge. The
outline and all letters are in the page's ink.
"""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil, floor

from doughwright.render.bake_phrases import probe_sentence
from doughwright.render.chart import CONFIG, INK, LETTERS, VEGA_LITE, WIDTH, Spec, drawn
from doughwright.render.cut_cells import Grid, Path, Place, beside, boxes, joined, outline, size
from doughwright.render.numbers import length, temperature
from doughwright.sheets.bake import BakeSheet, CutSheet
from doughwright.units import ICE_POINT, Kelvin, Metre

TITLE = "The cut through a piece when it is done"

STEPS = (70, 80, 85, 90, 95, 105, 125, 150)
"""°C at which the colour changes; none at 100, where a crumb full of water stays."""
BREAD = (
    "#f0e0c8",
    "#e8c491",
    "#dca964",
    "#cd8d41",
    "#bb7329",
    "#a45b1d",
    "#88471a",
    "#69361b",
    "#48281b",
)
"""Below the first step, between the steps, above the last: from lightness 90 to 20 by 8.75."""
DARK, PALE = "#2a2019", "#fff8ea"
"""Lines across the cut, and their edge."""

HIGHEST = 190
"""Most of the cut's height in the picture."""
NAMES_HIGH = 34
"""Room over the piece for what is pointed at."""
SCALE_HIGH = 14
CENTIMETRE_STEPS = (1, 2, 5)
TICK_ROOM = 14
"""How far apart the ticks are at least."""


def cut_picture(sheet: BakeSheet, name: str = "cut") -> str:
    """The cut as one SVG element, empty where there is none; ``name`` begins every id in it."""
    if sheet.cut is None:
        return ""
    return drawn(cut_spec(sheet, sheet.cut), TITLE, cut_description(sheet), name)


def cut_description(sheet: BakeSheet) -> str:
    """What the picture shows, for those who do not see it."""
    if sheet.cut is None:
        return ""
    wide, high = size(sheet.cut)
    said = [f"The piece is {length(wide)} wide and {length(high)} high in the model."]
    said += [f"{place}: {warmth}." for place, warmth in cut_rows(sheet)]
    return " ".join((*said, *((probe_sentence(sheet.probe),) if sheet.probe else ())))


def cut_rows(sheet: BakeSheet) -> tuple[tuple[str, str], ...]:
    """The table of the picture: a place, and how warm it is there."""
    rows: list[tuple[str, str]] = []
    probe = sheet.probe
    if probe is not None and probe.reads.value is not None:
        rows.append((f"At the probe, {probe.place}", temperature(probe.reads.value)))
        if probe.place != "in the middle" and probe.middle.value is not None:
            rows.append(("In the middle of the piece", temperature(probe.middle.value)))
    if sheet.cut is not None:
        parts = (
            ("Filling", _filling(sheet.cut)),
            ("Dough just under the crust", _under_crust(sheet.cut)),
            ("Crust", [c.temperature for c in sheet.cut.cells if c.crust]),
        )
        rows += [(place, _range(warmth)) for place, warmth in parts if warmth]
    surface = sheet.rows[0].surface.value
    if surface is not None:
        rows.append(("Surface, on average", temperature(surface)))
    return tuple(rows)


def _filling(cut: CutSheet) -> list[Kelvin]:
    return [c.temperature for c in cut.cells if c.filling]


def _under_crust(cut: CutSheet) -> list[Kelvin]:
    """Dough that touches crust."""
    grid = Grid.of(cut)
    crust = {grid.place(c) for c in cut.cells if c.crust}
    return [
        c.temperature
        for c in cut.cells
        if not (c.crust or c.filling) and crust & set(beside(grid.place(c)))
    ]


def _range(warmth: Sequence[Kelvin]) -> str:
    low, high = temperature(min(warmth)), temperature(max(warmth))
    return high if low == high else f"{low[:-3]}–{high}"


# What is drawn


def _bread(warmth: Kelvin) -> int:
    """Which colour a temperature has."""
    return bisect_right(STEPS, round(warmth - ICE_POINT, 2))


def cut_spec(sheet: BakeSheet, cut: CutSheet) -> Spec:
    """The cut over its scale of temperatures."""
    return {
        "$schema": VEGA_LITE,
        "spacing": 10,
        "vconcat": [_cut_panel(sheet, cut), _scale_panel(cut)],
        "config": CONFIG,
    }


@dataclass(frozen=True, slots=True)
class _Frame:
    """What part of the plane is drawn: from and to, across and up; ``dots`` to the metre."""

    left: Metre
    right: Metre
    top: Metre
    top_of_piece: Metre
    dots: float


def _frame(cut: CutSheet, grid: Grid) -> _Frame:
    """A frame as wide as the picture, its two directions to one scale, the piece in its middle."""
    wide, high = size(cut)
    dots = min(WIDTH / wide, HIGHEST / high)
    centre = 0.0 if grid.halved else (grid.across[0] + grid.across[-1]) / 2
    half = WIDTH / dots / 2
    top = high + NAMES_HIGH / dots
    return _Frame(centre - half, centre + half, top, high, dots)


def _cut_panel(sheet: BakeSheet, cut: CutSheet) -> Spec:
    grid = Grid.of(cut)
    frame = _frame(cut, grid)
    place = {
        "x": {"field": "x", "type": "quantitative", **_across(frame, grid)},
        "y": {"field": "z", "type": "quantitative", **_up(frame)},
    }
    pointed = _pointed(sheet, cut, frame)
    return {
        "title": f"Cut through {'a piece' if grid.halved else 'one side of the ring'}",
        "width": WIDTH,
        "height": round(frame.top * frame.dots),
        "layer": [
            *_cells(cut, grid, place),
            *_lines(cut, grid, place),
            *_pointers(pointed, place),
        ],
    }


def _across(frame: _Frame, grid: Grid) -> Spec:
    ends = (-grid.across[-1] if grid.halved else grid.across[0], grid.across[-1])
    return {
        "scale": {"domain": [round(x, 5) for x in (frame.left, frame.right)], "nice": False},
        "axis": {
            "values": _centimetres(*ends, frame.dots),
            "labelExpr": "format(abs(datum.value) * 100, 'd')",
            "title": f"cm from the middle{'' if grid.halved else ' of the ring'}",
            "grid": False,
            "domain": False,
        },
    }


def _up(frame: _Frame) -> Spec:
    return {
        "scale": {"domain": [0, round(frame.top, 5)], "nice": False, "zero": False},
        "axis": {
            "values": _centimetres(0.0, frame.top_of_piece, frame.dots),
            "labelExpr": "format(datum.value * 100, 'd') + ' cm'",
            "title": None,
            "grid": False,
        },
    }


def _centimetres(low: Metre, high: Metre, dots: float) -> list[Metre]:
    """Ticks of whole centimetres between two ends; ``dots`` to the metre."""
    room = TICK_ROOM / dots * 100
    step = next((s for s in CENTIMETRE_STEPS if s >= room), CENTIMETRE_STEPS[-1])
    first, last = ceil(100 * low / step - 1e-6), floor(100 * high / step + 1e-6)
    return [i * step / 100 for i in range(first, last + 1)]


def _drawn_through(lines: Iterable[Path]) -> list[Spec]:
    """Points of several lines, each ended by nothing: they become one path."""
    points: list[Spec] = []
    for line in lines:
        points += [{"x": round(x, 5), "z": round(z, 5)} for x, z in line]
        points.append({"x": None, "z": None})
    return [{**point, "i": i} for i, point in enumerate(points)]


def _line(lines: Iterable[Path], place: Spec, **looks: object) -> Spec:
    """Several lines as one mark."""
    return {
        "data": {"values": _drawn_through(lines)},
        "mark": {"type": "line", **looks},
        "encoding": {**place, "order": {"field": "i"}},
    }


def _cells(cut: CutSheet, grid: Grid, place: Spec) -> Iterator[Spec]:
    """One path a colour; a hair of it hides the seams between boxes."""
    painted = sorted(boxes(cut, grid, _bread), key=lambda box: box[0])
    for colour, same in groupby(painted, lambda box: box[0]):
        closed = [(*path, path[0]) for _, path in same]
        yield _line(closed, place, fill=BREAD[colour], stroke=BREAD[colour], strokeWidth=1)


def _lines(cut: CutSheet, grid: Grid, place: Spec) -> Iterator[Spec]:
    """Dots on the crust, a dashed line around the filling, a line around the piece."""
    dots = [
        ((x, c.up), (x, c.up))
        for c in cut.cells
        if c.crust
        for x in ((c.across, -c.across) if grid.halved else (c.across,))
    ]
    if dots:
        yield _line(dots, place, stroke=PALE, strokeWidth=1.8, strokeCap="round")
    filling = joined(outline((grid.place(c) for c in cut.cells if c.filling), grid))
    if filling:
        yield _line(filling, place, stroke=PALE, strokeWidth=3)
        yield _line(filling, place, stroke=DARK, strokeWidth=1.3, strokeDash=[4, 2])
    whole = joined(outline(map(grid.place, cut.cells), grid))
    yield _line(whole, place, stroke=INK, strokeWidth=1.2)


@dataclass(frozen=True, slots=True)
class _Pointed:
    """Something pointed at: where it is, where its name stands and on which side."""

    name: str
    at: Place
    named: Place
    align: str
    ringed: bool


def _pointed(sheet: BakeSheet, cut: CutSheet, frame: _Frame) -> list[_Pointed]:
    """Surface, probe and filling, their names in a row over the piece."""
    row, probe = sheet.rows[0], sheet.probe
    high = frame.top - (frame.top - frame.top_of_piece) * LETTERS / NAMES_HIGH
    middle, right = ((frame.left + frame.right) / 2, high), (frame.right, high)
    found: list[_Pointed] = []
    if row.surface.value is not None:
        said = f"surface {temperature(row.surface.value)}"
        found.append(_Pointed(said, _on_top(cut), (frame.left, high), "left", ringed=False))
    filled = row.filling is not None and row.filling.value is not None and bool(_filling(cut))
    if filled and row.filling is not None and row.filling.value is not None:
        said = f"filling {temperature(row.filling.value)}"
        coldest = min((c for c in cut.cells if c.filling), key=lambda c: c.temperature)
        at = (coldest.across, coldest.up)
        found.append(_Pointed(said, at, middle, "center", ringed=False))
    if probe is not None and probe.reads.value is not None:
        said = f"probe {temperature(probe.reads.value)}"
        at = (probe.across.value or 0.0, probe.up.value or 0.0)
        named, align = (right, "right") if filled else (middle, "center")
        found.append(_Pointed(said, at, named, align, ringed=True))
    return found


def _on_top(cut: CutSheet) -> Place:
    """A place on the surface, left of the middle."""
    grid = Grid.of(cut)
    column = grid.columns[len(grid.columns) * 3 // 5 if grid.halved else len(grid.columns) // 4]
    high = max(c.up for c in cut.cells if c.across == column)
    top = grid.up[grid.rows.index(high) + 1]
    return (-column if grid.halved else column), top


def _pointers(pointed: Sequence[_Pointed], place: Spec) -> Iterator[Spec]:
    """Lines from names to places, a ring at the probe."""
    lines = [(_under(p), p.at) for p in pointed]
    yield _line(lines, place, stroke=PALE, strokeWidth=3)
    yield _line(lines, place, stroke=DARK, strokeWidth=1)
    ringed = [{"x": p.at[0], "z": p.at[1]} for p in pointed if p.ringed]
    yield {
        "data": {"values": ringed},
        "mark": {"type": "point", "fill": PALE, "stroke": DARK, "strokeWidth": 2.5, "size": 60},
        "encoding": place,
    }
    for p in pointed:
        yield {
            "data": {"values": [{"x": p.named[0], "z": p.named[1], "name": p.name}]},
            "mark": {"type": "text", "align": p.align, "baseline": "bottom"},
            "encoding": {**place, "text": {"field": "name"}},
        }


def _under(pointed: _Pointed) -> Place:
    """Where the line to a name begins: under the name, towards the place."""
    (x, high), (at, _) = pointed.named, pointed.at
    return (x if pointed.align == "center" else x + 0.3 * (at - x), high)


def _scale_panel(cut: CutSheet) -> Spec:
    """The colours that occur, side by side, with the temperatures at which they change."""
    warmth = [c.temperature for c in cut.cells]
    first, last = _bread(min(warmth)), _bread(max(warmth))
    boxes = [
        {"from": i - first, "to": i - first + 1, "colour": BREAD[i]} for i in range(first, last + 1)
    ]
    said = [str(degrees) for degrees in _degrees(min(warmth), max(warmth))]
    along = {
        "type": "quantitative",
        "scale": {"domain": [0, len(boxes)], "nice": False},
        "axis": None,
    }
    paint = {"field": "colour", "type": "nominal", "scale": None}
    ends = {"x": {"field": "from", **along}, "x2": {"field": "to"}}
    high = {"y": {"value": 0}, "y2": {"value": SCALE_HIGH}}
    return {
        "title": "How warm, °C",
        "width": WIDTH,
        "height": SCALE_HIGH + LETTERS + 3,
        "layer": [
            {
                "data": {"values": boxes},
                "mark": {"type": "rect", "stroke": INK, "strokeWidth": 1},
                "encoding": {**ends, **high, "fill": paint},
            },
            {
                "data": {"values": [{"at": i, "said": s} for i, s in enumerate(said)]},
                "mark": {"type": "text", "baseline": "top", "dy": SCALE_HIGH + 3},
                "encoding": {
                    "x": {"field": "at", **along},
                    "y": {"value": 0},
                    "text": {"field": "said"},
                },
            },
        ],
    }


def _degrees(coldest: Kelvin, hottest: Kelvin) -> tuple[int, ...]:
    """The ends of the bands that occur, whole °C; each band has its width.

    >>> _degrees(ICE_POINT + 92.2, ICE_POINT + 125.3)
    (92, 95, 105, 125, 126)
    """
    between = STEPS[_bread(coldest) : _bread(hottest)]
    low, high = (round(warmth - ICE_POINT) for warmth in (coldest, hottest))
    if between:  # an end that rounds to a step lies a little beyond it
        low, high = min(low, between[0] - 1), max(high, between[-1] + 1)
    return low, *between, high
