"""The compiled bake with its water left out, against closed forms and another solver.

What is left is conduction with convection at the surface: the series of Carslaw and Jaeger
(``bench/heat_series.py``), their product for a cylinder with ends, and scipy's BDF on the
same cells (``bench/heat_references.py``). All bodies warm by up to 135 K or 154 K.
"""

import math
from collections.abc import Callable

import numpy as np
import pytest

import heat_series
from bare_heat import Bare, all_in_air, insulated_below, warmed
from doughwright.engine.meshes import Section, radial_mesh, section_mesh
from heat_references import TRAY_BAKE, by_series, by_stiff_integrator

RADIUS, BIOT = 0.03, 1.5
BODY = Bare(coefficient=BIOT * 0.5 / RADIUS, air=434.15)
BODIES: dict[str, tuple[int, Callable[..., np.ndarray]]] = {
    "slab": (0, heat_series.slab),
    "cylinder": (1, heat_series.cylinder),
    "sphere": (2, heat_series.sphere),
}
each_body = pytest.mark.parametrize("body", BODIES)


def fourier(seconds: np.ndarray | float, length: float = RADIUS) -> np.ndarray:
    return np.asarray(seconds) * BODY.conductivity / BODY.heat_capacity / length**2


def error_in_the_middle(body: str, shells: int) -> float:
    """Largest error in time, K, of the innermost shell against the middle."""
    dimension, series = BODIES[body]
    found = warmed(radial_mesh(RADIUS, shells, dimension), BODY, 12600.0)
    late = fourier(found.times) > 0.02
    left = series(0.0, fourier(found.times[late]), BIOT)
    exact = BODY.air + (BODY.start - BODY.air) * left
    return float(abs(found.followed[late] - exact).max())


@each_body
def test_the_middle_follows_the_series(body: str) -> None:
    """Within 0.1 of 135 K by twenty shells: 0.04 K in a slab, 0.07 K in cylinder and sphere."""
    assert error_in_the_middle(body, 20) < 0.1


@each_body
def test_the_error_falls_with_the_square_of_the_shell(body: str) -> None:
    coarse, middle, fine = (error_in_the_middle(body, n) for n in (10, 20, 40))
    assert math.log2(coarse / middle) > 1.7
    assert math.log2(middle / fine) > 1.7


@each_body
@pytest.mark.parametrize("minutes", [10, 30, 90])
def test_every_shell_follows_the_series(body: str, minutes: int) -> None:
    dimension, series = BODIES[body]
    mesh = radial_mesh(RADIUS, 20, dimension)
    found = warmed(mesh, BODY, 60.0 * minutes).field
    place = mesh.points[:, 0] / RADIUS
    left = series(place, fourier(60.0 * minutes), BIOT)
    assert abs(found - (BODY.air + (BODY.start - BODY.air) * left)).max() < 0.1


def cylinder_error(spacing: float, seconds: float) -> float:
    mesh = all_in_air(section_mesh(Section(0.028, 0.04, math.inf), spacing))
    found = warmed(mesh, Bare(), seconds).field
    exact = by_series(TRAY_BAKE, mesh.points[:, 0], mesh.points[:, 1], seconds)
    return float(abs(found - exact).max())


@pytest.mark.parametrize(("spacing", "tolerance"), [(0.004, 0.6), (0.002, 0.15), (0.001, 0.04)])
@pytest.mark.parametrize("minutes", [5, 10, 20, 30])
def test_a_cylinder_with_ends_follows_the_product_of_two_series(
    spacing: float, tolerance: float, minutes: int
) -> None:
    """Every cell of 56 × 40 mm, air all around: 0.12 K by cells of 2 mm, 0.03 K by 1 mm."""
    assert cylinder_error(spacing, 60.0 * minutes) < tolerance


def test_the_error_of_a_cylinder_falls_with_the_square_of_the_cell() -> None:
    coarse, middle, fine = (cylinder_error(s, 600.0) for s in (0.004, 0.002, 0.001))
    assert coarse / middle > 3.0
    assert middle / fine > 3.0


@pytest.mark.parametrize(("spacing", "tolerance"), [(0.002, 0.15), (0.001, 0.04)])
def test_it_agrees_with_a_stiff_integrator_on_the_same_cells(
    spacing: float, tolerance: float
) -> None:
    """What is left is the error of explicit steps near the longest stable one."""
    mesh = all_in_air(section_mesh(Section(0.028, 0.04, math.inf), spacing))
    theirs = by_stiff_integrator(TRAY_BAKE, spacing, 1800.0).temperature.ravel()
    assert abs(warmed(mesh, Bare(), 1800.0).field - theirs).max() < tolerance


@pytest.mark.parametrize(("spacing", "tolerance"), [(0.004, 0.4), (0.002, 0.2), (0.001, 0.04)])
@pytest.mark.parametrize("minutes", [5, 15, 30, 60])
def test_the_middle_of_a_half_ball_on_its_plane_of_symmetry_is_that_of_a_ball(
    spacing: float, tolerance: float, minutes: int
) -> None:
    """Cells cut by the outline: 0.33, 0.19 and 0.03 K by cells of 4, 2 and 1 mm."""
    radius = 0.04
    mesh = insulated_below(section_mesh(Section(radius, radius, 2.0), spacing))
    body = Bare(coefficient=BIOT * 0.5 / radius)
    found = warmed(mesh, body, 60.0 * minutes).field[0]
    off = np.hypot(*mesh.points[0]) / radius
    left = heat_series.sphere(off, fourier(60.0 * minutes, radius), BIOT)
    assert found == pytest.approx(body.air + (body.start - body.air) * left, abs=tolerance)


@pytest.mark.parametrize("spacing", [0.004, 0.002, 0.001])
def test_near_the_outline_cut_cells_are_right_to_the_first_order(spacing: float) -> None:
    """Half a kelvin a millimetre of cell, in the outer shell, early."""
    radius = 0.04
    mesh = insulated_below(section_mesh(Section(radius, radius, 2.0), spacing))
    body = Bare(coefficient=BIOT * 0.5 / radius)
    found = warmed(mesh, body, 900.0).field
    off = np.hypot(*mesh.points.T) / radius
    left = heat_series.sphere(np.minimum(off, 1.0), fourier(900.0, radius), BIOT)
    error = abs(found - (body.air + (body.start - body.air) * left))
    assert error[off < 0.9].max() < 500.0 * spacing


def test_a_shorter_pace_changes_nothing_where_nothing_changes() -> None:
    """Properties are constant here, so how often they are worked out again does not matter."""
    mesh = all_in_air(section_mesh(Section(0.028, 0.04, math.inf), 0.001))
    often, seldom = (warmed(mesh, Bare(), 600.0, pace=pace).field for pace in (1.0, 4.0))
    assert abs(often - seldom).max() < 0.02


def test_without_a_difference_nothing_flows() -> None:
    mesh = section_mesh(Section(0.04, 0.03), 0.002)
    body = Bare(start=350.0, air=350.0)
    found = warmed(insulated_below(mesh), body, 3600.0).field
    assert found == pytest.approx(np.full_like(found, 350.0), abs=1e-9)
