"""What is worth most in the sheets at hand, and a bound that nothing is worth more.

The problem
    So many sheets of each kind are there; pieces have a worth and perhaps a most. What is
    the most worth in them?

Why the bound holds
    Let v be prices of the pieces, F(s) the most that a sheet s can hold at them over all
    edge-to-edge layouts, and n(s) how many there are. A plan is worth ``w·y`` with
    ``y <= most``. With ``v <= w``, and ``v = w`` for pieces without a most::

        w·y = v·y + (w - v)·y <= sum n(s) F(s) + (w - v)·most

    (where kinds share a most, the greatest w - v among them).
    All of it is computed in whole numbers. Where a plan is worth less, the sets of pieces
    that a sheet of a better plan may hold are listed (:mod:`kitmaker.cutting.builds`): it
    can lose no more than what is between the two. For a single sheet the list decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import lcm

from kitmaker.cutting.master import PRICE_SCALE, CoverProgram, choose_columns
from kitmaker.cutting.mixed import (
    EASY_NODES,
    NODES,
    Mixed,
    Searches,
    Sheet,
    ease_of,
)
from kitmaker.cutting.problem import Kind
from kitmaker.cutting.trees import Column, chosen_of


def most_worth(
    kinds: Sequence[Kind],
    sheets: Sequence[Sheet],
    worth: Sequence[Fraction],
    most: Sequence[int | None],
    group: Sequence[str],
) -> Mixed:
    """Find what is worth most in the sheets at hand.

    Args:
        kinds: The sizes; their counts bound how many can come out at all.
        sheets: What is there; ``at_hand`` is a number.
        worth: Of one piece of each kind.
        most: How many of each kind are wanted at most; None for any number.
        group: Of each kind; all kinds of one group share one ``most``.
    """
    return _Worth(kinds, sheets, worth, most, group).run()


class _Worth:
    """The search for the most worth."""

    def __init__(
        self,
        kinds: Sequence[Kind],
        sheets: Sequence[Sheet],
        worth: Sequence[Fraction],
        most: Sequence[int | None],
        group: Sequence[str],
    ) -> None:
        self.kinds, self.sheets, self.most = tuple(kinds), tuple(sheets), tuple(most)
        self.scale = lcm(*(one.denominator for one in worth))
        self.values = [int(one * self.scale) for one in worth]
        capped: dict[str, list[int]] = {}
        for at, one in enumerate(most):
            if one is not None:
                capped.setdefault(group[at], []).append(at)
        self.caps = [(kinds_of_it, most[kinds_of_it[0]] or 0) for kinds_of_it in capped.values()]
        self.demand = [0] * len(kinds) + [-cap for _, cap in self.caps]
        self.demand += [-(sheet.at_hand or 0) for sheet in sheets]
        self.searches = Searches(kinds, sheets)
        self.prices = [value * PRICE_SCALE for value in self.values]
        self.limit: int | None = None
        self.total = 0

    def run(self) -> Mixed:
        self._generate()
        self.searches.all_sets()
        self.searches.with_few([max(1, price) for price in self.prices])
        copies = self._choose((), NODES)
        bound = Fraction(self.limit or 0, PRICE_SCALE)
        most = bound.numerator // bound.denominator
        if self.total < most:
            best_set = self._sets_within_the_slack()
            copies = self._choose(copies, NODES)
            if best_set is not None and sum(sheet.at_hand or 0 for sheet in self.sheets) == 1:
                most = max(self.total, best_set)
        copies = self._easiest(copies)
        columns = list(self.searches.columns.values())
        found = chosen_of(columns, copies[: len(columns)])
        return Mixed(found, Fraction(self.total, self.scale), Fraction(most, self.scale))

    def _row(self, column: Column) -> tuple[int, ...]:
        here = (-int(at == column.size) for at in range(len(self.sheets)))
        return (*column.counts, *([0] * len(self.caps)), *here)

    def _sale(self, kind: int) -> tuple[int, ...]:
        own = (-int(at == kind) for at in range(len(self.kinds)))
        limited = (-int(kind in capped) for capped, _ in self.caps)
        return (*own, *limited, *([0] * len(self.sheets)))

    def _generate(self) -> None:
        """Generate layouts, keeping the prices that bound the worth best."""
        program = CoverProgram(self.demand)
        for kind, value in enumerate(self.values):
            program.add(self._sale(kind), -value)
        for column in self.searches.grids():
            program.add(self._row(column), 0)
        for _ in range(max(1, self.searches.rounds)):
            proposed = program.solve()[1]
            prices = [
                value * PRICE_SCALE
                if self.most[at] is None
                else min(value * PRICE_SCALE, proposed[at])
                for at, value in enumerate(self.values)
            ]
            held, new = self.searches.price(prices)
            limit = sum(
                n * (sheet.at_hand or 0) for n, sheet in zip(held, self.sheets, strict=True)
            )
            limit += sum(
                max(self.values[at] * PRICE_SCALE - prices[at] for at in capped) * cap
                for capped, cap in self.caps
            )
            if self.limit is None or limit < self.limit:
                self.limit, self.prices = limit, prices
            if not new:
                return
            for column in new:
                program.add(self._row(column), 0)

    def _sets_within_the_slack(self) -> int | None:
        """Add every set that a sheet of a better plan may hold; return the most one is worth.

        None where not all of them could be listed.

        What all sheets together lose against the most they can hold at the prices is no
        more than the bound less what is known: a sheet that loses more is in no better plan.
        """
        slack = (self.limit or 0) - (self.total + 1) * PRICE_SCALE
        demand = [
            kind.count if most is None else min(kind.count, most)
            for kind, most in zip(self.kinds, self.most, strict=True)
        ]
        best: int | None = 0
        for at, search in enumerate(self.searches.layouts):
            table = search.table(self.prices)
            built = self.searches.sets_within(at, demand, self.prices, table, slack)
            for code in built.fullest():
                counts = built.packing.unpack(code)
                worth = sum(value * n for value, n in zip(self.values, counts, strict=True))
                best = None if best is None else max(best, worth)
            best = best if built.complete else None
        return best

    def _choose(self, known: tuple[int, ...], nodes: int) -> tuple[int, ...]:
        """Return the copies of each layout, then of each kind sold, that are worth most."""
        columns = list(self.searches.columns.values())
        prices_of = [0] * len(columns) + [-value for value in self.values]
        if known:
            sold = known[len(known) - len(self.kinds) :]
            laid = known[: len(known) - len(self.kinds)]
            known = (*laid, *([0] * (len(columns) - len(laid))), *sold)
        choice = choose_columns(
            self._entries(columns),
            prices_of,
            self.demand,
            nodes=nodes,
            most=self._limits(columns),
            start=known or None,
        )
        copies = choice.copies if choice is not None else known or (0,) * len(prices_of)
        self.total = -sum(price * n for price, n in zip(prices_of, copies, strict=True))
        return copies

    def _easiest(self, copies: tuple[int, ...]) -> tuple[int, ...]:
        """Return a choice of the same worth that is easier to cut, where there is one."""
        columns = list(self.searches.columns.values())
        prices_of = [0] * len(columns) + [-value for value in self.values]
        easy = choose_columns(
            self._entries(columns),
            prices_of,
            self.demand,
            nodes=EASY_NODES,
            whole_steps=True,
            setup=[
                *(ease_of(column, self.sheets) for column in columns),
                *([0] * len(self.kinds)),
            ],
            at_most=-self.total,
            start=copies,
            most=self._limits(columns),
        )
        if easy is None:
            return copies
        worth = -sum(price * n for price, n in zip(prices_of, easy.copies, strict=True))
        return easy.copies if worth >= self.total else copies

    def _entries(self, columns: Sequence[Column]) -> list[tuple[int, ...]]:
        sales = [self._sale(kind) for kind in range(len(self.kinds))]
        return [*(self._row(column) for column in columns), *sales]

    def _limits(self, columns: Sequence[Column]) -> list[int]:
        sheets = [self.sheets[column.size].at_hand or 0 for column in columns]
        return [*sheets, *(kind.count for kind in self.kinds)]
