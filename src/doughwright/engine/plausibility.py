"""What a baker would stumble over on reading a formula aloud.

Thresholds are wide enough for real breads (sweet Nordic buns hold 6 % fresh yeast,
pumpernickel 1 % salt) and narrow enough for a slipped decimal point.
"""

from collections.abc import Callable, Iterator

from doughwright.engine.formula import SolvedFormula
from doughwright.engine.ingredients import Ingredient
from doughwright.engine.overall import (
    added_fat,
    content_ratio,
    fat_ratio,
    fresh_yeast_ratio,
    hydration,
    hydration_liquids_only,
    salt_ratio,
    sugar_ratio,
    usable_sugars,
)
from doughwright.engine.properties import constants
from doughwright.errors import Notice
from doughwright.units import Ratio


def threshold(name: str) -> Ratio:
    """Value of a row of ``properties/plausibility.tsv``.

    >>> threshold("salt_inedible")
    0.05
    """
    return constants("plausibility")[name].value


def plausibility_notices(formula: SolvedFormula) -> tuple[Notice, ...]:
    """All that looks like a slip or matters to the dough's behaviour.

    A notice of weight ``stop`` means the formula cannot be meant as written.

    >>> [n.code for n in plausibility_notices(brioche)]
    []
    """
    found = (
        *_at_line(formula, _about_salt(salt_ratio(formula)), lambda i: i.salt),
        *_at_line(formula, _about_yeast(fresh_yeast_ratio(formula)), lambda i: i.yeast_equivalent),
        *_at_line(formula, _about_sugar(sugar_ratio(formula)), usable_sugars),
        *_at_line(formula, _about_fat(fat_ratio(formula)), added_fat),
        *_about_water(hydration(formula), hydration_liquids_only(formula)),
    )
    dough = ("preparations", formula.final)
    return tuple(Notice(n.code, (*dough, *n.where), n.values) for n in found)


def _at_line(
    formula: SolvedFormula, found: Iterator[Notice], share: Callable[[Ingredient], Ratio]
) -> Iterator[Notice]:
    """Put what is said of an ingredient to the line of the final dough that gives most of it."""
    dough = formula.named(formula.final)
    given = [
        (line.name, mass * share(line.ingredient))
        for line, mass in zip(dough.preparation.lines, dough.masses, strict=True)
    ]
    half = content_ratio(formula, share) * formula.total_flour / 2
    where = next((("ingredients", name, "amount") for name, mass in given if mass > half), ())
    yield from (Notice(n.code, where, n.values) for n in found)


def _about_salt(ratio: Ratio) -> Iterator[Notice]:
    low, high = threshold("salt_usual_low"), threshold("salt_usual_high")
    usual = {"ratio": ratio, "low": low, "high": high}
    if ratio > threshold("salt_inedible"):
        yield Notice.of("salt-inedible", tenth=ratio / 10, **usual)
    elif ratio > threshold("salt_high"):
        yield Notice.of("salt-high", **usual)
    elif ratio < threshold("salt_low"):
        yield Notice.of("salt-low", **usual)


def _about_yeast(ratio: Ratio) -> Iterator[Notice]:
    if ratio > threshold("yeast_high"):
        yield Notice.of("yeast-high", ratio=ratio, tenth=ratio / 10)


def sugar_class(ratio: Ratio) -> str:
    """How sugar on total flour slows yeast: none, slow, clearly slow, osmotolerant.

    >>> sugar_class(125 / 500)  # conchas: yeast handbook range 20–50 % for osmotolerant yeast
    'osmotolerant'
    """
    if ratio < threshold("sugar_slows"):
        return "none"
    if ratio < threshold("sugar_slows_clearly"):
        return "slow"
    return "clearly slow" if ratio < threshold("sugar_osmotolerant") else "osmotolerant"


def _about_sugar(ratio: Ratio) -> Iterator[Notice]:
    codes = {
        "slow": "sugar-slows",
        "clearly slow": "sugar-slows-clearly",
        "osmotolerant": "sugar-needs-osmotolerant",
    }
    code = codes.get(sugar_class(ratio))
    if code:
        yield Notice.of(code, ratio=ratio)


def _about_fat(ratio: Ratio) -> Iterator[Notice]:
    high = threshold("fat_high")
    if ratio > high:
        yield Notice.of("fat-high", ratio=ratio, high=high)


def _about_water(true: Ratio, liquids: Ratio) -> Iterator[Notice]:
    low, high = threshold("hydration_low"), threshold("hydration_high")
    if not low <= true <= high:
        yield Notice.of("hydration-unusual", true=true, liquids=liquids, low=low, high=high)
