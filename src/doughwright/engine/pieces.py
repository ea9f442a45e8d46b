"""Shapes of pieces: outline and filling from what a baker measures.

A round piece is a dome on a flat base. Others are brought to a section that has, as nearly as
one section can, their rate of warming and their surface over volume: an oval and a tin become
the round piece of the same sum of inverse squares of their half-axes, a baton a section drawn
out without ends, a ring a ring. What that leaves out is said.
"""

import math
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Literal

from doughwright.engine.meshes import Section, Well
from doughwright.engine.properties import constants
from doughwright.engine.roots import root
from doughwright.errors import ImpossibleInput, Notice
from doughwright.sources import ASSUMPTION, FROM_MEMORY, ModelCard, Range, notices_for
from doughwright.units import CubicMetre, Metre, Ratio

ShapeKind = Literal["round", "oval", "baton", "flat", "ring", "tin"]
Placement = Literal["well", "pocket"]

TALLEST: Ratio = 1.0
"""Height over width above which a piece of dough does not stand by itself (assumption)."""

DEEPEST: Ratio = 0.85
"""Most of a piece's height that filling may take (assumption)."""

WIDEST: Ratio = 0.9
"""Most of a piece's width that filling may take (assumption)."""


PIECE_SHAPES = ModelCard(
    key="piece-shapes",
    name="Shapes of pieces",
    predicts="the section that stands for a piece in the oven",
    sources=(ASSUMPTION, FROM_MEMORY),
    inputs={
        "volume": Range(1e-6, 0.05, "m**3", beyond="refuse"),
        "width": Range(0.01, 1.0, "m", beyond="refuse"),
        "length": Range(0.01, 2.0, "m", beyond="refuse"),
        "height": Range(0.003, 0.5, "m", beyond="refuse"),
    },
    expected_error="5 % of a time for what is not round, besides the oven's own",
    known_from="series solutions of boxes and cylinders agree in their slowest term",
    assumptions=(
        "a dome's outline is a superellipse; ends and corners are not followed",
        "filling is an upright disc or strip in the middle",
    ),
)


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


@cache
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
        If a measure is none a piece can have, or it stands free and is taller than wide.
    """
    told = {"width": measures.width, "length": measures.length, "height": measures.height}
    if kind in {"tin", "ring"} or measures.width is None or measures.height is None:
        told["volume"] = volume
    notices_for(PIECE_SHAPES, **{name: size for name, size in told.items() if size is not None})
    makers = {"round": _dome, "flat": _dome, "oval": _oval, "baton": _baton, "ring": _ring}
    shape = (_tin if kind == "tin" else makers[kind])(kind, measures, volume)
    notices_for(PIECE_SHAPES, volume=shape.volume, width=shape.width, height=shape.height)
    if kind != "tin" and shape.height > TALLEST * shape.width:
        code = "ring-cannot-stand" if kind == "ring" else "piece-cannot-stand"
        about = Notice.of(code, height=shape.height, width=shape.width)
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
    radius: Metre = (2.0 / (1.0 / a**2 + 1.0 / b**2)) ** 0.5
    return radius


def matched_box_radius(width: Metre, length: Metre) -> Metre:
    """Radius of the cylinder that warms as fast as an upright box of width × length.

    The slowest term of the series solutions: 2.405² / r² = π² (1/width² + 1/length²).

    >>> round(matched_box_radius(0.1, 0.1), 4)  # 0.54 of the side; equal area would be 0.564
    0.0541
    """
    radius: Metre = 2.404826 / math.pi / (1.0 / width**2 + 1.0 / length**2) ** 0.5
    return radius


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


@lru_cache(maxsize=256)
def well_of(section: Section, share: Ratio, placement: Placement) -> Well:
    """Where the filling lies that takes a share of a piece's volume.

    A well is open at the top; a pocket lies in the middle of the height. Where the usual
    depth would make it too wide, it lies deeper.

    Examples
    --------
    A quarter of the plan and six tenths of the height of an upright piece hold 15 % of it.

    >>> well_of(Section(0.06, 0.04, math.inf), 0.15, "well")
    Well(half_width=0.03, bottom=0.016, top=0.04)

    Raises
    ------
    ImpossibleInput
        If the piece cannot hold so much.
    """
    depth = baking_constant(f"{placement}_depth")
    while depth < DEEPEST and _held(section, placement, depth, WIDEST) < share:
        depth = min(depth + 0.01, DEEPEST)
    if not 0.0 <= share <= _held(section, placement, depth, 1.0):
        raise ImpossibleInput([Notice.of("filling-too-large", share=share)])
    widest = _widest(section, placement, depth)
    wide = root(lambda w: _held(section, placement, depth, w) - share, 0.0, 1.0)
    bottom, top = _levels(placement, depth)
    return Well(wide * widest * section.half_width, bottom * section.height, top * section.height)


def _levels(placement: Placement, depth: Ratio) -> tuple[Ratio, Ratio]:
    """Bottom and top of the filling over the height of the piece."""
    top = 1.0 if placement == "well" else 0.5 + depth / 2
    return top - depth, top


def _widest(section: Section, placement: Placement, depth: Ratio) -> Ratio:
    """Half-width of the outline at the top of a pocket, over the piece's; 1 for a well."""
    if placement == "well" or math.isinf(section.exponent):
        return 1.0
    up = _levels(placement, depth)[1]
    return float((1.0 - up**section.exponent) ** (1.0 / section.exponent))


SLICES = 64


def _held(section: Section, placement: Placement, depth: Ratio, wide: Ratio) -> Ratio:
    """Share of a piece in a disc or strip as wide as a share of the widest, below the outline."""
    bottom, top = _levels(placement, depth)
    exponent, disc = section.exponent, section.turned and not section.middle
    slice_ = wide * _widest(section, placement, depth) / SLICES
    held = 0.0
    for i in range(SLICES):
        across = (i + 0.5) * slice_
        up = float((1.0 - across**exponent) ** (1.0 / exponent))
        high = max(0.0, min(up, top) - bottom)
        held += high * slice_ * (2.0 * across if disc else 1.0)
    if math.isinf(exponent):
        return held
    return held / (plan_fill(exponent) if disc else section_fill(exponent))
