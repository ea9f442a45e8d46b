"""Sheets as text for a terminal, readable at 80 columns."""

from collections.abc import Iterable, Sequence
from io import StringIO

from rich import box
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from doughwright.errors import Notice
from doughwright.render.ingredients import ingredient_facts
from doughwright.render.messages import remedy, where, words
from doughwright.render.numbers import clock, duration_band, mass, percent
from doughwright.render.phrases import (
    CAUTIONS,
    aside,
    classic_sentence,
    division_sentences,
    figure_value,
    heading,
    how_warm,
    kitchen_line,
    left_over_sentence,
    lever_sentence,
    mix_summary,
    pieces_line,
    weight,
)
from doughwright.render.selling_phrases import cost_summary, label_summary
from doughwright.render.timings import (
    begins,
    dough_course,
    instruction,
    lasting,
    look_for,
    rise_basis,
    rise_label,
    size_band,
    total_sentences,
    usable,
    when,
)
from doughwright.sheets.bench_plan import BenchPlan, PreparationPlan
from doughwright.sheets.cells import Cell
from doughwright.sheets.dividing import DivisionSheet
from doughwright.sheets.formula import FormulaRow, FormulaSheet, PreparationTable
from doughwright.sheets.ingredients import IngredientRow
from doughwright.sheets.rises import RiseSheet
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
    steps = [n for n in plan.notices if n.where[:1] == ("process",)]
    _notices(out, [n for n in plan.notices if n not in steps], indent=0)
    _title(out, "What to weigh, and how warm")
    preferments = {p.name for p in plan.preparations if p.kind == "preferment"}
    for preparation in plan.preparations:
        _preparation(out, preparation)
    if plan.division is not None:
        _division(out, plan.division)
    _timeline(out, plan.timeline, preferments, steps)
    if plan.rises is not None:
        _rises(out, plan.rises)
    if plan.bake is not None:
        from doughwright.render.bake_text import print_bake  # noqa: PLC0415 - it builds on this

        _title(out, "The bake")
        print_bake(out, plan.bake)
    _title(out, "The formula in figures")
    table = _plain_table(("", "left"), ("", "right"))
    for figure in plan.figures:
        table.add_row(figure.name, figure_value(figure))
    out.print(Padding(table, (0, 0, 0, 2)))
    _selling(out, plan)
    _cautions(out)
    return text_of(out)


def _selling(out: Console, plan: BenchPlan) -> None:
    """Label and cost in a few lines; in full by their own commands."""
    if plan.label is not None:
        _title(out, f"On the label, {plan.label.codes}")
        for line in label_summary(plan.label):
            out.print(Padding(line, (0, 0, 0, 2)))
    if plan.cost is not None:
        _title(out, "What it costs")
        out.print(Padding(cost_summary(plan.cost), (0, 0, 0, 2)))


def _cautions(out: Console) -> None:
    _title(out, "Usual cautions")
    out.print(Padding(" ".join(CAUTIONS), (0, 0, 0, 2)))


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
    for said in (left_over_sentence(p), p.note):
        if said:
            out.print(Padding(said, (0, 0, 0, 2)))
    if p.mix is not None:
        parts = [mix_summary(p.mix), *map(lever_sentence, p.mix.levers), classic_sentence(p.mix)]
        out.print(Padding(" ".join(filter(None, parts)), (0, 0, 0, 2)))
        _notices(out, p.mix.advice, indent=2)
    _notices(out, p.notices, indent=2)


def _division(out: Console, division: DivisionSheet) -> None:
    _title(out, "Divide")
    beside = [f"{mass(b.each.value or 0.0)} {b.name}" for b in division.beside]
    each = f", each with {' and '.join(beside)}" if beside else ""
    for said in (pieces_line(division) + each, *division_sentences(division)):
        out.print(Padding(said, (0, 0, 0, 2)))


def _timeline(
    out: Console, line: Timeline, preferments: set[str], notices: Sequence[Notice]
) -> None:
    _title(out, "When")
    out.print(Padding(" ".join(total_sentences(line)), (0, 0, 0, 2)))
    out.print(Padding("▪ your hands, ░ waiting", (0, 0, 0, 2)), style="dim")
    table = _plain_table(("", "right"), ("", "fixed"), ("", "left"))
    for row in line.rows:
        _timeline_row(table, row, preferments, day=line.past_midnight)
        for notice in notices:
            if notice.where[1:] == (row.position,):
                table.add_row("", "", Text(_said(notice), style="bold"))
    out.print(Padding(table, (0, 0, 0, 2)))
    _notices(out, [n for n in notices if n.where[1:] == ()], indent=2)


def _said(notice: Notice) -> str:
    return f"{SIGNS[notice.weight]} {words(notice)} {remedy(notice)}".rstrip()


def _rises(out: Console, sheet: RiseSheet) -> None:
    _title(out, "How it rises")
    out.print(Padding(rise_basis(sheet), (0, 0, 0, 2)))
    heads = (("", "fixed"), ("takes", "left"), ("good from … to", "left"), ("dough", "right"))
    table = _plain_table(*heads, ("size", "right"), header=True)
    for row in sheet.rows:
        takes = duration_band(row.lasts)
        table.add_row(rise_label(row), takes, usable(row), dough_course(row), size_band(row.size))
    out.print(Padding(table, (0, 0, 0, 2)))
    for line in rise_picture(sheet, out.width - 14):
        out.print(Padding(line, (0, 0, 0, 2)))


BARS = "▁▂▃▄▅▆▇█"


def rise_picture(sheet: RiseSheet, width: int) -> tuple[str, str]:
    """Size and temperature of the dough against time, as two lines of bars."""
    points = [point for row in sheet.rows for point in row.points]
    first, last = points[0].time, points[-1].time
    columns = [first + (last - first) * i / (width - 1) for i in range(width)]
    nearest = [min(points, key=lambda p, t=t: abs(p.time - t)) for t in columns]  # type: ignore[misc]  # t bound
    sizes, temperatures = [p.size for p in nearest], [p.temperature for p in nearest]
    return f"size    {_bars(sizes)}", f"warmth  {_bars(temperatures)}"


def _bars(values: Sequence[float]) -> str:
    low, high = min(values), max(values)
    span = high - low or 1.0
    return "".join(BARS[round((value - low) / span * (len(BARS) - 1))] for value in values)


def _when(row: TimelineRow, *, day: bool) -> str:
    """When a step begins, with its weekday if the plan runs past midnight."""
    if not day or row.clock_begins is None:
        return when(row)
    return when(row).replace(begins(row), clock(row.clock_begins, day=True))


def _timeline_row(table: Table, row: TimelineRow, preferments: set[str], *, day: bool) -> None:
    said = Text(f"{'  ' if row.inside is not None else ''}{instruction(row)} ")
    if row.lasts.value != 0:
        said.append(lasting(row), style="bold" if row.hands_on else "")
    looks = look_for(row, preferment=row.of in preferments)
    if looks:
        said.append(f", {looks}" if row.lasts.value != 0 else looks)
    said.append(".")
    if row.note:
        said.append(f" {row.note}", style="dim")
    table.add_row(_when(row, day=day), "▪" if row.hands_on else "░", said)


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
        figures.add_row(figure.name, figure_value(figure))
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
    rows: Sequence[IngredientRow], *, facts: bool = False, width: int = WIDTH, colour: bool = False
) -> str:
    """The ingredient list as a table; with ``facts``, a line below for what else is known."""
    out = console(width, colour=colour)
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False)
    for head in ("name", "kind", "water", "counted", "fat", "salt", "source"):
        right = head in {"water", "counted", "fat", "salt"}
        table.add_column(head, justify="right" if right else "left", overflow="fold")
    for row in rows:
        cells = (row.water, row.counted_water, row.fat, row.salt)
        table.add_row(row.name, row.kind, *map(_ratio_cell, cells), row.source)
    out.print(table)
    if facts:
        out.print()
        for row in rows:
            if known := ingredient_facts(row):
                out.print(Text(f"{row.name}: {known}."))
    return text_of(out)


def _ratio_cell(cell: Cell | None) -> str:
    return "?" if cell is None or cell.value is None else f"{cell.value * 100:.1f} %"


def notice_line(notice: Notice) -> str:
    """One notice on one line, with where it is about."""
    path = where(notice)
    return f"{SIGNS[notice.weight]} {f'{path}: ' if path else ''}{words(notice)} {remedy(notice)}"
