"""How long: every stretch of time in a text, in digits or in words, and its sentences.

Texts are looked at through :func:`doughwright.gathering.lines.numerals.plain`, so that a place in
them is the place in what the author wrote.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from doughwright.gathering.lines.numerals import numeral_at
from doughwright.gathering.process import elsewhere

_ANY_CASE = re.IGNORECASE
OVERNIGHT = (8 * 3600.0, 12 * 3600.0)
"""How long a night is, in s (common practice, no source)."""

SURE_OVERNIGHT = 6 * 3600.0
"""A time that is no shorter says the same as the night beside it, in s (assumption)."""

_UNITS: Mapping[str, float] = MappingProxyType({"s": 1.0, "m": 60.0, "h": 3600.0, "d": 86400.0})
_UNIT = (
    rf"(?:{'|'.join(words for words, _ in elsewhere.UNITS)}|"
    r"hours?|hrs?|h(?=[0-5]\d)|h|minutes?|mins?|min|days?|seconds?|secs?)(?:\b|(?<=h)(?=\d))"
    r"(?:['’](?:s\b)?)?\.?"
)
_SIZES = tuple((re.compile(words, _ANY_CASE), size) for words, size in elsewhere.UNITS)
_PHRASES = tuple(
    (re.compile(rf"(?<![^\W_])(?:{words})(?![^\W_])", _ANY_CASE), size)
    for words, size in elsewhere.PHRASES
)
_ANY_UNIT = re.compile(
    rf"(?<![^\W\d]){_UNIT}|\b(?:over ?night|all night|until|{elsewhere.NIGHT})\b|"
    rf"{'|'.join(words for words, _ in elsewhere.PHRASES)}",
    _ANY_CASE,
)
_NUMBER_STARTS = re.compile(
    r"(?<![\w.,/])(?<!\w-)(?=[\d.½⅓⅔¼¾⅛⅜⅝⅞]|(?:an?|one|two|three|four|five|six|seven|eight|nine|ten|"
    r"eleven|twelve|fifteen|twenty|thirty|forty|fifty|sixty|ninety|half|quarter)\b)",
    _ANY_CASE,
)
_UNIT_BEHIND = re.compile(rf"[\s-]*({_UNIT})", _ANY_CASE)
_COUPLE = re.compile(r"a couple(?: of)?(?=\s+(?:hours?|days?|minutes?))", _ANY_CASE)
_SHARES = tuple(
    (re.compile(rf"\s+(?:{words})\b", _ANY_CASE), share)
    for words, share in (
        (r"and\s+(?:a\s+)?half", 0.5),
        (r"and\s+(?:a\s+)?quarter", 0.25),
        (r"and\s+(?:a\s+)?three[\s-]quarters", 0.75),
        *elsewhere.SHARES,
    )
)
_AND_A_HALF = re.compile(rf"\s+{elsewhere.AND_A_HALF}\b", _ANY_CASE)
_AND = rf"(?:and|&|{elsewhere.PLUS})"
_AND_MORE = re.compile(rf"\s*(?:,\s*)?(?:{_AND}\s+)?(?=\d)|\s+{_AND}\s+", _ANY_CASE)
_IN_WORDS = tuple(
    (re.compile(rf"\s+{_AND}\s+(?:{words})\s+min\w*", _ANY_CASE), minutes)
    for words, minutes in elsewhere.MINUTES
)
_GLUED_MINUTES = re.compile(
    r"\s?([0-5]\d)(?!\d)(?!\s*[°º%]|\s*[CF]\b|[.,]\d)"
    r"(?:\s?(?:min(?:ute)?s?|mn|m)\b\.?|(?!\s*[^\W\d])|(?<=h\d\d)(?=\s)|"
    rf"(?=\s+(?:then|and|at|in|on|before|{elsewhere.BEHIND_MINUTES})\b))",
    _ANY_CASE,
)
"""``1h30``, whatever follows; and ``1 h 30`` where no word does that it may be a number of."""

_NORTHERN_TIME = re.compile(r"(?<=[\d½¼¾⅓⅔])(\s?)time\b", _ANY_CASE)
_TO = re.compile(rf"\s*(?:-|–|—|~|to|or|{elsewhere.TO})\s*(?:about\s+)?", _ANY_CASE)
_AND_UP_TO = re.compile(r"\s+and\s+(?:up to\s+)?", _ANY_CASE)
_BETWEEN = re.compile(r"\b(?:between|at least)\s+$", _ANY_CASE)
_OR_TWO = re.compile(r"\s+or\s+(two|three)\b(?!\s+\w*(?:min|hour|day))", _ANY_CASE)
_NIGHT = re.compile(
    rf"\b(?:over ?night|all night|{elsewhere.NIGHT}|"
    r"(?:until|till) (?:the )?(?:next|following) (?:day|morning)|"
    r"(?:until|till) (?:the )?morning)\b(?!\s+(?:sponge|poolish|levain|leaven|starter|dough|"
    r"biga|pre-?ferment|soaker|scald|bread|loaf|loaves|rolls|buns|mix|oats|sour|rye))",
    _ANY_CASE,
)
_UNITLESS = re.compile(
    r"(?:\b(?:then|and|another|further|for)\s+(?:for\s+|another\s+|a\s+further\s+)?|"
    r"[:(]\s*(?=\d{1,2}\s+at\s+\d{3}))(\d{1,2})"
    r"(?:\s*(?:-|–|to)\s*(\d{1,2}))?(?=\s+(?:at\s+\d{3}|more\b|longer\b)|\s*[.;,]?\s*$)",
    _ANY_CASE,
)
_SHORT_WORDS = """min mins hr hrs std sek tim ca approx"""
_ABBREVIATED = "".join(rf"(?<!\b(?i:{word})\.)" for word in _SHORT_WORDS.split()) + r"(?<!\b[FC]\.)"
_SENTENCE_ENDS = re.compile(rf"(?<=[.;!?]){_ABBREVIATED}\s+|(?<=\.)\s+(?=[A-Z])")


@dataclass(frozen=True, slots=True)
class Lasting:
    """A stretch of time in s and where in a text it stands; ``how`` where no number says it."""

    start: int
    end: int
    low: float
    high: float
    how: str = ""


def sentences_of(text: str) -> Iterator[tuple[int, str]]:
    """The sentences of a plain text, each with its place.

    >>> list(sentences_of("Bake 10 min. at 220 °C. Cool."))
    [(0, 'Bake 10 min. at 220 °C.'), (24, 'Cool.')]
    """
    start = 0
    for found in _SENTENCE_ENDS.finditer(text):
        yield start, text[start : found.start()]
        start = found.end()
    if start < len(text):
        yield start, text[start:]


# --- Stretches ------------------------------------------------------------------------------------


def lastings(text: str) -> Iterator[Lasting]:
    """Every stretch of time in a plain text, in its order.

    >>> [lasting.high / 60 for lasting in lastings("1 h 30 min, 2–3 hours, an hour and a half")]
    [90.0, 180.0, 90.0]
    >>> [lasting.low / 3600 for lasting in lastings("overnight (10-14 hours), then overnight")]
    [10.0, 8.0]
    """
    if elsewhere.HOURS_OF_NORTH.search(text) and not elsewhere.ENGLISH.search(text):
        text = _NORTHERN_TIME.sub(r"\1hour", text)
    if not _ANY_UNIT.search(text):
        return
    numbered = list(_numbered(text))
    told = [*numbered, *_nights(text), *_unitless(text, numbered), *_spoken(text, numbered)]
    found = list[Lasting]()
    for lasting in sorted(told, key=lambda lasting: lasting.start):
        if not found or found[-1].end <= lasting.start:  # minutes of the hour before are its own
            found.append(lasting)
    for at, lasting in enumerate(found):
        beside = [found[i] for i in (at - 1, at + 1) if 0 <= i < len(found)]
        if not (lasting.how and any(_says_the_night(text, lasting, other) for other in beside)):
            yield lasting


def _nights(text: str) -> Iterator[Lasting]:
    low, high = OVERNIGHT
    for found in _NIGHT.finditer(text):
        how = f"“{found[0].casefold()}” is taken as 8–12 h (common practice, no source)"
        yield Lasting(found.start(), found.end(), low, high, how)


def _says_the_night(text: str, night: Lasting, other: Lasting) -> bool:
    """Whether a time with numbers beside a night says how long that is."""
    if other.how:
        return False
    first, second = sorted((night, other), key=lambda lasting: lasting.start)
    between = text[first.end : second.start].casefold()
    words = set(re.findall(r"[a-z]+", between))
    glue = {"or", "for", "about", "around", "at", "least", "i", "e", "that", "is", "approximately"}
    if between.rstrip().endswith("("):
        glue |= {"in", "on", "the", "a", "fridge", "refrigerator", "room", "temperature", "cold"}
    near = words <= glue and not re.search(r"[.;]\s", between)
    return near and ("or" not in words or other.high >= SURE_OVERNIGHT)


def _size(unit: str) -> float:
    """What a unit of time lasts in s."""
    found = (size for words, size in _SIZES if words.fullmatch(unit.rstrip(".")))
    return next(found, 0.0) or _UNITS[unit[0].lower()]


def _spoken(text: str, told: Sequence[Lasting]) -> Iterator[Lasting]:
    """Times in the words of another language: ``eine Stunde``, ``mezz'ora``."""
    taken = [(one.start, one.end) for one in told]
    for words, size in _PHRASES:
        for found in words.finditer(text):
            if not any(found.start() < end and start < found.end() for start, end in taken):
                taken.append(found.span())
                unit = _UNITS["h"] if size >= _UNITS["h"] else _UNITS["m"]
                end, low, high = _more(text, found.end(), unit)
                yield Lasting(found.start(), end, size + low, size + high)


def _unitless(text: str, told: Sequence[Lasting]) -> Iterator[Lasting]:
    """Minutes whose unit was said before: ``10 minutes at 250 °C, then 20 at 200``."""
    for found in _UNITLESS.finditer(text):
        before = [one for one in told if one.end <= found.start()]
        if before and before[-1].high < 2 * _UNITS["h"]:
            low, high = (60.0 * float(found[i] or found[1]) for i in (1, 2))
            yield Lasting(found.start(1), found.end(), low, high)


def _numbered(text: str) -> Iterator[Lasting]:
    at = 0
    for found in _NUMBER_STARTS.finditer(text):
        if found.start() < at:
            continue
        term = _ranged(text, found.start())
        if term is not None and 0 < term.low <= term.high:
            yield term
            at = term.end


def _ranged(text: str, start: int) -> Lasting | None:
    """A time, or a range of two with a unit each: ``45 minutes to 1 hour``."""
    first = _term(text, start)
    if first is None:
        return None
    two = _OR_TWO.match(text, first.end)
    if two:
        times = 2 if two[1].casefold() == "two" else 3
        return replace(first, end=two.end(), high=first.high * times)
    between = _BETWEEN.search(text, 0, start)
    to = _TO.match(text, first.end) or (_AND_UP_TO.match(text, first.end) if between else None)
    second = _term(text, to.end()) if to else None
    if second is None or second.high < first.low:
        return first
    return Lasting(start, second.end, first.low, max(first.high, second.high))


def _term(text: str, start: int) -> Lasting | None:
    """A number with its unit, and what is added to it: ``1 h 30 min``, ``an hour and a half``."""
    couple = _COUPLE.match(text, start)
    number = None if couple else numeral_at(text, start)
    low, high, end = (2.0, 2.0, couple.end()) if couple else (0.0, 0.0, start)
    if number is not None:
        low, high, end = number.low, number.high, number.end
    elif couple is None:
        return None
    half = _AND_A_HALF.match(text, end)
    if half:
        low, high, end = low + 0.5, high + 0.5, half.end()
    unit = _UNIT_BEHIND.match(text, end)
    if unit is None:
        return _between(text, start, low, end)
    size = _size(unit[1])
    end, least, most = _more(text, unit.end(), size)
    return Lasting(start, end, low * size + least, high * size + most)


def _between(text: str, start: int, low: float, end: int) -> Lasting | None:
    """``between 1 and 2 hours``, ``at least 8 and up to 24 h``: one unit for two numbers."""
    if not _BETWEEN.search(text, 0, start):
        return None
    to = _AND_UP_TO.match(text, end)
    second = _term(text, to.end()) if to else None
    if to is None or second is None:
        return None
    unit = _UNIT_BEHIND.search(text, to.end())
    size = _size(unit[1]) if unit else 0.0
    return Lasting(start, second.end, low * size, second.high)


def _more(text: str, end: int, size: float) -> tuple[int, float, float]:
    """What stands behind a unit of so many s and belongs to it: where it ends, its ends in s."""
    for words, share in _SHARES:
        found = words.match(text, end)
        if found:
            return found.end(), size * share, size * share
    if size < _UNITS["h"]:
        return end, 0.0, 0.0
    return _minutes(text, end, size) or _smaller(text, end, size) or (end, 0.0, 0.0)


def _minutes(text: str, end: int, size: float) -> tuple[int, float, float] | None:
    """Minutes behind an hour without a unit, or in words: ``1h30``, ``et dix minutes``."""
    if size != _UNITS["h"]:
        return None
    glued = _GLUED_MINUTES.match(text, end)
    if glued:
        return glued.end(), 60.0 * float(glued[1]), 60.0 * float(glued[1])
    spoken = ((words.match(text, end), 60.0 * minutes) for words, minutes in _IN_WORDS)
    return next(((found.end(), more, more) for found, more in spoken if found), None)


def _smaller(text: str, end: int, size: float) -> tuple[int, float, float] | None:
    """A number of a smaller unit, less than one of the larger: ``2 hours and 15 minutes``."""
    to = _AND_MORE.match(text, end)
    number = numeral_at(text, to.end()) if to else None
    unit = _UNIT_BEHIND.match(text, number.end) if number else None
    if to is None or number is None or unit is None:
        return None
    smaller = _size(unit[1])
    is_list = "," in to[0] and number.low < number.high
    if is_list or number.high * smaller >= size:
        return None
    return unit.end(), number.low * smaller, number.high * smaller
