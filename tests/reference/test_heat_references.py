"""Three ways to bake the same cylinder of constant properties, none of them ours.

A closed form, finite volumes with scipy's BDF, and FiPy. That they agree is what gives a bake
model something to be held against.
"""

import numpy as np
import pytest

from heat_references import (
    TRAY_BAKE,
    Cylinder,
    Field,
    by_fipy,
    by_series,
    by_stiff_integrator,
    heat_matrix,
    series_field,
    without_step_error,
)

HALF_AN_HOUR = 1800.0


def apart(one: Field, other: Field) -> float:
    """The greatest difference of any two cells, K."""
    assert one.temperature.shape == other.temperature.shape
    return float(np.abs(one.temperature - other.temperature).max())


@pytest.mark.parametrize(("size", "tolerance"), [(0.002, 0.1), (0.001, 0.03)])
def test_finite_volumes_follow_the_closed_form(size: float, tolerance: float) -> None:
    """Within 0.05 K by cells of 2 mm and a quarter of that by 1 mm, in every cell."""
    found = by_stiff_integrator(TRAY_BAKE, size, HALF_AN_HOUR)
    assert apart(found, series_field(TRAY_BAKE, size, HALF_AN_HOUR)) < tolerance
    middle = by_series(TRAY_BAKE, 0.0, TRAY_BAKE.height / 2.0, HALF_AN_HOUR)
    assert found.middle == pytest.approx(middle, abs=tolerance)


@pytest.mark.parametrize("minutes", [2, 10])
def test_they_agree_while_the_middle_is_still_cold(minutes: int) -> None:
    found = by_stiff_integrator(TRAY_BAKE, 0.001, 60.0 * minutes)
    assert apart(found, series_field(TRAY_BAKE, 0.001, 60.0 * minutes)) < 0.1


def test_the_error_falls_with_the_square_of_the_cell() -> None:
    errors = [
        apart(by_stiff_integrator(TRAY_BAKE, s, HALF_AN_HOUR), series_field(TRAY_BAKE, s, 1800.0))
        for s in (0.004, 0.002, 0.001)
    ]
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.15)
    assert errors[1] / errors[2] == pytest.approx(4.0, rel=0.15)


@pytest.fixture(scope="module")
def fipy_fields() -> tuple[Field, Field]:
    """Cells of 2 mm, steps of 60 and of 30 s: each step costs FiPy some 10 ms."""
    coarse, fine = (by_fipy(TRAY_BAKE, 0.002, HALF_AN_HOUR, step) for step in (60.0, 30.0))
    return coarse, fine


def test_fipy_follows_the_closed_form(fipy_fields: tuple[Field, Field]) -> None:
    """Steps of 30 s are 1 K late, as backward Euler is; with that taken off, within 0.1 K."""
    expected = series_field(TRAY_BAKE, 0.002, HALF_AN_HOUR)
    _, fine = fipy_fields
    assert expected.coldest - 1.2 < fine.coldest < expected.coldest
    assert apart(without_step_error(*fipy_fields), expected) < 0.1


def test_fipy_has_the_same_finite_volumes(fipy_fields: tuple[Field, Field]) -> None:
    """Same cells, same fluxes: only the steps differ, so it is nearer to BDF than to the truth."""
    found = by_stiff_integrator(TRAY_BAKE, 0.002, HALF_AN_HOUR)
    assert apart(without_step_error(*fipy_fields), found) < 0.03


def test_heat_comes_in_only_from_the_air() -> None:
    """What the cells take up is what their outer faces let through; closed inside."""
    size = 0.002
    matrix = heat_matrix(TRAY_BAKE, size)
    across, up = TRAY_BAKE.cells(size)
    edge = np.arange(across + 1) * size
    volume = np.repeat(np.pi * np.diff(edge**2) * size, up)
    gain = volume @ matrix * TRAY_BAKE.heat_capacity
    inside = gain.reshape(across, up)[:-1, 1:-1]
    assert np.abs(inside).max() < 1e-12
    film = 1.0 / (1.0 / 25.0 + size / 2.0 / 0.5)
    surface = 2.0 * np.pi * TRAY_BAKE.radius * (TRAY_BAKE.radius + TRAY_BAKE.height)
    assert gain.sum() == pytest.approx(-film * surface)


@pytest.mark.parametrize("size", [0.003, 0.0056, 0.028])
def test_cells_that_do_not_fill_the_piece_are_refused(size: float) -> None:
    with pytest.raises(ValueError, match="do not fill"):
        heat_matrix(TRAY_BAKE, size)


def test_an_insulated_piece_stays_as_it_is() -> None:
    still = Cylinder(coefficient=1e-12)
    assert by_stiff_integrator(still, 0.004, HALF_AN_HOUR).temperature == pytest.approx(299.15)
