"""A bake laid out by hand: invented figures, simple enough to be checked by eye."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from doughwright.errors import Notice
from doughwright.sheets.bake import (
    BakePoint,
    BakeRow,
    BakeSheet,
    CriterionRow,
    CutCell,
    CutSheet,
    ProbeSheet,
)
from doughwright.sheets.cells import Cell
from doughwright.sheets.ovens import OvenCell

MINUTE = 60.0
CELSIUS = 273.15
LEFT_IN = Notice.of("bake-left-in", "process", 9, noted=2400.0, modelled=1500.0)


def model(
    value: float | None, unit: str, low: float | None = None, high: float | None = None
) -> Cell:
    return Cell(value, unit, "model" if value is not None else "unknown", low, high)


CRITERIA = (
    CriterionRow("crumb", model(0.99, "1"), model(22 * MINUTE, "s"), binding=False),
    CriterionRow("core", Cell(92 + CELSIUS, "K", "stated"), model(24 * MINUTE, "s"), binding=True),
    CriterionRow(
        "filling", Cell(72 + CELSIUS, "K", "usual"), model(18 * MINUTE, "s"), binding=False
    ),
    CriterionRow("colour", model(18.0, "1"), model(20 * MINUTE, "s"), binding=False),
)

ROW = BakeRow(
    pieces=8,
    piece=Cell(0.1, "kg"),
    loaded=Cell(0.14, "kg"),
    width=Cell(0.11, "m"),
    length=Cell(0.11, "m"),
    height=Cell(0.04, "m"),
    oven=OvenCell(Cell(433.15, "K", "stated"), "fan", ""),
    then=OvenCell(Cell(413.15, "K", "stated"), "fan", ""),
    written=None,
    altitude=Cell(0.0, "m", "stated"),
    cold_start=False,
    lasts=Cell(24 * MINUTE, "s", "anchored", 23 * MINUTE, 26 * MINUTE),
    criteria=CRITERIA,
    binding="core",
    core=model(92 + CELSIUS, "K"),
    filling=model(80 + CELSIUS, "K"),
    surface=model(123 + CELSIUS, "K"),
    loss=model(0.08, "1", 0.06, 0.1),
    dough_loss=model(0.11, "1", 0.09, 0.13),
    baked=model(0.1288, "kg", 0.126, 0.1316),
    crust=model(0.0012, "m"),
    colour=model(0.8, "1"),
    heat=model(63_000.0, "J"),
    loads=1,
    trays=1,
    notices=(),
)

POINTS = tuple(
    BakePoint(
        time=i * 0.5 * MINUTE,
        core=293.15 + 72 * i / 48,
        filling=278.15 + 74 * i / 48,
        surface=303.15 + 93 * i / 48,
        loss=0.08 * i / 48,
    )
    for i in range(53)
)
"""Half a minute apart, up to 26 min; all lines straight."""

WARMTH = (
    (104.0, 106.0, 108.0, 130.0),
    (92.0, 93.0, 98.0, 126.0),
    (80.0, 86.0, 99.0, 110.0),
    (84.0, 88.0, 112.0),
)
"""°C of the half cut, from the base up, from the middle outwards."""
CRUST = {(0, 0), (1, 0), (2, 0), (3, 0), (3, 1), (3, 2), (2, 3)}
FILLED = {(0, 2), (1, 2), (0, 3), (1, 3)}
"""Columns and rows."""

CUT = CutSheet(
    time=24 * MINUTE,
    side=0.01,
    cells=tuple(
        CutCell(0.005 + 0.01 * i, 0.005 + 0.01 * j, t + CELSIUS, (i, j) in CRUST, (i, j) in FILLED)
        for j, row in enumerate(WARMTH)
        for i, t in enumerate(row)
    ),
)

SHEET = BakeSheet(
    name="Pockets",
    position=9,
    kitchen="A kitchen",
    noted=Cell(24 * MINUTE, "s", "tested", 23 * MINUTE, 25 * MINUTE),
    heating=model(0.92, "1"),
    rows=(ROW,),
    points=POINTS,
    probe=ProbeSheet(
        place="under the filling",
        across=model(0.002, "m"),
        up=model(0.015, "m"),
        reads=model(92 + CELSIUS, "K"),
        middle=model(85 + CELSIUS, "K"),
    ),
    cut=CUT,
    wanted=None,
    notices=(LEFT_IN,),
    models=("baking", "doneness"),
)


@pytest.fixture(scope="session")
def bake() -> BakeSheet:
    """A filled piece that is done after 23–26 min."""
    return SHEET


@pytest.fixture(scope="session")
def never() -> Callable[[BakeSheet], BakeSheet]:
    """Take a bake that is never done: its colour is not reached."""
    return _never


def _never(sheet: BakeSheet) -> BakeSheet:
    row = sheet.rows[0]
    *signs, colour = (replace(c, binding=False) for c in row.criteria)
    unknown = {
        name: model(None, getattr(row, name).unit)
        for name in ("lasts", "core", "filling", "surface", "loss", "dough_loss", "baked", "crust")
    }
    row = replace(
        row,
        **unknown,
        criteria=(*signs, replace(colour, time=model(None, "s"))),
        binding=None,
        colour=None,
        heat=model(None, "J"),
    )
    return replace(sheet, rows=(row,), probe=None, cut=None)
