"""The same amount of several things: "20 g each of sunflower, pumpkin and sesame seeds"."""

import re
from collections.abc import Iterator

from doughwright.gathering.gathered import Item, Origin
from doughwright.gathering.lines.amounts import amount_at
from doughwright.gathering.lines.fruit import joined
from doughwright.gathering.lines.names import BESIDE, described

_EACH = re.compile(r"\s+(?:of\s+)?each(?:\s+of)?:?\s+(.+)", re.IGNORECASE)
_BETWEEN = re.compile(r"\s*(?:,|&|\band\b)(?:\s*(?:,|&|\band\b))*\s*", re.IGNORECASE)


def each_of(text: str, origin: Origin) -> Iterator[Item]:
    """One item for each thing, with the whole amount; one that nobody knows is kept to be asked.

    >>> line = "20 g each of sunflower, pumpkin and sesame seeds"
    >>> [item.name for item in each_of(line, Origin("a card", 1, line))]
    ['sunflower seeds', 'pumpkin seeds', 'sesame seeds']
    """
    found = amount_at(text)
    match = _EACH.fullmatch(text, found.end) if found else None
    said = [name.strip(" .") for name in _BETWEEN.split(match[1])] if match else []
    names = [name for name in said if not _is_beside(name)]
    whole = [_whole(name, names[-1]) for name in names]
    if found is None or len(names) < 2 or not any(map(_kind, whole)):
        return
    beside = joined(*(name for name in said if name not in names))
    for name in whole:
        named = described(name)
        yield Item(named.name, found.amount, origin, joined(named.note, "each", beside))


def _whole(name: str, last: str) -> str:
    """A name with the noun that only the last one has, where both are of a kind: pumpkin seeds."""
    words = last.split()
    longer = (f"{name} {' '.join(words[at:])}" for at in range(len(words) - 1, 0, -1))
    of_its_kind = (one for one in longer if _kind(one) == _kind(last) is not None)
    return name if _kind(name) == _kind(last) else next(of_its_kind, name)


def _is_beside(name: str) -> bool:
    """Whether some words only say how all of them are: finely ground."""
    return all(word in BESIDE for word in name.casefold().split())


def _kind(name: str) -> str | None:
    row = described(name).ingredient
    return row.kind if row else None
