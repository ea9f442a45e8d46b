"""What the baker's log says about yeast and kitchen, and what is made of it elsewhere."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doughwright.engine.anchoring import Anchor, Observation, anchor, moved_times, prior_sd
from doughwright.engine.batch import For, Mix, Multipliers, Relative, Ripe, Stage, standing_in
from doughwright.engine.cooling import Place
from doughwright.engine.dough import Dough
from doughwright.engine.kitchens import bands
from doughwright.engine.rise import staged_rise

SPONGE = Dough(0.15, 0.22, 0.021, fat=0.009, solids=0.021, yeast_kind="instant")
REST = Dough(0.35, 0.046, salt=0.009, sucrose=0.025, fat=0.05, solids=0.006)


def plan(room: float, sponge: float = 306.25) -> list[Stage]:
    air = standing_in(Place(room))
    mixed = Mix(REST, 298.15, 303.6, by_friction=0.82, by_transfer=-0.6)
    return [
        Stage("ferment", Ripe(), air, Mix(SPONGE, sponge)),
        Stage("ferment", Relative(1.9), air, mixed),
        Stage("rest", For(1200.0), air, pieces=10),
        Stage("proof", Relative(1.7), air, pieces=10),
    ]


HOME = plan(295.15)


def log_of(truth: Multipliers, stages: list[Stage] = HOME) -> list[Observation]:
    runs = staged_rise(stages, truth).stages
    times = [Observation(i, "time", runs[i].ready or 0.0) for i in (0, 1, 3)]
    warm = [Observation(i, "end temperature", runs[i].end_temperature) for i in (0, 1)]
    return [*times, *warm, Observation(1, "start temperature", runs[1].start_temperature)]


def test_nothing_seen_leaves_the_prior() -> None:
    found = anchor(HOME, [])
    assert found.multipliers == Multipliers()
    assert found.spread == pytest.approx(tuple(prior_sd()))


def test_what_was_put_in_comes_out() -> None:
    """Thirty logs of the same kitchen: the prior no longer counts."""
    truth = Multipliers(vigour=0.8, transfer=1.3, friction=0.5)
    found = anchor(HOME, log_of(truth) * 30).multipliers
    assert found.vigour == pytest.approx(0.8, rel=0.02)
    assert found.transfer == pytest.approx(1.3, rel=0.05)
    assert found.friction == pytest.approx(0.5, abs=0.06)


@pytest.mark.parametrize(
    ("logs", "vigour", "friction", "transfer"),
    [(1, 0.12, 0.48, 0.16), (3, 0.08, 0.37, 0.10), (10, 0.05, 0.24, 0.06)],
)
def test_what_logs_can_tell(logs: int, vigour: float, friction: float, transfer: float) -> None:
    """Posterior standard deviations of an earlier implementation for its worked example.

    Its mixing answered more strongly to heat transfer than the plan here is told.
    """
    found = anchor(HOME, log_of(Multipliers()) * logs).spread
    assert found[:2] == pytest.approx((vigour, friction), rel=0.35)
    assert transfer < found[2] < 0.35


def test_planned_where_it_was_tested_takes_what_it_took() -> None:
    seen = [
        Observation(0, "time", 3000.0),
        Observation(1, "time", 3750.0),
        Observation(3, "time", 3300.0),
    ]
    found = moved_times(HOME, HOME, seen, anchor(HOME, seen))
    assert [found[o.stage].best for o in seen] == pytest.approx([o.value for o in seen], rel=1e-12)  # type: ignore[union-attr]


def test_a_cooler_kitchen_takes_longer_within_a_narrower_band_than_the_book() -> None:
    seen = log_of(Multipliers(vigour=0.9))
    cool = plan(291.15)
    moved = moved_times(HOME, cool, seen, anchor(HOME, seen))[1]
    book = bands(cool)[1].ready
    assert moved is not None
    assert book is not None
    assert moved.high is not None
    assert book.high is not None
    assert moved.best > seen[1].value
    assert moved.high / moved.low < book.high / book.low


def test_observations_that_contradict_one_another_are_named() -> None:
    seen = log_of(Multipliers())
    seen[1] = replace(seen[1], value=seen[1].value * 2.2)
    notices = anchor(HOME, seen).notices
    assert [(n.values["stage"], n.values["quantity"]) for n in notices] == [(2, "time")]
    assert not anchor(HOME, log_of(Multipliers(vigour=1.2))).notices


@settings(max_examples=10, deadline=None)
@given(st.floats(0.7, 1.4), st.floats(0.7, 1.5))
def test_one_more_observation_never_widens_the_posterior(vigour: float, transfer: float) -> None:
    """Exact for a linear model; the run bends a little between the two fits."""
    seen = log_of(Multipliers(vigour=vigour, transfer=transfer))
    for n in range(1, len(seen)):
        before, after = (np.array(anchor(HOME, seen[:m]).spread) for m in (n, n + 1))
        assert (after <= before * 1.05).all()


@settings(max_examples=10, deadline=None)
@given(st.floats(0.1, 1.0))
def test_a_tighter_anchor_never_widens_a_band(share: float) -> None:
    seen = log_of(Multipliers())
    loose = anchor(HOME, seen[:1])
    scaled = tuple(tuple(x * share**2 for x in row) for row in loose.covariance)
    tight = Anchor(loose.multipliers, scaled, loose.scores)
    cool = plan(289.15)
    for i in (0, 1, 3):
        wide, narrow = (moved_times(HOME, cool, seen, a)[i] for a in (loose, tight))
        assert wide is not None
        assert narrow is not None
        assert (narrow.high or 0.0) <= (wide.high or np.inf) * 1.01
        assert narrow.low >= wide.low * 0.99
