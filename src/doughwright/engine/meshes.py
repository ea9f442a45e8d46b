"""Pieces cut into cells: shapes with a flat base, and slab, cylinder and sphere for checks.

Every mesh is a list of cells, of faces between them and of walls to the outside. A piece is a
section through it: round pieces and rings turned about the axis, long ones (a baton) drawn out
from the paper. Cells at the outline are cut, with exact apertures; slivers join a neighbour.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from doughwright.errors import ImpossibleInput, Notice
from doughwright.units import Array, CubicMetre, Metre, Ratio

STRIPS = 24
"""Strips of a column in which the outline is followed."""

CURVE = 4000
"""Points of the outline at which its area is added up."""

SLIVER = 0.35
"""A cut cell less full than this joins its neighbour."""

MOST_CELLS = 5000

CORNER_WEIGHT = 0.5
"""Middle of a cut cell from its wall, in volumes over wall area."""


@dataclass(frozen=True, slots=True)
class Section:
    """Half a section through a piece with a flat base.

    ``half_width`` from the middle of the section to its rim and ``height`` above the base;
    ``exponent`` p of the outline (x/a)^p + (z/h)^p = 1, infinite for an upright wall;
    ``middle`` is the radius of a ring's middle (0: none); ``turned`` about the axis, or
    drawn out straight (per metre of length); ``lined`` with metal at its sides.
    """

    half_width: Metre
    height: Metre
    exponent: Ratio = 3.0
    middle: Metre = 0.0
    turned: bool = True
    lined: bool = False


@dataclass(frozen=True, slots=True)
class Well:
    """Filling in the middle of a section: a disc (a strip) between two heights."""

    half_width: Metre
    bottom: Metre
    top: Metre


@dataclass(frozen=True, slots=True)
class Mesh:
    """Cells, faces and walls; ``points`` are the cells' middles (across, up), in m.

    ``volumes`` (m3) and ``filling`` (shares) by cell; ``faces`` and ``walls`` are rows of the
    tables of :mod:`doughwright.engine.bake_records`.
    """

    volumes: Array
    filling: Array
    points: Array
    faces: Array
    walls: Array
    spacing: Metre

    @property
    def volume(self) -> CubicMetre:
        """Of all cells."""
        return float(self.volumes.sum())


def radial_mesh(radius: Metre, cells: int, dimension: float, core: Ratio = 0.0) -> Mesh:
    """Shells of a slab (0), cylinder (1) or sphere (2); ``core`` is the filled share inside.

    The volume is that within unit wall area times the wall's area r^dimension.

    Examples
    --------
    >>> sphere = radial_mesh(0.03, 20, 2)
    >>> round(3 * sphere.volume / 0.03**3, 9)  # per steradian
    1.0
    """
    import numpy as np  # noqa: PLC0415 - the module must import fast

    edges = np.linspace(0.0, radius, cells + 1)
    within = edges ** (dimension + 1.0) / (dimension + 1.0)
    filled = np.clip(core * within[-1] - within[:-1], 0.0, np.diff(within)) / np.diff(within)
    step = radius / cells
    faces = _faces(np.arange(cells - 1), np.arange(1, cells), edges[1:-1] ** dimension / step)
    walls = _walls([cells - 1], [0], [radius**dimension], [step / 2])
    middles = np.column_stack([(edges[1:] + edges[:-1]) / 2, np.zeros(cells)])
    return Mesh(np.diff(within), filled, middles, faces, walls, step)


def _faces(a: Array, b: Array, shape: Array) -> Array:
    import numpy as np  # noqa: PLC0415

    from doughwright.engine.bake_records import FACE  # noqa: PLC0415

    faces = np.zeros(len(a), FACE)
    faces["a"], faces["b"], faces["shape"] = a, b, shape
    return faces


def _walls(cell: Array, kind: Array, area: Array, distance: Array) -> Array:
    import numpy as np  # noqa: PLC0415

    from doughwright.engine.bake_records import WALL  # noqa: PLC0415

    walls = np.zeros(len(cell), WALL)
    walls["cell"], walls["kind"], walls["area"], walls["distance"] = cell, kind, area, distance
    return walls


@lru_cache(maxsize=64)
def section_mesh(section: Section, spacing: Metre, well: Well | None = None) -> Mesh:
    """Cut a section into cells about as wide and high as the spacing.

    Examples
    --------
    >>> half_sphere = section_mesh(Section(0.04, 0.04, exponent=2.0), 0.002)
    >>> round(half_sphere.volume / (2 / 3 * 3.14159265 * 0.04**3), 3)
    1.0

    Raises
    ------
    ImpossibleInput
        If the section would have too many cells, or none.
    """
    grid = _grid(section, spacing, well)
    cut = _Cut(section, grid, well)
    cut.join_slivers()
    return cut.mesh(spacing)


@dataclass(frozen=True, slots=True)
class _Grid:
    """Edges of the columns (across) and of the rows (up)."""

    across: Array
    up: Array


def _grid(section: Section, spacing: Metre, well: Well | None) -> _Grid:
    """Columns and rows; the filling's sides lie on edges, so that hardly a cell holds both."""
    s = section
    left = s.middle - s.half_width if s.middle else 0.0
    sides: list[Metre] = []
    levels: list[Metre] = []
    if well is not None:
        sides = [s.middle - well.half_width, s.middle + well.half_width]
        levels = [well.bottom, well.top]
    across = _edges(left, s.middle + s.half_width, sides, spacing)
    up = _edges(0.0, s.height, levels, spacing)
    cells = (len(across) - 1) * (len(up) - 1)
    if cells > MOST_CELLS or left < 0:
        raise ImpossibleInput([Notice.of("shape-not-meshed", cells=cells)])
    return _Grid(across, up)


def _edges(low: Metre, high: Metre, between: list[Metre], spacing: Metre) -> Array:
    """Edges about a spacing apart, some of them at given places (not nearer than half of it)."""
    import numpy as np  # noqa: PLC0415

    size = min(spacing, (high - low) / 3)
    stops = [low]
    for stop in between:
        if stop - stops[-1] > size / 2 and high - stop > size / 2:
            stops.append(stop)
    stops.append(high)
    parts = [
        np.linspace(a, b, max(1, round((b - a) / size)), endpoint=False) for a, b in pairwise(stops)
    ]
    return np.append(np.concatenate(parts), high)


def _plan(section: Section, inner: Array, outer: Array) -> Array:
    """Plan area between two distances from the axis, m2 (per metre when drawn out)."""
    import numpy as np  # noqa: PLC0415

    if section.turned:
        return np.asarray(np.pi * (outer**2 - inner**2))
    return np.asarray(2.0 * (outer - inner))


def _perimeter(section: Section, x: Array) -> Array:
    """Length of the piece along a line at a distance from the axis, m."""
    import numpy as np  # noqa: PLC0415

    return np.asarray(2.0 * np.pi * x) if section.turned else np.full_like(x, 2.0)


def _top(section: Section, x: Array) -> Array:
    """Height of the outline above a point of the base."""
    import numpy as np  # noqa: PLC0415

    s = section
    if s.exponent == np.inf:
        return np.full_like(x, s.height)
    away = np.minimum(abs(x - s.middle) / s.half_width, 1.0)
    return np.asarray(s.height * (1.0 - away**s.exponent) ** (1.0 / s.exponent))


def _plan_at(section: Section, x: Array, z: Array) -> Array:
    """Plan area of every column (edges x) at heights z."""
    import numpy as np  # noqa: PLC0415

    s = section
    away = np.ones_like(z)
    if s.exponent != np.inf:
        away = (1.0 - np.minimum(z / s.height, 1.0) ** s.exponent) ** (1.0 / s.exponent)
    out = s.middle + s.half_width * away
    inner = s.middle - s.half_width * away if s.middle else np.zeros_like(z)
    return _plan(s, np.clip(x[:-1, None], inner, out), np.clip(x[1:, None], inner, out))


def _outline(section: Section) -> tuple[Array, Array]:
    """Points along the outline of a dome: across and up."""
    import numpy as np  # noqa: PLC0415

    s, power = section, 2.0 / section.exponent
    angle = np.linspace(0.0, np.pi if s.middle else np.pi / 2, CURVE + 1)
    cosine, sine = np.cos(angle), np.abs(np.sin(angle))
    across = s.middle + s.half_width * np.sign(cosine) * np.abs(cosine) ** power
    return across, s.height * sine**power


class _Cut:
    """The cells of a section while they are cut and joined."""

    def __init__(self, section: Section, grid: _Grid, well: Well | None) -> None:
        """Cut every cell of the grid."""
        import numpy as np  # noqa: PLC0415

        self.section, self.grid = section, grid
        x, z = grid.across, grid.up
        self.columns, self.rows = len(x) - 1, len(z) - 1
        self.index = np.arange(self.columns * self.rows).reshape(self.columns, self.rows)
        self.full = np.outer(_plan(section, x[:-1], x[1:]), np.diff(z))
        self.volumes, self.filled = self._volumes(well)
        self.areas = self._curve()
        self.member = np.arange(self.index.size)

    def _volumes(self, well: Well | None) -> tuple[Array, Array]:
        """Volume of every cell and of the filling within it, followed in thin strips."""
        import numpy as np  # noqa: PLC0415

        x, z = self.grid.across, self.grid.up
        edges = np.linspace(x[:-1], x[1:], STRIPS + 1)
        middles = (edges[:-1] + edges[1:]) / 2
        plan = _plan(self.section, edges[:-1], edges[1:])  # strips × columns
        top = _top(self.section, middles)[:, :, None]
        heights = np.clip(top - z[:-1], 0.0, np.diff(z))
        volumes = (plan[:, :, None] * heights).sum(axis=0)
        if well is None:
            return volumes, np.zeros_like(volumes)
        in_plan = abs(middles - self.section.middle) <= well.half_width
        high = np.minimum(top, well.top)
        inside = np.minimum(high, z[1:]) - np.maximum(well.bottom, z[:-1])
        filled = np.clip(inside, 0.0, None) * (plan * in_plan)[:, :, None]
        return volumes, filled.sum(axis=0)

    def _curve(self) -> Array:
        """Area of the outline within every cell."""
        import numpy as np  # noqa: PLC0415

        s, x, z = self.section, self.grid.across, self.grid.up
        areas = np.zeros((self.columns, self.rows))
        if s.exponent == np.inf:
            areas[:, -1] = _plan(s, x[:-1], x[1:])
            return areas
        across, up = _outline(s)
        along = np.hypot(np.diff(across), np.diff(up))
        at, above = (across[1:] + across[:-1]) / 2, (up[1:] + up[:-1]) / 2
        column = np.clip(np.searchsorted(x, at) - 1, 0, self.columns - 1)
        row = np.clip(np.searchsorted(z, above) - 1, 0, self.rows - 1)
        np.add.at(areas, (column, row), along * _perimeter(s, at))
        return areas

    def joints(self) -> tuple[Array, Array, Array]:
        """Cells side by side, and their common area over the distance of their middles."""
        import numpy as np  # noqa: PLC0415

        x, z = self.grid.across, self.grid.up
        beside = np.clip(_top(self.section, x[1:-1])[:, None] - z[:-1], 0.0, np.diff(z))
        beside *= (_perimeter(self.section, x[1:-1]) * 2.0 / (x[2:] - x[:-2]))[:, None]
        above = _plan_at(self.section, x, z[1:-1]) * 2.0 / (z[2:] - z[:-2])
        a = np.concatenate([self.index[:-1].ravel(), self.index[:, :-1].ravel()])
        b = np.concatenate([self.index[1:].ravel(), self.index[:, 1:].ravel()])
        return a, b, np.concatenate([beside.ravel(), above.ravel()])

    def join_slivers(self) -> None:
        """Give what little is in a nearly empty cell to the neighbour it touches most."""
        import numpy as np  # noqa: PLC0415

        share = (self.volumes / self.full).ravel()
        by_cell: dict[int, list[tuple[float, int]]] = {}
        for i, j, size in zip(*(part.tolist() for part in self.joints()), strict=True):
            if size > 0.0:
                by_cell.setdefault(i, []).append((size, j))
                by_cell.setdefault(j, []).append((size, i))
        for cell in np.argsort(share, kind="stable").tolist():
            touching = by_cell.get(cell)
            if share[cell] >= SLIVER:
                break
            if touching:
                self.member[cell] = max(touching, key=lambda t: (share[t[1]] >= SLIVER, t[0]))[1]
        for _ in range(8):  # a sliver may have gone to a sliver
            self.member = self.member[self.member]

    def mesh(self, spacing: Metre) -> Mesh:
        """The cells that are left, their faces and their walls."""
        import numpy as np  # noqa: PLC0415

        size = self.index.size
        volumes = np.bincount(self.member, self.volumes.ravel(), size)
        filled = np.bincount(self.member, self.filled.ravel(), size)
        kept = np.flatnonzero(volumes > 1e-6 * self.full.max())
        new = np.full(size, -1)
        new[kept] = np.arange(len(kept))
        member = new[self.member]
        a, b, shape = self.joints()
        left, right = member[a], member[b]
        touching = (left != right) & (shape > 0.0) & (left >= 0) & (right >= 0)
        return Mesh(
            volumes=volumes[kept],
            filling=filled[kept] / volumes[kept],
            points=self._points()[kept],
            faces=_faces(left[touching], right[touching], shape[touching]),
            walls=self._all_walls(member, kept, volumes[kept]),
            spacing=spacing,
        )

    def _points(self) -> Array:
        """Middles of the cells of the grid."""
        import numpy as np  # noqa: PLC0415

        x, z = self.grid.across, self.grid.up
        across, up = np.meshgrid((x[1:] + x[:-1]) / 2, (z[1:] + z[:-1]) / 2, indexing="ij")
        return np.column_stack([across.ravel(), up.ravel()])

    def _all_walls(self, member: Array, kept: Array, volumes: Array) -> Array:
        """Outline, base and, in a tin, sides."""
        import numpy as np  # noqa: PLC0415

        x, z = self.grid.across, self.grid.up
        half = np.diff(z) / 2
        outline = np.bincount(member[member >= 0], self.areas.ravel()[member >= 0], len(volumes))
        free = np.flatnonzero(outline > 0.0)
        distance = np.minimum(
            CORNER_WEIGHT * volumes[free] / outline[free], half[kept[free] % self.rows]
        )
        base = _plan_at(self.section, x, np.zeros(1))[:, 0]
        under = base > 0.0
        parts = [
            _walls(free, np.zeros(len(free)), outline[free], distance),
            _walls(member[self.index[under, 0]], np.ones(under.sum()), base[under], half[0]),
        ]
        if self.section.exponent == np.inf:
            side = _perimeter(self.section, x[-1:])[0] * np.diff(z)
            kind = np.full(self.rows, int(self.section.lined))
            parts.append(_walls(member[self.index[-1]], kind, side, (x[-1] - x[-2]) / 2))
        return np.concatenate(parts)
