"""What a formula costs in a kitchen: prices found for every line, the oven's energy, hands.

The formula's own price of an ingredient goes before the kitchen's. It is paid for what is
bought, and of that the formula's share goes into the bowl (`edible:`), else, of what is bought
by weight, the table's; of what is bought by number only the edible mass counts anyway. Tap water
is free unless it has a price, and a starter costs what its flour and water do. What is bought by
number is as large as in the kitchen's country, and by a price of the formula's own as in its.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.names import plain_name
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
    price_of_edible,
    unpriced_share,
)
from doughwright.engine.formula import Line
from doughwright.engine.ingredients import (
    Ingredient,
    ingredient_table,
    nearest_names,
    plain_words,
    size_said,
)
from doughwright.engine.oven import oven_cavity
from doughwright.errors import DocumentError, ImpossibleInput, Notice, Path
from doughwright.resolving.bakes import BakeHere
from doughwright.resolving.formulas import STARTER, ResolvedFormula
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.lines import RYE, WHEAT, ingredient_key
from doughwright.resolving.pack_prices import (
    by_volume,
    gallon_assumed,
    price_per_kilogram,
    rules_of,
    size_assumed,
    with_size,
)
from doughwright.resolving.process import TimedStep
from doughwright.units import Joule, MoneyPerKilogram, Ratio, Second

WATER = "water"
"""Comes from the tap, and is free unless it has a price."""

BOUGHT_READY = frozenset(
    {"canned", "frozen", "liquid", "pasteurised", "pasteurized", "peeled", "puree", "tinned"}
)
"""Words of what is bought without peel, shell and stalk: the table's share is not for it."""


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
        self.kitchens_region = kitchens_region(kitchen, document.place)
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
        where = _in_formula(path)
        region = self.region if where else self.kitchens_region
        pack = by_volume(price, ingredient, region)
        # a size of the formula's country is no size of another's
        used = self.sizes.get(key, ()) if region == self.region else ()
        sized = with_size(pack, ingredient, region, used)
        try:
            amount = price_per_kilogram(sized, ingredient, region)
        except ImpossibleInput as error:
            self._say(name, where, *error.problems)
            return None
        self.used[path] = price
        if pack is not price and (gallon := gallon_assumed(price, region)):
            self._say(name, where, gallon)
        if sized is not pack:
            self._say(name, where, size_assumed(price, sized, ingredient, region))
        stated = self.edible.get(name, self.edible.get(key))
        ready = _is_ready(name) or _is_ready(str(path[1]))
        usual = ingredient.edible if pack.dimension == "mass" and not ready else 1.0
        share = usual if stated is None else stated
        if share == 1.0:
            return amount
        if pack.dimension == "count":
            said = {"name": name, "read": price.text}
            self._say(name, where, Notice.of("edible-not-counted", **said))
            return amount
        in_bowl = price_of_edible(amount, share)
        code = "price-of-usual-share" if stated is None else "price-of-what-is-bought"
        self._say(name, where, _as_bought(code, name, price, share, in_bowl))
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


def kitchens_region(kitchen: Kitchen, place: str | None) -> str:
    """The country a kitchen buys in: its rules', by the formula's country where that is in it.

    Of a kitchen that names no rules nothing is known but the formula's country.
    """
    if "codes" in kitchen.assumed or (place and rules_of(place) == kitchen.buys_in):
        return place or "EU"
    return kitchen.buys_in


def _is_ready(word: str) -> bool:
    return not BOUGHT_READY.isdisjoint(plain_words(word))


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


def _as_bought(
    code: str, name: str, price: Price, edible: Ratio, in_bowl: MoneyPerKilogram
) -> Notice:
    values = {"read": price.text, "price": in_bowl, "currency": price.currency}
    return Notice.of(code, name=name, edible=edible, **values)


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
