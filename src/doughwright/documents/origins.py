"""Comments that say where a number was read: beside another number they would be untrue.

A gathered formula says behind its lines and steps where each was read (``# line 3: 2 cups
flour``), and above its yield (``# makes: 12 buns``). Once what stands there is another, the
comment says what it was: ``# was 240 g: line 3: 2 cups flour``. Set back, it is what it was.
What is still asked of a line (``# asked: …``) stands below it, and goes where that goes.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial

from doughwright.documents.layout import Entry, Part, printed

_COMMENT = r"^( *# )(?:was (.+?): )?(?={}: )"
_BEHIND = re.compile(_COMMENT.format(r"line \d+"))
_ABOVE = re.compile(_COMMENT.format("makes"), re.MULTILINE)
_ASKED = re.compile(r"(?: *# asked: [^\r\n]*(?:\r\n|\r|\n))+")


@dataclass(frozen=True, slots=True)
class Origin:
    """An entry with a comment of where it was read, and what was said there.

    The comment is about the entry's value, or about all of the ``step`` that the entry begins.
    """

    entry: Entry
    step: Part | None
    said: Mapping[str, str]


def bind_questions(part: Part) -> None:
    """Let what is asked below a line belong to that line, not to the one after it."""
    if part.flow:
        return
    for i, entry in enumerate(part.entries):
        if isinstance(entry.value, Part) and not entry.value.flow:
            bind_questions(entry.value)
        elif part.column and not part.inline:
            entry.tail += _asked_below(part, i)


def _asked_below(part: Part, position: int) -> str:
    """Take what is asked out of what stands between an entry and the next."""
    loose, following = part.between[position + 1], part.entries[position + 1 : position + 2]
    found = _ASKED.match(loose or "".join(entry.lead for entry in following))
    if found is None:
        return ""
    if loose:
        part.between[position + 1] = loose[found.end() :]
    else:
        following[0].lead = following[0].lead[found.end() :]
    return found[0]


def origins(part: Part) -> Iterator[Origin]:
    """Return what has a comment of where it was read, in all of a text."""
    if part.flow:
        return
    for i, entry in enumerate(part.entries):
        step = part if part.inline and part.keyed and i == 0 else None
        if _BEHIND.search(entry.tail) or _ABOVE.search(entry.lead):
            yield Origin(entry, step, _said(entry, step))
        if isinstance(entry.value, Part):
            yield from origins(entry.value)


def _said(entry: Entry, step: Part | None) -> dict[str, str]:
    """What a comment is about, by its keys; an amount that stands alone has none."""
    value = step or entry.value
    if not isinstance(value, Part) or not value.keyed:
        return {"": printed(value).strip()}
    keys = [(each.key.says if each.key else "", each) for each in value.entries]
    return {"" if key == "amount" else key: printed(each.value).strip() for key, each in keys}


def tell_what_was(found: Iterable[Origin]) -> None:
    """Let each comment say what it was about, where that is another now."""
    for origin in found:
        now, entry = _said(origin.entry, origin.step), origin.entry
        other = [_words(each) for each in origin.said.items() if each[1] != now.get(each[0])]
        if other:
            marked = partial(_marked, other, {_words(each) for each in now.items()})
            entry.tail = _BEHIND.sub(marked, entry.tail)
            entry.lead = _ABOVE.sub(marked, entry.lead)


def told_as_gone(entry: Entry, name: str) -> str:
    """Return the comment behind an entry that is another now, by what it was called."""
    said = " ".join([name, *map(_words, _said(entry, None).items())]).strip()
    return _BEHIND.sub(partial(_marked, [said], set()), entry.tail)


def _words(said: tuple[str, str]) -> str:
    return " ".join(said).strip()


def _marked(other: Iterable[str], now: set[str], comment: re.Match[str]) -> str:
    was = comment[2] or ", ".join(other)
    return comment[1] if now.issuperset(was.split(", ")) else f"{comment[1]}was {was}: "
