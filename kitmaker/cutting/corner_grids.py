"""Sheets with a grid of equal pieces in one corner and the best of everything else around it.

The best layout of a sheet repeats its best piece until it is full. Where that piece is
nearly used up, a sheet is wanted with just a few of it: a grid of n x r in the corner, and
around it whatever is worth most *without* that kind, in one of two ways::

    +------+---------+        +------+---------+
    | grid |         |        | grid |  rest   |
    +------+  rest   |        +------+---------+
    | rest |         |        |      rest      |
    +------+---------+        +----------------+
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitmaker.cutting.knapsack import LayoutSearch, Table
from kitmaker.cutting.layout import Axis
from kitmaker.cutting.positions import index_at_or_below
from kitmaker.cutting.trees import Tree, grid, join, piece_tree

MOST_OF_A_KIND = 16
"""Grids of one kind kept at most, the most valuable first."""


def corner_grids(
    search: LayoutSearch, prices: Sequence[int], width: int, height: int
) -> Iterator[Tree]:
    """Yield layouts of a sheet with a grid of each kind in its corner.

    Args:
        search: The search over all layouts of the sheet.
        prices: What a piece of each kind is worth.
        width, height: The sheet, units.
    """
    for index, kind in enumerate(search.kinds):
        others = [0 if at == index else price for at, price in enumerate(prices)]
        table = search.table(others)
        found = []
        for w, h, turned in kind.ways():
            for n in range(1, min(kind.count, width // w) + 1):
                for r in range(1, min(kind.count // n, height // h) + 1):
                    sides, above = _worth(search, table, width, height, n * w, r * h)
                    value = n * r * prices[index] + max(sides, above)
                    found.append((-value, n, r, w, h, turned, sides >= above))
        for _, n, r, w, h, turned, beside in sorted(found)[:MOST_OF_A_KIND]:
            corner = grid(piece_tree(w, h, index, turned=turned), n, r)
            yield _around(search, others, table, corner, (width, height), beside=beside)


def _worth(
    search: LayoutSearch, table: Table, width: int, height: int, w: int, h: int
) -> tuple[int, int]:
    """Return what is worth most around a grid, cut beside it first or above it first."""

    def best(across: int, along: int) -> int:
        row = index_at_or_below(search.xs, across)
        return int(table[row, index_at_or_below(search.ys, along)])

    beside = best(width - w, height) + best(w, height - h)
    above = best(width, height - h) + best(width - w, h)
    return beside, above


def _around(
    search: LayoutSearch,
    prices: Sequence[int],
    table: Table,
    corner: Tree,
    size: tuple[int, int],
    *,
    beside: bool,
) -> Tree:
    width, height = size
    if beside:
        near = search.layout(prices, table, corner.across, height - corner.along)
        far = search.layout(prices, table, width - corner.across, height)
        part = join(Axis.ALONG, [corner, near]) if near else corner
        return join(Axis.ACROSS, [part, far]) if far else part
    near = search.layout(prices, table, width - corner.across, corner.along)
    far = search.layout(prices, table, width, height - corner.along)
    part = join(Axis.ACROSS, [corner, near]) if near else corner
    return join(Axis.ALONG, [part, far]) if far else part
