"""The times of a method: each with the step it belongs to, its place, and until when that is.

Texts are looked at through :func:`doughwright.gathering.lines.numerals.plain`, so that a place in
them is the place in what the author wrote.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from doughwright.gathering.gathered import Origin, TimeRead
from doughwright.gathering.lines.numerals import plain
from doughwright.gathering.process import elsewhere
from doughwright.gathering.process.goals import Goal, goal_of, goals_in
from doughwright.gathering.process.lengths import lastings, sentences_of
from doughwright.gathering.process.places import place_in
from doughwright.gathering.process.verbs import verb_of

_ANY_CASE = re.IGNORECASE

_JOINED = (
    r"(?:\bthen|\band|\bplus|[+&])\s+(?:\w+\s+){0,2}?(?:(?:bake|cook|continue)\s+)?"
    r"(?:baking\s+)?(?:(?:it|them|for|about|around)\s+)*$"
)
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
    for start, sentence in sentences_of(text):
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
    end, found = 0, list(lastings(sentence))
    verb_here, last = "", next((time.verb for time in reversed(before) if time.verb), "")
    read, used = list[TimeRead](), set[int]()
    for i, lasting in enumerate(found):
        until = found[i + 1].start if i + 1 < len(found) else len(sentence)
        ahead, behind = sentence[end : lasting.start], sentence[lasting.end : until]
        role = _role(ahead, behind, is_second=end > 0)
        carried = verb_here or (last if role in ("further", "total") else "")
        if role == "ahead":  # of another step, unless one stands before it
            behind, carried = "", ""
        place = place_in(ahead, behind)
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
