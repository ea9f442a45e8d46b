"""A bench plan as one HTML page that needs nothing beside it: to save, to print, to send."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from doughwright.errors import Notice
from doughwright.render import bake_phrases, food_phrases, phrases, selling_phrases, timings
from doughwright.render.bake_chart import bake_picture, point_heads, point_rows
from doughwright.render.chart import rise_picture, stage_name
from doughwright.render.cut_chart import cut_picture, cut_rows
from doughwright.render.messages import remedy, where, words
from doughwright.render.numbers import duration_band, mass, temperature
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


def bench_plan_page(plan: BenchPlan) -> str:
    """The plan as one HTML5 document, its style inside, without script."""
    return (
        _templates()
        .get_template("bench_plan.html.j2")
        .render(
            plan=plan,
            style=_style(),
            preparations=tuple(_preparation_block(p, plan) for p in plan.preparations),
            steps=step_blocks(plan),
            rises=rise_blocks(plan),
            picture=_picture(plan),
            bake=bake_block(plan.bake) if plan.bake is not None else None,
            elsewhere=notices_elsewhere(plan),
            models=model_rows(plan.models),
            cautions=phrases.CAUTIONS,
        )
    )


def bake_page(sheet: BakeSheet) -> str:
    """A bake and others beside it as one HTML5 document, its style inside, without script."""
    return (
        _templates()
        .get_template("bake_page.html.j2")
        .render(
            sheet=sheet,
            style=_style(),
            bake=bake_block(sheet),
            high=bake_phrases.altitudes_differ(sheet),
            remarks=bake_notices(sheet),
            elsewhere=(),
            models=model_rows(sheet.models),
            cautions=phrases.CAUTIONS,
        )
    )


SAID: tuple[Callable[..., object], ...] = (
    selling_phrases.allergen_lines,
    phrases.aside,
    bake_phrases.basis,
    phrases.classic_sentence,
    bake_phrases.colour_words,
    selling_phrases.cost_sums,
    bake_phrases.criterion_time,
    timings.dough_course,
    phrases.figure_value,
    food_phrases.food_findings,
    food_phrases.food_title,
    bake_phrases.goal_words,
    phrases.heading,
    bake_phrases.heat_words,
    phrases.how_warm,
    selling_phrases.ingredient_line,
    timings.instruction,
    food_phrases.kept_sentence,
    phrases.kitchen_line,
    selling_phrases.label_notes,
    timings.lasting,
    bake_phrases.last_sign,
    phrases.left_over_sentence,
    phrases.lever_sentence,
    bake_phrases.loss_band,
    bake_phrases.loss_words,
    selling_phrases.missing_sentences,
    phrases.mix_summary,
    phrases.mixed_band,
    selling_phrases.money,
    selling_phrases.nutrition_heads,
    selling_phrases.nutrition_rows,
    bake_phrases.outcome_sentence,
    bake_phrases.oven_words,
    phrases.pieces_line,
    bake_phrases.probe_sentence,
    timings.rise_basis,
    bake_phrases.row_name,
    timings.size_band,
    selling_phrases.sold_sentence,
    food_phrases.standing_course,
    food_phrases.standing_words,
    bake_phrases.staying_sentence,
    timings.time_of,
    timings.usable,
    bake_phrases.sizes_sentence,
    bake_phrases.wanted_sentence,
    phrases.weight,
    bake_phrases.weight_band,
    duration_band,
    mass,
    remedy,
    where,
    words,
)
"""What templates may say, under the name it has in Python."""


@cache
def _templates() -> Environment:
    made = Environment(
        loader=PackageLoader("doughwright.render"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=unbroken,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters |= {function.__name__: function for function in SAID}
    made.filters |= {"number_and_unit": number_and_unit, "with_code": with_code}
    made.globals |= {
        "division_sentences": phrases.division_sentences,
        "total_sentences": timings.total_sentences,
        "notice_words": phrases.NOTICE_WORDS,
        "label_rules": selling_phrases.RULES,
        "before_printing": selling_phrases.BEFORE_PRINTING,
    }
    return made


@cache
def _style() -> Markup:
    folder = files("doughwright.render") / "styles"
    sheets = [(folder / name).read_text("utf-8") for name in STYLES]
    return Markup("\n".join(sheets))  # noqa: S704 - our own files


UNIT = re.compile(r"(?<=\d) (?=(?:°C|°F|K|kg|g|mm|cm|m|kJ|min|h|%)(?!\w))|(?<=\d h) (?=\d+ min)")
"""The space before a unit, and between hours and minutes."""


def unbroken(value: object) -> object:
    r"""Text in which no line ends between a number and its unit.

    >>> unbroken("32–34 °C, 8 min, 8 pieces")
    '32–34\xa0°C, 8\xa0min, 8 pieces'
    """
    if not isinstance(value, str) or isinstance(value, Markup):
        return value
    return UNIT.sub("\N{NO-BREAK SPACE}", value)


def number_and_unit(quantity: str) -> Markup:
    """A quantity with its number and unit marked apart, so that the number can be large.

    >>> number_and_unit("143 g")
    Markup('<b>143</b> <span class="unit">g</span>')
    """
    number, _, unit = quantity.rpartition(" ")
    return Markup('<b>{}</b> <span class="unit">{}</span>').format(number, unit)


def with_code(text: str) -> Markup:
    """A message with what stands between backticks set as code.

    >>> with_code("shorten it with `for:` & wait")
    Markup('shorten it with <code>for:</code> &amp; wait')
    """
    plain = [escape(part) for part in UNIT.sub("\N{NO-BREAK SPACE}", text).split("`")]
    coded = [Markup("<code>{}</code>").format(p) if i % 2 else p for i, p in enumerate(plain)]
    return Markup().join(coded)


def notices_about(notices: Iterable[Notice], *path: str | int) -> tuple[Notice, ...]:
    """The notices whose path begins with this one."""
    return tuple(n for n in notices if n.where[: len(path)] == path)


def in_reading_order(notices: Iterable[Notice]) -> tuple[Notice, ...]:
    """The gravest first; what is said twice of one thing is kept once."""
    said = {(words(n), remedy(n)): n for n in notices}
    return tuple(sorted(said.values(), key=lambda n: URGENCY.index(n.weight)))


def notices_elsewhere(plan: BenchPlan) -> tuple[Notice, ...]:
    """The plan's notices that concern no preparation and no step of it."""
    places: set[tuple[str | int, ...]] = {("preparations", p.name) for p in plan.preparations}
    places |= {("process", row.position) for row in plan.timeline.rows}
    return in_reading_order(n for n in plan.notices if n.where[:2] not in places)


def _preparation_block(p: PreparationPlan, plan: BenchPlan) -> PreparationBlock:
    advice = p.mix.advice if p.mix is not None else ()
    about = notices_about(plan.notices, "preparations", p.name)
    notices = in_reading_order((*p.notices, *advice, *about))
    return PreparationBlock(p, notices, _careful_lines(p.name, notices))


def _careful_lines(preparation: str, notices: Iterable[Notice]) -> frozenset[str]:
    """Lines that carry a notice graver than a note."""
    start = ("preparations", preparation, "ingredients")
    about = [n for n in notices_about(notices, *start) if n.weight != "note"]
    return frozenset(str(n.where[3]) for n in about if len(n.where) > 3)


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


def _picture(plan: BenchPlan) -> Markup:
    if plan.rises is None:
        return Markup()
    return Markup(rise_picture(plan.rises, plan.timeline.starts))  # noqa: S704 - escaped as XML


def bake_block(sheet: BakeSheet) -> BakeBlock:
    """The first bake of a sheet with its pictures."""
    return BakeBlock(
        sheet=sheet,
        row=sheet.rows[0],
        signs=bake_phrases.in_order_of_time(sheet.rows[0]),
        heads=point_heads(sheet),
        points=point_rows(sheet),
        places=cut_rows(sheet),
        warming=Markup(bake_picture(sheet)),  # noqa: S704 - escaped as XML
        cut=Markup(cut_picture(sheet)),  # noqa: S704 - escaped as XML
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
