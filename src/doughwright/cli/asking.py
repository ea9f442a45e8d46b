"""What the commands share: reading files and wishes, and saying what is wrong."""

import sys
from collections.abc import Callable
from datetime import datetime, timedelta
from functools import wraps
from pathlib import Path
from typing import Any, TypeVar, get_args

import click

from doughwright.documents.clock import EXAMPLES as CLOCK_EXAMPLES
from doughwright.documents.clock import STARTED_AGO, clock_time
from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.quantities import EXAMPLES, NotAQuantity, Quantity, quantity
from doughwright.documents.reading import Reading, other_document, read_document
from doughwright.engine.food_rules import Codes
from doughwright.errors import DoughwrightError, Notice, SolverFailure
from doughwright.render.messages import report, words
from doughwright.resolving.formulas import Wish
from doughwright.resolving.kitchens import as_codes, kitchen_from

CANNOT_FOLLOW, CANNOT_READ, OUR_FAULT = 1, 3, 70

MOST_PIECES = 999_999
"""As in a document and on a page: six digits."""

F = TypeVar("F", bound=Callable[..., Any])


def read_file(path: str) -> Reading:
    """Read a document from a file; ``-`` is standard input."""
    try:
        text = sys.stdin.read() if path == "-" else Path(path).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or "not UTF-8 text"
        click.echo(f"{path}: cannot be read ({reason}).", err=True)
        raise SystemExit(CANNOT_READ) from None
    return read_document(text, "standard input" if path == "-" else path)


def formula_in(path: str) -> tuple[Reading, FormulaDocument]:
    """Read a formula document."""
    reading = read_file(path)
    if not isinstance(reading.document, FormulaDocument):
        raise reading.located(other_document(reading.document, "formula/1"))
    return reading, reading.document


def kitchen_in(path: str | None) -> KitchenDocument | None:
    """Read a kitchen document, if one is named."""
    if path is None:
        return None
    reading = read_file(path)
    if not isinstance(reading.document, KitchenDocument):
        raise reading.located(other_document(reading.document, "kitchen/1"))
    try:
        kitchen_from(reading.document)
    except DoughwrightError as error:  # found here, where each has its line
        raise reading.located(error) from None
    return reading.document


def write_file(path: str, body: str | bytes) -> None:
    """Write a file, or say why not."""
    try:
        Path(path).write_bytes(body.encode() if isinstance(body, str) else body)
    except OSError as error:
        click.echo(f"{path}: cannot be written ({error.strerror}).", err=True)
        raise SystemExit(CANNOT_READ) from None


def reporting(command: F) -> F:
    """Turn our errors into a report on standard error and an exit code."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> Any:
        try:
            return command(*args, **kwargs)
        except SolverFailure as error:
            click.echo(report(error.problems), err=True)
            raise SystemExit(OUR_FAULT) from None
        except DoughwrightError as error:
            click.echo(report(error.problems), err=True)
            raise SystemExit(CANNOT_FOLLOW) from None

    return run  # type: ignore[return-value]  # same signature, by wraps


class QuantityOption(click.ParamType[Quantity]):
    """An option's value with its unit, of one of the dimensions."""

    name = "quantity"

    def __init__(self, *dimensions: str) -> None:
        """Take the dimensions allowed."""
        self.dimensions = dimensions
        self.name = " or ".join(dimensions)

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> Quantity:
        """Read the value, or fail with what is allowed."""
        if isinstance(value, Quantity):
            return value
        try:
            return quantity(str(value), *self.dimensions)
        except NotAQuantity as error:
            problem = Notice.of(error.code, read=str(value), allowed=error.allowed)
            self.fail(f"{words(problem)} Write one of: {error.allowed}.", param, ctx)


Values = tuple[Quantity, ...]


class ListOption(click.ParamType[Values]):
    """One or several values with their units, separated by commas."""

    def __init__(self, *dimensions: str) -> None:
        """Take the dimensions allowed."""
        self.one = QuantityOption(*dimensions)
        self.name = f"{self.one.name}[,...]"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> Values:
        """Read each value, or fail with what is allowed."""
        if isinstance(value, tuple):
            return value
        parts = str(value).split(",")
        return tuple(self.one.convert(part.strip(), param, ctx) for part in parts)


class ClockOption(click.ParamType[datetime]):
    """A time of day, ``HH:MM``, or a day and a time, ``2026-03-01 09:00``."""

    name = "HH:MM"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> datetime:
        """Read a time; without a day it is the next one, for a start also one just past."""
        if isinstance(value, datetime):
            return value
        now = datetime.now()  # noqa: DTZ005 - the kitchen's own clock, read only here
        starting = param is not None and param.name == "start"
        read = clock_time(str(value), now, STARTED_AGO if starting else timedelta())
        if read is None:
            self.fail(
                f"“{value}” is no time to plan for; write one of: {CLOCK_EXAMPLES}.", param, ctx
            )
        return read


class CodesOption(click.Choice[Codes]):
    """A country's rules, in capitals or not; a refusal names them as they are written."""

    def __init__(self) -> None:
        """Take the countries whose rules there are."""
        super().__init__(get_args(Codes), case_sensitive=False)

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> Codes:
        """Read the country, or fail with what is allowed."""
        read = as_codes(str(value))
        if read not in self.choices:
            allowed = ", ".join(map(repr, self.choices))
            self.fail(f"{value!r} is not one of {allowed}.", param, ctx)
        return read


def kitchen_option(what: str) -> Callable[[F], F]:
    """Add the option that names one kitchen; ``what`` says what it is asked for."""
    return click.option("--kitchen", type=click.Path(), help=what)


room_option = click.option(
    "--room", type=QuantityOption("temperature"), help="Room temperature, such as 27°C."
)
codes_option = click.option(
    "--codes", type=CodesOption(), help="Whose rules; those of the kitchen without it."
)


def json_option(what: str) -> Callable[[F], F]:
    """Add the option that prints a sheet, here called ``what``, as JSON."""
    return click.option(
        "--json", "as_json", is_flag=True, help=f"Print the {what} as JSON, nothing else."
    )


def wish_options(command: F) -> F:
    """Add the options that ask for a size."""
    for option in (
        click.option(
            "--with",
            "having",
            metavar="'NAME=AMOUNT'",
            help="As much as an ingredient on hand allows, such as 'egg=3 large'.",
        ),
        click.option("--flour", type=QuantityOption("mass"), help="Total flour, such as 1 kg."),
        click.option("--dough", type=QuantityOption("mass"), help="Dough, such as 2 kg."),
        click.option(
            "--piece", type=QuantityOption("mass"), help="Weight of a piece, such as 90 g."
        ),
        click.option("--pieces", type=click.IntRange(1, MOST_PIECES), help="How many pieces."),
    ):
        command = option(command)
    return command


def wish_from(
    pieces: int | None,
    piece: Quantity | None,
    dough: Quantity | None,
    flour: Quantity | None,
    having: str | None,
) -> Wish:
    """Put the size options together; at most one of pieces, dough, flour and with."""
    given = [
        n
        for n, x in (
            ("--pieces", pieces),
            ("--dough", dough),
            ("--flour", flour),
            ("--with", having),
        )
        if x is not None
    ]
    if len(given) > 1:
        raise click.UsageError(f"{' and '.join(given)} ask for two sizes at once; give one.")
    return Wish(
        pieces=pieces,
        piece=_positive(piece, "--piece"),
        dough=_positive(dough, "--dough"),
        flour=_positive(flour, "--flour"),
        having=_having(having),
    )


def _positive(value: Quantity | None, option: str) -> float | None:
    if value is not None and value.best <= 0:
        raise click.UsageError(f"{option} must be more than zero.")
    return value.best if value is not None else None


def _having(text: str | None) -> tuple[str, Quantity] | None:
    if text is None:
        return None
    name, _, amount = text.partition("=")
    try:
        read = quantity(amount.strip(), "mass", "volume", "count")
    except NotAQuantity:
        read = None
    if read is None or not name.strip():
        allowed = f"'egg=3 large', 'milk=250 ml', 'flour=1 kg' ({EXAMPLES['mass']})"
        raise click.UsageError(f"--with {text!r} is not understood; write {allowed}.")
    _positive(read, f"The amount in --with {text!r}")
    return name.strip(), read


def announce_compiling() -> None:
    """Say why the first plan after an installation takes its time."""
    from doughwright.engine.compiled import BAKE, RISE, is_compiled  # noqa: PLC0415 - only then

    if not is_compiled(RISE, BAKE):
        click.echo("Compiling the models of rise and bake, once: about 30 s …", err=True)
