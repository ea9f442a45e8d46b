"""New words and parts for a text: quoted where YAML wants it, laid out as their place has it."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from doughwright.documents.layout import Entry, Part, Word, printed
from doughwright.errors import Path

Tree = Any
"""What a document's text says: words, lists and mappings of them."""

_PRINTABLE = "\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff"
_FIRST = r"(?:[^ \-?:,\[\]{}#&*!|>'\"%@`]|-(?![ ]|$))"
_REST = r"(?:[^ :#]|:(?![ ]|$)|(?<! )#|[ ])*"
_PLAIN = re.compile(f"(?!---|\\.\\.\\.){_FIRST}{_REST}")
_ONE_LINE = re.compile(f"[{_PRINTABLE}]*")
_IN_BRACKETS = re.compile(r"[,\[\]{}:]")
_HEAD = re.compile("([|>][0-9+-]*)([ \t]+#[^\r\n\x85\u2028\u2029]*)?")
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}

ON_LINES: frozenset[tuple[str | None, ...]] = frozenset(
    {
        ("preparations",),
        ("preparations", None),
        ("preparations", None, "ingredients"),
        ("process",),
        ("process", None),
        ("ingredients",),
        ("prices",),
        ("breads",),
        ("breads", None),
    }
)
"""What a baker writes one to a line (None is any name or position); the rest goes in brackets."""


@dataclass(frozen=True, slots=True)
class Style:
    """How an author lays a text out: how far a mapping and a dash stand in, and line breaks."""

    step: int = 2
    dash: int = 2
    eol: str = "\n"


def stands_on_lines(path: Path) -> bool:
    """Whether a mapping or list at a path is written one entry a line."""
    return any(
        len(path) == len(pattern)
        and all(wanted in {None, step} for wanted, step in zip(pattern, path, strict=True))
        for pattern in ON_LINES
    )


def word(says: str, *, flow: bool, like: str = "") -> Word:
    """Spell a word: quoted as the one it stands for was, or only where it must be.

    >>> word("1.8 %", flow=True).spelt, word("a: b", flow=False).spelt
    ('1.8 %', "'a: b'")
    """
    if like[:1] == '"' or not _ONE_LINE.fullmatch(says):
        return Word(says, '"' + "".join(map(_escaped, says)) + '"')
    plain = (
        says.strip(" ") == says
        and _PLAIN.fullmatch(says)
        and not (flow and _IN_BRACKETS.search(says))
    )
    if plain and like[:1] != "'":
        return Word(says, says)
    return Word(says, "'" + says.replace("'", "''") + "'")


def _escaped(sign: str) -> str:
    if sign in _ESCAPES:
        return _ESCAPES[sign]
    if _ONE_LINE.fullmatch(sign):
        return sign
    code = ord(sign)
    return (
        f"\\x{code:02x}"
        if code < 0x100
        else f"\\u{code:04x}"
        if code < 0x10000
        else f"\\U{code:08x}"
    )


def lines_of_words(says: str, column: int, style: Style) -> Word | None:
    """Spell words of several lines as such, each as far in as the column; None if that fails."""
    lines = says.removesuffix("\n").split("\n")
    odd = any(not _ONE_LINE.fullmatch(line) or (line and not line.strip()) for line in lines)
    if len(lines) < 2 or odd or not lines[0] or not lines[-1] or lines[0].startswith(" "):
        return None
    sign = "|" if says.endswith("\n") else "|-"
    inside = " " * (column + style.step)
    return Word(says, style.eol.join([sign, *(inside + line if line else "" for line in lines)]))


def own_aside(spelt: str) -> str:
    """Return the comment behind the sign of words on lines of their own.

    >>> own_aside("|-  # twice")
    '  # twice'
    """
    found = _HEAD.match(spelt)
    return found[2] or "" if found else ""


def with_aside(value: Word, aside: str) -> Word:
    """Put a comment behind the sign of words on lines of their own."""
    return Word(value.says, _HEAD.sub(lambda head: head[1] + aside, value.spelt, count=1))


def settle(part: Part, style: Style, following: str = "") -> None:
    """Quote words on lines of their own that would take in what now stands below them.

    That happens to those that keep their blank lines, and above a comment as far in as they are.
    """
    if part.flow:
        return
    for i, entry in enumerate(part.entries):
        below = part.between[i + 1]
        if i + 1 == len(part.entries):
            below += following
        if isinstance(entry.value, Part):
            settle(entry.value, style, below)
        elif _takes_in(entry.value.spelt, below):
            entry.tail = own_aside(entry.value.spelt) + entry.tail
            stand(entry, word(entry.value.says, flow=False), style)


def _takes_in(spelt: str, below: str) -> bool:
    head = _HEAD.match(spelt)
    if head is None or not below:
        return False
    blank = below.lstrip(" ").startswith(("\r", "\n"))
    comment = _indent(below) if below.lstrip().startswith("#") else -1
    further_in = re.search("[0-9]", head[1]) or comment >= _indent(spelt[head.end() :])
    return ("+" in head[1] and blank) or (comment > 0 and bool(further_in))


def _indent(lines: str) -> int:
    """Return how far in the first line stands that is not blank."""
    blank = len(lines) - len(lines.lstrip())
    return blank - 1 - max(lines.rfind("\r", 0, blank), lines.rfind("\n", 0, blank))


def made(tree: Tree, path: Path, column: int, style: Style, *, flow: bool) -> Word | Part:
    """Lay out words, a list or a mapping that comes new to a place.

    ``column`` is that of the key or dash it stands behind.
    """
    if isinstance(tree, str):
        spelt = None if flow else lines_of_words(tree, column, style)
        return spelt or word(tree, flow=flow)
    if flow or not tree or not stands_on_lines(path):
        return _in_brackets(tree, path, style)
    return _on_lines(tree, path, column, style)


def empty(*, keyed: bool) -> Part:
    """Return a mapping or a list in brackets that holds nothing."""
    signs = "{}" if keyed else "[]"
    return Part(keyed=keyed, flow=True, opening=signs[0], closing=signs[1])


def _members(tree: Mapping[str, Tree] | Sequence[Tree]) -> list[tuple[str | int, str | None, Tree]]:
    if isinstance(tree, Mapping):
        return [(key, key, value) for key, value in tree.items()]
    return [(i, None, value) for i, value in enumerate(tree)]


def _in_brackets(tree: Tree, path: Path, style: Style) -> Part:
    part = empty(keyed=isinstance(tree, Mapping))
    for step, key, value in _members(tree):
        part.entries.append(
            Entry(
                key=word(key, flow=True) if key is not None else None,
                value=made(value, (*path, step), 0, style, flow=True),
                lead=" " if part.entries else "",
                gap=": " if key is not None else "",
            )
        )
    return part


def _on_lines(tree: Tree, path: Path, column: int, style: Style) -> Part:
    keyed = isinstance(tree, Mapping)
    behind_dash = bool(path) and isinstance(path[-1], int)
    inside = column + (2 if behind_dash else style.step if keyed else style.dash)
    part = Part(keyed=keyed, flow=False, column=inside, inline=behind_dash)
    for step, key, value in _members(tree):
        part.between.append("")
        part.entries.append(line_entry(key, value, (*path, step), inside, style))
    if behind_dash:
        part.entries[0].indent = ""
    return part


def line_entry(key: str | None, tree: Tree, path: Path, column: int, style: Style) -> Entry:
    """Return a new entry on its own line, at a column."""
    value = made(tree, path, column, style, flow=False)
    name = word(key, flow=False) if key is not None else None
    entry = Entry(name, value, indent=" " * column, gap="- " if key is None else ": ")
    stand(entry, value, style)
    return entry


def stand(entry: Entry, value: Word | Part, style: Style) -> None:
    """Put a value into an entry on a line: behind its key or dash, or on the lines below."""
    mark = "-" if entry.key is None else ":"
    before, _, behind = entry.gap.partition(mark)
    was_below = isinstance(entry.value, Part) and not entry.value.flow
    if behind.strip(" "):  # the old value began further down; what stood behind the key stays
        aside = behind.splitlines()[0].rstrip()
        rest = behind if was_below else f"{aside}{entry.tail}"
        behind = ""
    else:
        rest = "" if was_below else entry.tail
    rest = rest or style.eol
    below = isinstance(value, Part) and not value.flow
    if isinstance(value, Part) and below and not value.inline:
        entry.gap, entry.tail = f"{before}{mark}{rest}", ""
    else:
        keep = behind and not was_below and not printed(value).startswith("|")
        entry.gap = f"{before}{mark}{behind if keep else ' '}"
        entry.tail = "" if below else rest
    entry.value = value
