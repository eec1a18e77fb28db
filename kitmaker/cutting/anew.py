"""A few stretches of a length taken out and laid out anew, again and again.

An integer program knows whole stretches only, and laying out all pieces from nothing looks
at few beginnings where there are hundreds. So the pieces of some stretches are taken as a
small problem of their own, those of the stretches that waste much the oftenest::

    | a a a # # |                 | a a a b b |
    +-----------+   two to one    +-----------+
    | b b # # # |       ->

What takes no more than they took is put in their place: as long, but of another shape, it
is where the next try may go on from.

Source: P. Shaw, "Using constraint programming and local search methods to solve vehicle
routing problems", CP98 (1998), for taking out a part of an answer and putting it in anew.
Cited from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from operator import add
from random import Random

from kitmaker.cutting.beam import MEASURES, Beam
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.trees import Tree, tally

MOST_PIECES = 60
"""Pieces that are laid out anew at a time; more where two stretches have more."""
TRIES = 60
"""How often a few stretches are laid out anew at most."""
WORK = 5_000_000
"""Ways of adding a piece looked at, after which no others are taken out."""
KEPT = 256
"""Beginnings kept at once."""


def laid_out_anew(problem: Problem, trees: Sequence[Tree]) -> list[Tree]:
    """Return stretches that hold the same pieces and are no longer.

    Args:
        problem: Without a height.
        trees: Stretches that hold the demand.
    """
    beams = (Beam(problem), Beam(problem, rows=True))
    draw = Random(0)  # noqa: S311 - the same draws on every machine
    best = [_Stretch.of(problem, tree) for tree in trees]
    for number in range(TRIES):
        if sum(beam.work for beam in beams) > WORK:
            break
        out, counts = _taken_out(best, draw)
        below = sum(best[at].tree.along for at in out) + 1
        beam = beams[number // len(MEASURES) % 2]
        fresh = beam.lay_out(counts, below, KEPT, MEASURES[number % len(MEASURES)])
        if fresh is not None:
            stay = [stretch for at, stretch in enumerate(best) if at not in out]
            best = [*stay, *(_Stretch.of(problem, tree) for tree in fresh)]
    return [stretch.tree for stretch in best]


@dataclass(frozen=True, slots=True)
class _Stretch:
    """A stretch, how many of each kind it holds, and which part of it is waste."""

    tree: Tree
    held: tuple[int, ...]
    bare: float

    @classmethod
    def of(cls, problem: Problem, tree: Tree) -> _Stretch:
        """Measure a stretch."""
        held = tally(tree, len(problem.kinds))
        return cls(tree, held, 1 - problem.area_of(held) / (problem.width * tree.along))


def _taken_out(stretches: Sequence[_Stretch], draw: Random) -> tuple[set[int], list[int]]:
    """Return the places of some stretches, and how many of each kind they hold."""
    luck = [one.bare * sqrt(draw.random()) for one in stretches]
    out: set[int] = set()
    counts = [0] * len(stretches[0].held)
    for at in sorted(range(len(stretches)), key=lambda one: -luck[one]):
        held = stretches[at].held
        if len(out) < 2 or sum(counts) + sum(held) <= MOST_PIECES:
            out.add(at)
            counts = list(map(add, counts, held))
    return out, counts
