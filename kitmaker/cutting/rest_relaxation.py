"""The relaxation for what is left to cut: strips, blocks of long pieces, and their rooms.

A row of the program for each kind that is left, and one for the room beside each block
(:mod:`kitmaker.cutting.long_blocks`): a block that is used gives as much room as it is
long, a strip beside it takes its depth of it. What room is worth is a price like that of a
piece. No column holds more of a kind than is left
(:mod:`kitmaker.cutting.counted_strips`), so that what the relaxation says is close to what
whole strips can do.

What it does not do
    The room beside blocks of one sort is one sum, wherever they lie; a strip may have to be
    put elsewhere when the sum is made up of several rooms.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from kitmaker.cutting.counted_strips import CountedStrips, CountedValues
from kitmaker.cutting.layout import Axis
from kitmaker.cutting.long_blocks import Block, long_blocks
from kitmaker.cutting.master import CoverProgram
from kitmaker.cutting.positions import index_at_or_below
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.stretches import PRICE_OF_UNIT, UNIT
from kitmaker.cutting.trees import Tree, join, piece_tree, tally

ROUNDS = 30
"""Rounds of column generation for one rest at most."""
STRIPS_A_ROUND = 6
"""Strips added in one round at most."""
_USED = 1e-6
"""What is used less than this is not used."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A column of the program: a strip of the whole width, one beside a block, or a block.

    Attributes:
        counts: Pieces of each kind it holds.
        tree: How they lie.
        block: The number of the block it belongs to; -1 for a strip of the whole width.
        opens: Whether it is the block itself.
    """

    counts: tuple[int, ...]
    tree: Tree
    block: int = -1
    opens: bool = False

    @property
    def cost(self) -> int:
        """Units along it pays for."""
        return self.tree.along if self.opens or self.block < 0 else 0


@dataclass(slots=True)
class Opened:
    """A block that is kept, with the strips put beside its long pieces.

    Attributes:
        block: Which.
        number: Its number among all blocks.
        left: Units along that are free beside its long pieces.
        strips: What is put there.
    """

    block: Block
    number: int
    left: int
    strips: list[Tree] = field(default_factory=list)

    def holds(self, cut: Cut) -> bool:
        """Return whether a strip belongs beside this block and has room there."""
        return self.number == cut.block and self.left >= cut.tree.along

    def tree(self) -> Tree:
        """Return the whole block as one stretch."""
        if not self.strips:
            return self.block.tree
        return join(Axis.ACROSS, [self.block.tree, join(Axis.ALONG, self.strips)])


class CutStore:
    """What may be cut in one problem; what one rest has generated serves the next.

    Attributes:
        blocks: The blocks of long pieces.
        search: The search for strips.
        cuts: All cuts known.
        work: Additions spent on searching so far, roughly.
    """

    def __init__(self, problem: Problem, room: int, known: Iterable[Tree] = ()) -> None:
        """Begin with single pieces and blocks.

        Args:
            problem: Without a height.
            room: The greatest depth of a strip, units.
            known: Stretches known already.
        """
        self.problem = problem
        self.blocks = long_blocks(problem)
        self.search = CountedStrips(problem.kinds, problem.width, room)
        self.cuts: list[Cut] = []
        self.work = 0
        self._known: set[tuple[int, tuple[int, ...], int]] = set()
        for number, block in enumerate(self.blocks):
            self.add(block.tree, number, opens=True)
        for index, kind in enumerate(problem.kinds):
            for w, h, turned in kind.ways():
                if w <= problem.width:
                    self.add(piece_tree(w, h, index, turned=turned))
        for tree in known:
            self.add(tree)

    def add(self, tree: Tree, block: int = -1, *, opens: bool = False) -> Cut | None:
        """Add a strip or a block; return it where it is new."""
        counts = tally(tree, len(self.problem.kinds))
        key = (block, counts, tree.along)
        if key in self._known:
            return None
        self._known.add(key)
        self.cuts.append(Cut(counts, tree, block, opens))
        return self.cuts[-1]


class Rest:
    """The relaxation for what is left.

    Attributes:
        program: Its rows are the kinds and then the rooms.
    """

    def __init__(self, store: CutStore, left: Sequence[int], opened: Sequence[Opened]) -> None:
        """Begin with the cuts known.

        Args:
            store: Where cuts are kept.
            left: How many of each kind are left.
            opened: The blocks that are kept already.
        """
        self.store = store
        self.left = tuple(left)
        self.kinds = len(left)
        free = [0] * len(store.blocks)
        for one in opened:
            free[one.number] += one.left
        self.free = free
        self.deepest = [self._deepest(number, opened) for number in range(len(free))]
        self.program = CoverProgram([*left, *(-room for room in free)])
        self.cuts: list[Cut] = []
        self._enter([store.cuts[at] for at in self._cheapest(store.cuts)])

    def _cheapest(self, cuts: Sequence[Cut]) -> list[int]:
        """Return the places of the cuts that serve, the shortest of those that serve alike."""
        held = np.asarray([cut.counts for cut in cuts], dtype=np.int64)
        along = np.asarray([cut.tree.along for cut in cuts], dtype=np.int64)
        block = np.asarray([cut.block for cut in cuts], dtype=np.int64)
        opens = np.asarray([cut.opens for cut in cuts], dtype=np.int64)
        deepest = np.asarray([*self.deepest, np.iinfo(np.int64).max], dtype=np.int64)
        serve = np.minimum(held, self.left)
        usable = np.flatnonzero(serve.any(axis=1) & (along <= deepest[block]))
        keys = np.column_stack([block, opens, serve])[usable]
        order = np.lexsort((along[usable], *keys.T))
        sorted_keys = keys[order]
        first = np.ones(len(order), dtype=np.bool_)
        first[1:] = (sorted_keys[1:] != sorted_keys[:-1]).any(axis=1)
        chosen: list[int] = np.sort(usable[order[first]]).tolist()
        return chosen

    def _deepest(self, number: int, opened: Sequence[Opened]) -> int:
        """Return how deep a strip beside a block may be."""
        block = self.store.blocks[number]
        if any(self._clip(block.counts)):
            return block.length
        return max((one.left for one in opened if one.number == number), default=0)

    def _clip(self, counts: Sequence[int]) -> tuple[int, ...]:
        return tuple(min(have, need) for have, need in zip(counts, self.left, strict=True))

    def _enter(self, cuts: Sequence[Cut]) -> None:
        """Put cuts into the program."""
        if not cuts:
            return
        entries = np.zeros((len(cuts), self.kinds + len(self.free)), dtype=np.int64)
        held = np.asarray([cut.counts for cut in cuts], dtype=np.int64)
        entries[:, : self.kinds] = np.minimum(held, self.left)
        for row, cut in enumerate(cuts):
            if cut.block >= 0:
                room = cut.tree.along if cut.opens else -cut.tree.along
                entries[row, self.kinds + cut.block] = room
        costs = np.asarray([cut.cost for cut in cuts], dtype=np.int64)
        self.program.add_all(entries, costs * PRICE_OF_UNIT)
        self.cuts += cuts

    def solve(self) -> list[tuple[Cut, float]]:
        """Generate strips until none is worth its length; return what is used how much."""
        for _ in range(ROUNDS):
            _, prices, used = self.program.solve()
            if not self._generate(prices):
                break
        else:
            _, _, used = self.program.solve()
        return [(cut, much) for cut, much in zip(self.cuts, used, strict=True) if much > _USED]

    def _generate(self, prices: Sequence[int]) -> bool:
        store = self.store
        found = store.search.solve(prices[: self.kinds], self.left)
        store.work += store.search.work
        depths = np.asarray(store.search.depths, dtype=np.int64)
        width = store.problem.width
        offers = self._gains(found, depths * UNIT, width, -1)
        for number, block in enumerate(store.blocks):
            room = prices[self.kinds + number]
            shallow = depths[: bisect_right(store.search.depths, self.deepest[number])]
            offers += self._gains(found, shallow * room, block.beside, number)
        offers.sort()
        new: list[Cut] = []
        for _, at, number in offers[: 4 * STRIPS_A_ROUND]:
            length = width if number < 0 else store.blocks[number].beside
            tree = found.strip(at, length)
            cut = None if tree is None else store.add(tree, number)
            if cut is not None:
                new.append(cut)
                if len(new) == STRIPS_A_ROUND:
                    break
        self._enter(new)
        return bool(new)

    def _gains(
        self, found: CountedValues, costs: npt.NDArray[np.int64], length: int, number: int
    ) -> list[tuple[int, int, int]]:
        """Return (-gain, index of the depth, block) of the best strips of a length."""
        column = index_at_or_below(found.search.lengths, length)
        gains = found.values[column, : len(costs)] - costs
        best = np.argsort(-gains, kind="stable")[:3].tolist()
        most = 2 * self.kinds
        return [(-int(gains[at]), at, number) for at in best if gains[at] > most]
