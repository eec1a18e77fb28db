"""How short a length off the bolt yields the pieces, and the proof that less will not do.

The way
    1. The length is cut into *stretches* from selvage to selvage, one after another. A
       stretch is mostly a strip with its sub-cuts; where long pieces lie along the selvage
       it is a longer block in which lengthwise cuts come first. Stretches are generated
       by price, each paying for the length it takes.
    2. An integer program chooses stretches of the least length in all.
    3. Two bounds: what any thread across the cloth can carry (:mod:`kitmaker.cutting.bars`),
       and, where the table is affordable, the least length whose best layout over *all*
       edge-to-edge cuttings is worth as much as all pieces together.

What it does not do
    A stretch holds at most one long piece's length, so a layout that interlocks several
    stretches lengthwise is not found; the bound covers it, and the answer says where the
    two do not meet.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from kitmaker.cutting.bars import ThreadSearch
from kitmaker.cutting.bounds import next_reachable_length, thread_certificate
from kitmaker.cutting.knapsack import LayoutSearch
from kitmaker.cutting.layout import Axis
from kitmaker.cutting.master import PRICE_SCALE, CoverProgram, choose_columns
from kitmaker.cutting.positions import index_at_or_below
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.simplest import drop_surplus
from kitmaker.cutting.strips import StripSearch
from kitmaker.cutting.trees import Column, Tree, join, piece_tree, tally, tidy

ROUNDS = 300
"""Rounds of column generation at most."""
NODES = 3_000
"""Nodes of an integer program at most."""
TABLE_WORK = 150_000_000
"""Additions spent on tables over all layouts."""
DUAL_SCALE = 1_000
"""Prices of stretches are whole numbers of a unit's thousandth."""


@dataclass(frozen=True, slots=True)
class LengthAnswer:
    """How long, cut how, and what is proven.

    Attributes:
        columns: Stretches and copies; a column's size is its units along.
        lower_bound: No edge-to-edge cutting is shorter, units.
    """

    columns: Counter[Column]
    lower_bound: int

    @property
    def length(self) -> int:
        """Units along, all stretches together."""
        return sum(column.size * copies for column, copies in self.columns.items())

    @property
    def proven(self) -> bool:
        """Whether no edge-to-edge cutting is shorter."""
        return self.length == self.lower_bound


def shortest_length(problem: Problem) -> LengthAnswer:
    """Find how short a length yields the pieces.

    Args:
        problem: Without a height; each kind fits the width.
    """
    search = _Search(problem)
    return search.run()


def thread_bound(problem: Problem) -> Fraction:
    """Return a length, in units, below which no cutting of any sort can be."""
    threads = ThreadSearch(problem.kinds, problem.width)
    kinds, items = len(problem.kinds), len(threads.items)
    program = CoverProgram([*problem.counts, *([0] * items)])
    for number, item in enumerate(threads.items):
        column = [0] * (kinds + items)
        column[item.kind] = 1
        column[kinds + number] = -item.along
        program.add(column, 0)
        single = [0] * (kinds + items)
        single[kinds + number] = item.most
        program.add(single, 1)
    best = Fraction(problem.area, problem.width)
    for _ in range(ROUNDS):
        _, prices, _ = program.solve()
        item_prices = prices[kinds:]
        certificate = thread_certificate(problem, threads, item_prices)
        best = max(best, certificate.ratio)
        most, counts = threads.best(item_prices)
        if most <= PRICE_SCALE + items * 2:
            break
        program.add([*([0] * kinds), *counts], 1)
    return best


class _Search:
    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.kinds = len(problem.kinds)
        self.demand = problem.counts
        self.program = CoverProgram(self.demand)
        self.columns: dict[tuple[tuple[int, ...], int], Column] = {}
        self.room = max(
            h for kind in problem.kinds for w, h, _ in kind.ways() if w <= problem.width
        )
        self.strips = StripSearch(problem.kinds, problem.width, self.room, Axis.ALONG)
        self.best: Counter[Column] | None = None

    def run(self) -> LengthAnswer:
        bound = thread_bound(self.problem)
        self._start()
        self._generate_strips()
        self._choose()
        if self._length() > bound and self._mixes_lengths():
            blocks = LayoutSearch(self.problem.kinds, self.problem.width, self.room)
            if self._generate_blocks(blocks):
                self._choose()
        if self.best is None:
            raise ValueError("no choice covers the demand")
        if self._length() > bound:
            bound = max(bound, Fraction(self._all_layouts_bound()))
        answer = drop_surplus(self.problem, self.best)
        length = sum(column.size * copies for column, copies in answer.items())
        return LengthAnswer(answer, next_reachable_length(self.problem, bound, length))

    def _length(self) -> int:
        if self.best is None:
            return self.room * sum(self.demand)
        return sum(column.size * copies for column, copies in self.best.items())

    def _mixes_lengths(self) -> bool:
        """Whether lengthwise cuts first could pay: pieces of very different lengths along."""
        shortest = min(min(h for _, h, _ in kind.ways()) for kind in self.problem.kinds)
        return self.room > 2 * shortest

    def _add(self, tree: Tree) -> bool:
        counts = tally(tree, self.kinds)
        if (counts, tree.along) in self.columns:
            return False
        self.columns[counts, tree.along] = Column(counts, tidy(tree), tree.along)
        self.program.add(counts, tree.along * DUAL_SCALE)
        return True

    def _start(self) -> None:
        for index, kind in enumerate(self.problem.kinds):
            for w, h, turned in kind.ways():
                if across := self.problem.width // w:
                    self._add(join(Axis.ACROSS, [piece_tree(w, h, index, turned=turned)] * across))

    def _generate_strips(self) -> None:
        depths = np.asarray(self.strips.depths, dtype=np.int64)
        for _ in range(ROUNDS):
            _, prices, _ = self.program.solve()
            found = self.strips.solve(prices)
            gains = found.strip_values() - depths * (DUAL_SCALE * PRICE_SCALE)
            order = np.argsort(-gains, kind="stable")[:4]
            new = False
            for at in order:
                tree = found.strip(int(at)) if gains[at] > 2 * self.kinds else None
                if tree is not None:
                    new = self._add(tree) or new
            if not new:
                return

    def _generate_blocks(self, blocks: LayoutSearch) -> bool:
        """Add stretches of any edge-to-edge layout; return whether any came."""
        heights = np.asarray(blocks.ys, dtype=np.int64)
        any_new = False
        for _ in range(min(ROUNDS, TABLE_WORK // max(1, blocks.work))):
            _, prices, _ = self.program.solve()
            table = blocks.table(prices)
            gains = table[-1] - heights * (DUAL_SCALE * PRICE_SCALE)
            at = int(np.argmax(gains))
            if gains[at] <= 2 * self.kinds:
                break
            tree = blocks.layout(prices, table, self.problem.width, int(heights[at]))
            if tree is None or not self._add(tree):
                break
            any_new = True
            self._generate_strips()
        return any_new

    def _choose(self) -> None:
        columns = list(self.columns.values())
        choice = choose_columns(
            [column.counts for column in columns],
            [column.size for column in columns],
            self.demand,
            nodes=NODES,
            whole_steps=True,
        )
        if choice is None:
            return
        found = Counter(
            {
                column: copies
                for column, copies in zip(columns, choice.copies, strict=True)
                if copies
            }
        )
        if self.best is None or sum(c.size * n for c, n in found.items()) < self._length():
            self.best = found

    def _all_layouts_bound(self) -> int:
        """Return the least length whose best layout is worth all pieces, 0 if too dear."""
        search = LayoutSearch(self.problem.kinds, self.problem.width, self._length())
        if search.work > TABLE_WORK:
            return 0
        _, prices, _ = self.program.solve()
        value = sum(price * count for price, count in zip(prices, self.demand, strict=True))
        enough = np.flatnonzero(search.table(prices)[-1] >= value)
        if enough.size == 0:
            return 0
        return search.ys[index_at_or_below(search.ys, search.ys[int(enough[0])])]
