"""One ingredient for another, with what the dough lives on kept: water, fat, salt, yeast.

Each swap says what it keeps. What is not in the dough cannot be swapped; what would take more
water out than there is, is refused.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import floor, inf

from doughwright.documents.editing import Carry, Edit, Insert
from doughwright.engine.exchange import equivalent_yeast, milk_for_powder
from doughwright.engine.ingredients import Ingredient, plain_words
from doughwright.engine.overall import MOIST, added_fat, fat_ratio, free_water
from doughwright.errors import DocumentError, Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.lines import Lookup
from doughwright.reworking.amounts import EXACT, amount_of, times
from doughwright.reworking.moving import said_of
from doughwright.reworking.rework import (
    Rework,
    Weighed,
    all_but,
    changed_by,
    dough_lines,
    is_nothing,
    refusal,
    reworked,
    rising_steps,
    times_dropped,
    weighed_lines,
)
from doughwright.reworking.water import (
    SLACK,
    changed_line,
    free_waters,
    new_line,
    used,
    with_less_water,
    with_water_made_up,
    yield_follows,
)
from doughwright.units import Kilogram, Ratio

FINEST_LEFT: Kilogram = 1e-4
"""A limit of powder is shown to 0.1 g, rounded so that it can be done."""

YEASTS = ("fresh yeast", "active dry yeast", "instant yeast")


@dataclass(frozen=True, slots=True)
class Change:
    """A line that becomes another: its new name, what that is, and how much of it."""

    line: Weighed
    name: str
    ingredient: Ingredient
    mass: Kilogram


def ingredient_for(formula: ResolvedFormula, name: str) -> Ingredient:
    """Return an ingredient as the formula knows it: the baker's own values before the table's."""
    lookup = Lookup(formula.document)
    found = lookup.named(("ingredients", name), name)
    if found is None:
        raise DocumentError(lookup.problems)
    return found


def found_lines(formula: ResolvedFormula, name: str) -> list[Weighed]:
    """Return the dough's lines of an ingredient by any of its names; refused if there are none."""
    wanted = ingredient_for(formula, name).name
    return lines_where(formula, name, lambda i: i.name == wanted)


def lines_where(
    formula: ResolvedFormula, name: str, fits: Callable[[Ingredient], bool]
) -> list[Weighed]:
    """Return the dough's lines of a kind; refused, with what there is, if there are none."""
    lines = [line for line in dough_lines(formula) if used(formula, line) > 0]
    found = [line for line in lines if fits(line.ingredient) and line.mass > 0]
    if not found:
        allowed = ", ".join(dict.fromkeys(line.name for line in lines))
        raise refusal("nothing-to-change", "preparations", name=name, allowed=allowed)
    return found


def own_lines(formula: ResolvedFormula, fits: Callable[[Ingredient], bool]) -> list[Weighed]:
    """Return the dough's own lines of a kind; where it has none, those of what it takes."""
    lines = [x for x in dough_lines(formula) if fits(x.ingredient) and x.mass * used(formula, x)]
    return [x for x in lines if x.preparation == formula.solution.final] or lines


def lines_times(formula: ResolvedFormula, lines: Iterable[Weighed], factor: Ratio) -> list[Edit]:
    """Return the edits that let lines be so many times as much, all alike."""
    flour = formula.solution.total_flour
    return [changed_line(line, line.mass * factor, flour) for line in lines]


# --- what a change does to the whole


def _brought(
    formula: ResolvedFormula, changes: Iterable[Change], share: Callable[[Ingredient], Ratio]
) -> Kilogram:
    """How much more of something ends in the dough."""
    return sum(
        (c.mass * share(c.ingredient) - c.line.mass * share(c.line.ingredient))
        * used(formula, c.line)
        for c in changes
    )


def replaced(formula: ResolvedFormula, change: Change) -> list[Edit]:
    """Put one line in the place of another, or into the one that is there already."""
    line, flour = change.line, formula.solution.total_flour
    beside = [x for x in weighed_lines(formula, line.preparation) if x.name != line.name]
    there = next((x for x in beside if x.ingredient.name == change.ingredient.name), None)
    stands = there.name if there is not None else change.name
    gone = Carry(line.path, (*line.path[:-1], stands))
    if there is not None:
        return [changed_line(there, there.mass + change.mass, flour), gone]
    amount = line.line.amount
    words = (
        times(amount, change.mass / line.mass)
        if amount.dimension in {"percent", "mass"}
        else amount_of(change.mass, flour, amount)
    )
    names = [*formula.document.preparations[line.preparation].ingredients]
    path = ("preparations", line.preparation, "ingredients")
    alike = (line.ingredient.kind, line.ingredient.poured)
    same = alike == (change.ingredient.kind, change.ingredient.poured)
    said = said_of(line, words) if same else words  # as warm and as cold as the one before
    return [Insert(path, names.index(line.name), change.name, said), gone]


def _swapped(
    formula: ResolvedFormula,
    changes: Sequence[Change],
    more: Iterable[Edit] = (),
    conserves: tuple[str, ...] = (),
    notices: Iterable[Notice] = (),
) -> Rework:
    edits = [edit for change in changes for edit in replaced(formula, change)]
    return reworked(formula, [*edits, *more], conserves, notices)


# --- yeast


def with_yeast_kind(formula: ResolvedFormula, name: str) -> Rework:
    """Raise the dough with another yeast: as much as fresh yeast, and as much water.

    Where no water is poured, what fresh yeast brings of it is not made up for.
    """
    wanted = ingredient_for(formula, name)
    if not wanted.yeast_equivalent:
        raise refusal("unknown-word", read=name, allowed=", ".join(YEASTS), like="")
    old = lines_where(
        formula, "other yeast", lambda i: bool(i.yeast_equivalent) and i.name != wanted.name
    )
    changes = [Change(x, name, wanted, equivalent_yeast(x.mass, x.ingredient, wanted)) for x in old]
    more = _brought(formula, changes, free_water)
    made = with_water_made_up(formula, more, pour=False)
    gained = _brought(formula, changes, lambda _: 1.0) - (more - made.left)
    others = changed_by(made.edits)
    steps = rising_steps(formula.document, {x.preparation for x in old} | others)
    dropped, said = times_dropped(formula.document, steps)
    follows = yield_follows(formula, gained)
    keeps = all_but("fat", "water") if made.left else all_but("fat")  # dry yeast holds some fat
    return _swapped(formula, changes, [*made.edits, *dropped, *follows], keeps, [*said, *made.said])


# --- fat


def with_fat(formula: ResolvedFormula, old: str, new: str) -> Rework:
    """Use another fat: as much fat, water and salt end in the dough.

    Butter for oil takes its water out of what is poured; salted butter its salt out of the salt.
    """
    lines, wanted = found_lines(formula, old), ingredient_for(formula, new)
    if wanted.kind != "fat" or any(line.ingredient.kind != "fat" for line in lines):
        raise refusal("no-swap-of-these", "preparations", new=new, old=old)
    changes = [
        Change(x, new, wanted, x.mass * added_fat(x.ingredient) / added_fat(wanted)) for x in lines
    ]
    water = _brought(formula, changes, free_water)
    salt = _brought(formula, changes, lambda i: i.salt)
    made = with_water_made_up(formula, water)
    edits = [*made.edits, *with_less_salt(formula, salt)]
    gained = _brought(formula, changes, lambda _: 1.0) - (water - made.left) - salt
    edits += yield_follows(formula, gained)
    keeps = all_but("water") if made.left else all_but()
    return _swapped(formula, changes, edits, keeps, made.said)


def with_less_salt(formula: ResolvedFormula, less: Kilogram) -> list[Edit]:
    """Return the edits by which so much less salt (below zero: more) is weighed out."""
    flour = formula.solution.total_flour
    if is_nothing(abs(less), flour):
        return []
    salts = own_lines(formula, lambda i: i.kind == "salt")
    there = sum(line.mass * used(formula, line) for line in salts)
    if less - there > SLACK * flour:
        raise refusal("too-little-to-take", "preparations", name="salt", wanted=less, there=there)
    if not salts and less > 0:  # what rounding leaves
        return []
    if not salts:
        return [new_line(formula, formula.solution.final, "salt", -less)]
    return lines_times(formula, salts, 0.0 if there - less <= SLACK * flour else 1 - less / there)


# --- milk


def is_milk(ingredient: Ingredient) -> bool:
    """Whether it is milk as it is poured.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> [is_milk(ingredient_table()[name]) for name in ("skimmed milk", "kefir")]
    [True, False]
    """
    words = plain_words(ingredient.name)
    return ingredient.kind == "dairy" and ingredient.poured and "milk" in words


def is_powder(ingredient: Ingredient) -> bool:
    """Whether it is dried milk or the like.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> is_powder(ingredient_table()["skimmed milk powder"])
    True
    """
    made = ingredient.composition
    return ingredient.kind == "dairy" and made is not None and made.water < MOIST


def _solids(ingredient: Ingredient) -> Ratio:
    """What is neither water nor fat."""
    made = ingredient.composition
    return 1 - made.water - made.fat if made is not None else 0.0


def with_milk_powder(formula: ResolvedFormula, name: str = "skimmed milk powder") -> Rework:
    """Use milk powder and water for milk: as much water and milk solids without fat.

    A fat of the dough makes up for the milk's; without one the fat that goes is said.
    """
    powder = ingredient_for(formula, name)
    milks = lines_where(formula, "milk", is_milk)
    changes = [
        Change(x, name, powder, x.mass * _solids(x.ingredient) / _solids(powder)) for x in milks
    ]
    return _milk_swapped(formula, changes)


def with_liquid_milk(
    formula: ResolvedFormula, name: str = "whole milk", by: str = "solids"
) -> Rework:
    """Use milk for milk powder and water; ``by`` is kept: solids without fat, or all solids.

    Raises
    ------
    DocumentError
        If the milk has more water than is poured; how much powder can become milk is stated.
    """
    milk = ingredient_for(formula, name)
    assert milk.composition is not None
    shares = {"water": free_water(milk), "solids": _solids(milk), "fat": milk.composition.fat}
    powders = lines_where(formula, "milk powder", is_powder)
    changes = []
    for x in powders:
        swap = milk_for_powder(x.mass * _dry(x.ingredient, by), inf, shares, by)
        changes.append(Change(x, name, milk, swap.milk))
    fat_stays = by == "solids"
    _check_water(formula, changes, _milk_made_up(formula, changes, fat_stays=fat_stays).water)
    return _milk_swapped(formula, changes, fat_stays=fat_stays)


def _check_water(formula: ResolvedFormula, changes: Sequence[Change], water: Kilogram) -> None:
    """Refuse to take out more water than is poured, where less powder would need no more."""
    lines = free_waters(formula, changes[0].line.preparation)
    there = sum(line.water * used(formula, line) for line in lines)
    if water - there <= SLACK * formula.solution.total_flour:
        return
    powder = sum(c.line.mass for c in changes)
    limit = floor(powder * there / water / FINEST_LEFT + EXACT) * FINEST_LEFT
    values = {"short": water - there, "limit": limit}
    raise refusal("milk-has-too-much-water", *changes[0].line.path, **values)


def with_other_milk(formula: ResolvedFormula, old: str, new: str) -> Rework:
    """Pour another milk: as much water comes with it, and what it holds more of fat is said."""
    milk = ingredient_for(formula, new)
    lines = found_lines(formula, old)
    changes = [Change(x, new, milk, x.water / free_water(milk)) for x in lines]
    return _milk_swapped(formula, changes, fat_stays=False)


def _dry(powder: Ingredient, by: str) -> Ratio:
    made = powder.composition
    assert made is not None, "powders are known by their water"
    return 1 - made.water if by == "all solids" else _solids(powder)


@dataclass(frozen=True, slots=True)
class _MadeUp:
    """What makes up for a milk: the fat line, how much less of it, the water that has to go.

    ``fat`` and ``gained`` are what the dough would hold, and weigh, more without the water.
    """

    spread: Weighed | None
    off: Kilogram
    fat: Kilogram
    water: Kilogram
    gained: Kilogram


def _milk_made_up(
    formula: ResolvedFormula, changes: Sequence[Change], *, fat_stays: bool
) -> _MadeUp:
    """Reckon what a fat of the dough gives or takes, and with it of the water."""
    fat = _brought(formula, changes, added_fat)
    spread = _fat_line(formula, fat) if fat_stays else None
    water, gained = (_brought(formula, changes, share) for share in (free_water, lambda _: 1.0))
    if spread is None:
        return _MadeUp(None, 0.0, fat, water, gained)
    off = fat / added_fat(spread.ingredient)
    return _MadeUp(spread, off, fat, water - off * free_water(spread.ingredient), gained - off)


def _milk_swapped(
    formula: ResolvedFormula, changes: Sequence[Change], *, fat_stays: bool = True
) -> Rework:
    """Make up for water, and for fat where the dough has one to take it from or give it to."""
    flour = formula.solution.total_flour
    made = _milk_made_up(formula, changes, fat_stays=fat_stays)
    spread, fat = made.spread, made.fat
    edits: list[Edit] = []
    said: list[Notice] = []
    if spread is not None:
        edits.append(changed_line(spread, spread.mass - made.off / used(formula, spread), flour))
    elif not is_nothing(abs(fat), flour):
        went = "come along" if fat > 0 else "go"
        code = "fat-not-kept" if fat_stays else "fat-of-the-milk"
        was = fat_ratio(formula.solution)
        values = {"fat": abs(fat), "went": went, "was": was, "now": was + fat / flour}
        said.append(Notice.of(code, "preparations", **values))
    edits += _watered(formula, made.water, changes)
    edits += yield_follows(formula, made.gained - made.water)
    keeps = all_but() if spread is not None or not said else all_but("fat")
    return _swapped(formula, changes, edits, keeps, said)


def _fat_line(formula: ResolvedFormula, fat: Kilogram) -> Weighed | None:
    """The fat that can make up for so much more (or less) of it, the largest."""
    fats = [
        line
        for line in dough_lines(formula)
        if line.ingredient.kind == "fat"
        and not line.ingredient.salt
        and line.mass * used(formula, line) * added_fat(line.ingredient) > fat
    ]
    fats.sort(key=lambda line: -line.mass)
    return fats[0] if fats and fat else None


def _watered(formula: ResolvedFormula, water: Kilogram, changes: Sequence[Change]) -> list[Edit]:
    """Pour the water where the milk went in, or take it from what is poured."""
    line = changes[0].line
    if is_nothing(abs(water), formula.solution.total_flour):
        return []
    into = [x for x in weighed_lines(formula, line.preparation) if x.ingredient.name == "water"]
    if water >= 0 or into or not line.ingredient.poured:
        return with_less_water(formula, water, first=line.preparation).edits
    more = -water / used(formula, line)
    amount = amount_of(more, formula.solution.total_flour, line.line.amount)
    said = line.line.model_dump(by_alias=True, exclude_unset=True)
    warm = {k: v for k, v in said.items() if k in {"at", "kept"}} if isinstance(said, dict) else {}
    path = ("preparations", line.preparation, "ingredients")
    names = [*formula.document.preparations[line.preparation].ingredients]
    tree = {"amount": amount, **warm} if warm else amount
    return [Insert(path, names.index(line.name), "water", tree)]
