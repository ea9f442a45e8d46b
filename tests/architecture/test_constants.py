"""Every constant says its source and lies where its quantity can lie."""

import csv
import math
import re
from pathlib import Path

import pint
import pytest

from doughwright import sources
from doughwright.engine import properties
from doughwright.engine.ingredients import PARTS
from doughwright.engine.thermal import component_property
from doughwright.units import ICE_POINT

COLUMNS = ["name", "value", "uncertainty", "unit", "source", "locator", "note"]
BANDS = {
    # unit: (low, high, what lies at the ends)
    "J/(kg K)": (300, 4500, "from iron, 450, to warm water, 4180"),
    "J/kg": (-2e5, 4e7, "from salt dissolving, -66 kJ/kg, to fat eaten, 37 MJ/kg"),
    "J/K": (1, 5e4, "from a tin to the stones of an oven"),
    "J/(m**2 K)": (500, 1e5, "from thin foil to a thick hearth stone, by area"),
    "J/(m**3 K)": (100, 5e6, "from hot air, 1000, to water, 4.2 MJ, by volume"),
    "W/K": (0.01, 50, "from a covered bowl to a tray of rolls in moving air"),
    "W/kg": (0.1, 300, "from folding by hand to a high-speed mixer"),
    "W/(m K)": (0.01, 3, "from crumb full of gas to ice, 2.2"),
    "W/(m**2 K)": (1, 200, "from still air to the floor of an oven"),
    "W": (1, 2e4, "from yeast in a loaf to a deck oven"),
    "m**2 K/W": (1e-4, 2, "from a thin tin to thick felt"),
    "m**2/s": (1e-10, 1e-4, "from water creeping through dough to vapour in air"),
    "kg/m**3": (0.5, 3000, "from hot air to ash, 2420"),
    "kg": (1e-4, 100, "from a pinch of salt to a sack"),
    "kg/mol": (0.001, 0.4, "from hydrogen to a double sugar, 0.342"),
    "K": (230, 700, "from a deep freezer to a pizza oven"),
    "degC": (-40, 430, "the same, where a table is in the units of its source"),
    "delta_K": (-60, 60, "no step of bread warms or cools dough further at once"),
    "delta_degC": (-60, 60, "the same, spelled as bakers do"),
    "1/K": (-1, 1, "a change by a factor e per kelvin would be abrupt"),
    "s": (0.1, 1e6, "from one beat of a mixer to eleven days"),
    "1/s": (1e-9, 10, "from a cold dough to a chemical buffer"),
    "1/(K**2 s)": (1e-9, 1e-4, "growth of germs over warmth squared, about 1e-3 an hour"),
    "m": (0, 9000, "from sea level to the highest kitchen; no length of dough is near"),
    "m**2": (1e-6, 3, "from a crumb to a bench"),
    "m**3": (1e-9, 1, "from a gas cell to a trough"),
    "Pa": (-1e7, 1e7, "a living cell stands a hundred atmospheres"),
    "J/mol": (1e3, 5e5, "from diffusion to proteins unfolding"),
    "J/(mol K)": (1, 500, "the gas constant is 8.314"),
    "mol/kg": (1e-4, 10, "from sugar in a lean dough to syrup"),
    "mol/(kg Pa)": (1e-10, 1e-5, "from air to carbon dioxide in cold water, 7e-7"),
    "m**3/kg": (5e-4, 2, "from dough without gas to gas"),
    "mol/(kg s)": (1e-9, 1e-1, "gas made by a kilogram of dough in a second"),
    "1": (-10, 1e3, "ratios, and multipliers such as 3.5 for dried yeast"),
}
"""Where a value of each unit can plausibly lie in a bakery; wide on purpose.

A value outside is a slip of the pen (grams for kilograms, a lost sign) far more
often than a discovery. A new unit gets its own line here.
"""
COMPONENT_QUANTITIES = {
    "specific_heat": "J/(kg K)",
    "density": "kg/m**3",
    "conductivity": "W/(m K)",
}
NOT_WHAT_THE_UNIT_SAYS = {
    "solubility_slope": "an energy over the gas constant, van 't Hoff",
    "brown_rate": "the factor before an Arrhenius exponential: the rate at no temperature",
    "setting_rate": "the same: 2 in a thousand a second at 70 °C",
}
"""Rows whose unit is that of another quantity, with the reason."""
COEFFICIENTS = {"food_components": "terms of parabolas in °C; the parabolas are checked below"}
"""Tables whose rows are no quantities by themselves, with the reason."""
UNITS = pint.UnitRegistry()
UNITS.define("delta_K = kelvin")  # a difference: no other dimension, but another band


def tables() -> list[Path]:
    return sorted(properties.FOLDER.glob("*.tsv"))


def header(path: Path) -> list[str]:
    with path.open(encoding="utf-8", newline="") as file:
        lines = (line for line in file if not line.startswith("#"))
        return next(csv.reader(lines, delimiter="\t"))


def constant_tables() -> list[Path]:
    return [path for path in tables() if header(path) == COLUMNS]


def band(unit: str) -> tuple[float, float, float]:
    """Find factor, low and high of a unit; ``mol/(kg h)`` is judged as ``mol/(kg s)``."""
    if unit in BANDS:
        return 1.0, *BANDS[unit][:2]
    wanted = UNITS.Unit(unit)
    same = next((known for known in BANDS if UNITS.Unit(known).is_compatible_with(wanted)), None)
    assert same, f"say in BANDS where a value in {unit} can lie"
    return float(UNITS.Quantity(1.0, unit).m_as(same)), *BANDS[same][:2]


def is_known(source: str) -> bool:
    """A cell may name several sources, parted by semicolons."""
    allowed = properties.known_sources().keys() | sources.UNSOURCED
    return bool(source) and all(part.strip() in allowed for part in source.split(";"))


def is_readable(row: dict[str, str]) -> bool:
    spread = row["uncertainty"]
    return (
        row["name"] == row["name"].strip() != ""
        and math.isfinite(float(row["value"]))
        and (spread == "" or float(spread) >= 0)
    )


def is_located(row: dict[str, str]) -> bool:
    return bool(row["locator"]) or row["source"] in sources.UNSOURCED


def is_plausible(row: dict[str, str]) -> bool:
    factor, low, high = band(row["unit"])
    return row["name"] in NOT_WHAT_THE_UNIT_SAYS or low <= factor * float(row["value"]) <= high


each_constant_table = pytest.mark.parametrize("path", constant_tables(), ids=lambda path: path.stem)


@each_constant_table
def test_constants_can_be_read(path: Path) -> None:
    assert [row for row in sources.rows(path) if not is_readable(row)] == []


@each_constant_table
def test_published_constants_say_where_they_stand(path: Path) -> None:
    assert [row for row in sources.rows(path) if not is_located(row)] == []


@each_constant_table
def test_constants_are_plausible(path: Path) -> None:
    if path.stem not in COEFFICIENTS:
        assert [row for row in sources.rows(path) if not is_plausible(row)] == []


@pytest.mark.parametrize("temperature", [253.15, 273.15, 298.15, 373.15, 423.15])
@pytest.mark.parametrize("quantity", COMPONENT_QUANTITIES)
def test_the_parabolas_of_food_components_stay_plausible(quantity: str, temperature: float) -> None:
    low, high, why = BANDS[COMPONENT_QUANTITIES[quantity]]
    for part in PARTS if temperature > ICE_POINT else (*PARTS, "ice"):
        assert low <= component_property(quantity, part, temperature) <= high, (part, why)


@pytest.mark.parametrize("path", tables(), ids=lambda path: path.stem)
def test_every_row_of_every_table_names_its_source(path: Path) -> None:
    assert "source" in header(path)
    assert [row for row in sources.rows(path) if not is_known(row["source"])] == []


@pytest.mark.parametrize("path", tables(), ids=lambda path: path.stem)
def test_no_row_is_given_twice_or_cut_short(path: Path) -> None:
    found = sources.rows(path)
    first = [next(iter(row.values())) for row in found]
    assert len(first) == len(set(first)) or header(path) != COLUMNS
    assert all(None not in row and None not in row.values() for row in found)


def test_every_source_says_how_much_of_it_was_read_and_is_cited(root: Path) -> None:
    if not tables():
        return
    known = properties.known_sources()
    assert [key for key, source in known.items() if not (source.title and source.read)] == []
    texts = [
        path.read_text("utf-8")
        for path in (root / "src").rglob("*.[pt][ys]*")
        if path.suffix != ".pyc" and "__pycache__" not in path.parts
    ]
    uncited = [key for key in known if not any(re.search(rf"\b{key}\b", t) for t in texts)]
    assert uncited == []
