"""The classic n-factor rule for the water temperature, and the ice rule beside it.

The rule counts temperatures, not weights: water = n · target − Σ known − friction
factor, where n is the number of known temperatures plus one for the water. It stands
here to be compared with the heat balance (``mixing.py``), which is what we follow.

A friction factor is a temperature *difference* and belongs to the rule it was found
with: it is n times the real warming of the dough. The same warming is three times
itself in a three-factor rule and four times itself in a four-factor rule.
"""

from collections.abc import Sequence

from doughwright.engine.portions import mixing_constant
from doughwright.sources import ModelCard, Range
from doughwright.units import ICE_POINT, Kelvin, KelvinDifference, Kilogram

CLASSIC_RULE = ModelCard(
    key="classic-rule",
    name="Classic water-temperature rule",
    predicts="temperature of the liquid for a desired dough temperature",
    sources=(
        "treatise-on-baking",
        "school-class-notes",
        "pizza-today-2018",
        "friction-how-to",
        "four-factor-blog",
        "home-bread-wiki",
        "pizza-trade-column",
    ),
    inputs={
        "known_temperature": Range(288.15, 300.15, "K"),
        "spread": Range(0.0, 5.0, "delta_K"),
        "preferment_share": Range(0.15, 0.40, "1"),
    },
    expected_error=(
        "dough ±1 K when all is near 21 °C; +2.4 K with flour at 5 °C, −4.2 K with room and "
        "flour at 30 °C"
    ),
    known_from="comparison with the heat balance and with six published worked examples",
    assumptions=(
        "flour, room and water (and preferment) weigh the same",
        "the friction factor hides wetting heat and the losses to bowl and room",
    ),
)


def classic_liquid_temperature(
    target: Kelvin, known: Sequence[Kelvin], friction_factor: KelvinDifference
) -> Kelvin:
    """Water temperature by the n-factor rule, n = number of known temperatures + 1.

    >>> fahrenheit = lambda t: 255.372222 + t / 1.8
    >>> known = [fahrenheit(65), fahrenheit(65)]  # class notes of a baking school: 87 °F
    >>> (classic_liquid_temperature(fahrenheit(75), known, 8 / 1.8) - 255.372222) * 1.8
    87.0
    """
    return (len(known) + 1) * target - sum(known) - friction_factor


def friction_factor(warming: KelvinDifference, factors: int) -> KelvinDifference:
    """Friction factor of a rule with so many factors, from the dough's real warming.

    >>> friction_factor(5 / 1.8 / 3, 3)  # a factor of 5 °F is 2.8 K
    2.78
    """
    return factors * warming


def warming_from_friction_factor(
    friction_factor: KelvinDifference, factors: int
) -> KelvinDifference:
    """Real warming of the dough behind a friction factor.

    >>> warming_from_friction_factor(5 / 1.8, 3)  # hand kneading: 0.9 K
    0.93
    """
    return friction_factor / factors


def friction_factor_from_mix(
    dough: Kelvin, known: Sequence[Kelvin], liquid: Kelvin
) -> KelvinDifference:
    """Friction factor that a finished mix shows: the rule turned round.

    >>> friction_factor_from_mix(301.0, [295.0, 294.0], 291.0)
    23.0
    """
    return (len(known) + 1) * dough - sum(known) - liquid


def classic_ice_mass(water: Kilogram, tap: Kelvin, required: Kelvin) -> Kilogram:
    """Ice within a weight of water, by the bakery ice rule; the water may not exist as such.

    In the trade: water · (tap − required) / (tap + 112), in °F. ``required`` may be
    below the ice point. It is the heat balance of ice and water, rounded.

    >>> classic_ice_mass(40.0, 293.15, 283.15)  # 40 · (68 − 50) / (68 + 112)
    4.0
    """
    melting = mixing_constant("classic_ice_melting_heat")
    melting_span = melting / mixing_constant("classic_water_specific_heat")  # 80 K
    return water * (tap - required) / (tap - ICE_POINT + melting_span)
