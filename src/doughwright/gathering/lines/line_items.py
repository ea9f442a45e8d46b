"""The lines of a text, and the ingredients of each: one, several, or none."""

import re
from collections.abc import Sequence
from dataclasses import replace

from doughwright.engine.ingredients import ingredient_named
from doughwright.gathering.gathered import Amount, Item, Origin
from doughwright.gathering.lines.amounts import amount_of
from doughwright.gathering.lines.items import items_of, use_before
from doughwright.gathering.lines.uses import without_use

LONG = 45
"""Signs of a line that may have been broken (assumption)."""

_BULLET = re.compile(r"^\s*(?:[-–—*•·▢☐◦‣▪]|\[[ x]?\])\s+")
_PARTED = re.compile(r"[,;]\s+(?=(?:and\s+)?[\d¼½¾⅓⅔⅛])")
_AGAIN = re.compile(r"^(.*\S)\s*=\s*(\S.*)$")


def numbered_lines(text: str, source: str) -> list[Origin]:
    """The lines of a text that are not blank, by their number in it; what was broken is joined."""
    lines: list[Origin] = []
    for i, text_line in enumerate(text.splitlines(), 1):
        line = Origin(source, i, text_line)
        if lines and _goes_on(lines[-1], line):
            lines[-1] = replace(lines[-1], text=f"{lines[-1].text} {text_line.strip()}")
        elif text_line.strip():
            lines.append(line)
    return lines


def _goes_on(before: Origin, line: Origin) -> bool:
    """Whether a line is set in because the one before it was too long, or says it again."""
    words = line.text.strip()
    set_in = len(line.text) - len(line.text.lstrip(" "))
    if not words or set_in <= len(before.text) - len(before.text.lstrip(" ")) or "\t" in line.text:
        return False
    is_open = before.text.count("(") > before.text.count(")")
    heads = before.text.rstrip().endswith(":") and not words[0].islower()
    is_long = len(before.text) > LONG and not heads
    return is_open or words.startswith("=") or (is_long and not _BULLET.match(line.text))


def unmarked(text: str) -> str:
    """A line without the bullet it begins with."""
    return _BULLET.sub("", text).strip()


def items_in(line: Origin, words: str) -> tuple[Item, ...]:
    """The ingredients of a line, several where it lists several, each with the whole line."""
    again = _AGAIN.match(words)
    other = amount_of(again[2]) if again else None
    if again and other:
        first, *more = items_in(line, again[1]) or (None,)
        return (_said_again(first, other), *more) if first else ()
    parts = [part.removeprefix("and ") for part in _apart(words)]
    if len(parts) > 1 and without_use(parts[-1])[2] is None:
        apart = [items_of(part, line.source, line.line) or () for part in parts]
        if all(_all_known(items) for items in apart):
            use = use_before(words)
            found = (item for items in apart for item in items)
            return tuple(
                replace(item, origin=line, use=use if item.use == "dough" else item.use)
                for item in found
            )
    whole = items_of(words, line.source, line.line) or ()
    return tuple(replace(item, origin=line) for item in whole)


def _apart(words: str) -> list[str]:
    """A line at the commas before its amounts; what brackets hold stays with what is before it."""
    parts: list[str] = []
    for part in _PARTED.split(words):
        is_open = bool(parts) and parts[-1].count("(") > parts[-1].count(")")
        parts[-1:] = [f"{parts[-1]}, {part}"] if is_open else [*parts[-1:], part]
    return parts


def _said_again(item: Item, other: Amount) -> Item:
    """An item with its amount said in another unit too: ``143 g flour = 1 cup``."""
    amount = item.amount
    return replace(item, amount=replace(amount, same=(*amount.same, other)) if amount else other)


def known_items(line: Origin, words: str) -> tuple[Item, ...]:
    """The ingredients of a line where each has an amount and is in the table; else none."""
    items = items_in(line, words)
    return items if _all_known(items) else ()


def _all_known(items: Sequence[Item]) -> bool:
    return bool(items) and all(item.amount and ingredient_named(item.name) for item in items)
