"""Slanted pieces that are neither half- nor quarter-squares: what they are cut from.

Half-rectangle triangles come from rectangles; 60° triangles, diamonds and hexagons from
strips that are cut again at an angle. How many a strip gives counts what the slanted
first cut takes. All sizes are inches.
"""

from __future__ import annotations

from enum import StrEnum

from kitmaker.arithmetic.cut_sizes import (
    QUARTER_INCH_SEAM,
    check_finished,
    check_seam,
    cut_rectangle,
    root_sum_up,
    whole_root_down,
)
from kitmaker.lengths import EIGHTH, Length


def cut_rectangle_for_half_rectangle(
    leg: Length, other: Length, seam: Length = QUARTER_INCH_SEAM, step: Length = EIGHTH
) -> Length:
    """Return one side of the rectangle that, cut once corner to corner, gives two triangles.

    With legs a and b and the long side c, leg a grows by seam (1 + (a + c)/b): what to add
    depends on the legs, there is no one number. Triangles of the other slant are mirror
    images, another piece, and come from rectangles cut along the other diagonal with the
    same side up.

    Source: geometry; Generations Quilt Patterns, Cutting Triangles from Rectangles, states
    that no standard number exists.
    """
    check_finished(leg, other)
    check_seam(seam)
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


def sixty_degree_triangles_per_strip(usable_width: Length, cut_height: Length) -> int:
    """Return how many 60° triangles, heads and tails in turn, a strip gives; below one none.

    n triangles of base b lie on (n + 1) b/2 of the strip; b is 2 height ÷ √3.
    """
    return whole_root_down(3 * usable_width**2 / cut_height**2) - 1


class DiamondAngle(StrEnum):
    """The sharp angle of a diamond."""

    DEGREES_45 = "45°"
    DEGREES_60 = "60°"


def cut_strip_for_diamond(finished_height: Length, seam: Length = QUARTER_INCH_SEAM) -> Length:
    """Return the strip's width for diamonds of any angle, cut again at the same width.

    A hexagon, flat side to flat side, is a 60° diamond with two tips taken off.

    The height is that between two parallel sides of the finished diamond.

    Source: The Quilter's Bible: height + ½ at a ¼ in seam (its hexagons come from 45°
    diamonds, a mistake in print: they must be 60°).
    """
    return cut_rectangle(finished_height, seam)


def diamonds_per_strip(usable_width: Length, cut_height: Length, angle: DiamondAngle) -> int:
    """Return how many diamonds a strip gives, slanted first cut included; below one none.

    A diamond takes height ÷ sin(angle) of the strip, the first cut height ÷ tan(angle).
    """
    if usable_width < cut_height:
        return 0
    if angle is DiamondAngle.DEGREES_45:
        rest = usable_width - cut_height
        return whole_root_down(rest**2 / (2 * cut_height**2))
    return sixty_degree_triangles_per_strip(usable_width, cut_height) // 2
