"""Places in a laid out text: what stands at a path, and where new things belong."""

from dataclasses import dataclass

from doughwright.documents.layout import Entry, Part, Word
from doughwright.documents.reading import MODELS, keys_at
from doughwright.documents.spelling import Style
from doughwright.errors import DocumentError, Notice, Path

LONGEST_NAME = 200
"""Signs of a name; YAML itself ends at 1024."""


@dataclass(slots=True)
class Sheet:
    """A text in its parts and how its author lays out."""

    root: Part
    style: Style


def nothing_there(path: Path) -> DocumentError:
    """Return the refusal of an edit about what is not in the text."""
    read = ", ".join(map(str, path))
    return DocumentError([Notice.of("nothing-there", *path, read=read)])


def word_at(entry: Entry) -> str:
    """Return what an entry goes by: its key, or the word of an item."""
    if entry.key is not None:
        return entry.key.says
    return entry.value.says if isinstance(entry.value, Word) else ""


def position_of(part: Part, step: str | int) -> int | None:
    """Return where an entry stands: by its key, its position, or its word in a list of words."""
    if isinstance(step, int):
        return step if not part.keyed and 0 <= step < len(part.entries) else None
    found = (i for i, entry in enumerate(part.entries) if word_at(entry) == step)
    return next(found, None)


def spot(sheet: Sheet, path: Path) -> tuple[Part, int]:
    """Return the part that holds what a path leads to, and where in it.

    Raises
    ------
    DocumentError
        If there is nothing at the path.
    """
    part: Word | Part = sheet.root
    found: tuple[Part, int] | None = None
    for step in path:
        position = position_of(part, step) if isinstance(part, Part) else None
        if position is None or isinstance(part, Word):
            raise nothing_there(path)
        found = part, position
        part = part.entries[position].value
    if found is None:
        raise nothing_there(path)
    return found


def value_at(sheet: Sheet, path: Path) -> Word | Part | None:
    """Return what stands at a path, if anything does."""
    try:
        part, position = spot(sheet, path) if path else (None, 0)
    except DocumentError:
        return None
    return part.entries[position].value if part else sheet.root


def members(sheet: Sheet, path: Path) -> list[Entry]:
    """Return the entries of what stands at a path; none if it is no mapping or list."""
    value = value_at(sheet, path)
    return list(value.entries) if isinstance(value, Part) else []


def short_key(path: Path) -> str:
    """Return the key whose value may stand alone for the mapping at a path, if one may.

    >>> short_key(("preparations", "dough", "ingredients", "salt"))
    'amount'
    """
    if len(path) != 4 or path[0] != "preparations":
        return ""
    return {"ingredients": "amount", "from": "share"}.get(str(path[2]), "")


def is_uses(path: Path) -> bool:
    """Whether a path leads to what a preparation takes of others."""
    return len(path) == 3 and (path[0], path[2]) == ("preparations", "from")


def place_for(sheet: Sheet, part: Part, path: Path, key: str) -> int:
    """Return where a new key belongs: after those that usually stand before it."""
    kind = value_at(sheet, ("doughwright",))
    model = MODELS.get(kind.says) if isinstance(kind, Word) else None
    order = keys_at(model, path) if model else []
    if key not in order:
        return len(part.entries)
    before = {*order[: order.index(key)]}
    earlier = [
        i for i, e in enumerate(part.entries) if word_at(e) in before or word_at(e) not in order
    ]
    return earlier[-1] + 1 if earlier else 0


def style_of(root: Part, eol: str) -> Style:
    """Return how far an author indents, from the first mapping and the first list on lines."""
    step, dash = None, None
    for entry in root.entries:
        part = entry.value
        if isinstance(part, Part) and not part.flow:
            if part.keyed and step is None:
                step = part.column - root.column
            if not part.keyed and dash is None:
                dash = part.column - root.column
    return Style(step or 2, 2 if dash is None else dash, eol)
