"""The sentences of a plan about weights and warmth. One instruction a sentence."""

from collections.abc import Mapping
from types import MappingProxyType

from doughwright.render.numbers import (
    fine_mass,
    given_temperature,
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
from doughwright.sheets.weighing import WeighLine
from doughwright.units import ICE_POINT, Kilogram


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


def lever_words(lever: LeverRow) -> str:
    """One lever in a few words: what, how warm; how much ice."""
    assert lever.temperature.value is not None
    names, at = " and ".join(lever.names), temperature(lever.temperature.value)
    if lever.kind == "ice":
        ice = mass(lever.mass.value) if lever.mass is not None and lever.mass.value else "part"
        return f"{ice} of {names} as ice"
    if lever.kind == "preferment liquid":
        return f"the {names}'s liquid at {at}"
    return f"{names} {at}"


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
    return f"{given_temperature(cell.value)}{mark}"


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
