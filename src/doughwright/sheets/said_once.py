"""What holds for several lines or stages of a plan alike, said once with all of them named."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import chain

from doughwright.errors import Notice, Path

SAID_ONCE = frozenset(
    {
        "butter-warming-time",
        "food-toxin",
        "may-never-get-there",
        "outside-model-range",
        "scale-too-coarse",
    }
)
"""Messages of which a second one says nothing new but its place."""


def said_once(
    groups: Sequence[Iterable[Notice]], steps: Mapping[int, str]
) -> tuple[tuple[Notice, ...], ...]:
    """The same groups of notices, what is alike only where it comes first.

    The others' places follow it as ``also``; ``steps`` names a step by its position.
    """
    found = tuple(map(tuple, groups))
    alike: dict[tuple[object, ...], list[Notice]] = {}
    for notice in chain.from_iterable(found):
        if notice.code in SAID_ONCE:
            about = notice.values.get("model"), notice.values.get("input")
            alike.setdefault((notice.code, *about), []).append(notice)
    told: dict[int, Notice | None] = {}
    for same in alike.values():
        first, *others = sorted(same, key=_position)
        told |= {id(other): None for other in others}
        told[id(first)] = _with_places(first, others, steps)
    kept = ([told.get(id(notice), notice) for notice in group] for group in found)
    return tuple(tuple(notice for notice in group if notice is not None) for group in kept)


def _position(notice: Notice) -> int:
    """Steps in their order, after what concerns a preparation."""
    at = notice.where[1] if notice.where[:1] == ("process",) else -1
    return at if isinstance(at, int) else -1


def _with_places(first: Notice, others: Iterable[Notice], steps: Mapping[int, str]) -> Notice:
    also = dict.fromkeys(_named(n.where, steps) for n in others if n.where != first.where)
    return replace(first, values={**first.values, "also": tuple(also)}) if also else first


def _named(path: Path, steps: Mapping[int, str]) -> Path:
    """A path with its step's name for its number."""
    at = path[1] if path[:1] == ("process",) else None
    return (steps[at],) if isinstance(at, int) else path
