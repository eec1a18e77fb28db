"""From the finished size to the cut size, exactly, for any seam allowance.

A *finished* size is what shows in the quilt, a *cut* size what leaves the ruler. For a
square they differ by two seam allowances; where a seam meets a corner at a slant, the
difference holds a square root. Such a size is never computed as a float: it is bounded
with whole numbers and rounded up to a step a ruler shows, the eighth of an inch unless
asked otherwise. A piece cut a hair large can be trimmed, one cut small cannot be mended.

    cut square of a half-square triangle          cut square of a quarter-square triangle
    +-----------+  side = finished                +-----------+  side = finished long side
    | .         |       + seam (2 + √2)           | .       . |       + 2 seam (1 + √2)
    |   .       |                                 |   .   .   |
    |     .     |  at a ¼ in seam: 0.854,         |     .     |  at a ¼ in seam: 1.207,
    |       .   |  which the trade says as ⅞      |   .   .   |  which the trade says as 1¼
    +-----------+                                 +-----------+

All sizes are inches. Every function takes the seam allowance and, where a root enters,
the step to round up to. Non-rectangular pieces come from the strip, square or rectangle
that a person would cut them from.

Source, where a function names none: plane geometry; the rules at a ¼ in seam are
Karen Combs, Formulas for Quilters (2002).
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor, isqrt

from kitmaker.lengths import EIGHTH, Length

QUARTER_INCH_SEAM: Length = Fraction(1, 4)
"""The seam allowance unless a pattern says otherwise."""

NOTHING: Length = Fraction(0)


def whole_root_up(number: Fraction) -> int:
    """Return the least whole number whose square is at least ``number``."""
    least_square = ceil(number)
    return 0 if least_square <= 0 else isqrt(least_square - 1) + 1


def whole_root_down(number: Fraction) -> int:
    """Return the greatest whole number whose square is at most ``number``."""
    return isqrt(floor(number))


def sqrt_up(number: Fraction, step: Length = EIGHTH) -> Length:
    """Return the least multiple of ``step`` whose square is at least ``number``."""
    return root_sum_up(NOTHING, number, step)


def root_sum_up(plain: Fraction, square: Fraction, step: Length = EIGHTH) -> Length:
    """Return the least multiple of ``step`` not below ``plain + √square``, exactly.

    With ``plain/step = p/q`` and a multiple ``k·step``, the claim is that the whole number
    ``k·q - p`` is at least ``√(square·q²/step²)``: whole numbers on both sides.

    Raises:
        ValueError: The number under the root is negative or the step is not positive.
    """
    if square < 0 or step <= 0:
        raise ValueError(f"no root of {square} in steps of {step}")
    steps = plain / step
    root = whole_root_up(square * steps.denominator**2 / step**2)
    return ceil(Fraction(steps.numerator + root, steps.denominator)) * step


def less_root_up(plain: Fraction, square: Fraction, step: Length = EIGHTH) -> Length:
    """Return the least multiple of ``step`` not below ``plain - √square``, exactly.

    As in :func:`root_sum_up`, with the root taken away: the greatest whole root counts.
    """
    steps = plain / step
    root = whole_root_down(square * steps.denominator**2 / step**2)
    return ceil(Fraction(steps.numerator - root, steps.denominator)) * step


def root_nearest(square: Fraction, step: Length = EIGHTH) -> Length:
    """Return the multiple of ``step`` nearest to ``√square``: for reading, not for cutting."""
    return Fraction((whole_root_down(4 * square / step**2) + 1) // 2) * step


def check_finished(*lengths: Length) -> None:
    """Hold that finished sizes are more than nothing; else a ValueError."""
    for length in lengths:
        if length <= 0:
            raise ValueError(f"a finished size must be more than nothing, not {length}")


def check_seam(seam: Length) -> None:
    """Hold that a seam allowance is not negative; else a ValueError."""
    if seam < 0:
        raise ValueError(f"a seam allowance cannot be {seam}")


def cut_rectangle(finished: Length, seam: Length = QUARTER_INCH_SEAM) -> Length:
    """Return the cut width or length of a square or rectangle: one seam on either side."""
    check_finished(finished)
    check_seam(seam)
    return finished + 2 * seam


def quarter_square_allowance(seam: Length = QUARTER_INCH_SEAM, step: Length = EIGHTH) -> Length:
    """Return what to add for a square cut twice on the diagonal: 1¼ in at a ¼ in seam."""
    return root_sum_up(2 * seam, 8 * seam**2, step)


def cut_square_for_half_square(
    finished: Length,
    seam: Length = QUARTER_INCH_SEAM,
    step: Length = EIGHTH,
    oversize: Length = NOTHING,
) -> Length:
    """Return the side of the square that, cut once on the diagonal, gives two triangles.

    Exact: finished + seam (2 + √2), rounded up to ``step``.

    ``finished`` is a short (square-cornered) side of the finished triangle, ``oversize`` what
    is cut larger in order to trim the sewn unit later; ¼ in to 1 in are usual, sources differ.

    Source: Karen Combs, Formulas for Quilters (2002): finished + ⅞ at a ¼ in seam.
    """
    check_finished(finished)
    check_seam(seam)
    return root_sum_up(finished + 2 * seam, 2 * seam**2, step) + oversize


def cut_square_for_quarter_square(
    finished: Length,
    seam: Length = QUARTER_INCH_SEAM,
    step: Length = EIGHTH,
    oversize: Length = NOTHING,
) -> Length:
    """Return the side of the square that, cut twice on the diagonal, gives four triangles.

    Exact: finished + 2 seam (1 + √2), rounded up to ``step``.

    ``finished`` is the long side of the finished triangle, ``oversize`` what is cut larger in
    order to trim the sewn unit later.

    Source: Karen Combs, Formulas for Quilters (2002): finished + 1¼ at a ¼ in seam.
    """
    check_finished(finished)
    check_seam(seam)
    return root_sum_up(finished + 2 * seam, 8 * seam**2, step) + oversize


def cut_square_for_eight_half_squares(
    finished: Length,
    seam: Length = QUARTER_INCH_SEAM,
    step: Length = EIGHTH,
    oversize: Length = NOTHING,
) -> Length:
    """Return the side of the two squares that, sewn and cut apart, give eight sewn units.

    Each quarter of the pair gives two units, so the side is twice that for two:
    2 finished + 2 seam (2 + √2), rounded up to ``step``.

    ``finished`` is the side of a finished unit, ``oversize`` what each quarter is cut larger in
    order to trim later; it counts twice.

    Source: Ashley Tomlinson, Half-Square Triangles 8 at a Time: 2 (finished + ⅞).
    """
    check_finished(finished)
    check_seam(seam)
    return root_sum_up(2 * finished + 4 * seam, 8 * seam**2, step) + 2 * oversize


def cut_square_for_setting(
    finished_block: Length,
    seam: Length = QUARTER_INCH_SEAM,
    step: Length = EIGHTH,
    oversize: Length = NOTHING,
) -> Length:
    """Return the side of the square, cut twice, for the side triangles of blocks on point.

    Exact: finished block × √2 + 2 seam (1 + √2). The long side, on the quilt's edge, keeps
    the straight grain.

    The block is taken with its sashing where it has some; ``oversize`` is what is cut larger in
    order to trim the quilt's edge later.

    Source: Moonlight Quilters guild, On-Point Settings: f × 1.414 (up to ⅛) + 1¼.
    """
    check_finished(finished_block)
    check_seam(seam)
    return root_sum_up(2 * seam, 2 * (finished_block + 2 * seam) ** 2, step) + oversize


def cut_square_for_corners(
    finished_block: Length,
    seam: Length = QUARTER_INCH_SEAM,
    step: Length = EIGHTH,
    oversize: Length = NOTHING,
) -> Length:
    """Return the side of the square, cut once, for the corners of a quilt set on point.

    Exact: finished block ÷ √2 + seam (2 + √2); two squares give all four corners.

    The block and ``oversize`` as for :func:`cut_square_for_setting`.

    Source: Moonlight Quilters guild, On-Point Settings: f ÷ 1.414 (up to ⅛) + ⅞.
    """
    check_finished(finished_block)
    check_seam(seam)
    return root_sum_up(2 * seam, 2 * (finished_block / 2 + seam) ** 2, step) + oversize


def finished_from_cut(cut: Length, seam: Length = QUARTER_INCH_SEAM) -> Length:
    """Return what a square or rectangle cut to a size shows in the quilt.

    Raises:
        ValueError: The two seams take all of it.
    """
    if cut <= 2 * seam:
        raise ValueError(f"two seams of {seam} in leave nothing of {cut} in")
    return cut - 2 * seam


def ruler_positions(
    cut_size: Length, count: int, reach: Length | None = None
) -> tuple[Length, ...]:
    """Return where the ruler lies for a number of equal cuts without moving the cloth.

    Every position counts from the straightened edge (2½, 5, 7½ …), so that the small error
    of one cut is not added to the next; past the ruler's end it counts from the edge that the
    last cut has made.

    Source: D. Caffrey, Cut to It: Strategies for Smarter Quilting (2014), target numbers; that
    the ruler ends is common practice.

    Args:
        cut_size: Inches of one cut.
        count: How many cuts.
        reach: What the ruler shows at most; None for any position.
    """
    positions: list[Length] = []
    at = Fraction(0)
    for _ in range(count):
        at = cut_size if reach is not None and at + cut_size > reach else at + cut_size
        positions.append(at)
    return tuple(positions)


def cross_cuts_from(segment_length: Length, cross_cut: Length) -> int:
    """Return how many whole cross-cuts a strip set gives whose strips have this length.

    All strips of a set are cut in the same segments: 3½ in gives 11 from 40 in, but 5 from
    each of two halves of 20 in.
    """
    return floor(segment_length / cross_cut)
