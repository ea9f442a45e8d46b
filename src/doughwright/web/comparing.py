"""Several kitchens as a page asks for them: kitchens of the library, each with several rooms."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache

from doughwright.documents.quantities import NotAQuantity, Quantity, quantity
from doughwright.errors import DocumentError, DoughwrightError, ImpossibleInput, Notice
from doughwright.resolving.kitchens import changed_kitchen
from doughwright.sheets.cells import Cell
from doughwright.sheets.kitchens import (
    MOST_KITCHENS,
    Change,
    KitchenComparison,
    Variant,
    kitchen_comparison,
)
from doughwright.store.errors import NotInLibrary
from doughwright.store.library import listed
from doughwright.web.asked import Asked, asked
from doughwright.web.breads import (
    ORDINARY,
    Bread,
    Named,
    kitchen_in,
    kitchen_text,
    shelf_text,
    sized,
)
from doughwright.web.planning import BARE

ROOMS = "18 °C, 22 °C, 27 °C"
"""What is compared where nothing is asked and the library has one kitchen."""


@dataclass(frozen=True, slots=True)
class Compared:
    """What was asked and what came of it; problems stand beside their field."""

    kitchens: tuple[str, ...]
    rooms: str
    words: dict[str, str]
    sheet: KitchenComparison | None = None
    wrong: dict[str, tuple[Notice, ...]] = field(default_factory=dict)
    problems: tuple[Notice, ...] = ()


def compared(
    here: Bread, kitchens: Sequence[str], query: dict[str, str], now: datetime
) -> Compared:
    """A bread in several kitchens; without any asked for, in all of the library."""
    words = {k: query[k].strip() for k in ("pieces", "start", "ready") if query.get(k, "").strip()}
    chosen = tuple(dict.fromkeys(kitchens)) or _all_kitchens()
    rooms = query["rooms"].strip() if "rooms" in query else "" if len(chosen) > 1 else ROOMS
    found = Compared(chosen, rooms, words)
    try:
        wanted = asked(words, now)
        places = tuple(variants(chosen, _temperatures(rooms)))
    except NotInLibrary as error:
        return _refused(found, "kitchen", error)
    except DocumentError as error:
        return _refused(found, str(error.problems[0].where[0]), error)
    try:
        texts = tuple(map(kitchen_text, chosen))
        name = (here.stored.text, shelf_text(), texts, rooms, wanted.wish)
        made_of = Named(name, (here, wanted, places))
        sheet = _comparison(made_of, wanted.start, wanted.ready)
    except (DocumentError, ImpossibleInput) as error:
        problems = here.reading.located(error).problems
        return Compared(chosen, rooms, words, problems=problems)
    return Compared(chosen, rooms, words, sheet)


def _all_kitchens() -> tuple[str, ...]:
    return tuple(kitchen.key for kitchen in listed("kitchen"))[:MOST_KITCHENS] or (ORDINARY,)


def _refused(found: Compared, name: str, error: DoughwrightError) -> Compared:
    return Compared(found.kitchens, found.rooms, found.words, wrong={name: error.problems})


def _temperatures(rooms: str) -> tuple[Quantity, ...]:
    """The rooms of a list; a bare number is in °C."""
    parts = [part.strip() for part in rooms.split(",") if part.strip()]
    return tuple(_temperature(part) for part in dict.fromkeys(parts))


def _temperature(part: str) -> Quantity:
    try:
        return quantity(f"{part} °C" if BARE.fullmatch(part) else part, "temperature")
    except NotAQuantity as error:
        problem = Notice.of(error.code, "rooms", read=part, allowed=ROOMS.replace(", ", "; "))
        raise DocumentError([problem]) from None


def variants(keys: Sequence[str], rooms: Sequence[Quantity]) -> Iterator[Variant]:
    """Every kitchen with every room.

    Raises
    ------
    DocumentError
        Where that is more than one table has room for.
    NotInLibrary
        Where there is no such kitchen.
    """
    count = len(keys) * max(1, len(rooms))
    if count > MOST_KITCHENS:
        problem = Notice.of("too-many-kitchens", "rooms", count=count, most=MOST_KITCHENS)
        raise DocumentError([problem])
    for key in keys:
        kitchen = kitchen_in(kitchen_text(key))
        if not rooms:
            yield Variant(kitchen)
        for room in rooms:
            changed = changed_kitchen(kitchen, {"room": room})
            yield Variant(changed, (Change("room", Cell(changed.room, "K", "stated")),))


@lru_cache(16)
def _comparison(
    work: Named[tuple[Bread, Asked, tuple[Variant, ...]]],
    start: datetime | None,
    ready: datetime | None,
) -> KitchenComparison:
    here, wanted, places = work.of
    formula, own = sized(here.document, wanted)
    return kitchen_comparison(formula, own, places, start=start, ready=ready)
