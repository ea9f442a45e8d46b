"""What the form of a gathered recipe says: its text, its settings, and the answers so far."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from doughwright.errors import DocumentError, Notice
from doughwright.gathering.asking import SHARED
from doughwright.gathering.gathered import Gathered, Origin, Section, Settings

ANSWER, WRITTEN, REFUSED = "a:", "w:", "r:"
"""What the names of an answer's fields begin with: chosen, written, and refused before.

Its doubt's key follows.
"""

WAS = "was:"
"""Before a setting's name: what the list showed when the page was made."""

PASTED = "pasted text"
LONGEST_SOURCE = 120

SYSTEMS: Mapping[str, str] = MappingProxyType(
    {
        "": "not said",
        "us": "US",
        "metric": "metric",
        "imperial": "British, imperial",
        "nordic": "Nordic",
        "japanese": "Japanese",
        "australian": "Australian",
    }
)
EGGS: Mapping[str, str] = MappingProxyType(
    {"": "not said"} | {size: size for size in ("small", "medium", "large", "extra large", "jumbo")}
)
COUNTRIES: Mapping[str, str] = MappingProxyType(
    {
        "": "not said",
        "AU": "Australia",
        "AT": "Austria",
        "BE": "Belgium",
        "BG": "Bulgaria",
        "CA": "Canada",
        "HR": "Croatia",
        "CY": "Cyprus",
        "CZ": "Czechia",
        "DK": "Denmark",
        "EE": "Estonia",
        "FI": "Finland",
        "FR": "France",
        "DE": "Germany",
        "GR": "Greece",
        "HU": "Hungary",
        "IS": "Iceland",
        "IN": "India",
        "IE": "Ireland",
        "IT": "Italy",
        "JP": "Japan",
        "LV": "Latvia",
        "LT": "Lithuania",
        "LU": "Luxembourg",
        "MT": "Malta",
        "NL": "Netherlands",
        "NZ": "New Zealand",
        "NO": "Norway",
        "PL": "Poland",
        "PT": "Portugal",
        "PR": "Puerto Rico",
        "RO": "Romania",
        "SK": "Slovakia",
        "SI": "Slovenia",
        "ZA": "South Africa",
        "ES": "Spain",
        "SE": "Sweden",
        "CH": "Switzerland",
        "GB": "United Kingdom",
        "US": "United States",
    }
)
SETTINGS: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {"system": SYSTEMS, "country": COUNTRIES, "egg": EGGS}
)
"""The lists of the form, by the setting's name: each value with its words."""


@dataclass(frozen=True, slots=True)
class Source:
    """What a form says of a recipe: its text, where that is from, and what was said of it."""

    text: str = ""
    name: str = PASTED
    country: str = ""
    system: str = ""
    egg: str = ""
    answers: tuple[tuple[str, str], ...] = ()

    @property
    def settings(self) -> Settings:
        """What its measures are read by."""
        return Settings(self.country, self.system, self.egg)


def text_in(fields: Mapping[str, str], name: str = "text") -> str:
    """A field's text with the line ends that texts have here."""
    return re.sub("\r\n?", "\n", fields.get(name, ""))


def source_in(fields: Mapping[str, str]) -> Source:
    """What a form says; of a list and a question that ask the same, the one last changed.

    >>> source_in({"text": "500 g flour", "a:system": "us", "a:country": ""}).answers
    (('system', 'us'),)
    >>> both = {"text": "1 cup milk", "a:system": "us", "system": "metric"}
    >>> source_in(both).system, source_in(both).answers
    ('metric', ())
    >>> source_in(both | {"was:system": "metric"}).system
    ''

    Raises
    ------
    DocumentError
        A setting is none that is known; ``where`` is its field.
    """
    said = {name: fields.get(name, "").strip() for name in SETTINGS}
    said["country"] = said["country"].upper()
    for name, known in SETTINGS.items():
        if said[name] not in known:
            few = "two letters of the list: LV, GB, US"
            allowed = few if name == "country" else ", ".join(filter(None, known))
            raise _unknown(name, fields[name].strip(), allowed)
    answers = dict(answers_in(fields))
    for key, name in SHARED.items():
        if not said.get(name) or key not in answers:
            continue
        if said[name] == fields.get(f"{WAS}{name}", ""):
            said[name] = ""
        else:
            del answers[key]
    name = fields.get("source", "").strip()[:LONGEST_SOURCE] or PASTED
    return Source(text_in(fields), name, **said, answers=tuple(answers.items()))


def answers_in(fields: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """The answers of a form; an empty one is none, and one that is written goes first.

    >>> answers_in({"a:4:milk:amount": "not weighed", "w:4:milk:amount": "120 g"})
    (('4:milk:amount', '120 g'),)

    Words that were refused before give way to a choice.

    >>> answers_in({"a:2:rum:name": "milk", "w:2:rum:name": "moon", "r:2:rum:name": "moon"})
    (('2:rum:name', 'milk'),)
    """
    chosen, written, refused = (_under(prefix, fields) for prefix in (ANSWER, WRITTEN, REFUSED))
    kept = {k: v for k, v in written.items() if k not in chosen or v != refused.get(k)}
    return tuple((chosen | kept).items())


def _under(prefix: str, fields: Mapping[str, str]) -> dict[str, str]:
    return {
        name.removeprefix(prefix): said.strip()
        for name, said in fields.items()
        if name.startswith(prefix) and said.strip()
    }


def _unknown(name: str, read: str, allowed: str) -> DocumentError:
    return DocumentError(
        [Notice.of("unknown-word", name, read=read[:40], allowed=allowed, like="")]
    )


# --- Answers of a text that was changed -----------------------------------------------------------

_LINE = re.compile("([0-9]+):")


@dataclass(frozen=True, slots=True)
class Moved:
    """Answers gone along to the lines with the same words, and how many lost theirs.

    ``is_changed`` is whether the text is another than the page showed.
    """

    answers: tuple[tuple[str, str], ...]
    lost: int = 0
    is_changed: bool = False


def moved(answers: tuple[tuple[str, str], ...], before: Gathered, after: Gathered) -> Moved:
    """Answers about lines of a text, at the same lines of the text it became.

    Of several lines with the same words the first goes to the first. What is asked of the whole
    recipe stays as it is.
    """
    there = {place: line for line, place in _places(after)}
    went = {str(line): str(there[place]) for line, place in _places(before) if place in there}
    found = [_at(key, answer, went) for key, answer in answers]
    kept = tuple((key, answer) for key, answer in found if key and answer)
    return Moved(kept, len(answers) - len(kept), is_changed=True)


def _at(key: str, answer: str, went: Mapping[str, str]) -> tuple[str, str]:
    """An answer to a line's question; of the whole recipe's, one that may name a line."""
    if _LINE.match(key):
        return _key_at(key, went), answer
    return key, _key_at(answer, went)


def _key_at(key: str, went: Mapping[str, str]) -> str:
    """The key at its new line; empty where that is gone."""
    line = _LINE.match(key)
    if line is None:
        return key
    return f"{went[line[1]]}:{key[line.end() :]}" if line[1] in went else ""


def _places(read: Gathered) -> Iterator[tuple[int, tuple[str, int]]]:
    """Every line that was read, with its words and how often they stood before."""
    seen: dict[str, int] = {}
    for line, text in sorted({o.line: o.text for o in _origins(read)}.items()):
        words = " ".join(text.split())
        seen[words] = seen.get(words, -1) + 1
        yield line, (words, seen[words])


def _origins(read: Gathered) -> Iterator[Origin]:
    for section in read.sections:
        yield from _in_section(section)
    for things in (read.made, read.ovens, read.times):
        yield from (thing.origin for thing in things)
    yield from (*read.method, *read.unread, *read.other)


def _in_section(section: Section) -> Iterator[Origin]:
    yield from (item.origin for item in section.items)
    yield from (origin for _, _, origin in section.sums)
    yield from filter(None, (section.origin,))
    if section.whole is not None:
        yield from _in_section(section.whole)
