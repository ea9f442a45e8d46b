"""Pieces cut into cells: volumes and walls against closed forms, and that nothing leaks."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doughwright.engine.bake_records import FREE, METAL
from doughwright.engine.meshes import Mesh, Section, Well, radial_mesh, section_mesh
from doughwright.errors import ImpossibleInput

RADIUS, HEIGHT = 0.05, 0.04
HALF_BALL = Section(RADIUS, RADIUS, exponent=2.0)
UPRIGHT = Section(RADIUS, HEIGHT, exponent=math.inf)
IN_TIN = Section(RADIUS, HEIGHT, exponent=math.inf, lined=True)
DOME = Section(RADIUS, HEIGHT)
HALF_RING = Section(0.02, 0.02, exponent=2.0, middle=RADIUS)
BATON = Section(0.03, HEIGHT, exponent=2.0, turned=False)
EVERY = {
    "half ball": HALF_BALL,
    "upright": UPRIGHT,
    "tin": IN_TIN,
    "dome": DOME,
    "ring": HALF_RING,
    "baton": BATON,
}
each_section = pytest.mark.parametrize("section", EVERY.values(), ids=EVERY.keys())


def ellipse_round(a: float, b: float) -> float:
    """Perimeter of an ellipse, by Ramanujan's second form (good to 1e-9 here)."""
    h = ((a - b) / (a + b)) ** 2
    return math.pi * (a + b) * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))


VOLUMES: list[tuple[Section, float]] = [
    (HALF_BALL, 2 / 3 * math.pi * RADIUS**3),
    (UPRIGHT, math.pi * RADIUS**2 * HEIGHT),
    (DOME, math.pi * RADIUS**2 * HEIGHT * 0.8061),  # B(2/3, 4/3)·2/3, tables of the beta function
    (HALF_RING, math.pi * 0.02**2 / 2 * 2 * math.pi * RADIUS),  # Pappus
    (BATON, math.pi / 2 * 0.03 * HEIGHT),  # per metre
]
FREE_AREAS: list[tuple[Section, float]] = [
    (HALF_BALL, 2 * math.pi * RADIUS**2),
    (UPRIGHT, math.pi * RADIUS**2 + 2 * math.pi * RADIUS * HEIGHT),
    (IN_TIN, math.pi * RADIUS**2),
    (HALF_RING, math.pi * 0.02 * 2 * math.pi * RADIUS),  # Pappus again, of the curve
    (BATON, ellipse_round(0.03, HEIGHT) / 2),
]
METAL_AREAS: list[tuple[Section, float]] = [
    (HALF_BALL, math.pi * RADIUS**2),
    (IN_TIN, math.pi * RADIUS**2 + 2 * math.pi * RADIUS * HEIGHT),
    (HALF_RING, math.pi * ((RADIUS + 0.02) ** 2 - (RADIUS - 0.02) ** 2)),
    (BATON, 2 * 0.03),
]


def area(mesh: Mesh, kind: int) -> float:
    return float(mesh.walls["area"][mesh.walls["kind"] == kind].sum())


@pytest.mark.parametrize(("section", "volume"), VOLUMES)
def test_volumes_are_those_of_the_closed_forms(section: Section, volume: float) -> None:
    """Within 0.1 % by cells of 2 mm."""
    assert section_mesh(section, 0.002).volume == pytest.approx(volume, rel=1e-3)


@pytest.mark.parametrize(("section", "expected"), FREE_AREAS)
def test_free_surfaces_are_those_of_the_closed_forms(section: Section, expected: float) -> None:
    assert area(section_mesh(section, 0.002), FREE) == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize(("section", "expected"), METAL_AREAS)
def test_areas_on_metal_are_those_of_the_closed_forms(section: Section, expected: float) -> None:
    assert area(section_mesh(section, 0.002), METAL) == pytest.approx(expected, rel=1e-9)


def error_of_volume(spacing: float) -> float:
    exact = 2 / 3 * math.pi * RADIUS**3
    return abs(section_mesh(HALF_BALL, spacing).volume / exact - 1.0)


def test_the_error_of_a_volume_falls_faster_than_the_cell() -> None:
    """The midpoint rule at an end with an upright slope has the order one and a half."""
    errors = [error_of_volume(s) for s in (0.005, 0.0025, 0.00125)]
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert (orders > 1.3).all()


@each_section
@pytest.mark.parametrize("spacing", [0.001, 0.002, 0.003])
def test_every_cell_holds_something_and_touches_another(section: Section, spacing: float) -> None:
    mesh = section_mesh(section, spacing)
    assert (mesh.volumes > 0.0).all()
    touched = np.zeros(len(mesh.volumes), dtype=int)
    np.add.at(touched, mesh.faces["a"], 1)
    np.add.at(touched, mesh.faces["b"], 1)
    assert (touched > 0).all()
    assert (mesh.faces["a"] != mesh.faces["b"]).all()
    assert (mesh.faces["shape"] > 0.0).all()
    assert (mesh.walls["area"] > 0.0).all()
    assert (mesh.walls["distance"] > 0.0).all()


@each_section
def test_all_cells_hang_together(section: Section) -> None:
    mesh = section_mesh(section, 0.002)
    group = np.arange(len(mesh.volumes))
    for _ in range(len(group)):
        before = group.copy()
        least = np.minimum(group[mesh.faces["a"]], group[mesh.faces["b"]])
        np.minimum.at(group, mesh.faces["a"], least)
        np.minimum.at(group, mesh.faces["b"], least)
        if (before == group).all():
            break
    assert set(group.tolist()) == {0}


@each_section
def test_even_flow_passes_whole_cells(section: Section) -> None:
    """What flows up through a cell far from the outline leaves it again (Gauss)."""
    well = Well(0.4 * section.half_width, 0.4 * section.height, 0.8 * section.height)
    mesh = section_mesh(section, 0.002, well)
    a, b = mesh.faces["a"], mesh.faces["b"]
    flow = mesh.faces["shape"] * (mesh.points[a, 1] - mesh.points[b, 1])
    left = np.zeros(len(mesh.volumes))
    np.subtract.at(left, a, flow)
    np.add.at(left, b, flow)
    inside = (mesh.points[:, 1] > 0.0022) & (mesh.points[:, 1] < 0.6 * section.height)
    inside &= abs(mesh.points[:, 0] - section.middle) < 0.6 * section.half_width
    assert inside.sum() > 20
    assert abs(left[inside]).max() < 1e-12 * abs(flow).max()


@pytest.mark.parametrize("section", [HALF_BALL, DOME, BATON, HALF_RING])
def test_the_base_lies_under_the_lowest_cells(section: Section) -> None:
    mesh = section_mesh(section, 0.002)
    base = mesh.walls[mesh.walls["kind"] == METAL]
    assert (mesh.points[base["cell"], 1] < mesh.spacing).all()


@each_section
def test_no_cut_cell_is_a_sliver(section: Section) -> None:
    """The smallest cell sets the step: none is under a third of a whole one beside it."""
    mesh = section_mesh(section, 0.002)
    across = mesh.points[:, 0]
    whole = (2 * np.pi * across if section.turned else 2.0) * mesh.spacing**2
    assert (mesh.volumes / whole).min() > 0.3


def test_either_side_of_a_ring_has_its_own_share() -> None:
    """Pappus for each half of the tube's section, whose centre is 4a/3π from the middle."""
    mesh = section_mesh(HALF_RING, 0.002)
    outside = mesh.points[:, 0] > RADIUS
    away = 4 * 0.02 / (3 * math.pi)
    for half, centre in ((outside, RADIUS + away), (~outside, RADIUS - away)):
        expected = math.pi * 0.02**2 / 4 * 2 * math.pi * centre
        assert mesh.volumes[half].sum() == pytest.approx(expected, rel=2e-3)


FILLINGS: list[tuple[Section, Well, float]] = [
    (UPRIGHT, Well(0.025, 0.016, HEIGHT), math.pi * 0.025**2 * 0.024),
    (DOME, Well(0.0215, 0.008, 0.03), math.pi * 0.0215**2 * 0.022),
    (HALF_RING, Well(0.006, 0.005, 0.012), 0.012 * 0.007 * 2 * math.pi * RADIUS),
    (BATON, Well(0.0107, 0.01, 0.03), 2 * 0.0107 * 0.02),
]


@pytest.mark.parametrize(("section", "well", "volume"), FILLINGS)
@pytest.mark.parametrize("spacing", [0.0015, 0.002, 0.003])
def test_filling_has_its_volume(
    section: Section, well: Well, volume: float, spacing: float
) -> None:
    """A cylinder, a strip, a ring of filling inside the outline, at any size of the cells."""
    mesh = section_mesh(section, spacing, well)
    assert (mesh.filling * mesh.volumes).sum() == pytest.approx(volume, rel=1e-9)


@pytest.mark.parametrize(("section", "well", "volume"), FILLINGS)
def test_no_cell_holds_both_dough_and_filling(section: Section, well: Well, volume: float) -> None:
    """A cell of both would warm as neither does."""
    assert volume > 0.0
    filling = section_mesh(section, 0.002, well).filling
    assert ((filling < 1e-9) | (filling > 1.0 - 1e-9)).all()


@pytest.mark.parametrize(
    ("dimension", "volume"), [(0, RADIUS), (1, RADIUS**2 / 2), (2, RADIUS**3 / 3)]
)
def test_shells_have_the_volume_of_slab_cylinder_and_sphere(dimension: int, volume: float) -> None:
    """Per unit of area, of angle and of solid angle."""
    mesh = radial_mesh(RADIUS, 10, dimension, core=0.3)
    assert mesh.volume == pytest.approx(volume, rel=1e-12)
    assert mesh.walls["area"].tolist() == pytest.approx([RADIUS**dimension])
    assert (mesh.filling * mesh.volumes).sum() == pytest.approx(0.3 * volume, rel=1e-12)


@settings(max_examples=40, deadline=None)
@given(
    wide=st.floats(0.01, 0.12),
    high=st.floats(0.006, 0.12),
    exponent=st.floats(2.0, 6.0),
    turned=st.booleans(),
)
def test_any_dome_is_cut_without_loss(
    wide: float, high: float, exponent: float, *, turned: bool
) -> None:
    """Volume by the beta function, as everywhere between the base and the outline."""
    mesh = section_mesh(Section(wide, high, exponent, turned=turned), 0.003)
    a, b = (2 / exponent if turned else 1 / exponent), 1 / exponent + 1
    beta = math.gamma(a) * math.gamma(b) / math.gamma(a + b)
    around = math.pi * wide**2 * 2 / exponent if turned else 2 * wide / exponent
    assert mesh.volume == pytest.approx(around * high * beta, rel=5e-3)


@pytest.mark.parametrize(
    "make",
    [
        lambda: section_mesh(Section(1.0, 1.0), 0.001),
        lambda: section_mesh(Section(0.05, 0.05, middle=0.04), 0.002),
    ],
    ids=["a million cells", "a ring without a hole"],
)
def test_what_cannot_be_cut_is_refused(make: Callable[[], Mesh]) -> None:
    with pytest.raises(ImpossibleInput) as caught:
        make()
    assert [n.code for n in caught.value.problems] == ["shape-not-meshed"]
