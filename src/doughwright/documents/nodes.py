"""Text to YAML nodes and plain strings, lists and mappings; each with its place.

Nothing is resolved: every scalar stays text. What a document may not hold (tags, anchors, a key
twice) is found here, with all its places, before anyone asks what the document says.
"""

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode
from ruamel.yaml.resolver import VersionedResolver

from doughwright.errors import DocumentError, Notice, Path, Place

LARGEST_TEXT = 256 * 1024
DEEPEST = 12
REMEMBERED = 16
LARGEST_REMEMBERED = 16 * 1024
"""A text is read, edited and read again: the nodes of the last few stay at hand."""
MOST_BRACKETS = 100
"""Beyond this the parser takes seconds to find out that the text is too deep."""
PLAIN_TAGS = frozenset(f"tag:yaml.org,2002:{kind}" for kind in ("str", "seq", "map"))
"""What a value is when its author put no tag on it."""


ODD_SIGN = re.compile(r"[^\t\n\r -~\x85\xa0-\ud7ff\ue000-\U0010ffff]")
"""A control character that ends no line, or half a sign: no page, PDF or database takes it."""


class TextOnly(VersionedResolver):
    """Resolve nothing: every scalar of a document is text."""

    @property
    def versioned_resolver(self) -> dict[str, Any]:
        """No value is read as a number, a date or a truth."""
        return {}


def nearest_place(places: Mapping[Path, Place], path: Path) -> Place | None:
    """Return the place of a path, or of the closest path that contains it."""
    while path not in places and path:
        path = path[:-1]
    return places.get(path)


ABOUT_KEYS = frozenset({"unknown-key", "no-verb", "two-verbs"})
"""Messages about a key: they point at it, not at its value."""


class Atlas:
    """Where in a text each value and each key stands, and what was wrong on the way."""

    def __init__(self, text: str, file: str) -> None:
        """Begin with nothing found in a text."""
        self.file = file
        self.lines = text.splitlines() or [""]
        self.values: dict[Path, Place] = {}
        self.keys: dict[Path, Place] = {}
        self.problems: list[Notice] = []

    def place(self, line: int, column: int, width: int = 1) -> Place:
        """The place at a line and column, counted from 0."""
        shown = self.lines[line] if line < len(self.lines) else ""
        return Place(self.file, line + 1, column + 1, max(1, width), shown)

    def place_at(self, text: str, position: int) -> Place:
        """The place of the sign at a position."""
        before = text[:position].split("\n")
        return self.place(len(before) - 1, len(before[-1]))

    def of(self, node: Node) -> Place:
        """The place of a node."""
        start, end = node.start_mark, node.end_mark
        width = end.column - start.column if end.line == start.line else 1
        return self.place(start.line, start.column, width)

    def refuse(self, notice: Notice, node: Node) -> None:
        """Note what is wrong with a node."""
        self.problems.append(notice.at(self.of(node)))

    def located(self, notice: Notice) -> Notice:
        """Return the notice with its place, that of the key where it is about one."""
        places = {**self.values, **self.keys} if notice.code in ABOUT_KEYS else self.values
        return notice.at(nearest_place(places, notice.where))


def root_node(text: str, atlas: Atlas) -> MappingNode:
    """Parse YAML 1.2 to nodes, nothing resolved: scalars stay text."""
    if len(text) > LARGEST_TEXT:
        raise DocumentError([Notice.of("text-too-long", size=len(text), allowed=LARGEST_TEXT)])
    if _open_brackets(text) > MOST_BRACKETS:
        raise DocumentError([Notice.of("too-deep", allowed=DEEPEST)])
    try:
        node = _composed(text)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = atlas.place(mark.line, mark.column) if mark else None
        raise DocumentError([Notice.of("not-yaml", says=_first_line(error)).at(place)]) from None
    except Exception as error:  # noqa: BLE001 - the parser's own slips on odd text are not YAML either
        position = getattr(error, "position", None)  # of a character YAML does not know
        place = atlas.place_at(text, position) if isinstance(position, int) else None
        raise DocumentError([Notice.of("not-yaml", says=_first_line(error)).at(place)]) from None
    if not isinstance(node, MappingNode):
        raise DocumentError([Notice.of("not-a-document").at(atlas.place(0, 0))])
    return node


def _open_brackets(text: str) -> int:
    """Return the most brackets open at once, those in notes and comments counted too."""
    deepest = depth = 0
    for sign in re.findall(r"[\[\]{}]", text):
        depth = depth + 1 if sign in "[{" else max(0, depth - 1)
        deepest = max(deepest, depth)
    return deepest


def _composed(text: str) -> Node:
    """Compose a text, or take the nodes of one just seen; nobody changes a node."""
    return _remembered(text) if len(text) <= LARGEST_REMEMBERED else _fresh(text)


def _fresh(text: str) -> Node:
    parser = YAML(typ="safe", pure=True)  # comments are read from the text itself
    parser.Resolver = TextOnly
    found: Node = parser.compose(text)
    return found


_remembered = lru_cache(maxsize=REMEMBERED)(_fresh)


def _first_line(error: Exception) -> str:
    problem = getattr(error, "problem", None) or str(error) or type(error).__name__
    context = getattr(error, "context", None)
    says = f"{context}, {problem}" if context and problem.startswith("but ") else str(problem)
    return says.splitlines()[0][:120]


def plain_tree(node: Node, path: Path, atlas: Atlas) -> Any:
    """Turn nodes into strings, lists and mappings, noting the place of each."""
    atlas.values.setdefault(path, atlas.of(node))
    refused = _refused(node, path)
    if refused:
        atlas.refuse(refused, node)
        return None
    if isinstance(node, ScalarNode):
        words = text_of(node)
        if ODD_SIGN.search(words):
            atlas.refuse(odd_sign(words, path), node)
        return words
    if isinstance(node, SequenceNode):
        return [plain_tree(child, (*path, i), atlas) for i, child in enumerate(node.value)]
    return _mapping(node, path, atlas)


def text_of(node: ScalarNode) -> str:
    """Return a scalar's text; the parser marks with a bell where it folded a line."""
    text = str(node.value)
    return text.replace("\a", "") if node.style == ">" else text


def odd_sign(words: str, path: Path) -> Notice:
    """Refuse words with a sign in them that nothing can show, by its number."""
    found = ODD_SIGN.search(words)
    assert found is not None
    return Notice.of("odd-sign", *path, read=f"U+{ord(found[0]):04X}")


def _refused(node: Node, path: Path) -> Notice | None:
    if node.anchor is not None:
        return Notice.of("no-anchors", *path, read=f"&{node.anchor}")
    if len(path) > DEEPEST:
        return Notice.of("too-deep", *path, allowed=DEEPEST)
    if str(node.tag) not in PLAIN_TAGS:
        read = str(node.tag).replace("tag:yaml.org,2002:", "!!")
        return Notice.of("no-tags", *path, read=read)
    return None


def _mapping(node: Node, path: Path, atlas: Atlas) -> dict[str, Any]:
    mapping: dict[str, Any] = {}
    for key_node, value_node in node.value:
        key = str(key_node.value) if isinstance(key_node, ScalarNode) else None
        refused = _refused(key_node, path)
        if refused:
            atlas.refuse(refused, key_node)
        elif key is None:
            atlas.refuse(Notice.of("key-not-text", *path), key_node)
        elif ODD_SIGN.search(key):
            atlas.refuse(odd_sign(key, path), key_node)
        elif key in mapping:
            atlas.refuse(Notice.of("key-twice", *path, key, read=key), key_node)
        else:
            child = (*path, key)
            atlas.keys[child] = atlas.of(key_node)
            mapping[key] = plain_tree(value_node, child, atlas)
            if not isinstance(value_node, ScalarNode) or not value_node.value:
                atlas.values[child] = atlas.keys[child]
    return mapping
