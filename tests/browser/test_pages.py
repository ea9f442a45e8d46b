"""Every page in a real browser: rules of access, narrow and wide, light and dark, with no script.

The fixture ``opened`` also fails a test whose page said anything on the console or asked for
anything from another machine.
"""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from browsing import DESK, PHONE, Opening
from playwright.sync_api import Page, expect

BREAD = "/breads/leek-and-curd-pockets"
PAGES = (
    "/breads",
    "/breads?q=nothing-is-called-so",
    "/breads?away=yes",
    "/breads/new",
    f"{BREAD}/copy",
    f"{BREAD}/history/1",
    "/series/new",
    "/kitchens/new",
    "/kitchens/harbour-lane/copy",
    "/breads/import",
    "/compare",
    "/compare?bread=leek-and-curd-pockets&bread=potato-rolls&bread=scalded-pan-loaf",
    "/breads/gather",
    BREAD,
    f"{BREAD}/rework",
    f"{BREAD}/rework?wish=straight&wish=12+pieces",
    f"{BREAD}?view=text",
    f"{BREAD}/plan?start=2026-03-01T09:00",
    f"{BREAD}/card?measures=yes&sizes=6,8,10",
    f"{BREAD}/kitchens?rooms=18°C,22°C,27°C",
    f"{BREAD}/history",
    "/breads/rye-and-wheat-hearth-loaf",
    "/series",
    "/series/harbour-lane",
    "/kitchens",
    "/kitchens/harbour-lane",
    "/kitchens/harbour-lane?view=text",
    "/ingredients",
    "/ingredients?q=ricotta",
    "/ingredients/own",
    "/devices",
    "/api",
    "/nothing-here",
)
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
RULES = {"runOnly": {"type": "tag", "values": WCAG}}


def violations(page: Page) -> list[str]:
    """What axe finds, as rule and place."""
    found = Axe().run(page, options=RULES).response["violations"]
    return [f"{v['id']}: {n['target']} {n['failureSummary']}" for v in found for n in v["nodes"]]


MOST_SENT = 100_000


def sent(page: Page) -> int:
    """Bytes that a first visit of a page sends."""
    return int(
        page.evaluate(
            "performance.getEntriesByType('navigation')[0].transferSize"
            " + performance.getEntriesByType('resource').reduce((s, r) => s + r.transferSize, 0)"
        )
    )


@pytest.mark.parametrize("path", PAGES)
def test_a_page_keeps_the_rules_of_access(opened: Opening, path: str) -> None:
    for phone, dark in ((True, False), (False, True)):
        page = opened.page(path, phone=phone, dark=dark, quiet=path != "/nothing-here")
        assert sent(page) < MOST_SENT, "what a first visit sends"
        keeps_the_rules(page)


def keeps_the_rules(page: Page) -> None:
    expect(page.locator("h1")).to_have_count(1)
    assert violations(page) == []
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= page.viewport_size["width"], "no sideways scroll"


def keeps_them_light_and_dark(page: Page) -> None:
    for scheme, size in (("light", PHONE), ("dark", DESK), ("dark", PHONE)):
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]  # one of two words
        page.set_viewport_size(size)  # type: ignore[arg-type]  # a typed dict of two sizes
        keeps_the_rules(page)


def test_the_page_that_lets_a_browser_in_keeps_the_rules(opened: Opening) -> None:
    opened.page("/devices").get_by_role("button", name="Let another device in").click()
    invited = opened.contexts[-1].pages[0]
    expect(invited.locator("main svg")).to_be_visible()
    keeps_them_light_and_dark(invited)
    stranger = opened.page("/pair", known=False)
    keeps_them_light_and_dark(stranger)


def test_the_bench_keeps_the_rules(opened: Opening) -> None:
    page = opened.page(f"{BREAD}/plan")
    page.get_by_role("button", name=re.compile("Start at the bench")).first.click()
    page.get_by_role("button", name=re.compile("^Done")).first.click()
    keeps_them_light_and_dark(page)


def test_what_is_refused_on_the_way_keeps_the_rules(opened: Opening) -> None:
    wrong = opened.page(f"{BREAD}/plan?room=warm&pieces=-3", quiet=False)  # refused: 422
    expect(wrong.get_by_role("main")).to_contain_text("“warm” is not understood here.")
    keeps_them_light_and_dark(wrong)
    files = opened.page("/breads/import")
    given = {"name": "odd.yaml", "mimeType": "text/yaml", "buffer": b"doughwright: formula/1\n"}
    files.locator('input[type="file"]').first.set_input_files([given])  # type: ignore[list-item]  # a typed dict
    files.get_by_role("button", name=re.compile("Bring")).first.click()
    expect(files.get_by_role("main")).to_contain_text("1 refused")
    keeps_them_light_and_dark(files)


def test_a_wish_that_cannot_be_keeps_the_rules(opened: Opening) -> None:
    page = opened.page(f"{BREAD}/rework?do=aim&aim=salt&target=much", quiet=False)  # refused: 422
    expect(page.get_by_label("On the flour")).to_have_attribute("aria-invalid", "true")
    keeps_them_light_and_dark(page)


def test_a_draft_with_all_it_asks_keeps_the_rules(opened: Opening) -> None:
    page = opened.page("/breads/gather")
    text = "500 g strong flour\n1 cup milk\n2 eggs\na pinch of love\nsome butter\nbutter or oil\n"
    page.get_by_label("The recipe", exact=True).fill(text)
    page.get_by_role("button", name="Make a draft").click()
    expect(page.get_by_role("main")).to_contain_text("to be settled")
    keeps_them_light_and_dark(page)


def test_two_changes_side_by_side_keep_the_rules(opened: Opening) -> None:
    both = [opened.page("/kitchens/home-in-the-hills", quiet=False) for _ in range(2)]
    for page, note in zip(both, ("mine", "theirs"), strict=True):
        page.get_by_label("Note").first.fill(note)
        page.get_by_role("button", name=re.compile("^Save")).first.click()
        page.wait_for_load_state()
    expect(both[1].get_by_role("main")).to_contain_text("Two changes")
    keeps_them_light_and_dark(both[1])


@pytest.mark.parametrize("path", PAGES)
def test_a_page_is_whole_without_script(opened: Opening, path: str) -> None:
    page = opened.page(path, phone=True, script=False, quiet=path != "/nothing-here")
    expect(page.locator("h1")).to_have_count(1)
    expect(page.locator("main")).to_be_visible()
    for button in page.get_by_role("button").all():
        form = button.evaluate("b => b.form && b.form.action")
        assert form or button.get_attribute("formaction"), button.inner_text()
