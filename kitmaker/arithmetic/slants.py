"""Slanted pieces that are neither half- nor quarter-squares: what they are cut from.

Half-rectangle triangles come from rectangles; 60° triangles, diamonds and hexagons from
strips that are cut again at an angle. How many a strip gives counts what the slanted
first cut takes. All sizes are inches.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from math import ceil, floor

from kitmaker.arithmetic.cut_sizes import (
    QUARTER_INCH_SEAM,
    CutRectangles,
    check_finished,
    check_seam,
    cut_rectangle,
    root_sum_up,
    sqrt_up,
    whole_root_down,
)
from kitmaker.lengths import EIGHTH, Length


def half_rectangle_triangles(
    finished_width: Length,
    finished_length: Length,
    triangle_count: int,
    seam: Length = QUARTER_INCH_SEAM,
    step: Length = EIGHTH,
) -> CutRectangles:
    """Return the rectangles, cut once corner to corner, for triangles of *one* slant.

    With legs a and b and the long side c, leg a grows by seam (1 + (a + c)/b): what to add
    depends on the legs, there is no one number. Triangles of the other slant are mirror
    images, another piece, and come from rectangles cut along the other diagonal with the
    same side up.

    Args:
        finished_width: One leg of the finished triangle, inches.
        finished_length: The other leg, inches.
        triangle_count: How many triangles of this slant; a rectangle gives two.
        seam: The seam allowance, inches.
        step: What to round up to.

    Source: geometry; Generations Quilt Patterns, Cutting Triangles from Rectangles, states
    that no standard number exists.
    """
    check_finished(finished_width, finished_length)
    check_seam(seam)
    count = ceil(Fraction(triangle_count, 2))
    return CutRectangles(
        cut_width=_grown_leg(finished_width, finished_length, seam, step),
        cut_length=_grown_leg(finished_length, finished_width, seam, step),
        count=count,
        spare_count=2 * count - triangle_count,
    )


def _grown_leg(leg: Length, other: Length, seam: Length, step: Length) -> Length:
    plain = leg + seam * (1 + leg / other)
    return root_sum_up(plain, seam**2 * (leg**2 + other**2) / other**2, step)


def cut_strip_for_sixty_degree_triangle(
    finished_height: Length, seam: Length = QUARTER_INCH_SEAM
) -> Length:
    """Return the strip's width for 60° triangles, points included: height + three seams.

    Source: The Quilter's Bible: finished height + ¾ at a ¼ in seam.
    """
    check_finished(finished_height)
    check_seam(seam)
    return finished_height + 3 * seam


def sixty_degree_triangle_base(height: Length, step: Length = EIGHTH) -> Length:
    """Return the side of an equal-sided triangle of a height, rounded up: 2 height ÷ √3."""
    return sqrt_up(Fraction(4, 3) * height**2, step)


def sixty_degree_triangles_per_strip(usable_width: Length, cut_height: Length) -> int:
    """Return how many 60° triangles, heads and tails in turn, a strip gives.

    n triangles of base b lie on (n + 1) b/2 of the strip; b is 2 height ÷ √3.
    """
    return max(0, whole_root_down(3 * usable_width**2 / cut_height**2) - 1)


def triangles_per_strip_by_base(usable_width: Length, cut_base: Length) -> int:
    """Return how many equal triangles, heads and tails in turn, a strip gives."""
    return max(0, floor(2 * usable_width / cut_base) - 1)


class DiamondAngle(StrEnum):
    """The sharp angle of a diamond."""

    DEGREES_45 = "45°"
    DEGREES_60 = "60°"


def cut_strip_for_diamond(finished_height: Length, seam: Length = QUARTER_INCH_SEAM) -> Length:
    """Return the strip's width for diamonds of any angle, cut again at the same width.

    Args:
        finished_height: Between two parallel sides of the finished diamond, inches.
        seam: The seam allowance, inches.

    Source: The Quilter's Bible: height + ½ at a ¼ in seam.
    """
    return cut_rectangle(finished_height, seam)


def diamonds_per_strip(usable_width: Length, cut_height: Length, angle: DiamondAngle) -> int:
    """Return how many diamonds a strip gives, the slanted first cut included.

    A diamond takes height ÷ sin(angle) of the strip, the first cut height ÷ tan(angle).
    """
    if usable_width < cut_height:
        return 0
    if angle is DiamondAngle.DEGREES_45:
        rest = usable_width - cut_height
        return whole_root_down(rest**2 / (2 * cut_height**2))
    return max(0, (whole_root_down(3 * usable_width**2 / cut_height**2) - 1) // 2)


def cut_strip_for_hexagon(finished_height: Length, seam: Length = QUARTER_INCH_SEAM) -> Length:
    """Return the strip's width for hexagons, flat side to flat side.

    The strip is cut into 60° diamonds, then two tips are taken off each.

    Source: The Quilter's Bible (which prints 45° diamonds: they must be 60°).
    """
    return cut_rectangle(finished_height, seam)


def hexagons_per_strip(usable_width: Length, cut_height: Length) -> int:
    """Return how many hexagons a strip gives by way of 60° diamonds."""
    return diamonds_per_strip(usable_width, cut_height, DiamondAngle.DEGREES_60)
