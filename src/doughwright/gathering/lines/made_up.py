"""One amount that brackets take apart: "450 g flour (400 g white, 50 g wholemeal)"."""

import re
from collections.abc import Iterator
from dataclasses import replace

from doughwright.gathering.gathered import Amount
from doughwright.gathering.lines.amounts import amount_at
from doughwright.gathering.lines.names import described
from doughwright.gathering.lines.unit_words import METRIC_VOLUMES, WEIGHTS

NEAR = 0.005
"""What rounding leaves between a sum and its parts (assumption)."""

_LED = r"(?:of which|made (?:up )?of|made from|consisting of|i\.?e\.?|that is|davon|dont|di cui)"
_BODY = re.compile(
    rf"(?P<head>[^()\[\]:;=]+?)\s*(?:[(\[]\s*(?:{_LED}[\s,:]+)?(?P<inside>[^()\[\]]+)[)\]]?"
    rf"|[,:=–—]\s*(?:{_LED}[\s,:]+)(?P<told>[^()\[\]]+)|[:=]\s*(?P<behind>[^()\[\]]+))\s*",
    re.IGNORECASE,
)
_BETWEEN = re.compile(r"\s*[,;+&]\s*(?:and\s+)?|\s+(?:and|plus|und|et|ed?|och)\s+", re.IGNORECASE)


def made_up(body: str) -> tuple[tuple[str, Amount], ...]:
    """The names and amounts that together are the line's one amount; none where they are not.

    >>> [name for name, _ in made_up("450 g flour (400 g white, 50 g wholemeal)")]
    ['white', 'wholemeal']
    """
    match = _BODY.fullmatch(body)
    found = amount_at(match["head"]) if match else None
    if match is None or found is None or found.amount.unit not in WEIGHTS + METRIC_VOLUMES:
        return ()
    noun = described(match["head"][found.end :])
    if noun.ingredient is None or noun.ingredient.kind == "starter":
        return ()
    inside = match["inside"] or match["told"] or match["behind"]
    parts = list(_parts(inside, found.amount, noun.name))
    whole = sum(amount.best for _, amount in parts)
    adds_up = len(parts) > 1 and abs(whole - found.amount.best) <= NEAR * found.amount.best
    same = {name.casefold() for name, _ in parts}
    return tuple(parts) if adds_up and len(same) == len(parts) else ()


def _parts(inside: str, whole: Amount, noun: str) -> Iterator[tuple[str, Amount]]:
    """Each part that is an amount of something known; what is not leaves the sum short."""
    for words in _BETWEEN.split(inside):
        found = amount_at(words)
        name = _completed(words[found.end :].strip(" ."), noun) if found else ""
        if found is None or not name:
            continue
        if found.amount.unit == "%":
            yield name, _share_of(whole, found.amount)
        elif found.amount.unit == whole.unit:
            yield name, found.amount


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
