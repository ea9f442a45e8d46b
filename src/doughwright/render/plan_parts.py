"""A bench plan as parts to be read, for its PDF."""

from collections.abc import Iterable, Iterator

from doughwright.errors import Notice
from doughwright.render.bake_chart import (
    WARMING_TITLE,
    bake_picture,
    point_heads,
    point_rows,
    warming_description,
)
from doughwright.render.bake_phrases import (
    WARMING_CAPTION,
    basis,
    criterion_time,
    cut_caption,
    goal_words,
    in_order_of_time,
    loss_band,
    loss_words,
    outcome_sentence,
    oven_words,
    probe_sentence,
    staying_sentence,
    weight_band,
)
from doughwright.render.card_parts import notice_bullet
from doughwright.render.chart import TITLE, rise_description, rise_picture
from doughwright.render.cut_chart import TITLE as CUT_TITLE
from doughwright.render.cut_chart import cut_description, cut_picture, cut_rows
from doughwright.render.food_phrases import (
    ESTIMATES,
    food_findings,
    food_title,
    kept_sentence,
    safety_basis,
    standing_course,
    standing_words,
)
from doughwright.render.messages import where
from doughwright.render.numbers import duration_band, mass
from doughwright.render.page import (
    PreparationBlock,
    StepBlock,
    notices_elsewhere,
    preparation_block,
    rise_blocks,
    step_blocks,
)
from doughwright.render.parts import (
    Block,
    Bullet,
    Bullets,
    Ledger,
    LedgerRow,
    Paragraph,
    Part,
    Picture,
    PictureRow,
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
from doughwright.render.selling_phrases import allergen_lines, cost_summary, ingredient_line
from doughwright.render.timings import (
    dough_course,
    instruction,
    lasting,
    rise_basis,
    size_band,
    time_of,
    total_sentences,
    usable,
)
from doughwright.sheets.bake import BakeSheet
from doughwright.sheets.bench_plan import BenchPlan
from doughwright.sheets.safety_rows import FoodRow

RISE_CAPTION = (
    "A bar lasts as long as is likely; the box at its end is when the stage may be done. "
    "Each line begins anew at ×1."
)


def written_plan(plan: BenchPlan) -> Written:
    """The plan in the order in which it is worked from."""
    parts = (_weigh(plan), _divide(plan), _when(plan), _rises(plan), _bake(plan))
    after = (_figures(plan), _selling(plan), _safety(plan), _cautions(plan))
    lead = (Paragraph(kitchen_line(plan.kitchen)), Paragraph(plan.note, "soft"))
    return Written(
        kind="Bench plan",
        title=plan.name,
        language="en",
        lead=tuple(paragraph for paragraph in lead if paragraph.said),
        parts=tuple(part for part in (*parts, *after) if part is not None),
    )


def _weigh(plan: BenchPlan) -> Part:
    blocks = (preparation_block(p, plan) for p in plan.preparations)
    parts = tuple(_preparation(block, i) for i, block in enumerate(blocks, 1))
    return Part("weigh", "What to weigh, and how warm", (), parts)


def _preparation(block: PreparationBlock, number: int) -> Part:
    p = block.plan
    rows = [
        LedgerRow(weight(line), line.name, tuple(filter(None, (how_warm(line), aside(line)))))
        for line in p.lines
    ]
    rows.append(LedgerRow(mass(p.weight.value or 0.0), "in all", total=True))
    said = [left_over_sentence(p), p.note]
    if p.mix is not None:
        levers = " ".join(map(lever_sentence, p.mix.levers))
        said += [mix_summary(p.mix), levers, classic_sentence(p.mix)]
    paragraphs = (Paragraph(sentence) for sentence in said if sentence)
    return Part(
        key=f"preparation-{number}",
        title=heading(p),
        blocks=(Ledger(heading(p), tuple(rows)), *paragraphs, *_noticed(block.notices)),
    )


def _noticed(notices: Iterable[Notice]) -> Iterator[Block]:
    found = tuple(map(notice_bullet, notices))
    if found:
        yield Bullets(found)


def _divide(plan: BenchPlan) -> Part | None:
    if plan.division is None:
        return None
    beside = tuple(LedgerRow(mass(row.each.value or 0.0), row.name) for row in plan.division.beside)
    blocks: list[Block] = [Paragraph(pieces_line(plan.division), "strong")]
    if beside:
        blocks.append(Ledger("With each piece", beside))
    blocks += map(Paragraph, division_sentences(plan.division))
    return Part("divide", "Divide", tuple(blocks))


def _when(plan: BenchPlan) -> Part:
    rows = [step for block in step_blocks(plan) for step in _steps(block)]
    first = "At" if plan.timeline.starts is not None else "After"
    blocks: list[Block] = [Paragraph(" ".join(total_sentences(plan.timeline)))]
    if rows:
        blocks.append(Steps(tuple(rows), (first, "What to do")))
    return Part("when", "When", tuple(blocks))


def _steps(block: StepBlock, *, inside: bool = False) -> Iterator[Step]:
    row = block.row
    time = lasting(row) if row.lasts.value != 0 else ""
    looks = f"{time}, {block.looks}" if time and block.looks else time or block.looks
    said = [instruction(row), f"{looks}." if looks else "", row.note]
    yield Step(
        mark=f"{block.day} {block.at}".strip(),
        said=tuple(filter(None, said)),
        hands=row.hands_on,
        inside=inside,
        noticed=tuple(map(notice_bullet, block.notices)),
    )
    for inner in block.inside:
        yield from _steps(inner, inside=True)


def _rises(plan: BenchPlan) -> Part | None:
    if plan.rises is None:
        return None
    heads = ("Stage", "Takes", "Good from … to", "Dough", "Size")
    rows = tuple(
        TableRow(
            (
                rise.name,
                duration_band(rise.row.lasts),
                usable(rise.row),
                dough_course(rise.row),
                size_band(rise.row.size),
            )
        )
        for rise in rise_blocks(plan)
    )
    starts = plan.timeline.starts
    described = rise_description(plan.rises, starts)
    drawn = Picture(rise_picture(plan.rises, starts), TITLE, described, RISE_CAPTION)
    basis_of = Paragraph(rise_basis(plan.rises).replace("`", ""), "soft")
    figures = Table("The picture in figures", heads, rows)
    return Part("rises", "How it rises", (basis_of, PictureRow((drawn,)), figures))


def _bake(plan: BenchPlan) -> Part | None:
    if plan.bake is None:
        return None
    row = plan.bake.rows[0]
    done = duration_band(row.lasts) if row.lasts.value is not None else "not done"
    signs = tuple(LedgerRow(criterion_time(c), goal_words(c)) for c in in_order_of_time(row))
    blocks: list[Block] = [Paragraph(basis(plan.bake).replace("`", ""), "soft")]
    blocks.append(Paragraph(f"{done} at {oven_words(row)}", "strong"))
    blocks.append(Ledger("Signs as they come", signs, ("After", "Sign")))
    probe = probe_sentence(plan.bake.probe) if plan.bake.probe is not None else ""
    comes = f"A piece weighs {weight_band(row.baked)} baked, {loss_band(row.loss)} "
    out = f"{comes}{loss_words(row)}." if row.baked.value is not None else ""
    said = (staying_sentence(row), out, outcome_sentence(row), probe)
    blocks += (Paragraph(sentence) for sentence in said if sentence)
    return Part("bake", "The bake", (*blocks, *_bake_pictures(plan.bake)))


def _bake_pictures(sheet: BakeSheet) -> Iterator[Block]:
    """Oven and cut beside each other, and under them what they show in figures."""
    warming = bake_picture(sheet), WARMING_TITLE, warming_description(sheet), WARMING_CAPTION
    cut = cut_picture(sheet), CUT_TITLE, cut_description(sheet), cut_caption(sheet.rows[0])
    yield PictureRow(tuple(Picture(*each) for each in (warming, cut) if each[0]))
    yield Table("In the oven", point_heads(sheet), tuple(map(TableRow, point_rows(sheet))))
    places = tuple(map(TableRow, cut_rows(sheet)))
    if places:
        yield Table("In the cut, when it is done", ("Place", "How warm"), places)


def _figures(plan: BenchPlan) -> Part:
    made = f"On {mass(plan.total_flour.value or 0.0)} of flour"
    rows = tuple(TableRow((figure.name, figure_value(figure))) for figure in plan.figures)
    table = Table(made, ("Figure", "Value"), rows)
    return Part("figures", "The formula in figures", (table,))


def _selling(plan: BenchPlan) -> Part | None:
    blocks: list[Block] = []
    if plan.label is not None:
        blocks += [Paragraph(line, "strong") for line in allergen_lines(plan.label)]
        blocks.append(Paragraph(ingredient_line(plan.label)))
    if plan.cost is not None:
        blocks.append(Paragraph(cost_summary(plan.cost)))
    return Part("label", "What is in it", tuple(blocks)) if blocks else None


def _safety(plan: BenchPlan) -> Part | None:
    sheet = plan.safety
    if not (sheet.foods or sheet.not_known):
        return None
    foods = (_food(food, i, plan) for i, food in enumerate(sheet.foods, 1))
    kept = (Paragraph(kept_sentence(sheet)), Paragraph(ESTIMATES, "soft"))
    return Part(
        key="safety",
        title="What may spoil",
        blocks=(Paragraph(safety_basis(sheet), "soft"),),
        parts=(*foods, Part("baked-bread", "The baked bread", kept)),
    )


def _food(food: FoodRow, number: int, plan: BenchPlan) -> Part:
    starts = plan.timeline.starts
    found = (
        Bullet(said.text, NOTICE_WORDS["care"], "care") if said.bad else Bullet(said.text)
        for said in food_findings(food, starts)
    )
    stands = "; ".join(
        f"{time_of(row.begins, starts)} {standing_words(row)}, {standing_course(row)}"
        for row in food.standing
    )
    where_it_is = Paragraph(f"Where it stands, and how warm: {stands}.", "soft")
    return Part(f"food-{number}", food_title(food), (Bullets(tuple(found)), where_it_is))


def _cautions(plan: BenchPlan) -> Part:
    found = [_placed(notice) for notice in notices_elsewhere(plan)]
    return Part("cautions", "Cautions", (Bullets((*found, *map(Bullet, CAUTIONS))),))


def _placed(notice: Notice) -> Bullet:
    """A notice with what it is about."""
    bullet, path = notice_bullet(notice), where(notice)
    return Bullet(f"{path}: {bullet.said}" if path else bullet.said, bullet.lead, bullet.weight)
