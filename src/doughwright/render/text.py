"""Sheets as text for a terminal, readable at 80 columns."""

from collections.abc import Iterable
from io import StringIO

from rich import box
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from doughwright.errors import Notice
from doughwright.render.messages import remedy, where, words
from doughwright.render.numbers import (
    clock,
    duration,
    duration_band,
    mass,
    percent,
    ratio_band,
    temperature,
)
from doughwright.render.phrases import (
    aside,
    classic_sentence,
    heading,
    how_warm,
    instruction,
    lasting,
    lever_sentence,
    mix_summary,
    until,
    weight,
)
from doughwright.sheets.bench_plan import BenchPlan, KitchenSheet, PreparationPlan
from doughwright.sheets.cells import Cell
from doughwright.sheets.dividing import DivisionSheet
from doughwright.sheets.formula import FormulaRow, FormulaSheet, PreparationTable
from doughwright.sheets.ingredients import IngredientRow
from doughwright.sheets.timeline import Timeline, TimelineRow

WIDTH = 80
SIGNS = {"note": "·", "care": "!", "stop": "✗"}


def console(width: int = WIDTH, *, colour: bool = False) -> Console:
    """A console that writes to memory; :func:`text_of` takes it out."""
    return Console(
        file=StringIO(),
        width=width,
        force_terminal=colour,
        no_color=not colour,
        highlight=False,
        emoji=False,
        markup=False,
    )


def text_of(out: Console) -> str:
    """All that was written, without blanks at the ends of lines."""
    assert isinstance(out.file, StringIO)
    return "\n".join(line.rstrip() for line in out.file.getvalue().splitlines()) + "\n"


def _plain_table(*columns: tuple[str, str], header: bool = False) -> Table:
    table = Table(box=None, show_header=header, pad_edge=False, padding=(0, 2, 0, 0))
    for name, justify in columns:
        if justify == "right":
            table.add_column(name, justify="right", no_wrap=True, header_style="dim")
        elif justify == "fixed":
            table.add_column(name, no_wrap=True, header_style="dim")
        else:
            table.add_column(name, overflow="fold", header_style="dim")
    return table


def _title(out: Console, text: str) -> None:
    out.print()
    out.print(Text(text, style="bold"))


def bench_plan_text(plan: BenchPlan, *, width: int = WIDTH, colour: bool = False) -> str:
    """A bench plan, to be read from top to bottom while working."""
    out = console(width, colour=colour)
    out.print(Text(plan.name, style="bold"))
    out.print(kitchen_line(plan.kitchen), style="dim")
    if plan.note:
        out.print(plan.note)
    _notices(out, plan.notices, indent=0)
    _title(out, "What to weigh, and how warm")
    preferments = {p.name for p in plan.preparations if p.kind == "preferment"}
    for preparation in plan.preparations:
        _preparation(out, preparation)
    if plan.division is not None:
        _division(out, plan.division)
    _timeline(out, plan.timeline, preferments)
    _title(out, "The formula in figures")
    table = _plain_table(("", "left"), ("", "right"))
    for figure in plan.figures:
        table.add_row(figure.name, _figure(figure.name, figure.cell))
    out.print(Padding(table, (0, 0, 0, 2)))
    _cautions(out)
    return text_of(out)


def _figure(name: str, cell: Cell) -> str:
    return f"{cell.value:.3f}" if name == "dough yield" else ratio_band(cell)


CAUTIONS = (
    "Raw flour and raw egg are not for tasting.",
    "Ovens, trays and steam burn.",
    "Read the packets for allergens.",
    "Where you sell or serve, your local food code goes before this plan.",
)
"""The usual cautions; they stand on every plan."""


def _cautions(out: Console) -> None:
    _title(out, "Usual cautions")
    out.print(Padding(" ".join(CAUTIONS), (0, 0, 0, 2)))


def kitchen_line(kitchen: KitchenSheet) -> str:
    """The kitchen in one line; what was assumed is marked."""
    named = (("room", kitchen.room), ("flour", kitchen.flour), ("fridge", kitchen.fridge))
    said = [f"{word} {_said(cell)}" for word, cell in named]
    return f"{kitchen.name}: {', '.join(said)}"


def _said(cell: Cell) -> str:
    assert cell.value is not None
    mark = " (assumed)" if cell.kind == "assumed" else ""
    return f"{temperature(cell.value)}{mark}"


def _notices(out: Console, notices: Iterable[Notice], *, indent: int) -> None:
    for notice in notices:
        sign = SIGNS[notice.weight]
        style = "" if notice.weight == "note" else "bold"
        said = Text(f"{sign} {words(notice)}", style=style)
        advice = remedy(notice)
        if advice:
            said.append(f" {advice}", style="not bold")
        out.print(Padding(said, (0, 0, 0, indent)))


def _preparation(out: Console, p: PreparationPlan) -> None:
    out.print()
    out.print(Text(heading(p), style="underline"))
    table = _plain_table(("weight", "right"), ("what", "left"), ("how warm", "left"))
    for line in p.lines:
        beside = aside(line)
        name = f"{line.name} ({beside})" if beside else line.name
        table.add_row(Text(weight(line), style="bold"), name, how_warm(line))
    assert p.weight.value is not None
    table.add_row(mass(p.weight.value), "in all", "", style="dim")
    out.print(Padding(table, (0, 0, 0, 2)))
    if p.left_over is not None and p.left_over.value:
        out.print(Padding(f"{mass(p.left_over.value)} of it is left over.", (0, 0, 0, 2)))
    if p.note:
        out.print(Padding(p.note, (0, 0, 0, 2)))
    if p.mix is not None:
        said = [mix_summary(p.mix), *map(lever_sentence, p.mix.levers), classic_sentence(p.mix)]
        out.print(Padding(" ".join(filter(None, said)), (0, 0, 0, 2)))
        _notices(out, p.mix.advice, indent=2)
    _notices(out, p.notices, indent=2)


def _division(out: Console, division: DivisionSheet) -> None:
    _title(out, "Divide")
    assert division.piece.value is not None
    assert division.spare.value is not None
    said = f"{division.pieces} × {mass(division.piece.value)}"
    beside = [f"{mass(b.each.value or 0.0)} {b.name}" for b in division.beside]
    if beside:
        said += f", each with {' and '.join(beside)}"
    out.print(Padding(said, (0, 0, 0, 2)))
    if division.spare.value > 0:
        spare = f"{mass(division.spare.value)} is spared for what stays on bowl, hands and bench."
        out.print(Padding(spare, (0, 0, 0, 2)))
    if division.remainder.value and division.even is not None and division.even.value:
        left = mass(division.remainder.value)
        even = mass(division.even.value)
        out.print(Padding(f"{left} is left; {even} each leaves nothing.", (0, 0, 0, 2)))


def _timeline(out: Console, line: Timeline, preferments: set[str]) -> None:
    _title(out, "When")
    out.print(Padding(total_line(line), (0, 0, 0, 2)))
    table = _plain_table(("", "right"), ("", "fixed"), ("", "left"))
    for row in line.rows:
        _timeline_row(table, row, preferments, day=line.past_midnight)
    out.print(Padding(table, (0, 0, 0, 2)))


def total_line(line: Timeline) -> str:
    """From when to when, and how much of it takes hands."""
    day = line.past_midnight
    hands = duration(line.hands_on.value or 0.0)
    said = f"About {duration_band(line.total)} in all, {hands} of it by hand (▪)."
    if line.ready is not None:
        said = (
            f"Start {clock(line.starts, day=day)}, ready about {clock(line.ready, day=day)} "
            f"({clock(line.ready_low)}–{clock(line.ready_high)}). {said}"
        )
    if line.start_to_be_sure is not None:
        early = clock(line.start_to_be_sure, day=day)
        said += f" To be ready in time even if it is slow, start at {early}."
    if not line.complete:
        said += " Some times are not stated: later ones are not before the time shown."
    return said


def when(row: TimelineRow, *, day: bool = False) -> str:
    """Clock time of a step's beginning, or the time since the first step."""
    at = clock(row.clock_begins, day=day) if row.clock_begins is not None else elapsed(row.begins)
    return f"≥ {at}" if row.unsure_before else at


def elapsed(seconds: float) -> str:
    """Hours and minutes since the first step.

    >>> elapsed(5400.0)
    '1:30'
    """
    hours, minutes = divmod(round(seconds / 60), 60)
    return f"{hours}:{minutes:02d}"


def _timeline_row(table: Table, row: TimelineRow, preferments: set[str], *, day: bool) -> None:
    said = Text(f"{'  ' if row.inside is not None else ''}{instruction(row)} ")
    if row.lasts.value != 0:
        said.append(lasting(row), style="bold" if row.hands_on else "")
    looks = until(row, preferment=row.of in preferments)
    if looks:
        joined = ", until " if not row.hands_on and row.core is None else ", "
        said.append(f"{joined}{looks}" if row.lasts.value != 0 else looks)
    said.append(".")
    if row.note:
        said.append(f" {row.note}", style="dim")
    table.add_row(when(row, day=day), "▪" if row.hands_on else "░", said)


def formula_text(sheet: FormulaSheet, *, width: int = WIDTH, colour: bool = False) -> str:
    """The percentage tables of a formula."""
    out = console(width, colour=colour)
    out.print(Text(sheet.name, style="bold"))
    assert sheet.total_flour.value is not None
    assert sheet.dough.value is not None
    made = f"{mass(sheet.total_flour.value)} flour, {mass(sheet.dough.value)} dough"
    if sheet.pieces and sheet.piece is not None and sheet.piece.value:
        made += f", {sheet.pieces} × {mass(sheet.piece.value)}"
    out.print(made, style="dim")
    _notices(out, sheet.notices, indent=0)
    _title(out, "Overall, on total flour")
    out.print(_formula_table(sheet.overall, ("", "g", "%", "% of dough")))
    for table in sheet.preparations:
        _preparation_table(out, table)
    _title(out, "Figures")
    figures = _plain_table(("", "left"), ("", "right"))
    for figure in sheet.figures:
        figures.add_row(figure.name, _figure(figure.name, figure.cell))
    out.print(figures)
    return text_of(out)


def _preparation_table(out: Console, p: PreparationTable) -> None:
    style = f", {p.style}" if p.style and p.style != p.name else ""
    used = f"; {percent(p.used.value)} of it is used" if p.used and p.used.value else ""
    _title(out, f"{p.name} ({p.kind}{style}){used}")
    base = p.rows[0].local_base if p.rows else "weight"
    out.print(_formula_table(p.rows, ("", "g", "% of total flour", f"% of its {base}")))


def _formula_table(rows: Iterable[FormulaRow], heads: tuple[str, str, str, str]) -> Table:
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False)
    for index, head in enumerate(heads):
        table.add_column(head, justify="right" if index else "left", no_wrap=bool(index))
    for row in rows:
        assert row.mass.value is not None
        assert row.local.value is not None
        overall = percent(row.overall.value)[:-2] if row.overall and row.overall.value else ""
        grams = f"{row.mass.value * 1000:.1f}"
        table.add_row(row.name, grams, overall, percent(row.local.value)[:-2])
    return table


def ingredients_text(
    rows: Iterable[IngredientRow], *, width: int = WIDTH, colour: bool = False
) -> str:
    """The ingredient list as a table."""
    out = console(width, colour=colour)
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False)
    for head in ("name", "kind", "water", "counted", "fat", "salt", "source"):
        right = head in {"water", "counted", "fat", "salt"}
        table.add_column(head, justify="right" if right else "left", overflow="fold")
    for row in rows:
        cells = (row.water, row.counted_water, row.fat, row.salt)
        table.add_row(row.name, row.kind, *map(_ratio_cell, cells), row.source)
    out.print(table)
    return text_of(out)


def _ratio_cell(cell: Cell | None) -> str:
    return "?" if cell is None or cell.value is None else f"{cell.value * 100:.1f} %"


def notice_line(notice: Notice) -> str:
    """One notice on one line, with where it is about."""
    path = where(notice)
    return f"{SIGNS[notice.weight]} {f'{path}: ' if path else ''}{words(notice)} {remedy(notice)}"
