"""Sheets put together from strips: strips and sheets chosen in one integer program.

Columns that are whole sheets come one by one, each the best of its kind, and seldom are
what the *last* sheet needs. Here the strips are the columns, none with more pieces than are
needed, and a sheet is only a list of strip depths that fit on it::

    sheets with depths {5, 5, 4, 2}:  3          strips of depth 5:  [a a b] x 4, [a c c] x 2
    sheets with depths {8, 8}:        1          strips of depth 8:  [d d] x 2   ...

For each depth there are as many places on the sheets as strips, at least. So answers in
three rounds of cuts are searched together, across and lengthwise ones, and whole-sheet
columns of any layout beside them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from kitmaker.cutting.master import choose_columns
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.strip_patterns import PatternList, Strip
from kitmaker.cutting.strips import StripSearch
from kitmaker.cutting.trees import Column, Tree, chosen_of, join, tally, tidy

STRIPS = 200
"""Strips listed one way at most."""
DEPTH_LISTS = 400
"""Lists of depths one way at most."""
NODES = 20
"""Nodes of the integer program at most."""


def choose_strips(
    problem: Problem,
    prices: Sequence[int],
    searches: Sequence[StripSearch],
    columns: Sequence[Column],
    known: Counter[Column],
    spare: int,
) -> Counter[Column] | None:
    """Return a choice of fewer sheets than the one known; None when none is found.

    Args:
        problem: With a height.
        prices: What a piece of each kind is worth.
        searches: The strip searches, one for each way strips may run.
        columns: Whole sheets known.
        known: The best choice so far.
        spare: What all sheets together may lose at the prices.
    """
    halves = [_OneWay(problem, prices, search, spare) for search in searches]
    rows = len(problem.counts) + sum(len(half.depths) for half in halves)
    entries: list[tuple[int, ...]] = []
    costs: list[int] = []
    most: list[int] = []
    sheets = sum(known.values())
    for column in columns:
        entries.append((*column.counts, *([0] * (rows - len(problem.counts)))))
        costs.append(1)
        most.append(sheets)
    at = len(problem.counts)
    for half in halves:
        for strip, counts in half.strips:
            row = [*counts, *([0] * (rows - len(counts)))]
            row[at + half.depths.index(strip.depth)] = -1
            entries.append(tuple(row))
            costs.append(0)
            most.append(max(problem.counts))
        for depths in half.lists:
            row = [0] * rows
            for depth in depths:
                row[at + half.depths.index(depth)] += 1
            entries.append(tuple(row))
            costs.append(1)
            most.append(sheets)
        at += len(half.depths)
    demand = [*problem.counts, *([0] * (rows - len(problem.counts)))]
    start = [known[column] for column in columns] + [0] * (len(entries) - len(columns))
    choice = choose_columns(
        entries, costs, demand, nodes=NODES, whole_steps=True, start=start, most=most
    )
    if choice is None:
        return None
    found = chosen_of(columns, choice.copies[: len(columns)])
    at = len(columns)
    for half in halves:
        end = at + len(half.strips) + len(half.lists)
        found += half.assemble(choice.copies[at:end])
        at = end
    return found if sum(found.values()) < sheets else None


class _OneWay:
    """The strips and the lists of depths for strips that run one way."""

    def __init__(
        self, problem: Problem, prices: Sequence[int], search: StripSearch, spare: int
    ) -> None:
        self.kinds = len(problem.kinds)
        self.axis = search.axis
        lister = PatternList(problem.kinds, problem.counts, search.strip_length, self.axis)
        best = dict(zip(search.depths, search.solve(prices).strip_values().tolist(), strict=True))
        candidates = lister.depths(search.room)
        each = max(20, STRIPS // max(1, len(candidates)))
        self.strips: list[tuple[Strip, tuple[int, ...]]] = []
        for depth in candidates:
            for strip in lister.list_within(depth, prices, best.get(depth, 0), spare, each):
                self.strips.append((strip, tally(strip.tree(self.axis), self.kinds)))
        self.depths = sorted({strip.depth for strip, _ in self.strips}, reverse=True)
        self.lists = _depth_lists(self.depths, search.room)

    def assemble(self, copies: Sequence[int]) -> Counter[Column]:
        """Put the chosen strips on the chosen sheets."""
        waiting: dict[int, list[Tree]] = {}
        for (strip, _), n in zip(self.strips, copies, strict=False):
            waiting.setdefault(strip.depth, []).extend([strip.tree(self.axis)] * n)
        sheets: Counter[Column] = Counter()
        for depths, n in zip(self.lists, copies[len(self.strips) :], strict=True):
            for _ in range(n):
                parts = [waiting[depth].pop(0) for depth in depths if waiting.get(depth)]
                if parts:
                    tree = tidy(join(self.axis, parts))
                    sheets[Column(tally(tree, self.kinds), tree, 1)] += 1
        return sheets


def _depth_lists(depths: Sequence[int], room: int) -> list[tuple[int, ...]]:
    """Return the fullest lists of depths that fit, at most ``DEPTH_LISTS``.

    Args:
        depths: The deepest first.
        room: Units.
    """
    found: list[tuple[int, ...]] = []
    chosen: list[int] = []
    at = 0
    while len(found) < DEPTH_LISTS:
        while at < len(depths):
            if depths[at] <= room:
                chosen.append(at)
                room -= depths[at]
            else:
                at += 1
        if not chosen:
            break
        if room < depths[-1]:
            found.append(tuple(depths[one] for one in chosen))
        at = chosen.pop()
        room += depths[at]
        at += 1
    return found
