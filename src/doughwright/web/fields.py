"""A document as fields of a form, and a form as edits of the document's text.

A field is a path into the document. What it shows are the author's words there, and only what a
baker changed becomes an edit, so that comments, order and layout of the text stay.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from doughwright.documents.editing import Edit, Insert, Remove, Rename, SetValue
from doughwright.documents.nodes import Atlas, plain_tree, root_node
from doughwright.errors import DocumentError, Notice, Path
from doughwright.render.messages import hint, remedy, words

_BARE = re.compile(r"[+−-]?\d+(?:\.\d+)?(?:\s*[–-]\s*\d+(?:\.\d+)?)?")
"""A number, or two with a dash between, and no unit."""


@dataclass(frozen=True, slots=True)
class Field:
    """One value of a document in a form.

    ``unit`` is what a bare number means, ``choices`` all that is allowed, ``suggests`` names a
    list of suggestions, ``many`` says that commas part several words, ``long`` that it may have
    lines; ``called`` is its name in the form where the path is not to be that.
    """

    path: Path
    label: str
    aside: str = ""
    unit: str = ""
    choices: tuple[str, ...] = ()
    suggests: str = ""
    many: bool = False
    long: bool = False
    called: str = ""

    @property
    def name(self) -> str:
        """What the field is called in the form."""
        return self.called or ".".join(map(str, self.path))

    @property
    def id(self) -> str:
        """The same without blanks, as an anchor on the page."""
        return self.name.replace(".", "-").replace(" ", "-")


@dataclass(frozen=True, slots=True)
class Pairs:
    """Keys of the baker's own with a value each: mixers, prices; ``spare`` rows are empty."""

    path: Path
    label: str
    key_label: str
    value_label: str
    aside: str = ""
    unit: str = ""
    suggests: str = ""
    spare: int = 2

    @property
    def name(self) -> str:
        """What its rows are called in the form, before their number."""
        return ".".join(map(str, self.path))


@dataclass(frozen=True, slots=True)
class Group:
    """Fields under one heading."""

    title: str
    fields: tuple[Field | Pairs, ...]


@dataclass(frozen=True, slots=True)
class ShownField:
    """A field with what stands in it and what is wrong with that."""

    field: Field
    value: str
    wrong: tuple[str, ...]
    aside: str = ""


@dataclass(frozen=True, slots=True)
class ShownPair:
    """One row of pairs; ``was`` is its key in the document, nothing for a new row."""

    was: str
    key: str
    value: str
    wrong: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShownPairs:
    """Pairs with their rows."""

    pairs: Pairs
    rows: tuple[ShownPair, ...]


@dataclass(frozen=True, slots=True)
class ShownGroup:
    """A group as the page shows it."""

    title: str
    fields: tuple[ShownField | ShownPairs, ...]


def plain_of(text: str) -> dict[str, Any]:
    """A text's words, lists and mappings, whatever is wrong with the values.

    Raises
    ------
    DocumentError
        The text is no mapping in plain YAML.
    """
    atlas = Atlas(text, "the text")
    tree = plain_tree(root_node(text, atlas), (), atlas)
    if atlas.problems:
        raise DocumentError(atlas.problems)
    return dict(tree)


def at(tree: Any, path: Path) -> Any:
    """What stands at a path; None where nothing does."""
    for step in path:
        if isinstance(step, int):
            tree = tree[step] if isinstance(tree, list) and step < len(tree) else None
        else:
            tree = tree.get(step) if isinstance(tree, dict) else None
    return tree


def word_at(tree: Any, field: Field) -> str:
    """What a field shows of a document."""
    found = at(tree, field.path)
    if field.many and isinstance(found, list):
        return ", ".join(map(str, found))
    return found if isinstance(found, str) else ""


def edits(
    groups: Sequence[Group], tree: Any, form: Mapping[str, str]
) -> tuple[tuple[Edit, ...], tuple[Notice, ...]]:
    """What a form changes in a document, and what of it cannot be done.

    That is every row of pairs with only half of what it needs, or with a name that is there.
    """
    found: list[Edit] = []
    problems: list[Notice] = []
    for item in (field for group in groups for field in group.fields):
        if isinstance(item, Pairs):
            found += _pair_edits(item, tree, form, problems)
        elif item.name in form:
            found += _field_edits(item, tree, form[item.name])
    return tuple(found), tuple(problems)


def _field_edits(field: Field, tree: Any, said: str) -> Iterator[Edit]:
    value = _complete(said, field.unit)
    if value == word_at(tree, field).strip():
        return
    if field.many:
        yield from _list_edits(field.path, at(tree, field.path), _parts(value))
    else:
        yield SetValue(field.path, value)


def _complete(said: str, unit: str) -> str:
    """What was typed, with the unit behind a bare number."""
    value = said.replace("\r\n", "\n").strip()
    return f"{value} {unit}" if unit and _BARE.fullmatch(value) else value


def _parts(value: str) -> list[str]:
    return [part.strip() for part in value.split(",") if part.strip()]


def _list_edits(path: Path, was: Any, wanted: list[str]) -> Iterator[Edit]:
    """Bring a list of words to what is wanted; those that stay are not touched."""
    before = was if isinstance(was, list) else []
    kept = [word for word in before if word in wanted]
    if not before or not wanted or kept != wanted[: len(kept)]:
        if was is not None:
            yield Remove(path)
        if wanted:
            yield Insert(path[:-1], END, str(path[-1]), wanted)
        return
    for position in reversed(range(len(before))):
        if before[position] not in wanted:
            yield Remove((*path, position))
    for position, word in enumerate(wanted[len(kept) :], len(kept)):
        yield Insert(path, position, None, word)


END = 10_000
"""A position behind all others."""


def _pair_edits(
    pairs: Pairs, tree: Any, form: Mapping[str, str], problems: list[Notice]
) -> Iterator[Edit]:
    there = at(tree, pairs.path)
    known = there if isinstance(there, dict) else {}
    for row in posted_rows(pairs, form):
        value = _complete(row.value, pairs.unit)
        if not row.key and not (value and not row.was):
            if row.was:
                yield SetValue((*pairs.path, row.was), "")
        elif not row.key or (not value and not row.was):
            allowed = f"both: {pairs.key_label} and {pairs.value_label}".lower()
            read = row.key or value
            problems.append(
                Notice.of("half-a-row", *pairs.path, row.key, read=read, allowed=allowed)
            )
        elif row.key != row.was and row.key in known:
            problems.append(Notice.of("key-twice", *pairs.path, row.key, read=row.key))
        else:
            yield from _row_edits(pairs.path, row, value, known)


def _row_edits(path: Path, row: ShownPair, value: str, known: Mapping[str, Any]) -> Iterator[Edit]:
    if row.was and row.was != row.key:
        yield Rename((*path, row.was), row.key)
    if value != known.get(row.was):
        yield SetValue((*path, row.key), value)


def posted_rows(pairs: Pairs, form: Mapping[str, str]) -> Iterator[ShownPair]:
    """The rows of pairs as a form holds them."""
    for number in range(MOST_ROWS):
        row = f"{pairs.name}.{number}"
        if f"{row}.key" not in form:
            return
        key, value = form[f"{row}.key"].strip(), form.get(f"{row}.value", "").strip()
        yield ShownPair(form.get(f"{row}.was", ""), key, value, ())


MOST_ROWS = 1000


def shown(
    groups: Sequence[Group],
    tree: Any,
    form: Mapping[str, str] | None = None,
    problems: Sequence[Notice] = (),
    asides: Mapping[str, str] | None = None,
) -> tuple[tuple[ShownGroup, ...], tuple[Notice, ...]]:
    """The groups as a page shows them, and the problems that belong to none of their fields.

    ``form`` is what was typed and could not be saved; ``asides`` says more of single fields.
    """
    left = list(problems)

    def wrong_at(path: Path) -> tuple[str, ...]:
        mine = [p for p in left if p.where[: len(path)] == path]
        left[:] = [p for p in left if p not in mine]
        return tuple(" ".join(filter(None, (words(p), hint(p), remedy(p)))) for p in mine)

    def one(item: Field | Pairs) -> ShownField | ShownPairs:
        if isinstance(item, Pairs):
            return ShownPairs(item, tuple(_shown_rows(item, tree, form, wrong_at)))
        typed = form.get(item.name) if form is not None else None
        value = word_at(tree, item) if typed is None else typed
        aside = (asides or {}).get(item.name, "")
        return ShownField(item, value, wrong_at(item.path), aside)

    groups_shown = tuple(ShownGroup(g.title, tuple(map(one, g.fields))) for g in groups)
    return groups_shown, tuple(left)


def _shown_rows(
    pairs: Pairs, tree: Any, form: Mapping[str, str] | None, wrong_at: Any
) -> Iterator[ShownPair]:
    there = at(tree, pairs.path)
    rows = [
        ShownPair(str(key), str(key), value if isinstance(value, str) else "", ())
        for key, value in (there.items() if isinstance(there, dict) else ())
    ]
    spare = [ShownPair("", "", "", ())] * pairs.spare
    for row in [*rows, *spare] if form is None else posted_rows(pairs, form):
        wrong = wrong_at((*pairs.path, row.key)) if row.key or form is not None else ()
        yield ShownPair(row.was, row.key, row.value, wrong)
