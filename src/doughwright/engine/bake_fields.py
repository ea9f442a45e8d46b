"""What is seen of a bake at a time: core, loss, crust, colour, heat; and the cut through it."""

from dataclasses import dataclass
from typing import Literal

from doughwright.engine.baking import BakeRun
from doughwright.engine.oven_piece import OvenPiece, usual_spring
from doughwright.engine.pieces import baking_constant
from doughwright.units import Array, Joule, Kelvin, Kilogram, Metre, Ratio, Second


@dataclass(frozen=True, slots=True)
class Seen:
    """A piece at one time of its bake.

    ``loss`` is over dough and filling as loaded, ``dough_loss`` over the dough alone; ``heat``
    is what the oven gave to one piece, its tray's share included; ``middle`` is the
    temperature in the middle of the piece, at half its height, ``setting`` the integral of
    setting of the least set dough.
    """

    time: Second
    coldest: Kelvin
    filling: Kelvin
    surface: Kelvin
    mean: Kelvin
    middle: Kelvin
    setting: float
    colour: float
    loss: Ratio
    dough_loss: Ratio
    baked_mass: Kilogram
    crust: Metre
    heat: Joule


def seen_at(run: BakeRun, time: Second, member: int = 0) -> Seen:
    """What is seen at a time within the run, between its samples.

    Examples
    --------
    >>> from doughwright.engine.baking import bake_runs
    >>> from doughwright.engine.oven_piece import OvenCourse, plain_roll
    >>> run = bake_runs(plain_roll(), OvenCourse("fan", 453.15), duration=60.0, section=False)
    >>> start = seen_at(run, 0.0)  # nothing is lost yet
    >>> start.coldest, start.baked_mass, start.loss
    (299.15, 0.06, 0.0)
    """
    from doughwright.engine.bake_records import SERIES  # noqa: PLC0415 - must import fast

    rows = run.series[member, : int(run.outcomes["samples"][member])]
    value = dict(zip(SERIES, _row_at(rows, time).tolist(), strict=True))
    lost = (run.water - value["water"]) * run.share
    piece = run.piece
    return Seen(
        time=time,
        coldest=value["coldest"],
        filling=value["filling"],
        surface=value["surface"],
        mean=value["mean"],
        middle=value["probe"],
        setting=value["set"],
        colour=value["colour"],
        loss=lost / piece.whole_mass,
        dough_loss=lost / piece.mass,
        baked_mass=piece.whole_mass - lost,
        crust=value["crust"],
        heat=value["heat"] * run.share,
    )


def _row_at(rows: Array, time: Second) -> Array:
    """A row between the samples; beyond them the first or the last."""
    times = rows[:, 0]
    at = int(times.searchsorted(time, side="right")) - 1
    if at < 0 or at >= len(rows) - 1 or times[at] == time:
        row: Array = rows[max(at, 0)]
        return row
    slope = (rows[at + 1] - rows[at]) / (times[at + 1] - times[at])
    between: Array = slope * (time - times[at]) + rows[at]
    return between


Place = Literal["middle", "under", "above", "beside"]


@dataclass(frozen=True, slots=True)
class Probe:
    """Where the coldest dough is at a time: from the middle and above the base, in m.

    ``place`` is in the middle of a plain piece, else on a side of the filling.
    """

    across: Metre
    up: Metre
    place: Place


def probe_place(run: BakeRun, time: Second, member: int = 0) -> Probe:
    """Where to put a probe: the coldest dough at a time, on the piece as it is then.

    Examples
    --------
    >>> from doughwright.engine.baking import bake_runs
    >>> from doughwright.engine.oven_piece import OvenCourse, plain_roll
    >>> run = bake_runs(plain_roll(), OvenCourse("fan", 453.15), duration=600.0)
    >>> probe_place(run, 600.0).across < 0.003  # of a plain round roll, its middle
    True
    """
    from doughwright.engine.bake_records import SERIES  # noqa: PLC0415

    rows = run.series[member, : int(run.outcomes["samples"][member])]
    at = int(abs(rows[:, 0] - time).argmin())
    cell = int(rows[at, SERIES.index("where")])
    swell = swelling(run.piece, float(rows[: at + 1, SERIES.index("mean")].max()))
    across, up = (swell * float(x) for x in run.mesh.points[cell])
    return Probe(across, up, _side(run, cell))


def swelling(piece: OvenPiece, mean: Kelvin) -> Ratio:
    """Length of a piece over its length as it went in, by the warmest its mean has been.

    Examples
    --------
    >>> from doughwright.engine.oven_piece import plain_roll
    >>> swelling(plain_roll(), 300.0), round(swelling(plain_roll(), 370.0) ** 3, 2)
    (1.0, 1.35)
    """
    spring = piece.spring if piece.spring is not None else usual_spring(piece)
    x = (mean - baking_constant("spring_from")) / baking_constant("spring_over")
    x = min(max(x, 0.0), 1.0)
    return float((1.0 + (spring - 1.0) * x * x * (3.0 - 2.0 * x)) ** (1.0 / 3.0))


def _side(run: BakeRun, cell: int) -> Place:
    """On which side of the filling a cell lies."""
    filled = run.mesh.points[run.mesh.filling >= 0.5]
    if run.piece.filling is None or not len(filled):
        return "middle"
    across, up = run.mesh.points[cell]
    if across > filled[:, 0].max():
        return "beside"
    return "under" if up < filled[:, 1].min() else "above"


@dataclass(frozen=True, slots=True)
class Cut:
    """The cut through a piece at the end of its run, cell by cell.

    Places in m, temperature in K, whether it is crust and how much of it is filling.
    """

    across: Array
    up: Array
    spacing: Metre
    temperature: Array
    crust: Array
    filling: Array


def cut_of(run: BakeRun, member: int = 0) -> Cut:
    """The cut through a piece at the end of its run.

    Examples
    --------
    >>> from doughwright.engine.baking import bake_runs
    >>> from doughwright.engine.oven_piece import OvenCourse, plain_roll
    >>> run = bake_runs(plain_roll(), OvenCourse("fan", 453.15), duration=600.0)
    >>> cut = cut_of(run)
    >>> bool(cut.temperature.max() > cut.temperature.min()), float(cut.filling.max())
    (True, 0.0)
    """
    fields = run.fields[member]
    dry = fields[1] < 0.5 * baking_constant("crust_below")
    return Cut(
        run.mesh.points[:, 0],
        run.mesh.points[:, 1],
        run.mesh.spacing,
        fields[0],
        dry & (run.mesh.filling < 0.5),
        run.mesh.filling,
    )
