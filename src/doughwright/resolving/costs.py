"""What a formula costs in a kitchen: prices found for every line, the oven's energy, hands.

The formula's own price of an ingredient goes before the kitchen's. A price is for what goes
into the bowl, unless the formula says which share of what is bought does (`edible:`); of what
is bought by number only the edible mass counts anyway. Tap water is free unless it has a price,
and a starter costs what its flour and water do.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.prices import Price
from doughwright.engine.costing import (
    BatchCost,
    OvenEnergy,
    OvenHold,
    PricedLine,
    energy_cost,
    labour_cost,
    mixed_price,
    one_currency,
    oven_energy,
    price_by_count,
    price_of_edible,
    unpriced_share,
)
from doughwright.engine.formula import Line
from doughwright.engine.ingredients import (
    Ingredient,
    counted_mass,
    ingredient_table,
    measures_of,
    nearest_names,
    size_said,
)
from doughwright.engine.oven import oven_cavity
from doughwright.errors import DocumentError, ImpossibleInput, Notice, Path
from doughwright.resolving.bakes import BakeHere
from doughwright.resolving.formulas import STARTER, ResolvedFormula
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.lines import RYE, WHEAT, ingredient_key, plain_name
from doughwright.resolving.process import TimedStep
from doughwright.units import Joule, MoneyPerKilogram, Ratio, Second

WATER = "water"
"""Comes from the tap, and is free unless it has a price."""


SIZES = ("medium", "large", "small", "extra large", "jumbo")
"""Sizes of what is counted; the first that is known is meant where none is said."""

SIZES_OF_US_EGGS = ("large", *SIZES)
"""In the US a plain egg is a large one (common practice, no source)."""

NO_SIZE = frozenset({"", "piece", "each"})
"""What is left of a measure that says no more than that it counts."""


@dataclass(frozen=True, slots=True)
class PricedFormula:
    """A formula's lines with their prices by weight; ``used`` are the prices they came from."""

    lines: tuple[PricedLine, ...]
    used: Mapping[Path, Price]
    notices: tuple[Notice, ...]


@dataclass(frozen=True, slots=True)
class FormulaCost:
    """What a formula costs in a kitchen, and what is to be said of it."""

    cost: BatchCost
    energy: Joule | None
    notices: tuple[Notice, ...]


class PriceBook:
    """Finds prices for one formula in one kitchen, and remembers what could not be used."""

    def __init__(self, formula: ResolvedFormula, kitchen: Kitchen) -> None:
        """Take the formula's own prices first, then the kitchen's."""
        document = formula.document
        self.region = document.place or "EU"
        self.own: dict[str, tuple[Path, Price]] = {}
        for name, entry in document.ingredients.items():
            if entry.price is not None:
                found = (("ingredients", name, "price"), entry.price)
                self.own[plain_name(name)] = found
                self.own.setdefault(ingredient_key(name), found)
        self.known = {plain_name(name) for name in document.ingredients}
        self.edible = _edible_shares(document)
        self.sizes = _sizes_used(document)
        self.kitchens: dict[str, tuple[Path, Price]] = {
            ingredient_key(name): (("prices", name), price)
            for name, price in kitchen.prices.items()
        }
        self.used: dict[Path, Price] = {}
        self.notices: dict[tuple[str, str], Notice] = {}

    def of_line(self, line: Line) -> MoneyPerKilogram | None:
        """Price of a kilogram of a line, None where it is not known."""
        found = self.named(plain_name(line.name), line.ingredient)
        if found is None and line.ingredient.kind == STARTER:
            return self.starter(line.ingredient)
        return found

    def named(self, name: str, ingredient: Ingredient) -> MoneyPerKilogram | None:
        """Price of a kilogram by the baker's word, by the table's name, of the tap's water."""
        key = ingredient_key(name)
        own = self.own.get(name) or self.own.get(key)
        found = own or self.kitchens.get(key) or self.kitchens.get(ingredient.name)
        if found is None:
            return 0.0 if key == WATER else None
        path, price = found
        where, share = _in_formula(path), self.edible.get(name, self.edible.get(key))
        sized = with_size(price, ingredient, self.region, self.sizes.get(key, ()))
        try:
            amount = price_per_kilogram(sized, ingredient, self.region)
        except ImpossibleInput as error:
            self._say(name, where, *error.problems)
            return None
        self.used[path] = price
        if sized is not price:
            self._say(name, where, _size_assumed(price, sized, ingredient, self.region))
        if share is None:
            return amount
        if price.dimension == "count":
            said = {"name": name, "read": price.text}
            self._say(name, where, Notice.of("edible-not-counted", **said))
            return amount
        in_bowl = price_of_edible(amount, share)
        self._say(name, where, _as_bought(name, price, share, in_bowl))
        return in_bowl

    def _say(self, name: str, where: Path, *said: Notice) -> None:
        for notice in said:
            self.notices[name, notice.code] = replace(notice, where=where)

    def starter(self, starter: Ingredient) -> MoneyPerKilogram | None:
        """Price of a starter that has none of its own: that of its flour and water."""
        table = ingredient_table()
        flour, water = table[RYE if RYE in starter.note else WHEAT], table[WATER]
        dry = starter.flour / flour.flour
        parts = [(dry, self.named(flour.name, flour)), (1.0 - dry, self.named(WATER, water))]
        return mixed_price(parts)

    def strangers(self) -> Iterator[Notice]:
        """Prices of the kitchen for what neither the table nor the formula knows."""
        for key, (path, _) in self.kitchens.items():
            if key not in ingredient_table() and key not in self.known:
                like = next(iter(nearest_names(key, 1)), "")
                yield Notice.of("price-of-unknown-ingredient", read=str(path[-1]), like=like)


def _in_formula(path: Path) -> Path:
    """The path if it leads into the formula: the kitchen is another text."""
    return path if path[0] == "ingredients" else ()


def _edible_shares(document: FormulaDocument) -> Mapping[str, Ratio]:
    """The share of what is bought that goes into the bowl, where the baker states it."""
    found: dict[str, Ratio] = {}
    for name, entry in document.ingredients.items():
        if entry.edible is not None:
            found[plain_name(name)] = entry.edible.best
            found.setdefault(ingredient_key(name), entry.edible.best)
    return found


def _sizes_used(document: FormulaDocument) -> Mapping[str, tuple[str, ...]]:
    """The one size in which a formula counts an ingredient: that is what is bought for it."""
    found: dict[str, set[str]] = {}
    for p in document.preparations.values():
        for name, line in p.ingredients.items():
            if line.amount.dimension == "count":
                size = size_said(line.amount.measure, plain_name(name))
                found.setdefault(ingredient_key(name), set()).add(size)
    return {key: tuple(sizes) for key, sizes in found.items() if len(sizes) == 1}


def with_size(price: Price, ingredient: Ingredient, region: str, used: Sequence[str] = ()) -> Price:
    """A price by number with the size that is meant, where it says none and one is known.

    That is the size ``used`` in the formula, else the ordinary one.

    >>> from doughwright.documents.prices import price
    >>> egg = ingredient_table()["egg"]
    >>> with_size(price("0.32 EUR/egg", "count"), egg, "LV").measure
    'medium'
    """
    if price.dimension != "count" or size_said(price.measure, ingredient.name) not in NO_SIZE:
        return price
    plain_egg = region.upper() == "US" and ingredient.kind == "egg"
    known = measures_of(ingredient.name, region)
    meant = (*(size for size in used if size in SIZES), *(SIZES_OF_US_EGGS if plain_egg else SIZES))
    size = next((size for size in meant if size in known), price.measure)
    return price if size == price.measure else replace(price, measure=size)


def _size_assumed(price: Price, sized: Price, ingredient: Ingredient, region: str) -> Notice:
    measure = r"\s+".join(map(re.escape, price.measure.split()))
    example = re.sub(rf"{measure}\s*$", sized.measure, price.text, flags=re.IGNORECASE)
    mass = counted_mass(ingredient.name, sized.measure, region)
    values = {"size": sized.measure, "mass": mass, "example": example}
    return Notice.of("price-size-assumed", name=ingredient.name, read=price.text, **values)


def _as_bought(name: str, price: Price, edible: Ratio, in_bowl: MoneyPerKilogram) -> Notice:
    values = {"read": price.text, "price": in_bowl, "currency": price.currency}
    return Notice.of("price-of-what-is-bought", name=name, edible=edible, **values)


def price_per_kilogram(price: Price, ingredient: Ingredient, region: str) -> MoneyPerKilogram:
    """Price of a kilogram of an ingredient, of what is bought by number as it is eaten.

    >>> from doughwright.documents.prices import price
    >>> eggs = price("3.20 EUR/10 large", "count")
    >>> round(price_per_kilogram(eggs, ingredient_table()["egg"], "US"), 2)  # 0.32 for 50 g
    6.4

    Raises
    ------
    ImpossibleInput
        If its density or the mass of one is not known.
    """
    if price.dimension == "mass":
        return price.amount
    said = {"name": ingredient.name, "read": price.text}
    if price.dimension == "volume":
        if ingredient.density is None:
            raise ImpossibleInput([Notice.of("price-needs-density", **said)])
        return price.amount / ingredient.density
    one = counted_mass(ingredient.name, price.measure, region)
    if one is None:
        known = ", ".join(measures_of(ingredient.name, region)) or "none"
        raise ImpossibleInput([Notice.of("price-needs-measure", **said, allowed=known)])
    return price_by_count(price.amount, one)


def priced_formula(formula: ResolvedFormula, kitchen: Kitchen) -> PricedFormula:
    """Find a price by weight for every line of a formula, as much of it as is made."""
    book = PriceBook(formula, kitchen)
    lines = tuple(
        PricedLine(p.name, line.name, mass, book.of_line(line))
        for p in formula.solution.preparations
        for line, mass in zip(p.preparation.lines, p.masses, strict=True)
    )
    notices = [*book.notices.values(), *book.strangers()]
    unknown = dict.fromkeys(line.name for line in lines if line.price is None)
    if unknown:
        said = {"names": ", ".join(unknown), "share": unpriced_share(lines)}
        notices.append(Notice.of("price-unknown", **said))
    return PricedFormula(lines, book.used, tuple(notices))


def hands_on_time(steps: Iterable[TimedStep]) -> Second:
    """Time of the steps that take hands, as far as it is known."""
    return sum(t.lasts.best for t in steps if t.hands_on and t.lasts.known)


def bake_energy(here: BakeHere) -> OvenEnergy | None:
    """Energy of all loads of a bake; None where it is never done.

    An oven too weak for its setting by its own power heats all the time.
    """
    if here.seen is None:
        return None
    site, course = here.kitchen.oven, here.course.oven
    loads, time = here.course.load.loads, here.seen.time
    holds = [OvenHold(course.first, min(time, course.change_at) * loads)]
    if course.second is not None and time > course.change_at:
        holds.append(OvenHold(course.second, (time - course.change_at) * loads))
    bread = here.seen.heat * here.pieces
    flue = (Notice.of("energy-without-flue"),) if course.kind == "gas" else ()
    try:
        cavity = oven_cavity(site.heats_in, site.power)
        found = oven_energy(cavity, here.kitchen.room, holds, bread, cold=here.cold)
    except ImpossibleInput:
        power = site.power or 0.0
        return OvenEnergy(power * site.heats_in, power * time * loads, flue)
    return OvenEnergy(found.preheating, found.baking, (*found.notices, *flue))


def formula_cost(
    formula: ResolvedFormula,
    kitchen: Kitchen,
    bake: BakeHere | None = None,
    steps: Iterable[TimedStep] = (),
) -> FormulaCost:
    """What a formula costs in a kitchen: ingredients, and energy and hands where they have a price.

    Raises
    ------
    DocumentError
        If the prices that count are in more than one currency.
    """
    priced = priced_formula(formula, kitchen)
    used = dict(priced.used)
    energy = bake_energy(bake) if bake is not None else None
    hands = hands_on_time(steps)
    paid_energy = paid_labour = None
    if kitchen.energy is not None and energy is not None:
        used["energy",] = kitchen.energy
        paid_energy = energy_cost(energy.total, kitchen.energy.amount)
    if kitchen.labour is not None and hands:
        used["labour",] = kitchen.labour
        paid_labour = labour_cost(hands, kitchen.labour.amount)
    currency = _currency(used, kitchen)
    cost = BatchCost(priced.lines, currency, paid_energy, paid_labour)
    said = energy.notices if energy is not None and paid_energy is not None else ()
    return FormulaCost(cost, energy.total if energy else None, (*priced.notices, *said))


def _currency(used: Mapping[Path, Price], kitchen: Kitchen) -> str:
    """The currency of the prices that count; the kitchen's where there are none."""
    try:
        return one_currency(price.currency for price in used.values()) or kitchen.currency
    except ImpossibleInput as error:
        (mixed,) = error.problems
    at_home = [path for path in used if not _in_formula(path)]
    first = used[at_home[0]].currency if at_home else next(iter(used.values())).currency
    others = [path for path, price in used.items() if price.currency != first]
    raise DocumentError([Notice(mixed.code, _in_formula(p), mixed.values) for p in others])
