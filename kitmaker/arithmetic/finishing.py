"""Bindings, borders and sashing: how much of what to cut.

Binding and long borders are *joined lengths*: strips sewn end to end (:mod:`joins`). Where
published rules disagree (the allowance on a binding, whether joins are counted at all), the
figure is a parameter.

All sizes are inches; *across* is selvage to selvage. Values only, no files.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from kitmaker.arithmetic.cut_sizes import (
    NOTHING,
    QUARTER_INCH_SEAM,
    cut_rectangle,
    quarter_square_allowance,
    sqrt_up,
)
from kitmaker.arithmetic.joins import Join, joined_strips
from kitmaker.lengths import EIGHTH, INCH, Length

CAUTIOUS_USABLE_WIDTH: Length = Fraction(40)
"""What one may count on across a quilting cotton. Source: most published binding rules."""

BINDING_STRIP: Length = Fraction(5, 2)
BINDING_ALLOWANCE: Length = Fraction(10)


def bias_square_side(length: Length, strip_width: Length, step: Length = INCH) -> Length:
    """Return the side of the square that gives a length of bias strip: √(length × width).

    Source: Quilters Question Time, How Do I Calculate How Much Fabric I Need for Bias
    Binding (2021).
    """
    return sqrt_up(length * strip_width, step)


@dataclass(frozen=True, slots=True, kw_only=True)
class Borders:
    """The four strips of one border, in cut sizes."""

    cut_width: Length  # of all four, inches
    side_cut_length: Length  # of the two at the sides
    end_cut_length: Length  # of the two at top and bottom

    @property
    def cut_lengths(self) -> tuple[Length, Length, Length, Length]:
        """The four cut lengths, sides first."""
        side, end = self.side_cut_length, self.end_cut_length
        return (side, side, end, end)


def butted_borders(
    finished_width: Length,
    finished_length: Length,
    finished_border: Length,
    seam: Length = QUARTER_INCH_SEAM,
) -> Borders:
    """Return borders with square corners: sides first, then top and bottom over them.

    Width and length are what the border goes round, finished.

    Source: Annie's, Determining Border Lengths.
    """
    return Borders(
        cut_width=cut_rectangle(finished_border, seam),
        side_cut_length=cut_rectangle(finished_length, seam),
        end_cut_length=cut_rectangle(finished_width + 2 * finished_border, seam),
    )


def mitered_borders(
    finished_width: Length,
    finished_length: Length,
    finished_border: Length,
    seam: Length = QUARTER_INCH_SEAM,
    step: Length = EIGHTH,
) -> Borders:
    """Return borders with 45° corners: each as long as the outer edge, and a little over.

    Width and length are what the border goes round, finished.

    Each is the side and two border widths and what the slanted ends with their seams take,
    2 seam (1 + √2), rounded up.

    Source: Quilting Board thread, 45 Degree Border Math: X + 2Y + 1.
    """
    over = quarter_square_allowance(seam, step)
    return Borders(
        cut_width=cut_rectangle(finished_border, seam),
        side_cut_length=finished_length + 2 * finished_border + over,
        end_cut_length=finished_width + 2 * finished_border + over,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BorderCloth:
    """What strips longer than the fabric is wide take, cut either way."""

    crosswise_strip_count: int  # strips across the fabric, sewn into one run
    crosswise_length: Length  # inches off the bolt
    lengthwise_length: Length  # inches off the bolt when cut along the selvage without a join


def border_cloth(
    width: Length,
    cut_lengths: Sequence[Length],
    usable_width: Length = CAUTIOUS_USABLE_WIDTH,
) -> BorderCloth:
    """Return both amounts for long strips of one width: across with joins, along without.

    Raises:
        ValueError: They are wider than the fabric.

    Source: laid out by hand, common practice.
    """
    columns = floor(usable_width / width)
    if columns < 1:
        raise ValueError(f"a border of {width} in is wider than {usable_width} in of fabric")
    strips = joined_strips(sum(cut_lengths, NOTHING), usable_width, width, Join.STRAIGHT)
    return BorderCloth(
        crosswise_strip_count=strips,
        crosswise_length=strips * width,
        lengthwise_length=sum(sorted(cut_lengths, reverse=True)[::columns], NOTHING),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sashing:
    """Sashes and cornerstones of a quilt of square blocks."""

    sash_cut_width: Length  # inches
    sash_cut_length: Length  # inches
    upright_count: int  # sashes that stand between blocks of a row
    level_count: int  # sashes that lie between rows; of a one-way print another cut
    cornerstone_cut_side: Length  # inches
    cornerstone_count: int  # where sashes cross
    finished_width: Length  # blocks and sashes together, inches
    finished_length: Length  # likewise

    @property
    def sash_count(self) -> int:
        """All sashes."""
        return self.upright_count + self.level_count


def sashing(
    blocks_across: int,
    blocks_down: int,
    finished_block: Length,
    finished_sash: Length,
    *,
    all_round: bool = True,
    seam: Length = QUARTER_INCH_SEAM,
) -> Sashing:
    """Return sashes and cornerstones, all round the blocks or only between them.

    All round m × n blocks stand (m + 1) n upright and m (n + 1) level sashes and
    (m + 1)(n + 1) cornerstones.

    Source: Susan in Texas, Algorithms for Cornerstones and Sashes (2009).
    """
    if blocks_across < 1 or blocks_down < 1:
        raise ValueError("sashing goes round at least one block")
    more = 1 if all_round else -1
    lines_across, lines_down = blocks_across + more, blocks_down + more
    return Sashing(
        sash_cut_width=cut_rectangle(finished_sash, seam),
        sash_cut_length=cut_rectangle(finished_block, seam),
        upright_count=lines_across * blocks_down,
        level_count=blocks_across * lines_down,
        cornerstone_cut_side=cut_rectangle(finished_sash, seam),
        cornerstone_count=lines_across * lines_down,
        finished_width=blocks_across * finished_block + lines_across * finished_sash,
        finished_length=blocks_down * finished_block + lines_down * finished_sash,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BiasSquares:
    """Squares that give a bias binding."""

    side: Length  # of each, inches
    count: int  # how many; more than one where a single square would be wider than the fabric


def bias_squares(
    length: Length,
    strip_width: Length,
    usable_width: Length = CAUTIOUS_USABLE_WIDTH,
    step: Length = INCH,
) -> BiasSquares:
    """Return the fewest equal squares, none wider than the fabric, for a length of bias strip.

    Source: :func:`bias_square_side` for each square's share.
    """
    count = 1
    while (side := bias_square_side(length / count, strip_width, step)) > usable_width:
        count += 1
    return BiasSquares(side=side, count=count)
