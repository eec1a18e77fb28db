"""Stretches of cloth from selvage to selvage: what a length off the bolt is put together from.

A stretch is mostly a strip with its sub-cuts. Where long pieces lie along the selvage it
is a *block*: lengthwise cuts come first, and rows of small pieces fill what is left beside
the long ones::

    +----+----+--------------+
    |    |    |  c  c  c  c  |
    | l  | l  +--------------+     long pieces l, and rows beside them
    |    |    |  d  d  d  #  |
    +----+----+--------------+

The pool grows by price: each stretch pays for the units along that it takes. What comes
into it is never taken out again, so a later integer program can go back to anything.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence

import numpy as np

from kitmaker.cutting.knapsack import LayoutSearch, Table
from kitmaker.cutting.layout import Axis
from kitmaker.cutting.master import PRICE_SCALE, CoverProgram, choose_columns
from kitmaker.cutting.positions import index_at_or_below, last_position_along
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.strip_patterns import PatternList
from kitmaker.cutting.strips import StripSearch
from kitmaker.cutting.trees import Column, Tree, chosen_of, grid, join, piece_tree, tally, tidy

ROUNDS = 300
"""Rounds of column generation at most."""
BLOCKS_A_ROUND = 4
"""Blocks of different lengths taken from one table."""
GRIDS_OF_A_KIND = 2
"""Blocks beside a grid of one kind, lying one way, taken from one table."""
PATTERNS = 1_000
"""Strips listed for one gap at most."""
PRICE_OF_UNIT = 1_000
"""What a unit along costs in the program, so that prices are whole numbers of thousandths."""
UNIT = PRICE_OF_UNIT * PRICE_SCALE


class StretchPool:
    """All stretches found so far, and the program that prices them.

    Attributes:
        room: The longest strip considered, units: the longest piece's measure along, or two
            of the deepest pieces behind one another.
    """

    def __init__(self, problem: Problem) -> None:
        """Start with rows of one kind."""
        self.problem = problem
        self.demand = problem.counts
        self.columns: dict[tuple[tuple[int, ...], int], Column] = {}
        self.program = CoverProgram(self.demand)
        self.room = max(
            h for kind in problem.kinds for w, h, _ in kind.ways() if w <= problem.width
        )
        # Two pieces behind one another may share a strip with one larger piece.
        deepest = 2 * max(min(h for _, h, _ in kind.ways()) for kind in problem.kinds)
        self.room = max(self.room, deepest)
        self.strips = StripSearch(problem.kinds, problem.width, self.room, Axis.ALONG)
        self._start()

    def add(self, tree: Tree) -> bool:
        """Add a stretch; return whether it is new."""
        counts = tally(tree, len(self.demand))
        if (counts, tree.along) in self.columns:
            return False
        self.columns[counts, tree.along] = Column(counts, tidy(tree), tree.along)
        self.program.add(counts, tree.along * PRICE_OF_UNIT)
        return True

    def prices(self) -> tuple[int, ...]:
        """Return the price of each kind; a unit along costs ``UNIT``."""
        return self.program.solve()[1]

    def worth(self, prices: Sequence[int]) -> int:
        """Return what all pieces are worth; over ``UNIT`` it is the length of the relaxation."""
        return sum(price * count for price, count in zip(prices, self.demand, strict=True))

    def _start(self) -> None:
        for index, kind in enumerate(self.problem.kinds):
            for w, h, turned in kind.ways():
                if across := min(self.problem.width // w, kind.count):
                    self.add(grid(piece_tree(w, h, index, turned=turned), across, 1))

    def generate_strips(self) -> None:
        """Add strips until none is worth more than its length."""
        depths = np.asarray(self.strips.depths, dtype=np.int64)
        for _ in range(ROUNDS):
            prices = self.prices()
            found = self.strips.solve(prices)
            gains = found.strip_values() - depths * UNIT
            order = np.argsort(-gains, kind="stable")[:4]
            new = False
            for at in order:
                tree = found.strip(int(at)) if gains[at] > 2 * len(self.demand) else None
                if tree is not None:
                    new = self.add(tree) or new
            if not new:
                return

    def generate_blocks(self, blocks: LayoutSearch, rounds: int) -> None:
        """Add stretches of any edge-to-edge layout.

        Args:
            blocks: The search over all layouts, as wide as the cloth.
            rounds: Tables at most.
        """
        scarce = self._scarce()
        for _ in range(rounds):
            prices = self.prices()
            table = blocks.table(prices)
            heights = np.asarray(blocks.ys, dtype=np.int64)
            gains = table[-1] - heights * UNIT
            new = self._beside_grids(blocks, prices, table)
            if scarce:
                others = [0 if at in scarce else price for at, price in enumerate(prices)]
                new = self._beside_grids(blocks, others, blocks.table(others), scarce) or new
            for at in _best_apart(gains, BLOCKS_A_ROUND):
                if gains[at] > 2 * len(self.demand):
                    tree = blocks.layout(prices, table, self.problem.width, int(heights[at]))
                    new = (tree is not None and self.add(tree)) or new
            if not new:
                break
            self.generate_strips()

    def _scarce(self) -> set[int]:
        """Return the kinds of long piece whose whole demand fits into one row.

        At their price the best block holds more of them than there are; so blocks are also
        looked for where they are worth nothing but where they are put.
        """
        shortest = min(min(h for _, h, _ in kind.ways()) for kind in self.problem.kinds)
        return {
            index
            for index, kind in enumerate(self.problem.kinds)
            if kind.count * kind.across <= self.problem.width and kind.along > 2 * shortest
        }

    def _beside_grids(
        self,
        blocks: LayoutSearch,
        prices: Sequence[int],
        table: Table,
        only: Collection[int] = (),
    ) -> bool:
        """Add blocks of a grid of equal pieces with the best of the rest beside it.

        A grid holds no more pieces than are needed, which the best block of all may.
        """
        width, room = self.problem.width, blocks.ys[-1]
        found: list[tuple[int, int, int, int, int, int, bool]] = []
        for index, kind in enumerate(self.problem.kinds):
            if only and index not in only:
                continue
            for w, h, turned in kind.ways():
                own = len(found)
                for n in range(1, min(kind.count, width // w) + 1):
                    row = index_at_or_below(blocks.xs, width - n * w)
                    for r in range(1, min(-(-kind.count // n), room // h) + 1):
                        rest = int(table[row, index_at_or_below(blocks.ys, r * h)])
                        made = min(n * r, kind.count)
                        gain = made * prices[index] + rest - r * h * UNIT
                        found.append((-gain, index, w, h, n, r, turned))
                found[own:] = sorted(found[own:])[:GRIDS_OF_A_KIND]
        found.sort()
        new = False
        for _, index, w, h, n, r, turned in found:
            equal = grid(piece_tree(w, h, index, turned=turned), n, r)
            beside = blocks.layout(prices, table, width - n * w, r * h)
            new = self.add(join(Axis.ACROSS, [equal, beside] if beside else [equal])) or new
        return new

    def list_patterns(self, shorter_than: int | None) -> None:
        """Add every strip that an answer shorter than the known one can contain.

        Args:
            shorter_than: The length of the answer known, units; None when there is none
                and any strip may serve.
        """
        prices = self.prices()
        least = self.worth(prices)
        gap = least if shorter_than is None else max(0, (shorter_than - 1) * UNIT - least)
        best = dict(
            zip(
                self.strips.depths,
                self.strips.solve(prices).strip_values().tolist(),
                strict=True,
            )
        )
        lister = PatternList(self.problem.kinds, self.demand, self.problem.width, Axis.ALONG)
        depths = [d for d in lister.depths(self.room) if best.get(d, 0) + gap >= d * UNIT]
        each = max(20, PATTERNS // max(1, len(depths)))
        for depth in depths:
            for strip in lister.list_within(depth, prices, depth * UNIT, gap, each):
                self.add(strip.tree(Axis.ALONG))

    def choose(self, known: Counter[Column] | None, nodes: int) -> Counter[Column] | None:
        """Choose whole stretches of the least length; None when nothing shorter is found.

        Args:
            known: The best choice so far; None when there is none.
            nodes: When to stop looking.
        """
        columns = list(self.columns.values())
        choice = choose_columns(
            [column.counts for column in columns],
            [column.size for column in columns],
            self.demand,
            nodes=nodes,
            whole_steps=True,
            start=None if known is None else [known[column] for column in columns],
        )
        if choice is None:
            return None
        found = chosen_of(columns, choice.copies)
        return None if known is not None and length_of(found) >= length_of(known) else found


def _best_apart(gains: Table, most: int) -> list[int]:
    """Return the places of the greatest gains, none beside another."""
    chosen: list[int] = []
    for at in np.argsort(-gains, kind="stable").tolist():
        if all(abs(at - other) > 2 for other in chosen):
            chosen.append(at)
            if len(chosen) == most:
                break
    return chosen


def length_of(columns: Counter[Column]) -> int:
    """Return the units along that a choice takes."""
    return sum(column.size * copies for column, copies in columns.items())


def next_shorter(problem: Problem, length: int) -> int:
    """Return the greatest length below the given one at which a layout can end."""
    return last_position_along(problem.kinds, length - 1)
