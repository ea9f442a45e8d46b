"""How much a recipe makes, as one of its lines says."""

import re
from collections.abc import Mapping
from types import MappingProxyType

from doughwright.gathering.gathered import Amount, Made, Origin

COUNTED: Mapping[str, int] = MappingProxyType(
    {
        word: number
        for number, word in enumerate(
            (
                "one",
                "two",
                "three",
                "four",
                "five",
                "six",
                "seven",
                "eight",
                "nine",
                "ten",
                "eleven",
                "twelve",
            ),
            1,
        )
    }
    | {"a": 1, "dozen": 12}
)
"""Numbers in words, as far as pieces are counted in them."""

_ANY_CASE = re.IGNORECASE
_COUNT = rf"(?:\d{{1,4}}|{'|'.join(COUNTED)})"
_TO = r"\s*(?:-|–|—|to|or)\s*"
_MASS = r"(\d{1,5}(?:[.,]\d{1,3})?)\s*(kg|g|oz|lb)\b"
_MAKES = re.compile(
    rf"^(?:makes?|yields?|serves|serving|servings|recipe yield|gives|quantity|for)\b[\s:]*"
    rf"(?:about|approx(?:\.|imately)?|around|ca\.?|circa)?\s*({_COUNT})(?:{_TO}({_COUNT}))?\b"
    r"(?!\s*(?:[.,]\d|(?:kg|g|oz|lb|ml|l|cl|dl|%|cups?|tbsp|tsp|min\w*|h|hours?|days?)\b))",
    _ANY_CASE,
)
_NAMED = re.compile(r"^(?:makes?|yields?|serves|servings?|recipe yield|quantity)\b[\s:]", _ANY_CASE)
_TIMES = re.compile(
    rf"(?:^|[\s:])({_COUNT})\s*[x×]\s*{_MASS}(?=\s*(?:$|[;,.)]|each\b|piece))", _ANY_CASE
)
_EACH = re.compile(rf"{_MASS}\s*(?:each|apiece|per piece|a piece\b)", _ANY_CASE)
_INTO = re.compile(
    rf"\binto\s+({_COUNT})(?:{_TO}({_COUNT}))?\s+(?:\w+\s+)?\w+\s+of\s+(?:about\s+)?{_MASS}",
    _ANY_CASE,
)
_SIZED = re.compile(
    rf"^(?:(?:makes?|yields?|for)[\s:]+)?({_COUNT})\s+\d+(?:[./]\d+)?\s*(?:cm|in|inch|\")?\s*[x×]"
    r"\s*\d+(?:[./]\d+)?(?:\s*[x×]\s*\d+(?:[./]\d+)?)?\s*(?:-|\s)*(?:cm|inch(?:es)?|in\b|\")",
    _ANY_CASE,
)


def made_in(origin: Origin) -> Made | None:
    """How much a line says the whole makes; None where it says nothing of it.

    >>> made_in(Origin("a card", 3, "Makes 24, 75 g each")).pieces
    (24, 24)
    """
    words = " ".join(origin.text.split())
    for pattern in (_TIMES, _INTO, _MAKES, _SIZED):
        found = pattern.search(words)
        if found:
            return Made(origin, _pieces(found, pattern), _piece(words), words)
    if _EACH.search(words) or _NAMED.match(words):
        return Made(origin, None, _piece(words), words)
    return None


def is_only_made(words: str) -> bool:
    """Whether a line is there for its yield, and not a step or an ingredient that tells of one.

    >>> is_only_made("Serves 8"), is_only_made("Divide into 8 pieces of 105 g.")
    (True, False)
    """
    plain = " ".join(words.split())
    starts = (_NAMED, _MAKES, _SIZED)
    alone = _EACH.fullmatch(plain.rstrip(".")) or re.match(rf"{_COUNT}\s*[x×]", plain)
    return any(p.match(plain) for p in starts) or bool(alone and made_in(Origin("", 0, plain)))


def _pieces(found: re.Match[str], pattern: re.Pattern[str]) -> tuple[int, int]:
    first = _counted(found[1])
    ranged = pattern in (_MAKES, _INTO) and found[2]
    return first, _counted(found[2]) if ranged else first


def _counted(word: str) -> int:
    return int(word) if word.isdigit() else COUNTED[word.casefold()]


def _piece(words: str) -> Amount | None:
    """What one piece weighs: ``75 g each``, ``24 × 75 g``, ``pieces of 75 g``."""
    for pattern, at in ((_EACH, 1), (_TIMES, 2), (_INTO, 3)):
        found = pattern.search(words)
        if found:
            value = float(found[at].replace(",", "."))
            return Amount(value, value, value, found[at + 1].lower(), found[0].strip())
    return None
