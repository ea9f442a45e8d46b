"""The factors of the rate, and where their numbers come from."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.engine import properties
from doughwright.engine.batch import For, Mix, Stage, kept_at
from doughwright.engine.dough import Dough, rise_limit
from doughwright.engine.fermentation import (
    cardinal_factor,
    fresh_equivalent,
    lost_share,
    osmotic_factor,
    parameters,
    undissolved_gas,
)
from doughwright.engine.records import CONSTANTS
from doughwright.engine.rise import staged_rise
from doughwright.sources import UNSOURCED

LOW, BEST, HIGH = 272.55, 310.15, 319.15


def test_every_parameter_names_a_known_source_and_an_uncertainty() -> None:
    known = properties.known_sources()
    for row in properties.constants("fermentation").values():
        assert row.source in known or row.source in UNSOURCED, row.name
        assert row.uncertainty >= 0.0, row.name
        assert row.locator, row.name


def test_the_run_reads_no_parameter_that_is_not_in_the_table() -> None:
    assert set(CONSTANTS) - {"growth_pace"} <= set(parameters())


def test_a_millilitre_of_gas_per_gram_of_hexose() -> None:
    """Stoichiometry gives 249 mL/g at 0 °C; 253 at 25 °C with 7 % going elsewhere."""
    dough = Dough(1.0, 0.63, 0.02, 0.02)
    run = staged_rise([Stage("ferment", For(7200.0), kept_at(298.15), Mix(dough, 298.15))]).stages[
        0
    ]
    s = run.series
    eaten = s["sugar"] + s["maltose"] + s["locked_maltose"]
    volume = (s["made"][-1] - s["made"][0]) * 8.314 * 298.15 / 101325.0 * 1e6
    assert volume / ((eaten[0] - eaten[-1]) * 1e3) == pytest.approx(253.0, abs=1.5)


@given(st.floats(200.0, 400.0))
def test_warmth_is_a_share(T: float) -> None:
    assert 0.0 <= cardinal_factor(T, LOW, BEST, HIGH) <= 1.0 + 1e-12


def test_warmth_is_one_at_the_best_and_nothing_at_the_ends() -> None:
    factors = [cardinal_factor(t, LOW, BEST, HIGH) for t in (LOW, BEST, HIGH)]
    assert factors == pytest.approx([0.0, 1.0, 0.0])


@given(st.floats(0.0, 0.2), st.floats(1e-4, 0.2), st.floats(1e-4, 0.2))
def test_gas_and_water_are_in_equilibrium(kept: float, air: float, dissolving: float) -> None:
    """What is dissolved is the water's capacity times the share of the bubbles' gas."""
    gas = undissolved_gas(kept, air, dissolving)
    assert kept - gas == pytest.approx(dissolving * gas / (gas + air), abs=1e-9)


@given(st.floats(0.0, 5.0), st.floats(0.1, 2.0))
def test_more_salt_or_sugar_is_never_easier(osmolality: float, more: float) -> None:
    easy, hard = (osmotic_factor(x, 2.15, 2.0) for x in (osmolality, osmolality + more))
    assert hard <= easy


def test_osmotic_half() -> None:
    assert math.isclose(osmotic_factor(2.15, 2.15, 2.0), 0.5)


@given(st.floats(1.0, 6.0), st.floats(0.0, 1.0))
def test_leaks_grow_with_the_rise(rise: float, more: float) -> None:
    assert 0.0 <= lost_share(rise, 4.6, 0.4) <= lost_share(rise + more, 4.6, 0.4) <= 1.0


@given(st.floats(0.5, 2.0), st.floats(0.0, 0.5))
def test_a_wetter_dough_never_holds_more(wetness: float, more: float) -> None:
    drier, wetter = (rise_limit(Dough(1.0, w)) for w in (wetness, wetness + more))
    assert wetter <= drier + 1e-12


@pytest.mark.parametrize(
    ("kind", "fresh"), [("fresh", 1.0), ("active dry", 2.5), ("instant", 3.03)]
)
def test_equivalents(kind: str, fresh: float) -> None:
    """Fresh : active dry : instant = 1 : 0.40 : 0.33 (how-to article)."""
    assert fresh_equivalent(1.0, kind) == pytest.approx(fresh, rel=0.01)  # type: ignore[arg-type]
