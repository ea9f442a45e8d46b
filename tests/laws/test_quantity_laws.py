"""Laws of written amounts: the unit is the author's affair, and no text is a crash."""

from collections.abc import Callable

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from doughwright.documents.quantities import (
    EXAMPLES,
    SIGNED,
    UNITS,
    NotAQuantity,
    Quantity,
    quantity,
    written,
)
from doughwright.engine.overall import hydration, salt_ratio
from doughwright.resolving.formulas import ResolvedFormula

DIMENSIONS = tuple(EXAMPLES)
POUND = 0.45359237
PER_KILO = {"g": 1000.0, "kg": 1.0, "oz": 16 / POUND, "lb": 1 / POUND}
"""Avoirdupois pound, exact (NIST Handbook 44)."""

# pieces that look like amounts find more than plain noise
pieces = st.one_of(
    st.text(max_size=12),
    st.text("0123456789.,/-–+ °CFgkxlbozh%½¼ ", max_size=12),
    st.sampled_from([unit for units in UNITS.values() for unit in units]),
)
scraps = st.lists(pieces, max_size=4).map(" ".join)


@given(scraps, st.lists(st.sampled_from(DIMENSIONS), min_size=1, max_size=4))
@example("1/0 g", ["mass"])
@example("½½ g", ["mass"])
@example("9" * 400 + " g", ["mass"])
@example("−–—-", ["temperature"])
def test_any_text_is_an_amount_or_is_refused(text: str, dimensions: list[str]) -> None:
    try:
        found = quantity(text, *dimensions)
    except NotAQuantity:
        return
    assert found.text == text
    assert found.dimension in dimensions
    assert found.low <= found.best <= found.high
    assert found.dimension in SIGNED or found.low >= 0


@given(st.floats(0.001, 99.999), st.sampled_from(("g", "kg", "oz", "lb")))
def test_a_mass_is_the_same_in_every_unit(kilo: float, unit: str) -> None:
    text = f"{kilo * PER_KILO[unit]:.9f} {unit}"
    assert quantity(text, "mass").best == pytest.approx(kilo, rel=1e-6)


@given(st.integers(-30, 300))
def test_a_temperature_is_the_same_in_every_unit(celsius: int) -> None:
    found = [
        quantity(text, "temperature").best
        for text in (
            f"{celsius} °C",
            f"{celsius * 9 / 5 + 32:.4f} °F",
            f"{celsius + 273.15:.2f} K",
        )
    ]
    assert found == pytest.approx([celsius + 273.15] * 3, abs=1e-4)
    steps = [f"{celsius} °C", f"{celsius * 9 / 5:.4f} °F", f"{celsius} K"]
    assert [quantity(t, "temperature difference").best for t in steps] == pytest.approx(
        [celsius] * 3, abs=1e-4
    )


@given(st.integers(1, 5000), st.integers(1, 5000))
def test_two_units_of_one_amount_add_up(pounds: int, ounces: int) -> None:
    found = quantity(f"{pounds} lb {ounces} oz", "mass").best
    assert found == pytest.approx((pounds + ounces / 16) * POUND)


@given(st.integers(0, 9999), st.integers(0, 9999), st.sampled_from(("–", "-", " - ", " to ", "..")))
def test_a_range_holds_its_ends(one: int, other: int, between: str) -> None:
    text = f"{one}{between}{other} g" if between.strip() in "–-" else f"{one} g{between}{other} g"
    if one > other:
        with pytest.raises(NotAQuantity) as refused:
            quantity(text, "mass")
        assert refused.value.code == "range-backwards"
        return
    found = quantity(text, "mass")
    assert (found.low, found.high) == pytest.approx((one / 1000, other / 1000))


@given(
    st.floats(0.0, 9.0),
    st.sampled_from(
        (("g", "mass"), ("kg", "mass"), ("oz", "mass"), ("min", "duration"), ("%", "percent"))
    ),
)
def test_what_we_write_we_read(value: float, unit: tuple[str, str]) -> None:
    text = written(value, unit[0], 9)
    found: Quantity = quantity(text, unit[1])
    assert found.best == pytest.approx(value, rel=1e-6, abs=1e-6)


UNIT_CARD = """
preparations:
  poolish:
    kind: preferment
    ingredients: {flour: FLOUR, water: FLOUR}
  dough:
    kind: dough
    from: [poolish]
    ingredients: {flour: REST, water: WATER, salt: SALT}
"""


@given(
    st.floats(0.05, 2.0),
    st.floats(0.1, 5.0),
    st.floats(0.1, 4.0),
    st.floats(0.001, 0.1),
    st.lists(st.sampled_from(tuple(PER_KILO)), min_size=4, max_size=4),
)
def test_a_formula_is_the_same_in_every_unit(
    solve: Callable[..., ResolvedFormula],
    flour: float,
    rest: float,
    water: float,
    salt: float,
    units: list[str],
) -> None:
    kilos = dict(zip(("FLOUR", "REST", "WATER", "SALT"), (flour, rest, water, salt), strict=True))
    salted = salt / (flour + rest)
    if salted > 0.04:  # refused from 5 % on
        return

    def card(chosen: list[str]) -> ResolvedFormula:
        text = UNIT_CARD
        for (word, kilo), unit in zip(kilos.items(), chosen, strict=True):
            text = text.replace(word, f"{kilo * PER_KILO[unit]:.9f} {unit}")
        return solve(text)

    one, other = card(["kg"] * 4).solution, card(units).solution
    assert other.dough == pytest.approx(one.dough, rel=1e-6)
    assert hydration(other) == pytest.approx(hydration(one), rel=1e-6)
    assert salt_ratio(other) == pytest.approx(salted, rel=1e-6)
