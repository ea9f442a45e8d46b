"""Numbers as recipes write them: ½, 1 1/2, 1-1/2, one and a half, 1,5, 1 000, 2–3.

Texts are looked at through :func:`plain`, which changes signs one for one: a place in it is the
same place in what the author wrote.
"""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

MOST_CHARACTERS = 2000
"""Of one line; what follows is not looked at, though it is kept."""

_SIGNS = str.maketrans(
    {"⁄": "/", "∕": "/", "−": "-", "‐": "-", "‑": "-", "×": "x", "✕": "x", "～": "~", "〜": "~"}
)
_ALONE = ("<wide>", "<narrow>", "<font>", "<noBreak>")
_VULGAR = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒"
_SMALL = r"[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,3}/[₀-₉]{1,3}"
_PLAIN_FRACTION = r"[0-9]{1,3}\s?/\s?[1-9][0-9]{0,2}(?![0-9/])"
_FRACTION = rf"(?:{_PLAIN_FRACTION}|[{_VULGAR}]|{_SMALL})"
_THREES = r"(?P<sign>[ '’.,])[0-9]{3}(?:(?P=sign)[0-9]{3})*(?![0-9])"
_GROUPED = rf"[1-9][0-9]{{0,2}}{_THREES}(?:[.,][0-9]{{1,3}}(?![0-9]))?"
_DECIMAL = r"(?:0|[1-9][0-9]{0,6})(?:[.,][0-9]{1,6})?(?![0-9])|(?<!\.)\.[0-9]{1,6}(?![0-9])"
_WHOLE = r"[1-9][0-9]{0,3}"
_MIXED = re.compile(
    rf"(?P<whole>{_WHOLE})(?:\s?-\s?|\s+(?:and|&)\s+|\s*)(?P<part>{_FRACTION})", re.IGNORECASE
)
_FRACTION_ALONE = re.compile(_FRACTION)
_GROUPED_ALONE = re.compile(_GROUPED)
_DECIMAL_ALONE = re.compile(_DECIMAL)
_TO = re.compile(r"\s*(?:-|–|—|~|\.{2,3})\s*|\s+(?:to|or|bis|(?P<each>à))\s+", re.IGNORECASE)
_KITCHEN = frozenset({2, 3, 4, 5, 6, 8, 10, 12, 16, 32})
"""What a kitchen divides by (common practice, no source)."""

LEAST_PART = 64
"""One of so many is a fraction too: "1/20 of a cube" (assumption)."""

MOST_APART = 3
"""Of a range: "2 à 3", beside "4 à 250 g", which says what each weighs (assumption)."""


ARTICLES = ("ein", "eine", "einen", "einer", "un", "une", "una", "uno")
"""Words of other languages for one, which are articles too."""

WORDS: Mapping[str, float] = MappingProxyType(
    {
        "a": 1.0,
        "an": 1.0,
        "one": 1.0,
        "two": 2.0,
        "three": 3.0,
        "four": 4.0,
        "five": 5.0,
        "six": 6.0,
        "seven": 7.0,
        "eight": 8.0,
        "nine": 9.0,
        "ten": 10.0,
        "eleven": 11.0,
        "twelve": 12.0,
        "fifteen": 15.0,
        "dozen": 12.0,
    }
    | {
        f"{tens}{joint}{one}": 10.0 * place + value
        for place, tens in enumerate(("twenty", "thirty", "forty", "fifty", "sixty"), 2)
        for one, value in (("", 0.0), ("five", 5.0))
        for joint in (("-", " ") if one else ("",))
    }
    | {"ninety": 90.0}
    | dict.fromkeys(ARTICLES, 1.0)
    | dict.fromkeys(("zwei", "deux", "två", "dos"), 2.0)
    | dict.fromkeys(("drei", "trois", "tres", "tre"), 3.0)
    | dict.fromkeys(("vier", "quatre", "cuatro", "quattro", "fyra"), 4.0)
)
"""Numbers that are written as words; anything else stays a word."""

_SHARES: Mapping[str, float] = MappingProxyType(
    {
        "half": 0.5,
        **dict.fromkeys(("quarter", "quarters"), 0.25),
        **dict.fromkeys(("third", "thirds"), 1 / 3),
        **dict.fromkeys(("halb", "halbe", "halber", "halbes", "halben"), 0.5),
        **dict.fromkeys(("demi", "demie", "mezzo", "mezza", "halv", "halvt"), 0.5),
    }
)
_NAMED = "|".join(sorted(WORDS, key=len, reverse=True))
_DIVIDED = re.compile(r"\s?/\s?[0-9]|:[0-9]")
_DOZEN = re.compile(r"\s+dozen\b", re.IGNORECASE)
_SHARE = "half|quarters?|thirds?|halb(?:e[rsn]?)?|demie?|mezz[oa]|halvt?"
_AND_A_SHARE = rf"(?:\s+and\s+(?:(?P<times>a|one|two|three)\s+)?(?P<share>{_SHARE}))?"
_WORD = re.compile(rf"(?P<number>{_NAMED}|[1-9][0-9]?){_AND_A_SHARE}\b(?!-)", re.IGNORECASE)
_SHARE_ALONE = re.compile(
    rf"(?:(?P<times>an?|one|two|three|eine?n?|une?)[\s-]+)?(?P<share>{_SHARE})\b(?!-)(?!\s+and\s+half)"
    r"(?:\s+of)?(?:\s+an?\b)?(?P<dozen>\s+dozen\b)?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Numeral:
    """A number or a range, where it ends, and what its digits may say as well.

    ``backwards`` is a range that was written from the larger to the smaller.
    """

    low: float
    high: float
    end: int
    thousand: tuple[float, float] | None = None
    article: bool = False
    backwards: bool = False


def plain(text: str) -> str:
    """The text with usual signs for unusual ones, each in its place.

    >>> plain("１⁄２ cup")  # full-width digits and a thin slash, as typed on a Japanese keyboard
    '1/2 cup'
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(map(_plain_sign, text.translate(_SIGNS)))


def _plain_sign(sign: str) -> str:
    if sign.isascii():
        return sign if sign.isprintable() else " "
    if unicodedata.decimal(sign, None) is not None:
        return str(unicodedata.decimal(sign))
    if sign.isspace() or unicodedata.category(sign) in {"Cf", "Zs", "Cc"}:
        return " "
    if unicodedata.decomposition(sign).startswith(_ALONE):
        alone = unicodedata.normalize("NFKC", sign)
        return alone if len(alone) == 1 else sign
    return sign


def numeral_at(text: str, start: int = 0) -> Numeral | None:
    """The number that begins at a place of a plain text, or the range.

    >>> [numeral_at(t).high for t in ("1-1/2 cups", "1½", "half a teaspoon", "2–3 tbsp")]
    [1.5, 1.5, 0.5, 3.0]
    """
    if start and (text[start - 1].isalnum() or text[start - 1] == "°"):
        return None
    if start > 1 and text[start - 1] in ".,/:" and text[start - 2].isdigit():
        return None
    first = _one_at(text, start)
    found = None if first is None else _ranged(text, first) or first
    return None if found is None or _DIVIDED.match(text, found.end) else found


def _ranged(text: str, first: Numeral) -> Numeral | None:
    between = _TO.match(text, first.end)
    second = _one_at(text, between.end()) if between and not first.article else None
    if between is None or second is None or second.article:
        return None
    if between["each"] and second.high > MOST_APART * first.high:
        return None
    low, high = sorted((first.low, second.high))
    groups = (first.thousand or (first.low,))[0], (second.thousand or (second.high,))[-1]
    written_so = first.thousand is not None or second.thousand is not None
    return Numeral(
        low=low,
        high=high,
        end=second.end,
        thousand=(min(groups), max(groups)) if written_so else None,
        backwards=first.low > second.high,
    )


def _one_at(text: str, start: int) -> Numeral | None:
    for found in (_mixed_at, _grouped_at, _word_at, _fraction_at, _decimal_at):
        number = found(text, start)
        if number is not None:
            return number
    return None


def _mixed_at(text: str, start: int) -> Numeral | None:
    match = _MIXED.match(text, start)
    if match is None:
        return None
    part = _fraction(match["part"])
    return _exactly(int(match["whole"]) + part, match.end()) if 0 < part < 1 else None


def _fraction_at(text: str, start: int) -> Numeral | None:
    match = _FRACTION_ALONE.match(text, start)
    value = _fraction(match[0]) if match else 0.0
    return _exactly(value, match.end()) if match and value > 0 else None


def _fraction(text: str) -> float:
    """What a fraction is worth; 0 where it is none (1/0), nor one of a kitchen (250/100).

    >>> _fraction("3/8"), _fraction("⅜"), _fraction("250/100")
    (0.375, 0.375, 0.0)
    """
    signs = unicodedata.normalize("NFKC", text).replace("⁄", "/")
    over, under = map(int, signs.split("/"))
    is_part = over == 1 <= under <= LEAST_PART
    is_kitchen = under in _KITCHEN and over < 2 * under
    is_sign = len(text) == 1
    return over / under if is_part or is_kitchen or is_sign else 0.0


def _grouped_at(text: str, start: int) -> Numeral | None:
    """Digits in threes: a thousand, or a decimal as well where one point or comma stands alone.

    Behind a name a blank may part two numbers, as in "water 2 100 g".
    """
    match = _GROUPED_ALONE.match(text, start)
    if match is None:
        return None
    sign, digits = match["sign"], match[0]
    head = re.match(rf"[0-9]+(?:{re.escape(sign)}[0-9]{{3}})+(?![0-9])", digits)
    whole = head[0] if head else digits
    value = float(whole.replace(sign, "") + digits[len(whole) :].replace(",", "."))
    if sign in ".," and digits.count(sign) == 1 and digits == whole:
        decimal = float(digits.replace(",", "."))
        return Numeral(decimal, decimal, match.end(), (value, value))
    behind_a_name = sign == " " and any(map(str.isalpha, text[:start]))
    if behind_a_name and not digits.rsplit(" ", 1)[-1].startswith("0"):
        last = float(digits.rsplit(" ", 1)[-1].replace(",", "."))
        return Numeral(last, last, match.end(), (value, value))
    return _exactly(value, match.end())


def _decimal_at(text: str, start: int) -> Numeral | None:
    match = _DECIMAL_ALONE.match(text, start)
    return _exactly(float(match[0].replace(",", ".")), match.end()) if match else None


def _word_at(text: str, start: int) -> Numeral | None:
    share = _SHARE_ALONE.match(text, start)
    if share is not None:
        dozen = 12 if share["dozen"] else 1
        return _exactly(_share(share) * dozen, share.end())
    match = _WORD.match(text, start)
    if match is None or (match["number"].isdigit() and not match["share"]):
        return None
    number = match["number"].lower()
    value = float(number) if number.isdigit() else WORDS[number]
    twelves = _DOZEN.match(text, match.end())
    if twelves is not None and number != "dozen":
        return _exactly(12 * value, twelves.end())
    worth = value + _share(match)
    article = number in {"a", "an", *ARTICLES} and not match["share"]
    return Numeral(worth, worth, match.end(), article=article)


def _share(match: re.Match[str]) -> float:
    if not match["share"]:
        return 0.0
    return _SHARES[match["share"].lower()] * WORDS[(match["times"] or "a").lower()]


def _exactly(value: float, end: int) -> Numeral:
    return Numeral(value, value, end)
