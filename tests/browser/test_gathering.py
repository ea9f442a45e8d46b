"""A recipe gathered in a real browser: what was answered and typed is not lost on the way."""

import re

from browsing import Opening
from playwright.sync_api import Page, expect

PAGE = "/breads/gather"
RECIPE = """\
Orange rolls

4 1/4 cups plain flour
2-3 tbsp orange juice
300 ml whole milk
9 g salt
7 g instant yeast

Bake at 200 °C for 20 minutes.
"""


def drafted(opened: Opening, *, phone: bool = False, quiet: bool = True) -> Page:
    """A recipe pasted and read; whose cups it means is still asked."""
    page = opened.page(PAGE, phone=phone, quiet=quiet)
    expect(page.locator("#had")).to_be_hidden()
    page.get_by_label("The recipe").fill(RECIPE)
    page.get_by_role("button", name="Make a draft").click()
    expect(page.get_by_role("heading", name="Asked of the whole recipe")).to_be_visible()
    return page


def answered(opened: Opening, *, phone: bool = False, quiet: bool = True) -> Page:
    """The same with its cups said."""
    page = drafted(opened, phone=phone, quiet=quiet)
    page.get_by_label("US cup").check()
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_role("main")).to_contain_text("Nothing stands in the way")
    return page


def test_the_way_back_leads_to_what_was_answered(opened: Opening) -> None:
    page = answered(opened)
    page.go_back()
    expect(page.get_by_role("main")).to_contain_text("1 thing is to be settled")
    expect(page.get_by_label("US cup")).to_be_checked()


def test_what_was_gathered_is_offered_again(opened: Opening) -> None:
    page = answered(opened)
    page.get_by_role("link", name="Breads", exact=True).click()
    page.goto(f"{opened.address}{PAGE}")
    expect(page.locator("#had p").first).to_have_text(re.compile("“Orange rolls”"))
    page.get_by_role("button", name="Go on with it").click()
    expect(page.get_by_role("main")).to_contain_text("Nothing stands in the way")
    expect(page.get_by_role("main")).to_contain_text("Settled: US cup")
    page.goto(f"{opened.address}{PAGE}")
    page.get_by_role("button", name="Let it go").click()
    expect(page.locator("#had")).to_be_hidden()
    page.reload()
    expect(page.get_by_label("The recipe")).to_have_value("")
    expect(page.locator("#had")).to_be_hidden()


def test_what_became_a_bread_is_not_offered(opened: Opening) -> None:
    page = answered(opened, quiet=False)  # the refusal is logged
    page.get_by_label("What it is called").fill("")
    page.get_by_role("button", name="Make it a bread").click()
    expect(page.locator("#name-wrong")).to_have_text(re.compile("^A bread needs a name"))
    expect(page.get_by_label("What it is called")).to_be_focused()
    page.goto(f"{opened.address}{PAGE}")
    page.get_by_role("button", name="Go on with it").click()
    page.get_by_label("What it is called").fill("Orange rolls of a tab")
    page.get_by_role("button", name="Make it a bread").click()
    page.wait_for_url("**/breads/orange-rolls-of-a-tab")
    page.goto(f"{opened.address}{PAGE}")
    expect(page.locator("#had")).to_be_hidden()


RIGHT_END = """
line => [...line.querySelectorAll(".margin")].map(amount => {
  const words = document.createRange();
  words.selectNodeContents(amount);
  return amount.getBoundingClientRect().right - words.getBoundingClientRect().right;
})
"""
"""How far left of the line each amount ends; below zero it runs over."""


def test_a_range_of_weights_has_room_beside_its_ingredient(opened: Opening) -> None:
    for phone in (True, False):
        page = answered(opened, phone=phone)
        expect(page.locator(".drafted").first).to_contain_text("30.99–46.49 g")
        assert min(page.locator(".drafted").first.evaluate(RIGHT_END)) >= 0
        name = f"Rolls with a range {'small' if phone else 'wide'}"
        page.get_by_label("What it is called").fill(name)
        page.get_by_role("button", name="Make it a bread").click()
        amount = page.get_by_label("Amount of orange juice in dough")
        expect(amount).to_have_value("30.99–46.49 g")
        assert amount.evaluate("field => field.scrollWidth <= field.clientWidth")
        wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        assert wide <= 0
