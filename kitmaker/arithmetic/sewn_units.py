r"""Sewn units and settings: an eight-point star, a square in a square, blocks on point.

All sizes are inches; roots are rounded up as in :mod:`kitmaker.arithmetic.cut_sizes`.

    square in a square       eight-point star       blocks on point (3 x 2)
    +-------+                +---+----+---+          /\/\/\   8 blocks,
    |  / \  |                | s | /\ | s |          \/\/\/   6 sides,
    |/     \|                +---+    +---+          /\/\/\   4 corners
    |  \ /  |                  s √2 between two s
    +-------+
"""

from __future__ import annotations

from dataclasses import dataclass

from kitmaker.arithmetic.cut_sizes import (
    QUARTER_INCH_SEAM,
    check_finished,
    check_seam,
    less_root_up,
    root_sum_up,
    sqrt_up,
)
from kitmaker.lengths import EIGHTH, Length


def cut_center_for_square_in_a_square(
    finished_unit: Length, seam: Length = QUARTER_INCH_SEAM, step: Length = EIGHTH
) -> Length:
    """Return the side of the center square, from the size of the finished unit.

    The finished center is the unit over √2.

    Source: class handout Lesson 5, A Square in a Square: f/2 × 1.414 + ½.
    """
    check_finished(finished_unit)
    check_seam(seam)
    return root_sum_up(2 * seam, finished_unit**2 / 2, step)


@dataclass(frozen=True, slots=True, kw_only=True)
class EightPointStar:
    """What to cut for a star of eight 45° diamonds, four squares and four triangles."""

    diamond_strip: Length  # the width of the strips for the diamonds, inches
    corner_side: Length  # of the squares in the block's corners, inches
    side_side: Length  # of the square, cut twice, for the triangles on the block's edges, inches


def eight_point_star(
    finished_block: Length, seam: Length = QUARTER_INCH_SEAM, step: Length = EIGHTH
) -> EightPointStar:
    """Return strip and squares for an eight-point star, from the finished block.

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
        corner_side=less_root_up(block + 2 * seam, half, step),
        side_side=root_sum_up(2 * seam - block, 2 * (block + 2 * seam) ** 2, step),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class OnPointSetting:
    """A quilt whose blocks stand on point."""

    block_count: int  # all blocks, the ones between the rows included
    side_triangles: int  # triangles along the edges; four more fill the corners
    finished_width: Length  # the quilt center's width, rounded up to the step, inches
    finished_length: Length  # its length, likewise


def on_point_setting(
    blocks_across: int, blocks_down: int, finished_block: Length, step: Length = EIGHTH
) -> OnPointSetting:
    """Return blocks, triangles and size of blocks on point whose points touch the edge.

    Between m × n blocks stand (m - 1)(n - 1) more; 2 (m - 1) + 2 (n - 1) side triangles
    fill the edges.

    Blocks across stand with their points along the top edge, blocks down along a side edge; a
    block is taken with its sashing where it has some.

    Source: counts by drawing it, common practice.
    """
    if blocks_across < 1 or blocks_down < 1:
        raise ValueError("a quilt on point has at least one block each way")
    return OnPointSetting(
        block_count=blocks_across * blocks_down + (blocks_across - 1) * (blocks_down - 1),
        side_triangles=2 * (blocks_across - 1) + 2 * (blocks_down - 1),
        finished_width=sqrt_up(2 * (blocks_across * finished_block) ** 2, step),
        finished_length=sqrt_up(2 * (blocks_down * finished_block) ** 2, step),
    )
