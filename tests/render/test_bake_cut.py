"""The picture of the cut: every cell in its place and colour, read without sight of colours."""

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest

from doughwright.render.cut_cells import Grid, boxes, joined, outline, size
from doughwright.render.cut_chart import (
    BREAD,
    DARK,
    PALE,
    STEPS,
    cut_description,
    cut_picture,
    cut_rows,
)
from doughwright.sheets.bake import BakeSheet, CutCell, CutSheet

SVG = "{http://www.w3.org/2000/svg}"
Never = Callable[[BakeSheet], BakeSheet]


def drawn(sheet: BakeSheet) -> ET.Element:
    return ET.fromstring(cut_picture(sheet))  # noqa: S314 - our own drawing


def cut_of(sheet: BakeSheet) -> CutSheet:
    assert sheet.cut is not None
    return sheet.cut


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour (WCAG 2.2, definitions)."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2, definitions)."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def lightness(colour: str) -> float:
    """L* of CIE 1976 (CIE 15:2004, 8.2.1)."""
    return float(116 * luminance(colour) ** (1 / 3) - 16)


# Colours


def test_each_step_is_as_much_darker_as_the_one_before() -> None:
    assert len(BREAD) == len(STEPS) + 1
    steps = [lighter - darker for lighter, darker in pairwise(map(lightness, BREAD))]
    assert steps == pytest.approx([70 / 8] * 8, abs=0.5)


def test_what_crosses_the_cut_is_seen_on_every_colour() -> None:
    """WCAG 2.2, 1.4.11: one of a line and its edge stands out from any ground by 3 to 1."""
    assert contrast(DARK, PALE) >= 3
    assert all(max(contrast(DARK, ground), contrast(PALE, ground)) >= 3 for ground in BREAD)


def test_dots_are_seen_on_crust() -> None:
    """Crust is hotter than 95 °C wherever water boils above that."""
    assert all(contrast(PALE, BREAD[i]) >= 3 for i in range(STEPS.index(95) + 1, len(BREAD)))


# Cells


def test_boxes_cover_both_halves_once(bake: BakeSheet) -> None:
    grid = Grid.of(cut_of(bake))
    covered = [
        (round(100 * x), round(100 * low))
        for _, ((left, low), (right, _), *_) in boxes(cut_of(bake), grid, lambda _: 0)
        for x in [left + 0.01 * i for i in range(round((right - left) / 0.01))]
    ]
    half = {(round(100 * c.across - 0.5), round(100 * c.up - 0.5)) for c in cut_of(bake).cells}
    assert sorted(covered) == sorted(half | {(-x - 1, z) for x, z in half})
    assert len(covered) == 2 * len(cut_of(bake).cells)


def test_boxes_have_the_colour_of_their_cells(bake: BakeSheet) -> None:
    grid = Grid.of(cut_of(bake))
    found = {}
    for warmth, path in boxes(cut_of(bake), grid, lambda t: round(t - 273.15)):
        (left, low), (right, _), *_ = path
        found[round((left + right) / 2, 4), round(low, 4)] = warmth
    assert found[0.0, 0.02] == 80  # the coldest filling reaches across the middle
    assert found[0.035, 0.0] == found[-0.035, 0.0] == 130


def test_the_outline_of_a_whole_piece_is_one_closed_line(bake: BakeSheet) -> None:
    grid = Grid.of(cut_of(bake))
    (line,) = joined(outline(map(grid.place, cut_of(bake).cells), grid))
    assert line[0] == line[-1]
    assert {round(x, 4) for x, _ in line} >= {-0.04, 0.04}
    assert size(cut_of(bake)) == pytest.approx((0.08, 0.04))


def test_a_ring_is_shown_on_one_side_only(bake: BakeSheet) -> None:
    cells = tuple(replace(c, across=c.across + 0.02) for c in cut_of(bake).cells)
    ring = replace(bake, cut=replace(cut_of(bake), cells=cells))
    assert not Grid.of(cut_of(ring)).halved
    assert size(cut_of(ring)) == pytest.approx((0.04, 0.04))
    said = ["".join(e.itertext()) for e in drawn(ring).iter(f"{SVG}text")]
    assert {"cm from the middle of the ring", "Cut through one side of the ring"} <= set(said)


# The element


def test_it_is_named_told_and_as_wide_as_its_place(bake: BakeSheet) -> None:
    svg = drawn(bake)
    title, told = list(svg)[:2]
    assert (svg.attrib["role"], title.tag, told.tag) == ("img", f"{SVG}title", f"{SVG}desc")
    assert (svg.attrib["aria-labelledby"], svg.attrib["aria-describedby"]) == (
        title.attrib["id"],
        told.attrib["id"],
    )
    assert told.text == cut_description(bake)
    assert {"width", "height"} & set(svg.attrib) == set()
    assert float(svg.attrib["viewBox"].split()[2]) <= 360


def test_it_fetches_nothing_and_runs_nothing(bake: BakeSheet) -> None:
    attributes = [(k, v) for e in drawn(bake).iter() for k, v in e.attrib.items()]
    assert [k for k, _ in attributes if k in {"style", "class"} or k.startswith("on")] == []
    assert not re.search(r"<script|href|url\((?!#)|data:", cut_picture(bake))


def test_letters_and_outline_are_in_ink_and_the_rest_in_bread(bake: BakeSheet) -> None:
    svg = drawn(bake)
    assert {e.attrib["fill"] for e in svg.iter(f"{SVG}text")} == {"currentColor"}
    inks = {v for e in svg.iter() for k, v in e.attrib.items() if k in {"fill", "stroke"}}
    # 80 to 130 °C: from the third colour to the eighth
    assert inks == {"currentColor", "none", "transparent", DARK, PALE, *BREAD[2:8]} & inks
    assert {DARK, PALE, *BREAD[2:8]} <= inks


def paths(svg: ET.Element, **looks: str) -> list[str]:
    return [
        e.attrib["d"]
        for e in svg.iter(f"{SVG}path")
        if all(e.attrib.get(k.replace("_", "-")) == v for k, v in looks.items())
    ]


def test_one_path_a_colour_one_dot_a_cell_of_crust(bake: BakeSheet) -> None:
    svg = drawn(bake)
    assert all(len(paths(svg, fill=colour, stroke=colour)) == 1 for colour in BREAD[2:8])
    (dots,) = paths(svg, stroke=PALE, stroke_linecap="round")
    assert dots.count("M") == 2 * sum(c.crust for c in cut_of(bake).cells)
    assert len(paths(svg, stroke=DARK, stroke_dasharray="4,2")) == 1


def test_the_scale_names_the_ends_and_the_steps_between(bake: BakeSheet) -> None:
    said = ["".join(e.itertext()) for e in drawn(bake).iter(f"{SVG}text")]
    first = said.index("80")
    assert said[first : first + 7] == ["80", "85", "90", "95", "105", "125", "130"]
    assert {"surface 123 °C", "filling 80 °C", "probe 92 °C", "2 cm", "cm from the middle"} <= set(
        said
    )


def test_no_band_of_the_scale_begins_and_ends_alike(bake: BakeSheet) -> None:
    # 79.8 and 125.3 °C round to the steps they lie just beyond
    cells = tuple(
        replace(c, temperature=min(max(c.temperature - 0.2, 352.95), 398.45))
        for c in cut_of(bake).cells
    )
    svg = drawn(replace(bake, cut=replace(cut_of(bake), cells=cells)))
    said = ["".join(e.itertext()) for e in svg.iter(f"{SVG}text")]
    first = said.index("79")
    assert said[first : first + 8] == ["79", "80", "85", "90", "95", "105", "125", "126"]


# In figures


def test_places_and_their_temperatures(bake: BakeSheet) -> None:
    assert cut_rows(bake) == (
        ("At the probe, under the filling", "92 °C"),
        ("In the middle of the piece", "85 °C"),
        ("Filling", "80–88 °C"),
        ("Dough just under the crust", "92–99 °C"),
        ("Crust", "104–130 °C"),
        ("Surface, on average", "123 °C"),
    )
    told = cut_description(bake)
    assert "8 cm wide and 4 cm high" in told
    assert all(f"{place}: {warmth}." in told for place, warmth in cut_rows(bake))


def test_a_plain_piece_has_no_filling_to_outline(bake: BakeSheet) -> None:
    assert bake.probe is not None
    cells = tuple(replace(c, filling=False) for c in cut_of(bake).cells)
    sheet = replace(
        bake,
        rows=(replace(bake.rows[0], filling=None),),
        probe=replace(bake.probe, place="in the middle"),
        cut=replace(cut_of(bake), cells=cells),
    )
    assert paths(drawn(sheet), stroke=DARK, stroke_dasharray="4,2") == []
    assert [place for place, _ in cut_rows(sheet)] == [
        "At the probe, in the middle",
        "Dough just under the crust",
        "Crust",
        "Surface, on average",
    ]


def test_without_a_cut_nothing_is_drawn(bake: BakeSheet, never: Never) -> None:
    sheet = never(bake)
    assert (cut_picture(sheet), cut_description(sheet), cut_rows(sheet)) == ("", "", ())


def test_a_piece_of_one_cell_is_still_drawn(bake: BakeSheet) -> None:
    one = CutSheet(60.0, 0.01, (CutCell(0.005, 0.005, 350.0, crust=False, filling=False),))
    assert size(one) == pytest.approx((0.02, 0.01))
    assert cut_picture(replace(bake, cut=one)).startswith("<svg")
