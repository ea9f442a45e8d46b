"""What a method tells of its bake, in its order: settings, times, and turns of the oven."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from doughwright.gathering.gathered import Origin, OvenRead, TimeRead
from doughwright.gathering.lines.numerals import plain
from doughwright.gathering.process import elsewhere
from doughwright.gathering.process.lengths import sentences_of
from doughwright.gathering.process.ovens import Settings, grouped
from doughwright.units import KelvinDifference

_ANY_CASE = re.IGNORECASE
_PREHEAT = re.compile(
    r"\bpre-?heat(?!ed\b)|\bpre-?heated (?:to|at)\b|"
    rf"\bheat(?:ing)? (?:up )?(?:the |your |an? )?oven|\b(?:{elsewhere.PREHEAT})",
    _ANY_CASE,
)
_SET = re.compile(
    r"\b(?:set|turn|switch)(?:ing)? (?:on )?(?:the |your )?oven\b(?! down| up| back)|"
    r"\b(?:have|get) (?:the |your )?oven\b",
    _ANY_CASE,
)
"""Before the bake as much as preheating, and a turn of the oven once it is on."""

TURN = re.compile(
    r"\b(?:turn(?:ed|ing)?|lower(?:ed|ing)?|reduc(?:e|ed|ing)|drop(?:ped|ping)?|decreas(?:e|ing)|"
    r"cut(?:ting)?|bring(?:ing)?|fall(?:ing)?|rais(?:e|ing)|increas(?:e|ing)|change|switch|adjust|"
    r"mov(?:e|ing)|transfer\w*|"
    rf"down|back|then|afterwards|rest|remain\w*|{elsewhere.TURN})\b|^\s*to\s*$",
    _ANY_CASE,
)
_TURN_BEHIND = re.compile(rf"\s*(?:{elsewhere.TURN_BEHIND})\b", _ANY_CASE)
_TURNED = re.compile(
    r"\b(?:lower|reduc|drop|decreas|turn)(?:e|ing|ping)?\s+(?:down\s+)?(?:the\s+)?"
    r"(?:oven|heat|temperature|it down|by)\b(?! (?:on|off|out|over|onto|into)\b)|\bfalling oven\b",
    _ANY_CASE,
)
_BY = re.compile(
    r"\b(?:(?P<down>lower|reduc|drop|decreas|turn(?!\w* up))|rais|increas|turn)\w*"
    r" (?:\w+ ){0,4}by (?P<by>\d{2})(?: degrees)?(?: ?°? ?(?P<unit>[CF])\b)?",
    _ANY_CASE,
)

_HALFWAY = re.compile(r"\bhalf[\s-]?way\b|\bhalf (?:of )?the (?:baking )?time\b", _ANY_CASE)
_LID = re.compile(r"\b(?:un)?cover(?:ed)?\b|\blid\b|\bsteam\b|\bfoil\b", _ANY_CASE)
_NEXT = re.compile(
    rf"\s*[,/+]?\s*(?:(?:and|{elsewhere.AND})\s+)*(?:(?:at|{elsewhere.AT})\s+)?", _ANY_CASE
)
"""What stands between the time at one setting and the next setting, where they follow."""
_STARTS = re.compile(r"\b(?:start|begin)\w*\b|\bfrom\s*$", _ANY_CASE)
"""A time told before this is that of the whole bake."""
_FALLS = re.compile(
    r"(?<!before )(?<!then )\b(?:fall(?:ing|s)|dropping|descending|reducing|lowering|decreasing|"
    rf"{elsewhere.FALLING})\b",
    _ANY_CASE,
)
"""A time told before this is that of the whole bake, where no other is told of what follows."""
_AFTER = re.compile(r"\b(?:after|once)\b[\w\s]{0,30}$", _ANY_CASE)


@dataclass(frozen=True, slots=True)
class Token:
    """A setting, a time or a turn of the bake, with its sentence's words before and behind it.

    ``next`` are settings that stand next in the same sentence, ``place`` is where that begins.
    """

    settings: Settings
    time: TimeRead | None
    ahead: str
    behind: str
    sentence: Origin
    place: tuple[int, int]
    next: Settings = ()
    by: KelvinDifference = 0.0
    """How far the oven is turned, where no setting says to what."""

    @property
    def is_set(self) -> bool:
        """Whether the oven is set, which is a turn only once something bakes."""
        return bool(_SET.search(self.ahead))

    @property
    def is_preheat(self) -> bool:
        """Whether the oven is only heated to it."""
        return bool(_PREHEAT.search(self.ahead))

    @property
    def is_turn(self) -> bool:
        """Whether the oven is turned to it."""
        is_from = self.ahead.casefold().rstrip().endswith("from")
        told = TURN.search(self.ahead) or _TURN_BEHIND.match(self.behind)
        return bool(told) and not self.is_preheat and not is_from

    @property
    def is_falling(self) -> bool:
        """Whether the oven falls to it while it bakes."""
        return bool(_FALLS.search(self.ahead))

    @property
    def is_halfway(self) -> bool:
        """Whether it is so from the middle of the bake on."""
        return bool(_HALFWAY.search(self.ahead + self.behind))

    @property
    def is_start(self) -> bool:
        """Whether the bake begins at it."""
        return bool(_STARTS.search(self.ahead))

    @property
    def is_next(self) -> bool:
        """Whether nothing is said between it and what stands before it."""
        return bool(_NEXT.fullmatch(self.ahead))

    @property
    def is_after(self) -> bool:
        """Whether something is done once it is over."""
        return bool(_AFTER.search(self.ahead))

    @property
    def is_covered(self) -> bool:
        """Whether a lid, foil or steam is told of behind it."""
        return bool(_LID.search(self.behind))

    @property
    def is_part(self) -> bool:
        """Whether it is a part of the time before it: ``40 minutes: 15 at 250 °C``."""
        return bool(self.next) and self.ahead.rstrip().endswith(":")


@dataclass(frozen=True, slots=True)
class _Told:
    start: int
    end: int
    settings: Settings = ()
    time: TimeRead | None = None
    by: KelvinDifference = 0.0


def tokens_of(
    ovens: Sequence[OvenRead], times: Sequence[TimeRead], method: Sequence[Origin]
) -> Iterator[Token]:
    """The settings, times and turns of a bake in the order of the text."""
    told: dict[Origin, list[_Told]] = {}
    for group in grouped(ovens):
        told.setdefault(group[0].origin, []).append(_Told(group[0].start, group[-1].end, group))
    for time in filter(lambda time: time.verb, times):
        told.setdefault(time.origin, []).append(_Told(time.start, time.end, (), time))
    for at, line in enumerate(dict.fromkeys([*method, *(oven.origin for oven in ovens)])):
        text = plain(line.text)
        here = told.get(line, [])
        for start, sentence in sentences_of(text):
            end = start + len(sentence)
            inside = [one for one in here if start <= one.start < end]
            last = max((one.start for one in inside if one.settings), default=start)
            turns = [found.span() for found in _TURNED.finditer(text, last, end)]
            inside += [_Told(*span, by=_by(sentence)) for span in turns]
            inside.sort(key=lambda one: one.start)
            said = replace(line, text=line.text[start:end].strip(" ;"))
            yield from _of_sentence(said, text, (at, start), end, inside)


def _of_sentence(
    said: Origin, text: str, place: tuple[int, int], end: int, told: Sequence[_Told]
) -> Iterator[Token]:
    for i, one in enumerate(told):
        left = told[i - 1].end if i else place[1]
        right = told[i + 1].start if i + 1 < len(told) else end
        if one.time is None or one.time.verb == "bake":
            yield Token(
                settings=one.settings,
                time=one.time,
                ahead=text[left : one.start],
                behind=text[one.end : right],
                sentence=said,
                place=place,
                next=told[i + 1].settings if i + 1 < len(told) else (),
                by=one.by,
            )


def _by(sentence: str) -> KelvinDifference:
    """How far the oven is turned: ``reduce the oven by 20 °C``."""
    found = _BY.search(sentence)
    if found is None:
        return 0.0
    size = float(found["by"]) / (1.8 if (found["unit"] or "").casefold() == "f" else 1.0)
    return -size if found["down"] else size
