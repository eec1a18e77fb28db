"""The cutting problem, first in exact inches, then in whole numbers.

A problem is a list of demands and the usable size of a sheet (for cloth off a bolt, its
width). Every measure of one problem is a whole multiple of one *unit*, the greatest
common divisor of all of them, so that the search works in integers and inches may meet
millimeters: 2½ in and 50 mm have the unit 1/254 in.

Demands of one size are one *kind* while searching (a background square and a border
square of 2½ in are the same cut); :mod:`kitmaker.cutting.handout` gives them their names
back.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import gcd, lcm

from kitmaker.lengths import Length


@dataclass(frozen=True, slots=True)
class Demand:
    """Pieces of one kind that are needed.

    Attributes:
        key: The caller's name for it.
        across: Inches across when it lies as written.
        along: Inches along when it lies as written.
        count: How many, at least 1.
        may_turn: Whether it may lie the other way.
    """

    key: str
    across: Length
    along: Length
    count: int
    may_turn: bool = True

    def __post_init__(self) -> None:
        """Hold that there is something to cut."""
        if self.across <= 0 or self.along <= 0 or self.count < 1:
            raise ValueError(f"a demand needs a positive size and count: {self}")

    def fits(self, across: Length, along: Length | None) -> bool:
        """Return whether one piece can be cut from a sheet (any length if None)."""
        ways = [(self.across, self.along)]
        if self.may_turn:
            ways.append((self.along, self.across))
        return any(w <= across and (along is None or h <= along) for w, h in ways)


@dataclass(frozen=True, slots=True)
class Kind:
    """Pieces of one size, in units.

    Attributes:
        across, along: Units, as written (the shorter side across when it may turn).
        count: How many.
        may_turn: Whether turning makes a difference and is allowed.
        demands: The demands it stands for, in the caller's order.
    """

    across: int
    along: int
    count: int
    may_turn: bool
    demands: tuple[Demand, ...]

    @property
    def area(self) -> int:
        """Square units."""
        return self.across * self.along

    def ways(self) -> tuple[tuple[int, int, bool], ...]:
        """Return (across, along, turned) for each way it may lie."""
        if self.may_turn:
            return ((self.across, self.along, False), (self.along, self.across, True))
        return ((self.across, self.along, False),)


@dataclass(frozen=True, slots=True)
class Problem:
    """A cutting problem in whole units.

    Attributes:
        unit: Inches one unit has.
        width: The sheet's usable measure across, units.
        height: Its usable measure along, units; None for cloth off the bolt.
        kinds: The largest first.
    """

    unit: Length
    width: int
    height: int | None
    kinds: tuple[Kind, ...]

    @property
    def counts(self) -> tuple[int, ...]:
        """How many of each kind."""
        return tuple(kind.count for kind in self.kinds)

    @property
    def area(self) -> int:
        """Square units of all pieces together."""
        return self.area_of(self.counts)

    def area_of(self, counts: Sequence[int]) -> int:
        """Return the square units of so many of each kind."""
        return sum(kind.area * count for kind, count in zip(self.kinds, counts, strict=True))

    def mirrored(self) -> Problem:
        """Return the problem with across and along changed for one another.

        Raises:
            ValueError: It has no height.
        """
        if self.height is None:
            raise ValueError("only a sheet can be mirrored")
        kinds = tuple(replace(kind, across=kind.along, along=kind.across) for kind in self.kinds)
        return replace(self, width=self.height, height=self.width, kinds=kinds)

    def only(self, counts: Sequence[int]) -> tuple[Problem, tuple[int, ...]]:
        """Return the problem of fewer pieces, and for each of its kinds the index here.

        Args:
            counts: How many of each kind are left, some at least.
        """
        back = tuple(index for index, count in enumerate(counts) if count)
        kinds = tuple(replace(self.kinds[index], count=counts[index]) for index in back)
        return replace(self, kinds=kinds), back


def build_problem(demands: Sequence[Demand], across: Length, along: Length | None) -> Problem:
    """Turn demands and a sheet into whole numbers.

    Args:
        demands: What is needed, at least one, each of which fits the sheet.
        across: The sheet's usable width, inches.
        along: Its usable length, inches; None for cloth off the bolt.

    Raises:
        ValueError: There is nothing to cut, or a piece does not fit: the caller has asked
            before (see :meth:`Demand.fits`).
    """
    if not demands:
        raise ValueError("there is nothing to cut")
    for demand in demands:
        if not demand.fits(across, along):
            raise ValueError(f"{demand.key} does not fit")
    lengths = [across, *([] if along is None else [along])]
    for demand in demands:
        lengths += [demand.across, demand.along]
    unit = common_unit(lengths)
    kinds = kinds_of(demands, unit)
    height = None if along is None else int(along / unit)
    return Problem(unit, int(across / unit), height, kinds)


def kinds_of(demands: Sequence[Demand], unit: Length) -> tuple[Kind, ...]:
    """Return the kinds of piece, demands of one size together, the largest first."""
    grouped: dict[tuple[int, int, bool], list[Demand]] = {}
    for demand in demands:
        w, h = int(demand.across / unit), int(demand.along / unit)
        turns = demand.may_turn and w != h
        if turns and w > h:
            w, h = h, w
        grouped.setdefault((w, h, turns), []).append(demand)
    kinds = [
        Kind(w, h, sum(member.count for member in members), turns, tuple(members))
        for (w, h, turns), members in grouped.items()
    ]
    kinds.sort(key=lambda kind: (-kind.area, -kind.along, kind.across, kind.may_turn))
    return tuple(kinds)


def common_unit(lengths: Iterable[Length]) -> Length:
    """Return the greatest length of which all the given ones are whole multiples."""
    fractions = list(lengths)
    bottom = lcm(*(length.denominator for length in fractions))
    tops = [length.numerator * (bottom // length.denominator) for length in fractions]
    return Fraction(gcd(*tops), bottom)
