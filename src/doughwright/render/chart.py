"""The picture of the rises: how large and how warm the dough is, on the plan's own clock.

A Vega-Lite specification is filled with the sheet's points and drawn without a browser. All
marks are drawn in ``currentColor``: the page's ink, by day, by night and on paper. What belongs
together is told by place, name and dash, never by colour.
"""

import json
from collections.abc import Iterator
from datetime import datetime, timedelta
from functools import lru_cache
from typing import Any
from xml.etree import ElementTree as ET

from doughwright.render.numbers import clock, duration_band
from doughwright.render.timings import (
    day,
    dough_course,
    elapsed,
    rise_label,
    size_band,
    time_of,
)
from doughwright.sheets.rises import RiseRow, RiseSheet
from doughwright.units import ICE_POINT, Second

Spec = dict[str, Any]
"""A specification, or a part of one, in the Vega-Lite grammar."""

VEGA_LITE = "https://vega.github.io/schema/vega-lite/v6.json"
SVG = "http://www.w3.org/2000/svg"
ET.register_namespace("", SVG)  # here and once: two threads at it would lose it for a moment
TITLE = "Size and temperature of the dough against time"

INK = "currentColor"
FONT = "system-ui, -apple-system, 'Segoe UI', Roboto, 'Noto Sans', 'Liberation Sans', sans-serif"
LETTERS = 12
WIDTH, LANE, SIZE_HEIGHT, WARMTH_HEIGHT = 288, 25, 110, 80
"""A phone's lengths: the whole picture is about 340 wide, so that its letters stay readable."""
KEPT = 64
"""How many drawings are kept, a few megabytes of text that threads may share: one takes as long
as half a plan, and of a plan that is asked for again most pictures are as they were."""
BAND_OPACITY, GRID_OPACITY = 0.08, 0.15
DASHES = ([1, 0], [5, 2], [2, 2], [8, 2, 2, 2], [10, 4])
"""One pattern a preparation: the last one, the dough itself, is drawn through."""

LABEL_ROOM = 29
"""How far apart sizes are written; of two that are nearer, the larger or later."""
OVERHANG = 0.15
"""How far past the last curve the axis follows a slow last rise, as a part of the whole."""
HEADROOM = 0.2
"""Part of the size axis above the largest size, where it is written."""
LEAST_GROWTH = 0.5
"""What the size axis spans at least."""
LEAST_WARMTH = 6.0
"""Kelvin the temperature axis spans at least: half a degree is no cliff."""
TICK_HOURS = (0.25, 0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0)
MOST_TICKS = 6


def stage_name(number: int, row: RiseRow) -> str:
    """A stage as picture and table both call it."""
    return f"{number} {rise_label(row)}"


def rise_picture(sheet: RiseSheet, starts: datetime | None, name: str = "rise") -> str:
    """The sheet as one SVG element; ``name`` begins every id in it."""
    return drawn(rise_spec(sheet, starts), TITLE, rise_description(sheet, starts), name)


def rise_description(sheet: RiseSheet, starts: datetime | None) -> str:
    """What the picture shows, for those who do not see it."""
    said = (
        f"{stage_name(i, row)}: from {time_of(row.points[0].time, starts)}, "
        f"takes {duration_band(row.lasts)}, grows to {size_band(row.size)}, "
        f"dough {dough_course(row).replace(' → ', ' to ')}."
        for i, row in enumerate(sheet.rows, 1)
    )
    return " ".join(said)


# What is drawn


def rise_spec(sheet: RiseSheet, starts: datetime | None) -> Spec:
    """Stages as bars under their names, then size, then temperature, over one time axis."""
    begun = 0.0 if starts is None else starts.hour * 3600.0 + starts.minute * 60.0
    bars, points = list(_bars(sheet, begun)), list(_points(sheet, begun))
    axis = _time_axis(bars, starts)
    return {
        "$schema": VEGA_LITE,
        "datasets": {"stages": bars, "points": points},
        "spacing": 12,
        "vconcat": [
            _stage_panel(len(bars), axis, _dashes(sheet)),
            _size_panel([p["size"] for p in points], axis, _dashes(sheet)),
            _warmth_panel([p["warmth"] for p in points], axis, _dashes(sheet)),
        ],
        "config": CONFIG,
    }


def _hours(seconds: Second) -> float:
    return round(seconds / 3600, 4)


def _bars(sheet: RiseSheet, begun: Second) -> Iterator[Spec]:
    """Where each stage's bar, box and name stand; ``begun`` is the first step's time of day."""
    first, last = sheet.rows[0].points[0].time, sheet.rows[-1].points[-1].time
    written = _written(sheet)
    for i, row in enumerate(sheet.rows):
        begin, end = row.points[0].time, row.points[-1].time
        low = begin + row.lasts.low if row.lasts.low is not None else end
        high = begin + row.lasts.high if row.lasts.high is not None else end
        high = min(high, last + OVERHANG * (last - first))
        yield {
            "stage": stage_name(i + 1, row),
            "of": row.of,
            "begin": _hours(begun + begin),
            "end": _hours(begun + end),
            "low": _hours(begun + low),
            "high": _hours(begun + high),
            "late": begin - first > (last - first) / 2,
            "name_at": i + 0.36,
            "bar_at": i + 0.8,
            "box_from": i + 0.66,
            "box_to": i + 0.94,
            "size": round(row.points[-1].size, 4),
            "grown": f"×{row.points[-1].size:.1f}" if i in written else "",
        }


def _written(sheet: RiseSheet) -> set[int]:
    """Stages whose size has room to be written at the end of its line, the largest first."""
    ends = [row.points[-1] for row in sheet.rows]
    room = LABEL_ROOM / WIDTH * (ends[-1].time - sheet.rows[0].points[0].time)
    chosen: set[int] = set()
    for i in sorted(range(len(ends)), key=lambda i: (-round(ends[i].size, 1), -i)):
        if all(abs(ends[i].time - ends[j].time) >= room for j in chosen):
            chosen.add(i)
    return chosen


def _points(sheet: RiseSheet, begun: Second) -> Iterator[Spec]:
    for i, row in enumerate(sheet.rows, 1):
        for point in row.points:
            yield {
                "stage": stage_name(i, row),
                "of": row.of,
                "time": _hours(begun + point.time),
                "size": round(point.size, 4),
                "warmth": round(point.temperature - ICE_POINT, 3),
            }


def _time_axis(bars: list[Spec], starts: datetime | None) -> Spec:
    """Scale and ticks that all panels share; ticks fall on full hours of the clock."""
    first, last = bars[0]["begin"], max(max(bar["end"], bar["high"]) for bar in bars)
    step = next((s for s in TICK_HOURS if (last - first) / s <= MOST_TICKS), TICK_HOURS[-1])
    ticks = [i * step for i in range(int(last / step) + 1) if i * step >= first]
    labels = json.dumps({f"{tick:g}": _tick_label(tick, starts) for tick in ticks})
    return {
        "scale": {"domain": [first, last], "nice": False, "zero": False},
        "axis": {"values": ticks, "labelExpr": f"{labels}[datum.value]"},
        "title": "hours and minutes from the first step" if starts is None else "clock time",
    }


def _tick_label(tick: float, starts: datetime | None) -> str | list[str]:
    """Hours and minutes; under midnight the day."""
    if starts is None:
        return elapsed(tick * 3600)
    at = starts.replace(hour=0, minute=0) + timedelta(hours=tick)
    return [clock(at), day(starts, at)] if tick and tick % 24 == 0 else clock(at)


def _time(field: str, axis: Spec, *, written: bool = False) -> Spec:
    """The time channel; only the lowest panel writes the times under it."""
    plain = {"labels": False, "ticks": False, "domain": False, "title": None}
    shown = {"title": axis["title"]} if written else plain
    return {
        "field": field,
        "type": "quantitative",
        "scale": axis["scale"],
        "axis": axis["axis"] | shown,
    }


def _dashes(sheet: RiseSheet) -> Spec:
    """The dash of each preparation."""
    names = list(dict.fromkeys(row.of for row in reversed(sheet.rows)))
    patterns = [DASHES[i % len(DASHES)] for i in range(len(names))]
    scale = {"domain": names, "range": patterns}
    return {"strokeDash": {"field": "of", "type": "nominal", "scale": scale, "legend": None}}


def _span(axis: Spec, begin: str = "begin", end: str = "end", *, written: bool = False) -> Spec:
    return {"x": _time(begin, axis, written=written), "x2": {"field": end}}


def _bands(axis: Spec, *, written: bool = False) -> Spec:
    """The stages as grounds for what is drawn on them."""
    mark = {"type": "rect", "fill": INK, "fillOpacity": BAND_OPACITY}
    return {
        "data": {"name": "stages"},
        "mark": mark,
        "encoding": _span(axis, written=written),
    }


def _stage_panel(count: int, axis: Spec, dashes: Spec) -> Spec:
    """Each stage's name over a bar as long as it lasts, with a box where it may end."""

    def lane(field: str) -> Spec:
        scale = {"domain": [0, count], "reverse": True, "nice": False, "zero": False}
        return {"field": field, "type": "quantitative", "scale": scale, "axis": None}

    box = {**_span(axis, "low", "high"), "y": lane("box_from"), "y2": {"field": "box_to"}}
    bar = {**_span(axis), "y": lane("bar_at"), **dashes}
    return {
        "data": {"name": "stages"},
        "width": WIDTH,
        "height": LANE * count,
        "layer": [
            _bands(axis),
            {"mark": {"type": "rule", "stroke": INK, "strokeWidth": 3}, "encoding": bar},
            {
                "transform": [{"filter": "datum.high > datum.low"}],
                "mark": {"type": "rect", "fill": None, "stroke": INK, "strokeWidth": 1},
                "encoding": box,
            },
            _names("left", "!datum.late", "begin", axis, lane("name_at")),
            _names("right", "datum.late", "end", axis, lane("name_at")),
        ],
    }


def _names(align: str, chosen: str, field: str, axis: Spec, lane: Spec) -> Spec:
    """Names of the stages chosen, from a bar's beginning or up to its end."""
    text = {"type": "text", "align": align, "baseline": "middle", "limit": round(WIDTH * 0.6)}
    return {
        "transform": [{"filter": chosen}],
        "mark": text,
        "encoding": {"x": _time(field, axis), "y": lane, "text": {"field": "stage"}},
    }


def _size_panel(sizes: list[float], axis: Spec, dashes: Spec) -> Spec:
    """How many times its size at the stage's start, and how far each stage gets."""
    low, high = min(sizes), max(sizes)
    headroom = max(HEADROOM * (high - low), LEAST_GROWTH - (high - low))
    size = {
        "field": "size",
        "type": "quantitative",
        "scale": {"domain": [low, high + headroom], "zero": False, "nice": False},
        "axis": {"tickCount": 3, "labelExpr": "'×' + format(datum.value, '.1f')", "title": None},
    }
    curve = {"x": _time("time", axis), "y": size, "detail": {"field": "stage"}, **dashes}
    ends = {"x": _time("end", axis), "y": size}
    said = {"type": "text", "align": "center", "baseline": "bottom", "dy": -5}
    end = {"data": {"name": "stages"}, "encoding": ends}
    return {
        "title": "Size, times that at the stage's start",
        "data": {"name": "points"},
        "width": WIDTH,
        "height": SIZE_HEIGHT,
        "layer": [
            _bands(axis),
            {"mark": {"type": "line"}, "encoding": curve},
            {**end, "mark": {"type": "point", "fill": INK, "size": 22}},
            {**end, "mark": said, "encoding": {**ends, "text": {"field": "grown"}}},
        ],
    }


def _warmth_panel(warmth: list[float], axis: Spec, dashes: Spec) -> Spec:
    """How warm the dough is."""
    low, high = min(warmth), max(warmth)
    spare = max(0.0, LEAST_WARMTH - (high - low)) / 2
    celsius = {
        "field": "warmth",
        "type": "quantitative",
        "scale": {"domain": [low - spare, high + spare], "nice": False, "zero": False},
        "axis": {"tickCount": 4, "labelExpr": "format(datum.value, '~f') + ' °C'", "title": None},
    }
    times = _time("time", axis, written=True)
    curve = {"x": times, "y": celsius, "detail": {"field": "stage"}, **dashes}
    return {
        "title": "Dough temperature",
        "data": {"name": "points"},
        "width": WIDTH,
        "height": WARMTH_HEIGHT,
        "layer": [_bands(axis, written=True), {"mark": {"type": "line"}, "encoding": curve}],
    }


CONFIG: Spec = {
    "aria": False,
    "background": None,
    "font": FONT,
    "padding": 2,
    "view": {"stroke": None},
    "line": {"stroke": INK, "strokeWidth": 2},
    "point": {"stroke": INK, "opacity": 1},
    "text": {"fill": INK, "fontSize": LETTERS},
    "title": {
        "color": INK,
        "fontSize": LETTERS,
        "fontWeight": 600,
        "anchor": "start",
        "frame": "bounds",
        "offset": 4,
    },
    "axis": {
        "labelColor": INK,
        "titleColor": INK,
        "domainColor": INK,
        "tickColor": INK,
        "gridColor": INK,
        "gridOpacity": GRID_OPACITY,
        "labelFontSize": LETTERS,
        "titleFontSize": LETTERS,
        "titleFontWeight": "normal",
        "labelOverlap": True,
    },
    "axisX": {"labelBound": LETTERS * 1.5},
    "axisY": {"minExtent": 40, "maxExtent": 40, "domain": False, "ticks": False},
}
"""Looks that all panels share."""


# From a specification to an element that may stand in a page


def drawn(spec: Spec, title: str, description: str, name: str) -> str:
    """Draw a specification as an SVG element with its title, without a style or a script.

    Raises ``ValueError`` where the specification is not one.
    """
    return _fit_for_a_page(_svg(json.dumps(spec)), title, description, name)


@lru_cache(maxsize=KEPT)
def _svg(spec: str) -> str:
    """A specification, read here, not there (digits would be lost), as it is drawn."""
    # takes a few tenths of a second: only those who ask for a picture wait for it
    import vl_convert  # noqa: PLC0415

    svg: str = vl_convert.vegalite_to_svg(json.loads(spec), allowed_base_urls=[])
    return svg


def _fit_for_a_page(svg: str, title: str, description: str, name: str) -> str:
    """The picture as wide as its place, titled, all ids its own, looks in attributes only."""
    root = ET.fromstring(svg)  # noqa: S314 - our own drawing
    for element in root.iter():
        _without_unseen(element)
        _plain_attributes(element, name)
    for size in ("width", "height"):
        root.attrib.pop(size, None)
    label, told = f"{name}-title", f"{name}-description"
    root.attrib |= {"role": "img", "aria-labelledby": label, "aria-describedby": told}
    root.attrib["font-family"] = FONT
    root.insert(0, _element("title", label, title))
    root.insert(1, _element("desc", told, description))
    return ET.tostring(root, encoding="unicode")


def _without_unseen(element: ET.Element) -> None:
    """Leave out times that had no room: a screen hides them, a search would find them."""
    for child in list(element):
        if child.get("opacity") == "0":
            element.remove(child)


def _element(tag: str, name: str, text: str) -> ET.Element:
    made = ET.Element(f"{{{SVG}}}{tag}", {"id": name})
    made.text = text
    return made


SPOKEN_FOR = ("class", "role", "aria-label", "aria-roledescription", "aria-hidden", "font-family")
"""Attributes that the whole picture has, or that a page's own style might catch."""


def _plain_attributes(element: ET.Element, name: str) -> None:
    """Turn a style into attributes; begin ids, and what points to them, alike."""
    attributes = element.attrib
    for key in SPOKEN_FOR:
        attributes.pop(key, None)
    for rule in filter(None, map(str.strip, attributes.pop("style", "").split(";"))):
        key, _, value = rule.partition(":")
        attributes[key.strip()] = value.strip()
    if "id" in attributes:
        attributes["id"] = f"{name}-{attributes['id']}"
    for key, value in attributes.items():
        if value.startswith("url(#"):
            attributes[key] = value.replace("url(#", f"url(#{name}-")
