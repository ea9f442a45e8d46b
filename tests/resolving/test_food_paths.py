"""Where each food stands and how warm: fillings, toppings, washes on the plan's clock."""

import math
from functools import cache
from itertools import pairwise

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import read_document
from doughwright.resolving.filling_paths import (
    PathPart,
    bowl_constant,
    clock,
    filling_at_oven,
    food_constant,
)
from doughwright.resolving.food_courses import rack_constant
from doughwright.resolving.food_paths import FoodPath, food_paths, spoiling
from doughwright.resolving.formulas import as_tested, resolved_formula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.resolving.planning import Planned, planned_formula
from doughwright.units import ICE_POINT

BOATS = """
doughwright: formula/1
name: Boats to test
yield: {pieces: 4, piece: 150 g}
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 62 %, salt: 1.8 %, instant yeast: 1 %}
  filling:
    kind: filling
    each: 90 g
    ingredients: {quark: 4 parts, egg: 1 parts}
  egg:
    kind: topping
    each: 50 g
    ingredients: {egg: 1 parts}
  wash:
    kind: glaze
    each: 4 g
    ingredients: {egg: 5 parts, water: 2 parts}
process:
  - VERB: filling
    for: 10 min
    keep: PLACE
  - mix: dough
    for: 10 min
  - ferment: dough
    for: 90 min
  - divide: dough
  - shape: dough
    form: {oval: 18 x 9 cm, high: 2.5 cm}
  - fill: filling
  - proof: dough
    for: 30 min
  - glaze: wash
  - bake: dough
    oven: 220 °C conventional
    took: 14 min
  - top: egg
  - bake: dough
    oven: 220 °C conventional
    for: 3 min
  - cool: dough
    for: 10 min
"""


@cache
def planned(verb: str = "make", place: str = "room", text: str = BOATS) -> Planned:
    document = read_document(text.replace("VERB", verb).replace("PLACE", place)).document
    assert isinstance(document, FormulaDocument)
    body = {"doughwright": "kitchen/1", "name": "k", "room": "22 °C", "fridge": "5 °C"}
    formula = resolved_formula(document)
    kitchen = kitchen_from(KitchenDocument.model_validate(body))
    return planned_formula(formula, as_tested(formula), kitchen)


def path(name: str, here: Planned) -> FoodPath:
    return next(p for p in food_paths(here) if p.name == name)


def part(name: str, verb: str, here: Planned) -> PathPart:
    return next(p for p in path(name, here).parts if p.verb == verb)


def celsius(kelvin: float) -> float:
    return kelvin - ICE_POINT


@pytest.mark.parametrize("name", ["filling", "wash"])
def test_a_way_has_no_gap_and_never_runs_backwards(name: str) -> None:
    parts = path(name, planned()).parts
    for before, after in pairwise(parts):
        assert after.times[0] >= before.times[-1] - 1e-6
    assert all(list(p.times) == sorted(p.times) for p in parts)


def test_what_is_made_in_the_room_stays_as_warm_as_the_room() -> None:
    kept = part("filling", "kept:room", planned())
    assert celsius(kept.temperatures[0]) == pytest.approx(22.0)
    assert celsius(kept.temperatures[-1]) == pytest.approx(22.0)
    assert kept.air == kept.temperatures[0]


def test_in_the_fridge_it_nears_the_fridge_by_its_own_time_constant() -> None:
    here = planned("make", "fridge")
    kept = part("filling", "kept:fridge", here)
    constant = bowl_constant(here.formula.solution, "filling", fan=True)
    lasts = kept.times[-1] - kept.times[0]
    assert celsius(kept.temperatures[-1]) == pytest.approx(5 + 17 * math.exp(-lasts / constant))
    assert celsius(kept.air or 0.0) == pytest.approx(5.0)


def test_what_comes_off_the_stove_cools_from_there() -> None:
    here = planned("cook", "room")
    cooked, kept = part("filling", "cook", here), part("filling", "kept:room", here)
    assert cooked.temperatures == (food_constant("off_the_stove"),) * 2
    assert cooked.air is None
    assert kept.temperatures[0] > kept.temperatures[len(kept.times) // 2] > kept.temperatures[-1]
    assert kept.temperatures[-1] > ICE_POINT + 22


def test_a_bowl_twice_as_wide_takes_longer_to_cool() -> None:
    small = planned()
    large = planned(text=BOATS.replace("pieces: 4,", "pieces: 32,"))
    one, eight = (bowl_constant(h.formula.solution, "filling") for h in (small, large))
    assert 2.0 < eight / one < 4.0  # between the surface's part and the inside's, r to r²


def test_a_filling_in_a_piece_warms_with_the_dough_and_goes_so_into_the_oven() -> None:
    here = planned("make", "fridge")
    proof = part("filling", "proof", here)
    assert proof.temperatures[0] < proof.temperatures[-1] < ICE_POINT + 30
    position = next(s.timed.position for s in here.laid if s.timed.step.verb == "bake")
    at_oven = filling_at_oven(here.formula, here.kitchen, here.settled, position)
    assert at_oven == pytest.approx(proof.temperatures[-1])
    assert part("filling", "bake", here).temperatures[0] == pytest.approx(at_oven, abs=0.5)


def test_an_egg_wash_is_as_hot_as_the_crust_and_a_filling_as_its_coldest_spot() -> None:
    here = planned()
    wash, filling = part("wash", "bake", here), part("filling", "bake", here)
    assert celsius(wash.temperatures[-1]) > 100 > celsius(filling.temperatures[-1])


def test_an_egg_put_on_for_the_last_minutes_is_not_set() -> None:
    here = planned()
    egg = path("egg", here)
    assert egg.put_on == "in"
    (baked,) = [p for p in egg.parts if p.verb == "bake"]
    assert baked.times[-1] - baked.times[0] == pytest.approx(180.0)
    assert 30 < celsius(baked.temperatures[-1]) < 60
    longer = planned(text=BOATS.replace("for: 3 min", "for: 12 min"))
    assert part("egg", "bake", longer).temperatures[-1] <= food_constant("off_the_stove")
    assert part("egg", "bake", longer).temperatures[-1] > baked.temperatures[-1]


def test_what_is_put_on_after_the_oven_is_never_baked() -> None:
    text = BOATS.replace("  - top: egg\n", "").replace(
        "  - cool: dough", "  - top: egg\n  - cool: dough"
    )
    egg = path("egg", planned(text=text))
    assert egg.put_on == "after"
    assert "bake" not in {p.verb for p in egg.parts}


def test_the_early_end_is_the_earlier_of_the_bakes_band_and_a_noted_time_left_aside() -> None:
    here = planned()
    assert here.baked is not None
    assert here.baked.times.time is not None
    baked = part("filling", "bake", here)
    early = path("filling", here).early
    # 14 min were noted, and the model alone would have it longer in the oven
    assert here.baked.times.time.low > 14 * 60
    assert early == pytest.approx(baked.times[0] + 14 * 60)
    assert early is not None
    assert early <= baked.times[-1]


def test_on_the_rack_larger_pieces_cool_more_slowly_by_their_width() -> None:
    here = planned()
    assert here.baked is not None
    mass = here.baked.piece.whole_mass
    assert rack_constant(here.baked) == pytest.approx(2400.0 * (mass / 0.1) ** (1 / 3))


def test_what_spoils_is_found_through_what_is_taken_in() -> None:
    assert spoiling(planned().formula.solution, "filling") == {"dairy", "egg"} or spoiling(
        planned().formula.solution, "filling"
    ) == {"cheese", "egg"}
    assert spoiling(planned().formula.solution, "dough") == frozenset()


def test_a_plain_dough_has_no_path() -> None:
    assert "dough" not in {p.name for p in food_paths(planned())}


def test_a_clock_has_both_ends_and_a_point_a_minute() -> None:
    moments = clock(100.0, 400.0)
    assert (moments[0], moments[-1]) == (100.0, 400.0)
    assert max(b - a for a, b in pairwise(moments)) <= 60.0
