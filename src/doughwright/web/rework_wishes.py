"""What the fields of a rework's page ask for, as the words a rework is asked for in."""

import re
from collections.abc import Callable, Mapping
from types import MappingProxyType

from doughwright.documents.quantities import EXAMPLES, NotAQuantity, Quantity, quantity
from doughwright.documents.scalars import FRIDGE_WORDS
from doughwright.engine.ingredients import ingredient_named
from doughwright.errors import DocumentError, Notice
from doughwright.web.planning import BARE

Fields = Mapping[str, str]

LONGEST_WISH = 200
"""Signs of a wish that are read: more is no wish."""

GROUPS: Mapping[str, str] = MappingProxyType({"straight": "preferment", "no-scald": "scald"})
"""Where a button stands that has no fields of its own."""

MAIN: Mapping[str, str] = MappingProxyType(
    {
        "own": "own",
        "preferment": "share",
        "scald": "scalded",
        "size": "measure",
        "aim": "target",
        "swap": "new",
        "time": "within",
    }
)
"""The field of each group that is to blame where no other is."""

SIZES: Mapping[str, tuple[str, str, str]] = MappingProxyType(
    {
        "pieces": ("pieces", "12", "{} pieces"),
        "tin": ("a tin", "1.9 l", "tin {}"),
        "tray": ("a tray", "38 x 32 cm", "tray {}"),
        "dish": ("a dish", "30 x 20 cm", "dish {}"),
        "round": ("a round", "30 cm", "round {}"),
        "baked": ("baked weight", "800 g", "{} baked"),
        "eggs": ("whole eggs", "large", "whole {} eggs"),
    }
)
"""What a size is asked by: its word, an example, and how it is written."""

AIMS = ("hydration", "salt", "sugar", "fat")


def wish_words(do: str, fields: Fields) -> str:
    """The words of a wish, by the button that was pressed and what stands in its fields.

    >>> wish_words("preferment", {"style": "poolish", "share": "30", "time": "12 h", "at": "20"})
    'poolish 30 % in 12 h at 20 °C'
    >>> wish_words("size", {"size": "pieces", "measure": "12", "piece": "90"})
    '12 pieces of 90 g'

    Raises
    ------
    DocumentError
        A field is not understood; ``where`` is its name.
    """
    said = {name: " ".join(value.split()) for name, value in fields.items()}
    return WORDS.get(do, _own)(said)


def group_of(do: str) -> str:
    """The group of fields that a button belongs to."""
    group = GROUPS.get(do, do)
    return group if group in MAIN else "own"


def _own(fields: Fields) -> str:
    return _given(fields, "own", "poolish 30 %; 12 pieces; hydration 68 %")


def _preferment(fields: Fields) -> str:
    share, time = fields.get("share", ""), fields.get("time", "")
    parts = [
        _given(fields, "style", "poolish"),
        _percent(fields, "share") if share else "",
        f"in {_measured(fields, 'time', 'duration', '')}" if time else "",
        _place(fields, "at"),
    ]
    return " ".join(filter(None, parts))


def _scald(fields: Fields) -> str:
    return f"scald {_percent(fields, 'scalded')}"


def _size(fields: Fields) -> str:
    kind = fields.get("size", "pieces")
    _, example, written = SIZES.get(kind, SIZES["pieces"])
    read = SIZE_READ.get(kind, _sides)(fields, example)
    piece = kind == "pieces" and fields.get("piece", "")
    each = f" of {_measured(fields, 'piece', 'mass', 'g')}" if piece else ""
    return " ".join(written.format(read).split()) + each


def _count(fields: Fields, example: str) -> str:
    read = _given(fields, "measure", example)
    if not re.fullmatch("[0-9]{1,6}", read):
        allowed = "a whole number from 1, such as 12"
        raise DocumentError([Notice.of("not-a-count", "measure", read=read, allowed=allowed)])
    return read


def _sides(fields: Fields, example: str) -> str:
    read = _given(fields, "measure", example)
    if not re.match(r"[\d.]", read):
        raise DocumentError([Notice.of("not-a-quantity", "measure", read=read, allowed=example)])
    return read.replace("×", "x")


def _litres(fields: Fields, example: str) -> str:
    read = _sides(fields, example)
    return f"{read} l" if BARE.fullmatch(read) else read


def _baked(fields: Fields, example: str) -> str:
    _given(fields, "measure", example)
    return f"{1000 * _read(fields, 'measure', 'mass', 'g').best:.10g} g"


def _egg_size(fields: Fields, example: str) -> str:
    read = fields.get("measure", "")
    if read and not re.fullmatch("small|medium|large|extra large", read.casefold()):
        raise DocumentError([Notice.of("not-a-quantity", "measure", read=read, allowed=example)])
    return read


SIZE_READ: Mapping[str, Callable[[Fields, str], str]] = MappingProxyType(
    {"pieces": _count, "tin": _litres, "baked": _baked, "eggs": _egg_size}
)


def _aim(fields: Fields) -> str:
    return f"{_given(fields, 'aim', 'hydration')} {_percent(fields, 'target')}"


def _swap(fields: Fields) -> str:
    new, old = _given(fields, "new", "fresh yeast"), _given(fields, "old", "instant yeast")
    if not fields.get("part", ""):
        return f"{new} for {old}"
    wanted = ingredient_named(new)
    if wanted is not None and wanted.flour < 1:  # of anything else all is swapped
        raise DocumentError([Notice.of("swap-in-part", "part", name=old)])
    return f"{new} for {_percent(fields, 'part')} of {old}"


def _time(fields: Fields) -> str:
    step = _given(fields, "step", "ferment dough")
    within = _measured(fields, "within", "duration", "")
    return " ".join(filter(None, (step, "in", within, _place(fields, "place"))))


WORDS: Mapping[str, Callable[[Fields], str]] = MappingProxyType(
    {
        "own": _own,
        "straight": lambda _: "straight",
        "no-scald": lambda _: "no scald",
        "preferment": _preferment,
        "scald": _scald,
        "size": _size,
        "aim": _aim,
        "swap": _swap,
        "time": _time,
    }
)
"""How the fields of each button are put in words."""


# --- single fields


def _given(fields: Fields, name: str, example: str) -> str:
    if not fields.get(name, ""):
        raise DocumentError([Notice.of("field-empty", name, allowed=example)])
    return fields[name]


def _read(fields: Fields, name: str, dimension: str, unit: str) -> Quantity:
    """A field's quantity; a bare number is in the unit that its example shows."""
    read = _given(fields, name, EXAMPLES[dimension])
    try:
        return quantity(f"{read} {unit}" if unit and BARE.fullmatch(read) else read, dimension)
    except NotAQuantity as error:
        problem = Notice.of(error.code, name, read=read, allowed=error.allowed)
        raise DocumentError([problem]) from None


def _measured(fields: Fields, name: str, dimension: str, unit: str) -> str:
    found = _read(fields, name, dimension, unit)
    if found.ranged or found.best <= 0:
        raise _wrong(fields, name, dimension)
    return found.text


def _percent(fields: Fields, name: str) -> str:
    found = _read(fields, name, "percent", "%")
    if found.ranged or found.best < 0:
        raise _wrong(fields, name, "percent")
    return f"{_plain(100 * found.best)} %"


def _plain(value: float) -> str:
    """A number without an exponent, which no wish is written with."""
    shown = f"{value:.6f}"
    return shown.rstrip("0").rstrip(".")


def _wrong(fields: Fields, name: str, dimension: str) -> DocumentError:
    allowed = {"percent": "30 %", "duration": "12 h"}.get(dimension, EXAMPLES[dimension])
    return DocumentError([Notice.of("not-a-quantity", name, read=fields[name], allowed=allowed)])


def _place(fields: Fields, name: str) -> str:
    """Where something stands: a place of the kitchen, or a temperature."""
    read = fields.get(name, "")
    if not read:
        return ""
    word = read.casefold().removeprefix("the ")
    at = word if word in FRIDGE_WORDS else _read(fields, name, "temperature", "°C").text
    return f"at {at}"
