"""One reduced bake three ways: closed form, scipy's stiff integrator, FiPy.

A cylinder of constant properties in air of constant temperature; no water, no radiation.
None of the three uses the product, so each can stand beside the bake model with water left out.
``python bench/heat_references.py`` prints how well they agree and how long they take.
"""

import os
import sys
import time
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from unittest.mock import patch

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.integrate import solve_ivp
from scipy.sparse import csc_array, diags_array, eye_array, kron

from heat_series import finite_cylinder

Array = NDArray[np.floating]


@dataclass(frozen=True, slots=True)
class Cylinder:
    """A piece and its oven, in SI units; the air touches the side and both ends alike."""

    radius: float = 0.028
    height: float = 0.040
    conductivity: float = 0.5
    density: float = 900.0
    specific_heat: float = 2700.0
    coefficient: float = 25.0
    start: float = 299.15
    air: float = 453.15

    @property
    def heat_capacity(self) -> float:
        """J/(m3 K)."""
        return self.density * self.specific_heat

    def cells(self, size: float) -> tuple[int, int]:
        """How many cells of a size lie along the radius and the height."""
        counts = round(self.radius / size), round(self.height / size)
        lengths = np.array([self.radius, self.height])
        if not np.allclose(size * np.array(counts), lengths, rtol=1e-9) or counts[1] % 2:
            raise ValueError(f"cells of {size} m do not fill the radius and half the height")
        return counts


@dataclass(frozen=True, slots=True)
class Field:
    """Temperatures of cells: ``radius`` (n,), ``height`` (m,), ``temperature`` (n, m), in K."""

    radius: Array
    height: Array
    temperature: Array

    @property
    def coldest(self) -> float:
        """The coldest cell's; it lies beside the middle, not in it."""
        return float(self.temperature.min())

    @property
    def middle(self) -> float:
        """The middle's, by the parabola through the two cells next to it in each direction."""
        to_axis = (9.0 * self.temperature[0] - self.temperature[1]) / 8.0
        half = to_axis.size // 2
        return float((9.0 * to_axis[half] - to_axis[half + 1]) / 8.0)


TRAY_BAKE = Cylinder()
"""A small bun's size: Biot number 1.4 by its radius, 1.0 by half its height."""


def by_series(piece: Cylinder, radius: ArrayLike, height: ArrayLike, seconds: ArrayLike) -> Array:
    """Temperature in K at places that numpy can broadcast; heights count from the bottom, m."""
    half = piece.height / 2.0
    diffusivity = piece.conductivity / piece.heat_capacity
    left = finite_cylinder(
        np.asarray(radius) / piece.radius,
        np.asarray(height) / half - 1.0,
        diffusivity * np.asarray(seconds) / piece.radius**2,
        piece.coefficient * piece.radius / piece.conductivity,
        piece.radius / half,
    )
    return np.asarray(piece.air + (piece.start - piece.air) * left)


def series_field(piece: Cylinder, size: float, seconds: float) -> Field:
    """The closed form at the middles of cells."""
    radius, height = _middles(piece, size)
    return Field(radius, height, by_series(piece, radius[:, None], height, seconds))


def _middles(piece: Cylinder, size: float) -> tuple[Array, Array]:
    across, up = piece.cells(size)
    return (np.arange(across) + 0.5) * size, (np.arange(up) + 0.5) * size


def _film(piece: Cylinder, size: float) -> float:
    """Conductance from the middle of an outer cell to the air, W/(m2 K)."""
    return 1.0 / (1.0 / piece.coefficient + size / 2.0 / piece.conductivity)


def _along(conductance: Array, volume: Array) -> csc_array:
    """Exchange between neighbours in a row, of shape (cells, cells).

    The last entry of ``conductance`` goes out to the air, the first comes in from it.
    """
    inner = conductance[1:-1]
    loss = -(conductance[:-1] + conductance[1:])
    exchange = diags_array([inner, loss, inner], offsets=[-1, 0, 1])
    return csc_array(diags_array(1.0 / volume) @ exchange)


def heat_matrix(piece: Cylinder, size: float) -> csc_array:
    """``dT/dt = matrix (T - air)`` for cells counted up each ring, rings from the axis out."""
    across, up = piece.cells(size)
    edge = np.arange(across + 1) * size
    by_radius = edge * piece.conductivity / size
    by_radius[-1] = edge[-1] * _film(piece, size)
    by_height = np.full(up + 1, piece.conductivity / size)
    by_height[[0, -1]] = _film(piece, size)
    rings = _along(by_radius, np.diff(edge**2) / 2.0)
    layers = _along(by_height, np.full(up, size))
    both = kron(rings, eye_array(up)) + kron(eye_array(across), layers)
    return csc_array(both / piece.heat_capacity)


def by_stiff_integrator(
    piece: Cylinder, size: float, seconds: float, tolerance: float = 1e-7
) -> Field:
    """Finite volumes, integrated by scipy's BDF with the sparse Jacobian."""
    matrix = heat_matrix(piece, size)
    count = matrix.shape[0]
    solution = solve_ivp(
        lambda _, above: matrix @ above,
        (0.0, seconds),
        np.full(count, piece.start - piece.air),
        method="BDF",
        jac=matrix,
        t_eval=[seconds],
        rtol=tolerance,
        atol=tolerance,
    )
    assert solution.success, solution.message
    above = solution.y[:, -1].reshape(piece.cells(size))
    return Field(*_middles(piece, size), piece.air + above)


def by_fipy(piece: Cylinder, size: float, seconds: float, step: float) -> Field:
    """FiPy's cylindrical grid, backward Euler steps; the outer faces conduct only to the air.

    FiPy looks for options in the command line and imports a module that numpy has renamed;
    neither is ours to mend.
    """
    os.environ["FIPY_SOLVERS"] = "scipy"
    with warnings.catch_warnings(), patch.object(sys, "argv", sys.argv[:1]):
        warnings.filterwarnings("ignore", "numpy.core is deprecated", DeprecationWarning)
        import fipy  # noqa: PLC0415 - a second to import, and only when asked for
    across, up = piece.cells(size)
    mesh = fipy.CylindricalGrid2D(nr=across, nz=up, dr=size, dz=size)
    outside = mesh.facesRight | mesh.facesTop | mesh.facesBottom
    conductivity = fipy.FaceVariable(mesh=mesh, value=piece.conductivity)
    conductivity.setValue(0.0, where=mesh.exteriorFaces)
    film = (_film(piece, size) * outside * mesh.faceNormals).divergence
    above = fipy.CellVariable(mesh=mesh, value=piece.start - piece.air)
    equation = fipy.TransientTerm(coeff=piece.heat_capacity) == fipy.DiffusionTerm(
        coeff=conductivity
    ) - fipy.ImplicitSourceTerm(coeff=film)
    solver = fipy.LinearLUSolver()
    steps = round(seconds / step)
    for _ in range(steps):
        equation.solve(var=above, dt=seconds / steps, solver=solver)
    by_layer = np.array(above.value).reshape(up, across)
    return Field(*_middles(piece, size), piece.air + by_layer.T)


def without_step_error(coarse: Field, fine: Field) -> Field:
    """Backward Euler's error is as long as its step: taken off by a run of double the step."""
    return Field(fine.radius, fine.height, 2.0 * fine.temperature - coarse.temperature)


def by_fipy_extrapolated(piece: Cylinder, size: float, seconds: float, step: float) -> Field:
    """FiPy by steps of two lengths, extrapolated to none."""
    coarse = by_fipy(piece, size, seconds, 2.0 * step)
    return without_step_error(coarse, by_fipy(piece, size, seconds, step))


def main() -> None:
    half_an_hour = 1800.0
    exact = by_series(TRAY_BAKE, 0.0, TRAY_BAKE.height / 2.0, half_an_hour)
    print(f"series: middle {exact - 273.15:.3f} °C after 30 min")
    by_fipy(TRAY_BAKE, 0.004, 10.0, 10.0)  # its import is not what is timed
    ways: dict[str, Callable[[Cylinder, float, float], Field]] = {
        "BDF": by_stiff_integrator,
        "FiPy, steps of 10 s": partial(by_fipy, step=10.0),
        "FiPy, steps of 2 s": partial(by_fipy, step=2.0),
        "FiPy, 40 and 20 s": partial(by_fipy_extrapolated, step=20.0),
    }
    for size in (0.002, 0.001):
        expected = series_field(TRAY_BAKE, size, half_an_hour).temperature
        for name, solve in ways.items():
            start = time.perf_counter()
            field = solve(TRAY_BAKE, size, half_an_hour)
            took = time.perf_counter() - start
            apart = np.abs(field.temperature - expected).max()
            print(
                f"{name:19} {size * 1000:g} mm: middle {field.middle - exact:+.3f} K, coldest cell"
                f" {field.coldest - 273.15:.3f} °C, at most {apart:.3f} K off, {took:.2f} s"
            )


if __name__ == "__main__":
    main()
