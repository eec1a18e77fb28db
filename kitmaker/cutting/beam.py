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
_ALIKE = 3
"""So many times as many as are kept are looked at for being alike."""
_SLOTS = 16
"""Slots for each, at least, of the table by which alike ones are told."""


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

    def alike(self) -> Table:
        """Return a mark that is the same where the same pieces reach the same front."""
        shape = (self.done, self.block, self.before, self.column, self.top, self.row, self.filled)
        marks = self.mark.copy()
        for odd, measure in zip(_ODD, shape, strict=True):
            marks += odd * measure
        return marks


@dataclass(frozen=True, slots=True)
class _Offer:
    """What one step would make of each beginning.

    The arrays have a row for each way a piece lies and a column for each beginning.

    Attributes:
        able: Where the step can be made.
        ends: Units along that would be taken.
        front: The area behind the front: blocks, columns and rows done, and the last row.
    """

    able: Mask
    ends: Table
    front: Table


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
        zero = np.zeros(1, dtype=np.int64)
        nothing_fits = zero + beam.width + 1  # so that a block is begun
        kept = _Fronts(
            done=zero,
            block=zero,
            before=nothing_fits,
            column=zero,
            top=zero,
            row=zero,
            filled=zero,
            area=zero,
            mark=zero,
            first=zero,
            last=zero,
        )
        left = np.array([self.counts], dtype=np.int64).T
        for pieces in range(1, sum(self.counts) + 1):
            at, steps = self._best(kept, self._offers(kept, left), pieces)
            if not len(at):
                return None
            kept = self._grow(kept.take(at), steps)
            self.parents.append(at)
            self.steps.append(steps)
            left = left[:, at]
            left[beam.kind[kept.last], np.arange(len(at))] -= 1
        return self._blocks(int(np.argmin(kept.done + kept.block)))

    def _offers(self, old: _Fronts, left: Table) -> list[_Offer]:
        """Return what each of the steps would make of the beginnings."""
        beam = self.beam
        beam.work += beam.work_for_one(left.shape[1])
        across, along, area, ways = (
            one[:, None] for one in (beam.across, beam.along, beam.area, np.arange(len(beam.ways)))
        )
        has = (left > 0)[beam.kind]
        begun = has & (old.before <= beam.width)
        behind = old.done * beam.width

        # Within a column the widest piece comes first: rows after the first never widen it.
        block = np.maximum(old.block, old.top + along)
        fits = begun & (ways >= old.first) & self._fits_sheet(old.done, block)
        front = behind + old.column * old.top + block * old.before + area
        offers = [_Offer(fits, old.done + block, front)]

        before = old.before + old.column
        block = np.maximum(old.block, along)
        fits = has & (before + across <= beam.width) & self._fits_sheet(old.done, block)
        offers.append(_Offer(fits, old.done + block, behind + block * before + area))

        done = self._next_block(old, along)
        offers.append(_Offer(has, done + along, done * beam.width + area))

        if beam.rows:
            widens = (ways == old.last) & (old.row == old.top)
            room = np.where(widens, beam.width - old.before, old.column)
            fits = begun & (along <= old.row) & (ways >= old.last)
            fits &= old.filled + across <= room
            front = behind + old.block * old.before + old.column * (old.top - old.row)
            front = front + old.filled * old.row + across * old.row
            offers.append(_Offer(fits, np.broadcast_to(old.done + old.block, fits.shape), front))
        return offers

    def _fits_sheet(self, done: Table, block: Table) -> Mask:
        """Return where a block that begins there ends on the same sheet."""
        if self.beam.sheet is None:
            return np.ones(1, dtype=np.bool_)
        fits: Mask = done % self.beam.sheet + block <= self.beam.sheet
        return fits

    def _next_block(self, old: _Fronts, along: Table) -> Table:
        """Return where a block would begin: on the next sheet where it does not fit this one."""
        begin: Table = old.done + old.block
        if self.beam.sheet is None:
            return begin
        left = -begin % self.beam.sheet
        return begin + left * (along > left)

    def _grow(self, old: _Fronts, steps: Table) -> _Fronts:
        """Return beginnings with one piece more."""
        beam = self.beam
        step, way = np.divmod(steps, len(beam.ways))
        in_row, on_top, anew = step == _IN_ROW, step == _ON_TOP, step == _ANEW
        same_column = in_row | on_top
        along, across = beam.along[way], beam.across[way]
        top = np.where(in_row, old.top, along + old.top * on_top)
        filled = across + old.filled * in_row
        return _Fronts(
            np.where(anew, self._next_block(old, along), old.done),
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

    def _best(self, kept: _Fronts, offers: Sequence[_Offer], pieces: int) -> tuple[Table, Table]:
        """Return the best beginnings that can end short enough, no two alike.

        Returns:
            Of each, the place of what it grows from, and the step.
        """
        scores = self._scores(kept, offers, pieces).ravel()
        able = np.flatnonzero(scores < np.inf)
        able = able[_least(scores[able], _ALIKE * self.keep)]
        steps, at = np.divmod(able, len(kept.done))
        grown = self._grow(kept.take(at), steps)
        unlike = _unlike(grown.alike())
        best = unlike[_least(scores[able[unlike]], self.keep)[: self.keep]]
        return at[best], steps[best]

    def _scores(self, kept: _Fronts, offers: Sequence[_Offer], pieces: int) -> Share:
        """Return how each offer is judged, the least the best; infinite where it is none."""
        beam = self.beam
        area = kept.area + beam.area[:, None]
        most_front = area + self.most_bare
        added, size = self.measure
        large_first = size(pieces / area)
        scores = np.full((len(offers), *area.shape), np.inf)
        for score, offer in zip(scores, offers, strict=True):
            able = offer.able & (offer.front <= most_front) & (offer.ends < self.below)
            bare = (offer.front - area) / np.maximum(offer.front, 1)
            np.copyto(score, (bare + added) * large_first, where=able)
        return scores

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
