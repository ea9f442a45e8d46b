"""The stages of a batch, and the table of rows the compiled run reads."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from doughwright.engine import dough as stuff
from doughwright.engine.cooling import Place
from doughwright.engine.dough import Dough
from doughwright.engine.fermentation import HOUR, cardinal_factor, parameters
from doughwright.units import Kelvin, KelvinDifference, Ratio, Second

if TYPE_CHECKING:
    import numpy as np

FOREVER: Second = 1e9


@dataclass(frozen=True, slots=True)
class Ripe:
    """Until a preferment is ripe."""


@dataclass(frozen=True, slots=True)
class Relative:
    """Until the dough is so many times its volume at the start of the stage."""

    times: Ratio


@dataclass(frozen=True, slots=True)
class For:
    """For a time, whatever the dough does."""

    time: Second


Goal = Ripe | Relative | For
StageKind = Literal["ferment", "punch", "rest", "proof"]


@dataclass(frozen=True, slots=True)
class Mix:
    """What is mixed (into what the stage before left, if any), and how warm it becomes.

    ``temperature`` holds when what went before came in at ``preferment_temperature``; each
    kelvin more adds ``by_preferment`` (by default its share of the heat capacity).
    ``by_friction`` and ``by_transfer`` say how the temperature answers to the kitchen's
    friction rise (K per K) and heat transfer (K per unit of its logarithm); ``give`` is the
    standard deviation of what else may be wrong with it.
    """

    dough: Dough
    temperature: Kelvin
    preferment_temperature: Kelvin | None = None
    carried: Ratio = 1.0
    by_preferment: Ratio | None = None
    by_friction: Ratio = 0.0
    by_transfer: KelvinDifference = 0.0
    give: KelvinDifference = 0.5


@dataclass(frozen=True, slots=True)
class Stage:
    """One passive step: what it starts with, where it stands, until when.

    ``places`` are (how long, where); the last lasts. ``surface`` is the area over that of a
    sphere. ``gas_kept`` is the share of the bubbles that survives what is done to the dough at
    the start of the stage; by default that of the stage's kind. ``window`` asks for the peak
    too, which takes longer.
    """

    kind: StageKind
    goal: Goal
    places: tuple[tuple[Second, Place], ...]
    mix: Mix | None = None
    pieces: int = 1
    surface: Ratio = 1.15
    gas_kept: Ratio | None = None
    limit: Second = 24.0 * HOUR
    window: bool = True


@dataclass(frozen=True, slots=True)
class Multipliers:
    """What a kitchen and a packet of yeast are, against the book: the baker's logs tell.

    ``room``, ``regulated`` and ``start`` are errors of the air's and the dough's temperature in
    units of the ``give`` of their place or mix; ``yeast`` is true over intended yeast.
    """

    vigour: Ratio = 1.0
    transfer: Ratio = 1.0
    friction: KelvinDifference = 0.0
    room: Ratio = 0.0
    regulated: Ratio = 0.0
    start: Ratio = 0.0
    yeast: Ratio = 1.0


def plan_rows(stages: Sequence[Stage]) -> "np.ndarray[Any, Any]":
    """One row of numbers per place of each stage: a :data:`doughwright.engine.records.ROW`.

    Examples
    --------
    >>> mix = Mix(Dough(flour=1.0, water=0.63, yeast=0.02), 298.15)
    >>> rows = plan_rows([Stage("ferment", Ripe(), kept_at(298.15), mix)])
    >>> len(rows), round(float(rows["mixed_temperature"][0]), 2)
    (1, 298.15)
    """
    import numpy as np  # noqa: PLC0415 - the module must import fast

    from doughwright.engine.records import ROW  # noqa: PLC0415

    names = ROW.names or ()
    table = [tuple(row.get(name, 0.0) for name in names) for row in _rows(stages)]
    return np.array(table, dtype=ROW)


def kept_at(temperature: Kelvin) -> tuple[tuple[Second, Place], ...]:
    """A water bath: the dough is held at a temperature, as in a laboratory.

    Examples
    --------
    >>> kept_at(298.15)[0][1].bath
    True
    """
    return ((FOREVER, Place(temperature, give=0.0, regulated=True, bath=True)),)


def standing_in(place: Place) -> tuple[tuple[Second, Place], ...]:
    """One place for as long as the stage lasts.

    Examples
    --------
    >>> standing_in(Place(294.15))[0][1].temperature
    294.15
    """
    return ((FOREVER, place),)


def _rows(stages: Sequence[Stage]) -> list[dict[str, float]]:
    rows: list[dict[str, float]] = []
    constant = _constants()
    before: Dough | None = None
    for number, (stage, whole) in enumerate(zip(stages, whole_doughs(stages), strict=True)):
        first = constant | {"stage": float(number)} | _control(stage, whole)
        first |= _mixing(before, stage, whole) | _dough(whole, stage)
        for i, (duration, place) in enumerate(stage.places):
            last = i == len(stage.places) - 1
            timing = {"last": float(last), "duration": FOREVER if last else duration}
            rows.append(first | _place(place, stage) | timing)
        before = whole
    return rows


def whole_doughs(stages: Sequence[Stage]) -> list[Dough]:
    """What stands in each stage: so much of what was there as is carried, and what is added.

    Examples
    --------
    >>> sponge = Mix(Dough(flour=0.3, water=0.3, yeast=0.01), 298.15)
    >>> rest = Mix(Dough(flour=0.7, water=0.3, salt=0.02), 298.15)
    >>> stages = [Stage("ferment", Ripe(), kept_at(298.15), mix) for mix in (sponge, rest)]
    >>> round(whole_doughs(stages)[1].water, 3)
    0.6
    """
    doughs: list[Dough] = []
    for stage in stages:
        before = doughs[-1] if doughs else None
        if stage.mix is None:
            doughs += doughs[-1:]
        elif before is None:
            doughs.append(stage.mix.dough)
        else:
            doughs.append(before * stage.mix.carried + stage.mix.dough)
    return doughs


def _constants() -> dict[str, float]:
    p = parameters()
    gas = [p[f"gas_{mark}"] for mark in ("minimum", "optimum", "maximum")]
    growth = [p[f"growth_{mark}"] for mark in ("minimum", "optimum", "maximum")]
    return dict(p) | {
        "activation_reference": cardinal_factor(p["activation_reference"], *gas),
        "growth_pace": cardinal_factor(p["growth_reference"], *growth),
    }


def _control(stage: Stage, whole: Dough) -> dict[str, float]:
    goal, mark = _goal(stage.goal, whole)
    return {"goal": goal, "mark": mark, "limit": stage.limit, "window": stage.window}


def _goal(goal: Goal, whole: Dough) -> tuple[float, float]:
    p = parameters()
    if isinstance(goal, For):
        return 0.0, goal.time
    if isinstance(goal, Relative):
        return 1.0, goal.times
    wetness = whole.water / whole.flour
    if wetness > 1.2:
        return 3.0, p["ripe_batter"]
    share = p["ripe_poolish"] if wetness > 0.85 else p["ripe_dough"]
    return 2.0, 1.0 + share * (stuff.rise_limit(whole) - 1.0)


def _mixing(before: Dough | None, stage: Stage, whole: Dough) -> dict[str, float]:
    kept = _gas_kept(stage, first=before is None)
    if stage.mix is None:
        return {"gas_kept": kept}
    mix = stage.mix
    p = parameters()
    return {
        "gas_kept": kept,
        "mixed": 1.0,
        "carried": mix.carried if before else 0.0,
        "mixed_temperature": mix.temperature,
        "preferment_temperature": mix.preferment_temperature or 0.0,
        "by_preferment": _by_preferment(before, mix, whole),
        "by_friction": mix.by_friction,
        "by_transfer": mix.by_transfer,
        "by_start": mix.give,
        "added_yeast": mix.dough.yeast,
        "added_nutrient": p["growth_nutrient"] * mix.dough.flour,
        "added_sugar": p["flour_simple_sugar"] * mix.dough.flour + stuff.hexose_added(mix.dough),
        "added_maltose": p["flour_maltose"] * mix.dough.flour,
        "added_locked_maltose": p["maltose_pool"] * mix.dough.flour,
    }


def _by_preferment(before: Dough | None, mix: Mix, whole: Dough) -> Ratio:
    if before is None or mix.preferment_temperature is None:
        return 0.0
    if mix.by_preferment is not None:
        return mix.by_preferment
    carried = before * mix.carried
    heat = stuff.dough_mass(carried) * stuff.specific_heat(carried)
    return heat / (stuff.dough_mass(whole) * stuff.specific_heat(whole))


def _gas_kept(stage: Stage, *, first: bool) -> Ratio:
    if stage.gas_kept is not None:
        return stage.gas_kept
    p = parameters()
    if stage.kind == "ferment":
        return p["kept_fold"] if stage.mix and not first else 1.0
    return {"punch": p["kept_punch"], "rest": p["kept_divide"], "proof": p["kept_shape"]}[
        stage.kind
    ]


def _dough(whole: Dough, stage: Stage) -> dict[str, float]:
    p = parameters()
    fat = whole.fat / whole.flour
    return {
        "flour": whole.flour,
        "water": stuff.solvent(whole),
        "osmoles": stuff.osmoles(whole),
        "gas_free": stuff.gas_free_volume(whole),
        "heat_capacity": stuff.dough_mass(whole) * stuff.specific_heat(whole),
        "conductivity": stuff.conductivity(whole),
        "fat_factor": max(p["fat_floor"], 1.0 - p["fat_slope"] * max(0.0, fat)),
        "rise_limit": stuff.rise_limit(whole),
        "osmotic_half": p["osmotic_half_" + whole.tolerance.replace("-", "_")],
        "osmotic_exponent": p["osmotic_exponent_" + whole.tolerance.replace("-", "_")],
        "activation_time": stuff.activation_time(whole.yeast_kind),
        "pieces": stage.pieces,
    }


def _place(place: Place, stage: Stage) -> dict[str, float]:
    return {
        "air": place.temperature,
        "film": place.surface_coefficient,
        "cover": place.cover,
        "give": place.give,
        "regulated": place.regulated,
        "pressure": place.pressure,
        "bath": place.bath,
        "surface": stage.surface,
        "porosity": parameters()["proofed_conductivity"] if stage.kind == "proof" else 1.0,
    }
