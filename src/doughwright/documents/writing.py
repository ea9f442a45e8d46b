"""Document to text: the author's units, digits, order and comments kept."""

from io import StringIO
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.resolver import VersionedResolver
from ruamel.yaml.util import load_yaml_guess_indent

from doughwright.documents.reading import Document, Reading


class _TextOnly(VersionedResolver):
    """Resolve nothing: every scalar of a document is text."""

    @property
    def versioned_resolver(self) -> dict[str, Any]:
        return {}


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
    indent, offset = 4, 2
    if over is not None:
        _, found, shift = load_yaml_guess_indent(over.text)
        indent, offset = found or indent, shift if shift is not None else offset
        tree = _yaml(indent, offset).load(over.text)
    _merge(tree, body(document))
    stream = StringIO()
    _yaml(indent, offset).dump(tree, stream)
    return stream.getvalue()


def _yaml(indent: int, offset: int) -> YAML:
    yaml = YAML(typ="rt", pure=True)
    yaml.Resolver = _TextOnly
    yaml.preserve_quotes = True
    yaml.allow_unicode = True
    yaml.width = 10_000
    yaml.indent(mapping=2, sequence=indent, offset=offset)
    return yaml


def _merge(target: Any, source: Any) -> Any:
    """Bring ``target`` to the content of ``source``, touching only what differs."""
    if isinstance(target, CommentedMap) and isinstance(source, dict):
        for key in [key for key in target if key not in source]:
            del target[key]
        for key, value in source.items():
            target[key] = _merge(target.get(key), value)
        return target
    if isinstance(target, CommentedSeq) and isinstance(source, list):
        del target[len(source) :]
        for index, value in enumerate(source):
            if index < len(target):
                target[index] = _merge(target[index], value)
            else:
                target.append(_merge(None, value))
        return target
    return target if str(target) == str(source) and not isinstance(source, dict | list) else source
