"""The sentences of a plan: what to do, how warm, until what. One instruction a sentence."""

from collections.abc import Mapping
from datetime import datetime
from types import MappingProxyType

from doughwright.render.numbers import (
    clock,
    duration,
    duration_band,
    fine_mass,
    mass,
    ratio_band,
    rough_duration,
    temperature,
)
from doughwright.sheets.bench_plan import KitchenSheet, PreparationPlan
from doughwright.sheets.cells import Cell
from doughwright.sheets.dividing import DivisionSheet
from doughwright.sheets.formula import Figure
from doughwright.sheets.mixing import SMALL_SPLIT, LeverRow, MixSheet
from doughwright.sheets.rises import RiseRow, RiseSheet
from doughwright.sheets.timeline import OvenCell, Timeline, TimelineRow
from doughwright.sheets.weighing import WeighLine
from doughwright.units import ICE_POINT, Kilogram, Second

DO: Mapping[str, str] = MappingProxyType(
    {
        "mix": "Mix the {of}",
        "ferment": "Let the {of} rise",
        "fold": "Fold the {of}",
        "punch": "Knock the {of} back",
        "divide": "Divide the {of}",
        "pre-shape": "Pre-shape the {of}",
        "rest": "Rest the {of}",
        "shape": "Shape the {of}",
        "proof": "Proof the {of}",
        "retard": "Keep the {of} cold",
        "fill": "Fill with {of}",
        "glaze": "Brush with {of}",
        "top": "Top with {of}",
        "make": "Make the {of}",
        "cook": "Cook the {of}",
        "soak": "Soak the {of}",
        "preheat": "Heat the {of}",
        "bake": "Bake the {of}",
        "cool": "Cool the {of}",
    }
)
"""What each verb of a process asks for."""

PREFERMENT_CUES: Mapping[str, str] = MappingProxyType(
    {
        "ripe": "full of bubbles, domed, just about to sink in the middle",
        "double": "twice its size",
    }
)
DOUGH_CUES: Mapping[str, str] = MappingProxyType(
    {"ripe": "airy and well risen", "double": "twice its size"}
)
DEFAULT_CUES: Mapping[str, str] = MappingProxyType(
    {
        "proof": "a floured fingertip leaves a dent that fills slowly",
        "rest": "the pieces lie relaxed and no longer spring back",
        "soak": "all the water is taken up",
    }
)


def instruction(row: TimelineRow) -> str:
    """What to do in a step, as one sentence.

    Ends without its cue, which :func:`until` gives.
    """
    parts = [DO[row.verb].format(of=row.of)]
    if row.by:
        parts.append(f"by {row.by}" if row.by == "hand" else f"in the {row.by}")
    if row.oven is not None:
        parts.append(f"{'to' if row.verb == 'preheat' else 'at'} {oven(row.oven)}")
    if row.steam:
        parts.append("with steam")
    if row.then is not None:
        parts.append(f"then at {oven(row.then)}")
    if row.place is not None and row.place.value is not None:
        parts.append(f"at {temperature(row.place.value)}")
    return " ".join(parts) + "."


def oven(cell: OvenCell) -> str:
    """An oven's dial in °C with its kind, or the gas mark."""
    if cell.temperature is None or cell.temperature.value is None:
        return f"gas mark {cell.mark}"
    return f"{temperature(cell.temperature.value)} {cell.kind}".strip()


def until(row: TimelineRow, *, preferment: bool = False) -> str:
    """What to look for: the author's cue first, else the trade's, with the size or core."""
    looks = row.cue or _size_cue(row.until, preferment=preferment) or DEFAULT_CUES.get(row.verb, "")
    if row.core is not None and row.core.value is not None:
        core = f"core {temperature(row.core.value)}"
        looks = f"{core}; {looks}" if looks else core
    if row.temperature is not None and row.temperature.value is not None:
        comes = f"comes out at about {temperature(row.temperature.value)}"
        looks = f"{comes}; {looks}" if looks else comes
    return looks


def _size_cue(word: str, *, preferment: bool) -> str:
    if word.endswith("x"):
        return f"{word[:-1]} times its size"
    return (PREFERMENT_CUES if preferment else DOUGH_CUES).get(word, "")


WHOSE_TIME: Mapping[str, str] = MappingProxyType(
    {
        "tested": "where it was tested",
        "anchored": "(tested time, moved here)",
        "moved": "(tested time, moved by temperature)",
        "model": "(by the model alone)",
    }
)
"""Where a time is from, when it is neither stated nor usual."""


def lasting(row: TimelineRow) -> str:
    """How long a step takes, and by whose word when it is not this kitchen's."""
    said = duration_band(row.lasts)
    whose = WHOSE_TIME.get(row.lasts.kind, "")
    return f"{said} {whose}" if whose and row.lasts.value is not None else said


def weight(line: WeighLine) -> str:
    """The weight to read off the scale; where that is nothing, the weight that is wanted."""
    assert line.weight.value is not None
    if _below_scale(line):
        return fine_mass(line.wanted.value or 0.0)
    return mass(line.weight.value, _step_of(line))


def _below_scale(line: WeighLine) -> bool:
    """Whether the scale would show nothing for a thing that is wanted."""
    return bool(line.wanted.value) and not line.weight.value


def how_warm(line: WeighLine) -> str:
    """The temperature of a line, the place or lever that gives it, and how much is ice."""
    if line.temperature is None or line.temperature.value is None:
        return ""
    if line.ice is not None and line.ice.value:
        ice = mass(line.ice.value, _step_of(line))
        return f"{temperature(line.temperature.value)}, {ice} of it as ice"
    return _warmth(line, line.temperature, temperature(line.temperature.value))


def _step_of(line: WeighLine) -> Kilogram:
    return line.step.value or 0.001


def _warmth(line: WeighLine, cell: Cell, shown: str) -> str:
    if cell.kind == "model" and not line.is_preparation:
        return f"{shown}{_blend(line)}"
    if cell.kind == "assumed" and line.place == "room":
        return "room"
    said = {"stated": "", "model": "by then"}
    words = said.get(cell.kind, f"from the {line.place}")
    return f"{shown}, {words}" if words else shown


def _blend(line: WeighLine) -> str:
    if line.cold_part is None or line.cold_part.value is None or line.weight.value is None:
        return ""
    cold, whole = line.cold_part.value, line.weight.value
    if cold <= SMALL_SPLIT * whole:
        return f", from the {line.warm_place}"
    if cold >= (1 - SMALL_SPLIT) * whole:
        return f", from the {line.cold_place}"
    step = _step_of(line)
    parts = ((cold, line.cold_place), (whole - cold, line.warm_place))
    said = ", ".join(f"{mass(part, step)} from the {place}" for part, place in parts)
    return f": {said}"


def aside(line: WeighLine) -> str:
    """What stands beside a weight: below the scale, whole eggs and the rest, a note."""
    parts = ["below the scale"] if _below_scale(line) else []
    if line.count is not None:
        parts.append(_whole(line))
    if line.note:
        parts.append(line.note)
    return "; ".join(parts)


def _whole(line: WeighLine) -> str:
    rest = f"{fine_mass(line.rest.value)} of" if line.rest and line.rest.value else ""
    if not line.count:
        return f"{rest} one, beaten" if rest else ""
    whole = f"{line.count} {line.count_word}"
    return f"{whole} + {rest} one more, beaten" if rest else whole


def mix_summary(mix: MixSheet) -> str:
    """How warm a mix comes out, against what is aimed at."""
    comes = _band(mix.temperature)
    if mix.aim is None or mix.aim.value is None:
        return f"Comes out at {comes}."
    aim = temperature(mix.aim.value)
    assumed = " (a usual aim: the formula names none)" if mix.aim.kind == "assumed" else ""
    return f"Aim {aim}{assumed}; comes out at {comes}{_unsteered(mix)}."


def _unsteered(mix: MixSheet) -> str:
    """How warm the dough would be with everything as it lies, when that is not the same."""
    assert mix.unsteered.value is not None
    assert mix.temperature.value is not None
    if abs(mix.unsteered.value - mix.temperature.value) < 1:
        return ""
    said = f"{temperature(mix.unsteered.value)} with everything as it lies"
    return f" ({said}{_delayed(mix)})"


def _delayed(mix: MixSheet) -> str:
    """What a colder or warmer dough costs or saves, in minutes of its first rise."""
    if mix.delay is None or mix.delay.value is None:
        return ""
    longer = "longer" if mix.delay.value > 0 else "shorter"
    return f": rises about {rough_duration(abs(mix.delay.value))} {longer}"


def _band(cell: Cell) -> str:
    assert cell.value is not None
    if not cell.banded or cell.low is None or cell.high is None:
        return temperature(cell.value)
    return f"{temperature(cell.low)[:-3]}–{temperature(cell.high)}"


LEVER_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "liquid": "Pour the {names} at {at}",
        "flour": "Have the {names} at {at} on average",
        "preferment liquid": "Mix the {names} with its liquid at {at}",
        "ice": "Take {mass} of the {names} as ice",
    }
)


def lever_sentence(row: LeverRow) -> str:
    """One lever and how far it gets."""
    assert row.temperature.value is not None
    assert row.reached.value is not None
    names = " and ".join(row.names)
    ice = mass(row.mass.value) if row.mass is not None and row.mass.value else "part"
    at = temperature(row.temperature.value)
    said = LEVER_WORDS[row.kind].format(names=names, at=at, mass=ice)
    if row.feasible:
        return f"{said}."
    reached = temperature(row.reached.value)
    return f"{said} (as far as it goes: {row.limit}); that gives {reached}."


def classic_sentence(mix: MixSheet) -> str:
    """What the classic rule says beside the balance."""
    row = mix.classic
    if row is None:
        return ""
    assert row.liquid.value is not None
    assert row.balance.value is not None
    assert row.dough.value is not None
    # the difference of what is shown, so that a reader can check it
    apart = round(row.liquid.value - ICE_POINT) - round(row.balance.value - ICE_POINT)
    if not apart:
        return f"The {row.factors}-factor rule agrees: {temperature(row.liquid.value)}."
    warmer = "warmer" if apart > 0 else "colder"
    return (
        f"The {row.factors}-factor rule says {temperature(row.liquid.value)}, "
        f"{abs(apart)} °C {warmer}; by weights the dough would come out "
        f"at {temperature(row.dough.value)}."
    )


def heading(p: PreparationPlan) -> str:
    """Name of a preparation with its style."""
    name = p.name[:1].upper() + p.name[1:]
    kind = p.style or ("" if p.kind in {p.name, "dough"} else p.kind)
    return f"{name} ({kind})" if kind and kind.casefold() != p.name.casefold() else name


def total(cell: Cell) -> str:
    """The whole time as a range."""
    return duration_band(cell) if cell.value is not None else duration(0)


CAUTIONS = (
    "Raw flour and raw egg are not for tasting.",
    "Ovens, trays and steam burn.",
    "Read the packets for allergens.",
    "Where you sell or serve, your local food code goes before this plan.",
)
"""The usual cautions; they stand on every plan."""

NOTICE_WORDS: Mapping[str, str] = MappingProxyType(
    {"note": "Worth knowing", "care": "Take care", "stop": "Stop"}
)
"""How a notice of each weight is headed."""


def kitchen_line(kitchen: KitchenSheet) -> str:
    """The kitchen in one line; what was assumed is marked."""
    named = (("room", kitchen.room), ("flour", kitchen.flour), ("fridge", kitchen.fridge))
    said = [f"{word} {_stated_or_assumed(cell)}" for word, cell in named]
    return f"{kitchen.name}: {', '.join(said)}"


def _stated_or_assumed(cell: Cell) -> str:
    assert cell.value is not None
    mark = " (assumed)" if cell.kind == "assumed" else ""
    return f"{temperature(cell.value)}{mark}"


def look_for(row: TimelineRow, *, preferment: bool = False) -> str:
    """What :func:`until` gives, as it follows the time a step takes."""
    looks = until(row, preferment=preferment)
    waits = bool(looks) and not row.hands_on and row.core is None
    return f"until {looks}" if waits else looks


def day(first: datetime | None, at: datetime | None) -> str:
    """The day of a clock time, counted from the first; nothing on the first day.

    >>> day(datetime(2026, 3, 1, 21, 0), datetime(2026, 3, 2, 7, 30))
    'the next day'
    """
    days = (at.date() - first.date()).days if first is not None and at is not None else 0
    return "" if days == 0 else "the next day" if days == 1 else f"{days} days later"


def elapsed(seconds: Second) -> str:
    """Hours and minutes since the first step.

    >>> elapsed(5400.0)
    '1:30'
    """
    hours, minutes = divmod(round(seconds / 60), 60)
    return f"{hours}:{minutes:02d}"


def begins(row: TimelineRow) -> str:
    """Clock time of a step's beginning, or the time since the first step."""
    return clock(row.clock_begins) if row.clock_begins is not None else elapsed(row.begins)


def when(row: TimelineRow) -> str:
    """What :func:`begins` gives, marked where a time before it is not known."""
    return f"≥ {begins(row)}" if row.unsure_before else begins(row)


def total_sentences(line: Timeline) -> tuple[str, ...]:
    """From when to when, and how much of it takes hands."""
    hands = f"{duration(line.hands_on.value or 0.0)} of it by hand."
    if not line.complete:
        return (
            *_begin_sentences(line),
            f"The times that are stated add up to {duration_band(line.total)}, {hands}",
            "Some times are not stated: later steps are not before the time shown.",
        )
    return (*_ready_sentences(line), f"About {duration_band(line.total)} in all, {hands}")


def _begin_sentences(line: Timeline) -> tuple[str, ...]:
    if line.starts is None:
        return ()
    early = "well before" if line.start_to_be_sure is not None else "at"
    return (f"Start {early} {clock(line.starts)}.",)


def _ready_sentences(line: Timeline) -> tuple[str, ...]:
    if line.starts is None or line.ready is None:
        return ()
    next_day = f"{late} " if (late := day(line.starts, line.ready)) else ""
    band = f"{clock(line.ready_low)}–{clock(line.ready_high)}"
    said = f"Start {clock(line.starts)}, ready about {clock(line.ready)} {next_day}({band})."
    if line.start_to_be_sure is None:
        return (said,)
    sure = clock(line.start_to_be_sure)
    return (said, f"To be ready in time even if it is slow, start at {sure}.")


def rise_label(row: RiseRow) -> str:
    """A stage by its verb and dough: ``sponge, ferment``."""
    return f"{row.of}, {row.verb}"


def usable(row: RiseRow) -> str:
    """From when to when a stage may end."""
    if row.lasts.kind == "stated" or row.usable_from.value is None:
        return "by the clock"
    first = rough_duration(row.usable_from.value)
    if row.usable_to is None or row.usable_to.value is None:
        return f"from {first}"
    return f"{first} to {rough_duration(row.usable_to.value)}"


def dough_course(row: RiseRow) -> str:
    """How warm the dough is at a stage's start and end."""
    assert row.start.value is not None
    assert row.end.value is not None
    return f"{temperature(row.start.value)[:-3]} → {temperature(row.end.value)}"


def size_band(cell: Cell) -> str:
    """How many times its size at the start of the stage, one digit behind the point."""
    assert cell.value is not None
    if not cell.banded or cell.low is None or cell.high is None:
        return f"×{cell.value:.1f}"
    low, high = f"{cell.low:.1f}", f"{cell.high:.1f}"
    return f"×{low}" if low == high else f"×{low}–{high}"


def rise_basis(sheet: RiseSheet) -> str:
    """On what the times stand: the baker's own moved here, or the model alone."""
    if sheet.anchor is None:
        return (
            "Times are the model's alone: one dough in five falls outside them. Note how long "
            "yours took (`took:`) and where (`tested in:`), and they narrow."
        )
    assert sheet.anchor.vigour.value is not None
    quick = sheet.anchor.vigour.value - 1
    word = "as lively as the book's" if abs(quick) < 0.05 else f"{abs(quick) * 100:.0f} % "
    if abs(quick) >= 0.05:
        word += "quicker than the book's" if quick > 0 else "slower than the book's"
    return (
        "Times are your own, moved from where they were noted to this kitchen; by them your "
        f"yeast is {word}. The dough decides, not the clock."
    )


def pieces_line(division: DivisionSheet) -> str:
    """How many pieces of how much."""
    assert division.piece.value is not None
    return f"{division.pieces} × {mass(division.piece.value)}"


def division_sentences(division: DivisionSheet) -> tuple[str, ...]:
    """What is spared and what is left when a dough is divided."""
    assert division.spare.value is not None
    said = []
    if division.spare.value > 0:
        spare = mass(division.spare.value)
        said.append(f"{spare} is spared for what stays on bowl, hands and bench.")
    if division.remainder.value and division.even is not None and division.even.value:
        left, even = mass(division.remainder.value), mass(division.even.value)
        said.append(f"{left} is left; {even} each leaves nothing.")
    return tuple(said)


def left_over_sentence(p: PreparationPlan) -> str:
    """How much of a preparation the dough does not take."""
    if p.left_over is None or not p.left_over.value:
        return ""
    return f"{mass(p.left_over.value)} of it is left over."


def figure_value(figure: Figure) -> str:
    """One figure of the formula: a percentage, the dough yield as a plain ratio."""
    if figure.name == "dough yield":
        return f"{figure.cell.value:.3f}"
    return ratio_band(figure.cell)


def mixed_band(mix: MixSheet) -> str:
    """How warm a mix comes out, as a range."""
    return _band(mix.temperature)
