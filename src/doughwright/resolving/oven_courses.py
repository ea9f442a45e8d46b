"""What an oven does for a bake step: which dial, how hot the air, how many loads."""

import math
from dataclasses import dataclass, replace

from doughwright.documents.formula import FormulaDocument, Step
from doughwright.documents.scalars import OvenSetting
from doughwright.engine.oven import (
    OvenKind,
    air_pressure,
    air_temperature,
    dial_for,
    door_loss,
    equivalent_setting,
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

COLD_LAG: Second = 300.0
"""In which an oven heats from the room, over the way to its setting (assumption)."""

USUAL_TRAY: tuple[Metre, Metre] = (0.40, 0.35)


@dataclass(frozen=True, slots=True)
class Dial:
    """What an oven is set to: a temperature or a gas mark, in an oven of a kind."""

    kind: OvenKind
    temperature: Kelvin
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Load:
    """How pieces go in: so many on a tray, on so many trays at once, in so many loads."""

    per_tray: int
    trays: int
    loads: int


@dataclass(frozen=True, slots=True)
class Course:
    """An oven's course with the dials that give it, and what is to be said of it.

    ``written`` is the formula's own setting.
    """

    oven: OvenCourse
    dial: Dial
    then: Dial | None
    written: Dial
    load: Load
    notices: tuple[Notice, ...] = ()


def dial_of(setting: OvenSetting, kind: OvenKind) -> Dial:
    """A setting as written; ``kind`` is the oven's where it does not say."""
    if setting.temperature is None:
        return Dial("gas", temperature_of_gas_mark(setting.mark), setting.mark)
    return Dial(setting.kind or kind, setting.temperature.best)


def oven_kind(document: FormulaDocument, step: Step, kitchen: Kitchen) -> OvenKind:
    """The kind of oven a formula's settings are for."""
    if step.oven is not None and step.oven.kind is not None:
        return step.oven.kind
    tested = document.tested_in
    if tested is not None and tested.oven is not None:
        kind: OvenKind = tested.oven
        return kind
    return kitchen.oven.kind


def tested_course(
    document: FormulaDocument, step: Step, kitchen: Kitchen, piece: OvenPiece, pieces: int
) -> Course:
    """The course of the oven in which the formula's times were noted: its air is its dial."""
    assert step.oven is not None
    kind = oven_kind(document, step, kitchen)
    dial = dial_of(step.oven, kind)
    then = dial_of(step.then, kind) if step.then is not None else None
    load = load_of(piece, pieces, kitchen)
    oven = replace(
        _course(step, dial, dial.temperature, then, kitchen, load),
        preheated_metal=_hot_metal(document),
    )
    return Course(oven, dial, then, dial, load)


def course_here(
    document: FormulaDocument,
    step: Step,
    kitchen: Kitchen,
    piece: OvenPiece,
    pieces: int,
    asked: Dial | None = None,
) -> Course:
    """The course of this kitchen's oven: the formula's setting in its kind of oven.

    Where its dial reads wrong, it is set so that the air is right. ``asked`` is another
    dial: what it shows is kept.
    """
    assert step.oven is not None
    formula_dial = dial_of(step.oven, oven_kind(document, step, kitchen))
    dial = asked if asked is not None else _brought(formula_dial, kitchen)
    reads = (kitchen.oven.reads or 0.0) if dial.kind == kitchen.oven.kind else 0.0
    air = air_temperature(dial.temperature, reads)
    then = None
    if step.then is not None:
        written = dial_of(step.then, formula_dial.kind)
        lower = written.temperature - formula_dial.temperature
        then = _like(dial, dial.temperature + lower)
    load = load_of(piece, pieces, kitchen)
    oven = _course(step, dial, air, then, kitchen, load)
    return Course(
        oven,
        dial,
        then,
        formula_dial,
        load,
        tuple(_notices(step, load, pieces)),
    )


def _brought(dial: Dial, kitchen: Kitchen) -> Dial:
    """A formula's dial brought to this kitchen's oven, corrected for what it reads wrong."""
    kind = kitchen.oven.kind
    found = equivalent_setting(dial.temperature, dial.kind, kind)
    if kind == "gas":
        return Dial(kind, found.temperature, found.mark or "")
    return Dial(kind, dial_for(found.temperature, kitchen.oven.reads or 0.0))


def _like(dial: Dial, temperature: Kelvin) -> Dial:
    if dial.kind != "gas":
        return Dial(dial.kind, temperature)
    found = equivalent_setting(temperature, "gas", "gas")
    return Dial("gas", found.temperature, found.mark or "")


HOT_METAL = ("tray", "sheet", "stone", "steel", "iron", "pan")
"""What a preheat step may name besides the oven: the pieces are put on it hot."""


def _hot_metal(document: FormulaDocument) -> bool:
    """Whether a tray or stone is heated with the oven and the pieces are put onto it."""
    heated = " ".join(s.of.casefold() for s in document.process if s.verb == "preheat")
    return any(word in heated.split() for word in HOT_METAL)


def _course(
    step: Step, dial: Dial, air: Kelvin, then: Dial | None, kitchen: Kitchen, load: Load
) -> OvenCourse:
    door = door_loss(load.trays)
    noted = step.took if step.took is not None else step.lasts
    change = noted.best * TURNED_DOWN if noted is not None else TURNED_DOWN_AFTER
    return OvenCourse(
        kind=dial.kind,
        first=air,
        second=air + then.temperature - dial.temperature if then is not None else None,
        change_at=change if then is not None else math.inf,
        change_lag=COOLING_LAG,
        drop=door.drop,
        recovery=door.recovery,
        steam=bool(step.steam),
        pressure=air_pressure(kitchen.altitude),
        room=kitchen.room,
    )


def cold_drop(oven: OvenCourse) -> tuple[KelvinDifference, Second]:
    """How far below its setting an oven begins that is not heated, and how it comes up."""
    return oven.first - oven.room, COLD_LAG


def load_of(piece: OvenPiece, pieces: int, kitchen: Kitchen) -> Load:
    """How pieces go onto the trays of an oven; a tray holds at least one."""
    length, width = kitchen.oven.tray or USUAL_TRAY
    along, across = piece.shape.length, piece.shape.width
    apart = APART if piece.support != "tin" else APART / 2
    ways = (
        _rows(length, along, apart) * _rows(width, across, apart),
        _rows(length, across, apart) * _rows(width, along, apart),
    )
    per_tray = max(1, *ways)
    needed = math.ceil(pieces / per_tray)
    most = kitchen.oven.trays or needed
    return Load(per_tray, min(needed, most), math.ceil(needed / most))


def _rows(side: Metre, piece: Metre, apart: Metre) -> int:
    return int((side + apart) / (piece + apart) + 1e-9)


def _notices(step: Step, load: Load, pieces: int) -> list[Notice]:
    found = []
    if load.loads > 1:
        values = {"pieces": pieces, "per_tray": load.per_tray, "loads": load.loads}
        found.append(Notice.of("bake-in-loads", **values))
    if step.then is not None:
        found.append(Notice.of("then-without-time"))
    return found
