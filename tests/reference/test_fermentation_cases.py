"""Real questions on time, temperature and yeast, put to the rise model.

The trade answers them with rules of thumb; where the model says otherwise, both stand here.
FE04, FE05, FE07, FE08, FE10 and FE11 are with the formula cases.
"""

import pytest

from doughwright.engine.batch import Mix, Relative, Stage, kept_at, standing_in
from doughwright.engine.cooling import Place
from doughwright.engine.dough import Dough
from doughwright.engine.fermentation import cardinal_factor, parameters
from doughwright.engine.oven import air_pressure
from doughwright.engine.rise import staged_rise
from doughwright.engine.yeast_dose import yeast_for_time

HOUR = 3600.0
INSTANT = 1 / 0.33  # fresh yeast in one of instant, how-to article


def doubling(yeast: float, celsius: float, pressure: float = 101325.0) -> Stage:
    dough = Mix(Dough(flour=1.0, water=0.63, yeast=yeast, salt=0.02), celsius + 273.15)
    place = Place(celsius + 273.15, pressure=pressure)
    return Stage("ferment", Relative(2.0), standing_in(place), dough, limit=48 * HOUR)


def time_of(stage: Stage) -> float:
    ready = staged_rise([stage]).stages[0].ready
    assert ready is not None
    return ready


def test_fe01_less_yeast_for_a_longer_rise() -> None:
    """FE01: bread blog reusing a forum rule: 6 tsp for 1.5 h, so 0.75 tsp for 12 h (±30 %).

    The rule is yeast x time = constant. Yeast grows in a night, so the model asks for less:
    about 0.4 tsp, 45 % below the rule. Flour is not stated; 1.5 kg is assumed.
    """
    by_rule = 6 * 1.5 / 12
    assert by_rule == pytest.approx(0.75)
    stage = doubling(6 * 0.0031 * INSTANT / 1.5, 24.0)
    dose = yeast_for_time([stage], 0, time_of(stage) * 12 / 1.5)
    assert 0.3 < 6 * dose.factor < by_rule  # the published figure is missed, and on which side


def test_fe02_a_recipe_of_90_min_in_a_kitchen_of_18_degrees() -> None:
    """FE02: pizza-oven maker's 17 °F rule, forum comment: about 150 min (125–180)."""
    warm = doubling(0.0265, 25.0)
    assert time_of(warm) / 60 == pytest.approx(90, rel=0.1)
    ratio = time_of(doubling(0.0265, 18.0)) / time_of(warm)
    assert 125 <= 90 * ratio <= 180


def test_fe09_altitude_asks_for_less_yeast() -> None:
    """FE09: magazine and flour-company table: at 5000 ft 25–33 % less for the same hour."""
    sea = doubling(0.0175 / 0.5, 26.0)
    high = doubling(0.0175 / 0.5, 26.0, air_pressure(1524.0))
    dose = yeast_for_time([high], 0, time_of(sea))
    # thinner air lets the same gas take more room; the model asks for less yeast, but by less
    # than the table: at least half of its reduction
    assert 0.67 <= dose.factor <= 0.90


def test_l03_a_baker_s_own_temperature_response() -> None:
    """L03: 150 min at 26.7 °C and 240 min at 21.0 °C: doubling step 8.4 °C, Q10 2.28."""
    p = parameters()
    gas = [p[f"gas_{mark}"] for mark in ("minimum", "optimum", "maximum")]
    ratio = cardinal_factor(26.7 + 273.15, *gas) / cardinal_factor(21.0 + 273.15, *gas)
    # two points only: a band of 15 % either way, as the tool prints for a moved time
    assert ratio == pytest.approx(240 / 150, rel=0.15)


def test_a_proof_of_90_min_at_25_degrees_in_three_other_kitchens() -> None:
    """PU04, built on cold-kitchen threads: 150, 121 and 72 min at 18, 21 and 28 °C, ±20 %."""
    base = time_of(Stage("ferment", Relative(1.8), kept_at(298.15), doubling(0.02, 25.0).mix))
    for celsius, published in ((18.0, 150), (21.0, 121), (28.0, 72)):
        mix = doubling(0.02, celsius).mix
        other = time_of(Stage("ferment", Relative(1.8), kept_at(celsius + 273.15), mix))
        assert 90 * other / base == pytest.approx(published, rel=0.20)
