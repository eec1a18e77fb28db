r"""Sewing what is too long of shorter parts: what a seam takes, and how long the parts are.

What a seam takes depends on how it is sewn.

    straight: two seam allowances             45°: the strips cross at a right angle
    =======+=======                           =========\
    loses ½ in                                loses     \=========   the strip's width

n parts take n - 1 seams. All sizes are inches. Values only, no files.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from math import ceil

from kitmaker.arithmetic.cut_sizes import QUARTER_INCH_SEAM
from kitmaker.lengths import EIGHTH, Length, round_need_up

SHORTEST_PART: Length = Fraction(4)
"""Inches: no shorter part is sewn into a piece. Common practice, no source."""
NARROWEST_SEAMED: Length = Fraction(2)
"""Inches: no seam is sewn across a narrower piece. Common practice, no source."""


class Join(StrEnum):
    """How two strips are sewn end to end."""

    STRAIGHT = "straight"
    """Square ends: loses two seam allowances. The way of borders."""

    DIAGONAL = "45°"
    """Slanted ends: loses the strip's width. The way of bindings."""


def join_loss(join: Join, strip_width: Length, seam: Length = QUARTER_INCH_SEAM) -> Length:
    """Return what one seam takes of the length, inches.

    Source: geometry.
    """
    return strip_width if join is Join.DIAGONAL else 2 * seam


def joined_strips(
    total: Length,
    usable_width: Length,
    strip_width: Length,
    join: Join,
    seam: Length = QUARTER_INCH_SEAM,
) -> int:
    """Return how many strips, sewn end to end, give a running length.

    n strips of usable width W give n W - (n - 1) loss.

    Raises:
        ValueError: No length, or strips so short that a join eats them up.

    Source: geometry.
    """
    loss = join_loss(join, strip_width, seam)
    if total <= 0 or strip_width <= 0:
        raise ValueError(f"a running length of {total} in, {strip_width} in wide, is none")
    if usable_width <= loss:
        raise ValueError(f"a join that costs {loss} in eats up a strip of {usable_width} in")
    return max(1, ceil((total - loss) / (usable_width - loss)))


def sewn_length(count: int, part_length: Length, loss: Length) -> Length:
    """Return the length that equal parts give once they are sewn end to end, inches.

    Source: geometry.
    """
    return count * part_length - (count - 1) * loss


def equal_parts(length: Length, count: int, loss: Length, step: Length = EIGHTH) -> Length:
    """Return how long equal parts must be that are sewn into a length, rounded up.

    Source: geometry.
    """
    return round_need_up((length + (count - 1) * loss) / count, step)
