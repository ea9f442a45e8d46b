"""The bake: when it is done and by which sign, what comes out, and other sizes and ovens."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from doughwright.engine.bake_fields import cut_of, seen_at
from doughwright.engine.doneness import Criterion
from doughwright.engine.pieces import baking_constant
from doughwright.errors import Notice
from doughwright.resolving.bakes import (
    BakeChange,
    BakeHere,
    BakeSetting,
    piece_for,
)
from doughwright.resolving.oven_courses import Dial
from doughwright.sheets.cells import Cell
from doughwright.sheets.ovens import OvenCell
from doughwright.units import ICE_POINT, Kelvin, Kilogram, Metre, Ratio, Second

BAKE_MODELS = ("baking", "doneness", "oven-settings", "oven-heat-transfer")
"""The model cards a bake stands on."""

POINTS = 61
"""Points of the picture of temperatures over time."""

Place = Literal["in the middle", "under the filling", "above the filling", "beside the filling"]

PLACES: Mapping[str, Place] = MappingProxyType(
    {
        "middle": "in the middle",
        "under": "under the filling",
        "above": "above the filling",
        "beside": "beside the filling",
    }
)
"""Places of a probe, in words."""


@dataclass(frozen=True, slots=True)
class CriterionRow:
    """One sign of a finished bake: its goal and when it is reached; ``binding`` is the last."""

    name: Criterion
    goal: Cell
    time: Cell
    binding: bool


@dataclass(frozen=True, slots=True)
class BakeRow:
    """One bake: its pieces and oven, how long, and what comes out.

    ``width``, ``length`` and ``height`` are the piece's as it goes in (of a ring, its strand's
    width and its outer one). ``oven`` is the dial here, ``written`` the formula's setting
    where it differs. ``loss`` is over the piece as loaded, ``dough_loss`` over its dough.
    ``colour`` is over that of the baker's own bake (None without one). Cells of what never
    gets done are empty.
    """

    pieces: int
    piece: Cell
    loaded: Cell
    width: Cell
    length: Cell
    height: Cell
    oven: OvenCell
    then: OvenCell | None
    written: OvenCell | None
    altitude: Cell
    cold_start: bool
    lasts: Cell
    criteria: tuple[CriterionRow, ...]
    binding: Criterion | None
    core: Cell
    filling: Cell | None
    surface: Cell
    loss: Cell
    dough_loss: Cell
    baked: Cell
    crust: Cell
    colour: Cell | None
    heat: Cell
    loads: int
    trays: int
    notices: tuple[Notice, ...]


@dataclass(frozen=True, slots=True)
class BakePoint:
    """One moment of a bake: time since loading, temperatures, water lost so far."""

    time: Second
    core: Kelvin
    filling: Kelvin | None
    surface: Kelvin
    loss: Ratio


@dataclass(frozen=True, slots=True)
class ProbeSheet:
    """Where to put a probe at the end, and what it reads: ``up`` is its height above the base.

    ``middle`` is what a probe in the middle of the piece reads then, which in a filled piece
    says nothing of the dough.
    """

    place: Place
    across: Cell
    up: Cell
    reads: Cell
    middle: Cell


@dataclass(frozen=True, slots=True)
class CutCell:
    """One cell of the cut: its middle from the middle of the piece and above its base."""

    across: Metre
    up: Metre
    temperature: Kelvin
    crust: bool
    filling: bool


@dataclass(frozen=True, slots=True)
class CutSheet:
    """The cut through half a piece when it is done; ``side`` is the width of a cell."""

    time: Second
    side: Metre
    cells: tuple[CutCell, ...]


@dataclass(frozen=True, slots=True)
class WantedWeight:
    """How much dough to scale for a piece of a wanted baked weight."""

    baked: Cell
    scaled: Cell
    row: BakeRow


@dataclass(frozen=True, slots=True)
class BakeSheet:
    """The bake of a formula in a kitchen: first as it is, then as varied.

    ``noted`` is the baker's own time, ``heating`` how fast the oven it was noted in heats,
    against a usual one.
    """

    name: str
    position: int
    kitchen: str
    noted: Cell | None
    heating: Cell | None
    rows: tuple[BakeRow, ...]
    points: tuple[BakePoint, ...]
    probe: ProbeSheet | None
    cut: CutSheet | None
    wanted: WantedWeight | None
    notices: tuple[Notice, ...]
    models: tuple[str, ...]

    @property
    def anchored(self) -> bool:
        """Whether the baker's own time was there to be moved."""
        return self.noted is not None


def bake_sheet(
    here: BakeHere, others: Sequence[BakeHere] = (), wanted: WantedWeight | None = None
) -> BakeSheet:
    """Lay out a bake, others beside it, and the dough for a wanted baked weight."""
    setting = here.setting
    anchor = setting.anchor
    noted = (
        Cell(anchor.noted.best, "s", "tested", anchor.noted.low, anchor.noted.high)
        if (anchor)
        else None
    )
    return BakeSheet(
        name=setting.formula.document.name,
        position=setting.position,
        kitchen=setting.kitchen.name,
        noted=noted,
        heating=Cell(anchor.heating, "1", "model", model="doneness") if anchor else None,
        rows=tuple(bake_row(bake) for bake in (here, *others)),
        points=_points(here),
        probe=_probe(here),
        cut=_cut(here),
        wanted=wanted,
        notices=setting.notices,
        models=BAKE_MODELS,
    )


def wanted_weight(
    setting: BakeSetting, baked: Kilogram, change: BakeChange | None = None
) -> WantedWeight:
    """How much dough to scale for a baked weight, in an oven as varied."""
    found = piece_for(setting, baked, change or BakeChange())
    row = bake_row(found)
    give = baking_constant("loss_give") * found.piece.mass
    scaled = Cell(found.piece.mass, "kg", "model", found.piece.mass - give, found.piece.mass + give)
    return WantedWeight(Cell(baked, "kg", "stated"), scaled, row)


def bake_row(here: BakeHere) -> BakeRow:
    """One bake as a row."""
    piece, seen, times = here.piece, here.seen, here.times
    give = baking_constant("loss_give")
    written = _written(here)

    def model(value: float | None, unit: str, give: float | None = None) -> Cell:
        if value is None:
            return Cell(None, unit, "unknown")
        low, high = (max(0.0, value - give), value + give) if give is not None else (None, None)
        return Cell(value, unit, "model", low, high, "baking")

    own = times.own_colour
    lost = seen.loss * piece.whole_mass if seen else None
    return BakeRow(
        pieces=here.pieces,
        piece=Cell(piece.mass, "kg"),
        loaded=Cell(piece.whole_mass, "kg"),
        width=Cell(piece.shape.width, "m"),
        length=Cell(piece.shape.length, "m"),
        height=Cell(piece.shape.height, "m"),
        oven=dial_cell(here.course.dial),
        then=dial_cell(here.course.then) if here.course.then else None,
        written=written,
        altitude=Cell(here.kitchen.altitude, "m", "stated"),
        cold_start=here.cold,
        lasts=time_cell(here),
        criteria=_criteria(here),
        binding=times.doneness.binding,
        core=model(seen.coldest if seen else None, "K"),
        filling=model(seen.filling, "K") if seen and piece.filling is not None else None,
        surface=model(seen.surface if seen else None, "K"),
        loss=model(seen.loss if seen else None, "1", give),
        dough_loss=model(seen.dough_loss if seen else None, "1", give),
        baked=model(
            piece.whole_mass - lost if lost is not None else None,
            "kg",
            give * piece.whole_mass,
        ),
        crust=model(seen.crust if seen else None, "m"),
        colour=model(seen.colour / own, "1") if seen and own else None,
        heat=model(seen.heat if seen else None, "J"),
        loads=here.course.load.loads,
        trays=here.course.load.trays,
        notices=here.notices,
    )


def time_cell(here: BakeHere) -> Cell:
    """How long a bake takes, with its band."""
    band = here.times.time
    if band is None:
        return Cell(None, "s", "unknown")
    return Cell(band.best, "s", here.times.kind, band.low, band.high, "doneness")


def dial_cell(dial: Dial) -> OvenCell:
    """A dial as it is read: a temperature with its kind, or a gas mark."""
    if dial.kind == "gas" and dial.mark:
        return OvenCell(None, "gas", dial.mark)
    return OvenCell(Cell(dial.temperature, "K", "stated"), dial.kind, "")


def _written(here: BakeHere) -> OvenCell | None:
    written = here.course.written
    return dial_cell(written) if written is not None and written != here.course.dial else None


def _criteria(here: BakeHere) -> tuple[CriterionRow, ...]:
    goals, found = here.goals, here.times.doneness
    wanted: dict[Criterion, Cell] = {
        "crumb": Cell(goals.set_share, "1", "model", model="doneness"),
        "core": Cell(goals.core, "K", "stated" if here.core_stated else "usual"),
        "filling": Cell(goals.filling, "K", "usual"),
        "colour": Cell(here.times.goals.colour, "1", "model", model="doneness"),
    }
    return tuple(
        CriterionRow(
            name,
            wanted[name],
            Cell(at, "s", "model" if at is not None else "unknown", model="doneness"),
            name == found.binding,
        )
        for name, at in found.times.items()
    )


def _points(here: BakeHere) -> tuple[BakePoint, ...]:
    """Temperatures and loss over the bake, a little beyond its longest time."""
    run = here.times.run
    rows = int(run.outcomes["samples"][0])
    last = float(run.series[0, rows - 1, 0])
    band = here.times.time
    end = min(last, 1.08 * band.high) if band is not None and band.high is not None else last
    moments = [seen_at(run, end * i / (POINTS - 1)) for i in range(POINTS)]
    filled = here.piece.filling is not None
    return tuple(
        BakePoint(m.time, m.coldest, m.filling if filled else None, m.surface, m.loss)
        for m in moments
    )


def _probe(here: BakeHere) -> ProbeSheet | None:
    if here.probe is None or here.seen is None:
        return None
    return ProbeSheet(
        place=PLACES[here.probe.place],
        across=Cell(here.probe.across, "m", "model", model="baking"),
        up=Cell(here.probe.up, "m", "model", model="baking"),
        reads=Cell(here.seen.coldest, "K", "model", model="baking"),
        middle=Cell(here.seen.middle, "K", "model", model="baking"),
    )


def _cut(here: BakeHere) -> CutSheet | None:
    if here.end is None:
        return None
    cut = cut_of(here.end)
    columns = (cut.across, cut.up, cut.temperature, cut.crust, cut.filling)
    return CutSheet(
        time=here.times.time.best if here.times.time is not None else 0.0,
        side=cut.spacing,
        cells=tuple(
            CutCell(
                round(float(x), 4),
                round(float(z), 4),
                round(float(t) - ICE_POINT, 1) + ICE_POINT,
                bool(crust),
                bool(filled >= 0.5),
            )
            for x, z, t, crust, filled in zip(*columns, strict=True)
        ),
    )
