"""The columns of a recipe as they are printed: their numbers, what their digits can say, a total.

A list without columns is one column. Numbers are kg, or percent where the column holds shares.
"""

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.engine.ingredients import Ingredient
from doughwright.gathering.asking import Asked, words_of
from doughwright.gathering.gathered import Amount, Gathered, Item, Section, Settings
from doughwright.gathering.pages.titles import kind_of, title_of
from doughwright.gathering.questions import rows_meant
from doughwright.gathering.taking import NO_ANSWERS, Part, part_taken
from doughwright.gathering.weighing.masses import mass_of
from doughwright.gathering.weighing.weights import WEIGHT_OF

POWERS = (0.1, 10.0, 0.01, 100.0)
"""What a slipped point or a lost nought does to a number."""

COUNTED = (None, "dough", "preferment", "soaker")
"""Kinds of sections whose flour is the whole; a heading may say none."""

SURE = 4.0
"""Rounding of many lines stays within so many of its standard deviations (assumption)."""

LEAST_FRACTION = 0.125
"""A number written as a fraction is told to an eighth (assumption)."""

COUNTS = frozenset({"", "piece", "sachet", "cube", "packet", "stick", "can"})
"""Units of which nobody rounds the number: only what one weighs is uncertain."""

_DIGITS = re.compile(r"\d+(?:[.,](\d+))?")


@dataclass(frozen=True, slots=True)
class Figure:
    """A printed number: its value, and what its last digit is worth."""

    value: float
    step: float
    words: str


@dataclass(frozen=True, slots=True)
class Entry(Figure):
    """A printed number of a line, with what it is of: None where nobody has said.

    ``raises`` is the fresh yeast that one of it stands for: the least, where its kind is open.
    """

    item: Item
    row: Ingredient | None = None
    raises: float = 0.0


@dataclass(frozen=True, slots=True)
class Total(Figure):
    """A printed sum, by the line it stands in."""

    line: int


@dataclass(frozen=True, slots=True)
class Column:
    """One column of one section; ``leads`` where the amounts are taken from it.

    ``parts`` are the entries that name another part; ``lacks`` where a line has no number.
    """

    key: str
    at: int
    is_share: bool
    leads: bool
    entries: tuple[Entry, ...]
    total: Total | None
    lacks: bool = False
    parts: tuple[Entry, ...] = ()
    counts: bool = True
    """Whether its flour is of the whole that percentages are of."""

    @property
    def own(self) -> tuple[Entry, ...]:
        """The entries that are ingredients, not other parts of the bread."""
        return tuple(entry for entry in self.entries if entry not in self.parts)


@dataclass(frozen=True, slots=True)
class Finding:
    """A doubt, or none where all agrees, and what becomes of lines by its answer."""

    asked: Asked | None
    changes: tuple[tuple[Item, Item], ...] = ()
    about: tuple[Item, ...] = ()


def printed_columns(
    gathered: Gathered, settings: Settings, answers: Mapping[str, str] = NO_ANSWERS
) -> tuple[Column, ...]:
    """Every column of every section whose numbers are all weights, or all shares.

    >>> from doughwright.gathering.pages.sections import text_gathered
    >>> read = text_gathered("60 % bread flour, 40 % milk")
    >>> [entry.value for entry in printed_columns(read, Settings())[0].entries]
    [60.0, 40.0]
    """
    return tuple(
        column
        for at in range(len(gathered.sections))
        for column in _columns(gathered, at, settings, answers)
    )


def whole_columns(
    gathered: Gathered, settings: Settings, answers: Mapping[str, str] = NO_ANSWERS
) -> tuple[Column, ...]:
    """Every column that says what all parts of its table come to; none of them leads."""
    return tuple(
        replace(column, at=at, leads=False)
        for at, section in enumerate(gathered.sections)
        if section.whole is not None
        for column in _columns_in(section.whole, settings, answers)
    )


def mixed_columns(
    gathered: Gathered, settings: Settings, answers: Mapping[str, str]
) -> tuple[Column, ...]:
    """Sections that weigh the flour and give the rest in percent of it, each as one of weights."""
    made = (
        (at, _mixed(section, settings, answers)) for at, section in enumerate(gathered.sections)
    )
    return tuple(
        replace(column, at=at, counts=kind_of(gathered.sections[at].title) in COUNTED)
        for at, column in made
        if column
    )


def slack(figures: Iterable[Figure]) -> float:
    """How far the sum of rounded numbers may be off.

    >>> slack([Figure(60.0, 1.0, "60"), Figure(1.2, 0.1, "1.2")])
    0.55
    """
    steps = [figure.step for figure in figures]
    return min(sum(steps) / 2, SURE * math.sqrt(sum(step**2 for step in steps) / 12)) * (1 + 1e-9)


def finest(figures: Sequence[Figure], total: Figure) -> list[Figure]:
    """The same numbers, each taken to be as exact as the most exact of them and their total."""
    step = min(figure.step for figure in (*figures, total))
    return [Figure(figure.value, step, figure.words) for figure in figures]


def times(amount: Amount, factor: float) -> Amount:
    """So many times an amount, with all that is added to it."""
    low, best, high = (end * factor for end in (amount.low, amount.best, amount.high))
    more = tuple(times(part, factor) for part in amount.more)
    same = tuple(times(part, factor) for part in amount.same)
    return replace(amount, low=low, best=best, high=high, more=more, same=same)


def scaled(item: Item, factor: float) -> Item:
    """The same line with so many times its amount."""
    return replace(item, amount=times(item.amount, factor)) if item.amount else item


def without(item: Item, key: str) -> Item:
    """The same line without what a column says of it."""
    return replace(item, columns=tuple(pair for pair in item.columns if pair[0] != key))


def last_digit(amount: Amount) -> float:
    """What the last digit of an amount is worth, in its unit.

    >>> [last_digit(Amount(1, 1, 1, "kg", words)) for words in ("17.275 kg", "7 kg", "½ kg")]
    [0.001, 1.0, 0.125]
    """
    found = _DIGITS.search(amount.words)
    if re.search(r"[¼½¾⅓⅔⅛⅜/]", amount.words) or found is None:
        return LEAST_FRACTION
    decimals = found[1] or ""
    in_thousands = len(decimals) == 3 and amount.best >= 1000
    return 1.0 if in_thousands else float(10 ** -len(decimals))


# --- One section ----------------------------------------------------------------------------------


def _columns(
    gathered: Gathered, at: int, settings: Settings, answers: Mapping[str, str]
) -> Iterator[Column]:
    section = gathered.sections[at]
    parts = {id(item) for item, _ in named_parts(gathered, at)}
    for made in _columns_in(section, settings, answers):
        named = tuple(entry for entry in made.entries if id(entry.item) in parts)
        counts = kind_of(section.title) in COUNTED
        yield replace(made, at=at, parts=named, counts=counts)


def _columns_in(
    section: Section, settings: Settings, answers: Mapping[str, str]
) -> Iterator[Column]:
    keys = (key for item in section.items for key, _ in item.columns)
    lead = next((k for i in section.items for k, a in i.columns if a == i.amount), "")
    for key in dict.fromkeys((lead, *keys)):
        pairs = [(item, dict(item.columns).get(key)) for item in section.items]
        if key == lead:
            pairs = [(item, item.amount) for item in section.items]
        made = _column(section, key, pairs, settings, answers)
        if made is not None:
            yield replace(made, leads=key == lead)


def named_parts(gathered: Gathered, at: int) -> list[tuple[Item, int]]:
    """Lines of a section that name another part of the bread, and which section that is."""
    parts = [_part(section) for section in gathered.sections]
    meant = [(item, part_taken(item, parts[at], parts)) for item in parts[at].section.items]
    places = {id(part): place for place, part in enumerate(parts)}
    return [(item, places[id(part)]) for item, part in meant if part is not None]


def _part(section: Section) -> Part:
    title = title_of(section.title)
    if title is None:
        return Part(section.title, "dough", "", section)
    return Part(title.name, title.kind, title.style, section)


def _column(
    section: Section,
    key: str,
    pairs: Sequence[tuple[Item, Amount | None]],
    settings: Settings,
    answers: Mapping[str, str],
) -> Column | None:
    """A column; None where it has no number, or numbers of several kinds."""
    written = [(item, amount) for item, amount in pairs if amount is not None]
    kinds = {amount.unit == "%" for _, amount in written}
    if len(kinds) != 1:
        return None
    found = [entry_of(item, amount, settings, answers) for item, amount in written]
    entries = tuple(entry for entry in found if entry)
    total = _total(section, key, settings, is_share=(is_share := kinds.pop()))
    lacks = len(entries) < len(section.items)
    return Column(key, 0, is_share, False, entries, total, lacks) if entries else None


def _mixed(section: Section, settings: Settings, answers: Mapping[str, str]) -> Column | None:
    """The weights of a section in kg; None where it has one measure, or percents of a flour."""
    pairs = [(item, item.amount) for item in section.items if item.amount]
    if len({amount.unit == "%" for _, amount in pairs}) < 2:
        return None
    found = [entry_of(item, amount, settings, answers) for item, amount in pairs]
    shares = {id(item) for item, amount in pairs if amount.unit == "%"}
    weighed = [entry for entry in found if entry and id(entry.item) not in shares]
    flour = flour_of(weighed)
    if not flour > 0 or flour_of(e for e in found if e and id(e.item) in shares):
        return None
    entries = tuple(
        replace(e, value=e.value * flour / 100, step=e.step * flour / 100)
        if id(e.item) in shares
        else e
        for e in found
        if e
    )
    lacks = len(entries) < len(section.items)
    return Column("", 0, is_share=False, leads=True, entries=entries, total=None, lacks=lacks)


def _total(section: Section, key: str, settings: Settings, *, is_share: bool) -> Total | None:
    """The sum printed for a column, the last where there are several; one alone has no key."""
    found = None
    for named, amount, origin in section.sums:
        figure = _figure(None, "", amount, settings)
        alone = not key and found is None
        if figure and (amount.unit == "%") == is_share and (alone or named in (key, "")):
            found = Total(figure.value, figure.step, figure.words, origin.line)
    return found


def entry_of(
    item: Item, amount: Amount, settings: Settings, answers: Mapping[str, str]
) -> Entry | None:
    """A number of a line by its weight or its share; None where nobody knows what it weighs."""
    rows = rows_meant(item, answers)
    row = rows[0] if rows else None
    figure = _figure(row, words_of(item), amount, settings)
    raises = min((one.yeast_equivalent for one in rows), default=0.0)
    return Entry(figure.value, figure.step, figure.words, item, row, raises) if figure else None


def _figure(row: Ingredient | None, name: str, amount: Amount, settings: Settings) -> Figure | None:
    if amount.unit == "%":
        band = amount.high - amount.low
        return Figure(amount.best, last_digit(amount) + band, amount.words)
    mass = mass_of(amount, row, settings, name).mass
    if mass is None or not mass[1] > 0:
        return None
    smallest = [amount, *amount.more][-1]
    counted = 0.0 if smallest.unit in COUNTS else mass[1] / (amount.best or 1.0)
    unit = WEIGHT_OF.get(smallest.unit, counted)
    return Figure(mass[1], last_digit(smallest) * unit + mass[2] - mass[0], amount.words)


def flour_of(entries: Iterable[Entry]) -> float:
    """How much of some entries is flour."""
    return sum(entry.value * entry.row.flour for entry in entries if entry.row)


def answer_of(key: str, offered: Iterable[str], answers: Mapping[str, str]) -> str:
    """The answer to a question, where one was given that it offers."""
    given = answers.get(key, "")
    return given if given in set(offered) else ""


def plain_key(words: str) -> str:
    """Words of a column that may stand in a key."""
    return " ".join(words.casefold().replace("=", " ").replace(":", " ").split())


def said(value: float, column: Column) -> str:
    """A number of a column with its unit.

    >>> said(0.075, Column("kg", 0, False, True, (), None))
    '75 g'
    """
    number = value if column.is_share else 1000 * value
    return f"{float(f'{number:.5g}'):.9g} {'%' if column.is_share else 'g'}"
