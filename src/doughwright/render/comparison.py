"""Sheets that lay one thing beside another, as text: kitchens, and yeast as it was and is."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from textwrap import wrap
from types import MappingProxyType

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from doughwright.engine.weighing import smallest_honest_weight
from doughwright.errors import Notice, Path
from doughwright.render.messages import remedy, where, words
from doughwright.render.numbers import (
    clock,
    duration,
    duration_band,
    fine_mass,
    percent,
    temperature,
)
from doughwright.render.phrases import lever_words, weight
from doughwright.render.text import SIGNS, WIDTH, console, text_of
from doughwright.sheets.cells import Cell
from doughwright.sheets.kitchens import (
    Change,
    Ending,
    KitchenColumn,
    KitchenComparison,
    MixInKitchen,
    SharedNotice,
)
from doughwright.sheets.weighing import WeighLine
from doughwright.sheets.yeast import YeastLine, YeastSheet
from doughwright.units import ICE_POINT, Kelvin

NARROW = 19
"""Most letters in a line of a kitchen's column; longer words are broken over lines."""

LABEL = 22
GAP = 2

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


def kitchens_text(sheet: KitchenComparison, *, width: int = WIDTH, colour: bool = False) -> str:
    """One formula in several kitchens; as many tables as it takes to stay within the width."""
    out = console(width, colour=colour)
    out.print(Text(f"{sheet.name} in {len(sheet.kitchens)} kitchens", style="bold"))
    out.print(_unchanged(sheet.kitchens), style="dim")
    titles = column_titles(sheet.kitchens)
    rows = [("", titles), *_rows(sheet)]
    for first, last in column_groups(rows, width):
        out.print()
        out.print(_table(rows, first, last))
    out.print()
    for said in _shared(sheet, titles):
        out.print(said)
    if sheet.notices:
        out.print()
    out.print("What to weigh stands in the plan of one kitchen.", style="dim")
    return text_of(out)


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
    return f"{change.field} {temperature(shown, 0 if _whole(shown) else 1)}"


def _whole(kelvin: Kelvin) -> bool:
    """Whether a temperature is a whole number of °C."""
    return abs(kelvin - ICE_POINT - round(kelvin - ICE_POINT)) < 0.05


def _unchanged(kitchens: Sequence[KitchenColumn]) -> str:
    """The kitchen that was changed, by its name, where there is one."""
    names = {column.kitchen.name for column in kitchens}
    return names.pop() if len(names) == 1 else "Each kitchen as its document has it"


def _rows(sheet: KitchenComparison) -> Iterator[Row]:
    for mixed in sheet.mixes:
        yield f"mix {mixed.preparation}", tuple(map(_mixed, mixed.mixes))
    for wait in sheet.waits:
        yield _times(wait.label, wait.times)
    yield "in all", tuple(map(_in_all, sheet.endings))
    if sheet.endings[0].starts is None:
        return
    if sheet.by_ready_time:
        yield "start", tuple(map(_start, sheet.endings))
    else:
        yield "ready", tuple(map(_ready, sheet.endings))


def _times(label: str, times: Sequence[Cell]) -> Row:
    """A step's times; whose they are stands once where that is the same in all kitchens."""
    kinds = {KIND_WORDS[cell.kind] for cell in times}
    if len(kinds) == 1:
        return "\n".join(filter(None, (label, *kinds))), tuple(map(_time, times))
    said = (f"{_time(cell)}\n{KIND_WORDS[cell.kind]}".rstrip() for cell in times)
    return label, tuple(said)


def _time(cell: Cell) -> str:
    if cell.value is None:
        return "not known"
    shown = duration_band(cell)
    return shown if len(shown) <= NARROW else shown.replace("–", "–\n")


def _mixed(mix: MixInKitchen) -> str:
    """How warm a mix comes out, what it was to be if that is not it, and the levers."""
    assert mix.temperature.value is not None
    comes = temperature(mix.temperature.value)
    if mix.aim is not None and mix.aim.value is not None:
        aim = temperature(mix.aim.value)
        comes += f" (aim {aim})" if aim != comes else ""
    return "\n".join([comes, *map(lever_words, mix.levers)])


def _in_all(ending: Ending) -> str:
    return _time(ending.total) if ending.complete else f"over {duration(ending.total.value or 0)}"


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


def _broken(text: str) -> list[str]:
    """Lines of a cell, none longer than a column is wide unless it is one word."""
    lines = (wrap(line, NARROW, break_long_words=False) or [""] for line in text.splitlines())
    return [part for line in lines for part in line]


def column_groups(rows: Sequence[Row], width: int) -> Iterator[tuple[int, int]]:
    """Which columns stand together in one table: from, and up to but without."""
    room = width - LABEL
    taken, first = 0, 0
    widths = [
        GAP + max(len(line) for _, cells in rows for line in _broken(cells[i]) or [""])
        for i in range(len(rows[0][1]))
    ]
    for i, wide in enumerate(widths):
        if taken + wide > room and i > first:
            yield first, i
            taken, first = 0, i
        taken += wide
    yield first, len(widths)


def _table(rows: Sequence[Row], first: int, last: int) -> Table:
    table = Table(box=None, show_header=False, pad_edge=False, padding=(0, GAP, 0, 0))
    table.add_column(width=LABEL - GAP, overflow="fold")
    for _ in range(first, last):
        table.add_column(no_wrap=True)
    for label, cells in rows:
        head, *kind = label.split("\n")
        said = Text(head)
        said.append("".join(f"\n{line}" for line in kind), style="dim")
        style = "" if label else "bold"
        shown = (Text("\n".join(_broken(cell)), style=style) for cell in cells[first:last])
        table.add_row(said, *shown)
        if label != rows[-1][0]:
            table.add_row()
    return table


def _shared(sheet: KitchenComparison, titles: Sequence[str]) -> Iterator[Text]:
    """Notices with the kitchens they are about; where all are, none is named.

    One that differs in its figures alone is said once, with the figures of the first kitchen.
    """
    labels: dict[Path, str] = {("process", wait.position): wait.label for wait in sheet.waits}
    for alike in _alike(sheet.notices):
        first = alike[0].notice
        which = sorted(i for shared in alike for i in shared.kitchens)
        said = Text(f"{SIGNS[first.weight]} ")
        if len(which) < len(titles):
            names = "; ".join(titles[i].replace("\n", ", ") for i in which)
            said.append(f"{names}: ", style="bold")
        said.append(_about(first, labels.get(first.where, "")))
        if len(alike) > 1:
            said.append(" (The figures are those of the first.)")
        yield said


def _alike(notices: Sequence[SharedNotice]) -> Iterable[list[SharedNotice]]:
    """Notices that say the same about the same place, whatever their figures."""
    found: dict[tuple[object, ...], list[SharedNotice]] = {}
    for shared in notices:
        notice = shared.notice
        said = (word for word in notice.values.values() if isinstance(word, str))
        found.setdefault((notice.code, notice.where, *said), []).append(shared)
    return found.values()


def _about(notice: Notice, about: str) -> str:
    """A notice in words, after the step or the place in the document it is about."""
    place = about or where(notice).removeprefix("process, ")
    return f"{place}: {words(notice)} {remedy(notice)}".removeprefix(": ").rstrip()


def yeast_text(sheet: YeastSheet, *, width: int = WIDTH, colour: bool = False) -> str:
    """How much yeast, and what it does to every rise."""
    out = console(width, colour=colour)
    out.print(Text(f"{sheet.name}: how much yeast", style="bold"))
    out.print(_kitchen(sheet), style="dim")
    out.print(_asked(sheet))
    for table in (_yeast_table(sheet.lines), _rise_table(sheet)):
        out.print()
        out.print(Padding(table, (0, 0, 0, 2)))
    out.print()
    out.print(_answer(sheet))
    labels: dict[Path, str] = {("process", rise.position): rise.label for rise in sheet.rises}
    for notice in sheet.notices:
        about = labels.get(notice.where, "")
        out.print(Text(f"{SIGNS[notice.weight]} {_about(notice, about)}"))
    return text_of(out)


def _kitchen(sheet: YeastSheet) -> str:
    assert sheet.room.value is not None
    assumed = " (assumed)" if sheet.room.kind == "assumed" else ""
    return f"{sheet.kitchen}: room {temperature(sheet.room.value)}{assumed}"


def _asked(sheet: YeastSheet) -> str:
    assert sheet.wanted.value is not None
    goal = "ripe" if sheet.until == "ripe" else f"{sheet.until[:-1]} times its size"
    at = ""
    if sheet.place is not None and sheet.place.value is not None:
        at = f" at {temperature(sheet.place.value)}"
    return f"To {sheet.step}{at} until {goal} in {duration(sheet.wanted.value)}:"


def _yeast_table(lines: Sequence[YeastLine]) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, GAP, 0, 0))
    for head in ("", "", "as written", "", "to take", ""):
        table.add_column(head, justify="right" if head or table.columns[1:] else "left")
    for line in lines:
        shown = (*_weight_and_share(line.now), *_weight_and_share(line.then))
        table.add_row(line.preparation, line.name, *shown)
    return table


def _weight_and_share(line: WeighLine) -> tuple[str, str]:
    share = line.overall.value if line.overall is not None else None
    return _weighed(line), percent(share) if share is not None else ""


def _rise_table(sheet: YeastSheet) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, GAP, 0, 0))
    for head in ("", "as written", "with this yeast"):
        table.add_column(head, justify="right" if head else "left", no_wrap=True)
    for rise in sheet.rises:
        style = "bold" if rise.asked else ""
        table.add_row(rise.label, _rise_time(rise.now), _rise_time(rise.then), style=style)
    table.add_row("in all", _rise_time(sheet.total_now), _rise_time(sheet.total_then))
    return table


def _rise_time(cell: Cell) -> str:
    return duration_band(cell) if cell.value is not None else "not known"


def _answer(sheet: YeastSheet) -> str:
    """How much that is, counted as fresh yeast, and by what the time is known."""
    assert sheet.factor.value is not None
    assert sheet.fresh_now.value is not None
    assert sheet.fresh_then.value is not None
    now, then = percent(sheet.fresh_now.value), percent(sheet.fresh_then.value)
    about = duration(sheet.time.value or 0.0)
    return (
        f"That is {sheet.factor.value:.3g} times the yeast; counted as fresh yeast {then} of the "
        f"flour, as written {now}. All other weights stay. The time is about {about} "
        f"({KIND_WORDS[sheet.time.kind]}), and may be anywhere in its band."
    )


def _weighed(line: WeighLine) -> str:
    """What the scale is to show, or what is wanted where the scale is too coarse for it."""
    wanted, step = line.wanted.value or 0.0, line.step.value or 0.001
    return fine_mass(wanted) if wanted < smallest_honest_weight(step) else weight(line)
