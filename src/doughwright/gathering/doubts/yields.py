"""A yield that its lines do not fill, and a method that takes more than its list has."""

import math
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from doughwright.engine.ingredients import ingredient_named, ingredient_table, plain_words
from doughwright.errors import Notice
from doughwright.gathering.asking import Asked, key_of, words_of
from doughwright.gathering.doubts.printed import Finding, answer_of, printed_columns, scaled, slack
from doughwright.gathering.doubts.unlikely import dough_of
from doughwright.gathering.gathered import Choice, Doubt, Gathered, Item, Made, Origin, Settings
from doughwright.gathering.lines.amounts import Found, amounts_in
from doughwright.gathering.pages.shaping import shaped_in
from doughwright.gathering.weighing.masses import mass_of

SHORT = 0.01
"""Dough that lacks less than this is weighed out a little lighter (assumption)."""

LEFT = 0.25
"""Dough beyond this is not what stays on the hands and what baking takes (assumption)."""

MOST_BETWEEN = 7
"""So many numbers of a range are offered each; of a wider one its ends (assumption)."""

_NAME = re.compile(r"\s*(?:of\s+)?(?:the\s+)?([^\W\d_][^,.;()\d]*)")
_AND = re.compile(r"\s+(?:and|plus|with|into|to|in|for|from|on)\s+")


@dataclass(frozen=True, slots=True)
class _Wanted:
    made: Made
    pieces: int
    piece: float
    step: float


# --- How many -------------------------------------------------------------------------------------


def pieces_doubted(
    gathered: Gathered, answers: Mapping[str, str]
) -> tuple[tuple[Made, ...], list[Asked]]:
    """What is made, after the answer how many pieces: of a range, or of what the method tells.

    A method is asked only where no line says what the whole makes.
    """
    counted = next((m for m in gathered.made if m.pieces), None)
    if counted is not None and counted.pieces is not None:
        low, high = counted.pieces
        if low == high:
            return gathered.made, []
        counts = range(low, high + 1) if high - low < MOST_BETWEEN else (low, high)
        doubt = _how_many(counted.origin, counted.words, counts, answers)
        return tuple(_so_many(m, doubt) if m is counted else m for m in gathered.made), [
            Asked(doubt)
        ]
    shaped = shaped_in(gathered.method)
    if shaped is None:
        return gathered.made, []
    made = Made(shaped.origin, words=shaped.sentence)
    if not shaped.is_open:
        return (*gathered.made, replace(made, pieces=(shaped.counts[0],) * 2)), []
    doubt = _how_many(shaped.origin, shaped.sentence, shaped.counts, answers)
    taken = (_so_many(made, doubt),) if doubt.answer else ()
    return (*gathered.made, *taken), [Asked(doubt)]


def _how_many(
    origin: Origin, words: str, counts: Iterable[int], answers: Mapping[str, str]
) -> Doubt:
    key = f"{origin.line}:pieces"
    choices = tuple(Choice(f"{count}", f"{count}") for count in counts)
    answer = answer_of(key, (choice.key for choice in choices), answers)
    notice = Notice.of("gather-pieces", read=words.strip())
    return Doubt(key, notice, choices, answer, blocks=False)


def _so_many(made: Made, doubt: Doubt) -> Made:
    count = int(doubt.answer) if doubt.answer else 0
    return replace(made, pieces=(count, count)) if count else made


# --- Yields ---------------------------------------------------------------------------------------


def yields_doubted(
    gathered: Gathered, settings: Settings, answers: Mapping[str, str]
) -> tuple[tuple[Made, ...], list[Asked]]:
    """What is made, after the answer, where its pieces and the dough do not go together."""
    wanted = _wanted(gathered, settings)
    dough = dough_of(gathered, printed_columns(gathered, settings))
    if wanted is None or dough is None or dough.column.is_share:
        return gathered.made, []
    mass = sum(entry.value for entry in dough.entries)
    need = wanted.pieces * wanted.piece
    within = slack(dough.entries) + wanted.pieces * wanted.step / 2
    short = need - mass > max(within, SHORT * need) and not dough.lacks
    if not short and mass - need <= max(within, LEFT * mass):
        return gathered.made, []
    doubt = _asked(wanted, mass, "gather-yield-short" if short else "gather-yield-left", answers)
    return tuple(_made(m, wanted, mass, doubt.answer) for m in gathered.made), [Asked(doubt)]


def _wanted(gathered: Gathered, settings: Settings) -> _Wanted | None:
    """How many pieces of what weight; None where either is not said."""
    counted = next((m for m in gathered.made if m.pieces and m.pieces[0] == m.pieces[1] > 0), None)
    weighed = next((m for m in gathered.made if m.piece), None)
    if counted is None or counted.pieces is None or weighed is None or weighed.piece is None:
        return None
    mass = mass_of(weighed.piece, None, settings).mass
    if mass is None or not mass[1] > 0:
        return None
    return _Wanted(counted, counted.pieces[0], mass[1], mass[1] / weighed.piece.best)


def _asked(wanted: _Wanted, mass: float, code: str, answers: Mapping[str, str]) -> Doubt:
    pieces, piece = math.floor(mass / wanted.piece), mass / wanted.pieces
    choices = (
        Choice("pieces", f"{pieces} of {1000 * wanted.piece:.4g} g"),
        Choice("weight", f"{wanted.pieces} of {1000 * piece:.4g} g"),
        Choice("this", "it stands as it is"),
    )
    key = f"{wanted.made.origin.line}:yield"
    answer = answer_of(key, (choice.key for choice in choices), answers)
    notice = Notice.of(
        code,
        pieces=wanted.pieces,
        piece=wanted.piece,
        found=mass,
        off=abs(wanted.pieces * wanted.piece - mass),
    )
    return Doubt(key, notice, choices, answer, blocks=False)


def _made(made: Made, wanted: _Wanted, mass: float, answer: str) -> Made:
    if answer == "pieces" and made is wanted.made:
        count = math.floor(mass / wanted.piece)
        return replace(made, pieces=(count, count)) if count else made
    return replace(made, piece=None) if answer == "weight" else made


# --- The method against the list ------------------------------------------------------------------


def methods_doubted(
    gathered: Gathered, settings: Settings, answers: Mapping[str, str]
) -> Iterator[Finding]:
    """Ingredients of which one step of the method takes more than the list has."""
    listed: dict[str, list[tuple[Item, float]]] = {}
    for section in gathered.sections:
        for item in section.items:
            mass = _mass(item, settings)
            listed.setdefault(_kind(item.name), []).append((item, mass))
    for kind, taken in _taken(gathered, settings).items():
        rows = listed.get(kind, [])
        has = sum(mass for _, mass in rows)
        if rows and all(mass > 0 for _, mass in rows) and taken > has * (1 + SHORT):
            yield _more_taken(rows, taken, has, answers)


def _mass(item: Item, settings: Settings) -> float:
    if item.amount is None:
        return 0.0
    mass = mass_of(item.amount, ingredient_named(item.name), settings, words_of(item)).mass
    return mass[1] if mass else 0.0


def _kind(name: str) -> str:
    """What an ingredient is compared by: its row, cheeses and unknown names by their kind."""
    found, words = ingredient_named(name), plain_words(name)
    if found is not None:
        return found.kind if found.kind == "cheese" else found.name
    kinds = {row.kind for row in ingredient_table().values()}
    return words[-1] if words and words[-1] in kinds else ""


def _taken(gathered: Gathered, settings: Settings) -> dict[str, float]:
    """The most that one step takes of each, by weights alone."""
    most: dict[str, float] = {}
    for origin in gathered.method:
        step: dict[str, float] = {}
        for kind, mass in _mentions(origin, settings):
            step[kind] = step.get(kind, 0.0) + mass
        most |= {kind: max(mass, most.get(kind, 0.0)) for kind, mass in step.items() if kind}
    return most


def _mentions(origin: Origin, settings: Settings) -> Iterator[tuple[str, float]]:
    for found in amounts_in(origin.text):
        mass = mass_of(found.amount, None, settings).mass
        if mass is not None:
            yield _kind(_name_after(origin.text, found)), mass[1]


def _name_after(text: str, found: Found) -> str:
    named = _NAME.match(text, found.end)
    return _AND.split(named[1], maxsplit=1)[0].strip() if named else ""


def _more_taken(
    rows: list[tuple[Item, float]], taken: float, has: float, answers: Mapping[str, str]
) -> Finding:
    first = rows[0][0]
    key = f"{key_of(first)}:method"
    choices = (
        Choice("list", f"{1000 * has:.4g} g", (has, has, has)),
        Choice("method", f"{1000 * taken:.4g} g", (taken, taken, taken)),
    )
    answer = answer_of(key, ("list", "method"), answers)
    notice = Notice.of("gather-method", name=first.name, listed=has, taken=taken)
    factor = taken / has if answer == "method" else 1.0
    changes = tuple((item, scaled(item, factor)) for item, _ in rows) if factor != 1.0 else ()
    return Finding(Asked(Doubt(key, notice, choices, answer)), changes)
