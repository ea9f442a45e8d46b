"""A formula settled in a kitchen, its bake worked out, its steps laid out on one clock."""

from dataclasses import dataclass

from doughwright.resolving.bakes import BakeHere, bake_here, bake_setting, with_bake
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.process import Slot, slots
from doughwright.resolving.rises import settled
from doughwright.resolving.settling import Settled


@dataclass(frozen=True, slots=True)
class Planned:
    """What every sheet about a plan begins from; ``settled`` has the bake's times in it."""

    formula: ResolvedFormula
    kitchen: Kitchen
    settled: Settled
    baked: BakeHere | None
    laid: tuple[Slot, ...]


def planned_formula(formula: ResolvedFormula, own: ResolvedFormula, kitchen: Kitchen) -> Planned:
    """Settle a formula in a kitchen and bake it there.

    ``own`` is the formula at the document's own size, in which its times were noted.

    Raises
    ------
    DocumentError
        If a step or the bake cannot be as it is written.
    """
    found = settled(formula, own, kitchen)
    setting = bake_setting(formula, own, kitchen, found)
    baked = bake_here(setting) if setting is not None else None
    found = with_bake(found, baked)
    return Planned(formula, kitchen, found, baked, tuple(slots(found.steps)))
