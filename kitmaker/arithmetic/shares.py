"""How much cloth pieces take beside an amount that a pattern states: far less, or far more.

A pattern's amount is what its maker cut the quilt from, so a reading that takes far less or
far more of it is hardly right. What is far is our own choice, no source: below 60 % or above
115 % of the usable cloth, and by more than a quarter yard of it.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

from kitmaker.lengths import Length

FAR_LESS = Fraction(60, 100)
FAR_MORE = Fraction(115, 100)
NOT_FAR: Length = Fraction(9)
"""Inches of length: a quarter of a yard, which amounts are rounded up by."""


class Share(StrEnum):
    """What pieces take of an amount."""

    LESS = "far less"
    AGREES = "agrees"
    MORE = "far more"


def share_of(taken: Fraction, stated: Fraction, width: Length) -> Share:
    """Return whether an area is far from one that is stated.

    The areas are square inches of usable cloth; the usable width tells how much length the
    difference is.
    """
    is_small = abs(taken - stated) <= NOT_FAR * width
    if taken < FAR_LESS * stated and not is_small:
        return Share.LESS
    if taken > FAR_MORE * stated and not is_small:
        return Share.MORE
    return Share.AGREES
