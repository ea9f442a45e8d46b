"""``doughwright plan``: a formula and a kitchen in, a bench plan out."""

from datetime import datetime
from pathlib import Path
from typing import Any

import click

from doughwright.cli.asking import (
    ClockOption,
    QuantityOption,
    formula_in,
    kitchen_in,
    located,
    reporting,
    screen,
    wish_from,
    wish_options,
    write_file,
)
from doughwright.documents.quantities import Quantity
from doughwright.errors import DoughwrightError
from doughwright.resolving.formulas import Wish, leaves_scale_open, resolved_formula
from doughwright.resolving.kitchens import Kitchen, kitchen_from, with_changes
from doughwright.sheets.bench_plan import BenchPlan, bench_plan


@click.command("plan")
@click.argument("formula", type=click.Path())
@click.option(
    "--kitchen", type=click.Path(), help="A kitchen document; without it, an ordinary kitchen."
)
@click.option("--room", type=QuantityOption("temperature"), help="Room temperature, such as 27°C.")
@wish_options
@click.option("--start", type=ClockOption(), help="Begin at this time.")
@click.option("--ready", type=ClockOption(), help="Be ready at this time.")
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON, nothing else.")
@click.option("--html", type=click.Path(), help="Write the plan as one HTML page to this file.")
@reporting
def command(
    formula: str,
    kitchen: str | None,
    room: Quantity | None,
    start: datetime | None,
    ready: datetime | None,
    as_json: bool,  # noqa: FBT001 - a flag
    html: str | None,
    **size: Any,
) -> None:
    """Plan FORMULA (a file, or - for standard input) in a kitchen.

    Prints what to weigh, how warm each thing must be, and when each step comes.
    """
    if start is not None and ready is not None:
        raise click.UsageError("--start and --ready contradict each other; give one.")
    place = kitchen_from(kitchen_in(kitchen))
    if room is not None:
        place = with_changes(place, room=room.best)
    plan = planned(formula, place, wish_from(**size), start, ready)
    if html is not None:
        write_page(plan, html)
    show(plan, as_json=as_json)
    if html is not None and not as_json:
        click.echo(f"\nThe same plan as a page: {Path(html).resolve()}")


def planned(
    path: str, kitchen: Kitchen, wish: Wish, start: datetime | None, ready: datetime | None
) -> BenchPlan:
    """Read, solve and plan; problems come back with their place in the file."""
    reading, document = formula_in(path)
    try:
        formula = resolved_formula(document, wish)
        own = formula if wish.is_open or leaves_scale_open(document) else resolved_formula(document)
        return bench_plan(formula, kitchen, own, start=start, ready=ready)
    except DoughwrightError as error:
        raise located(error, reading) from None


def write_page(plan: BenchPlan, path: str) -> None:
    """Write the plan's page."""
    from doughwright.render.page import bench_plan_page  # noqa: PLC0415 - only when asked for

    write_file(path, bench_plan_page(plan))


def show(plan: BenchPlan, *, as_json: bool) -> None:
    """Print the plan as text or JSON."""
    if as_json:
        from doughwright.render.json_text import sheet_json  # noqa: PLC0415 - only when asked for

        click.echo(sheet_json(plan))
        return
    from doughwright.render.text import bench_plan_text  # noqa: PLC0415 - rich, not for JSON

    click.echo(bench_plan_text(plan, **screen()), nl=False)
