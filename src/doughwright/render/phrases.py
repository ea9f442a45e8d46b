"""The sentences of a plan: what to do, how warm, until what. One instruction a sentence."""

from collections.abc import Mapping
from types import MappingProxyType

from doughwright.render.numbers import (
    duration,
    duration_band,
    fine_mass,
    mass,
    temperature,
)
from doughwright.sheets.bench_plan import PreparationPlan
from doughwright.sheets.cells import Cell
from doughwright.sheets.mixing import LeverRow, MixSheet
from doughwright.sheets.timeline import TimelineRow
from doughwright.sheets.weighing import WeighLine

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
    if row.oven:
        parts.append(f"{'to' if row.verb == 'preheat' else 'at'} {row.oven}")
    if row.then:
        parts.append(f"then at {row.then}")
    if row.place is not None and row.place.value is not None:
        parts.append(f"at {temperature(row.place.value)}")
    return " ".join(parts) + "."


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


def lasting(row: TimelineRow) -> str:
    """How long a step takes, and by whose word when it is not this kitchen's."""
    said = duration_band(row.lasts)
    return f"{said} where it was tested" if row.lasts.kind == "tested" else said


def weight(line: WeighLine) -> str:
    """The weight to read off the scale."""
    assert line.weight.value is not None
    assert line.step.value is not None
    return mass(line.weight.value, line.step.value)


def how_warm(line: WeighLine) -> str:
    """The temperature of a line and the place or lever that gives it."""
    if line.temperature is None or line.temperature.value is None:
        return ""
    shown = temperature(line.temperature.value)
    if line.temperature.kind == "model" and not line.is_preparation:
        return f"{shown}{_blend(line)}"
    if line.temperature.kind == "assumed" and line.place == "room":
        return "room"
    said = {"stated": "", "model": "by then"}
    words = said.get(line.temperature.kind, f"from the {line.place}")
    return f"{shown}, {words}" if words else shown


SMALL_SPLIT = 0.1
"""A share of flour too small to be worth weighing apart: it moves a dough by half a degree."""


def _blend(line: WeighLine) -> str:
    if line.ice is not None and line.ice.value:
        return f", {mass(line.ice.value)} of it as ice"
    if line.cold_part is None or line.cold_part.value is None or line.weight.value is None:
        return ""
    cold, whole = line.cold_part.value, line.weight.value
    if cold <= SMALL_SPLIT * whole:
        return ", from the bench"
    if cold >= (1 - SMALL_SPLIT) * whole:
        return ", from the fridge"
    step = line.step.value or 0.001
    return f": {mass(cold, step)} from the fridge, {mass(whole - cold, step)} from the bench"


def aside(line: WeighLine) -> str:
    """What stands beside a weight: whole eggs and the rest, the author's note."""
    parts = []
    if line.count is not None:
        parts.append(_whole(line))
    if line.note:
        parts.append(line.note)
    return "; ".join(parts)


def _whole(line: WeighLine) -> str:
    rest = (
        f"{fine_mass(line.rest.value)} of one more, beaten" if line.rest and line.rest.value else ""
    )
    if not line.count:
        return rest
    whole = f"{line.count} {line.count_word}"
    return f"{whole} + {rest}" if rest else whole


def mix_summary(mix: MixSheet) -> str:
    """How warm a mix comes out, against what is aimed at."""
    comes = _band(mix.temperature)
    if mix.aim is None or mix.aim.value is None:
        return f"Comes out at {comes}."
    aim = temperature(mix.aim.value)
    assumed = " (a usual aim: the formula names none)" if mix.aim.kind == "assumed" else ""
    return f"Aim {aim}{assumed}; comes out at {comes}."


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
        "ice": "Take part of the {names} as ice",
    }
)


def lever_sentence(row: LeverRow) -> str:
    """One lever and how far it gets."""
    assert row.temperature.value is not None
    assert row.reached.value is not None
    names = " and ".join(row.names)
    said = LEVER_WORDS[row.kind].format(names=names, at=temperature(row.temperature.value))
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
    assert row.difference.value is not None
    assert row.dough.value is not None
    if abs(row.difference.value) < 0.5:
        return f"The {row.factors}-factor rule agrees: {temperature(row.liquid.value)}."
    warmer = "warmer" if row.difference.value > 0 else "colder"
    return (
        f"The {row.factors}-factor rule says {temperature(row.liquid.value)}, "
        f"{abs(row.difference.value):.0f} °C {warmer}; by weights the dough would come out "
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
