"""What changed between two documents, as a baker would tell it.

Both sides are compared as written, so ``1.80 %`` in place of ``1.8 %`` is a change. Words are
put on the differences by :mod:`doughwright.render.differences`.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from doughwright.documents.comparing import (
    Body,
    Difference,
    difference,
    fields,
    listed,
    members,
    reordered,
    words_of,
)
from doughwright.documents.comparing_steps import step_differences
from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import Document
from doughwright.documents.writing import body
from doughwright.errors import Path

PARTS = ("yield", "tested in", "oven", "scale", "tap", "mixer", "prices")
"""Keys whose values are parts with a heading of their own."""

LISTS = ("tags", "may contain")
ALL = "all"
"""What a preparation takes of another where no share is written."""


def differences(before: Document, after: Document) -> tuple[Difference, ...]:
    """Return what changed from one document to the next, in the order of the later one."""
    if before.doughwright != after.doughwright:
        kinds = before.doughwright, after.doughwright
        return (difference(("doughwright",), "kind of document", "", *kinds),)
    was, now = body(before), body(after)
    return tuple(_found(was, now, formula=isinstance(after, FormulaDocument)))


def _found(was: Body, now: Body, *, formula: bool) -> Iterator[Difference]:
    apart = {*PARTS, *LISTS, "preparations", "process", "ingredients", "breads"}
    yield from fields(_without(was, apart), _without(now, apart), (), "")
    for key in LISTS:
        yield from words_of(was.get(key, []), now.get(key, []), (key,))
    for key in PARTS:
        yield from fields(was.get(key, {}), now.get(key, {}), (key,), key)
    if formula:
        yield from _formula(was, now)
    own = "own ingredients" if formula else "shelf"
    yield from members(
        was.get("ingredients", {}), now.get("ingredients", {}), ("ingredients",), own
    )
    yield from _breads(was.get("breads", []), now.get("breads", []))


def _without(whole: Body, keys: set[str]) -> dict[str, Any]:
    return {key: value for key, value in whole.items() if key not in keys}


# --- series


def _breads(was: list[Body], now: list[Body]) -> Iterator[Difference]:
    earlier = {str(entry["bread"]): i for i, entry in enumerate(was)}
    later = {str(entry["bread"]): i for i, entry in enumerate(now)}
    for found in members(_by_bread(was), _by_bread(now), (), "breads"):
        name = str(found.where[0])
        position = later[name] if name in later else earlier[name]
        yield replace(found, where=("breads", position, *found.where[1:]))


def _by_bread(breads: list[Body]) -> dict[str, Body]:
    return {
        str(entry["bread"]): {"state": "idea", **{k: v for k, v in entry.items() if k != "bread"}}
        for entry in breads
    }


# --- formula


def _formula(was: Body, now: Body) -> Iterator[Difference]:
    before, after = was["preparations"], now["preparations"]
    renamed = dict(_renamed_preparations(before, after))
    for old, new in renamed.items():
        yield Difference("renamed", ("preparations", new), new, "preparations", old, new)
    before = {renamed.get(name, name): _with_uses(p, renamed) for name, p in before.items()}
    after = {name: _with_uses(p, {}) for name, p in after.items()}
    found = [*_preparations(before, after)]
    yield from _lines_moved(found)
    process = [_step_renamed(step, renamed) for step in was.get("process", [])]
    yield from step_differences(process, now.get("process", []))


def _step_renamed(step: Body, renamed: dict[str, str]) -> Body:
    verb = next(iter(step))
    return {**step, verb: renamed.get(step[verb], step[verb])}


def _with_uses(preparation: Body, renamed: dict[str, str]) -> dict[str, Any]:
    """Return a preparation with what it takes of others by name, however it was written."""
    uses = preparation.get("from", {})
    named = {name: {} for name in uses} if isinstance(uses, list) else uses
    return {**preparation, "from": {renamed.get(name, name): use for name, use in named.items()}}


def _renamed_preparations(before: Body, after: Body) -> Iterator[tuple[str, str]]:
    """Pair a preparation that went with one that came in its place and is made alike."""
    gone = [name for name in before if name not in after]
    come = [name for name in after if name not in before]
    for old in gone:
        alike = [new for new in come if _alike(before[old], after[new])]
        if alike:
            come.remove(alike[0])
            yield old, alike[0]


def _alike(one: Body, other: Body) -> bool:
    """Whether two preparations are of one kind and share most of their lines."""
    lines, others = one.get("ingredients", {}), other.get("ingredients", {})
    shared = sum(others.get(name) == line for name, line in lines.items())
    most = max(len(lines), len(others))
    return one["kind"] == other["kind"] and (2 * shared > most or one == other)


def _preparations(before: Body, after: Body) -> Iterator[Difference]:
    for name in [*after, *(name for name in before if name not in after)]:
        path: Path = ("preparations", name)
        if name not in before:
            made = _contents(after[name])
            yield Difference("added", path, name, "preparations", after=made)
        elif name not in after:
            made = _contents(before[name])
            yield Difference("removed", path, name, "preparations", before=made)
        else:
            yield from _preparation(before[name], after[name], path)
    yield from reordered([*before], [*after], ("preparations",), "preparations")


def _contents(preparation: Body) -> str:
    return listed(
        {name: _amount(line) for name, line in preparation.get("ingredients", {}).items()}
    )


def _preparation(was: Body, now: Body, path: Path) -> Iterator[Difference]:
    name = str(path[-1])
    apart = {"from", "ingredients"}
    yield from fields(_without(was, apart), _without(now, apart), path, name)
    uses = _as_lines(was["from"], "share", ALL), _as_lines(now["from"], "share", ALL)
    yield from _lines(uses[0], uses[1], (*path, "from"), name)
    lines = _ingredients(was), _ingredients(now)
    yield from _lines(lines[0], lines[1], (*path, "ingredients"), name)


def _ingredients(preparation: Body) -> dict[str, dict[str, str]]:
    return _as_lines(preparation.get("ingredients", {}), "amount", "")


def _as_lines(lines: Body, key: str, nothing: str) -> dict[str, dict[str, str]]:
    """Return lines in their long spelling, the amount under no key."""
    found = {}
    for name, line in lines.items():
        long = dict(line) if isinstance(line, dict) else {key: line}
        found[name] = {"": long.pop(key, nothing), **long}
    return found


def _amount(line: Any) -> str:
    return str(line.get("amount", "")) if isinstance(line, dict) else str(line)


def _lines(was: Body, now: Body, where: Path, part_of: str) -> Iterator[Difference]:
    renamed = dict(_renamed_lines(was, now))
    for old, new in renamed.items():
        yield Difference("renamed", (*where, new), new, part_of, old, new)
    before = {renamed.get(name, name): line for name, line in was.items()}
    for name in [*now, *(name for name in before if name not in now)]:
        path = (*where, name)
        if name not in before:
            yield Difference("added", path, name, part_of, after=_spelt(now[name]))
        elif name not in now:
            yield Difference("removed", path, name, part_of, before=_spelt(before[name]))
        else:
            for found in fields(before[name], now[name], path, part_of, prefix=name):
                whole = path if found.where[-1] == "" else found.where
                yield replace(found, where=whole)
    yield from reordered([*before], [*now], where, part_of)


def _spelt(line: Body) -> str:
    """Return a line's amount, and in brackets what else is said of it."""
    beside = listed(_without(line, {""}))
    return f"{line['']} ({beside})" if beside else str(line[""])


def _renamed_lines(was: Body, now: Body) -> Iterator[tuple[str, str]]:
    """Pair a line that went with one that came in its place and says the same of another name."""
    kept = [name for name in was if name in now]
    came = {_behind(new, now, kept): new for new in now if new not in was}
    for old in was:
        new = came.get(_behind(old, was, kept))
        if old not in now and new is not None and was[old] == now[new]:
            yield old, new


def _behind(name: str, lines: Body, kept: list[str]) -> tuple[str, int]:
    """Return behind which kept line a name stands, and how far."""
    above, distance = "", 0
    for each in lines:
        if each == name:
            break
        above, distance = (each, 0) if each in kept else (above, distance + 1)
    return above, distance


def _lines_moved(found: list[Difference]) -> Iterator[Difference]:
    """Say of a line that went from one preparation and came to another that it moved."""
    gone = {_line_of(d): d for d in found if d.kind == "removed" and _line_of(d)}
    came = {_line_of(d): d for d in found if d.kind == "added" and _line_of(d)}
    for each in found:
        name = _line_of(each)
        if each.kind == "removed" and each is gone.get(name) and name in came:
            continue
        if each.kind != "added" or each is not came.get(name) or name not in gone:
            yield each
            continue
        left = gone[name]
        yield Difference("moved", each.where, name, "", left.part_of, each.part_of)
        if left.before != each.after:
            yield difference(each.where, name, each.part_of, left.before, each.after)


def _line_of(found: Difference) -> str:
    """Return the name of the ingredient whose whole line a difference is about."""
    where = found.where
    is_line = len(where) == 4 and (where[0], where[2]) == ("preparations", "ingredients")
    return str(where[3]) if is_line else ""
