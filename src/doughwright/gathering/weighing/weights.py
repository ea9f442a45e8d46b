"""What an amount weighs once it is settled whose measures and eggs are meant."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from doughwright.engine.household import household_constant
from doughwright.engine.ingredients import Ingredient, measures_of
from doughwright.gathering.gathered import Amount
from doughwright.gathering.lines.filled import ABOUT
from doughwright.gathering.lines.unit_words import MEASURES
from doughwright.gathering.telling import ends, grams, number
from doughwright.gathering.weighing.measures import (
    EVERYWHERE,
    LITRES,
    SPOONS,
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

EXACTLY = (1.0, 1.0, 1.0)
SALT_KINDS = ("fine", "coarse", "flaky")


@dataclass(frozen=True, slots=True)
class Known:
    """What is settled: the country, whose cups, how large an egg or an onion, which salt.

    ``alike`` where all systems have so nearly the same measure that none of them is meant;
    ``shelled`` is the share of an egg that is left without its shell, 1 where that is weighed.
    """

    country: str = ""
    system: str = ""
    egg: str = ""
    size: str = ""
    salt: str = "fine"
    fluid: bool = False
    alike: bool = False
    shelled: Ratio = 1.0
    whose: str = ""
    """Where it is known from whose the cups are, if no line or setting says so."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A mass and how it was found; ``ends`` are those of the written amount, filled as usual."""

    mass: Mass
    how: str
    ends: tuple[Kilogram, Kilogram] = (0.0, 0.0)

    @classmethod
    def of(cls, mass: Mass, how: str) -> "Weighed":
        """One of something, which nobody writes a range of."""
        return cls(mass, how, (mass[1], mass[1]))


def weighed(amount: Amount, ingredient: Ingredient | None, known: Known) -> Weighed | None:
    """The mass of an amount with all that is added to it; None where nobody knows.

    >>> from doughwright.gathering.lines.amounts import amount_of
    >>> weighed(amount_of("1 lb 2 oz"), None, Known()).mass[1]  # ounce of NIST Handbook 44
    0.51029141625
    """
    parts = [_weighed(part, ingredient, known) for part in (amount, *amount.more)]
    found = [part for part in parts if part is not None]
    if len(found) < len(parts):
        return None
    low, best, high = (sum(part.mass[at] for part in found) for at in range(3))
    hows = dict.fromkeys(part.how for part in found if part.how)
    least, most = (sum(part.ends[at] for part in found) for at in range(2))
    return Weighed((low, best, high), ", ".join(hows), (least, most))


def size_in(amount: Amount) -> str:
    """How large each is, where the amount says so."""
    said = [word.replace("very", "extra").replace("big", "large") for word in amount.modifiers]
    return next((word for word in said if word in SIZES), "")


def system_in(amount: Amount) -> str:
    """Whose measure it is, where the amount says so: "2 Japanese cups"."""
    return next((word for word in amount.modifiers if word in SYSTEMS), "")


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
    factors, why = _factors(amount)
    low, high = amount.low * one.mass[0] * factors[0], amount.high * one.mass[2] * factors[2]
    if amount.high < 0:  # what is taken off
        low, high = amount.low * one.mass[2] * factors[2], amount.high * one.mass[0] * factors[0]
    how = ", ".join(filter(None, (one.how, *why)))
    best = amount.best * one.mass[1] * factors[1]
    written = sorted(end * one.ends[at] * factors[1] for at, end in _written(amount))
    return Weighed((low, best, high), how, (written[0], written[-1]))


def _written(amount: Amount) -> tuple[tuple[int, float], ...]:
    """The ends of an amount, each with the end of what one of it weighs."""
    return (
        ((0, amount.low), (1, amount.high))
        if amount.high >= 0
        else (
            (1, amount.low),
            (0, amount.high),
        )
    )


def _factors(amount: Amount) -> tuple[tuple[Ratio, Ratio, Ratio], tuple[str, ...]]:
    """How far words such as heaped and about move an amount, and how a baker would say it."""
    word = next((word for word in amount.modifiers if word in MODIFIED), "")
    on_scales = amount.unit in WEIGHT_OF or amount.unit in LITRES
    about = measure_constant("about")
    percent = f"{number(100 * about)} %"
    (low, best, high), why = EXACTLY, []
    if word and on_scales:  # a scale has no heap: it is a little more or less
        low, high = (1 - about, 1.0) if MODIFIED[word] == "scant" else (1.0, 1 + about)
        why.append(f"up to {percent} {'less' if low < 1 else 'more'} for {word}")
    elif word:
        row = f"{MODIFIED[word]}{'' if amount.unit in SPOONS else _in_a_cup(amount.unit, word)}"
        low, best, high = (measure_constant(f"{row}{end}") for end in ("_least", "", "_most"))
        why.append(f"times {best:g} ({ends(low, high)}) for {word}")
    if set(ABOUT) & set(amount.modifiers):
        low, high = low * (1 - about), high * (1 + about)
        why.append(f"± {percent} for about")
    return (low, best, high), tuple(why)


def _in_a_cup(unit: str, word: str) -> str:
    """The ending of the row for a cup: what heaps on it is little beside what it holds."""
    return "_cup" if unit in MEASURES and MODIFIED[word] != "scant" else ""


def _one(amount: Amount, ingredient: Ingredient | None, known: Known) -> Weighed | None:
    """What one of the unit weighs."""
    unit = "fl oz" if known.fluid and amount.unit == "oz" else amount.unit
    if unit in WEIGHT_OF:
        return _on_scales(unit, known)
    if ingredient is None:
        return None
    said = system_in(amount)
    known = replace(known, system=said, alike=False, whose="") if volume_of(unit, said) else known
    if volume_of(unit, known.system) is not None:
        return _volume(unit, ingredient, known)
    return next(_counted(amount, unit, ingredient, known), None)


def _on_scales(unit: str, known: Known) -> Weighed:
    """A weight as it is, or without the shell it is weighed in."""
    one = WEIGHT_OF[unit] * known.shelled
    shell = f"times {known.shelled:g} without the shell" if known.shelled < 1 else ""
    how = ", ".join(filter(None, (AS_WEIGHED.get(unit, ""), shell)))
    return Weighed.of((one, one, one), how)


def _volume(unit: str, ingredient: Ingredient, known: Known) -> Weighed | None:
    best = measured_mass(ingredient, unit, known.system)
    if best is None:
        return None
    best *= _salt_factor(ingredient, known)
    low, high = _filling(unit, ingredient, best, known)
    return Weighed.of((low, best, high), _measured_so(unit, (low, best, high), known))


def _measured_so(unit: str, one: Mass, known: Known) -> str:
    """What one measure weighs, with its band as it is filled."""
    if unit in LITRES and unit != "dl":
        return f"{_weighs([end * 1e-3 / LITRES[unit] for end in one])} a litre"
    if unit in LITRES or unit in EVERYWHERE:
        return f"{unit} of {_weighs(one)}"
    if known.alike and _same_everywhere(unit):
        return f"{unit} of {_weighs(one)} in any system"
    moves = ", another system moves it little" if known.alike else ""
    whose = f", {known.whose}" if known.whose else ""
    return f"{SYSTEMS[known.system]} {unit} of {_weighs(one)}{moves}{whose}"


def _same_everywhere(unit: str) -> bool:
    held = [volume for system in SYSTEMS if (volume := volume_of(unit, system))]
    return max(held) - min(held) <= measure_constant("asks_from") * max(held)


def _weighs(one: Sequence[Kilogram]) -> str:
    """A weight with its band, where it has one.

    >>> _weighs([0.0055, 0.006, 0.0065]), _weighs([0.244, 0.244, 0.244])
    ('6 g (5.5–6.5 g)', '244 g')
    """
    low, best, high = (grams(end) for end in one)
    return best if low == high else f"{best} ({low.removesuffix(' g')}–{high})"


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
        yield Weighed.of(spread, f"{row.measure}{where}, of {_weighs(spread)}")
    if ingredient.name in EGGS and not unit and size:
        yield from _part_of_egg(ingredient.name, size, known.country)
    if unit in {"pinch", "dash"} and ingredient.density is not None:
        volume = measure_constant(unit)
        best = ingredient.density * volume
        band = (best / 2, best, best * 1.5)
        yield Weighed.of(band, f"{unit} of {volume * 1e6:.2g} ml, {_weighs(band)}")


def _part_of_egg(name: str, size: str, country: str) -> Iterator[Weighed]:
    """A yolk or a white of a size that is not listed: its share in a large egg."""
    whole, large = _row("egg", size, country), _row("egg", "large", country)
    part = _row(name, "large", country)
    if whole is not None and large is not None and part is not None:
        share = whole.mass / large.mass
        mass = (part.mass - part.spread, part.mass, part.mass + part.spread)
        low, best, high = (share * end for end in mass)
        how = f"{size}, {part.region}, of {_weighs((low, best, high))}"
        yield Weighed.of((low, best, high), how)


def _row(name: str, measure: str, country: str) -> ListedMeasure | None:
    """The row that holds in a country, the nearest region first."""
    mass = measures_of(name, country).get(measure) if measure else None
    rows = (row for row in listed_measures(name) if row.measure == measure and row.mass == mass)
    return next(iter(sorted(rows, key=lambda row: row.region != country)), None)
