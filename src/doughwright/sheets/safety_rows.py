"""Rows of a safety sheet: where foods stand, what rules and models say of them."""

from dataclasses import dataclass
from typing import Literal

from doughwright.engine.food_rules import Codes, Rule
from doughwright.engine.pathogens import Organism, RiseBand
from doughwright.errors import Notice
from doughwright.resolving.food_paths import When
from doughwright.sheets.cells import Cell
from doughwright.units import Kelvin, Second


@dataclass(frozen=True, slots=True)
class ClockRow:
    """What one rule says of a food; ``at`` is when its time is used up.

    ``usable`` is False where the rule's own condition is not met. ``counts``: time out of the
    cold, or the clock since it left it.
    """

    rule: Rule
    measured: Cell
    allowed: Cell | None
    exceeded: bool | None
    at: Cell | None
    usable: bool
    counts: Literal["warm", "since"] = "warm"


@dataclass(frozen=True, slots=True)
class CookRow:
    """What one rule says of the coldest spot in the oven; ``low`` is the earliest end's.

    ``held`` is the time at ``wanted`` or its equivalent, ``time`` what the rule asks for.
    ``met_early``: met even if the bake is over as early as its band allows.
    """

    rule: Rule
    hottest: Cell
    wanted: Cell
    held: Cell
    time: Cell
    met: bool
    met_early: bool


@dataclass(frozen=True, slots=True)
class LethalityRow:
    """What the oven does at the coldest spot, by the bake as it is worked out.

    ``reduction`` is of Salmonella, log10, by FSIS's line; ``worth`` the time at 70 °C it
    comes to by the UK's equivalents. Both end when the bake does.
    """

    reduction: Cell
    wanted: Cell
    worth: Cell


@dataclass(frozen=True, slots=True)
class CoolingRow:
    """How a food cools where the plan leaves it, after the stove or after the oven."""

    after: Literal["stove", "oven"]
    position: int | None
    clocks: tuple[ClockRow, ...]


@dataclass(frozen=True, slots=True)
class StandRow:
    """The baked bread on display or held hot: from how warm, in what air, how long."""

    held: Literal["hot", "cold"]
    start: Cell
    air: Cell
    time: Cell
    end: Cell
    clocks: tuple[ClockRow, ...]


@dataclass(frozen=True, slots=True)
class GrowthRow:
    """How much a germ could grow before the oven, in powers of ten; advice beside the clocks."""

    organism: Organism
    rise: Cell
    band: RiseBand


@dataclass(frozen=True, slots=True)
class StandingRow:
    """Where a food stood and how warm it was there; times from the plan's first step."""

    position: int | None
    verb: str
    begins: Second
    ends: Second
    start: Kelvin
    end: Kelvin


@dataclass(frozen=True, slots=True)
class FoodRow:
    """One food's way and what the rules say of it.

    ``within`` is what it goes into first; ``unseen``: nothing is known of its core in the oven.
    """

    name: str
    kind: str
    within: str
    put_on: When
    unseen: bool
    holds: tuple[str, ...]
    standing: tuple[StandingRow, ...]
    clocks: tuple[ClockRow, ...]
    growth: tuple[GrowthRow, ...]
    cooking: tuple[CookRow, ...]
    lethality: LethalityRow | None
    cooling: tuple[CoolingRow, ...]
    advice: tuple[Notice, ...]


@dataclass(frozen=True, slots=True)
class SafetySheet:
    """Food safety of a plan by one country's rules, and the household guide beside them.

    ``not_known`` are the baker's own ingredients of which nobody said whether they spoil;
    ``not_followed`` spoils and is put on in no step; ``not_made`` has no step that makes it.
    """

    name: str
    kitchen: str
    codes: Codes
    foods: tuple[FoodRow, ...]
    baked_in_plan: bool
    not_known: tuple[str, ...]
    not_followed: tuple[str, ...]
    not_made: tuple[str, ...]
    keep_cold: bool
    control_by: str
    baked: tuple[Notice, ...]
    stand: StandRow | None
    models: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stand:
    """How long a baked bread stands for sale or service, and in what air."""

    time: Second
    air: Kelvin
