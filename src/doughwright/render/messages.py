"""Notices and errors in words, with the place they are about."""

import string
from collections.abc import Callable, Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import Any, get_args

from doughwright.documents.formula import PreparationKind
from doughwright.errors import Notice, Path, catalogue
from doughwright.render.numbers import FORMATS
from doughwright.units import ICE_POINT


def _wanted(key: str) -> str:
    """A key with the words it may hold, where those are few."""
    return f"{key}: {', '.join(get_args(PreparationKind))}" if key == "kind" else key


def _listed(names: str) -> str:
    """Names after another as a sentence begins with them.

    >>> _listed("start, ready")
    'Start and ready'
    """
    return " and ".join(names.split(", ")).capitalize()


TEXT_FORMATS: Mapping[str, Callable[[str], str]] = MappingProxyType(
    {"wanted": _wanted, "listed": _listed}
)


class _Words(string.Formatter):
    """Fills templates, with our units behind the colon: ``{dough:temperature}``."""

    def format_field(self, value: Any, format_spec: str) -> str:
        if format_spec in FORMATS:
            return FORMATS[format_spec](float(value))
        if format_spec in TEXT_FORMATS:
            return TEXT_FORMATS[format_spec](str(value))
        return str(super().format_field(value, format_spec))

    def get_value(self, key: int | str, args: Sequence[Any], kwargs: Mapping[str, Any]) -> Any:
        del args  # templates name their values
        return kwargs.get(str(key), f"[{key}]")


_WORDS = _Words()


def words(notice: Notice) -> str:
    """What a notice says, in a sentence.

    >>> words(Notice.of("salt-high", ratio=0.035, low=0.01, high=0.022))
    'Salt is 3.50 % of the flour; usual is 1.00 %–2.20 %.'
    """
    values = _in_kitchen_units(notice.values)
    if notice.code == "outside-model-range":
        values = _beyond(values, str(notice.values["unit"]))
    said = _WORDS.vformat(catalogue()[notice.code].template, (), values)
    return said.replace("  ", " ").replace(" ,", ",")  # a ratio has no unit to stand there


def _in_kitchen_units(values: Mapping[str, Any]) -> Mapping[str, Any]:
    """A model card's own unit as a baker reads it: °C for K, % on flour, no unit for a ratio."""
    unit = str(values.get("unit"))
    if unit not in KITCHEN_UNITS:
        return values
    shown, factor, zero = KITCHEN_UNITS[unit]
    named = ("value", "low", "high", "limit")
    ends = {name: (values[name] - zero) * factor for name in named if name in values}
    return {**values, **ends, "unit": shown}


def _beyond(values: Mapping[str, Any], unit: str) -> Mapping[str, Any]:
    """What lies outside a model's range, how much of it there is, and where the range ends."""
    above = values["value"] > values["high"]
    less, more = BEYOND.get(values["input"], ("less {}", "more {}"))
    said = (more if above else less).format(values["input"])
    end = f"{'up to' if above else 'from'} {_plain(values['limit'])} {values['unit']}"
    much = f"{_plain(values['value'])} {values['unit']}{PART_OF.get(unit, '')}"
    first = f"{said[:1].upper()}{said[1:]}"
    return {**values, "input": first, "value": much.rstrip(), "limit": end.rstrip()}


def _plain(number: float) -> str:
    """Three digits, none of them behind a thousand."""
    return f"{float(f'{number:.3g}'):.10g}".replace("-", "−")


KITCHEN_UNITS: Mapping[str, tuple[str, float, float]] = MappingProxyType(
    {
        "K": ("°C", 1.0, ICE_POINT),
        "delta_K": ("°C", 1.0, 0.0),
        "kg": ("g", 1000.0, 0.0),
        "kg/kg": ("%", 100.0, 0.0),
        "1": ("", 1.0, 0.0),
    }
)
"""Units of model cards as they are shown: the word, the factor and the zero point."""

PART_OF: Mapping[str, str] = MappingProxyType({"kg/kg": " of this flour"})
"""What a ratio in percent is of."""

COLDER = ("something colder", "something warmer")
DRIER = ("a drier dough", "a wetter dough")
COOLER_OVEN = ("a cooler oven", "a hotter oven")
BEYOND: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "fresh yeast": ("less yeast", "more yeast"),
        "hydration": DRIER,
        "water to flour": DRIER,
        "moisture": DRIER,
        "known temperature": COLDER,
        "portion temperature": COLDER,
        "temperature": COLDER,
        "flour temperature": ("colder flour", "warmer flour"),
        "dough temperature": ("a colder dough", "a warmer dough"),
        "air temperature": ("colder air", "warmer air"),
        "oven": COOLER_OVEN,
        "setting": COOLER_OVEN,
        "piece mass": ("smaller pieces", "larger pieces"),
        "mass": ("a smaller amount", "a larger amount"),
        "batch": ("a smaller batch", "a larger batch"),
        "preferment share": ("a smaller preferment", "a larger preferment"),
        "relative volume": ("a smaller rise", "a larger rise"),
        "spread": ("temperatures nearer together", "temperatures further apart"),
        "baking loss": ("a smaller loss", "a larger loss"),
        "flour moisture": ("drier flour", "moister flour"),
    }
)
"""An input of a model below and above the range it was checked in; others by their name."""


def remedy(notice: Notice) -> str:
    """What to do about it, and where else; empty when there is nothing to do.

    >>> remedy(Notice.of("no-text", also=(("preparations", "dough", "ingredients", "salt"),)))
    'Write a word or take the line out. Likewise: dough, salt.'
    """
    done = _WORDS.vformat(catalogue()[notice.code].remedy, (), notice.values)
    also = "; ".join(map(_path_words, other_places(notice)))
    return f"{done} Likewise: {also}.".lstrip() if also else done


def other_places(notice: Notice) -> tuple[Path, ...]:
    """Where else a notice holds that is said once."""
    also = notice.values.get("also")
    return also if isinstance(also, tuple) else ()


def hint(notice: Notice) -> str:
    """The nearest known word, as a question."""
    like = notice.values.get("like")
    return f"Did you mean “{like}”?" if like else ""


def where(notice: Notice) -> str:
    """Path of a notice as a baker would say it: ``sponge, strong white flour``."""
    return _path_words(notice.where)


def _path_words(path: Path) -> str:
    inside = [p for p in path if p not in {"preparations", "ingredients", "amount"}]
    return ", ".join(f"step {p + 1}" if isinstance(p, int) else str(p) for p in inside)


def report(problems: Iterable[Notice]) -> str:
    """All problems as text: place, line with a caret, what is allowed, what to do."""
    return "\n\n".join("\n".join(_lines(problem)) for problem in problems)


def _lines(problem: Notice) -> list[str]:
    place = problem.place
    head = f"{place.file}:{place.line}:{place.column}: " if place else ""
    path = where(problem)
    lines = [f"{head}{words(problem)}"]
    if place:
        lines += [f"  {place.text}", "  " + " " * (place.column - 1) + "^" * place.width]
    elif path:
        lines.append(f"  in: {path}")
    advice = " ".join(x for x in (hint(problem), remedy(problem)) if x)
    return [*lines, f"  {advice}"] if advice else lines
