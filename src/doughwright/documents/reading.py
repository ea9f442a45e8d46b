"""Text to document: every problem at once, each with its place in the text."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.nodes import (
    DEEPEST,
    ODD_SIGN,
    Atlas,
    nearest_place,
    odd_sign,
    plain_tree,
    root_node,
)
from doughwright.documents.scalars import nearest
from doughwright.documents.series import SeriesDocument
from doughwright.documents.shelf import ShelfDocument
from doughwright.documents.upgrading import upgraded
from doughwright.errors import DocumentError, DoughwrightError, Notice, Path, Place

Document = FormulaDocument | KitchenDocument | SeriesDocument | ShelfDocument
MODELS: Mapping[str, type[Document]] = MappingProxyType(
    {
        "formula/1": FormulaDocument,
        "kitchen/1": KitchenDocument,
        "series/1": SeriesDocument,
        "shelf/1": ShelfDocument,
    }
)

DRAFT = "draft/1"
"""What a gathered recipe says it is while something must be answered before it is a formula."""


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

    def located(self, error: DoughwrightError) -> DoughwrightError:
        """Return the error, each problem with the place in the text that its path leads to."""
        placed = (p if p.place or not p.where else self.placed(p) for p in error.problems)
        return type(error)(placed)


def read_document(text: str, file: str = "text") -> Reading:
    """Read a document: a formula, a kitchen, a series or a shelf.

    Raises
    ------
    DocumentError
        With all problems found, each with its place.
    """
    atlas = Atlas(text, file)
    tree = plain_tree(root_node(text, atlas), (), atlas)
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
    unfit = [*_unfit(tree)]
    if unfit:
        raise DocumentError(unfit)
    return _document(tree, Atlas("", "body"))


def _unfit(tree: Any, path: Path = ()) -> Iterator[Notice]:
    """What a parsed tree may not hold; of a text's tree it was found with its places."""
    if len(path) > DEEPEST:
        yield Notice.of("too-deep", *path, allowed=DEEPEST)
    elif isinstance(tree, str) and ODD_SIGN.search(tree):
        yield odd_sign(tree, path)
    elif isinstance(tree, dict):
        for key, value in tree.items():
            odd = ODD_SIGN.search(str(key))
            yield from [odd_sign(str(key), path)] if odd else _unfit(value, (*path, key))
    elif isinstance(tree, list):
        for position, item in enumerate(tree):
            yield from _unfit(item, (*path, position))


def _document(tree: Any, atlas: Atlas) -> Document:
    tree = upgraded(tree)
    kind = tree.get("doughwright") if isinstance(tree, dict) else None
    if str(kind) not in MODELS:
        allowed = ", ".join(MODELS)
        read = str(kind) if kind is not None else ""
        found = Notice.of("unknown-document", "doughwright", read=read, allowed=allowed)
        if read == DRAFT:
            found = Notice.of("still-a-draft", "doughwright")
        raise DocumentError([atlas.located(found)])
    try:
        return MODELS[str(kind)].model_validate(tree)
    except ValidationError as error:
        notices = (_notice(detail, MODELS[str(kind)]) for detail in error.errors())
        raise DocumentError(map(atlas.located, _without_echoes(notices))) from None


def other_document(document: Document, wanted: str) -> DocumentError:
    """Return the refusal of a document that is another than the one wanted."""
    read = document.doughwright
    return DocumentError([Notice.of("other-document", "doughwright", read=read, wanted=wanted)])


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
        where = (*path, key if isinstance(key, int) else str(key)) if key is not None else path
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
    allowed = keys_at(model, path[:-1])
    key = str(path[-1])
    return Notice.of(
        "unknown-key", *path, read=key, allowed=", ".join(allowed), like=nearest(key, allowed)
    )


def keys_at(annotation: Any, path: Path) -> list[str]:
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


ABOUT_NAMES = frozenset({"unknown-ingredient", "preparation-as-ingredient"})
"""What is found only once names are looked up: it is the key that is wrong."""
