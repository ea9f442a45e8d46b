"""Juice and zest by the fruit they are of, and the words beside an ingredient as one note."""

import re
from collections.abc import Iterator
from dataclasses import replace

from doughwright.gathering.gathered import Item, Origin
from doughwright.gathering.lines.amounts import amount_at

_PART_OF_FRUIT = re.compile(
    r"(?P<before>(?:(?:finely|freshly|grated|squeezed|the|strained)\s+)*)"
    r"(?P<what>juice|zest|rind|peel)(?:\s*(?:and|&|\+)\s*(?:(?:grated|finely)\s+)*"
    r"(?P<also>juice|zest|rind|peel))?\s+(?:of|from)\s+(?P<rest>.+)",
    re.IGNORECASE,
)
_FRUIT_FOR = re.compile(
    r"(?P<rest>.*\b(?:lemon|orange|lime|grapefruit)s?)\b[\s,(]*(?:(?:finely|grated)\s+)*"
    r"(?P<what>juiced|zested|juice|zest)(?:\s*(?:and|&)\s*(?P<also>juiced|zested|juice|zest))?"
    r"(?:\s+only)?\)?$",
    re.IGNORECASE,
)


def fruit_items(text: str, origin: Origin) -> Iterator[Item]:
    """Juice and zest by the fruit: "juice of 1 lemon", "1 orange, zested"."""
    match = _PART_OF_FRUIT.fullmatch(text) or _FRUIT_FOR.fullmatch(text)
    found = amount_at(match["rest"]) if match else None
    if match is None or found is None or found.amount.unit not in {"", "piece"}:
        return
    rest = match["rest"][found.end :].strip()
    fruit, _, note = rest.removeprefix("a ").partition(",")
    one = re.sub(r"s$", "", fruit.split("(")[0].strip())
    before = match.groupdict().get("before") or ""
    for what in filter(None, (match["what"], match["also"])):
        named = "juice" if what.lower().startswith("juice") else "zest"
        amount = replace(found.amount, unit=one.lower())
        left = fruit[len(one) :].strip(" s()")
        yield Item(f"{one} {named}", amount, origin, joined(before, note, left))


def joined(*notes: str) -> str:
    """Several notes as one, without those that say nothing."""
    said = (note.strip(" ,;") for note in notes)
    return ", ".join(note for note in said if note)
