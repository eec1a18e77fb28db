"""The best layout at given values that a person cuts in strips: at most three rounds.

Three rounds of parallel cuts are what a cutting table is used to: cut strips, turn,
sub-cut the strips into sections, cut the sections (or trim them). Each section is a
stack of pieces that share its width exactly::

    first round          second round            third round
    +---------------+    +-----+-----+--+--+     +-----+-----+--+--+
    |     strip     |    |     |     |  |  |     |  a  |  a  |c |c |
    |               | -> |     |     |  |  |  -> +-----+-----+--+--+
    |               |    |     |     |  |  |     |  b  |  b  |##|##|
    +---------------+    +-----+-----+--+--+     +-----+-----+--+--+

The best layout is three knapsacks one inside the other, the inner two solved for every
height at once. It is much quicker than the search over all layouts, and what it finds is
easier to cut; what it cannot find is left to :mod:`kitmaker.cutting.knapsack`.

Source: P. C. Gilmore and R. E. Gomory, "Multistage cutting stock problems of two and more
dimensions", Oper. Res. 13 (1965). Cited from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from kitmaker.cutting.layout import Axis
from kitmaker.cutting.positions import (
    index_at_or_below,
    positions_across,
    positions_along,
)
from kitmaker.cutting.problem import Kind
from kitmaker.cutting.trees import Tree, join, piece_tree

Table = npt.NDArray[np.int64]
Indices = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Lying:
    """A kind lying one way: ``size`` follows the strip, ``depth`` lies across it."""

    kind: int
    size: int
    depth: int
    turned: bool


class StripSearch:
    """Finds best strip layouts of one sheet, for value after value.

    Attributes:
        axis: How the strips follow one another: ``ALONG`` for strips across the cloth.
        depths: The depths (measures along ``axis``) a strip may have.
    """

    def __init__(
        self,
        kinds: Sequence[Kind],
        strip_length: int,
        room: int,
        axis: Axis,
        *,
        trimmed: bool = False,
    ) -> None:
        """Prepare the positions.

        Args:
            kinds: The kinds of piece.
            strip_length: Units along a strip (the sheet's width for strips across).
            room: Units in which the strips follow one another.
            axis: ``ALONG`` for strips across the cloth, ``ACROSS`` for lengthwise ones.
            trimmed: Whether a section may hold narrower pieces, which are trimmed: a fourth
                round of cuts.
        """
        self.kinds = tuple(kinds)
        self.axis = axis
        self.strip_length = strip_length
        self.room = room
        across, along = positions_across, positions_along
        if axis is Axis.ALONG:
            self._sizes = across(self.kinds, strip_length)
            self.depths = along(self.kinds, room)
        else:
            self._sizes = along(self.kinds, strip_length)
            self.depths = across(self.kinds, room)
        ways: dict[int, list[Lying]] = {}
        for index, kind in enumerate(self.kinds):
            for w, h, turned in kind.ways():
                size, depth = (w, h) if axis is Axis.ALONG else (h, w)
                if size <= strip_length and depth <= room:
                    ways.setdefault(size, []).append(Lying(index, size, depth, turned))
        self._rests: dict[int, list[int]] = {}
        self._ways = dict(sorted(ways.items()))
        if trimmed:
            narrower: list[Lying] = []
            for size, group in self._ways.items():
                narrower = [*group, *narrower]
                self._ways[size] = narrower
        self._section_sizes = list(self._ways)
        self._back = [
            [
                (at_size, index_at_or_below(self._sizes, at - size))
                for at_size, size in enumerate(self._section_sizes)
                if size <= at
            ]
            for at in self._sizes
        ]
        self._back_rows = [
            (np.array([row for row, _ in back], int), np.array([rest for _, rest in back], int))
            for back in self._back
        ]
        self._down = {
            depth: [index_at_or_below(self.depths, at - depth) for at in self.depths]
            for depth in {way.depth for group in ways.values() for way in group}
        }

    @property
    def work(self) -> int:
        """Additions one solve takes, roughly."""
        sections = sum(len(back) for back in self._back)
        return sections * len(self.depths) + len(self.depths) ** 2

    def rest(self, strip: int) -> list[int]:
        """Return, by the depth of a sheet, the index of what one strip leaves of it."""
        found = self._rests.get(strip)
        if found is None:
            depth = self.depths[strip]
            found = self._rests[strip] = [
                index_at_or_below(self.depths, at - depth) for at in self.depths
            ]
        return found

    def solve(self, values: Sequence[int]) -> StripValues:
        """Return the best value of a strip of every depth, and how to cut it."""
        sections = np.zeros((len(self._section_sizes), len(self.depths)), dtype=np.int64)
        for row, size in enumerate(self._section_sizes):
            sections[row] = self._best_sections(self._ways[size], values)
        strips = np.zeros((len(self._sizes), len(self.depths)), dtype=np.int64)
        for at, back in enumerate(self._back):
            if at:
                np.maximum(strips[at], strips[at - 1], out=strips[at])
            if back:
                rows, rests = self._back_rows[at]
                np.maximum(
                    strips[at],
                    (sections[rows] + strips[rests]).max(axis=0),
                    out=strips[at],
                )
        return StripValues(self, tuple(values), sections, strips)

    def _best_sections(self, ways: list[Lying], values: Sequence[int]) -> list[int]:
        """Return the best value of a section by its depth, for the ways that it may hold."""
        line = [0] * len(self.depths)
        offers = [
            (way.depth, values[way.kind], self._down[way.depth])
            for way in ways
            if values[way.kind] > 0
        ]
        for at, depth in enumerate(self.depths):
            best = line[at - 1] if at else 0
            for reach, value, down in offers:
                if reach <= depth and value + line[down[at]] > best:
                    best = value + line[down[at]]
            line[at] = best
        return line


@dataclass(frozen=True, slots=True)
class StripValues:
    """What :meth:`StripSearch.solve` found."""

    search: StripSearch
    values: tuple[int, ...]
    sections: Table
    strips: Table

    def strip_values(self) -> Table:
        """Return the best value of one strip of each depth in ``search.depths``."""
        last: Table = self.strips[-1]
        return last

    def strip(self, at: int) -> Tree | None:
        """Return a best strip of the depth with index ``at``; None when it holds nothing."""
        parts: list[Tree] = []
        search = self.search
        size_at = len(search._sizes) - 1
        while self.strips[size_at, at] > 0:
            value = self.strips[size_at, at]
            while size_at and self.strips[size_at - 1, at] == value:
                size_at -= 1
            row, rest = next(
                (row, rest)
                for row, rest in reversed(search._back[size_at])
                if self.sections[row, at] + self.strips[rest, at] == value
                and self.sections[row, at] > 0
            )
            parts.append(self._section(row, at))
            size_at = rest
        return join(search.axis.other, parts) if parts else None

    def _section(self, row: int, at: int) -> Tree:
        search = self.search
        ways = search._ways[search._section_sizes[row]]
        parts: list[Tree] = []
        while (value := int(self.sections[row, at])) > 0:
            while at and self.sections[row, at - 1] == value:
                at -= 1
            way = next(
                way
                for way in ways
                if way.depth <= search.depths[at]
                and self.values[way.kind] > 0
                and self.values[way.kind] + int(self.sections[row, search._down[way.depth][at]])
                == value
            )
            across, along = (
                (way.size, way.depth) if search.axis is Axis.ALONG else (way.depth, way.size)
            )
            parts.append(piece_tree(across, along, way.kind, turned=way.turned))
            at = int(search._down[way.depth][at])
        return join(search.axis, parts)

    def best_sheet(self) -> tuple[int, Tree | None]:
        """Return the best value of the whole sheet and a layout that has it."""
        depths = self.search.depths
        each = self.strip_values().tolist()
        best = [0] * len(depths)
        choice = [-1] * len(depths)
        used = [at for at in range(1, len(depths)) if each[at] > each[at - 1]]
        offers = [(depths[strip], each[strip], self.search.rest(strip), strip) for strip in used]
        for at, depth in enumerate(depths):
            value, chosen = best[at - 1] if at else 0, -1
            for reach, worth, rest, strip in offers:
                if reach > depth:
                    break
                if worth + best[rest[at]] > value:
                    value, chosen = worth + best[rest[at]], strip
            best[at], choice[at] = value, chosen
        parts: list[Tree] = []
        at = len(depths) - 1
        while best[at] > 0:
            while choice[at] == -1:
                at -= 1
            tree = self.strip(choice[at])
            if tree is None:
                break
            parts.append(tree)
            at = index_at_or_below(depths, depths[at] - depths[choice[at]])
        return best[-1], join(self.search.axis, parts) if parts else None


def both_ways(
    kinds: Sequence[Kind], width: int, height: int, *, trimmed: bool = False
) -> tuple[StripSearch, StripSearch]:
    """Return the searches for layouts of strips along a sheet and of strips across it."""
    return (
        StripSearch(kinds, width, height, Axis.ALONG, trimmed=trimmed),
        StripSearch(kinds, height, width, Axis.ACROSS, trimmed=trimmed),
    )


def best_of(searches: Iterable[StripSearch], prices: Sequence[int], more_than: int) -> list[Tree]:
    """Return the best sheet of each search, where it is worth more than so much."""
    found = [search.solve(prices).best_sheet() for search in searches]
    return [tree for worth, tree in found if tree is not None and worth > more_than]
