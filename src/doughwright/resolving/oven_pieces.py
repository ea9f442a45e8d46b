"""A piece of a formula as the oven meets it: its dough, its form, its filling."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from doughwright.documents.formula import Form, Step
from doughwright.documents.quantities import Quantity
from doughwright.engine.formula import SolvedFormula, SolvedPreparation
from doughwright.engine.ingredients import PARTS, Composition, Ingredient
from doughwright.engine.oven_piece import (
    BakingDough,
    BakingFilling,
    OvenPiece,
    Support,
    mesh_scale,
)
from doughwright.engine.overall import content_ratio, fat_ratio, sugar_ratio
from doughwright.engine.pieces import (
    Measures,
    Placement,
    ShapeKind,
    baking_constant,
    shape_of,
    tin_measures,
)
from doughwright.engine.thermal import conductivity, density, specific_heat
from doughwright.errors import DocumentError, ImpossibleInput, Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.units import Kelvin, Kilogram, Metre, Ratio

RICH: Ratio = 0.12
"""Fat and sugar over flour from which a dough counts as enriched, as for tins."""

UNKNOWN = Composition(0.6, 0.06, 0.1, 0.2, 0.02, 0.02)
"""What an ingredient of unknown composition is taken for in a filling (assumption)."""

STARTER_FLOUR_WATER: Ratio = 0.135
TO_BE_HEATED = frozenset({"egg", "dairy", "cheese", "meat", "other"})
"""Kinds whose perishable members (``other``: ham and the like) want a filling hot through."""


@dataclass(frozen=True, slots=True)
class LoadedPiece:
    """A piece and what was assumed of it; ``perishable`` says the filling must get hot."""

    piece: OvenPiece
    perishable: bool
    notices: tuple[Notice, ...]


def is_enriched(formula: SolvedFormula) -> bool:
    """Whether a dough has so much fat and sugar that it bakes as an enriched one."""
    return fat_ratio(formula) + sugar_ratio(formula) > RICH


def is_rye(formula: SolvedFormula) -> bool:
    """Whether most of a dough's flour is rye."""
    return content_ratio(formula, lambda i: i.flour if "rye" in i.name else 0.0) > 0.5


def dough_moisture(formula: SolvedFormula) -> Ratio:
    """Water over everything else in the dough, the flour's own water included."""
    wet = content_ratio(formula, _all_water)
    return wet / (content_ratio(formula, lambda _: 1.0) - wet)


def _all_water(ingredient: Ingredient) -> Ratio:
    if ingredient.kind == "starter":
        return 1.0 - ingredient.flour * (1.0 - STARTER_FLOUR_WATER)
    return ingredient.composition.water if ingredient.composition is not None else 0.0


def composition_of(formula: SolvedFormula, name: str) -> Composition:
    """Composition of a preparation, what it takes of others included."""
    p = formula.named(name)
    parts = [
        (line.ingredient.composition or UNKNOWN, mass)
        for line, mass in zip(p.preparation.lines, p.masses, strict=True)
    ]
    parts += [(composition_of(formula, other), mass) for other, mass in p.taken.items() if mass]
    total = sum(mass for _, mass in parts)
    return Composition(
        **{part: sum(getattr(c, part) * m for c, m in parts) / total for part in PARTS}
    )


def loaded_piece(
    formula: ResolvedFormula,
    temperature: Kelvin,
    position: int,
    *,
    filling_at: Kelvin,
    on_stone: bool = False,
) -> LoadedPiece:
    """The piece that a bake step puts into the oven, its dough and filling at temperatures.

    Raises
    ------
    DocumentError
        If its form cannot be; the path leads to the step that shapes it.
    """
    solution, process = formula.solution, formula.document.process
    mass = _piece_mass(solution)
    dough = BakingDough(dough_moisture(solution), is_enriched(solution), is_rye(solution))
    filling, perishable = _filling(formula, filling_at, position)
    form, where = _form(process[:position])
    volume = filling.volume if filling is not None else 0.0
    try:
        kind, measures, whole = _measures(form, mass, volume)
        shape = shape_of(kind, measures, whole)
    except ImpossibleInput as error:
        placed = [replace(n, where=("process", where, "form")) for n in error.problems]
        raise DocumentError(placed) from None
    support: Support = "tin" if kind == "tin" else "stone" if on_stone else "tray"
    piece = OvenPiece(
        shape, mass, temperature, dough, filling, support, scale=mesh_scale(shape.section)
    )
    _check_weight(piece, where)
    notices = [] if form is not None else [Notice.of("form-assumed", "process", position)]
    if kind in {"oval", "baton", "tin", "ring"}:
        notices.append(Notice.of("form-simplified", "process", position, form=kind))
    if kind == "tin" and (deep := _tin_depth(form, shape.width)) < shape.height:
        values = {"height": shape.height, "deep": deep}
        notices.append(Notice.of("tin-overflows", "process", where, "form", **values))
    return LoadedPiece(piece, perishable, tuple(notices))


LIGHTEST, HEAVIEST = 120.0, 1300.0
"""Dough as it goes into an oven, kg/m3: no lighter, and no heavier than without any gas."""


def _check_weight(piece: OvenPiece, where: int) -> None:
    """Refuse a form that so much dough cannot fill, or that cannot hold it."""
    volume = piece.dough_volume
    if volume > 0.0 and not LIGHTEST <= piece.mass / volume <= HEAVIEST:
        values = {"mass": piece.mass, "least": piece.mass / HEAVIEST, "most": piece.mass / LIGHTEST}
        about = Notice.of("form-and-weight", "process", where, "form", volume=volume, **values)
        raise DocumentError([about])


def _tin_depth(form: Form | None, width: Metre) -> Metre:
    """How deep a tin is: as measured, else as usual for its width, with a crown above it."""
    if form is not None and form.high is not None:
        return form.high.best * CROWN
    return baking_constant("tin_depth") * width * CROWN


CROWN: Ratio = 1.35
"""How far above the rim of its tin a loaf may stand as it goes in (assumption)."""


def _piece_mass(solution: SolvedFormula) -> Kilogram:
    usable = solution.dough * (1.0 - solution.spare)
    if solution.piece is not None:
        return solution.piece
    return usable / (solution.pieces or 1)


def _form(process: Sequence[Step]) -> tuple[Form | None, int]:
    """The last form given before the bake, and the step it stands at."""
    shaped = [(i, step.form) for i, step in enumerate(process) if step.form is not None]
    if shaped:
        i, form = shaped[-1]
        return form, i
    return None, 0


def _measures(
    form: Form | None, mass: Kilogram, filling: float
) -> tuple[ShapeKind, Measures, float]:
    """Kind, measures (m) and volume (m3) of a piece, filling included."""
    loose = mass / baking_constant("density_at_load") + filling
    if form is None:
        return "round", Measures(), loose
    high = form.high.best if form.high is not None else None
    if form.tin is not None:
        return "tin", *_tin(form.tin, mass, filling)
    for kind in ("round", "flat", "ring"):
        across: Quantity | None = getattr(form, kind)
        if across is not None:
            return kind, Measures(across.best, None, high), loose
    for kind in ("oval", "baton"):
        sides: tuple[Quantity, Quantity] | None = getattr(form, kind)
        if sides is not None:
            length, width = (side.best for side in sides)
            return kind, Measures(width, length, high), loose  # type: ignore[return-value]
    return "round", Measures(None, None, high), loose


def _tin(
    tin: Quantity | tuple[Quantity, Quantity], mass: Kilogram, filling: float
) -> tuple[Measures, float]:
    """A tin's width and length, and the volume the dough has in it when it goes in."""
    volume = mass / baking_constant("density_in_tin") + filling
    if isinstance(tin, tuple):
        width, length = sorted(side.best for side in tin)
        return Measures(width, length), volume
    return tin_measures(tin.best), volume


def _filling(
    formula: ResolvedFormula, temperature: Kelvin, position: int
) -> tuple[BakingFilling | None, bool]:
    """The filling of a piece before a bake step, if it has one, and whether it can spoil."""
    names = formula.document.preparations
    process = formula.document.process
    fills = [
        (i, step)
        for i, step in enumerate(process[:position])
        if step.verb == "fill" and step.of in names
    ]
    if not fills:
        return None, False
    i, step = fills[-1]
    p = formula.solution.named(step.of)
    shaped = [j for j, s in enumerate(process[:position]) if s.verb == "shape"]
    placement: Placement = "well" if shaped and i > max(shaped) else "pocket"
    mix = composition_of(formula.solution, step.of)
    filling = _baking_filling(formula, p, mix, temperature, placement)
    return filling, _perishable(formula.solution, p)


def _baking_filling(
    formula: ResolvedFormula,
    p: SolvedPreparation,
    mix: Composition,
    temperature: Kelvin,
    placement: Placement,
) -> BakingFilling:
    warm = 333.15  # 60 °C, the middle of its way
    return BakingFilling(
        mass=p.mass / (formula.solution.pieces or 1),
        temperature=temperature,
        moisture=max(0.05, mix.water / max(1e-9, 1.0 - mix.water)),
        specific_heat=specific_heat(mix, warm),
        conductivity=conductivity(mix, warm),
        density=density(mix, 293.15),
        placement=placement,
    )


def _perishable(formula: SolvedFormula, p: SolvedPreparation) -> bool:
    """Whether a filling, or what it takes of other preparations, holds what must get hot."""
    if any(_perishable(formula, formula.named(other)) for other, mass in p.taken.items() if mass):
        return True
    return any(
        line.ingredient.perishable and line.ingredient.kind in TO_BE_HEATED
        for line in p.preparation.lines
    )


def filling_of(formula: ResolvedFormula, position: int) -> str | None:
    """The filling that goes into the pieces before a bake step."""
    names = formula.document.preparations
    used = [s.of for s in formula.document.process[:position] if s.verb == "fill" and s.of in names]
    return used[-1] if used else None
