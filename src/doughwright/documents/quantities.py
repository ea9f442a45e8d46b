"""Numbers with their units, as a baker writes them.

Every scalar of a document is text until one of these readers has parsed it. The
text is kept, so that a document is written back with the author's own unit and
digits; ``low`` and ``high`` hold the SI values, equal unless a range was written.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

ICE_POINT = 273.15
_OUNCE = 0.028349523125  # kg; international avoirdupois ounce, exact (NIST Handbook 44)
_POUND = 0.45359237  # kg, exact
_INCH = 0.0254  # m, exact
_FOOT = 0.3048  # m, exact

UNITS: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        "mass": {
            **dict.fromkeys(("g", "gram", "grams"), 1e-3),
            **dict.fromkeys(("kg", "kilo", "kilos", "kilogram", "kilograms"), 1.0),
            "mg": 1e-6,
            **dict.fromkeys(("oz", "ounce", "ounces"), _OUNCE),
            **dict.fromkeys(("lb", "lbs", "pound", "pounds"), _POUND),
        },
        "percent": {"%": 0.01, "percent": 0.01},
        "parts": {"part": 1.0, "parts": 1.0},
        "volume": {
            "ml": 1e-6,
            "cl": 1e-5,
            "dl": 1e-4,
            **dict.fromkeys(("l", "litre", "litres", "liter", "liters"), 1e-3),
        },
        "duration": {
            **dict.fromkeys(("s", "sec", "second", "seconds"), 1.0),
            **dict.fromkeys(("min", "mins", "minute", "minutes"), 60.0),
            **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), 3600.0),
            **dict.fromkeys(("d", "day", "days"), 86400.0),
        },
        "length": {
            "mm": 1e-3,
            "cm": 1e-2,
            "m": 1.0,
            **dict.fromkeys(("in", "inch", "inches", '"'), _INCH),
            **dict.fromkeys(("ft", "feet", "foot"), _FOOT),
        },
        "temperature": dict.fromkeys(("°c", "c", "°f", "f", "k"), 1.0),
        "temperature difference": {
            **dict.fromkeys(("°c", "c", "k"), 1.0),
            **dict.fromkeys(("°f", "f"), 5 / 9),
        },
        "power": {"w": 1.0, "kw": 1000.0},
        "specific power": {"w/kg": 1.0},
        "energy": {"kwh": 3.6e6, "mj": 1e6},
        "factor": {"x": 1.0, "×": 1.0},
    }
)
"""Unit spellings (lower case) by dimension, with the factor to SI."""

EXAMPLES: Mapping[str, str] = MappingProxyType(
    {
        "mass": "500 g, 1.2 kg, 1 lb 2 oz",
        "percent": "72 %",
        "parts": "5 parts",
        "volume": "250 ml, 1.4 l",
        "duration": "45 min, 1 h 30 min, 45–60 min",
        "length": "11 cm, 4 in, 12 m",
        "temperature": "24 °C, 75 °F",
        "temperature difference": "+5 °C, 9 °F",
        "power": "2.4 kW",
        "specific power": "20 W/kg",
        "energy": "1.8 kWh",
        "factor": "1.8x",
        "count": "2 large",
    }
)

SIGNED = frozenset({"temperature", "temperature difference"})
"""Dimensions in which a value below zero makes sense."""

_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8", "⅜": "3/8"}
_DIGITS = "[0-9]{1,9}"
_FRACTION = rf"{_DIGITS}/[1-9][0-9]{{0,3}}"
_DECIMAL = rf"{_DIGITS}(?:\.[0-9]{{1,9}})?|\.[0-9]{{1,9}}"
_NUMBER = rf"(?:{_DIGITS}\s+{_FRACTION}|{_FRACTION}|{_DECIMAL})(?![0-9/])"
_TERM = re.compile(rf"\s*([+\-]?)\s*({_NUMBER})\s*([^\d\s.,+\-–][^\d,+\-–]*)?")
_RANGE = re.compile(r"(?<=[\w%°\"])\s*(?:–|—|\.\.|\bto\b)\s*|(?<=[\w%°\"])\s*-\s*(?=[\d.])")
_DECIMAL_COMMA = re.compile(r"\d,\d")
_ONE_COMMA = re.compile(r"\s*[+\-−]?\s*(?:[0-9]{1,9},[0-9]{1,2}|0,[0-9]{3})\s*([^\d\s,.][^\d,.]*)")
_PRICE_PER = re.compile(r"[^\W\d_]{3}\s*/\s*\w+|[^\w\s]\s*/\s*\w+")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value read from text: the author's words and the SI range they mean.

    ``measure`` names what is counted (``large``) when the dimension is ``count``.
    """

    text: str
    dimension: str
    low: float
    high: float
    measure: str = ""

    @property
    def best(self) -> float:
        """The middle of the range, or the value itself."""
        return (self.low + self.high) / 2

    @property
    def ranged(self) -> bool:
        """Whether the author wrote a range."""
        return self.high > self.low

    def __str__(self) -> str:
        """Return the author's words."""
        return self.text


class NotAQuantity(ValueError):  # noqa: N818 - reads as what it is
    """The text is not a quantity of the wanted kind; ``code`` names the message."""

    def __init__(self, code: str, read: str, dimensions: tuple[str, ...]) -> None:
        """Keep what was read and say what is allowed."""
        self.code, self.read = code, read
        self.allowed = "; ".join(EXAMPLES[d] for d in dimensions)
        super().__init__(f"{code}: {read!r}; allowed: {self.allowed}")


def quantity(text: str, *dimensions: str) -> Quantity:
    """Read text as a quantity of one of the dimensions, the first that fits.

    A count (``"count"`` among the dimensions) takes any word as its measure.

    >>> quantity("1 lb 2 oz", "mass").best
    0.51029141625
    >>> quantity("45–60 min", "duration").low
    2700.0

    Raises
    ------
    NotAQuantity
        With the code of the message to show.
    """
    plain = _plain(text)
    if _DECIMAL_COMMA.search(plain):
        raise NotAQuantity("decimal-comma", text, dimensions)
    if re.fullmatch(rf"[+\-]?{_NUMBER}(\s*–\s*{_NUMBER})?", plain):
        raise NotAQuantity("bare-number", text, dimensions)
    ends = _RANGE.split(plain)
    if not plain or len(ends) > 2:
        raise NotAQuantity("not-a-quantity", text, dimensions)
    for dimension in dimensions:
        found = _ends_as(ends, dimension)
        if found is not None:
            return _checked(text, dimension, found, dimensions)
    raise NotAQuantity("not-a-quantity", text, dimensions)


def with_point(text: str) -> str:
    """Write a decimal comma as a point where it can mean nothing else.

    That is one number with a known unit; three digits behind the comma may be thousands.

    >>> with_point("1,8 %"), with_point("6,40 EUR/kg"), with_point("1,250 g")
    ('1.8 %', '6.40 EUR/kg', '1,250 g')
    """
    found = _ONE_COMMA.fullmatch(text)
    unit = found[1].strip().casefold() if found else ""
    known = any(unit in units for units in UNITS.values()) or _PRICE_PER.fullmatch(unit)
    return text.replace(",", ".") if known else text


def _plain(text: str) -> str:
    for sign, words in _VULGAR.items():
        text = text.replace(sign, f" {words}")
    text = text.replace("−", "-").replace("\N{NO-BREAK SPACE}", " ").replace("º", "°")
    return re.sub(r"(?<=\d)\s*-\s*(?=[\d.])", "–", text.strip())


def _ends_as(ends: list[str], dimension: str) -> tuple[float, float, str] | None:
    """Read one or both ends; a first end without a unit borrows the second's."""
    last = _terms(ends[-1])
    first = _terms(ends[0])
    if not last or not first:
        return None
    if len(first) == 1 and not first[0][1]:
        first = [(first[0][0], last[-1][1])]
    high, low = _si(last, dimension), _si(first, dimension)
    if high is None or low is None:
        return None
    return low, high, last[-1][1] if dimension == "count" else ""


def _terms(text: str) -> list[tuple[float, str]]:
    terms, position = [], 0
    while position < len(text):
        match = _TERM.match(text, position)
        if not match:
            return []
        sign, number, unit = match.groups()
        value = float(sum(Fraction(part) for part in number.split()))
        terms.append((-value if sign == "-" else value, (unit or "").strip().casefold()))
        position = match.end()
    return terms


def _si(terms: list[tuple[float, str]], dimension: str) -> float | None:
    if dimension == "count":
        return terms[0][0] if len(terms) == 1 and terms[0][1] else None
    units = UNITS[dimension]
    if any(unit not in units for _, unit in terms):
        return None
    if dimension == "temperature":
        return _kelvin(*terms[0]) if len(terms) == 1 else None
    return sum(value * units[unit] for value, unit in terms)


def _kelvin(value: float, unit: str) -> float:
    if unit == "k":
        return value
    return ICE_POINT + (value if unit.endswith("c") else (value - 32) / 1.8)


def _checked(
    text: str, dimension: str, found: tuple[float, float, str], dimensions: tuple[str, ...]
) -> Quantity:
    low, high, measure = found
    if low > high:
        raise NotAQuantity("range-backwards", text, dimensions)
    if dimension not in SIGNED and low < 0:
        raise NotAQuantity("below-zero", text, dimensions)
    if dimension == "temperature" and low < 0:
        raise NotAQuantity("below-absolute-zero", text, dimensions)
    return Quantity(text, dimension, low, high, measure)


def written(value: float, unit: str, digits: int = 0) -> str:
    """Write an SI value in a unit the author would use, to read back equal.

    >>> written(0.412, "g"), written(298.15, "°C")
    ('412 g', '25 °C')
    """
    key = unit.casefold()
    if key in UNITS["temperature"]:
        celsius = value - ICE_POINT
        shown = celsius if key.endswith("c") else celsius * 1.8 + 32
    else:
        shown = value / next(units[key] for units in UNITS.values() if key in units)
    return f"{shown:.{digits}f} {unit}"
