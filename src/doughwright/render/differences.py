"""What changed between two revisions, in a baker's words, one line a change."""

import re
from collections.abc import Iterable

from doughwright.documents.comparing import Difference

MOST_LINES = 36
"""More than these nobody reads; the rest is counted."""

LONGEST = 60
"""Signs of a note that are shown."""

_WORDY = ("note", "cue")
_WHOLE = ("preparations", "process", "own ingredients", "shelf", "breads")
"""Parts whose members come and go as a whole, with what is in them in brackets."""


def difference_lines(found: Iterable[Difference], most: int = MOST_LINES) -> tuple[str, ...]:
    """Return one line a change, such as ``dough: salt 1.8 → 2.0 %``, and how many more there are.

    >>> difference_lines([Difference("changed", (), "salt", "dough", "1.8 %", "2.0 %")])
    ('dough: salt 1.8 → 2.0 %',)
    """
    lines = [*map(difference_line, found)]
    rest = len(lines) - most
    if rest > 1:
        return (*lines[:most], f"and {rest} more changes")
    return tuple(lines)


def difference_line(found: Difference) -> str:
    """Return one change in a line."""
    part = f"{found.part_of}: " if found.part_of else ""
    return f"{part}{_SAID[found.kind](found)}"


def _changed(found: Difference) -> str:
    if _wordy(found):
        return f"{found.what} {_quoted(found.before)} → {_quoted(found.after)}"
    return f"{found.what} {_from_to(found.before, found.after)}"


def _came(found: Difference) -> str:
    return f"{_whole(found, found.after)} added{_beside(found, found.after)}"


def _went(found: Difference) -> str:
    return f"{_whole(found, found.before)} taken out{_beside(found, found.before)}"


def _whole(found: Difference, says: str) -> str:
    if found.part_of in _WHOLE:
        return found.what
    said = _quoted(says) if _wordy(found) else says
    return f"{found.what} {said}".strip()


def _beside(found: Difference, says: str) -> str:
    return f" ({_short(says)})" if found.part_of in _WHOLE and says else ""


def _moved(found: Difference) -> str:
    if not found.part_of:
        return f"{found.what} moved from {found.before} to {found.after}"
    return f"{found.what} now {f'after {found.after}' if found.after else 'first'}"


def _renamed(found: Difference) -> str:
    return f"{found.before} renamed to {found.after}"


_SAID = {
    "added": _came,
    "removed": _went,
    "changed": _changed,
    "moved": _moved,
    "renamed": _renamed,
}


def _wordy(found: Difference) -> bool:
    return found.what.split(" ")[-1] in _WORDY


def _short(says: str) -> str:
    plain = " ".join(says.split())
    return plain if len(plain) <= LONGEST else f"{plain[: LONGEST - 1].rstrip()}…"


def _quoted(says: str) -> str:
    return f"“{_short(says)}”"


def _from_to(before: str, after: str) -> str:
    """Join two values; a unit they share is said once."""
    (old, _, unit), (new, _, other) = before.partition(" "), after.partition(" ")
    bare = all(re.fullmatch(r"[\d.,–+−/-]+", number) for number in (old, new))
    once = bare and unit and unit == other and not re.search(r"(?:^| )\d", unit)
    return f"{old} → {new} {unit}" if once else f"{_short(before)} → {_short(after)}"
