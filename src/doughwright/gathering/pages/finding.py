"""What has been read of a text so far, and where its next ingredient goes."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from doughwright.engine.ingredients import ingredient_named
from doughwright.gathering.gathered import Item, Made, Origin, Section, Use
from doughwright.gathering.pages.titles import DOUGH, Mode, kind_of


@dataclass(slots=True)
class Findings:
    """What has been read so far, and what kind of lines are expected next."""

    mode: Mode = "before"
    title: str = ""
    sections: list[Section] = field(default_factory=list)
    last: int = 0
    """The line read last: where the next one is further down, it stands apart."""
    plain_until: int = 0
    """Up to which line a table was looked for, and there is none."""
    into: int | None = None
    """Which section goes on after one that stands whole in its line; -1: one that is to begin."""
    made: list[Made] = field(default_factory=list)
    method: list[Origin] = field(default_factory=list)
    unread: list[Origin] = field(default_factory=list)
    other: list[Origin] = field(default_factory=list)
    summing: bool = False
    """A figure of the whole dough was told: shares of what is weighed already say it again."""


def listed_added(read: Findings, line: Origin, title: str, items: Sequence[Item]) -> None:
    """A part in one line: complete where it is a list, unless it is the dough, which goes on."""
    before = len(read.sections) - 1 if read.into is None else read.into
    is_whole = len(items) > 1 and kind_of(title) != DOUGH
    read.mode = "ingredients" if read.mode == "before" else read.mode
    read.sections.append(Section(title, tuple(items), (), line))
    read.into = before if is_whole else None


def items_added(read: Findings, items: Sequence[Item]) -> None:
    """Add ingredients to the section that is open; behind a glaze in one line they may be of it."""
    read.mode = "ingredients" if read.mode == "before" else read.mode
    at = len(read.sections) - 1 if read.into is None else read.into
    if at >= 0 and read.into is not None:
        items = [_either(item, read.sections[-1].title) for item in items]
    if at < 0:
        read.sections.append(Section("", ()))
        at = len(read.sections) - 1
        read.into = None if read.into is None else at
    last = read.sections[at]
    read.sections[at] = replace(last, items=(*last.items, *items))


def _either(item: Item, title: str) -> Item:
    """An ingredient of the dough, or of the glaze or filling that its line follows."""
    uses: dict[str | None, Use] = {"glaze": "glaze", "filling": "filling", "topping": "topping"}
    use, row = uses.get(kind_of(title)), ingredient_named(item.name)
    is_open = item.use == "dough" and not (row and row.flour) and not item.divided
    return replace(item, may_be=use) if use and is_open else item
