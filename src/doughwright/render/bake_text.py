"""The bake as text for a terminal: a table of bakes, and what the first one is like."""

from collections.abc import Iterator
from textwrap import wrap

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from doughwright.errors import Notice
from doughwright.render.bake_phrases import (
    altitudes_differ,
    basis,
    binding_sentence,
    colour_words,
    criterion_time,
    crust_words,
    goal_words,
    heat_words,
    in_order_of_time,
    last_sign,
    loss_band,
    oven_words,
    probe_sentence,
    row_name,
    sizes_sentence,
    wanted_sentence,
    weight_band,
)
from doughwright.render.messages import remedy, words
from doughwright.render.numbers import duration_band, mass
from doughwright.render.phrases import CAUTIONS
from doughwright.render.text import SIGNS, WIDTH, console, text_of
from doughwright.render.timings import oven
from doughwright.sheets.bake import BakeRow, BakeSheet, CriterionRow

INDENT = 2


def bake_text(sheet: BakeSheet, *, width: int = WIDTH, colour: bool = False) -> str:
    """A formula's bake and its variations."""
    out = console(width, colour=colour)
    out.print(Text(f"{sheet.name}: the bake", style="bold"))
    out.print(sheet.kitchen, style="dim")
    out.print()
    out.print(basis(sheet))
    out.print()
    out.print(_table(sheet))
    out.print()
    if sheet.wanted is not None:
        out.print(wanted_sentence(sheet.wanted))
        out.print()
    if sizes_sentence(sheet):
        out.print(sizes_sentence(sheet))
        out.print()
    first = sheet.rows[0]
    out.print(Text(row_name(first), style="bold"))
    for line in _lines(sheet):
        _indented(out, line)
    for sign, said in _remarks(sheet):
        out.print(_remark(sign, said, width))
    out.print()
    for caution in CAUTIONS:
        out.print(caution, style="dim")
    return text_of(out)


def print_bake(out: Console, sheet: BakeSheet) -> None:
    """The bake as it stands in a plan; its notices stand at its step."""
    row = sheet.rows[0]
    _indented(out, basis(sheet))
    _indented(out, f"{row_name(row)}: {duration_band(row.lasts)}.")
    for line in _lines(sheet):
        _indented(out, line)


def _lines(sheet: BakeSheet) -> Iterator[str]:
    """What is seen of the first bake, a line each."""
    row = sheet.rows[0]
    if row.written is not None:
        yield f"The formula says {oven(row.written)}."
    yield binding_sentence(row)
    signs = (f"{goal_words(c)} {_at(c)}" for c in in_order_of_time(row))
    yield f"Signs: {', '.join(signs)}."
    if sheet.probe is not None:
        yield probe_sentence(sheet.probe)
    if row.baked.value is not None:
        lost = f"{loss_band(row.loss)} lost"
        if row.filling is not None:
            lost += f" ({loss_band(row.dough_loss)} of the dough)"
        parts = [f"Out comes {weight_band(row.baked)} a piece", lost, crust_words(row.crust)]
        parts += [colour_words(row.colour)]
        yield f"{', '.join(filter(None, parts))}."
    if heat_words(row):
        yield f"Heat from the oven: {heat_words(row)}."


def _at(sign: CriterionRow) -> str:
    said = criterion_time(sign)
    return said if sign.time.value is None else f"at {said}"


def _table(sheet: BakeSheet) -> Table:
    """The bakes, a row each."""
    high = altitudes_differ(sheet)
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
    for title in ("pieces", "oven", *(["altitude"] if high else [])):
        table.add_column(title)
    for title in ("takes", "last sign", "water lost", "baked"):
        table.add_column(title, no_wrap=title == "takes")
    for row in sheet.rows:
        table.add_row(*_cells(row, high=high))
    return table


def _cells(row: BakeRow, *, high: bool) -> list[str]:
    assert row.piece.value is not None
    cells = [f"{row.pieces} × {mass(row.piece.value)}"]
    cells.append(f"{oven_words(row)}{', from cold' if row.cold_start else ''}")
    if high:
        cells.append(f"{row.altitude.value or 0:.0f} m")
    takes = duration_band(row.lasts) if row.lasts.value is not None else "not done"
    return [*cells, takes, last_sign(row), loss_band(row.loss), weight_band(row.baked)]


def _remarks(sheet: BakeSheet) -> Iterator[tuple[str, str]]:
    """What is to be said, once for all rows it is said of."""
    said: dict[tuple[str, str], list[int]] = {}
    for i, row in enumerate(sheet.rows):
        for notice in row.notices:
            said.setdefault((SIGNS[notice.weight], _spoken(notice)), []).append(i)
    for notice in sheet.notices:
        yield SIGNS[notice.weight], _spoken(notice)
    for (sign, text), rows in said.items():
        everywhere = len(rows) == len(sheet.rows)
        names = "; ".join(row_name(sheet.rows[i], altitude=altitudes_differ(sheet)) for i in rows)
        yield sign, text if everywhere else f"{names}: {text}"


def _spoken(notice: Notice) -> str:
    return " ".join(filter(None, (words(notice), remedy(notice))))


def _remark(sign: str, said: str, width: int) -> Text:
    lines = wrap(said, width - INDENT)
    return Text(f"{sign} " + f"\n{' ' * INDENT}".join(lines))


def _indented(out: Console, line: str) -> None:
    if line:
        out.print(Padding(Text(line), (0, 0, 0, INDENT)))
