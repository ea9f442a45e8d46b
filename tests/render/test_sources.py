"""Sources side by side as text and picture: true to the sheet, and fit for any page."""

import json
import re
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.render.json_text import sheet_json
from doughwright.render.sources_chart import (
    ROOM,
    WIDTH,
    pictured,
    sources_description,
    sources_picture,
    sources_spec,
)
from doughwright.render.sources_text import sources_text
from doughwright.render.sources_words import apart_sentences, middle_words, spread_words
from doughwright.reworking.rework import solved_document
from doughwright.sheets.sources import Source, SourcesSheet, sources_sheet

EXAMPLES = Path(__file__).parents[2] / "examples"
BREADS = sorted(path for path in EXAMPLES.glob("*.yaml") if "." not in path.stem)
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def sheet() -> SourcesSheet:
    return sources_sheet([_source(path) for path in BREADS])


def _source(path: Path) -> Source:
    document = read_document(path.read_text("utf-8")).document
    assert isinstance(document, FormulaDocument)
    return Source(document.name, solved_document(document))


def test_every_line_of_the_text_is_within_the_width(sheet: SourcesSheet) -> None:
    for width in (60, 80):
        assert max(map(len, sources_text(sheet, width=width).splitlines())) <= width


def test_every_value_is_in_the_text(sheet: SourcesSheet) -> None:
    lines = [line.split() for line in sources_text(sheet).splitlines()]
    salt = [" ".join(line[1:]) for line in lines if line[:1] == ["salt"]]
    # of the examples' own documents: 1.7, 2, 1.8 and 2 % of the flour for the rest
    assert salt[0] == "2.00 % 1.70–2.00 % 1.70 % 2.00 % 1.80 %"
    assert salt[1] == "2.00 % 2.00 % 2.00 % 2.00 % 2.00 %"
    assert "! Rye and wheat hearth loaf stands apart: yeast, as fresh 1.29 %" in " ".join(
        sources_text(sheet).split("\n")
    )


def test_who_stands_apart_is_said_once_for_each_thing(sheet: SourcesSheet) -> None:
    said = " ".join(apart_sentences(sheet))
    assert said.count("yeast, as fresh 4.85 %") == 1
    assert "liquids 44.0 %" not in said.replace("liquids only 44.0 %", "")


def test_the_picture_has_a_title_a_description_and_the_pages_ink(sheet: SourcesSheet) -> None:
    svg = ET.fromstring(sources_picture(sheet, "here"))  # noqa: S314 - our own drawing
    assert svg.attrib["role"] == "img"
    assert svg.attrib["aria-labelledby"] == "here-title"
    told = svg.find(f"{SVG}desc")
    assert told is not None
    assert told.text == sources_description(sheet)
    inks = {e.attrib[key] for e in svg.iter() for key in ("fill", "stroke") if key in e.attrib}
    assert {ink for ink in inks if ink not in {"none", "transparent"}} <= {"currentColor"}
    assert not any(e.tag.endswith(("style", "script")) for e in svg.iter())


def test_every_source_is_in_every_strip_in_which_it_says_something(sheet: SourcesSheet) -> None:
    for row, strip in zip(pictured(sheet), sources_spec(sheet)["vconcat"], strict=True):
        dots = strip["layer"][-1]["data"]["values"]
        known = {str(i) for i, cell in enumerate(row.cells, 1) if cell.value is not None}
        assert {dot["number"] for dot in dots} == known
        assert {dot["number"] for dot in dots if dot["apart"]} == {str(i + 1) for i in row.apart}


def test_no_number_covers_another(sheet: SourcesSheet) -> None:
    for row, strip in zip(pictured(sheet), sources_spec(sheet)["vconcat"], strict=True):
        dots = strip["layer"][-1]["data"]["values"]
        low, high = strip["layer"][-1]["encoding"]["x"]["scale"]["domain"]
        places = sorted((d["level"], (d["at"] - low) / (high - low) * WIDTH) for d in dots)
        near = [b - a for (i, a), (j, b) in pairwise(places) if i == j]
        assert all(gap >= ROOM - 0.01 for gap in near), row.name


def test_the_description_says_middle_spread_and_who_stands_apart(sheet: SourcesSheet) -> None:
    said = sources_description(sheet)
    assert "salt: middle 2.00 %, spread 1.70–2.00 %." in said
    assert "final proof: middle 1 h 10 min (of 6), spread 55 min–1 h 25 min." in said
    assert "Cardamom knots apart at 4.85 %" in said


def test_a_figure_in_which_all_agree_needs_no_strip() -> None:
    loaf = _source(EXAMPLES / "cold-retarded-tin-loaf.yaml")
    alike = sources_sheet([loaf, Source("another", loaf.formula)])
    assert pictured(alike) == ()
    assert sources_description(alike) == "All say the same."
    row = alike.tables[0].rows[0]
    assert (middle_words(row), spread_words(row)) == ("67.5 %", "")


def test_json_has_every_cell_in_si(sheet: SourcesSheet) -> None:
    tree = json.loads(sheet_json(sheet))
    assert tree["names"] == [
        path.read_text("utf-8").split("name: ")[1].split("\n")[0] for path in BREADS
    ]
    rows = {row["name"]: row for table in tree["tables"] for row in table["rows"]}
    assert rows["bake"]["cells"][0] == pytest.approx(
        {"value": 780, "unit": "s", "kind": "stated", "low": 720, "high": 840, "model": ""}
    )
    assert all(re.fullmatch(r"\S.*[.?!]", notice["says"]) for notice in tree["notices"])
