"""Comments of a line that goes, carried to the one that stands in its place."""

import re
from collections.abc import Iterable

from doughwright.documents.layout import Entry, Part
from doughwright.documents.origins import told_as_gone
from doughwright.documents.places import Sheet, spot, word_at
from doughwright.documents.taking_out import taken_out
from doughwright.errors import Path

_INDENT = re.compile("^ *(?=#)", re.MULTILINE)


def carried(sheet: Sheet, path: Path, to: Path) -> None:
    """Take out an entry; its comments go to another, above it where that has some of its own."""
    part, position = spot(sheet, path)
    there, at = spot(sheet, to)
    old, new = part.entries[position], there.entries[at]
    if word_at(old) != word_at(new):
        old.tail = told_as_gone(old, word_at(old))
    below = isinstance(new.value, Part) and not new.value.flow
    if part.flow or there.flow or below or "#" in _around(new):
        old.tail = told_as_gone(old, "")
        _put_above(sheet, to, _comments(old))
    elif "#" in _around(old):
        part.entries[position] = Entry(old.key, old.value)
        there.entries[at] = _standing(old, new, there.column)
    taken_out(sheet, path, clearing=False)


def _around(entry: Entry) -> str:
    return entry.lead + entry.tail


def _standing(old: Entry, new: Entry, column: int) -> Entry:
    """The old entry with its comments in the new one's place: what was read of it is known."""
    old.key, old.indent, old.gap, old.value = new.key, new.indent, new.gap, new.value
    old.lead = _INDENT.sub(" " * column, old.lead)
    first, *below = old.tail.splitlines(keepends=True) or [new.tail]
    old.tail = first + "".join(_INDENT.sub(" " * column, line) for line in below)
    return old


def _comments(entry: Entry) -> Iterable[str]:
    lines = map(str.strip, _around(entry).splitlines())
    return (line for line in lines if line.startswith("#"))


def _put_above(sheet: Sheet, path: Path, comments: Iterable[str]) -> None:
    """Put comments above an entry, or above what on a line of its own holds it."""
    for end in range(len(path), 0, -1):
        part, position = spot(sheet, path[:end])
        if not part.flow:
            lines = (f"{' ' * part.column}{comment}{sheet.style.eol}" for comment in comments)
            part.entries[position].lead += "".join(lines)
            return
