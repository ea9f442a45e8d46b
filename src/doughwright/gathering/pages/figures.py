"""How much a recipe makes, as one of its lines says."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from doughwright.gathering.gathered import Amount, Made, Origin
from doughwright.gathering.pages.piece_words import ARTICLES, NUMBERS, is_no_piece, is_piece
from doughwright.gathering.process.times import times_in

_FOOD = ("ball", "balls", "bread", "pain", "brot", "bröd", "pane", "pan")
"""Breads that a dough may be made with."""

MOST_PIECES = 10_000
"""Beyond it a number counts no breads (assumption)."""

_ANY_CASE = re.IGNORECASE
_NUMBER = rf"(?:\d{{1,4}}(?:\s+\d/\d|\s*½)?(?!\d|[.,/]\d)|½|{'|'.join(NUMBERS)})"
_DOZEN = r"(?:baker['’]s\s+)?(?:dozens?|doz\b\.?|dz\b\.?|dutzend|douzaines?|dozzin[ae]|docenas?)"
_ABOUT = (
    r"(?:(?:about|approx(?:\.|imately)?|around|roughly|some|up to|ca\.?|circa|etwa|ungefähr"
    r"|environ|cirka|unos|~|≈)\s*)?"
)
_TO = r"\s*(?:-|–|—|to|or|bis|oder|à|ou|o|till|til)\s*"
COUNT = (
    rf"(?:half\s+an?\s+(?P<half>{_DOZEN})|(?<![\w.,/])(?P<low>{_NUMBER})"
    rf"(?:{_TO}(?P<high>{_NUMBER}))?(?![\w½])(?:[\s-]*(?P<dozen>{_DOZEN}))?)"
)
"""How many: :func:`count_of` has what was found."""

_MASS = r"(?P<mass>\d{1,5}(?:[.,]\d{1,3})?)\s*-?(?P<unit>kg|g|grams?|oz|lb|pound)\b"
_UNITS = (
    r"(?:kg|g|gr|grams?|oz|lb|pounds?|ml|l|cl|dl|%|°|cups?|tbsp|tsp|tl|el|msk|tsk|min\w*|h|hours?"
    r"|days?|nights?|weeks?|std|stunden?|tagen?|heures?|jours?|or[ae]|giorn[io]|horas?|días?|timmar"
    r"|timer|dagar|cm|mm|inch(?:es)?|in\b(?=\W*(?:x|×|\d|pan|tin|loa))|\"|[x×]\s*\d+\s*(?:cm|in\b))"
)
_SAYS = (
    r"(?:makes?|yields?|gives|recipe yield|quantity|serves|servings?|portions?"
    r"|ergibt|ergeben|reicht für|menge|portionen|donne|rendement|rende|resa|dosi(?: per)?|porzioni"
    r"|rinde|salen|raciones|ger|räcker till|giver|gir|portioner)"
)
_FOR = r"(?:(?:enough )?for|für|pour|per|para|till?)"
_SERVES = re.compile(r"(?:serves|servings?|portion\w*|porzioni|raciones)\b", _ANY_CASE)
_MAKES = re.compile(
    rf"^(?P<opens>{_SAYS}\b|{_FOR}\b)[\s:]*{_ABOUT}{COUNT}(?!\s*[-–]?\s*{_UNITS}(?![^\W\d]))",
    _ANY_CASE,
)
_NAMED = re.compile(
    r"^(?:makes?|yields?|serves|servings?|recipe yield|quantity|ergibt|rendement|rende|rinde)\b"
    r"[\s:]",
    _ANY_CASE,
)
_BY = r"(?:of|at|à|a|á|de|da|von|zu(?:\s+je)?|je|weighing|\(|,)"
_OF_MASS = re.compile(
    rf"^(?P<opens>(?:{_SAYS}|{_FOR})\b[\s:]*)?{_ABOUT}{COUNT}\s+(?:[^\W\d]+\s+){{0,2}}"
    rf"(?P<noun>[^\W\d]+)\s+{_BY}\s*{_ABOUT}"
    rf"{_MASS}(?=\s*(?:$|[;,.)]|each\b|apiece\b|chacun\w*|l['’]un[ao]|cada\b))",
    _ANY_CASE,
)
_TIMES = re.compile(
    rf"(?:^|[\s:(]){COUNT}\s*[x×]\s*{_MASS}(?=\s*(?P<noun>[^\W\d]+)?\s*(?:$|[;,.)]|each\b|piece))",
    _ANY_CASE,
)
_EACH = re.compile(rf"{_MASS}\s*(?:each|apiece|per piece|a piece\b)", _ANY_CASE)
_INTO = re.compile(
    rf"\b(?:into|shape|form|make|scale|roll|formen|teilen|façonner|former|diviser|formare"
    rf"|dividere|formar|dividir)\s+(?:in\s+|en\s+)?{_ABOUT}{COUNT}\s+(?:[^\W\d]+\s+)??"
    rf"(?P<noun>[^\W\d]+)\s+{_BY}\s*{_ABOUT}{_MASS}",
    _ANY_CASE,
)
_WEIGHS = re.compile(
    rf"^(?:(?:{_SAYS}|{_FOR}|weight)\b[\s:]*)?{_ABOUT}(?:{COUNT}\s*)?{_MASS}[\s-]+(?:[^\W\d]+\s+)?"
    r"(?P<noun>[^\W\d]+)(?=\s*(?:$|[.;,:(]))",
    _ANY_CASE,
)
_DOUGH = re.compile(
    rf"^(?:(?:{_SAYS}|{_FOR})\b[\s:]*)?{_ABOUT}{_MASS}\s+(?:of\s+)?(?:dough|teig)\s*\.?$", _ANY_CASE
)
_SIZED = re.compile(
    rf"^(?:(?:{_SAYS}|{_FOR})[\s:]+)?{COUNT}\s+\d+(?:[./]\d+)?\s*(?:cm|in|inch|\")?\s*[x×]"
    r"\s*\d+(?:[./]\d+)?(?:\s*[x×]\s*\d+(?:[./]\d+)?)?\s*(?:-|\s)*(?:cm|inch(?:es)?|in\b|\")",
    _ANY_CASE,
)
_COUNTED = re.compile(
    rf"^{_ABOUT}{COUNT}\s+(?:(?:large|small|big|medium|round|große|kleine|stora|små|gros|petits)\s+)?"
    r"(?P<noun>[^\W\d]+)\.?$",
    _ANY_CASE,
)
_NOUNS = re.compile(rf"{COUNT}(?P<words>(?:\s+[^\W\d][\w'’-]*){{1,4}})?", _ANY_CASE)
_BESIDE = re.compile(r"\s*\((?P<said>[^()]*)\)(?=\s*[:：]?\s*$)")
_SENTENCE = re.compile(r"(?<=[.!;])\s+")
_WORD = re.compile(r"[^\W\d][\w'’-]*")


@dataclass(frozen=True, slots=True)
class Counted:
    """How many of what: the numbers, and the word they count (empty where none is said)."""

    low: int
    high: int
    noun: str


_LISTED = re.compile(
    rf"(?P<heading>(?:the )?(?:ingredients|zutaten|ingr[ée]dients|ingredientes|ingredienti"
    rf"|ingredienser|ingrediënten))\s+(?P<said>{_FOR}\s+(?P<counted>.+?))\s*:?",
    _ANY_CASE,
)
"""What heads a list and says how much it makes."""

_ALL_OF_IT = re.compile(
    rf"^(?:dough|final|total)(?: dough)? weight[\s:]*{_ABOUT}{_MASS}[\s,;:=(]+(?=for\b|\d|[x×])",
    _ANY_CASE,
)
"""What all the dough weighs, before how many it makes."""


def made_in(origin: Origin) -> Made | None:
    """How much a line says the whole makes; None where it says nothing of it.

    Portions and slices are no pieces: how many breads they come from is not said.

    >>> made_in(Origin("a card", 3, "Makes 24, 75 g each")).pieces
    (24, 24)
    >>> made_in(Origin("a card", 3, "Makes 3 dozen rolls")).pieces
    (36, 36)
    """
    words = _ALL_OF_IT.sub("", " ".join(origin.text.split()))
    made = Made(origin, None, _piece(words), words)
    for found in (_of_mass(words), _TIMES.search(words), _INTO.search(words)):
        counted = count_of(found) if found else None
        if found and counted and _of_breads(found):
            return replace(made, pieces=counted)
    weighed = _weighs(words)
    if weighed:
        nominal = weighed["unit"].casefold() in ("lb", "pound")  # a tin's name, as "2 lb loaf"
        piece = None if nominal else _amount(weighed, weighed[0])
        return replace(made, pieces=count_of(weighed) or (1, 1), piece=piece)
    dough = _DOUGH.match(words)
    if dough:
        return replace(made, piece=None, dough=_amount(dough, dough[0]))
    makes = _makes(words)
    if makes:
        return replace(made, pieces=_pieces(words, makes))
    sized = _SIZED.match(words)
    if sized and count_of(sized):
        return replace(made, pieces=count_of(sized))
    return made if _EACH.search(words) or _NAMED.match(words) else None


def is_only_made(words: str) -> bool:
    """Whether a line is there for its yield, and not a step or an ingredient that tells of one.

    >>> is_only_made("Serves 8"), is_only_made("Divide into 8 pieces of 105 g.")
    (True, False)
    >>> is_only_made("Makes 5 baguettes of 170 g. Bake 22 min at 250 C.")
    False
    """
    plain = _ALL_OF_IT.sub("", " ".join(words.split()))
    first, *others = _SENTENCE.split(plain)
    if any(tuple(times_in(Origin("", 0, other))) for other in others):
        return False
    starts = (_NAMED, _SIZED, _DOUGH)
    alone = _EACH.fullmatch(plain.rstrip(".")) or _TIMES.match(plain)
    told = _makes(plain) or _weighs(plain) or (alone and made_in(Origin("", 0, plain)))
    return bool(_of_mass(first) or told) or any(pattern.match(first) for pattern in starts)


def counts_breads(words: str) -> bool:
    """Whether a line only counts breads: ``24 rolls``, which no list of ingredients begins with.

    >>> counts_breads("ca 40 bullar"), counts_breads("2 dozen rolls"), counts_breads("2 eggs")
    (True, True, False)
    """
    found = _COUNTED.match(" ".join(words.split()))
    return bool(found and count_of(found) and is_piece(found["noun"]))


def counted_in(origin: Origin) -> Made | None:
    """What a line makes that only counts breads."""
    return made_in(replace(origin, text=f"makes {origin.text.strip()}"))


def beside(words: str) -> tuple[str, str]:
    """A heading or title without the yield in its brackets, and that.

    >>> beside("Fruit loaf (makes 2 x 500 g loaves)"), beside("Sponge (poolish)")
    (('Fruit loaf', 'makes 2 x 500 g loaves'), ('Sponge (poolish)', ''))
    >>> beside("Zutaten für 2 Brote:")
    ('Zutaten', 'für 2 Brote')
    """
    listed = _LISTED.fullmatch(words)
    if listed and (is_only_made(listed["said"]) or counts_breads(listed["counted"])):
        return listed["heading"], listed["said"]
    found = _BESIDE.search(words)
    if found is None or not (is_only_made(found["said"]) or counts_breads(found["said"])):
        return words, ""
    return f"{words[: found.start()]}{words[found.end() :]}".strip(), found["said"].strip()


def _makes(words: str) -> re.Match[str] | None:
    """A count behind a word that says it is made; behind an article the word of a bread stands."""
    found = _MAKES.match(words)
    if found is None or not count_of(found):
        return None
    is_loose = re.fullmatch(_FOR, found["opens"], _ANY_CASE)
    if is_loose and (found["low"] or "").casefold() in ARTICLES and not found["dozen"]:
        counted = next(nouns_in(words[found.end("opens") :]), None)
        return found if counted and counted.noun else None
    return found


def _of_mass(words: str) -> re.Match[str] | None:
    """Breads with the weight of each: ``5 baguettes of 170 g``; ``3 cups (300 g)`` are none."""
    found = _OF_MASS.match(words)
    if found is None or not is_piece(found["noun"]):
        return None
    is_whole = not words[found.end() :].strip(" .)") or bool(found["opens"])
    return found if is_whole or found["noun"].casefold() not in _FOOD else None


def _weighs(words: str) -> re.Match[str] | None:
    """Breads by their weight: ``1 kg loaf``; a ball or bread by weight is an ingredient."""
    found = _WEIGHS.match(words)
    is_bread = found and is_piece(found["noun"])
    return found if found and is_bread and found["noun"].casefold() not in _FOOD else None


# --- Numbers and nouns ----------------------------------------------------------------------------


def count_of(found: re.Match[str]) -> tuple[int, int] | None:
    """The two ends of a count; None where there is none, or no whole number."""
    if not (found["low"] or found["half"]):
        return None
    if found["half"]:
        return 6, 6
    each = 1.0
    if found["dozen"]:
        each = 13.0 if "baker" in found["dozen"].casefold() else 12.0
    low = number_of(found["low"])
    high = number_of(found["high"]) if found["high"] else low
    low, high = low * each, high * each
    is_count = low.is_integer() and high.is_integer() and 0 < low <= high <= MOST_PIECES
    return (int(low), int(high)) if is_count else None


def number_of(word: str) -> float:
    """A number in digits or in words.

    >>> number_of("1 1/2"), number_of("zwölf")
    (1.5, 12.0)
    """
    plain = word.casefold().replace("½", " 1/2").strip()
    if plain in NUMBERS:
        return float(NUMBERS[plain])
    whole, _, part = f"0 {plain}".partition(" ") if plain[1:2] == "/" else plain.partition(" ")
    above, _, below = part.strip().partition("/")
    return float(whole) + (int(above) / int(below) if below and int(below) else 0.0)


def nouns_in(words: str) -> Iterator[Counted]:
    """What is counted in some words, by the nearest word that is a bread, or portions of it.

    >>> [(one.low, one.noun) for one in nouns_in("1 large loaf, about 12 slices")]
    [(1, 'loaf'), (12, 'slices')]
    """
    for found in _NOUNS.finditer(words):
        counted = count_of(found)
        if counted:
            named = _WORD.findall(found["words"] or "")
            known = (word for word in named if is_piece(word) or is_no_piece(word))
            yield Counted(*counted, next(known, ""))


def _pieces(words: str, makes: re.Match[str]) -> tuple[int, int] | None:
    """How many breads: those that are named as such, else the first that is of no portions."""
    counted = list(nouns_in(words[makes.end("opens") :]))
    breads = next((one for one in counted if is_piece(one.noun)), None)
    if breads:
        return breads.low, breads.high
    if _SERVES.match(words) or (counted and counted[0].noun):
        return None
    return count_of(makes)


def _of_breads(found: re.Match[str]) -> bool:
    """Whether what is weighed each is a bread, as far as its word says: no ball of cheese."""
    noun = found.groupdict().get("noun")
    return not noun or is_piece(noun) or noun.casefold() in ("each", "piece", "pieces")


def _piece(words: str) -> Amount | None:
    """What one piece weighs: ``75 g each``, ``24 × 75 g``, ``pieces of 75 g``."""
    patterns = (_EACH, _TIMES, _INTO)
    for found in (*(pattern.search(words) for pattern in patterns), _of_mass(words)):
        if found and _of_breads(found):
            return _amount(found, found[0])
    return None


def _amount(found: re.Match[str], words: str) -> Amount:
    value = float(found["mass"].replace(",", "."))
    unit = found["unit"].casefold()
    unit = {"pound": "lb", "gram": "g", "grams": "g"}.get(unit, unit)
    return Amount(value, value, value, unit, words.strip())
