"""Bands over many kitchens, and the yeast for a time."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doughwright.engine.batch import For, Mix, Relative, Stage, kept_at, standing_in
from doughwright.engine.cooling import Place
from doughwright.engine.dough import Dough
from doughwright.engine.kitchens import Band, Spread, bands
from doughwright.engine.rise import staged_rise
from doughwright.engine.yeast_dose import yeast_for_time
from doughwright.errors import ImpossibleInput

ROOM = standing_in(Place(294.15))
LEAN = Stage("ferment", Relative(2.0), ROOM, Mix(Dough(1.0, 0.63, 0.02, 0.02), 297.15))
HOUR = 3600.0


def width(band: Band | None) -> float:
    assert band is not None
    assert band.high is not None
    return band.high - band.low


def test_best_is_the_run_itself() -> None:
    ready = bands([LEAN])[0].ready
    assert ready is not None
    assert ready.best == pytest.approx(staged_rise([LEAN]).stages[0].ready)


def test_the_same_seed_gives_the_same_bands() -> None:
    assert bands([LEAN]) == bands([LEAN])


def test_no_spread_leaves_the_floor() -> None:
    still = Spread(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    ready = bands([LEAN], still, anchored=True)[0].ready
    assert ready is not None
    assert ready.high is not None
    assert (ready.low / ready.best, ready.high / ready.best) == pytest.approx((0.85, 1.15))


@settings(max_examples=15, deadline=None)
@given(st.floats(0.0, 1.0))
def test_less_spread_is_never_wider(share: float) -> None:
    wide = Spread()
    tight = Spread(*(getattr(wide, name) * share for name in wide.__slots__))
    widths = [width(bands([LEAN], s, anchored=True)[0].ready) for s in (tight, wide)]
    assert widths[0] <= widths[1] * (1.0 + 1e-6)


def test_a_fixed_time_has_no_band_but_a_rise_has() -> None:
    found = bands([replace(LEAN, goal=For(HOUR))])[0]
    assert found.ready == Band(HOUR, HOUR, HOUR)
    assert width(found.rise) > 0.0


def test_sugar_above_five_percent_widens_until_the_strain_is_known() -> None:
    assert LEAN.mix is not None
    sweet = replace(LEAN, mix=Mix(Dough(1.0, 0.6, 0.03, 0.015, sucrose=0.12), 299.15))
    unknown, known = bands([sweet])[0].ready, bands([sweet], anchored=True)[0].ready
    assert width(unknown) > 1.3 * width(known)


def test_a_goal_some_kitchens_never_reach_has_no_upper_end() -> None:
    found = bands([replace(LEAN, goal=Relative(3.9))])[0]
    assert found.reached < 1.0
    assert found.ready is None or found.ready.high is None


@settings(max_examples=15, deadline=None)
@given(st.floats(0.002, 0.05), st.floats(289.15, 303.15))
def test_yeast_for_time_is_the_inverse_of_the_time(dose: float, warm: float) -> None:
    stage = Stage("ferment", Relative(2.0), kept_at(warm), Mix(Dough(1.0, 0.63, 0.02, 0.02), warm))
    assert stage.mix is not None
    with_dose = replace(stage, mix=Mix(Dough(1.0, 0.63, dose, 0.02), warm))
    time = staged_rise([with_dose]).stages[0].ready
    assert time is not None
    assert yeast_for_time([stage], 0, time).yeast == pytest.approx(dose, rel=1e-4)


def test_yeast_for_time_with_a_sponge_scales_what_stands_in_the_stage() -> None:
    sponge = Stage("ferment", For(2 * HOUR), ROOM, Mix(Dough(0.3, 0.3, 0.01), 298.15))
    dough = Stage("ferment", Relative(2.0), ROOM, Mix(Dough(0.7, 0.33, salt=0.02), 298.15))
    time = staged_rise([sponge, dough]).stages[1].ready
    assert time is not None
    assert yeast_for_time([sponge, dough], 1, time).factor == pytest.approx(1.0, rel=1e-3)


@pytest.mark.parametrize("wanted", [600.0, 100 * HOUR])
def test_a_time_no_yeast_gives_is_refused_with_what_is_possible(wanted: float) -> None:
    with pytest.raises(ImpossibleInput) as refused:
        yeast_for_time([LEAN], 0, wanted)
    values = refused.value.problems[0].values
    assert values["wanted"] == wanted
    assert values["shortest"] < values["longest"]  # type: ignore[operator]
