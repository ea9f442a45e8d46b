"""SI values as a baker reads them: °C and g first, digits that follow the band."""

from collections.abc import Callable, Mapping
from datetime import datetime
from types import MappingProxyType

from doughwright.sheets.cells import Cell
from doughwright.units import ICE_POINT, CubicMetre, Kelvin, Kilogram, Metre, Ratio, Second

MINUTE = 60.0
HOUR = 3600.0


def mass(value: Kilogram, step: Kilogram = 0.001) -> str:
    """Grams to the scale's step; above 10 kg kilograms.

    >>> mass(0.412), mass(0.0062, 0.0001), mass(12.345)
    ('412 g', '6.2 g', '12.345 kg')
    """
    if abs(value) >= 10:
        return f"{value:.3f} kg"
    digits = 0 if step >= 0.001 else 1 if step >= 0.0001 else 2
    return f"{_rounded(value * 1000, digits):.{digits}f} g"


def _rounded(value: float, digits: int) -> float:
    """Rounded, and never a zero with a minus."""
    return round(value, digits) + 0.0


def fine_mass(value: Kilogram) -> str:
    """Grams with as many digits as a small weight needs.

    >>> fine_mass(0.0003), fine_mass(0.0996), fine_mass(0.33)
    ('0.3 g', '100 g', '330 g')
    """
    grams = value * 1000
    if grams >= 10:
        return f"{grams:.0f} g"
    plain = f"{float(f'{grams:.2g}'):.9f}".rstrip("0").rstrip(".")
    return f"{plain} g"


def temperature(value: Kelvin, digits: int = 0) -> str:
    """Degrees Celsius, whole unless asked for more: no kitchen knows a tenth.

    >>> temperature(295.45), temperature(295.45, 1)
    ('22 °C', '22.3 °C')
    """
    return f"{_rounded(value - ICE_POINT, digits):.{digits}f} °C".replace("-", "−")


def given_temperature(value: Kelvin) -> str:
    """A temperature that somebody gave: with its tenth where it has one.

    >>> given_temperature(295.15), given_temperature(296.65)
    ('22 °C', '23.5 °C')
    """
    whole = abs(value - ICE_POINT - round(value - ICE_POINT)) < 0.05
    return temperature(value, 0 if whole else 1)


def difference(value: float) -> str:
    """A temperature difference with its sign.

    >>> difference(2.44), difference(-4.2)
    ('+2.4 °C', '−4.2 °C')
    """
    return f"{_rounded(value, 1):+.1f} °C".replace("-", "−")


def percent(value: Ratio) -> str:
    """A ratio in percent, to about three digits.

    >>> percent(0.6517), percent(0.0174), percent(0.00034)
    ('65.2 %', '1.74 %', '0.034 %')
    """
    shown = value * 100
    digits = 1 if abs(shown) >= 10 else 2 if abs(shown) >= 0.1 or shown == 0 else 3
    return f"{shown:.{digits}f} %"


def rough_percent(value: Ratio) -> str:
    """An error, in whole percent.

    >>> rough_percent(0.0609)
    '6 %'
    """
    return f"{value * 100:.0f} %"


def length(value: Metre) -> str:
    """Centimetres, to a millimetre.

    >>> length(0.11), length(0.125)
    ('11 cm', '12.5 cm')
    """
    return f"{value * 100:.1f}".removesuffix(".0") + " cm"


def litres(value: CubicMetre) -> str:
    """Litres, or millilitres below one.

    >>> litres(0.0014), litres(0.000191)
    ('1.4 l', '191 ml')
    """
    return f"{value * 1000:.2g} l" if value >= 0.001 else f"{value * 1e6:.0f} ml"


def height(value: Metre) -> str:
    """Metres above the sea.

    >>> height(2500.0)
    '2500 m'
    """
    return f"{value:.0f} m"


def duration(value: Second) -> str:
    """Minutes, or hours and minutes; days above two.

    >>> duration(2700), duration(5400), duration(43200)
    ('45 min', '1 h 30 min', '12 h')
    """
    minutes = round(value / MINUTE)
    if minutes < 60:
        return f"{minutes} min"
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def rough_duration(value: Second) -> str:
    """A duration that is no better than a third: whole fives, quarters, half hours.

    >>> rough_duration(1860.0), rough_duration(14640.0)
    ('30 min', '4 h')
    """
    minutes = value / MINUTE
    step = 5 if minutes < 60 else 15 if minutes < 150 else 30
    return duration(max(1, round(minutes / step)) * step * MINUTE)


def duration_band(cell: Cell) -> str:
    """A duration as a range, rounded to what its width deserves.

    >>> duration_band(Cell(3600.0, "s", "tested", 3000.0, 4300.0))
    '50–72 min'
    """
    if cell.value is None:
        return "time not stated"
    if not cell.banded:
        return duration(cell.value)
    assert cell.low is not None
    assert cell.high is not None
    step = _minute_step(cell.high - cell.low, cell.high)
    low, high = (round(x / MINUTE / step) * step for x in (cell.low, cell.high))
    low = max(low, min(step, high))  # nothing takes no time
    if low == high:
        return duration(low * MINUTE)
    if high <= 120:
        return f"{low:g}–{high:g} min"
    if low % 60 == high % 60 == 0:
        return f"{low // 60:g}–{high // 60:g} h"
    return f"{duration(low * MINUTE)}–{duration(high * MINUTE)}"


def _minute_step(width: Second, whole: Second) -> int:
    """Round the ends of a band to about a tenth of its width, and to what hours deserve."""
    least = 1 if whole <= 2 * HOUR else 5 if whole <= 8 * HOUR else 15
    return next((s for s in (1, 5, 10, 15, 30) if s >= least and width <= s * 40 * MINUTE), 60)


WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def clock(value: datetime | None, *, day: bool = False) -> str:
    """A time of day, with its weekday when a plan runs past midnight.

    >>> clock(datetime(2026, 3, 1, 9, 5)), clock(datetime(2026, 3, 1, 9, 5), day=True)
    ('09:05', 'Sun 09:05')
    """
    if value is None:
        return ""
    said = value.strftime("%H:%M")
    return f"{WEEKDAYS[value.weekday()]} {said}" if day else said


def ratio_band(cell: Cell) -> str:
    """A percentage, with its range when the author wrote ranges."""
    assert cell.value is not None
    if cell.banded and cell.low is not None and cell.high is not None:
        return f"{percent(cell.value)} ({percent(cell.low)[:-2]}–{percent(cell.high)})"
    return percent(cell.value)


def count(value: float) -> str:
    """A plain number."""
    return f"{value:g}"


FORMATS: Mapping[str, Callable[[float], str]] = MappingProxyType(
    {
        "temperature": temperature,
        "difference": difference,
        "mass": mass,
        "fine mass": fine_mass,
        "percent": percent,
        "rough percent": rough_percent,
        "length": length,
        "height": height,
        "litres": litres,
        "duration": duration,
        "rough duration": rough_duration,
    }
)
"""What a message's template may ask for behind the colon."""
