"""Among choices of equal count: the one that is easiest to cut.

A cutter pays for every distinct layout (read it, set it up, stack it), for every ruler
setting and for every round of cuts beyond three. With the number of sheets fixed, a second
search (:mod:`kitmaker.cutting.easy_beam`) takes the columns whose layouts are simplest, and
what is then too many is left uncut.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from kitmaker.cutting.easy_beam import EasyBeam
from kitmaker.cutting.master import PRICE_SCALE
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.trees import (
    Column,
    Tree,
    chosen_of,
    largest_offcut,
    levels,
    prune,
    tidy,
    total,
)
from kitmaker.cutting.trees import tally as tally_of

MOST_COLUMNS = 90
"""Columns the second search is given, half of them the simplest, half the fullest."""

MOST_ROUNDS = 3
"""Rounds of cuts that count alike: strips, sub-cuts, trimming."""
_DEEP = 10_000
_SETTING = 200
_LAYOUT = 100
_TEN_CUTS = 10
_MOST_TENS = 9
_NO_OFFCUT = 9
_CUT = 5


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


def cuts_of(tree: Tree) -> int:
    """Return how many cuts a tree takes, offcuts at the ends cut off as well."""
    if tree.axis is None:
        return 1
    return sum(1 + cuts_of(child) for child in tree.children)


def cost_of(column: Column, across: int, along: int, begun: int = 0) -> int:
    """Return what using a column at all costs a cutter.

    Args:
        column: The layout.
        across, along: The sheet, or the stretch of a length, units.
        begun: Rounds of cuts before it: 1 for a stretch, which is cut off its length.

    Rounds of cuts beyond three weigh more than any number of ruler settings, these more
    than the layouts there are to be read, these more than tens of cuts; at last the layout
    that leaves more of the cloth in one offcut is easier on the shop.
    """
    deep = max(0, begun + levels(column.tree, across, along) - MOST_ROUNDS)
    tens = min(_MOST_TENS, cuts_of(column.tree) // 10)
    tenths = 10 * largest_offcut(column.tree, across, along) // (across * along)
    ease = _DEEP * deep + _SETTING * settings_of(column.tree) + _LAYOUT + _TEN_CUTS * tens
    return ease + _NO_OFFCUT - tenths


def simplest_choice(
    problem: Problem,
    columns: Sequence[Column],
    best: Counter[Column],
    at_most: int,
    prices: Sequence[int],
    unit: int = PRICE_SCALE,
) -> Counter[Column]:
    """Return a choice within one limit: see :func:`simplest_choices`."""
    return simplest_choices(problem, columns, [best], [at_most], prices, unit)[0]


def simplest_choices(
    problem: Problem,
    columns: Sequence[Column],
    known: Sequence[Counter[Column]],
    limits: Sequence[int],
    prices: Sequence[int],
    unit: int = PRICE_SCALE,
) -> list[Counter[Column]]:
    """Return for each limit a choice that takes no more cloth and is no harder to cut.

    Args:
        problem: The problem the choices answer.
        columns: All columns known.
        known: For each limit a choice known.
        limits: Sheets, or units along, that all columns together may take.
        prices: What a piece of each kind is worth; it tells the columns that waste little.
        unit: What a sheet, or a unit along, is worth at these prices.
    """
    begun = int(problem.height is None)
    costs = {
        column: cost_of(column, problem.width, problem.height or column.size, begun)
        for column in dict.fromkeys([*columns, *(column for one in known for column in one)])
    }
    pool = _promising(costs, known, prices)
    each = {column: _CUT * cuts_of(column.tree) for column in pool}
    beam = EasyBeam(
        [column.counts for column in pool],
        [column.size for column in pool],
        [costs[column] for column in pool],
        list(each.values()),
        problem.counts,
        prices,
        unit,
    )
    spent = [
        sum(costs[column] + each[column] * copies for column, copies in choice.items())
        for choice in known
    ]
    found = beam.find(limits, spent)
    return [
        drop_surplus(problem, before if copies is None else chosen_of(pool, copies))
        for before, copies in zip(known, found, strict=True)
    ]


def _promising(
    costs: dict[Column, int], known: Sequence[Counter[Column]], prices: Sequence[int]
) -> list[Column]:
    """Return the simplest columns, those that waste least in three rounds, and the known."""

    def worth(column: Column) -> int:
        value = sum(price * n for price, n in zip(prices, column.counts, strict=True))
        return value // column.size

    simple = sorted(costs, key=lambda cost: (costs[cost], cost.size, cost.counts))
    shallow = [column for column in simple if costs[column] < _DEEP]
    full = sorted(shallow, key=lambda one: (-worth(one), costs[one], one.size, one.counts))
    chosen = dict.fromkeys(simple[: MOST_COLUMNS // 2])
    chosen.update(dict.fromkeys(full[: MOST_COLUMNS // 2]))
    chosen.update(dict.fromkeys(column for choice in known for column in choice))
    return list(chosen)


def drop_surplus(
    problem: Problem, chosen: Counter[Column], *, all_of_it: bool = False
) -> Counter[Column]:
    """Return the choice without pieces that nobody needs, where that makes no new layout.

    Surplus pieces are taken off layouts as a whole (every copy loses the same pieces), and
    off a single copy where one layout is cut once.

    Args:
        problem: How many are needed.
        chosen: Layouts and copies.
        all_of_it: Whether no piece may be too many, even where a copy then becomes a layout
            of its own.
    """
    if all_of_it:
        chosen = drop_surplus(problem, chosen)
        ones = [(column, 1) for column in chosen.elements()]
    else:
        ones = list(chosen.items())
    kinds, by_sheet = len(problem.kinds), problem.height is not None
    made = total(chosen, kinds)
    surplus = [have - need for have, need in zip(made, problem.counts, strict=True)]
    result: Counter[Column] = Counter()
    for column, copies in sorted(ones, key=lambda item: (item[1], item[0].counts)):
        each = [
            min(extra // copies, have) for extra, have in zip(surplus, column.counts, strict=True)
        ]
        kept = prune(column.tree, each) if any(each) else column.tree
        counts = (0,) * kinds if kept is None else tally_of(kept, kinds)
        surplus = [
            extra - (before - after) * copies
            for extra, before, after in zip(surplus, column.counts, counts, strict=True)
        ]
        if kept is not None:
            tree = tidy(kept)
            result[Column(counts, tree, column.size if by_sheet else tree.along)] += copies
    return result
