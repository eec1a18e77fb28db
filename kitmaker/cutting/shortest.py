"""How short a length off the bolt yields the pieces, and the proof that less will not do.

The way
    1. The length is cut into *stretches* from selvage to selvage, one after another. A
       stretch is mostly a strip with its sub-cuts; where long pieces lie along the selvage
       it is a longer block in which lengthwise cuts come first. Stretches are generated
       by price, each paying for the length it takes.
    2. An integer program chooses stretches of the least length in all.
    3. Where choice and bound do not meet, one strategy after the other is tried
       (``STRATEGIES``), the quick ones first: lengths are laid out piece by piece
       (:mod:`kitmaker.cutting.beam`), few beginnings kept; the bound is raised
       (:mod:`kitmaker.cutting.length_bounds`; two bounds cover every edge-to-edge cutting);
       something shorter is looked for among all layouts of little waste
       (:mod:`kitmaker.cutting.builds`), which proves that there is none where it comes to
       its end; lengths are laid out again, more beginnings kept; longer
       blocks are added (:mod:`kitmaker.cutting.stretches`); lengths are put together stretch
       by stretch (:mod:`kitmaker.cutting.stretch_by_stretch`); all is laid out once more
       sideways, where cuts along the selvage come first; strips that hold no more than is
       needed are listed (:mod:`kitmaker.cutting.strip_patterns`).
    4. Where it is told how the length is bought, choices that are easy to cut are taken
       beside the shortest.

What it does not do
    Blocks are a few times as long as the longest piece, so a layout that interlocks over
    more than that is not found. Where choice and bound do not meet the answer says so.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from kitmaker.cutting.beam import WAYS_TO_LAY_OUT, Beam, Way
from kitmaker.cutting.bounds import next_reachable_length
from kitmaker.cutting.builds import Builds, Loss, WorkLimit
from kitmaker.cutting.knapsack import LayoutSearch, table_work
from kitmaker.cutting.layout import Axis
from kitmaker.cutting.length_bounds import raised_bound, thread_bound
from kitmaker.cutting.master import choose_columns
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.purchase import Purchase
from kitmaker.cutting.simplest import MOST_ROUNDS, drop_surplus, simplest_choices
from kitmaker.cutting.stretch_by_stretch import RULES, Diver
from kitmaker.cutting.stretches import UNIT, StretchPool, length_of, next_shorter
from kitmaker.cutting.trees import Column, Tree, chosen_of, join, levels, tally, tidy
from kitmaker.lengths import Length

BUILD_WORK = (
    WorkLimit(pairs=2_000_000, joins=5_000),
    WorkLimit(pairs=20_000_000, joins=40_000),
)
"""When the exact search among layouts of little waste gives up: first soon, then later."""
MOST_SHORTENED = 20
"""How often something still shorter is looked for in one way, at most."""
LONGEST_BLOCK = 6
"""Blocks are at most so many times as long as the longest piece."""
FEWEST_TABLES = 5
"""Blocks are shortened until so many tables can be afforded; a table that takes so many times
what may be spent is not begun."""
BEAM_WORK = 4_000_000
"""Ways of adding a piece looked at, for one length laid out piece by piece."""
QUICK_WORK = 300_000
"""The same before anything else is tried, in so many ways."""
QUICK_WAYS = 3
SIDEWAYS_WORK = 2_000_000
"""The same for one laid out sideways."""
MOST_LAID_OUT = 400
"""With more pieces a length is not laid out piece by piece: it repeats itself."""
MOST_KEPT = 2_000
"""Beginnings kept at once at most."""
DIVE_WORK = 100_000_000
"""Additions spent on dives before no other is begun."""
MOST_FIRST = 6
"""Blocks that are begun with at most."""
NODES = 5
"""Nodes of the integer program over all stretches at most."""
TABLE_WORK = 70_000_000
"""Additions spent on tables over all layouts, for blocks."""
BOUND_WORK = 100_000_000
"""Additions spent on tables over all layouts, for the bound."""


@dataclass(frozen=True, slots=True)
class LengthAnswer:
    """How long, cut how, and what is proven.

    Attributes:
        columns: Stretches and copies; a column's size is its units along.
        length: The shortest found, units along.
        lower_bound: No edge-to-edge cutting is shorter, units.
        easy: Choices that are easy to cut: the first has the purchase of ``length``, each of
            those behind it takes more cloth. Only ``columns`` where nothing is bought or
            they are not wanted.
    """

    columns: Counter[Column]
    length: int
    lower_bound: int
    easy: tuple[Counter[Column], ...]

    @property
    def proven(self) -> bool:
        """Whether no edge-to-edge cutting is shorter."""
        return self.length == self.lower_bound


def shortest_length(
    problem: Problem,
    purchase: Purchase | None = None,
    *,
    easy: bool = True,
    exact: bool = False,
) -> LengthAnswer:
    """Find how short a length yields the pieces.

    Args:
        problem: Without a height; each kind fits the width.
        purchase: Where only what is bought matters: the search stops once nothing less can
            be bought.
        easy: Whether choices that are easy to cut are wanted.
        exact: Whether the length counts as well: then only what takes longest is left out
            once nothing less can be bought.
    """
    return _Search(problem, purchase, easy=easy, exact=exact).run()


class _Search:
    def __init__(
        self,
        problem: Problem,
        purchase: Purchase | None = None,
        *,
        easy: bool = True,
        exact: bool = False,
    ) -> None:
        self.problem = problem
        self.easy = easy
        self.exact = exact
        self.purchase = purchase
        self.pool = StretchPool(problem)
        self.bound = thread_bound(problem)
        self.best: Counter[Column] | None = None

    def run(self) -> LengthAnswer:
        self.pool.generate_strips()
        self._choose()
        for strategy in STRATEGIES:
            if strategy in THOROUGH:
                self.exact = False
            if not self._open():
                break
            strategy(self)
        if self.best is None:
            raise ValueError("no choice covers the demand")
        return self._answer(drop_surplus(self.problem, self.best))

    def _raise_the_bound(self) -> None:
        """Ask what one sheet of the length can hold at most."""
        self.bound = raised_bound(
            self.problem, self.bound, self._length(), self.pool.prices(), BOUND_WORK
        )

    def _choose_among_listed_strips(self) -> None:
        """List strips that hold no more than is needed, and choose again."""
        self.pool.list_patterns(self._length())
        self._choose()

    def _answer(self, best: Counter[Column]) -> LengthAnswer:
        """Return the answer, where something is bought with the easiest of its purchase."""
        length = length_of(best)
        bound = next_reachable_length(self.problem, self.bound, length)
        if self.purchase is None or not self.easy:
            return LengthAnswer(best, length, bound, (best,))
        for column in best:
            self.pool.add(column.tree)
        unit = self.problem.unit
        room = self.purchase.room(length * unit, best.total())
        within = [length + int(room / unit)]
        within += [int(more / unit) for more in self.purchase.longer(length * unit)]
        self.pool.list_patterns(max(within) + 1)
        shallow = self._in_three_rounds() if any(map(self._is_deep, best)) else None
        easy = self._easiest(best, shallow, within)
        if self._bought(easy[0]) > self._bought(best):
            easy[:1] = self._easiest(best, shallow, [length])
        if self._bought(easy[0]) > self._bought(best):  # more strips, each with its loss
            easy[0] = best
        return LengthAnswer(best, length, bound, tuple(easy))

    def _easiest(
        self, best: Counter[Column], shallow: Counter[Column] | None, within: Sequence[int]
    ) -> list[Counter[Column]]:
        """Return for each length the choice of no more that is easiest to cut."""
        columns = list(self.pool.columns.values())
        known = [
            best if shallow is None or length_of(shallow) > units else shallow for units in within
        ]
        prices = self.pool.prices()
        return simplest_choices(self.problem, columns, known, within, prices, UNIT)

    def _is_deep(self, column: Column) -> bool:
        """Whether it takes more than three rounds of cuts, that from its length among them."""
        return 1 + levels(column.tree, self.problem.width, column.size) > MOST_ROUNDS

    def _in_three_rounds(self) -> Counter[Column] | None:
        """Return the shortest choice in three rounds of cuts that is found."""
        shallow = [column for column in self.pool.columns.values() if not self._is_deep(column)]
        choice = choose_columns(
            [column.counts for column in shallow],
            [column.size for column in shallow],
            self.problem.counts,
            nodes=NODES,
            whole_steps=True,
        )
        return None if choice is None else chosen_of(shallow, choice.copies)

    def _bought(self, chosen: Counter[Column]) -> Length:
        """What is bought for a choice; its length where there is no purchase to round to."""
        inches = length_of(chosen) * self.problem.unit
        if self.purchase is None:
            return inches
        return self.purchase.bought(inches, chosen.total())

    def _open(self) -> bool:
        if self.best is None:
            return True
        length = length_of(self.best)
        least = next_reachable_length(self.problem, self.bound, length)
        if self.purchase is None or self.exact or least >= length:
            return least < length
        return self.purchase.bought(least * self.problem.unit, 1) < self._bought(self.best)

    def _length(self) -> int:
        if self.best is None:
            return self.pool.room * sum(self.problem.counts)
        return length_of(self.best)

    def _lay_out_quickly(self) -> None:
        """Lay the pieces out one by one, keeping few beginnings: often that is enough."""
        self._lay_out(QUICK_WORK, WAYS_TO_LAY_OUT[:QUICK_WAYS])

    def _lay_out_upright(self) -> None:
        """Lay the pieces out one by one, judged in several ways, more and more kept."""
        for work in (BEAM_WORK // 4, BEAM_WORK):
            self._lay_out(work, WAYS_TO_LAY_OUT)

    def _lay_out(self, work: int, ways: Iterable[Way]) -> None:
        for way in ways:
            if not self._open():
                return
            self._take(_laid_out(self.problem, self._wanted() + 1, work, way))

    def _lay_out_sideways(self) -> None:
        """Lay the pieces out from one selvage to the other, on one sheet a little shorter.

        Upright, the first cuts go from selvage to selvage; sideways, they run along it.
        """
        for way in WAYS_TO_LAY_OUT:
            for _ in range(MOST_SHORTENED):
                if not self._open():
                    return
                sheet = replace(self.problem, height=self._wanted())
                sideways = replace(sheet.mirrored(), height=None)
                found = _laid_out(sideways, sheet.width + 1, SIDEWAYS_WORK, way)
                if found is None:
                    break
                self._take([join(Axis.ALONG, found).mirrored()])

    def _choose_with_blocks(self) -> None:
        """Add blocks as long as can be afforded, and choose again."""
        work = TABLE_WORK
        longest = min(next_shorter(self.problem, self._length()), LONGEST_BLOCK * self.pool.room)
        kinds, width = self.problem.kinds, self.problem.width
        while table_work(kinds, width, longest) * FEWEST_TABLES > work and longest > self.pool.room:
            longest = max(self.pool.room, longest * 2 // 3)
        if table_work(kinds, width, longest) > FEWEST_TABLES * work:
            return
        blocks = LayoutSearch(kinds, width, longest)
        self.pool.generate_blocks(blocks, max(1, work // max(1, blocks.work)))
        self._choose()

    def _choose_stretch_by_stretch(self) -> None:
        """Choose stretch by stretch, from nothing and from all that is known."""
        for diver in (Diver(self.problem, self.pool.room), self._diver()):
            for rule in range(RULES):
                if not rule or diver.store.work < DIVE_WORK:
                    self._take(diver.dive(rule))
        if diver.store.work >= DIVE_WORK:
            return
        for first in diver.promising(MOST_FIRST):
            if diver.store.work < DIVE_WORK:
                self._take(diver.dive(1, first=first))

    def _diver(self) -> Diver:
        known = [column.tree for column in self.pool.columns.values()]
        return Diver(self.problem, self.pool.room, known)

    def _take(self, trees: Iterable[Tree] | None) -> None:
        """Put stretches that hold the demand into the pool, and take them where shorter."""
        if trees is None:
            return
        kinds = len(self.problem.kinds)
        neat = [tidy(tree) for tree in trees]
        chosen = Counter(Column(tally(tree, kinds), tree, tree.along) for tree in neat)
        chosen = drop_surplus(self.problem, chosen)
        for column in chosen:
            self.pool.add(column.tree)
        if self.best is None or length_of(chosen) < self._length():
            self.best = chosen

    def _choose(self) -> None:
        found = self.pool.choose(self.best, NODES)
        if found is not None:
            self.best = drop_surplus(self.problem, found)
            for column in self.best:
                self.pool.add(column.tree)

    def _wanted(self) -> int:
        """Return the greatest length, in units, that would be better than the best.

        It does not look at the purchase: the same pieces are searched in the same way,
        however they are sold, until nothing smaller can be bought.
        """
        return next_shorter(self.problem, self._length())

    def _settle_soon(self) -> None:
        """Look for something shorter among all layouts of little waste, if these are few."""
        self._settle(BUILD_WORK[0])

    def _settle_exactly(self) -> None:
        """Look for something shorter among all layouts of little waste, exactly."""
        self._settle(BUILD_WORK[1])

    def _settle(self, limit: WorkLimit) -> None:
        width = self.problem.width
        for _ in range(MOST_SHORTENED):
            height = self._wanted()
            if not self._open() or height * width < self.problem.area:
                return
            bare = width * height - self.problem.area
            builds = Builds(
                self.problem.kinds,
                self.problem.counts,
                width,
                height,
                Loss(bare),
                limit,
            )
            if builds.full_found:
                tree = tidy(builds.tree(builds.packing.full))
                self.best = Counter({Column(self.problem.counts, tree, tree.along): 1})
            else:
                if builds.complete:
                    self.bound = max(self.bound, Fraction(height + 1))
                return


STRATEGIES: tuple[Callable[[_Search], None], ...] = (
    _Search._lay_out_quickly,
    _Search._raise_the_bound,
    _Search._settle_soon,
    _Search._lay_out_upright,
    _Search._choose_with_blocks,
    _Search._choose_stretch_by_stretch,
    _Search._lay_out_sideways,
    _Search._choose_among_listed_strips,
    _Search._settle_exactly,
    _Search._raise_the_bound,
)
"""One after the other, as long as something shorter is not ruled out."""
THOROUGH = STRATEGIES[3:8]
"""They take long and seldom find more than an inch: only where less might be bought for it.

Of 46 lengths they found a tenth of a percent for the length's own sake (``exact``), none of it
bought, in a third of the time.
"""


def _laid_out(problem: Problem, below: int, work: int, way: Way) -> list[Tree] | None:
    """Return blocks with all pieces, shorter than a length; None where none are found.

    With too many pieces none are looked for.
    """
    pieces = sum(problem.counts)
    if pieces > MOST_LAID_OUT:
        return None
    rows, measure = way
    beam = Beam(problem, rows=rows)
    keep = min(MOST_KEPT, work // beam.work_for_one(pieces))
    return beam.lay_out(problem.counts, below, keep, measure)
