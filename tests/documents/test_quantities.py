"""Amounts as bakers write them, and as they should not."""

from fractions import Fraction

import pytest

from doughwright.documents.quantities import (
    EXAMPLES,
    UNITS,
    NotAQuantity,
    Quantity,
    quantity,
    with_point,
    written,
)

OUNCE = 0.028349523125
"""International avoirdupois ounce in kg, exact (NIST Handbook 44)."""


# factors by definition: SI, the avoirdupois ounce and pound, the international inch, °F
@pytest.mark.parametrize(
    ("text", "dimension", "si"),
    [
        ("500 g", "mass", 0.5),
        ("500g", "mass", 0.5),
        ("1.2 kg", "mass", 1.2),
        ("250 mg", "mass", 0.00025),
        ("1 lb 2 oz", "mass", 18 * OUNCE),
        ("2 pounds", "mass", 32 * OUNCE),
        ("5 3/8 oz", "mass", 5.375 * OUNCE),
        ("½ oz", "mass", OUNCE / 2),
        ("1½ lb", "mass", 24 * OUNCE),
        (".5 kg", "mass", 0.5),
        ("500\N{NO-BREAK SPACE}g", "mass", 0.5),
        ("500\N{NARROW NO-BREAK SPACE}g", "mass", 0.5),
        ("72 %", "percent", 0.72),
        ("72%", "percent", 0.72),
        ("72 percent", "percent", 0.72),
        ("5 parts", "parts", 5.0),
        ("1 part", "parts", 1.0),
        ("250 ml", "volume", 0.00025),
        ("2.5 dl", "volume", 0.00025),
        ("1.4 l", "volume", 0.0014),
        ("45 min", "duration", 2700.0),
        ("1 h 30 min", "duration", 5400.0),
        ("1½ h", "duration", 5400.0),
        ("2 days", "duration", 172800.0),
        ("11 cm", "length", 0.11),
        ("4 in", "length", 0.1016),
        ('4"', "length", 0.1016),
        ("12 m", "length", 12.0),
        ("24 °C", "temperature", 297.15),
        ("24 C", "temperature", 297.15),
        ("24ºC", "temperature", 297.15),
        ("75 °F", "temperature", 297.0388888888889),
        ("-18 °C", "temperature", 255.15),
        ("−18 °C", "temperature", 255.15),
        ("300 K", "temperature", 300.0),
        ("+5 °C", "temperature difference", 5.0),
        ("-10 °C", "temperature difference", -10.0),
        ("9 °F", "temperature difference", 5.0),
        ("2.4 kW", "power", 2400.0),
        ("20 W/kg", "specific power", 20.0),
        ("1.8x", "factor", 1.8),
        ("2 ×", "factor", 2.0),
        ("2 large", "count", 2.0),
        ("½ tsp", "count", 0.5),
    ],
)
def test_what_is_written_is_what_is_meant(text: str, dimension: str, si: float) -> None:
    found = quantity(text, dimension)
    assert (found.dimension, found.text) == (dimension, text)
    assert found.best == pytest.approx(si, rel=1e-12)
    assert not found.ranged


@pytest.mark.parametrize(
    ("text", "dimension", "low", "high"),
    [
        ("45–60 min", "duration", 2700, 3600),
        ("45-60 min", "duration", 2700, 3600),
        ("45 - 60 min", "duration", 2700, 3600),
        ("45 to 60 min", "duration", 2700, 3600),
        ("45 min to 1 h", "duration", 2700, 3600),
        ("1 h 15 min – 1 h 30 min", "duration", 4500, 5400),
        ("10 g–20 g", "mass", 0.010, 0.020),
        ("60..70 g", "mass", 0.060, 0.070),
        ("60–70 %", "percent", 0.60, 0.70),
        ("2–4 °C", "temperature", 275.15, 277.15),
        ("1½–2 lb", "mass", 24 * OUNCE, 32 * OUNCE),
    ],
)
def test_ranges(text: str, dimension: str, low: float, high: float) -> None:
    found = quantity(text, dimension)
    assert (found.low, found.high) == pytest.approx((low, high), rel=1e-12)
    assert found.best == pytest.approx((low + high) / 2)
    assert found.ranged


def test_a_count_names_its_measure() -> None:
    assert quantity("2 extra large", "mass", "count").measure == "extra large"
    assert quantity("500 g", "mass", "count").measure == ""


def test_the_first_dimension_that_fits() -> None:
    assert quantity("20 °C", "temperature difference", "specific power").dimension == (
        "temperature difference"
    )
    assert quantity("20 W/kg", "temperature difference", "specific power").dimension == (
        "specific power"
    )


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("1,8 %", "1.8 %"),
        ("-2,5 °C", "-2.5 °C"),
        ("0,125 kg", "0.125 kg"),
        ("1234,5 g", "1234.5 g"),
        ("1,5x", "1.5x"),
        ("6,40 EUR/kg", "6.40 EUR/kg"),
        ("€6,40/kg", "€6,40/kg"),
        ("1,250 g", "1,250 g"),
        ("1,000,000 g", "1,000,000 g"),
        ("1,5–2,5 h", "1,5–2,5 h"),
        ("1,5 stones", "1,5 stones"),
        ("1,5", "1,5"),
        ("2, 5 %", "2, 5 %"),
        ("milk, 5 %", "milk, 5 %"),
    ],
)
def test_a_comma_is_a_point_only_where_it_can_be_nothing_else(typed: str, read: str) -> None:
    assert with_point(typed) == read


@pytest.mark.parametrize(
    ("text", "dimension", "code"),
    [
        ("500", "mass", "bare-number"),
        ("012", "mass", "bare-number"),
        ("-3", "temperature", "bare-number"),
        ("45-60", "duration", "bare-number"),
        ("1/2", "mass", "bare-number"),
        ("1,5 kg", "mass", "decimal-comma"),
        ("1,000 g", "mass", "decimal-comma"),
        ("60–45 min", "duration", "range-backwards"),
        ("-3 g", "mass", "below-zero"),
        ("-5–5 %", "percent", "below-zero"),
        ("-300 °C", "temperature", "below-absolute-zero"),
        ("-500 °F", "temperature", "below-absolute-zero"),
        ("-1 K", "temperature", "below-absolute-zero"),
        ("", "mass", "not-a-quantity"),
        ("a handful", "mass", "not-a-quantity"),
        ("1e3 g", "mass", "not-a-quantity"),
        ("1 000 g", "mass", "not-a-quantity"),
        ("1:30", "duration", "not-a-quantity"),
        ("1 h 30", "duration", "not-a-quantity"),
        ("500 stones", "mass", "not-a-quantity"),
        ("5 %", "mass", "not-a-quantity"),
        ("1/0 g", "mass", "not-a-quantity"),
        ("1–2–3 g", "mass", "not-a-quantity"),
        ("24 °C 3 °C", "temperature", "not-a-quantity"),
        ("g", "mass", "not-a-quantity"),
        ("5.5.5 g", "mass", "not-a-quantity"),
        ("٥ g", "mass", "not-a-quantity"),
        ("1234567890 g", "mass", "not-a-quantity"),
        ("2 large 3 small", "count", "not-a-quantity"),
        ("nan g", "mass", "not-a-quantity"),
        ("inf g", "mass", "not-a-quantity"),
    ],
)
def test_what_is_refused_and_why(text: str, dimension: str, code: str) -> None:
    with pytest.raises(NotAQuantity) as caught:
        quantity(text, dimension)
    assert (caught.value.code, caught.value.read) == (code, text)
    assert caught.value.allowed == EXAMPLES[dimension]


def test_a_refusal_names_every_kind_that_would_do() -> None:
    with pytest.raises(NotAQuantity) as caught:
        quantity("some", "percent", "mass")
    assert caught.value.allowed == "72 %; 500 g, 1.2 kg, 1 lb 2 oz"


@pytest.mark.parametrize("dimension", EXAMPLES)
def test_every_example_we_offer_is_understood(dimension: str) -> None:
    for example in EXAMPLES[dimension].split(", "):
        assert quantity(example, dimension).dimension == dimension


def test_no_unit_is_read_two_ways_by_letter_case() -> None:
    for units in UNITS.values():
        assert all(unit == unit.casefold() for unit in units)


# 32 °F is 0 °C and a degree Fahrenheit is five ninths of a kelvin, by definition
def test_a_temperature_is_no_temperature_difference() -> None:
    assert quantity("32 °F", "temperature").best == pytest.approx(273.15)
    assert quantity("32 °F", "temperature difference").best == pytest.approx(
        float(Fraction(160, 9))
    )


def test_the_words_of_the_author_are_kept() -> None:
    found = quantity(" 1 lb  2 oz ", "mass")
    assert str(found) == " 1 lb  2 oz "
    assert found == Quantity(found.text, "mass", found.low, found.high)


@pytest.mark.parametrize(
    ("value", "unit", "digits", "text"),
    [
        (0.412, "g", 0, "412 g"),
        (0.0046, "g", 1, "4.6 g"),
        (298.15, "°C", 0, "25 °C"),
        (297.0388888888889, "°F", 0, "75 °F"),
        (2700.0, "min", 0, "45 min"),
        (0.72, "%", 0, "72 %"),
    ],
)
def test_written_for_an_author(value: float, unit: str, digits: int, text: str) -> None:
    assert written(value, unit, digits) == text
