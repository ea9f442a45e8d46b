"""What goes into the oven and what the oven does: dough, filling, piece, course, goals."""

import math
from dataclasses import dataclass, replace
from typing import Literal

from doughwright.engine.meshes import Section
from doughwright.engine.oven import OvenKind
from doughwright.engine.pieces import Measures, Placement, Shape, baking_constant, shape_of
from doughwright.units import (
    Conductivity,
    CubicMetre,
    Density,
    Kelvin,
    KelvinDifference,
    Kilogram,
    Pascal,
    Ratio,
    Second,
    SpecificHeat,
)


@dataclass(frozen=True, slots=True)
class BakingDough:
    """Dough as the oven meets it; ``moisture`` is water per mass of what is not water."""

    moisture: Ratio
    enriched: bool
    rye: bool = False

    @property
    def dry_heat(self) -> SpecificHeat:
        """Specific heat of what is not water."""
        return baking_constant("dry_heat_enriched" if self.enriched else "dry_heat_lean")


@dataclass(frozen=True, slots=True)
class BakingFilling:
    """Filling as the oven meets it; ``specific_heat`` counts its water."""

    mass: Kilogram
    temperature: Kelvin
    moisture: Ratio
    specific_heat: SpecificHeat
    conductivity: Conductivity
    density: Density
    placement: Placement

    @property
    def volume(self) -> CubicMetre:
        """What it takes of the piece."""
        return self.mass / self.density


Support = Literal["tray", "stone", "tin"]


@dataclass(frozen=True, slots=True)
class OvenPiece:
    """One piece as it goes into the oven; ``mass`` is that of its dough alone.

    ``scale`` is its length over that of the piece whose cells are 2 mm wide, so that pieces
    of one shape in different sizes are cut into the same cells and compare without noise.
    """

    shape: Shape
    mass: Kilogram
    temperature: Kelvin
    dough: BakingDough
    filling: BakingFilling | None = None
    support: Support = "tray"
    spring: Ratio | None = None
    scale: Ratio = 1.0

    @property
    def dough_volume(self) -> CubicMetre:
        """Volume of the dough, its bubbles included."""
        return self.shape.volume - (self.filling.volume if self.filling else 0.0)

    @property
    def whole_mass(self) -> Kilogram:
        """Dough and filling."""
        return self.mass + (self.filling.mass if self.filling else 0.0)


@dataclass(frozen=True, slots=True)
class OvenCourse:
    """What the oven does: air temperatures (not dials), the door, steam, the air's pressure.

    ``second`` is set after ``change_at``, and reached in ``change_lag``; ``drop`` is how far
    the open door brings the oven below its setting and ``recovery`` the time in which that
    falls to 37 %. With a ``cold_lag`` the oven begins as cold as the room, and the way to its
    setting falls to 37 % in it.
    """

    kind: OvenKind
    first: Kelvin
    second: Kelvin | None = None
    change_at: Second = math.inf
    change_lag: Second = 600.0
    drop: KelvinDifference = 0.0
    recovery: Second = 180.0
    cold_lag: Second = 0.0
    steam: bool = False
    pressure: Pascal = 101325.0
    room: Kelvin = 295.15
    preheated_metal: bool = False


@dataclass(frozen=True, slots=True)
class Member:
    """What an oven and a dough have of their own: multipliers, and kelvins of walls and air."""

    heating: Ratio = 1.0
    raw: Ratio = 1.0
    vapour: Ratio = 1.0
    crust: Ratio = 1.0
    contact: Ratio = 1.0
    walls: KelvinDifference = 0.0
    air: KelvinDifference = 0.0
    door: Ratio = 1.0
    spring: Ratio = 1.0
    humidity: Ratio = 1.0
    browning: Ratio = 1.0


@dataclass(frozen=True, slots=True)
class Goals:
    """What a bake waits for; None where it does not.

    ``set_share`` of the starch of the least set dough; ``core`` of the coldest dough;
    ``filling`` of its coldest spot; ``colour`` difference of the mean free surface.
    ``setting`` is the integral of setting that stands for more than a share can tell.
    """

    set_share: Ratio | None = None
    core: Kelvin | None = None
    filling: Kelvin | None = None
    colour: float | None = None
    setting: float | None = None

    @property
    def set_integral(self) -> float | None:
        """Integral of the rate of setting that is waited for: a first-order reaction's."""
        if self.setting is not None:
            return self.setting
        return -math.log1p(-self.set_share) if self.set_share is not None else None


def usual_spring(piece: OvenPiece) -> Ratio:
    """Oven spring of a piece that does not say.

    >>> usual_spring(plain_roll())
    1.35
    """
    if piece.dough.rye:
        return baking_constant("spring_rye")
    return baking_constant("spring_tin" if piece.support == "tin" else "spring")


def plain_roll(mass: Kilogram = 0.06) -> OvenPiece:
    """A round roll of lean dough, nothing said but its mass: what examples are shown on.

    >>> round(plain_roll().dough_volume * 1e6)  # ml: 60 g at the usual 480 kg/m3
    125
    """
    shape = shape_of("round", Measures(), mass / baking_constant("density_at_load"))
    return OvenPiece(shape, mass, 299.15, BakingDough(0.68, enriched=False))


def resized(piece: OvenPiece, times: Ratio) -> OvenPiece:
    """The piece ``times`` as heavy at the same proportions, its filling with it.

    >>> double = resized(plain_roll(), 2.0)
    >>> double.mass, double.shape.width / plain_roll().shape.width  # the cube root of two
    (0.12, 1.259921)
    """
    length = times ** (1 / 3)
    shape, section = piece.shape, piece.shape.section
    grown = replace(
        section,
        half_width=section.half_width * length,
        height=section.height * length,
        middle=section.middle * length,
    )
    return replace(
        piece,
        mass=piece.mass * times,
        filling=replace(piece.filling, mass=piece.filling.mass * times) if piece.filling else None,
        shape=replace(
            shape,
            section=grown,
            volume=shape.volume * times,
            width=shape.width * length,
            length=shape.length * length,
            height=shape.height * length,
        ),
        scale=piece.scale * length,
    )


def mesh_scale(section: Section) -> Ratio:
    """Width of a section's cells over 2 mm, so that it has about 650 of them at most.

    A large loaf is followed no more finely, for its size, than a roll.

    >>> mesh_scale(Section(0.05, 0.036)), round(mesh_scale(Section(0.11, 0.09)), 1)
    (1.0, 2.0)
    """
    area = section.half_width * section.height * (2.0 if section.middle else 1.0)
    return max(1.0, math.sqrt(area / MOST_CELLS) / 0.002)


MOST_CELLS = 650
