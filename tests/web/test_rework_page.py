"""The page that reworks a bread: before and after, what is refused, and taking it up."""

import re
from datetime import UTC, datetime
from html import unescape
from pathlib import Path as File
from typing import Any

import pytest
from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.engine.overall import hydration, prefermented_flour_ratio, salt_ratio
from doughwright.errors import DoughwrightError
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen, kitchen_from
from doughwright.reworking.rework import solved_document
from doughwright.reworking.wishes import EXAMPLES, rework_asked
from doughwright.store.library import Stored, history, newest, save
from doughwright.web.rework_wishes import WORDS, wish_words
from doughwright.web.starts import STRAIGHT_DOUGH

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
COMMENTED = STRAIGHT_DOUGH.replace("preparations:", "# my own comment stays\npreparations:")
KEY = "a-straight-dough"
PAGE = f"/breads/{KEY}/rework"
POCKETS = (File(__file__).parents[2] / "examples" / "leek-and-curd-pockets.yaml").read_text("utf-8")


@pytest.fixture
def browser(paired: Client) -> Client:
    """A browser that is let in, before a straight dough of 1 kg of flour and 65 % water."""
    save(COMMENTED, key=None, expected=0, message="First", now=NOW)
    return paired


def shown(answer: Any) -> str:
    """A page as it is read: no tags, plain blanks."""
    page = re.sub(r"<[^>]*>", " ", answer.content.decode())
    return " ".join(unescape(page).replace("\N{NO-BREAK SPACE}", " ").split())


def solved(stored: Stored) -> Any:
    """The solution of a bread as it is saved."""
    document = read_document(stored.text).document
    assert isinstance(document, FormulaDocument)
    return solved_document(document).solution


def taken_up(client: Client, *wishes: str, **said: str) -> Any:
    """Press a button under what was shown of the first revision."""
    return client.post(PAGE, {"expected": "1", "do": "save", **said, "wish": [*wishes]})


def test_a_wish_is_shown_before_and_after_and_nothing_is_saved(browser: Client) -> None:
    answer = browser.get(PAGE, {"wish": "poolish 30 %"})
    page = shown(answer)
    assert answer.status_code == 200
    assert "To poolish 30 %" in page
    assert "Nothing is saved yet" in page
    assert "prefermented flour 0.00 % 30.0 %" in page  # asked for
    assert "salt 2.00 % 2.00 %" in page  # as written
    assert "dough: strong white flour 100 → 70 %" in page  # what is left of 100 %
    assert "each ingredient, flour, water, salt" in page
    assert newest("formula", KEY).number == 1


def test_taken_up_it_is_a_revision_that_says_what_was_done(browser: Client) -> None:
    answer = taken_up(browser, "poolish 30 %", "hydration 68 %", message="To a poolish, wetter")
    assert (answer.status_code, answer["Location"]) == (303, f"/breads/{KEY}")
    now = newest("formula", KEY)
    assert (now.number, history("formula", KEY)[0].message) == (2, "To a poolish, wetter")
    assert "# my own comment stays" in now.text
    assert prefermented_flour_ratio(solved(now)) == pytest.approx(0.30, abs=1e-4)
    assert hydration(solved(now)) == pytest.approx(0.68, abs=1e-4)
    assert salt_ratio(solved(now)) == pytest.approx(0.02, abs=1e-6)


def test_the_message_that_is_offered_is_what_was_wished(browser: Client) -> None:
    page = browser.get(PAGE, {"wish": ["poolish 30 %", "12 pieces"]}).content.decode()
    assert 'value="To poolish 30 %, then 12 pieces"' in page


def test_what_was_saved_meanwhile_is_not_overwritten(browser: Client) -> None:
    other = COMMENTED.replace("salt: 2 %", "salt: 1.9 %")
    save(other, key=KEY, expected=1, message="Less salt", now=NOW)
    answer = taken_up(browser, "12 pieces")
    page = shown(answer)
    assert answer.status_code == 409
    assert "pieces 8 → 12" in page
    assert "salt 2 → 1.9 %" in page
    assert newest("formula", KEY).text == other


def test_it_can_be_kept_as_another_bread(browser: Client) -> None:
    answer = taken_up(browser, "12 pieces", do="another", name="A dozen")
    assert (answer.status_code, answer["Location"]) == (303, "/breads/a-dozen")
    assert solved(newest("formula", "a-dozen")).pieces == 12
    assert newest("formula", KEY).number == 1


def test_another_bread_needs_a_name(browser: Client) -> None:
    answer = taken_up(browser, "12 pieces", do="another", name=" ")
    assert answer.status_code == 422
    assert shown(answer).count("A bread needs a name.") == 2, "at the top and beside its field"
    assert 'aria-describedby="name-wrong"' in answer.content.decode()


def test_it_goes_into_the_formula_unsaved(browser: Client) -> None:
    page = browser.get(PAGE, {"wish": "12 pieces"}).content.decode()
    text = re.search(r'name="text" value="([^"]*)"', page)
    assert text is not None
    said = {"expected": "1", "view": "form", "do": "look", "text": unescape(text[1])}
    there = browser.post(f"/breads/{KEY}", said)
    assert "Changed since revision 1." in shown(there)
    assert "pieces 8 → 12" in shown(there)
    assert newest("formula", KEY).number == 1


def test_one_wish_or_the_last_of_several_is_taken_back(browser: Client) -> None:
    one = browser.get(PAGE, {"wish": "12 pieces"})
    assert "Nothing is saved yet. Take it back" in shown(one)
    assert f'<a href="{PAGE}">Take it back</a>' in one.content.decode()
    two = browser.get(PAGE, {"wish": ["12 pieces", "salt 1.8 %"]})
    assert "Nothing is saved yet. Take back the last wish" in shown(two)
    assert f'<a href="{PAGE}?wish=12+pieces">Take back the last wish</a>' in two.content.decode()


NOTHING_TO_DO = ("nothing-to-change", "no-scald", "no-preferment")
"""How a wish is refused that finds nothing in the bread to change."""


def test_no_example_is_offered_that_finds_nothing_to_change(browser: Client) -> None:
    save(POCKETS, key=None, expected=0, message="First", now=NOW)
    for key in (KEY, "leek-and-curd-pockets"):
        page = browser.get(f"/breads/{key}/rework").content.decode()
        page = page.replace("\N{NO-BREAK SPACE}", " ")
        part = page.partition('class="asked-for"')[2].partition("</ul>")[0]
        offered = re.findall(r">([^<]+)</a>", part)
        formula, kitchen = solved_document(_formula(key)), kitchen_from(None)
        wanted = [one for one in EXAMPLES if _changes(formula, kitchen, one)]
        assert offered == wanted, key


def _formula(key: str) -> FormulaDocument:
    document = read_document(newest("formula", key).text).document
    assert isinstance(document, FormulaDocument)
    return document


def _changes(formula: ResolvedFormula, kitchen: Kitchen, wish: str) -> bool:
    try:
        rework_asked(formula, kitchen, wish)
    except DoughwrightError as error:
        return error.problems[0].code not in NOTHING_TO_DO
    return True


AT_ODDS = """\
doughwright: formula/1
name: Rolls
yield: {pieces: 24, piece: 75 g}
preparations:
  dough:
    kind: dough
    ingredients: {flour: 1 kg, water: 650 g, salt: 20 g, yeast: 10 g}
"""


def test_a_yield_at_odds_with_its_lines_is_settled_by_saying_what_to_make(paired: Client) -> None:
    save(AT_ODDS, key=None, expected=0, message="First", now=NOW)
    page = paired.get("/breads/rolls/rework")
    assert "pieces of 75 g need" in shown(page)
    assert "Or say what to make" in shown(page)
    said = {"do": "size", "size": "pieces", "measure": "24", "piece": "75"}
    answer = paired.get("/breads/rolls/rework", said, follow=True)
    assert answer.status_code == 200
    assert "To 24 pieces of 75 g" in shown(answer)
    again = {"expected": "1", "do": "save", "wish": ["24 pieces of 75 g"]}
    assert paired.post("/breads/rolls/rework", again).status_code == 303
    assert solved(newest("formula", "rolls")).piece == pytest.approx(0.075, abs=1e-5)


# --- fields

FIELDS = [
    ("preferment", {"style": "biga", "share": "40"}, "biga 40 %"),
    ("preferment", {"style": "poolish", "time": "12 h", "at": "20"}, "poolish in 12 h at 20 °C"),
    ("straight", {"share": "what was typed beside it"}, "straight"),
    ("scald", {"scalded": "8 %"}, "scald 8 %"),
    ("size", {"size": "pieces", "measure": "12", "piece": "90"}, "12 pieces of 90 g"),
    ("size", {"size": "tin", "measure": "1.9"}, "tin 1.9 l"),
    ("size", {"size": "tray", "measure": "38 × 32 cm"}, "tray 38 x 32 cm"),
    ("size", {"size": "baked", "measure": "0.8 kg"}, "800 g baked"),
    ("size", {"size": "eggs", "measure": "large"}, "whole large eggs"),
    ("size", {"size": "eggs", "measure": ""}, "whole eggs"),
    ("aim", {"aim": "hydration", "target": "68"}, "hydration 68 %"),
    ("swap", {"new": "fresh yeast", "old": "instant yeast"}, "fresh yeast for instant yeast"),
    ("swap", {"new": "rye flour", "old": "wheat", "part": "20"}, "rye flour for 20 % of wheat"),
    ("time", {"step": "ferment dough", "within": "12 h", "place": "the fridge"},
     "ferment dough in 12 h at fridge"),
]  # fmt: skip


@pytest.mark.parametrize(("do", "fields", "words"), FIELDS)
def test_fields_are_put_in_the_words_of_the_command_line(
    do: str, fields: dict[str, str], words: str
) -> None:
    assert wish_words(do, fields) == words


DONE = [row for row in FIELDS if row[2] in {"biga 40 %", "tin 1.9 l", "hydration 68 %"}]


@pytest.mark.parametrize(("do", "fields", "words"), DONE)
def test_what_fields_ask_for_has_an_address_of_its_own(
    browser: Client, do: str, fields: dict[str, str], words: str
) -> None:
    answer = browser.get(PAGE, {"wish": "12 pieces", "do": do, **fields}, follow=True)
    assert answer.redirect_chain[0][1] == 302
    assert f"To 12 pieces, then {words}" in shown(answer)


WRONG = [
    ("aim", {"aim": "salt", "target": "much"}, "target", "“much” is not understood here."),
    ("aim", {"aim": "salt", "target": ""}, "target", "Nothing is written here."),
    ("aim", {"aim": "salt", "target": "60–70 %"}, "target", "“60–70 %” is not understood here."),
    ("size", {"size": "pieces", "measure": "a dozen"}, "measure", "“a dozen” is not a count."),
    ("size", {"size": "tin", "measure": "big"}, "measure", "“big” is not understood here."),
    ("preferment", {"style": "poolish", "time": "long"}, "time", "“long” is not understood here."),
    ("preferment", {"style": "poolish", "at": "porch"}, "at", "“porch” is not understood here."),
    (
        "swap",
        {"new": "honey", "old": "butter"},
        "new",
        "There is no butter in the dough to change.",
    ),
    (
        "swap",
        {"new": "sunflower oil", "old": "butter", "part": "50"},
        "part",
        "Only a flour is swapped in part",
    ),
    ("own", {"own": "polish 30 %"}, "own", "“polish 30 %” is no rework that is known."),
]


@pytest.mark.parametrize(("do", "fields", "blamed", "says"), WRONG)
def test_what_is_refused_stands_beside_its_field_with_what_was_typed(
    browser: Client, do: str, fields: dict[str, str], blamed: str, says: str
) -> None:
    answer = browser.get(PAGE, {"wish": "12 pieces", "do": do, **fields})
    page = answer.content.decode()
    assert answer.status_code == 422
    beside = page[page.index(f'id="{do}-wrong"') :].split("</span>")[0]
    assert says in unescape(beside).replace("\N{NO-BREAK SPACE}", " ")
    tag = re.search(rf'<input id="{blamed}"[^>]*>', page)
    assert tag is not None
    assert f'value="{fields.get(blamed, "")}"' in unescape(tag[0])
    assert 'aria-invalid="true"' in tag[0]
    assert "To 12 pieces" in shown(answer), "what was done before is still there"


def test_a_limit_is_stated_and_nothing_is_taken_up(browser: Client) -> None:
    answer = taken_up(browser, "poolish 90 %")  # 90 % poolish takes more than the 65 % water
    assert answer.status_code == 422
    assert newest("formula", KEY).number == 1


def test_more_wishes_than_are_done_at_once_are_said(browser: Client) -> None:
    answer = browser.get(PAGE, {"wish": [f"{n} pieces" for n in range(2, 12)]})
    assert answer.status_code == 422
    assert "Not done yet: 10 pieces, 11 pieces." in shown(answer)


def test_a_formula_that_cannot_be_followed_says_why(browser: Client) -> None:
    broken = COMMENTED.replace("strong white flour: 100 %", "strong white flour: 90 %")
    save(broken, key=KEY, expected=1, message="", now=NOW)
    answer = browser.get(PAGE)
    assert answer.status_code == 422
    assert "cannot be reworked as long as it cannot be followed" in shown(answer)


def test_every_example_is_answered_and_offered(browser: Client) -> None:
    save(POCKETS, key=None, expected=0, message="", now=NOW)
    for example in EXAMPLES:
        answer = browser.get("/breads/leek-and-curd-pockets/rework", {"wish": example})
        assert answer.status_code in {200, 422}, example
        assert 'href="/breads/leek-and-curd-pockets/rework?wish=' in answer.content.decode()


def test_words_are_shown_as_words(browser: Client) -> None:
    answer = browser.get(PAGE, {"wish": '"><script>alert(1)</script>'})
    assert answer.status_code == 422
    assert b"<script>alert" not in answer.content
    assert "&lt;script&gt;" in answer.content.decode()


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(do=st.sampled_from([*WORDS, "?"]), said=st.text(max_size=300), other=st.text(max_size=12))
def test_no_words_break_the_page(browser: Client, do: str, said: str, other: str) -> None:
    names = ("own", "style", "share", "time", "at", "scalded", "size", "measure", "piece")
    more = ("aim", "target", "new", "old", "part", "step", "within", "place")
    fields = dict.fromkeys((*names, *more), said) | {"at": other, "piece": other, "share": other}
    answer = browser.get(PAGE, {"do": do, **fields})
    assert answer.status_code in {302, 422}
