"""Until when a dough rises, where a method says more than how long: doubled, by half, ripe."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from doughwright.gathering.lines.numerals import numeral_at
from doughwright.gathering.process.verbs import steps_named

ALMOST = 1.8
"""How large “almost doubled” is (assumption)."""

RIPE = "ripe"
"""A goal that only a preferment has."""

_ANY_CASE = re.IGNORECASE
_SHARES: Mapping[str, float] = MappingProxyType(
    {"quarter": 0.25, "third": 1 / 3, "half": 0.5, "two": 2 / 3, "three": 0.75}
)
_NEARLY = (
    r"(?:almost|nearly|(?:just )?(?:under|short of)|not quite|fast|beinahe|knapp|presque|quasi|"
    r"nästan|næsten|nesten|casi)"
)
_DOUBLED = re.compile(
    rf"\b(?P<nearly>{_NEARLY}\s+(?:\w+ )?)?(?:doubled\b|"
    r"doubles?\b(?=\s+(?:in (?:size|volume|bulk)|its|their)\b)|"
    r"(?<=until )double\b|(?<=till )double\b|(?<=or )double\b(?=[.,;)]|$)|(?<=ly )double\b|"
    r"(?<=almost )double\b|twice (?:its|their|the)\b|(?:ver)?doppel(?:t|te|ten)\b|doublé\w*|"
    r"doubler? de volume|raddopp\w+|doblad\w+|doble\b|dubbel\w*|dubblera\w*|dobbelt?\b|fordobl\w+|"
    r"verdubbel\w+)",
    _ANY_CASE,
)
_TRIPLED = re.compile(
    r"\btripled\b|\btriples?\b(?= (?:in|its|their))|\b(?<=until )triple\b", _ANY_CASE
)
_TIMES = re.compile(
    r"(?P<number>\b[\d½¼¾.,/ ]*[\d½¼¾]|\bone and a half)\s*"
    r"(?:x\b(?!\s*\d)|times\b(?=\s*(?:its|their|the|as|larger|bigger|in size)\b))",
    _ANY_CASE,
)
_BY = re.compile(
    r"\b(?:ris\w+|rose|grow\w*|grew|increas\w*|expand\w*|gain\w*|swell\w*|up|puffed)\b[\w\s]{0,25}?"
    r"\bby\s+(?:about\s+|around\s+|roughly\s+|at least\s+|some\s+|~\s*)?(?:an?\s+|one\s+)?"
    r"(?:(?P<low>\d{2,3})\s*(?:%|percent)?(?:\s*(?:-|–|to)\s*(?P<high>\d{2,3}))?\s*(?:%|percent\b)"
    r"|(?P<share>half|third|quarter|two[\s-]thirds|three[\s-]quarters))",
    _ANY_CASE,
)
_RIPE = re.compile(
    r"\b(?:until|till|bis)\b[^.;]{0,40}?\b(?:ripe|bubbl(?:y|ing)|frothy|active|mature|domed|peaked|"
    r"reif|blasig)\b|\bwhen (?:it is )?ripe\b",
    _ANY_CASE,
)
_NEVER = re.compile(r"(?:\b(?:not|never|without|before it)|n['’]t)\b[^.;,]{0,40}$", _ANY_CASE)
_UNTIL = re.compile(r"\b(?:until|till?|bis|jusqu\w*|finché|fino|tills|til|hasta|tot)\b", _ANY_CASE)
_CLAUSE_ENDS = re.compile(
    r"[;:]|\.\s|,(?!\s*(?:or|and|about|around|ca|approx\w*)?\s*(?:until|till?|it|they|bis)\b)|"
    r"\bthen\b|\band\b(?! (?:until|has|have|a half))"
)


@dataclass(frozen=True, slots=True)
class Goal:
    """Until what something rises as a formula says it; ``how`` where the words say less.

    ``said`` is whether the words before it say until when, ``start`` and ``end`` its place.
    """

    words: str
    start: int
    end: int
    how: str = ""
    said: bool = False


def goals_in(text: str) -> list[Goal]:
    """Every goal of a rise in a plain text, in its order.

    >>> [goal.words for goal in goals_in("until almost doubled, or risen by a half")]
    ['1.8x', '1.5x']
    >>> goals_in("Double the yeast in winter; don't let it get doubled")
    []
    """
    found = [goal for goal in _goals(text) if not _NEVER.search(text, 0, goal.start)]
    return sorted(found, key=lambda goal: goal.start)


def goal_of(sentence: str, left: int, span: tuple[int, int], right: int) -> Goal | None:
    """The goal of a time at a place of a sentence, between the times before and behind it.

    >>> words = "Let rise until doubled, about 1 hour, shape, proof until risen by half."
    >>> goal_of(words, 0, (30, 36), len(words)).words
    'double'
    >>> goal_of("until doubled, shape, and proof 1 hour", 0, (32, 38), 38) is None
    True
    """
    start, end = span
    found = goals_in(sentence)
    glued = end + 1 if sentence[end : end + 1] in (",", ";") else end
    ends = _CLAUSE_ENDS.search(sentence, glued, right)
    right = ends.start() if ends else right
    after = [goal for goal in found if end <= goal.start and goal.end <= right]
    before = [goal for goal in found if left <= goal.start and goal.end <= start]
    near = [goal for goal in before if not steps_named(sentence[goal.end : start])]
    return next(iter([*after, *reversed(near)]), None)


def _goals(text: str) -> Iterator[Goal]:
    for found in _DOUBLED.finditer(text):
        nearly = found["nearly"]
        how = f"“{found[0]}” is taken as {ALMOST:g} times (assumption)" if nearly else ""
        yield _goal(text, found, f"{ALMOST:g}x" if nearly else "double", how)
    for found in _TRIPLED.finditer(text):
        yield _goal(text, found, "3x")
    for found in _TIMES.finditer(text):
        times = 1.5 if "one" in found["number"].casefold() else _number(found["number"])
        if 1 < times <= 4 and _UNTIL.search(text, 0, found.start()):
            yield _goal(text, found, "double" if times == 2 else f"{times:.3g}x")
    for found in _BY.finditer(text):
        if found["share"]:
            by = _SHARES[re.split(r"[\s-]", found["share"].casefold())[0]]
            yield _goal(text, found, f"{1 + by:.3g}x")
        else:
            low, high = (1 + float(found[end] or found["low"]) / 100 for end in ("low", "high"))
            ends = f"{low:.3g}–{high:.3g}" if low < high else f"{low:.3g}"
            yield _goal(text, found, "double" if ends == "2" else f"{ends}x")
    for found in _RIPE.finditer(text):
        yield _goal(text, found, RIPE)


def _goal(text: str, found: re.Match[str], words: str, how: str = "") -> Goal:
    said = words == RIPE or bool(_UNTIL.search(text, max(0, found.start() - 60), found.start()))
    return Goal(words, found.start(), found.end(), how, said)


def _number(words: str) -> float:
    start = len(words) - len(words.lstrip())
    number = numeral_at(words, start)
    return number.high if number else 0.0
