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

import numpy as np
import numpy.typing as npt

from kitmaker.cutting.layout import Axis
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.trees import Tree, join, piece_tree

Table = npt.NDArray[np.int64]
Share = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]

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

Way = tuple[bool, Measure]
WAYS_TO_LAY_OUT: tuple[Way, ...] = (
    (False, MEASURES[1]),
    (False, MEASURES[2]),
    *((True, measure) for measure in MEASURES),
)
"""Whether rows hold several pieces, and a way of judging: what finds the most between them."""

_ON_TOP, _BESIDE, _ANEW, _IN_ROW = range(4)
_ROWS = 11
_DONE, _BLOCK, _BEFORE, _COLUMN, _TOP, _ROW, _FILLED, _AREA, _MARK, _FIRST, _LAST = range(_ROWS)
"""A beginning is a column of a table with a row for each of these: units along of the blocks
done, and of the last block; units across of its columns before the last one, and of that one;
units along of the rows in it, and of the last row; units across of the pieces in that; square
units of all pieces; a mark that tells which they are; how the first piece of the last row
lies, and how the last piece does."""
_ALIKE = 3
"""So many times as many as are kept are looked at for being alike."""
_SLOTS = 16
"""Slots for each, at least, of the table by which alike ones are told."""


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
        table = np.array([way[:3] for way in self.ways], dtype=np.int64).reshape(-1, 3)
        self.across, self.along = table[:, :1], table[:, 1:2]
        self.kind = table[:, 2]
        self.area = self.across * self.along
        self.numbers = np.arange(len(self.ways))[:, None]
        self.marks = _odd_numbers("kinds", len(problem.kinds))[self.kind]
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
        self.most_bare = beam.width * (below - 1) - beam.problem.area_of(counts)
        self.parents: list[Table] = []
        self.steps: list[Table] = []

    def search(self) -> list[Tree] | None:
        beam = self.beam
        kept = np.zeros((_ROWS, 1), dtype=np.int64)
        kept[_BEFORE] = beam.width + 1  # nothing fits there, so that a block is begun
        left = np.array([self.counts], dtype=np.int64).T
        for pieces in range(1, sum(self.counts) + 1):
            at, steps, kept = self._best(kept, left, pieces)
            if not len(at):
                return None
            self.parents.append(at)
            self.steps.append(steps)
            left = left[:, at]
            left[beam.kind[kept[_LAST]], np.arange(len(at))] -= 1
        return self._blocks(int(np.argmin(kept[_DONE] + kept[_BLOCK])))

    def _offers(self, kept: Table, left: Table) -> tuple[Mask, Table, Table]:
        """Return what each step would make of the beginnings, by step, way and beginning.

        Returns:
            Where the step can be made, units along that would be taken, and the area behind
            the front: blocks, columns and rows done, and the last row.
        """
        beam = self.beam
        beam.work += beam.work_for_one(left.shape[1])
        done, block, before, column, top, row, filled, _, _, first, last = kept
        across, along, area, ways = beam.across, beam.along, beam.area, beam.numbers
        shape = (3 + beam.rows, len(ways), left.shape[1])
        able = np.empty(shape, dtype=np.bool_)
        ends, front = np.empty(shape, dtype=np.int64), np.empty(shape, dtype=np.int64)
        has = (left > 0)[beam.kind]
        begun = has & (before <= beam.width)
        behind = done * beam.width

        # Within a column the widest piece comes first: rows after the first never widen it.
        deeper = np.maximum(block, top + along)
        able[_ON_TOP] = begun & (ways >= first) & self._fits_sheet(done, deeper)
        np.add(done, deeper, out=ends[_ON_TOP])
        front[_ON_TOP] = deeper * before + (behind + column * top) + area

        beside = before + column
        deeper = np.maximum(block, along)
        able[_BESIDE] = has & (across <= beam.width - beside) & self._fits_sheet(done, deeper)
        np.add(done, deeper, out=ends[_BESIDE])
        front[_BESIDE] = deeper * beside + behind + area

        begin = self._next_block(done + block, along)
        able[_ANEW] = has
        np.add(begin, along, out=ends[_ANEW])
        front[_ANEW] = begin * beam.width + area

        if beam.rows:
            widens = (ways == last) & (row == top)
            room = np.where(widens, beam.width - before, column) - filled
            able[_IN_ROW] = begun & (along <= row) & (ways >= last) & (across <= room)
            ends[_IN_ROW] = done + block
            filled_up = behind + block * before + column * (top - row) + filled * row
            front[_IN_ROW] = filled_up + across * row
        return able, ends, front

    def _fits_sheet(self, done: Table, block: Table) -> Mask:
        """Return where a block that begins there ends on the same sheet."""
        if self.beam.sheet is None:
            return np.ones(1, dtype=np.bool_)
        fits: Mask = done % self.beam.sheet + block <= self.beam.sheet
        return fits

    def _next_block(self, begin: Table, along: Table) -> Table:
        """Return where a block would begin: on the next sheet where it does not fit this one."""
        if self.beam.sheet is None:
            return begin
        left = -begin % self.beam.sheet
        return begin + left * (along > left)

    def _grow(self, kept: Table, steps: Table) -> Table:
        """Return beginnings with one piece more."""
        beam = self.beam
        done, block, before, column, top, row, filled, area, mark, first, _ = kept
        step, way = np.divmod(steps, len(beam.ways))
        in_row, anew = step == _IN_ROW, step == _ANEW
        same_column = in_row | (step == _ON_TOP)
        along, across = beam.along[way, 0], beam.across[way, 0]
        grown = np.empty_like(kept)
        grown[_TOP] = np.where(in_row, top, along + top * (step == _ON_TOP))
        grown[_FILLED] = across + filled * in_row
        grown[_DONE] = np.where(anew, self._next_block(done + block, along), done)
        grown[_BLOCK] = np.where(anew, along, np.maximum(block, grown[_TOP]))
        grown[_BEFORE] = np.where(anew, 0, before + column * ~same_column)
        grown[_COLUMN] = np.where(same_column, np.maximum(column, grown[_FILLED]), across)
        grown[_ROW] = np.where(in_row, row, along)
        grown[_AREA] = area + beam.area[way, 0]
        grown[_MARK] = mark + beam.marks[way]
        grown[_FIRST] = np.where(in_row, first, way)
        grown[_LAST] = way
        return grown

    def _best(self, kept: Table, left: Table, pieces: int) -> tuple[Table, Table, Table]:
        """Return the best beginnings that can end short enough, no two alike.

        Returns:
            Of each, the place of what it grows from, the step, and what it is then.
        """
        beam = self.beam
        able, ends, front = self._offers(kept, left)
        able &= ends < self.below
        area = kept[_AREA] + beam.area
        able &= front <= area + self.most_bare
        places, fronts = np.flatnonzero(able), front[able]
        area = np.broadcast_to(area, able.shape)[able]
        added, size = self.measure
        scores = ((fronts - area) / np.maximum(fronts, 1) + added) * size(pieces / area)
        promising = _least(scores, _ALIKE * self.keep)
        scores = scores[promising]
        steps, at = np.divmod(places[promising], kept.shape[1])
        grown = self._grow(kept[:, at], steps)
        # The same mark: the same pieces reach the same front.
        unlike = _unlike(grown[_MARK] + _ODD @ grown[:_AREA])
        best = unlike[_least(scores[unlike], self.keep)[: self.keep]]
        return at[best], steps[best], grown[:, best]

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


def _least(scores: Share, many: int) -> Table:
    """Return the places of so many of the least scores, and of their equals."""
    if len(scores) <= many:
        return np.arange(len(scores))
    return np.flatnonzero(scores <= np.partition(scores, many - 1)[many - 1])


def _unlike(marks: Table) -> Table:
    """Return the places of one of each mark, in no order; now and then one is missed."""
    slots = 1 << (_SLOTS * len(marks)).bit_length()
    table = np.full(slots, -1, dtype=np.int64)
    table[marks & (slots - 1)] = np.arange(len(marks))
    return table[table >= 0]


def _odd_numbers(of: str, many: int) -> Table:
    """Return large numbers whose sums are hardly ever alike, the same on every machine.

    Args:
        of: What they mark; each thing has numbers of its own.
        many: How many are needed.
    """
    return np.random.default_rng(list(of.encode())).integers(1, 2**62, many, dtype=np.int64)


_ODD = _odd_numbers("measures", 7)
