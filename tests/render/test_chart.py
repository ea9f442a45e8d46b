"""The picture of the rises: an element that may stand in any page, true to its sheet."""

import re
from dataclasses import replace
from datetime import datetime
from functools import cache
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from doughwright.render.chart import (
    LABEL_ROOM,
    MOST_TICKS,
    WIDTH,
    drawn,
    rise_description,
    rise_picture,
    rise_spec,
    stage_name,
    time_of,
)
from doughwright.sheets.cells import Cell
from doughwright.sheets.rises import RisePoint, RiseRow, RiseSheet

NINE = datetime(2026, 11, 24, 21, 0)  # noqa: DTZ001 - a kitchen clock has no zone
SVG = "{http://www.w3.org/2000/svg}"
NASTY = "<b>&\"'</style><script>alert(1)</script>"
HOUR = 3600.0


def stage(position: int, of: str, verb: str, begin: float, end: float, grows: float) -> RiseRow:
    """A rise that grows evenly and cools by two degrees; times in hours. Invented figures."""
    lasts = (end - begin) * HOUR
    points = tuple(
        RisePoint((begin + (end - begin) * i / 8) * HOUR, 298.15 - i / 4, 1 + (grows - 1) * i / 8)
        for i in range(9)
    )
    return RiseRow(
        position=position,
        verb=verb,
        of=of,
        lasts=Cell(lasts, "s", "model", lasts * 0.9, lasts * 1.2),
        usable_from=Cell(lasts * 0.9, "s", "model"),
        usable_to=None,
        start=Cell(298.15, "K", "model"),
        end=Cell(296.15, "K", "model"),
        size=Cell(grows, "1", "model"),
        points=points,
        assumed_goal=False,
    )


SHEET = RiseSheet(
    rows=(
        stage(1, "sponge", "ferment", 0.1, 8.1, 2.5),
        stage(3, "dough", "ferment", 8.3, 9.5, 1.8),
        stage(5, "dough", "rest", 9.6, 9.8, 1.1),
        stage(7, "dough", "proof", 9.9, 11.0, 1.8),
    ),
    anchor=None,
)


@cache
def picture(starts: datetime | None = NINE) -> ET.Element:
    return ET.fromstring(rise_picture(SHEET, starts))  # noqa: S314 - our own drawing


def texts(svg: ET.Element) -> list[str]:
    return ["".join(e.itertext()) for e in svg.iter(f"{SVG}text")]


# An element that may stand in any page


def test_the_picture_is_named_and_told_to_those_who_do_not_see_it() -> None:
    svg = picture()
    assert svg.tag == f"{SVG}svg"
    assert svg.attrib["role"] == "img"
    title, told = list(svg)[:2]
    assert (title.tag, told.tag) == (f"{SVG}title", f"{SVG}desc")
    assert svg.attrib["aria-labelledby"] == title.attrib["id"]
    assert svg.attrib["aria-describedby"] == told.attrib["id"]
    assert title.text
    assert told.text == rise_description(SHEET, NINE)
    assert [e.tag for e in svg.iter() if "role" in e.attrib] == [f"{SVG}svg"]


def test_it_scales_with_its_place() -> None:
    assert {"width", "height"} & set(picture().attrib) == set()
    x, y, width, height = map(float, picture().attrib["viewBox"].split())
    # a phone of 360 leaves 332 beside the page's margins: letters of 12 stay above 11 there
    assert (x, y) == (0, 0)
    assert WIDTH < width <= 360
    assert height < 500


def test_it_brings_no_style_no_script_and_fetches_nothing() -> None:
    allowed = {"svg", "title", "desc", "g", "path", "line", "text", "tspan", "rect", "defs"}
    allowed |= {"clipPath"}
    assert {e.tag.removeprefix(SVG) for e in picture().iter()} <= allowed
    attributes = [(k, v) for e in picture().iter() for k, v in e.attrib.items()]
    assert [k for k, _ in attributes if k in {"style", "class"} or k.startswith("on")] == []
    assert [k for k, _ in attributes if k.endswith("href") or k == "src"] == []
    text = rise_picture(SHEET, NINE).replace(SVG[1:-1], "")
    assert not re.search(r"https?:|url\((?!#)|data:", text)


def test_looks_given_as_a_style_become_attributes_and_ids_its_own() -> None:
    other = ET.fromstring(rise_picture(SHEET, NINE, "other"))  # noqa: S314 - our own drawing
    ids = [e.attrib["id"] for e in other.iter() if "id" in e.attrib]
    assert len(ids) == len(set(ids))
    assert all(name.startswith("other-") for name in ids)
    mine = {e.attrib["id"] for e in picture().iter() if "id" in e.attrib}
    assert mine & set(ids) == set()


def test_it_is_drawn_in_the_ink_of_the_page_alone() -> None:
    """So that it is as readable by night and on paper as the words beside it."""
    inks = {v for e in picture().iter() for k, v in e.attrib.items() if k in {"fill", "stroke"}}
    assert inks <= {"currentColor", "none", "transparent"}
    letters = list(picture().iter(f"{SVG}text"))
    assert {e.attrib.get("opacity", "1") for e in letters} == {"1"}
    assert {e.attrib["fill"] for e in letters} == {"currentColor"}


def test_what_a_baker_writes_is_text() -> None:
    rows = tuple(replace(row, of=NASTY) for row in SHEET.rows)
    text = rise_picture(RiseSheet(rows=rows, anchor=None), None)
    assert "<script" not in text
    svg = ET.fromstring(text)  # noqa: S314 - our own drawing
    assert NASTY in (list(svg)[1].text or "")
    # the name is shortened with an ellipsis where it has no room
    assert any(said.startswith("1 <b>&") for said in texts(svg))


def test_a_specification_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="Vega-Lite"):
        drawn({"$schema": "x", "mark": {"type": "no such mark"}}, "t", "d", "n")


# True to its sheet


def test_every_stage_is_labelled_and_sizes_stand_at_the_ends() -> None:
    said = texts(picture())
    assert [t for t in said if t[:1].isdigit() and "," in t] == [
        "1 sponge, ferment",
        "2 dough, ferment",
        "3 dough, rest",
        "4 dough, proof",
    ]
    assert {"×2.5", "×1.8"} <= set(said)


def panel_values(spec: dict[str, Any], name: str) -> list[dict[str, Any]]:
    return list(spec["datasets"][name])


@pytest.mark.parametrize(("starts", "first"), [(None, 0.0), (NINE, 21.0)])
def test_points_and_bars_are_those_of_the_sheet(starts: datetime | None, first: float) -> None:
    spec = rise_spec(SHEET, starts)
    shown = panel_values(spec, "points")
    points = [point for row in SHEET.rows for point in row.points]
    assert [p["time"] for p in shown] == pytest.approx(
        [first + p.time / HOUR for p in points], abs=1e-4
    )
    assert [p["size"] for p in shown] == pytest.approx([p.size for p in points], abs=1e-4)
    assert [p["warmth"] + 273.15 for p in shown] == pytest.approx(
        [p.temperature for p in points], abs=1e-3
    )
    for bar, row in zip(panel_values(spec, "stages"), SHEET.rows, strict=True):
        assert row.lasts.low is not None
        assert bar["low"] - bar["begin"] == pytest.approx(row.lasts.low / HOUR, abs=2e-4)
        assert bar["end"] == pytest.approx(first + row.points[-1].time / HOUR, abs=1e-4)


def test_a_stage_that_may_take_days_does_not_squeeze_the_rest() -> None:
    *rows, last = SHEET.rows
    slow = replace(last, lasts=replace(last.lasts, high=48 * HOUR))
    bars = panel_values(rise_spec(RiseSheet(rows=(*rows, slow), anchor=None), None), "stages")
    assert bars[-1]["high"] < 1.2 * bars[-1]["end"]


def test_a_stage_of_unknown_length_has_no_box() -> None:
    row = replace(SHEET.rows[0], lasts=Cell(None, "s", "unknown"))
    sheet = RiseSheet(rows=(row,), anchor=None)
    (bar,) = panel_values(rise_spec(sheet, None), "stages")
    assert bar["low"] == bar["high"] == bar["end"]
    assert "time not stated" in rise_description(sheet, None)


def test_sizes_that_are_written_do_not_touch() -> None:
    bars = panel_values(rise_spec(SHEET, None), "stages")
    written = [bar["end"] for bar in bars if bar["grown"]]
    room = LABEL_ROOM / WIDTH * (bars[-1]["end"] - bars[0]["begin"])
    assert all(after - before >= room - 1e-3 for before, after in pairwise(written))
    assert bars[2]["grown"] == ""


@pytest.mark.parametrize("hours", [0.2, 0.9, 3.0, 11.0, 40.0, 130.0])
@pytest.mark.parametrize("starts", [None, NINE])
def test_times_are_written_sparingly_and_at_their_place(
    hours: float, starts: datetime | None
) -> None:
    sheet = RiseSheet(rows=(stage(1, "dough", "ferment", 0.05, hours, 2.0),), anchor=None)
    axis = rise_spec(sheet, starts)["vconcat"][-1]["layer"][0]["encoding"]["x"]
    low, high = axis["scale"]["domain"]
    ticks = axis["axis"]["values"]
    assert len(ticks) <= MOST_TICKS + 1
    assert all(low <= tick <= high for tick in ticks)
    first = 0.0 if starts is None else 21.0
    for tick in ticks:
        said = time_of((tick - first) * HOUR, starts)
        assert f'"{tick:g}": "{said}"' in axis["axis"]["labelExpr"] or tick % 24 == 0


def test_the_clock_is_written_and_midnight_names_the_day() -> None:
    said = texts(picture())
    assert {"00:00the next day", "clock time"} <= set(said)  # two lines of one label
    assert "hours and minutes from the first step" in texts(picture(None))


def test_each_preparation_has_its_dash_and_the_dough_none() -> None:
    scale = rise_spec(SHEET, None)["vconcat"][1]["layer"][1]["encoding"]["strokeDash"]["scale"]
    patterns = dict(zip(scale["domain"], map(tuple, scale["range"]), strict=True))
    assert patterns["dough"] == (1, 0)
    assert patterns["sponge"] != patterns["dough"]


def test_it_is_told_stage_by_stage() -> None:
    told = rise_description(SHEET, NINE)
    # 0.9 and 1.2 times 8 h, in the quarter hours in which a band that ends past 8 h is told
    assert told.startswith("1 sponge, ferment: from 21:06, takes 7 h 15 min–9 h 30 min, ")
    assert "grows to ×2.5, dough 25 to 23 °C." in told
    assert told.count(": from ") == len(SHEET.rows)
    names = [stage_name(i, row) for i, row in enumerate(SHEET.rows, 1)]
    assert all(name in told for name in names)
