"""What is seen of a page: no value cut off, what is wanted first in reach, paper used well."""

import io
import re

import pytest
from browsing import DESK, PHONE, Opening
from playwright.sync_api import Page, expect
from pypdf import PdfReader

BREADS = (
    "cardamom-knots",
    "cold-retarded-tin-loaf",
    "leek-and-curd-pockets",
    "oat-and-honey-rolls",
    "potato-rolls",
    "rye-and-wheat-hearth-loaf",
    "scalded-pan-loaf",
    "seeded-flatbread",
)
CUT = """() => [...document.querySelectorAll('#editor input:not([type=hidden])')]
  .filter(field => field.offsetParent && field.scrollWidth > field.clientWidth + 1)
  .map(field => `${field.name}: ${field.value || field.placeholder}`)"""
"""Fields whose words are wider than they are, by more than a part of a pixel."""
OVER = """() => {
  const end = document.querySelector('.comes-to').getBoundingClientRect().left
    + document.querySelector('.comes-to').clientWidth + 1;
  return [...document.querySelectorAll('#figures *')]
    .filter(part => part.getBoundingClientRect().right > end).map(part => part.textContent);
}"""
"""What of the figures ends outside of their panel."""


@pytest.mark.parametrize("bread", BREADS)
def test_no_value_of_a_formula_is_cut_off(opened: Opening, bread: str) -> None:
    page = opened.page(f"/breads/{bread}")
    for size in (PHONE, DESK):
        page.set_viewport_size(size)  # type: ignore[arg-type]  # a typed dict of two sizes
        page.locator("#editor details").evaluate_all("all => all.forEach(d => { d.open = true; })")
        assert page.evaluate(CUT) == []
        assert page.evaluate(OVER) == []


def test_an_empty_field_shows_no_example_that_could_be_a_value(opened: Opening) -> None:
    page = opened.page("/breads/potato-rolls")
    shown = page.locator("#editor .labelled input").evaluate_all(
        "fields => fields.map(field => field.placeholder)"
    )
    examples = [words for words in shown if words]
    assert len(examples) > 10
    assert [words for words in examples if not words.startswith("such as ")] == []


def test_what_kind_another_preparation_has_is_asked_for_in_words(opened: Opening) -> None:
    page = opened.page("/breads/potato-rolls")
    kind = page.get_by_label("Kind of another preparation")
    assert kind.evaluate("select => select.selectedOptions[0].textContent") == "kind"
    assert kind.evaluate("select => getComputedStyle(select).appearance") != "none", "its arrow"


def test_a_new_bread_stands_over_the_list_and_its_tags_are_large_enough(opened: Opening) -> None:
    page = opened.page("/breads", phone=True)
    for name in ("New bread", "Bring in files"):
        box = page.get_by_role("link", name=name).bounding_box()
        assert box is not None
        assert box["y"] + box["height"] < PHONE["height"]
    tag = page.locator(".tags a").first.bounding_box()
    assert tag is not None
    assert tag["height"] >= 40


def test_the_bar_that_saves_leaves_a_phone_its_form(opened: Opening) -> None:
    page = opened.page("/breads/potato-rolls", phone=True)
    page.get_by_label("Amount of salt in dough").fill("2.1 %")
    expect(page.locator("#state")).to_contain_text("Changed")
    bar = page.locator(".save").bounding_box()
    assert bar is not None
    assert bar["height"] < PHONE["height"] / 6
    tops = {top(page, name) for name in ("Save", "Undo", "Redo")}
    assert len(tops) == 1, "one line"


def top(page: Page, button: str) -> float:
    box = page.get_by_role("button", name=button, exact=True).bounding_box()
    assert box is not None
    return round(box["y"])


def test_a_series_shows_its_notes_whole_and_its_buttons_in_one_line(opened: Opening) -> None:
    for phone in (True, False):
        page = opened.page("/series/harbour-lane", phone=phone)
        cut = page.locator("textarea").evaluate_all(
            "notes => notes.filter(n => n.scrollHeight > n.clientHeight).map(n => n.value)"
        )
        assert cut == []
        tops = page.locator(".bread .doings").nth(1).get_by_role("button")
        assert len({round(b["y"]) for one in tops.all() if (b := one.bounding_box())}) == 1


def test_a_printed_formula_fills_its_first_sheet_and_says_how_much_of_it(opened: Opening) -> None:
    page = opened.page("/breads/leek-and-curd-pockets")
    expect(page.locator("#figures")).to_contain_text("%")
    page.emulate_media(media="print")
    share = page.get_by_label(re.compile("How much of the sponge goes into the dough"))
    ink = "field => getComputedStyle(field, '::placeholder').color"
    assert share.get_attribute("placeholder") == "all of it"
    assert share.evaluate(ink) == "rgb(0, 0, 0)"
    expect(page.get_by_role("heading", name="Another preparation")).to_be_hidden()
    first = PdfReader(io.BytesIO(page.pdf(format="A4"))).pages[0].extract_text()
    assert "unsalted butter" in first, "the dough begins under the sponge"


COMPARED = "/compare?" + "&".join(
    f"bread={key}"
    for key in ("leek-and-curd-pockets", "potato-rolls", "scalded-pan-loaf", "cardamom-knots")
)
UNDER = "cell => getComputedStyle(cell, '::after').content"
SHADOWS = "box => getComputedStyle(box).backgroundAttachment"


def test_a_phone_shows_the_spread_under_the_middle_and_that_more_lies_to_the_right(
    opened: Opening,
) -> None:
    small, wide = opened.page(COMPARED, phone=True), opened.page(COMPARED)
    salts = [page.locator("tr", has_text="salt").first for page in (small, wide)]
    spread = salts[1].locator(".spread").inner_text().replace("\N{NO-BREAK SPACE}", " ")
    assert spread == "1.70–2.00 %"  # 1.8, 2, 2 and 1.7 % stand in these formulas
    under = salts[0].locator(".middle").evaluate(UNDER).replace("\N{NO-BREAK SPACE}", " ")
    assert under == f'"{spread}"'
    assert salts[1].locator(".middle").evaluate(UNDER) == "none"
    box = small.locator(".across").nth(1)
    assert box.evaluate("box => box.scrollWidth > box.clientWidth")
    assert box.evaluate(SHADOWS) == "local, scroll"


def test_a_range_of_a_rework_leaves_a_phone_its_width(opened: Opening) -> None:
    page = opened.page("/breads/potato-rolls/rework?wish=12+pieces", phone=True)
    assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0
    name = page.get_by_role("rowheader", name="hydration, all water").first
    assert name.evaluate("cell => cell.clientWidth") > 80  # a word of it fits in one line
