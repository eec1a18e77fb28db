"""A length laid out piece by piece, the most promising beginnings kept side by side.

The problem
    Column generation is strong where many pieces are alike: what it chooses is used again
    and again. A few long borders among squares that are needed once or twice ask for the
    opposite: blocks that hold *just these* pieces, each shape used once.

The idea
    A layout grows by one piece at a time, which goes on top of the last column, beside it
    as a new column, begins a new block, or, where that is wanted, goes into the last row::

        +-------+------+--------------+
        |       |  c   |              |
        |   l   +------+    free      |     a block: columns side by side;
        |       | c  c |              |     a column: rows behind one another
        +-------+------+--------------+
        |          blocks done        |
        +-----------------------------+

    Of all beginnings with equally many pieces the ``keep`` best are kept, judged by the
    share of the cloth behind their front that is bare. A beginning that has left more bare
    than an answer better than the one known can afford is dropped.

    On sheets a block that does not fit what is left of one begins the next, and what is
    left counts as bare.

What it does not do
    Layouts have three rounds of cuts, four with rows, and the trimming. Nothing is proven
    by it.

Source: the ways a piece is added and the two measures are those of L. Libralesso and
F. Fontan, "An anytime tree search algorithm for the 2018 ROADEF/EURO challenge glass
cutting problem", European Journal of Operational Research 291 (2021). Cited from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from kitmaker.cutting.layout import Axis
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.trees import Tree, join, piece_tree

Table = npt.NDArray[np.int64]
Share = npt.NDArray[np.float64]

Measure = tuple[float, Callable[[Share], Share]]
MEASURES: tuple[Measure, ...] = (
    (0.0, np.ones_like),
    (0.1, np.sqrt),
    (0.1, np.positive),
    (0.1, np.square),
)
"""Ways of judging a beginning: what is added to its bare share, and what of the pieces it
has for an area it is multiplied by, so that large pieces come first. Each is computed alike
on every machine, which a power in general is not."""

_ON_TOP, _BESIDE, _ANEW, _IN_ROW = range(4)
_ALIKE = 3
"""So many times as many as are kept are looked at for being alike."""


@dataclass(frozen=True, slots=True)
class _Fronts:
    """Beginnings, an entry of each array for one of them.

    Attributes:
        done: Units along of the blocks done.
        block: Units along of the last block.
        before: Units across of its columns before the last one.
        column: Units across of that one.
        top: Units along of the rows in it.
        row: Units along of the last row.
        filled: Units across of the pieces in it.
        area: Square units of all pieces.
        mark: Tells which pieces they are.
        first: How the first piece of the last row lies.
        last: How the last piece lies.
    """

    done: Table
    block: Table
    before: Table
    column: Table
    top: Table
    row: Table
    filled: Table
    area: Table
    mark: Table
    first: Table
    last: Table

    def take(self, at: Table) -> _Fronts:
        """Return those at the given places."""
        return _Fronts(*(getattr(self, one.name)[at] for one in fields(self)))

    def ends(self) -> Table:
        """Return the units along that each takes so far."""
        ends: Table = self.done + self.block
        return ends

    def front(self, width: int) -> Table:
        """Return the area behind each front: blocks, columns and rows done, and the last row."""
        front: Table = self.done * width + self.block * self.before
        front += self.column * (self.top - self.row) + self.filled * self.row
        return front

    def alike(self) -> Table:
        """Return a mark that is the same where the same pieces reach the same front."""
        shape = (self.done, self.block, self.before, self.column, self.top, self.row, self.filled)
        marks = self.mark.copy()
        for odd, measure in zip(_ODD, shape, strict=True):
            marks += odd * measure
        return marks


class Beam:
    """Lays out pieces of one problem.

    Attributes:
        work: Ways of adding a piece looked at so far.
    """

    def __init__(self, problem: Problem, *, rows: bool = False) -> None:
        """Prepare.

        Args:
            problem: With a height the blocks lie on sheets, one after another.
            rows: Whether a row of a column may hold several pieces, which takes a round of
                cuts more; else each row is a piece.
        """
        self.problem = problem
        self.width = problem.width
        self.rows = rows
        self.sheet = problem.height
        self.ways = sorted(
            (
                (w, h, index, turned)
                for index, kind in enumerate(problem.kinds)
                for w, h, turned in kind.ways()
                if w <= problem.width and (problem.height is None or h <= problem.height)
            ),
            key=lambda way: (-way[0], -way[1], way[2]),
        )
        self.across, self.along, self.kind = (
            np.array([way[part] for way in self.ways], dtype=np.int64) for part in range(3)
        )
        self.area = self.across * self.along
        self.marks = _odd_numbers(len(problem.kinds))[self.kind]
        self.work = 0

    def work_for_one(self, pieces: int) -> int:
        """Return the ways looked at for each beginning that is kept to the end."""
        return (3 + self.rows) * pieces * len(self.ways)

    def lay_out(
        self, counts: Sequence[int], below: int, keep: int, measure: Measure
    ) -> list[Tree] | None:
        """Return blocks that hold the pieces, shorter together than a length.

        Args:
            counts: How many of each kind.
            below: Units along, of sheets one behind another where there are any; only what
                is shorter is looked for.
            keep: Beginnings kept at most.
            measure: How beginnings are judged, one of ``MEASURES``.

        Returns:
            The blocks; None where nothing shorter was found.
        """
        return _Run(self, counts, below, keep, measure).search()


class _Run:
    """One search: what is kept, and the record of how each beginning came about."""

    def __init__(
        self, beam: Beam, counts: Sequence[int], below: int, keep: int, measure: Measure
    ) -> None:
        self.beam = beam
        self.counts = counts
        self.below = below
        self.keep = keep
        self.measure = measure
        self.total = beam.problem.area_of(counts)
        self.parents: list[Table] = []
        self.steps: list[Table] = []

    def search(self) -> list[Tree] | None:
        beam = self.beam
        zero = np.zeros(1, dtype=np.int64)
        nothing_fits = zero + beam.width + 1  # so that a block is begun
        kept = _Fronts(zero, zero, nothing_fits, *(zero for _ in range(8)))
        left = np.array([self.counts], dtype=np.int64)
        for pieces in range(1, sum(self.counts) + 1):
            at, steps = self._ways_on(kept, left)
            grown = self._grow(kept.take(at), steps)
            best = self._best(grown, pieces)
            if not len(best):
                return None
            kept, at, steps = grown.take(best), at[best], steps[best]
            self.parents.append(at)
            self.steps.append(steps)
            left = left[at]
            left[np.arange(len(at)), beam.kind[steps % len(beam.ways)]] -= 1
        return self._blocks(int(np.argmin(kept.ends())))

    def _ways_on(self, kept: _Fronts, left: Table) -> tuple[Table, Table]:
        """Return which beginnings can be continued how: their places and the steps."""
        beam = self.beam
        many = len(beam.ways)
        beam.work += beam.work_for_one(len(left))
        ways = np.arange(many)
        has = left[:, beam.kind] > 0
        old = _Fronts(*(getattr(kept, one.name)[:, None] for one in fields(kept)))
        begun = has & (old.before <= beam.width)
        # Within a column the widest piece comes first: rows after the first never widen it.
        on_top = begun & (ways >= old.first)
        beside = has & (old.before + old.column + beam.across <= beam.width)
        able = [on_top, beside, has]
        if beam.rows:
            widens = (ways == old.last) & (old.row == old.top)
            room = np.where(widens, beam.width - old.before, old.column)
            in_row = begun & (beam.along <= old.row) & (ways >= old.last)
            able.append(in_row & (old.filled + beam.across <= room))
        at, steps = np.nonzero(np.concatenate(able, axis=1))
        return at, steps

    def _grow(self, old: _Fronts, steps: Table) -> _Fronts:
        """Return beginnings with one piece more."""
        beam = self.beam
        step, way = np.divmod(steps, len(beam.ways))
        in_row, on_top, anew = step == _IN_ROW, step == _ON_TOP, step == _ANEW
        same_column = in_row | on_top
        along, across = beam.along[way], beam.across[way]
        top = np.where(in_row, old.top, along + old.top * on_top)
        filled = across + old.filled * in_row
        done = old.done + old.block * anew
        if beam.sheet is not None:
            begun = done % beam.sheet
            done += (beam.sheet - begun) * (anew & (begun + along > beam.sheet))
        return _Fronts(
            done,
            np.where(anew, along, np.maximum(old.block, top)),
            np.where(anew, 0, old.before + old.column * ~same_column),
            np.where(same_column, np.maximum(old.column, filled), across),
            top,
            np.where(in_row, old.row, along),
            filled,
            old.area + beam.area[way],
            old.mark + beam.marks[way],
            np.where(in_row, old.first, way),
            way,
        )

    def _best(self, grown: _Fronts, pieces: int) -> Table:
        """Return the places of those that are kept: able to end shorter, unlike, the best."""
        front = grown.front(self.beam.width)
        bare = front - grown.area
        may_be = bare + self.total <= self.beam.width * (self.below - 1)
        may_be &= grown.ends() < self.below
        if self.beam.sheet is not None:
            may_be &= grown.done % self.beam.sheet + grown.block <= self.beam.sheet
        able = np.flatnonzero(may_be)
        added, size = self.measure
        scores = (bare[able] / front[able] + added) * size(pieces / grown.area[able])
        if len(able) > _ALIKE * self.keep:
            good = scores <= np.partition(scores, _ALIKE * self.keep)[_ALIKE * self.keep]
            able, scores = able[good], scores[good]
        first = np.unique(grown.take(able).alike(), return_index=True)[1]
        order = first[np.argsort(scores[first], kind="stable")]
        best: Table = able[order[: self.keep]]
        return best

    def _blocks(self, at: int) -> list[Tree]:
        taken: list[int] = []
        for parents, steps in zip(reversed(self.parents), reversed(self.steps), strict=True):
            taken.append(int(steps[at]))
            at = int(parents[at])
        blocks: list[list[list[list[Tree]]]] = []
        for one in reversed(taken):
            step, way = divmod(one, len(self.beam.ways))
            w, h, kind, turned = self.beam.ways[way]
            if step == _ANEW:
                blocks.append([])
            if step in (_ANEW, _BESIDE):
                blocks[-1].append([])
            if step != _IN_ROW:
                blocks[-1][-1].append([])
            blocks[-1][-1][-1].append(piece_tree(w, h, kind, turned=turned))
        return [join(Axis.ACROSS, [_column(rows) for rows in block]) for block in blocks]


def _column(rows: Sequence[Sequence[Tree]]) -> Tree:
    return join(Axis.ALONG, [join(Axis.ACROSS, row) for row in rows])


def on_sheets(blocks: Sequence[Tree], sheet: int) -> list[Tree]:
    """Return what lies on each sheet.

    Args:
        blocks: Laid out for sheets, in order.
        sheet: Units along of one.
    """
    sheets: list[list[Tree]] = []
    left = 0
    for block in blocks:
        if block.along > left:
            sheets.append([])
            left = sheet
        sheets[-1].append(block)
        left -= block.along
    return [join(Axis.ALONG, one) for one in sheets]


def _odd_numbers(many: int) -> Table:
    """Return large numbers whose sums are hardly ever alike, the same on every machine."""
    return np.random.default_rng(many).integers(1, 2**62, many, dtype=np.int64)


_ODD = _odd_numbers(7)
