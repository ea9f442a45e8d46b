"""What a card's page is asked, tried: a card, or what stands in the way beside its field."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from doughwright.errors import DocumentError, DoughwrightError, ImpossibleInput, Notice
from doughwright.sheets.card import CardSheet, card
from doughwright.store.errors import NotInLibrary
from doughwright.web.asked import Asked, asked
from doughwright.web.breads import (
    KEPT,
    Bread,
    kitchen_in,
    kitchen_key,
    kitchen_text,
    located,
    shelf_text,
    sized,
)
from doughwright.web.planning import by_field

MOST_SIZES = 6
FIELDS = ("kitchen", "codes", "pieces", "sizes", "measures")
"""All that a card's address may say."""


@dataclass(frozen=True, slots=True)
class CardAttempt:
    """What was asked of a card and what came of it.

    ``wrong`` are problems beside a field, ``problems`` those of the bread or its kitchen.
    """

    words: Mapping[str, str]
    card: CardSheet | None = None
    wrong: Mapping[str, tuple[Notice, ...]] | None = None
    problems: tuple[Notice, ...] = ()


def card_attempt(here: Bread, query: Mapping[str, str], now: datetime) -> CardAttempt:
    """Write a bread up as a query asks for it."""
    words = {name: query[name].strip() for name in FIELDS if query.get(name, "").strip()}
    try:
        wanted, sizes = asked(words, now), sizes_in(words.get("sizes", ""))
        kitchen = kitchen_text(kitchen_key(wanted))
    except NotInLibrary as error:
        return CardAttempt(words, wrong={"kitchen": error.problems})
    except DocumentError as error:
        return CardAttempt(words, wrong=by_field(error.problems))
    try:
        made = _card(_Work(here, wanted, sizes, kitchen, measures="measures" in words))
        return CardAttempt(words, made)
    except (DocumentError, ImpossibleInput) as error:
        return CardAttempt(words, problems=located(error, here.reading).problems)


def sizes_in(text: str) -> tuple[int, ...] | None:
    """How many pieces each column of the sizes table is for; none where nothing is said.

    Raises
    ------
    DocumentError
        If they are no counts, or too many.
    """
    said = [word for word in re.split(r"[,;\s]+", text) if word]
    if not said:
        return None
    good = [word for word in said if re.fullmatch("[0-9]{1,4}", word) and int(word) > 0]
    if len(good) < len(said) or len(said) > MOST_SIZES:
        allowed = f"up to {MOST_SIZES} counts, such as 6, 8, 10"
        raise DocumentError([Notice.of("not-a-count", "sizes", read=text, allowed=allowed)])
    return tuple(int(word) for word in good)


class _Work:
    """What a card is made of, known by its words: two of the same words are the same work."""

    __slots__ = ("asked", "bread", "kitchen", "measures", "name", "sizes")

    def __init__(
        self,
        here: Bread,
        wanted: Asked,
        sizes: tuple[int, ...] | None,
        kitchen: str,
        *,
        measures: bool,
    ) -> None:
        self.bread, self.asked, self.sizes = here, wanted, sizes
        self.kitchen, self.measures = kitchen, measures
        words = tuple(sorted(wanted.words.items()))
        self.name = (here.stored.text, shelf_text(), kitchen, words, sizes, measures)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Work) and self.name == other.name

    def __hash__(self) -> int:
        return hash(self.name)


@lru_cache(KEPT)
def _card(work: _Work) -> CardSheet:
    formula, own = sized(work.bread.document, work.asked)
    kitchen = work.asked.in_kitchen(kitchen_in(work.kitchen))
    return card(formula, kitchen, own, sizes=work.sizes, measures=work.measures)


def all_problems(found: CardAttempt) -> DoughwrightError:
    """Everything that stands in the way, as one error."""
    beside = [p for each in (found.wrong or {}).values() for p in each]
    return DocumentError((*beside, *found.problems))
