"""Edits of a document's text at a path: what an author laid out elsewhere stays as it is.

The text need not be a document yet: any mapping without tags, anchors and keys written twice
can be edited, whatever is wrong with its values.
"""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass

from ruamel.yaml.error import YAMLError

from doughwright.documents.carrying import carried
from doughwright.documents.formula import STEP_KEYS
from doughwright.documents.layout import Entry, OddLayout, Part, Word, laid_out, printed
from doughwright.documents.names import plain_name
from doughwright.documents.nodes import Atlas, plain_tree, root_node
from doughwright.documents.origins import bind_questions, origins, tell_what_was
from doughwright.documents.places import (
    LONGEST_NAME,
    Sheet,
    members,
    nothing_there,
    position_of,
    spot,
    style_of,
    word_at,
)
from doughwright.documents.putting_in import inserted, put, respelt
from doughwright.documents.spelling import Tree, settle
from doughwright.documents.taking_out import moved, taken_out
from doughwright.documents.writing import rewritten
from doughwright.errors import DocumentError, Notice, Path


@dataclass(frozen=True, slots=True)
class SetValue:
    """Put words at a path, making what is missing on the way; no words take the key out."""

    path: Path
    value: str


@dataclass(frozen=True, slots=True)
class Rename:
    """Give a key another name; what refers to it follows."""

    path: Path
    to: str


@dataclass(frozen=True, slots=True)
class Remove:
    """Take out a key with its value, or an item of a list."""

    path: Path


@dataclass(frozen=True, slots=True)
class Insert:
    """Put a new key (or, without a key, an item) at a position of what stands at the path."""

    path: Path
    at: int
    key: str | None
    value: Tree


@dataclass(frozen=True, slots=True)
class Move:
    """Put a key or an item at another position among its neighbours."""

    path: Path
    to: int


@dataclass(frozen=True, slots=True)
class Carry:
    """Take out a key in whose place another stands, and let its comments stand there."""

    path: Path
    to: Path


Edit = SetValue | Rename | Remove | Insert | Move | Carry


def edited(text: str, edits: Sequence[Edit]) -> str:
    """Return a text with edits done one after the other; comments and layout elsewhere stay.

    Comments that say where a number was read say what it was, where it is another now.

    Raises
    ------
    DocumentError
        If the text is no mapping in plain YAML, or an edit is about what is not there.
    """
    whole = text if text.endswith(("\n", "\r")) else f"{text}\n"
    sheet = _sheet(whole)
    bind_questions(sheet.root)
    before, read = printed(sheet.root), [*origins(sheet.root)]
    for edit in edits:
        _apply(sheet, edit)
    tell_what_was(read)
    settle(sheet.root, sheet.style)
    after = printed(sheet.root)
    if not sheet.root.flow and not sheet.root.entries:
        after += "{}" + sheet.style.eol  # with nothing in it, still a mapping
    if after == before:
        return text
    ended = whole == text or _ends_on_lines(sheet.root)
    return after if ended else after.removesuffix(sheet.style.eol)


def _ends_on_lines(part: Part) -> bool:
    """Whether the last words stand on lines of their own: their last break belongs to them."""
    last = part.entries[-1].value if part.entries and not part.flow else None
    if isinstance(last, Part):
        return _ends_on_lines(last)
    return last is not None and last.spelt.startswith("|")


def _sheet(text: str) -> Sheet:
    """Lay out a text; one that only a program would write is written plainly first."""
    try:
        root = _laid_out(text)
    except OddLayout:
        root = _laid_out_plainly(text)
    return Sheet(root, style_of(root, "\r\n" if "\r\n" in text else "\n"))


def _laid_out_plainly(text: str) -> Part:
    with suppress(OddLayout, DocumentError, YAMLError):  # the writer has odd cases of its own
        plain = rewritten(text)
        if _tree(plain) == _tree(text):
            return _laid_out(plain)
    raise DocumentError([Notice.of("odd-layout")])


def _laid_out(text: str) -> Part:
    _tree(text)  # refuses what no document may hold
    return laid_out(text, root_node(text, Atlas(text, "text")))


def _tree(text: str) -> Tree:
    atlas = Atlas(text, "text")
    tree = plain_tree(root_node(text, atlas), (), atlas)
    if atlas.problems:
        raise DocumentError(atlas.problems)
    return tree


def _apply(sheet: Sheet, edit: Edit) -> None:
    match edit:
        case SetValue(path, ""):
            taken_out(sheet, path, clearing=True)
        case SetValue(path, value):
            put(sheet, path, value)
        case Remove(path):
            taken_out(sheet, path, clearing=False)
        case Insert(path, at, key, value):
            _check_name(key, path)
            inserted(sheet, path, at, key, value)
        case Move(path, to):
            moved(sheet, path, to)
        case Carry(path, to):
            carried(sheet, path, to)
        case Rename(path, to):
            _rename(sheet, path, to)


def _check_name(name: str | None, path: Path) -> None:
    if name is not None and not name.strip():
        raise DocumentError([Notice.of("no-text", *path, read=name, allowed="some words")])
    if name is not None and len(name) > LONGEST_NAME:
        read = f"{name[:47]}…"
        raise DocumentError([Notice.of("name-too-long", *path, read=read, allowed=LONGEST_NAME)])


def _rename(sheet: Sheet, path: Path, to: str) -> None:
    """Rename a key, and with a preparation or an ingredient what goes by its name."""
    _check_name(to, path)
    part, position = spot(sheet, path)
    entry = part.entries[position]
    name = word_at(entry)
    if name == to:
        return
    if position_of(part, to) is not None:
        raise DocumentError([Notice.of("key-twice", *path[:-1], to, read=to)])
    if not _renamed(entry, name, to):
        raise nothing_there(path)
    if len(path) == 2 and path[0] == "preparations":
        _follow_preparation(sheet, name, to)
    elif len(path) == 4 and (path[0], path[2]) == ("preparations", "ingredients"):
        _follow_ingredient(sheet, name, to)


def _renamed(entry: Entry, name: str, to: str) -> bool:
    """Rename an entry if it goes by a name: its key, or the word of an item."""
    if entry.key is not None:
        entry.key = respelt(entry.key, to) if entry.key.says == name else entry.key
        return entry.key.says == to
    return _reworded(entry, name, to)


def _reworded(entry: Entry, name: str, to: str) -> bool:
    """Put another name where an entry's value is the old one."""
    if isinstance(entry.value, Word) and entry.value.says == name:
        entry.value = respelt(entry.value, to)
        return True
    return False


def _follow_preparation(sheet: Sheet, name: str, to: str) -> None:
    """Call a preparation by its new name where others take it and where steps work on it."""
    for entry in members(sheet, ("preparations",)):
        path = ("preparations", word_at(entry))
        for use in members(sheet, (*path, "from")):
            _renamed(use, name, to)
        for each in members(sheet, path):
            if word_at(each) == "from":
                _reworded(each, name, to)
    for step in members(sheet, ("process",)):
        for each in step.value.entries if isinstance(step.value, Part) else ():
            if word_at(each) in STEP_KEYS:
                _reworded(each, name, to)


def _follow_ingredient(sheet: Sheet, name: str, to: str) -> None:
    """Rename what the baker says of an ingredient, unless another line goes by the old name."""
    old, new = plain_name(name), plain_name(to)
    lines = {
        plain_name(word_at(line))
        for p in members(sheet, ("preparations",))
        for line in members(sheet, ("preparations", word_at(p), "ingredients"))
    }
    own = members(sheet, ("ingredients",))
    if old in lines or new in {plain_name(word_at(entry)) for entry in own}:
        return
    for entry in own:
        if entry.key and plain_name(entry.key.says) == old:
            entry.key = respelt(entry.key, to)
