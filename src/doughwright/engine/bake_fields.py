"""What is seen of a bake at a time: core, loss, crust, colour, heat; and the cut through it."""

from dataclasses import dataclass

from doughwright.engine.baking import BakeRun
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
    import numpy as np  # noqa: PLC0415 - the module must import fast

    from doughwright.engine.bake_records import SERIES  # noqa: PLC0415

    rows = run.series[member, : int(run.outcomes["samples"][member])]
    value = {name: float(np.interp(time, rows[:, 0], rows[:, i])) for i, name in enumerate(SERIES)}
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


@dataclass(frozen=True, slots=True)
class Probe:
    """Where the coldest dough is at a time: from the middle and above the base, in m."""

    across: Metre
    up: Metre


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
    row = rows[int(abs(rows[:, 0] - time).argmin())]
    cell = int(row[SERIES.index("where")])
    across, up = (float(x) for x in run.mesh.points[cell])
    return Probe(across, up)


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
    from doughwright.engine.pieces import baking_constant  # noqa: PLC0415

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
