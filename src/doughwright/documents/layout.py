"""A document's text as its author laid it out: every blank, comment and bracket kept.

The parts tile the text: printed again they give the very same one. An edit changes a part and
leaves the others as they are. Objects only hold data; what is done to them stands in
:mod:`doughwright.documents.editing`.
"""

import re
from dataclasses import dataclass, field
from itertools import takewhile

from ruamel.yaml.nodes import CollectionNode, MappingNode, Node, ScalarNode

from doughwright.documents.nodes import text_of

_BREAK = re.compile("\r\n|[\r\n\x85\u2028\u2029]")
_BLANK = " \t\r\n\x85\u2028\u2029"
_COMMA = re.compile("(?:[^,#]|#[^\r\n\x85\u2028\u2029]*+)*+,")


Child = Node | tuple[ScalarNode, Node]
"""An item of a list, or the key and value of a mapping, as the parser gives them."""


@dataclass(slots=True)
class Word:
    """A scalar: what it says and how it is spelt."""

    says: str
    spelt: str


@dataclass(slots=True)
class Entry:
    """One key with its value, or one item of a list, and all that stands around it.

    ``lead`` holds the comments directly above, ``indent`` what stands before it on its line,
    ``gap`` what parts key (or dash) and value, ``tail`` the rest of its last line.
    """

    key: Word | None
    value: "Word | Part"
    lead: str = ""
    indent: str = ""
    gap: str = ""
    tail: str = ""


@dataclass(slots=True)
class Part:
    """A mapping or a list. In brackets (``flow``), or one entry a line from a column on.

    ``between`` is what stands before each entry on a line and after the last: blank lines and
    comments that belong to none. ``inline`` says that the first entry stands behind a dash.
    """

    keyed: bool
    flow: bool
    entries: list[Entry] = field(default_factory=list)
    opening: str = ""
    closing: str = ""
    between: list[str] = field(default_factory=lambda: [""])
    column: int = 0
    inline: bool = False


class OddLayout(Exception):  # noqa: N818 - reads as what it is
    """The text spells a mapping in a way only programs do: keys behind question marks."""


def printed(value: Word | Part) -> str:
    """Return the text of a part."""
    if isinstance(value, Word):
        return value.spelt
    if value.flow:
        return value.opening + ",".join(map(_entry_text, value.entries)) + value.closing
    pairs = zip(value.between, map(_entry_text, value.entries), strict=False)
    return "".join(loose + entry for loose, entry in pairs) + value.between[-1]


def _entry_text(entry: Entry) -> str:
    key = entry.key.spelt if entry.key else ""
    return "".join((entry.lead, entry.indent, key, entry.gap, printed(entry.value), entry.tail))


def laid_out(text: str, root: CollectionNode) -> Part:
    """Return the parts of a text whose last line ends in a break.

    Raises
    ------
    OddLayout
        If a key stands behind a question mark.
    """
    if root.flow_style:
        part = _in_brackets(text, root)
        start, end = root.start_mark.index, root.end_mark.index
        part.opening, part.closing = text[:start] + part.opening, part.closing + text[end:]
        return part
    return _on_lines(text, root, 0, len(text))


def _part(text: str, node: Node, start: int, end: int) -> Word | Part:
    if isinstance(node, ScalarNode):
        return Word(text_of(node), text[start:end])
    assert isinstance(node, CollectionNode)
    return _in_brackets(text, node) if node.flow_style else _on_lines(text, node, start, end)


# --- in brackets


def _in_brackets(text: str, node: CollectionNode) -> Part:
    start, stop = node.start_mark.index, node.end_mark.index
    bracketed = text[start] in "[{"
    part = Part(keyed=isinstance(node, MappingNode), flow=True)
    part.opening = text[start] if bracketed else ""
    position = start + bracketed
    for child in node.value:
        entry, after = _flow_entry(text, child, position)
        part.entries.append(entry)
        last = child is node.value[-1]
        comma = None if last else _COMMA.match(text, after, stop)
        position = comma.end() if comma else after
        entry.tail = text[after : position - 1] if comma else ""
    part.closing = text[position:stop]
    return part


def _flow_entry(text: str, child: Child, position: int) -> tuple[Entry, int]:
    key_node, node = child if isinstance(child, tuple) else (None, child)
    begin = (key_node or node).start_mark.index
    if _uncommented(text[position:begin]).strip(_BLANK):
        raise OddLayout
    start, stop = _span(text, node, key_node)
    entry = Entry(None, _part(text, node, start, stop), lead=text[position:begin])
    if key_node:
        after = key_node.end_mark.index
        entry.key, entry.gap = Word(text_of(key_node), text[begin:after]), text[after:start]
    return entry, stop


def _uncommented(text: str) -> str:
    return re.sub("#[^\r\n\x85\u2028\u2029]*", "", text)


# --- one entry a line


def _on_lines(text: str, node: CollectionNode, start: int, end: int) -> Part:
    heads = _heads(text, node)
    column = node.start_mark.column
    part = Part(keyed=isinstance(node, MappingNode), flow=False, column=column, between=[])
    part.inline = start == heads[0] > _line_start(text, start)
    position = start
    for head, child, following in zip(heads, node.value, [*heads[1:], None], strict=True):
        line = head if part.inline and head == start else _line_start(text, head)
        lead = _own_comments(text, position, line, column) if position else line
        part.between.append(text[position:lead])
        content = _content_end(text, child)
        limit = _until(text, content, following, column) if following is not None else end
        entry, position = _line_entry(text, child, head, (content, limit))
        entry.lead, entry.indent = text[lead:line], text[line:head]
        if entry.indent.strip(" \ufeff"):
            raise OddLayout
        part.entries.append(entry)
    part.between.append(text[position:end])
    return part


def _until(text: str, start: int, following: int, column: int) -> int:
    """Return where the next entry begins, the comments directly above it counted."""
    return _own_comments(text, start, _line_start(text, following), column)


def _heads(text: str, node: CollectionNode) -> list[int]:
    """Return where each entry begins: its key, or its dash."""
    if isinstance(node, MappingNode):
        return [key.start_mark.index for key, _ in node.value]
    column = node.start_mark.column
    rest = (_dash_before(text, child.start_mark.index, column) for child in node.value[1:])
    return [node.start_mark.index, *rest]


def _dash_before(text: str, position: int, column: int) -> int:
    """Return the dash of the item that starts at a position: on its line or above."""
    line = _line_start(text, position)
    while text[line + column : line + column + 1] != "-" or text[line : line + column].strip(" "):
        if not line:
            raise OddLayout
        line = _line_start(text, line - 1)
    return line + column


def _line_entry(text: str, child: Child, head: int, ends: tuple[int, int]) -> tuple[Entry, int]:
    """Return an entry and where it ends; comments further in than itself go with its value."""
    content, limit = ends
    key_node, node = child if isinstance(child, tuple) else (None, child)
    key = Word(text_of(key_node), text[head : key_node.end_mark.index]) if key_node else None
    after = key_node.end_mark.index if key_node else head
    if isinstance(node, CollectionNode) and not node.flow_style:
        start = _lines_from(text, node, after, behind_dash=key is None)
        further_in = child[0].start_mark.column + 1 if isinstance(child, tuple) else 0
        stop = _claimed(text, content, limit, max(node.start_mark.column, further_in))
        return Entry(key, _part(text, node, start, stop), gap=text[after:start]), stop
    start, stop = _span(text, node, key_node)
    value, gap = _part(text, node, start, stop), text[after:start]
    return Entry(key, value, gap=gap, tail=text[stop:content]), content


def _lines_from(text: str, node: CollectionNode, after: int, *, behind_dash: bool) -> int:
    """Return where a value on lines begins: behind its dash, or on the line below its key."""
    first = node.start_mark.index
    if not _BREAK.search(text, after, first):
        if not behind_dash:
            raise OddLayout
        return int(first)
    return _line_end(text, after)


def _span(text: str, node: Node, key_node: Node | None) -> tuple[int, int]:
    """Return where the text of a value begins and ends."""
    start, stop = node.start_mark.index, node.end_mark.index
    if isinstance(node, ScalarNode) and node.style in {"|", ">"}:
        return start, _block_end(text, start, stop)
    if start < stop or key_node is None:
        return start, stop
    colon = re.compile(r"\s*:").match(text, key_node.end_mark.index)
    empty = colon.end() if colon else key_node.end_mark.index
    return empty, empty


def _block_end(text: str, start: int, stop: int) -> int:
    """Return the end of the last line of a block of text that is not blank, its break left out."""
    if re.match(r"[|>][0-9]?\+", text[start:stop]):
        found = _BREAK.search(text[start:stop][::-1])
        return stop - 1 if found and found.start() == 0 else stop
    return start + len(text[start:stop].rstrip(_BLANK))


def _content_end(text: str, child: Child) -> int:
    """Return where the last line of an entry ends, those of its parts counted."""
    key_node, node = child if isinstance(child, tuple) else (None, child)
    if isinstance(node, CollectionNode) and not node.flow_style:
        return _content_end(text, node.value[-1])
    return _line_end(text, _span(text, node, key_node)[1])


def _line_start(text: str, position: int) -> int:
    while position > 0 and text[position - 1] not in "\r\n\x85\u2028\u2029":
        position -= 1
    return position


def _line_end(text: str, position: int) -> int:
    found = _BREAK.search(text, position)
    return found.end() if found else len(text)


def _lines(text: str, start: int, stop: int) -> list[tuple[int, str]]:
    """Return the whole lines of a stretch, each with where it ends."""
    lines = []
    while start < stop:
        end = min(_line_end(text, start), stop)
        lines.append((end, text[start:end]))
        start = end
    return lines


def _indent_of(line: str) -> int | None:
    """Return how far in a comment stands; None for any other line."""
    plain = line.lstrip(" ")
    return len(line) - len(plain) if plain.startswith("#") else None


def _own_comments(text: str, start: int, line: int, column: int) -> int:
    """Return where the comments begin that stand directly above an entry, as far in as it."""
    above = takewhile(
        lambda each: _indent_of(each[1]) == column, reversed(_lines(text, start, line))
    )
    return line - sum(len(each) for _, each in above)


def _claimed(text: str, start: int, stop: int, column: int) -> int:
    """Return the end of the comments that stand as far in as a value's own lines."""
    claimed = start
    for end, line in _lines(text, start, stop):
        indent = _indent_of(line)
        if indent is None and line.strip(_BLANK):
            break
        if indent is not None and indent < column:
            break
        claimed = end if indent is not None else claimed
    return claimed
