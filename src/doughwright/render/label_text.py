"""A label as text for a terminal."""

from collections.abc import Iterator

from rich.table import Table
from rich.text import Text

from doughwright.render.messages import remedy, words
from doughwright.render.selling_phrases import (
    BEFORE_PRINTING,
    RULES,
    allergen_lines,
    ingredient_line,
    label_notes,
    missing_sentences,
    nutrition_heads,
    nutrition_rows,
    sold_sentence,
)
from doughwright.render.text import SIGNS, WIDTH, console, text_of
from doughwright.sheets.label import LabelSheet


def label_text(sheet: LabelSheet, *, width: int = WIDTH, colour: bool = False) -> str:
    """A label: ingredients, allergens, nutrition, what is not known, whose rules."""
    out = console(width, colour=colour)
    out.print(Text(f"{sheet.name}: label, {sheet.codes}", style="bold"))
    out.print()
    out.print(sold_sentence(sheet).replace("`", ""))
    out.print()
    out.print(ingredient_line(sheet))
    out.print()
    for line in allergen_lines(sheet):
        out.print(line)
    out.print()
    out.print(_table(sheet))
    for line in _after(sheet):
        out.print(line)
    return text_of(out)


def _table(sheet: LabelSheet) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
    heads = nutrition_heads(sheet)
    for head in heads:
        figures = head and head != "front"
        table.add_column(head, justify="right" if figures else "left")
    for is_part, cells in nutrition_rows(sheet):
        table.add_row(f"{'  ' if is_part else ''}{cells[0]}", *cells[1:])
    return table


def _after(sheet: LabelSheet) -> Iterator[str]:
    yield ""
    for said in (*label_notes(sheet), *missing_sentences(sheet)):
        yield f"! {said}"
    for notice in sheet.notices:
        yield f"{SIGNS[notice.weight]} {words(notice)} {remedy(notice)}".rstrip()
    yield f"Rules: {RULES[sheet.codes]} What is from memory is marked in the documentation."
    yield BEFORE_PRINTING
