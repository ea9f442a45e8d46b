"""What is taken only if the dough wants it: "340 g water plus 20 g more if needed" is a range."""

import re
from collections.abc import Sequence
from dataclasses import replace

from doughwright.gathering.gathered import Amount
from doughwright.gathering.lines.reaching import Said

_NEEDED = re.compile(
    r"\b(?:(?:if|as|when)\s+(?:needed|necessary|required|the\s+dough\b)|(?:if|when)\s+(?:it\s+is|too)"
    r"\s+(?:dry|stiff|sticky|wet)|bei bedarf|falls nötig|wenn nötig|si besoin|si nécessaire"
    r"|se necessario|se serve|si es necesario|vid behov|om det behövs)",
    re.IGNORECASE,
)


def with_what_is_needed(said: Sequence[Said]) -> list[Said]:
    """The same, with what may be added as the upper end of the amount before it."""
    made: list[Said] = []
    for one in said:
        before = made[-1].item if made else None
        more = one.item.amount
        if before is None or before.amount is None or more is None or not _may_be_added(one, made):
            made.append(one)
        elif more.unit == before.amount.unit and not before.amount.more and not more.more:
            words = f"{before.amount.words} plus {more.words}"
            wider = _wider(before.amount, before.amount.high + more.high, words)
            note = ", ".join(filter(None, (before.note, one.item.note)))
            made[-1] = replace(made[-1], item=replace(before, amount=wider, note=note))
        else:
            little = _wider(replace(more, low=0.0), more.high, more.words)
            made.append(replace(one, item=replace(one.item, amount=little)))
    return made


def _may_be_added(one: Said, made: Sequence[Said]) -> bool:
    joins = one.joint in {"plus", "+", "and", ","} and one.use is None
    is_same = one.item.name.casefold() == made[-1].item.name.casefold()
    return joins and is_same and _NEEDED.search(one.item.note) is not None


def _wider(amount: Amount, high: float, words: str) -> Amount:
    best = (amount.low + high) / 2
    return replace(amount, best=best, high=high, same=(), other=None, words=words)
