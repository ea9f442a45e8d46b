"""One amount for several places: "100 g butter, divided (60 g for the dough, 40 g to fill)".

Where every share is written, or the rest follows by subtraction, each goes to its place. Where the
line only says that it is divided, or its shares do not make up the whole, the baker is asked.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from doughwright.gathering.gathered import Amount, Item, Use
from doughwright.gathering.lines.amounts import ADDED, amounts_in
from doughwright.gathering.lines.names import BESIDE, described
from doughwright.gathering.lines.unit_words import PACKS
from doughwright.gathering.lines.uses import without_use
from doughwright.gathering.pages.titles import title_of

ALL = "all"
"""The answer that nothing of it goes elsewhere."""

DIVIDED = re.compile(
    r"\bdivided\b(?:\s+use)?(?!\s+(?:in|into|evenly|equally|by)\b)|\bseparate uses\b", re.IGNORECASE
)
NEAR = 1e-6

_FRACTIONS = {"half": 1 / 2, "third": 1 / 3, "quarter": 1 / 4}
_PLACE = re.compile(
    r"(?P<between>(?:\s+[\w'’-]+){0,5}?)\s+(?:for|in|into|to)\s+(?:(?:the|your|a|use in)\s+)*"
    r"(?P<place>[^\W\d][^,;()+.&:]*?)(?=\s*(?:[,;()+.&:]|\band\b|$))",
    re.IGNORECASE,
)
_NO_AMOUNT = re.compile(
    r"\b(?:(?P<rest>(?:the\s+)?(?:rest|remainder|remaining|balance|others?)\b(?:\s+half)?)"
    r"|(?:the\s+|an?\s+|one\s+|other\s+)*(?P<fraction>half|third|quarter)\b"
    r"|(?:the\s+|egg\s+)*(?P<what>whites?|yolks?)\b)(?=\s)",
    re.IGNORECASE,
)
_ADDS = re.compile(r"(?:\bplus|\+|\bor|&|\bwith|\band|\band an?|=)\s*(?:an?\s*)?$", re.IGNORECASE)
_MORE = re.compile(r"\b(?:extra|more|additional)\b", re.IGNORECASE)
_LEADS = re.compile(
    r"[\s,;:(\[–—-]*(?:\b(?:divided|separated|of which|of these|including|incl\.?|from which|use)\b"
    r"[\s,;:(\[–—-]*)*$",
    re.IGNORECASE,
)
_SURE = re.compile(r"[(\[:]|\bof\b|\bwhich\b|\bincl|\bthem\b", re.IGNORECASE)
_BOTH = re.compile(
    r"\bfor\s+(?P<first>[^,;()]+?)\s+(?:and|&|\+)\s+(?:for\s+|to\s+)?(?P<other>[^,;()]+)",
    re.IGNORECASE,
)
_THE = re.compile(r"^(?:(?:the|your|a)\s+)+", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a share goes: another use, another part by its name, or neither: where it stands."""

    use: Use = "dough"
    part: str = ""


@dataclass(frozen=True, slots=True)
class Share:
    """One share and its place; ``amount`` is None for the rest, ``what`` is a white or a yolk."""

    amount: Amount | None
    fraction: float
    what: str
    place: Place | None
    start: int
    words: str


@dataclass(frozen=True, slots=True)
class Split:
    """A line without its shares, those, the words they stand in, and whether they are of it."""

    head: str
    shares: tuple[Share, ...]
    tail: str
    is_of_it: bool


def split_of(line: str) -> Split | None:
    """The shares that a line tells of its one amount; None where it tells none.

    >>> split = split_of("3 eggs (2 for the dough, 1 for the glaze)")
    >>> [share.place.use for share in split.shares]
    ['dough', 'glaze']
    """
    first = next(amounts_in(line), None)
    shares = tuple(_shares(line, first.end if first else 0))
    if first is None or not shares:
        return None
    before = line[: shares[0].start]
    if _ADDS.search(before) or not re.search(r"[,;:(\[–—]|\s-\s|\bof which\b", before[first.end :]):
        return None
    led = _LEADS.search(before)
    head = before[: led.start()] if led else before
    named = described(f"{head[: first.start]} {head[first.end :]}".removeprefix(" of "))
    if named.ingredient is None:
        return None
    tail = " ".join(re.sub(r"[()\[\]]", " ", line[len(head) :]).split()).strip(" ,;:–—-")
    return Split(head, shares, tail, _SURE.search(line[len(head) :]) is not None)


def names_two_places(text: str) -> bool:
    """Whether what is said at the end puts it into the dough and elsewhere too.

    >>> names_two_places("2 eggs, for the dough and for brushing")
    True
    """
    found = _BOTH.search(text)
    places = [place_of(found[name]) for name in ("first", "other")] if found else []
    return None not in places and len(set(places)) == 2 and any(p and _is_dough(p) for p in places)


def place_of(words: str) -> Place | None:
    """The place some words name; None where they name none that we know.

    >>> place_of("the filling"), place_of("poolish"), place_of("next Tuesday")
    (Place(use='filling', part=''), Place(use='dough', part='poolish'), None)
    """
    plain = _THE.sub("", words.strip())
    use = without_use(f"for {plain}")[2]
    title = title_of(plain)
    if title is not None and title.kind in ("dough", "preferment", "soaker"):
        return Place("dough", title.name)
    if use is not None:
        return Place(use)
    if title is not None:
        kinds: dict[str, Use] = {"filling": "filling", "topping": "topping", "glaze": "glaze"}
        return Place(kinds[title.kind])
    return Place() if described(plain).ingredient is not None else None


def parted(item: Item, split: Split) -> tuple[Item, ...]:
    """An item as its shares, each with its place; itself, divided, where they leave it open."""
    noted = replace(item, note=", ".join(filter(None, (item.note, split.tail))))
    shares = split.shares
    if all(share.place and _is_here(share.place) for share in shares):
        return (noted,)
    amounts = None if item.alternatives else _amounts(item, split)
    if amounts is None or any(share.place is None for share in shares):
        return (replace(noted, divided=item.origin.text.strip()),)
    rest, *others = amounts
    made = [replace(item, amount=rest)] if rest else []
    for share, amount in zip(shares, others, strict=True):
        assert share.place is not None, "looked at above"
        name = f"egg {share.what}" if share.what else item.name
        place = share.place
        made.append(
            replace(
                item, name=name, amount=amount, use=place.use, place=place.part, note=share.words
            )
        )
    if rest and shares[0].what:  # a yolk for glazing leaves its white here
        other = "egg yolk" if shares[0].what == "white" else "egg white"
        made[0] = replace(made[0], name=other)
    return (replace(made[0], note=noted.note), *made[1:])


def answered(item: Item, words: str) -> tuple[Item, ...] | None:
    """An item as an answer divides it; None where the answer is none."""
    plain = words.strip()
    if plain.casefold() == ALL:
        return (replace(item, divided=""),)
    shares = tuple(_shares(plain, 0))
    if not shares:
        return None
    said = tuple(
        replace(share, amount=replace(share.amount, words=share.words)) if share.amount else share
        for share in shares
    )
    made = parted(replace(item, divided=""), Split("", said, "", is_of_it=True))
    return None if any(one.divided for one in made) else made


_Told = tuple[int, int, Amount | None, float, str]
"""Where a stretch begins and ends, and how much it says."""


# --- Shares ---------------------------------------------------------------------------------------


def _shares(line: str, start: int) -> Iterator[Share]:
    """Every amount behind the first that says only where it goes."""
    name = {word.casefold() for word in re.findall(r"[^\W\d]+", line[start:].partition(",")[0])}
    end = start
    for at, stop, amount, fraction, what in _told(line, start):
        found = _PLACE.match(line, stop)
        if at < end or found is None or not _is_bare(found["between"], name):
            continue
        end = found.end()
        yield Share(amount, fraction, what, place_of(found["place"]), at, line[at:end].strip())


def _told(line: str, start: int) -> list[_Told]:
    """Stretches that say how much: an amount, a fraction, the rest, the whites."""
    told: list[_Told] = [
        (start + f.start, start + f.end, f.amount, 0.0, "") for f in amounts_in(line[start:])
    ]
    ends = {stop + len(line[stop:]) - len(line[stop:].lstrip()) for _, stop, *_ in told}
    for found in _NO_AMOUNT.finditer(line, start):
        if found["what"] and found.start() in ends:
            continue  # one yolk more, not the yolk of it
        what = (found["what"] or "").lower().removesuffix("s")
        fraction = _FRACTIONS.get((found["fraction"] or "").lower(), 0.0)
        told.append((found.start(), found.end(), None, fraction, what))
    whole = [one for one in told if not (one[2] and _is_word_of_share(line, one))]
    return sorted(whole, key=lambda one: one[0])


def _is_word_of_share(line: str, one: _Told) -> bool:
    """Whether an amount is only the word of a fraction: half, a quarter."""
    words = line[one[0] : one[1]].lower()
    return any(words.endswith(fraction) for fraction in _FRACTIONS)


def _is_bare(between: str, name: set[str]) -> bool:
    """Whether the words before the place only say that it is of the same, and not more of it."""
    words = [word.casefold() for word in between.split()]
    allowed = BESIDE | name | {"it", "them", "which", "these", "is", "are", "goes", "go", "be"}
    allowed |= {"used", "reserved", "kept", "set", "aside", "one", "half"}
    return not _MORE.search(between) and all(word in allowed for word in words)


def _is_here(place: Place) -> bool:
    return place == Place()


def _is_dough(place: Place) -> bool:
    return place.use == "dough"


# --- Sums -----------------------------------------------------------------------------------------


def _amounts(item: Item, split: Split) -> tuple[Amount | None, ...] | None:
    """What stays, None where nothing does, and each share; None where they leave it open."""
    whole, shares = item.amount, split.shares
    if whole is None or any(bool(s.what) != bool(shares[0].what) for s in shares):
        return None
    if shares[0].what:
        rest = whole if len({share.what for share in shares}) == 1 else None
        return (rest, *(whole for _ in shares)) if described(item.name).name else None
    rests = [share for share in shares if not share.amount and not share.fraction]
    base = _base(whole, shares)
    if len(rests) > 1 or base is None:
        return None
    taken = [_taken(base, share) for share in shares if share not in rests]
    left = less(base, taken)
    if left is None:
        return None
    return _put(shares, rests, taken, left, split)


def _put(
    shares: Sequence[Share],
    rests: Sequence[Share],
    taken: Sequence[Amount],
    left: Amount,
    split: Split,
) -> tuple[Amount | None, ...] | None:
    """The shares in their order, with what is left where it goes."""
    is_none = not left.more and abs(left.best) <= NEAR
    if not left.more and left.best < -NEAR:
        return None
    if rests:
        given = iter(taken)
        return None if is_none else (None, *(left if s in rests else next(given) for s in shares))
    if is_none:
        return (None, *taken)
    all_elsewhere = not any(s.place and s.place.use == "dough" and s.place.part for s in shares)
    counts = all(share.unit == "" for share in taken)
    sure = all_elsewhere and (split.is_of_it or counts) and not DIVIDED.search(split.tail)
    return (left, *taken) if sure else None


def _base(whole: Amount, shares: Sequence[Share]) -> Amount | None:
    """The whole in the unit of its shares, where it is said in that one too."""
    units = {share.amount.unit for share in shares if share.amount} - {"", "piece"}
    readings = (whole, *whole.same)
    if len(units) > 1 or not units:
        return replace(whole, same=())
    said = next((one for one in readings if one.unit in units and not one.more), None)
    return replace(said or whole, same=())


def _taken(base: Amount, share: Share) -> Amount:
    """A share in the unit of the whole, where it is written without its own."""
    if share.amount is None:
        low, best, high = (share.fraction * end for end in (base.low, base.best, base.high))
        words = f"{share.words.split()[0]} of {base.words}"
        more = tuple(_times(part, share.fraction) for part in base.more)
        return replace(base, low=low, best=best, high=high, more=more, words=words)
    if not share.amount.unit:
        return replace(share.amount, unit=base.unit, modifiers=base.modifiers, package=base.package)
    return share.amount


def _times(amount: Amount, factor: float) -> Amount:
    low, high = sorted((amount.low * factor, amount.high * factor))
    return replace(amount, low=low, best=amount.best * factor, high=high)


def less(base: Amount, taken: Sequence[Amount]) -> Amount | None:
    """The whole without what is taken of it; None where the two cannot be compared."""
    left = base
    for one in taken:
        if one.unit == base.unit and one.package == base.package and not one.more:
            low, best, high = left.low - one.low, left.best - one.best, left.high - one.high
            left = replace(left, low=min(low, high), best=best, high=max(low, high))
        elif one.unit in ADDED and base.unit in (*ADDED, *PACKS) and not one.more:
            left = replace(left, more=(*left.more, _times(one, -1.0)))
        else:
            return None
    words = " less ".join((base.words, *(one.words for one in taken)))
    return replace(left, words=words) if taken else left
