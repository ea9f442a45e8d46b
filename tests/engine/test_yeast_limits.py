"""What a temperature means for yeast is said only where it is shown to pass the limit."""

import pytest

from doughwright.engine.yeast_limits import yeast_notices
from doughwright.units import ICE_POINT


@pytest.mark.parametrize(
    ("liquid", "dough", "expected"),
    [
        # a liquid for yeast is aimed at 40 °C and no hotter than 43 °C (US Army TM 10-412: 110 °F)
        pytest.param(40.0, 27.0, [], id="the aim"),
        pytest.param(40.4, 27.0, [], id="shown as the aim"),
        pytest.param(40.6, 27.0, ["liquid-warm-for-yeast"], id="shown as a degree more"),
        pytest.param(43.4, 27.0, ["liquid-warm-for-yeast"], id="shown as the stop"),
        pytest.param(43.6, 27.0, ["liquid-kills-yeast"], id="past the stop"),
        # rehydration note: dry yeast put into water colder than 20 °C
        pytest.param(19.6, 27.0, [], id="shown as the lower limit"),
        pytest.param(19.4, 27.0, ["dry-yeast-in-cold-liquid"], id="a degree below it"),
        # Caspeta & Nielsen 2015: weaker above 40 °C, lethal near 49 °C
        pytest.param(30.0, 40.4, [], id="dough shown as the limit"),
        pytest.param(30.0, 40.6, ["dough-warm-for-yeast"], id="dough past it"),
        pytest.param(30.0, 49.4, ["dough-warm-for-yeast"], id="dough shown as lethal"),
        pytest.param(30.0, 49.6, ["dough-kills-yeast"], id="dough past that"),
    ],
)
def test_half_a_degree_at_a_limit_is_let_pass(
    liquid: float, dough: float, expected: list[str]
) -> None:
    found = yeast_notices(
        liquid=liquid + ICE_POINT, mixed=dough + ICE_POINT, dry_yeast_in_liquid=True
    )
    assert [notice.code for notice in found] == expected
