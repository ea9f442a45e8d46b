"""The closed forms that heat models are checked against, themselves checked.

One-term roots and coefficients: the table that textbooks of heat transfer print beside Heisler's
charts, to its four decimals (from memory).
"""

import numpy as np
import pytest

import heat_series

EIGEN = {
    "slab": heat_series.slab_eigen,
    "cylinder": heat_series.cylinder_eigen,
    "sphere": heat_series.sphere_eigen,
}
SHARE = {
    "slab": heat_series.slab,
    "cylinder": heat_series.cylinder,
    "sphere": heat_series.sphere,
}
DIRECTIONS = {"slab": 1, "cylinder": 2, "sphere": 3}
"""Surface by volume is this many times that of a slab."""
PLACES = np.linspace(0.0, 1.0, 41)


@pytest.mark.parametrize(
    ("form", "Bi", "root", "coefficient"),
    [
        ("slab", 0.01, 0.0998, 1.0017),
        ("slab", 0.1, 0.3111, 1.0161),
        ("slab", 1.0, 0.8603, 1.1191),
        ("slab", 10.0, 1.4289, 1.2620),
        ("slab", 100.0, 1.5552, 1.2731),
        ("cylinder", 0.01, 0.1412, 1.0025),
        ("cylinder", 0.1, 0.4417, 1.0246),
        ("cylinder", 1.0, 1.2558, 1.2071),
        ("cylinder", 10.0, 2.1795, 1.5677),
        ("cylinder", 100.0, 2.3809, 1.6015),
        ("sphere", 0.01, 0.1730, 1.0030),
        ("sphere", 0.1, 0.5423, 1.0298),
        ("sphere", 1.0, 1.5708, 1.2732),
        ("sphere", 10.0, 2.8363, 1.9249),
        ("sphere", 100.0, 3.1102, 1.9990),
    ],
)
def test_first_term(form: str, Bi: float, root: float, coefficient: float) -> None:
    eigen = EIGEN[form](Bi)
    assert eigen.roots[0] == pytest.approx(root, abs=6e-5)
    assert eigen.coefficients[0] == pytest.approx(coefficient, abs=6e-5)


def test_later_roots_of_a_slab() -> None:
    """Table of the first roots of z tan z = Bi in Carslaw and Jaeger (from memory)."""
    assert heat_series.slab_eigen(1.0).roots[:4] == pytest.approx(
        [0.8603, 3.4256, 6.4373, 9.5293], abs=6e-5
    )


def test_a_sphere_of_biot_number_one_has_the_roots_of_a_cosine() -> None:
    odd = np.arange(heat_series.TERMS) + 0.5
    assert heat_series.sphere_eigen(1.0).roots == pytest.approx(odd * np.pi)


def test_a_boiled_egg() -> None:
    """A textbook's egg (from memory): a sphere of 5 cm from 5 °C in water of 95 °C.

    k = 0.627 W/(m K), 0.151e-6 m2/s, 1200 W/(m2 K); its middle has 70 °C after 865 s.
    """
    radius = 0.025
    Fo, Bi = 0.151e-6 * 865.0 / radius**2, 1200.0 * radius / 0.627
    assert 95.0 + (5.0 - 95.0) * heat_series.sphere(0.0, Fo, Bi) == pytest.approx(70.0, abs=0.2)


@pytest.mark.parametrize("form", SHARE)
def test_a_good_conductor_is_of_one_temperature(form: str) -> None:
    """A Biot number near 0: exp(-A h t / heat capacity) everywhere."""
    Bi = 1e-5
    Fo = np.array([[0.1], [1.0], [5.0]]) / Bi
    expected = np.exp(-DIRECTIONS[form] * Bi * Fo) * np.ones_like(PLACES)
    assert SHARE[form](PLACES, Fo, Bi) == pytest.approx(expected, abs=1e-5)


@pytest.mark.parametrize(
    ("form", "root", "coefficient"),
    [("slab", np.pi / 2, 4 / np.pi), ("cylinder", 2.404826, 1.601975), ("sphere", np.pi, 2.0)],
)
def test_a_held_surface(form: str, root: float, coefficient: float) -> None:
    """A Biot number without end: the surface has the air's temperature; roots are those at 0."""
    eigen = EIGEN[form](1e9)
    assert eigen.roots[0] == pytest.approx(root, abs=1e-6)
    assert eigen.coefficients[0] == pytest.approx(coefficient, abs=1e-6)
    assert SHARE[form](1.0, 0.1, 1e9) == pytest.approx(0.0, abs=1e-7)


@pytest.mark.parametrize("Bi", [0.5, 5.0, 50.0])
def test_a_slab_begins_as_half_of_all_space(Bi: float) -> None:
    """The two closed forms meet while the middle is still as it was."""
    Fo = np.array([[0.001], [0.005], [0.02]])
    expected = heat_series.half_infinite(1.0 - PLACES, Fo, Bi)
    assert heat_series.slab(PLACES, Fo, Bi) == pytest.approx(expected, abs=2e-6)


@pytest.mark.parametrize("form", SHARE)
def test_it_begins_where_it_was_put(form: str) -> None:
    Fo = 0.001
    inside = PLACES[PLACES < 0.7]
    assert SHARE[form](inside, Fo, 2.0) == pytest.approx(np.ones_like(inside), abs=1e-8)


@pytest.mark.parametrize("Bi", [0.3, 1.4, 20.0])
@pytest.mark.parametrize("form", SHARE)
def test_the_equation_and_the_surface_hold(form: str, Bi: float) -> None:
    """Differences of the series: d/dFo is the Laplacian, and the slope outside is -Bi."""
    share, d, Fo = SHARE[form], 1e-3, 0.15
    middle = np.array([0.2, 0.5, 0.8])
    before, at, after = (share(middle + shift, Fo, Bi) for shift in (-d, 0.0, d))
    spread = (DIRECTIONS[form] - 1) / middle * (after - before) / (2.0 * d)
    laplacian = (after - 2.0 * at + before) / d**2 + spread
    slope = (share(middle, Fo + 1e-4, Bi) - share(middle, Fo - 1e-4, Bi)) / 2e-4
    assert slope == pytest.approx(laplacian, rel=1e-4, abs=1e-5)
    inner, near, surface = share(np.array([1.0 - 2.0 * d, 1.0 - d, 1.0]), Fo, Bi)
    outward = (3.0 * surface - 4.0 * near + inner) / (2.0 * d)
    assert outward == pytest.approx(-Bi * surface, rel=1e-3)


def test_a_flat_cylinder_is_a_slab_and_a_tall_one_has_no_ends() -> None:
    flat = heat_series.finite_cylinder(0.0, PLACES, 0.3 / 100, 14.0, 10.0)
    assert flat == pytest.approx(heat_series.slab(PLACES, 0.3, 1.4), abs=1e-9)
    tall = heat_series.finite_cylinder(PLACES, 0.0, 0.3, 1.4, 0.1)
    assert tall == pytest.approx(heat_series.cylinder(PLACES, 0.3, 1.4), abs=1e-9)


@pytest.mark.parametrize("Bi", [0.0, -1.0, np.inf, np.nan])
@pytest.mark.parametrize("form", SHARE)
def test_a_biot_number_without_meaning_is_refused(form: str, Bi: float) -> None:
    with pytest.raises(ValueError, match="Biot number"):
        SHARE[form](0.0, 0.1, Bi)


def test_no_terms_are_refused() -> None:
    with pytest.raises(ValueError, match="0 terms"):
        heat_series.slab(0.0, 0.1, 1.0, terms=0)


def test_a_time_too_early_for_the_terms_is_refused() -> None:
    with pytest.raises(ValueError, match="too early for 60 terms"):
        heat_series.cylinder(0.0, [0.1, 1e-4], 1.0)


@pytest.mark.parametrize(("place", "Fo"), [(0.0, -0.1), (0.0, np.nan), (1.1, 0.1)])
def test_a_place_outside_and_a_time_before_are_refused(place: float, Fo: float) -> None:
    with pytest.raises(ValueError, match="Fourier number is not negative"):
        heat_series.sphere(place, Fo, 1.0)
