"""A label as text for a terminal."""

from collections.abc import Iterator

from rich.table import Table
from rich.text import Text

from doughwright.engine.allergens import CHECK, CONTAINS, MAY_CONTAIN
from doughwright.render.bake_phrases import loss_band, weight_band
from doughwright.render.messages import remedy, words
from doughwright.render.numbers import percent
from doughwright.render.text import SIGNS, WIDTH, console, text_of
from doughwright.sheets.label import LabelSheet, ListedRow

WHOSE_LOSS = {
    "stated": "as you said",
    "tested": "by the weight you gave",
    "model": "by the bake as it is worked out: weigh a baked piece and give it with --baked",
    "usual": "by common practice: weigh a baked piece and give it with --baked",
}

RULES = {
    "EU": "Regulation (EU) No 1169/2011; rounding by the Commission's guidance of 2012.",
    "UK": "Regulation (EU) No 1169/2011 as kept in UK law; front of pack by the guide of 2016.",
    "US": "21 CFR 101.9 and 21 USC 343(w).",
}


def label_text(sheet: LabelSheet, *, width: int = WIDTH, colour: bool = False) -> str:
    """A label: ingredients, allergens, nutrition, what is not known, whose rules."""
    out = console(width, colour=colour)
    out.print(Text(f"{sheet.name}: label, {sheet.codes}", style="bold"))
    out.print()
    out.print(f"{sheet.pieces} × {weight_band(sheet.piece)} as sold; {_loss(sheet)}.")
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


def _loss(sheet: LabelSheet) -> str:
    return f"{loss_band(sheet.loss)} lost in the oven, {WHOSE_LOSS.get(sheet.loss.kind, '')}"


def ingredient_line(sheet: LabelSheet) -> str:
    """The ingredient list, allergens in capitals."""
    return f"Ingredients: {', '.join(map(_listed, sheet.ingredients))}."


def _listed(row: ListedRow) -> str:
    name = row.name
    for allergen in row.emphasised:
        inside = allergen in name
        name = (
            name.replace(allergen, allergen.upper()) if inside else f"{name} ({allergen.upper()})"
        )
    return f"{name} {row.quantity}".strip()


def allergen_lines(sheet: LabelSheet) -> Iterator[str]:
    """Contains, check the packet, may contain; what nobody said anything of."""
    titles = {
        CONTAINS: "Contains",
        CHECK: "Check the packet for",
        MAY_CONTAIN: "May contain (you said so)",
    }
    for state, title in titles.items():
        names = [line.name for line in sheet.allergens if line.state == state]
        if names:
            yield f"{title}: {', '.join(names)}."
    if sheet.unstated:
        yield f"Nothing is known of the allergens of: {', '.join(sheet.unstated)}. Ask their maker."
    for word, bringer in sheet.not_understood:
        yield f"! “{word}” ({bringer or 'may contain'}) is on no list of allergens."


def _table(sheet: LabelSheet) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
    table.add_column("")
    if sheet.codes == "US":
        table.add_column("per 50 g", justify="right")
        table.add_column("% DV", justify="right")
        for row in sheet.per_piece:
            table.add_row(
                f"{'  ' if row.part_of else ''}{row.name}", row.printed, row.daily_printed
            )
        return table
    table.add_column("per 100 g", justify="right")
    table.add_column("a piece", justify="right")
    lights = {light.name: light.colour for light in sheet.lights}
    if lights:
        table.add_column("")
    for row, each in zip(sheet.per_hundred, sheet.per_piece, strict=True):
        name = f"{'  ' if row.part_of else ''}{row.name}"
        light = lights.get(row.name.removeprefix("of which "), "")
        table.add_row(name, row.printed, each.printed, *([light] if lights else []))
    return table


def _after(sheet: LabelSheet) -> Iterator[str]:
    yield ""
    for missing in sheet.missing:
        part = "nothing" if missing.part == "composition" else f"no {missing.part}"
        yield (
            f"! {missing.name}, {percent(missing.share)} of the raw weight: {part} is known of it, "
            "so the true values are higher. Give its figures under `ingredients:`."
        )
    for notice in sheet.notices:
        yield f"{SIGNS[notice.weight]} {words(notice)} {remedy(notice)}".rstrip()
    yield f"Rules: {RULES[sheet.codes]} What is from memory is marked in the documentation."
    yield "A label on sale is checked against the law and the packets before it is printed."
