"""Shapes of pieces: volumes in closed form, radii against the slowest warming, refusals."""

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import beta, jn_zeros

import heat_series
from doughwright.engine.meshes import Section, section_mesh
from doughwright.engine.oven_piece import plain_roll, resized
from doughwright.engine.pieces import (
    DEEPEST,
    Measures,
    Placement,
    ShapeKind,
    baking_constant,
    matched_box_radius,
    matched_radius,
    plan_fill,
    section_fill,
    shape_of,
    tin_measures,
    well_of,
)
from doughwright.errors import ImpossibleInput

HELD = 1e9  # Biot number of a surface kept at the temperature of the air
LITRE = 1e-3


@given(exponent=st.floats(1.0, 20.0))
def test_fills_are_beta_functions(exponent: float) -> None:
    """Dirichlet's integrals of superellipses, by scipy's beta function."""
    p = exponent
    assert plan_fill(p) == pytest.approx(2 / p * beta(2 / p, 1 / p + 1), rel=1e-12)
    assert section_fill(p) == pytest.approx(1 / p * beta(1 / p, 1 / p + 1), rel=1e-12)


def test_fills_of_shapes_with_names() -> None:
    """A cone fills a third, a half ball two thirds, a cylinder all; a triangle half, and so on."""
    assert [plan_fill(p) for p in (1.0, 2.0, 1e6)] == pytest.approx([1 / 3, 2 / 3, 1.0], abs=1e-5)
    found = [section_fill(p) for p in (1.0, 2.0, 1e6)]
    assert found == pytest.approx([1 / 2, math.pi / 4, 1.0], abs=1e-5)


@pytest.mark.parametrize("kind", ["round", "flat"])
def test_a_round_piece_as_measured_has_the_volume_of_its_dome(kind: ShapeKind) -> None:
    exponent = baking_constant("outline_flat" if kind == "flat" else "outline")
    shape = shape_of(kind, Measures(0.12, None, 0.05), 0.0)
    cylinder = math.pi * 0.06**2 * 0.05
    assert shape.volume == pytest.approx(cylinder * plan_fill(exponent), rel=1e-12)


@pytest.mark.parametrize(
    "measures",
    [Measures(), Measures(width=0.14), Measures(height=0.05)],
    ids=["none", "width", "height"],
)
def test_what_is_not_measured_follows_from_the_volume(measures: Measures) -> None:
    shape = shape_of("round", measures, 0.4 * LITRE)
    assert shape.volume == pytest.approx(0.4 * LITRE, rel=1e-12)
    assert measures.width in {None, shape.width}
    assert measures.height in {None, shape.height}
    mesh = section_mesh(shape.section, 0.002)
    assert mesh.volume == pytest.approx(0.4 * LITRE, rel=1e-3)


def test_without_measures_a_round_piece_is_half_as_high_as_wide() -> None:
    shape = shape_of("round", Measures(), 0.4 * LITRE)
    assert shape.height / shape.width == pytest.approx(baking_constant("upright"))


def test_an_oval_and_a_baton_have_their_own_volumes() -> None:
    """A dome drawn out to an ellipse; a section drawn out straight."""
    dome, section = plan_fill(3.0), section_fill(3.0)
    oval = shape_of("oval", Measures(0.12, 0.2, 0.06), 0.0)
    assert oval.volume == pytest.approx(dome * math.pi * 0.06 * 0.1 * 0.06, rel=1e-12)
    baton = shape_of("baton", Measures(0.08, 0.4, 0.05), 0.0)
    assert baton.volume == pytest.approx(section * 0.08 * 0.4 * 0.05, rel=1e-12)
    assert not baton.section.turned


@pytest.mark.parametrize("kind", ["oval", "baton"])
def test_width_and_length_may_come_either_way_round(kind: ShapeKind) -> None:
    assert shape_of(kind, Measures(0.1, 0.2), LITRE) == shape_of(kind, Measures(0.2, 0.1), LITRE)


def test_a_ring_has_the_volume_of_pappus() -> None:
    """Its section times the way of its middle; its tube as high as rings are."""
    shape = shape_of("ring", Measures(width=0.25), 0.8 * LITRE)
    tube = 2 * shape.section.half_width
    way = math.pi * (0.25 - tube)
    assert section_fill(3.0) * tube * shape.height * way == pytest.approx(0.8 * LITRE, rel=1e-6)
    assert shape.section.middle == pytest.approx((0.25 - tube) / 2)
    assert shape.height / tube == pytest.approx(baking_constant("ring_upright"))
    assert section_mesh(shape.section, 0.002).volume == pytest.approx(0.8 * LITRE, rel=2e-3)


def test_a_tin_is_as_high_as_its_dough_and_lined_with_metal() -> None:
    shape = shape_of("tin", Measures(0.1, 0.25), 1.5 * LITRE)
    assert shape.height == pytest.approx(0.06)
    assert shape.section.lined
    assert shape.section.half_width == matched_box_radius(0.1, 0.25)


def test_a_tin_told_by_its_volume_holds_it() -> None:
    measures = tin_measures(1.4 * LITRE)
    sides = (measures.width, measures.length, measures.height)
    assert math.prod(s for s in sides if s is not None) == pytest.approx(1.4 * LITRE)


@pytest.mark.parametrize(("width", "length"), [(0.1, 0.1), (0.1, 0.15), (0.09, 0.3)])
def test_a_tin_warms_as_slowly_as_its_cylinder(width: float, length: float) -> None:
    """The slowest terms of both series; sides are kept at the temperature of the air."""
    radius = matched_box_radius(width, length)
    slab = heat_series.slab_eigen(HELD).roots[0]
    box = slab**2 * ((2 / width) ** 2 + (2 / length) ** 2)
    cylinder = heat_series.cylinder_eigen(HELD).roots[0]
    assert (cylinder / radius) ** 2 == pytest.approx(box, rel=1e-6)
    assert cylinder == pytest.approx(jn_zeros(0, 1)[0], rel=1e-6)


@pytest.mark.parametrize(("a", "b"), [(0.05, 0.05), (0.05, 0.06), (0.05, 0.08)])
def test_an_oval_warms_about_as_slowly_as_its_cylinder(a: float, b: float) -> None:
    """The slowest term of an ellipse by finite differences, within 4 % of the cylinder's."""
    assert matched_radius(a, b) == matched_radius(b, a)
    cylinder = (jn_zeros(0, 1)[0] / matched_radius(a, b)) ** 2
    assert slowest_of_an_ellipse(a, b) == pytest.approx(cylinder, rel=0.04)


def slowest_of_an_ellipse(a: float, b: float) -> float:
    """Smallest eigenvalue of -∇² in an ellipse kept at nought outside, 1/m2.

    Rayleigh–Ritz on the unit disc with (1 - r²) times 1, x², y²: within 0.1 % for b/a < 2.
    """
    n = 400
    x = (np.arange(n) + 0.5) / n
    across, up = np.meshgrid(x, x)
    inside = across**2 + up**2 < 1.0
    x2, y2 = across[inside] ** 2, up[inside] ** 2
    x1, y1 = across[inside], up[inside]
    edge = 1.0 - x2 - y2
    shapes = [edge, edge * x2, edge * y2]
    by_x = [-2 * x1, -2 * x1 * x2 + edge * 2 * x1, -2 * x1 * y2]
    by_y = [-2 * y1, -2 * y1 * x2, -2 * y1 * y2 + edge * 2 * y1]
    mass = np.array([[(f * g).sum() for g in shapes] for f in shapes])
    stiff = np.array(
        [
            [(by_x[i] * by_x[j]).sum() / a**2 + (by_y[i] * by_y[j]).sum() / b**2 for j in range(3)]
            for i in range(3)
        ]
    )
    return float(np.linalg.eigvals(np.linalg.solve(mass, stiff)).real.min())


# --- fillings ---

ROUND, STRIP, RING = (
    Section(0.055, 0.04),
    Section(0.04, 0.04, turned=False),
    Section(0.025, 0.03, middle=0.09),
)


@pytest.mark.parametrize("section", [ROUND, STRIP, RING, Section(0.05, 0.04, math.inf)])
@pytest.mark.parametrize("placement", ["well", "pocket"])
@pytest.mark.parametrize("share", [0.02, 0.1, 0.2, 0.3])
def test_a_well_holds_what_goes_in(section: Section, placement: Placement, share: float) -> None:
    """Cut into cells, it has the share of the volume that was asked for."""
    mesh = section_mesh(section, 0.001, well_of(section, share, placement))
    held = (mesh.filling * mesh.volumes).sum() / mesh.volume
    assert held == pytest.approx(share, rel=0.01)


def test_a_well_is_open_above_and_a_pocket_closed_all_round() -> None:
    well, pocket = (well_of(ROUND, 0.2, placement) for placement in ("well", "pocket"))
    assert well.top == ROUND.height
    assert well.bottom == pytest.approx((1.0 - baking_constant("well_depth")) * ROUND.height)
    assert pocket.bottom == pytest.approx(ROUND.height - pocket.top)
    assert (pocket.half_width / 0.055) ** 3 + (pocket.top / 0.04) ** 3 < 1.0


def test_much_filling_goes_deeper_before_it_is_refused() -> None:
    usual, full = (well_of(ROUND, share, "well") for share in (0.3, 0.6))
    assert full.bottom < usual.bottom
    assert full.top - full.bottom <= DEEPEST * ROUND.height + 1e-12


@settings(max_examples=50, deadline=None)
@given(share=st.floats(0.01, 0.5), more=st.floats(0.001, 0.1))
def test_more_filling_never_takes_less_room(share: float, more: float) -> None:
    less, much = (well_of(ROUND, s, "well") for s in (share, share + more))
    assert much.bottom <= less.bottom
    assert much.half_width > less.half_width or much.bottom < less.bottom


@pytest.mark.parametrize("share", [0.95, 1.5, -0.1, math.nan])
@pytest.mark.parametrize("placement", ["well", "pocket"])
def test_more_filling_than_fits_is_refused(share: float, placement: Placement) -> None:
    with pytest.raises(ImpossibleInput) as caught:
        well_of(ROUND, share, placement)
    assert [n.code for n in caught.value.problems] == ["filling-too-large"]


# --- refusals ---


def refusal(make: Callable[[], object]) -> list[tuple[str, Any]]:
    with pytest.raises(ImpossibleInput) as caught:
        make()
    return [(n.code, n.values.get("input")) for n in caught.value.problems]


def test_a_free_piece_taller_than_wide_is_refused() -> None:
    tall = Measures(0.08, None, 0.09)
    assert refusal(lambda: shape_of("round", tall, 0.0)) == [("piece-cannot-stand", None)]


def test_a_tin_may_be_taller_than_wide() -> None:
    assert shape_of("tin", Measures(0.08, 0.08), 0.8 * LITRE).height > 0.08


def test_a_ring_of_too_much_dough_has_no_hole() -> None:
    small = Measures(width=0.1)
    assert refusal(lambda: shape_of("ring", small, LITRE)) == [("ring-has-no-hole", None)]


@pytest.mark.parametrize("volume", [0.0, -1.0, math.nan, 1.0])
@pytest.mark.parametrize("kind", ["round", "flat", "ring", "tin"])
def test_a_volume_no_piece_has_is_refused(kind: ShapeKind, volume: float) -> None:
    measures = Measures(None if kind in {"round", "flat"} else 0.2, 0.3)
    found = refusal(lambda: shape_of(kind, measures, volume))
    assert ("no-such-value", "volume") in found


@pytest.mark.parametrize("size", [0.0, -0.1, math.nan, 11.0])
@pytest.mark.parametrize("side", ["width", "length", "height"])
def test_a_measure_no_piece_has_is_refused(side: str, size: float) -> None:
    """11 is what 11 cm become when the unit is lost."""
    measures = replace(Measures(0.1, 0.2, 0.05), **{side: size})
    assert ("no-such-value", side) in refusal(lambda: shape_of("oval", measures, LITRE))


@given(times=st.floats(0.1, 10.0))
def test_a_resized_piece_keeps_its_proportions(times: float) -> None:
    roll = plain_roll()
    other = resized(roll, times)
    length = times ** (1 / 3)
    assert other.mass == pytest.approx(times * roll.mass)
    assert other.dough_volume == pytest.approx(times * roll.dough_volume)
    assert other.shape.width / roll.shape.width == pytest.approx(length)
    assert other.shape.section.height / roll.shape.section.height == pytest.approx(length)
    assert other.scale == pytest.approx(length)
