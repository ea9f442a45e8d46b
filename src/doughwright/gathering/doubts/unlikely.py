"""Lines that no bread can mean: salt, yeast and water beyond belief, yeasts that are not equal."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.engine.exchange import equivalent_yeast
from doughwright.engine.ingredients import Ingredient, ingredient_named
from doughwright.engine.plausibility import threshold
from doughwright.engine.properties import constants
from doughwright.errors import Notice
from doughwright.gathering.doubts.printed import (
    COUNTED,
    COUNTS,
    Column,
    Entry,
    Finding,
    answer_of,
    flour_of,
    said,
    scaled,
)
from doughwright.gathering.gathered import Choice, Doubt, Gathered, Item
from doughwright.gathering.pages.titles import kind_of
from doughwright.gathering.questions import Asked, key_of

DOWN, UP = (0.1, 0.01, 0.001), (10.0, 1000.0)
FAINT_SALT = 0.0025
"""Salt below this, on flour, that ten times would be usual, has a slipped point (assumption)."""

FAINT_YEAST = 0.002
"""Fresh yeast on flour that no slipped point is taken to have meant: that of a dough left
overnight (assumption)."""

UNEQUAL = 0.25
"""Yeasts said to be equal that are this far apart are worth a word (FE05)."""


@dataclass(frozen=True, slots=True)
class Dough:
    """All lines whose flour is the whole, in kg or in percent, and that flour."""

    column: Column
    entries: tuple[Entry, ...]
    flour: float
    lacks: bool

    def ratio(self, entries: Iterable[Entry]) -> float:
        """What some lines come to on the flour."""
        return sum(entry.value for entry in entries) / self.flour


def unlikely_lines(
    gathered: Gathered,
    columns: Sequence[Column],
    told: frozenset[int],
    answers: Mapping[str, str],
) -> Iterator[Finding]:
    """What is likely a slip though no other number says so; ``told`` are lines asked before."""
    dough = dough_of(gathered, columns)
    if dough is not None:
        for finding in (*_salt(dough, answers), *_yeast(dough, answers), *_water(dough, answers)):
            if not any(id(item) in told for item in finding.about):
                yield finding
    for section in gathered.sections:
        for item in section.items:
            yield from _equal_yeasts(item, answers)


def dough_of(gathered: Gathered, columns: Sequence[Column]) -> "Dough | None":
    """The lines of all doughs, preferments and soakers; None where they have no one measure."""
    leads = [c for c in columns if c.leads and c.counts]
    counted = [s for s in gathered.sections if s.items and kind_of(s.title) in COUNTED]
    entries = tuple(e for c in leads for e in c.own if e.item.use in ("dough", "soak"))
    flour = flour_of(entries)
    if not flour > 0 or len({column.is_share for column in leads}) != 1:
        return None
    lacks = len(leads) < len(counted) or any(column.lacks for column in leads)
    return Dough(leads[0], entries, flour, lacks)


def _row(entry: Entry) -> Ingredient | None:
    return ingredient_named(entry.item.name)


# --- Salt, yeast, water ---------------------------------------------------------------------------


def _salt(dough: Dough, answers: Mapping[str, str]) -> Iterator[Finding]:
    lines = [e for e in dough.entries if (row := _row(e)) and row.kind == "salt"]
    lines = [entry for entry in lines if "crust" not in entry.item.note.casefold()]
    if not lines:
        return
    most, ratio = max(lines, key=lambda entry: entry.value), dough.ratio(lines)
    usual = threshold("salt_usual_low"), threshold("salt_usual_high")
    if ratio > threshold("salt_inedible"):
        factors = [f for f in DOWN if FAINT_SALT < f * ratio <= threshold("salt_high")]
        notice = Notice.of("gather-salt-high", ratio=ratio, low=usual[0], high=usual[1])
        yield _asked(dough, most, factors, notice, answers)
    elif ratio < FAINT_SALT and usual[0] <= 10 * ratio <= usual[1] * (1 + most.step / most.value):
        notice = Notice.of("gather-salt-low", ratio=ratio, low=usual[0], high=usual[1])
        yield _asked(dough, most, [10.0], notice, answers, blocks=False)


def _yeast(dough: Dough, answers: Mapping[str, str]) -> Iterator[Finding]:
    """As fresh yeast, which is what the threshold is of; a little beyond it is only told."""
    lines = [(entry, row.yeast_equivalent) for entry in dough.entries if (row := _row(entry))]
    ratio = sum(entry.value * equal for entry, equal in lines) / dough.flour
    high = constants("plausibility")["yeast_high"]
    if ratio <= high.value:
        return
    most, equal = max(lines, key=lambda line: line[0].value * line[1])
    rest = ratio - most.value * equal / dough.flour
    most_told = high.value + high.uncertainty
    ways = {
        way.key: way
        for way in _yeasts_meant(most, equal)
        if FAINT_YEAST <= rest + way.value * way.equal / dough.flour <= most_told
    }
    key = f"{key_of(most.item)}:likely"
    choices = (
        *(_moved(dough, way, way.key, 1.0, way.words) for way in ways.values()),
        _moved(dough, most, "this", 1.0),
    )
    answer = answer_of(key, (choice.key for choice in choices), answers)
    notice = Notice.of("gather-yeast-high", name=most.item.name, ratio=ratio, high=high.value)
    item = ways[answer].item if answer in ways else most.item
    asked = Asked(Doubt(key, notice, choices, answer, ratio > most_told))
    yield Finding(asked, ((most.item, item),), (most.item,))


@dataclass(frozen=True, slots=True)
class _Meant(Entry):
    """What a line of yeast may have meant, and how much fresh yeast one of it is."""

    key: str
    equal: float


def _yeasts_meant(entry: Entry, equal: float) -> Iterator[_Meant]:
    """Fewer packets; a moved point; the weight of fresh yeast beside the name of dry."""
    amount = entry.item.amount
    if amount is not None and amount.unit in COUNTS:
        for count in dict.fromkeys((amount.best // 2, 1.0)):
            if 1 <= count < amount.best:
                words = f"{count:g} {amount.unit}".strip()
                yield _meant(entry, words, count / amount.best, words, equal)
        return
    for factor in DOWN:
        yield _meant(entry, f"times {factor:g}", factor, "", equal)
    if equal > 1:
        fresh = replace(entry.item, name="fresh yeast")
        yield _Meant(entry.value, entry.step, "fresh yeast", fresh, "fresh yeast", 1.0)


def _meant(entry: Entry, key: str, factor: float, words: str, equal: float) -> _Meant:
    item = scaled(entry.item, factor)
    return _Meant(factor * entry.value, entry.step, words, item, key, equal)


def _water(dough: Dough, answers: Mapping[str, str]) -> Iterator[Finding]:
    """A liquid in the wrong unit, where it alone brings the whole from no dough to a dough."""
    rows = [(entry, _row(entry)) for entry in dough.entries]
    rises = any(row and (row.yeast_equivalent or row.kind == "starter") for _, row in rows)
    if dough.lacks or not rises or not all(row for _, row in rows):
        return
    brought = [(e, e.value * _wet(row) / dough.flour) for e, row in rows if row]
    ratio = sum(water for _, water in brought)
    low, high = threshold("hydration_low"), threshold("hydration_high")
    if not brought or low <= ratio <= high:
        return
    most, water = max(brought, key=lambda line: line[1])
    factors = [f for f in (*DOWN, *UP) if low <= ratio + (f - 1) * water <= high]
    if factors:
        notice = Notice.of("gather-water-odd", name=most.item.name, ratio=ratio, low=low, high=high)
        yield _asked(dough, most, factors, notice, answers)


def _wet(row: Ingredient) -> float:
    """Water in an ingredient that is no flour."""
    return row.composition.water if row.composition and not row.flour else 0.0


def _asked(
    dough: Dough,
    entry: Entry,
    factors: Sequence[float],
    notice: Notice,
    answers: Mapping[str, str],
    *,
    blocks: bool = True,
) -> Finding:
    """The question whether a line is meant as it stands, with what a moved point would make it."""
    key = f"{key_of(entry.item)}:likely"
    named = {f"times {factor:g}": factor for factor in factors}
    choices = (
        *(_moved(dough, entry, name, factor) for name, factor in named.items()),
        _moved(dough, entry, "this", 1.0),
    )
    answer = answer_of(key, (choice.key for choice in choices), answers)
    item = scaled(entry.item, named.get(answer, 1.0)) if answer in named else entry.item
    doubt = Doubt(key, notice, choices, answer, blocks)
    return Finding(Asked(doubt), ((entry.item, item),), (entry.item,))


def _moved(dough: Dough, entry: Entry, key: str, factor: float, what: str = "") -> Choice:
    value = factor * entry.value
    share = 100 * value / dough.flour
    mass = None if dough.column.is_share else (value, value, value)
    much = f"{said(value, dough.column)}, {share:.3g} % of the flour"
    return Choice(key, f"{what}: {much}" if what else much, mass)


# --- Yeasts said to be equal ----------------------------------------------------------------------


def _equal_yeasts(item: Item, answers: Mapping[str, str]) -> Iterator[Finding]:
    """Alternatives of yeast that do not raise alike."""
    forms = [form for one in (item, *item.alternatives) if (form := _form(one))]
    if len(forms) < 2 or len(forms) != len(item.alternatives) + 1:
        return
    first, *others = forms
    odd = [other for other in others if abs(_excess(first, other)) > UNEQUAL]
    if not odd:
        return
    key = f"{key_of(item)}:equal"
    made = {f"{o.row.name}": _like(first, o) for o in odd}
    if len(odd) == len(others):
        made[first.row.name] = _like(odd[0], first)
    choices = (
        *(Choice(name, f"{name}: {1000 * mass:.3g} g", (mass,) * 3) for name, mass in made.items()),
        Choice("this", "they stand as they are"),
    )
    answer = answer_of(key, (choice.key for choice in choices), answers)
    worst = max(odd, key=lambda other: abs(_excess(first, other)))
    notice = _unequal(first, worst)
    after = _corrected(item, answer, made[answer]) if answer in made else item
    yield Finding(Asked(Doubt(key, notice, choices, answer, blocks=False)), ((item, after),))


@dataclass(frozen=True, slots=True)
class _Form:
    item: Item
    row: Ingredient
    mass: float


def _form(item: Item) -> _Form | None:
    row, amount = ingredient_named(item.name), item.amount
    if row is None or not row.yeast_equivalent or amount is None:
        return None
    inside = amount.package or amount
    grams = {"g": 1e-3, "kg": 1.0}.get(inside.unit)
    if grams is None or amount.best <= 0 or inside.best <= 0:
        return None
    return _Form(item, row, grams * inside.best * (amount.best if amount.package else 1.0))


def _like(known: _Form, wanted: _Form) -> float:
    return equivalent_yeast(known.mass, known.row, wanted.row)


def _excess(first: _Form, other: _Form) -> float:
    return other.mass / _like(first, other) - 1


def _unequal(first: _Form, other: _Form) -> Notice:
    return Notice.of(
        "gather-unequal",
        name=first.row.name,
        mass=first.mass,
        other=other.row.name,
        read=other.mass,
        equal=_like(first, other),
    )


def _corrected(item: Item, name: str, mass: float) -> Item:
    """The line with the weight of one of its alternatives set right."""

    def right(one: Item) -> Item:
        form = _form(one)
        if form is None or form.row.name != name:
            return one
        return replace(scaled(one, mass / form.mass), alternatives=one.alternatives)

    made = right(item)
    return replace(made, alternatives=tuple(map(right, item.alternatives)))
