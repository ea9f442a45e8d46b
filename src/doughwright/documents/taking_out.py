"""What an edit takes out of a text or moves in it, and how what is left is tidied."""

import re

from doughwright.documents.entries import end_empty, list_uses, set_first, stand_in
from doughwright.documents.layout import Entry, Part, Word, printed
from doughwright.documents.places import (
    Sheet,
    is_uses,
    nothing_there,
    short_key,
    spot,
    value_at,
    word_at,
)
from doughwright.documents.spelling import empty, stands_on_lines, word
from doughwright.errors import Path


def taken_out(sheet: Sheet, path: Path, *, clearing: bool) -> None:
    """Take out what stands at a path, and what then holds nothing if a field was cleared."""
    if value_at(sheet, path) is None or not path:
        _short_taken_out(sheet, path, clearing=clearing)
        return
    part, position = spot(sheet, path)
    _drop(part, position, clearing=clearing)
    _tidy(sheet, path[:-1], clearing=clearing)


def _short_taken_out(sheet: Sheet, path: Path, *, clearing: bool) -> None:
    """Take out an amount that stands alone for its line: the line stays, with nothing said."""
    line = value_at(sheet, path[:-1]) if path else None
    if isinstance(line, Word) and path[-1] == short_key(path[:-1]):
        part, position = spot(sheet, path[:-1])
        stand_in(part, part.entries[position], empty(keyed=True), sheet.style)
        _tidy(sheet, path[:-2], clearing=clearing)
    elif not clearing:
        raise nothing_there(path)


def _drop(part: Part, position: int, *, clearing: bool) -> None:
    """Take out an entry, with the comments above it unless only its field was cleared."""
    entry = part.entries.pop(position)
    if not part.flow:
        part.between[position] += entry.lead if clearing else ""
        _close(part, position)
        set_first(part)
    elif not part.entries:
        part.closing = re.sub(r"^\s*,", "", part.closing)
    elif position == 0 and "#" not in part.entries[0].lead:
        part.entries[0].lead = entry.lead


def _close(part: Part, position: int) -> None:
    """Join what stands above and below a gap: every comment, but blank lines only once."""
    above, below = part.between[position], part.between.pop(position + 1)
    if above.strip() and (below.strip() or not below):
        part.between[position] = above + below
    elif below or position == len(part.entries):
        part.between[position] = below


def _tidy(sheet: Sheet, path: Path, *, clearing: bool) -> None:
    """Put a mapping that became short or empty as its author would write it."""
    if not path:
        return
    holder, position = spot(sheet, path)
    entry = holder.entries[position]
    part, short = entry.value, short_key(path)
    if not isinstance(part, Part):
        return
    if (
        short
        and len(part.entries) == 1
        and word_at(part.entries[0]) == short
        and "#" not in printed(part)
    ):
        _collapse(sheet, holder, entry, part.entries[0].value)
    elif is_uses(path) and part.entries and part.keyed and not any(map(_carries, part.entries)):
        list_uses(part)
    elif not part.entries:
        _tidy_empty(sheet, path, part, clearing=clearing)
    if short and isinstance(entry.value, Part) and not entry.value.entries:
        _tidy(sheet, path[:-1], clearing=clearing)


def _collapse(sheet: Sheet, holder: Part, entry: Entry, value: Word | Part) -> None:
    """Let an amount stand alone for its line again."""
    if isinstance(value, Word):
        plain = word(value.says, flow=holder.flow, like=value.spelt)
        stand_in(holder, entry, plain, sheet.style)


def _carries(entry: Entry) -> bool:
    return bool(entry.value.says if isinstance(entry.value, Word) else entry.value.entries)


def _tidy_empty(sheet: Sheet, path: Path, part: Part, *, clearing: bool) -> None:
    holder, position = spot(sheet, path)
    stays = path == ("preparations",) or (stands_on_lines(path) and len(path) == 2)
    commented = not part.flow and any(loose.strip() for loose in part.between)
    if is_uses(path) or (clearing and not stays and not short_key(path) and not commented):
        _drop(holder, position, clearing=clearing)
        _tidy(sheet, path[:-1], clearing=clearing)
    elif not part.flow:
        loose = "".join(part.between).strip()
        entry = holder.entries[position]
        stand_in(holder, entry, empty(keyed=part.keyed), sheet.style)
        if loose:
            entry.tail = f"  {' '.join(loose.split())}{sheet.style.eol}"


def moved(sheet: Sheet, path: Path, to: int) -> None:
    """Put an entry at another position among its neighbours."""
    part, position = spot(sheet, path)
    if not 0 <= to < len(part.entries):
        raise nothing_there((*path[:-1], to))
    if to == position:
        return
    leads = [entry.lead for entry in part.entries]
    part.entries.insert(to, part.entries.pop(position))
    if part.flow and "#" not in "".join(leads):
        for entry, lead in zip(part.entries, leads, strict=True):
            entry.lead = lead
    if part.flow:
        end_empty(part)
    set_first(part)
