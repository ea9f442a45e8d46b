"""What a bread costs, as text for a terminal."""

from collections.abc import Iterator

from rich.table import Table
from rich.text import Text

from doughwright.render.messages import remedy, words
from doughwright.render.numbers import mass
from doughwright.render.text import SIGNS, WIDTH, console, text_of
from doughwright.sheets.cost import CostSheet
from doughwright.units import Joule, Money


def cost_text(sheet: CostSheet, *, width: int = WIDTH, colour: bool = False) -> str:
    """Costs line by line, and in all."""
    out = console(width, colour=colour)
    out.print(Text(f"{sheet.name}: what it costs", style="bold"))
    out.print()
    out.print(_table(sheet))
    out.print()
    for line in _sums(sheet):
        out.print(line)
    for notice in sheet.notices:
        out.print(f"{SIGNS[notice.weight]} {words(notice)} {remedy(notice)}".rstrip())
    out.print("Sums are of unrounded costs.", style="dim")
    return text_of(out)


def money(value: Money | None, currency: str) -> str:
    """An amount to a hundredth, or to a tenth of it below one."""
    if value is None:
        return "not known"
    return f"{value:.{2 if abs(value) >= 1 else 3}f} {currency}"


def _table(sheet: CostSheet) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_header=False)
    for justify in ("right", "left", "left", "right"):
        table.add_column(justify=justify)
    for line in sheet.lines:
        assert line.mass.value is not None
        cost = money(line.cost, sheet.currency)
        table.add_row(mass(line.mass.value), line.name, line.preparation, cost)
    return table


def _sums(sheet: CostSheet) -> Iterator[str]:
    cost = sheet.currency
    yield f"Ingredients {money(sheet.ingredients, cost)}"
    if sheet.energy is not None and sheet.energy_used.value is not None:
        yield f"Energy {money(sheet.energy, cost)} for {_kilowatt_hours(sheet.energy_used.value)}"
    elif sheet.energy_used.value is not None:
        used = _kilowatt_hours(sheet.energy_used.value)
        yield f"Energy {used}, without a price: write `energy:` into the kitchen"
    if sheet.labour is not None:
        yield f"Labour {money(sheet.labour, cost)}"
    least = "at least " if sheet.unknown else ""
    yield f"In all {least}{money(sheet.total, cost)}"
    baked = mass(sheet.baked.value or 0.0)
    yield f"  a piece {money(sheet.each, cost)} ({sheet.pieces} pieces)"
    yield f"  a baked kilogram {money(sheet.baked_kilogram, cost)} (about {baked} in all)"


def _kilowatt_hours(energy: Joule) -> str:
    return f"{energy / 3.6e6:.2f} kWh"
