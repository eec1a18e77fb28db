"""A few stretches of a length taken out and laid out anew, again and again.

An integer program knows whole stretches only, and laying out all pieces from nothing looks
at few beginnings where there are hundreds. So the pieces of some stretches are taken as a
small problem of their own, those of the stretches that waste much the oftenest::

    | a a a # # |                 | a a a b b |
    +-----------+   two to one    +-----------+
    | b b # # # |       ->

What takes no more than they took is put in their place: as long, but of another shape, it
is where the next try may go on from. Several tries are made side by side, as one more takes
hardly longer; what one of them has put in is not taken back by the next.

Source: P. Shaw, "Using constraint programming and local search methods to solve vehicle
routing problems", CP98 (1998), for taking out a part of an answer and putting it in anew.
Cited from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from random import Random

from kitmaker.cutting.beam import WAYS_TO_LAY_OUT, Beam, Task
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.trees import Tree, tally

MOST_PIECES = 40
"""Pieces that are laid out anew at a time; more where two stretches have more."""
AT_ONCE = 8
"""Tries that are made side by side."""
ROUNDS = 24
"""How often that is done at most."""
WORK = 10_000_000
"""Ways of adding a piece looked at, after which no others are taken out."""
KEPT = 32
"""Beginnings kept at once."""


def laid_out_anew(problem: Problem, trees: Sequence[Tree]) -> list[Tree]:
    """Return stretches that hold the same pieces and are no longer.

    Args:
        problem: Without a height.
        trees: Stretches that hold the demand.
    """
    beams = {rows: Beam(problem, rows=rows) for rows in (False, True)}
    draw = Random(0)  # noqa: S311 - the same draws on every machine
    best = [_Stretch.of(problem, tree) for tree in trees]
    for number in range(ROUNDS):
        if sum(beam.work for beam in beams.values()) > WORK:
            break
        tries = [_taken_out(best, draw) for _ in range(AT_ONCE)]
        tasks = [_task(out) for out in tries]
        rows, measure = WAYS_TO_LAY_OUT[number % len(WAYS_TO_LAY_OUT)]
        found = beams[rows].lay_out_each(tasks, KEPT, measure)
        for out, fresh in zip(tries, found, strict=True):
            if fresh is not None and all(one in best for one in out):
                stay = [one for one in best if one not in out]
                best = [*stay, *(_Stretch.of(problem, tree) for tree in fresh)]
    return [stretch.tree for stretch in best]


@dataclass(frozen=True, slots=True, eq=False)
class _Stretch:
    """One stretch, how many of each kind it holds, and which part of it is waste.

    Two of them are equal only where they are the same one: stretches may be alike.
    """

    tree: Tree
    held: tuple[int, ...]
    bare: float

    @classmethod
    def of(cls, problem: Problem, tree: Tree) -> _Stretch:
        """Measure a stretch."""
        held = tally(tree, len(problem.kinds))
        return cls(tree, held, 1 - problem.area_of(held) / (problem.width * tree.along))


def _taken_out(stretches: Sequence[_Stretch], draw: Random) -> list[_Stretch]:
    """Return some of the stretches."""
    luck = [one.bare * sqrt(draw.random()) for one in stretches]
    out: list[_Stretch] = []
    pieces = 0
    for at in sorted(range(len(stretches)), key=lambda one: -luck[one]):
        held = sum(stretches[at].held)
        if len(out) < 2 or pieces + held <= MOST_PIECES:
            out.append(stretches[at])
            pieces += held
    return out


def _task(out: Sequence[_Stretch]) -> Task:
    """Return what they hold, to be laid out no longer than they are."""
    counts = [sum(held) for held in zip(*(one.held for one in out), strict=True)]
    return Task(counts, sum(one.tree.along for one in out) + 1)
