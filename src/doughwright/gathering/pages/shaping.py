"""How many breads a method makes of its dough: "Divide into 6 pieces", "shape 8 rolls"."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from doughwright.engine.ingredients import ingredient_named
from doughwright.gathering.gathered import Origin
from doughwright.gathering.pages.figures import COUNT, count_of, made_in
from doughwright.gathering.pages.piece_words import ARTICLES, is_no_piece, is_piece

MOST_SIGNS = 20_000
"""Of a line that is looked through; a longer one is no step (assumption)."""

_ANY_CASE = re.IGNORECASE
_DIVIDES = re.compile(
    r"\b(?:divid|portion|cut|split|scal|shap|form|roll|mak|mould|mold|pull|weigh)(?:e|es|ing|s|ting)?\b"
    r"|\b(?:auf|ab)?(?:teil|form|schleif)(?:e|en|t)\b"
    r"|\b(?:divis|façonn|form|détaill)(?:er|ez|e)\b|\b(?:divid|form|ricav)(?:ere|ete|ono|i|are|ate|a)\b"
    r"|\b(?:divid|form)(?:ir|ar|a|e)\b|\b(?:del|form|rull|bak)a\b",
    _ANY_CASE,
)
_COUNT = re.compile(
    rf"(?:\b(?P<into>into|in|en|zu|i|till|til)\s+)?(?:(?:about|ca\.?|circa)\s+)?"
    rf"(?:{COUNT}|(?P<halves>half|halves))(?P<words>(?:\s+[^\W\d][\w'’-]*){{0,4}})",
    _ANY_CASE,
)
_APART_WORDS = """
portion portions part parts triangles squares rounds wheels teile teilen stücke stücken portionen
teiglinge teiglingen morceaux pâtons parti panetti porzioni porciones partes delar bitar stykker
"""
_APART = frozenset(_APART_WORDS.split())
"""What a dough is divided into, besides breads."""
_STRANDS = re.compile(
    r"\b(?:strands?|ropes?|strings?|snakes?|sausages?|strips?|layers?|stränge|strängen|brins|thirds)\b",
    _ANY_CASE,
)
_BRAIDS = re.compile(r"\b(?:braid|plait|flecht|flicht|tress|intrecci|fläta)", _ANY_CASE)
_EACH = re.compile(r"\b(?:each|every|jede\w*|chaque|ogni|cada|varje)\b", _ANY_CASE)
_SENTENCE = re.compile(r"(?<=[.!;])\s+")
_WORD = re.compile(r"[^\W\d][\w'’-]*")
_ENDS = re.compile(r"[^\w\s]|\b(?:and|then|und|dann|et|puis|e|poi|y|och)\b", _ANY_CASE)


@dataclass(frozen=True, slots=True)
class Shaped:
    """What a method says of its pieces: the counts it names, and whether they leave it open."""

    origin: Origin
    sentence: str
    counts: tuple[int, ...]
    is_open: bool


def shaped_in(method: Sequence[Origin]) -> Shaped | None:
    """How many breads a method tells of; None where it tells of none.

    What it says it makes goes before what it divides. Pieces that are braided, halves that are
    cut again and numbers that differ leave open how many breads there are.

    >>> shaped_in([Origin("a card", 1, "Mix. Divide into 6 pieces. Bake.")]).counts
    (6,)
    """
    lines = [line for line in method if len(line.text) <= MOST_SIGNS]
    sentences = [(line, one) for line in lines for one in _SENTENCE.split(line.text)]
    for line, sentence in sentences:
        made = made_in(Origin(line.source, line.line, sentence.strip()))
        is_said = re.match(r"\W*(?:makes|yields|ergibt|donne|rende|rinde)\b", sentence, _ANY_CASE)
        if made and made.pieces and is_said:
            low, high = made.pieces
            return Shaped(line, sentence.strip(), tuple(dict.fromkeys((low, high))), low != high)
    told = [
        (line, sentence, low, high, again)
        for line, sentence in sentences
        for low, high, again in _divided(sentence)
    ]
    if not told:
        return None
    counts = {end for *_, low, high, again in told if not again for end in (low, high)}
    whole = max(counts, default=1)
    counts |= {
        end * many
        for *_, low, high, again in told
        if again
        for end in (low, high)
        for many in {1, whole}
    }
    braided = any(_BRAIDS.search(line.text) for line in lines)
    counts |= {1} if braided else set()
    again = any(one[4] for one in told)
    return Shaped(
        told[0][0], told[0][1].strip(), tuple(sorted(counts)), len(counts) > 1 or again or braided
    )


def _divided(sentence: str) -> Iterator[tuple[int, int, bool]]:
    """The counts of dough that a sentence divides into, and whether that is of each piece."""
    verb = _DIVIDES.search(sentence)
    if verb is None:
        return
    start = verb.end()
    for found in _COUNT.finditer(sentence):
        counted = (2, 2) if found["halves"] else count_of(found)
        words = _words(found["words"] or "")
        is_named = any(is_piece(w) for w in words) or not _APART.isdisjoint(words)
        is_apart = bool(found["into"]) and not words
        if counted is None or (found["low"] or "").casefold() in ARTICLES:
            continue
        between = sentence[min(start, found.start()) : found.start()]
        behind = verb.start() > found.start()
        if behind and not is_named:
            continue
        if not found["into"] and not any(is_piece(w) for w in words):
            continue
        if _STRANDS.search(found["words"] or "") or not (is_named or is_apart):
            continue
        if any(is_no_piece(w) for w in words if w not in _APART) or _is_of_other(between):
            continue
        yield *counted, _EACH.search(between) is not None


def _words(words: str) -> list[str]:
    """The words a count is of, up to the end of their clause."""
    return [word.casefold() for word in _WORD.findall(_ENDS.split(words)[0])]


def _is_of_other(between: str) -> bool:
    """Whether something else is divided: the butter, the filling."""
    words = [w for w in _WORD.findall(between) if not is_piece(w)]
    other = {"filling", "butter", "topping", "streusel", "sheet", "füllung", "farce", "ripieno"}
    named = (ingredient_named(w) for w in words)
    return any(named) or not other.isdisjoint(w.casefold() for w in words)
