"""One mix of a formula in a kitchen, both written as a baker writes them."""

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import Reading
from doughwright.engine.formula import SolvedPreparation
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen, kitchen_from
from doughwright.resolving.mixes import Mix, mixes
from doughwright.resolving.process import timed_steps
from doughwright.sheets.mixing import MixSheet, mix_sheet
from doughwright.sheets.weighing import WeighLine, weigh_lines


@dataclass(frozen=True, slots=True)
class Mixed:
    """A preparation mixed in a kitchen."""

    formula: ResolvedFormula
    kitchen: Kitchen
    preparation: SolvedPreparation
    mix: Mix

    @property
    def sheet(self) -> MixSheet:
        """How it is mixed."""
        return mix_sheet(self.preparation, self.kitchen, self.mix)

    def line(self, name: str) -> WeighLine:
        """One line to weigh."""
        lines = weigh_lines(self.preparation, self.formula, self.kitchen.scale, self.mix)
        return next(line for line in lines if line.name == name)


@pytest.fixture
def mixed(
    read: Callable[[str], Reading], solve: Callable[[str], ResolvedFormula]
) -> Callable[..., Mixed]:
    """Mix the dough of a formula in a kitchen given by its lines."""

    def mixed_in(formula: str, *kitchen: str) -> Mixed:
        lines = ["doughwright: kitchen/1", "name: A kitchen to test", *kitchen, ""]
        document = read("\n".join(lines)).document
        assert isinstance(document, KitchenDocument)
        place = kitchen_from(document)
        solved = solve(formula)
        steps = timed_steps(solved.document, place, solved.solution.pieces)
        done = mixes(solved, place, steps)
        return Mixed(solved, place, solved.solution.named("dough"), done["dough"])

    return mixed_in
