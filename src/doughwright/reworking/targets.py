"""A hydration, a salt, a sugar or a fat that is wanted; the rest stays as it is on the flour."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from doughwright.documents.editing import Edit
from doughwright.engine.ingredients import Ingredient
from doughwright.engine.overall import (
    added_fat,
    fat_ratio,
    free_water,
    hydration,
    salt_ratio,
    sugar_ratio,
)
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.reworking.amounts import at_least
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
    unchanged,
)
from doughwright.reworking.standing import OF_THE_WHOLE
from doughwright.reworking.swaps import ingredient_for, lines_times, own_lines, with_less_salt
from doughwright.reworking.water import (
    free_waters,
    new_line,
    used,
    with_less_water,
    with_water_made_up,
    yield_follows,
)
from doughwright.units import Kilogram, Ratio


def to_hydration(formula: ResolvedFormula, target: Ratio) -> Rework:
    """Pour more or less water for a true hydration: what milk, egg and butter hold counts.

    Raises
    ------
    DocumentError
        If the dough is wetter without any water poured; the limit is stated.
    """
    more = (target - hydration(formula.solution)) * formula.solution.total_flour
    _check("hydration", "water", target, formula, more, free_water)
    if is_nothing(abs(more), formula.solution.total_flour):
        return unchanged(formula)
    poured = with_less_water(formula, -more)
    edits = [*poured.edits, *yield_follows(formula, more)]
    return _after(formula, edits, ("water",), poured.said)


def to_salt(formula: ResolvedFormula, target: Ratio) -> Rework:
    """Weigh more or less salt for a share of the flour; salt in butter and cheese counts."""
    more = (target - salt_ratio(formula.solution)) * formula.solution.total_flour
    _check("salt", "salt", target, formula, more, _salt)
    if is_nothing(abs(more), formula.solution.total_flour):
        return unchanged(formula)
    edits = _more(formula, "salt", more, _is_salt, _salt)
    return _after(formula, [*edits, *yield_follows(formula, more)], ("salt",))


def to_sugar(formula: ResolvedFormula, target: Ratio) -> Rework:
    """Weigh more or less sugar for a share of the flour; that of honey and syrup counts."""
    more = (target - sugar_ratio(formula.solution)) * formula.solution.total_flour
    _check("sugar", "sugar", target, formula, more, _sugars)
    if is_nothing(abs(more), formula.solution.total_flour):
        return unchanged(formula)
    edits = _more(formula, "sugar", more, _is_sugar, _sugars)
    return _after(formula, [*edits, *yield_follows(formula, more)], ("sugar",))


def to_fat(formula: ResolvedFormula, target: Ratio, name: str = "unsalted butter") -> Rework:
    """Weigh more or less fat for a share of the flour; its water is made up for.

    The dough's fats change alike; ``name`` is put in where there is none.
    """
    more = (target - fat_ratio(formula.solution)) * formula.solution.total_flour
    _check("fat", "fat", target, formula, more, added_fat)
    if is_nothing(abs(more), formula.solution.total_flour):
        return unchanged(formula)
    edits = _more(formula, name, more, _is_fat, added_fat)
    water, salt, gained = (
        _comes_along(formula, name, more, share) for share in (free_water, _salt, _whole)
    )
    made = with_water_made_up(formula, water)
    edits += [*with_less_salt(formula, salt), *made.edits]
    edits += yield_follows(formula, gained - salt - water + made.left)
    return _after(formula, edits, ("fat", "water") if made.left else ("fat",), made.said)


def _comes_along(
    formula: ResolvedFormula, name: str, fat: Kilogram, share: Callable[[Ingredient], Ratio]
) -> Kilogram:
    """How much of something comes along with so much more fat."""
    pairs = [(x.ingredient, x.mass * used(formula, x)) for x in own_lines(formula, _is_fat)]
    pairs = pairs or [(ingredient_for(formula, name), 1.0)]
    held, of_fat = (sum(m * each(i) for i, m in pairs) for each in (share, added_fat))
    return fat * held / of_fat


def _after(
    formula: ResolvedFormula,
    edits: Iterable[Edit],
    changed: tuple[str, ...],
    notices: Iterable[Notice] = (),
) -> Rework:
    """The formula with a target reached, and what a baker would stumble over in it now."""
    edits = [*edits]
    steps = rising_steps(formula.document, changed_by(edits))
    dropped, said = times_dropped(formula.document, steps)
    done = reworked(formula, [*edits, *dropped], all_but(*changed), [*notices, *said])
    now = [n for n in done.formula.notices if n not in formula.notices]
    doubts = [n for n in now if n.code in OF_THE_WHOLE]
    return replace(done, notices=(*done.notices, *doubts))


def _sugars(ingredient: Ingredient) -> Ratio:
    return 0.0 if ingredient.flour else ingredient.fermentable_sugars


def _is_sugar(ingredient: Ingredient) -> bool:
    """Dry sugar: honey and syrup bring water and taste."""
    return ingredient.kind == "sugar" and free_water(ingredient) == 0


def _is_salt(ingredient: Ingredient) -> bool:
    return ingredient.kind == "salt"


def _is_fat(ingredient: Ingredient) -> bool:
    return ingredient.kind == "fat"


def _salt(ingredient: Ingredient) -> Ratio:
    return ingredient.salt


def _whole(_: Ingredient) -> Ratio:
    return 1.0


_OF_A_KIND: Mapping[str, Callable[[Ingredient], bool]] = MappingProxyType(
    {"salt": _is_salt, "sugar": _is_sugar, "fat": _is_fat}
)
"""What is weighed out more or less of for a target."""


def _check(
    what: str,
    name: str,
    target: Ratio,
    formula: ResolvedFormula,
    more: Kilogram,
    share: Callable[[Ingredient], Ratio],
) -> None:
    """Refuse a target below what stays when nothing of the kind is weighed out, and say what."""
    lines = free_waters(formula) if name == "water" else own_lines(formula, _OF_A_KIND[name])
    there = sum(x.mass * used(formula, x) * share(x.ingredient) for x in lines)
    if target >= 0 and -more <= there * (1 + 1e-9):
        return
    limit = at_least(target + (-more - there) / formula.solution.total_flour)
    rest = ", ".join(_what_else(formula, lines, share))
    values = {"what": what, "target": target, "name": name, "limit": limit, "rest": rest}
    raise refusal("rework-target-out-of-reach", "preparations", **values)


def _what_else(
    formula: ResolvedFormula, lines: Sequence[Weighed], share: Callable[[Ingredient], Ratio]
) -> Iterator[str]:
    """What else brings something in, by its line; of another preparation with its name."""
    for x in dough_lines(formula):
        if x not in lines and x.mass * used(formula, x) * share(x.ingredient) > 0:
            here = x.preparation == formula.solution.final
            yield x.name if here else f"{x.name} in {x.preparation}"


def _more(
    formula: ResolvedFormula,
    name: str,
    more: Kilogram,
    fits: Callable[[Ingredient], bool],
    share: Callable[[Ingredient], Ratio],
) -> list[Edit]:
    """Change the lines of a kind alike, or put one in."""
    lines = own_lines(formula, fits)
    if not lines:
        mass = more / share(ingredient_for(formula, name))
        return [new_line(formula, formula.solution.final, name, mass)]
    there = sum(x.mass * used(formula, x) * share(x.ingredient) for x in lines)
    return lines_times(formula, lines, 1 + more / there)
