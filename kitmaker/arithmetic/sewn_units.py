r"""Sewn units and settings: which squares and rectangles one cuts for them.

Flying geese, a square in a square, and blocks set on point. Each comes back as the pieces
to cut of each fabric, with how many are left over where squares give more than is needed.
All sizes are inches; roots are rounded up as in :mod:`kitmaker.arithmetic.cut_sizes`.

    flying geese (w = 2h)      square in a square       blocks on point (3 x 2)
    +-------+-------+          +-------+                 /\/\/\   8 blocks,
    |     / | \     |          |  / \  |                 \/\/\/   6 sides,
    |  /    |   \   |          |/     \|                 /\/\/\   4 corners
    +-------+-------+          |  \ /  |                 \/\/\/
                               +-------+
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from kitmaker.arithmetic.cut_sizes import (
    NOTHING,
    QUARTER_INCH_SEAM,
    CutRectangles,
    CutSquares,
    Rounding,
    check_finished,
    check_seam,
    cut_rectangle,
    cut_square_for_corners,
    cut_square_for_half_square,
    cut_square_for_quarter_square,
    cut_square_for_setting,
    less_root_up,
    root_sum_up,
    sqrt_up,
)
from kitmaker.lengths import EIGHTH, Length


@dataclass(frozen=True, slots=True, kw_only=True)
class FlyingGeese:
    """What to cut for flying geese, twice as wide as high.

    Attributes:
        geese: The large pieces: rectangles one at a time, squares four at a time.
        sky: The squares that become the small triangles.
    """

    geese: CutRectangles
    sky: CutSquares


def flying_geese_one_at_a_time(
    finished_height: Length, unit_count: int, seam: Length = QUARTER_INCH_SEAM
) -> FlyingGeese:
    """Return rectangles and squares for geese by stitch and flip; no root enters.

    Args:
        finished_height: Half of the finished width, inches.
        unit_count: How many geese.
        seam: The seam allowance, inches.

    Source: Charmed Needles, Single Flying Geese: (w + ½) × (h + ½) and two squares h + ½.
    """
    height = cut_rectangle(finished_height, seam)
    return FlyingGeese(
        geese=CutRectangles(
            cut_width=cut_rectangle(2 * finished_height, seam), cut_length=height, count=unit_count
        ),
        sky=CutSquares(cut_side=height, count=2 * unit_count),
    )


def flying_geese_four_at_a_time(
    finished_height: Length,
    unit_count: int,
    seam: Length = QUARTER_INCH_SEAM,
    step: Length = EIGHTH,
    oversize: Length = NOTHING,
) -> FlyingGeese:
    """Return one large and four small squares for every four geese, without waste.

    The large square is that of quarter-square, the small ones those of half-square
    triangles; cut into triangles first they give the same four geese.

    Args:
        finished_height: Half of the finished width, inches.
        unit_count: How many geese.
        seam: The seam allowance, inches.
        step: What to round up to.
        oversize: What both squares are cut larger in order to trim later.

    Source: A-Line Quilts, Fast, Easy Flying Geese (2011).
    """
    rounds = ceil(Fraction(unit_count, 4))
    large = cut_square_for_quarter_square(2 * finished_height, seam, step, oversize)
    small = cut_square_for_half_square(finished_height, seam, step, oversize)
    spare = 4 * rounds - unit_count
    return FlyingGeese(
        geese=CutRectangles(cut_width=large, cut_length=large, count=rounds, spare_count=spare),
        sky=CutSquares(cut_side=small, count=4 * rounds, spare_count=spare),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SquareInASquare:
    """What to cut for one square-in-a-square unit.

    Attributes:
        center: The square in the middle (by stitch and flip it is the whole base).
        corners: The squares that become the four corners.
    """

    center: CutSquares
    corners: CutSquares


def square_in_a_square_flipped(
    finished_unit: Length, seam: Length = QUARTER_INCH_SEAM
) -> SquareInASquare:
    """Return base and four corner squares for the stitch-and-flip way.

    Source: Scissortail Quilting, Square in a Square: f + ½ and four of f/2 + ½.
    """
    return SquareInASquare(
        center=CutSquares(cut_side=cut_rectangle(finished_unit, seam), count=1),
        corners=CutSquares(cut_side=cut_rectangle(finished_unit / 2, seam), count=4),
    )


def square_in_a_square_with_triangles(
    finished_unit: Length, seam: Length = QUARTER_INCH_SEAM, step: Length = EIGHTH
) -> SquareInASquare:
    """Return center square and two squares cut once, from the size of the finished unit.

    The finished center is the unit over √2, the corner triangles' short sides half a unit.

    Source: class handout Lesson 5, A Square in a Square: f/2 × 1.414 + ½ and f/2 + ⅞.
    """
    check_finished(finished_unit)
    check_seam(seam)
    center = root_sum_up(2 * seam, finished_unit**2 / 2, step)
    corner = cut_square_for_half_square(finished_unit / 2, seam, step)
    return SquareInASquare(
        center=CutSquares(cut_side=center, count=1), corners=CutSquares(cut_side=corner, count=2)
    )


def square_in_a_square_around(
    finished_center: Length, seam: Length = QUARTER_INCH_SEAM, step: Length = EIGHTH
) -> SquareInASquare:
    """Return center square and two squares cut once, from the finished center.

    The corner squares are those of the corner triangles of a block set on point.

    Source: class handout Lesson 5, A Square in a Square: c/1.414 + ⅞.
    """
    return SquareInASquare(
        center=CutSquares(cut_side=cut_rectangle(finished_center, seam), count=1),
        corners=CutSquares(cut_side=cut_square_for_corners(finished_center, seam, step), count=2),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class EightPointStar:
    """What to cut for one star of eight 45° diamonds, four squares and four triangles.

    Attributes:
        diamond_strip: The width of the strips for the diamonds, inches.
        corners: The squares in the block's corners.
        sides: The square, cut twice, for the triangles on the block's edges.
    """

    diamond_strip: Length
    corners: CutSquares
    sides: CutSquares


def eight_point_star(
    finished_block: Length, seam: Length = QUARTER_INCH_SEAM, step: Length = EIGHTH
) -> EightPointStar:
    """Return strip and squares for one eight-point star, from the finished block.

    Along an edge lie a corner square, a triangle's long side and a corner square:
    s + s √2 + s is the block, so a diamond's side s is block ÷ (2 + √2), exactly
    block - block ÷ √2. The long side s √2 is block × √2 - block; the diamonds are s ÷ √2
    from side to parallel side, half of that.

    Source: Karen Combs, Formulas for Quilters (2002): block = 3.41 × the diamond's side.
    """
    check_finished(finished_block)
    check_seam(seam)
    block, half = finished_block, finished_block**2 / 2
    return EightPointStar(
        diamond_strip=root_sum_up(2 * seam - block / 2, half, step),
        corners=CutSquares(cut_side=less_root_up(block + 2 * seam, half, step), count=4),
        sides=CutSquares(
            cut_side=root_sum_up(2 * seam - block, 2 * (block + 2 * seam) ** 2, step), count=1
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class OnPointSetting:
    """The parts of a quilt whose blocks stand on point.

    Attributes:
        block_count: All blocks, the ones between the rows included.
        sides: Squares cut twice for the triangles along the edges.
        corners: Squares cut once for the four corners.
        finished_width: The quilt center's width, rounded up to the step, inches.
        finished_length: Its length, likewise.
    """

    block_count: int
    sides: CutSquares
    corners: CutSquares
    finished_width: Length
    finished_length: Length


def on_point_setting(
    blocks_across: int,
    blocks_down: int,
    finished_block: Length,
    seam: Length = QUARTER_INCH_SEAM,
    step: Length = EIGHTH,
    rounding: Rounding = Rounding.ONCE,
) -> OnPointSetting:
    """Return blocks, setting and corner squares for blocks on point, points touching the edge.

    Between m × n blocks stand (m - 1)(n - 1) more; 2 (m - 1) + 2 (n - 1) side triangles
    fill the edges.

    Args:
        blocks_across: Blocks whose points stand along the top edge.
        blocks_down: Blocks whose points stand along a side edge.
        finished_block: The block, with its sashing where it has some, inches.
        seam: The seam allowance, inches.
        step: What to round up to.
        rounding: Once, or each part as printed charts do.

    Source: counts by drawing it, common practice.
    """
    if blocks_across < 1 or blocks_down < 1:
        raise ValueError("a quilt on point has at least one block each way")
    triangles = 2 * (blocks_across - 1) + 2 * (blocks_down - 1)
    side_squares = ceil(Fraction(triangles, 4))
    return OnPointSetting(
        block_count=blocks_across * blocks_down + (blocks_across - 1) * (blocks_down - 1),
        sides=CutSquares(
            cut_side=cut_square_for_setting(finished_block, seam, step, rounding),
            count=side_squares,
            spare_count=4 * side_squares - triangles,
        ),
        corners=CutSquares(
            cut_side=cut_square_for_corners(finished_block, seam, step, rounding), count=2
        ),
        finished_width=sqrt_up(2 * (blocks_across * finished_block) ** 2, step),
        finished_length=sqrt_up(2 * (blocks_down * finished_block) ** 2, step),
    )
