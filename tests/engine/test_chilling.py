"""The slab series against tables, limits and a finite-difference slab."""

from itertools import pairwise
from math import cos, erf, exp, inf, sqrt, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.engine.chilling import (
    CHILLING,
    Brick,
    Material,
    _slab_root,
    brick_remainder,
    butter_material,
    flour_bag,
    flour_chilling_time,
    flour_material,
    slab_remainder,
    surface_coefficient,
    time_to_reach,
)
from doughwright.engine.ingredients import Composition
from doughwright.errors import ImpossibleInput
from doughwright.sources import notices_for
from doughwright.units import ICE_POINT

BUTTER = Composition(0.16, 0.009, 0.811, 0.001, 0.0, 0.019)
METAL = Material(400.0, 8000.0, 400.0)

ONE_TERM = [
    # Bi, ζ₁, C₁ of a plane wall: Incropera & DeWitt, Table 5.1, from memory
    (0.01, 0.0998, 1.0017),
    (0.1, 0.3111, 1.0161),
    (0.5, 0.6533, 1.0701),
    (1.0, 0.8603, 1.1191),
    (2.0, 1.0769, 1.1785),
    (5.0, 1.3138, 1.2402),
    (10.0, 1.4289, 1.2620),
    (100.0, 1.5552, 1.2731),
]


def celsius(value: float) -> float:
    return ICE_POINT + value


@pytest.mark.parametrize(("biot", "root", "factor"), ONE_TERM)
def test_one_term_tables(biot: float, root: float, factor: float) -> None:
    # The tables round to four decimals; one term is enough from Fo = 0.2 on, to 2 %.
    assert _slab_root(biot, 0) == pytest.approx(root, abs=1.01e-4)
    late = slab_remainder(2.0, biot)
    assert late == pytest.approx(factor * exp(-root * root * 2.0), rel=8e-4)


@pytest.mark.parametrize("biot", [0.01, 0.3, 1.0, 4.0, 50.0])
def test_roots_solve_their_equation(biot: float) -> None:
    for order in range(6):
        root = _slab_root(biot, order)
        assert root * tan(root) == pytest.approx(biot, rel=1e-9)


@given(st.floats(min_value=0.1, max_value=20.0))
def test_a_thin_slab_is_all_at_one_temperature(time_constants: float) -> None:
    # Bi → 0: exp(−Bi·Fo), the lumped body; at Bi = 1e-4 the exponent is off by Bi/3
    biot = 1e-4
    remainder = slab_remainder(time_constants / biot, biot)
    assert remainder == pytest.approx(exp(-time_constants), rel=1e-3)


@pytest.mark.parametrize("fourier", [0.02, 0.05, 0.1])
def test_early_on_the_slab_is_two_half_spaces(fourier: float) -> None:
    # Bi → ∞ and short times: at the centre each face is a half-space,
    # θ = 1 − 2·erfc(1/(2·√Fo)) and next to nothing more
    deep = 1.0 - erf(1.0 / (2.0 * sqrt(fourier)))
    assert slab_remainder(fourier, 1e6) == pytest.approx(1.0 - 2.0 * deep, abs=1e-5)


def test_at_the_start_nothing_is_lost() -> None:
    assert slab_remainder(0.0, 3.0) == 1.0
    assert slab_remainder(2e-4, 3.0) == pytest.approx(1.0, abs=1e-6)
    assert slab_remainder(5.0, 0.0) == 1.0


@pytest.mark.parametrize("spot", ["centre", "mean"])
def test_the_series_agrees_with_finite_differences(spot: str) -> None:
    biot, fourier, cells = 2.5, 0.35, 60
    width = 1.0 / cells
    step = 0.2 * width * width
    slab = [1.0] * cells
    for _ in range(round(fourier / step)):
        # flux at the face passes half a cell and the surface film
        flows = [0.0, *((a - b) / width for a, b in pairwise(slab))]
        flows.append(slab[-1] / (width / 2 + 1 / biot))
        slab = [
            at - step / width * (out - come)
            for at, come, out in zip(slab, flows, flows[1:], strict=False)
        ]
    found = slab[0] if spot == "centre" else sum(slab) / cells
    assert slab_remainder(fourier, biot, spot) == pytest.approx(found, rel=5e-4)  # type: ignore[arg-type]


@given(st.floats(min_value=0.01, max_value=3.0), st.floats(min_value=0.05, max_value=50.0))
def test_the_mean_runs_ahead_of_the_centre(fourier: float, biot: float) -> None:
    assert slab_remainder(fourier, biot, "mean") <= slab_remainder(fourier, biot) + 1e-12


@given(st.floats(min_value=0.0, max_value=10.0), st.floats(min_value=0.01, max_value=5.0))
def test_time_only_ever_brings_it_nearer(fourier: float, later: float) -> None:
    assert slab_remainder(fourier + later, 2.0) < slab_remainder(fourier, 2.0) + 1e-12


def test_a_brick_is_the_product_of_its_slabs() -> None:
    material, time, coefficient = flour_material(), 7200.0, 8.0
    sides = (0.08, 0.11, 0.2)
    slabs = [brick_remainder(Brick(side, inf, inf), material, coefficient, time) for side in sides]
    whole = brick_remainder(Brick(*sides), material, coefficient, time)
    assert whole == pytest.approx(slabs[0] * slabs[1] * slabs[2])


def test_a_well_conducting_brick_cools_as_a_lump() -> None:
    brick, coefficient, time = Brick(0.02, 0.04, 0.08), 10.0, 600.0
    surface_over_volume = 2 * (1 / 0.02 + 1 / 0.04 + 1 / 0.08)
    rate = coefficient * surface_over_volume / (METAL.density * METAL.specific_heat)
    remainder = brick_remainder(brick, METAL, coefficient, time)
    assert remainder == pytest.approx(exp(-rate * time), rel=1e-3)


@given(
    st.floats(min_value=1.0, max_value=16.0),
    st.floats(min_value=0.5, max_value=5.0),
    st.sampled_from(["centre", "mean"]),
)
def test_after_the_time_found_the_temperature_is_there(
    above: float, mass: float, spot: str
) -> None:
    start, fridge = celsius(22), celsius(4)
    brick, flour = flour_bag(mass), flour_material()
    time = time_to_reach(fridge + above, brick, flour, start, fridge, 8.0, spot)  # type: ignore[arg-type]
    left = brick_remainder(brick, flour, 8.0, time, spot)  # type: ignore[arg-type]
    assert fridge + (start - fridge) * left == pytest.approx(fridge + above, abs=1e-5)


def test_warming_takes_as_long_as_cooling() -> None:
    brick, flour = flour_bag(1.0), flour_material()
    cooling = time_to_reach(celsius(10), brick, flour, celsius(20), celsius(5), 8.0)
    warming = time_to_reach(celsius(15), brick, flour, celsius(5), celsius(20), 8.0)
    assert cooling == pytest.approx(warming)


def test_a_bag_holds_its_flour() -> None:
    bag = flour_bag(1.5)
    assert bag.length * bag.width * bag.height * 600.0 == pytest.approx(1.5)


def test_larger_bags_and_still_air_take_longer() -> None:
    small, large = (flour_chilling_time(m, celsius(22), celsius(4)) for m in (0.5, 2.0))
    fan = flour_chilling_time(2.0, celsius(22), celsius(4), fan=True)
    assert small < fan < large
    # conduction inside sets the pace: four times the flour, 4^(2/3) = 2.5 times the time
    # by conduction alone and 4^(1/3) = 1.6 by the surface alone
    assert 1.6 < large / small < 2.6


def test_flour_must_go_into_the_fridge_hours_before() -> None:
    # no timed bag was found: an order of magnitude, common practice ("the evening before")
    hours = flour_chilling_time(1.0, celsius(22), celsius(4)) / 3600
    assert 3.0 < hours < 12.0


def test_butter_softens_on_the_bench_in_hours_not_minutes() -> None:
    # common practice, no source: 30–60 min for thin slices, hours for the whole packet
    butter = butter_material(BUTTER, celsius(5), celsius(18))
    packet, slice_ = Brick(0.11, 0.065, 0.038), Brick(0.11, 0.065, 0.008)
    air = surface_coefficient()
    hours, minutes = (
        time_to_reach(celsius(18), brick, butter, celsius(5), celsius(22), air)
        for brick in (packet, slice_)
    )
    assert 1.5 * 3600 < hours < 5 * 3600
    assert 20 * 60 < minutes < 90 * 60


def test_butter_takes_up_its_melting_heat_too() -> None:
    cold = butter_material(BUTTER, celsius(5), celsius(20)).specific_heat
    liquid = butter_material(BUTTER, celsius(40), celsius(45)).specific_heat
    # 90 kJ/kg fat · 0.811 · (0.52 − 0.21) / 15 K
    assert cold - liquid == pytest.approx(1508.0, abs=1.0)


def test_what_is_there_already_takes_no_time() -> None:
    at = celsius(20)
    assert time_to_reach(at, flour_bag(1.0), flour_material(), at, celsius(4), 8.0) == 0.0
    assert butter_material(BUTTER, at, at).specific_heat == pytest.approx(2350.0, rel=0.01)


@pytest.mark.parametrize("target", [4.0, 3.0, 23.0])
def test_what_is_never_reached_is_refused(target: float) -> None:
    with pytest.raises(ImpossibleInput) as problem:
        time_to_reach(
            celsius(target), flour_bag(1.0), flour_material(), celsius(22), celsius(4), 8.0
        )
    assert problem.value.problems[0].code == "never-reached"


def test_a_sack_is_beyond_the_card() -> None:
    (notice,) = notices_for(CHILLING, mass=25.0, temperature=celsius(4))
    assert notice.code == "outside-model-range"


def test_the_series_satisfies_the_surface_condition() -> None:
    # −k·dT/dx = h·T at the face, term by term: ζ·sin ζ = Bi·cos ζ
    biot = 1.7
    for order in range(8):
        root = _slab_root(biot, order)
        assert root * sqrt(1 - cos(root) ** 2) == pytest.approx(biot * abs(cos(root)), rel=1e-7)
