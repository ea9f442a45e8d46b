"""The PDFs: tagged, titled, with every weight as text, and the same bytes each time."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import read_document
from doughwright.render.bake_chart import point_rows
from doughwright.render.card_phrases import measure_words
from doughwright.render.cut_chart import cut_rows
from doughwright.render.food_phrases import food_findings, food_title, kept_sentence
from doughwright.render.numbers import mass
from doughwright.render.pdf import card_pdf, plan_pdf
from doughwright.render.phrases import CAUTIONS
from doughwright.resolving.formulas import resolved_formula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.sheets.bench_plan import BenchPlan, bench_plan
from doughwright.sheets.card import CardSheet

EXAMPLES = Path(__file__).parents[2] / "examples"
FORMULAS = sorted(
    p.stem for p in EXAMPLES.glob("*.yaml") if "doughwright: formula/1" in p.read_text("utf-8")
)
KITCHENS = ("harbour-lane", "home-in-the-hills")
NINE = datetime(2026, 11, 24, 9, 0)  # noqa: DTZ001 - a kitchen clock has no zone
A4 = (595, 842)
"""Points, to the nearest (ISO 216: 210 mm × 297 mm)."""

Cards = Callable[..., CardSheet]
each_kitchen = pytest.mark.parametrize("kitchen", KITCHENS)
each_example = pytest.mark.parametrize("name", FORMULAS)


@cache
def planned(name: str, kitchen: str = "harbour-lane") -> BenchPlan:
    files = (EXAMPLES / f"{kitchen}.kitchen.yaml", EXAMPLES / f"{name}.yaml")
    place, formula = (read_document(file.read_text("utf-8")).document for file in files)
    assert isinstance(place, KitchenDocument)
    assert isinstance(formula, FormulaDocument)
    return bench_plan(resolved_formula(formula), kitchen_from(place), start=NINE)


def read(made: bytes) -> PdfReader:
    return PdfReader(BytesIO(made), strict=True)


def text(reader: PdfReader) -> str:
    """All words, blanks as a reader sees them."""
    found = " ".join(page.extract_text() for page in reader.pages)
    return " ".join(found.replace("\N{NO-BREAK SPACE}", " ").split())


def roles(reader: PdfReader) -> list[str]:
    """The roles of all tagged elements, in reading order."""
    found: list[str] = []

    def walk(node: Any) -> None:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for each in node:
                walk(each)
        elif isinstance(node, dict):
            if "/S" in node:
                found.append(str(node["/S"]).removeprefix("/"))
            walk(node.get("/K", []))

    walk(reader.trailer["/Root"]["/StructTreeRoot"])
    return found


def asserted_tagged(reader: PdfReader, title: str, language: str = "en") -> None:
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == language
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata is not None
    assert reader.metadata.title == title
    assert reader.metadata.creation_date is None
    metadata = root["/Metadata"].get_object().get_data().decode()
    assert re.search(r"pdfuaid:part>1<", metadata)  # ISO 14289-1
    for page in reader.pages:
        assert page["/Tabs"] == "/S"
        assert tuple(round(float(x)) for x in page.mediabox[2:]) == A4


@each_kitchen
@each_example
def test_a_card_holds_every_weight_as_text(card_of: Cards, name: str, kitchen: str) -> None:
    sheet = card_of(name, kitchen)
    reader = read(card_pdf(sheet))
    asserted_tagged(reader, sheet.name)
    said = text(reader)
    for p in sheet.preparations:
        for line, measure in zip(p.plan.lines, p.measures, strict=True):
            shown = mass(line.weight.value or 0.0, line.step.value or 0.001)
            assert f"{shown} {line.name}" in said
            assert measure_words(measure) in said
    for caution in CAUTIONS:
        assert caution in said
    for step in (step for section in sheet.sections for step in section.steps):
        assert step.row.note in said


@each_example
def test_a_plan_holds_every_weight_and_every_time(name: str) -> None:
    plan = planned(name)
    reader = read(plan_pdf(plan))
    asserted_tagged(reader, plan.name)
    said = text(reader)
    for p in plan.preparations:
        for line in p.lines:
            assert line.name in said
    for row in plan.timeline.rows:
        assert row.clock_begins is not None
        assert f"{row.clock_begins:%H:%M}" in said
        assert row.note in said


def test_headings_and_tables_are_tagged_as_what_they_are(card_of: Cards) -> None:
    found = roles(read(card_pdf(card_of("leek-and-curd-pockets"))))
    assert found.count("H1") == 1
    assert found.count("H2") == 8
    assert found.count("H3") == 8  # four preparations, four sections of the method
    assert found.count("Table") > 8
    assert found.count("TH") > 2 * found.count("Table") - 1  # each has its heads
    assert {"L", "LI", "P"} <= set(found)


def test_every_picture_of_a_plan_says_what_it_shows() -> None:
    reader = read(plan_pdf(planned("leek-and-curd-pockets")))
    assert roles(reader).count("Figure") == 3
    told = [str(node.get_object().get("/Alt", "")) for node in _elements(reader)]
    rise, oven, cut = filter(None, told)
    assert "grows to" in rise
    assert "The bake takes" in oven
    assert "cm high in the model" in cut


def test_a_plan_holds_the_figures_of_its_pictures_and_what_may_spoil() -> None:
    plan = planned("leek-and-curd-pockets")
    said = text(read(plan_pdf(plan)))
    assert plan.bake is not None
    for row in (*point_rows(plan.bake), *cut_rows(plan.bake)):
        assert " ".join(row) in said
    for food in plan.safety.foods:
        assert food_title(food) in said
        for found in food_findings(food, plan.timeline.starts):
            assert found.text in said
    assert kept_sentence(plan.safety) in said


def _elements(reader: PdfReader) -> list[Any]:
    found: list[Any] = []

    def walk(node: Any) -> None:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for each in node:
                walk(each)
        elif isinstance(node, dict):
            found.append(node)
            walk(node.get("/K", []))

    walk(reader.trailer["/Root"]["/StructTreeRoot"])
    return [node for node in found if hasattr(node, "get_object")]


@each_example
def test_the_same_sheet_gives_the_same_bytes(card_of: Cards, name: str) -> None:
    assert card_pdf(card_of(name)) == card_pdf(card_of(name))
    assert plan_pdf(planned(name)) == plan_pdf(planned(name))


def test_every_sign_and_letter_has_a_glyph(card_of: Cards) -> None:
    signs = "° × – − ½ ¼ ¾ ⅓ ⅔ ⅛ → … ≥ āčēģīķļņšūž ąćęłńóśźż “”"
    sheet = replace(card_of("potato-rolls"), name="Maizītes", note=signs)
    reader = read(card_pdf(sheet))
    said = text(reader)
    for sign in signs.split():
        assert sign in said
    assert "Maizītes" in said
    assert "\N{REPLACEMENT CHARACTER}" not in said


def test_the_fonts_are_in_the_file(card_of: Cards) -> None:
    reader = read(card_pdf(card_of("potato-rolls")))
    fonts = {
        font.get_object()["/BaseFont"].partition("+")[2].partition("-")[0]
        for page in reader.pages
        for font in page["/Resources"]["/Font"].values()  # type: ignore[index]
    }
    assert fonts == {"LibertinusSerif"}


def test_the_language_of_the_bread_is_that_of_the_card(card_of: Cards) -> None:
    sheet = replace(card_of("potato-rolls"), language="lv")
    asserted_tagged(read(card_pdf(sheet)), sheet.name, "lv")


def test_what_a_baker_writes_is_text_and_no_markup(card_of: Cards) -> None:
    nasty = "#set page(width: 1pt) $x$ *bold* _it_ @ref <a> \\ [b] `c` // d"
    said = text(read(card_pdf(replace(card_of("potato-rolls"), name=nasty, note=nasty))))
    assert nasty in said


@pytest.mark.parametrize(
    ("kitchen", "why"),
    [
        ("harbour-lane", "this oven is 5 °C hotter than its dial"),
        ("home-in-the-hills", "this oven has no fan and is 10 °C cooler than its dial"),
    ],
)
def test_a_plan_says_why_the_oven_is_set_to_something_else(kitchen: str, why: str) -> None:
    said = text(read(plan_pdf(planned("leek-and-curd-pockets", kitchen))))
    assert f"(165 °C fan in the formula: {why})" in said
