"""Several kinds of sheet at once: least cost for a demand, or most worth from what is there.

Two questions, one program
    *Mix.* Kinds of sheet cost differently and some are at hand in limited numbers; which
    choice yields the pieces at least cost? *Breakdown.* So many sheets of each kind are
    there, and pieces have a worth and perhaps a most; what is the most worth in them?
    Both are column generation with one search over all layouts for each kind of sheet.

Why the bounds hold
    Let v be prices of the pieces and F(s) the most that a sheet s can hold at them, over
    all edge-to-edge layouts, in whole numbers.

    Mix: a plan that takes x(s) sheets holds the demand, so ``v·d <= sum x(s) F(s)``. Where
    ``F(s) <= cost(s) + u(s)`` for all s, with ``u(s) >= 0`` and 0 where numbers are not
    limited, its cost is at least ``v·d - sum u(s) at_hand(s)``. Prices that are too high
    for a sheet without limit are scaled down until this holds.

    Breakdown: a plan is worth ``w·y`` with ``y <= most``. With ``v <= w``, and ``v = w`` for
    pieces without a most, ``w·y = v·y + (w - v)·y <= sum n(s) F(s) + (w - v)·most``.

    All of it is computed in fractions, whatever proposed the prices.

What it does not do
    Layouts that only pay because a piece is nearly used up are found by luck in a mix; the
    bound covers them. In a breakdown they are listed where they are few
    (:mod:`kitmaker.cutting.builds`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from kitmaker.cutting.builds import Builds, Loss, WorkLimit
from kitmaker.cutting.corner_grids import corner_grids
from kitmaker.cutting.knapsack import LayoutSearch
from kitmaker.cutting.layout import Axis
from kitmaker.cutting.master import PRICE_SCALE, CoverProgram, choose_columns
from kitmaker.cutting.positions import reachable_sums
from kitmaker.cutting.problem import Kind
from kitmaker.cutting.simplest import cost_of
from kitmaker.cutting.strips import StripSearch
from kitmaker.cutting.trees import Column, Tree, join, piece_tree, tally, tidy

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
MOST_REACHABLE = 1_000_000
"""The greatest cost for which reachable sums are listed."""


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


class _Searches:
    """For each kind of sheet the searches for its best layout."""

    def __init__(self, kinds: Sequence[Kind], sheets: Sequence[Sheet]) -> None:
        self.kinds = tuple(kinds)
        self.sheets = tuple(sheets)
        self.layouts = [LayoutSearch(kinds, one.width, one.height) for one in sheets]
        self.strips = [
            (
                StripSearch(kinds, one.width, one.height, Axis.ALONG),
                StripSearch(kinds, one.height, one.width, Axis.ACROSS),
            )
            for one in sheets
        ]
        self.columns: dict[tuple[int, tuple[int, ...]], Column] = {}
        self.rounds = min(ROUNDS, TABLE_WORK // max(1, sum(one.work for one in self.layouts)))

    def add(self, at: int, tree: Tree) -> Column | None:
        """Return the column of a layout if it is new."""
        counts = tally(tree, len(self.kinds))
        if (at, counts) in self.columns:
            return None
        column = self.columns[at, counts] = Column(counts, tidy(tree), at)
        return column

    def grids(self) -> list[Column]:
        """Return sheets full of one kind."""
        found = []
        for at, sheet in enumerate(self.sheets):
            for index, kind in enumerate(self.kinds):
                for w, h, turned in kind.ways():
                    across, along = sheet.width // w, sheet.height // h
                    if across and along:
                        row = join(Axis.ACROSS, [piece_tree(w, h, index, turned=turned)] * across)
                        found.append(self.add(at, join(Axis.ALONG, [row] * along)))
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
            trees = [search.layout(prices, table, sheet.width, sheet.height)]
            trees += [strip.solve(prices).best_sheet()[1] for strip in self.strips[at]]
            found += [self.add(at, tree) for tree in trees if tree is not None]
        return most, [column for column in found if column]


def least_cost(kinds: Sequence[Kind], sheets: Sequence[Sheet]) -> Mixed | None:
    """Find the cheapest sheets that yield the pieces.

    Args:
        kinds: What is needed; each fits some kind of sheet.
        sheets: The kinds of sheet.

    Returns:
        The plan; None when the sheets at hand do not yield the pieces in any way found.
    """
    scale = lcm(*(sheet.cost.denominator for sheet in sheets))
    costs = [int(sheet.cost * scale) for sheet in sheets]
    limited = [at for at, sheet in enumerate(sheets) if sheet.at_hand is not None]
    demand = [kind.count for kind in kinds] + [-(sheets[at].at_hand or 0) for at in limited]
    searches = _Searches(kinds, sheets)
    program = CoverProgram(demand)
    missing = (sum(costs) + 1) * 1000  # what a piece would cost that cannot be had

    def row(column: Column) -> tuple[int, ...]:
        return (*column.counts, *(-int(at == column.size) for at in limited))

    def enter(columns: Sequence[Column]) -> None:
        for column in columns:
            program.add(row(column), costs[column.size])

    for index in range(len(kinds)):
        program.add([int(at == index) for at in range(len(demand))], missing)
    enter(searches.grids())
    bound = Fraction(0)
    for _ in range(searches.rounds):
        prices = program.solve()[1][: len(kinds)]
        most, new = searches.price(prices)
        bound = max(bound, _cost_bound(kinds, sheets, costs, prices, most))
        if not new:
            break
        enter(new)
    searches.all_sets()
    searches.with_few(program.solve()[1][: len(kinds)])
    columns = list(searches.columns.values())
    choice = choose_columns(
        [row(column) for column in columns],
        [costs[column.size] for column in columns],
        demand,
        nodes=NODES,
        whole_steps=True,
    )
    if choice is None:
        return None
    found = _chosen(columns, choice.copies)
    cost = sum(costs[column.size] * copies for column, copies in found.items())
    easy = choose_columns(
        [row(column) for column in columns],
        [costs[column.size] for column in columns],
        demand,
        nodes=EASY_NODES,
        whole_steps=True,
        setup=[_ease(column, sheets) for column in columns],
        at_most=cost,
        start=choice.copies,
    )
    if easy is not None:
        easier = _chosen(columns, easy.copies)
        if sum(costs[column.size] * n for column, n in easier.items()) <= cost:
            found = easier
            cost = sum(costs[column.size] * n for column, n in found.items())
    return Mixed(found, Fraction(cost, scale), _next_cost(sheets, costs, bound, cost) / scale)


def _cost_bound(
    kinds: Sequence[Kind],
    sheets: Sequence[Sheet],
    costs: Sequence[int],
    prices: Sequence[int],
    most: Sequence[int],
) -> Fraction:
    """Return what the prices prove about the cost, exactly, in the costs' whole numbers."""
    shrink = Fraction(1)
    for sheet, cost, value in zip(sheets, costs, most, strict=True):
        if sheet.at_hand is None and value > cost * PRICE_SCALE:
            shrink = min(shrink, Fraction(cost * PRICE_SCALE, value))
    bound = shrink * sum(price * kind.count for price, kind in zip(prices, kinds, strict=True))
    for sheet, cost, value in zip(sheets, costs, most, strict=True):
        if sheet.at_hand is not None:
            bound -= max(Fraction(0), shrink * value - cost * PRICE_SCALE) * sheet.at_hand
    return max(Fraction(0), bound / PRICE_SCALE)


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


def most_worth(
    kinds: Sequence[Kind],
    sheets: Sequence[Sheet],
    worth: Sequence[Fraction],
    most: Sequence[int | None],
) -> Mixed:
    """Find what is worth most in the sheets at hand.

    Args:
        kinds: The sizes; their counts bound how many can come out at all.
        sheets: What is there; ``at_hand`` is a number.
        worth: Of one piece of each kind.
        most: How many of each kind are wanted at most; None for any number.
    """
    return _Worth(kinds, sheets, worth, most).run()


class _Worth:
    """The search for the most worth."""

    def __init__(
        self,
        kinds: Sequence[Kind],
        sheets: Sequence[Sheet],
        worth: Sequence[Fraction],
        most: Sequence[int | None],
    ) -> None:
        self.kinds, self.sheets, self.most = tuple(kinds), tuple(sheets), tuple(most)
        self.scale = lcm(*(one.denominator for one in worth))
        self.values = [int(one * self.scale) for one in worth]
        self.capped = [at for at, one in enumerate(most) if one is not None]
        self.demand = [0] * len(kinds) + [-(most[at] or 0) for at in self.capped]
        self.demand += [-(sheet.at_hand or 0) for sheet in sheets]
        self.searches = _Searches(kinds, sheets)
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
            if best_set is not None and sum(one.at_hand or 0 for one in self.sheets) == 1:
                most = max(self.total, best_set)
        copies = self._easiest(copies)
        columns = list(self.searches.columns.values())
        found = _chosen(columns, copies[: len(columns)])
        return Mixed(found, Fraction(self.total, self.scale), Fraction(most, self.scale))

    def _row(self, column: Column) -> tuple[int, ...]:
        here = (-int(at == column.size) for at in range(len(self.sheets)))
        return (*column.counts, *([0] * len(self.capped)), *here)

    def _sale(self, kind: int) -> tuple[int, ...]:
        own = (-int(at == kind) for at in range(len(self.kinds)))
        limited = (-int(at == kind) for at in self.capped)
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
            limit = sum(n * (one.at_hand or 0) for n, one in zip(held, self.sheets, strict=True))
            limit += sum(
                (self.values[at] * PRICE_SCALE - prices[at]) * (self.most[at] or 0)
                for at in self.capped
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
        for at, (sheet, search) in enumerate(zip(self.sheets, self.searches.layouts, strict=True)):
            loss = Loss(
                sheet.width * sheet.height,
                tuple(self.prices),
                search.table(self.prices),
                tuple(search.xs),
                tuple(search.ys),
                slack,
            )
            built = Builds(self.kinds, demand, sheet.width, sheet.height, loss, SLACK_WORK)
            for code in built.fullest():
                self.searches.add(at, built.tree(code))
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
                *(_ease(column, self.sheets) for column in columns),
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


def _chosen(columns: Sequence[Column], copies: Sequence[int]) -> Counter[Column]:
    return Counter({column: n for column, n in zip(columns, copies, strict=True) if n})


def _ease(column: Column, sheets: Sequence[Sheet]) -> int:
    sheet = sheets[column.size]
    return cost_of(column, sheet.width, sheet.height)
