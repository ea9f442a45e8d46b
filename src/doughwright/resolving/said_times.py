"""How long and how hot a formula says, before anything is worked out: to compare authors by."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from types import MappingProxyType

from doughwright.documents.formula import FERMENTING, FormulaDocument, Step
from doughwright.documents.quantities import Quantity
from doughwright.documents.scalars import OvenSetting
from doughwright.engine.oven import conventional_from_fan, temperature_of_gas_mark
from doughwright.engine.properties import constants
from doughwright.errors import DoughwrightError
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.oven_courses import dial_of, kind_said, oven_kind
from doughwright.units import Kelvin, Second

STAGES = MappingProxyType(
    {
        "ferment": "bulk fermentation",
        "retard": "in the cold",
        "proof": "final proof",
        "bake": "bake",
    }
)
"""The stages that are compared, by the verb of their steps."""

PREFERMENT, PREFERMENT_COLD = "preferment", "preferment, cold"


@dataclass(frozen=True, slots=True)
class SaidTime:
    """A time as the author has it, the ends of a range where one was written."""

    low: Second
    high: Second

    @property
    def best(self) -> Second:
        """The middle of it."""
        return (self.low + self.high) / 2


@dataclass(frozen=True, slots=True)
class SaidOven:
    """The first oven setting: as a conventional oven's, and whether the kind was said."""

    temperature: Kelvin
    kind_said: bool


def said_times(formula: ResolvedFormula) -> dict[str, SaidTime]:
    """How long each stage of the dough lasts by the document's word; what it leaves open is not in.

    Steps of one stage add up; several preferments count by the longest.
    """
    document, final = formula.document, formula.solution.final
    found = {
        name: _together(s for s in document.process if s.of == final and _stage(s) == verb)
        for verb, name in STAGES.items()
    }
    found[PREFERMENT] = _longest(document, "ferment")
    found[PREFERMENT_COLD] = _longest(document, "retard")
    return {name: time for name, time in found.items() if time is not None}


def proofs_in_the_cold(document: FormulaDocument, final: str) -> bool:
    """Whether what stands in the cold is the shaped dough: its final proof, or part of it."""
    own = [step for step in document.process if step.of == final]
    shaped = next((at for at, step in enumerate(own) if step.verb == "shape"), len(own))
    return any(_stage(step) == "retard" for step in own[shaped:])


def _stage(step: Step) -> str:
    """The verb of a step; what stands in the cold is retarded, whatever it is called."""
    return "retard" if step.verb in FERMENTING and _is_cold(step) else step.verb


def _is_cold(step: Step) -> bool:
    if isinstance(step.at, Quantity):
        return step.at.best < constants("spread")["cold_below"].value
    return step.at == "fridge"


def said_oven(document: FormulaDocument) -> SaidOven | None:
    """The first setting of the first bake as a conventional oven's; None where none is said.

    A setting that does not say its kind is for the oven that every sheet takes it for.
    """
    setting = next((s.oven for s in document.process if s.verb == "bake" and s.oven), None)
    if setting is None:
        setting = next((s.oven for s in document.process if s.verb == "preheat" and s.oven), None)
    return _conventional(setting, document) if setting is not None else None


def _conventional(setting: OvenSetting, document: FormulaDocument) -> SaidOven | None:
    if setting.temperature is None:
        try:
            return SaidOven(temperature_of_gas_mark(setting.mark), kind_said=True)
        except DoughwrightError:  # no such mark
            return None
    dial = dial_of(setting, oven_kind(document, setting))
    is_fan, at = dial.kind == "fan", dial.temperature
    bare = conventional_from_fan(at, dial.rule) if is_fan else at
    return SaidOven(bare, kind_said(document, setting) is not None)


def _lasts(step: Step) -> SaidTime | None:
    until = step.until if isinstance(step.until, Quantity) else None
    said = step.took or step.lasts or until
    if said is None or said.dimension != "duration":
        return None
    return SaidTime(said.low, said.high)


def _together(steps: Iterable[Step]) -> SaidTime | None:
    """All steps one after the other; nothing where there are none or one of them is open."""
    times = [_lasts(step) for step in steps]
    known = [time for time in times if time is not None]
    if not known or len(known) < len(times):
        return None
    ends: tuple[Callable[[SaidTime], Second], ...] = (lambda t: t.low, lambda t: t.high)
    low, high = (sum(map(end, known)) for end in ends)
    return SaidTime(low, high)


def _longest(document: FormulaDocument, verb: str) -> SaidTime | None:
    """Of several preferments the one that takes longest, out of the cold or in it."""
    names = [name for name, p in document.preparations.items() if p.kind == "preferment"]
    times = (
        _together(s for s in document.process if s.of == name and _stage(s) == verb)
        for name in names
    )
    return max(filter(None, times), key=lambda time: time.best, default=None)
