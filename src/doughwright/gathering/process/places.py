"""Where a dough waits: a temperature of its own, the fridge, the room."""

import re
from collections.abc import Iterator

from doughwright.gathering.process import elsewhere

COOLEST_OVEN = 373.15 + 7
"""What is no hotter is boiling water, a proofer or a core, in K (assumption)."""

_ANY_CASE = re.IGNORECASE
_HERE = re.compile(r"[.;]\s|\b(?:then|dann|puis|poi|sedan|derefter|luego)\b", _ANY_CASE)
_WARMTH = re.compile(
    r"(?<![\d.,/])(-?\d{1,3}(?:\.\d)?)(?:\s*(?:°|º)?\s*[CF]?\s*(?:-|–|to)\s*(\d{1,3}(?:\.\d)?))?"
    r"\s*(?:°|º|deg(?:rees)?\.?)?\s*(C|F|celsius|fahrenheit)\b",
    _ANY_CASE,
)
_OF_SOMETHING = re.compile(
    r"\b(?:water|milk|core|inside|internal\w*|DDT|liquid|butter|until (?:it|they))\b"
    r"[^.;,()]{0,40}$|"
    r"\bdough (?:temp\w*|is|reaches|has|comes|should|of|out)\b[^.;()]{0,30}$|"
    r"\b(?:mix|knead)\w*\b[^.;,()]{0,40}\bdough (?:at|to) $",
    _ANY_CASE,
)
_COLD = re.compile(
    rf"\b(?:fridge|refrigerat\w*|chill\w*|{'|'.join(elsewhere.FRIDGES)}|{elsewhere.COLD})\b",
    _ANY_CASE,
)
_LEFT = re.compile(r"\b(?:from|out of) (?:the |your )?(?:fridge|refrigerator)\b", _ANY_CASE)
_FREEZER = re.compile(r"\b(?:freezer|freeze)\b", _ANY_CASE)
_ROOM = re.compile(
    rf"\b(?:room temperature|room temp|ambient|on the (?:counter|worktop)|{elsewhere.ROOM})\b",
    _ANY_CASE,
)

_WORK_WORDS = """shape divide scale form roll cut fold knead mix bake proof prove rise ferment rest
    cook turn take remove return"""
_WORK = "|".join(_WORK_WORDS.split())
_TO_COLD = "chill|refrigerate|retard|put|place|move|transfer|pop"
_KEEP = "leave|let|allow|keep|store|set|cover"
_TIME_FOLLOWS = r"(?=(?:(?!\bthen\b)[^.])*[\s(]$)"
_ALSO = r"(?:(?:and|or|also|else|instead|you can)\b,?\s+)*"
_NEXT_WORK = re.compile(
    rf"(?:[,;]|\b(?:and|or|but|before)\b)\s*{_ALSO}(?:{_WORK})\b|"
    rf"\b(?:and|or|but|before)\s+{_ALSO}(?:{_TO_COLD})\b|"
    rf"(?:[,;]|\b(?:and|or)\b)\s*{_ALSO}(?:{_TO_COLD}|{_KEEP}|into)\b{_TIME_FOLLOWS}|"
    rf"\b(?:and|or)\s+(?:in|at|on)\b(?:(?!\bthen\b)[^,;.])*[\s(]$|"
    r"[,+&]\s*(?:the\s+|into\s+)*(?:fridge|refrigerator)\s+(?:for\s+)?$",
    _ANY_CASE,
)
"""Where the next work begins behind a time, and what is said of a place is of that (from memory).

"Rise 1 hour and chill" rises in the room; words of keeping, which may say where the time before
them is spent ("rise 8 hours, leave in the fridge"), need a time of their own.
"""

_JOINED = re.compile(r"\b(?:and|or)\s+(?:for\s+|about\s+)*$", _ANY_CASE)


def place_in(ahead: str, behind: str) -> str:
    """Where something waits, as a formula says it; empty where the words do not.

    ``ahead`` and ``behind`` are what a sentence says around a time.

    >>> place_in("Ferment at 26-27C for ", "."), place_in("Leave ", " in the fridge.")
    ('26–27 °C', 'fridge')
    >>> place_in("Mix to a dough temperature of 24 °C, leave for ", " at room temperature")
    'room'
    """
    behind = _HERE.split(behind)[0]
    ahead = _HERE.split(ahead)[-1]
    if _JOINED.search(ahead) and any(_named(behind)):
        ahead = ""
    warm = [*_warmths(behind), *reversed(list(_warmths(ahead)))]
    if warm:
        return warm[0]
    return next(_named(f"{ahead} {behind}"), "")


def parted(between: str) -> tuple[str, str]:
    """What is said between two times, as what is of the first and what is of the second.

    Where the second is no work of its own, it all may be of both.

    >>> parted(" in the fridge and rise "), parted(", covered, at 26 °C, then ")
    ((' in the fridge ', 'and rise '), (', covered, at 26 °C, then ', ', covered, at 26 °C, then '))
    """
    work = _NEXT_WORK.search(between)
    return (between[: work.start()], between[work.start() :]) if work else (between, between)


def _named(words: str) -> Iterator[str]:
    """The places that words name: the coldest first."""
    here = _LEFT.sub(" ", words)
    places = (("freezer", _FREEZER), ("fridge", _COLD), ("room", _ROOM))
    return (place for place, told in places if told.search(here))


def _warmths(words: str) -> list[str]:
    """Temperatures of a place, and none of a dough or a liquid."""
    found = []
    for told in _WARMTH.finditer(words):
        celsius = told[3][0] in "cC"
        top = float(told[2] or told[1])
        kelvin = 273.15 + (top if celsius else (top - 32) / 1.8)
        if kelvin <= COOLEST_OVEN and not _OF_SOMETHING.search(words[: told.start()]):
            ends = f"{told[1]}–{told[2]}" if told[2] else told[1]
            found.append(f"{ends} °{'C' if celsius else 'F'}")
    return found
