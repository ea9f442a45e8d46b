"""Where a dough's times belong: before or after its shaping, to something else, to no step."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.gathering.gathered import Origin, OvenRead, TimeRead
from doughwright.gathering.lines.numerals import plain
from doughwright.gathering.process import elsewhere
from doughwright.gathering.process.goals import RIPE
from doughwright.gathering.process.naming import WAITS, name_in
from doughwright.units import Second

LONGEST_REST: Second = 30 * 60.0
"""A dough that is left longer ferments, whatever it is called (assumption)."""

_ANY_CASE = re.IGNORECASE
_DIVIDED = re.compile(
    r"\bdivid|\bscale (?:at|to|into)|\bcut (?:it |the dough )?into\b|\bportion into\b|"
    rf"\b(?:{elsewhere.DIVIDED})",
    _ANY_CASE,
)
_SHAPED = re.compile(
    r"(?<!pre-)(?<!pre )\bshap(?:e|ed|ing)\b|\bmould(?:ed|ing)?\b|"
    r"\b(?:form|roll|make|braid|plait)(?:ed|ing)? (?:\w+ ){0,4}?into\b|\broll up\b|"
    rf"\b(?:{elsewhere.SHAPED})",
    _ANY_CASE,
)
_ONLY_ROUNDED = re.compile(r"\bbowl\b|\bbefore (?:shaping|dividing)\b", _ANY_CASE)
_IN_PIECES = re.compile(r"\b(?:shaped|pieces|tins?|pans?|loaves|rolls|buns)\b", _ANY_CASE)
_AGAIN = re.compile(rf"\b(?:second|again|final|last|{elsewhere.AGAIN})\b", _ANY_CASE)
"""With one of these a dough that rises is proofing, where no shaping is told."""

_MAY_BE = re.compile(
    r"\b(?:can|may|could|might|optional(?:ly)?|if you|if not|or you|alternatively|keeps?|"
    r"leftovers?|in advance|make ahead)\b",
    _ANY_CASE,
)
_KEPT = re.compile(
    rf"{_MAY_BE.pattern}|\b(?:total|prep\w*|active|hands[- ]on|ready in|in all|takes?|keep\w*|"
    r"stor(?:e[ds]?|age|ing)|freez\w*|frozen|fresh(?:ly)?|eaten?|serve|within|shelf|best|cool\w*|"
    r"bak(?:e|es|ed|ing))\b",
    _ANY_CASE,
)
"""Words of a time of keeping, of the whole, or of what does not rise."""

_AUTOLYSE = re.compile(r"\bautolys", _ANY_CASE)
_THINGS = (
    r"\b(?:yeast|raisins|sultanas|currants|fruits?|seeds|oats|butter|filling|cream|custard|glaze|"
    r"icing|syrup|milk|potato(?:es)?|onions?|leeks?|garlic|nuts|walnuts|almonds|cheese|grains?|"
    r"bulgur|polenta|topping|streusel|crumble)\b"
)
_SOMETHING_ELSE = re.compile(_THINGS, _ANY_CASE)
_THE_DOUGH_TOO = re.compile(
    r"\b(?:dough|loaf|loaves|rolls?|buns?|pieces|balls|shaped?|knead\w*|bread|flour|rise|rising|"
    r"pro[ov](?:e|ing|f)|brush\w*|sprinkl\w*|scatter\w*|dust\w*)\b",
    _ANY_CASE,
)
_YEAST_WAKES = re.compile(
    r"\byeast\b.*\b(?:foam|froth|bubbl|activ|dissolv|bloom)|\b(?:foam|froth)|\bproof the yeast",
    _ANY_CASE,
)


# --- Before or after what -------------------------------------------------------------------------

Place = tuple[int, int]
"""A line of the method and a place in it."""

NOWHERE: Place = (1_000_000, 0)


@dataclass(frozen=True, slots=True)
class Landmarks:
    """Where a method divides, shapes and bakes; NOWHERE where it does not say."""

    divided: Place
    shaped: Place
    baked: Place
    order: Mapping[Origin, int]

    def place(self, time: TimeRead) -> Place:
        """Where in the method a time stands."""
        return self.order.get(time.origin, 0), time.start

    def is_behind(self, time: TimeRead, mark: Place) -> bool:
        """Whether a time stands behind a landmark that there is."""
        return mark != NOWHERE and self.place(time) > mark

    @property
    def parted(self) -> Place:
        """From where on the pieces are as they are baked."""
        return self.shaped if self.shaped != NOWHERE else self.divided


def landmarks_in(
    method: Sequence[Origin], times: Iterable[TimeRead], ovens: Iterable[OvenRead]
) -> Landmarks:
    """The landmarks of a method, the bake by the last time or setting of it."""
    order = {line: at for at, line in reversed(list(enumerate(method)))}
    bakes = [(order.get(t.origin, 0), t.start) for t in times if t.verb == "bake"]
    bakes += [(order.get(oven.origin, 0), oven.start) for oven in ovens]
    return Landmarks(
        divided=_first(_DIVIDED, method),
        shaped=_first(_SHAPED, method, but=_ONLY_ROUNDED),
        baked=max(bakes, default=NOWHERE),
        order=order,
    )


def _first(
    words: re.Pattern[str], method: Sequence[Origin], but: re.Pattern[str] | None = None
) -> Place:
    """Where some words stand first; ``but`` are words of the same sentence that take it back."""
    for at, line in enumerate(method):
        for found in words.finditer(plain(line.text)):
            rest = re.split(r"[.;]\s|\d", line.text[found.start() :])[0]
            if but is None or not but.search(rest):
                return at, found.start()
    return NOWHERE


def of_the_dough(times: Sequence[TimeRead], main: str) -> Iterator[TimeRead]:
    """Times without those of something else: raisins, butter, yeast that wakes, what may be.

    ``main`` is what the dough is called.
    """
    for time in times:
        is_its = re.search(name_in(main), time.sentence, _ANY_CASE) is not None
        is_wait = time.verb in WAITS | {"cool"}
        if is_wait and not is_its and _is_of_something_else(time):
            continue
        if time.verb == "retard" and _MAY_BE.search(time.sentence):
            continue
        yield time


def may_be_a_rise(time: TimeRead) -> bool:
    """Whether something may rise in a time: it is long, and no time of keeping or of the whole."""
    is_long = time.high > LONGEST_REST
    return is_long and not (_KEPT.search(time.sentence) or _is_of_something_else(time))


def unripe(times: Iterable[TimeRead]) -> Iterator[TimeRead]:
    """The times of a dough: it has a size to rise to, and is no preferment that is ripe."""
    for time in times:
        if time.until != RIPE:
            yield time
        elif time.high:
            yield replace(time, until="")


def _is_of_something_else(time: TimeRead) -> bool:
    words = time.sentence
    if _YEAST_WAKES.search(words) and not re.search(
        r"\bdough|\bsponge|\bpoolish", words, _ANY_CASE
    ):
        return True
    return is_no_dough(words)


def is_no_dough(words: str) -> bool:
    """Whether words name something that is no dough, and no dough beside it."""
    return bool(_SOMETHING_ELSE.search(words)) and not _THE_DOUGH_TOO.search(words)


# --- What each of them is -------------------------------------------------------------------------


def of_a_part(times: Iterable[TimeRead]) -> Iterator[TimeRead]:
    """The waits of a preferment: it ferments, whatever that is called."""
    for time in times:
        if time.verb in WAITS:
            ferments = time.verb == "proof" or (time.verb == "rest" and time.high > LONGEST_REST)
            yield replace(time, verb="ferment") if ferments else time


def of_the_bulk(times: Sequence[TimeRead], marks: Landmarks) -> list[TimeRead]:
    """The waits of a dough before it is shaped, and before it is divided where it is not."""
    waits = [time for time in times if time.verb in WAITS]
    proofs = [time for time in waits if time.verb in ("ferment", "proof")]
    found = []
    for time in waits:
        if not _is_late(time, waits, marks):
            is_last_proof = time.verb == "proof" and marks.parted == NOWHERE and time is proofs[-1]
            long = time.verb == "rest" and time.high > LONGEST_REST
            long = long and not _AUTOLYSE.search(time.sentence)
            rises = (time.verb == "proof" and not is_last_proof) or long
            found.append(replace(time, verb="ferment") if rises else time)
    return found


def of_the_pieces(times: Sequence[TimeRead], marks: Landmarks) -> list[TimeRead]:
    """The waits after the shaping: what rests last and does not rise is the proof."""
    waits = [time for time in times if time.verb in WAITS]
    late = [time for time in waits if _is_late(time, waits, marks)]
    sure = [time for time in late if time.role != "or"]
    risen = any(time.verb in ("ferment", "proof", "retard") for time in sure)
    return [
        replace(time, verb="proof")
        if time.verb == "ferment" or (time.verb == "rest" and not risen and time is sure[-1])
        else time
        for time in late
    ]


def _is_late(time: TimeRead, waits: Sequence[TimeRead], marks: Landmarks) -> bool:
    """Whether a wait is of the pieces: told behind the shaping, or as such where none is told."""
    if marks.parted != NOWHERE:
        return marks.is_behind(time, marks.parted)
    if time.verb not in ("ferment", "retard"):
        return False
    again = time is not waits[0] and _AGAIN.search(time.sentence)
    return bool(again or _IN_PIECES.search(time.sentence))
