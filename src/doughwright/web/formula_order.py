"""Where what is added to a formula belongs: preparations and steps in the order they are worked."""

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from doughwright.documents.names import plain_name
from doughwright.engine.formula import DOUGH_KINDS
from doughwright.errors import Path
from doughwright.web.formula_fields import value_at
from doughwright.web.formula_form import uses_at

PREPARATIONS = ("preparations",)


def named_alike(
    tree: Any, names: Mapping[Path, str], container: Path, word: Mapping[str, str]
) -> str:
    """The other preparation that a new line without an amount means by its name; or nothing.

    ``names`` says how preparations are called now, by their path in the tree.
    """
    is_line = container[:1] == PREPARATIONS and container[2:] == ("ingredients",)
    if not is_line or word.get("amount", "").strip():
        return ""
    others = (_now(names, other) for other in _preparations(tree) if other != container[1])
    return other_named(word["name"], others)


def other_named(name: str, others: Iterable[str]) -> str:
    """Which of some preparations a name is that of; or nothing.

    >>> other_named("Poolish ", ["poolish", "soaker"])
    'poolish'
    """
    plain = plain_name(name)
    return next((other for other in others if plain_name(other) == plain), "")


def place_of_new(
    tree: Any,
    container: Path,
    word: Mapping[str, str],
    names: Mapping[Path, str],
    taken: Collection[Path],
) -> int:
    """Where among its neighbours something new belongs; ``taken`` are uses that come with it."""
    if container == PREPARATIONS:
        return _before_dough(tree, word.get("kind", ""))
    if container == ("process",):
        return _before_taker(tree, word["of"], names, taken)
    return len(value_at(tree, container) or ())


def _preparations(tree: Any) -> Mapping[str, Any]:
    found = value_at(tree, PREPARATIONS)
    return found if isinstance(found, dict) else {}


def _now(names: Mapping[Path, str], preparation: str) -> str:
    return names.get((*PREPARATIONS, preparation), preparation)


def _before_dough(tree: Any, kind: str) -> int:
    """What goes into the dough stands before it; what goes beside it, at the end."""
    all_of = [*_preparations(tree)]
    taken = {other for name in all_of for other in uses_at(tree, (*PREPARATIONS, name, "from"))}
    doughs = [
        i
        for i, name in enumerate(all_of)
        if value_at(tree, (*PREPARATIONS, name, "kind")) == "dough" and name not in taken
    ]
    return doughs[-1] if doughs and kind in {"", *DOUGH_KINDS} else len(all_of)


def _before_taker(tree: Any, of: str, names: Mapping[Path, str], taken: Collection[Path]) -> int:
    """A step of what another preparation takes stands before that is mixed; others at the end."""
    takers = {path[1] for path in taken if path[3] == of}
    for name in _preparations(tree):
        uses = uses_at(tree, (*PREPARATIONS, name, "from"))
        takers |= {name} if of in {_now(names, other) for other in uses} else set()
    steps = value_at(tree, ("process",)) or []
    mixed = (i for i, step in enumerate(steps) if value_at(step, ("mix",)) in takers)
    return next(mixed, len(steps))
