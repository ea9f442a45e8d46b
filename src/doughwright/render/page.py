"""A bench plan as one HTML page that needs nothing beside it: to save, to print, to send."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from markupsafe import Markup

from doughwright.errors import Notice
from doughwright.render import bake_phrases, phrases, timings
from doughwright.render.bake_chart import bake_picture, point_heads, point_rows
from doughwright.render.chart import rise_picture, stage_name
from doughwright.render.cut_chart import cut_picture, cut_rows
from doughwright.render.messages import other_places, remedy, words
from doughwright.render.numbers import temperature
from doughwright.render.templating import style, templates
from doughwright.sheets.bake import BakeRow, BakeSheet, CriterionRow
from doughwright.sheets.bench_plan import BenchPlan, PreparationPlan
from doughwright.sheets.models import model_rows
from doughwright.sheets.rises import RiseRow, thinned
from doughwright.sheets.timeline import TimelineRow

STYLES = (
    "colours.css",
    "page.css",
    "ledger.css",
    "steps.css",
    "rises.css",
    "bake.css",
    "sale.css",
    "card.css",
    "wide.css",
    "print.css",
)
"""The style sheets, in the order in which a later one may overrule an earlier."""

URGENCY = ("stop", "care", "note")
"""Weights of notices, the one to be read first at the front."""


@dataclass(frozen=True, slots=True)
class PreparationBlock:
    """A preparation with the notices about it; ``careful`` are lines that have one of their own."""

    plan: PreparationPlan
    notices: tuple[Notice, ...]
    careful: frozenset[str]


@dataclass(frozen=True, slots=True)
class StepBlock:
    """A step with the notices about it and the steps that run while it waits."""

    row: TimelineRow
    at: str
    day: str
    looks: str
    notices: tuple[Notice, ...]
    inside: tuple["StepBlock", ...] = ()


@dataclass(frozen=True, slots=True)
class RiseBlock:
    """A stage as the picture names it, with a few of its points as they are read."""

    row: RiseRow
    name: str
    points: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class BakeBlock:
    """A bake with its signs as they come, its pictures and what they show in figures."""

    sheet: BakeSheet
    row: BakeRow
    signs: tuple[CriterionRow, ...]
    heads: tuple[str, ...]
    points: tuple[tuple[str, ...], ...]
    places: tuple[tuple[str, str], ...]
    warming: Markup
    cut: Markup


@dataclass(frozen=True, slots=True)
class BakeNotices:
    """Notices about one of several bakes, under its name; without one, about all of them."""

    name: str
    notices: tuple[Notice, ...]


NOT_DRAWN = Markup()


@dataclass(frozen=True, slots=True)
class Pictures:
    """What is drawn of a plan; empty where there is nothing to draw, or not yet."""

    rise: Markup = NOT_DRAWN
    warming: Markup = NOT_DRAWN
    cut: Markup = NOT_DRAWN


def bench_plan_page(plan: BenchPlan) -> str:
    """The plan as one HTML5 document, its style inside, without script."""
    return (
        templates()
        .get_template("bench_plan.html.j2")
        .render(plan_said(plan, plan_pictures(plan)), style=style(STYLES))
    )


def plan_said(plan: BenchPlan, pictures: Pictures) -> dict[str, object]:
    """What the templates of a plan's body say."""
    return {
        "plan": plan,
        "preparations": tuple(preparation_block(p, plan) for p in plan.preparations),
        "steps": step_blocks(plan),
        "rises": rise_blocks(plan),
        "picture": pictures.rise,
        "bake": bake_block(plan.bake, pictures) if plan.bake is not None else None,
        "elsewhere": notices_elsewhere(plan),
        "models": model_rows(plan.models),
        "cautions": phrases.CAUTIONS,
    }


def plan_pictures(plan: BenchPlan) -> Pictures:
    """Draw a plan's pictures; each takes about a tenth of a second."""
    rise = rise_picture(plan.rises, plan.timeline.starts) if plan.rises is not None else ""
    drawn = bake_pictures(plan.bake) if plan.bake is not None else Pictures()
    return replace(drawn, rise=Markup(rise))  # noqa: S704 - escaped as XML


def bake_pictures(sheet: BakeSheet) -> Pictures:
    """Draw the oven and the cut of a sheet's first bake."""
    return Pictures(
        warming=Markup(bake_picture(sheet)),  # noqa: S704 - escaped as XML
        cut=Markup(cut_picture(sheet)),  # noqa: S704 - escaped as XML
    )


def bake_page(sheet: BakeSheet) -> str:
    """A bake and others beside it as one HTML5 document, its style inside, without script."""
    return (
        templates()
        .get_template("bake_page.html.j2")
        .render(
            sheet=sheet,
            style=style(STYLES),
            bake=bake_block(sheet, bake_pictures(sheet)),
            high=bake_phrases.altitudes_differ(sheet),
            remarks=bake_notices(sheet),
            elsewhere=(),
            models=model_rows(sheet.models),
            cautions=phrases.CAUTIONS,
        )
    )


def notices_about(notices: Iterable[Notice], *path: str | int) -> tuple[Notice, ...]:
    """The notices whose path begins with this one."""
    return tuple(n for n in notices if n.where[: len(path)] == path)


def in_reading_order(notices: Iterable[Notice]) -> tuple[Notice, ...]:
    """The gravest first; what is said twice of one thing is kept once."""
    said = {(words(n), remedy(n)): n for n in notices}
    return tuple(sorted(said.values(), key=lambda n: URGENCY.index(n.weight)))


def matter_at_bench(notices: Iterable[Notice]) -> tuple[Notice, ...]:
    """The notices to be thought of with hands in the dough; how far a model was checked is not."""
    return tuple(n for n in notices if n.weight != "note" and n.code != "outside-model-range")


def notices_elsewhere(plan: BenchPlan) -> tuple[Notice, ...]:
    """The plan's notices that concern no preparation and no step of it."""
    places: set[tuple[str | int, ...]] = {("preparations", p.name) for p in plan.preparations}
    places |= {("process", row.position) for row in plan.timeline.rows}
    return in_reading_order(n for n in plan.notices if n.where[:2] not in places)


def preparation_block(p: PreparationPlan, plan: BenchPlan) -> PreparationBlock:
    """A preparation with all that is said about it."""
    advice = p.mix.advice if p.mix is not None else ()
    about = notices_about(plan.notices, "preparations", p.name)
    notices = in_reading_order((*p.notices, *advice, *about))
    said = (*plan.notices, *(notice for each in plan.preparations for notice in each.notices))
    return PreparationBlock(p, notices, _careful_lines(p.name, (*said, *advice)))


def _careful_lines(preparation: str, notices: Iterable[Notice]) -> frozenset[str]:
    """Lines that a notice graver than a note is about, wherever it is said."""
    start = ("preparations", preparation, "ingredients")
    grave = (n for n in notices if n.weight != "note")
    paths = (path for notice in grave for path in (notice.where, *other_places(notice)))
    return frozenset(str(path[3]) for path in paths if path[:3] == start and len(path) > 3)


def step_blocks(plan: BenchPlan) -> tuple[StepBlock, ...]:
    """The steps in order; what runs inside a waiting step stands under it.

    A step that must begin before the step it runs in stands where it begins.
    """
    blocks = {block.row.position: block for block in _blocks_in_line(plan)}
    hosts = {position: _host(block.row, blocks) for position, block in blocks.items()}
    return tuple(
        replace(block, inside=tuple(blocks[p] for p, host in hosts.items() if host == position))
        for position, block in blocks.items()
        if hosts[position] is None
    )


def _host(row: TimelineRow, blocks: Mapping[int, StepBlock]) -> int | None:
    """The step under which this one stands: one that it begins in, or that has no known end."""
    if row.inside is None or row.inside not in blocks:
        return None
    host = blocks[row.inside].row
    return row.inside if host.lasts.value is None or row.begins >= host.begins else None


def _blocks_in_line(plan: BenchPlan) -> Iterator[StepBlock]:
    """Every step by itself; the day is named where it changes."""
    first = plan.timeline.starts
    before = ""
    for row in plan.timeline.rows:
        day = timings.day(first, row.clock_begins)
        yield _step_block(row, plan, day if day != before else "")
        before = day


def _step_block(row: TimelineRow, plan: BenchPlan, day: str) -> StepBlock:
    preferments = {p.name for p in plan.preparations if p.kind == "preferment"}
    about = notices_about(plan.notices, "process", row.position)
    return StepBlock(
        row=row,
        at=timings.begins(row),
        day=day,
        looks=timings.look_for(row, preferment=row.of in preferments),
        notices=in_reading_order((*row.notices, *about)),
    )


def rise_blocks(plan: BenchPlan) -> tuple[RiseBlock, ...]:
    """The rises in order, numbered as in the picture; none when no dough rises."""
    rows = plan.rises.rows if plan.rises is not None else ()
    return tuple(
        RiseBlock(row, stage_name(i, row), tuple(_points(row, plan)))
        for i, row in enumerate(rows, 1)
    )


def _points(row: RiseRow, plan: BenchPlan) -> Iterator[tuple[str, str, str]]:
    """When, how large, how warm."""
    for point in thinned(row.points):
        at = timings.time_of(point.time, plan.timeline.starts)
        yield at, f"×{point.size:.2f}", temperature(point.temperature, 1)


def bake_block(sheet: BakeSheet, pictures: Pictures) -> BakeBlock:
    """The first bake of a sheet with its pictures."""
    return BakeBlock(
        sheet=sheet,
        row=sheet.rows[0],
        signs=bake_phrases.in_order_of_time(sheet.rows[0]),
        heads=point_heads(sheet),
        points=point_rows(sheet),
        places=cut_rows(sheet),
        warming=pictures.warming,
        cut=pictures.cut,
    )


def bake_notices(sheet: BakeSheet) -> tuple[BakeNotices, ...]:
    """What concerns all bakes first, then what concerns some of them, under their names."""
    high = bake_phrases.altitudes_differ(sheet)
    names = [bake_phrases.row_name(row, altitude=high) for row in sheet.rows]
    about: dict[tuple[str, str], list[int]] = {}
    for i, row in enumerate(sheet.rows):
        for notice in in_reading_order(row.notices):
            about.setdefault((words(notice), remedy(notice)), []).append(i)
    blocks = {"": list(sheet.notices)}
    for said, rows in about.items():
        which = "; ".join(names[i] for i in rows) if len(rows) < len(names) else ""
        own = sheet.rows[rows[0]].notices
        blocks.setdefault(which, []).extend(n for n in own if (words(n), remedy(n)) == said)
    made = (BakeNotices(name, in_reading_order(notices)) for name, notices in blocks.items())
    return tuple(block for block in made if block.notices)
