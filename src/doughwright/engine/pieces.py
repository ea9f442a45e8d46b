"""Shapes of pieces: outline and filling from what a baker measures.

A round piece is a dome on a flat base. Others are brought to a section that has, as nearly as
one section can, their rate of warming and their surface over volume: an oval and a tin become
the round piece of the same sum of inverse squares of their half-axes, a baton a section drawn
out without ends, a ring a ring. What that leaves out is said.
"""

import math
from dataclasses import dataclass
from typing import Literal

from doughwright.engine.meshes import Section, Well
from doughwright.engine.properties import constants
from doughwright.engine.roots import root
from doughwright.errors import ImpossibleInput, Notice
from doughwright.units import CubicMetre, Metre, Ratio

ShapeKind = Literal["round", "oval", "baton", "flat", "ring", "tin"]
Placement = Literal["well", "pocket"]

TALLEST: Ratio = 1.0
"""Height over width above which a piece of dough does not stand by itself (assumption)."""

DEEPEST: Ratio = 0.85
"""Most of a piece's height that filling may take (assumption)."""

WIDEST: Ratio = 0.9
"""Most of a piece's width that filling may take (assumption)."""


@dataclass(frozen=True, slots=True)
class Shape:
    """A piece as it goes into the oven: its true volume and the section that stands for it.

    ``width`` and ``length`` are those of its plan, ``height`` that above its base, in m.
    """

    kind: ShapeKind
    section: Section
    volume: CubicMetre
    width: Metre
    length: Metre
    height: Metre


@dataclass(frozen=True, slots=True)
class Measures:
    """What a baker says of a form, in m; None for what is not said."""

    width: Metre | None = None
    length: Metre | None = None
    height: Metre | None = None


def baking_constant(name: str) -> float:
    """Value of a row of ``properties/baking.tsv``.

    >>> baking_constant("set_share")
    0.99
    """
    return constants("baking")[name].value


def plan_fill(exponent: Ratio) -> Ratio:
    """Volume of a dome over that of the cylinder around it.

    >>> plan_fill(2.0)  # a half ellipsoid fills two thirds
    0.666667
    """
    return 2 / exponent * _beta(2 / exponent, 1 / exponent + 1)


def section_fill(exponent: Ratio) -> Ratio:
    """Area of a section over that of the rectangle around it.

    >>> section_fill(2.0)  # a half ellipse: π/4
    0.785398
    """
    return 1 / exponent * _beta(1 / exponent, 1 / exponent + 1)


def _beta(a: float, b: float) -> float:
    return math.gamma(a) * math.gamma(b) / math.gamma(a + b)


def shape_of(kind: ShapeKind, measures: Measures, volume: CubicMetre) -> Shape:
    """Shape of a piece; what the baker did not measure follows from its volume.

    With all measures given they decide, and the volume is theirs.

    Examples
    --------
    >>> round(shape_of("round", Measures(0.11, None, 0.04), 0.0).volume * 1e6)  # ml
    306

    Raises
    ------
    ImpossibleInput
        If the piece is taller than it is wide and stands free.
    """
    makers = {"round": _dome, "flat": _dome, "oval": _oval, "baton": _baton, "ring": _ring}
    shape = (_tin if kind == "tin" else makers[kind])(kind, measures, volume)
    if kind != "tin" and shape.height > TALLEST * shape.width:
        about = Notice.of("piece-cannot-stand", height=shape.height, width=shape.width)
        raise ImpossibleInput([about])
    return shape


def _dome(kind: ShapeKind, measures: Measures, volume: CubicMetre) -> Shape:
    exponent = baking_constant("outline_flat" if kind == "flat" else "outline")
    fill = math.pi / 4 * plan_fill(exponent)
    width, height = _width_and_height(measures, fill, volume)
    section = Section(width / 2, height, exponent)
    return Shape(kind, section, fill * width**2 * height, width, width, height)


def _width_and_height(measures: Measures, fill: Ratio, volume: CubicMetre) -> tuple[Metre, Metre]:
    """Width and height of a dome whose volume is fill · width² · height."""
    width, height = measures.width, measures.height
    if width is None:
        width = (
            math.sqrt(volume / (fill * height))
            if height is not None
            else (volume / (fill * baking_constant("upright"))) ** (1 / 3)
        )
    return width, height if height is not None else volume / (fill * width**2)


def matched_radius(a: Metre, b: Metre) -> Metre:
    """Radius of the cylinder that warms as fast as a prism of half-axes a and b.

    For an ellipse it also has its perimeter over area, in Ramanujan's first form.

    >>> matched_radius(0.05, 0.05)  # a circle is itself
    0.05
    """
    return math.sqrt(2.0 / (1.0 / a**2 + 1.0 / b**2))


def matched_box_radius(width: Metre, length: Metre) -> Metre:
    """Radius of the cylinder that warms as fast as an upright box of width × length.

    The slowest term of the series solutions: 2.405² / r² = π² (1/width² + 1/length²).

    >>> round(matched_box_radius(0.1, 0.1), 4)  # 0.54 of the side; equal area would be 0.564
    0.0541
    """
    return 2.404826 / math.pi / math.sqrt(1.0 / width**2 + 1.0 / length**2)


def _oval(kind: ShapeKind, measures: Measures, volume: CubicMetre) -> Shape:
    exponent = baking_constant("outline")
    assert measures.width is not None  # an oval is told by its two axes
    assert measures.length is not None
    width, length = sorted((measures.width, measures.length))
    fill = math.pi / 4 * plan_fill(exponent) * width * length
    height = measures.height if measures.height is not None else volume / fill
    radius = matched_radius(width / 2, length / 2)
    return Shape(kind, Section(radius, height, exponent), fill * height, width, length, height)


def _baton(kind: ShapeKind, measures: Measures, volume: CubicMetre) -> Shape:
    exponent = baking_constant("outline")
    assert measures.width is not None  # a baton is told by its width and length
    assert measures.length is not None
    width, length = sorted((measures.width, measures.length))
    fill = section_fill(exponent) * width * length
    height = measures.height if measures.height is not None else volume / fill
    section = Section(width / 2, height, exponent, turned=False)
    return Shape(kind, section, fill * height, width, length, height)


def _ring(kind: ShapeKind, measures: Measures, volume: CubicMetre) -> Shape:
    exponent = baking_constant("outline")
    assert measures.width is not None  # a ring is told by its outer width
    outer, fill = measures.width, section_fill(exponent)

    def tall(tube: Metre) -> Metre:
        if measures.height is not None:
            return measures.height
        return baking_constant("ring_upright") * tube

    def holds(tube: Metre) -> CubicMetre:
        return fill * tube * tall(tube) * math.pi * (outer - tube)

    if holds(outer / 2) <= volume:
        about = Notice.of("ring-has-no-hole", width=outer, volume=volume)
        raise ImpossibleInput([about])
    tube = root(lambda t: holds(t) - volume, 1e-4, outer / 2)
    section = Section(tube / 2, tall(tube), exponent, middle=(outer - tube) / 2)
    return Shape(kind, section, volume, tube, outer, tall(tube))


def _tin(kind: ShapeKind, measures: Measures, volume: CubicMetre) -> Shape:
    assert measures.width is not None  # a tin's width and length are found from its volume
    assert measures.length is not None
    width, length = sorted((measures.width, measures.length))
    height = volume / (width * length)
    section = Section(matched_box_radius(width, length), height, math.inf, lined=True)
    return Shape(kind, section, volume, width, length, height)


def tin_measures(tin: CubicMetre) -> Measures:
    """Width and length of an oblong tin of a volume.

    >>> round(tin_measures(0.0014).width, 3)  # a tin of 1.4 l
    0.1
    """
    length, depth = baking_constant("tin_length"), baking_constant("tin_depth")
    width = (tin / (length * depth)) ** (1 / 3)
    return Measures(width, length * width, depth * width)


def well_of(section: Section, share: Ratio, placement: Placement) -> Well:
    """Where the filling lies that takes a share of a piece's volume.

    A well is open at the top; a pocket lies in the middle of the height. Where the usual
    depth would make it too wide, it lies deeper.

    Examples
    --------
    >>> round(well_of(Section(0.055, 0.04), 0.2, "well").half_width, 4)
    0.0285

    Raises
    ------
    ImpossibleInput
        If the piece cannot hold so much.
    """
    depth = baking_constant(f"{placement}_depth")
    half_width = _filled_half_width(section, share, depth, placement)
    while half_width > WIDEST * _inner_half_width(section, placement, depth) and depth < DEEPEST:
        depth = min(depth + 0.05, DEEPEST)
        half_width = _filled_half_width(section, share, depth, placement)
    if half_width > _inner_half_width(section, placement, depth):
        raise ImpossibleInput([Notice.of("filling-too-large", share=share)])
    top = 1.0 if placement == "well" else 0.5 + depth / 2
    return Well(half_width, (top - depth) * section.height, top * section.height)


def _filled_half_width(section: Section, share: Ratio, depth: Ratio, placement: Placement) -> Metre:
    """Half-width of a disc or strip of filling; a well's top is cut by the outline."""
    s, kept = section, 1.0
    if math.isfinite(s.exponent) and placement == "well":
        kept = 0.97  # the dome falls away a little over the well
    high = depth * s.height * kept
    if not s.turned or s.middle:
        fill = 1.0 if math.isinf(s.exponent) else section_fill(s.exponent)
        return share * fill * s.half_width * s.height / high
    fill = 1.0 if math.isinf(s.exponent) else plan_fill(s.exponent)
    return math.sqrt(share * fill * s.half_width**2 * s.height / high)


def _inner_half_width(section: Section, placement: Placement, depth: Ratio) -> Metre:
    """Half-width of the outline at the top of a pocket; of the whole piece for a well."""
    if placement == "well" or math.isinf(section.exponent):
        return section.half_width
    up = 0.5 + depth / 2
    return section.half_width * float((1.0 - up**section.exponent) ** (1.0 / section.exponent))
