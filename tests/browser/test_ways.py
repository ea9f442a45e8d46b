"""The ways a baker goes through the pages, in a real browser before the real server."""

import re
from io import BytesIO
from unicodedata import normalize

import pytest
from browsing import Opening, brought_in, with_own_clock
from playwright.sync_api import expect
from pypdf import PdfReader


def test_the_first_ten_minutes_of_a_newcomer(opened: Opening) -> None:
    page = opened.page("/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Breads")
    page.get_by_role("link", name="Leek and curd pockets").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Leek and curd pockets")
    page.get_by_role("link", name="Bench plan").click()
    expect(page.get_by_role("heading", name="What to weigh, and how warm")).to_be_visible()
    page.get_by_label("Room", exact=True).fill("28 °C")
    expect(page.locator("#plan")).to_contain_text("room 28 °C")
    expect(page).to_have_url(re.compile("room=28"))
    page.get_by_role("link", name="Card").click()
    expect(page.get_by_role("heading", name="How it is done")).to_be_visible()


def test_a_change_is_seen_saved_and_told_in_the_trades_terms(opened: Opening) -> None:
    brought_in(opened, "Buns to change")
    page = opened.page("/breads/buns-to-change")
    figures = page.locator("#figures")
    expect(figures).to_contain_text("1.80 %")
    page.get_by_label("Amount of salt in dough").fill("2.0 %")
    expect(figures).to_contain_text("2.00 %")
    page.get_by_role("button", name=re.compile("^Save")).first.click()
    page.get_by_role("link", name="History").click()
    expect(page.get_by_role("main")).to_contain_text("salt 1.8 → 2.0 %")
    page.goto(f"{opened.address}/breads/buns-to-change?view=text")
    text = page.get_by_label("The formula as text")
    expect(text).to_have_value(re.compile("# my own comment stays"))
    expect(text).to_have_value(re.compile("salt: 2.0 %"))


def test_a_slip_is_said_beside_its_field_and_nothing_is_lost(opened: Opening) -> None:
    brought_in(opened, "Buns with a slip")
    page = opened.page("/breads/buns-with-a-slip")
    field = page.get_by_label("Amount of salt in dough")
    field.fill("2")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(page.get_by_role("main")).to_contain_text("“2” has no unit.")
    expect(page.locator("#figures")).to_contain_text("1.80 %")
    expect(field).to_have_value("2")
    field.fill("2.2 %")
    expect(page.locator("#figures")).to_contain_text("2.20 %")


def test_a_formula_is_edited_and_saved_without_script(opened: Opening) -> None:
    brought_in(opened, "Buns without script", script=False)
    page = opened.page("/breads/buns-without-script", script=False)
    page.get_by_label("Amount of salt in dough").fill("2.3 %")
    page.get_by_role("button", name="Work it out anew").click()
    expect(page.locator("#figures")).to_contain_text("2.30 %")
    page.get_by_role("button", name=re.compile("^Save")).first.click()
    page.goto(f"{opened.address}/breads/buns-without-script/history")
    expect(page.get_by_role("main")).to_contain_text("salt 1.8 → 2.3 %")


@pytest.mark.parametrize("script", [True, False])
def test_a_straight_dough_becomes_a_poolish_and_its_history_says_so(
    opened: Opening, *, script: bool
) -> None:
    name = "Straight with script" if script else "Straight without"
    page = opened.page("/breads/new", script=script)
    page.get_by_label("What it is called").fill(name)
    page.get_by_role("button", name="Begin it").click()
    page.get_by_role("link", name="Rework").click()
    preferment = page.get_by_role("form", name="With a preferment")
    preferment.get_by_label("Kind").select_option("poolish")
    preferment.get_by_label("Flour in it").fill("30")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="To poolish 30 %")).to_be_visible()
    expect(page.get_by_role("main")).to_contain_text("Nothing is saved yet")
    page.get_by_role("button", name="Take it up").click()
    page.get_by_role("link", name="History").click()
    newest = page.locator(".history > li").first
    expect(newest).to_contain_text("To poolish 30 %")
    expect(newest).to_contain_text("strong white flour 100 → 70 %")


@pytest.mark.parametrize("script", [True, False])
def test_a_pasted_recipe_is_asked_about_settled_and_becomes_a_bread(
    opened: Opening, *, script: bool
) -> None:
    name = "Pasted with script" if script else "Pasted without"
    page = opened.page("/breads", script=script)
    page.get_by_role("link", name="Gather a recipe").click()
    recipe = (
        f"{name}\n\n500 g strong white flour\n1 1/4 cups whole milk\n9 g salt\n7 g instant yeast\n"
    )
    page.get_by_label("The recipe", exact=True).fill(recipe)
    page.get_by_role("button", name="Make a draft").click()
    expect(page.get_by_role("main")).to_contain_text("whose measure is it?")
    expect(page.get_by_role("button", name="Make it a bread")).to_have_count(0)
    page.get_by_role("radio", name=re.compile("US cup")).check()
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_role("main")).to_contain_text("Nothing stands in the way")
    page.get_by_role("button", name="Make it a bread").click()
    expect(page.get_by_role("heading", level=1)).to_have_text(name)
    expect(page.get_by_label("Amount of whole milk in dough")).to_have_value("305 g")


@pytest.mark.parametrize("phone", [True, False])
def test_a_draft_is_there_again_on_the_way_back(opened: Opening, *, phone: bool) -> None:
    page = opened.page("/breads/gather", phone=phone)
    text = "500 g strong white flour\n1 cup whole milk\n9 g salt\n7 g instant yeast"
    page.get_by_label("The recipe", exact=True).fill(text)
    page.get_by_role("button", name="Make a draft").click()
    page.get_by_role("link", name="To the first question").click()
    expect(page.locator("#next")).to_be_focused()
    page.get_by_role("link", name="Breads", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Breads")
    page.go_back()
    expect(page.get_by_role("main")).to_contain_text("whose measure is it?")
    page.get_by_role("button", name="Begin anew").click()
    expect(page.get_by_label("The recipe", exact=True)).to_have_value(text)


def test_a_plan_is_made_without_script(opened: Opening) -> None:
    page = opened.page("/breads/leek-and-curd-pockets/plan", script=False, phone=True)
    page.get_by_label("Room", exact=True).fill("18 °C")
    page.get_by_role("button", name="Plan it").click()
    expect(page.locator("#plan")).to_contain_text("room 18 °C")
    expect(page.locator("#plan svg").first).to_be_attached()


def test_the_keyboard_alone_reaches_and_changes_everything(opened: Opening) -> None:
    page = opened.page("/breads?q=leek")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to the page")).to_be_focused()
    page.keyboard.press("Enter")
    for _ in range(page.locator("a, button, input, select, summary").count()):
        page.keyboard.press("Tab")
        link = page.evaluate("document.activeElement.closest('a')?.textContent")
        if link and "Leek and curd pockets" in link:
            break
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Leek and curd pockets")
    outline = "getComputedStyle(document.activeElement).outlineStyle"
    page.keyboard.press("Tab")
    assert page.evaluate(outline) != "none", "the focus is seen"


def test_a_phone_at_the_bench_marks_steps_and_keeps_its_clock(opened: Opening) -> None:
    page = opened.page("/breads/leek-and-curd-pockets/plan", phone=True)
    page.get_by_role("button", name=re.compile("Start at the bench")).first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Leek and curd pockets")
    begin = page.get_by_role("button", name="Begin now")
    if begin.count():
        begin.click()
    done = page.get_by_role("button", name=re.compile("^Done"))
    expect(done.first).to_be_visible()
    box = done.first.bounding_box()
    assert box is not None
    assert box["height"] >= 48, "a target for a floury thumb"
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    other = opened.page(page.url.removeprefix(opened.address), phone=True)
    first = page.locator(".at-hand .do").inner_text()
    done.first.click()
    expect(page.locator(".at-hand .do")).not_to_have_text(first)
    second = page.locator(".at-hand .do").inner_text()
    expect(other.locator(".at-hand .do")).to_have_text(second)
    page.reload()
    expect(page.locator(".at-hand .do")).to_have_text(second)


SOUNDS = """
window.tones = 0;
const made = AudioContext.prototype.createOscillator;
AudioContext.prototype.createOscillator = function () {
  window.tones += 1;
  return made.call(this);
};
"""


def test_the_bell_rings_after_one_tap_when_the_deadline_passes_asleep(opened: Opening) -> None:
    page = opened.page("/breads/leek-and-curd-pockets/plan", phone=True)
    page.context.add_init_script(SOUNDS)
    with_own_clock(page)
    page.get_by_role("button", name=re.compile("Start at the bench")).first.click()
    expect(page.locator("#bell")).to_be_visible()
    begin = page.get_by_role("button", name="Begin now")
    if begin.count():
        begin.click()
    if page.locator("#bell").get_attribute("aria-pressed") != "true":
        page.locator("#bell").tap()
    expect(page.locator("#bell")).to_have_text(re.compile("It will ring"))
    due = int(page.locator(".at-hand .ticks").first.get_attribute("data-due") or 0)
    before = page.evaluate("window.tones")
    page.clock.fast_forward(due - page.evaluate("Date.now()") + 5000)  # as after a sleep
    expect(page).to_have_title(re.compile("^●"))
    page.wait_for_function(f"window.tones > {before}")
    page.locator("h1").tap()
    expect(page).not_to_have_title(re.compile("^●"))


def test_a_slider_moves_the_plan_and_then_its_pictures(opened: Opening) -> None:
    page = opened.page("/breads/leek-and-curd-pockets/plan")
    before = page.locator("#plan svg").first.inner_html()
    slide = page.get_by_label("Room, slider")
    slide.focus()
    for _ in range(5):
        slide.press("ArrowRight")
    expect(page.get_by_label("Room", exact=True)).to_have_value(re.compile("°C"))
    warmer = page.get_by_label("Room", exact=True).input_value()
    expect(page.locator("#plan")).to_contain_text(f"room {warmer}")
    page.wait_for_function(
        "was => ![was, undefined].includes(document.querySelector('#plan svg')?.innerHTML)",
        arg=before,
    )


@pytest.mark.parametrize("end", ["plan.pdf", "plan.ics", "plan.html", "card.pdf", "card.txt"])
def test_a_bread_is_taken_away_as_a_file(opened: Opening, end: str) -> None:
    page = opened.page("/breads")
    answer = page.request.get(f"{opened.address}/breads/leek-and-curd-pockets/{end}")
    assert answer.status == 200
    assert len(answer.body()) > 500


def test_a_plan_is_printed_without_its_form(opened: Opening) -> None:
    page = opened.page("/breads/leek-and-curd-pockets/plan")
    page.emulate_media(media="print")
    expect(page.get_by_role("heading", name="What to weigh, and how warm")).to_be_visible()
    expect(page.locator("#ask")).to_be_hidden()
    expect(page.locator("header.top")).to_be_hidden()
    sheets = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True))).pages
    said = [" ".join(normalize("NFKC", sheet.extract_text()).split()) for sheet in sheets]
    assert len(said) <= 7
    first = " ".join(said[:2])  # weights and times
    for words in ("strong white flour", "egg wash", "Mix the sponge", "Cool the pieces"):
        assert words in first
    (rises,) = (each for each in said if "How it rises" in each)
    assert "Size, times that at the stage's start" in rises
