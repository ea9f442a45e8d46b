"""What was typed into a formula's form, as edits of its text.

Only fields that differ from the text become edits, so comments, order and layout stay as their
author has them, and what is wrong stays as it was typed. What cannot stand in the text at all
(a name that is there twice, a step without its thing) is kept beside it with the reason.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from doughwright.documents.editing import Edit, Insert, Remove, Rename, SetValue, edited
from doughwright.documents.places import LONGEST_NAME
from doughwright.documents.quantities import with_point
from doughwright.errors import Notice, Path
from doughwright.web.formula_fields import (
    Field,
    Row,
    field_name,
    read_name,
    value_at,
)
from doughwright.web.formula_form import Form, form_of, tree_of, uses_at
from doughwright.web.formula_order import named_alike, place_of_new


@dataclass(frozen=True, slots=True)
class Typed:
    """A text with what was typed in it, and what of it could not be put there.

    ``kept`` holds, by the name of its field in the new text's form, what was typed and could
    not be taken; ``refused`` why, with the path it is about. ``names`` says how keys that were
    renamed are called now and where steps that made room stand, by their path before; ``added``
    where new rows came to stand.
    """

    text: str
    kept: Mapping[str, str] = field(default_factory=dict)
    refused: tuple[Notice, ...] = ()
    names: Mapping[Path, str | int] = field(default_factory=dict)
    added: Mapping[str, Path] = field(default_factory=dict)

    def path_now(self, path: Path) -> Path:
        """Where what stood at a path stands now.

        >>> typed = Typed("", names={("ingredients", "ricota"): "ricotta"})
        >>> typed.path_now(("ingredients", "ricota", "fat"))
        ('ingredients', 'ricotta', 'fat')
        """
        return tuple(self.names.get(path[: i + 1], step) for i, step in enumerate(path))


def typed_into(text: str, posted: Mapping[str, str]) -> Typed:
    """Put what was typed into the fields of a text's form into the text.

    Raises
    ------
    DocumentError
        If the text is no mapping in plain YAML: it has no form.
    """
    form, tree = form_of(text), tree_of(text)
    slip = _Slip()
    changed = {f.name: _said(f, posted) for f in _fields(form) if _differs(f, posted)}
    edits = [*_value_edits(form, tree, changed, slip)]
    names = dict(_renames(form, tree, changed, slip))
    added = dict(_additions(form, tree, posted, names, slip))
    edits += (insert for _, insert in added.values())
    longest_first = sorted(names, key=lambda path: (path[0] != "ingredients", -len(path)))
    edits += (Rename(path, names[path]) for path in longest_first)
    renamed = Typed(text, names=names)
    paths = {mark: renamed.path_now(path) for mark, (path, _) in added.items()}
    made = Typed(
        edited(text, edits) if edits else text, names={**names, **dict(_moved(tree, paths))}
    )
    return Typed(
        made.text,
        {name_now(made, name): value for name, value in slip.kept.items()},
        tuple(Notice(n.code, made.path_now(n.where), n.values) for n in slip.problems),
        made.names,
        paths,
    )


def _moved(tree: Any, added: Mapping[str, Path]) -> Iterator[tuple[Path, int]]:
    """Where the steps behind a new one stand now, by their path before."""
    new = [path[1] for path in added.values() if path[0] == "process"]
    for at in new:
        steps = value_at(tree, ("process",)) or ()
        yield from ((("process", i), i + 1) for i in range(len(steps)) if i >= int(at))


class _Slip:
    """What could not be put into the text."""

    __slots__ = ("kept", "problems")

    def __init__(self) -> None:
        self.kept: dict[str, str] = {}
        self.problems: list[Notice] = []

    def keep(self, name: str, value: str, notice: Notice) -> None:
        """Keep what was typed, with why."""
        self.kept[name] = value
        self.problems.append(notice)


def _lines(text: str) -> str:
    """Typed words with the line ends of a document's tree."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _said(here: Field, posted: Mapping[str, str]) -> str:
    """What was typed into a field, a decimal comma as the point that it means."""
    said = _lines(posted.get(here.name, ""))
    is_value = here.key.holds in {"v", "a"} and not here.key.long
    return with_point(said) if is_value else said


def _fields(form: Form) -> Iterator[Field]:
    return (f for row in form.rows for f in row.fields if not f.elsewhere)


def _differs(here: Field, posted: Mapping[str, str]) -> bool:
    said = posted.get(here.name)
    return said is not None and here.key.holds != "a" and _lines(said) != _lines(here.value)


def _value_edits(form: Form, tree: Any, changed: Mapping[str, str], slip: _Slip) -> Iterator[Edit]:
    """Values and lists of words that were changed; a step's thing cannot be nothing."""
    things = {row.main[1].name for row in form.steps if len(row.main) > 1}
    for here in _fields(form):
        if here.name not in changed or here.key.holds not in {"v", "l"}:
            continue
        value = changed[here.name]
        if here.key.holds == "l":
            yield from _list_edits(tree, here.path, value)
        elif here.name in things and not value.strip():
            slip.keep(here.name, value, _missing(here.path, value))
        else:
            yield SetValue(here.path, value)


def _missing(path: Path, read: str) -> Notice:
    return Notice.of("no-text", *path, read=read, allowed="some words")


def _list_edits(tree: Any, path: Path, typed: str) -> Iterator[Edit]:
    """Turn a list of words into another: what both begin with stays."""
    wanted = [word.strip() for word in typed.replace("\n", ",").split(",") if word.strip()]
    was = value_at(tree, path)
    old = was if isinstance(was, list) else []
    for i in range(len(old) - 1, len(wanted) - 1, -1):
        yield Remove((*path, i))
    for i, word in enumerate(wanted):
        if i >= len(old):
            yield Insert(path, i, None, word)
        elif word != old[i]:
            yield SetValue((*path, i), word)
    if old and not wanted:
        yield Remove(path)


def _renames(
    form: Form, tree: Any, changed: Mapping[str, str], slip: _Slip
) -> Iterator[tuple[Path, str]]:
    """Keys that were renamed, by their path; not to a name that its neighbours have."""
    wanted = {f.path: f for f in _fields(form) if f.name in changed and f.key.holds == "n"}
    for path, here in wanted.items():
        name = changed[here.name]
        siblings = value_at(tree, path[:-1]) or {}
        others = [
            changed[wanted[p].name] if p in wanted else key
            for key in siblings
            if (p := (*path[:-1], key)) != path
        ]
        problem = _name_problem(path, name, {*others, *siblings} - {str(path[-1])})
        if problem is None:
            yield path, name
        else:
            slip.keep(here.name, name, problem)


def _name_problem(path: Path, name: str, taken: Iterable[str]) -> Notice | None:
    """Why a key cannot have a name."""
    if not name.strip():
        return _missing(path, name)
    if name in taken:
        return Notice.of("key-twice", *path, read=name)
    if len(name) > LONGEST_NAME:
        return Notice.of("name-too-long", *path, read=name[:47] + "…", allowed=LONGEST_NAME)
    return None


def _additions(
    form: Form, tree: Any, posted: Mapping[str, str], names: Mapping[Path, str], slip: _Slip
) -> Iterator[tuple[str, tuple[Path, Insert]]]:
    """What was typed into empty rows, by the row's mark: where it comes to stand, and how.

    The name of another preparation among the ingredients, without an amount, takes all of it.
    """
    taken: set[Path] = set()
    for row in form.rows:
        said = {f: _said(f, posted) for f in row.fields if f.key.holds == "a"}
        if not any(value.strip() for value in said.values()):
            continue
        word = {str(f.key.path[0]): value for f, value in said.items()}
        container = row.path[:-1]
        other = named_alike(tree, names, container, word)
        if other:
            container, word = (*container[:-1], "from"), {"name": other}
        problem = _addition_problem(tree, (*container, row.mark), word, names)
        if problem is None:
            at = place_of_new(tree, container, word, names, taken)
            key = None if container == ("process",) else word["name"]
            path = (*container, at if key is None else key)
            taken |= {path} if container[-1] == "from" else set()
            yield row.mark, (path, Insert(container, at, key, _said_of_new(container, word)))
        else:
            for f, value in said.items():
                slip.kept[f.name] = value
            slip.problems.append(problem)


def _addition_problem(
    tree: Any, path: Path, word: Mapping[str, str], names: Mapping[Path, str]
) -> Notice | None:
    """Why something cannot be added: no name, one that is there, or no room for it."""
    container = path[:-1]
    there = value_at(tree, container)
    is_list = container == ("process",)
    if there and not isinstance(there, list if is_list else dict) and container[-1] != "from":
        wanted = "a list is wanted here" if is_list else "keys with their values are wanted here"
        return Notice.of("wrong-shape", *path, read=str(there)[:40], wanted=wanted)
    if is_list:
        missing = [part for part in ("verb", "of") if not word.get(part, "").strip()]
        return _missing(path, "") if missing else None
    keys = uses_at(tree, container) if container[-1] == "from" else there or ()
    return _name_problem(path, word["name"], {names.get((*container, k), k) for k in keys})


def _said_of_new(container: Path, word: Mapping[str, str]) -> Any:
    """What a new row says in the text."""
    if container == ("process",):
        return {word["verb"]: word["of"]}
    if container == ("preparations",):
        return {"kind": word["kind"]} if word.get("kind") else {}
    return word.get("amount") or {}


def name_now(typed: Typed, name: str) -> str:
    """How a field is called in the form of the text after renaming."""
    read = read_name(name)
    return name if read is None else field_name(read[0], typed.path_now(read[1]))  # type: ignore[arg-type]  # read from a name


def rows_by_path(form: Form, typed: Typed) -> Mapping[Path, Row]:
    """The rows of a form by where they stand in the text with what was typed."""
    found = {typed.path_now(row.path): row for row in form.rows}
    more = {row.mark: row for row in form.rows if row.mark in typed.added}
    return {**found, **{typed.added[mark]: row for mark, row in more.items()}}
