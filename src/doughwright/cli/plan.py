"""``doughwright plan``: a formula and a kitchen in, a bench plan out; or several kitchens."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from itertools import product
from pathlib import Path
from typing import Any

import click

from doughwright.cli.asking import (
    ClockOption,
    ListOption,
    Values,
    codes_option,
    json_option,
    kitchen_in,
    reporting,
    wish_from,
    wish_options,
    write_file,
)
from doughwright.cli.opening import opened
from doughwright.cli.showing import screen, show
from doughwright.documents.quantities import Quantity
from doughwright.documents.scalars import nearest
from doughwright.engine.food_rules import Codes
from doughwright.resolving.formulas import Wish
from doughwright.resolving.kitchens import CHANGEABLE, Kitchen, changed_kitchen, kitchen_from
from doughwright.sheets.bench_plan import BenchPlan, bench_plan
from doughwright.sheets.cells import Cell
from doughwright.sheets.kitchens import (
    MOST_KITCHENS,
    Change,
    KitchenComparison,
    Variant,
    kitchen_comparison,
)

UNITS = {"temperature": "K", "length": "m"}


class FieldOption(click.ParamType[tuple[str, Values]]):
    """A field of a kitchen and its values: ``fridge=4°C,8°C``."""

    name = "field=values"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[str, Values]:
        """Read the field and its values, or fail with what is allowed."""
        if isinstance(value, tuple):
            return value
        field, sign, values = str(value).partition("=")
        field = field.strip().casefold()
        if field not in CHANGEABLE or not sign:
            like = nearest(field, CHANGEABLE)
            hint = f" Did you mean “{like}”?" if like and like != field else ""
            allowed = ", ".join(CHANGEABLE)
            self.fail(f"“{value}”: write FIELD=VALUES with one of {allowed}.{hint}", param, ctx)
        return field, ListOption(CHANGEABLE[field]).convert(values, param, ctx)


@click.command("plan")
@click.argument("formula", type=click.Path())
@click.option(
    "--kitchen",
    type=click.Path(),
    multiple=True,
    help="A kitchen document; without it, an ordinary kitchen. Several give one table.",
)
@click.option(
    "--room",
    type=ListOption("temperature"),
    help="Room temperature, such as 27°C; 18°C,22°C,27°C gives one table of three kitchens.",
)
@click.option(
    "--where",
    type=FieldOption(),
    multiple=True,
    help="Another field of the kitchen, such as 'fridge=4°C,8°C': room, flour, fridge, freezer, "
    "proofer or altitude.",
)
@codes_option
@wish_options
@click.option("--start", type=ClockOption(), help="Begin at this time.")
@click.option("--ready", type=ClockOption(), help="Be ready at this time.")
@json_option("plan")
@click.option("--html", type=click.Path(), help="Write the plan as one HTML page to this file.")
@click.option("--pdf", type=click.Path(), help="Write the plan as a tagged PDF to this file.")
@reporting
def command(
    formula: str,
    start: datetime | None,
    ready: datetime | None,
    codes: Codes | None,
    as_json: bool,  # noqa: FBT001 - a flag
    html: str | None,
    pdf: str | None,
    **asked: Any,
) -> None:
    """Plan FORMULA (a file, or - for standard input) in a kitchen.

    Prints what to weigh, how warm each thing must be, and when each step comes. With more
    than one kitchen (several --kitchen, several values of --room or --where) it prints one
    table instead: times, dough temperatures and levers by kitchen.
    """
    if start is not None and ready is not None:
        raise click.UsageError("--start and --ready contradict each other; give one.")
    places = variants(asked.pop("kitchen"), asked.pop("room"), asked.pop("where"))
    for option, file in (("--html", html), ("--pdf", pdf)):
        if len(places) > 1 and file is not None:
            raise click.UsageError(
                f"{option} writes the page of one kitchen, and {len(places)} are asked for. "
                f"Give one kitchen, or leave {option} out."
            )
    wish = wish_from(**asked)
    if len(places) > 1:
        show(compared(formula, places, wish, start, ready), _table, as_json=as_json)
        return
    kitchen = places[0].kitchen
    here = replace(kitchen, codes=codes) if codes is not None else kitchen
    plan = planned(formula, here, wish, start, ready)
    show(plan, _text, as_json=as_json)
    warn_if_late(plan, ready)
    if html is not None:
        write_page(plan, html)
    if pdf is not None:
        write_pdf(plan, pdf)
    for what, file in (("a page", html), ("a PDF", pdf)):
        if file is not None and not as_json:
            click.echo(f"\nThe same plan as {what}: {Path(file).resolve()}")


def warn_if_late(plan: BenchPlan, ready: datetime | None) -> None:
    """Say so when a plan made backwards begins in the past."""
    starts = plan.timeline.starts
    if ready is not None and starts is not None and starts < datetime.now():  # noqa: DTZ005 - the kitchen's own clock
        click.echo(
            f"\nThis plan begins at {starts:%Y-%m-%d %H:%M}, which is past: "
            "ask for a later --ready.",
            err=True,
        )


def variants(
    files: Sequence[str], room: Values | None, where: Sequence[tuple[str, Values]]
) -> tuple[Variant, ...]:
    """Every kitchen asked for: each document with each value of each field."""
    fields = [("room", room)] if room is not None else []
    fields += where
    names = [name for name, _ in fields]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise click.UsageError(f"“{twice}” is given twice; write its values in one list.")
    count = max(1, len(files))
    for _, values in fields:
        count *= len(values)
    if count > MOST_KITCHENS:
        raise click.UsageError(
            f"That would be {count} kitchens; one table has room for {MOST_KITCHENS}. "
            "Give fewer values, or ask twice."
        )
    kitchens = [kitchen_from(kitchen_in(file)) for file in files] or [kitchen_from(None)]
    shown = {name for name, values in fields if len(values) > 1}
    return tuple(
        _variant(kitchen, dict(zip(names, chosen, strict=True)), shown)
        for kitchen in kitchens
        for chosen in product(*(values for _, values in fields))
    )


def _variant(kitchen: Kitchen, fields: dict[str, Quantity], shown: set[str]) -> Variant:
    changed = changed_kitchen(kitchen, fields)
    return Variant(
        changed,
        tuple(
            Change(name, Cell(getattr(changed, name), UNITS[CHANGEABLE[name]], "stated"))
            for name in fields
            if name in shown
        ),
    )


def planned(
    path: str, kitchen: Kitchen, wish: Wish, start: datetime | None, ready: datetime | None
) -> BenchPlan:
    """Read, solve and plan; problems come back with their place in the file."""
    with opened(path, wish, needs_size=True) as (formula, own):
        return bench_plan(formula, kitchen, own, start=start, ready=ready)


def compared(
    path: str,
    places: Sequence[Variant],
    wish: Wish,
    start: datetime | None,
    ready: datetime | None,
) -> KitchenComparison:
    """Read, solve and plan in each kitchen; problems come back with their place in the file."""
    with opened(path, wish, needs_size=True) as (formula, own):
        return kitchen_comparison(formula, own, places, start=start, ready=ready)


def write_page(plan: BenchPlan, path: str) -> None:
    """Write the plan's page."""
    from doughwright.render.page import bench_plan_page  # noqa: PLC0415 - only when asked for

    write_file(path, bench_plan_page(plan))


def write_pdf(plan: BenchPlan, path: str) -> None:
    """Write the plan's PDF."""
    from doughwright.render.pdf import plan_pdf  # noqa: PLC0415 - only when asked for

    write_file(path, plan_pdf(plan))


def _text(plan: BenchPlan) -> str:
    from doughwright.render.text import bench_plan_text  # noqa: PLC0415 - rich, not for JSON

    return bench_plan_text(plan, **screen())


def _table(sheet: KitchenComparison) -> str:
    from doughwright.render.comparison import kitchens_text  # noqa: PLC0415 - rich, not for JSON

    return kitchens_text(sheet, **screen())
