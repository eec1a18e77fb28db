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
    Layouts that only pay because a piece is nearly used up are found by luck; the bound
    covers them.
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
    scale = lcm(*(one.denominator for one in worth))
    values = [int(one * scale) for one in worth]
    size = len(kinds)
    capped = [at for at in range(size) if most[at] is not None]
    demand = [0] * size + [-(most[at] or 0) for at in capped]
    demand += [-(sheet.at_hand or 0) for sheet in sheets]
    searches = _Searches(kinds, sheets)
    program = CoverProgram(demand)

    def row(column: Column) -> tuple[int, ...]:
        here = (-int(at == column.size) for at in range(len(sheets)))
        return (*column.counts, *([0] * len(capped)), *here)

    def sale(kind: int) -> tuple[int, ...]:
        own = (-int(at == kind) for at in range(size))
        return (*own, *(-int(at == kind) for at in capped), *([0] * len(sheets)))

    for kind in range(size):
        program.add(sale(kind), -values[kind])
    for column in searches.grids():
        program.add(row(column), 0)
    bound: Fraction | None = None
    prices = [value * PRICE_SCALE for value in values]
    for _ in range(max(1, searches.rounds)):
        proposed = program.solve()[1][:size]
        prices = [
            value * PRICE_SCALE if most[at] is None else min(value * PRICE_SCALE, proposed[at])
            for at, value in enumerate(values)
        ]
        held, new = searches.price(prices)
        limit = sum(n * (sheet.at_hand or 0) for n, sheet in zip(held, sheets, strict=True))
        limit += sum((values[at] * PRICE_SCALE - prices[at]) * (most[at] or 0) for at in capped)
        this = Fraction(limit, PRICE_SCALE)
        bound = this if bound is None else min(bound, this)
        if not new:
            break
        for column in new:
            program.add(row(column), 0)
    searches.all_sets()
    searches.with_few([max(1, price) for price in prices])
    columns = list(searches.columns.values())
    entries = [row(column) for column in columns] + [sale(kind) for kind in range(size)]
    prices_of = [0] * len(columns) + [-value for value in values]
    limits = [sheets[column.size].at_hand or 0 for column in columns]
    limits += [kind.count for kind in kinds]
    choice = choose_columns(entries, prices_of, demand, nodes=NODES, most=limits)
    copies = choice.copies if choice is not None else (0,) * len(entries)
    total = -sum(price * n for price, n in zip(prices_of, copies, strict=True))
    easy = choose_columns(
        entries,
        prices_of,
        demand,
        nodes=EASY_NODES,
        whole_steps=True,
        setup=[*(_ease(column, sheets) for column in columns), *([0] * size)],
        at_most=-total,
        start=copies,
        most=limits,
    )
    if easy is not None:
        worth_now = -sum(price * n for price, n in zip(prices_of, easy.copies, strict=True))
        if worth_now >= total:
            copies, total = easy.copies, worth_now
    whole = Fraction(0) if bound is None else Fraction(bound.numerator // bound.denominator)
    return Mixed(_chosen(columns, copies[: len(columns)]), Fraction(total, scale), whole / scale)


def _chosen(columns: Sequence[Column], copies: Sequence[int]) -> Counter[Column]:
    return Counter({column: n for column, n in zip(columns, copies, strict=True) if n})


def _ease(column: Column, sheets: Sequence[Sheet]) -> int:
    sheet = sheets[column.size]
    return cost_of(column, sheet.width, sheet.height)
