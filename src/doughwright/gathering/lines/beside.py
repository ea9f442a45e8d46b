"""What stands beside an amount and its name: the same again, how large, when it is taken."""

import re
from dataclasses import replace

from doughwright.gathering.gathered import Amount
from doughwright.gathering.lines.amounts import KIN, Found, amount_of, amounts_in
from doughwright.gathering.lines.filled import SIZES, SIZES_ELSEWHERE
from doughwright.gathering.lines.names import described
from doughwright.gathering.lines.numerals import numeral_at
from doughwright.gathering.lines.unit_words import METRIC_VOLUMES, WEIGHTS, unit_at
from doughwright.gathering.weighing.unsettled import GRAINS

_SIZE_SAID = re.compile(
    rf"\b(?:{'|'.join(SIZES)})\b(?:[\s-]+sized?\b)?|\bsize\s+(?:XL|[SML])\b"
    r"|\b(?:XL|[SML])\b(?=\s+(?:\S+\s+)?(?:egg|yolk))|[\(\[]\s*(?:XL|[SML])\s*[\)\]]"
    r"|,\s*(?:XL|[SML])\s*$"
    r"|[\(\[]?\s*\b(?:gr\.|größe|groesse|grösse|taille|taglia|talla|calibre|storlek|str\.)\s*"
    r"(?:XL|[SML])\b\s*[\)\]]?"
    rf"|\b(?:{'|'.join(SIZES_ELSEWHERE)})\b",
    re.IGNORECASE,
)
_SIZE_WORD = re.compile(
    r"\bsized?\b|\b(?:gr\.|größe|groesse|grösse|taille|taglia|talla|calibre|storlek|str\.)",
    re.IGNORECASE,
)
GRADED = frozenset({"dairy", "cheese", "other"})
"""Kinds of which a percentage says how fat or how dark they are."""

_LETTERS = {"s": "small", "m": "medium", "l": "large", "xl": "extra large"}
_JOINT = re.compile(r"\s*[,(\[]?\s*(?:\+|\bplus)\s*$", re.IGNORECASE)
_TWO = re.compile(r"\d{1,4}\s?/\s?\d{1,4}\s*(?=[^\W\d])")
_END = re.compile(r"[\s.,)\]]*")
_BRACKET = re.compile(r"\s*[\(\[]([^()\[\]]*)[\)\]]?")


def has_unit(found: Found) -> bool:
    """Whether an amount is one of a measure, not a count or a share."""
    return found.amount.unit not in {"", "%", "piece"}


def said_in_brackets(rest: str, amount: Amount) -> tuple[str, Amount]:
    """Brackets and ends that hold nothing but the same amount in another unit."""
    for match in list(_BRACKET.finditer(rest)):
        one = _one_of(match[1], amount)
        if one is not None:
            words = f"{amount.words} {match[0].strip()}"
            return rest.replace(match[0], " ", 1), replace(amount, package=one, words=words)
        same = amount_of(match[1])
        if same is not None and same.unit not in {amount.unit, "", "%"}:
            rest = rest.replace(match[0], " ", 1)
            amount = _with_same(amount, (replace(same, same=()), *same.same), match[0])
    for found in amounts_in(rest):
        if has_unit(found) and not amount.unit and not amount.same:
            said = rest[found.start : found.end]
            rest = f"{rest[: found.start]} {rest[found.end :]}"
            return rest, _with_same(amount, (found.amount,), said)
    return rest, amount


def added_behind(rest: str, amount: Amount) -> tuple[str, Amount]:
    """What is added to an amount behind its name: "325 g water + 25 g" is one amount of both."""
    found = next(amounts_in(rest), None)
    joint = _JOINT.search(rest[: found.start]) if found else None
    is_last = found is not None and _END.fullmatch(rest, found.end) is not None
    if found is None or joint is None or not is_last or not rest[: joint.start()].strip():
        return rest, amount
    more = found.amount
    is_kin = any(amount.unit in kin and more.unit in kin for kin in KIN)
    if not is_kin or amount.same or more.same or amount.package or more.package:
        return rest, amount
    words = f"{amount.words} + {more.words}"
    return rest[: joint.start()], replace(amount, more=(*amount.more, more), words=words)


def without_two(text: str) -> tuple[str, str]:
    """A stretch without two numbers that are no fraction, and those.

    >>> without_two("250/100 g water"), without_two("1/2 cup water")
    (('water', '250/100 g'), ('1/2 cup water', ''))
    """
    match = _TWO.match(text)
    unit = unit_at(text, match.end()) if match else None
    if unit is None or numeral_at(text) is not None:
        return text, ""
    return text[unit.end :].strip(), text[: unit.end]


def _one_of(inside: str, amount: Amount) -> Amount | None:
    """What one measure of an amount holds, where brackets say so: "(1 cup = 200 ml)"."""
    one, equals, held = inside.partition("=")
    measure = amount_of(one) if equals else None
    if measure is None or measure.unit != amount.unit or measure.best != 1 or amount.package:
        return None
    found = amount_of(held)
    return found if found and found.unit in (*WEIGHTS, *METRIC_VOLUMES) else None


def _with_same(amount: Amount, same: tuple[Amount, ...], said: str) -> Amount:
    words = f"{amount.words} {said.strip()}"
    return replace(amount, same=(*amount.same, *same), words=words)


def percent_behind(rest: str, amount: Amount) -> tuple[str, tuple[tuple[str, Amount], ...]]:
    """A percentage beside a weight, as formulas have them: another column."""
    for found in amounts_in(rest):
        ends = not rest[found.end :].strip(" .,;)")
        if found.amount.unit == "%" and amount.unit in WEIGHTS and ends:
            if rest[: found.start].rstrip().endswith("(") and is_graded(rest[: found.start]):
                break
            return rest[: found.start].rstrip(" ,;("), (("%", found.amount),)
    return rest, ()


def is_graded(text: str) -> bool:
    """Whether a percentage in brackets behind it says how fat or how dark it is."""
    ingredient = described(text).ingredient
    return ingredient is not None and ingredient.kind in GRADED


def tells_share_behind(note: str, kind: str) -> bool:
    """Whether the words beside a name hold its percentage: "fresh 1 %" of yeast, never of milk."""
    has_share = any(found.amount.unit == "%" for found in amounts_in(note))
    return has_share and kind not in GRADED


def sized(rest: str, amount: Amount) -> tuple[str, Amount]:
    """How large each is, from the words beside a count."""
    match = _SIZE_SAID.search(rest) if amount.unit in {"", "piece"} else None
    if match is None:
        return rest, amount
    said = _SIZE_WORD.sub("", match[0]).strip(" -()[],").lower()
    size = _LETTERS.get(said) or SIZES_ELSEWHERE.get(said, said)
    left = f"{rest[: match.start()].rstrip(' ,(')} {rest[match.end() :].lstrip(' )')}"
    return left, replace(amount, modifiers=(*amount.modifiers, size))


def grains_in(name: str) -> tuple[str, ...]:
    """Words of a salt that change what a spoon of it weighs."""
    return tuple(word for word in name.lower().split() if word in GRAINS)


def condition_in(rest: str) -> tuple[str, str]:
    """The words from an "if" on: when it is taken, not what it is."""
    match = re.search(r"(?:^|\s)(?:if|when)\s", rest, re.IGNORECASE)
    return (rest[: match.start()], rest[match.start() :].strip()) if match else (rest, "")
