"""What the buttons of a formula's form do to its text, and where they lead."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from doughwright.documents.editing import Edit, Insert, Move, Remove, Rename, edited
from doughwright.errors import Path
from doughwright.web.formula_fields import path_from, spelt, value_at
from doughwright.web.formula_form import tree_of, uses_at


@dataclass(frozen=True, slots=True)
class Press:
    """A button pressed in the form: what to do, where, and with what word."""

    action: str
    path: Path = ()
    word: str = ""

    @property
    def do(self) -> str:
        """The value of the button."""
        return button(self.action, self.path, self.word)


def press_from(do: str) -> Press:
    """What a button of the form says.

    >>> press_from("up:process/@3")
    Press(action='up', path=('process', 3), word='')
    """
    action, _, rest = do.partition(":")
    where, _, quoted = rest.partition(":")
    path = path_from(where) if where else ()
    words = path_from(quoted) if quoted else ()
    word = str(words[0]) if words else ""
    return Press(action, path or (), word)


def button(action: str, path: Path, word: str = "") -> str:
    """The value of a button.

    >>> button("use", ("ingredients", "stong flour"), "strong white flour")
    'use:ingredients/stong%20flour:strong%20white%20flour'
    """
    return f"{action}:{spelt(path)}" + (f":{spelt((word,))}" if word else "")


def pressed(text: str, press: Press) -> str:
    """The text after a button of the form; unchanged where it means nothing there.

    Raises
    ------
    DocumentError
        If it cannot be done, such as giving a name that is there already.
    """
    tree = tree_of(text)
    edits = [*_EDITS[press.action](tree, press)] if press.action in _EDITS else []
    there = press.action == "own" or value_at(tree, press.path) is not None
    return edited(text, edits) if edits and there and press.path else text


def _moved(tree: Any, press: Press, by: int) -> Iterable[Edit]:
    siblings = value_at(tree, press.path[:-1]) or ()
    step = press.path[-1] if press.path else ""
    at = step if isinstance(step, int) else [*siblings].index(step) if step in siblings else -1
    return [Move(press.path, at + by)] if at >= 0 and 0 <= at + by < len(siblings) else []


def _step_after(tree: Any, press: Press) -> Iterable[Edit]:
    """A rest of the same thing, for the baker to make another step of."""
    here = value_at(tree, press.path)
    if not isinstance(here, dict) or press.path[:1] != ("process",):
        return []
    of = next((word for word in here.values() if isinstance(word, str)), "dough")
    at = press.path[-1]
    return [Insert(("process",), at + 1, None, {"rest": of})] if isinstance(at, int) else []


def _own(tree: Any, press: Press) -> Iterable[Edit]:
    """An ingredient of the baker's own."""
    known = value_at(tree, ("ingredients",)) or {}
    new = press.word not in known
    return [Insert(("ingredients",), len(known), press.word, {})] if new else []


def _take(tree: Any, press: Press) -> Iterable[Edit]:
    """All of another preparation, in place of a line that goes by its name."""
    uses = (*press.path[:2], "from")
    there = uses_at(tree, uses)
    if len(press.path) > len(uses):
        yield Remove(press.path)
    if press.word not in there:
        yield Insert(uses, len(there), press.word, {})


_EDITS: Mapping[str, Callable[[Any, Press], Iterable[Edit]]] = {
    "remove": lambda tree, press: [Remove(press.path)],  # noqa: ARG005 - all take both
    "up": lambda tree, press: _moved(tree, press, -1),
    "down": lambda tree, press: _moved(tree, press, 1),
    "use": lambda tree, press: [Rename(press.path, press.word)],  # noqa: ARG005 - all take both
    "step-after": _step_after,
    "own": _own,
    "take": _take,
}
"""What buttons do to the text."""


def focus_after(text: str, press: Press, added: Iterable[Path] = ()) -> Press:
    """What to come back to after a button: itself where it moved, or the row it led to (``at``).

    ``added`` are rows that were typed and now stand in the text.
    """
    path, step = press.path, press.path[-1] if press.path else ""
    if press.action in {"up", "down"}:
        by = 1 if press.action == "down" else -1
        at = (*path[:-1], step + by) if isinstance(step, int) else path
        siblings = value_at(tree_of(text), path[:-1]) or ()
        ends = {"up": 0, "down": len(siblings) - 1}
        position = at[-1] if isinstance(at[-1], int) else [*siblings].index(str(step))
        return Press("at" if position == ends[press.action] else press.action, at)
    if press.action in _ADDING and not press.word:
        new = (there for there in added if _ADDING[press.action] in {"", there[0]})
        return next((_behind(text, there) for there in new), press)
    led = {
        "use": (*path[:-1], press.word),
        "own": ("ingredients", press.word),
        "step-after": (*path[:-1], step + 1 if isinstance(step, int) else 0),
        "take": (*path[:2], "from", press.word),
    }
    return Press("at", led[press.action]) if press.action in led else press


_ADDING = {"look": "", "preparation": "preparations", "step": "process", "own": "ingredients"}
"""Buttons that add what was typed into an empty row, by what they add; one adds all there is."""


def _behind(text: str, new: Path) -> Press:
    """Where to go on after something was added: to the next of its kind, or into it."""
    tree = tree_of(text)
    if new[0] == "preparations" and (len(new) > 2 or value_at(tree, (*new, "kind"))):
        return Press("line", new[:2])
    is_last = new == ("process", len(value_at(tree, ("process",)) or ()) - 1)
    return Press("step") if is_last else Press("at", new)
