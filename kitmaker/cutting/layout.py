"""How one sheet of cloth is cut: a tree of edge-to-edge cuts, in exact inches.

A ruler and a rotary cutter cut from one edge of a part to the other, so a layout is a
tree. Each inner part is cut by one round of parallel cuts into parts that lie side by
side; each leaf is a piece or an offcut::

    across ->                       cut ALONG  (ruler lies across the cloth; strips)
    +-----------+-----------+  a    |- strip, cut ACROSS: a a
    |     a     |     a     |  l    |- strip, cut ACROSS: b b b, offcut
    +-------+-------+-------+  o
    |   b   |   b   |   b |#|  n
    +-------+-------+-------+  g

``Axis.ALONG`` means that the parts follow one another *along* the selvage (the cuts run
across); ``Axis.ACROSS`` that they stand side by side *across* the cloth (the cuts run
along). Positions count from one corner of the usable area: x across, y along.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from kitmaker.lengths import Length


class Axis(StrEnum):
    """The direction in which the parts of a cut part follow one another."""

    ACROSS = "across"
    ALONG = "along"

    @property
    def other(self) -> Axis:
        """The other direction."""
        return Axis.ALONG if self is Axis.ACROSS else Axis.ACROSS


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece in its place.

    Attributes:
        key: Which demand it serves.
        x, y: The corner nearest the origin, inches across and along.
        w, h: Its measures across and along, inches.
        turned: Whether its width lies along.
    """

    key: str
    x: Length
    y: Length
    w: Length
    h: Length
    turned: bool


@dataclass(frozen=True, slots=True)
class Rect:
    """A piece of cloth in its place: x and w across, y and h along, inches."""

    x: Length
    y: Length
    w: Length
    h: Length

    @property
    def area(self) -> Fraction:
        """Square inches."""
        return self.w * self.h


@dataclass(frozen=True, slots=True)
class Part:
    """A rectangle of cloth and what becomes of it.

    Attributes:
        across: Inches across.
        along: Inches along.
        axis: How its children follow one another; None for a leaf.
        children: They fill the part exactly, in order; empty for a leaf.
        key: The demand a leaf serves; None for an offcut and an inner part.
        turned: For a piece, whether its width lies along.
    """

    across: Length
    along: Length
    axis: Axis | None = None
    children: tuple[Part, ...] = ()
    key: str | None = None
    turned: bool = False

    def __post_init__(self) -> None:
        """Hold that children fill their parent and that leaves have none."""
        if (self.axis is None) != (not self.children):
            raise ValueError("a cut part has an axis and children, a leaf has neither")
        if self.axis is None:
            return
        along_axis = sum((self.measure_of(child) for child in self.children), Fraction(0))
        across_axis = {self.cross_measure_of(child) for child in self.children}
        if along_axis != self.measure_of(self) or across_axis != {self.cross_measure_of(self)}:
            raise ValueError("the parts of a cut must fill it exactly")

    def measure_of(self, part: Part) -> Length:
        """The part's extent in the direction in which this part's children follow."""
        return part.across if self.axis is Axis.ACROSS else part.along

    def cross_measure_of(self, part: Part) -> Length:
        """The part's extent at right angles to :meth:`measure_of`."""
        return part.along if self.axis is Axis.ACROSS else part.across

    @property
    def is_offcut(self) -> bool:
        """Whether nothing is cut from it."""
        return self.axis is None and self.key is None

    @property
    def levels(self) -> int:
        """Rounds of parallel cuts on the longest way from here to a piece."""
        if self.axis is None:
            return 0
        return 1 + max(child.levels for child in self.children)

    def leaves(
        self, x: Length = Fraction(0), y: Length = Fraction(0)
    ) -> Iterator[tuple[Part, Rect]]:
        """Yield each leaf with its place, in cutting order."""
        if self.axis is None:
            yield self, Rect(x, y, self.across, self.along)
            return
        for child in self.children:
            yield from child.leaves(x, y)
            if self.axis is Axis.ACROSS:
                x += child.across
            else:
                y += child.along

    def placed(self) -> tuple[Placed, ...]:
        """Return every piece with its place, in cutting order."""
        return tuple(
            Placed(part.key, at.x, at.y, at.w, at.h, part.turned)
            for part, at in self.leaves()
            if part.key is not None
        )

    def offcuts(self) -> tuple[Rect, ...]:
        """Return every offcut with its place."""
        return tuple(at for part, at in self.leaves() if part.is_offcut)

    def renamed(self, names: Mapping[str, str]) -> Part:
        """Return the same part with its pieces' keys replaced."""
        if self.key is not None:
            return replace(self, key=names[self.key])
        return replace(self, children=tuple(child.renamed(names) for child in self.children))

    def tally(self) -> Counter[str]:
        """Return how many pieces of each demand come from it."""
        return Counter(part.key for part, _ in self.leaves() if part.key is not None)


@dataclass(frozen=True, slots=True)
class Layout:
    """One way of cutting a sheet, and how many sheets are cut so."""

    sheet: Part
    copies: int
