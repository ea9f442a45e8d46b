"""Rules on keeping food cold, hot and short: each with its country, its section and its source.

A rule is data (``properties/food_rules.tsv``). Judging a history by one gives a finding that
names it; no two rules are mixed. None of this is legal advice: local codes go first.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, cast

from doughwright.engine import properties
from doughwright.sources import rows
from doughwright.units import Kelvin, Second

Codes = Literal["EU", "UK", "US"]
Jurisdiction = Literal["EU", "UK", "US", "household"]
Tag = Literal["read", "secondary", "from memory"]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. ``low``: to be kept below; ``high``: to be kept above, or reached.

    ``air_or_middle`` and ``other_time`` are what the words say they are. ``name`` is what a
    reader is told, ``note`` holds what the rule leaves out and how it is read here.
    """

    id: str
    jurisdiction: Jurisdiction
    name: str
    says: str
    low: Kelvin | None
    air_or_middle: Kelvin | None
    high: Kelvin | None
    time: Second | None
    other_time: Second | None
    section: str
    source: str
    tag: Tag
    note: str

    @property
    def from_memory(self) -> bool:
        """Whether nobody here has read it."""
        return self.tag == "from memory"


@dataclass(frozen=True, slots=True)
class Finding:
    """What one rule says of a history; all times in s, moments from the history's own zero.

    ``allowed`` and ``exceeded`` are None where the rule gives no number, or where it cannot be
    used because its own condition is not met (``usable`` False). ``reached`` is the moment its
    time is used up, beyond the end of the history if the food stays where it is. ``counts``
    says what ``measured`` is: time out of the cold, or the clock since the food left it.
    """

    rule: Rule
    measured: Second
    allowed: Second | None
    exceeded: bool | None
    reached: Second | None
    usable: bool = True
    counts: Literal["warm", "since"] = "warm"

    @property
    def left(self) -> Second | None:
        """Time left; below zero when the limit is past."""
        return None if self.allowed is None else self.allowed - self.measured


@cache
def rules() -> Mapping[str, Rule]:
    """All rules by id.

    >>> rules()["FC-TPHC-4h"].time / 3600.0, rules()["FC-TPHC-4h"].section
    (4.0, '3-501.19(B)')
    """
    table = rows(properties.FOLDER / "food_rules.tsv")
    return MappingProxyType({row["id"]: _rule(row) for row in table})


def _rule(row: Mapping[str, str]) -> Rule:
    def number(name: str) -> float | None:
        return float(row[name]) if row[name] else None

    return Rule(
        id=row["id"],
        jurisdiction=cast("Jurisdiction", row["jurisdiction"]),
        name=row["name"],
        says=row["says"],
        low=number("low"),
        air_or_middle=number("air_or_middle"),
        high=number("high"),
        time=number("time"),
        other_time=number("other_time"),
        section=row["section"],
        source=row["source"],
        tag=cast("Tag", row["tag"]),
        note=row["note"],
    )


def limit(rule: str, column: Literal["low", "air_or_middle", "high"]) -> Kelvin:
    """A temperature of a rule that has one.

    >>> limit("UK-hot", "high")  # 63 °C
    336.15
    """
    found: float | None = getattr(rules()[rule], column)
    assert found is not None, (rule, column)
    return found


def allowance(rule: str, column: Literal["time", "other_time"] = "time") -> Second:
    """A time of a rule that has one.

    >>> allowance("US-home-2h"), allowance("US-home-2h", "other_time")
    (7200.0, 3600.0)
    """
    found: float | None = getattr(rules()[rule], column)
    assert found is not None, (rule, column)
    return found
