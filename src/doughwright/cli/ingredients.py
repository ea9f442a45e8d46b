"""``doughwright ingredients``: what the table knows."""

import click

from doughwright.cli.asking import CANNOT_FOLLOW
from doughwright.cli.showing import screen
from doughwright.engine.ingredients import nearest_names
from doughwright.render.json_text import sheet_json
from doughwright.render.text import ingredients_text
from doughwright.sheets.ingredients import ingredient_rows


@click.command("ingredients")
@click.argument("word", default="")
@click.option("--json", "as_json", is_flag=True, help="Print the rows as JSON, nothing else.")
def command(word: str, as_json: bool) -> None:  # noqa: FBT001 - a flag
    """List the ingredients known, or those WORD is found in.

    “counted” is the water that counts in true hydration.
    """
    rows = ingredient_rows(word)
    if not rows:
        near = ", ".join(nearest_names(word)) or "none"
        click.echo(f"Nothing is called “{word}”. Nearest: {near}.", err=True)
        raise SystemExit(CANNOT_FOLLOW)
    text = sheet_json(rows) if as_json else ingredients_text(rows, facts=bool(word), **screen())
    click.echo(text, nl=as_json)
