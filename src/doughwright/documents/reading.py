"""Text to document: every problem at once, each with its place in the text."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails
from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode
from ruamel.yaml.resolver import VersionedResolver

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.scalars import nearest
from doughwright.documents.upgrading import upgraded
from doughwright.errors import DocumentError, Notice, Path, Place

Document = FormulaDocument | KitchenDocument
MODELS: Mapping[str, type[FormulaDocument] | type[KitchenDocument]] = MappingProxyType(
    {"formula/1": FormulaDocument, "kitchen/1": KitchenDocument}
)
LARGEST_TEXT = 256 * 1024
DEEPEST = 12
MOST_BRACKETS = 100
"""Beyond this the parser takes seconds to find out that the text is too deep."""
PLAIN_TAGS = frozenset(f"tag:yaml.org,2002:{kind}" for kind in ("str", "seq", "map"))
"""What a value is when its author put no tag on it."""


class TextOnly(VersionedResolver):
    """Resolve nothing: every scalar of a document is text."""

    @property
    def versioned_resolver(self) -> dict[str, Any]:
        """No value is read as a number, a date or a truth."""
        return {}


@dataclass(frozen=True, slots=True)
class Reading:
    """A document, the text it was read from and where each of its values stands."""

    document: Document
    text: str
    file: str
    places: Mapping[Path, Place]
    keys: Mapping[Path, Place]

    def placed(self, notice: Notice) -> Notice:
        """Return the notice with its place: that of the key where it is about a name."""
        named = notice.code in ABOUT_NAMES and notice.where[-1:] != ("like",)
        places = {**self.places, **self.keys} if named else self.places
        return notice.at(nearest_place(places, notice.where))

    def place_of(self, path: Path) -> Place | None:
        """Return the place of a value, or of the nearest thing around it."""
        return nearest_place(self.places, path)


def nearest_place(places: Mapping[Path, Place], path: Path) -> Place | None:
    """Return the place of a path, or of the closest path that contains it."""
    while path not in places and path:
        path = path[:-1]
    return places.get(path)


def read_document(text: str, file: str = "text") -> Reading:
    """Read a formula or kitchen document.

    Raises
    ------
    DocumentError
        With all problems found, each with its place.
    """
    atlas = _Atlas(text, file)
    tree = _tree(_root(text, atlas), (), atlas)
    if atlas.problems:
        raise DocumentError(atlas.problems)
    return Reading(
        _document(tree, atlas),
        text,
        file,
        MappingProxyType(atlas.values),
        MappingProxyType(atlas.keys),
    )


def document_from(tree: Any) -> Document:
    """Make a document from parsed JSON or YAML (strings, lists and mappings).

    Raises
    ------
    DocumentError
        With all problems found; they carry paths, but no place in a text.
    """
    return _document(tree, _Atlas("", "body"))


def _document(tree: Any, atlas: "_Atlas") -> Document:
    tree = upgraded(tree)
    kind = tree.get("doughwright") if isinstance(tree, dict) else None
    if str(kind) not in MODELS:
        allowed = ", ".join(MODELS)
        read = str(kind) if kind is not None else ""
        found = Notice.of("unknown-document", "doughwright", read=read, allowed=allowed)
        raise DocumentError([atlas.located(found)])
    try:
        return MODELS[str(kind)].model_validate(tree)
    except ValidationError as error:
        notices = (_notice(detail, MODELS[str(kind)]) for detail in error.errors())
        raise DocumentError(map(atlas.located, _without_echoes(notices))) from None


def _without_echoes(notices: Iterator[Notice]) -> Iterator[Notice]:
    """Drop what has been said: the same problem of the same words at the same path."""
    seen: set[tuple[str, Path, str]] = set()
    for notice in notices:
        said = (notice.code, notice.where, str(notice.values.get("read")))
        if said not in seen:
            seen.add(said)
            yield notice


def _notice(detail: ErrorDetails, model: type[BaseModel]) -> Notice:
    path: Path = tuple(detail["loc"])
    context = dict(detail.get("ctx", {}))
    code = str(context.pop("code", ""))
    if code:
        key = context.pop("key", None)
        where = (*path, str(key)) if key is not None else path
        return Notice(code, where, {"like": "", **context})
    if detail["type"] == "extra_forbidden":
        return _unknown_key(path, model)
    if detail["type"] == "missing":
        return Notice.of("missing-key", *path[:-1], read=str(path[-1]))
    wanted = _SHAPES.get(detail["type"], detail["msg"])
    return Notice.of("wrong-shape", *path, read=_short(detail["input"]), wanted=wanted)


_SHAPES: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("model_type", "dict_type"), "keys with their values are wanted here"),
        "list_type": "a list is wanted here",
        "string_type": "plain text is wanted here",
    }
)
"""What a baker reads in place of the validator's own words."""


def _short(value: object) -> str:
    text = str(value)
    return text if len(text) < 40 else text[:37] + "…"


def _unknown_key(path: Path, model: type[BaseModel]) -> Notice:
    allowed = _keys_at(model, path[:-1])
    key = str(path[-1])
    return Notice.of(
        "unknown-key", *path, read=key, allowed=", ".join(allowed), like=nearest(key, allowed)
    )


def _keys_at(annotation: Any, path: Path) -> list[str]:
    """Walk a model along a path; return the keys allowed at its end."""
    for step in path:
        annotation = _inside(annotation, step)
    found = _model_in(annotation)
    return [field.alias or name for name, field in found.model_fields.items()] if found else []


def _inside(annotation: Any, step: str | int) -> Any:
    model = _model_in(annotation)
    if model:
        for name, field in model.model_fields.items():
            if step in {name, field.alias}:
                return field.annotation
        return None
    for candidate in (annotation, *get_args(annotation)):
        if get_origin(candidate) in {dict, list}:
            return get_args(candidate)[-1]
    return None


def _model_in(annotation: Any) -> type[BaseModel] | None:
    inside = () if get_origin(annotation) in {dict, list} else get_args(annotation)
    for candidate in (annotation, *inside):
        if isinstance(candidate, type) and issubclass(candidate, BaseModel):
            return candidate
    return None


ABOUT_NAMES = frozenset({"unknown-ingredient"})
"""What is found only once names are looked up: it is the key that is wrong."""

ABOUT_KEYS = frozenset({"unknown-key", "no-verb", "two-verbs"})
"""Messages about a key: they point at it, not at its value."""


class _Atlas:
    """Where in a text each value and each key stands, and what was wrong on the way."""

    def __init__(self, text: str, file: str) -> None:
        self.file = file
        self.lines = text.splitlines() or [""]
        self.values: dict[Path, Place] = {}
        self.keys: dict[Path, Place] = {}
        self.problems: list[Notice] = []

    def place(self, line: int, column: int, width: int = 1) -> Place:
        shown = self.lines[line] if line < len(self.lines) else ""
        return Place(self.file, line + 1, column + 1, max(1, width), shown)

    def place_at(self, text: str, position: int) -> Place:
        before = text[:position].split("\n")
        return self.place(len(before) - 1, len(before[-1]))

    def of(self, node: Node) -> Place:
        start, end = node.start_mark, node.end_mark
        width = end.column - start.column if end.line == start.line else 1
        return self.place(start.line, start.column, width)

    def refuse(self, notice: Notice, node: Node) -> None:
        self.problems.append(notice.at(self.of(node)))

    def located(self, notice: Notice) -> Notice:
        places = {**self.values, **self.keys} if notice.code in ABOUT_KEYS else self.values
        return notice.at(nearest_place(places, notice.where))


def _root(text: str, atlas: _Atlas) -> Node:
    """Parse YAML 1.2 to nodes, nothing resolved: scalars stay text."""
    if len(text) > LARGEST_TEXT:
        raise DocumentError([Notice.of("text-too-long", size=len(text), allowed=LARGEST_TEXT)])
    if _open_brackets(text) > MOST_BRACKETS:
        raise DocumentError([Notice.of("too-deep", allowed=DEEPEST)])
    try:
        node = _parser().compose(text)
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


def _parser() -> YAML:
    parser = YAML(typ="rt", pure=True)
    parser.Resolver = TextOnly
    return parser


def _first_line(error: Exception) -> str:
    problem = getattr(error, "problem", None) or str(error) or type(error).__name__
    context = getattr(error, "context", None)
    says = f"{context}, {problem}" if context and problem.startswith("but ") else str(problem)
    return says.splitlines()[0][:120]


def _tree(node: Node, path: Path, atlas: _Atlas) -> Any:
    """Turn nodes into strings, lists and mappings, noting the place of each."""
    atlas.values.setdefault(path, atlas.of(node))
    refused = _refused(node, path)
    if refused:
        atlas.refuse(refused, node)
        return None
    if isinstance(node, ScalarNode):
        return _text_of(node)
    if isinstance(node, SequenceNode):
        return [_tree(child, (*path, i), atlas) for i, child in enumerate(node.value)]
    return _mapping(node, path, atlas)


def _text_of(node: ScalarNode) -> str:
    """Return a scalar's text; the parser marks with a bell where it folded a line."""
    text = str(node.value)
    return text.replace("\a", "") if node.style == ">" else text


def _refused(node: Node, path: Path) -> Notice | None:
    if node.anchor is not None:
        return Notice.of("no-anchors", *path, read=f"&{node.anchor}")
    if len(path) > DEEPEST:
        return Notice.of("too-deep", *path, allowed=DEEPEST)
    if str(node.tag) not in PLAIN_TAGS:
        read = str(node.tag).replace("tag:yaml.org,2002:", "!!")
        return Notice.of("no-tags", *path, read=read)
    return None


def _mapping(node: Node, path: Path, atlas: _Atlas) -> dict[str, Any]:
    mapping: dict[str, Any] = {}
    for key_node, value_node in node.value:
        key = str(key_node.value) if isinstance(key_node, ScalarNode) else None
        refused = _refused(key_node, path)
        if refused:
            atlas.refuse(refused, key_node)
        elif key is None:
            atlas.refuse(Notice.of("key-not-text", *path), key_node)
        elif key in mapping:
            atlas.refuse(Notice.of("key-twice", *path, key, read=key), key_node)
        else:
            child = (*path, key)
            atlas.keys[child] = atlas.of(key_node)
            mapping[key] = _tree(value_node, child, atlas)
            if not isinstance(value_node, ScalarNode) or not value_node.value:
                atlas.values[child] = atlas.keys[child]
    return mapping
