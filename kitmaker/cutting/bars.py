"""A bound for any cutting of a length: look at the cloth thread by thread.

Take one thread across the cloth at any place along it. The pieces it crosses lie side by
side, so their measures across add up to no more than the width. A piece of ``w x h``
crosses ``h`` units of threads. Give each kind a value; if no thread can carry more than K
of value *per unit of length*, the cloth must be at least (value of all pieces) / K long::

    thread ->  ---a---a---b---      a + a + b <= width
    a lies under h(a) threads, and each carries value(a) / h(a) of it

This holds for every cutting, edge to edge or not. The best values come from a linear
program; they are rounded down to whole numbers and K is then computed exactly, so the
bound printed has no rounding in it.

Source: the one-dimensional (bar) relaxation of strip packing, as in S. Martello,
M. Monaci and D. Vigo, "An exact approach to the strip-packing problem", INFORMS J.
Comput. 15 (2003). Cited from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from kitmaker.cutting.positions import index_at_or_below, positions_across
from kitmaker.cutting.problem import Kind

Line = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class ThreadItem:
    """A kind lying one way, as a thread sees it."""

    kind: int
    across: int
    along: int
    most: int


class ThreadSearch:
    """Finds the most valuable thread across one width of cloth."""

    def __init__(self, kinds: Sequence[Kind], width: int) -> None:
        """Prepare the positions; ``width`` in units."""
        self.width = width
        self.positions = positions_across(kinds, width)
        self.items = tuple(
            ThreadItem(index, w, h, min(kind.count, width // w))
            for index, kind in enumerate(kinds)
            for w, h, _ in kind.ways()
            if w <= width
        )
        at = np.asarray(self.positions, dtype=np.int64)
        # For each item and number of copies: from which position on they have room, and
        # where each of those positions is without them.
        self._steps = tuple(
            tuple(
                (
                    int(np.searchsorted(at, taken)),
                    np.searchsorted(at, at[at >= taken] - taken, side="right") - 1,
                )
                for taken in range(item.across, item.across * item.most + 1, item.across)
            )
            for item in self.items
        )

    def best(self, values: Sequence[int]) -> tuple[int, list[int]]:
        """Return the greatest value of a thread and how often each item lies on it.

        Args:
            values: A whole number of at least 0 for each of ``items``.
        """
        best: Line = np.zeros(len(self.positions), dtype=np.int64)
        taken: list[Line] = []
        for value, steps in zip(values, self._steps, strict=True):
            before = best
            best = before.copy()
            chosen = np.zeros(len(self.positions), dtype=np.int64)
            for copies, (first, rest) in enumerate(steps if value > 0 else (), start=1):
                sums = before[rest] + copies * value
                better = sums > best[first:]
                best[first:][better] = sums[better]
                chosen[first:][better] = copies
            taken.append(chosen)
        counts = [0] * len(self.items)
        at = len(self.positions) - 1
        for number in range(len(self.items) - 1, -1, -1):
            counts[number] = int(taken[number][at])
            left = self.positions[at] - counts[number] * self.items[number].across
            at = index_at_or_below(self.positions, left)
        return int(best[-1]), counts
