"""Among choices of equal count: the one that is easiest to cut.

A cutter pays for every distinct layout (read it, set it up, stack it), for every ruler
setting and for every round of cuts beyond three. With the number of sheets fixed, a
second integer program takes the columns whose layouts are simplest, and what is then too
many is left uncut.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from kitmaker.cutting.master import choose_columns
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.trees import Column, Tree, levels, prune, tidy, total
from kitmaker.cutting.trees import tally as tally_of

NODES = 300
"""Nodes of the second integer program at most."""
MOST_COLUMNS = 400
"""Columns the second program is given at most, the simplest first."""

_LAYOUT_COST = 10
_SETTING_COST = 2
_DEEP_COST = 200


def settings_of(tree: Tree) -> int:
    """Return how often the ruler is set to another measure while a tree is cut once.

    Equal parts follow one another, so each distinct measure of a round is one setting.
    """
    if tree.axis is None:
        return 0
    distinct: dict[Tree, None] = dict.fromkeys(tree.children)
    measures = len({child.measure(tree.axis) for child in distinct})
    trims = sum(
        child.axis is None and child.measure(tree.axis.other) < tree.measure(tree.axis.other)
        for child in distinct
    )
    return measures + trims + sum(settings_of(child) for child in distinct)


def cost_of(column: Column, across: int, along: int) -> int:
    """Return what using a column at all costs a cutter, in arbitrary whole numbers."""
    deep = max(0, levels(column.tree, across, along) - 3)
    return _LAYOUT_COST + _SETTING_COST * settings_of(column.tree) + _DEEP_COST * deep


def simplest_choice(
    problem: Problem, columns: Sequence[Column], best: Counter[Column]
) -> Counter[Column]:
    """Return a choice of as many sheets as ``best`` that is no harder to cut.

    Args:
        problem: The problem the choice answers, with a height.
        columns: All columns known.
        best: A choice of the least count known.
    """
    height = problem.height or 0
    costs = {column: cost_of(column, problem.width, height) for column in {*columns, *best.keys()}}
    pool = sorted(costs, key=lambda column: (costs[column], column.counts))[:MOST_COLUMNS]
    pool += [column for column in best if column not in set(pool)]
    choice = choose_columns(
        [column.counts for column in pool],
        [1] * len(pool),
        problem.counts,
        nodes=NODES,
        setup=[costs[column] for column in pool],
        at_most=sum(best.values()),
    )
    chosen = best
    if choice is not None:
        found = Counter(
            {column: copies for column, copies in zip(pool, choice.copies, strict=True) if copies}
        )
        if sum(costs[column] for column in found) < sum(costs[column] for column in best):
            chosen = found
    return drop_surplus(problem, chosen)


def drop_surplus(problem: Problem, chosen: Counter[Column]) -> Counter[Column]:
    """Return the choice without pieces that nobody needs, where that makes no new layout.

    Surplus pieces are taken off layouts as a whole (every copy loses the same pieces), and
    off a single copy where one layout is cut once.
    """
    kinds, by_sheet = len(problem.kinds), problem.height is not None
    made = total(chosen, kinds)
    surplus = [have - need for have, need in zip(made, problem.counts, strict=True)]
    result: Counter[Column] = Counter()
    for column, copies in sorted(chosen.items(), key=lambda item: (item[1], item[0].counts)):
        each = [
            min(extra // copies, have) for extra, have in zip(surplus, column.counts, strict=True)
        ]
        tree = prune(column.tree, each) if any(each) else column.tree
        if tree is None:
            continue
        tree = tidy(tree)
        counts = tally_of(tree, kinds)
        surplus = [
            extra - (before - after) * copies
            for extra, before, after in zip(surplus, column.counts, counts, strict=True)
        ]
        result[Column(counts, tree, column.size if by_sheet else tree.along)] += copies
    return result
