"""Every way of building larger rectangles from pieces, within a loss: exact and complete.

The problem
    Prices say little where a sheet holds a handful of pieces, or where the answer must
    waste next to nothing. Then the rectangles that a part of the pieces can fill are built
    up from single pieces, by laying two side by side or one behind the other::

        a: 5 x 5    b: 3 x 8    {a, b}: 8 x 8 (side by side), 5 x 13 (one behind the other)

The idea
    Of each set of pieces only the rectangles are kept that no other rectangle of the set
    beats in both measures. And what a rectangle loses is counted: the most its room could
    be worth less what it is worth. If all sheets together are allowed to lose so much and
    no more, a rectangle that loses more is in no answer that is looked for, and is
    dropped. Two measures of loss are in use, each valid by itself: bare cloth, and the
    prices of a :class:`~kitmaker.cutting.bounds.Certificate` against the table over all
    layouts (:mod:`~kitmaker.cutting.knapsack`).

What it gives
    When it ends, the rectangles kept are *all* that an answer of that size can be made of,
    whatever the number of rounds: no answer among them means that there is none.

What it does not do
    Pieces are counted one by one, so hundreds of small squares are beyond it. The work is
    counted and where it grows past a limit the method gives up rather than answer half.

Source: P. Y. Wang, "Two algorithms for constrained two-dimensional cutting stock
problems", Oper. Res. 31 (1983), for building up within a waste; the loss against prices
is reduced-cost fixing. Cited from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from kitmaker.cutting.layout import Axis
from kitmaker.cutting.problem import Kind
from kitmaker.cutting.trees import Tree, join, piece_tree

Integers = npt.NDArray[np.int64]
_MOST_BITS = 62
MOST_ROUNDS = 60
"""With a rectangle of more rounds of cuts it gives up."""


@dataclass(frozen=True, slots=True)
class Loss:
    """How much all parts of an answer together may lose.

    Attributes:
        bare: Square units left bare at most.
        prices: The price of each kind.
        table: The most a room is worth at these prices, by positions across and along.
        xs, ys: The positions.
        value: Worth lost at most.
    """

    bare: int
    prices: tuple[int, ...] = ()
    table: Integers | None = None
    xs: tuple[int, ...] = ()
    ys: tuple[int, ...] = ()
    value: int = 0


@dataclass(frozen=True, slots=True)
class WorkLimit:
    """When to give up.

    Attributes:
        pairs: Pairs of rectangles compared.
        joins: Joins that passed every test.
    """

    pairs: int
    joins: int


class Packing:
    """Counts of kinds as one whole number, with a guard bit above each count.

    Adding two numbers adds the counts; a count above the demand carries into its guard.
    """

    def __init__(self, demand: Sequence[int]) -> None:
        """Prepare for a demand."""
        self.shifts: list[int] = []
        self.widths = [count.bit_length() for count in demand]
        at = 0
        self.guards = self.offset = 0
        for count, width in zip(demand, self.widths, strict=True):
            self.shifts.append(at)
            self.offset |= ((1 << width) - 1 - count) << at
            self.guards |= 1 << (at + width)
            at += width + 1
        self.bits = at
        self.full = self.pack(demand)

    def pack(self, counts: Sequence[int]) -> int:
        """Return the counts as one number."""
        return sum(count << shift for count, shift in zip(counts, self.shifts, strict=True))

    def unpack(self, code: int) -> tuple[int, ...]:
        """Return the counts of a number."""
        return tuple(
            (code >> shift) & ((1 << width) - 1)
            for shift, width in zip(self.shifts, self.widths, strict=True)
        )


class _Pending(NamedTuple):
    """A rectangle of a set: its measures and how it is made."""

    across: int
    along: int
    axis: Axis | None
    first: int
    second: int


class Builds:
    """The rectangles built from a demand within ``width`` x ``height`` and a loss.

    Attributes:
        packing: How sets are numbered.
        complete: Whether all were listed.
    """

    def __init__(
        self,
        kinds: Sequence[Kind],
        demand: Sequence[int],
        width: int,
        height: int,
        loss: Loss,
        limit: WorkLimit,
    ) -> None:
        """List them.

        Args:
            kinds: The kinds of piece.
            demand: How many of each there are (0 for a kind that is left out).
            width, height: The sheet, units.
            loss: What may be lost.
            limit: When to give up; ``complete`` tells.
        """
        self.kinds = tuple(kinds)
        self.packing = Packing(demand)
        self.width, self.height = width, height
        self.loss = loss
        self.complete = False
        self._room = width * height
        self._made: list[_Pending] = []
        self._rounds: list[int] = []
        self._of: dict[int, list[int]] = {}
        self._pending: dict[int, list[_Pending]] = {}
        self._heap: list[tuple[int, int, int]] = []
        self._size = 0
        # Rows: code, across, along, area, value.
        self._rows: Integers = np.zeros((5, 1024), dtype=np.int64)
        if self.packing.bits <= _MOST_BITS:
            self.complete = self._run(demand, limit)

    @property
    def full_found(self) -> bool:
        """Whether one rectangle holds all pieces."""
        return self.packing.full in self._of

    def sets(self) -> list[int]:
        """Return the numbers of all sets that fit, smaller areas first."""
        return list(self._of)

    def fullest(self) -> list[int]:
        """Return the numbers of the sets to which no piece can be added."""
        steps = [1 << shift for shift in self.packing.shifts]
        return [code for code in self._of if not any(code + step in self._of for step in steps)]

    def tree(self, code: int) -> Tree:
        """Return the shortest rectangle of a set."""
        best = min(self._of[code], key=lambda at: (self._made[at].along, self._made[at].across))
        return self._tree(best)

    def _tree(self, at: int) -> Tree:
        made = self._made[at]
        if made.axis is None:
            return piece_tree(made.across, made.along, made.first, turned=bool(made.second))
        parts: list[Tree] = []
        waiting = [made.second, made.first]
        while waiting:  # one after the other: a row may have hundreds of pieces
            part = self._made[waiting[-1]]
            if part.axis is made.axis:
                waiting[-1:] = [part.second, part.first]
            else:
                parts.append(self._tree(waiting.pop()))
        return join(made.axis, parts)

    def _run(self, demand: Sequence[int], limit: WorkLimit) -> bool:
        self._start(demand)
        pairs, joins = limit.pairs, limit.joins
        while self._heap:
            area, code, value = heappop(self._heap)
            for made in self._pending.pop(code):
                self._append(code, made, area, value)
                pairs -= self._size
                joins -= self._join_last()
                if pairs < 0 or joins < 0 or self._rounds[-1] > MOST_ROUNDS:
                    return False
                if code == self.packing.full:
                    return True
        return True

    def _start(self, demand: Sequence[int]) -> None:
        prices = self.loss.prices or (0,) * len(self.kinds)
        for index, (kind, count) in enumerate(zip(self.kinds, demand, strict=True)):
            if not count:
                continue
            code = 1 << self.packing.shifts[index]
            ways = [
                _Pending(w, h, None, index, int(turned))
                for w, h, turned in kind.ways()
                if w <= self.width and h <= self.height
            ]
            if ways:
                self._pending[code] = ways
                heappush(self._heap, (kind.area, code, prices[index]))

    def _append(self, code: int, made: _Pending, area: int, value: int) -> None:
        if self._size == self._rows.shape[1]:
            self._rows = np.concatenate([self._rows, np.zeros_like(self._rows)], axis=1)
        self._rows[:, self._size] = (code, made.across, made.along, area, value)
        self._of.setdefault(code, []).append(self._size)
        self._made.append(made)
        self._rounds.append(self._rounds_of(made))
        self._size += 1

    def _rounds_of(self, made: _Pending) -> int:
        if made.axis is None:
            return 0
        return max(
            self._rounds[part] + (self._made[part].axis is not made.axis)
            for part in (made.first, made.second)
        )

    def _join_last(self) -> int:
        """Join the newest rectangle with itself and all before it; return how many hold."""
        last = self._size - 1
        code, across, along, area, value = (int(entry) for entry in self._rows[:, last])
        rows = self._rows[:, : self._size]
        packing = self.packing
        fits = ((rows[0] + (code + packing.offset)) & packing.guards) == 0
        fits &= rows[3] <= self._room - area
        others = np.flatnonzero(fits)
        if not others.size:
            return 0
        part = rows[:, others]
        joins = 0
        for axis in (Axis.ACROSS, Axis.ALONG):
            if axis is Axis.ACROSS:
                wide, long = part[1] + across, np.maximum(part[2], along)
            else:
                wide, long = np.maximum(part[1], across), part[2] + along
            keep = (wide <= self.width) & (long <= self.height)
            keep &= wide * long - part[3] <= self.loss.bare + area
            at = np.flatnonzero(keep)
            if at.size and self.loss.table is not None:
                at = at[self._worth_it(wide[at], long[at], part[4][at] + value)]
            joins += at.size
            self._keep_all(axis, last, others[at], wide[at], long[at])
        return joins

    def _worth_it(self, wide: Integers, long: Integers, values: Integers) -> npt.NDArray[np.bool_]:
        loss = self.loss
        if loss.table is None:
            return np.ones(len(wide), dtype=np.bool_)
        row = np.searchsorted(np.asarray(loss.xs), wide, side="right") - 1
        column = np.searchsorted(np.asarray(loss.ys), long, side="right") - 1
        worth: npt.NDArray[np.bool_] = loss.table[row, column] - values <= loss.value
        return worth

    def _keep_all(
        self, axis: Axis, last: int, others: Integers, wide: Integers, long: Integers
    ) -> None:
        code, _, _, area, value = (int(entry) for entry in self._rows[:, last])
        codes = (self._rows[0, others] + code).tolist()
        for other, both, across, along in zip(
            others.tolist(), codes, wide.tolist(), long.tolist(), strict=True
        ):
            found = self._pending.get(both)
            if found is None:
                found = self._pending[both] = []
                worth = value + int(self._rows[4, other])
                heappush(self._heap, (area + int(self._rows[3, other]), both, worth))
            kept = []
            for made in found:
                if made[0] <= across and made[1] <= along:
                    break
                if across > made[0] or along > made[1]:
                    kept.append(made)
            else:
                found[:] = [*kept, _Pending(across, along, axis, last, other)]
