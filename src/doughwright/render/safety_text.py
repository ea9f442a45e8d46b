"""Food safety of a plan as text for a terminal."""

from collections.abc import Iterable, Iterator
from textwrap import wrap

from rich.console import Console
from rich.text import Text

from doughwright.errors import Notice
from doughwright.render.food_phrases import (
    Said,
    food_findings,
    food_title,
    kept_sentence,
    stand_findings,
    standing_course,
    standing_words,
    to_act_on,
)
from doughwright.render.messages import remedy, words
from doughwright.render.phrases import CAUTIONS
from doughwright.render.text import SIGNS, WIDTH, console, text_of
from doughwright.render.timings import elapsed
from doughwright.sheets.food_notices import gap_notices
from doughwright.sheets.safety_rows import FoodRow, SafetySheet


def safety_text(sheet: SafetySheet, *, width: int = WIDTH, colour: bool = False) -> str:
    """What may spoil, where it stands, what the rules say, what to do."""
    out = console(width, colour=colour)
    out.print(Text(f"{sheet.name}: what may spoil, by {sheet.codes} rules", style="bold"))
    out.print(sheet.kitchen, style="dim")
    if sheet.foods or gap_notices(sheet):
        out.print(to_act_on(sheet))
    if not sheet.baked_in_plan:
        out.print("\nThe formula has no step that bakes: nothing is killed, and it ends raw here.")
    gaps = gap_notices(sheet)
    if not sheet.foods and not gaps:
        out.print(
            "\nNothing in this formula is followed: the table calls nothing in it perishable."
        )
        out.print("What comes out of a tin, a jar or a vacuum pack is, once it is open.")
    if gaps:
        out.print()
        _say(out, (), gaps, width)
    for food in sheet.foods:
        out.print()
        out.print(Text(food_title(food), style="bold"))
        for line in _standing(food):
            out.print(line)
        _say(out, food_findings(food), food.advice, width)
    out.print()
    out.print("The baked bread" if sheet.baked_in_plan else "The bread", style="bold")
    out.print(f"  {kept_sentence(sheet)}")
    _say(out, (), sheet.baked, width)
    if sheet.stand is not None:
        out.print()
        held = {"hot": "Held hot", "cold": "On display"}[sheet.stand.held]
        out.print(held, style="bold")
        if sheet.keep_cold or sheet.not_known:
            _say(out, stand_findings(sheet.stand), (), width)
        else:
            out.print("  No clock runs for this bread: it need not be kept cold or hot.")
    out.print()
    for caution in CAUTIONS:
        out.print(caution, style="dim")
    out.print("Growth is an estimate beside the clocks; check your local code.", style="dim")
    return text_of(out)


def _standing(food: FoodRow) -> Iterator[str]:
    for row in food.standing:
        yield f"  {elapsed(row.begins):>5}  {standing_words(row)}: {standing_course(row)}"


def _say(out: Console, found: Iterable[Said], notices: Iterable[Notice], width: int) -> None:
    for said in found:
        out.print(_remark("!" if said.bad else "·", said.text, width))
    for notice in notices:
        out.print(_remark(SIGNS[notice.weight], f"{words(notice)} {remedy(notice)}", width))


def _remark(sign: str, said: str, width: int) -> Text:
    lines = wrap(said.strip(), width - 4, break_on_hyphens=False)
    return Text(f"  {sign} " + "\n    ".join(lines))
