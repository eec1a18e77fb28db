"""Finished figures of one fabric, and the cut that each comes from.

Triangles come from squares, half-rectangle triangles from rectangles; 60° triangles,
diamonds and hexagons from strips across the fabric. A *figure* is a shape together with
the way it is made where that changes the cut: a flying goose sewn by flipping corners is
another cut than one made four at a time.

What the two measures of a figure mean: of half-square triangles the short sides, of
quarter-square triangles the long side, of flying geese width and height of the unit, of a
square in a square the whole unit, of setting and corner triangles the block they stand
beside, of 60° triangles the height, of diamonds the distance between parallel sides, of
hexagons from flat side to flat side.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from kitmaker.arithmetic import cut_sizes, sewn_units, slants
from kitmaker.arithmetic.cut_sizes import NOTHING, QUARTER_INCH_SEAM, root_nearest
from kitmaker.arithmetic.finishing import CAUTIOUS_USABLE_WIDTH
from kitmaker.arithmetic.slants import DiamondAngle
from kitmaker.lengths import EIGHTH, MILLIMETER, Length, Unit, say_size

SIXTY_FOURTH: Length = Fraction(1, 64)


class Figure(StrEnum):
    """A finished shape of one fabric, and the way it is made where that changes the cut."""

    RECTANGLE = "rectangle"
    SQUARE = "square"
    HALF_SQUARE = "half-square triangle"
    HALF_SQUARE_EIGHT = "half-square triangle, eight at a time"
    QUARTER_SQUARE = "quarter-square triangle"
    GOOSE = "flying geese goose, from triangles"
    GOOSE_SINGLE = "flying geese goose, one at a time"
    GOOSE_FOUR = "flying geese goose, four at a time"
    SKY = "flying geese sky, from triangles"
    SKY_SINGLE = "flying geese sky, one at a time"
    SKY_FOUR = "flying geese sky, four at a time"
    CENTER = "square-in-a-square center, from triangles"
    CENTER_FLIPPED = "square-in-a-square center, flipped corners"
    IN_CORNER = "square-in-a-square corner, from triangles"
    IN_CORNER_FLIPPED = "square-in-a-square corner, flipped corners"
    SETTING = "setting triangle"
    CORNER = "corner triangle"
    STAR_DIAMOND = "eight-point star diamond"
    STAR_CORNER = "eight-point star corner square"
    STAR_SIDE = "eight-point star side triangle"
    HALF_LEFT = "left half-rectangle triangle"
    HALF_RIGHT = "right half-rectangle triangle"
    TRIANGLE_60 = "60° triangle"
    DIAMOND_45 = "45° diamond"
    DIAMOND_60 = "60° diamond"
    HEXAGON = "hexagon"


class FigureSizeError(ValueError):
    """Two measures do not make this figure, with what to type instead as its ``suggestion``."""

    def __init__(self, message: str, suggestion: str) -> None:
        super().__init__(message)
        self.suggestion = suggestion


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRules:
    """What holds for every cut of a pattern."""

    seam: Length = QUARTER_INCH_SEAM  # the seam allowance, inches
    step: Length = EIGHTH  # what sizes with a root in them are rounded up to, inches
    unit: Unit = Unit.INCH  # what the shop thinks in; formulas and messages are said in it
    # what a strip may count on across the fabric, inches
    usable_width: Length = CAUTIOUS_USABLE_WIDTH
    oversize: Length = NOTHING  # what squares are cut larger in order to trim the sewn unit, inches

    def say(self, length: Length) -> str:
        """Say a measure in its unit, without the unit's name."""
        return say_size(length, self.unit)


def rules_of(
    unit: Unit, seam: Length, step: Length | None = None, usable_width: Length | None = None
) -> CutRules:
    """Return the rules of a pattern: up to ⅛ in or 1 mm, and 40 in wide, unless it says more."""
    usual = EIGHTH if unit is Unit.INCH else MILLIMETER
    return CutRules(
        seam=seam,
        step=usual if step is None else step,
        unit=unit,
        usable_width=usable_width or CAUTIOUS_USABLE_WIDTH,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureCut:
    """What one cuts for a figure."""

    width: Length  # the cut width, inches; of a strip its width
    length: Length | None  # the cut length, inches; None for a strip across the fabric
    gives: int  # finished figures of this fabric from one such cut


HALF_RECTANGLES = frozenset({Figure.HALF_LEFT, Figure.HALF_RIGHT})
FROM_STRIPS = frozenset(
    {
        *(Figure.TRIANGLE_60, Figure.DIAMOND_45, Figure.DIAMOND_60, Figure.STAR_DIAMOND),
        Figure.HEXAGON,
    }
)
"""The figures that are cut from strips across the fabric."""

MAY_BE_OVERSIZE = frozenset(
    {
        *(Figure.HALF_SQUARE, Figure.HALF_SQUARE_EIGHT, Figure.QUARTER_SQUARE),
        *(Figure.GOOSE, Figure.GOOSE_FOUR, Figure.SKY, Figure.SKY_FOUR),
        *(Figure.SETTING, Figure.CORNER),
    }
)
"""Figures whose squares may be cut larger, to trim what is sewn of them."""

GIVES: Mapping[Figure, int] = {
    Figure.HALF_SQUARE: 2,
    Figure.HALF_SQUARE_EIGHT: 8,
    Figure.QUARTER_SQUARE: 4,
    Figure.GOOSE: 4,
    Figure.GOOSE_FOUR: 4,
    Figure.SKY: 2,
    Figure.SKY_FOUR: 2,
    Figure.IN_CORNER: 2,
    Figure.SETTING: 4,
    Figure.CORNER: 2,
    Figure.STAR_SIDE: 4,
    Figure.HALF_LEFT: 2,
    Figure.HALF_RIGHT: 2,
}
"""How many figures of one fabric a cut gives; one where it is not named."""

_GEESE = frozenset(figure for figure in Figure if figure.value.startswith("flying geese"))
_SKIES = frozenset({Figure.SKY, Figure.SKY_SINGLE, Figure.SKY_FOUR})


def cut_figure(figure: Figure, width: Length, length: Length | None, rules: CutRules) -> FigureCut:
    """Return what to cut for a finished figure.

    The length is None where one measure says all.

    Raises:
        FigureSizeError: The two measures do not make this figure.
    """
    if rules.oversize and figure not in MAY_BE_OVERSIZE:
        raise FigureSizeError(
            f"a {figure} is not cut oversize and trimmed", "Leave oversize out of the shape."
        )
    finished = finished_measure(figure, width, length)
    if figure in HALF_RECTANGLES:
        other = length or width
        cut = slants.cut_rectangle_for_half_rectangle
        return FigureCut(
            width=cut(width, other, rules.seam, rules.step),
            length=cut(other, width, rules.seam, rules.step),
            gives=GIVES[figure],
        )
    if figure is Figure.RECTANGLE:
        other = width if length is None else length
        return FigureCut(
            width=cut_sizes.cut_rectangle(width, rules.seam),
            length=cut_sizes.cut_rectangle(other, rules.seam),
            gives=1,
        )
    if figure is Figure.GOOSE_SINGLE:
        return FigureCut(
            width=cut_sizes.cut_rectangle(2 * finished, rules.seam),
            length=cut_sizes.cut_rectangle(finished, rules.seam),
            gives=1,
        )
    if figure in FROM_STRIPS:
        strip = _STRIPS[figure](finished, rules)
        return FigureCut(width=strip, length=None, gives=figures_per_strip(figure, strip, rules))
    side = _SIDES[figure](finished, rules)
    return FigureCut(width=side, length=side, gives=GIVES.get(figure, 1))


def finished_measure(figure: Figure, width: Length, length: Length | None) -> Length:
    """Return the one measure a figure's formula starts from, inches.

    Raises:
        FigureSizeError: The two measures do not make this figure.
    """
    said = figure.value
    if figure in (Figure.RECTANGLE, *HALF_RECTANGLES):
        if length is None and figure in HALF_RECTANGLES:
            raise FigureSizeError(f"a {said} has two measures", "Type its width and its length.")
        return width
    if figure in _GEESE:
        return _goose_height(figure, width, length)
    if length is None or length == width:
        return width
    if figure is Figure.QUARTER_SQUARE and 2 * length == width:
        return width
    small, large = sorted((width, length))
    if figure is Figure.TRIANGLE_60 and _is_near(small, 3 * large**2 / 4):
        return small
    if figure is Figure.HEXAGON and _is_near(large, 4 * small**2 / 3):
        return small
    raise FigureSizeError(f"a {said} has one measure, {MEASURES[figure]}", "Type it once.")


def _goose_height(figure: Figure, width: Length, length: Length | None) -> Length:
    if length is not None:
        small, large = sorted((width, length))
        if large == 2 * small or (figure in _SKIES and large == small):
            return small
    raise FigureSizeError(
        "flying geese are twice as wide as high, and both measures are needed",
        "Type the finished width and length of the unit, such as 4 and 2.",
    )


def _is_near(length: Length, square: Fraction) -> bool:
    return abs(length - root_nearest(square, SIXTY_FOURTH)) <= EIGHTH


_UNIT_MEASURE = "that of the finished unit"
MEASURES: Mapping[Figure, str] = {
    **dict.fromkeys(Figure, _UNIT_MEASURE),
    Figure.SQUARE: "its side",
    Figure.HALF_SQUARE: "its short sides",
    Figure.HALF_SQUARE_EIGHT: "its short sides",
    Figure.QUARTER_SQUARE: "its long side",
    **dict.fromkeys(
        (Figure.SETTING, Figure.CORNER, Figure.STAR_DIAMOND, Figure.STAR_CORNER, Figure.STAR_SIDE),
        "the block's",
    ),
    Figure.TRIANGLE_60: "its height",
    Figure.DIAMOND_45: "from side to parallel side",
    Figure.DIAMOND_60: "from side to parallel side",
    Figure.HEXAGON: "from flat side to flat side",
}


_SIDES: Mapping[Figure, Callable[[Length, CutRules], Length]] = {
    **dict.fromkeys(
        (Figure.SQUARE, Figure.SKY_SINGLE, Figure.CENTER_FLIPPED),
        lambda size, rules: cut_sizes.cut_rectangle(size, rules.seam),
    ),
    Figure.IN_CORNER_FLIPPED: lambda unit, rules: cut_sizes.cut_rectangle(unit / 2, rules.seam),
    **dict.fromkeys(
        (Figure.HALF_SQUARE, Figure.SKY, Figure.SKY_FOUR),
        lambda size, rules: cut_sizes.cut_square_for_half_square(
            size, rules.seam, rules.step, rules.oversize
        ),
    ),
    Figure.HALF_SQUARE_EIGHT: lambda size, rules: cut_sizes.cut_square_for_eight_half_squares(
        size, rules.seam, rules.step, rules.oversize
    ),
    Figure.QUARTER_SQUARE: lambda size, rules: cut_sizes.cut_square_for_quarter_square(
        size, rules.seam, rules.step, rules.oversize
    ),
    **dict.fromkeys(
        (Figure.GOOSE, Figure.GOOSE_FOUR),
        lambda height, rules: cut_sizes.cut_square_for_quarter_square(
            2 * height, rules.seam, rules.step, rules.oversize
        ),
    ),
    Figure.CENTER: lambda unit, rules: sewn_units.cut_center_for_square_in_a_square(
        unit, rules.seam, rules.step
    ),
    Figure.IN_CORNER: lambda unit, rules: cut_sizes.cut_square_for_half_square(
        unit / 2, rules.seam, rules.step
    ),
    Figure.SETTING: lambda block, rules: cut_sizes.cut_square_for_setting(
        block, rules.seam, rules.step, oversize=rules.oversize
    ),
    Figure.CORNER: lambda block, rules: cut_sizes.cut_square_for_corners(
        block, rules.seam, rules.step, oversize=rules.oversize
    ),
    Figure.STAR_CORNER: lambda block, rules: _star(block, rules).corner_side,
    Figure.STAR_SIDE: lambda block, rules: _star(block, rules).side_side,
}
"""The side of the square of each figure that comes from one.

Sources, where the function names none: one goose at a time, Charmed Needles, Single Flying
Geese: (w + ½) × (h + ½) and two squares h + ½; four at a time, A-Line Quilts, Fast, Easy
Flying Geese (2011): the squares of quarter- and half-square triangles; flipped corners,
Scissortail Quilting, Square in a Square: f + ½ and f/2 + ½; corners from triangles, class
handout Lesson 5, A Square in a Square: f/2 + ⅞.
"""


def _star(block: Length, rules: CutRules) -> sewn_units.EightPointStar:
    return sewn_units.eight_point_star(block, rules.seam, rules.step)


_STRIPS: Mapping[Figure, Callable[[Length, CutRules], Length]] = {
    Figure.TRIANGLE_60: lambda height, rules: slants.cut_strip_for_sixty_degree_triangle(
        height, rules.seam
    ),
    **dict.fromkeys(
        (Figure.DIAMOND_45, Figure.DIAMOND_60, Figure.HEXAGON),
        lambda height, rules: slants.cut_strip_for_diamond(height, rules.seam),
    ),
    Figure.STAR_DIAMOND: lambda block, rules: _star(block, rules).diamond_strip,
}


def figures_per_strip(figure: Figure, strip_width: Length, rules: CutRules) -> int:
    """Return how many figures a strip across the fabric gives, its slanted first cut included.

    The figure is one of :data:`FROM_STRIPS`; the strip is as long as the usable width of the
    rules.

    Raises:
        FigureSizeError: Not one comes from a strip.
    """
    gives = _per_strip(figure, strip_width, rules.usable_width)
    if gives < 1:
        across = f"{say_size(rules.usable_width, rules.unit)} {rules.unit.value}"
        raise FigureSizeError(
            f"not one {figure} comes from a strip across {across} of fabric",
            "Cut it by hand from a template, and leave it out here.",
        )
    return gives


def _per_strip(figure: Figure, strip_width: Length, usable_width: Length) -> int:
    if figure is Figure.TRIANGLE_60:
        return slants.sixty_degree_triangles_per_strip(usable_width, strip_width)
    blunt = figure in (Figure.DIAMOND_60, Figure.HEXAGON)
    angle = DiamondAngle.DEGREES_60 if blunt else DiamondAngle.DEGREES_45
    return slants.diamonds_per_strip(usable_width, strip_width, angle)
