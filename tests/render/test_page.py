"""The bench plan as a page: one file, readable by everyone, saying what the sheet says."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import cache
from html.parser import HTMLParser
from importlib.resources import files
from itertools import pairwise
from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import read_document
from doughwright.engine.properties import known_sources
from doughwright.errors import Notice
from doughwright.render.bake_phrases import row_name, wanted_sentence
from doughwright.render.messages import words
from doughwright.render.numbers import duration_band
from doughwright.render.page import STYLES, bake_page, bench_plan_page
from doughwright.resolving.formulas import resolved_formula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.sheets.bake import BakeSheet, WantedWeight
from doughwright.sheets.bench_plan import BenchPlan, bench_plan
from doughwright.sheets.cells import Cell
from doughwright.sheets.rises import POINTS_SHOWN

EXAMPLES = Path(__file__).parents[2] / "examples"
FORMULAS = sorted(p.stem for p in EXAMPLES.glob("*.yaml") if "." not in p.stem)
NINE = datetime(2026, 11, 24, 9, 0)  # noqa: DTZ001 - a kitchen clock has no zone
VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "wbr"}
"""Elements that have no end tag (HTML standard, 13.1.2)."""

each_example = pytest.mark.parametrize("name", FORMULAS)


@cache
def planned(name: str, start: datetime | None = NINE) -> BenchPlan:
    kitchen = read_document((EXAMPLES / "harbour-lane.kitchen.yaml").read_text("utf-8")).document
    formula = read_document((EXAMPLES / f"{name}.yaml").read_text("utf-8"), name).document
    assert isinstance(kitchen, KitchenDocument)
    assert isinstance(formula, FormulaDocument)
    return bench_plan(resolved_formula(formula), kitchen_from(kitchen), start=start)


@dataclass(slots=True)
class Element:
    """One element of a page with its attributes and what is in it."""

    tag: str
    attributes: dict[str, str] = field(default_factory=dict)
    inside: list["Element | str"] = field(default_factory=list)

    @property
    def elements(self) -> Iterator["Element"]:
        """Itself and all elements below it, in order."""
        yield self
        for child in self.inside:
            if isinstance(child, Element):
                yield from child.elements

    @property
    def raw(self) -> str:
        """All text in it as it stands in the file."""
        return "".join(x if isinstance(x, str) else x.raw for x in self.inside)

    @property
    def text(self) -> str:
        """Its words, blanks as a reader sees them."""
        return " ".join(self.raw.replace("\N{NO-BREAK SPACE}", " ").split())

    def all(self, selector: str) -> list["Element"]:
        """Elements of a tag, of a class (``.name``) or of both."""
        tag, _, name = selector.partition(".")
        return [
            e
            for e in self.elements
            if tag in ("", e.tag) and (not name or name in e.attributes.get("class", "").split())
        ]

    def one(self, selector: str) -> "Element":
        (found,) = self.all(selector)
        return found

    def named(self, name: str) -> "Element":
        (found,) = (e for e in self.elements if e.attributes.get("id") == name)
        return found


class Reader(HTMLParser):
    """Builds the tree and refuses tags that do not close in turn."""

    def __init__(self) -> None:
        super().__init__()
        self.open = [Element("document")]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert len({name for name, _ in attrs}) == len(attrs), f"an attribute twice on <{tag}>"
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].inside.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop().tag == tag, f"</{tag}> at {self.getpos()}"

    def handle_data(self, data: str) -> None:
        self.open[-1].inside.append(data)


def read(html: str) -> Element:
    reader = Reader()
    reader.feed(html)
    reader.close()
    (document,) = reader.open
    return document


@cache
def page(name: str, start: datetime | None = NINE) -> Element:
    return read(bench_plan_page(planned(name, start)))


def kilograms(shown: str) -> float:
    number, unit = shown.split()
    return float(number) * {"g": 1e-3, "kg": 1.0}[unit]


# One file that needs nothing beside it


@each_example
def test_the_page_is_one_html_document_in_a_language(name: str) -> None:
    assert bench_plan_page(planned(name)).startswith("<!DOCTYPE html>\n")
    html = page(name).one("html")
    assert html.attributes["lang"] == "en"
    assert planned(name).name in html.one("head").one("title").text
    assert len(html.all("main")) == len(html.all("h1")) == len(html.all("style")) == 1
    assert html.one("style") in list(html.one("head").elements)


@each_example
def test_the_page_fetches_nothing_and_runs_nothing(name: str) -> None:
    elements = list(page(name).elements)
    assert {e.tag for e in elements} & {"script", "link", "iframe", "object", "base"} == set()
    attributes = [(key, value) for e in elements for key, value in e.attributes.items()]
    assert [key for key, _ in attributes if key.startswith("on") or key == "style"] == []
    addresses = [v for k, v in attributes if k in {"src", "href", "action", "srcset", "poster"}]
    assert [address for address in addresses if not address.startswith("#")] == []
    style = page(name).one("style").text
    assert not re.search(r"@import|url\(|//|expression|</", style)


@each_example
def test_every_link_leads_to_one_place_on_the_page(name: str) -> None:
    elements = list(page(name).elements)
    ids = [e.attributes["id"] for e in elements if "id" in e.attributes]
    assert len(ids) == len(set(ids))
    links = {e.attributes["href"].removeprefix("#") for e in elements if "href" in e.attributes}
    labels = {
        e.attributes["aria-labelledby"] for e in elements if "aria-labelledby" in e.attributes
    }
    assert links | labels <= set(ids)
    assert all(e.text for e in page(name).all("a"))


@each_example
def test_headings_step_down_one_at_a_time(name: str) -> None:
    levels = [int(e.tag[1]) for e in page(name).elements if re.fullmatch(r"h[1-6]", e.tag)]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


@each_example
def test_every_table_has_a_caption_and_every_heading_cell_its_scope(name: str) -> None:
    for table in page(name).all("table"):
        assert table.all("caption")[0].text
        assert {e.attributes.get("scope") for e in table.all("th")} == {"col", "row"}
        widths = [len(row.all("th")) + len(row.all("td")) for row in table.all("tr")]
        assert len(set(widths)) == 1


# What the sheet says


@each_example
def test_the_weights_are_those_of_the_sheet(name: str) -> None:
    plan = planned(name)
    blocks = page(name).named("weigh").all(".preparation")
    assert len(blocks) == len(plan.preparations)
    for block, preparation in zip(blocks, plan.preparations, strict=True):
        *lines, total = block.one("table").all(".amount")
        assert len(lines) == len(preparation.lines)
        for cell, line in zip(lines, preparation.lines, strict=True):
            assert kilograms(cell.text) == pytest.approx(line.weight.value, abs=line.step.value / 2)
        assert kilograms(total.text) == pytest.approx(preparation.weight.value, abs=5.1e-4)
        names = [e.text for e in block.one("tbody").all("th")]
        starts = [line.name for line in preparation.lines]
        assert all(shown.startswith(start) for shown, start in zip(names, starts, strict=True))


@each_example
def test_a_temperature_stands_beside_its_weight(name: str) -> None:
    blocks = page(name).named("weigh").all(".preparation")
    for block, preparation in zip(blocks, planned(name).preparations, strict=True):
        cells = block.one("tbody").all(".warm")
        for cell, line in zip(cells, preparation.lines, strict=True):
            if line.temperature is None:
                assert cell.text == ""
            elif line.temperature.kind != "assumed":
                assert line.temperature.value is not None
                celsius = float(cell.text.split(" °C")[0].replace("−", "-"))
                assert celsius == pytest.approx(line.temperature.value - 273.15, abs=0.501)


@each_example
def test_each_step_stands_at_its_time_with_what_to_look_for(name: str) -> None:
    plan, when = planned(name), page(name).named("when")
    for row in plan.timeline.rows:
        step = when.named(f"step-{row.position}")
        assert row.cue in step.text
        assert row.note in step.text
        hands = "Hands on:" if row.hands_on else "Waiting:"
        assert step.all(".do")[0].text.startswith(hands)
        for time in step.all("time")[:1]:
            assert row.clock_begins is not None
            assert time.text == f"{row.clock_begins:%H:%M}"
            assert time.attributes["datetime"] == f"{row.clock_begins:%Y-%m-%dT%H:%M}"


def test_without_a_clock_times_count_from_the_first_step() -> None:
    when = page("leek-and-curd-pockets", None).named("when")
    assert when.all("time") == []
    first, second, *after = [when.named(f"step-{i}").all("a")[0].text for i in range(4)]
    assert (first, second) == ("0:00", "0:03")  # 3 min of mixing: the formula's process
    rows = planned("leek-and-curd-pockets", None).timeline.rows[2:4]
    shown = [60 * int(hours) + int(minutes) for hours, minutes in (t.split(":") for t in after)]
    assert shown == pytest.approx([row.begins / 60 for row in rows], abs=0.501)
    assert "from the first step" in when.one(".legend").text


def test_a_step_inside_a_waiting_one_stands_under_it() -> None:
    proof = page("cardamom-knots").named("step-8")
    inside = [e.one(".do").text for e in proof.one("ol").all("li")]
    # the formula's 190 °C: this kitchen's air is 5 °C hotter than its dial
    assert inside == ["Hands on: Make the syrup.", "Waiting: Heat the oven to 185 °C fan."]


def test_a_new_day_is_named_where_it_begins() -> None:
    when = page("rye-and-wheat-hearth-loaf").named("when")
    days = [e for e in when.all(".step") if "the next day" in e.all("a")[0].text]
    line = planned("rye-and-wheat-hearth-loaf").timeline
    late = [
        r for r in line.rows if r.clock_begins is not None and r.clock_begins.date() > NINE.date()
    ]
    assert [day.attributes["id"] for day in days] == [f"step-{late[0].position}"]
    assert f"ready about {line.ready:%a %H:%M}" in when.all(".total")[0].text


def test_nothing_is_promised_where_times_are_not_stated() -> None:
    text = (EXAMPLES / "seeded-flatbread.yaml").read_text("utf-8")
    formula = read_document(text.replace("    oven: 475 °F conventional\n", ""), "no oven").document
    assert isinstance(formula, FormulaDocument)
    plan = bench_plan(resolved_formula(formula), kitchen_from(None), start=NINE)
    when = read(bench_plan_page(plan)).named("when")
    assert "ready" not in " ".join(e.text for e in when.all(".total"))
    # the bake carries a cue, no time and no oven: no model bakes
    (unstated,) = (e for e in when.all(".how") if e.text.startswith("time not stated, "))
    assert unstated in list(when.named("step-9").elements)
    unsure = [e for e in when.all(".step") if e.all("a")[0].text.startswith("not before")]
    assert [e.attributes["id"] for e in unsure] == ["step-10"]  # what follows the bake


def test_a_step_that_has_to_begin_before_the_one_it_runs_in_stands_where_it_begins() -> None:
    plan = planned("leek-and-curd-pockets")
    rows = {row.position: row for row in plan.timeline.rows}
    early = replace(rows[14], begins=rows[9].begins - 60.0)
    line = tuple(early if row.position == 14 else row for row in plan.timeline.rows)
    when = read(bench_plan_page(replace(plan, timeline=replace(plan.timeline, rows=line))))
    assert when.named("step-9").all("ol") == []
    assert when.named("step-14") in when.one("ol.steps").inside


def test_pieces_and_what_goes_with_each() -> None:
    divide = page("leek-and-curd-pockets").named("divide")
    assert divide.one(".pieces").text == "8 × 105 g"  # the formula's yield
    shown = [(r.one("td").text, r.one("th").text) for r in divide.one("tbody").all("tr")]
    assert shown == [("40 g", "filling"), ("4 g", "egg wash")]  # `each` of the formula


def test_a_plan_without_pieces_divides_nothing() -> None:
    plan = replace(planned("seeded-flatbread"), division=None)
    ids = {e.attributes.get("id") for e in read(bench_plan_page(plan)).elements}
    assert "divide" not in ids


@each_example
def test_both_hydrations_stand_first_among_the_figures(name: str) -> None:
    figures = page(name).named("figures").one("tbody").all("tr")
    assert [row.one("th").text for row in figures[:2]] == [
        "hydration, all water",
        "hydration, liquids only",
    ]
    assert len(figures) == len(planned(name).figures)
    for row, figure in zip(figures[:2], planned(name).figures, strict=False):
        assert figure.cell.value is not None
        assert float(row.one("td").text.split()[0]) == pytest.approx(
            100 * figure.cell.value, abs=0.0501
        )


RISING = [name for name in FORMULAS if planned(name).rises is not None]


@pytest.mark.parametrize("name", RISING)
def test_the_rises_in_figures_are_those_of_the_sheet(name: str) -> None:
    sheet = planned(name).rises
    assert sheet is not None
    rows = page(name).named("rises").one("table.stages").one("tbody").all("tr")
    assert len(rows) == len(sheet.rows)
    for number, (shown, row) in enumerate(zip(rows, sheet.rows, strict=True), 1):
        assert shown.one("th").text == f"{number} {row.of}, {row.verb}"
        takes, may_end, warm, size = (cell.text for cell in shown.all("td"))
        assert takes == duration_band(row.lasts)
        assert (may_end == "by the clock") == (row.lasts.kind == "stated")
        start, end = (float(x) for x in warm.removesuffix(" °C").replace("−", "-").split(" → "))
        assert start == pytest.approx(row.start.value - 273.15, abs=0.501)
        assert end == pytest.approx(row.end.value - 273.15, abs=0.501)
        low, *high = (float(x) for x in size.removeprefix("×").split("–"))
        assert low - 0.051 <= row.size.value <= (high[0] if high else low) + 0.051


@pytest.mark.parametrize("name", RISING)
def test_points_of_each_line_run_from_its_first_to_its_last(name: str) -> None:
    plan = planned(name)
    assert plan.rises is not None
    tables = page(name).named("rises").one("details").all("table")
    for table, row in zip(tables, plan.rises.rows, strict=True):
        lines = table.one("tbody").all("tr")
        assert 2 <= len(lines) <= POINTS_SHOWN
        for line, point in ((lines[0], row.points[0]), (lines[-1], row.points[-1])):
            at = NINE + timedelta(seconds=point.time)
            assert line.one("th").text == f"{at:%H:%M}"
            size, warm = (cell.text for cell in line.all("td"))
            assert float(size.removeprefix("×")) == pytest.approx(point.size, abs=0.00501)
            assert float(warm.removesuffix(" °C")) == pytest.approx(
                point.temperature - 273.15, abs=0.0501
            )


@pytest.mark.parametrize("name", RISING)
def test_the_picture_stands_under_the_time_line_and_names_its_stages(name: str) -> None:
    ids = [e.attributes.get("id") for e in page(name).elements]
    assert ids.index("when") < ids.index("rises") < ids.index("figures")
    svg = page(name).named("rises").one("svg")
    assert svg.attributes["role"] == "img"
    assert {svg.attributes[f"aria-{x}"] for x in ("labelledby", "describedby")} <= set(ids)
    named = page(name).named("rises").one("table.stages").one("tbody").all("th")
    said = [e.text for e in svg.all("text")]
    assert [e.text for e in named if e.text not in said] == []


@pytest.mark.parametrize("missing", ["rises", "bake"])
def test_what_a_plan_does_not_have_is_not_on_its_page(missing: str) -> None:
    plan = replace(planned("leek-and-curd-pockets"), rises=None, bake=None)
    assert read(bench_plan_page(plan)).all("svg") == []
    shown = read(bench_plan_page(replace(planned("leek-and-curd-pockets"), **{missing: None})))
    assert missing not in {e.attributes.get("id") for e in shown.elements}
    assert f"#{missing}" not in {e.attributes.get("href") for e in shown.all("a")}


BAKING = [name for name in FORMULAS if planned(name).bake is not None]


def bake_of(name: str) -> BakeSheet:
    sheet = planned(name).bake
    assert sheet is not None
    return sheet


@pytest.mark.parametrize("name", BAKING)
def test_how_long_it_bakes_stands_large_and_its_signs_in_order(name: str) -> None:
    row, shown = bake_of(name).rows[0], page(name).named("bake")
    assert shown.one(".band").one("b").text == duration_band(row.lasts)
    signs = shown.one("ol.signs").all("li")
    minutes = [int(e.one(".margin").text.removesuffix(" min")) for e in signs]
    assert minutes == sorted(minutes)
    reached = sorted(c.time.value for c in row.criteria if c.time.value is not None)
    assert minutes == pytest.approx([t / 60 for t in reached], abs=0.501)
    (last,) = (e for e in signs if e.all("strong"))
    assert last is signs[-1]
    assert last.one("strong").text == "← last"


@pytest.mark.parametrize("name", BAKING)
def test_what_comes_out_is_that_of_the_sheet(name: str) -> None:
    row = bake_of(name).rows[0]
    weight, loss = (e.text for e in page(name).named("bake").one("table.outcome").all("td.amount"))
    bands = ((weight, " g", row.baked, 1000.0), (loss, " %", row.loss, 100.0))
    for said, unit, cell, factor in bands:
        low, high = (float(x) for x in said.removesuffix(unit).split("–"))
        coarse = 2.51 if factor * (cell.high or 0.0) >= 500.0 else 0.501  # 5 g from a pound on
        assert low == pytest.approx(factor * (cell.low or 0.0), abs=coarse)
        assert high == pytest.approx(factor * (cell.high or 0.0), abs=coarse)


@pytest.mark.parametrize("name", BAKING)
def test_the_bake_has_two_pictures_and_their_figures(name: str) -> None:
    sheet, shown = bake_of(name), page(name).named("bake")
    ids = [e.attributes.get("id") for e in page(name).elements]
    assert ids.index("rises" if "rises" in ids else "when") < ids.index("bake")
    assert ids.index("bake") < ids.index("figures")
    pictures = shown.one(".pictures").all("figure")
    assert [len(e.all("svg")) for e in pictures] == [1, 1]
    assert all(e.one("figcaption").text for e in pictures)
    points, places = (e.one("tbody").all("tr") for e in shown.one("details").all("table"))
    for line, point in ((points[0], sheet.points[0]), (points[-1], sheet.points[-1])):
        core, *filling, surface, _ = (float(e.text.split()[0]) for e in line.all("td"))
        assert core == pytest.approx(point.core - 273.15, abs=0.501)
        assert surface == pytest.approx(point.surface - 273.15, abs=0.501)
        assert len(filling) == (point.filling is not None)
    assert sheet.probe is not None
    assert sheet.probe.reads.value is not None
    reads = float(places[0].one("td").text.removesuffix(" °C"))
    assert reads == pytest.approx(sheet.probe.reads.value - 273.15, abs=0.501)
    assert f"{places[0].one('td').text} when done" in shown.one(".probe").text


def test_a_bake_that_is_never_done_promises_nothing(
    never: Callable[[BakeSheet], BakeSheet],
) -> None:
    plan = planned("leek-and-curd-pockets")
    shown = read(bench_plan_page(replace(plan, bake=never(bake_of("leek-and-curd-pockets")))))
    bake = shown.named("bake")
    assert bake.one(".band").one("b").text == "not done"
    assert "not reached" in bake.one("ol.signs").text
    assert (bake.all("strong"), bake.all(".outcome"), bake.all(".probe")) == ([], [], [])
    assert len(bake.all("svg")) == len(bake.one("details").all("table")) == 1


# The bake on a page of its own


def several_bakes() -> BakeSheet:
    """A bake beside two others, one of them higher up and never done; invented."""
    sheet = bake_of("leek-and-curd-pockets")
    row = sheet.rows[0]
    shared = Notice.of("then-without-time", "process", 12, at=840.0)
    high = replace(row, altitude=Cell(2500.0, "m", "stated"), pieces=10)
    undone = replace(row, lasts=Cell(None, "s", "unknown"), binding=None, cold_start=True)
    paler = Notice.of("bake-paler", "process", 12, share=0.25)
    rows = (
        replace(row, notices=(shared,)),
        replace(high, notices=(shared, paler)),
        replace(undone, notices=(shared,)),
    )
    scaled = Cell(0.11, "kg", "model", 0.107, 0.113)
    left_in = Notice.of("bake-left-in", "process", 12, noted=2400.0, modelled=1500.0)
    return replace(
        sheet,
        rows=rows,
        wanted=WantedWeight(Cell(0.1, "kg", "stated"), scaled, row),
        notices=(left_in,),
    )


def test_bakes_stand_beside_each_other_with_what_tells_them_apart() -> None:
    sheet = several_bakes()
    shown = read(bake_page(sheet))
    rows = shown.one("table.bakes").one("tbody").all("tr")
    assert [e.one("th").text.split(" (")[0] for e in rows] == [
        row_name(row, altitude=True) for row in sheet.rows
    ]
    takes = [e.all("td")[0].text for e in rows]
    assert takes == [duration_band(row.lasts) for row in sheet.rows[:2]] + ["not done"]
    assert "2500 m" in rows[1].text
    assert sheet.wanted is not None
    assert wanted_sentence(sheet.wanted) == shown.one(".wanted").text
    assert shown.one("h1").text == sheet.name
    assert shown.one(".kitchen").text == sheet.kitchen
    assert len(shown.named("models").all(".model")) == len(sheet.models)


def test_altitude_is_not_named_where_it_is_one() -> None:
    rows = read(bake_page(bake_of("leek-and-curd-pockets"))).one("table.bakes").one("tbody")
    assert " m" not in rows.one("th").text.replace(" min", "")


def test_what_concerns_all_bakes_is_said_once_and_the_rest_under_its_bake() -> None:
    sheet = several_bakes()
    bakes = read(bake_page(sheet)).named("bakes")
    said = [e.text for e in bakes.all("li.notice")]
    assert len(said) == 3
    assert [e.text for e in bakes.all(".which")] == [row_name(sheet.rows[1], altitude=True)]
    first, second = bakes.all("ul.notices")
    assert words(sheet.rows[0].notices[0]) in first.text
    assert words(sheet.notices[0]) in first.text
    assert words(sheet.rows[1].notices[1]) in second.text


def test_what_concerns_some_bakes_is_said_once_under_all_their_names() -> None:
    sheet = several_bakes()
    paler = sheet.rows[1].notices[1]
    first, second, third = sheet.rows
    rows = (first, second, replace(third, notices=(*third.notices, paler)))
    bakes = read(bake_page(replace(sheet, rows=rows))).named("bakes")
    names = "; ".join(row_name(row, altitude=True) for row in rows[1:])
    assert [e.text for e in bakes.all(".which")] == [names]
    assert bakes.text.count(words(paler)) == 1


def test_the_page_of_a_bake_needs_nothing_beside_it_and_holds_text_as_text() -> None:
    html = bake_page(replace(several_bakes(), name=NASTY, kitchen=NASTY))
    shown = read(html)
    assert html.startswith("<!DOCTYPE html>\n")
    assert shown.one("h1").text == shown.one(".kitchen").text == NASTY
    tags = {e.tag for e in shown.elements}
    assert tags & {"script", "link", "iframe", "object", "base", "img"} == set()
    attributes = [(k, v) for e in shown.elements for k, v in e.attributes.items()]
    assert [k for k, _ in attributes if k.startswith("on") or k == "style"] == []
    ids = [v for k, v in attributes if k == "id"]
    assert len(ids) == len(set(ids))
    links = {v.removeprefix("#") for k, v in attributes if k in {"href", "aria-labelledby"}}
    assert links <= set(ids)
    levels = [int(e.tag[1]) for e in shown.elements if re.fullmatch(r"h[1-6]", e.tag)]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    for table in shown.all("table"):
        assert table.all("caption")[0].text
        assert {e.attributes.get("scope") for e in table.all("th")} == {"col", "row"}


def test_each_model_says_how_far_off_it_may_be_and_what_was_read() -> None:
    models = page("leek-and-curd-pockets").named("models").all(".model")
    assert len(models) == len(planned("leek-and-curd-pockets").models)
    assert all(e.one("dl").all("dd")[1].text for e in models)
    treatise = known_sources()["treatise-on-baking"]
    assert any(treatise.title in e.text and treatise.read in e.text for e in models)


def test_the_usual_cautions_are_there_and_nothing_is_called_safe() -> None:
    said = page("leek-and-curd-pockets").named("cautions").text
    assert all(word in said for word in ("Raw flour", "raw egg", "burn", "allergens", "code"))
    assert not re.search(r"\bsafe\b", page("leek-and-curd-pockets").one("body").text)


# Notices


def notices(plan: BenchPlan) -> list[Notice]:
    found = [*plan.notices]
    for p in plan.preparations:
        found += [*p.notices, *(p.mix.advice if p.mix is not None else ())]
    found += plan.cost.notices if plan.cost is not None else ()
    return found + [n for row in plan.timeline.rows for n in row.notices]


@each_example
def test_every_notice_is_said_once(name: str) -> None:
    shown = " ".join(e.text for e in page(name).all("li.notice"))
    expected = [" ".join(words(n).replace("`", "").split()) for n in notices(planned(name))]
    assert len(page(name).all("li.notice")) == len(expected)
    assert [said for said in expected if shown.count(said) != 1] == []


def with_notices(*added: Notice) -> Element:
    plan = planned("leek-and-curd-pockets")
    return read(bench_plan_page(replace(plan, notices=added)))


SALT = ("salt-high", {"ratio": 0.035, "low": 0.01, "high": 0.022})
SALT_SAID = "Salt is 3.50 % of the flour; usual is 1.00 %–2.20 %."  # as in render.messages.words


@pytest.mark.parametrize(
    ("path", "place"),
    [
        (("preparations", "dough"), lambda e: e.named("weigh").all(".preparation")[1]),
        (("process", 3), lambda e: e.named("step-3")),
        (("process", 14), lambda e: e.named("step-9").named("step-14")),
        (("yield",), lambda e: e.named("cautions")),
        ((), lambda e: e.named("cautions")),
        (("preparations", "no such"), lambda e: e.named("cautions")),
        (("process", 99), lambda e: e.named("cautions")),
    ],
)
def test_a_notice_stands_beside_what_it_concerns(
    path: tuple[str | int, ...], place: Callable[[Element], Element]
) -> None:
    shown = with_notices(Notice.of(SALT[0], *path, **SALT[1]))
    assert SALT_SAID in place(shown).text
    assert shown.one("body").text.count(SALT_SAID) == 1


def test_a_notice_given_twice_is_said_once_and_the_gravest_first() -> None:
    note = Notice.of("sugar-slows", "preparations", "dough", ratio=0.06)
    care = Notice.of(SALT[0], "preparations", "dough", **SALT[1])
    said = with_notices(note, care, care).named("weigh").all(".preparation")[1].all("li.notice")
    weights = [e.attributes["class"].split()[1] for e in said]
    assert weights == ["care", "note", "note"]  # one note is the mix's own advice


def test_a_line_to_take_care_with_is_marked() -> None:
    lines = page("rye-and-wheat-hearth-loaf").named("weigh").all(".preparation")[0].all("th.what")
    assert [e.text for e in lines if e.all(".careful")] == ["instant yeast take care"]


def test_code_in_a_message_is_set_as_code() -> None:
    crowded = Notice.of("no-room-inside", "process", 7, step="make filling", early=600.0)
    step = with_notices(crowded).named("step-7")
    assert step.one("code").text == "for"
    assert "`" not in step.text


# What a baker writes is text, never markup

NASTY = "<b>&\"'</style><script>alert(1)</script>"


def test_names_notes_and_cues_are_text() -> None:
    plan = planned("rye-and-wheat-hearth-loaf")
    poolish, *others = plan.preparations
    line = replace(poolish.lines[0], name=NASTY, note=NASTY)
    poolish = replace(
        poolish, name=NASTY, style=NASTY, note=NASTY, lines=(line, *poolish.lines[1:])
    )
    row = replace(plan.timeline.rows[0], of=NASTY, cue=NASTY, note=NASTY, by=NASTY)
    shown = bench_plan_page(
        replace(
            plan,
            name=NASTY,
            note=NASTY,
            kitchen=replace(plan.kitchen, name=NASTY),
            preparations=(poolish, *others),
            timeline=replace(plan.timeline, rows=(row, *plan.timeline.rows[1:])),
            notices=(Notice.of("composition-unknown", "x", NASTY, name=NASTY),),
        )
    )
    tree = read(shown)
    assert tree.all("script") == []
    assert tree.one("h1").text == NASTY
    assert tree.named("step-0").text.count(NASTY) == 4
    assert tree.named("cautions").text.count(NASTY) == 2
    assert "<script" not in shown


# Readable in the light, in the dark and on paper

INKS = ("--ink", "--soft", "--now", "--care")
GROUNDS = ("--paper", "--now-paper")
LEAST_CONTRAST = 4.5
"""WCAG 2.2, success criterion 1.4.3, for text of any size."""


def style_text() -> str:
    folder = files("doughwright.render") / "styles"
    return "".join((folder / name).read_text("utf-8") for name in STYLES)


def colours(mode: str) -> dict[str, str]:
    """Custom properties that hold a colour, as they stand in one of the three modes."""
    text = (files("doughwright.render") / "styles/colours.css").read_text("utf-8")
    light, dark, paper = re.findall(r":root \{(.*?)\}", text, flags=re.DOTALL)
    assert text.index("prefers-color-scheme: dark") < text.index(dark)
    assert text.index("@media print") < text.index(paper)
    over = {"light": "", "dark": dark, "print": paper}[mode]
    return dict(re.findall(r"(--[\w-]+): (#[0-9a-f]{6});", light + over))


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour (WCAG 2.2, definitions)."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2, definitions)."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_of_black_and_white_and_of_a_known_grey() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    # #767676 is widely given as the lightest grey that passes on white (common practice, no source)
    assert contrast("#767676", "#ffffff") >= LEAST_CONTRAST > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("mode", ["light", "dark", "print"])
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("ink", INKS)
def test_every_ink_is_readable_on_every_ground(mode: str, ground: str, ink: str) -> None:
    shown = colours(mode)
    assert contrast(shown[ink], shown[ground]) >= LEAST_CONTRAST


def test_paper_is_white_and_the_ink_on_it_black() -> None:
    shown = colours("print")
    assert {shown[name] for name in GROUNDS} == {"#ffffff"}
    assert {shown[name] for name in ("--ink", "--now", "--care")} == {"#000000"}


def test_no_colour_is_used_that_the_contrast_test_does_not_see() -> None:
    style = re.sub(r":root \{.*?\}", "", style_text(), flags=re.DOTALL)
    assert not re.search(r"#[0-9a-fA-F]{3,8}\b(?!-)|\brgba?\(|\bhsl|opacity", style)
    assert set(re.findall(r"(?<![-\w])color: ([^;]+);", style)) <= {
        f"var({ink})" for ink in INKS
    } | {"inherit"}
    assert set(re.findall(r"background(?:-color)?: ([^;]+);", style)) <= {
        f"var({ground})" for ground in GROUNDS
    }


def test_both_schemes_are_offered_and_print_is_designed() -> None:
    style = style_text()
    assert re.search(r":root \{\s+color-scheme: light dark;", style)
    assert "size: A4" in style
    assert re.search(r"\.preparation, [^{}]*\{ break-inside: avoid; \}", style)
