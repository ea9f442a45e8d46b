"""Lines that no bread can mean: salt, yeast and water beyond belief, yeasts that are not equal."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.engine.exchange import equivalent_yeast
from doughwright.engine.ingredients import Ingredient, ingredient_named, ingredient_table
from doughwright.engine.plausibility import threshold
from doughwright.engine.properties import constants
from doughwright.errors import Notice
from doughwright.gathering.asking import Asked, key_of
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
from doughwright.gathering.kinds import kind_given
from doughwright.gathering.pages.titles import kind_of
from doughwright.gathering.telling import ends
from doughwright.gathering.weighing.measures import measured_mass

DOWN, UP = (0.1, 0.01, 0.001), (10.0, 1000.0)
FAINT_SALT = 0.0025
"""Salt below this, on flour, that ten times would be usual, has a slipped point (assumption)."""

FAINT_YEAST = 0.002
"""Fresh yeast on flour that no slipped point is taken to have meant: that of a dough left
overnight (assumption)."""

WETTING = frozenset({"liquid", "dairy", "egg", "starter", "sugar", "fat"})
"""Kinds whose water is in the dough as soon as it is mixed."""

HELD = 0.5
"""Of the water in fruit, vegetables, cheese and meat that a dough has from them (assumption)."""

UNEQUAL = 0.25
"""Yeasts said to be equal that are this far apart are worth a word (FE05)."""


@dataclass(frozen=True, slots=True)
class Dough:
    """All lines whose flour is the whole, in kg or in percent, and that flour."""

    column: Column
    entries: tuple[Entry, ...]
    flour: float
    lacks: bool
    unnamed: float = 0.0
    """What lines come to of which nobody has said yet what they are: it may be flour."""
    is_read: bool = True
    """Whether every line was read that may hold something."""

    @property
    def least(self) -> float:
        """How much less all shares are if what is not named yet is flour."""
        return self.flour / (self.flour + self.unnamed)

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
    unnamed = sum(entry.value for entry in entries if entry.row is None)
    return Dough(leads[0], entries, flour, lacks, unnamed, not gathered.unread)


# --- Salt, yeast, water ---------------------------------------------------------------------------


def _salt(dough: Dough, answers: Mapping[str, str]) -> Iterator[Finding]:
    lines = [e for e in dough.entries if e.row and e.row.kind == "salt"]
    lines = [entry for entry in lines if "crust" not in entry.item.note.casefold()]
    if not lines:
        return
    most, ratio = max(lines, key=lambda entry: entry.value), dough.ratio(lines)
    usual = threshold("salt_usual_low"), threshold("salt_usual_high")
    if ratio * dough.least > threshold("salt_inedible"):
        ways = [
            way
            for way in (*_spooned(most), *(_times(most, factor) for factor in DOWN))
            if FAINT_SALT < ratio + (way.value - most.value) / dough.flour <= threshold("salt_high")
        ]
        notice = Notice.of("gather-salt-high", ratio=ratio, low=usual[0], high=usual[1])
        yield _asked(dough, most, ways, notice, answers)
    elif ratio < FAINT_SALT and (
        usual[0] <= 10 * ratio * dough.least
        and 10 * ratio <= usual[1] * (1 + most.step / most.value)
    ):
        notice = Notice.of("gather-salt-low", ratio=ratio, low=usual[0], high=usual[1])
        yield _asked(dough, most, [_times(most, 10.0)], notice, answers, blocks=False)


def _yeast(dough: Dough, answers: Mapping[str, str]) -> Iterator[Finding]:
    """As fresh yeast, which is what the threshold is of; a little beyond it is only told.

    Where its kind is open it may be fresh: that is asked on its own line.
    """
    ratio = sum(entry.value * entry.raises for entry in dough.entries) / dough.flour
    high = constants("plausibility")["yeast_high"]
    if ratio * dough.least <= high.value:
        return
    most = max(dough.entries, key=lambda entry: entry.value * entry.raises)
    rest = ratio - most.value * most.raises / dough.flour
    most_told = high.value + high.uncertainty
    ways = [
        way
        for way in _yeasts_meant(most, answers)
        if FAINT_YEAST <= rest + way.value * way.raises / dough.flour <= most_told
    ]
    notice = Notice.of("gather-yeast-high", name=most.item.name, ratio=ratio, high=high.value)
    is_beyond = ratio > most_told and bool(ways or ratio > 2 * high.value)  # a whole cube is taken
    yield _asked(dough, most, ways, notice, answers, blocks=is_beyond)


@dataclass(frozen=True, slots=True)
class _Meant(Entry):
    """What a line may have meant, the key of that answer and what it says before its weight."""

    key: str = ""
    what: str = ""


def _yeasts_meant(entry: Entry, answers: Mapping[str, str]) -> Iterator[_Meant]:
    """Fewer packets; the weight of fresh yeast beside the name of dry; a moved point."""
    amount = entry.item.amount
    if amount is not None and amount.unit in COUNTS:
        for count in dict.fromkeys((amount.best // 2, 1.0)):
            if 1 <= count < amount.best:
                words = f"{count:g} {amount.unit}".strip()
                yield _times(entry, count / amount.best, words, words)
        return
    yield from _spooned(entry)
    if entry.raises > 1 and not kind_given(entry.item, key_of(entry.item), answers):
        fresh = ingredient_table()["fresh yeast"]
        item = replace(entry.item, name=fresh.name)
        yield _Meant(
            entry.value, entry.step, "", item, fresh, fresh.yeast_equivalent, fresh.name, fresh.name
        )
    yield from (_times(entry, factor) for factor in DOWN)


def _times(entry: Entry, factor: float, key: str = "", what: str = "") -> _Meant:
    """So many times an entry."""
    value, item = factor * entry.value, scaled(entry.item, factor)
    key = key or f"times {factor:g}"
    return _Meant(value, entry.step, "", item, entry.row, entry.raises, key, what)


def _spooned(entry: Entry) -> Iterator[_Meant]:
    """Teaspoons, where tablespoons are written."""
    amount = entry.item.amount
    spoon = measured_mass(entry.row, "tsp", "metric") if entry.row else None
    if amount is None or spoon is None or amount.unit != "tbsp" or amount.more or amount.same:
        return
    words = f"{ends(amount.low, amount.high)} tsp"
    item = replace(entry.item, amount=replace(amount, unit="tsp", words=words))
    yield _Meant(amount.best * spoon, entry.step, "", item, entry.row, entry.raises, "tsp", words)


def _water(dough: Dough, answers: Mapping[str, str]) -> Iterator[Finding]:
    """A liquid in the wrong unit, where it alone brings the whole from no dough to a dough."""
    rows = [(entry, entry.row) for entry in dough.entries]
    rises = any(row and (row.yeast_equivalent or row.kind == "starter") for _, row in rows)
    if dough.lacks or not rises or not all(row for _, row in rows):
        return
    brought = [(e, e.value * softens(row) / dough.flour) for e, row in rows if row]
    soft = sum(water for _, water in brought)
    ratio = sum(e.value * wet(row) / dough.flour for e, row in rows if row)
    low, high = threshold("hydration_low"), threshold("hydration_high")
    if not ((ratio < low and dough.is_read) or soft > high):
        return
    most, water = max(brought, key=lambda line: line[1])
    all_of_it = most.value * wet(most.row) / dough.flour if most.row else 0.0
    factor = next(  # the least slip that explains it
        (
            f
            for f in (*DOWN, *UP)
            if low <= ratio + (f - 1) * all_of_it and soft + (f - 1) * water <= high
        ),
        None,
    )
    if factor and water:
        told = soft if soft > high else ratio
        notice = Notice.of("gather-water-odd", name=most.item.name, ratio=told, low=low, high=high)
        yield _asked(dough, most, [_times(most, factor)], notice, answers)


def wet(row: Ingredient) -> float:
    """Water in an ingredient that is no flour."""
    return row.composition.water if row.composition and not row.flour else 0.0


def softens(row: Ingredient) -> float:
    """Water in an ingredient that makes a dough softer: of an onion or a cheese a part stays in it.

    Yeast counts for nothing here: there is too little of it to be a dough's water.
    """
    if row.yeast_equivalent:
        return 0.0
    return wet(row) * (1.0 if row.kind in WETTING else HELD)


def _asked(
    dough: Dough,
    entry: Entry,
    ways: Sequence[_Meant],
    notice: Notice,
    answers: Mapping[str, str],
    *,
    blocks: bool = True,
) -> Finding:
    """The question whether a line is meant as it stands, with what else it may have meant."""
    key = f"{key_of(entry.item)}:likely"
    named = {way.key: way for way in ways}
    choices = (*(_choice(dough, way) for way in ways), _choice(dough, _times(entry, 1.0, "this")))
    answer = answer_of(key, (choice.key for choice in choices), answers)
    item = named[answer].item if answer in named else entry.item
    doubt = Doubt(key, notice, choices, answer, blocks)
    return Finding(Asked(doubt), ((entry.item, item),), (entry.item,))


def _choice(dough: Dough, way: _Meant) -> Choice:
    value = way.value
    share = 100 * value / dough.flour
    mass = None if dough.column.is_share else (value, value, value)
    much = f"{said(value, dough.column)}, {share:.3g} % of the flour"
    return Choice(way.key, f"{way.what}: {much}" if way.what else much, mass)


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
