"""A piece in the oven: heat and water in its section, and when it is done.

Heat comes by convection and radiation, from below through a tray or from all round through a
tin. In wet crumb water evaporates on the warm side of a pore and condenses on the cold one:
that carries most of the heat and some water inward. Where the boiling point is reached water
boils away and leaves, and a crust forms.
"""

from collections.abc import Sequence
from dataclasses import astuple, dataclass, field
from functools import lru_cache

from doughwright.engine import compiled
from doughwright.engine.bake_rows import cell_rows, condition_row, piece_tables
from doughwright.engine.meshes import Mesh, radial_mesh, section_mesh
from doughwright.engine.oven_piece import Goals, Member, OvenCourse, OvenPiece
from doughwright.engine.pieces import well_of
from doughwright.errors import ImpossibleInput, Notice, SolverFailure
from doughwright.sources import ASSUMPTION, FROM_MEMORY, ModelCard, Range, notices_for
from doughwright.units import Array, Kilogram, Metre, Ratio, Second

SPACING: Metre = 0.002
"""Side of a cell. Below twice the skin the results drift: a skin needs a cell to lie in."""

SHELLS = 10
"""Shells of the sphere that stands for a piece in an ensemble."""

LONGEST: Second = 4 * 3600.0

BAKING = ModelCard(
    key="baking",
    name="Heat and water in the oven",
    predicts="temperature, water, crust and colour of a piece, and when it is done",
    sources=(
        "zanoni-1995",
        "zanoni-schiraldi-1995",
        "zhang-2025",
        "geankoplis-appendix",
        "baik-1999",
        FROM_MEMORY,
        ASSUMPTION,
    ),
    inputs={
        "piece_mass": Range(0.02, 3.0, "kg"),
        "oven": Range(403.15, 573.15, "K"),
        "density": Range(200.0, 1000.0, "kg/m**3"),
        "moisture": Range(0.35, 1.1, "kg/kg"),
        "dough": Range(1e-3, 20.0, "kg", beyond="refuse"),
        "dough_temperature": Range(250.0, 360.0, "K", beyond="refuse"),
        "air": Range(300.0, 800.0, "K", beyond="refuse"),
        "water": Range(0.02, 5.0, "1", beyond="refuse"),
    },
    expected_error=(
        "a time by the model alone from an eighth shorter to a quarter longer in four ovens of "
        "five, baking loss within 3.5 points in most bakes, of large loaves up to two points high; "
        "late in a bake surfaces 15–35 K too hot"
    ),
    known_from="published check points, most of them with assumed geometry (science page)",
    assumptions=(
        "every wall of the oven is as hot as every other: no grill, no strong bottom heat",
        "pieces do not shade each other",
        "filling neither flows nor boils over; setting of egg takes no heat",
        "vapour finds its way out: no pressure inside",
        "the piece keeps its outline while it springs",
    ),
)


@dataclass(frozen=True, slots=True)
class BakeRun:
    """What came of bakes of one piece: one row a member.

    ``series``: members × samples × :data:`~doughwright.engine.bake_records.SERIES`, rows after
    the end of a run left at its last; ``fields``: members × (temperature K, moisture kg/kg,
    integral of setting) × cells; ``outcomes`` of dtype ``OUTCOME``. Masses and heats are those
    of the mesh: ``share`` of it is the piece.
    """

    piece: OvenPiece
    mesh: Mesh
    series: Array
    fields: Array
    outcomes: Array
    water: Kilogram
    share: Ratio
    notices: tuple[Notice, ...] = field(default=())


def bake_runs(
    piece: OvenPiece,
    oven: OvenCourse,
    goals: Goals | None = None,
    members: Sequence[Member] | Array | None = None,
    *,
    duration: Second | None = None,
    margin: Ratio = 1.3,
    section: bool = True,
) -> BakeRun:
    """Bake a piece once for every member, until its goals are reached or the time is over.

    Parameters
    ----------
    members
        One :class:`Member` each, or an array of dtype ``bake_records.MEMBER``.
    duration
        The longest bake, s; four hours by default.
    margin
        How much longer than to the last goal it goes on.
    section
        Follow the whole section, or (for an ensemble) a sphere of its volume over surface.

    Examples
    --------
    A 60 g roll in a conventional oven at 220 °C: 98 °C in the middle after about ten minutes.

    >>> from doughwright.engine.oven_piece import plain_roll
    >>> run = bake_runs(plain_roll(), OvenCourse("conventional", 493.15), duration=1200.0)
    >>> coldest = run.series[0, :, 1]
    >>> bool(coldest[54] < 371.15 < coldest[78])  # samples 10 s apart: 9 and 13 min
    True

    Raises
    ------
    ImpossibleInput
        If piece and oven are none that can be followed (see the model card).
    """
    import numpy as np  # noqa: PLC0415 - the module must import fast

    from doughwright.engine.bake_records import MEMBER  # noqa: PLC0415

    notices = card_notices(piece, oven)
    mesh = section_of(piece) if section else sphere_of(piece)
    cells = cell_rows(piece, mesh)
    if not isinstance(members, np.ndarray):
        rows = [astuple(m) for m in members or [Member()]]
        members = np.array(rows, dtype=MEMBER)
    conditions = condition_row(piece, oven, goals or Goals(), mesh, duration or LONGEST, margin)
    series, fields, outcomes = _run(mesh, cells, conditions, members, piece_tables(piece, oven))
    mass = float(cells["dry_mass"].sum() + cells["water"].sum())
    share = piece.whole_mass / mass
    water = float(cells["water"].sum())
    return BakeRun(piece, mesh, series, fields, outcomes, water, share, notices)


def card_notices(piece: OvenPiece, oven: OvenCourse) -> tuple[Notice, ...]:
    """What the model card says to a piece and an oven.

    Examples
    --------
    >>> from doughwright.engine.oven_piece import plain_roll
    >>> [n.values["input"] for n in card_notices(plain_roll(), OvenCourse("fan", 393.15))]
    ['oven']

    Raises
    ------
    ImpossibleInput
        If there is no dough, no water or no heat to follow.
    """
    if piece.dough_volume <= 0.0:
        share = piece.filling.volume / piece.shape.volume if piece.filling else 0.0
        raise ImpossibleInput([Notice.of("filling-too-large", share=share)])
    return notices_for(
        BAKING,
        piece_mass=piece.whole_mass,
        oven=oven.first,
        density=piece.mass / piece.dough_volume,
        moisture=piece.dough.moisture,
        dough=piece.mass,
        dough_temperature=piece.temperature,
        air=oven.first,
        water=piece.dough.moisture,
    )


def section_of(piece: OvenPiece) -> Mesh:
    """The piece's section, cut into cells.

    Examples
    --------
    >>> from doughwright.engine.oven_piece import plain_roll
    >>> mesh = section_of(plain_roll())
    >>> round(mesh.volume / plain_roll().shape.volume, 3)  # nothing is lost in cutting
    1.0
    """
    well = None
    if piece.filling is not None:
        share = piece.filling.volume / piece.shape.volume
        well = well_of(piece.shape.section, share, piece.filling.placement)
    return section_mesh(piece.shape.section, SPACING * piece.scale, well)


@lru_cache(maxsize=64)
def sphere_of(piece: OvenPiece) -> Mesh:
    """The sphere of the section's volume over surface, its filling inside.

    Examples
    --------
    >>> from doughwright.engine.oven_piece import plain_roll
    >>> sphere, section = sphere_of(plain_roll()), section_of(plain_roll())
    >>> outside = [float(mesh.walls["area"].sum()) for mesh in (sphere, section)]
    >>> round(sphere.volume / outside[0] / (section.volume / outside[1]), 6)  # by definition
    1.0
    """
    mesh = section_of(piece)
    radius = 3.0 * mesh.volume / float(mesh.walls["area"].sum())
    core = piece.filling.volume / piece.shape.volume if piece.filling else 0.0
    return radial_mesh(radius, SHELLS, 2, core)


def _run(
    mesh: Mesh,
    cells: Array,
    conditions: Array,
    members: Array,
    tables: Array,
) -> tuple[Array, Array, Array]:
    """Call the compiled run."""
    import numpy as np  # noqa: PLC0415

    from doughwright.engine import bake_records as r  # noqa: PLC0415

    count = len(members)
    rows = int(conditions["duration"][0] / conditions["every"][0]) + 2
    series = np.zeros((count, rows, len(r.SERIES)))
    fields = np.zeros((count, len(r.FIELDS), len(cells)))
    outcomes = np.zeros(count, r.OUTCOME)
    work = np.empty(1, r.WORK)
    members = np.ascontiguousarray(members, r.MEMBER)
    compiled.run(compiled.BAKE)(
        *(cells.ctypes.data, len(cells), mesh.faces.ctypes.data, len(mesh.faces)),
        *(mesh.walls.ctypes.data, len(mesh.walls), conditions.ctypes.data),
        *(members.ctypes.data, count, tables.ctypes.data, outcomes.ctypes.data),
        *(series.ctypes.data, rows, fields.ctypes.data, work.ctypes.data),
    )
    if not np.isfinite(outcomes["held"]).all():
        raise SolverFailure([Notice.of("bake-not-solved")])
    return series, fields, outcomes
