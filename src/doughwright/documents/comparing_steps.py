"""Steps of two processes compared: matched by what is done to what, in their order."""

from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher

from doughwright.documents.comparing import Body, Difference, fields, listed
from doughwright.documents.names import numbered

Pair = tuple[int, int]


def step_differences(was: Sequence[Body], now: Sequence[Body]) -> Iterator[Difference]:
    """Return what changed in a process: steps that came, went, moved, and their conditions."""
    pairs, moved = _matched([_deed(step) for step in was], [_deed(step) for step in now])
    labels, old_labels = _labels(now), _labels(was)
    matched = {j: i for i, j in [*pairs, *moved]}
    stayed = {j for _, j in pairs}
    for j, step in enumerate(now):
        if j not in matched:
            rest = listed(_conditions(step))
            yield Difference("added", ("process", j), labels[j], "process", after=rest)
            continue
        if j not in stayed:
            ahead = labels[j - 1] if j else ""
            yield Difference("moved", ("process", j), labels[j], "process", after=ahead)
        before = _conditions(was[matched[j]])
        yield from fields(before, _conditions(step), ("process", j), labels[j])
    for i in sorted({*range(len(was))} - {*matched.values()}):
        rest = listed(_conditions(was[i]))
        yield Difference("removed", ("process", i), old_labels[i], "process", before=rest)


def _matched(was: list[str], now: list[str]) -> tuple[list[Pair], list[Pair]]:
    """Pair steps that stand in the same order, and the others that do the same."""
    blocks = SequenceMatcher(None, was, now, autojunk=False).get_matching_blocks()
    pairs = [(block.a + k, block.b + k) for block in blocks for k in range(block.size)]
    left = [i for i in range(len(was)) if i not in {i for i, _ in pairs}]
    moved = []
    for j in sorted({*range(len(now))} - {j for _, j in pairs}):
        same = next((i for i in left if was[i] == now[j]), None)
        if same is not None:
            left.remove(same)
            moved.append((same, j))
    return pairs, moved


def _deed(step: Body) -> str:
    """Return what is done to what: the verb, which comes first, and its object."""
    verb = next(iter(step))
    return f"{verb} {step[verb]}"


def _conditions(step: Body) -> Body:
    return {key: value for i, (key, value) in enumerate(step.items()) if i}


def _labels(steps: Sequence[Body]) -> list[str]:
    """Name each step; of several that do the same, say which."""
    return list(numbered([_deed(step) for step in steps]))
