"""Conduction with convection at the surface, in closed form: slab, cylinder, sphere.

The eigenfunction series of Carslaw and Jaeger, also behind Heisler's charts (from memory). A
body of one temperature is put into air of another. Every function returns the share of the
first difference that is left, ``(T - air) / (start - air)``, for

- a place as a share of the half thickness or radius: 0 in the middle, 1 at the surface;
- the Fourier number ``diffusivity * time / length**2``, not negative;
- the Biot number ``coefficient * length / conductivity``, above 0 and finite (1e9 for a surface
  held at the temperature of the air).

Places and Fourier numbers may be arrays that numpy can broadcast; the Biot number is one float.
Sixty terms are exact to rounding from a Fourier number of 0.001. Where the first term left out
would still matter, the series refuses; so early, a body is as good as half infinite, see
``half_infinite``. Nothing here knows the product.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq
from scipy.special import erfc, erfcx, j0, j1, jn_zeros

Array = NDArray[np.floating]
TERMS = 60
MOST_LEFT_OUT = 1e-9
"""Of the decay of the first term that is not added up."""


@dataclass(frozen=True, slots=True)
class Eigen:
    """Roots and coefficients of a series, each of shape (terms,)."""

    roots: Array
    coefficients: Array


def _roots(condition: Callable[[float], float], from_: Array, to: Array) -> Array:
    """The one root of a condition in each interval."""
    intervals = zip(from_, to, strict=True)
    return np.array([brentq(condition, a, b, xtol=1e-14, rtol=1e-14) for a, b in intervals])


def _check(Bi: float, terms: int) -> None:
    if not 0.0 < Bi < np.inf:
        raise ValueError(f"Biot number {Bi}: must be above 0 and finite")
    if terms < 1:
        raise ValueError(f"{terms} terms: must be at least 1")


@cache
def slab_eigen(Bi: float, terms: int = TERMS) -> Eigen:
    """Roots of ``z tan z = Bi``."""
    _check(Bi, terms)
    whole = np.arange(terms) * np.pi
    z = _roots(lambda x: x * np.sin(x) - Bi * np.cos(x), whole, whole + np.pi / 2.0)
    return Eigen(z, 4.0 * np.sin(z) / (2.0 * z + np.sin(2.0 * z)))


@cache
def cylinder_eigen(Bi: float, terms: int = TERMS) -> Eigen:
    """Roots of ``z J1(z) = Bi J0(z)``."""
    _check(Bi, terms)
    bare = np.concatenate([[0.0], jn_zeros(1, terms)[:-1]])  # where J1 is 0, as at Bi = 0
    z = _roots(lambda x: x * j1(x) - Bi * j0(x), bare, jn_zeros(0, terms))
    return Eigen(z, 2.0 / z * j1(z) / (j0(z) ** 2 + j1(z) ** 2))


@cache
def sphere_eigen(Bi: float, terms: int = TERMS) -> Eigen:
    """Roots of ``1 - z cot z = Bi``."""
    _check(Bi, terms)
    whole = np.arange(terms) * np.pi
    z = _roots(lambda x: np.cos(x) + (Bi - 1.0) * np.sinc(x / np.pi), whole, whole + np.pi)
    return Eigen(z, 4.0 * (np.sin(z) - z * np.cos(z)) / (2.0 * z - np.sin(2.0 * z)))


def _sum(eigen: Eigen, shape: Callable[[Array], Array], place: ArrayLike, Fo: ArrayLike) -> Array:
    place, Fo = (np.asarray(given, dtype=float)[..., None] for given in (place, Fo))
    if not (np.all(Fo >= 0.0) and np.all(np.abs(place) <= 1.0 + 1e-9)):
        raise ValueError("a Fourier number is not negative, a place is inside of the body")
    left_out = np.exp(-((eigen.roots[-1] + np.pi) ** 2) * Fo.min())
    if left_out > MOST_LEFT_OUT:
        raise ValueError(f"Fourier number {Fo.min()}: too early for {eigen.roots.size} terms")
    term = eigen.coefficients * np.exp(-(eigen.roots**2) * Fo) * shape(eigen.roots * place)
    return np.asarray(term.sum(axis=-1))


def slab(x_over_L: ArrayLike, Fo: ArrayLike, Bi: float, terms: int = TERMS) -> Array:
    """Share left in a slab of thickness 2 L with both faces in the air."""
    return _sum(slab_eigen(Bi, terms), np.cos, x_over_L, Fo)


def cylinder(r_over_R: ArrayLike, Fo: ArrayLike, Bi: float, terms: int = TERMS) -> Array:
    """Share left in a cylinder so long that its ends do not matter."""
    return _sum(cylinder_eigen(Bi, terms), j0, r_over_R, Fo)


def sphere(r_over_R: ArrayLike, Fo: ArrayLike, Bi: float, terms: int = TERMS) -> Array:
    """Share left in a sphere."""
    return _sum(sphere_eigen(Bi, terms), lambda x: np.sinc(x / np.pi), r_over_R, Fo)


def finite_cylinder(
    r_over_R: ArrayLike, z_over_L: ArrayLike, Fo: ArrayLike, Bi: float, R_over_L: float
) -> Array:
    """Share left in a cylinder of radius R and height 2 L, side and both ends in the air.

    The product of a long cylinder and a slab. The Fourier and Biot numbers are those of the
    radius; the coefficient is the same all around. ``z_over_L`` counts from the middle.
    """
    Fo = np.asarray(Fo, dtype=float)
    across = cylinder(r_over_R, Fo, Bi)
    return across * slab(z_over_L, Fo * R_over_L**2, Bi / R_over_L)


def half_infinite(depth: ArrayLike, Fo: ArrayLike, Bi: float) -> Array:
    """Share left below the surface of a body without end; all numbers by one length.

    Here 0 is the surface. Good for any thick body as long as the middle has not felt the air.
    """
    depth, Fo = np.asarray(depth, dtype=float), np.asarray(Fo, dtype=float)
    eta = depth / (2.0 * np.sqrt(Fo))
    film = np.exp(-(eta**2)) * erfcx(eta + Bi * np.sqrt(Fo))  # exp(..) erfc(..), no overflow
    return np.asarray(1.0 - erfc(eta) + film)
