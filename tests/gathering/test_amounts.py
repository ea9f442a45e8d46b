"""How much: numbers, units and what belongs to them, as recipes write them."""

import pytest

from doughwright.gathering.gathered import Amount
from doughwright.gathering.lines.amounts import amount_at, amount_of, amounts_in
from doughwright.gathering.lines.numerals import numeral_at, plain
from doughwright.gathering.lines.unit_words import unit_at


def read(text: str) -> Amount:
    found = amount_of(text)
    assert found is not None, text
    return found


# every way to write one number; no source, the values are arithmetic
@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("½", 0.5, 0.5),
        ("1 1/2", 1.5, 1.5),
        ("1½", 1.5, 1.5),
        ("1 ½", 1.5, 1.5),
        ("1-1/2", 1.5, 1.5),
        ("1 and 1/2", 1.5, 1.5),
        ("one and a half", 1.5, 1.5),
        ("5 3/8", 5.375, 5.375),
        ("1⁄2", 0.5, 0.5),
        ("1¹⁄₂", 1.5, 1.5),
        ("three quarters", 0.75, 0.75),
        ("half a dozen", 6, 6),
        ("２００", 200, 200),
        ("٣", 3, 3),
        (".5", 0.5, 0.5),
        ("1,5", 1.5, 1.5),
        ("0,125", 0.125, 0.125),
        ("1 000", 1000, 1000),
        ("1\N{NO-BREAK SPACE}000", 1000, 1000),
        ("1'000", 1000, 1000),
        ("1.250,5", 1250.5, 1250.5),
        ("1,000,000", 1e6, 1e6),
        ("2–3", 2, 3),
        ("3-4", 3, 4),
        ("3 or 4", 3, 4),
        ("100 to 150", 100, 150),
        ("1 to 1 1/2", 1, 1.5),
        ("1/2-3/4", 0.5, 0.75),
    ],
)
def test_a_number_is_read(text: str, low: float, high: float) -> None:
    found = numeral_at(plain(text))
    assert found is not None
    assert (found.low, found.high, found.end) == (low, high, len(text))


@pytest.mark.parametrize(
    "text", ["00", "1/0", "12/12/2020", "10:30", "99999999999", "half-fat", "x"]
)
def test_what_is_no_number_is_none(text: str) -> None:
    assert numeral_at(plain(text)) is None


def test_a_place_in_a_plain_text_is_the_same_place_in_the_written_one() -> None:
    for text in ("½ ｃｕｐ", "1\u2009000 g", "２ × 7 g", "a\u00adb ﷽ ㎏ İ"):
        assert len(plain(text)) == len(text)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        *(("Tbsp.", "tbsp"), ("T", "tbsp"), ("t", "tsp"), ("c.", "cup"), ("fl. oz.", "fl oz")),
        *(("fluid ounces", "fl oz"), ("grammes", "g"), ("EL", "tbsp"), ("tsk", "tsp")),
        *(
            ("krm", "krm"),
            ("c. à soupe", "tbsp"),
            ("㎏", "kg"),
            ("#", "lb"),
            ("envelope", "sachet"),
        ),
    ],
)
def test_a_unit_is_known_by_its_words(text: str, unit: str) -> None:
    found = unit_at(text)
    assert found is not None
    assert (found.unit, found.end) == (unit, len(text))


@pytest.mark.parametrize("text", ["gflour", "cups-full-of", "tbspx", "litterature", "ml3"])
def test_a_unit_is_a_whole_word(text: str) -> None:
    found = unit_at(text)
    assert found is None or text[found.end :].startswith("-")


@pytest.mark.parametrize(
    ("text", "best", "unit", "modifiers"),
    [
        ("half a teaspoon", 0.5, "tsp", ()),
        ("a generous pinch", 1, "pinch", ("generous",)),
        ("1 heaped tbsp", 1, "tbsp", ("heaped",)),
        ("approx. 500g", 500, "g", ("approx",)),
        ("1,5 dl", 1.5, "dl", ()),
        ("0,5 kg", 0.5, "kg", ()),
        ("5 3/8 oz", 5.375, "oz", ()),
        ("５００ｇ", 500, "g", ()),
        ("75 %", 75, "%", ()),
        ("5 parts", 5, "part", ()),
        ("2 c. à soupe", 2, "tbsp", ("metric",)),
    ],
)
def test_an_amount_has_its_unit_and_its_modifiers(
    text: str, best: float, unit: str, modifiers: tuple[str, ...]
) -> None:
    found = read(text)
    assert (found.best, found.unit, found.modifiers) == (best, unit, modifiers)


@pytest.mark.parametrize(
    ("text", "unit", "whose", "rest"),
    [
        ("2 Japanese cups milk", "cup", "japanese", " milk"),
        ("1 US cup sugar", "cup", "us", " sugar"),
        ("1 U.S. fl. oz milk", "fl oz", "us", " milk"),
        ("1 metric cup flour", "cup", "metric", " flour"),
        ("an imperial pint of water", "pint", "imperial", " of water"),
        ("1 Australian standard tablespoon honey", "tbsp", "australian", " honey"),
        ("1 cup (US) flour", "cup", "us", " flour"),
        ("2 Swedish pears", "", None, " Swedish pears"),
        ("500 g US flour", "g", None, " US flour"),
    ],
)
def test_a_measure_says_whose_it_is(text: str, unit: str, whose: str | None, rest: str) -> None:
    found = amount_at(text)
    assert found is not None
    assert (found.amount.unit, text[found.end :]) == (unit, rest)
    assert found.amount.modifiers == ((whose,) if whose else ())


@pytest.mark.parametrize(
    ("text", "more"),
    [
        ("1 lb 2 oz", [(2, "oz")]),
        ("1 cup plus 2 tbsp", [(2, "tbsp")]),
        ("1 cup + 2 tbsp", [(2, "tbsp")]),
        ("1 cup, plus 2 tablespoons", [(2, "tbsp")]),
        ("1 kg 200 g", [(200, "g")]),
        ("1 cup minus 1 tbsp", [(-1, "tbsp")]),
    ],
)
def test_what_is_added_belongs_to_it(text: str, more: list[tuple[float, str]]) -> None:
    assert [(one.best, one.unit) for one in read(text).more] == more


@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("1 cup (125 g)", [(125, "g")]),
        ("100 g/3½ oz", [(3.5, "oz")]),
        ("2 sticks (1 cup / 226 g)", [(1, "cup"), (226, "g")]),
        ("2 tsp or 1 sachet", [(1, "sachet")]),
        ("2.5 oz (1 tsp)60 g", [(1, "tsp"), (60, "g")]),  # a textbook's brioche on a blog
    ],
)
def test_the_same_in_another_unit_is_no_addition(text: str, same: list[tuple[float, str]]) -> None:
    found = read(text)
    assert [(one.best, one.unit) for one in found.same] == same
    assert found.more == ()


@pytest.mark.parametrize(
    ("text", "count", "unit", "held"),
    [
        ("1 x 7g sachet", 1, "sachet", (7, "g")),
        ("1 x 125g ball", 1, "ball", (125, "g")),
        ("1 × 125 g ball", 1, "ball", (125, "g")),
        ("2 (14-ounce) cans", 2, "can", (14, "oz")),
        ("2 500 g packets", 2, "packet", (500, "g")),
        ("1 250 g jar", 1, "jar", (250, "g")),
        ("1 (1/4 ounce) package", 1, "packet", (0.25, "oz")),
        ("a 7g packet", 1, "packet", (7, "g")),
        ("7g sachet", 1, "sachet", (7, "g")),
        ("2 tins (400 g each)", 2, "can", (400, "g")),
    ],
)
def test_a_package_says_what_it_holds(
    text: str, count: float, unit: str, held: tuple[float, str]
) -> None:
    found = read(text)
    assert found.package is not None
    assert (found.best, found.unit) == (count, unit)
    assert (found.package.best, found.package.unit) == held


def test_three_digits_behind_a_point_may_be_a_thousand() -> None:
    found = read("1.250 g")
    assert found.other is not None
    assert (found.best, found.other.best) == (1250, 1.25)
    assert read("1.250 kg").best == 1.25  # a ton of flour is no recipe's
    assert read("1 000 g").other is None
    (behind,) = amounts_in("water 2 100 g")  # a second water, or two litres of it
    assert behind.amount.other is not None
    assert (behind.amount.best, behind.amount.other.best) == (2100, 100)
    assert [one.amount.best for one in amounts_in("leaven 2:1 105 g")][-1] == 105


def test_a_range_written_backwards_is_marked() -> None:
    assert read("4-3 tbsp").modifiers == ("backwards",)
    assert (read("4-3 tbsp").low, read("4-3 tbsp").high) == (3, 4)
    assert read("up to 50 ml").low == 0


@pytest.mark.parametrize(
    "text",
    [
        *("30 min", "8 h", "180 °C", "180C for", "400°F", '9" tin', "20 cm", "350 kcal"),
        *("2-day-old", "500gflour", "20% fat cream", "100 % hydration", "a little", "T55"),
    ],
)
def test_times_degrees_and_lengths_are_no_amounts(text: str) -> None:
    assert amount_at(text) is None


def test_amounts_are_found_in_their_order_and_with_their_words() -> None:
    found = list(amounts_in("salt 10 g (2 tsp), oil: 1 lb 2 oz"))
    assert [one.amount.words for one in found] == ["10 g (2 tsp)", "1 lb 2 oz"]
