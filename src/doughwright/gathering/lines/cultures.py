"""How much water a culture holds on its flour, where its line says so."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace

from doughwright.engine.ingredients import ingredient_named
from doughwright.gathering.gathered import Item
from doughwright.units import Ratio

DRIEST, WETTEST = 0.3, 3.0
"""Water on flour of a culture: what is said beyond is something else (assumption)."""

_SAID = re.compile(
    r"(?:(?:at|with|of|kept at)\s+)?(?:(?P<from>\d+\s*%?\s*(?:-|–|—|to)\s*)?"
    r"(?P<before>\d+(?:[.,]\d+)?)\s*(?:%|per ?cent)[\s-]*(?:hydration|hydrated)\b"
    r"|\bhydration\s*(?:of|at|is|:|=|,)?\s*"
    r"(?P<behind>\d+(?:[.,]\d+)?)\s*(?:%|per ?cent))",
    re.IGNORECASE,
)
_IN_BRACKETS = re.compile(
    r"\b(?:starter|levain|leaven|sourdough|culture|madre|surdeg|surdej|\w*sauerteig|anstellgut)\b"
    r"[^()\[\]]*?(?P<said>[(\[]\s*(?P<number>\d+)\s*%\s*[)\]])",
    re.IGNORECASE,
)
_SOUR_WORDS = """
sauerteig roggensauerteig weizensauerteig dinkelsauerteig natursauerteig
"""
SOURS = frozenset(_SOUR_WORDS.split())
"""German words for a culture, which are as often the name of a part of the bread (from memory)."""

LEAST_BARE = 1.0
"""Water on flour that bare brackets may mean; less may be its share of the flour (assumption)."""

_YIELD = re.compile(r"\bTA\s*:?\s*(?P<whole>1[3-9]\d|2\d\d|3\d\d)\b")
_PARTS = re.compile(r"(?<![\d:.,])(?:\d+\s*:\s*)?(?P<one>\d+)\s*:\s*(?P<other>\d+)(?![\d:.,])")
_MADE_OF = re.compile(
    r"(?:starter|levain|leaven|sourdough|culture|madre)\b[^()\[\]]*?"
    r"(?P<inside>[(\[](?=[^()\[\]]*\bflour\b)(?=[^()\[\]]*\bwater\b)[^()\[\]]*[)\]])",
    re.IGNORECASE,
)
_GRAMS = re.compile(
    r"(?P<much>\d+(?:[.,]\d+)?)\s*g(?:rams?)?\s+(?:of\s+)?(?:[\w-]+\s+)*?(?P<what>flour|water)\b",
    re.IGNORECASE,
)
_EQUAL = re.compile(
    r"\bequal\s+(?:parts|weights?|amounts?|quantities)\b|\bhalf\s+flour\b.*\bhalf\s+water\b"
    r"|\bhalf\s+water\b.*\bhalf\s+flour\b|\b50\s*/\s*50\b",
    re.IGNORECASE,
)


def wetness_in(text: str) -> tuple[str, str]:
    """A text without the words that say how wet a culture is, and those.

    >>> wetness_in("sourdough starter at 100% hydration"), wetness_in("2 % salt")
    (('sourdough starter', 'at 100% hydration'), ('2 % salt', ''))
    """
    match = _SAID.search(text)
    if match is None:
        return _bare_wetness(text)
    left = re.sub(r"[(\[]\s*[)\]]", " ", f"{text[: match.start()]} {text[match.end() :]}")
    return " ".join(left.split()).strip(" ,;"), match[0].strip()


def _bare_wetness(text: str) -> tuple[str, str]:
    """The same of a culture with nothing but a percentage in its brackets: "starter (100%)"."""
    match = _IN_BRACKETS.search(text)
    ratio = int(match["number"]) / 100 if match else 0.0
    if match is None or not LEAST_BARE <= ratio <= WETTEST:
        return text, ""
    at, end = match.span("said")
    return f"{text[:at].rstrip()} {text[end:].lstrip()}".strip(), f"{ratio:.0%} hydration"


def made_of(text: str) -> list[tuple[int, int]]:
    """Where a line says in brackets of what flour and water its culture is made.

    >>> made_of("100 g starter (50 g flour and 50 g water)")
    [(14, 41)]
    """
    return [match.span("inside") for match in _MADE_OF.finditer(text)]


def hydration_in(words: str) -> Ratio | None:
    """Water on the flour of a culture as some words say it; None where they leave it open.

    Of parts by weight the last two are flour and water, in either order where they are equal.

    >>> [hydration_in(words) for words in ("125 % hydration", "1:1", "TA 180", "60-65% hydration")]
    [1.25, 1.0, 0.8, None]
    """
    found = set(_ratios(words))
    return found.pop() if len(found) == 1 and DRIEST <= min(found) <= WETTEST else None


def _ratios(words: str) -> Iterator[Ratio]:
    for match in _SAID.finditer(words):
        number = match["before"] or match["behind"]
        yield 0.0 if match["from"] else float(number.replace(",", ".")) / 100
    yield from (float(match["whole"]) / 100 - 1 for match in _YIELD.finditer(words))
    for match in _PARTS.finditer(words):
        yield 1.0 if match["one"] == match["other"] else 0.0
    grams = [
        (m["what"].lower(), float(m["much"].replace(",", "."))) for m in _GRAMS.finditer(words)
    ]
    if sorted(what for what, _ in grams) == ["flour", "water"]:
        yield dict(grams)["water"] / dict(grams)["flour"]
    if _EQUAL.search(words):
        yield 1.0


def as_culture(item: Item) -> Item:
    """An ingredient, by the table's word where its own is one of a culture that is no part here."""
    if item.name.casefold() not in SOURS:
        return item
    return replace(item, name="starter", note=", ".join(filter(None, (item.name, item.note))))


def hydration_said(item: Item) -> Ratio | None:
    """What the line of a culture says of its water; None for every other ingredient."""
    item = as_culture(item)
    row = ingredient_named(item.name)
    if row is None or row.kind != "starter":
        return None
    return hydration_in(f"{item.name}, {item.note}")


def flour_share(item: Item, key: str, answers: Mapping[str, str]) -> Ratio | None:
    """How much of a culture is flour, as said or answered; None where nobody has, 0 for others.

    >>> from doughwright.gathering.gathered import Origin
    >>> item = Item("starter", None, Origin("a card", 1, ""), "50% hydration")
    >>> round(flour_share(item, "1:starter", {}), 4)
    0.6667
    """
    row = ingredient_named(as_culture(item).name)
    if row is None or row.kind != "starter":
        return 0.0
    answer = re.fullmatch(r"(\d+)%", answers.get(f"{key}:hydration", ""))
    hydration = int(answer[1]) / 100 if answer else hydration_said(item)
    return None if hydration is None else 1 / (1 + hydration)
