"""The best strips that hold no more of a kind than is left to cut.

The problem
    The best strip at given values repeats its best piece until it is full
    (:mod:`kitmaker.cutting.strips`). Towards the end of a length five of those are left and
    the strip has room for sixteen: what is wanted now is the best strip of *five* of them
    and of the best of the rest.

The idea
    Sections (stacks of pieces that share their size along the strip) are put into the strip
    one kind after another, each as often as there are pieces left, and for every depth and
    every length of a strip at once::

        depth 5    |a|a|b b b|            a: 2 left, stacked singly
                   | | |b b b| . . .      b: 9 left, two to a stack

    A kind is counted exactly as long as it lies one way and in stacks of its own; stacks of
    several kinds of one size are one more choice, each taken once.

What it does not do
    A kind that lies both ways in one strip, or in stacks of its own and in mixed ones, may
    be counted twice. The caller counts what a strip really holds.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from kitmaker.cutting.layout import Axis
from kitmaker.cutting.positions import index_at_or_below, positions_across
from kitmaker.cutting.problem import Kind
from kitmaker.cutting.strips import Lying
from kitmaker.cutting.trees import Tree, join, piece_tree

Table = npt.NDArray[np.int64]
Taken = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class _Offer:
    """Sections that may be put into strips of the depths ``first`` to ``last`` - 1.

    Attributes:
        stack: What one section holds, from the start.
        copies: Sections, taken all or none.
        worth: What they are worth together.
    """

    first: int
    last: int
    stack: tuple[Lying, ...]
    copies: int
    worth: int

    @property
    def size(self) -> int:
        """Units along the strip that the sections take."""
        return self.stack[0].size * self.copies


class CountedStrips:
    """Finds best strips of cloth of one width, for value after value.

    Attributes:
        depths: The depths looked at, ascending: those of single pieces and of two stacked.
        lengths: Every length of strip looked at, ascending.
    """

    def __init__(self, kinds: Sequence[Kind], width: int, room: int) -> None:
        """Prepare the positions.

        Args:
            kinds: The kinds of piece.
            width: The longest strip, units.
            room: The greatest depth, units.
        """
        self.kinds = tuple(kinds)
        self.lengths = positions_across(self.kinds, width)
        lying = [
            Lying(index, w, h, turned)
            for index, kind in enumerate(self.kinds)
            for w, h, turned in kind.ways()
            if w <= width and h <= room
        ]
        single = {one.depth for one in lying}
        pairs = {
            one.depth + other.depth
            for one in lying
            for other in lying
            if one.depth + other.depth <= room
        }
        self.depths = sorted(single | pairs) if len(single) <= _FEW_DEPTHS else sorted(single)
        groups: dict[int, list[Lying]] = {}
        for one in lying:
            groups.setdefault(one.size, []).append(one)
        self._groups = dict(sorted(groups.items(), reverse=True))
        self._at = np.asarray(self.lengths, dtype=np.int64)
        self._rests: dict[int, tuple[int, npt.NDArray[np.intp]]] = {}

    @property
    def work(self) -> int:
        """Additions one solve takes, roughly."""
        ways = sum(len(group) for group in self._groups.values())
        return _OFFERS_A_WAY * ways * len(self.lengths) * len(self.depths)

    def solve(self, values: Sequence[int], left: Sequence[int]) -> CountedValues:
        """Return the best value of strips of every depth and length.

        Args:
            values: A whole number of at least 0 for each kind.
            left: How many of each kind a strip may hold.
        """
        best: Table = np.zeros((len(self.lengths), len(self.depths)), dtype=np.int64)
        steps: list[tuple[_Offer, Taken]] = []
        for offer in self._offers(values, left):
            first, rest = self._rest(offer.size)
            if first == len(self.lengths):
                continue
            lines = best[:, offer.first : offer.last]
            sums = lines.take(rest, axis=0)
            sums += offer.worth
            steps.append((offer, sums > lines[first:]))
            np.maximum(lines[first:], sums, out=lines[first:])
        return CountedValues(self, best, tuple(steps))

    def _rest(self, size: int) -> tuple[int, npt.NDArray[np.intp]]:
        """Return from which length on there is room, and what is left of each of those."""
        found = self._rests.get(size)
        if found is None:
            first = int(np.searchsorted(self._at, size))
            rest = np.searchsorted(self._at, self._at[first:] - size, side="right") - 1
            found = self._rests[size] = first, rest
        return found

    def _offers(self, values: Sequence[int], left: Sequence[int]) -> Iterator[_Offer]:
        for group in self._groups.values():
            wanted = [one for one in group if values[one.kind] > 0 and left[one.kind] > 0]
            for one in wanted:
                yield from self._alone(one, values[one.kind], left[one.kind])
            if len(wanted) > 1:
                yield from self._together(wanted, values, left)

    def _alone(self, lying: Lying, value: int, left: int) -> Iterator[_Offer]:
        """Yield stacks of one kind, as many as there are pieces left."""
        most = self.lengths[-1] // lying.size
        heights = [min(depth // lying.depth, left) for depth in self.depths]
        for first, last, height in _runs(heights):
            if not height:
                continue
            whole, over = divmod(left, height)
            for copies in _doubling(min(whole, most)):
                yield _Offer(first, last, (lying,) * height, copies, value * height * copies)
            if over and whole < most:
                yield _Offer(first, last, (lying,) * over, 1, value * over)

    def _together(
        self, group: Sequence[Lying], values: Sequence[int], left: Sequence[int]
    ) -> Iterator[_Offer]:
        """Yield, for each depth, the best stack where it holds several kinds."""
        two = sorted(one.depth for one in group)[:2]
        for at, depth in enumerate(self.depths):
            if depth < sum(two):
                continue
            stack = _best_stack(group, values, left, depth)
            held = {one.kind: stack.count(one) for one in stack}
            if len(held) < 2:
                continue
            copies = min(left[kind] // count for kind, count in held.items())
            worth = sum(values[one.kind] for one in stack)
            most = self.lengths[-1] // stack[0].size
            for times in _doubling(min(copies, most)):
                yield _Offer(at, at + 1, stack, times, worth * times)


_FEW_DEPTHS = 12
"""With more depths of single pieces than this no stacks of two are looked for."""


def _runs(heights: Sequence[int]) -> Iterator[tuple[int, int, int]]:
    """Yield (first, last + 1, height) for equal heights that follow one another."""
    first = 0
    for at in range(1, len(heights) + 1):
        if at == len(heights) or heights[at] != heights[first]:
            yield first, at, heights[first]
            first = at


def _doubling(count: int) -> Iterator[int]:
    """Yield numbers that make up every number from 0 to ``count``: 1, 2, 4, ... and a rest."""
    chunk = 1
    while count > 0:
        yield min(chunk, count)
        count -= chunk
        chunk *= 2


def _best_stack(
    group: Sequence[Lying], values: Sequence[int], left: Sequence[int], depth: int
) -> tuple[Lying, ...]:
    """Return the stack worth most within a depth, the deepest piece first."""
    best: tuple[int, tuple[Lying, ...]] = (0, ())

    def fill(at: int, room: int, worth: int, stack: tuple[Lying, ...]) -> None:
        nonlocal best
        if worth > best[0]:
            best = worth, stack
        for number in range(at, len(group)):
            one = group[number]
            if one.depth <= room and stack.count(one) < left[one.kind] and len(stack) < _MOST_HIGH:
                fill(number, room - one.depth, worth + values[one.kind], (*stack, one))

    fill(0, depth, 0, ())
    return tuple(sorted(best[1], key=lambda one: (-one.depth, one.kind)))


_OFFERS_A_WAY = 6
"""How many offers a kind lying one way makes, roughly."""
_MOST_HIGH = 4
"""Pieces in a stack of several kinds at most."""


@dataclass(frozen=True, slots=True)
class CountedValues:
    """What :meth:`CountedStrips.solve` found.

    Attributes:
        values: The best value by length and depth, as indexed in ``search``.
    """

    search: CountedStrips
    values: Table
    steps: tuple[tuple[_Offer, Taken], ...]

    def strip(self, depth_at: int, length: int) -> Tree | None:
        """Return a best strip of a depth (its index) and a length; None when it is empty."""
        search = self.search
        at = index_at_or_below(search.lengths, length)
        parts: list[Tree] = []
        for offer, taken in reversed(self.steps):
            if not offer.first <= depth_at < offer.last:
                continue
            first, rest = search._rest(offer.size)
            if at >= first and taken[at - first, depth_at - offer.first]:
                stack = [
                    piece_tree(one.size, one.depth, one.kind, turned=one.turned)
                    for one in offer.stack
                ]
                parts += [join(Axis.ALONG, stack)] * offer.copies
                at = int(rest[at - first])
        return join(Axis.ACROSS, parts) if parts else None
