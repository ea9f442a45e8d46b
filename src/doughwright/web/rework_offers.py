"""The wishes that a bread is offered as examples: those that find in it what they change."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from doughwright.engine.ingredients import Ingredient, ingredient_named
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.reworking.rework import dough_lines
from doughwright.reworking.scalds import SCALD
from doughwright.reworking.swaps import is_milk, is_powder
from doughwright.reworking.wishes import EXAMPLES


def _called(name: str) -> Callable[[Ingredient], bool]:
    """Whether an ingredient is the one of the table that has that name."""
    wanted = ingredient_named(name)
    assert wanted is not None
    return lambda found: found.name == wanted.name


CHANGES: Mapping[str, Callable[[Ingredient], bool]] = MappingProxyType(
    {
        "whole eggs": _called("egg"),
        "whole large eggs up": _called("egg"),
        "oil for butter": _called("butter"),
        "salted butter": _called("unsalted butter"),
        "milk powder": is_milk,
        "liquid milk": is_powder,
        "wholemeal flour for 20 % of strong white flour": _called("strong white flour"),
        "starter 100 %": lambda found: found.kind == "starter",
    }
)
"""The ingredient that a wish changes: without one in the dough it is refused."""


def offered(formula: ResolvedFormula) -> tuple[str, ...]:
    """Every example of a wish that this bread has the ingredient, the part or the step for.

    None is tried: that takes seconds. So one may still be refused for its amounts.
    """
    dough = [line.ingredient for line in dough_lines(formula) if line.mass > 0]
    parts = formula.document.preparations
    steps = {f"{step.verb} {step.of}" for step in formula.document.process}
    has = {
        "straight": any(_is_raised(formula, name) for name in parts),
        "no scald": any(SCALD in (part.style or "", name) for name, part in parts.items()),
        "ferment dough in 12 h at fridge": "ferment dough" in steps,
        **{wish: any(map(changes, dough)) for wish, changes in CHANGES.items()},
    }
    return tuple(wish for wish in EXAMPLES if has.get(wish, True))


def _is_raised(formula: ResolvedFormula, name: str) -> bool:
    """Whether a part is a preferment with yeast of its own, and no leaven."""
    if formula.document.preparations[name].kind != "preferment":
        return False
    inside = [line.ingredient for line in dough_lines(formula) if line.preparation == name]
    raised = any(one.yeast_equivalent for one in inside)
    return raised and not any(one.kind == "starter" for one in inside)
