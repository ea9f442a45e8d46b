"""Prices as they stand on shelves and bills: read, refused, written back as they were."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.documents.formula import FormulaDocument, OwnIngredient
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.prices import SYMBOLS, NotAPrice, currency_named, price
from doughwright.documents.reading import Reading, document_from, read_document
from doughwright.documents.writing import body, written
from doughwright.errors import DocumentError
from doughwright.render.messages import report

Read = Callable[[str], Reading]

POUND, OUNCE = 0.45359237, 0.028349523125
"""kg, exact (NIST Handbook 44)."""

INGREDIENT = ("mass", "volume", "count")

FORMULA = """\
doughwright: formula/1
name: Rolls
preparations:
  dough:
    kind: dough
    ingredients: {flour: 500 g, curd: 100 g}
ingredients:
  flour: {price: "1.35 EUR / 500 g"}   # the good one
  curd: {water: 72 %, price: 6.40   EUR/kg}
"""
KITCHEN = """\
doughwright: kitchen/1
name: Here
currency: EUR
energy: 0.30 EUR/kWh   # the night's is less
labour: 15 €/h
prices:
  strong white flour: 1.10 eur/kg
  egg:   3.20 EUR/10 large  # small farm
"""


@pytest.mark.parametrize(
    ("text", "currency", "dimension", "amount"),
    [
        ("6.40 EUR/kg", "EUR", "mass", 6.40),
        ("1.35 EUR/500 g", "EUR", "mass", 1.35 / 0.5),
        ("4.00 USD for 2 lb", "USD", "mass", 4.00 / (2 * POUND)),
        ("2.00 GBP/1 lb 2 oz", "GBP", "mass", 2.00 / (POUND + 2 * OUNCE)),
        ("$.50/½ lb", "USD", "mass", 0.50 / (POUND / 2)),
        ("€ 1.35 per 500 g", "EUR", "mass", 1.35 / 0.5),
        ("1.35€/500g", "EUR", "mass", 1.35 / 0.5),
        ("EUR 12 per kilo", "EUR", "mass", 12.0),
        ("18 sek/kg", "SEK", "mass", 18.0),
        ("0 EUR/kg", "EUR", "mass", 0.0),
        ("1.10 EUR/l", "EUR", "volume", 1100.0),
        ("£0.55 for 500 ml", "GBP", "volume", 1100.0),
        ("3.20 EUR/10 large", "EUR", "count", 0.32),
        ("0.32 EUR/large", "EUR", "count", 0.32),
        ("1.35 USD for 3 packets", "USD", "count", 0.45),
    ],
)
def test_a_price_is_money_for_one_of_the_unit(
    text: str, currency: str, dimension: str, amount: float
) -> None:
    found = price(text, *INGREDIENT)
    assert (found.currency, found.dimension) == (currency, dimension)
    assert found.amount == pytest.approx(amount, rel=1e-12)
    assert str(found) == found.text == text


def test_energy_and_hours_have_their_prices() -> None:
    assert price("0.30 EUR/kWh", "energy").amount * 3.6e6 == pytest.approx(0.30)
    assert price("0.10 EUR/MJ", "energy").amount * 1e6 == pytest.approx(0.10)
    assert price("15 EUR/h", "duration").amount * 3600 == pytest.approx(15.0)
    assert price("5 EUR per 20 min", "duration").amount * 3600 == pytest.approx(15.0)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "6.40",
        "6.40 EUR",
        "6.40/kg",
        "EUR/kg",
        "EUR 6.40 EUR/kg",
        "€ 6.40 EUR/kg",
        "5 per/kg",
        "3 for 2 lb",
        "3 kr/kg",
        "3 euro/kg",
        "-1 EUR/kg",
        "1e3 EUR/kg",
        "2 EUR/0 g",
        "2 EUR/-5 g",
        "2 EUR/1–2 kg",
        "1–2 EUR/kg",
        "2 EUR/10",
        "2 EUR/",
        "2 EUR/10 %",
        "2 EUR/kg/l",
        "two EUR/kg",
        "cheap",
    ],
)
def test_what_is_no_price_is_refused(text: str) -> None:
    with pytest.raises(NotAPrice) as caught:
        price(text, *INGREDIENT)
    assert caught.value.code == "not-a-price"
    assert "6.40 EUR/kg" in caught.value.allowed


def test_a_decimal_comma_is_refused_as_everywhere() -> None:
    with pytest.raises(NotAPrice) as caught:
        price("1,35 EUR/500 g", *INGREDIENT)
    assert caught.value.code == "decimal-comma"


@pytest.mark.parametrize(
    ("text", "dimension"), [("0.30 EUR/kg", "energy"), ("0.30 EUR/kWh", "duration")]
)
def test_a_price_of_something_else_is_refused(text: str, dimension: str) -> None:
    with pytest.raises(NotAPrice):
        price(text, dimension)


@pytest.mark.parametrize("sign", SYMBOLS)
def test_a_sign_is_the_currency_of_its_letters(sign: str) -> None:
    by_letters = price(f"2 {SYMBOLS[sign]}/kg", "mass")
    for text in (f"{sign}2/kg", f"2 {sign}/kg"):
        assert price(text, "mass").currency == by_letters.currency == currency_named(sign)


@given(
    st.integers(0, 10**6),
    st.floats(0.01, 100.0),
    st.sampled_from((("g", 1e-3), ("kg", 1.0), ("lb", POUND), ("oz", OUNCE), ("mg", 1e-6))),
)
def test_a_price_is_the_same_in_every_unit(
    cents: int, kilo: float, unit: tuple[str, float]
) -> None:
    name, size = unit
    found = price(f"{cents / 100:.2f} EUR/{kilo / size:.9f} {name}", "mass")
    assert found.amount * kilo == pytest.approx(cents / 100, rel=1e-6)


pieces = st.one_of(
    st.text(max_size=8),
    st.text("0123456789.,/€£$EURkglb forper½-–", max_size=10),
    st.sampled_from(("EUR", "/", "kg", "for", "per", "10 large", "€")),
)


@given(st.lists(pieces, max_size=5).map("".join))
def test_any_text_is_a_price_or_is_refused(text: str) -> None:
    try:
        found = price(text, *INGREDIENT)
    except NotAPrice:
        return
    assert found.text == text
    assert found.amount >= 0.0
    assert len(found.currency) == 3
    assert price(str(found), *INGREDIENT) == found


@pytest.mark.parametrize("text", [FORMULA, KITCHEN])
def test_a_document_with_prices_is_written_back_byte_for_byte(text: str) -> None:
    reading = read_document(text)
    assert written(reading.document, reading) == text
    assert document_from(body(reading.document)) == reading.document


def test_a_new_name_leaves_the_prices_as_they_are_written() -> None:
    reading = read_document(FORMULA)
    renamed = reading.document.model_copy(update={"name": "Buns"})
    assert written(renamed, reading) == FORMULA.replace("name: Rolls", "name: Buns")


def test_a_document_s_prices_are_read() -> None:
    formula, kitchen = (read_document(text).document for text in (FORMULA, KITCHEN))
    assert isinstance(formula, FormulaDocument)
    assert isinstance(kitchen, KitchenDocument)
    flour = formula.ingredients["flour"].price
    assert flour is not None
    assert flour.amount == pytest.approx(2.70)  # twice 1.35
    assert kitchen.labour is not None
    assert kitchen.labour.currency == "EUR"
    assert [p.currency for p in kitchen.prices.values()] == ["EUR", "EUR"]


def test_a_price_that_is_none_is_shown_with_what_is_allowed() -> None:
    with pytest.raises(DocumentError) as caught:
        read_document(FORMULA.replace('"1.35 EUR / 500 g"', "1.35"))
    (found,) = caught.value.problems
    assert (found.code, found.where) == ("not-a-price", ("ingredients", "flour", "price"))
    said = report([found])
    for words in ("“1.35”", "text:8:18", "three letters", "6.40 EUR/kg", "4.00 USD for 2 lb"):
        assert words in said


def test_every_slip_of_a_kitchen_s_prices_at_once() -> None:
    slips = KITCHEN.replace("kWh", "kg").replace("/h", "").replace("/10 large", " each")
    with pytest.raises(DocumentError) as caught:
        read_document(slips)
    found = {".".join(map(str, p.where)): p.values["allowed"] for p in caught.value.problems}
    assert found.keys() == {"energy", "labour", "prices.egg"}
    assert (found["energy"], found["labour"]) == ("0.30 EUR/kWh", "15 EUR/h")


def test_a_price_is_a_single_value() -> None:
    with pytest.raises(ValueError, match="not-a-price"):
        OwnIngredient.model_validate({"price": {"amount": "6.40 EUR/kg"}})
