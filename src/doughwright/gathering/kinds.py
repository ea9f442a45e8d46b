"""Words that may mean several ingredients, asked once where several lines say the same."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from doughwright.errors import Notice
from doughwright.gathering.drafted import line_of
from doughwright.gathering.gathered import Doubt, Item

_TYPE = re.compile(r"\b(?:t\s?)?\d{2,4}\b", re.IGNORECASE)


def kind_key(item: Item) -> str:
    """The key of the question for all lines that say the same word; flours of two types are two.

    >>> from doughwright.gathering.gathered import Origin
    >>> kind_key(Item("milk", None, Origin("pasted text", 3, "milk")))
    'kind of milk'
    """
    kind = _TYPE.search(item.note) if item.name.endswith("flour") else None
    words = f"{item.name} {kind[0] if kind else ''}".casefold()
    return f"kind of {' '.join(re.sub('[:=]', ' ', words).split())}"


def kind_given(item: Item, key: str, answers: Mapping[str, str]) -> str:
    """What was answered to a line's own question, or to the one for all that say the same."""
    return answers.get(f"{key}:kind") or answers.get(kind_key(item), "")


def together(doubts: Iterable[Doubt], answers: Mapping[str, str]) -> Iterator[Doubt]:
    """The doubts, with one question for all lines that share it; a line's own answer stays its own.

    The key of each line is still taken.
    """
    every = tuple(doubts)
    groups: dict[str, list[Doubt]] = {}
    for doubt in every:
        if doubt.shared:
            groups.setdefault(doubt.shared, []).append(doubt)
    for doubt in every:
        group = groups.get(doubt.shared, [])
        is_alone = len(group) < 2 and doubt.shared not in answers
        if not doubt.shared or is_alone or doubt.key in answers:
            yield doubt
        if group and doubt is group[0] and not is_alone:
            yield from _for_all(group, answers)


def _for_all(group: list[Doubt], answers: Mapping[str, str]) -> Iterator[Doubt]:
    """The one question, unless every line has its own answer and nobody gave one for all."""
    first, shared = group[0], group[0].shared
    left = [doubt for doubt in group if doubt.key not in answers]
    if not left and shared not in answers:
        return
    lines = ", ".join(dict.fromkeys(doubt.key.partition(":")[0] for doubt in left))
    name = first.notice.values["name"]
    given = answers.get(shared, "")
    yield replace(
        first,
        key=shared,
        notice=Notice.of("gather-which-all", name=name, lines=lines) if lines else first.notice,
        answer=given if any(choice.key == given for choice in first.choices) else "",
        blocks=any(doubt.blocks for doubt in left),
        lines=tuple(line_of(doubt) for doubt in left),
    )
