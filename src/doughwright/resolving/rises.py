"""How long each rise takes in a kitchen: the baker's own times moved, or the model's.

A formula that says where it was tested and how long things took fixes yeast, friction and
heat transfer (anchoring); the same dough is then followed through the kitchen at hand. A
preferment's temperature at its end feeds the mixing solve, so the two are settled together.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from doughwright.engine.anchoring import Anchor, Observation, anchor, moved_times
from doughwright.engine.batch import For, Multipliers, Relative, Stage
from doughwright.engine.kitchens import Band, Spread, StageBands, bands
from doughwright.engine.rise import StageRun, staged_rise
from doughwright.errors import ImpossibleInput, Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen, tested_kitchen
from doughwright.resolving.mixes import Mix, mixes
from doughwright.resolving.noted import (
    as_noted,
    contradictions,
    implied_observations,
    observations,
)
from doughwright.resolving.process import Lasting, TimedStep, timed_steps
from doughwright.resolving.resting import temperature_after
from doughwright.resolving.settling import Rise, Setting, Settled
from doughwright.resolving.sourdough import moved_by_temperature
from doughwright.resolving.stages import WAITING, Staged, left_out, staged
from doughwright.units import KelvinDifference, Ratio, Second

ROUNDS = 3
SAMPLES = 49
SMALLEST_RISE: Ratio = 1.03
"""Below this a stage's size says nothing about time."""


def setting(
    formula: ResolvedFormula, kitchen: Kitchen, multipliers: Multipliers | None = None
) -> Setting:
    """Settle mixes and stages: a preferment is mixed in as warm as the model leaves it."""
    steps = timed_steps(formula.document, kitchen, formula.solution.pieces)
    warmer: dict[str, KelvinDifference] = {}
    for left in reversed(range(ROUNDS)):
        mixed = mixes(formula, kitchen, steps, warmer)
        found = staged(formula.solution, kitchen, steps, mixed)
        if not left or found is None or len(found.chain) == 1:
            break
        warmer = _warmer(formula, kitchen, steps, mixed, found, multipliers)
    return Setting(steps, mixed, found)


def _warmer(
    formula: ResolvedFormula,
    kitchen: Kitchen,
    steps: Sequence[TimedStep],
    mixed: Mapping[str, Mix],
    found: Staged,
    multipliers: Multipliers | None,
) -> dict[str, KelvinDifference]:
    """By how much each leaven ends warmer than it would by cooling alone."""
    run = staged_rise(found.stages, multipliers, samples=2)
    ends = {
        step.step.of: stage.end_temperature
        for step, stage in zip(found.steps, run.stages, strict=True)
    }
    return {
        name: ends[name]
        - temperature_after(
            mixed[name].mixed,
            formula.solution.named(name).mass,
            [t for t in steps if t.step.of == name and not t.hands_on],
            kitchen.room,
        )
        for name in found.chain[:-1]
        if name in ends
    }


def settled(formula: ResolvedFormula, own: ResolvedFormula, kitchen: Kitchen) -> Settled:
    """Plan every rise of a formula in a kitchen; ``own`` is it at the document's own size.

    Times are the baker's own, moved, where the formula says how long they took and where.
    """
    document = formula.document
    found_anchor: Anchor | None = None
    tested: Setting | None = None
    seen: tuple[Observation, ...] = ()
    if document.tested_in is not None and document.tested_in.room is not None:
        tested = setting(own, tested_kitchen(kitchen, document.tested_in))
        seen = observations(tested.staged) if tested.staged is not None else ()
        found_anchor = _anchored(tested.staged, seen)
    multipliers = found_anchor.multipliers if found_anchor is not None else None
    here = setting(formula, kitchen, multipliers)
    if here.staged is None:
        return _unmodelled(formula, own, kitchen, here)
    goals = _implied_goals(tested, multipliers) if found_anchor is not None else {}
    here = replace(here, staged=_with_goals(here.staged, goals))
    return _planned(formula, here, tested, seen, found_anchor)


def _anchored(found: Staged | None, seen: tuple[Observation, ...]) -> Anchor | None:
    if found is None or not seen:
        return None
    try:
        return anchor(found.stages, seen)
    except ImpossibleInput:
        return None


def _implied_goals(tested: Setting | None, multipliers: Multipliers | None) -> dict[int, Relative]:
    """Where only a time was noted, the size the dough had then is what is waited for."""
    if tested is None or tested.staged is None or not tested.staged.implied:
        return {}
    run = staged_rise(tested.staged.stages, multipliers, samples=11)
    return {
        tested.staged.steps[i].position: Relative(run.stages[i].rise)
        for i in tested.staged.implied
        if run.stages[i].rise > SMALLEST_RISE and _still_grows(run.stages[i])
    }


def _still_grows(run: StageRun) -> bool:
    """Whether the size at a stage's end tells when it ended: not on a plateau, not in a dip."""
    volume = run.series["volume"]
    return bool(volume[-1] > 1.005 * volume[-2] and volume[-2] >= volume[:-2].max())


def _with_goals(found: Staged, goals: Mapping[int, Relative]) -> Staged:
    stages = tuple(
        replace(stage, goal=goals.get(timed.position, stage.goal))
        for stage, timed in zip(found.stages, found.steps, strict=True)
    )
    return replace(found, stages=stages)


def _planned(
    formula: ResolvedFormula,
    here: Setting,
    tested: Setting | None,
    seen: tuple[Observation, ...],
    found_anchor: Anchor | None,
) -> Settled:
    assert here.staged is not None
    centre = found_anchor.multipliers if found_anchor is not None else None
    spread = _spread(found_anchor)
    run = staged_rise(here.staged.stages, centre, SAMPLES)
    ready = _until_ready(here.staged.stages)
    banded = bands(ready, spread, centre, anchored=found_anchor is not None)
    times: Sequence[Band | None] = [b.ready for b in banded]
    if found_anchor is not None and tested is not None and tested.staged is not None:
        goals = {
            timed.position: stage.goal
            for stage, timed in zip(here.staged.stages, here.staged.steps, strict=True)
            if isinstance(stage.goal, Relative)
        }
        there = _with_goals(tested.staged, goals).stages
        own = (*seen, *implied_observations(tested.staged))
        moved = moved_times(there, here.staged.stages, own, found_anchor, spread)
        times = [
            as_noted(time, timed, found_anchor, i, seen)
            for i, (time, timed) in enumerate(zip(moved, here.staged.steps, strict=True))
        ]
    rises = tuple(
        _rise(timed, stage_run, band, time, i, here.staged, found_anchor)
        for i, (timed, stage_run, band, time) in enumerate(
            zip(here.staged.steps, run.stages, banded, times, strict=True)
        )
    )
    notices = (
        *_placed(run.notices, here.staged),
        *contradictions(found_anchor, tested.staged if tested else None, seen),
        *_about_leavens(formula, here),
        *_about_times(rises, here.staged, found_anchor),
    )
    return Settled(
        steps=_retimed(here.steps, rises),
        mixed=here.mixed,
        rises=rises,
        anchor=found_anchor,
        delay=_delay(formula, here, centre),
        notices=notices,
        loaded=run.stages[-1].end_temperature,
        there=_there(tested, centre),
    )


def _until_ready(stages: Sequence[Stage]) -> list[Stage]:
    """Stages followed to their goal alone: no sheet has a band of their peaks."""
    return [replace(s, window=isinstance(s.goal, For)) for s in stages]


def _there(tested: Setting | None, centre: Multipliers | None) -> Settled | None:
    """How it went where the times were noted: by those times, and the model's where none was."""
    if tested is None or tested.staged is None:
        return None
    runs = staged_rise(tested.staged.stages, centre, SAMPLES).stages
    rises = tuple(map(_as_it_went, tested.staged.steps, runs))
    unknown = [r for r, t in zip(rises, tested.staged.steps, strict=True) if not t.lasts.known]
    steps = _retimed(tested.steps, unknown)
    loaded = runs[-1].end_temperature
    return Settled(steps, tested.mixed, rises, None, None, loaded=loaded)


def _as_it_went(timed: TimedStep, run: StageRun) -> Rise:
    """A rise as the baker saw it; its curve is stretched to the time noted."""
    lasted = timed.lasts.best if timed.lasts.known else run.end
    stretch = lasted / run.end if run.end else 1.0
    end, size = run.end_temperature, run.rise
    return Rise(
        position=timed.position,
        kind="model",
        time=Band(lasted, lasted, lasted),
        usable=(lasted, lasted),
        start=run.start_temperature,
        end=Band(end, end, end),
        size=Band(size, size, size),
        times=tuple(float(t) * stretch for t in run.series["time"]),
        temperatures=tuple(float(t) for t in run.series["temperature"]),
        sizes=tuple(float(v / run.series["volume"][0]) for v in run.series["volume"]),
        assumed_goal=False,
    )


def _about_leavens(formula: ResolvedFormula, here: Setting) -> tuple[Notice, ...]:
    """What works in the dough and is not followed: a second leaven, a starter beside yeast."""
    names = left_out(formula.solution, here.steps)
    return (Notice.of("leaven-not-followed", "process", names=", ".join(names)),) if names else ()


def _about_times(
    rises: Sequence[Rise], found: Staged, found_anchor: Anchor | None
) -> tuple[Notice, ...]:
    """Noted times that could not be moved, and times whose end is open."""
    steps = {t.position: t.step for t in found.steps}
    unmoved = [r.position for r in rises if steps[r.position].took and found_anchor is None]
    notices = [Notice.of("took-without-kitchen", "process", unmoved[0])] if unmoved else []
    notices += [
        Notice.of("may-never-get-there", "process", r.position, low=r.time.low)
        for r in rises
        if r.time is not None and r.time.high is None
    ]
    return tuple(notices)


def _spread(found: Anchor | None) -> Spread:
    """What is not known of the kitchen: as before any log, or as the anchor left it."""
    if found is None:
        return Spread()
    vigour, friction, transfer = found.spread
    return Spread(vigour=vigour, friction=friction, transfer=transfer)


def _rise(
    timed: TimedStep,
    run: StageRun,
    band: StageBands,
    time: Band | None,
    index: int,
    found: Staged,
    found_anchor: Anchor | None,
) -> Rise:
    centre = found_anchor.multipliers if found_anchor is not None else None
    goal = found.stages[index].goal
    by_clock = isinstance(goal, For)
    took = timed.step.took
    if isinstance(goal, For):
        time = Band(goal.time, goal.time, goal.time)
    elif took is not None and found_anchor is None:
        time = Band(took.low, took.best, took.high)
        by_clock = True
    noted = took is not None and found_anchor is not None
    kind = "stated" if by_clock else "anchored" if noted else "model"
    # the curve is stretched to the time that is printed, so that picture and table agree
    stretch = time.best / run.end if time is not None and run.end else 1.0
    volumes = run.series["volume"]
    return Rise(
        position=timed.position,
        kind=kind,
        time=time,
        usable=_usable(run, index, found, centre, stretch),
        start=run.start_temperature,
        end=band.end_temperature,
        size=band.rise,
        times=tuple(float(t) * stretch for t in run.series["time"]),
        temperatures=tuple(float(t) for t in run.series["temperature"]),
        sizes=tuple(float(v / volumes[0]) for v in volumes),
        assumed_goal=index in found.assumed,
    )


UNDER, OVER = 0.85, 1.25
"""A dough may go on this far short of, or past, the growth its goal asks for (common practice,
no source: "nearly double" to "a little more than double")."""


def _usable(
    run: StageRun, index: int, found: Staged, centre: Multipliers | None, stretch: Ratio
) -> tuple[Second, Second | None]:
    """From when to when a stage may end: a leaven until its peak, a dough near its goal."""
    goal = found.stages[index].goal
    if run.ready is None:
        return run.end, None
    if not isinstance(goal, Relative):
        return run.window[0] * stretch, run.window[1] * stretch if run.window[1] else None
    first, last = (_grown(found, index, centre, 1 + (goal.times - 1) * x) for x in (UNDER, OVER))
    early = first * stretch if first is not None else run.end * stretch
    return early, last * stretch if last is not None else None


def _grown(found: Staged, index: int, centre: Multipliers | None, times: Ratio) -> Second | None:
    """When a stage has grown so many times, whatever its own goal."""
    stages = [*found.stages[:index], replace(found.stages[index], goal=Relative(times))]
    return staged_rise(stages, centre, samples=2).stages[index].ready


def _retimed(steps: Sequence[TimedStep], rises: Sequence[Rise]) -> tuple[TimedStep, ...]:
    """Put the times found in place of those noted."""
    found = {rise.position: rise for rise in rises if rise.kind != "stated"}
    return tuple(
        replace(t, lasts=_lasting(found[t.position])) if t.position in found else t for t in steps
    )


OPEN_END: Ratio = 2.0
"""An end that is not known is printed as this many times the best estimate, and said to be open."""


def _lasting(rise: Rise) -> Lasting:
    if rise.time is None:
        return Lasting(0.0, 0.0, 0.0, "unknown")
    high = rise.time.high if rise.time.high is not None else OPEN_END * rise.time.best
    return Lasting(rise.time.low, rise.time.best, high, rise.kind)


def _delay(formula: ResolvedFormula, here: Setting, centre: Multipliers | None) -> Second | None:
    """How much longer the dough's first rise takes with everything as it lies."""
    assert here.staged is not None
    final = formula.solution.final
    mix = here.mixed[final]
    index = next((i for i, t in enumerate(here.staged.steps) if t.step.of == final), None)
    if index is None or abs(mix.unsteered.temperature - mix.temperature) < 1.0:
        return None
    stages = list(here.staged.stages)
    staged_mix = stages[index].mix
    if staged_mix is None or isinstance(stages[index].goal, For):
        return None
    as_it_lies = replace(staged_mix, temperature=mix.unsteered.temperature)
    stages[index] = replace(stages[index], mix=as_it_lies)
    usual = staged_rise(here.staged.stages, centre, samples=2).stages[index].ready
    slow = staged_rise(stages, centre, samples=2).stages[index].ready
    return slow - usual if slow is not None and usual is not None else None


def _placed(notices: Sequence[Notice], found: Staged) -> tuple[Notice, ...]:
    """Notices of the engine about a stage, led to the step they are about."""
    return tuple(
        Notice(n.code, ("process", found.steps[int(n.where[0])].position), n.values)
        for n in notices
    )


def _unmodelled(
    formula: ResolvedFormula, own: ResolvedFormula, kitchen: Kitchen, here: Setting
) -> Settled:
    """No yeast: a levain's own times moved by temperature alone, or times as noted."""
    leavened = any(
        line.ingredient.kind == "starter"
        for p in formula.solution.preparations
        for line in p.preparation.lines
    )
    rising = any(t.step.verb in WAITING - {"rest"} for t in here.steps)
    if not leavened:
        flat = (Notice.of("nothing-rises", "process"),) if rising else ()
        return Settled(here.steps, here.mixed, (), None, None, flat)
    where = formula.document.tested_in
    if where is None or where.room is None:
        stays = Notice.of("levain-not-moved", "process")
        return Settled(here.steps, here.mixed, (), None, None, (stays,))
    tested = setting(own, tested_kitchen(kitchen, formula.document.tested_in))
    moved = moved_by_temperature(here.steps, here.mixed, tested.steps, tested.mixed)
    notice = Notice.of("levain-by-temperature", "process")
    return Settled(moved, here.mixed, (), None, None, (notice,))
