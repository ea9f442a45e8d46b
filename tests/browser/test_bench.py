"""At the bench with a phone: what is tapped without a network, what lies under the thumb."""

import re

from browsing import Opening, with_own_clock
from playwright.sync_api import Page, expect

UNDER = """button => {
  const box = button.getBoundingClientRect();
  const seen = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
  return button.contains(seen);
}"""
"""Whether a tap on the middle of a button reaches it."""
IS_IN_VIEW = """element => {
  const box = element.getBoundingClientRect();
  return box.top >= 0 && box.bottom <= innerHeight;
}"""


def at_bench(opened: Opening, *, clock: bool = False, quiet: bool = True) -> Page:
    page = opened.page("/breads/leek-and-curd-pockets/plan", phone=True, quiet=quiet)
    if clock:
        with_own_clock(page)
    page.get_by_role("button", name=re.compile("Start at the bench")).first.click()
    begin = page.get_by_role("button", name="Begin now")
    if begin.count():
        begin.click()
    expect(page.locator(".at-hand h2")).to_have_text("Now")
    return page


def at_hand(page: Page) -> str:
    return page.locator(".at-hand .do").inner_text()


def test_a_tap_without_a_network_is_said_to_wait_and_goes_out_when_it_is_back(
    opened: Opening,
) -> None:
    page = at_bench(opened, quiet=False)  # a browser logs what fails
    first = at_hand(page)
    page.context.set_offline(True)
    page.locator(".at-hand .main").tap()
    expect(page.locator("#said")).to_contain_text("is not marked yet")
    page.wait_for_timeout(3000)
    assert at_hand(page) == first
    page.context.set_offline(False)
    expect(page.locator(".at-hand .do")).not_to_have_text(first)
    expect(page.locator("#said")).to_be_empty()
    page.reload()
    assert at_hand(page) != first


def test_a_tap_that_is_repeated_when_the_network_is_back_counts_once(opened: Opening) -> None:
    page = at_bench(opened, quiet=False)  # a browser logs what fails
    page.route("**/steps/0", lambda route: route.abort())
    page.locator(".at-hand .main").tap()
    expect(page.locator("#said")).to_contain_text("is not marked yet")
    page.unroute("**/steps/0")
    page.locator(".at-hand .main").tap()
    expect(page.locator("#said")).to_be_empty()
    second = at_hand(page)
    page.evaluate("dispatchEvent(new Event('online'))")
    page.wait_for_timeout(500)
    assert at_hand(page) == second


def test_a_mark_the_server_refuses_is_said_to_be_none(opened: Opening) -> None:
    page = at_bench(opened, quiet=False)  # a browser logs what fails
    page.route("**/steps/0", lambda route: route.fulfill(status=500))
    page.locator(".at-hand .main").tap()
    expect(page.locator("#said")).to_have_text(re.compile("^Not marked: .* Tap again"))


def test_done_lies_under_the_thumb_at_once_and_what_is_next_comes_into_view(
    opened: Opening,
) -> None:
    page = at_bench(opened)
    done = page.locator(".at-hand .main")
    assert done.evaluate(IS_IN_VIEW)
    assert done.evaluate(UNDER)
    page.locator(".at-hand .weights").evaluate("weights => weights.scrollIntoView()")
    first = at_hand(page)
    done.tap()
    expect(page.locator(".at-hand .do")).not_to_have_text(first)
    assert page.locator(".at-hand h2").evaluate(IS_IN_VIEW)
    assert page.locator(".at-hand .do").evaluate(IS_IN_VIEW)


def rung(opened: Opening) -> Page:
    """A bench whose first step was over five seconds ago."""
    page = at_bench(opened, clock=True)
    due = int(page.locator(".at-hand .ticks").first.get_attribute("data-due") or 0)
    page.clock.fast_forward(due - page.evaluate("Date.now()") + 5000)
    expect(page.locator("#said")).to_contain_text("It is time to look.")
    return page


def test_what_rings_covers_no_button_and_goes_with_a_tap(opened: Opening) -> None:
    page = rung(opened)
    for down in (0, 200, 400):
        page.evaluate("down => scrollTo(0, down)", down)
        assert page.locator(".at-hand .main").evaluate(UNDER)
    page.locator(".at-hand .do").tap()
    expect(page.locator("#said")).to_be_empty()


def test_what_rings_goes_after_a_while(opened: Opening) -> None:
    page = rung(opened)
    page.clock.fast_forward(61_000)
    expect(page.locator("#said")).to_be_empty()
