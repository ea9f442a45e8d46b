"""The picture of a bake: core, filling and surface against minutes in the oven.

All marks are drawn in ``currentColor``, as in :mod:`doughwright.render.chart`; lines are told
apart by the names written beside them.
"""

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from doughwright.engine.oven import air_pressure
from doughwright.engine.water import boiling_point
from doughwright.render.bake_phrases import binding_sentence, goal_words
from doughwright.render.chart import (
    BAND_OPACITY,
    CONFIG,
    INK,
    VEGA_LITE,
    WIDTH,
    Spec,
    drawn,
)
from doughwright.render.numbers import MINUTE, duration, duration_band, rough_percent, temperature
from doughwright.sheets.bake import BakePoint, BakeRow, BakeSheet
from doughwright.units import ICE_POINT, Kelvin

WARMING_TITLE = "Temperatures in the oven against time"

NAMES_WIDE = 84
"""Room right of the lines for their names."""
WARMING_HEIGHT = 190
NAME_ROOM = 15
"""How far apart names are written, one above the other."""
DASHES: Mapping[str, object] = MappingProxyType(
    {"core": [1, 0], "surface": [1, 0], "filling": [7, 3]}
)
WIDTHS: Mapping[str, object] = MappingProxyType({"core": 2.4, "surface": 1.2, "filling": 2})
MINUTE_STEPS = (1, 2, 5, 10, 15, 30, 60)
MOST_TICKS = 6
DEGREE_STEP = 25
POINTS_SHOWN = 7
"""Evenly spaced moments in the table; the end of the bake is added to them."""


def bake_picture(sheet: BakeSheet, name: str = "warming") -> str:
    """Temperatures over the bake as one SVG element; ``name`` begins every id in it."""
    return drawn(warming_spec(sheet), WARMING_TITLE, warming_description(sheet), name)


def warming_description(sheet: BakeSheet) -> str:
    """What the picture shows, for those who do not see it."""
    row = sheet.rows[0]
    lasts = f"takes {duration_band(row.lasts)}" if row.lasts.value is not None else "is never done"
    said = [f"The bake {lasts}."]
    for moment in shown_points(sheet):
        filling = f", filling {temperature(moment.filling)}" if moment.filling is not None else ""
        said.append(
            f"{duration(moment.time)}: core {temperature(moment.core)}{filling}, "
            f"surface {temperature(moment.surface)}."
        )
    return " ".join((*said, binding_sentence(row)))


def shown_points(sheet: BakeSheet) -> tuple[BakePoint, ...]:
    """Points for a table: evenly spaced, first and last, and the one nearest to the end."""
    points, best = sheet.points, sheet.rows[0].lasts.value
    count = min(POINTS_SHOWN, len(points))
    chosen = {round(i * (len(points) - 1) / max(1, count - 1)) for i in range(count)}
    if best is not None:
        chosen.add(min(range(len(points)), key=lambda i: abs(points[i].time - best)))
    return tuple(points[i] for i in sorted(chosen))


def point_rows(sheet: BakeSheet) -> tuple[tuple[str, ...], ...]:
    """The table of the picture: when, core, filling where there is one, surface, water lost."""
    return tuple(
        (
            duration(p.time),
            temperature(p.core),
            *((temperature(p.filling),) if p.filling is not None else ()),
            temperature(p.surface),
            rough_percent(max(0.0, p.loss)),
        )
        for p in shown_points(sheet)
    )


def point_heads(sheet: BakeSheet) -> tuple[str, ...]:
    """What stands over the columns of :func:`point_rows`."""
    filling = ("Filling",) if _filled(sheet) else ()
    return ("After", "Core", *filling, "Surface", "Lost")


def _filled(sheet: BakeSheet) -> bool:
    return any(p.filling is not None for p in sheet.points)


def boiling(row: BakeRow) -> Kelvin:
    """Where water boils in the kitchen of a bake."""
    return boiling_point(air_pressure(row.altitude.value or 0.0))


def warming_spec(sheet: BakeSheet) -> Spec:
    """Core, filling and surface over minutes from loading, the end as a band behind them."""
    row, last = sheet.rows[0], sheet.points[-1].time / MINUTE
    low, high = _degrees(sheet)
    goal = next((c for c in row.criteria if c.name == "core"), None)
    levels = [{"at": _celsius(boiling(row)), "name": "water boils"}]
    if goal is not None and goal.goal.value is not None:
        levels.append({"at": _celsius(goal.goal.value), "name": goal_words(goal)})
    surface = {"at": _celsius(sheet.points[-1].surface), "name": "surface"}
    band = _done_band(row, last)
    return {
        "$schema": VEGA_LITE,
        "datasets": {
            "points": list(_warming(sheet)),
            "levels": levels,
            "margin": _apart([*levels, surface], (high - low) / WARMING_HEIGHT * NAME_ROOM),
            "inside": list(_inside(sheet)) if _filled(sheet) else _core_alone(sheet),
            "done": band,
        },
        "title": "Temperature in dough and crust",
        "padding": {"left": 2, "top": 2, "right": 14, "bottom": 2},
        "width": WIDTH - NAMES_WIDE,
        "height": WARMING_HEIGHT,
        "layer": _warming_layers(_minutes(last), _degree_scale(low, high)),
        "config": CONFIG,
    }


def _celsius(kelvin: Kelvin) -> float:
    return round(kelvin - ICE_POINT, 2)


def _warming(sheet: BakeSheet) -> Iterator[Spec]:
    for point in sheet.points:
        at = round(point.time / MINUTE, 3)
        yield {"line": "core", "time": at, "warmth": _celsius(point.core)}
        yield {"line": "surface", "time": at, "warmth": _celsius(point.surface)}
        if point.filling is not None:
            yield {"line": "filling", "time": at, "warmth": _celsius(point.filling)}


def _degrees(sheet: BakeSheet) -> tuple[float, float]:
    """From where to where the temperatures are drawn, with room for the name of the band."""
    shown = [p["warmth"] for p in _warming(sheet)]
    return min(0.0, *shown), max(110.0, *shown) * 1.14


def _apart(names: list[Spec], room: float) -> list[Spec]:
    """Names beside the picture moved apart until none touches another, the lowest kept."""
    placed: list[Spec] = []
    for name in sorted(names, key=lambda n: -n["at"]):
        above = placed[-1]["written"] if placed else float("inf")
        placed.append({**name, "written": round(min(name["at"], above - room), 2)})
    return placed


def _inside(sheet: BakeSheet) -> list[Spec]:
    """Names of core and filling, where the two lines are farthest apart."""
    middle = [p for p in sheet.points[8:-20] if p.filling is not None] or list(sheet.points[1:])
    widest = max(middle, key=lambda p: abs(p.core - (p.filling or p.core)))
    assert widest.filling is not None
    lines = sorted((("core", widest.core), ("filling", widest.filling)), key=lambda x: x[1])
    return [
        {"name": word, "time": widest.time / MINUTE, "at": _celsius(at), "upper": i == 1}
        for i, (word, at) in enumerate(lines)
    ]


def _core_alone(sheet: BakeSheet) -> list[Spec]:
    first, last = sheet.points[0].core, sheet.points[-1].core
    point = min(sheet.points, key=lambda p: abs(p.core - (first + last) / 2))
    at = {"time": point.time / MINUTE, "at": _celsius(point.core)}
    return [{**at, "name": "core", "upper": False}]


def _done_band(row: BakeRow, last: float) -> list[Spec]:
    """From when to when the bake may be done; nothing where it never is."""
    if row.lasts.value is None:
        return []
    low = row.lasts.low if row.lasts.low is not None else row.lasts.value
    high = row.lasts.high if row.lasts.high is not None else row.lasts.value
    begin, end = low / MINUTE, min(high / MINUTE, last)
    return [{"begin": round(begin, 3), "end": round(end, 3), "name": "done"}]


def _minutes(last: float) -> Spec:
    step = next((s for s in MINUTE_STEPS if last / s <= MOST_TICKS), MINUTE_STEPS[-1])
    ticks = [i * step for i in range(int(last / step) + 1)]
    return {
        "scale": {"domain": [0, round(last, 3)], "nice": False},
        "axis": {"values": ticks, "format": "d", "title": "minutes in the oven", "grid": False},
    }


def _degree_scale(low: float, high: float) -> Spec:
    ticks = list(range(int(low // DEGREE_STEP) * DEGREE_STEP, int(high), DEGREE_STEP))
    axis = {
        "values": [t for t in ticks if t >= low],
        "labelExpr": "format(datum.value, 'd') + ' °C'",
        "title": None,
    }
    return {"scale": {"domain": [low, high], "nice": False, "zero": False}, "axis": axis}


def _warming_layers(minutes: Spec, degrees: Spec) -> list[Spec]:
    def along(field: str) -> Spec:
        return {"field": field, "type": "quantitative", **minutes}

    def up(field: str) -> Spec:
        return {"field": field, "type": "quantitative", **degrees}

    top = {"datum": degrees["scale"]["domain"][1], "type": "quantitative", **degrees}
    lines = {"x": along("time"), "y": up("warmth"), "detail": {"field": "line"}}
    return [
        {
            "data": {"name": "done"},
            "mark": {"type": "rect", "fill": INK, "fillOpacity": 2 * BAND_OPACITY},
            "encoding": {"x": along("begin"), "x2": {"field": "end"}},
        },
        {
            "data": {"name": "done"},
            "mark": {"type": "text", "align": "right", "baseline": "top", "dy": 2, "dx": -3},
            "encoding": {"x": along("begin"), "y": top, "text": {"field": "name"}},
        },
        {
            "data": {"name": "levels"},
            "mark": {"type": "rule", "stroke": INK, "strokeWidth": 1, "strokeDash": [2, 2]},
            "encoding": {"y": up("at")},
        },
        {
            "data": {"name": "points"},
            "mark": {"type": "line"},
            "encoding": {**lines, "strokeDash": _look(DASHES), "strokeWidth": _look(WIDTHS)},
        },
        _beside(up),
        *(_within(along, up, upper=upper) for upper in (True, False)),
    ]


def _look(looks: Mapping[str, object]) -> Spec:
    """What tells the lines apart besides their names."""
    scale = {"domain": list(looks), "range": list(looks.values())}
    return {"field": "line", "type": "nominal", "legend": None, "scale": scale}


def _beside(up: Callable[[str], Spec]) -> Spec:
    """Names right of the picture."""
    mark = {"type": "text", "align": "left", "baseline": "middle", "dx": 5}
    at = {"value": WIDTH - NAMES_WIDE}
    encoding = {"x": at, "y": up("written"), "text": {"field": "name"}}
    return {"data": {"name": "margin"}, "mark": mark, "encoding": encoding}


def _within(along: Callable[[str], Spec], up: Callable[[str], Spec], *, upper: bool) -> Spec:
    """Names at their lines: over the upper one to its left, under the lower to its right."""
    side = {"align": "right", "dx": -6, "dy": -5} if upper else {"align": "left", "dx": 7, "dy": 6}
    return {
        "data": {"name": "inside"},
        "transform": [{"filter": "datum.upper" if upper else "!datum.upper"}],
        "mark": {"type": "text", "baseline": "middle", **side},
        "encoding": {"x": along("time"), "y": up("at"), "text": {"field": "name"}},
    }
