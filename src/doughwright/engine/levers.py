"""Which handle to turn so that a dough comes out as warm as wanted.

A baker has few handles, and each only goes so far: liquid between the cold and the
hot tap and never so hot that yeast dies, flour between fridge and bench, the liquid
of a preferment that is yet to be mixed, ice in place of water. :func:`levers` tries
them in the order given and leaves one that falls short at its limit while the next
takes up the rest. When all fall short, the last says what can be reached.

What a liquid stands at does not matter, it is drawn or warmed when it is wanted.
Flour lies where it lies, so staying there is always open to it.

The usual order is liquid, ice (cools the liquid further, in seconds), flour (takes
hours in the fridge), the preferment's liquid.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from doughwright.engine.kneading import Bench, MixingWay
from doughwright.engine.mixing import ice_mass_for, mixed_dough, portion_temperature_for
from doughwright.engine.offers import (
    FlourOffer,
    IceOffer,
    Limit,
    LiquidOffer,
    Offer,
    PrefermentOffer,
)
from doughwright.engine.portions import Portion, with_ice
from doughwright.engine.yeast_limits import yeast_notices
from doughwright.errors import Notice
from doughwright.units import ICE_POINT, Kelvin, Kilogram, Ratio

Kind = Literal["liquid", "flour", "preferment liquid", "ice"]

TOLERANCE: float = 1e-6
"""A dough this close to the target, in K, has reached it."""


@dataclass(frozen=True, slots=True)
class Lever:
    """One handle as it should be set, and the dough temperature that results.

    ``temperature`` is what to set; ``unbounded`` what the target would ask for, beyond
    all limits (None where that has no meaning). ``limit`` names what stopped it.
    ``cold_share`` is the share by weight to take from the cold one of its ``places``, the
    rest from the warm one (flour only); ``ice`` the mass of ice within the water.
    ``portions`` is the dough as it then stands.
    """

    kind: Kind
    names: tuple[str, ...]
    temperature: Kelvin
    reached: Kelvin
    feasible: bool
    portions: tuple[Portion, ...]
    unbounded: Kelvin | None = None
    limit: str | None = None
    cold_share: Ratio | None = None
    places: tuple[str, str] = ("fridge", "bench")
    ice: Kilogram = 0.0
    notices: tuple[Notice, ...] = ()


def levers(
    target: Kelvin,
    portions: Sequence[Portion],
    offers: Sequence[Offer],
    way: MixingWay,
    bench: Bench,
) -> tuple[Lever, ...]:
    """Handles to set, in order, until the target is reached or all are at their limit.

    The last one tells: ``reached``, ``feasible`` and the ``portions`` of the dough as
    all of them leave it. Without offers there is nothing to set, and nothing returned.

    >>> from doughwright.engine.offers import Reach, liquid_offer
    >>> still = Bench(294.15, 0.0, 294.15, 0.0)
    >>> flour = Portion("flour", 1.0, 294.15, specific_heat=1800.0)
    >>> water = Portion("water", 0.65, 294.15, specific_heat=4186.0)
    >>> reach = Reach(cold_tap=285.15, flour=294.15, fridge=277.15, hot_tap=323.15)
    >>> tap = liquid_offer(["water"], reach, yeast=True)
    >>> [x.limit for x in levers(303.15, [flour, water], [tap], MixingWay("-"), still)]
    [None]
    """
    pulled: list[Lever] = []
    standing = tuple(portions)
    for offer in offers:
        pulled.append(_pulled(offer, target, standing, way, bench))
        standing = pulled[-1].portions
        if pulled[-1].feasible:
            return tuple(pulled)
    return (*pulled[:-1], *(_falling_short(last, target) for last in pulled[-1:]))


def set_to(
    portions: Sequence[Portion], names: Sequence[str], temperature: Kelvin
) -> tuple[Portion, ...]:
    """The portions with the named ones at that temperature.

    >>> flour = Portion("flour", 1.0, 294.15, specific_heat=1800.0)
    >>> set_to([flour], ["flour"], 280.0)[0].temperature
    280.0
    """
    return tuple(replace(p, temperature=temperature) if p.name in names else p for p in portions)


def cold_share(mean: Kelvin, cold: Kelvin, warm: Kelvin) -> Ratio:
    """Share by weight to take from the cold place so that the whole has the mean.

    >>> cold_share(290.85, 278.15, 295.15)  # 17.7 °C of flour at 5 and flour at 22 °C
    0.253
    """
    return (warm - mean) / (warm - cold)


def _pulled(
    offer: Offer, target: Kelvin, portions: tuple[Portion, ...], way: MixingWay, bench: Bench
) -> Lever:
    if isinstance(offer, IceOffer):
        return _with_ice(offer, target, portions, way, bench)
    if isinstance(offer, PrefermentOffer):
        return _with_preferment(offer, target, portions, way, bench)
    return _with_portions(offer, target, portions, way, bench)


def _with_portions(
    offer: LiquidOffer | FlourOffer,
    target: Kelvin,
    portions: tuple[Portion, ...],
    way: MixingWay,
    bench: Bench,
) -> Lever:
    wanted = portion_temperature_for(target, portions, offer.names, way, bench)
    coldest, warmest = _ends(offer, portions)
    setting, limit = _within(wanted, coldest, warmest)
    standing = set_to(portions, offer.names, setting)
    reached = mixed_dough(standing, way, bench).temperature
    is_flour = isinstance(offer, FlourOffer)
    return Lever(
        kind="flour" if is_flour else "liquid",
        names=offer.names,
        temperature=setting,
        reached=reached,
        feasible=limit is None,
        portions=standing,
        unbounded=wanted,
        limit=limit,
        cold_share=_split(setting, coldest, warmest) if is_flour else None,
        places=(coldest.name, warmest.name),
        notices=(
            *_frost(wanted, offer),
            *_for_yeast(setting, reached, offer),
        ),
    )


def _within(wanted: Kelvin, coldest: Limit, warmest: Limit) -> tuple[Kelvin, str | None]:
    """The temperature to set, and the name of the limit that binds."""
    if wanted < coldest.temperature:
        return coldest.temperature, coldest.name
    if wanted > warmest.temperature:
        return warmest.temperature, warmest.name
    return wanted, None


def _ends(offer: LiquidOffer | FlourOffer, portions: tuple[Portion, ...]) -> tuple[Limit, Limit]:
    """Limits of an offer; flour may also stay where it stands, in the freezer say."""
    if isinstance(offer, LiquidOffer):
        return offer.coldest, offer.warmest
    standing = [p.temperature for p in portions if p.name in offer.names]
    coldest, warmest = offer.coldest, offer.warmest
    if min(standing) < coldest.temperature:
        coldest = Limit("as it stands", min(standing))
    if max(standing) > warmest.temperature:
        warmest = Limit("as it stands", max(standing))
    return coldest, warmest


def _split(setting: Kelvin, coldest: Limit, warmest: Limit) -> Ratio | None:
    cold, warm = coldest.temperature, warmest.temperature
    return cold_share(setting, cold, warm) if warm > cold else None


def _with_ice(
    offer: IceOffer, target: Kelvin, portions: tuple[Portion, ...], way: MixingWay, bench: Bench
) -> Lever:
    ice = ice_mass_for(target, portions, offer.name, way, bench, offer.ice_temperature)
    limit = "the most ice that melts" if ice.wanted else "ice only cools"
    return Lever(
        kind="ice",
        names=(offer.name,),
        temperature=next(p.temperature for p in portions if p.name == offer.name),
        reached=ice.reached,
        feasible=ice.feasible,
        portions=with_ice(portions, offer.name, ice.mass, offer.ice_temperature),
        limit=None if ice.feasible else limit,
        ice=ice.mass,
    )


def _with_preferment(
    offer: PrefermentOffer,
    target: Kelvin,
    portions: tuple[Portion, ...],
    way: MixingWay,
    bench: Bench,
) -> Lever:
    def standing_at(liquid: Kelvin) -> tuple[Portion, ...]:
        portion = replace(offer.portion_at(liquid), name=offer.name)
        return tuple(portion if p.name == offer.name else p for p in portions)

    def excess(liquid: Kelvin) -> float:
        return mixed_dough(standing_at(liquid), way, bench).temperature - target

    setting, limit = _crossing(excess, offer.coldest, offer.warmest)
    standing = standing_at(setting)
    reached = mixed_dough(standing, way, bench).temperature
    return Lever(
        kind="preferment liquid",
        names=(offer.name,),
        temperature=setting,
        reached=reached,
        feasible=limit is None,
        portions=standing,
        limit=limit,
        notices=_for_yeast(setting, reached, offer),
    )


def _crossing(
    excess: Callable[[Kelvin], float], coldest: Limit, warmest: Limit
) -> tuple[Kelvin, str | None]:
    """Zero of a rising, nearly straight function by false position (Illinois).

    A call may mean hours of simulated fermentation, so few are made.
    """
    low, high = coldest.temperature, warmest.temperature
    below, above = excess(low), excess(high)
    if below > 0.0:
        return low, coldest.name
    if above < 0.0:
        return high, warmest.name
    middle, last = low, 0.0
    for _ in range(60):
        middle = low - below * (high - low) / (above - below) if above > below else low
        found = excess(middle)
        if abs(found) < TOLERANCE or high - low < 1e-9:
            break
        if found < 0.0:
            low, below, above = middle, found, above / 2 if last < 0.0 else above
        else:
            high, above, below = middle, found, below / 2 if last > 0.0 else below
        last = found
    return middle, None


def _falling_short(lever: Lever, target: Kelvin) -> Lever:
    notice = Notice.of(
        "target-out-of-reach",
        what=", ".join(lever.names),
        target=target,
        reached=lever.reached,
        limit=lever.limit,
    )
    return replace(lever, notices=(notice, *lever.notices))


def _frost(wanted: Kelvin, offer: LiquidOffer | FlourOffer) -> tuple[Notice, ...]:
    if isinstance(offer, FlourOffer) or wanted >= ICE_POINT:
        return ()
    return (Notice.of("liquid-below-freezing", what=", ".join(offer.names), wanted=wanted),)


def _for_yeast(setting: Kelvin, reached: Kelvin, offer: Offer) -> tuple[Notice, ...]:
    if isinstance(offer, LiquidOffer | PrefermentOffer) and offer.yeast:
        return yeast_notices(liquid=setting, mixed=reached)
    return ()
