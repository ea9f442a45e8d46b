"""Where a method's times belong: to which part, before or after its shaping, to no dough at all."""

import re
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.gathering.drafted import DraftPreparation
from doughwright.gathering.gathered import Origin, OvenRead, TimeRead
from doughwright.gathering.lines.numerals import plain
from doughwright.units import Second

LONGEST_REST: Second = 30 * 60.0
"""A dough that is left longer ferments, whatever it is called (assumption)."""

WAITS = frozenset({"ferment", "rest", "retard", "proof"})

_ANY_CASE = re.IGNORECASE
_DIVIDED = re.compile(
    r"\bdivid|\bscale (?:at|to|into)|\bcut (?:it |the dough )?into\b|\bportion into\b", _ANY_CASE
)
_SHAPED = re.compile(
    r"(?<!pre-)(?<!pre )\bshap(?:e|ed|ing)\b|\bmould(?:ed|ing)?\b|"
    r"\b(?:form|roll|make|braid|plait)(?:ed|ing)? (?:\w+ ){0,4}?into\b|\broll up\b",
    _ANY_CASE,
)
_ONLY_ROUNDED = re.compile(r"\bbowl\b|\bbefore (?:shaping|dividing)\b", _ANY_CASE)
_IN_PIECES = re.compile(r"\b(?:shaped|pieces|tins?|pans?|loaves|rolls|buns)\b", _ANY_CASE)
_AGAIN = re.compile(r"\b(?:second|again|final|last)\b", _ANY_CASE)
"""With one of these a dough that rises is proofing, where no shaping is told."""

_AUTOLYSE = re.compile(r"\bautolys", _ANY_CASE)
_MAY_BE = re.compile(
    r"\b(?:can|may|could|might|optional(?:ly)?|if you|if not|or you|alternatively|keeps?|"
    r"leftovers?|in advance|make ahead)\b",
    _ANY_CASE,
)
_OF_THE_DOUGH = re.compile(
    r"\b(?:knead|bulk|dough|divid|shap|pro[ov]+[ei]|bak)|"
    r"\b(?:all|remaining|rest of|other) (?:of )?(?:the )?(?:dough )?ingredients\b",
    _ANY_CASE,
)
"""Words of what is done to the dough that is baked."""

_TAKEN = (
    r"\b(?:add|adding|with|to|into|in|plus|and|all|of)\s+(?:(?:all|of|the|your|ripe|risen|this|"
    r"cooled|chilled|bubbly|active|mature)\s+)*"
)
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


# --- Of which part --------------------------------------------------------------------------------


class Named:
    """Where a method names what is made ahead, and where it works on the dough instead."""

    def __init__(self, method: Sequence[Origin], parts: Sequence[DraftPreparation]) -> None:
        """Look through the whole method once."""
        self.parts = parts
        self._by_sentence: dict[str, str] = {}
        self.starts: dict[Origin, int] = {}
        length = 0
        for line in method:
            self.starts.setdefault(line, length)
            length += len(line.text) + 1
        text = " ".join(line.text for line in method)
        told = [(found.start(), "") for found in _OF_THE_DOUGH.finditer(text)]
        for part in parts:
            if part.kind in ("preferment", "soaker"):
                taken = _taken(text, part.name)
                places = (found.start() for found in re.finditer(_name(part.name), text, _ANY_CASE))
                told += [(place, "" if place in taken else part.name) for place in places]
        self._told = sorted(told)

    def part_of(self, time: TimeRead) -> str:
        """The part a time is of; empty where that is the dough.

        It is named in the time's sentence, else ahead of it unless work on the dough came since:
        "Mix the sponge. Leave for 30 minutes. Knead for 10 minutes." names the sponge for two.
        """
        if time.sentence not in self._by_sentence:
            self._by_sentence[time.sentence] = part_named(time.sentence, self.parts)
        named = self._by_sentence[time.sentence]
        kind = next((part.kind for part in self.parts if part.name == named), "")
        if kind in ("filling", "glaze", "topping") and time.verb in ("ferment", "proof", "bake"):
            return ""
        takes = any(_taken(time.sentence, part.name) for part in self.parts)
        if named or takes or _OF_THE_DOUGH.search(time.sentence):
            return named
        start = self.starts.get(time.origin, 0) + len(time.before)
        last = bisect_left(self._told, (start, ""))
        return self._told[last - 1][1] if last else ""


def part_named(words: str, parts: Iterable[DraftPreparation]) -> str:
    """The part a sentence is about, by the longest name in it; empty where it names none.

    One that is added to something is not what the sentence is about.
    """
    named = (
        part.name
        for part in parts
        if {found.start() for found in re.finditer(_name(part.name), words, _ANY_CASE)}
        - _taken(words, part.name)
    )
    return max(named, key=len, default="")


def _taken(words: str, name: str) -> set[int]:
    """Where a part's name stands as what goes into something."""
    if name.casefold().endswith("dough"):
        return set()
    found = re.finditer(_TAKEN + _name(name), words, _ANY_CASE)
    return {match.end() - len(name) for match in found}


def _name(name: str) -> str:
    return rf"(?<!\w){re.escape(name)}(?!\w)"


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
        is_its = re.search(_name(main), time.sentence, _ANY_CASE) is not None
        is_wait = time.verb in WAITS | {"cool"}
        if is_wait and not is_its and _is_of_something_else(time):
            continue
        if time.verb == "retard" and _MAY_BE.search(time.sentence):
            continue
        yield time


def _is_of_something_else(time: TimeRead) -> bool:
    words = time.sentence
    if _YEAST_WAKES.search(words) and not re.search(
        r"\bdough|\bsponge|\bpoolish", words, _ANY_CASE
    ):
        return True
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
    risen = any(time.verb in ("ferment", "proof", "retard") for time in late)
    return [
        replace(time, verb="proof")
        if time.verb == "ferment" or (time.verb == "rest" and not risen and time is late[-1])
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
