"""What can be turned to steer a dough's temperature, and how far each goes."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from doughwright.engine.portions import Portion, mixing_constant
from doughwright.units import ICE_POINT, Kelvin


@dataclass(frozen=True, slots=True)
class Limit:
    """How far a handle goes, and what stops it there: ``cold tap``, ``yeast`` and so on."""

    name: str
    temperature: Kelvin


@dataclass(frozen=True, slots=True)
class Reach:
    """The temperatures a kitchen can give; ``flour`` is flour from the shelf."""

    cold_tap: Kelvin
    flour: Kelvin
    fridge: Kelvin
    hot_tap: Kelvin
    freezer: Kelvin | None = None


@dataclass(frozen=True, slots=True)
class LiquidOffer:
    """Portions of liquid that may be poured at any common temperature between limits.

    ``yeast`` says that living yeast meets the liquid.
    """

    names: tuple[str, ...]
    coldest: Limit
    warmest: Limit
    yeast: bool = False


@dataclass(frozen=True, slots=True)
class FlourOffer:
    """Dry portions that may come from a cold place, from the bench, or partly from each.

    Flour that stands colder or warmer than that may also be left where it stands.
    """

    names: tuple[str, ...]
    coldest: Limit
    warmest: Limit


@dataclass(frozen=True, slots=True)
class PrefermentOffer:
    """A preferment yet to be mixed: what it becomes, by the temperature of its liquid.

    ``portion_at`` mixes it, lets it ferment and cool, and returns it as the portion
    ``name`` of this dough; warmer liquid must not give a colder portion.
    """

    name: str
    portion_at: Callable[[Kelvin], Portion]
    coldest: Limit
    warmest: Limit
    yeast: bool = True


@dataclass(frozen=True, slots=True)
class IceOffer:
    """A portion of water that may be partly replaced by ice, as cold as it stands."""

    name: str
    ice_temperature: Kelvin = ICE_POINT


Offer = LiquidOffer | FlourOffer | PrefermentOffer | IceOffer


def liquid_offer(
    names: Sequence[str],
    reach: Reach,
    *,
    yeast: bool,
    chilled: bool = False,
    heated: bool = False,
) -> LiquidOffer:
    """Limits of a liquid: cold tap or fridge below; hot tap, pan or yeast above.

    ``yeast`` says that living yeast meets the liquid (in the flour or stirred in),
    ``chilled`` that it may come from the fridge and ``heated`` that it may be warmed
    in a pan, as milk is.

    >>> reach = Reach(cold_tap=285.15, flour=294.15, fridge=277.15, hot_tap=323.15)
    >>> liquid_offer(["water"], reach, yeast=True).warmest
    Limit(name='yeast', temperature=316.15)
    """
    cold = Limit("fridge", reach.fridge) if chilled else Limit("cold tap", reach.cold_tap)
    warm = Limit("boiling", 373.15) if heated else Limit("hot tap", reach.hot_tap)
    stop = mixing_constant("yeast_liquid_stop")
    if yeast and stop < warm.temperature:
        warm = Limit("yeast", stop)
    return LiquidOffer(tuple(names), cold, warm, yeast)


def flour_offer(names: Sequence[str], reach: Reach, *, from_freezer: bool = False) -> FlourOffer:
    """Limits of flour: fridge (or freezer) and bench.

    >>> reach = Reach(cold_tap=285.15, flour=294.15, fridge=277.15, hot_tap=323.15)
    >>> flour_offer(["flour"], reach).coldest
    Limit(name='fridge', temperature=277.15)
    """
    cold = Limit("fridge", reach.fridge)
    if from_freezer and reach.freezer is not None:
        cold = Limit("freezer", reach.freezer)
    return FlourOffer(tuple(names), cold, Limit("bench", reach.flour))
