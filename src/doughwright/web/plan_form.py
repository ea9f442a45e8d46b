"""The form above a plan: each field with what holds without it, its slider, what is wrong."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from doughwright.errors import Notice
from doughwright.render.numbers import height, temperature
from doughwright.sheets.bench_plan import BenchPlan
from doughwright.store.library import listed
from doughwright.units import ICE_POINT
from doughwright.web.asked import COUNTRIES
from doughwright.web.breads import ORDINARY
from doughwright.web.planning import Attempt


@dataclass(frozen=True, slots=True)
class Slider:
    """A slider beside a field, in the field's own unit."""

    low: float
    high: float
    step: float
    at: float
    unit: str


@dataclass(frozen=True, slots=True)
class AskField:
    """A field: its words, what holds where it is empty, and what is wrong with it."""

    name: str
    label: str
    value: str
    here: str = ""
    kind: str = "text"
    aside: str = ""
    slider: Slider | None = None
    wrong: tuple[Notice, ...] = ()


LABELS: Mapping[str, str] = MappingProxyType(
    {
        "room": "Room",
        "flour": "Flour",
        "pieces": "Pieces",
        "start": "Start at",
        "ready": "Ready at",
        "fridge": "Fridge",
        "freezer": "Freezer",
        "proofer": "Proofer",
        "altitude": "Altitude",
        "piece": "Weight of a piece",
        "dough": "Dough in all",
        "total flour": "Flour in all",
        "with": "As much as this allows",
    }
)
FIRST = ("room", "flour", "pieces", "start", "ready")
"""Fields at hand; the others are asked for seldom."""
MORE = ("piece", "dough", "total flour", "with", "fridge", "freezer", "proofer", "altitude")
EXAMPLES: Mapping[str, str] = MappingProxyType(
    {"piece": "90 g", "dough": "2 kg", "total flour": "1 kg", "with": "egg=3 large"}
)
BROWSER_TIME = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}")
"""A time as a browser's own field writes it."""
SLIDES: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {"room": (10, 38, 0.5), "flour": (0, 38, 0.5)}
)
"""°C from where to where, in what steps."""
FEWEST_SLID = 24
"""A slider of pieces goes so far at least."""


def ask_fields(found: Attempt, names: tuple[str, ...]) -> tuple[AskField, ...]:
    """Some fields of the form, as they stand now."""
    return tuple(_field(name, found) for name in names)


def _field(name: str, found: Attempt) -> AskField:
    here = placeholders(found.plan).get(name, "")
    is_clock = name in {"start", "ready"}
    value = _clock_word(name, found) if is_clock else found.words.get(name, "")
    is_shown = not value or BROWSER_TIME.fullmatch(value)  # a browser drops other words
    return AskField(
        name=name,
        label=LABELS[name],
        value=value,
        here=here or EXAMPLES.get(name, ""),
        kind="datetime-local" if is_clock and is_shown else "text",
        slider=_slider(name, found.plan),
        wrong=found.wrong.get(name, ()),
    )


def _clock_word(name: str, found: Attempt) -> str:
    """A time as a browser's own field holds it, with its day."""
    time = getattr(found.asked, name) if found.asked is not None else None
    return time.isoformat(timespec="minutes") if time is not None else found.words.get(name, "")


def placeholders(plan: BenchPlan | None) -> Mapping[str, str]:
    """What holds where a field is left empty, or where it is filled: what the plan is for."""
    if plan is None:
        return {}
    warm = {name: getattr(plan.kitchen, name).value for name in ("room", "flour", "fridge")}
    said = {name: temperature(value, _digits(value)) for name, value in warm.items()}
    said["altitude"] = height(plan.kitchen.altitude.value or 0.0)
    if plan.division is not None:
        said["pieces"] = str(plan.division.pieces)
    return said


def _digits(kelvin: float) -> int:
    return 0 if abs(kelvin - ICE_POINT - round(kelvin - ICE_POINT)) < 0.05 else 1


def _slider(name: str, plan: BenchPlan | None) -> Slider | None:
    if name in SLIDES:
        low, high, step = SLIDES[name]
        kelvin = getattr(plan.kitchen, name).value if plan is not None else 294.15
        return Slider(low, high, step, round(kelvin - ICE_POINT, 1), "°C")
    if name == "pieces" and plan is not None and plan.division is not None:
        most = max(FEWEST_SLID, plan.division.pieces)
        return Slider(1, most, 1, plan.division.pieces, "")
    return None


def kitchen_choices(found: Attempt) -> Iterator[tuple[str, str, bool]]:
    """The library's kitchens and an ordinary one: key, name, whether it is chosen."""
    kitchens = listed("kitchen")
    chosen = found.words.get("kitchen", kitchens[0].key if kitchens else ORDINARY)
    for kitchen in kitchens:
        yield kitchen.key, kitchen.name, kitchen.key == chosen
    yield ORDINARY, "An ordinary kitchen", chosen == ORDINARY


def code_choices(found: Attempt) -> Iterator[tuple[str, str, bool]]:
    """Whose rules: the kitchen's own or a country's."""
    chosen = found.words.get("codes", "").upper()
    yield "", "The kitchen’s", not chosen
    for country in COUNTRIES:
        yield country, country, country == chosen


def names_wrong(found: Attempt) -> Mapping[str, tuple[Notice, ...]]:
    """The problems beside every field of the form, none where there is none."""
    names = ("kitchen", *FIRST, *MORE, "codes")
    return {name: found.wrong.get(name, ()) for name in names}


def is_more_asked(found: Attempt) -> bool:
    """Whether one of the seldom fields says something, so that it is shown."""
    return any(name in found.words for name in (*MORE, "codes"))
