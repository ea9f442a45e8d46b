"""The steps of a process, as far as a method tells of them by its times and its oven."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import get_args

from doughwright.documents.scalars import LONGEST_TIME
from doughwright.engine.ingredients import plain_words
from doughwright.errors import Notice
from doughwright.gathering.drafted import DraftPreparation, DraftStep, StepVerb
from doughwright.gathering.gathered import Choice, Doubt, Gathered, Origin, TimeRead
from doughwright.gathering.process.baking import Baked, Course, Stage, baked
from doughwright.gathering.process.naming import AHEAD, WAITS, Named
from doughwright.gathering.process.ovens import oven_words, settings_words
from doughwright.gathering.process.putting import Puts, puts_in
from doughwright.gathering.process.waiting import (
    NOWHERE,
    Landmarks,
    is_no_dough,
    landmarks_in,
    may_be_a_rise,
    of_a_part,
    of_the_bulk,
    of_the_dough,
    of_the_pieces,
    unripe,
)
from doughwright.gathering.telling import as_key, time_words

COOKED = ("scald", "tangzhong", "yudane", "paste", "roux", "porridge", "custard")
"""What is put together over heat."""

BAKE_TIME = "bake:time"
ALL, THEN = "in all", "after the turn"
"""The question of a time that may be the whole bake's, and its answers."""

NO_PART = ""
"""Whose a wait is that is no part's: of something that is soaked in no soaker."""

UNSURE = "which of them holds is not said here"
NO_STEP = "no step"
"""The answer for a time in which nothing rises."""


@dataclass(slots=True)
class Workflow:
    """The steps that a method tells of, and what it leaves open about their times."""

    answers: Mapping[str, str]
    steps: list[DraftStep] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)


def workflow_of(
    gathered: Gathered, parts: Sequence[DraftPreparation], answers: Mapping[str, str]
) -> Workflow:
    """The steps in the order of work; none where no time and no oven was found.

    A wait of which nobody can say what rises in it is asked about, and placed as is answered.
    """
    work = Workflow(answers)
    main = next((part.name for part in reversed(parts) if part.kind == "dough"), None)
    if main is None or not (gathered.times or gathered.ovens):
        return work
    told = [time for time in gathered.times if time.high <= LONGEST_TIME]
    named = Named(gathered.method, parts, main)
    about = [(time, _whose(time, name, named, parts)) for time, name in named.parts_of(told)]
    _worked(work, gathered, parts, about)
    asked = list(_asked_waits(about, work, parts))
    given = {time: doubt.answer for time, doubt in asked if doubt.answer not in ("", NO_STEP)}
    if given:
        names = {as_key(part.name): part.name for part in parts}
        placed = [
            (replace(time, verb="ferment"), names[given[time]]) if time in given else (time, name)
            for time, name in about
        ]
        work.steps, work.doubts = [], []
        _worked(work, gathered, parts, placed)
    work.doubts += [doubt for _, doubt in asked]
    return work


def _worked(
    work: Workflow,
    gathered: Gathered,
    parts: Sequence[DraftPreparation],
    about: Sequence[tuple[TimeRead, str]],
) -> None:
    """Add the steps of all parts by the times of each; the dough comes last."""
    main = next(part.name for part in reversed(parts) if part.kind == "dough")
    for part in parts:
        if part.kind in AHEAD:
            own = [time for time, name in about if name == part.name]
            work.steps += _ahead(part, own, work)
    own = [time for time, name in about if name == main]
    work.steps += _dough(main, gathered, own, work, puts_in(parts, gathered.method))


# --- Times without a step -------------------------------------------------------------------------


def without_step(times: Iterable[TimeRead], steps: Sequence[DraftStep]) -> Iterator[TimeRead]:
    """The waits of a method that no step holds, in their order."""
    held = {(step.origin, step.time, step.words) for step in steps}
    every = list(times)
    offered = {(t.origin, t.sentence) for t in every if t.role == "or" and _places(t) & held}
    for time in every:
        is_wait = time.verb in WAITS | {"", "soak"} and time.role in ("", "then", "comma")
        is_other = (time.origin, time.sentence) in offered
        if is_wait and time.high and not is_other and not _places(time) & held:
            yield time


def _places(time: TimeRead) -> set[tuple[Origin, tuple[float, float], str]]:
    """What a step says that holds a time: its sentence too, as far as the step has one."""
    ends = time.low, time.high
    return {(time.origin, ends, ""), (time.origin, ends, time.sentence.strip(" ;"))}


def _asked_waits(
    about: Sequence[tuple[TimeRead, str]], work: Workflow, parts: Sequence[DraftPreparation]
) -> Iterator[tuple[TimeRead, Doubt]]:
    """The long waits without a step, each with the question what rises in it."""
    kinds = {part.name: part.kind for part in parts}
    rising = [part.name for part in parts if part.kind == "preferment"]
    rising += [part.name for part in reversed(parts) if part.kind == "dough"][:1]
    choices = (
        *(Choice(as_key(name), f"ferment {name}") for name in rising),
        Choice(NO_STEP, "no step of it"),
    )
    own = [t for t, name in about if name == NO_PART or kinds[name] in ("preferment", "dough")]
    seen = Counter[str]()
    for time in without_step(own, work.steps):
        if may_be_a_rise(time):
            key = f"{time.origin.line}:wait"
            seen[key] += 1
            key = key if seen[key] == 1 else f"{key} {seen[key]}"
            given = work.answers.get(key, "")
            answer = given if given in {choice.key for choice in choices} else ""
            notice = Notice.of("gather-wait-left", read=time.sentence.strip(" ;"))
            yield time, Doubt(key, notice, choices, answer, blocks=False)


def _whose(time: TimeRead, name: str, named: Named, parts: Sequence[DraftPreparation]) -> str:
    """The part a time is of: what is soaked is the soaker's, or no part's where there is none."""
    poured = named.poured(time)
    is_soaked = bool(poured) and is_no_dough(poured)
    words = set(plain_words(poured or time.sentence))
    if poured and not is_soaked:  # flour of the dough, unless only a soaker has it
        words -= {word for part in parts if part.kind == "dough" for word in _words_of(part)}
    of_any = poured or (time.verb == "soak" and not name)
    soakers = [part.name for part in parts if part.kind == "soaker" and words & _words_of(part)]
    if of_any and soakers:
        return soakers[0]
    if is_soaked:
        return NO_PART
    return name or next(part.name for part in reversed(parts) if part.kind == "dough")


def _words_of(part: DraftPreparation) -> set[str]:
    return {word for line in part.lines for word in plain_words(line.name)}


# --- What is made ahead ---------------------------------------------------------------------------


def _ahead(
    part: DraftPreparation, times: Sequence[TimeRead], work: Workflow
) -> Iterator[DraftStep]:
    """A preferment or a soaker is put together, and it waits."""
    if part.kind == "preferment":
        yield _mixed(part.name, times)
        yield from _waits(part.name, list(of_a_part(times)), work)
    else:
        is_cooked = any(word in part.name.casefold() for word in COOKED)
        verb: StepVerb = "cook" if is_cooked else "soak"
        known = ("cook",) if is_cooked else ("soak", "rest", "retard")
        time = next((time for time in times if time.verb in known), None)
        yield _timed(replace(time, verb=verb), part.name) if time else DraftStep(verb, part.name)
        cools = [time for time in times if time.verb == "cool" and is_cooked]
        yield from (_timed(replace(time, at=""), part.name) for time in cools[:1])


def _mixed(name: str, times: Sequence[TimeRead]) -> DraftStep:
    """The mixing: where kneading is told, that, with what follows it in its sentence."""
    mixes = [time for time in times if time.verb == "mix"]
    first = next((time for time in mixes if "knead" in time.sentence.casefold()), None)
    first = first or next(iter(mixes), None)
    if first is None:
        return DraftStep("mix", name)
    joined = ("then", "further", "comma")
    same = [t for t in mixes if t.sentence == first.sentence and t.origin == first.origin]
    more = [t for t in same if t.start > first.start and t.role in joined]
    return _timed(_together([first, *more]), name)


def _together(times: Sequence[TimeRead]) -> TimeRead:
    """Times of one step, one after the other."""
    first = times[0]
    if len(times) == 1:
        return first
    how = " and ".join(time_words(time.low, time.high) for time in times)
    low, high = sum(time.low for time in times), sum(time.high for time in times)
    return replace(first, low=low, high=high, how=how)


# --- The dough ------------------------------------------------------------------------------------


def _dough(
    main: str, gathered: Gathered, times: Sequence[TimeRead], work: Workflow, puts: Puts
) -> Iterator[DraftStep]:
    """The dough is mixed, rises, is divided, shaped, proofed, baked, and cools."""
    times = list(unripe(of_the_dough(times, main)))
    marks = landmarks_in(gathered.method, times, gathered.ovens)
    before = [t for t in times if not marks.is_behind(t, marks.baked)]
    yield _mixed(main, before)
    bulk, pieces = of_the_bulk(before, marks), of_the_pieces(before, marks)
    bench = _bench(bulk, pieces, marks)
    yield from _waits(main, [t for t in bulk if t not in bench], work)
    proofs = [t for t in pieces if t not in bench]
    first = min(map(marks.place, proofs), default=marks.baked)
    yield from puts.before(min(marks.divided, marks.shaped, first, marks.baked))
    if marks.divided != NOWHERE:
        yield DraftStep("divide", main)
    yield from _waits(main, bench, work)
    if marks.shaped != NOWHERE:
        yield from puts.before(min(marks.shaped, first, marks.baked))
        yield DraftStep("shape", main)
    yield from puts.before(min(first, marks.baked))
    yield from _waits(main, proofs, work)
    yield from puts.before(marks.baked)
    yield from _baked(main, gathered, times, work)
    after = [t for t in times if marks.is_behind(t, marks.baked)]
    on_it = puts.before(min(map(marks.place, after), default=NOWHERE))
    yield from (*on_it, *_cooled(main, after), *puts.before(NOWHERE))


def _bench(
    bulk: Sequence[TimeRead], pieces: Sequence[TimeRead], marks: Landmarks
) -> list[TimeRead]:
    """Rests of the divided dough before its proof."""
    first = next((i for i, time in enumerate(pieces) if time.verb != "rest"), 0)
    if first and pieces[first].role == "or":  # it is instead of the rest before it
        first -= 1
    rests = [*(time for time in bulk if time.verb == "rest"), *pieces[:first]]
    return [time for time in rests if marks.is_behind(time, marks.divided)]


def _cooled(main: str, times: Sequence[TimeRead]) -> Iterator[DraftStep]:
    cools = [time for time in times if time.verb in ("cool", "rest") and time.role != "or"]
    if cools:
        whole = _together(cools)
        yield _timed(replace(whole, verb="cool", at=""), main)


def _waits(name: str, times: Sequence[TimeRead], work: Workflow) -> Iterator[DraftStep]:
    """The waits of a part; where a method offers another time, the one that was answered."""
    for at, time in enumerate(times):
        if time.role == "or" and at and _is_beside(times[at - 1], time):
            continue
        others = [t for t in times[at + 1 : at + 2] if t.role == "or" and _is_beside(time, t)]
        taken = _chosen([time, *others], work) if others else time
        repeated = time.role == "total" and any(t.verb == time.verb for t in times[:at])
        if not repeated and not (
            time.role in ("most", "first") and at and _is_beside(times[at - 1], time)
        ):
            yield _timed(taken, name)


def _is_beside(first: TimeRead, second: TimeRead) -> bool:
    """Whether two times stand in one sentence, or the second in one that begins with its “or”."""
    ends = (first.before + first.sentence).rstrip(), second.before.rstrip()
    is_same = first.sentence == second.sentence or (second.role == "or" and ends[0] == ends[1])
    return first.origin == second.origin and is_same


def _chosen(times: Sequence[TimeRead], work: Workflow) -> TimeRead:
    """The time that was chosen among those a sentence offers, the first while nobody has."""
    first = times[0]
    key = f"{first.origin.line}:{first.verb}:time"
    count = sum(doubt.key.startswith(key) for doubt in work.doubts)
    key = f"{key} {count + 1}" if count else key
    words = [" ".join(filter(None, (_spoken(time), time.at))) for time in times]
    choices = tuple(Choice(as_key(word), word) for word in dict.fromkeys(words))
    if len(choices) < 2:
        return first
    by_key = {as_key(word): time for word, time in zip(words, times, strict=True)}
    given = work.answers.get(key, "")
    answer = given if given in by_key else ""
    notice = Notice.of("gather-alternatives", name=first.verb, read=first.sentence.strip())
    work.doubts.append(Doubt(key, notice, choices, answer, blocks=False))
    return by_key.get(answer, first)


def _spoken(time: TimeRead) -> str:
    return f"{time.verb} {time_words(time.low, time.high)}"


def _timed(time: TimeRead, name: str) -> DraftStep:
    """A step with its time; one that says only how long at most has none."""
    verb = next(verb for verb in get_args(StepVerb) if verb == time.verb)
    is_limit = time.role == "most" and verb in WAITS
    rises = verb in ("ferment", "proof", "retard")
    return DraftStep(
        verb=verb,
        of=name,
        time=None if is_limit or not time.high else (time.low, time.high),
        origin=time.origin,
        words=time.sentence.strip(" ;"),
        at=time.at if verb in WAITS else "",
        until=time.until if rises else "",
        how=time.how,
    )


# --- The bake -------------------------------------------------------------------------------------


def _baked(
    main: str, gathered: Gathered, times: Sequence[TimeRead], work: Workflow
) -> Iterator[DraftStep]:
    """It goes into the oven: in two steps where the oven is turned and the first has its time."""
    told = baked(gathered.ovens, times, gathered.method)
    course = _course(told, work)
    steps = list(_steps_of(course, main))
    if steps:
        beside = (*steps[0].beside, *_beside(told))
        steps[0] = replace(steps[0], beside=beside)
    yield from steps


def _course(told: Baked, work: Workflow) -> Course:
    """The reading of a bake that was answered; without the open time while nobody has."""
    if told.if_all is None or told.if_then is None:
        return told.course
    given = work.answers.get(BAKE_TIME, "")
    readings = {ALL: told.if_all, THEN: told.if_then}
    choices = tuple(Choice(key, _course_words(course)) for key, course in readings.items())
    read = told.open_from.text.strip() if told.open_from else ""
    notice = Notice.of("gather-bake-time", read=read)
    answer = given if given in readings else ""
    work.doubts.append(Doubt(BAKE_TIME, notice, choices, answer, blocks=False))
    return readings.get(answer, told.course)


def _course_words(course: Course) -> str:
    """A bake in one line: ``10 min at 230 °C, then 25 min at 200 °C``."""
    stages = [
        f"{time_words(*stage.time)} at {settings_words(stage.settings)}"
        if stage.time
        else f"some time at {settings_words(stage.settings)}"
        for stage in course.stages
    ]
    whole = f"; {time_words(*course.total)} in all" if course.total else ""
    return ", then ".join(stages) + whole


def _steps_of(course: Course, main: str) -> Iterator[DraftStep]:
    """A bake as a formula writes it: in two steps, or in one where the first has no time."""
    stages = [stage for stage in course.stages if stage.time or stage.settings]
    if len(stages) > 1 and stages[0].time is None:
        first, second = stages
        then = settings_words(second.settings)
        beside = (f"at {then}: {time_words(*second.time)}",) if second.time else ()
        step = _of_stage(replace(first, time=course.total, timed_in=second.timed_in), main)
        yield replace(step, then=then, beside=(*step.beside, *beside))
    else:
        yield from (_of_stage(stage, main) for stage in stages)


def _of_stage(stage: Stage, main: str) -> DraftStep:
    """One bake step, with the sentences that tell of its time and of its oven."""
    said = stage.timed_in or stage.set_in
    apart = stage.set_in if stage.set_in != said and stage.settings else None
    beside = (f"oven: line {apart.line}: {apart.text}",) if apart else ()
    return DraftStep(
        verb="bake",
        of=main,
        time=stage.time,
        oven=settings_words(stage.settings),
        origin=said,
        how=stage.how,
        beside=beside,
    )


def _beside(told: Baked) -> Iterator[str]:
    """What a method says of the oven and a formula does not."""
    if told.preheat:
        yield f"preheat: {settings_words(told.preheat)}"
    if told.several:
        words = ", ".join(" / ".join(map(oven_words, group)) for group in told.several)
        is_one = sum(map(len, told.several)) == 1
        yield f"oven: {words}: {'no oven is set so' if is_one else UNSURE}"
    if told.turned:
        yield "oven: it is turned, and to what is not read"
