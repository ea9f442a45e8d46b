"""A hydration, a salt, a sugar or a fat that is wanted; the rest stays as it is on the flour."""

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType

from doughwright.documents.editing import Edit
from doughwright.engine.ingredients import Ingredient
from doughwright.engine.overall import (
    PLAIN_WATER,
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
    dough_lines,
    is_nothing,
    refusal,
    reworked,
    rising_steps,
    times_dropped,
    unchanged,
)
from doughwright.reworking.swaps import ingredient_for, with_less_salt
from doughwright.reworking.water import (
    changed_line,
    new_line,
    used,
    water_poured,
    with_less_water,
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
    edits = [*with_less_water(formula, -more), *yield_follows(formula, more)]
    return _after(formula, edits, ("water",))


def to_salt(formula: ResolvedFormula, target: Ratio) -> Rework:
    """Weigh more or less salt for a share of the flour; salt in butter and cheese counts."""
    more = (target - salt_ratio(formula.solution)) * formula.solution.total_flour
    _check("salt", "salt", target, formula, more, lambda i: i.salt)
    if is_nothing(abs(more), formula.solution.total_flour):
        return unchanged(formula)
    edits = _more(formula, "salt", more, lambda i: i.kind == "salt", lambda i: i.salt)
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

    The fat there is most of changes; ``name`` is put in where there is none.
    """
    more = (target - fat_ratio(formula.solution)) * formula.solution.total_flour
    _check("fat", "fat", target, formula, more, added_fat)
    if is_nothing(abs(more), formula.solution.total_flour):
        return unchanged(formula)
    line = _main(formula, lambda i: i.kind == "fat")
    fat = line.ingredient if line is not None else ingredient_for(formula, name)
    share = added_fat(fat)
    water = more / share * free_water(fat)
    salt = more / share * fat.salt
    edits = _more(formula, name, more, lambda i: i.kind == "fat", added_fat)
    edits += with_less_salt(formula, salt)
    if water > water_poured(formula):
        came = Notice.of("water-not-kept", "preparations", water=water, went="come along")
        edits += yield_follows(formula, more / share - salt)
        return _after(formula, edits, ("fat", "water"), [came])
    edits += with_less_water(formula, water)
    edits += yield_follows(formula, more / share - salt - water)
    return _after(formula, edits, ("fat",))


def _after(
    formula: ResolvedFormula,
    edits: Iterable[Edit],
    changed: tuple[str, ...],
    notices: Iterable[Notice] = (),
) -> Rework:
    steps = rising_steps(formula.document, formula.document.preparations)
    dropped, said = times_dropped(formula.document, steps)
    return reworked(formula, [*edits, *dropped], all_but(*changed), [*notices, *said])


def _sugars(ingredient: Ingredient) -> Ratio:
    return 0.0 if ingredient.flour else ingredient.fermentable_sugars


def _is_sugar(ingredient: Ingredient) -> bool:
    """Dry sugar: honey and syrup bring water and taste."""
    return ingredient.kind == "sugar" and free_water(ingredient) == 0


_OF_A_KIND: Mapping[str, Callable[[Ingredient], bool]] = MappingProxyType(
    {
        "water": lambda i: i.kind == "liquid" and free_water(i) >= PLAIN_WATER,
        "salt": lambda i: i.kind == "salt",
        "sugar": _is_sugar,
        "fat": lambda i: i.kind == "fat",
    }
)
"""What is weighed out more or less of for a target."""


def _main(formula: ResolvedFormula, fits: Callable[[Ingredient], bool]) -> Weighed | None:
    """The line there is most of, the dough's own first."""
    lines = [x for x in dough_lines(formula) if fits(x.ingredient) and x.mass * used(formula, x)]
    final = formula.solution.final
    return min(lines, key=lambda x: (x.preparation != final, -x.mass), default=None)


def _check(
    what: str,
    name: str,
    target: Ratio,
    formula: ResolvedFormula,
    more: Kilogram,
    share: Callable[[Ingredient], Ratio],
) -> None:
    """Refuse a target below what stays when nothing of the kind is weighed out."""
    own = _OF_A_KIND[name]
    lines = [x for x in dough_lines(formula) if own(x.ingredient)]
    one = lines if name == "water" else [x for x in [_main(formula, own)] if x is not None]
    there = sum(x.mass * used(formula, x) * share(x.ingredient) for x in one)
    if target < 0 or -more > there * (1 + 1e-9):
        flour = formula.solution.total_flour
        limit = at_least(target + (-more - there) / flour)
        values = {"what": what, "target": target, "name": name, "limit": limit}
        raise refusal("rework-target-out-of-reach", "preparations", **values)


def _more(
    formula: ResolvedFormula,
    name: str,
    more: Kilogram,
    fits: Callable[[Ingredient], bool],
    share: Callable[[Ingredient], Ratio],
) -> list[Edit]:
    """Change the line there is most of, or put one in."""
    line = _main(formula, fits)
    if line is None:
        mass = more / share(ingredient_for(formula, name))
        return [new_line(formula, formula.solution.final, name, mass)]
    mass = line.mass + more / share(line.ingredient) / used(formula, line)
    return [changed_line(line, mass, formula.solution.total_flour)]
