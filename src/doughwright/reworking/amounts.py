"""Amounts written anew: in their author's unit, and no finer than can be weighed."""

import re
from math import ceil, floor, log10

from doughwright.documents.quantities import UNITS, Quantity
from doughwright.units import Kilogram, Metre, Ratio

DIGITS = 5
"""Figures an amount is written with at most: the fifth of 1 kg of flour is 10 mg."""

LEAST_DIGITS = 3
"""A pinch of yeast still has these: half of the third is 0.5 % of it at most."""

FINEST: Kilogram = 1e-5
FINEST_LENGTH: Metre = 1e-3
DECIMALS_OF_PERCENT = 3
"""Further down than 10 mg, or 10 mg on 1 kg of flour, nobody weighs; nor measures than 1 mm."""

MOST_DECIMALS = 9

EXACT: Ratio = 1e-9

_UNIT = re.compile(r"(\s*)([^\d\s.,/+\-–—][^\d,+–—]*)$")
_DECIMALS = re.compile(r"\.(\d+)")


def unit_of(amount: Quantity) -> str:
    """Return the unit an amount is written in; of several the last.

    >>> from doughwright.documents.quantities import quantity
    >>> unit_of(quantity("1 lb 2 oz", "mass"))
    'oz'
    """
    found = _UNIT.search(amount.text.strip())
    return found[2].strip() if found else ""


def gap(amount: Quantity) -> str:
    """Return what stands between an amount's number and its unit."""
    found = _UNIT.search(amount.text.strip())
    return found[1] if found else " "


def size_of_unit(amount: Quantity) -> float:
    """Return how much one of the unit is that an amount is written in."""
    units = UNITS.get(amount.dimension, {})
    return units.get(unit_of(amount).casefold(), 1.0)


def decimals(text: str) -> int:
    """Return how many decimals the finest number of a text has.

    >>> decimals("1.25–2 g")
    2
    """
    return max((len(found) for found in _DECIMALS.findall(text)), default=0)


def times(was: Quantity, factor: Ratio, finest: int = 0) -> str:
    """Return an amount so many times, in the author's unit, with ``finest`` decimals or more.

    >>> from doughwright.documents.quantities import quantity
    >>> times(quantity("60–70 g", "mass"), 1.5), times(quantity("0.2 %", "percent"), 0.33)
    ('90–105 g', '0.066 %')
    """
    if abs(factor - 1) < EXACT:
        return was.text
    size = size_of_unit(was)
    ends = [was.low * factor / size, was.high * factor / size]
    shown = [number(end, finest, enough(was)) for end in (ends if was.ranged else ends[:1])]
    return f"{'–'.join(shown)}{gap(was)}{unit_of(was)}"


def enough(like: Quantity) -> int:
    """Return how many decimals tell all that can be weighed, in an author's unit.

    >>> from doughwright.documents.quantities import quantity
    >>> [enough(quantity(text, "mass")) for text in ("2 g", "2 kg", "2 oz")]
    [2, 5, 4]
    """
    if like.dimension == "percent":
        return DECIMALS_OF_PERCENT
    finest = {"mass": FINEST, "length": FINEST_LENGTH}.get(like.dimension)
    if finest is not None:
        return max(0, ceil(round(log10(size_of_unit(like) / finest), 6)))
    return MOST_DECIMALS


def number(value: float, finest: int = 0, enough: int = MOST_DECIMALS) -> str:
    """Return a number with five figures, fewer where so many decimals are ``enough``.

    It has three figures, and ``finest`` decimals, all the same.

    >>> number(0.0660012), number(333.333333), number(0.5, 3)
    ('0.066001', '333.33', '0.5')
    >>> number(18.78642, enough=2), number(0.0712871, enough=2), number(0.9, 4, 3)
    ('18.79', '0.0713', '0.9')
    """
    size = floor(log10(value)) if value > 0 else 0
    needed = max(min(DIGITS - 1 - size, enough), LEAST_DIGITS - 1 - size, finest, 0)
    shown = f"{value:.{min(MOST_DECIMALS, needed)}f}"
    return (shown.rstrip("0").rstrip(".") if "." in shown else shown) or "0"


def amount_of(mass: Kilogram, flour: Kilogram, like: Quantity) -> str:
    """Return a weight as its neighbour is written: percent of the flour, or its unit of weight.

    >>> from doughwright.documents.quantities import quantity
    >>> amount_of(0.012, 0.6, quantity("70%", "percent"))
    '2%'
    """
    if like.dimension not in {"percent", "mass"}:
        return grams(mass)
    value = 100 * mass / flour if like.dimension == "percent" else mass / size_of_unit(like)
    return f"{number(value, 0, enough(like))}{gap(like)}{unit_of(like)}"


def grams(mass: Kilogram) -> str:
    """Return a weight in grams, to what can be weighed.

    >>> grams(0.0333333)
    '33.33 g'
    """
    return f"{number(1000 * mass, enough=2)} g"


def at_most(limit: Ratio) -> Ratio:
    """Return a limit as it is shown, rounded so that it can be asked for.

    >>> at_most(0.10867), at_most(0.03456)
    (0.108, 0.0345)
    """
    step = 1000 if limit >= 0.1 else 10000
    return floor(limit * step + EXACT) / step


def at_least(limit: Ratio) -> Ratio:
    """Return a least value as it is shown, rounded so that it can be asked for.

    >>> at_least(0.50123), at_least(0.0345)
    (0.502, 0.0345)
    """
    step = 1000 if limit >= 0.1 else 10000
    return ceil(limit * step - EXACT) / step
