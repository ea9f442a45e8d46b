"""Kitchens side by side in words: what tells them apart, times and temperatures in each."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType

from doughwright.errors import Notice, Path, Weight
from doughwright.render.messages import remedy, where, words
from doughwright.render.numbers import (
    clock,
    duration,
    duration_band,
    given_temperature,
    temperature,
)
from doughwright.render.phrases import lever_words
from doughwright.sheets.cells import Cell
from doughwright.sheets.kitchens import (
    Change,
    Ending,
    KitchenColumn,
    KitchenComparison,
    MixInKitchen,
    SharedNotice,
)

KIND_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "stated": "as stated",
        "tested": "as it was tested",
        "usual": "as usual",
        "anchored": "tested time, moved",
        "moved": "tested time, moved by temperature",
        "model": "by the model alone",
        "unknown": "",
    }
)
"""Where a time is from, in short."""

Row = tuple[str, tuple[str, ...]]
"""A row's label and its text in each column."""


def column_titles(kitchens: Sequence[KitchenColumn]) -> tuple[str, ...]:
    """What tells each kitchen from the others: its name, the fields that were changed."""
    named = len({column.kitchen.name for column in kitchens}) > 1
    said = [
        [column.kitchen.name] * named + [_changed(change) for change in column.changes]
        for column in kitchens
    ]
    titles = ["\n".join(parts) for parts in said]
    if len(set(titles)) < len(titles):  # two documents of one name
        titles = [f"{i}. {title}".rstrip() for i, title in enumerate(titles, 1)]
    return tuple(titles)


def _changed(change: Change) -> str:
    assert change.value.value is not None
    shown = change.value.value
    if change.value.unit == "m":
        return f"{change.field} {shown:.0f} m"
    return f"{change.field} {given_temperature(shown)}"


def unchanged_kitchen(kitchens: Sequence[KitchenColumn]) -> str:
    """The kitchen that was changed, by its name, where there is one."""
    names = {column.kitchen.name for column in kitchens}
    return names.pop() if len(names) == 1 else "Each kitchen as its document has it"


def comparison_rows(sheet: KitchenComparison, widest: int = 0) -> Iterator[Row]:
    """The rows of the table; a time of more than ``widest`` letters takes two lines."""
    for mixed in sheet.mixes:
        yield f"mix {mixed.preparation}", tuple(map(_mixed, mixed.mixes))
    for wait in sheet.waits:
        yield _times(wait.label, wait.times, widest)
    yield "in all", tuple(_in_all(ending, widest) for ending in sheet.endings)
    if sheet.endings[0].starts is None:
        return
    if sheet.by_ready_time:
        yield "start", tuple(map(_start, sheet.endings))
    else:
        yield "ready", tuple(map(_ready, sheet.endings))


def _times(label: str, times: Sequence[Cell], widest: int) -> Row:
    """A step's times; whose they are stands once where that is the same in all kitchens."""
    kinds = {KIND_WORDS[cell.kind] for cell in times}
    if len(kinds) == 1:
        shown = tuple(_time(cell, widest) for cell in times)
        return "\n".join(filter(None, (label, *kinds))), shown
    said = (f"{_time(cell, widest)}\n{KIND_WORDS[cell.kind]}".rstrip() for cell in times)
    return label, tuple(said)


def _time(cell: Cell, widest: int) -> str:
    if cell.value is None:
        return "not known"
    shown = duration_band(cell)
    return shown if not widest or len(shown) <= widest else shown.replace("–", "–\n")


def _mixed(mix: MixInKitchen) -> str:
    """How warm a mix comes out, what it was to be if that is not it, and the levers."""
    assert mix.temperature.value is not None
    comes = temperature(mix.temperature.value)
    if mix.aim is not None and mix.aim.value is not None:
        aim = temperature(mix.aim.value)
        comes += f" (aim {aim})" if aim != comes else ""
    return "\n".join([comes, *map(lever_words, mix.levers)])


def _in_all(ending: Ending, widest: int) -> str:
    if ending.complete:
        return _time(ending.total, widest)
    return f"over {duration(ending.total.value or 0)}"


def _ready(ending: Ending) -> str:
    low, best, high = (
        _clock(ending, at) for at in (ending.ready_low, ending.ready, ending.ready_high)
    )
    return f"{best}\n({low}–{high})" if ending.complete else f"after {best}"


def _start(ending: Ending) -> str:
    if not ending.complete:
        return f"well before {_clock(ending, ending.starts)}"
    sure = ending.start_to_be_sure
    return f"{_clock(ending, ending.starts)}\n({_clock(ending, sure)} if slow)"


def _clock(ending: Ending, at: datetime | None) -> str:
    """A time of day, with its weekday where the plan runs past midnight."""
    known = [x.date() for x in (ending.start_to_be_sure, ending.starts, ending.ready_high) if x]
    return clock(at, day=min(known) != max(known))


@dataclass(frozen=True, slots=True)
class SaidOfKitchens:
    """What is to be taken care of, how gravely, and in which kitchens; no names where in all."""

    weight: Weight
    kitchens: str
    said: str


def said_of_kitchens(sheet: KitchenComparison) -> Iterator[SaidOfKitchens]:
    """Notices with the kitchens they are about.

    One that differs in its figures alone is said once, with the figures of the first kitchen.
    """
    titles = column_titles(sheet.kitchens)
    labels: dict[Path, str] = {("process", wait.position): wait.label for wait in sheet.waits}
    for alike in _alike(sheet.notices):
        first = alike[0].notice
        which = sorted(i for shared in alike for i in shared.kitchens)
        names = "; ".join(titles[i].replace("\n", ", ") for i in which)
        said = notice_about(first, labels.get(first.where, ""))
        said += " (The figures are those of the first.)" if len(alike) > 1 else ""
        yield SaidOfKitchens(first.weight, names if len(which) < len(titles) else "", said)


def _alike(notices: Sequence[SharedNotice]) -> Iterable[list[SharedNotice]]:
    """Notices that say the same about the same place, whatever their figures."""
    found: dict[tuple[object, ...], list[SharedNotice]] = {}
    for shared in notices:
        notice = shared.notice
        said = (word for word in notice.values.values() if isinstance(word, str))
        found.setdefault((notice.code, notice.where, *said), []).append(shared)
    return found.values()


def notice_about(notice: Notice, step: str) -> str:
    """A notice in words, after the step or the place in the document it is about."""
    place = step or where(notice).removeprefix("process, ")
    return f"{place}: {words(notice)} {remedy(notice)}".removeprefix(": ").rstrip()
