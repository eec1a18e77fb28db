"""How short a length can be at all: two bounds, each exact whatever proposes its prices.

Thread by thread
    :mod:`kitmaker.cutting.bars` looks at one thread across the cloth. Quick, and close
    where the cloth is long against its pieces.

One sheet of so many units
    If all pieces fit a length L, then one layout of a sheet of width W and length L holds
    the whole demand. So at *any* prices the best layout of that sheet over all
    edge-to-edge layouts must be worth at least what all pieces are worth. Where it is not,
    L is too short; and the same table shows the least length at which it is enough::

        best worth of W x L ->    90  91  91  93  97  97  101     all pieces are worth 95
                          L ->    40  41  42  43  44  45  46      so L is 44 at least

    The prices come from asking whether a *mixture* of layouts of W x L (half of this one,
    half of that one) can hold the demand: the relaxation for one sheet. While it cannot,
    its prices prove a greater length; when it can, this bound has no more to say.

Nothing here looks at how many pieces of a kind there are in all, so that both bounds are
slack where a handful of large pieces fits badly; there
:mod:`kitmaker.cutting.builds` decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from kitmaker.cutting.bars import ThreadSearch
from kitmaker.cutting.bounds import next_reachable_length, thread_certificate
from kitmaker.cutting.knapsack import LayoutSearch, table_work
from kitmaker.cutting.master import PRICE_SCALE, CoverProgram
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.trees import Tree, full_of_one_kind, tally

ROUNDS = 300
"""Rounds of column generation at most."""


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


MOST_POSITIONS = 20_000
"""Units along beyond which no table is begun."""


def raised_bound(
    problem: Problem,
    bound: Fraction,
    length: int,
    prices: Sequence[int],
    work: int,
) -> Fraction:
    """Return the bound raised by what one sheet of W x L can hold.

    Args:
        problem: What is to be cut.
        bound: A proven bound, units.
        length: A length known to do, units.
        prices: A first proposal.
        work: Additions to be spent on tables.
    """
    target = next_reachable_length(problem, bound, length)
    if target >= length or length > MOST_POSITIONS:
        return max(bound, Fraction(target))
    if table_work(problem.kinds, problem.width, length - 1) > work:
        return max(bound, Fraction(target))
    search = LayoutSearch(problem.kinds, problem.width, length - 1)
    rounds = min(ROUNDS, work // max(1, search.work))
    relaxation = _OneSheet(problem)
    for _ in range(rounds):
        if target >= length:
            break
        value = sum(price * count for price, count in zip(prices, problem.counts, strict=True))
        table = search.table(prices)
        enough = np.flatnonzero(table[-1] >= value)
        least = search.ys[int(enough[0])] if enough.size else length
        target = max(target, least)
        if target >= length:
            break
        tree = search.layout(prices, table, problem.width, target)
        if tree is None or not relaxation.add(tree):
            break
        proposal = relaxation.prices(target)
        if proposal is None:
            break
        prices = proposal
    return max(bound, Fraction(target))


class _OneSheet:
    """Whether a mixture of layouts of one sheet can hold the demand."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.program = CoverProgram(problem.counts)
        self._known: set[tuple[int, ...]] = set()
        self._grids = 0

    def add(self, tree: Tree) -> bool:
        """Add a layout; return whether it is new."""
        counts = tally(tree, len(self.problem.kinds))
        if counts in self._known:
            return False
        self._known.add(counts)
        self.program.add(counts, 1)
        return True

    def prices(self, height: int) -> tuple[int, ...] | None:
        """Return prices at which one sheet cannot hold all; None when a mixture can."""
        if height > self._grids:
            self._grids = height
            for tree in full_of_one_kind(self.problem.kinds, self.problem.width, height):
                self.add(tree)
        value, prices, _ = self.program.solve()
        return None if value * PRICE_SCALE <= PRICE_SCALE + 1 else prices
