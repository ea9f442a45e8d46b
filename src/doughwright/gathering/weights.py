"""What an amount weighs once it is settled whose measures and eggs are meant."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from doughwright.engine.household import household_constant
from doughwright.engine.ingredients import Ingredient, measures_of
from doughwright.gathering.amounts import ABOUT
from doughwright.gathering.gathered import Amount
from doughwright.gathering.measures import (
    EVERYWHERE,
    LITRES,
    SYSTEMS,
    ListedMeasure,
    listed_measures,
    measure_constant,
    measured_mass,
    volume_of,
)
from doughwright.units import Kilogram, Ratio

Mass = tuple[Kilogram, Kilogram, Kilogram]
"""Low, best and high."""

WEIGHT_OF: Mapping[str, Kilogram] = MappingProxyType(
    {"mg": 1e-6, "g": 1e-3, "kg": 1.0, "oz": 0.028349523125, "lb": 0.45359237}
)
"""In kg; ounce and pound are exact (NIST Handbook 44)."""

AS_WEIGHED = {"oz": "ounces of 28.35 g", "lb": "pounds of 453.6 g"}

EGGS = frozenset({"egg", "egg yolk", "egg white"})
SIZES = ("small", "medium", "large", "extra large", "jumbo")
"""Sizes the table of measures knows, of eggs and of roots and fruit."""

PACK_WORDS = {"packet": "sachet", "cake": "cake", "piece": ""}
MODIFIED = {
    "heaped": "heaped",
    "heaping": "heaped",
    "rounded": "rounded",
    "generous": "generous",
    "good": "generous",
    "scant": "scant",
}
"""Words that change a measure, by the row that says how much."""

SALT_KINDS = ("fine", "coarse", "flaky")


@dataclass(frozen=True, slots=True)
class Known:
    """What is settled: the country, whose cups, how large an egg or an onion, which salt."""

    country: str = ""
    system: str = ""
    egg: str = ""
    size: str = ""
    salt: str = "fine"
    fluid: bool = False


@dataclass(frozen=True, slots=True)
class Weighed:
    """A mass and how it was found."""

    mass: Mass
    how: str


def weighed(amount: Amount, ingredient: Ingredient | None, known: Known) -> Weighed | None:
    """The mass of an amount with all that is added to it; None where nobody knows.

    >>> from doughwright.gathering.amounts import amount_of
    >>> weighed(amount_of("1 lb 2 oz"), None, Known()).mass[1]  # ounce of NIST Handbook 44
    0.51029141625
    """
    parts = [_weighed(part, ingredient, known) for part in (amount, *amount.more)]
    found = [part for part in parts if part is not None]
    if len(found) < len(parts):
        return None
    low, best, high = (sum(part.mass[at] for part in found) for at in range(3))
    hows = dict.fromkeys(part.how for part in found if part.how)
    return Weighed((low, best, high), ", ".join(hows))


def size_in(amount: Amount) -> str:
    """How large each is, where the amount says so."""
    said = [word.replace("very", "extra").replace("big", "large") for word in amount.modifiers]
    return next((word for word in said if word in SIZES), "")


def rows_for(ingredient: Ingredient, unit: str) -> tuple[ListedMeasure, ...]:
    """Rows of the table of measures for a pack, whatever the country."""
    wanted = PACK_WORDS.get(unit, unit)
    return tuple(row for row in listed_measures(ingredient.name) if row.measure == wanted)


def _weighed(amount: Amount, ingredient: Ingredient | None, known: Known) -> Weighed | None:
    if amount.package is not None:
        inside = weighed(amount.package, ingredient, known)
        return None if inside is None else _times(amount, inside)
    one = _one(amount, ingredient, known)
    return None if one is None else _times(amount, one)


def _times(amount: Amount, one: Weighed) -> Weighed:
    factors = _factors(amount)
    ends = (amount.low * one.mass[0] * factors[0], amount.high * one.mass[2] * factors[2])
    if amount.high < 0:  # what is taken off
        ends = (amount.low * one.mass[2] * factors[2], amount.high * one.mass[0] * factors[0])
    return Weighed((ends[0], amount.best * one.mass[1] * factors[1], ends[1]), one.how)


def _factors(amount: Amount) -> tuple[Ratio, Ratio, Ratio]:
    """How far words such as heaped and about move an amount."""
    row = next((MODIFIED[word] for word in amount.modifiers if word in MODIFIED), "")
    low, best, high = (
        (measure_constant(f"{row}{end}") for end in ("_least", "", "_most")) if row else (1, 1, 1)
    )
    if set(ABOUT) & set(amount.modifiers):
        off = measure_constant("about")
        low, high = low * (1 - off), high * (1 + off)
    return low, best, high


def _one(amount: Amount, ingredient: Ingredient | None, known: Known) -> Weighed | None:
    """What one of the unit weighs."""
    unit = "fl oz" if known.fluid and amount.unit == "oz" else amount.unit
    if unit in WEIGHT_OF:
        one = WEIGHT_OF[unit]
        return Weighed((one, one, one), AS_WEIGHED.get(unit, ""))
    if ingredient is None:
        return None
    if volume_of(unit, known.system) is not None:
        return _volume(unit, ingredient, known)
    return next(_counted(amount, unit, ingredient, known), None)


def _volume(unit: str, ingredient: Ingredient, known: Known) -> Weighed | None:
    best = measured_mass(ingredient, unit, known.system)
    if best is None:
        return None
    best *= _salt_factor(ingredient, known)
    low, high = _filling(unit, ingredient, best, known)
    return Weighed((low, best, high), _measured_so(unit, best, known))


def _measured_so(unit: str, best: Kilogram, known: Known) -> str:
    if unit in LITRES:
        return f"{best / LITRES[unit]:.0f} g a litre"
    named = unit if unit in EVERYWHERE else f"{SYSTEMS[known.system]} {unit}"
    return f"{named} of {best * 1000:.3g} g"


def _salt_factor(ingredient: Ingredient, known: Known) -> Ratio:
    if ingredient.name != "salt" or known.salt == "fine":
        return 1.0
    fine = measures_of("salt")["tsp"]
    return household_constant(f"salt_tsp_{known.salt}") / fine


def _filling(
    unit: str, ingredient: Ingredient, best: Kilogram, known: Known
) -> tuple[Kilogram, Kilogram]:
    """The band of a measure as it is filled: flour by a fifth and more, what pours by nothing."""
    volume, cup = volume_of(unit, known.system), volume_of("cup", "us")
    assert volume is not None, "asked only for what has a volume"
    assert cup is not None, "the table has it"
    if ingredient.kind == "flour" and unit not in {"tsp", "krm", "drop"}:
        light = household_constant("flour_cup_light") * volume / cup
        heavy = household_constant("flour_cup_heavy") * volume / cup
        off = measure_constant("flour_heaps")
        return (light, heavy) if light < best < heavy else (best * (1 - off), best * (1 + off))
    row = next((r for r in listed_measures(ingredient.name) if r.measure == unit), None)
    if ingredient.poured or row is None:
        return best, best
    return best * (1 - row.spread / row.mass), best * (1 + row.spread / row.mass)


def _counted(amount: Amount, unit: str, ingredient: Ingredient, known: Known) -> Iterator[Weighed]:
    """By the table of measures: sizes, packs and pinches, in the country that is known."""
    size = size_in(amount) or (known.egg if ingredient.name in EGGS else known.size)
    measure = PACK_WORDS.get(unit, unit) or size
    row = _row(ingredient.name, measure, known.country)
    if row is not None:
        where = f", {row.region}" if row.region else ""
        spread = (row.mass - row.spread, row.mass, row.mass + row.spread)
        yield Weighed(spread, f"{row.measure}{where}, of {row.mass * 1000:.3g} g")
    if ingredient.name in EGGS and not unit and size:
        yield from _part_of_egg(ingredient.name, size, known.country)
    if unit in {"pinch", "dash"} and ingredient.density is not None:
        volume = measure_constant(unit)
        best = ingredient.density * volume
        yield Weighed((best / 2, best, best * 1.5), f"{unit} of {volume * 1e6:.2g} ml")


def _part_of_egg(name: str, size: str, country: str) -> Iterator[Weighed]:
    """A yolk or a white of a size that is not listed: its share in a large egg."""
    whole, large = _row("egg", size, country), _row("egg", "large", country)
    part = _row(name, "large", country)
    if whole is not None and large is not None and part is not None:
        share = whole.mass / large.mass
        mass = (part.mass - part.spread, part.mass, part.mass + part.spread)
        low, best, high = (share * end for end in mass)
        yield Weighed((low, best, high), f"{size}, {part.region}, of {best * 1000:.3g} g")


def _row(name: str, measure: str, country: str) -> ListedMeasure | None:
    """The row that holds in a country, the nearest region first."""
    mass = measures_of(name, country).get(measure) if measure else None
    rows = (row for row in listed_measures(name) if row.measure == measure and row.mass == mass)
    return next(iter(sorted(rows, key=lambda row: row.region != country)), None)
