"""Every page in a real browser: rules of access, narrow and wide, light and dark, with no script.

The fixture ``opened`` also fails a test whose page said anything on the console or asked for
anything from another machine.
"""

import pytest
from axe_playwright_python.sync_playwright import Axe
from browsing import Opening
from playwright.sync_api import Page, expect

BREAD = "/breads/leek-and-curd-pockets"
PAGES = (
    "/breads",
    "/breads/new",
    "/breads/import",
    BREAD,
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
        expect(page.locator("h1")).to_have_count(1)
        assert sent(page) < MOST_SENT, "what a first visit sends"
        assert violations(page) == []
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= page.viewport_size["width"], "no sideways scroll"


@pytest.mark.parametrize("path", PAGES)
def test_a_page_is_whole_without_script(opened: Opening, path: str) -> None:
    page = opened.page(path, phone=True, script=False, quiet=path != "/nothing-here")
    expect(page.locator("h1")).to_have_count(1)
    expect(page.locator("main")).to_be_visible()
    for button in page.get_by_role("button").all():
        form = button.evaluate("b => b.form && b.form.action")
        assert form or button.get_attribute("formaction"), button.inner_text()
