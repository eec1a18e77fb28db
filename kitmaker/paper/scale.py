"""The scale of a drawing: in proportion, and a very long length shortened between its cuts."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from kitmaker.cutting.layout import Placed, Rect
from kitmaker.cutting_jobs import CutLayout
from kitmaker.lengths import Length

LEFT, TOP, RIGHT, BOTTOM = 44, 22, 62, 16
"""Points around the cloth, for what stands beside it."""

_MOST_ACROSS = Fraction(412)  # with what stands beside it, as wide as A4 between its margins
_MOST_ACROSS_NARROW = Fraction(190)
_MOST_ALONG = Fraction(420)
_ENOUGH_ALONG = Fraction(205)
_ENOUGH_SHORTENED = Fraction(300)  # so that it stands on the first side, below the sheet's head
_STRETCH = Fraction(15)  # between two cuts of a length that is shortened
_LETTER_ROOM = Fraction(91, 10)  # the shorter side of a piece that bears a letter
_MOST_PER_INCH = Fraction(26)
_LONG = 3  # along over across from which a length is shortened, where its pieces are too small
_SHORTENED = Fraction(3, 4)  # a stretch drawn shorter than this share of its own is marked
_ZIGZAGS_APART = 50


@dataclass(frozen=True, slots=True)
class Scale:
    """Points for an inch across, and where each measure along is drawn.

    Attributes:
        per_inch: Points for an inch across.
        stops: (inches along, points), between which a drawing is in proportion.
    """

    per_inch: Fraction
    stops: tuple[tuple[Length, Fraction], ...]

    def x(self, inches: Length) -> Fraction:
        """Points from the drawing's left edge."""
        return LEFT + inches * self.per_inch

    def y(self, inches: Length) -> Fraction:
        """Points from the drawing's top edge."""
        after = max(1, bisect_left(self.stops, inches, key=lambda stop: stop[0]))
        (low, low_points), (high, high_points) = self.stops[after - 1 : after + 1]
        share = (inches - low) / (high - low)
        return TOP + low_points + share * (high_points - low_points)

    def down(self, at: Placed | Rect) -> Fraction:
        """Points along of what lies somewhere on the cloth."""
        return self.y(at.y + at.h) - self.y(at.y)

    @property
    def height(self) -> Fraction:
        """Points of the whole cloth along."""
        return self.stops[-1][1]

    def breaks(self) -> list[Fraction]:
        """Return where zigzags show that it is shortened, in points from its top edge."""
        shown: list[Fraction] = []
        for (low, low_points), (high, high_points) in pairwise(self.stops):
            at = TOP + (low_points + high_points) / 2
            is_short = high_points - low_points < (high - low) * self.per_inch * _SHORTENED
            if is_short and (not shown or at >= shown[-1] + _ZIGZAGS_APART):
                shown.append(at)
        return shown


def scale_of(layout: CutLayout, *, narrow: bool) -> Scale:
    """Return the scale of a layout's drawing; a narrow one leaves room for words beside it."""
    across, along = layout.sheet
    shortest = min((min(placed.w, placed.h) for placed in layout.pieces), default=None)
    legible = _LETTER_ROOM / shortest if shortest else Fraction(0)
    most_across = _MOST_ACROSS_NARROW if narrow else _MOST_ACROSS
    most_along = min(_MOST_ALONG, max(_ENOUGH_ALONG, along * legible))
    per_inch = min(most_across / across, most_along / along, _MOST_PER_INCH)
    if along < _LONG * across or per_inch >= legible:
        return Scale(per_inch, ((Fraction(0), Fraction(0)), (along, along * per_inch)))
    per_inch = _MOST_ACROSS_NARROW / across
    edges = {Fraction(0), along}
    for placed in layout.pieces:
        edges |= {placed.y, placed.y + placed.h}
    return Scale(per_inch, _shortened(sorted(edges), per_inch))


def _shortened(edges: Sequence[Length], per_inch: Fraction) -> tuple[tuple[Length, Fraction], ...]:
    """Shorten the longest stretches between cuts until all of them have room."""
    stretches = [(end - start) * per_inch for start, end in pairwise(edges)]
    most = Fraction(0)
    room = min(_MOST_ALONG, max(_ENOUGH_SHORTENED, len(stretches) * _STRETCH))
    for number, stretch in enumerate(sorted(stretches)):
        most = room / (len(stretches) - number)
        if stretch >= most:
            break
        room -= stretch
    stops = [(edges[0], Fraction(0))]
    for edge, stretch in zip(edges[1:], stretches, strict=True):
        stops.append((edge, stops[-1][1] + min(stretch, most)))
    return tuple(stops)
