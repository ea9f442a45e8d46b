"""Sheets that lay one thing beside another, as text: kitchens, and yeast as it was and is."""

from collections.abc import Iterator, Sequence
from textwrap import wrap

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from doughwright.engine.weighing import smallest_honest_weight
from doughwright.errors import Path
from doughwright.render.kitchen_words import (
    KIND_WORDS,
    Row,
    column_titles,
    comparison_rows,
    notice_about,
    said_of_kitchens,
    unchanged_kitchen,
)
from doughwright.render.numbers import (
    duration,
    duration_band,
    fine_mass,
    given_temperature,
    percent,
)
from doughwright.render.phrases import weight
from doughwright.render.text import SIGNS, WIDTH, console, text_of
from doughwright.sheets.cells import Cell
from doughwright.sheets.kitchens import KitchenComparison
from doughwright.sheets.weighing import WeighLine
from doughwright.sheets.yeast import YeastLine, YeastSheet

NARROW = 19
"""Most letters in a line of a kitchen's column; longer words are broken over lines."""

LABEL = 22
GAP = 2


def kitchens_text(sheet: KitchenComparison, *, width: int = WIDTH, colour: bool = False) -> str:
    """One formula in several kitchens; as many tables as it takes to stay within the width."""
    out = console(width, colour=colour)
    out.print(Text(f"{sheet.name} in {len(sheet.kitchens)} kitchens", style="bold"))
    out.print(unchanged_kitchen(sheet.kitchens), style="dim")
    titles = column_titles(sheet.kitchens)
    rows = [("", titles), *comparison_rows(sheet, NARROW)]
    for first, last in column_groups(rows, width):
        out.print()
        out.print(_table(rows, first, last))
    out.print()
    for said in said_of_kitchens(sheet):
        line = Text(f"{SIGNS[said.weight]} ")
        line.append(f"{said.kitchens}: " if said.kitchens else "", style="bold")
        line.append(said.said)
        out.print(line)
    if sheet.notices:
        out.print()
    out.print("What to weigh stands in the plan of one kitchen.", style="dim")
    return text_of(out)


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
        out.print(Text(f"{SIGNS[notice.weight]} {notice_about(notice, about)}"))
    return text_of(out)


def _kitchen(sheet: YeastSheet) -> str:
    assert sheet.room.value is not None
    assumed = " (assumed)" if sheet.room.kind == "assumed" else ""
    return f"{sheet.kitchen}: room {given_temperature(sheet.room.value)}{assumed}"


def _asked(sheet: YeastSheet) -> str:
    assert sheet.wanted.value is not None
    goal = "ripe" if sheet.until == "ripe" else f"{sheet.until[:-1]} times its size"
    at = ""
    if sheet.place is not None and sheet.place.value is not None:
        at = f" at {given_temperature(sheet.place.value)}"
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
