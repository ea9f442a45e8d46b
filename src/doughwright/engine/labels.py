"""Nutrition tables as EU, UK and US labels print them, and the UK's colours.

Each row holds the unrounded SI value beside the printed text; how it is laid out is not
decided here. A row whose value is None is not known, and says so. Where something is missing
of an ingredient, ``unknown`` says of what (:attr:`~doughwright.engine.nutrition.Product.unknown`):
then a row is the least there is, and no light is green.
"""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from doughwright.engine.label_rounding import printed, without_noise
from doughwright.engine.nutrition import (
    Nutrients,
    energy_eu,
    energy_us,
    kilocalorie_energy_eu,
)
from doughwright.engine.properties import constants
from doughwright.units import Kilogram, Ratio

NOT_KNOWN = "not known"
"""Printed where our tables have no value: a label must not show it as zero."""

HUNDRED_GRAMS: Kilogram = 0.1

AT_LEAST = "at least"
"""Before what is printed of a nutrient that an ingredient holds more of than is known."""

Colour = Literal["green", "amber", "red", "not known"]

DAILY: Mapping[str, str] = {
    "Total Fat": "fat",
    "Saturated Fat": "saturates",
    "Sodium": "sodium",
    "Total Carbohydrate": "carbohydrate",
    "Dietary Fiber": "fibre",
    "Includes Added Sugars": "added_sugars",
}
"""Rows of a US label with a Daily Value, and the constant it stands under."""

NEEDS: Mapping[str, str] = {
    "of which saturates": "saturates",
    "of which sugars": "sugars",
    "salt": "sodium",
    "Saturated Fat": "saturates",
    "Total Sugars": "sugars",
    "Includes Added Sugars": "sugars",
    "Sodium": "sodium",
}
"""Rows that may be unknown by themselves; all are where a composition is."""


@dataclass(frozen=True, slots=True)
class LabelRow:
    """One line of a nutrition table.

    ``value`` is in J or kg in the amount the table is for, None when not known, and with
    ``least`` the least it can be; ``part_of`` names the row of which it is a part;
    ``daily_value`` is the share of the US Daily Value, printed in ``daily_printed``.
    """

    name: str
    value: float | None
    printed: str
    part_of: str = ""
    daily_value: Ratio | None = None
    daily_printed: str = ""
    least: bool = False


@dataclass(frozen=True, slots=True)
class Light:
    """One colour of the UK's front of pack, with the unrounded share it follows from.

    ``not known`` where the share is the least there is, and less than red.
    """

    name: str
    ratio: Ratio
    colour: Colour


def eu_label(
    nutrients: Nutrients, amount: Kilogram = HUNDRED_GRAMS, unknown: Collection[str] = ()
) -> tuple[LabelRow, ...]:
    """Nutrition declaration of the EU and the UK, for 100 g or for one piece.

    Order of Art. 30 and Annex XV of Regulation (EU) No 1169/2011, fibre included;
    protein is nitrogen by 6.25. Rounding: Commission guidance of December 2012.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> from doughwright.engine.nutrition import as_sold
    >>> table = ingredient_table()
    >>> grams = {"strong white flour": 500, "water": 350, "salt": 10, "instant yeast": 5}
    >>> weighed = [(table[name], mass / 1000) for name, mass in grams.items()]
    >>> label = eu_label(as_sold(weighed, 0.12).nutrients)  # 10 g in 761 g: 1.3 g, not 2
    >>> label[-1].name, label[-1].printed
    ('salt', '1.3 g')
    >>> eu_label(as_sold(weighed, 0.12).nutrients, unknown={"sodium"})[-1].printed
    'at least 1.3 g'
    """
    n = nutrients
    sugars = min(n.sugars, n.carbohydrate_eu)
    joules = (("energy in kJ", energy_eu(n)), ("energy in kcal", kilocalorie_energy_eu(n)))
    energy = [_eu_row("energy", rule, value * amount) for rule, value in joules]
    found = (
        *energy,
        _eu_row("fat", "fat", n.fat * amount),
        _eu_row("of which saturates", "saturates", n.saturates * amount, "fat"),
        _eu_row("carbohydrate", "carbohydrate", n.carbohydrate_eu * amount),
        _eu_row("of which sugars", "sugars", sugars * amount, "carbohydrate"),
        _eu_row("fibre", "fibre", n.fibre * amount),
        _eu_row("protein", "protein", n.protein_n6_25 * amount),
        _eu_row("salt", "salt", n.salt * amount),
    )
    return tuple(_as_known(row, unknown) for row in found)


@dataclass(frozen=True, slots=True)
class Serving:
    """A US serving: its mass, and how many whole pieces that is, 0 where it is no piece."""

    mass: Kilogram
    pieces: int


def us_serving(piece: Kilogram) -> Serving:
    """The serving of a bread sold in pieces (21 CFR 101.9(b)(2)(i), from memory).

    One piece from half to twice the reference amount of 50 g; of smaller ones as many as
    come nearest to it; of larger ones, which are cut, 50 g.

    >>> us_serving(0.072), us_serving(0.018), us_serving(0.4)
    (Serving(mass=0.072, pieces=1), Serving(mass=0.054, pieces=3), Serving(mass=0.05, pieces=0))
    """
    p = constants("nutrition")
    usual = p["us_serving_of_bread"].value / 1e3
    share = without_noise(piece / usual)
    if share >= p["us_unit_is_serving_below"].value:
        return Serving(usual, 0)
    count = 1 if share > p["us_unit_is_serving_from"].value else max(1, round(usual / piece))
    return Serving(count * piece, count)


def us_label(
    nutrients: Nutrients, serving: Kilogram | None = None, unknown: Collection[str] = ()
) -> tuple[LabelRow, ...]:
    """Rows of a US nutrition facts label for a serving, 50 g of bread unless said.

    Rounding and order: 21 CFR 101.9(c); percentages from the unrounded amounts, to the
    nearest percent. Carbohydrate is by difference and includes fibre. What the
    ingredients' tables do not hold is a row that says so.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> from doughwright.engine.nutrition import nutrients_of
    >>> butter = nutrients_of(ingredient_table()["salted butter"])
    >>> label = us_label(butter, 0.0142)  # a tablespoon, values of USDA NDB 01001
    >>> [row.printed for row in label[:3]], label[1].daily_printed
    (['100', '12 g', '7 g'], '15%')
    """
    n, fat, carbohydrate = nutrients, "Total Fat", "Total Carbohydrate"
    mass = constants("nutrition")["us_serving_of_bread"].value / 1e3 if serving is None else serving
    found = (
        LabelRow("Calories", energy_us(n) * mass, printed("US", "calories", energy_us(n) * mass)),
        _us_row("Total Fat", "fat", n.fat * mass),
        _us_row("Saturated Fat", "saturates", n.saturates * mass, fat),
        LabelRow("Trans Fat", None, NOT_KNOWN, fat),
        LabelRow("Cholesterol", None, NOT_KNOWN),
        _us_row("Sodium", "sodium", n.sodium * mass),
        _us_row("Total Carbohydrate", "carbohydrate", n.carbohydrate_us * mass),
        _us_row("Dietary Fiber", "fibre", n.fibre * mass, carbohydrate),
        _us_row("Total Sugars", "sugars", n.sugars * mass, carbohydrate),
        _us_row("Includes Added Sugars", "added sugars", n.added_sugars * mass, "Total Sugars"),
        _us_row("Protein", "protein", n.protein * mass),
        *(LabelRow(name, None, NOT_KNOWN) for name in ("Vitamin D", "Calcium", "Iron")),
        LabelRow("Potassium", None, NOT_KNOWN),
    )
    return tuple(_as_known(row, unknown) for row in found)


def is_portion(piece: Kilogram) -> bool:
    """Whether a piece is eaten as one portion (assumption: up to 250 g): a loaf is cut.

    >>> is_portion(0.105), is_portion(0.704)
    (True, False)
    """
    return piece <= constants("nutrition")["light_piece_is_portion"].value / 1e3


def traffic_lights(
    nutrients: Nutrients, piece: Kilogram | None = None, unknown: Collection[str] = ()
) -> tuple[Light, ...]:
    """Colours of the UK's front of pack, from unrounded values.

    Green up to the lower limit, red above the upper one (NHS page); a portion of more
    than 100 g is also red above limits of its own (DHSC/FSA guide, from memory). A piece is
    a portion as far as :func:`is_portion` says so.

    >>> from doughwright.engine.nutrition import NOTHING
    >>> from dataclasses import replace
    >>> salted = replace(NOTHING, sodium=0.015274 / 2.5)  # prints 1.5 g, and is above 1.5
    >>> traffic_lights(salted)[-1].colour
    'red'
    """
    n = nutrients
    shares = {
        "fat": n.fat,
        "saturates": n.saturates,
        "sugars": min(n.sugars, n.carbohydrate_eu),
        "salt": n.salt,
    }
    portion = piece if piece is not None and is_portion(piece) else 0.0
    lights = (Light(name, r, _colour(name, r, portion)) for name, r in shares.items())
    return tuple(_light_as_known(light, unknown) for light in lights)


def _as_known(row: LabelRow, unknown: Collection[str]) -> LabelRow:
    """A row as the least it can be, where something of it is missing; nothing is no figure."""
    if row.value is None or not {NEEDS.get(row.name), "composition"} & {*unknown}:
        return row
    figure = re.match(r"[\d.]+", row.printed)
    if figure is None or not float(figure.group()):
        return LabelRow(row.name, None, NOT_KNOWN, row.part_of)
    daily = row.daily_printed and f"{AT_LEAST} {row.daily_printed}"
    return replace(row, printed=f"{AT_LEAST} {row.printed}", daily_printed=daily, least=True)


def _light_as_known(light: Light, unknown: Collection[str]) -> Light:
    part = "sodium" if light.name == "salt" else light.name
    missing = {part, "composition"} & {*unknown}
    return replace(light, colour="not known") if missing and light.colour != "red" else light


def _eu_row(name: str, rule: str, value: float, part_of: str = "") -> LabelRow:
    return LabelRow(name, value, printed("EU", rule, value), part_of)


def _us_row(name: str, rule: str, value: Kilogram, part_of: str = "") -> LabelRow:
    text = printed("US", rule, value)
    if name not in DAILY:
        return LabelRow(name, value, text, part_of)
    daily = value / (constants("nutrition")[f"us_daily_{DAILY[name]}"].value / 1e3)
    return LabelRow(name, value, text, part_of, daily, printed("US", "daily value", daily))


def _colour(name: str, ratio: Ratio, portion: Kilogram) -> Colour:
    limits = constants("nutrition")
    share = without_noise(ratio)
    large = portion > limits["light_portion"].value / 1e3
    most = limits[f"light_{name}_red_portion"].value / 1e3
    if share > without_noise(limits[f"light_{name}_red_above"].value):
        return "red"
    if large and without_noise(ratio * portion) > without_noise(most):
        return "red"
    return "green" if share <= without_noise(limits[f"light_{name}_green_to"].value) else "amber"
