"""What a baker would stumble over on reading a formula aloud, and what not."""

import pytest

from doughwright.engine.formula import Batch, Line, Preparation, solved
from doughwright.engine.ingredients import ingredient_table
from doughwright.engine.plausibility import plausibility_notices, sugar_class, threshold
from doughwright.errors import Notice

TABLE = ingredient_table()
ORDINARY = {"strong white flour": 100.0, "water": 65.0, "salt": 2.0, "fresh yeast": 2.0}


def notices(**changes: float) -> tuple[Notice, ...]:
    """Notices on an ordinary dough with some percentages changed."""
    percents = ORDINARY | {name.replace("_", " "): value for name, value in changes.items()}
    lines = tuple(Line(name, TABLE[name], ratio=p / 100) for name, p in percents.items())
    return plausibility_notices(solved([Preparation("dough", "dough", lines)], Batch(flour=1.0)))


def codes(**changes: float) -> list[str]:
    return [notice.code for notice in notices(**changes)]


def test_an_ordinary_dough_needs_no_word() -> None:
    assert notices() == ()


# common practice: 1–2.2 % is usual; a slip of the decimal point is not
@pytest.mark.parametrize(
    ("salt", "expected"),
    [
        (0.0, ["salt-low"]),
        (0.79, ["salt-low"]),
        (0.81, []),
        (1.0, []),  # pumpernickel
        (2.9, []),
        (3.1, ["salt-high"]),
        (4.9, ["salt-high"]),
        (5.1, ["salt-inedible"]),
        (20.0, ["salt-inedible"]),
    ],
)
def test_salt(salt: float, expected: list[str]) -> None:
    assert codes(salt=salt) == expected


def test_salt_that_cannot_be_meant_stops() -> None:
    (notice,) = notices(salt=20)
    assert (notice.weight, notice.where) == (
        "stop",
        ("preparations", "dough", "ingredients", "salt", "amount"),
    )
    assert notice.values == pytest.approx(
        {"ratio": 0.20, "tenth": 0.02, "low": 0.01, "high": 0.022}, rel=1e-3
    )


# sweet Nordic buns hold 6.25 % fresh yeast; ten times 0.75 % is 7.5 %
@pytest.mark.parametrize(
    ("yeast", "percent", "expected"),
    [
        ("fresh_yeast", 6.25, []),
        ("fresh_yeast", 7.5, ["yeast-high"]),
        ("active_dry_yeast", 1.8, []),
        ("active_dry_yeast", 2.5, ["yeast-high"]),
        ("instant_yeast", 1.5, []),
        ("instant_yeast", 2.0, ["yeast-high"]),
    ],
)
def test_yeast_is_counted_as_fresh(yeast: str, percent: float, expected: list[str]) -> None:
    others = {} if yeast == "fresh_yeast" else {"fresh_yeast": 1.0}
    assert codes(**{yeast: percent, **others}) == expected


@pytest.mark.parametrize(
    ("sugar", "expected"),
    [
        (4.9, []),
        (5.1, ["sugar-slows"]),
        (10.1, ["sugar-slows-clearly"]),
        (25.0, ["sugar-needs-osmotolerant"]),
    ],
)
def test_sugar(sugar: float, expected: list[str]) -> None:
    assert codes(sugar=sugar) == expected


def test_the_classes_of_sugar_leave_no_gap() -> None:
    order = ["none", "slow", "clearly slow", "osmotolerant"]
    found = [order.index(sugar_class(percent / 1000)) for percent in range(600)]
    assert found == sorted(found)
    assert set(found) == {0, 1, 2, 3}


@pytest.mark.parametrize(
    ("water", "expected"),
    [
        (38.0, ["hydration-unusual"]),
        (45.0, []),  # pretzels, steamed buns
        (100.0, []),
        (110.0, ["hydration-unusual"]),
    ],
)
def test_water(water: float, expected: list[str]) -> None:
    assert codes(water=water) == expected


def test_unusual_water_is_told_by_both_conventions() -> None:
    (notice,) = notices(water=20, egg=20)
    assert notice.code == "hydration-unusual"
    # 20 + 20·0.7615 + 2·0.69 % true, 20 % poured
    assert notice.values["true"] == pytest.approx(0.3661, abs=0.0001)
    assert notice.values["liquids"] == pytest.approx(0.20)


def test_several_slips_are_all_told() -> None:
    assert codes(salt=4, fresh_yeast=20, sugar=30, water=10) == [
        "salt-high",
        "yeast-high",
        "sugar-needs-osmotolerant",
        "hydration-unusual",
    ]


def test_thresholds_are_in_order() -> None:
    for rising in (
        ("salt_low", "salt_usual_low", "salt_usual_high", "salt_high", "salt_inedible"),
        ("sugar_slows", "sugar_slows_clearly", "sugar_osmotolerant"),
        ("hydration_low", "hydration_high"),
    ):
        values = [threshold(name) for name in rising]
        assert values == sorted(values)


# common practice, no source: the richest brioches hold about as much butter as flour;
# butter is 81.11 % fat (USDA SR28, NDB 01145): 100 % of it are 81 % of fat, 130 % are 105 %
@pytest.mark.parametrize(("butter", "said"), [(100.0, []), (130.0, ["fat-high"])])
def test_more_fat_than_flour_is_named(butter: float, said: list[str]) -> None:
    assert codes(water=50.0, unsalted_butter=butter) == said
