"""What was typed and is not saved: taken back, kept, offered, met by somebody else's save."""

import re
from contextlib import suppress

from browsing import Opening, brought_in
from playwright.sync_api import Error, Locator, Page, Route, expect

STORES_DENIED = """
for (const name of ["localStorage", "sessionStorage"]) {
  Object.defineProperty(window, name, {
    get() { throw new DOMException("Access is denied for this document.", "SecurityError"); },
  });
}
"""
"""What a browser does whose owner lets pages keep nothing."""
IS_KEPT = """
amount => Object.entries(localStorage)
  .some(([name, draft]) => name.startsWith("draft:") && draft.includes(amount))
"""
IS_REMEMBERED = """
amount => Object.entries(sessionStorage)
  .some(([name, states]) => name.startsWith("undo:") && states.includes(amount))
"""
COMES_BACK = "dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))"
"""What a browser tells a page that it kept whole; Chromium keeps none that may not be stored."""
DRAFTS = "Object.keys(localStorage).filter(name => name.startsWith('draft:')).length"


def salt(page: Page) -> Locator:
    return page.get_by_label("Amount of salt in dough")


def milk(page: Page) -> Locator:
    return page.get_by_label("Amount of whole milk in dough")


def press(page: Page, word: str) -> None:
    page.get_by_role("button", name=word, exact=True).click()


def put(page: Page, field: Locator, amount: str) -> None:
    """Type an amount and wait until the page's text has it."""
    field.fill(amount)
    expect(page.locator("#now")).to_have_value(re.compile(re.escape(f": {amount}")))


def drafted(page: Page, amount: str) -> None:
    """Type an amount of salt and wait until it is kept as a draft."""
    put(page, salt(page), amount)
    page.wait_for_function(IS_KEPT, arg=amount)


def is_newest(page: Page, number: int, amount: str) -> None:
    """The page shows a revision as it was saved, with that amount of salt, and offers nothing."""
    expect(page.locator("#state")).to_have_text(f"As saved: revision {number}.")
    expect(salt(page)).to_have_value(amount)
    expect(page.locator("#draft")).to_be_hidden()


def is_offered(page: Page, over: str = "") -> None:
    words = rf"^Here are your unsaved changes from \d+:\d\d{over}\.$"
    expect(page.locator("#draft")).to_be_visible()
    expect(page.locator("#draft p").first).to_have_text(re.compile(words))


def saved_by_somebody(opened: Opening, path: str, amount: str) -> None:
    theirs = opened.page(path)
    put(theirs, salt(theirs), amount)
    press(theirs, "Save")
    is_newest(theirs, 2, amount)


def revisions(page: Page, opened: Opening, key: str, count: int) -> list[str]:
    """The amount of salt in each revision of a bread; there are no more than that many."""
    at = f"{opened.address}/api/library/formula/{key}"
    texts = [page.request.get(f"{at}?number={i + 1}").json()["text"] for i in range(count)]
    assert page.request.get(at).json()["number"] == count
    return [re.findall(r"salt: (.*)", text)[0] for text in texts]


def test_undo_takes_a_change_of_the_form_back_and_forward_again(opened: Opening) -> None:
    brought_in(opened, "Buns undone")
    page = opened.page("/breads/buns-undone")
    expect(page.get_by_role("button", name="Undo")).to_be_disabled()
    put(page, salt(page), "1.9 %")
    page.wait_for_function(IS_REMEMBERED, arg="1.9 %")
    put(page, milk(page), "60 %")
    press(page, "Undo")
    expect(milk(page)).to_have_value("58 %")
    expect(salt(page)).to_have_value("1.9 %")
    press(page, "Undo")
    expect(salt(page)).to_have_value("1.8 %")
    expect(page.locator("#figures")).to_contain_text("1.80 %")
    expect(page.get_by_role("button", name="Undo")).to_be_disabled()
    press(page, "Redo")
    expect(salt(page)).to_have_value("1.9 %")
    press(page, "Redo")
    expect(milk(page)).to_have_value("60 %")
    expect(page.get_by_role("button", name="Redo")).to_be_disabled()


def test_an_undo_without_an_answer_moves_nothing(opened: Opening) -> None:
    brought_in(opened, "Buns undone offline")
    page = opened.page("/breads/buns-undone-offline", quiet=False)  # a browser logs what fails
    put(page, salt(page), "1.9 %")
    page.wait_for_function(IS_REMEMBERED, arg="1.9 %")
    put(page, milk(page), "60 %")
    page.wait_for_function(IS_REMEMBERED, arg="60 %")
    page.context.set_offline(True)
    press(page, "Undo")
    expect(page.locator("#said")).to_contain_text("Doughwright does not answer.")
    page.context.set_offline(False)
    press(page, "Undo")
    expect(milk(page)).to_have_value("58 %")
    expect(salt(page)).to_have_value("1.9 %")


def test_undo_takes_a_change_of_the_text_back_and_forward_again(opened: Opening) -> None:
    brought_in(opened, "Buns undone as text")
    page = opened.page("/breads/buns-undone-as-text?view=text")
    text = page.get_by_label("The formula as text")
    before = text.input_value()
    after = before.replace("salt: 1.8 %", "salt: 2.2 %  # for the butter")
    text.fill(after)
    expect(page.locator("#figures")).to_contain_text("2.20 %")
    press(page, "Undo")
    expect(text).to_have_value(before)
    expect(page.locator("#figures")).to_contain_text("1.80 %")
    press(page, "Redo")
    expect(text).to_have_value(after)


def test_undo_is_still_there_after_a_reload(opened: Opening) -> None:
    brought_in(opened, "Buns undone later")
    page = opened.page("/breads/buns-undone-later")
    drafted(page, "1.9 %")
    page.reload()
    is_offered(page)
    press(page, "Undo")
    expect(salt(page)).to_have_value("1.9 %")


def test_a_draft_survives_a_reload_and_is_taken_up(opened: Opening) -> None:
    brought_in(opened, "Buns reloaded")
    page = opened.page("/breads/buns-reloaded")
    drafted(page, "1.9 %")
    page.reload()
    is_offered(page)
    expect(salt(page)).to_have_value("1.8 %")
    press(page, "Take them up")
    expect(salt(page)).to_have_value("1.9 %")
    expect(page.locator("#draft")).to_be_hidden()
    press(page, "Save")
    is_newest(page, 2, "1.9 %")
    assert page.url == f"{opened.address}/breads/buns-reloaded"
    assert page.evaluate(DRAFTS) == 0


def test_a_draft_of_a_crashed_tab_is_offered_to_another_and_thrown_away(opened: Opening) -> None:
    brought_in(opened, "Buns in a crash")
    page = opened.page("/breads/buns-in-a-crash")
    drafted(page, "1.9 %")
    with page.expect_event("crash"), suppress(Error):  # how the way there ends is no matter
        page.goto("chrome://crash")
    other = page.context.new_page()
    other.goto(f"{opened.address}/breads/buns-in-a-crash")
    is_offered(other)
    press(other, "Let them go")
    expect(other.locator("#draft")).to_be_hidden()
    other.reload()
    is_newest(other, 1, "1.8 %")
    assert other.evaluate(DRAFTS) == 0


def test_what_was_typed_as_a_tab_crashed_is_offered(opened: Opening) -> None:
    brought_in(opened, "Buns in a quick crash")
    page = opened.page("/breads/buns-in-a-quick-crash")
    salt(page).fill("3 %")
    with page.expect_event("crash"), suppress(Error):  # how the way there ends is no matter
        page.goto("chrome://crash")
    other = page.context.new_page()
    other.goto(f"{opened.address}/breads/buns-in-a-quick-crash")
    is_offered(other)
    press(other, "Take them up")
    expect(salt(other)).to_have_value("3 %")


def test_what_was_typed_just_before_a_link_is_offered_on_coming_back(opened: Opening) -> None:
    brought_in(opened, "Buns left at once")
    page = opened.page("/breads/buns-left-at-once")
    for back in (page.go_back, lambda: page.goto(f"{opened.address}/breads/buns-left-at-once")):
        salt(page).fill("3 %")
        page.get_by_role("link", name="Bench plan").click(no_wait_after=True)
        page.wait_for_url("**/plan")
        back()
        is_offered(page)
        expect(salt(page)).to_have_value("1.8 %")
        press(page, "Take them up")
        expect(salt(page)).to_have_value("3 %")
        press(page, "Undo")
        expect(salt(page)).to_have_value("1.8 %")
        page.wait_for_function(f"{DRAFTS} === 0")


def test_a_page_out_of_the_browsers_memory_offers_what_was_typed_in_it(opened: Opening) -> None:
    brought_in(opened, "Buns remembered")
    page = opened.page("/breads/buns-remembered")
    salt(page).fill("3 %")
    page.evaluate(COMES_BACK)
    is_offered(page)
    expect(salt(page)).to_have_value("1.8 %")


def test_an_answer_to_what_was_typed_before_lets_no_draft_go(opened: Opening) -> None:
    brought_in(opened, "Buns answered late")
    page = opened.page("/breads/buns-answered-late")
    held: list[Route] = []
    page.route("**/live", lambda route: held.append(route))
    with page.expect_request("**/live"):
        page.get_by_label(re.compile("What you changed")).fill("More salt")
    salt(page).fill("3 %")
    with page.expect_request("**/live"):  # the next goes once the first is answered
        held[0].continue_()
    assert page.evaluate(IS_KEPT, "3 %")
    held[1].continue_()
    expect(page.locator("#state")).to_contain_text("Changed since revision 1.")


def test_a_draft_is_there_until_the_answer_that_takes_it_up_has_come(opened: Opening) -> None:
    brought_in(opened, "Buns offline")
    page = opened.page("/breads/buns-offline", quiet=False)  # a browser logs what fails
    drafted(page, "1.9 %")
    page.reload()
    is_offered(page)
    page.context.set_offline(True)
    press(page, "Take them up")
    expect(page.locator("#said")).to_contain_text("Doughwright does not answer.")
    is_offered(page)
    page.context.set_offline(False)
    page.reload()
    is_offered(page)
    press(page, "Take them up")
    expect(salt(page)).to_have_value("1.9 %")


def test_undo_past_ones_own_save_is_saved_on_top_of_it(opened: Opening) -> None:
    brought_in(opened, "Buns saved and undone")
    page = opened.page("/breads/buns-saved-and-undone")
    put(page, salt(page), "1.9 %")
    press(page, "Save")
    is_newest(page, 2, "1.9 %")
    press(page, "Undo")
    expect(salt(page)).to_have_value("1.8 %")
    press(page, "Save")
    is_newest(page, 3, "1.8 %")


def test_undo_past_somebody_elses_save_does_not_go_over_it(opened: Opening) -> None:
    path = "/breads/buns-undone-by-two"
    brought_in(opened, "Buns undone by two")
    page = opened.page(path, quiet=False)  # a browser logs the refused save
    put(page, salt(page), "1.9 %")
    saved_by_somebody(opened, path, "2.1 %")
    page.goto(f"{opened.address}{path}")
    expect(salt(page)).to_have_value("2.1 %")
    press(page, "Undo")
    expect(salt(page)).to_have_value("1.9 %")
    press(page, "Save")
    expect(page.get_by_role("heading", name="What was changed meanwhile")).to_be_visible()
    assert revisions(page, opened, "buns-undone-by-two", 2) == ["1.8 %", "2.1 %"]


def test_a_browser_that_keeps_nothing_still_edits_and_saves(opened: Opening) -> None:
    brought_in(opened, "Buns not kept")
    page = opened.page("/breads")
    page.context.add_init_script(STORES_DENIED)
    page.goto(f"{opened.address}/breads/buns-not-kept")
    salt(page).fill("2")
    expect(salt(page)).to_have_attribute("aria-invalid", "true")
    put(page, salt(page), "2.2 %")
    expect(salt(page)).not_to_have_attribute("aria-invalid", "true")
    expect(page.locator("#told")).to_have_text("The numbers are up to date.")
    expect(page.get_by_role("button", name="Undo")).to_be_disabled()
    press(page, "Save")
    is_newest(page, 2, "2.2 %")


# --- two people


def conflict(opened: Opening, name: str) -> Page:
    """Somebody saved 2.1 % of salt while 1.9 % was typed: the page that asks what to do."""
    path = f"/breads/{name.casefold().replace(' ', '-')}"
    brought_in(opened, name)
    mine = opened.page(path, quiet=False)  # a browser logs the refused save
    drafted(mine, "1.9 %")
    saved_by_somebody(opened, path, "2.1 %")
    press(mine, "Save")
    both = mine.get_by_role("main")
    expect(both).to_contain_text("salt 1.8 → 1.9 %")
    expect(both).to_contain_text("salt 1.8 → 2.1 %")
    return mine


def test_two_changes_left_undecided_lose_neither(opened: Opening) -> None:
    page = conflict(opened, "Buns left alone")
    page.get_by_role("link", name="Kitchens").click()
    page.get_by_role("link", name="Breads").click()
    page.get_by_role("link", name="Buns left alone", exact=True).click()
    is_offered(page, ", made from revision 1")
    expect(salt(page)).to_have_value("2.1 %")
    press(page, "Take them up")
    expect(salt(page)).to_have_value("1.9 %")
    press(page, "Save")
    expect(page.get_by_role("heading", name="What was changed meanwhile")).to_be_visible()


def test_mine_on_top_is_the_newest_and_theirs_stays_in_the_history(opened: Opening) -> None:
    page = conflict(opened, "Buns on top")
    press(page, "Save mine on top")
    is_newest(page, 3, "1.9 %")
    assert revisions(page, opened, "buns-on-top", 3) == ["1.8 %", "2.1 %", "1.9 %"]
    assert page.evaluate(DRAFTS) == 0


def test_mine_beside_theirs_is_another_bread(opened: Opening) -> None:
    page = conflict(opened, "Buns beside")
    press(page, "Keep mine as another one")
    is_newest(page, 1, "1.9 %")
    assert page.url == f"{opened.address}/breads/buns-beside-2"
    assert revisions(page, opened, "buns-beside", 2) == ["1.8 %", "2.1 %"]
    page.goto(f"{opened.address}/breads/buns-beside")
    is_newest(page, 2, "2.1 %")


def test_who_takes_theirs_lets_their_own_go(opened: Opening) -> None:
    page = conflict(opened, "Buns given up")
    page.get_by_role("link", name="Take theirs").click()
    is_newest(page, 2, "2.1 %")
    assert revisions(page, opened, "buns-given-up", 2) == ["1.8 %", "2.1 %"]
    page.reload()
    is_newest(page, 2, "2.1 %")
