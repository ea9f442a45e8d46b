"""``doughwright gather``: other people's recipes as a formula, with what must be asked."""

import sys
from collections.abc import Mapping
from pathlib import Path

import click

from doughwright.cli.asking import CANNOT_FOLLOW, CANNOT_READ, reporting, write_file
from doughwright.cli.countries import COUNTRIES
from doughwright.errors import DocumentError, Notice
from doughwright.gathering.drafted import Draft
from doughwright.gathering.drafts import draft
from doughwright.gathering.gathered import Choice, Doubt, Settings
from doughwright.gathering.pages.saved import any_gathered, decoded
from doughwright.gathering.telling import weight_beside
from doughwright.gathering.writing import formula_text
from doughwright.render.messages import remedy, words

SYSTEMS = ("us", "metric", "imperial", "nordic", "japanese", "australian")
OTHERS = {
    "amount": "how much, as a recipe says it",
    "ingredient": "any name of the table",
    "shares": "60 g for the dough, 40 g for the filling",
}
SIZES = ("small", "medium", "large", "extra large", "jumbo")


@click.command("gather")
@click.argument("files", nargs=-1, required=True, type=click.Path())
@click.option("--out", type=click.Path(), help="Write the formula to this file, or folder.")
@click.option("--country", default="", help="Whose eggs and sachets: two letters, such as GB.")
@click.option("--cups", type=click.Choice(SYSTEMS), default=None, help="Whose cups and spoons.")
@click.option("--eggs", type=click.Choice(SIZES), default=None, help="Where no size is written.")
@click.option(
    "--answer",
    "answers",
    multiple=True,
    metavar="KEY=CHOICE",
    help="Settle a question by its key; once for each question.",
)
@reporting
def command(
    files: tuple[str, ...],
    out: str | None,
    country: str,
    cups: str | None,
    eggs: str | None,
    answers: tuple[str, ...],
) -> None:
    """Make a formula of a recipe: text, a saved web page, JSON; ``-`` is standard input.

    Each of FILES is a recipe of its own; with several, --out names a folder. What must be asked
    goes to standard error, with its key and its candidates. Ends with 1 while a question is open
    without which there is no formula, with 3 if a file cannot be read.
    """
    settings = Settings(_country(country), cups or "", eggs or "")
    given = dict(map(_answer, answers))
    made = {file: draft(any_gathered(_text(file), _named(file)), settings, given) for file in files}
    _refuse_stray(list(made.values()), given)
    for file, drafted in made.items():
        _show(drafted, _place(out, file, alone=len(made) == 1))
        for doubt in drafted.open_doubts:
            click.echo(question(doubt), err=True)
    if any(drafted.is_blocked for drafted in made.values()):
        raise SystemExit(CANNOT_FOLLOW)


def question(doubt: Doubt) -> str:
    """A doubt as it is asked on a terminal: what is the matter, and how to answer."""
    head = "Must be answered" if doubt.blocks else "Worth an answer"
    said = f"{head}: {words(doubt.notice)} {remedy(doubt.notice)}".rstrip()
    offered = (f"  --answer '{doubt.key}={_offered(choice)}" for choice in doubt.choices)
    other = [f"  --answer '{doubt.key}=…'  ({OTHERS[doubt.takes]})"] if doubt.takes else []
    return "\n".join([said, *offered, *other])


def _offered(choice: Choice) -> str:
    beside = choice.words if choice.words != choice.key else ""
    said = ", ".join(filter(None, (beside, weight_beside(choice))))
    return f"{choice.key}'" + (f"  ({said})" if said else "")


def _text(file: str) -> str:
    """The text of a file, or of standard input."""
    try:
        body = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
    except OSError as error:
        click.echo(f"{file}: cannot be read ({error.strerror}).", err=True)
        raise SystemExit(CANNOT_READ) from None
    text = decoded(body)
    if text is None:
        click.echo(f"{file}: cannot be read (not UTF-8 text).", err=True)
        raise SystemExit(CANNOT_READ)
    return text


def _named(file: str) -> str:
    return "standard input" if file == "-" else Path(file).name


def _country(word: str) -> str:
    if word and word.upper() not in COUNTRIES:
        raise click.UsageError(f"--country {word!r} is no country; write two letters: LV, GB.")
    return word.upper()


def _answer(words: str) -> tuple[str, str]:
    key, parted, choice = words.partition("=")
    if not parted or not key.strip():
        raise click.UsageError(f"--answer {words!r} is not understood; write KEY=CHOICE.")
    return key.strip(), choice.strip()


def _refuse_stray(drafts: list[Draft], given: Mapping[str, str]) -> None:
    """Refuse answers that no question of any recipe takes."""
    stray = set.intersection(*(set(drafted.stray) for drafted in drafts))
    if stray:
        told = sorted(stray)
        raise DocumentError(Notice.of("gather-answer", key=key, read=given[key]) for key in told)


def _place(out: str | None, file: str, *, alone: bool) -> str | None:
    """Where a formula is written: the file that was named, or one in the folder."""
    if out is None or alone:
        return out
    stem = "standard-input" if file == "-" else Path(file).stem
    return str(Path(out) / f"{stem}.yaml")


def _show(drafted: Draft, place: str | None) -> None:
    text = formula_text(drafted)
    if place is None:
        click.echo(text, nl=False)
    else:
        write_file(place, text)
