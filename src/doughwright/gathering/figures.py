"""What a line says beside ingredients: how much it makes, how hot the oven is, how long."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from doughwright.gathering.gathered import Amount, Made, Origin, OvenRead, TimeRead
from doughwright.units import ICE_POINT

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

COOLEST_OVEN = 373.15 + 7
"""What is no hotter is boiling water, a proofer or a core, in K (assumption)."""

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

_KINDS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("fan", "convection", "fan oven", "fan-assisted", "fan forced"), "fan"),
        **dict.fromkeys(("conventional", "without a fan", "no fan", "static"), "conventional"),
    }
)
_KIND = "|".join(sorted(_KINDS, key=len, reverse=True))
_HEAT = re.compile(
    rf"(?:\b(?P<before>{_KIND})[:\s]+)?\b(?P<low>\d{{2,3}})"
    rf"(?:\s*(?:°\s*)?(?:-|–|to)\s*(?P<high>\d{{2,3}}))?\s*"
    rf"(?:°|º|deg(?:rees)?\.?)?\s*(?P<unit>[CF]|celsius|fahrenheit)\b"
    rf"(?:[\s(,]*(?P<after>{_KIND})\b(?!\s*\d))?",
    _ANY_CASE,
)
_GAS = re.compile(r"\bgas(?:\s+mark)?\s*([1-9]\d?|[¼½]|1/[24])(?![\d°])", _ANY_CASE)

_UNITS: Mapping[str, float] = MappingProxyType({"s": 1.0, "m": 60.0, "h": 3600.0, "d": 86400.0})
_SIGNS: Mapping[str, float] = MappingProxyType({"¼": 0.25, "½": 0.5, "¾": 0.75})
_FRACTION = re.compile(r"(?:(?<=\d)[ -])?(?<![\d/])([13])\s?[/⁄]\s?([24])(?![\d/])")
_NUMBER = r"\d{1,4}(?:[.,]\d{1,2})?(?:\s*[¼½¾])?|[¼½¾]"
_UNIT = r"(?:hours?|hrs?|h|minutes?|mins?|min|days?|seconds?|secs?)\b\.?"
_TERM = rf"(?:{_NUMBER})\s*{_UNIT}(?:\s*(?:and\s+)?(?:{_NUMBER})\s*(?:minutes?|mins?|min)\b\.?)?"
_LASTS = re.compile(
    rf"(?<![\d.,/⁄])(?:(?P<low>{_TERM}|{_NUMBER})\s*(?:-|–|—|to|or)\s*)?(?P<high>{_TERM})",
    _ANY_CASE,
)
_PART = re.compile(rf"({_NUMBER})\s*([a-z]+)", _ANY_CASE)

VERBS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("mix", "knead", "beat", "combine", "stir", "mixing", "kneading"), "mix"),
        **dict.fromkeys(("ferment", "rise", "bulk", "rising", "double", "doubled"), "ferment"),
        **dict.fromkeys(("fermentation", "risen", "ripe", "bubbly"), "ferment"),
        **dict.fromkeys(("ferments", "fermented", "fermenting", "rises"), "ferment"),
        **dict.fromkeys(
            ("proof", "proofs", "prove", "proves", "proofing", "proving", "proved"), "proof"
        ),
        **dict.fromkeys(("bake", "baking", "baked", "oven"), "bake"),
        **dict.fromkeys(("rest", "rests", "relax", "resting", "stand", "stands", "leave"), "rest"),
        **dict.fromkeys(("cool", "cooling"), "cool"),
        **dict.fromkeys(("retard", "chill", "refrigerate", "fridge", "cold"), "retard"),
        **dict.fromkeys(("soak", "soaking"), "soak"),
        **dict.fromkeys(("steam", "steaming"), "steam"),
        **dict.fromkeys(("cook", "simmer", "boil"), "cook"),
        **dict.fromkeys(("fold", "folds"), "fold"),
    }
)
"""Words of a method for the steps of a process; steam is none of ours and stays a word."""

AGAIN = re.compile(
    r"\b(?:second|again|final|last|shaped|pieces|tins?|loaves|rolls|buns)\b", _ANY_CASE
)
"""With one of these a dough that rises is proofing."""


@dataclass(frozen=True, slots=True)
class Lasting:
    """A stretch of time in s and where in a sentence it stands."""

    start: int
    low: float
    high: float


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


def ovens_in(origin: Origin) -> Iterator[OvenRead]:
    """Every oven setting of a line, in its order: temperatures above boiling, and gas marks.

    >>> [(o.kind, o.mark) for o in ovens_in(Origin("a card", 9, "180°C fan/gas 6"))]
    [('fan', ''), ('gas', '6')]
    """
    for found in _HEAT.finditer(origin.text):
        celsius = found["unit"][0] in "cC"
        low = _kelvin(found["low"], celsius=celsius)
        high = _kelvin(found["high"] or found["low"], celsius=celsius)
        if COOLEST_OVEN < low <= high:
            kind = _KINDS.get((found["after"] or found["before"] or "").casefold(), "")
            yield OvenRead(origin, low, kind, "", "°C" if celsius else "°F", high)
    for gas in _GAS.finditer(origin.text):
        yield OvenRead(origin, None, "gas", gas[1])


def _kelvin(number: str, *, celsius: bool) -> float:
    return ICE_POINT + (float(number) if celsius else (float(number) - 32) / 1.8)


def times_in(origin: Origin) -> Iterator[TimeRead]:
    """Every time of a line that stands beside the word of a step.

    >>> next(times_in(Origin("a card", 9, "Prove for 45–60 min."))).low
    2700.0
    """
    sentences = re.split(r"(?<=[.;!])\s+", with_signs(origin.text))
    for i, sentence in enumerate(sentences):
        seen: set[str] = set()
        for lasting in lastings(sentence):
            verb = _verb(sentence, lasting.start)
            again = verb in seen and not (verb == "bake" and " then " in sentence)
            if verb and not again:
                seen.add(verb)
                before = " ".join(sentences[:i])
                yield TimeRead(origin, verb, lasting.low, lasting.high, sentence, before)


def with_signs(words: str) -> str:
    """Words with a fraction of two numbers written as its sign, where there is one.

    >>> with_signs("rise 1 1/2 hours, or 1-1/2 to 2 1/4; then 3/4 hour")
    'rise 1½ hours, or 1½ to 2¼; then ¾ hour'
    """
    signs = {("1", "4"): "¼", ("1", "2"): "½", ("2", "4"): "½", ("3", "4"): "¾"}
    return _FRACTION.sub(lambda found: signs.get((found[1], found[2]), found[0]), words)


def lastings(sentence: str) -> Iterator[Lasting]:
    """Every stretch of time in a sentence whose fractions are signs (:func:`with_signs`).

    >>> [lasting.high for lasting in lastings("for 1 h 30 min, or 2–3 hours")]
    [5400.0, 10800.0]
    """
    for found in _LASTS.finditer(sentence):
        high = _seconds(found["high"], "")
        unit = _PART.search(found["high"])
        low = _seconds(found["low"], unit[2] if unit else "") if found["low"] else high
        if 0 < low <= high:
            yield Lasting(found.start(), low, high)


def _seconds(words: str, unit: str) -> float:
    parts = [(number, word) for number, word in _PART.findall(words)] or [(words.strip(), unit)]
    return sum(_value(number) * _UNITS[word[0].lower()] for number, word in parts)


def _value(number: str) -> float:
    whole = number.rstrip("¼½¾ ").replace(",", ".")
    return float(whole or 0) + _SIGNS.get(number.strip()[-1:], 0.0)


def _verb(sentence: str, start: int) -> str:
    """The step a time belongs to: the last word for one before it, else the first after it."""
    before, after = _verbs(sentence[:start]), _verbs(sentence[start:])
    verb = before[-1] if before else after[0] if after else ""
    if verb == "steam" and "bake" in before:
        return "bake"
    return "proof" if verb == "ferment" and AGAIN.search(sentence) else verb


def _verbs(words: str) -> list[str]:
    plain = words.casefold().replace("stand mixer", "mixer")
    return [VERBS[word] for word in re.findall(r"[a-z]+", plain) if word in VERBS]
