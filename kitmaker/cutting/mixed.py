"""Several kinds of sheet at once: what both questions about them share.

Kinds of sheet cost differently, and some are at hand in limited numbers. Which choice
yields the pieces at least cost is :mod:`kitmaker.cutting.least_cost`'s question; what is
worth most in those at hand is :mod:`kitmaker.cutting.most_worth`'s. Both are column
generation with one search over all layouts for each kind of sheet.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.cutting.builds import Builds, Loss, WorkLimit
from kitmaker.cutting.corner_grids import corner_grids
from kitmaker.cutting.knapsack import LayoutSearch, Table
from kitmaker.cutting.problem import Kind
from kitmaker.cutting.simplest import cost_of
from kitmaker.cutting.strips import best_of, both_ways
from kitmaker.cutting.trees import Column, Tree, full_of_one_kind, tally, tidy

ROUNDS = 120
"""Rounds of column generation at most."""
TABLE_WORK = 400_000_000
"""Additions spent on tables over all layouts."""
NODES = 300
"""Nodes of the integer program at most."""
EASY_NODES = 15
"""Nodes of the program for ease of cutting at most."""
SET_WORK = WorkLimit(pairs=2_000_000, joins=6_000)
"""Work spent on listing all sets that fit one kind of sheet."""
SLACK_WORK = WorkLimit(pairs=8_000_000, joins=20_000)
"""Work spent on listing the sets of a kind of sheet that a better plan may hold."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A kind of sheet.

    Attributes:
        width, height: Units.
        cost: What one costs; 0 in a breakdown.
        at_hand: How many there are; None without limit.
    """

    width: int
    height: int
    cost: Fraction
    at_hand: int | None


@dataclass(frozen=True, slots=True)
class Mixed:
    """An answer to either question.

    Attributes:
        columns: Layouts and copies; a column's size is the index of its kind of sheet.
        value: The cost, or the worth.
        bound: No plan costs less, or is worth more.
    """

    columns: Counter[Column]
    value: Fraction
    bound: Fraction


class Searches:
    """For each kind of sheet the searches for its best layout."""

    def __init__(self, kinds: Sequence[Kind], sheets: Sequence[Sheet]) -> None:
        self.kinds = tuple(kinds)
        self.sheets = tuple(sheets)
        self.layouts = [LayoutSearch(kinds, sheet.width, sheet.height) for sheet in sheets]
        self.strips = [both_ways(kinds, sheet.width, sheet.height) for sheet in sheets]
        self.columns: dict[tuple[int, tuple[int, ...]], Column] = {}
        self.rounds = min(ROUNDS, TABLE_WORK // max(1, sum(layout.work for layout in self.layouts)))

    def add(self, at: int, tree: Tree) -> Column | None:
        """Return the column of a layout if it is new."""
        counts = tally(tree, len(self.kinds))
        if (at, counts) in self.columns:
            return None
        column = self.columns[at, counts] = Column(counts, tidy(tree), at)
        return column

    def grids(self) -> list[Column]:
        """Return sheets full of one kind."""
        found: list[Column | None] = []
        for at, sheet in enumerate(self.sheets):
            trees = full_of_one_kind(self.kinds, sheet.width, sheet.height)
            found += [self.add(at, tree) for tree in trees]
        return [column for column in found if column]

    def all_sets(self) -> None:
        """Add every fullest set of pieces, for each kind of sheet where they are few."""
        demand = [kind.count for kind in self.kinds]
        for at, sheet in enumerate(self.sheets):
            loss = Loss(sheet.width * sheet.height)
            built = Builds(self.kinds, demand, sheet.width, sheet.height, loss, SET_WORK)
            if built.complete:
                for code in built.fullest():
                    self.add(at, built.tree(code))

    def sets_within(
        self, at: int, demand: Sequence[int], prices: Sequence[int], table: Table, slack: int
    ) -> Builds:
        """Add the fullest sets that a sheet may hold and lose no more than a slack.

        Args:
            at: The number of the kind of sheet.
            demand: How many of each kind it may hold.
            prices: The price of each kind.
            table: The most that the sheet's rooms hold at the prices.
            slack: What it may lose against that.

        Returns:
            What was built; it tells whether all sets were listed.
        """
        sheet, search = self.sheets[at], self.layouts[at]
        area = sheet.width * sheet.height
        loss = Loss(area, tuple(prices), table, tuple(search.xs), tuple(search.ys), slack)
        built = Builds(self.kinds, demand, sheet.width, sheet.height, loss, SLACK_WORK)
        for code in built.fullest():
            self.add(at, built.tree(code))
        return built

    def with_few(self, prices: Sequence[int]) -> None:
        """Add sheets that hold only a few of one kind."""
        for at, (sheet, search) in enumerate(zip(self.sheets, self.layouts, strict=True)):
            for tree in corner_grids(search, prices, sheet.width, sheet.height):
                self.add(at, tree)

    def price(self, prices: Sequence[int]) -> tuple[list[int], list[Column]]:
        """Return the most each sheet can hold, and new layouts that hold much."""
        most, found = [], []
        for at, (sheet, search) in enumerate(zip(self.sheets, self.layouts, strict=True)):
            table = search.table(prices)
            most.append(int(table[-1, -1]))
            trees = best_of(self.strips[at], prices, 0)
            if (best := search.layout(prices, table, sheet.width, sheet.height)) is not None:
                trees.insert(0, best)
            found += [self.add(at, tree) for tree in trees]
        return most, [column for column in found if column]


def ease_of(column: Column, sheets: Sequence[Sheet]) -> int:
    """Return what using a column at all costs a cutter."""
    sheet = sheets[column.size]
    return cost_of(column, sheet.width, sheet.height)
