"""Where one ingredient of a line ends and the next begins, and what may be taken instead."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from doughwright.engine.ingredients import ingredient_named
from doughwright.gathering.lines.amounts import amount_at, amounts_in
from doughwright.gathering.lines.cultures import made_of
from doughwright.gathering.lines.names import described, is_stage
from doughwright.gathering.lines.numerals import numeral_at
from doughwright.gathering.lines.unit_words import unit_at

_DONE = (
    "beaten|mixed|whisked|whipped|blended|combined|dissolved|stirred|thinned|diluted|loosened"
    "|lightened|cooked"
)
_SOAKED = (
    "soaked|plumped(?:\\s+up)?|steeped|macerated|rehydrated|eingelegt|eingeweicht|gequollen"
    "|tremp[ée]e?s?|macérée?s?|gonflée?s?|ammollat[aeio]|ammorbidit[aeio]|macerat[aeio]"
    "|remojad[ao]s?|maceradas?|blötlagda|udblødte?"
)
_SOAKED_LATE = "eingelegt|eingeweicht|gequollen"
"""What German says behind what it is soaked in: "in 50 ml Rum eingelegt" (from memory)."""

_ELSEWHERE = {
    **dict.fromkeys(("und", "et", "ed", "e", "y", "och", "og"), "and"),
    **dict.fromkeys(("mit", "avec", "con", "med"), "with"),
}
"""Joints of other languages, in ours."""

_JOINT = re.compile(
    rf"\s*[,(\[]?\s*(?:(?P<soaked>\b(?:{_SOAKED})(?:\s+\w+){{0,3}}?"
    r"\s+(?:in|with|dans|avec|nell[ao]|con|en|i|mit))"
    rf"|(?P<late>\b(?:über\s+nacht\s+)?(?:in|mit)(?=\s[^,;()]*?\b(?P<how>{_SOAKED_LATE})\b))"
    rf"|(?P<done>\b(?:{_DONE})(?:\s+(?:\w+ly|together|up|well))?\s+(?:with|in|into))"
    rf"|(?P<plus>\bplus\b|\+)|(?P<bare>\b(?:{'|'.join(_ELSEWHERE)}|with|and)\b|&))\s+",
    re.IGNORECASE,
)
_COMMA = re.compile(r"\s*[,;]\s+")
_AND_THEN = re.compile(r"\s+and(?:\s+then)?\s*$", re.IGNORECASE)
_EXTRA = re.compile(r"(?:a\s+(?:little|bit|few)|extra|more|some)\b", re.IGNORECASE)
_OR = re.compile(
    r"\s*,?\s+(?:or|oder|ou|oppure|eller)\s+(?:else\s+|use\s+)?|(?<=[a-z])/(?=[a-z0-9])",
    re.IGNORECASE,
)
_INSTEAD = re.compile(r"[\(\[]\s*(?:or|oder|ou|oppure|eller)\s[^()\[\]]*[\)\]]?", re.IGNORECASE)
_TWO = re.compile(
    r"(?P<one>\d+(?:[.,]\d+)?)\s*/\s*(?P<other>\d+(?:[.,]\d+)?)\s*(?P<unit>[^\W\d]+\.?)\s+"
    r"(?:of\s+)?(?P<name>[^\W\d][^/\d,;()]*?)\s*/\s*(?P<also>[^\W\d][^/\d,;()]*)"
)
_BRACKETS = re.compile(r"[\(\[][^()\[\]]*[\)\]]?")


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of a line about one ingredient; ``soaks`` the one before it.

    ``done`` is what is done to it with what follows ("beaten with"), ``extra`` says that it is
    more of the one before ("plus extra for dusting"), ``joint`` how it is joined to that.
    """

    text: str
    done: str = ""
    soaks: bool = False
    extra: bool = False
    joint: str = ""


def parts_of(text: str) -> tuple[Part, ...]:
    """The ingredients of a line, each with what is said beside it.

    >>> [part.text for part in parts_of("1 egg beaten with 1 tbsp milk")]
    ['1 egg', '1 tbsp milk']
    """
    taken = [*((found.start, found.end) for found in amounts_in(text)), *made_of(text)]
    taken += [match.span() for match in _INSTEAD.finditer(text)]
    taken += [match.span() for match in _BRACKETS.finditer(text) if _takes_apart(match[0])]
    parts, start, soaks, extra, joined = [], 0, False, False, ""
    for at, end, joint in _joints(text, taken):
        if at < start or not _joins(text[start:at], text[end:], joint):
            continue
        done = "" if joint is None else joint["soaked"] or joint["how"] or joint["done"] or ""
        stretch = _AND_THEN.sub("", text[start:at]) if done else text[start:at]
        parts.append(Part(stretch, " ".join(done.split()), soaks, extra, joined))
        joined = _said_as(text[at:end], joint)
        goes_on = joined in {"with", "and", "+"} and "," not in text[at:end]
        soaks = joined == "soaked" or (soaks and goes_on)
        extra = _EXTRA.match(text, end) is not None
        start = end
    return (*parts, Part(text[start:], "", soaks, extra, joined))


def two_apart(text: str) -> str:
    """A line of two amounts for two names as a list of both; as it is where it is no such line.

    >>> two_apart("250/100 g water/milk"), two_apart("1/2 cup water/milk")
    ('250 g water and 100 g milk', '1/2 cup water/milk')
    """
    match = _TWO.fullmatch(text)
    unit = unit_at(text, match.start("unit")) if match else None
    if match is None or unit is None or unit.end != match.end("unit") or numeral_at(text):
        return text
    one, other, names = match["one"], match["other"], (match["name"], match["also"])
    if not all(described(name).ingredient for name in names):
        return text
    return f"{one} {match['unit']} {names[0]} and {other} {match['unit']} {names[1]}"


def _takes_apart(bracket: str) -> bool:
    """Whether brackets hold nothing but amounts: what is taken apart there, or said in others."""
    inside = bracket[1:].lstrip()
    return amount_at(inside) is not None and sum(1 for _ in amounts_in(inside)) > 1


def _said_as(words: str, joint: re.Match[str] | None) -> str:
    """How two are joined: by a comma, with what is done, or by the word or sign itself."""
    if joint is None:
        return ","
    plain = words.strip(" ,([").lower()
    done = "soaked" if joint["soaked"] or joint["late"] else "done" if joint["done"] else ""
    return done or ("and" if plain == "&" else _ELSEWHERE.get(plain, plain))


def alternatives_of(text: str) -> tuple[str, ...]:
    """What may be taken for one another, where a line says "or"; the brackets stay whole.

    >>> alternatives_of("14 g fresh yeast or 7 g dried")
    ('14 g fresh yeast', '7 g dried')
    """
    if ingredient_named(text.strip()) is not None:
        return (text,)
    kept = [(found.start, found.end) for found in amounts_in(text)]
    kept += [match.span() for match in _BRACKETS.finditer(text)]
    found, start = [], 0
    for match in _OR.finditer(text):
        inside = any(match.start() < end and start_ < match.end() for start_, end in kept)
        if not inside or _between(match, kept):
            found.append(text[start : match.start()])
            start = match.end()
    return tuple(part for part in (*found, text[start:]) if part.strip(" ,;")) or (text,)


def _between(match: re.Match[str], kept: list[tuple[int, int]]) -> bool:
    """Whether it only touches what stays whole."""
    return not any(start < match.start() + 1 and match.end() - 1 < end for start, end in kept)


def _joints(
    text: str, taken: list[tuple[int, int]]
) -> Iterator[tuple[int, int, re.Match[str] | None]]:
    """Joints and commas outside the amounts, in their order."""
    joints = [(m.start(), m.end(), m) for m in _JOINT.finditer(text)]
    commas = [(m.start(), m.end(), None) for m in _COMMA.finditer(text)]
    for at, end, joint in sorted([*joints, *commas], key=lambda found: found[:2]):
        if not any(start < at + 1 and end - 1 < stop for start, stop in taken):
            yield at, end, joint


def _joins(before: str, after: str, joint: re.Match[str] | None) -> bool:
    """Whether another ingredient follows, not only more words about this one."""
    amount = amount_at(after)
    names = amount is not None and bool(after[amount.end :].strip(" .,;)"))
    if joint is None and amount is None:
        return _are_two(before, after)
    if joint is None:
        return names and _holds(before) and amount is not None and _is_named(after[amount.end :])
    if joint["plus"]:
        return (names or _EXTRA.match(after) is not None) and bool(before.strip())
    if joint["soaked"] or joint["late"]:
        return names or _is_named(after)
    if joint["done"] or names:
        return names and bool(before.strip()) and not _is_choice(before)
    return _are_two(before, after)


def _are_two(before: str, after: str) -> bool:
    """Salt and pepper: two names without amounts, which are not one name together."""
    if any(True for _ in amounts_in(before + " , " + after)):
        return False
    return ingredient_named(before.strip()) is not None and _is_named(after)


def _is_choice(text: str) -> bool:
    """Whether a second amount was offered already: what follows belongs to that."""
    return any(amount_at(text, match.end()) is not None for match in _OR.finditer(text))


def _holds(text: str) -> bool:
    """Whether a stretch is an ingredient with its amount already."""
    found = next(amounts_in(text), None)
    return found is not None and _is_named(f"{text[: found.start]} {text[found.end :]}")


def _is_named(text: str) -> bool:
    first = re.split(r"[,;(]|\bor\b|\bfor\b", text, maxsplit=1)[0]
    named = described(first.strip().removeprefix("of "))
    return named.ingredient is not None or is_stage(named.name)
