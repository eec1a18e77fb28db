"""The cheapest sheets of several kinds that yield the pieces, and what no mix can cost less than.

Why the bound holds
    Let v be prices of the pieces and F(s) the most that a sheet s can hold at them, over
    all edge-to-edge layouts, in whole numbers. A plan that takes x(s) sheets holds the
    demand, so::

        v·d <= sum x(s) F(s)                                             (a rule)

    Where ``F(s) <= cost(s) + u(s)`` for all s, with ``u(s) >= 0`` and 0 where numbers are
    not limited, its cost is at least ``v·d - sum u(s) at_hand(s)``. Prices that are too
    high for a sheet without limit are scaled down until this holds.

    Every set of prices that was tried is kept as a rule, and so is the most that each sheet
    holds of each kind, and of the largest kinds together. Whole numbers of sheets that
    break a rule yield no plan; the cheapest that break none bound the cost, which is much
    closer for a handful of sheets. All of it is computed in whole numbers and fractions,
    whatever proposed the prices.

What it does not do
    Layouts that only pay because a piece is nearly used up are listed where they are few
    (:mod:`kitmaker.cutting.builds`), else found by luck; the bound covers them.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import lcm, prod

import numpy as np

from kitmaker.cutting.master import PRICE_SCALE, CoverProgram, choose_columns
from kitmaker.cutting.mixed import (
    EASY_NODES,
    NODES,
    Mixed,
    Searches,
    Sheet,
    ease_of,
)
from kitmaker.cutting.positions import reachable_sums
from kitmaker.cutting.problem import Kind
from kitmaker.cutting.trees import Column, chosen_of

MOST_NUMBERS = 500_000
"""Choices of how many of each kind of sheet that are tried one by one at most."""
MOST_REACHABLE = 1_000_000
"""The greatest cost for which reachable sums are listed."""


def least_cost(kinds: Sequence[Kind], sheets: Sequence[Sheet]) -> Mixed | None:
    """Find the cheapest sheets that yield the pieces.

    Args:
        kinds: What is needed; each fits some kind of sheet.
        sheets: The kinds of sheet.

    Returns:
        The plan; None when the sheets at hand do not yield the pieces in any way found.
    """
    return _Cost(kinds, sheets).run()


class _Cost:
    """The search for the least cost."""

    def __init__(self, kinds: Sequence[Kind], sheets: Sequence[Sheet]) -> None:
        self.kinds, self.sheets = tuple(kinds), tuple(sheets)
        self.scale = lcm(*(sheet.cost.denominator for sheet in sheets))
        self.costs = [int(sheet.cost * self.scale) for sheet in sheets]
        self.limited = [at for at, sheet in enumerate(sheets) if sheet.at_hand is not None]
        self.demand = [kind.count for kind in kinds]
        self.demand += [-(sheets[at].at_hand or 0) for at in self.limited]
        self.searches = Searches(kinds, sheets)
        self.bound = Fraction(0)
        self.prices: tuple[int, ...] = (0,) * len(kinds)
        self.held = [0] * len(sheets)
        self.rules: list[tuple[tuple[int, ...], int]] = []

    def run(self) -> Mixed | None:
        last = self._generate()
        self.searches.all_sets()
        self.searches.with_few(last)
        copies = self._choose(())
        if copies is None:
            return None
        if _next_cost(self.sheets, self.costs, self.bound, self._cost(copies)) < self._cost(copies):
            self._sets_within_the_slack(self._cost(copies))
            copies = self._choose(copies) or copies
        copies = self._easiest(copies)
        cost = self._cost(copies)
        bound = _next_cost(self.sheets, self.costs, self.bound, cost)
        if bound < cost:
            self._rules_of_large_kinds()
            bound = max(
                bound, Fraction(cheapest_numbers(self.sheets, self.costs, self.rules, cost))
            )
        found = chosen_of(list(self.searches.columns.values()), copies)
        return Mixed(found, Fraction(cost, self.scale), bound / self.scale)

    def _row(self, column: Column) -> tuple[int, ...]:
        return (*column.counts, *(-int(at == column.size) for at in self.limited))

    def _cost(self, copies: Sequence[int]) -> int:
        columns = self.searches.columns.values()
        return sum(
            self.costs[column.size] * n for column, n in zip(columns, copies, strict=True) if n
        )

    def _generate(self) -> tuple[int, ...]:
        """Generate layouts, keeping the prices that bound the cost best; return the last ones."""
        program = CoverProgram(self.demand)
        missing = (sum(self.costs) + 1) * 1000  # what a piece would cost that cannot be had
        size = len(self.kinds)
        for index in range(size):
            program.add([int(at == index) for at in range(len(self.demand))], missing)
        new = self.searches.grids()
        prices: tuple[int, ...] = (0,) * size
        for _ in range(self.searches.rounds):
            for column in new:
                program.add(self._row(column), self.costs[column.size])
            prices = program.solve()[1][:size]
            most, new = self.searches.price(prices)
            self._keep_rule(prices, most)
            bound = _cost_bound(self.kinds, self.sheets, self.costs, prices, most)
            if bound > self.bound:
                self.bound, self.prices, self.held = bound, prices, most
            if not new:
                break
        return prices

    def _keep_rule(self, prices: Sequence[int], most: Sequence[int]) -> None:
        """Keep that x(s) sheets hold ``sum x(s) F(s)`` at most, and must hold the demand."""
        need = sum(price * kind.count for price, kind in zip(prices, self.kinds, strict=True))
        self.rules.append((tuple(most), need))

    def _rules_of_large_kinds(self) -> None:
        """Keep a rule for each kind by itself, and for the largest ones together by area."""
        size = len(self.kinds)
        order = sorted(range(size), key=lambda at: -self.kinds[at].area)
        singles = [tuple(int(at == kind) for at in range(size)) for kind in range(size)]
        together = [
            tuple(kind.area if at in order[:many] else 0 for at, kind in enumerate(self.kinds))
            for many in range(2, size + 1)
        ]
        for prices in (*singles, *together):
            tables = [search.table(prices) for search in self.searches.layouts]
            self._keep_rule(prices, [int(table[-1, -1]) for table in tables])

    def _sets_within_the_slack(self, known: int) -> None:
        """Add every set that a sheet of a cheaper plan may hold, where they are few.

        At prices at which no sheet holds more than it costs, all sheets together lose no
        more than the known cost less what the prices prove: a sheet that loses more is in
        no cheaper plan.
        """
        shrink = _shrink(self.sheets, self.costs, self.held)
        prices = tuple(int(shrink * price) for price in self.prices)
        tables = [search.table(prices) for search in self.searches.layouts]
        over = [
            max(0, int(table[-1, -1]) - cost * PRICE_SCALE)
            for table, cost in zip(tables, self.costs, strict=True)
        ]
        slack = (known - 1) * PRICE_SCALE - sum(
            price * kind.count for price, kind in zip(prices, self.kinds, strict=True)
        )
        slack += sum(
            more * (sheet.at_hand or 0) for more, sheet in zip(over, self.sheets, strict=True)
        )
        demand = [kind.count for kind in self.kinds]
        for at, table in enumerate(tables):
            idle = self.costs[at] * PRICE_SCALE + over[at] - int(table[-1, -1])
            if slack < idle:
                continue  # a sheet that loses so much when it is full is in no cheaper plan
            self.searches.sets_within(at, demand, prices, table, slack - idle)

    def _choose(self, known: tuple[int, ...]) -> tuple[int, ...] | None:
        columns = list(self.searches.columns.values())
        choice = choose_columns(
            [self._row(column) for column in columns],
            [self.costs[column.size] for column in columns],
            self.demand,
            nodes=NODES,
            whole_steps=True,
            start=(*known, *([0] * (len(columns) - len(known)))) if known else None,
        )
        return None if choice is None else choice.copies

    def _easiest(self, copies: tuple[int, ...]) -> tuple[int, ...]:
        """Return a choice that costs no more and is easier to cut, where there is one."""
        columns = list(self.searches.columns.values())
        copies = (*copies, *([0] * (len(columns) - len(copies))))
        easy = choose_columns(
            [self._row(column) for column in columns],
            [self.costs[column.size] for column in columns],
            self.demand,
            nodes=EASY_NODES,
            whole_steps=True,
            setup=[ease_of(column, self.sheets) for column in columns],
            at_most=self._cost(copies),
            start=copies,
        )
        if easy is None or self._cost(easy.copies) > self._cost(copies):
            return copies
        return easy.copies


def _shrink(sheets: Sequence[Sheet], costs: Sequence[int], most: Sequence[int]) -> Fraction:
    """Return by what prices must be scaled so that no sheet without limit holds over its cost."""
    shrink = Fraction(1)
    for sheet, cost, value in zip(sheets, costs, most, strict=True):
        if sheet.at_hand is None and value > cost * PRICE_SCALE:
            shrink = min(shrink, Fraction(cost * PRICE_SCALE, value))
    return shrink


def _cost_bound(
    kinds: Sequence[Kind],
    sheets: Sequence[Sheet],
    costs: Sequence[int],
    prices: Sequence[int],
    most: Sequence[int],
) -> Fraction:
    """Return what the prices prove about the cost, exactly, in the costs' whole numbers."""
    shrink = _shrink(sheets, costs, most)
    bound = shrink * sum(price * kind.count for price, kind in zip(prices, kinds, strict=True))
    for sheet, cost, value in zip(sheets, costs, most, strict=True):
        if sheet.at_hand is not None:
            bound -= max(Fraction(0), shrink * value - cost * PRICE_SCALE) * sheet.at_hand
    return max(Fraction(0), bound / PRICE_SCALE)


def cheapest_numbers(
    sheets: Sequence[Sheet],
    costs: Sequence[int],
    rules: Sequence[tuple[tuple[int, ...], int]],
    known: int,
) -> int:
    """Return the least cost of whole numbers of sheets that no rule forbids, ``known`` at most.

    Every plan obeys every rule, so no plan costs less. All numbers are tried that cost less
    than what is known, where they are not too many.

    Args:
        sheets: The kinds of sheet.
        costs: What one of each costs.
        rules: The most that each sheet can hold of something, and how much is needed of it.
        known: What a plan costs.
    """
    if not all(costs):
        return 0
    tops = [
        (known - 1) // cost if sheet.at_hand is None else min(sheet.at_hand, (known - 1) // cost)
        for sheet, cost in zip(sheets, costs, strict=True)
    ]
    if prod(top + 1 for top in tops) > MOST_NUMBERS:
        return 0
    numbers = np.indices([top + 1 for top in tops], dtype=np.int64).reshape(len(tops), -1)
    spent = np.asarray(costs, dtype=np.int64) @ numbers
    able = spent < known
    for most, need in rules:
        able &= np.asarray(most, dtype=np.int64) @ numbers >= need
    return int(spent[able].min(initial=known))


def _next_cost(
    sheets: Sequence[Sheet], costs: Sequence[int], bound: Fraction, known: int
) -> Fraction:
    """Return the least cost from the bound up that whole sheets can have."""
    if known > MOST_REACHABLE or not all(costs):
        return min(Fraction(-(-bound.numerator // bound.denominator)), Fraction(known))
    sums = reachable_sums(
        [
            (cost, known // cost if sheet.at_hand is None else sheet.at_hand)
            for sheet, cost in zip(sheets, costs, strict=True)
        ],
        known,
    )
    return Fraction(next((at for at in sums if at >= bound), known))
