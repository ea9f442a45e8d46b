"""Plain trees compared: which keys came, went, changed, and what stands elsewhere now."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any, Literal

from doughwright.errors import Path

Kind = Literal["added", "removed", "changed", "moved", "renamed"]
Body = Mapping[str, Any]
"""A part of a document as written: words, lists and mappings by name."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One change: what it is about, in which part, what was said before and is said now.

    ``where`` leads into the later document, for what was removed into the earlier one. Of a
    thing ``moved``, ``before`` and ``after`` name the parts it left and came to; within one part
    (``part_of``) ``after`` names what now stands before it, nothing if it is the first.
    """

    kind: Kind
    where: Path
    what: str
    part_of: str = ""
    before: str = ""
    after: str = ""


def flat(body: Body) -> dict[str, str]:
    """Return the words of a part by their keys, those of parts within it by both keys.

    >>> flat({"room": "22 °C", "tap": {"cold": "12 °C"}, "tags": ["a", "b"]})
    {'room': '22 °C', 'tap cold': '12 °C', 'tags': 'a, b'}
    """
    found: dict[str, str] = {}
    for key, value in body.items():
        if isinstance(value, Mapping):
            found |= {f"{key} {inner}": words for inner, words in flat(value).items()}
        else:
            found[key] = ", ".join(value) if isinstance(value, list) else str(value)
    return found


def listed(body: Body) -> str:
    """Return a part in one line: its keys with their words."""
    return ", ".join(f"{key} {words}".strip() for key, words in flat(body).items())


def fields(
    was: Body, now: Body, where: Path, part_of: str, prefix: str = ""
) -> Iterator[Difference]:
    """Compare the words of a part, key by key."""
    before, after = flat(was), flat(now)
    for key in [*after, *(key for key in before if key not in after)]:
        said = before.get(key), after.get(key)
        if said[0] != said[1]:
            what = f"{prefix} {key}".strip()
            yield difference((*where, *_path_of(key, now, was)), what, part_of, *said)


def _path_of(key: str, *bodies: Body) -> Path:
    """Return the path of a flat key: the key itself, or one that holds a part and one in it."""
    for body in bodies:
        if key in body:
            return (key,)
        for outer, inner in body.items():
            if isinstance(inner, Mapping) and key.startswith(f"{outer} "):
                return (outer, *_path_of(key.removeprefix(f"{outer} "), inner))
    return (key,)


def difference(
    where: Path, what: str, part_of: str, before: str | None, after: str | None
) -> Difference:
    """Return what came, went or changed."""
    kind: Kind = "added" if before is None else "removed" if after is None else "changed"
    return Difference(kind, where, what, part_of, before or "", after or "")


def members(
    was: Body, now: Body, where: Path, part_of: str, nothing: str = ""
) -> Iterator[Difference]:
    """Compare parts by their names: whole ones that came or went, and the words of the others."""
    for name in [*now, *(name for name in was if name not in now)]:
        path = (*where, name)
        if name in was and name in now:
            yield from fields(was[name], now[name], path, name)
        elif name in now:
            yield Difference("added", path, name, part_of, after=listed(now[name]) or nothing)
        else:
            yield Difference("removed", path, name, part_of, before=listed(was[name]) or nothing)
    yield from reordered([*was], [*now], where, part_of)


def words_of(was: Sequence[str], now: Sequence[str], where: Path) -> Iterator[Difference]:
    """Compare lists of words, such as tags."""
    name = str(where[-1])
    for word in now:
        if word not in was:
            yield Difference("added", where, word, name)
    for word in was:
        if word not in now:
            yield Difference("removed", where, word, name)


def reordered(
    was: Sequence[str], now: Sequence[str], where: Path, part_of: str
) -> Iterator[Difference]:
    """Return the names that stand elsewhere among those that both sides have."""
    before = [name for name in was if name in now]
    after = [name for name in now if name in was]
    stayed = {
        name
        for block in SequenceMatcher(None, before, after, autojunk=False).get_matching_blocks()
        for name in after[block.b : block.b + block.size]
    }
    for position, name in enumerate(now):
        if name in was and name not in stayed:
            ahead = now[position - 1] if position else ""
            yield Difference("moved", (*where, name), name, part_of, after=ahead)
