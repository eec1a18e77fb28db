"""Making a length shorter by cutting a few of its stretches anew, exactly.

The integer program knows whole stretches only. What is left over at its end is often two
or three poorly filled ones whose pieces would fit a shorter stretch of a shape that no
price asked for. So the pieces of a few stretches together are taken as a small problem of
their own and cut anew within one unit less than they take now, among *all* layouts
(:mod:`kitmaker.cutting.builds`), as long as one is found::

    | a a a # # |                 | a a a b b |
    +-----------+   two to one    +-----------+
    | b b # # # |       ->

It never makes a length longer, and the stretches it makes are an answer's like any other.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import combinations

from kitmaker.cutting.builds import Builds, Loss, WorkLimit
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.trees import Column, tidy

WORK = WorkLimit(pairs=4_000_000, joins=6_000)
"""When one attempt gives up."""
ATTEMPTS = 20
"""Attempts at most."""
MOST_SETS = 3_000
"""Sets of pieces that the stretches of one attempt may have."""


def recut(problem: Problem, chosen: Counter[Column], prices: Sequence[int]) -> Counter[Column]:
    """Return a choice that is no longer.

    Args:
        problem: What is to be cut.
        chosen: Stretches and copies.
        prices: What a piece of each kind is worth; it tells the poor stretches.
    """
    current = Counter(chosen)
    tried: set[tuple[int, ...]] = set()
    attempts = ATTEMPTS
    again = True
    while again and attempts > 0:
        again = False
        for group in _groups(current, prices):
            counts = tuple(map(sum, zip(*(column.counts for column in group), strict=True)))
            if counts in tried or not _is_small(counts):
                continue
            tried.add(counts)
            attempts -= 1
            shorter = _shorter(problem, counts, sum(column.size for column in group))
            if shorter is not None:
                current -= Counter(group)
                current[shorter] += 1
                again = True
                break
            if attempts <= 0:
                break
    return +current


def _groups(chosen: Counter[Column], prices: Sequence[int]) -> Iterator[tuple[Column, ...]]:
    """Yield one, two and three stretches at a time, the poorest first."""

    def worth(column: Column) -> float:
        value = sum(price * count for price, count in zip(prices, column.counts, strict=True))
        return value / column.size

    singles = [
        column
        for column, copies in sorted(
            chosen.items(), key=lambda item: (worth(item[0]), item[0].counts)
        )
        for _ in range(min(copies, 2))
    ][:8]
    for size in (1, 2, 3):
        yield from combinations(singles, size)


def _is_small(counts: Sequence[int]) -> bool:
    sets = 1
    for count in counts:
        sets *= count + 1
    return sets <= MOST_SETS


def _shorter(problem: Problem, counts: tuple[int, ...], length: int) -> Column | None:
    area = sum(count * kind.area for count, kind in zip(counts, problem.kinds, strict=True))
    bare = problem.width * (length - 1) - area
    if bare < 0:
        return None
    builds = Builds(problem.kinds, counts, problem.width, length - 1, Loss(bare), WORK)
    if not builds.full_found:
        return None
    tree = tidy(builds.tree(builds.packing.full))
    return Column(counts, tree, tree.along)
