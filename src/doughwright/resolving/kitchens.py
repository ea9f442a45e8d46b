"""A kitchen document with every gap filled, each gap remembered."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any, cast

from doughwright.documents.formula import TestedIn
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.prices import Price, currency_named
from doughwright.documents.quantities import Quantity
from doughwright.engine.food_rules import Codes
from doughwright.engine.oven import OvenKind
from doughwright.engine.properties import constants
from doughwright.engine.weighing import Scale
from doughwright.errors import DocumentError, Notice
from doughwright.resolving.lines import ingredient_key
from doughwright.units import (
    ICE_POINT,
    Kelvin,
    KelvinDifference,
    Metre,
    Second,
    Watt,
    WattPerKilogram,
)


@dataclass(frozen=True, slots=True)
class MixerHeat:
    """How a mixer warms dough: the whole warming, or power on the dough."""

    warming: KelvinDifference | None = None
    power: WattPerKilogram | None = None


@dataclass(frozen=True, slots=True)
class OvenSite:
    """The oven's kind, how much hotter it is than its dial, how long it heats, its trays.

    ``reads`` is None when nobody measured it; ``tray`` is a tray's length and width.
    """

    kind: OvenKind
    reads: KelvinDifference | None
    heats_in: Second
    power: Watt | None
    trays: int | None
    tray: tuple[Metre, Metre] | None = None


@dataclass(frozen=True, slots=True)
class Kitchen:
    """A kitchen in SI units; ``assumed`` names what the document did not say.

    ``prices`` are as written, by the kitchen's own words for what is bought; ``may_contain``
    is what could get into any bread made here by chance, in the baker's words. ``codes`` are
    the rules asked for, ``buys_in`` those where the kitchen stands: its eggs are sized there.
    """

    name: str
    room: Kelvin
    fridge: Kelvin
    freezer: Kelvin
    proofer: Kelvin
    flour: Kelvin
    tap_cold: Kelvin
    tap_hot: Kelvin
    altitude: Metre
    bowl: str
    mixers: Mapping[str, MixerHeat]
    oven: OvenSite
    scale: Scale
    codes: Codes
    currency: str
    assumed: frozenset[str]
    prices: Mapping[str, Price] = field(default_factory=lambda: MappingProxyType({}))
    energy: Price | None = None
    labour: Price | None = None
    may_contain: tuple[str, ...] = ()
    buys_in: Codes = "EU"

    def temperature_of(self, place: str) -> Kelvin:
        """Temperature of a place a baker names: room, fridge, freezer, proofer, tap."""
        return {
            "room": self.room,
            "fridge": self.fridge,
            "freezer": self.freezer,
            "proofer": self.proofer,
            "tap": self.tap_cold,
        }[place]


TESTABLE = ("room", "fridge", "proofer", "altitude", "flour")
"""What ``tested in`` may say about a kitchen."""


def default(name: str) -> float:
    """Value assumed where a kitchen does not say (``properties/kitchens.tsv``)."""
    return constants("kitchens")[name].value


def as_codes(word: str) -> Codes:
    """A country's rules by their name, in capitals or not."""
    return cast("Codes", word.upper())


def kitchen_from(document: KitchenDocument | None) -> Kitchen:
    """Fill a kitchen document's gaps with an ordinary kitchen's values.

    Raises
    ------
    DocumentError
        With every figure that no kitchen has; their paths lead into the document.
    """
    doc = document or KitchenDocument.model_validate(
        {"doughwright": "kitchen/1", "name": "An ordinary kitchen"}
    )
    assumed: set[str] = set()

    def said(value: Quantity | None, name: str, otherwise: float | None = None) -> float:
        if value is not None:
            return value.best
        assumed.add(name)
        return default(name) if otherwise is None else otherwise

    room = said(doc.room, "room")
    if doc.codes is None:
        assumed.add("codes")
    tap, scale = doc.tap, doc.scale
    kitchen = Kitchen(
        name=doc.name,
        room=room,
        fridge=said(doc.fridge, "fridge"),
        freezer=said(doc.freezer, "freezer"),
        proofer=said(doc.proofer, "proofer"),
        flour=said(doc.flour, "flour", room),
        tap_cold=said(tap.cold if tap else None, "tap_cold"),
        tap_hot=said(tap.hot if tap else None, "tap_hot"),
        altitude=said(doc.altitude, "altitude"),
        bowl=doc.bowl or "steel",
        mixers=MappingProxyType({k.casefold(): _mixer(v) for k, v in doc.mixer.items()}),
        oven=_oven(doc, said),
        scale=Scale(
            reads=said(scale.reads if scale else None, "scale_reads"),
            fine=scale.fine.best if scale and scale.fine else None,
        ),
        codes=as_codes(str(doc.codes or "eu")),
        currency=doc.currency or "EUR",
        assumed=frozenset(assumed),
        prices=MappingProxyType(dict(doc.prices)),
        energy=doc.energy,
        labour=doc.labour,
        may_contain=tuple(doc.may_contain),
        buys_in=as_codes(str(doc.codes or "eu")),
    )
    problems = [
        *_temperature_problems({"room": doc.room, "fridge": doc.fridge}),
        *_tool_problems(kitchen),
        *(_not_a_mixer(name, text) for name, text in doc.mixer.items() if not _mixes(text)),
        *_price_problems(doc),
    ]
    if problems:
        raise DocumentError(problems)
    return kitchen


LIVEABLE: Mapping[str, tuple[Kelvin, Kelvin]] = MappingProxyType(
    {
        "room": (ICE_POINT - 10.0, ICE_POINT + 50.0),
        "fridge": (ICE_POINT - 2.0, ICE_POINT + 15.0),
    }
)
"""Beyond these a figure is a slip of unit or place (assumption, wider than any bakery's)."""

MOST_WRONG: KelvinDifference = 80.0
"""No oven that bakes is further off its dial; consumer tests found 40 (assumption)."""

MOST_WARMING: KelvinDifference = 30.0
MOST_POWER: WattPerKilogram = 400.0
"""No mixer warms a dough more than this, nor puts more into it (assumption)."""


def _temperature_problems(
    temperatures: Mapping[str, Quantity | None], *inside: str
) -> Iterator[Notice]:
    for name, quantity in temperatures.items():
        if quantity is not None:
            yield from _not_in_a_kitchen(name, quantity.best, *inside)


def _not_in_a_kitchen(name: str, temperature: Kelvin, *inside: str) -> Iterator[Notice]:
    low, high = LIVEABLE.get(name, (-math.inf, math.inf))
    if not low <= temperature <= high:
        values = {"what": name, "temperature": temperature, "low": low, "high": high}
        yield Notice.of("not-in-a-kitchen", *inside, name, **values)


def _tool_problems(kitchen: Kitchen) -> Iterator[Notice]:
    cold, hot, scale = kitchen.tap_cold, kitchen.tap_hot, kitchen.scale
    if hot < cold:
        end = "cold" if "tap_hot" in kitchen.assumed else "hot"
        yield Notice.of("hot-tap-colder", "tap", end, hot=hot, cold=cold)
    reads = kitchen.oven.reads
    if reads is not None and abs(reads) > MOST_WRONG:
        yield Notice.of("oven-reads-impossibly", "oven", "reads", reads=reads, most=MOST_WRONG)
    if scale.fine is not None and scale.fine > scale.reads:
        yield Notice.of("fine-scale-coarser", "scale", "fine", fine=scale.fine, reads=scale.reads)


def _mixes(mixer: Quantity) -> bool:
    most = MOST_POWER if mixer.dimension == "specific power" else MOST_WARMING
    return mixer.low >= 0 and mixer.high <= most


def _not_a_mixer(name: str, mixer: Quantity) -> Notice:
    values = {"read": mixer.text, "name": name, "warming": MOST_WARMING, "power": MOST_POWER}
    return Notice.of("not-a-mixer", "mixer", name, **values)


def _price_problems(doc: KitchenDocument) -> Iterator[Notice]:
    """A kitchen has one currency, and one price for one thing."""
    priced = [(("prices", name), price) for name, price in doc.prices.items()]
    paid = [(("energy",), doc.energy), (("labour",), doc.labour)]
    all_prices = [*priced, *((path, price) for path, price in paid if price is not None)]
    one = currency_named(doc.currency or "") or next((p.currency for _, p in all_prices), "")
    for path, price in all_prices:
        if price.currency != one:
            yield Notice.of("currencies-mixed", *path, read=f"{one}, {price.currency}")
    seen: dict[str, str] = {}
    for name in doc.prices:
        first = seen.setdefault(ingredient_key(name), name)
        if first != name:
            yield Notice.of("priced-twice", "prices", name, read=name, other=first)


def _mixer(value: Quantity) -> MixerHeat:
    if value.dimension == "specific power":
        return MixerHeat(power=value.best)
    return MixerHeat(warming=value.best)


def _oven(doc: KitchenDocument, said: Any) -> OvenSite:  # ``said`` is the closure above
    oven = doc.oven
    return OvenSite(
        kind=str(oven.kind) if oven else "conventional",  # type: ignore[arg-type]  # one of its words
        reads=oven.reads.best if oven and oven.reads else None,
        heats_in=said(oven.heats_in if oven else None, "oven_heats_in"),
        power=oven.power.best if oven and oven.power else None,
        trays=oven.trays if oven else None,
        tray=(oven.tray[0].best, oven.tray[1].best) if oven and oven.tray else None,
    )


def with_changes(kitchen: Kitchen, **changes: float) -> Kitchen:
    """Return the kitchen with some temperatures changed; they are no longer assumed.

    Flour that was assumed to be at room temperature follows the room.

    Raises
    ------
    DocumentError
        If a temperature is none of a kitchen.
    """
    problems = [p for name, value in changes.items() for p in _not_in_a_kitchen(name, value)]
    if problems:
        raise DocumentError(problems)
    stated = kitchen.assumed - changes.keys()
    if "room" in changes and "flour" in kitchen.assumed:
        changes = {"flour": changes["room"], **changes}
    return replace(kitchen, **changes, assumed=stated)  # type: ignore[arg-type]  # names are fields


CHANGEABLE: Mapping[str, str] = MappingProxyType(
    {
        "room": "temperature",
        "flour": "temperature",
        "fridge": "temperature",
        "freezer": "temperature",
        "proofer": "temperature",
        "altitude": "length",
    }
)
"""What of a kitchen may be changed by asking, with its dimension."""


def changed_kitchen(kitchen: Kitchen, fields: Mapping[str, Quantity]) -> Kitchen:
    """Return the kitchen with some fields changed; what is asked for is not assumed."""
    return with_changes(kitchen, **{name: value.best for name, value in fields.items()})


def tested_kitchen(kitchen: Kitchen, tested: TestedIn | None) -> Kitchen:
    """Return the kitchen in which the formula's own times were seen.

    What ``tested in`` does not say is taken from the kitchen at hand, but for the altitude:
    most formulas come from low places and do not say so.
    """
    if tested is None:
        return kitchen
    said = {"room": tested.room, "fridge": tested.fridge}
    if problems := list(_temperature_problems(said, "tested in")):
        raise DocumentError(problems)
    noted = {
        name: quantity.best
        for name in TESTABLE
        if (quantity := getattr(tested, name, None)) is not None
    }
    low = replace(kitchen, altitude=default("altitude"), assumed=kitchen.assumed | {"altitude"})
    return replace(with_changes(low, **noted), name="where it was tested")
