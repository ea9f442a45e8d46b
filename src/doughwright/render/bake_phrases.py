"""The sentences of a bake: when it is done and by which sign, what comes out, where to probe."""

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from doughwright.render.numbers import duration, height, length, mass, rough_percent, temperature
from doughwright.render.timings import oven
from doughwright.sheets.bake import BakeRow, BakeSheet, CriterionRow, ProbeSheet, WantedWeight
from doughwright.sheets.cells import Cell
from doughwright.units import Kilogram, Metre, Ratio, Second

CRITERION_NAMES: Mapping[str, str] = MappingProxyType(
    {"crumb": "crumb set", "core": "core", "filling": "filling hot", "colour": "colour"}
)
"""Each sign of a finished bake in a word or two."""

WAITED_FOR: Mapping[str, str] = MappingProxyType(
    {
        "crumb": "the crumb is set",
        "core": "the core is warm enough",
        "filling": "the filling is hot",
        "colour": "the crust is brown enough",
    }
)
"""Each sign as something that comes about."""

NEVER: Mapping[str, str] = MappingProxyType(
    {
        "crumb": "the crumb never sets",
        "core": "the core is never warm enough",
        "filling": "the filling never gets hot",
        "colour": "the crust never gets brown enough",
    }
)
"""Each sign as something that does not."""

WARMING_CAPTION = (
    "Shaded: when it may be done. Dotted: where water boils, and the core to wait for."
)
"""What stands under the picture of the temperatures in the oven."""

SAME_MOMENT: Second = 30.0
"""Signs nearer than this are told as one moment: both round to the same minute."""

CLEARLY_LONGER: Second = 90.0
"""A bake goes on this long after the last sign before it is said."""

SAME_HEATING: Ratio = 0.03
SAME_COLOUR: Ratio = 0.05
MUCH_BROWNER: Ratio = 0.4
"""Differences that nobody would see; they are not told."""

NEAR: Metre = 0.005
SHORT: Metre = 0.02
"""Lengths below this are told in millimetres."""


def criterion_name(name: str) -> str:
    """A sign of a finished bake.

    >>> criterion_name("crumb"), criterion_name("core")
    ('crumb set', 'core')
    """
    return CRITERION_NAMES[name]


def goal_words(row: CriterionRow) -> str:
    """What is waited for: a temperature, a crumb that is set, a colour.

    >>> goal_words(CriterionRow("core", Cell(365.15, "K"), Cell(1440.0, "s"), True))
    'core 92 °C'
    """
    if row.name == "crumb":
        return "crumb set (starch)"
    if row.name == "colour" or row.goal.value is None:
        return "brown enough"
    return f"{row.name} {temperature(row.goal.value)}"


def criterion_time(row: CriterionRow) -> str:
    """When a sign is reached, since loading.

    >>> criterion_time(CriterionRow("colour", Cell(18.0, "1"), Cell(None, "s"), False))
    'not reached'
    """
    return "not reached" if row.time.value is None else duration(row.time.value)


def in_order_of_time(row: BakeRow) -> tuple[CriterionRow, ...]:
    """The signs as they come; what never comes stands last."""
    return tuple(sorted(row.criteria, key=lambda c: (c.time.value is None, c.time.value or 0.0)))


def binding_sentence(row: BakeRow) -> str:
    """Which sign comes last, how long before it the others come, and what never comes."""
    never = [NEVER[c.name] for c in row.criteria if c.time.value is None]
    if never:
        return f"By the model {_listed(never)}."
    last = next((c for c in row.criteria if c.binding), None)
    if last is None or last.time.value is None:
        return ""
    said = [f"Done when {WAITED_FOR[last.name]}."]
    before = [c for c in reversed(in_order_of_time(row)) if not c.binding]
    if before:
        said.append(_sentence(", ".join(_earlier(before, last.time.value))))
    return " ".join(filter(None, (*said, staying_sentence(row))))


def staying_sentence(row: BakeRow) -> str:
    """That a bake goes on after its last sign, where the baker's own did."""
    times = [c.time.value for c in row.criteria if c.binding and c.time.value is not None]
    if not times or row.lasts.low is None or row.lasts.low <= max(times) + CLEARLY_LONGER:
        return ""
    return "It stays in longer, as the one noted did."


def _earlier(before: list[CriterionRow], last: Second) -> Iterator[str]:
    """The other signs, and how long before the last each comes."""
    told = ""
    for row in before:
        assert row.time.value is not None
        early = last - row.time.value
        when = f"{duration(early)} before" if early >= SAME_MOMENT else "at about the same time"
        yield f"{WAITED_FOR[row.name]} {when if when != told else 'too'}"
        told = when


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _listed(parts: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(parts[:-1]), parts[-1])))


def basis(sheet: BakeSheet) -> str:
    """Whose time it is: the baker's own moved here, or the model's alone."""
    if not sheet.anchored:
        return (
            "The time is the model's alone: one oven in five falls outside it. "
            "Note how long yours took (`took:`), and it narrows."
        )
    whose = "The time is the one noted, moved to an oven like the one it was noted in"
    if sheet.heating is None or sheet.heating.value is None:
        return f"{whose}."
    quick = sheet.heating.value - 1
    if abs(quick) < SAME_HEATING:
        return f"{whose}."
    pace = "faster" if quick > 0 else "slower"
    apart = f"about {rough_percent(abs(quick))} {pace} than usual"
    return f"{whose}; by it the oven it was tested in heats {apart}."


def loss_band(cell: Cell) -> str:
    """Water lost, in whole percent.

    >>> loss_band(Cell(0.1, "1", "model", 0.08, 0.12))
    '8–12 %'
    """
    return _band(cell, rough_percent)


def weight_band(cell: Cell) -> str:
    """A weight as a range, to a gram.

    >>> weight_band(Cell(0.1327, "kg", "model", 0.1298, 0.1356))
    '130–136 g'
    """
    return _band(cell, _rounded_mass)


def _rounded_mass(value: Kilogram) -> str:
    """Grams to about a hundredth of the weight."""
    step = 0.01 if value >= 1.0 else 0.005 if value >= 0.5 else 0.001
    return mass(round(value / step) * step)


def _band(cell: Cell, said: Callable[[float], str]) -> str:
    if cell.value is None:
        return "not known"
    if not cell.banded or cell.low is None or cell.high is None:
        return said(cell.value)
    low, high = said(cell.low), said(cell.high)
    if low == high:
        return high
    return f"{low.removesuffix(high[high.rindex(' ') :])}–{high}"


def crust_words(cell: Cell) -> str:
    """How thick the crust is, to a millimetre.

    >>> crust_words(Cell(0.0021, "m")), crust_words(Cell(0.0003, "m"))
    ('crust about 2 mm', 'crust under 1 mm')
    """
    if cell.value is None:
        return ""
    if cell.value < 0.00075:
        return "crust under 1 mm"
    return f"crust about {short_length(cell.value)}"


def short_length(value: Metre) -> str:
    """Whole millimetres, from 2 cm on centimetres.

    >>> short_length(0.009), short_length(0.035)
    ('9 mm', '3.5 cm')
    """
    return f"{value * 1000:.0f} mm" if value < SHORT else length(value)


def colour_words(cell: Cell | None) -> str:
    """How brown, against the baker's own bake; empty where there is none.

    >>> colour_words(Cell(0.8, "1")), colour_words(Cell(1.01, "1")), colour_words(None)
    ('about 20 % paler than yours', 'as brown as yours', '')
    """
    if cell is None or cell.value is None:
        return ""
    apart = cell.value - 1
    if abs(apart) < SAME_COLOUR:
        return "as brown as yours"
    if apart > MUCH_BROWNER:
        return "much browner than yours"
    return f"about {rough_percent(abs(apart))} {'browner' if apart > 0 else 'paler'} than yours"


def outcome_sentence(row: BakeRow) -> str:
    """Crust and colour of what comes out; empty where nothing does."""
    parts = list(filter(None, (crust_words(row.crust), colour_words(row.colour))))
    return _sentence(", ".join(parts)) if parts else ""


def probe_sentence(probe: ProbeSheet) -> str:
    """Where to put a probe, and what it reads when the bake is done."""
    assert probe.up.value is not None
    assert probe.reads.value is not None
    high = f"about {short_length(probe.up.value)} above the base"
    if probe.place == "beside the filling" and (probe.across.value or 0.0) >= NEAR:
        assert probe.across.value is not None
        high = f"about {short_length(probe.across.value)} from the middle and {high[6:]}"
    reads = temperature(probe.reads.value)
    said = f"Put the probe {probe.place}, {high}: it reads {reads} when done."
    if probe.place == "in the middle" or probe.middle.value is None:
        return said
    middle = temperature(probe.middle.value)
    if middle == reads:
        return said
    return f"{said} In the middle of the piece it would read {middle}: that is filling, not dough."


def cut_caption(row: BakeRow) -> str:
    """What stands under the picture of the cut."""
    filled = ", the dashed line goes around the filling" if row.filling is not None else ""
    return f"Dotted is crust{filled}, the ring is the tip of the probe."


def sizes_sentence(sheet: BakeSheet) -> str:
    """How large pieces of other weights are, at the formula's proportions; empty for one size."""
    rows = {row.pieces: row for row in sheet.rows}
    if len(rows) < 2:
        return ""
    return f"Sizes keep the formula's proportions: {'; '.join(map(_size, rows.values()))}."


def _size(row: BakeRow) -> str:
    assert row.piece.value is not None
    assert row.width.value is not None
    assert row.length.value is not None
    assert row.height.value is not None
    across = length(row.width.value)
    if row.length.value > 1.02 * row.width.value:
        across = f"{length(row.length.value)} × {across}"
    return f"{mass(row.piece.value)} is {across} wide and {length(row.height.value)} high"


def heat_words(row: BakeRow) -> str:
    """What heat the oven gives to a piece, and to a kilogram; empty where it is not known."""
    if row.heat.value is None or not row.loaded.value:
        return ""
    piece, kilogram = row.heat.value, row.heat.value / row.loaded.value
    return f"about {_kilojoules(piece)} a piece, {_kilojoules(kilogram)} for each kg"


def _kilojoules(joules: float) -> str:
    """Kilojoules to two digits: an estimate."""
    return f"{float(f'{joules / 1000:.2g}'):.0f} kJ"


def oven_words(row: BakeRow) -> str:
    """The dial, and what it is turned to later."""
    return oven(row.oven) if row.then is None else f"{oven(row.oven)}, then {oven(row.then)}"


def row_name(row: BakeRow, *, altitude: bool = False) -> str:
    """What tells one bake from another: pieces, oven and, where asked for, altitude."""
    assert row.piece.value is not None
    parts = [f"{row.pieces} × {mass(row.piece.value)}", oven_words(row)]
    if row.cold_start:
        parts.append("from cold")
    if altitude and row.altitude.value is not None:
        parts.append(f"at {height(row.altitude.value)}")
    return ", ".join(parts)


def last_sign(row: BakeRow) -> str:
    """The sign that comes last, in a word or two."""
    return "not done" if row.binding is None else criterion_name(row.binding)


def altitudes_differ(sheet: BakeSheet) -> bool:
    """Whether the rows of a sheet are baked at more than one altitude."""
    return len({row.altitude.value for row in sheet.rows}) > 1


def loss_words(row: BakeRow) -> str:
    """Of what the water is lost; of a filled piece, how much of its dough that is."""
    if row.filling is None:
        return "of it lost in the oven"
    return f"of the filled piece lost in the oven, {loss_band(row.dough_loss)} of its dough"


def wanted_sentence(wanted: WantedWeight) -> str:
    """How much dough to scale for a piece that is to weigh so much when it is baked."""
    assert wanted.baked.value is not None
    baked = mass(wanted.baked.value)
    if wanted.row.lasts.value is None:
        return f"A piece of {baked} is never done in this oven, by the model."
    said = f"For a piece of {baked} when baked ({oven_words(wanted.row)}), scale "
    said += f"{weight_band(wanted.scaled)} of dough"
    row = wanted.row
    if row.filling is None or row.loaded.value is None or row.piece.value is None:
        return f"{said}."
    return f"{said} and about {mass(row.loaded.value - row.piece.value)} of filling."
