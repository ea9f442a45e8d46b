"""The picture of temperatures in the oven: true to its sheet, and fit for any page."""

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from doughwright.render.bake_chart import (
    NAME_ROOM,
    POINTS_SHOWN,
    WARMING_HEIGHT,
    bake_picture,
    boiling,
    point_heads,
    point_rows,
    shown_points,
    warming_description,
    warming_spec,
)
from doughwright.sheets.bake import BakeSheet
from doughwright.sheets.cells import Cell

SVG = "{http://www.w3.org/2000/svg}"
Never = Callable[[BakeSheet], BakeSheet]


def drawn(sheet: BakeSheet) -> ET.Element:
    return ET.fromstring(bake_picture(sheet))  # noqa: S314 - our own drawing


def texts(svg: ET.Element) -> list[str]:
    return ["".join(e.itertext()) for e in svg.iter(f"{SVG}text")]


def plain(sheet: BakeSheet) -> BakeSheet:
    row = replace(sheet.rows[0], filling=None)
    points = tuple(replace(p, filling=None) for p in sheet.points)
    return replace(sheet, rows=(row,), points=points)


def test_it_is_named_told_and_as_wide_as_its_place(bake: BakeSheet) -> None:
    svg = drawn(bake)
    title, told = list(svg)[:2]
    assert (svg.attrib["role"], title.tag, told.tag) == ("img", f"{SVG}title", f"{SVG}desc")
    assert (svg.attrib["aria-labelledby"], svg.attrib["aria-describedby"]) == (
        title.attrib["id"],
        told.attrib["id"],
    )
    assert told.text == warming_description(bake)
    assert {"width", "height"} & set(svg.attrib) == set()
    assert float(svg.attrib["viewBox"].split()[2]) <= 360  # a phone: letters of 12 stay above 10


def test_it_fetches_nothing_runs_nothing_and_is_drawn_in_ink(bake: BakeSheet) -> None:
    attributes = [(k, v) for e in drawn(bake).iter() for k, v in e.attrib.items()]
    assert [k for k, _ in attributes if k in {"style", "class"} or k.startswith("on")] == []
    assert not re.search(r"<script|href|url\((?!#)|data:", bake_picture(bake))
    inks = {v for k, v in attributes if k in {"fill", "stroke"}}
    assert inks <= {"currentColor", "none", "transparent"}


@pytest.mark.parametrize(("make", "lines"), [(lambda s: s, 3), (plain, 2)])
def test_each_line_is_drawn_and_named(
    bake: BakeSheet, make: Callable[[BakeSheet], BakeSheet], lines: int
) -> None:
    svg = drawn(make(bake))
    curves = [e for e in svg.iter(f"{SVG}path") if e.attrib.get("d", "").count("L") >= 20]
    curves += [e for e in svg.iter(f"{SVG}path") if e.attrib.get("d", "").count("C") >= 20]
    assert len(curves) == lines
    said = texts(svg)
    assert {"core", "surface", "water boils", "core 92 °C", "done"} <= set(said)
    assert ("filling" in said) == (lines == 3)


def test_points_and_band_are_those_of_the_sheet(bake: BakeSheet) -> None:
    shown: list[dict[str, Any]] = warming_spec(bake)["datasets"]["points"]
    for name in ("core", "surface", "filling"):
        line = [p for p in shown if p["line"] == name]
        assert [p["time"] for p in line] == pytest.approx([p.time / 60 for p in bake.points])
        warmth = [getattr(p, name) - 273.15 for p in bake.points]
        assert [p["warmth"] for p in line] == pytest.approx(warmth, abs=0.006)
    (band,) = warming_spec(bake)["datasets"]["done"]
    assert (band["begin"], band["end"]) == (23.0, 26.0)


def test_water_boils_lower_in_the_hills(bake: BakeSheet) -> None:
    # 100 °C at sea level; 2500 m: 746.9 hPa in the standard atmosphere, 91.7 °C in steam tables
    assert boiling(bake.rows[0]) - 273.15 == pytest.approx(100.0, abs=0.1)
    high = replace(bake.rows[0], altitude=Cell(2500.0, "m", "stated"))
    assert boiling(high) - 273.15 == pytest.approx(91.7, abs=0.2)


@pytest.mark.parametrize("goal", [92.0, 97.0, 99.9])
def test_names_beside_the_picture_do_not_touch(bake: BakeSheet, goal: float) -> None:
    row = bake.rows[0]
    core = replace(row.criteria[1], goal=Cell(goal + 273.15, "K", "stated"))
    sheet = replace(bake, rows=(replace(row, criteria=(core,)),))
    spec = warming_spec(sheet)
    low, high = spec["layer"][1]["encoding"]["y"]["scale"]["domain"]
    room = NAME_ROOM / WARMING_HEIGHT * (high - low)
    written = [name["written"] for name in spec["datasets"]["margin"]]
    assert all(above - below >= room - 0.02 for above, below in pairwise(written))


def test_the_table_runs_from_loading_to_the_last_point_and_holds_the_end(bake: BakeSheet) -> None:
    points = shown_points(bake)
    assert (points[0], points[-1]) == (bake.points[0], bake.points[-1])
    assert POINTS_SHOWN <= len(points) <= POINTS_SHOWN + 1
    assert bake.rows[0].lasts.value in [p.time for p in points]
    assert {len(row) for row in point_rows(bake)} == {len(point_heads(bake))} == {5}
    # straight lines: half-way through 24 min the core is half-way from 20 to 92 °C
    assert ("13 min", "59 °C", "45 °C", "80 °C", "4 %") in point_rows(bake)
    assert point_heads(plain(bake)) == ("After", "Core", "Surface", "Lost")


def test_it_is_told_moment_by_moment(bake: BakeSheet) -> None:
    told = warming_description(bake)
    assert told.startswith("The bake takes 23–26 min. 0 min: core 20 °C, filling 5 °C, ")
    assert "Done when the core is warm enough." in told
    assert "filling" not in warming_description(plain(bake)).split("Done when")[0]


def test_a_bake_that_is_never_done_has_no_band(bake: BakeSheet, never: Never) -> None:
    sheet = never(bake)
    assert warming_spec(sheet)["datasets"]["done"] == []
    assert "done" not in texts(drawn(sheet))
    assert warming_description(sheet).startswith("The bake is never done.")
