"""The times of a method: each with the step it belongs to, its place, and until when that is.

Texts are looked at through :func:`doughwright.gathering.lines.numerals.plain`, so that a place in
them is the place in what the author wrote.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from doughwright.gathering.gathered import Origin, TimeRead
from doughwright.gathering.lines.numerals import plain
from doughwright.gathering.process import elsewhere
from doughwright.gathering.process.goals import Goal, goal_of, goals_in
from doughwright.gathering.process.lengths import Lasting, lastings, sentences_of
from doughwright.gathering.process.places import parted, place_in
from doughwright.gathering.process.verbs import HEATS, verb_of

_ANY_CASE = re.IGNORECASE

_JOINED = (
    r"(?:\bthen|\band|\bplus|[+&])\s+(?:\w+\s+){0,2}?(?:(?:bake|cook|continue)\s+)?"
    r"(?:baking\s+)?(?:(?:it|them|for|about|around)\s+)*$"
)
_INSTEAD = (
    r"(?:^|[\s,(;])or\s+(?:(?:else|instead|alternatively|you can|you may|just),?\s+)*"
    r"(?:in|into|at room|on the|chill|refrigerate|retard|place|put|pop|leave|let|allow|proof|prove|"
    r"rise|rest|ferment)\b(?:(?!\b(?:and|then|until|before|or|shape|divide|knead|bake)\b)[^.;:()]){0,50}$"
)
"""Another wait that may be instead of the one before: ``or refrigerate`` (from memory)."""

_ROLES: tuple[tuple[str, str, str], ...] = (
    ("every", r"\b(?:every|each)\s+$", r"^\s*intervals\b"),
    ("beside", r"", r"^\s*(?:before (?:the )?end|ago\b|earlier|in advance|ahead)"),
    ("ahead", r"", r"^\s*(?:before|prior)\b"),
    ("most", r"\b(?:up to|no more than|at most|maximum(?: of)?|max\.?)\s+$", r"^\s*at most\b"),
    ("last", r"\b(?:last|final)\s+$", r""),
    (
        "further",
        r"\b(?:further|another|additional|extra|remaining|more|rest,?)\s+(?:about\s+)?$",
        r"^\s*(?:more|longer|further|extra|again)\b",
    ),
    (
        "first",
        r"\b(?:after|once|initial|first|at)\s+(?:the\s+)?(?:first\s+)?(?:about\s+|around\s+)?$",
        r"^\s*(?:later\b|into\b|in\b\s*[,:])",
    ),
    ("total", r"\btotal\b[\w\s:]{0,25}$", r"^\s*,?\s*\(?(?:in )?(?:total|all\b)"),
    ("total", r"\bbak(?:e|ing) time\b[\w\s:]{0,20}$", r""),
    ("total", r"\b(?:altogether|in all|overall)\b\s*$", r"^\s*,?\s*\(?(?:altogether|overall)\b"),
    ("or", r"(?:^|[\s,(])or\s+(?:else\s+)?(?:for\s+|about\s+|just\s+)*$", r""),
    ("or", _INSTEAD, r""),
    ("then", _JOINED, r""),
    ("comma", r",\s+(?:for\s+|about\s+)*$", r""),
    *elsewhere.ROLES,
)
"""What a time is beside the one before it: by the words ahead of it, or by those behind it."""


_IT_RISES = re.compile(
    r"^\W*(?:it|they|the \w+|this)\b[^.]{0,20}\b(?:should|will|has|have|must)\b",
    _ANY_CASE,
)
"""A sentence that says of the rise before it how far it goes."""

_LABELS: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("rest", re.compile(r"\W*(?:bench|table|intermediate)(?: time)?\W*", _ANY_CASE)),
    ("proof", re.compile(r"\W*(?:final|last)(?: time)?\W*", _ANY_CASE)),
)
"""What alone before a time says what it is: ``Bench: 20 min``."""

_LATER = re.compile(r"\s*later\b\W*(?:\w+\s+){0,2}?(?:bake|shape|divide|knead)\b", _ANY_CASE)
"""Behind a time that is over when this begins."""

_SAYS_OR = re.compile(r"\W*or\b", _ANY_CASE)
"""A sentence that says what may be done instead of the one before it."""

_RISES = ("ferment", "proof", "rest", "retard")


def times_in(origin: Origin) -> Iterator[TimeRead]:
    """Every time of a line that stands beside the word of a step, and rises told by their size.

    >>> next(times_in(Origin("a card", 9, "Prove for 45–60 min."))).low
    2700.0
    >>> [(t.verb, t.until) for t in times_in(Origin("a card", 9, "Let rise until doubled. Shape."))]
    [('ferment', 'double')]
    """
    return (time for time in all_times_in(origin) if time.verb)


def all_times_in(origin: Origin) -> Iterator[TimeRead]:
    """The same, with the times of which their sentence does not say what is done in them.

    >>> [(t.verb, t.at) for t in all_times_in(Origin("a card", 9, "Biga 16 hours at 18 °C."))]
    [('', '18 °C')]
    """
    text = plain(origin.text)
    found: list[TimeRead] = []
    for start, sentence in _whole_sentences(text):
        told = list(_of_sentence(origin, (start, sentence), found))
        found += [replace(time, before=text[:start]) for time in told]
        goals = goals_in(sentence) if found and not told and _IT_RISES.match(sentence) else []
        if goals and found[-1].verb in _RISES and not found[-1].until:
            found[-1] = _until(found[-1], goals[0])
    yield from found


def _of_sentence(
    origin: Origin, at: tuple[int, str], before: Sequence[TimeRead]
) -> Iterator[TimeRead]:
    """The times of one sentence at its place, in their order, and its rises without a time."""
    start, sentence = at
    end, (found, others) = 0, _stretches(sentence)
    verb_here, last = "", next((time.verb for time in reversed(before) if time.verb), "")
    read, used = list[TimeRead](), set[int]()
    for i, lasting in enumerate(found):
        until = found[i + 1].start if i + 1 < len(found) else len(sentence)
        ahead, behind = sentence[end : lasting.start], sentence[lasting.end : until]
        is_second = end > 0 or (bool(before) and _SAYS_OR.match(ahead) is not None)
        role = _role(ahead, behind, is_second=is_second)
        carried = verb_here or (last if role in ("further", "total") else "")
        if role == "ahead":  # of another step, unless one stands before it
            role = "beside" if not ahead.strip() and HEATS.search(behind) else role
            behind, carried = "", ""
        place = place_in(parted(ahead)[1] if end else ahead, parted(behind)[0])
        verb = _labelled(ahead) or verb_of(sentence, ahead, behind, carried)
        verb = "" if _LATER.match(behind) else _in_place(verb, place)
        if role not in ("every", "beside"):
            verb_here, last = verb or verb_here, verb or last
            time = TimeRead(
                origin=origin,
                verb=verb,
                low=lasting.low,
                high=lasting.high,
                sentence=sentence,
                start=start + lasting.start,
                end=start + lasting.end,
                role=role,
                at=place,
                how=lasting.how,
            )
            goal = goal_of(sentence, end, (lasting.start, lasting.end), until)
            if goal and verb in ("", *_RISES):
                used.add(goal.start)
                time = _until(time, goal)
            elif role == "or" and read and read[-1].verb == verb:
                time = replace(time, until=read[-1].until)
            read.append(time)
            if lasting.start in others:
                other = others[lasting.start]
                read.append(replace(time, low=other, high=other, role="or"))
        end = lasting.end
    read += _without_time(origin, at, [g for g in goals_in(sentence) if g.start not in used], read)
    yield from sorted(read, key=lambda time: time.start)


def _without_time(
    origin: Origin, at: tuple[int, str], goals: Iterable[Goal], times: Sequence[TimeRead]
) -> Iterator[TimeRead]:
    """Rises of which a sentence only says until when: ``let rise until doubled``."""
    start, sentence = at
    for goal in goals:
        told = [time for time in times if time.verb and time.end - start <= goal.start]
        ends = [time.end - start for time in told]
        ahead = sentence[max(ends, default=0) : goal.end]
        place = place_in(ahead, "")
        verb = _in_place(verb_of("", ahead, "", ""), place)
        if goal.said and verb in _RISES:
            here = start + goal.start, start + goal.end
            bare = TimeRead(origin, verb, 0.0, 0.0, sentence, "", *here, at=place)
            yield _until(bare, goal)


def _until(time: TimeRead, goal: Goal) -> TimeRead:
    return replace(time, until=goal.words, how="; ".join(filter(None, (time.how, goal.how))))


def _in_place(verb: str, place: str) -> str:
    """What rises in the fridge is retarded, what stands in the room after that is not."""
    if place == "fridge" and verb in ("ferment", "proof", "rest"):
        return "retard"
    return "ferment" if verb == "retard" and place == "room" else verb


def _labelled(ahead: str) -> str:
    return next((verb for verb, words in _LABELS if words.fullmatch(ahead)), "")


def _role(ahead: str, behind: str, *, is_second: bool) -> str:
    ahead, behind = ahead.casefold(), behind.casefold()
    for role, before, after in _ROLES:
        told = (before and re.search(before, ahead)) or (after and re.search(after, behind))
        if told and (role not in ("or", "then", "comma") or is_second):
            return role
    return "or" if is_second and re.search(r"\(\s*(?:or\s+|about\s+)?$", ahead) else ""


# --- From one hour of the day to another ----------------------------------------------------------

_HALF_DAY = 12
_DAY_NAMES = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_DAY_NAME = rf"\b(?:{'|'.join(_DAY_NAMES)})\w*day\b"
_OF_THE_DAY = (
    rf"(?:,?\s+(?:(?:in|on|at|the|that|same|next|following)\s+)*"
    rf"(?:tonight|tomorrow|evening|night|morning|afternoon|day\b|{_DAY_NAME}))*"
)
_CLOCK = (
    rf"(?P<before{{0}}>{_DAY_NAME}\s+(?:at\s+)?)?(?:about\s+|around\s+)?"
    r"(?:(?P<hour{0}>\d{{1,2}})(?::(?P<minute{0}>[0-5]\d))?(?!\d)"
    r"(?:\s*(?P<half{0}>[ap])(?:\.\s?m\b\.?|m\b)|\s*(?P<clock{0}>o['’]clock|hrs\b|h\b))?"
    r"|(?P<name{0}>noon|midday|midnight)\b)"
    rf"(?P<when{{0}}>{_OF_THE_DAY})"
)
_FROM_TO = re.compile(
    rf"\bfrom\s+{_CLOCK.format(1)}\s+(?:to|until|till?|through)\s+{_CLOCK.format(2)}"
    r"(?!\s*(?:[\d%°º:/–-]|[CF]\b|(?:h|hours?|hrs?|min\w*|days?|deg\w*|g|kg|ml|cm|mm|times|x)\b))",
    _ANY_CASE,
)
"""``from 8pm to 8am``, ``from 20:00 to 8:00``, ``from 8 in the evening until noon``."""

_OF_24_HOURS = re.compile(r"(?<![\d:])(?:1[3-9]|2[0-4]|0\d):[0-5]\d")
"""An hour that only a clock of 24 hours has; the other end is of the same clock."""

_COLD_WAIT = re.compile(r"\b(?:chill|refrigerate|retard|fridge|refrigerator)\b[^,;.]*$", _ANY_CASE)
_SAME_TIME = re.compile(r"[\s,;:(=–-]*(?:(?:i\.?e\.?|that is|for|about|so)[\s,]*)*", _ANY_CASE)
_HALF_OF_A_SENTENCE = re.compile(r"\b[ap]\.\s?m\.$", _ANY_CASE)


@dataclass(frozen=True, slots=True)
class _Hour:
    """One end of a stretch of the day: the hours it may be, and the day as far as that is said."""

    hours: tuple[float, ...]
    day: int | None
    is_next: bool
    is_clock: bool


def _stretches(sentence: str) -> tuple[list[Lasting], dict[int, float]]:
    """The stretches of time of a sentence, and the other length of one that may be two, in s.

    "from 8 to 10pm" is two hours or fourteen. A night, or the same length once more, beside the
    hours of the day says nothing new.
    """
    clocks = list(_clocks(sentence))
    told = (
        one
        for one in lastings(sentence)
        if not any(_is_said_by(sentence, one, clock) for clock, _ in clocks)
    )
    found = sorted([*told, *(clock for clock, _ in clocks)], key=lambda one: one.start)
    return found, {clock.start: other for clock, other in clocks if other is not None}


def _is_said_by(sentence: str, told: Lasting, clock: Lasting) -> bool:
    first, second = sorted((told, clock), key=lambda one: one.start)
    if second.start < first.end:
        return True
    is_beside = _SAME_TIME.fullmatch(sentence, first.end, second.start) is not None
    return is_beside and (bool(told.how) or told.low <= clock.low <= told.high)


def _clocks(sentence: str) -> Iterator[tuple[Lasting, float | None]]:
    """The stretches between two hours of the day, in s, each with the other that it may be."""
    for found in _FROM_TO.finditer(sentence):
        first, second = (_hour(found, end) for end in ("1", "2"))
        if not (first.is_clock or second.is_clock or _is_a_night(sentence, found)):
            continue
        every = {_between(a, b, first, second) for a in first.hours for b in second.hours}
        lengths = sorted(length for length in every if length > 0)
        if lengths:
            length, other = 3600 * lengths[0], 3600 * lengths[1] if len(lengths) > 1 else None
            yield Lasting(found.start(), found.end(), length, length), other


def _is_a_night(sentence: str, found: re.Match[str]) -> bool:
    """Whether two bare numbers are hours of the day: of a cold wait, and no range of numbers."""
    is_cold = _COLD_WAIT.search(sentence, 0, found.start()) is not None
    return is_cold and _HALF_DAY >= int(found["hour1"]) >= int(found["hour2"]) > 0


def _between(start: float, end: float, first: _Hour, second: _Hour) -> float:
    """How many hours lie between two of the day: less than a day where nothing says more."""
    if first.day is not None and second.day is not None:
        days = (second.day - first.day) % 7
        return (end - start) + 24 * days
    return (end - start) + 24 if second.is_next else (end - start) % 24 or 24.0


def _hour(found: re.Match[str], which: str) -> _Hour:
    """One end of a stretch of the day; both halves of the day where its words leave them open."""
    words = f"{found[f'before{which}'] or ''} {found[f'when{which}']}".casefold()
    day = next((at for at, name in enumerate(_DAY_NAMES) if re.search(rf"\b{name}", words)), None)
    is_next = re.search(r"\b(?:tomorrow|next|following)\b", words) is not None
    name = (found[f"name{which}"] or "").casefold()
    if name:
        return _Hour((0.0 if name == "midnight" else 12.0,), day, is_next, is_clock=True)
    hour, minutes = int(found[f"hour{which}"]), float(found[f"minute{which}"] or 0) / 60
    half = (found[f"half{which}"] or _half_in(words, hour)).casefold()
    is_clock = bool(half or found[f"minute{which}"] or found[f"clock{which}"])
    of_24 = _OF_24_HOURS.search(found[0]) is not None
    if hour > 24:
        return _Hour((), day, is_next, is_clock)
    if half and hour <= _HALF_DAY:
        hours: tuple[float, ...] = (hour % _HALF_DAY + _HALF_DAY * (half == "p"),)
    elif hour > _HALF_DAY or of_24:
        hours = (hour % 24,)
    else:
        hours = (hour % _HALF_DAY, hour % _HALF_DAY + _HALF_DAY)
    return _Hour(tuple(one + minutes for one in hours), day, is_next, is_clock)


def _half_in(words: str, hour: int) -> str:
    """Which half of the day some words beside an hour say: a, p, or nothing."""
    if re.search(r"\bmorning\b", words):
        return "a"
    if re.search(r"night\b", words):
        return "a" if hour == _HALF_DAY or hour < 6 else "p"
    return "p" if re.search(r"\b(?:evening|afternoon)\b", words) else ""


def _whole_sentences(text: str) -> Iterator[tuple[int, str]]:
    """The sentences of a text; the points of "8 p.m. to 8 a.m." end none."""
    begun: tuple[int, str] | None = None
    for start, sentence in sentences_of(text):
        if begun and _HALF_OF_A_SENTENCE.search(begun[1]) and sentence[:1].islower():
            begun = begun[0], text[begun[0] : start + len(sentence)]
        else:
            if begun:
                yield begun
            begun = start, sentence
    if begun:
        yield begun
