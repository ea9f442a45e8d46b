"""One thing for another with the whole unchanged: preferments, starters, milk, targets.

Each function conserves what its docstring says and refuses what would need less than
nothing of an ingredient, naming the limit.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil, floor

from doughwright.engine.ingredients import Ingredient
from doughwright.errors import ImpossibleInput, Notice
from doughwright.units import Kilogram, Ratio


@dataclass(frozen=True, slots=True)
class Split:
    """A straight dough split in a preferment and what is added to it later."""

    preferment: Mapping[str, Kilogram]
    final: Mapping[str, Kilogram]


def with_preferment(
    dough: Mapping[str, Kilogram],
    share: Ratio,
    hydration: Ratio,
    yeast: Ratio,
) -> Split:
    """Move flour, water and yeast of a straight dough into a preferment.

    ``dough`` holds ``flour``, ``water``, ``yeast`` and whatever else; ``share`` is of
    its flour, ``hydration`` and ``yeast`` are on the preferment's own flour. The sum of
    each ingredient stays as it was.

    >>> split = with_preferment({"flour": 10, "water": 6.7, "yeast": 0.11}, 0.33, 1.0, 0.002)
    >>> round(split.final["water"], 3), round(split.final["yeast"], 4)  # bakemag.com 10807
    (3.4, 0.1034)

    Raises
    ------
    ImpossibleInput
        If the preferment needs more flour, water or yeast than the dough has.
    """
    flour = share * dough["flour"]
    wanted = {"flour": flour, "water": hydration * flour, "yeast": yeast * flour}
    limit = largest_preferment(dough, hydration, yeast)
    if share > limit + 1e-12:
        raise ImpossibleInput(
            [
                Notice.of(
                    "preferment-too-large",
                    style="preferment",
                    share=share,
                    limit=limit,
                    wanted=wanted["water"],
                    there=dough["water"],
                    hydration=dough["water"] / flour,
                )
            ]
        )
    final = {name: mass - wanted.get(name, 0.0) for name, mass in dough.items()}
    return Split(wanted, final)


def largest_preferment(
    dough: Mapping[str, Kilogram], hydration: Ratio, yeast: Ratio = 0.0
) -> Ratio:
    """Largest share of the flour that a preferment can take from a straight dough.

    >>> round(largest_preferment({"flour": 0.425, "water": 0.113}, 1.0), 3)
    0.266
    """
    flour = dough["flour"]
    by_water = dough["water"] / (hydration * flour) if hydration else 1.0
    by_yeast = dough.get("yeast", 0.0) / (yeast * flour) if yeast else 1.0
    return min(1.0, by_water, by_yeast)


def starter_for_hydration(
    flour: Kilogram, water: Kilogram, target: Ratio, starter_hydration: Ratio
) -> Kilogram:
    """Starter that brings flour and water to a wanted hydration.

    >>> round(starter_for_hydration(0.5, 0.275, 0.70, 1.0), 3)  # a lesson with no starter weight
    0.5

    Raises
    ------
    ImpossibleInput
        If no amount of that starter does.
    """
    share = starter_hydration - target
    short = target * flour - water
    if share == 0 or short / share < 0:
        notice = Notice.of("no-starter-reaches", target=target, now=water / flour)
        raise ImpossibleInput([notice])
    return short / share * (1 + starter_hydration)


def liquid_for_hydration(
    flour: Kilogram, water: Kilogram, target: Ratio, liquid_water: Ratio
) -> Kilogram:
    """Extra liquid of a given water content that brings a dough to a wanted hydration.

    >>> round(liquid_for_hydration(0.438, 0.2135, 0.75, 0.87) * 1000, 1)  # recipeswap.org thread
    132.2

    Raises
    ------
    ImpossibleInput
        If the dough is already wetter.
    """
    short = target * flour - water
    if short < 0:
        raise ImpossibleInput([Notice.of("already-wetter", target=target, now=water / flour)])
    return short / liquid_water


@dataclass(frozen=True, slots=True)
class StarterSwap:
    """A starter of another hydration and the flour and water (less than 0: take out)."""

    starter: Kilogram
    flour: Kilogram
    water: Kilogram


def starter_swap(mass: Kilogram, old_hydration: Ratio, new_hydration: Ratio) -> StarterSwap:
    """Replace a starter by one of another hydration; flour and water are conserved.

    The stiffer of the two decides: all its water, or all its flour, comes with the
    new starter.

    >>> swap = starter_swap(0.105, 0.5, 1.0)  # 2:1 leaven by a 1:1 starter, hhandg.com
    >>> round(swap.starter, 3), round(swap.flour, 3), round(swap.water, 3)
    (0.07, 0.035, 0.0)
    """
    flour = mass / (1 + old_hydration)
    water = mass - flour
    if new_hydration >= old_hydration:
        starter = water * (1 + new_hydration) / new_hydration if new_hydration else mass
    else:
        starter = flour * (1 + new_hydration)
    new_flour = starter / (1 + new_hydration)
    return StarterSwap(starter, flour - new_flour, water - (starter - new_flour))


@dataclass(frozen=True, slots=True)
class MilkSwap:
    """Liquid milk and water in place of milk powder; ``fat`` is what comes along."""

    milk: Kilogram
    water: Kilogram
    fat: Kilogram


def milk_for_powder(
    powder: Kilogram, water: Kilogram, milk: Mapping[str, Ratio], by: str
) -> MilkSwap:
    """Replace milk powder and water by liquid milk and less water.

    ``milk`` holds the shares ``water``, ``solids`` (without fat) and ``fat``. ``by``
    says what is conserved: ``"solids"`` without fat, or ``"all solids"``. Water is
    conserved either way.

    >>> milk = {"water": 0.879, "solids": 0.088, "fat": 0.033}
    >>> swap = milk_for_powder(0.025, 0.375, milk, "solids")  # thefreshloaf.com node 53853
    >>> round(swap.milk * 1000), round(swap.water * 1000), round(swap.fat * 1000)
    (284, 125, 9)
    """
    solids = milk["solids"] + (milk["fat"] if by == "all solids" else 0.0)
    liquid = powder / solids
    left = water - liquid * milk["water"]
    if left < 0:
        limit = water / milk["water"] * solids
        raise ImpossibleInput([Notice.of("milk-has-too-much-water", short=-left, limit=limit)])
    return MilkSwap(liquid, left, liquid * milk["fat"])


def equivalent_yeast(mass: Kilogram, written: Ingredient, wanted: Ingredient) -> Kilogram:
    """Mass of another yeast that raises as much.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> table = ingredient_table()
    >>> fresh, active_dry = table["fresh yeast"], table["active dry yeast"]
    >>> round(1000 * equivalent_yeast(0.030, fresh, active_dry), 1)  # Bread, handbook: 0.40
    12.0
    """
    return mass * written.yeast_equivalent / wanted.yeast_equivalent


@dataclass(frozen=True, slots=True)
class EggChoice:
    """Two ways to weigh out egg: some whole and a beaten rest, or one more and less water."""

    whole: int
    beaten: Kilogram
    rounded_up: int
    less_water: Kilogram


def whole_eggs(mass: Kilogram, each: Kilogram, water: Ratio) -> EggChoice:
    """How many eggs make up a mass; ``water`` is the share of water in egg.

    Rounded up, the surplus egg brings water that comes off the dough's.

    >>> choice = whole_eggs(0.1866, 0.050, 0.75)  # 5 eggs on 670 g flour, 500 g wanted
    >>> choice.whole, round(choice.beaten * 1000)
    (3, 37)
    >>> choice.rounded_up, round(choice.less_water * 1000)
    (4, 10)
    """
    whole = floor(mass / each + 1e-9)
    beaten = max(0.0, mass - whole * each)
    rounded_up = ceil(mass / each - 1e-9)
    return EggChoice(whole, beaten, rounded_up, max(0.0, rounded_up * each - mass) * water)


def levain_build(
    wanted: Kilogram, kept: Kilogram, parts: tuple[float, float, float]
) -> tuple[Kilogram, Kilogram, Kilogram]:
    """Seed, flour and water for a levain with some to keep, from parts such as 1:5:5.

    >>> [round(1000 * m, 1) for m in levain_build(0.300, 0.020, (1, 5, 5))]
    [29.1, 145.5, 145.5]
    """
    share = (wanted + kept) / sum(parts)
    seed, flour, water = (share * part for part in parts)
    return seed, flour, water


def limiting_share(
    shares: Mapping[str, Ratio], on_hand: Mapping[str, Kilogram]
) -> tuple[str, Kilogram]:
    """Which ingredient runs out first, and the sum it allows when shares must hold.

    >>> limiting_share({"wholemeal": 0.5, "white": 0.5}, {"wholemeal": 24, "white": 9})
    ('white', 18.0)
    """
    return min(
        ((name, on_hand[name] / share) for name, share in shares.items() if share),
        key=lambda pair: pair[1],
    )
