"""How much: from a number and its unit to an amount, by a grammar without surprises.

What stands behind an amount and belongs to it is read with it: what is added ("1 lb 2 oz", "1 cup
plus 2 tbsp"), what says the same again ("1 cup (125 g)") and what one of them holds ("1 x 7 g
sachet"). Numbers of minutes, degrees and centimetres are no amounts.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from doughwright.engine.ingredients import ingredient_named
from doughwright.gathering.gathered import Amount
from doughwright.gathering.lines.elsewhere import english
from doughwright.gathering.lines.filled import ABOUT, FILLED, filled_behind, modifiers_at
from doughwright.gathering.lines.numerals import WORDS, Numeral, numeral_at, plain
from doughwright.gathering.lines.unit_words import (
    MEASURES,
    METRIC_VOLUMES,
    PACKS,
    VAGUE,
    WEIGHTS,
    UnitRead,
    system_before,
    system_behind,
    unit_at,
)

ADDED = frozenset((*WEIGHTS, *METRIC_VOLUMES, *MEASURES))
"""Units that can be added to one another."""

STEPS_DOWN = frozenset(
    {
        *(("lb", "oz"), ("kg", "g"), ("l", "ml"), ("l", "dl"), ("l", "cl"), ("dl", "ml")),
        *(("cup", "tbsp"), ("cup", "tsp"), ("tbsp", "tsp"), ("pint", "fl oz"), ("quart", "pint")),
        *(("dl", "tbsp"), ("gallon", "quart"), ("quart", "cup"), ("pint", "cup")),
    }
)
"""Units that follow one another in one amount; other pairs say the same amount twice."""

KIN = (("mg", "g", "kg"), ("oz", "lb"), METRIC_VOLUMES, MEASURES)
"""Units of one system, which are added to one another where an amount is said in two."""

SMALL_UNITS = frozenset({"g", "mg", "ml"})
"""Units of which a kitchen measures thousands."""

HOTTEST_CUPS = 50
"""So many c are degrees Celsius, not cups (assumption)."""

_BLANK = re.compile(r"\s*-?\s*")
_NO_AMOUNT = re.compile(
    r"\s*-?\s*(?:[°º℃℉\"”″'′]|deg(?:rees?)?\b|F\b|mins?\b|minutes?\b|hours?\b"
    r"|hrs?\b|h\b|secs?\b|seconds?\b|days?\b|weeks?\b|months?\b|inch(?:es)?\b|in\.|cm\b|mm\b"
    r"|kcal\b|kj\b|calories\b|rpm\b|watts?\b|people\b|persons?\b|servings?\b|times\b)",
    re.IGNORECASE,
)
_SHARE_OF = re.compile(
    r"\s*(?:(?:milk|butter)?\s?fat|hydration|hydrated|protein|cocoa|cacao|solids|butterfat|alcohol"
    r"|abv|extraction|moisture)\b",
    re.IGNORECASE,
)
_GLUED = re.compile(r"[^\W_]|-[^\W\d_]|\.[0-9]|/")
_TIMES = re.compile(r"\s*x\s*(?=[^\W\d_]{2})", re.IGNORECASE)
_OF_PACKS = re.compile(
    rf"([1-9][0-9]?|{'|'.join(WORDS)})(\s*x\s*|\s*\(\s*|\s+)(?=[0-9.])", re.IGNORECASE
)
_BESIDE = re.compile(r"\s*,?\s*")
_PLUS = re.compile(r"\s*,?\s*(?:plus|and|&)\s+|\s*\+\s*", re.IGNORECASE)
_MINUS = re.compile(r"\s+(?:minus|less)\s+", re.IGNORECASE)
_AGAIN = re.compile(r"\s*(?:/|=|\|)\s*|,?\s+or\s+|\s*", re.IGNORECASE)
_OPENING = re.compile(r"\s*[\(\[]\s*(?:or\s+|=\s*|i\.?e\.?,?\s+)?", re.IGNORECASE)
_CLOSING = re.compile(r"\s*[\)\]]|\s*(?=[,;])")
_BETWEEN = re.compile(r"\s*(?:/|,|;|=|\||\bor\b)\s*", re.IGNORECASE)
_TO = re.compile(r"\s*(?:-|–|—)\s*|\s+to\s+", re.IGNORECASE)
_FOR = re.compile(
    r"[^,;(]{0,40}?\b(?:for|to)\s+(?:the\s+)?\w+ing\b|\s*(?:extra|more)\b", re.IGNORECASE
)
_EACH = re.compile(r"\s*,?\s*(?:each|apiece)\b", re.IGNORECASE)
_BEGIN = tuple(word for word in ABOUT if word.isalpha())
_STARTS = re.compile(
    rf"(?<![\w.,/])(?:[0-9.½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒~]|(?:"
    rf"{'|'.join((*WORDS, *_BEGIN, *FILLED, *VAGUE))}"
    r"|half|quarter|up to)\b)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Found:
    """An amount and where it stands in its text."""

    amount: Amount
    start: int
    end: int


def amount_of(text: str) -> Amount | None:
    """A text that is an amount and nothing else.

    >>> amount_of("1 lb 2 oz").more[0].unit
    'oz'
    >>> amount_of("250 g flour") is None
    True
    """
    start = len(text) - len(text.lstrip())
    found = amount_at(text, start)
    return found.amount if found and not text[found.end :].strip(" .,;") else None


def amounts_in(text: str) -> Iterator[Found]:
    """All amounts of a text in their order, none inside another.

    >>> [found.amount.unit for found in amounts_in("2.5 oz flour, 60 g butter")]
    ['oz', 'g']
    """
    end, signs = 0, plain(text)
    for start in _STARTS.finditer(signs):
        found = amount_at(text, start.start()) if start.start() >= end else None
        if found is not None:
            end = found.end
            yield found


def amount_at(text: str, start: int = 0) -> Found | None:
    """The amount that begins at a place of a text, with all that belongs to it.

    >>> found = amount_at("2.5 oz (1 tsp)60 g")  # a textbook's brioche, copied with its units mixed
    >>> [amount.unit for amount in (found.amount, *found.amount.same)]
    ['oz', 'tsp', 'g']
    """
    signs = plain(text)
    found = _single_at(signs, start)
    if found is None:
        return None
    found = _ranged(signs, found)
    while (longer := _with_more(signs, found) or _said_again(signs, found)) is not None:
        found = longer
    worded = replace(found.amount, words=text[found.start : found.end].strip())
    return replace(found, amount=worded)


# --- One number and its unit ------------------------------------------------------------------


def _single_at(text: str, start: int) -> Found | None:
    at, modifiers = modifiers_at(text, start)
    number = numeral_at(text, at)
    if number is None:
        return _vague_at(text, start, at, modifiers)
    if _NO_AMOUNT.match(text, number.end):
        return None
    packs = _packs_at(text, at)
    return packs or _measured(text, start, number, modifiers)


def _vague_at(text: str, start: int, at: int, modifiers: tuple[str, ...]) -> Found | None:
    """A pinch of salt: a measure that stands without its number."""
    unit = unit_at(text, at, VAGUE)
    if unit is None or not re.match(rf"{unit.unit}\b", text[at:], re.IGNORECASE):
        return None
    if unit.unit not in {"pinch", "dash", "knob"} and not text.startswith(" of ", unit.end):
        return None
    return Found(_amount(1.0, 1.0, unit.unit, modifiers), start, unit.end)


def _measured(text: str, start: int, number: Numeral, modifiers: tuple[str, ...]) -> Found | None:
    times = _TIMES.match(text, number.end)
    after = times.end() if times else _end(_BLANK.match(text, number.end))
    at, beside = modifiers_at(text, after)
    at, system = system_before(text, at)
    unit = _unit(text, at)
    if unit is None:
        return _counted(text, start, number, modifiers + beside)
    if unit.unit == "%" and _SHARE_OF.match(text, unit.end):
        return None
    if number.high >= HOTTEST_CUPS and text[at : unit.end].lower() == "c":
        return None
    end, behind = system_behind(text, unit.end) if unit.unit in MEASURES else (unit.end, "")
    whose = tuple(filter(None, (system or behind or unit.system,)))
    end, full = filled_behind(text, end) if unit.system else (end, ())
    found = Found(_sized(number, unit.unit, modifiers + beside + full + whose), start, end)
    return _packed(text, found) or found


def _unit(text: str, at: int) -> UnitRead | None:
    unit = unit_at(text, at)
    if unit is None:
        return None
    left = text[unit.end :].strip(" .,;)")
    if text[at : unit.end] == "L" and re.match(r"(?:\S+\s+)?egg", left):
        return None  # a large egg
    if unit.unit == "cake" and not re.match(r"\s*(?:of\s+)?(?:fresh|compressed|yeast)", left):
        return None
    return unit if left or unit.unit not in {"clove", "leaf"} else None


def _counted(text: str, start: int, number: Numeral, modifiers: tuple[str, ...]) -> Found | None:
    """A count without a unit: "2 large eggs"; an article counts only what we know."""
    times = _TIMES.match(text, number.end)
    if times is None and _GLUED.match(text, number.end):
        return None
    after = times.end() if times else _end(_BLANK.match(text, number.end))
    at, beside = modifiers_at(text, after)
    end = at if beside else (times.end() if times else number.end)
    if number.article and not _named_next(text, at):
        return None
    return Found(_sized(number, "", modifiers), start, end)


def _named_next(text: str, at: int) -> bool:
    words = re.findall(r"[^\W\d_]+", text[at : at + 60])[:3]
    names = [" ".join(words[:n]) for n in (1, 2, 3) if words[:n]]
    return any(ingredient_named(name) is not None or english(name) for name in names)


def _packs_at(text: str, at: int) -> Found | None:
    """A count of what holds so much: "1 x 125 g ball", "2 (14 oz) cans", "1 7 g sachet"."""
    match = _OF_PACKS.match(text, at)
    number = numeral_at(text, match.end()) if match else None
    if match is None or number is None or _NO_AMOUNT.match(text, number.end):
        return None
    if number.low < 1 and not match[2].strip():
        return None
    unit = unit_at(text, _end(_BLANK.match(text, number.end)), ADDED)
    if unit is None:
        return None
    one = _sized(number, unit.unit, ())
    closing = re.compile(r"\s*\)?[\s-]*").match(text, unit.end)
    pack = unit_at(text, _end(closing), PACKS)
    if pack is None and "x" not in match[2].lower():
        return None
    count = float(match[1]) if match[1].isdigit() else WORDS[match[1].lower()]
    amount = replace(_amount(count, count, pack.unit if pack else "piece", ()), package=one)
    return Found(amount, at, pack.end if pack else unit.end)


def _packed(text: str, found: Found) -> Found | None:
    """One of what holds so much: "7 g sachet"."""
    if found.amount.unit not in WEIGHTS + METRIC_VOLUMES:
        return None
    pack = unit_at(text, _end(_BLANK.match(text, found.end)), PACKS)
    if pack is None:
        return None
    one = replace(_amount(1.0, 1.0, pack.unit, ()), package=found.amount)
    return replace(found, amount=one, end=pack.end)


def _sized(number: Numeral, unit: str, modifiers: tuple[str, ...]) -> Amount:
    low, high, other = number.low, number.high, None
    if number.thousand is not None and (unit in SMALL_UNITS or not unit):
        other = _amount(low, high, unit, modifiers) if unit else None
        low, high = number.thousand
    if "up to" in modifiers:
        low = 0.0
    if number.backwards:
        modifiers = (*modifiers, "backwards")
    return replace(_amount(low, high, unit, modifiers), other=other)


def _amount(low: float, high: float, unit: str, modifiers: tuple[str, ...]) -> Amount:
    return Amount(low, (low + high) / 2, high, unit, "", modifiers)


def _end(match: re.Match[str] | None) -> int:
    assert match is not None, "the pattern may be empty"
    return match.end()


# --- What belongs to it -----------------------------------------------------------------------


def _ranged(text: str, found: Found) -> Found:
    """Both ends with the same unit: "100 g - 150 g"."""
    between = _TO.match(text, found.end)
    amount = found.amount
    if between is None or not amount.unit or amount.low != amount.high or amount.package:
        return found
    other = _single_at(text, between.end())
    if other is None or other.amount.unit != amount.unit or other.amount.package:
        return found
    low, high = sorted((amount.low, other.amount.high))
    wide = replace(amount, low=low, best=(low + high) / 2, high=high, other=None)
    return replace(found, amount=wide, end=other.end)


def _with_more(text: str, found: Found) -> Found | None:
    """What is added or taken off: "1 lb 2 oz", "1 cup plus 2 tbsp", "1 cup minus 1 tbsp"."""
    amount = found.amount
    if amount.unit not in ADDED and amount.unit not in PACKS:
        return None
    if amount.same:
        return _with_more_of_each(text, found)
    last = amount.more[-1] if amount.more else amount
    for pattern in (_BESIDE, _PLUS, _MINUS):
        between = pattern.match(text, found.end)
        more = _single_at(text, between.end()) if between else None
        if more is None or more.amount.unit not in ADDED:
            continue
        if pattern is _BESIDE and (last.unit, more.amount.unit) not in STEPS_DOWN:
            continue
        if pattern is _PLUS and _FOR.match(text, more.end):
            continue
        added = _less(more.amount) if pattern is _MINUS else more.amount
        return replace(found, amount=replace(amount, more=(*amount.more, added)), end=more.end)
    return None


def _with_more_of_each(text: str, found: Found) -> Found | None:
    """What is added to an amount that was said twice: "¾ cup (180 ml) plus 1 tbsp (15 ml)"."""
    between = _PLUS.match(text, found.end)
    more = _single_at(text, between.end()) if between else None
    if more is None or more.amount.unit not in ADDED:
        return None
    again = _said_again(text, more) or more
    if _FOR.match(text, again.end):
        return None
    ways = (replace(again.amount, same=()), *again.amount.same)
    amount = found.amount
    same = tuple(replace(one, more=(*one.more, _nearest(one, ways))) for one in amount.same)
    made = replace(amount, more=(*amount.more, ways[0]), same=same)
    return replace(found, amount=made, end=again.end)


def _nearest(amount: Amount, ways: tuple[Amount, ...]) -> Amount:
    """Which of several ways to say what is added goes with an amount: that in its own units."""
    kin = next((kin for kin in KIN if amount.unit in kin), ())
    return next((way for way in ways if way.unit in kin), ways[0])


def _less(amount: Amount) -> Amount:
    return replace(amount, low=-amount.high, best=-amount.best, high=-amount.low, other=None)


def _said_again(text: str, found: Found) -> Found | None:
    """The same in other units: "1 cup (125 g)", "225 g/8 oz", "2 tsp or 1 sachet"."""
    opening = _OPENING.match(text, found.end)
    if opening is not None:
        return _in_brackets(text, found, opening.end())
    again = _AGAIN.match(text, found.end)
    other = _stepped(text, _single_at(text, again.end())) if again else None
    if again is None or other is None or not _says_again(found.amount, other.amount):
        return None
    if not again[0].strip() and not {found.amount.unit, other.amount.unit} <= ADDED:
        return None
    return _again(found, (other.amount,), other.end)


def _stepped(text: str, found: Found | None) -> Found | None:
    """An amount with what its next smaller unit adds: the "1 lb 2 oz" of "500 g/1 lb 2 oz"."""
    between = _BESIDE.match(text, found.end) if found else None
    more = _single_at(text, between.end()) if between else None
    if found is None or more is None or (found.amount.unit, more.amount.unit) not in STEPS_DOWN:
        return found
    return replace(found, amount=replace(found.amount, more=(more.amount,)), end=more.end)


def _says_again(amount: Amount, other: Amount) -> bool:
    said = {amount.unit, *(same.unit for same in amount.same)}
    return bool(amount.unit) and other.unit not in {*said, "", "%", "part"}


def _in_brackets(text: str, found: Found, start: int) -> Found | None:
    amounts, end = _amounts_from(text, start)
    if not amounts or any(amount.unit in {"", "%"} for amount in amounts):
        return None
    each = _EACH.match(text, end)
    closing = _CLOSING.match(text, each.end() if each else end)
    if closing is None:
        return None
    if each is not None and found.amount.package is None:
        return replace(found, amount=replace(found.amount, package=amounts[0]), end=closing.end())
    return _again(found, amounts, closing.end())


def _amounts_from(text: str, start: int) -> tuple[tuple[Amount, ...], int]:
    """Amounts that follow each other, as in "4½ oz/125 g", and where they end."""
    amounts: list[Amount] = []
    end = start
    while (found := _single_at(text, start)) is not None:
        while (longer := _with_more(text, found)) is not None:
            found = longer
        amounts.append(found.amount)
        end = found.end
        between = _BETWEEN.match(text, end)
        if between is None:
            break
        start = between.end()
    return tuple(amounts), end


def _again(found: Found, amounts: tuple[Amount, ...], end: int) -> Found:
    return replace(found, amount=replace(found.amount, same=found.amount.same + amounts), end=end)
