"""What an edit puts into a text: words, new keys and items, and what is missing on the way."""

import re

from doughwright.documents.entries import insert_into, name_uses, stand_in
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
)
from doughwright.documents.spelling import Tree, empty, made, own_aside, with_aside, word
from doughwright.errors import DocumentError, Notice, Path

_ASIDE = re.compile(r"( +)(#.*)", re.DOTALL)


def respelt(was: Word, to: str) -> Word:
    """Return another name in the quotes of the old one."""
    return word(to, flow=True, like=was.spelt)


def put(sheet: Sheet, path: Path, value: str) -> None:
    """Put words at a path, making what is missing on the way."""
    if not path:
        raise nothing_there(path)
    _put_into(sheet, sheet.root, (), path, value)


def _put_into(sheet: Sheet, part: Part, at: Path, rest: Path, value: str) -> None:
    step, more = rest[0], rest[1:]
    here = (*at, step)
    if is_uses(at) and not part.keyed and (more or position_of(part, step) is None):
        name_uses(part)
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
            stand_in(part, entry, word(value, flow=part.flow), sheet.style)
        return
    if isinstance(was, Word) and was.says == value:
        return
    spelt = was.spelt if isinstance(was, Word) else ""
    new = made(value, here, part.column, sheet.style, flow=part.flow)
    if spelt[:1] in {"'", '"'} and isinstance(new, Word) and "\n" not in value:
        new = word(value, flow=part.flow, like=spelt)
    entry.tail = own_aside(spelt) + entry.tail
    stand_in(part, entry, new, sheet.style)
    entry.tail = _realigned(entry.tail, spelt, printed(new))
    if isinstance(new, Word) and new.spelt.startswith("|"):
        line = entry.tail.rstrip("\r\n")
        aside = line if "#" in line else ""
        entry.value, entry.tail = with_aside(new, aside), entry.tail[len(line) :]


def _realigned(tail: str, was: str, now: str) -> str:
    """Keep a comment behind a value in its column, as far as there is room."""
    aside = _ASIDE.fullmatch(tail)
    if aside is None or "\n" in was + now or not was:
        return tail
    blanks = len(aside[1])
    return " " * max(min(2, blanks), blanks + len(was) - len(now)) + aside[2]


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
        name_uses(opened)
    aside, spelt = entry.tail, was.spelt
    stand_in(part, entry, opened, sheet.style)
    entry.tail = aside if part.flow or not spelt else entry.tail
    return opened


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
        name_uses(part)
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
    stand_in(part, part.entries[position], value, sheet.style)
