"""A length chosen stretch by stretch, the prices asked anew for what is left.

The problem
    The integer program chooses among stretches that were best while everything was still
    to be cut. What its answer lacks are the stretches for the *rest*: three of these and
    five of those that no full stretch holds.

The idea
    Solve the relaxation (:mod:`kitmaker.cutting.rest_relaxation`), keep the stretches it
    uses whole, take what they hold off the demand, and generate again with no more of a kind
    than is left, until nothing is left::

        demand 40 a, 7 b   keep 3 x | a a a a a a a a a a a a |   4 a, 7 b are left
                           keep 1 x | a a a a b b b b |           3 b are left
                           keep 1 x | b b b | . . .

What it does not do
    A dive never goes back on a stretch it has kept. So it is done several times, with
    another rule for what is kept first, and all that it finds goes into the pool.

Source: column generation with rounding of what is left, as in G. Wäscher and T. Gau,
"Heuristics for the integer one-dimensional cutting stock problem", OR Spektrum 18 (1996).
Cited from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from kitmaker.cutting.problem import Problem
from kitmaker.cutting.rest_relaxation import Cut, CutStore, Opened, Rest
from kitmaker.cutting.stretches import PRICE_OF_UNIT
from kitmaker.cutting.trees import Tree

RULES = 3
"""Rules for what is kept first."""
_WHOLE = 1 - 1e-6
"""What is used so much is used whole."""


class Diver:
    """Dives for one problem; what one dive has generated serves the next."""

    def __init__(self, problem: Problem, room: int, known: Iterable[Tree] = ()) -> None:
        """Prepare.

        Args:
            problem: Without a height.
            room: The greatest depth of a strip, units.
            known: Stretches known already.
        """
        self.problem = problem
        self.store = CutStore(problem, room, known)

    def dive(self, rule: int, first: int | None = None) -> list[Tree] | None:
        """Return stretches that hold the demand; None where it comes to no end.

        Args:
            rule: Which stretch is kept first where none is used whole: 0 the one used most,
                1 the one used most for its length, 2 the longest that is used half.
            first: The number of a block to begin with; None to begin with any stretch.
        """
        left = list(self.problem.counts)
        kept: list[Tree] = []
        opened: list[Opened] = []
        if first is not None:
            self._open(first, left, opened)
        while any(left):
            before = list(left)
            for cut, copies in _to_keep(Rest(self.store, left, opened).solve(), opened, rule):
                for _ in range(copies):
                    self._keep(cut, left, kept, opened)
            if left == before:
                return None
        return [*kept, *(one.tree() for one in opened)]

    def promising(self, most: int) -> list[int]:
        """Return the blocks with which the rest takes least, says its relaxation, best first."""
        found = []
        for number, block in enumerate(self.store.blocks):
            left = list(self.problem.counts)
            opened: list[Opened] = []
            self._open(number, left, opened)
            rest = Rest(self.store, left, opened).program.solve()[0] if any(left) else 0.0
            found.append((block.length + round(rest / PRICE_OF_UNIT), number))
        return [number for _, number in sorted(found)[:most]]

    def _open(self, number: int, left: list[int], opened: list[Opened]) -> None:
        block = self.store.blocks[number]
        opened.append(Opened(block, number, block.length))
        _take_off(left, block.counts)

    def _keep(self, cut: Cut, left: list[int], kept: list[Tree], opened: list[Opened]) -> None:
        """Keep a cut, unless nothing it holds is missing or its room is taken by now."""
        if not any(min(have, need) for have, need in zip(cut.counts, left, strict=True)):
            return
        if cut.opens:
            self._open(cut.block, left, opened)
            return
        if cut.block < 0:
            kept.append(cut.tree)
        else:
            rooms = [one for one in opened if one.holds(cut)]
            if not rooms:
                return
            tightest = min(rooms, key=lambda room: room.left)
            tightest.strips.append(cut.tree)
            tightest.left -= cut.tree.along
        _take_off(left, cut.counts)


def _take_off(left: list[int], counts: Sequence[int]) -> None:
    for kind, have in enumerate(counts):
        left[kind] = max(0, left[kind] - have)


def _to_keep(
    used: Sequence[tuple[Cut, float]], opened: Sequence[Opened], rule: int
) -> list[tuple[Cut, int]]:
    """Return what is kept of a relaxation: all that is used whole, else one."""
    able = [
        (cut, much)
        for cut, much in used
        if cut.block < 0 or cut.opens or any(one.holds(cut) for one in opened)
    ]
    if not able:  # the room that is left lies in several blocks: take the width for it
        able = [(replace(cut, block=-1), much) for cut, much in used]
    whole = [(cut, int(much + 1 - _WHOLE)) for cut, much in able if much > _WHOLE]
    if whole:
        return whole
    if rule == 0:
        best = max(able, key=lambda one: (one[1], one[0].tree.along, one[0].counts))
    elif rule == 1:
        best = max(able, key=lambda one: (one[1] * one[0].tree.along, one[0].counts))
    else:
        half = [one for one in able if one[1] >= 0.5] or able
        best = max(half, key=lambda one: (one[0].tree.along, one[1], one[0].counts))
    return [(best[0], 1)]
