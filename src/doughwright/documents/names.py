"""Names as bakers write them."""

import unicodedata
from collections.abc import Sequence

BLANK = frozenset("\u115f\u1160\u2800\u3164\uffa0")
"""Letters and signs by their class that are drawn as nothing."""


def plain_name(name: str) -> str:
    """Strip what tells a second line apart: ``water (second)`` is water.

    >>> plain_name("Water  (second)"), plain_name("curd (20 %) soft")
    ('water', 'curd (20 %) soft')
    """
    whole = name.rstrip()
    if whole.endswith(")"):
        start = whole.find("(", whole.rfind(")", 0, -1) + 1)
        whole = whole[:start] if start >= 0 else whole
    return " ".join(whole.split()).casefold()


def is_seen(name: str) -> bool:
    r"""Whether there is something to see in a name: a letter, a digit, a sign.

    >>> is_seen("Rye"), is_seen("🥖"), is_seen("\u202e \u200b")
    (True, True, False)
    """
    return any(unicodedata.category(s)[0] in "LNPS" and s not in BLANK for s in name)


def numbered(names: Sequence[str]) -> tuple[str, ...]:
    """Names, those that stand more than once with their number behind.

    >>> numbered(["ferment dough", "proof dough", "ferment dough"])
    ('ferment dough 1', 'proof dough', 'ferment dough 2')
    """
    return tuple(
        name if names.count(name) == 1 else f"{name} {names[: i + 1].count(name)}"
        for i, name in enumerate(names)
    )
