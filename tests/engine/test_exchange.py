"""One thing for another: what is said to stay the same stays, what cannot be is refused."""

import pytest

from doughwright.engine.exchange import (
    equivalent_yeast,
    largest_preferment,
    levain_build,
    limiting_share,
    liquid_for_hydration,
    milk_for_powder,
    starter_for_hydration,
    starter_swap,
    whole_eggs,
    with_preferment,
)
from doughwright.engine.ingredients import ingredient_table
from doughwright.errors import ImpossibleInput, Notice

STRAIGHT = {"flour": 1.0, "water": 0.65, "salt": 0.02, "yeast": 0.01}
TABLE = ingredient_table()


def problem(error: pytest.ExceptionInfo[ImpossibleInput]) -> Notice:
    (found,) = error.value.problems
    return found


@pytest.mark.parametrize("share", [0.0, 0.2, 0.5, 0.65])
@pytest.mark.parametrize("hydration", [0.5, 1.0])
def test_a_preferment_changes_no_total(share: float, hydration: float) -> None:
    split = with_preferment(STRAIGHT, share, hydration, 0.002)
    total = {name: split.final[name] + split.preferment.get(name, 0.0) for name in STRAIGHT}
    assert total == pytest.approx(STRAIGHT)
    assert min(split.final.values()) >= -1e-12
    assert split.preferment["flour"] == pytest.approx(share)


def test_salt_stays_in_the_dough() -> None:
    assert "salt" not in with_preferment(STRAIGHT, 0.3, 1.0, 0.002).preferment


@pytest.mark.parametrize(
    ("hydration", "yeast", "limit"),
    [
        (1.0, 0.0, 0.65),
        (0.5, 0.0, 1.0),
        (0.0, 0.0, 1.0),
        (1.3, 0.0, 0.5),
        (0.5, 0.02, 0.5),
    ],
)
def test_the_largest_preferment(hydration: float, yeast: float, limit: float) -> None:
    assert largest_preferment(STRAIGHT, hydration, yeast) == pytest.approx(limit)
    assert with_preferment(STRAIGHT, limit, hydration, yeast)
    if limit < 1.0:
        with pytest.raises(ImpossibleInput) as caught:
            with_preferment(STRAIGHT, limit + 0.01, hydration, yeast)
        found = problem(caught)
        assert (found.code, found.values["limit"]) == ("preferment-too-large", pytest.approx(limit))


def test_no_water_left_is_just_possible() -> None:
    assert with_preferment(STRAIGHT, 0.65, 1.0, 0.0).final["water"] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(
    ("target", "starter"),
    # (x/2 + 0.55)/(x/2 + 1) = target
    [(0.55, 0.0), (0.70, 1.0), (0.775, 2.0)],
)
def test_starter_for_a_hydration(target: float, starter: float) -> None:
    found = starter_for_hydration(1.0, 0.55, target, 1.0)
    assert found == pytest.approx(starter)
    assert (found / 2 + 0.55) / (found / 2 + 1.0) == pytest.approx(target)


def test_a_stiff_starter_dries_a_dough() -> None:
    found = starter_for_hydration(1.0, 0.8, 0.7, 0.5)
    flour = found / 1.5
    assert (0.8 + flour / 2) / (1.0 + flour) == pytest.approx(0.7)


@pytest.mark.parametrize(("target", "starter_hydration"), [(0.7, 0.6), (0.5, 1.0), (0.7, 0.7)])
def test_a_hydration_no_starter_reaches(target: float, starter_hydration: float) -> None:
    with pytest.raises(ImpossibleInput) as caught:
        starter_for_hydration(1.0, 0.55, target, starter_hydration)
    found = problem(caught)
    assert found.code == "no-starter-reaches"
    assert found.values == pytest.approx({"target": target, "now": 0.55})


def test_liquid_for_a_hydration() -> None:
    assert liquid_for_hydration(1.0, 0.5, 0.68, 0.9) == pytest.approx(0.2)
    assert liquid_for_hydration(1.0, 0.5, 0.5, 0.9) == 0.0
    with pytest.raises(ImpossibleInput) as caught:
        liquid_for_hydration(1.0, 0.7, 0.68, 0.9)
    found = problem(caught)
    assert found.code == "already-wetter"
    assert found.values == pytest.approx({"target": 0.68, "now": 0.7})


@pytest.mark.parametrize("old", [0.45, 0.5, 1.0, 1.25])
@pytest.mark.parametrize("new", [0.0, 0.5, 1.0, 1.25])
def test_a_starter_swap_keeps_flour_and_water(old: float, new: float) -> None:
    swap = starter_swap(0.3, old, new)
    flour = swap.starter / (1 + new)
    assert flour + swap.flour == pytest.approx(0.3 / (1 + old))
    assert swap.starter - flour + swap.water == pytest.approx(0.3 * old / (1 + old))
    assert min(abs(swap.flour), abs(swap.water)) == pytest.approx(0.0, abs=1e-12)
    assert min(swap.starter, swap.flour, swap.water) >= -1e-12


@pytest.mark.parametrize("by", ["solids", "all solids"])
def test_milk_for_powder_keeps_the_water(by: str) -> None:
    milk = {"water": 0.879, "solids": 0.088, "fat": 0.033}
    swap = milk_for_powder(0.025, 0.375, milk, by)
    assert swap.water + swap.milk * 0.879 == pytest.approx(0.375)
    solids = 0.121 if by == "all solids" else 0.088
    assert swap.milk * solids == pytest.approx(0.025)
    assert swap.fat == pytest.approx(swap.milk * 0.033)


def test_milk_with_more_water_than_the_dough() -> None:
    with pytest.raises(ImpossibleInput) as caught:
        milk_for_powder(0.025, 0.1, {"water": 0.9, "solids": 0.1, "fat": 0.0}, "solids")
    found = problem(caught)
    assert (found.code, found.values["short"]) == (
        "milk-has-too-much-water",
        pytest.approx(0.125),
    )


@pytest.mark.parametrize("parts", [(1, 5, 5), (1, 1, 1), (2, 4, 3)])
def test_a_levain_build_has_its_parts_and_its_sum(parts: tuple[float, float, float]) -> None:
    build = levain_build(0.3, 0.02, parts)
    assert sum(build) == pytest.approx(0.32)
    assert [m / build[0] for m in build] == pytest.approx([p / parts[0] for p in parts])


def test_what_runs_out_first() -> None:
    name, most = limiting_share({"a": 0.5, "b": 0.3, "c": 0.2}, {"a": 10, "b": 5, "c": 4})
    assert name == "b"
    assert most == pytest.approx(5 / 0.3)
    assert limiting_share({"a": 1.0, "b": 0.0}, {"a": 2.0}) == ("a", 2.0)


@pytest.mark.parametrize(
    ("mass", "whole", "beaten", "up", "less"),
    [
        (0.187, 3, 0.037, 4, 0.013 * 0.75),
        (0.150, 3, 0.0, 3, 0.0),
        (0.030, 0, 0.030, 1, 0.020 * 0.75),
        (0.0, 0, 0.0, 0, 0.0),
    ],
)
def test_eggs_whole_and_beaten(
    mass: float, whole: int, beaten: float, up: int, less: float
) -> None:
    choice = whole_eggs(mass, 0.050, 0.75)
    assert (choice.whole, choice.rounded_up) == (whole, up)
    assert (choice.beaten, choice.less_water) == pytest.approx((beaten, less), abs=1e-12)


def test_yeast_for_yeast_and_back() -> None:
    fresh, dry = TABLE["fresh yeast"], TABLE["active dry yeast"]
    assert equivalent_yeast(0.03, fresh, fresh) == pytest.approx(0.03)
    assert equivalent_yeast(equivalent_yeast(0.03, fresh, dry), dry, fresh) == pytest.approx(0.03)
