"""Which part a time of a method is of: a preferment or a soaker that is named, else the dough."""

import re
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from doughwright.gathering.drafted import DraftPreparation
from doughwright.gathering.gathered import Origin, TimeRead
from doughwright.gathering.process import elsewhere

WAITS = frozenset({"ferment", "rest", "retard", "proof"})
AHEAD = ("preferment", "soaker")
"""Kinds of parts that are made before the dough."""

_ANY_CASE = re.IGNORECASE
_OF_THE_DOUGH = re.compile(
    r"\b(?:knead|bulk|autolys|dough|divid|shap|pro[ov]+[ei]|bak)|"
    r"\b(?:all|remaining|rest of|other) (?:of )?(?:the )?(?:dough )?ingredients\b|"
    rf"\b(?:{elsewhere.DOUGH})",
    _ANY_CASE,
)
"""Words of what is done to the dough that is baked."""

_TAKEN = (
    r"\b(?:add|adding|with|to|into|in|plus|and|all|of)\s+(?:(?:all|of|the|your|ripe|risen|this|"
    r"cooled|chilled|bubbly|active|mature)\s+)*"
)
_MIXED = re.compile(
    rf"(?<!the )\b(?:mix|combine|incorporate)(?:ing)?\b|\b(?:{elsewhere.MIXED})\b", _ANY_CASE
)
_MIXED_WITH = (
    r"\b(?:mix|combine|stir|whisk|blend)(?:ing)?\s+(?:the\s+)?(?:{name})\s*(?:,|with\b|and\b)"
)

_AND_WAITS = (
    r"\s+(?:and|then)\s+(?:leave|let|allow|chill|refrigerate|retard|stir|mix|set|cover|soak|put|"
    r"place|keep|rest|stand|knead|add)\b"
)
_POURED = re.compile(
    rf"\bpour(?:ing)?\b[^.;:]{{0,60}}?\b(?:over|on|onto)\s+((?:(?!{_AND_WAITS})[^.;:,]){{1,60}})|"
    r"\bsoak\s+([^.;:,\d]{1,60}?)(?=\s+(?:in|for|with|and)\b|[.;:,\d])|"
    r"\bcover\s+([^.;:,]{1,60}?)\s+with\s+(?:\w+\s+){0,3}?(?:water|milk|liquid)\b",
    _ANY_CASE,
)
"""What something wet is poured over, or is soaked in it (from memory)."""

_WORKED_SINCE = re.compile(
    r"\b(?:add\w*|flour|yeast|salt|the rest|remaining|ingredients|drain\w*)\b|"
    r"\b(?:mix|stir|beat)\s+(?:in|into|the|all|it into)\b",
    _ANY_CASE,
)
_CLAUSE_ENDS = re.compile(r"[,;.]|\b(?:then|and|before)\b", _ANY_CASE)
_HOW_LONG = re.compile(r"\d\s*(?:h|min)|\b(?:hours?|minutes?|overnight)\b", _ANY_CASE)
_DAY_BEFORE = re.compile(
    r"\s*(?:[,;:(–—].*|\s-\s.*|\b(?:(?:made|on|prepared)\s+)*(?:the\s+|a\s+)?"
    r"(?:day|night|evening|morning)\s+(?:before|ahead).*)$",
    _ANY_CASE,
)
"""What a heading says of a part behind its name: ``old dough, the day before``."""

_CULTURES = ("levain", "leaven", "starter", "sourdough", "sauerteig", "levain", "surdeg", "surdej")
_OTHERS = ("sponge", "poolish", "biga", "vorteig", "fordeg", "lievitino", "esponja")
_ANY = "pre-?ferment"
"""Words for a preferment that its heading may call by another name."""

_BARE = (
    r"\W*(?:\d+[.)]\s*)?(?:(?:the|your|for|let|ripen|build|make)\W+)*(?:{name})"
    r"(?:\W+(?:for|about|approx\w*|ca|around|build|takes?|needs?|time|is|it|in|of|ready"
    r"|at\s+[\d.–-]+\s*°?\s*[CF]?))*\W*"
)
"""A name and nothing else before its time: ``Biga 16 hours``, ``Dough: about 3 h``."""


class Named:
    """Where a method names what is made ahead, and where it works on the dough instead."""

    def __init__(
        self, method: Sequence[Origin], parts: Sequence[DraftPreparation], main: str
    ) -> None:
        """Look through the whole method once; ``main`` is the dough that is baked."""
        self._parts = parts
        self._kinds = {part.name: part.kind for part in parts}
        self._words = {part.name: _words_for(part, parts, main) for part in parts}
        self._bare = {**self._words, main: rf"{name_in(main)}|(?:(?:final|main) )?dough"}
        self._by_sentence: dict[str, str] = {}
        self._waited: dict[str, int] = {}
        self._starts: dict[Origin, int] = {}
        length = 0
        for line in method:
            self._starts.setdefault(line, length)
            length += len(line.text) + 1
        text = " ".join(line.text for line in method)
        told = list[tuple[int, str]]()
        named = set[int]()
        for part in parts:
            if part.kind in AHEAD:
                words = self._words[part.name]
                taken = _taken(text, part.name, words)
                for found in re.finditer(words, text, _ANY_CASE):
                    named.update(range(*found.span()))
                    told.append((found.start(), "" if found.start() in taken else part.name))
        worked = (found.start() for found in _OF_THE_DOUGH.finditer(text))
        self._told = sorted([*told, *((place, "") for place in worked if place not in named)])
        self._mixed = [found.start() for found in _MIXED.finditer(text)]
        self._text = text
        self._poured = list(_POURED.finditer(text))

    def parts_of(self, times: Iterable[TimeRead]) -> Iterator[tuple[TimeRead, str]]:
        """Times in the order of the text, each with its part; empty where that is the dough.

        One whose sentence says only what it is of is its rise, or its soaking. Once a preferment
        has waited, what is mixed is the dough.
        """
        for time in times:
            name = self._of_name_alone(time) if not time.verb else self._part_of(time)
            if name and self._is_dough_by_now(time, name):
                name = ""
            verb = time.verb or (_wait_of(self._kinds.get(name, ""), time) if name else "")
            yield replace(time, verb=verb), name
            if name and verb in WAITS | {"soak"}:
                self._waited[name] = self._place(time)

    def poured(self, time: TimeRead) -> str:
        """What water was poured over right before a wait; empty where nothing was.

        >>> line = Origin("a card", 1, "Pour the water over the oats; leave for 3 hours.")
        >>> wait = TimeRead(line, "rest", 1e4, 1e4, "leave for 3 hours.", line.text[:31], 41, 48)
        >>> Named([line], [], "dough").poured(wait)
        'the oats'
        """
        place = self._place(time)
        told = next((one for one in reversed(self._poured) if one.end() <= place), None)
        if told is None or time.verb not in ("", "rest", "retard"):
            return ""
        since = self._text[told.end() : place]
        behind = _CLAUSE_ENDS.split(time.sentence[time.end - len(time.before) :])[0]
        is_named = _named_in(f"{since} {behind}", self._words) != ""
        worked = (_WORKED_SINCE, _OF_THE_DOUGH, _HOW_LONG)
        if is_named or any(words.search(since) for words in worked):
            return ""
        return next(filter(None, told.groups()), "")

    def _part_of(self, time: TimeRead) -> str:
        """The part a time is of; empty where that is the dough.

        It is named in the time's sentence, else ahead of it unless work on the dough came since:
        "Mix the sponge. Leave for 30 minutes. Knead for 10 minutes." names the sponge for two.
        """
        named = self._in_sentence(time)
        kind = self._kinds.get(named, "")
        if kind in ("filling", "glaze", "topping") and time.verb in ("ferment", "proof", "bake"):
            return ""
        words = self._words.items()
        takes = any(_taken(time.sentence, name, pattern) for name, pattern in words)
        if named or takes or _OF_THE_DOUGH.search(time.sentence):
            return named
        start = self._starts.get(time.origin, 0) + len(time.before)
        last = bisect_left(self._told, (start, ""))
        return self._told[last - 1][1] if last else ""

    def _in_sentence(self, time: TimeRead) -> str:
        if time.sentence not in self._by_sentence:
            self._by_sentence[time.sentence] = _named_in(time.sentence, self._words)
        return self._by_sentence[time.sentence]

    def _of_name_alone(self, time: TimeRead) -> str:
        """The part whose name is all that stands before a time in its sentence."""
        ahead = time.sentence[: time.start - len(time.before)]
        named = (
            name
            for name, words in self._bare.items()
            if re.fullmatch(_BARE.format(name=words), ahead, _ANY_CASE)
        )
        return next(named, "")

    def _is_dough_by_now(self, time: TimeRead, name: str) -> bool:
        """Whether a part has waited and the dough has been mixed since, or is in this time."""
        waited = self._waited.get(name)
        if waited is None:
            return False
        words = self._words[name]
        if name == self._in_sentence(time):
            mixed_in = re.search(_MIXED_WITH.format(name=words), time.sentence, _ANY_CASE)
            return time.verb == "mix" and mixed_in is not None
        if not time.verb:
            return False
        place = self._place(time)
        return time.verb == "mix" or any(waited < mixed < place for mixed in self._mixed)

    def _place(self, time: TimeRead) -> int:
        return self._starts.get(time.origin, 0) + time.start


def _wait_of(kind: str, time: TimeRead) -> str:
    """What a part does for a time of which nothing is said."""
    waits = {"preferment": "ferment", "soaker": "soak", "dough": "ferment"}
    verb = waits.get(kind, "")
    return "retard" if verb == "ferment" and time.at == "fridge" else verb


def _words_for(part: DraftPreparation, parts: Sequence[DraftPreparation], main: str) -> str:
    """The pattern of a part's name; the only preferment is called by other words too."""
    name = name_in(part.name)
    short = _DAY_BEFORE.sub("", part.name).strip()
    is_own = short.casefold() not in ("", "dough", *(one.name.casefold() for one in parts))
    if part.kind in AHEAD and is_own:
        name = rf"{name}|{name_in(short)}"
    ahead = [one.name for one in parts if one.kind == "preferment"]
    ahead = ahead or [one.name for one in parts if one.kind == "dough" and one.name != main]
    if ahead != [part.name]:
        return name
    own = part.name.casefold()
    if any(word in own for word in _CULTURES):
        others: tuple[str, ...] = _CULTURES
    elif any(word in own for word in _OTHERS):
        others = ()
    else:
        others = (*_CULTURES, *_OTHERS)
    return rf"{name}|(?<!\w)(?:{'|'.join((*others, _ANY))})(?!\w)"


def _named_in(words: str, patterns: dict[str, str]) -> str:
    """The part a sentence is about, by the longest name in it; empty where it names none.

    One that is added to something is not what the sentence is about.
    """
    longest: dict[str, int] = {}
    for name, pattern in patterns.items():
        taken = _taken(words, name, pattern)
        found = re.finditer(pattern, words, _ANY_CASE)
        own = [len(match[0]) for match in found if match.start() not in taken]
        if own:
            longest[name] = max(own)
    return max(longest, key=lambda name: longest[name], default="")


def _taken(words: str, name: str, pattern: str) -> set[int]:
    """Where a part's name stands as what goes into something."""
    if name.casefold().endswith("dough") and not name.casefold().endswith("old dough"):
        return set()
    found = re.finditer(rf"{_TAKEN}(?P<name>{pattern})", words, _ANY_CASE)
    return {match.start("name") for match in found}


def name_in(name: str) -> str:
    """The pattern of a name as whole words."""
    return rf"(?<!\w){re.escape(name)}(?!\w)"
