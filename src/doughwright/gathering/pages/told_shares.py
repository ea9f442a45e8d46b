"""What a method says of one line's shares: "50 g of the 70 g butter is for the filling".

A list that names an amount once may mean it for the dough and for the brush. Where the method tells
of the whole and of the share, both are known; where it only tells that something remains, the line
is divided and its baker is asked.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from doughwright.gathering.gathered import Amount, Gathered, Item, Origin
from doughwright.gathering.lines.amounts import Found, amount_at, amounts_in
from doughwright.gathering.lines.names import described
from doughwright.gathering.lines.splitting import Place, Share, Split, parted, place_of
from doughwright.gathering.lines.uses import without_use
from doughwright.gathering.pages.titles import kind_of

COUNTED = (None, "dough", "preferment", "soaker")
"""Kinds of sections whose lines go into the dough, as far as they say."""

MOST_SIGNS = 2000
"""Of a line that is looked through; a longer one is no step (assumption)."""

_OF_THE = re.compile(r"\s+of\s+(?:the|this|that|these|your)\s+", re.IGNORECASE)
_GOES = re.compile(
    r"(?P<name>(?:[^\W\d][\w'’%-]*\s+){1,5}?)(?P<verb>(?:(?:is|are|goes|go|will|be|used|kept"
    r"|reserved|meant)\s+)*)(?P<by>for|in|into|to)\s+(?:(?:the|your|a)\s+)*"
    r"(?P<place>[^\W\d][\w -]*)",
    re.IGNORECASE,
)
_ASIDE = re.compile(
    r"\b(?:reserv\w+|set(?:ting)?\s+aside|sav(?:e|ing)|(?:keep|hold|put)(?:ing)?\s+(?:back|aside))\s+",
    re.IGNORECASE,
)
_REMAINS = (
    r"(?:remaining|leftover|left-over|reserved|other|second|last|rest\s+of\s+the|half\s+(?:of\s+)?the"
    r"|(?:some|part|a\s+little|a\s+few\s+spoons)\s+of\s+the)"
)
_ON_TOP = (
    r"\b(?:brush|glaz|sprinkl|dust|scatter|drizzl|strew|coat)(?:e|es|ed|s|ing)?\b"
    r"|\b(?:fill|top|spread)(?:s|ing)?\b"
)
_REST = re.compile(rf"\b{_REMAINS}\s+(?P<name>[^\W\d][^.,;:()]*)", re.IGNORECASE)
_BRUSHED_ON = re.compile(rf"(?:{_ON_TOP})[^.;]{{0,60}}$", re.IGNORECASE)
_EGG_ON = re.compile(
    r"\b(?:brush|glaz)(?:e|es|ed|ing)?\b[^.;]{0,40}?\b(?:with|using)\s+(?:(?:the|a|an|some|little"
    r"|lightly|well|of)\s+)*(?:beaten\s+|whisked\s+)?(?:egg|yolk)",
    re.IGNORECASE,
)
_STATES = re.compile(r"\b(?:is|are|goes|go|will)\b", re.IGNORECASE)
_SENTENCE = re.compile(r"(?<=[.;!])\s+")


def tells_share(words: str) -> bool:
    """Whether a line says where a share of another line goes, and is no ingredient itself.

    >>> tells_share("50 g of the 70 g butter is for the filling"), tells_share("50 g butter")
    (True, False)
    """
    found = amount_at(words)
    of = _OF_THE.match(words, found.end) if found else None
    return of is not None and _STATES.search(words, of.end()) is not None


@dataclass(frozen=True, slots=True)
class _List:
    """The lines that count for the dough by their row of the table; all eggs of the recipe."""

    lines: tuple[tuple[str, Item], ...]
    eggs: int

    def alone(self, row: str) -> Item | None:
        """The line of an ingredient that stands once, and for one place as far as it says."""
        found = [item for name, item in self.lines if name == row]
        return found[0] if len(found) == 1 and not (found[0].divided or found[0].may_be) else None

    def of(self, row: str, amount: Amount) -> Item | None:
        """The line of so much of an ingredient."""
        found = [item for name, item in self.lines if name == row and _says(item, amount)]
        return found[0] if len(found) == 1 else None


def apart_by_method(gathered: Gathered) -> Gathered:
    """What was gathered, with the lines apart that its method says go to several places."""
    told = (*gathered.method, *gathered.other, *gathered.unread)
    listed = _listed(gathered) if told else _List((), 0)
    made: dict[int, tuple[Item, ...]] = {}
    for line in told if listed.lines else ():
        for sentence in _SENTENCE.split(line.text) if len(line.text) <= MOST_SIGNS else ():
            for item, parts in _told(replace(line, text=sentence), listed):
                made.setdefault(id(item), parts)
    if not made:
        return gathered
    sections = (
        replace(section, items=tuple(p for i in section.items for p in made.get(id(i), (i,))))
        for section in gathered.sections
    )
    return replace(gathered, sections=tuple(sections))


def _listed(gathered: Gathered) -> _List:
    rows = [
        (s, item, described(item.name).ingredient) for s in gathered.sections for item in s.items
    ]
    lines = (
        (row.name, item)
        for section, item, row in rows
        if row and kind_of(section.title) in COUNTED and item.amount and item.use == "dough"
    )
    return _List(tuple(lines), sum(row is not None and row.kind == "egg" for *_, row in rows))


def _told(line: Origin, listed: _List) -> Iterator[tuple[Item, tuple[Item, ...]]]:
    for found in amounts_in(line.text):
        yield from _share(line, found, listed)
    for rest in _REST.finditer(line.text):
        item = next(filter(None, map(listed.alone, _rows_in(rest["name"]))), None)
        behind = without_use(rest["name"])[2]
        if item and (_BRUSHED_ON.search(line.text[: rest.start()]) or behind):
            yield item, _divided(item, line)
    if listed.eggs == 1 and _EGG_ON.search(line.text):
        eggs = filter(None, map(listed.alone, ("egg", "egg yolk", "egg white")))
        yield from ((item, _divided(item, line)) for item in eggs)


def _share(line: Origin, found: Found, listed: _List) -> Iterator[tuple[Item, tuple[Item, ...]]]:
    """A share with its place: taken where the whole is named with it, else asked."""
    words, before = line.text, line.text[: found.start]
    of = _OF_THE.match(words, found.end)
    if of is None and not _ASIDE.search(before):
        return
    start = of.end() if of else found.end
    whole = amount_at(words, start) if of else None
    goes = _GOES.match(words[whole.end if whole else start :].lstrip().removeprefix("of "))
    place = _place(goes) if goes else None
    if goes is None or place is None:
        return
    rows = list(_rows_in(goes["name"]))
    item = next((i for r in rows if whole and (i := listed.of(r, whole.amount))), None)
    if item is not None:
        share = Share(found.amount, 0.0, "", place, 0, line.text[found.start :].rstrip(" ."))
        kept, *others = parted(replace(item, divided=""), Split("", (share,), "", is_of_it=True))
        yield item, (kept, *(replace(other, origin=line) for other in others))
        return
    alone = next(filter(None, map(listed.alone, rows)), None)
    if alone is not None:
        yield alone, _divided(alone, line)


def _place(goes: re.Match[str]) -> Place | None:
    """Where a share goes; into a bowl is no place for good, and into the dough is where it is."""
    place = place_of(goes["place"])
    if place is None or (place.use == "dusting" and goes["by"].lower() != "for"):
        return None
    return None if place.use == "dough" else place


def _rows_in(words: str) -> Iterator[str]:
    """Rows of the table that some words begin with the name of, the longest name first."""
    parts = words.split()[:4]
    for count in range(len(parts), 0, -1):
        found = described(" ".join(parts[:count])).ingredient
        if found is not None:
            yield found.name


def _says(item: Item, amount: Amount) -> bool:
    readings = (item.amount, *item.amount.same) if item.amount else ()
    return any((one.unit, one.best) == (amount.unit, amount.best) for one in readings)


def _divided(item: Item, line: Origin) -> tuple[Item, ...]:
    return (replace(item, divided=line.text.strip()),)
