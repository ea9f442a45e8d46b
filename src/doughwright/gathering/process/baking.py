"""The bake as a method tells it: at what setting, turned to what, and how long at each."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from doughwright.gathering.gathered import Origin, OvenRead, TimeRead
from doughwright.gathering.process.bake_told import TURN, Token, tokens_of
from doughwright.gathering.process.ovens import (
    SAME_SETTING,
    Settings,
    are_same,
    contradicts,
    setting_of,
)
from doughwright.gathering.telling import time_words
from doughwright.units import KelvinDifference, Second

SAME_WHEN_TURNED: KelvinDifference = 3.0
"""An oven said to be turned stays as it was only within this: a rounding of units."""

MOST_STAGES = 2
"""A formula has an oven that is turned once."""

Seconds = tuple[Second, Second]


@dataclass(frozen=True, slots=True)
class Stage:
    """A part of the bake: the settings told of it (none where nobody said), and how long.

    ``set_in`` and ``timed_in`` are the sentences that say so, ``how`` a time was worked out.
    """

    settings: Settings = ()
    time: Seconds | None = None
    set_in: Origin | None = None
    timed_in: Origin | None = None
    how: str = ""


@dataclass(frozen=True, slots=True)
class Course:
    """One reading of a bake: its stages, and how long they take together where that is said."""

    stages: tuple[Stage, ...] = ()
    total: Seconds | None = None


@dataclass(frozen=True, slots=True)
class Baked:
    """A bake; ``preheat`` is what the oven is heated to where it is not baked at that.

    While its words leave a time open, ``course`` is without it: ``if_all`` is how it goes if that
    time is the whole bake's, ``if_then`` if it is only what follows the turn. ``several`` are
    settings of which nobody can say which holds; an oven may be ``turned`` to what nobody says.
    """

    course: Course
    preheat: Settings = ()
    if_all: Course | None = None
    if_then: Course | None = None
    open_from: Origin | None = None
    several: tuple[Settings, ...] = ()
    turned: bool = False


def baked(ovens: Sequence[OvenRead], times: Sequence[TimeRead], method: Sequence[Origin]) -> Baked:
    """The bake that the lines of a method tell of, in the order they tell it."""
    reader = _Reader()
    for token in tokens_of(ovens, times, method):
        if token.time is not None:
            reader.lasts(token, token.time)
        elif token.settings:
            reader.set_to(token)
        else:
            reader.turn(token)
    return _finished(reader)


@dataclass(slots=True)
class _Reader:
    """The bake as far as it has been read.

    ``pending`` is a time after which something is done, before any time of the bake is told;
    ``turned_in`` the sentence of the last turn, ``told_after`` whether the first stage is told
    as the moment of the turn. ``open_time`` may be the whole bake's or the last stage's, ``last``
    is the last stage's and may be part of the time before it.
    """

    stages: list[Stage] = field(default_factory=list)
    preheat: Settings = ()
    heated_in: Origin | None = None
    total: Seconds | None = None
    pending: Seconds | None = None
    turned_in: tuple[int, int] | None = None
    told_after: bool = False
    halfway: bool = False
    falls: bool = False
    last: Seconds | None = None
    open_time: Seconds | None = None
    open_from: Origin | None = None
    several: list[Settings] = field(default_factory=list)
    turned: bool = False

    # --- Settings ---

    def set_to(self, token: Token) -> None:
        """The oven is set to something."""
        self.halfway |= token.is_turn and token.is_halfway
        if token.is_preheat or (token.is_set and not self.stages):
            self._heated_to(token)
        elif not self.stages:
            self._begun(token)
        else:
            self._set_again(token)

    def turn(self, token: Token) -> None:
        """The oven is turned, by so much or to what nobody says."""
        known = [stage for stage in self.stages if stage.time]
        settings = (known[-1].settings or self.preheat) if known else ()
        if token.by and settings:
            shifted = tuple(_shifted(oven, token.by) for oven in settings if oven.temperature)
            self.stages.append(Stage(shifted, None, token.sentence))
            self.turned_in = token.place
        elif known:
            self.turned = True

    def _heated_to(self, token: Token) -> None:
        known = self.stages[0].settings if self.stages else ()
        if not self.stages:
            self.preheat, self.heated_in = token.settings, token.sentence
        elif not known:
            self.stages[0] = _set(self.stages[0], token)
        elif not are_same(known, token.settings):
            self.several = [known, token.settings]

    def _begun(self, token: Token) -> None:
        self.stages = [_set(Stage(), token)]
        if token.is_turn and self.preheat and self.pending:
            first = Stage(self.preheat, self.pending, self.heated_in, token.sentence)
            self.stages.insert(0, first)
            self.pending = None
        self.turned_in = token.place if token.is_turn else None

    def _set_again(self, token: Token) -> None:
        now = self.stages[-1]
        kinds = {setting_of(group).kind for group in (now.settings, token.settings) if group}
        follows = bool(now.settings and now.time) and len(kinds) == 1 and token.is_next
        is_turn = token.is_turn or token.is_set or self.turned or follows
        if not now.settings and now.time and token.is_start:
            self.total = now.time
            self.stages[-1] = _set(Stage(), token)
        elif not now.settings and (not is_turn or len(self.stages) > 1):
            self.stages[-1] = _set(now, token)
        elif now.settings and are_same(
            now.settings, token.settings, SAME_WHEN_TURNED if is_turn else SAME_SETTING
        ):
            return
        elif is_turn:
            self.stages.append(_set(Stage(), token))
            self.turned_in = token.place
            self.turned = False
            self.falls = now.time is not None and token.is_falling
        else:
            self.several = [now.settings, token.settings]

    # --- Times ---

    def lasts(self, token: Token, time: TimeRead) -> None:
        """A time of the bake is told."""
        long = (time.low, time.high)
        if whole := _whole_of(self.total, self.stages, long, token):
            self.total, self.stages = whole, []
            self._goes_on(long, token, "")
        elif time.role == "total":
            self.total = long
        elif time.role == "last" and len(self.stages) > 1 and self.stages[-1].time is None:
            self.last, self.open_from = long, token.sentence
        elif time.role == "first":
            self._turns_at(long, token)
        elif time.role not in ("or", "last"):
            self._goes_on(long, token, time.role)

    def _turns_at(self, long: Seconds, token: Token) -> None:
        """``after 15 minutes``: the moment of a turn, or of something else."""
        turned = self.turned_in == token.place
        if turned and len(self.stages) > 1:
            self.told_after = self.stages[-2].time is None
            self._first_lasts(-2, long, token)
        elif turned and self.preheat:
            first = Stage(self.preheat, long, self.heated_in, token.sentence)
            self.stages.insert(0, first)
            self.told_after = True
        elif token.next and (TURN.search(token.behind) or not token.is_after):
            self.stages = self.stages or [Stage()]
            self._first_lasts(-1, long, token)
        elif not self.stages or self.stages[-1].time is None:
            self.pending = long

    def _first_lasts(self, at: int, long: Seconds, token: Token) -> None:
        known = self.stages[at].time
        if known is not None and known[1] > long[1]:
            self.total = known
        if known is None or known[1] > long[1]:
            self.stages[at] = replace(self.stages[at], time=long, timed_in=token.sentence)

    def _goes_on(self, long: Seconds, token: Token, role: str) -> None:
        """A time without more: of a stage that has none, of another one, or added to the last."""
        self.stages = self.stages or [Stage()]
        now = self.stages[-1]
        joined = role in ("then", "further") or (role == "comma" and token.is_covered)
        other = token.next and not (now.settings and are_same(now.settings, token.next))
        if now.time is None:
            self._told(now, long, token, role)
        elif role and other and (now.settings or self.preheat or not token.is_covered):
            self.stages.append(Stage((), long, None, token.sentence))
        elif joined:
            self.stages[-1] = _added(now, long, token.sentence)

    def _told(self, now: Stage, long: Seconds, token: Token, role: str) -> None:
        """How long the last stage is; open where the first is told only by its turn, or not."""
        is_second = len(self.stages) > 1
        untold = is_second and self.stages[-2].time is None
        if is_second and (untold or (self.told_after and role != "further")):
            self.open_time, self.open_from = long, token.sentence
        elif self.pending and role == "further" and not is_second:
            self.stages[-1] = _added(replace(now, time=self.pending), long, token.sentence)
        else:
            self.stages[-1] = replace(now, time=long, timed_in=token.sentence)


def _whole_of(
    total: Seconds | None, stages: list[Stage], long: Seconds, token: Token
) -> Seconds | None:
    """The time before this one, where this is part of it, and it that of the whole."""
    whole = total or (stages[-1].time if stages else None)
    is_part = whole is not None and token.is_part and long[1] < whole[1] and len(stages) < 2
    return whole if is_part else None


# --- The whole ---------------------------------------------------------------------------------


def _finished(reader: _Reader) -> Baked:
    """The bake as it was told, and the readings of a time that is left open."""
    stages = _stages_of(reader)
    settings = tuple(stage.settings for stage in stages)
    several = tuple(reader.several) or tuple(filter(contradicts, settings))
    several = tuple(filter(None, settings)) if len(stages) > MOST_STAGES else several
    turned = reader.turned and len(stages) < MOST_STAGES
    if several or turned:
        stages = _alone(stages)
    course, if_all, if_then = _readings(reader, stages)
    differs = bool(stages) and not are_same(reader.preheat, stages[0].settings)
    return Baked(
        course=course,
        preheat=reader.preheat if differs else (),
        if_all=if_all,
        if_then=if_then,
        open_from=reader.open_from,
        several=several,
        turned=turned,
    )


def _stages_of(reader: _Reader) -> list[Stage]:
    """The stages, the first at what the oven is heated to if nothing else is said of it."""
    found: list[Stage] = []
    stages = reader.stages or ([Stage()] if reader.preheat else [])
    for stage in stages:
        if found and not stage.settings and stage.time:
            found[-1] = _added(found[-1], stage.time, stage.timed_in)
        else:
            found.append(stage)
    if found and not found[0].settings:
        found[0] = replace(found[0], settings=reader.preheat, set_in=reader.heated_in)
    return found


def _readings(reader: _Reader, stages: list[Stage]) -> tuple[Course, Course | None, Course | None]:
    """The bake; and where it is open, how it goes by each of the two readings."""
    total, halves = reader.total, _halves(reader, stages)
    if len(stages) != MOST_STAGES or halves:
        return Course(halves or tuple(_lasting(stages, total))), None, None
    first, second = stages
    if reader.falls and second.time is None and total is reader.open_time is reader.last is None:
        whole = (replace(first, time=None), replace(second, timed_in=first.timed_in))
        return Course(whole, first.time), None, None
    told, long = Course((first, second), total), reader.open_time
    if reader.last is not None:
        second = replace(second, time=reader.last)
        if first.time is None:
            return _divided(Course((first, second), total)), None, None
        begun = _less(first, first.time, reader.last)
        if_then, if_all = Course((first, second)), Course((begun, second)) if begun else None
    elif long is not None and total is None:
        if_then, if_all = Course((first, replace(second, time=long))), _all_in(told, long)
    elif total and _disagree(total, stages):
        reader.open_from = second.timed_in
        told = Course((first, replace(second, time=None)))
        if_then, if_all = Course((first, second)), _all_in(told, total)
    else:
        return _divided(told), None, None
    return (told, if_all, if_then) if if_all else (if_then, None, None)


def _halves(reader: _Reader, stages: list[Stage]) -> tuple[Stage, ...]:
    """Two stages of one length, where the oven is turned halfway."""
    if not reader.halfway or len(stages) != MOST_STAGES or stages[1].time is not None:
        return ()
    whole = reader.total or stages[0].time
    if whole is None:
        return ()
    half, how = (whole[0] / 2, whole[1] / 2), f"half of {_said(whole)}"
    return tuple(replace(stage, time=half, how=how) for stage in stages)


def _disagree(total: Seconds, stages: list[Stage]) -> bool:
    """Whether the times of all stages are not what they are said to be together."""
    times = [stage.time for stage in stages if stage.time is not None]
    low, high = sum(time[0] for time in times), sum(time[1] for time in times)
    return len(times) == len(stages) and (low > total[1] or high < total[0])


def _shifted(oven: OvenRead, by: KelvinDifference) -> OvenRead:
    ends = (end + by if end is not None else None for end in (oven.temperature, oven.high))
    low, high = ends
    return replace(oven, temperature=low, high=high)


def _set(stage: Stage, token: Token) -> Stage:
    return replace(stage, settings=token.settings, set_in=token.sentence)


def _added(stage: Stage, long: Seconds, said: Origin | None) -> Stage:
    """A stage that goes on for some time more."""
    if stage.time is None:
        return replace(stage, time=long, timed_in=said)
    both = (stage.time[0] + long[0], stage.time[1] + long[1])
    how = f"{stage.how or _said(stage.time)} and {_said(long)}"
    return replace(stage, time=both, timed_in=stage.timed_in or said, how=how)


def _less(stage: Stage, whole: Seconds, other: Seconds) -> Stage | None:
    """A stage that is what is left of a whole; None where nothing is."""
    left = sorted((whole[0] - other[0], whole[1] - other[1]))
    how = f"{_said(whole)} in all, less {_said(other)}"
    return replace(stage, time=(left[0], left[1]), how=how) if left[0] > 0 else None


def _all_in(told: Course, whole: Seconds) -> Course | None:
    """The bake if a time is that of the whole; None where it cannot be."""
    first, second = told.stages
    if first.time is None:
        return Course(told.stages, whole)
    left = _less(second, whole, first.time)
    return Course((first, left)) if left else None


def _divided(told: Course) -> Course:
    """The stage that is not told is what the other leaves of the whole."""
    first, second = told.stages
    if told.total is None or (first.time is None) == (second.time is None):
        return told
    if second.time is None and first.time is not None:
        left = _less(second, told.total, first.time)
        return Course((first, left)) if left else told
    assert second.time is not None, "one of the two is told"
    left = _less(first, told.total, second.time)
    return Course((left, second)) if left else told


def _lasting(stages: list[Stage], total: Seconds | None) -> list[Stage]:
    """A bake at one setting, with the time of the whole where that is said."""
    if total is None or len(stages) != 1:
        return stages
    known = stages[0].time
    longer = known is None or total[1] >= known[1]
    return [replace(stages[0], time=total, how="")] if longer else stages


def _alone(stages: list[Stage]) -> list[Stage]:
    """One stage without a setting, as long as all of them: none is written that may burn."""
    times = [stage.time for stage in stages]
    known = [time for time in times if time is not None]
    whole = (
        (sum(t[0] for t in known), sum(t[1] for t in known)) if len(known) == len(times) else None
    )
    said = next((stage.timed_in for stage in stages if stage.timed_in), None)
    how = " and ".join(map(_said, known)) if len(known) > 1 else ""
    return [Stage((), whole or (known[0] if known else None), None, said, how)]


def _said(time: Seconds) -> str:
    return time_words(*time)
