"""A formula's text as a form: every key of the document a field, in the order of the text."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from doughwright.documents.formula import STEP_KEYS, excess
from doughwright.documents.nodes import Atlas, plain_tree, root_node
from doughwright.errors import DocumentError, Notice, Path
from doughwright.web.formula_fields import (
    HEAD,
    INGREDIENTS,
    LINE,
    LINE_MAIN,
    OF,
    OWN,
    PREPARATION,
    PREPARATION_MAIN,
    TESTED,
    USE,
    USE_MAIN,
    VERB,
    YIELD,
    Field,
    Key,
    Row,
    field_of,
    other_fields,
    step_keys,
    value_at,
)

KEPT = 16
MEMBER = 2
"""How long the path of one of several things is: a preparation, a step, an ingredient."""


@dataclass(frozen=True, slots=True)
class Block:
    """A preparation: itself, what it takes of others, its lines, and room for one more."""

    row: Row
    uses: tuple[Row, ...]
    lines: tuple[Row, ...]
    more_use: Row | None
    more: Row


@dataclass(frozen=True, slots=True)
class Form:
    """All rows of a formula's form; ``more_…`` are empty ones for what is to be added."""

    head: Row
    makes: Row
    blocks: tuple[Block, ...]
    more_preparation: Row
    steps: tuple[Row, ...]
    more_step: Row
    tested: Row
    own: tuple[Row, ...]
    more_own: Row

    @property
    def rows(self) -> Iterator[Row]:
        """Every row, those within others after them."""
        yield from (self.head, self.makes)
        for block in self.blocks:
            yield from (block.row, *block.uses, *block.lines)
            yield from (row for row in (block.more_use, block.more) if row is not None)
        yield from (self.more_preparation, *self.steps, self.more_step)
        yield from (self.tested, *self.own, self.more_own)

    @property
    def names(self) -> tuple[str, ...]:
        """The preparations' names."""
        return tuple(block.row.name for block in self.blocks)


def tree_of(text: str) -> dict[str, Any]:
    """What a text says, as words, lists and mappings; whether it is a document or not.

    Raises
    ------
    DocumentError
        If the text is no mapping in plain YAML: then no form can show it.
    """
    found = _tree(text)
    if isinstance(found, DocumentError):
        raise DocumentError(found.problems)
    return found


@lru_cache(KEPT)
def _tree(text: str) -> dict[str, Any] | DocumentError:
    atlas = Atlas(text, "your text")
    try:
        tree = plain_tree(root_node(text, atlas), (), atlas)
    except DocumentError as error:
        return error
    return DocumentError(atlas.problems) if atlas.problems else dict(tree)


@lru_cache(KEPT)
def form_of(text: str) -> Form:
    """The form of a text.

    Raises
    ------
    DocumentError
        If the text is no mapping in plain YAML, or has more in it than a formula may.
    """
    tree = tree_of(text)
    found = excess(tree)
    if found is not None:
        raise DocumentError([Notice.of("too-many", found[0], **found[1])])
    preparations = _members(tree, ("preparations",))
    steps = value_at(tree, ("process",))
    count = len(steps) if isinstance(steps, list) else 0
    own = _members(tree, ("ingredients",))
    return Form(
        head=_top(tree),
        makes=_row(tree, ("yield",), "y", (), YIELD),
        blocks=tuple(_block(tree, name, i, preparations) for i, name in enumerate(preparations)),
        more_preparation=_more(("preparations",), "pn", NEW_NAME, *PREPARATION_MAIN.values()),
        steps=tuple(_step(tree, i, count) for i in range(count)),
        more_step=_more(("process",), "sn", NEW_VERB, NEW_OF),
        tested=_row(tree, ("tested in",), "t", (), TESTED),
        own=tuple(_own(tree, name, i, len(own)) for i, name in enumerate(own)),
        more_own=_more(("ingredients",), "on", NEW_OWN),
    )


NAME = Key((), "Name", holds="n")
LINE_NAME = Key((), "Ingredient", offered=INGREDIENTS, holds="n")
NEW_NAME = Key(("name",), "Name of another preparation", "Its name")
NEW_OWN = Key(("name",), "Another", "ube paste", wide=True)
NEW_LINE = Key(("name",), "Another ingredient", "Another ingredient", offered=INGREDIENTS)
NEW_VERB = Key(("verb",), "Step", choices=tuple(STEP_KEYS))
NEW_OF = Key(("of",), "What", "What it is done to", offered=OF.offered)


def _members(tree: Any, path: Path) -> tuple[str, ...]:
    """The keys of a mapping, in order; none where no mapping stands."""
    here = value_at(tree, path)
    return tuple(here) if isinstance(here, dict) else ()


def _row(
    tree: Any,
    path: Path,
    mark: str,
    main: tuple[Field, ...],
    keys: Mapping[Path, Key],
    *,
    known: tuple[Path, ...] = (),
    place: tuple[int, int] = (0, 0),
) -> Row:
    """A row whose keys that say something are open; those of the whole bread all are.

    ``place`` is where it stands, of how many.
    """
    shown = len(path) < MEMBER
    fields = [field_of(tree, path, key) for key in keys.values()]
    said = [field for field in fields if shown or field.value or field.elsewhere]
    others = other_fields(tree, path, (*keys, *known))
    unsaid = [field for field in fields if field not in said]
    return Row(
        path, mark, main, (*said, *others), tuple(unsaid), place[0], place[0] == place[1] - 1
    )


def _top(tree: Any) -> Row:
    sections = ("doughwright", "yield", "preparations", "process", "tested in", "ingredients")
    known = tuple((section,) for section in sections)
    name = field_of(tree, (), HEAD["name",])
    keys = {path: key for path, key in HEAD.items() if path != ("name",)}
    return _row(tree, (), "h", (name,), keys, known=(*known, ("name",)))


def _block(tree: Any, name: str, i: int, names: tuple[str, ...]) -> Block:
    path, mark = ("preparations", name), f"p{i}"
    kind = field_of(tree, path, PREPARATION_MAIN["kind",])
    known = (("kind",), ("from",), ("ingredients",))
    main = (Field(NAME, path, name), kind)
    lines = _members(tree, (*path, "ingredients"))
    within = (*path, "ingredients")
    return Block(
        row=_row(tree, path, mark, main, PREPARATION, known=known, place=(i, len(names))),
        uses=tuple(_uses(tree, (*path, "from"), mark)),
        lines=tuple(
            _line(tree, (*within, n), f"{mark}-{j}", j, len(lines)) for j, n in enumerate(lines)
        ),
        more_use=_more_use(path, mark, names),
        more=_more(within, f"{mark}-n", Key(("amount",), "Amount"), NEW_LINE),
    )


def uses_at(tree: Any, path: Path) -> dict[str, Any]:
    """What a preparation takes of others, by name, however it is written."""
    here = value_at(tree, path)
    names = [here] if isinstance(here, str) else here if isinstance(here, list) else []
    if isinstance(here, dict):
        return dict(here)
    return {name: {} for name in names if isinstance(name, str)}


def _uses(tree: Any, path: Path, mark: str) -> Iterator[Row]:
    uses = uses_at(tree, path)
    for j, (name, use) in enumerate(uses.items()):
        here = {"preparations": {path[1]: {"from": {name: use}}}}
        share = field_of(here, (*path, name), USE_MAIN["share",])
        yield _row(
            here,
            (*path, name),
            f"{mark}-u{j}",
            (share,),
            USE,
            known=(("share",),),
            place=(j, len(uses)),
        )


def _more_use(path: Path, mark: str, names: tuple[str, ...]) -> Row | None:
    others = tuple(name for name in names if name != path[1])
    if not others:
        return None
    which = Key(("name",), "Takes another preparation", choices=others, wide=True)
    return _more((*path, "from"), f"{mark}-un", which)


def _line(tree: Any, path: Path, mark: str, at: int, count: int) -> Row:
    amount = field_of(tree, path, LINE_MAIN["amount",])
    main = (amount, Field(LINE_NAME, path, str(path[-1])))
    return _row(tree, path, mark, main, LINE, known=(("amount",),), place=(at, count))


def _step(tree: Any, i: int, count: int) -> Row:
    path, mark = ("process", i), f"s{i}"
    keys = _members(tree, path)
    if not keys:  # a step that is a word or a list: the form shows that it is there
        return Row(path, mark, (Field(VERB, path, "", elsewhere=True),), at=i, last=i == count - 1)
    verb = next((key for key in keys if key in STEP_KEYS), keys[0])
    main = (Field(VERB, (*path, verb), verb), field_of(tree, (*path, verb), OF))
    return _row(tree, path, mark, main, step_keys(verb), known=((verb,),), place=(i, count))


def _own(tree: Any, name: str, i: int, count: int) -> Row:
    path = ("ingredients", name)
    return _row(tree, path, f"o{i}", (Field(NAME, path, name),), OWN, place=(i, count))


def _more(path: Path, mark: str, *keys: Key) -> Row:
    """An empty row: what is typed there is added."""
    plain = (replace(key, holds="a") for key in keys)
    return Row((*path, mark), mark, tuple(Field(key, (*path, *key.path), "") for key in plain))
