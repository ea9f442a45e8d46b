"""Amounts and weights in words, as candidates, origins and a formula's own text show them."""

import re
from collections.abc import Iterable

from doughwright.gathering.gathered import Amount, Choice
from doughwright.units import Kilogram, Second


def said(amount: Amount) -> str:
    """An amount as it is written, or its number and unit where only those were kept.

    >>> from doughwright.gathering.lines.amounts import amount_of
    >>> said(amount_of("1 cup (125 g)").same[0])
    '125 g'
    """
    if amount.words:
        return amount.words
    pack = f" of {said(amount.package)}" if amount.package else ""
    more = "".join(f" + {said(other)}" for other in amount.more)
    return f"{ends(amount.low, amount.high)} {amount.unit}{pack}{more}".strip()


def ends(low: float, high: float) -> str:
    """A number, or the two ends of a range.

    >>> ends(0.75, 1), ends(2, 2)
    ('0.75–1', '2')
    """
    return f"{low:g}" if low == high else f"{low:g}–{high:g}"


def as_key(words: str) -> str:
    """A candidate's words as one word.

    >>> as_key("large, EU")
    'large-EU'
    """
    return "-".join(re.findall(r"[\w.]+", words))


def listed(choices: Iterable[Choice]) -> str:
    """Candidates with what each would weigh, in one sentence."""
    by_mass: dict[str, list[str]] = {}
    for choice in choices:
        by_mass.setdefault(grams(choice.mass[1]) if choice.mass else "", []).append(choice.words)
    return "; ".join(
        ", ".join(words) if not mass or words == [mass] else f"{', '.join(words)} ({mass})"
        for mass, words in by_mass.items()
    )


def weight_beside(choice: Choice) -> str:
    """What a candidate would weigh; empty where its words say so, or nobody knows.

    >>> weight_beside(Choice("1-cup", "1 cup", (0.12, 0.125, 0.15)))
    '125 g'
    """
    weight = grams(choice.mass[1]) if choice.mass else ""
    return "" if weight and re.search(rf"(?<![\d.]){re.escape(weight)}", choice.words) else weight


def grams(mass: Kilogram) -> str:
    """A weight that was worked out: four digits, and never more than milligrams.

    >>> grams(0.028349523), grams(0.45359237), grams(2.36588)
    ('28.35 g', '453.6 g', '2366 g')
    """
    value = 1000 * mass
    return f"{number(float(f'{value:.4g}') if value < 1000 else round(value))} g"


def weight_as_written(mass: Kilogram) -> str:
    """A weight that somebody wrote, to the milligram."""
    return f"{number(1000 * mass)} g"


def number(value: float) -> str:
    """A number of at most three decimals, as it would be written by hand."""
    return f"{value:.3f}".rstrip("0").rstrip(".")


def time_words(low: Second, high: Second) -> str:
    """A time, or a range of it, as a formula says it: in hours from two of them on.

    >>> time_words(37800, 51300), time_words(1200, 1500)
    ('10 h 30 min–14 h 15 min', '20–25 min')
    >>> time_words(28800, 43200)
    '8–12 h'
    """
    if low < high and high >= 7200 and low % 3600 == high % 3600 == 0:
        return f"{low / 3600:.0f}–{high / 3600:.0f} h"
    if high < 7200:
        unit, seconds = ("min", 60.0) if high >= 60 else ("s", 1.0)
        first = f"{number(low / seconds)}–" if low < high else ""
        return f"{first}{number(high / seconds)} {unit}"
    return f"{_hours(low)}–{_hours(high)}" if low < high else _hours(high)


def _hours(seconds: Second) -> str:
    hours, left = divmod(seconds, 3600)
    parts = [f"{hours:.0f} h"] if hours else []
    return " ".join([*parts, f"{number(left / 60)} min"] if left or not hours else parts)
