"""The sentences of a card: a bread told to someone who was not there."""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType

from doughwright.engine.household import Measured
from doughwright.render.bake_phrases import weight_band
from doughwright.render.numbers import (
    MINUTE,
    duration_band,
    given_temperature,
    height,
    length,
    litres,
    mass,
    rough_duration,
    temperature,
)
from doughwright.render.phrases import how_warm, lever_words, mixed_band, pieces_line
from doughwright.render.timings import instruction, until
from doughwright.sheets.bench_plan import KitchenSheet, PreparationPlan
from doughwright.sheets.card import CardSheet, OvenSheet
from doughwright.sheets.card_places import OtherWay, Place
from doughwright.sheets.card_sizes import MeasureSheet, SizeColumn
from doughwright.sheets.card_steps import CardStep, FormCell
from doughwright.sheets.cells import Cell
from doughwright.sheets.kitchens import MixInKitchen
from doughwright.sheets.mixing import LeverRow
from doughwright.sheets.ovens import AlikeCell
from doughwright.sheets.weighing import WeighLine

# Spoons and cups

FRACTIONS: Mapping[Fraction, str] = MappingProxyType(
    {
        Fraction(1, 8): "⅛",
        Fraction(1, 4): "¼",
        Fraction(1, 3): "⅓",
        Fraction(1, 2): "½",
        Fraction(2, 3): "⅔",
        Fraction(3, 4): "¾",
    }
)
"""The parts of a spoon or cup that are spoken of."""


def counted(count: float) -> str:
    """A number of spoons or cups with its usual fraction.

    >>> counted(2.5), counted(1 / 3), counted(3.0)
    ('2½', '⅓', '3')
    """
    whole, part = divmod(Fraction(count).limit_denominator(12), 1)
    nearest = min((Fraction(0), *FRACTIONS, Fraction(1)), key=lambda f: abs(f - part))
    whole += nearest == 1
    return f"{whole or ''}{FRACTIONS.get(nearest, '')}" or "0"


def measure_words(measure: Measured | None) -> str:
    """A weight in spoons and cups.

    >>> measure_words(Measured(((1.0, "cup"), (2.0, "tbsp")), 0.27))
    '1 cup + 2 tbsp'
    """
    if measure is None:
        return ""
    return " + ".join(
        f"{counted(n)} {'cups' if unit == 'cup' and n > 1 else unit}" for n, unit in measure.parts
    )


def measure_sentences(sheet: MeasureSheet) -> Iterator[str]:
    """Whose spoons and cups, and how far they may be trusted."""
    cup, tbsp, tsp = (_millilitres(cell) for cell in (sheet.cup, sheet.tbsp, sheet.tsp))
    whose = "US" if sheet.system == "US" else "Metric"
    yield f"{whose} measures, level: a cup is {cup}, a tablespoon {tbsp}, a teaspoon {tsp}."
    yield "Grams go first: spoons and cups only come near them."
    if sheet.flour_cup is not None:
        held = weight_band(sheet.flour_cup)
        yield f"A cup of white flour weighs {held} as it is filled: where you can, weigh it."
    if sheet.salt is not None:
        fine, coarse, flaky = map(
            measure_words, (sheet.salt.fine, sheet.salt.coarse, sheet.salt.flaky)
        )
        yield (
            f"Spoons of salt are fine salt: {fine} of it weigh about as much as {coarse} of "
            f"dense coarse salt or {flaky} of flaky."
        )


def _millilitres(cell: Cell) -> str:
    millilitres = f"{(cell.value or 0.0) * 1e6:.1f}"
    return f"{millilitres.removesuffix('.0')} ml"


# What it makes, and how long


def yield_line(card: CardSheet) -> str:
    """How many pieces, as they are scaled and as they come out."""
    if card.division is None:
        made = f"{mass(card.dough.value or 0.0)} of dough"
    else:
        made = pieces_line(card.division)
    if card.baked is None:
        return f"{made}."
    what = "it" if card.division is None else "a piece"
    return f"{made}; baked, {what} weighs {weight_band(card.baked)}."


def time_line(card: CardSheet) -> str:
    """The whole time and the hands' part of it, as ranges."""
    if card.total.value is None or not card.sections:
        return ""
    whole = duration_band(card.total)
    said = f"About {whole} in all" if card.complete else f"Over {whole}: not every time is known"
    if card.hands_on.value is not None:
        said += f", {duration_band(card.hands_on)} of it by hand"
    if card.oven_time.value is not None:
        said += f", {duration_band(card.oven_time)} in the oven"
    return f"{said}."


# What to weigh


def line_warmth(line: WeighLine) -> str:
    """How warm a thing is to be: as the formula says, where it is kept, or to reach the aim."""
    cell = line.temperature
    if cell is None or cell.value is None or line.is_preparation:
        return ""
    if cell.kind == "kept":
        return f"from the {line.place}"
    return f"at {how_warm(line)}" if cell.kind in {"stated", "model"} else ""


# How it is done

OUTLINES: Mapping[str, str] = MappingProxyType(
    {
        "round": "round",
        "flat": "flat and round",
        "ring": "a ring",
        "oval": "oval",
        "baton": "a baton",
        "tin": "for the tin",
    }
)


def form_words(form: FormCell) -> str:
    """The shape of a piece: ``round, 11 cm across, 2.5 cm high``."""
    parts = [OUTLINES[form.outline]]
    if form.volume is not None and form.volume.value is not None:
        parts.append(f"which holds {litres(form.volume.value)}")
    if form.width is not None and form.width.value is not None:
        wide = length(form.width.value)
        if form.length is None or form.length.value is None:
            parts.append(f"{wide} across")
        else:
            parts.append(f"{length(form.length.value)} × {wide}")
    if form.high is not None and form.high.value is not None:
        parts.append(f"{length(form.high.value)} high")
    return ", ".join(parts)


UNCOUNTED = frozenset({"usual", "assumed"})
"""Times of our own habit: a card leaves them to the reader's hands."""

MADE = frozenset({"make", "shape", "divide", "pre-shape", "fill", "glaze", "top"})
"""Steps that are over when they are done, however long they take."""

SPOKEN_LATER = frozenset({"mix", "bake"})
"""Steps whose sign is a sentence of its own."""


def step_sentences(step: CardStep, *, preferment: bool = False) -> tuple[str, ...]:
    """What to do in a step, for how long, until what, and what its baker noted."""
    row = step.row
    looks = until(row, preferment=preferment)
    said = [_first(step, looks)]
    if looks and (row.hands_on or row.verb in SPOKEN_LATER):
        lead = "It " if row.temperature is not None else "Done: " if row.verb == "bake" else ""
        said.append(f"{_capital(lead + looks)}.")
    return (*said, *_beside(step), *((row.note,) if row.note else ()))


def _first(step: CardStep, looks: str) -> str:
    row = step.row
    said = instruction(row).removesuffix(".") + _of_pieces(step)
    if row.lasts.value and row.lasts.kind not in UNCOUNTED:
        lasts = duration_band(row.lasts) + (" in all" if row.then is not None else "")
        said += f" ({lasts})" if row.verb in MADE else f" for {lasts}"
    if looks and not row.hands_on and row.verb not in SPOKEN_LATER:
        said += f", until {looks}"
    if step.host is not None:
        said = f"Meanwhile, {said[:1].lower()}{said[1:]}"
    return f"{said}."


def _of_pieces(step: CardStep) -> str:
    if step.pieces is not None and step.piece is not None:
        return f" into {step.pieces} pieces of {mass(step.piece.value or 0.0)}"
    return f" {form_words(step.form)}" if step.form is not None else ""


def _beside(step: CardStep) -> Iterator[str]:
    """What a reader could not know: when to begin, what boiled away, when the oven is turned."""
    if step.early is not None:
        yield f"Begin about {rough_duration(step.early.value or MINUTE)} before that."
    if step.top_up is not None:
        whole = mass(step.top_up.value or 0.0)
        yield f"Water boils away: weigh it when it is cool and top it up with water to {whole}."
    if step.cooler_than is not None and step.cools_in is not None:
        below = temperature(step.cooler_than.value or 0.0)
        yield f"Let it cool below {below} before yeast meets it: {duration_band(step.cools_in)}."
    if step.turned is not None:
        yield f"Turn the oven after about {rough_duration(step.turned.value or MINUTE)}."


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


# How warm the dough is to be


def aim_sentence(p: PreparationPlan) -> str:
    """How warm a mix is aimed at, how it gets there where it was tested, and how near."""
    assert p.mix is not None
    assert p.mix.aim is not None
    aim = temperature(p.mix.aim.value or 0.0)
    usual = " (a usual aim: the formula names none)" if p.mix.aim.kind == "assumed" else ""
    by = _capital(_with(p.mix.levers))
    return f"Aim for {aim}{usual}. {by} it comes out at {mixed_band(p.mix)}."


def way_sentence(way: OtherWay) -> str:
    """The same dough mixed in another way."""
    by = "By hand" if way.way == "hand" else f"In a {way.way}"
    return f"{by} instead it comes out at {mix_words(way.mix)}."


def mix_words(mix: MixInKitchen) -> str:
    """How warm a mix comes out, and by what."""
    assert mix.temperature.value is not None
    return f"{temperature(mix.temperature.value)} {_with(mix.levers)}"


def _with(levers: Iterable[LeverRow]) -> str:
    return f"with {' and '.join(map(_lever, levers)) or 'everything as it lies'}"


def _lever(lever: LeverRow) -> str:
    """What is poured or lies at what temperature."""
    if lever.kind in {"liquid", "flour"} and lever.temperature.value is not None:
        return f"{' and '.join(lever.names)} at {temperature(lever.temperature.value)}"
    return lever_words(lever)


# Other kitchens


def place_head(place: Place) -> str:
    """A kitchen of the table by its room, the card's own marked, a high one by its height."""
    room = given_temperature(place.room.value or 0.0)
    if place.tested:
        return f"{room} (this card)"
    high = place.altitude.value or 0.0
    return f"{room}, {height(high)} up" if high > 1000.0 else room


# Ovens

BAKED_ON: Mapping[str, str] = MappingProxyType(
    {
        "tin": "It bakes in the tin, on a shelf.",
        "hot stone": "It goes onto a stone or steel that was heated with the oven.",
        "hot metal": "It goes onto a tray that was heated with the oven.",
        "tray": "It bakes on a tray that goes in with it.",
    }
)
OVEN_NAMES: Mapping[str, str] = MappingProxyType(
    {"fan": "Fan", "conventional": "Without a fan", "gas": "Gas"}
)
OVENS_DIFFER = (
    "Ovens differ by 10 °C and more from their dials: colour and core decide, not the number."
)
"""Common practice; consumer tests of dials say so too (docs/science/baking.md)."""


def alike_words(cell: AlikeCell | None) -> str:
    """A dial with what it may be too: whole fives where it is worked out."""
    if cell is None:
        return ""
    if cell.temperature is None or cell.temperature.value is None:
        return "no mark is near"
    if cell.mark:
        return f"mark {cell.mark}{_other_marks(cell)}"
    if not cell.temperature.banded:
        return temperature(cell.temperature.value)
    best, low, high = (
        temperature(_fives(x))
        for x in (cell.temperature.value, cell.temperature.low, cell.temperature.high)
    )
    return f"{best} ({low.removesuffix(' °C')}–{high.removesuffix(' °C')})"


def _fives(value: float | None) -> float:
    """To whole fives of a degree Celsius."""
    return round(((value or 0.0) - 273.15) / 5) * 5 + 273.15


def _other_marks(cell: AlikeCell) -> str:
    if len(cell.marks) < 2:
        return ""
    return f" ({cell.marks[0]}–{cell.marks[-1]})"


def core_sentence(sheet: OvenSheet) -> str:
    """The core that is waited for."""
    if sheet.core.value is None:
        return ""
    return f"It is done at {temperature(sheet.core.value)} in the core."


# Sizes


def size_head(column: SizeColumn) -> str:
    """A size by its pieces, or by how often it is the batch."""
    if column.pieces is not None:
        name = f"{column.pieces} {'piece' if column.pieces == 1 else 'pieces'}"
    else:
        name = f"{counted(column.batches)} × the batch"
    return f"{name} (this card)" if column.own else name


# What was assumed


def place_sentence(card: CardSheet) -> str:
    """In what kitchen the card's times hold."""
    kitchen, low = card.kitchen, card.kitchen.altitude
    cells = (("the flour", kitchen.flour), ("the fridge", kitchen.fridge))
    told = [f"{name} at {_shown(cell)}" for name, cell in cells if _is_told(cell, card)]
    where = ", ".join([f"a kitchen at {_shown(kitchen.room)}", *told[:1]])
    where += "".join(f" and {last}" for last in told[1:])
    if low.value is not None and _is_told(low, card):
        where += f", {height(low.value)} above the sea"
    if card.tested and not _is_told(kitchen.room, card):
        return f"How warm the kitchen was is not noted: times and temperatures hold in {where}."
    if card.tested:
        return f"Tested in {where}."
    return f"Where it was tested is not noted: times and temperatures hold in {where}."


def _is_told(cell: Cell, card: CardSheet) -> bool:
    """Whether a tested formula says so itself; without a test there is only the kitchen."""
    return not card.tested or cell.kind != "assumed"


def _shown(cell: Cell) -> str:
    return given_temperature(cell.value or 0.0)


def assumed_sentences(card: CardSheet) -> Iterator[str]:
    """What was taken for want of a better word, or worked out and not measured."""
    taken = [f"{name} {_shown(cell)}" for name, cell in _assumed(card.kitchen)]
    low = card.kitchen.altitude
    if low.kind == "assumed" and low.value is not None:
        taken.append(f"{height(low.value)} above the sea")
    if card.ovens is not None and not card.ovens.kind_said:
        taken.append("the oven one without a fan")
    if taken:
        yield f"Not noted, so taken to be: {', '.join(taken)}."
    steps = [step for section in card.sections for step in section.steps]
    if any(step.row.lasts.kind == "model" for step in steps):
        yield "Some times are worked out and were not taken: one in five falls outside its range."
    if any(step.row.lasts.kind == "usual" and step.row.hands_on for step in steps):
        yield "How long work takes by hand is a usual time."
    yield from _counted_eggs(card)
    if card.label is not None and card.label.loss.kind in {"model", "usual"}:
        yield "What a baked piece weighs is worked out, and with it what is in 100 g."
    if card.label is not None:
        yield "Nutrition is worked out from tables of what ingredients hold."


def _assumed(kitchen: KitchenSheet) -> Iterator[tuple[str, Cell]]:
    for name in ("room", "flour", "fridge"):
        cell: Cell = getattr(kitchen, name)
        if cell.kind == "assumed":
            yield name, cell


def _counted_eggs(card: CardSheet) -> Iterator[str]:
    sizes = {x.count_word for p in card.preparations for x in p.plan.lines if x.count is not None}
    if sizes:
        yield f"Eggs are counted as {' and '.join(sorted(sizes))}: the grams go first."
