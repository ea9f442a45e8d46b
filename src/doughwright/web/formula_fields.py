"""The fields of a formula's form: how each is named, labelled and offered.

A field is named by what it is about: a letter for what it holds, then the path into the
document, every key spelt as in an address, so that names with any sign in them stay apart.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Any, Literal
from urllib.parse import quote, unquote

from doughwright.documents.formula import KINDS, OUTLINES, PASSIVE, STEP_KEYS
from doughwright.errors import Path

Holds = Literal["v", "n", "l", "a"]
"""A value, the name of a key, a list of words, a part of something to be added."""

DEEPEST = 12
LIST = "@"


def field_name(holds: Holds, path: Path) -> str:
    """How a field is called in a form.

    >>> field_name("v", ("process", 0, "for")), field_name("n", ("ingredients", "50/50 mix @ 2"))
    ('v:process/@0/for', 'n:ingredients/50%2F50%20mix%20%40%202')
    """
    return f"{holds}:{spelt(path)}"


@lru_cache(8192)
def spelt(path: Path) -> str:
    """A path in one word."""
    steps = (f"{LIST}{p}" if isinstance(p, int) else quote(p, safe="") for p in path)
    return "/".join(steps)


def path_from(word: str) -> Path | None:
    """The path that a word spells; None where it spells none.

    >>> path_from("process/@0/for"), path_from("process/@x")
    (('process', 0, 'for'), None)
    """
    steps = word.split("/")
    numbers = [step[1:] for step in steps if step.startswith(LIST)]
    if len(steps) > DEEPEST or not all(n.isascii() and n.isdigit() and len(n) < 6 for n in numbers):
        return None
    return tuple(int(s[1:]) if s.startswith(LIST) else unquote(s) for s in steps)


def read_name(name: str) -> tuple[str, Path] | None:
    """What a field holds and where; None for a field that is about nothing in the document."""
    holds, colon, word = name.partition(":")
    path = path_from(word) if colon and holds in {"v", "n", "l", "a"} else None
    return None if path is None else (holds, path)


@dataclass(frozen=True, slots=True)
class Key:
    """A key of the document as the form shows it.

    ``choices`` are all it may be, ``offered`` names a list of words to choose from or not.
    """

    path: Path
    label: str
    example: str = ""
    choices: tuple[str, ...] = ()
    offered: str = ""
    long: bool = False
    wide: bool = False
    holds: Holds = "v"


@dataclass(frozen=True, slots=True)
class Field:
    """One field: a key with what the text says there; ``elsewhere`` if the form cannot show it."""

    key: Key
    path: Path
    value: str
    elsewhere: bool = False

    @property
    def name(self) -> str:
        """Its name in the form."""
        return field_name(self.key.holds, self.path)

    @property
    def choices(self) -> tuple[str, ...]:
        """What may be chosen, what stands in the text among it."""
        known = not self.key.choices or self.value in {"", *self.key.choices}
        return self.key.choices if known else (*self.key.choices, self.value)

    @property
    def long(self) -> bool:
        """Whether it may hold several lines."""
        return self.key.long or "\n" in self.value or "\r" in self.value


@dataclass(frozen=True, slots=True)
class Row:
    """What stands in one row: main fields, those that say something, those that may.

    ``mark`` tells rows apart on the page; ``at`` is its place among its neighbours, ``last``
    whether it is the last of them.
    """

    path: Path
    mark: str
    main: tuple[Field, ...]
    said: tuple[Field, ...] = ()
    unsaid: tuple[Field, ...] = ()
    at: int = 0
    last: bool = False

    @property
    def fields(self) -> tuple[Field, ...]:
        """All fields of the row."""
        return (*self.main, *self.said, *self.unsaid)

    @property
    def name(self) -> str:
        """What the row is called by: its key in the document."""
        return str(self.path[-1]) if self.path else ""

    @property
    def word(self) -> str:
        """Its path in one word."""
        return spelt(self.path)


YES_NO = ("yes", "no")
KEPT = ("room", "fridge", "freezer", "tap")
PLACES = "places"
INGREDIENTS = "ingredient-names"
PREPARATIONS = "preparation-names"


def _keys(*keys: Key) -> Mapping[Path, Key]:
    return MappingProxyType({key.path: key for key in keys})


HEAD = _keys(
    Key(("name",), "Name", wide=True),
    Key(("place",), "Country", "LV"),
    Key(("language",), "Language", "en"),
    Key(("tags",), "Tags", "enriched, filled", holds="l"),
    Key(("note",), "Note", long=True),
)
YIELD = _keys(
    Key(("pieces",), "Pieces", "8"),
    Key(("piece",), "Weight of one", "105 g"),
    Key(("dough",), "Dough in all", "1.2 kg"),
    Key(("flour",), "Flour in all", "500 g"),
    Key(("tin",), "Tin’s volume", "1.4 l"),
    Key(("spare",), "Spare", "2 %"),
)
LINE_MAIN = _keys(Key(("amount",), "Amount"))
LINE = _keys(
    Key(("at",), "At", "20 °C"),
    Key(("kept",), "Kept in", choices=KEPT),
    Key(("flour",), "Counts as flour", choices=YES_NO),
    Key(("hydration",), "Its hydration", "100 %"),
    Key(("note",), "Note", long=True),
)
USE_MAIN = _keys(Key(("share",), "How much of it", "all of it"))
USE = _keys(Key(("at",), "At", "20 °C"))
PREPARATION_MAIN = _keys(Key(("kind",), "Kind", choices=KINDS))
PREPARATION = _keys(
    Key(("style",), "Style", "flying sponge"),
    Key(("aim",), "Aim", "25 °C"),
    Key(("each",), "For each piece", "40 g"),
    Key(("note",), "Note", long=True),
)
_STEP = (
    Key(("by",), "By", "hand"),
    Key(("for",), "For", "8 min"),
    Key(("until",), "Until", "1.8x; ripe; double", offered="ends"),
    Key(("took",), "Took", "50–60 min"),
    Key(("at",), "At", "room; 28 °C", offered=PLACES),
    Key(("cover",), "Covered", choices=YES_NO),
    Key(("keep",), "Keep in", choices=KEPT),
    Key(("during",), "During", choices=tuple(sorted(PASSIVE))),
    Key(("pieces",), "Pieces", "8"),
    Key(("oven",), "Oven", "165 °C fan; gas mark 5"),
    Key(("then",), "Then", "150 °C fan"),
    Key(("core",), "Core", "92 °C"),
    Key(("steam",), "Steam", choices=YES_NO),
    Key(("cue",), "Cue", "puffed, a dent fills slowly", long=True),
    Key(("note",), "Note", long=True),
)
_OUTLINE_EXAMPLES = {"oval": "20 x 10 cm", "baton": "30 x 7 cm", "tin": "1.4 l; 26 x 12 cm"}
FORM = (
    *(Key(("form", o), o.capitalize(), _OUTLINE_EXAMPLES.get(o, "11 cm")) for o in OUTLINES),
    Key(("form", "high"), "High", "2.5 cm"),
)
VERB = Key((), "Step", choices=tuple(STEP_KEYS), holds="n")
OF = Key((), "What", offered=PREPARATIONS)
TESTED = _keys(
    Key(("room",), "Room", "22 °C"),
    Key(("flour",), "Flour", "21 °C"),
    Key(("fridge",), "Fridge", "5 °C"),
    Key(("proofer",), "Proofer", "30 °C"),
    Key(("tap", "cold"), "Cold tap", "12 °C"),
    Key(("tap", "hot"), "Hot tap", "50 °C"),
    Key(("oven",), "Oven", choices=("fan", "conventional", "gas")),
    Key(("altitude",), "Altitude", "12 m"),
)
_SHARES = ("water", "fat", "saturates", "protein", "carbohydrate", "sugars", "fibre", "salt")
OWN = _keys(
    Key(("like",), "Like", "whole milk", offered=INGREDIENTS),
    Key(("kind",), "Kind", "cheese"),
    Key(("flour",), "Counts as flour", choices=YES_NO),
    *(Key((part,), part.capitalize(), "12 %") for part in (*_SHARES, "alcohol")),
    Key(("price",), "Price", "6.40 EUR/kg"),
    Key(("edible",), "Edible", "67 %"),
    Key(("allergens",), "Allergens", "milk, sesame", holds="l"),
    Key(("note",), "Note", long=True),
)


def step_keys(verb: str) -> Mapping[Path, Key]:
    """The keys a step with this verb may carry."""
    allowed = STEP_KEYS.get(verb, frozenset())
    plain = [key for key in _STEP if key.path[0] in allowed]
    return _keys(*plain, *(FORM if "form" in allowed else ()))


ALONE = MappingProxyType({"ingredients": "amount", "from": "share"})
"""What a word alone stands for: ``salt: 1.8 %`` is ``salt: {amount: 1.8 %}``."""


def value_at(tree: Any, path: Path) -> Any:
    """What a text's tree holds at a path; None where there is nothing."""
    here = tree
    for i, step in enumerate(path):
        if step in _steps(here):
            here = here[step]
        elif isinstance(here, str) and i >= 2 and path[:1] == ("preparations",):
            return here if i == len(path) - 1 and ALONE.get(str(path[i - 2])) == step else None
        else:
            return None
    return here


def _steps(here: Any) -> Iterable[str | int]:
    """What leads on from a mapping or a list."""
    return here if isinstance(here, dict) else range(len(here)) if isinstance(here, list) else ()


def field_of(tree: Any, base: Path, key: Key) -> Field:
    """The field of a key under a path, with what the text says there."""
    path = (*base, *key.path)
    value = value_at(tree, path)
    if key.holds == "l" and isinstance(value, list) and all(isinstance(v, str) for v in value):
        return Field(key, path, ", ".join(value))
    if value is None or (isinstance(value, str) and key.holds != "l"):
        return Field(key, path, value or "")
    return Field(key, path, "", elsewhere=True)


def other_fields(tree: Any, base: Path, known: Iterable[Path]) -> list[Field]:
    """Fields of what stands at a path and should not, so that it can be seen and mended."""
    here = value_at(tree, base)
    allowed = {path[0] for path in known}
    strange = [key for key in here if key not in allowed] if isinstance(here, dict) else []
    return [field_of(tree, base, Key((key,), key)) for key in strange]
