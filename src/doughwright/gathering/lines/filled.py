"""Words beside a measure: about how much, how full the spoon is, how large the egg."""

import re
from collections.abc import Mapping
from types import MappingProxyType

ABOUT = ("about", "approximately", "approx", "around", "roughly", "circa", "ca", "~", "etwa")
ELSEWHERE: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("environ", "env", "ungefähr", "rund", "cirka", "omkring"), "about"),
        **dict.fromkeys(("gestrichene", "gestrichener", "gestrichen", "gestr", "struken"), "level"),
        **dict.fromkeys(("rases", "rase", "rasi", "raso", "rasas", "rasa", "strukna"), "level"),
        **dict.fromkeys(("gehäufte", "gehäufter", "gehäuft", "geh", "bombées", "bombée"), "heaped"),
        **dict.fromkeys(("colmi", "colmo", "colmadas", "colmada", "rågade", "rågad"), "heaped"),
        **dict.fromkeys(("knappe", "knapper", "knappes", "knapp", "scarsi", "scarso"), "scant"),
        **dict.fromkeys(("abbondanti", "abbondante"), "generous"),
    }
)
"""Words of other languages for how full a measure is, in ours (from memory)."""

FILLED = ("heaped", "heaping", "rounded", "level", "scant", "generous", "packed", "good", "full")
SIZES = ("extra large", "very large", "large", "medium", "small", "jumbo", "big")
"""Words that say how large one of what is counted is."""

SIZES_ELSEWHERE: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("mittelgroße", "mittelgroßes", "mittlere", "mittleres"), "medium"),
        **dict.fromkeys(
            ("moyens", "moyen", "moyennes", "moyenne", "medianos", "mediano"), "medium"
        ),
        **dict.fromkeys(("medie", "medio", "medi", "mellanstora", "medelstora"), "medium"),
        **dict.fromkeys(("große", "großes", "großer", "grosses", "grosse", "gros"), "large"),
        **dict.fromkeys(("grandes", "grande", "grandi", "stora", "stort"), "large"),
        **dict.fromkeys(("kleine", "kleines", "kleiner", "petits", "petit", "petites"), "small"),
        **dict.fromkeys(("piccole", "piccolo", "piccoli", "pequeños", "pequeño", "små"), "small"),
    }
)
"""The same in other languages (from memory)."""

_LIMITS = ("firmly", "lightly", "loosely", "up to", "at least", "max", "min")
_MODIFIER = re.compile(
    rf"({'|'.join(map(re.escape, (*ABOUT, *FILLED, *SIZES, *_LIMITS, *ELSEWHERE)))})"
    r"(?![^\W_])\.?[\s-]*",
    re.IGNORECASE,
)
_BEHIND = re.compile(rf"\s+({'|'.join(ELSEWHERE)})(?![^\W_])", re.IGNORECASE)


def modifiers_at(text: str, at: int) -> tuple[int, tuple[str, ...]]:
    """Where such words end that begin at a place, and those."""
    found: list[str] = []
    while (match := _MODIFIER.match(text, at)) is not None:
        found.append(ELSEWHERE.get(match[1].lower(), match[1].lower()))
        at = match.end()
    return at, tuple(found)


def filled_behind(text: str, at: int) -> tuple[int, tuple[str, ...]]:
    """How full a spoon is where that stands behind it: "1 cucchiaio raso"."""
    match = _BEHIND.match(text, at)
    return (match.end(), (ELSEWHERE[match[1].lower()],)) if match else (at, ())
