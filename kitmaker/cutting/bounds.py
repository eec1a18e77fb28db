"""Why fewer will not do: lower bounds, computed in whole numbers from proposed prices.

A bound here is a *certificate*: a price for each kind, and the most that one sheet (or one
thread of cloth) can carry at those prices over all edge-to-edge layouts. If all pieces
together are worth V and no sheet carries more than K, then V / K sheets are needed, and
as sheets are whole, the next whole number. Any prices give a true bound; a linear program
merely proposes good ones. So no tolerance of a solver can turn 3 into 4.

Source: linear-programming duality as used for cutting stock by P. C. Gilmore and R. E.
Gomory, "A linear programming approach to the cutting-stock problem", Oper. Res. 9 (1961);
the bound from prices that are not optimal is A. A. Farley's, "A note on bounding a class
of linear programming problems", Oper. Res. 38 (1990). Cited from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.cutting.bars import ThreadSearch
from kitmaker.cutting.knapsack import LayoutSearch
from kitmaker.cutting.positions import first_position_along
from kitmaker.cutting.problem import Problem


@dataclass(frozen=True, slots=True)
class Certificate:
    """Prices and what they prove.

    Attributes:
        prices: One whole number for each kind of the problem (for threads: for each kind
            in each of its positions, in the order of ``ThreadSearch.items``).
        most: The most value one sheet, or one unit of thread, can carry.
        value: What all pieces together are worth.
    """

    prices: tuple[int, ...]
    most: int
    value: int

    @property
    def ratio(self) -> Fraction:
        """Sheets (or units of length) that are needed at least, before rounding up."""
        return Fraction(self.value, self.most) if self.most else Fraction(0)

    @property
    def sheets(self) -> int:
        """Whole sheets that are needed at least."""
        return -(-self.value // self.most) if self.most else 0


def area_certificate(problem: Problem, sheet_area: int) -> Certificate:
    """Return the bound that every cutting obeys: no sheet holds more than its area."""
    return Certificate(tuple(kind.area for kind in problem.kinds), sheet_area, problem.area)


def sheet_certificate(problem: Problem, search: LayoutSearch, prices: Sequence[int]) -> Certificate:
    """Return what prices prove about the number of sheets, computed exactly."""
    most = int(search.table(prices)[-1, -1])
    value = sum(price * kind.count for price, kind in zip(prices, problem.kinds, strict=True))
    return Certificate(tuple(prices), most, value)


def thread_certificate(
    problem: Problem, threads: ThreadSearch, prices: Sequence[int]
) -> Certificate:
    """Return what prices of a unit of thread prove about a length, computed exactly.

    Args:
        problem: What is to be cut.
        threads: The search for the most valuable thread.
        prices: For each item of ``threads`` the value of one unit of its thread. A piece is
            worth the least it can be worth in any of its positions.
    """
    most, _ = threads.best(prices)
    worth: dict[int, int] = {}
    for item, price in zip(threads.items, prices, strict=True):
        value = price * item.along
        worth[item.kind] = min(worth.get(item.kind, value), value)
    value = sum(worth[index] * kind.count for index, kind in enumerate(problem.kinds))
    return Certificate(tuple(prices), most, value)


def next_reachable_length(problem: Problem, at_least: Fraction, at_most: int) -> int:
    """Return the least length, in units, that a layout can end at.

    A layout pushed to its start ends at a sum of measures along; no other length is ever
    the shortest. Where no such sum lies below ``at_most`` that is the answer.

    Args:
        problem: What is to be cut.
        at_least: A proven lower bound, units.
        at_most: A length known to do, units.
    """
    least = -(-at_least.numerator // at_least.denominator)
    found = first_position_along(problem.kinds, least, at_most)
    return at_most if found is None else found
