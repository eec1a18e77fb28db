"""The best layout of one sheet at given values, over *all* edge-to-edge layouts.

The problem
    Each kind of piece has a value. Which layout of a sheet, cut edge to edge as often as
    one likes, holds the most value, pieces repeated freely?

The idea
    A rectangle of cloth is either left as it is (one piece of it, or nothing), or it is
    cut in two, across or along. So the best value of a rectangle is the best over its
    cuts of the sum of the best values of its parts::

        F(x, y) = max( v(x, y),  F(a, y) + F(x - a, y),  F(x, b) + F(x, y - b) )

    Only normal positions matter for x, y, a and b (see :mod:`kitmaker.cutting.positions`).
    Values are whole numbers and so is every sum: nothing is rounded.

What it gives
    An upper bound on the value of any layout, hence a lower bound on how many sheets are
    needed (:mod:`kitmaker.cutting.bounds`), and a layout that attains it. How many copies
    of a piece are wanted in all is not looked at, so the bound can be slack where a
    sheet holds more of a kind than the whole demand.

Source: P. C. Gilmore and R. E. Gomory, "Multistage cutting stock problems of two and more
dimensions", Oper. Res. 13 (1965), and "The theory and computation of knapsack functions",
Oper. Res. 14 (1966); J. E. Beasley, "Algorithms for unconstrained two-dimensional
guillotine cutting", J. Oper. Res. Soc. 36 (1985). Cited from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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

AT_ONCE = 1 << 16
"""Sums worked out at once, roughly: as many as a processor keeps close by."""
MOST_ROUNDS = 60
"""What lies in more rounds of cuts is left out of a layout."""


class _Cuts:
    """How one cut divides each position in two: its halves as indices, in pairs.

    A half ends the least position or more before the whole, so that all positions between
    two such are worked out together, a *run* of them.

    Attributes:
        lower, upper: For each position the lesser halves and the greater ones.
    """

    def __init__(self, positions: Sequence[int], most_pairs: int) -> None:
        """Prepare; so many pairs, or those of one position, are looked at at once."""
        self.lower: list[Indices] = []
        self.upper: list[Indices] = []
        array = np.asarray(positions, dtype=np.int64)
        for at in positions:
            half = int(np.searchsorted(array, at // 2, side="right"))
            self.lower.append(np.arange(1, half, dtype=np.intp))
            self.upper.append(np.searchsorted(array, at - array[1:half], side="right") - 1)
        self.pairs = sum(map(len, self.lower))
        self.runs: list[tuple[int, int, list[_Batch]]] = []
        start = 1
        while start < len(positions):
            stop = int(np.searchsorted(array, positions[start] + positions[1]))
            self.runs.append((start, stop, list(self._batches(start, stop, most_pairs))))
            start = stop

    def _batches(self, start: int, stop: int, most_pairs: int) -> Iterator[_Batch]:
        rows: list[int] = []
        pairs = 0
        for row in range(start, stop):
            if rows and pairs + len(self.lower[row]) > most_pairs:
                yield self._batch(rows)
                rows, pairs = [], 0
            if len(self.lower[row]):
                rows.append(row)
                pairs += len(self.lower[row])
        if rows:
            yield self._batch(rows)

    def _batch(self, rows: list[int]) -> _Batch:
        sizes = np.array([len(self.lower[row]) for row in rows])
        return _Batch(
            np.array(rows),
            np.concatenate([self.lower[row] for row in rows]),
            np.concatenate([self.upper[row] for row in rows]),
            np.cumsum(sizes) - sizes,
        )

    def close(self, table: Table, at: int) -> tuple[int, int]:
        """Let the rows of one run be cut, and be worth no less than those before them.

        Args:
            table: A row for each position, right up to the run.
            at: The number of the run.

        Returns:
            The first row of the run, and the first behind it.
        """
        start, stop, batches = self.runs[at]
        for batch in batches:
            sums = table[batch.lower]
            sums += table[batch.upper]
            most = np.maximum.reduceat(sums, batch.starts, axis=0)
            table[batch.rows] = np.maximum(table[batch.rows], most)
        run = table[start - 1 : stop]
        np.maximum.accumulate(run, axis=0, out=run)
        return start, stop


@dataclass(frozen=True, slots=True)
class _Batch:
    """The pairs of several rows, one row's behind another's."""

    rows: Indices
    lower: Indices
    upper: Indices
    starts: Indices


def table_work(kinds: Sequence[Kind], width: int, height: int) -> int:
    """Return the additions one table of a sheet takes, without preparing for any.

    What is prepared grows with the square of the positions: a caller whose work does not
    reach for one table must not begin.
    """
    across, along = positions_across(kinds, width), positions_along(kinds, height)
    pairs = []
    for positions in (across, along):
        array = np.asarray(positions, dtype=np.int64)
        ends = np.searchsorted(array, array // 2, side="right") - 1
        pairs.append(int(np.maximum(ends, 0).sum()))
    return pairs[0] * len(along) + 4 * len(across) * pairs[1]


class LayoutSearch:
    """Finds best layouts of one sheet for one set of kinds, for value after value.

    Attributes:
        xs, ys: The positions across and along.
        cuts_across, cuts_along: How a cut divides the measure at each of them.
    """

    def __init__(self, kinds: Sequence[Kind], width: int, height: int) -> None:
        """Prepare the positions.

        Args:
            kinds: The kinds of piece.
            width, height: The sheet, units across and along.
        """
        self.kinds = tuple(kinds)
        self.xs = positions_across(self.kinds, width)
        self.ys = positions_along(self.kinds, height)
        self.cuts_across = _Cuts(self.xs, AT_ONCE // len(self.ys))
        self.cuts_along = _Cuts(self.ys, AT_ONCE // 16)
        self._last: tuple[tuple[int, ...], Table] | None = None

    @property
    def work(self) -> int:
        """Additions one table takes, roughly: what a caller stops by."""
        return self.cuts_across.pairs * len(self.ys) + 4 * len(self.xs) * self.cuts_along.pairs

    def table(self, values: Sequence[int]) -> Table:
        """Return the best value of every rectangle of normal measures.

        Args:
            values: A whole number of at least 0 for each kind.

        Returns:
            A table indexed by the positions ``xs`` and ``ys``, not to be written to: what is
            proved, laid out and settled at the same values rests on the same one.
        """
        asked = tuple(values)
        if self._last is None or self._last[0] != asked:
            self._last = asked, self._best_of_each(asked)
        return self._last[1]

    def _best_of_each(self, values: Sequence[int]) -> Table:
        best = self._single_pieces(values)
        for at in range(len(self.cuts_across.runs)):
            start, stop = self.cuts_across.close(best, at)
            turned = np.ascontiguousarray(best[start:stop].T)
            for other in range(len(self.cuts_along.runs)):
                self.cuts_along.close(turned, other)
            best[start:stop] = turned.T
        best.setflags(write=False)
        return best

    def _single_pieces(self, values: Sequence[int]) -> Table:
        best = np.zeros((len(self.xs), len(self.ys)), dtype=np.int64)
        for kind, value in zip(self.kinds, values, strict=True):
            for w, h, _ in kind.ways():
                row = int(np.searchsorted(self.xs, w))
                column = int(np.searchsorted(self.ys, h))
                if row < len(self.xs) and column < len(self.ys):
                    corner = best[row:, column:]
                    np.maximum(corner, value, out=corner)
        return best

    def layout(self, values: Sequence[int], table: Table, across: int, along: int) -> Tree | None:
        """Return a layout of a rectangle that has the table's value.

        Args:
            values: As given to :meth:`table`.
            table: What it returned.
            across, along: The rectangle, units.

        Returns:
            The layout; None when nothing of value fits.
        """
        row = index_at_or_below(self.xs, across)
        column = index_at_or_below(self.ys, along)
        return _Tracing(self, values, table).layout(row, column)


class _Tracing:
    """Reads layouts out of one table, that of each rectangle once."""

    def __init__(self, search: LayoutSearch, values: Sequence[int], table: Table) -> None:
        self.search = search
        self.values = values
        self.table = table
        self._known: dict[tuple[int, int], Tree | None] = {}

    def layout(self, row: int, column: int, rounds: int = MOST_ROUNDS) -> Tree | None:
        """Return a layout of the rectangle of two positions; what lies deeper is left out."""
        if (row, column) not in self._known:
            self._known[row, column] = self._read(*self._least(row, column), rounds)
        return self._known[row, column]

    def _least(self, row: int, column: int) -> tuple[int, int]:
        """Return the least rectangle of the same value."""
        table, value = self.table, self.table[row, column]
        while row and table[row - 1, column] == value:
            row -= 1
        while column and table[row, column - 1] == value:
            column -= 1
        return row, column

    def _read(self, row: int, column: int, rounds: int) -> Tree | None:
        if not self.table[row, column] or not rounds:
            return None
        piece = self._piece(row, column)
        if piece is not None:
            return piece
        axis: Axis | None = None
        parts: list[tuple[int, int]] = []
        rest = row, column
        while True:  # one cut after the other: a row may have hundreds of pieces
            cut = None if self._piece(*rest) else self._cut(*rest)
            if cut is None or (axis is not None and cut[0] is not axis):
                break
            axis, part, rest = cut[0], cut[1], self._least(*cut[2])
            parts.append(part)
        trees = [self.layout(*part, rounds - 1) for part in (rest, *reversed(parts))]
        held = [tree for tree in trees if tree is not None]
        return join(axis, held) if axis is not None and held else None

    def _piece(self, row: int, column: int) -> Tree | None:
        """Return the single piece that is worth as much as a rectangle."""
        search, value = self.search, int(self.table[row, column])
        for index, kind in enumerate(search.kinds):
            if self.values[index] == value:
                for w, h, turned in kind.ways():
                    if w <= search.xs[row] and h <= search.ys[column]:
                        return piece_tree(w, h, index, turned=turned)
        return None

    def _cut(self, row: int, column: int) -> tuple[Axis, tuple[int, int], tuple[int, int]] | None:
        """Return a cut that loses nothing: its direction, the lesser part and the rest."""
        search, table = self.search, self.table
        value = table[row, column]
        lower, upper = search.cuts_along.lower[column], search.cuts_along.upper[column]
        hits = np.flatnonzero(table[row, lower] + table[row, upper] == value)
        if hits.size:
            return Axis.ALONG, (row, int(lower[hits[0]])), (row, int(upper[hits[0]]))
        lower, upper = search.cuts_across.lower[row], search.cuts_across.upper[row]
        hits = np.flatnonzero(table[lower, column] + table[upper, column] == value)
        if hits.size:
            return Axis.ACROSS, (int(lower[hits[0]]), column), (int(upper[hits[0]]), column)
        return None
