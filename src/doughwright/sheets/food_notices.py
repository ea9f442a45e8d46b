"""What a plan says of food safety beside its steps."""

from collections.abc import Mapping
from types import MappingProxyType

from doughwright.errors import Notice
from doughwright.sheets.safety_rows import FoodRow, SafetySheet

WHERE: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "food-fill-after-proof": ("fill", "top"),
        "food-toxin": ("fill", "top"),
        "food-bake-to": ("bake",),
        "food-cool-faster": ("cook",),
        "food-cool-within": ("cool", "bake"),
        "food-keep-baked-cold": ("cool", "bake"),
        "food-dough-overnight": ("retard", "proof", "ferment", "rest"),
    }
)
"""Beside which step a finding stands; the others beside the step that makes the food."""

IN_SAFETY_ALONE = frozenset({"food-dough-cold"})
"""What a plan does not repeat: true of every enriched dough that takes its time."""


def gap_notices(sheet: SafetySheet) -> tuple[Notice, ...]:
    """What could not be followed, or judged, for want of a word or a step in the formula."""
    kinds = ", ".join(sheet.not_known)
    return (
        *((Notice.of("food-kind-unknown", names=kinds),) if kinds else ()),
        *(Notice.of("food-not-put-on", "preparations", n, names=n) for n in sheet.not_followed),
        *(Notice.of("food-not-made", "preparations", n, names=n) for n in sheet.not_made),
    )


def food_notices(sheet: SafetySheet) -> tuple[Notice, ...]:
    """What a plan says of food safety, each beside its step."""
    found = list(gap_notices(sheet))
    found += [_beside(food, notice) for food in sheet.foods for notice in food.advice]
    followed = [food for food in sheet.foods if food.kind != "dough"] or list(sheet.foods)
    found += [_beside(food, notice) for food in followed[:1] for notice in sheet.baked]
    once = {(n.code, n.where): n for n in reversed(found) if n.code not in IN_SAFETY_ALONE}
    return tuple(reversed(once.values()))


def _beside(food: FoodRow, notice: Notice) -> Notice:
    """A finding with the step it belongs to."""
    known = [(row.verb, row.position) for row in food.standing if row.position is not None]
    wanted = WHERE.get(notice.code, ())
    fitting = [at for verb in wanted for v, at in known if v == verb] + [at for _, at in known]
    return Notice(notice.code, ("process", fitting[0]) if fitting else (), notice.values)
