"""Every set of pieces that fits one sheet, when a sheet holds few: exact and complete.

Where a sheet holds a handful of pieces, prices say little: a kit of one large square and
four rectangles is no matter of averages. Then all sets of pieces are built up from single
pieces by laying two sets side by side or one behind the other, and of each set only the
rectangles are kept that no other rectangle of it beats in both measures::

    {a}: 5 x 5     {b}: 3 x 8     {a, b}: 8 x 8 (side by side), 5 x 13 (one behind the other)

A set fits the sheet exactly when one of its rectangles does, whatever the number of
rounds, so the sets found are *all* ways of cutting one sheet and an integer program over
them is exact. The work is counted, and where it grows past a limit the method gives up
rather than answer half.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitmaker.cutting.layout import Axis
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.trees import Tree, join, piece_tree

Counts = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Box:
    """A rectangle that holds a set, and how: two smaller boxes, or a single piece."""

    across: int
    along: int
    axis: Axis | None
    first: _Box | None
    second: _Box | None
    kind: int
    turned: bool

    def tree(self) -> Tree:
        """Return it as a tree."""
        if self.axis is None or self.first is None or self.second is None:
            return piece_tree(self.across, self.along, self.kind, turned=self.turned)
        return join(self.axis, (self.first.tree(), self.second.tree()))


def all_sets(problem: Problem, height: int, work_limit: int) -> dict[Counts, Tree] | None:
    """Return every set of pieces that fits one sheet, with a layout of it.

    Args:
        problem: The kinds and counts; a set never holds more than the demand.
        height: The sheet's measure along, units.
        work_limit: Joins of two boxes after which to give up.

    Returns:
        The sets, each with a layout; None when there are too many to list.
    """
    listing = _Listing(problem, height, work_limit)
    size = 1
    while listing.by_size[size]:
        size += 1
        if not listing.add_sets_of(size):
            return None
    return {counts: found[0].tree() for counts, found in listing.boxes.items()}


class _Listing:
    """The sets found so far, by how many pieces they have."""

    def __init__(self, problem: Problem, height: int, work_limit: int) -> None:
        self.width, self.height = problem.width, height
        self.counts = problem.counts
        self.areas = tuple(kind.area for kind in problem.kinds)
        self.work_left = work_limit
        self.boxes: dict[Counts, list[_Box]] = {}
        self.by_size: list[list[Counts]] = [[], []]
        for index, kind in enumerate(problem.kinds):
            one = tuple(int(at == index) for at in range(len(self.counts)))
            for w, h, turned in kind.ways():
                if w <= self.width and h <= height:
                    box = _Box(w, h, None, None, None, index, turned)
                    _keep(self.boxes.setdefault(one, []), box)
            self.by_size[1].append(one)

    def add_sets_of(self, size: int) -> bool:
        """List the sets of one size; return False when that is too much work."""
        made: dict[Counts, list[_Box]] = {}
        for one, other in self._pairs(size):
            both = tuple(a + b for a, b in zip(one, other, strict=True))
            if not self._possible(both):
                continue
            self.work_left -= len(self.boxes[one]) * len(self.boxes[other])
            if self.work_left < 0:
                return False
            found = made.setdefault(both, [])
            _join_all(self.boxes[one], self.boxes[other], self.width, self.height, found)
        self.by_size.append(sorted(counts for counts, found in made.items() if found))
        self.boxes.update({counts: made[counts] for counts in self.by_size[size]})
        return True

    def _pairs(self, size: int) -> Iterator[tuple[Counts, Counts]]:
        for smaller in range(1, size // 2 + 1):
            for one in self.by_size[smaller]:
                for other in self.by_size[size - smaller]:
                    if smaller * 2 < size or one <= other:
                        yield one, other

    def _possible(self, counts: Counts) -> bool:
        if any(have > most for have, most in zip(counts, self.counts, strict=True)):
            return False
        area = sum(have * each for have, each in zip(counts, self.areas, strict=True))
        return area <= self.width * self.height


def _join_all(
    ones: list[_Box], others: list[_Box], width: int, height: int, found: list[_Box]
) -> None:
    for one in ones:
        for other in others:
            across, along = one.across + other.across, max(one.along, other.along)
            if across <= width and along <= height:
                _keep(found, _Box(across, along, Axis.ACROSS, one, other, -1, turned=False))
            across, along = max(one.across, other.across), one.along + other.along
            if across <= width and along <= height:
                _keep(found, _Box(across, along, Axis.ALONG, one, other, -1, turned=False))


def _keep(found: list[_Box], box: _Box) -> None:
    """Keep a box unless another of its set is as small in both measures."""
    for other in found:
        if other.across <= box.across and other.along <= box.along:
            return
    found[:] = [
        other for other in found if not (box.across <= other.across and box.along <= other.along)
    ]
    found.append(box)


def maximal(sets: dict[Counts, Tree]) -> dict[Counts, Tree]:
    """Return the sets to which no piece can be added within the listing."""
    keep = {}
    for counts, tree in sets.items():
        larger = (
            tuple(have + (at == index) for at, have in enumerate(counts))
            for index in range(len(counts))
        )
        if not any(one in sets for one in larger):
            keep[counts] = tree
    return keep
