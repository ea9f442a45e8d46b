"""Ways of mixing a dough, and what surrounds it meanwhile: bowl, table and room."""

from dataclasses import dataclass

from doughwright.engine.portions import mixing_constant
from doughwright.units import (
    JoulePerKelvin,
    Kelvin,
    KelvinDifference,
    Kilogram,
    Second,
    WattPerKelvin,
    WattPerKilogram,
)


@dataclass(frozen=True, slots=True)
class MixingWay:
    """How the dough is worked; ``warming`` (measured) goes before ``specific_power``.

    With neither, mixing adds no heat. ``duration`` also sets how long the room acts.
    """

    name: str
    warming: KelvinDifference | None = None
    specific_power: WattPerKilogram | None = None
    duration: Second = 0.0


@dataclass(frozen=True, slots=True)
class Bench:
    """What surrounds the dough: bowl (and table), and the way to the room."""

    room: Kelvin
    bowl_heat_capacity: JoulePerKelvin
    bowl_temperature: Kelvin
    transfer: WattPerKelvin


def usual_way(name: str, duration: Second | None = None) -> MixingWay:
    """Usual power and duration: hand, stand mixer, spiral, processor, high-energy.

    >>> usual_way("hand", 180.0)  # a sponge is stirred, not kneaded
    MixingWay(name='hand', warming=None, specific_power=6.0, duration=180.0)
    """
    usual = mixing_constant(f"{name}_duration")
    power = mixing_constant(f"{name}_power")
    return MixingWay(name, None, power, usual if duration is None else duration)


def usual_bench(
    room: Kelvin,
    batch: Kilogram,
    bowl: str = "steel",
    *,
    on_table: bool = False,
    bowl_temperature: Kelvin | None = None,
) -> Bench:
    """Usual surroundings of a batch in a steel, ceramic or plastic bowl.

    Kneading ``on_table`` adds the table top; a bowl stands at room temperature unless
    told otherwise. Bowls and surfaces grow with the batch to the power 2/3.

    >>> usual_bench(295.15, 0.9, on_table=True).bowl_heat_capacity
    300.0
    """
    size = (batch / mixing_constant("reference_batch")) ** (2 / 3)
    transfer = mixing_constant("transfer_on_table" if on_table else "transfer_in_bowl")
    capacity = mixing_constant(f"bowl_{bowl}") + (mixing_constant("table") if on_table else 0.0)
    at = room if bowl_temperature is None else bowl_temperature
    return Bench(room, size * capacity, at, size * transfer)
