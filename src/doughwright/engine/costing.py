"""What a batch costs: its ingredients, the oven's energy, and hands where they are paid.

Nothing is rounded here: a sum of rounded lines is not the rounded sum. Money is a plain
number of one currency, and :func:`one_currency` refuses to mix two. An ingredient without a
price is not taken for free: its cost is None, and its share of the mass is known.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from doughwright.engine.oven import Cavity, preheating_time
from doughwright.errors import ImpossibleInput, Notice
from doughwright.sources import ASSUMPTION, ModelCard, Range, notices_for
from doughwright.units import (
    Joule,
    Kelvin,
    Kilogram,
    Money,
    MoneyPerJoule,
    MoneyPerKilogram,
    MoneyPerSecond,
    Ratio,
    Second,
)

OVEN_ENERGY = ModelCard(
    key="oven-energy",
    name="Energy of a bake",
    predicts="what an oven's heater gives off from switching on to switching off",
    sources=(ASSUMPTION,),
    inputs={
        "setting": Range(323.15, 623.15, "K"),
        "time": Range(0.0, 86400.0, "s", beyond="refuse"),
        "bread": Range(0.0, 1e9, "J", beyond="refuse"),
    },
    expected_error="30 %: the oven's heat capacity 20 %, its loss 11 %, the bread's heat 15 %",
    known_from="spread of the assumed oven; the one bake whose measured energy we know, 2 kWh in "
    "75 min, comes out 3–22 % lower with setting (200–230 °C), load and heating up assumed",
    assumptions=(
        "oven and lining warm as one, and give back what they hold when the oven is set lower",
        "open doors, fan, lamp and a stone are not counted",
        "of a gas flame the heat inside the oven is counted, not what leaves by the flue",
    ),
)


@dataclass(frozen=True, slots=True)
class PricedLine:
    """One ingredient of a preparation; the price is for what goes into the bowl.

    ``price`` is None where nobody knows it.
    """

    preparation: str
    name: str
    mass: Kilogram
    price: MoneyPerKilogram | None

    @property
    def cost(self) -> Money | None:
        """What the line costs, unrounded."""
        return None if self.price is None else line_cost(self.mass, self.price)


@dataclass(frozen=True, slots=True)
class BatchCost:
    """What a batch costs; ``energy`` and ``labour`` are None where nobody knows them."""

    lines: tuple[PricedLine, ...]
    currency: str
    energy: Money | None = None
    labour: Money | None = None

    @property
    def ingredients(self) -> Money:
        """Cost of all lines whose price is known."""
        return ingredient_cost(self.lines)

    @property
    def total(self) -> Money:
        """All costs that are known."""
        return self.ingredients + (self.energy or 0.0) + (self.labour or 0.0)

    @property
    def unknown(self) -> tuple[str, ...]:
        """Names of what has no price, each once."""
        return tuple(dict.fromkeys(line.name for line in self.lines if line.price is None))

    @property
    def unknown_share(self) -> Ratio:
        """Share of the mass that has no price."""
        return unpriced_share(self.lines)


def line_cost(mass: Kilogram, price: MoneyPerKilogram) -> Money:
    """Cost of a mass.

    >>> line_cost(0.250, 6.40)  # by hand: a quarter of 6.40
    1.6
    """
    return mass * price


def ingredient_cost(lines: Iterable[PricedLine]) -> Money:
    """Cost of the lines whose price is known.

    >>> lines = [PricedLine("dough", "flour", 2.0, 1.10), PricedLine("dough", "water", 1.3, 0.0)]
    >>> ingredient_cost([*lines, PricedLine("dough", "secret", 0.1, None)])  # by hand
    2.2
    """
    return sum((line.cost for line in lines if line.cost is not None), 0.0)


def unpriced_share(lines: Sequence[PricedLine]) -> Ratio:
    """Share of the mass of lines that has no price.

    >>> lines = [PricedLine("dough", "flour", 3.0, 1.10), PricedLine("dough", "secret", 1.0, None)]
    >>> unpriced_share(lines)  # 1 of 4 kg
    0.25
    """
    whole = sum(line.mass for line in lines)
    return sum(line.mass for line in lines if line.price is None) / whole if whole else 0.0


def price_by_count(each: Money, edible_mass: Kilogram) -> MoneyPerKilogram:
    """Price of a kilogram of what is bought by number, from the edible mass of one.

    The shell costs nothing of its own: 0.32 for an egg of which 60 g are eaten.

    >>> round(price_by_count(0.32, 0.060), 3)  # by hand
    5.333

    Raises
    ------
    ImpossibleInput
        If one weighs nothing.
    """
    if edible_mass <= 0.0:
        raise ImpossibleInput([Notice.of("price-of-nothing", mass=edible_mass)])
    return each / edible_mass


def price_of_edible(bought: MoneyPerKilogram, edible: Ratio) -> MoneyPerKilogram:
    """Price of a kilogram that goes into the bowl, where ``edible`` is its share of what is bought.

    >>> round(price_of_edible(2.90, 0.67), 3)  # leek, by hand
    4.328

    Raises
    ------
    ImpossibleInput
        If nothing of it goes into the bowl, or more than was bought.
    """
    if not 0.0 < edible <= 1.0:
        raise ImpossibleInput([Notice.of("price-of-no-share", edible=edible)])
    return bought / edible


def mixed_price(parts: Sequence[tuple[Ratio, MoneyPerKilogram | None]]) -> MoneyPerKilogram | None:
    """Price of a mixture from the shares and prices of its parts; None if one is unknown.

    >>> mixed_price([(0.5, 1.20), (0.5, 0.0)])  # a starter, half of it water
    0.6
    """
    if any(price is None and share > 0.0 for share, price in parts):
        return None
    return sum(share * price for share, price in parts if price is not None)


def per_piece(cost: Money, pieces: int) -> Money:
    """Cost of one piece.

    >>> per_piece(8.0, 16)
    0.5

    Raises
    ------
    ImpossibleInput
        If there are no pieces.
    """
    if pieces < 1:
        raise ImpossibleInput([Notice.of("cost-of-no-bread")])
    return cost / pieces


def per_baked_kilogram(cost: Money, baked: Kilogram) -> MoneyPerKilogram:
    """Cost of a kilogram of bread as it leaves the oven.

    >>> per_baked_kilogram(3.0, 1.2)  # by hand
    2.5

    Raises
    ------
    ImpossibleInput
        If nothing is baked.
    """
    if baked <= 0.0:
        raise ImpossibleInput([Notice.of("cost-of-no-bread")])
    return cost / baked


def one_currency(currencies: Iterable[str]) -> str:
    """The one currency of some prices, empty where there are none.

    >>> one_currency(["EUR", "EUR"])
    'EUR'

    Raises
    ------
    ImpossibleInput
        If there are two: nobody here knows what one is worth in the other.
    """
    found = list(dict.fromkeys(currencies))
    if len(found) > 1:
        raise ImpossibleInput([Notice.of("currencies-mixed", read=", ".join(found))])
    return found[0] if found else ""


def energy_cost(energy: Joule, price: MoneyPerJoule) -> Money:
    """Cost of energy.

    >>> round(energy_cost(7.2e6, 0.30 / 3.6e6), 2)  # 2 kWh at 0.30
    0.6
    """
    return energy * price


def labour_cost(hands_on: Second, wage: MoneyPerSecond) -> Money:
    """Cost of the time that takes hands; waiting is not paid.

    >>> labour_cost(2400.0, 15.0 / 3600.0)  # 40 min at 15 an hour
    10.0
    """
    return hands_on * wage


@dataclass(frozen=True, slots=True)
class OvenHold:
    """How long an oven is kept at a temperature."""

    setting: Kelvin
    time: Second


def preheating_energy(cavity: Cavity, room: Kelvin, setting: Kelvin) -> Joule:
    """What a heater at full power gives until an oven is as hot as it is set.

    >>> usual = Cavity(10e3, 4.5, 2250.0)
    >>> round(preheating_energy(usual, 293.15, 473.15) / 3.6e6, 2)  # kWh; 0.5 are held in 10 kJ/K
    0.62
    """
    return cavity.power * preheating_time(cavity, room, setting)


def holding_energy(cavity: Cavity, room: Kelvin, setting: Kelvin, time: Second) -> Joule:
    """What an empty oven loses to the room while it is kept at a setting.

    >>> holding_energy(Cavity(10e3, 4.5, 2250.0), 293.15, 473.15, 1800.0)  # 4.5·180·1800
    1458000.0
    """
    return cavity.heat_loss * (setting - room) * time


def stored_energy(cavity: Cavity, start: Kelvin, end: Kelvin) -> Joule:
    """What an oven takes up, or (below nought) gives back, from one temperature to another.

    >>> stored_energy(Cavity(10e3, 4.5, 2250.0), 293.15, 473.15)  # 10 kJ/K · 180 K
    1800000.0
    """
    return cavity.heat_capacity * (end - start)


@dataclass(frozen=True, slots=True)
class OvenEnergy:
    """What the heater gives before the bread goes in and while it bakes."""

    preheating: Joule
    baking: Joule
    notices: tuple[Notice, ...] = ()

    @property
    def total(self) -> Joule:
        """Both together."""
        return self.preheating + self.baking


def oven_energy(
    cavity: Cavity, room: Kelvin, holds: Sequence[OvenHold], bread: Joule, *, cold: bool = False
) -> OvenEnergy:
    """Energy of a bake: heating up, what is lost meanwhile, and what the bread takes.

    A heater gives no more than its power for as long as it is on; its power for all that time
    is not what it gives, as it is off for most of it. ``cold`` bread goes into a cold oven.

    >>> usual = Cavity(10e3, 4.5, 2250.0)
    >>> hour = [OvenHold(473.15, 3600.0)]
    >>> round(oven_energy(usual, 293.15, hour, 0.4e6).total / 3.6e6, 2)  # by hand: 0.62+0.81+0.11
    1.54
    >>> round(oven_energy(usual, 293.15, hour, 99e6).baking / 3.6e6, 2)  # an hour of 2.25 kW
    2.25

    Raises
    ------
    ImpossibleInput
        If the setting is hotter than the heater can hold, or there is no time.
    """
    if not holds:
        raise ImpossibleInput([Notice.of("bake-takes-no-time", read="0 min")])
    time, first = sum(hold.time for hold in holds), holds[0].setting
    settings = dict.fromkeys(hold.setting for hold in holds)
    notices = [n for t in settings for n in notices_for(OVEN_ENERGY, setting=t)]
    notices += notices_for(OVEN_ENERGY, time=time, bread=bread)
    preheating = 0.0 if cold else preheating_energy(cavity, room, first)
    taken = bread + stored_energy(cavity, room if cold else first, holds[-1].setting)
    taken += sum(holding_energy(cavity, room, hold.setting, hold.time) for hold in holds)
    return OvenEnergy(preheating, min(max(taken, 0.0), cavity.power * time), tuple(notices))
