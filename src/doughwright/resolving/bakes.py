"""The bake of a formula in a kitchen: the baker's own time moved, or the model's alone."""

from dataclasses import dataclass, replace

from doughwright.documents.formula import FormulaDocument, TestedIn
from doughwright.engine.bake_fields import Probe, Seen, probe_place, seen_at
from doughwright.engine.baking import BakeRun, bake_runs, card_notices
from doughwright.engine.doneness import (
    Bake,
    BakeTimes,
    OvenAnchor,
    anchored_oven,
    bake_times,
    core_goal,
    goals_at_altitude,
)
from doughwright.engine.kitchens import Band
from doughwright.engine.oven import oven_cavity, preheating_time
from doughwright.engine.oven_piece import (
    BakingDough,
    Goals,
    Member,
    OvenCourse,
    OvenPiece,
    resized,
)
from doughwright.engine.pieces import baking_constant
from doughwright.engine.water import boiling_point
from doughwright.errors import DocumentError, ImpossibleInput, Notice
from doughwright.resolving.filling_paths import filling_at_oven
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen, tested_kitchen
from doughwright.resolving.oven_courses import (
    Course,
    Dial,
    Program,
    course_here,
    kind_said,
    program_of,
    tested_course,
)
from doughwright.resolving.oven_pieces import LoadedPiece, loaded_piece
from doughwright.resolving.process import Lasting
from doughwright.resolving.settling import Settled
from doughwright.units import Kelvin, KelvinDifference, Kilogram, Metre, Ratio, Second

LEAST_MOVED: KelvinDifference = 0.5
"""Where the core to wait for moves less than this, altitude is not spoken of."""

USUAL_OVEN: Kelvin = 453.15

DRY: KelvinDifference = 5.0
"""Above boiling by more than this, the coldest dough is no crumb any more (assumption)."""

ROUNDS = 3
"""Steps to the dough that bakes to a wished weight; loss hardly changes from one to the next."""

LONG_BEFORE: Ratio = 0.8
"""Inside done before this share of the time: the rest only browns and dries (assumption)."""

NOTICEABLY_PALER = 0.9
"""A colour below this share of the baker's own is told apart (assumption)."""

LEAST_CORE_SET: Kelvin = 358.15
"""A core asked for below 85 °C leaves most crumbs unset (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class BakeSetting:
    """What stays the same however a bake is varied: program, piece, and what the log says."""

    formula: ResolvedFormula
    kitchen: Kitchen
    position: int
    program: Program
    loaded: LoadedPiece
    pieces: int
    anchor: OvenAnchor | None
    notices: tuple[Notice, ...]


@dataclass(frozen=True, slots=True)
class BakeHere:
    """One bake: the piece, the oven, when it is done and what is seen then.

    ``seen`` is at the end by the best estimate, None where a goal is never reached;
    ``probe`` is where the coldest dough is, ``end`` the bake up to that moment.
    """

    setting: BakeSetting
    piece: OvenPiece
    pieces: int
    kitchen: Kitchen
    course: Course
    goals: Goals
    times: BakeTimes
    seen: Seen | None
    probe: Probe | None
    end: BakeRun | None
    cold: bool
    notices: tuple[Notice, ...] = ()

    @property
    def core_stated(self) -> bool:
        """Whether the formula says how warm the core is to be."""
        return self.setting.program.core is not None


@dataclass(frozen=True, slots=True)
class BakeChange:
    """What is varied: how many pieces the same dough makes, the dial, a cold start."""

    pieces: int | None = None
    dial: Dial | None = None
    cold: bool = False


def bake_position(document: FormulaDocument, final: str) -> int | None:
    """The first step that bakes the dough in an oven that is named."""
    return next(
        (
            i
            for i, s in enumerate(document.process)
            if s.verb == "bake" and s.of == final and s.oven
        ),
        None,
    )


def bake_setting(
    formula: ResolvedFormula, own: ResolvedFormula, kitchen: Kitchen, settled: Settled
) -> BakeSetting | None:
    """What a formula's bake is, and what the baker's own time says of an oven.

    ``own`` is the formula at the document's own size, in which its time was noted. None when
    nothing is baked in an oven of a known temperature.
    """
    position = bake_position(formula.document, formula.solution.final)
    if position is None or not _divided(formula):
        return None
    try:
        return _setting(formula, own, kitchen, settled, position)
    except ImpossibleInput as error:
        placed = [n if n.where else replace(n, where=("process", position)) for n in error.problems]
        raise DocumentError(placed) from None


def _divided(formula: ResolvedFormula) -> bool:
    """Whether it is known what one piece weighs: a form without pieces says nothing."""
    makes = formula.document.makes
    one = makes is not None and makes.tin is not None
    return formula.solution.pieces is not None or one or not _shaped(formula.document)


def _shaped(document: FormulaDocument) -> bool:
    return any(step.form is not None for step in document.process)


def _setting(
    formula: ResolvedFormula,
    own: ResolvedFormula,
    kitchen: Kitchen,
    settled: Settled,
    position: int,
) -> BakeSetting:
    program = program_of(formula.document, position)
    loaded = loaded_piece(
        *(formula, settled.loaded or kitchen.room, position),
        filling_at=filling_at_oven(formula, kitchen, settled, position),
        on_stone=program.hot_stone,
    )
    card_notices(loaded.piece, OvenCourse("fan", USUAL_OVEN))  # refuse what no oven changes
    found = _anchor(own, kitchen, settled, position)
    told = found.notices if found is not None else ()
    notices = (
        *loaded.notices,
        *_core_notices(program),
        *_altitude_notices(own, kitchen),
        *(Notice(n.code, ("process", position), n.values) for n in told),
    )
    if any(n.weight != "note" for n in told):  # a time that cannot be is not moved
        found = None
    notices += _kind_notices(formula.document, position)
    pieces = formula.solution.pieces or 1
    return BakeSetting(formula, kitchen, position, program, loaded, pieces, found, notices)


def _anchor(
    own: ResolvedFormula, kitchen: Kitchen, settled: Settled, position: int
) -> OvenAnchor | None:
    program = program_of(own.document, position)
    if program.noted is None:
        return None
    there = tested_kitchen(kitchen, own.document.tested_in or TestedIn())
    went = settled.there or settled
    loaded = loaded_piece(
        *(own, went.loaded or there.room, position),
        filling_at=filling_at_oven(own, there, went, position),
        on_stone=program.hot_stone,
    )
    course = tested_course(program, there, loaded.piece, own.solution.pieces or 1)
    bake = _waited_for(Bake(loaded.piece, course.oven, _goals(program, loaded)), program)
    return anchored_oven(bake, Band(*program.noted), core_seen=program.core is not None)


def _goals(program: Program, loaded: LoadedPiece) -> Goals:
    """Crumb set, the core asked for or usual, a filling that can spoil hot, and gold."""
    return Goals(
        set_share=baking_constant("set_share"),
        core=wanted_core(program, loaded.piece.dough),
        filling=baking_constant("filling_hot") if loaded.perishable else None,
        colour=baking_constant("colour_gold"),
    )


def _waited_for(bake: Bake, program: Program) -> Bake:
    """The bake with goals that the air pressure allows."""
    wanted = wanted_core(program, bake.piece.dough)
    if core_goal(wanted, boiling_point(bake.oven.pressure)) > wanted - LEAST_MOVED:
        return bake
    return replace(bake, goals=goals_at_altitude(bake, wanted))


def wanted_core(program: Program, dough: BakingDough) -> Kelvin:
    """The core asked for, else the usual one of the kind of dough."""
    if program.core is not None:
        return program.core.best
    kind = "rye" if dough.rye else "enriched" if dough.enriched else "lean"
    return baking_constant(f"core_{kind}")


HIGH: Metre = 500.0
"""From here on a kitchen's altitude tells on rise and bake (boiling 1.7 K lower)."""


def _altitude_notices(own: ResolvedFormula, kitchen: Kitchen) -> tuple[Notice, ...]:
    """That a formula does not say at what altitude it was tested, where that matters."""
    tested = own.document.tested_in
    said = tested is not None and tested.altitude is not None
    if said or kitchen.altitude < HIGH:
        return ()
    where = ("tested in",) if tested is not None else ()
    return (Notice.of("tested-altitude-assumed", *where, altitude=kitchen.altitude),)


def _kind_notices(document: FormulaDocument, position: int) -> tuple[Notice, ...]:
    """That a formula does not say for which kind of oven its setting is."""
    setting = document.process[position].oven
    if setting is None or kind_said(document, setting) is not None:
        return ()
    return (Notice.of("oven-kind-assumed", "process", position, read=setting.text),)


def _core_notices(program: Program) -> tuple[Notice, ...]:
    if program.core is None or program.core.best >= LEAST_CORE_SET:
        return ()
    where = ("process", program.steps[-1])
    return (Notice.of("core-low", *where, core=program.core.best),)


def bake_here(setting: BakeSetting, change: BakeChange | None = None) -> BakeHere:
    """Bake the formula's piece in its kitchen, as it is or with something varied."""
    change = change or BakeChange()
    pieces = change.pieces or setting.pieces
    piece = resized(setting.loaded.piece, setting.pieces / pieces)
    return _bake(setting, piece, pieces, change)


def _bake(setting: BakeSetting, piece: OvenPiece, pieces: int, change: BakeChange) -> BakeHere:
    kitchen, program, anchor = setting.kitchen, setting.program, setting.anchor
    course = course_here(program, kitchen, piece, pieces, change.dial, cold=change.cold)
    member = anchor.tested.member if anchor is not None else Member()
    bake = _waited_for(Bake(piece, course.oven, _goals(program, setting.loaded), member), program)
    times = bake_times(bake, anchor, air_spread(kitchen), course.give)
    at = times.time.best if times.time is not None else None
    here = BakeHere(
        setting=setting,
        piece=piece,
        pieces=pieces,
        kitchen=kitchen,
        course=course,
        goals=bake.goals,
        times=times,
        seen=seen_at(times.run, at) if at is not None else None,
        probe=probe_place(times.run, _inside(times, at)) if at is not None else None,
        end=bake_runs(piece, course.oven, Goals(), [member], duration=at)
        if at is not None
        else None,
        cold=change.cold,
    )
    return replace(here, notices=_notices(here))


def _inside(times: BakeTimes, at: Second) -> Second:
    """When the inside is done: from then on the coldest place is no longer told by its heat."""
    return min(at, _done_inside(times) or at)


def _done_inside(times: BakeTimes) -> Second | None:
    signs = [t for name, t in times.doneness.times.items() if name != "colour"]
    known = [t for t in signs if t is not None]
    return max(known) if known and len(known) == len(signs) else None


def air_spread(kitchen: Kitchen) -> KelvinDifference:
    """How far the air of an oven may be from what is believed, a standard deviation."""
    known = kitchen.oven.reads is not None
    return baking_constant("air_spread_read" if known else "air_spread")


def _notices(here: BakeHere) -> tuple[Notice, ...]:
    """What is to be said of this one bake; the setting's own notices stand there."""
    where = ("process", here.setting.position)
    found = [Notice(n.code, where, n.values) for n in here.course.notices]
    found += [Notice(n.code, where, n.values) for n in here.times.run.notices]
    if here.times.doneness.at is None:
        never = [name for name, at in here.times.doneness.times.items() if at is None]
        found.append(Notice.of("bake-never-done", *where, what=", ".join(never)))
    if here.seen is not None and here.seen.coldest > boiling_point(here.course.oven.pressure) + DRY:
        found.append(Notice.of("bake-dried", *where, core=here.seen.coldest))
    wanted, instead = wanted_core(here.setting.program, here.piece.dough), here.goals.core
    if instead is not None and instead < wanted - LEAST_MOVED:
        boiling = boiling_point(here.course.oven.pressure)
        values = {"wanted": wanted, "instead": instead, "boiling": boiling}
        found.append(Notice.of("core-moved", *where, **values))
    return (*found, *_colour_notices(here, where))


def _colour_notices(here: BakeHere, where: tuple[str | int, ...]) -> tuple[Notice, ...]:
    own, seen = here.times.own_colour, here.seen
    inside, at = _done_inside(here.times), here.times.doneness.at
    if here.times.doneness.binding == "colour" and inside and at and inside < LONG_BEFORE * at:
        return (Notice.of("bake-colour-late", *where, inside=inside),)
    if not own or seen is None:
        return ()
    share = seen.colour / own
    if share < NOTICEABLY_PALER:
        return (Notice.of("bake-paler", *where, share=1.0 - share),)
    if share > 1.0 / NOTICEABLY_PALER**2:
        return (Notice.of("bake-darker", *where, share=share - 1.0),)
    return ()


def piece_for(setting: BakeSetting, baked: Kilogram, change: BakeChange) -> BakeHere:
    """The bake whose pieces weigh so much when they are done; proportions stay."""
    piece = setting.loaded.piece
    here = _bake(setting, piece, setting.pieces, change)
    for _ in range(ROUNDS):
        if here.seen is None:
            return here
        piece = resized(piece, baked / here.seen.baked_mass)
        here = _bake(setting, piece, setting.pieces, change)
    return here


def with_bake(settled: Settled, here: BakeHere | None) -> Settled:
    """A settled formula with the bake's time in place of the one noted.

    Of a bake in two steps the first is by the clock and the second takes the rest. A preheat
    takes as long as this oven needs to its dial.
    """
    if here is None:
        return settled
    lasting = _baking(here) | _heating(settled, here)
    steps = tuple(
        replace(t, lasts=lasting[t.position]) if t.position in lasting else t for t in settled.steps
    )
    return replace(settled, steps=steps)


def _baking(here: BakeHere) -> dict[int, Lasting]:
    """How long each step of the bake takes."""
    band, program = here.times.time, here.setting.program
    if band is None:
        return {}
    high = band.high if band.high is not None else band.best
    if len(program.steps) == 1:
        return {program.steps[0]: Lasting(band.low, band.best, high, here.times.kind)}
    first = min(program.change_at, band.low)
    rest = Lasting(band.low - first, band.best - first, high - first, here.times.kind)
    return {program.steps[0]: Lasting(first, first, first, "stated"), program.steps[1]: rest}


def _heating(settled: Settled, here: BakeHere) -> dict[int, Lasting]:
    """How long the oven heats, where the formula does not say."""
    site = here.kitchen.oven
    try:
        cavity = oven_cavity(site.heats_in, site.power)
        heats = preheating_time(cavity, here.kitchen.room, here.course.oven.first)
    except ImpossibleInput:  # too weak by its power: what is noted is what is known
        return {}
    lasts = Lasting(heats, heats, heats, "usual")
    return {
        t.position: lasts
        for t in settled.steps
        if t.step.verb == "preheat" and t.step.lasts is None and t.step.took is None
    }
