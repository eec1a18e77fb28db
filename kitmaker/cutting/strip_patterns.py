"""All strips worth considering, with no more pieces of a kind than are needed.

The problem
    Pricing finds the one best strip at a time and repeats a piece as often as it likes. A
    demand of ten 4½-inch squares and a hundred and sixty of 2½ inches wants a strip with
    *two* of the large and twenty-four of the small ones, which is nobody's best strip.

The idea
    A strip is a row of *sections*; a section is a stack of pieces of one size across::

        +-----+-----+--+--+--+--+
        |     |     | c| c| c| d|      sections: {a}, {a}, {c, c}, {c, c}, {c, c}, {d}
        |  a  |  a  +--+--+--+  |
        |     |     | c| c| c|##|
        +-----+-----+--+--+--+--+

    All rows of sections are listed depth first, the best value for its width first, and a
    branch is left when what it holds and the most that the rest of the width could add
    lose more than an answer can afford. Then an integer program over the strips is exact
    for all answers in three rounds of cuts that are better than the one known.

What it does not do
    Rows whose sections leave room for another listed section are not kept. Where there are
    too many strips the loss allowed is halved, a few times, until they can be listed; the
    caller is not told, as no proof rests on them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kitmaker.cutting.layout import Axis
from kitmaker.cutting.problem import Kind
from kitmaker.cutting.trees import Tree, join, piece_tree

MOST_STACKS = 200
"""Sections considered for one depth at most."""
STACK_STEPS = 20_000
"""Pieces put on stacks of one size while their sections are listed, at most."""
HALVINGS = 8
"""How often the loss allowed is halved, at most."""


@dataclass(frozen=True, slots=True)
class Section:
    """A stack of pieces of one size along the strip.

    Attributes:
        size: Units along the strip.
        depth: Units the stack reaches into the strip.
        counts: Pieces of each kind.
        value: What they are worth.
        ways: The pieces in order: kind, depth, turned.
    """

    size: int
    depth: int
    counts: tuple[int, ...]
    value: int
    ways: tuple[tuple[int, int, bool], ...]


@dataclass(frozen=True, slots=True)
class Strip:
    """A row of sections with copies."""

    depth: int
    sections: tuple[tuple[Section, int], ...]
    value: int

    def tree(self, axis: Axis) -> Tree:
        """Return it as a tree; ``axis`` is the direction in which strips follow one another."""
        parts: list[Tree] = []
        for section, copies in self.sections:
            pieces = []
            for kind, depth, turned in section.ways:
                across, along = (
                    (section.size, depth) if axis is Axis.ALONG else (depth, section.size)
                )
                pieces.append(piece_tree(across, along, kind, turned=turned))
            parts += [join(axis, pieces)] * copies
        return join(axis.other, parts)


class PatternList:
    """Lists strips of given depths.

    Attributes:
        axis: How strips follow one another.
        length: Units along a strip.
    """

    def __init__(
        self, kinds: Sequence[Kind], demand: Sequence[int], length: int, axis: Axis
    ) -> None:
        """Take the pieces that are to be had; a kind with a demand of 0 is left out."""
        self.demand = tuple(demand)
        self.length = length
        self.axis = axis
        groups: dict[int, list[tuple[int, int, bool]]] = {}
        for index, kind in enumerate(kinds):
            for w, h, turned in kind.ways():
                size, depth = (w, h) if axis is Axis.ALONG else (h, w)
                if size <= length and demand[index]:
                    groups.setdefault(size, []).append((index, depth, turned))
        self._groups = {
            size: sorted(ways, key=lambda way: (-way[1], way[0], way[2]))
            for size, ways in sorted(groups.items())
        }

    def depths(self, most: int) -> list[int]:
        """Return the depths that a stack of one kind or two pieces can have."""
        found: set[int] = set()
        for ways in self._groups.values():
            for index, depth, _ in ways:
                found.update(
                    depth * times
                    for times in range(1, self.demand[index] + 1)
                    if depth * times <= most
                )
                found.update(depth + other for _, other, _ in ways if depth + other <= most)
        return sorted(depth for depth in found if depth <= most)

    def sections(self, depth: int, prices: Sequence[int]) -> list[Section]:
        """Return the fullest stacks within a depth, best value for their size first."""
        found: list[Section] = []
        for size, ways in self._groups.items():
            for chosen in _stacks(ways, depth, self.demand):
                counts = [0] * len(self.demand)
                for kind, _, _ in chosen:
                    counts[kind] += 1
                value = sum(prices[kind] for kind, _, _ in chosen)
                reach = sum(way[1] for way in chosen)
                found.append(Section(size, reach, tuple(counts), value, chosen))
                if len(found) >= MOST_STACKS:
                    break
        found.sort(key=lambda one: (-one.value / one.size, -one.size, one.counts))
        return found[:MOST_STACKS]

    def list_within(
        self, depth: int, prices: Sequence[int], worth: int, spare: int, limit: int
    ) -> list[Strip]:
        """Return the strips of one depth that lose no more than is spared, or than a part of it.

        Args:
            depth: Units.
            prices: What a piece of each kind is worth.
            worth: What a strip that loses nothing holds.
            spare: What may be lost.
            limit: Strips at most; where there are more, half the loss is tried, and so on.
        """
        for halved in range(HALVINGS):
            least = max(0, worth - (spare >> halved))
            strips = self.list_strips(depth, prices, least, limit)
            if strips is not None:
                return strips
        return []

    def list_strips(
        self, depth: int, prices: Sequence[int], at_least: int, limit: int
    ) -> list[Strip] | None:
        """Return the strips of one depth worth at least so much; None when over the limit."""
        sections = self.sections(depth, prices)
        walk = _Walk(sections, self.demand, depth, at_least, limit)
        walk.go(0, self.length, 0, list(self.demand), [])
        return walk.found if walk.left >= 0 else None


def _stacks(
    ways: Sequence[tuple[int, int, bool]], depth: int, demand: Sequence[int]
) -> Iterator[tuple[tuple[int, int, bool], ...]]:
    """Yield the fullest stacks of pieces of one size, the deepest pieces first.

    Nothing more fits on top of them. After ``STACK_STEPS`` pieces no more are listed.
    """
    left = list(demand)
    chosen: list[int] = []
    room, at = depth, 0
    for _ in range(STACK_STEPS):
        while at < len(ways) and (ways[at][1] > room or not left[ways[at][0]]):
            at += 1
        if at < len(ways):
            chosen.append(at)
            room -= ways[at][1]
            left[ways[at][0]] -= 1
            continue
        if chosen and not any(way[1] <= room and left[way[0]] > 0 for way in ways):
            yield tuple(ways[one] for one in chosen)
        if not chosen:
            return
        at = chosen.pop()
        room += ways[at][1]
        left[ways[at][0]] += 1
        at += 1


class _Walk:
    """The depth-first listing of the strips of one depth."""

    def __init__(
        self,
        sections: Sequence[Section],
        demand: Sequence[int],
        depth: int,
        at_least: int,
        limit: int,
    ) -> None:
        self.sections = sections
        self.kinds = [
            tuple((kind, count) for kind, count in enumerate(section.counts) if count)
            for section in sections
        ]
        self.demand = demand
        self.depth = depth
        self.at_least = at_least
        self.left = limit * 20
        self.limit = limit
        self.found: list[Strip] = []

    def go(
        self,
        at: int,
        room: int,
        value: int,
        demand: list[int],
        row: list[tuple[Section, int]],
    ) -> None:
        """Choose how often section ``at`` and those after it stand in the row."""
        self.left -= 1
        if self.left < 0:
            return
        if at == len(self.sections):
            self._end(room, value, demand, row)
            return
        section = self.sections[at]
        if (value - self.at_least) * section.size + room * section.value < 0:
            return
        needs = self.kinds[at]
        most = room // section.size
        for kind, count in needs:
            most = min(
                most,
                -(-demand[kind] // count) if len(needs) == 1 else demand[kind] // count,
            )
        for copies in range(most, -1, -1):
            if copies:
                row.append((section, copies))
                for kind, count in needs:
                    demand[kind] -= count * copies
            self.go(
                at + 1,
                room - copies * section.size,
                value + copies * section.value,
                demand,
                row,
            )
            if copies:
                row.pop()
                for kind, count in needs:
                    demand[kind] += count * copies

    def _end(
        self, room: int, value: int, demand: list[int], row: list[tuple[Section, int]]
    ) -> None:
        if value < self.at_least or not row:
            return
        if max(section.depth for section, _ in row) < self.depth:
            return  # the same strip is listed with a smaller depth
        for section, needs in zip(self.sections, self.kinds, strict=True):
            if section.size <= room and all(demand[kind] >= count for kind, count in needs):
                return
        self.found.append(Strip(self.depth, tuple(row), value))
        if len(self.found) > self.limit:
            self.left = -1
