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
    Named,
    kitchen_in,
    kitchen_key,
    kitchen_text,
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
        name = (here.stored.text, shelf_text(), kitchen, tuple(sorted(wanted.words.items())))
        made_of = Named(name, (here, wanted, kitchen))
        return CardAttempt(words, _card(made_of, sizes, "measures" in words))
    except (DocumentError, ImpossibleInput) as error:
        return CardAttempt(words, problems=here.reading.located(error).problems)


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


@lru_cache(KEPT)
def _card(
    work: Named[tuple[Bread, Asked, str]],
    sizes: tuple[int, ...] | None,
    measures: bool,  # noqa: FBT001 - a key of the cache
) -> CardSheet:
    here, wanted, kitchen = work.of
    formula, own = sized(here.document, wanted)
    place = wanted.in_kitchen(kitchen_in(kitchen))
    return card(formula, place, own, sizes=sizes, measures=measures)


def all_problems(found: CardAttempt) -> DoughwrightError:
    """Everything that stands in the way, as one error."""
    beside = [p for each in (found.wrong or {}).values() for p in each]
    return DocumentError((*beside, *found.problems))
