"""Food safety of a plan as text for a terminal."""

from collections.abc import Iterator
from textwrap import wrap

from rich.text import Text

from doughwright.render.messages import remedy, words
from doughwright.render.numbers import duration, temperature
from doughwright.render.phrases import CAUTIONS
from doughwright.render.text import SIGNS, WIDTH, console, text_of
from doughwright.render.timings import elapsed
from doughwright.sheets.safety import ClockRow, CookRow, FoodRow, SafetySheet

VERBS = {
    "make": "made",
    "cook": "cooked",
    "kept:fridge": "kept in the fridge",
    "kept:room": "kept in the room",
    "kept:freezer": "kept in the freezer",
    "fill": "filled in",
    "bake": "in the oven",
    "cool": "on the rack, as it cools",
    "mix": "mixed",
}

HOLDS = {
    "egg": "egg",
    "dairy": "milk",
    "cheese": "cheese",
    "meat": "meat",
    "vegetable": "vegetables",
}


def safety_text(sheet: SafetySheet, *, width: int = WIDTH, colour: bool = False) -> str:
    """What may spoil, where it stands, what the rules say, what to do."""
    out = console(width, colour=colour)
    out.print(Text(f"{sheet.name}: what may spoil, by {sheet.codes} rules", style="bold"))
    out.print(sheet.kitchen, style="dim")
    if not sheet.foods:
        out.print("\nNothing in this formula is followed: no egg, milk, cheese or meat in it.")
    for food in sheet.foods:
        out.print()
        out.print(Text(_title(food), style="bold"))
        for line in _lines(food):
            out.print(line)
        for notice in food.advice:
            out.print(_remark(SIGNS[notice.weight], f"{words(notice)} {remedy(notice)}", width))
    out.print()
    out.print("The baked bread", style="bold")
    said = "is one to keep cold" if sheet.keep_cold else "need not be kept cold for what is in it"
    out.print(f"  It {said} ({sheet.control_by}).")
    for notice in sheet.baked:
        out.print(_remark(SIGNS[notice.weight], f"{words(notice)} {remedy(notice)}", width))
    out.print()
    for caution in CAUTIONS:
        out.print(caution, style="dim")
    out.print("Growth is an estimate beside the clocks; check your local code.", style="dim")
    return text_of(out)


def _title(food: FoodRow) -> str:
    return f"{food.name.capitalize()} ({', '.join(HOLDS[h] for h in food.holds)})"


def _lines(food: FoodRow) -> Iterator[str]:
    for row in food.standing:
        course = f"{temperature(row.start)[:-3]} → {temperature(row.end)}"
        lasts = duration(row.ends - row.begins)
        yield f"  {elapsed(row.begins):>5}  {VERBS.get(row.verb, row.verb)}, {lasts}: {course}"
    for clock in food.clocks:
        yield f"  {_clock(clock)}"
    for cook in food.cooking:
        yield f"  {_cook(cook)}"
    bands = {"small": "little", "caution": "take care", "red": "too much"}
    said = [f"{g.organism} ×{10 ** (g.rise.value or 0):.1f} ({bands[g.band]})" for g in food.growth]
    yield f"  Could grow before the oven, by estimate: {', '.join(said)}."


def _clock(row: ClockRow) -> str:
    measured = duration(row.measured.value or 0.0)
    source = f"{row.rule.id}, {row.rule.section}{', from memory' if row.rule.from_memory else ''}"
    if row.allowed is None or row.allowed.value is None or row.exceeded is None:
        return f"· {measured} warm: {row.rule.says} ({source})"
    word = "!" if row.exceeded else "·"
    over = "over" if row.exceeded else "within"
    return f"{word} {measured} warm, {over} the {duration(row.allowed.value)} of {source}"


def _cook(row: CookRow) -> str:
    hottest, wanted = temperature(row.hottest.value or 0.0), temperature(row.wanted.value or 0.0)
    memory = ", from memory" if row.rule.from_memory else ""
    met = "meets" if row.met else "does not meet"
    sign = "·" if row.met else "!"
    return f"{sign} The coldest spot comes to {hottest}: {met} {row.rule.id} ({wanted}){memory}"


def _remark(sign: str, said: str, width: int) -> Text:
    lines = wrap(said.strip(), width - 4)
    return Text(f"  {sign} " + "\n    ".join(lines))
