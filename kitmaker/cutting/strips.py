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
from kitmaker.cutting.positions import positions_across, positions_along
from kitmaker.cutting.problem import Kind
from kitmaker.cutting.trees import Tree, join, piece_tree

Table = npt.NDArray[np.int64]
Indices = npt.NDArray[np.intp]
_OUT_OF_REACH = 1 << 61
"""Less than nothing can make up for."""


@dataclass(frozen=True, slots=True)
class Lying:
    """A kind lying one way: ``size`` follows the strip, ``depth`` lies across it."""

    kind: int
    size: int
    depth: int
    turned: bool


class _Steps:
    """The best ways of putting measures one behind another, up to every position at once.

    A position depends only on those that lie the least measure or more before it, so all
    between two such are worked out together.

    Attributes:
        rests: By position and measure the index of what the measure leaves; -1 where it is
            too long.
    """

    def __init__(self, positions: Sequence[int], measures: Sequence[int]) -> None:
        """Prepare; both are ascending, and no measure is 0."""
        at, sizes = np.asarray(positions, np.int64), np.asarray(measures, np.int64)
        self.rests: Indices = np.searchsorted(at, at[:, None] - sizes, side="right") - 1
        self._runs: list[tuple[int, int, int]] = []
        start = int(np.searchsorted(at, sizes[0])) if len(sizes) else len(at)
        while start < len(at):
            stop = int(np.searchsorted(at, at[start] + sizes[0]))
            self._runs.append((start, stop, int(np.searchsorted(sizes, at[stop - 1], "right"))))
            start = stop

    def best(self, worth: Table) -> Table:
        """Return the greatest sums of worth by position.

        Args:
            worth: A row for each measure; each column is a problem of its own.
        """
        best = np.zeros((len(self.rests) + 1, worth.shape[1]), dtype=np.int64)
        best[-1] = -_OUT_OF_REACH
        for start, stop, fitting in self._runs:
            sums = best[self.rests[start:stop, :fitting]]
            sums += worth[:fitting]
            run = best[start:stop]
            sums.max(axis=1, out=run)
            np.maximum(run[0], best[start - 1], out=run[0])
            np.maximum.accumulate(run, axis=0, out=run)
        return best[:-1]


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
            sizes, self.depths = across(self.kinds, strip_length), along(self.kinds, room)
        else:
            sizes, self.depths = along(self.kinds, strip_length), across(self.kinds, room)
        ways: dict[int, list[Lying]] = {}
        for index, kind in enumerate(self.kinds):
            for w, h, turned in kind.ways():
                size, depth = (w, h) if axis is Axis.ALONG else (h, w)
                if size <= strip_length and depth <= room:
                    ways.setdefault(size, []).append(Lying(index, size, depth, turned))
        self._section_sizes = sorted(ways)
        self._ways = [ways[size] for size in self._section_sizes]
        if trimmed:
            narrower: list[Lying] = []
            for at, group in enumerate(self._ways):
                narrower = [*group, *narrower]
                self._ways[at] = narrower
        self._reaches = sorted({way.depth for group in self._ways for way in group})
        self._in_section = _Steps(self.depths, self._reaches)
        self._in_strip = _Steps(sizes, self._section_sizes)

    def solve(self, values: Sequence[int]) -> StripValues:
        """Return the best value of a strip of every depth, and how to cut it."""
        worth = np.zeros((len(self._reaches), len(self._ways)), dtype=np.int64)
        for row, ways in enumerate(self._ways):
            for way in ways:
                at = self._reaches.index(way.depth)
                worth[at, row] = max(worth[at, row], values[way.kind])
        sections = np.ascontiguousarray(self._in_section.best(worth).T)
        return StripValues(self, tuple(values), sections, self._in_strip.best(sections))


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
        rests = self.search._in_strip.rests
        strips, worth = self.strips[:, at], self.sections[:, at]
        size_at = len(strips) - 1
        while (value := strips[size_at]) > 0:
            while size_at and strips[size_at - 1] == value:
                size_at -= 1
            row = next(
                row
                for row in reversed(range(len(worth)))
                if (rest := rests[size_at, row]) >= 0 < worth[row]
                and worth[row] + strips[rest] == value
            )
            parts.append(self._section(row, at))
            size_at = rests[size_at, row]
        return join(self.search.axis.other, parts) if parts else None

    def _section(self, row: int, at: int) -> Tree:
        search = self.search
        rests, worth = search._in_section.rests, self.sections[row]
        parts: list[Tree] = []
        while (value := worth[at]) > 0:
            while at and worth[at - 1] == value:
                at -= 1
            way, rest = next(
                (way, rest)
                for way in search._ways[row]
                if (rest := rests[at, search._reaches.index(way.depth)]) >= 0
                and 0 < self.values[way.kind] == value - worth[rest]
            )
            across, along = (
                (way.size, way.depth) if search.axis is Axis.ALONG else (way.depth, way.size)
            )
            parts.append(piece_tree(across, along, way.kind, turned=way.turned))
            at = rest
        return join(search.axis, parts)

    def best_sheet(self) -> tuple[int, Tree | None]:
        """Return the best value of the whole sheet and a layout that has it."""
        depths, each = self.search.depths, self.strip_values()
        used = np.flatnonzero(each[1:] > each[:-1]) + 1
        steps = _Steps(depths, [depths[at] for at in used])
        best = steps.best(each[used, None])[:, 0]
        parts: list[Tree] = []
        at = len(depths) - 1
        while (value := best[at]) > 0:
            while best[at - 1] == value:
                at -= 1
            rests = steps.rests[at]
            strip = int(np.flatnonzero((rests >= 0) & (each[used] + best[rests] == value))[0])
            tree = self.strip(int(used[strip]))
            if tree is None:
                break
            parts.append(tree)
            at = int(rests[strip])
        return int(best[-1]), join(self.search.axis, parts) if parts else None


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
