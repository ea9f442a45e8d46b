"""The formula page as it is typed into: Enter, what is added and where one stands then."""

import re

from browsing import Opening, brought_in
from playwright.sync_api import Page, expect

IN_SIGHT = """() => {
  const at = document.activeElement.getBoundingClientRect();
  const bar = document.querySelector('.save').getBoundingClientRect();
  return at.top >= 0 && at.bottom <= Math.min(bar.top, innerHeight);
}"""
"""Whether the field one stands in is seen, not under the bar that saves."""


def buns(opened: Opening, name: str, **kinds: bool) -> Page:
    """The formula page of buns with a name of their own."""
    brought_in(opened, name)
    return opened.page(f"/breads/{name.casefold().replace(' ', '-')}", **kinds)


def text(page: Page) -> str:
    """The text that the form comes to."""
    return page.locator("#now").input_value()


def comes_to(page: Page, words: str) -> None:
    """Wait until the text has these words."""
    expect(page.locator("#now")).to_have_value(re.compile(re.escape(words)))


def stands_at(page: Page, label: str) -> None:
    """That field has the focus and is seen."""
    expect(page.get_by_label(label, exact=True)).to_be_focused()
    page.wait_for_function(IN_SIGHT)


def with_poolish(opened: Opening, name: str) -> Page:
    """Buns with a poolish that nothing takes yet."""
    page = buns(opened, name)
    page.get_by_label("Name of another preparation", exact=True).fill("poolish")
    page.get_by_label("Kind of another preparation", exact=True).select_option("preferment")
    page.get_by_role("button", name="Add it", exact=True).click()
    stands_at(page, "Another ingredient of the poolish")
    for flour, amount in (("strong white flour", "30 %"), ("water", "30 %")):
        page.get_by_label("Another ingredient of the poolish", exact=True).fill(flour)
        page.get_by_label("Amount of another ingredient of the poolish", exact=True).fill(amount)
        page.keyboard.press("Enter")
        expect(page.get_by_label(f"Amount of {flour} in poolish")).to_have_value(amount)
        stands_at(page, "Another ingredient of the poolish")  # the focus comes with the answer
    page.get_by_label("Amount of strong white flour in dough").fill("70 %")
    comes_to(page, "strong white flour: 70 %")
    return page


# --- Enter


def test_enter_beside_save_saves_with_what_was_written(opened: Opening) -> None:
    page = buns(opened, "Buns saved by Enter")
    page.get_by_label("Amount of salt in dough").fill("2 %")
    message = page.get_by_label(re.compile("What you changed"))
    message.fill("A little more salt")
    message.press("Enter")
    expect(page.locator("#state")).to_have_text("As saved: revision 2.")
    page.get_by_role("link", name="History").click()
    expect(page.get_by_role("main")).to_contain_text("A little more salt")


def test_enter_in_a_field_stays_in_it_and_works_the_numbers_out(opened: Opening) -> None:
    page = buns(opened, "Buns with Enter", phone=True)
    page.evaluate("window.here = true")
    field = page.get_by_label("Amount of salt in dough")
    field.fill("2.2 %")
    field.press("Enter")
    expect(page.locator("#figures")).to_contain_text("2.20 %")
    expect(field).to_be_focused()
    assert page.evaluate("window.here"), "the page stayed"
    expect(page.locator("#state")).to_contain_text("Changed since revision 1.")


def test_enter_without_script_works_it_out_and_saves_nothing(opened: Opening) -> None:
    page = buns(opened, "Buns with plain Enter", script=False)
    field = page.get_by_label("Amount of salt in dough")
    field.fill("2.2 %")
    field.press("Enter")
    expect(page.locator("#figures")).to_contain_text("2.20 %")
    expect(page.locator("#state")).to_contain_text("Changed since revision 1.")


# --- where one stands


def test_enter_in_an_empty_row_adds_it_and_stands_in_the_next(opened: Opening) -> None:
    for phone in (True, False):
        page = buns(opened, f"Buns with more {'small' if phone else 'large'}", phone=phone)
        name = page.get_by_label("Another ingredient of the dough", exact=True)
        name.fill("honey")
        page.get_by_label("Amount of another ingredient of the dough", exact=True).fill("2 %")
        name.press("Enter")
        expect(page.get_by_label("Amount of honey in dough")).to_have_value("2 %")
        stands_at(page, "Another ingredient of the dough")
        page.get_by_label("Another step, what is done", exact=True).select_option("cool")
        page.get_by_label("Another step, what it is done to", exact=True).fill("dough")
        page.keyboard.press("Enter")
        expect(page.get_by_label("Step 7, what is done")).to_have_value("cool")
        stands_at(page, "Another step, what is done")


def test_what_is_added_without_script_is_where_the_page_opens(opened: Opening) -> None:
    page = buns(opened, "Buns with more and no script", script=False)
    name = page.get_by_label("Another ingredient of the dough", exact=True)
    name.fill("honey")
    name.press("Enter")
    stands_at(page, "Another ingredient of the dough")


def test_another_preparation_stands_before_the_dough_and_is_gone_to(opened: Opening) -> None:
    for phone in (True, False):
        page = buns(opened, f"Buns with poolish {'small' if phone else 'large'}", phone=phone)
        page.get_by_label("Name of another preparation", exact=True).fill("poolish")
        page.get_by_role("button", name="Add it", exact=True).click()
        stands_at(page, "Kind of poolish")
        titles = page.get_by_label(re.compile("^Name of preparation")).all()
        assert [title.input_value() for title in titles] == ["poolish", "dough"]
        page.get_by_role("button", name="Add it", exact=True).click()
        stands_at(page, "Name of another preparation")


def test_an_own_ingredient_that_is_added_opens_and_is_gone_to(opened: Opening) -> None:
    page = buns(opened, "Buns with ube", phone=True)
    page.get_by_label("Another", exact=True).fill("ube paste")
    page.keyboard.press("Enter")
    own = page.get_by_role("region", name="ube paste")
    expect(own.get_by_label("Like")).to_be_focused()
    page.wait_for_function(IN_SIGHT)


# --- one preparation takes another


def test_a_dough_is_let_take_what_nothing_takes(opened: Opening) -> None:
    page = with_poolish(opened, "Buns with poolish left")
    page.get_by_role("button", name="Let the dough take all of the poolish").click()
    stands_at(page, "How much of the poolish goes into the dough")
    assert "from: [poolish]" in text(page)
    expect(page.locator("#state")).to_have_attribute("data-problems", "0")


def test_a_preparation_typed_as_an_ingredient_is_taken(opened: Opening) -> None:
    page = with_poolish(opened, "Buns with poolish typed")
    page.get_by_label("Another ingredient of the dough", exact=True).fill("Poolish")
    comes_to(page, "from: [poolish]")
    page.keyboard.press("Enter")
    expect(page.get_by_label("How much of the poolish goes into the dough")).to_have_value("")
    stands_at(page, "Another ingredient of the dough")
    expect(page.locator("#state")).to_have_attribute("data-problems", "0")


def test_a_preparation_with_an_amount_is_taken_by_one_press(opened: Opening) -> None:
    page = with_poolish(opened, "Buns with poolish weighed")
    page.get_by_label("Another ingredient of the dough", exact=True).fill("poolish")
    page.get_by_label("Amount of another ingredient of the dough", exact=True).fill("60 %")
    expect(page.get_by_role("main")).to_contain_text("“poolish” is another preparation")
    page.get_by_role("button", name="Take all of the poolish", exact=True).click()
    stands_at(page, "How much of the poolish goes into the dough")
    assert "from: [poolish]" in text(page)
    assert "poolish: 60 %" not in text(page)


def test_an_ingredient_renamed_to_a_preparation_is_taken_by_one_press(opened: Opening) -> None:
    page = with_poolish(opened, "Buns with poolish renamed")
    page.get_by_label("Ingredient, whole milk in dough").fill("poolish")
    page.get_by_role("button", name="Take all of the poolish", exact=True).click()
    stands_at(page, "How much of the poolish goes into the dough")
    assert "from: [poolish]" in text(page)
    assert "poolish: 58 %" not in text(page)


def test_steps_of_a_preparation_stand_before_the_mix_of_what_takes_it(opened: Opening) -> None:
    page = with_poolish(opened, "Buns with poolish worked")
    page.get_by_role("button", name="Let the dough take all of the poolish").click()
    expect(page.get_by_label("How much of the poolish goes into the dough")).to_be_visible()
    for i, verb in enumerate(("mix", "ferment")):
        page.get_by_label("Another step, what is done", exact=True).select_option(verb)
        page.get_by_label("Another step, what it is done to", exact=True).fill("poolish")
        page.keyboard.press("Enter")
        expect(page.get_by_label(f"Step {i + 1}, what it is done to")).to_have_value("poolish")
        stands_at(page, f"Step {i + 1}, what is done")
    assert re.findall(r"- (\w+: \w+)", text(page))[:3] == [
        "mix: poolish",
        "ferment: poolish",
        "mix: dough",
    ]


# --- what is typed


def test_what_is_wrong_with_the_salt_is_said_at_the_salt(opened: Opening) -> None:
    page = buns(opened, "Buns with sea water")
    field = page.get_by_label("Amount of salt in dough")
    field.fill("20 %")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#editor [aria-invalid=true]")).to_have_count(1)


def test_a_decimal_comma_is_read_and_written_as_a_point(opened: Opening) -> None:
    page = buns(opened, "Buns with a comma")
    field = page.get_by_label("Amount of salt in dough")
    field.fill("2,1 %")
    comes_to(page, "salt: 2.1 %")
    expect(page.locator("#figures")).to_contain_text("2.10 %")
    expect(field).not_to_have_attribute("aria-invalid", "true")
    field.fill("1,250 g")
    expect(page.get_by_role("main")).to_contain_text("may mean a decimal or a thousand")
    expect(field).to_have_attribute("aria-invalid", "true")
