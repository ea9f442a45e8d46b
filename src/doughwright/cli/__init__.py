"""The command line: one file a command, loaded when it is called."""

import sys
from importlib import import_module
from keyword import iskeyword

import click

from doughwright import __version__

COMMANDS = {
    "serve": "Open the library in a browser, on this machine or in its network.",
    "plan": "A formula and a kitchen in, a bench plan out.",
    "card": "A bread written up for others: text, page, PDF, recipe for machines.",
    "bake": "How long another size, another oven, another altitude.",
    "label": "Ingredients, allergens and nutrition of the bread as it is sold.",
    "safety": "What in the plan may spoil, whose clock it breaks, what to do.",
    "cost": "What it costs, by batch, by piece, by kilogram baked.",
    "yeast": "How much yeast makes a step ready in a wished time.",
    "rework": "A formula changed on purpose: preferment, size, swap, target, schedule.",
    "check": "Read documents and say all that is wrong or doubtful in them.",
    "formula": "The percentages of a formula, overall and by preparation.",
    "ingredients": "What the ingredient table knows.",
    "gather": "Other people's recipes, from text or saved pages, as a formula to mend.",
    "compare": "Several sources of one bread side by side, and a start from the middle.",
    "import": "Files, folders and archives into the library.",
    "export": "The library as files that say what their authors wrote.",
    "backup": "Every revision of everything in the library into one file.",
    "restore": "A backup in the place of the library.",
}
"""The commands with what they do, so that ``--help`` need not load them."""


class _Commands(click.Group):
    """Loads a command's module only when the command is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        del ctx
        if cmd_name not in COMMANDS:
            return None
        name = f"{cmd_name}_" if iskeyword(cmd_name) else cmd_name
        command: click.Command = import_module(f"doughwright.cli.{name}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.command(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="doughwright")
def doughwright() -> None:
    """Plan bread at the bench: what to weigh, how warm, when, until what.

    Exit codes: 0 done; 1 a document or a wish cannot be followed (the reason is on
    standard error); 2 the command was not understood; 3 a file cannot be read or
    written; 70 our own computation failed.
    """


def main() -> None:
    """Run the command line."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8")  # ° and – on a terminal that claims ASCII
    doughwright()
