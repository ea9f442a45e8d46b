"""Where a card's numbers hold: the kitchen it was tested in, and what changes in another."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.documents.formula import FERMENTING, FormulaDocument, Step
from doughwright.documents.names import numbered
from doughwright.engine.oven import OvenKind
from doughwright.engine.weighing import Scale
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import (
    TESTABLE,
    Kitchen,
    OvenSite,
    default,
    tested_kitchen,
    with_changes,
)
from doughwright.resolving.oven_courses import oven_kind
from doughwright.resolving.process import TimedStep
from doughwright.resolving.rises import settled
from doughwright.resolving.settling import Settled
from doughwright.sheets.bench_plan import BenchPlan
from doughwright.sheets.cells import Cell
from doughwright.sheets.kitchens import MixInKitchen, MixRow, WaitRow
from doughwright.sheets.mixing import MixSheet, mix_sheet
from doughwright.sheets.timeline import lasting_cell
from doughwright.units import ICE_POINT, Kelvin, KelvinDifference, Metre

ROOMS: tuple[Kelvin, ...] = (ICE_POINT + 18.0, ICE_POINT + 22.0, ICE_POINT + 27.0)
"""A cool, an ordinary and a warm kitchen."""

HIGH_UP: Metre = 1500.0
"""The kitchen in the hills that a card speaks of (assumption)."""

SAME_ROOM: KelvinDifference = 1.0
"""Rooms no further apart are one column."""

CARD_SCALE = Scale(reads=0.001, fine=0.0001)
"""Grams, and tenths of a gram where a gram would be too coarse: a reader's scale is not known."""

OTHER_WAY: Mapping[str, str] = {"hand": "stand mixer"}
"""The way of mixing that a reader may have instead; of every machine, by hand."""


@dataclass(frozen=True, slots=True)
class Place:
    """One kitchen of the table; ``tested`` marks the card's own."""

    room: Cell
    altitude: Cell
    tested: bool


@dataclass(frozen=True, slots=True)
class OtherWay:
    """The dough mixed in another way in the card's own kitchen."""

    preparation: str
    way: str
    mix: MixInKitchen


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """What other kitchens change; every tuple within ``waits`` has one entry per place.

    ``mixes`` likewise; ``ways`` are doughs mixed by hand for by machine, or the other way.
    ``notices`` are what is to be taken care of in one of them, each told once.
    """

    places: tuple[Place, ...]
    waits: tuple[WaitRow, ...]
    mixes: tuple[MixRow, ...]
    ways: tuple[OtherWay, ...]
    notices: tuple[Notice, ...] = ()


def published_kitchen(document: FormulaDocument, kitchen: Kitchen) -> Kitchen:
    """The kitchen a card is written for: where the formula was tested, with a reader's tools.

    Where the formula does not say, the kitchen at hand stands for it. The oven is of the kind
    that the formula's settings are for, and its dial tells the truth.
    """
    tested = document.tested_in
    place = tested_kitchen(kitchen, tested)
    oven = OvenSite(_kind(document, kitchen), None, default("oven_heats_in"), None, None)
    unsaid = {name for name in TESTABLE if tested is not None and getattr(tested, name) is None}
    assumed = place.assumed | unsaid  # it was not seen there, whatever the kitchen at hand says
    return replace(place, oven=oven, scale=CARD_SCALE, name=kitchen.name, assumed=assumed)


def _kind(document: FormulaDocument, kitchen: Kitchen) -> OvenKind:
    bakes = [step for step in document.process if step.verb == "bake"]
    return oven_kind(document, bakes[0].oven) if bakes else kitchen.oven.kind


def elsewhere(
    formula: ResolvedFormula,
    own: ResolvedFormula,
    place: Kitchen,
    plan: BenchPlan,
    rooms: Sequence[Kelvin] = ROOMS,
) -> Elsewhere:
    """The rises and mixes of a formula in other rooms, high up, and mixed in another way."""
    kitchens = [place, *_others(place, rooms)]
    ordered = sorted(kitchens, key=lambda k: (k.altitude > place.altitude, k.room))
    found = [settled(formula, own, kitchen) for kitchen in ordered]
    way = _other_way(formula, own, place, plan)
    others = [here for here, kitchen in zip(found, ordered, strict=True) if kitchen is not place]
    told = [*others, way[1]] if way is not None else others
    mixes = [mix for here in told for mix in here.mixed.values()]
    return Elsewhere(
        places=tuple(_place(kitchen, place) for kitchen in ordered),
        waits=_waits(found),
        mixes=tuple(_mixes(formula, ordered, found)),
        ways=tuple(_ways(formula, place, *way)) if way is not None else (),
        notices=tuple(_each_once(notice for mix in mixes for notice in mix.notices)),
    )


def _each_once(notices: Iterable[Notice]) -> Iterable[Notice]:
    """Notices graver than a note, each kind once, with its largest figures."""
    kinds: dict[str, Notice] = {}
    for notice in notices:
        known = kinds.get(notice.code)
        if notice.weight != "note" and (known is None or _figures(notice) > _figures(known)):
            kinds[notice.code] = notice
    return kinds.values()


def _figures(notice: Notice) -> tuple[float, ...]:
    return tuple(value for value in notice.values.values() if isinstance(value, float))


def _others(place: Kitchen, rooms: Sequence[Kelvin]) -> Iterable[Kitchen]:
    """The other rooms but for the one that the card's own stands for, and its room high up."""
    own = _stood_for(place.room, rooms)
    away = place.flour - place.room  # flour lies warmer or colder than the room everywhere alike
    for room in rooms:
        if room != own:
            yield with_changes(place, room=room, flour=room + away)
    if place.altitude < HIGH_UP / 2:
        yield with_changes(place, altitude=HIGH_UP)


def _stood_for(own: Kelvin, rooms: Sequence[Kelvin]) -> Kelvin:
    """The room of the table nearest to the card's own; the ends are kept where it is between."""
    between = [room for room in rooms if min(rooms) < room < max(rooms)]
    inside = min(rooms) + SAME_ROOM < own < max(rooms) - SAME_ROOM
    return min(between if between and inside else rooms, key=lambda room: abs(room - own))


def _place(kitchen: Kitchen, tested: Kitchen) -> Place:
    room = "assumed" if "room" in kitchen.assumed else "stated"
    return Place(
        room=Cell(kitchen.room, "K", room),  # type: ignore[arg-type]  # two of its words
        altitude=Cell(kitchen.altitude, "m", "stated"),
        tested=kitchen is tested,
    )


def _waits(found: Sequence[Settled]) -> tuple[WaitRow, ...]:
    """The rises that take longer in one of the kitchens than in another."""
    first = next(iter(found))
    rising = [t for t in first.steps if t.step.verb in FERMENTING and _in_the_room(t.step)]
    labels = numbered([f"{t.step.verb} {t.step.of}" for t in rising])
    rows = (
        WaitRow(t.position, label, tuple(_time(t, each) for each in found))
        for t, label in zip(rising, labels, strict=True)
    )
    return tuple(row for row in rows if len({cell.value for cell in row.times}) > 1)


def _in_the_room(step: Step) -> bool:
    return step.verb != "retard" and step.at in {None, "room"}


def _time(timed: TimedStep, found: Settled) -> Cell:
    return next(lasting_cell(t.lasts) for t in found.steps if t.position == timed.position)


def _mixes(
    formula: ResolvedFormula, kitchens: Sequence[Kitchen], found: Sequence[Settled]
) -> Iterable[MixRow]:
    """The mixes whose warmth is aimed at, in each kitchen."""
    for p in formula.solution.preparations:
        mixes = [here.mixed.get(p.name) for here in found]
        if p.preparation.kind == "soaker" or any(mix is None or mix.aim is None for mix in mixes):
            continue
        sheets = (
            mix_sheet(p, kitchen, mix)
            for kitchen, mix in zip(kitchens, mixes, strict=True)
            if mix is not None
        )
        yield MixRow(p.name, tuple(map(_in_kitchen, sheets)))


def _in_kitchen(mix: MixSheet) -> MixInKitchen:
    return MixInKitchen(mix.aim, mix.temperature, mix.levers)


def _other_way(
    formula: ResolvedFormula, own: ResolvedFormula, place: Kitchen, plan: BenchPlan
) -> tuple[str, Settled] | None:
    """The final dough mixed by machine where it is by hand, by hand where it is by machine."""
    final = formula.solution.final
    mixed = next((p.mix for p in plan.preparations if p.name == final), None)
    if mixed is None or mixed.aim is None:
        return None
    way = OTHER_WAY.get(mixed.way, "hand")
    return way, settled(_mixed_by(formula, final, way), _mixed_by(own, final, way), place)


def _ways(formula: ResolvedFormula, place: Kitchen, way: str, found: Settled) -> Iterable[OtherWay]:
    final = formula.solution.final
    mix = found.mixed.get(final)
    if mix is not None:
        mixed = mix_sheet(formula.solution.named(final), place, mix)
        yield OtherWay(final, way, _in_kitchen(mixed))


def _mixed_by(formula: ResolvedFormula, name: str, way: str) -> ResolvedFormula:
    document = formula.document
    steps = [
        _by(step, way) if (step.verb, step.of) == ("mix", name) else step
        for step in document.process
    ]
    return replace(formula, document=document.model_copy(update={"process": steps}))


def _by(step: Step, way: str) -> Step:
    return step.model_copy(update={"by": way})
