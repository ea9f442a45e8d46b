"""A card as parts to be read, for the page, the PDF and the plain text alike."""

from collections.abc import Iterator, Mapping
from itertools import count
from types import MappingProxyType

from doughwright.errors import Notice
from doughwright.render.card_phrases import (
    BAKED_ON,
    OVEN_NAMES,
    OVENS_DIFFER,
    aim_sentence,
    alike_words,
    assumed_sentences,
    core_sentence,
    line_warmth,
    measure_sentences,
    measure_words,
    mix_words,
    place_head,
    place_sentence,
    size_head,
    step_sentences,
    time_line,
    way_sentence,
    yield_line,
)
from doughwright.render.messages import remedy, words
from doughwright.render.numbers import duration_band, mass
from doughwright.render.parts import (
    Block,
    Bullet,
    Bullets,
    Ledger,
    LedgerRow,
    Paragraph,
    Part,
    Step,
    Steps,
    Table,
    TableRow,
    Written,
)
from doughwright.render.phrases import (
    CAUTIONS,
    NOTICE_WORDS,
    aside,
    heading,
    left_over_sentence,
    weight,
)
from doughwright.render.selling_phrases import (
    RULES,
    allergen_lines,
    ingredient_line,
    nutrition_heads,
    nutrition_rows,
)
from doughwright.sheets.card import HARD_TO_WEIGH, CardPreparation, CardSheet
from doughwright.sheets.card_sizes import SizedPreparation
from doughwright.sheets.card_steps import CardSection

SECTION_TITLES: Mapping[str, str] = MappingProxyType({"shape": "Shape and proof", "bake": "Bake"})
"""How the steps that belong to no single preparation are headed."""

WHAT_IT_IS = "Bread card"


def written_card(card: CardSheet) -> Written:
    """The card in the order in which it is read: what it is, what it takes, how it is done."""
    lead = [Paragraph(yield_line(card), "strong"), Paragraph(time_line(card))]
    lead += [Paragraph(place_sentence(card)), Paragraph(card.note, "soft")]
    parts = (
        _ingredients(card),
        _method(card),
        _warmth(card),
        _ovens(card),
        _sizes(card),
        _label(card),
        _cautions(card),
        _assumed(card),
    )
    return Written(
        kind=WHAT_IT_IS,
        title=card.name,
        language=card.language,
        lead=tuple(paragraph for paragraph in lead if paragraph.said),
        parts=tuple(part for part in parts if part is not None),
    )


# What to weigh


def _ingredients(card: CardSheet) -> Part:
    said = list(measure_sentences(card.measures)) if card.measures is not None else []
    return Part(
        key="ingredients",
        title="What to weigh",
        blocks=tuple(Paragraph(sentence, "soft") for sentence in said),
        parts=tuple(_preparation(p) for p in card.preparations),
    )


def _preparation(p: CardPreparation) -> Part:
    rows = [
        LedgerRow(
            amount=weight(line),
            what=line.name,
            beside=tuple(filter(None, (line_warmth(line), aside(line)))),
            measure=measure_words(measure),
        )
        for line, measure in zip(p.plan.lines, p.measures, strict=True)
    ]
    if len(rows) > 1:
        rows.append(LedgerRow(mass(p.plan.weight.value or 0.0), "in all", total=True))
    said = filter(None, (left_over_sentence(p.plan), p.plan.note))
    coarse = tuple(notice_bullet(n) for n in p.plan.notices if n.code.startswith(HARD_TO_WEIGH))
    return Part(
        key=f"take-{_anchor(p.plan.name)}",
        title=heading(p.plan),
        blocks=(
            Ledger(heading(p.plan), tuple(rows)),
            *(Paragraph(s, "soft") for s in said),
            *((Bullets(coarse),) if coarse else ()),
        ),
    )


def _anchor(name: str) -> str:
    """A name as part of an anchor: letters, digits and hyphens."""
    return "-".join("".join(c if c.isalnum() else " " for c in name.casefold()).split())


# How it is done


def _method(card: CardSheet) -> Part | None:
    if not card.sections:
        return None
    numbers = count(1)
    preferments = {p.plan.name for p in card.preparations if p.plan.kind == "preferment"}
    sections = (
        Part(
            key=f"do-{i}",
            title=section_title(section, card),
            blocks=(
                Steps(
                    tuple(
                        Step(
                            mark=str(next(numbers)),
                            said=step_sentences(step, preferment=step.row.of in preferments),
                            hands=step.row.hands_on,
                            inside=step.host is not None,
                        )
                        for step in section.steps
                    )
                ),
            ),
        )
        for i, section in enumerate(card.sections, 1)
    )
    return Part("method", "How it is done", (), tuple(sections))


def section_title(section: CardSection, card: CardSheet) -> str:
    """A section by its preparation, or by what happens in it."""
    if section.kind != "preparation":
        return SECTION_TITLES[section.kind]
    known = next((p.plan for p in card.preparations if p.plan.name == section.of), None)
    return heading(known) if known is not None else section.of


# Dough temperature and other kitchens


def _warmth(card: CardSheet) -> Part | None:
    mixed = [p.plan for p in card.preparations if p.plan.mix and p.plan.mix.aim is not None]
    if not mixed and not card.elsewhere.waits:
        return None
    several = len(mixed) > 1
    said = [
        Paragraph(f"{heading(p)}: {aim_sentence(p)}" if several else aim_sentence(p)) for p in mixed
    ]
    said += [Paragraph(way_sentence(way)) for way in card.elsewhere.ways]
    return Part("elsewhere", "In a warmer or a colder kitchen", (*said, *_places(card)))


def _places(card: CardSheet) -> Iterator[Block]:
    there = card.elsewhere
    rows = [
        TableRow((_labelled(row.label), *(duration_band(cell) for cell in row.times)))
        for row in there.waits
    ]
    rows += [
        TableRow((f"{_labelled(row.preparation)} comes out at", *map(mix_words, row.mixes)))
        for row in there.mixes
    ]
    if not rows:
        yield Paragraph("No time was noted, so none can be moved to another kitchen.", "soft")
        return
    yield Table(
        caption="Times and temperatures by the kitchen's warmth",
        heads=("Room", *map(place_head, there.places)),
        rows=tuple(rows),
        by="column",
    )
    yield Paragraph("The signs in the steps go before these times.", "soft")
    for notice in there.notices:
        yield Paragraph(f"Elsewhere: {words(notice)} {remedy(notice)}".rstrip(), "soft")


def _labelled(label: str) -> str:
    return f"{label[:1].upper()}{label[1:]}"


# Ovens


def _ovens(card: CardSheet) -> Part | None:
    sheet = card.ovens
    if sheet is None:
        return None
    turned = any(row.then is not None for row in sheet.rows)
    heads = ("Oven", "Set it to", "then to") if turned else ("Oven", "Set it to")
    rows = tuple(
        TableRow(
            (
                f"{OVEN_NAMES[row.kind]}{', as tested' if row.written and card.tested else ''}",
                alike_words(row.first),
                *((alike_words(row.then),) if turned else ()),
            )
        )
        for row in sheet.rows
    )
    said = (BAKED_ON[sheet.baked_on], core_sentence(sheet), OVENS_DIFFER)
    beyond = {words(n): remedy(n) for row in sheet.rows for n in row.notices}
    return Part(
        key="ovens",
        title="Ovens",
        blocks=(
            Table("The same bake in each kind of oven", heads, rows),
            Paragraph(" ".join(filter(None, said))),
            *(Paragraph(f"{said} {then}".rstrip(), "soft") for said, then in beyond.items()),
        ),
    )


# Sizes


def _sizes(card: CardSheet) -> Part:
    table = card.sizes
    rows = [row for p in table.preparations for row in _sized(p, card)]
    said = "The proportions stay."
    if card.division is not None:
        said = "Pieces weigh the same in every size, so the oven and its time stay."
    return Part(
        key="sizes",
        title="Other sizes",
        blocks=(
            Table("Weights by size", ("", *map(size_head, table.columns)), tuple(rows)),
            Paragraph(f"{said} What does not fit into the oven at once is baked in turns.", "soft"),
        ),
    )


def _sized(p: SizedPreparation, card: CardSheet) -> Iterator[TableRow]:
    plan = next(each.plan for each in card.preparations if each.plan.name == p.name)
    yield TableRow((heading(plan), *("",) * len(p.sums)), "group")
    for row in p.rows:
        shown = (
            mass(cell.value or 0.0, step.value or 0.001)
            for cell, step in zip(row.weights, row.steps, strict=True)
        )
        yield TableRow((row.name, *shown))
    if len(p.rows) > 1:
        yield TableRow(("in all", *(mass(cell.value or 0.0) for cell in p.sums)), "sum")


# What is in it


def _label(card: CardSheet) -> Part | None:
    sheet = card.label
    if sheet is None:
        return None
    rows = tuple(
        TableRow(cells, "part" if is_part else "row") for is_part, cells in nutrition_rows(sheet)
    )
    heads = nutrition_heads(sheet)
    contains = (line.replace(" (you said so)", "") for line in allergen_lines(sheet))
    return Part(
        key="label",
        title="What is in it",
        blocks=(
            *(Paragraph(line, "strong") for line in contains),
            Paragraph(ingredient_line(sheet)),
            Table(f"Nutrition, {sheet.codes}", heads, rows),
            Paragraph(RULES[sheet.codes], "soft"),
        ),
    )


def _cautions(card: CardSheet) -> Part:
    found = [*map(notice_bullet, card.cautions), *map(Bullet, CAUTIONS)]
    return Part("cautions", "Cautions", (Bullets(tuple(found)),))


def notice_bullet(notice: Notice) -> Bullet:
    """A notice under how grave it is: what it says, and what to do."""
    said = f"{words(notice)} {remedy(notice)}".rstrip()
    return Bullet(said.replace("`", ""), NOTICE_WORDS[notice.weight], notice.weight)


def _assumed(card: CardSheet) -> Part | None:
    said = tuple(map(Bullet, assumed_sentences(card)))
    return Part("assumed", "What was assumed", (Bullets(said),)) if said else None
