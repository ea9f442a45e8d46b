"""The formula page: with and without script, what is wrong, what is saved, what attacks it."""

import html
import re
from datetime import UTC, datetime
from html.parser import HTMLParser
from pathlib import Path as File
from typing import Any
from urllib.parse import urlencode

import pytest
from django.test import Client

from doughwright.documents.editing import SetValue, edited
from doughwright.documents.formula import MOST_LINES, MOST_OWN, MOST_STEPS
from doughwright.documents.nodes import LARGEST_TEXT
from doughwright.store.library import history, newest, save
from doughwright.web.formula_form import form_of

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
POCKETS = (File(__file__).parents[2] / "examples" / "leek-and-curd-pockets.yaml").read_text("utf-8")
KEY = "leek-and-curd-pockets"
PAGE = f"/breads/{KEY}"
FORM = "application/x-www-form-urlencoded"
SALT = "v:preparations/dough/ingredients/salt/amount"


@pytest.fixture
def browser(paired: Client) -> Client:
    """A browser that is let in, before a library with one bread."""
    save(POCKETS, key=None, expected=0, message="First", now=NOW)
    return paired


def shown(answer: Any) -> str:
    """A page as it is read, blanks before units as plain ones."""
    return answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")


def fields_of(page: str) -> dict[str, str]:
    """What a browser without script would send of the editor's form."""
    page = re.sub("\r\n?", "\n", page)  # as any browser reads it
    form = page[page.index('<form id="editor"') :].split("</form>")[0]
    found: dict[str, str] = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name, value = re.search(r' name="([^"]*)"', tag), re.search(r' value="([^"]*)"', tag)
        if name:
            found[html.unescape(name[1])] = html.unescape(value[1]) if value else ""
    for name, value in re.findall(
        r'<textarea[^>]* name="([^"]*)"[^>]*>\n?(.*?)</textarea>', form, re.DOTALL
    ):
        found[html.unescape(name)] = html.unescape(value)
    for name, choices in re.findall(
        r'<select[^>]* name="([^"]*)"[^>]*>(.*?)</select>', form, re.DOTALL
    ):
        chosen = re.search(r"<option selected>(.*?)</option>", choices)
        found[html.unescape(name)] = html.unescape(chosen[1]) if chosen else ""
    return found


def pressed(client: Client, do: str, page: str = "", **typed: str) -> Any:
    """Press a button of the page, with what was typed."""
    fields = fields_of(page or shown(client.get(PAGE)))
    said = {name: value.replace("\n", "\r\n") for name, value in {**fields, **typed}.items()}
    return client.post(PAGE, {**said, "do": do})


def typing(client: Client, typed: dict[str, str], page: str = "") -> Any:
    """What a key press is answered with."""
    fields = fields_of(page or client.get(PAGE).content.decode())
    return client.post(f"{PAGE}/live", {**fields, **typed}, headers={"HX-Request": "true"})


def part(page: str, mark: str) -> str:
    """The element with an id, without its tags."""
    start = page.index(f'id="{mark}"')
    inner = page[page.index(">", start) + 1 :]
    return " ".join(re.sub(r"<[^>]*>", " ", inner[:1500]).split())


def attributes(page: str) -> set[str]:
    """The names of all attributes of a page."""
    found: set[str] = set()

    class Reader(HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            del tag
            found.update(name for name, _ in attrs)

    Reader().feed(page)
    return found


def test_the_page_shows_fields_and_what_they_come_to(browser: Client) -> None:
    page = shown(browser.get(PAGE))
    assert fields_of(page)[SALT] == "1.8 %"
    assert part(page, "n:p0-1").startswith("230 g 48.0 % of all flour 160.0 % of its flour")
    assert "hydration, all water 51.9 % hydration, liquids only 48.0 %" in part(page, "figures")
    assert part(page, "state").startswith("As saved: revision 1.")


def test_every_label_leads_to_a_field_and_every_id_is_there_once(browser: Client) -> None:
    page = browser.get(PAGE).content.decode()
    ids = re.findall(r' id="([^"]*)"', page)
    assert len(ids) == len(set(ids))
    for attribute in ("for", "aria-describedby", "aria-labelledby", "list"):
        assert set(re.findall(rf' {attribute}="([^"]*)"', page)) <= set(ids), attribute
    form = page[page.index('<form id="editor"') :].split("</form>")[0]
    for tag in re.findall(r"<(?:input|select|textarea)[^>]*>", form):
        named = 'type="hidden"' in tag or "aria-label=" in tag
        assert named or f'for="{re.search(r" id=.([^ ]*?). ", tag)[1]}"' in page, tag  # type: ignore[index]  # it has an id


def test_the_form_as_the_page_shows_it_is_the_identical_text(browser: Client) -> None:
    answer = pressed(browser, "look")
    assert fields_of(answer.content.decode())["text"] == POCKETS
    assert "As saved" in part(shown(answer), "state")


def test_a_key_press_is_answered_around_the_fields(browser: Client) -> None:
    answer = shown(typing(browser, {SALT: "2.0 %"}))
    assert f'name="{SALT}"' not in answer
    assert "salt 2.00 %" in part(answer, "figures")
    assert part(answer, "n:p1-2").startswith("9.6 g")
    assert part(answer, "state").startswith("Changed since revision 1.")
    assert part(answer, "changes").startswith("dough: salt 1.8 → 2.0 %")
    now = html.unescape(re.search(r'id="now" value="([^"]*)"', answer)[1])  # type: ignore[index]  # it is there
    path = ("preparations", "dough", "ingredients", "salt", "amount")
    assert now == edited(POCKETS, [SetValue(path, "2.0 %")])


def test_what_is_wrong_is_said_beside_its_field_and_the_numbers_stay(browser: Client) -> None:
    answer = shown(typing(browser, {SALT: "2"}))
    assert f'data-field="{SALT}"' in answer
    assert "“2” has no unit" in part(answer, "m:p1-2")
    assert 'id="figures"' not in answer
    assert "The numbers are those from before: look at dough, salt." in part(answer, "state")


def test_without_script_nothing_typed_is_lost_by_a_button(browser: Client) -> None:
    answer = pressed(
        browser,
        "down:process/@4",
        **{SALT: "2", "v:note": "Two\nlines", "message": "why", "n:preparations/sponge": "dough"},
    )
    page = shown(answer)
    fields = fields_of(page)
    assert (fields[SALT], fields["v:note"], fields["message"]) == ("2", "Two\nlines", "why")
    assert fields["n:preparations/sponge"] == "dough"  # cannot be: the other is called so
    assert fields["n:process/@5/divide"] == "divide"
    assert page.count('aria-invalid="true"') == 2
    assert "salt 1.80 %" in part(page, "figures")  # the last numbers there were


def test_the_last_good_numbers_are_those_of_the_last_good_text(browser: Client) -> None:
    good = shown(pressed(browser, "look", **{SALT: "2.2 %"}))
    bad = shown(pressed(browser, "look", good, **{SALT: "2"}))
    assert "salt 2.20 %" in part(bad, "figures")


def test_saving_makes_a_revision_with_its_message(browser: Client) -> None:
    answer = pressed(browser, "save", **{SALT: "2.0 %", "message": "A little more salt"})
    assert (answer.status_code, answer.headers["Location"]) == (303, PAGE)
    latest = newest("formula", KEY)
    assert (latest.number, latest.message) == (2, "A little more salt")
    assert latest.text == POCKETS.replace("salt: 1.8 %", "salt: 2.0 %")


@pytest.mark.parametrize(
    "text",
    [
        POCKETS.replace("\n", "\r\n"),
        POCKETS.replace("\n", "\r"),
        POCKETS.replace("salt: 1.8 %\n", "salt: 1.8 %\r\n"),
        POCKETS.replace("\n", "\r\n").replace("salt: 1.8 %\r\n", "salt: 1.8 %\n"),
    ],
    ids=["windows", "old mac", "one of windows", "one of unix"],
)
def test_line_ends_of_the_author_stay(paired: Client, text: str) -> None:
    save(text, key=None, expected=0, message="", now=NOW)
    as_text = shown(pressed(paired, "view-text"))
    assert "As saved: revision 1." in as_text
    for page in ("", as_text):
        assert pressed(paired, "save", page).status_code == 303
        assert newest("formula", KEY).number == 1
    pressed(paired, "save", **{SALT: "2.0 %"})
    assert newest("formula", KEY).text == text.replace("salt: 1.8 %", "salt: 2.0 %")


@pytest.mark.parametrize(
    "typed",
    [{SALT: "2"}, {"n:preparations/dough/ingredients/salt": "egg"}, {"v:process/@0/mix": ""}],
)
def test_what_cannot_be_saved_is_shown_again(browser: Client, typed: dict[str, str]) -> None:
    answer = pressed(browser, "save", **typed)
    assert answer.status_code == 422
    name, value = typed.popitem()
    assert fields_of(answer.content.decode())[name] == value
    assert len(history("formula", KEY)) == 1


def test_two_people_are_shown_both_texts_and_nothing_is_saved(browser: Client) -> None:
    mine = shown(browser.get(PAGE))
    theirs = POCKETS.replace("sugar: 7 %", "sugar: 6 %")
    save(theirs, key=KEY, expected=1, message="Less sugar", now=NOW)
    answer = pressed(browser, "save", mine, **{SALT: "2.0 %"})
    page = shown(answer)
    assert answer.status_code == 409
    assert "dough: salt 1.8 → 2.0 %" in page
    assert "dough: sugar 7 → 6 %" in page
    assert newest("formula", KEY).text == theirs


def test_a_changed_text_ends_its_lines_as_most_of_them_did(paired: Client) -> None:
    save(POCKETS.replace("\n", "\r\n", 1), key=None, expected=0, message="", now=NOW)
    changed = POCKETS.replace("salt: 1.8 %", "salt: 2.0 %")
    pressed(paired, "save", shown(pressed(paired, "view-text")), text=changed)
    assert newest("formula", KEY).text == changed


def test_the_text_view_is_the_same_text(browser: Client) -> None:
    page = browser.get(f"{PAGE}?view=text").content.decode()
    assert fields_of(page)["text"] == POCKETS
    changed = pressed(browser, "view-form", page, text=POCKETS.replace("1.8 %", "1.9 %"))
    assert fields_of(changed.content.decode())[SALT] == "1.9 %"
    back = pressed(browser, "view-text", changed.content.decode(), **{SALT: "1.7 %"})
    assert fields_of(back.content.decode())["text"] == POCKETS.replace("1.8 %", "1.7 %")


def test_a_text_that_is_not_yaml_stays_a_text(browser: Client) -> None:
    page = browser.get(f"{PAGE}?view=text").content.decode()
    broken = POCKETS.replace("yield: {", "yield: [")
    answer = pressed(browser, "view-form", page, text=broken)
    assert fields_of(answer.content.decode())["text"] == broken
    assert "Line 10:" in part(shown(answer), "elsewhere")
    assert "view-form" not in answer.content.decode()
    assert "Line 10:" in part(shown(typing(browser, {"text": broken}, page)), "elsewhere")


def test_an_unknown_ingredient_is_mended_by_a_press(browser: Client) -> None:
    name = "n:preparations/sponge/ingredients/strong%20white%20flour"
    typed = shown(typing(browser, {name: "stong white flour"}))
    do = html.unescape(re.search(r'value="(use:[^"]*)"', typed)[1])  # type: ignore[index]  # it is there
    answer = pressed(browser, do, **{name: "stong white flour"})
    assert fields_of(answer.content.decode())["text"] == POCKETS
    own = html.unescape(re.search(r'value="(own:[^"]*)"', typed)[1])  # type: ignore[index]  # it is there
    mine = pressed(browser, own, **{name: "stong white flour"})
    assert "n:ingredients/stong%20white%20flour" in fields_of(mine.content.decode())


def test_a_button_leads_on_to_the_next_field(browser: Client) -> None:
    page = pressed(browser, "step-after:process/@4").content.decode()
    (focused,) = re.findall(r"<(?:input|select|button|textarea)[^>]* autofocus[^>]*>", page)
    assert 'name="n:process/@5/rest"' in focused


# --- attacks


HOSTILE = "<script>alert(1)</script>\" onfocus=x ' & %41/@2:"


def test_names_are_words_whatever_they_look_like(browser: Client) -> None:
    typed = {
        "n:preparations/dough": HOSTILE,
        "n:preparations/dough/ingredients/salt": HOSTILE,
        "v:note": HOSTILE,
        SALT: HOSTILE,
        "message": HOSTILE,
    }
    for answer in (pressed(browser, "look", **typed), typing(browser, typed)):
        page = answer.content.decode()
        assert answer.status_code == 200
        assert "<script>alert" not in page
        assert not [name for name in attributes(page) if name.startswith("on")]
    page = pressed(browser, "look", **typed).content.decode()
    again = pressed(browser, "look", page).content.decode()
    fields = fields_of(again)
    assert fields["message"] == fields["v:note"] == HOSTILE
    steps = POCKETS.count("dough\n", POCKETS.index("process:"))
    assert list(fields.values()).count(HOSTILE) == 5 + steps
    assert fields["text"] == fields_of(page)["text"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("x: " + "y" * 300_000, "262144"),
        ("a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n", "anchor"),
        ("a: " + "[" * 90_000, "deep"),
        ("\x00", "YAML"),
    ],
)
@pytest.mark.parametrize("view", ["text", "form"])
def test_a_hostile_text_gets_one_clear_error(
    browser: Client, text: str, says: str, view: str
) -> None:
    for address in (PAGE, f"{PAGE}/live"):
        answer = browser.post(address, {"text": text, "view": view, "expected": "1", "do": "save"})
        assert answer.status_code in {200, 422}
        assert says in shown(answer)
        assert "Traceback" not in shown(answer)
    assert len(history("formula", KEY)) == 1


@pytest.mark.parametrize("sign", ["ж", "🥖"])
@pytest.mark.parametrize("view", ["text", "form"])
def test_the_longest_text_there_may_be_can_be_saved(browser: Client, sign: str, view: str) -> None:
    short = edited(POCKETS, [SetValue(("note",), sign)])
    longest = short.replace(f"note: {sign}", "note: " + sign * (LARGEST_TEXT - len(short)))
    save(longest, key=KEY, expected=1, message="", now=NOW)
    fields = fields_of(shown(browser.get(f"{PAGE}?view={view}")))
    fields |= {"good": longest, "do": "save"}  # the last text that had numbers comes along
    longer = longest.replace("note: ", f"note: {sign}", 1)
    if view == "form":
        fields["v:note"] += sign
    else:
        fields["text"] = longer
    answer = browser.post(PAGE, urlencode(fields), content_type=FORM)
    assert answer.status_code == 303
    assert newest("formula", KEY).number == 3
    assert len(newest("formula", KEY).text) == LARGEST_TEXT


def test_a_formula_with_all_it_may_have_is_a_form_that_can_be_saved(browser: Client) -> None:
    flour = "  p0: {kind: dough, ingredients: {strong white flour: 500 g, water: 300 g}}\n"
    own = "".join(f"  own {i}: {{like: salt}}\n" for i in range(MOST_OWN))
    inside = ", ".join(f"own {i}: 1 g" for i in range(MOST_LINES - 2 - 29))
    lines = flour.replace(
        "}}", f", {inside}}}, from: [{', '.join(f'p{i}' for i in range(1, 30))}]}}"
    )
    soakers = "".join(f"  p{i}: {{kind: soaker, ingredients: {{}}}}\n" for i in range(1, 30))
    steps = "process:\n" + "  - shape: p0\n" * MOST_STEPS
    head = "doughwright: formula/1\nname: Full\npreparations:\n"
    text = f"{head}{lines}{soakers}{steps}ingredients:\n{own}"
    assert save(text, key="full", expected=0, message="", now=NOW).number == 1
    fields = fields_of(shown(browser.get("/breads/full")))
    assert len(fields) > 3000
    answer = browser.post("/breads/full", {**fields, "v:note": "Full to the brim.", "do": "save"})
    assert answer.status_code == 303
    assert "Full to the brim." in newest("formula", "full").text


def test_a_preparation_may_be_called_as_the_page_calls_its_rows(browser: Client) -> None:
    text = POCKETS.replace("sponge", "p0").replace("kind: preferment", "kind: prefermet")
    answer = browser.post(PAGE, {"text": text, "view": "text", "expected": "1", "do": "view-form"})
    assert answer.status_code == 200
    assert "“prefermet” is not a known word here" in shown(answer)


def test_a_formula_with_more_than_it_may_have_is_text_with_the_reason(browser: Client) -> None:
    text = POCKETS.replace("process:\n", "process:\n" + "  - fold: dough\n" * MOST_STEPS)
    answer = browser.post(PAGE, {"text": text, "view": "text", "expected": "1", "do": "save"})
    assert answer.status_code == 422
    assert f"steps; it may have {MOST_STEPS}" in shown(answer)
    again = browser.post(PAGE, {"text": text, "view": "text", "expected": "1", "do": "view-form"})
    assert again.status_code == 200
    assert '<textarea id="text"' in shown(again)
    assert len(history("formula", KEY)) == 1


def test_too_many_fields_are_one_clear_error(browser: Client) -> None:
    fields = {f"v:x{i}": "1" for i in range(10_001)}
    for address in (PAGE, f"{PAGE}/live"):
        answer = browser.post(address, fields)
        assert answer.status_code == 413
        assert "too much at once" in shown(answer)


def test_fields_the_form_does_not_have_do_nothing(browser: Client) -> None:
    strange = {
        "v:process/@999/mix": "x",
        "v:a/b/c": "x",
        "n:name": "x",
        "l:note": "x",
        "a:x/name": "y",
    }
    answer = pressed(browser, "save", **strange)
    assert answer.status_code == 303
    assert newest("formula", KEY).number == 1


@pytest.mark.parametrize("expected", ["", "0", "99", "-1", "x" * 50, "٣"])
def test_a_revision_that_is_not_there_saves_nothing(browser: Client, expected: str) -> None:
    answer = pressed(browser, "save", **{SALT: "2.0 %", "expected": expected})
    assert answer.status_code == 409
    assert len(history("formula", KEY)) == 1


def test_a_bread_that_is_not_there(browser: Client) -> None:
    assert browser.get("/breads/rye-brioche").status_code == 404
    assert browser.post("/breads/rye-brioche/live").status_code == 404
    assert browser.get(f"{PAGE}/live").status_code == 405


def test_a_large_formula_stays_within_the_bounds_of_a_form() -> None:
    """Sixty lines and forty steps: far more than a bread has."""
    lines = "".join(f"      water ({i}): 1 %\n" for i in range(60))
    steps = "".join(f"  - bake: dough\n    note: Step {i}\n" for i in range(40))
    head = "doughwright: formula/1\nname: Large\npreparations:\n  dough:\n    kind: dough\n"
    form = form_of(f"{head}    ingredients:\n{lines}process:\n{steps}")
    assert sum(len(row.fields) for row in form.rows) < 1000
