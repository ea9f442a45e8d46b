"""How labels round: bands by the size of the unrounded value, halves upwards.

The bands stand in ``properties/label_rounding.tsv``. Values come as SI floats and leave
as what is printed.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from types import MappingProxyType

from doughwright.engine.nutrition import JOULES_PER_KILOCALORIE
from doughwright.engine.properties import FOLDER
from doughwright.sources import rows

DIGITS = 12
"""Significant digits that are looked at: what lies behind them is noise of binary floats."""

SI: Mapping[str, float] = MappingProxyType(
    {
        "kJ": 1e3,
        "kcal": JOULES_PER_KILOCALORIE,
        "Cal": JOULES_PER_KILOCALORIE,
        "g": 1e-3,
        "mg": 1e-6,
        "%": 1e-2,
        "%DV": 1e-2,
    }
)
"""What one unit of a label is in J, kg or as a ratio."""

SPELLED: Mapping[str, str] = MappingProxyType({"Cal": "", "%DV": "%"})
"""How units are printed that are not printed as they are."""


@dataclass(frozen=True, slots=True)
class Band:
    """Values up to ``up_to`` (None: all) are rounded to ``step``, or printed as said."""

    up_to: Decimal | None
    included: bool
    step: Decimal | None
    printed: str

    def holds(self, value: Decimal) -> bool:
        """Whether a value that no earlier band holds belongs here."""
        if self.up_to is None or value < self.up_to:
            return True
        return self.included and value == self.up_to


@dataclass(frozen=True, slots=True)
class RoundingRule:
    """The bands of one nutrient from below, the label's unit and where the rule stands."""

    unit: str
    bands: tuple[Band, ...]
    source: str
    locator: str

    def band(self, value: Decimal) -> Band:
        """The band of a value."""
        return next(band for band in self.bands if band.holds(value))


@cache
def rounding_rules() -> Mapping[tuple[str, str], RoundingRule]:
    """Every rule by whose it is (``EU``, ``US``) and the nutrient.

    >>> rounding_rules()["US", "sodium"].locator
    '21 CFR 101.9(c)(4)'
    """
    found: dict[tuple[str, str], RoundingRule] = {}
    for row in rows(FOLDER / "label_rounding.tsv"):
        for nutrient in row["nutrients"].split("; "):
            earlier = found.get((row["rules"], nutrient))
            bands = (*(earlier.bands if earlier else ()), _band(row))
            rule = RoundingRule(row["unit"], bands, row["source"], row["locator"])
            found[row["rules"], nutrient] = rule
    return MappingProxyType(found)


def printed(rules: str, nutrient: str, value: float) -> str:
    """What a label prints for an unrounded value in SI units (kg, J or a ratio).

    The band is chosen by the unrounded value; a value that is rounded up into the next
    band is written as values there are.

    >>> printed("EU", "fat", 0.00996), printed("EU", "saturates", 0.00009)
    ('10 g', '<0.1 g')
    >>> printed("US", "sodium", 0.0001425), printed("US", "carbohydrate", 0.0007)
    ('140 mg', 'less than 1 g')
    """
    assert value >= 0, "nothing that is eaten weighs less than nothing"
    rule = rounding_rules()[rules, nutrient]
    exact = without_noise(value / SI[rule.unit])
    band = rule.band(exact)
    if band.step is None:
        return band.printed
    rounded = _rounded(exact, band.step)
    above = rule.band(rounded).step or band.step
    unit = SPELLED.get(rule.unit, f" {rule.unit}")
    return f"{_digits(rounded, max(band.step, above))}{unit}"


def without_noise(value: float) -> Decimal:
    """Return a float as the decimal it stands for, without the noise of binary arithmetic.

    >>> without_noise(0.1 + 0.2)
    Decimal('0.3')
    """
    return Decimal(f"{value:.{DIGITS}g}")


def _rounded(value: Decimal, step: Decimal) -> Decimal:
    return (value / step).quantize(Decimal(1), ROUND_HALF_UP) * step


def _digits(value: Decimal, step: Decimal) -> str:
    """Write as many decimals as the step has; halves only where there are some."""
    shown = value.quantize(step) if step < 1 else value.quantize(Decimal(1))
    whole = shown == shown.to_integral_value()
    return f"{shown.to_integral_value() if whole and step == Decimal('0.5') else shown:f}"


def _band(row: Mapping[str, str]) -> Band:
    return Band(
        up_to=Decimal(row["up_to"]) if row["up_to"] else None,
        included=row["included"] == "yes",
        step=Decimal(row["step"]) if row["step"] else None,
        printed=row["printed"],
    )
