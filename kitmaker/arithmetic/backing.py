"""The back of a quilt and its filling: sizes, panels, and which way the seams should run.

Panels are whole widths of fabric sewn side by side; their seams run either along the quilt
or across it, and one of the two ways often takes a yard less.

    upright seams                 level seams
    +-----+-----+                 +-----------+
    |     |     |   2 panels as   |           |   panels as long
    |     |     |   long as the   +-----------+   as the backing
    |     |     |   backing       |           |   is wide
    +-----+-----+                 +-----------+

All sizes are inches, with an overhang on each side for the person who quilts it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import ceil

from kitmaker.arithmetic.finishing import CAUTIOUS_USABLE_WIDTH
from kitmaker.lengths import INCH, Length, round_need_up

OVERHANG: Length = Fraction(4)
BACKING_SEAM: Length = Fraction(1, 2)


class SeamDirection(StrEnum):
    """How the seams of a backing run on the quilt."""

    UPRIGHT = "upright"
    LEVEL = "level"


@dataclass(frozen=True, slots=True, kw_only=True)
class BackingWay:
    """A backing pieced in one direction."""

    direction: SeamDirection  # how its seams run
    panel_count: int  # lengths of fabric sewn side by side
    panel_length: Length  # each of them, inches along the selvage

    @property
    def seam_count(self) -> int:
        """Seams to sew."""
        return self.panel_count - 1

    @property
    def length_off_the_bolt(self) -> Length:
        """Inches off the bolt, unrounded."""
        return self.panel_count * self.panel_length


@dataclass(frozen=True, slots=True, kw_only=True)
class Backing:
    """A quilt's backing, both ways."""

    width: Length  # with overhang, inches
    length: Length  # with overhang, inches
    upright: BackingWay  # panels along the quilt's length
    level: BackingWay  # panels across the quilt's width

    @property
    def better(self) -> BackingWay:
        """The way that takes less cloth; among equals fewer seams, then upright."""
        ways = (self.upright, self.level)
        return min(ways, key=lambda way: (way.length_off_the_bolt, way.seam_count))


def backing(
    quilt_width: Length,
    quilt_length: Length,
    usable_width: Length = CAUTIOUS_USABLE_WIDTH,
    overhang: Length = OVERHANG,
    seam: Length = BACKING_SEAM,
) -> Backing:
    """Return the backing in both seam directions.

    A wide backing is the same with its own usable width: one panel, the shorter way.

    The overhang is on *each* side; published figures say 2 to 6, most say 4. The seam allowance
    between panels is lost twice a seam; 0 ignores it, as many printed tables do.

    Source: the overhang of 4, Log House Quilting, Preparing Your Quilt; wide seams between
    panels, About.com Quilting, Quilt Backing.
    """
    width, length = quilt_width + 2 * overhang, quilt_length + 2 * overhang
    return Backing(
        width=width,
        length=length,
        upright=BackingWay(
            direction=SeamDirection.UPRIGHT,
            panel_count=_panels(width, usable_width, seam),
            panel_length=length,
        ),
        level=BackingWay(
            direction=SeamDirection.LEVEL,
            panel_count=_panels(length, usable_width, seam),
            panel_length=width,
        ),
    )


def _panels(covered: Length, usable_width: Length, seam: Length) -> int:
    loss = 2 * seam
    if usable_width <= loss:
        raise ValueError(f"seams of {seam} in eat up panels of {usable_width} in")
    return max(1, ceil((covered - loss) / (usable_width - loss)))


def batting(
    quilt_width: Length, quilt_length: Length, overhang: Length = OVERHANG
) -> tuple[Length, Length]:
    """Return the batting's width and length: the quilt in whole inches, up, and overhang.

    The overhang is on each side; published figures say 2 to 6, most say 4.

    Source: BHG Stylebook, Quilts: Materials Lists: whole inches up, 8 in more each way.
    """
    return (
        round_need_up(quilt_width, INCH) + 2 * overhang,
        round_need_up(quilt_length, INCH) + 2 * overhang,
    )
