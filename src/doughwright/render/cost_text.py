"""What a bread costs, as text for a terminal."""

from rich.table import Table
from rich.text import Text

from doughwright.render.messages import remedy, words
from doughwright.render.numbers import mass
from doughwright.render.selling_phrases import cost_sums, money
from doughwright.render.text import SIGNS, WIDTH, console, text_of
from doughwright.sheets.cost import CostSheet


def cost_text(sheet: CostSheet, *, width: int = WIDTH, colour: bool = False) -> str:
    """Costs line by line, and in all."""
    out = console(width, colour=colour)
    out.print(Text(f"{sheet.name}: what it costs", style="bold"))
    out.print()
    out.print(_table(sheet))
    out.print()
    sums = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_header=False)
    for what, much in cost_sums(sheet):
        sums.add_row(what, much)
    out.print(sums)
    out.print()
    for notice in sheet.notices:
        out.print(f"{SIGNS[notice.weight]} {words(notice)} {remedy(notice)}".rstrip())
    out.print("Sums are of unrounded costs.", style="dim")
    return text_of(out)


def _table(sheet: CostSheet) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_header=False)
    for justify in ("right", "left", "left", "right"):
        table.add_column(justify=justify)
    for line in sheet.lines:
        assert line.mass.value is not None
        cost = money(line.cost, sheet.currency)
        table.add_row(mass(line.mass.value), line.name, line.preparation, cost)
    return table
