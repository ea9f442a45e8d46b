"""What a page is asked for: a kitchen, a size, a time; read like the words of a document."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from types import MappingProxyType

from doughwright.documents.clock import EXAMPLES, STARTED_AGO, clock_time
from doughwright.documents.quantities import NotAQuantity, Quantity, quantity
from doughwright.engine.food_rules import Codes
from doughwright.errors import DocumentError, Notice
from doughwright.resolving.formulas import Wish
from doughwright.resolving.kitchens import CHANGEABLE, Kitchen, as_codes, changed_kitchen

SIZES: Mapping[str, str] = MappingProxyType(
    {"pieces": "", "piece": "mass", "dough": "mass", "total flour": "mass", "with": ""}
)
"""What a size may be asked by; ``with`` is an ingredient on hand, ``egg=2 large``."""

COUNTRIES = ("EU", "UK", "US")
FIELDS = ("kitchen", *CHANGEABLE, *SIZES, "codes", "start", "ready")
"""All that a plan's address may say."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked, read: changes to a kitchen, a size, a beginning or an end.

    ``words`` are those of the address, without the empty ones, as they are shown again.
    """

    words: Mapping[str, str]
    place: Mapping[str, Quantity]
    codes: Codes | None
    wish: Wish
    start: datetime | None
    ready: datetime | None

    def in_kitchen(self, kitchen: Kitchen) -> Kitchen:
        """The kitchen with what was asked changed in it."""
        changed = changed_kitchen(kitchen, self.place)
        return replace(changed, codes=self.codes) if self.codes is not None else changed


def asked(query: Mapping[str, str], now: datetime) -> Asked:
    """Read what an address or a form says; ``now`` is the kitchen's own clock.

    Raises
    ------
    DocumentError
        With every field that is not understood; ``where`` is its name.
    """
    words = {name: query[name].strip() for name in FIELDS if query.get(name, "").strip()}
    problems: list[Notice] = []
    place = dict(_quantities(words, CHANGEABLE, problems))
    wish = _wish(words, problems)
    found = Asked(
        MappingProxyType(words),
        MappingProxyType(place),
        _codes(words, problems),
        wish,
        _clock(words, "start", now, STARTED_AGO, problems),
        _clock(words, "ready", now, timedelta(), problems),
    )
    if "start" in words and "ready" in words:
        problems.append(Notice.of("two-wishes", "ready", read="start, ready"))
    if problems:
        raise DocumentError(problems)
    return found


def whole_number(said: str) -> int:
    """A number as an address says it; 0 where it says none that anything here is counted by.

    >>> whole_number("12"), whole_number("x"), whole_number("9" * 5000)
    (12, 0, 0)
    """
    return int(said) if re.fullmatch("[0-9]{1,9}", said) else 0


def _quantities(
    words: Mapping[str, str], dimensions: Mapping[str, str], problems: list[Notice]
) -> Iterator[tuple[str, Quantity]]:
    for name, dimension in dimensions.items():
        if name in words and dimension:
            try:
                yield name, quantity(words[name], dimension)
            except NotAQuantity as error:
                problems.append(
                    Notice.of(error.code, name, read=words[name], allowed=error.allowed)
                )


def _wish(words: Mapping[str, str], problems: list[Notice]) -> Wish:
    given = dict(_quantities(words, SIZES, problems))
    for name, value in given.items():
        if value.best <= 0:
            problems.append(Notice.of("not-above-zero", name, read=words[name], allowed="8; 500 g"))
    sizes = [name for name in SIZES if name in words and name != "piece"]
    if len(sizes) > 1:
        problems.append(Notice.of("two-wishes", sizes[1], read=", ".join(sizes)))
    return Wish(
        pieces=_pieces(words, problems),
        piece=_best(given, "piece"),
        dough=_best(given, "dough"),
        flour=_best(given, "total flour"),
        having=_having(words, problems),
    )


def _pieces(words: Mapping[str, str], problems: list[Notice]) -> int | None:
    if "pieces" not in words:
        return None
    if re.fullmatch("[0-9]{1,6}", words["pieces"]) and int(words["pieces"]) > 0:
        return int(words["pieces"])
    allowed = "a whole number from 1, such as 8"
    problems.append(Notice.of("not-a-count", "pieces", read=words["pieces"], allowed=allowed))
    return None


def _best(given: Mapping[str, Quantity], name: str) -> float | None:
    return given[name].best if name in given else None


def _having(words: Mapping[str, str], problems: list[Notice]) -> tuple[str, Quantity] | None:
    if "with" not in words:
        return None
    name, _, amount = words["with"].partition("=")
    allowed, code = "egg=3 large; milk=250 ml; flour=1 kg", "not-a-quantity"
    try:
        read = quantity(amount.strip(), "mass", "volume", "count")
        if read.best > 0:
            return name.strip(), read
        code = "not-above-zero"
    except NotAQuantity:
        pass
    problems.append(Notice.of(code, "with", read=words["with"], allowed=allowed))
    return None


def _codes(words: Mapping[str, str], problems: list[Notice]) -> Codes | None:
    if "codes" not in words:
        return None
    if words["codes"].upper() in COUNTRIES:
        return as_codes(words["codes"])
    problems.append(
        Notice.of(
            "unknown-word", "codes", read=words["codes"], allowed=", ".join(COUNTRIES), like=""
        )
    )
    return None


def _clock(
    words: Mapping[str, str], name: str, now: datetime, ago: timedelta, problems: list[Notice]
) -> datetime | None:
    if name not in words:
        return None
    read = clock_time(words[name], now, ago)
    if read is None:
        problems.append(Notice.of("not-a-quantity", name, read=words[name], allowed=EXAMPLES))
    return read
