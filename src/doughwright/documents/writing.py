"""Document to text: the author's units, digits, order and comments kept."""

import re
from io import StringIO
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.scalarstring import DoubleQuotedScalarString
from ruamel.yaml.util import load_yaml_guess_indent

from doughwright.documents.nodes import TextOnly
from doughwright.documents.reading import Document, Reading

_FIRST_INDENT = re.compile(
    r"^\S[^\n]*:[ ]*(?:#[^\n]*)?\n(?:[ ]*(?:#[^\n]*)?\n)*( +)[^\s#-]", re.MULTILINE
)


def body(document: Document) -> dict[str, Any]:
    """Return the document as it stands in a file: strings, lists and mappings."""
    dumped: dict[str, Any] = document.model_dump(by_alias=True, exclude_unset=True)
    return dumped


def written(document: Document, over: Reading | None = None) -> str:
    """Write a document as YAML.

    Given the reading it came from, comments, order and layout of that text stay, and
    an unchanged document gives the very same text.
    """
    if over is not None and over.document == document:
        return over.text
    tree: Any = CommentedMap()
    layout, was = (2, 4, 2), None
    if over is not None:
        text = over.text.replace("\r\n", "\n")
        layout = _layout(text)
        tree, was = _yaml(*layout).load(text), body(over.document)
    _merge(tree, was, _spelt(body(document)))
    stream = StringIO()
    _yaml(*layout).dump(tree, stream)
    text = stream.getvalue()
    return text if over is None else _ended_as(text, over.text)


def rewritten(text: str) -> str:
    """Write a text anew with its comments, one key or item a line as its author has most."""
    stream = StringIO()
    lines = text.replace("\r\n", "\n")
    yaml = _yaml(*_layout(lines))
    yaml.dump(yaml.load(lines), stream)
    return _ended_as(stream.getvalue(), text)


def _ended_as(text: str, other: str) -> str:
    """Return a text with the line ends of another."""
    return text.replace("\n", "\r\n") if "\r\n" in other else text


def _spelt(value: Any) -> Any:
    """Quote words with the one line break (U+0085) that the writer would leave bare."""
    if isinstance(value, dict):
        return {_spelt(key): _spelt(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_spelt(item) for item in value]
    return DoubleQuotedScalarString(value) if "\x85" in value else value


def _layout(text: str) -> tuple[int, int, int]:
    """Return how far the author indents: keys, what a list holds, and its dashes."""
    first = _FIRST_INDENT.search(text)
    _, sequence, dash = load_yaml_guess_indent(text)
    offset = 2 if dash is None else dash
    return len(first[1]) if first else 2, max(sequence or 0, offset + 2), offset


def _yaml(mapping: int, sequence: int, offset: int) -> YAML:
    yaml = YAML(typ="rt", pure=True)
    yaml.Resolver = TextOnly
    yaml.preserve_quotes = True
    yaml.allow_unicode = True
    yaml.width = 10_000
    yaml.indent(mapping=mapping, sequence=sequence, offset=offset)
    return yaml


def _merge(target: Any, was: Any, wanted: Any) -> Any:
    """Bring ``target``, which says ``was``, to say ``wanted``, touching only what differs."""
    if was == wanted:
        return target
    if isinstance(target, CommentedMap) and isinstance(wanted, dict):
        before = was if isinstance(was, dict) else dict.fromkeys(target)
        for key in [key for key in target if key in before and key not in wanted]:
            del target[key]
        for key, value in wanted.items():
            target[key] = _merge(target[key], before.get(key), value) if key in target else value
        return target
    if isinstance(target, CommentedSeq) and isinstance(was, list) and isinstance(wanted, list):
        del target[len(wanted) :]
        for index, value in enumerate(wanted):
            if index < len(target):
                target[index] = _merge(target[index], was[index], value)
            else:
                target.append(value)
        return target
    return wanted
