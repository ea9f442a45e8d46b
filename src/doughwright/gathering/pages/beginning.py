"""Where a part of a recipe begins: a heading, marked or bare, and what is only a sentence."""

import re
from collections.abc import Sequence

from doughwright.engine.ingredients import ingredient_named, plain_words
from doughwright.gathering.gathered import Origin, Section
from doughwright.gathering.lines.line_items import items_in, known_items, unmarked
from doughwright.gathering.lines.names import BESIDE
from doughwright.gathering.lines.uses import without_use
from doughwright.gathering.pages.figures import is_only_made
from doughwright.gathering.pages.finding import Findings
from doughwright.gathering.pages.titles import (
    STYLES,
    bare_heading,
    is_heading,
    title_of,
    whole_title,
)
from doughwright.gathering.tables.reading import cells_of
from doughwright.gathering.taking import BESIDE as TAKEN_WORDS

LONGEST_ITEM = 600
"""Signs of the longest line that may be an ingredient."""

MOST_HEADING = 4
"""Words of a heading that nothing marks as one (assumption)."""

_JOINTS = frozenset({"or", "and", "plus", "with", "also", "note", "alternatively", "more"})

STEP = re.compile(r"^\s*(?:step\s*)?\d{1,2}\s*[.):]\s+(?=[^\W\d])", re.IGNORECASE)
STARTS = re.compile(
    r"^(?:add|allow|arrange|bake|beat|blend|bring|brush|cool|combine|cover|cut|dissolve|divide|"
    r"dust|fill|fold|form|heat|in a|knead|leave|let|make|melt|mix|place|pour|preheat|press|proof|"
    r"prove|punch|put|refrigerate|remove|repeat|roll|scald|serve|shape|sprinkle|stir|the next|"
    r"then|tip|transfer|turn|when|whisk|while|once|after|meanwhile|warm the|rest the|rest for)\b",
    re.IGNORECASE,
)
STARTS_AMOUNT = re.compile(r"^(?:[~≈]\s*)?(?:\d|[¼½¾⅓⅔⅛⅜])")
_DAY = re.compile(
    r"(?:the )?(?:day|dag|tag|jour|giorno|día|evening|morning)\s+\d\b[^.]{0,20}:?"
    r"|(?:the )?(?:first|second|third|next) (?:day|evening|morning):?",
    re.IGNORECASE,
)
"""A part that has no name but the day it is made on."""

_SAYS = re.compile(r"\b(?:is|are|was|were|will|may|can|comes?|should)\b", re.IGNORECASE)


def is_prose(words: str) -> bool:
    """Whether a line is a sentence: it begins as a step does, or it is long and has a full stop."""
    count = len(words.split())
    if STEP.match(words):
        return count > 2
    if STARTS.match(words):
        return count > 3
    says = count > 4 and words.endswith((".", "!")) and _SAYS.search(words)
    return bool(says) or (count > 5 and words.endswith(".") and not STARTS_AMOUNT.match(words))


def begins_part(words: str, following: Origin | None) -> bool:
    """Whether a line heads a part whose ingredients follow, though the method has begun."""
    if (
        following is None
        or len(following.text) > LONGEST_ITEM
        or not (title_of(words) or is_heading(words))
        or len(words.split()) > 6
    ):
        return False
    after = unmarked(following.text)
    return (
        STARTS_AMOUNT.match(after) is not None
        and not STEP.match(after)
        and not is_prose(after)
        and bool(known_items(following, after))
    )


def begins_section(read: Findings, words: str, following: Origin | None) -> bool:
    """Whether a line heads a section: it is marked as a heading, or names a part and no amount."""
    if _DAY.fullmatch(words):
        return read.mode == "ingredients" or _weighs(following)
    return _heads_named(read, words, following)


def _heads_named(read: Findings, words: str, following: Origin | None) -> bool:
    if STARTS_AMOUNT.match(words) or len(words.split()) > 8:
        return False
    is_title = not read.title or whole_title(words).casefold() == read.title.casefold()
    if read.mode == "before" and is_title and not _weighs(following):
        return False
    if is_heading(words):
        return read.mode == "ingredients" or title_of(words) is not None or _weighs(following)
    named = title_of(words) is not None and len(words.split()) < 6 and not words.endswith(".")
    if not named or words.casefold().startswith(("the ", "all ")) or is_ingredient(words):
        return False
    if _is_first(read, words):
        return False
    known = names_earlier(read, words) or any(
        words.casefold() == bare_heading(s.title).casefold() for s in read.sections
    )
    follows = _weighs(following) or _names_part(read, following)
    may_be_the_title = read.mode == "before" and not read.title
    return follows and not known and (not may_be_the_title or bare_heading(words).lower() in STYLES)


def heads_bare(read: Findings, line: Origin, words: str, following: Origin | None) -> bool:
    """Whether a line over more ingredients heads them, though no word of it is that of a part.

    It stands apart, or begins with a capital, and is no ingredient: Laminating, For boiling.
    """
    begun = read.mode == "ingredients" and bool(read.sections and read.sections[-1].items)
    few = len(words.split()) <= MOST_HEADING and not words.endswith((".", ",", ";", "!"))
    if not begun or not few or not _weighs(following) or "(" in words:
        return False
    if names_earlier(read, words):
        return False
    plain = re.findall(r"[^\W\d_]+", words.casefold())
    if not plain or all(word in BESIDE or word in _JOINTS for word in plain):
        return False
    apart = line.line - read.last > 1 or words[:1].isupper()
    return apart and not items_in(line, words) and without_use(words)[0] == words


def is_ingredient(words: str) -> bool:
    """Whether a line without an amount is an ingredient: sesame seeds, but no levain."""
    row = ingredient_named(without_use(words)[0])
    return row is not None and row.kind not in ("starter", "egg")


def _is_first(read: Findings, words: str) -> bool:
    """Whether a part has just begun, and a line with an amount is its first: ``starter 20 %``."""
    begun = bool(read.sections) and bool(read.sections[-1].title) and not read.sections[-1].items
    return begun and any(item.amount for item in items_in(Origin("", 0, words), words))


def names_earlier(read: Findings, words: str) -> bool:
    """Whether a line says no more than the name of a part before it: ``tout le poolish``."""
    return _names_one(read.sections[:-1], words)


def _names_one(sections: Sequence[Section], words: str) -> bool:
    told = tuple(word for word in plain_words(words) if word not in TAKEN_WORDS)
    titles = [title_of(section.title) for section in sections if section.title]
    names = (plain_words(name) for title in titles if title for name in (title.name, title.style))
    return bool(told) and told in {tuple(name) for name in names}


def _names_part(read: Findings, line: Origin | None) -> bool:
    """Whether a line takes what was made under an earlier heading: ``all of the poolish``."""
    if line and _names_one(read.sections, line.text):
        return True
    words = set(plain_words(line.text)) if line else set()
    titles = (set(plain_words(bare_heading(s.title))) for s in read.sections if s.title)
    return len(words) < 7 and any(title <= words for title in titles)


def _weighs(line: Origin | None) -> bool:
    """Whether a line is an ingredient with its amount, or the first of a table's rows."""
    if line is None or len(line.text) > LONGEST_ITEM:
        return False
    words = " ".join(unmarked(line.text).split())
    if is_prose(words) or is_only_made(words):
        return False
    return any(item.amount for item in items_in(line, words)) or len(cells_of(line.text)) > 1
