"""Choices of columns that are easy to cut, for several lengths at once.

A choice is put together a column at a time: of each column as many copies as one of its kinds
still asks for, rounded down or up, or any number while these are few. Of all beginnings those
are kept, for each length by itself, that promise the least work at the table, and those that
waste the least cloth. It ends by work done, so every machine gives the same answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

Whole: TypeAlias = npt.NDArray[np.int64]
Flags: TypeAlias = npt.NDArray[np.bool_]

KEPT = 96
"""Beginnings kept in each of two ways, for each length."""
EVERY_NUMBER = 300_000
"""Every number of copies is tried where beginnings, columns and numbers make no more entries."""
MOST_ENTRIES = 3_000_000
"""Fewer beginnings are kept where these entries, rounded numbers alone, would be more."""
MOST_COLUMNS = 60
"""Columns put one after the other at most."""
_MARK = 6_364_136_223_846_793_005
"""Its powers (of whole numbers that wrap around) make one number of the pieces left."""


@dataclass(frozen=True, slots=True)
class _Begun:
    """Beginnings, a row each.

    Attributes:
        copies: Copies of each column.
        left: Pieces of each kind still needed.
        taken: The cloth taken.
        cost: What it costs a cutter.
    """

    copies: Whole
    left: Whole
    taken: Whole
    cost: Whole


@dataclass(frozen=True, slots=True)
class _Longer:
    """Beginnings with one column more: which one goes on, with which column, how often."""

    at: Whole
    column: Whole
    number: Whole
    left: Whole
    taken: Whole
    cost: Whole

    def begun(self, before: _Begun, rows: Whole) -> _Begun:
        """Return some of them, written out."""
        copies = before.copies[self.at[rows]]
        copies[np.arange(rows.size), self.column[rows]] += self.number[rows]
        return _Begun(copies, self.left[rows], self.taken[rows], self.cost[rows])


class EasyBeam:
    """The search among columns for one demand."""

    def __init__(
        self,
        columns: Sequence[Sequence[int]],
        sizes: Sequence[int],
        setup: Sequence[int],
        each: Sequence[int],
        demand: Sequence[int],
        prices: Sequence[int],
        unit: int,
    ) -> None:
        """Prepare.

        Args:
            columns: The pieces of each kind a column gives.
            sizes: The cloth one copy takes.
            setup: What using a column at all costs a cutter.
            each: What each of its copies costs.
            demand: Pieces of each kind needed.
            prices: What a piece of each kind takes of the cloth at least.
            unit: What one of the units of ``sizes`` is worth at these prices.
        """
        self.demand = np.asarray(demand, dtype=np.int64)
        self.made = np.minimum(np.asarray(columns, dtype=np.int64), self.demand)
        self.sizes = np.asarray(sizes, dtype=np.int64)
        self.setup = np.asarray(setup, dtype=np.int64)
        self.each = np.asarray(each, dtype=np.int64)
        self.prices = np.asarray(prices, dtype=np.int64)
        self.unit = unit
        self.mark = np.cumprod(np.full(len(demand), _MARK, dtype=np.int64))
        self.kept = max(1, min(KEPT, MOST_ENTRIES // (2 * self.made.size)))

    def find(self, limits: Sequence[int], known: Sequence[int]) -> list[tuple[int, ...] | None]:
        """Return for each limit a choice that costs less than is known; None for none found.

        Args:
            limits: The most cloth a choice may take.
            known: What the choice known for each limit costs a cutter.
        """
        best = list(known)
        found: list[tuple[int, ...] | None] = [None] * len(limits)
        nothing = np.zeros((1, len(self.sizes)), dtype=np.int64)
        begun = _Begun(nothing, self.demand[None, :], nothing[:, 0], nothing[:, 0])
        for _ in range(MOST_COLUMNS):
            longer = self._longer(begun, max(limits))
            is_done: Flags = (longer.left == 0).all(axis=1)
            for at, limit in enumerate(limits):
                fits = np.flatnonzero(is_done & (longer.taken <= limit) & (longer.cost < best[at]))
                if fits.size:
                    easiest = fits[np.lexsort((longer.taken[fits], longer.cost[fits]))[:1]]
                    best[at] = int(longer.cost[easiest[0]])
                    found[at] = tuple(longer.begun(begun, easiest).copies[0].tolist())
            kept = np.unique(np.concatenate([*self._kept(longer, ~is_done, limits, best)]))
            if not kept.size:
                break
            begun = longer.begun(begun, kept)
        return found

    def _longer(self, begun: _Begun, limit: int) -> _Longer:
        """Put each column behind each beginning, as often as may be of use."""
        left = begun.left[:, None, :]
        gives = self.made > 0
        down, rest = np.divmod(left, np.maximum(self.made, 1))
        up = np.where(gives, down + (rest > 0), 0)
        most = up.max(axis=2)
        every = int(most.max())
        if most.size * every <= EVERY_NUMBER:
            numbers = np.broadcast_to(np.arange(1, every + 1), (*most.shape, every))
            is_new = numbers <= most[:, :, None]
        else:
            numbers = np.sort(np.concatenate([np.where(gives, down, 0), up], axis=2), axis=2)
            is_new = numbers > 0
            is_new[:, :, 1:] &= numbers[:, :, 1:] != numbers[:, :, :-1]
        at, column, _ = np.nonzero(is_new)
        number = numbers[is_new]
        taken = begun.taken[at] + number * self.sizes[column]
        fits = taken <= limit
        at, column, number, taken = at[fits], column[fits], number[fits], taken[fits]
        lacking = np.maximum(begun.left[at] - number[:, None] * self.made[column], 0)
        cost = begun.cost[at] + number * self.each[column]
        cost += np.where(begun.copies[at, column] > 0, 0, self.setup[column])
        return _Longer(at, column, number, lacking, taken, cost)

    def _kept(
        self,
        longer: _Longer,
        is_open: Flags,
        limits: Sequence[int],
        best: Sequence[int],
    ) -> Iterator[Whole]:
        """Yield which beginnings are kept, for each limit in each way; first none."""
        worth = longer.left @ self.prices
        least = longer.taken * self.unit + worth
        share = worth / max(1, int(self.prices @ self.demand))
        mark = longer.left @ self.mark
        yield np.zeros(0, dtype=np.int64)
        for limit, cost in zip(limits, best, strict=True):
            can_win = is_open & (least <= limit * self.unit) & (longer.cost < cost)
            rows = np.flatnonzero(can_win)
            taken, paid = longer.taken[rows], longer.cost[rows]
            for promise in (paid + cost * share[rows], least[rows]):
                first = rows[np.lexsort((taken, paid, promise))[: 8 * self.kept]]
                _, apart = np.unique(mark[first], return_index=True)
                yield first[np.sort(apart)[: self.kept]]
