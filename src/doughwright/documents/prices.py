"""Prices, as a baker copies them from a shelf or a bill: money, currency and what it buys.

The author's words are kept, so that a document is written back as it was; ``amount`` is the
price of one kilogram, cubic metre, counted thing, joule or second. Currencies are told apart
by their three letters and never changed into each other.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from doughwright.documents.quantities import NotAQuantity, Quantity, quantity

SYMBOLS: Mapping[str, str] = MappingProxyType({"€": "EUR", "£": "GBP", "$": "USD"})
"""What a sign alone stands for; other dollars and pounds are written by their three letters."""

PRICE_EXAMPLES: Mapping[str, str] = MappingProxyType(
    {
        "mass": "6.40 EUR/kg, 1.35 EUR/500 g, 4.00 USD for 2 lb",
        "volume": "1.10 EUR/l",
        "count": "3.20 EUR/10 large",
        "energy": "0.30 EUR/kWh",
        "duration": "15 EUR/h",
    }
)

_CURRENCY = r"[€£$]|(?!(?:per|for)\b)[A-Za-z]{3}"
_NUMBER = r"[0-9]{1,9}(?:\.[0-9]{1,9})?|\.[0-9]{1,9}"
_PRICE = re.compile(
    rf"(?P<before>{_CURRENCY})?\s*(?P<number>{_NUMBER})\s*(?P<after>{_CURRENCY})?"
    r"\s*(?:/|\b(?:per|for)\b|(?<=[€£$])(?:per|for)\b)\s*(?P<bought>\S.*)",
    re.IGNORECASE | re.DOTALL,
)
_MEASURE = re.compile(r"[^\W\d_][^\d/%€£$]*")
_DECIMAL_COMMA = re.compile(r"[0-9],[0-9]")


@dataclass(frozen=True, slots=True)
class Price:
    """A price read from text: the author's words and what one of the unit costs.

    ``dimension`` says what is bought: ``mass`` (amount per kg), ``volume`` (per m³), ``count``
    (for one ``measure``), ``energy`` (per J) or ``duration`` (per s).
    """

    text: str
    currency: str
    dimension: str
    amount: float
    measure: str = ""

    def __str__(self) -> str:
        """Return the author's words."""
        return self.text


class NotAPrice(ValueError):  # noqa: N818 - reads as what it is
    """The text is no price of what is wanted; ``code`` names the message."""

    def __init__(self, code: str, read: str, dimensions: tuple[str, ...]) -> None:
        """Keep what was read and say what is allowed."""
        self.code, self.read, self.allowed = code, read, price_examples(dimensions)
        super().__init__(f"{code}: {read!r}; allowed: {self.allowed}")


def price_examples(dimensions: tuple[str, ...]) -> str:
    """Return examples of prices of some dimensions.

    >>> price_examples(("energy",))
    '0.30 EUR/kWh'
    """
    return "; ".join(PRICE_EXAMPLES[d] for d in dimensions)


def price(text: str, *dimensions: str) -> Price:
    """Read text as the price of something of one of the dimensions, the first that fits.

    >>> price("1.35 EUR/500 g", "mass").amount  # a kilogram is twice 500 g
    2.7
    >>> found = price("€3.20 per 10 large", "mass", "count")
    >>> found.currency, found.amount, found.measure
    ('EUR', 0.32, 'large')

    Raises
    ------
    NotAPrice
        With the code of the message to show.
    """
    plain = text.replace("\N{NO-BREAK SPACE}", " ").strip()
    if _DECIMAL_COMMA.search(plain):
        raise NotAPrice("decimal-comma", text, dimensions)
    match = _PRICE.fullmatch(plain)
    currency = _one_currency(match) if match else None
    bought = _bought(match["bought"], dimensions) if match else None
    if match is None or currency is None or bought is None:
        raise NotAPrice("not-a-price", text, dimensions)
    amount = float(match["number"]) / bought.best
    return Price(text, currency, bought.dimension, amount, bought.measure)


def currency_named(word: str) -> str | None:
    """Return the three letters of a currency, by them or by its sign; None if it is neither.

    >>> currency_named("€"), currency_named("gbp"), currency_named("shells")
    ('EUR', 'GBP', None)
    """
    word = word.strip()
    if word in SYMBOLS:
        return SYMBOLS[word]
    return word.upper() if re.fullmatch("[A-Za-z]{3}", word) else None


def _one_currency(match: re.Match[str]) -> str | None:
    """Return the currency before or after the number; None if there are two or none."""
    said = [word for word in (match["before"], match["after"]) if word]
    return currency_named(said[0]) if len(said) == 1 else None


def _bought(words: str, dimensions: tuple[str, ...]) -> Quantity | None:
    """Read what the money buys; a unit alone is one of it."""
    try:
        found = quantity(f"1 {words}" if words[0].isalpha() else words, *dimensions)
    except NotAQuantity:
        return None
    named = found.dimension != "count" or _MEASURE.fullmatch(found.measure)
    return found if named and found.low == found.high > 0 else None
