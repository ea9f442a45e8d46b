"""One amount that brackets take apart: "450 g flour (400 g white, 50 g wholemeal)"."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from doughwright.engine.ingredients import Ingredient
from doughwright.gathering.gathered import Amount
from doughwright.gathering.lines.amounts import amount_at
from doughwright.gathering.lines.names import Named, described
from doughwright.gathering.lines.splitting import less
from doughwright.gathering.lines.unit_words import METRIC_VOLUMES, WEIGHTS
from doughwright.gathering.weighing.measures import LITRES

SIZES = {"mg": 1e-3, "g": 1.0, "kg": 1e3, "oz": 28.349523125, "lb": 453.59237} | {
    unit: 1e6 * size for unit, size in LITRES.items()
}
"""What one of a unit is in g or ml (avoirdupois: Weights and Measures Act 1985, Schedule 1)."""

LIQUIDS = frozenset({"liquid", "dairy"})
"""Kinds of which one may be some of the other: "300 g milk, of which 100 g water"."""

NEAR = 0.005
"""What rounding leaves between a sum and its parts (assumption)."""

_SOME = r"(?:of which|including|incl\.?|davon|darunter|dont|y compris|di cui|varav|heraf)"
"""Words before what is only some of it (other languages from memory)."""

_LED = rf"(?:{_SOME}|made (?:up )?of|made from|consisting of|i\.?e\.?|that is)"
_IS_SOME = re.compile(rf"\W*{_SOME}\W+", re.IGNORECASE)
_BODY = re.compile(
    rf"(?P<head>[^()\[\]:;=]+?)\s*(?:[(\[]\s*(?:{_LED}[\s,:]+)?(?P<inside>[^()\[\]]+)[)\]]?"
    rf"|[,:=–—]\s*(?:{_LED}[\s,:]+)(?P<told>[^()\[\]]+)|[:=]\s*(?P<behind>[^()\[\]]+))\s*",
    re.IGNORECASE,
)
_HALVES = re.compile(
    r"(?:half|½|1/2)\s+(?P<one>[^\W\d][\w\s-]*?)(?:\s*[,/&+]\s*|\s+and\s+|\s+)"
    r"(?:half|½|1/2)\s+(?P<other>[^\W\d][\w\s-]*)",
    re.IGNORECASE,
)
_LIQUIDS = frozenset({"", "liquid", "liquids", "mixed", "mixed liquid", "of"})
_BETWEEN = re.compile(r"\s*[,;+&]\s*(?:and\s+)?|\s+(?:and|plus|und|et|ed?|och)\s+", re.IGNORECASE)

MOST_APART = 2.0
"""Parts that come to more times the whole, or less, are no parts of it (assumption)."""


@dataclass(frozen=True, slots=True)
class MadeUp:
    """What one amount is made up of; ``apart`` is it and the sum of the parts, if not the same."""

    parts: tuple[tuple[str, Amount], ...] = ()
    apart: tuple[Amount, float] | None = None


def made_up(body: str) -> MadeUp:
    """The names and amounts that together are the line's one amount; none where they are not.

    >>> [name for name, _ in made_up("450 g flour (400 g white, 50 g wholemeal)").parts]
    ['white', 'wholemeal']
    >>> made_up("450 g flour (400 g white, 100 g wholemeal)").apart[1]
    500.0
    """
    if halves := _halves(body):
        return MadeUp(halves)
    match = _BODY.fullmatch(body)
    found = amount_at(match["head"]) if match else None
    if match is None or found is None or found.amount.unit not in WEIGHTS + METRIC_VOLUMES:
        return MadeUp()
    noun = described(match["head"][found.end :])
    if noun.ingredient is None or noun.ingredient.kind == "starter":
        return MadeUp()
    inside = match["inside"] or match["told"] or match["behind"]
    parts = tuple(_parts(inside, found.amount, noun.name))
    whole, said = _sum(parts, found.amount), found.amount.best
    same = {name.casefold() for name, _ in parts}
    if len(same) != len(parts) or _is_some(match, parts):
        return _with_rest(found.amount, noun, parts) if len(same) == len(parts) else MadeUp()
    if len(parts) > 1 and abs(whole - said) <= NEAR * said:
        return MadeUp(parts)
    is_all = (
        len(parts) > 1
        and len(parts) == len(_BETWEEN.split(inside))
        and _are_of(parts, noun.ingredient)
    )
    near = said / MOST_APART < whole < said * MOST_APART
    return MadeUp(parts, (found.amount, whole)) if is_all and near else MadeUp()


def _is_some(match: re.Match[str], parts: Sequence[tuple[str, Amount]]) -> bool:
    """Whether a line says that its parts, all of them known, are only some of the whole."""
    inside = "inside" if match["inside"] else "told"
    if match[inside] is None or len(parts) != len(_BETWEEN.split(match[inside])):
        return False
    return _IS_SOME.fullmatch(match.string[match.end("head") : match.start(inside)]) is not None


def _with_rest(whole: Amount, noun: Named, parts: Sequence[tuple[str, Amount]]) -> MadeUp:
    """What is left of a whole, and the parts its line names: "500 g flour, of which 100 g rye"."""
    row, rows = noun.ingredient, {_row(name) for name, _ in parts}
    if row is None or row.name in rows or not parts or not _are_of(parts, row):
        return MadeUp()
    left, taken = less(whole, [amount for _, amount in parts]), _sum(parts, whole)
    if left is None or taken >= whole.best * (1 - NEAR):
        return MadeUp(((noun.name, whole),), (whole, taken))
    return MadeUp(((noun.name, left), *parts))


def _row(name: str) -> str:
    row = described(name).ingredient
    return row.name if row else ""


def _sum(parts: Sequence[tuple[str, Amount]], whole: Amount) -> float:
    """What the parts come to, in the unit of the whole."""
    sizes = (amount.best * SIZES[amount.unit] / SIZES[whole.unit] for _, amount in parts)
    return sum(sizes)


def _are_of(parts: Sequence[tuple[str, Amount]], noun: Ingredient) -> bool:
    """Whether all parts are of one kind with what they are said to be."""
    kinds = LIQUIDS if noun.kind in LIQUIDS else {noun.kind}
    return all((row := described(name).ingredient) and row.kind in kinds for name, _ in parts)


def _halves(body: str) -> tuple[tuple[str, Amount], ...]:
    """Two halves of one amount: ``300 ml half milk, half water``."""
    told = _HALVES.search(body)
    found = amount_at(body)
    if told is None or found is None or found.amount.unit not in (*WEIGHTS, *METRIC_VOLUMES, "cup"):
        return ()
    between = body[found.end : told.start()].strip(" (:,").casefold()
    names = (told["one"].strip(), told["other"].strip())
    is_alone = not body[told.end() :].strip(" ).") and between in _LIQUIDS
    if not is_alone or not all(described(name).ingredient for name in names):
        return ()
    half = Amount(50, 50, 50, "%", "half")
    return tuple((name, _share_of(found.amount, half)) for name in names)


def _parts(inside: str, whole: Amount, noun: str) -> Iterator[tuple[str, Amount]]:
    """Each part that is an amount of something known; what is not leaves the sum short."""
    for words in _BETWEEN.split(inside):
        found = amount_at(words)
        name = _completed(words[found.end :].strip(" ."), noun) if found else ""
        if found is None or not name:
            continue
        if found.amount.unit == "%":
            yield name, _share_of(whole, found.amount)
        elif SIZES.get(found.amount.unit) and _is_weight(found.amount) == _is_weight(whole):
            yield name, found.amount


def _is_weight(amount: Amount) -> bool:
    return amount.unit in WEIGHTS


def _completed(name: str, noun: str) -> str:
    """A name the table knows, if need be with the line's own noun: white, of a flour."""
    words = noun.split()
    tails = (" ".join((name, *words[at:])).strip() for at in range(len(words), -1, -1))
    known = (tail for tail in tails if name and described(tail).ingredient is not None)
    return next(known, "")


def _share_of(whole: Amount, share: Amount) -> Amount:
    part = share.best / 100
    low, best, high = (part * end for end in (whole.low, whole.best, whole.high))
    words = f"{share.words} of {whole.words}"
    return replace(whole, low=low, best=best, high=high, same=(), words=words)
