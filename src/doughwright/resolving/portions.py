"""How warm each thing is that goes into the bowl, and who says so."""

from dataclasses import dataclass, replace

from doughwright.documents.formula import Line as LineInDocument
from doughwright.engine.formula import Line
from doughwright.engine.portions import Portion
from doughwright.resolving.kitchens import Kitchen
from doughwright.units import ICE_POINT, Kelvin, Kilogram, SpecificHeat

UNKNOWN_SPECIFIC_HEAT: SpecificHeat = 2800.0
"""For an ingredient of unknown composition: that of a dough (assumption)."""

FLOURY = frozenset({"flour", "starch", "flake"})


@dataclass(frozen=True, slots=True)
class Warmth:
    """The temperature of one line before mixing.

    ``kind`` is ``stated`` (the formula's ``at``), ``kept`` (its ``kept``), ``assumed``
    (where such things are kept) or ``free`` (a liquid that may be poured at any).
    """

    temperature: Kelvin
    kind: str
    place: str


def warmth(line: Line, document: LineInDocument, kitchen: Kitchen) -> Warmth:
    """Say how warm a line is: as stated, where it is kept, or where such things are kept."""
    if document.at is not None:
        return Warmth(document.at.best, "stated", "")
    if document.kept is not None:
        return Warmth(_at(line, str(document.kept), kitchen), "kept", str(document.kept))
    place = line.ingredient.kept
    kind = "free" if line.ingredient.poured else "assumed"
    return Warmth(_at(line, place, kitchen), kind, place)


def _at(line: Line, place: str, kitchen: Kitchen) -> Kelvin:
    if place == "room" and line.ingredient.kind in FLOURY:
        return kitchen.flour
    return kitchen.temperature_of(place)


def portion_of(line: Line, mass: Kilogram, temperature: Kelvin) -> Portion:
    """A line as a portion of the mix, with what in it is dry, dissolves or melts."""
    ingredient = line.ingredient
    composition = ingredient.composition
    portion = Portion(line.name, mass, temperature, composition=composition)
    if composition is None:
        return replace(portion, specific_heat=UNKNOWN_SPECIFIC_HEAT)
    dry = ingredient.kind in FLOURY
    return replace(
        portion,
        frozen=temperature < ICE_POINT - 0.01 and ingredient.poured,
        dry_flour=mass if dry else 0.0,
        flour_moisture=composition.water if dry else portion.flour_moisture,
        salt=mass if ingredient.kind == "salt" else 0.0,
        sugar=mass * ingredient.sugars if _is_dry_sugar(line) else 0.0,
        butterfat=mass * composition.fat if ingredient.butterfat else 0.0,
    )


def _is_dry_sugar(line: Line) -> bool:
    composition = line.ingredient.composition
    return line.ingredient.kind == "sugar" and composition is not None and composition.water < 0.1
