"""What published cutting tables ask, put to the product's cutting core.

Every answer here comes out of :mod:`kitmaker.cutting`; nothing is counted by a formula.
Sizes are inches, across first.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import cache
from typing import TypeAlias

from kitmaker.cutting.desk import plan_forms, plan_length
from kitmaker.cutting.problem import Demand

Asked: TypeAlias = tuple[Fraction, Fraction, int]
"""Across, along, how many; it may be turned."""


def fewest_forms(
    across: Fraction, along: Fraction, pieces: Iterable[Asked], *, may_turn: bool = True
) -> tuple[int, int]:
    """Return how many sheets the pieces take, and how many they take at least."""
    answer = plan_forms(_demands(pieces, may_turn), across, along)
    return answer.count, answer.lower_bound


def shortest_length(
    width: Fraction, pieces: Iterable[Asked], *, may_turn: bool = True
) -> tuple[Fraction, Fraction]:
    """Return the length off a bolt that the pieces take, and what they take at least."""
    answer = plan_length(_demands(pieces, may_turn), width)
    return answer.length, answer.lower_bound


def most_squares(across: Fraction, along: Fraction, side: Fraction) -> int:
    """Return how many squares one sheet gives: so many take one sheet, one more takes two."""
    return most_pieces(across, along, side, side)


@cache
def most_pieces(
    across: Fraction, along: Fraction, width: Fraction, length: Fraction, may_turn: bool = True
) -> int:
    """Return how many pieces of one size a sheet gives, by halving the interval.

    One sheet surely gives none, and never more than its area allows. A "two" counts only
    with its proof: the lower bound must say two as well. A piece that fits no way at all
    is not asked for.
    """
    if not Demand("piece", width, length, 1, may_turn).fits(across, along):
        return 0
    surely, too_many = 0, int(across * along / (width * length)) + 1
    while too_many - surely > 1:
        middle = (surely + too_many) // 2
        asked = ((width, length, middle),)
        count, lower_bound = fewest_forms(across, along, asked, may_turn=may_turn)
        if count == 1:
            surely = middle
        else:
            assert lower_bound > 1, f"{middle} pieces take {count} sheets, not proven"
            too_many = middle
    return surely


def _demands(pieces: Iterable[Asked], may_turn: bool) -> tuple[Demand, ...]:
    return tuple(
        Demand(key=f"piece {number}", across=across, along=along, count=count, may_turn=may_turn)
        for number, (across, along, count) in enumerate(pieces, start=1)
    )
