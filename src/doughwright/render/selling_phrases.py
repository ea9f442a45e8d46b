"""What label and cost say in words, for the terminal and the page."""

from collections.abc import Iterator

from doughwright.engine.allergens import CHECK, CONTAINS, MAY_CONTAIN
from doughwright.engine.labels import LabelRow
from doughwright.render.bake_phrases import loss_band, weight_band
from doughwright.render.numbers import mass, percent
from doughwright.sheets.cost import CostSheet
from doughwright.sheets.label import LabelSheet, ListedRow
from doughwright.units import Joule, Money

WHOSE_LOSS = {
    "stated": "as you said",
    "tested": "by the weight you gave",
    "model": "by the bake as it is worked out: a baked piece on the scale tells better",
    "usual": "by common practice: a baked piece on the scale tells better",
}

RULES = {
    "EU": "Regulation (EU) No 1169/2011; rounding by the Commission's guidance of 2012.",
    "UK": "Regulation (EU) No 1169/2011 as kept in UK law; front of pack by the guide of 2016.",
    "US": "21 CFR 101.9 and 21 USC 343(w); servings by 101.9(b)(2)(i), from memory.",
}

INCLUDES = "Includes"
"""The first word of the US row of added sugars, which is a sentence."""

SAID_AS = {"sodium": "salt", "added_sugars": "added sugars"}
"""What of an ingredient is missing, in the words of a label."""

BEFORE_PRINTING = "A label on sale is checked against the law and the packets before it is printed."


def sold_sentence(sheet: LabelSheet) -> str:
    """How many pieces, how heavy as sold, and how that is known."""
    lost = f"{loss_band(sheet.loss)} lost in the oven, {WHOSE_LOSS.get(sheet.loss.kind, '')}"
    coat = ", with what is brushed on or put on top" if sheet.coated else ""
    return f"{sheet.pieces} × {weight_band(sheet.piece)} as sold{coat}; {lost}."


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
        yield f"Nobody stated the allergens of: {', '.join(sheet.unstated)}. Ask their maker."
    for word, bringer in sheet.not_understood:
        yield f"! “{word}” ({bringer or 'may contain'}) is on no list of allergens."


def serving_words(sheet: LabelSheet) -> str:
    """What the last column is for: a piece, a serving of pieces, or a weight."""
    weight = mass(sheet.serving.value or 0.0)
    if not sheet.serving_pieces:
        return f"per {weight}"
    pieces = "a piece" if sheet.serving_pieces == 1 else f"{sheet.serving_pieces} pieces"
    return f"{pieces}, {weight}"


def nutrition_heads(sheet: LabelSheet) -> tuple[str, ...]:
    """What stands over the columns of the nutrition table; the first is the nutrients'."""
    if sheet.codes == "US":
        return "", serving_words(sheet), "% DV"
    return ("", "per 100 g", serving_words(sheet), *(("front",) if sheet.lights else ()))


def nutrition_rows(sheet: LabelSheet) -> Iterator[tuple[bool, tuple[str, ...]]]:
    """Rows of the nutrition table: whether each is a part of another, and its cells."""
    if sheet.codes == "US":
        for row in sheet.per_piece:
            yield bool(row.part_of), _us_cells(row)
        return
    lights = {light.name: light.colour for light in sheet.lights}
    for row, each in zip(sheet.per_hundred, sheet.per_piece, strict=True):
        light = lights.get(row.name.removeprefix("of which "), "")
        cells = (row.name, row.printed, each.printed, *((light,) if lights else ()))
        yield bool(row.part_of), cells


def _us_cells(row: LabelRow) -> tuple[str, ...]:
    """A row's name, amount and percentage; of added sugars the name holds the amount.

    21 CFR 101.9(c)(6)(iii), from memory: Includes 2g Added Sugars.
    """
    first, _, last = row.name.partition(" ")
    if first != INCLUDES or row.value is None:
        return row.name, row.printed, row.daily_printed
    return f"{first} {row.printed} {last}", "", row.daily_printed


def label_notes(sheet: LabelSheet) -> Iterator[str]:
    """What the baker is to add to the ingredient list, and what the colours are for."""
    if sheet.compounds:
        yield (
            f"Made of several things: {', '.join(sheet.compounds)}. List after each what is in "
            "it, from its packet."
        )
    if sheet.perhaps_compounds:
        names = ", ".join(sheet.perhaps_compounds)
        yield f"If one of these is made of several things, list them too: {names}."
    if sheet.lights and not sheet.lights_by_portion:
        yield "A piece as heavy as this is cut: the colours go by 100 g, not by a piece."


def missing_sentences(sheet: LabelSheet) -> Iterator[str]:
    """What our tables do not know of the ingredients."""
    for missing in sheet.missing:
        part = SAID_AS.get(missing.part, missing.part)
        known = f"its {part} {'are' if part.endswith('s') else 'is'} not known"
        yield (
            f"{missing.name}, {percent(missing.share)} of the raw weight: {known}, so the true "
            "values are higher. Give its figures under `ingredients:`."
        )


def label_summary(sheet: LabelSheet) -> Iterator[str]:
    """A label in a few lines: weight as sold, energy, allergens."""
    yield sold_sentence(sheet).replace("`", "")
    rows = [cells for _, cells in nutrition_rows(sheet)]
    if sheet.codes == "US":
        yield f"Calories: {rows[0][1]} ({serving_words(sheet)})."
    else:
        salt = f"salt {rows[-1][1]}"
        yield f"In 100 g: {rows[0][1]}, {rows[1][1]}, {salt}; in a piece {rows[1][2]}."
    yield from allergen_lines(sheet)
    yield from label_notes(sheet)


def money(value: Money | None, currency: str) -> str:
    """An amount to a hundredth, or to a tenth of it below one."""
    if value is None:
        return "not known"
    return f"{value:.{2 if abs(value) >= 1 else 3}f} {currency}"


def cost_sums(sheet: CostSheet) -> Iterator[tuple[str, str]]:
    """The sums of a cost sheet: what for, how much."""
    cost = sheet.currency
    least = "at least " if sheet.unknown else ""
    if all(line.cost is None for line in sheet.lines):
        yield "Ingredients", "no price is known yet"
    else:
        yield "Ingredients", f"{least}{money(sheet.ingredients, cost)}"
    if sheet.energy_used.value is not None:
        used = _kilowatt_hours(sheet.energy_used.value)
        priced = sheet.energy is not None
        paid = money(sheet.energy, cost) if priced else "no price: write `energy:` in the kitchen"
        yield f"Energy, {used}", paid
    if sheet.labour is not None:
        yield "Labour", money(sheet.labour, cost)
    yield "In all", f"{least}{money(sheet.total, cost)}"
    yield f"A piece ({sheet.pieces} in all)", f"{least}{money(sheet.each, cost)}"
    baked = mass(sheet.baked.value or 0.0)
    yield f"A kilogram baked (about {baked} in all)", f"{least}{money(sheet.baked_kilogram, cost)}"


def cost_summary(sheet: CostSheet) -> str:
    """A cost in one line."""
    sums = dict(cost_sums(sheet))
    (piece,) = (much for what, much in sums.items() if what.startswith("A piece"))
    return f"Costs {sums['In all']}, {piece} a piece."


def _kilowatt_hours(energy: Joule) -> str:
    return f"{energy / 3.6e6:.2f} kWh"
