"""Thirty-nine published figures on yeast, rise and dough temperature, none of them dropped.

Many sources left something unsaid; what was assumed instead stands in the table. The misses are
listed there too, so that a change of the model which mends or breaks one is noticed.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from doughwright.engine.batch import FOREVER, For, Mix, Relative, Ripe, Stage, kept_at
from doughwright.engine.cooling import Place
from doughwright.engine.dough import Dough, dough_mass, gas_free_volume
from doughwright.engine.fermentation import cardinal_factor, parameters
from doughwright.engine.rise import StageRun, staged_rise
from doughwright.sources import rows
from doughwright.units import ICE_POINT

TABLE = {
    int(row["number"]): row
    for row in rows(Path(__file__).with_name("fermentation_check_points.tsv"))
}
HOUR, MINUTE = 3600.0, 60.0


def within(air: float, film: float = 8.0, cover: float = 0.05) -> tuple[tuple[float, Place], ...]:
    return ((FOREVER, Place(ICE_POINT + air, film, cover)),)


def held_at(temperature: float) -> tuple[tuple[float, Place], ...]:
    return kept_at(ICE_POINT + temperature)


def scaled(dough: Dough, mass: float) -> Dough:
    return dough * (mass / dough_mass(dough))


def one(dough: Dough, start: float, goal: object, places: object = None) -> StageRun:
    places = places or within(start)
    stage = Stage("ferment", goal, places, Mix(dough, ICE_POINT + start))  # type: ignore[arg-type]
    return staged_rise([stage], samples=200).stages[0]


def ready(run: StageRun) -> float:
    assert run.ready is not None, run.reason
    return run.ready


@cache
def growth(yeast: float, hours: float) -> float:
    dough = Dough(1.0, 0.62, yeast, 0.018, sucrose=0.02)
    grown = one(dough, 27.0, For(hours * HOUR), held_at(27.0)).series["yeast"]
    return 100.0 * (grown[-1] / grown[0] - 1.0)


def gas_in_millilitres() -> float:
    dough = Dough(0.250, 0.62 * 0.250, 0.007, 0.005)
    made = one(dough, 28.5, For(3 * HOUR), held_at(28.5)).series["made"][-1]
    return made * 8.314 * 298.15 / 101325.0 * 1e6


def warmth(celsius: float) -> float:
    p = parameters()
    marks = p["gas_minimum"], p["gas_optimum"], p["gas_maximum"]
    return cardinal_factor(ICE_POINT + celsius, *marks)


@cache
def army_sponge(yeast: float) -> float:
    return ready(one(Dough(5.0, 3.35, yeast * 5.0), 25.5, Ripe())) / HOUR


@cache
def home_bread(yeast: float, celsius: float) -> float:
    return ready(one(Dough(1.0, 0.62, yeast, 0.015), celsius, Relative(2.0))) / HOUR


@cache
def army_card() -> tuple[StageRun, ...]:
    dough = Dough(1.0, 0.60, 0.0275, 0.02, 0.02, fat=0.03, yeast_kind="active dry")
    dough = scaled(dough, 0.765)
    bulk = Stage("ferment", Relative(2.0), held_at(26.7), Mix(dough, ICE_POINT + 26.7))
    proof = Stage("proof", Relative(2.0), within(35.0, 6.0, 0.0), gas_kept=0.30, surface=0.8625)
    return staged_rise([bulk, proof]).stages


@cache
def french() -> tuple[float, float]:
    dough = Dough(5.0, 3.1, 0.051, 0.075)
    first = Stage("ferment", For(3.1 * HOUR), within(26.0), Mix(dough, ICE_POINT + 26.0))
    second = Stage("punch", For(3 * HOUR), within(26.0), gas_kept=0.45)
    one_, two = staged_rise([first, second], samples=400).stages
    height = one_.series["volume"][-1]
    again = np.interp(height, two.series["volume"], two.series["time"])
    return height / gas_free_volume(dough), float(again) / HOUR


@cache
def pan_proof(box: float) -> StageRun:
    dough = scaled(Dough(1.0, 0.60, 0.03, 0.02, 0.06, fat=0.03), 0.52)
    bulk = Stage("ferment", For(2 * HOUR), within(27.0), Mix(dough, ICE_POINT + 27.0))
    moulded = Mix(dough * 0.0, ICE_POINT + 28.0)
    proof = Stage(
        "proof", Relative(2.0), within(box, 6.0, 0.0), moulded, gas_kept=0.30, surface=0.8625
    )
    return staged_rise([bulk, proof]).stages[1]


def poolish(yeast: float, celsius: float) -> float:
    return ready(one(Dough(1.0, 1.0, yeast), celsius, Ripe(), held_at(celsius))) / HOUR


def foamy_poolish() -> float:
    dough = Dough(1.0, 1.07, 0.0027 / 0.33, yeast_kind="instant")
    return ready(one(dough, 21.5, Relative(1.6), held_at(21.5))) / HOUR


def with_milk(dough: Dough, milk: float) -> Dough:
    """88 % water, 3.6 % fat, 8.3 % solids of which 4.8 lactose and 0.7 salts."""
    return replace(
        dough,
        water=dough.water + 0.88 * milk,
        fat=dough.fat + 0.036 * milk,
        solids=dough.solids + 0.083 * milk,
        solutes=dough.solutes + 0.048 * milk / 0.342 + 0.01 * milk,
    )


def milk_sponge() -> Dough:
    return with_milk(Dough(0.150, 0.0, 0.007 / 0.33, yeast_kind="instant"), 0.250)


ENRICHMENT = Dough(
    0.350,
    water=0.76 * 0.050 + 0.16 * 0.055,
    salt=0.009,
    sucrose=0.040,
    fat=0.82 * 0.055 + 0.10 * 0.050,
    solids=0.13 * 0.050,
)


@cache
def worked(start: float = 25.0) -> tuple[StageRun, ...]:
    """Flying sponge, enriched dough, bench rest, buns."""
    sponge = Mix(milk_sponge(), ICE_POINT + 33.1)
    return staged_rise(
        [
            Stage("ferment", For(50 * MINUTE), within(22.0), sponge),
            Stage("ferment", Relative(2.0), within(22.0), Mix(ENRICHMENT, ICE_POINT + start)),
            Stage("rest", For(20 * MINUTE), within(22.0), pieces=10),
            Stage("proof", Relative(1.8), within(22.0), pieces=10),
        ]
    ).stages


def foam() -> float:
    return ready(one(milk_sponge(), 33.1, Ripe(), within(22.0))) / MINUTE


def warm_milk_sponge() -> float:
    dough = with_milk(Dough(0.3, 0.0, 0.3 * 0.019 / 0.33, yeast_kind="instant"), 0.375)
    return ready(one(dough, 33.0, Relative(1.8), within(22.0))) / MINUTE


def enriched_after_it() -> float:
    sponge = with_milk(Dough(0.3, 0.0, 0.3 * 0.019 / 0.33, yeast_kind="instant"), 0.375)
    rest = replace(ENRICHMENT, salt=0.011, sucrose=0.03, flour=0.35)
    stages = [
        Stage("ferment", Relative(1.8), within(22.0), Mix(sponge, ICE_POINT + 33.0)),
        Stage("ferment", Relative(2.0), within(22.0), Mix(rest, ICE_POINT + 25.5)),
    ]
    return ready(staged_rise(stages).stages[1]) / MINUTE


@cache
def in_fridge(hours: float) -> float:
    dough = scaled(Dough(1.0, 0.68, 0.005, 0.02), 0.75)
    return float(one(dough, 24.0, For(hours * HOUR), within(4.0)).series["core"][-1]) - ICE_POINT


def chilled_ball(mass: float) -> float:
    dough = scaled(Dough(1.0, 0.60, 0.005, 0.02), mass)
    series = one(dough, 26.0, For(7 * HOUR), within(3.0, 10.0, 0.0)).series
    return float(np.interp(-ICE_POINT - 7.0, -series["temperature"], series["time"])) / HOUR


def large_dough() -> float:
    dough = scaled(Dough(1.0, 0.60, 0.012, 0.02), 100.0)
    return one(dough, 26.7, For(4.5 * HOUR), within(24.4)).end_temperature - ICE_POINT


CASES: dict[int, Callable[[], float]] = {
    1: lambda: growth(0.0167, 2),
    2: lambda: growth(0.0167, 4),
    3: lambda: growth(0.0167, 6),
    4: lambda: growth(0.005, 6),
    5: lambda: growth(0.02, 6),
    6: gas_in_millilitres,
    7: lambda: warmth(30.0) / warmth(15.0),
    8: lambda: warmth(26.7) / warmth(17.2),
    9: lambda: 100.0 * (warmth(23.0) / warmth(22.0) - 1.0),
    10: lambda: army_sponge(0.0125),
    11: lambda: army_sponge(0.00625),
    12: lambda: army_sponge(0.00625) / army_sponge(0.0125),
    13: lambda: home_bread(0.024, 21.0),
    14: lambda: home_bread(0.012, 21.0) / home_bread(0.024, 21.0),
    15: lambda: home_bread(0.006, 19.0),
    16: lambda: ready(army_card()[0]) / HOUR,
    17: lambda: ready(army_card()[1]) / HOUR,
    18: lambda: french()[0],
    19: lambda: french()[1],
    20: lambda: ready(pan_proof(43.0)) / MINUTE,
    21: lambda: ready(pan_proof(13.0)) / MINUTE,
    22: lambda: ready(pan_proof(57.0)) / MINUTE,
    23: lambda: pan_proof(43.0).end_temperature - ICE_POINT,
    24: lambda: poolish(0.001, 24.0),
    25: lambda: poolish(0.002, 20.0),
    26: foamy_poolish,
    27: warm_milk_sponge,
    28: enriched_after_it,
    29: lambda: in_fridge(1.0),
    30: lambda: in_fridge(2.75),
    31: lambda: in_fridge(4.0),
    32: lambda: in_fridge(7.0),
    33: lambda: chilled_ball(0.62),
    34: lambda: chilled_ball(0.37),
    35: large_dough,
    36: foam,
    37: lambda: ready(worked()[1]) / MINUTE,
    38: lambda: worked()[2].rise,
    39: lambda: ready(worked()[3]) / MINUTE,
}


GUESSED_AGAIN = dict.fromkeys((18, 20, 21, 22, 27, 28, 36, 37, 38, 39), 0.05) | {19: 0.09}


def residual(number: int) -> float:
    row = TABLE[number]
    return (CASES[number]() - float(row["published"])) / float(row["tolerance"])


def test_every_row_has_its_case() -> None:
    assert set(CASES) == set(TABLE)


@pytest.mark.parametrize("number", TABLE)
def test_published_figure_or_listed_miss(number: int) -> None:
    expected_miss = TABLE[number]["miss"] == "yes"
    found = residual(number)
    assert (abs(found) > 1.0) == expected_miss, f"residual over tolerance {found:+.2f}"


LAG_STRETCHED = {10: 0.02, 15: 0.02, 20: 0.02, 22: 0.02, 24: 0.02, 25: 0.02, 26: 0.02}
"""Rows that the stretched lag of growth moves, and by how much more than the rest."""


@pytest.mark.parametrize("number", TABLE)
def test_agrees_with_an_independent_implementation(number: int) -> None:
    """2.5 % where the row says all; more where recipe or mass had to be guessed a second time.

    That implementation starts growth at the same time in every dough. Ours stretches the lag by
    salt and sugar, which moves the long preferments by up to 5 % and hot boxes by up to 7 %.
    """
    reference = float(TABLE[number]["reference"])
    near = 0.1 if number == 1 else reference * GUESSED_AGAIN.get(number, 0.025)
    near += reference * LAG_STRETCHED.get(number, 0.0)
    assert CASES[number]() == pytest.approx(reference, abs=near)


def test_as_a_whole_within_seven_tenths_of_the_tolerances() -> None:
    overall = np.sqrt(np.mean([residual(number) ** 2 for number in CASES]))
    assert overall < 0.72


LEAN_WATER = 0.63  # the derived table gives none; this one agrees best
MINUTES_TO_DOUBLE = [
    (12, 400),
    (15, 255),
    (18, 177),
    (20, 143),
    (22, 119),
    (24, 100),
    (26, 86),
    (28, 76),
    (30, 67),
    (35, 55),
    (38, 52),
    (40, 54),
]
HOURS_TO_DOUBLE = [
    (0.1, 12.8),
    (0.2, 9.5),
    (0.5, 5.7),
    (1.0, 3.43),
    (2.0, 1.88),
    (3.0, 1.33),
    (4.0, 1.06),
    (6.0, 0.79),
]
GAS_BY_SUGAR = [(0, 1.00), (2, 1.10), (5, 1.05), (10, 0.91), (15, 0.78), (20, 0.65), (30, 0.47)]
GAS_BY_SALT = [(0, 1.0), (1, 0.96), (2, 0.88), (3, 0.77), (4, 0.66)]


def doubled(yeast: float, celsius: float) -> float:
    dough = Dough(1.0, LEAN_WATER, yeast, 0.02)
    return ready(one(dough, celsius, Relative(2.0), held_at(celsius)))


@pytest.mark.parametrize(("celsius", "minutes"), MINUTES_TO_DOUBLE)
def test_time_to_double_by_temperature(celsius: float, minutes: float) -> None:
    assert doubled(0.025, celsius) / MINUTE == pytest.approx(minutes, rel=0.03)


@pytest.mark.parametrize(("percent", "hours"), HOURS_TO_DOUBLE)
def test_time_to_double_by_yeast(percent: float, hours: float) -> None:
    assert doubled(percent / 100.0, 25.0) / HOUR == pytest.approx(hours, rel=0.02)


def gas(sugar: float, salt: float) -> float:
    dough = Dough(1.0, LEAN_WATER, 0.03, salt, sugar)
    return float(one(dough, 30.0, For(2.5 * HOUR), held_at(30.0)).series["made"][-1])


@pytest.mark.parametrize(("percent", "relative"), GAS_BY_SUGAR)
def test_gas_by_sugar(percent: float, relative: float) -> None:
    # 4 %: growth starts later in sweet dough here, at the same time in the table's model
    assert gas(percent / 100.0, 0.015) / gas(0.0, 0.015) == pytest.approx(relative, rel=0.04)


@pytest.mark.parametrize(("percent", "relative"), GAS_BY_SALT)
def test_gas_by_salt(percent: float, relative: float) -> None:
    assert gas(0.0, percent / 100.0) / gas(0.0, 0.0) == pytest.approx(relative, rel=0.03)


def _report() -> None:
    for number, case in CASES.items():
        row, value = TABLE[number], case()
        reference, published = float(row["reference"]), float(row["published"])
        print(  # noqa: T201 - the table of residuals for people
            f"{number:3d} {value:9.3f} ref {reference:8.2f} ({value / reference - 1:+.1%})"
            f" published {published:7.2f} residual {residual(number):+.2f}"
            f" {row['miss']} {row['check']}"
        )
    print("rms", np.sqrt(np.mean([residual(n) ** 2 for n in CASES])))  # noqa: T201


if __name__ == "__main__":
    _report()
