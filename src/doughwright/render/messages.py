"""Notices and errors in words, with the place they are about."""

import string
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from doughwright.errors import Notice, catalogue
from doughwright.render.numbers import FORMATS
from doughwright.units import ICE_POINT


class _Words(string.Formatter):
    """Fills templates, with our units behind the colon: ``{dough:temperature}``."""

    def format_field(self, value: Any, format_spec: str) -> str:
        if format_spec in FORMATS:
            return FORMATS[format_spec](float(value))
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
    said = _WORDS.vformat(catalogue()[notice.code].template, (), _in_kitchen_units(notice.values))
    return said.replace("  ", " ").replace(" ,", ",")  # a ratio has no unit to stand there


def _in_kitchen_units(values: Mapping[str, Any]) -> Mapping[str, Any]:
    """A model card's own unit as a baker reads it: °C for K, % on flour, no unit for a ratio."""
    unit = str(values.get("unit"))
    if unit not in KITCHEN_UNITS:
        return values
    shown, factor, zero = KITCHEN_UNITS[unit]
    ends = {name: (values[name] - zero) * factor for name in ("value", "low", "high")}
    return {**values, **ends, "unit": shown}


KITCHEN_UNITS: Mapping[str, tuple[str, float, float]] = MappingProxyType(
    {
        "K": ("°C", 1.0, ICE_POINT),
        "delta_K": ("°C", 1.0, 0.0),
        "kg/kg": ("% of the flour in it", 100.0, 0.0),
        "1": ("", 1.0, 0.0),
    }
)
"""Units of model cards as they are shown: the word, the factor and the zero point."""


def remedy(notice: Notice) -> str:
    """What to do about it; empty when there is nothing to do."""
    return _WORDS.vformat(catalogue()[notice.code].remedy, (), notice.values)


def hint(notice: Notice) -> str:
    """The nearest known word, as a question."""
    like = notice.values.get("like")
    return f"Did you mean “{like}”?" if like else ""


def where(notice: Notice) -> str:
    """Path of a notice as a baker would say it: ``sponge, strong white flour``."""
    inside = [p for p in notice.where if p not in {"preparations", "ingredients", "amount"}]
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
