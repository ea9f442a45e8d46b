"""What an edit does to the parts of a text: putting in, taking out, moving."""

import re

from doughwright.documents.layout import Entry, Part, Word, printed
from doughwright.documents.places import (
    Sheet,
    is_uses,
    nothing_there,
    place_for,
    position_of,
    short_key,
    spot,
    value_at,
    word_at,
)
from doughwright.documents.spelling import (
    Style,
    Tree,
    empty,
    line_entry,
    made,
    stand,
    stands_on_lines,
    word,
)
from doughwright.errors import DocumentError, Notice, Path

_ASIDE = re.compile(r"( +)(#.*)", re.DOTALL)


def respelt(was: Word, to: str) -> Word:
    """Return another name in the quotes of the old one."""
    return word(to, flow=True, like=was.spelt)


# --- putting in


def put(sheet: Sheet, path: Path, value: str) -> None:
    """Put words at a path, making what is missing on the way."""
    if not path:
        raise nothing_there(path)
    _put_into(sheet, sheet.root, (), path, value)


def _put_into(sheet: Sheet, part: Part, at: Path, rest: Path, value: str) -> None:
    step, more = rest[0], rest[1:]
    here = (*at, step)
    if is_uses(at) and not part.keyed and (more or position_of(part, step) is None):
        _name_uses(part)
    position = position_of(part, step)
    if position is None:
        _put_new(sheet, part, here, _nested(more, value))
        return
    entry = part.entries[position]
    bare = isinstance(entry.value, Word) or not entry.value.entries
    if not more or (bare and more == (short_key(here),)):
        _say(sheet, part, entry, here, value)
    else:
        _put_into(sheet, _opened(sheet, part, entry, here, more[0]), here, more, value)


def _nested(rest: Path, value: str) -> Tree:
    """Return a value inside the mappings and lists of a path."""
    if not rest:
        return value
    if isinstance(rest[0], int):
        if rest[0]:
            raise nothing_there(rest)
        return [_nested(rest[1:], value)]
    return {rest[0]: _nested(rest[1:], value)}


def _put_new(sheet: Sheet, part: Part, here: Path, tree: Tree) -> None:
    at, step = here[:-1], here[-1]
    if isinstance(step, int):
        if part.keyed or step != len(part.entries):
            raise nothing_there(here)
        insert_into(part, at, step, None, tree, sheet.style)
        return
    if not part.keyed:
        raise nothing_there(here)
    short = short_key(here)
    if short and isinstance(tree, dict) and tree.keys() == {short}:
        tree = tree[short]
    if is_uses(here):
        tree = _as_uses(tree)
    insert_into(part, at, place_for(sheet, part, at, step), step, tree, sheet.style)


def _as_uses(tree: Tree) -> Tree:
    """Write uses without shares as a list of names, a share alone without its key."""
    if not isinstance(tree, dict):
        return tree
    short = {
        k: v["share"] if isinstance(v, dict) and [*v] == ["share"] else v for k, v in tree.items()
    }
    return short if any(short.values()) else list(short)


def _say(sheet: Sheet, part: Part, entry: Entry, here: Path, value: str) -> None:
    """Put words in place of what an entry says."""
    was, short = entry.value, short_key(here)
    if isinstance(was, Part) and short and was.keyed:
        if was.entries:
            _put_into(sheet, was, here, (short,), value)
        else:
            _stand(part, entry, word(value, flow=part.flow), sheet.style)
        return
    if isinstance(was, Word) and was.says == value:
        return
    spelt = was.spelt if isinstance(was, Word) else ""
    new = made(value, here, part.column, sheet.style, flow=part.flow)
    if spelt[:1] in {"'", '"'} and isinstance(new, Word) and "\n" not in value:
        new = word(value, flow=part.flow, like=spelt)
    _stand(part, entry, new, sheet.style)
    entry.tail = _realigned(entry.tail, spelt, printed(new))


def _realigned(tail: str, was: str, now: str) -> str:
    """Keep a comment behind a value in its column, as far as there is room."""
    aside = _ASIDE.fullmatch(tail)
    if aside is None or "\n" in was + now or not was:
        return tail
    blanks = len(aside[1])
    return " " * max(min(2, blanks), blanks + len(was) - len(now)) + aside[2]


def _stand(part: Part, entry: Entry, value: Word | Part, style: Style) -> None:
    if not part.flow:
        stand(entry, value, style)
        return
    if entry.key is not None and not entry.gap.strip():
        entry.gap = ": "
    elif entry.gap.endswith(":"):
        entry.gap += " "
    entry.value = value


def _opened(sheet: Sheet, part: Part, entry: Entry, here: Path, wanted: str | int) -> Part:
    """Return the mapping or list of an entry; made from its short spelling, or anew."""
    was = entry.value
    if isinstance(was, Part):
        return was
    opened = empty(keyed=isinstance(wanted, str))
    short = short_key(here)
    if is_uses(here):
        opened = empty(keyed=not was.says)
        opened.entries = [Entry(None, word(was.says, flow=True))] if was.says else []
    elif short and was.says:
        kept = word(was.says, flow=True, like=was.spelt)
        opened.entries = [Entry(word(short, flow=True), kept, gap=": ")]
    if is_uses(here) and isinstance(wanted, str) and not opened.keyed:
        _name_uses(opened)
    aside, spelt = entry.tail, was.spelt
    _stand(part, entry, opened, sheet.style)
    entry.tail = aside if part.flow or not spelt else entry.tail
    return opened


def _name_uses(part: Part) -> None:
    """Turn a list of names into a mapping, so that one can carry a share."""
    for entry in part.entries:
        entry.key = entry.value if isinstance(entry.value, Word) else word("", flow=True)
        entry.value, entry.gap = empty(keyed=True), ": "
    part.keyed = True
    part.opening, part.closing = part.opening.replace("[", "{"), part.closing.replace("]", "}")


def _list_uses(part: Part) -> None:
    """Turn a mapping of names that carry no share back into a list."""
    for entry in part.entries:
        assert entry.key is not None
        entry.value, entry.key, entry.gap = entry.key, None, "" if part.flow else "- "
    part.keyed = False
    part.opening, part.closing = part.opening.replace("{", "["), part.closing.replace("}", "]")


def inserted(sheet: Sheet, path: Path, at: int, key: str | None, tree: Tree) -> None:
    """Put a new key or item at a position of what stands at a path, made if it is missing."""
    value = value_at(sheet, path)
    if isinstance(value, Word) and value.says and not is_uses(path):
        raise nothing_there(path)
    new: Tree = {key: tree} if key is not None else [tree]
    if isinstance(value, Word) and value.says:
        part, position = spot(sheet, path)
        value = _opened(sheet, part, part.entries[position], path, 0)
    if not isinstance(value, Part) or (not value.entries and path):
        _fill(sheet, path, _as_uses(new) if is_uses(path) else new)
        return
    if is_uses(path):
        key, tree = _use_for(value, key, tree)
    if value.keyed != (key is not None):
        raise nothing_there((*path, at))
    if key is not None and position_of(value, key) is not None:
        raise DocumentError([Notice.of("key-twice", *path, key, read=key)])
    insert_into(value, path, min(max(at, 0), len(value.entries)), key, tree, sheet.style)


def _use_for(part: Part, key: str | None, tree: Tree) -> tuple[str | None, Tree]:
    """Fit a new use to what stands there: a name among names, or a name with its share."""
    name = key if key is not None else str(tree)
    share = tree if key is not None else ""
    if position_of(part, name) is not None:
        raise DocumentError([Notice.of("key-twice", name, read=name)])
    if not part.keyed and share:
        _name_uses(part)
    return (name, share or {}) if part.keyed else (None, name)


def _fill(sheet: Sheet, path: Path, tree: Tree) -> None:
    """Put a mapping or list where there is nothing, or an empty one."""
    if value_at(sheet, path) is None:
        parent = value_at(sheet, path[:-1])
        if parent is None or isinstance(parent, Word):
            _fill(sheet, path[:-1], {str(path[-1]): tree})
            return
        _put_new(sheet, parent, path, tree)
        return
    part, position = spot(sheet, path)
    value = made(tree, path, part.column, sheet.style, flow=part.flow)
    _stand(part, part.entries[position], value, sheet.style)


def insert_into(
    part: Part, at: Path, position: int, key: str | None, tree: Tree, style: Style
) -> None:
    """Put a new entry into a mapping or list, laid out as its neighbours are."""
    step = key if key is not None else position
    if not part.flow:
        entry = line_entry(key, tree, (*at, step), part.column, style)
        _insert_line(part, position, entry, style)
        return
    name = word(key, flow=True) if key is not None else None
    value = made(tree, (*at, step), 0, style, flow=True)
    entry = Entry(name, value, gap=": " if key is not None else "")
    if not part.opening:
        part.opening, part.closing = "{", "}"  # a pair that stood alone in a list
    _insert_in_brackets(part, position, entry)


def _insert_in_brackets(part: Part, position: int, entry: Entry) -> None:
    leads = [e.lead for e in part.entries if "#" not in e.lead]
    usual = leads[1] if len(leads) > 1 else leads[0] if leads and "\n" in leads[0] else " "
    if part.entries and position == 0:
        entry.lead = part.entries[0].lead
        part.entries[0].lead = usual
    elif part.entries:
        entry.lead = usual
    part.entries.insert(position, entry)
    _end_empty(part)


def _end_empty(part: Part) -> None:
    """Part the colon of a key without value from the comma or bracket behind it."""
    for entry in part.entries:
        if entry.gap.endswith(":") and not entry.tail and not printed(entry.value):
            entry.tail = " "


def _insert_line(part: Part, position: int, entry: Entry, style: Style) -> None:
    count = len(part.entries)
    spaced = count > 1 and all(loose.strip(" ") for loose in part.between[1:count])
    part.entries.insert(position, entry)
    part.between.insert(position + 1 if position < count else position, style.eol if spaced else "")
    _set_first(part)


def _set_first(part: Part) -> None:
    """See that behind a dash the first entry stands without its indent, the others with it."""
    if not part.inline:
        return
    for i, entry in enumerate(part.entries):
        entry.indent = " " * part.column if i else ""
    if part.entries and (part.between[0] or part.entries[0].lead):
        loose = part.between[0] + part.entries[0].lead
        part.between[0] = part.entries[0].lead = ""
        part.between[1] = loose + part.between[1]


# --- taking out


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
        _stand(part, part.entries[position], empty(keyed=True), sheet.style)
        _tidy(sheet, path[:-2], clearing=clearing)
    elif not clearing:
        raise nothing_there(path)


def _drop(part: Part, position: int, *, clearing: bool) -> None:
    """Take out an entry, with the comments above it unless only its field was cleared."""
    entry = part.entries.pop(position)
    if not part.flow:
        part.between[position] += entry.lead if clearing else ""
        _close(part, position)
        _set_first(part)
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
        _list_uses(part)
    elif not part.entries:
        _tidy_empty(sheet, path, part, clearing=clearing)
    if short and isinstance(entry.value, Part) and not entry.value.entries:
        _tidy(sheet, path[:-1], clearing=clearing)


def _collapse(sheet: Sheet, holder: Part, entry: Entry, value: Word | Part) -> None:
    """Let an amount stand alone for its line again."""
    if isinstance(value, Word):
        plain = word(value.says, flow=holder.flow, like=value.spelt)
        _stand(holder, entry, plain, sheet.style)


def _carries(entry: Entry) -> bool:
    return bool(entry.value.says if isinstance(entry.value, Word) else entry.value.entries)


def _tidy_empty(sheet: Sheet, path: Path, part: Part, *, clearing: bool) -> None:
    holder, position = spot(sheet, path)
    stays = stands_on_lines(path) or short_key(path)
    if is_uses(path) or (clearing and not stays):
        _drop(holder, position, clearing=clearing)
        _tidy(sheet, path[:-1], clearing=clearing)
    elif not part.flow:
        loose = "".join(part.between).strip()
        entry = holder.entries[position]
        _stand(holder, entry, empty(keyed=part.keyed), sheet.style)
        if loose:
            entry.tail = f"  {' '.join(loose.split())}{sheet.style.eol}"


# --- moving


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
        _end_empty(part)
    _set_first(part)
