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
from kitmaker.cutting.builds import Builds, Loss, WorkLimit
from kitmaker.cutting.knapsack import LayoutSearch
from kitmaker.cutting.master import PRICE_SCALE, CoverProgram
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.recut import recut
from kitmaker.cutting.simplest import drop_surplus
from kitmaker.cutting.stretches import StretchPool, length_of, next_shorter
from kitmaker.cutting.trees import Column, tidy

ROUNDS = 300
"""Rounds of column generation at most."""
BUILD_WORK = WorkLimit(pairs=40_000_000, joins=80_000)
"""When the exact search among layouts of little waste gives up."""
LONGEST_BLOCK = 6
"""Blocks are at most so many times as long as the longest piece."""
FEWEST_TABLES = 5
"""Blocks are shortened until so many tables can be afforded."""
FIRST_NODES = 20
"""Nodes of an integer program that only shows how far there is to go."""
NODES = 300
"""Nodes of the integer program over all stretches at most."""
TABLE_WORK = 150_000_000
"""Additions spent on tables over all layouts."""


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
        self.pool = StretchPool(problem)
        self.bound = thread_bound(problem)
        self.best: Counter[Column] | None = None

    def run(self) -> LengthAnswer:
        pool = self.pool
        pool.generate_strips()
        self._choose(FIRST_NODES)
        if self._open():
            self._generate_blocks()
            self._choose(FIRST_NODES)
        if self._open():
            pool.list_patterns(self._length())
            self._stretches_for_the_rest()
            self._choose(NODES)
        if self._open():
            self._recut()
        if self.best is None:
            raise ValueError("no choice covers the demand")
        if self._open():
            self._settle_small()
        if self._open():
            self.bound = max(self.bound, Fraction(self._all_layouts_bound()))
        answer = drop_surplus(self.problem, self.best)
        length = length_of(answer)
        return LengthAnswer(answer, next_reachable_length(self.problem, self.bound, length))

    def _open(self) -> bool:
        return self.best is None or self.bound < length_of(self.best)

    def _length(self) -> int:
        if self.best is None:
            return self.pool.room * sum(self.problem.counts)
        return length_of(self.best)

    def _generate_blocks(self) -> None:
        """Add blocks as long as can be afforded."""
        longest = min(next_shorter(self.problem, self._length()), LONGEST_BLOCK * self.pool.room)
        blocks = LayoutSearch(self.problem.kinds, self.problem.width, longest)
        while blocks.work * FEWEST_TABLES > TABLE_WORK and longest > self.pool.room:
            longest = max(self.pool.room, longest * 2 // 3)
            blocks = LayoutSearch(self.problem.kinds, self.problem.width, longest)
        self.pool.generate_blocks(blocks, max(1, TABLE_WORK // max(1, blocks.work)))

    def _stretches_for_the_rest(self) -> None:
        """Take whole copies of the relaxation and add stretches made for what is left.

        Their strips and grids hold no more pieces than are left, which is what the whole
        demand's best stretches lack.
        """
        _, _, amounts = self.pool.program.solve()
        columns = list(self.pool.columns.values())
        for share in (Fraction(1), Fraction(2, 3)):
            left = list(self.problem.counts)
            for column, amount in zip(columns, amounts, strict=False):
                copies = int(amount * float(share) + 1e-9)
                for kind, count in enumerate(column.counts):
                    left[kind] = max(0, left[kind] - count * copies)
            if any(left) and 2 * sum(left) < 3 * sum(self.problem.counts):
                self._generate_for(left)

    def _generate_for(self, left: list[int]) -> None:
        rest, back = self.problem.only(left)
        pool = StretchPool(rest)
        pool.generate_strips()
        pool.list_patterns(None)
        found = pool.choose(None, FIRST_NODES)
        for column in pool.columns.values() if found is None else found:
            self.pool.add(column.tree.renamed(back))

    def _recut(self) -> None:
        if self.best is not None:
            better = recut(self.problem, self.best, self.pool.prices())
            if length_of(better) < self._length():
                self.best = better

    def _choose(self, nodes: int) -> None:
        found = self.pool.choose(self.best, nodes)
        if found is not None:
            self.best = drop_surplus(self.problem, found)
            for column in self.best:
                self.pool.add(column.tree)

    def _settle_small(self) -> None:
        """Look for something shorter among all layouts of little waste, exactly."""
        width = self.problem.width
        while self._open():
            height = next_shorter(self.problem, self._length())
            bare = width * height - self.problem.area
            builds = Builds(
                self.problem.kinds, self.problem.counts, width, height, Loss(bare), BUILD_WORK
            )
            if builds.full_found:
                tree = tidy(builds.tree(builds.packing.full))
                self.best = Counter({Column(self.problem.counts, tree, tree.along): 1})
            elif builds.complete:
                self.bound = max(self.bound, Fraction(self._length()))
            else:
                return

    def _all_layouts_bound(self) -> int:
        """Return the least length whose best layout is worth all pieces, 0 if too dear."""
        search = LayoutSearch(self.problem.kinds, self.problem.width, self._length())
        if search.work > TABLE_WORK:
            return 0
        prices = self.pool.prices()
        value = self.pool.worth(prices)
        enough = np.flatnonzero(search.table(prices)[-1] >= value)
        if enough.size == 0:
            return 0
        return search.ys[int(enough[0])]
