"""Whether so many sheets do, decided exactly: an answer, a proof that there is none, or neither.

The way
    1. All sets of pieces that one of these sheets may hold are built up within what the
       sheets together may lose (:mod:`kitmaker.cutting.builds`). At the prices of a
       certificate N sheets of at most K each must hold V, so they lose N·K - V and no
       more; a sheet, or a part of one, that loses more is in no answer.
    2. The sheets are chosen depth first, each taken to hold the kind that is hardest to
       place of those still missing. What is missing must be worth no more than the sheets
       left can hold, and a demand once found impossible is remembered.

Every step is in whole numbers; where the work runs out the answer is "not decided", never
a guess.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from kitmaker.cutting.bounds import Certificate
from kitmaker.cutting.builds import Builds, Loss, WorkLimit
from kitmaker.cutting.knapsack import LayoutSearch
from kitmaker.cutting.problem import Problem
from kitmaker.cutting.trees import Column, tidy

Counts = tuple[int, ...]

CHOICES = 60_000
"""Sheets tried before giving up."""


class Verdict(Enum):
    """What was found out."""

    DONE = "so many sheets do"
    IMPOSSIBLE = "no edge-to-edge cutting does with so many"
    OPEN = "not decided"


@dataclass(frozen=True, slots=True)
class Settled:
    """The verdict, and the sheets when it is DONE."""

    verdict: Verdict
    columns: Counter[Column]


def settle(
    problem: Problem,
    sheets: int,
    certificate: Certificate,
    search: LayoutSearch,
    limit: WorkLimit,
) -> Settled:
    """Decide whether ``sheets`` sheets yield the pieces.

    Args:
        problem: With a height.
        sheets: How many.
        certificate: Prices by kind, the tightest known.
        search: The search over all layouts of one sheet.
        limit: When building up gives up.
    """
    height = problem.height or 0
    table = search.table(certificate.prices)
    loss = Loss(
        bare=sheets * problem.width * height - problem.area,
        prices=certificate.prices,
        table=table,
        xs=tuple(search.xs),
        ys=tuple(search.ys),
        value=sheets * certificate.most - certificate.value,
    )
    if loss.bare < 0 or loss.value < 0:
        return Settled(Verdict.IMPOSSIBLE, Counter())
    builds = Builds(problem.kinds, problem.counts, problem.width, height, loss, limit)
    if not builds.complete:
        return Settled(Verdict.OPEN, Counter())
    chooser = _Chooser(problem, builds, loss, certificate.most)
    chosen = chooser.choose(problem.counts, sheets)
    if chosen is not None:
        trees = {code: tidy(builds.tree(code)) for code in set(chosen)}
        columns = Counter(Column(builds.packing.unpack(code), trees[code], 1) for code in chosen)
        return Settled(Verdict.DONE, columns)
    return Settled(Verdict.OPEN if chooser.left < 0 else Verdict.IMPOSSIBLE, Counter())


class _Chooser:
    """The depth-first choice of sheets."""

    def __init__(self, problem: Problem, builds: Builds, loss: Loss, most: int) -> None:
        self.most = most
        self.room = problem.width * (problem.height or 0)
        self.prices = loss.prices
        self.areas = tuple(kind.area for kind in problem.kinds)
        self.left = CHOICES
        self._dead: dict[Counts, int] = {}
        self.fits = set(builds.sets())
        self.packing = builds.packing
        sheets: list[tuple[int, int, Counts]] = []
        for code in builds.fullest():
            counts = builds.packing.unpack(code)
            worth = self._worth(counts)
            area = self._area(counts)
            if most - worth <= loss.value and self.room - area <= loss.bare:
                sheets.append((worth, code, counts))
        sheets.sort(key=lambda sheet: (-sheet[0], sheet[1]))
        self.holding = [
            [(code, counts) for _, code, counts in sheets if counts[kind]]
            for kind in range(len(self.areas))
        ]

    def _worth(self, counts: Counts) -> int:
        return sum(price * count for price, count in zip(self.prices, counts, strict=True))

    def _area(self, counts: Counts) -> int:
        return sum(area * count for area, count in zip(self.areas, counts, strict=True))

    def choose(self, demand: Counts, sheets: int) -> list[int] | None:
        """Return sheets that hold a demand; None when there are none or work ran out."""
        tried: list[tuple[Counts, Iterator[tuple[int, Counts]]]] = []
        taken: list[int] = []
        missing = demand
        while any(missing):
            left = sheets - len(taken)
            if left == 1 and self.packing.pack(missing) in self.fits:
                return [*taken, self.packing.pack(missing)]
            if left > 1 and self._may_do(missing, left):
                tried.append((missing, iter(self._of_the_hardest(missing))))
            way = None
            while tried and way is None:
                missing, ways = tried[-1]
                del taken[len(tried) - 1 :]
                way = next(ways, None)
                if way is None:
                    tried.pop()
                    left = sheets - len(tried)
                    self._dead[missing] = max(left, self._dead.get(missing, 0))
            if way is None:
                return None
            self.left -= 1
            if self.left < 0:
                return None
            taken.append(way[0])
            missing = tuple(max(0, need - n) for need, n in zip(missing, way[1], strict=True))
        return taken

    def _may_do(self, missing: Counts, sheets: int) -> bool:
        """Return whether nothing known speaks against so many sheets for what is missing."""
        return (
            self._dead.get(missing, 0) < sheets
            and self._worth(missing) <= sheets * self.most
            and self._area(missing) <= sheets * self.room
        )

    def _of_the_hardest(self, missing: Counts) -> list[tuple[int, Counts]]:
        """Return the sheets that hold the missing kind for which there are the fewest."""
        kinds = (kind for kind, count in enumerate(missing) if count)
        return self.holding[min(kinds, key=lambda kind: (len(self.holding[kind]), kind))]
