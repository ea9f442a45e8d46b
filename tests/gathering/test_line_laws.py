"""What holds for every line, however odd: nothing is raised, nothing is lost."""

import random
import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from doughwright.gathering.gathered import Amount, Item, Settings
from doughwright.gathering.lines.items import items_of
from doughwright.gathering.lines.names import described
from doughwright.gathering.lines.numerals import plain
from doughwright.gathering.weighing.masses import mass_of

LINES = 10_000
_SCRAPS = """
½ ¼ 1½ 1 2 1/2 1-1/2 2–3 3-4 100 500 1.250 1,5 0 00 1/0 -5 a an half dozen g kg mg oz lb ml dl l
cup cups tbsp tsp fl.oz pint pinch dash handful knob sachet cube stick ball tin can x × ( ) [ ] { }
, ; : . .. ... - – — / + & % = | ~ of or and plus with minus less about up to large small heaped
scant generous flour strong bread water milk eggs egg yolk butter salt kosher yeast fresh dried
sugar honey lemon juice zest raisins soaked in beaten for dusting glazing taste each if no clarified
36°C 200 °C 400°F 20 min 9" T55 type 550 2% NaN ∞ ١٢ ２００ ｇ ﷽ ß ﬁ İ ǅ ㎏ ¹⁄₂ ' ’ “ ” • ▢ [x]
"""
SCRAPS = (*_SCRAPS.split(), "\u200b", "\u00ad", "\ufeff", "\x00", "\ud800", "\t", "")
JOINTS = {"plus", "and", "with", "or", "of", "x", "in"}
"""Words that join two ingredients: what they join is told by the items."""


def odd_line(chance: random.Random) -> str:
    """Scraps of recipes with unicode between them, glued or spaced."""
    glue = chance.choice((" ", " ", ""))
    return glue.join(
        chance.choice(SCRAPS) if chance.random() < 0.93 else chr(chance.randrange(0x110000))
        for _ in range(chance.randint(1, 14))
    )


def parts_of(amount: Amount) -> tuple[Amount, ...]:
    inside = (amount.package,) if amount.package else ()
    return (amount, *amount.more, *amount.same, *inside)


def every_item(items: tuple[Item, ...]) -> list[Item]:
    return [one for item in items for one in (item, *item.alternatives)]


def check(line: str) -> None:
    items = items_of(line, "fuzz", 3)
    if items is None:
        return
    assert items
    for item in every_item(items):
        assert (item.origin.text, item.origin.line) == (line, 3)
        if item.amount is not None:
            assert all(a.low <= a.best <= a.high for a in parts_of(item.amount))
    assert lost_words(line, items) == []


def lost_words(line: str, items: tuple[Item, ...]) -> list[str]:
    """Words of a line that stand in no item; a number before a list's stop is not one."""
    kept: list[str] = []
    for item in every_item(items):
        kept += [item.name, item.note, *(amount.words for _, amount in item.columns)]
        kept += [item.amount.words, *item.amount.modifiers] if item.amount else []
    body = re.sub(r"^\s*\d{1,2}[.)]\s", " ", plain(line))
    held = set(words_in(" ".join(kept)))
    return [word for word in words_in(body) if word not in held | JOINTS]


def words_in(text: str) -> list[str]:
    """Words without case; a times sign behind a number is none ("2x eggs")."""
    return re.findall(r"\w+", re.sub(r"(?<=[\d½¼₂])x", " ", text.casefold()))


def test_ten_thousand_odd_lines_raise_nothing_and_lose_nothing() -> None:
    chance = random.Random(20260101)  # noqa: S311 - a seed, no secret
    for _ in range(LINES):
        check(odd_line(chance))


@given(st.text(max_size=60))
@example("½½ g")
@example("1 x 1 x 1 x 7 g sachet sachet")
@example("(" * 50 + "1 g")
@example("1 g " * 400)
@example("or " * 300)
def test_any_text_is_items_or_none(line: str) -> None:
    items = items_of(line, "fuzz", 3)
    assert items is None or all(item.origin.text == line for item in items)


@pytest.mark.parametrize("country", ["", "US", "SE", "GB", "AU", "ZZ", "\ud800"])
def test_any_amount_weighs_something_in_order_or_is_asked_for(country: str) -> None:
    chance = random.Random(f"{country!r}")  # noqa: S311 - a seed, no secret
    for _ in range(300):
        for item in every_item(items_of(odd_line(chance), "fuzz", 3) or ()):
            ingredient = described(item.name).ingredient
            if item.amount is None:
                continue
            found = mass_of(item.amount, ingredient, Settings(country=country))
            if found.mass is None:
                assert found.doubts or item.amount.unit in {"%", "part"}
            else:
                low, best, high = found.mass
                assert low <= best <= high or best == pytest.approx(low) == pytest.approx(high)
