"""What an oven does for a bake: which dials, how hot the air, how many loads."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from doughwright.documents.formula import FormulaDocument, Step
from doughwright.documents.quantities import Quantity
from doughwright.documents.scalars import OvenSetting
from doughwright.engine.oven import (
    FanRule,
    OvenKind,
    Setting,
    air_pressure,
    air_temperature,
    dial_for,
    door_loss,
    equivalent_setting,
    gas_mark_nearest,
    oven_cavity,
    preheating_time,
    temperature_of_gas_mark,
)
from doughwright.engine.oven_piece import OvenCourse, OvenPiece
from doughwright.errors import Notice
from doughwright.resolving.kitchens import Kitchen
from doughwright.units import Kelvin, KelvinDifference, Metre, Ratio, Second

APART: Metre = 0.02
"""Room left between pieces on a tray (common practice, no source)."""

TURNED_DOWN: Ratio = 1 / 3
"""When the oven is turned down, over the time noted, if the formula does not say (assumption)."""

TURNED_DOWN_AFTER: Second = 900.0
"""The same where no time was noted."""

COOLING_LAG: Second = 600.0
"""In which an oven turned down comes down, its door shut (assumption)."""

USUAL_TRAY: tuple[Metre, Metre] = (0.40, 0.35)

HOT_METAL = ("tray", "sheet", "pan", "iron")
HOT_STONE = ("stone", "steel")
"""What a preheat step may name besides the oven: the pieces are put on it hot."""


@dataclass(frozen=True, slots=True)
class Dial:
    """What an oven is set to: a temperature or a gas mark, in an oven of a kind.

    ``rule`` is that of the units it is written in: 20 °C or 25 °F between fan and not.
    """

    kind: OvenKind
    temperature: Kelvin
    mark: str = ""
    rule: FanRule = "celsius"


@dataclass(frozen=True, slots=True)
class Program:
    """A bake as a formula writes it, in one step or in two that follow each other.

    ``steps`` are the positions it takes; the oven is set to ``second`` after ``change_at``,
    which is told (by the first of two steps) or ``assumed``.
    """

    steps: tuple[int, ...]
    first: Dial
    second: Dial | None
    change_at: Second
    assumed: bool
    steam: bool
    core: Quantity | None
    noted: tuple[Second, Second, Second] | None
    hot_metal: bool
    hot_stone: bool


@dataclass(frozen=True, slots=True)
class Load:
    """How pieces go in: so many on a tray, on so many trays at once, in so many loads.

    ``fits`` says whether a piece lies on a tray at all.
    """

    per_tray: int
    trays: int
    loads: int
    fits: bool = True


@dataclass(frozen=True, slots=True)
class Course:
    """An oven's course with the dials that give it, and what is to be said of it.

    ``written`` is the formula's own setting; ``give`` how far a setting of another kind of
    oven may be from baking alike, a standard deviation.
    """

    oven: OvenCourse
    dial: Dial
    then: Dial | None
    written: Dial
    load: Load
    give: KelvinDifference = 0.0
    notices: tuple[Notice, ...] = ()


NO_KIND: OvenKind = "conventional"
"""What a setting is for that does not say its kind: an oven without a fan, whoever reads it."""


def dial_of(setting: OvenSetting, kind: OvenKind = NO_KIND) -> Dial:
    """A setting as written; ``kind`` is the oven's where it does not say."""
    if setting.temperature is None:
        return Dial("gas", temperature_of_gas_mark(setting.mark), setting.mark)
    rule: FanRule = "fahrenheit" if "F" in setting.temperature.text.upper() else "celsius"
    return Dial(setting.kind or kind, setting.temperature.best, "", rule)


def kind_said(document: FormulaDocument, setting: OvenSetting | None) -> OvenKind | None:
    """The kind of oven a setting is for, as it says or the kitchen it was tested in had."""
    if setting is not None and setting.kind is not None:
        return setting.kind
    tested: OvenKind | None = document.tested_in.oven if document.tested_in is not None else None
    return tested


def oven_kind(document: FormulaDocument, setting: OvenSetting | None) -> OvenKind:
    """The kind of oven a formula's setting is for; the same for every kitchen and sheet."""
    return kind_said(document, setting) or NO_KIND


def program_of(document: FormulaDocument, position: int) -> Program:
    """The bake that begins with a step; a bake of the same dough right after it belongs to it."""
    process = document.process
    step = process[position]
    assert step.oven is not None
    kind = oven_kind(document, step.oven)
    after = process[position + 1] if position + 1 < len(process) else None
    next_one = after if _goes_on(step, after) else None
    change, assumed = _change(step, next_one)
    later = next_one.oven if next_one is not None else step.then
    heated = _heated(document)
    return Program(
        steps=(position,) if next_one is None else (position, position + 1),
        first=dial_of(step.oven, kind),
        second=dial_of(later, kind) if later is not None else None,
        change_at=change,
        assumed=assumed and later is not None,
        steam=bool(step.steam),
        core=(next_one.core if next_one is not None else None) or step.core,
        noted=_noted(step, next_one),
        hot_metal=any(word in heated for word in HOT_METAL),
        hot_stone=any(word in heated for word in HOT_STONE),
    )


def _goes_on(step: Step, after: Step | None) -> bool:
    """Whether the next step is the same bake gone on with: its first part is by the clock."""
    same = after is not None and after.verb == "bake" and after.of == step.of
    return same and after is not None and after.oven is not None and noted_time(step) is not None


def noted_time(step: Step) -> Quantity | None:
    """How long the formula says a bake step takes."""
    return step.took if step.took is not None else step.lasts


def _change(step: Step, after: Step | None) -> tuple[Second, bool]:
    """When the oven is set anew, and whether that is only assumed."""
    noted = noted_time(step)
    if after is not None and noted is not None:
        return noted.best, False
    return (noted.best * TURNED_DOWN if noted is not None else TURNED_DOWN_AFTER), True


def _noted(step: Step, after: Step | None) -> tuple[Second, Second, Second] | None:
    """The time of the whole bake, all its steps together."""
    times = [noted_time(step)] if after is None else [noted_time(step), noted_time(after)]
    known = [time for time in times if time is not None]
    if len(known) < len(times):
        return None
    return (
        sum(time.low for time in known),
        sum(time.best for time in known),
        sum(time.high for time in known),
    )


def _heated(document: FormulaDocument) -> set[str]:
    """The words of what is heated before the bake."""
    steps = (step for step in document.process if step.verb == "preheat")
    return {word for step in steps for word in step.of.casefold().split()}


def tested_course(program: Program, kitchen: Kitchen, piece: OvenPiece, pieces: int) -> Course:
    """The course of the oven in which the formula's times were noted: its air is its dial."""
    load = load_of(piece, pieces, None)
    second = program.second.temperature if program.second is not None else None
    oven = _course(program, program.first, program.first.temperature, second, kitchen, load)
    return Course(oven, program.first, program.second, program.first, load)


def course_here(
    program: Program,
    kitchen: Kitchen,
    piece: OvenPiece,
    pieces: int,
    asked: Dial | None = None,
    *,
    cold: bool = False,
) -> Course:
    """The course of this kitchen's oven: the formula's settings in its kind of oven.

    Where its dial reads wrong, it is set so that the air is right. ``asked`` is another
    dial: what it shows is kept, and a second setting stays as far from it as in the formula.
    """
    kind = asked.kind if asked is not None else kitchen.oven.kind
    reads = (kitchen.oven.reads or 0.0) if kind == kitchen.oven.kind else 0.0
    brought = _brought(program.first, kind, reads)
    dial = asked if asked is not None else brought
    then = None
    if program.second is not None:
        lower = _brought(program.second, kind, reads).temperature - brought.temperature
        then = _dial(kind, dial.temperature + lower)
    load = load_of(piece, pieces, kitchen)
    first = air_temperature(dial.temperature, reads)
    second = air_temperature(then.temperature, reads) if then is not None else None
    oven = _course(program, dial, first, second, kitchen, load, cold=cold)
    give = 0.0 if asked is not None else _alike(program.first, kind).give
    notices = tuple(_notices(program, load, pieces))
    return Course(oven, dial, then, program.first, load, give, notices)


def _alike(dial: Dial, kind: OvenKind) -> Setting:
    return equivalent_setting(dial.temperature, dial.kind, kind, dial.rule)


def _brought(dial: Dial, kind: OvenKind, reads: KelvinDifference) -> Dial:
    """A dial brought to another kind of oven, corrected for what that reads wrong."""
    if kind == dial.kind == "gas" and not reads:
        return dial
    alike = _alike(dial, "conventional" if kind == "gas" else kind)
    return _dial(kind, dial_for(alike.temperature, reads))


def _dial(kind: OvenKind, temperature: Kelvin) -> Dial:
    """A dial at a temperature: of a gas oven, the nearest mark."""
    if kind != "gas":
        return Dial(kind, temperature)
    mark = gas_mark_nearest(temperature)
    return Dial(kind, temperature_of_gas_mark(mark), mark)


def _course(
    program: Program,
    dial: Dial,
    first: Kelvin,
    second: Kelvin | None,
    kitchen: Kitchen,
    load: Load,
    *,
    cold: bool = False,
) -> OvenCourse:
    door = door_loss(load.trays)
    return OvenCourse(
        kind=dial.kind,
        first=first,
        second=second,
        change_at=program.change_at if second is not None else math.inf,
        change_lag=COOLING_LAG,
        drop=door.drop if not cold else 0.0,
        recovery=door.recovery,
        cold_lag=_cold_lag(kitchen, first) if cold else 0.0,
        steam=program.steam,
        pressure=air_pressure(kitchen.altitude),
        room=kitchen.room,
        preheated_metal=(program.hot_metal or program.hot_stone) and not cold,
    )


def _cold_lag(kitchen: Kitchen, setting: Kelvin) -> Second:
    """In which an oven that was not heated comes up: half its heating time has the same area."""
    cavity = oven_cavity(kitchen.oven.heats_in, kitchen.oven.power)
    return preheating_time(cavity, kitchen.room, setting) / 2.0


def load_of(piece: OvenPiece, pieces: int, kitchen: Kitchen | None) -> Load:
    """How pieces go onto the trays of an oven (a usual one without a kitchen)."""
    site = kitchen.oven if kitchen is not None else None
    length, width = (site.tray if site is not None else None) or USUAL_TRAY
    along, across = piece.shape.length, piece.shape.width
    apart = APART if piece.support != "tin" else APART / 2
    ways = (
        _rows(length, along, apart) * _rows(width, across, apart),
        _rows(length, across, apart) * _rows(width, along, apart),
    )
    per_tray = max(1, *ways)
    needed = math.ceil(pieces / per_tray)
    most = (site.trays if site is not None else None) or needed
    return Load(per_tray, min(needed, most), math.ceil(needed / most), max(ways) > 0)


def _rows(side: Metre, piece: Metre, apart: Metre) -> int:
    return int((side + apart) / (piece + apart) + 1e-9)


def _notices(program: Program, load: Load, pieces: int) -> Iterator[Notice]:
    if not load.fits:
        yield Notice.of("piece-off-tray")
    if load.loads > 1:
        values = {"pieces": pieces, "per_tray": load.per_tray, "loads": load.loads}
        yield Notice.of("bake-in-loads", **values)
    if program.assumed:
        yield Notice.of("then-without-time", at=program.change_at)
