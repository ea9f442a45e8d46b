"""Another flour, with the water it takes up; a starter of another hydration."""

from collections.abc import Iterator

from doughwright.documents.editing import Edit, Insert, SetValue
from doughwright.documents.quantities import quantity
from doughwright.engine.exchange import starter_swap
from doughwright.engine.ingredients import Ingredient
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.reworking.amounts import EXACT
from doughwright.reworking.moving import has_usual, joined, parted, usual
from doughwright.reworking.rework import (
    ALL_OF_IT,
    EACH,
    Rework,
    Weighed,
    all_but,
    changed_by,
    is_nothing,
    refusal,
    reworked,
    rising_steps,
    set_amount,
    times_dropped,
    unchanged,
    weighed_lines,
)
from doughwright.reworking.swaps import (
    Change,
    found_lines,
    ingredient_for,
    lines_where,
    replaced,
)
from doughwright.reworking.water import (
    as_far_as_water_goes,
    changed_line,
    used,
    with_less_water,
    yield_follows,
)
from doughwright.units import Kilogram, Ratio

FROM_STRONG = "strong white flour"
"""The flour whose thirst the others are compared with."""


def with_flour(formula: ResolvedFormula, old: str, new: str, share: Ratio = 1.0) -> Rework:
    """Use another flour for a share of one: as much flour, and the water it takes up.

    How thirsty flours are is common practice, within a few points; the dough decides.
    """
    lines, wanted = found_lines(formula, old), ingredient_for(formula, new)
    if wanted.flour < 1 or any(line.ingredient.flour < 1 for line in lines):
        raise refusal("no-swap-of-these", "preparations", new=new, old=old)
    if not 0 < share <= 1:
        raise refusal("share-of-a-line", "preparations", share=share, name=old)
    moved = sum(x.mass * used(formula, x) for x in lines) * share
    edits = [edit for x in lines for edit in _part_swapped(formula, x, new, wanted, share)]
    thirst = _thirst(wanted.name), _thirst(lines[0].ingredient.name)
    steps = rising_steps(formula.document, changed_by(edits))
    dropped, gone = times_dropped(formula.document, steps)
    edits += dropped
    if thirst[0] is None or thirst[1] is None:
        unknown = Notice.of("absorption-unknown", "preparations", name=new, was=old)
        return reworked(formula, edits, all_but("sugar"), [unknown, *gone])
    more = (thirst[0] - thirst[1]) * moved
    poured = as_far_as_water_goes(formula, -more)
    edits += [*poured.edits, *yield_follows(formula, more + poured.left)]
    said = Notice.of(
        "flour-drinks-otherwise",
        "preparations",
        name=new,
        was=old,
        ratio=abs(thirst[0] - thirst[1]),
        more="more" if more >= 0 else "less",
        water=abs(more + poured.left),
        went="added" if more >= 0 else "taken out",
    )
    values = {"name": new, "left": poured.left}
    left = [Notice.of("flour-wants-less", "preparations", **values)] if poured.left else []
    return reworked(formula, edits, all_but("water", "sugar"), [said, *left, *poured.said, *gone])


def _thirst(name: str) -> Ratio | None:
    key = f"absorbs_{name.replace(' ', '_')}"
    return 0.0 if name == FROM_STRONG else usual(key) if has_usual(key) else None


def _part_swapped(
    formula: ResolvedFormula, line: Weighed, name: str, wanted: Ingredient, share: Ratio
) -> Iterator[Edit]:
    if share >= 1:
        yield from replaced(formula, Change(line, name, wanted, line.mass))
        return
    beside = weighed_lines(formula, line.preparation)
    there = next((x for x in beside if x.ingredient.name == wanted.name), None)
    went, left = parted(line.line.amount, share)
    yield set_amount(line, left)
    if there is not None:
        moved = quantity(went, line.line.amount.dimension).best / line.line.amount.best
        yield set_amount(there, joined(there, moved * line.mass, went))
    else:
        path = ("preparations", line.preparation, "ingredients")
        names = [*formula.document.preparations[line.preparation].ingredients]
        yield Insert(path, names.index(line.name) + 1, name, went)


def with_starter(formula: ResolvedFormula, hydration: Ratio) -> Rework:
    """Use a starter of another hydration: as much flour and water end in the dough.

    What it brings more or less of is made up for where it goes in.
    """
    starters = lines_where(formula, "starter", lambda i: i.kind == "starter")
    if all(abs(1 / x.ingredient.flour - 1 - hydration) < EXACT for x in starters):
        return unchanged(formula)
    goes_in = {x.preparation for x in starters}
    here = goes_in.pop() if len(goes_in) == 1 else formula.solution.final
    flour = formula.solution.total_flour
    edits: list[Edit] = []
    flours = water = 0.0
    for x in starters:
        old = 1 / x.ingredient.flour - 1
        swap = starter_swap(x.mass, old, hydration)
        edits.append(changed_line(x, swap.starter, flour))
        edits.append(_wetness(x, hydration))
        flours += swap.flour * used(formula, x)
        water += swap.water * used(formula, x)
    poured = with_less_water(formula, -water, first=here)
    edits += [*_floured(formula, flours, here), *poured.edits]
    steps = rising_steps(formula.document, changed_by(edits))
    dropped, said = times_dropped(formula.document, steps)
    keeps = tuple(word for word in ALL_OF_IT if word != EACH)
    return reworked(formula, [*edits, *dropped], keeps, [*poured.said, *said])


def _wetness(line: Weighed, hydration: Ratio) -> Edit:
    return SetValue((*line.path, "hydration"), f"{100 * hydration:g} %")


def _floured(formula: ResolvedFormula, more: Kilogram, here: str) -> list[Edit]:
    """Put in (or take out) flour, of the one there is most of in a preparation, else the dough."""
    total = formula.solution.total_flour
    if is_nothing(abs(more), total):
        return []
    lines = [*weighed_lines(formula, here), *weighed_lines(formula, formula.solution.final)]
    flours = [x for x in lines if x.ingredient.flour >= 1 and x.mass * used(formula, x) > -more]
    if not flours:
        there = max((x.mass for x in lines if x.ingredient.flour >= 1), default=0.0)
        raise refusal("too-little-to-take", "preparations", name="flour", wanted=-more, there=there)
    most = max(flours, key=lambda line: (line.preparation == here, line.mass))
    return [changed_line(most, most.mass + more / used(formula, most), total)]
