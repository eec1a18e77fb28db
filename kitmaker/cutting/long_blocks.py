"""Long pieces side by side, and the room beside them.

Where long pieces lie along the selvage the cloth beside them is cut in strips of its own::

    +----+----+--------------+
    |    |    | strip        |   a block: it pays for its length, and gives
    | l  | l  +--------------+   - two of l
    |    |    | strip        |   - as many units of room, as long as l, for strips
    |    |    +--------------+     that are shorter than the cloth is wide
    +----+----+---- room ----+

A block is one kind, or two, of long piece. More kinds side by side, and what might be cut
above the shorter one, are left to :mod:`kitmaker.cutting.knapsack`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from kitmaker.cutting.layout import Axis
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.trees import Tree, join, piece_tree, tally, tidy

MOST_BLOCKS = 60
"""Blocks considered at most."""
LONG = 3
"""A long piece is so many times as long as the deepest strip that any piece needs."""


@dataclass(frozen=True, slots=True)
class Block:
    """Long pieces side by side.

    Attributes:
        tree: The pieces.
        counts: How many of each kind.
        length: Units along.
        beside: Units across that are left.
    """

    tree: Tree
    counts: tuple[int, ...]
    length: int
    beside: int


def long_blocks(problem: Problem) -> list[Block]:
    """Return the ways of laying long pieces side by side, those of equal length first."""
    deepest = max(min(w, h) for kind in problem.kinds for w, h, _ in kind.ways())
    rows: list[tuple[Tree, int]] = []
    for index, kind in enumerate(problem.kinds):
        for w, h, turned in kind.ways():
            if h < LONG * deepest or h < 2 * w:
                continue
            for n in range(1, min(kind.count, problem.width // w) + 1):
                piece = piece_tree(w, h, index, turned=turned)
                rows.append((join(Axis.ACROSS, [piece] * n), index))
    found: dict[tuple[tuple[int, ...], int, int], Block] = {}
    for tree in _combined(rows, problem.width):
        counts = tally(tree, len(problem.kinds))
        key = (counts, tree.across, tree.along)
        found.setdefault(key, Block(tidy(tree), counts, tree.along, problem.width - tree.across))
    return list(found.values())[:MOST_BLOCKS]


def _combined(rows: Sequence[tuple[Tree, int]], width: int) -> Iterator[Tree]:
    for tree, _ in rows:
        yield tree
    pairs = [
        (first, second)
        for (first, one), (second, other) in combinations(rows, 2)
        if one != other and first.across + second.across <= width
    ]
    pairs.sort(key=lambda pair: (abs(pair[0].along - pair[1].along), -pair[0].along))
    for first, second in pairs:
        yield join(Axis.ACROSS, [first, second])
